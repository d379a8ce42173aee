//! Whether what a hand wants to write down, or what a file says, is spelled as the table of kinds says.

use crate::fold::Fold;
use crate::hash::Hash;
use crate::journal::Journal;
use crate::kinds::{self, Field, Holds, Keeps, Kind, Need};
use crate::moment::read_time;
use crate::problem::{Problem, code, is_direction_mark, pointer};
use crate::strict::LARGEST;
use crate::what::{Draft, What};
use metering::decimal::Decimal;
use metering::range::Range;
use metering::ratio::{RATED_RANGE, Rated};
use serde_json::{Map, Value};

/// Longest spelling of a decimal number, as stored and as typed.
const DECIMAL: usize = 40;

/// Everything that is wrong with one thing to be written down; paths begin with `/what`.
pub fn what(what: &What) -> Vec<Problem> {
    tree(&what.kind, &what.place, what.fields.as_map())
}

/// The same for the parts of an entry's `what`.
pub(crate) fn tree(kind: &str, place: &str, fields: &Map<String, Value>) -> Vec<Problem> {
    let Some(known) = kinds::find(kind) else {
        return vec![Problem::new(code::KIND_UNKNOWN, "/what/kind", kind, "")];
    };
    let mut problems = Vec::new();
    if !known.has_place(place) {
        problems.push(Problem::new(code::KIND_PLACE, "/what/place", place, spelled(known)));
    }
    for field in known.fields.iter().filter(|field| field.need == Need::Must && !fields.contains_key(field.id)) {
        problems.push(Problem::new(code::FIELD_MISSING, at(field.id), "", field.id));
    }
    for (id, value) in fields {
        match known.field(id) {
            None => problems.push(Problem::new(code::FIELD_UNKNOWN, at(id), id, "")),
            Some(field) => check_field(field, value, &mut problems),
        }
    }
    problems
}

/// Everything that is wrong with drafts that are to join this journal together; paths begin with their index.
pub(crate) fn drafts(journal: &Journal, drafts: &[Draft]) -> Vec<Problem> {
    let fold = Fold::of(journal);
    let mut problems = Vec::new();
    for (index, draft) in drafts.iter().enumerate() {
        let mut own = what(&draft.what);
        own.extend(check_reason(draft));
        own.extend(check_slot(&fold, draft, drafts.get(..index).unwrap_or_default()));
        own.extend(check_pointing(&fold, &draft.what));
        problems.extend(own.into_iter().map(|problem| problem.under(&format!("/{index}"))));
    }
    problems
}

fn check_reason(draft: &Draft) -> Vec<Problem> {
    let wanted = format!("1…{}", crate::entry::REASON);
    let mut problems = Vec::new();
    match draft.reason.as_deref() {
        None | Some("") if draft.replaces.is_some() => {
            problems.push(Problem::new(code::REASON_MISSING, "/reason", "", wanted));
        }
        Some(reason) => check_text("/reason", reason, crate::entry::REASON, &mut problems),
        None => {}
    }
    problems
}

/// A slot that keeps one value takes a second one only in the place of the first; nothing is replaced twice. The drafts
/// before this one, which are as few as a hand writes at once, count as written.
fn check_slot(fold: &Fold, draft: &Draft, before: &[Draft]) -> Option<Problem> {
    let What { kind, place, .. } = &draft.what;
    let keeps = kinds::find(kind)?.keeps;
    let is_taken = || {
        before
            .iter()
            .any(|before| (&before.what.kind, &before.what.place, before.replaces) == (kind, place, draft.replaces))
    };
    if let Some(target) = draft.replaces {
        let path = "/replaces";
        let found = target.to_string();
        let Some((slot_kind, slot_place, live)) = fold.slot_of(target) else {
            return Some(Problem::new(code::REPLACES_MISSING, path, &found, ""));
        };
        if (slot_kind, slot_place) != (kind.as_str(), place.as_str()) {
            return Some(Problem::new(
                code::REPLACES_OTHER_SLOT,
                path,
                &format!("{slot_kind} {slot_place}"),
                format!("{kind} {place}"),
            ));
        }
        if !live || is_taken() {
            return Some(Problem::new(code::REPLACES_NOT_LIVE, path, &found, ""));
        }
        return None;
    }
    let occupied = keeps == Keeps::One && (!fold.live(kind, place).is_empty() || is_taken());
    occupied.then(|| Problem::new(code::SLOT_TAKEN, "/what/place", &format!("{kind} {place}"), "replaces"))
}

/// A choice must point at one of the values in conflict, a withdrawal at something that counts.
fn check_pointing(fold: &Fold, what: &What) -> Option<Problem> {
    match what.kind.as_str() {
        kinds::CHOICE => {
            let chosen = what.fields.hash("chosen")?;
            let slot = (what.fields.text("kind")?, what.fields.text("slot_place").unwrap_or(""));
            let offered = fold.conflict(slot.0, slot.1).is_some_and(|live| live.iter().any(|one| one.hash == chosen));
            (!offered).then(|| {
                Problem::new(
                    code::CHOICE_NOT_IN_SLOT,
                    at("chosen"),
                    &chosen.to_string(),
                    format!("{} {}", slot.0, slot.1),
                )
            })
        }
        kinds::WITHDRAWAL => {
            let target = what.fields.hash("entry")?;
            let counts = fold.slot_of(target).is_some_and(|(_, _, live)| live);
            (!counts).then(|| Problem::new(code::WITHDRAWAL_NOT_FOUND, at("entry"), &target.to_string(), ""))
        }
        _ => None,
    }
}

fn at(field: &str) -> String {
    format!("/what/fields{}", pointer(field))
}

/// How the places of a kind are spelled.
fn spelled(kind: &Kind) -> String {
    let segments = kind.place.iter().map(|segment| match segment {
        kinds::Segment::OneOf(words) => words.join("|"),
        kinds::Segment::Word => "a-z 0-9 _ . -".to_owned(),
    });
    segments.collect::<Vec<_>>().join("/")
}

fn check_field(field: &Field, value: &Value, problems: &mut Vec<Problem>) {
    let path = at(field.id);
    match field.holds {
        Holds::Text(most) | Holds::Auto(most) => match value.as_str() {
            Some(text) => check_text(&path, text, most, problems),
            None => problems.push(wrong(path, value, "\"…\"")),
        },
        Holds::Choice(codes) => {
            let wanted = codes.join("|");
            match value.as_str() {
                Some(text) if codes.contains(&text) => {}
                Some(text) => problems.push(Problem::new(code::FIELD_CHOICE, path, text, wanted)),
                None => problems.push(wrong(path, value, &wanted)),
            }
        }
        Holds::Count(least, most) => {
            let wanted = format!("{least}…{most}");
            match value.as_i64() {
                Some(count) if (i64::from(least)..=i64::from(most)).contains(&count) => {}
                Some(count) => problems.push(Problem::new(code::FIELD_RANGE, path, &count.to_string(), wanted)),
                None => problems.push(wrong(path, value, &wanted)),
            }
        }
        Holds::Decimal(range) => check_decimal(&path, range, value, problems),
        Holds::Ratio => check_ratio(&path, value, problems),
        Holds::Time => {
            if value.as_str().and_then(read_time).is_none() {
                problems.push(wrong(path, value, "RFC 3339"));
            }
        }
        Holds::Hash => {
            if value.as_str().and_then(|text| text.parse::<Hash>().ok()).is_none() {
                problems.push(wrong(path, value, "64 0-9 a-f"));
            }
        }
    }
}

fn wrong(path: String, found: &Value, wanted: &str) -> Problem {
    let found = found.as_str().map_or_else(|| found.to_string(), ToOwned::to_owned);
    Problem::new(code::FIELD_WRONG, path, &found, wanted)
}

fn check_text(path: &str, text: &str, most: usize, problems: &mut Vec<Problem>) {
    if text.trim().is_empty() {
        problems.push(Problem::new(code::FIELD_EMPTY, path, text, format!("1…{most}")));
    }
    let length = text.chars().count();
    if length > most {
        problems.push(Problem::new(code::FIELD_TOO_LONG, path, &length.to_string(), most.to_string()));
    }
    if text.chars().any(|letter| letter.is_control() && letter != '\n') {
        problems.push(Problem::new(code::FIELD_CONTROL_CHARACTER, path, text, ""));
    }
    if text.chars().any(is_direction_mark) {
        problems.push(Problem::new(code::FIELD_DIRECTION_MARK, path, text, ""));
    }
}

fn check_decimal(path: &str, range: Range, value: &Value, problems: &mut Vec<Problem>) {
    let Some((number, unit, typed)) = parts(value, ["value", "unit", "typed"]) else {
        problems.push(wrong(path.to_owned(), value, "{value, unit, typed}"));
        return;
    };
    let (Some(number), Some(unit), Some(typed)) = (number.as_str(), unit.as_str(), typed.as_str()) else {
        problems.push(wrong(path.to_owned(), value, "{\"…\", \"…\", \"…\"}"));
        return;
    };
    check_text(&format!("{path}/typed"), typed, DECIMAL, problems);
    if unit != range.unit {
        problems.push(Problem::new(code::FIELD_UNIT, format!("{path}/unit"), unit, range.unit));
    }
    match Decimal::parse(number) {
        Err(_) => {
            problems.push(Problem::new(code::FIELD_NOT_CANONICAL, format!("{path}/value"), number, "-?(0|[1-9]…)(.…)?"))
        }
        Ok(decimal) if decimal.within(range).is_err() => {
            let wanted = format!("{}…{} {}", range.least, range.most, range.unit);
            problems.push(Problem::new(code::FIELD_RANGE, path, number, wanted.trim_end()));
        }
        Ok(_) => {}
    }
}

fn check_ratio(path: &str, value: &Value, problems: &mut Vec<Problem>) {
    let Some((typed, primary, secondary)) = parts(value, ["typed", "primary", "secondary"]) else {
        problems.push(wrong(path.to_owned(), value, "{typed, primary, secondary}"));
        return;
    };
    match typed.as_str() {
        Some(text) => check_text(&format!("{path}/typed"), text, DECIMAL, problems),
        None => problems.push(wrong(format!("{path}/typed"), typed, "\"…\"")),
    }
    for (name, side) in [("primary", primary), ("secondary", secondary)] {
        // The parts are JSON numbers, so each must be one that every reader takes exactly.
        let parts = side.as_array().and_then(|list| list.iter().map(exact).collect::<Option<Vec<i64>>>());
        let rated = parts.and_then(|parts| <[i64; 3]>::try_from(parts).ok()).map(Rated::from_parts);
        match rated {
            Some(Ok(_)) => {}
            Some(Err(_)) => {
                let wanted = format!("{}…{}", RATED_RANGE.least, RATED_RANGE.most);
                problems.push(Problem::new(code::FIELD_RANGE, format!("{path}/{name}"), &side.to_string(), wanted));
            }
            None => problems.push(wrong(format!("{path}/{name}"), side, "[1…, 1…, -1…1]")),
        }
    }
}

fn exact(value: &Value) -> Option<i64> {
    value.as_i64().filter(|number| number.unsigned_abs() <= LARGEST)
}

/// The three parts of an object that has exactly these.
fn parts<'a>(value: &'a Value, names: [&str; 3]) -> Option<(&'a Value, &'a Value, &'a Value)> {
    let map = value.as_object().filter(|map| map.len() == 3)?;
    Some((map.get(names[0])?, map.get(names[1])?, map.get(names[2])?))
}
