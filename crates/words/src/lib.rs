//! Every sentence a person reads. Messages live in `en/*.ftl`; the build turns each into a function, or into a row that is
//! looked up by a stable code, and stops when a code has no sentence or a sentence has no code.

mod render;

use render::{render, render_whole};

include!(concat!(env!("OUT_DIR"), "/messages.rs"));

/// The sentence of a code, e.g. `field-ct_plate-ratio` or `step-arrive.why`; `None` where there is none.
///
/// `values` fill the message's variables by name. What a sentence has under `.facts` follows it where `values` hold all of them.
pub fn by_code(id: &str, values: &[(&str, &str)]) -> Option<String> {
    let sentence = render(render::find(BOOK, id)?, values);
    Some(match render::find(BOOK, &format!("{id}.facts")).and_then(|facts| render_whole(facts, values)) {
        Some(facts) => format!("{sentence} {facts}"),
        None => sentence,
    })
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

/// What is wrong with a typed text, what is wanted, and the mend.
pub fn complaint(code: &str, facts: &[(&str, &str)]) -> String {
    of_code(&id("complaint", code), facts)
}

/// What is wrong with a file or an entry and what becomes of it; then what was found and wanted, where `facts` tell it.
pub fn problem(code: &str, facts: &[(&str, &str)]) -> String {
    of_code(&id("problem", code), facts)
}

/// What the browser refused, lost or did not have, and the mend.
pub fn trouble(code: &str, facts: &[(&str, &str)]) -> String {
    of_code(&id("trouble", code), facts)
}

/// What to do at the switch: a heading. `pole` is a letter, or the letters of a row of acts; `kind` the kind of switch.
pub fn press(act: &str, kind: &str, pole: &str) -> String {
    of_code(&id("press", act), &[("kind", kind), ("pole", pole)])
}

/// More about an act at the switch.
pub fn press_say(act: &str, kind: &str, pole: &str) -> Option<String> {
    press_part(act, "say", kind, pole)
}

/// What the large button says once an act is done: “Blade 1 of C is down”.
pub fn press_done(act: &str, kind: &str, pole: &str) -> String {
    press_part(act, "done", kind, pole).unwrap_or_else(|| press(act, kind, pole))
}

/// The caution that stands before an act, where it has one of its own.
pub fn press_caution(act: &str, kind: &str, pole: &str) -> Option<String> {
    press_part(act, "caution", kind, pole)
}

fn press_part(act: &str, part: &str, kind: &str, pole: &str) -> Option<String> {
    by_code(&format!("{}.{part}", id("press", act)), &[("kind", kind), ("pole", pole)])
}

/// A pole by its full name (`current.A`, `potential.N`, `meter`), as it is called inside a sentence: “A amps”.
pub fn pole(name: &str) -> String {
    of_code(&id("call", &format!("pole_{name}")), &[])
}

/// Why an act or a reading at the switch is not taken, and what to do; `pole` by its full name, where there is one.
pub fn refusal(code: &str, at: &str) -> String {
    of_code(&id("refusal", code), &[("pole", &pole(at))])
}

/// A danger that stands; `at` is the full name of its pole.
pub fn danger(code: &str, at: &str) -> String {
    of_code(&id("danger", code), &[("pole", &pole(at))])
}

/// A safe thing to do instead of what was refused.
pub fn safe_way(code: &str) -> String {
    of_code(&id("safe", code), &[])
}

/// A line of the comparison of two meters (`fit.item.form`), why they differ (`fit.not_read`), or how sure the table of forms
/// is (`confidence.high`).
pub fn fit(code: &str) -> String {
    of_code(&id("fit", code.strip_prefix("fit.").unwrap_or(code)), &[])
}

/// Why a number cannot be given, and the mend: codes of multipliers, registers, timed pulses and bypassed energy.
pub fn cannot(code: &str) -> String {
    of_code(&id("cannot", code), &[])
}

/// Which number of an element (`A`) was not read; codes of readings.
pub fn missing(code: &str, element: &str) -> String {
    of_code(&id("missing", code.strip_prefix("reading.wanting.").unwrap_or(code)), &[("place", element)])
}

/// Every id of a family, such as `trouble`, without its parts: for tests that hold the sentences to a list of codes.
pub fn ids_of(family: &str) -> impl Iterator<Item = &'static str> {
    let begin = format!("{family}-");
    render::ids(BOOK).filter(move |id| id.starts_with(&begin) && !id.contains('.'))
}

#[cfg(test)]
mod tests;
