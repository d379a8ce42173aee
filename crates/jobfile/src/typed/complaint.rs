//! A text that a field does not take: a stable code, the facts, and what the person may choose instead.

use super::count::{self, CountTrouble};
use super::number::NumberTrouble;
use super::ratio::RatioTrouble;
use super::text::TextTrouble;
use super::time::TimeTrouble;
use super::{decimal_value, time_value};
use crate::kinds::Field;
use chrono::{DateTime, FixedOffset};
use metering::decimal::Decimal;
use metering::range::Range;
use serde_json::Value;

/// Why a text is not stored. The words for it are found by `code`; `facts` fill them in.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{field}: {code} {facts:?}")]
pub struct Complaint {
    /// The field's name.
    pub field: &'static str,
    /// Stable code, never renamed or reused.
    pub code: &'static str,
    /// Named facts, such as `found`, `wanted`, `unit`, `least`, `most`.
    pub facts: Vec<(&'static str, String)>,
    /// Values ready to store, one of which the person may have meant; empty when there is nothing to choose.
    pub choices: Vec<Value>,
}

impl Complaint {
    /// The fact of this name.
    pub fn fact(&self, name: &str) -> Option<&str> {
        self.facts.iter().find(|(named, _)| *named == name).map(|(_, fact)| fact.as_str())
    }

    pub(super) fn new(field: &Field, code: &'static str, facts: Vec<(&'static str, String)>) -> Self {
        Self { field: field.id, code, facts, choices: Vec::new() }
    }

    pub(super) fn of_number(field: &Field, range: Range, trouble: &NumberTrouble, typed: &str) -> Self {
        let mut complaint = Self::new(field, trouble.code(), number_facts(trouble));
        complaint.choices = in_range(trouble, range).map(|value| decimal_value(value, range, typed)).collect();
        complaint
    }

    pub(super) fn of_count(field: &Field, range: Range, trouble: &CountTrouble) -> Self {
        match trouble {
            CountTrouble::NotWhole { found } => Self::new(field, trouble.code(), vec![("found", found.to_string())]),
            CountTrouble::Number(inner) => {
                let mut complaint = Self::new(field, trouble.code(), number_facts(inner));
                complaint.choices = in_range(inner, range).filter_map(count::whole).map(Value::from).collect();
                complaint
            }
        }
    }

    pub(super) fn of_ratio(field: &Field, trouble: &RatioTrouble) -> Self {
        let mut complaint = Self::new(field, trouble.code(), trouble.facts());
        complaint.choices = trouble.choices();
        complaint
    }

    pub(super) fn of_time(field: &Field, trouble: &TimeTrouble) -> Self {
        let (facts, choices): (_, &[DateTime<FixedOffset>]) = match trouble {
            TimeTrouble::Empty => (Vec::new(), &[]),
            TimeTrouble::TooLong { found } => {
                (vec![("found", found.to_string()), ("most", super::time::MOST_CHARACTERS.to_string())], &[])
            }
            TimeTrouble::Shape { found } | TimeTrouble::NoSuchTime { found } => (vec![("found", found.clone())], &[]),
            TimeTrouble::HalfDay { found, choices } | TimeTrouble::Future { found, choices } => {
                (vec![("found", found.clone())], choices)
            }
        };
        let mut complaint = Self::new(field, trouble.code(), facts);
        complaint.choices = choices.iter().copied().map(time_value).collect();
        complaint
    }

    pub(super) fn of_text(field: &Field, trouble: TextTrouble) -> Self {
        let code = trouble.code();
        match trouble {
            TextTrouble::Empty => Self::new(field, code, Vec::new()),
            TextTrouble::TooLong { found, most } => {
                Self::new(field, code, vec![("found", found.to_string()), ("most", most.to_string())])
            }
            TextTrouble::ControlCharacters { found, cleaned } => {
                let mut complaint = Self::new(field, code, vec![("found", found.to_string())]);
                complaint.choices = vec![Value::from(cleaned)];
                complaint
            }
        }
    }
}

/// The readings of an ambiguous number that the field would take.
fn in_range(trouble: &NumberTrouble, range: Range) -> impl Iterator<Item = Decimal> {
    let readings = match trouble {
        NumberTrouble::Ambiguous { as_decimal, as_grouped } => vec![*as_decimal, *as_grouped],
        _ => Vec::new(),
    };
    readings.into_iter().filter(move |value| value.within(range).is_ok())
}

pub(super) fn number_facts(trouble: &NumberTrouble) -> Vec<(&'static str, String)> {
    match trouble {
        NumberTrouble::Empty => Vec::new(),
        NumberTrouble::TooLong { found, most } => vec![("found", found.to_string()), ("most", most.to_string())],
        NumberTrouble::Nonsense { found }
        | NumberTrouble::Unfinished { found }
        | NumberTrouble::Exponent { found }
        | NumberTrouble::NotAValue { found }
        | NumberTrouble::Separators { found } => vec![("found", found.clone())],
        NumberTrouble::Ambiguous { as_decimal, as_grouped } => {
            vec![("as_decimal", as_decimal.to_string()), ("as_grouped", as_grouped.to_string())]
        }
        NumberTrouble::WrongUnit { found, wanted } => vec![("found", found.clone()), ("wanted", (*wanted).to_owned())],
        NumberTrouble::OutOfRange { found, range } => vec![
            ("found", found.to_string()),
            ("least", range.least.to_string()),
            ("most", range.most.to_string()),
            ("unit", range.unit.to_owned()),
        ],
    }
}
