//! `cargo xtask e2e`: the runs of tests/browser in Chromium, on the app as a phone gets it.

use crate::bundle::{self, Build};
use crate::need::{self, Browser};
use crate::places;
use crate::run::{Outcome, Trouble, cargo, finish, program, trouble};
use crate::tally::Tally;
use std::path::Path;
use std::process::Command;

#[derive(clap::Args)]
pub struct Options {
    /// Run only the files whose name holds one of these.
    names: Vec<String>,
    /// Take target/site as it is, without building.
    #[arg(long)]
    as_built: bool,
}

/// Builds, then runs all or some of the files.
pub fn run(options: &Options) -> Outcome {
    need::rust()?;
    let browser = need::browser()?;
    need::npm_packages(&browser)?;
    let site = if options.as_built { places::site()? } else { bundle::site(Build::Phone)? };
    let mut tally = Tally::default();
    tally.tests("End-to-end runs in Chromium", runner(&browser, &site, &options.names));
    if tally.close() { Ok(()) } else { Err(Trouble("Some end-to-end runs failed; their reasons are above.".into())) }
}

/// The runner, told where everything is. Makes the bundle that stands for the next version, which the update runs need.
pub fn runner(browser: &Browser, site: &Path, names: &[String]) -> Outcome<Command> {
    let next = places::target()?.join("site-next");
    bundle::next_version_of(site, &next, "the next version")?;
    let mut command = script(browser, site, "run.mjs")?;
    command.env("DOTSIDE_CLI", desk_command()?);
    command.env("DOTSIDE_SITE_NEXT", next).args(names);
    Ok(command)
}

/// The command `dotside`, built: what a file of the phone must open with on the desk.
fn desk_command() -> Outcome<std::path::PathBuf> {
    finish(&mut cargo(["build", "--quiet", "--package", "cli"])?)?;
    Ok(places::target()?.join("debug").join(format!("dotside{}", std::env::consts::EXE_SUFFIX)))
}

/// A script of tests/browser, told where Chromium, the bundle and this program are.
pub fn script(browser: &Browser, site: &Path, name: &str) -> Outcome<Command> {
    let folder = places::browser_tests()?;
    let this = std::env::current_exe().map_err(|why| trouble("Finding this program", why))?;
    let mut command = program(&folder, &browser.node, [name]);
    command.env("DOTSIDE_XTASK", this).env("DOTSIDE_SITE", site).env("DOTSIDE_CHROMIUM", &browser.chromium);
    Ok(command)
}
