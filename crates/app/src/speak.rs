//! Facts to sentences: which words a kind, a field, a value or a trouble gets on the screen.

use crate::group::state::Record;
use browser::Trouble;
use jobfile::Problem;
use jobfile::kinds::{Field, Holds};
use jobfile::typed::Complaint;
use metering::isolation::{Pole, Refusal};
use procedure::press::{DraftError, PressError};
use serde_json::Value;

/// The title of a record: “CT nameplate A”, “Outgoing meter”.
pub fn record(kind: &str, place: &str) -> String {
    if kind == "meter_plate" {
        return capital(&words::place(place));
    }
    let place = words::place(place);
    if place.is_empty() { words::kind(kind) } else { format!("{} · {place}", words::kind(kind)) }
}

/// The last part of a place: the element, the register, the position.
pub fn last_place(place: &str) -> String {
    words::place(place.rsplit('/').next().unwrap_or(""))
}

/// “Enter A amps”: what the large button says while something is missing.
pub fn enter(record: &Record, field: &str) -> String {
    if field == "reason" {
        return words::enter_reason().to_string();
    }
    let what = words::field(record.kind.id, field);
    let place = last_place(&record.place);
    if place.is_empty() { words::enter(&lower(&what)) } else { words::enter_at(&place, &lower(&what)) }
}

/// A column’s head: the field’s name with its unit.
pub fn column(kind: &str, field: &Field) -> String {
    let name = words::field(kind, field.id);
    match field.holds {
        Holds::Decimal(range) if !range.unit.is_empty() => format!("{name}, {}", range.unit),
        _ => name,
    }
}

/// A stored value as it is read: with its unit, a choice in words, a moment by the clock.
pub fn value(kind: &str, field: &Field, value: &Value) -> String {
    match field.holds {
        Holds::Choice(_) => value.as_str().map(|code| words::choice(kind, field.id, code)).unwrap_or_default(),
        Holds::Time => value.as_str().map(moment).unwrap_or_default(),
        Holds::Decimal(range) => {
            let bare = bare(field, value);
            if range.unit.is_empty() || range.unit == "°" {
                format!("{bare}{}", range.unit)
            } else {
                format!("{bare} {}", range.unit)
            }
        }
        _ => bare(field, value),
    }
}

/// A stored value without its unit.
pub fn bare(field: &Field, value: &Value) -> String {
    match field.holds {
        Holds::Decimal(_) => value.get("value").and_then(Value::as_str).unwrap_or_default().replace('-', "−"),
        Holds::Ratio => value.get("typed").and_then(Value::as_str).unwrap_or_default().to_string(),
        _ => value.as_str().map_or_else(|| value.to_string(), str::to_string),
    }
}

/// A stored moment as the clock on the wall shows it: `2026-06-12 14:05:30`.
pub fn moment(text: &str) -> String {
    let date = text.get(..10).unwrap_or(text);
    let clock = text.get(11..19).unwrap_or("");
    format!("{date} {clock}").trim_end().to_string()
}

/// Whether a field takes numbers below zero.
pub fn can_be_negative(field: &Field) -> bool {
    matches!(field.holds, Holds::Decimal(range) if range.least < 0.0)
}

/// What is wrong with an input and what is wanted, in one sentence.
pub fn complaint(complaint: &Complaint) -> String {
    words::complaint(complaint.code, &borrowed(&complaint.facts))
}

/// A trouble of the browser.
pub fn browser_trouble(trouble: &Trouble) -> String {
    words::trouble(trouble.code(), &borrowed(&trouble.facts()))
}

/// What the log refuses, one sentence each.
pub fn problems(problems: &[Problem]) -> String {
    let sentences: Vec<String> = problems.iter().map(problem).collect();
    sentences.join(" ")
}

/// One problem of a file or an entry.
pub fn problem(problem: &Problem) -> String {
    words::problem(problem.code, &[("path", &problem.path), ("found", &problem.found), ("wanted", &problem.wanted)])
}

fn borrowed<'a>(facts: &'a [(&'static str, String)]) -> Vec<(&'static str, &'a str)> {
    facts.iter().map(|(name, value)| (*name, value.as_str())).collect()
}

/// The same words with a capital first.
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map(|first| std::iter::once(first.to_ascii_uppercase()).chain(letters).collect()).unwrap_or_default()
}

/// The same words with a small first letter, unless the first word is an abbreviation (CT, VT, Kh).
pub fn lower(words: &str) -> String {
    let second_is_small = words.chars().nth(1).is_none_or(|letter| letter.is_ascii_lowercase() || letter == ' ');
    if !second_is_small || words.starts_with("Kh") || words.starts_with("Ke") {
        return words.to_string();
    }
    let mut letters = words.chars();
    letters.next().map(|first| std::iter::once(first.to_ascii_lowercase()).chain(letters).collect()).unwrap_or_default()
}

/// A stored moment to the minute.
pub fn moment_to_minute(text: &str) -> String {
    let moment = moment(text);
    moment.get(..16).map_or(moment.clone(), str::to_string)
}

/// What must be shouted about a job; poles by their full names are called by their words.
pub fn shout(code: &str, place: &str) -> String {
    words::of_code(&format!("shout-{code}"), &[("place", &poles(place))])
}

/// Poles by their full names (`current.A, potential.N`) in words; letters stay as they are.
pub fn poles(places: &str) -> String {
    let word = |place: &str| if place.contains('.') { words::pole(place) } else { place.to_string() };
    places.split(", ").map(word).collect::<Vec<_>>().join(", ")
}

/// A mark kept in the list of jobs: a shout with its places, `code:place`.
pub fn mark(mark: &str) -> String {
    let (code, place) = mark.split_once(':').unwrap_or((mark, ""));
    shout(code, place)
}

/// Why an act or a reading at the switch is not taken.
pub fn press_error(why: &PressError) -> String {
    match why {
        PressError::SwitchUnknown => words::describe_the_switch_first().to_string(),
        PressError::Refused { refusal, .. } => refusal_words(refusal),
    }
}

/// Why drafts were not written down.
pub fn draft_error(why: &DraftError) -> String {
    match why {
        DraftError::Switch(why) => press_error(why),
        DraftError::NotToSign(item) => words::not_to_sign(&crate::screens::sheet::left(item)),
    }
}

/// Why the switch says no.
pub fn refusal_words(refusal: &Refusal) -> String {
    words::refusal(refusal.reason.code(), refusal.pole.map(Pole::code).unwrap_or_default())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_trouble_of_the_browser_has_a_sentence() {
        for code in Trouble::CODES {
            let sentence = words::trouble(code, &[]);
            assert!(sentence.contains(' '), "{code}: {sentence}");
        }
    }

    #[test]
    fn capitals_leave_abbreviations_alone() {
        assert_eq!(lower("CT side"), "CT side");
        assert_eq!(lower("Kh constant"), "Kh constant");
        assert_eq!(lower("Meter number"), "meter number");
        assert_eq!(lower("A"), "a");
        assert_eq!(capital("incoming meter"), "Incoming meter");
        assert_eq!(capital(""), "");
    }

    #[test]
    fn a_moment_is_shown_as_the_clock_on_the_wall() {
        assert_eq!(moment("2026-06-12T14:05:30+02:00"), "2026-06-12 14:05:30");
        assert_eq!(moment_to_minute("2026-06-12T14:05:30+02:00"), "2026-06-12 14:05");
        assert_eq!(moment("nonsense"), "nonsense");
    }
}
