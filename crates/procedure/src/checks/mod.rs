//! The stop checks of a meter change: what each asks, whether it guards life, and how it stands over a job.

mod limits;
mod meters;
mod order;
mod readings;
mod switch;

pub use limits::*;
pub(crate) use readings::{dead_beside_loaded, dead_test};

use crate::facts::Facts;
use crate::replay::Replay;

/// One stop check.
#[derive(Debug)]
pub struct Check {
    /// Stable id: `check-<id>` is its question, `check-<id>.mend` what to do.
    pub id: &'static str,
    /// Guards life: no override, whoever asks.
    pub guards_life: bool,
    /// Whether a named person may override it with a reason.
    pub may_override: bool,
    judge: fn(&Context) -> Outcome,
}

/// What a check looks at.
pub(crate) struct Context<'a> {
    pub facts: Facts<'a>,
    pub replay: &'a Replay,
}

/// How a check stands.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome {
    /// It passes.
    Passes,
    /// What it looks at is not all there yet.
    Waits,
    /// It stops, at these places.
    Stops(Vec<Stop>),
}

/// One place where a check stops.
#[derive(Clone, Debug, PartialEq)]
pub struct Stop {
    /// Element, pole, position or code; empty when the check has one place only.
    pub place: String,
    /// What was found, where it is a number.
    pub found: Option<f64>,
    /// What was wanted, where it is a number.
    pub wanted: Option<f64>,
    /// Unit of both; empty for a pure number.
    pub unit: &'static str,
}

/// Who let a check pass, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Override {
    /// Name.
    pub by: String,
    /// Reason.
    pub why: String,
}

/// A check with its outcome over a job.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    /// Id of the check.
    pub id: &'static str,
    /// Guards life.
    pub guards_life: bool,
    /// Whether a named person may override it.
    pub may_override: bool,
    /// How it stands.
    pub outcome: Outcome,
    /// The override that is written down and counts; `None` for a check that takes none, whatever the log says.
    pub overridden: Option<Override>,
}

impl Judged {
    /// Whether the step may be done as far as this check goes.
    pub fn lets_pass(&self) -> bool {
        self.outcome == Outcome::Passes || self.overridden.is_some()
    }

    /// Places where it stops, joined by commas; empty where it does not.
    pub fn places(&self) -> String {
        match &self.outcome {
            Outcome::Stops(stops) => {
                let places: Vec<&str> =
                    stops.iter().map(|stop| stop.place.as_str()).filter(|place| !place.is_empty()).collect();
                places.join(", ")
            }
            _ => String::new(),
        }
    }
}

impl Outcome {
    /// Passes without stops, else stops at them.
    pub(crate) fn of(stops: Vec<Stop>) -> Self {
        if stops.is_empty() { Self::Passes } else { Self::Stops(stops) }
    }

    /// Stops at one place, without numbers.
    pub(crate) fn at(place: &str) -> Self {
        Self::Stops(vec![Stop::at(place)])
    }
}

impl Stop {
    pub(crate) fn at(place: &str) -> Self {
        Self { place: place.to_owned(), found: None, wanted: None, unit: "" }
    }

    pub(crate) fn number(place: &str, found: f64, wanted: f64, unit: &'static str) -> Self {
        Self { place: place.to_owned(), found: Some(found), wanted: Some(wanted), unit }
    }
}

const fn life(id: &'static str, judge: fn(&Context) -> Outcome) -> Check {
    Check { id, guards_life: true, may_override: false, judge }
}
const fn stop(id: &'static str, judge: fn(&Context) -> Outcome) -> Check {
    Check { id, guards_life: false, may_override: true, judge }
}

/// Every stop check. The two that guard life take no override; neither does the last one, so that no job is closed out with
/// a short in: such a job leaves its last step open, with a reason.
pub const CHECKS: &[Check] = &[
    stop("meter_fits", meters::meter_fits),
    stop("no_dispute", meters::no_dispute),
    stop("others_asked", meters::others_asked),
    stop("multiplier_agrees", meters::multiplier_agrees),
    stop("enclosure_dead", readings::enclosure_dead),
    stop("no_broken_ct", readings::no_broken_ct),
    stop("wiring_checked", readings::wiring_checked),
    life("short_proven", switch::short_proven),
    stop("reads_before_dark", order::reads_before_dark),
    life("no_vt_shorted", switch::no_vt_shorted),
    stop("neutral_last", order::neutral_last),
    stop("live_dead_live", readings::live_dead_live),
    stop("neutral_first", order::neutral_first),
    stop("boot_as_planned", meters::boot_as_planned),
    stop("start_before_load", order::start_before_load),
    stop("current_back", switch::current_back),
    stop("as_left_agrees", readings::as_left_agrees),
    stop("peak_reset_last", order::peak_reset_last),
    stop("seals_set", meters::seals_set),
    Check { id: "all_to_meter", guards_life: false, may_override: false, judge: switch::all_to_meter },
];

/// Ids of all checks, for the proof that each has a sentence.
pub const CHECK_CODES: &[&str] = &[
    "meter_fits",
    "no_dispute",
    "others_asked",
    "multiplier_agrees",
    "enclosure_dead",
    "no_broken_ct",
    "wiring_checked",
    "short_proven",
    "reads_before_dark",
    "no_vt_shorted",
    "neutral_last",
    "live_dead_live",
    "neutral_first",
    "boot_as_planned",
    "start_before_load",
    "current_back",
    "as_left_agrees",
    "peak_reset_last",
    "seals_set",
    "all_to_meter",
];

/// The check of this id.
pub fn find(id: &str) -> Option<&'static Check> {
    CHECKS.iter().find(|check| check.id == id)
}

impl Check {
    /// How it stands over a job.
    pub(crate) fn judge(&self, context: &Context) -> Judged {
        let overridden = context.facts.one("override", self.id).filter(|_| self.may_override).map(|row| Override {
            by: row.text("by").unwrap_or_default().to_owned(),
            why: row.text("why").unwrap_or_default().to_owned(),
        });
        Judged {
            id: self.id,
            guards_life: self.guards_life,
            may_override: self.may_override,
            outcome: (self.judge)(context),
            overridden,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_those_of_the_table() {
        let listed: Vec<&str> = CHECKS.iter().map(|check| check.id).collect();
        assert_eq!(listed, CHECK_CODES);
    }

    #[test]
    fn two_guard_life_and_take_no_override() {
        let life: Vec<&str> = CHECKS.iter().filter(|check| check.guards_life).map(|check| check.id).collect();
        assert_eq!(life, ["short_proven", "no_vt_shorted"]);
        assert!(CHECKS.iter().all(|check| !(check.guards_life && check.may_override)));
    }

    #[test]
    fn every_check_serves_a_step() {
        for check in CHECKS {
            assert!(crate::steps::METER_CHANGE.iter().any(|step| step.checks.contains(&check.id)), "{}", check.id);
        }
    }
}
