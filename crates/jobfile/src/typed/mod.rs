//! What a hand typed, and the value that is stored for it. A text is read exactly, asked about, or refused with the
//! facts; it is never read as something else, and the text itself is kept.

mod complaint;
mod count;
mod number;
mod ratio;
mod show;
mod signs;
mod text;
mod time;
mod unit;

use crate::kinds::{Field, Holds};
use crate::moment::write_seconds;
use crate::what::put;
use chrono::{DateTime, FixedOffset};
use metering::decimal::Decimal;
use metering::range::Range;
use serde_json::{Map, Value};

pub use complaint::Complaint;
pub use count::{CountTrouble, read_count};
pub use number::{NumberStyle, NumberTrouble, TypedNumber, read_number};
pub use ratio::{RatioTrouble, TypedRatio, read_ratio};
pub use show::{echo, show_field};
pub use text::{TextTrouble, read_text};
pub use time::{ClockStyle, TimeTrouble, read_time};

/// What a reader must know beside the text.
#[derive(Clone, Copy, Debug)]
pub struct Context {
    /// The moment of typing, in the offset that the person lives in: it gives a time of day its day.
    pub now: DateTime<FixedOffset>,
    /// Which sign the person writes before decimals.
    pub number_style: NumberStyle,
    /// How the person tells the time.
    pub clock_style: ClockStyle,
}

/// Every code of a [`Complaint`], besides those of [`metering::ratio::RatioError`].
pub const CODES: &[&str] = &[
    "typed.empty",
    "typed.too_long",
    "typed.not_a_number",
    "typed.unfinished",
    "typed.exponent",
    "typed.not_a_value",
    "typed.separators",
    "typed.ambiguous",
    "typed.wrong_unit",
    "typed.out_of_range",
    "typed.not_whole",
    "typed.not_a_time",
    "typed.no_such_time",
    "typed.half_day",
    "typed.time_ahead",
    "typed.control_characters",
    "typed.not_a_choice",
    "typed.not_a_hash",
    "typed.not_a_ratio",
];

/// Reads `text` as the value of `field`, ready to store.
///
/// # Errors
/// [`Complaint`], with values to choose from where the text has several readings. Once one of them is chosen, the form
/// keeps it with [`read_or_keep`] until the text is changed.
pub fn read_field(field: &Field, text: &str, context: &Context) -> Result<Value, Complaint> {
    match field.holds {
        Holds::Text(most) | Holds::Auto(most) => {
            read_text(text, most).map(Value::from).map_err(|trouble| Complaint::of_text(field, trouble))
        }
        Holds::Choice(codes) => read_choice(field, text, codes),
        Holds::Count(least, most) => read_count(text, least, most, context.number_style)
            .map(Value::from)
            .map_err(|trouble| Complaint::of_count(field, count::range(least, most), &trouble)),
        Holds::Decimal(range) => read_number(text, range, context.number_style)
            .map(|read| decimal_value(read.value, range, text))
            .map_err(|trouble| Complaint::of_number(field, range, &trouble, text)),
        Holds::Ratio => match read_ratio(text) {
            Ok(read) => ratio_value(&read).ok_or_else(|| unstorable_ratio(field, text)),
            Err(trouble) => Err(Complaint::of_ratio(field, &trouble)),
        },
        Holds::Time => read_time(text, context.now, context.clock_style)
            .map(time_value)
            .map_err(|trouble| Complaint::of_time(field, &trouble)),
        Holds::Hash => read_hash(field, text),
    }
}

/// As [`read_field`], but `kept` stands while the text is still the one that it shows: a choice made among several
/// readings is not asked again.
///
/// # Errors
/// As [`read_field`].
pub fn read_or_keep(field: &Field, text: &str, context: &Context, kept: Option<&Value>) -> Result<Value, Complaint> {
    match kept {
        Some(kept) if show_field(field, kept) == signs::trim(text) => Ok(kept.clone()),
        _ => read_field(field, text, context),
    }
}

fn read_choice(field: &Field, text: &str, codes: &[&str]) -> Result<Value, Complaint> {
    let code = text.trim();
    if code.is_empty() {
        return Err(Complaint::new(field, "typed.empty", Vec::new()));
    }
    if codes.contains(&code) {
        return Ok(Value::from(code));
    }
    let found = code.chars().take(64).collect();
    Err(Complaint::new(field, "typed.not_a_choice", vec![("found", found), ("wanted", codes.join(", "))]))
}

fn read_hash(field: &Field, text: &str) -> Result<Value, Complaint> {
    let hash = text.trim().to_ascii_lowercase();
    if hash.is_empty() {
        return Err(Complaint::new(field, "typed.empty", Vec::new()));
    }
    if hash.len() == 64 && hash.bytes().all(|sign| sign.is_ascii_hexdigit()) {
        return Ok(Value::from(hash));
    }
    Err(Complaint::new(field, "typed.not_a_hash", vec![("found", hash.chars().take(64).collect())]))
}

fn unstorable_ratio(field: &Field, text: &str) -> Complaint {
    Complaint::new(field, "typed.not_a_ratio", vec![("found", text.trim().to_owned())])
}

fn decimal_value(value: Decimal, range: Range, typed: &str) -> Value {
    let mut tree = Map::new();
    put(&mut tree, "value", value.to_string());
    put(&mut tree, "unit", range.unit);
    put(&mut tree, "typed", signs::trim(typed));
    Value::Object(tree)
}

/// The stored form of a ratio; `None` where a side does not fit whole numbers of 64 bits.
fn ratio_value(read: &TypedRatio) -> Option<Value> {
    let (primary, secondary) = (read.ratio.primary().parts()?, read.ratio.secondary().parts()?);
    let mut tree = Map::new();
    put(&mut tree, "typed", signs::trim(&read.typed));
    put(&mut tree, "primary", primary.map(Value::from).to_vec());
    put(&mut tree, "secondary", secondary.map(Value::from).to_vec());
    Some(Value::Object(tree))
}

fn time_value(moment: DateTime<FixedOffset>) -> Value {
    Value::from(write_seconds(moment))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kinds::{self, Kind};
    use proptest::prelude::*;
    use serde_json::json;

    fn context() -> Context {
        Context {
            now: DateTime::parse_from_rfc3339("2026-11-25T15:00:00+02:00").unwrap(),
            number_style: NumberStyle::Comma,
            clock_style: ClockStyle::TwentyFour,
        }
    }

    fn field(kind: &str, field: &str) -> &'static Field {
        kinds::find(kind).and_then(|kind| kind.field(field)).unwrap()
    }

    fn read(kind: &str, name: &str, text: &str) -> Result<Value, Complaint> {
        read_field(field(kind, name), text, &context())
    }

    #[test]
    fn every_kind_of_field_is_stored_as_the_table_says() {
        let volts = json!({ "value": "118.2", "unit": "V", "typed": "118,2 V" });
        assert_eq!(read("reading", "volts", "118,2 V"), Ok(volts));
        assert_eq!(read("meter_plate", "digits", " 5 "), Ok(json!(5)));
        let ratio = json!({ "typed": "7 200:120", "primary": [7200, 1, 0], "secondary": [120, 1, 0] });
        assert_eq!(read("vt_plate", "ratio", "7 200:120"), Ok(ratio));
        assert_eq!(read("read_set", "done_at", "14.05"), Ok(json!("2026-11-25T14:05:00+02:00")));
        assert_eq!(read("job", "service", "wye3"), Ok(json!("wye3")));
        assert_eq!(read("job", "site", " Pump house \n"), Ok(json!("Pump house")));
        assert_eq!(read("choice", "chosen", &"AB".repeat(32)), Ok(json!("ab".repeat(32))));
    }

    #[test]
    fn complaints_carry_code_facts_and_choices() {
        let asked = read("register", "value", "12,345").unwrap_err();
        assert_eq!((asked.field, asked.code), ("value", "typed.ambiguous"));
        assert_eq!((asked.fact("as_decimal"), asked.fact("as_grouped")), (Some("12.345"), Some("12345")));
        assert_eq!(asked.choices[1], json!({ "value": "12345", "unit": "", "typed": "12,345" }));
        let refused = read("reading", "volts", "12 kV").unwrap_err();
        assert_eq!(
            (refused.code, refused.fact("found"), refused.fact("wanted")),
            ("typed.wrong_unit", Some("kV"), Some("V"))
        );
        let outside = read("reading", "volts", "7200").unwrap_err();
        assert_eq!(
            (outside.code, outside.fact("most"), outside.fact("unit")),
            ("typed.out_of_range", Some("700"), Some("V"))
        );
        let ahead = read("read_set", "done_at", "16:00").unwrap_err();
        assert_eq!(ahead.choices, [json!("2026-11-24T16:00:00+02:00"), json!("2026-11-25T16:00:00+02:00")]);
        assert_eq!(read("job", "service", "delta").unwrap_err().code, "typed.not_a_choice");
        assert_eq!(read("choice", "chosen", "abc").unwrap_err().code, "typed.not_a_hash");
    }

    #[test]
    fn a_choice_is_kept_until_the_text_changes() {
        let value = field("register", "value");
        let chosen = read_field(value, "12,345", &context()).unwrap_err().choices.remove(1);
        assert_eq!(read_or_keep(value, "12,345", &context(), Some(&chosen)), Ok(chosen.clone()));
        assert_eq!(read_or_keep(value, "12,346", &context(), Some(&chosen)).unwrap_err().code, "typed.ambiguous");
    }

    #[test]
    fn nothing_typed_is_refused_in_every_field() {
        for field in kinds::all().flat_map(|kind: &Kind| kind.fields) {
            for text in ["", " ", "\n\t"] {
                assert_eq!(read_field(field, text, &context()).unwrap_err().code, "typed.empty", "{}", field.id);
            }
        }
    }

    /// What the check of stored values says about this one.
    fn trouble_with(field: &Field, value: &Value) -> Vec<String> {
        let kind = kinds::all().find(|kind| kind.fields.iter().any(|one| std::ptr::eq(one, field))).unwrap();
        let fields = Map::from_iter([(field.id.to_owned(), value.clone())]);
        let problems = crate::check::tree(kind.id, "", &fields);
        let path = format!("/what/fields/{}", field.id);
        let within =
            |found: &str| found.strip_prefix(&path).is_some_and(|rest| rest.is_empty() || rest.starts_with('/'));
        problems.iter().filter(|problem| within(&problem.path)).map(|problem| format!("{problem:?}")).collect()
    }

    proptest! {
        /// What is stored shows again as text that reads back to the same value; no text panics in any field.
        #[test]
        fn stored_values_read_back(text in "[0-9:,. /√A-Za-z°\\PC]{0,80}", index in 0_usize..200) {
            let fields: Vec<_> = kinds::all().flat_map(|kind| kind.fields).collect();
            let field = fields[index % fields.len()];
            let read = read_field(field, &text, &context());
            if let Err(complaint) = &read {
                let is_listed = CODES.contains(&complaint.code) || complaint.code.starts_with("ratio.");
                prop_assert!(is_listed, "{}", complaint.code);
                for choice in &complaint.choices {
                    prop_assert_eq!(trouble_with(field, choice), Vec::<String>::new());
                }
            }
            if let Ok(value) = read {
                prop_assert_eq!(read_field(field, &show_field(field, &value), &context()), Ok(value.clone()));
                prop_assert!(!echo(field, &value).is_empty());
                prop_assert_eq!(trouble_with(field, &value), Vec::<String>::new());
            }
        }
    }
}
