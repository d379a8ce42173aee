//! The close-out sheet of a whole change, the ten lines, and the bypassed energy.

use super::site::{AMPS, Site};
use crate::clocks;
use crate::close_out::{Cell, RADIO_CODES, ROW_CODES, radio_lines, sheet};
use metering::isolation::Kind;

fn finished() -> Site {
    let mut site = Site::new(Kind::BladeShortsAsItOpens, "currents_first").until("close_out");
    site.sign();
    site
}

#[test]
fn rows_stand_in_billings_order_and_every_code_is_known() {
    for site in [finished(), Site::new(Kind::None, "currents_first")] {
        let sheet = sheet(&site.fold(), &site.now());
        let places: Vec<usize> = sheet
            .rows
            .iter()
            .map(|row| ROW_CODES.iter().position(|code| *code == row.code).unwrap_or_else(|| panic!("{}", row.code)))
            .collect();
        assert!(places.is_sorted(), "{places:?}");
    }
}

#[test]
fn numbers_of_the_sheet() {
    let site = finished();
    let sheet = sheet(&site.fold(), &site.now());
    let exact = |code: &str| match sheet.cells(code).as_slice() {
        [Cell::Exact { value, unit, .. }] => format!("{value} {unit}"),
        other => panic!("{code}: {other:?}"),
    };
    // 200:5 × 7200:120 = 2400 (trade arithmetic); 2.31 × 2400 = 5544.
    assert_eq!(exact("multiplier_old"), "2400 ");
    assert_eq!(exact("multiplier_new"), "2400 ");
    assert_eq!(exact("peak_out"), "5544 kW");
    assert_eq!(exact("peak_survives"), "5544 kW");
    let differences: Vec<Cell> = sheet.cells("difference_out");
    let moved = |cell: &Cell| matches!(cell, Cell::Exact { value, .. } if value.to_string() == "3/5");
    assert!(differences.iter().any(moved), "5121.0 − 5120.4 = 0.6: {differences:?}");
    assert_eq!(sheet.cells("outgoing_number"), [Cell::Text("O-1001".to_owned())]);
    assert_eq!(sheet.cells("exception"), []);
    let codes: Vec<&str> = radio_lines(&site.fold(), &site.now()).iter().map(|line| line.code).collect();
    assert_eq!(codes, RADIO_CODES);
}

/// Own arithmetic: each element registers nothing from its short to its return; power is V × I × cos 25° × 2400.
#[test]
fn bypassed_energy_is_power_times_each_elements_own_time() {
    let site = finished();
    let bypassed = clocks::bypassed(&site.fold(), &site.now());
    let energy = bypassed.energy.unwrap();
    assert_eq!(bypassed.clocks.len(), 3);
    let mut expected_kwh = 0.0;
    for (clock, amps) in bypassed.clocks.iter().zip(AMPS) {
        assert!(clock.until.is_some() && !clock.clocks_disagree);
        let amps: f64 = amps.parse().unwrap();
        let watts = 120.1 * amps * 25.0_f64.to_radians().cos() * 2400.0;
        expected_kwh += watts * clock.lasted_ms as f64 / 3.6e9;
    }
    assert!((energy.kwh - expected_kwh).abs() < 1e-6 * expected_kwh, "{} {expected_kwh}", energy.kwh);
    assert!(energy.least_kwh <= energy.kwh && energy.kwh <= energy.most_kwh);
    assert_eq!(energy.workings.len(), 3);
}

#[test]
fn the_clock_runs_until_the_last_is_restored() {
    let site = Site::new(Kind::BladeShortsAsItOpens, "currents_first").until("restore_currents");
    let running = clocks::bypassed(&site.fold(), &site.now());
    assert_eq!(running.energy, Err(clocks::Missing::StillRunning));
    assert!(running.clocks.iter().all(|clock| clock.until.is_none() && clock.lasted_ms > 300_000));
    let untouched = Site::new(Kind::BladeShortsAsItOpens, "currents_first").until("short_currents");
    let none = clocks::bypassed(&untouched.fold(), &untouched.now());
    assert_eq!(none.energy, Err(clocks::Missing::NothingBypassed));
}

#[test]
fn potentials_first_starts_the_clock_at_the_potential() {
    let mut site = Site::new(Kind::BladeShortsAsItOpens, "potentials_first").until("open_potentials");
    site.step("open_potentials");
    let up = site.standing().replay.potentials[0].up_at.clone().unwrap();
    site.pass(100);
    site.step("short_currents");
    let clock = clocks::clocks(&site.fold(), &site.now()).remove(0);
    assert_eq!(clock.from, up);
}
