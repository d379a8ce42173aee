//! Liveness: the way back always ends, at *all restored* or at *stop: de-energise*; in a sound world, at *all restored*;
//! and from *all restored* the whole exchange of a meter can be done.

use super::*;
use std::collections::HashSet;

/// What may be found on the way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum World {
    /// Anything that agrees with the belief.
    Any,
    /// No circuit is broken, no contact bad, no VT shorted, no other feed; kinds stand only where they can.
    Sound,
}

/// A truth that a sound world allows.
fn is_sound(kind: Kind, wires: Wires, meter_in: bool) -> bool {
    let halfway = kind.is_one_motion() && wires.stands() == CircuitSeen::Both;
    wires.conducts(meter_in) && wires.short != Contact::Bad && wires.path != Contact::Bad && !halfway
}

fn worlds(kind: Kind, found: Circuit, meter_in: bool, world: World) -> impl Iterator<Item = Wires> {
    truths(kind, found, meter_in).filter(move |wires| world == World::Any || is_sound(kind, *wires, meter_in))
}

/// Whether such a world can lie behind this belief at all.
fn is_possible(switch: &Switch, belief: &Belief, world: World) -> bool {
    let poles = switch.potential_poles();
    let sound_poles = poles.iter().all(|pole| belief.potential(*pole) != Potential::Shorted);
    let faulty = |circuit: &Circuit| matches!(circuit, Circuit::Shorted { path: Ready::Faulty, .. } | Circuit::Broken);
    let sound = sound_poles && !belief.currents.iter().any(faulty);
    (world == World::Any || sound)
        && meter_truths(belief.meter).iter().any(|meter_in| {
            belief.currents.iter().all(|found| worlds(switch.kind, *found, *meter_in, world).next().is_some())
        })
}

/// Where one step of the way back may lead.
enum Next {
    Ends,
    Leads(Vec<Belief>),
}

/// The outcomes of the next step of the way back, for every truth of that world.
fn outcomes(switch: &Switch, belief: &Belief, world: World) -> Result<Next, String> {
    let seen = |seen: Seen| belief.apply(switch, Step::Seen(seen)).map_err(|refusal| format!("{seen:?}: {refusal}"));
    let meters = meter_truths(belief.meter).iter().copied();
    let possible = |after: &Belief| is_possible(switch, after, world);
    let elements = |element: Element| {
        let found = belief.current(element);
        meters
            .clone()
            .flat_map(move |meter_in| worlds(switch.kind, found, meter_in, world).map(move |wires| (wires, meter_in)))
    };
    let leads: Result<Vec<Belief>, String> = match belief.way_back(switch) {
        Way::Restored => return Ok(Next::Ends),
        Way::StopDeEnergise(pole) if world == World::Sound => Err(format!("stopped at {}", pole.code())),
        Way::StopDeEnergise(_) => {
            let stop = belief.apply(switch, Step::Act(Act::DeEnergise));
            return stop.map(|_| Next::Ends).map_err(|refusal| refusal.to_string());
        }
        Way::Do(act) => {
            belief.apply(switch, Step::Act(act)).map(|after| vec![after]).map_err(|refusal| refusal.to_string())
        }
        Way::Look(Pole::Current(element)) => {
            elements(element).map(|(wires, _)| seen(Seen::Circuit(element, wires.stands()))).collect()
        }
        Way::Look(Pole::Potential(pole)) => {
            let truths = potential_truths(belief.potential(pole)).iter();
            let allowed = truths.filter(|truth| world == World::Any || **truth != PotentialSeen::Shorted);
            allowed.map(|truth| seen(Seen::Potential(pole, *truth))).collect()
        }
        Way::Look(Pole::Meter) => meters.map(|meter_in| seen(Seen::Meter(meter_in))).collect(),
        Way::Look(Pole::Supply) => seen(Seen::Live(true)).map(|after| vec![after]),
        Way::LookAtPath(element) => {
            let sound = [true, false].into_iter().filter(|sound| *sound || world == World::Any);
            sound.map(|sound| seen(Seen::MeterPath(element, sound))).collect()
        }
        Way::Read(element) => {
            let mut leads = Vec::new();
            for (wires, meter_in) in elements(element) {
                match belief.apply(switch, Step::Read(element, wires.read(meter_in, 1.0, 1.0))) {
                    Ok(after) => leads.push(after),
                    Err(refusal) if world == World::Any && refusal.reason.safe_ways().contains(&SafeWay::Outage) => {}
                    Err(refusal) => return Err(refusal.to_string()),
                }
            }
            Ok(leads)
        }
        // Terminals live all the same are refused with an outage among the safe ways.
        Way::TestTerminals => seen(Seen::JawsDead(true)).map(|after| vec![after]),
        Way::Ring(element) => {
            elements(element).map(|(wires, meter_in)| seen(Seen::Loop(element, wires.conducts(meter_in)))).collect()
        }
    };
    Ok(Next::Leads(leads?.into_iter().filter(possible).collect()))
}

/// Numbers beliefs of one switch, so that a walk can mark where it has been.
struct Numbers {
    circuits: Vec<Circuit>,
}

impl Numbers {
    fn count(&self) -> usize {
        self.circuits.len().pow(3) * 256 * 18
    }

    fn of(&self, belief: &Belief) -> usize {
        let place = |circuit: &Circuit| self.circuits.iter().position(|known| known == circuit).unwrap();
        let mut number = belief.currents.iter().fold(0, |number, c| number * self.circuits.len() + place(c));
        number = belief.potentials.iter().fold(number, |number, p| number * 4 + *p as usize);
        ((number * 2 + usize::from(belief.jaws_dead)) * 3 + belief.meter as usize) * 3 + belief.supply as usize
    }
}

const UNSEEN: u8 = 0;
const UNDER_WAY: u8 = 1;
const ENDS: u8 = 2;

/// Follows the way back from `start` along every outcome; fails on a circle.
fn follow(switch: &Switch, world: World, numbers: &Numbers, marks: &mut [u8], start: Belief) -> Result<(), String> {
    let mut path: Vec<(Belief, Vec<Belief>)> = Vec::new();
    let mut enter = Some(start);
    loop {
        if let Some(belief) = enter.take() {
            let number = numbers.of(&belief);
            match marks[number] {
                ENDS => {}
                UNDER_WAY => return Err(format!("a circle through {belief:?}")),
                _ => match outcomes(switch, &belief, world)
                    .map_err(|why| format!("{why} in {belief:?} of {switch:?}"))?
                {
                    Next::Ends => marks[number] = ENDS,
                    Next::Leads(leads) => {
                        marks[number] = UNDER_WAY;
                        path.push((belief, leads));
                    }
                },
            }
        }
        let Some((belief, leads)) = path.last_mut() else { return Ok(()) };
        enter = leads.pop();
        if enter.is_none() {
            marks[numbers.of(belief)] = ENDS;
            path.pop();
        }
    }
}

/// Follows the way back from every belief behind which such a world can lie.
fn follow_from_everywhere(switch: &Switch, world: World, supplies: &[Supply]) -> usize {
    let numbers = Numbers { circuits: circuits(switch.kind) };
    let mut marks = vec![UNSEEN; numbers.count()];
    let potentials = potentials(switch);
    let mut starts = 0;
    for currents in triples(&numbers.circuits, false) {
        for (meter, supply) in METERS.into_iter().flat_map(|meter| supplies.iter().map(move |supply| (meter, *supply)))
        {
            let bare = Belief { currents, meter, supply, ..Belief::unknown() };
            if !is_possible(switch, &bare, World::Any) {
                continue;
            }
            for (potentials, jaws_dead) in &potentials {
                let start = Belief { potentials: *potentials, jaws_dead: *jaws_dead, ..bare };
                if is_possible(switch, &start, world) {
                    starts += 1;
                    follow(switch, world, &numbers, &mut marks, start).unwrap();
                }
            }
        }
    }
    starts
}

/// The order out matters only until the meter is in, the order back only afterwards, and the way back never takes the meter
/// out: so a circle would lie within one of them, and equal orders show both.
fn same_order_switches() -> Vec<Switch> {
    switches().into_iter().filter(|switch| switch.out == switch.back).collect()
}

#[test]
fn the_way_back_ends_restored_or_stopped_from_everywhere() {
    for starts in on_two_threads(&same_order_switches(), |switch| {
        follow_from_everywhere(&switch, World::Any, &[Supply::Energised])
    }) {
        assert!(starts > 1000);
    }
}

#[test]
fn in_a_sound_world_the_way_back_ends_restored() {
    let supplies = [Supply::Energised, Supply::DeEnergised];
    for starts in
        on_two_threads(&same_order_switches(), |switch| follow_from_everywhere(&switch, World::Sound, &supplies))
    {
        assert!(starts > 1000);
    }
}

/// All that can be done, read or seen in a sound and loaded world, from a belief and its one truth.
fn sound_steps(switch: &Switch, belief: &Belief) -> Vec<Belief> {
    let meter_in = belief.meter == Meter::In;
    let mut steps: Vec<Step> = Act::all().filter(|act| !matches!(act, Act::DeEnergise)).map(Step::Act).collect();
    for element in Element::ALL {
        let mut sound = worlds(switch.kind, belief.current(element), meter_in, World::Sound);
        steps.extend(sound.next().map(|wires| Step::Read(element, wires.read(meter_in, 1.0, 1.0))));
        steps.push(Step::Seen(Seen::Short(element, true)));
        steps.push(Step::Seen(Seen::MeterPath(element, true)));
    }
    steps.push(Step::Seen(Seen::JawsDead(true)));
    steps.into_iter().filter_map(|step| belief.apply(switch, step).ok()).collect()
}

#[test]
fn the_whole_exchange_can_be_done_on_every_switch_without_an_outage() {
    for switch in switches() {
        let whole = Circuit::ToMeter { carries: true, short: Ready::NotLookedAt };
        let start = Belief {
            currents: [whole; 3],
            potentials: [Potential::Closed; 4],
            jaws_dead: false,
            meter: Meter::In,
            supply: Supply::Energised,
        };
        let (mut known, mut next) = (HashSet::from([start]), vec![start]);
        while let Some(belief) = next.pop() {
            next.extend(sound_steps(&switch, &belief).into_iter().filter(|after| known.insert(*after)));
        }
        let out = known.iter().find(|belief| belief.meter == Meter::Out);
        assert!(out.is_some_and(|belief| belief.is_live()), "{switch:?}: the meter never comes out");
        // From there the way back leads on to all restored: shown above for every belief of a sound world.
    }
}

#[test]
fn live_work_without_a_switch_is_refused_until_the_cts_are_shorted() {
    let switch = switches().into_iter().find(|switch| switch.kind == Kind::None).unwrap();
    let whole = Circuit::ToMeter { carries: true, short: Ready::NotLookedAt };
    let open = Belief {
        currents: [whole; 3],
        potentials: [Potential::Open; 4],
        jaws_dead: true,
        meter: Meter::In,
        supply: Supply::Energised,
    };
    assert_eq!(open.apply(&switch, Step::Act(Act::MeterOut)).unwrap_err().reason, Reason::NoSwitchLive);
    assert!(!open.accepted_acts(&switch).contains(&Act::MeterOut));
}
