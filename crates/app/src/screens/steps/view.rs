//! A step on the screen: caution, act, picture, reading, and the large button that always leads on.

use super::hands::{Hands, Msg, Panel};
use super::look::expected;
use super::panels::{dangers, done_at, front_cautions, otherwise, stopped, told_line, why};
use super::picture::{current_words, potential_words, switch_picture};
use super::plan::{Plan, plan};
use super::proofs::{proofs, table};
use super::say;
use crate::drawing::{Node, Tag, button, classed, details, div, facts, ghost, link, live, many, nothing, p, tag};
use crate::group::{GroupState, group_screen, group_view, save_group};
use crate::picture::picture;
use crate::route::{Part, Route};
use crate::screen::Screen;
use crate::screens::overview::shouts;
use crate::services::Services;
use crate::services::job::procedure_now;
use crate::shell::Shell;
use leptos::prelude::*;
use metering::isolation::{Act, Kind};
use procedure::clocks;
use procedure::replay::Replay;
use procedure::steps::Screen as Serves;
use procedure::work::Work;

/// The step that is due, or the one that was gone to.
pub fn steps(services: Services, id: String, step: Option<String>) -> Node {
    let shown = Memo::new(move |_| {
        let made = services.with_job(|job| {
            let step = step.as_deref().unwrap_or(job.standing.now);
            plan(&job.fold, &job.standing, step)
        });
        made.flatten()
    });
    let hands = Screen::new(Hands::new(services.person().name, services.context()), services);
    // The focus follows to the new heading when the step moves on, but not at first sight.
    Effect::new(move |before: Option<()>| {
        shown.track();
        if before.is_some() {
            browser::focus::focus("step-title");
            browser::focus::scroll_top();
        }
    });
    let callout = RwSignal::new(false);
    let awake = StoredValue::new_local(None);
    Effect::new(move |_| keep_awake(callout.get(), awake));
    live(move || match shown.get() {
        Some(plan) if callout.get() => read_out(&plan, services, &id, hands, callout),
        Some(plan) => one_step(&plan, services, &id, hands, callout),
        None => {
            let back = Route::Job(id.clone(), Part::Overview);
            Shell::new(services, words::steps()).back(back).around(vec![p("say").put(words::no_such_step()).into()])
        }
    })
}

/// While a helper reads out, the screen stays on; where the browser cannot, nothing is lost but light.
fn keep_awake(on: bool, awake: StoredValue<Option<browser::wake::Awake>, LocalStorage>) {
    if !on {
        awake.try_update_value(Option::take);
        return;
    }
    wasm_bindgen_futures::spawn_local(async move {
        if let Ok(held) = browser::wake::keep_awake().await {
            awake.try_set_value(Some(held));
        }
    });
}

/// The step in very large type, for a helper who holds the phone and reads it out.
fn read_out(plan: &Plan, services: Services, id: &str, hands: Screen<Hands>, callout: RwSignal<bool>) -> Node {
    let kind = kind_of(services);
    let (say, more) = heading_words(plan, kind);
    let mut lines = Vec::new();
    for line in more {
        lines.push(p("callout__next").put(line).into());
    }
    let close = move || callout.set(false);
    let foot = match &plan.work {
        Work::Fields | Work::Describe | Work::Prove { .. } | Work::SeeBack(_) => {
            button("act", close).put(words::to_the_inputs()).into()
        }
        _ => foot(plan, services, hands, None, kind, id),
    };
    shell(plan, services, id).foot(foot).callout().around(vec![
        shouts(services),
        dangers(services),
        front_cautions(plan, kind),
        title(classed("H2", "callout__say"), plan, say).into(),
        lines.into(),
        told_line(hands),
        ghost(close).put(words::stop_reading_out()).into(),
    ])
}

fn kind_of(services: Services) -> Kind {
    services.peek_job(|job| job.standing.replay.switch.map(|switch| switch.kind)).flatten().unwrap_or(Kind::None)
}

fn one_step(plan: &Plan, services: Services, id: &str, hands: Screen<Hands>, callout: RwSignal<bool>) -> Node {
    let group = step_group(plan, id, services);
    let kind = kind_of(services);
    let read_out = button("links__link", move || callout.set(true)).put(words::read_it_out());
    shell(plan, services, id).foot(foot(plan, services, hands, group, kind, id)).around(vec![
        shouts(services),
        dangers(services),
        front_cautions(plan, kind),
        heading(plan, kind),
        drawn(plan, services),
        proofs_so_far(plan, services),
        looks(plan, services, hands),
        group.map(group_view).into(),
        matches!(plan.work, Work::Do(_)).then(|| done_at(hands)).into(),
        told_line(hands),
        stopped(plan, hands, services),
        elsewhere(plan, id),
        why(plan),
        div("links").put(read_out).into(),
        otherwise(plan.step, services, hands),
    ])
}

fn shell(plan: &Plan, services: Services, id: &str) -> Shell {
    Shell::of_job(services).sub(sub_line(plan, services)).back(Route::Job(id.to_string(), Part::Overview))
}

/// “Step 6 of 15 · bypassed A 42 s, B 18 s”, the clocks moving once a second.
fn sub_line(plan: &Plan, services: Services) -> Node {
    let (number, count) = plan.number;
    let step = words::step_of(&number.to_string(), &count.to_string());
    let running = services.peek_job(|job| !job.standing.replay.happenings.is_empty()).unwrap_or_default();
    let tick = RwSignal::new(0_u32);
    if running
        && let Ok(ticker) = browser::timer::every(1000, move || {
            tick.try_update(|tick| *tick = tick.wrapping_add(1));
        })
    {
        let ticker = StoredValue::new_local(Some(ticker));
        on_cleanup(move || {
            ticker.try_update_value(Option::take);
        });
    }
    live(move || {
        tick.track();
        let now = procedure_now(&services.now());
        let clocks = services.with_job(|job| clocks::clocks(&job.fold, &now)).unwrap_or_default();
        let mut times = Vec::new();
        for clock in &clocks {
            times.push(words::bypassed_for(clock.element, &duration(clock.lasted_ms)).replace(' ', "\u{a0}"));
        }
        if times.is_empty() { step.clone() } else { format!("{step} · {}", words::bypassed_line(&times.join(", "))) }
    })
}

/// Minutes and seconds in a few figures.
fn duration(lasted_ms: i64) -> String {
    let seconds = lasted_ms.max(0) / 1000;
    if seconds < 60 {
        words::seconds_short(&seconds.to_string())
    } else {
        words::minutes_short(&(seconds / 60).to_string(), &format!("{:02}", seconds % 60))
    }
}

/// The group of the step’s records, with what stands in them beforehand.
fn step_group(plan: &Plan, id: &str, services: Services) -> Option<Screen<GroupState>> {
    if plan.slots.is_empty() {
        return None;
    }
    let records: Vec<(&'static str, &str, bool)> =
        plan.slots.iter().map(|slot| (slot.kind, slot.place.as_str(), slot.needed)).collect();
    let key = format!(
        "{id}.{}.{}",
        plan.step,
        plan.slots.first().map(|slot| slot.place.replace('/', "-")).unwrap_or_default()
    );
    let mut group = GroupState::new(key, &records, services.context());
    if let Work::Prove { stage, .. } = plan.work {
        group.prefill("short_proof", "stage", stage);
        group = group.only("short_proof", &["stage", "before", "ct_side", "meter_side"]);
    }
    if plan.slots.iter().any(|slot| slot.kind == "current_back") {
        group = group.only("current_back", &["ct_side", "meter_side"]);
    }
    for prefill in &plan.prefills {
        group.prefill_at(prefill.kind, &prefill.place, prefill.field, &prefill.text);
    }
    let person = services.person();
    group.prefill("signed", "by", &person.name);
    Some(group_screen(group, services))
}

/// What to do, in one sentence; at the switch the act itself.
fn heading_words(plan: &Plan, kind: Kind) -> (String, Vec<String>) {
    match &plan.work {
        Work::Do(acts) => acts_words(acts, kind),
        Work::Prove { element, stage } => {
            (words::prove_title(element), vec![words::of_code(&format!("prove-{stage}"), &[("place", element)])])
        }
        Work::SeeBack(element) => (words::see_back_title(element), vec![words::see_back(element)]),
        Work::Look(names) => {
            let names: Vec<String> = names.iter().map(|name| words::pole(name)).collect();
            (words::look_title().to_string(), vec![words::look_at(&names.join(", ")), words::look_sound().to_string()])
        }
        Work::DeEnergise(pole) => (words::de_energise_title().to_string(), vec![words::way_stop(&words::pole(pole))]),
        Work::Describe => (words::describe_title().to_string(), vec![]),
        Work::Fields => {
            let id = format!("step-{}", plan.step);
            (words::of_code(&id, &[]), vec![words::of_code(&format!("{id}.do"), &[])])
        }
    }
}

fn heading(plan: &Plan, kind: Kind) -> Node {
    let (say, more) = heading_words(plan, kind);
    let mut parts = vec![title(tag("H2"), plan, say).into()];
    for line in more {
        parts.push(p("say").put(line).into());
    }
    parts.into()
}

/// The heading that the focus follows to.
fn title(heading: Tag, plan: &Plan, say: String) -> Tag {
    heading.id("step-title").set("tabindex", "-1").set("data-step", plan.step).put(say)
}

fn acts_words(acts: &[Act], kind: Kind) -> (String, Vec<String>) {
    let Some(first) = acts.first() else { return (String::new(), vec![]) };
    if acts.len() == 1 {
        return (say::act(*first, kind), say::act_more(*first, kind).into_iter().collect());
    }
    let poles: Vec<&str> = acts.iter().map(|act| act.pole_code()).collect();
    (words::press(first.code(), kind.code(), &poles.join(", ")), vec![words::in_this_order(&poles.join(", "))])
}

/// The switch from the front, and the same in a table.
fn drawn(plan: &Plan, services: Services) -> Node {
    if !matches!(plan.screen, Serves::Switch | Serves::Nameplates) || matches!(plan.work, Work::Fields | Work::Describe)
    {
        return nothing();
    }
    let drawn = services.peek_job(|job| {
        let replay = &job.standing.replay;
        let svg = pictures::switch_front(&switch_picture(replay, &plan.work)?);
        Some(many([picture(svg), details("", words::as_a_table()).put(state_table(replay)).into()]))
    });
    drawn.flatten().into()
}

/// What was read while the shorts went on: only where it is of use.
fn proofs_so_far(plan: &Plan, services: Services) -> Node {
    if plan.step != "short_currents" {
        return nothing();
    }
    table(services.peek_job(|job| proofs(&job.fold, &job.standing.replay)).unwrap_or_default())
}

fn state_table(replay: &Replay) -> Tag {
    let mut rows = Vec::new();
    for track in &replay.elements {
        rows.push(vec![words::pole(track.name).into(), current_words(track.stands).into()]);
    }
    for track in &replay.potentials {
        rows.push(vec![words::pole(track.name).into(), potential_words(track.stands).into()]);
    }
    facts(&[], rows, false)
}

/// Pole by pole, for whoever sees something else than is drawn.
fn looks(plan: &Plan, services: Services, hands: Screen<Hands>) -> Node {
    let Work::Look(names) = &plan.work else { return nothing() };
    let names = names.clone();
    let open = Memo::new(move |_| hands.with(|hands| hands.panel == Panel::Otherwise));
    let step = plan.step;
    let inside = move || {
        if !open.get() {
            return ghost(move || hands.send(Msg::Open(Panel::Otherwise))).put(words::stands_otherwise());
        }
        let slots = services.peek_job(|job| expected(&job.standing.replay, &names)).unwrap_or_default();
        let mut records: Vec<(&'static str, &str, bool)> = Vec::new();
        for (kind, place, _) in slots {
            records.push((kind, place, true));
        }
        let group = GroupState::new(format!("steps.{step}.look"), &records, services.context());
        let screen = group_screen(group, services);
        classed("SECTION", "stack")
            .put(group_view(screen))
            .put(save_group(screen, || words::write_it_down().to_string()))
    };
    tag("DIV").live(inside).into()
}

/// The way to the screen that serves the step whole.
fn elsewhere(plan: &Plan, id: &str) -> Node {
    let (part, name) = match plan.step {
        "plates" => (Part::Plates, words::nameplates()),
        "as_found" => (Part::Readings(crate::route::Taken::AsFound), words::readings_as_found()),
        "as_left" => (Part::Readings(crate::route::Taken::AsLeft), words::readings_as_left()),
        "early_reads" | "final_reads" | "start_reads" => (Part::Reads, words::meter_reads()),
        "seals" => (Part::Seals, words::seals()),
        "close_out" => (Part::Sheet, words::close_out_sheet()),
        _ => return nothing(),
    };
    let to = Route::Job(id.to_string(), part).href();
    div("links").put(link("links__link", &to).put(name)).into()
}

/// The large button in thumb’s reach.
fn foot(
    plan: &Plan,
    services: Services,
    hands: Screen<Hands>,
    group: Option<Screen<GroupState>>,
    kind: Kind,
    id: &str,
) -> Node {
    match &plan.work {
        Work::Do(acts) => press_button(services, hands, acts.clone()).put(done_words(acts, kind)).into(),
        Work::DeEnergise(_) => press_button(services, hands, vec![Act::DeEnergise]).put(words::supply_is_off()).into(),
        Work::Look(names) => {
            let names = names.clone();
            let seen = move || {
                let poles = services.peek_job(|job| expected(&job.standing.replay, &names)).unwrap_or_default();
                hands.send(Msg::Seen(poles));
            };
            button("act", seen).id("act").put(words::stands_as_drawn()).into()
        }
        _ => match group {
            Some(group) => fields_foot(plan, group, id),
            None => on_link(plan, id).into(),
        },
    }
}

fn press_button(services: Services, hands: Screen<Hands>, acts: Vec<Act>) -> Tag {
    let press = move || {
        if let Some(fold) = services.peek_job(|job| job.fold.clone()) {
            hands.send(Msg::Done(acts.clone(), fold));
        }
    };
    button("act", press).id("act")
}

fn done_words(acts: &[Act], kind: Kind) -> String {
    match acts {
        [one] => say::act_done(*one, kind),
        _ => words::all_done_in_order().to_string(),
    }
}

/// While inputs are missing the button leads to them; then it writes them down; then it leads to what stops, or on.
fn fields_foot(plan: &Plan, group: Screen<GroupState>, id: &str) -> Node {
    let written = Memo::new(move |_| group.with(|group| group.is_written() && !group.has_input()));
    let (plan, id) = (plan.clone(), id.to_string());
    let inside = move || {
        if written.get() { on_link(&plan, &id).into() } else { save_group(group, || words::save().to_string()) }
    };
    tag("DIV").live(inside).into()
}

/// Nothing left to enter here: to what stops the step, to the sheet, or to the next step.
fn on_link(plan: &Plan, id: &str) -> Tag {
    if !plan.done && !plan.stopped.is_empty() {
        let lead = || {
            browser::focus::scroll_to("stopped");
            browser::focus::focus("stopped");
        };
        return button("act", lead).put(words::see_what_stops());
    }
    let (part, name) = match plan.next {
        _ if plan.screen == Serves::Sheet => (Part::Sheet, words::close_out_sheet().to_string()),
        Some(next) => (Part::Steps, words::next_step(&words::of_code(&format!("step-{next}"), &[]))),
        None => (Part::Overview, words::whole_job_link().to_string()),
    };
    link("act", &Route::Job(id.to_string(), part).href()).put(name)
}
