//! One entry of a job's log: the JSON tree as read, its hash, and typed access.

use crate::canonical::canonical_text;
use crate::hash::Hash;
use crate::id::{DeviceId, JobId};
use crate::journal::spelled;
use crate::moment::{read_time, write_time};
use crate::problem::{Problem, code, pointer};
use crate::strict;
use crate::version::{self, BREAKING, UpgradeError};
use crate::what::{Draft, put};
use chrono::{DateTime, FixedOffset};
use serde_json::{Map, Value};
use std::borrow::Cow;

/// Longest text of `who`, in characters.
const WHO: usize = 80;
/// Longest text of `session`, in characters.
const SESSION: usize = 64;
/// Longest text of `reason`, in characters.
pub(crate) const REASON: usize = 400;
/// Most heads that an entry lists as seen: one per other device of the job, and a job has a handful.
pub(crate) const MOST_SEEN: usize = 256;
/// Fields of an entry of today's version.
const KNOWN: &[&str] = &[
    "v",
    "job",
    "device",
    "n",
    "prev",
    "seen",
    "at",
    "session",
    "since_start_ms",
    "who",
    "what",
    "replaces",
    "reason",
];

/// Who writes when: the same for all entries of one step-back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stamp {
    /// The device's clock, with the offset of the place.
    pub at: DateTime<FixedOffset>,
    /// Name of the run of the program, new at each start.
    pub session: String,
    /// Milliseconds since that start, by a clock that nobody can set.
    pub since_start_ms: u64,
    /// The person who writes.
    pub who: String,
}

/// One entry. The tree is kept as it was read, unknown fields included, for the hash is taken over it.
#[derive(Clone, Debug)]
pub struct Entry {
    tree: Value,
    hash: Hash,
    v: u32,
    job: JobId,
    device: DeviceId,
    n: u32,
    prev: Option<Hash>,
    seen: Vec<Hash>,
}

impl PartialEq for Entry {
    fn eq(&self, other: &Self) -> bool {
        self.hash == other.hash
    }
}

impl Eq for Entry {}

/// Where in the chain a new entry goes.
pub(crate) struct Link {
    pub job: JobId,
    pub device: DeviceId,
    pub n: u32,
    pub prev: Option<Hash>,
    pub seen: Vec<Hash>,
}

impl Entry {
    /// Takes a tree, and reports everything that is wrong with it as an entry; what it says is checked elsewhere.
    ///
    /// The second value holds what is wrong although the entry can stand in a chain.
    ///
    /// # Errors
    /// Every problem found, when the tree cannot stand in a chain.
    pub fn from_tree(tree: Value) -> Result<(Self, Vec<Problem>), Vec<Problem>> {
        let mut problems = Vec::new();
        let Some(map) = tree.as_object() else {
            return Err(vec![Problem::new(code::ENTRY_NOT_OBJECT, "", &canonical_text(&tree), "{…}")]);
        };
        let skeleton = Skeleton::read(map, &mut problems);
        if problems.is_empty() && skeleton.v <= BREAKING {
            let mut lesser = Vec::new();
            check_header(map, &mut lesser);
            return Ok((skeleton.clothe(tree), lesser));
        }
        if problems.is_empty() {
            let note = Problem::new(code::ENTRY_FROM_THE_FUTURE, "/v", &skeleton.v.to_string(), BREAKING.to_string());
            return Ok((skeleton.clothe(tree), vec![note]));
        }
        Err(problems)
    }

    /// Reads one entry from its text.
    ///
    /// # Errors
    /// Every problem found, when the text is no entry.
    pub fn from_text(text: &str) -> Result<(Self, Vec<Problem>), Vec<Problem>> {
        Self::from_tree(strict::parse(text.as_bytes())?)
    }

    /// Writes a new entry of today's version. The caller has checked the draft.
    pub(crate) fn write(link: Link, stamp: &Stamp, draft: &Draft) -> Self {
        let mut tree = Map::new();
        put(&mut tree, "v", BREAKING);
        put(&mut tree, "job", link.job.to_string());
        put(&mut tree, "device", link.device.to_string());
        put(&mut tree, "n", link.n);
        put(&mut tree, "prev", link.prev.map_or(Value::Null, |hash| Value::from(hash.to_string())));
        put(&mut tree, "seen", spelled(&link.seen));
        put(&mut tree, "at", write_time(stamp.at));
        put(&mut tree, "session", stamp.session.as_str());
        put(&mut tree, "since_start_ms", stamp.since_start_ms);
        put(&mut tree, "who", stamp.who.as_str());
        put(&mut tree, "what", draft.what.to_tree());
        if let Some(replaces) = draft.replaces {
            put(&mut tree, "replaces", replaces.to_string());
        }
        if let Some(reason) = &draft.reason {
            put(&mut tree, "reason", reason.as_str());
        }
        let Link { job, device, n, prev, seen } = link;
        Skeleton { v: BREAKING, job: Some(job), device: Some(device), n, prev, seen }.clothe(Value::Object(tree))
    }

    /// The tree as read.
    pub fn tree(&self) -> &Value {
        &self.tree
    }

    /// The canonical text of the tree: what is stored, one line.
    pub fn to_text(&self) -> String {
        canonical_text(&self.tree)
    }

    /// The tree as today's version understands it.
    ///
    /// # Errors
    /// [`UpgradeError`] when the entry is from the future or a step fails.
    pub fn as_today(&self) -> Result<Cow<'_, Value>, UpgradeError> {
        version::as_today(&self.tree)
    }

    /// Its name: the hash over the canonical form of the tree.
    pub fn hash(&self) -> Hash {
        self.hash
    }

    /// The version it was written in.
    pub fn v(&self) -> u32 {
        self.v
    }

    /// The job it belongs to.
    pub fn job(&self) -> JobId {
        self.job
    }

    /// The device that wrote it.
    pub fn device(&self) -> DeviceId {
        self.device
    }

    /// Its number in the device's chain, from 1.
    pub fn n(&self) -> u32 {
        self.n
    }

    /// The entry before it in the device's chain.
    pub fn prev(&self) -> Option<Hash> {
        self.prev
    }

    /// The ends of the other chains that the device knew.
    pub fn seen(&self) -> &[Hash] {
        &self.seen
    }
}

/// What no version may change: the part by which entries hang together.
struct Skeleton {
    v: u32,
    job: Option<JobId>,
    device: Option<DeviceId>,
    n: u32,
    prev: Option<Hash>,
    seen: Vec<Hash>,
}

impl Skeleton {
    fn read(map: &Map<String, Value>, problems: &mut Vec<Problem>) -> Self {
        let mut reader = Reader { map, problems };
        let v = reader.number("v");
        let job = reader.parsed("job", "26 a-z 2-7");
        let device = reader.parsed("device", "26 a-z 2-7");
        let n = reader.number("n");
        let prev = reader.prev(n);
        let seen = reader.seen();
        Self { v, job, device, n, prev, seen }
    }

    /// Every reader of a skeleton with a problem turns back before this, so the two names are there.
    fn clothe(self, tree: Value) -> Entry {
        let hash = Hash::of_tree(&tree);
        let none = [0; 16];
        Entry {
            tree,
            hash,
            v: self.v,
            job: self.job.unwrap_or(JobId::from_bits(none)),
            device: self.device.unwrap_or(DeviceId::from_bits(none)),
            n: self.n,
            prev: self.prev,
            seen: self.seen,
        }
    }
}

struct Reader<'a> {
    map: &'a Map<String, Value>,
    problems: &'a mut Vec<Problem>,
}

impl Reader<'_> {
    fn wrong(&mut self, field: &str, found: &Value, wanted: &str) {
        self.problems.push(Problem::new(code::ENTRY_FIELD_WRONG, pointer(field), &canonical_text(found), wanted));
    }

    fn field(&mut self, field: &str, wanted: &str) -> Option<&Value> {
        let found = self.map.get(field);
        if found.is_none() {
            self.problems.push(Problem::new(code::ENTRY_FIELD_MISSING, pointer(field), "", wanted));
        }
        found
    }

    fn number(&mut self, field: &str) -> u32 {
        const WANTED: &str = "1…4294967295";
        let Some(found) = self.field(field, WANTED).cloned() else { return 0 };
        let number = found.as_u64().and_then(|number| u32::try_from(number).ok()).filter(|number| *number > 0);
        number.unwrap_or_else(|| {
            self.wrong(field, &found, WANTED);
            0
        })
    }

    fn parsed<T: std::str::FromStr>(&mut self, field: &str, wanted: &str) -> Option<T> {
        let found = self.field(field, wanted)?.clone();
        let parsed = found.as_str().and_then(|text| text.parse().ok());
        if parsed.is_none() {
            self.wrong(field, &found, wanted);
        }
        parsed
    }

    fn prev(&mut self, n: u32) -> Option<Hash> {
        let first = n == 1;
        let wanted = if first { "null" } else { "64 0-9 a-f" };
        let found = self.field("prev", wanted)?.clone();
        let prev = found.as_str().and_then(|text| text.parse().ok());
        // Only the first entry of a chain has nothing before it.
        if prev.is_none() != first || (first && !found.is_null()) {
            self.wrong("prev", &found, wanted);
        }
        prev
    }

    fn seen(&mut self) -> Vec<Hash> {
        const WANTED: &str = "[64 0-9 a-f] ↑ 0…256";
        let Some(found) = self.field("seen", WANTED).cloned() else { return Vec::new() };
        let read: Option<Vec<Hash>> = found
            .as_array()
            .and_then(|list| list.iter().map(|hash| hash.as_str().and_then(|text| text.parse().ok())).collect());
        match read {
            Some(seen) if seen.len() <= MOST_SEEN && seen.is_sorted_by(|a, b| a < b) => seen,
            _ => {
                self.wrong("seen", &found, WANTED);
                Vec::new()
            }
        }
    }
}

/// What else an entry of today's version must hold beside its skeleton.
fn check_header(map: &Map<String, Value>, problems: &mut Vec<Problem>) {
    let mut reader = Reader { map, problems };
    reader.check("at", "RFC 3339", &|found| found.as_str().and_then(read_time).is_some());
    reader.check("session", "1…64", &|found| is_text(found, SESSION));
    reader.check("since_start_ms", "0…9007199254740991", &Value::is_u64);
    reader.check("who", "1…80", &|found| is_text(found, WHO));
    reader.check("what", "{kind, place, fields}", &|found| {
        found.as_object().is_some_and(|what| {
            what.get("kind").is_some_and(Value::is_string)
                && what.get("place").is_some_and(Value::is_string)
                && what.get("fields").is_some_and(Value::is_object)
                && what.len() == 3
        })
    });
    if map.contains_key("replaces") {
        reader
            .check("replaces", "64 0-9 a-f", &|found| found.as_str().is_some_and(|text| text.parse::<Hash>().is_ok()));
        if !map.contains_key("reason") {
            reader.problems.push(Problem::new(code::REASON_MISSING, "/reason", "", "1…400"));
        }
    }
    if map.contains_key("reason") {
        reader.check("reason", "1…400", &|found| is_text(found, REASON));
    }
    for key in map.keys().filter(|key| !KNOWN.contains(&key.as_str())) {
        problems.push(Problem::new(code::ENTRY_FIELD_UNKNOWN, pointer(key), key, ""));
    }
}

impl Reader<'_> {
    fn check(&mut self, field: &str, wanted: &str, good: &dyn Fn(&Value) -> bool) {
        let Some(found) = self.field(field, wanted).cloned() else { return };
        if !good(&found) {
            self.wrong(field, &found, wanted);
        }
    }
}

fn is_text(value: &Value, most: usize) -> bool {
    value.as_str().is_some_and(|text| is_line(text, most))
}

/// Whether a text is not blank, not too long and free of control characters and direction marks.
fn is_line(text: &str, most: usize) -> bool {
    !text.trim().is_empty()
        && text.chars().count() <= most
        && !text.chars().any(|letter| letter.is_control() || crate::problem::is_direction_mark(letter))
}

/// What is wrong with a stamp.
pub(crate) fn check_stamp(stamp: &Stamp) -> Vec<Problem> {
    let mut problems = Vec::new();
    for (path, text, most) in [("/session", &stamp.session, SESSION), ("/who", &stamp.who, WHO)] {
        if !is_line(text, most) {
            problems.push(Problem::new(code::ENTRY_FIELD_WRONG, path, text, format!("1…{most}")));
        }
    }
    let at = write_time(stamp.at);
    if read_time(&at).is_none() {
        problems.push(Problem::new(code::ENTRY_FIELD_WRONG, "/at", &at, "RFC 3339"));
    }
    if stamp.since_start_ms > strict::LARGEST {
        let found = stamp.since_start_ms.to_string();
        problems.push(Problem::new(
            code::ENTRY_FIELD_WRONG,
            "/since_start_ms",
            &found,
            format!("0…{}", strict::LARGEST),
        ));
    }
    problems
}
