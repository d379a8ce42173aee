//! Why a step is refused, and the safe ways instead.

use super::Pole;

/// Why a step is refused. People read the sentence that the words have for [`Reason::code`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Reason {
    /// The switch has no such pole or motion.
    NotOnThisSwitch,
    /// There is no switch: live work would break a CT circuit at the meter.
    NoSwitchLive,
    /// The pole is already there, or stands where this motion does not begin.
    NotFromHere,
    /// The state of the pole is unknown.
    UnknownLookFirst,
    /// The CT circuit is broken or thought so.
    BrokenHandsOff,
    /// The element has not been read since it was moved or looked at.
    ReadFirst,
    /// The short is not proven.
    ShortNotProven,
    /// The clip of the shorting blade has not been looked at.
    ClipNotSeen,
    /// The plug has no checked jumper for the element.
    JumperNotChecked,
    /// The clip or jumper was found faulty.
    ShortFaulty,
    /// The meter path is not shown to carry current.
    PathNotProven,
    /// The meter path has not been looked at since the meter moved.
    PathNotSeen,
    /// The meter path was found faulty.
    PathFaulty,
    /// The meter is not in.
    MeterNotIn,
    /// A current element is not shorted with both stages of its proof.
    CurrentNotShorted,
    /// A potential is not broken.
    PotentialNotOpen,
    /// The meter's terminals have not been tested dead.
    NotTestedDead,
    /// Every potential is broken and the meter's terminals are live all the same: something else feeds them.
    TerminalsStillLive,
    /// Another element is not finished.
    AnotherUnfinished,
    /// The neutral must be broken last.
    NeutralLast,
    /// The neutral must be closed first.
    NeutralFirst,
    /// Site order: potentials are broken before currents are shorted.
    OrderPotentialsOpenFirst,
    /// Site order: currents are shorted before potentials are broken.
    OrderCurrentsShortedFirst,
    /// Site order: potentials are closed before currents return.
    OrderPotentialsBackFirst,
    /// Site order: currents return before potentials are closed.
    OrderCurrentsBackFirst,
    /// A VT secondary is never shorted.
    NeverShortPotential,
    /// Something bridges the potential pole: de-energise.
    PotentialShorted,
    /// Something else uses the circuits and nobody has agreed.
    OthersUnsettled,
    /// Not everything is restored and rung through, so the supply stays off.
    NotRestored,
    /// This test is made with the supply off.
    OnlyDeEnergised,
    /// This reading is made with the supply on.
    OnlyEnergised,
    /// Too little current flows to tell.
    LoadTooSmallToProve,
    /// The load changed between the readings.
    LoadMoved,
    /// The current before the short is missing.
    BeforeMissing,
    /// The meter side did not drop: the short does not conduct.
    ShortDoesNotConduct,
    /// The meter side shows nothing yet: the meter path is not shown to carry.
    PathNotShown,
    /// The two sides differ though only the meter path should be closed, or the like.
    SidesDisagree,
    /// The reading is not a number of amperes in range.
    ReadingOutOfRange,
}

impl Reason {
    /// Every reason.
    pub const ALL: [Reason; 38] = [
        Reason::NotOnThisSwitch,
        Reason::NoSwitchLive,
        Reason::NotFromHere,
        Reason::UnknownLookFirst,
        Reason::BrokenHandsOff,
        Reason::ReadFirst,
        Reason::ShortNotProven,
        Reason::ClipNotSeen,
        Reason::JumperNotChecked,
        Reason::ShortFaulty,
        Reason::PathNotProven,
        Reason::PathNotSeen,
        Reason::PathFaulty,
        Reason::MeterNotIn,
        Reason::CurrentNotShorted,
        Reason::PotentialNotOpen,
        Reason::NotTestedDead,
        Reason::TerminalsStillLive,
        Reason::AnotherUnfinished,
        Reason::NeutralLast,
        Reason::NeutralFirst,
        Reason::OrderPotentialsOpenFirst,
        Reason::OrderCurrentsShortedFirst,
        Reason::OrderPotentialsBackFirst,
        Reason::OrderCurrentsBackFirst,
        Reason::NeverShortPotential,
        Reason::PotentialShorted,
        Reason::OthersUnsettled,
        Reason::NotRestored,
        Reason::OnlyDeEnergised,
        Reason::OnlyEnergised,
        Reason::LoadTooSmallToProve,
        Reason::LoadMoved,
        Reason::BeforeMissing,
        Reason::ShortDoesNotConduct,
        Reason::PathNotShown,
        Reason::SidesDisagree,
        Reason::ReadingOutOfRange,
    ];

    /// The stable code, never reused.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Reason::NotOnThisSwitch => "not_on_this_switch",
            Reason::NoSwitchLive => "no_switch_live",
            Reason::NotFromHere => "not_from_here",
            Reason::UnknownLookFirst => "unknown_look_first",
            Reason::BrokenHandsOff => "broken_hands_off",
            Reason::ReadFirst => "read_first",
            Reason::ShortNotProven => "short_not_proven",
            Reason::ClipNotSeen => "clip_not_seen",
            Reason::JumperNotChecked => "jumper_not_checked",
            Reason::ShortFaulty => "short_faulty",
            Reason::PathNotProven => "path_not_proven",
            Reason::PathNotSeen => "path_not_seen",
            Reason::PathFaulty => "path_faulty",
            Reason::MeterNotIn => "meter_not_in",
            Reason::CurrentNotShorted => "current_not_shorted",
            Reason::PotentialNotOpen => "potential_not_open",
            Reason::NotTestedDead => "not_tested_dead",
            Reason::TerminalsStillLive => "terminals_still_live",
            Reason::AnotherUnfinished => "another_unfinished",
            Reason::NeutralLast => "neutral_last",
            Reason::NeutralFirst => "neutral_first",
            Reason::OrderPotentialsOpenFirst => "order_potentials_open_first",
            Reason::OrderCurrentsShortedFirst => "order_currents_shorted_first",
            Reason::OrderPotentialsBackFirst => "order_potentials_back_first",
            Reason::OrderCurrentsBackFirst => "order_currents_back_first",
            Reason::NeverShortPotential => "never_short_potential",
            Reason::PotentialShorted => "potential_shorted",
            Reason::OthersUnsettled => "others_unsettled",
            Reason::NotRestored => "not_restored",
            Reason::OnlyDeEnergised => "only_de_energised",
            Reason::OnlyEnergised => "only_energised",
            Reason::LoadTooSmallToProve => "load_too_small_to_prove",
            Reason::LoadMoved => "load_moved",
            Reason::BeforeMissing => "before_missing",
            Reason::ShortDoesNotConduct => "short_does_not_conduct",
            Reason::PathNotShown => "path_not_shown",
            Reason::SidesDisagree => "sides_disagree",
            Reason::ReadingOutOfRange => "reading_out_of_range",
        }
    }

    /// What a person can safely do instead, best first.
    #[must_use]
    pub const fn safe_ways(self) -> &'static [SafeWay] {
        match self {
            Reason::NoSwitchLive => &[SafeWay::ShortAtCt, SafeWay::Outage],
            Reason::UnknownLookFirst | Reason::ClipNotSeen | Reason::PathNotSeen | Reason::JumperNotChecked => {
                &[SafeWay::Look]
            }
            Reason::BrokenHandsOff => &[SafeWay::RepeatReading, SafeWay::Outage],
            Reason::ReadFirst | Reason::ShortNotProven | Reason::PathNotProven | Reason::AnotherUnfinished => {
                &[SafeWay::Read]
            }
            Reason::ShortFaulty | Reason::ShortDoesNotConduct => &[SafeWay::ShortAtCt, SafeWay::Outage],
            Reason::TerminalsStillLive => &[SafeWay::Look, SafeWay::Outage],
            Reason::PathFaulty | Reason::PotentialShorted => &[SafeWay::Outage],
            Reason::LoadTooSmallToProve | Reason::PathNotShown => {
                &[SafeWay::MoreLoad, SafeWay::ShortAtCt, SafeWay::Outage]
            }
            Reason::LoadMoved | Reason::BeforeMissing | Reason::SidesDisagree | Reason::ReadingOutOfRange => {
                &[SafeWay::RepeatReading]
            }
            Reason::OthersUnsettled => &[SafeWay::AskOwner],
            _ => &[],
        }
    }
}

/// A safe thing to do instead.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum SafeWay {
    /// Look at the pole.
    Look,
    /// Read both sides.
    Read,
    /// Read again: clamp turned round or on the wrong lead comes first.
    RepeatReading,
    /// Wait for more load, or have some switched in.
    MoreLoad,
    /// Short the CT at its own terminals (treat the switch as none).
    ShortAtCt,
    /// Take an outage.
    Outage,
    /// Ask whoever answers for the other equipment.
    AskOwner,
}

impl SafeWay {
    /// Every safe way.
    pub const ALL: [SafeWay; 7] = [
        SafeWay::Look,
        SafeWay::Read,
        SafeWay::RepeatReading,
        SafeWay::MoreLoad,
        SafeWay::ShortAtCt,
        SafeWay::Outage,
        SafeWay::AskOwner,
    ];

    /// The stable code.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            SafeWay::Look => "look",
            SafeWay::Read => "read",
            SafeWay::RepeatReading => "repeat_reading",
            SafeWay::MoreLoad => "more_load",
            SafeWay::ShortAtCt => "short_at_ct",
            SafeWay::Outage => "outage",
            SafeWay::AskOwner => "ask_owner",
        }
    }
}

/// A step that was refused: why, and at which pole the reason lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, thiserror::Error)]
#[error("refused: {}{}", .reason.code(), .pole.map_or(String::new(), |pole| format!(" at {}", pole.code())))]
pub struct Refusal {
    /// Why.
    pub reason: Reason,
    /// Where the reason lies, which need not be the pole of the act.
    pub pole: Option<Pole>,
}

impl Refusal {
    /// Every code a refusal can carry.
    pub const ALL_CODES: [&'static str; Reason::ALL.len()] = {
        let mut codes = [""; Reason::ALL.len()];
        let mut at = 0;
        while at < codes.len() {
            codes[at] = Reason::ALL[at].code();
            at += 1;
        }
        codes
    };

    /// The stable code of the reason.
    #[must_use]
    pub const fn code(&self) -> &'static str {
        self.reason.code()
    }
}
