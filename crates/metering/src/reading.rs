//! What an instrument showed at the meter, element by element, and what follows from it. What was not read stays missing.

use crate::angle::{Angle, AngleConvention};
use crate::phasor::{ComplexPower, Phasor, complex_power};
use crate::quantity::{Amps, VoltAmperes, Volts, Watts};
use crate::range::OutOfRange;
use crate::service::Sequence;
use crate::working::{Input, Rule, Shown, Working};
use thiserror::Error;

/// How far an angle between neighbouring phases may stand from a third of a turn and still tell the rotation, in degrees.
/// Common practice, no source; midway between the two rotations is 60° away.
pub const ROTATION_WITHIN_DEGREES: f64 = 30.0;
/// Below this current, in amperes, an angle means nothing on common instruments. Common practice, no source.
pub const LEAST_AMPS_FOR_ANGLE: f64 = 0.05;

/// One element as written down: every number may be absent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Written {
    /// Secondary volts.
    pub volts: Option<f64>,
    /// Secondary amperes.
    pub amps: Option<f64>,
    /// Angle of the voltage, in degrees of the set's convention.
    pub volt_angle_degrees: Option<f64>,
    /// Angle of the current, in degrees of the set's convention.
    pub amp_angle_degrees: Option<f64>,
}

impl Written {
    /// Nothing read yet.
    pub const NOTHING: Self = Self { volts: None, amps: None, volt_angle_degrees: None, amp_angle_degrees: None };
}

/// What the voltages were measured across.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Across {
    /// Each element's own coil: line to neutral on a wye.
    Elements,
    /// Line to line: no element's watts can come of them.
    Lines,
}

/// One element, converted: leading positive, against the reference voltage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ElementReading {
    /// Secondary volts.
    pub volts: Option<Volts>,
    /// Secondary amperes.
    pub amps: Option<Amps>,
    /// Angle of the voltage.
    pub volt_angle: Option<Angle>,
    /// Angle of the current.
    pub amp_angle: Option<Angle>,
}

/// One set of readings, in the order of the meter's elements.
#[derive(Clone, Debug, PartialEq)]
pub struct Readings {
    elements: Vec<ElementReading>,
    across: Across,
}

/// Which number of an element is wanting.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wanting {
    /// Its volts.
    Volts,
    /// Its volts across the element; they were read line to line.
    ElementVolts,
    /// Its amperes.
    Amps,
    /// The angle of its voltage.
    VoltAngle,
    /// The angle of its current.
    AmpAngle,
}

impl Wanting {
    /// Everything that can be wanting.
    pub const ALL: [Self; 5] = [Self::Volts, Self::ElementVolts, Self::Amps, Self::VoltAngle, Self::AmpAngle];

    /// Stable code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Volts => "reading.wanting.volts",
            Self::ElementVolts => "reading.wanting.element_volts",
            Self::Amps => "reading.wanting.amps",
            Self::VoltAngle => "reading.wanting.volt_angle",
            Self::AmpAngle => "reading.wanting.amp_angle",
        }
    }
}

/// One number that a result needed and nobody read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Missing {
    /// Element, counted from 0.
    pub element: usize,
    /// What of it.
    pub wanting: Wanting,
}

/// Why readings give no result.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum ReadingError {
    /// Numbers that were not read.
    #[error("missing: {0:?}")]
    Missing(Vec<Missing>),
    /// A number outside its range.
    #[error("element {element}: {why}")]
    Size {
        /// Element, counted from 0.
        element: usize,
        /// Which range.
        why: OutOfRange,
    },
    /// The set has no element of this index.
    #[error("no element {element}")]
    NoElement {
        /// Counted from 0.
        element: usize,
    },
    /// A sum outside the range of its kind.
    #[error(transparent)]
    Sum(#[from] OutOfRange),
}

/// The rotation that angles show.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rotation {
    /// One of the two.
    Known(Sequence),
    /// The three angles fit neither: at least one lead is not where it seems.
    Neither,
}

/// Powers of all elements together, secondary.
#[derive(Clone, Debug, PartialEq)]
pub struct Totals {
    /// Active and reactive power, each the sum over the elements.
    pub power: ComplexPower,
    /// Magnitude of that sum: vector volt-amperes (IEEE 1459).
    pub vector: VoltAmperes,
    /// Sum of the elements' volt-amperes: arithmetic volt-amperes (IEEE 1459).
    pub arithmetic: VoltAmperes,
    /// How the active power came about, each element's working among its parts.
    pub working: Working,
}

impl Readings {
    /// Takes a set as written down and converts it, once: to leading positive, with the reference element's voltage at 0.
    ///
    /// The reference's own angle is 0 by what a reference is: written or not, it counts as read. A written one that is
    /// not 0 turns the whole set with it.
    ///
    /// # Errors
    /// [`ReadingError::Size`] and [`ReadingError::NoElement`].
    pub fn new(
        convention: AngleConvention,
        reference: usize,
        across: Across,
        written: &[Written],
    ) -> Result<Self, ReadingError> {
        let wanted = written.get(reference).ok_or(ReadingError::NoElement { element: reference })?;
        let zero =
            wanted.volt_angle_degrees.map_or(Ok(Angle::ZERO), |degrees| Angle::from_degrees(degrees, convention));
        let zero = zero.map_err(|why| ReadingError::Size { element: reference, why })?;
        let angle = |degrees: f64| Angle::from_degrees(degrees, convention).map(|angle| angle - zero);
        let one = |(element, from): (usize, &Written)| -> Result<ElementReading, ReadingError> {
            let sized = |why| ReadingError::Size { element, why };
            let volt_angle = from.volt_angle_degrees.map(angle).transpose().map_err(sized)?;
            Ok(ElementReading {
                volts: from.volts.map(Volts::new).transpose().map_err(sized)?,
                amps: from.amps.map(Amps::new).transpose().map_err(sized)?,
                volt_angle: if element == reference { Some(Angle::ZERO) } else { volt_angle },
                amp_angle: from.amp_angle_degrees.map(angle).transpose().map_err(sized)?,
            })
        };
        Ok(Self { elements: written.iter().enumerate().map(one).collect::<Result<_, _>>()?, across })
    }

    /// The elements, converted.
    pub fn elements(&self) -> &[ElementReading] {
        &self.elements
    }

    /// How far the element's current lags its own voltage, in degrees, −180 to 180. Not wanting in size, but below
    /// [`LEAST_AMPS_FOR_ANGLE`] without meaning: the caller says so.
    ///
    /// # Errors
    /// [`ReadingError::Missing`] names what was not read.
    pub fn lag_degrees(&self, element: usize) -> Result<f64, ReadingError> {
        let read = self.element(element)?;
        match (read.volt_angle, read.amp_angle) {
            (Some(volts), Some(amps)) => Ok((volts - amps).degrees(AngleConvention::LeadingPositive)),
            (volts, amps) => {
                Err(missing(element, &[(volts.is_none(), Wanting::VoltAngle), (amps.is_none(), Wanting::AmpAngle)]))
            }
        }
    }

    /// Volts times amperes of one element; needs no angle.
    ///
    /// # Errors
    /// [`ReadingError::Missing`] names what was not read.
    pub fn apparent(&self, element: usize) -> Result<VoltAmperes, ReadingError> {
        let (volts, amps) = self.magnitudes(element)?;
        Ok(volts * amps)
    }

    /// Active and reactive power of one element, secondary, with the working of the active part.
    ///
    /// # Errors
    /// [`ReadingError::Missing`] names everything that was not read.
    pub fn power(&self, element: usize) -> Result<(ComplexPower, Working), ReadingError> {
        let gaps = self.gaps(element)?;
        if !gaps.is_empty() {
            return Err(ReadingError::Missing(gaps));
        }
        let (volts, amps) = self.magnitudes(element)?;
        let lag_degrees = self.lag_degrees(element)?;
        let sized = |why| ReadingError::Size { element, why };
        let lag = Angle::from_degrees(lag_degrees, AngleConvention::LaggingPositive).map_err(sized)?;
        let voltage = Phasor::polar(volts.get(), Angle::ZERO).map_err(sized)?;
        let current = Phasor::polar(amps.get(), lag).map_err(sized)?;
        let power = complex_power(voltage, current).map_err(sized)?;
        let inputs = vec![
            Input::new("V", Shown::measured(volts.get(), 2, "V")),
            Input::new("I", Shown::measured(amps.get(), 3, "A")),
            Input::new("θ", Shown::measured(lag_degrees, 1, "°")),
        ];
        Ok((power, Working::new(Rule::ElementPower, inputs, Shown::measured(power.active.get(), 1, "W"))))
    }

    /// Powers of all elements together.
    ///
    /// # Errors
    /// [`ReadingError::Missing`] names what was not read, over all elements.
    pub fn totals(&self) -> Result<Totals, ReadingError> {
        let mut gaps = Vec::new();
        for element in 0..self.elements.len() {
            gaps.extend(self.gaps(element)?);
        }
        if !gaps.is_empty() {
            return Err(ReadingError::Missing(gaps));
        }
        let mut parts = Vec::new();
        let mut inputs = Vec::new();
        let mut sum: Option<(ComplexPower, VoltAmperes)> = None;
        for element in 0..self.elements.len() {
            let (power, working) = self.power(element)?;
            let apparent = self.apparent(element)?;
            inputs.push(Input::new("P", working.result));
            parts.push(working);
            sum = Some(match sum {
                None => (power, apparent),
                Some((so_far, arithmetic)) => (so_far.plus(power)?, arithmetic.plus(apparent)?),
            });
        }
        let (power, arithmetic) = sum.ok_or(ReadingError::NoElement { element: 0 })?;
        let result = Shown::measured(power.active.get(), 1, "W");
        let working = Working::new(Rule::TotalPower, inputs, result).with_parts(parts);
        Ok(Totals { power, vector: power.apparent()?, arithmetic, working })
    }

    /// Magnitude of the phasor sum of the currents, in amperes: what the neutral carries on a 4-wire wye that is wired
    /// right, and twice a phase where one current is turned round.
    ///
    /// # Errors
    /// [`ReadingError::Missing`] names what was not read.
    pub fn residual_amps(&self) -> Result<f64, ReadingError> {
        self.residual(|read| (read.amps.map(Amps::get), read.amp_angle), Wanting::Amps, Wanting::AmpAngle)
    }

    /// Magnitude of the phasor sum of the voltages, in volts: small on a 4-wire wye that is wired right.
    ///
    /// # Errors
    /// [`ReadingError::Missing`] names what was not read.
    pub fn residual_volts(&self) -> Result<f64, ReadingError> {
        self.residual(|read| (read.volts.map(Volts::get), read.volt_angle), Wanting::Volts, Wanting::VoltAngle)
    }

    /// The rotation of the voltages of a three-phase set.
    ///
    /// # Errors
    /// [`ReadingError::Missing`] names the angles that were not read; [`ReadingError::NoElement`] where there are not three.
    pub fn volts_rotation(&self) -> Result<Rotation, ReadingError> {
        self.rotation(|read| read.volt_angle, Wanting::VoltAngle)
    }

    /// The rotation of the currents of a three-phase set.
    ///
    /// # Errors
    /// As [`Self::volts_rotation`].
    pub fn amps_rotation(&self) -> Result<Rotation, ReadingError> {
        self.rotation(|read| read.amp_angle, Wanting::AmpAngle)
    }

    fn element(&self, element: usize) -> Result<ElementReading, ReadingError> {
        self.elements.get(element).copied().ok_or(ReadingError::NoElement { element })
    }

    /// Everything that an element's power needs and that was not read.
    fn gaps(&self, element: usize) -> Result<Vec<Missing>, ReadingError> {
        let read = self.element(element)?;
        let wanted = [
            (read.volts.is_none(), Wanting::Volts),
            (read.volts.is_some() && self.across == Across::Lines, Wanting::ElementVolts),
            (read.amps.is_none(), Wanting::Amps),
            (read.volt_angle.is_none(), Wanting::VoltAngle),
            (read.amp_angle.is_none(), Wanting::AmpAngle),
        ];
        Ok(wanted.into_iter().filter(|(is_gap, _)| *is_gap).map(|(_, wanting)| Missing { element, wanting }).collect())
    }

    fn magnitudes(&self, element: usize) -> Result<(Volts, Amps), ReadingError> {
        let read = self.element(element)?;
        match (read.volts, read.amps, self.across) {
            (Some(volts), Some(amps), Across::Elements) => Ok((volts, amps)),
            (volts, amps, across) => Err(missing(
                element,
                &[
                    (volts.is_none(), Wanting::Volts),
                    (volts.is_some() && across == Across::Lines, Wanting::ElementVolts),
                    (amps.is_none(), Wanting::Amps),
                ],
            )),
        }
    }

    fn residual(
        &self,
        take: impl Fn(&ElementReading) -> (Option<f64>, Option<Angle>),
        size: Wanting,
        angle: Wanting,
    ) -> Result<f64, ReadingError> {
        let mut gaps = Vec::new();
        let mut sum = Phasor::ZERO;
        for (element, read) in self.elements.iter().enumerate() {
            match take(read) {
                // A conductor without current or voltage needs no angle.
                (Some(0.0), _) => {}
                (Some(magnitude), Some(at)) => {
                    sum = sum + Phasor::polar(magnitude, at).map_err(|why| ReadingError::Size { element, why })?;
                }
                (magnitude, at) => {
                    gaps.extend(magnitude.is_none().then_some(Missing { element, wanting: size }));
                    gaps.extend(at.is_none().then_some(Missing { element, wanting: angle }));
                }
            }
        }
        if gaps.is_empty() { Ok(sum.magnitude()) } else { Err(ReadingError::Missing(gaps)) }
    }

    fn rotation(
        &self,
        take: impl Fn(&ElementReading) -> Option<Angle>,
        wanting: Wanting,
    ) -> Result<Rotation, ReadingError> {
        let [a, b, c] = self.elements[..] else {
            return Err(ReadingError::NoElement { element: self.elements.len().min(3) });
        };
        match (take(&a), take(&b), take(&c)) {
            (Some(a), Some(b), Some(c)) => Ok(rotation_of([a, b, c])),
            (a, b, c) => {
                let gaps = [a, b, c].into_iter().enumerate().filter(|(_, angle)| angle.is_none());
                Err(ReadingError::Missing(gaps.map(|(element, _)| Missing { element, wanting }).collect()))
            }
        }
    }
}

fn missing(element: usize, gaps: &[(bool, Wanting)]) -> ReadingError {
    let of = |(_, wanting): &(bool, Wanting)| Missing { element, wanting: *wanting };
    ReadingError::Missing(gaps.iter().filter(|(is_gap, _)| *is_gap).map(of).collect())
}

/// The rotation of three angles, each neighbour a third of a turn away within [`ROTATION_WITHIN_DEGREES`].
pub fn rotation_of([a, b, c]: [Angle; 3]) -> Rotation {
    let lags = [a - b, b - c, c - a].map(|angle| angle.degrees(AngleConvention::LeadingPositive));
    let all_near = |wanted: f64| lags.iter().all(|lag| (lag - wanted).abs() <= ROTATION_WITHIN_DEGREES);
    if all_near(120.0) {
        Rotation::Known(Sequence::Abc)
    } else if all_near(-120.0) {
        Rotation::Known(Sequence::Cba)
    } else {
        Rotation::Neither
    }
}

/// The quadrant of a power, 1 to 4, seen from the supply: 1 delivered and lagging, 4 delivered and leading. `None` where
/// there is no power. An axis belongs to the quadrant whose sign of zero is plus.
///
/// # Source
/// IEC 62053-23 annex, IEEE 1459; from memory.
pub fn quadrant(power: ComplexPower) -> Option<u8> {
    let (p, q) = (power.active.get(), power.reactive.get());
    match (p >= 0.0, q >= 0.0) {
        _ if p == 0.0 && q == 0.0 => None,
        (true, true) => Some(1),
        (false, true) => Some(2),
        (false, false) => Some(3),
        (true, false) => Some(4),
    }
}

/// Active over apparent power, −1 to 1; `None` where there is no apparent power.
pub fn power_factor(active: Watts, apparent: VoltAmperes) -> Option<f64> {
    (apparent.get() > 0.0).then(|| (active.get() / apparent.get()).clamp(-1.0, 1.0))
}

#[cfg(test)]
mod tests {
    use super::AngleConvention::{LaggingPositive, LeadingPositive};
    use super::*;
    use proptest::prelude::*;

    fn written(volts: f64, volt_angle: f64, amps: f64, amp_angle: f64) -> Written {
        Written {
            volts: Some(volts),
            amps: Some(amps),
            volt_angle_degrees: Some(volt_angle),
            amp_angle_degrees: Some(amp_angle),
        }
    }

    fn set(convention: AngleConvention, rows: &[Written]) -> Readings {
        Readings::new(convention, 0, Across::Elements, rows).unwrap()
    }

    fn near(found: f64, wanted: f64, within: f64) -> bool {
        (found - wanted).abs() <= within
    }

    /// Derived by phasor algebra: 120 V at 0, 5 A at these lagging angles.
    #[test]
    fn quadrants_are_those_of_the_table() {
        for (angle, p, q, wanted) in [
            (25.842, 540.0, 261.53, 1),
            (154.158, -540.0, 261.53, 2),
            (205.842, -540.0, -261.53, 3),
            (334.158, 540.0, -261.53, 4),
        ] {
            let (power, working) = set(LaggingPositive, &[written(120.0, 0.0, 5.0, angle)]).power(0).unwrap();
            assert!(near(power.active.get(), p, 0.01) && near(power.reactive.get(), q, 0.01), "{power:?}");
            assert_eq!(quadrant(power), Some(wanted));
            assert_eq!(working.rule, Rule::ElementPower);
        }
        let none =
            ComplexPower { active: Watts::new(0.0).unwrap(), reactive: crate::quantity::Vars::new(0.0).unwrap() };
        assert_eq!(quadrant(none), None);
    }

    /// IEEE 1459 apparent powers, derived: 120 V, A 50 A at unity, B 30 A at 0.8 lagging, C 40 A at 0.9 leading.
    #[test]
    fn totals_add_as_ieee_1459_does() {
        let (b, c) = (libm::acos(0.8).to_degrees(), libm::acos(0.9).to_degrees());
        let rows = [
            written(120.0, 0.0, 50.0, 0.0),
            written(120.0, 120.0, 30.0, 120.0 + b),
            written(120.0, 240.0, 40.0, 240.0 - c),
        ];
        let totals = set(LaggingPositive, &rows).totals().unwrap();
        assert!(near(totals.power.active.get(), 13_200.0, 1e-6));
        assert!(near(totals.power.reactive.get(), 67.73, 0.005));
        assert!(near(totals.arithmetic.get(), 14_400.0, 1e-6));
        assert!(near(totals.vector.get(), 13_200.17, 0.005));
        assert!(near(power_factor(totals.power.active, totals.arithmetic).unwrap(), 0.9167, 5e-5));
        assert_eq!(totals.working.parts.len(), 3);
    }

    #[test]
    fn one_current_turned_round_leaves_twice_a_phase() {
        let row = |at: f64, turned: f64| written(120.0, at, 5.0, (at + turned) % 360.0);
        let right = set(LaggingPositive, &[row(0.0, 0.0), row(120.0, 0.0), row(240.0, 0.0)]);
        assert!(right.residual_amps().unwrap() < 1e-9 && right.residual_volts().unwrap() < 1e-9);
        let turned = set(LaggingPositive, &[row(0.0, 180.0), row(120.0, 0.0), row(240.0, 0.0)]);
        assert!(near(turned.residual_amps().unwrap(), 10.0, 1e-9));
        assert!(near(turned.totals().unwrap().power.active.get(), 600.0, 1e-9), "a third of 1800 W");
        assert!(near(turned.lag_degrees(0).unwrap(), 180.0, 1e-9));
    }

    #[test]
    fn rotation_comes_from_the_angles() {
        let volts = |b, c| {
            set(LaggingPositive, &[written(120.0, 0.0, 5.0, 0.0), written(120.0, b, 5.0, b), written(120.0, c, 5.0, c)])
        };
        assert_eq!(volts(120.0, 240.0).volts_rotation(), Ok(Rotation::Known(Sequence::Abc)));
        assert_eq!(volts(240.0, 120.0).amps_rotation(), Ok(Rotation::Known(Sequence::Cba)));
        assert_eq!(volts(60.0, 240.0).volts_rotation(), Ok(Rotation::Neither));
        assert_eq!(
            set(LaggingPositive, &[Written::NOTHING]).volts_rotation(),
            Err(ReadingError::NoElement { element: 1 })
        );
    }

    #[test]
    fn what_was_not_read_is_named_and_never_zero() {
        let rows = [
            Written { amp_angle_degrees: None, ..written(120.0, 0.0, 5.0, 0.0) },
            Written::NOTHING,
            written(120.0, 240.0, 5.0, 250.0),
        ];
        let readings = set(LaggingPositive, &rows);
        let gap = |element, wanting| Missing { element, wanting };
        let wanted = vec![
            gap(0, Wanting::AmpAngle),
            gap(1, Wanting::Volts),
            gap(1, Wanting::Amps),
            gap(1, Wanting::VoltAngle),
            gap(1, Wanting::AmpAngle),
        ];
        assert_eq!(readings.totals(), Err(ReadingError::Missing(wanted)));
        assert!(readings.power(2).is_ok());
        assert_eq!(readings.apparent(0).map(VoltAmperes::get), Ok(600.0));
        assert_eq!(readings.power(3), Err(ReadingError::NoElement { element: 3 }));
        let lines = Readings::new(LaggingPositive, 0, Across::Lines, &[written(208.0, 0.0, 5.0, 0.0)]).unwrap();
        assert_eq!(lines.power(0), Err(ReadingError::Missing(vec![gap(0, Wanting::ElementVolts)])));
    }

    #[test]
    fn sizes_beyond_the_trade_are_refused() {
        let row = Written { volts: Some(f64::NAN), ..Written::NOTHING };
        let refused = Readings::new(LaggingPositive, 0, Across::Elements, &[Written::NOTHING, row]);
        assert!(matches!(refused, Err(ReadingError::Size { element: 1, .. })));
        assert_eq!(
            Readings::new(LaggingPositive, 1, Across::Elements, &[row]),
            Err(ReadingError::NoElement { element: 1 })
        );
    }

    fn any_row() -> impl Strategy<Value = [f64; 4]> {
        [1.0..700.0, 0.0..359.0, 0.05..20.0, 0.0..359.0]
    }

    proptest! {
        /// A reading has no absolute angle: turning every angle of a set changes no result.
        #[test]
        fn turning_all_angles_changes_nothing(rows in prop::array::uniform3(any_row()), turn in -180.0..180.0) {
            let turned = |angle: f64| -> f64 { f64::rem_euclid(angle + turn, 360.0) };
            let plain = rows.map(|[v, va, i, ia]| written(v, va, i, ia));
            let rolled = rows.map(|[v, va, i, ia]| written(v, turned(va), i, turned(ia)));
            let (one, other) = (set(LaggingPositive, &plain), set(LaggingPositive, &rolled));
            let (p, q) = (one.totals().unwrap(), other.totals().unwrap());
            prop_assert!(near(p.power.active.get(), q.power.active.get(), 1e-6));
            prop_assert!(near(p.power.reactive.get(), q.power.reactive.get(), 1e-6));
            prop_assert!(near(one.residual_amps().unwrap(), other.residual_amps().unwrap(), 1e-9));
            for element in 0..3 {
                let apart = (one.lag_degrees(element).unwrap() - other.lag_degrees(element).unwrap()).rem_euclid(360.0);
                prop_assert!(apart.min(360.0 - apart) < 1e-9);
            }
        }

        /// The same site written down in the other convention is the same site; twice the other is the first.
        #[test]
        fn conventions_are_an_involution(rows in prop::array::uniform3(any_row())) {
            let lagging = rows.map(|[v, va, i, ia]| written(v, va, i, ia));
            let leading = rows.map(|[v, va, i, ia]| written(v, -va, i, -ia));
            let (one, other) = (set(LaggingPositive, &lagging), set(LeadingPositive, &leading));
            prop_assert_eq!(&one, &other);
            for read in one.elements() {
                let angle = read.amp_angle.unwrap();
                let again = Angle::from_degrees(angle.degrees(LaggingPositive), LaggingPositive).unwrap();
                prop_assert!(angle.apart_degrees(again) < 1e-9);
            }
        }

        /// Taking another element as the reference moves every angle and no power.
        #[test]
        fn the_reference_does_not_matter(rows in prop::array::uniform3(any_row()), reference in 0_usize..3) {
            let rows = rows.map(|[v, va, i, ia]| written(v, va, i, ia));
            let one = set(LaggingPositive, &rows).totals().unwrap();
            let other = Readings::new(LaggingPositive, reference, Across::Elements, &rows).unwrap().totals().unwrap();
            prop_assert!(near(one.power.active.get(), other.power.active.get(), 1e-6));
        }

        /// The vector sum never exceeds the arithmetic one, and watts never exceed either.
        #[test]
        fn apparent_powers_are_in_order(rows in prop::array::uniform3(any_row())) {
            let totals = set(LaggingPositive, &rows.map(|[v, va, i, ia]| written(v, va, i, ia))).totals().unwrap();
            prop_assert!(totals.vector.get() <= totals.arithmetic.get() * (1.0 + 1e-12));
            prop_assert!(totals.power.active.get().abs() <= totals.vector.get() * (1.0 + 1e-12));
        }
    }
}
