//! The test switch as site data: how it makes and breaks a current circuit, and in which order the site works.

use super::PotentialPole;

/// How the switch makes and breaks a current circuit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Kind {
    /// One pull of the shorting blade makes the short before it breaks the meter path; pushing it back closes the meter
    /// path before the short lets go. The second blade of the pair (the return) stays up.
    BladeShortsAsItOpens,
    /// A shorting blade of its own beside the blade of the meter path.
    SeparateShortingBlade,
    /// Shorting screws or links, and terminals whose link breaks the meter path.
    ScrewsOrLinks,
    /// A block whose spring contacts part when a plug goes in. The plug carries one jumper per element.
    PlugInBlock,
    /// No switch: the CT is shorted at its own terminals, or the work waits for an outage. Also how a site whose switch
    /// is not trusted is treated.
    None,
}

impl Kind {
    /// Every kind.
    pub const ALL: [Kind; 5] =
        [Kind::BladeShortsAsItOpens, Kind::SeparateShortingBlade, Kind::ScrewsOrLinks, Kind::PlugInBlock, Kind::None];

    /// The stable name, as stored.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Kind::BladeShortsAsItOpens => "blade_shorts_as_it_opens",
            Kind::SeparateShortingBlade => "separate_shorting_blade",
            Kind::ScrewsOrLinks => "screws_or_links",
            Kind::PlugInBlock => "plug_in_block",
            Kind::None => "none",
        }
    }

    /// The kind of this stable name.
    #[must_use]
    pub fn from_code(code: &str) -> Option<Kind> {
        Kind::ALL.into_iter().find(|kind| kind.code() == code)
    }

    /// Whether short and meter path move in one motion, so that no reading can be taken between.
    #[must_use]
    pub const fn is_one_motion(self) -> bool {
        matches!(self, Kind::BladeShortsAsItOpens | Kind::PlugInBlock)
    }
}

/// Which group of poles moves first; site policy.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Order {
    /// Currents first, then potentials.
    CurrentsFirst,
    /// Potentials first, then currents.
    PotentialsFirst,
}

impl Order {
    /// Both orders.
    pub const ALL: [Order; 2] = [Order::CurrentsFirst, Order::PotentialsFirst];

    /// The stable name.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Order::CurrentsFirst => "currents_first",
            Order::PotentialsFirst => "potentials_first",
        }
    }

    /// The order of this stable name.
    #[must_use]
    pub fn from_code(code: &str) -> Option<Order> {
        Order::ALL.into_iter().find(|order| order.code() == code)
    }
}

/// Whether a relay, a transducer or another meter lives on the same CTs or VTs, and whether its owner agrees.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum OthersUse {
    /// Nothing else uses them.
    Nothing,
    /// Something does, and whoever answers for it has agreed to this work.
    Agreed,
    /// Something does without agreement, or nobody knows: a short could trip or blind a relay.
    Unsettled,
}

/// A test switch of a 4-wire wye service.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Switch {
    /// How it makes and breaks a current circuit.
    pub kind: Kind,
    /// Whether the potential neutral has a pole of its own.
    pub neutral_pole: bool,
    /// Order in which the meter is isolated.
    pub out: Order,
    /// Order in which it is restored.
    pub back: Order,
    /// Who else depends on the circuits.
    pub others_use: OthersUse,
}

impl Switch {
    /// The potential poles it has. Where there is no switch these are the VT fuses or the leads at them.
    #[must_use]
    #[inline]
    pub const fn potential_poles(&self) -> &'static [PotentialPole] {
        if self.neutral_pole { &PotentialPole::ALL } else { &[PotentialPole::A, PotentialPole::B, PotentialPole::C] }
    }
}
