//! Every sentence a person reads. Messages live in `en/*.ftl`; the build turns each into a function, or into a row that is
//! looked up by a stable code, and stops when a code has no sentence or a sentence has no code.

mod render;

use render::{Piece, render};

include!(concat!(env!("OUT_DIR"), "/messages.rs"));

/// The sentence of a code, e.g. `field-ct_plate-ratio` or `step-arrive.why`; `None` where there is none.
///
/// `values` fill the message's variables by name.
pub fn by_code(id: &str, values: &[(&str, &str)]) -> Option<String> {
    let at = BY_CODE.binary_search_by(|(known, _)| (*known).cmp(id)).ok()?;
    BY_CODE.get(at).map(|(_, pieces)| render(pieces, values))
}

/// The sentence of a code, or the code itself: the build proves that listed codes have one, so this shows no bare code
/// unless a file brought one from a newer version.
pub fn of_code(id: &str, values: &[(&str, &str)]) -> String {
    by_code(id, values).unwrap_or_else(|| id.to_string())
}

/// What a kind of entry is called.
pub fn kind(id: &str) -> String {
    of_code(&format!("kind-{id}"), &[])
}

/// What a field is called.
pub fn field(kind: &str, field: &str) -> String {
    of_code(&format!("field-{kind}-{field}"), &[])
}

/// The one line that helps to fill in a field, where there is one.
pub fn field_hint(kind: &str, field: &str) -> Option<String> {
    by_code(&format!("field-{kind}-{field}.hint"), &[])
}

/// What a choice of a field is called. What is stamped on a plate (`9S`, `0.3`) is its own name.
pub fn choice(kind: &str, field: &str, code: &str) -> String {
    by_code(&format!("choice-{kind}-{field}-{code}"), &[]).unwrap_or_else(|| code.to_string())
}

/// What a place is called, segment by segment: `incoming/start` reads “incoming meter, start”.
pub fn place(place: &str) -> String {
    let words: Vec<String> = place
        .split('/')
        .filter(|word| !word.is_empty())
        .map(|word| by_code(&format!("place-{word}"), &[]).unwrap_or_else(|| word.to_string()))
        .collect();
    words.join(", ")
}

/// A message id for a code: codes may hold points and hyphens, ids hold neither.
fn id(family: &str, code: &str) -> String {
    format!("{family}-{}", code.replace(['.', '-'], "_"))
}

/// The formula of a rule, in words and letters.
pub fn rule(code: &str) -> String {
    of_code(&id("rule", code), &[])
}

/// Where a rule comes from.
pub fn rule_source(code: &str) -> Option<String> {
    by_code(&format!("{}.source", id("rule", code)), &[])
}

/// What is wrong with a typed text, and what is wanted.
pub fn complaint(code: &str, facts: &[(&str, &str)]) -> String {
    of_code(&id("complaint", code), facts)
}

/// What is wrong with a file or an entry.
pub fn problem(code: &str, facts: &[(&str, &str)]) -> String {
    of_code(&id("problem", code), facts)
}

/// What the browser refused, lost or did not have, and the mend.
pub fn trouble(code: &str, facts: &[(&str, &str)]) -> String {
    of_code(&id("trouble", code), facts)
}
