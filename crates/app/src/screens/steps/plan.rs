//! What a step shows: its records, its cautions, its checks that stop, and what hands do next; facts only.

use jobfile::Fold;
use jobfile::sorting::sort_by_key;
use procedure::caution::{self, Caution, Signal};
use procedure::checks::Outcome;
use procedure::standing::{Standing, State};
use procedure::steps::{self, Screen};
use procedure::wants::Entered;
use procedure::work::{Work, work};

/// One record that a step fills in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Slot {
    /// Kind.
    pub kind: &'static str,
    /// Place.
    pub place: String,
    /// Whether the step wants it.
    pub needed: bool,
}

/// A text that stands in an input beforehand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Prefill {
    /// Kind.
    pub kind: &'static str,
    /// Place.
    pub place: String,
    /// Field.
    pub field: &'static str,
    /// The text.
    pub text: String,
}

/// A stop check that does not let the step pass.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stopped {
    /// Id.
    pub id: &'static str,
    /// Where.
    pub places: String,
    /// Guards life.
    pub guards_life: bool,
    /// Whether a named person may override it.
    pub may_override: bool,
}

/// A step as its screen shows it.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// Id of the step.
    pub step: &'static str,
    /// Its number from 1, and how many there are.
    pub number: (usize, usize),
    /// Whether all it must have is there.
    pub done: bool,
    /// The screen that serves it.
    pub screen: Screen,
    /// Cautions that belong here now, worst first.
    pub cautions: Vec<Caution>,
    /// What hands do next.
    pub work: Work,
    /// Records to fill in.
    pub slots: Vec<Slot>,
    /// What stands in them beforehand.
    pub prefills: Vec<Prefill>,
    /// Checks that stop.
    pub stopped: Vec<Stopped>,
    /// The step that comes after this one, if any is still to do.
    pub next: Option<&'static str>,
}

/// The plan of a step; `None` when there is no such step.
pub fn plan(fold: &Fold, standing: &Standing, id: &str) -> Option<Plan> {
    let at = standing.steps.iter().position(|step| step.id == id)?;
    let here = standing.steps.get(at)?;
    let data = steps::find(here.id)?;
    let at_switch = data.screen == Screen::Switch || only_poles_missing(standing, here.id);
    let work = if at_switch { work(standing, here.id) } else { Work::Fields };
    let slots = slots(standing, here.id, &work);
    let prefills = prefills(fold, &slots);
    Some(Plan {
        step: here.id,
        number: (at + 1, standing.steps.len()),
        done: matches!(here.state, State::Done { .. }),
        screen: data.screen,
        cautions: cautions(data.cautions, standing),
        work,
        slots,
        prefills,
        stopped: stopped(standing, here.checks),
        next: (standing.now != here.id).then_some(standing.now),
    })
}

/// The records of a step: one for each slot that its wants name, or those of the reading or look that comes next.
fn slots(standing: &Standing, id: &str, work: &Work) -> Vec<Slot> {
    let slot = |kind, place: &str| Slot { kind, place: place.to_string(), needed: true };
    match work {
        Work::Prove { element, .. } => return vec![slot("short_proof", element)],
        Work::SeeBack(element) => return vec![slot("current_back", element)],
        Work::Describe => return vec![slot("switch", "")],
        Work::Look(_) | Work::Do(_) | Work::DeEnergise(_) => return Vec::new(),
        Work::Fields => {}
    }
    let mut found: Vec<Slot> = Vec::new();
    let Some(step) = standing.step(id) else { return found };
    for want in &step.wants {
        let Entered::Field { kind, place, .. } = &want.entered else { continue };
        // How the poles stand is looked at as a whole, and a reading back is asked for when its act is done.
        if matches!(*kind, "current_seen" | "potential_seen" | "current_back") {
            continue;
        }
        let place = if place.ends_with('/') { format!("{place}{}", register_for(want.code)) } else { place.clone() };
        match found.iter_mut().find(|slot| slot.kind == *kind && slot.place == place) {
            Some(slot) => slot.needed |= want.must,
            None => found.push(Slot { kind, place, needed: want.must }),
        }
    }
    found
}

/// The register that a want without a code means.
fn register_for(code: &str) -> &'static str {
    if code.ends_with("peak") { "kw_peak" } else { "kwh_delivered" }
}

/// Whether a look at the poles is all that a step still wants: everything else stands before it.
fn only_poles_missing(standing: &Standing, id: &str) -> bool {
    let Some(step) = standing.step(id) else { return false };
    let mut missing = step.missing().peekable();
    missing.peek().is_some() && missing.all(|want| want.code == "poles_seen")
}

/// What is known already and only has to be looked at: amps as found before a short, amps on the meter side as left.
fn prefills(fold: &Fold, slots: &[Slot]) -> Vec<Prefill> {
    let typed = |kind: &str, place: &str, field: &str| {
        let live = fold.last(kind, place)?;
        live.fields.typed(field).map(str::to_string)
    };
    let mut found = Vec::new();
    for slot in slots {
        let element = slot.place.rsplit('/').next().unwrap_or("");
        let (field, text) = match slot.kind {
            "short_proof" => ("before", typed("reading", &format!("as_found/{element}"), "amps")),
            "reading" if slot.place.starts_with("as_left/") => ("amps", typed("current_back", element, "meter_side")),
            "meter_plate" if slot.place == "outgoing" => ("number", text(fold, "on_record", "outgoing_number")),
            "meter_plate" if slot.place == "incoming" => ("number", text(fold, "on_record", "incoming_number")),
            _ => continue,
        };
        if let Some(text) = text {
            found.push(Prefill { kind: slot.kind, place: slot.place.clone(), field, text });
        }
    }
    found
}

fn text(fold: &Fold, kind: &str, field: &str) -> Option<String> {
    fold.one(kind, "").and_then(|live| live.fields.text(field)).map(str::to_string)
}

fn stopped(standing: &Standing, ids: &[&'static str]) -> Vec<Stopped> {
    let judged = ids.iter().filter_map(|id| standing.check(id));
    judged
        .filter(|check| matches!(check.outcome, Outcome::Stops(_)) && check.overridden.is_none())
        .map(|check| Stopped {
            id: check.id,
            places: check.places(),
            guards_life: check.guards_life,
            may_override: check.may_override,
        })
        .collect()
}

/// The cautions of a step that belong to this site and to what is known of it; what only informs stands behind “why”.
fn cautions(codes: &[&str], standing: &Standing) -> Vec<Caution> {
    let others = standing.check("others_asked").is_none_or(|check| !matches!(check.outcome, Outcome::Passes));
    let belongs = |caution: &Caution| match caution.code {
        "no_switch" => standing.replay.has_no_switch(),
        "others_use" => others,
        _ => true,
    };
    let mut found: Vec<Caution> = codes.iter().filter_map(|code| caution::find(code)).filter(belongs).collect();
    sort_by_key(&mut found, |caution| std::cmp::Reverse(caution.signal));
    found
}

/// Whether a caution stands before the act on the screen, rather than behind “why”.
pub fn stands_in_front(caution: &Caution) -> bool {
    caution.signal >= Signal::Warning
}
