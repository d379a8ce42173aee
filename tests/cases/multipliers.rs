//! Runs the cases of ratio and multiplier arithmetic through the public functions of `metering`.

use super::case::{CaseResult, Computed, Inputs, Results, run_file};
use super::number::{decimal, said};
use metering::correction;
use metering::decimal::Decimal;
use metering::factor::Factor;
use metering::multiplier::{self, Outside, Plates, RatiosInside, Reads};
use metering::ratio::Ratio;
use metering::rational::Rational;
use metering::register::{self, Advance, Register};
use serde_json::Value;

/// Everything a case may give.
struct Given {
    cts: Vec<Ratio>,
    vts: Vec<Ratio>,
    register_constant: Decimal,
    inside: RatiosInside,
    kh_wh: Option<Decimal>,
    multiplier: Option<Factor>,
    recorded: Option<Ratio>,
    actual: Option<Ratio>,
    billed_kwh: Option<Decimal>,
    readings: Option<(Decimal, Decimal)>,
    register: Option<Register>,
    pulse: Option<(Decimal, Factor)>,
    pulses: Option<u64>,
    primary_and_secondary_w: Option<(Decimal, Decimal)>,
}

/// Runs the text of one file.
///
/// # Errors
/// Why the file has not the shape of such a file.
pub fn run(text: &str) -> Result<Vec<CaseResult>, String> {
    run_file(text, compute)
}

fn compute(inputs: &mut Inputs, wanted: &[String]) -> Result<Results, String> {
    let given = given(inputs)?;
    let mut results = Results::new();
    plates(&given, wanted, &mut results)?;
    corrections(&given, &mut results)?;
    registers(&given, &mut results)?;
    Ok(results)
}

fn given(inputs: &mut Inputs) -> Result<Given, String> {
    let turns = inputs.read("turns", count)?.unwrap_or(1);
    let tap = inputs.read("tap", ratio)?;
    let cts = inputs.read("ct", ratios)?.unwrap_or_default();
    let cts = cts.into_iter().map(|ct| ct.in_use(tap, turns)).collect::<Result<_, _>>().map_err(said)?;
    let kilo = Decimal::whole(1000);
    let primary_w =
        inputs.read("primary_kW", decimal)?.map(|kw| kw.times(kilo).ok_or("primary_kW: too long")).transpose()?;
    let primary_w = primary_w.or(inputs.read("primary_W", decimal)?);
    let factor_in = inputs.read("factor", factor)?;
    let billed_kwh = inputs.read("billed_kWh", decimal)?.or(inputs.read("registered_kWh_billed", decimal)?);
    let dials = inputs.read("dials", count)?;
    let readings = inputs.read("previous", decimal)?.zip(inputs.read("present", decimal)?);
    let read_to = readings.map_or(0, |(previous, present)| previous.scale().max(present.scale()));
    let decimals = inputs.read("decimals", count)?.unwrap_or(read_to.into());
    let ke = inputs.read("ke", decimal)?;
    if factor_in.is_some() && ke.is_none() {
        return Err("factor: without ke it belongs to nothing".to_owned());
    }
    Ok(Given {
        cts,
        vts: inputs.read("vt", ratios)?.unwrap_or_else(|| vec![Ratio::ONE]),
        register_constant: inputs.read("register_constant", decimal)?.unwrap_or(Decimal::whole(1)),
        inside: inputs.read("ratios_inside", inside)?.unwrap_or(RatiosInside::None),
        kh_wh: inputs.read("Kh_secondary_Wh", decimal)?,
        multiplier: inputs.read("multiplier", factor)?.or(inputs.read("billing_multiplier", factor)?),
        recorded: inputs.read("recorded", ratio)?,
        actual: inputs.read("actual", ratio)?,
        billed_kwh,
        readings,
        register: dials.map(|dials| dial_register(dials, decimals)).transpose()?,
        pulse: ke.map(|ke| (ke, factor_in.unwrap_or(Factor::ONE))),
        pulses: inputs.read("pulses", count)?.map(u64::from),
        primary_and_secondary_w: primary_w.zip(inputs.read("secondary_W", decimal)?),
    })
}

/// Dials turn before the point; decimals come on top of them.
fn dial_register(dials: u32, decimals: u32) -> Result<Register, String> {
    let digits = |count: u32| u8::try_from(count).map_err(said);
    Register::new(digits(dials.saturating_add(decimals))?, digits(decimals)?).map_err(said)
}

fn ratio(value: &Value) -> Result<Ratio, String> {
    Ratio::parse(value.as_str().ok_or(format!("wanted a ratio, found {value}"))?).map_err(said)
}

fn ratios(value: &Value) -> Result<Vec<Ratio>, String> {
    match value {
        Value::Array(list) => list.iter().map(ratio).collect(),
        one => ratio(one).map(|one| vec![one]),
    }
}

fn factor(value: &Value) -> Result<Factor, String> {
    decimal(value).map(Factor::from)
}

fn count(value: &Value) -> Result<u32, String> {
    value.as_u64().and_then(|count| u32::try_from(count).ok()).ok_or(format!("wanted a count, found {value}"))
}

fn inside(value: &Value) -> Result<RatiosInside, String> {
    match value.as_str() {
        Some("none") => Ok(RatiosInside::None),
        Some("ct") => Ok(RatiosInside::Ct),
        Some("vt") => Ok(RatiosInside::Vt),
        Some("ct_and_vt") => Ok(RatiosInside::CtAndVt),
        _ => Err(format!("wanted none, ct, vt or ct_and_vt, found {value}")),
    }
}

fn put(results: &mut Results, name: &str, value: Factor) {
    results.insert(name.to_owned(), Computed::Number(value.to_f64()));
}

/// Ratios, their product, the multiplier outside the meter, and what a rounded ratio would have made of it.
fn plates(given: &Given, wanted: &[String], results: &mut Results) -> Result<(), String> {
    let Some((ct, vt)) = one_pair(given) else { return Ok(()) };
    let (transformer_factor, _) = multiplier::transformer_factor(ct, vt).map_err(said)?;
    put(results, "ct_ratio", ct.quotient());
    put(results, "vt_ratio", vt.quotient());
    put(results, "transformer_factor", transformer_factor);
    put(results, "exact", transformer_factor);
    results.insert("transformer_factor_exact".to_owned(), Computed::Text(transformer_factor.to_string()));
    if let Some(outside) = multiplier_from_plates(given)? {
        put(results, "billing_multiplier", outside);
        put(results, "multiplier", outside);
    }
    if let Some(kh_wh) = given.kh_wh {
        let (primary_wh, _) = multiplier::primary_kh(kh_wh, ct, vt).map_err(said)?;
        put(results, "primary_Kh_Wh", primary_wh);
        put(results, "primary_Kh_kWh", primary_wh.over(Rational::whole(1000).into()).map_err(said)?);
    }
    for name in wanted {
        if let Some(text) = name.strip_prefix("with_") {
            let rounded = Decimal::parse(&text.replace(['_', 'p'], ".")).map_err(|why| format!("{name}: {why}"))?;
            let rounded = correction::rounded_ratio(ct, vt, rounded).map_err(said)?;
            put(results, name, rounded.factor);
            results.entry("error_percent".to_owned()).or_insert(Computed::Number(rounded.error_percent.to_f64()));
        }
    }
    Ok(())
}

/// The one CT ratio and the one VT ratio of a case, where all elements have the same.
fn one_pair(given: &Given) -> Option<(Ratio, Ratio)> {
    let one = |ratios: &[Ratio]| ratios.first().copied().filter(|first| ratios.iter().all(|other| other == first));
    one(&given.cts).zip(one(&given.vts))
}

fn multiplier_from_plates(given: &Given) -> Result<Option<Factor>, String> {
    let Some((ct, vt)) = one_pair(given) else { return Ok(None) };
    let plates = Plates {
        register_constant: given.register_constant,
        inside: given.inside,
        reads: Reads::Unknown,
        ..Plates::secondary_meter(ct, vt)
    };
    match multiplier::outside(&plates).map_err(said)? {
        Outside::Known(found) => Ok(Some(found.multiplier)),
        Outside::Undecided(_) | Outside::Contradiction { .. } => Ok(None),
    }
}

/// Wrong ratio on record, unequal CTs, power on both sides.
fn corrections(given: &Given, results: &mut Results) -> Result<(), String> {
    let factor = if let Some((recorded, actual)) = given.recorded.zip(given.actual) {
        let (factor, _) = correction::ratio_correction(recorded, actual).map_err(said)?;
        put(results, "factor", factor);
        Some(factor)
    } else if let Some(billed_at) = given.multiplier.filter(|_| !given.cts.is_empty()) {
        let (registration, _) =
            correction::mixed_registration(&given.cts, &given.vts, given.register_constant, billed_at).map_err(said)?;
        put(results, "registration", registration);
        Some(Factor::ONE.over(registration).map_err(said)?)
    } else {
        None
    };
    if let Some(factor) = factor {
        put(results, "correction_factor", factor);
        if let Some(billed) = given.billed_kwh {
            let corrected = correction::corrected_energy(billed, factor).map_err(said)?;
            put(results, "true_kWh", corrected.true_energy);
            results.insert("unbilled_kWh".to_owned(), Computed::Number(corrected.unbilled_f64));
        }
    }
    if let Some((primary, secondary)) = given.primary_and_secondary_w {
        let (found, _) = correction::from_power(primary, secondary).map_err(said)?;
        put(results, "multiplier", found.into());
    }
    Ok(())
}

/// Register differences and pulses.
fn registers(given: &Given, results: &mut Results) -> Result<(), String> {
    let multiplier = given.multiplier.map_or_else(|| multiplier_from_plates(given), |known| Ok(Some(known)))?;
    if let Some((previous, present)) = given.readings {
        let advance = advance(given.register, previous, present)?;
        put(results, "difference", advance.units.into());
        if let Some(multiplier) = multiplier {
            put(results, "kWh", register::energy(&advance, multiplier, "kWh").map_err(said)?.0);
        }
    }
    if let Some((ke, factor)) = given.pulse {
        put(results, "kWh_per_pulse", multiplier::pulse_energy(ke, factor).map_err(said)?.0);
        if let Some(pulses) = given.pulses {
            put(results, "kWh", multiplier::pulse_total(pulses, ke, factor).map_err(said)?.0);
        }
    }
    Ok(())
}

fn advance(register: Option<Register>, previous: Decimal, present: Decimal) -> Result<Advance, String> {
    match register {
        Some(register) => register.advance(previous, present).map_err(said),
        None => register::advance_without_digits(previous, present).map_err(said),
    }
}
