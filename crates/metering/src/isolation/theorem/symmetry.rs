//! Elements are alike, and so are phases: acceptance and outcome do not change when they are exchanged.

use super::*;

/// Exchanges two elements (or two phases) of a belief.
fn exchanged(belief: &Belief, currents: [usize; 3], phases: [usize; 3]) -> Belief {
    let potentials = belief.potentials;
    Belief {
        currents: currents.map(|at| belief.currents[at]),
        potentials: [potentials[phases[0]], potentials[phases[1]], potentials[phases[2]], potentials[3]],
        ..*belief
    }
}

/// The same act on the exchanged poles. All exchanges used are their own inverse.
fn act_exchanged(act: Act, currents: [usize; 3], phases: [usize; 3]) -> Act {
    let pole = match (act.element(), act.potential()) {
        (Some(element), _) => Element::ALL[currents[element.index()]].code(),
        (_, Some(PotentialPole::N)) => "N",
        (_, Some(pole)) => PotentialPole::ALL[phases[pole.index()]].code(),
        (None, None) => "all",
    };
    Act::from_codes(act.code(), pole).unwrap()
}

fn check(switch: &Switch, acts: &[Act], belief: &Belief) {
    const SAME: [usize; 3] = [0, 1, 2];
    for (currents, phases) in [([1, 0, 2], SAME), ([0, 2, 1], SAME), (SAME, [1, 0, 2]), (SAME, [0, 2, 1])] {
        let other = exchanged(belief, currents, phases);
        for act in acts.iter().copied() {
            let here = belief.apply(switch, Step::Act(act)).ok();
            let there = other.apply(switch, Step::Act(act_exchanged(act, currents, phases))).ok();
            assert_eq!(here.map(|after| exchanged(&after, currents, phases)), there, "{belief:?} {act:?}");
        }
    }
}

/// The two exchanges of neighbours make every order of three.
#[test]
fn elements_and_phases_are_alike() {
    let all: Vec<Switch> = switches()
        .into_iter()
        .filter(|switch| switch.neutral_pole && switch.out != switch.back && switch.out == Order::CurrentsFirst)
        .collect();
    on_two_threads(&all, |switch| {
        let circuits = circuits(switch.kind);
        let acts = safety::acts_of(&switch);
        let fours = potentials(&switch);
        // Every ordered triple of elements, beside potentials and meter that let most through; then the reverse.
        // The supply chooses whether the guards are asked at all, for every pole alike.
        for currents in triples(&circuits, false) {
            for (potential, jaws_dead) in [(Potential::Closed, false), (Potential::Open, true)] {
                let potentials = [potential; 4];
                check(
                    &switch,
                    &acts,
                    &Belief { currents, potentials, jaws_dead, meter: Meter::In, supply: Supply::Energised },
                );
            }
        }
        for circuit in &circuits {
            for (meter, (four, jaws_dead)) in METERS.into_iter().flat_map(|meter| fours.iter().map(move |f| (meter, f)))
            {
                let orders = [[0, 1, 2], [1, 0, 2], [2, 0, 1]];
                for order in orders {
                    let belief = Belief {
                        currents: [*circuit; 3],
                        potentials: four.to_owned(),
                        jaws_dead: *jaws_dead,
                        meter,
                        supply: Supply::Energised,
                    };
                    check(&switch, &acts, &exchanged(&belief, [0, 1, 2], order));
                }
            }
        }
    });
}
