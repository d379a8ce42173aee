//! The log: composing, chaining, merging, forks, the order.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "helpers of tests fail the test")]

mod common;

use common::*;
use jobfile::*;
use proptest::prelude::*;
use serde_json::{Value, json};

#[test]
fn entries_of_one_step_back_are_chained_and_see_the_other_devices() {
    let mut journal = Journal::new(JOB);
    let desk = say(&mut journal, DESK, 0, job());
    let made = write(&mut journal, PHONE, 60, vec![Draft::new(note("one")), Draft::new(note("two"))]);
    let [first, second] = [journal.get(made[0]).unwrap(), journal.get(made[1]).unwrap()];
    assert_eq!((first.n(), first.prev(), first.seen()), (1, None, &[desk][..]));
    assert_eq!((second.n(), second.prev(), second.seen()), (2, Some(made[0]), &[desk][..]));
    assert_eq!(heads_of(&journal, PHONE), [made[1]]);
    assert_eq!(journal.revision(), 3);
}

#[test]
fn the_root_is_the_hash_of_the_heads_in_canonical_form() {
    let journal = small();
    let heads: serde_json::Map<String, Value> =
        journal.heads().into_iter().map(|(device, heads)| (device.to_string(), json!(heads[0]))).collect();
    assert_eq!(journal.root(), Hash::of_tree(&Value::Object(heads)));
    assert_eq!(Journal::new(JOB).root(), Hash::of_bytes(b"{}"));
}

#[test]
fn a_refused_draft_leaves_nothing_behind_and_every_problem_is_named() {
    let journal = small();
    let bad = What::new("reading", "as_found/D").with("volts", volts("9000")).with("colour", "red");
    let problems = journal.compose(PHONE, &stamp(600), &[Draft::new(bad), Draft::new(job())]).unwrap_err();
    let found: Vec<_> = problems.iter().map(|problem| (problem.code, problem.path.as_str())).collect();
    assert_eq!(
        found,
        [
            (code::KIND_PLACE, "/0/what/place"),
            (code::FIELD_UNKNOWN, "/0/what/fields/colour"),
            (code::FIELD_RANGE, "/0/what/fields/volts"),
            (code::SLOT_TAKEN, "/1/what/place"),
        ]
    );
    assert_eq!(problems[2].wanted, "0…700 V");
}

#[test]
fn every_rule_of_composing_has_its_code() {
    let mut journal = small();
    let plate = say(&mut journal, PHONE, 200, ct([400, 5]));
    let unknown = Hash::of_bytes(b"nowhere");
    let with = |fields: Value| {
        let mut what = What::new("reading", "as_found/B");
        for (key, value) in fields.as_object().unwrap() {
            what = what.with(key, value.clone());
        }
        Draft::new(what)
    };
    for (draft, code) in [
        (Draft::new(What::new("weather", "")), code::KIND_UNKNOWN),
        (Draft::new(What::new("note", "")), code::FIELD_MISSING),
        (Draft::new(note("")), code::FIELD_EMPTY),
        (Draft::new(note(&"x".repeat(4001))), code::FIELD_TOO_LONG),
        (Draft::new(note("bell \u{7}")), code::FIELD_CONTROL_CHARACTER),
        (Draft::new(note("abc\u{202e}fdp.exe")), code::FIELD_DIRECTION_MARK),
        (with(json!({"volts": 118})), code::FIELD_WRONG),
        (with(json!({"volts": {"value": "0118", "unit": "V", "typed": "0118"}})), code::FIELD_NOT_CANONICAL),
        (with(json!({"volts": {"value": "-0.0", "unit": "V", "typed": "-0.0"}})), code::FIELD_NOT_CANONICAL),
        (with(json!({"volts": {"value": "0.118", "unit": "kV", "typed": "0.118"}})), code::FIELD_UNIT),
        (Draft::new(ct([0, 5])), code::FIELD_RANGE),
        (Draft::new(What::new("in_service", "").with("pulses", 0)), code::FIELD_MISSING),
        (Draft::new(ct([400, 5])), code::SLOT_TAKEN),
        (Draft { what: ct([600, 5]), replaces: Some(plate), reason: None }, code::REASON_MISSING),
        (Draft::correcting(ct([600, 5]), plate, " "), code::FIELD_EMPTY),
        (Draft::correcting(ct([600, 5]), unknown, "misread"), code::REPLACES_MISSING),
        (Draft::correcting(job(), plate, "misread"), code::REPLACES_OTHER_SLOT),
        (
            Draft::new(What::new("withdrawal", "").with("entry", unknown.to_string()).with("why", "x")),
            code::WITHDRAWAL_NOT_FOUND,
        ),
        (
            Draft::new(
                What::new("choice", "")
                    .with("kind", "ct_plate")
                    .with("slot_place", "found/A")
                    .with("chosen", plate.to_string())
                    .with("why", "x"),
            ),
            code::CHOICE_NOT_IN_SLOT,
        ),
    ] {
        assert_eq!(refused(&journal, draft.clone()), code, "{draft:?}");
    }
    write(&mut journal, PHONE, 201, vec![Draft::correcting(ct([600, 5]), plate, "misread")]);
    assert_eq!(refused(&journal, Draft::correcting(ct([800, 5]), plate, "again")), code::REPLACES_NOT_LIVE);
}

#[test]
fn a_stamp_that_cannot_be_stored_is_refused() {
    let journal = Journal::new(JOB);
    for stamp in [
        Stamp { who: String::new(), ..stamp(0) },
        Stamp { who: "x".repeat(81), ..stamp(0) },
        Stamp { session: "a\nb".to_owned(), ..stamp(0) },
        Stamp { since_start_ms: 1 << 53, ..stamp(0) },
        Stamp { at: "+10000-01-01T00:00:00Z".parse().unwrap(), ..stamp(0) },
    ] {
        let problems = journal.compose(PHONE, &stamp, &[Draft::new(note("x"))]).unwrap_err();
        assert_eq!(codes(&problems), [code::ENTRY_FIELD_WRONG], "{stamp:?}");
        assert!(problems[0].path.starts_with("/stamp/"));
    }
}

#[test]
fn an_entry_that_does_not_join_is_not_taken() {
    let journal = small();
    let ahead = {
        let mut far = journal.clone();
        say(&mut far, PHONE, 300, note("first"));
        far.compose(PHONE, &stamp(301), &[Draft::new(note("second"))]).unwrap()
    };
    let mut here = journal.clone();
    assert_eq!(codes(&here.append(ahead).unwrap_err()), [code::CHAIN_PREV_MISSING]);
    assert_eq!(here.root(), journal.root());
    let other = Journal::new(JobId::from_bits([7; 16])).compose(PHONE, &stamp(0), &[Draft::new(note("x"))]).unwrap();
    assert_eq!(codes(&here.append(other).unwrap_err()), [code::ENTRY_OTHER_JOB]);
    assert_eq!(here.merge(&Journal::new(JobId::from_bits([7; 16]))).unwrap_err().code, code::MERGE_OTHER_JOB);
}

#[test]
fn a_restored_phone_forks_its_chain_and_both_branches_stay() {
    let base = small();
    let (mut one, mut two) = (base.clone(), base.clone());
    let a = say(&mut one, PHONE, 300, note("on the old phone"));
    let b = say(&mut two, PHONE, 300, note("on the restored phone"));
    let mut merged = one.merge(&two).unwrap();
    let mut both = vec![a, b];
    both.sort();
    assert_eq!(merged.forks(), [Fork { device: PHONE, n: 3, entries: both.clone() }]);
    assert_eq!(heads_of(&merged, PHONE), both);
    assert_eq!(Fold::of(&merged).all("note").len(), 3);
    // Writing goes on from one branch and has seen the other.
    let next = say(&mut merged, PHONE, 400, note("after"));
    let next = merged.get(next).unwrap();
    assert_eq!(next.n(), 4);
    assert!(next.seen().contains(&both[0]) != (next.prev() == Some(both[0])));
    assert!(next.seen().contains(&both[1]) != (next.prev() == Some(both[1])));
}

#[test]
fn order_goes_by_what_was_known_and_never_by_the_clock() {
    let mut journal = Journal::new(JOB);
    let first = say(&mut journal, PHONE, 3000, note("written by a clock that runs ahead"));
    let second = say(&mut journal, HELPER, 0, note("an answer to it"));
    let order: Vec<Hash> = journal.entries().iter().map(|entry| entry.hash()).collect();
    assert_eq!(order, [first, second]);
    assert_eq!((journal.lamport(first), journal.lamport(second)), (Some(1), Some(2)));
}

/// Copies of one job that were written on apart: per step a device, the copy it writes on, and whether it first takes another's.
fn copies(steps: &[(u8, u8, bool)]) -> Vec<Journal> {
    let mut base = Journal::new(JOB);
    say(&mut base, DESK, 0, job());
    let mut copies = vec![base.clone(), base.clone(), base];
    for (index, (copy, other, takes)) in steps.iter().enumerate() {
        let (copy, other) = (usize::from(copy % 3), usize::from(other % 3));
        if *takes {
            copies[copy] = copies[copy].merge(&copies[other]).unwrap();
        }
        let device = [PHONE, HELPER, DESK][copy];
        say(&mut copies[copy], device, index as u32, note(&format!("step {index}")));
    }
    copies
}

fn order(journal: &Journal) -> Vec<Hash> {
    journal.entries().iter().map(|entry| entry.hash()).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn merging_is_a_union(steps in prop::collection::vec((0u8..3, 0u8..3, any::<bool>()), 0..20)) {
        let copies = copies(&steps);
        let [a, b, c] = [&copies[0], &copies[1], &copies[2]];
        let ab = a.merge(b).unwrap();
        let ba = b.merge(a).unwrap();
        prop_assert_eq!(order(&ab), order(&ba));
        prop_assert_eq!(ab.root(), ba.root());
        prop_assert_eq!(order(&ab.merge(c).unwrap()), order(&a.merge(&b.merge(c).unwrap()).unwrap()));
        prop_assert_eq!(order(&ab.merge(&ab).unwrap()), order(&ab));
        prop_assert_eq!(order(&ab.merge(b).unwrap()), order(&ab));
        prop_assert_eq!(Fold::of(&ab).to_text(), Fold::of(&ba).to_text());
    }

    #[test]
    fn whoever_knew_an_entry_comes_after_it(steps in prop::collection::vec((0u8..3, 0u8..3, any::<bool>()), 0..20)) {
        let copies = copies(&steps);
        let all = copies[0].merge(&copies[1]).unwrap().merge(&copies[2]).unwrap();
        let order = order(&all);
        let stands = |hash: &Hash| order.iter().position(|other| other == hash).unwrap();
        for entry in all.entries() {
            for known in entry.prev().iter().chain(entry.seen()) {
                prop_assert!(stands(known) < stands(&entry.hash()));
            }
        }
        // Built from the heap of entries in any order, the journal is the same.
        let (again, problems) = Journal::from_entries(JOB, all.entries().iter().rev().map(|entry| Entry::clone(entry)));
        prop_assert_eq!(problems, vec![]);
        prop_assert_eq!(again.entries(), all.entries());
    }
}
