//! The check cases, computed natively and in WebAssembly as shipped, compared bit by bit.

use crate::need::{self, Browser};
use crate::places;
use crate::run::{Outcome, Trouble, cargo, finish, output_of, program, step, trouble};
use std::fs::File;
use std::path::{Path, PathBuf};

/// What the comparison came to.
pub struct Compared {
    pub equal: usize,
    pub different: usize,
}

/// Compares, and fails where a value differs.
pub fn run() -> Outcome {
    need::rust()?;
    need::wasm_target()?;
    match compare(&need::browser()?)? {
        Compared { different: 0, .. } => Ok(()),
        Compared { different, .. } => Err(Trouble(format!("{different} values differ; the first of them are above."))),
    }
}

/// Builds both programs, runs both on every file of the folder, and compares line by line.
pub fn compare(browser: &Browser) -> Outcome<Compared> {
    let (native, wasm) = step("Building the check cases for this machine and for WebAssembly", build)?;
    let mut sum = Compared { equal: 0, different: 0 };
    for file in files()? {
        let name = file.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        let here = printed(&native, &[name.as_ref()], &file)?;
        let there = printed(&browser.node, &[wasm.as_ref(), name.as_ref()], &file)?;
        let (equal, different) = told(&here, &there);
        // A file of later work has one line that says so, and no value to compare.
        if here.lines().all(|line| line.split(' ').nth(1) == Some("later:")) && different == 0 {
            println!("   {}", here.trim_end());
            continue;
        }
        println!("   {name}: {equal} values have the same bits, {different} differ");
        sum.equal += equal;
        sum.different += different;
    }
    if sum.equal + sum.different == 0 {
        return Err(Trouble("No value was compared: are there check cases in tests/vectors?".into()));
    }
    Ok(sum)
}

/// Both programs: one to run here, one module for Node.
fn build() -> Outcome<(PathBuf, PathBuf)> {
    finish(&mut cargo(["build", "--quiet", "--package", "tests", "--example", "bits"])?)?;
    let arguments = ["build", "--quiet", "--package", "tests", "--example", "bits_wasm"];
    finish(cargo(arguments)?.args(["--target", need::WASM, "--profile", "phone"]))?;
    let target = places::target()?;
    let mut bindgen = wasm_bindgen_cli_support::Bindgen::new();
    bindgen.input_path(target.join(need::WASM).join("phone/examples/bits_wasm.wasm"));
    bindgen.nodejs(true).map_err(|why| trouble("Writing the check cases' JavaScript", why))?;
    let folder = target.join("bits");
    bindgen.typescript(false).generate(&folder).map_err(|why| trouble("Writing the check cases' JavaScript", why))?;
    let script = folder.join("run.cjs");
    let text = "process.stdout.write(require('./bits_wasm.js').bits(process.argv[2], require('fs').readFileSync(0, 'utf8')));\n";
    std::fs::write(&script, text).map_err(|why| trouble("Writing the check cases' JavaScript", why))?;
    Ok((target.join("debug/examples/bits"), script))
}

/// Every file of cases: those under `DOTSIDE_VECTORS`, by default `tests/vectors`.
fn files() -> Outcome<Vec<PathBuf>> {
    let folder = std::env::var_os("DOTSIDE_VECTORS").map_or_else(|| PathBuf::from("tests/vectors"), PathBuf::from);
    let folder = places::root()?.join(folder);
    let doing = || format!("Reading {}", folder.display());
    let mut files = Vec::new();
    for entry in std::fs::read_dir(&folder).map_err(|why| trouble(doing(), why))? {
        let path = entry.map_err(|why| trouble(doing(), why))?.path();
        if path.extension().is_some_and(|ending| ending == "json") {
            files.push(path);
        }
    }
    files.sort();
    Ok(files)
}

fn printed(name: &Path, arguments: &[&Path], file: &Path) -> Outcome<String> {
    let input = File::open(file).map_err(|why| trouble(format!("Opening {}", file.display()), why))?;
    output_of(program(&places::root()?, name, arguments).stdin(input))
}

/// Counts lines that are the same and lines that are not, and shows the first few that are not.
fn told(here: &str, there: &str) -> (usize, usize) {
    let (mut equal, mut different) = (0, 0);
    let (mut left, mut right) = (here.lines(), there.lines());
    loop {
        match (left.next(), right.next()) {
            (None, None) => return (equal, different),
            (a, b) if a == b => equal += 1,
            (a, b) => {
                different += 1;
                if different <= 5 {
                    println!("   here {}\n   wasm {}", a.unwrap_or("nothing"), b.unwrap_or("nothing"));
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::told;

    #[test]
    fn one_bit_of_difference_is_seen_and_so_is_a_missing_line() {
        assert_eq!(told("a 1\nb 2\n", "a 1\nb 2\n"), (2, 0));
        assert_eq!(told("a 1\nb 2\n", "a 1\nb 3\n"), (1, 1));
        assert_eq!(told("a 1\nb 2\n", "a 1\n"), (1, 1));
        assert_eq!(told("", "a 1\n"), (0, 1));
    }
}
