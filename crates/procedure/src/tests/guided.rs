//! A whole change by following what `work` says at every turn, at every switch, in both orders: it never leads astray.

use super::site::{AMPS, Site, what};
use crate::replay::CurrentStands;
use crate::standing::Standing;
use crate::steps::order;
use crate::work::{Work, work};
use jobfile::What;
use metering::isolation::{Element, Kind, Way};

/// More turns than any step takes.
const TURNS: usize = 40;

/// What a look at this pole finds: it stands as it stood.
fn look(standing: &Standing, name: &str) -> What {
    let (kind, pole) = name.split_once('.').unwrap();
    if kind == "potential" {
        return what("potential_seen", pole).with("state", "to_meter");
    }
    let track = standing.replay.elements.iter().find(|track| track.element == pole).unwrap();
    let state = if matches!(track.stands, CurrentStands::Shorted) { "shorted" } else { "to_meter" };
    what("current_seen", pole).with("state", state)
}

fn amps_back(standing: &Standing, element: &str) -> &'static str {
    let track = standing.replay.elements.iter().find(|track| track.element == element).unwrap();
    let index = Element::from_code(element).unwrap().index();
    if track.stands == CurrentStands::ShortedBoth { "0.2" } else { AMPS[index] }
}

fn follow(site: &mut Site, step: &str) {
    for _ in 0..TURNS {
        let standing = site.standing();
        match work(&standing, step) {
            Work::Fields => return,
            Work::Do(acts) => {
                assert!(!acts.is_empty());
                println!("{:?} {} {step}: {acts:?}", site.kind, site.order);
                site.hands(acts.into_iter().map(Site::act).collect());
            }
            Work::Prove { element, stage } => {
                let element = Element::from_code(element).unwrap();
                let meter = if stage == "short_closed" { "0.2" } else { "0" };
                site.hands(vec![Site::proof(element, stage, AMPS[element.index()], meter)]);
            }
            Work::SeeBack(code) => {
                let element = Element::from_code(code).unwrap();
                let meter = amps_back(&standing, code);
                site.hands(vec![Site::back(element, AMPS[element.index()], meter)]);
            }
            Work::Look(names) => {
                let looks = names.iter().map(|name| look(&standing, name)).collect();
                site.hands(looks);
            }
            other => panic!("{step}: {other:?}"),
        }
        // The condition of the outgoing meter is asked between out and in.
        if step == "swap_meter" && site.standing().replay.meter_is_out && site.fold().one("meter_out", "").is_none() {
            site.write(vec![what("meter_out", "").with("condition", "good")]);
        }
    }
    panic!("{step} does not end: {:?}", work(&site.standing(), step));
}

#[test]
fn following_the_work_restores_everything_at_every_switch_in_both_orders() {
    for kind in Kind::ALL {
        for policy in ["currents_first", "potentials_first"] {
            let mut site = Site::new(kind, policy);
            site.office();
            for step in order(site.standing().order) {
                let is_switch =
                    ["short_currents", "open_potentials", "swap_meter", "close_potentials", "restore_currents"];
                if is_switch.contains(step) {
                    follow(&mut site, step);
                    match *step {
                        "open_potentials" => site.write(vec![Site::dead_test()]),
                        "close_potentials" => site.boot(),
                        _ => {}
                    }
                } else {
                    site.step(step);
                }
                assert!(site.standing().is_done(step), "{kind:?} {policy} {step}: {:?}", site.standing().step(step));
            }
            assert_eq!(site.standing().way, Some(Way::Restored), "{kind:?} {policy}");
        }
    }
}

#[test]
fn nothing_is_named_before_the_switch_is_described() {
    let site = Site::new(Kind::ScrewsOrLinks, "currents_first");
    assert_eq!(work(&site.standing(), "short_currents"), Work::Describe);
}
