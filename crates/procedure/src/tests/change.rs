//! A whole change, in both orders, at every kind of switch.

use super::site::Site;
use crate::budget;
use crate::left::left;
use crate::standing::{NextWhat, State};
use crate::steps::{METER_CHANGE, Order, order};
use jobfile::kinds;
use metering::isolation::{Kind, Way};

const BOTH: [&str; 2] = ["currents_first", "potentials_first"];

#[test]
fn a_whole_change_is_done_step_by_step_at_every_switch_in_both_orders() {
    for kind in Kind::ALL {
        for policy in BOTH {
            let mut site = Site::new(kind, policy);
            site.office();
            let steps = order(site.standing().order);
            for (index, step) in steps.iter().enumerate() {
                let before = site.standing();
                assert_eq!(before.now, *step, "{kind:?} {policy}");
                assert!(matches!(before.next_input, Some(ref next) if next.step == *step), "{kind:?} {policy} {step}");
                site.step(step);
                let after = site.standing();
                for done in &steps[..=index] {
                    let standing = after.step(done).unwrap();
                    let open: Vec<_> = standing.missing().collect();
                    let checks: Vec<_> = standing.checks.iter().map(|id| after.check(id)).collect();
                    assert!(after.is_done(done), "{kind:?} {policy} after {step}: {done} {open:?} {checks:?}");
                }
            }
            let end = site.standing();
            assert_eq!(end.next_input, None, "{kind:?} {policy}");
            assert_eq!(end.shouts, []);
            assert_eq!(end.dangers, []);
            assert_eq!(end.way, Some(Way::Restored));
            assert_eq!(end.replay.not_taken, []);
            assert_eq!(left(&site.fold(), &site.now()), [], "{kind:?} {policy}");
        }
    }
}

#[test]
fn the_next_input_goes_on_from_field_to_field() {
    let mut site = Site::new(Kind::SeparateShortingBlade, "currents_first").until("as_found");
    let next = |site: &Site| match site.standing().next_input.map(|next| next.what) {
        Some(NextWhat::Want(want)) => format!("{} {}", want.code, want.place),
        other => format!("{other:?}"),
    };
    assert_eq!(next(&site), "enclosure_dead ");
    site.step("as_found");
    assert_eq!(next(&site), "early_energy ");
    site.step("early_reads");
    assert_eq!(next(&site), "short A");
    site.short_one(metering::isolation::Element::A);
    assert_eq!(next(&site), "short B");
}

#[test]
fn shorts_in_are_shouted() {
    let site = Site::new(Kind::BladeShortsAsItOpens, "currents_first").until("swap_meter");
    let shouts: Vec<(&str, String)> = site.standing().shouts.into_iter().map(|one| (one.code, one.place)).collect();
    assert_eq!(shouts, [("shorted", "A, B, C".to_owned()), ("potential_up", "A, B, C, N".to_owned())]);
}

#[test]
fn a_step_passed_by_can_still_be_gone_to() {
    let mut site = Site::new(Kind::BladeShortsAsItOpens, "currents_first").until("early_reads");
    site.step("short_currents");
    let standing = site.standing();
    assert_eq!(standing.step("early_reads").unwrap().state, State::PassedBy);
    assert_eq!(standing.now, "final_reads");
    site.step("early_reads");
    assert!(site.standing().is_done("early_reads"));
}

#[test]
fn a_step_is_left_undone_with_a_reason_and_done_after_all() {
    let mut site = Site::new(Kind::BladeShortsAsItOpens, "currents_first").until("early_reads");
    let draft = crate::press::leave_open(&site.fold(), "early_reads", "display dark");
    site.draft(&[draft]);
    let standing = site.standing();
    assert_eq!(standing.step("early_reads").unwrap().state, State::LeftOpen { why: "display dark".to_owned() });
    assert_eq!(standing.now, "short_currents");
    let codes: Vec<&str> = left(&site.fold(), &site.now()).into_iter().map(|item| item.code).collect();
    assert!(codes.contains(&"step_left_open"));
    site.step("early_reads");
    assert!(site.standing().is_done("early_reads"));
    let stated = Site::clock(60);
    let draft = crate::press::call_done(&site.fold(), &site.now(), "early_reads", Some(&stated)).unwrap();
    site.draft(&[draft]);
    assert!(site.standing().is_done("early_reads"));
}

/// Counted as the file of the budget says. The most is that of the two-stage switches.
#[test]
fn the_budget_of_a_routine_change() {
    for kind in Kind::ALL {
        for policy in [Order::CurrentsFirst, Order::PotentialsFirst] {
            let routine = budget::routine(kind, policy);
            let summed: u32 = budget::by_step(kind).iter().map(|(_, step)| step.inputs()).sum();
            assert_eq!(routine.inputs(), summed);
            println!("{kind:?} {policy:?}: {routine:?} = {} inputs", routine.inputs());
            assert!(routine.step_backs <= 5, "{kind:?} {policy:?}: {routine:?}");
        }
    }
    let routine = budget::routine(Kind::BladeShortsAsItOpens, Order::CurrentsFirst);
    assert!(routine.inputs() <= 60, "{routine:?} {:?}", budget::by_step(Kind::BladeShortsAsItOpens));
}

#[test]
fn steps_are_those_of_the_vocabulary_and_ask_only_for_what_can_be_written() {
    let ids: Vec<&str> = METER_CHANGE.iter().map(|step| step.id).collect();
    let steps = kinds::find("step").unwrap();
    assert!(ids.iter().all(|id| steps.has_place(id)));
    for policy in [Order::CurrentsFirst, Order::PotentialsFirst] {
        let mut sorted = order(policy).to_vec();
        sorted.sort_unstable();
        let mut all = ids.clone();
        all.sort_unstable();
        assert_eq!(sorted, all);
    }
    for need in METER_CHANGE.iter().flat_map(|step| step.needs) {
        assert!(crate::wants::WANT_CODES.contains(&need.code), "{}", need.code);
        let (kind, place, field) = match need.what {
            crate::steps::What::Field { kind, place, field } => (kind, place.to_owned(), field),
            crate::steps::What::PerElement { kind, place, field } => (kind, format!("{place}/A"), field),
            _ => continue,
        };
        let found = kinds::find(kind).unwrap();
        assert!(found.has_place(&place) && found.field(field).is_some(), "{kind} {place} {field}");
    }
    for code in crate::wants::WANT_CODES {
        assert!(METER_CHANGE.iter().any(|step| step.needs.iter().any(|need| need.code == *code)), "{code}");
    }
    for step in METER_CHANGE {
        assert!(step.cautions.iter().all(|code| crate::caution::find(code).is_some()), "{}", step.id);
        assert!(step.checks.iter().all(|code| crate::checks::find(code).is_some()), "{}", step.id);
    }
}
