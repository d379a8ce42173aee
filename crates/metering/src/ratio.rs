//! A stamped transformer ratio, primary to secondary, exact: whole numbers, fractions and √3 as the plate has them.

mod stamped;

use crate::factor::Factor;
use crate::range::{OutOfRange, Range};
use crate::rational::{ExactError, Rational};
pub use stamped::{RatioError, Side};
use std::fmt;
use thiserror::Error;

/// What one side of a plate may be, in volts or amperes.
pub const RATED_RANGE: Range = Range { what: "rated_side", unit: "", least: 0.001, most: 10_000_000.0 };
/// The most digits after the point that a plate is shown with; what does not end within them is shown as a fraction.
const MOST_PLATE_DECIMALS: u8 = 6;
/// The most turns of a primary through a window.
pub const MOST_TURNS: u32 = 20;

/// One side of a plate: a positive rational × √3^power, as stamped (`20000/√3` keeps its power of −1).
#[derive(Clone, Copy, Debug)]
pub struct Rated {
    rational: Rational,
    root_3_power: i8,
    factor: Factor,
}

/// A ratio, primary to secondary. Equal ratios have equal sides; `400:5` and `80:1` have the same [`Ratio::quotient`] only.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ratio {
    primary: Rated,
    secondary: Rated,
    quotient: Factor,
}

/// Why a side or a ratio cannot be.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum RatedError {
    /// Not a size that a plate carries.
    #[error(transparent)]
    Size(#[from] OutOfRange),
    /// The exact arithmetic behind it gave no result.
    #[error(transparent)]
    Exact(#[from] ExactError),
    /// Turns through a window are counted from 1.
    #[error("{found} turns, wanted 1 to {most}", most = MOST_TURNS)]
    Turns {
        /// How many were asked for.
        found: u32,
    },
}

impl RatedError {
    /// The stable code by which the sentence for people is found; one of [`RatioError::CODES`].
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Size(_) => "ratio.size",
            Self::Exact(_) => "ratio.exact",
            Self::Turns { .. } => "ratio.turns",
        }
    }
}

impl Rated {
    /// One volt or one ampere.
    pub const ONE: Self = Self { rational: Rational::ONE, root_3_power: 0, factor: Factor::ONE };

    /// `rational × √3^power`.
    ///
    /// # Errors
    /// [`RatedError::Size`] outside [`RATED_RANGE`], [`RatedError::Exact`] where the power does not fit.
    pub fn new(rational: Rational, root_3_power: i8) -> Result<Self, RatedError> {
        let factor = Factor::new(rational, root_3_power)?;
        RATED_RANGE.check(factor.to_f64())?;
        Ok(Self { rational, root_3_power, factor })
    }

    /// From the stored form `[numerator, denominator, power of √3]`.
    ///
    /// # Errors
    /// As [`Self::new`]; a denominator of 0 is [`ExactError::DivisionByZero`].
    pub fn from_parts([numerator, denominator, power]: [i64; 3]) -> Result<Self, RatedError> {
        let power = i8::try_from(power).map_err(|_| ExactError::Overflow)?;
        Self::new(Rational::new(numerator.into(), denominator.into())?, power)
    }

    /// The stored form `[numerator, denominator, power of √3]`, where its parts fit.
    pub fn parts(self) -> Option<[i64; 3]> {
        let part = |number: i128| i64::try_from(number).ok();
        Some([part(self.rational.numerator())?, part(self.rational.denominator())?, self.root_3_power.into()])
    }

    /// The side as an exact factor.
    pub const fn factor(self) -> Factor {
        self.factor
    }
}

impl PartialEq for Rated {
    /// By value: `√3` and `3/√3` are one.
    fn eq(&self, other: &Self) -> bool {
        self.factor == other.factor
    }
}

impl Eq for Rated {}

impl fmt::Display for Rated {
    /// `20000`, `66.4`, `110/3`, `20000/√3`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.root_3_power {
            0 | -1 => match self.rational.to_decimal(MOST_PLATE_DECIMALS) {
                Some(decimal) => write!(f, "{decimal}")?,
                None => write!(f, "{}", self.rational)?,
            },
            _ => return write!(f, "{}", self.factor),
        }
        if self.root_3_power == 0 { Ok(()) } else { write!(f, "/√3") }
    }
}

impl Ratio {
    /// One to one: no transformer.
    pub const ONE: Self = Self { primary: Rated::ONE, secondary: Rated::ONE, quotient: Factor::ONE };

    /// A ratio of two sides.
    ///
    /// # Errors
    /// [`RatedError::Exact`] where the quotient does not fit.
    pub fn new(primary: Rated, secondary: Rated) -> Result<Self, RatedError> {
        Ok(Self { primary, secondary, quotient: primary.factor.over(secondary.factor)? })
    }

    /// Reads a plate: `7200:120`, `200:5`, `200/5`, `20000/√3 : 110/3`; also `V3`, `sqrt3`, `root3` for √3.
    ///
    /// # Errors
    /// [`RatioError`] for anything that could be read in two ways, or not at all.
    pub fn parse(text: &str) -> Result<Self, RatioError> {
        stamped::parse(text)
    }

    /// The side towards the line.
    pub const fn primary(self) -> Rated {
        self.primary
    }

    /// The side towards the meter.
    pub const fn secondary(self) -> Rated {
        self.secondary
    }

    /// Primary ÷ secondary, exact.
    pub const fn quotient(self) -> Factor {
        self.quotient
    }

    /// The ratio with the primary conductor passing the window `turns` times: `200:5` with 2 turns is `100:5`.
    ///
    /// # Errors
    /// [`RatedError::Turns`] outside 1 to [`MOST_TURNS`]; otherwise as [`Rated::new`].
    pub fn with_turns(self, turns: u32) -> Result<Self, RatedError> {
        if !(1..=MOST_TURNS).contains(&turns) {
            return Err(RatedError::Turns { found: turns });
        }
        let per_turn = self.primary.rational.over(Rational::whole(turns.into()))?;
        Self::new(Rated::new(per_turn, self.primary.root_3_power)?, self.secondary)
    }

    /// The ratio in use: the connected tap replaces what the plate says first, then the turns divide it.
    ///
    /// # Errors
    /// As [`Self::with_turns`].
    pub fn in_use(self, tap: Option<Self>, turns: u32) -> Result<Self, RatedError> {
        tap.unwrap_or(self).with_turns(turns)
    }
}

impl fmt::Display for Ratio {
    /// `7200:120`, `20000/√3:110/3`: the value of the plate; the text as a hand typed it is kept with the record.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}", self.primary, self.secondary)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn ratio(text: &str) -> Ratio {
        Ratio::parse(text).unwrap()
    }

    #[test]
    fn quotients_are_exact() {
        for (text, quotient) in [
            ("400:5", "80"),
            ("7200:120", "60"),
            ("66395:115", "13279/23"),
            ("20000/√3:110/√3", "2000/11"),
            ("20000/√3:110/3", "2000√3/11"),
            ("14400:120/√3", "120√3"),
            ("√3:1", "√3"),
        ] {
            assert_eq!(ratio(text).quotient().to_string(), quotient, "{text}");
        }
    }

    /// Source: 200:5 with 2 and 4 turns is 20:1 and 10:1; 400:5 with 2 turns is 40:1 (trade training pages, seen).
    #[test]
    fn turns_through_the_window_divide_the_ratio() {
        for (plate, turns, used) in
            [("200:5", 2, "100:5"), ("200:5", 4, "50:5"), ("400:5", 1, "400:5"), ("400:5", 3, "400/3:5")]
        {
            assert_eq!(ratio(plate).with_turns(turns).unwrap().to_string(), used);
        }
        for found in [0, 21, u32::MAX] {
            assert_eq!(ratio("200:5").with_turns(found), Err(RatedError::Turns { found }));
        }
    }

    #[test]
    fn the_tap_in_use_replaces_the_plate_before_the_turns_divide_it() {
        let used = ratio("1200:5").in_use(Some(ratio("600:5")), 2).unwrap();
        assert_eq!(used, ratio("300:5"));
        assert_eq!(ratio("1200:5").in_use(None, 1), Ok(ratio("1200:5")));
    }

    #[test]
    fn equal_sides_make_equal_ratios_and_equal_quotients_do_not() {
        assert_ne!(ratio("400:5"), ratio("80:1"));
        assert_eq!(ratio("400:5").quotient(), ratio("80:1").quotient());
        assert_eq!(Rated::from_parts([3, 1, -1]), Rated::from_parts([1, 1, 1]));
        assert_eq!(ratio("110/√3:1").primary().parts(), Some([110, 1, -1]));
    }

    #[test]
    fn stored_sides_that_no_plate_has_are_refused() {
        for parts in [
            [0, 1, 0],
            [-5, 1, 0],
            [5, 0, 0],
            [i64::MAX, 1, 0],
            [1, i64::MAX, 0],
            [5, 1, 127],
            [5, 1, 1000],
            [i64::MIN, 1, 0],
        ] {
            assert!(Rated::from_parts(parts).is_err(), "{parts:?}");
        }
    }

    proptest! {
        #[test]
        fn a_plate_is_read_back_from_its_own_text(primary in 1_i64..10_000_000, secondary in 1_i64..1000, power in -1_i64..=1, third in any::<bool>()) {
            let left = Rated::from_parts([primary, 1, power.min(0)]).unwrap();
            let right = Rated::from_parts([secondary, if third { 3 } else { 1 }, if third { 0 } else { -power.abs() }]).unwrap();
            let made = Ratio::new(left, right).unwrap();
            prop_assert_eq!(ratio(&made.to_string()), made);
        }

        #[test]
        fn turns_scale_the_quotient(primary in 1_i64..100_000, turns in 1_u32..=MOST_TURNS) {
            let plate = Ratio::new(Rated::from_parts([primary, 1, 0]).unwrap(), Rated::from_parts([5, 1, 0]).unwrap()).unwrap();
            let used = plate.with_turns(turns).unwrap().quotient();
            prop_assert_eq!(used.times(Rational::whole(turns.into()).into()), Ok(plate.quotient()));
        }
    }
}
