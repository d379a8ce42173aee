//! Each guard is needed: without it the proof fails, by the rule that the guard is there for.

use super::safety::{Broken, first_violation};
use super::*;
use crate::isolation::guards::{Guard, Guards};

/// The guard, the rule that falls without it, and a kind of switch that shows it.
const GUARDS: [(Guard, Broken, Kind); 19] = [
    (Guard::NeverShortPotential, Broken::VtShorted, Kind::SeparateShortingBlade),
    (Guard::RestoredBeforeSupply, Broken::BrokenCtEnergised, Kind::SeparateShortingBlade),
    (Guard::BrokenUntouched, Broken::HandOnBrokenCt, Kind::SeparateShortingBlade),
    (Guard::UnknownUntouched, Broken::HandOnBrokenCt, Kind::SeparateShortingBlade),
    (Guard::ReadFirst, Broken::HandOnBrokenCt, Kind::SeparateShortingBlade),
    (Guard::PotentialUntouched, Broken::HandOnShortedVt, Kind::SeparateShortingBlade),
    (Guard::ShortProven, Broken::CtOpened, Kind::ScrewsOrLinks),
    (Guard::ShortSound, Broken::CtOpened, Kind::BladeShortsAsItOpens),
    (Guard::ShortSound, Broken::CtOpened, Kind::PlugInBlock),
    (Guard::PathProven, Broken::CtOpened, Kind::None),
    (Guard::PathSound, Broken::CtOpened, Kind::BladeShortsAsItOpens),
    (Guard::MeterInForCurrents, Broken::CtOpened, Kind::BladeShortsAsItOpens),
    (Guard::MeterInForPotentials, Broken::EmptyTerminalsLive, Kind::SeparateShortingBlade),
    (Guard::CurrentsShorted, Broken::CtOpened, Kind::None),
    (Guard::TerminalsDead, Broken::MeterMovedLive, Kind::SeparateShortingBlade),
    (Guard::OneAtATime, Broken::HandBesideBrokenCt, Kind::SeparateShortingBlade),
    (Guard::NeutralOrder, Broken::NeutralFloats, Kind::SeparateShortingBlade),
    (Guard::OutOrder, Broken::OrderBroken, Kind::SeparateShortingBlade),
    (Guard::BackOrder, Broken::OrderBroken, Kind::SeparateShortingBlade),
];

/// Whether this rule falls on a switch of this kind once the guard is gone.
fn falls_without(guard: Guard, rule: Broken, kind: Kind) -> bool {
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
    assert!(first_violation(&unsettled, without, Looks::Trusted, Some(Broken::OthersIgnored)).is_err());
}

#[test]
fn every_guard_stands_in_the_proof() {
    for guard in Guard::ALL {
        let named = GUARDS.iter().any(|(known, ..)| *known == guard);
        assert!(named || guard == Guard::OthersSettled, "{guard:?} is not shown to be needed");
    }
}
