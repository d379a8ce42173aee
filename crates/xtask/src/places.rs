//! Where things are: the workspace's root, the target folder, the folder of the end-to-end runs.

use crate::run::{Outcome, Trouble};
use std::path::{Path, PathBuf};

/// The workspace's root: the nearest folder above that holds `crates/xtask`.
pub fn root() -> Outcome<PathBuf> {
    let start = std::env::var_os("CARGO_MANIFEST_DIR").map_or_else(|| env!("CARGO_MANIFEST_DIR").into(), PathBuf::from);
    let found = start.ancestors().find(|folder| folder.join("crates/xtask/Cargo.toml").is_file());
    let missing = || Trouble(format!("No workspace was found above {}: run it as `cargo xtask`.", start.display()));
    found.map(Path::to_path_buf).ok_or_else(missing)
}

/// Cargo's target folder.
pub fn target() -> Outcome<PathBuf> {
    let root = root()?;
    Ok(std::env::var_os("CARGO_TARGET_DIR").map_or_else(|| root.join("target"), |folder| root.join(folder)))
}

/// The bundled app.
pub fn site() -> Outcome<PathBuf> {
    Ok(target()?.join("site"))
}

/// The end-to-end runs and their npm packages.
pub fn browser_tests() -> Outcome<PathBuf> {
    Ok(root()?.join("tests/browser"))
}
