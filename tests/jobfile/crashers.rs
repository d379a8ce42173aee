//! Files that must be refused, or read as far as they go: each with the codes it must be refused by.

use jobfile::{Problem, file};
use serde::Deserialize;
use std::collections::BTreeMap;
use std::path::PathBuf;

/// What must come out of one file.
#[derive(Deserialize)]
struct Expected {
    /// Every code, in the order of the report.
    codes: Vec<String>,
    /// Entries that could still be read; absent where nothing can.
    entries: Option<usize>,
    /// Line of the first problem.
    line: Option<u32>,
}

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("crashers")
}

fn manifest() -> BTreeMap<String, Expected> {
    serde_json::from_str(&std::fs::read_to_string(folder().join("manifest.json")).unwrap()).unwrap()
}

#[test]
fn every_file_is_refused_or_salvaged_as_the_manifest_says() {
    let mut wrong = Vec::new();
    for (name, expected) in manifest() {
        let bytes = std::fs::read(folder().join(&name)).unwrap_or_else(|error| panic!("{name}: {error}"));
        let reading = file::read(&bytes);
        let codes: Vec<&str> = reading.problems.iter().map(|problem| problem.code).collect();
        let entries = reading.journal.map(|journal| journal.revision());
        let line = reading.problems.first().and_then(|problem| problem.line).map(|(line, _)| line);
        if codes != expected.codes || entries != expected.entries || (expected.line.is_some() && line != expected.line)
        {
            let problems: Vec<String> = reading.problems.iter().map(Problem::to_string).collect();
            wrong.push(format!("{name}: {entries:?} entries, {problems:#?}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_file_is_listed_and_every_code_is_known() {
    let manifest = manifest();
    let found = std::fs::read_dir(folder()).unwrap().map(|file| file.unwrap().file_name().into_string().unwrap());
    let unlisted: Vec<String> = found
        .filter(|name| !["manifest.json", "README.md"].contains(&name.as_str()) && !manifest.contains_key(name))
        .collect();
    assert_eq!(unlisted, [""; 0]);
    for (name, expected) in manifest {
        for code in expected.codes {
            assert!(Problem::CODES.contains(&code.as_str()), "{name}: {code}");
        }
    }
}
