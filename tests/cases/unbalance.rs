//! Runs the cases of unbalance and symmetrical components.

use super::case::{CaseResult, Computed, Inputs, Results, run_file};
use super::fault_text::polar;
use metering::angle::AngleConvention;
use metering::phasor::Phasor;
use metering::sequence::components;
use metering::unbalance::{from_line_to_line, largest_deviation, line_to_line, negative_sequence, zero_sequence};
use metering::working::Working;
use serde_json::Value;

/// Runs the text of one file.
///
/// # Errors
/// Why the file has not the shape of such a file.
pub fn run(text: &str) -> Result<Vec<CaseResult>, String> {
    // The common shape calls the file's conventions by their plural.
    run_file(&text.replacen("\"convention\"", "\"conventions\"", 1), compute)
}

fn compute(inputs: &mut Inputs, _: &[String]) -> Result<Results, String> {
    let set = inputs.read("phasors", phasors)?.ok_or("no phasors")?;
    let mut results = Results::new();
    let split = components(set);
    for (name, part) in [("zero", split.zero), ("positive", split.positive), ("negative", split.negative)] {
        // What is left of a component that cancels has no angle.
        let is_there = part.magnitude() > 1e-9 * set.iter().map(|one| one.magnitude()).fold(0.0, f64::max);
        let degrees = part.angle().filter(|_| is_there).map(|angle| angle.degrees(AngleConvention::LeadingPositive));
        results.insert(format!("{name}.0"), Computed::Number(part.magnitude()));
        results.insert(format!("{name}.1"), degrees.into());
    }
    let mut put = |name: &str, found: Option<f64>| results.insert(name.to_owned(), found.into());
    let percent = |found: Option<(f64, Working)>| found.map(|(percent, _)| percent);
    put("negative_percent", percent(negative_sequence(set)));
    put("zero_percent", percent(zero_sequence(set)));
    put("max_deviation_percent_of_average", percent(largest_deviation(set.map(Phasor::magnitude))));
    let lines = line_to_line(set).map(Phasor::magnitude);
    put("nema_percent_line_line", percent(largest_deviation(lines)));
    put("vuf_percent_from_line_line_magnitudes", from_line_to_line(lines));
    for (at, volts) in lines.into_iter().enumerate() {
        put(&format!("line_line.{at}"), Some(volts));
    }
    Ok(results)
}

fn phasors(value: &Value) -> Result<[Phasor; 3], String> {
    let one = |value: &Value| match value.as_array().map(Vec::as_slice) {
        Some([size, degrees]) => match (size.as_f64(), degrees.as_f64()) {
            (Some(size), Some(degrees)) => polar(size, degrees),
            _ => Err("wanted numbers".to_owned()),
        },
        _ => Err("wanted magnitude and degrees".to_owned()),
    };
    let set = value.as_array().ok_or("wanted a list")?.iter().map(one).collect::<Result<Vec<_>, _>>()?;
    set.try_into().map_err(|found: Vec<_>| format!("wanted three phasors, found {}", found.len()))
}
