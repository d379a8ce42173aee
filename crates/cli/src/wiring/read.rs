//! A case as written, made a visit; whatever is not there, or is no number, counts as not read.

use super::name::Names;
use metering::diagnosis::{Adding, Display, Load, OwnDisplay, Readings, Repeated, ShortTest, Shown, Told, Visit};
use metering::service::{self, Sequence};
use serde_json::Value;

/// The visit of a case; `None` where its service is not known.
pub fn visit(case: &Value) -> Option<Visit<'static>> {
    let service = service::find(case["service"].as_str()?)?;
    let names = Names::of(service);
    let readings = &case["readings"];
    let lagging = readings["angle_convention"].as_str() == Some("lagging_0_360");
    let installation = &case["installation"];
    let ratio = |name: &str| {
        let pair = installation[name].as_array();
        let pair = pair.and_then(|pair| Some(pair.first()?.as_f64()? / pair.get(1)?.as_f64()?));
        pair.or_else(|| installation[format!("{name}_ratio").as_str()].as_f64()).unwrap_or(1.0)
    };
    let volts = shown(&names.volts, &readings["voltages"], "volts", lagging);
    let nominal = installation["nominal_meter_volts"].as_f64().unwrap_or_else(|| nominal(&volts));
    let told = &case["told"];
    let rotation = told["rotation"].as_str().or_else(|| installation["rotation"].as_str());
    let factor = ratio("ct") * ratio("vt") / 1000.0;
    Some(Visit {
        service,
        nominal_volts: nominal,
        adding: match installation["adding"].as_str() {
            Some("absolute") => Some(Adding::Absolute),
            Some("positive_only") => Some(Adding::PositiveOnly),
            Some("net") => Some(Adding::Net),
            _ if installation.get("adding").is_some() => None,
            _ => Some(Adding::Net),
        },
        told: Told {
            load: match told["load"].as_str() {
                Some("mixed") => Some(Load::Mixed),
                Some("motors") => Some(Load::Motors),
                Some("lighting") => Some(Load::Lighting),
                Some("capacitors") => Some(Load::Capacitors),
                Some("generation") => Some(Load::Generation),
                _ => None,
            },
            generation: match told["generation"].as_str() {
                Some("yes") => Some(true),
                Some("no") => Some(false),
                _ => None,
            },
            rotation: match rotation {
                Some("ABC") => Some(Sequence::Abc),
                Some("ACB" | "CBA") => Some(Sequence::Cba),
                _ => None,
            },
        },
        readings: Readings {
            reference: place(&names.volts, readings["reference"].as_str()),
            volts,
            amps: shown(&names.amps, &readings["currents"], "amps", lagging),
            element_watts: numbers(&names.elements, &readings["element_watts"]),
            own: own(&names, &readings["meter_display"]),
            display: Display {
                watts: readings["display"]["kw"].as_f64().map(|kw| kw / factor),
                power_factor: readings["display"]["pf"].as_f64(),
                lagging: readings["display"]["sense"].as_str().map(|sense| sense == "lag"),
            },
            tests: tests(&names, &readings["action_tests"]),
            instrument_degrees: readings["instrument"]["angle_deg"].as_f64(),
            repeated: repeated(&names, case),
        },
    })
}

/// Where no nominal voltage is stated: the middle one of those read, for a service whose channels are alike.
fn nominal(volts: &[Shown; 3]) -> f64 {
    let mut sizes: Vec<f64> = volts.iter().filter_map(|one| one.size).filter(|size| *size > 1.0).collect();
    sizes.sort_by(f64::total_cmp);
    sizes.get(sizes.len() / 2).copied().unwrap_or(120.0)
}

fn place(names: &[&str], name: Option<&str>) -> Option<usize> {
    names.iter().position(|known| Some(*known) == name)
}

fn shown(names: &[&str], from: &Value, unit: &str, lagging: bool) -> [Shown; 3] {
    std::array::from_fn(|k| {
        let Some(one) = names.get(k).map(|name| &from[*name]) else { return Shown::default() };
        Shown {
            size: one[unit].as_f64().or_else(|| one["mag"].as_f64()),
            degrees: one["deg"].as_f64().map(|degrees| if lagging { -degrees } else { degrees }),
        }
    })
}

fn numbers(names: &[&str], from: &Value) -> [Option<f64>; 3] {
    std::array::from_fn(|k| names.get(k).and_then(|name| from[*name].as_f64()))
}

fn own(names: &Names, from: &Value) -> [OwnDisplay; 3] {
    let mut own = [OwnDisplay::default(); 3];
    for (k, one) in own.iter_mut().enumerate() {
        if let Some(name) = names.amps.get(k) {
            one.amps = from[*name]["amps"].as_f64();
        }
        if let Some(name) = names.elements.get(k) {
            one.watts = from[*name]["watts"].as_f64();
            one.vars = from[*name]["vars"].as_f64();
        }
    }
    own
}

fn tests(names: &Names, from: &Value) -> Vec<ShortTest> {
    let read = |test: &Value| {
        Some(ShortTest {
            ct: place(&names.amps, test["short_ct"].as_str())?,
            vanished: test["vanished"].as_str().map(|name| place(&names.amps, Some(name))),
            watts_before: test["watts_before"].as_f64(),
            watts_after: test["watts_after"].as_f64(),
        })
    };
    from.as_array().into_iter().flatten().filter_map(read).collect()
}

fn repeated(names: &Names, case: &Value) -> Repeated {
    let fresh: Vec<&str> = case["repeated"].as_array().into_iter().flatten().filter_map(Value::as_str).collect();
    let amps = std::array::from_fn(|k| {
        names.amps.get(k).is_some_and(|name| fresh.contains(&format!("currents.{name}").as_str()))
    });
    Repeated { amps, volts: fresh.contains(&"voltages"), display: fresh.contains(&"meter_display") }
}
