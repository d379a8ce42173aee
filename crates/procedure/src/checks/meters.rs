//! Stop checks over plates, meters, seals and what was asked on arrival.

use super::{Context, Outcome, Stop};
use crate::billing::{self, Agreement};
use crate::fit;

/// Nothing about the incoming meter says that it must not stand in for the outgoing one.
pub(super) fn meter_fits(context: &Context) -> Outcome {
    if !context.facts.is("truck", "", "incoming_checked", "yes") {
        return match context.facts.one("truck", "") {
            Some(_) => Outcome::at("incoming_checked"),
            None => Outcome::Waits,
        };
    }
    Outcome::of(fit::must_not(&context.facts).into_iter().map(Stop::at).collect())
}

/// No formal dispute, no sign of tampering.
pub(super) fn no_dispute(context: &Context) -> Outcome {
    match context.facts.one("arrive", "").and_then(|row| row.text("dispute")) {
        Some("none") => Outcome::Passes,
        Some(found) => Outcome::at(found),
        None => Outcome::Waits,
    }
}

/// Nothing else uses the CTs and VTs; where something does, or nobody knows, a named override says who has agreed.
pub(super) fn others_asked(context: &Context) -> Outcome {
    match context.facts.one("switch", "").and_then(|row| row.text("others_use")) {
        Some("no") => Outcome::Passes,
        Some(_) => Outcome::at(""),
        None => Outcome::Waits,
    }
}

/// The multiplier that follows from the plates is the one on record.
pub(super) fn multiplier_agrees(context: &Context) -> Outcome {
    match billing::agreement(&context.facts) {
        Agreement::Same | Agreement::NoRecord => Outcome::Passes,
        Agreement::PlatesMissing => Outcome::Waits,
        Agreement::PlatesTrouble => Outcome::at("plates"),
        Agreement::Differs { plates, record } => Outcome::Stops(vec![Stop::number("", plates, record, "")]),
    }
}

/// Program, service, ratios inside and clock are those planned.
pub(super) fn boot_as_planned(context: &Context) -> Outcome {
    let Some(boot) = context.facts.one("boot", "") else { return Outcome::Waits };
    let mut stops: Vec<Stop> = [("program_seen", "differs"), ("service_seen", "differs"), ("clock", "wrong")]
        .into_iter()
        .filter(|(field, bad)| boot.is(field, bad))
        .map(|(field, _)| Stop::at(field))
        .collect();
    let plate = context.facts.one("meter_plate", "incoming");
    for field in ["ratios_inside", "display"] {
        let planned = plate.as_ref().and_then(|plate| plate.text(field)).filter(|code| *code != "unknown");
        let seen = boot.text(field).filter(|code| *code != "unknown");
        if let (Some(planned), Some(seen)) = (planned, seen)
            && planned != seen
        {
            stops.push(Stop::at(field));
        }
    }
    Outcome::of(stops)
}

/// Wherever a seal was found, or was missing, one is set, and its number was read back.
pub(super) fn seals_set(context: &Context) -> Outcome {
    let wanted = context.facts.seals_wanted();
    if wanted.is_empty() {
        return Outcome::Waits;
    }
    let is_set = |position: &str| {
        context
            .facts
            .one("seal", &format!("left/{position}"))
            .is_some_and(|seal| seal.is("state", "set") && seal.text("number").is_some() && seal.is("read_back", "yes"))
    };
    let begun = context.facts.each("seal").iter().any(|seal| seal.place().starts_with("left/"));
    let missing: Vec<Stop> =
        wanted.iter().filter(|position| !is_set(position)).map(|position| Stop::at(position)).collect();
    // Before the first seal is on, nothing is amiss: the step waits.
    if !begun { Outcome::Waits } else { Outcome::of(missing) }
}
