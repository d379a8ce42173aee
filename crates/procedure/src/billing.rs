//! What billing must know of the numbers: multipliers from the plates found against the record, register differences, the peak
//! that must survive.

use crate::facts::{ELEMENTS, Facts, Row};
use metering::decimal::Decimal;
use metering::factor::Factor;
use metering::multiplier::{Candidate, MultiplierError, Outside, Plates, RatiosInside, Reads, outside};
use metering::ratio::{Rated, Ratio};
use metering::register::{Advance, Register, RegisterError, advance_without_digits};

/// Most difference between a multiplier on record and one from plates that counts as rounding on paper, as a share.
const PAPER_ROUNDING_SHARE: f64 = 1e-6;

/// Why the plates give no multiplier.
#[derive(Clone, Debug, PartialEq)]
pub enum PlateTrouble {
    /// A plate has not been read: kind and place.
    Missing {
        /// `ct_plate`, `vt_plate` or `meter_plate`.
        kind: &'static str,
        /// Its place.
        place: String,
    },
    /// The plates of the three elements do not carry one ratio.
    Unlike {
        /// `ct_plate` or `vt_plate`.
        kind: &'static str,
    },
    /// A tap is not written as a ratio, so the ratio in use is not known.
    Tap {
        /// Its element.
        place: String,
    },
    /// The facts about the meter leave several multipliers, or contradict each other.
    Undecided(Vec<Candidate>),
    /// The arithmetic gave none.
    Arithmetic(MultiplierError),
}

/// How the multiplier from the plates stands to the one on record.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Agreement {
    /// They are the same.
    Same,
    /// The office knows none.
    NoRecord,
    /// Plates are still to be read.
    PlatesMissing,
    /// The plates give no single multiplier.
    PlatesTrouble,
    /// They differ.
    Differs {
        /// From the plates.
        plates: f64,
        /// On record.
        record: f64,
    },
}

/// The multiplier that a meter (`outgoing` or `incoming`) needs outside, from the plates found.
///
/// # Errors
/// [`PlateTrouble`] where the plates leave none, or several.
pub(crate) fn multiplier(facts: &Facts, meter: &str) -> Result<Candidate, PlateTrouble> {
    let ct = common_ratio(facts, "ct_plate")?;
    let vt = common_ratio(facts, "vt_plate")?;
    let place = || PlateTrouble::Missing { kind: "meter_plate", place: meter.to_owned() };
    let plate = facts.one("meter_plate", meter).ok_or_else(place)?;
    let plates = Plates {
        ct,
        vt,
        register_constant: plate.decimal("register_constant").unwrap_or_else(|| Decimal::whole(1)),
        inside: RatiosInside::from_code(plate.text("ratios_inside")),
        inside_ct: ratio(&plate, "inside_ct"),
        inside_vt: ratio(&plate, "inside_vt"),
        reads: Reads::from_code(plate.text("display")),
    };
    match outside(&plates).map_err(PlateTrouble::Arithmetic)? {
        Outside::Known(candidate) => Ok(*candidate),
        Outside::Undecided(candidates) => Err(PlateTrouble::Undecided(candidates)),
        Outside::Contradiction { mut by_program, by_display } => {
            by_program.extend(by_display);
            Err(PlateTrouble::Undecided(by_program))
        }
    }
}

/// How the outgoing meter's multiplier from the plates stands to the one on record.
pub(crate) fn agreement(facts: &Facts) -> Agreement {
    let plates = match multiplier(facts, "outgoing") {
        Ok(candidate) => candidate.multiplier,
        Err(PlateTrouble::Missing { .. }) => return Agreement::PlatesMissing,
        Err(_) => return Agreement::PlatesTrouble,
    };
    let Some(record) = facts.one("on_record", "").and_then(|row| row.decimal("multiplier")) else {
        return Agreement::NoRecord;
    };
    let (exact, found, written) = (Factor::from(record), plates.to_f64(), record.to_f64());
    if exact == plates || (plates.has_root_3() && (found - written).abs() <= found * PAPER_ROUNDING_SHARE) {
        Agreement::Same
    } else {
        Agreement::Differs { plates: found, record: written }
    }
}

/// The one ratio in use that all three plates of a kind carry.
fn common_ratio(facts: &Facts, kind: &'static str) -> Result<Ratio, PlateTrouble> {
    let mut common: Option<Ratio> = None;
    for element in ELEMENTS {
        let missing = || PlateTrouble::Missing { kind, place: format!("found/{element}") };
        let row = facts.one(kind, &format!("found/{element}")).ok_or_else(missing)?;
        let stamped = ratio(&row, "ratio").ok_or_else(missing)?;
        let tap = match row.text("tap") {
            Some(text) => Some(Ratio::parse(text).map_err(|_| PlateTrouble::Tap { place: element.to_owned() })?),
            None => None,
        };
        let turns = row.fields().count("turns").unwrap_or(1);
        let used = stamped.in_use(tap, turns).map_err(|why| PlateTrouble::Arithmetic(MultiplierError::Ratio(why)))?;
        match common {
            Some(known) if known.quotient() != used.quotient() => return Err(PlateTrouble::Unlike { kind }),
            Some(_) => {}
            None => common = Some(used),
        }
    }
    common.ok_or(PlateTrouble::Unlike { kind })
}

pub(crate) fn ratio(row: &Row, field: &str) -> Option<Ratio> {
    let (primary, secondary) = row.fields().ratio_sides(field)?;
    Ratio::new(Rated::from_parts(primary).ok()?, Rated::from_parts(secondary).ok()?).ok()
}

/// The ratios in use, where the three plates of a kind carry one.
pub(crate) fn ratios(facts: &Facts) -> (Option<Ratio>, Option<Ratio>) {
    (common_ratio(facts, "ct_plate").ok(), common_ratio(facts, "vt_plate").ok())
}

/// CT ratio × VT ratio as the plates carry them, for power on the primary side.
pub(crate) fn transformer_factor(facts: &Facts) -> Result<f64, PlateTrouble> {
    let (ct, vt) = (common_ratio(facts, "ct_plate")?, common_ratio(facts, "vt_plate")?);
    let factor = metering::multiplier::transformer_factor(ct, vt).map_err(PlateTrouble::Arithmetic)?;
    Ok(factor.0.to_f64())
}

/// What a register advanced between two places of reads, such as `outgoing/early` and `outgoing/final`.
pub(crate) fn advance(facts: &Facts, from: &str, to: &str, code: &str) -> Option<Result<Advance, RegisterError>> {
    let (earlier, later) =
        (facts.one("register", &format!("{from}/{code}"))?, facts.one("register", &format!("{to}/{code}"))?);
    let (previous, present) = (earlier.decimal("value")?, later.decimal("value")?);
    let size = |field| {
        later.fields().count(field).or(earlier.fields().count(field)).and_then(|count| u8::try_from(count).ok())
    };
    Some(match (size("digits"), size("decimals")) {
        (Some(digits), decimals) => {
            Register::new(digits, decimals.unwrap_or(0)).and_then(|register| register.advance(previous, present))
        }
        (None, _) => advance_without_digits(previous, present),
    })
}

/// A peak with its own multiplier, on the primary side.
#[derive(Clone, Debug, PartialEq)]
pub struct Peak {
    /// `outgoing` or `incoming`.
    pub meter: &'static str,
    /// Code of the register.
    pub register: String,
    /// Its unit.
    pub unit: String,
    /// As read.
    pub read: Decimal,
    /// Times the meter's own multiplier.
    pub primary: Factor,
}

/// Every peak that was read, each times its own meter's multiplier; the final reads count, else the early ones.
///
/// # Source
/// The billing peak is the greater of the two meters' peaks, each times its own multiplier: common practice.
pub(crate) fn peaks(facts: &Facts) -> Vec<Peak> {
    let mut peaks = Vec::new();
    for (meter, places) in
        [("outgoing", ["outgoing/final", "outgoing/early"]), ("incoming", ["incoming/final_start", "incoming/start"])]
    {
        let Ok(candidate) = multiplier(facts, meter) else { continue };
        let mut known: Vec<&str> = Vec::new();
        for place in places {
            for (code, row) in facts.registers(place) {
                let Some(unit) = row.text("unit").filter(|unit| matches!(*unit, "kW" | "kvar" | "kVA")) else {
                    continue;
                };
                if known.contains(&code) {
                    continue;
                }
                let Some(read) = row.decimal("value") else { continue };
                let Ok(primary) = candidate.multiplier.times(Factor::from(read)) else { continue };
                known.push(code);
                peaks.push(Peak { meter, register: code.to_owned(), unit: unit.to_owned(), read, primary });
            }
        }
    }
    peaks
}

/// The greatest peak of each unit: what must survive the change.
pub(crate) fn surviving_peaks(facts: &Facts) -> Vec<Peak> {
    let mut best: Vec<Peak> = Vec::new();
    for peak in peaks(facts) {
        match best.iter_mut().find(|known| known.unit == peak.unit) {
            Some(known) if known.primary.to_f64() < peak.primary.to_f64() => *known = peak,
            Some(_) => {}
            None => best.push(peak),
        }
    }
    best
}
