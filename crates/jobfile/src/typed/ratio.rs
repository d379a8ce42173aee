//! A ratio as a hand types it off a plate: grouped figures are read first, then the plate is.

use super::number::{NumberTrouble, Plain, read_plain};
use super::signs::{self, Sign};
use super::{complaint, ratio_value};
use metering::decimal::Decimal;
use metering::ratio::{Ratio, RatioError, Side};
use serde_json::Value;

/// The longest text that is looked at, in characters.
pub const MOST_CHARACTERS: usize = 40;
/// Figures that may have two readings in one ratio before it is refused: each doubles the question.
const MOST_QUESTIONS: usize = 2;

/// A ratio that was read, beside the text it was read from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TypedRatio {
    /// The ratio, its sides as stamped.
    pub ratio: Ratio,
    /// The text as it was typed.
    pub typed: String,
}

/// Why a text is not taken as a ratio.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum RatioTrouble {
    /// A figure in it is no number.
    #[error(transparent)]
    Number(#[from] NumberTrouble),
    /// It is no ratio.
    #[error("{found}: {why}")]
    Plate {
        /// The text without its surrounding white space.
        found: String,
        /// What the plate reader says.
        why: RatioError,
    },
    /// It can be read in several ways.
    #[error("several ratios")]
    Ambiguous {
        /// Each way, with the text that was typed.
        choices: Vec<TypedRatio>,
    },
}

impl RatioTrouble {
    /// The stable code of this trouble.
    pub fn code(&self) -> &'static str {
        match self {
            Self::Number(trouble) => trouble.code(),
            Self::Plate { why, .. } => why.code(),
            Self::Ambiguous { .. } => "typed.ambiguous",
        }
    }

    pub(super) fn facts(&self) -> Vec<(&'static str, String)> {
        match self {
            Self::Number(trouble) => complaint::number_facts(trouble),
            Self::Plate { found, why } => {
                let side = side_of(why).map(|side| ("side", side.to_owned()));
                std::iter::once(("found", found.clone())).chain(side).collect()
            }
            Self::Ambiguous { choices } => {
                let names = ["first", "second", "third", "fourth"];
                names.into_iter().zip(choices.iter().map(|choice| choice.ratio.to_string())).collect()
            }
        }
    }

    pub(super) fn choices(&self) -> Vec<Value> {
        match self {
            Self::Ambiguous { choices } => choices.iter().filter_map(ratio_value).collect(),
            _ => Vec::new(),
        }
    }
}

fn side_of(why: &RatioError) -> Option<&'static str> {
    match why {
        RatioError::NoNumber { side }
        | RatioError::Unexpected { side, .. }
        | RatioError::Ambiguous { side, .. }
        | RatioError::Divisor { side, .. }
        | RatioError::Rated { side, .. } => Some(match side {
            Side::Primary => "primary",
            Side::Secondary => "secondary",
        }),
        _ => None,
    }
}

/// Reads a stamped ratio: `7200:120`, `7 200:120`, `400/5`, `400 A : 5 A`, `20000/√3 : 110/√3`.
///
/// `7,200:120` has two readings; the one whose primary is the smaller side is dropped when the other's is not, since a
/// transformer of this trade steps down. Where both step down, the person is asked.
///
/// # Errors
/// [`RatioTrouble`], see its variants.
pub fn read_ratio(text: &str) -> Result<TypedRatio, RatioTrouble> {
    let trimmed = signs::trim(text);
    let found = trimmed.chars().count();
    if found > MOST_CHARACTERS {
        return Err(NumberTrouble::TooLong { found, most: MOST_CHARACTERS }.into());
    }
    if trimmed.is_empty() {
        return Err(NumberTrouble::Empty.into());
    }
    if trimmed.chars().any(|found| found.is_control() || signs::is_mark(found)) {
        return Err(NumberTrouble::Nonsense { found: trimmed.to_owned() }.into());
    }
    let plates = spellings(trimmed)?;
    let read: Vec<Result<Ratio, RatioError>> = plates.iter().map(|plate| Ratio::parse(plate)).collect();
    let mut ratios: Vec<Ratio> = read.iter().filter_map(|ratio| ratio.as_ref().ok().copied()).collect();
    if ratios.iter().any(|ratio| steps_down(*ratio)) {
        ratios.retain(|ratio| steps_down(*ratio));
    }
    let typed = |ratio| TypedRatio { ratio, typed: text.to_owned() };
    match (&ratios[..], read.into_iter().next()) {
        (&[ratio], _) => Ok(typed(ratio)),
        (&[], Some(Err(why))) => Err(RatioTrouble::Plate { found: trimmed.to_owned(), why }),
        (&[], _) => Err(NumberTrouble::Nonsense { found: trimmed.to_owned() }.into()),
        (several, _) => Err(RatioTrouble::Ambiguous { choices: several.iter().copied().map(typed).collect() }),
    }
}

fn steps_down(ratio: Ratio) -> bool {
    ratio.quotient().to_f64() >= 1.0
}

/// Every way to spell the plate with plain figures.
fn spellings(text: &str) -> Result<Vec<String>, NumberTrouble> {
    let mut ways = vec![String::new()];
    let mut questions = 0;
    for piece in pieces(text) {
        let figures = match piece {
            Piece::Other(other) => vec![other.to_owned()],
            Piece::Figures(figures) => match read_plain(figures, "")? {
                Plain::One(value) => vec![spelled(value)],
                Plain::Two(two) => {
                    questions += 1;
                    vec![spelled(two.as_decimal), spelled(two.as_grouped)]
                }
            },
        };
        if questions > MOST_QUESTIONS {
            return Err(NumberTrouble::Separators { found: text.to_owned() });
        }
        ways = ways.iter().flat_map(|way| figures.iter().map(move |figure| format!("{way}{figure}"))).collect();
    }
    Ok(ways)
}

/// Plain figures that the plate reader cannot take for grouped ones: never three decimals.
fn spelled(value: Decimal) -> String {
    if value.scale() == 3 { format!("{value}0") } else { value.to_string() }
}

enum Piece<'a> {
    Figures(&'a str),
    Other(&'a str),
}

/// Cuts a text into runs of figures (digits, with separators among them) and what stands between.
fn pieces(text: &str) -> Vec<Piece<'_>> {
    let is_digit = |found: char| matches!(signs::sign(found), Some(Sign::Digit(..)));
    let mut cut = Vec::new();
    let mut rest = text;
    while let Some(start) = rest.find(is_digit) {
        let (other, from) = rest.split_at(start);
        let end = from.find(|found| signs::sign(found).is_none()).unwrap_or(from.len());
        let figures = from.get(..end).unwrap_or(from).trim_end();
        let (_, behind) = from.split_at(figures.len());
        cut.extend([Piece::Other(other), Piece::Figures(figures)]);
        rest = behind;
    }
    cut.push(Piece::Other(rest));
    cut
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn read(text: &str) -> String {
        match read_ratio(text) {
            Ok(read) => read.ratio.to_string(),
            Err(RatioTrouble::Ambiguous { choices }) => {
                let ways: Vec<_> = choices.iter().map(|choice| choice.ratio.to_string()).collect();
                ways.join(" or ")
            }
            Err(trouble) => trouble.code().to_owned(),
        }
    }

    #[test]
    fn plates_are_read_as_stamped() {
        for (text, wanted) in [
            ("7200:120", "7200:120"),
            (" 400 / 5 ", "400:5"),
            ("400 A : 5 A", "400:5"),
            ("14400V:120V", "14400:120"),
            ("7 200:120", "7200:120"),
            ("7\u{202F}200 : 120", "7200:120"),
            ("٢٠٠:٥", "200:5"),
            ("20000/√3:110/√3", "20000/√3:110/√3"),
        ] {
            assert_eq!(read(text), wanted, "{text}");
        }
    }

    #[test]
    fn a_grouped_side_is_asked_where_decimals_make_sense() {
        assert_eq!(read("7,200:120"), "7200:120");
        assert_eq!(read("14.400:120"), "14400:120");
        assert_eq!(read("2,400:1"), "2.4:1 or 2400:1");
        assert_eq!(read("115,000:115"), "115:115 or 115000:115");
    }

    #[test]
    fn what_is_no_ratio_is_refused() {
        for text in ["", "   "] {
            assert_eq!(read(text), "typed.empty");
        }
        assert_eq!(read("1e5:5"), "ratio.unexpected");
        for (text, wanted) in [
            ("7200", "ratio.no_separator"),
            ("1:2:3", "ratio.many_separators"),
            ("7200:", "ratio.no_number"),
            ("7200/7:120", "ratio.divisor"),
            ("100x200:5", "ratio.two_primaries"),
            ("7200 V:5 A", "ratio.units"),
            ("abc:5", "ratio.unexpected"),
        ] {
            assert_eq!(read(text), wanted, "{text}");
        }
        assert_eq!(read(&"1".repeat(65)), "typed.too_long");
    }

    proptest! {
        #[test]
        fn grouped_plates_are_never_misread(primary in 1_u32..999_999, secondary in 1_u32..200, comma: bool) {
            let group = if comma { "," } else { "." };
            let (above, below) = (primary / 1000, primary % 1000);
            let text = if above > 0 { format!("{above}{group}{below:03}:{secondary}") } else { format!("{below}:{secondary}") };
            if let Ok(read) = read_ratio(&text) {
                let truth = Ratio::parse(&format!("{primary}:{secondary}")).unwrap();
                // A step-up plate is outside the trade: there the decimal reading may stand alone.
                prop_assert!(read.ratio == truth || !steps_down(truth), "{}", text);
            }
        }

        #[test]
        fn any_text_is_read_or_refused(text in "[0-9 ,.:/√VA\\PC]{0,70}") {
            let _ = read_ratio(&text);
        }
    }
}
