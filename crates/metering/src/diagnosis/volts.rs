//! How well a set of voltage mistakes explains the voltages.

use super::cause::{Level, VoltState};
use super::evidence::{BLUNDER, Evidence, normal, wrap};
use super::layout::{Layout, MOST};
use crate::phasor::Phasor;
use crate::service::Sequence;

/// Spread of the common voltage about nominal, of each phase about it, and what an instrument adds, as parts of one.
const LEVEL_SPREAD: f64 = 0.0215;
const PHASE_SPREAD: f64 = 0.0135;
/// Spread of a voltage's own angle, in degrees.
const ANGLE_SPREAD: f64 = 0.45;
/// Spread of what is left on a dead voltage, in volts.
const DEAD_VOLTS: f64 = 0.68;
/// Below this part of nominal a predicted voltage is dead.
const DEAD_BELOW: f64 = 0.02;

/// Factors of a transformer that gives too little: weight, factor, spread of its logarithm. Partial voltages spread evenly
/// between 0.3 and 0.93; wrong taps are 1/2 and 1/√3.
const LOW: [(f64, f64, f64); 7] = [
    (0.15, 0.363, 0.10),
    (0.15, 0.489, 0.075),
    (0.15, 0.615, 0.059),
    (0.15, 0.741, 0.049),
    (0.15, 0.867, 0.042),
    (0.125, 0.5, 0.0),
    (0.125, 0.577_350_269_189_625_8, 0.0),
];
/// Too much: √3 and 2.
const HIGH: [(f64, f64, f64); 2] = [(0.5, 1.732_050_807_568_877_2, 0.0), (0.5, 2.0, 0.0)];
const NORMAL: [(f64, f64, f64); 1] = [(1.0, 1.0, 0.0)];
/// How an open common lead or a lost neutral shares out the voltage: weight, share of the first coil, spread.
const SHARES: [(f64, f64); 5] = [(0.06, 0.3), (0.24, 0.4), (0.4, 0.5), (0.24, 0.6), (0.06, 0.7)];
const SHARE_SPREAD: f64 = 0.06;
/// Admittances of coils whose neutral is lost: weight and multiple (log-normal, spread 0.45).
const COILS: [(f64, f64); 3] = [(0.3, 0.55), (0.4, 1.0), (0.3, 1.8)];
const COIL_SPREAD: f64 = 0.12;
const COIL_DEGREES: f64 = 7.0;

/// Channel phasors that a wiring predicts, per unit, in the frame of the lines, with how far they may be off.
#[derive(Clone, Copy, Debug)]
pub(super) struct Predicted {
    pub volts: [Phasor; MOST],
    pub log_spread: [f64; MOST],
    pub degrees: f64,
    pub weight: f64,
    /// Factor of the transformer that gives too little or too much, where there is one.
    pub factor: Option<f64>,
}

/// What a set of mistakes makes of the voltages.
#[derive(Clone, Copy, Debug)]
pub(super) struct VoltFit {
    pub likelihood: f64,
    /// The best of the predictions.
    pub best: Predicted,
}

/// Weighs a set of mistakes against the voltages read.
pub(super) fn fit(layout: &Layout, state: &VoltState, sequence: Sequence, evidence: &Evidence) -> VoltFit {
    let mut total = 0.0;
    let mut best = (-1.0, None);
    each_prediction(layout, state, sequence, &mut |predicted| {
        let likelihood = predicted.weight * one(layout, predicted, evidence);
        total += likelihood;
        if likelihood > best.0 {
            best = (likelihood, Some(*predicted));
        }
    });
    let none =
        Predicted { volts: [Phasor::ZERO; MOST], log_spread: [0.0; MOST], degrees: 0.0, weight: 0.0, factor: None };
    VoltFit { likelihood: total, best: best.1.unwrap_or(none) }
}

/// Channel phasors for given factors of the transformers, shares equal.
pub(super) fn with_factors(
    layout: &Layout,
    state: &VoltState,
    sequence: Sequence,
    factor: &[f64; MOST],
    out: &mut [Phasor; MOST],
) {
    let factors = factor.map(|one| (one, 0.0));
    let mut take = |predicted: &Predicted| *out = predicted.volts;
    if layout.open_delta {
        // Of the shares the middle one counts: the third of five.
        let mut count = 0;
        let mut middle = |predicted: &Predicted| {
            count += 1;
            if count == 1 || count == 3 {
                take(predicted);
            }
        };
        open_delta(layout, state, sequence, &factors, 1.0, &mut middle);
    } else {
        to_neutral(layout, state, sequence, &factors, 1.0, &mut take);
    }
}

fn levels(level: Level) -> &'static [(f64, f64, f64)] {
    match level {
        Level::Low => &LOW,
        Level::High => &HIGH,
        _ => &NORMAL,
    }
}

/// Goes through the unknown factors of a wiring.
pub(super) fn each_prediction(
    layout: &Layout,
    state: &VoltState,
    sequence: Sequence,
    told: &mut dyn FnMut(&Predicted),
) {
    let transformers = if layout.open_delta { [0, 2, 1] } else { [0, 1, 2] };
    let (a, b) = (transformers[0], transformers[1]);
    // At most two mistakes: only two transformers can be off, so the third loop is normal whenever both others are not.
    for first in levels(state.level[a]) {
        for second in levels(state.level[b]) {
            for third in if layout.open_delta { &NORMAL[..] } else { levels(state.level[transformers[2]]) } {
                let mut factors = [(1.0, 0.0); MOST];
                factors[a] = (first.1, first.2);
                factors[b] = (second.1, second.2);
                if !layout.open_delta {
                    factors[2] = (third.1, third.2);
                }
                let weight = first.0 * second.0 * third.0;
                if layout.open_delta {
                    open_delta(layout, state, sequence, &factors, weight, told);
                } else {
                    to_neutral(layout, state, sequence, &factors, weight, told);
                }
            }
        }
    }
}

fn odd(factors: &[(f64, f64); MOST]) -> Option<f64> {
    factors.iter().map(|(factor, _)| *factor).find(|factor| (factor - 1.0).abs() > 1e-9)
}

fn coil(layout: &Layout, state: &VoltState, k: usize, sequence: Sequence, factor: f64) -> Phasor {
    let own = match state.to_line[k] {
        Some(line) => layout.line[layout.vt_line[k]] - layout.line[line],
        None => layout.span[k],
    };
    let signed = if state.reversed[k] { -factor } else { factor };
    if state.level[k] == Level::Dead { Phasor::ZERO } else { Layout::turned(own, sequence) * signed }
}

fn to_neutral(
    layout: &Layout,
    state: &VoltState,
    sequence: Sequence,
    factors: &[(f64, f64); MOST],
    weight: f64,
    told: &mut dyn FnMut(&Predicted),
) {
    let mut volts = [Phasor::ZERO; MOST];
    let mut log_spread = [0.0; MOST];
    for e in 0..layout.volts {
        let k = state.from[e];
        volts[e] = coil(layout, state, k, sequence, factors[k].0);
        log_spread[e] = factors[k].1;
    }
    if !state.floating {
        return told(&Predicted { volts, log_spread, degrees: 0.0, weight, factor: odd(factors) });
    }
    let wide = log_spread.map(|spread| spread + COIL_SPREAD);
    for (first_weight, first) in COILS {
        for (second_weight, second) in if layout.volts > 2 { &COILS[..] } else { &[(1.0, 1.0)] } {
            let ys = [first, 1.0, *second];
            let sum: f64 = ys.iter().take(layout.volts).sum();
            let middle = (0..layout.volts).fold(Phasor::ZERO, |acc, e| acc + volts[e] * ys[e]) / sum;
            let floating = volts.map(|v| v - middle);
            let weight = weight * first_weight * second_weight;
            told(&Predicted { volts: floating, log_spread: wide, degrees: COIL_DEGREES, weight, factor: odd(factors) });
        }
    }
}

fn open_delta(
    layout: &Layout,
    state: &VoltState,
    sequence: Sequence,
    factors: &[(f64, f64); MOST],
    weight: f64,
    told: &mut dyn FnMut(&Predicted),
) {
    // Potentials of the leads against the common one; channel 1's transformer is lead 0's, channel 2's is lead 2's.
    let lead = |k: usize| {
        let own = match k {
            0 => layout.span[0],
            2 => layout.span[1],
            _ => return Phasor::ZERO,
        };
        let signed = if state.reversed[k] { -factors[k].0 } else { factors[k].0 };
        Layout::turned(own, sequence) * signed
    };
    let potential = [0, 1, 2].map(|terminal| lead(state.from[terminal]));
    let open = [0, 1, 2].map(|terminal| state.level[state.from[terminal]] == Level::Dead);
    let spread = factors[0].1.max(factors[2].1);
    if !open[1] {
        let at = |k: usize| if open[k] { Phasor::ZERO } else { potential[k] - potential[1] };
        let volts = [at(0), at(2), Phasor::ZERO];
        return told(&Predicted {
            volts,
            log_spread: [spread, spread, 0.0],
            degrees: 0.0,
            weight,
            factor: odd(factors),
        });
    }
    if open[0] || open[2] {
        return told(&Predicted {
            volts: [Phasor::ZERO; MOST],
            log_spread: [0.0; MOST],
            degrees: 0.0,
            weight,
            factor: odd(factors),
        });
    }
    let across = potential[0] - potential[2];
    for (share_weight, share) in SHARES {
        let volts = [across * share, across * (share - 1.0), Phasor::ZERO];
        let wide = spread + SHARE_SPREAD;
        told(&Predicted {
            volts,
            log_spread: [wide, wide, 0.0],
            degrees: 0.0,
            weight: weight * share_weight,
            factor: odd(factors),
        });
    }
}

/// What the clips really measured, where line to line was taken for line to neutral.
pub(super) fn as_clipped(layout: &Layout, volts: [Phasor; MOST], line_to_line: bool) -> [Phasor; MOST] {
    if line_to_line && layout.volts > 1 {
        let mut across = [Phasor::ZERO; MOST];
        for e in 0..layout.volts {
            across[e] = volts[e] - volts[(e + 1) % layout.volts];
        }
        return across;
    }
    volts
}

fn one(layout: &Layout, predicted: &Predicted, evidence: &Evidence) -> f64 {
    let volts = as_clipped(layout, predicted.volts, evidence.line_to_line);
    let mut likelihood = 1.0;
    // Σ1/s², Σr/s² and Σr²/s² for the common level, which is integrated out.
    let (mut weight, mut linear, mut square, mut norm) = (0.0, 0.0, 0.0, 1.0);
    for e in 0..layout.volts {
        let size = volts[e].magnitude();
        let live = size > DEAD_BELOW;
        if let Some(read) = evidence.volts[e].size {
            let dead_spread = DEAD_VOLTS / evidence.nominal;
            if live {
                let at = read.max(0.3 * dead_spread);
                let spread =
                    libm::sqrt(PHASE_SPREAD * PHASE_SPREAD + predicted.log_spread[e] * predicted.log_spread[e]);
                let r = libm::log(at / size);
                weight += 1.0 / (spread * spread);
                linear += r / (spread * spread);
                square += r * r / (spread * spread);
                norm /= spread * at * 2.506_628_274_631_000_5;
            } else {
                likelihood *= 2.0 * normal(read, dead_spread) + 1e-9;
            }
        }
        likelihood *= angle(&volts, e, predicted, evidence);
    }
    let common = 1.0 + LEVEL_SPREAD * LEVEL_SPREAD * weight;
    let quadratic = square - LEVEL_SPREAD * LEVEL_SPREAD * linear * linear / common;
    // One voltage in ten thousand is nothing known; this keeps the answer a comparison, not a division of zeros.
    let fits = norm * (libm::exp(-0.5 * quadratic) / libm::sqrt(common) + 1e-10);
    likelihood * fits
}

fn angle(volts: &[Phasor; MOST], e: usize, predicted: &Predicted, evidence: &Evidence) -> f64 {
    let (Some(read), Some((reference, reversed))) = (evidence.volts[e].degrees, evidence.volt_reference) else {
        return 1.0;
    };
    if evidence.written == Some(e) {
        return 1.0;
    }
    let (own, against) = (volts[e], volts[reference]);
    if own.magnitude() <= DEAD_BELOW || against.magnitude() <= DEAD_BELOW {
        return 1.0 / 360.0;
    }
    let turn = own * against.conj() * if reversed { -1.0 } else { 1.0 };
    let r = wrap(read - libm::atan2(turn.im(), turn.re()).to_degrees());
    let mut density = 0.0;
    for (weight, sd) in evidence.instrument.iter().filter(|(weight, _)| *weight > 0.0) {
        let own = ANGLE_SPREAD * ANGLE_SPREAD + predicted.degrees * predicted.degrees + 0.08;
        density += weight * normal(r, libm::sqrt(sd * sd + own));
    }
    (1.0 - BLUNDER) * density + BLUNDER / 360.0
}
