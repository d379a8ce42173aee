//! Registration over the load's angle: what a wiring registers of a load as its power factor changes, and what puts it right.
//!
//! Turning every current by one angle turns every element's complex power by the same, so a whole curve is a handful of
//! numbers. For the net sum of a balanced load it is `a − b·tan θ`.

use crate::angle::Angle;
use crate::phasor::Phasor;
use crate::quantity::{Amps, Volts};
use crate::range::OutOfRange;
use crate::service::Sequence;
use crate::wiring::{Adding, ElementSeen, Load, Registered, Seen, Shares, correction_factor, ratio};
use crate::working::{Input, Rule, Shown, Working};

/// Registration as a function of how far the load's currents lag.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Curve {
    adding: Adding,
    seen: Seen,
    load: Load,
}

impl Curve {
    /// Of a load whose currents stand where they are at unity power factor; angles are counted from there.
    pub fn of(shares: &Shares, adding: Adding, load: Load) -> Self {
        Self { adding, seen: shares.see(&load), load }
    }

    /// Of a balanced load.
    ///
    /// # Errors
    /// Never with a service of the table: its nominal voltages lie in range.
    pub fn balanced(shares: &Shares, adding: Adding, sequence: Sequence) -> Result<Self, OutOfRange> {
        let (volts, amps) = (Volts::new(1.0)?, Amps::new(1.0)?);
        Ok(Self::of(shares, adding, Load::balanced(shares.service, sequence, volts, amps, Angle::ZERO)?))
    }

    /// Registration while the currents lag by this angle; `None` where no true power flows.
    pub fn at(&self, lag: Angle) -> Option<f64> {
        let registered = self.adding.register(&turned(&self.seen, lag)).net();
        ratio(registered, self.load.power().turned(lag).re(), self.load.apparent())
    }

    /// The correction factor there; `None` where it has none: nothing is registered, or no true power flows.
    pub fn correction_at(&self, lag: Angle) -> Option<f64> {
        self.at(lag).and_then(correction_factor)
    }

    /// Least and most registration while the lag stays between two angles, the first not the larger; leading is negative.
    ///
    /// `None` where true power changes its direction in between: registration then goes beyond all bounds.
    pub fn range(&self, from: Angle, to: Angle) -> Option<(f64, f64)> {
        let inside = |angle: &f64| *angle > from.radians() && *angle < to.radians();
        if stops(self.load.power()).iter().any(inside) {
            return None;
        }
        let first = self.at(from)?;
        let mut range = (first.min(self.at(to)?), first.max(self.at(to)?));
        // Between the angles at which an element, or the sum, changes its sign the curve only rises or only falls.
        let sum = self.seen.elements().iter().fold(Phasor::ZERO, |sum, element| sum + power(element));
        let turns = self.seen.elements().iter().map(power).chain([sum]).flat_map(stops).filter(inside);
        for angle in turns {
            let found = self.at(Angle::from_radians(angle).ok()?)?;
            range = (range.0.min(found), range.1.max(found));
        }
        Some(range)
    }

    /// The lag within a quarter turn either way at which the net sum is nothing and the correction factor grows beyond all
    /// bounds; `None` where there is none.
    pub fn standstill(&self) -> Option<Angle> {
        let sum = self.seen.elements().iter().fold(Phasor::ZERO, |sum, element| sum + power(element));
        let quarter = std::f64::consts::FRAC_PI_2;
        let angle = stops(sum).into_iter().find(|angle| angle.abs() < quarter)?;
        Angle::from_radians(angle).ok().filter(|_| sum.magnitude() > 0.0)
    }
}

/// What correction factors a range of registrations allows, least first; `None` where nothing registered lies within it, so
/// that they have no bound.
pub fn correction_range((least, most): (f64, f64)) -> Option<(f64, f64)> {
    let same_sign = least > 0.0 || most < 0.0;
    Some((correction_factor(most)?, correction_factor(least)?)).filter(|_| same_sign)
}

/// A registration with its correction factor, as shown to a person.
#[derive(Clone, Debug, PartialEq)]
pub struct Registration {
    /// Registered ÷ true, signed.
    pub ratio: f64,
    /// 1 ÷ registration; `None` where nothing is registered.
    pub correction: Option<f64>,
    /// What went into the registers, in watts.
    pub registered: Registered,
    /// How the ratio came about.
    pub working: Working,
}

/// Registration of what the meter sees of a load, with its working; `None` where no true power flows.
pub fn registration(adding: Adding, seen: &Seen, load: &Load) -> Option<Registration> {
    let registered = adding.register(seen);
    let ratio = crate::wiring::registration(adding, seen, load)?;
    let total = total(adding, seen);
    let inputs = vec![
        Input::new("P_registered", total.result),
        Input::new("P_true", Shown::measured(load.watts(), WATT_DIGITS, "W")),
    ];
    let working = Working::new(Rule::Registration, inputs, Shown::measured(ratio, 4, "")).with_parts(vec![total]);
    Some(Registration { ratio, correction: correction_factor(ratio), registered, working })
}

const WATT_DIGITS: u8 = 1;

/// Working of the watts that a meter adds up.
pub fn total(adding: Adding, seen: &Seen) -> Working {
    let watts = |watts: f64| Shown::measured(watts, WATT_DIGITS, "W");
    let parts: Vec<Working> = seen.elements().iter().map(element).collect();
    let inputs = parts.iter().map(|part| Input::new("P", part.result)).collect();
    let rule = match adding {
        Adding::Net | Adding::Apart => Rule::TotalPower,
        Adding::Absolute => Rule::TotalAbsolute,
        Adding::PositiveOnly => Rule::TotalPositive,
    };
    Working::new(rule, inputs, watts(adding.register(seen).net())).with_parts(parts)
}

/// Working of one element's watts.
fn element(seen: &ElementSeen) -> Working {
    let lag = seen.volts.angle().zip(seen.amps.angle()).map_or(Angle::ZERO, |(volts, amps)| volts - amps);
    let inputs = vec![
        Input::new("V", Shown::measured(seen.volts.magnitude(), 2, "V")),
        Input::new("I", Shown::measured(seen.amps.magnitude(), 3, "A")),
        Input::new("θ", Shown::measured(lag.degrees(crate::angle::AngleConvention::LeadingPositive), 1, "°")),
    ];
    Working::new(Rule::ElementPower, inputs, Shown::measured(seen.watts, WATT_DIGITS, "W"))
}

fn power(element: &ElementSeen) -> Phasor {
    Phasor::literal(element.watts, element.vars)
}

/// The same view with every current turned back by `lag`.
fn turned(seen: &Seen, lag: Angle) -> Seen {
    let elements = seen.elements.map(|element| {
        let power = power(&element).turned(lag);
        ElementSeen { amps: element.amps.turned(-lag), watts: power.re(), vars: power.im(), ..element }
    });
    Seen { elements, amps: seen.amps.map(|amps| amps.turned(-lag)), ..*seen }
}

/// The two lags, in radians within half a turn, at which a complex power turned by them has no active part.
fn stops(power: Phasor) -> [f64; 2] {
    let half = std::f64::consts::PI;
    let one = libm::atan2(power.re(), power.im());
    [one, if one > 0.0 { one - half } else { one + half }]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::angle::AngleConvention::LeadingPositive;
    use crate::service::{DELTA2, Node, WYE3};
    use crate::wiring::{Fault, Wiring};
    use proptest::prelude::*;

    fn lag(degrees: f64) -> Angle {
        Angle::from_degrees(degrees, LeadingPositive).unwrap()
    }

    fn curve(faults: &[Fault], adding: Adding) -> Curve {
        Curve::balanced(&Wiring::of(&DELTA2, faults).unwrap().shares(), adding, Sequence::Abc).unwrap()
    }

    /// Derived: with CT A of a 2-element delta reversed the meter stands still at unity and registers tan θ ÷ √3.
    #[test]
    fn a_reversed_ct_of_a_delta_over_power_factor() {
        let curve = curve(&[Fault::CtReversed(Node::A)], Adding::Net);
        assert_eq!(curve.at(Angle::ZERO), Some(0.0));
        assert_eq!(curve.correction_at(Angle::ZERO), None);
        assert_eq!(curve.at(lag(90.0)), None);
        assert!((curve.at(lag(60.0)).unwrap() - 1.0).abs() < 1e-12);
        assert!((curve.at(lag(-60.0)).unwrap() + 1.0).abs() < 1e-12);
        assert!(curve.standstill().unwrap().radians().abs() < 1e-12);
        let (least, most) = curve.range(lag(-30.0), lag(60.0)).unwrap();
        assert!((least + 1.0 / 3.0).abs() < 1e-12 && (most - 1.0).abs() < 1e-12);
        assert_eq!(correction_range((least, most)), None);
        assert_eq!(curve.range(lag(60.0), lag(120.0)), None);
        assert_eq!(correction_range((0.5, 2.0)), Some((0.5, 2.0)));
        assert_eq!(correction_range((-0.5, -0.25)), Some((-4.0, -2.0)));
    }

    #[test]
    fn a_dead_meter_stands_still_everywhere() {
        let open = [Node::A, Node::C].map(|lead| Fault::VtOpen { lead, share: None });
        let curve = curve(&open, Adding::Net);
        assert_eq!(curve.at(lag(20.0)), Some(0.0));
        assert_eq!(curve.standstill(), None);
    }

    #[test]
    fn a_registration_shows_how_it_came_about() {
        let load = Load::balanced(&WYE3, Sequence::Abc, Volts::new(208.0).unwrap(), Amps::new(5.0).unwrap(), lag(20.0))
            .unwrap();
        let seen = Wiring::of(&WYE3, &[Fault::CtReversed(Node::B)]).unwrap().see(&load);
        let found = registration(Adding::Net, &seen, &load).unwrap();
        assert!((found.ratio - 1.0 / 3.0).abs() < 1e-12 && (found.correction.unwrap() - 3.0).abs() < 1e-12);
        assert_eq!(found.working.rule, Rule::Registration);
        assert_eq!(found.working.result.text(), "0.3333");
        assert_eq!(found.working.parts[0].rule, Rule::TotalPower);
        assert_eq!(found.working.parts[0].parts.len(), 3);
        let absolute = registration(Adding::Absolute, &seen, &load).unwrap();
        assert_eq!(absolute.working.parts[0].rule, Rule::TotalAbsolute);
        assert_eq!(absolute.working.result.text(), "1.0000");
    }

    proptest! {
        /// The curve agrees with the forward function, and no point between lies beyond the range.
        #[test]
        fn a_curve_is_the_forward_function(from in -80.0..0.0, width in 0.0..80.0, share in 0.0..1.0, which in 0_usize..4, reversed in any::<bool>()) {
            let faults = if reversed { vec![Fault::CtReversed(Node::C)] } else { vec![Fault::VtOpen { lead: Node::B, share: Some(0.3) }] };
            let adding = Adding::ALL[which];
            let curve = curve(&faults, adding);
            let at = lag(from + share * width);
            let found = curve.at(at).unwrap();
            let load = Load::balanced(&DELTA2, Sequence::Abc, Volts::new(1.0).unwrap(), Amps::new(1.0).unwrap(), at).unwrap();
            let seen = Wiring::of(&DELTA2, &faults).unwrap().see(&load);
            prop_assert!((found - crate::wiring::registration(adding, &seen, &load).unwrap()).abs() < 1e-9);
            let (least, most) = curve.range(lag(from), lag(from + width)).unwrap();
            prop_assert!(found >= least - 1e-9 && found <= most + 1e-9, "{found} in {least} to {most}");
        }
    }
}
