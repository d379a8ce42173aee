//! Random logs: nothing panics, and no job is closed out with a short in.

use super::site::{Site, decimal, what};
use crate::close_out::{radio_lines, sheet};
use crate::left::left;
use crate::press;
use crate::replay::{CurrentStands, PotentialStands};
use jobfile::What;
use metering::isolation::{Act, DangerKind, Kind};
use proptest::prelude::*;

fn any_act() -> impl Strategy<Value = What> {
    let acts: Vec<Act> = Act::all().collect();
    (prop::sample::select(acts), any::<bool>()).prop_map(|(act, planned)| {
        let accepted = if planned { "planned" } else { "happened" };
        Site::act(act).with("accepted", accepted)
    })
}

fn any_look() -> impl Strategy<Value = What> {
    let states = prop::sample::select(vec!["to_meter", "shorted", "open", "unknown"]);
    (prop::sample::select(vec!["A", "B", "C", "N"]), states, any::<bool>()).prop_map(|(pole, state, current)| {
        let kind = if current && pole != "N" { "current_seen" } else { "potential_seen" };
        what(kind, pole).with("state", state)
    })
}

fn any_reading() -> impl Strategy<Value = What> {
    let amps = prop::sample::select(vec!["0", "0.02", "0.2", "2.4", "2.5", "99"]);
    let stage = prop::sample::select(vec!["short_closed", "meter_side_open", "one_pull"]);
    (prop::sample::select(vec!["A", "B", "C"]), amps.clone(), amps, stage, any::<bool>()).prop_map(
        |(element, ct, meter, stage, proof)| {
            let kind = if proof { "short_proof" } else { "current_back" };
            let entry = what(kind, element).with("ct_side", decimal(ct, "A")).with("meter_side", decimal(meter, "A"));
            if proof { entry.with("stage", stage).with("before", decimal("2.5", "A")) } else { entry }
        },
    )
}

fn any_entry() -> impl Strategy<Value = What> {
    prop_oneof![3 => any_act(), 1 => any_look(), 1 => any_reading()]
}

fn check(site: &Site) -> Result<(), TestCaseError> {
    let standing = site.standing();
    let short_in = standing.replay.elements.iter().any(|track| {
        let stands = track.was.unwrap_or(track.stands);
        matches!(stands, CurrentStands::Shorted | CurrentStands::ShortedBoth | CurrentStands::Broken)
    });
    let potential = standing
        .replay
        .potentials
        .iter()
        .any(|track| matches!(track.was.unwrap_or(track.stands), PotentialStands::Up | PotentialStands::Shorted));
    if short_in || potential || standing.replay.meter_is_out {
        prop_assert!(!standing.is_done("close_out"));
        let left = left(&site.fold(), &site.now());
        prop_assert!(left.iter().any(|item| item.weight >= crate::left::Weight::Stops));
    }
    prop_assert_eq!(standing.steps.len(), 15);
    prop_assert_eq!(radio_lines(&site.fold(), &site.now()).len(), 10);
    prop_assert!(!sheet(&site.fold(), &site.now()).rows.is_empty());
    Ok(())
}

fn finished(kind: Kind, policy: &'static str) -> Site {
    let mut site = Site::new(kind, policy).until("close_out");
    site.sign();
    site
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(32) })]

    #[test]
    fn a_signed_job_is_no_longer_closed_out_once_a_short_goes_in(
        kind in prop::sample::select(Kind::ALL.to_vec()),
        potentials_first in any::<bool>(),
        first in prop::collection::vec(any_entry(), 1..8),
        second in prop::collection::vec(any_entry(), 0..8),
    ) {
        let policy = if potentials_first { "potentials_first" } else { "currents_first" };
        let mut site = finished(kind, policy);
        prop_assert!(site.standing().is_done("close_out"));
        site.write(first);
        check(&site)?;
        site.restart();
        check(&site)?;
        if !second.is_empty() {
            site.write(second);
            check(&site)?;
        }
    }

    #[test]
    fn what_the_switch_accepts_never_breaks_a_circuit(
        kind in prop::sample::select(Kind::ALL.to_vec()),
        entries in prop::collection::vec(any_entry(), 1..24),
    ) {
        let mut site = Site::new(kind, "currents_first").until("short_currents");
        for entry in entries {
            let draft = jobfile::Draft::new(entry.clone());
            let is_planned = !entry.fields.is("accepted", "happened");
            if entry.kind == "act" && is_planned && press::judge_drafts(&site.fold(), &site.now(), std::slice::from_ref(&draft)).is_ok() {
                site.draft(&[draft]);
            }
        }
        let standing = site.standing();
        // With the supply off a circuit may be parted: that is no danger.
        prop_assert!(standing.replay.elements.iter().all(|track| !track.breached));
        let broken = DangerKind::CtBroken;
        prop_assert!(standing.dangers.iter().all(|danger| danger.kind != broken));
        check(&site)?;
    }
}
