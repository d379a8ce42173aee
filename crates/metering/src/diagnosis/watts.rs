//! What displays and action tests say beyond the phasors, hypothesis by hypothesis.

use super::amps::{self, AmpFits, NOWHERE, shared_pair};
use super::cause::Level;
use super::evidence::{Evidence, GRID, STEP_DEGREES, normal, wrap};
use super::infer::{Hypothesis, Inference};
use super::layout::MOST;
use super::visit::{Adding, ShortTest, Visit};

/// Spread of a meter's display about what it measures, as a part of its reading, and in watts.
const METER_SPREAD: f64 = 0.006;
/// One reading in fifty was taken while the load changed.
const LOAD_CHANGED: f64 = 0.02;
/// Mistakes in noting whose current vanished.
const MISNOTED: f64 = 0.002;

/// Secondary phasors that a hypothesis puts at the meter, at one load angle.
pub(super) struct AtMeter {
    /// Watts of each current channel in each element, net of shares.
    pub watts: [[f64; MOST]; MOST],
    /// The same for vars.
    pub vars: [[f64; MOST]; MOST],
    /// Spread of each channel's angle in radians and of its size as a part.
    pub spread: [(f64, f64); MOST],
    /// Amperes of each channel.
    pub amps: [f64; MOST],
    /// Degrees of each channel against the reference.
    pub amp_degrees: [f64; MOST],
    /// Volts, per unit and degrees against the reference.
    pub volts: [(f64, f64); MOST],
}

/// Whether anything was read that only the sum over hypotheses can use.
fn anything(visit: &Visit) -> bool {
    let r = &visit.readings;
    r.display.watts.is_some()
        || !r.tests.is_empty()
        || r.element_watts.iter().any(Option::is_some)
        || r.own.iter().any(|own| own.watts.is_some() || own.amps.is_some())
}

/// Multiplies each hypothesis by how well it explains the meter's own readings.
pub(super) fn weigh(
    inference: &Inference,
    visit: &Visit,
    evidence: &[Option<Evidence>],
    fits: &mut AmpFits,
    load: &[f64; GRID],
    hypotheses: &mut [Hypothesis],
) {
    if !anything(visit) {
        return;
    }
    let mut last = usize::MAX;
    for one in hypotheses.iter_mut() {
        let Some(seen) = evidence.get(one.slip).and_then(Option::as_ref) else { continue };
        if last != one.slip {
            fits.clear();
            last = one.slip;
        }
        one.weight *= factor(inference, visit, seen, fits, load, one);
    }
}

fn factor(
    inference: &Inference,
    visit: &Visit,
    seen: &Evidence,
    fits: &mut AmpFits,
    load: &[f64; GRID],
    one: &Hypothesis,
) -> f64 {
    let mut total = vanished(inference, visit, one);
    let layout = &inference.layout;
    let Some(step) = inference.reference_step(one.volt, one.sequence, seen) else { return total };
    let states = &inference.channels[one.amp];
    let directions = amps::directions(layout, states, one.sequence, Some(step));
    let weights = fits.angle_weights(directions, shared_pair(layout, states), seen, load);
    let sum: f64 = weights.iter().sum();
    let fit = inference.volt_fit(one, seen).best;
    let sizes = sizes(inference, one, seen);
    let mut mean = 0.0;
    for (k, weight) in weights.iter().enumerate() {
        if *weight > sum * 1e-4 {
            let mut at = at_meter(inference, one, seen, &fit.volts, directions, sizes, STEP_DEGREES * k as f64);
            mean += weight * over_unbalance(inference, visit, &mut at, one);
        }
    }
    if sum > 0.0 {
        total *= mean / sum;
    }
    total
}

/// Weight and spread of one line's current about another's.
const BETWEEN_LINES: [(f64, f64); 2] = [(0.72, 0.14), (0.28, 0.5)];
/// Stands for a size that was not read, until the unbalance is chosen.
const UNREAD: f64 = -1.0;

/// Likelihood of the meter's own readings at one load angle; sizes that were not read are summed over the unbalance.
pub(super) fn over_unbalance(inference: &Inference, visit: &Visit, at: &mut AtMeter, one: &Hypothesis) -> f64 {
    let spread = at.spread;
    if spread.iter().all(|(_, size)| *size != UNREAD) {
        return likelihood(inference, visit, at, one);
    }
    let mut sum = 0.0;
    for (chance, unbalance) in BETWEEN_LINES {
        at.spread = spread.map(|(angle, size)| (angle, if size == UNREAD { unbalance } else { size }));
        sum += chance * likelihood(inference, visit, at, one);
    }
    sum
}

/// Weighs the load angles of a hypothesis by the meter's own readings, where there are any.
pub(super) fn weigh_angles(
    inference: &Inference,
    visit: &Visit,
    seen: &Evidence,
    one: &Hypothesis,
    directions: [usize; MOST],
    weights: &mut [f64; GRID],
) {
    if !anything(visit) {
        return;
    }
    let sum: f64 = weights.iter().sum();
    let fit = inference.volt_fit(one, seen).best;
    let sizes = sizes(inference, one, seen);
    for (k, weight) in weights.iter_mut().enumerate() {
        if *weight > sum * 1e-5 {
            let mut at = at_meter(inference, one, seen, &fit.volts, directions, sizes, STEP_DEGREES * k as f64);
            *weight *= over_unbalance(inference, visit, &mut at, one);
        }
    }
}

/// Amperes of every channel with their spread: read, or as the others say.
pub(super) fn sizes(inference: &Inference, one: &Hypothesis, seen: &Evidence) -> [(f64, f64); MOST] {
    let states = &inference.channels[one.amp];
    let gain = |level: Level| match level {
        Level::Low => 0.6,
        Level::High => 1.5,
        Level::Residual => 0.33,
        Level::Dead => 0.0,
        Level::Normal => 1.0,
    };
    let lift = |e: usize| inference.layout.lift[states[e].line];
    let (mut sum, mut count) = (0.0, 0.0);
    for e in 0..inference.layout.amps {
        if let (Some(size), true) = (seen.amps[e].size, gain(states[e].level) > 0.0) {
            sum += libm::log(size.max(0.002) / gain(states[e].level)) - lift(e);
            count += 1.0;
        }
    }
    let typical = if count > 0.0 { libm::exp(sum / count) } else { 1.0 };
    std::array::from_fn(|e| match seen.amps[e].size {
        Some(size) => (size, 0.01),
        None if states[e].level == Level::Normal && count > 0.0 => (typical * libm::exp(lift(e)), UNREAD),
        None => (typical * libm::exp(lift(e)) * gain(states[e].level), 0.45),
    })
}

/// The phasors at the meter as one load angle has them, readings taken where there are any.
pub(super) fn at_meter(
    inference: &Inference,
    one: &Hypothesis,
    seen: &Evidence,
    volts: &[crate::phasor::Phasor; MOST],
    directions: [usize; MOST],
    sizes: [(f64, f64); MOST],
    load_degrees: f64,
) -> AtMeter {
    let layout = &inference.layout;
    let states = &inference.channels[one.amp];
    let against = match seen.amp_reference {
        Some((reference, reversed)) => {
            let clipped = super::volts::as_clipped(layout, *volts, seen.line_to_line)[reference];
            libm::atan2(clipped.im(), clipped.re()).to_degrees() + if reversed { 180.0 } else { 0.0 }
        }
        None => 0.0,
    };
    let trusted = seen.volt_reference == seen.amp_reference && !seen.line_to_line;
    let mut at = AtMeter {
        watts: [[0.0; MOST]; MOST],
        vars: [[0.0; MOST]; MOST],
        spread: [(0.0, 0.0); MOST],
        amps: [0.0; MOST],
        amp_degrees: [0.0; MOST],
        volts: [(0.0, 0.0); MOST],
    };
    for e in 0..layout.volts {
        let predicted = libm::atan2(volts[e].im(), volts[e].re()).to_degrees() - against;
        let degrees = match seen.volts[e].degrees {
            Some(read) if trusted && seen.written != Some(e) && volts[e].magnitude() > 0.02 => {
                predicted + 0.3 * wrap(read - predicted).clamp(-5.0, 5.0)
            }
            _ => predicted,
        };
        let size = if seen.line_to_line { None } else { seen.volts[e].size };
        at.volts[e] = (size.unwrap_or(volts[e].magnitude()), degrees);
    }
    for e in 0..layout.amps {
        let spread = seen.typical_spread(e);
        let read = seen.amps[e].degrees;
        if directions[e] == NOWHERE || states[e].level == Level::Dead {
            at.amps[e] = seen.amps[e].size.unwrap_or(0.0);
            at.amp_degrees[e] = read.unwrap_or(0.0);
            at.spread[e] = (2.0, 0.5);
            continue;
        }
        let predicted = 10.0 * directions[e] as f64 - load_degrees;
        let (degrees, deviation) = match read {
            // An angle so far off was misread: the load's own direction says more.
            Some(read) if seen.misread(e, wrap(read - predicted)) => (predicted, seen.line_spread * 1.3),
            Some(read) => {
                let r = wrap(read - predicted);
                let own = seen.line_spread * seen.line_spread * (1.0 + r * r / 100.0) * 1.3;
                let gain = own / (own + spread * spread);
                (predicted + gain * r, libm::sqrt(gain) * spread)
            }
            None => (predicted, seen.line_spread * 1.3),
        };
        at.amps[e] = sizes[e].0;
        at.amp_degrees[e] = degrees;
        at.spread[e] = (deviation.to_radians(), sizes[e].1);
    }
    for term in &layout.terms {
        let (v, angle) = at.volts[term.volts];
        let turn = (angle - at.amp_degrees[term.amps]).to_radians();
        let power = v * seen.nominal * at.amps[term.amps] * term.share;
        at.watts[term.element][term.amps] += power * libm::cos(turn);
        at.vars[term.element][term.amps] += power * libm::sin(turn);
    }
    at
}

/// How the meter adds its elements, as a factor on each element's watts.
fn signs(adding: Adding, watts: [f64; MOST]) -> [f64; MOST] {
    watts.map(|element| match adding {
        Adding::Net => 1.0,
        Adding::Absolute if element < 0.0 => -1.0,
        Adding::PositiveOnly if element < 0.0 => 0.0,
        _ => 1.0,
    })
}

/// A sum of chosen channels, with the spread of its watts and vars from the channels' spreads.
struct Total {
    watts: f64,
    vars: f64,
    watt_spread: f64,
    var_spread: f64,
}

fn total(at: &AtMeter, signs: [f64; MOST], without: Option<usize>) -> Total {
    let (mut watts, mut vars, mut watt_square, mut var_square) = (0.0, 0.0, 1e-3, 1e-3);
    for channel in (0..MOST).filter(|channel| Some(*channel) != without) {
        let (mut p, mut q) = (0.0, 0.0);
        for ((watts, vars), sign) in at.watts.iter().zip(&at.vars).zip(signs) {
            p += sign * watts[channel];
            q += sign.abs() * vars[channel];
        }
        let (angle, size) = at.spread[channel];
        watts += p;
        vars += q;
        watt_square += q * q * angle * angle + p * p * size * size + 0.25 * p * p * angle * angle * angle * angle;
        var_square += p * p * angle * angle + q * q * size * size;
    }
    let meter = METER_SPREAD * METER_SPREAD * watts * watts;
    Total { watts, vars, watt_spread: libm::sqrt(watt_square + meter), var_spread: libm::sqrt(var_square + meter) }
}

fn fits(read: f64, predicted: f64, spread: f64) -> f64 {
    let digits = 0.002 * read.abs() + 0.05;
    let spread = libm::sqrt(spread * spread + digits * digits);
    let wide = 4.0 * spread + 0.1 * predicted.abs();
    let r = read - predicted;
    // The lines' angles scatter with heavy tails, and so does what is summed of them.
    (0.92 - LOAD_CHANGED) * normal(r, spread) + 0.08 * normal(r, 2.2 * spread) + LOAD_CHANGED * normal(r, wide) + 1e-9
}

fn likelihood(inference: &Inference, visit: &Visit, at: &AtMeter, one: &Hypothesis) -> f64 {
    let element = at.watts.map(|channels| channels.iter().sum::<f64>());
    let mut likelihood = own_readings(inference, visit, at, element);
    let chances = match visit.adding {
        Some(Adding::Net) => [1.0, 0.0, 0.0],
        Some(Adding::Absolute) => [0.0, 1.0, 0.0],
        Some(Adding::PositiveOnly) => [0.0, 0.0, 1.0],
        None => inference.priors.adding,
    };
    let ways = [Adding::Net, Adding::Absolute, Adding::PositiveOnly];
    let mut mixed = 0.0;
    for (way, chance) in ways.into_iter().zip(chances).filter(|(_, chance)| *chance > 0.0) {
        mixed += chance * totals(inference, visit, at, signs(way, element), way, one);
    }
    likelihood *= mixed;
    likelihood
}

fn own_readings(inference: &Inference, visit: &Visit, at: &AtMeter, element: [f64; MOST]) -> f64 {
    let mut likelihood = 1.0;
    for e in 0..inference.layout.elements.min(MOST) {
        let mut spread = (1e-3, 1e-3);
        let vars: f64 = at.vars[e].iter().sum();
        for channel in 0..MOST {
            let (angle, size) = at.spread[channel];
            let (p, q) = (at.watts[e][channel], at.vars[e][channel]);
            spread.0 += q * q * angle * angle + p * p * size * size;
            spread.1 += p * p * angle * angle + q * q * size * size;
        }
        let meter = METER_SPREAD * METER_SPREAD * (element[e] * element[e] + vars * vars);
        let spread = (libm::sqrt(spread.0 + meter), libm::sqrt(spread.1 + meter));
        let own = visit.readings.own.get(e).copied().unwrap_or_default();
        for read in [visit.readings.element_watts[e], own.watts].into_iter().flatten().filter(|x| x.is_finite()) {
            likelihood *= fits(read, element[e], spread.0);
        }
        if let Some(read) = own.vars.filter(|x| x.is_finite()) {
            likelihood *= fits(read, vars, spread.1);
        }
    }
    for e in 0..inference.layout.amps {
        if let Some(read) = visit.readings.own[e].amps.filter(|x| x.is_finite()) {
            let spread = libm::hypot(at.spread[e].1 * at.amps[e], 0.004);
            likelihood *= normal(read - at.amps[e], libm::hypot(spread, 0.01 * read)) + 1e-6;
        }
    }
    likelihood
}

fn totals(
    inference: &Inference,
    visit: &Visit,
    at: &AtMeter,
    signs: [f64; MOST],
    way: Adding,
    one: &Hypothesis,
) -> f64 {
    let mut likelihood = 1.0;
    let whole = total(at, signs, None);
    let display = &visit.readings.display;
    if let Some(read) = display.watts.filter(|x| x.is_finite()) {
        likelihood *= fits(read, whole.watts, whole.watt_spread);
        // A meter calls vars lagging by their sign against the watts'.
        let positive = display.lagging.map(|lagging| lagging == (read >= 0.0));
        likelihood *= vars(display.power_factor, positive, read, &whole);
    }
    for test in &visit.readings.tests {
        let Some((before, after)) = test.watts_before.zip(test.watts_after) else { continue };
        if !(before.is_finite() && after.is_finite()) {
            continue;
        }
        let channel = channel_of(inference, one, test);
        let dead = channel.is_none_or(|e| inference.channels[one.amp][e].level == Level::Dead);
        if dead {
            likelihood *= fits(after, before, 0.01 * before.abs());
            continue;
        }
        let mut rest = at.watts;
        for element in &mut rest {
            if let Some(e) = channel {
                element[e] = 0.0;
            }
        }
        let again = self::signs(way, rest.map(|channels| channels.iter().sum::<f64>()));
        let left = total(at, again, channel);
        likelihood *= fits(after, left.watts, left.watt_spread);
        // What vanished is the test's own measurement; the load may have moved by a per cent meanwhile.
        let own = (whole.watt_spread * whole.watt_spread - left.watt_spread * left.watt_spread).max(0.05);
        likelihood *= fits(before - after, whole.watts - left.watts, libm::sqrt(own) + 0.008 * before.abs());
    }
    likelihood
}

/// The displayed power factor as a size of the vars, and their sense.
fn vars(power_factor: Option<f64>, lagging: Option<bool>, watts: f64, whole: &Total) -> f64 {
    let Some(shown) = power_factor.filter(|x| x.is_finite() && x.abs() > 0.02 && x.abs() <= 1.0) else {
        return match lagging {
            Some(lag) => chance_above(whole.vars, whole.var_spread, lag),
            None => 1.0,
        };
    };
    let tangent = |factor: f64| libm::sqrt((1.0 - factor * factor).max(0.0)) / factor;
    let factor = shown.abs();
    let (least, most) = (tangent((factor + 0.005).min(1.0)), tangent((factor - 0.005).max(0.015)));
    let size = watts.abs() * 0.5 * (least + most);
    let spread = libm::hypot(watts.abs() * 0.35 * (most - least) + 0.01 * watts.abs(), whole.var_spread);
    let side = |sign: f64| {
        let r = sign * size - whole.vars;
        0.9 * normal(r, spread) + 0.1 * normal(r, 2.5 * spread)
    };
    match lagging {
        Some(true) => side(1.0) + 1e-9,
        Some(false) => side(-1.0) + 1e-9,
        None => 0.5 * (side(1.0) + side(-1.0)) + 1e-9,
    }
}

fn chance_above(vars: f64, spread: f64, lagging: bool) -> f64 {
    let sign = if lagging { 1.0 } else { -1.0 };
    0.5 * libm::erfc(-sign * vars / (spread * std::f64::consts::SQRT_2)) * 0.99 + 0.005
}

/// The meter channel that a transformer's leads land on.
fn channel_of(inference: &Inference, one: &Hypothesis, test: &ShortTest) -> Option<usize> {
    let from = &inference.amps[one.amp].state.from;
    (0..inference.layout.amps).find(|e| from[*e] == test.ct)
}

/// Whose current vanished says where a transformer's leads land.
fn vanished(inference: &Inference, visit: &Visit, one: &Hypothesis) -> f64 {
    let mut likelihood = 1.0;
    for test in &visit.readings.tests {
        let Some(noted) = test.vanished else { continue };
        let expected =
            channel_of(inference, one, test).filter(|e| inference.channels[one.amp][*e].level != Level::Dead);
        likelihood *= if noted == expected { 1.0 } else { MISNOTED };
    }
    likelihood
}
