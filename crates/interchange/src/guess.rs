//! Proposes how a file is to be read, from its beginning. A guess is a value to be shown and confirmed; what it does not know
//! for sure it names as a doubt.

use crate::layout::{DateOrder, Label, Layout, Measure, Times};
use crate::number;
use crate::oddity::Kind;
use crate::time::Reader;
use csv::ByteRecord;
use metering::demand::local::Zone;

/// Rows that a guess looks at.
const ROWS: usize = 200;
/// Bytes of a file's beginning that are enough for a guess.
pub const BEGINNING_BYTES: usize = 65_536;

/// What a guess is not sure of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Doubt {
    /// Day and month could change places.
    DateOrder,
    /// Nothing says what a value counts.
    Measure,
    /// Nothing says whether a time is the start or the end of an interval.
    Label,
    /// Times have no offset, so their clock is not known.
    Clock,
    /// There are no times, or too few: the interval length is not known.
    Step,
    /// More than one column could be the value.
    Column,
}

impl Doubt {
    /// Every doubt.
    pub const ALL: [Self; 6] = [Self::DateOrder, Self::Measure, Self::Label, Self::Clock, Self::Step, Self::Column];

    /// Stable code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::DateOrder => "guess.date_order",
            Self::Measure => "guess.measure",
            Self::Label => "guess.label",
            Self::Clock => "guess.clock",
            Self::Step => "guess.step",
            Self::Column => "guess.column",
        }
    }
}

/// A proposal.
#[derive(Clone, Debug, PartialEq)]
pub struct Guess {
    /// How the file might be read.
    pub layout: Layout,
    /// What is not sure.
    pub doubts: Vec<Doubt>,
}

/// Proposes a layout from the beginning of a file; `None` where no column looks like values.
pub fn guess(beginning: &[u8]) -> Option<Guess> {
    let beginning = beginning.get(..BEGINNING_BYTES).unwrap_or(beginning);
    let separator = separator(beginning);
    let rows = rows(beginning, separator);
    let decimal_comma = separator != b',' && has_decimal_comma(&rows);
    let is_value = |field: &[u8]| {
        let read = number::value(field, decimal_comma);
        read.is_ok() || (read == Err(Kind::MissingValue) && !field.trim_ascii().is_empty())
    };
    let has_header =
        rows.first().is_some_and(|row| !row.iter().any(is_value) && order_of([row.clone()].iter(), 0).is_none());
    let (header, body) = if has_header { (rows.first(), rows.get(1..)?) } else { (None, rows.as_slice()) };
    let body: Vec<&ByteRecord> = body.iter().filter(|row| !row.is_empty()).collect();
    let columns = body.first()?.len();
    let mut doubts = Vec::new();
    let (times, order) = times(&body, columns, &mut doubts);
    let values: Vec<usize> = (0..columns)
        .filter(|column| !is_time(times, *column))
        .filter(|column| body.iter().all(|row| row.get(*column).is_some_and(is_value)))
        .collect();
    let name =
        |column: usize| header.and_then(|row| row.get(column)).map(<[u8]>::to_ascii_lowercase).unwrap_or_default();
    let named = values.iter().copied().find(|column| measure(&name(*column)).is_some());
    let value = named.or(values.first().copied())?;
    if values.len() > 1 {
        doubts.push(Doubt::Column);
    }
    let measure = measure(&name(value)).unwrap_or_else(|| {
        doubts.push(Doubt::Measure);
        Measure::Kilowatts
    });
    let is_end = (0..columns).any(|column| is_time(times, column) && contains(&name(column), b"end"));
    let is_start = (0..columns).any(|column| is_time(times, column) && contains(&name(column), b"start"));
    if !is_end && !is_start && !matches!(times, Times::Counted { .. }) {
        doubts.push(Doubt::Label);
    }
    let step_s = step(&body, times, order, &mut doubts);
    let label = if is_end { Label::End } else { Label::Start };
    let zone = Zone::fixed(0);
    let layout = Layout { separator, decimal_comma, has_header, times, value, order, label, measure, zone, step_s };
    Some(Guess { layout, doubts })
}

fn is_time(times: Times, column: usize) -> bool {
    match times {
        Times::Column(time) => column == time,
        Times::DateAndTime(date, time) => column == date || column == time,
        Times::Counted { .. } => false,
    }
}

fn contains(text: &[u8], word: &[u8]) -> bool {
    text.windows(word.len()).any(|window| window == word)
}

/// The separator that stands equally often in most of the first lines.
fn separator(beginning: &[u8]) -> u8 {
    let lines = || beginning.split(|byte| *byte == b'\n').filter(|line| !line.trim_ascii().is_empty()).take(ROWS);
    let count = |line: &[u8], sign: u8| line.iter().filter(|byte| **byte == sign).count();
    // A comma comes last, for it may be the decimal sign of another separator's file.
    let fits = |sign: &&u8| {
        let counts: Vec<usize> = lines().map(|line| count(line, **sign)).collect();
        let wanted = counts.get(1).or(counts.first()).copied().unwrap_or(0);
        wanted > 0 && counts.iter().filter(|count| **count == wanted).count() * 10 >= counts.len() * 9
    };
    [b';', b'\t', b'|', b','].iter().find(fits).copied().unwrap_or(b',')
}

fn rows(beginning: &[u8], separator: u8) -> Vec<ByteRecord> {
    let mut reader =
        csv::ReaderBuilder::new().delimiter(separator).has_headers(false).flexible(true).from_reader(beginning);
    let mut rows: Vec<ByteRecord> = reader.byte_records().take(ROWS).map_while(Result::ok).collect();
    // The last one may be cut.
    if beginning.len() >= BEGINNING_BYTES && rows.len() < ROWS {
        rows.pop();
    }
    rows
}

fn has_decimal_comma(rows: &[ByteRecord]) -> bool {
    let fields = rows.iter().flat_map(ByteRecord::iter).map(<[u8]>::trim_ascii);
    fields.filter(|field| field.contains(&b',')).any(|field| number::value(field, true).is_ok())
}

fn measure(name: &[u8]) -> Option<Measure> {
    let words: [(&[u8], Measure); 5] = [
        (b"pulse", Measure::Pulses { wh_per_pulse: 1.0 }),
        (b"kwh", Measure::KilowattHours),
        (b"kvarh", Measure::KilowattHours),
        (b"kw", Measure::Kilowatts),
        (b"kvar", Measure::Kilowatts),
    ];
    words.into_iter().find(|(word, _)| contains(name, word)).map(|(_, measure)| measure)
}

/// Whether every row of a column is a date in some order, and which.
fn order_of<'a>(rows: impl Iterator<Item = &'a ByteRecord> + Clone, column: usize) -> Option<(DateOrder, bool)> {
    let fits = |order: &DateOrder| {
        let mut reader = Reader::default();
        let mut rows = rows.clone().peekable();
        rows.peek().is_some() && rows.all(|row| row.get(column).is_some_and(|text| reader.both(text, *order).is_some()))
    };
    let mut orders = DateOrder::ALL.into_iter().filter(fits);
    let first = orders.next()?;
    // A year of four digits first leaves no doubt.
    let has_year_first = rows
        .clone()
        .next()
        .and_then(|row| row.get(column))
        .is_some_and(|text| text.trim_ascii().iter().take_while(|byte| byte.is_ascii_digit()).count() == 4);
    Some((first, !has_year_first && orders.next().is_some()))
}

fn times(body: &[&ByteRecord], columns: usize, doubts: &mut Vec<Doubt>) -> (Times, DateOrder) {
    let body = body.iter().copied();
    for column in 0..columns {
        let Some((order, is_doubtful)) = order_of(body.clone(), column) else { continue };
        if is_doubtful {
            doubts.push(Doubt::DateOrder);
        }
        let has_time = body.clone().any(|row| row.get(column).is_some_and(|text| text.contains(&b':')));
        let is_clock = |row: &ByteRecord| {
            row.get(column + 1).is_some_and(|text| {
                Reader::default().parts(b"2000-01-01", text, DateOrder::YearMonthDay).is_some() && text.contains(&b':')
            })
        };
        let times = if !has_time && body.clone().all(is_clock) {
            Times::DateAndTime(column, column + 1)
        } else {
            Times::Column(column)
        };
        let mut reader = Reader::default();
        let has_offset = body.clone().next().and_then(|row| row.get(column)).and_then(|text| reader.both(text, order));
        if has_offset.is_none_or(|written| written.offset_s.is_none()) {
            doubts.push(Doubt::Clock);
        }
        return (times, order);
    }
    (Times::Counted { start_s: 0 }, DateOrder::YearMonthDay)
}

/// The commonest step between rows; an hour, in doubt, where there are no times.
fn step(body: &[&ByteRecord], times: Times, order: DateOrder, doubts: &mut Vec<Doubt>) -> u32 {
    let mut reader = Reader::default();
    let instants: Vec<i64> = body
        .iter()
        .filter_map(|row| match times {
            Times::Column(column) => reader.both(row.get(column)?, order),
            Times::DateAndTime(date, time) => reader.parts(row.get(date)?, row.get(time)?, order),
            Times::Counted { .. } => None,
        })
        .map(|written| written.wall_s - written.offset_s.unwrap_or(0))
        .collect();
    let mut steps: Vec<i64> = instants.iter().zip(instants.iter().skip(1)).map(|(one, other)| other - one).collect();
    steps.sort_unstable();
    let commonest = steps.chunk_by(|one, other| one == other).max_by_key(|same| same.len()).and_then(<[i64]>::first);
    let found = commonest.and_then(|step| u32::try_from(*step).ok()).filter(|step| *step > 0);
    found.unwrap_or_else(|| {
        doubts.push(Doubt::Step);
        3600
    })
}
