//! The program starts again in the middle; entries are corrected; things happen that were never safe.

use super::site::{AMPS, Site, decimal, what};
use crate::left::left;
use crate::press::{self, Done, PressError};
use crate::replay::{CurrentStands, How};
use jobfile::Draft;
use metering::isolation::{Act, Element, Kind, Reason, Way};

fn codes(site: &Site) -> Vec<&'static str> {
    left(&site.fold(), &site.now()).into_iter().map(|item| item.code).collect()
}

fn shouts(site: &Site) -> Vec<(&'static str, String)> {
    site.standing().shouts.into_iter().map(|shout| (shout.code, shout.place)).collect()
}

#[test]
fn after_a_restart_every_pole_is_looked_at_again_and_the_work_goes_on() {
    for kind in Kind::ALL {
        let mut site = Site::new(kind, "currents_first").until("open_potentials");
        let (before, shorted) = (shouts(&site), if kind == Kind::None { None } else { Some("shorted") });
        site.restart();
        let standing = site.standing();
        assert!(standing.replay.started_again);
        assert!(standing.replay.elements.iter().all(|track| track.stands == CurrentStands::LookAgain), "{kind:?}");
        // What was shouted before is shouted still.
        assert!(before.iter().all(|shout| shouts(&site).contains(shout)), "{kind:?}");
        assert!(shouts(&site).iter().any(|(code, _)| *code == "look_again"));
        assert!(standing.is_done("short_currents"));
        let open = Act::OpenPotential(metering::isolation::PotentialPole::A);
        let refused = press::judge_act(&site.fold(), &site.now(), open);
        assert!(
            matches!(refused, Err(PressError::Refused { refusal, .. }) if refusal.reason == Reason::UnknownLookFirst)
        );
        // Both closed cannot be written down as seen, so a site without a switch is taken on from an outage instead.
        let Some(state) = shorted else { continue };
        site.look_all(state, "to_meter");
        let stage = if kind.is_one_motion() { "one_pull" } else { "meter_side_open" };
        site.hands(Element::ALL.map(|element| Site::proof(element, stage, AMPS[element.index()], "0")).to_vec());
        assert!(!site.standing().replay.started_again);
        site.from("open_potentials");
        let end = site.standing();
        assert_eq!(end.next_input, None, "{kind:?}");
        assert_eq!(codes(&site), [] as [&str; 0], "{kind:?}");
    }
}

#[test]
fn a_restart_after_the_work_on_the_switch_asks_for_nothing() {
    let mut site = Site::new(Kind::ScrewsOrLinks, "potentials_first").until("seals");
    site.restart();
    assert_eq!(shouts(&site), []);
    site.from("seals");
    assert_eq!(site.standing().next_input, None);
}

#[test]
fn a_correction_stands_where_the_first_entry_stood() {
    let mut site = Site::new(Kind::SeparateShortingBlade, "currents_first").until("close_out");
    site.correct(Site::dead_test().with("highest_found", decimal("0.4", "V")));
    let first = site.fold().live("short_proof", "A")[0].hash;
    let corrected = Site::proof(Element::A, "short_closed", AMPS[0], "0.3");
    site.draft(&[Draft::correcting(corrected, first, "misread")]);
    site.sign();
    let end = site.standing();
    assert!(end.replay.happenings.iter().all(|done| done.how == How::Accepted));
    assert_eq!(end.next_input, None);
    assert_eq!(codes(&site), [] as [&str; 0]);
}

#[test]
fn a_correction_that_takes_the_proof_away_is_told() {
    let mut site = Site::new(Kind::SeparateShortingBlade, "currents_first").until("close_out");
    let first = site.fold().live("short_proof", "A")[0].hash;
    let corrected = Site::proof(Element::A, "short_closed", AMPS[0], AMPS[0]);
    site.draft(&[Draft::correcting(corrected, first, "read on the wrong side")]);
    let standing = site.standing();
    assert!(matches!(
        standing.replay.happenings.iter().find(|done| done.act == "open_meter_path").unwrap().how,
        How::RefusedPlan(_)
    ));
    assert!(codes(&site).contains(&"act_refused"));
    assert!(!standing.check("short_proven").unwrap().lets_pass());
    site.sign();
    assert!(!site.standing().is_done("close_out"));
}

#[test]
fn what_happened_breaks_the_circuit_and_shows_the_way_back() {
    let mut site = Site::new(Kind::SeparateShortingBlade, "currents_first").until("short_currents");
    let slipped = Done { act: Act::OpenMeterPath(Element::B), done_at: None };
    let draft = press::happened(&slipped, "wrong blade");
    site.draft(&[draft]);
    let standing = site.standing();
    assert_eq!(standing.replay.elements[1].stands, CurrentStands::Broken);
    assert_eq!(standing.shouts[0].code, "broken");
    assert!(!standing.dangers.is_empty());
    assert!(matches!(standing.way, Some(Way::StopDeEnergise(_))));
    assert_eq!(codes(&site)[0], "broken_ct");
    // The outage makes it safe; rung through and closed, the site can come back.
    site.hands(vec![Site::act(Act::DeEnergise), Site::act(Act::CloseMeterPath(Element::B))]);
    assert!(site.standing().dangers.is_empty());
}

#[test]
fn an_edited_file_does_not_pass_for_a_plan() {
    let mut site = Site::new(Kind::BladeShortsAsItOpens, "currents_first").until("early_reads");
    site.write(vec![Site::act(Act::MeterOut)]);
    let standing = site.standing();
    assert!(matches!(standing.replay.happenings[0].how, How::RefusedPlan(_)));
    assert!(standing.replay.elements.iter().all(|track| track.breached));
    assert!(codes(&site).contains(&"act_refused"));
}

#[test]
fn one_step_back_writes_several_acts_with_one_stated_time() {
    let mut site = Site::new(Kind::BladeShortsAsItOpens, "currents_first").until("open_potentials");
    let stated = site.time();
    let poles = metering::isolation::PotentialPole::ALL.map(Act::OpenPotential);
    let row = press::in_order(&poles, Some(&stated));
    let drafts = press::judge_acts(&site.fold(), &site.now(), &row).unwrap();
    assert_eq!(drafts.len(), 4);
    site.pass(600);
    site.draft(&drafts);
    let up = site.standing().replay.potentials[0].up_at.clone().unwrap();
    assert!(up.stated);
    assert!(up.at_ms < site.now().at_ms - 600_000);
    // The neutral first is refused at its own place in the row, and nothing is written.
    let mut other = Site::new(Kind::BladeShortsAsItOpens, "currents_first").until("open_potentials");
    let wrong = press::in_order(&[poles[0], poles[3]], None);
    let refused = press::judge_acts(&other.fold(), &other.now(), &wrong);
    assert!(matches!(refused, Err(PressError::Refused { index: 1, .. })), "{refused:?}");
    // "All" in one entry stands for the poles in the right order.
    other.write(vec![what("act", "").with("act", "open_potential").with("pole", "all").with("accepted", "planned")]);
    assert!(other.standing().replay.happenings.iter().all(|done| done.how == How::Accepted));
    assert_eq!(other.standing().replay.happenings.iter().filter(|done| done.act == "open_potential").count(), 4);
}

#[test]
fn nothing_is_judged_before_the_switch_is_described() {
    let site = Site::new(Kind::BladeShortsAsItOpens, "currents_first").until("plates");
    let refused = press::judge_act(&site.fold(), &site.now(), Act::PullShortingBlade(Element::A));
    assert_eq!(refused, Err(PressError::SwitchUnknown));
    assert_eq!(site.standing().dangers, []);
    assert_eq!(site.standing().way, None);
}

#[test]
fn a_closing_act_out_of_order_is_no_breach_of_a_circuit() {
    let mut site = Site::new(Kind::SeparateShortingBlade, "potentials_first").until("open_potentials");
    let draft = press::happened(&Done { act: Act::CloseShort(Element::A), done_at: None }, "habit");
    site.draft(&[draft]);
    let standing = site.standing();
    assert!(!standing.replay.elements[0].breached);
    assert!(matches!(standing.replay.happenings[0].how, How::Happened(_)));
    assert_eq!(standing.replay.elements[0].stands, CurrentStands::Unknown);
}
