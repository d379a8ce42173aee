//! An angle: radians inside, degrees at the edge, whole quarter turns exact.

use crate::range::{OutOfRange, Range};
use std::f64::consts::{FRAC_PI_2, PI};
use std::ops::{Add, Neg, Sub};

/// Which way a written angle counts. Inside, only leading-positive exists; a reading declares its own and is turned once.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AngleConvention {
    /// Degrees by which a phasor lags the reference, clockwise, 0° to 360°: the habit at meter test switches.
    LaggingPositive,
    /// Degrees by which a phasor leads the reference, counter-clockwise, −180° to 180°: the habit of textbooks.
    LeadingPositive,
}

/// An angle, counter-clockwise positive, on one turn.
///
/// Held as whole quarter turns and a rest, so that 90°, 180° and 270° leave no residue in sine and cosine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Angle {
    /// Whole quarter turns, 0 to 3.
    quarters: u8,
    /// What is left, in radians, within ±π/4.
    rest_rad: f64,
}

impl Angle {
    /// No angle.
    pub const ZERO: Self = Self { quarters: 0, rest_rad: 0.0 };
    /// A quarter turn counter-clockwise.
    pub const QUARTER: Self = Self { quarters: 1, rest_rad: 0.0 };
    /// Half a turn.
    pub const HALF: Self = Self { quarters: 2, rest_rad: 0.0 };
    /// What may be written down as an angle, in degrees, in either convention.
    pub const RANGE: Range = Range { what: "angle", unit: "°", least: -360.0, most: 360.0 };

    /// Takes degrees as written down under `convention`.
    ///
    /// # Errors
    /// [`OutOfRange`] when the number is not finite or lies outside [`Self::RANGE`].
    pub fn from_degrees(degrees: f64, convention: AngleConvention) -> Result<Self, OutOfRange> {
        let leading = match convention {
            AngleConvention::LaggingPositive => -Self::RANGE.check(degrees)?,
            AngleConvention::LeadingPositive => Self::RANGE.check(degrees)?,
        };
        // Both the quarter count and the rest are exact here: only the last step to radians rounds.
        let quarters = (leading / 90.0).round();
        Ok(Self::of(quarters, (leading - 90.0 * quarters).to_radians()))
    }

    /// Takes radians, counter-clockwise positive, within one turn either way.
    ///
    /// # Errors
    /// [`OutOfRange`], told in degrees, when the number is not finite or lies beyond one turn.
    pub fn from_radians(radians: f64) -> Result<Self, OutOfRange> {
        if radians.abs() <= 2.0 * PI {
            Ok(Self::wrapped(radians))
        } else {
            Err(OutOfRange { range: Self::RANGE, found: radians.to_degrees() })
        }
    }

    /// Angle of the vector (`re`, `im`); the caller has seen to it that it has one.
    pub(crate) fn of_vector(re: f64, im: f64) -> Self {
        // The axes and the diagonals between them are taken apart first, so that a quarter turn stays a quarter turn.
        if re.abs() >= im.abs() {
            if re >= 0.0 { Self::of(0.0, libm::atan2(im, re)) } else { Self::of(2.0, libm::atan2(-im, -re)) }
        } else if im >= 0.0 {
            Self::of(1.0, libm::atan2(-re, im))
        } else {
            Self::of(3.0, libm::atan2(re, -im))
        }
    }

    /// Degrees as they would be written down: 0° to 360° lagging, or −180° to 180° leading. −180° is written 180°, 360° is 0°.
    pub fn degrees(self, convention: AngleConvention) -> f64 {
        let leading = self.leading_degrees();
        match convention {
            AngleConvention::LeadingPositive => leading,
            AngleConvention::LaggingPositive if leading > 0.0 => {
                // A rest too small to be seen beside 360 would read as a full turn, which is written 0.
                let lagging = 360.0 - leading;
                if lagging < 360.0 { lagging } else { 0.0 }
            }
            AngleConvention::LaggingPositive => 0.0 - leading,
        }
    }

    /// Radians from −π to π, counter-clockwise positive.
    pub fn radians(self) -> f64 {
        match self.quarters {
            0 => self.rest_rad,
            1 => FRAC_PI_2 + self.rest_rad,
            2 if self.rest_rad > 0.0 => self.rest_rad - PI,
            2 => PI + self.rest_rad,
            _ => self.rest_rad - FRAC_PI_2,
        }
    }

    /// Cosine and sine; exact for whole quarter turns.
    pub fn cos_sin(self) -> (f64, f64) {
        let (cos, sin) = (libm::cos(self.rest_rad), libm::sin(self.rest_rad));
        match self.quarters {
            0 => (cos, sin),
            1 => (0.0 - sin, cos),
            2 => (0.0 - cos, 0.0 - sin),
            _ => (sin, 0.0 - cos),
        }
    }

    /// How far apart two angles are, in degrees, 0 to 180.
    pub fn apart_degrees(self, other: Self) -> f64 {
        (self - other).leading_degrees().abs()
    }

    fn leading_degrees(self) -> f64 {
        let rest = self.rest_rad.to_degrees();
        match self.quarters {
            0 => rest + 0.0,
            1 => 90.0 + rest,
            2 if self.rest_rad > 0.0 => {
                let behind = rest - 180.0;
                if behind > -180.0 { behind } else { 180.0 }
            }
            2 => 180.0 + rest,
            _ => rest - 90.0,
        }
    }

    fn of(quarters: f64, rest_rad: f64) -> Self {
        // At most a handful of quarter turns ever come here, so the conversion cannot lose any.
        Self { quarters: (quarters as i64).rem_euclid(4) as u8, rest_rad: rest_rad + 0.0 }
    }

    fn wrapped(radians: f64) -> Self {
        let quarters = (radians / FRAC_PI_2).round();
        Self::of(quarters, radians - quarters * FRAC_PI_2)
    }

    /// Adds `quarters` to the angle `rest_rad`, which may reach half a turn.
    fn sum(quarters: u8, rest_rad: f64) -> Self {
        let rest = Self::wrapped(rest_rad);
        Self { quarters: (quarters + rest.quarters) % 4, rest_rad: rest.rest_rad }
    }
}

impl Add for Angle {
    type Output = Self;
    fn add(self, rhs: Self) -> Self {
        Self::sum(self.quarters + rhs.quarters, self.rest_rad + rhs.rest_rad)
    }
}

impl Sub for Angle {
    type Output = Self;
    fn sub(self, rhs: Self) -> Self {
        self + -rhs
    }
}

impl Neg for Angle {
    type Output = Self;
    fn neg(self) -> Self {
        Self { quarters: (4 - self.quarters) % 4, rest_rad: 0.0 - self.rest_rad }
    }
}

#[cfg(test)]
mod tests {
    use super::AngleConvention::{LaggingPositive, LeadingPositive};
    use super::*;
    use proptest::prelude::*;

    fn leading(degrees: f64) -> Angle {
        Angle::from_degrees(degrees, LeadingPositive).unwrap()
    }

    #[test]
    fn quarter_turns_leave_no_residue() {
        for (degrees, cos, sin) in [
            (0.0, 1.0, 0.0),
            (90.0, 0.0, 1.0),
            (180.0, -1.0, 0.0),
            (270.0, 0.0, -1.0),
            (-90.0, 0.0, -1.0),
            (360.0, 1.0, 0.0),
        ] {
            let (found_cos, found_sin): (f64, f64) = leading(degrees).cos_sin();
            assert_eq!(
                (found_cos.to_bits(), found_sin.to_bits()),
                (f64::to_bits(cos), f64::to_bits(sin)),
                "{degrees}°"
            );
        }
    }

    #[test]
    fn the_switch_convention_counts_clockwise_to_360() {
        for (written, leads) in [(0.0, 0.0), (120.0, -120.0), (240.0, 120.0), (180.0, 180.0), (330.0, 30.0)] {
            let angle = Angle::from_degrees(written, LaggingPositive).unwrap();
            assert!((angle.degrees(LeadingPositive) - leads).abs() < 1e-12, "{written}");
            assert!((angle.degrees(LaggingPositive) - written).abs() < 1e-12, "{written}");
        }
    }

    #[test]
    fn what_is_no_angle_is_refused() {
        for bad in [f64::NAN, f64::INFINITY, 360.5, -361.0] {
            assert!(Angle::from_degrees(bad, LeadingPositive).is_err());
            assert!(Angle::from_radians(bad).is_err());
        }
    }

    proptest! {
        #[test]
        fn turning_the_convention_twice_changes_nothing(degrees in -360.0..=360.0) {
            let angle = leading(degrees);
            let again = Angle::from_degrees(angle.degrees(LaggingPositive), LaggingPositive).unwrap();
            prop_assert!(again.apart_degrees(angle) < 1e-12);
        }

        #[test]
        fn written_angles_stay_on_one_turn(degrees in -360.0..=360.0) {
            let angle = leading(degrees);
            let lagging = angle.degrees(LaggingPositive);
            let leads = angle.degrees(LeadingPositive);
            prop_assert!((0.0..360.0).contains(&lagging), "{lagging}");
            prop_assert!(leads > -180.0 && leads <= 180.0, "{leads}");
        }

        #[test]
        fn adding_and_taking_away_returns(one in -360.0..=360.0, other in -360.0..=360.0) {
            let sum = leading(one) + leading(other);
            prop_assert!((sum - leading(other)).apart_degrees(leading(one)) < 1e-12);
            prop_assert!(sum.radians().abs() <= PI);
        }

        #[test]
        fn cosine_and_sine_lie_on_the_circle(degrees in -360.0..=360.0) {
            let (cos, sin) = leading(degrees).cos_sin();
            prop_assert!((libm::hypot(cos, sin) - 1.0).abs() < 1e-15);
            prop_assert!(Angle::of_vector(cos, sin).apart_degrees(leading(degrees)) < 1e-12);
        }
    }
}
