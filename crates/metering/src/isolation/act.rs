//! What a hand can do: acts and the poles they belong to, with their stable names.

/// One current element, by its phase.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Element {
    /// Phase A.
    A,
    /// Phase B.
    B,
    /// Phase C.
    C,
}

impl Element {
    /// All elements in phase order.
    pub const ALL: [Element; 3] = [Element::A, Element::B, Element::C];

    /// Place in [`Element::ALL`].
    #[must_use]
    #[inline]
    pub const fn index(self) -> usize {
        self as usize
    }

    /// `A`, `B` or `C`.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Element::A => "A",
            Element::B => "B",
            Element::C => "C",
        }
    }

    /// The element of this name.
    #[must_use]
    pub fn from_code(code: &str) -> Option<Element> {
        Element::ALL.into_iter().find(|element| element.code() == code)
    }
}

/// One potential pole.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum PotentialPole {
    /// Phase A.
    A,
    /// Phase B.
    B,
    /// Phase C.
    C,
    /// The potential neutral, where it has a pole.
    N,
}

impl PotentialPole {
    /// The phases, then the neutral.
    pub const ALL: [PotentialPole; 4] = [PotentialPole::A, PotentialPole::B, PotentialPole::C, PotentialPole::N];

    /// Place in [`PotentialPole::ALL`].
    #[must_use]
    #[inline]
    pub const fn index(self) -> usize {
        self as usize
    }

    /// `A`, `B`, `C` or `N`.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            PotentialPole::A => "A",
            PotentialPole::B => "B",
            PotentialPole::C => "C",
            PotentialPole::N => "N",
        }
    }

    /// The pole of this name.
    #[must_use]
    pub fn from_code(code: &str) -> Option<PotentialPole> {
        PotentialPole::ALL.into_iter().find(|pole| pole.code() == code)
    }
}

/// What a refusal, a danger or a look points at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Pole {
    /// A current element.
    Current(Element),
    /// A potential pole.
    Potential(PotentialPole),
    /// The meter, its socket or its terminals.
    Meter,
    /// The supply of the site.
    Supply,
}

impl Pole {
    /// Stable name: `current.A`, `potential.N`, `meter`, `supply`.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Pole::Current(Element::A) => "current.A",
            Pole::Current(Element::B) => "current.B",
            Pole::Current(Element::C) => "current.C",
            Pole::Potential(PotentialPole::A) => "potential.A",
            Pole::Potential(PotentialPole::B) => "potential.B",
            Pole::Potential(PotentialPole::C) => "potential.C",
            Pole::Potential(PotentialPole::N) => "potential.N",
            Pole::Meter => "meter",
            Pole::Supply => "supply",
        }
    }
}

/// One act of a hand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Act {
    /// Close the short of one element (blade down, screw in, link across).
    CloseShort(Element),
    /// Take the short of one element off.
    OpenShort(Element),
    /// Break the path from the CT to the meter.
    OpenMeterPath(Element),
    /// Close the path from the CT to the meter.
    CloseMeterPath(Element),
    /// One pull: short made, then meter path broken.
    PullShortingBlade(Element),
    /// One push: meter path made, then short let go.
    PushShortingBlade(Element),
    /// Fit the jumper of one element on the plug.
    FitPlugJumper(Element),
    /// Take the jumper of one element off the plug.
    RemovePlugJumper(Element),
    /// Put the plug into the block: every meter path parts onto its jumper.
    InsertPlug,
    /// Take the plug out of the block: every meter path closes again.
    WithdrawPlug,
    /// Short one CT at its own terminals.
    ShortAtCt(Element),
    /// Take that short off.
    UnshortAtCt(Element),
    /// Break a potential pole.
    OpenPotential(PotentialPole),
    /// Close a potential pole.
    ClosePotential(PotentialPole),
    /// Short a potential pole: never accepted; named so that it can be written down when it happened.
    ShortPotential(PotentialPole),
    /// Take the meter out (socket) or its leads off (terminals).
    MeterOut,
    /// Put the meter in.
    MeterIn,
    /// Take the primary supply off and test it dead.
    DeEnergise,
    /// Put the primary supply back.
    ReEnergise,
}

impl Act {
    /// Every act on every pole.
    pub fn all() -> impl Iterator<Item = Act> {
        const PER_ELEMENT: [fn(Element) -> Act; 10] = [
            Act::CloseShort,
            Act::OpenShort,
            Act::OpenMeterPath,
            Act::CloseMeterPath,
            Act::PullShortingBlade,
            Act::PushShortingBlade,
            Act::FitPlugJumper,
            Act::RemovePlugJumper,
            Act::ShortAtCt,
            Act::UnshortAtCt,
        ];
        const PER_POTENTIAL: [fn(PotentialPole) -> Act; 3] =
            [Act::OpenPotential, Act::ClosePotential, Act::ShortPotential];
        const WHOLE: [Act; 6] =
            [Act::InsertPlug, Act::WithdrawPlug, Act::MeterOut, Act::MeterIn, Act::DeEnergise, Act::ReEnergise];
        PER_ELEMENT
            .into_iter()
            .flat_map(|make| Element::ALL.into_iter().map(make))
            .chain(PER_POTENTIAL.into_iter().flat_map(|make| PotentialPole::ALL.into_iter().map(make)))
            .chain(WHOLE)
    }

    /// The stable name of what is done, as stored.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Act::CloseShort(_) => "close_short",
            Act::OpenShort(_) => "open_short",
            Act::OpenMeterPath(_) => "open_meter_path",
            Act::CloseMeterPath(_) => "close_meter_path",
            Act::PullShortingBlade(_) => "pull_shorting_blade",
            Act::PushShortingBlade(_) => "push_shorting_blade",
            Act::FitPlugJumper(_) => "fit_plug_jumper",
            Act::RemovePlugJumper(_) => "remove_plug_jumper",
            Act::InsertPlug => "insert_plug",
            Act::WithdrawPlug => "withdraw_plug",
            Act::ShortAtCt(_) => "short_at_ct",
            Act::UnshortAtCt(_) => "unshort_at_ct",
            Act::OpenPotential(_) => "open_potential",
            Act::ClosePotential(_) => "close_potential",
            Act::ShortPotential(_) => "short_potential",
            Act::MeterOut => "meter_out",
            Act::MeterIn => "meter_in",
            Act::DeEnergise => "de_energise",
            Act::ReEnergise => "re_energise",
        }
    }

    /// The current element it moves, if it moves just one.
    #[must_use]
    #[inline]
    pub const fn element(self) -> Option<Element> {
        match self {
            Act::CloseShort(element)
            | Act::OpenShort(element)
            | Act::OpenMeterPath(element)
            | Act::CloseMeterPath(element)
            | Act::PullShortingBlade(element)
            | Act::PushShortingBlade(element)
            | Act::FitPlugJumper(element)
            | Act::RemovePlugJumper(element)
            | Act::ShortAtCt(element)
            | Act::UnshortAtCt(element) => Some(element),
            _ => None,
        }
    }

    /// The potential pole it moves.
    #[must_use]
    #[inline]
    pub const fn potential(self) -> Option<PotentialPole> {
        match self {
            Act::OpenPotential(pole) | Act::ClosePotential(pole) | Act::ShortPotential(pole) => Some(pole),
            _ => None,
        }
    }

    /// The stable name of its pole, as stored; `all` for the plug, the meter and the supply.
    #[must_use]
    pub const fn pole_code(self) -> &'static str {
        match (self.element(), self.potential()) {
            (Some(element), _) => element.code(),
            (None, Some(pole)) => pole.code(),
            (None, None) => "all",
        }
    }

    /// The act of these stored names.
    #[must_use]
    pub fn from_codes(act: &str, pole: &str) -> Option<Act> {
        Act::all().find(|found| found.code() == act && found.pole_code() == pole)
    }
}
