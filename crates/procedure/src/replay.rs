//! The test switch as the log tells it: acts, readings and looks in their order, folded through `metering::isolation`.

mod fold;
mod steps;

use crate::now::Moment;
use jobfile::Hash;
use metering::bypass::Share;
use metering::isolation::{Belief, Danger, Kind, Refusal, Switch, Way};

/// How a current circuit stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CurrentStands {
    /// Meter path closed, short off.
    ToMeter,
    /// Short closed, meter path still closed.
    ShortedBoth,
    /// Short closed, meter path parted.
    Shorted,
    /// Neither short nor meter path: a broken CT circuit.
    Broken,
    /// Nobody knows.
    Unknown,
    /// Known before the program started again; to be looked at.
    LookAgain,
}

/// How a potential pole stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PotentialStands {
    /// Closed to the meter.
    ToMeter,
    /// Blade up.
    Up,
    /// Shorted.
    Shorted,
    /// Nobody knows.
    Unknown,
    /// Known before the program started again; to be looked at.
    LookAgain,
}

impl CurrentStands {
    /// Stable code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::ToMeter => "to_meter",
            Self::ShortedBoth => "shorted_both",
            Self::Shorted => "shorted",
            Self::Broken => "broken",
            Self::Unknown => "unknown",
            Self::LookAgain => "look_again",
        }
    }
}

impl PotentialStands {
    /// Stable code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::ToMeter => "to_meter",
            Self::Up => "up",
            Self::Shorted => "shorted",
            Self::Unknown => "unknown",
            Self::LookAgain => "look_again",
        }
    }
}

/// One current element through the visit.
#[derive(Clone, Debug, PartialEq)]
pub struct ElementTrack {
    /// `A`, `B` or `C`.
    pub element: &'static str,
    /// The pole by its full name, `current.A`.
    pub name: &'static str,
    /// How it stands now.
    pub stands: CurrentStands,
    /// How it stood when the program started again, while it is still to be looked at.
    pub was: Option<CurrentStands>,
    /// Whether its short is proven as far as this switch asks for, or it was parted with the supply off.
    pub proven: bool,
    /// Whether something was done to it that was never safe.
    pub breached: bool,
    /// When the first short closed.
    pub shorted_at: Option<Moment>,
    /// When the first stage of the proof was read.
    pub short_read_at: Option<Moment>,
    /// When the proof was whole.
    pub proven_at: Option<Moment>,
    /// When the circuit was parted from the meter, shorted.
    pub parted_at: Option<Moment>,
    /// When it was first brought back to the meter after a short.
    pub first_restored_at: Option<Moment>,
    /// When it was last brought back to the meter after a short; `None` while it is bypassed.
    pub restored_at: Option<Moment>,
}

/// One potential pole through the visit.
#[derive(Clone, Debug, PartialEq)]
pub struct PotentialTrack {
    /// `A`, `B`, `C` or `N`.
    pub pole: &'static str,
    /// The pole by its full name, `potential.N`.
    pub name: &'static str,
    /// How it stands now.
    pub stands: PotentialStands,
    /// How it stood when the program started again, while it is still to be looked at.
    pub was: Option<PotentialStands>,
    /// When it first went up.
    pub up_at: Option<Moment>,
    /// When it was last closed after it had been up.
    pub back_at: Option<Moment>,
}

/// Id of the words for a pole's full name, such as `current.A`.
pub fn pole_words(name: &str) -> String {
    format!("call-pole_{}", name.replace('.', "_"))
}

/// One act of the log.
#[derive(Clone, Debug, PartialEq)]
pub struct Happening {
    /// The entry.
    pub entry: Hash,
    /// Name of the act, as stored.
    pub act: &'static str,
    /// Its pole, as stored.
    pub pole: &'static str,
    /// When.
    pub moment: Moment,
    /// How it stands to what is safe.
    pub how: How,
    /// The reason written with it.
    pub why: Option<String>,
}

/// How an act of the log stands to what is safe.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum How {
    /// Planned, and accepted.
    Accepted,
    /// Written down as having happened, though it would have been accepted.
    HappenedSafely,
    /// Written down as having happened, and refused: its pole is unknown.
    Happened(Refusal),
    /// Written down as planned and yet refused, as in an edited file: taken as happened.
    RefusedPlan(Refusal),
}

/// A reading or a look that could not be taken in.
#[derive(Clone, Debug, PartialEq)]
pub struct NotTaken {
    /// The entry.
    pub entry: Hash,
    /// The element or pole.
    pub place: String,
    /// Why.
    pub why: Refusal,
}

/// The test switch after the whole log.
#[derive(Clone, Debug, PartialEq)]
pub struct Replay {
    /// The switch as described; `None` until it is, and then no act is judged.
    pub switch: Option<Switch>,
    /// What is believed of it; as unknown as can be until the switch is described.
    pub belief: Belief,
    /// The current elements A, B, C.
    pub elements: [ElementTrack; 3],
    /// The potential poles, neutral last where there is one.
    pub potentials: Vec<PotentialTrack>,
    /// Whether no meter is in.
    pub meter_is_out: bool,
    /// When the meter first came out.
    pub meter_out_at: Option<Moment>,
    /// When a meter was last put in.
    pub meter_in_at: Option<Moment>,
    /// What each element registered from when on, since hands first touched the switch.
    pub shares: [Vec<(Moment, Share)>; 3],
    /// Every act, in the order of the log.
    pub happenings: Vec<Happening>,
    /// Readings and looks that could not be taken in.
    pub not_taken: Vec<NotTaken>,
    /// Whether the program started again since the last word about the switch, with work on it unfinished.
    pub started_again: bool,
    /// Whether anybody has said yet how a pole stands.
    pub was_seen: bool,
    /// Whether the supply must be taken for live.
    pub live: bool,
}

impl Replay {
    /// Whether short and meter path move in one motion.
    pub fn is_one_motion(&self) -> bool {
        self.switch.is_some_and(|switch| switch.kind.is_one_motion())
    }

    /// Whether there is no test switch: the meter itself parts the circuits.
    pub fn has_no_switch(&self) -> bool {
        self.switch.is_some_and(|switch| switch.kind == Kind::None)
    }

    /// Dangers that stand now, the worst first; none before anybody has looked at the switch.
    pub fn dangers(&self) -> Vec<Danger> {
        match self.switch {
            Some(switch) if self.was_seen || !self.happenings.is_empty() => self.belief.dangers(&switch),
            _ => Vec::new(),
        }
    }

    /// The next safe step toward all restored, or to stop and de-energise; none before anything was done.
    pub fn way_back(&self) -> Option<Way> {
        let switch = self.switch.filter(|_| !self.happenings.is_empty())?;
        Some(self.belief.way_back(&switch))
    }

    /// Full names of the poles that must be looked at again.
    pub fn to_look_again(&self) -> Vec<&'static str> {
        let currents =
            self.elements.iter().filter(|track| track.stands == CurrentStands::LookAgain).map(|track| track.name);
        let potentials = self.potentials.iter().filter(|track| track.stands == PotentialStands::LookAgain);
        currents.chain(potentials.map(|track| track.name)).collect()
    }

    /// When the first potential went up.
    pub(crate) fn first_potential_up(&self) -> Option<&Moment> {
        self.potentials.iter().filter_map(|track| track.up_at.as_ref()).min_by_key(|moment| moment.order)
    }

    /// When the first element came back to the meter.
    pub(crate) fn first_current_back(&self) -> Option<&Moment> {
        self.elements.iter().filter_map(|track| track.first_restored_at.as_ref()).min_by_key(|moment| moment.order)
    }

    /// When the last element came back to the meter.
    pub(crate) fn last_current_back(&self) -> Option<&Moment> {
        self.elements.iter().filter_map(|track| track.restored_at.as_ref()).max_by_key(|moment| moment.order)
    }

    /// Whether an element registers again: current and potential to the meter, and a meter in.
    pub(crate) fn element_is_whole(&self, index: usize) -> bool {
        let current = self
            .elements
            .get(index)
            .is_some_and(|track| track.stands == CurrentStands::ToMeter || track.was == Some(CurrentStands::ToMeter));
        let potential = self.potentials.get(index).is_some_and(|track| {
            track.stands == PotentialStands::ToMeter || track.was == Some(PotentialStands::ToMeter)
        });
        current && potential && !self.meter_is_out
    }
}
