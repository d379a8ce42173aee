//! One step of the work as it reaches the belief: an act, a reading, or a look.

use super::{Act, Element, PotentialPole, Proof};

/// One step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Step {
    /// A hand did this.
    Act(Act),
    /// These amperes were read on both sides of one element.
    Read(Element, Proof),
    /// A person looked, or tested.
    Seen(Seen),
}

/// What a person saw or tested.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Seen {
    /// Where the poles of one current element stand.
    Circuit(Element, CircuitSeen),
    /// The clip of a shorting blade looked at, or the plug's jumper rung through in the hand: sound or not.
    Short(Element, bool),
    /// Blade, leads and jaws of the meter path of one element looked at: sound and tight, or not.
    MeterPath(Element, bool),
    /// Site de-energised: the CT circuit of one element rung through; closed or not.
    Loop(Element, bool),
    /// Where a potential pole stands.
    Potential(PotentialPole, PotentialSeen),
    /// Live–dead–live test at the meter's jaws or terminals, auxiliary supply and pulse wires included: dead or not.
    JawsDead(bool),
    /// The meter: in or not.
    Meter(bool),
    /// The supply of the site: live or, tested at the primary, dead.
    Live(bool),
    /// A CT hums, a pole sparks, or 0 A is read here while other elements carry load.
    SignsOfBroken(Element),
}

/// Where the poles of a current element are seen to stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum CircuitSeen {
    /// Meter path closed, short off.
    ToMeter,
    /// Short closed and meter path still closed.
    Both,
    /// Short closed, meter path broken.
    Shorted,
    /// Neither closed.
    Broken,
}

impl CircuitSeen {
    /// Every state that can be seen.
    pub const ALL: [CircuitSeen; 4] =
        [CircuitSeen::ToMeter, CircuitSeen::Both, CircuitSeen::Shorted, CircuitSeen::Broken];

    /// The stable name.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            CircuitSeen::ToMeter => "to_meter",
            CircuitSeen::Both => "both_closed",
            CircuitSeen::Shorted => "shorted",
            CircuitSeen::Broken => "broken",
        }
    }

    /// The state of this stable name.
    #[must_use]
    pub fn from_code(code: &str) -> Option<CircuitSeen> {
        CircuitSeen::ALL.into_iter().find(|seen| seen.code() == code)
    }
}

/// Where a potential pole is seen to stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum PotentialSeen {
    /// To the meter.
    Closed,
    /// Broken.
    Open,
    /// Something bridges it to another pole.
    Shorted,
}

impl PotentialSeen {
    /// Every state that can be seen.
    pub const ALL: [PotentialSeen; 3] = [PotentialSeen::Closed, PotentialSeen::Open, PotentialSeen::Shorted];

    /// The stable name.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            PotentialSeen::Closed => "to_meter",
            PotentialSeen::Open => "broken",
            PotentialSeen::Shorted => "shorted",
        }
    }

    /// The state of this stable name.
    #[must_use]
    pub fn from_code(code: &str) -> Option<PotentialSeen> {
        PotentialSeen::ALL.into_iter().find(|seen| seen.code() == code)
    }
}
