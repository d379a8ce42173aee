//! What hands do next at the switch: from the step in hand and the belief, one act, one reading or one look at a time.
//!
//! Toward the swap the order is the visit's; back again it is the way back that `metering::isolation` proves. Every act named
//! here is judged again when it is pressed.

use crate::replay::{CurrentStands, ElementTrack, PotentialStands, Replay};
use crate::standing::{Standing, State};
use metering::isolation::{
    Act, Belief, Circuit, Element, Kind, Pole, PotentialPole, Ready, ShortProof, Step, Switch, Way,
};

/// The next thing at the switch.
#[derive(Clone, Debug, PartialEq)]
pub enum Work {
    /// The switch is not described yet.
    Describe,
    /// Look where these poles stand; the full names of [`crate::replay`], such as `current.A`.
    Look(Vec<&'static str>),
    /// Do these, one after the other, in this order; a single one, or a row that one step-back may report.
    Do(Vec<Act>),
    /// Read both sides of this element to prove its short, at this stage.
    Prove {
        /// `A`, `B` or `C`.
        element: &'static str,
        /// Stage, as stored.
        stage: &'static str,
    },
    /// Read both sides of this element to see the current back on the meter.
    SeeBack(&'static str),
    /// Nothing at the switch: what is missing is in the fields of the step.
    Fields,
    /// Stop: the only safe way is to take the supply off. The pole is the reason.
    DeEnergise(&'static str),
}

/// What comes next at the switch in this step.
pub fn work(standing: &Standing, step: &str) -> Work {
    let replay = &standing.replay;
    let Some(switch) = replay.switch else { return Work::Describe };
    let looks = to_look(replay);
    if let Some(Way::StopDeEnergise(pole)) = replay.way_back() {
        return Work::DeEnergise(pole.code());
    }
    if !looks.is_empty() {
        return Work::Look(looks);
    }
    match step {
        "short_currents" => shorting(replay, &switch),
        "open_potentials" => potentials(replay, PotentialStands::ToMeter, Act::OpenPotential),
        "swap_meter" => swap(standing, replay),
        "close_potentials" => closing(replay, &switch),
        "restore_currents" => way(replay, |_| true),
        _ => Work::Fields,
    }
}

/// Poles that nobody knows, or that must be looked at again after the program started again.
fn to_look(replay: &Replay) -> Vec<&'static str> {
    let currents = replay
        .elements
        .iter()
        .filter(|track| matches!(track.stands, CurrentStands::Unknown | CurrentStands::LookAgain));
    let potentials = replay
        .potentials
        .iter()
        .filter(|track| matches!(track.stands, PotentialStands::Unknown | PotentialStands::LookAgain));
    currents.map(|track| track.name).chain(potentials.map(|track| track.name)).collect()
}

/// The element of a track.
fn element_of(track: &ElementTrack) -> Option<Element> {
    Element::from_code(track.element)
}

/// Toward the swap: short, prove, part, prove, one element after the other.
fn shorting(replay: &Replay, switch: &Switch) -> Work {
    if switch.kind == Kind::PlugInBlock {
        return plug(replay);
    }
    for track in &replay.elements {
        let Some(element) = element_of(track) else { continue };
        let next = match (switch.kind, track.stands) {
            (_, CurrentStands::Shorted) if track.proven => continue,
            (Kind::BladeShortsAsItOpens, CurrentStands::ToMeter) => one_pull(&replay.belief, track.name, element),
            (Kind::BladeShortsAsItOpens, _) => Work::Prove { element: track.element, stage: "one_pull" },
            (Kind::None, CurrentStands::ToMeter) => Work::Do(vec![Act::ShortAtCt(element)]),
            (Kind::None, CurrentStands::ShortedBoth) if track.short_read_at.is_some() => continue,
            (_, CurrentStands::ToMeter) => Work::Do(vec![Act::CloseShort(element)]),
            (_, CurrentStands::ShortedBoth) if track.short_read_at.is_none() => {
                Work::Prove { element: track.element, stage: "short_closed" }
            }
            (_, CurrentStands::ShortedBoth) => Work::Do(vec![Act::OpenMeterPath(element)]),
            (_, _) => Work::Prove { element: track.element, stage: "meter_side_open" },
        };
        return next;
    }
    Work::Fields
}

/// A blade that shorts as it opens is looked at before it is pulled: its clip is what the motion relies on.
fn one_pull(belief: &Belief, name: &'static str, element: Element) -> Work {
    match belief.current(element) {
        Circuit::ToMeter { short: Ready::Sound, .. } => Work::Do(vec![Act::PullShortingBlade(element)]),
        _ => Work::Look(vec![name]),
    }
}

/// The plug: jumpers on, looked at, plug in, every short proven.
fn plug(replay: &Replay) -> Work {
    let short = |track: &ElementTrack| match element_of(track).map(|element| replay.belief.current(element)) {
        Some(Circuit::ToMeter { short, .. }) => Some(short),
        _ => None,
    };
    let missing: Vec<Act> = replay
        .elements
        .iter()
        .filter(|track| short(track) == Some(Ready::NotLookedAt))
        .filter_map(|track| element_of(track).map(Act::FitPlugJumper))
        .collect();
    if !missing.is_empty() {
        return Work::Do(missing);
    }
    let unchecked: Vec<&'static str> = replay
        .elements
        .iter()
        .filter(|track| matches!(short(track), Some(Ready::Fitted | Ready::Faulty)))
        .map(|track| track.name)
        .collect();
    if !unchecked.is_empty() {
        return Work::Look(unchecked);
    }
    if replay.elements.iter().any(|track| track.stands == CurrentStands::ToMeter) {
        return Work::Do(vec![Act::InsertPlug]);
    }
    let unproven = replay.elements.iter().find(|track| !track.proven);
    unproven.map_or(Work::Fields, |track| Work::Prove { element: track.element, stage: "one_pull" })
}

/// All potential poles that stand as `now`, as one row, the neutral last.
fn potentials(replay: &Replay, now: PotentialStands, act: fn(PotentialPole) -> Act) -> Work {
    let standing = replay.potentials.iter().filter(|track| track.stands == now);
    let poles: Vec<Act> = standing.filter_map(|track| PotentialPole::from_code(track.pole).map(act)).collect();
    if poles.is_empty() { Work::Fields } else { Work::Do(poles) }
}

/// The outgoing meter out, its condition written down, the incoming meter in.
fn swap(standing: &Standing, replay: &Replay) -> Work {
    if replay.meter_out_at.is_none() {
        return Work::Do(vec![Act::MeterOut]);
    }
    if replay.has_no_switch() && replay.meter_is_out {
        // The meter itself was what parted the circuits: only now can the second stage be read.
        let proven = |track: &&ElementTrack| {
            let circuit = element_of(track).map(|element| replay.belief.current(element));
            matches!(circuit, Some(Circuit::Shorted { proof: ShortProof::Proven, .. }))
        };
        if let Some(track) = replay.elements.iter().find(|track| !proven(track)) {
            return Work::Prove { element: track.element, stage: "meter_side_open" };
        }
    }
    let asked = standing
        .step("swap_meter")
        .is_some_and(|step| step.state != State::Ahead && step.missing().any(|want| want.code == "condition"));
    if replay.meter_is_out && !asked { Work::Do(vec![Act::MeterIn]) } else { Work::Fields }
}

/// Back toward all restored, as far as this step takes it.
fn way(replay: &Replay, in_step: fn(Act) -> bool) -> Work {
    match replay.way_back() {
        Some(Way::Do(act)) if in_step(act) => Work::Do(vec![act]),
        Some(Way::Do(_) | Way::Restored | Way::TestTerminals | Way::Ring(_)) | None => Work::Fields,
        Some(Way::Read(element)) if in_step(Act::OpenShort(element)) => Work::SeeBack(element.code()),
        Some(Way::Look(pole)) => Work::Look(vec![pole.code()]),
        Some(Way::LookAtPath(element)) if in_step(Act::OpenShort(element)) => {
            Work::Look(paths_to_look_at(replay, element))
        }
        Some(Way::Read(_) | Way::LookAtPath(_)) => Work::Fields,
        Some(Way::StopDeEnergise(pole)) => Work::DeEnergise(pole.code()),
    }
}

/// Every meter path that has not been looked at since the meter moved: one look serves them all.
fn paths_to_look_at(replay: &Replay, first: Element) -> Vec<&'static str> {
    let unseen = |element: &Element| matches!(replay.belief.current(*element), Circuit::Shorted { path, .. } if path != Ready::Sound);
    let others = Element::ALL.into_iter().filter(|element| *element != first).filter(unseen);
    [first].into_iter().chain(others).map(|element| Pole::Current(element).code()).collect()
}

/// Potentials back as one row, neutral first, as far as each is safe after those before it; else what the way back asks for.
fn closing(replay: &Replay, switch: &Switch) -> Work {
    let mut belief = replay.belief;
    let mut row = Vec::new();
    for pole in [PotentialPole::N, PotentialPole::A, PotentialPole::B, PotentialPole::C] {
        let act = Act::ClosePotential(pole);
        if let Ok(next) = belief.apply(switch, Step::Act(act)) {
            belief = next;
            row.push(act);
        }
    }
    if !row.is_empty() {
        return Work::Do(row);
    }
    match replay.potentials.iter().any(|track| track.stands == PotentialStands::Up) {
        true => way(replay, |act| matches!(act, Act::ClosePotential(_))),
        false => Work::Fields,
    }
}
