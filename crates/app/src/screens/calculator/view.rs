//! The calculator’s page: plates and meter in, multiplier with its working out.

use super::ratio::{self, Answer};
use crate::drawing::{Node, Tag, classed, div, facts, finding, many, notice, p, tag};
use crate::group::{group_view, loose_screen};
use crate::route::Route;
use crate::services::Services;
use crate::shell::Shell;
use crate::working::{shown, working_view};
use metering::factor::Factor;
use metering::multiplier::{Candidate, Outside, RatiosInside};
use metering::working::Shown;

/// Ratio and multiplier.
pub fn calculator(services: Services) -> Node {
    let screen = loose_screen(ratio::group(services.context()), services);
    let answer = move || show(screen.with(|group| ratio::answer(group, &services.context())));
    Shell::new(services, words::calculator())
        .sub(words::ratio_and_multiplier())
        .place(Route::Calculator)
        .around(vec![tag("DIV").set("aria-live", "polite").live(answer).into(), group_view(screen)])
}

fn show(answer: Answer) -> Node {
    match answer {
        Answer::Waiting => p("say").put(words::multiplier_waiting()).into(),
        Answer::Cannot(code) => p("field__complaint").put(words::of_code(&format!("calc-{code}"), &[])).into(),
        Answer::Multiplier(found) => {
            let constant = found.primary_kh.map(|(constant, working)| {
                many([value(constant, "Wh", words::primary_kh()).into(), working_view(&working)])
            });
            many([multiplier(found.outside), constant.into()])
        }
    }
}

/// A computed number in large figures, and what it is.
fn value(factor: Factor, unit: &'static str, what: &str) -> Tag {
    let shown_value = if unit.is_empty() { Shown::factor(factor) } else { Shown::exact(factor, unit) };
    let word = classed("SPAN", "value__word").put(what).put(", ").put(words::computed());
    div("value value--computed").put(classed("SPAN", "value__number").put(shown(&shown_value))).put(word)
}

fn multiplier(outside: Outside) -> Node {
    match outside {
        Outside::Known(candidate) => known(*candidate),
        Outside::Undecided(candidates) => finding(words::multiplier_undecided())
            .put(tag("P").put(words::multiplier_look()))
            .put(each(&candidates))
            .into(),
        Outside::Contradiction { by_program, by_display } => finding(words::multiplier_contradiction())
            .put(tag("P").put(words::multiplier_by_program()))
            .put(each(&by_program))
            .put(tag("P").put(words::multiplier_by_display()))
            .put(each(&by_display))
            .into(),
    }
}

fn known(candidate: Candidate) -> Node {
    let once =
        (candidate.applied != RatiosInside::None).then(|| notice(words::signal_notice(), words::multiplier_once()));
    let card = classed("SECTION", "card card--strong").set("aria-label", words::billing_multiplier()).put(value(
        candidate.multiplier,
        "",
        words::billing_multiplier(),
    ));
    many([card.into(), once.into(), working_view(&candidate.working)])
}

fn each(candidates: &[Candidate]) -> Node {
    let mut rows = Vec::new();
    for candidate in candidates {
        let name = words::choice("meter_plate", "ratios_inside", candidate.applied.code());
        rows.push(vec![name.into(), shown(&Shown::factor(candidate.multiplier)).into()]);
    }
    facts(&[&words::field("meter_plate", "ratios_inside"), words::multiply_by()], rows, true).into()
}
