//! A job in a few lines, so that a thousand jobs are listed without folding one.

use crate::canonical::canonical_text;
use crate::fold::{Fold, Live};
use crate::hash::Hash;
use crate::id::JobId;
use crate::moment::write_time;
use crate::sorting::sort_by;
use crate::strict;
use crate::what::put;
use serde_json::{Map, Value};

/// How far a job is, as far as its entries say so by themselves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stands {
    /// Nothing but the office's own entries.
    New,
    /// Work has begun.
    UnderWay,
    /// Signed by a person.
    Signed,
}

/// A job in a few lines. Derived: it can be made again from the entries at any time.
#[derive(Clone, Debug, PartialEq, Eq)]
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
    pub marks: Marks,
}

/// Texts in their order, each once.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Marks(Vec<String>);

impl Marks {
    /// The texts.
    pub fn iter(&self) -> std::slice::Iter<'_, String> {
        self.0.iter()
    }
}

impl FromIterator<String> for Marks {
    fn from_iter<I: IntoIterator<Item = String>>(texts: I) -> Self {
        let mut texts: Vec<String> = texts.into_iter().collect();
        sort_by(&mut texts, Ord::cmp);
        texts.dedup();
        Self(texts)
    }
}

/// Kinds that the office writes before anyone goes out.
const OFFICE: &[&str] = &["job", "site", "on_record"];

impl Summary {
    /// The summary of a fold, without marks.
    pub fn of(fold: &Fold) -> Self {
        let job = fold.one("job", "");
        let text =
            |live: Option<&Live>, field: &str| live.and_then(|live| live.fields.text(field)).map(ToOwned::to_owned);
        let (mut first, mut last, mut last_step): (Option<&Live>, Option<&Live>, Option<&Live>) = (None, None, None);
        let mut begun = false;
        for past in fold.pasts() {
            let live = &past.entry;
            if first.is_none_or(|first| live.order < first.order) {
                first = Some(live);
            }
            if last.is_none_or(|last| live.order > last.order) {
                last = Some(live);
            }
            begun |= !OFFICE.contains(&live.kind.as_str());
        }
        let (mut steps_done, mut steps_left_open) = (0, 0);
        for (_, step) in fold.each("step") {
            if last_step.is_none_or(|last| step.order > last.order) {
                last_step = Some(step);
            }
            steps_done += usize::from(step.fields.is("state", "done"));
            steps_left_open += usize::from(step.fields.is("state", "left_open"));
        }
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
            steps_done,
            steps_left_open,
            last_step: last_step.map(|live| live.place.clone()),
            owed_by: text(fold.one("inspection_owed", ""), "by"),
            conflicts: fold.conflicts().len(),
            unknown: fold.unknown().len(),
            forks: fold.forks().len(),
            marks: Marks::default(),
        }
    }

    /// The summary as one line of JSON; [`Self::from_text`] reads it.
    pub fn to_text(&self) -> String {
        canonical_text(&self.to_json())
    }

    /// Reads what [`Self::to_text`] wrote; `None` for anything that lacks a field or holds another sort of value.
    pub fn from_text(text: &str) -> Option<Self> {
        Self::from_json(&strict::parse(text.as_bytes()).ok()?)
    }

    fn to_json(&self) -> Value {
        let mut tree = Map::new();
        put(&mut tree, "job", self.job.to_string());
        put(&mut tree, "root", self.root.to_string());
        put(&mut tree, "practice", self.practice);
        put(&mut tree, "stands", STANDS.iter().find(|(stands, _)| *stands == self.stands).map(|(_, name)| *name));
        let texts = [&self.site, &self.visit, &self.service, &self.who, &self.first_at, &self.last_at];
        for (name, text) in TEXTS.into_iter().zip(texts.into_iter().chain([&self.last_step, &self.owed_by])) {
            put(&mut tree, name, text.as_deref());
        }
        let counts = [self.revision, self.steps_done, self.steps_left_open, self.conflicts, self.unknown, self.forks];
        for (name, count) in COUNTS.into_iter().zip(counts) {
            put(&mut tree, name, count);
        }
        let mut marks = Vec::new();
        for mark in self.marks.iter() {
            marks.push(Value::from(mark.as_str()));
        }
        put(&mut tree, "marks", marks);
        Value::Object(tree)
    }

    fn from_json(tree: &Value) -> Option<Self> {
        let stands = tree.get("stands")?.as_str()?;
        let mut texts = Vec::new();
        for name in TEXTS {
            texts.push(match tree.get(name) {
                None | Some(Value::Null) => None,
                Some(text) => Some(text.as_str()?.to_owned()),
            });
        }
        let mut counts = [0; COUNTS.len()];
        for (name, count) in COUNTS.into_iter().zip(&mut counts) {
            *count = usize::try_from(tree.get(name)?.as_u64()?).ok()?;
        }
        let mut marks = Vec::new();
        if let Some(list) = tree.get("marks") {
            for mark in list.as_array()? {
                marks.push(mark.as_str()?.to_owned());
            }
        }
        let [site, visit, service, who, first_at, last_at, last_step, owed_by] = texts.try_into().ok()?;
        let [revision, steps_done, steps_left_open, conflicts, unknown, forks] = counts;
        Some(Self {
            job: tree.get("job")?.as_str()?.parse().ok()?,
            root: tree.get("root")?.as_str()?.parse().ok()?,
            revision,
            site,
            visit,
            service,
            practice: tree.get("practice")?.as_bool()?,
            who,
            first_at,
            last_at,
            stands: STANDS.iter().find(|(_, name)| *name == stands).map(|(stands, _)| *stands)?,
            steps_done,
            steps_left_open,
            last_step,
            owed_by,
            conflicts,
            unknown,
            forks,
            marks: marks.into_iter().collect(),
        })
    }
}

/// How it is written how far a job is.
const STANDS: [(Stands, &str); 3] = [(Stands::New, "new"), (Stands::UnderWay, "under_way"), (Stands::Signed, "signed")];
/// Fields of text, each of which may be absent.
const TEXTS: [&str; 8] = ["site", "visit", "service", "who", "first_at", "last_at", "last_step", "owed_by"];
/// Fields of whole numbers.
const COUNTS: [&str; 6] = ["revision", "steps_done", "steps_left_open", "conflicts", "unknown", "forks"];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::journal::Journal;

    fn sample() -> Summary {
        let mut summary = Summary::of(&Fold::of(&Journal::new(JobId::from_bits([7; 16]))));
        summary.site = Some("Pump house".to_owned());
        summary.last_step = Some("seals".to_owned());
        summary.stands = Stands::UnderWay;
        summary.steps_done = 14;
        summary.marks = ["b:x", "a:", "b:x"].into_iter().map(ToOwned::to_owned).collect();
        summary
    }

    #[test]
    fn what_is_written_is_read_again_whole() {
        let summary = sample();
        assert_eq!(Summary::from_text(&summary.to_text()), Some(summary.clone()));
        assert!(summary.marks.iter().eq(["a:", "b:x"]));
    }

    /// As stored before the list was written in the order of its names.
    #[test]
    fn a_list_in_another_order_and_without_what_may_be_absent_is_read() {
        let text = format!(
            "{{\"job\":\"{}\",\"root\":\"{}\",\"revision\":0,\"site\":\"Pump house\",\"practice\":false,\
             \"stands\":\"under_way\",\"steps_done\":14,\"steps_left_open\":0,\"last_step\":\"seals\",\
             \"conflicts\":0,\"unknown\":0,\"forks\":0,\"new_field\":1}}",
            sample().job,
            sample().root
        );
        let read = Summary::from_text(&text).unwrap();
        assert_eq!(read, Summary { marks: Marks::default(), ..sample() });
    }

    #[test]
    fn what_is_no_summary_is_not_read() {
        let text = sample().to_text();
        for (found, wrong) in
            [("under_way", "lost"), ("\"practice\":false,", ""), (":14", ":\"14\""), ("[\"a:\"", "[1")]
        {
            assert!(text.contains(found));
            assert_eq!(Summary::from_text(&text.replace(found, wrong)), None, "{found}");
        }
    }
}
