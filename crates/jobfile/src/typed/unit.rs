//! A unit typed behind a number: is it the unit that the field is kept in?

/// Spellings that a hand uses for the symbols of the kinds table, beside the symbol itself.
const SPELLINGS: &[(&str, &[&str])] = &[
    ("V", &["volt", "volts"]),
    ("A", &["amp", "amps", "ampere", "amperes"]),
    ("°", &["º", "˚", "deg", "degree", "degrees"]),
    ("s", &["sec", "secs", "second", "seconds"]),
];
/// The longest text that is still called a unit when it is refused.
const LONGEST: usize = 12;

/// Whether `found` names the unit `wanted`. Capitals do not matter, except where the unit begins with `m` or `M`,
/// which tell milli from mega.
pub(super) fn names(found: &str, wanted: &str) -> bool {
    if found == wanted {
        return true;
    }
    if wanted.starts_with(['m', 'M']) || wanted.is_empty() {
        return false;
    }
    let spelled = SPELLINGS.iter().find(|(symbol, _)| *symbol == wanted).map_or(&[][..], |(_, spellings)| spellings);
    spelled.iter().chain(std::iter::once(&wanted)).any(|spelling| spelling.eq_ignore_ascii_case(found))
}

/// Whether `found` looks like a unit at all, right or wrong.
pub(super) fn looks_like_one(found: &str) -> bool {
    !found.is_empty()
        && found.chars().count() <= LONGEST
        && found.chars().all(|sign| sign.is_alphabetic() || "°º˚%²³/·\u{2032}\u{2033}".contains(sign))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spellings_of_the_same_unit_are_taken() {
        assert!(names("v", "V") && names("Volts", "V") && names("deg", "°") && names("KWH", "kWh"));
    }

    #[test]
    fn another_size_of_the_unit_is_not_the_unit() {
        assert!(!names("kV", "V") && !names("mA", "A") && !names("MW", "mW") && !names("V", ""));
    }
}
