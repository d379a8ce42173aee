//! Reads faults, loads and readings of the case files into the types of the forward model.

use metering::angle::{Angle, AngleConvention};
use metering::phasor::Phasor;
use metering::service::{self, Node, Service};
use metering::wiring::{Fault, Load, Roll};
use serde_json::{Map, Value};

/// A JSON object.
pub type Object = Map<String, Value>;

/// The object of this name.
///
/// # Errors
/// That there is none.
pub fn object<'a>(from: &'a Object, name: &str) -> Result<&'a Object, String> {
    from.get(name).and_then(Value::as_object).ok_or(format!("{name}: wanted an object"))
}

/// The number of this name.
///
/// # Errors
/// That there is none.
pub fn number(from: &Object, name: &str) -> Result<f64, String> {
    from.get(name).and_then(Value::as_f64).ok_or(format!("{name}: wanted a number"))
}

/// The text of this name.
///
/// # Errors
/// That there is none.
pub fn text<'a>(from: &'a Object, name: &str) -> Result<&'a str, String> {
    from.get(name).and_then(Value::as_str).ok_or(format!("{name}: wanted a text"))
}

/// The numbers of a list of this name.
///
/// # Errors
/// That there is none.
pub fn numbers(from: &Object, name: &str) -> Result<Vec<f64>, String> {
    let list = from.get(name).and_then(Value::as_array).ok_or(format!("{name}: wanted a list"))?;
    list.iter().map(|value| value.as_f64().ok_or(format!("{name}: wanted numbers"))).collect()
}

/// The service a case is about.
///
/// # Errors
/// That it is not known.
pub fn service(case: &Object) -> Result<&'static Service, String> {
    let id = text(case, "service")?;
    service::find(id).ok_or(format!("service {id}: not known"))
}

/// A phasor of magnitude and leading degrees.
///
/// # Errors
/// What was found instead.
pub fn polar(magnitude: f64, degrees: f64) -> Result<Phasor, String> {
    let angle = Angle::from_degrees(degrees, AngleConvention::LeadingPositive).map_err(|why| why.to_string())?;
    Phasor::polar(magnitude, angle).map_err(|why| why.to_string())
}

/// A phasor written `{"mag": …, "deg": …}`.
///
/// # Errors
/// What was found instead.
pub fn phasor(value: &Value) -> Result<Phasor, String> {
    let value = value.as_object().ok_or("wanted a phasor")?;
    polar(number(value, "mag")?, number(value, "deg")?)
}

/// The phasors of lines A, B, C; a line that is not there has none.
///
/// # Errors
/// What was found instead.
pub fn lines(from: &Object) -> Result<[Phasor; 3], String> {
    let one = |name: &str| from.get(name).map_or(Ok(Phasor::ZERO), phasor);
    Ok([one("A")?, one("B")?, one("C")?])
}

/// The true load of a fault case.
///
/// # Errors
/// What was found instead.
pub fn load(case: &Object) -> Result<Load, String> {
    let load = object(case, "true_load")?;
    let volts = lines(object(load, "line_to_neutral_volts")?)?;
    let amps = object(load, "line_amps")?;
    let behind = object(load, "angle_of_line_current_behind_its_line_to_neutral_voltage_deg")?;
    let mut currents = [Phasor::ZERO; 3];
    for ((current, volts), name) in currents.iter_mut().zip(volts).zip(["A", "B", "C"]) {
        let at = volts.angle().unwrap_or(Angle::ZERO);
        let size = number(amps, name)?;
        // No current has no angle: the files write none.
        if size > 0.0 {
            *current = polar(size, -number(behind, name)?)?.turned(at);
        }
    }
    Ok(Load { volts, amps: currents })
}

/// The faults of a case, in their order.
///
/// # Errors
/// What was found instead.
pub fn faults(service: &Service, case: &Object) -> Result<Vec<Fault>, String> {
    let list = object(case, "truth")?.get("faults").and_then(Value::as_array).ok_or("faults: wanted a list")?;
    list.iter().map(|one| fault(service, one.as_object().ok_or("fault: wanted an object")?)).collect()
}

/// One fault in the form of the files' conventions.
///
/// # Errors
/// What was found instead.
pub fn fault(service: &Service, fault: &Object) -> Result<Fault, String> {
    let node = |name: &str| {
        let called = text(fault, name)?;
        service.node_named(called).ok_or(format!("{called}: not in {}", service.id))
    };
    let pair = |name: &str| pair(service, fault, name);
    let factor = |name: &str| number(fault, name);
    let or = |name: &str, otherwise: f64| fault.get(name).map_or(Ok(otherwise), |_| number(fault, name));
    Ok(match text(fault, "type")? {
        "ct_reversed" => Fault::CtReversed(node("ct")?),
        "ct_all_reversed" => Fault::CtAllReversed,
        "ct_swapped" => pair("cts").map(|[one, other]| Fault::CtSwapped(one, other))?,
        "ct_rotated" => Fault::CtRolled(roll(fault)?),
        "ct_shorted" => Fault::CtShorted { ct: node("ct")?, shunt_ohm: or("shunt_ohm", 0.0)? },
        "ct_open" => Fault::CtOpen(node("ct")?),
        "ct_partial" => Fault::CtPartial { ct: node("ct")?, factor: factor("factor")? },
        "ct_ratio" => Fault::CtRatio { ct: node("ct")?, factor: factor("factor")? },
        "ct_second_turn" => Fault::CtSecondTurn(node("ct")?),
        "ct_wrong_phase" => Fault::CtWrongLine { ct: node("ct")?, line: node("phase")? },
        "ct_short_common" => Fault::CtShortCommon { ct: node("ct")?, rho: factor("rho")? },
        "ct_return_open" => Fault::CtReturnOpen,
        "vt_reversed" => Fault::VtReversed(node("vt")?),
        "vt_swapped" => pair("vts").map(|[one, other]| Fault::VtSwapped(one, other))?,
        "vt_rotated" => Fault::VtRolled(roll(fault)?),
        "vt_open" => {
            Fault::VtOpen { lead: node("vt")?, share: fault.get("share").map(|_| factor("share")).transpose()? }
        }
        "vt_partial" => Fault::VtPartial { vt: node("vt")?, factor: factor("factor")? },
        "vt_ratio" => Fault::VtRatio { vt: node("vt")?, factor: factor("factor")? },
        "vt_line_to_line" => Fault::VtLineToLine { vt: node("vt")?, to: node("to")? },
        "vt_neutral_open" => Fault::VtNeutralOpen { coils: coils(fault)? },
        "vt_backfeed" => Fault::VtBackfeed { from: node("from")?, to: node("to")?, ohm: factor("ohm")? },
        "vt_series_resistance" => Fault::VtSeriesResistance { vt: node("vt")?, ohm: factor("ohm")? },
        other => return Err(format!("fault {other}: not known")),
    })
}

fn pair(service: &Service, fault: &Object, name: &str) -> Result<[Node; 2], String> {
    let list = fault.get(name).and_then(Value::as_array).ok_or(format!("{name}: wanted two names"))?;
    let nodes: Vec<Node> =
        list.iter().filter_map(Value::as_str).filter_map(|called| service.node_named(called)).collect();
    nodes.try_into().map_err(|found: Vec<Node>| format!("{name}: wanted two names, found {found:?}"))
}

/// `{"A": "B", "B": "C", "C": "A"}`: terminal A has lead B.
fn roll(fault: &Object) -> Result<Roll, String> {
    let map = object(fault, "map")?;
    let source = |roll: Roll, terminal: Node| {
        map.get(terminal.code()).and_then(Value::as_str) == Some(roll.source(terminal).code())
    };
    [Roll::Forward, Roll::Back]
        .into_iter()
        .find(|roll| [Node::A, Node::B, Node::C].into_iter().all(|terminal| source(*roll, terminal)))
        .ok_or(format!("map {map:?}: no roll of three"))
}

fn coils(fault: &Object) -> Result<[f64; 3], String> {
    if !fault.contains_key("coils") {
        return Ok([1.0; 3]);
    }
    numbers(fault, "coils")?.try_into().map_err(|found: Vec<f64>| format!("coils: wanted three, found {found:?}"))
}
