//! A job in a few lines, so that a thousand jobs are listed without folding one.

use crate::fold::{Fold, Live};
use crate::hash::Hash;
use crate::id::JobId;
use crate::moment::write_time;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// How far a job is, as far as its entries say so by themselves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Stands {
    /// Nothing but the office's own entries.
    New,
    /// Work has begun.
    UnderWay,
    /// Signed by a person.
    Signed,
}

/// A job in a few lines. Derived: it can be made again from the entries at any time.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Summary {
    /// The job.
    pub job: JobId,
    /// Root hash of the journal it was made from.
    pub root: Hash,
    /// How many entries that journal had.
    pub revision: usize,
    /// Where.
    pub site: Option<String>,
    /// Kind of visit.
    pub visit: Option<String>,
    /// Service.
    pub service: Option<String>,
    /// Whether it is practice.
    pub practice: bool,
    /// Who wrote last.
    pub who: Option<String>,
    /// When the first entry was written, by the clock of its device.
    pub first_at: Option<String>,
    /// When the last entry in the order of the journal was written, by the clock of its device.
    pub last_at: Option<String>,
    /// How far it is.
    pub stands: Stands,
    /// Steps done.
    pub steps_done: usize,
    /// Steps left open with a reason.
    pub steps_left_open: usize,
    /// The step written down last.
    pub last_step: Option<String>,
    /// The day by which an inspection under load is owed.
    pub owed_by: Option<String>,
    /// Slots with several values to choose from.
    pub conflicts: usize,
    /// Entries that this version does not know.
    pub unknown: usize,
    /// Numbers that one device gave twice.
    pub forks: usize,
    /// Codes set by whoever knows more of the trade, such as a short that is still in.
    #[serde(default)]
    pub marks: BTreeSet<String>,
}

/// Kinds that the office writes before anyone goes out.
const OFFICE: &[&str] = &["job", "site", "on_record"];

impl Summary {
    /// The summary of a fold, without marks.
    pub fn of(fold: &Fold) -> Self {
        let job = fold.one("job", "");
        let text =
            |live: Option<&Live>, field: &str| live.and_then(|live| live.fields.text(field)).map(ToOwned::to_owned);
        let written: Vec<&Live> = fold.pasts().map(|past| &past.entry).collect();
        let first = written.iter().min_by_key(|live| live.order);
        let last = written.iter().max_by_key(|live| live.order);
        let begun = written.iter().any(|live| !OFFICE.contains(&live.kind.as_str()));
        let steps: Vec<(&str, &Live)> = fold.each("step").collect();
        let last_step = steps.iter().max_by_key(|(_, live)| live.order).map(|(place, _)| (*place).to_owned());
        let stands = match (fold.one("signed", ""), begun) {
            (Some(_), _) => Stands::Signed,
            (None, true) => Stands::UnderWay,
            (None, false) => Stands::New,
        };
        Self {
            job: fold.job(),
            root: fold.root(),
            revision: fold.revision(),
            site: text(job, "site"),
            visit: text(job, "visit"),
            service: text(job, "service"),
            practice: job.is_some_and(|job| job.fields.is("practice", "yes")),
            who: last.map(|live| live.who.clone()),
            first_at: first.map(|live| write_time(live.at)),
            last_at: last.map(|live| write_time(live.at)),
            stands,
            steps_done: steps.iter().filter(|(_, live)| live.fields.is("state", "done")).count(),
            steps_left_open: steps.iter().filter(|(_, live)| live.fields.is("state", "left_open")).count(),
            last_step,
            owed_by: text(fold.one("inspection_owed", ""), "by"),
            conflicts: fold.conflicts().len(),
            unknown: fold.unknown().len(),
            forks: fold.forks().len(),
            marks: BTreeSet::new(),
        }
    }
}
