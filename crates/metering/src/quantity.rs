//! One newtype per kind of quantity, each with the range that a value must lie in to be believed.

use crate::range::{OutOfRange, Range};
use std::ops::{Mul, Neg};

/// The parts that every quantity shares; the documentation of each stands at its use below.
macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $what:literal, $unit:literal, $least:literal to $most:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            /// What a value must lie in; checks, messages, documents and generators all use this one range.
            pub const RANGE: Range = Range { what: $what, unit: $unit, least: $least, most: $most };

            #[doc = concat!("Takes a number already in ", $unit, ".")]
            ///
            /// # Errors
            /// [`OutOfRange`] when the number is not finite or lies outside [`Self::RANGE`].
            pub fn new(value: f64) -> Result<Self, OutOfRange> {
                Self::RANGE.check(value).map(Self)
            }

            #[doc = concat!("The number, in ", $unit, ".")]
            pub const fn get(self) -> f64 {
                self.0
            }

            /// The sum of two values of one kind.
            ///
            /// # Errors
            /// [`OutOfRange`] when the sum leaves [`Self::RANGE`].
            pub fn plus(self, other: Self) -> Result<Self, OutOfRange> {
                Self::new(self.0 + other.0)
            }
        }
    };
}

quantity! {
    /// Potential difference, RMS, in volts.
    Volts, "voltage", "V", 0.0 to 1e6
}
quantity! {
    /// Current, RMS, in amperes.
    Amps, "current", "A", 0.0 to 1e5
}
quantity! {
    /// Active power, in watts; positive from the supply to the customer.
    Watts, "active_power", "W", -1e11 to 1e11
}
quantity! {
    /// Reactive power, in vars; positive where the current lags (IEEE 1459).
    Vars, "reactive_power", "var", -1e11 to 1e11
}
quantity! {
    /// Apparent power, in volt-amperes.
    VoltAmperes, "apparent_power", "VA", 0.0 to 1e11
}
quantity! {
    /// Active energy, in watt-hours; positive from the supply to the customer.
    WattHours, "active_energy", "Wh", -1e16 to 1e16
}
quantity! {
    /// A stretch of time, in seconds.
    Seconds, "duration", "s", 0.0 to 3.6e8
}

/// Seconds in an hour.
const SECONDS_PER_HOUR: f64 = 3600.0;

impl Mul<Amps> for Volts {
    type Output = VoltAmperes;
    /// Apparent power of one element; watts need an angle, so they cannot come from here. Both ranges are bounded, and so
    /// is the product.
    fn mul(self, rhs: Amps) -> VoltAmperes {
        VoltAmperes(self.0 * rhs.0)
    }
}

impl Mul<Seconds> for Watts {
    type Output = WattHours;
    /// Energy of a steady power. Both ranges are bounded, and the product stays inside the range of [`WattHours`].
    fn mul(self, rhs: Seconds) -> WattHours {
        WattHours(self.0 * rhs.0 / SECONDS_PER_HOUR)
    }
}

impl Neg for Watts {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Neg for Vars {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Neg for WattHours {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn neither_nan_nor_infinity_is_a_quantity() {
        for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert!(Volts::new(bad).is_err());
            assert!(Watts::new(bad).is_err());
            assert!(Seconds::new(bad).is_err());
        }
        assert_eq!(Volts::new(-1.0).unwrap_err().range, Volts::RANGE);
    }

    #[test]
    fn a_kilowatt_for_half_an_hour_is_half_a_kilowatt_hour() {
        let energy = Watts::new(1000.0).unwrap() * Seconds::new(1800.0).unwrap();
        assert_eq!(energy, WattHours::new(500.0).unwrap());
    }

    #[test]
    fn a_sum_beyond_the_range_is_refused() {
        let most = Volts::new(1e6).unwrap();
        assert!(most.plus(most).is_err());
    }

    proptest! {
        #[test]
        fn products_of_quantities_stay_in_range(v in 0.0..=1e6, a in 0.0..=1e5, w in -1e11..=1e11, s in 0.0..=3.6e8) {
            let apparent = Volts::new(v).unwrap() * Amps::new(a).unwrap();
            prop_assert!(VoltAmperes::RANGE.check(apparent.get()).is_ok());
            let energy = Watts::new(w).unwrap() * Seconds::new(s).unwrap();
            prop_assert!(WattHours::RANGE.check(energy.get()).is_ok());
        }
    }
}
