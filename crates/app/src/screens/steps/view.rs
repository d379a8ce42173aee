//! A step on the screen: caution, act, picture, reading, and the large button that always leads on.

use super::hands::{Hands, Msg, Panel};
use super::look::expected;
use super::panels::{Dangers, Otherwise, ToldLine, done_at, front_cautions, stopped, why};
use super::picture::{current_words, potential_words, switch_picture};
use super::plan::{Plan, plan};
use super::proofs::{proofs, table};
use super::say;
use crate::group::view::group_screen;
use crate::group::{GroupState, GroupView, SaveGroup};
use crate::picture::Picture;
use crate::route::{Part, Route};
use crate::screen::Screen;
use crate::screens::overview::Shouts;
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
#[component]
pub fn Steps(services: Services, id: String, step: Option<String>) -> impl IntoView {
    let gone_to = step.clone();
    let shown = Memo::new(move |_| {
        let made = services.with_job(|job| {
            let step = gone_to.as_deref().unwrap_or(job.standing.now);
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
    move || {
        match shown.get() {
        Some(plan) if callout.get() => read_out(plan, services, id.clone(), hands, callout),
        Some(plan) => one_step(plan, services, id.clone(), hands, callout),
        None => view! { <Shell title=words::steps() back=Route::Job(id.clone(), Part::Overview)><p class="say">{words::no_such_step()}</p></Shell> }.into_any(),
    }
    }
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
fn read_out(plan: Plan, services: Services, id: String, hands: Screen<Hands>, callout: RwSignal<bool>) -> AnyView {
    let title = Memo::new(move |_| services.with_job(|job| job.site()).unwrap_or_default());
    let kind = kind_of(services);
    let (say, more) = heading_words(&plan, kind);
    let foot = match &plan.work {
        Work::Fields | Work::Describe | Work::Prove { .. } | Work::SeeBack(_) => {
            view! { <button type="button" class="act" on:click=move |_| callout.set(false)>{words::to_the_inputs()}</button> }.into_any()
        }
        _ => foot(&plan, services, hands, None, kind, &id),
    };
    view! {
        <Shell title=title sub=sub_line(&plan, services) back=Route::Job(id, Part::Overview) foot=foot callout=true>
            <Shouts services/>
            <Dangers services/>
            {front_cautions(&plan, kind)}
            <h2 class="callout__say" id="step-title" tabindex="-1" data-step=plan.step>{say}</h2>
            {more.into_iter().map(|line| view! { <p class="callout__next">{line}</p> }).collect_view()}
            <ToldLine hands/>
            <button type="button" class="ghost" on:click=move |_| callout.set(false)>{words::stop_reading_out()}</button>
        </Shell>
    }
    .into_any()
}

fn kind_of(services: Services) -> Kind {
    services.peek_job(|job| job.standing.replay.switch.map(|switch| switch.kind)).flatten().unwrap_or(Kind::None)
}

fn one_step(plan: Plan, services: Services, id: String, hands: Screen<Hands>, callout: RwSignal<bool>) -> AnyView {
    let title = Memo::new(move |_| services.with_job(|job| job.site()).unwrap_or_default());
    let sub = sub_line(&plan, services);
    let group = step_group(&plan, &id, services);
    let kind =
        services.peek_job(|job| job.standing.replay.switch.map(|switch| switch.kind)).flatten().unwrap_or(Kind::None);
    let foot = foot(&plan, services, hands, group, kind, &id);
    view! {
        <Shell title=title sub=sub back=Route::Job(id.clone(), Part::Overview) foot=foot>
            <Shouts services/>
            <Dangers services/>
            {front_cautions(&plan, kind)}
            {heading(&plan, kind)}
            {picture(&plan, services)}
            {proofs_so_far(&plan, services)}
            {looks(&plan, services, hands)}
            {group.map(|group| view! { <GroupView screen=group/> })}
            {matches!(plan.work, Work::Do(_)).then(|| done_at(hands))}
            <ToldLine hands/>
            {stopped(&plan, hands, services)}
            {elsewhere(&plan, &id)}
            {why(&plan)}
            <div class="links"><button type="button" class="links__link" on:click=move |_| callout.set(true)>{words::read_it_out()}</button></div>
            <Otherwise step=plan.step services hands/>
        </Shell>
    }
    .into_any()
}

/// “Step 6 of 15 · bypassed A 42 s, B 18 s”, the clocks moving once a second.
fn sub_line(plan: &Plan, services: Services) -> Signal<String> {
    let (number, count) = plan.number;
    let step = words::step_of(&number.to_string(), &count.to_string());
    let running =
        Memo::new(move |_| services.with_job(|job| job.standing.replay.happenings.len()).unwrap_or_default() > 0);
    let tick = RwSignal::new(0_u32);
    if running.get_untracked()
        && let Ok(ticker) = browser::timer::every(1000, move || {
            tick.try_update(|tick| *tick = tick.wrapping_add(1));
        })
    {
        let ticker = StoredValue::new_local(Some(ticker));
        on_cleanup(move || {
            ticker.try_update_value(Option::take);
        });
    }
    let line = move || {
        tick.track();
        let now = procedure_now(&services.now());
        let clocks = services.with_job(|job| clocks::clocks(&job.fold, &now)).unwrap_or_default();
        let times: Vec<String> = clocks
            .iter()
            .map(|clock| words::bypassed_for(clock.element, &duration(clock.lasted_ms)).replace(' ', "\u{a0}"))
            .collect();
        if times.is_empty() { step.clone() } else { format!("{step} · {}", words::bypassed_line(&times.join(", "))) }
    };
    let line = Memo::new(move |_| line());
    Signal::derive(move || line.get())
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

fn heading(plan: &Plan, kind: Kind) -> AnyView {
    let (title, more) = heading_words(plan, kind);
    let more = more.into_iter().map(|line| view! { <p class="say">{line}</p> }).collect_view();
    view! { <h2 id="step-title" tabindex="-1" data-step=plan.step>{title}</h2>{more} }.into_any()
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
fn picture(plan: &Plan, services: Services) -> AnyView {
    if !matches!(plan.screen, Serves::Switch | Serves::Nameplates) || matches!(plan.work, Work::Fields | Work::Describe)
    {
        return ().into_any();
    }
    let work = plan.work.clone();
    services
        .peek_job(|job| {
            let replay = &job.standing.replay;
            let picture = switch_picture(replay, &work)?;
            let svg = pictures::switch_front(&picture);
            Some(view! { <Picture svg/><details><summary class="links__link">{words::as_a_table()}</summary>{state_table(replay)}</details> }.into_any())
        })
        .flatten()
        .unwrap_or_else(|| ().into_any())
}

/// What was read while the shorts went on: only where it is of use.
fn proofs_so_far(plan: &Plan, services: Services) -> AnyView {
    if plan.step != "short_currents" {
        return ().into_any();
    }
    let found = services.peek_job(|job| proofs(&job.fold, &job.standing.replay)).unwrap_or_default();
    table(found)
}

fn state_table(replay: &Replay) -> AnyView {
    let currents = replay.elements.iter().map(|track| (track.name, current_words(track.stands)));
    let potentials = replay.potentials.iter().map(|track| (track.name, potential_words(track.stands)));
    let rows = currents
        .chain(potentials)
        .map(|(name, words)| view! { <tr><th scope="row">{words::pole(name)}</th><td>{words}</td></tr> });
    view! { <table class="facts"><tbody>{rows.collect_view()}</tbody></table> }.into_any()
}

/// Pole by pole, for whoever sees something else than is drawn.
fn looks(plan: &Plan, services: Services, hands: Screen<Hands>) -> AnyView {
    let Work::Look(names) = &plan.work else { return ().into_any() };
    let names = names.clone();
    let open = Memo::new(move |_| hands.with(|hands| hands.panel == Panel::Otherwise));
    let step = plan.step;
    let inside = move || {
        if !open.get() {
            return view! { <button type="button" class="ghost" on:click=move |_| hands.send(Msg::Open(Panel::Otherwise))>{words::stands_otherwise()}</button> }.into_any();
        }
        let slots = services.peek_job(|job| expected(&job.standing.replay, &names)).unwrap_or_default();
        let records: Vec<(&'static str, &str, bool)> =
            slots.iter().map(|(kind, place, _)| (*kind, *place, true)).collect();
        let screen =
            group_screen(GroupState::new(format!("steps.{step}.look"), &records, services.context()), services);
        view! { <section class="stack"><GroupView screen/><SaveGroup screen save=words::write_it_down()/></section> }
            .into_any()
    };
    view! { <div>{inside}</div> }.into_any()
}

/// The way to the screen that serves the step whole.
fn elsewhere(plan: &Plan, id: &str) -> AnyView {
    let (part, name) = match plan.step {
        "plates" => (Part::Plates, words::nameplates()),
        "as_found" => (Part::Readings(crate::route::Taken::AsFound), words::readings_as_found()),
        "as_left" => (Part::Readings(crate::route::Taken::AsLeft), words::readings_as_left()),
        "early_reads" | "final_reads" | "start_reads" => (Part::Reads, words::meter_reads()),
        "seals" => (Part::Seals, words::seals()),
        "close_out" => (Part::Sheet, words::close_out_sheet()),
        _ => return ().into_any(),
    };
    let to = Route::Job(id.to_string(), part).href();
    view! { <div class="links"><a class="links__link" href=to>{name}</a></div> }.into_any()
}

/// The large button in thumb’s reach.
fn foot(
    plan: &Plan,
    services: Services,
    hands: Screen<Hands>,
    group: Option<Screen<GroupState>>,
    kind: Kind,
    id: &str,
) -> AnyView {
    match &plan.work {
        Work::Do(acts) => {
            let (acts, label) = (acts.clone(), done_words(acts, kind));
            view! { <button type="button" class="act" id="act" on:click=move |_| press(services, hands, acts.clone())>{label}</button> }.into_any()
        }
        Work::DeEnergise(_) => {
            view! { <button type="button" class="act" id="act" on:click=move |_| press(services, hands, vec![Act::DeEnergise])>{words::supply_is_off()}</button> }.into_any()
        }
        Work::Look(names) => {
            let names = names.clone();
            let seen = move |_| {
                let poles = services.peek_job(|job| expected(&job.standing.replay, &names)).unwrap_or_default();
                hands.send(Msg::Seen(poles));
            };
            view! { <button type="button" class="act" id="act" on:click=seen>{words::stands_as_drawn()}</button> }.into_any()
        }
        _ => match group {
            Some(group) => fields_foot(plan, group, id),
            None => on_link(plan, id),
        },
    }
}

fn press(services: Services, hands: Screen<Hands>, acts: Vec<Act>) {
    if let Some(fold) = services.peek_job(|job| job.fold.clone()) {
        hands.send(Msg::Done(acts, fold));
    }
}

fn done_words(acts: &[Act], kind: Kind) -> String {
    match acts {
        [one] => say::act_done(*one, kind),
        _ => words::all_done_in_order().to_string(),
    }
}

/// While inputs are missing the button leads to them; then it writes them down; then it leads to what stops, or on.
fn fields_foot(plan: &Plan, group: Screen<GroupState>, id: &str) -> AnyView {
    let written = Memo::new(move |_| group.with(|group| group.is_written() && !group.has_input()));
    let (plan, id) = (plan.clone(), id.to_string());
    move_view(move || {
        if !written.get() {
            return view! { <SaveGroup screen=group save=words::save()/> }.into_any();
        }
        on_link(&plan, &id)
    })
}

fn move_view(inside: impl Fn() -> AnyView + Send + 'static) -> AnyView {
    view! { <div>{inside}</div> }.into_any()
}

/// Nothing left to enter here: to what stops the step, to the sheet, or to the next step.
fn on_link(plan: &Plan, id: &str) -> AnyView {
    if !plan.done && !plan.stopped.is_empty() {
        return view! { <button type="button" class="act" on:click=|_| { browser::focus::scroll_to("stopped"); browser::focus::focus("stopped"); }>{words::see_what_stops()}</button> }.into_any();
    }
    if plan.screen == Serves::Sheet {
        let to = Route::Job(id.to_string(), Part::Sheet).href();
        return view! { <a class="act" href=to>{words::close_out_sheet()}</a> }.into_any();
    }
    match plan.next {
        Some(next) => {
            let to = Route::Job(id.to_string(), Part::Steps).href();
            view! { <a class="act" href=to>{words::next_step(&words::of_code(&format!("step-{next}"), &[]))}</a> }
                .into_any()
        }
        None => {
            let to = Route::Job(id.to_string(), Part::Overview).href();
            view! { <a class="act" href=to>{words::whole_job_link()}</a> }.into_any()
        }
    }
}
