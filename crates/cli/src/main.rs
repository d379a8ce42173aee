//! The command `dotside`: the same work as in the app, for the desk and for support.
//!
//! `open` prints a job, folded, as canonical JSON and a line end, and nothing else, on standard output; whatever is wrong
//! with the file goes to standard error, one sentence a line. Exit codes: 0 whole, 1 readable with problems, 2 not readable.

mod input;
mod open;
mod tell;
mod verify;
mod wiring;

use clap::{Parser, Subcommand};
use std::path::PathBuf;
use std::process::ExitCode;

/// Metering jobs on the desk: the same rules as in the app.
#[derive(Parser)]
#[command(name = "dotside", version, about, arg_required_else_help = true)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Prints a job file, folded, as canonical JSON.
    Open {
        /// The job file; `-` for standard input.
        file: PathBuf,
        /// Prints the root hash alone.
        #[arg(long)]
        root: bool,
    },
    /// Explains readings: one JSON line a case, causes ranked by their chance. Exit code 0: all understood; 1: some cases
    /// named no known service; 2: nothing could be read.
    Wiring {
        /// One set of readings, or a file of cases, as JSON; `-` for standard input.
        file: PathBuf,
        /// What is likely beforehand: routine, complaint, field_cases or field_slips.
        #[arg(long, value_name = "NAME", default_value = "routine")]
        priors: String,
    },
    /// Says whether a job file is whole: chains, hashes, photos.
    Verify {
        /// The job file; `-` for standard input.
        file: PathBuf,
        /// The root hash of a receipt: any change since then is found.
        #[arg(long, value_name = "HASH")]
        receipt: Option<jobfile::Hash>,
    },
}

/// How a run ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Outcome {
    /// Everything is there.
    Whole,
    /// It can be read, and something is to be said about it.
    Problems,
    /// Nothing can be taken from it.
    Unreadable,
}

impl From<Outcome> for ExitCode {
    fn from(outcome: Outcome) -> Self {
        Self::from(match outcome {
            Outcome::Whole => 0,
            Outcome::Problems => 1,
            Outcome::Unreadable => 2,
        })
    }
}

fn main() -> ExitCode {
    match Arguments::parse().command {
        Command::Open { file, root } => open::run(&file, root).into(),
        Command::Verify { file, receipt } => verify::run(&file, receipt).into(),
        Command::Wiring { file, priors } => wiring::run(&file, &priors).into(),
    }
}
