//! Stop checks over the test switch: shorts proven before they were needed, no potential shorted, current back, all to meter.

use super::limits::{NO_CURRENT_A, SAME_CURRENT_SHARE};
use super::{Context, Outcome, Stop};
use crate::facts::ELEMENTS;
use crate::replay::{CurrentStands, PotentialStands};

/// Every CT circuit was proven shorted, or without current, before the meter was parted from it or taken out.
pub(super) fn short_proven(context: &Context) -> Outcome {
    let elements = &context.replay.elements;
    let stops: Vec<Stop> =
        elements.iter().filter(|element| element.breached).map(|element| Stop::at(element.element)).collect();
    if stops.is_empty() && !elements.iter().all(|element| element.proven) { Outcome::Waits } else { Outcome::of(stops) }
}

/// No potential is shorted, and none was.
pub(super) fn no_vt_shorted(context: &Context) -> Outcome {
    let replay = context.replay;
    let shorted = replay.potentials.iter().filter(|pole| pole.stands == PotentialStands::Shorted);
    let mut stops: Vec<Stop> = shorted.map(|pole| Stop::at(pole.pole)).collect();
    let before = replay.happenings.iter().filter(|done| done.act == "short_potential");
    for done in before {
        if !stops.iter().any(|stop| stop.place == done.pole) {
            stops.push(Stop::at(done.pole));
        }
    }
    Outcome::of(stops)
}

/// On every element the current came back after the short went off: CT side and meter side alike, and some where there was some.
pub(super) fn current_back(context: &Context) -> Outcome {
    let found = context.facts.readings("as_found", "amps");
    let mut stops = Vec::new();
    let mut waits = false;
    for (index, element) in ELEMENTS.iter().enumerate() {
        let restored = context.replay.elements.get(index).and_then(|track| track.restored_at.as_ref());
        let after = |order: usize| restored.is_some_and(|moment| moment.order < order);
        let read = context.facts.each_at("current_back", element).into_iter().rev().find(|row| after(row.order()));
        let Some((ct, meter)) = read.and_then(|row| Some((row.number("ct_side")?, row.number("meter_side")?))) else {
            waits = true;
            continue;
        };
        let had_load = found.get(index).copied().flatten().is_none_or(|amps| amps > NO_CURRENT_A);
        if (ct - meter).abs() > (ct * SAME_CURRENT_SHARE).max(NO_CURRENT_A) || (had_load && meter <= NO_CURRENT_A) {
            stops.push(Stop::number(element, meter, ct, "A"));
        }
    }
    if stops.is_empty() && waits { Outcome::Waits } else { Outcome::of(stops) }
}

/// Every current circuit and every potential is to the meter, and a meter is in.
pub(super) fn all_to_meter(context: &Context) -> Outcome {
    let replay = context.replay;
    let currents =
        replay.elements.iter().filter(|track| track.stands != CurrentStands::ToMeter).map(|track| track.name);
    let potentials =
        replay.potentials.iter().filter(|pole| pole.stands != PotentialStands::ToMeter).map(|pole| pole.name);
    let mut stops: Vec<Stop> = currents.chain(potentials).map(Stop::at).collect();
    if replay.meter_is_out {
        stops.push(Stop::at("meter"));
    }
    Outcome::of(stops)
}
