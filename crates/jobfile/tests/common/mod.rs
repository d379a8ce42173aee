//! Small journals for the tests: invented places, fixed names and clocks, so every run makes the same bytes.
#![allow(dead_code, reason = "each test file uses its own part of these helpers")]

use jobfile::*;
use serde_json::{Value, json};

pub const PHONE: DeviceId = DeviceId::from_bits(*b"phone of a test.");
pub const HELPER: DeviceId = DeviceId::from_bits(*b"helper of a test");
pub const DESK: DeviceId = DeviceId::from_bits(*b"desk of a test..");
pub const JOB: JobId = JobId::from_bits(*b"a job of a test.");

/// The stamp of the given second of the visit.
pub fn stamp(second: u32) -> Stamp {
    let at = format!("2026-11-25T09:{:02}:{:02}-05:00", second / 60 % 60, second % 60);
    Stamp {
        at: chrono::DateTime::parse_from_rfc3339(&at).unwrap(),
        session: "s1".to_owned(),
        since_start_ms: u64::from(second) * 1000,
        who: "R. Alder".to_owned(),
    }
}

pub fn volts(value: &str) -> Value {
    json!({"value": value, "unit": "V", "typed": value})
}

pub fn job() -> What {
    What::new("job", "").with("visit", "meter_change").with("service", "wye3").with("site", "Pump house, Fernhollow")
}

pub fn reading(place: &str, value: &str) -> What {
    What::new("reading", place).with("volts", volts(value))
}

pub fn note(text: &str) -> What {
    What::new("note", "").with("text", text)
}

pub fn ct(ratio: [i64; 2]) -> What {
    What::new("ct_plate", "found/A").with(
        "ratio",
        json!({"typed": format!("{}:{}", ratio[0], ratio[1]), "primary": [ratio[0], 1, 0], "secondary": [ratio[1], 1, 0]}),
    )
}

/// Writes on; panics when the drafts are refused.
pub fn write(journal: &mut Journal, device: DeviceId, second: u32, drafts: Vec<Draft>) -> Vec<Hash> {
    let made = journal.compose(device, &stamp(second), &drafts).unwrap();
    let hashes = made.iter().map(Entry::hash).collect();
    journal.append(made).unwrap();
    hashes
}

pub fn say(journal: &mut Journal, device: DeviceId, second: u32, what: What) -> Hash {
    write(journal, device, second, vec![Draft::new(what)])[0]
}

/// A phone and a desk that know each other's entries, one correction.
pub fn small() -> Journal {
    let mut journal = Journal::new(JOB);
    say(&mut journal, DESK, 0, job());
    let wrong = say(&mut journal, PHONE, 60, reading("as_found/A", "118.2"));
    write(&mut journal, PHONE, 90, vec![Draft::correcting(reading("as_found/A", "119.2"), wrong, "misread")]);
    say(&mut journal, DESK, 120, note("Noted."));
    journal
}

/// The ends of one device's chain.
pub fn heads_of(journal: &Journal, device: DeviceId) -> Vec<Hash> {
    journal.heads().into_iter().find(|(writer, _)| *writer == device).map(|(_, heads)| heads).unwrap_or_default()
}

pub fn codes(problems: &[Problem]) -> Vec<&'static str> {
    problems.iter().map(|problem| problem.code).collect()
}

/// The first code of what a composition is refused for.
pub fn refused(journal: &Journal, draft: Draft) -> &'static str {
    journal.compose(PHONE, &stamp(600), &[draft]).unwrap_err()[0].code
}
