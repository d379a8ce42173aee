//! The log folded: what counts now in each slot, what was corrected or struck through, and what is in conflict.
//!
//! A pure function of the journal: the same entries give the same fold on every machine.

use crate::entry::Entry;
use crate::hash::{Hash, canonical_text};
use crate::id::{DeviceId, JobId};
use crate::journal::{Fork, Journal};
use crate::kinds::{self, Keeps};
use crate::moment::read_time;
use crate::problem::Problem;
use crate::what::Fields;
use chrono::{DateTime, FixedOffset};
use serde_json::{Value, json};
use std::collections::BTreeMap;

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

#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Slot {
    keeps: Keeps,
    history: Vec<Past>,
}

/// A job as it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Fold {
    job: JobId,
    root: Hash,
    heads: BTreeMap<DeviceId, Vec<Hash>>,
    order: Vec<Hash>,
    slots: BTreeMap<String, BTreeMap<String, Slot>>,
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
            order: journal.entries().iter().map(|entry| entry.hash()).collect(),
            slots: BTreeMap::new(),
            unknown: Vec::new(),
            forks: journal.forks(),
            problems: Vec::new(),
        };
        for (order, entry) in journal.entries().iter().enumerate() {
            match read_live(entry, order) {
                Some((live, keeps)) => fold.place(live, keeps),
                None => fold.unknown.push(read_unknown(entry)),
            }
        }
        crate::settle::settle(journal, &mut fold.slots, &mut fold.problems);
        fold
    }

    fn place(&mut self, live: Live, keeps: Keeps) {
        let places = self.slots.entry(live.kind.clone()).or_default();
        let slot = places.entry(live.place.clone()).or_insert_with(|| Slot { keeps, history: Vec::new() });
        slot.history.push(Past { entry: live, fate: Fate::Live, why: None });
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
        let slot = self.slot(kind, place).filter(|slot| slot.keeps == Keeps::One)?;
        let mut live = slot.live();
        live.next().filter(|_| live.next().is_none())
    }

    /// The values of a slot that keeps one and has several: all are shown until a person chooses.
    pub fn conflict(&self, kind: &str, place: &str) -> Option<Vec<&Live>> {
        let slot = self.slot(kind, place).filter(|slot| slot.keeps == Keeps::One)?;
        let live: Vec<&Live> = slot.live().collect();
        (live.len() > 1).then_some(live)
    }

    /// Every slot in conflict: kind, place and values.
    pub fn conflicts(&self) -> Vec<(&str, &str, Vec<&Live>)> {
        let slots =
            self.slots.iter().flat_map(|(kind, places)| places.iter().map(move |(place, slot)| (kind, place, slot)));
        slots
            .filter(|(_, _, slot)| slot.keeps == Keeps::One)
            .map(|(kind, place, slot)| (kind.as_str(), place.as_str(), slot.live().collect::<Vec<_>>()))
            .filter(|(_, _, live)| live.len() > 1)
            .collect()
    }

    /// The slots of a kind that hold one value each, by place; those in conflict are left out.
    pub fn each<'a>(&'a self, kind: &str) -> impl Iterator<Item = (&'a str, &'a Live)> + use<'a> {
        let places = self.slots.get(kind);
        places.into_iter().flatten().filter_map(|(place, slot)| {
            let mut live = slot.live();
            let first = live.next()?;
            live.next().is_none().then_some((place.as_str(), first))
        })
    }

    /// Everything of a kind that counts, over all places, in the order of the journal.
    pub fn all(&self, kind: &str) -> Vec<&Live> {
        let places = self.slots.get(kind);
        let mut all: Vec<&Live> = places.into_iter().flatten().flat_map(|(_, slot)| slot.live()).collect();
        all.sort_by_key(|live| live.order);
        all
    }

    /// Everything in one slot that counts, in the order of the journal.
    pub fn live(&self, kind: &str, place: &str) -> Vec<&Live> {
        self.slot(kind, place).into_iter().flat_map(Slot::live).collect()
    }

    /// The latest of what counts in one slot.
    pub fn last(&self, kind: &str, place: &str) -> Option<&Live> {
        self.slot(kind, place)?.live().last()
    }

    /// Everything ever written in a slot, in the order of the journal, with what became of it.
    pub fn history(&self, kind: &str, place: &str) -> &[Past] {
        self.slot(kind, place).map_or(&[], |slot| &slot.history)
    }

    /// One entry by its hash, with what became of it.
    pub fn find(&self, hash: Hash) -> Option<&Past> {
        self.pasts().find(|past| past.entry.hash == hash)
    }

    /// Everything that could be read, by kind, place and order of the journal.
    pub fn pasts(&self) -> impl Iterator<Item = &Past> {
        self.slots.values().flat_map(BTreeMap::values).flat_map(|slot| slot.history.iter())
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

    fn slot(&self, kind: &str, place: &str) -> Option<&Slot> {
        self.slots.get(kind)?.get(place)
    }

    /// The whole fold as one JSON value: its canonical form has the same bytes on every machine.
    pub fn to_json(&self) -> Value {
        let slots = self.slots.iter().flat_map(|(kind, places)| {
            places.iter().map(move |(place, slot)| {
                let (live, past): (Vec<&Past>, Vec<&Past>) =
                    slot.history.iter().partition(|past| past.fate == Fate::Live);
                let write = |list: Vec<&Past>| list.into_iter().map(Past::to_json).collect::<Vec<_>>();
                json!({"kind": kind, "place": place, "live": write(live), "past": write(past)})
            })
        });
        let unknown = self.unknown.iter().map(
            |entry| json!({"hash": entry.hash, "v": entry.v, "device": entry.device, "n": entry.n, "kind": entry.kind}),
        );
        let forks = self.forks.iter().map(|fork| json!({"device": fork.device, "n": fork.n, "entries": fork.entries}));
        json!({
            "fold": 1,
            "job": self.job,
            "root": self.root,
            "heads": self.heads.iter().map(|(device, heads)| (device.to_string(), json!(heads))).collect::<serde_json::Map<_, _>>(),
            "order": self.order,
            "slots": slots.collect::<Vec<_>>(),
            "unknown": unknown.collect::<Vec<_>>(),
            "forks": forks.collect::<Vec<_>>(),
        })
    }

    /// The canonical text of [`Self::to_json`].
    pub fn to_text(&self) -> String {
        canonical_text(&self.to_json())
    }
}

impl Slot {
    fn live(&self) -> impl DoubleEndedIterator<Item = &Live> {
        self.history.iter().filter(|past| past.fate == Fate::Live).map(|past| &past.entry)
    }

    pub(crate) fn history_mut(&mut self) -> &mut [Past] {
        &mut self.history
    }
}

impl Past {
    fn to_json(&self) -> Value {
        let live = &self.entry;
        let mut out = json!({
            "hash": live.hash,
            "device": live.device,
            "n": live.n,
            "order": live.order,
            "at": crate::moment::write_time(live.at),
            "session": live.session,
            "since_start_ms": live.since_start_ms,
            "who": live.who,
            "fields": live.fields.as_map(),
        });
        let (fate, by) = match self.fate {
            Fate::Live => (None, None),
            Fate::Replaced(by) => (Some("replaced"), Some(by)),
            Fate::NotChosen(by) => (Some("not_chosen"), Some(by)),
            Fate::Withdrawn(by) => (Some("withdrawn"), Some(by)),
        };
        if let Some(map) = out.as_object_mut() {
            let mut put = |key: &str, value: Option<Value>| value.map(|value| map.insert(key.to_owned(), value));
            put("replaces", live.replaces.map(|hash| json!(hash)));
            put("reason", live.reason.as_ref().map(|reason| json!(reason)));
            put("fate", fate.map(Value::from));
            put("by", by.map(|hash| json!(hash)));
            put("why", self.why.as_ref().map(|why| json!(why)));
        }
        out
    }
}

/// Whether entries of this kind rule over others instead of saying something about the job.
pub(crate) fn is_ruling(kind: &str) -> bool {
    kind == kinds::CHOICE || kind == kinds::WITHDRAWAL
}

fn read_live(entry: &Entry, order: usize) -> Option<(Live, Keeps)> {
    let tree = entry.as_today().ok()?;
    let text = |key: &str| tree.get(key).and_then(Value::as_str);
    let what = tree.get("what")?;
    let kind = what.get("kind")?.as_str()?;
    let place = what.get("place")?.as_str()?;
    let known = kinds::find(kind).filter(|known| known.has_place(place))?;
    let live = Live {
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
    };
    Some((live, known.keeps))
}

fn read_unknown(entry: &Entry) -> Unknown {
    let kind = entry.tree().pointer("/what/kind").and_then(Value::as_str).map(ToOwned::to_owned);
    Unknown { hash: entry.hash(), v: entry.v(), device: entry.device(), n: entry.n(), kind }
}
