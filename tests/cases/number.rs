//! Reads the numbers of a case file exactly, as decimals, and compares results with them under a stated tolerance.

use metering::decimal::Decimal;
use serde_json::Value;
use std::fmt::Display;

/// Figures from which on a number of a file is taken to be rounded by whoever wrote it.
const ROUNDED_FROM_FIGURES: usize = 12;

/// How far a result may be off.
#[derive(Clone, Copy, Debug)]
pub struct Tolerance {
    /// Share of the number wanted.
    pub relative: f64,
    /// Units of the number wanted.
    pub absolute: f64,
}

impl Tolerance {
    /// Reads `{"rel": …, "abs": …}`; at least one of them, nothing else.
    ///
    /// # Errors
    /// What was found instead.
    pub fn read(value: &Value) -> Result<Self, String> {
        let map = value.as_object().filter(|map| !map.is_empty()).ok_or("tolerance: wanted an object")?;
        let mut read = Self { relative: 0.0, absolute: 0.0 };
        for (key, value) in map {
            let number = value.as_f64().ok_or(format!("tolerance {key}: wanted a number, found {value}"))?;
            match key.as_str() {
                "rel" => read.relative = number,
                "abs" => read.absolute = number,
                _ => return Err(format!("tolerance {key}: not known")),
            }
        }
        Ok(read)
    }

    /// Whether `found` is near enough to `wanted`. A number written with 12 figures or more was rounded to them by its
    /// author (1.33333333333 for 4/3), so half a unit of its last figure is allowed besides.
    pub fn allows(self, found: f64, wanted: &serde_json::Number) -> bool {
        let Some(number) = wanted.as_f64() else { return false };
        let allowed = self.relative * number.abs() + self.absolute + half_of_last_figure(&wanted.to_string());
        (found - number).abs() <= allowed
    }
}

/// Half a unit of the last figure, where there are enough figures to think it rounded; 0 otherwise.
fn half_of_last_figure(text: &str) -> f64 {
    let (figures, decimals) = match text.split_once('.') {
        Some((_, decimals)) if decimals.bytes().all(|byte| byte.is_ascii_digit()) => {
            (text.trim_start_matches(['-', '0', '.']).bytes().filter(u8::is_ascii_digit).count(), decimals.len())
        }
        _ => return 0.0,
    };
    if figures < ROUNDED_FROM_FIGURES {
        return 0.0;
    }
    let unit = format!("0.{}5", "0".repeat(decimals));
    unit.parse().unwrap_or(0.0)
}

/// An exact decimal from a JSON number, or from a string in canonical spelling.
///
/// # Errors
/// What was found instead.
pub fn decimal(value: &Value) -> Result<Decimal, String> {
    let text = match value {
        // A JSON writer puts `.0` behind a whole float; it says nothing about how finely anything was read.
        Value::Number(number) => plain(number.to_string().trim_end_matches(".0"))?,
        Value::String(text) => text.clone(),
        other => return Err(format!("wanted a number, found {other}")),
    };
    Decimal::parse(&text).map_err(|why| format!("{text:?}: {why}"))
}

/// Writes an exponent out: `1e-5` is `0.00001`.
fn plain(text: &str) -> Result<String, String> {
    let Some((figures, exponent)) = text.split_once(['e', 'E']) else { return Ok(text.to_owned()) };
    let exponent: i32 = exponent.parse().map_err(|_| format!("{text:?}: exponent"))?;
    let (sign, figures) = figures.strip_prefix('-').map_or(("", figures), |figures| ("-", figures));
    let (whole, part) = figures.split_once('.').unwrap_or((figures, ""));
    let digits = format!("{whole}{part}");
    let point = whole.len() as i32 + exponent;
    if !(-40..=40).contains(&point) {
        return Err(format!("{text:?}: exponent"));
    }
    let (whole, part) = if point <= 0 {
        ("0".to_owned(), format!("{}{digits}", "0".repeat(point.unsigned_abs() as usize)))
    } else if point as usize >= digits.len() {
        (format!("{digits}{}", "0".repeat(point as usize - digits.len())), String::new())
    } else {
        (digits[..point as usize].to_owned(), digits[point as usize..].to_owned())
    };
    Ok(if part.is_empty() { format!("{sign}{whole}") } else { format!("{sign}{whole}.{part}") })
}

/// An error in words, for the table.
pub fn said(why: impl Display) -> String {
    why.to_string()
}

/// A number as it stands.
///
/// # Errors
/// What stands there instead.
pub fn float(value: &Value) -> Result<f64, String> {
    value.as_f64().ok_or(format!("wanted a number, found {value}"))
}

/// A list of numbers.
///
/// # Errors
/// What stands there instead.
pub fn floats(value: &Value) -> Result<Vec<f64>, String> {
    value.as_array().ok_or("wanted a list")?.iter().map(float).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn numbers_are_read_exactly() {
        for (value, text) in [
            (json!(1.8), "1.8"),
            (json!(0.0003), "0.0003"),
            (json!(1e-7), "0.0000001"),
            (json!(1.5e-7), "0.00000015"),
            (json!(-2.5e20), "-250000000000000000000"),
            (json!(99871), "99871"),
            (json!(80.0), "80"),
            (json!("118.20"), "118.20"),
        ] {
            assert_eq!(decimal(&value).unwrap().to_string(), text);
        }
        for bad in [json!(null), json!("x"), json!([1])] {
            assert!(decimal(&bad).is_err());
        }
    }

    #[test]
    fn only_long_figures_are_taken_as_rounded() {
        let strict = Tolerance::read(&json!({"rel": 1e-12})).unwrap();
        let allows = |found: f64, wanted: Value| strict.allows(found, wanted.as_number().unwrap());
        assert!(allows(4.0 / 3.0, json!(1.333_333_333_33)));
        assert!(!allows(4.0 / 3.0, json!(1.333_333_333)));
        assert!(!allows(80.000_000_1, json!(80.0)));
        assert!(!allows(f64::NAN, json!(80.0)));
    }
}
