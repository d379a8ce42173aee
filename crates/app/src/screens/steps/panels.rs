//! The panels beside the act: cautions, dangers, stop checks, leaving a step, what happened nevertheless.

use super::hands::{Hands, Msg, Panel, Told};
use super::plan::{Plan, Stopped, stands_in_front};
use super::say;
use crate::drawing::{
    Node, Tag, button, classed, details, div, done_line, ghost, live, many, nothing, p, signal_line, tag, text_line,
    told, trouble_line,
};
use crate::group::{GroupState, group_screen, group_view, save_group};
use crate::screen::Screen;
use crate::services::Services;
use leptos::prelude::*;
use metering::isolation::Kind;
use procedure::caution::Signal;
use procedure::work::Work;

/// The cautions before the act, or those behind “why”, with their signal words: one panel a word, worst first.
fn signal_panels(plan: &Plan, in_front: bool) -> Node {
    let mut panels = Vec::new();
    let mut last: Option<(Signal, Tag)> = None;
    for caution in &plan.cautions {
        if stands_in_front(caution) != in_front {
            continue;
        }
        let sentence = words::of_code(&format!("caution-{}", caution.code), &[]);
        let panel = match last.take() {
            Some((signal, panel)) if signal == caution.signal => panel.put(p("signal__say").put(sentence)),
            before => {
                if let Some((_, panel)) = before {
                    panels.push(panel.into());
                }
                let (class, word) = say::signal(caution.signal);
                div(class).put(signal_line(word, &sentence))
            }
        };
        last = Some((caution.signal, panel));
    }
    if let Some((_, panel)) = last {
        panels.push(panel.into());
    }
    panels.into()
}

/// Dangers that stand now, with the next safe step.
pub fn dangers(services: Services) -> Node {
    live(move || {
        services.with_job(|job| {
            let mut panel = div("signal signal--danger").set("role", "alert");
            let mut any = false;
            // What waits for its reading in the normal course is asked for by the step itself.
            for danger in job.standing.dangers.iter().filter(say::alarms) {
                panel = panel.put(signal_line(words::signal_danger(), say::danger(danger)));
                any = true;
            }
            if !any {
                return nothing();
            }
            if let (Some(way), Some(switch)) = (&job.standing.way, job.standing.replay.switch) {
                panel = panel.put(say::way(way, switch.kind).map(|way| p("signal__say").put(way)));
            }
            panel.into()
        })
    })
}

/// The cautions that stand before the act: those of the step, then the one of the very act.
pub fn front_cautions(plan: &Plan, kind: Kind) -> Node {
    let own = match &plan.work {
        Work::Do(acts) => acts.first().and_then(|act| say::act_caution(*act, kind)),
        _ => None,
    };
    let (class, word) = say::signal(Signal::Warning);
    let own = own.map(|own| div(class).put(signal_line(word, &own)));
    many([signal_panels(plan, true), own.into()])
}

/// Why the step is there, and what else one should know.
pub fn why(plan: &Plan) -> Node {
    let why = words::of_code(&format!("step-{}.why", plan.step), &[]);
    let stack = div("stack").put(tag("P").put(why)).put(signal_panels(plan, false));
    details("", words::why()).put(stack).into()
}

/// Stop checks that do not let the step pass.
pub fn stopped(plan: &Plan, hands: Screen<Hands>, services: Services) -> Node {
    if plan.stopped.is_empty() {
        return nothing();
    }
    let mut stack = div("stack").id("stopped").set("tabindex", "-1");
    for stop in &plan.stopped {
        stack = stack.put(stop_panel(stop, hands, services));
    }
    stack.into()
}

fn stop_panel(stop: &Stopped, hands: Screen<Hands>, services: Services) -> Tag {
    let question = words::of_code(&format!("check-{}", stop.id), &[]);
    let mend = words::of_code(&format!("check-{}.mend", stop.id), &[("place", &crate::speak::poles(&stop.places))]);
    if stop.guards_life {
        let (class, word) = say::signal(Signal::Danger);
        return div(class).put(signal_line(word, &question)).put(p("signal__say").put(mend));
    }
    let panel =
        classed("SECTION", "finding").put(classed("H3", "finding__title").put(question)).put(tag("P").put(mend));
    if !stop.may_override {
        return panel;
    }
    let id = stop.id;
    let open = Memo::new(move |_| hands.with(|hands| hands.panel == Panel::Override(id)));
    panel.put(tag("DIV").live(move || {
        if open.get() {
            override_form(id, hands, services)
        } else {
            let open = move || hands.send(Msg::Open(Panel::Override(id)));
            button("links__link", open).put(words::pass_nevertheless()).into()
        }
    }))
}

/// Who passes a check nevertheless, and why.
fn override_form(check: &'static str, hands: Screen<Hands>, services: Services) -> Node {
    let write = move || {
        if let Some(fold) = services.peek_job(|job| job.fold.clone()) {
            hands.send(Msg::Overrule(check, fold));
        }
    };
    many([
        text_field(hands, "override-by", ("override", "by"), words::who_decides(), |hands| &hands.by, Msg::By),
        text_field(hands, "override-why", ("override", "why"), words::reason(), |hands| &hands.why, Msg::Why),
        div("duo").put(back(hands)).put(ghost(write).put(words::override_it())).into(),
    ])
}

/// Closes the open panel.
fn back(hands: Screen<Hands>) -> Tag {
    ghost(move || hands.send(Msg::Open(Panel::None))).put(words::back())
}

/// One labelled line of text, with what is wrong with it as a field of this kind.
fn text_field(
    hands: Screen<Hands>,
    id: &'static str,
    (kind, field): (&'static str, &'static str),
    label: &'static str,
    text: fn(&Hands) -> &String,
    typed: fn(String) -> Msg,
) -> Node {
    let why =
        move || hands.with(|hands| hands.complaint(text(hands), kind, field).map(|why| crate::speak::complaint(&why)));
    let input = classed("INPUT", "field__input")
        .value(move || hands.with(|hands| text(hands).clone()))
        .on_text("input", move |text| hands.send(typed(text)));
    text_line(id, label, input, why)
}

/// The time at which an act was done, when it was not just now.
pub fn done_at(hands: Screen<Hands>) -> Node {
    let field = text_field(hands, "done-at", ("act", "done_at"), words::done_at(), |hands| &hands.done_at, Msg::DoneAt);
    details("", words::not_just_now()).put(field).into()
}

/// How the last press went.
pub fn told_line(hands: Screen<Hands>) -> Node {
    told(move || {
        hands.with(|hands| match &hands.told {
            Told::Nothing | Told::Saving => nothing(),
            Told::Saved => done_line(words::saved_here()).into(),
            Told::Refused(why) => trouble_line(say::refused(why)).into(),
            Told::Failed(why) => trouble_line(why).into(),
        })
    })
}

/// What else can be said of a step: it cannot be done, or something happened outside the procedure.
pub fn otherwise(step: &'static str, services: Services, hands: Screen<Hands>) -> Node {
    // What is typed into an open panel stays while the rest of the hands changes.
    let leaves = Memo::new(move |_| hands.with(|hands| hands.panel == Panel::Leave));
    let tells = Memo::new(move |_| hands.with(|hands| hands.panel == Panel::Happened));
    live(move || {
        if leaves.get() {
            return leave(step, services, hands);
        }
        if tells.get() {
            return happened(services, hands);
        }
        let open = move |panel: Panel| button("cannot", move || hands.send(Msg::Open(panel.clone())));
        div("links")
            .put(open(Panel::Happened).put(words::something_happened()))
            .put(open(Panel::Leave).put(words::cannot_do_this()))
    })
}

fn leave(step: &'static str, services: Services, hands: Screen<Hands>) -> Tag {
    let write = move || {
        if let Some(fold) = services.peek_job(|job| job.fold.clone()) {
            hands.send(Msg::Leave(step, fold));
        }
    };
    classed("SECTION", "card stack")
        .set("aria-label", words::cannot_do_this())
        .put(tag("H3").put(words::cannot_do_this()))
        .put(text_field(hands, "leave-why", ("override", "why"), words::reason(), |hands| &hands.why, Msg::Why))
        .put(div("duo").put(back(hands)).put(ghost(write).put(words::leave_with_reason())))
}

/// An act that is not in the plan, written down as it happened.
fn happened(services: Services, hands: Screen<Hands>) -> Tag {
    let mut group = GroupState::new("steps.happened", &[("act", "", true)], services.context());
    group.prefill("act", "accepted", "happened");
    let screen = group_screen(group.only("act", &["act", "pole", "done_at", "accepted", "why"]), services);
    classed("SECTION", "card stack")
        .set("aria-label", words::something_happened())
        .put(tag("H3").put(words::something_happened()))
        .put(tag("P").put(words::something_happened_why()))
        .put(group_view(screen))
        .put(save_group(screen, || words::write_it_down().to_string()))
        .put(back(hands))
}
