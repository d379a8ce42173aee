//! How a meter adds its elements, and what it registers of the truth.

use super::seen::{Load, Seen};

/// How the meter makes one register of several elements: a fact of its nameplate or programming.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Adding {
    /// Signed sum, in one register that runs backwards when the sum is negative.
    Net,
    /// Each element's absolute value: nothing runs backwards, and a reversed CT is not seen.
    Absolute,
    /// Each element only while positive (detented).
    PositiveOnly,
    /// Signed sum, delivered and received in registers of their own; the first alone is a meter that does not run backwards.
    Apart,
}

/// Registered power, by register. Both in watts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Registered {
    /// In the register of what is delivered to the customer; negative only in a register that runs backwards.
    pub delivered: f64,
    /// In a register of its own for what is received from the customer; never negative.
    pub received: f64,
}

impl Registered {
    /// Delivered less received.
    pub fn net(self) -> f64 {
        self.delivered - self.received
    }
}

impl Adding {
    /// Every way.
    pub const ALL: [Self; 4] = [Self::Net, Self::Absolute, Self::PositiveOnly, Self::Apart];

    /// Its stable name, as stored.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Net => "net",
            Self::Absolute => "absolute",
            Self::PositiveOnly => "positive_only",
            Self::Apart => "apart",
        }
    }

    /// The one of this stored name.
    pub fn from_code(code: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|adding| adding.code() == code)
    }

    /// What goes into the registers while the elements see this.
    pub fn register(self, seen: &Seen) -> Registered {
        let sum = |each: fn(f64) -> f64| seen.elements().iter().map(|element| each(element.watts)).sum();
        let one = |delivered| Registered { delivered, received: 0.0 };
        match self {
            Self::Net => one(seen.watts()),
            Self::Absolute => one(sum(f64::abs)),
            Self::PositiveOnly => one(sum(|watts| watts.max(0.0))),
            Self::Apart => Registered { delivered: seen.watts().max(0.0), received: (-seen.watts()).max(0.0) },
        }
    }
}

/// Below this share of the apparent power a power is taken for none: what is left of a sum that cancels.
const CANCELLED: f64 = 1e-12;

/// Registered ÷ true power, signed; `None` where no true power flows.
pub fn registration(adding: Adding, seen: &Seen, load: &Load) -> Option<f64> {
    let size = |volts: f64, amps: f64| volts * amps;
    let apparent: f64 =
        load.volts.iter().zip(&load.amps).map(|(volts, amps)| size(volts.magnitude(), amps.magnitude())).sum();
    let truth = load.watts();
    let nothing = |watts: f64| watts.abs() <= CANCELLED * apparent;
    if nothing(truth) {
        return None;
    }
    let registered = adding.register(seen).net();
    Some(if nothing(registered) { 0.0 } else { registered / truth })
}

/// What registered energy is multiplied by to be true: 1 ÷ registration. `None` where nothing was registered: then the
/// registered energy says nothing about the true one, whatever it is multiplied by.
pub fn correction_factor(registration: f64) -> Option<f64> {
    let factor = 1.0 / registration;
    factor.is_finite().then_some(factor)
}
