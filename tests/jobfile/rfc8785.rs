//! The canonical form against the examples that RFC 8785 prints, and against what it must refuse.

use jobfile::{canonical_bytes, canonical_text};
use serde_json::Value;
use std::path::PathBuf;

fn published(name: &str) -> String {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("published/rfc8785").join(name);
    std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// RFC 8785, sections 3.2.2 and 3.2.4.
#[test]
fn the_example_gives_the_printed_bytes() {
    let input: Value = serde_json::from_str(&published("example.input.json")).unwrap();
    let printed = published("example.canonical.hex");
    let printed: Vec<u8> = printed.split_whitespace().map(|byte| u8::from_str_radix(byte, 16).unwrap()).collect();
    assert_eq!(canonical_bytes(&input), printed);
}

/// RFC 8785, section 3.2.3.
#[test]
fn keys_are_sorted_by_utf_16_code_units() {
    let input: Value = serde_json::from_str(&published("sorting.input.json")).unwrap();
    let text = canonical_text(&input);
    let mut rest = text.as_str();
    for value in published("sorting.values.txt").lines() {
        let at = rest.find(&format!(":\"{value}\"")).unwrap_or_else(|| panic!("{value} is not in its place in {text}"));
        rest = &rest[at..];
    }
}

/// RFC 8785, appendix B.
#[test]
fn numbers_are_spelled_as_printed() {
    let mut cases = 0;
    for line in published("numbers.txt").lines() {
        let (bits, printed) = line.split_once(' ').unwrap();
        let number = f64::from_bits(u64::from_str_radix(bits, 16).unwrap());
        // A tree has no form for NaN and the infinities: what the RFC calls an error cannot even be asked for.
        match serde_json::Number::from_f64(number) {
            Some(number) => assert_eq!(canonical_text(&Value::Number(number)), printed, "{bits}"),
            None => assert_eq!(printed, "-", "{bits}"),
        }
        cases += 1;
    }
    assert_eq!(cases, 26);
}

/// Our own: the RFC prints no text that must be refused. Each of these is swallowed by a lenient reader.
#[test]
fn own_negative_vectors_are_refused_with_their_code() {
    for (text, code) in [
        (r#"{"a":1,"a":1}"#, "json.duplicate_key"),
        (r#"{"a":1,"\u0061":2}"#, "json.duplicate_key"),
        (r#"{"a":{"b":1,"c":2,"b":3}}"#, "json.duplicate_key"),
        ("[9007199254740992]", "json.number_too_large"),
        ("[-9007199254740993]", "json.number_too_large"),
        ("[123456789012345678901234567890]", "json.number_too_large"),
        ("[1.0]", "json.not_whole"),
        ("[1e2]", "json.not_whole"),
        ("[-0]", "json.not_whole"),
        ("[NaN]", "json.not_a_number"),
        ("[-Infinity]", "json.not_a_number"),
        (r#"["\ud800"]"#, "json.lone_surrogate"),
        (r#"["\udc00\ud800"]"#, "json.lone_surrogate"),
        (r#"["\ud800\ud800\udc00"]"#, "json.lone_surrogate"),
        ("[\"\u{1}\"]", "json.control_character"),
        ("[\"a\nb\"]", "json.syntax"),
        ("[01]", "json.syntax"),
        ("[+1]", "json.syntax"),
        ("[.5]", "json.syntax"),
        ("[1.]", "json.syntax"),
        ("[1,]", "json.syntax"),
        ("{'a':1}", "json.syntax"),
        ("{a:1}", "json.syntax"),
        (r#"["\x41"]"#, "json.syntax"),
        ("[tru]", "json.syntax"),
        ("[tru", "file.cut_short"),
        ("[1", "file.cut_short"),
        ("[1]]", "file.after_end"),
        ("[1] // note", "file.after_end"),
        ("", "file.cut_short"),
    ] {
        let problems = jobfile::Entry::from_text(text).expect_err(text);
        assert_eq!(problems[0].code, code, "{text}");
        assert!(problems[0].line.is_some(), "{text}");
    }
    let deep = "[".repeat(100_000);
    assert_eq!(jobfile::Entry::from_text(&deep).unwrap_err()[0].code, "json.too_deep");
}
