//! `dotside open`: a job as it stands, for people and for programs.

use crate::{Outcome, input, tell};
use jobfile::Fold;
use std::path::Path;

/// Prints the fold, or its root hash alone, and says what is wrong with the file.
pub fn run(path: &Path, root_only: bool) -> Outcome {
    let reading = match input::read(path) {
        Ok(reading) => reading,
        Err(trouble) => return tell::trouble(path, &trouble),
    };
    tell::problems(&reading.problems);
    let Some(journal) = reading.journal else { return Outcome::Unreadable };
    let text = if root_only {
        journal.root().to_string()
    } else {
        reading.fold.unwrap_or_else(|| Fold::of(&journal)).to_text()
    };
    tell::data(&text, if reading.problems.is_empty() { Outcome::Whole } else { Outcome::Problems })
}
