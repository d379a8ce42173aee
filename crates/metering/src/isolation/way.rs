//! The way back: from any belief, the next safe step toward *all restored*, or *stop: de-energise*.

use super::{
    Act, Belief, Circuit, Element, Kind, Meter, Pole, Potential, PotentialPole, Ready, ShortProof, Step, Supply, Switch,
};

/// The next step of the way back.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Way {
    /// Everything is restored and the site is live.
    Restored,
    /// Nothing here is safe to touch: get the load off or de-energise. The pole is the reason.
    StopDeEnergise(Pole),
    /// Look where this pole stands; for the supply: test.
    Look(Pole),
    /// Look at blade, leads and jaws of this element's meter path.
    LookAtPath(Element),
    /// Read both sides of this element. If nothing can be decided, the refusal's safe ways lead on; an outage is one.
    Read(Element),
    /// Test the meter's terminals: live, dead, live.
    TestTerminals,
    /// Ring this CT circuit through; the supply is off.
    Ring(Element),
    /// Do this; it is accepted now.
    Do(Act),
}

impl Belief {
    /// The next safe step toward *all restored*, or *stop: de-energise*.
    ///
    /// Shorts and breaks found half done are finished one after the other; a meter that is out must be put in on the way.
    #[must_use]
    pub fn way_back(&self, switch: &Switch) -> Way {
        if self.is_restored(switch) {
            return Way::Restored;
        }
        let poles = switch.potential_poles();
        let potential = |wanted| poles.iter().copied().find(|pole| self.potential(*pole) == wanted);
        let current = |wanted| Element::ALL.into_iter().find(|element| self.current(*element) == wanted);
        if self.is_live() {
            if let Some(element) = current(Circuit::Broken) {
                return Way::StopDeEnergise(Pole::Current(element));
            }
            if let Some(pole) = potential(Potential::Shorted) {
                return Way::StopDeEnergise(Pole::Potential(pole));
            }
        }
        if self.supply == Supply::Unknown {
            return Way::Look(Pole::Supply);
        }
        if self.meter == Meter::Unknown {
            return Way::Look(Pole::Meter);
        }
        if let Some(pole) = potential(Potential::Unknown) {
            return Way::Look(Pole::Potential(pole));
        }
        if self.is_live() { self.live_way(switch) } else { self.dead_way(switch) }
    }

    fn live_way(&self, switch: &Switch) -> Way {
        if let Some(element) = Element::ALL.into_iter().find(|element| self.current(*element) == Circuit::Unknown) {
            return Way::Look(Pole::Current(element));
        }
        if let Some(element) = Element::ALL.into_iter().find(|element| self.wants_reading(*element)) {
            return Way::Read(element);
        }
        if self.meter == Meter::Out {
            return self.way_to_meter_in(switch);
        }
        if let Some(act) = self.first_accepted(switch, self.closing_potentials()) {
            return Way::Do(act);
        }
        let unseen = |element: &Element| {
            let unseen = Circuit::Shorted { proof: ShortProof::Proven, path: Ready::NotLookedAt };
            switch.kind.is_one_motion() && self.current(*element) == unseen
        };
        if let Some(element) = Element::ALL.into_iter().find(unseen) {
            return Way::LookAtPath(element);
        }
        match self.first_accepted(switch, restoring_currents()) {
            Some(act) => Way::Do(act),
            None => Way::StopDeEnergise(self.stuck_at()),
        }
    }

    /// What was moved and not read; and, with the meter in, a returning path that is not yet shown to carry.
    fn wants_reading(&self, element: Element) -> bool {
        match self.current(element) {
            Circuit::Shorted { proof, .. } => proof != ShortProof::Proven,
            Circuit::Both { short_proven: true, path_proven: false } => self.meter == Meter::In,
            circuit => !circuit.is_known_to_conduct(),
        }
    }

    /// With the meter out: paths that end in an empty socket are broken again, potentials broken, terminals tested.
    fn way_to_meter_in(&self, switch: &Switch) -> Way {
        let outward = Element::ALL.into_iter().map(Act::OpenMeterPath);
        let outward = outward.chain(PotentialPole::ALL.into_iter().map(Act::OpenPotential));
        if let Some(act) = self.first_accepted(switch, outward) {
            return Way::Do(act);
        }
        if self.all_potentials_open(switch) && !self.jaws_dead {
            return Way::TestTerminals;
        }
        match self.first_accepted(switch, [Act::MeterIn]) {
            Some(act) => Way::Do(act),
            None => Way::StopDeEnergise(Pole::Meter),
        }
    }

    fn dead_way(&self, switch: &Switch) -> Way {
        if self.meter == Meter::Out {
            return Way::Do(Act::MeterIn);
        }
        for element in Element::ALL {
            let act = match (self.current(element), switch.kind) {
                (Circuit::Unknown, _) => return Way::Look(Pole::Current(element)),
                (Circuit::Broken, Kind::None) => return Way::Ring(element),
                (Circuit::Both { .. }, Kind::None) => Act::UnshortAtCt(element),
                (Circuit::Both { .. }, Kind::SeparateShortingBlade | Kind::ScrewsOrLinks) => Act::OpenShort(element),
                (Circuit::Broken | Circuit::Shorted { .. }, Kind::SeparateShortingBlade | Kind::ScrewsOrLinks) => {
                    Act::CloseMeterPath(element)
                }
                (Circuit::Broken | Circuit::Shorted { .. }, Kind::BladeShortsAsItOpens) => {
                    Act::PushShortingBlade(element)
                }
                (Circuit::Broken | Circuit::Shorted { .. }, Kind::PlugInBlock) => Act::WithdrawPlug,
                (Circuit::ToMeter { carries: false, .. }, _) => return Way::Ring(element),
                (Circuit::ToMeter { .. }, _) => continue,
                // Poles seen where this kind cannot put them.
                (Circuit::Shorted { .. }, Kind::None) | (Circuit::Both { .. }, _) => {
                    return Way::Look(Pole::Current(element));
                }
            };
            return Way::Do(act);
        }
        for pole in switch.potential_poles() {
            match self.potential(*pole) {
                Potential::Shorted => return Way::Do(Act::OpenPotential(*pole)),
                Potential::Open => return Way::Do(Act::ClosePotential(*pole)),
                Potential::Closed | Potential::Unknown => {}
            }
        }
        Way::Do(Act::ReEnergise)
    }

    fn closing_potentials(&self) -> impl Iterator<Item = Act> + use<> {
        PotentialPole::ALL.into_iter().rev().map(Act::ClosePotential)
    }

    fn first_accepted(&self, switch: &Switch, acts: impl IntoIterator<Item = Act>) -> Option<Act> {
        acts.into_iter().find(|act| self.apply(switch, Step::Act(*act)).is_ok())
    }

    fn stuck_at(&self) -> Pole {
        let stuck = Element::ALL.into_iter().find(|element| self.current(*element).is_bypassed() == Some(true));
        stuck.map_or(Pole::Meter, Pole::Current)
    }
}

/// A path closed too early goes on before a new one is begun.
fn restoring_currents() -> impl Iterator<Item = Act> {
    let each = |make: fn(Element) -> Act| Element::ALL.into_iter().map(make);
    each(Act::OpenShort)
        .chain(each(Act::UnshortAtCt))
        .chain(each(Act::CloseMeterPath))
        .chain(each(Act::PushShortingBlade))
        .chain([Act::WithdrawPlug])
}
