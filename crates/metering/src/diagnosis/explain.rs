//! The answer: hypotheses that no reading tells apart made one explanation, ranked, with what each registers; a verdict.

use super::amps::{self, shared_pair};
use super::cause::{Cause, Level};
use super::check::{self, Check};
use super::evidence::{Evidence, GRID, STEP_DEGREES};
use super::infer::{Hypothesis, Inference, Posterior};
use super::layout::{Layout, MOST};
use super::priors::Priors;
use super::visit::{Adding, Visit};
use super::watts;
use crate::phasor::Phasor;
use crate::service::Sequence;

/// Correct wiring with this chance or less is called wrong. Measured on the simulated visits: 1 of 802 right ones is called
/// wrong, and 93 % of those wrong ones are found whose cause can be identified.
pub const WRONG_BELOW: f64 = 0.01;
/// Correct wiring with this chance or more is called consistent. Measured on the simulated visits: 78 % of the healthy sites
/// at 0.75, 70 % at 0.80; of the wrong ones whose cause can be identified none passes at either.
pub const CONSISTENT_ABOVE: f64 = 0.75;
/// Of that, wiring and reading both right must have this chance. Measured on the visits with slips: at 0.6, 4 % of the wrong
/// ones pass, at 0 it is 9 %.
pub const CLEAN_ABOVE: f64 = 0.60;
/// Currents all below this say nothing by their angles, in amperes.
pub const SMALL_LOAD_AMPS: f64 = 0.05;
/// Explanations with less than this are not told.
const LEAST_TOLD: f64 = 1e-4;

/// What is said of the wiring.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// With correct wiring.
    Consistent,
    /// The wiring is wrong.
    Wrong,
    /// The readings leave it open; see the next check.
    Undecided,
    /// Too little was read.
    NotEnoughReadings,
    /// The load is too small to tell.
    LoadTooSmall,
    /// Even the best explanation explains badly.
    UnlikeAnything,
}

/// One explanation.
#[derive(Clone, Debug, PartialEq)]
pub struct Explanation {
    /// The likeliest set of mistakes; none is correct wiring. A slip stands last.
    pub causes: Vec<Cause>,
    /// Other sets that no reading can tell from it.
    pub also: Vec<Vec<Cause>>,
    /// Its chance.
    pub chance: f64,
    /// Energy registered ÷ true energy, signed, at this load; `None` where the true energy is about 0.
    pub registration: Option<f64>,
    /// The sequence it assumes.
    pub rotation: Sequence,
    /// Common load angle in degrees, lagging positive.
    pub load_angle_degrees: f64,
    /// Best factor of a current transformer that gives too little or too much.
    pub ct_factor: Option<f64>,
    /// The same of a voltage transformer.
    pub vt_factor: Option<f64>,
    /// For each current transformer, were it shorted: 0 nothing vanishes; else 1 + 2 × the channel that does, and 1 more
    /// where the net watts would fall.
    pub when_shorted: [usize; MOST],
}

/// The answer to a visit.
#[derive(Clone, Debug, PartialEq)]
pub struct Diagnosis {
    /// The verdict.
    pub verdict: Verdict,
    /// Ranked by chance.
    pub explanations: Vec<Explanation>,
    /// Chance that the wiring is right, slips of the hand or not.
    pub wiring_right: f64,
    /// What to check next, the best first.
    pub checks: Vec<Check>,
    /// Name of the priors used.
    pub priors: &'static str,
}

/// Explains a visit; `None` for a service with more channels than are handled here.
pub fn diagnose(visit: &Visit, priors: &Priors) -> Option<Diagnosis> {
    let layout = Layout::of(visit.service)?;
    let inference = Inference::new(layout, priors);
    let posterior = inference.weigh(visit);
    let mut explanations = Vec::new();
    let mut wiring_right = 0.0;
    for group in posterior.hypotheses.chunk_by(|a, b| a.key == b.key) {
        let chance: f64 = group.iter().map(|one| one.weight).sum();
        let Some(best) = group.first() else { continue };
        let explanation = explain(&inference, visit, &posterior, group, best, chance);
        let right = |causes: &[Cause]| causes.iter().all(|cause| cause.is_slip());
        if right(&explanation.causes) || explanation.also.iter().any(|causes| right(causes)) {
            wiring_right += chance;
        }
        if chance >= LEAST_TOLD {
            explanations.push(explanation);
        }
    }
    explanations.sort_by(|a, b| b.chance.total_cmp(&a.chance));
    let verdict = verdict(visit, &inference, &explanations, wiring_right);
    let checks = check::checks(visit, inference.layout.amps, &explanations);
    Some(Diagnosis { verdict, explanations, wiring_right, checks, priors: priors.name })
}

fn verdict(visit: &Visit, inference: &Inference, explanations: &[Explanation], right: f64) -> Verdict {
    let layout = &inference.layout;
    let r = &visit.readings;
    let angles = (0..layout.amps).filter(|e| r.amps[*e].degrees.is_some()).count();
    let sizes: Vec<f64> = (0..layout.amps).filter_map(|e| r.amps[e].size).collect();
    if explanations.is_empty() {
        return Verdict::NotEnoughReadings;
    }
    if right <= WRONG_BELOW {
        return Verdict::Wrong;
    }
    let clean: f64 = explanations.iter().filter(|one| slip_free(one)).map(|one| one.chance).sum();
    // Readings that a slip has probably spoilt are taken again before anything is called in order.
    if right >= CONSISTENT_ABOVE && clean >= CLEAN_ABOVE {
        return Verdict::Consistent;
    }
    if !sizes.is_empty() && sizes.iter().all(|size| *size < SMALL_LOAD_AMPS) {
        return Verdict::LoadTooSmall;
    }
    if angles < layout.amps && r.element_watts.iter().all(Option::is_none) {
        return Verdict::NotEnoughReadings;
    }
    Verdict::Undecided
}

/// Whether an explanation, or one that reads alike, needs no mistake of wiring or hand.
fn slip_free(one: &Explanation) -> bool {
    one.causes.is_empty() || one.also.iter().any(Vec::is_empty)
}

fn causes_of(inference: &Inference, one: &Hypothesis) -> Vec<Cause> {
    let volt = inference.volts[one.volt].causes;
    let amp = inference.amps[one.amp].causes;
    let slip = inference.slips.get(one.slip).copied().flatten();
    volt.into_iter().chain(amp).flatten().chain(slip).collect()
}

fn explain(
    inference: &Inference,
    visit: &Visit,
    posterior: &Posterior,
    group: &[Hypothesis],
    best: &Hypothesis,
    chance: f64,
) -> Explanation {
    let causes = causes_of(inference, best);
    let mut also: Vec<Vec<Cause>> = Vec::new();
    for one in group.iter().skip(1).take(12) {
        let other = causes_of(inference, one);
        if other != causes && !also.contains(&other) && one.sequence == best.sequence {
            also.push(other);
        }
    }
    let mut explanation = Explanation {
        causes,
        also,
        chance,
        registration: None,
        rotation: best.sequence,
        load_angle_degrees: 0.0,
        ct_factor: None,
        vt_factor: None,
        when_shorted: [0; MOST],
    };
    if chance >= LEAST_TOLD
        && let Some(seen) = posterior.evidence.get(best.slip).and_then(Option::as_ref)
    {
        measure(inference, visit, seen, &posterior.load, best, &mut explanation);
    }
    explanation
}

/// Load angle and registration of a hypothesis, from the readings where there are any.
fn measure(
    inference: &Inference,
    visit: &Visit,
    seen: &Evidence,
    load: &[f64; GRID],
    one: &Hypothesis,
    out: &mut Explanation,
) {
    let layout = &inference.layout;
    let Some(step) = inference.reference_step(one.volt, one.sequence, seen) else { return };
    let states = &inference.channels[one.amp];
    let directions = amps::directions(layout, states, one.sequence, Some(step));
    let mut weights = amps::AmpFits::new().angle_weights(directions, shared_pair(layout, states), seen, load);
    watts::weigh_angles(inference, visit, seen, one, directions, &mut weights);
    let (mut re, mut im) = (0.0, 0.0);
    for (k, weight) in weights.iter().enumerate() {
        let angle = (STEP_DEGREES * k as f64).to_radians();
        re += weight * libm::cos(angle);
        im += weight * libm::sin(angle);
    }
    out.load_angle_degrees = libm::atan2(im, re).to_degrees();
    let fit = inference.volt_fit(one, seen).best;
    let sizes = watts::sizes(inference, one, seen);
    let at = watts::at_meter(inference, one, seen, &fit.volts, directions, sizes, out.load_angle_degrees);
    let factors = factors(inference, one, seen, sizes);
    for e in 0..layout.amps {
        let watts: f64 = at.watts.iter().map(|channels| channels[e]).sum();
        if states[e].level != Level::Dead {
            out.when_shorted[inference.amps[one.amp].state.from[e]] = 1 + 2 * e + usize::from(watts > 0.0);
        }
    }
    out.vt_factor = fit.factor;
    out.ct_factor =
        states.iter().zip(factors).find(|(s, _)| matches!(s.level, Level::Low | Level::High)).map(|(_, f)| f);
    let lines = lines(inference, one, &at, directions, step, factors, out.load_angle_degrees);
    let level = level(inference, seen, &fit.volts);
    let mut truth = 0.0;
    for (l, current) in lines.iter().enumerate().take(layout.lines) {
        let power = Layout::turned(layout.line[l], one.sequence) * level * seen.nominal * current.conj();
        truth += power.re();
    }
    let elements = at.watts.map(|channels| channels.iter().sum::<f64>());
    let whole = (0..layout.amps).all(|e| seen.amps[e].size.is_some() && seen.amps[e].degrees.is_some());
    // What the meter shows is what it registers; the phasors say it only where all were read.
    let shown = visit.readings.display.watts.or_else(|| {
        let shown = &visit.readings.element_watts[..layout.elements];
        let net = visit.adding == Some(Adding::Net) && shown.iter().all(Option::is_some);
        net.then(|| shown.iter().flatten().sum())
    });
    let registered: f64 = match visit.adding {
        _ if !whole && shown.is_some() => shown.unwrap_or(0.0),
        Some(Adding::Absolute) => elements.iter().map(|watts| watts.abs()).sum(),
        Some(Adding::PositiveOnly) => elements.iter().map(|watts| watts.max(0.0)).sum(),
        _ => elements.iter().sum(),
    };
    let apparent: f64 = lines.iter().map(|current| current.magnitude()).sum::<f64>() * seen.nominal * 0.01;
    if truth.abs() > apparent && truth.is_finite() && registered.is_finite() {
        out.registration = Some(registered / truth);
    }
}

/// The voltage at the site per unit, by the channels that a hypothesis calls sound.
fn level(inference: &Inference, seen: &Evidence, volts: &[Phasor; MOST]) -> f64 {
    let (mut sum, mut count) = (0.0, 0.0);
    for (read, predicted) in seen.volts.iter().zip(volts).take(inference.layout.volts) {
        if let Some(size) = read.size.filter(|_| predicted.magnitude() > 0.05 && !seen.line_to_line) {
            let part = size / predicted.magnitude();
            if (0.8..1.25).contains(&part) {
                sum += part;
                count += 1.0;
            }
        }
    }
    if count > 0.0 { sum / count } else { 1.0 }
}

/// What each channel's current is of the one it should be.
fn factors(inference: &Inference, one: &Hypothesis, seen: &Evidence, sizes: [(f64, f64); MOST]) -> [f64; MOST] {
    let states = &inference.channels[one.amp];
    let (mut sum, mut count) = (0.0, 0.0);
    for e in 0..inference.layout.amps {
        if states[e].level == Level::Normal && seen.amps[e].size.is_some() {
            sum += libm::log(sizes[e].0.max(0.002));
            count += 1.0;
        }
    }
    std::array::from_fn(|e| {
        let raw = if count > 0.0 { libm::log(sizes[e].0.max(0.002)) - sum / count } else { f64::NAN };
        amps::factor(states[e].level, raw)
    })
}

/// True line currents, rebuilt from what the channels read; lines that no channel reads follow the load.
fn lines(
    inference: &Inference,
    one: &Hypothesis,
    at: &watts::AtMeter,
    directions: [usize; MOST],
    step: i8,
    factors: [f64; MOST],
    load_degrees: f64,
) -> [Phasor; MOST] {
    let layout = &inference.layout;
    let states = &inference.channels[one.amp];
    let frame = 30.0 * f64::from(step);
    let polar = |size: f64, degrees: f64| {
        let radians = degrees.to_radians();
        Phasor::literal(size * libm::cos(radians), size * libm::sin(radians))
    };
    let mut found: [Option<Phasor>; MOST] = [None; MOST];
    let (mut sum, mut count) = (0.0, 0.0);
    for e in 0..layout.amps {
        if matches!(states[e].level, Level::Dead | Level::Residual) || directions[e] == amps::NOWHERE {
            continue;
        }
        let size = at.amps[e] / factors[e];
        let turn = if states[e].reversed { 180.0 } else { 0.0 };
        found[states[e].line] = Some(polar(size, at.amp_degrees[e] + frame + turn));
        sum += libm::log(size.max(1e-3)) - layout.lift[states[e].line];
        count += 1.0;
    }
    let typical = if count > 0.0 { libm::exp(sum / count) } else { 1.0 };
    let predicted = |l: usize| {
        let lean = if one.sequence == Sequence::Cba { -layout.lean[l] } else { layout.lean[l] };
        let degrees = 30.0 * f64::from(layout.line_step(l, one.sequence)) + 10.0 * f64::from(lean) - load_degrees;
        polar(typical * libm::exp(layout.lift[l]), degrees)
    };
    let mut out: [Phasor; MOST] = std::array::from_fn(|l| found[l].unwrap_or_else(|| predicted(l)));
    if layout.open_delta {
        // Three wires: the three currents have no sum.
        let third = (0..3).find(|l| !layout.ct_line[..2].contains(l)).unwrap_or(1);
        match (0..3).find(|l| *l != third && found[*l].is_none() && found[third].is_some()) {
            Some(missing) => out[missing] = -(out[(missing + 1) % 3] + out[(missing + 2) % 3]),
            None => out[third] = -(out[(third + 1) % 3] + out[(third + 2) % 3]),
        }
    }
    out
}
