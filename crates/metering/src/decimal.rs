//! An exact decimal number, as read off a register or typed by a hand: digits and the place of the point, nothing rounded.

use crate::range::{OutOfRange, Range};
use crate::rational::Rational;
use std::cmp::Ordering;
use std::fmt;
use std::str::FromStr;
use thiserror::Error;

/// Why a text is not a decimal number in its one canonical spelling.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum DecimalError {
    /// There is no text.
    #[error("no digits")]
    Empty,
    /// Something other than an optional minus, digits and one point between digits.
    #[error("character {at} is not part of a decimal number")]
    Character {
        /// Which character, counted from 0.
        at: usize,
    },
    /// The number could be written shorter: zeros in front, or a minus before zero.
    #[error("not in canonical spelling")]
    NotCanonical,
    /// More digits than can be kept.
    #[error("{found} digits, {most} at most", most = Decimal::MOST_DIGITS)]
    TooLong {
        /// How many there are.
        found: usize,
    },
}

impl DecimalError {
    /// Every code that [`Self::code`] can give.
    pub const CODES: &'static [&'static str] =
        &["decimal.empty", "decimal.character", "decimal.not_canonical", "decimal.too_long"];

    /// The stable code by which the sentence for people is found.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Empty => "decimal.empty",
            Self::Character { .. } => "decimal.character",
            Self::NotCanonical => "decimal.not_canonical",
            Self::TooLong { .. } => "decimal.too_long",
        }
    }
}

/// `mantissa × 10^−scale`. Trailing zeros are kept: `118.20` was read to a hundredth. Comparison goes by value.
#[derive(Clone, Copy, Debug)]
pub struct Decimal {
    mantissa: i128,
    scale: u8,
}

impl Decimal {
    /// The most digits a text may have, the point not counted.
    pub const MOST_DIGITS: usize = 36;
    /// Nothing.
    pub const ZERO: Self = Self { mantissa: 0, scale: 0 };

    /// Reads canonical text only: optional minus, digits without zeros in front, a point between digits.
    ///
    /// # Errors
    /// [`DecimalError`] for anything else. What a hand typed is made canonical elsewhere, where it can be asked back.
    pub fn parse(text: &str) -> Result<Self, DecimalError> {
        let digits = text.strip_prefix('-').unwrap_or(text);
        let (whole, part) = digits.split_once('.').map_or((digits, None), |(whole, part)| (whole, Some(part)));
        if digits.is_empty() {
            return Err(DecimalError::Empty);
        }
        if let Some(at) = misplaced(text) {
            return Err(DecimalError::Character { at });
        }
        let found = whole.len() + part.map_or(0, str::len);
        if found > Self::MOST_DIGITS {
            return Err(DecimalError::TooLong { found });
        }
        let figures = whole.bytes().chain(part.unwrap_or("").bytes());
        let size = figures.fold(0_i128, |sum, figure| sum * 10 + i128::from(figure - b'0'));
        let negative = digits.len() < text.len();
        if (whole.len() > 1 && whole.starts_with('0')) || (negative && size == 0) {
            return Err(DecimalError::NotCanonical);
        }
        let scale = part.map_or(0, str::len) as u8;
        Ok(Self { mantissa: if negative { -size } else { size }, scale })
    }

    /// `mantissa × 10^−scale`, where it is no longer than [`Self::MOST_DIGITS`].
    pub fn from_parts(mantissa: i128, scale: u8) -> Option<Self> {
        let most = power_of_ten(Self::MOST_DIGITS as u8);
        (usize::from(scale) <= Self::MOST_DIGITS && mantissa < most && -most < mantissa)
            .then_some(Self { mantissa, scale })
    }

    /// A whole number.
    pub const fn whole(number: i64) -> Self {
        Self { mantissa: number as i128, scale: 0 }
    }

    /// The digits without the point, with the sign.
    pub const fn mantissa(self) -> i128 {
        self.mantissa
    }

    /// How many digits stand after the point.
    pub const fn scale(self) -> u8 {
        self.scale
    }

    /// Whether it is less than zero.
    pub const fn is_negative(self) -> bool {
        self.mantissa < 0
    }

    /// `self + other`, exact; None where it is too long to keep.
    pub fn plus(self, other: Self) -> Option<Self> {
        let scale = self.scale.max(other.scale);
        Self::from_parts(self.scaled_to(scale)?.checked_add(other.scaled_to(scale)?)?, scale)
    }

    /// `self − other`, exact; None where it is too long to keep.
    pub fn minus(self, other: Self) -> Option<Self> {
        self.plus(Self { mantissa: -other.mantissa, scale: other.scale })
    }

    /// `self × other`, exact; None where it is too long to keep.
    pub fn times(self, other: Self) -> Option<Self> {
        Self::from_parts(self.mantissa.checked_mul(other.mantissa)?, self.scale.checked_add(other.scale)?)
    }

    /// The nearest `f64`: correctly rounded up to 15 digits, within two units in the last place beyond.
    pub fn to_f64(self) -> f64 {
        self.mantissa as f64 / power_of_ten(self.scale) as f64
    }

    /// The same value as a fraction.
    pub fn to_rational(self) -> Rational {
        Rational::over_positive(self.mantissa, power_of_ten(self.scale))
    }

    /// Returns the number when it lies inside `range`.
    ///
    /// # Errors
    /// [`OutOfRange`] otherwise.
    pub fn within(self, range: Range) -> Result<Self, OutOfRange> {
        range.check(self.to_f64()).map(|_| self)
    }

    fn scaled_to(self, scale: u8) -> Option<i128> {
        self.mantissa.checked_mul(power_of_ten(scale.checked_sub(self.scale)?))
    }
}

/// Place of the first character that cannot stand where it stands, in characters.
fn misplaced(text: &str) -> Option<usize> {
    let characters: Vec<char> = text.chars().collect();
    let digit_at = |at: Option<usize>| at.and_then(|at| characters.get(at)).is_some_and(char::is_ascii_digit);
    let mut points = 0;
    characters.iter().enumerate().position(|(at, character)| match character {
        '0'..='9' => false,
        '-' => at != 0,
        '.' => {
            points += 1;
            points > 1 || !digit_at(at.checked_sub(1)) || !digit_at(at.checked_add(1))
        }
        _ => true,
    })
}

/// Exact for every scale a decimal can have: 36 at most, and 38 would still fit.
fn power_of_ten(exponent: u8) -> i128 {
    10_i128.saturating_pow(u32::from(exponent))
}

impl PartialEq for Decimal {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Decimal {}

impl PartialOrd for Decimal {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Decimal {
    fn cmp(&self, other: &Self) -> Ordering {
        let scale = self.scale.max(other.scale);
        match (self.scaled_to(scale), other.scaled_to(scale)) {
            (Some(mine), Some(its)) => mine.cmp(&its),
            // Only a number of many whole digits cannot be widened, and the other then has many after the point.
            (None, _) => self.mantissa.cmp(&0),
            (_, None) => 0.cmp(&other.mantissa),
        }
    }
}

impl FromStr for Decimal {
    type Err = DecimalError;
    fn from_str(text: &str) -> Result<Self, DecimalError> {
        Self::parse(text)
    }
}

impl fmt::Display for Decimal {
    /// Canonical text; reading it back gives the same digits.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.mantissa < 0 { "-" } else { "" };
        let scale = usize::from(self.scale);
        let digits = format!("{:0>width$}", self.mantissa.unsigned_abs(), width = scale + 1);
        let (whole, part) = digits.split_at(digits.len() - scale);
        if part.is_empty() { write!(f, "{sign}{whole}") } else { write!(f, "{sign}{whole}.{part}") }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn canonical_text_is_read_and_written_alike() {
        for text in ["0", "0.0", "118.2", "118.20", "-0.05", "45231", "99999999999999999999999999.9999999999"] {
            assert_eq!(Decimal::parse(text).unwrap().to_string(), text);
        }
    }

    #[test]
    fn other_spellings_are_refused() {
        use DecimalError::{Character, Empty, NotCanonical, TooLong};
        for (text, why) in [
            ("", Empty),
            ("-", Empty),
            ("-0", NotCanonical),
            ("-0.00", NotCanonical),
            ("007", NotCanonical),
            ("00.5", NotCanonical),
            (".5", Character { at: 0 }),
            ("5.", Character { at: 1 }),
            ("1,5", Character { at: 1 }),
            ("1.5.2", Character { at: 3 }),
            ("+1", Character { at: 0 }),
            ("1e3", Character { at: 1 }),
            (" 1", Character { at: 0 }),
            ("--1", Character { at: 1 }),
            ("١", Character { at: 0 }),
            ("1234567890123456789012345678901234567", TooLong { found: 37 }),
        ] {
            assert!(DecimalError::CODES.contains(&why.code()));
            assert_eq!(Decimal::parse(text), Err(why), "{text:?}");
        }
    }

    #[test]
    fn comparison_goes_by_value() {
        let of = |text| Decimal::parse(text).unwrap();
        assert_eq!(of("118.20"), of("118.2"));
        assert!(of("-1.5") < of("-1.49"));
        let (long, small) = (of("999999999999999999999999999999999999"), of("0.00000000000000000000000000000000001"));
        assert!(long > small);
        assert!(small < long);
    }

    proptest! {
        #[test]
        fn text_and_back(mantissa in -10_i128.pow(30)..10_i128.pow(30), scale in 0_u8..20) {
            let decimal = Decimal::from_parts(mantissa, scale).unwrap();
            let again = Decimal::parse(&decimal.to_string()).unwrap();
            prop_assert_eq!((again.mantissa(), again.scale()), (mantissa, scale));
        }

        #[test]
        fn no_text_makes_it_panic(text in ".*") {
            if let Ok(decimal) = Decimal::parse(&text) {
                prop_assert_eq!(decimal.to_string(), text);
            }
        }

        #[test]
        fn sums_agree_with_fractions(a in -10_i64.pow(15)..10_i64.pow(15), b in -10_i64.pow(15)..10_i64.pow(15), p in 0_u8..9, q in 0_u8..9) {
            let (a, b) = (Decimal::from_parts(a.into(), p).unwrap(), Decimal::from_parts(b.into(), q).unwrap());
            let (x, y) = (a.to_rational(), b.to_rational());
            prop_assert_eq!(Ok(a.plus(b).unwrap().to_rational()), x.plus(y));
            prop_assert_eq!(Ok(a.minus(b).unwrap().to_rational()), x.minus(y));
            prop_assert_eq!(Ok(a.times(b).unwrap().to_rational()), x.times(y));
            prop_assert_eq!(a.cmp(&b), x.cmp(&y));
        }
    }
}
