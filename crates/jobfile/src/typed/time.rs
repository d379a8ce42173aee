//! A moment as a hand types it: mostly a time of day, read against the moment at which it is typed.
//!
//! A time of day that would lie in the future is asked, and so is `2:05` once both halves of the day lie behind.

use super::signs::{self, Sign};
use crate::moment;
use crate::sorting::sort_by;
use chrono::{DateTime, Days, FixedOffset, NaiveDate, NaiveTime, TimeZone};

/// The longest text that is looked at, in characters.
pub const MOST_CHARACTERS: usize = 40;

/// How a person tells the time, as stated in the settings.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum ClockStyle {
    /// Nobody has said: `2:05` may be either half of the day.
    #[default]
    Unstated,
    /// Hours run from 0 to 23.
    TwentyFour,
}

/// Why a text is not taken as a moment.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum TimeTrouble {
    /// Nothing but white space.
    #[error("nothing typed")]
    Empty,
    /// More than `MOST_CHARACTERS`.
    #[error("{found} characters, {MOST_CHARACTERS} at most")]
    TooLong {
        /// Characters found.
        found: usize,
    },
    /// Written in no way that is taken.
    #[error("not a time: {found}")]
    Shape {
        /// The text without its surrounding white space.
        found: String,
    },
    /// Written as a time, but the day has no such hour, minute or second.
    #[error("no such time: {found}")]
    NoSuchTime {
        /// The text without its surrounding white space.
        found: String,
    },
    /// Before or after noon?
    #[error("morning or afternoon: {found}")]
    HalfDay {
        /// The text without its surrounding white space.
        found: String,
        /// The moments it may stand for, the latest first.
        choices: Vec<DateTime<FixedOffset>>,
    },
    /// Later than now.
    #[error("later than now: {found}")]
    Future {
        /// The text without its surrounding white space.
        found: String,
        /// The day before, then today.
        choices: Vec<DateTime<FixedOffset>>,
    },
}

impl TimeTrouble {
    /// The stable code of this trouble.
    pub fn code(&self) -> &'static str {
        match self {
            Self::Empty => "typed.empty",
            Self::TooLong { .. } => "typed.too_long",
            Self::Shape { .. } => "typed.not_a_time",
            Self::NoSuchTime { .. } => "typed.no_such_time",
            Self::HalfDay { .. } => "typed.half_day",
            Self::Future { .. } => "typed.time_ahead",
        }
    }
}

/// Reads `14:05`, `1405`, `14.05`, `14:05:30`, `14h05`, `2:05 pm` on the day of `now` and in its offset, or a whole date
/// and time: `2026-11-25 14:05`, with or without seconds and offset. A whole date is taken as typed, ahead of now or not.
///
/// # Errors
/// [`TimeTrouble`], see its variants.
pub fn read_time(
    text: &str,
    now: DateTime<FixedOffset>,
    clock: ClockStyle,
) -> Result<DateTime<FixedOffset>, TimeTrouble> {
    let found = text.chars().count();
    if found > MOST_CHARACTERS {
        return Err(TimeTrouble::TooLong { found });
    }
    let trimmed = signs::trim(text);
    if trimmed.is_empty() {
        return Err(TimeTrouble::Empty);
    }
    if let Some(moment) = moment::read_time(trimmed) {
        return Ok(moment);
    }
    let plain = plain_digits(trimmed);
    let (date, time_of_day) = split_date(&plain);
    let typed = TimeOfDay::read(time_of_day).map_err(|fault| match fault {
        Fault::Shape => TimeTrouble::Shape { found: trimmed.to_owned() },
        Fault::NoSuchTime => TimeTrouble::NoSuchTime { found: trimmed.to_owned() },
    })?;
    match date {
        Some(date) => at(date, typed.time, now).ok_or_else(|| TimeTrouble::NoSuchTime { found: trimmed.to_owned() }),
        None => on_the_day(typed, trimmed, now, clock),
    }
}

fn plain_digits(text: &str) -> String {
    text.to_ascii_lowercase()
        .chars()
        .map(|found| match signs::sign(found) {
            Some(Sign::Digit(value, _)) => char::from(b'0' + value),
            _ => found,
        })
        .collect()
}

/// A leading `2026-11-25`, and what follows it.
fn split_date(text: &str) -> (Option<NaiveDate>, &str) {
    match text.split_once([' ', 't']).and_then(|(day, rest)| Some((read_day(day)?, rest))) {
        Some((date, rest)) => (Some(date), rest.trim()),
        None => (None, text),
    }
}

/// Year, month and day with a hyphen between; zeros before them may be left out, and a year of any length has its sign.
fn read_day(text: &str) -> Option<NaiveDate> {
    let text = text.trim_start();
    let (minus, year_on) = text.strip_prefix('-').map_or((false, text), |rest| (true, rest));
    let is_signed = minus || text.starts_with('+');
    let (year, month_on) = figures(year_on.strip_prefix('+').filter(|_| !minus).unwrap_or(year_on), is_signed, 4)?;
    let (month, day_on) = figures(month_on.strip_prefix('-')?.trim_start(), false, 2)?;
    let (day, rest) = figures(day_on.strip_prefix('-')?.trim_start(), false, 2)?;
    if !rest.is_empty() {
        return None;
    }
    let year = if minus { -year } else { year };
    NaiveDate::from_ymd_opt(i32::try_from(year).ok()?, u32::try_from(month).ok()?, u32::try_from(day).ok()?)
}

/// The number that a text begins with, of at most so many figures unless it is of any length, and what follows.
fn figures(text: &str, of_any_length: bool, most: usize) -> Option<(i64, &str)> {
    let count = text.bytes().take_while(u8::is_ascii_digit).count();
    let (number, rest) = text.split_at(if of_any_length { count } else { count.min(most) });
    Some((number.parse().ok()?, rest))
}

enum Fault {
    Shape,
    NoSuchTime,
}

/// A time of day as typed.
struct TimeOfDay {
    time: NaiveTime,
    /// The same figures twelve hours away, when nothing in the text says which half of the day is meant.
    other_half: Option<NaiveTime>,
}

impl TimeOfDay {
    fn read(text: &str) -> Result<Self, Fault> {
        let (figures, afternoon) = split_half_day(text);
        let separators = [':', '.', ',', '：', 'h'];
        let figures = figures.strip_suffix('h').unwrap_or(figures).trim_end();
        let parts: Vec<&str> = figures.split(separators).map(str::trim).collect();
        let (parts, run_together) = match parts[..] {
            [all] if all.len() == 4 => (vec![all.get(..2).unwrap_or(all), all.get(2..).unwrap_or("")], true),
            [all] if all.len() == 6 => {
                (vec![all.get(..2).unwrap_or(all), all.get(2..4).unwrap_or(""), all.get(4..).unwrap_or("")], true)
            }
            [hour] if afternoon.is_some() => (vec![hour, "00"], false),
            [_, _] | [_, _, _] => (parts, false),
            _ => return Err(Fault::Shape),
        };
        let is_figure = |part: &&str, least: usize| {
            (least..=2).contains(&part.len()) && part.bytes().all(|sign| sign.is_ascii_digit())
        };
        if !parts.first().is_some_and(|hour| is_figure(hour, 1)) || !parts.iter().skip(1).all(|part| is_figure(part, 2))
        {
            return Err(Fault::Shape);
        }
        let numbers: Vec<u32> = parts.iter().filter_map(|part| part.parse().ok()).collect();
        let (&[hour, minute], second) =
            (numbers.first_chunk().ok_or(Fault::Shape)?, numbers.get(2).copied().unwrap_or(0));
        let says_24 = run_together || parts.first().is_some_and(|hour| hour.starts_with('0'));
        Self::of(hour, minute, second, afternoon, says_24).ok_or(Fault::NoSuchTime)
    }

    fn of(hour: u32, minute: u32, second: u32, afternoon: Option<bool>, says_24: bool) -> Option<Self> {
        let is_twelve_hour = (1..=12).contains(&hour);
        let half = |later: bool| NaiveTime::from_hms_opt(hour % 12 + if later { 12 } else { 0 }, minute, second);
        match afternoon {
            Some(later) if is_twelve_hour => Some(Self { time: half(later)?, other_half: None }),
            Some(_) => None,
            None => {
                let time = NaiveTime::from_hms_opt(hour, minute, second)?;
                let other_half = if is_twelve_hour && !says_24 { half(hour != 12) } else { None };
                Some(Self { time, other_half })
            }
        }
    }
}

/// Takes `am` or `pm` off the end; answers what is before it, and whether the afternoon was meant.
fn split_half_day(text: &str) -> (&str, Option<bool>) {
    for (ending, afternoon) in [("a.m.", false), ("p.m.", true), ("am", false), ("pm", true)] {
        if let Some(figures) = text.strip_suffix(ending) {
            return (figures.trim_end(), Some(afternoon));
        }
    }
    (text, None)
}

fn at(date: NaiveDate, time: NaiveTime, now: DateTime<FixedOffset>) -> Option<DateTime<FixedOffset>> {
    now.offset().from_local_datetime(&date.and_time(time)).single()
}

/// Settles the day of a time of day. Only what lies behind on the day of `now` and has no rival there is taken.
fn on_the_day(
    typed: TimeOfDay,
    found: &str,
    now: DateTime<FixedOffset>,
    clock: ClockStyle,
) -> Result<DateTime<FixedOffset>, TimeTrouble> {
    let found = found.to_owned();
    let today = now.date_naive();
    let moment = |days: u64, time| today.checked_sub_days(Days::new(days)).and_then(|day| at(day, time, now));
    let Some(as_typed) = moment(0, typed.time) else { return Err(TimeTrouble::NoSuchTime { found }) };
    let other = if clock == ClockStyle::TwentyFour { None } else { typed.other_half };
    match other.and_then(|time| moment(0, time).map(|today| (time, today))) {
        None if as_typed <= now => Ok(as_typed),
        None => {
            let choices = [moment(1, typed.time), Some(as_typed)].into_iter().flatten().collect();
            Err(TimeTrouble::Future { found, choices })
        }
        Some((_, rival)) if as_typed <= now && rival > now => Ok(as_typed),
        Some((time, _)) => {
            let behind = |time| moment(0, time).filter(|moment| *moment <= now).or_else(|| moment(1, time));
            let mut choices: Vec<_> = [behind(typed.time), behind(time)].into_iter().flatten().collect();
            sort_by(&mut choices, |one, other| other.cmp(one));
            Err(TimeTrouble::HalfDay { found, choices })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn moment(text: &str) -> DateTime<FixedOffset> {
        DateTime::parse_from_rfc3339(text).unwrap()
    }

    fn read(text: &str, now: &str) -> String {
        match read_time(text, moment(now), ClockStyle::Unstated) {
            Ok(read) => read.to_rfc3339(),
            Err(TimeTrouble::HalfDay { choices, .. } | TimeTrouble::Future { choices, .. }) => {
                let choices: Vec<_> = choices.iter().map(|choice| choice.format("%d %H:%M").to_string()).collect();
                choices.join(" or ")
            }
            Err(other) => other.code().to_owned(),
        }
    }

    #[test]
    fn a_time_behind_now_is_taken_on_its_day() {
        for text in [
            "14:05",
            "1405",
            "14.05",
            "14,05",
            "14:05:00",
            "140500",
            "14h05",
            "14 h 05",
            "2:05 pm",
            "2:05PM",
            "2:05 p.m.",
            "١٤:٠٥",
        ] {
            assert_eq!(read(text, "2026-11-25T15:00:00+02:00"), "2026-11-25T14:05:00+02:00", "{text}");
        }
        assert_eq!(read("14:05:30", "2026-11-25T15:00:00-05:00"), "2026-11-25T14:05:30-05:00");
        assert_eq!(read("2 pm", "2026-11-25T15:00:00-05:00"), "2026-11-25T14:00:00-05:00");
        assert_eq!(read("12:05 am", "2026-11-25T15:00:00-05:00"), "2026-11-25T00:05:00-05:00");
        assert_eq!(read("10:05", "2026-11-25T15:00:00-05:00"), "2026-11-25T10:05:00-05:00");
        assert_eq!(read("02:05", "2026-11-25T15:00:00-05:00"), "2026-11-25T02:05:00-05:00");
    }

    #[test]
    fn a_whole_date_is_taken_as_typed() {
        let now = "2026-11-25T15:00:00+02:00";
        assert_eq!(read("2026-11-24 14:05", now), "2026-11-24T14:05:00+02:00");
        assert_eq!(read("2026-12-01T08:00:00Z", now), "2026-12-01T08:00:00+00:00");
    }

    #[test]
    fn what_may_be_two_moments_is_asked() {
        assert_eq!(read("14:05", "2026-11-25T09:00:00+00:00"), "24 14:05 or 25 14:05");
        assert_eq!(read("2:05", "2026-11-25T15:00:00+00:00"), "25 14:05 or 25 02:05");
        assert_eq!(read("12:05", "2026-11-25T00:30:00+00:00"), "25 00:05 or 24 12:05");
        assert_eq!(read("11:55", "2026-11-25T00:30:00+00:00"), "24 23:55 or 24 11:55");
        let now = moment("2026-11-25T15:00:00+00:00");
        assert_eq!(read_time("2:05", now, ClockStyle::TwentyFour), Ok(moment("2026-11-25T02:05:00+00:00")));
    }

    #[test]
    fn what_is_no_time_is_refused() {
        let now = "2026-11-25T15:00:00+00:00";
        for (text, wanted) in [
            ("", "typed.empty"),
            ("noon", "typed.not_a_time"),
            ("14", "typed.not_a_time"),
            ("905", "typed.not_a_time"),
            ("14:5", "typed.not_a_time"),
            ("14:05:30:10", "typed.not_a_time"),
            ("24:00", "typed.no_such_time"),
            ("13:65", "typed.no_such_time"),
            ("14:05 pm", "typed.no_such_time"),
            ("0:30 am", "typed.no_such_time"),
            ("25/11/2026 14:05", "typed.not_a_time"),
            ("-1:05", "typed.not_a_time"),
        ] {
            assert_eq!(read(text, now), wanted, "{text}");
        }
        assert_eq!(read(&"1".repeat(1000), now), "typed.too_long");
    }

    proptest! {
        /// Whatever is taken without asking lies behind and shows the figures that were typed.
        #[test]
        fn a_time_of_day_is_never_moved(hour in 0_u32..24, minute in 0_u32..60, now_minute in 0_i64..1440) {
            let now = moment("2026-11-25T00:00:00+05:30") + chrono::TimeDelta::minutes(now_minute);
            let text = format!("{hour}:{minute:02}");
            if let Ok(read) = read_time(&text, now, ClockStyle::Unstated) {
                prop_assert!(read <= now);
                prop_assert_eq!(read.format("%-H:%M").to_string(), text);
            }
        }

        /// Beside chrono: the same day, or none.
        #[test]
        fn a_day_is_read_as_chrono_reads_it(
            text in "[ \u{3000}]?[+-]?[0-9]{0,5}-[ \u{A0}]?[+-]?[0-9]{0,3}-[ \t]?[0-9]{0,3}[ x-]?",
            plain in "[0-9]{4}-[01][0-9]-[0-3][0-9]",
        ) {
            for text in [text, plain] {
                prop_assert_eq!(read_day(&text), NaiveDate::parse_from_str(&text, "%Y-%m-%d").ok(), "{}", text);
            }
        }

        #[test]
        fn any_text_is_read_or_refused(text in "[0-9:.,apmhT \\-+Z\\PC]{0,45}") {
            let _ = read_time(&text, moment("2026-11-25T15:00:00+00:00"), ClockStyle::Unstated);
        }
    }
}
