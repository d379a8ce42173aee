//! Moments as text: RFC 3339 with the offset of the place where it was written, and its kin for the eye.
//!
//! Spelled and read here and not by chrono, whose formatting and parsing of every style would be downloaded for this one.

use chrono::{DateTime, Datelike, FixedOffset, NaiveDate, NaiveTime, TimeZone, Timelike};

/// Reads RFC 3339 text with offset. As section 5.6 allows, `T` and `Z` may be small or `T` a space, and a second may be the
/// 60th; digits beyond the nanosecond are dropped, and a minus may be U+2212.
pub fn read_time(text: &str) -> Option<DateTime<FixedOffset>> {
    let mut signs = text.as_bytes();
    let signs = &mut signs;
    let mut year = two_digits(signs)? * 100;
    year += two_digits(signs)?;
    take(signs, b"-")?;
    let month = two_digits(signs)?;
    take(signs, b"-")?;
    let day = two_digits(signs)?;
    take(signs, b"Tt ")?;
    let hour = two_digits(signs)?;
    take(signs, b":")?;
    let minute = two_digits(signs)?;
    take(signs, b":")?;
    let second = two_digits(signs)?;
    let nanosecond = match take(signs, b".") {
        Some(_) => nanoseconds(signs)?,
        None => 0,
    };
    // chrono keeps a leap second as a second billion of nanoseconds in the 59th.
    let (second, nanosecond) = if second == 60 { (59, nanosecond + 1_000_000_000) } else { (second, nanosecond) };
    let offset_seconds = offset(signs)?;
    if !signs.is_empty() {
        return None;
    }
    let date = NaiveDate::from_ymd_opt(i32::try_from(year).ok()?, month, day)?;
    let time = NaiveTime::from_hms_nano_opt(hour, minute, second, nanosecond)?;
    FixedOffset::east_opt(offset_seconds)?.from_local_datetime(&date.and_time(time)).single()
}

fn take(signs: &mut &[u8], any_of: &[u8]) -> Option<u8> {
    let (first, rest) = signs.split_first()?;
    any_of.contains(first).then(|| {
        *signs = rest;
        *first
    })
}

fn digit(signs: &mut &[u8]) -> Option<u32> {
    take(signs, b"0123456789").map(|sign| u32::from(sign - b'0'))
}

fn two_digits(signs: &mut &[u8]) -> Option<u32> {
    let tens = digit(signs)?;
    Some(tens * 10 + digit(signs)?)
}

/// The figures behind a point, of which there must be one.
fn nanoseconds(signs: &mut &[u8]) -> Option<u32> {
    let mut worth = 100_000_000;
    let mut sum = digit(signs)? * worth;
    while let Some(digit) = digit(signs) {
        worth /= 10;
        sum += digit * worth;
    }
    Some(sum)
}

/// An offset in seconds east.
fn offset(signs: &mut &[u8]) -> Option<i32> {
    if take(signs, b"Zz").is_some() {
        return Some(0);
    }
    let east = match signs.strip_prefix("\u{2212}".as_bytes()) {
        Some(rest) => {
            *signs = rest;
            -1
        }
        None if take(signs, b"+-")? == b'-' => -1,
        None => 1,
    };
    let hours = two_digits(signs)?;
    take(signs, b":")?;
    let minutes = two_digits(signs).filter(|minutes| *minutes < 60)?;
    i32::try_from(hours * 3600 + minutes * 60).ok().map(|seconds| east * seconds)
}

/// Writes a moment, to the millisecond.
pub fn write_time(at: DateTime<FixedOffset>) -> String {
    spelled(at, "T", true, "")
}

/// Writes a moment as RFC 3339 does, to the second.
pub(crate) fn write_seconds(at: DateTime<FixedOffset>) -> String {
    spelled(at, "T", false, "")
}

/// Writes a moment for the eye: spaces set off date, time and offset.
pub(crate) fn write_apart(at: DateTime<FixedOffset>) -> String {
    spelled(at, " ", false, " ")
}

fn spelled(at: DateTime<FixedOffset>, before_time: &str, milliseconds: bool, before_offset: &str) -> String {
    let year = at.year();
    let mut text = match u32::try_from(year) {
        Ok(year) if year < 10_000 => {
            let mut text = String::new();
            push_two(&mut text, "", year / 100);
            push_two(&mut text, "", year % 100);
            text
        }
        // Beyond four figures ISO 8601 wants a sign.
        _ => format!("{year:+05}"),
    };
    let leap = at.nanosecond() / 1_000_000_000;
    push_two(&mut text, "-", at.month());
    push_two(&mut text, "-", at.day());
    push_two(&mut text, before_time, at.hour());
    push_two(&mut text, ":", at.minute());
    push_two(&mut text, ":", at.second() + leap);
    if milliseconds {
        let thousandths = at.nanosecond() % 1_000_000_000 / 1_000_000;
        text.push('.');
        push_digit(&mut text, thousandths / 100);
        push_two(&mut text, "", thousandths % 100);
    }
    text.push_str(before_offset);
    let offset_seconds = at.offset().local_minus_utc();
    // RFC 3339 has no seconds in an offset: the nearest minute stands for them.
    let minutes = (offset_seconds.unsigned_abs() + 30) / 60;
    push_two(&mut text, if offset_seconds < 0 { "-" } else { "+" }, minutes / 60);
    push_two(&mut text, ":", minutes % 60);
    text
}

fn push_two(text: &mut String, before: &str, number: u32) {
    text.push_str(before);
    push_digit(text, number / 10);
    push_digit(text, number);
}

fn push_digit(text: &mut String, number: u32) {
    text.push(char::from(b'0' + (number % 10) as u8));
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::SecondsFormat;
    use proptest::prelude::*;

    #[test]
    fn a_moment_keeps_its_offset() {
        let at = read_time("2026-11-25T09:30:00.250-05:00").unwrap();
        assert_eq!(write_time(at), "2026-11-25T09:30:00.250-05:00");
        assert!(read_time("2026-11-25T09:30:00").is_none(), "without offset it is no moment");
        assert!(read_time("2026-11-25").is_none());
    }

    /// Beside chrono: the same moment with the same offset, or none.
    fn same(text: &str) {
        let chrono = DateTime::parse_from_rfc3339(text).ok();
        let own = read_time(text);
        assert_eq!(own, chrono, "{text}");
        assert_eq!(own.map(|own| *own.offset()), chrono.map(|chrono| *chrono.offset()), "{text}");
    }

    #[test]
    fn texts_at_the_border_are_read_as_chrono_reads_them() {
        for text in [
            "",
            "2026-11-25T09:30:60Z",
            "2026-11-25T09:30:60.999999999+00:00",
            "2026-11-25T09:30:61Z",
            "2026-11-25t09:30:00z",
            "2026-11-25 09:30:00.1234567891234-00:00",
            "2026-11-25T09:30:00.Z",
            "2026-11-25T09:30:00+23:59",
            "2026-11-25T09:30:00+24:00",
            "2026-11-25T09:30:00-99:59",
            "2026-11-25T09:30:00+05:60",
            "2026-11-25T09:30:00+0530",
            "2026-11-25T09:30:00+05",
            "2026-11-25T09:30:00\u{2212}05:30",
            "2026-11-25T09:30:00Z ",
            "2026-11-25T24:00:00Z",
            "2026-11-25T09:60:00Z",
            "2026-02-29T09:30:00Z",
            "2024-02-29T09:30:00Z",
            "2026-00-25T09:30:00Z",
            "0000-01-01T00:00:00+23:59",
            "9999-12-31T23:59:60-23:59",
            "+2026-11-25T09:30:00Z",
            "2026-11-25T09:30:0\u{661}Z",
        ] {
            same(text);
        }
    }

    proptest! {
        #[test]
        fn any_text_is_read_as_chrono_reads_it(
            text in "[0-9]{4}-[01][0-9]-[0-3][0-9][Tt ][0-2][0-9]:[0-6][0-9]:[0-6][0-9](\\.[0-9]{0,11})?([Zz]|[+\\-\u{2212}][0-9]{2}:[0-6][0-9])",
            at in 0_usize..40,
            sign in "[0-9:.+\\-TZ \\PC]?",
        ) {
            same(&text);
            let mut damaged: Vec<char> = text.chars().collect();
            damaged.splice(at.min(damaged.len())..(at + 1).min(damaged.len()), sign.chars());
            same(&damaged.into_iter().collect::<String>());
        }

        #[test]
        fn any_moment_is_written_as_chrono_writes_it(
            seconds in prop_oneof![-9_000_000_000_000_i64..9_000_000_000_000, 0_i64..4_000_000_000],
            nanosecond in prop_oneof![0_u32..1_000_000_000, Just(0)],
            leap in any::<bool>(),
            offset in -86_399_i32..86_400,
        ) {
            let zone = FixedOffset::east_opt(offset).unwrap();
            let seconds = if leap { seconds.div_euclid(60) * 60 + 59 } else { seconds };
            let nanosecond = nanosecond + if leap { 1_000_000_000 } else { 0 };
            if let Some(at) = DateTime::from_timestamp(seconds, nanosecond).map(|at| at.with_timezone(&zone)) {
                prop_assert_eq!(write_time(at), at.to_rfc3339_opts(SecondsFormat::Millis, false));
                prop_assert_eq!(write_seconds(at), at.to_rfc3339_opts(SecondsFormat::Secs, false));
                prop_assert_eq!(write_apart(at), at.format("%Y-%m-%d %H:%M:%S %:z").to_string());
            }
        }
    }
}
