//! An exact fraction in lowest terms, and the one way to round it.

use crate::decimal::Decimal;
use std::cmp::Ordering;
use std::fmt;
use thiserror::Error;

/// Why exact arithmetic gave no result.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum ExactError {
    /// The result does not fit: more than about 38 digits.
    #[error("the exact result needs more than 38 digits")]
    Overflow,
    /// Something was divided by zero.
    #[error("division by zero")]
    DivisionByZero,
    /// A rational and a multiple of √3 were added; the sum is neither.
    #[error("a rational and a multiple of the root of three have no exact sum here")]
    MixedRoots,
}

/// How a number that does not fit the digits asked for is rounded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rounding {
    /// To the nearest; a tie to the even digit (IEEE 754 roundTiesToEven).
    HalfEven,
    /// To the nearest; a tie away from zero, as bills are rounded.
    HalfAwayFromZero,
    /// Towards zero: digits are cut off.
    TowardZero,
}

/// An exact fraction, always in lowest terms with a positive denominator, so equal values are equal in every part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Rational {
    numerator: i128,
    denominator: i128,
}

impl Rational {
    /// Nothing.
    pub const ZERO: Self = Self { numerator: 0, denominator: 1 };
    /// One.
    pub const ONE: Self = Self { numerator: 1, denominator: 1 };

    /// A whole number.
    pub const fn whole(number: i64) -> Self {
        Self { numerator: number as i128, denominator: 1 }
    }

    /// `numerator ÷ denominator`, reduced.
    ///
    /// # Errors
    /// [`ExactError::DivisionByZero`] for a denominator of 0; [`ExactError::Overflow`] where a sign cannot be turned.
    pub fn new(numerator: i128, denominator: i128) -> Result<Self, ExactError> {
        if denominator == 0 {
            return Err(ExactError::DivisionByZero);
        }
        let common = gcd(numerator.unsigned_abs(), denominator.unsigned_abs());
        let reduce = |part: i128| signed(part.unsigned_abs() / common);
        let (top, bottom) = (reduce(numerator)?, reduce(denominator)?);
        let negative = (numerator < 0) != (denominator < 0);
        Ok(Self { numerator: if negative { -top } else { top }, denominator: bottom })
    }

    /// `numerator ÷ denominator` for a numerator that has an opposite and a denominator of 1 or more: cannot fail.
    pub(crate) fn over_positive(numerator: i128, denominator: i128) -> Self {
        // The common divisor divides the denominator, so it fits.
        let common = gcd(numerator.unsigned_abs(), denominator.unsigned_abs()) as i128;
        Self { numerator: numerator / common, denominator: denominator / common }
    }

    /// The part above the line, with the sign.
    pub const fn numerator(self) -> i128 {
        self.numerator
    }

    /// The part below the line, never less than 1.
    pub const fn denominator(self) -> i128 {
        self.denominator
    }

    /// Whether it is greater than zero.
    pub const fn is_positive(self) -> bool {
        self.numerator > 0
    }

    /// Whether it is zero.
    pub const fn is_zero(self) -> bool {
        self.numerator == 0
    }

    /// The whole number it is, if it is one.
    pub fn as_whole(self) -> Option<i128> {
        (self.denominator == 1).then_some(self.numerator)
    }

    /// `self + other`.
    ///
    /// # Errors
    /// [`ExactError::Overflow`].
    pub fn plus(self, other: Self) -> Result<Self, ExactError> {
        let common = signed(gcd(self.denominator.unsigned_abs(), other.denominator.unsigned_abs()))?;
        let (mine, its) = (self.denominator / common, other.denominator / common);
        let top = times(self.numerator, its)?.checked_add(times(other.numerator, mine)?).ok_or(ExactError::Overflow)?;
        Self::new(top, times(self.denominator, its)?)
    }

    /// `self − other`.
    ///
    /// # Errors
    /// [`ExactError::Overflow`].
    pub fn minus(self, other: Self) -> Result<Self, ExactError> {
        self.plus(other.negated())
    }

    /// `self × other`.
    ///
    /// # Errors
    /// [`ExactError::Overflow`].
    pub fn times(self, other: Self) -> Result<Self, ExactError> {
        // Reduced crosswise first, so that nothing overflows that would fit once reduced.
        let left = Self::new(self.numerator, other.denominator)?;
        let right = Self::new(other.numerator, self.denominator)?;
        Self::new(times(left.numerator, right.numerator)?, times(left.denominator, right.denominator)?)
    }

    /// `self ÷ other`.
    ///
    /// # Errors
    /// [`ExactError::DivisionByZero`] when `other` is 0; [`ExactError::Overflow`].
    pub fn over(self, other: Self) -> Result<Self, ExactError> {
        self.times(Self::new(other.denominator, other.numerator)?)
    }

    /// `−self`. Always fits: no part is ever the least `i128`.
    pub const fn negated(self) -> Self {
        Self { numerator: -self.numerator, denominator: self.denominator }
    }

    /// The nearest `f64`; off by at most two units in the last place where a part has more than 15 digits.
    pub fn to_f64(self) -> f64 {
        self.numerator as f64 / self.denominator as f64
    }

    /// Rounded to `digits` after the point.
    ///
    /// # Errors
    /// [`ExactError::Overflow`] where the digits asked for do not fit.
    pub fn rounded(self, digits: u8, rule: Rounding) -> Result<Decimal, ExactError> {
        let bottom = self.denominator.unsigned_abs();
        let mut mantissa = self.numerator.unsigned_abs() / bottom;
        let mut rest = self.numerator.unsigned_abs() % bottom;
        for _ in 0..digits {
            rest = rest.checked_mul(10).ok_or(ExactError::Overflow)?;
            mantissa =
                mantissa.checked_mul(10).and_then(|m| m.checked_add(rest / bottom)).ok_or(ExactError::Overflow)?;
            rest %= bottom;
        }
        // `bottom - rest` instead of `2 × rest`: it cannot overflow.
        let up = match (rule, rest.cmp(&(bottom - rest))) {
            (Rounding::TowardZero, _) | (_, Ordering::Less) => false,
            (_, Ordering::Greater) | (Rounding::HalfAwayFromZero, Ordering::Equal) => true,
            (Rounding::HalfEven, Ordering::Equal) => mantissa % 2 == 1,
        };
        let size = signed(mantissa.checked_add(u128::from(up)).ok_or(ExactError::Overflow)?)?;
        Decimal::from_parts(if self.numerator < 0 { -size } else { size }, digits).ok_or(ExactError::Overflow)
    }

    /// As a decimal without any rounding, where it has one of at most `most_digits` after the point.
    pub fn to_decimal(self, most_digits: u8) -> Option<Decimal> {
        (0..=most_digits)
            .filter_map(|digits| self.rounded(digits, Rounding::TowardZero).ok())
            .find(|decimal| decimal.to_rational() == self)
    }
}

impl PartialOrd for Rational {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Rational {
    /// Exact for all values: whole parts first, then the remainders turned upside down (Euclid), so nothing overflows.
    fn cmp(&self, other: &Self) -> Ordering {
        let (mut a, mut b) = ((self.numerator, self.denominator), (other.numerator, other.denominator));
        loop {
            let whole = a.0.div_euclid(a.1).cmp(&b.0.div_euclid(b.1));
            let (rest_a, rest_b) = (a.0.rem_euclid(a.1), b.0.rem_euclid(b.1));
            match (whole, rest_a, rest_b) {
                (Ordering::Equal, 0, 0) => return Ordering::Equal,
                (Ordering::Equal, 0, _) => return Ordering::Less,
                (Ordering::Equal, _, 0) => return Ordering::Greater,
                (Ordering::Equal, _, _) => (a, b) = ((b.1, rest_b), (a.1, rest_a)),
                (decided, _, _) => return decided,
            }
        }
    }
}

impl fmt::Display for Rational {
    /// `80`, `1/3`, `-7/2`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.denominator == 1 {
            write!(f, "{}", self.numerator)
        } else {
            write!(f, "{}/{}", self.numerator, self.denominator)
        }
    }
}

fn signed(number: u128) -> Result<i128, ExactError> {
    i128::try_from(number).map_err(|_| ExactError::Overflow)
}

fn times(a: i128, b: i128) -> Result<i128, ExactError> {
    // The least i128 has no opposite, so it counts as an overflow too.
    a.checked_mul(b).filter(|product| *product != i128::MIN).ok_or(ExactError::Overflow)
}

fn gcd(mut a: u128, mut b: u128) -> u128 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a.max(1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn any_rational() -> impl Strategy<Value = Rational> {
        (-1_000_000_000_i128..1_000_000_000, 1_i128..1_000_000_000).prop_map(|(n, d)| Rational::new(n, d).unwrap())
    }

    #[test]
    fn fractions_are_shown_in_lowest_terms() {
        for (n, d, text) in [(400, 5, "80"), (2, 6, "1/3"), (7, -2, "-7/2"), (0, 9, "0"), (-4, -2, "2")] {
            assert_eq!(Rational::new(n, d).unwrap().to_string(), text);
        }
    }

    #[test]
    fn nothing_is_divided_by_zero() {
        assert_eq!(Rational::new(1, 0), Err(ExactError::DivisionByZero));
        assert_eq!(Rational::ONE.over(Rational::ZERO), Err(ExactError::DivisionByZero));
    }

    #[test]
    fn the_ends_of_the_integers_overflow_and_do_not_panic() {
        let most = Rational::new(i128::MAX, 1).unwrap();
        let least = Rational::new(1, i128::MAX).unwrap();
        assert_eq!(most.times(most), Err(ExactError::Overflow));
        assert_eq!(most.plus(Rational::ONE), Err(ExactError::Overflow));
        assert_eq!(most.times(least), Ok(Rational::ONE));
        assert_eq!(Rational::new(i128::MIN, 1), Err(ExactError::Overflow));
        assert_eq!(Rational::new(1, i128::MIN), Err(ExactError::Overflow));
        assert_eq!(Rational::new(i128::MIN, i128::MIN), Ok(Rational::ONE));
        assert_eq!(most.cmp(&least), Ordering::Greater);
        assert_eq!(most.negated().cmp(&most), Ordering::Less);
    }

    #[test]
    fn ties_go_where_the_rule_says() {
        use Rounding::{HalfAwayFromZero, HalfEven, TowardZero};
        for (n, d, digits, rule, text) in [
            (1, 2, 0, HalfEven, "0"),
            (3, 2, 0, HalfEven, "2"),
            (1, 2, 0, HalfAwayFromZero, "1"),
            (-1, 2, 0, HalfAwayFromZero, "-1"),
            (2, 3, 3, HalfEven, "0.667"),
            (2, 3, 3, TowardZero, "0.666"),
            (-2, 3, 3, HalfEven, "-0.667"),
            (1, 8, 2, HalfEven, "0.12"),
            (3, 8, 2, HalfEven, "0.38"),
        ] {
            assert_eq!(Rational::new(n, d).unwrap().rounded(digits, rule).unwrap().to_string(), text, "{n}/{d}");
        }
    }

    #[test]
    fn only_what_ends_has_a_decimal() {
        assert_eq!(Rational::new(1, 8).unwrap().to_decimal(6).unwrap().to_string(), "0.125");
        assert_eq!(Rational::new(1, 3).unwrap().to_decimal(30), None);
    }

    proptest! {
        #[test]
        fn sums_and_products_keep_their_laws(a in any_rational(), b in any_rational(), c in any_rational()) {
            prop_assert_eq!(a.plus(b), b.plus(a));
            prop_assert_eq!(a.times(b), b.times(a));
            prop_assert_eq!(a.plus(b).unwrap().minus(b), Ok(a));
            let spread = a.plus(b).unwrap().times(c);
            prop_assert_eq!(spread, a.times(c).unwrap().plus(b.times(c).unwrap()));
            if !b.is_zero() {
                prop_assert_eq!(a.times(b).unwrap().over(b), Ok(a));
            }
        }

        #[test]
        fn order_agrees_with_the_difference(a in any_rational(), b in any_rational()) {
            let expected = a.minus(b).unwrap().numerator().cmp(&0);
            prop_assert_eq!(a.cmp(&b), expected);
        }

        #[test]
        fn rounding_moves_by_at_most_half_a_digit(a in any_rational(), digits in 0_u8..9) {
            let step = Rational::new(1, 10_i128.pow(u32::from(digits))).unwrap();
            for rule in [Rounding::HalfEven, Rounding::HalfAwayFromZero] {
                let off = a.rounded(digits, rule).unwrap().to_rational().minus(a).unwrap();
                let twice = off.times(Rational::whole(2)).unwrap();
                prop_assert!(twice <= step && twice >= step.negated());
            }
        }
    }
}
