//! The primary power of each element from the readings as found or as left, and what it rests on.

use crate::billing::{self, PlateTrouble};
use crate::facts::{ELEMENTS, Facts};
use metering::angle::AngleConvention;
use metering::reading::{Across, Readings, Written};

/// Power factor where no angle was read: least, likely, most. Common practice, no source.
pub const POWER_FACTOR_UNREAD: [f64; 3] = [0.7, 0.9, 1.0];

/// What a power rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// Volts, amperes and angles of every element.
    Angles,
    /// The meter's own display, shared out by volts times amperes.
    Display,
    /// Volts and amperes only: the power factor is not known.
    NoAngles,
}

impl Source {
    /// Every source.
    pub const ALL: [Self; 3] = [Self::Angles, Self::Display, Self::NoAngles];

    /// Stable code, `call-power_<code>`.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Angles => "angles",
            Self::Display => "display",
            Self::NoAngles => "no_angles",
        }
    }
}

/// Primary watts of one element.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Watts {
    pub least: f64,
    pub likely: f64,
    pub most: f64,
}

/// Primary watts of the three elements.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Elements {
    pub watts: [Option<Watts>; 3],
    pub source: Source,
}

/// The powers at a stage, `as_found` or `as_left`.
///
/// # Errors
/// The trouble with the plates, or `None` where the readings do not tell a power.
pub(crate) fn of(facts: &Facts, stage: &str) -> Result<Elements, Option<PlateTrouble>> {
    let readings = readings(facts, stage).ok_or(None)?;
    let factor = billing::transformer_factor(facts).map_err(Some)?;
    let exact = |watts: f64| Some(Watts { least: watts, likely: watts, most: watts });
    let measured = [0, 1, 2].map(|element| readings.power(element).ok().map(|(power, _)| power.active.get() * factor));
    if measured.iter().all(Option::is_some) {
        return Ok(Elements { watts: measured.map(|watts| watts.and_then(exact)), source: Source::Angles });
    }
    let apparent = [0, 1, 2].map(|element| readings.apparent(element).ok().map(|apparent| apparent.get() * factor));
    let [Some(a), Some(b), Some(c)] = apparent else { return Err(None) };
    let sum = a + b + c;
    if let Some(shown) = displayed_watts(facts, stage, factor).filter(|_| sum > 0.0) {
        return Ok(Elements {
            watts: [a, b, c].map(|apparent| exact(shown * apparent / sum)),
            source: Source::Display,
        });
    }
    let [least, likely, most] = POWER_FACTOR_UNREAD;
    let guessed = |apparent: f64| Watts { least: apparent * least, likely: apparent * likely, most: apparent * most };
    Ok(Elements { watts: [a, b, c].map(|apparent| Some(guessed(apparent))), source: Source::NoAngles })
}

/// A set of readings as `metering` takes it; `None` where nothing of it was written down.
pub(crate) fn readings(facts: &Facts, stage: &str) -> Option<Readings> {
    let set = facts.one("reading_set", stage);
    let is = |field: &str, code: &str| set.as_ref().is_some_and(|set| set.is(field, code));
    let convention = if is("convention", "leading_positive") {
        AngleConvention::LeadingPositive
    } else {
        AngleConvention::LaggingPositive
    };
    let reference = if is("reference", "volts_b") { 1 } else { usize::from(is("reference", "volts_c")) * 2 };
    let across = if is("volts_of", "line_to_line") { Across::Lines } else { Across::Elements };
    let written = ELEMENTS.map(|element| {
        let row = facts.one("reading", &format!("{stage}/{element}"));
        let number = |field: &str| row.as_ref().and_then(|row| row.number(field));
        Written {
            volts: number("volts"),
            amps: number("amps"),
            volt_angle_degrees: number("volt_angle"),
            amp_angle_degrees: number("amp_angle"),
        }
    });
    if written == [Written::NOTHING; 3] {
        return None;
    }
    Readings::new(convention, reference, across, &written).ok()
}

/// What the meter's own display showed, on the primary side.
fn displayed_watts(facts: &Facts, stage: &str, factor: f64) -> Option<f64> {
    let set = facts.one("reading_set", stage)?;
    let watts = set.number("display_kw")? * 1000.0;
    match set.text("display_is") {
        Some("primary") => Some(watts),
        Some("secondary") => Some(watts * factor),
        _ => None,
    }
}
