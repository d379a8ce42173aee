//! Stop checks over the order in which things were done: reads against potentials and shorts, neutral against phases, peak last.

use super::{Context, Outcome, Stop};
use crate::replay::Happening;

/// The final reads were taken before the first potential went up.
pub(super) fn reads_before_dark(context: &Context) -> Outcome {
    let Some(read) = context.facts.one("read_set", "outgoing/final") else { return Outcome::Waits };
    match context.replay.first_potential_up() {
        Some(up) if up.is_before(&read.moment()) => Outcome::at(""),
        _ => Outcome::Passes,
    }
}

/// The start reads were taken before the first short came off.
pub(super) fn start_before_load(context: &Context) -> Outcome {
    let Some(read) = context.facts.one("read_set", "incoming/start") else { return Outcome::Waits };
    match context.replay.first_current_back() {
        Some(back) if back.is_before(&read.moment()) => Outcome::at(""),
        _ => Outcome::Passes,
    }
}

/// No phase was still closed when the neutral went up.
pub(super) fn neutral_last(context: &Context) -> Outcome {
    neutral(context, "open_potential", |phases_parted| phases_parted < 3)
}

/// No phase was closed before the neutral.
pub(super) fn neutral_first(context: &Context) -> Outcome {
    neutral(context, "close_potential", |phases_parted| phases_parted < 3)
}

/// Walks the log with the number of phases parted; `wrong` says at which number the neutral must not be moved by `act`.
fn neutral(context: &Context, act: &str, wrong: impl Fn(usize) -> bool) -> Outcome {
    let mut parted = [false; 3];
    let mut seen = false;
    for Happening { act: done, pole, .. } in &context.replay.happenings {
        if !matches!(*done, "open_potential" | "close_potential") {
            continue;
        }
        seen |= *done == act;
        let opens = *done == "open_potential";
        match crate::facts::ELEMENTS.iter().position(|element| element == pole) {
            Some(phase) => parted[phase] = opens,
            // One statement for all of them was made in the right order.
            None if *pole == "all" => parted = [opens; 3],
            None if *done == act && wrong(parted.iter().filter(|parted| **parted).count()) => return Outcome::at("N"),
            None => {}
        }
    }
    if seen { Outcome::Passes } else { Outcome::Waits }
}

/// The peak was reset after the last thing that could raise it, or the meter keeps none.
pub(super) fn peak_reset_last(context: &Context) -> Outcome {
    let Some(after) = context.facts.one("after", "") else { return Outcome::Waits };
    match after.text("peak_reset") {
        Some("no_demand_register") => Outcome::Passes,
        Some("done_last") => match (after.time_ms("reset_at"), context.replay.last_current_back()) {
            (Some(reset), Some(back)) if reset < back.at_ms => Outcome::Stops(vec![Stop::at("reset_at")]),
            _ => Outcome::Passes,
        },
        Some(_) => Outcome::at(""),
        None => Outcome::Waits,
    }
}
