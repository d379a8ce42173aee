//! The proof of the switch: every belief, every truth behind it, every step. This file holds the truth and the enumeration.
//!
//! An element's truth is independent of the other elements', and an act's effect on an element depends on that element and
//! the meter alone. So a pair (belief, truth of the whole) is safe exactly when each (belief, truth of one element) is: the
//! whole product is covered without being multiplied out. Every consistent pair is a start, so what is reachable is no
//! more than what is enumerated as long as no step leaves the set (which `safety` shows).

mod liveness;
mod removal;
mod safety;
mod symmetry;

use super::*;

/// A contact: apart, or together and conducting or not.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Contact {
    Apart,
    Good,
    Bad,
}

const CONTACTS: [Contact; 3] = [Contact::Apart, Contact::Good, Contact::Bad];
const TOGETHER: [Contact; 2] = [Contact::Good, Contact::Bad];

/// The truth of one current element.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Wires {
    short: Contact,
    path: Contact,
}

impl Wires {
    fn conducts(self, meter_in: bool) -> bool {
        self.short == Contact::Good || (self.path == Contact::Good && meter_in)
    }

    fn stands(self) -> CircuitSeen {
        match (self.path != Contact::Apart, self.short != Contact::Apart) {
            (true, false) => CircuitSeen::ToMeter,
            (true, true) => CircuitSeen::Both,
            (false, true) => CircuitSeen::Shorted,
            (false, false) => CircuitSeen::Broken,
        }
    }

    /// What an instrument shows: `load_a` flows when the circuit is closed, a tenth of it beside a good short.
    fn read(self, meter_in: bool, load_a: f64, before_a: f64) -> Proof {
        let path = self.path == Contact::Good && meter_in;
        let (ct_side_a, meter_side_a) = match (self.short == Contact::Good, path) {
            (true, true) => (load_a, load_a / 10.0),
            (true, false) => (load_a, 0.0),
            (false, true) => (load_a, load_a),
            (false, false) => (0.0, 0.0),
        };
        Proof { before_a: Some(before_a), ct_side_a, meter_side_a }
    }
}

/// Every truth of one element, given whether the meter is in.
fn every_wires(kind: Kind, meter_in: bool) -> impl Iterator<Item = Wires> {
    let pairs = CONTACTS.into_iter().flat_map(|short| CONTACTS.into_iter().map(move |path| Wires { short, path }));
    // Without a switch the path is closed exactly while the meter is in.
    pairs.filter(move |wires| kind != Kind::None || (wires.path != Contact::Apart) == meter_in)
}

/// Whether this truth may lie behind this belief.
fn agrees(circuit: Circuit, wires: Wires, meter_in: bool) -> bool {
    let (short, path) = (wires.short == Contact::Good, wires.path == Contact::Good && meter_in);
    match circuit {
        Circuit::ToMeter { carries, .. } => wires.stands() == CircuitSeen::ToMeter && (path || !carries),
        Circuit::Both { short_proven, path_proven } => {
            wires.stands() == CircuitSeen::Both && (short || !short_proven) && (path || !path_proven)
        }
        Circuit::Shorted { proof, .. } => {
            wires.stands() == CircuitSeen::Shorted && (short || proof == ShortProof::None)
        }
        Circuit::Broken | Circuit::Unknown => true,
    }
}

/// The truths of one element that may lie behind a belief.
fn truths(kind: Kind, circuit: Circuit, meter_in: bool) -> impl Iterator<Item = Wires> {
    every_wires(kind, meter_in).filter(move |wires| agrees(circuit, *wires, meter_in))
}

/// Whether a contact that was looked at and found sound may fail all the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Looks {
    Trusted,
    MayDeceive,
}

/// A contact that stays as it is.
fn same(contact: Contact) -> &'static [Contact] {
    match contact {
        Contact::Apart => &[Contact::Apart],
        Contact::Good => &[Contact::Good],
        Contact::Bad => &[Contact::Bad],
    }
}

/// A contact that is closed: from apart it conducts or does not, unless a trusted look found it sound.
fn closing(contact: Contact, sound: bool) -> &'static [Contact] {
    match contact {
        Contact::Apart if sound => &[Contact::Good],
        Contact::Apart => &TOGETHER,
        already => same(already),
    }
}

/// What an act makes of the truth of one element: every short beside every path.
fn acted(
    act: Act,
    element: Element,
    found: Circuit,
    kind: Kind,
    wires: Wires,
    looks: Looks,
) -> impl Iterator<Item = Wires> {
    const APART: &[Contact] = &[Contact::Apart];
    let Wires { short, path } = wires;
    let mine = act.element().is_none_or(|at| at == element);
    let sound = |ready: Ready| ready == Ready::Sound && looks == Looks::Trusted;
    let (shorts, paths) = match act {
        _ if !mine => (same(short), same(path)),
        Act::CloseShort(_) | Act::ShortAtCt(_) => (closing(short, false), same(path)),
        Act::OpenShort(_) | Act::UnshortAtCt(_) => (APART, same(path)),
        Act::OpenMeterPath(_) => (same(short), APART),
        Act::CloseMeterPath(_) => (same(short), closing(path, false)),
        Act::PullShortingBlade(_) | Act::InsertPlug => {
            let ready = if let Circuit::ToMeter { short, .. } = found { short } else { Ready::NotLookedAt };
            let no_jumper = act == Act::InsertPlug && ready == Ready::NotLookedAt;
            (if no_jumper { same(short) } else { closing(short, sound(ready)) }, APART)
        }
        Act::PushShortingBlade(_) | Act::WithdrawPlug => {
            let ready = if let Circuit::Shorted { path, .. } = found { path } else { Ready::NotLookedAt };
            (APART, closing(path, sound(ready)))
        }
        // Only a jumper whose plug is in the block is part of the circuit.
        Act::RemovePlugJumper(_) if path == Contact::Apart => (APART, same(path)),
        Act::MeterOut if kind == Kind::None => (same(short), APART),
        Act::MeterIn if kind == Kind::None || path != Contact::Apart => (same(short), &TOGETHER[..]),
        _ => (same(short), same(path)),
    };
    shorts.iter().flat_map(move |short| paths.iter().map(move |path| Wires { short: *short, path: *path }))
}

/// Every state that an element of this kind can be believed in.
fn circuits(kind: Kind) -> Vec<Circuit> {
    let (shorts, paths): (&[Ready], &[Ready]) = match kind {
        Kind::BladeShortsAsItOpens => {
            (&[Ready::NotLookedAt, Ready::Sound, Ready::Faulty], &[Ready::NotLookedAt, Ready::Sound, Ready::Faulty])
        }
        Kind::PlugInBlock => (
            &[Ready::NotLookedAt, Ready::Fitted, Ready::Sound, Ready::Faulty],
            &[Ready::NotLookedAt, Ready::Sound, Ready::Faulty],
        ),
        _ => (&[Ready::NotLookedAt], &[Ready::NotLookedAt]),
    };
    let mut all = Vec::new();
    for flag in [false, true] {
        all.extend(shorts.iter().map(|short| Circuit::ToMeter { carries: flag, short: *short }));
        all.extend([false, true].map(|path_proven| Circuit::Both { short_proven: flag, path_proven }));
    }
    let proofs = [ShortProof::None, ShortProof::FirstStage, ShortProof::Proven];
    for proof in proofs.into_iter().filter(|proof| *proof != ShortProof::FirstStage || !kind.is_one_motion()) {
        all.extend(paths.iter().map(|path| Circuit::Shorted { proof, path: *path }));
    }
    all.extend([Circuit::Unknown, Circuit::Broken]);
    all
}

const POTENTIALS: [Potential; 4] = [Potential::Open, Potential::Closed, Potential::Shorted, Potential::Unknown];
const METERS: [Meter; 3] = [Meter::In, Meter::Out, Meter::Unknown];
const SUPPLIES: [Supply; 3] = [Supply::Energised, Supply::DeEnergised, Supply::Unknown];

/// Three of `from`: every triple, or every triple up to exchange.
fn triples<T: Copy>(from: &[T], up_to_exchange: bool) -> Vec<[T; 3]> {
    let mut all = Vec::new();
    for (a, first) in from.iter().enumerate() {
        for (b, second) in from.iter().enumerate().skip(if up_to_exchange { a } else { 0 }) {
            let rest = from.iter().skip(if up_to_exchange { b } else { 0 });
            all.extend(rest.map(|third| [*first, *second, *third]));
        }
    }
    all
}

/// Every set of potentials up to exchange of phases, with the terminals tested dead or not.
fn potentials(switch: &Switch) -> Vec<([Potential; 4], bool)> {
    let neutrals: &[Potential] = if switch.neutral_pole { &POTENTIALS } else { &[Potential::Unknown] };
    let mut all = Vec::new();
    for [a, b, c] in triples(&POTENTIALS, true) {
        for n in neutrals {
            let four = [a, b, c, *n];
            all.push((four, false));
            if switch.potential_poles().iter().all(|pole| four[pole.index()] == Potential::Open) {
                all.push((four, true));
            }
        }
    }
    all
}

/// Whether the meter may truly be in, out, or either.
fn meter_truths(meter: Meter) -> &'static [bool] {
    match meter {
        Meter::In => &[true],
        Meter::Out => &[false],
        Meter::Unknown => &[true, false],
    }
}

/// The truths of one potential pole.
fn potential_truths(believed: Potential) -> &'static [PotentialSeen] {
    match believed {
        Potential::Closed => &[PotentialSeen::Closed],
        Potential::Open => &[PotentialSeen::Open],
        Potential::Shorted => &[PotentialSeen::Shorted],
        Potential::Unknown => &PotentialSeen::ALL,
    }
}

/// Every switch: kinds, both orders both ways, with and without a neutral pole.
fn switches() -> Vec<Switch> {
    let mut all = Vec::new();
    for kind in
        [Kind::SeparateShortingBlade, Kind::ScrewsOrLinks, Kind::None, Kind::BladeShortsAsItOpens, Kind::PlugInBlock]
    {
        for neutral_pole in [false, true] {
            for (out, back) in Order::ALL.into_iter().flat_map(|out| Order::ALL.map(|back| (out, back))) {
                all.push(Switch { kind, neutral_pole, out, back, others_use: OthersUse::Nothing });
            }
        }
    }
    all
}

/// Runs `job` on every item on two threads, since the machines that check have at least two cores.
fn on_two_threads<T: Copy + Sync, R: Send>(items: &[T], job: impl Fn(T) -> R + Sync) -> Vec<R> {
    let half = |from: usize| items.iter().skip(from).step_by(2).map(|item| job(*item)).collect::<Vec<R>>();
    std::thread::scope(|scope| {
        let other = scope.spawn(|| half(1));
        let mut done = half(0);
        done.extend(other.join().unwrap());
        done
    })
}
