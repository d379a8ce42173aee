//! What was found on a visit: readings, every one of them optional, and what was told.

use super::layout::MOST;
use crate::service::{Sequence, Service};

/// How a meter adds its elements.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Adding {
    /// Signed.
    Net,
    /// Each element's absolute value.
    Absolute,
    /// Each element only while it is positive.
    PositiveOnly,
}

/// What is said to be running.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Load {
    /// Of everything.
    Mixed,
    /// Mostly motors.
    Motors,
    /// Lighting and heat.
    Lighting,
    /// Capacitors are switched on.
    Capacitors,
    /// Generation is feeding in.
    Generation,
}

/// What was told, as far as it was.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Told {
    /// What is running.
    pub load: Option<Load>,
    /// Whether there is generation on the site.
    pub generation: Option<bool>,
    /// The sequence of the service, checked on the primary side or known.
    pub rotation: Option<Sequence>,
}

/// One measured phasor, as far as it was written down.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Shown {
    /// Volts or amperes, secondary.
    pub size: Option<f64>,
    /// Degrees ahead of the reference, counter-clockwise.
    pub degrees: Option<f64>,
}

/// Total on the meter's display.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Display {
    /// Secondary watts: the display divided by the ratios on record.
    pub watts: Option<f64>,
    /// Power factor, signed like the watts.
    pub power_factor: Option<f64>,
    /// Whether the displayed vars are lagging.
    pub lagging: Option<bool>,
}

/// A current transformer was shorted at its own block.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShortTest {
    /// The transformer, by where it belongs.
    pub ct: usize,
    /// The meter channel whose current vanished; `Some(None)`: none did; `None`: nobody looked.
    pub vanished: Option<Option<usize>>,
    /// Total secondary watts before.
    pub watts_before: Option<f64>,
    /// Total secondary watts while shorted.
    pub watts_after: Option<f64>,
}

/// What the meter itself shows of an element.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct OwnDisplay {
    /// Secondary amperes.
    pub amps: Option<f64>,
    /// Secondary watts.
    pub watts: Option<f64>,
    /// Secondary vars, lagging positive.
    pub vars: Option<f64>,
}

/// What was measured again, properly, so that no slip of the hand is left in it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Repeated {
    /// Of each current channel.
    pub amps: [bool; MOST],
    /// All voltages with the reference.
    pub volts: bool,
    /// The meter was asked for its own phasors, whether it shows them or not.
    pub display: bool,
}

/// Readings of one moment; channels in the order of the service.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Readings {
    /// The voltage channel that angles are counted from.
    pub reference: Option<usize>,
    /// Voltages.
    pub volts: [Shown; MOST],
    /// Currents.
    pub amps: [Shown; MOST],
    /// Watts of each element as the meter shows them.
    pub element_watts: [Option<f64>; MOST],
    /// The meter's own phasors, asked for after a doubt.
    pub own: [OwnDisplay; MOST],
    /// Total on the display.
    pub display: Display,
    /// Tests at the transformers' blocks.
    pub tests: Vec<ShortTest>,
    /// One standard deviation of the instrument's angles, in degrees.
    pub instrument_degrees: Option<f64>,
    /// What is fresh.
    pub repeated: Repeated,
}

/// One visit.
#[derive(Clone, Debug)]
pub struct Visit<'a> {
    /// The service that should be there.
    pub service: &'a Service,
    /// Volts of the first voltage channel when all is well, secondary.
    pub nominal_volts: f64,
    /// How the meter adds; `None`: not known.
    pub adding: Option<Adding>,
    /// What was told.
    pub told: Told,
    /// What was read.
    pub readings: Readings,
}
