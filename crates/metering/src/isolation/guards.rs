//! The guards: each a named rule that an act must pass, in a set, so that the proof can show what each one is for.

use super::{
    Act, Belief, Circuit, Element, Kind, Meter, Order, OthersUse, Pole, Potential, PotentialPole, Ready, Reason,
    Refusal, ShortProof, Switch,
};

/// One rule. All but the first hold only while the site is live (or may be).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Guard {
    /// A VT secondary is never shorted, live or not. United States Navy training manual.
    NeverShortPotential,
    /// The supply returns only to a site restored whole and rung through. 29 CFR 1910.269(w)(2).
    RestoredBeforeSupply,
    /// While a CT circuit is thought broken, no hand touches the switch. Common practice.
    BrokenUntouched,
    /// A current pole in an unknown state is looked at before it is moved. Common practice.
    UnknownUntouched,
    /// An element moved or looked at is read before it is moved (again): it may be broken. Common practice.
    ReadFirst,
    /// A potential pole in an unknown or shorted state is not moved. Common practice.
    PotentialUntouched,
    /// The short is proven before the meter path breaks. 29 CFR 1910.269(w)(2).
    ShortProven,
    /// The clip, or the plug's jumper, is found sound before the motion that relies on it. 29 CFR 1910.269(w)(2).
    ShortSound,
    /// The meter path is shown to carry before the short comes off. 29 CFR 1910.269(w)(2).
    PathProven,
    /// The meter path is found sound before the one motion back. 29 CFR 1910.269(w)(2).
    PathSound,
    /// The meter is in before a current path returns to it. 29 CFR 1910.269(w)(2).
    MeterInForCurrents,
    /// The meter is in before its terminals are livened. Common practice.
    MeterInForPotentials,
    /// The meter moves only with every current shorted and proven. 29 CFR 1910.269(w)(2).
    CurrentsShorted,
    /// The meter moves only with every potential broken and its terminals tested dead. NFPA 70E 120.5 (from memory).
    TerminalsDead,
    /// One element is finished before the next is begun. Common practice.
    OneAtATime,
    /// The neutral is broken last and closed first. Common practice.
    NeutralOrder,
    /// Site order on the way out.
    OutOrder,
    /// Site order on the way back.
    BackOrder,
    /// What else lives on the circuits is settled before they are shorted. Common practice.
    OthersSettled,
}

#[cfg(test)]
impl Guard {
    /// Every guard; the proof shows what each is for.
    pub(super) const ALL: [Guard; 19] = [
        Guard::NeverShortPotential,
        Guard::RestoredBeforeSupply,
        Guard::BrokenUntouched,
        Guard::UnknownUntouched,
        Guard::ReadFirst,
        Guard::PotentialUntouched,
        Guard::ShortProven,
        Guard::ShortSound,
        Guard::PathProven,
        Guard::PathSound,
        Guard::MeterInForCurrents,
        Guard::MeterInForPotentials,
        Guard::CurrentsShorted,
        Guard::TerminalsDead,
        Guard::OneAtATime,
        Guard::NeutralOrder,
        Guard::OutOrder,
        Guard::BackOrder,
        Guard::OthersSettled,
    ];
}

/// A set of guards.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Guards(u32);

impl Guards {
    /// All of them: the only set outside the proof.
    pub(super) const ALL: Guards = Guards(u32::MAX);

    #[cfg(test)]
    pub(super) const fn without(guard: Guard) -> Guards {
        Guards(!(1 << guard as u32))
    }

    const fn has(self, guard: Guard) -> bool {
        self.0 & (1 << guard as u32) != 0
    }
}

/// One question put to a belief.
struct Asked<'a> {
    belief: &'a Belief,
    switch: &'a Switch,
    on: Guards,
}

type Answer = Result<(), Refusal>;

/// Whether `act`, which is mechanically possible, is safe now.
#[inline]
pub(super) fn check(belief: &Belief, switch: &Switch, act: Act, on: Guards) -> Answer {
    let asked = Asked { belief, switch, on };
    match act {
        Act::ShortPotential(pole) => {
            return asked.hold(Guard::NeverShortPotential, false, Reason::NeverShortPotential, Pole::Potential(pole));
        }
        Act::ReEnergise => {
            let whole = belief.is_whole(switch);
            return asked.hold(Guard::RestoredBeforeSupply, whole, Reason::NotRestored, Pole::Supply);
        }
        Act::DeEnergise => return Ok(()),
        _ if !belief.is_live() => return Ok(()),
        _ => asked.nothing_broken()?,
    }
    match act {
        Act::CloseShort(element) | Act::ShortAtCt(element) => asked.close_short(element),
        Act::PullShortingBlade(element) => {
            asked.short_sound(element)?;
            asked.close_short(element)
        }
        Act::OpenMeterPath(element) => asked.open_path(element),
        Act::CloseMeterPath(element) => asked.close_path(element),
        Act::OpenShort(element) | Act::UnshortAtCt(element) => asked.open_short(element),
        Act::RemovePlugJumper(element) => asked.remove_jumper(element),
        Act::FitPlugJumper(_) => Ok(()),
        Act::PushShortingBlade(element) => asked.push(element),
        Act::InsertPlug => asked.insert_plug(),
        Act::WithdrawPlug => asked.withdraw_plug(),
        Act::OpenPotential(pole) => asked.open_potential(pole),
        Act::ClosePotential(pole) => asked.close_potential(pole),
        Act::MeterOut | Act::MeterIn => asked.move_meter(act == Act::MeterOut),
        Act::ShortPotential(_) | Act::DeEnergise | Act::ReEnergise => Ok(()),
    }
}

/// The first potential pole that is not broken.
pub(super) fn first_not_open(belief: &Belief, switch: &Switch) -> Option<PotentialPole> {
    switch.potential_poles().iter().copied().find(|pole| belief.potential(*pole) != Potential::Open)
}

impl Asked<'_> {
    fn hold(&self, guard: Guard, holds: bool, reason: Reason, pole: Pole) -> Answer {
        if holds || !self.on.has(guard) { Ok(()) } else { Err(Refusal { reason, pole: Some(pole) }) }
    }

    fn hold_each(&self, guard: Guard, reason: Reason, holds: impl Fn(Circuit) -> bool) -> Answer {
        Element::ALL.into_iter().try_for_each(|element| {
            self.hold(guard, holds(self.belief.current(element)), reason, Pole::Current(element))
        })
    }

    fn nothing_broken(&self) -> Answer {
        self.hold_each(Guard::BrokenUntouched, Reason::BrokenHandsOff, |circuit| circuit != Circuit::Broken)
    }

    /// Nobody moves what is not known to conduct.
    fn touchable(&self, element: Element) -> Answer {
        let (circuit, pole) = (self.belief.current(element), Pole::Current(element));
        self.hold(Guard::UnknownUntouched, circuit != Circuit::Unknown, Reason::UnknownLookFirst, pole)?;
        let placed = matches!(circuit, Circuit::ToMeter { .. } | Circuit::Both { .. } | Circuit::Shorted { .. });
        self.hold(Guard::ReadFirst, !placed || circuit.is_known_to_conduct(), Reason::ReadFirst, pole)
    }

    /// Whether an element is at rest: nothing on it is half done or unread.
    fn at_rest(&self, circuit: Circuit) -> bool {
        match circuit {
            Circuit::ToMeter { carries, .. } => carries,
            Circuit::Both { short_proven, .. } => short_proven && self.switch.kind == Kind::None,
            Circuit::Shorted { proof, .. } => proof == ShortProof::Proven,
            Circuit::Broken | Circuit::Unknown => false,
        }
    }

    fn others_at_rest(&self, element: Element) -> Answer {
        self.others(element, |circuit| self.at_rest(circuit))
    }

    /// To finish an element begun, it is enough that the others carry their current: two may have been found half done.
    fn others_safe(&self, element: Element) -> Answer {
        self.others(element, Circuit::is_known_to_conduct)
    }

    fn others(&self, element: Element, fine: impl Fn(Circuit) -> bool) -> Answer {
        Element::ALL.into_iter().filter(|other| *other != element).try_for_each(|other| {
            let holds = fine(self.belief.current(other));
            self.hold(Guard::OneAtATime, holds, Reason::AnotherUnfinished, Pole::Current(other))
        })
    }

    fn others_settled(&self) -> Answer {
        let settled = self.switch.others_use != OthersUse::Unsettled;
        self.hold(Guard::OthersSettled, settled, Reason::OthersUnsettled, Pole::Meter)
    }

    fn potentials_out_before_currents(&self) -> Answer {
        match (self.switch.out, first_not_open(self.belief, self.switch)) {
            (Order::PotentialsFirst, Some(pole)) => {
                self.hold(Guard::OutOrder, false, Reason::OrderPotentialsOpenFirst, Pole::Potential(pole))
            }
            _ => Ok(()),
        }
    }

    fn potentials_back_before_currents(&self) -> Answer {
        let mut poles = self.switch.potential_poles().iter();
        match (self.switch.back, poles.find(|pole| self.belief.potential(**pole) != Potential::Closed)) {
            (Order::PotentialsFirst, Some(pole)) => {
                self.hold(Guard::BackOrder, false, Reason::OrderPotentialsBackFirst, Pole::Potential(*pole))
            }
            _ => Ok(()),
        }
    }

    fn meter_in(&self, guard: Guard) -> Answer {
        self.hold(guard, self.belief.meter == Meter::In, Reason::MeterNotIn, Pole::Meter)
    }

    fn close_short(&self, element: Element) -> Answer {
        self.touchable(element)?;
        self.others_settled()?;
        self.potentials_out_before_currents()?;
        self.others_at_rest(element)
    }

    fn short_sound(&self, element: Element) -> Answer {
        let pole = Pole::Current(element);
        let plug = self.switch.kind == Kind::PlugInBlock;
        match self.belief.current(element) {
            Circuit::ToMeter { short: Ready::Sound, .. } => Ok(()),
            Circuit::ToMeter { short: Ready::Faulty, .. } => {
                self.hold(Guard::ShortSound, false, Reason::ShortFaulty, pole)
            }
            Circuit::ToMeter { .. } if plug => self.hold(Guard::ShortSound, false, Reason::JumperNotChecked, pole),
            Circuit::ToMeter { .. } => self.hold(Guard::ShortSound, false, Reason::ClipNotSeen, pole),
            _ => Ok(()),
        }
    }

    fn open_path(&self, element: Element) -> Answer {
        self.touchable(element)?;
        let proven = matches!(self.belief.current(element), Circuit::Both { short_proven: true, .. });
        self.hold(Guard::ShortProven, proven, Reason::ShortNotProven, Pole::Current(element))?;
        self.others_safe(element)
    }

    fn close_path(&self, element: Element) -> Answer {
        self.touchable(element)?;
        self.meter_in(Guard::MeterInForCurrents)?;
        self.others_at_rest(element)
    }

    fn open_short(&self, element: Element) -> Answer {
        self.touchable(element)?;
        let proven = matches!(self.belief.current(element), Circuit::Both { path_proven: true, .. });
        self.hold(Guard::PathProven, proven, Reason::PathNotProven, Pole::Current(element))?;
        self.potentials_back_before_currents()?;
        if self.at_rest(self.belief.current(element)) {
            self.others_at_rest(element)
        } else {
            self.others_safe(element)
        }
    }

    /// Off a plug in the hand a jumper may come at any time; off one in the block it is the short of that element.
    fn remove_jumper(&self, element: Element) -> Answer {
        match self.belief.current(element) {
            Circuit::ToMeter { .. } => Ok(()),
            _ => self.hold(Guard::PathProven, false, Reason::PathNotProven, Pole::Current(element)),
        }
    }

    fn path_sound(&self, element: Element) -> Answer {
        let pole = Pole::Current(element);
        match self.belief.current(element) {
            Circuit::Shorted { path: Ready::Sound, .. } => Ok(()),
            Circuit::Shorted { path: Ready::Faulty, .. } => {
                self.hold(Guard::PathSound, false, Reason::PathFaulty, pole)
            }
            Circuit::Shorted { .. } => self.hold(Guard::PathSound, false, Reason::PathNotSeen, pole),
            _ => Ok(()),
        }
    }

    fn push(&self, element: Element) -> Answer {
        self.touchable(element)?;
        self.meter_in(Guard::MeterInForCurrents)?;
        self.path_sound(element)?;
        self.potentials_back_before_currents()?;
        self.others_at_rest(element)
    }

    fn insert_plug(&self) -> Answer {
        for element in Element::ALL {
            self.touchable(element)?;
            self.short_sound(element)?;
        }
        self.others_settled()?;
        self.potentials_out_before_currents()
    }

    fn withdraw_plug(&self) -> Answer {
        self.meter_in(Guard::MeterInForCurrents)?;
        for element in Element::ALL {
            self.touchable(element)?;
            self.path_sound(element)?;
        }
        self.potentials_back_before_currents()
    }

    fn potential_touchable(&self, pole: PotentialPole) -> Answer {
        let reason = match self.belief.potential(pole) {
            Potential::Closed | Potential::Open => return Ok(()),
            Potential::Shorted => Reason::PotentialShorted,
            Potential::Unknown => Reason::UnknownLookFirst,
        };
        self.hold(Guard::PotentialUntouched, false, reason, Pole::Potential(pole))
    }

    fn open_potential(&self, pole: PotentialPole) -> Answer {
        self.potential_touchable(pole)?;
        if pole == PotentialPole::N {
            let closed = PotentialPole::ALL[..3].iter().find(|phase| self.belief.potential(**phase) != Potential::Open);
            let at = Pole::Potential(closed.copied().unwrap_or(pole));
            self.hold(Guard::NeutralOrder, closed.is_none(), Reason::NeutralLast, at)?;
        }
        if self.switch.out == Order::CurrentsFirst {
            self.hold_each(Guard::OutOrder, Reason::OrderCurrentsShortedFirst, |circuit| {
                self.at_rest(circuit) && circuit.is_bypassed() == Some(true)
            })?;
        }
        Ok(())
    }

    fn close_potential(&self, pole: PotentialPole) -> Answer {
        self.potential_touchable(pole)?;
        self.meter_in(Guard::MeterInForPotentials)?;
        if pole != PotentialPole::N && self.switch.neutral_pole {
            let closed = self.belief.potential(PotentialPole::N) == Potential::Closed;
            self.hold(Guard::NeutralOrder, closed, Reason::NeutralFirst, Pole::Potential(PotentialPole::N))?;
        }
        if self.switch.back == Order::CurrentsFirst {
            self.hold_each(Guard::BackOrder, Reason::OrderCurrentsBackFirst, |circuit| {
                matches!(circuit, Circuit::ToMeter { carries: true, .. })
            })?;
        }
        Ok(())
    }

    /// Without a switch the meter itself breaks the path, so the first stage of the proof must do on the way out.
    fn move_meter(&self, out: bool) -> Answer {
        let none = self.switch.kind == Kind::None;
        let reason = if none && out { Reason::NoSwitchLive } else { Reason::CurrentNotShorted };
        self.hold_each(Guard::CurrentsShorted, reason, |circuit| match circuit {
            Circuit::Both { short_proven, .. } => none && out && short_proven,
            Circuit::Shorted { proof, .. } => proof == ShortProof::Proven,
            _ => false,
        })?;
        if let Some(pole) = first_not_open(self.belief, self.switch) {
            self.hold(Guard::TerminalsDead, false, Reason::PotentialNotOpen, Pole::Potential(pole))?;
        }
        self.hold(Guard::TerminalsDead, self.belief.jaws_dead, Reason::NotTestedDead, Pole::Meter)
    }
}
