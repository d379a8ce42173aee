//! The canonical form of a JSON tree (RFC 8785): no spaces, keys in the order of their UTF-16 code units, one spelling for
//! every text and number.

use crate::sorting::sort_by;
use crate::strict::LARGEST;
use serde_json::Value;

/// The canonical form of a tree as text.
pub fn canonical_text(tree: &Value) -> String {
    let mut text = String::new();
    write(tree, &mut text);
    text
}

/// The canonical form of a tree, in UTF-8.
pub fn canonical_bytes(tree: &Value) -> Vec<u8> {
    canonical_text(tree).into_bytes()
}

fn write(tree: &Value, out: &mut String) {
    match tree {
        Value::Null => out.push_str("null"),
        Value::Bool(true) => out.push_str("true"),
        Value::Bool(false) => out.push_str("false"),
        Value::Number(number) => match number.as_i64() {
            Some(whole) if whole.unsigned_abs() <= LARGEST => out.push_str(&whole.to_string()),
            _ => write_inexact(number.as_f64().unwrap_or_default(), out),
        },
        Value::String(text) => write_text(text, out),
        Value::Array(list) => {
            let mut before = '[';
            for value in list {
                out.push(before);
                write(value, out);
                before = ',';
            }
            out.push_str(if list.is_empty() { "[]" } else { "]" });
        }
        Value::Object(map) => {
            let mut fields = Vec::new();
            for field in map {
                fields.push(field);
            }
            // A map holds its keys in the order of their bytes, which is another one beyond U+FFFF only.
            sort_by(&mut fields, |(one, _), (other, _)| one.encode_utf16().cmp(other.encode_utf16()));
            let mut before = '{';
            for (key, value) in fields {
                out.push(before);
                write_text(key, out);
                out.push(':');
                write(value, out);
                before = ',';
            }
            out.push_str(if map.is_empty() { "{}" } else { "}" });
        }
    }
}

/// Section 3.2.2.2: only what must be escaped is, in the shortest way there is.
fn write_text(text: &str, out: &mut String) {
    out.push('"');
    for letter in text.chars() {
        let short = match letter {
            '"' | '\\' => letter,
            '\u{8}' => 'b',
            '\t' => 't',
            '\n' => 'n',
            '\u{c}' => 'f',
            '\r' => 'r',
            '\0'..='\u{1f}' => {
                let code = letter as usize;
                out.push_str(if code < 16 { "\\u000" } else { "\\u001" });
                out.extend(char::from_digit(letter as u32 & 15, 16));
                continue;
            }
            _ => {
                out.push(letter);
                continue;
            }
        };
        out.push('\\');
        out.push(short);
    }
    out.push('"');
}

/// Section 3.2.2.3: as ECMAScript writes a number, from the fewest digits that give it back. No entry that was read holds
/// one that is not whole and exact; a tree may.
fn write_inexact(number: f64, out: &mut String) {
    // The figures are those that Rust writes, which are the fewest as well; it never writes a power of ten.
    let mut plain = number.abs().to_string();
    let count = plain.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    // Where two spellings of as few digits are equally near, ECMAScript takes the even one, and Rust the greater.
    if is_halfway(number, count)
        && let Some(last) = plain.pop()
    {
        let even = last.to_digit(10).map_or(0, |digit| digit & !1);
        plain.extend(char::from_digit(even, 10));
    }
    let (whole, decimals) = plain.split_once('.').unwrap_or((&plain, ""));
    let figures = [whole, decimals].concat();
    let behind_zeros = figures.trim_start_matches('0');
    let digits = behind_zeros.trim_end_matches('0');
    let Some((first, others)) = digits.split_at_checked(1) else {
        out.push('0');
        return;
    };
    // How many digits stand before the point, were it written without a power of ten; negative for zeros behind it.
    let point = whole.len() as i32 - (figures.len() - behind_zeros.len()) as i32;
    if number < 0.0 {
        out.push('-');
    }
    let zeros = |count: i32| "0".repeat(usize::try_from(count).unwrap_or(0));
    match point {
        1..=21 => match digits.split_at_checked(point as usize) {
            Some((before, "")) => out.push_str(before),
            Some((before, behind)) => out.push_str(&[before, ".", behind].concat()),
            None => out.push_str(&[digits, &zeros(point - digits.len() as i32)].concat()),
        },
        -5..=0 => out.push_str(&["0.", &zeros(-point), digits].concat()),
        _ => {
            let dot = if others.is_empty() { "" } else { "." };
            let sign = if point > 0 { "+" } else { "" };
            out.push_str(&[first, dot, others, "e", sign, &(point - 1).to_string()].concat());
        }
    }
}

/// Whether a number lies exactly in the middle between two that have so many decimals: an odd number of parts, each of them
/// half of 1/2 to the power of `decimals`.
fn is_halfway(number: f64, decimals: usize) -> bool {
    const FRACTION_BITS: u32 = f64::MANTISSA_DIGITS - 1;
    let bits = number.to_bits();
    let (exponent, fraction) = (bits >> FRACTION_BITS & 0x7ff, bits & ((1 << FRACTION_BITS) - 1));
    let parts = if exponent == 0 { fraction } else { fraction | 1 << FRACTION_BITS };
    // IEEE 754: the parts are counted in 2 to the power of (exponent − 1075), the subnormal ones as those of exponent 1.
    let power_of_two = exponent.max(1) as i64 - 1075 + i64::from(parts.trailing_zeros());
    decimals > 0 && power_of_two == -(decimals as i64) - 1
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use serde_json::{Map, Number};

    fn tree() -> impl Strategy<Value = Value> {
        let text = prop_oneof![
            "\\PC{0,6}",
            proptest::string::string_regex("[\0-\u{20}\"\\\\a\u{7f}\u{ff5e}\u{10000}]{0,6}").unwrap()
        ];
        let leaf = prop_oneof![
            Just(Value::Null),
            any::<bool>().prop_map(Value::from),
            (-9_007_199_254_740_991_i64..=9_007_199_254_740_991).prop_map(Value::from),
            any::<u64>().prop_map(Value::from),
            any::<i64>().prop_map(Value::from),
            any::<u64>().prop_map(|bits| Number::from_f64(f64::from_bits(bits)).map_or(Value::Null, Value::Number)),
            // Whole numbers of ever smaller halves: many lie in the middle between two spellings.
            (0_u64..1 << 53, 0_i32..60).prop_map(|(parts, halvings)| {
                Number::from_f64(parts as f64 * 0.5_f64.powi(halvings)).map_or(Value::Null, Value::Number)
            }),
            (any::<i32>(), -30_i32..30).prop_map(|(figures, power)| {
                Number::from_f64(f64::from(figures) * 10_f64.powi(power)).map_or(Value::Null, Value::Number)
            }),
            text.clone().prop_map(Value::from),
        ];
        leaf.prop_recursive(3, 24, 5, move |inner| {
            prop_oneof![
                prop::collection::vec(inner.clone(), 0..5).prop_map(Value::from),
                prop::collection::vec((text.clone(), inner), 0..5)
                    .prop_map(|fields| Value::Object(fields.into_iter().collect::<Map<_, _>>())),
            ]
        })
    }

    /// Every number of some bits around 2^50, where quarters are the last parts: half of them lie in the middle.
    #[test]
    fn of_two_spellings_equally_near_the_even_one_is_taken() {
        let mut halfway = 0;
        for place in 44..53 {
            for step in 0..4000_u64 {
                let bits = ((1023 + place) << 52) + step * 1_125_899_906_843;
                let number = f64::from_bits(bits);
                let tree = Number::from_f64(number).map_or(Value::Null, Value::Number);
                let text = canonical_text(&tree);
                assert_eq!(text, serde_json_canonicalizer::to_string(&tree).unwrap(), "{bits:x}");
                halfway += usize::from(text != number.to_string());
            }
        }
        assert!(halfway > 100, "{halfway}");
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(2000))]
        #[test]
        fn as_another_canonicalizer_writes_it(tree in tree()) {
            prop_assert_eq!(canonical_text(&tree), serde_json_canonicalizer::to_string(&tree).unwrap());
        }
    }
}
