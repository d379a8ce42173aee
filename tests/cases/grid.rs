//! Runs the grid of registrations: service × fault × load × power factor.

use super::case::CaseResult;
use super::fault_text::{Object, number, polar, service, text};
use super::faults::judge;
use super::number::Tolerance;
use metering::angle::{Angle, AngleConvention};
use metering::quantity::{Amps, Volts};
use metering::registration::Curve;
use metering::service::{Node, Sequence, Service};
use metering::wiring::{Adding, Fault, Load, Roll, Wiring, registration};
use serde_json::Value;

/// Runs the text of one file.
///
/// # Errors
/// Why the file has not the shape of such a file.
pub fn run(text: &str) -> Result<Vec<CaseResult>, String> {
    let file: Value = serde_json::from_str(text).map_err(|why| format!("not JSON: {why}"))?;
    let file = file.as_object().ok_or("wanted an object")?;
    let rows = file.get("rows").and_then(Value::as_array).ok_or("rows: wanted a list")?;
    if file.get("count").and_then(Value::as_u64) != Some(rows.len() as u64) {
        return Err(format!("count does not say {}", rows.len()));
    }
    let tolerance = file.get("tolerance").and_then(Value::as_object).ok_or("no tolerance")?;
    let tolerance = Tolerance { relative: 0.0, absolute: number(tolerance, "ratio_abs")? };
    rows.iter().map(|row| one(row.as_object().ok_or("a row that is no object")?, tolerance)).collect()
}

fn one(row: &Object, tolerance: Tolerance) -> Result<CaseResult, String> {
    let [service_id, fault, load] = ["service", "fault", "load"].map(|name| text(row, name));
    let title = format!("{} {} {}", service_id?, fault?, load?);
    let id = format!("{title} {}", number(row, "theta_deg")?);
    let values = values(row).map(|found| {
        let mut judged = Vec::new();
        for (name, found) in ["ratio", "ratio by the curve"].into_iter().zip(found) {
            for wanted in ["ratio", "closed_form"].iter().filter_map(|key| row.get(*key)).filter_map(Value::as_f64) {
                judged.push(judge(name, wanted, found, tolerance));
            }
        }
        judged
    });
    Ok(CaseResult { id, title, values })
}

/// The registration by the forward function, and by the curve over the load's angle.
fn values(row: &Object) -> Result<[f64; 2], String> {
    let service = service(row)?;
    let wiring = Wiring::of(service, &faults(service, text(row, "fault")?)?).map_err(|why| why.to_string())?;
    let shares = wiring.shares();
    let theta = number(row, "theta_deg")?;
    let lag = Angle::from_degrees(theta, AngleConvention::LeadingPositive).map_err(|why| why.to_string())?;
    let (load, curve) = match text(row, "load")? {
        "balanced" => {
            let curve = Curve::balanced(&shares, Adding::Net, Sequence::Abc).map_err(|why| why.to_string())?;
            (balanced(service, lag)?, curve)
        }
        "unbalanced" => {
            let load = unbalanced(service, theta)?;
            (load, Curve::of(&shares, Adding::Net, load.turned(-lag)))
        }
        other => return Err(format!("load {other}: not known")),
    };
    let found = registration(Adding::Net, &shares.see(&load), &load).ok_or("no true power")?;
    Ok([found, curve.at(lag).ok_or("no true power")?])
}

fn balanced(service: &Service, lag: Angle) -> Result<Load, String> {
    let volts = Volts::new(480.0).map_err(|why| why.to_string())?;
    let amps = Amps::new(100.0).map_err(|why| why.to_string())?;
    Load::balanced(service, Sequence::Abc, volts, amps, lag).map_err(|why| why.to_string())
}

/// The unbalanced loads of the file's conventions.
fn unbalanced(service: &Service, theta: f64) -> Result<Load, String> {
    let wye = |volts| Ok::<_, String>([polar(volts, 0.0)?, polar(volts, -120.0)?, polar(volts, 120.0)?]);
    match service.id {
        "wye3" | "wye25" => {
            let amps =
                [polar(75.0, -theta)?, polar(40.0, -120.0 - (theta + 8.0))?, polar(58.0, 120.0 - (theta - 6.0))?];
            Ok(Load { volts: wye(7200.0)?, amps })
        }
        "delta2" => {
            let volts = wye(4160.0 / 3.0_f64.sqrt())?;
            // Branches AB, BC, CA lead their lines by 30°.
            let ab = polar(45.0, 30.0 - theta)?;
            let bc = polar(22.0, -90.0 - (theta + 8.0))?;
            let ca = polar(33.0, 150.0 - (theta - 6.0))?;
            Ok(Load { volts, amps: [ab - ca, bc - ab, ca - bc] })
        }
        "delta4" | "delta4_2el" => {
            let volts = [polar(120.0, 0.0)?, polar(120.0 * 3.0_f64.sqrt(), -90.0)?, polar(120.0, 180.0)?];
            let motor = |degrees: f64| polar(200.0, degrees - theta);
            let (lamps_a, lamps_c) = (polar(120.0, -theta / 2.0)?, polar(70.0, 180.0 - theta / 2.0)?);
            let across = polar(40.0, -theta)?;
            let amps = [motor(30.0)? + lamps_a + across, motor(-90.0)?, motor(150.0)? + lamps_c - across];
            Ok(Load { volts, amps })
        }
        other => Err(format!("no unbalanced load for {other}")),
    }
}

/// Reads a name such as `ct_swapped_A_reversed` or `vt_AB_and_ct_AB_swapped`.
fn faults(service: &Service, name: &str) -> Result<Vec<Fault>, String> {
    let unknown = || format!("fault {name}: not known");
    let mut faults = Vec::new();
    let mut waiting: Vec<(bool, Vec<Node>)> = Vec::new();
    let (mut is_ct, mut nodes) = (true, service.cts.to_vec());
    let mut words = name.split('_').peekable();
    while let Some(word) = words.next() {
        match word {
            "none" => {}
            "ct" => (is_ct, nodes) = (true, service.cts.to_vec()),
            "vt" | "v" => (is_ct, nodes) = (false, leads(service)),
            "vt1" => (is_ct, nodes) = (false, vec![Node::A]),
            "vt2" => (is_ct, nodes) = (false, vec![Node::C]),
            "common" | "all" | "both" => {}
            "and" => waiting.push((is_ct, nodes.clone())),
            "half" | "double" => {
                let factor = if word == "half" { 0.5 } else { 2.0 };
                faults.extend(nodes.iter().map(|ct| Fault::CtRatio { ct: *ct, factor }));
                words.next_if_eq(&"ratio");
            }
            "on" => {
                let line = words.nth(1).and_then(|line| service.node_named(line)).ok_or_else(unknown)?;
                faults.extend(nodes.iter().map(|ct| Fault::CtWrongLine { ct: *ct, line }));
            }
            "rotated" => faults.push(rolled(is_ct, words.next()).ok_or_else(unknown)?),
            "swapped" => {
                waiting.push((is_ct, nodes.clone()));
                for (is_ct, pair) in waiting.drain(..) {
                    faults.push(swapped(is_ct, &pair).ok_or_else(unknown)?);
                }
            }
            "reversed" => faults.extend(nodes.iter().map(|node| reversed(is_ct, *node))),
            "shorted" => faults.extend(nodes.iter().map(|ct| Fault::CtShorted { ct: *ct, shunt_ohm: 0.0 })),
            // The one coil of a 2-element 4-wire delta between A and C is dead when either lead is open.
            "open" => faults.extend(nodes.iter().map(|lead| Fault::VtOpen { lead: *lead, share: None })),
            lines => {
                let named = lines.chars().map(|line| service.node_named(&line.to_string()));
                nodes = named.collect::<Option<_>>().ok_or_else(unknown)?;
            }
        }
    }
    if name != "none" && faults.is_empty() { Err(unknown()) } else { Ok(faults) }
}

fn leads(service: &Service) -> Vec<Node> {
    service.vts.iter().map(|vt| vt.from).collect()
}

/// `BCA`: terminal A has lead B.
fn rolled(is_ct: bool, order: Option<&str>) -> Option<Fault> {
    let roll = match order? {
        "BCA" => Roll::Forward,
        "CAB" => Roll::Back,
        _ => return None,
    };
    Some(if is_ct { Fault::CtRolled(roll) } else { Fault::VtRolled(roll) })
}

fn swapped(is_ct: bool, pair: &[Node]) -> Option<Fault> {
    let [one, other] = *pair else { return None };
    Some(if is_ct { Fault::CtSwapped(one, other) } else { Fault::VtSwapped(one, other) })
}

fn reversed(is_ct: bool, node: Node) -> Fault {
    if is_ct { Fault::CtReversed(node) } else { Fault::VtReversed(node) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use metering::service::{DELTA2, WYE3};

    #[test]
    fn names_are_read_whole() {
        let read = |service, name| faults(service, name);
        let (a, c) = (Node::A, Node::C);
        assert_eq!(read(&DELTA2, "ct_swapped_A_reversed"), Ok(vec![Fault::CtSwapped(a, c), Fault::CtReversed(a)]));
        let both = vec![Fault::VtSwapped(a, c), Fault::CtSwapped(a, c)];
        assert_eq!(read(&WYE3, "vt_AC_and_ct_AC_swapped"), Ok(both.clone()));
        assert_eq!(read(&DELTA2, "vt_AC_swapped_ct_swapped"), Ok(both));
        assert_eq!(read(&DELTA2, "ct_A_on_phase_B"), Ok(vec![Fault::CtWrongLine { ct: a, line: Node::B }]));
        assert!(read(&WYE3, "ct_A_on_phase_").is_err() && read(&WYE3, "moon").is_err() && read(&WYE3, "ct").is_err());
    }
}
