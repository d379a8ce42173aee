//! How well a set of current mistakes explains the currents: sizes once a level, angles once a direction.

use super::cause::{AmpState, Level};
use super::evidence::{BLUNDER, Evidence, GRID, POINTS_PER_TEN, UNLOADED, fill, normal, wrap};
use super::layout::{Layout, MOST};
use crate::service::Sequence;

/// A channel without direction: no current, so an angle drawn blindly. Directions count tens of degrees.
pub(super) const NOWHERE: usize = 36;
const DIRECTIONS: usize = 37;
/// Logarithm of a site's secondary current: weight, mean, spread (stated with the simulated visits).
const SITE: [(f64, f64, f64); 2] = [(0.92, 0.095_310_179_804_324_87, 0.85), (0.08, -2.813_410_716_760_036_4, 0.85)];
/// Unbalance of the lines' currents: weight and spread of the logarithm.
const UNBALANCE: [(f64, f64); 2] = [(0.70, 0.11), (0.30, 0.33)];
/// The same where single-phase load leans on some lines.
const LEANING_UNBALANCE: [(f64, f64); 2] = [(0.45, 0.22), (0.55, 0.45)];
/// Factors of too little current: weight, factor's logarithm, spread. Partly shunted 0.2 to 0.9 evenly; ratios 1/2, 2/3, 4/5.
const LOW: [(f64, f64, f64); 5] =
    [(0.123, -1.309, 0.15), (0.123, -0.892, 0.10), (0.251, -0.66, 0.07), (0.251, -0.395, 0.05), (0.251, -0.205, 0.05)];
/// Too much: 5/4, 3/2, 2.
const HIGH: [(f64, f64, f64); 3] =
    [(0.333, 0.223_143_551, 0.0), (0.333, 0.405_465_108, 0.0), (0.334, std::f64::consts::LN_2, 0.0)];
const NORMAL: [(f64, f64, f64); 1] = [(1.0, 0.0, 0.0)];
/// Part of the others' residual that a shorted transformer carries on a common return: logarithm and spread.
const RESIDUAL: [(f64, f64, f64); 1] = [(1.0, -1.09, 0.28)];

/// Which channels share a line, as pairs counted (0,1), (0,2), (1,2).
pub(super) const PAIRS: [(usize, usize); 3] = [(0, 1), (0, 2), (1, 2)];

/// Likelihoods of currents, each worked out when first asked for.
#[derive(Debug)]
pub(super) struct AmpFits {
    angle: Vec<f64>,
    level: Vec<f64>,
    pair_table: [Option<(f64, [f64; 2 * GRID])>; 6],
}

/// What a channel's current follows under a set of mistakes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct ChannelState {
    /// The line, as a number of the layout.
    pub line: usize,
    /// Whether reversed.
    pub reversed: bool,
    /// How strong.
    pub level: Level,
}

/// Channel by channel, what is connected.
pub(super) fn channels(layout: &Layout, state: &AmpState) -> [ChannelState; MOST] {
    std::array::from_fn(|e| {
        let k = if e < layout.amps { state.from[e] } else { e };
        let mut one = ChannelState { line: state.line[k], reversed: state.reversed[k], level: state.level[k] };
        if one.level == Level::Residual && layout.amps == 2 {
            // Two transformers: what comes back is the other one's current, turned round.
            one.line = layout.ct_line[1 - k.min(1)];
            one.reversed = true;
        }
        if e >= layout.amps {
            one.level = Level::Dead;
        }
        one
    })
}

/// Directions in steps of 30° that the channels' angles follow, against the reference voltage's direction.
pub(super) fn directions(
    layout: &Layout,
    states: &[ChannelState; MOST],
    sequence: Sequence,
    reference_step: Option<i8>,
) -> [usize; MOST] {
    std::array::from_fn(|e| {
        let one = states[e];
        let Some(reference) = reference_step.filter(|_| one.level != Level::Dead && e < layout.amps) else {
            return NOWHERE;
        };
        let step = layout.line_step(one.line, sequence) + if one.reversed { 6 } else { 0 } - reference;
        let lean = if sequence == Sequence::Cba { -layout.lean[one.line] } else { layout.lean[one.line] };
        (3 * step + lean).rem_euclid(36) as usize
    })
}

impl AmpFits {
    pub fn new() -> Self {
        Self {
            angle: vec![-1.0; DIRECTIONS * DIRECTIONS * DIRECTIONS],
            level: vec![-1.0; 15 * 15 * 15],
            pair_table: [None; 6],
        }
    }

    /// Forgets everything: the evidence has changed.
    pub fn clear(&mut self) {
        self.angle.fill(-1.0);
        self.level.fill(-1.0);
        self.pair_table = [None; 6];
    }

    /// Likelihood of the currents, the load angle summed out.
    pub fn fit(
        &mut self,
        layout: &Layout,
        states: &[ChannelState; MOST],
        directions: [usize; MOST],
        evidence: &Evidence,
        prior: &[f64; GRID],
    ) -> f64 {
        if let Some(k) = states.iter().take(layout.amps).position(|one| one.level == Level::Residual)
            && layout.amps == 3
        {
            return self.residual(layout, states, directions, k, evidence, prior);
        }
        let shared = shared_pair(layout, states);
        self.sizes(layout, states, shared, evidence) * self.angles(directions, shared, evidence, prior)
    }

    /// Weight of each point of the grid, not normalised; the angle part of the likelihood point by point.
    pub fn angle_weights(
        &mut self,
        directions: [usize; MOST],
        shared: Option<usize>,
        evidence: &Evidence,
        prior: &[f64; GRID],
    ) -> [f64; GRID] {
        let mut weights = *prior;
        let single = |e: usize| shared.is_none_or(|pair| e != PAIRS[pair].0 && e != PAIRS[pair].1);
        for e in (0..MOST).filter(|e| single(*e)) {
            multiply(&mut weights, evidence, e, directions[e]);
        }
        if let Some(pair) = shared {
            let (a, b) = PAIRS[pair];
            if evidence.amps[a].degrees.is_none() || evidence.amps[b].degrees.is_none() || directions[a] == NOWHERE {
                multiply(&mut weights, evidence, a, directions[a]);
                multiply(&mut weights, evidence, b, directions[b]);
            } else {
                let opposite = directions[a] != directions[b];
                let (_, table) = self.pair_table(pair, opposite, evidence);
                let offset = offset(directions[a]);
                weights.iter_mut().zip(&table[offset..]).for_each(|(weight, density)| *weight *= density);
            }
        }
        weights
    }

    fn angles(
        &mut self,
        directions: [usize; MOST],
        shared: Option<usize>,
        evidence: &Evidence,
        prior: &[f64; GRID],
    ) -> f64 {
        if shared.is_some() {
            return self.angle_weights(directions, shared, evidence, prior).iter().sum();
        }
        let place = (directions[0] * DIRECTIONS + directions[1]) * DIRECTIONS + directions[2];
        if self.angle[place] < 0.0 {
            let table = |e: usize| {
                let start = if directions[e] == NOWHERE { 0 } else { offset(directions[e]) };
                evidence.tables[e][start..].iter().take(GRID)
            };
            let blind = |e: usize| if directions[e] == NOWHERE { Some(evidence.blind(e)) } else { None };
            let factor: f64 = (0..MOST).filter_map(blind).product();
            let live = [0, 1, 2].map(|e| directions[e] != NOWHERE);
            let mut sum = 0.0;
            for (((chance, a), b), c) in prior.iter().zip(table(0)).zip(table(1)).zip(table(2)) {
                let mut product = *chance;
                if live[0] {
                    product *= a;
                }
                if live[1] {
                    product *= b;
                }
                if live[2] {
                    product *= c;
                }
                sum += product;
            }
            self.angle[place] = sum * factor;
        }
        self.angle[place]
    }

    /// Two angles of one line agree but for noise; together they are one angle of that line.
    fn pair_table(&mut self, pair: usize, opposite: bool, evidence: &Evidence) -> &(f64, [f64; 2 * GRID]) {
        let (a, b) = PAIRS[pair];
        let place = 2 * pair + usize::from(opposite);
        self.pair_table[place].get_or_insert_with(|| {
            let (first, second) = (evidence.typical_spread(a), evidence.typical_spread(b));
            let turn = if opposite { 180.0 } else { 0.0 };
            let read = |e: usize| evidence.amps[e].degrees.unwrap_or(0.0);
            let apart = wrap(read(b) - turn - read(a));
            let both = first * first + second * second;
            let mean = read(a) + apart * first * first / both;
            let spread = first * second / libm::sqrt(both);
            let agree = (1.0 - BLUNDER) * normal(apart, libm::sqrt(both));
            let mut table = [0.0; 2 * GRID];
            if agree > 1e-9 {
                fill(&mut table, mean, &[(1.0, spread)], evidence.line_spread);
            }
            let shift = if opposite { GRID / 2 } else { 0 };
            for (m, value) in table.iter_mut().enumerate() {
                let other = evidence.tables[b][(m + shift) % GRID];
                *value = *value * agree + BLUNDER / 360.0 * 0.5 * (evidence.tables[a][m % GRID] + other);
            }
            (0.0, table)
        })
    }

    fn sizes(
        &mut self,
        layout: &Layout,
        states: &[ChannelState; MOST],
        shared: Option<usize>,
        evidence: &Evidence,
    ) -> f64 {
        let code = |level: Level| match level {
            Level::Normal => 0,
            Level::Low => 1,
            Level::High => 2,
            Level::Dead => 3,
            Level::Residual => 4,
        };
        if shared.is_some() {
            return sizes(layout, states, shared, evidence);
        }
        let of = |e: usize| 3 * code(states[e].level) + if layout.leans() { states[e].line } else { 0 };
        let place = (of(0) * 15 + of(1)) * 15 + of(2);
        if self.level[place] < 0.0 {
            self.level[place] = sizes(layout, states, None, evidence);
        }
        self.level[place]
    }

    /// One transformer carries part of what the other two leave over.
    fn residual(
        &mut self,
        layout: &Layout,
        states: &[ChannelState; MOST],
        directions: [usize; MOST],
        k: usize,
        evidence: &Evidence,
        prior: &[f64; GRID],
    ) -> f64 {
        let (f, g) = ((k + 1) % 3, (k + 2) % 3);
        let mut rest = *states;
        rest[k].level = Level::Dead;
        let whole = |e: usize| evidence.amps[e].size.zip(evidence.amps[e].degrees);
        let (Some(own), Some(first), Some(second)) = (whole(k), whole(f), whole(g)) else {
            return self.sizes(layout, states, None, evidence) * self.angles(directions, None, evidence, prior);
        };
        let mut nowhere = directions;
        nowhere[k] = NOWHERE;
        // The blind angle and the dead size of the channel are taken out and put in as what the sum of the others says.
        let others = self.live_sizes(layout, &rest, k, evidence) * self.angles(nowhere, None, evidence, prior)
            / evidence.blind(k);
        let sign = |e: usize| if states[e].reversed { -1.0 } else { 1.0 };
        let turn = |degrees: f64| (libm::cos(degrees.to_radians()), libm::sin(degrees.to_radians()));
        let ((c1, s1), (c2, s2)) = (turn(first.1), turn(second.1));
        let re = -(sign(f) * first.0 * c1 + sign(g) * second.0 * c2);
        let im = -(sign(f) * first.0 * s1 + sign(g) * second.0 * s2);
        let size = libm::hypot(re, im).max(1e-4);
        let noise = evidence.typical_spread(f).to_radians() * first.0.max(second.0);
        let relative = (noise / size + 0.01).min(1.0);
        let Some((log, spread)) = evidence.amps[k].log else { return 0.0 };
        let r = log - libm::log(size) - RESIDUAL[0].1;
        let width = libm::sqrt(RESIDUAL[0].2 * RESIDUAL[0].2 + spread * spread + relative * relative);
        let angle = wrap(own.1 - libm::atan2(im, re).to_degrees());
        let own_spread = evidence.typical_spread(k);
        let angle_width = libm::sqrt(own_spread * own_spread + relative.to_degrees() * relative.to_degrees());
        others * normal(r, width) * (normal(angle, angle_width) * (1.0 - BLUNDER) + BLUNDER / 360.0)
    }

    fn live_sizes(&self, layout: &Layout, states: &[ChannelState; MOST], without: usize, evidence: &Evidence) -> f64 {
        let mut entries = Entries::default();
        for (e, one) in states.iter().enumerate() {
            if e != without
                && one.level != Level::Dead
                && let Some((log, spread)) = evidence.amps[e].log
            {
                entries.push(log - layout.lift[one.line], spread);
            }
        }
        entries.likelihood(unbalance(layout))
    }
}

pub(super) fn offset(direction: usize) -> usize {
    (GRID - POINTS_PER_TEN * direction) % GRID
}

fn multiply(weights: &mut [f64; GRID], evidence: &Evidence, e: usize, direction: usize) {
    if direction == NOWHERE {
        let blind = evidence.blind(e);
        weights.iter_mut().for_each(|weight| *weight *= blind);
    } else {
        let table = &evidence.tables[e][offset(direction)..];
        weights.iter_mut().zip(table).for_each(|(weight, density)| *weight *= density);
    }
}

/// The pair of live channels on one line, where there is one.
pub(super) fn shared_pair(layout: &Layout, states: &[ChannelState; MOST]) -> Option<usize> {
    PAIRS.iter().position(|(a, b)| {
        *b < layout.amps
            && states[*a].line == states[*b].line
            && states[*a].level != Level::Dead
            && states[*b].level != Level::Dead
    })
}

fn factors(level: Level) -> &'static [(f64, f64, f64)] {
    match level {
        Level::Low => &LOW,
        Level::High => &HIGH,
        Level::Residual => &RESIDUAL,
        _ => &NORMAL,
    }
}

/// The mean factor of a level, given what the neighbours' currents say of it as a logarithm (not a number: nothing).
pub(super) fn factor(level: Level, raw: f64) -> f64 {
    let nodes = factors(level);
    if level == Level::Normal || level == Level::Dead {
        return 1.0;
    }
    let (mut sum, mut weight) = (0.0, 0.0);
    for (chance, log, spread) in nodes {
        let fit: f64 = UNBALANCE
            .iter()
            .map(|(share, unbalance)| {
                let width = libm::sqrt(1.5 * unbalance * unbalance + spread * spread + 1e-4);
                share * if raw.is_finite() { normal(raw - log, width) } else { 1.0 }
            })
            .sum();
        // Within a node's reach the reading itself is the better guess.
        let share = spread * spread / (spread * spread + 0.02);
        let own = if raw.is_finite() { log + share * (raw - log) } else { *log };
        sum += chance * fit * libm::exp(own);
        weight += chance * fit;
    }
    if weight > 0.0 { sum / weight } else { libm::exp(nodes[0].1) }
}

/// Likelihood of the currents' sizes, as densities of their logarithms.
fn sizes(layout: &Layout, states: &[ChannelState; MOST], shared: Option<usize>, evidence: &Evidence) -> f64 {
    let mut dead = 1.0;
    // Channels that carry a current, and those among them that may as well be a line without load.
    let (mut live, mut count) = ([0; MOST], 0);
    for e in 0..layout.amps {
        if evidence.amps[e].log.is_none() {
            continue;
        }
        if states[e].level == Level::Dead {
            dead *= evidence.amps[e].dead;
        } else {
            live[count] = e;
            count += 1;
        }
    }
    let mut total = 0.0;
    for unloaded in 0..(1_u32 << count) {
        let mut weight = dead;
        let mut light = [false; MOST];
        for (place, e) in live.iter().take(count).enumerate() {
            light[*e] = unloaded & (1 << place) != 0;
            weight *= if light[*e] { UNLOADED.0 } else { 1.0 - UNLOADED.0 };
        }
        // Two lines without load are rarer than anything told apart here.
        if unloaded.count_ones() < 2 {
            total += weight * over_factors(layout, states, shared, &live[..count], light, evidence);
        }
    }
    total
}

fn over_factors(
    layout: &Layout,
    states: &[ChannelState; MOST],
    shared: Option<usize>,
    live: &[usize],
    light: [bool; MOST],
    evidence: &Evidence,
) -> f64 {
    let mut nodes: [&[(f64, f64, f64)]; MOST] = [&NORMAL; MOST];
    for e in live {
        nodes[*e] = factors(states[*e].level);
    }
    let mut total = 0.0;
    for a in nodes[0] {
        for b in nodes[1] {
            for c in nodes[2] {
                let factor = [a, b, c];
                let mut entries = Entries::default();
                let mut weight = a.0 * b.0 * c.0;
                let pair = shared.map(|pair| PAIRS[pair]).filter(|(a, b)| live.contains(a) && live.contains(b));
                for e in live {
                    let Some((log, spread)) = evidence.amps[*e].log else { continue };
                    let own = if light[*e] { UNLOADED } else { (1.0, 0.0, 0.0) };
                    let square = spread * spread + factor[*e].2 * factor[*e].2 + own.2 * own.2;
                    let (log, spread) = (log - factor[*e].1 - own.1 - layout.lift[states[*e].line], libm::sqrt(square));
                    match pair {
                        Some((first, second)) if *e == second => weight *= entries.merge(first, log, spread),
                        _ => entries.push_as(*e, log, spread),
                    }
                }
                total += weight * entries.likelihood(unbalance(layout));
            }
        }
    }
    total
}

fn unbalance(layout: &Layout) -> [(f64, f64); 2] {
    if layout.leans() { LEANING_UNBALANCE } else { UNBALANCE }
}

/// Logarithms of different lines' currents.
#[derive(Default)]
struct Entries {
    of: [(usize, f64, f64); MOST],
    count: usize,
}

impl Entries {
    fn push(&mut self, log: f64, spread: f64) {
        self.push_as(usize::MAX, log, spread);
    }

    fn push_as(&mut self, channel: usize, log: f64, spread: f64) {
        if let Some(place) = self.of.get_mut(self.count) {
            *place = (channel, log, spread);
            self.count += 1;
        }
    }

    /// A second reading of a line that is in already: how well the two agree.
    fn merge(&mut self, channel: usize, log: f64, spread: f64) -> f64 {
        if let Some(entry) = self.of.iter_mut().take(self.count).find(|entry| entry.0 == channel) {
            let (one, two) = (entry.2 * entry.2, spread * spread);
            let agree = normal(log - entry.1, libm::sqrt(one + two));
            entry.1 = (entry.1 * two + log * one) / (one + two);
            entry.2 = libm::sqrt(one * two / (one + two));
            return agree + 1e-9;
        }
        1.0
    }

    /// Summed over the site's current and its unbalance.
    fn likelihood(&self, mixture: [(f64, f64); 2]) -> f64 {
        if self.count == 0 {
            return 1.0;
        }
        let entries = &self.of[..self.count];
        let mut total = 0.0;
        for (unbalance_weight, unbalance) in mixture {
            let (mut weight, mut norm, mut mean) = (0.0, 1.0, 0.0);
            for (_, log, spread) in entries {
                let variance = unbalance * unbalance + spread * spread;
                weight += 1.0 / variance;
                mean += log / variance;
                norm *= variance;
            }
            mean /= weight;
            let scatter: f64 = entries
                .iter()
                .map(|(_, log, spread)| (log - mean) * (log - mean) / (unbalance * unbalance + spread * spread))
                .sum();
            let mut site = 0.0;
            for (site_weight, centre, spread) in SITE {
                let wide = spread * spread + 1.0 / weight;
                let z = (mean - centre) * (mean - centre) / wide;
                site += site_weight * libm::exp(-0.5 * (z + scatter)) / libm::sqrt(wide * weight);
            }
            let turns = [1.0, 0.398_942_28, 0.159_154_943, 0.063_493_636][self.count.min(3)];
            total += unbalance_weight * site * turns / libm::sqrt(norm);
        }
        total + 1e-12
    }
}
