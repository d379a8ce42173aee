//! The fold: values, corrections, conflicts, choices, withdrawals, entries from the future.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "helpers of tests fail the test")]

mod common;

use common::*;
use jobfile::*;
use serde_json::json;

const SLOT: (&str, &str) = ("ct_plate", "found/A");

fn choose(chosen: Hash) -> Draft {
    Draft::new(
        What::new("choice", "")
            .with("kind", SLOT.0)
            .with("slot_place", SLOT.1)
            .with("chosen", chosen.to_string())
            .with("why", "read again by both"),
    )
}

/// Two hands that read one plate differently, merged.
fn conflict() -> (Journal, Hash, Hash) {
    let mut base = Journal::new(JOB);
    say(&mut base, DESK, 0, job());
    let mut other = base.clone();
    let a = say(&mut base, PHONE, 60, ct([400, 5]));
    let b = say(&mut other, HELPER, 61, ct([600, 5]));
    (base.merge(&other).unwrap(), a, b)
}

#[test]
fn a_correction_keeps_what_it_corrects() {
    let journal = small();
    let fold = Fold::of(&journal);
    let live = fold.one("reading", "as_found/A").unwrap();
    assert_eq!(live.fields.value_text("volts"), Some("119.2"));
    assert_eq!(live.fields.decimal("volts").unwrap().to_string(), "119.2");
    let history = fold.history("reading", "as_found/A");
    assert_eq!(history.len(), 2);
    assert_eq!(history[0].fate, Fate::Replaced(live.hash));
    assert_eq!(history[0].why.as_deref(), Some("misread"));
    assert_eq!(history[0].entry.fields.typed("volts"), Some("118.2"));
    assert_eq!(fold.each("reading").map(|(place, _)| place).collect::<Vec<_>>(), ["as_found/A"]);
    assert!(fold.problems().is_empty() && fold.unknown().is_empty() && fold.conflicts().is_empty());
}

#[test]
fn two_values_from_two_hands_are_shown_until_a_person_chooses() {
    let (mut journal, a, b) = conflict();
    let fold = Fold::of(&journal);
    assert_eq!(fold.one(SLOT.0, SLOT.1), None);
    assert_eq!(fold.conflict(SLOT.0, SLOT.1).unwrap().len(), 2);
    assert_eq!(fold.each("ct_plate").count(), 0);
    let chosen = write(&mut journal, DESK, 90, vec![choose(b)])[0];
    let fold = Fold::of(&journal);
    assert_eq!(fold.one(SLOT.0, SLOT.1).unwrap().hash, b);
    assert_eq!(fold.find(a).unwrap().fate, Fate::NotChosen(chosen));
    assert_eq!(fold.find(a).unwrap().why.as_deref(), Some("read again by both"));
}

#[test]
fn a_choice_does_not_rule_over_what_its_writer_never_saw() {
    let (mut journal, _, b) = conflict();
    let mut third = Journal::new(JOB);
    let c = say(&mut third, DeviceId::from_bits([9; 16]), 30, ct([800, 5]));
    write(&mut journal, DESK, 90, vec![choose(b)]);
    let merged = journal.merge(&third).unwrap();
    let live: Vec<Hash> = Fold::of(&merged).conflict(SLOT.0, SLOT.1).unwrap().iter().map(|live| live.hash).collect();
    assert!(live.len() == 2 && live.contains(&b) && live.contains(&c));
}

#[test]
fn two_choices_that_disagree_settle_nothing_and_a_third_that_knew_both_does() {
    let (journal, a, b) = conflict();
    let (mut one, mut two) = (journal.clone(), journal);
    write(&mut one, PHONE, 90, vec![choose(a)]);
    write(&mut two, HELPER, 90, vec![choose(b)]);
    let mut merged = one.merge(&two).unwrap();
    assert_eq!(Fold::of(&merged).conflict(SLOT.0, SLOT.1).unwrap().len(), 2);
    write(&mut merged, DESK, 95, vec![choose(a)]);
    assert_eq!(Fold::of(&merged).one(SLOT.0, SLOT.1).unwrap().hash, a);
}

#[test]
fn a_choice_holds_on_a_forked_chain_too() {
    let base = small();
    let (mut one, mut two) = (base.clone(), base);
    let a = say(&mut one, PHONE, 300, ct([400, 5]));
    let b = say(&mut two, PHONE, 300, ct([600, 5]));
    say(&mut two, PHONE, 301, note("further on this branch"));
    let mut merged = one.merge(&two).unwrap();
    write(&mut merged, DESK, 400, vec![choose(a)]);
    let fold = Fold::of(&merged);
    assert_eq!(fold.one(SLOT.0, SLOT.1).unwrap().hash, a);
    assert!(matches!(fold.find(b).unwrap().fate, Fate::NotChosen(_)));
}

/// A file can hold a fork at every entry, and a choice on every branch: it must fold in no time, with all values in sight.
#[test]
fn a_hostile_thicket_of_forks_and_choices_settles_nothing() {
    let mut base = Journal::new(JOB);
    let first = say(&mut base, PHONE, 0, ct([400, 5]));
    let mut all = base.clone();
    for index in 0..40 {
        let mut branch = base.clone();
        say(&mut branch, PHONE, index + 1, note(&format!("branch {index}")));
        say(
            &mut branch,
            DeviceId::from_bits([index as u8; 16]),
            index + 1,
            What { place: "found/B".to_owned(), ..ct([500 + i64::from(index), 5]) },
        );
        all = all.merge(&branch).unwrap();
    }
    assert_eq!(all.forks()[0].entries.len(), 40);
    let fold = Fold::of(&all);
    assert_eq!(fold.conflict("ct_plate", "found/B").unwrap().len(), 40);
    assert_eq!(fold.one("ct_plate", "found/A").unwrap().hash, first);
    let mut chosen = all.clone();
    let values: Vec<Hash> = fold.conflict("ct_plate", "found/B").unwrap().iter().map(|live| live.hash).collect();
    for (index, value) in values.iter().enumerate().take(20) {
        let mut branch = all.clone();
        let choice = What::new("choice", "").with("kind", "ct_plate").with("slot_place", "found/B");
        let choice = choice.with("chosen", value.to_string()).with("why", "mine");
        say(&mut branch, DeviceId::from_bits([100 + index as u8; 16]), 70, choice);
        chosen = chosen.merge(&branch).unwrap();
    }
    assert_eq!(Fold::of(&chosen).conflict("ct_plate", "found/B").unwrap().len(), 40);
    // One hand that has seen them all ends it.
    let choice = What::new("choice", "").with("kind", "ct_plate").with("slot_place", "found/B");
    say(&mut chosen, DESK, 90, choice.with("chosen", values[3].to_string()).with("why", "read again"));
    assert_eq!(Fold::of(&chosen).conflict("ct_plate", "found/B").map(|live| live.len()), Some(40), "too many to weigh");
}

#[test]
fn two_corrections_of_one_value_are_a_conflict() {
    let mut base = Journal::new(JOB);
    let first = say(&mut base, PHONE, 0, ct([400, 5]));
    let (mut one, mut two) = (base.clone(), base);
    write(&mut one, PHONE, 10, vec![Draft::correcting(ct([500, 5]), first, "tap")]);
    write(&mut two, HELPER, 10, vec![Draft::correcting(ct([600, 5]), first, "plate")]);
    let fold = Fold::of(&one.merge(&two).unwrap());
    assert_eq!(fold.conflict(SLOT.0, SLOT.1).unwrap().len(), 2);
    assert!(matches!(fold.find(first).unwrap().fate, Fate::Replaced(_)));
}

#[test]
fn what_was_taken_back_leaves_its_slot_free_and_stays_readable() {
    let mut journal = Journal::new(JOB);
    let wrong = say(&mut journal, PHONE, 0, ct([400, 5]));
    let note_hash = say(&mut journal, PHONE, 1, note("not here"));
    let take_back =
        |hash: Hash| What::new("withdrawal", "").with("entry", hash.to_string()).with("why", "another cabinet");
    say(&mut journal, PHONE, 2, take_back(wrong));
    say(&mut journal, PHONE, 3, take_back(note_hash));
    let fold = Fold::of(&journal);
    assert!(fold.one(SLOT.0, SLOT.1).is_none() && fold.conflict(SLOT.0, SLOT.1).is_none());
    assert!(fold.all("note").is_empty());
    assert!(matches!(fold.history(SLOT.0, SLOT.1)[0].fate, Fate::Withdrawn(_)));
    assert_eq!(fold.history(SLOT.0, SLOT.1)[0].why.as_deref(), Some("another cabinet"));
    assert_eq!(refused(&journal, Draft::new(take_back(wrong))), code::WITHDRAWAL_NOT_FOUND);
    say(&mut journal, PHONE, 4, ct([600, 5]));
    assert!(Fold::of(&journal).one(SLOT.0, SLOT.1).is_some());
}

#[test]
fn what_happened_stands_in_the_order_of_the_journal() {
    let mut journal = Journal::new(JOB);
    let act =
        |pole: &str| What::new("act", "").with("act", "close_short").with("pole", pole).with("accepted", "planned");
    let acts = write(&mut journal, PHONE, 0, ["A", "C", "B"].map(|pole| Draft::new(act(pole))).to_vec());
    let fold = Fold::of(&journal);
    let poles: Vec<_> = fold.all("act").iter().filter_map(|live| live.fields.choice("pole")).collect();
    assert_eq!(poles, ["A", "C", "B"]);
    assert_eq!(fold.last("act", "").unwrap().hash, acts[2]);
    assert_eq!(fold.one("act", ""), None, "a kind that keeps all has no one value");
    write(&mut journal, PHONE, 9, vec![Draft::correcting(act("N"), acts[0], "wrong pole")]);
    let fold = Fold::of(&journal);
    assert_eq!(fold.all("act").len(), 3);
    assert!(fold.all("act").iter().all(|live| live.hash != acts[0]));
}

#[test]
fn a_second_value_without_replaces_is_shown_as_a_conflict() {
    let journal = small();
    let live = Fold::of(&journal).one("reading", "as_found/A").unwrap().hash;
    let mut tree = journal.get(live).unwrap().tree().clone();
    tree["n"] = json!(3);
    tree["prev"] = json!(live);
    tree.as_object_mut().unwrap().retain(|key, _| key != "replaces" && key != "reason");
    let (entry, problems) = Entry::from_tree(tree).unwrap();
    assert!(problems.is_empty());
    let mut journal = journal;
    journal.append(vec![entry]).unwrap();
    assert_eq!(Fold::of(&journal).conflict("reading", "as_found/A").unwrap().len(), 2);
}

#[test]
fn an_entry_from_the_future_is_kept_and_shown_as_unknown() {
    let journal = small();
    let head = heads_of(&journal, PHONE)[0];
    let tree = json!({"v": 2, "job": JOB, "device": PHONE, "n": 3, "prev": head, "seen": [], "quux": {"kind": "?"}});
    let (entry, problems) = Entry::from_tree(tree.clone()).unwrap();
    assert_eq!(codes(&problems), [code::ENTRY_FROM_THE_FUTURE]);
    let hash = entry.hash();
    let mut journal = journal;
    journal.append(vec![entry]).unwrap();
    let fold = Fold::of(&journal);
    assert_eq!(fold.unknown().len(), 1);
    assert_eq!((fold.unknown()[0].hash, fold.unknown()[0].v), (hash, 2));
    assert_eq!(journal.get(hash).unwrap().tree(), &tree);
    // The chain goes on behind it.
    say(&mut journal, PHONE, 500, note("after"));
    let reading = file::read(file::write(&journal, &Blobs::new()).as_bytes());
    assert_eq!(codes(&reading.problems), [code::ENTRY_FROM_THE_FUTURE]);
    assert_eq!(reading.journal.unwrap().root(), journal.root());
}

#[test]
fn pointing_nowhere_is_reported_and_changes_nothing() {
    let journal = small();
    let head = heads_of(&journal, PHONE)[0];
    let nowhere = Hash::of_bytes(b"nowhere");
    let mut tree = journal.get(head).unwrap().tree().clone();
    tree["n"] = json!(3);
    tree["prev"] = json!(head);
    tree["what"]["place"] = json!("as_found/B");
    for (target, code) in [(nowhere, code::REPLACES_MISSING), (head, code::REPLACES_OTHER_SLOT)] {
        tree["replaces"] = json!(target);
        let mut journal = journal.clone();
        journal.append(vec![Entry::from_tree(tree.clone()).unwrap().0]).unwrap();
        let fold = Fold::of(&journal);
        assert_eq!(codes(fold.problems()), [code]);
        assert!(fold.one("reading", "as_found/A").is_some() && fold.one("reading", "as_found/B").is_some());
    }
}

#[test]
fn the_fold_as_json_is_canonical_and_names_the_root() {
    let fold = Fold::of(&small());
    let text = fold.to_text();
    let again: serde_json::Value = serde_json::from_str(&text).unwrap();
    assert_eq!(canonical_text(&again), text);
    assert_eq!(again["root"], json!(fold.root()));
    assert_eq!(again["slots"][0]["kind"], "job");
    assert_eq!(again["slots"][2]["past"][0]["why"], "misread");
}

#[test]
fn a_summary_says_where_a_job_stands() {
    let mut journal = Journal::new(JOB);
    say(&mut journal, DESK, 0, job());
    let summary = Summary::of(&Fold::of(&journal));
    assert_eq!((summary.stands, summary.site.as_deref()), (Stands::New, Some("Pump house, Fernhollow")));
    say(&mut journal, PHONE, 60, What::new("step", "truck").with("state", "done"));
    say(&mut journal, PHONE, 120, What::new("step", "arrive").with("state", "left_open").with("why", "no answer"));
    let summary = Summary::of(&Fold::of(&journal));
    assert_eq!(summary.stands, Stands::UnderWay);
    assert_eq!((summary.steps_done, summary.steps_left_open, summary.last_step.as_deref()), (1, 1, Some("arrive")));
    assert_eq!(summary.last_at.as_deref(), Some("2026-11-25T09:02:00.000-05:00"));
    assert_eq!(Summary::from_text(&summary.to_text()), Some(summary));
}
