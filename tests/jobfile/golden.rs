//! Job files as really written by each released version: they must stay readable, with the same root and the same fold.

use jobfile::{Fold, Hash, file};
use serde::Deserialize;
use std::path::PathBuf;

/// One line of the manifest. Lines are only ever added.
#[derive(Deserialize)]
struct Golden {
    file: String,
    breaking: u32,
    additive: u32,
    sha256: String,
    root: String,
    fold: String,
    entries: usize,
}

/// Hash of the manifest's first lines, as many as were released. A new release adds its line and a row here.
const RELEASED: &[(usize, &str)] = &[(1, "526007c8f3253e83579d45e7bc683ecbdb6719606cdb295623756b046f81acd5")];

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("golden")
}

fn manifest() -> Vec<String> {
    let text = std::fs::read_to_string(folder().join("manifest.jsonl")).unwrap();
    text.lines().map(ToOwned::to_owned).collect()
}

fn lines() -> Vec<Golden> {
    manifest().iter().map(|line| serde_json::from_str(line).unwrap()).collect()
}

#[test]
fn the_manifest_is_append_only_and_complete() {
    let manifest = manifest();
    for (count, hash) in RELEASED {
        assert!(manifest.len() >= *count, "a released line was removed");
        let first = manifest[..*count].join("\n");
        assert_eq!(Hash::of_bytes(first.as_bytes()).to_string(), *hash, "the first {count} lines were edited");
    }
    assert_eq!(RELEASED.last().unwrap().0, manifest.len(), "a new line needs its row in RELEASED");
    let mut listed: Vec<String> = lines().into_iter().map(|golden| golden.file).collect();
    listed.extend(["manifest.jsonl".to_owned(), "README.md".to_owned()]);
    listed.sort();
    let mut found: Vec<String> =
        std::fs::read_dir(folder()).unwrap().map(|file| file.unwrap().file_name().into_string().unwrap()).collect();
    found.sort();
    assert_eq!(found, listed);
}

#[test]
fn every_released_file_opens_to_the_same_root_and_fold() {
    for golden in lines() {
        let bytes = std::fs::read(folder().join(&golden.file)).unwrap();
        assert_eq!(Hash::of_bytes(&bytes).to_string(), golden.sha256, "{} was edited", golden.file);
        let reading = file::read(&bytes);
        assert_eq!(reading.problems, [], "{}", golden.file);
        let journal = reading.journal.unwrap();
        assert_eq!(journal.root().to_string(), golden.root, "{}", golden.file);
        assert_eq!(journal.revision(), golden.entries, "{}", golden.file);
        let fold = Fold::of(&journal).to_text();
        assert_eq!(Hash::of_bytes(fold.as_bytes()).to_string(), golden.fold, "{}", golden.file);
        // The newest version also writes what it reads.
        if (golden.breaking, golden.additive) == (jobfile::version::BREAKING, jobfile::version::ADDITIVE) {
            assert_eq!(file::write(&journal, &reading.blobs).as_bytes(), bytes, "{}", golden.file);
        }
    }
}

/// A second implementation that shares no code with the first: `browser/verify-job.mjs`.
#[test]
fn another_reader_finds_the_same_hashes() {
    let script = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("browser/verify-job.mjs");
    for golden in lines() {
        let run = std::process::Command::new("node").arg(&script).arg(folder().join(&golden.file)).output();
        let run = run.unwrap_or_else(|error| panic!("node is needed for this test and did not start: {error}"));
        assert!(run.status.success(), "{}: {}{}", golden.file, text(&run.stdout), text(&run.stderr));
        let said: serde_json::Value = serde_json::from_slice(&run.stdout).unwrap();
        assert_eq!(said["root"], golden.root.as_str());
        assert_eq!(said["entries"], golden.entries);
        // And it is no yes-man: one letter of a note changed is found.
        let whole = std::fs::read_to_string(folder().join(&golden.file)).unwrap();
        let changed = std::env::temp_dir().join(format!("dotside-changed-{}-{}", std::process::id(), golden.file));
        std::fs::write(&changed, whole.replacen("Gate code", "Gate cord", 1)).unwrap();
        let run = std::process::Command::new("node").arg(&script).arg(&changed).output().unwrap();
        std::fs::remove_file(&changed).unwrap();
        assert_eq!(run.status.code(), Some(1), "{}", golden.file);
        let said: serde_json::Value = serde_json::from_slice(&run.stdout).unwrap();
        assert_ne!(said["root"], golden.root.as_str());
    }
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}
