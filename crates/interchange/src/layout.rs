//! How a file of separated values is to be read.

use metering::demand::local::Zone;

/// In which order a date is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DateOrder {
    /// Year, month, day.
    YearMonthDay,
    /// Day, month, year.
    DayMonthYear,
    /// Month, day, year.
    MonthDayYear,
}

/// What a row's time names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Label {
    /// The start of the interval.
    Start,
    /// Its end.
    End,
}

/// What a value counts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Measure {
    /// Mean power of the interval: kilowatts, kilovars.
    Kilowatts,
    /// Mean power: watts, vars.
    Watts,
    /// Energy of the interval: kilowatt-hours, kilovar-hours.
    KilowattHours,
    /// Energy: watt-hours, var-hours.
    WattHours,
    /// Pulses in the interval.
    Pulses {
        /// Watt-hours that a pulse stands for, primary.
        wh_per_pulse: f64,
    },
}

/// Where a row's time stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Times {
    /// In one column, date and time.
    Column(usize),
    /// Date in one column, time in another.
    DateAndTime(usize, usize),
    /// Nowhere: row after row, the first interval starting at this instant.
    Counted {
        /// In seconds since 1970.
        start_s: i64,
    },
}

/// How a file is to be read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Layout {
    /// What separates columns.
    pub separator: u8,
    /// Whether the decimal sign is a comma.
    pub decimal_comma: bool,
    /// Whether the first row names the columns.
    pub has_header: bool,
    /// Where the times stand.
    pub times: Times,
    /// Column of the value, the first being 0.
    pub value: usize,
    /// Order of a date.
    pub order: DateOrder,
    /// What a time names.
    pub label: Label,
    /// What a value counts.
    pub measure: Measure,
    /// The clock that times without an offset of their own are read by.
    pub zone: Zone,
    /// Length of an interval in seconds.
    pub step_s: u32,
}

impl DateOrder {
    /// Every order.
    pub const ALL: [Self; 3] = [Self::YearMonthDay, Self::DayMonthYear, Self::MonthDayYear];

    /// Stable code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::YearMonthDay => "ymd",
            Self::DayMonthYear => "dmy",
            Self::MonthDayYear => "mdy",
        }
    }
}

impl Label {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Start, Self::End];

    /// Stable code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Start => "start",
            Self::End => "end",
        }
    }
}

impl Measure {
    /// Stable code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Kilowatts => "kw",
            Self::Watts => "w",
            Self::KilowattHours => "kwh",
            Self::WattHours => "wh",
            Self::Pulses { .. } => "pulses",
        }
    }
}
