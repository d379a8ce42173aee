//! Runs every file of check cases: those under `DOTSIDE_VECTORS`, by default `tests/vectors`, and prints what became of each.

use std::path::{Path, PathBuf};
use std::process::ExitCode;
use tests::cases::case::{CaseResult, Judged};
use tests::cases::{Outcome, run};

fn main() -> ExitCode {
    match files(&folder()) {
        Err(why) => {
            println!("vectors: {why}");
            ExitCode::FAILURE
        }
        Ok(files) => report(&files),
    }
}

/// The folder of cases; a relative path counts from the workspace, not from wherever the command was given.
fn folder() -> PathBuf {
    let workspace = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    workspace.join(std::env::var_os("DOTSIDE_VECTORS").map_or_else(|| PathBuf::from("tests/vectors"), PathBuf::from))
}

/// Name and text of every JSON file, in the order of their names.
fn files(folder: &Path) -> Result<Vec<(String, String)>, String> {
    let told = |why: std::io::Error| format!("{}: {why}", folder.display());
    let mut files = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(told)? {
        let path = entry.map_err(told)?.path();
        if path.extension().is_some_and(|extension| extension == "json") {
            let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
            files.push((name, std::fs::read_to_string(&path).map_err(told)?));
        }
    }
    files.sort();
    Ok(files)
}

fn report(files: &[(String, String)]) -> ExitCode {
    let (mut passed, mut failed) = (0, 0);
    println!("{:<28} {:>6} {:>6}  what became of it", "file", "cases", "right");
    for (name, text) in files {
        match run(name, text) {
            Outcome::Later(work) => println!("{name:<28} {:>6} {:>6}  later: {work}", "", ""),
            Outcome::Trouble(why) => {
                failed += 1;
                println!("{name:<28} {:>6} {:>6}  FAILED: {why}", "", "");
            }
            Outcome::Ran(cases) => {
                let right = cases.iter().filter(|case| case.passed()).count();
                let verdict = if right == cases.len() { "right" } else { "FAILED" };
                println!("{name:<28} {:>6} {right:>6}  {verdict}", cases.len());
                cases.iter().filter(|case| !case.passed()).for_each(tell);
                passed += right;
                failed += cases.len() - right;
            }
        }
    }
    if passed + failed == 0 {
        println!("vectors: no case was run");
        failed = 1;
    }
    println!("\ntest result: {}. {passed} passed; {failed} failed", if failed == 0 { "ok" } else { "FAILED" });
    if failed == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

fn tell(case: &CaseResult) {
    match &case.values {
        Err(why) => println!("    {} {}: {why}", case.id, case.title),
        Ok(values) => {
            for Judged { name, wanted, computed, .. } in values.iter().filter(|value| !value.agrees) {
                println!("    {} {}: {name} wanted {wanted}, computed {computed:?}", case.id, case.title);
            }
        }
    }
}
