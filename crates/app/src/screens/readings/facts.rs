//! What follows from one set of readings: powers, sums, rotation, expected volts, and what stands out. No cause is named here.

use super::form::ELEMENTS;
use jobfile::Fields;
use metering::angle::AngleConvention;
use metering::decimal::Decimal;
use metering::factor::{Factor, ROOT_3};
use metering::quantity::Volts;
use metering::ratio::Ratio;
use metering::reading::{Across, ElementReading, LEAST_AMPS_FOR_ANGLE, Readings, Rotation, Written, power_factor};
use metering::service::WYE3;
use metering::working::Working;
use procedure::checks::{LOADED_A, NO_CURRENT_A};

/// An element whose current stands further than this from the others’, each against its own volts, is read again first.
/// Common practice, no source: half of the 120° by which a current of another phase is off.
pub const UNLIKE_DEGREES: f64 = 60.0;

/// One set as it was read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Set {
    /// How it was taken.
    pub how: Fields,
    /// The readings of A, B and C; absent where nothing was read.
    pub elements: [Option<Fields>; 3],
    /// Whether each element’s record is whole: nothing wrong in it, nothing under the hand.
    pub settled: [bool; 3],
}

/// What the site and its plates say.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Site {
    /// Primary volts, line to line.
    pub nominal_volts: Option<f64>,
    /// The VT ratio in use, where the plates carry one.
    pub vt: Option<Ratio>,
    /// CT ratio × VT ratio.
    pub factor: Option<Factor>,
}

/// What one element says.
#[derive(Clone, Debug, PartialEq)]
pub struct Element {
    /// `A`, `B` or `C`.
    pub name: &'static str,
    /// As read, against the reference.
    pub read: ElementReading,
    /// How far its current lies behind its own volts, −180 to 180; absent where there is next to no current.
    pub lag_degrees: Option<f64>,
    /// Its power, secondary.
    pub power: Option<Power>,
}

/// A power, secondary.
#[derive(Clone, Debug, PartialEq)]
pub struct Power {
    /// Watts.
    pub watts: f64,
    /// Vars.
    pub vars: f64,
    /// Power factor; absent without load.
    pub factor: Option<f64>,
    /// How the watts came about.
    pub working: Working,
}

/// Volts to expect at the switch, beside those read.
#[derive(Clone, Debug, PartialEq)]
pub struct Expected {
    /// `A`, `B` or `C`.
    pub name: &'static str,
    /// As read, secondary.
    pub read_volts: f64,
    /// Nominal ÷ VT ratio, secondary.
    pub expected_volts: f64,
    /// As read, on the primary side.
    pub primary_volts: f64,
    /// Read ÷ expected.
    pub share: f64,
}

/// Everything that follows from a set.
#[derive(Clone, Debug, PartialEq)]
pub struct Facts {
    /// The elements A, B, C.
    pub elements: Vec<Element>,
    /// Letter of the element whose volts count as zero degrees.
    pub reference: &'static str,
    /// Line-to-line volts: no element’s watts come of them.
    pub across_lines: bool,
    /// All elements together, secondary.
    pub total: Option<Power>,
    /// Phasor sum of the currents, in amperes.
    pub residual_amps: Option<f64>,
    /// Phasor sum of the voltages, in volts.
    pub residual_volts: Option<f64>,
    /// Rotation of the volts.
    pub volts_rotation: Option<Rotation>,
    /// Rotation of the amps.
    pub amps_rotation: Option<Rotation>,
    /// Elements without current beside loaded ones.
    pub dead: Vec<&'static str>,
    /// Elements whose current stands unlike the others’.
    pub unlike: Vec<&'static str>,
    /// Volts read beside volts expected.
    pub expected: Vec<Expected>,
    /// CT ratio × VT ratio.
    pub factor: Option<Factor>,
}

/// What follows from `set` at `site`; `None` where nothing was read, or a number cannot be.
pub fn facts(set: &Set, site: &Site) -> Option<Facts> {
    if set.elements.iter().all(Option::is_none) {
        return None;
    }
    let amps: Vec<Option<f64>> = (0..3).map(|at| number(set, at, "amps")).collect();
    let written = [0, 1, 2].map(|at| written(set, at));
    let across_lines = set.how.is("volts_of", "line_to_line");
    let readings = Readings::new(convention(set), reference(set), across(across_lines), &written).ok()?;
    let elements: Vec<Element> = ELEMENTS
        .iter()
        .zip(readings.elements())
        .enumerate()
        .map(|(at, (name, read))| element(&readings, at, name, *read))
        .collect();
    let lags: Vec<Option<f64>> = elements.iter().map(|element| element.lag_degrees).collect();
    Some(Facts {
        reference: ELEMENTS.get(reference(set)).copied().unwrap_or("A"),
        across_lines,
        total: total(&readings),
        residual_amps: residual(&readings, &elements),
        residual_volts: readings.residual_volts().ok(),
        volts_rotation: readings.volts_rotation().ok(),
        amps_rotation: if lags.iter().all(Option::is_some) { readings.amps_rotation().ok() } else { None },
        dead: dead(&amps),
        unlike: unlike(&lags),
        expected: expected(&elements, site, across_lines),
        factor: site.factor,
        elements,
    })
}

/// The numbers of an element, once its record is whole.
fn written(set: &Set, at: usize) -> Written {
    if !set.settled.get(at).copied().unwrap_or(false) {
        return Written::NOTHING;
    }
    let value = |field| number(set, at, field);
    Written {
        volts: value("volts"),
        amps: value("amps"),
        volt_angle_degrees: value("volt_angle"),
        amp_angle_degrees: value("amp_angle"),
    }
}

fn number(set: &Set, at: usize, field: &str) -> Option<f64> {
    set.elements.get(at)?.as_ref()?.decimal(field).map(Decimal::to_f64)
}

fn convention(set: &Set) -> AngleConvention {
    if set.how.is("convention", "leading_positive") {
        AngleConvention::LeadingPositive
    } else {
        AngleConvention::LaggingPositive
    }
}

fn reference(set: &Set) -> usize {
    match set.how.choice("reference") {
        Some("volts_b") => 1,
        Some("volts_c") => 2,
        _ => 0,
    }
}

fn across(lines: bool) -> Across {
    if lines { Across::Lines } else { Across::Elements }
}

fn element(readings: &Readings, at: usize, name: &'static str, read: ElementReading) -> Element {
    let flows = read.amps.is_some_and(|amps| amps.get() >= LEAST_AMPS_FOR_ANGLE);
    let lag_degrees = readings.lag_degrees(at).ok().filter(|_| flows);
    let power = readings.power(at).ok().map(|(power, working)| Power {
        watts: power.active.get(),
        vars: power.reactive.get(),
        factor: readings.apparent(at).ok().and_then(|apparent| power_factor(power.active, apparent)),
        working,
    });
    Element { name, read, lag_degrees, power }
}

/// The power factor of the total is watts over vector volt-amperes (IEEE 1459).
fn total(readings: &Readings) -> Option<Power> {
    let totals = readings.totals().ok()?;
    Some(Power {
        watts: totals.power.active.get(),
        vars: totals.power.reactive.get(),
        factor: power_factor(totals.power.active, totals.vector),
        working: totals.working,
    })
}

/// The angle of next to no current means nothing: the sum waits for currents that have one, or are read as 0.
fn residual(readings: &Readings, elements: &[Element]) -> Option<f64> {
    let tells =
        |element: &Element| element.lag_degrees.is_some() || element.read.amps.is_some_and(|amps| amps.get() == 0.0);
    elements.iter().all(tells).then(|| readings.residual_amps().ok()).flatten()
}

fn dead(amps: &[Option<f64>]) -> Vec<&'static str> {
    let loaded = amps.iter().flatten().any(|amps| *amps >= LOADED_A);
    let is_dead = |amps: &Option<f64>| loaded && amps.is_some_and(|amps| amps <= NO_CURRENT_A);
    ELEMENTS.into_iter().zip(amps).filter(|(_, amps)| is_dead(amps)).map(|(name, _)| name).collect()
}

/// Elements that stand further than [`UNLIKE_DEGREES`] from every other one that tells its angle. Of two that stand apart nobody
/// can say which is the odd one, so both are named.
fn unlike(lags: &[Option<f64>]) -> Vec<&'static str> {
    let known: Vec<(&'static str, f64)> =
        ELEMENTS.into_iter().zip(lags).filter_map(|(name, lag)| Some((name, (*lag)?))).collect();
    if known.len() < 2 {
        return Vec::new();
    }
    let is_odd = |name: &str, lag: f64| {
        known.iter().filter(|(other, _)| *other != name).all(|(_, other)| apart(lag, *other) > UNLIKE_DEGREES)
    };
    known.iter().filter(|(name, lag)| is_odd(name, *lag)).map(|(name, _)| *name).collect()
}

/// How far two angles stand apart, 0 to 180 degrees.
pub fn apart(one: f64, other: f64) -> f64 {
    let turn = (one - other).rem_euclid(360.0);
    turn.min(360.0 - turn)
}

/// A band belongs on the primary side: 113.8 V behind 8400:120 is 13.8 kV in full.
fn expected(elements: &[Element], site: &Site, across_lines: bool) -> Vec<Expected> {
    let (Some(nominal), Some(vt)) = (site.nominal_volts.and_then(|volts| Volts::new(volts).ok()), site.vt) else {
        return Vec::new();
    };
    let one = |(at, element): (usize, &Element)| {
        let to_neutral = WYE3.expected_secondary_volts(at, nominal, vt).ok()?.get();
        let expected_volts = if across_lines { to_neutral * ROOT_3 } else { to_neutral };
        let read_volts = element.read.volts?.get();
        (expected_volts > 0.0).then(|| Expected {
            name: element.name,
            read_volts,
            expected_volts,
            primary_volts: read_volts * vt.quotient().to_f64(),
            share: read_volts / expected_volts,
        })
    };
    elements.iter().enumerate().filter_map(one).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use jobfile::What;
    use serde_json::json;

    fn fields(numbers: &[(&str, &str)]) -> Fields {
        let one = |what: What, (field, value): &(&str, &str)| {
            what.with(field, json!({"value": value, "unit": "", "typed": value}))
        };
        numbers.iter().fold(What::new("reading", "as_found/A"), one).fields
    }

    /// Volts, angle of volts, amps, angle of amps.
    fn row([volts, volt_angle, amps, amp_angle]: [&str; 4]) -> Option<Fields> {
        let all = [("volts", volts), ("volt_angle", volt_angle), ("amps", amps), ("amp_angle", amp_angle)];
        Some(fields(&all.into_iter().filter(|(_, text)| !text.is_empty()).collect::<Vec<_>>()))
    }

    fn set(rows: [[&str; 4]; 3]) -> Set {
        let how = What::new("reading_set", "as_found")
            .with("convention", "lagging_positive")
            .with("reference", "volts_a")
            .fields;
        Set { how, elements: rows.map(row), settled: [true; 3] }
    }

    fn of(rows: [[&str; 4]; 3]) -> Facts {
        facts(&set(rows), &Site::default()).unwrap()
    }

    const SOUND: [[&str; 4]; 3] =
        [["120", "0", "5", "25.842"], ["120", "120", "5", "145.842"], ["120", "240", "5", "265.842"]];

    /// 120 V × 5 A × cos 25.842° = 540.00 W an element: phasor algebra.
    #[test]
    fn a_sound_set_adds_up() {
        let facts = of(SOUND);
        let total = facts.total.unwrap();
        assert!((total.watts - 1620.0).abs() < 0.01 && (total.vars - 784.6).abs() < 0.1, "{total:?}");
        assert!((total.factor.unwrap() - 0.9).abs() < 1e-5);
        assert!(facts.residual_amps.unwrap() < 1e-9 && facts.residual_volts.unwrap() < 1e-9);
        assert_eq!(facts.volts_rotation, facts.amps_rotation);
        assert!(facts.dead.is_empty() && facts.unlike.is_empty());
    }

    #[test]
    fn a_current_turned_round_is_unlike_and_the_others_are_not() {
        let mut rows = SOUND;
        rows[2][3] = "85.842";
        let facts = of(rows);
        assert_eq!(facts.unlike, ["C"]);
        assert!((facts.residual_amps.unwrap() - 10.0).abs() < 1e-9, "twice a phase");
        let two = of([SOUND[0], ["120", "120", "5", "325.842"], ["120", "240", "", ""]]);
        assert_eq!(two.unlike, ["A", "B"], "of two, nobody knows which");
    }

    #[test]
    fn angles_are_compared_the_short_way_round() {
        assert!((apart(-179.0, 179.0) - 2.0).abs() < 1e-9);
        let facts = of([["120", "0", "5", "350"], ["120", "120", "5", "130"], ["120", "240", "5", "240"]]);
        assert!(facts.unlike.is_empty(), "10° ahead, 10° behind and 0°");
    }

    #[test]
    fn no_current_beside_load_is_seen_before_the_set_is_whole() {
        let mut half = set([["118", "", "2.86", ""], ["118", "", "0", ""], ["", "", "", ""]]);
        half.settled = [false, false, true];
        let found = facts(&half, &Site::default()).unwrap();
        assert_eq!(found.dead, ["B"]);
        assert!(found.total.is_none() && found.elements[0].power.is_none());
        assert!(
            of([["118", "0", "0", ""], ["118", "120", "0", ""], ["118", "240", "0.01", ""]]).dead.is_empty(),
            "no load at all"
        );
    }

    #[test]
    fn next_to_no_current_has_no_angle() {
        let mut rows = SOUND;
        rows[1] = ["120", "120", "0.03", "300"];
        let facts = of(rows);
        assert_eq!(facts.elements[1].lag_degrees, None);
        assert_eq!((facts.residual_amps, facts.amps_rotation), (None, None));
        assert!(facts.unlike.is_empty());
    }

    /// 13.8 kV through 8400:120 gives 113.82 V; compared with 120 V it would look low, on the primary side it is whole.
    #[test]
    fn volts_are_judged_on_the_primary_side() {
        let site = Site { nominal_volts: Some(13_800.0), vt: Some(Ratio::parse("8400:120").unwrap()), factor: None };
        let mut rows = SOUND;
        rows[0][0] = "113.82";
        let found = facts(&set(rows), &site).unwrap();
        let a = &found.expected[0];
        assert!((a.expected_volts - 113.82).abs() < 0.005 && (a.primary_volts - 7967.4).abs() < 0.05, "{a:?}");
        assert!((a.share - 1.0).abs() < 1e-4);
        let mut lines = set(rows);
        lines.how = What::new("reading_set", "as_found").with("volts_of", "line_to_line").fields;
        let found = facts(&lines, &site).unwrap();
        assert!((found.expected[0].expected_volts - 197.14).abs() < 0.01);
        assert!(found.across_lines && found.total.is_none());
    }

    #[test]
    fn the_other_convention_and_reference_tell_the_same_site() {
        let mut leading =
            set([["120", "120", "5", "94.158"], ["120", "0", "5", "-25.842"], ["120", "-120", "5", "-145.842"]]);
        leading.how = What::new("reading_set", "as_found")
            .with("convention", "leading_positive")
            .with("reference", "volts_b")
            .fields;
        let found = facts(&leading, &Site::default()).unwrap();
        assert_eq!(found.reference, "B");
        assert!((found.total.unwrap().watts - 1620.0).abs() < 0.01);
        assert_eq!(found.volts_rotation, of(SOUND).volts_rotation);
    }

    #[test]
    fn nothing_read_says_nothing() {
        assert_eq!(facts(&Set::default(), &Site::default()), None);
    }
}
