//! The calculator’s page: plates and meter in, multiplier with its working out.

use super::ratio::{self, Answer};
use crate::group::GroupView;
use crate::group::view::loose_screen;
use crate::route::Route;
use crate::services::Services;
use crate::shell::Shell;
use crate::working::{WorkingView, shown};
use leptos::prelude::*;
use metering::factor::Factor;
use metering::multiplier::{Candidate, Outside, RatiosInside};
use metering::working::{Shown, Working};

/// Ratio and multiplier.
#[component]
pub fn Calculator(services: Services) -> impl IntoView {
    let screen = loose_screen(ratio::group(services.context()), services);
    let answer = move || screen.with(|group| ratio::answer(group, &services.context()));
    view! {
        <Shell title=words::calculator() sub=words::ratio_and_multiplier() place=Route::Calculator>
            <div aria-live="polite">{move || show(answer())}</div>
            <GroupView screen/>
        </Shell>
    }
    .into_any()
}

fn show(answer: Answer) -> AnyView {
    match answer {
        Answer::Waiting => view! { <p class="say">{words::multiplier_waiting()}</p> }.into_any(),
        Answer::Cannot(code) => {
            view! { <p class="field__complaint">{words::of_code(&format!("calc-{code}"), &[])}</p> }.into_any()
        }
        Answer::Multiplier(found) => view! {
            {multiplier(found.outside)}
            {found.primary_kh.map(|(value, working)| constant(value, working))}
        }
        .into_any(),
    }
}

fn multiplier(outside: Outside) -> AnyView {
    match outside {
        Outside::Known(candidate) => known(*candidate),
        Outside::Undecided(candidates) => view! {
            <section class="finding"><h2 class="finding__title">{words::multiplier_undecided()}</h2><p>{words::multiplier_look()}</p>{each(candidates)}</section>
        }
        .into_any(),
        Outside::Contradiction { by_program, by_display } => view! {
            <section class="finding">
                <h2 class="finding__title">{words::multiplier_contradiction()}</h2>
                <p>{words::multiplier_by_program()}</p>{each(by_program)}
                <p>{words::multiplier_by_display()}</p>{each(by_display)}
            </section>
        }
        .into_any(),
    }
}

fn known(candidate: Candidate) -> AnyView {
    let once = (candidate.applied != RatiosInside::None).then(words::multiplier_once);
    view! {
        <section class="card card--strong" aria-label=words::billing_multiplier()>
            <div class="value value--computed">
                <span class="value__number">{shown(&Shown::factor(candidate.multiplier))}</span>
                <span class="value__word">{words::billing_multiplier()}", "{words::computed()}</span>
            </div>
        </section>
        {once.map(|once| view! { <p class="signal signal--notice"><span class="signal__say"><strong class="signal__word">{words::signal_notice()}</strong>" "{once}</span></p> })}
        <WorkingView working=candidate.working/>
    }
    .into_any()
}

fn each(candidates: Vec<Candidate>) -> AnyView {
    let rows = candidates.into_iter().map(|candidate| {
        view! { <tr><th scope="row">{words::choice("meter_plate", "ratios_inside", candidate.applied.code())}</th><td class="facts__number">{shown(&Shown::factor(candidate.multiplier))}</td></tr> }
    });
    view! {
        <table class="facts">
            <thead><tr><th scope="col">{words::field("meter_plate", "ratios_inside")}</th><th scope="col" class="facts__number">{words::multiply_by()}</th></tr></thead>
            <tbody>{rows.collect_view()}</tbody>
        </table>
    }
    .into_any()
}

fn constant(value: Factor, working: Working) -> AnyView {
    view! {
        <div class="value value--computed">
            <span class="value__number">{shown(&Shown::exact(value, "Wh"))}</span>
            <span class="value__word">{words::primary_kh()}", "{words::computed()}</span>
        </div>
        <WorkingView working/>
    }
    .into_any()
}
