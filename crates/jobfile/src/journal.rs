//! The log of one job: a chain of entries per device, their union, and the one order in which they are read.
//!
//! The order follows `prev` and `seen` (whoever knew an entry comes after it), by a Lamport number; entries that knew
//! nothing of each other stand by device, then by hash. The clock is shown and orders nothing.

use crate::by_hash::ByHash;
use crate::entry::{Entry, Link, MOST_SEEN, Stamp, check_stamp};
use crate::hash::Hash;
use crate::id::{DeviceId, JobId};
use crate::problem::{Problem, code};
use crate::sorting::sort_by_key;
use crate::what::Draft;
use serde_json::{Map, Value};
use std::sync::Arc;

/// The log of one job.
#[derive(Clone, Debug)]
pub struct Journal {
    job: JobId,
    nodes: ByHash<Node>,
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
        self.job == other.job
            && self.kept == other.kept
            && self.nodes.len() == other.nodes.len()
            && self.nodes.hashes().iter().all(|hash| other.nodes.contains(*hash))
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
        Self { job, nodes: ByHash::new(), order: Vec::new(), kept: Map::new() }
    }

    /// Takes entries in any order, and reports whatever keeps them from being whole chains of this job.
    ///
    /// Entries of another job are left out; all others are kept, also behind a gap. Paths are of the form
    /// `/entries/<hash>`.
    pub fn from_entries(job: JobId, entries: impl IntoIterator<Item = Entry>) -> (Self, Vec<Problem>) {
        Self::from_list(job, entries.into_iter().collect())
    }

    fn from_list(job: JobId, entries: Vec<Entry>) -> (Self, Vec<Problem>) {
        let mut journal = Self::new(job);
        let mut problems = Vec::new();
        for entry in entries {
            let (hash, n) = (entry.hash(), entry.n());
            if entry.job() != job {
                problems.push(other_job(&entry, job));
            } else if !journal.nodes.insert(hash, Node { entry: Arc::new(entry), lamport: 0 }) {
                problems.push(Problem::new(code::ENTRY_DOUBLED, place_of(hash), &n.to_string(), ""));
            }
        }
        journal.sort();
        for entry in &journal.order {
            journal.check_links(entry, &mut problems);
        }
        for fork in journal.forks() {
            let path = fork.entries.first().copied().map(place_of).unwrap_or_default();
            problems.push(Problem::new(code::CHAIN_FORK, path, &fork.entries.len().to_string(), "1"));
        }
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
        self.nodes.get(hash).map(|node| &node.entry)
    }

    /// How many entries there are: grows with each, and tells two states of one copy apart.
    pub fn revision(&self) -> usize {
        self.order.len()
    }

    /// The Lamport number of an entry: one more than the greatest of those it knew.
    pub fn lamport(&self, hash: Hash) -> Option<u64> {
        self.nodes.get(hash).map(|node| node.lamport)
    }

    /// The ends of every device's chain, by device: one each, several where the chain forks or has a gap; sorted.
    pub fn heads(&self) -> Vec<(DeviceId, Vec<Hash>)> {
        let mut followed = vec![false; self.nodes.len()];
        for entry in &self.order {
            let number = entry.prev().and_then(|prev| self.nodes.number(prev));
            if let Some(place) = number.and_then(|number| followed.get_mut(number)) {
                *place = true;
            }
        }
        let mut ends = Vec::new();
        for (node, followed) in self.nodes.values().iter().zip(followed) {
            if !followed {
                ends.push(&*node.entry);
            }
        }
        sort_by_key(&mut ends, |entry| (entry.device(), entry.hash()));
        let mut heads: Vec<(DeviceId, Vec<Hash>)> = Vec::new();
        for entry in ends {
            match heads.last_mut() {
                Some((device, hashes)) if *device == entry.device() => hashes.push(entry.hash()),
                _ => heads.push((entry.device(), vec![entry.hash()])),
            }
        }
        heads
    }

    /// The root: SHA-256 of the canonical form of {device: head}; a device with several heads has a sorted list.
    ///
    /// It changes with any change of any entry, so whoever holds a root of yesterday can prove what was there.
    pub fn root(&self) -> Hash {
        let mut tree = Map::new();
        for (device, heads) in self.heads() {
            let value = match heads.as_slice() {
                [one] => Value::from(one.to_string()),
                several => spelled(several),
            };
            tree.insert(device.to_string(), value);
        }
        Hash::of_tree(&Value::Object(tree))
    }

    /// Numbers that one device gave to different entries.
    pub fn forks(&self) -> Vec<Fork> {
        let mut entries: Vec<&Entry> = Vec::new();
        for entry in &self.order {
            entries.push(entry);
        }
        sort_by_key(&mut entries, |entry| (entry.device(), entry.n(), entry.hash()));
        let mut forks: Vec<Fork> = Vec::new();
        let mut before: Option<&Entry> = None;
        for entry in entries {
            let (device, n) = (entry.device(), entry.n());
            if let Some(twin) = before.filter(|before| (before.device(), before.n()) == (device, n)) {
                match forks.last_mut() {
                    Some(fork) if (fork.device, fork.n) == (device, n) => fork.entries.push(entry.hash()),
                    _ => forks.push(Fork { device, n, entries: vec![twin.hash(), entry.hash()] }),
                }
            }
            before = Some(entry);
        }
        forks
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
        for node in other.nodes.values() {
            merged.nodes.insert(node.entry.hash(), node.clone());
        }
        for (key, value) in &other.kept {
            // Two copies may keep different texts of one unknown field: the greater stays, on whichever side it stood.
            match merged.kept.get(key) {
                Some(own) if crate::canonical::canonical_bytes(own) >= crate::canonical::canonical_bytes(value) => {}
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
        let mut problems = check_stamp(stamp);
        for problem in &mut problems {
            problem.path.insert_str(0, "/stamp");
        }
        problems.extend(crate::check::drafts(self, drafts));
        if !problems.is_empty() {
            return Err(problems);
        }
        // On a forked chain of one's own the longest branch goes on; the others count as seen.
        let (mut own, mut seen) = (Vec::new(), Vec::new());
        for (writer, heads) in self.heads() {
            if writer == device { own = heads } else { seen.extend(heads) }
        }
        sort_by_key(&mut own, |hash| (self.get(*hash).map_or(0, |entry| entry.n()), *hash));
        let mut prev = own.pop();
        let mut n = prev.and_then(|hash| self.get(hash)).map_or(0, |entry| entry.n());
        seen.extend(own);
        sort_by_key(&mut seen, |hash| *hash);
        // To have seen less than one has only leaves a conflict open that could be settled.
        seen.truncate(MOST_SEEN);
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
            if grown.nodes.contains(entry.hash()) {
                continue;
            }
            if entry.job() != self.job {
                problems.push(other_job(&entry, self.job));
                continue;
            }
            grown.check_links(&entry, &mut problems);
            let mut lamport = 0;
            for known in grown.known(&entry) {
                lamport = lamport.max(grown.nodes.values().get(known).map_or(0, |node| node.lamport));
            }
            grown.nodes.insert(entry.hash(), Node { entry: Arc::new(entry), lamport: lamport + 1 });
        }
        if !problems.is_empty() {
            return Err(problems);
        }
        grown.arrange();
        *self = grown;
        Ok(())
    }

    /// Lists what keeps an entry from joining the chains.
    fn check_links(&self, entry: &Entry, problems: &mut Vec<Problem>) {
        let path = |field: &str| place_of(entry.hash()) + field;
        if let Some(prev) = entry.prev() {
            match self.get(prev).map(|before| (before.device(), before.n())) {
                None => problems.push(Problem::new(code::CHAIN_PREV_MISSING, path("/prev"), &prev.to_string(), "")),
                Some(found) => {
                    let wanted = (entry.device(), entry.n().saturating_sub(1));
                    if found != wanted {
                        let found = stand_of(found.0, found.1);
                        let wanted = stand_of(wanted.0, wanted.1);
                        problems.push(Problem::new(code::CHAIN_PREV_WRONG, path("/prev"), &found, wanted));
                    }
                }
            }
        }
        for seen in entry.seen() {
            if !self.nodes.contains(*seen) {
                problems.push(Problem::new(code::CHAIN_SEEN_MISSING, path("/seen"), &seen.to_string(), ""));
            }
        }
    }

    /// The numbers of the entries here that an entry names as known to it, each once.
    fn known(&self, entry: &Entry) -> Vec<usize> {
        let mut known = Vec::new();
        let mut add = |hash: Hash| known.extend(self.nodes.number(hash));
        if let Some(prev) = entry.prev() {
            add(prev);
        }
        for seen in entry.seen() {
            // What is seen is listed in its order, so nothing is listed twice.
            if Some(*seen) != entry.prev() {
                add(*seen);
            }
        }
        known
    }

    /// Numbers every entry anew, those that knew least first, and puts them in order.
    fn sort(&mut self) {
        let count = self.nodes.len();
        let mut waits: Vec<usize> = Vec::with_capacity(count);
        let mut wakes: Vec<Vec<usize>> = Vec::new();
        wakes.resize_with(count, Vec::new);
        let mut ready = Vec::with_capacity(count);
        for (number, node) in self.nodes.values().iter().enumerate() {
            let known = self.known(&node.entry);
            if known.is_empty() {
                ready.push(number);
            }
            waits.push(known.len());
            for before in known {
                if let Some(wakes) = wakes.get_mut(before) {
                    wakes.push(number);
                }
            }
        }
        let nodes = self.nodes.values_mut();
        for node in &mut *nodes {
            node.lamport = 1;
        }
        let mut done = 0;
        while let Some(&number) = ready.get(done) {
            done += 1;
            let lamport = nodes.get(number).map_or(0, |node| node.lamport) + 1;
            for &after in wakes.get(number).map_or(&[][..], Vec::as_slice) {
                let (Some(node), Some(left)) = (nodes.get_mut(after), waits.get_mut(after)) else { continue };
                node.lamport = node.lamport.max(lamport);
                *left -= 1;
                if *left == 0 {
                    ready.push(after);
                }
            }
        }
        self.arrange();
    }

    /// Puts the entries in order by their numbers.
    fn arrange(&mut self) {
        let mut nodes: Vec<&Node> = self.nodes.values().iter().collect();
        sort_by_key(&mut nodes, |node| (node.lamport, node.entry.device(), node.entry.n(), node.entry.hash()));
        self.order = nodes.into_iter().map(|node| Arc::clone(&node.entry)).collect();
    }
}

fn other_job(entry: &Entry, job: JobId) -> Problem {
    let path = place_of(entry.hash()) + "/job";
    Problem::new(code::ENTRY_OTHER_JOB, path, &entry.job().to_string(), job.to_string())
}

/// Device and number, as problems show where an entry stands.
pub(crate) fn stand_of(device: DeviceId, n: u32) -> String {
    format!("{device} {n}")
}

/// A list of hashes as JSON.
pub(crate) fn spelled(hashes: &[Hash]) -> Value {
    let mut list = Vec::with_capacity(hashes.len());
    for hash in hashes {
        list.push(Value::from(hash.to_string()));
    }
    Value::Array(list)
}

fn place_of(hash: Hash) -> String {
    format!("/entries/{hash}")
}
