//! Writing the file: the envelope on the first line, then one entry a line, then one photo a line.

use super::{Blobs, base64};
use crate::canonical::canonical_text;
use crate::journal::Journal;
use crate::version::{ADDITIVE, BREAKING, FORMAT};
use serde_json::Value;

/// Fields of the envelope that stand in fixed places.
pub(super) const FIXED: &[&str] = &["format", "breaking", "additive", "job", "signatures", "entries", "blobs"];

/// The whole file as text. The same journal and photos always give the same bytes.
pub fn write(journal: &Journal, blobs: &Blobs) -> String {
    let mut text = String::new();
    write_to(journal, blobs, &mut |piece| text.push_str(piece));
    text
}

/// Hands the file over piece by piece.
pub(super) fn write_to(journal: &Journal, blobs: &Blobs, out: &mut dyn FnMut(&str)) {
    out(&format!(
        "{{\"format\":\"{FORMAT}\",\"breaking\":{BREAKING},\"additive\":{ADDITIVE},\"job\":\"{}\"",
        journal.job()
    ));
    // Until signatures exist the list is empty; one that was read is kept as it was.
    out(",\"signatures\":");
    out(&journal.kept.get("signatures").map_or_else(|| "[]".to_owned(), canonical_text));
    for (key, value) in journal.kept.iter().filter(|(key, _)| !FIXED.contains(&key.as_str())) {
        out(&format!(",{}:{}", canonical_text(&Value::from(key.as_str())), canonical_text(value)));
    }
    out(",\"entries\":[");
    let mut between = "\n";
    for entry in journal.entries() {
        out(between);
        out(&entry.to_text());
        between = ",\n";
    }
    out("\n],\"blobs\":[");
    between = "\n";
    for (hash, bytes) in blobs.iter() {
        out(between);
        out(&format!("{{\"hash\":\"{hash}\",\"base64\":\"{}\"}}", base64::encode(bytes)));
        between = ",\n";
    }
    out("\n]}\n");
}
