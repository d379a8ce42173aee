//! A load profile: energy per interval on one grid of time, with its gaps and how far each interval is to be trusted.
//!
//! Only what was counted is stored, in unbroken runs; a gap takes no room and has no value, so it can never pass for zero.

use super::sums;
use crate::quantity::WattHours;
use crate::range::{OutOfRange, Range};
use thiserror::Error;

/// Seconds since 1970 that a profile may lie in: the years 1900 to 2200.
pub const INSTANT: Range = Range { what: "instant", unit: "s", least: -2_208_988_800.0, most: 7_258_118_400.0 };
/// Length of an interval in seconds: up to 31 days.
pub const STEP: Range = Range { what: "interval_length", unit: "s", least: 1.0, most: 2_678_400.0 };
pub(super) const SECONDS_PER_HOUR: f64 = 3600.0;

/// What was written down for an interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Amount {
    /// Energy counted in the interval, in watt-hours (var-hours, volt-ampere-hours).
    Energy(f64),
    /// Mean power over the interval, in watts (vars, volt-amperes).
    Average(f64),
}

/// How far an interval is to be trusted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quality {
    /// As the meter counted it.
    Counted,
    /// Put in by an estimate.
    Estimated,
    /// Changed by hand.
    Edited,
    /// Counted, but in doubt: the meter or the file says so.
    Doubtful,
}

/// One interval of a profile.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    /// Its start, in seconds since the epoch that the profile is counted from.
    pub start_s: i64,
    /// Its length in seconds.
    pub length_s: u32,
    /// Energy in watt-hours; `None` in a gap.
    pub energy_wh: Option<f64>,
    /// How far it is to be trusted.
    pub quality: Quality,
}

/// A stretch without values.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Gap {
    /// Its start in seconds since the epoch.
    pub start_s: i64,
    /// Its length in seconds.
    pub length_s: i64,
}

/// An unbroken run of values.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Run<'a> {
    /// Start of its first interval in seconds since the epoch.
    pub start_s: i64,
    /// Energy of each interval in watt-hours, one after the other.
    pub energies_wh: &'a [f64],
}

/// Where a run lies: its slot on the grid, and where its values begin.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Span {
    pub(super) slot: i64,
    pub(super) first: usize,
    pub(super) count: usize,
}

/// Slots that are not as counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Mark {
    pub(super) slot: i64,
    pub(super) count: i64,
    pub(super) quality: Quality,
}

/// Energy per interval on one grid of time.
#[derive(Clone, Debug, PartialEq)]
pub struct Profile {
    pub(super) start_s: i64,
    pub(super) step_s: u32,
    pub(super) slots: i64,
    pub(super) values: Vec<f64>,
    pub(super) runs: Vec<Span>,
    pub(super) marks: Vec<Mark>,
}

/// Why an interval or a profile was not taken.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum ProfileError {
    /// The start does not lie on the grid that the first interval and the length give.
    #[error("{start_s} s is not on the grid of {step_s} s from {grid_s} s")]
    OffGrid {
        /// Where it starts.
        start_s: i64,
        /// Length of an interval.
        step_s: u32,
        /// Where the grid starts.
        grid_s: i64,
    },
    /// It starts before the end of the one before it: an overlap, or time running backwards.
    #[error("{start_s} s comes before {end_s} s")]
    Backwards {
        /// Where it starts.
        start_s: i64,
        /// Where the one before it ends.
        end_s: i64,
    },
    /// Two profiles have not the same interval length.
    #[error("{found_s} s and {wanted_s} s are not one length")]
    OtherStep {
        /// The other length.
        found_s: u32,
        /// The length of the first.
        wanted_s: u32,
    },
    /// A number beyond any size.
    #[error(transparent)]
    Size(#[from] OutOfRange),
}

impl ProfileError {
    /// Every code that [`Self::code`] can give.
    pub const CODES: &'static [&'static str] =
        &["profile.off_grid", "profile.backwards", "profile.other_step", "profile.size"];

    /// Stable code.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::OffGrid { .. } => "profile.off_grid",
            Self::Backwards { .. } => "profile.backwards",
            Self::OtherStep { .. } => "profile.other_step",
            Self::Size(_) => "profile.size",
        }
    }
}

impl Amount {
    /// The energy that it stands for in an interval of `length_s`.
    pub fn energy_wh(self, length_s: u32) -> f64 {
        match self {
            Self::Energy(energy) => energy,
            Self::Average(power) => power * f64::from(length_s) / SECONDS_PER_HOUR,
        }
    }
}

impl Quality {
    /// Every quality.
    pub const ALL: [Self; 4] = [Self::Counted, Self::Estimated, Self::Edited, Self::Doubtful];

    /// Stable code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Counted => "counted",
            Self::Estimated => "estimated",
            Self::Edited => "edited",
            Self::Doubtful => "doubtful",
        }
    }
}

impl Interval {
    /// Its mean power in watts; `None` in a gap.
    pub fn average_w(&self) -> Option<f64> {
        self.energy_wh.map(|energy| power_w(energy, f64::from(self.length_s)))
    }

    /// Where it ends.
    pub const fn end_s(&self) -> i64 {
        self.start_s + self.length_s as i64
    }
}

/// Mean power of an energy over a time.
pub(super) fn power_w(energy_wh: f64, seconds: f64) -> f64 {
    energy_wh * SECONDS_PER_HOUR / seconds
}

impl Profile {
    /// An empty profile whose first interval starts at `start_s`.
    ///
    /// # Errors
    /// [`ProfileError::Size`] for a length of 0 or beyond [`STEP`], a start beyond [`INSTANT`].
    pub fn new(start_s: i64, step_s: u32) -> Result<Self, ProfileError> {
        STEP.check(f64::from(step_s))?;
        INSTANT.check(start_s as f64)?;
        Ok(Self { start_s, step_s, slots: 0, values: Vec::new(), runs: Vec::new(), marks: Vec::new() })
    }

    /// A profile without gaps, its energies already at hand, in watt-hours.
    ///
    /// # Errors
    /// As [`Self::new`]; [`ProfileError::Size`] for an energy that is no number or beyond any size.
    pub fn of(start_s: i64, step_s: u32, energies_wh: Vec<f64>) -> Result<Self, ProfileError> {
        let mut profile = Self::new(start_s, step_s)?;
        if let Some(wrong) = energies_wh.iter().find(|energy| WattHours::RANGE.check(**energy).is_err()) {
            WattHours::RANGE.check(*wrong)?;
        }
        let count = energies_wh.len();
        profile.slots = count as i64;
        INSTANT.check(profile.end_s() as f64)?;
        if count > 0 {
            profile.runs.push(Span { slot: 0, first: 0, count });
        }
        profile.values = energies_wh;
        Ok(profile)
    }

    /// Adds the interval that starts at `start_s`; between the last one and this one lies a gap. `None` is a gap too: the
    /// time is known, the value is not.
    ///
    /// # Errors
    /// [`ProfileError`], see its variants; the profile stays as it was.
    pub fn push(&mut self, start_s: i64, amount: Option<Amount>, quality: Quality) -> Result<(), ProfileError> {
        let end_s = self.end_s();
        if start_s < end_s {
            return Err(ProfileError::Backwards { start_s, end_s });
        }
        INSTANT.check(start_s as f64 + f64::from(self.step_s))?;
        let step = i64::from(self.step_s);
        if (start_s - self.start_s) % step != 0 {
            return Err(ProfileError::OffGrid { start_s, step_s: self.step_s, grid_s: self.start_s });
        }
        let energy = amount.map(|amount| WattHours::RANGE.check(amount.energy_wh(self.step_s))).transpose()?;
        let slot = (start_s - self.start_s) / step;
        if let Some(energy) = energy {
            self.keep(slot, energy);
        }
        if quality != Quality::Counted {
            self.mark(Mark { slot, count: 1, quality });
        }
        self.slots = slot + 1;
        Ok(())
    }

    fn keep(&mut self, slot: i64, energy: f64) {
        match self.runs.last_mut() {
            Some(run) if run.slot + run.count as i64 == slot => run.count += 1,
            _ => self.runs.push(Span { slot, first: self.values.len(), count: 1 }),
        }
        self.values.push(energy);
    }

    pub(super) fn mark(&mut self, mark: Mark) {
        match self.marks.last_mut() {
            Some(last) if last.quality == mark.quality && last.slot + last.count == mark.slot => {
                last.count += mark.count;
            }
            _ => self.marks.push(mark),
        }
    }

    /// Start of the first interval in seconds since the epoch.
    pub const fn start_s(&self) -> i64 {
        self.start_s
    }

    /// End of the last interval.
    pub const fn end_s(&self) -> i64 {
        self.start_s + self.slots * self.step_s as i64
    }

    /// Length of an interval in seconds.
    pub const fn step_s(&self) -> u32 {
        self.step_s
    }

    /// Intervals from first to last, gaps included.
    pub const fn expected(&self) -> i64 {
        self.slots
    }

    /// Intervals that have a value.
    pub fn present(&self) -> usize {
        self.values.len()
    }

    /// Intervals without a value.
    pub fn missing(&self) -> i64 {
        self.slots - self.values.len() as i64
    }

    /// Energy of all intervals that have a value, in watt-hours.
    pub fn energy_wh(&self) -> f64 {
        sums::total(&self.values)
    }

    /// Every value in watt-hours, in order of time, gaps left out.
    pub fn energies_wh(&self) -> &[f64] {
        &self.values
    }

    /// The unbroken runs in order of time.
    pub fn runs(&self) -> impl Iterator<Item = Run<'_>> {
        self.runs.iter().map(|run| Run { start_s: self.instant(run.slot), energies_wh: self.values_of(run) })
    }

    pub(super) fn values_of(&self, run: &Span) -> &[f64] {
        self.values.get(run.first..run.first + run.count).unwrap_or_default()
    }

    pub(super) const fn instant(&self, slot: i64) -> i64 {
        self.start_s + slot * self.step_s as i64
    }

    /// The gaps between first and last interval, in order of time.
    pub fn gaps(&self) -> Vec<Gap> {
        let mut gaps = Vec::new();
        let mut slot = 0;
        let ends = self.runs.iter().map(|run| (run.slot, run.slot + run.count as i64));
        for (from, to) in ends.chain([(self.slots, self.slots)]) {
            if from > slot {
                gaps.push(Gap { start_s: self.instant(slot), length_s: (from - slot) * i64::from(self.step_s) });
            }
            slot = to;
        }
        gaps
    }

    /// The interval that holds an instant; `None` outside the profile.
    pub fn at(&self, instant_s: i64) -> Option<Interval> {
        let slot = instant_s.checked_sub(self.start_s)?.div_euclid(i64::from(self.step_s));
        (0..self.slots).contains(&slot).then(|| self.interval(slot))
    }

    fn interval(&self, slot: i64) -> Interval {
        let after = self.runs.partition_point(|run| run.slot <= slot);
        let run = after.checked_sub(1).and_then(|at| self.runs.get(at));
        let energy_wh = run.and_then(|run| self.values_of(run).get((slot - run.slot) as usize)).copied();
        Interval { start_s: self.instant(slot), length_s: self.step_s, energy_wh, quality: self.quality(slot) }
    }

    fn quality(&self, slot: i64) -> Quality {
        let after = self.marks.partition_point(|mark| mark.slot <= slot);
        let mark = after.checked_sub(1).and_then(|at| self.marks.get(at));
        mark.filter(|mark| slot < mark.slot + mark.count).map_or(Quality::Counted, |mark| mark.quality)
    }

    /// How many intervals are of each quality other than as counted.
    pub fn marked(&self, quality: Quality) -> i64 {
        self.marks.iter().filter(|mark| mark.quality == quality).map(|mark| mark.count).sum()
    }

    /// The intervals that touch a stretch of time, gaps among them: a peak is shown with the load around it. At most
    /// `most` of them.
    pub fn around(&self, from_s: i64, to_s: i64, most: usize) -> Vec<Interval> {
        let step = i64::from(self.step_s);
        let slot = |instant_s: i64| instant_s.saturating_sub(self.start_s).div_euclid(step).clamp(0, self.slots);
        let last = slot(to_s.saturating_add(step - 1));
        (slot(from_s)..last).take(most).map(|slot| self.interval(slot)).collect()
    }

    /// Energy if every gap were filled along a straight line between its neighbours: an estimate, and named as one.
    pub fn energy_filled_linearly_wh(&self) -> f64 {
        let mut total = self.energy_wh();
        for (before, after) in self.runs.iter().zip(self.runs.iter().skip(1)) {
            let ends = self.values_of(before).last().zip(self.values_of(after).first());
            let missing = after.slot - before.slot - before.count as i64;
            // The mean of a straight line is that of its ends.
            total += ends.map_or(0.0, |(one, other)| (one + other) / 2.0 * missing as f64);
        }
        total
    }
}
