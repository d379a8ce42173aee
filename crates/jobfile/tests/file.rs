//! The file: round trips, every small damage found, hostile bytes.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "helpers of tests fail the test")]

mod common;

use common::*;
use jobfile::*;
use proptest::prelude::*;
use serde_json::json;

fn with_photo() -> (Journal, Blobs) {
    let bytes = b"\xff\xd8 not much of a photo".to_vec();
    (small(), Blobs::from([(Hash::of_bytes(&bytes), bytes)]))
}

/// Two devices and a photo, small enough to try every damage.
fn tiny() -> (Journal, Blobs) {
    let mut journal = Journal::new(JOB);
    say(&mut journal, DESK, 0, job());
    say(&mut journal, PHONE, 60, note("x"));
    (journal, Blobs::from([(Hash::of_bytes(b"p"), b"p".to_vec())]))
}

fn text_of(journal: &Journal) -> String {
    file::write(journal, &Blobs::new())
}

/// Whether a reader that holds a receipted root sees that something is not as it was.
fn is_found(bytes: &[u8], root: Hash) -> bool {
    let reading = file::read(bytes);
    !reading.problems.is_empty() || reading.journal.is_none_or(|journal| journal.root() != root)
}

#[test]
fn what_is_written_is_read_back() {
    let (journal, blobs) = with_photo();
    let text = file::write(&journal, &blobs);
    let reading = file::read(text.as_bytes());
    assert_eq!(reading.problems, []);
    assert!(reading.is_whole());
    assert_eq!(reading.blobs, blobs);
    let again = reading.journal.unwrap();
    assert_eq!((again.root(), &again), (journal.root(), &journal));
    assert_eq!(reading.fold.unwrap(), Fold::of(&journal));
    assert_eq!(file::write(&again, &blobs), text);
    let empty = text_of(&Journal::new(JOB));
    assert_eq!(file::read(empty.as_bytes()).problems, []);
}

#[test]
fn one_entry_stands_on_one_line() {
    let (journal, blobs) = with_photo();
    let text = file::write(&journal, &blobs);
    let lines: Vec<&str> = text.lines().collect();
    assert_eq!(lines.len(), 1 + journal.revision() + 1 + blobs.len() + 1);
    for (line, entry) in lines[1..].iter().zip(journal.entries()) {
        assert_eq!(line.trim_end_matches(','), entry.to_text());
    }
}

#[test]
fn every_flipped_bit_is_found() {
    let (journal, blobs) = tiny();
    let bytes = file::write(&journal, &blobs).into_bytes();
    for at in 0..bytes.len() {
        for bit in 0..8 {
            let mut flipped = bytes.clone();
            flipped[at] ^= 1 << bit;
            assert!(
                is_found(&flipped, journal.root()),
                "byte {at}, bit {bit}: {:?}",
                String::from_utf8_lossy(&flipped[at.saturating_sub(20)..=at])
            );
        }
    }
}

#[test]
fn every_other_byte_in_a_small_file_is_found() {
    let mut journal = Journal::new(JOB);
    say(&mut journal, PHONE, 0, note("x"));
    let bytes = text_of(&journal).into_bytes();
    for at in 0..bytes.len() {
        for value in (0..=255).filter(|value| *value != bytes[at]) {
            let mut changed = bytes.clone();
            changed[at] = value;
            assert!(is_found(&changed, journal.root()), "byte {at} as {value}");
        }
    }
}

#[test]
fn every_cut_every_dropped_and_every_doubled_byte_is_found() {
    let (journal, blobs) = tiny();
    let bytes = file::write(&journal, &blobs).into_bytes();
    for at in 0..bytes.len() {
        assert!(is_found(&bytes[..at], journal.root()), "cut at {at}");
        let mut dropped = bytes.clone();
        dropped.remove(at);
        assert!(is_found(&dropped, journal.root()), "dropped {at}");
        let mut doubled = bytes.clone();
        doubled.insert(at, bytes[at]);
        assert!(is_found(&doubled, journal.root()), "doubled {at}");
    }
}

/// The file with its entry lines put together anew.
fn relined(journal: &Journal, lines: &[String]) -> Vec<u8> {
    let text = text_of(journal);
    let head = text.lines().next().unwrap();
    format!("{head}\n{}\n],\"blobs\":[\n]}}\n", lines.join(",\n")).into_bytes()
}

#[test]
fn every_dropped_swapped_or_doubled_entry_is_found() {
    let mut journal = small();
    say(&mut journal, HELPER, 200, note("third hand"));
    say(&mut journal, PHONE, 201, note("back again"));
    let lines: Vec<String> = journal.entries().iter().map(|entry| entry.to_text()).collect();
    assert!(!is_found(&relined(&journal, &lines), journal.root()));
    for one in 0..lines.len() {
        let mut dropped = lines.clone();
        dropped.remove(one);
        assert!(is_found(&relined(&journal, &dropped), journal.root()), "dropped {one}");
        for two in 0..=lines.len() {
            let mut doubled = lines.clone();
            doubled.insert(two, lines[one].clone());
            let reading = file::read(&relined(&journal, &doubled));
            assert!(codes(&reading.problems).contains(&code::ENTRY_DOUBLED), "doubled {one} at {two}");
            assert_eq!(reading.journal.unwrap().root(), journal.root());
            if two < lines.len() && one != two {
                let mut swapped = lines.clone();
                swapped.swap(one, two);
                let problems = file::read(&relined(&journal, &swapped)).problems;
                assert_eq!(codes(&problems), [code::FILE_ORDER], "swapped {one} and {two}");
            }
        }
    }
}

/// 10^5 damages, spread by a small generator with a fixed seed, over the entries of a file of 200.
///
/// A whole reading is slow without optimisation, so the damaged line is read alone: it must be no entry any more, or
/// have another hash, which breaks the chain or changes the root. Every two-thousandth damage is read in the whole file.
#[test]
fn damage_to_a_large_file_is_found() {
    let mut journal = Journal::new(JOB);
    let drafts: Vec<Draft> = (0..200).map(|index| Draft::new(note(&format!("note {index}")))).collect();
    write(&mut journal, PHONE, 0, drafts);
    let bytes = text_of(&journal).into_bytes();
    let lines: Vec<String> = journal.entries().iter().map(|entry| entry.to_text()).collect();
    let first = bytes.iter().position(|byte| *byte == b'\n').unwrap() + 1;
    let mut seed = 0x9e37_79b9_7f4a_7c15u64;
    let mut next = move || {
        seed ^= seed << 13;
        seed ^= seed >> 7;
        seed ^= seed << 17;
        seed
    };
    let starts: Vec<usize> = lines
        .iter()
        .scan(first, |next, line| {
            let start = *next;
            *next += line.len() + 2;
            Some(start)
        })
        .collect();
    for round in 0..100_000 {
        let line = next() as usize % lines.len();
        let at = next() as usize % lines[line].len();
        let old = lines[line].as_bytes()[at];
        let value = (next() % 255) as u8;
        let value = if value >= old { value + 1 } else { value };
        let mut changed = lines[line].clone().into_bytes();
        changed[at] = value;
        let read = std::str::from_utf8(&changed).ok().and_then(|text| Entry::from_text(text).ok());
        // The same entry in another spelling would be found by the layout of the whole file.
        assert!(
            read.is_none_or(|(entry, _)| entry.hash() != journal.entries()[line].hash()),
            "round {round}: line {line}, byte {at} as {value}"
        );
        if round % 2000 == 0 {
            let mut whole = bytes.clone();
            whole[starts[line] + at] = value;
            assert!(is_found(&whole, journal.root()), "round {round}: line {line}, byte {at} as {value}");
        }
    }
}

#[test]
fn a_file_cut_short_gives_every_entry_before_the_cut() {
    let journal = small();
    let text = text_of(&journal);
    for (index, _) in text.match_indices('\n') {
        let reading = file::read(&text.as_bytes()[..index]);
        let whole = text[..index].matches("\"n\":").count();
        if whole == 0 {
            continue;
        }
        assert!(
            codes(&reading.problems).iter().any(|found| [code::FILE_CUT_SHORT, code::FILE_LAYOUT].contains(found)),
            "{index}"
        );
        assert_eq!(reading.journal.unwrap().revision(), whole, "cut at {index}");
    }
    let (last, _) = text.match_indices('\n').nth(2).unwrap();
    let reading = file::read(&text.as_bytes()[..last + 30]);
    assert_eq!(reading.problems[0].line, Some((4, 30)), "{:?}", reading.problems);
    assert_eq!(reading.problems[0].path, "/entries/2/at");
}

#[test]
fn one_torn_line_costs_one_entry() {
    let journal = small();
    let lines: Vec<String> = journal.entries().iter().map(|entry| entry.to_text()).collect();
    let mut torn = lines.clone();
    torn[1] = torn[1][..80].to_owned();
    let reading = file::read(&relined(&journal, &torn));
    assert_eq!(reading.journal.unwrap().revision(), 3);
    assert!(codes(&reading.problems).contains(&code::JSON_SYNTAX));
    assert!(codes(&reading.problems).contains(&code::CHAIN_PREV_MISSING));
    let damaged = &reading.problems[0];
    assert!(damaged.path.starts_with("/entries/1") && damaged.line.unwrap().0 == 3, "{damaged}");
}

#[test]
fn unknown_fields_survive_wherever_they_stand() {
    let journal = small();
    let mut tree = journal.entries()[3].tree().clone();
    let device = journal.entries()[3].device();
    tree["mood"] = json!({"deep": [1, 2, {"er": "yes"}]});
    tree["what"]["fields"]["new_field"] = json!("kept");
    let head = heads_of(&journal, device)[0];
    tree["n"] = json!(journal.get(head).unwrap().n() + 1);
    tree["prev"] = json!(head);
    let mut journal = journal;
    journal.append(vec![Entry::from_tree(tree.clone()).unwrap().0]).unwrap();
    let text = text_of(&journal)
        .replace("\"additive\":0", "\"additive\":3")
        .replace("\"entries\"", "\"later\":{\"b\":1,\"a\":[]},\"entries\"");
    let reading = file::read(text.as_bytes());
    assert_eq!(
        codes(&reading.problems),
        [code::FILE_NEWER, code::FILE_FIELD_UNKNOWN, code::ENTRY_FIELD_UNKNOWN, code::FIELD_UNKNOWN]
    );
    assert!(reading.is_whole(), "notes take nothing away");
    let again = file::write(&reading.journal.unwrap(), &Blobs::new());
    assert!(again.contains("\"later\":{\"a\":[],\"b\":1}"));
    assert!(again.contains(&canonical_text(&tree)));
}

#[test]
fn photos_are_held_to_their_hash() {
    let (journal, blobs) = with_photo();
    let text = file::write(&journal, &blobs);
    let hash = blobs.iter().next().unwrap().0.to_string();
    for (changed, expected) in [
        (text.replace(&hash, &Hash::of_bytes(b"another").to_string()), code::BLOB_HASH_WRONG),
        (text.replace("\"base64\":\"", "\"base64\":\"*"), code::BLOB_NOT_BASE64),
        (text.replace("\"base64\":", "\"base32\":"), code::FILE_FIELD_WRONG),
    ] {
        let reading = file::read(changed.as_bytes());
        assert_eq!(codes(&reading.problems), [expected]);
        assert_eq!(reading.problems[0].path, "/blobs/0");
        assert!(reading.blobs.is_empty() && reading.journal.is_some());
    }
}

#[test]
fn a_file_over_the_limit_is_refused_by_its_size() {
    assert!(file::check_size(file::MOST_BYTES).is_ok());
    assert_eq!(file::check_size(file::MOST_BYTES + 1).unwrap_err().code, code::FILE_TOO_LARGE);
    let large = vec![b' '; file::MOST_BYTES as usize + 1];
    assert_eq!(codes(&file::read(&large).problems), [code::FILE_TOO_LARGE]);
}

#[test]
fn an_entry_longer_than_any_real_one_is_not_taken() {
    let journal = small();
    let text = text_of(&journal).replace("Noted.", &"x".repeat(300_000));
    let reading = file::read(text.as_bytes());
    assert_eq!(codes(&reading.problems), [code::ENTRY_TOO_LONG]);
    assert_eq!(reading.journal.unwrap().revision(), 3);
}

#[test]
fn an_endless_list_of_faults_is_cut() {
    let text = text_of(&small()).replace("\"entries\":[\n", &format!("\"entries\":[\n{}", "1.5,\n".repeat(5000)));
    let reading = file::read(text.as_bytes());
    assert_eq!(reading.problems.last().unwrap().code, code::FILE_MORE_PROBLEMS);
    assert!(reading.problems.len() < 2000);
    assert_eq!(reading.journal.unwrap().revision(), 4);
}

fn hostile() -> impl Strategy<Value = Vec<u8>> {
    let pieces = prop::sample::select(vec![
        "{",
        "}",
        "[",
        "]",
        ",",
        ":",
        "\"",
        "\\",
        "\\u",
        "\\ud800",
        "d83d",
        "null",
        "true",
        "-",
        "0",
        "1e9",
        "NaN",
        "\n",
        "\r",
        "\"entries\":[",
        "\"format\":\"dotside-job\"",
        "\"job\":",
        "\"blobs\":[",
        "\u{feff}",
        "\u{202e}",
        "ä",
        "\"v\":1",
    ]);
    prop_oneof![
        prop::collection::vec(any::<u8>(), 0..200),
        prop::collection::vec(pieces, 0..60).prop_map(|pieces| pieces.concat().into_bytes()),
    ]
}

proptest! {
    #[test]
    fn no_bytes_panic_and_every_refusal_names_its_reason(bytes in hostile()) {
        let reading = file::read(&bytes);
        prop_assert!(reading.journal.is_some() || !reading.problems.is_empty());
        for problem in &reading.problems {
            prop_assert!(Problem::CODES.contains(&problem.code));
            prop_assert!(problem.found.chars().count() <= 500);
        }
    }

    #[test]
    fn spliced_files_never_panic(at in 0usize..2000, cut in 0usize..300, bytes in hostile()) {
        let mut text = text_of(&small()).into_bytes();
        let at = at.min(text.len());
        let end = (at + cut).min(text.len());
        text.splice(at..end, bytes);
        let reading = file::read(&text);
        if let Some(journal) = reading.journal {
            let again = file::read(file::write(&journal, &reading.blobs).as_bytes());
            prop_assert_eq!(again.journal.map(|journal| journal.root()), Some(journal.root()));
        }
    }

    #[test]
    fn notes_of_any_text_round_trip(texts in prop::collection::vec("\\PC{1,40}", 1..6)) {
        let mut journal = Journal::new(JOB);
        for (index, text) in texts.iter().enumerate() {
            let draft = Draft::new(note(text));
            if let Ok(made) = journal.compose(PHONE, &stamp(index as u32), &[draft]) {
                journal.append(made).unwrap();
            }
        }
        let reading = file::read(text_of(&journal).as_bytes());
        prop_assert_eq!(reading.problems, vec![]);
        prop_assert_eq!(reading.journal.unwrap().root(), journal.root());
    }
}
