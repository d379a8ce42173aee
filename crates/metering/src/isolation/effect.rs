//! What an act does to the belief, safe or not: the mechanics of each switch, without any guard.

use super::{
    Act, Belief, Circuit, Element, Kind, Meter, Pole, Potential, PotentialPole, Ready, Reason, Refusal, ShortProof,
    Supply, Switch,
};

/// The belief after `act`.
///
/// # Errors
/// When the switch has no such motion, or the pole is not where the motion begins.
#[inline]
pub(super) fn moved(belief: &Belief, switch: &Switch, act: Act) -> Result<Belief, Refusal> {
    if !exists(switch, act) {
        return Err(Refusal { reason: Reason::NotOnThisSwitch, pole: pole_of(act) });
    }
    let from_here = match act {
        Act::InsertPlug | Act::WithdrawPlug => plug(belief, act),
        Act::MeterOut | Act::MeterIn => meter(belief, switch.kind, act)?,
        Act::DeEnergise => (belief.is_live()).then_some(Belief { supply: Supply::DeEnergised, ..*belief }),
        Act::ReEnergise => (!belief.is_live()).then_some(Belief { supply: Supply::Energised, ..*belief }),
        _ => match (act.element(), act.potential()) {
            (Some(element), _) => circuit(belief.current(element), act).map(|next| with_current(belief, element, next)),
            (None, Some(pole)) => potential(belief, pole, act),
            (None, None) => None,
        },
    };
    from_here.ok_or(Refusal { reason: Reason::NotFromHere, pole: pole_of(act) })
}

/// The belief after an act that no guard was asked about.
pub(super) fn happened(belief: &Belief, switch: &Switch, act: Act) -> Belief {
    let expected = moved(belief, switch, act);
    let mut next = *belief;
    match act {
        Act::DeEnergise => next.supply = Supply::Unknown, // off by accident is not tested dead
        Act::ReEnergise => {
            next.supply = Supply::Energised;
            next.currents = next.currents.map(doubted);
        }
        Act::MeterOut => next.meter = Meter::Out,
        Act::MeterIn => next.meter = Meter::In,
        _ => {}
    }
    if let Some(pole) = act.potential() {
        let shorted = matches!(act, Act::ShortPotential(_));
        next.potentials[pole.index()] = if shorted { Potential::Shorted } else { Potential::Unknown };
        next.jaws_dead = false;
    }
    for element in moved_elements(act) {
        let found = belief.current(*element);
        let broken = match (&expected, found) {
            (_, Circuit::Broken) => true,
            (Ok(after), _) => after.current(*element) == Circuit::Broken,
            (Err(_), _) => false,
        };
        next.currents[element.index()] = if broken { Circuit::Broken } else { Circuit::Unknown };
    }
    next
}

/// A circuit whose state no longer rests on anything, unless it is thought broken.
fn doubted(found: Circuit) -> Circuit {
    if found == Circuit::Broken { found } else { Circuit::Unknown }
}

fn moved_elements(act: Act) -> &'static [Element] {
    match act {
        Act::InsertPlug | Act::WithdrawPlug | Act::MeterOut | Act::MeterIn => &Element::ALL,
        _ => match act.element() {
            Some(Element::A) => &[Element::A],
            Some(Element::B) => &[Element::B],
            Some(Element::C) => &[Element::C],
            None => &[],
        },
    }
}

/// Where an act takes place.
pub(super) fn pole_of(act: Act) -> Option<Pole> {
    match (act.element(), act.potential(), act) {
        (Some(element), _, _) => Some(Pole::Current(element)),
        (_, Some(pole), _) => Some(Pole::Potential(pole)),
        (_, _, Act::DeEnergise | Act::ReEnergise) => Some(Pole::Supply),
        _ => Some(Pole::Meter),
    }
}

/// Whether the switch has this motion at all.
fn exists(switch: &Switch, act: Act) -> bool {
    let kind = switch.kind;
    match act {
        Act::CloseShort(_) | Act::OpenShort(_) | Act::OpenMeterPath(_) | Act::CloseMeterPath(_) => {
            matches!(kind, Kind::SeparateShortingBlade | Kind::ScrewsOrLinks)
        }
        Act::PullShortingBlade(_) | Act::PushShortingBlade(_) => kind == Kind::BladeShortsAsItOpens,
        Act::FitPlugJumper(_) | Act::RemovePlugJumper(_) | Act::InsertPlug | Act::WithdrawPlug => {
            kind == Kind::PlugInBlock
        }
        Act::ShortAtCt(_) | Act::UnshortAtCt(_) => kind == Kind::None,
        Act::OpenPotential(pole) | Act::ClosePotential(pole) | Act::ShortPotential(pole) => {
            switch.potential_poles().contains(&pole)
        }
        Act::MeterOut | Act::MeterIn | Act::DeEnergise | Act::ReEnergise => true,
    }
}

fn with_current(belief: &Belief, element: Element, circuit: Circuit) -> Belief {
    let mut next = *belief;
    next.currents[element.index()] = circuit;
    next
}

/// One element's own motion. From *broken* and *unknown* every motion ends in *unknown*: look again.
fn circuit(found: Circuit, act: Act) -> Option<Circuit> {
    let shorted = |proof| Circuit::Shorted { proof, path: Ready::NotLookedAt };
    Some(match (act, found) {
        (Act::FitPlugJumper(_) | Act::RemovePlugJumper(_), Circuit::Broken | Circuit::Unknown) => return None,
        (_, Circuit::Broken | Circuit::Unknown) => Circuit::Unknown,
        (Act::CloseShort(_) | Act::ShortAtCt(_), Circuit::ToMeter { carries, .. }) => {
            Circuit::Both { short_proven: false, path_proven: carries }
        }
        (Act::OpenShort(_) | Act::UnshortAtCt(_), Circuit::Both { .. })
        | (Act::PushShortingBlade(_), Circuit::Shorted { .. }) => {
            Circuit::ToMeter { carries: false, short: Ready::NotLookedAt }
        }
        (Act::OpenMeterPath(_), Circuit::Both { short_proven, .. }) => {
            shorted(if short_proven { ShortProof::FirstStage } else { ShortProof::None })
        }
        (Act::CloseMeterPath(_), Circuit::Shorted { proof, .. }) => {
            Circuit::Both { short_proven: proof != ShortProof::None, path_proven: false }
        }
        (Act::PullShortingBlade(_), Circuit::ToMeter { .. }) => shorted(ShortProof::None),
        (Act::OpenMeterPath(_), Circuit::ToMeter { .. })
        | (Act::OpenShort(_) | Act::UnshortAtCt(_) | Act::RemovePlugJumper(_), Circuit::Shorted { .. }) => {
            Circuit::Broken
        }
        (Act::FitPlugJumper(_), Circuit::ToMeter { carries, short: Ready::NotLookedAt | Ready::Faulty }) => {
            Circuit::ToMeter { carries, short: Ready::Fitted }
        }
        (
            Act::RemovePlugJumper(_),
            Circuit::ToMeter { carries, short: Ready::Fitted | Ready::Sound | Ready::Faulty },
        ) => Circuit::ToMeter { carries, short: Ready::NotLookedAt },
        _ => return None,
    })
}

/// The plug moves all elements; one that already stands there stays. An element seen half way has no motion: look again.
fn plug(belief: &Belief, act: Act) -> Option<Belief> {
    if belief.currents.iter().any(|found| matches!(found, Circuit::Both { .. })) {
        return None;
    }
    let insert = act == Act::InsertPlug;
    let currents = belief.currents.map(|found| match found {
        Circuit::ToMeter { short: Ready::NotLookedAt, .. } if insert => Circuit::Broken,
        Circuit::ToMeter { .. } if insert => Circuit::Shorted { proof: ShortProof::None, path: Ready::NotLookedAt },
        Circuit::Shorted { .. } if !insert => Circuit::ToMeter { carries: false, short: Ready::Fitted },
        Circuit::Broken | Circuit::Unknown => Circuit::Unknown,
        already => already,
    });
    let moves = currents != belief.currents || belief.currents.contains(&Circuit::Unknown);
    moves.then_some(Belief { currents, ..*belief })
}

fn meter(belief: &Belief, kind: Kind, act: Act) -> Result<Option<Belief>, Refusal> {
    let out = act == Act::MeterOut;
    match belief.meter {
        Meter::Unknown => Err(Refusal { reason: Reason::UnknownLookFirst, pole: Some(Pole::Meter) }),
        Meter::In if out => {
            Ok(Some(Belief { currents: belief.currents.map(|c| without_meter(c, kind)), meter: Meter::Out, ..*belief }))
        }
        Meter::Out if !out => {
            Ok(Some(Belief { currents: belief.currents.map(|c| with_meter(c, kind)), meter: Meter::In, ..*belief }))
        }
        _ => Ok(None),
    }
}

/// Where there is no switch, the meter itself is the break in the path.
fn without_meter(found: Circuit, kind: Kind) -> Circuit {
    let path = Ready::NotLookedAt;
    match found {
        Circuit::ToMeter { .. } => Circuit::Broken,
        Circuit::Both { short_proven, .. } if kind == Kind::None => {
            Circuit::Shorted { proof: if short_proven { ShortProof::FirstStage } else { ShortProof::None }, path }
        }
        Circuit::Both { short_proven, .. } => Circuit::Both { short_proven, path_proven: false },
        Circuit::Shorted { proof, .. } => Circuit::Shorted { proof, path },
        Circuit::Broken | Circuit::Unknown => found,
    }
}

fn with_meter(found: Circuit, kind: Kind) -> Circuit {
    match found {
        Circuit::ToMeter { short, .. } => Circuit::ToMeter { carries: false, short },
        Circuit::Shorted { proof, .. } if kind == Kind::None => {
            Circuit::Both { short_proven: proof != ShortProof::None, path_proven: false }
        }
        Circuit::Both { short_proven, .. } => Circuit::Both { short_proven, path_proven: false },
        Circuit::Shorted { proof, .. } => Circuit::Shorted { proof, path: Ready::NotLookedAt },
        Circuit::Broken | Circuit::Unknown => Circuit::Unknown,
    }
}

fn potential(belief: &Belief, pole: PotentialPole, act: Act) -> Option<Belief> {
    let next = match (act, belief.potential(pole)) {
        (Act::ShortPotential(_), _) => Potential::Shorted,
        (Act::OpenPotential(_), Potential::Closed) => Potential::Open,
        (Act::ClosePotential(_), Potential::Open) => Potential::Closed,
        (_, Potential::Unknown | Potential::Shorted) => Potential::Unknown,
        _ => return None,
    };
    let mut after = Belief { jaws_dead: false, ..*belief };
    after.potentials[pole.index()] = next;
    Some(after)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::isolation::{DangerKind, Order, OthersUse, Step, Way};

    const SWITCH: Switch = Switch {
        kind: Kind::SeparateShortingBlade,
        neutral_pole: true,
        out: Order::CurrentsFirst,
        back: Order::PotentialsFirst,
        others_use: OthersUse::Nothing,
    };
    const WHOLE: Belief = Belief {
        currents: [Circuit::ToMeter { carries: true, short: Ready::NotLookedAt }; 3],
        potentials: [Potential::Closed; 4],
        jaws_dead: false,
        meter: Meter::In,
        supply: Supply::Energised,
    };

    #[test]
    fn a_refused_act_that_happened_leaves_danger_and_nothing_to_touch() {
        for (act, wanted) in [
            (Act::OpenMeterPath(Element::B), DangerKind::CtBroken),
            (Act::CloseShort(Element::B), DangerKind::CtUnknown),
            (Act::PullShortingBlade(Element::B), DangerKind::CtUnknown),
            (Act::ShortPotential(PotentialPole::A), DangerKind::VtShorted),
            (Act::MeterOut, DangerKind::CtBroken),
        ] {
            let after = WHOLE.happened(&SWITCH, act);
            assert!(after.dangers(&SWITCH).iter().any(|danger| danger.kind == wanted), "{act:?}");
            let touched = after.accepted_acts(&SWITCH).into_iter().find(|next| {
                (next.element().is_some() && next.element() == act.element())
                    || (next.potential().is_some() && next.potential() == act.potential())
            });
            assert_eq!(touched, None, "after {act:?}");
            assert!(matches!(after.way_back(&SWITCH), Way::StopDeEnergise(_) | Way::Look(_)), "{act:?}");
        }
    }

    #[test]
    fn after_a_restart_every_pole_is_looked_at_again_and_a_broken_one_stays_broken() {
        let broken = WHOLE.happened(&SWITCH, Act::OpenMeterPath(Element::C)).after_restart();
        assert_eq!(broken.current(Element::A), Circuit::Unknown);
        assert_eq!(broken.current(Element::C), Circuit::Broken);
        assert_eq!(broken.way_back(&SWITCH), Way::StopDeEnergise(Pole::Current(Element::C)));
        assert_eq!(WHOLE.after_restart(), Belief::unknown());
    }

    #[test]
    fn every_act_is_found_by_its_stored_names_and_none_of_another_switch_moves_anything() {
        for act in Act::all() {
            assert_eq!(Act::from_codes(act.code(), act.pole_code()), Some(act));
        }
        assert_eq!(Act::from_codes("close_short", "N"), None);
        let refused = WHOLE.apply(&SWITCH, Step::Act(Act::InsertPlug)).unwrap_err();
        assert_eq!((refused.reason, refused.code()), (Reason::NotOnThisSwitch, "not_on_this_switch"));
    }
}
