//! A decimal number as a hand types it: read exactly, or refused; never read as another number.
//!
//! A text such as `1,234` has two readings: 1.234, or 1234 in groups of three. It is asked, not guessed. Only when one
//! reading alone lies inside the field's range *and* the person's stated number style agrees with it is it taken: two
//! witnesses, never the range by itself, since a reading outside the range may be what the hand meant and got wrong.

use super::signs::{self, Separator, Sign};
use super::unit;
use metering::decimal::{Decimal, DecimalError};
use metering::range::Range;

/// The longest text that is looked at, in characters: no figure of the trade needs more.
pub const MOST_CHARACTERS: usize = 40;

/// Which sign a person writes before decimals, as stated in the settings.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum NumberStyle {
    /// Nobody has said.
    #[default]
    Unstated,
    /// `1234.5`
    Point,
    /// `1234,5`
    Comma,
}

/// A number that was read, beside the text it was read from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TypedNumber {
    /// The number, with the decimals that were typed.
    pub value: Decimal,
    /// The text as it was typed.
    pub typed: String,
}

/// Why a text is not taken as a number of its field.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NumberTrouble {
    /// Nothing but white space.
    #[error("nothing typed")]
    Empty,
    /// More than `MOST_CHARACTERS`, or more digits than an exact decimal holds.
    #[error("{found} characters, {most} at most")]
    TooLong {
        /// Characters or digits found.
        found: usize,
        /// The most that are taken.
        most: usize,
    },
    /// No number can be made of it.
    #[error("not a number: {found}")]
    Nonsense {
        /// The text without its surrounding white space.
        found: String,
    },
    /// It ends on a separator: digits may be missing.
    #[error("unfinished: {found}")]
    Unfinished {
        /// The text without its surrounding white space.
        found: String,
    },
    /// Written with a power of ten.
    #[error("power of ten: {found}")]
    Exponent {
        /// The text without its surrounding white space.
        found: String,
    },
    /// A word for no number or for infinity.
    #[error("not a value: {found}")]
    NotAValue {
        /// The text without its surrounding white space.
        found: String,
    },
    /// Its separators fit no way of writing a number: two decimal signs, groups of the wrong length.
    #[error("separators: {found}")]
    Separators {
        /// The text without its surrounding white space.
        found: String,
    },
    /// It can be read in two ways.
    #[error("{as_decimal} or {as_grouped}")]
    Ambiguous {
        /// The value when the separator stands before decimals.
        as_decimal: Decimal,
        /// The value when the separator groups digits.
        as_grouped: Decimal,
    },
    /// Followed by a unit that the field is not kept in.
    #[error("unit {found}, wanted {wanted}")]
    WrongUnit {
        /// The unit as typed.
        found: String,
        /// The field's unit, empty for a pure number.
        wanted: &'static str,
    },
    /// Outside the field's range.
    #[error("{found} {unit}, wanted {least} to {most}", unit = .range.unit, least = .range.least, most = .range.most)]
    OutOfRange {
        /// The value that was read.
        found: Decimal,
        /// The field's range.
        range: Range,
    },
}

impl NumberTrouble {
    /// The stable code of this trouble.
    pub fn code(&self) -> &'static str {
        match self {
            Self::Empty => "typed.empty",
            Self::TooLong { .. } => "typed.too_long",
            Self::Nonsense { .. } => "typed.not_a_number",
            Self::Unfinished { .. } => "typed.unfinished",
            Self::Exponent { .. } => "typed.exponent",
            Self::NotAValue { .. } => "typed.not_a_value",
            Self::Separators { .. } => "typed.separators",
            Self::Ambiguous { .. } => "typed.ambiguous",
            Self::WrongUnit { .. } => "typed.wrong_unit",
            Self::OutOfRange { .. } => "typed.out_of_range",
        }
    }
}

/// Reads `text` as a number of `field`, in the field's unit.
///
/// Taken: comma or point before decimals; groups set off by spaces, apostrophes, commas or points, in threes or the
/// Indian way; a leading minus of any kind, or a plus; digits of other scripts; white space around; the field's own unit.
///
/// # Errors
/// [`NumberTrouble`], see its variants.
pub fn read_number(text: &str, field: Range, style: NumberStyle) -> Result<TypedNumber, NumberTrouble> {
    let plain = read_plain(text, field.unit)?;
    let value = match plain {
        Plain::One(value) => value,
        Plain::Two(two) => two.settle(field, style)?,
    };
    if value.within(field).is_err() {
        return Err(NumberTrouble::OutOfRange { found: value, range: field });
    }
    Ok(TypedNumber { value, typed: text.to_owned() })
}

/// A number as written, before anyone has asked whether it lies in a range.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Plain {
    /// It has one reading.
    One(Decimal),
    /// It has two.
    Two(TwoReadings),
}

/// The two readings of one separator with three digits behind it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct TwoReadings {
    pub(super) as_decimal: Decimal,
    pub(super) as_grouped: Decimal,
    separator: Separator,
}

/// Reads a number and the unit behind it; neither range nor style decides anything here.
pub(super) fn read_plain(text: &str, wanted_unit: &'static str) -> Result<Plain, NumberTrouble> {
    let trimmed = signs::trim(text);
    let found = trimmed.chars().count();
    if found > MOST_CHARACTERS {
        return Err(NumberTrouble::TooLong { found, most: MOST_CHARACTERS });
    }
    if trimmed.is_empty() {
        return Err(NumberTrouble::Empty);
    }
    if trimmed.chars().any(char::is_control) {
        return Err(NumberTrouble::Nonsense { found: trimmed.to_owned() });
    }
    let (negative, rest) = signs::leading_sign(trimmed);
    let end = rest.find(|found| signs::sign(found).is_none()).unwrap_or(rest.len());
    let (figures, tail) = rest.split_at(end);
    let tail = signs::trim(tail);
    if !figures.chars().any(|found| matches!(signs::sign(found), Some(Sign::Digit(..)))) {
        return Err(no_figures(trimmed, rest));
    }
    check_tail(tail, trimmed, wanted_unit)?;
    let runs = Runs::of(figures.trim_end()).ok_or_else(|| NumberTrouble::Nonsense { found: trimmed.to_owned() })?;
    runs.read(negative, trimmed)
}

fn no_figures(trimmed: &str, unsigned: &str) -> NumberTrouble {
    let found = trimmed.to_owned();
    match unsigned.to_ascii_lowercase().as_str() {
        "nan" | "inf" | "infinity" | "infinite" | "∞" => NumberTrouble::NotAValue { found },
        _ => NumberTrouble::Nonsense { found },
    }
}

/// Judges what stands behind the figures: nothing, the field's unit, another unit, a power of ten, or anything else.
fn check_tail(tail: &str, trimmed: &str, wanted: &'static str) -> Result<(), NumberTrouble> {
    if tail.is_empty() || unit::names(tail, wanted) {
        return Ok(());
    }
    let lower = tail.to_ascii_lowercase();
    let powers = ["×10", "x10", "*10", "·10", "× 10", "x 10", "* 10", "· 10"];
    let has_exponent = lower.strip_prefix('e').is_some_and(|power| {
        let (_, power) = signs::leading_sign(power);
        power.chars().next().is_some_and(|found| matches!(signs::sign(found), Some(Sign::Digit(..))))
    });
    if has_exponent || powers.iter().any(|power| lower.starts_with(power)) {
        return Err(NumberTrouble::Exponent { found: trimmed.to_owned() });
    }
    if unit::looks_like_one(tail) {
        return Err(NumberTrouble::WrongUnit { found: tail.to_owned(), wanted });
    }
    Err(NumberTrouble::Nonsense { found: trimmed.to_owned() })
}

impl TwoReadings {
    /// Takes the reading that range and stated style both point to; hands both back where they do not.
    fn settle(self, field: Range, style: NumberStyle) -> Result<Decimal, NumberTrouble> {
        let Self { as_decimal, as_grouped, separator } = self;
        let stated = match (style, separator) {
            (NumberStyle::Unstated, _) => None,
            (NumberStyle::Comma, Separator::Comma) | (NumberStyle::Point, Separator::Point) => Some(as_decimal),
            _ => Some(as_grouped),
        };
        match (as_decimal.within(field).is_ok(), as_grouped.within(field).is_ok()) {
            (true, false) if stated == Some(as_decimal) => Ok(as_decimal),
            (false, true) if stated == Some(as_grouped) => Ok(as_grouped),
            (false, false) => Err(NumberTrouble::OutOfRange { found: stated.unwrap_or(as_decimal), range: field }),
            _ => Err(NumberTrouble::Ambiguous { as_decimal, as_grouped }),
        }
    }
}

/// Runs of digits and what stands between them; always one run more than separators.
struct Runs {
    runs: Vec<String>,
    between: Vec<Separator>,
}

impl Runs {
    /// Takes figures apart; `None` when digits of two scripts are mixed or a foreign sign is among them.
    fn of(figures: &str) -> Option<Self> {
        let mut taken = Self { runs: vec![String::new()], between: Vec::new() };
        let mut script = None;
        for found in figures.chars() {
            match signs::sign(found)? {
                Sign::Digit(value, zero) => {
                    if *script.get_or_insert(zero) != zero {
                        return None;
                    }
                    taken.runs.last_mut()?.push(char::from(b'0' + value));
                }
                Sign::Separator(separator) => {
                    taken.between.push(separator);
                    taken.runs.push(String::new());
                }
            }
        }
        Some(taken)
    }

    fn read(&self, negative: bool, trimmed: &str) -> Result<Plain, NumberTrouble> {
        if self.runs.last().is_some_and(String::is_empty) {
            return Err(NumberTrouble::Unfinished { found: trimmed.to_owned() });
        }
        match (self.with_decimals(), self.without_decimals()) {
            (Some(value), None) | (None, Some(value)) => Ok(Plain::One(exact(negative, value, trimmed)?)),
            (Some(decimal), Some(grouped)) => {
                let as_decimal = exact(negative, decimal, trimmed)?;
                let as_grouped = exact(negative, grouped, trimmed)?;
                // Zeros alone are the same number either way.
                if as_decimal == as_grouped {
                    return Ok(Plain::One(as_grouped));
                }
                // Two readings need a separator, so there is one.
                let separator = self.between.first().copied().unwrap_or(Separator::Point);
                Ok(Plain::Two(TwoReadings { as_decimal, as_grouped, separator }))
            }
            (None, None) => Err(NumberTrouble::Separators { found: trimmed.to_owned() }),
        }
    }

    /// The reading in which the last separator stands before decimals.
    fn with_decimals(&self) -> Option<(String, &str)> {
        let (last, groups) = self.between.split_last()?;
        let (decimals, whole) = self.runs.split_last()?;
        if !matches!(last, Separator::Comma | Separator::Point | Separator::ArabicDecimal) || groups.contains(last) {
            return None;
        }
        let stands_alone = groups.is_empty();
        let whole = if stands_alone { whole.concat() } else { join(whole, groups)? };
        Some((whole, decimals))
    }

    /// The reading in which every separator groups digits.
    fn without_decimals(&self) -> Option<(String, &str)> {
        join(&self.runs, &self.between).map(|whole| (whole, ""))
    }
}

/// Joins groups of digits when they stand as groups do: threes behind one to three, or the Indian way with commas, a
/// three behind twos. A lone `0` is never a first group: `0,234` has decimals.
fn join(runs: &[String], between: &[Separator]) -> Option<String> {
    let (first, rest) = runs.split_first()?;
    let Some((kind, others)) = between.split_first() else { return Some(first.clone()) };
    if others.iter().any(|other| other != kind) || *kind == Separator::ArabicDecimal || first == "0" {
        return None;
    }
    let (last, middle) = rest.split_last()?;
    let threes = (1..=3).contains(&first.len()) && rest.iter().all(|run| run.len() == 3);
    let indian = matches!(kind, Separator::Comma | Separator::ArabicThousands)
        && (1..=2).contains(&first.len())
        && !middle.is_empty()
        && middle.iter().all(|run| run.len() == 2)
        && last.len() == 3;
    (threes || indian).then(|| runs.concat())
}

/// The exact number of these figures: leading zeros dropped, decimals kept as typed, zero without a minus.
fn exact(negative: bool, (whole, decimals): (String, &str), trimmed: &str) -> Result<Decimal, NumberTrouble> {
    let whole = whole.trim_start_matches('0');
    let whole = if whole.is_empty() { "0" } else { whole };
    let is_zero = whole == "0" && decimals.bytes().all(|digit| digit == b'0');
    let minus = if negative && !is_zero { "-" } else { "" };
    let point = if decimals.is_empty() { "" } else { "." };
    Decimal::parse(&format!("{minus}{whole}{point}{decimals}")).map_err(|error| match error {
        DecimalError::TooLong { found } => NumberTrouble::TooLong { found, most: Decimal::MOST_DIGITS },
        _ => NumberTrouble::Nonsense { found: trimmed.to_owned() },
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use NumberStyle::{Comma, Point, Unstated};
    use proptest::prelude::*;

    const AMPS: Range = Range { what: "secondary_current", unit: "A", least: 0.0, most: 100.0 };
    const REGISTER: Range = Range { what: "register", unit: "", least: 0.0, most: 1e9 };
    const ANGLE: Range = Range { what: "angle", unit: "°", least: -360.0, most: 360.0 };
    const ANY: Range = Range { what: "any", unit: "V", least: -1e12, most: 1e12 };

    fn value(text: &str, field: Range, style: NumberStyle) -> String {
        match read_number(text, field, style) {
            Ok(read) => {
                assert_eq!(read.typed, text);
                read.value.to_string()
            }
            Err(trouble) => trouble.code().to_owned(),
        }
    }

    #[test]
    fn numbers_with_one_reading_are_taken() {
        for (text, wanted) in [
            ("118,2 V", "118.2"),
            ("118.2V", "118.2"),
            ("  12 volts\n", "12"),
            ("1,234.5", "1234.5"),
            ("1.234,5", "1234.5"),
            ("1\u{202F}234,5", "1234.5"),
            ("1\u{A0}234,567", "1234.567"),
            ("1’234.5", "1234.5"),
            ("1,23,456.7", "123456.7"),
            ("1,23,456", "123456"),
            ("12,345,678", "12345678"),
            ("\u{2212}12,5", "-12.5"),
            ("\u{061C}-١٬٢٣٤٫٥", "-1234.5"),
            ("१२३.४", "123.4"),
            ("１２３．４", "123.4"),
            ("0,234", "0.234"),
            ("0.120", "0.120"),
            (".5", "0.5"),
            ("-,5", "-0.5"),
            ("-0,0", "0.0"),
            ("00120", "120"),
            ("1234,567", "1234.567"),
            ("+7", "7"),
        ] {
            assert_eq!(value(text, ANY, Unstated), wanted, "{text:?}");
        }
    }

    #[test]
    fn what_is_no_number_of_the_field_is_refused_with_its_own_code() {
        for (text, wanted) in [
            ("", "typed.empty"),
            (" \u{A0}\u{200F} ", "typed.empty"),
            ("abc", "typed.not_a_number"),
            ("1/2", "typed.not_a_number"),
            ("12:30", "typed.not_a_number"),
            ("5 V 3", "typed.not_a_number"),
            ("1٢3", "typed.not_a_number"),
            ("--5", "typed.not_a_number"),
            ("5-", "typed.not_a_number"),
            ("118\n2", "typed.not_a_number"),
            ("NaN", "typed.not_a_value"),
            ("-inf", "typed.not_a_value"),
            ("1e5", "typed.exponent"),
            ("1E-5", "typed.exponent"),
            ("1,5 × 10^3", "typed.exponent"),
            ("118.", "typed.unfinished"),
            ("1.2.3", "typed.separators"),
            ("1,2.5", "typed.separators"),
            ("12,34,5", "typed.separators"),
            ("1  234", "typed.separators"),
            ("1'234 567", "typed.separators"),
            ("3.141 592", "typed.separators"),
            ("0 234", "typed.separators"),
            ("1.23.456", "typed.separators"),
            ("12 kV", "typed.wrong_unit"),
            ("5'", "typed.unfinished"),
            ("2e12", "typed.exponent"),
            ("2000000000000", "typed.out_of_range"),
        ] {
            assert_eq!(value(text, ANY, Unstated), wanted, "{text:?}");
        }
        let paste = "9".repeat(100_000);
        assert_eq!(read_number(&paste, ANY, Unstated), Err(NumberTrouble::TooLong { found: 100_000, most: 40 }));
        assert_eq!(
            read_number("12 kV", ANY, Unstated),
            Err(NumberTrouble::WrongUnit { found: "kV".into(), wanted: "V" })
        );
    }

    #[test]
    fn one_separator_before_three_digits_is_asked() {
        let (as_decimal, as_grouped) = (Decimal::parse("1.234").unwrap(), Decimal::whole(1234));
        let both = Err(NumberTrouble::Ambiguous { as_decimal, as_grouped });
        for style in [Unstated, Point, Comma] {
            assert_eq!(read_number("1,234", REGISTER, style), both, "{style:?}");
            assert_eq!(read_number("1.234", REGISTER, style), both, "{style:?}");
        }
    }

    #[test]
    fn range_settles_two_readings_only_with_the_stated_style() {
        assert_eq!(value("2.345", AMPS, Point), "2.345");
        assert_eq!(value("2,345", AMPS, Comma), "2.345");
        for (text, style) in [("2.345", Comma), ("2,345", Point), ("2.345", Unstated), ("2,345", Unstated)] {
            assert_eq!(value(text, AMPS, style), "typed.ambiguous", "{text} {style:?}");
        }
    }

    #[test]
    fn out_of_range_names_what_was_read() {
        let trouble = read_number("361", ANGLE, Unstated);
        assert_eq!(trouble, Err(NumberTrouble::OutOfRange { found: Decimal::whole(361), range: ANGLE }));
    }

    /// How a locale writes a number: minus, grouping sign, decimal sign, zero of its digits, Indian groups, its style.
    /// Source of the signs: Unicode CLDR, from memory.
    const LOCALES: &[(&str, &str, &str, &str, char, bool, NumberStyle)] = &[
        ("en-US", "-", ",", ".", '0', false, Point),
        ("de-DE", "-", ".", ",", '0', false, Comma),
        ("fr-FR", "-", "\u{202F}", ",", '0', false, Comma),
        ("fr-CA", "-", "\u{A0}", ",", '0', false, Comma),
        ("de-CH", "-", "\u{2019}", ".", '0', false, Point),
        ("hi-IN", "-", ",", ".", '0', true, Point),
        ("hi-IN-u-nu-deva", "-", ",", ".", '०', true, Point),
        ("sv-SE", "\u{2212}", "\u{A0}", ",", '0', false, Comma),
        ("ar-EG", "\u{061C}-", "٬", "٫", '٠', false, Comma),
        ("fa-IR", "\u{200E}\u{2212}", "٬", "٫", '۰', false, Comma),
        ("pt-BR", "-", ".", ",", '0', false, Comma),
        ("ja-JP full width", "\u{FF0D}", "，", "．", '０', false, Point),
    ];

    fn written(digits: i64, decimals: usize, grouped: bool, locale: usize) -> (String, String) {
        let (_, minus, group, decimal, zero, indian, _) = LOCALES[locale];
        let figures = format!("{:0>width$}", digits.unsigned_abs(), width = decimals + 1);
        let (whole, fraction) = figures.split_at(figures.len() - decimals);
        let mut local = String::new();
        for (index, digit) in whole.chars().enumerate() {
            let left = whole.len() - index;
            let falls = if indian { left == 3 || (left > 3 && (left - 3) % 2 == 0) } else { left % 3 == 0 };
            if grouped && index > 0 && falls {
                local.push_str(group);
            }
            local.push(digit);
        }
        let minus = if digits < 0 { minus } else { "" };
        let point = if decimals == 0 { "" } else { decimal };
        let own = |text: &str| -> String {
            text.chars()
                .map(|sign| sign.to_digit(10).and_then(|digit| char::from_u32(u32::from(zero) + digit)).unwrap_or(sign))
                .collect()
        };
        let sign = if digits < 0 { "-" } else { "" };
        let point_true = if decimals == 0 { "" } else { "." };
        (format!("{minus}{}{point}{}", own(&local), own(fraction)), format!("{sign}{whole}{point_true}{fraction}"))
    }

    fn exactly(truth: &str) -> Decimal {
        Decimal::parse(truth).or_else(|_| Decimal::parse(truth.trim_start_matches('-'))).unwrap()
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(6_000))]

        /// Value → as the locale writes it → read: the same number or a refusal, whatever style is stated; with values
        /// outside the range too when the style is the locale's own or not stated.
        #[test]
        fn no_locale_is_ever_misread(
            digits in prop_oneof![-2_000_000_i64..2_000_000, -99_999_999_999_i64..99_999_999_999],
            decimals in 0_usize..5, grouped: bool, locale in 0..LOCALES.len(), field in 0_usize..4, style in 0_usize..3,
        ) {
            let (text, truth) = written(digits, decimals, grouped, locale);
            let field = [ANY, REGISTER, AMPS, ANGLE][field];
            let style = [Unstated, LOCALES[locale].6, [Point, Comma][style % 2]][style];
            let is_foreign = style != Unstated && style != LOCALES[locale].6;
            let is_judged = !is_foreign || field.check(truth.parse().unwrap()).is_ok();
            if is_judged && let Ok(read) = read_number(&text, field, style) {
                prop_assert_eq!(read.value, exactly(&truth), "{}", text);
            }
        }

        /// Refusing everything would pass the test above: what has one reading must be taken.
        #[test]
        fn a_locale_s_number_is_refused_only_for_a_second_reading(
            digits in -99_999_999_999_i64..99_999_999_999, decimals in 0_usize..5, grouped: bool, locale in 0..LOCALES.len(),
        ) {
            let (text, truth) = written(digits, decimals, grouped, locale);
            match read_number(&text, ANY, LOCALES[locale].6) {
                Ok(read) => prop_assert_eq!(read.value, exactly(&truth)),
                Err(NumberTrouble::Ambiguous { as_decimal, as_grouped }) => {
                    prop_assert!([as_decimal, as_grouped].contains(&exactly(&truth)));
                }
                Err(other) => prop_assert!(false, "{text}: {other}"),
            }
        }

        /// No text makes it panic, and what it takes reads back as itself.
        #[test]
        fn any_text_is_read_or_refused(text in "[-−–+0-9٠-٩,.٫٬'’ \u{A0}\u{202F}eEVA°k\\PC]{0,70}") {
            if let Ok(read) = read_number(&text, ANY, Unstated) {
                prop_assert_eq!(Decimal::parse(&read.value.to_string()), Ok(read.value));
            }
        }
    }
}
