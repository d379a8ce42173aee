//! `cargo xtask check`: the quick look before every commit.

use crate::need;
use crate::run::{Outcome, cargo, finish, step};

/// Crates that need no browser and compile quickly; their tests run here.
pub const PURE: [&str; 6] = ["metering", "jobfile", "interchange", "procedure", "words", "pictures"];

/// Format, lints, tests of the pure crates; stops at the first trouble.
pub fn run() -> Outcome {
    need::rust()?;
    need::rust_tools()?;
    need::wasm_target()?;
    step("Format", format)?;
    step("Lints of what runs on the desk", lints)?;
    step("Lints of the app, for WebAssembly", app_lints)?;
    step("Tests of the pure crates", || {
        let mut command = cargo(["test", "--quiet"])?;
        command.args(PURE.iter().flat_map(|name| ["--package", name]));
        finish(&mut command)
    })
}

/// rustfmt has nothing to change.
pub fn format() -> Outcome {
    finish(&mut cargo(["fmt", "--all", "--check"])?)
}

/// clippy has nothing to say about the crates that run on the desk.
pub fn lints() -> Outcome {
    finish(&mut cargo([
        "clippy",
        "--quiet",
        "--workspace",
        "--exclude",
        "app",
        "--exclude",
        "browser",
        "--all-targets",
        "--",
        "-D",
        "warnings",
    ])?)
}

/// clippy has nothing to say about the crates that run in a browser.
pub fn app_lints() -> Outcome {
    let target = need::WASM;
    finish(&mut cargo([
        "clippy",
        "--quiet",
        "--package",
        "app",
        "--package",
        "browser",
        "--all-targets",
        "--target",
        target,
        "--",
        "-D",
        "warnings",
    ])?)
}
