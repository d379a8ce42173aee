//! Runs the estimates of energy that was not registered.

use super::case::{CaseResult, Computed, Inputs, Results, run_file};
use super::number::{float, floats, said};
use metering::angle::Angle;
use metering::phasor::Phasor;
use metering::registration::Curve;
use metering::service::{DELTA2, Node, Sequence};
use metering::unregistered::{Unregistered, from_history, from_load_factor, from_part, from_registered};
use metering::wiring::{Adding, Fault, Wiring};
use serde_json::Value;

/// Runs the text of one file.
///
/// # Errors
/// Why the file has not the shape of such a file.
pub fn run(text: &str) -> Result<Vec<CaseResult>, String> {
    run_file(&with_faults(text)?, compute)
}

/// Two cases name their fault in the title only: it is put among the inputs, where it belongs.
fn with_faults(text: &str) -> Result<String, String> {
    let mut file: Value = serde_json::from_str(text).map_err(|why| format!("not JSON: {why}"))?;
    let cases = file.get_mut("cases").and_then(Value::as_array_mut).ok_or("cases: wanted a list")?;
    for case in cases {
        let title = case.get("title").and_then(Value::as_str).unwrap_or_default();
        let fault = if title.contains("CT A reversed") { "ct_a_reversed" } else { "vt2" };
        let Some(inputs) = case.get_mut("inputs").and_then(Value::as_object_mut) else { continue };
        let needs = inputs.contains_key("pf_lag") || inputs.contains_key("pf_lag_range");
        if needs && !inputs.contains_key("lost") {
            inputs.insert("lost".to_owned(), Value::from(fault));
        }
    }
    Ok(file.to_string())
}

fn compute(inputs: &mut Inputs, _: &[String]) -> Result<Results, String> {
    let mut results = Results::new();
    let mut put = |name: &str, found: f64| results.insert(name.to_owned(), Computed::Number(found));
    let registered = inputs.read("registered_kWh", float)?;
    let month = inputs.read("month_registered_kWh", float)?;
    let ratio = inputs.read("ratio", fraction)?;
    let days = inputs.read("days", float)?;
    if let (Some(month), Some(ratio), Some(days)) = (month, ratio, days) {
        let fault = inputs.read("fault_days", float)?.ok_or("no fault_days")?;
        let found = from_part(month, ratio, fault, days).map_err(said)?;
        put("daily_true_kWh", found.true_kwh / days);
        put_energy(&found, &mut put);
    } else if let Some(history) = inputs.read("history_kWh_per_day", floats)? {
        put("true_kWh", from_history(&history, days.ok_or("no days")?).map_err(said)?.0);
    } else if let Some(peak) = inputs.read("peak_kW", float)? {
        let factor = inputs.read("load_factor", float)?.ok_or("no load_factor")?;
        let hours = inputs.read("hours", float)?.ok_or("no hours")?;
        put("kWh", from_load_factor(peak, factor, hours).map_err(said)?.0);
    } else {
        let registered = registered.ok_or("nothing registered")?;
        if let Some(ratio) = ratio {
            put_energy(&from_registered(registered, ratio).map_err(said)?, &mut put);
        } else {
            by_curve(inputs, registered, &mut put)?;
        }
    }
    Ok(results)
}

type Put<'a> = &'a mut dyn FnMut(&str, f64) -> Option<Computed>;

fn put_energy(found: &Unregistered, put: Put) {
    put("true_kWh", found.true_kwh);
    put("unregistered_kWh", found.unregistered_kwh);
}

/// The fault is known, and the power factor or its range.
fn by_curve(inputs: &mut Inputs, registered: f64, put: Put) -> Result<(), String> {
    let fault = match inputs.take("lost").as_ref().and_then(Value::as_str) {
        Some("vt2") => Fault::VtOpen { lead: Node::C, share: None },
        Some("vt1") => Fault::VtOpen { lead: Node::A, share: None },
        Some("ct_a_reversed") => Fault::CtReversed(Node::A),
        other => return Err(format!("lost {other:?}: not known")),
    };
    let shares = Wiring::of(&DELTA2, &[fault]).map_err(said)?.shares();
    let curve = Curve::balanced(&shares, Adding::Net, Sequence::Abc).map_err(said)?;
    if let Some(power_factor) = inputs.read("pf_lag", float)? {
        let ratio = curve.at(lag(power_factor)?).ok_or("no true power")?;
        put("ratio", ratio);
        put_energy(&from_registered(registered, ratio).map_err(said)?, put);
    }
    if let Some(range) = inputs.read("pf_lag_range", floats)? {
        let [least, most] = range[..] else { return Err("pf_lag_range: wanted two".to_owned()) };
        let (low, high) = curve.range(lag(most)?, lag(least)?).ok_or("no true power")?;
        put("true_kWh_range.0", from_registered(registered, high).map_err(said)?.true_kwh);
        put("true_kWh_range.1", from_registered(registered, low).map_err(said)?.true_kwh);
    }
    Ok(())
}

/// How far a current of this power factor lags.
fn lag(power_factor: f64) -> Result<Angle, String> {
    let sine = (1.0 - power_factor * power_factor).max(0.0).sqrt();
    Phasor::rectangular(power_factor, sine).map_err(said)?.angle().ok_or("no power factor".to_owned())
}

/// `4/3`, or a number.
fn fraction(value: &Value) -> Result<f64, String> {
    let Some(text) = value.as_str() else { return float(value) };
    let number = |text: &str| text.trim().parse::<f64>().map_err(|why| format!("{text}: {why}"));
    match text.split_once('/') {
        Some((over, under)) => Ok(number(over)? / number(under)?),
        None => number(text),
    }
}
