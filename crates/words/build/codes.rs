//! Which sentences are looked up by code, and the codes that must have one.

use crate::read::{Messages, Piece};
use jobfile::kinds::{self, Holds, Segment};
use metering::decimal::DecimalError;
use metering::isolation::{self, Act, DangerKind, Element, Pole, PotentialPole, SafeWay};
use metering::meter::forms::Confidence;
use metering::ratio::RatioError;
use metering::reading::Wanting;
use metering::{bypass, energy, meter, multiplier, register};
use std::collections::BTreeSet;

/// First words of ids that are looked up by code. All other messages become functions.
const FAMILIES: &[&str] = &[
    "kind",
    "field",
    "choice",
    "place",
    "step",
    "check",
    "left",
    "row",
    "want",
    "caution",
    "refusal",
    "danger",
    "safe",
    "press",
    "problem",
    "complaint",
    "trouble",
    "rule",
    "fit",
    "cannot",
    "missing",
    "shout",
    "radio",
    "call",
    "calc",
    "prove",
];

/// Families whose codes live in a room above this one. Tests there hold the sentences to their lists.
const HELD_ELSEWHERE: &[&str] = &["trouble", "calc"];

/// Whether a message is looked up by code.
pub fn is_looked_up(id: &str) -> bool {
    FAMILIES.contains(&family(id))
}

fn family(id: &str) -> &str {
    id.split(['-', '.']).next().unwrap_or(id)
}

/// Codes without a sentence, sentences without a code, and choices that no value can meet.
pub fn compare(messages: &Messages) -> Vec<String> {
    let wanted = wanted();
    let mut complaints: Vec<String> =
        wanted.iter().filter(|id| !messages.contains_key(*id)).map(|id| format!("en: {id} has no sentence")).collect();
    for (id, pieces) in messages {
        let base = id.split('.').next().unwrap_or(id);
        let is_held_here = is_looked_up(id) && !HELD_ELSEWHERE.contains(&family(id));
        if is_held_here && !wanted.contains(base) {
            complaints.push(format!("en: {id} belongs to no code"));
        }
        complaints.extend(strange_cases(pieces).into_iter().map(|case| format!("en: {id}: no value is called {case}")));
    }
    complaints
}

/// Words of choices that are no value of their variable: a slip of the pen would silently show the other case.
fn strange_cases(pieces: &[Piece]) -> Vec<String> {
    let mut strange = Vec::new();
    for piece in pieces {
        let Piece::Choice { variable, cases, other } = piece else { continue };
        for (case, pieces) in cases {
            let is_known = match variable.as_str() {
                "kind" => isolation::Kind::from_code(case).is_some(),
                "side" => ["primary", "secondary"].contains(&case.as_str()),
                _ => ["one", "none"].contains(&case.as_str()),
            };
            if !is_known {
                strange.push(format!("{variable} {case}"));
            }
            strange.extend(strange_cases(pieces));
        }
        strange.extend(strange_cases(other));
    }
    strange
}

/// Every code that a person may meet.
fn wanted() -> BTreeSet<String> {
    let mut ids = BTreeSet::new();
    of_kinds(&mut ids);
    of_the_visit(&mut ids);
    at_the_switch(&mut ids);
    of_typed_text(&mut ids);
    of_files(&mut ids);
    of_numbers(&mut ids);
    ids
}

fn of_kinds(ids: &mut BTreeSet<String>) {
    ids.extend(kinds::REGISTERS.iter().map(|code| format!("place-{code}")));
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
}

fn of_the_visit(ids: &mut BTreeSet<String>) {
    let lists: [(&str, &[&str]); 7] = [
        ("want", procedure::wants::WANT_CODES),
        ("check", procedure::checks::CHECK_CODES),
        ("left", procedure::left::LEFT_CODES),
        ("row", procedure::close_out::ROW_CODES),
        ("radio", procedure::close_out::RADIO_CODES),
        ("caution", procedure::caution::CAUTION_CODES),
        ("shout", procedure::standing::SHOUT_CODES),
    ];
    for (family, codes) in lists {
        ids.extend(codes.iter().map(|code| id(family, code)));
    }
    ids.extend(procedure::checks::CHECK_CODES.iter().map(|code| format!("{}.mend", id("check", code))));
    for step in procedure::steps::METER_CHANGE {
        ids.extend(["", ".do", ".why"].map(|part| format!("{}{part}", id("step", step.id))));
    }
    for source in procedure::power::Source::ALL {
        ids.insert(format!("call-power_{}", source.code()));
    }
    ids.extend(["nothing", "running", "readings", "plates", "times"].map(|code| format!("call-bypass_{code}")));
    // Frames around what is called out.
    ids.extend(["call-want", "call-step"].map(str::to_owned));
}

fn at_the_switch(ids: &mut BTreeSet<String>) {
    for act in Act::all() {
        ids.extend(["", ".say", ".done"].map(|part| format!("{}{part}", id("press", act.code()))));
    }
    ids.extend(isolation::Reason::ALL.iter().map(|reason| id("refusal", reason.code())));
    ids.extend(DangerKind::ALL.iter().map(|danger| id("danger", danger.code())));
    ids.extend(SafeWay::ALL.iter().map(|way| id("safe", way.code())));
    let currents = Element::ALL.into_iter().map(Pole::Current);
    let potentials = PotentialPole::ALL.into_iter().map(Pole::Potential);
    let poles = currents.chain(potentials).chain([Pole::Meter, Pole::Supply]);
    ids.extend(poles.map(|pole| procedure::replay::pole_words(pole.code())));
    let stages = kinds::find("short_proof").and_then(|kind| kind.field("stage")).map(|field| field.holds);
    if let Some(Holds::Choice(stages)) = stages {
        ids.extend(stages.iter().map(|stage| id("prove", stage)));
    }
}

fn of_typed_text(ids: &mut BTreeSet<String>) {
    let lists = [jobfile::typed::CODES, RatioError::CODES, DecimalError::CODES];
    ids.extend(lists.into_iter().flatten().map(|code| id("complaint", code)));
}

fn of_files(ids: &mut BTreeSet<String>) {
    ids.extend(jobfile::Problem::CODES.iter().map(|code| id("problem", code)));
    // A file that the system does not give or does not take, and one without a single entry.
    ids.extend(["system_input", "system_output", "unknown"].map(|code| id("problem", code)));
    // What the command line refuses of readings to be diagnosed.
    ids.extend(["priors_unknown", "not_json", "case_not_understood"].map(|code| format!("problem-wiring_{code}")));
}

fn of_numbers(ids: &mut BTreeSet<String>) {
    let plates = ["ratio.size", "ratio.exact", "ratio.turns"];
    let lists = [
        multiplier::MultiplierError::CODES,
        register::RegisterError::CODES,
        energy::TimedError::CODES,
        bypass::BypassError::CODES,
        &plates,
    ];
    ids.extend(lists.into_iter().flatten().map(|code| id("cannot", code)));
    ids.extend(Wanting::ALL.iter().map(|wanting| id("missing", short(wanting.code(), "reading.wanting."))));
    ids.extend(meter::Item::ALL.iter().map(|item| id("fit", short(item.code(), "fit."))));
    ids.extend(meter::Reason::ALL.iter().map(|reason| id("fit", short(reason.code(), "fit."))));
    ids.extend([Confidence::Low, Confidence::Medium, Confidence::High].map(|sure| id("fit", sure.code())));
    ids.extend(metering::working::Rule::ALL.iter().flat_map(|rule| {
        let rule = id("rule", rule.id());
        [format!("{rule}.source"), rule]
    }));
}

/// A code without what its family says already.
fn short<'a>(code: &'a str, said: &str) -> &'a str {
    code.strip_prefix(said).unwrap_or(code)
}

/// A message id for a code: codes may hold points and hyphens, ids hold neither.
fn id(family: &str, code: &str) -> String {
    format!("{family}-{}", code.replace(['.', '-'], "_"))
}

/// What is stamped on a plate (a class, a form) is shown as stamped, in every language.
fn is_stamp(code: &str) -> bool {
    code.starts_with(|first: char| first.is_ascii_digit())
}
