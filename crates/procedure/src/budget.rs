//! How much a routine change asks of a hand: inputs and step-backs, counted over the data of the steps.
//!
//! One input is one value typed or one tap. Several answers that one tap gives together count once. What the office's record,
//! a setting or an earlier entry gives is shown for looking at and not counted. Each register is read once at each moment, one
//! energy and one peak; optional wants are not counted. One step-back is one leaving of the cabinet to enter.

use crate::steps::{By, METER_CHANGE, Need, Order, Step, What, order};
use metering::isolation::Kind;

/// What a routine change asks for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Budget {
    /// Values typed.
    pub typed: u32,
    /// Taps of their own, or of several answers in one.
    pub taps: u32,
    /// Times that hands leave the cabinet to enter.
    pub step_backs: u32,
}

impl Budget {
    /// Typed values and taps together.
    pub const fn inputs(self) -> u32 {
        self.typed + self.taps
    }
}

/// The budget of a change at a switch of this kind in which nothing goes wrong.
pub fn routine(kind: Kind, policy: Order) -> Budget {
    let mut budget = Budget::default();
    let mut hands_in = false;
    for step in order(policy).iter().filter_map(|id| crate::steps::find(id)) {
        let asked = of_step(step, kind);
        budget.typed += asked.typed;
        budget.taps += asked.taps;
        // Steps that follow one another with hands in the cabinet share one step-back, unless a number must be read between.
        if hands_in && !step.hands {
            budget.step_backs += 1;
        }
        hands_in = step.hands;
    }
    budget
}

fn of_step(step: &Step, kind: Kind) -> Budget {
    let mut budget = Budget::default();
    let mut together: Vec<&str> = Vec::new();
    for need in step.needs.iter().filter(|need| need.must) {
        match need.by {
            By::Typed => budget.typed += times(need) * numbers(need, kind),
            By::Tap => budget.taps += times(need),
            By::TapAlike => budget.taps += 2,
            By::TapWith(word) if !together.contains(&word) => {
                together.push(word);
                budget.taps += 1;
            }
            By::TapWith(_) | By::Given => {}
        }
    }
    budget
}

/// How often a need comes.
fn times(need: &Need) -> u32 {
    match need.what {
        What::PerElement { .. }
        | What::Shorted
        | What::Proven
        | What::ProvenOut
        | What::CurrentsBack
        | What::BackRead => 3,
        _ => 1,
    }
}

/// How many numbers it takes each time: a reading on both sides takes two, and two-stage proofs are read twice.
fn numbers(need: &Need, kind: Kind) -> u32 {
    match need.what {
        What::Proven if kind.is_one_motion() || kind == Kind::None => 2,
        What::Proven => 4,
        What::ProvenOut if kind == Kind::None => 2,
        What::ProvenOut => 0,
        // Where short and path part one after the other, the path is read with the short still on.
        What::BackRead if kind.is_one_motion() => 2,
        What::BackRead => 4,
        _ => 1,
    }
}

/// Every step's budget by id, for the page that shows how it was counted.
pub fn by_step(kind: Kind) -> Vec<(&'static str, Budget)> {
    METER_CHANGE.iter().map(|step| (step.id, of_step(step, kind))).collect()
}
