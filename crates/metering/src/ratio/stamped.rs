//! Reads the text of a plate; refuses what could be read in two ways.

use super::{RatedError, Ratio};
use crate::ratio::Rated;
use crate::rational::Rational;
use thiserror::Error;

/// Which side of a ratio.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Towards the line.
    Primary,
    /// Towards the meter.
    Secondary,
}

/// Why a text is no ratio.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum RatioError {
    /// There is no text.
    #[error("no text")]
    Empty,
    /// More text than any plate carries.
    #[error("{found} characters, {most} at most", most = MOST_CHARACTERS)]
    TooLong {
        /// How many characters there are.
        found: usize,
    },
    /// Nothing says where the primary ends: no colon, and not the one slash of `200/5`.
    #[error("no colon between primary and secondary")]
    NoSeparator,
    /// More than one colon.
    #[error("{found} colons, wanted 1")]
    ManySeparators {
        /// How many colons there are.
        found: usize,
    },
    /// One side has no number.
    #[error("{side:?}: no number")]
    NoNumber {
        /// Which side.
        side: Side,
    },
    /// Something that is no part of a number, of √3 or of a unit.
    #[error("{side:?}: unexpected {found:?}")]
    Unexpected {
        /// Which side.
        side: Side,
        /// The first character that could not be read.
        found: char,
    },
    /// `14,400` or `14.400`: grouping or a decimal sign, the text cannot tell.
    #[error("{side:?}: {found:?} may group digits or begin decimals")]
    Ambiguous {
        /// Which side.
        side: Side,
        /// The number as written.
        found: String,
    },
    /// A side is divided by something other than √3 or 3: a plate with two windings, or a slip.
    #[error("{side:?}: divided by {found:?}, wanted √3 or 3")]
    Divisor {
        /// Which side.
        side: Side,
        /// What stands after the slash.
        found: String,
    },
    /// `100x200:5`: the primary can be linked in series or in parallel; the ratio as linked is wanted.
    #[error("two primaries on one plate: {found:?}")]
    TwoPrimaries {
        /// The side as written.
        found: String,
    },
    /// One side is in volts, the other in amperes.
    #[error("one side in volts, the other in amperes")]
    Units,
    /// The number read is none that a plate carries.
    #[error("{side:?}: {why}")]
    Rated {
        /// Which side.
        side: Side,
        /// What is wrong with it.
        why: RatedError,
    },
}

impl RatioError {
    /// Every code that [`Self::code`] can give.
    pub const CODES: &'static [&'static str] = &[
        "ratio.empty",
        "ratio.too_long",
        "ratio.no_separator",
        "ratio.many_separators",
        "ratio.no_number",
        "ratio.unexpected",
        "ratio.ambiguous",
        "ratio.divisor",
        "ratio.two_primaries",
        "ratio.units",
        "ratio.size",
        "ratio.exact",
        "ratio.turns",
    ];

    /// The stable code by which the sentence for people is found.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Empty => "ratio.empty",
            Self::TooLong { .. } => "ratio.too_long",
            Self::NoSeparator => "ratio.no_separator",
            Self::ManySeparators { .. } => "ratio.many_separators",
            Self::NoNumber { .. } => "ratio.no_number",
            Self::Unexpected { .. } => "ratio.unexpected",
            Self::Ambiguous { .. } => "ratio.ambiguous",
            Self::Divisor { .. } => "ratio.divisor",
            Self::TwoPrimaries { .. } => "ratio.two_primaries",
            Self::Units => "ratio.units",
            Self::Rated { why, .. } => why.code(),
        }
    }
}

/// The longest text that is looked at.
pub const MOST_CHARACTERS: usize = 60;
/// How √3 is spelled, lower case, without spaces. Those in brackets come first: a text is matched by its end.
const ROOTS: &[&str] = &["√(3)", "√3", "sqrt(3)", "sqrt3", "root3", "v3"];
/// Digits that a number may have before its size alone refuses it.
const MOST_DIGITS: usize = 15;

/// One side as written: its number, its power of √3, its unit letter if any.
struct Written {
    rational: Rational,
    power: i8,
    unit: Option<char>,
}

pub(super) fn parse(text: &str) -> Result<Ratio, RatioError> {
    let found = text.chars().count();
    if found > MOST_CHARACTERS {
        return Err(RatioError::TooLong { found });
    }
    let plain = plain(text);
    let (left, right) = split(plain.trim())?;
    let primary = written(left, Side::Primary)?;
    let secondary = written(right, Side::Secondary)?;
    if let (Some(one), Some(other)) = (primary.unit, secondary.unit)
        && one != other
    {
        return Err(RatioError::Units);
    }
    let rated =
        |side, from: &Written| Rated::new(from.rational, from.power).map_err(|why| RatioError::Rated { side, why });
    Ratio::new(rated(Side::Primary, &primary)?, rated(Side::Secondary, &secondary)?)
        .map_err(|why| RatioError::Rated { side: Side::Secondary, why })
}

/// One spelling for each sign that has several.
fn plain(text: &str) -> String {
    text.chars()
        .map(|character| match character.to_ascii_lowercase() {
            '∶' | '：' => ':',
            '⁄' | '∕' => '/',
            '\u{a0}' | '\u{202f}' | '\u{2009}' | '\t' => ' ',
            '’' => '\'',
            '×' => 'x',
            other => other,
        })
        .collect()
}

fn split(text: &str) -> Result<(&str, &str), RatioError> {
    if text.is_empty() {
        return Err(RatioError::Empty);
    }
    match text.matches(':').count() {
        1 => text.split_once(':').ok_or(RatioError::NoSeparator),
        0 => match text.split_once('/') {
            // One slash between two plain numbers is the CT habit. With √3, or a 3 alone, it is one side of a longer plate.
            Some((left, right))
                if !right.contains('/') && right.trim() != "3" && !has_root(left) && !has_root(right) =>
            {
                Ok((left, right))
            }
            _ => Err(RatioError::NoSeparator),
        },
        found => Err(RatioError::ManySeparators { found }),
    }
}

fn written(text: &str, side: Side) -> Result<Written, RatioError> {
    let (head, divisor) = text.split_once('/').map_or((text, None), |(head, divisor)| (head, Some(divisor)));
    let (head, head_unit) = without_unit(head);
    let (divisor, divisor_unit) = divisor.map_or((None, None), |divisor| {
        let (divisor, unit) = without_unit(divisor);
        (Some(divisor), unit)
    });
    let (number, root_above) = above(head);
    let above = match number {
        "" if root_above => Rational::ONE,
        number => self::number(number, side)?,
    };
    let whole = |rational, power| Written { rational, power, unit: head_unit.or(divisor_unit) };
    match divisor.map(|divisor| (divisor, root_before(divisor))) {
        None => Ok(whole(above, i8::from(root_above))),
        Some((_, Some(""))) => Ok(whole(above, i8::from(root_above) - 1)),
        Some(("3", _)) => {
            let third = above.over(Rational::whole(3)).map_err(|why| RatioError::Rated { side, why: why.into() })?;
            Ok(whole(third, i8::from(root_above)))
        }
        Some((found, _)) => Err(RatioError::Divisor { side, found: found.to_owned() }),
    }
}

/// The number above the line, and whether √3 stands beside it. After a number only the sign `√` will do: `20000V3` has lost its slash.
fn above(head: &str) -> (&str, bool) {
    match root_before(head) {
        Some("") => ("", true),
        Some(number) if head.contains('√') => (number.trim_end_matches(['·', '*']).trim_end(), true),
        _ => (head, false),
    }
}

/// What stands before a final √3, if the text ends with one.
fn root_before(text: &str) -> Option<&str> {
    let close = text.trim_end();
    // `√ 3`: the only spelling in which a space is common.
    let spaced = close.strip_suffix('3').map(str::trim_end).and_then(|rest| rest.strip_suffix('√'));
    spaced.or_else(|| ROOTS.iter().find_map(|root| close.strip_suffix(root))).map(str::trim)
}

fn has_root(text: &str) -> bool {
    text.contains('√') || ROOTS.iter().any(|root| text.contains(root))
}

/// Takes a unit letter off the end: volts or amperes as they are, no prefix.
fn without_unit(text: &str) -> (&str, Option<char>) {
    let text = text.trim();
    match text.strip_suffix(['v', 'a']) {
        Some(rest) if rest.trim_end().ends_with(|c: char| c.is_ascii_digit() || c == ')') => {
            (rest.trim_end(), text.chars().next_back())
        }
        _ => (text, None),
    }
}

/// Reads a positive number: digits, perhaps grouped in threes by spaces, perhaps decimals that cannot be a group.
fn number(text: &str, side: Side) -> Result<Rational, RatioError> {
    if text.is_empty() {
        return Err(RatioError::NoNumber { side });
    }
    let two_primaries = |(left, right): (&str, &str)| {
        left.trim_end().ends_with(|c: char| c.is_ascii_digit())
            && right.trim_start().starts_with(|c: char| c.is_ascii_digit())
    };
    if text.split_once('x').is_some_and(two_primaries) {
        return Err(RatioError::TwoPrimaries { found: text.to_owned() });
    }
    let readable = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | ' ' | '\'');
    if let Some(found) = text.chars().find(|c| !readable(*c)) {
        return Err(RatioError::Unexpected { side, found });
    }
    let ambiguous = || RatioError::Ambiguous { side, found: text.to_owned() };
    let (whole, part) = match text.find(['.', ',']) {
        None => (text, ""),
        Some(at) => (&text[..at], &text[at + 1..]),
    };
    let digits = ungrouped(whole).ok_or_else(ambiguous)?;
    let decimals_only = part.bytes().all(|byte| byte.is_ascii_digit());
    // A group has three digits and one to three before it, of which the first is not 0.
    let could_be_group = part.len() == 3 && digits.len() <= 3 && !digits.starts_with('0');
    if !decimals_only || could_be_group || (part.is_empty() && whole.len() < text.len()) || digits.is_empty() {
        return Err(ambiguous());
    }
    let figures = digits.len() + part.len();
    let sum = digits
        .bytes()
        .chain(part.bytes())
        .take(MOST_DIGITS + 1)
        .fold(0_i128, |sum, figure| sum * 10 + i128::from(figure - b'0'));
    if figures > MOST_DIGITS {
        let why = RatedError::Size(crate::range::OutOfRange { range: super::RATED_RANGE, found: sum as f64 });
        return Err(RatioError::Rated { side, why });
    }
    let scale = 10_i128.saturating_pow(part.len() as u32);
    Ok(Rational::over_positive(sum, scale))
}

/// The digits of a whole number; None where spaces or apostrophes stand elsewhere than before groups of three.
fn ungrouped(text: &str) -> Option<String> {
    let mut groups = text.split([' ', '\'']);
    let first = groups.next()?;
    let rest: Vec<&str> = groups.collect();
    let fits = rest.is_empty() || ((1..=3).contains(&first.len()) && rest.iter().all(|group| group.len() == 3));
    fits.then(|| rest.iter().fold(first.to_owned(), |digits, group| digits + group))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn parts(text: &str) -> [[i64; 3]; 2] {
        let ratio = Ratio::parse(text).unwrap_or_else(|why| panic!("{text:?}: {why}"));
        [ratio.primary().parts().unwrap(), ratio.secondary().parts().unwrap()]
    }

    #[test]
    fn plates_are_read_as_stamped() {
        for (text, primary, secondary) in [
            ("7200:120", [7200, 1, 0], [120, 1, 0]),
            ("200:5", [200, 1, 0], [5, 1, 0]),
            ("200/5", [200, 1, 0], [5, 1, 0]),
            (" 400 / 5 A ", [400, 1, 0], [5, 1, 0]),
            ("20000/√3 : 110/√3", [20000, 1, -1], [110, 1, -1]),
            ("20 000/√3:110/3", [20000, 1, -1], [110, 3, 0]),
            ("20\u{202f}000/V3:110/sqrt3", [20000, 1, -1], [110, 1, -1]),
            ("20000V/√3:110V/√3", [20000, 1, -1], [110, 1, -1]),
            ("20000/√3V:110/√3V", [20000, 1, -1], [110, 1, -1]),
            ("20000/SQRT(3):110/Root3", [20000, 1, -1], [110, 1, -1]),
            ("20000/√ 3:110/ √(3)", [20000, 1, -1], [110, 1, -1]),
            ("14400:120/√3", [14400, 1, 0], [120, 1, -1]),
            ("66395:115", [66395, 1, 0], [115, 1, 0]),
            ("√3:1", [1, 1, 1], [1, 1, 0]),
            ("200√3:5", [200, 1, 1], [5, 1, 0]),
            ("14'400:120", [14400, 1, 0], [120, 1, 0]),
            ("2.4:1", [12, 5, 0], [1, 1, 0]),
            ("2,4:1", [12, 5, 0], [1, 1, 0]),
            ("0.115:1", [23, 200, 0], [1, 1, 0]),
            ("1：1", [1, 1, 0], [1, 1, 0]),
        ] {
            assert_eq!(parts(text), [primary, secondary], "{text}");
        }
    }

    #[test]
    fn what_can_be_read_in_two_ways_is_refused() {
        use Side::{Primary, Secondary};
        let ambiguous = |side, found: &str| RatioError::Ambiguous { side, found: found.to_owned() };
        for (text, why) in [
            ("", RatioError::Empty),
            ("   ", RatioError::Empty),
            ("400", RatioError::NoSeparator),
            ("110/3", RatioError::NoSeparator),
            ("20000/√3", RatioError::NoSeparator),
            ("20000/V3/110", RatioError::NoSeparator),
            ("1:2:3", RatioError::ManySeparators { found: 2 }),
            (":5", RatioError::NoNumber { side: Primary }),
            ("400:", RatioError::NoNumber { side: Secondary }),
            ("14,400:120", ambiguous(Primary, "14,400")),
            ("14.400:120", ambiguous(Primary, "14.400")),
            ("1,234.5:120", ambiguous(Primary, "1,234.5")),
            ("40 0:5", ambiguous(Primary, "40 0")),
            ("400:5.", ambiguous(Secondary, "5.")),
            ("400:.5", ambiguous(Secondary, ".5")),
            ("-400:5", RatioError::Unexpected { side: Primary, found: '-' }),
            ("20kV:110V", RatioError::Unexpected { side: Primary, found: 'k' }),
            ("20000V3:110", RatioError::Unexpected { side: Primary, found: 'v' }),
            ("66395:115/67.08", RatioError::Divisor { side: Secondary, found: "67.08".to_owned() }),
            ("20000/:110", RatioError::Divisor { side: Primary, found: String::new() }),
            ("100x200:5", RatioError::TwoPrimaries { found: "100x200".to_owned() }),
            ("400A:5V", RatioError::Units),
        ] {
            assert!(RatioError::CODES.contains(&why.code()));
            assert_eq!(Ratio::parse(text), Err(why), "{text:?}");
        }
        assert_eq!(Ratio::parse(&"9".repeat(5000)), Err(RatioError::TooLong { found: 5000 }));
        for text in ["0:5", "400:0", "99999999999999999999:5", "99999999999:5", "0.0000000000000000001:5"] {
            assert!(matches!(Ratio::parse(text), Err(RatioError::Rated { .. })), "{text}");
        }
    }

    proptest! {
        #[test]
        fn no_text_makes_it_panic(text in ".*") {
            let _ = Ratio::parse(&text);
        }

        #[test]
        fn no_text_of_the_right_letters_makes_it_panic(text in "[0-9√3Vv:/,. sqrtoAaxX·*()']{0,40}") {
            if let Ok(ratio) = Ratio::parse(&text) {
                prop_assert!(ratio.quotient().is_positive());
            }
        }
    }
}
