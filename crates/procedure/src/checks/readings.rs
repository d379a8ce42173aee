//! Stop checks over what instruments showed: the enclosure, the first look, readings as found and as left, live–dead–live.

use super::limits::{
    CURRENT_SHARE_FACTOR, DEAD_BELOW_V, LIVE_SHARE, LIVE_V, LOADED_A, NO_CURRENT_A, VOLTS_CHANGE_SHARE,
    VOLTS_SPREAD_SHARE,
};
use super::{Context, Outcome, Stop};
use crate::facts::{ELEMENTS, Facts, Row};
use metering::angle::{Angle, AngleConvention};

/// The enclosure was proven dead before it was touched.
pub(super) fn enclosure_dead(context: &Context) -> Outcome {
    match context.facts.one("first_look", "").and_then(|row| row.text("enclosure_dead")) {
        Some("yes") => Outcome::Passes,
        Some(_) => Outcome::at(""),
        None => Outcome::Waits,
    }
}

/// No CT hums, and no element is without current beside loaded ones.
pub(super) fn no_broken_ct(context: &Context) -> Outcome {
    let facts = &context.facts;
    let Some(hum) = facts.one("first_look", "").and_then(|row| row.text("hum")) else { return Outcome::Waits };
    let amps = facts.readings("as_found", "amps");
    let mut stops = dead_stops(amps);
    if hum == "yes" {
        stops.insert(0, Stop::at("CT"));
    }
    // A hum, or what two elements already show, does not wait for the third.
    if stops.is_empty() && amps.contains(&None) { Outcome::Waits } else { Outcome::of(stops) }
}

/// Elements without current as found, beside loaded ones.
pub(crate) fn dead_beside_loaded(facts: &Facts) -> Vec<&'static str> {
    let stops = dead_stops(facts.readings("as_found", "amps"));
    ELEMENTS.into_iter().filter(|element| stops.iter().any(|stop| stop.place == *element)).collect()
}

fn dead_stops(amps: [Option<f64>; 3]) -> Vec<Stop> {
    let loaded = amps.iter().flatten().any(|amps| *amps >= LOADED_A);
    let dead = |amps: f64| loaded && amps <= NO_CURRENT_A;
    ELEMENTS
        .iter()
        .zip(amps)
        .filter_map(|(element, amps)| {
            amps.filter(|amps| dead(*amps)).map(|found| Stop::number(element, found, LOADED_A, "A"))
        })
        .collect()
}

/// Volts are alike on the three elements and, where angles were read and nothing generates, power flows to the customer on each.
pub(super) fn wiring_checked(context: &Context) -> Outcome {
    let facts = &context.facts;
    let (Some(volts), Some(_)) =
        (whole(facts.readings("as_found", "volts")), whole(facts.readings("as_found", "amps")))
    else {
        return Outcome::Waits;
    };
    let mean = volts.iter().sum::<f64>() / 3.0;
    let mut stops: Vec<Stop> = ELEMENTS
        .iter()
        .zip(volts)
        .filter(|(_, volts)| (volts - mean).abs() > mean * VOLTS_SPREAD_SHARE || *volts <= 0.0)
        .map(|(element, volts)| Stop::number(element, volts, mean, "V"))
        .collect();
    if !facts.is("arrive", "", "generation", "yes") {
        stops.extend(backward(facts, "as_found"));
    }
    Outcome::of(stops)
}

/// Elements whose power flows back, where both angles of the element were read.
fn backward(facts: &Facts, stage: &str) -> Vec<Stop> {
    let volts = facts.readings(stage, "volt_angle");
    let amps = facts.readings(stage, "amp_angle");
    ELEMENTS
        .iter()
        .zip(volts.into_iter().zip(amps))
        .filter_map(|(element, (volts, amps))| {
            // The sign of a difference of two angles does not matter to its cosine, so neither does the convention.
            let of = |degrees| Angle::from_degrees(degrees, AngleConvention::LaggingPositive).ok();
            let (cos, _) = (of(volts?)? - of(amps?)?).cos_sin();
            (cos < 0.0).then(|| Stop::number(element, cos, 0.0, ""))
        })
        .collect()
}

/// The tester was live before and after, and found nothing live in between; auxiliary supply and pulse wires included.
pub(super) fn live_dead_live(context: &Context) -> Outcome {
    match context.facts.one("dead_test", "") {
        Some(test) => dead_test(&context.facts, &test),
        None => Outcome::Waits,
    }
}

/// How one live–dead–live test went.
pub(crate) fn dead_test(facts: &Facts, test: &Row) -> Outcome {
    let (Some(before), Some(found), Some(after)) =
        (test.number("live_before"), test.number("highest_found"), test.number("live_after"))
    else {
        return Outcome::Waits;
    };
    let as_found: Vec<f64> = facts.readings("as_found", "volts").into_iter().flatten().collect();
    let live = match as_found.len() {
        0 => LIVE_V,
        count => LIVE_SHARE * as_found.iter().sum::<f64>() / count as f64,
    };
    let mut stops = Vec::new();
    if before < live {
        stops.push(Stop::number("live_before", before, live, "V"));
    }
    if found >= DEAD_BELOW_V {
        stops.push(Stop::number("highest_found", found, DEAD_BELOW_V, "V"));
    }
    if after < live {
        stops.push(Stop::number("live_after", after, live, "V"));
    }
    if test.is("auxiliary_dead", "no") {
        stops.push(Stop::at("auxiliary_dead"));
    }
    Outcome::of(stops)
}

/// Readings as left against those as found: volts hardly moved, no element without current beside loaded ones, the shares of
/// the currents much as before, and power flows the way it did.
pub(super) fn as_left_agrees(context: &Context) -> Outcome {
    let facts = &context.facts;
    let left = (whole(facts.readings("as_left", "volts")), whole(facts.readings("as_left", "amps")));
    let (Some(volts), Some(amps)) = left else { return Outcome::Waits };
    let volts_found = facts.readings("as_found", "volts");
    let mut stops = dead_stops(amps.map(Some));
    for ((element, now), before) in ELEMENTS.iter().zip(volts).zip(volts_found) {
        if let Some(before) = before
            && (now - before).abs() > before * VOLTS_CHANGE_SHARE
        {
            stops.push(Stop::number(element, now, before, "V"));
        }
    }
    if stops.is_empty()
        && let Some(found) = whole(facts.readings("as_found", "amps"))
    {
        stops.extend(shares_moved(found, amps));
    }
    if !facts.is("arrive", "", "generation", "yes") {
        stops.extend(backward(facts, "as_left"));
    }
    Outcome::of(stops)
}

fn shares_moved(found: [f64; 3], left: [f64; 3]) -> Vec<Stop> {
    let (before, after): (f64, f64) = (found.iter().sum(), left.iter().sum());
    // Without load on both occasions shares say nothing.
    if before < LOADED_A || after < LOADED_A {
        return Vec::new();
    }
    let moved =
        |was: f64, is: f64| was > LOADED_A && (is > was * CURRENT_SHARE_FACTOR || is * CURRENT_SHARE_FACTOR < was);
    ELEMENTS
        .iter()
        .zip(found.into_iter().zip(left))
        .map(|(element, (was, is))| (element, was * after / before, is))
        .filter(|(_, was, is)| moved(*was, *is))
        .map(|(element, was, is)| Stop::number(element, is, was, "A"))
        .collect()
}

fn whole(values: [Option<f64>; 3]) -> Option<[f64; 3]> {
    match values {
        [Some(a), Some(b), Some(c)] => Some([a, b, c]),
        _ => None,
    }
}
