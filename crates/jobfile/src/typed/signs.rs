//! The signs that a typed number is made of: digits of many scripts, separators, minus signs, invisible marks.

/// One sign inside the figures of a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sign {
    /// A digit, and the zero of its script.
    Digit(u8, char),
    /// Something that separates digits.
    Separator(Separator),
}

/// What separates digits. Comma and point stand for decimals in one place and for grouping in another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Separator {
    /// `,` and its full-width and Arabic kin.
    Comma,
    /// `.` and its full-width kin.
    Point,
    /// U+066B, which is a decimal separator and nothing else.
    ArabicDecimal,
    /// U+066C, which groups and nothing else.
    ArabicThousands,
    /// Any horizontal space, which groups and nothing else.
    Space,
    /// `'` and its typographic kin, which group and nothing else.
    Apostrophe,
}

/// The zeros of the decimal digit runs (general category Nd) that keyboards offer; each run is ten code points long.
const ZEROS: &[char] = &[
    '0', '\u{0660}', '\u{06F0}', '\u{07C0}', '\u{0966}', '\u{09E6}', '\u{0A66}', '\u{0AE6}', '\u{0B66}', '\u{0BE6}',
    '\u{0C66}', '\u{0CE6}', '\u{0D66}', '\u{0E50}', '\u{0ED0}', '\u{0F20}', '\u{1040}', '\u{17E0}', '\u{1810}',
    '\u{FF10}',
];

/// Reads one sign, or `None` when it belongs to no figure.
pub(super) fn sign(found: char) -> Option<Sign> {
    let separator = match found {
        ',' | '\u{060C}' | '\u{FF0C}' => Separator::Comma,
        '.' | '\u{FF0E}' => Separator::Point,
        '\u{066B}' => Separator::ArabicDecimal,
        '\u{066C}' => Separator::ArabicThousands,
        ' ' | '\u{00A0}' | '\u{2002}'..='\u{200A}' | '\u{202F}' | '\u{205F}' | '\u{3000}' => Separator::Space,
        '\'' | '\u{2019}' | '\u{02BC}' => Separator::Apostrophe,
        _ => return digit(found),
    };
    Some(Sign::Separator(separator))
}

fn digit(found: char) -> Option<Sign> {
    ZEROS.iter().find_map(|&zero| {
        let above = u32::from(found).checked_sub(u32::from(zero))?;
        let value = u8::try_from(above).ok().filter(|value| *value < 10)?;
        Some(Sign::Digit(value, zero))
    })
}

/// Takes a leading minus or plus; answers whether it was a minus, and what follows. The em dash is left out: it stands
/// for "no value" in tables.
pub(super) fn leading_sign(text: &str) -> (bool, &str) {
    let negative = match text.chars().next() {
        Some('-' | '\u{2010}'..='\u{2013}' | '\u{2212}' | '\u{FE63}' | '\u{FF0D}') => true,
        Some('+' | '\u{FF0B}') => false,
        _ => return (false, text),
    };
    let mut rest = text.chars();
    rest.next();
    (negative, rest.as_str().trim_start_matches(['\u{061C}', '\u{200E}', '\u{200F}']))
}

/// White space, and invisible marks that number formatting of right-to-left scripts puts around a number.
pub(super) fn trim(text: &str) -> &str {
    text.trim_matches(|found: char| found.is_whitespace() || is_mark(found))
}

/// Marks of writing direction and other code points that show nothing.
pub(super) fn is_mark(found: char) -> bool {
    matches!(found, '\u{061C}' | '\u{200B}'..='\u{200F}' | '\u{202A}'..='\u{202E}' | '\u{2060}' | '\u{2066}'..='\u{2069}' | '\u{FEFF}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_of_other_scripts_have_their_value() {
        for (found, value) in [('٣', 3), ('۷', 7), ('५', 5), ('９', 9), ('0', 0)] {
            assert!(matches!(sign(found), Some(Sign::Digit(read, _)) if read == value), "{found}");
        }
        assert_eq!(sign('x'), None);
        assert_eq!(sign('½'), None);
    }

    #[test]
    fn a_minus_of_any_kind_is_taken_and_an_em_dash_is_not() {
        for text in ["-5", "\u{2212}5", "\u{2013}5", "\u{FF0D}5", "\u{2011}5", "-\u{200E}5"] {
            assert_eq!(leading_sign(text), (true, "5"), "{text}");
        }
        assert_eq!(leading_sign("+5"), (false, "5"));
        assert_eq!(leading_sign("\u{2014}5"), (false, "\u{2014}5"));
    }
}
