//! What corrections, withdrawals and choices do to the entries they point at.
//!
//! A correction and a withdrawal name their one entry. A choice rules over those values of its slot that its writer
//! knew: one that arrives later from another device is shown again.

use crate::fold::{Fate, Live, Past, Slot, is_ruling};
use crate::hash::Hash;
use crate::id::DeviceId;
use crate::journal::Journal;
use crate::kinds;
use crate::problem::{Problem, code};
use std::collections::{BTreeMap, BTreeSet};

type Slots = BTreeMap<String, BTreeMap<String, Slot>>;
/// Where each entry stands: kind, place and index in the slot's history.
type Index = BTreeMap<Hash, (String, String, usize)>;

/// Marks what became of every entry, and lists what points nowhere.
pub(crate) fn settle(journal: &Journal, slots: &mut Slots, problems: &mut Vec<Problem>) {
    let mut index = Index::new();
    let mut correcting = Vec::new();
    let mut withdrawing = Vec::new();
    let mut choosing = Vec::new();
    for (kind, places) in slots.iter_mut() {
        for (place, slot) in places {
            for (at, past) in slot.history_mut().iter().enumerate() {
                index.insert(past.entry.hash, (kind.clone(), place.clone(), at));
                match kind.as_str() {
                    kinds::WITHDRAWAL => withdrawing.push(past.entry.clone()),
                    kinds::CHOICE => choosing.push(past.entry.clone()),
                    _ => {}
                }
                if let Some(target) = past.entry.replaces {
                    correcting.push((past.entry.order, past.entry.hash, target, past.entry.reason.clone()));
                }
            }
        }
    }
    correcting.sort_by_key(|(order, ..)| *order);
    for (_, by, target, reason) in correcting {
        correct(slots, &index, problems, by, target, reason);
    }
    for withdrawal in withdrawing {
        withdraw(slots, &index, problems, &withdrawal);
    }
    if !choosing.is_empty() {
        choose(journal, slots, &index, problems, &choosing);
    }
}

fn find<'a>(slots: &'a mut Slots, index: &Index, hash: Hash) -> Option<&'a mut Past> {
    let (kind, place, at) = index.get(&hash)?;
    slots.get_mut(kind)?.get_mut(place)?.history_mut().get_mut(*at)
}

fn correct(
    slots: &mut Slots,
    index: &Index,
    problems: &mut Vec<Problem>,
    by: Hash,
    target: Hash,
    reason: Option<String>,
) {
    let path = format!("/entries/{by}/replaces");
    let own = index.get(&by).map(|(kind, place, _)| (kind, place));
    match index.get(&target).map(|(kind, place, _)| (kind, place)) {
        None => problems.push(Problem::new(code::REPLACES_MISSING, path, &target.to_string(), "")),
        Some(slot) if Some(slot) != own || is_ruling(slot.0) => {
            let wanted = own.map(|(kind, place)| format!("{kind} {place}")).unwrap_or_default();
            problems.push(Problem::new(code::REPLACES_OTHER_SLOT, path, &format!("{} {}", slot.0, slot.1), wanted));
        }
        Some(_) => mark(find(slots, index, target), Fate::Replaced(by), reason),
    }
}

/// What has a fate already keeps it: of two corrections of one entry the earlier is named, and both new values stand.
fn mark(past: Option<&mut Past>, fate: Fate, why: Option<String>) {
    if let Some(past) = past.filter(|past| past.fate == Fate::Live) {
        past.fate = fate;
        past.why = why;
    }
}

fn withdraw(slots: &mut Slots, index: &Index, problems: &mut Vec<Problem>, withdrawal: &Live) {
    let target = withdrawal.fields.hash("entry");
    let found = target.filter(|hash| index.get(hash).is_some_and(|(kind, ..)| !is_ruling(kind)));
    match found {
        Some(target) => {
            let why = withdrawal.fields.text("why").map(ToOwned::to_owned);
            mark(find(slots, index, target), Fate::Withdrawn(withdrawal.hash), why);
        }
        None => {
            let path = format!("/entries/{}/what/fields/entry", withdrawal.hash);
            let found = withdrawal.fields.text("entry").unwrap_or_default();
            problems.push(Problem::new(code::WITHDRAWAL_NOT_FOUND, path, found, ""));
        }
    }
}

fn choose(journal: &Journal, slots: &mut Slots, index: &Index, problems: &mut Vec<Problem>, choosing: &[Live]) {
    let knowledge = Knowledge::of(journal);
    let mut by_slot: BTreeMap<(String, String), Vec<(&Live, Hash)>> = BTreeMap::new();
    for choice in choosing {
        let slot = (
            choice.fields.text("kind").unwrap_or_default().to_owned(),
            choice.fields.text("slot_place").unwrap_or_default().to_owned(),
        );
        let chosen = choice.fields.hash("chosen");
        match chosen.filter(|hash| index.get(hash).is_some_and(|(kind, place, _)| (kind, place) == (&slot.0, &slot.1)))
        {
            Some(chosen) if !is_ruling(&slot.0) => by_slot.entry(slot).or_default().push((choice, chosen)),
            _ => {
                let path = format!("/entries/{}/what/fields/chosen", choice.hash);
                let found = choice.fields.text("chosen").unwrap_or_default();
                problems.push(Problem::new(code::CHOICE_NOT_IN_SLOT, path, found, format!("{} {}", slot.0, slot.1)));
            }
        }
    }
    for ((kind, place), choices) in by_slot {
        let Some(slot) = slots.get_mut(&kind).and_then(|places| places.get_mut(&place)) else { continue };
        let standing = knowledge.latest(&choices);
        for past in slot.history_mut().iter_mut().filter(|past| past.fate == Fate::Live) {
            let hash = past.entry.hash;
            // Two choices that knew nothing of each other and disagree settle nothing: both values stay in sight.
            if standing.iter().any(|ruling| ruling.chosen == hash) {
                continue;
            }
            if let Some(ruling) = standing.iter().find(|ruling| knowledge.knew(ruling, hash)) {
                let why = ruling.choice.fields.text("why").map(ToOwned::to_owned);
                mark(Some(past), Fate::NotChosen(ruling.choice.hash), why);
            }
        }
    }
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
    stands: BTreeMap<Hash, Stand>,
    /// Per branch the one it left, and the last number they share.
    left: Vec<Option<(usize, u32)>>,
}

impl<'a> Knowledge<'a> {
    fn of(journal: &'a Journal) -> Self {
        let mut knowledge = Self { journal, stands: BTreeMap::new(), left: Vec::new() };
        let mut followed = BTreeSet::new();
        // In the order of the journal an entry comes after the one before it in its chain.
        for entry in journal.entries() {
            let before = entry.prev().and_then(|prev| Some((prev, *knowledge.stands.get(&prev)?)));
            let branch = match before {
                Some((prev, (_, _, branch))) if followed.insert(prev) => branch,
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
    fn latest<'b>(&self, choices: &[(&'b Live, Hash)]) -> Vec<Ruling<'b>> {
        // On one branch of one chain only the last can be latest.
        let mut last: BTreeMap<usize, (&'b Live, Hash)> = BTreeMap::new();
        for choice in choices {
            let branch = self.stands.get(&choice.0.hash).map_or(usize::MAX, |(_, _, branch)| *branch);
            let place = last.entry(branch).or_insert(*choice);
            if place.0.order < choice.0.order {
                *place = *choice;
            }
        }
        if last.len() > MOST_RULINGS {
            return Vec::new();
        }
        let last: Vec<Ruling<'b>> = last.into_values().map(|(choice, chosen)| self.ruling(choice, chosen)).collect();
        let known = |hash: Hash| last.iter().any(|other| other.choice.hash != hash && self.knew(other, hash));
        let latest: Vec<bool> = last.iter().map(|ruling| !known(ruling.choice.hash)).collect();
        last.into_iter().zip(latest).filter(|(_, latest)| *latest).map(|(ruling, _)| ruling).collect()
    }

    fn ruling<'b>(&self, choice: &'b Live, chosen: Hash) -> Ruling<'b> {
        let seen = self.journal.get(choice.hash).map_or(&[][..], |entry| entry.seen());
        let sight = seen.iter().chain([&choice.hash]).filter_map(|hash| self.stands.get(hash).copied()).collect();
        Ruling { choice, chosen, sight }
    }

    /// Whether the writer of a choice knew this entry.
    fn knew(&self, ruling: &Ruling<'_>, entry: Hash) -> bool {
        let Some(stand) = self.stands.get(&entry) else { return false };
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
