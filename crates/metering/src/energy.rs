//! Power by the watch: pulses of the meter timed by hand, with what a hand can be trusted to.

use crate::decimal::Decimal;
use crate::factor::Factor;
use crate::rational::ExactError;
use crate::register::timed_power_kw;
use crate::working::{Input, Rule, Shown, Working};
use thiserror::Error;

/// How far two taps of a hand together may be off, in seconds. Common practice, no source.
pub const TAPS_S: f64 = 0.2;
/// How long to time for half a percent: [`TAPS_S`] ÷ 0.005.
pub const LONG_ENOUGH_S: f64 = 40.0;

/// A power timed by hand.
#[derive(Clone, Debug, PartialEq)]
pub struct Timed {
    /// Primary kilowatts, exact from what was put in.
    pub power_kw: Factor,
    /// The least it can be, in kilowatts, when the taps were off.
    pub least_kw: f64,
    /// The most it can be.
    pub most_kw: f64,
    /// How far the taps may have moved it, in percent of the power.
    pub taps_percent: f64,
    /// How it came about.
    pub working: Working,
}

/// Why no power came of a timing.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum TimedError {
    /// No longer than the taps themselves may be off.
    #[error("{seconds} s is too short to time by hand")]
    TooShort {
        /// What was timed.
        seconds: Decimal,
    },
    /// No pulse was counted.
    #[error("no pulse counted")]
    NoPulse,
    /// The exact arithmetic gave no result.
    #[error(transparent)]
    Exact(#[from] ExactError),
}

impl TimedError {
    /// Every code that [`Self::code`] can give.
    pub const CODES: &'static [&'static str] = &["timed.too_short", "timed.no_pulse", "timed.size"];

    /// Stable code.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::TooShort { .. } => "timed.too_short",
            Self::NoPulse => "timed.no_pulse",
            Self::Exact(_) => "timed.size",
        }
    }
}

impl Timed {
    /// Whether it was timed long enough for half a percent.
    pub fn is_fine(&self) -> bool {
        self.taps_percent <= 100.0 * TAPS_S / LONG_ENOUGH_S
    }

    /// How the taps' part of the error came about, with the time that half a percent needs as a part: [`TAPS_S`] ÷ 0.5 %.
    pub fn taps_working(&self) -> Working {
        let taps = Input::new("taps", Shown::measured(TAPS_S, 1, "s"));
        let of =
            |second: Shown, result: Shown| Working::new(Rule::TapTiming, vec![taps, Input::new("t", second)], result);
        let half = of(Shown::measured(LONG_ENOUGH_S, 1, "s"), Shown::measured(100.0 * TAPS_S / LONG_ENOUGH_S, 2, "%"));
        let counted_s = 100.0 * TAPS_S / self.taps_percent;
        of(Shown::measured(counted_s, 1, "s"), Shown::measured(self.taps_percent, 2, "%")).with_parts(vec![half])
    }

    /// How far this power stands from one computed otherwise (such as from phasors), in percent of that one; `None`
    /// against no power.
    pub fn off_percent(&self, other_kw: f64) -> Option<f64> {
        (other_kw.is_finite() && other_kw != 0.0).then(|| 100.0 * (self.power_kw.to_f64() - other_kw) / other_kw)
    }
}

/// Primary power from timed pulses: `3.6 × Kh × n × CT ratio × VT ratio ÷ s`, in kilowatts.
///
/// # Units
/// - `kh_wh`: secondary watt-hours per pulse; with a constant that contains the ratios, `ratios` is 1
/// - `pulses`: counted after the first, whose flash starts the watch
///
/// # Errors
/// [`TimedError`], see its variants.
pub fn timed(kh_wh: Decimal, pulses: u32, seconds: Decimal, ratios: Factor) -> Result<Timed, TimedError> {
    let counted_s = seconds.to_f64();
    if counted_s <= TAPS_S {
        return Err(TimedError::TooShort { seconds });
    }
    if pulses == 0 {
        return Err(TimedError::NoPulse);
    }
    let (power_kw, working) = timed_power_kw(kh_wh, pulses, seconds, ratios)?;
    let kilowatt_seconds = power_kw.to_f64() * counted_s;
    let (fast, slow) = (kilowatt_seconds / (counted_s - TAPS_S), kilowatt_seconds / (counted_s + TAPS_S));
    let taps_percent = 100.0 * TAPS_S / counted_s;
    Ok(Timed { power_kw, least_kw: fast.min(slow), most_kw: fast.max(slow), taps_percent, working })
}

/// Seconds per pulse to expect at a primary power; `None` without power or for an absurd size.
pub fn seconds_per_pulse(kh_wh: Decimal, ratios: Factor, power_kw: f64) -> Option<f64> {
    let seconds = 3.6 * kh_wh.to_f64() * ratios.to_f64() / power_kw.abs();
    (seconds.is_finite() && seconds > 0.0).then_some(seconds)
}

/// How many pulses to time so that it takes [`LONG_ENOUGH_S`] at least; at most 1000.
pub fn pulses_to_time(kh_wh: Decimal, ratios: Factor, power_kw: f64) -> Option<u32> {
    let pulses = (LONG_ENOUGH_S / seconds_per_pulse(kh_wh, ratios, power_kw)?).ceil();
    // The bounds make the conversion exact.
    (pulses <= 1000.0).then_some(pulses.max(1.0) as u32)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rational::Rational;
    use proptest::prelude::*;

    fn decimal(text: &str) -> Decimal {
        Decimal::parse(text).unwrap()
    }

    fn whole(number: i64) -> Factor {
        Rational::whole(number).into()
    }

    /// Derived by arithmetic.
    #[test]
    fn timed_powers_are_those_of_the_formula() {
        let one = timed(decimal("1.8"), 10, decimal("40"), whole(80)).unwrap();
        assert_eq!(one.power_kw, Rational::new(1296, 10).unwrap().into());
        assert_eq!(one.working.result.text(), "129.6");
        assert!(one.is_fine() && (one.taps_percent - 0.5).abs() < 1e-12);
        let other = timed(decimal("1.2"), 5, decimal("30"), whole(2400)).unwrap();
        assert_eq!(other.power_kw, whole(1728));
        assert!(!other.is_fine());
        assert!(other.least_kw < 1728.0 && 1728.0 < other.most_kw);
    }

    #[test]
    fn what_cannot_be_timed_is_refused() {
        let code = |pulses, seconds| timed(decimal("1.8"), pulses, decimal(seconds), whole(80)).unwrap_err().code();
        assert_eq!(code(10, "0"), "timed.too_short");
        assert_eq!(code(10, "0.2"), "timed.too_short");
        assert_eq!(code(10, "-40"), "timed.too_short");
        assert_eq!(code(0, "40"), "timed.no_pulse");
    }

    #[test]
    fn a_difference_is_in_percent_of_the_other_power() {
        let one = timed(decimal("1.8"), 10, decimal("40"), whole(80)).unwrap();
        assert!((one.off_percent(127.058_823_529_411_76).unwrap() - 2.0).abs() < 1e-9);
        assert_eq!(one.off_percent(0.0), None);
        assert_eq!(one.off_percent(f64::NAN), None);
    }

    #[test]
    fn expected_pulses_follow_from_the_power() {
        assert!((seconds_per_pulse(decimal("1.8"), whole(80), 129.6).unwrap() - 4.0).abs() < 1e-12);
        assert_eq!(pulses_to_time(decimal("1.8"), whole(80), 129.6), Some(10));
        assert_eq!(pulses_to_time(decimal("1.8"), whole(80), 0.0), None);
        assert_eq!(pulses_to_time(decimal("0.00001"), whole(1), 1000.0), None);
    }

    proptest! {
        /// Timing at the pace that a power gives returns the power, and its range holds it.
        #[test]
        fn timing_returns_the_power(kw in 1.0..5000.0_f64, kh in 1_i128..5000, pulses in 1_u32..200) {
            let (kh, ratios) = (Decimal::from_parts(kh, 3).unwrap(), whole(240));
            let seconds = seconds_per_pulse(kh, ratios, kw).unwrap() * f64::from(pulses);
            prop_assume!(seconds > 1.0);
            let seconds = decimal(&format!("{seconds:.9}"));
            let found = timed(kh, pulses, seconds, ratios).unwrap();
            prop_assert!((found.power_kw.to_f64() - kw).abs() <= kw * 1e-6);
            prop_assert!(found.least_kw <= found.power_kw.to_f64() && found.power_kw.to_f64() <= found.most_kw);
        }
    }
}
