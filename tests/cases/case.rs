//! One case of a file: inputs taken out by name until none is left over, results judged one by one.

use super::number::Tolerance;
use serde_json::{Map, Value};
use std::collections::BTreeMap;

/// What a runner computed for one name.
#[derive(Clone, Debug, PartialEq)]
pub enum Computed {
    /// A number.
    Number(f64),
    /// A text, compared to the letter.
    Text(String),
    /// That there is none: what a file writes as null.
    Nothing,
}

impl From<Option<f64>> for Computed {
    fn from(found: Option<f64>) -> Self {
        found.map_or(Self::Nothing, Self::Number)
    }
}

/// Results by the name a file wants them under.
pub type Results = BTreeMap<String, Computed>;

/// One wanted value and what became of it.
#[derive(Clone, Debug)]
pub struct Judged {
    /// Its name.
    pub name: String,
    /// What the file wants.
    pub wanted: String,
    /// What was computed.
    pub computed: Computed,
    /// Whether they agree.
    pub agrees: bool,
}

/// What one case came to.
#[derive(Clone, Debug)]
pub struct CaseResult {
    /// The case's id.
    pub id: String,
    /// The case's title.
    pub title: String,
    /// Its values, or why there are none.
    pub values: Result<Vec<Judged>, String>,
}

/// Inputs of a case, taken out one by one: what is left over was not understood.
pub struct Inputs(Map<String, Value>);

/// Computes what inputs allow; the wanted names are handed in because some carry a number (`with_577`).
pub type Compute = fn(&mut Inputs, &[String]) -> Result<Results, String>;

impl CaseResult {
    /// Whether every value agrees, and there is one.
    pub fn passed(&self) -> bool {
        self.values.as_ref().is_ok_and(|values| !values.is_empty() && values.iter().all(|value| value.agrees))
    }

    /// Every value with its bits, for comparison between targets.
    pub fn bits(&self) -> Vec<String> {
        match &self.values {
            Err(why) => vec![format!("{} trouble: {why}", self.id)],
            Ok(values) => {
                values.iter().map(|value| format!("{} {} {}", self.id, value.name, value.computed.bits())).collect()
            }
        }
    }
}

impl Computed {
    fn bits(&self) -> String {
        match self {
            Self::Number(number) => format!("{:016x}", number.to_bits()),
            Self::Text(text) => format!("{text:?}"),
            Self::Nothing => "none".to_owned(),
        }
    }
}

impl Inputs {
    /// Whether the case has an input of that name.
    pub fn has(&self, name: &str) -> bool {
        self.0.contains_key(name)
    }

    /// Takes an input out; None when the case has none of that name.
    pub fn take(&mut self, name: &str) -> Option<Value> {
        self.0.remove(name)
    }

    /// Takes an input out and reads it.
    ///
    /// # Errors
    /// What `read` says, with the name before it.
    pub fn read<T>(&mut self, name: &str, read: impl Fn(&Value) -> Result<T, String>) -> Result<Option<T>, String> {
        self.take(name).map(|value| read(&value).map_err(|why| format!("{name}: {why}"))).transpose()
    }
}

/// Runs every case of a file of the common shape.
///
/// # Errors
/// Why the file has not that shape.
pub fn run_file(text: &str, compute: Compute) -> Result<Vec<CaseResult>, String> {
    let file: Value = serde_json::from_str(text).map_err(|why| format!("not JSON: {why}"))?;
    let file = file.as_object().ok_or("wanted an object")?;
    known(file, &["title", "source", "count", "cases", "conventions", "note", "tolerance"])?;
    let cases = file.get("cases").and_then(Value::as_array).ok_or("cases: wanted a list")?;
    match file.get("count").map(Value::as_u64) {
        Some(Some(count)) if count == cases.len() as u64 => {}
        None => {}
        Some(count) => return Err(format!("count says {count:?}, there are {} cases", cases.len())),
    }
    cases.iter().map(|case| run_case(case, file.get("tolerance"), compute)).collect()
}

fn run_case(case: &Value, default: Option<&Value>, compute: Compute) -> Result<CaseResult, String> {
    let case = case.as_object().ok_or("a case that is no object")?;
    let text = |name: &str| case.get(name).and_then(Value::as_str).map(str::to_owned);
    let id = text("id").ok_or("a case without id")?;
    let title = text("title").unwrap_or_default();
    Ok(CaseResult { id, title, values: values(case, default, compute) })
}

fn values(case: &Map<String, Value>, default: Option<&Value>, compute: Compute) -> Result<Vec<Judged>, String> {
    known(case, &["id", "title", "source", "inputs", "expected", "tolerance", "note"])?;
    let object = |name: &str| case.get(name).and_then(Value::as_object).ok_or(format!("{name}: wanted an object"));
    let tolerance = Tolerance::read(case.get("tolerance").or(default).ok_or("no tolerance")?)?;
    let expected = object("expected")?;
    if expected.is_empty() {
        return Err("nothing is expected".to_owned());
    }
    let mut inputs = Inputs(object("inputs")?.clone());
    let expected = flat(expected);
    let wanted: Vec<String> = expected.iter().map(|(name, _)| name.clone()).collect();
    let results = compute(&mut inputs, &wanted)?;
    if let Some(name) = inputs.0.keys().next() {
        return Err(format!("input {name}: not known"));
    }
    expected.iter().map(|(name, wanted)| judge(name, wanted, &results, tolerance)).collect()
}

/// Lists and objects taken apart: `limits` of two becomes `limits.0` and `limits.1`.
fn flat(expected: &Map<String, Value>) -> Vec<(String, Value)> {
    let inner =
        |name: &String, part: String, value: &Value| flat(&Map::from_iter([(format!("{name}.{part}"), value.clone())]));
    expected
        .iter()
        .flat_map(|(name, value)| match value {
            Value::Array(list) => {
                list.iter().enumerate().flat_map(|(at, one)| inner(name, at.to_string(), one)).collect()
            }
            Value::Object(map) => map.iter().flat_map(|(key, one)| inner(name, key.clone(), one)).collect(),
            one => vec![(name.clone(), one.clone())],
        })
        .collect()
}

fn judge(name: &str, wanted: &Value, results: &Results, tolerance: Tolerance) -> Result<Judged, String> {
    let computed = results.get(name).ok_or(format!("{name}: does not follow from these inputs"))?.clone();
    let agrees = match (&computed, wanted) {
        (Computed::Number(found), Value::Number(number)) => tolerance.allows(*found, number),
        (Computed::Text(found), Value::String(text)) => found == text,
        (Computed::Text(found), Value::Bool(truth)) => *found == truth.to_string(),
        (Computed::Nothing, Value::Null) => true,
        _ => return Err(format!("{name}: found {computed:?}, wanted {wanted}")),
    };
    Ok(Judged { name: name.to_owned(), wanted: wanted.to_string(), computed, agrees })
}

fn known(map: &Map<String, Value>, names: &[&str]) -> Result<(), String> {
    match map.keys().find(|key| !names.contains(&key.as_str())) {
        Some(key) => Err(format!("{key}: not known")),
        None => Ok(()),
    }
}
