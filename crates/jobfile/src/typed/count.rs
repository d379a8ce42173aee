//! A whole number as a hand types it.

use super::number::{NumberStyle, NumberTrouble, read_number};
use metering::decimal::Decimal;
use metering::range::Range;

/// Why a text is not taken as a whole number of its field.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum CountTrouble {
    /// It is no number of the field.
    #[error(transparent)]
    Number(#[from] NumberTrouble),
    /// A number, but not a whole one.
    #[error("{found} is not whole")]
    NotWhole {
        /// The value that was read.
        found: Decimal,
    },
}

impl CountTrouble {
    /// The stable code of this trouble.
    pub fn code(&self) -> &'static str {
        match self {
            Self::Number(trouble) => trouble.code(),
            Self::NotWhole { .. } => "typed.not_whole",
        }
    }
}

/// The range of a count, as numbers have theirs.
pub(super) fn range(least: u32, most: u32) -> Range {
    Range { what: "count", unit: "", least: f64::from(least), most: f64::from(most) }
}

/// Reads a whole number from `least` to `most`. Decimals are taken only when they are zeros.
///
/// # Errors
/// [`CountTrouble`]; `1,234` is asked here too, since the hand may have meant a field with decimals.
pub fn read_count(text: &str, least: u32, most: u32, style: NumberStyle) -> Result<u32, CountTrouble> {
    let read = read_number(text, range(least, most), style)?.value;
    whole(read).ok_or(CountTrouble::NotWhole { found: read })
}

/// The whole number that a value stands for.
pub(super) fn whole(value: Decimal) -> Option<u32> {
    value.to_rational().as_whole().and_then(|number| u32::try_from(number).ok())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<u32, &'static str> {
        read_count(text, 1, 1000, NumberStyle::Unstated).map_err(|trouble| trouble.code())
    }

    #[test]
    fn whole_numbers_are_taken() {
        assert_eq!(read("10"), Ok(10));
        assert_eq!(read(" ٣ "), Ok(3));
        assert_eq!(read("10.0"), Ok(10));
        assert_eq!(read("1 000"), Ok(1000));
    }

    #[test]
    fn the_rest_is_refused() {
        assert_eq!(read("2.5"), Err("typed.not_whole"));
        assert_eq!(read("0"), Err("typed.out_of_range"));
        assert_eq!(read("1,000"), Err("typed.ambiguous"));
        assert_eq!(read("ten"), Err("typed.not_a_number"));
        assert_eq!(read("10 V"), Err("typed.wrong_unit"));
        assert_eq!(read(""), Err("typed.empty"));
    }
}
