//! Each stop check once stopping and once just not.

use super::site::{AMPS, Site, decimal, what};
use crate::checks::Outcome;
use crate::press::{self, Done, DraftError, NoOverride, PressError};
use jobfile::{Draft, What};
use metering::isolation::{Act, Element, Kind, PotentialPole, Reason};

const BLADE: Kind = Kind::BladeShortsAsItOpens;

fn at(step: &str) -> Site {
    Site::new(BLADE, "currents_first").until(step)
}

fn outcome(site: &Site, check: &str) -> Outcome {
    site.standing().check(check).unwrap().outcome.clone()
}

#[track_caller]
fn passes(site: &Site, check: &str) {
    assert_eq!(outcome(site, check), Outcome::Passes, "{check}");
}

#[track_caller]
fn stops(site: &Site, check: &str, places: &str) {
    let standing = site.standing();
    let judged = standing.check(check).unwrap();
    assert!(matches!(judged.outcome, Outcome::Stops(_)), "{check}: {:?}", judged.outcome);
    assert_eq!(judged.places(), places, "{check}");
    assert!(!judged.lets_pass());
}

fn with(site: &Site, kind: &str, place: &str) -> What {
    let fold = site.fold();
    let live = fold.one(kind, place).unwrap();
    What { kind: kind.to_owned(), place: place.to_owned(), fields: live.fields.clone() }
}

fn happened(site: &mut Site, act: Act) {
    let draft = press::happened(&Done { act, done_at: None }, "slipped");
    site.draft(&[draft]);
}

#[test]
fn every_check_waits_while_nothing_is_written_down() {
    let site = Site::new(BLADE, "currents_first");
    for judged in site.standing().checks {
        let quiet = ["no_vt_shorted", "all_to_meter"].contains(&judged.id);
        assert!(quiet || judged.outcome == Outcome::Waits, "{judged:?}");
    }
}

#[test]
fn meter_fits() {
    let mut site = at("early_reads");
    passes(&site, "meter_fits");
    let incoming = with(&site, "meter_plate", "incoming").with("class_amps", decimal("200", "A"));
    site.correct(incoming);
    stops(&site, "meter_fits", "fit.self_contained_class");
}

#[test]
fn no_dispute_and_enclosure_dead() {
    let mut site = at("early_reads");
    passes(&site, "no_dispute");
    passes(&site, "enclosure_dead");
    let arrive = with(&site, "arrive", "").with("dispute", "signs_of_tampering");
    site.correct(arrive);
    stops(&site, "no_dispute", "signs_of_tampering");
    let look = with(&site, "first_look", "").with("enclosure_dead", "no");
    site.correct(look);
    stops(&site, "enclosure_dead", "");
}

#[test]
fn others_asked_takes_the_name_of_whoever_agreed() {
    let mut site = at("short_currents");
    passes(&site, "others_asked");
    let switch = with(&site, "switch", "").with("others_use", "yes");
    site.correct(switch);
    stops(&site, "others_asked", "");
    let refused = press::judge_act(&site.fold(), &site.now(), Act::PullShortingBlade(Element::A));
    assert!(matches!(refused, Err(PressError::Refused { refusal, .. }) if refusal.reason == Reason::OthersUnsettled));
    let agreed = press::override_check(&site.fold(), "others_asked", "J. Roy", "relay blocked for the day").unwrap();
    site.draft(&[agreed]);
    assert!(site.standing().check("others_asked").unwrap().lets_pass());
    assert!(press::judge_act(&site.fold(), &site.now(), Act::PullShortingBlade(Element::A)).is_ok());
}

#[test]
fn multiplier_agrees() {
    let mut site = at("as_found");
    passes(&site, "multiplier_agrees");
    let record = with(&site, "on_record", "").with("multiplier", decimal("2400.0", ""));
    site.correct(record.clone());
    passes(&site, "multiplier_agrees");
    site.correct(record.with("multiplier", decimal("240", "")));
    stops(&site, "multiplier_agrees", "");
}

#[test]
fn no_broken_ct_keeps_hands_off() {
    for (amps, is_dead) in [("0.03", false), ("0.02", true)] {
        let mut site = at("as_found");
        site.write(vec![what("first_look", "").with("enclosure_dead", "yes").with("hum", "no")]);
        site.readings("as_found", ["2.5", amps, "2.6"]);
        if !is_dead {
            passes(&site, "no_broken_ct");
            continue;
        }
        stops(&site, "no_broken_ct", "B");
        let refused = press::judge_act(&site.fold(), &site.now(), Act::PullShortingBlade(Element::A));
        assert!(
            matches!(refused, Err(PressError::Refused { refusal, .. }) if refusal.reason == Reason::BrokenHandsOff)
        );
        assert_eq!(site.standing().shouts[0].code, "broken");
    }
    let mut site = at("as_found");
    site.write(vec![what("first_look", "").with("enclosure_dead", "yes").with("hum", "yes")]);
    stops(&site, "no_broken_ct", "CT");
}

#[test]
fn wiring_checked() {
    let mut site = at("early_reads");
    passes(&site, "wiring_checked");
    let b = with(&site, "reading", "as_found/B");
    site.correct(b.clone().with("volts", decimal("110", "V")));
    passes(&site, "wiring_checked");
    site.correct(b.clone().with("volts", decimal("100", "V")));
    stops(&site, "wiring_checked", "B");
    site.correct(b.clone().with("amp_angle", decimal("209", "°")));
    passes(&site, "wiring_checked");
    site.correct(b.with("amp_angle", decimal("211", "°")));
    stops(&site, "wiring_checked", "B");
    let arrive = with(&site, "arrive", "").with("generation", "yes");
    site.correct(arrive);
    passes(&site, "wiring_checked");
}

#[test]
fn short_proven_takes_no_override() {
    let mut site = Site::new(Kind::SeparateShortingBlade, "currents_first").until("short_currents");
    site.hands(vec![Site::act(Act::CloseShort(Element::A))]);
    let refused = press::judge_act(&site.fold(), &site.now(), Act::OpenMeterPath(Element::A));
    assert!(matches!(refused, Err(PressError::Refused { index: 0, .. })));
    happened(&mut site, Act::OpenMeterPath(Element::A));
    stops(&site, "short_proven", "A");
    assert_eq!(
        press::override_check(&site.fold(), "short_proven", "J. Roy", "all good"),
        Err(NoOverride { check: "short_proven" })
    );
    // Not even when an edited file holds one.
    site.write(vec![what("override", "short_proven").with("by", "J. Roy").with("why", "all good")]);
    stops(&site, "short_proven", "A");
    assert!(!site.standing().is_done("short_currents"));
    let proven = at("final_reads");
    passes(&proven, "short_proven");
}

#[test]
fn no_vt_shorted_takes_no_override() {
    let mut site = at("open_potentials");
    passes(&site, "no_vt_shorted");
    happened(&mut site, Act::ShortPotential(PotentialPole::B));
    stops(&site, "no_vt_shorted", "B");
    assert!(press::override_check(&site.fold(), "no_vt_shorted", "J. Roy", "no").is_err());
    assert_eq!(site.standing().shouts[0].code, "vt_shorted");
}

#[test]
fn reads_before_dark_and_start_before_load() {
    let mut site = at("close_out");
    passes(&site, "reads_before_dark");
    passes(&site, "start_before_load");
    let later = site.time();
    for place in ["outgoing/final", "incoming/start"] {
        let read = with(&site, "read_set", place).with("done_at", later.as_str());
        site.correct(read);
    }
    // The acts carry no stated time, so the order of the log decides, and a correction stands where the first entry stood.
    passes(&site, "reads_before_dark");
    let mut late = at("final_reads");
    late.step("open_potentials");
    late.step("final_reads");
    stops(&late, "reads_before_dark", "");
    let mut loaded = at("start_reads");
    loaded.step("restore_currents");
    loaded.step("start_reads");
    stops(&loaded, "start_before_load", "");
}

#[test]
fn neutral_last_and_first() {
    let mut site = at("open_potentials");
    happened(&mut site, Act::OpenPotential(PotentialPole::N));
    stops(&site, "neutral_last", "N");
    let mut site = at("close_potentials");
    passes(&site, "neutral_last");
    happened(&mut site, Act::ClosePotential(PotentialPole::A));
    happened(&mut site, Act::ClosePotential(PotentialPole::N));
    stops(&site, "neutral_first", "N");
    passes(&at("start_reads"), "neutral_first");
}

#[test]
fn live_dead_live() {
    let mut site = at("swap_meter");
    passes(&site, "live_dead_live");
    for (field, good, bad) in
        [("live_before", "60.1", "60.0"), ("highest_found", "2.9", "3.0"), ("live_after", "60.1", "60.0")]
    {
        site.correct(Site::dead_test().with(field, decimal(good, "V")));
        passes(&site, "live_dead_live");
        site.correct(Site::dead_test().with(field, decimal(bad, "V")));
        stops(&site, "live_dead_live", field);
    }
    site.correct(Site::dead_test().with("auxiliary_dead", "no"));
    stops(&site, "live_dead_live", "auxiliary_dead");
    assert!(press::judge_act(&site.fold(), &site.now(), Act::MeterOut).is_err());
}

#[test]
fn boot_as_planned() {
    let mut site = at("start_reads");
    passes(&site, "boot_as_planned");
    let boot = with(&site, "boot", "");
    site.correct(boot.clone().with("program_seen", "not_shown"));
    passes(&site, "boot_as_planned");
    site.correct(boot.clone().with("program_seen", "differs"));
    stops(&site, "boot_as_planned", "program_seen");
    site.correct(boot.with("ratios_inside", "ct"));
    stops(&site, "boot_as_planned", "ratios_inside");
}

#[test]
fn current_back() {
    for (meter, good) in [("2.38", true), ("2.37", false)] {
        let mut site = at("restore_currents");
        site.restore_one(Element::B);
        site.restore_one(Element::C);
        site.hands(vec![
            what("current_seen", "A").with("state", "shorted"),
            Site::act(Act::PushShortingBlade(Element::A)),
            Site::back(Element::A, AMPS[0], meter),
        ]);
        if good { passes(&site, "current_back") } else { stops(&site, "current_back", "A") }
    }
}

#[test]
fn as_left_agrees() {
    for (volts, amps, places) in [
        ("126.0", "2.50", ""),
        ("126.2", "2.50", "A"),
        ("120.1", "0.02", "A"),
        ("120.1", "12.0", "A, B, C"),
        ("120.1", "7.0", ""),
    ] {
        let mut site = at("as_left");
        site.readings("as_left", [amps, AMPS[1], AMPS[2]]);
        let a = with(&site, "reading", "as_left/A").with("volts", decimal(volts, "V"));
        site.correct(a);
        if places.is_empty() { passes(&site, "as_left_agrees") } else { stops(&site, "as_left_agrees", places) }
    }
}

#[test]
fn peak_reset_last() {
    let mut site = at("seals");
    passes(&site, "peak_reset_last");
    let after = with(&site, "after", "");
    site.correct(after.clone().with("reset_at", site.time().as_str()));
    passes(&site, "peak_reset_last");
    site.correct(after.clone().with("reset_at", Site::clock(1).as_str()));
    stops(&site, "peak_reset_last", "reset_at");
    site.correct(after.clone().with("peak_reset", "not_done"));
    stops(&site, "peak_reset_last", "");
    site.correct(after.with("peak_reset", "no_demand_register"));
    passes(&site, "peak_reset_last");
}

#[test]
fn seals_set() {
    let mut site = at("seals");
    assert_eq!(outcome(&site, "seals_set"), Outcome::Waits);
    site.write(vec![what("seal", "left/meter").with("state", "set").with("number", "S-9")]);
    stops(&site, "seals_set", "meter");
    site.correct(what("seal", "left/meter").with("state", "set").with("number", "S-9").with("read_back", "yes"));
    passes(&site, "seals_set");
}

#[test]
fn a_sheet_is_signed_only_once_nothing_stops() {
    let signature = || [Draft::new(what("signed", "").with("by", "R. Tran").with("effective", Site::clock(0)))];
    let shorted = Site::new(Kind::BladeShortsAsItOpens, "currents_first").until("restore_currents");
    let refused = press::judge_drafts(&shorted.fold(), &shorted.now(), &signature());
    assert!(matches!(refused, Err(DraftError::NotToSign(ref item)) if item.code == "shorted"), "{refused:?}");
    let whole = Site::new(Kind::BladeShortsAsItOpens, "currents_first").until("close_out");
    assert_eq!(press::judge_drafts(&whole.fold(), &whole.now(), &signature()), Ok(()));
}

#[test]
fn all_to_meter_takes_no_override() {
    let mut site = at("as_left");
    passes(&site, "all_to_meter");
    site.hands(vec![what("current_seen", "C").with("state", "to_meter")]);
    site.short_one(Element::C);
    stops(&site, "all_to_meter", "current.C");
    assert!(press::override_check(&site.fold(), "all_to_meter", "J. Roy", "CT dead").is_err());
}

#[test]
fn an_override_lets_pass_and_stays_in_sight() {
    let mut site = at("as_found");
    let record = with(&site, "on_record", "").with("multiplier", decimal("240", ""));
    site.correct(record);
    assert!(press::call_done(&site.fold(), &site.now(), "plates", None).is_err());
    let draft: Draft =
        press::override_check(&site.fold(), "multiplier_agrees", "J. Roy", "record is ten times too small").unwrap();
    site.draft(&[draft]);
    assert!(site.standing().is_done("plates"));
    let left = crate::left::left(&site.fold(), &site.now());
    assert!(left.iter().any(|item| item.code == "override" && item.by.as_deref() == Some("J. Roy")));
    assert!(left.iter().any(|item| item.code == "multiplier_differs"));
}
