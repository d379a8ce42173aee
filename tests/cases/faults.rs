//! Runs the fault cases through the forward model: what the meter sees, what it registers, and the watts of the readings.

use super::case::{CaseResult, Computed, Judged};
use super::fault_text::{Object, faults, load, number, numbers, object, phasor, service, text};
use super::number::Tolerance;
use metering::angle::AngleConvention;
use metering::circuit::{self, Instruments};
use metering::phasor::Phasor;
use metering::service::Service;
use metering::wiring::{Adding, Load, Seen, Wiring, correction_factor, registration};
use serde_json::Value;

/// How near closed forms must come: the files write ten figures.
const EXACT: Tolerance = Tolerance { relative: 1e-6, absolute: 1e-6 };

/// Runs the closed forms.
///
/// # Errors
/// Why the file has not the shape of such a file.
pub fn run_ideal(text: &str) -> Result<Vec<CaseResult>, String> {
    run_each(text, ideal)
}

/// Runs every case of a file of faults.
///
/// # Errors
/// Why the file has not that shape.
pub fn run_each(text: &str, run: fn(&Object) -> Result<Vec<Judged>, String>) -> Result<Vec<CaseResult>, String> {
    let file: Value = serde_json::from_str(text).map_err(|why| format!("not JSON: {why}"))?;
    let file = file.as_object().ok_or("wanted an object")?;
    let cases = file.get("cases").and_then(Value::as_array).ok_or("cases: wanted a list")?;
    if file.get("count").and_then(Value::as_u64) != Some(cases.len() as u64) {
        return Err(format!("count does not say {}", cases.len()));
    }
    cases.iter().map(|case| one(case, run)).collect()
}

fn one(case: &Value, run: fn(&Object) -> Result<Vec<Judged>, String>) -> Result<CaseResult, String> {
    let case = case.as_object().ok_or("a case that is no object")?;
    let (id, title) = (text(case, "id")?.to_owned(), text(case, "title")?.to_owned());
    Ok(CaseResult { id, title, values: run(case) })
}

/// Runs the circuit cases.
///
/// # Errors
/// Why the file has not the shape of such a file.
pub fn run_circuit(text: &str) -> Result<Vec<CaseResult>, String> {
    run_each(text, circuit)
}

fn circuit(case: &Object) -> Result<Vec<Judged>, String> {
    let service = service(case)?;
    let primary = load(case)?;
    let ratios = Ratios::of(case)?;
    let instruments = instruments(service, object(case, "installation")?)?;
    let seen = circuit::see(service, &faults(service, case)?, &ratios.secondary(&primary), &instruments);
    let seen = seen.map_err(|why| why.to_string())?;
    let allowed = number(object(case, "tolerance")?, "registration_ratio_abs")?;
    let tolerance = Tolerance { relative: 0.0, absolute: allowed };
    let mut judged = Vec::new();
    judge_load(case, &primary, &mut judged)?;
    judge_phasors(service, case, &seen, &Nearness::CIRCUIT, &mut judged)?;
    judge_registration(case, &seen, &primary, ratios, tolerance, &mut judged)?;
    judge_rounded(service, case, &mut judged)?;
    Ok(judged)
}

/// The instruments of a case; what it does not give is as usual.
fn instruments(service: &Service, installation: &Object) -> Result<Instruments, String> {
    let mut found = Instruments::USUAL;
    let Some(given) = installation.get("instrument_parameters").and_then(Value::as_object) else { return Ok(found) };
    for name in given.keys() {
        let pair = || match numbers(given, name)?[..] {
            [re, im] => Phasor::rectangular(re, im).map_err(|why| why.to_string()),
            _ => Err(format!("{name}: wanted two numbers")),
        };
        match name.as_str() {
            "ct_lead" => found.ct_lead_ohm = number(given, name)?,
            "ct_return_lead" => found.ct_return_ohm = number(given, name)?,
            "meter_current_coil" => found.current_coil_ohm = pair()?,
            "ct_winding" => found.ct_winding_ohm = number(given, name)?,
            "ct_rm" => found.ct_core_ohm = number(given, name)?,
            "ct_lm" => found.ct_core_henry = number(given, name)?,
            "ct_out_lead" => found.ct_terminal_ohm = number(given, name)?,
            "vt_z" => found.vt_ohm = pair()?,
            "vt_lead" => found.vt_lead_ohm = number(given, name)?,
            "potential_coil" => {}
            other => {
                let element = other.strip_prefix("potential_coil_");
                let known = element.is_some_and(|name| service.elements.iter().any(|element| element.name == name));
                known.then_some(()).ok_or(format!("{other}: not known"))?;
            }
        }
    }
    let all = given.get("potential_coil").and_then(Value::as_f64);
    for (coil, element) in found.potential_coil_ohm.iter_mut().zip(service.elements) {
        let own = given.get(&format!("potential_coil_{}", element.name)).and_then(Value::as_f64);
        *coil = own.or(all).unwrap_or(*coil);
    }
    Ok(found)
}

fn ideal(case: &Object) -> Result<Vec<Judged>, String> {
    let service = service(case)?;
    let wiring = Wiring::of(service, &faults(service, case)?).map_err(|why| why.to_string())?;
    let primary = load(case)?;
    let ratios = Ratios::of(case)?;
    let seen = wiring.see(&ratios.secondary(&primary));
    let mut judged = Vec::new();
    judge_load(case, &primary, &mut judged)?;
    judge_phasors(service, case, &seen, &Nearness::EXACT, &mut judged)?;
    judge_watts(case, &seen, &mut judged)?;
    judge_registration(case, &seen, &primary, ratios, EXACT, &mut judged)?;
    judge_rounded(service, case, &mut judged)?;
    Ok(judged)
}

/// Ratios on record.
#[derive(Clone, Copy)]
pub struct Ratios {
    /// Primary ÷ secondary of the CTs.
    pub ct: f64,
    /// Primary ÷ secondary of the VTs.
    pub vt: f64,
}

impl Ratios {
    /// As the case has them.
    ///
    /// # Errors
    /// What was found instead.
    pub fn of(case: &Object) -> Result<Self, String> {
        let installation = object(case, "installation")?;
        Ok(Self { ct: number(installation, "ct_ratio")?, vt: number(installation, "vt_ratio")? })
    }

    /// A primary load as ideal transformers hand it on.
    pub fn secondary(self, load: &Load) -> Load {
        Load { volts: load.volts.map(|volts| volts / self.vt), amps: load.amps.map(|amps| amps / self.ct) }
    }
}

/// How near a phasor must come.
pub struct Nearness {
    /// Of its magnitude.
    pub magnitude: Tolerance,
    /// Of its angle, in degrees.
    pub degrees: f64,
    /// A magnitude below which an angle says nothing.
    pub nothing: f64,
}

impl Nearness {
    /// For closed forms.
    pub const EXACT: Self = Self { magnitude: EXACT, degrees: 1e-6, nothing: 1e-6 };
    /// For circuits: one percent and one degree. What is below a thousandth of a volt or ampere is none.
    pub const CIRCUIT: Self =
        Self { magnitude: Tolerance { relative: 0.01, absolute: 1e-3 }, degrees: 1.0, nothing: 1e-3 };
}

/// Judges one number.
pub fn judge(name: impl Into<String>, wanted: f64, found: f64, tolerance: Tolerance) -> Judged {
    let agrees = (found - wanted).abs() <= tolerance.relative * wanted.abs() + tolerance.absolute;
    Judged { name: name.into(), wanted: wanted.to_string(), computed: Computed::Number(found), agrees }
}

/// The load as read must have the watts and vars that the file says it has.
pub fn judge_load(case: &Object, primary: &Load, judged: &mut Vec<Judged>) -> Result<(), String> {
    let truth = object(case, "true_load")?;
    let power = primary.power();
    judged.push(judge("P_kW", number(truth, "P_kW")?, power.re() / 1000.0, EXACT));
    judged.push(judge("Q_kvar", number(truth, "Q_kvar")?, power.im() / 1000.0, EXACT));
    Ok(())
}

/// Every phasor at the meter, angles against the reference of the readings.
pub fn judge_phasors(
    service: &Service,
    case: &Object,
    seen: &Seen,
    near: &Nearness,
    judged: &mut Vec<Judged>,
) -> Result<(), String> {
    let wanted = object(case, "readings_exact")?;
    let reference = text(object(case, "readings")?, "reference")?;
    let axis = volts_of(service, seen, reference)?.angle().ok_or("the reference is dead")?;
    for (kind, of) in [("voltages", volts_of as Find), ("currents", amps_of)] {
        for (name, wanted) in object(wanted, kind)? {
            let (found, wanted) = (of(service, seen, name)?, phasor(wanted)?);
            let named = |what| format!("{kind} {name} {what}");
            judged.push(judge(named("magnitude"), wanted.magnitude(), found.magnitude(), near.magnitude));
            let apart = wanted.angle().zip(found.angle()).map(|(wanted, found)| (found - axis).apart_degrees(wanted));
            if wanted.magnitude() > near.nothing {
                let apart = apart.unwrap_or(180.0);
                judged.push(judge(
                    named("degrees apart"),
                    0.0,
                    apart,
                    Tolerance { relative: 0.0, absolute: near.degrees },
                ));
            }
        }
    }
    Ok(())
}

type Find = fn(&Service, &Seen, &str) -> Result<Phasor, String>;

fn volts_of(service: &Service, seen: &Seen, name: &str) -> Result<Phasor, String> {
    let at = service.elements.iter().position(|element| element.name == name);
    at.and_then(|at| seen.elements().get(at)).map(|element| element.volts).ok_or(format!("voltage {name}: not known"))
}

fn amps_of(service: &Service, seen: &Seen, name: &str) -> Result<Phasor, String> {
    let at = service.node_named(name).filter(|node| service.cts.contains(node));
    at.and_then(|node| seen.amps.get(node.at()).copied()).ok_or(format!("current {name}: not known"))
}

/// Watts and vars by element and together.
pub fn judge_watts(case: &Object, seen: &Seen, judged: &mut Vec<Judged>) -> Result<(), String> {
    let expected = object(case, "expected")?;
    let mut each = |name: &str, found: Vec<f64>| -> Result<(), String> {
        let wanted = numbers(expected, name)?;
        if wanted.len() != found.len() {
            return Err(format!("{name}: wanted {}, found {}", wanted.len(), found.len()));
        }
        judged.extend(wanted.into_iter().zip(found).map(|(wanted, found)| judge(name, wanted, found, EXACT)));
        Ok(())
    };
    each("element_watts_secondary", seen.elements().iter().map(|element| element.watts).collect())?;
    if expected.contains_key("element_vars_secondary") {
        each("element_vars_secondary", seen.elements().iter().map(|element| element.vars).collect())?;
    }
    judged.push(judge("total_watts_secondary", number(expected, "total_watts_secondary")?, seen.watts(), EXACT));
    Ok(())
}

/// What the meter registers of the truth, and the factor that puts it right.
pub fn judge_registration(
    case: &Object,
    seen: &Seen,
    primary: &Load,
    ratios: Ratios,
    tolerance: Tolerance,
    judged: &mut Vec<Judged>,
) -> Result<(), String> {
    let expected = object(case, "expected")?;
    let secondary = ratios.secondary(primary);
    let found = registration(Adding::Net, seen, &secondary).ok_or("no true power")?;
    judged.push(judge("registration_ratio", number(expected, "registration_ratio")?, found, tolerance));
    let kilowatts = seen.watts() * ratios.ct * ratios.vt / 1000.0;
    let truth = primary.watts().abs() / 1000.0;
    let allowed =
        Tolerance { relative: 0.0, absolute: tolerance.absolute * truth + tolerance.relative * kilowatts.abs() };
    judged.push(judge("registered_primary_kW", number(expected, "registered_primary_kW")?, kilowatts, allowed));
    if tolerance.absolute <= EXACT.absolute {
        let (wanted, found) = (expected.get("correction_factor").and_then(Value::as_f64), correction_factor(found));
        judged.push(match (wanted, found) {
            (Some(wanted), Some(found)) => judge("correction_factor", wanted, found, EXACT),
            (wanted, found) => Judged {
                name: "correction_factor".to_owned(),
                wanted: format!("{wanted:?}"),
                computed: Computed::Text(format!("{found:?}")),
                agrees: wanted.is_none() && found.is_none(),
            },
        });
    }
    Ok(())
}

/// Watts of the readings as a technician wrote them, in either way of writing an angle.
pub fn judge_rounded(service: &'static Service, case: &Object, judged: &mut Vec<Judged>) -> Result<(), String> {
    let wanted = number(object(case, "expected")?, "total_watts_secondary")?;
    let allowed = number(object(case, "tolerance")?, "total_watts_secondary_from_rounded_readings_abs")?;
    for (key, convention) in
        [("deg", AngleConvention::LeadingPositive), ("deg_lag_0_360", AngleConvention::LaggingPositive)]
    {
        let found = read(service, case, key, convention)?.watts();
        let name = format!("total_watts_secondary from readings, {key}");
        judged.push(judge(name, wanted, found, Tolerance { relative: 0.0, absolute: allowed }));
    }
    Ok(())
}

fn read(service: &'static Service, case: &Object, key: &str, convention: AngleConvention) -> Result<Seen, String> {
    let readings = object(case, "readings")?;
    let one = |reading: &Value| -> Result<Phasor, String> {
        let reading = reading.as_object().ok_or("wanted a phasor")?;
        let angle = metering::angle::Angle::from_degrees(number(reading, key)?, convention);
        Phasor::polar(number(reading, "mag")?, angle.map_err(|why| why.to_string())?).map_err(|why| why.to_string())
    };
    let mut volts = [Phasor::ZERO; 3];
    let mut amps = [Phasor::ZERO; 3];
    for (name, reading) in object(readings, "voltages")? {
        let at = service.elements.iter().position(|element| element.name == *name);
        *at.and_then(|at| volts.get_mut(at)).ok_or(format!("voltage {name}: not known"))? = one(reading)?;
    }
    for (name, reading) in object(readings, "currents")? {
        let at = service.node_named(name).map(metering::service::Node::at);
        *at.and_then(|at| amps.get_mut(at)).ok_or(format!("current {name}: not known"))? = one(reading)?;
    }
    Ok(Seen::of(service, volts, amps))
}
