//! `dotside verify`: whether a file is whole, and whether it is still what a receipt was given for.

use crate::{Outcome, input, tell};
use jobfile::Hash;
use serde_json::json;
use std::path::Path;

/// Prints what the file holds as one JSON object, and says what is wrong with it.
pub fn run(path: &Path, receipt: Option<Hash>) -> Outcome {
    let reading = match input::read(path) {
        Ok(reading) => reading,
        Err(trouble) => return tell::trouble(path, &trouble),
    };
    tell::problems(&reading.problems);
    let Some(journal) = &reading.journal else { return Outcome::Unreadable };
    let root = journal.root();
    let agrees = receipt.map(|receipt| receipt == root);
    let report = json!({
        "job": journal.job(),
        "root": root,
        "heads": journal.heads().into_iter().map(|(device, heads)| (device.to_string(), json!(heads))).collect::<serde_json::Map<_, _>>(),
        "entries": journal.revision(),
        "photos": reading.blobs.len(),
        "forks": journal.forks().len(),
        "problems": reading.problems.len(),
        "whole": reading.is_whole(),
        "receipt_agrees": agrees,
    });
    let fine = reading.problems.is_empty() && agrees != Some(false);
    tell::data(&jobfile::canonical_text(&report), if fine { Outcome::Whole } else { Outcome::Problems })
}
