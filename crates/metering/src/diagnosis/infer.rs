//! The sum over everything: mistakes of voltages × mistakes of currents × sequence × slip, the load angle summed out.

use super::amps::{self, AmpFits, ChannelState};
use super::atoms::{self, AmpSet, VoltSet};
use super::cause::Cause;
use super::evidence::{Evidence, GRID, load_prior};
use super::key;
use super::layout::{Layout, MOST};
use super::priors::Priors;
use super::slips;
use super::visit::Visit;
use super::volts::{self, VoltFit};
use super::watts;
use crate::phasor::Phasor;
use crate::service::Sequence;

/// One hypothesis with its weight.
#[derive(Clone, Copy, Debug)]
pub(super) struct Hypothesis {
    pub key: u64,
    pub weight: f64,
    pub volt: usize,
    pub amp: usize,
    pub sequence: Sequence,
    /// Place in [`Inference::slips`]; 0 is no slip.
    pub slip: usize,
}

/// What the service and the priors fix before anything is read.
pub(super) struct Inference<'a> {
    pub layout: Layout,
    pub volts: Vec<VoltSet>,
    pub amps: Vec<AmpSet>,
    pub channels: Vec<[ChannelState; MOST]>,
    /// Nominal channel phasors of each voltage set, for both sequences.
    pub nominal: Vec<[[Phasor; MOST]; 2]>,
    pub priors: &'a Priors,
    pub slips: Vec<Option<Cause>>,
    pair: f64,
}

/// What came of one visit.
pub(super) struct Posterior {
    /// Sorted by key; weights sum to 1.
    pub hypotheses: Vec<Hypothesis>,
    /// The readings as each slip would have them; `None` where it was not weighed.
    pub evidence: Vec<Option<Evidence>>,
    pub load: [f64; GRID],
}

/// Hypotheses below this part of the best are let go.
const NEGLIGIBLE: f64 = 1e-8;

/// Nobody takes a dead voltage as the reference, but for a mistake.
const DEAD_REFERENCE: f64 = 1e-3;

pub(super) fn place(sequence: Sequence) -> usize {
    usize::from(sequence == Sequence::Cba)
}

impl<'a> Inference<'a> {
    pub fn new(layout: Layout, priors: &'a Priors) -> Self {
        let (volts, amps) = atoms::sets(&layout, priors);
        let channels = amps.iter().map(|set| amps::channels(&layout, &set.state)).collect();
        let nominal = volts
            .iter()
            .map(|set| [Sequence::Abc, Sequence::Cba].map(|sequence| key::nominal(&layout, &set.state, sequence)))
            .collect();
        let pair = atoms::mixed_pair((&volts, &amps));
        let slips = slips::all(&layout, priors);
        Self { layout, volts, amps, channels, nominal, priors, slips, pair }
    }

    /// Weighs every hypothesis against a visit.
    pub fn weigh(&self, visit: &Visit) -> Posterior {
        let load = load_prior(&visit.told);
        let first = Evidence::of(visit, (self.layout.volts, self.layout.amps), self.layout.leans());
        let mut hypotheses = Vec::with_capacity(4096);
        let mut fits = AmpFits::new();
        let mut evidence = Vec::with_capacity(self.slips.len());
        for (n, slip) in self.slips.iter().enumerate() {
            let (seen, odds) = match slip {
                None => (Some(first.clone()), 1.0),
                Some(slip) => {
                    (slips::undo(&self.layout, *slip, &first, visit), slips::odds(&self.layout, *slip, self.priors))
                }
            };
            if let Some(seen) = seen.as_ref().filter(|_| odds > 0.0) {
                fits.clear();
                self.run(visit, seen, &mut fits, &load, (n, odds), &mut hypotheses);
            }
            evidence.push(seen.filter(|_| odds > 0.0));
        }
        keep(&mut hypotheses);
        watts::weigh(self, visit, &evidence, &mut fits, &load, &mut hypotheses);
        keep(&mut hypotheses);
        let sum: f64 = hypotheses.iter().map(|one| one.weight).sum();
        if sum > 0.0 {
            hypotheses.iter_mut().for_each(|one| one.weight /= sum);
        }
        hypotheses.sort_unstable_by(|a, b| a.key.cmp(&b.key).then(b.weight.total_cmp(&a.weight)));
        Posterior { hypotheses, evidence, load }
    }

    /// Direction of the reference voltage in steps, where the wiring leaves it alive.
    pub fn reference_step(&self, volt: usize, sequence: Sequence, evidence: &Evidence) -> Option<i8> {
        let Some((reference, reversed)) = evidence.amp_reference else { return Some(0) };
        let seen = volts::as_clipped(&self.layout, self.nominal[volt][place(sequence)], evidence.line_to_line);
        let own = seen[reference];
        (own.magnitude() > 0.02).then(|| super::layout::steps(own) + if reversed { 6 } else { 0 })
    }

    fn run(
        &self,
        visit: &Visit,
        evidence: &Evidence,
        fits: &mut AmpFits,
        load: &[f64; GRID],
        slip: (usize, f64),
        out: &mut Vec<Hypothesis>,
    ) {
        for sequence in [Sequence::Abc, Sequence::Cba] {
            let chance = match visit.told.rotation {
                Some(told) if told == sequence => 1.0,
                Some(_) => 0.0,
                None if sequence == Sequence::Cba => self.priors.reversed_sequence,
                None => 1.0 - self.priors.reversed_sequence,
            };
            if chance > 0.0 && self.layout.lines > 2 || sequence == Sequence::Abc {
                self.run_sequence(evidence, fits, load, slip, (sequence, chance), out);
            }
        }
    }

    fn run_sequence(
        &self,
        evidence: &Evidence,
        fits: &mut AmpFits,
        load: &[f64; GRID],
        slip: (usize, f64),
        sequence: (Sequence, f64),
        out: &mut Vec<Hypothesis>,
    ) {
        let p = self.priors;
        let wrong = (p.single + p.double + p.odd).max(1e-300);
        let (none, single, double, odd) = if slip.0 == 0 {
            (p.correct, p.single, p.double, p.odd)
        } else {
            let both = p.slip_and_fault / wrong;
            (p.slip, p.single * both, 0.0, p.odd * both)
        };
        let mut best: f64 = 0.0;
        for (v, set) in self.volts.iter().enumerate() {
            let reach = set.odds.none + set.odds.single + set.odds.odd + set.odds.double;
            let likelihood = volts::fit(&self.layout, &set.state, sequence.0, evidence).likelihood;
            best = best.max(likelihood * reach);
            if likelihood * reach < best * 1e-9 {
                continue;
            }
            let Some(step) = self.reference_step(v, sequence.0, evidence) else {
                self.blind(evidence, (v, likelihood), slip, sequence, out);
                continue;
            };
            for (a, with) in self.amps.iter().enumerate() {
                let (x, y) = (&set.odds, &with.odds);
                let prior = none * x.none * y.none
                    + single * (x.single * y.none + x.none * y.single)
                    + double * (x.double * y.none + x.none * y.double + self.pair * x.single * y.single)
                    + odd * (x.odd * y.none + x.none * y.odd);
                if prior <= 0.0 {
                    continue;
                }
                let states = &self.channels[a];
                let directions = amps::directions(&self.layout, states, sequence.0, Some(step));
                let weight = prior * likelihood * fits.fit(&self.layout, states, directions, evidence, load);
                let weight = weight * slip.1 * sequence.1 * evidence.factor;
                if weight > 0.0 {
                    let key = key::of(self, v, a, sequence.0, slip.0);
                    out.push(Hypothesis { key, weight, volt: v, amp: a, sequence: sequence.0, slip: slip.0 });
                }
            }
        }
    }

    /// A wiring under which the reference voltage is dead: its angles say nothing.
    fn blind(
        &self,
        evidence: &Evidence,
        volt: (usize, f64),
        slip: (usize, f64),
        sequence: (Sequence, f64),
        out: &mut Vec<Hypothesis>,
    ) {
        let unread = evidence.amp_reference.is_none_or(|(reference, _)| evidence.volts[reference].size.is_none());
        if unread {
            return;
        }
        let odds = &self.volts[volt.0].odds;
        let prior = self.priors.single * odds.single + self.priors.double * odds.double;
        let blind: f64 = (0..self.layout.amps).map(|e| evidence.blind(e)).product();
        let weight = prior * volt.1 * blind * DEAD_REFERENCE * slip.1 * sequence.1 * evidence.factor;
        if weight > 0.0 {
            let key = key::of(self, volt.0, 0, sequence.0, slip.0);
            out.push(Hypothesis { key, weight, volt: volt.0, amp: 0, sequence: sequence.0, slip: slip.0 });
        }
    }

    /// The voltages as a hypothesis best explains them.
    pub fn volt_fit(&self, one: &Hypothesis, evidence: &Evidence) -> VoltFit {
        volts::fit(&self.layout, &self.volts[one.volt].state, one.sequence, evidence)
    }
}

/// Lets the negligible go.
fn keep(hypotheses: &mut Vec<Hypothesis>) {
    let best = hypotheses.iter().map(|one| one.weight).fold(0.0, f64::max);
    hypotheses.retain(|one| one.weight.is_finite() && one.weight > best * NEGLIGIBLE);
}
