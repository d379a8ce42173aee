//! An exact factor: a rational, times √3 where plates say so. Ratios, multipliers and what follows from them are factors.

use crate::rational::{ExactError, Rational};
use std::fmt;

/// The nearest `f64` to √3; a literal, so no square root has to be trusted.
pub const ROOT_3: f64 = 1.732_050_807_568_877_2;

/// `rational × √3^k`, with k 0 or 1 and every further power gone into the rational, so equal values are equal in every part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Factor {
    rational: Rational,
    root_3: bool,
}

impl Factor {
    /// Nothing.
    pub const ZERO: Self = Self { rational: Rational::ZERO, root_3: false };
    /// One.
    pub const ONE: Self = Self { rational: Rational::ONE, root_3: false };

    /// `rational × √3^power`.
    ///
    /// # Errors
    /// [`ExactError::Overflow`] when the power of three does not fit.
    pub fn new(rational: Rational, power: i8) -> Result<Self, ExactError> {
        let threes = 3_i128.checked_pow(u32::from(power.div_euclid(2).unsigned_abs())).ok_or(ExactError::Overflow)?;
        let whole = Rational::new(threes, 1)?;
        let rational = if power < 0 { rational.over(whole)? } else { rational.times(whole)? };
        Ok(Self { rational, root_3: power.rem_euclid(2) == 1 && !rational.is_zero() })
    }

    /// The rational part.
    pub const fn rational(self) -> Rational {
        self.rational
    }

    /// Whether √3 stands beside the rational part.
    pub const fn has_root_3(self) -> bool {
        self.root_3
    }

    /// Whether it is greater than zero.
    pub const fn is_positive(self) -> bool {
        self.rational.is_positive()
    }

    /// `self × other`.
    ///
    /// # Errors
    /// [`ExactError::Overflow`].
    pub fn times(self, other: Self) -> Result<Self, ExactError> {
        Self::new(self.rational.times(other.rational)?, i8::from(self.root_3) + i8::from(other.root_3))
    }

    /// `self ÷ other`.
    ///
    /// # Errors
    /// [`ExactError::DivisionByZero`], [`ExactError::Overflow`].
    pub fn over(self, other: Self) -> Result<Self, ExactError> {
        Self::new(self.rational.over(other.rational)?, i8::from(self.root_3) - i8::from(other.root_3))
    }

    /// `self + other`.
    ///
    /// # Errors
    /// [`ExactError::MixedRoots`] when only one of them has √3 (unless the other is 0), [`ExactError::Overflow`].
    pub fn plus(self, other: Self) -> Result<Self, ExactError> {
        if other.rational.is_zero() {
            return Ok(self);
        }
        if self.rational.is_zero() {
            return Ok(other);
        }
        if self.root_3 != other.root_3 {
            return Err(ExactError::MixedRoots);
        }
        Self::new(self.rational.plus(other.rational)?, i8::from(self.root_3))
    }

    /// `self − other`.
    ///
    /// # Errors
    /// As [`Self::plus`].
    pub fn minus(self, other: Self) -> Result<Self, ExactError> {
        self.plus(Self { rational: other.rational.negated(), root_3: other.root_3 })
    }

    /// The nearest `f64`, within two units in the last place.
    pub fn to_f64(self) -> f64 {
        if self.root_3 { self.rational.to_f64() * ROOT_3 } else { self.rational.to_f64() }
    }
}

impl From<Rational> for Factor {
    fn from(rational: Rational) -> Self {
        Self { rational, root_3: false }
    }
}

impl fmt::Display for Factor {
    /// `240`, `1/3`, `√3`, `60√3`, `2000√3/11`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if !self.root_3 {
            return self.rational.fmt(f);
        }
        match self.rational.numerator() {
            1 => write!(f, "√3")?,
            -1 => write!(f, "-√3")?,
            numerator => write!(f, "{numerator}√3")?,
        }
        if self.rational.denominator() == 1 { Ok(()) } else { write!(f, "/{}", self.rational.denominator()) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn any_factor() -> impl Strategy<Value = Factor> {
        (-1_000_000_i128..1_000_000, 1_i128..1_000_000, -3_i8..4)
            .prop_map(|(n, d, power)| Factor::new(Rational::new(n, d).unwrap(), power).unwrap())
    }

    #[test]
    fn every_second_root_becomes_a_three() {
        for (power, text) in [(0, "1"), (1, "√3"), (2, "3"), (3, "3√3"), (-1, "√3/3"), (-2, "1/3"), (-3, "√3/9")]
        {
            assert_eq!(Factor::new(Rational::ONE, power).unwrap().to_string(), text);
        }
        assert_eq!(Factor::new(Rational::ONE, i8::MIN).map(Factor::has_root_3), Ok(false));
        assert_eq!(Factor::new(Rational::ONE, i8::MAX).map(Factor::has_root_3), Ok(true));
    }

    #[test]
    fn a_rational_and_a_root_do_not_add() {
        let root = Factor::new(Rational::ONE, 1).unwrap();
        assert_eq!(root.plus(Factor::ONE), Err(ExactError::MixedRoots));
        assert_eq!(root.plus(Factor::ZERO), Ok(root));
        assert_eq!(root.minus(root), Ok(Factor::ZERO));
    }

    proptest! {
        #[test]
        fn products_undo(a in any_factor(), b in any_factor()) {
            prop_assert_eq!(a.times(b), b.times(a));
            if b.is_positive() {
                prop_assert_eq!(a.times(b).unwrap().over(b), Ok(a));
            }
        }

        #[test]
        fn the_float_follows_the_exact_value(a in any_factor(), b in any_factor()) {
            let exact = a.times(b).unwrap().to_f64();
            let float = a.to_f64() * b.to_f64();
            prop_assert!((exact - float).abs() <= 1e-14 * float.abs());
        }
    }
}
