//! `cargo xtask test`: everything that is checked before a change is taken in.

use crate::bundle::{self, Build};
use crate::need::{self, Browser};
use crate::run::{Outcome, Trouble, cargo, fails_saying, finish, trouble};
use crate::tally::Tally;
use crate::{check, e2e, places, size, vectors};
use std::process::Command;

/// Runs every stage, also after one has failed, and closes with the count.
pub fn run() -> Outcome {
    need::rust()?;
    need::rust_tools()?;
    need::wasm_target()?;
    let browser = need::browser()?;
    let mut tally = Tally::default();
    tally.check("Format", check::format);
    tally.check("Lints of what runs on the desk", check::lints);
    tally.check("Lints of the app, for WebAssembly", check::app_lints);
    tally.check("Documentation", documentation);
    tally.tests("Tests of what runs on the desk", desk_tests());
    tally.compare("Check cases in WebAssembly and here, bit by bit", || vectors::compare(&browser));
    tally.tests("Tests in headless Chromium", wasm_tests(&browser));
    tally.check("A store that does not read back is caught", || without_read_back(&browser));
    let site = bundle::site(Build::Phone);
    match site {
        Ok(site) => {
            tally.check("Download budget", || size::within_budget(&site));
            let ready = need::npm_packages(&browser).and_then(|()| e2e::runner(&browser, &site, &[]));
            tally.tests("End-to-end runs in Chromium", ready);
        }
        Err(why) => tally.not_begun("Download budget and end-to-end runs", &why),
    }
    if tally.close() { Ok(()) } else { std::process::exit(1) }
}

fn documentation() -> Outcome {
    let mut command = cargo(["doc", "--quiet", "--workspace", "--no-deps"])?;
    finish(command.env("RUSTDOCFLAGS", "-D warnings"))
}

fn desk_tests() -> Outcome<Command> {
    cargo(["test", "--workspace", "--no-fail-fast"])
}

/// Tests marked for wasm-bindgen, by the runner that is this program itself.
fn wasm_tests(browser: &Browser) -> Outcome<Command> {
    let mut command = cargo(["test", "--package", "browser", "--target", need::WASM, "--no-fail-fast"])?;
    as_wasm_runner(&mut command, browser)?;
    Ok(command)
}

/// Builds a store that believes every write: the test of fault 13 must fail with it, and for that very reason. So it is the
/// read-back that the test holds on to.
fn without_read_back(browser: &Browser) -> Outcome {
    let mut command =
        cargo(["test", "--package", "browser", "--target", need::WASM, "--features", "without-read-back"])?;
    command.args(["--test", "faults", "--", "fault_13_a_write"]);
    as_wasm_runner(&mut command, browser)?;
    fails_saying(&mut command, "the screen would have gone by")
}

/// Tells cargo to run wasm tests by this program, in the Chromium found.
fn as_wasm_runner(command: &mut Command, browser: &Browser) -> Outcome {
    let this = std::env::current_exe().map_err(|why| trouble("Finding this program", why))?;
    let this = this.to_str().ok_or_else(|| Trouble("The target folder's name must be plain Unicode.".into()))?;
    command
        .env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUNNER", format!("{this} wasm-runner"))
        .env("CHROMEDRIVER", &browser.chromedriver)
        .env("WASM_BINDGEN_TEST_WEBDRIVER_JSON", places::browser_tests()?.join("webdriver.json"));
    Ok(())
}
