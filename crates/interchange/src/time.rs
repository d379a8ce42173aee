//! Dates and times as files write them.

use crate::layout::DateOrder;
use metering::demand::local::{DAY_S, Date};

/// A time as written: seconds since 1970 as if the wall were UTC, and the offset where one is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Written {
    pub(crate) wall_s: i64,
    pub(crate) offset_s: Option<i64>,
}

/// Reads dates quickly: most rows have the date of the row above.
#[derive(Default)]
pub(crate) struct Reader {
    last: Vec<u8>,
    days: i64,
}

impl Reader {
    /// Date and time in one text, between them a space or a `T`.
    pub(crate) fn both(&mut self, text: &[u8], order: DateOrder) -> Option<Written> {
        let text = text.trim_ascii();
        let cut = text.iter().position(|byte| b" T".contains(byte)).unwrap_or(text.len());
        let (date, time) = text.split_at_checked(cut)?;
        self.parts(date, time.get(1..).unwrap_or_default(), order)
    }

    /// Date and time apart.
    pub(crate) fn parts(&mut self, date: &[u8], time: &[u8], order: DateOrder) -> Option<Written> {
        if date != self.last.as_slice() {
            self.days = days(date.trim_ascii(), order)?;
            self.last.clear();
            self.last.extend_from_slice(date);
        }
        let (second, offset_s) = second_of_day(time.trim_ascii())?;
        Some(Written { wall_s: self.days * DAY_S + second, offset_s })
    }
}

fn days(text: &[u8], order: DateOrder) -> Option<i64> {
    let mut numbers = text.split(|byte| b"-/.".contains(byte)).map(number);
    let parts = [numbers.next()??, numbers.next()??, numbers.next()??];
    if numbers.next().is_some() {
        return None;
    }
    let [year, month, day] = match (order, parts) {
        (DateOrder::YearMonthDay, parts) => parts,
        (DateOrder::DayMonthYear, [day, month, year]) => [year, month, day],
        (DateOrder::MonthDayYear, [month, day, year]) => [year, month, day],
    };
    // Two digits mean this century: no file of intervals is older.
    let year = if year < 100 { year + 2000 } else { year };
    Date::new(year, u8::try_from(month).ok()?, u8::try_from(day).ok()?).map(Date::days)
}

/// Seconds after midnight, 24:00 allowed, and the offset behind them.
fn second_of_day(text: &[u8]) -> Option<(i64, Option<i64>)> {
    if text.is_empty() {
        return Some((0, None));
    }
    let is_time = |byte: &u8| byte.is_ascii_digit() || *byte == b':' || *byte == b'.';
    let cut = text.iter().position(|byte| !is_time(byte)).unwrap_or(text.len());
    let (clock, mut rest) = text.split_at_checked(cut)?;
    let clock = clock.split(|byte| *byte == b'.').next()?;
    let mut parts = clock.split(|byte| *byte == b':').map(number);
    let (mut hour, minute, second) = (parts.next()??, parts.next()??, parts.next().unwrap_or(Some(0))?);
    rest = rest.trim_ascii();
    if let Some(half) =
        rest.get(..2).filter(|half| half.eq_ignore_ascii_case(b"AM") || half.eq_ignore_ascii_case(b"PM"))
    {
        if !(1..=12).contains(&hour) {
            return None;
        }
        hour = hour % 12 + if half.eq_ignore_ascii_case(b"PM") { 12 } else { 0 };
        rest = rest.get(2..)?.trim_ascii();
    }
    let seconds = hour * 3600 + minute * 60 + second;
    if parts.next().is_some() || minute > 59 || second > 59 || seconds > DAY_S {
        return None;
    }
    Some((seconds, offset(rest)?))
}

/// `Z`, `+01:00`, `-0500`, `+01`, or nothing; the outer `None` for anything else.
fn offset(text: &[u8]) -> Option<Option<i64>> {
    let sign = match text.split_first() {
        None => return Some(None),
        Some((b'Z', [])) => return Some(Some(0)),
        Some((b'+', _)) => 1,
        Some((b'-', _)) => -1,
        Some(_) => return None,
    };
    let digits: Vec<u8> = text.iter().skip(1).filter(|byte| **byte != b':').copied().collect();
    let (hours, minutes) = match digits.len() {
        2 => (number(&digits)?, 0),
        4 => (number(digits.get(..2)?)?, number(digits.get(2..)?)?),
        _ => return None,
    };
    (hours <= 14 && minutes <= 59).then_some(Some(sign * (hours * 3600 + minutes * 60)))
}

fn number(text: &[u8]) -> Option<i64> {
    if text.is_empty() || text.len() > 4 {
        return None;
    }
    text.iter().try_fold(0, |sum, byte| byte.is_ascii_digit().then(|| sum * 10 + i64::from(byte - b'0')))
}
