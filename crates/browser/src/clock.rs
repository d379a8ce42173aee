//! What time it is: the wall clock with its offset, the monotonic time of this page, and this page's session.

use crate::{Trouble, ids, js};
use js_sys::Date;
use std::cell::RefCell;

/// A moment as an entry records it. The wall clock is shown and never orders; the monotonic time bounds durations.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Moment {
    /// The wall clock, RFC 3339 with the local offset.
    pub at: String,
    /// The wall clock in milliseconds since 1970.
    pub unix_ms: i64,
    /// Milliseconds since this page was loaded.
    pub since_start_ms: u64,
}

/// This moment, by all clocks at once.
pub fn moment() -> Moment {
    let date = Date::new_0();
    let unix_ms = date.get_time() as i64;
    let offset_min = -(date.get_timezone_offset().round() as i64);
    Moment { at: rfc3339(unix_ms, offset_min), unix_ms, since_start_ms: since_start_ms() }
}

/// The wall clock, RFC 3339 with the local offset.
pub fn now() -> String {
    moment().at
}

/// The wall clock in milliseconds since 1970.
pub fn unix_ms() -> i64 {
    Date::now() as i64
}

/// Milliseconds since this page was loaded. It may stop while the device sleeps.
pub fn since_start_ms() -> u64 {
    js::window().ok().and_then(|window| window.performance()).map_or(0, |performance| performance.now() as u64)
}

/// This page's session: minted once each time the page is loaded.
pub fn session_id() -> Result<String, Trouble> {
    thread_local! {
        static SESSION: RefCell<Option<String>> = const { RefCell::new(None) };
    }
    SESSION.with_borrow_mut(|session| match session {
        Some(session) => Ok(session.clone()),
        None => Ok(session.insert(ids::mint()?).clone()),
    })
}

/// RFC 3339 text of a moment, as the clock on the wall shows it at that offset from UTC. Cut to whole seconds.
pub fn rfc3339(unix_ms: i64, offset_min: i64) -> String {
    let local_s = unix_ms.div_euclid(1000).saturating_add(offset_min * 60);
    let (year, month, day) = civil(local_s.div_euclid(86_400));
    let second = local_s.rem_euclid(86_400);
    let sign = if offset_min < 0 { '-' } else { '+' };
    let offset = offset_min.abs();
    format!(
        "{year:04}-{month:02}-{day:02}T{:02}:{:02}:{:02}{sign}{:02}:{:02}",
        second / 3600,
        second / 60 % 60,
        second % 60,
        offset / 60,
        offset % 60
    )
}

/// Year, month and day of a count of days since 1970-01-01 in the Gregorian calendar.
///
/// # Source
/// H. Hinnant, "chrono-compatible low-level date algorithms", `civil_from_days`. From memory; the tests compare it with
/// dates that are counted day by day.
fn civil(days: i64) -> (i64, i64, i64) {
    let shifted = days.saturating_add(719_468);
    let era = shifted.div_euclid(146_097);
    let day_of_era = shifted.rem_euclid(146_097);
    let year_of_era = (day_of_era - day_of_era / 1460 + day_of_era / 36_524 - day_of_era / 146_096) / 365;
    let day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let month_from_march = (5 * day_of_year + 2) / 153;
    let day = day_of_year - (153 * month_from_march + 2) / 5 + 1;
    let month = if month_from_march < 10 { month_from_march + 3 } else { month_from_march - 9 };
    (year_of_era + era * 400 + i64::from(month <= 2), month, day)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The calendar counted day by day, by the rule of leap years alone.
    #[test]
    fn every_day_of_eight_centuries_is_named_right() {
        let is_leap = |year: i64| year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
        let (mut year, mut month, mut day) = (1970, 1, 1);
        for days in 0..292_194 {
            assert_eq!(civil(days), (year, month, day));
            let longest = match month {
                2 => 28 + i64::from(is_leap(year)),
                4 | 6 | 9 | 11 => 30,
                _ => 31,
            };
            day += 1;
            if day > longest {
                (day, month) = (1, month + 1);
            }
            if month > 12 {
                (month, year) = (1, year + 1);
            }
        }
    }

    /// Source: RFC 3339 section 5.8: 1996-12-19T16:39:57-08:00 is 1996-12-20T00:39:57Z; its third and last examples have
    /// a leap second and an offset with odd minutes. The count of seconds is worked out here by the day count above.
    #[test]
    fn the_offset_shifts_the_clock_and_stands_in_the_text() {
        let unix_ms = 851_042_397_000;
        assert_eq!(rfc3339(unix_ms, -480), "1996-12-19T16:39:57-08:00");
        assert_eq!(rfc3339(unix_ms, 0), "1996-12-20T00:39:57+00:00");
        assert_eq!(rfc3339(unix_ms, 345), "1996-12-20T06:24:57+05:45");
        assert_eq!(rfc3339(unix_ms, -210), "1996-12-19T21:09:57-03:30");
        assert_eq!(rfc3339(-1, 0), "1969-12-31T23:59:59+00:00");
    }
}
