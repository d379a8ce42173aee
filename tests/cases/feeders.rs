//! Runs the metering points of public test feeders: power, residual current, symmetrical components, right wiring.

use super::case::{CaseResult, Judged};
use super::fault_text::{Object, lines, number, object, phasor, service, text};
use super::faults::judge;
use super::number::Tolerance;
use metering::angle::Angle;
use metering::phasor::Phasor;
use metering::sequence::components;
use metering::unbalance::negative_sequence;
use metering::wiring::{Adding, Load, Wiring, registration};
use serde_json::Value;

/// The files write ten figures.
const FIGURES: Tolerance = Tolerance { relative: 1e-6, absolute: 1e-6 };

/// Runs the text of one file.
///
/// # Errors
/// Why the file has not the shape of such a file.
pub fn run(text: &str) -> Result<Vec<CaseResult>, String> {
    let file: Value = serde_json::from_str(text).map_err(|why| format!("not JSON: {why}"))?;
    let points = file.get("points").and_then(Value::as_array).ok_or("points: wanted a list")?;
    points.iter().map(one).collect()
}

fn one(point: &Value) -> Result<CaseResult, String> {
    let point = point.as_object().ok_or("a point that is no object")?;
    let id = text(point, "id")?.to_owned();
    Ok(CaseResult { title: id.clone(), id, values: values(point) })
}

fn values(point: &Object) -> Result<Vec<Judged>, String> {
    let load = Load { volts: lines(object(point, "V")?)?, amps: lines(object(point, "I")?)? };
    let [a, b, c] = load.amps;
    let power = load.power();
    let mut judged = vec![
        judge("P_kW", number(point, "P_kW")?, power.re() / 1000.0, FIGURES),
        judge("Q_kvar", number(point, "Q_kvar")?, power.im() / 1000.0, FIGURES),
        judge("residual_current", number(point, "residual_current")?, (a + b + c).magnitude(), FIGURES),
    ];
    let sequence = object(point, "sequence")?;
    for (name, set, symbol) in [("V0V1V2", load.volts, "V"), ("I0I1I2", load.amps, "I")] {
        let found = components(set);
        let wanted = sequence.get(name).and_then(Value::as_array).ok_or(format!("{name}: wanted a list"))?;
        let found = [found.zero, found.positive, found.negative];
        if wanted.len() != found.len() {
            return Err(format!("{name}: wanted three"));
        }
        for (wanted, found) in wanted.iter().zip(found) {
            judge_phasor(name, phasor(wanted)?, found, &mut judged);
        }
        let percent = number(object(sequence, "negative_sequence_percent")?, symbol)?;
        let (found, _) = negative_sequence(set).ok_or("no positive sequence")?;
        judged.push(judge(format!("negative_sequence_percent {symbol}"), percent, found, FIGURES));
    }
    let service = service(point)?;
    let seen = Wiring::correct(service).see(&load);
    let found = registration(Adding::Net, &seen, &load).ok_or("no true power")?;
    // Every service here but 2½ elements is exact, whatever the load; that one misses by the residual voltage times Ib.
    let unseen = if service.id == "wye25" { residue(&load) } else { 0.0 };
    judged.push(judge("registration wired right", 1.0 - unseen / power.re(), found, FIGURES));
    Ok(judged)
}

/// What two voltage coils miss: (Va + Vb + Vc)·conj(Ib).
fn residue(load: &Load) -> f64 {
    let [a, b, c] = load.volts;
    ((a + b + c) * load.amps[1].conj()).re()
}

fn judge_phasor(name: &str, wanted: Phasor, found: Phasor, judged: &mut Vec<Judged>) {
    judged.push(judge(format!("{name} magnitude"), wanted.magnitude(), found.magnitude(), FIGURES));
    // Below a millionth of anything measured here an angle is what rounding left of it.
    if wanted.magnitude() > 1e-5 {
        let apart =
            wanted.angle().zip(found.angle()).map_or(180.0, |(one, other): (Angle, Angle)| one.apart_degrees(other));
        let allowed = Tolerance { relative: 0.0, absolute: 1e-4 };
        judged.push(judge(format!("{name} degrees apart"), 0.0, apart, allowed));
    }
}
