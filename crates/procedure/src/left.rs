//! What is left before you lock: everything that still stands open, worst first.

use crate::billing::{self, Agreement};
use crate::checks::Outcome;
use crate::facts::Facts;
use crate::now::Now;
use crate::replay::{CurrentStands, How, PotentialStands};
use crate::standing::{Standing, State, standing};
use jobfile::Fold;
use jobfile::sorting::sort_by_key;

/// How much an item matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// Told for the record.
    Told,
    /// Costs work or a number when left.
    Open,
    /// Nobody locks before it is settled.
    Stops,
    /// Somebody can be hurt.
    Danger,
}

/// One item; its sentence is `left-<code>`.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// Stable code.
    pub code: &'static str,
    /// How much it matters.
    pub weight: Weight,
    /// Where: element, pole, position; empty where there is one place only.
    pub place: String,
    /// What, as an id that has words of its own: a step, a check, an act.
    pub what: What,
    /// Who, where a person stands behind it.
    pub by: Option<String>,
    /// Why, in that person's words.
    pub why: Option<String>,
}

/// What an item is about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum What {
    /// Only what its code says.
    Itself,
    /// A step, by id: `step-<id>`.
    Step(&'static str),
    /// A stop check, by id: `check-<id>`.
    Check(&'static str),
    /// An act, by its stored name and pole: `choice-act-act-<act>`.
    Act {
        /// Stored name.
        act: &'static str,
        /// Stored pole.
        pole: &'static str,
    },
    /// A slot of the log with two values.
    Slot {
        /// Kind.
        kind: String,
        /// Place.
        place: String,
    },
}

/// Codes of all items, for the proof that each has a sentence.
pub const LEFT_CODES: &[&str] = &[
    "broken_ct",
    "broken_dead",
    "vt_shorted",
    "pole_unknown",
    "look_again",
    "shorted",
    "potential_up",
    "meter_out",
    "happened",
    "act_refused",
    "check_open",
    "override",
    "final_read_missing",
    "start_read_missing",
    "seal_missing",
    "multiplier_differs",
    "step_open",
    "step_left_open",
    "conflict",
    "inspection_owed",
    "bypass_unknown",
    "not_signed",
];

/// What is left, worst first; empty when nothing is.
pub fn left(fold: &Fold, now: &Now) -> Vec<Item> {
    left_of(fold, now, &standing(fold, now))
}

/// As [`left`], for a caller that has the standing already.
pub fn left_of(fold: &Fold, now: &Now, standing: &Standing) -> Vec<Item> {
    let facts = Facts::new(fold);
    let mut items = poles(standing);
    items.extend(happened(standing));
    items.extend(checks(standing));
    items.extend(numbers(&facts, now, standing));
    items.extend(steps(standing));
    items.extend(log(&facts, fold));
    // A stable sort keeps the order of the work inside one weight.
    sort_by_key(&mut items, |item| std::cmp::Reverse(item.weight));
    items
}

fn item(code: &'static str, weight: Weight) -> Item {
    Item { code, weight, place: String::new(), what: What::Itself, by: None, why: None }
}

fn at(code: &'static str, weight: Weight, place: &str) -> Item {
    Item { place: place.to_owned(), ..item(code, weight) }
}

fn poles(standing: &Standing) -> Vec<Item> {
    let replay = &standing.replay;
    let touched = !replay.happenings.is_empty();
    let mut items = Vec::new();
    for track in &replay.elements {
        items.extend(match track.stands {
            CurrentStands::Broken if replay.belief.is_live() => Some(at("broken_ct", Weight::Danger, track.name)),
            CurrentStands::Broken => Some(at("broken_dead", Weight::Stops, track.name)),
            CurrentStands::Unknown if touched => Some(at("pole_unknown", Weight::Danger, track.name)),
            CurrentStands::LookAgain if touched => Some(at("look_again", Weight::Stops, track.name)),
            CurrentStands::Shorted | CurrentStands::ShortedBoth => Some(at("shorted", Weight::Stops, track.name)),
            _ => None,
        });
    }
    for track in &replay.potentials {
        items.extend(match track.stands {
            PotentialStands::Shorted => Some(at("vt_shorted", Weight::Danger, track.name)),
            PotentialStands::Unknown if touched => Some(at("pole_unknown", Weight::Danger, track.name)),
            PotentialStands::LookAgain if touched => Some(at("look_again", Weight::Stops, track.name)),
            PotentialStands::Up => Some(at("potential_up", Weight::Stops, track.name)),
            _ => None,
        });
    }
    if replay.meter_is_out {
        items.push(item("meter_out", Weight::Stops));
    }
    items
}

fn happened(standing: &Standing) -> Vec<Item> {
    let of = |done: &crate::replay::Happening| {
        let code = match done.how {
            How::Happened(_) => "happened",
            How::RefusedPlan(_) => "act_refused",
            How::Accepted | How::HappenedSafely => return None,
        };
        let what = What::Act { act: done.act, pole: done.pole };
        Some(Item { what, why: done.why.clone(), ..at(code, Weight::Open, done.pole) })
    };
    standing.replay.happenings.iter().filter_map(of).collect()
}

fn checks(standing: &Standing) -> Vec<Item> {
    let mut items = Vec::new();
    for check in &standing.checks {
        let stops = matches!(check.outcome, Outcome::Stops(_));
        if let Some(overridden) = check.overridden.as_ref().filter(|_| check.outcome != Outcome::Passes) {
            let (by, why) = (Some(overridden.by.clone()), Some(overridden.why.clone()));
            items.push(Item { what: What::Check(check.id), by, why, ..at("override", Weight::Told, &check.places()) });
        } else if stops && check.id != "all_to_meter" {
            let weight = if check.guards_life { Weight::Danger } else { Weight::Stops };
            items.push(Item { what: What::Check(check.id), ..at("check_open", weight, &check.places()) });
        }
    }
    items
}

fn numbers(facts: &Facts, now: &Now, standing: &Standing) -> Vec<Item> {
    let mut items = Vec::new();
    if facts.registers("outgoing/final").is_empty() {
        items.push(item("final_read_missing", Weight::Open));
    }
    if facts.registers("incoming/start").is_empty() {
        items.push(item("start_read_missing", Weight::Open));
    }
    let seals = standing.step("seals").into_iter().flat_map(|step| step.missing());
    items.extend(seals.map(|want| at("seal_missing", Weight::Open, &want.place)));
    if matches!(billing::agreement(facts), Agreement::Differs { .. }) {
        items.push(item("multiplier_differs", Weight::Open));
    }
    let was_away = standing.replay.meter_out_at.is_some();
    if was_away && crate::clocks::bypassed_of(facts, &standing.replay, now).energy.is_err() {
        items.push(item("bypass_unknown", Weight::Open));
    }
    items
}

fn steps(standing: &Standing) -> Vec<Item> {
    let of = |step: &crate::standing::StepStanding| match &step.state {
        State::LeftOpen { why } => {
            Some(Item { what: What::Step(step.id), why: Some(why.clone()), ..item("step_left_open", Weight::Told) })
        }
        State::Now | State::PassedBy | State::Ahead if step.id != "close_out" => {
            Some(Item { what: What::Step(step.id), ..item("step_open", Weight::Open) })
        }
        _ => None,
    };
    standing.steps.iter().filter_map(of).collect()
}

fn log(facts: &Facts, fold: &Fold) -> Vec<Item> {
    let mut items: Vec<Item> = crate::facts::conflicts(fold)
        .into_iter()
        .map(|(kind, place)| Item { what: What::Slot { kind, place }, ..item("conflict", Weight::Stops) })
        .collect();
    if let Some(owed) = facts.one("inspection_owed", "") {
        let (by, why) = (owed.text("by").map(str::to_owned), owed.text("why").map(str::to_owned));
        items.push(Item { by, why, ..item("inspection_owed", Weight::Told) });
    }
    if facts.one("signed", "").is_none() {
        items.push(item("not_signed", Weight::Told));
    }
    items
}
