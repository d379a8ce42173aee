//! A phasor: one complex RMS value, in whatever unit its user says, and the power of a pair of them.

use crate::angle::Angle;
use crate::quantity::{Vars, VoltAmperes, Watts};
use crate::range::{OutOfRange, Range};
use std::ops::{Add, Div, Mul, Neg, Sub};

/// A complex RMS value, angle counter-clockwise. Always finite when built through its constructors and kept to physical sizes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Phasor {
    re: f64,
    im: f64,
}

/// Active and reactive power of one element.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ComplexPower {
    /// Active power.
    pub active: Watts,
    /// Reactive power, positive where the current lags.
    pub reactive: Vars,
}

impl Phasor {
    /// Nothing.
    pub const ZERO: Self = Self { re: 0.0, im: 0.0 };
    /// What a magnitude may be, whatever its unit.
    pub const RANGE: Range = Range { what: "phasor", unit: "", least: -1e6, most: 1e6 };

    /// Takes the two rectangular parts.
    ///
    /// # Errors
    /// [`OutOfRange`] when a part is not finite or lies outside [`Self::RANGE`].
    pub fn rectangular(re: f64, im: f64) -> Result<Self, OutOfRange> {
        Ok(Self { re: Self::RANGE.check(re)?, im: Self::RANGE.check(im)? })
    }

    /// Takes a magnitude and an angle.
    ///
    /// # Errors
    /// [`OutOfRange`] when the magnitude is not finite or lies outside [`Self::RANGE`].
    pub fn polar(magnitude: f64, angle: Angle) -> Result<Self, OutOfRange> {
        let magnitude = Self::RANGE.check(magnitude)?;
        let (cos, sin) = angle.cos_sin();
        Ok(Self { re: magnitude * cos, im: magnitude * sin })
    }

    /// A literal of this crate.
    pub(crate) const fn literal(re: f64, im: f64) -> Self {
        Self { re, im }
    }

    /// The part along the reference.
    pub const fn re(self) -> f64 {
        self.re
    }

    /// The part a quarter turn ahead of the reference.
    pub const fn im(self) -> f64 {
        self.im
    }

    /// The magnitude, never negative.
    pub fn magnitude(self) -> f64 {
        libm::hypot(self.re, self.im)
    }

    /// The angle; a phasor of magnitude 0 has none.
    pub fn angle(self) -> Option<Angle> {
        (self.re != 0.0 || self.im != 0.0).then(|| Angle::of_vector(self.re, self.im))
    }

    /// The same magnitude at the opposite angle.
    pub fn conj(self) -> Self {
        Self { re: self.re, im: -self.im }
    }

    /// The phasor turned counter-clockwise by `angle`.
    pub fn turned(self, angle: Angle) -> Self {
        let (cos, sin) = angle.cos_sin();
        self * Self { re: cos, im: sin }
    }
}

/// Complex power of one element: `S = V·conj(I)`.
///
/// # Units
/// - `volts`, `amps`: RMS phasors in volts and amperes, on one axis
///
/// # Errors
/// [`OutOfRange`] when a part leaves the range of its quantity.
///
/// # Source
/// IEEE Std 1459-2010; lagging current gives positive reactive power.
pub fn complex_power(volts: Phasor, amps: Phasor) -> Result<ComplexPower, OutOfRange> {
    let s = volts * amps.conj();
    Ok(ComplexPower { active: Watts::new(s.re)?, reactive: Vars::new(s.im)? })
}

impl ComplexPower {
    /// Magnitude of the complex power.
    ///
    /// # Errors
    /// [`OutOfRange`] when it leaves the range of [`VoltAmperes`].
    pub fn apparent(self) -> Result<VoltAmperes, OutOfRange> {
        VoltAmperes::new(libm::hypot(self.active.get(), self.reactive.get()))
    }

    /// Sum over elements, each part by itself: the vector sum.
    ///
    /// # Errors
    /// [`OutOfRange`] when a sum leaves its range.
    pub fn plus(self, other: Self) -> Result<Self, OutOfRange> {
        Ok(Self { active: self.active.plus(other.active)?, reactive: self.reactive.plus(other.reactive)? })
    }
}

impl Add for Phasor {
    type Output = Self;
    fn add(self, rhs: Self) -> Self {
        Self { re: self.re + rhs.re, im: self.im + rhs.im }
    }
}

impl Sub for Phasor {
    type Output = Self;
    fn sub(self, rhs: Self) -> Self {
        Self { re: self.re - rhs.re, im: self.im - rhs.im }
    }
}

impl Neg for Phasor {
    type Output = Self;
    fn neg(self) -> Self {
        Self { re: -self.re, im: -self.im }
    }
}

impl Mul for Phasor {
    type Output = Self;
    fn mul(self, rhs: Self) -> Self {
        Self { re: self.re * rhs.re - self.im * rhs.im, im: self.re * rhs.im + self.im * rhs.re }
    }
}

impl Mul<f64> for Phasor {
    type Output = Self;
    fn mul(self, rhs: f64) -> Self {
        Self { re: self.re * rhs, im: self.im * rhs }
    }
}

impl Div<f64> for Phasor {
    type Output = Self;
    /// The caller sees to it that the divisor is not 0.
    fn div(self, rhs: f64) -> Self {
        Self { re: self.re / rhs, im: self.im / rhs }
    }
}

impl Div for Phasor {
    type Output = Self;
    /// The caller sees to it that the divisor is not 0.
    fn div(self, rhs: Self) -> Self {
        self * rhs.conj() / (rhs.re * rhs.re + rhs.im * rhs.im)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::angle::AngleConvention::{LaggingPositive, LeadingPositive};
    use proptest::prelude::*;

    fn phasor(magnitude: f64, lag_degrees: f64) -> Phasor {
        Phasor::polar(magnitude, Angle::from_degrees(lag_degrees, LaggingPositive).unwrap()).unwrap()
    }

    #[test]
    fn a_lagging_load_takes_positive_vars() {
        let power = complex_power(phasor(120.0, 0.0), phasor(5.0, 30.0)).unwrap();
        assert!((power.active.get() - 519.615_242_270_663_2).abs() < 1e-9);
        assert!((power.reactive.get() - 300.0).abs() < 1e-9);
        assert!((power.apparent().unwrap().get() - 600.0).abs() < 1e-9);
    }

    #[test]
    fn nothing_has_no_angle() {
        assert_eq!(Phasor::ZERO.angle(), None);
        assert!(Phasor::polar(f64::NAN, Angle::ZERO).is_err());
        assert!(Phasor::rectangular(0.0, f64::INFINITY).is_err());
    }

    proptest! {
        #[test]
        fn polar_and_back(magnitude in 0.001..1e5, degrees in -180.0..180.0) {
            let angle = Angle::from_degrees(degrees, LeadingPositive).unwrap();
            let phasor = Phasor::polar(magnitude, angle).unwrap();
            prop_assert!((phasor.magnitude() / magnitude - 1.0).abs() < 1e-15);
            prop_assert!(phasor.angle().unwrap().apart_degrees(angle) < 1e-12);
        }

        #[test]
        fn power_does_not_care_where_the_axis_is(v in 1.0..700.0, i in 0.01..100.0, lag in 0.0..360.0, axis in 0.0..360.0) {
            let straight = complex_power(phasor(v, 0.0), phasor(i, lag)).unwrap();
            let turn = Angle::from_degrees(axis, LeadingPositive).unwrap();
            let turned = complex_power(phasor(v, 0.0).turned(turn), phasor(i, lag).turned(turn)).unwrap();
            let apparent = v * i;
            prop_assert!((straight.active.get() - turned.active.get()).abs() < 1e-12 * apparent);
            prop_assert!((straight.reactive.get() - turned.reactive.get()).abs() < 1e-12 * apparent);
        }
    }
}
