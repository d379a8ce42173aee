//! Reads a profile from a stream of separated values, row by row: no more is kept than the values.

use crate::layout::{Label, Layout, Measure, Times};
use crate::number::value;
use crate::oddity::{Kind, Oddities};
use crate::time::{Reader, Written};
use csv::ByteRecord;
use metering::demand::local::{DAY_S, Instant};
use metering::demand::profile::{Amount, Profile, ProfileError, Quality};
use std::io::Read;

/// A gap so long is pointed out by itself: the year may be wrong.
const LONG_JUMP_S: i64 = 300 * DAY_S;

/// What was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// The profile; empty where no row could be taken.
    pub profile: Profile,
    /// Rows, the header and empty lines left out.
    pub rows: u64,
    /// Rows of which neither value nor gap was taken.
    pub left_out: u64,
    /// Values of exactly 0.
    pub zeros: u64,
    /// Everything odd.
    pub oddities: Oddities,
}

/// Reads everything.
///
/// # Errors
/// [`ProfileError::Size`] where the layout's interval length or start is none. Whatever is wrong with the file is an oddity.
pub fn read(source: impl Read, layout: &Layout) -> Result<Reading, ProfileError> {
    let start_s = if let Times::Counted { start_s } = layout.times { start_s } else { 0 };
    let profile = Profile::new(start_s, layout.step_s)?;
    let mut state = State {
        layout,
        reader: Reader::default(),
        is_begun: matches!(layout.times, Times::Counted { .. }),
        seen: Reading { profile, rows: 0, left_out: 0, zeros: 0, oddities: Oddities::default() },
    };
    // Lines end with LF alone, so that they can be counted; a CR before it is white space. The LF at the very end makes the
    // last line end as all others do, and is no line of its own.
    let mut rows = csv::ReaderBuilder::new()
        .delimiter(layout.separator)
        .terminator(csv::Terminator::Any(b'\n'))
        .has_headers(false)
        .flexible(true)
        .from_reader(source.chain(&b"\n"[..]));
    let mut row = ByteRecord::new();
    let (mut next_line, mut is_header) = (1, layout.has_header);
    loop {
        match rows.read_byte_record(&mut row) {
            Ok(false) => {
                let empty = rows.position().line().saturating_sub(next_line + 1);
                if empty > 0 {
                    state.seen.oddities.note(Kind::EmptyLine, empty, next_line, b"");
                }
                break;
            }
            Err(why) => {
                state.seen.oddities.note(Kind::Broken, 1, next_line, why.to_string().as_bytes());
                break;
            }
            Ok(true) => {
                // A value in quotes may hold line ends; empty lines before the row are passed over by the reader.
                let inside = row.as_slice().iter().filter(|byte| **byte == b'\n').count() as u64;
                let after = rows.position().line();
                let line = after.saturating_sub(inside + 1).max(next_line);
                if line > next_line {
                    state.seen.oddities.note(Kind::EmptyLine, line - next_line, next_line, b"");
                }
                next_line = after;
                if !std::mem::take(&mut is_header) {
                    state.row(&row, line);
                }
            }
        }
    }
    Ok(state.seen)
}

struct State<'a> {
    layout: &'a Layout,
    reader: Reader,
    is_begun: bool,
    seen: Reading,
}

impl State<'_> {
    fn row(&mut self, row: &ByteRecord, line: u64) {
        if row.iter().all(|field| field.trim_ascii().is_empty()) {
            self.seen.oddities.note(Kind::EmptyLine, 1, line, b"");
            return;
        }
        self.seen.rows += 1;
        if self.try_row(row, line).is_none() {
            self.seen.left_out += 1;
        }
    }

    /// Takes a row; `None` where it was left out, which is then noted.
    fn try_row(&mut self, row: &ByteRecord, line: u64) -> Option<()> {
        let Some(text) = row.get(self.layout.value) else {
            return self.leave(Kind::FewColumns, line, row.get(0).unwrap_or_default());
        };
        let (start_s, shown) = self.start(row, line)?;
        self.place(start_s, shown, line)?;
        let amount = match value(text, self.layout.decimal_comma) {
            Ok(number) => Some(self.amount(number, text, line)),
            Err(kind) => {
                self.seen.oddities.note(kind, 1, line, text);
                None
            }
        };
        match self.seen.profile.push(start_s, amount, Quality::Counted) {
            Ok(()) => Some(()),
            // The place was looked at before, so it is the number.
            Err(_) => {
                self.seen.oddities.note(Kind::TooLarge, 1, line, text);
                self.seen.profile.push(start_s, None, Quality::Counted).ok()
            }
        }
    }

    fn amount(&mut self, number: f64, text: &[u8], line: u64) -> Amount {
        if number < 0.0 {
            self.seen.oddities.note(Kind::Negative, 1, line, text);
        }
        if number.abs() <= 0.0 {
            self.seen.zeros += 1;
        }
        match self.layout.measure {
            Measure::Kilowatts => Amount::Average(number * 1000.0),
            Measure::Watts => Amount::Average(number),
            Measure::KilowattHours => Amount::Energy(number * 1000.0),
            Measure::WattHours => Amount::Energy(number),
            Measure::Pulses { wh_per_pulse } => Amount::Energy(number * wh_per_pulse),
        }
    }

    fn leave<T>(&mut self, kind: Kind, line: u64, text: &[u8]) -> Option<T> {
        self.seen.oddities.note(kind, 1, line, text);
        None
    }

    /// Start of the row's interval, and the text that it was read from.
    fn start<'r>(&mut self, row: &'r ByteRecord, line: u64) -> Option<(i64, &'r [u8])> {
        let (written, shown) = match self.layout.times {
            Times::Counted { .. } => return Some((self.seen.profile.end_s(), &[])),
            Times::Column(column) => match row.get(column) {
                None => return self.leave(Kind::FewColumns, line, b""),
                Some(text) => (self.reader.both(text, self.layout.order), text),
            },
            Times::DateAndTime(date, time) => match row.get(date).zip(row.get(time)) {
                None => return self.leave(Kind::FewColumns, line, b""),
                Some((date, time)) => (self.reader.parts(date, time, self.layout.order), date),
            },
        };
        let Some(written) = written else { return self.leave(Kind::UnreadableTime, line, shown) };
        let step = i64::from(self.layout.step_s);
        let back = if self.layout.label == Label::End { step } else { 0 };
        let start_s = self.instant(written, back, shown, line)? - back;
        let wanted_s = self.seen.profile.end_s();
        if self.is_begun && back > 0 && start_s < wanted_s && start_s + DAY_S == wanted_s {
            self.seen.oddities.note(Kind::MidnightUnderOldDate, 1, line, shown);
            return Some((wanted_s, shown));
        }
        Some((start_s, shown))
    }

    fn instant(&mut self, written: Written, back: i64, shown: &[u8], line: u64) -> Option<i64> {
        if let Some(offset_s) = written.offset_s {
            return Some(written.wall_s - offset_s);
        }
        // An end belongs to the hour that it closes.
        match self.layout.zone.instant(written.wall_s - back) {
            Instant::Once(instant_s) => Some(instant_s + back),
            Instant::Never => self.leave(Kind::TimeThatNeverWas, line, shown),
            Instant::Twice(first, second) => {
                self.seen.oddities.note(Kind::RepeatedHour, 1, line, shown);
                let is_second = self.is_begun && first < self.seen.profile.end_s();
                Some(if is_second { second } else { first } + back)
            }
        }
    }

    /// Looks whether an interval may start there; notes what lies between.
    fn place(&mut self, start_s: i64, shown: &[u8], line: u64) -> Option<()> {
        if !self.is_begun {
            match Profile::new(start_s, self.layout.step_s) {
                Ok(profile) => self.seen.profile = profile,
                Err(_) => return self.leave(Kind::TimeBeyond, line, shown),
            }
            self.is_begun = true;
            return Some(());
        }
        let (step, end_s) = (i64::from(self.layout.step_s), self.seen.profile.end_s());
        let ahead_s = start_s - end_s;
        if ahead_s == -step {
            return self.leave(Kind::SameTimeAgain, line, shown);
        }
        if ahead_s < 0 {
            return self.leave(Kind::TimeBackwards, line, shown);
        }
        if ahead_s % step != 0 {
            return self.leave(Kind::OffGrid, line, shown);
        }
        if metering::demand::profile::INSTANT.check((start_s + step) as f64).is_err() {
            return self.leave(Kind::TimeBeyond, line, shown);
        }
        if ahead_s > 0 {
            self.seen.oddities.note(Kind::MissingRows, (ahead_s / step) as u64, line, shown);
        }
        if ahead_s >= LONG_JUMP_S {
            self.seen.oddities.note(Kind::LongJump, 1, line, shown);
        }
        Some(())
    }
}
