//! The sentences held to what callers give them, and to the style.

use super::render::find;
use super::*;
use chrono::DateTime;
use jobfile::kinds;
use jobfile::typed::{ClockStyle, Context, NumberStyle, read_field};
use metering::isolation::{Act, Kind};
use std::collections::BTreeSet;

/// What callers hand to a family, by name. Facts of complaints and troubles differ by code and are held elsewhere.
fn given(id: &str) -> &'static [&'static str] {
    match family(id) {
        "problem" if id.starts_with("problem-system") => &["name", "error"],
        "problem" => &["path", "found", "wanted"],
        "press" => &["pole", "kind"],
        "refusal" | "danger" => &["pole"],
        "left" => &["place", "what", "by", "why"],
        "want" | "check" | "shout" | "row" | "prove" | "missing" => &["place"],
        "radio" => &[
            "site",
            "service_point",
            "outgoing",
            "incoming",
            "at",
            "reads",
            "old",
            "new",
            "peak",
            "energy",
            "seals",
            "left",
        ],
        "call" => &["what", "title", "do"],
        _ => &[],
    }
}

fn family(id: &str) -> &str {
    id.split(['-', '.']).next().unwrap_or(id)
}

fn by_code_families(held: impl Fn(&str) -> bool) -> impl Iterator<Item = (&'static str, &'static str)> {
    let message = |id| Some((id, find(BOOK, id)?));
    render::ids(BOOK).filter_map(message).filter(move |(id, _)| held(family(id)))
}

#[test]
fn every_variable_of_a_sentence_is_handed_to_it() {
    for (id, pieces) in by_code_families(|family| !["complaint", "trouble"].contains(&family)) {
        let values: Vec<(&str, &str)> = given(id).iter().map(|name| (*name, "5")).collect();
        assert!(render_whole(pieces, &values).is_some(), "{id}: {}", render(pieces, &values));
    }
}

/// Texts that call forth every complaint, in some field.
const TYPED: &[&str] = &[
    "",
    "x",
    "12,",
    "1e3",
    "nan",
    "1,2,3.4.5",
    "1,234",
    "12 kV",
    "99999999999",
    "-999999",
    "2.5",
    "25:99",
    "2:05",
    "23:59",
    "a\u{7}b",
    "200",
    "200:5:5",
    "200:",
    "2x00:5",
    "200/2:5",
    "100x200:5",
    "200V:5A",
    "0:5",
    "200:0",
    "99999999999999:5",
    "a hundred and fifty signs and more than any field of this program takes, and then some, so that it is refused \
     as too long wherever it is written down; it has no end that anybody would like to read on a phone in the rain, and \
     here it goes on for a while so that even remarks of four hundred signs are filled up to their brim and over it, \
     which is what this sentence is for, and nothing else at all, whatever else it may seem to be about, dear reader.",
];

fn complaints() -> Vec<jobfile::typed::Complaint> {
    let context = Context {
        now: DateTime::parse_from_rfc3339("2026-11-25T15:00:00+02:00").unwrap(),
        number_style: NumberStyle::Unstated,
        clock_style: ClockStyle::Unstated,
    };
    let fields = kinds::all().flat_map(|kind| kind.fields);
    fields.flat_map(|field| TYPED.iter().filter_map(|text| read_field(field, text, &context).err())).collect()
}

#[test]
fn what_a_hand_can_type_wrong_is_told_with_all_its_facts() {
    let mut met = BTreeSet::new();
    for wrong in complaints() {
        let facts: Vec<(&str, &str)> = wrong.facts.iter().map(|(name, fact)| (*name, fact.as_str())).collect();
        let told = find(BOOK, &id("complaint", wrong.code)).and_then(|pieces| render_whole(pieces, &facts));
        assert!(told.is_some(), "{wrong:?}: {}", complaint(wrong.code, &facts));
        met.insert(wrong.code);
    }
    let missed: Vec<&&str> = jobfile::typed::CODES.iter().filter(|code| !met.contains(*code)).collect();
    assert_eq!(missed, [&"typed.not_a_ratio"], "only an overflow of 64 bits calls this one forth");
}

#[test]
fn a_bare_number_is_asked_for_without_a_unit() {
    let facts = [("found", "kV"), ("wanted", "")];
    assert_eq!(complaint("typed.wrong_unit", &facts), "“kV” is another unit: enter the bare number.");
    let facts = [("found", "9"), ("least", "0"), ("most", "5"), ("unit", "")];
    assert_eq!(complaint("typed.out_of_range", &facts), "9 lies outside 0 to 5: read it again, and look at the unit.");
}

#[test]
fn a_problem_tells_its_facts_only_where_they_are_known() {
    let alone = problem("file.other_format", &[]);
    assert!(!alone.contains('{'), "{alone}");
    let facts = [("path", "/format"), ("found", "other"), ("wanted", "dotside-job")];
    assert!(problem("file.other_format", &facts).starts_with(&alone));
    assert!(problem("file.other_format", &facts).contains("“other”"));
    for code in jobfile::Problem::CODES {
        assert!(!problem(code, &[]).contains('{'), "{code}");
    }
}

#[test]
fn an_act_speaks_of_what_the_hand_holds() {
    assert_eq!(press("pull_shorting_blade", "blade_shorts_as_it_opens", "C"), "AMPS C: pull down blade 1");
    assert_eq!(press("open_potential", "blade_shorts_as_it_opens", "A"), "VOLTS A: pull the blade down");
    for kind in [Kind::ScrewsOrLinks, Kind::PlugInBlock, Kind::None] {
        // Acts that other kinds have alone may speak of blades.
        let has = |act: &Act| match act.code() {
            "pull_shorting_blade" | "push_shorting_blade" => false,
            "close_short" | "open_short" | "open_meter_path" | "close_meter_path" => kind == Kind::ScrewsOrLinks,
            _ => true,
        };
        for act in Act::all().filter(has) {
            let said = [
                Some(press(act.code(), kind.code(), act.pole_code())),
                press_say(act.code(), kind.code(), act.pole_code()),
                Some(press_done(act.code(), kind.code(), act.pole_code())),
                press_caution(act.code(), kind.code(), act.pole_code()),
            ];
            for words in said.into_iter().flatten() {
                assert!(!words.contains("blade"), "{}: {words}", kind.code());
            }
        }
    }
}

/// A circuit is shorted, to meter or broken, a blade is up or down, a potential is off or to the meter: “open” and “closed”
/// mean the one to an electrician and the other to everybody else.
#[test]
fn nothing_at_the_switch_is_open() {
    let families = ["press", "refusal", "danger", "safe", "shout", "left", "caution", "check", "want", "step", "prove"];
    for (id, pieces) in by_code_families(|family| families.contains(&family)) {
        let text = render(pieces, &[]).to_lowercase();
        let words: BTreeSet<&str> = text.split(|letter: char| !letter.is_alphabetic()).collect();
        for banned in ["open", "opened", "opening", "lift", "lifted"] {
            assert!(!words.contains(banned), "{id}: {text}");
        }
    }
}

#[test]
fn no_sentence_blames_or_speaks_of_the_machine() {
    // The formula of a rounding error is no blame.
    for (id, pieces) in by_code_families(|family| family != "rule") {
        let text = render(pieces, &[]).to_lowercase();
        for banned in ["unmetered", "invalid", " error", "error ", "illegal", "you failed", "please"] {
            assert!(!text.contains(banned), "{id}: {text}");
        }
    }
}
