//! Numbers as files write them.

use crate::oddity::Kind;

/// Reads a value; the kind of oddity where it has none.
pub(crate) fn value(text: &[u8], decimal_comma: bool) -> Result<f64, Kind> {
    let text = text.trim_ascii();
    let words: [&[u8]; 8] = [b"", b"nan", b"null", b"none", b"na", b"n/a", b"-", b"#n/a"];
    let is_number = text.iter().all(|byte| byte.is_ascii_digit() || b"+-.eE".contains(byte));
    if text.is_empty() || !is_number || text.len() == 1 {
        if words.iter().any(|word| text.eq_ignore_ascii_case(word)) {
            return Err(Kind::MissingValue);
        }
        if !is_number {
            return other(text, decimal_comma);
        }
    }
    if decimal_comma && text.contains(&b'.') {
        return Err(Kind::ThousandsSeparator);
    }
    parse(text)
}

fn parse(text: &[u8]) -> Result<f64, Kind> {
    let number = std::str::from_utf8(text).ok().and_then(|text| text.parse::<f64>().ok());
    number.ok_or(Kind::UnreadableValue).and_then(|number| number.is_finite().then_some(number).ok_or(Kind::TooLarge))
}

/// What holds more than digits, sign and point.
fn other(text: &[u8], decimal_comma: bool) -> Result<f64, Kind> {
    let signs = |sign: u8| text.iter().filter(|byte| **byte == sign).count();
    let is_grouped = text.iter().all(|byte| byte.is_ascii_digit() || b"+-.,' \xa0\xc2".contains(byte));
    match (decimal_comma, signs(b','), signs(b'.')) {
        (true, 1, 0) => {
            let pointed: Vec<u8> = text.iter().map(|byte| if *byte == b',' { b'.' } else { *byte }).collect();
            parse(&pointed).map_err(|kind| if is_grouped { Kind::ThousandsSeparator } else { kind })
        }
        _ if is_grouped => Err(Kind::ThousandsSeparator),
        _ => Err(Kind::UnreadableValue),
    }
}
