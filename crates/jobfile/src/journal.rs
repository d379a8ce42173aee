//! The log of one job: a chain of entries per device, their union, and the one order in which they are read.
//!
//! The order follows `prev` and `seen` (whoever knew an entry comes after it), by a Lamport number; entries that knew
//! nothing of each other stand by device, then by hash. The clock is shown and orders nothing.

use crate::entry::{Entry, Link, MOST_SEEN, Stamp, check_stamp};
use crate::hash::Hash;
use crate::id::{DeviceId, JobId};
use crate::problem::{Problem, code};
use crate::what::Draft;
use serde_json::{Map, Value};
use std::collections::btree_map::Entry as Slot;
use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::sync::Arc;

/// The log of one job.
#[derive(Clone, Debug)]
pub struct Journal {
    job: JobId,
    nodes: BTreeMap<Hash, Node>,
    order: Vec<Arc<Entry>>,
    /// Fields of the envelope that this version does not know: kept, and written again.
    pub(crate) kept: Map<String, Value>,
}

#[derive(Clone, Debug)]
struct Node {
    entry: Arc<Entry>,
    lamport: u64,
}

/// Two journals are the same when they hold the same entries of the same job.
impl PartialEq for Journal {
    fn eq(&self, other: &Self) -> bool {
        self.job == other.job && self.kept == other.kept && self.nodes.keys().eq(other.nodes.keys())
    }
}

impl Eq for Journal {}

/// One device wrote different entries under one number, as a restored phone does. Both branches are kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fork {
    /// The device.
    pub device: DeviceId,
    /// The number that was given twice.
    pub n: u32,
    /// The entries that carry it, by hash.
    pub entries: Vec<Hash>,
}

impl Journal {
    /// A job with nothing written down yet.
    pub fn new(job: JobId) -> Self {
        Self { job, nodes: BTreeMap::new(), order: Vec::new(), kept: Map::new() }
    }

    /// Takes entries in any order, and reports whatever keeps them from being whole chains of this job.
    ///
    /// Entries of another job are left out; all others are kept, also behind a gap. Paths are of the form
    /// `/entries/<hash>`.
    pub fn from_entries(job: JobId, entries: impl IntoIterator<Item = Entry>) -> (Self, Vec<Problem>) {
        let mut journal = Self::new(job);
        let mut problems = Vec::new();
        for entry in entries {
            let path = place_of(entry.hash());
            if entry.job() != job {
                problems.push(Problem::new(
                    code::ENTRY_OTHER_JOB,
                    path + "/job",
                    &entry.job().to_string(),
                    job.to_string(),
                ));
                continue;
            }
            match journal.nodes.entry(entry.hash()) {
                Slot::Vacant(vacant) => {
                    vacant.insert(Node { entry: Arc::new(entry), lamport: 0 });
                }
                Slot::Occupied(_) => problems.push(Problem::new(code::ENTRY_DOUBLED, path, &entry.n().to_string(), "")),
            }
        }
        journal.sort();
        problems.extend(journal.order.iter().flat_map(|entry| journal.link_problems(entry)));
        problems.extend(journal.forks().into_iter().map(|fork| {
            let path = fork.entries.first().copied().map(place_of).unwrap_or_default();
            Problem::new(code::CHAIN_FORK, path, &fork.entries.len().to_string(), "1")
        }));
        (journal, problems)
    }

    /// The job.
    pub fn job(&self) -> JobId {
        self.job
    }

    /// Every entry, in the order of the journal.
    pub fn entries(&self) -> &[Arc<Entry>] {
        &self.order
    }

    /// The entry of this hash.
    pub fn get(&self, hash: Hash) -> Option<&Arc<Entry>> {
        self.nodes.get(&hash).map(|node| &node.entry)
    }

    /// How many entries there are: grows with each, and tells two states of one copy apart.
    pub fn revision(&self) -> usize {
        self.order.len()
    }

    /// The Lamport number of an entry: one more than the greatest of those it knew.
    pub fn lamport(&self, hash: Hash) -> Option<u64> {
        self.nodes.get(&hash).map(|node| node.lamport)
    }

    /// The ends of every device's chain: one each, several where the chain forks or has a gap; sorted.
    pub fn heads(&self) -> BTreeMap<DeviceId, Vec<Hash>> {
        let followed: BTreeSet<Hash> = self.order.iter().filter_map(|entry| entry.prev()).collect();
        let mut heads: BTreeMap<DeviceId, Vec<Hash>> = BTreeMap::new();
        for (hash, node) in self.nodes.iter().filter(|(hash, _)| !followed.contains(hash)) {
            heads.entry(node.entry.device()).or_default().push(*hash);
        }
        heads
    }

    /// The root: SHA-256 of the canonical form of {device: head}; a device with several heads has a sorted list.
    ///
    /// It changes with any change of any entry, so whoever holds a root of yesterday can prove what was there.
    pub fn root(&self) -> Hash {
        let heads = self.heads().into_iter().map(|(device, heads)| {
            let texts: Vec<String> = heads.iter().map(ToString::to_string).collect();
            let value = match texts.as_slice() {
                [one] => Value::from(one.as_str()),
                _ => Value::from(texts),
            };
            (device.to_string(), value)
        });
        Hash::of_tree(&Value::Object(heads.collect()))
    }

    /// Numbers that one device gave to different entries.
    pub fn forks(&self) -> Vec<Fork> {
        let mut by_number: BTreeMap<(DeviceId, u32), Vec<Hash>> = BTreeMap::new();
        for (hash, node) in &self.nodes {
            by_number.entry((node.entry.device(), node.entry.n())).or_default().push(*hash);
        }
        let forked = by_number.into_iter().filter(|(_, entries)| entries.len() > 1);
        forked.map(|((device, n), entries)| Fork { device, n, entries }).collect()
    }

    /// The union of two copies. Which copy is which does not matter, and repeating it changes nothing.
    ///
    /// # Errors
    /// A [`Problem`] when they are not copies of one job.
    pub fn merge(&self, other: &Self) -> Result<Self, Problem> {
        if self.job != other.job {
            let found = other.job.to_string();
            return Err(Problem::new(code::MERGE_OTHER_JOB, "/job", &found, self.job.to_string()));
        }
        let mut merged = self.clone();
        for (hash, node) in &other.nodes {
            merged.nodes.entry(*hash).or_insert_with(|| node.clone());
        }
        for (key, value) in &other.kept {
            // Two copies may keep different texts of one unknown field: the greater stays, on whichever side it stood.
            match merged.kept.get(key) {
                Some(own) if crate::hash::canonical_bytes(own) >= crate::hash::canonical_bytes(value) => {}
                _ => {
                    merged.kept.insert(key.clone(), value.clone());
                }
            }
        }
        merged.sort();
        Ok(merged)
    }

    /// Makes entries from what a hand wants written down, chained one after the other; nothing is kept yet.
    ///
    /// # Errors
    /// Every problem of the stamp (`/stamp/…`) and of the drafts (`/<index>/what/fields/…`); then nothing is made.
    pub fn compose(&self, device: DeviceId, stamp: &Stamp, drafts: &[Draft]) -> Result<Vec<Entry>, Vec<Problem>> {
        let mut problems: Vec<Problem> =
            check_stamp(stamp).into_iter().map(|problem| problem.under("/stamp")).collect();
        problems.extend(crate::check::drafts(self, drafts));
        if !problems.is_empty() {
            return Err(problems);
        }
        let mut heads = self.heads();
        // On a forked chain of one's own the longest branch goes on; the others count as seen.
        let mut own = heads.remove(&device).unwrap_or_default();
        own.sort_by_key(|hash| (self.get(*hash).map_or(0, |entry| entry.n()), *hash));
        let mut prev = own.pop();
        let mut n = prev.and_then(|hash| self.get(hash)).map_or(0, |entry| entry.n());
        let seen: BTreeSet<Hash> = own.into_iter().chain(heads.into_values().flatten()).collect();
        // To have seen less than one has only leaves a conflict open that could be settled.
        let seen: Vec<Hash> = seen.into_iter().take(MOST_SEEN).collect();
        let mut made = Vec::with_capacity(drafts.len());
        for draft in drafts {
            n = n.saturating_add(1);
            let entry = Entry::write(Link { job: self.job, device, n, prev, seen: seen.clone() }, stamp, draft);
            prev = Some(entry.hash());
            made.push(entry);
        }
        Ok(made)
    }

    /// Takes new entries: those just composed, or those another tab has stored. What is there already is passed over.
    ///
    /// # Errors
    /// Every problem found, and nothing is taken, when an entry is of another job or does not join the chains.
    pub fn append(&mut self, entries: Vec<Entry>) -> Result<(), Vec<Problem>> {
        let mut grown = self.clone();
        let mut problems = Vec::new();
        for entry in entries {
            if grown.nodes.contains_key(&entry.hash()) {
                continue;
            }
            if entry.job() != self.job {
                let found = entry.job().to_string();
                let path = place_of(entry.hash()) + "/job";
                problems.push(Problem::new(code::ENTRY_OTHER_JOB, path, &found, self.job.to_string()));
                continue;
            }
            problems.extend(grown.link_problems(&entry));
            grown.push(entry);
        }
        if !problems.is_empty() {
            return Err(problems);
        }
        grown.order.sort_by_cached_key(|entry| grown.nodes.get(&entry.hash()).map(|node| node.key()));
        *self = grown;
        Ok(())
    }

    fn push(&mut self, entry: Entry) {
        let known = entry.prev().into_iter().chain(entry.seen().iter().copied());
        let lamport = known.filter_map(|hash| self.lamport(hash)).max().unwrap_or(0) + 1;
        let entry = Arc::new(entry);
        self.order.push(Arc::clone(&entry));
        self.nodes.insert(entry.hash(), Node { entry, lamport });
    }

    /// What keeps an entry from joining the chains.
    fn link_problems(&self, entry: &Entry) -> Vec<Problem> {
        let mut problems = Vec::new();
        let path = place_of(entry.hash());
        match entry.prev().map(|prev| (prev, self.nodes.get(&prev))) {
            None => {}
            Some((prev, None)) => {
                problems.push(Problem::new(code::CHAIN_PREV_MISSING, format!("{path}/prev"), &prev.to_string(), ""));
            }
            Some((_, Some(node))) => {
                let found = (node.entry.device(), node.entry.n());
                let wanted = (entry.device(), entry.n().saturating_sub(1));
                if found != wanted {
                    let found = format!("{} {}", found.0, found.1);
                    let wanted = format!("{} {}", wanted.0, wanted.1);
                    problems.push(Problem::new(code::CHAIN_PREV_WRONG, format!("{path}/prev"), &found, wanted));
                }
            }
        }
        for missing in entry.seen().iter().filter(|hash| !self.nodes.contains_key(hash)) {
            let path = format!("{path}/seen");
            problems.push(Problem::new(code::CHAIN_SEEN_MISSING, path, &missing.to_string(), ""));
        }
        problems
    }

    /// Numbers every entry anew, those that knew least first, and puts them in order.
    fn sort(&mut self) {
        let mut waits: BTreeMap<Hash, usize> = BTreeMap::new();
        let mut wakes: BTreeMap<Hash, Vec<Hash>> = BTreeMap::new();
        let mut ready = VecDeque::new();
        for (hash, node) in &self.nodes {
            let known: BTreeSet<Hash> =
                node.entry.prev().into_iter().chain(node.entry.seen().iter().copied()).collect();
            let held: Vec<Hash> = known.into_iter().filter(|before| self.nodes.contains_key(before)).collect();
            if held.is_empty() {
                ready.push_back(*hash);
            }
            waits.insert(*hash, held.len());
            for before in held {
                wakes.entry(before).or_default().push(*hash);
            }
        }
        for node in self.nodes.values_mut() {
            node.lamport = 1;
        }
        while let Some(hash) = ready.pop_front() {
            let lamport = self.lamport(hash).unwrap_or(0) + 1;
            for after in wakes.remove(&hash).unwrap_or_default() {
                if let Some(node) = self.nodes.get_mut(&after) {
                    node.lamport = node.lamport.max(lamport);
                }
                if let Some(left) = waits.get_mut(&after) {
                    *left -= 1;
                    if *left == 0 {
                        ready.push_back(after);
                    }
                }
            }
        }
        let mut nodes: Vec<&Node> = self.nodes.values().collect();
        nodes.sort_by_key(|node| node.key());
        self.order = nodes.into_iter().map(|node| Arc::clone(&node.entry)).collect();
    }
}

impl Node {
    fn key(&self) -> (u64, DeviceId, u32, Hash) {
        (self.lamport, self.entry.device(), self.entry.n(), self.entry.hash())
    }
}

fn place_of(hash: Hash) -> String {
    format!("/entries/{hash}")
}
