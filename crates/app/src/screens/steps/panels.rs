//! The panels beside the act: cautions, dangers, stop checks, leaving a step, what happened nevertheless.

use super::hands::{Hands, Msg, Panel, Told};
use super::plan::{Plan, Stopped, stands_in_front};
use super::say;
use crate::group::view::group_screen;
use crate::group::{GroupState, GroupView, SaveGroup};
use crate::screen::Screen;
use crate::services::Services;
use leptos::prelude::*;
use metering::isolation::Kind;
use procedure::caution::{Caution, Signal};
use procedure::work::Work;

/// Cautions with their signal words: one panel a word, worst first.
fn signal_panels(cautions: &[&Caution]) -> AnyView {
    let panels = cautions.chunk_by(|a, b| a.signal == b.signal).map(|alike| {
        let (class, word) = say::signal(alike.first().map_or(Signal::Notice, |caution| caution.signal));
        let lines = alike.iter().enumerate().map(|(at, caution)| {
            let sentence = words::of_code(&format!("caution-{}", caution.code), &[]);
            let word = (at == 0).then(|| view! { <strong class="signal__word">{word}</strong>" " });
            view! { <p class="signal__say">{word}{sentence}</p> }
        });
        view! { <div class=class>{lines.collect_view()}</div> }
    });
    panels.collect_view().into_any()
}

/// Dangers that stand now, with the next safe step.
#[component]
pub fn Dangers(services: Services) -> impl IntoView {
    let lines = Memo::new(move |_| {
        services
            .with_job(|job| {
                let replay = &job.standing.replay;
                // What waits for its reading in the normal course is asked for by the step itself.
                let lines: Vec<String> = job.standing.dangers.iter().filter(say::alarms).map(say::danger).collect();
                let way =
                    job.standing.way.as_ref().zip(replay.switch).and_then(|(way, switch)| say::way(way, switch.kind));
                (lines, way)
            })
            .unwrap_or_default()
    });
    move || {
        let (lines, way) = lines.get();
        (!lines.is_empty()).then(|| {
            let lines = lines.into_iter().map(|line| view! { <p class="signal__say"><strong class="signal__word">{words::signal_danger()}</strong>" "{line}</p> });
            view! {
                <div class="signal signal--danger" role="alert">
                    {lines.collect_view()}
                    {way.map(|way| view! { <p class="signal__say">{way}</p> })}
                </div>
            }
        })
    }
}

/// The cautions that stand before the act: those of the step, then the one of the very act.
pub fn front_cautions(plan: &Plan, kind: Kind) -> AnyView {
    let own = match &plan.work {
        Work::Do(acts) => acts.first().and_then(|act| say::act_caution(*act, kind)),
        _ => None,
    };
    let (class, word) = say::signal(Signal::Warning);
    let own = own.map(|own| view! { <div class=class><p class="signal__say"><strong class="signal__word">{word}</strong>" "{own}</p></div> });
    let step = signal_panels(&plan.cautions.iter().filter(|caution| stands_in_front(caution)).collect::<Vec<_>>());
    view! { {step}{own} }.into_any()
}

/// Why the step is there, and what else one should know.
pub fn why(plan: &Plan) -> AnyView {
    let why = words::of_code(&format!("step-{}.why", plan.step), &[]);
    let more = signal_panels(&plan.cautions.iter().filter(|caution| !stands_in_front(caution)).collect::<Vec<_>>());
    view! { <details><summary class="links__link">{words::why()}</summary><div class="stack"><p>{why}</p>{more}</div></details> }.into_any()
}

/// Stop checks that do not let the step pass.
pub fn stopped(plan: &Plan, hands: Screen<Hands>, services: Services) -> AnyView {
    if plan.stopped.is_empty() {
        return ().into_any();
    }
    let panels = plan.stopped.iter().map(|stop| stop_panel(stop.clone(), hands, services)).collect_view();
    view! { <div class="stack" id="stopped" tabindex="-1">{panels}</div> }.into_any()
}

fn stop_panel(stop: Stopped, hands: Screen<Hands>, services: Services) -> AnyView {
    let question = words::of_code(&format!("check-{}", stop.id), &[]);
    let mend = words::of_code(&format!("check-{}.mend", stop.id), &[("place", &crate::speak::poles(&stop.places))]);
    if stop.guards_life {
        let (class, word) = say::signal(Signal::Danger);
        return view! { <div class=class><p class="signal__say"><strong class="signal__word">{word}</strong>" "{question}</p><p class="signal__say">{mend}</p></div> }.into_any();
    }
    let id = stop.id;
    let open = Memo::new(move |_| hands.with(|hands| hands.panel == Panel::Override(id)));
    let form = move || {
        if open.get() {
            let write = move |_| {
                if let Some(fold) = services.peek_job(|job| job.fold.clone()) {
                    hands.send(Msg::Overrule(id, fold));
                }
            };
            view! {
                <TextField id="override-by" kind="override" field="by" label=words::who_decides() hands value=|hands| &hands.by typed=Msg::By/>
                <TextField id="override-why" kind="override" field="why" label=words::reason() hands value=|hands| &hands.why typed=Msg::Why/>
                <div class="duo">
                    <button type="button" class="ghost" on:click=move |_| hands.send(Msg::Open(Panel::None))>{words::back()}</button>
                    <button type="button" class="ghost" on:click=write>{words::override_it()}</button>
                </div>
            }
            .into_any()
        } else {
            view! { <button type="button" class="links__link" on:click=move |_| hands.send(Msg::Open(Panel::Override(id)))>{words::pass_nevertheless()}</button> }.into_any()
        }
    };
    view! {
        <section class="finding">
            <h3 class="finding__title">{question}</h3>
            <p>{mend}</p>
            {stop.may_override.then(|| view! { <div>{form}</div> })}
        </section>
    }
    .into_any()
}

/// One labelled line of text, with what is wrong with it as a field of this kind.
#[component]
fn TextField(
    id: &'static str,
    kind: &'static str,
    field: &'static str,
    label: &'static str,
    hands: Screen<Hands>,
    value: fn(&Hands) -> &String,
    typed: fn(String) -> Msg,
) -> impl IntoView {
    let why = Memo::new(move |_| {
        hands.with(|hands| {
            hands.complaint(value(hands), kind, field).map(|why| crate::speak::complaint(&why)).unwrap_or_default()
        })
    });
    let why_id = format!("{id}-why");
    view! {
        <div class="field" class:field--wrong=move || !why.with(String::is_empty)>
            <label class="field__label" for=id>{label}</label>
            <div class="field__line">
                <input class="field__input" id=id autocomplete="off" aria-describedby=why_id.clone() aria-invalid=move || (!why.with(String::is_empty)).to_string()
                    prop:value=move || hands.with(|hands| value(hands).clone()) on:input:target=move |event| hands.send(typed(event.target().value()))/>
            </div>
            <p class="field__complaint" id=why_id>{move || why.get()}</p>
        </div>
    }
    .into_any()
}

/// The time at which an act was done, when it was not just now.
pub fn done_at(hands: Screen<Hands>) -> AnyView {
    view! {
        <details>
            <summary class="links__link">{words::not_just_now()}</summary>
            <TextField id="done-at" kind="act" field="done_at" label=words::done_at() hands value=|hands| &hands.done_at typed=Msg::DoneAt/>
        </details>
    }
    .into_any()
}

/// How the last press went.
#[component]
pub fn ToldLine(hands: Screen<Hands>) -> impl IntoView {
    let line = move || {
        hands.with(|hands| match &hands.told {
            Told::Nothing | Told::Saving => ().into_any(),
            Told::Saved => {
                view! { <p class="status"><span class="status__dot"></span>{words::saved_here()}</p> }.into_any()
            }
            Told::Refused(why) => view! { <p class="status status--trouble">{say::refused(why)}</p> }.into_any(),
            Told::Failed(why) => view! { <p class="status status--trouble">{why.clone()}</p> }.into_any(),
        })
    };
    view! { <div role="status" aria-live="polite">{line}</div> }.into_any()
}

/// What else can be said of a step: it cannot be done, or something happened outside the procedure.
#[component]
pub fn Otherwise(step: &'static str, services: Services, hands: Screen<Hands>) -> impl IntoView {
    let panel = Memo::new(move |_| hands.with(|hands| hands.panel.clone()));
    move || {
        match panel.get() {
        Panel::Leave => leave(step, services, hands),
        Panel::Happened => happened(services, hands),
        _ => view! {
            <div class="links">
                <button type="button" class="cannot" on:click=move |_| hands.send(Msg::Open(Panel::Happened))>{words::something_happened()}</button>
                <button type="button" class="cannot" on:click=move |_| hands.send(Msg::Open(Panel::Leave))>{words::cannot_do_this()}</button>
            </div>
        }
        .into_any(),
    }
    }
}

fn leave(step: &'static str, services: Services, hands: Screen<Hands>) -> AnyView {
    let write = move |_| {
        if let Some(fold) = services.peek_job(|job| job.fold.clone()) {
            hands.send(Msg::Leave(step, fold));
        }
    };
    view! {
        <section class="card stack" aria-label=words::cannot_do_this()>
            <h3>{words::cannot_do_this()}</h3>
            <TextField id="leave-why" kind="override" field="why" label=words::reason() hands value=|hands| &hands.why typed=Msg::Why/>
            <div class="duo">
                <button type="button" class="ghost" on:click=move |_| hands.send(Msg::Open(Panel::None))>{words::back()}</button>
                <button type="button" class="ghost" on:click=write>{words::leave_with_reason()}</button>
            </div>
        </section>
    }
    .into_any()
}

/// An act that is not in the plan, written down as it happened.
fn happened(services: Services, hands: Screen<Hands>) -> AnyView {
    let mut group = GroupState::new("steps.happened", &[("act", "", true)], services.context());
    group.prefill("act", "accepted", "happened");
    let screen = group_screen(group.only("act", &["act", "pole", "done_at", "accepted", "why"]), services);
    view! {
        <section class="card stack" aria-label=words::something_happened()>
            <h3>{words::something_happened()}</h3>
            <p>{words::something_happened_why()}</p>
            <GroupView screen/>
            <SaveGroup screen save=words::write_it_down()/>
            <button type="button" class="ghost" on:click=move |_| hands.send(Msg::Open(Panel::None))>{words::back()}</button>
        </section>
    }
    .into_any()
}
