//! Energy that a fault kept from the register over a billing period, and what stands in for it where nothing was registered.
//!
//! Energy in kilowatt-hours, as registers and bills have it. A negative result is a refund: more was registered than true.

use crate::range::{OutOfRange, Range};
use crate::working::{Input, Rule, Shown, Working};
use thiserror::Error;

/// What was truly taken, and what of it was not registered.
#[derive(Clone, Debug, PartialEq)]
pub struct Unregistered {
    /// True energy, in kilowatt-hours.
    pub true_kwh: f64,
    /// True less registered, in kilowatt-hours; negative where too much was registered.
    pub unregistered_kwh: f64,
    /// How the true energy came about.
    pub working: Working,
}

/// Why there is no estimate.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum UnregisteredError {
    /// Nothing was registered: the register says nothing, only history or load can.
    #[error("nothing was registered, so nothing follows from the register")]
    NothingRegistered,
    /// No day of history.
    #[error("no history")]
    NoHistory,
    /// The fault lasted longer than the period.
    #[error("{fault_days} days of fault in {days}")]
    LongerThanPeriod {
        /// Of the fault.
        fault_days: f64,
        /// Of the period.
        days: f64,
    },
    /// A number that cannot be.
    #[error(transparent)]
    Size(#[from] OutOfRange),
}

/// Registered or true energy, in kilowatt-hours.
const ENERGY: Range = Range { what: "energy", unit: "kWh", least: -1e12, most: 1e12 };
/// A registration.
const RATIO: Range = Range { what: "registration", unit: "", least: -1e6, most: 1e6 };
/// A stretch of time, in days: a century.
const DAYS: Range = Range { what: "days", unit: "d", least: 0.0, most: 36_525.0 };
/// A power, in kilowatts.
const POWER: Range = Range { what: "power", unit: "kW", least: 0.0, most: 1e9 };
/// Mean ÷ peak.
const LOAD_FACTOR: Range = Range { what: "load_factor", unit: "", least: 0.0, most: 1.0 };
/// Below this a registration is none.
const NOTHING: f64 = 1e-9;

/// True energy where the fault lasted all the time.
///
/// # Errors
/// [`UnregisteredError`], see its variants.
pub fn from_registered(registered_kwh: f64, registration: f64) -> Result<Unregistered, UnregisteredError> {
    from_part(registered_kwh, registration, 1.0, 1.0)
}

/// True energy where the fault lasted `fault_days` of `days` at constant load and the rest was registered rightly.
///
/// # Errors
/// [`UnregisteredError`], see its variants.
pub fn from_part(
    registered_kwh: f64,
    registration: f64,
    fault_days: f64,
    days: f64,
) -> Result<Unregistered, UnregisteredError> {
    let registered = ENERGY.check(registered_kwh)?;
    let ratio = RATIO.check(registration)?;
    let (fault, all) = (DAYS.check(fault_days)?, DAYS.check(days)?);
    if fault > all {
        return Err(UnregisteredError::LongerThanPeriod { fault_days, days });
    }
    let registers = all - fault + fault * ratio;
    if registers.abs() <= NOTHING * all || all <= 0.0 {
        return Err(UnregisteredError::NothingRegistered);
    }
    let truth = ENERGY.check(registered * all / registers)?;
    let kwh = Input::new("registered", Shown::measured(registered, 2, "kWh"));
    let share = Input::new("R", Shown::measured(ratio, 4, ""));
    let day = |symbol, days| Input::new(symbol, Shown::measured(days, 2, "d"));
    let whole = fault >= all;
    let rule = if whole { Rule::UnregisteredEnergy } else { Rule::PartlyRegistered };
    let inputs = if whole { vec![kwh, share] } else { vec![kwh, share, day("wrong", fault), day("all", all)] };
    let working = Working::new(rule, inputs, Shown::measured(truth, 2, "kWh"));
    Ok(Unregistered { true_kwh: truth, unregistered_kwh: truth - registered, working })
}

/// True energy of `days` from what was registered on each day of a like period: where nothing follows from the register.
///
/// # Errors
/// [`UnregisteredError`], see its variants.
pub fn from_history(kwh_per_day: &[f64], days: f64) -> Result<(f64, Working), UnregisteredError> {
    let mut sum = 0.0;
    for kwh in kwh_per_day {
        sum += ENERGY.check(*kwh)?;
    }
    if kwh_per_day.is_empty() {
        return Err(UnregisteredError::NoHistory);
    }
    let count = u32::try_from(kwh_per_day.len()).unwrap_or(u32::MAX);
    let mean = sum / f64::from(count);
    let truth = ENERGY.check(mean * DAYS.check(days)?)?;
    let inputs =
        vec![Input::new("mean", Shown::measured(mean, 2, "kWh")), Input::new("days", Shown::measured(days, 2, "d"))];
    Ok((truth, Working::new(Rule::HistoryEnergy, inputs, Shown::measured(truth, 2, "kWh"))))
}

/// Energy of a load that no meter saw, from its peak, its load factor and how long it lasted.
///
/// # Errors
/// [`UnregisteredError`], see its variants.
pub fn from_load_factor(peak_kw: f64, load_factor: f64, hours: f64) -> Result<(f64, Working), UnregisteredError> {
    let (peak, factor) = (POWER.check(peak_kw)?, LOAD_FACTOR.check(load_factor)?);
    DAYS.check(hours / 24.0)?;
    let energy = ENERGY.check(peak * factor * hours)?;
    let inputs = vec![
        Input::new("peak", Shown::measured(peak, 2, "kW")),
        Input::new("LF", Shown::measured(factor, 3, "")),
        Input::new("hours", Shown::measured(hours, 2, "h")),
    ];
    Ok((energy, Working::new(Rule::LoadFactorEnergy, inputs, Shown::measured(energy, 2, "kWh"))))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn what_cannot_be_is_said() {
        assert_eq!(from_registered(0.0, 0.0), Err(UnregisteredError::NothingRegistered));
        assert_eq!(from_part(10.0, -1.0, 15.0, 30.0), Err(UnregisteredError::NothingRegistered));
        assert_eq!(from_history(&[], 3.0), Err(UnregisteredError::NoHistory));
        assert!(matches!(from_part(10.0, 0.5, 31.0, 30.0), Err(UnregisteredError::LongerThanPeriod { .. })));
        assert!(from_load_factor(10.0, 1.5, 3.0).is_err() && from_registered(f64::NAN, 1.0).is_err());
    }

    proptest! {
        /// The true energy, registered as the fault would, is what the register has.
        #[test]
        fn there_and_back(truth in 1.0_f64..1e6, ratio in 0.1_f64..3.0, fault in 0.0_f64..30.0) {
            let registered = truth * ((30.0 - fault) + fault * ratio) / 30.0;
            let found = from_part(registered, ratio, fault, 30.0).unwrap();
            prop_assert!((found.true_kwh / truth - 1.0).abs() < 1e-9);
            prop_assert!((found.unregistered_kwh + registered - found.true_kwh).abs() < 1e-6);
        }
    }
}
