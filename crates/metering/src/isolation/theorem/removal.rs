//! Each guard is needed: without it the proof fails, by the rule that the guard is there for.

use super::safety::{Breach, first_violation};
use super::*;
use crate::isolation::guards::{Guard, Guards};

/// The guard, the rule that falls without it, and a kind of switch that shows it.
const GUARDS: [(Guard, Breach, Kind); 19] = [
    (Guard::NeverShortPotential, Breach::VtShorted, Kind::SeparateShortingBlade),
    (Guard::RestoredBeforeSupply, Breach::BrokenCtEnergised, Kind::SeparateShortingBlade),
    (Guard::BrokenUntouched, Breach::HandOnBrokenCt, Kind::SeparateShortingBlade),
    (Guard::UnknownUntouched, Breach::HandOnBrokenCt, Kind::SeparateShortingBlade),
    (Guard::ReadFirst, Breach::HandOnBrokenCt, Kind::SeparateShortingBlade),
    (Guard::PotentialUntouched, Breach::HandOnShortedVt, Kind::SeparateShortingBlade),
    (Guard::ShortProven, Breach::CtOpened, Kind::ScrewsOrLinks),
    (Guard::ShortSound, Breach::CtOpened, Kind::BladeShortsAsItOpens),
    (Guard::ShortSound, Breach::CtOpened, Kind::PlugInBlock),
    (Guard::PathProven, Breach::CtOpened, Kind::None),
    (Guard::PathSound, Breach::CtOpened, Kind::BladeShortsAsItOpens),
    (Guard::MeterInForCurrents, Breach::CtOpened, Kind::BladeShortsAsItOpens),
    (Guard::MeterInForPotentials, Breach::EmptyTerminalsLive, Kind::SeparateShortingBlade),
    (Guard::CurrentsShorted, Breach::CtOpened, Kind::None),
    (Guard::TerminalsDead, Breach::MeterMovedLive, Kind::SeparateShortingBlade),
    (Guard::OneAtATime, Breach::HandBesideBrokenCt, Kind::SeparateShortingBlade),
    (Guard::NeutralOrder, Breach::NeutralFloats, Kind::SeparateShortingBlade),
    (Guard::OutOrder, Breach::OrderBroken, Kind::SeparateShortingBlade),
    (Guard::BackOrder, Breach::OrderBroken, Kind::SeparateShortingBlade),
];

/// Whether this rule falls on a switch of this kind once the guard is gone.
fn falls_without(guard: Guard, rule: Breach, kind: Kind) -> bool {
    let neutral_pole = guard == Guard::NeutralOrder; // fewer poles, fewer states
    let mut switches =
        switches().into_iter().filter(|switch| switch.kind == kind && switch.neutral_pole == neutral_pole);
    switches.any(|switch| first_violation(&switch, Guards::without(guard), Looks::Trusted, Some(rule)).is_err())
}

#[test]
fn without_any_one_guard_the_proof_fails() {
    let found = on_two_threads(&GUARDS, |(guard, rule, kind)| (guard, rule, kind, falls_without(guard, rule, kind)));
    for (guard, rule, kind, falls) in found {
        assert!(falls, "without {guard:?} nothing breaks {rule:?} on {kind:?}");
    }
}

#[test]
fn without_the_guard_of_others_use_shorts_come_on_unasked() {
    let switch = switches().into_iter().find(|switch| switch.kind == Kind::SeparateShortingBlade).unwrap();
    let unsettled = Switch { others_use: OthersUse::Unsettled, ..switch };
    let without = Guards::without(Guard::OthersSettled);
    assert!(first_violation(&unsettled, without, Looks::Trusted, Some(Breach::OthersIgnored)).is_err());
}

#[test]
fn every_guard_stands_in_the_proof() {
    for guard in Guard::ALL {
        let named = GUARDS.iter().any(|(known, ..)| *known == guard);
        assert!(named || guard == Guard::OthersSettled, "{guard:?} is not shown to be needed");
    }
}
