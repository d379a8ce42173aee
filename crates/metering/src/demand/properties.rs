//! Laws that hold for every profile: energy is conserved, a rolling peak is no less than a block peak, a cut changes nothing.

use super::capacity::{PeakLoad, Recorded, loadings};
use super::change::{MeterPeak, RegistrationAt, adjustment, period_peak, rates_total};
use super::load::{coincident, load_duration_w, time_at_or_above_s};
use super::local::{DAY_S, Date, Instant, Zone};
use super::maximum::{Registers, Resets, cumulative_demand, ratchet, resets};
use super::part::add;
use super::profile::{Amount, Profile, ProfileError, Quality};
use super::thermal::Thermal;
use super::window::{Incomplete, Timer, TimerError, peak, peak_of, peaks_by_period, windows};
use crate::decimal::Decimal;
use crate::factor::Factor;
use crate::quantity::{Amps, VoltAmperes, Volts, Watts};
use crate::rational::Rational;
use crate::register::Register;
use proptest::prelude::*;

fn near(found: f64, wanted: f64) -> bool {
    (found - wanted).abs() <= 1e-9 * wanted.abs().max(1.0)
}

fn decimal(text: &str) -> Decimal {
    Decimal::parse(text).unwrap()
}

/// Kilowatt-hours in intervals of five minutes.
fn five_minutes(kwh: &[f64]) -> Profile {
    Profile::of(0, 300, kwh.iter().map(|kwh| kwh * 1000.0).collect()).unwrap()
}

/// Source: derived by arithmetic: 8, 9, 12, 15, 18, 20, 17, 10, 9 kWh in 5 min.
#[test]
fn block_and_rolling_of_a_short_load() {
    let profile = five_minutes(&[8.0, 9.0, 12.0, 15.0, 18.0, 20.0, 17.0, 10.0, 9.0]);
    let demands = |timer: Timer| -> Vec<f64> {
        let whole = windows(&profile, &timer).unwrap().into_iter().filter(|window| window.is_whole());
        whole.map(|window| window.demand_w(Incomplete::LeftOut).unwrap() / 1000.0).collect()
    };
    assert_eq!(demands(Timer::block(900, 0)), [116.0, 212.0, 144.0]);
    assert_eq!(demands(Timer::rolling(900, 300, 0)), [116.0, 144.0, 180.0, 212.0, 220.0, 188.0, 144.0]);
}

/// Source: derived from `1 − 10^(−t ÷ T)`, T = 15 min: 53.584, 78.456, 90, 95.358, 99, 99.9 % after 5 to 45 min.
#[test]
fn thermal_response_of_a_step() {
    let meter = Thermal::new(900.0).unwrap();
    for (minutes, wanted) in [(5.0, 53.584), (10.0, 78.456), (15.0, 90.0), (20.0, 95.358), (30.0, 99.0), (45.0, 99.9)] {
        assert!((meter.after(0.0, 100.0, minutes * 60.0) - wanted).abs() < 5e-4);
    }
    let on_and_off = meter.after(meter.after(0.0, 100.0, 600.0), 0.0, 300.0);
    assert!((on_and_off - 36.416).abs() < 5e-4);
    assert!((meter.time_constant_s() / 60.0 - 6.514_417_228_55).abs() < 1e-9);
}

#[test]
fn what_does_not_fit_is_refused() {
    let mut profile = Profile::new(0, 60).unwrap();
    let push = |profile: &mut Profile, at| profile.push(at, Some(Amount::Average(1.0)), Quality::Counted);
    push(&mut profile, 60).unwrap();
    assert_eq!(push(&mut profile, 60), Err(ProfileError::Backwards { start_s: 60, end_s: 120 }));
    assert!(matches!(push(&mut profile, 130), Err(ProfileError::OffGrid { .. })));
    assert!(matches!(profile.push(120, Some(Amount::Energy(f64::NAN)), Quality::Counted), Err(ProfileError::Size(_))));
    assert!(matches!(push(&mut profile, i64::MAX), Err(ProfileError::Size(_))));
    assert!(Profile::new(0, 0).is_err() && Profile::new(i64::MIN, 60).is_err());
    assert!(Profile::of(0, 60, vec![1.0, f64::INFINITY]).is_err());
    assert_eq!((profile.present(), profile.missing(), profile.gaps().len()), (1, 1, 1));
    let refused = |timer: Timer| windows(&profile, &timer).unwrap_err();
    assert!(matches!(refused(Timer::block(90, 0)), TimerError::NotWhole { .. }));
    assert!(matches!(refused(Timer::rolling(900, 0, 0)), TimerError::NotWhole { .. }));
    assert!(matches!(refused(Timer::block(120, 30)), TimerError::OffGrid { by_s: 30 }));
    assert!(matches!(refused(Timer::rolling(60 * 1441, 60, 0)), TimerError::TooManyParts { parts: 1441 }));
    assert!(Thermal::new(0.0).is_err() && Thermal::new(f64::NAN).is_err());
}

/// Source: days of the change in 2025 as published by the law of each place; 2025-03-09, 11-02 (United States) and
/// 2025-03-30, 10-26 (European Union).
#[test]
fn days_of_23_and_25_hours() {
    let hours = |zone: &str, year, month, day| {
        Zone::named(zone).unwrap().day_length_s(Date::new(year, month, day).unwrap().days()) / 3600
    };
    for (zone, short, long) in [
        ("America/New_York", (3, 9), (11, 2)),
        ("Europe/Berlin", (3, 30), (10, 26)),
        ("Australia/Sydney", (10, 5), (4, 6)),
        ("Pacific/Auckland", (9, 28), (4, 6)),
    ] {
        assert_eq!(hours(zone, 2025, short.0, short.1), 23, "{zone}");
        assert_eq!(hours(zone, 2025, long.0, long.1), 25, "{zone}");
        assert_eq!(hours(zone, 2025, 6, 1), 24, "{zone}");
    }
    let zone = Zone::named("America/New_York").unwrap();
    let wall =
        |day, hour: i64| Date::new(2025, if day == 9 { 3 } else { 11 }, day).unwrap().days() * DAY_S + hour * 3600;
    assert_eq!(zone.instant(wall(9, 2)), Instant::Never);
    assert!(matches!(zone.instant(wall(2, 1)), Instant::Twice(first, second) if second - first == 3600));
    assert_eq!(Date::new(2025, 2, 29), None);
    assert!(Date::new(2024, 2, 29).is_some() && Date::new(2100, 2, 29).is_none());
}

#[test]
fn peaks_of_a_month_of_days() {
    let zone = Zone::named("America/New_York").unwrap();
    let start_s = zone.day_start_s(Date::new(2025, 11, 1).unwrap().days());
    let energies = (0..96 * 3 + 4).map(|at| f64::from(at % 97)).collect();
    let profile = Profile::of(start_s, 900, energies).unwrap();
    let bounds = zone.days(profile.start_s(), profile.end_s(), 40);
    assert_eq!(bounds.iter().zip(&bounds[1..]).map(|(from, to)| (to - from) / 3600).collect::<Vec<_>>(), [24, 25, 24]);
    let found = peaks_by_period(&windows(&profile, &Timer::block(900, 0)).unwrap(), &bounds, Incomplete::LeftOut);
    assert!(
        found.iter().all(|peak| near(peak.unwrap().demand_w, 96.0 * 4.0) || near(peak.unwrap().demand_w, 95.0 * 4.0))
    );
}

/// Source: own arithmetic; 345.6 → 358.2 at 80 is 1008 kW.
#[test]
fn cumulative_registers_add_every_reset() {
    let built = Register::new(4, 1).unwrap();
    let mut kept = Registers::new(built, Decimal::ZERO, decimal("345.6"), 98).unwrap();
    for demand in ["3.2", "12.6", "9"] {
        kept.take(decimal(demand)).unwrap();
    }
    assert_eq!(kept.continuous().unwrap(), decimal("358.2"));
    assert_eq!(kept.reset(decimal("1")).unwrap(), decimal("12.6"));
    assert_eq!((kept.cumulative(), kept.maximum(), kept.resets()), (decimal("358.2"), decimal("1"), 99));
    let (kw, _) = cumulative_demand(built, decimal("345.6"), decimal("358.2"), Rational::whole(80).into()).unwrap();
    assert_eq!(kw.to_string(), "1008");
    assert!(kept.take(decimal("1000")).is_err());
    assert_eq!(resets(98, 1, 3, 2), Resets::AsWanted);
    assert_eq!(resets(7, 7, 1, 2), Resets::Fewer { by: 1 });
    assert_eq!(resets(7, 9, 1, 2), Resets::More { by: 1 });
    assert_eq!(ratchet(500.0, &[512.0, 400.0], 0.8).rests_on, None);
    assert_eq!(ratchet(388.0, &[400.0, 512.0], 0.8).rests_on, Some(1));
}

/// Source: own arithmetic: 250 kW, 480 V, 0.9 is 334.1 A: 83.5 % of 400 A, 27.8 % of 400 A with a rating factor of 3.
#[test]
fn a_peak_against_what_carries_it() {
    let peak = PeakLoad { demand: Watts::new(250_000.0).unwrap(), power_factor: 0.9, unbalance: 1.0 };
    let recorded = Recorded {
        line_to_line: Volts::new(480.0).unwrap(),
        ct_primary: Amps::new(400.0).ok(),
        ct_rating_factor: 3.0,
        ct_ratio: Some(80.0),
        meter_class: Amps::new(20.0).ok(),
        conductor: None,
        transformer: VoltAmperes::new(250_000.0).ok(),
        vt: None,
    };
    let found = loadings(&peak, &recorded).unwrap();
    let percent: Vec<f64> = found.iter().map(|one| (one.share() * 1000.0).round() / 10.0).collect();
    assert_eq!(percent, [27.8, 20.9, 111.1]);
    assert!(found[2].margin() < 0.0);
    assert!(loadings(&PeakLoad { power_factor: 0.0, ..peak }, &recorded).is_err());
    assert!(loadings(&peak, &Recorded { ct_ratio: Some(0.0), ..recorded }).is_err());
}

/// Source: own arithmetic: 45 000 kWh at a registration of 1/3 lack 90 000; of 2/3, 22 500.
#[test]
fn a_period_across_a_change() {
    let at = |power_factor, registration| RegistrationAt { power_factor, registration };
    let found = adjustment(45_000.0, 0.0, "kWh", at(0.9, 1.0 / 3.0), &[at(0.8, 2.0 / 3.0)]).unwrap();
    assert!(
        near(found.amount.likely, 90_000.0) && near(found.amount.least, 22_500.0) && near(found.amount.most, 90_000.0)
    );
    let over = adjustment(100.0, 1.0, "kW", at(0.9, 1.25), &[]).unwrap();
    assert!(near(over.amount.likely, -20.0) && over.amount.least < -20.0 && over.amount.most > -20.0);
    assert_eq!(adjustment(1.0, 0.0, "kWh", at(0.9, 0.0), &[]).unwrap_err().code(), "period.no_factor");
    assert_eq!(adjustment(1.0, 0.0, "kWh", at(0.9, 1.0), &[at(0.5, -0.1)]).unwrap_err().code(), "period.no_factor");
    let meter = |reading: &str, multiplier| MeterPeak {
        reading: decimal(reading),
        multiplier: Factor::from(Rational::whole(multiplier)),
    };
    let peak = period_peak(&[meter("3.47", 320), meter("4.1", 240)]).unwrap();
    assert_eq!((peak.meter, peak.demand_kw.to_string().as_str(), peak.working.parts.len()), (0, "5552/5", 2));
    assert!(period_peak(&[]).is_err());
    let rates = rates_total(decimal("779"), &[decimal("300"), decimal("478")]).unwrap();
    assert!(rates.agrees && rates.off == decimal("1"));
    assert!(!rates_total(decimal("779"), &[decimal("300"), decimal("400")]).unwrap().agrees);
}

/// A profile of 1-minute values with gaps, and where it begins.
fn any_profile() -> impl Strategy<Value = Profile> {
    let value = prop_oneof![4 => (0..4000_i32).prop_map(|value| Some(f64::from(value) / 8.0)), 1 => Just(None)];
    (-50_i64..50, prop::collection::vec(value, 1..120)).prop_map(|(start, values)| {
        let mut profile = Profile::new(start * 60, 60).unwrap();
        for (at, value) in values.into_iter().enumerate() {
            let quality = if at % 7 == 3 { Quality::Estimated } else { Quality::Counted };
            profile.push((start + at as i64) * 60, value.map(Amount::Energy), quality).unwrap();
        }
        profile
    })
}

proptest! {
    /// Every value is counted in exactly one block, whatever the timer: energy is conserved, to the last bit for these
    /// eighths of a watt-hour.
    #[test]
    fn regrouping_conserves_energy(profile in any_profile(), minutes in 1_u32..40, anchor in -100_i64..100) {
        let blocks = windows(&profile, &Timer::block(minutes * 60, anchor * 60)).unwrap();
        let (energy, counted) = blocks.iter().fold((0.0, 0), |(energy, counted), block| (energy + block.energy_wh, counted + block.counted_s));
        prop_assert_eq!(energy.to_bits(), profile.energy_wh().to_bits());
        prop_assert_eq!(counted as usize, profile.present() * 60);
        prop_assert!(blocks.iter().zip(blocks.iter().skip(1)).all(|(one, other)| one.end_s() <= other.start_s));
        let rolling = windows(&profile, &Timer::rolling(minutes * 60, 60, anchor * 60)).unwrap();
        let all = rolling.iter().fold(0.0, |all, window| all + window.energy_wh);
        prop_assert_eq!(all.to_bits(), (profile.energy_wh() * f64::from(minutes)).to_bits());
    }

    #[test]
    fn a_rolling_peak_is_no_less_than_a_block_peak(profile in any_profile(), sub in 1_u32..4, parts in 1_u32..20, anchor in -100_i64..100) {
        let (every_s, length_s) = (sub * 60, sub * parts * 60);
        for policy in Incomplete::ALL {
            let block = peak(&profile, &Timer::block(length_s, anchor * 60), policy).unwrap();
            let rolling = peak(&profile, &Timer::rolling(length_s, every_s, anchor * 60), policy).unwrap();
            if let Some(block) = block {
                prop_assert!(rolling.unwrap().demand_w >= block.demand_w);
            }
        }
    }

    /// The quick way over long arrays finds what the way over all windows finds, at the same time.
    #[test]
    fn the_quick_peak_is_the_peak_of_all_windows(profile in any_profile(), sub in 1_u32..4, parts in 1_u32..20, anchor in -100_i64..100) {
        for timer in [Timer::rolling(sub * parts * 60, sub * 60, anchor * 60), Timer::block(parts * 60, anchor * 60)] {
            let all = windows(&profile, &timer).unwrap();
            prop_assert_eq!(peak(&profile, &timer, Incomplete::LeftOut).unwrap(), peak_of(&all, Incomplete::LeftOut));
            for window in &all {
                let part = profile.part(window.start_s, window.end_s());
                prop_assert_eq!(part.energy_wh().to_bits(), window.energy_wh.to_bits());
                prop_assert_eq!(part.present() as u32 * 60, window.counted_s);
                prop_assert!(window.counted_s > 0);
            }
        }
    }

    #[test]
    fn thermal_demand_stays_between_the_loads(profile in any_profile(), response in 1.0..4000.0_f64, start in 0.0..1.0_f64) {
        prop_assume!(profile.present() > 0);
        let loads = load_duration_w(&profile);
        let (most, least) = (loads[0], loads[loads.len() - 1]);
        let initial = least + (most - least) * start;
        let meter = Thermal::new(response).unwrap();
        let demands = meter.demands(&profile, initial);
        prop_assert!(demands.iter().all(|(_, demand)| *demand <= most && *demand >= least));
        let found = meter.peak(&profile, initial).unwrap();
        prop_assert!(found.demand_w <= most);
        let greatest = demands.iter().fold(f64::MIN, |most, (_, demand)| most.max(*demand));
        prop_assert!(near(found.demand_w, greatest));
        prop_assert!(near(found.last_w, demands[demands.len() - 1].1));
        prop_assert!(near(demands.iter().find(|(end, _)| *end == found.at_s).unwrap().1, greatest));
    }

    #[test]
    fn a_cut_at_any_instant_changes_nothing(profile in any_profile(), at_s in -5000_i64..12_000) {
        let split = profile.split(at_s);
        prop_assert_eq!(split.whole().unwrap(), profile.clone());
        let energy = split.before.energy_wh() + split.straddling.and_then(|one| one.energy_wh).unwrap_or(0.0) + split.after.energy_wh();
        prop_assert_eq!(energy.to_bits(), profile.energy_wh().to_bits());
        let meter = Thermal::new(900.0).unwrap();
        let whole = meter.demands(&profile, 10.0);
        let mut state = 10.0;
        let mut pieces = Vec::new();
        for part in [&split.before, &split.straddling.map_or_else(|| split.before.part(0, 0), |one| profile.part(one.start_s, one.end_s())), &split.after] {
            pieces.extend(meter.demands(part, state));
            state = pieces.last().map_or(state, |last: &(i64, f64)| last.1);
        }
        prop_assert_eq!(whole, pieces);
    }

    #[test]
    fn together_is_no_more_than_each(profile in any_profile(), other in any_profile()) {
        if let Ok(found) = coincident(&[&profile, &other], &Timer::block(60, 0)) {
            prop_assert!(found.together.demand_w <= found.sum_of_peaks_w + 1e-9);
        }
        let both = add(&profile, &other, -1.0).unwrap();
        for interval in both.around(both.start_s(), both.end_s(), 1000) {
            let of = |one: &Profile| one.at(interval.start_s).and_then(|found| found.energy_wh);
            prop_assert_eq!(interval.energy_wh, of(&profile).zip(of(&other)).map(|(one, other)| one - other));
        }
    }

    #[test]
    fn load_duration_orders_all_loads(profile in any_profile(), level in 0.0..40_000.0_f64) {
        let loads = load_duration_w(&profile);
        prop_assert!(loads.iter().zip(loads.iter().skip(1)).all(|(one, other)| one >= other));
        let above = loads.iter().filter(|load| **load >= level).count();
        prop_assert!(near(time_at_or_above_s(&loads, 60, level), above as f64 * 60.0));
    }

    #[test]
    fn dates_come_back(days in -200_000_i64..200_000, second in 0_i64..86_400) {
        let date = Date::from_days(days);
        prop_assert_eq!(Date::new(date.year, date.month, date.day).map(Date::days), Some(days));
        for name in ["America/New_York", "Europe/Berlin", "Australia/Sydney", "UTC"] {
            let zone = Zone::named(name).unwrap();
            let instant = days * DAY_S + second;
            let wall = instant + zone.offset_s(instant);
            let back = zone.instant(wall);
            prop_assert!(matches!(back, Instant::Once(one) if one == instant) || matches!(back, Instant::Twice(one, other) if one == instant || other == instant));
            let day = zone.day_of(instant);
            prop_assert!(zone.day_start_s(day) <= instant && instant < zone.day_start_s(day + 1));
        }
    }
}
