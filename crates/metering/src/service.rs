//! Each kind of service as data: what its transformers span and surround, what each meter element sees, its nominal phasors.
//!
//! A service is nodes (lines and neutral) with their nominal voltages, and elements that each combine one voltage with
//! shares of line currents. Nothing here knows a service by name but the table itself.

use crate::angle::{Angle, AngleConvention};
use crate::phasor::Phasor;
use crate::quantity::Volts;
use crate::range::OutOfRange;
use crate::ratio::Ratio;
use crate::rational::ExactError;
use thiserror::Error;

mod table;
pub use table::{ALL, DELTA2, DELTA4, DELTA4_2EL, NETWORK2, SINGLE2, SINGLE3_1EL, SINGLE3_2EL, WYE_NODES, WYE3, WYE25};

/// A conductor of the service.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Node {
    /// Line A, or the first line of a single-phase service.
    A,
    /// Line B, or the second line.
    B,
    /// Line C.
    C,
    /// The neutral, or the grounded point that potentials are taken from.
    N,
}

impl Node {
    /// `A`, `B`, `C` or `N`.
    pub const fn code(self) -> &'static str {
        match self {
            Self::A => "A",
            Self::B => "B",
            Self::C => "C",
            Self::N => "N",
        }
    }

    /// Its place in the order A, B, C, N.
    pub const fn at(self) -> usize {
        self as usize
    }

    /// Every node, in that order.
    pub const ALL: [Self; 4] = [Self::A, Self::B, Self::C, Self::N];
}

/// The order in which the lines reach their peak.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Sequence {
    /// B lags A by 120°.
    Abc,
    /// C lags A by 120°.
    Cba,
}

/// A pair of nodes that a potential transformer or a voltage coil spans, dotted end first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Span {
    /// The dotted end.
    pub from: Node,
    /// The other end.
    pub to: Node,
}

/// One element of the meter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Element {
    /// Its name on the meter and in records.
    pub name: &'static str,
    /// What its voltage coil spans.
    pub volts: Span,
    /// Lines whose secondary currents it sees, each with its share: 1, −1 or a half.
    pub currents: &'static [(Node, f64)],
}

/// Which nominal voltage a service is called by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Named {
    /// Line to line: 480 of 277/480.
    LineToLine,
    /// Line to neutral: a 2-wire service of 120 V.
    LineToNeutral,
}

/// What the current of a balanced unity load follows in angle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LoadStar {
    /// The line's voltage to neutral.
    Neutral,
    /// The line's voltage to the middle of the three lines: three-phase load on a delta.
    MiddleOfLines,
}

/// A service as data.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Service {
    /// Stable name, as stored.
    pub id: &'static str,
    /// Current-carrying conductors, the neutral included.
    pub wires: u8,
    /// Nominal voltage of every node but the neutral, against the neutral or the reference node, for sequence ABC, as
    /// multiples of the voltage that the service is named by: real and imaginary part.
    pub nodes: &'static [(Node, f64, f64)],
    /// Which voltage that is.
    pub named: Named,
    /// What the potential transformers span, all against one common node; where there are none, what the potential leads
    /// are taken across.
    pub vts: &'static [Span],
    /// The lines that carry a current transformer.
    pub cts: &'static [Node],
    /// The meter's elements, in their order.
    pub elements: &'static [Element],
    /// What a balanced load's currents follow.
    pub load: LoadStar,
}

/// The service of this stored name.
pub fn find(id: &str) -> Option<&'static Service> {
    ALL.iter().copied().find(|service| service.id == id)
}

/// Why no expectation could be given.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum ServiceError {
    /// The service has no element of this index.
    #[error("no element {index}")]
    NoElement {
        /// Counted from 0.
        index: usize,
    },
    /// A voltage beyond what is measured here.
    #[error(transparent)]
    Size(#[from] OutOfRange),
    /// The ratio has no exact quotient.
    #[error(transparent)]
    Ratio(#[from] ExactError),
}

/// The nominal angles of one element, both against the voltage of the first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NominalAngles {
    /// Of its voltage.
    pub volts: Angle,
    /// Of its current at unity power factor; `None` where the shares cancel.
    pub amps: Option<Angle>,
}

impl Service {
    /// Nominal voltage across a span, as a multiple of the voltage the service is named by.
    pub fn nominal_span(&self, span: Span, sequence: Sequence) -> Phasor {
        self.node(span.from, sequence) - self.node(span.to, sequence)
    }

    /// Nominal current of a line under a balanced load at unity power factor, of the same size in every line.
    pub fn nominal_current(&self, line: Node, sequence: Sequence) -> Phasor {
        let own = self.node(line, sequence);
        let along = match self.load {
            LoadStar::Neutral => own,
            LoadStar::MiddleOfLines => own - self.middle(sequence),
        };
        let size = along.magnitude();
        if size > 0.0 { along / size } else { Phasor::ZERO }
    }

    /// What each element's angles are when all is wired right and the power factor is 1.
    pub fn nominal_angles(&self, sequence: Sequence) -> Vec<NominalAngles> {
        let reference = self.elements.first().and_then(|first| self.nominal_span(first.volts, sequence).angle());
        let reference = reference.unwrap_or(Angle::ZERO);
        let angles = |element: &Element| {
            let volts = self.nominal_span(element.volts, sequence).angle()?;
            let shares = element.currents.iter().map(|(line, share)| self.nominal_current(*line, sequence) * *share);
            let amps = shares.fold(Phasor::ZERO, |sum, share| sum + share).angle();
            Some(NominalAngles { volts: volts - reference, amps: amps.map(|angle| angle - reference) })
        };
        self.elements.iter().filter_map(angles).collect()
    }

    /// What a voltmeter should show at the test switch for one element: the nominal voltage across its span, divided by
    /// the potential transformer's ratio.
    ///
    /// # Units
    /// - `nominal`: primary volts, of the kind that [`Service::named`] says
    /// - returns: secondary volts
    ///
    /// # Errors
    /// [`ServiceError`], see its variants.
    pub fn expected_secondary_volts(&self, index: usize, nominal: Volts, vt: Ratio) -> Result<Volts, ServiceError> {
        let element = self.elements.get(index).ok_or(ServiceError::NoElement { index })?;
        let share = self.nominal_span(element.volts, Sequence::Abc).magnitude();
        Ok(Volts::new(nominal.get() * share / vt.quotient().to_f64())?)
    }

    /// The node that a record calls by this name: `A`, or the element at whose position a transformer belongs (`1`).
    pub fn node_named(&self, name: &str) -> Option<Node> {
        let element = || self.elements.iter().find(|element| element.name == name).map(|element| element.volts.from);
        Node::ALL.into_iter().find(|node| node.code() == name).or_else(element)
    }

    /// The node that all potentials are taken against: the neutral, or the common line of an open delta.
    pub fn common(&self) -> Node {
        self.vts.first().map_or(Node::N, |first| first.to)
    }

    fn node(&self, node: Node, sequence: Sequence) -> Phasor {
        let found = self.nodes.iter().find(|(named, ..)| *named == node);
        let voltage = found.map_or(Phasor::ZERO, |(_, re, im)| Phasor::literal(*re, *im));
        match sequence {
            Sequence::Abc => voltage,
            Sequence::Cba => voltage.conj(),
        }
    }

    /// The middle of the lines' voltages.
    fn middle(&self, sequence: Sequence) -> Phasor {
        let sum = self.nodes.iter().fold(Phasor::ZERO, |sum, (node, ..)| sum + self.node(*node, sequence));
        let count = u32::try_from(self.nodes.len()).unwrap_or(u32::MAX).max(1);
        sum / f64::from(count)
    }
}

/// The lagging angle of a phasor against no reference but the axis, for tables printed in the field's habit.
pub fn lagging_degrees(angle: Angle) -> f64 {
    angle.degrees(AngleConvention::LaggingPositive)
}

#[cfg(test)]
mod tests {
    use super::*;
    use Node::{A, B, C, N};

    const fn span(from: Node, to: Node) -> Span {
        Span { from, to }
    }

    fn lagging(service: &Service, sequence: Sequence) -> Vec<(i32, i32)> {
        let whole = |angle| {
            let degrees = lagging_degrees(angle);
            assert!((degrees - degrees.round()).abs() < 1e-9, "{degrees}");
            degrees.round() as i32 % 360
        };
        service.nominal_angles(sequence).iter().map(|one| (whole(one.volts), whole(one.amps.unwrap()))).collect()
    }

    /// Derived by phasor algebra; nominal secondary angles, lagging positive.
    #[test]
    fn nominal_angles_are_those_of_the_algebra() {
        assert_eq!(lagging(&WYE3, Sequence::Abc), [(0, 0), (120, 120), (240, 240)]);
        assert_eq!(lagging(&WYE3, Sequence::Cba), [(0, 0), (240, 240), (120, 120)]);
        assert_eq!(lagging(&DELTA2, Sequence::Abc), [(0, 30), (300, 270)]);
        assert_eq!(lagging(&DELTA2, Sequence::Cba), [(0, 330), (60, 90)]);
        assert_eq!(lagging(&DELTA4, Sequence::Abc), [(0, 330), (90, 90), (180, 210)]);
        assert_eq!(lagging(&DELTA4, Sequence::Cba), [(0, 30), (270, 270), (180, 150)]);
        assert_eq!(lagging(&WYE25, Sequence::Abc), [(0, 330), (240, 270)]);
        assert_eq!(lagging(&DELTA4_2EL, Sequence::Abc), [(0, 0), (90, 90)]);
        assert_eq!(lagging(&NETWORK2, Sequence::Abc), [(0, 0), (120, 120)]);
        assert_eq!(lagging(&SINGLE3_2EL, Sequence::Abc), [(0, 0), (180, 180)]);
        assert_eq!(lagging(&SINGLE3_1EL, Sequence::Abc), [(0, 0)]);
        assert_eq!(lagging(&SINGLE2, Sequence::Abc), [(0, 0)]);
    }

    /// Derived: nominal primary volts to neutral divided by the ratio.
    #[test]
    fn expected_volts_come_from_the_ratio() {
        for (nominal, vt, wanted) in [
            (600.0, "300:120", 138.564),
            (600.0, "360:120", 115.470),
            (480.0, "288:120", 115.470),
            (4160.0, "2400:120", 120.089),
            (12_470.0, "7200:120", 119.993),
            (13_800.0, "8400:120", 113.820),
            (24_940.0, "14400:120", 119.993),
            (20_000.0, "20000/√3:110/√3", 63.509),
        ] {
            let volts =
                WYE3.expected_secondary_volts(0, Volts::new(nominal).unwrap(), Ratio::parse(vt).unwrap()).unwrap();
            assert!((volts.get() - wanted).abs() < 0.001, "{nominal} {vt}: {}", volts.get());
        }
        let delta = DELTA2.expected_secondary_volts(0, Volts::new(600.0).unwrap(), Ratio::parse("600:120").unwrap());
        assert!((delta.unwrap().get() - 120.0).abs() < 1e-9);
        let missing = WYE3.expected_secondary_volts(3, Volts::new(600.0).unwrap(), Ratio::ONE);
        assert_eq!(missing, Err(ServiceError::NoElement { index: 3 }));
    }

    #[test]
    fn a_balanced_wye_leaves_no_residue() {
        for sequence in [Sequence::Abc, Sequence::Cba] {
            let lines = [A, B, C].map(|line| WYE3.nominal_span(span(line, N), sequence));
            assert!((lines[0] + lines[1] + lines[2]).magnitude() < 1e-15);
        }
    }

    #[test]
    fn every_element_is_served() {
        for service in ALL {
            for element in service.elements {
                assert!(element.currents.iter().all(|(line, _)| service.cts.contains(line)), "{}", service.id);
                assert!(service.nominal_span(element.volts, Sequence::Abc).magnitude() > 0.0);
                assert_eq!(service.node_named(element.name), Some(element.volts.from), "{}", service.id);
            }
            assert!(service.vts.iter().all(|vt| vt.to == service.common()), "{}", service.id);
            assert!(service.elements.len() <= 3 && !service.elements.is_empty());
            assert_eq!(find(service.id), Some(*service));
        }
        assert_eq!(find("delta"), None);
    }
}
