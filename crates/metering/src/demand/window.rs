//! Block and rolling demand: the mean power over windows of one length, each beginning a fixed time after the last.

use super::profile::{Profile, power_w};
use super::sums::{self, Greatest};
use thiserror::Error;

/// The most steps of a window: a day in minutes.
pub const MOST_PARTS: u32 = 1440;

/// How a meter's demand timer runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Timer {
    /// Length of a window in seconds.
    pub length_s: u32,
    /// From the beginning of a window to that of the next; as long as a window for block demand.
    pub every_s: u32,
    /// Any one instant at which a window begins: local midnight for a timer that keeps the clock, another for one that
    /// was started by hand.
    pub anchor_s: i64,
}

/// What becomes of a window that was not counted whole, as at a change of the meter or beside a gap.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Incomplete {
    /// It has no demand.
    LeftOut,
    /// Energy counted ÷ the whole length, as a meter does that was dark for a part.
    FullDivisor,
    /// Energy counted ÷ the time that was counted, as if the rest had been like it.
    ElapsedDivisor,
}

/// One window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// Its beginning in seconds since the epoch.
    pub start_s: i64,
    /// Its length in seconds.
    pub length_s: u32,
    /// Energy counted in it, in watt-hours.
    pub energy_wh: f64,
    /// How much of it was counted, in seconds.
    pub counted_s: u32,
}

/// The greatest demand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Peak {
    /// In watts (vars, volt-amperes).
    pub demand_w: f64,
    /// Beginning of its window in seconds since the epoch; the earliest of equals.
    pub start_s: i64,
    /// End of its window.
    pub end_s: i64,
    /// Whether its window was counted whole.
    pub is_whole: bool,
}

/// Why a timer cannot run on a profile.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum TimerError {
    /// A length that is not a whole number of steps, or of intervals.
    #[error("{length_s} s is not a whole number of {step_s} s")]
    NotWhole {
        /// The length.
        length_s: u32,
        /// What it should hold a whole number of.
        step_s: u32,
    },
    /// Windows begin inside the intervals of the profile, so their energy is not known.
    #[error("windows begin {by_s} s into an interval")]
    OffGrid {
        /// How far into an interval.
        by_s: i64,
    },
    /// A window of more steps than are ever used.
    #[error("{parts} steps in a window, at most {most}", most = MOST_PARTS)]
    TooManyParts {
        /// How many.
        parts: u32,
    },
}

impl TimerError {
    /// Every code that [`Self::code`] can give.
    pub const CODES: &'static [&'static str] = &["timer.not_whole", "timer.off_grid", "timer.too_many_parts"];

    /// Stable code.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::NotWhole { .. } => "timer.not_whole",
            Self::OffGrid { .. } => "timer.off_grid",
            Self::TooManyParts { .. } => "timer.too_many_parts",
        }
    }
}

impl Incomplete {
    /// Every policy.
    pub const ALL: [Self; 3] = [Self::LeftOut, Self::FullDivisor, Self::ElapsedDivisor];

    /// Stable code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::LeftOut => "left_out",
            Self::FullDivisor => "full_divisor",
            Self::ElapsedDivisor => "elapsed_divisor",
        }
    }
}

impl Timer {
    /// Windows that do not overlap.
    pub const fn block(length_s: u32, anchor_s: i64) -> Self {
        Self { length_s, every_s: length_s, anchor_s }
    }

    /// Windows that overlap, a new one beginning every `every_s`.
    pub const fn rolling(length_s: u32, every_s: u32, anchor_s: i64) -> Self {
        Self { length_s, every_s, anchor_s }
    }

    /// Intervals in a step, steps in a window, and the slot of the profile at which some window begins.
    fn on(&self, profile: &Profile) -> Result<Grid, TimerError> {
        let step_s = profile.step_s();
        let whole = |length_s: u32, step_s: u32| match length_s.checked_rem(step_s) {
            Some(0) if length_s > 0 => Ok(length_s / step_s),
            _ => Err(TimerError::NotWhole { length_s, step_s }),
        };
        let intervals = whole(self.every_s, step_s)?;
        let parts = whole(self.length_s, self.every_s)?;
        if parts > MOST_PARTS {
            return Err(TimerError::TooManyParts { parts });
        }
        // Only the anchor's place in a step matters; so reduced, nothing overflows.
        let every = i64::from(self.every_s);
        let ahead_s = self.anchor_s.rem_euclid(every) - profile.start_s().rem_euclid(every);
        let by_s = ahead_s.rem_euclid(i64::from(step_s));
        if by_s != 0 {
            return Err(TimerError::OffGrid { by_s });
        }
        // Blocks begin at every step of their own length, rolling windows at every step.
        Ok(Grid { intervals: i64::from(intervals), parts: i64::from(parts), phase: ahead_s / i64::from(step_s) })
    }
}

struct Grid {
    intervals: i64,
    parts: i64,
    phase: i64,
}

impl Window {
    /// Whether all of it was counted.
    pub const fn is_whole(&self) -> bool {
        self.counted_s == self.length_s
    }

    /// Its demand in watts; `None` when it was not counted whole and is left out, or not counted at all.
    pub fn demand_w(&self, policy: Incomplete) -> Option<f64> {
        let divisor_s = match policy {
            Incomplete::LeftOut if !self.is_whole() => return None,
            Incomplete::ElapsedDivisor => self.counted_s,
            Incomplete::LeftOut | Incomplete::FullDivisor => self.length_s,
        };
        (self.counted_s > 0).then(|| power_w(self.energy_wh, f64::from(divisor_s)))
    }

    /// Where it ends.
    pub const fn end_s(&self) -> i64 {
        self.start_s + self.length_s as i64
    }
}

/// Energy counted in one step of the timer.
struct Part {
    step: i64,
    energy_wh: f64,
    intervals: u32,
}

/// Every window in which anything was counted, in order of time; those not whole say so by [`Window::counted_s`].
///
/// # Errors
/// [`TimerError`], see its variants.
pub fn windows(profile: &Profile, timer: &Timer) -> Result<Vec<Window>, TimerError> {
    let grid = timer.on(profile)?;
    let parts = parts(profile, &grid);
    let step_s = profile.step_s();
    let mut windows: Vec<Window> = Vec::new();
    let (mut low, mut next) = (0, i64::MIN);
    for last in &parts {
        // Windows that hold this part and were not made yet.
        for first in next.max(last.step - grid.parts + 1)..=last.step {
            while parts.get(low).is_some_and(|part| part.step < first) {
                low += 1;
            }
            let inside = parts.iter().skip(low).take_while(|part| part.step < first + grid.parts);
            let (mut energy_wh, mut intervals) = (0.0, 0);
            for part in inside {
                energy_wh += part.energy_wh;
                intervals += part.intervals;
            }
            let start_s = profile.instant(grid.phase + first * grid.intervals);
            windows.push(Window { start_s, length_s: timer.length_s, energy_wh, counted_s: intervals * step_s });
        }
        next = next.max(last.step + 1);
    }
    Ok(windows)
}

fn parts(profile: &Profile, grid: &Grid) -> Vec<Part> {
    let mut parts: Vec<Part> = Vec::new();
    for run in &profile.runs {
        let mut rest = profile.values_of(run);
        let mut slot = run.slot - grid.phase;
        while !rest.is_empty() {
            let step = slot.div_euclid(grid.intervals);
            let room = ((step + 1) * grid.intervals - slot) as usize;
            let (now, later) = rest.split_at(room.min(rest.len()));
            let energy_wh = sums::few(now);
            match parts.last_mut() {
                Some(part) if part.step == step => {
                    part.energy_wh += energy_wh;
                    part.intervals += now.len() as u32;
                }
                _ => parts.push(Part { step, energy_wh, intervals: now.len() as u32 }),
            }
            slot += now.len() as i64;
            rest = later;
        }
    }
    parts
}

/// The greatest demand; `None` when no window has one.
///
/// # Errors
/// [`TimerError`], see its variants.
pub fn peak(profile: &Profile, timer: &Timer, policy: Incomplete) -> Result<Option<Peak>, TimerError> {
    let grid = timer.on(profile)?;
    if policy != Incomplete::LeftOut {
        return Ok(peak_of(&windows(profile, timer)?, policy));
    }
    let mut best = Greatest::NONE;
    for run in &profile.runs {
        let values = profile.values_of(run);
        let size = grid.intervals as usize;
        if grid.parts == 1 {
            sums::greatest_block(run, values, size, grid.phase, &mut best);
        } else if size == 1 {
            sums::greatest_window(values, grid.parts as usize, run.slot, &mut best);
        } else {
            let before = (grid.phase - run.slot).rem_euclid(grid.intervals);
            let whole = values.get(before as usize..).unwrap_or_default().chunks_exact(size);
            let steps: Vec<f64> = whole.map(sums::few).collect();
            let mut found = Greatest::NONE;
            sums::greatest_window(&steps, grid.parts as usize, 0, &mut found);
            best.see(found.value, run.slot + before + found.at * grid.intervals);
        }
    }
    Ok(best.seen().map(|best| {
        let start_s = profile.instant(best.at);
        let demand_w = power_w(best.value, f64::from(timer.length_s));
        Peak { demand_w, start_s, end_s: start_s + i64::from(timer.length_s), is_whole: true }
    }))
}

/// The greatest demand among windows; the earliest of equals.
pub fn peak_of(windows: &[Window], policy: Incomplete) -> Option<Peak> {
    let mut best: Option<Peak> = None;
    for window in windows {
        let Some(demand_w) = window.demand_w(policy) else { continue };
        if best.is_none_or(|best| demand_w > best.demand_w) {
            let (start_s, end_s) = (window.start_s, window.end_s());
            best = Some(Peak { demand_w, start_s, end_s, is_whole: window.is_whole() });
        }
    }
    best
}

/// The peak of each period, such as the days of a month; a window belongs to the period that it begins in. `bounds_s` are
/// the beginnings of the periods and the end of the last one, in order of time: days of 23 and of 25 hours come out right.
pub fn peaks_by_period(windows: &[Window], bounds_s: &[i64], policy: Incomplete) -> Vec<Option<Peak>> {
    let periods = bounds_s.iter().zip(bounds_s.iter().skip(1));
    let at = |bound_s: i64| windows.partition_point(|window| window.start_s < bound_s);
    periods.map(|(from_s, to_s)| peak_of(windows.get(at(*from_s)..at(*to_s)).unwrap_or_default(), policy)).collect()
}
