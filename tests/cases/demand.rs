//! Runs the demand cases: block, rolling and lagged demand, gaps, local days, apparent demand, registers.
//!
//! The cases that are run on measured files (`real_file_cases`) want their files beside them; they are later work, and the table
//! of files says so.

use super::case::{CaseResult, Computed, Inputs, Results, run_file};
use super::number::{float, floats, said};
use metering::decimal::Decimal;
use metering::demand::apparent::{Apparent, Phase, active_peak, apparent, apparent_peak, average_power_factor};
use metering::demand::load::{coincident, least_w, load_factor};
use metering::demand::local::{Date, Zone};
use metering::demand::maximum::ratchet;
use metering::demand::part::add;
use metering::demand::profile::{Amount, Profile, Quality};
use metering::demand::thermal::Thermal;
use metering::demand::window::{Incomplete, Peak, Timer, peak, peaks_by_period, windows};
use metering::register::Register;
use serde_json::Value;

/// Runs the text of one file.
///
/// # Errors
/// Why the file has not the shape of such a file.
pub fn run(text: &str) -> Result<Vec<CaseResult>, String> {
    let mut file: Value = serde_json::from_str(text).map_err(|why| format!("not JSON: {why}"))?;
    let object = file.as_object_mut().ok_or("wanted an object")?;
    object.remove("agreement");
    object.remove("real_file_cases");
    run_file(&file.to_string(), compute)
}

/// Results as they are put down, in kilowatts and minutes as the cases count.
struct Put(Results);

impl Put {
    fn number(&mut self, name: &str, found: f64) {
        self.0.insert(name.to_owned(), Computed::Number(found));
    }

    fn kilo(&mut self, name: &str, found: f64) {
        self.number(name, found / 1000.0);
    }

    fn text(&mut self, name: &str, found: String) {
        self.0.insert(name.to_owned(), Computed::Text(found));
    }
}

fn compute(inputs: &mut Inputs, wanted: &[String]) -> Result<Results, String> {
    let mut put = Put(Results::new());
    let wants = |name: &str| wanted.iter().any(|one| one == name || one.starts_with(&format!("{name}.")));
    // Minutes count from the first sample, whenever that was; a case of end labels is known by its rows.
    inputs.take("start");
    inputs.take("label");
    let step_s = seconds(inputs, "step_minutes")?;
    let block_s = seconds(inputs, "block_minutes")?;
    if let Some(zone) = inputs.take("zone") {
        local_days(&zone, inputs, step_s.ok_or("no step")?, &mut put)?;
    } else if let Some(times) = inputs.take("timestamps") {
        repeated_hour(&times, inputs, block_s.ok_or("no block")?, &mut put)?;
    } else if let Some(rows) = inputs.take("rows") {
        end_labels(&rows, step_s.ok_or("no step")?, block_s.ok_or("no block")?, &mut put)?;
    } else if let Some(earlier) = inputs.read("previous_11", floats)? {
        let this = inputs.read("this", float)?.ok_or("no demand")?;
        let share = inputs.read("ratchet", float)?.ok_or("no share")?;
        put.number("billed_kW", ratchet(this, &earlier, share).billed);
    } else if inputs.has("pulses") {
        pulses(inputs, step_s.ok_or("no step")?, &mut put)?;
    } else if inputs.has("dials") {
        dials(inputs, &mut put)?;
    } else if inputs.has("kvarh") {
        volt_amperes(inputs, step_s.ok_or("no step")?, &mut put)?;
    } else if inputs.has("kwh_1") {
        two_meters(inputs, step_s.ok_or("no step")?, &mut put)?;
    } else if inputs.has("delivered_kwh") {
        two_channels(inputs, step_s.ok_or("no step")?, &mut put)?;
    } else if let Some(kilowatts) = inputs.read("kw", floats)? {
        let step_s = step_s.ok_or("no step")?;
        let energies = kilowatts.iter().map(|kw| kw * 1000.0 * f64::from(step_s) / 3600.0).collect();
        lagged(&Profile::of(0, step_s, energies).map_err(said)?, inputs, "initial_kW", &mut put)?;
    } else {
        let profile = gapped(&inputs.take("kwh").ok_or("no energy")?, step_s.ok_or("no step")?)?;
        blocks(&profile, inputs, block_s.ok_or("no block")?, &wants, &mut put)?;
    }
    Ok(put.0)
}

/// Energies in kWh, `null` where there is none.
fn gapped(list: &Value, step_s: u32) -> Result<Profile, String> {
    let mut profile = Profile::new(0, step_s).map_err(said)?;
    for (at, value) in list.as_array().ok_or("wanted a list")?.iter().enumerate() {
        let amount = value.as_f64().map(|kwh| Amount::Energy(kwh * 1000.0));
        profile.push(at as i64 * i64::from(step_s), amount, Quality::Counted).map_err(said)?;
    }
    Ok(profile)
}

fn blocks(
    profile: &Profile,
    inputs: &mut Inputs,
    block_s: u32,
    wants: &dyn Fn(&str) -> bool,
    put: &mut Put,
) -> Result<(), String> {
    let timer = Timer::block(block_s, 0);
    let all = windows(profile, &timer).map_err(said)?;
    let best = peak(profile, &timer, Incomplete::LeftOut).map_err(said)?.ok_or("no peak")?;
    put.number("block_count", all.iter().filter(|window| window.is_whole()).count() as f64);
    peak_of(&best, "block_peak", put);
    put.kilo("block_peak_kW_if_incomplete_blocks_dropped", best.demand_w);
    let span_s = profile.end_s() - profile.start_s();
    // A block of which nothing was counted is no window at all.
    for at in 0..span_s / i64::from(block_s) {
        let counted = all.iter().find(|window| window.start_s == at * i64::from(block_s));
        let demand = counted.and_then(|window| window.demand_w(Incomplete::LeftOut)).map(|watts| watts / 1000.0);
        put.0.insert(format!("valid_blocks_kW.{at}"), demand.into());
    }
    if let Some(second) = all.get(1) {
        let by = |policy| second.demand_w(policy).unwrap_or_default();
        put.kilo("block2_full_divisor_kW", by(Incomplete::FullDivisor));
        put.kilo("block2_elapsed_divisor_kW", by(Incomplete::ElapsedDivisor));
    }
    put.kilo("total_kWh", profile.energy_wh());
    put.number(
        "load_factor_on_block",
        load_factor(profile.energy_wh(), best.demand_w, span_s as f64).unwrap_or_default(),
    );
    put.number("intervals_expected", (span_s / i64::from(profile.step_s())) as f64);
    put.number("intervals_present", profile.present() as f64);
    put.kilo("energy_known_kWh", profile.energy_wh());
    put.kilo("energy_if_gap_filled_linear_kWh", profile.energy_filled_linearly_wh());
    if let [gap] = profile.gaps()[..] {
        put.number("missing_start_min", gap.start_s as f64 / 60.0);
        put.number("missing_minutes", gap.length_s as f64 / 60.0);
    }
    if let Some(every_s) = seconds(inputs, "rolling_subinterval_minutes")? {
        let rolling = Timer::rolling(block_s, every_s, 0);
        let whole = windows(profile, &rolling).map_err(said)?.iter().filter(|window| window.is_whole()).count();
        put.number("rolling_window_count", whole as f64);
        peak_of(&peak(profile, &rolling, Incomplete::LeftOut).map_err(said)?.ok_or("no peak")?, "rolling_peak", put);
    }
    if let Some(offsets) = inputs.read("offsets_minutes", floats)? {
        for (at, minutes) in offsets.iter().enumerate() {
            let shifted = Timer::block(block_s, (*minutes * 60.0) as i64);
            let best = peak(profile, &shifted, Incomplete::LeftOut).map_err(said)?.ok_or("no peak")?;
            put.kilo(&format!("peak_kW_per_offset.{at}"), best.demand_w);
        }
        let rolling = Timer::rolling(block_s, 60, 0);
        let best = peak(profile, &rolling, Incomplete::LeftOut).map_err(said)?.ok_or("no peak")?;
        put.kilo("rolling_1min_peak_kW", best.demand_w);
    }
    if wants("thermal_peak_kW") {
        lagged(profile, inputs, "thermal_initial_kW", put)?;
    }
    Ok(())
}

fn peak_of(best: &Peak, name: &str, put: &mut Put) {
    put.kilo(&format!("{name}_kW"), best.demand_w);
    put.number(&format!("{name}_start_min"), best.start_s as f64 / 60.0);
    put.number(&format!("{name}_end_min"), best.end_s as f64 / 60.0);
}

fn lagged(profile: &Profile, inputs: &mut Inputs, initial: &str, put: &mut Put) -> Result<(), String> {
    let response_s = seconds(inputs, "response_90pct_minutes")?.ok_or("no response")?;
    let initial_w = inputs.read(initial, float)?.ok_or("no state at the beginning")? * 1000.0;
    let meter = Thermal::new(f64::from(response_s)).map_err(said)?;
    for (at, (_, watts)) in meter.demands(profile, initial_w).into_iter().enumerate() {
        put.kilo(&format!("demand_kW_at_step_ends.{at}"), watts);
    }
    // A case of many steps leaves them out.
    put.0.insert("demand_kW_at_step_ends".to_owned(), Computed::Nothing);
    let best = meter.peak(profile, initial_w).ok_or("no peak")?;
    put.kilo("final_kW", best.last_w);
    put.kilo("peak_kW", best.demand_w);
    put.kilo("thermal_peak_kW", best.demand_w);
    put.number("peak_end_min", best.at_s as f64 / 60.0);
    put.number("time_constant_min", meter.time_constant_s() / 60.0);
    Ok(())
}

fn local_days(zone: &Value, inputs: &mut Inputs, step_s: u32, put: &mut Put) -> Result<(), String> {
    let zone = zone.as_str().and_then(Zone::named).ok_or("a zone that is not known")?;
    let days = inputs.take("days").ok_or("no days")?;
    for (at, day) in days.as_array().ok_or("wanted a list")?.iter().enumerate() {
        let length_s = zone.day_length_s(date(day.as_str().unwrap_or_default())?.days());
        put.number(&format!("hours.{at}"), length_s as f64 / 3600.0);
        put.number(&format!("intervals.{at}"), (length_s / i64::from(step_s)) as f64);
    }
    Ok(())
}

fn repeated_hour(times: &Value, inputs: &mut Inputs, block_s: u32, put: &mut Put) -> Result<(), String> {
    let times = times.as_array().ok_or("wanted a list")?;
    let instants = times.iter().map(instant).collect::<Result<Vec<i64>, String>>()?;
    let [first, second, ..] = instants[..] else { return Err("too few times".to_owned()) };
    let mut profile = Profile::new(first, (second - first) as u32).map_err(said)?;
    let energies = inputs.read("kwh", floats)?.ok_or("no energy")?;
    for (start_s, kwh) in instants.iter().zip(energies) {
        profile.push(*start_s, Some(Amount::Energy(kwh * 1000.0)), Quality::Counted).map_err(said)?;
    }
    let timer = Timer::block(block_s, first);
    let whole = windows(&profile, &timer).map_err(said)?.iter().filter(|window| window.is_whole()).count();
    let best = peak(&profile, &timer, Incomplete::LeftOut).map_err(said)?.ok_or("no peak")?;
    put.number("block_count", whole as f64);
    put.kilo("block_peak_kW", best.demand_w);
    put.kilo("total_kWh", profile.energy_wh());
    let at = instants.iter().position(|start_s| *start_s == best.start_s).and_then(|at| times.get(at)?.as_str());
    put.text("block_peak_start", at.ok_or("the peak begins between samples")?.to_owned());
    Ok(())
}

/// Labels name the end of an interval, so 00:00 belongs to the day before.
fn end_labels(rows: &Value, step_s: u32, block_s: u32, put: &mut Put) -> Result<(), String> {
    let mut starts = Vec::new();
    for row in rows.as_array().ok_or("wanted a list")? {
        let kwh = row.get(1).and_then(Value::as_f64).ok_or("a row without energy")?;
        starts.push((wall(row.get(0).and_then(Value::as_str).unwrap_or_default())? - i64::from(step_s), kwh * 1000.0));
    }
    let from_s = starts.first().ok_or("no rows")?.0;
    let mut profile = Profile::new(from_s, step_s).map_err(said)?;
    for (start_s, energy_wh) in starts {
        profile.push(start_s, Some(Amount::Energy(energy_wh)), Quality::Counted).map_err(said)?;
    }
    let all = windows(&profile, &Timer::block(block_s, from_s)).map_err(said)?;
    const DAY_S: i64 = 86_400;
    let days: Vec<i64> = (from_s.div_euclid(DAY_S)..=(profile.end_s() - 1).div_euclid(DAY_S) + 1).collect();
    let bounds: Vec<i64> = days.iter().map(|day| day * DAY_S).collect();
    let peaks = peaks_by_period(&all, &bounds, Incomplete::LeftOut);
    for (day, best) in days.iter().zip(&peaks) {
        let best = best.as_ref().ok_or("a day without a peak")?;
        put.kilo(&format!("daily_peak_kW.{}", written(day * DAY_S).split_at(10).0), best.demand_w);
    }
    let best = peaks.iter().flatten().max_by(|one, other| one.demand_w.total_cmp(&other.demand_w));
    put.text("peak_interval_start", written(best.ok_or("no peak")?.start_s));
    Ok(())
}

fn pulses(inputs: &mut Inputs, step_s: u32, put: &mut Put) -> Result<(), String> {
    let mut one = |name: &str| inputs.read(name, float)?.ok_or(format!("no {name}"));
    let primary = one("ke_kwh_per_pulse_secondary")? * one("ct_ratio")? * one("vt_ratio")?;
    let counts = inputs.read("pulses", floats)?.ok_or("no pulses")?;
    let profile =
        Profile::of(0, step_s, counts.iter().map(|count| count * primary * 1000.0).collect()).map_err(said)?;
    for (at, energy_wh) in profile.energies_wh().iter().enumerate() {
        put.kilo(&format!("interval_kWh.{at}"), *energy_wh);
    }
    let best = peak(&profile, &Timer::block(step_s, 0), Incomplete::LeftOut).map_err(said)?.ok_or("no peak")?;
    put.number("primary_ke_kwh", primary);
    put.kilo("peak_kW", best.demand_w);
    put.kilo("total_kWh", profile.energy_wh());
    put.number("demand_resolution_kW", primary * 3600.0 / f64::from(step_s));
    Ok(())
}

fn dials(inputs: &mut Inputs, put: &mut Put) -> Result<(), String> {
    let mut one = |name: &str| inputs.read(name, float)?.ok_or(format!("no {name}"));
    let register = Register::new(one("dials")? as u8, 0).map_err(said)?;
    let (previous, present) = (one("previous")? as i64, one("present")? as i64);
    let advance = register.advance(Decimal::whole(previous), Decimal::whole(present)).map_err(said)?;
    let (multiplier, reading, days) = (one("multiplier")?, one("demand_reading")?, one("days")?);
    let registered = advance.units.to_f64();
    let (energy_kwh, demand_kw) = (registered * multiplier, reading * multiplier);
    put.number("registered", registered);
    put.number("kWh", energy_kwh);
    put.number("demand_kW", demand_kw);
    let factor = load_factor(energy_kwh * 1000.0, demand_kw * 1000.0, days * 86_400.0);
    put.number("load_factor", factor.ok_or("no load factor")?);
    Ok(())
}

fn volt_amperes(inputs: &mut Inputs, step_s: u32, put: &mut Put) -> Result<(), String> {
    let active = channel(inputs, "kwh", step_s)?;
    let reactive = channel(inputs, "kvarh", step_s)?;
    let phase = Phase { active: &active, reactive: &reactive };
    let all = apparent(&[phase], &Timer::block(step_s, 0), Apparent::Vector).map_err(said)?;
    let (watts, volt_amperes) = (active_peak(&all).ok_or("no peak")?, apparent_peak(&all).ok_or("no peak")?);
    let at = |start_s: i64| (start_s / i64::from(step_s)) as f64;
    put.kilo("peak_kW", watts.active_w);
    put.number("peak_kW_interval", at(watts.start_s));
    put.kilo("peak_kVA", volt_amperes.apparent_va);
    put.number("peak_kVA_interval", at(volt_amperes.start_s));
    put.kilo("kvar_at_peak_kW", watts.reactive_var);
    put.number("pf_at_peak_kW", watts.power_factor().ok_or("no power")?);
    put.number("pf_at_peak_kVA", volt_amperes.power_factor().ok_or("no power")?);
    put.number("average_pf", average_power_factor(active.energy_wh(), reactive.energy_wh()).ok_or("no power")?);
    Ok(())
}

fn two_meters(inputs: &mut Inputs, step_s: u32, put: &mut Put) -> Result<(), String> {
    let (one, other) = (channel(inputs, "kwh_1", step_s)?, channel(inputs, "kwh_2", step_s)?);
    let found = coincident(&[&one, &other], &Timer::block(step_s, 0)).map_err(said)?;
    put.kilo("sum_of_peaks_kW", found.sum_of_peaks_w);
    put.kilo("peak_of_sum_kW", found.together.demand_w);
    put.number("peak_interval", (found.together.start_s / i64::from(step_s)) as f64);
    put.number("diversity_factor", found.diversity.ok_or("no load")?);
    Ok(())
}

fn two_channels(inputs: &mut Inputs, step_s: u32, put: &mut Put) -> Result<(), String> {
    let (delivered, received) = (channel(inputs, "delivered_kwh", step_s)?, channel(inputs, "received_kwh", step_s)?);
    let net = add(&delivered, &received, -1.0).map_err(said)?;
    for (name, profile) in [("delivered", &delivered), ("received", &received), ("net", &net)] {
        let best = peak(profile, &Timer::block(step_s, 0), Incomplete::LeftOut).map_err(said)?.ok_or("no peak")?;
        put.kilo(&format!("{name}_peak_kW"), best.demand_w);
    }
    put.kilo("net_min_kW", least_w(&net).ok_or("no load")?.0);
    put.kilo("net_kWh", net.energy_wh());
    Ok(())
}

fn channel(inputs: &mut Inputs, name: &str, step_s: u32) -> Result<Profile, String> {
    let kilo = inputs.read(name, floats)?.ok_or(format!("no {name}"))?;
    Profile::of(0, step_s, kilo.iter().map(|one| one * 1000.0).collect()).map_err(said)
}

fn seconds(inputs: &mut Inputs, name: &str) -> Result<Option<u32>, String> {
    Ok(inputs.read(name, float)?.map(|minutes| (minutes * 60.0) as u32))
}

/// `2025-01-06`.
fn date(text: &str) -> Result<Date, String> {
    let part = |from: usize, to: usize| text.get(from..to).and_then(|part| part.parse::<u16>().ok());
    let read = || Date::new(i64::from(part(0, 4)?), part(5, 7)? as u8, part(8, 10)? as u8);
    read().ok_or(format!("{text}: no date"))
}

/// Seconds since the epoch as if at Greenwich: `2025-01-06 23:30`, with seconds or without.
fn wall(text: &str) -> Result<i64, String> {
    let part = |from: usize| text.get(from..from + 2).and_then(|part| part.parse::<i64>().ok());
    let (hours, minutes) = part(11).zip(part(14)).ok_or(format!("{text}: no time"))?;
    Ok(date(text)?.days() * 86_400 + hours * 3600 + minutes * 60 + part(17).unwrap_or(0))
}

/// Seconds since the epoch of a time with its offset.
fn instant(value: &Value) -> Result<i64, String> {
    let text = value.as_str().unwrap_or_default();
    let offset = text.get(19..).filter(|offset| offset.len() == 6).ok_or(format!("{text}: no offset"))?;
    let part = |from: usize| offset.get(from..from + 2).and_then(|part| part.parse::<i64>().ok()).unwrap_or(0);
    let ahead_s = part(1) * 3600 + part(4) * 60;
    Ok(wall(text)? - if offset.starts_with('-') { -ahead_s } else { ahead_s })
}

/// `2025-01-06T23:45:00`.
fn written(instant_s: i64) -> String {
    let date = Date::from_days(instant_s.div_euclid(86_400));
    let second = instant_s.rem_euclid(86_400);
    let (hours, minutes) = (second / 3600, second / 60 % 60);
    format!("{:04}-{:02}-{:02}T{hours:02}:{minutes:02}:{:02}", date.year, date.month, date.day, second % 60)
}
