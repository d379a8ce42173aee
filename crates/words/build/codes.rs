//! Which sentences are looked up by code, and the codes that must have one.

use crate::read::Messages;
use jobfile::kinds::{self, Holds, Segment};
use std::collections::BTreeSet;

/// First words of ids that are looked up by code. All other messages become functions.
const FAMILIES: &[&str] = &[
    "kind", "field", "choice", "place", "step", "check", "left", "row", "want", "caution", "refusal", "danger", "act", "problem",
    "complaint", "trouble", "rule", "fit", "symbol", "shout", "radio", "call", "calc", "prove",
];

/// Whether a message is looked up by code.
pub fn is_looked_up(id: &str) -> bool {
    id.split('-').next().is_some_and(|family| FAMILIES.contains(&family.split('.').next().unwrap_or(family)))
}

/// Codes without a sentence, and sentences without a code.
pub fn compare(messages: &Messages) -> Vec<String> {
    let wanted = wanted();
    let mut complaints: Vec<String> =
        wanted.iter().filter(|id| !messages.contains_key(*id)).map(|id| format!("en: {id} has no sentence")).collect();
    let checked: BTreeSet<&str> = wanted.iter().filter_map(|id| id.split('-').next()).collect();
    for id in messages.keys() {
        let base = id.split('.').next().unwrap_or(id);
        let family = base.split('-').next().unwrap_or(base);
        if checked.contains(family) && !wanted.contains(base) {
            complaints.push(format!("en: {id} belongs to no code"));
        }
    }
    complaints
}

/// Every code that a person may meet.
fn wanted() -> BTreeSet<String> {
    let mut ids: BTreeSet<String> = kinds::REGISTERS.iter().map(|code| format!("place-{code}")).collect();
    for kind in kinds::all() {
        ids.insert(format!("kind-{}", kind.id));
        for segment in kind.place {
            if let Segment::OneOf(words) = segment {
                ids.extend(words.iter().map(|word| format!("place-{word}")));
            }
        }
        for field in kind.fields {
            if matches!(field.holds, Holds::Auto(_)) {
                continue;
            }
            ids.insert(format!("field-{}-{}", kind.id, field.id));
            if let Holds::Choice(codes) = field.holds {
                let spoken = codes.iter().filter(|code| !is_stamp(code));
                ids.extend(spoken.map(|code| format!("choice-{}-{}-{code}", kind.id, field.id)));
            }
        }
    }
    ids.extend(metering::working::Rule::ALL.iter().map(|rule| id("rule", rule.id())));
    ids
}

/// A message id for a code: codes may hold points and hyphens, ids hold neither.
fn id(family: &str, code: &str) -> String {
    format!("{family}-{}", code.replace(['.', '-'], "_"))
}

/// What is stamped on a plate (a class, a form) is shown as stamped, in every language.
fn is_stamp(code: &str) -> bool {
    code.starts_with(|first: char| first.is_ascii_digit())
}
