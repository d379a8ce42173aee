//! Which registers a reading asks for, and the table of what was read.

use jobfile::Fold;
use jobfile::kinds::{ENERGY_UNITS, REGISTERS};
use metering::decimal::Decimal;
use metering::register::{Register, advance_without_digits};

/// A reading of one meter at one moment: its place in the log.
pub const MOMENTS: [&str; 4] = ["outgoing/early", "outgoing/final", "incoming/start", "incoming/final_start"];

/// The registers that every reading asks for.
const ALWAYS: [&str; 2] = ["kwh_delivered", "kw_peak"];

/// Registers to ask for at a moment: the usual ones, those read earlier on the same meter, and those read already.
pub fn asked(fold: &Fold, moment: &str) -> Vec<&'static str> {
    let meter = moment.split('/').next().unwrap_or("");
    let read = |code: &str| {
        fold.each("register").any(|(place, _)| place.starts_with(meter) && place.ends_with(&format!("/{code}")))
    };
    REGISTERS.iter().copied().filter(|code| ALWAYS.contains(code) || read(code)).collect()
}

/// The registers that are not asked for unless a person wants them.
pub fn further(fold: &Fold, moment: &str) -> Vec<&'static str> {
    let asked = asked(fold, moment);
    REGISTERS.iter().copied().filter(|code| !asked.contains(code)).collect()
}

/// One register as it was read at two moments of one meter.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Moved {
    /// The register’s code.
    pub code: String,
    /// At the first moment.
    pub first: Option<String>,
    /// At the second.
    pub second: Option<String>,
    /// How far it moved on in between; over the top where the number of digits is known.
    pub moved: Option<String>,
}

/// How far every register moved between two moments.
pub fn moved(fold: &Fold, first: &str, second: &str) -> Vec<Moved> {
    let meter = first.split('/').next().unwrap_or("");
    let plate = fold.one("meter_plate", meter);
    let digits = plate.and_then(|plate| plate.fields.count("digits")).and_then(|digits| u8::try_from(digits).ok());
    let decimals =
        plate.and_then(|plate| plate.fields.count("decimals")).and_then(|decimals| u8::try_from(decimals).ok());
    let read = |moment: &str, code: &str| fold.one("register", &format!("{moment}/{code}"));
    let value = |moment: &str, code: &str| read(moment, code).and_then(|live| live.fields.decimal("value"));
    // A peak does not move on, whatever the difference of two readings of it.
    let counts_energy = |code: &&&str| {
        let unit = read(second, code).or_else(|| read(first, code)).and_then(|live| live.fields.text("unit"));
        unit.is_some_and(|unit| ENERGY_UNITS.contains(&unit))
    };
    REGISTERS
        .iter()
        .filter(counts_energy)
        .map(|code| {
            let (one, two) = (value(first, code), value(second, code));
            let moved = one.zip(two).and_then(|(one, two)| difference(one, two, digits, decimals.unwrap_or(0)));
            let text = |value: Option<Decimal>| value.map(|value| value.to_string());
            Moved { code: (*code).to_string(), first: text(one), second: text(two), moved }
        })
        .filter(|row| row.first.is_some() || row.second.is_some())
        .collect()
}

fn difference(first: Decimal, second: Decimal, digits: Option<u8>, decimals: u8) -> Option<String> {
    let advance = match digits {
        Some(digits) => Register::new(digits, decimals).ok()?.advance(first, second),
        None => advance_without_digits(first, second),
    };
    advance.ok().map(|advance| advance.units.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;
    use jobfile::{DeviceId, Draft, JobId, Journal, Stamp, What};
    use serde_json::json;

    fn fold(whats: Vec<What>) -> Fold {
        let mut journal = Journal::new(JobId::from_bits([1; 16]));
        let at = jobfile::moment::read_time("2026-06-12T10:00:00+02:00").unwrap();
        let stamp = Stamp { at, session: "s".into(), since_start_ms: 0, who: "M. Oduya".into() };
        let drafts: Vec<Draft> = whats.into_iter().map(Draft::new).collect();
        let entries = journal.compose(DeviceId::from_bits([1; 16]), &stamp, &drafts).unwrap();
        journal.append(entries).unwrap();
        Fold::of(&journal)
    }

    fn register(place: &str, value: &str) -> What {
        What::new("register", place)
            .with("value", json!({"value": value, "unit": "", "typed": value}))
            .with("unit", "kWh")
    }

    #[test]
    fn a_register_goes_over_the_top() {
        let plate =
            What::new("meter_plate", "outgoing").with("number", "L-1").with("ratios_inside", "none").with("digits", 5);
        let fold = fold(vec![
            plate,
            register("outgoing/early/kwh_delivered", "99871"),
            register("outgoing/final/kwh_delivered", "214"),
        ]);
        assert_eq!(moved(&fold, "outgoing/early", "outgoing/final")[0].moved.as_deref(), Some("343"));
    }

    #[test]
    fn without_its_digits_a_register_that_fell_says_nothing() {
        let fold = fold(vec![
            register("outgoing/early/kwh_delivered", "99871"),
            register("outgoing/final/kwh_delivered", "214"),
        ]);
        assert_eq!(moved(&fold, "outgoing/early", "outgoing/final")[0].moved, None);
    }

    #[test]
    fn a_peak_does_not_move_on() {
        let peak = |place: &str, value: &str| {
            What::new("register", place)
                .with("value", json!({"value": value, "unit": "", "typed": value}))
                .with("unit", "kW")
        };
        let fold = fold(vec![peak("outgoing/early/kw_peak", "1.30"), peak("outgoing/final/kw_peak", "1.35")]);
        assert_eq!(moved(&fold, "outgoing/early", "outgoing/final"), vec![]);
    }

    #[test]
    fn what_was_read_early_is_asked_for_again() {
        let fold = fold(vec![register("outgoing/early/kvarh_delivered", "12")]);
        assert!(asked(&fold, "outgoing/final").contains(&"kvarh_delivered"));
        assert!(further(&fold, "incoming/start").contains(&"kvarh_delivered"));
    }
}
