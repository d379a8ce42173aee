//! Reading a file of unknown origin: every problem is reported with its place, nothing is guessed, and what can be read is kept.

use super::{Blobs, base64, check_size, write};
use crate::by_hash::ByHash;
use crate::canonical::canonical_text;
use crate::check;
use crate::entry::Entry;
use crate::fold::Fold;
use crate::hash::Hash;
use crate::id::JobId;
use crate::journal::{Journal, stand_of};
use crate::problem::{Grade, Problem, code, pointer};
use crate::strict::{Scanner, Stop};
use crate::version::{ADDITIVE, BREAKING, FORMAT};
use serde_json::{Map, Value};
use std::ops::ControlFlow;

/// Longest line of one entry, in bytes: the longest note, every letter escaped, is a fifth of it.
const ENTRY_BYTES: usize = 256 * 1024;
const BYTE_ORDER_MARK: &[u8] = b"\xef\xbb\xbf";

/// What came out of a file. The bytes themselves are the caller's to keep.
#[derive(Clone, Debug, Default)]
pub struct Reading {
    /// The journal, as far as it could be read; `None` when nothing could.
    pub journal: Option<Journal>,
    /// The journal folded.
    pub fold: Option<Fold>,
    /// The photos whose bytes are those that were hashed.
    pub blobs: Blobs,
    /// Every problem, in the order of reading.
    pub problems: Vec<Problem>,
}

impl Reading {
    /// Whether everything that was written down is there, unaltered as far as the file itself can tell.
    pub fn is_whole(&self) -> bool {
        self.journal.is_some() && self.problems.iter().all(|problem| problem.grade() == Grade::Note)
    }
}

/// Reads a file.
pub fn read(bytes: &[u8]) -> Reading {
    if let Err(problem) = check_size(bytes.len() as u64) {
        return Reading { problems: vec![problem], ..Reading::default() };
    }
    let mut reader = Reader { scanner: Scanner::new(bytes), head: Map::new(), entries: None, blobs: None };
    if bytes.starts_with(BYTE_ORDER_MARK) {
        reader.scanner.report_found(code::FILE_BYTE_ORDER_MARK, 0, "EF BB BF", "");
        reader.scanner.skip(BYTE_ORDER_MARK.len());
    }
    if reader.begins() {
        reader.envelope();
    } else {
        return reader.finish(Reading::default());
    }
    reader.judge(bytes)
}

/// One element of a list: its place in the list and in the file, and its value unless that had a fault.
struct Item {
    index: usize,
    line: (u32, u32),
    value: Value,
}

struct Reader<'a> {
    scanner: Scanner<'a>,
    head: Map<String, Value>,
    entries: Option<Vec<Item>>,
    blobs: Option<Vec<Item>>,
}

impl Reader<'_> {
    /// Whether the bytes begin as an object.
    fn begins(&mut self) -> bool {
        self.scanner.spaces();
        let at = self.scanner.at();
        match self.scanner.peek() {
            Some(b'{') => return true,
            None => self.scanner.report_found(code::FILE_EMPTY, at, "", "{"),
            Some(b'[' | b'"') => self.scanner.report(code::FILE_OTHER_FORMAT, at, FORMAT),
            Some(_) => self.scanner.report(code::FILE_NOT_JSON, at, "{"),
        }
        false
    }

    /// Reads the fields of the document. Where the head is torn, the entries are looked for on the next line.
    fn envelope(&mut self) {
        self.scanner.skip(1);
        let mut first = true;
        loop {
            match self.member(first) {
                Ok(ControlFlow::Continue(())) => first = false,
                Ok(ControlFlow::Break(())) => {
                    self.scanner.spaces();
                    if !self.scanner.is_at_end() {
                        self.scanner.set_path("");
                        self.scanner.report(code::FILE_AFTER_END, self.scanner.at(), "");
                    }
                    return;
                }
                Err(Stop) if self.entries.is_none() && self.scanner.next_line() => {
                    let (items, went) = self.items("/entries");
                    self.entries = Some(items);
                    if went.is_err() {
                        return;
                    }
                    first = false;
                }
                Err(Stop) => return,
            }
        }
    }

    fn member(&mut self, first: bool) -> Result<ControlFlow<()>, Stop> {
        self.scanner.set_path("");
        self.scanner.spaces();
        match self.scanner.peek() {
            Some(b'}') => {
                self.scanner.skip(1);
                return Ok(ControlFlow::Break(()));
            }
            Some(b',') if !first => self.scanner.skip(1),
            Some(_) if first => {}
            _ => return self.scanner.stop(", }"),
        }
        self.scanner.spaces();
        let from = self.scanner.at();
        if self.scanner.peek() != Some(b'"') {
            return self.scanner.stop("\"");
        }
        let key = self.scanner.string()?;
        self.scanner.spaces();
        if !self.scanner.take(b':') {
            return self.scanner.stop(":");
        }
        self.scanner.spaces();
        let path = pointer(&key);
        self.scanner.set_path(&path);
        let is_list = self.scanner.peek() == Some(b'[');
        match key.as_str() {
            "entries" if is_list && self.entries.is_none() => {
                self.scanner.skip(1);
                let (items, went) = self.items(&path);
                self.entries = Some(items);
                went?;
            }
            "blobs" if is_list && self.blobs.is_none() => {
                self.scanner.skip(1);
                let (items, went) = self.items(&path);
                self.blobs = Some(items);
                went?;
            }
            _ => {
                let value = self.scanner.value(1)?;
                let again = self.head.contains_key(&key)
                    || (key == "entries" && self.entries.is_some())
                    || (key == "blobs" && self.blobs.is_some());
                if again {
                    self.scanner.report_found(code::JSON_DUPLICATE_KEY, from, &key, "1");
                } else {
                    self.head.insert(key, value);
                }
            }
        }
        Ok(ControlFlow::Continue(()))
    }

    /// Reads the elements of a list up to its end. A torn one costs its line, not the list.
    fn items(&mut self, path: &str) -> (Vec<Item>, Result<(), Stop>) {
        let mut items = Vec::new();
        let went = self.items_to(path, &mut items);
        (items, went)
    }

    fn items_to(&mut self, path: &str, items: &mut Vec<Item>) -> Result<(), Stop> {
        let mut index = 0;
        loop {
            self.scanner.spaces();
            if self.scanner.take(b']') {
                return Ok(());
            }
            self.scanner.set_path(&format!("{path}/{index}"));
            if self.scanner.is_at_end() {
                return self.scanner.stop("]");
            }
            let from = self.scanner.at();
            let line = self.scanner.place(from);
            let before = self.scanner.problems.len() + self.scanner.unlisted;
            let value = self.scanner.value(2);
            let faults = self.scanner.problems.len() + self.scanner.unlisted - before;
            let torn = value.is_err();
            if let Ok(value) = value
                && faults == 0
            {
                let length = self.scanner.at() - from;
                if path == "/entries" && length > ENTRY_BYTES {
                    let wanted = ENTRY_BYTES.to_string();
                    self.scanner.report_found(code::ENTRY_TOO_LONG, from, &length.to_string(), &wanted);
                } else {
                    items.push(Item { index, line, value });
                }
            }
            index += 1;
            if !torn {
                self.scanner.spaces();
                match self.scanner.peek() {
                    Some(b',') => {
                        self.scanner.skip(1);
                        continue;
                    }
                    Some(b']') => continue,
                    _ => {}
                }
                let stopped: Result<(), Stop> = self.scanner.stop(", ]");
                // A comma that is lost costs nothing but its mention.
                if self.scanner.peek() == Some(b'{') {
                    continue;
                }
                if self.scanner.is_at_end() {
                    return stopped;
                }
            }
            if !self.scanner.next_line() {
                return Err(Stop);
            }
        }
    }

    /// Judges what was read: the envelope, each entry, the chains, the corrections, the photos, the layout.
    fn judge(mut self, bytes: &[u8]) -> Reading {
        let Some(job) = self.check_head() else { return self.finish(Reading::default()) };
        let items = self.entries.take().unwrap_or_default();
        let (entries, places) = self.check_entries(items);
        let job = match (job, entries.first()) {
            (Some(job), _) => job,
            (None, Some(entry)) => entry.job(),
            (None, None) => return self.finish(Reading::default()),
        };
        let in_file: Vec<Hash> = entries.iter().map(Entry::hash).collect();
        let (mut journal, chain_problems) = Journal::from_entries(job, entries);
        journal.kept = self.kept();
        let fold = Fold::of(&journal);
        for problem in chain_problems.into_iter().chain(fold.problems().iter().cloned()) {
            self.list(placed(problem, &places));
        }
        self.check_order(&journal, &in_file, &places);
        let blobs = self.check_blobs();
        if self.scanner.problems.is_empty() {
            self.check_layout(&journal, &blobs, bytes);
        }
        self.finish(Reading { journal: Some(journal), fold: Some(fold), blobs, problems: Vec::new() })
    }

    fn list(&mut self, problem: Problem) {
        self.scanner.list(problem);
    }

    fn finish(mut self, mut reading: Reading) -> Reading {
        reading.problems = std::mem::take(&mut self.scanner.problems);
        if self.scanner.unlisted > 0 {
            let found = self.scanner.unlisted.to_string();
            reading.problems.push(Problem::new(code::FILE_MORE_PROBLEMS, "", &found, ""));
        }
        reading
    }

    /// `None`: nothing can be taken from this file. Otherwise its job, where it names one.
    fn check_head(&mut self) -> Option<Option<JobId>> {
        let format = self.head.get("format").cloned();
        let torn = self.scanner.problems.iter().any(|problem| problem.grade() == Grade::Damage);
        match format {
            Some(Value::String(format)) if format == FORMAT => {}
            // A torn head may have lost its format; the entries below it are told by what they hold.
            None if torn && self.entries.as_ref().is_some_and(|items| !items.is_empty()) => {
                self.list(Problem::new(code::FILE_FIELD_MISSING, "/format", "", FORMAT));
            }
            None if torn => {
                self.list(Problem::new(code::FILE_OTHER_FORMAT, "/format", "", FORMAT));
                return None;
            }
            found => {
                let found = found.map(|found| found.as_str().map_or_else(|| canonical_text(&found), ToOwned::to_owned));
                self.list(Problem::new(code::FILE_OTHER_FORMAT, "/format", &found.unwrap_or_default(), FORMAT));
                return None;
            }
        }
        let breaking = self.head_number("breaking", 1);
        if let Some(found) = breaking.filter(|found| *found > u64::from(BREAKING)) {
            let wanted = BREAKING.to_string();
            self.list(Problem::new(code::FILE_FROM_THE_FUTURE, "/breaking", &found.to_string(), wanted));
            return None;
        }
        if let Some(found) = self.head_number("additive", 0).filter(|found| *found > u64::from(ADDITIVE)) {
            self.list(Problem::new(code::FILE_NEWER, "/additive", &found.to_string(), ADDITIVE.to_string()));
        }
        for (name, there) in [("entries", self.entries.is_some()), ("blobs", self.blobs.is_some())] {
            match self.head.get(name).map(canonical_text) {
                Some(found) => self.list(Problem::new(code::FILE_FIELD_WRONG, pointer(name), &found, "[…]")),
                None if there => {}
                None => self.list(Problem::new(code::FILE_FIELD_MISSING, pointer(name), "", "[…]")),
            }
        }
        self.check_signatures();
        for key in self.head.keys() {
            if !write::FIXED.contains(&key.as_str()) {
                self.scanner.list(Problem::new(code::FILE_FIELD_UNKNOWN, pointer(key), key, ""));
            }
        }
        Some(self.head_job())
    }

    fn head_number(&mut self, name: &str, least: u64) -> Option<u64> {
        let wanted = format!("{least}…");
        let Some(found) = self.head.get(name).cloned() else {
            self.list(Problem::new(code::FILE_FIELD_MISSING, pointer(name), "", wanted));
            return None;
        };
        let number = found.as_u64().filter(|number| *number >= least);
        if number.is_none() {
            self.list(Problem::new(code::FILE_FIELD_WRONG, pointer(name), &canonical_text(&found), wanted));
        }
        number
    }

    fn head_job(&mut self) -> Option<JobId> {
        const WANTED: &str = "26 a-z 2-7";
        let Some(found) = self.head.get("job").cloned() else {
            self.list(Problem::new(code::FILE_FIELD_MISSING, "/job", "", WANTED));
            return None;
        };
        let job = found.as_str().and_then(|text| text.parse().ok());
        if job.is_none() {
            self.list(Problem::new(code::FILE_FIELD_WRONG, "/job", &canonical_text(&found), WANTED));
        }
        job
    }

    fn check_signatures(&mut self) {
        let problem = match self.head.get("signatures") {
            None => Problem::new(code::FILE_FIELD_MISSING, "/signatures", "", "[…]"),
            Some(Value::Array(list)) if list.is_empty() => return,
            Some(Value::Array(list)) => {
                Problem::new(code::SIGNATURE_NOT_CHECKED, "/signatures", &list.len().to_string(), "0")
            }
            Some(found) => Problem::new(code::FILE_FIELD_WRONG, "/signatures", &canonical_text(found), "[…]"),
        };
        self.list(problem);
    }

    /// What the envelope holds beside what every version writes itself.
    fn kept(&self) -> Map<String, Value> {
        let mut kept = Map::new();
        for (key, value) in &self.head {
            let is_signed = key == "signatures" && value.as_array().is_some_and(|list| !list.is_empty());
            if is_signed || !write::FIXED.contains(&key.as_str()) {
                kept.insert(key.clone(), value.clone());
            }
        }
        kept
    }

    fn check_entries(&mut self, items: Vec<Item>) -> (Vec<Entry>, Places) {
        let mut entries = Vec::with_capacity(items.len());
        let mut places = Places::new();
        for Item { index, line, value } in items {
            let path = format!("/entries/{index}");
            let (entry, problems) = match Entry::from_tree(value) {
                Ok((entry, problems)) => (Some(entry), problems),
                Err(problems) => (None, problems),
            };
            for problem in problems {
                self.list(problem.under(&path).at(line));
            }
            let Some(entry) = entry else { continue };
            if !places.insert(entry.hash(), (index, line)) {
                self.list(Problem::new(code::ENTRY_DOUBLED, path, &entry.n().to_string(), "").at(line));
                continue;
            }
            for problem in check_what(&entry) {
                self.list(problem.under(&path).at(line));
            }
            entries.push(entry);
        }
        (entries, places)
    }

    fn check_order(&mut self, journal: &Journal, in_file: &[Hash], places: &Places) {
        let stands = journal.entries().iter().map(|entry| entry.hash());
        // Entries of another job are left out of the journal and named on their own.
        let held = in_file.iter().copied().filter(|hash| journal.get(*hash).is_some());
        if let Some((found, wanted)) = held.zip(stands).find(|(found, wanted)| found != wanted) {
            let number =
                |hash: Hash| journal.get(hash).map(|entry| stand_of(entry.device(), entry.n())).unwrap_or_default();
            let problem = Problem::new(code::FILE_ORDER, format!("/entries/{found}"), &number(found), number(wanted));
            self.list(placed(problem, places));
        }
    }

    fn check_blobs(&mut self) -> Blobs {
        let mut blobs = Blobs::new();
        for Item { index, line, value } in self.blobs.take().unwrap_or_default() {
            let path = format!("/blobs/{index}");
            let text = |key: &str| value.get(key).and_then(Value::as_str);
            let hash = text("hash").and_then(|text| text.parse::<Hash>().ok());
            let (Some(hash), Some(spelled)) = (hash, text("base64")) else {
                self.list(
                    Problem::new(code::FILE_FIELD_WRONG, path, &canonical_text(&value), "{hash, base64}").at(line),
                );
                continue;
            };
            let problem = match base64::decode(spelled) {
                None => Problem::new(code::BLOB_NOT_BASE64, path, spelled, ""),
                Some(bytes) if Hash::of_bytes(&bytes) != hash => {
                    Problem::new(code::BLOB_HASH_WRONG, path, &Hash::of_bytes(&bytes).to_string(), hash.to_string())
                }
                Some(bytes) => {
                    if blobs.insert(hash, bytes) {
                        continue;
                    }
                    Problem::new(code::BLOB_DOUBLED, path, &hash.to_string(), "")
                }
            };
            self.list(problem.at(line));
        }
        blobs
    }

    /// A file without any other problem must be, byte for byte, what would be written today.
    fn check_layout(&mut self, journal: &Journal, blobs: &Blobs, bytes: &[u8]) {
        let mut at = 0;
        let mut differs = false;
        write::write_to(journal, blobs, &mut |piece| {
            if !differs {
                let rest = bytes.get(at..).unwrap_or_default();
                let same = piece.bytes().zip(rest).take_while(|(wanted, found)| wanted == *found).count();
                at += same;
                differs = same < piece.len();
            }
        });
        if differs || at < bytes.len() {
            self.scanner.set_path("");
            self.scanner.report(code::FILE_LAYOUT, at, "");
        }
    }
}

/// Where each entry stands in the file.
type Places = ByHash<(usize, (u32, u32))>;

/// Puts the place in the file for `/entries/<hash>`.
fn placed(mut problem: Problem, places: &Places) -> Problem {
    let Some(rest) = problem.path.strip_prefix("/entries/") else { return problem };
    let (hash, tail) = rest.split_once('/').map_or((rest, ""), |(hash, tail)| (hash, tail));
    let Some((index, line)) = hash.parse().ok().and_then(|hash: Hash| places.get(hash)) else { return problem };
    let slash = if tail.is_empty() { "" } else { "/" };
    problem.path = format!("/entries/{index}{slash}{tail}");
    problem.at(*line)
}

/// What is wrong with what an entry says, as today's version understands it.
fn check_what(entry: &Entry) -> Vec<Problem> {
    let tree = match entry.as_today() {
        Ok(tree) => tree,
        // Said already where the entry was read.
        Err(crate::version::UpgradeError::FromTheFuture { .. }) => return Vec::new(),
        Err(error) => return vec![Problem::new(code::ENTRY_UPGRADE_FAILED, "", &error.to_string(), "")],
    };
    let text = |key: &str| tree.pointer(key).and_then(Value::as_str);
    let fields = tree.pointer("/what/fields").and_then(Value::as_object);
    match (text("/what/kind"), text("/what/place"), fields) {
        (Some(kind), Some(place), Some(fields)) => check::tree(kind, place, fields),
        _ => Vec::new(),
    }
}
