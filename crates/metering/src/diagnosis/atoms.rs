//! Every mistake that can strike a service, alone and in pairs, with its odds.

use super::cause::{AmpState, Cause, VoltState};
use super::layout::Layout;
use super::priors::{FaultOdds, Priors};

/// Odds of a set of mistakes of one side (voltages or currents): none, one, two, a rare one.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Odds {
    pub none: f64,
    pub single: f64,
    pub double: f64,
    pub odd: f64,
}

/// A set of voltage mistakes.
#[derive(Clone, Copy, Debug)]
pub(super) struct VoltSet {
    pub state: VoltState,
    pub causes: [Option<Cause>; 2],
    pub odds: Odds,
}

/// A set of current mistakes.
#[derive(Clone, Copy, Debug)]
pub(super) struct AmpSet {
    pub state: AmpState,
    pub causes: [Option<Cause>; 2],
    pub odds: Odds,
}

#[derive(Clone, Copy)]
struct Atom {
    cause: Cause,
    single: f64,
    odd: f64,
}

/// All sets of a service, the right wiring first.
pub(super) fn sets(layout: &Layout, priors: &Priors) -> (Vec<VoltSet>, Vec<AmpSet>) {
    let (mut volts, mut amps) = (volt_atoms(layout, priors), amp_atoms(layout, priors));
    let single: f64 = volts.iter().chain(&amps).map(|atom| atom.single).sum::<f64>().max(1e-300);
    let odd: f64 = volts.iter().chain(&amps).map(|atom| atom.odd).sum::<f64>().max(1e-300);
    for atom in volts.iter_mut().chain(&mut amps) {
        atom.single /= single;
        atom.odd /= odd;
    }
    // Two different mistakes: the chance that a pair of draws is of one kind is taken out.
    let alike: f64 = volts.iter().chain(&amps).map(|atom| atom.single * atom.single).sum();
    let pair = 2.0 / (1.0 - alike).max(0.1);
    let volt_sets = combine(&volts, pair).map(|(causes, odds)| {
        let state = causes.iter().flatten().fold(VoltState::RIGHT, |state, cause| state.with(*cause));
        VoltSet { state, causes, odds }
    });
    let amp_sets = combine(&amps, pair).map(|(causes, odds)| {
        let right = AmpState::right(layout);
        let state = causes.iter().flatten().fold(right, |state, cause| state.with(*cause, layout.amps));
        AmpSet { state, causes, odds }
    });
    (volt_sets.collect(), amp_sets.collect())
}

/// The factor of a pair of mistakes of which one is of the voltages and one of the currents.
pub(super) fn mixed_pair(sets: (&[VoltSet], &[AmpSet])) -> f64 {
    let singles = |odds: &Odds| odds.single * odds.single;
    let alike: f64 = sets.0.iter().map(|set| singles(&set.odds)).sum::<f64>()
        + sets.1.iter().map(|set| singles(&set.odds)).sum::<f64>();
    2.0 / (1.0 - alike).max(0.1)
}

fn combine(atoms: &[Atom], pair: f64) -> impl Iterator<Item = ([Option<Cause>; 2], Odds)> {
    let none = std::iter::once(([None; 2], Odds { none: 1.0, ..Odds::default() }));
    let alone = atoms
        .iter()
        .map(|atom| ([Some(atom.cause), None], Odds { single: atom.single, odd: atom.odd, ..Odds::default() }));
    let pairs = atoms.iter().enumerate().flat_map(move |(n, one)| {
        atoms[n + 1..].iter().filter(|two| sensible(one.cause, two.cause)).map(move |two| {
            let odds = Odds { double: pair * one.single * two.single, ..Odds::default() };
            ([Some(one.cause), Some(two.cause)], odds)
        })
    });
    none.chain(alone).chain(pairs).filter(|(_, odds)| odds.none + odds.single + odds.double + odds.odd > 0.0)
}

/// Two levels of one transformer are no pair: the second would hide the first.
fn sensible(one: Cause, two: Cause) -> bool {
    let level = |cause| match cause {
        Cause::CtDead(k) | Cause::CtLow(k) | Cause::CtHigh(k) => Some((0, k)),
        Cause::VtOpen(k) | Cause::VtLow(k) | Cause::VtHigh(k) => Some((1, k)),
        Cause::CtWrongLine(k, _) => Some((2, k)),
        _ => None,
    };
    match (level(one), level(two)) {
        (Some(first), Some(second)) => first != second,
        _ => true,
    }
}

/// Shares a kind of mistake out among the leads it can strike.
fn share(out: &mut Vec<Atom>, single: f64, odd: f64, causes: &[Cause]) {
    if causes.is_empty() || single + odd <= 0.0 {
        return;
    }
    let count = causes.len() as f64;
    out.extend(causes.iter().map(|cause| Atom { cause: *cause, single: single / count, odd: odd / count }));
}

fn pairs(count: usize, make: fn(usize, usize) -> Cause) -> Vec<Cause> {
    (0..count).flat_map(|a| (a + 1..count).map(move |b| make(a, b))).collect()
}

fn each(items: &[usize], make: fn(usize) -> Cause) -> Vec<Cause> {
    items.iter().map(|k| make(*k)).collect()
}

fn amp_atoms(layout: &Layout, priors: &Priors) -> Vec<Atom> {
    let (f, o): (&FaultOdds, &FaultOdds) = (&priors.faults, &priors.odd_faults);
    let all: Vec<usize> = (0..layout.amps).collect();
    let mut out = Vec::new();
    share(&mut out, f.ct_reversed, o.ct_reversed, &each(&all, Cause::CtReversed));
    share(&mut out, f.ct_dead, o.ct_dead, &each(&all, Cause::CtDead));
    share(&mut out, f.ct_swapped, o.ct_swapped, &pairs(layout.amps, Cause::CtSwapped));
    if layout.amps > 2 {
        share(&mut out, f.ct_rotated, o.ct_rotated, &[Cause::CtRotated(true), Cause::CtRotated(false)]);
    }
    let low = (f.ct_ratio_low + f.ct_partial, o.ct_ratio_low + o.ct_partial);
    share(&mut out, low.0, low.1, &each(&all, Cause::CtLow));
    share(&mut out, f.ct_ratio_high, o.ct_ratio_high, &each(&all, Cause::CtHigh));
    let wrong: Vec<Cause> = all
        .iter()
        .flat_map(|ct| (0..layout.lines).map(move |line| (*ct, line)))
        .filter(|(ct, line)| layout.ct_line[*ct] != *line)
        .map(|(ct, line)| Cause::CtWrongLine(ct, line))
        .collect();
    share(&mut out, f.ct_wrong_line, o.ct_wrong_line, &wrong);
    if layout.amps > 1 {
        share(&mut out, f.ct_all_reversed, o.ct_all_reversed, &[Cause::CtAllReversed]);
        share(&mut out, f.ct_short_common, o.ct_short_common, &each(&all, Cause::CtShortCommon));
    }
    out
}

fn volt_atoms(layout: &Layout, priors: &Priors) -> Vec<Atom> {
    let (f, o): (&FaultOdds, &FaultOdds) = (&priors.faults, &priors.odd_faults);
    let transformers: Vec<usize> = if layout.open_delta { vec![0, 2] } else { (0..layout.volts).collect() };
    let leads = if layout.open_delta { 3 } else { layout.volts };
    let all: Vec<usize> = (0..leads).collect();
    let mut out = Vec::new();
    share(&mut out, f.vt_open, o.vt_open, &each(&all, Cause::VtOpen));
    share(&mut out, f.vt_reversed, o.vt_reversed, &each(&transformers, Cause::VtReversed));
    share(&mut out, f.vt_swapped, o.vt_swapped, &pairs(leads, Cause::VtSwapped));
    if leads > 2 {
        share(&mut out, f.vt_rotated, o.vt_rotated, &[Cause::VtRotated(true), Cause::VtRotated(false)]);
    }
    let low = (f.vt_ratio_low + f.vt_partial, o.vt_ratio_low + o.vt_partial);
    share(&mut out, low.0, low.1, &each(&transformers, Cause::VtLow));
    share(&mut out, f.vt_ratio_high, o.vt_ratio_high, &each(&transformers, Cause::VtHigh));
    if !layout.open_delta && layout.lines > 1 {
        let crossed: Vec<Cause> = (0..layout.volts)
            .flat_map(|k| (0..layout.lines).map(move |line| (k, line)))
            .filter(|(k, line)| layout.vt_line[*k] != *line)
            .map(|(k, line)| Cause::VtLineToLine(k, line))
            .collect();
        share(&mut out, f.vt_line_to_line, o.vt_line_to_line, &crossed);
        if layout.volts > 1 {
            share(&mut out, f.vt_neutral_open, o.vt_neutral_open, &[Cause::VtNeutralOpen]);
        }
    }
    out
}
