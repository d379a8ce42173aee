//! The calendar and the clock of a place: dates, offsets, days of 23 and 25 hours, hours that come twice.
//!
//! Only arithmetic: the rule of a place is data, and rules change by law, so each names the law and the year it holds from.

/// Seconds in a day of 24 hours.
pub const DAY_S: i64 = 86_400;

/// A date of the Gregorian calendar.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Date {
    /// Year.
    pub year: i64,
    /// Month, 1 to 12.
    pub month: u8,
    /// Day, 1 to 31.
    pub day: u8,
}

/// One of the two changes of a year: the `nth` weekday of a month (the last one where `nth` is 5), at a time of day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Turn {
    month: u8,
    nth: u8,
    /// 0 is Sunday.
    weekday: i64,
    /// Seconds after midnight of standard time.
    standard_s: i64,
}

/// When a place puts its clocks forward and back, by one hour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Saving {
    forward: Turn,
    back: Turn,
}

/// The clock of a place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Zone {
    standard_s: i32,
    saving: Option<Saving>,
}

/// What a time on the wall can stand for, in seconds since 1970 in UTC.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Instant {
    /// One instant.
    Once(i64),
    /// The hour came twice: the first and the second time.
    Twice(i64, i64),
    /// The hour was left out.
    Never,
}

const SAVING_S: i64 = 3600;
const HOUR_S: i64 = 3600;

const fn turn(month: u8, nth: u8, standard_h: i64) -> Turn {
    Turn { month, nth, weekday: 0, standard_s: standard_h * HOUR_S }
}

/// Energy Policy Act of 2005 (Pub. L. 109-58), section 110, from 2007: second Sunday of March to first Sunday of November, at
/// 2 o'clock of the clock.
const NORTH_AMERICA: Saving = Saving { forward: turn(3, 2, 2), back: turn(11, 1, 1) };
/// Directive 2000/84/EC, from 2002: last Sundays of March and October, at 1 o'clock UTC.
const fn europe(standard_h: i64) -> Saving {
    Saving { forward: turn(3, 5, 1 + standard_h), back: turn(10, 5, 1 + standard_h) }
}
/// South-eastern Australia from 2008, from memory: first Sundays of October and April, at 2 o'clock standard time.
const AUSTRALIA: Saving = Saving { forward: turn(10, 1, 2), back: turn(4, 1, 2) };
/// New Zealand Daylight Time Order 2007, from memory: last Sunday of September, first Sunday of April, at 2 o'clock standard.
const NEW_ZEALAND: Saving = Saving { forward: turn(9, 5, 2), back: turn(4, 1, 2) };

/// Zones by their names in the IANA database, offset in minutes, with the rule of today.
const ZONES: &[(&str, i32, Option<Saving>)] = &[
    ("UTC", 0, None),
    ("Etc/UTC", 0, None),
    ("America/St_Johns", -210, Some(NORTH_AMERICA)),
    ("America/Halifax", -240, Some(NORTH_AMERICA)),
    ("America/Puerto_Rico", -240, None),
    ("America/New_York", -300, Some(NORTH_AMERICA)),
    ("America/Detroit", -300, Some(NORTH_AMERICA)),
    ("America/Toronto", -300, Some(NORTH_AMERICA)),
    ("America/Chicago", -360, Some(NORTH_AMERICA)),
    ("America/Winnipeg", -360, Some(NORTH_AMERICA)),
    ("America/Regina", -360, None),
    ("America/Mexico_City", -360, None),
    ("America/Denver", -420, Some(NORTH_AMERICA)),
    ("America/Edmonton", -420, Some(NORTH_AMERICA)),
    ("America/Phoenix", -420, None),
    ("America/Los_Angeles", -480, Some(NORTH_AMERICA)),
    ("America/Vancouver", -480, Some(NORTH_AMERICA)),
    ("America/Anchorage", -540, Some(NORTH_AMERICA)),
    ("Pacific/Honolulu", -600, None),
    ("Europe/London", 0, Some(europe(0))),
    ("Europe/Dublin", 0, Some(europe(0))),
    ("Europe/Lisbon", 0, Some(europe(0))),
    ("Europe/Amsterdam", 60, Some(europe(1))),
    ("Europe/Berlin", 60, Some(europe(1))),
    ("Europe/Brussels", 60, Some(europe(1))),
    ("Europe/Copenhagen", 60, Some(europe(1))),
    ("Europe/Madrid", 60, Some(europe(1))),
    ("Europe/Oslo", 60, Some(europe(1))),
    ("Europe/Paris", 60, Some(europe(1))),
    ("Europe/Prague", 60, Some(europe(1))),
    ("Europe/Rome", 60, Some(europe(1))),
    ("Europe/Stockholm", 60, Some(europe(1))),
    ("Europe/Vienna", 60, Some(europe(1))),
    ("Europe/Warsaw", 60, Some(europe(1))),
    ("Europe/Zurich", 60, Some(europe(1))),
    ("Europe/Athens", 120, Some(europe(2))),
    ("Europe/Helsinki", 120, Some(europe(2))),
    ("Asia/Kolkata", 330, None),
    ("Asia/Singapore", 480, None),
    ("Asia/Tokyo", 540, None),
    ("Australia/Perth", 480, None),
    ("Australia/Brisbane", 600, None),
    ("Australia/Adelaide", 570, Some(AUSTRALIA)),
    ("Australia/Sydney", 600, Some(AUSTRALIA)),
    ("Australia/Melbourne", 600, Some(AUSTRALIA)),
    ("Australia/Hobart", 600, Some(AUSTRALIA)),
    ("Pacific/Auckland", 720, Some(NEW_ZEALAND)),
    ("Africa/Johannesburg", 120, None),
];

impl Date {
    /// A date that exists; `None` otherwise, and outside the years 1 to 9999.
    pub fn new(year: i64, month: u8, day: u8) -> Option<Self> {
        let exists = (1..=9999).contains(&year) && (1..=12).contains(&month) && day >= 1 && day <= days_in(year, month);
        exists.then_some(Self { year, month, day })
    }

    /// Days since 1970-01-01.
    ///
    /// # Source
    /// H. Hinnant, "chrono-Compatible Low-Level Date Algorithms", `days_from_civil`.
    pub const fn days(self) -> i64 {
        let year = if self.month <= 2 { self.year - 1 } else { self.year };
        let era = year.div_euclid(400);
        let year_of_era = year - era * 400;
        let month = (self.month as i64 + 9) % 12;
        let day_of_year = (153 * month + 2) / 5 + self.day as i64 - 1;
        let day_of_era = year_of_era * 365 + year_of_era / 4 - year_of_era / 100 + day_of_year;
        era * 146_097 + day_of_era - 719_468
    }

    /// The date so many days after 1970-01-01.
    ///
    /// # Source
    /// As [`Self::days`], `civil_from_days`.
    pub const fn from_days(days: i64) -> Self {
        let days = days + 719_468;
        let era = days.div_euclid(146_097);
        let day_of_era = days - era * 146_097;
        let year_of_era = (day_of_era - day_of_era / 1460 + day_of_era / 36_524 - day_of_era / 146_096) / 365;
        let day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
        let month_from_march = (5 * day_of_year + 2) / 153;
        let day = (day_of_year - (153 * month_from_march + 2) / 5 + 1) as u8;
        let month = (if month_from_march < 10 { month_from_march + 3 } else { month_from_march - 9 }) as u8;
        let year = year_of_era + era * 400 + if month <= 2 { 1 } else { 0 };
        Self { year, month, day }
    }
}

fn days_in(year: i64, month: u8) -> u8 {
    let is_leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    match month {
        2 if is_leap => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

impl Turn {
    /// When it comes in a year, in seconds since 1970 in standard time of the place.
    const fn standard_s(&self, year: i64) -> i64 {
        let first = Date { year, month: self.month, day: 1 }.days();
        // 1970-01-01 was a Thursday.
        let to_weekday = (self.weekday - (first + 4)).rem_euclid(7);
        let mut day = first + to_weekday + 7 * (self.nth as i64 - 1);
        if Date::from_days(day).month != self.month {
            day -= 7;
        }
        day * DAY_S + self.standard_s
    }
}

impl Zone {
    /// A place whose clock is never changed, so many seconds ahead of UTC.
    pub const fn fixed(offset_s: i32) -> Self {
        Self { standard_s: offset_s, saving: None }
    }

    /// A place by its name in the IANA database, with the rule of today; `None` where it is not in the table.
    pub fn named(name: &str) -> Option<Self> {
        let (_, minutes, saving) = ZONES.iter().find(|(known, ..)| known.eq_ignore_ascii_case(name))?;
        Some(Self { standard_s: minutes * 60, saving: *saving })
    }

    /// The names that [`Self::named`] knows.
    pub fn names() -> impl Iterator<Item = &'static str> {
        ZONES.iter().map(|(name, ..)| *name)
    }

    /// How far the clock is ahead of UTC at an instant, in seconds.
    pub fn offset_s(&self, instant_s: i64) -> i64 {
        let standard = i64::from(self.standard_s);
        let Some(saving) = self.saving else { return standard };
        let standard_now_s = instant_s.saturating_add(standard);
        let year = Date::from_days(standard_now_s.div_euclid(DAY_S)).year;
        let (forward, back) = (saving.forward.standard_s(year), saving.back.standard_s(year));
        let is_summer = if forward < back {
            (forward..back).contains(&standard_now_s)
        } else {
            !(back..forward).contains(&standard_now_s)
        };
        standard + if is_summer { SAVING_S } else { 0 }
    }

    /// What a time on the wall, in seconds since 1970 as if it were UTC, stands for.
    pub fn instant(&self, wall_s: i64) -> Instant {
        let standard = i64::from(self.standard_s);
        let summer = wall_s.saturating_sub(standard + SAVING_S);
        let winter = wall_s.saturating_sub(standard);
        let holds = |instant_s: i64| instant_s.saturating_add(self.offset_s(instant_s)) == wall_s;
        match (self.saving.is_some() && holds(summer), holds(winter)) {
            (true, true) => Instant::Twice(summer, winter),
            (true, false) => Instant::Once(summer),
            (false, true) => Instant::Once(winter),
            (false, false) => Instant::Never,
        }
    }

    /// The instant at which a day begins; the first one after a midnight that was left out.
    pub fn day_start_s(&self, days: i64) -> i64 {
        match self.instant(days.saturating_mul(DAY_S)) {
            Instant::Once(start_s) | Instant::Twice(start_s, _) => start_s,
            Instant::Never => days.saturating_mul(DAY_S).saturating_sub(i64::from(self.standard_s)),
        }
    }

    /// Length of a day in seconds.
    pub fn day_length_s(&self, days: i64) -> i64 {
        self.day_start_s(days + 1) - self.day_start_s(days)
    }

    /// The day in which an instant lies, in days since 1970-01-01 of the place.
    pub fn day_of(&self, instant_s: i64) -> i64 {
        instant_s.saturating_add(self.offset_s(instant_s)).div_euclid(DAY_S)
    }

    /// Beginnings of all days that touch a stretch of time, and the end of the last: the bounds for
    /// [`super::window::peaks_by_period`]. At most `most` days.
    pub fn days(&self, from_s: i64, to_s: i64, most: usize) -> Vec<i64> {
        let (first, last) = (self.day_of(from_s), self.day_of(to_s.saturating_sub(1).max(from_s)));
        (first..=last.saturating_add(1)).take(most.saturating_add(1)).map(|day| self.day_start_s(day)).collect()
    }
}
