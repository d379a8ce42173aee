//! Register readings: what a register can show, the difference of two readings with rollover, and the energy it stands for.

use crate::decimal::Decimal;
use crate::factor::Factor;
use crate::rational::{ExactError, Rational};
use crate::working::{Input, Rule, Shown, Working};
use thiserror::Error;

/// The most digits a register may have.
pub const MOST_DIGITS: u8 = 12;

/// A register as it is built: how many digits it shows in all, and how many of them stand after the point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Register {
    digits: u8,
    decimals: u8,
}

/// Why readings gave no difference.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum RegisterError {
    /// No register has so many digits, or all of them after the point.
    #[error("{digits} digits with {decimals} after the point, wanted 1 to {most} digits and fewer after the point", most = MOST_DIGITS)]
    Build {
        /// Digits in all.
        digits: u8,
        /// Digits after the point.
        decimals: u8,
    },
    /// A register shows no minus.
    #[error("{found} is less than zero")]
    Negative {
        /// The reading.
        found: Decimal,
    },
    /// The reading has more digits before the point than the register.
    #[error("{found} does not fit: the register turns over at {turns_over_at}")]
    TooMany {
        /// The reading.
        found: Decimal,
        /// The first number that the register cannot show.
        turns_over_at: Decimal,
    },
    /// The reading has more digits after the point than the register.
    #[error("{found} has more than {decimals} digits after the point")]
    TooFine {
        /// The reading.
        found: Decimal,
        /// Digits after the point that the register has.
        decimals: u8,
    },
    /// The reading fell, and without the number of digits nobody can tell how far round the register went.
    #[error("{present} is less than {previous}, and the number of digits is not known")]
    WentBack {
        /// The earlier reading.
        previous: Decimal,
        /// The later reading.
        present: Decimal,
    },
    /// The exact arithmetic gave no result.
    #[error(transparent)]
    Exact(#[from] ExactError),
}

impl RegisterError {
    /// Every code that [`Self::code`] can give.
    pub const CODES: &'static [&'static str] = &[
        "register.build",
        "register.negative",
        "register.too_many",
        "register.too_fine",
        "register.went_back",
        "register.exact",
    ];

    /// The stable code by which the sentence for people is found.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Build { .. } => "register.build",
            Self::Negative { .. } => "register.negative",
            Self::TooMany { .. } => "register.too_many",
            Self::TooFine { .. } => "register.too_fine",
            Self::WentBack { .. } => "register.went_back",
            Self::Exact(_) => "register.exact",
        }
    }
}

/// What a register advanced between two readings.
#[derive(Clone, Debug, PartialEq)]
pub struct Advance {
    /// Units of the register.
    pub units: Decimal,
    /// Whether it is taken to have gone over the top, once. A register that ran backwards looks the same: ask.
    pub went_over: bool,
    /// How it came about.
    pub working: Working,
}

impl Register {
    /// A register of `digits` in all, `decimals` of them after the point: `00000.0` is 6 and 1.
    ///
    /// # Errors
    /// [`RegisterError::Build`].
    pub fn new(digits: u8, decimals: u8) -> Result<Self, RegisterError> {
        if (1..=MOST_DIGITS).contains(&digits) && decimals < digits {
            Ok(Self { digits, decimals })
        } else {
            Err(RegisterError::Build { digits, decimals })
        }
    }

    /// Digits in all.
    pub const fn digits(self) -> u8 {
        self.digits
    }

    /// Digits after the point.
    pub const fn decimals(self) -> u8 {
        self.decimals
    }

    /// The first number that it cannot show: 10 to the power of the digits before the point.
    pub fn turns_over_at(self) -> Decimal {
        Decimal::whole(10_i64.saturating_pow(u32::from(self.digits - self.decimals)))
    }

    /// Returns the reading when this register can show it.
    ///
    /// # Errors
    /// [`RegisterError::Negative`], [`RegisterError::TooMany`], [`RegisterError::TooFine`].
    pub fn check(self, reading: Decimal) -> Result<Decimal, RegisterError> {
        let turns_over_at = self.turns_over_at();
        let unsigned = not_negative(reading)?;
        if unsigned >= turns_over_at {
            return Err(RegisterError::TooMany { found: reading, turns_over_at });
        }
        if reading.scale() > self.decimals {
            return Err(RegisterError::TooFine { found: reading, decimals: self.decimals });
        }
        Ok(reading)
    }

    /// What this register advanced from `previous` to `present`, over the top at most once.
    ///
    /// # Errors
    /// As [`Self::check`].
    pub fn advance(self, previous: Decimal, present: Decimal) -> Result<Advance, RegisterError> {
        let (previous, present) = (self.check(previous)?, self.check(present)?);
        let went_over = present < previous;
        let top = if went_over { self.turns_over_at() } else { Decimal::ZERO };
        let units = present.plus(top).and_then(|sum| sum.minus(previous)).ok_or(ExactError::Overflow)?;
        Ok(advance_of(previous, present, Some(top).filter(|_| went_over), units))
    }
}

/// What a register of unknown size advanced.
///
/// # Errors
/// [`RegisterError::WentBack`] when the reading fell, [`RegisterError::Negative`].
pub fn advance_without_digits(previous: Decimal, present: Decimal) -> Result<Advance, RegisterError> {
    let (previous, present) = (not_negative(previous)?, not_negative(present)?);
    if present < previous {
        return Err(RegisterError::WentBack { previous, present });
    }
    let units = present.minus(previous).ok_or(ExactError::Overflow)?;
    Ok(advance_of(previous, present, None, units))
}

/// Units of a register × multiplier: exact, in the register's unit.
///
/// # Errors
/// [`ExactError::Overflow`].
pub fn energy(advance: &Advance, multiplier: Factor, unit: &'static str) -> Result<(Factor, Working), ExactError> {
    let energy = Factor::from(advance.units).times(multiplier)?;
    let inputs = vec![Input::new("D", Shown::decimal(advance.units, "")), Input::new("M", Shown::factor(multiplier))];
    let working = Working::new(Rule::RegisterEnergy, inputs, Shown::exact(energy, unit));
    Ok((energy, working.with_parts(vec![advance.working.clone()])))
}

/// Power from pulses of the test lamp or turns of the disk counted against a watch: `3.6 × Kh × n × TF ÷ t`, in kilowatts.
///
/// # Units
/// - `kh_wh`: secondary watt-hours per pulse; `seconds`: time from the first pulse to the last, `pulses` after the first
///
/// # Errors
/// [`ExactError::DivisionByZero`] for a time of 0, [`ExactError::Overflow`].
pub fn timed_power_kw(
    kh_wh: Decimal,
    pulses: u32,
    seconds: Decimal,
    factor: Factor,
) -> Result<(Factor, Working), ExactError> {
    let kilowatts_per_watt_hour_a_second = Rational::new(36, 10)?;
    let count = Rational::whole(pulses.into());
    let secondary =
        kilowatts_per_watt_hour_a_second.times(kh_wh.to_rational())?.times(count)?.over(seconds.to_rational())?;
    let power = factor.times(secondary.into())?;
    let inputs = vec![
        Input::new("Kh", Shown::decimal(kh_wh, "Wh")),
        Input::new("n", Shown::factor(count)),
        Input::new("TF", Shown::factor(factor)),
        Input::new("t", Shown::decimal(seconds, "s")),
    ];
    Ok((power, Working::new(Rule::TimedPower, inputs, Shown::exact(power, "kW"))))
}

fn not_negative(reading: Decimal) -> Result<Decimal, RegisterError> {
    if reading.is_negative() { Err(RegisterError::Negative { found: reading }) } else { Ok(reading) }
}

fn advance_of(previous: Decimal, present: Decimal, top: Option<Decimal>, units: Decimal) -> Advance {
    let mut inputs =
        vec![Input::new("present", Shown::decimal(present, "")), Input::new("previous", Shown::decimal(previous, ""))];
    inputs.extend(top.map(|top| Input::new("top", Shown::decimal(top, ""))));
    let working = Working::new(Rule::RegisterDifference, inputs, Shown::decimal(units, ""));
    Advance { units, went_over: top.is_some(), working }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn decimal(text: &str) -> Decimal {
        Decimal::parse(text).unwrap()
    }

    /// Source: 99850 → 00120 on 5 dials at 80 is 21 600 kWh; own arithmetic.
    #[test]
    fn five_dials_go_over_the_top() {
        let advance = Register::new(5, 0).unwrap().advance(decimal("99850"), decimal("120")).unwrap();
        assert_eq!((advance.units, advance.went_over), (decimal("270"), true));
        let (kwh, working) = energy(&advance, Factor::from(Rational::whole(80)), "kWh").unwrap();
        assert_eq!((kwh.to_string().as_str(), working.parts.len()), ("21600", 1));
    }

    /// Source: Kh 1.8, 10 turns in 40 s at 80 is 129.6 kW; Kh 1.2, 5 turns in 30 s at 2400 is 1728 kW; own arithmetic.
    #[test]
    fn turns_against_a_watch() {
        for (kh, pulses, seconds, factor, kw) in [("1.8", 10, "40", 80, "129.6"), ("1.2", 5, "30", 2400, "1728")] {
            let factor = Factor::from(Rational::whole(factor));
            let (power, working) = timed_power_kw(decimal(kh), pulses, decimal(seconds), factor).unwrap();
            assert_eq!(
                (working.result.text().as_str(), power.to_f64().to_bits()),
                (kw, decimal(kw).to_f64().to_bits())
            );
        }
        assert_eq!(timed_power_kw(decimal("1.8"), 10, Decimal::ZERO, Factor::ONE), Err(ExactError::DivisionByZero));
    }

    #[test]
    fn what_a_register_cannot_show_is_refused() {
        let register = Register::new(6, 1).unwrap();
        assert_eq!(register.turns_over_at(), decimal("100000"));
        assert_eq!(register.check(decimal("99999.9")), Ok(decimal("99999.9")));
        assert!(matches!(register.check(decimal("100000")), Err(RegisterError::TooMany { .. })));
        assert!(matches!(register.check(decimal("1.25")), Err(RegisterError::TooFine { decimals: 1, .. })));
        assert!(matches!(register.check(decimal("-1")), Err(RegisterError::Negative { .. })));
        for (digits, decimals) in [(0, 0), (4, 4), (13, 0), (255, 255)] {
            assert_eq!(Register::new(digits, decimals), Err(RegisterError::Build { digits, decimals }));
        }
    }

    #[test]
    fn a_fall_without_known_digits_is_no_difference() {
        assert!(matches!(advance_without_digits(decimal("10"), decimal("9")), Err(RegisterError::WentBack { .. })));
        assert_eq!(advance_without_digits(decimal("45231"), decimal("46010")).unwrap().units, decimal("779"));
    }

    proptest! {
        #[test]
        fn going_on_by_the_difference_arrives(previous in 0_i64..100_000, present in 0_i64..100_000, decimals in 0_u8..4) {
            let register = Register::new(5, decimals).unwrap();
            let [previous, present] = [previous, present].map(|digits| Decimal::from_parts(digits.into(), decimals).unwrap());
            let advance = register.advance(previous, present).unwrap();
            prop_assert!(!advance.units.is_negative() && advance.units < register.turns_over_at());
            let there = previous.plus(advance.units).unwrap();
            let top = if advance.went_over { register.turns_over_at() } else { Decimal::ZERO };
            prop_assert_eq!(there.minus(top).unwrap(), present);
            prop_assert_eq!(advance.went_over, present < previous);
        }

        #[test]
        fn no_reading_makes_it_panic(previous in ".*", present in "[0-9.-]{0,40}", digits in any::<u8>(), decimals in any::<u8>()) {
            if let (Ok(register), Ok(previous), Ok(present)) = (Register::new(digits, decimals), Decimal::parse(&previous), Decimal::parse(&present)) {
                let _ = register.advance(previous, present);
            }
            if let (Ok(previous), Ok(present)) = (Decimal::parse("1"), Decimal::parse(&present)) {
                let _ = advance_without_digits(previous, present);
            }
        }
    }
}
