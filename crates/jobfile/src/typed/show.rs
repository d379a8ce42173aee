//! A stored value back as text: the text to edit, and the figures that are echoed beside the field.

use crate::kinds::{Field, Holds};
use crate::moment::{read_time, write_apart};
use metering::ratio::{Rated, Ratio};
use serde_json::Value;

/// The thin space that sets off groups of three digits and the unit: no hand takes it for a decimal sign.
const THIN: char = '\u{202F}';

/// The text that stands in the field when a stored value is edited: as it was typed, where that was kept. A value that
/// is not of the field's shape shows as the JSON it is; nothing is hidden.
pub fn show_field(field: &Field, value: &Value) -> String {
    let typed = match field.holds {
        Holds::Decimal(_) => value.get("typed").or_else(|| value.get("value")).unwrap_or(value),
        Holds::Ratio => value.get("typed").unwrap_or(value),
        _ => value,
    };
    typed.as_str().map_or_else(|| typed.to_string(), str::to_owned)
}

/// The value as it was understood, in figures with its unit: `1 234.5 V`, `7 200:120`. A point stands before decimals
/// and groups are set off by a thin space. Choices come back as their code.
pub fn echo(field: &Field, value: &Value) -> String {
    let echoed = match field.holds {
        Holds::Decimal(_) => echo_decimal(value),
        Holds::Ratio => echo_ratio(value),
        Holds::Count(..) => value.as_u64().map(|count| grouped(&count.to_string())),
        Holds::Time => echo_time(value),
        Holds::Text(_) | Holds::Choice(_) | Holds::Hash | Holds::Auto(_) => None,
    };
    echoed.unwrap_or_else(|| show_field(field, value))
}

fn echo_decimal(value: &Value) -> Option<String> {
    let figures = grouped(value.get("value")?.as_str()?);
    Some(match value.get("unit")?.as_str()? {
        "" => figures,
        "°" => format!("{figures}°"),
        unit => format!("{figures}{THIN}{unit}"),
    })
}

fn echo_ratio(value: &Value) -> Option<String> {
    let side = |name| -> Option<Rated> {
        let parts: Vec<i64> = value.get(name)?.as_array()?.iter().filter_map(Value::as_i64).collect();
        Rated::from_parts(parts.try_into().ok()?).ok()
    };
    let ratio = Ratio::new(side("primary")?, side("secondary")?).ok()?;
    let parts: Vec<String> = ratio.to_string().split(':').map(group_runs).collect();
    Some(parts.join(":"))
}

fn echo_time(value: &Value) -> Option<String> {
    read_time(value.as_str()?).map(write_apart)
}

/// Groups every run of digits: for text such as `20000/√3`.
fn group_runs(text: &str) -> String {
    let mut shown = String::new();
    let mut rest = text;
    while let Some(start) = rest.find(|sign: char| sign.is_ascii_digit()) {
        let (before, from) = rest.split_at(start);
        let end = from.find(|sign: char| !sign.is_ascii_digit()).unwrap_or(from.len());
        let (run, behind) = from.split_at(end);
        shown.push_str(before);
        shown.push_str(&grouped(run));
        rest = behind;
    }
    shown.push_str(rest);
    shown
}

/// Sets off groups of three in the whole part of a canonical number.
fn grouped(value: &str) -> String {
    let (minus, body) = value.strip_prefix('-').map_or(("", value), |body| ("\u{2212}", body));
    let (whole, decimals) = body.split_once('.').map_or((body, None), |(whole, decimals)| (whole, Some(decimals)));
    let mut shown = minus.to_owned();
    for (index, digit) in whole.chars().enumerate() {
        if index > 0 && (whole.len() - index).is_multiple_of(3) {
            shown.push(THIN);
        }
        shown.push(digit);
    }
    if let Some(decimals) = decimals {
        shown.push('.');
        shown.push_str(decimals);
    }
    shown
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kinds;
    use serde_json::json;

    fn field(kind: &str, field: &str) -> &'static Field {
        kinds::find(kind).and_then(|kind| kind.field(field)).unwrap()
    }

    #[test]
    fn figures_are_echoed_so_that_grouping_and_decimals_differ() {
        let shown = |value: Value| echo(field("reading", "volts"), &value);
        assert_eq!(shown(json!({ "value": "118.20", "unit": "V", "typed": "118,20" })), "118.20\u{202F}V");
        let register = json!({ "value": "1234567.5", "unit": "", "typed": "1234567,5" });
        assert_eq!(echo(field("register", "value"), &register), "1\u{202F}234\u{202F}567.5");
        let angle = json!({ "value": "-25.8", "unit": "°", "typed": "-25.8" });
        assert_eq!(echo(field("reading", "volt_angle"), &angle), "\u{2212}25.8°");
        let ratio = json!({ "typed": "20000/V3:110/V3", "primary": [20000, 1, -1], "secondary": [110, 1, -1] });
        assert_eq!(echo(field("vt_plate", "ratio"), &ratio), "20\u{202F}000/√3:110/√3");
        assert_eq!(
            echo(field("read_set", "done_at"), &json!("2026-11-25T14:05:00+02:00")),
            "2026-11-25 14:05:00 +02:00"
        );
    }

    #[test]
    fn a_value_of_another_shape_is_shown_not_hidden() {
        let volts = field("reading", "volts");
        for value in [json!(null), json!([1, 2]), json!({ "value": 118.2 }), json!("118.2")] {
            assert!(!show_field(volts, &value).is_empty());
            assert!(!echo(volts, &value).is_empty());
        }
    }
}
