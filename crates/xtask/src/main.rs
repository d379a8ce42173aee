//! The project's own commands, run as `cargo xtask <command>`: one file per command, helpers beside them.

use clap::{Parser, Subcommand};
use std::process::ExitCode;

mod budget;
mod bundle;
mod check;
mod e2e;
mod http;
mod need;
mod places;
mod run;
mod serve;
mod shots;
mod site;
mod size;
mod tally;
mod test;
mod vectors;
mod wasm_runner;

/// Commands for building, trying and checking Dotside.
#[derive(Parser)]
#[command(name = "cargo xtask", version, about)]
struct Cli {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Build the app and serve it on this machine.
    Serve(serve::Options),
    /// The quick check for every commit: format, lints, tests of the pure crates.
    Check,
    /// Everything that is checked before a change is taken in. Installs what it needs.
    Test,
    /// End-to-end runs only, in Chromium, on the app as a phone gets it.
    E2e(e2e::Options),
    /// The check cases, computed here and in WebAssembly, compared bit by bit.
    Vectors,
    /// What a phone downloads, against the budget.
    Size,
    /// Pictures of every screen, phone and desk, light and dark, into target/shots.
    Shots(shots::Options),
    /// Runs one wasm test file; called by cargo.
    #[command(hide = true)]
    WasmRunner(wasm_runner::Options),
}

fn main() -> ExitCode {
    let outcome = match Cli::parse().command {
        Command::Serve(options) => serve::run(&options),
        Command::Check => check::run(),
        Command::Test => test::run(),
        Command::E2e(options) => e2e::run(&options),
        Command::Vectors => vectors::run(),
        Command::Size => size::run(),
        Command::Shots(options) => shots::run(&options),
        Command::WasmRunner(options) => wasm_runner::run(options),
    };
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        Err(trouble) => {
            eprintln!("\n{trouble}");
            ExitCode::FAILURE
        }
    }
}
