//! What the commands need on this machine: looked for, its version said, and installed where that is possible.

use crate::run::{Outcome, Trouble, finish, output_of, program, step, trouble};
use crate::{places, run};
use std::path::{Path, PathBuf};

/// The target the app is built for.
pub const WASM: &str = "wasm32-unknown-unknown";

/// Oldest Chromium the end-to-end runs were written for; Debian serves the newest, so only the lower end is fixed.
const CHROMIUM_AT_LEAST: u32 = 140;
/// Oldest Node that the pinned npm packages accept.
const NODE_AT_LEAST: u32 = 20;

/// The programs of the browser tests, found on this machine.
pub struct Browser {
    pub chromium: PathBuf,
    pub chromedriver: PathBuf,
    pub node: PathBuf,
    pub npm: PathBuf,
}

/// Refuses a compiler older than the workspace is written for, and says which one is in use.
pub fn rust() -> Outcome {
    let said = output_of(&mut program(&places::root()?, rustc(), ["--version"]))?;
    let wanted = env!("CARGO_PKG_RUST_VERSION");
    match (minor(&said), minor(wanted)) {
        (Some(found), Some(least)) if found >= least => {
            println!("── Rust: {} (at least {wanted})", said.trim());
            Ok(())
        }
        _ => Err(Trouble(format!(
            "Rust {wanted} or newer is needed, found {}: run `rustup update stable`.",
            said.trim()
        ))),
    }
}

/// Makes sure that the app can be compiled: the wasm target is added by rustup where it is missing.
pub fn wasm_target() -> Outcome {
    let root = places::root()?;
    let sysroot = output_of(&mut program(&root, rustc(), ["--print", "sysroot"]))?;
    if Path::new(sysroot.trim()).join("lib/rustlib").join(WASM).is_dir() {
        return Ok(());
    }
    step(&format!("Adding the Rust target {WASM}"), || {
        finish(&mut program(&root, "rustup", ["target", "add", WASM])).map_err(|why| {
            Trouble(format!(
                "The Rust target {WASM} could not be added ({why}): run `rustup target add {WASM}` while online."
            ))
        })
    })
}

/// Makes sure of rustfmt and clippy, which a minimal Rust leaves out.
pub fn rust_tools() -> Outcome {
    for (tool, component) in [("fmt", "rustfmt"), ("clippy", "clippy")] {
        if output_of(&mut run::cargo([tool, "--version"])?).is_ok() {
            continue;
        }
        step(&format!("Adding {component}"), || {
            finish(&mut program(&places::root()?, "rustup", ["component", "add", component])).map_err(|why| {
                Trouble(format!(
                    "{component} could not be added ({why}): run `rustup component add {component}` while online."
                ))
            })
        })?;
    }
    Ok(())
}

/// Finds Chromium, ChromeDriver, Node and npm; installs the missing ones from the system's packages.
pub fn browser() -> Outcome<Browser> {
    // npm by itself and last: some sources of nodejs bring their own npm and refuse the other.
    for programs in
        [&[("chromium", "chromium"), ("chromedriver", "chromium-driver"), ("node", "nodejs")][..], &[("npm", "npm")]]
    {
        let missing: Vec<&str> =
            programs.iter().filter(|(name, _)| find(name).is_none()).map(|(_, package)| *package).collect();
        if !missing.is_empty() {
            install(&missing)?;
        }
    }
    let found = |name: &str| {
        find(name)
            .ok_or_else(|| Trouble(format!("The program `{name}` is not on the PATH: install it and run this again.")))
    };
    let browser = Browser {
        chromium: found("chromium")?,
        chromedriver: found("chromedriver")?,
        node: found("node")?,
        npm: found("npm")?,
    };
    let chromium = at_least("Chromium", &browser.chromium, CHROMIUM_AT_LEAST)?;
    let driver = at_least("ChromeDriver", &browser.chromedriver, CHROMIUM_AT_LEAST)?;
    if chromium != driver {
        return Err(Trouble(format!(
            "Chromium {chromium} and ChromeDriver {driver} do not belong together: install both from the same source."
        )));
    }
    at_least("Node", &browser.node, NODE_AT_LEAST)?;
    Ok(browser)
}

/// Installs the npm packages of the end-to-end runs exactly as the lock file names them.
pub fn npm_packages(browser: &Browser) -> Outcome {
    step("Installing the npm packages of tests/browser by their lock file", || {
        let folder = places::browser_tests()?;
        let arguments = ["ci", "--no-audit", "--no-fund", "--ignore-scripts", "--loglevel=error"];
        finish(&mut program(&folder, &browser.npm, arguments)).map_err(|why| {
            Trouble(format!("The npm packages could not be had ({why}): check the network and npm's `registry` setting, then run this again."))
        })
    })
}

fn install(packages: &[&str]) -> Outcome {
    let names = packages.join(" ");
    let by_hand = |why: &dyn std::fmt::Display| {
        Trouble(format!(
            "The system packages {names} are missing and could not be installed ({why}): install them and run this again."
        ))
    };
    let Some(apt) = find("apt-get") else {
        return Err(by_hand(&"there is no apt-get here"));
    };
    let root = places::root()?;
    let as_root = output_of(&mut program(&root, "id", ["-u"])).is_ok_and(|id| id.trim() == "0");
    let apt_get = |arguments: &[&str]| {
        let mut command = if as_root {
            program(&root, &apt, arguments)
        } else {
            // `-n`: ask for no password, for nobody may be there to type it.
            let mut command = program(&root, "sudo", ["-n", "DEBIAN_FRONTEND=noninteractive"]);
            command.arg(&apt).args(arguments);
            command
        };
        command.env("DEBIAN_FRONTEND", "noninteractive");
        finish(&mut command).map_err(|why| by_hand(&why))
    };
    step("Reading the system's package lists", || apt_get(&["update", "-qq"]))?;
    step(&format!("Installing {names}"), || {
        let mut arguments = vec!["install", "-y", "-qq", "--no-install-recommends"];
        arguments.extend(packages);
        apt_get(&arguments)
    })
}

/// Says which version is in use and refuses one older than `least`; answers the major number.
fn at_least(name: &str, path: &Path, least: u32) -> Outcome<u32> {
    let said = output_of(&mut program(&places::root()?, path, ["--version"])).map_err(|why| trouble(name, why))?;
    let major = major(&said).ok_or_else(|| Trouble(format!("{name} gave no version, but “{}”.", said.trim())))?;
    if major < least {
        return Err(Trouble(format!(
            "{name} {least} or newer is needed, found {major}: update the system's packages."
        )));
    }
    println!("── {name} {major} (at least {least}): {}", path.display());
    Ok(major)
}

fn rustc() -> std::ffi::OsString {
    std::env::var_os("RUSTC").unwrap_or_else(|| "rustc".into())
}

fn find(name: &str) -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    std::env::split_paths(&path).map(|folder| folder.join(name)).find(|candidate| candidate.is_file())
}

/// First whole number of a text such as `v20.20.2` or `Chromium 156.0.8078.79 built on …`.
fn major(said: &str) -> Option<u32> {
    let digits = said.trim_start_matches(|c: char| !c.is_ascii_digit());
    digits.split(|c: char| !c.is_ascii_digit()).next()?.parse().ok()
}

/// Major and minor number of a text such as `rustc 1.95.0 (…)`.
fn minor(said: &str) -> Option<(u32, u32)> {
    let digits = said.trim_start_matches(|c: char| !c.is_ascii_digit());
    let mut numbers = digits.split(|c: char| !c.is_ascii_digit());
    Some((numbers.next()?.parse().ok()?, numbers.next()?.parse().ok()?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn versions_are_read_from_what_programs_print() {
        assert_eq!(major("Chromium 156.0.8078.79 built on Debian GNU/Linux 12 (bookworm)"), Some(156));
        assert_eq!(major("v20.20.2\n"), Some(20));
        assert_eq!(major("no number"), None);
        assert_eq!(minor("rustc 1.95.0 (59807616e 2026-04-14)"), Some((1, 95)));
        assert_eq!(minor("1.95"), Some((1, 95)));
        assert_eq!(minor("1"), None);
    }
}
