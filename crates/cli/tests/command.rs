//! The command itself: what it prints where, how it ends, and that no file brings it down.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "helpers of tests fail the test")]

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

fn dotside(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_dotside")).args(arguments).output().unwrap()
}

fn tests_folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests")
}

fn golden() -> String {
    tests_folder().join("golden/1.0-meter-change.json").to_str().unwrap().to_owned()
}

fn text(bytes: &[u8]) -> &str {
    std::str::from_utf8(bytes).unwrap()
}

#[test]
fn open_prints_the_fold_as_canonical_bytes_and_nothing_else() {
    let run = dotside(&["open", &golden()]);
    assert_eq!((run.status.code(), text(&run.stderr)), (Some(0), ""));
    let reading = jobfile::file::read(&std::fs::read(golden()).unwrap());
    let fold = reading.fold.unwrap();
    assert_eq!(text(&run.stdout), format!("{}\n", fold.to_text()));
    let root = dotside(&["open", "--root", &golden()]);
    assert_eq!(text(&root.stdout), format!("{}\n", fold.root()));
}

#[test]
fn verify_holds_a_file_to_its_receipt() {
    let root = text(&dotside(&["open", "--root", &golden()]).stdout).trim().to_owned();
    let run = dotside(&["verify", &golden(), "--receipt", &root]);
    assert_eq!(run.status.code(), Some(0));
    let said: serde_json::Value = serde_json::from_slice(&run.stdout).unwrap();
    assert_eq!((&said["whole"], &said["receipt_agrees"], &said["root"]), (&true.into(), &true.into(), &root.into()));
    let other = "0".repeat(64);
    let run = dotside(&["verify", &golden(), "--receipt", &other]);
    assert_eq!(run.status.code(), Some(1));
    let said: serde_json::Value = serde_json::from_slice(&run.stdout).unwrap();
    assert_eq!(said["receipt_agrees"], false);
    assert_eq!(dotside(&["verify", &golden(), "--receipt", "nonsense"]).status.code(), Some(2));
}

#[test]
fn every_hostile_file_ends_with_1_or_2_and_its_codes() {
    let folder = tests_folder().join("crashers");
    let manifest: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(folder.join("manifest.json")).unwrap()).unwrap();
    let mut tried = 0;
    for (name, expected) in manifest.as_object().unwrap() {
        for command in ["open", "verify"] {
            let run = dotside(&[command, folder.join(name).to_str().unwrap()]);
            let readable = expected.get("entries").is_some();
            assert_eq!(
                run.status.code(),
                Some(if readable { 1 } else { 2 }),
                "{command} {name}: {}",
                text(&run.stderr)
            );
            assert_eq!(run.stdout.is_empty(), !readable, "{command} {name}");
            for code in expected["codes"].as_array().unwrap() {
                assert!(
                    text(&run.stderr).contains(&format!("[{}]", code.as_str().unwrap())),
                    "{command} {name}: {}",
                    text(&run.stderr)
                );
            }
            let hidden = |letter: char| letter != '\n' && jobfile::problem::is_hidden(letter);
            assert!(!text(&run.stderr).contains(hidden), "{command} {name}");
            tried += 1;
        }
    }
    assert!(tried > 100, "{tried}");
}

#[test]
fn what_is_no_file_is_said_so() {
    for path in ["no such file", ".", "/"] {
        let run = dotside(&["open", path]);
        assert_eq!(run.status.code(), Some(2), "{path}");
        assert!(text(&run.stderr).starts_with("[system.input] "), "{path}: {}", text(&run.stderr));
    }
    assert_eq!(dotside(&[]).status.code(), Some(2));
    assert_eq!(dotside(&["open"]).status.code(), Some(2));
}

/// A sparse file costs no disk: it is refused by its size, before a byte is read.
#[test]
fn a_file_over_the_limit_is_refused_unread() {
    let path = std::env::temp_dir().join(format!("dotside-large-{}", std::process::id()));
    std::fs::File::create(&path).unwrap().set_len(1 << 40).unwrap();
    let run = dotside(&["open", path.to_str().unwrap()]);
    std::fs::remove_file(&path).unwrap();
    assert_eq!(run.status.code(), Some(2));
    assert!(text(&run.stderr).contains("[file.too_large]") && text(&run.stderr).contains(&(1u64 << 40).to_string()));
}

#[test]
#[cfg(unix)]
fn a_device_without_end_is_refused_too() {
    let run = dotside(&["open", "/dev/zero"]);
    assert_eq!(run.status.code(), Some(2));
    assert!(text(&run.stderr).contains("[file.too_large]"));
}

#[test]
fn standard_input_is_read_and_a_closed_pipe_is_no_panic() {
    let mut run = Command::new(env!("CARGO_BIN_EXE_dotside"))
        .args(["open", "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let bytes = std::fs::read(golden()).unwrap();
    drop(run.stdout.take());
    run.stdin.take().unwrap().write_all(&bytes).unwrap();
    let end = run.wait_with_output().unwrap();
    assert!(!text(&end.stderr).contains("panicked"), "{}", text(&end.stderr));
    assert_eq!(end.status.code(), Some(0));
}
