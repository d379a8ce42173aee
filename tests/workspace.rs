//! The workspace as the checks see it: its root, and what cargo knows of its crates.
#![expect(clippy::expect_used, reason = "a check that cannot read the workspace fails, and says why")]

use serde_json::Value;
use std::path::PathBuf;
use std::process::Command;

/// The workspace's root.
pub fn root() -> PathBuf {
    let here = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    here.parent().map(PathBuf::from).expect("the tests' crate lies in the workspace")
}

/// The packages of the workspace, as `cargo metadata` tells them. Needs no network.
pub fn packages() -> Vec<Value> {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let output = Command::new(cargo)
        .args(["metadata", "--format-version", "1", "--no-deps", "--offline"])
        .current_dir(root())
        .output()
        .expect("cargo runs");
    assert!(output.status.success(), "cargo metadata: {}", String::from_utf8_lossy(&output.stderr));
    let told: Value = serde_json::from_slice(&output.stdout).expect("cargo tells JSON");
    let packages = told["packages"].as_array().expect("a list of packages").clone();
    assert!(!packages.is_empty(), "a workspace without a crate");
    packages
}
