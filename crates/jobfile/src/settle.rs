//! What corrections, withdrawals and choices do to the entries they point at.
//!
//! A correction and a withdrawal name their one entry. A choice rules over those values of its slot that its writer
//! knew: one that arrives later from another device is shown again.

use crate::by_hash::ByHash;
use crate::fold::{Fate, Live, Past, is_ruling, part};
use crate::hash::Hash;
use crate::id::DeviceId;
use crate::journal::Journal;
use crate::kinds;
use crate::problem::{Problem, code};
use crate::sorting::sort_by_key;

/// What the log tells, by kind and place, and where in it each entry stands.
struct Told<'a> {
    pasts: &'a mut [Past],
    index: ByHash<usize>,
}

/// Marks what became of every entry, and lists what points nowhere. The entries stand by kind, place and order.
pub(crate) fn settle(journal: &Journal, pasts: &mut [Past], problems: &mut Vec<Problem>) {
    let mut index = ByHash::new();
    let (mut correcting, mut withdrawing, mut choosing) = (Vec::new(), Vec::new(), Vec::new());
    for (at, past) in pasts.iter().enumerate() {
        index.insert(past.entry.hash, at);
        match past.entry.kind.as_str() {
            kinds::WITHDRAWAL => withdrawing.push(at),
            kinds::CHOICE => choosing.push(at),
            _ => {}
        }
        if past.entry.replaces.is_some() {
            correcting.push(at);
        }
    }
    let mut told = Told { pasts, index };
    sort_by_key(&mut correcting, |at| told.pasts.get(*at).map(|past| past.entry.order));
    for by in correcting {
        problems.extend(told.correct(by));
    }
    for withdrawal in withdrawing {
        problems.extend(told.withdraw(withdrawal));
    }
    if !choosing.is_empty() {
        for (hash, by, why) in told.choose(journal, &choosing, problems) {
            if let Some((at, _)) = told.find(hash) {
                told.mark(at, Fate::NotChosen(by), why);
            }
        }
    }
}

impl Told<'_> {
    fn live(&self, at: usize) -> Option<&Live> {
        self.pasts.get(at).map(|past| &past.entry)
    }

    /// Where an entry stands, and the entry.
    fn find(&self, hash: Hash) -> Option<(usize, &Live)> {
        let at = *self.index.get(hash)?;
        Some((at, self.live(at)?))
    }

    /// What has a fate already keeps it: of two corrections of one entry the earlier is named, and both new values stand.
    fn mark(&mut self, at: usize, fate: Fate, why: Option<String>) {
        if let Some(past) = self.pasts.get_mut(at)
            && past.fate == Fate::Live
        {
            past.fate = fate;
            past.why = why;
        }
    }

    fn correct(&mut self, by: usize) -> Option<Problem> {
        let by = self.live(by)?;
        let target = by.replaces?;
        let problem = |code, found: &str, wanted| {
            Some(Problem::new(code, format!("/entries/{}/replaces", by.hash), found, wanted))
        };
        let Some((at, found)) = self.find(target) else {
            return problem(code::REPLACES_MISSING, &target.to_string(), String::new());
        };
        if found.slot() != by.slot() || is_ruling(&found.kind) {
            return problem(code::REPLACES_OTHER_SLOT, &slot_text(found.slot()), slot_text(by.slot()));
        }
        let (hash, reason) = (by.hash, by.reason.clone());
        self.mark(at, Fate::Replaced(hash), reason);
        None
    }

    fn withdraw(&mut self, withdrawal: usize) -> Option<Problem> {
        let by = self.live(withdrawal)?;
        let found = by.fields.hash("entry").and_then(|hash| self.find(hash));
        let Some((at, _)) = found.filter(|(_, found)| !is_ruling(&found.kind)) else {
            let path = format!("/entries/{}/what/fields/entry", by.hash);
            let found = by.fields.text("entry").unwrap_or_default();
            return Some(Problem::new(code::WITHDRAWAL_NOT_FOUND, path, found, ""));
        };
        let (hash, why) = (by.hash, by.fields.text("why").map(ToOwned::to_owned));
        self.mark(at, Fate::Withdrawn(hash), why);
        None
    }

    /// What was not chosen, by which choice, and why.
    fn choose(
        &self,
        journal: &Journal,
        choosing: &[usize],
        problems: &mut Vec<Problem>,
    ) -> Vec<(Hash, Hash, Option<String>)> {
        let mut ruled = Vec::new();
        for choice in choosing.iter().filter_map(|at| self.live(*at)) {
            let text = |field| choice.fields.text(field).unwrap_or_default();
            let slot = (text("kind"), text("slot_place"));
            let chosen = choice.fields.hash("chosen").and_then(|hash| self.find(hash));
            match chosen.filter(|(_, found)| found.slot() == slot && !is_ruling(slot.0)) {
                Some((_, chosen)) => ruled.push((choice, chosen)),
                None => {
                    let path = format!("/entries/{}/what/fields/chosen", choice.hash);
                    problems.push(Problem::new(code::CHOICE_NOT_IN_SLOT, path, text("chosen"), slot_text(slot)));
                }
            }
        }
        sort_by_key(&mut ruled, |(_, chosen)| chosen.slot());
        let knowledge = Knowledge::of(journal);
        let mut fates = Vec::new();
        for choices in ruled.chunk_by(|(_, one), (_, other)| one.slot() == other.slot()) {
            let Some((_, chosen)) = choices.first() else { continue };
            let standing = knowledge.latest(choices);
            for past in part(self.pasts, &|past| past.entry.slot().cmp(&chosen.slot())) {
                let hash = past.entry.hash;
                // Two choices that knew nothing of each other and disagree settle nothing: both values stay in sight.
                if past.fate != Fate::Live || standing.iter().any(|ruling| ruling.chosen == hash) {
                    continue;
                }
                if let Some(ruling) = standing.iter().find(|ruling| knowledge.knew(ruling, hash)) {
                    let why = ruling.choice.fields.text("why").map(ToOwned::to_owned);
                    fates.push((hash, ruling.choice.hash, why));
                }
            }
        }
        fates
    }
}

/// Kind and place, as problems show a slot.
fn slot_text((kind, place): (&str, &str)) -> String {
    format!("{kind} {place}")
}

/// Most choices on one slot that are weighed against each other, and most forks that are followed back. A job has one or
/// two; beyond these limits, which only a hostile file reaches, nothing is settled and every value stays in sight.
const MOST_RULINGS: usize = 16;
const MOST_FORKS: usize = 256;

/// Where an entry stands: device, number and branch; a device's chain has one branch unless it forks.
type Stand = (DeviceId, u32, usize);

/// A choice, what it names, and how far its writer saw along each chain.
struct Ruling<'a> {
    choice: &'a Live,
    chosen: Hash,
    sight: Vec<Stand>,
}

/// Which entry knew which. An entry knows its own chain before it, and the chains of the heads it lists as seen.
struct Knowledge<'a> {
    journal: &'a Journal,
    stands: ByHash<Stand>,
    /// Per branch the one it left, and the last number they share.
    left: Vec<Option<(usize, u32)>>,
}

impl<'a> Knowledge<'a> {
    fn of(journal: &'a Journal) -> Self {
        let mut knowledge = Self { journal, stands: ByHash::new(), left: Vec::new() };
        let mut followed = ByHash::new();
        // In the order of the journal an entry comes after the one before it in its chain.
        for entry in journal.entries() {
            let before = entry.prev().and_then(|prev| Some((prev, *knowledge.stands.get(prev)?)));
            let branch = match before {
                Some((prev, (_, _, branch))) if followed.insert(prev, ()) => branch,
                other => {
                    knowledge.left.push(other.map(|(_, (_, n, branch))| (branch, n)));
                    knowledge.left.len() - 1
                }
            };
            knowledge.stands.insert(entry.hash(), (entry.device(), entry.n(), branch));
        }
        knowledge
    }

    /// The choices that no other one of the list knew.
    fn latest<'b>(&self, choices: &[(&'b Live, &'b Live)]) -> Vec<Ruling<'b>> {
        // On one branch of one chain only the last can be latest.
        let branch = |choice: &Live| self.stands.get(choice.hash).map_or(usize::MAX, |(_, _, branch)| *branch);
        let mut ordered = choices.to_vec();
        sort_by_key(&mut ordered, |(choice, _)| (branch(choice), choice.order));
        let mut last: Vec<Ruling<'b>> = Vec::new();
        for choices in ordered.chunk_by(|(one, _), (other, _)| branch(one) == branch(other)) {
            if last.len() == MOST_RULINGS {
                return Vec::new();
            }
            last.extend(choices.last().map(|(choice, chosen)| self.ruling(choice, chosen.hash)));
        }
        let mut latest = Vec::new();
        for ruling in &last {
            let hash = ruling.choice.hash;
            latest.push(!last.iter().any(|other| other.choice.hash != hash && self.knew(other, hash)));
        }
        let mut latest = latest.into_iter();
        last.retain(|_| latest.next() == Some(true));
        last
    }

    fn ruling<'b>(&self, choice: &'b Live, chosen: Hash) -> Ruling<'b> {
        let seen = self.journal.get(choice.hash).map_or(&[][..], |entry| entry.seen());
        let sight = seen.iter().chain([&choice.hash]).filter_map(|hash| self.stands.get(*hash).copied()).collect();
        Ruling { choice, chosen, sight }
    }

    /// Whether the writer of a choice knew this entry.
    fn knew(&self, ruling: &Ruling<'_>, entry: Hash) -> bool {
        let Some(stand) = self.stands.get(entry) else { return false };
        entry != ruling.choice.hash && ruling.sight.iter().any(|sight| self.reaches(*sight, *stand))
    }

    /// Whether `sight` is `stand` or stands behind it in the same chain.
    fn reaches(&self, sight: Stand, stand: Stand) -> bool {
        if sight.0 != stand.0 {
            return false;
        }
        let (mut n, mut branch) = (sight.1, sight.2);
        for _ in 0..MOST_FORKS {
            if branch == stand.2 {
                return n >= stand.1;
            }
            let Some((parent, shared)) = self.left.get(branch).copied().flatten() else { return false };
            (n, branch) = (n.min(shared), parent);
        }
        false
    }
}
