//! The next best check: what separates the explanations most for its effort, within what may safely be done here.

use super::cause::Cause;
use super::explain::Explanation;
use super::layout::MOST;
use super::slips::spoilt_channel;
use super::visit::Visit;

/// Something that a person can do next. Transformers and channels counted from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CheckKind {
    /// Turn the clamp to its mark, on one lead only, and read this channel again.
    RepeatClamp(usize),
    /// Prove the reference clips and read every voltage and angle again.
    RepeatClip,
    /// Read the meter's own volts, amperes, watts and vars of each element.
    ReadDisplay,
    /// Ask whether there is generation on the site.
    AskGeneration,
    /// Look up how the meter adds its elements.
    AskAdding,
    /// Short this transformer at its own block and see what vanishes.
    ShortCt(usize),
    /// Possibly an open current circuit: nothing more on it before the line is dead.
    Deenergise(usize),
}

/// A check with what it is expected to tell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Check {
    /// What to do.
    pub kind: CheckKind,
    /// Expected information about which explanation holds, in bits; never negative.
    pub gain_bits: f64,
}

/// A current below this, or below 5 % of the largest, beside [`LOADED_AMPS`] elsewhere, may be an open circuit.
const ZERO_AMPS: f64 = 0.025;
const ZERO_PART: f64 = 0.055;
/// A current that shows that the line carries load.
const LOADED_AMPS: f64 = 0.18;
/// A check that tells less than this is not worth its while.
const LEAST_BITS: f64 = 0.02;
/// From this chance of a slip on, the spoilt reading comes before every other check.
const SPOILT_FIRST: f64 = 0.05;
/// Ranks above any information.
const FIRST: f64 = 10.0;
/// How often a meter has a display of its own phasors (half of the simulated visits).
const DISPLAY_THERE: f64 = 0.5;

/// Channels that may be an open current circuit: nobody touches them until the line is dead.
pub fn possibly_open(visit: &Visit) -> [bool; MOST] {
    let size = |e: usize| visit.readings.amps[e].size.filter(|size| size.is_finite());
    let most = (0..MOST).filter_map(size).fold(0.0, f64::max);
    std::array::from_fn(|e| {
        size(e).is_some_and(|size| most >= LOADED_AMPS && (size < ZERO_AMPS || size < ZERO_PART * most))
    })
}

/// Every check worth doing, the best for its effort first.
///
/// A reading that was likely spoilt is repeated before anything else: it must be right in the record whatever the wiring is.
pub(super) fn checks(visit: &Visit, amps: usize, explanations: &[Explanation]) -> Vec<Check> {
    let open = possibly_open(visit);
    let any_open = open.iter().any(|one| *one);
    let fresh = &visit.readings.repeated;
    let told = !visit.readings.own.iter().any(|own| own.watts.is_some() || own.amps.is_some()) && !fresh.display;
    let mut out: Vec<(f64, Check)> = Vec::new();
    let mut offer = |kind: CheckKind, gain_bits: f64, worth: f64| {
        if worth > LEAST_BITS {
            out.push((worth, Check { kind, gain_bits }));
        }
    };
    let place = |one: &Explanation| slip_of(one).map(|slip| spoilt_channel(slip).unwrap_or(MOST));
    let chance =
        |at: usize| -> f64 { explanations.iter().filter(|one| place(one) == Some(at)).map(|one| one.chance).sum() };
    let spoilt: f64 = (0..=MOST).map(chance).sum();
    // One likely place is repeated; where it may be any of several, the meter's own display answers for all at once.
    let repeat_worth = |at: usize, gain: f64| {
        let own = chance(at);
        if spoilt >= SPOILT_FIRST && own >= 0.55 * spoilt { FIRST + own } else { gain }
    };
    for e in 0..amps {
        if !fresh.amps[e] && !open[e] {
            let gain = split(explanations, |one| usize::from(place(one) == Some(e)));
            offer(CheckKind::RepeatClamp(e), gain, repeat_worth(e, gain));
        }
    }
    if !fresh.volts {
        let gain = split(explanations, |one| usize::from(place(one) == Some(MOST)));
        offer(CheckKind::RepeatClip, gain, repeat_worth(MOST, gain));
    }
    if told {
        let gain = DISPLAY_THERE * split(explanations, |one| place(one).map_or(0, |at| 1 + at));
        // In front of a circuit that may be open, the display is the only reading that needs no hand on it.
        let worth = if spoilt >= SPOILT_FIRST || any_open && gain > LEAST_BITS { FIRST + 0.5 * spoilt } else { gain };
        offer(CheckKind::ReadDisplay, gain, worth);
    }
    if visit.told.generation.is_none() {
        let gain = split(explanations, |one| usize::from(one.load_angle_degrees.abs() > 100.0));
        offer(CheckKind::AskGeneration, gain, 2.0 * gain);
    }
    if !any_open && visit.readings.tests.is_empty() {
        for k in 0..amps {
            let gain = split(explanations, |one| one.when_shorted[k]);
            offer(CheckKind::ShortCt(k), gain, 0.25 * gain);
        }
    }
    out.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut ranked: Vec<Check> = out.into_iter().map(|(_, check)| check).collect();
    if let Some(e) = open.iter().position(|one| *one)
        && ranked.is_empty()
    {
        ranked.push(Check { kind: CheckKind::Deenergise(e), gain_bits: 0.0 });
    }
    ranked
}

fn slip_of(one: &Explanation) -> Option<Cause> {
    one.causes.iter().copied().find(|cause| cause.is_slip())
}

/// Entropy of what a check shows, in bits: as its outcome follows from the explanation, this is what it tells.
pub(super) fn split(explanations: &[Explanation], outcome: impl Fn(&Explanation) -> usize) -> f64 {
    let mut chances = [0.0; 16];
    let mut sum = 0.0;
    for one in explanations {
        if let Some(chance) = chances.get_mut(outcome(one).min(15)) {
            *chance += one.chance;
            sum += one.chance;
        }
    }
    let bits = |chance: &f64| if *chance > 0.0 { -chance / sum * libm::log2(chance / sum) } else { 0.0 };
    chances.iter().map(bits).sum::<f64>().max(0.0)
}
