//! The forward function: a load through a wiring, as every element of the meter sees it.

use super::WiringError;
use super::fault::Fault;
use super::{Wiring, currents::LINES};
use crate::angle::Angle;
use crate::phasor::Phasor;
use crate::quantity::{Amps, Volts};
use crate::range::OutOfRange;
use crate::service::{Node, Sequence, Service, Span};

/// Real shares: rows of the meter, columns of the lines A, B, C.
pub type Matrix = [[f64; 3]; 3];

/// What flows through the service: lines A, B, C; nothing where there is no such line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Voltage of each line to neutral; of a 3-wire delta, to any one point.
    pub volts: [Phasor; 3],
    /// Current of each line toward the customer.
    pub amps: [Phasor; 3],
}

/// A wiring solved: what reaches the meter of each line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shares {
    /// What is wired.
    pub service: &'static Service,
    /// Rows: the elements' potential coils, in their order. Columns: the lines' voltages.
    pub volts: Matrix,
    /// Rows: the current terminals A, B, C. Columns: the lines' currents.
    pub amps: Matrix,
}

/// What one element sees.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ElementSeen {
    /// Across its potential coil.
    pub volts: Phasor,
    /// The current it multiplies by, all shares added.
    pub amps: Phasor,
    /// Active power, in watts.
    pub watts: f64,
    /// Reactive power, in vars, positive where the current lags.
    pub vars: f64,
}

/// What the meter sees.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seen {
    /// How many elements there are.
    pub count: usize,
    /// Each element in the service's order; past [`Self::count`] nothing.
    pub elements: [ElementSeen; 3],
    /// Current at each terminal A, B, C.
    pub amps: [Phasor; 3],
}

impl Load {
    /// A balanced three-phase (or balanced single-phase) load at nominal voltages.
    ///
    /// # Units
    /// - `nominal`: volts, of the kind that [`Service::named`] says
    /// - `amps`: in every line
    /// - `lag`: how far the current lags, as an angle; negative leads, about half a turn exports
    ///
    /// # Errors
    /// [`OutOfRange`] when a voltage or current lies beyond what a phasor may hold.
    pub fn balanced(
        service: &Service,
        sequence: Sequence,
        nominal: Volts,
        amps: Amps,
        lag: Angle,
    ) -> Result<Self, OutOfRange> {
        Phasor::RANGE.check(nominal.get())?;
        let volts = LINES.map(|line| service.nominal_span(Span { from: line, to: Node::N }, sequence) * nominal.get());
        let amps = LINES.map(|line| service.nominal_current(line, sequence).turned(-lag) * amps.get());
        Ok(Self { volts, amps })
    }

    /// True complex power: watts and vars of all lines together.
    pub fn power(&self) -> Phasor {
        self.volts.iter().zip(self.amps).fold(Phasor::ZERO, |sum, (volts, amps)| sum + *volts * amps.conj())
    }

    /// True watts.
    pub fn watts(&self) -> f64 {
        self.power().re()
    }

    /// The same load with every current turned back further by `lag`.
    pub fn turned(&self, lag: Angle) -> Self {
        Self { volts: self.volts, amps: self.amps.map(|amps| amps.turned(-lag)) }
    }
}

impl Shares {
    /// What the meter sees of a load.
    pub fn see(&self, load: &Load) -> Seen {
        let volts = times(&self.volts, load.volts);
        Seen::of(self.service, volts, times(&self.amps, load.amps))
    }
}

impl Wiring {
    /// What the meter sees of a load: [`Shares::see`] for one load only.
    pub fn see(&self, load: &Load) -> Seen {
        self.shares().see(load)
    }
}

/// What the meter sees of a load behind these faults.
///
/// # Errors
/// [`WiringError`], see its variants.
pub fn see(service: &'static Service, faults: &[Fault], load: &Load) -> Result<Seen, WiringError> {
    Ok(Wiring::of(service, faults)?.see(load))
}

impl Seen {
    /// Element by element from what reaches the terminals: `volts` by element, `amps` by terminal.
    pub fn of(service: &Service, volts: [Phasor; 3], amps: [Phasor; 3]) -> Self {
        let nothing = ElementSeen { volts: Phasor::ZERO, amps: Phasor::ZERO, watts: 0.0, vars: 0.0 };
        let mut elements = [nothing; 3];
        for ((seen, element), volts) in elements.iter_mut().zip(service.elements).zip(volts) {
            let through = element.currents.iter().fold(Phasor::ZERO, |sum, (line, share)| {
                sum + amps.get(line.at()).copied().unwrap_or(Phasor::ZERO) * *share
            });
            let power = volts * through.conj();
            *seen = ElementSeen { volts, amps: through, watts: power.re(), vars: power.im() };
        }
        Self { count: service.elements.len().min(3), elements, amps }
    }

    /// The meter's elements.
    pub fn elements(&self) -> &[ElementSeen] {
        self.elements.get(..self.count).unwrap_or_default()
    }

    /// Watts of all elements, sign kept.
    pub fn watts(&self) -> f64 {
        self.elements.iter().map(|element| element.watts).sum()
    }

    /// Vars of all elements, sign kept.
    pub fn vars(&self) -> f64 {
        self.elements.iter().map(|element| element.vars).sum()
    }
}

fn times(rows: &Matrix, lines: [Phasor; 3]) -> [Phasor; 3] {
    rows.map(|row| lines[0] * row[0] + lines[1] * row[1] + lines[2] * row[2])
}
