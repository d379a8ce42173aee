//! The log folded: what counts now in each slot, what was corrected or struck through, and what is in conflict.
//!
//! A pure function of the journal: the same entries give the same fold on every machine.

use crate::canonical::canonical_text;
use crate::entry::Entry;
use crate::hash::Hash;
use crate::id::{DeviceId, JobId};
use crate::journal::{Fork, Journal, spelled};
use crate::kinds::{self, Keeps};
use crate::moment::{read_time, write_time};
use crate::problem::Problem;
use crate::sorting::{sort_by, sort_by_key};
use crate::what::{Fields, put};
use chrono::{DateTime, FixedOffset};
use serde_json::{Map, Value};
use std::cmp::Ordering;

/// An entry as the fold shows it.
#[derive(Clone, Debug, PartialEq)]
pub struct Live {
    /// Its name.
    pub hash: Hash,
    /// The device that wrote it.
    pub device: DeviceId,
    /// Its number in that device's chain.
    pub n: u32,
    /// Its place in the order of the journal, from 0.
    pub order: usize,
    /// Who wrote it.
    pub who: String,
    /// When, by the device's clock.
    pub at: DateTime<FixedOffset>,
    /// Milliseconds since the program's start, by a clock that nobody can set.
    pub since_start_ms: u64,
    /// The run of the program.
    pub session: String,
    /// Its kind.
    pub kind: String,
    /// Its place.
    pub place: String,
    /// What it says.
    pub fields: Fields,
    /// The entry it corrects.
    pub replaces: Option<Hash>,
    /// Why it corrects it.
    pub reason: Option<String>,
}

/// What became of an entry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fate {
    /// It counts.
    Live,
    /// A later entry took its place.
    Replaced(Hash),
    /// A person chose another one.
    NotChosen(Hash),
    /// A person took it back.
    Withdrawn(Hash),
}

/// An entry of a slot's history with what became of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Past {
    /// The entry.
    pub entry: Live,
    /// What became of it.
    pub fate: Fate,
    /// Why, in the words of whoever replaced, chose or withdrew.
    pub why: Option<String>,
}

/// An entry that is kept though this version cannot say what it means.
#[derive(Clone, Debug, PartialEq)]
pub struct Unknown {
    /// Its name.
    pub hash: Hash,
    /// The version it was written in.
    pub v: u32,
    /// The device that wrote it.
    pub device: DeviceId,
    /// Its number in that device's chain.
    pub n: u32,
    /// Its kind, where it names one.
    pub kind: Option<String>,
}

/// A job as it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Fold {
    job: JobId,
    root: Hash,
    heads: Vec<(DeviceId, Vec<Hash>)>,
    order: Vec<Hash>,
    /// By kind, place and order of the journal: what is of one kind and place, a slot, stands together.
    pasts: Vec<Past>,
    unknown: Vec<Unknown>,
    forks: Vec<Fork>,
    problems: Vec<Problem>,
}

impl Fold {
    /// Folds a journal.
    pub fn of(journal: &Journal) -> Self {
        let mut fold = Self {
            job: journal.job(),
            root: journal.root(),
            heads: journal.heads(),
            order: Vec::new(),
            pasts: Vec::new(),
            unknown: Vec::new(),
            forks: journal.forks(),
            problems: Vec::new(),
        };
        for (order, entry) in journal.entries().iter().enumerate() {
            fold.order.push(entry.hash());
            match read_live(entry, order) {
                Some(entry) => fold.pasts.push(Past { entry, fate: Fate::Live, why: None }),
                None => fold.unknown.push(read_unknown(entry)),
            }
        }
        sort_by(&mut fold.pasts, |one, other| one.entry.slot().cmp(&other.entry.slot()));
        crate::settle::settle(journal, &mut fold.pasts, &mut fold.problems);
        fold
    }

    /// The job.
    pub fn job(&self) -> JobId {
        self.job
    }

    /// The root hash of the journal that was folded.
    pub fn root(&self) -> Hash {
        self.root
    }

    /// How many entries were folded.
    pub fn revision(&self) -> usize {
        self.order.len()
    }

    /// Every entry's hash, in the order of the journal.
    pub fn order(&self) -> &[Hash] {
        &self.order
    }

    /// The value of a slot that keeps one; `None` when there is none, and when there are several ([`Self::conflict`]).
    pub fn one(&self, kind: &str, place: &str) -> Option<&Live> {
        if keeps_one(kind) { only(self.history(kind, place)) } else { None }
    }

    /// The values of a slot that keeps one and has several: all are shown until a person chooses.
    pub fn conflict(&self, kind: &str, place: &str) -> Option<Vec<&Live>> {
        let live = self.live(kind, place);
        (live.len() > 1 && keeps_one(kind)).then_some(live)
    }

    /// Every slot in conflict: kind, place and values.
    pub fn conflicts(&self) -> Vec<(&str, &str, Vec<&Live>)> {
        let mut conflicts = Vec::new();
        for slot in slots(&self.pasts) {
            let live = live(slot);
            if let [first, _, ..] = live[..]
                && keeps_one(&first.kind)
            {
                conflicts.push((first.kind.as_str(), first.place.as_str(), live));
            }
        }
        conflicts
    }

    /// The slots of a kind that hold one value each, by place; those in conflict are left out.
    pub fn each<'a>(&'a self, kind: &str) -> impl Iterator<Item = (&'a str, &'a Live)> + use<'a> {
        slots(self.kind(kind)).filter_map(|slot| only(slot).map(|live| (live.place.as_str(), live)))
    }

    /// Everything of a kind that counts, over all places, in the order of the journal.
    pub fn all(&self, kind: &str) -> Vec<&Live> {
        let mut all = live(self.kind(kind));
        sort_by_key(&mut all, |live| live.order);
        all
    }

    /// Everything in one slot that counts, in the order of the journal.
    pub fn live(&self, kind: &str, place: &str) -> Vec<&Live> {
        live(self.history(kind, place))
    }

    /// The latest of what counts in one slot.
    pub fn last(&self, kind: &str, place: &str) -> Option<&Live> {
        let counts = |past: &&Past| past.fate == Fate::Live;
        self.history(kind, place).iter().rev().find(counts).map(|past| &past.entry)
    }

    /// Everything ever written in a slot, in the order of the journal, with what became of it.
    pub fn history(&self, kind: &str, place: &str) -> &[Past] {
        part(self.kind(kind), &|past| past.entry.place.as_str().cmp(place))
    }

    fn kind(&self, kind: &str) -> &[Past] {
        part(&self.pasts, &|past| past.entry.kind.as_str().cmp(kind))
    }

    /// One entry by its hash, with what became of it.
    pub fn find(&self, hash: Hash) -> Option<&Past> {
        self.pasts.iter().find(|past| past.entry.hash == hash)
    }

    /// Everything that could be read, by kind, place and order of the journal.
    pub fn pasts(&self) -> impl Iterator<Item = &Past> {
        self.pasts.iter()
    }

    /// Entries that are kept though this version does not know what they mean.
    pub fn unknown(&self) -> &[Unknown] {
        &self.unknown
    }

    /// Numbers that one device gave twice.
    pub fn forks(&self) -> &[Fork] {
        &self.forks
    }

    /// Corrections, choices and withdrawals that point nowhere; paths are of the form `/entries/<hash>/…`.
    pub fn problems(&self) -> &[Problem] {
        &self.problems
    }

    /// Kind, place and whether it counts, of what could be corrected.
    pub(crate) fn slot_of(&self, hash: Hash) -> Option<(&str, &str, bool)> {
        let past = self.find(hash).filter(|past| !is_ruling(&past.entry.kind))?;
        Some((&past.entry.kind, &past.entry.place, past.fate == Fate::Live))
    }

    /// The whole fold as one JSON value: its canonical form has the same bytes on every machine.
    pub fn to_json(&self) -> Value {
        let mut heads = Map::new();
        for (device, hashes) in &self.heads {
            heads.insert(device.to_string(), spelled(hashes));
        }
        let mut slots_out = Vec::new();
        for slot in slots(&self.pasts) {
            let Some(first) = slot.first() else { continue };
            let (mut live, mut past) = (Vec::new(), Vec::new());
            for one in slot {
                if one.fate == Fate::Live { &mut live } else { &mut past }.push(one.to_json());
            }
            let mut out = Map::new();
            put(&mut out, "kind", first.entry.kind.as_str());
            put(&mut out, "place", first.entry.place.as_str());
            put(&mut out, "live", live);
            put(&mut out, "past", past);
            slots_out.push(Value::Object(out));
        }
        let mut unknown = Vec::new();
        for entry in &self.unknown {
            let mut out = Map::new();
            put(&mut out, "hash", entry.hash.to_string());
            put(&mut out, "v", entry.v);
            put(&mut out, "device", entry.device.to_string());
            put(&mut out, "n", entry.n);
            put(&mut out, "kind", entry.kind.as_deref().map_or(Value::Null, Value::from));
            unknown.push(Value::Object(out));
        }
        let mut forks = Vec::new();
        for fork in &self.forks {
            let mut out = Map::new();
            put(&mut out, "device", fork.device.to_string());
            put(&mut out, "n", fork.n);
            put(&mut out, "entries", spelled(&fork.entries));
            forks.push(Value::Object(out));
        }
        let mut out = Map::new();
        put(&mut out, "fold", 1);
        put(&mut out, "job", self.job.to_string());
        put(&mut out, "root", self.root.to_string());
        put(&mut out, "heads", heads);
        put(&mut out, "order", spelled(&self.order));
        put(&mut out, "slots", slots_out);
        put(&mut out, "unknown", unknown);
        put(&mut out, "forks", forks);
        Value::Object(out)
    }

    /// The canonical text of [`Self::to_json`].
    pub fn to_text(&self) -> String {
        canonical_text(&self.to_json())
    }
}

impl Live {
    /// Kind and place.
    pub(crate) fn slot(&self) -> (&str, &str) {
        (&self.kind, &self.place)
    }
}

impl Past {
    fn to_json(&self) -> Value {
        let live = &self.entry;
        let mut out = Map::new();
        put(&mut out, "hash", live.hash.to_string());
        put(&mut out, "device", live.device.to_string());
        put(&mut out, "n", live.n);
        put(&mut out, "order", live.order);
        put(&mut out, "at", write_time(live.at));
        put(&mut out, "session", live.session.as_str());
        put(&mut out, "since_start_ms", live.since_start_ms);
        put(&mut out, "who", live.who.as_str());
        put(&mut out, "fields", live.fields.as_map().clone());
        if let Some(replaces) = live.replaces {
            put(&mut out, "replaces", replaces.to_string());
        }
        if let Some(reason) = &live.reason {
            put(&mut out, "reason", reason.as_str());
        }
        let fate = match self.fate {
            Fate::Live => None,
            Fate::Replaced(by) => Some(("replaced", by)),
            Fate::NotChosen(by) => Some(("not_chosen", by)),
            Fate::Withdrawn(by) => Some(("withdrawn", by)),
        };
        if let Some((fate, by)) = fate {
            put(&mut out, "fate", fate);
            put(&mut out, "by", by.to_string());
        }
        if let Some(why) = &self.why {
            put(&mut out, "why", why.as_str());
        }
        Value::Object(out)
    }
}

fn keeps_one(kind: &str) -> bool {
    kinds::find(kind).is_some_and(|kind| kind.keeps == Keeps::One)
}

/// The slots of a list that stands by kind and place.
fn slots(pasts: &[Past]) -> impl Iterator<Item = &[Past]> {
    pasts.chunk_by(|one, other| one.entry.slot() == other.entry.slot())
}

/// What counts.
fn live(pasts: &[Past]) -> Vec<&Live> {
    let mut live = Vec::new();
    for past in pasts {
        if past.fate == Fate::Live {
            live.push(&past.entry);
        }
    }
    live
}

/// The one entry that counts, if it is one.
fn only(slot: &[Past]) -> Option<&Live> {
    let mut found = None;
    for past in slot {
        if past.fate == Fate::Live {
            if found.is_some() {
                return None;
            }
            found = Some(&past.entry);
        }
    }
    found
}

/// The part of a sorted list of what is equal to something.
pub(crate) fn part<'a>(pasts: &'a [Past], compare: &dyn Fn(&Past) -> Ordering) -> &'a [Past] {
    let bound = |below: Ordering| pasts.partition_point(|past| compare(past) <= below);
    pasts.get(bound(Ordering::Less)..bound(Ordering::Equal)).unwrap_or_default()
}

/// Whether entries of this kind rule over others instead of saying something about the job.
pub(crate) fn is_ruling(kind: &str) -> bool {
    kind == kinds::CHOICE || kind == kinds::WITHDRAWAL
}

fn read_live(entry: &Entry, order: usize) -> Option<Live> {
    let tree = entry.as_today().ok()?;
    let text = |key: &str| tree.get(key).and_then(Value::as_str);
    let what = tree.get("what")?;
    let kind = what.get("kind")?.as_str()?;
    let place = what.get("place")?.as_str()?;
    kinds::find(kind).filter(|known| known.has_place(place))?;
    Some(Live {
        hash: entry.hash(),
        device: entry.device(),
        n: entry.n(),
        order,
        who: text("who")?.to_owned(),
        at: read_time(text("at")?)?,
        since_start_ms: tree.get("since_start_ms")?.as_u64()?,
        session: text("session")?.to_owned(),
        kind: kind.to_owned(),
        place: place.to_owned(),
        fields: Fields::from_map(what.get("fields")?.as_object()?.clone()),
        replaces: text("replaces").and_then(|hash| hash.parse().ok()),
        reason: text("reason").map(ToOwned::to_owned),
    })
}

fn read_unknown(entry: &Entry) -> Unknown {
    let kind = entry.tree().pointer("/what/kind").and_then(Value::as_str).map(ToOwned::to_owned);
    Unknown { hash: entry.hash(), v: entry.v(), device: entry.device(), n: entry.n(), kind }
}
