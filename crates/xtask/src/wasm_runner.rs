//! Runs one compiled wasm test file; cargo calls this as its runner.

use crate::run::{Outcome, Trouble};
use std::ffi::OsString;

#[derive(clap::Args)]
pub struct Options {
    /// The file, and what else cargo passes on.
    #[arg(trailing_var_arg = true, allow_hyphen_values = true)]
    arguments: Vec<OsString>,
}

/// Hands everything to the test runner that belongs to the wasm-bindgen in use.
pub fn run(options: Options) -> Outcome {
    let arguments = std::iter::once(OsString::from("wasm-runner")).chain(options.arguments);
    wasm_bindgen_cli::wasm_bindgen_test_runner::run_cli_with_args(arguments).map_err(|why| Trouble(format!("{why:#}")))
}
