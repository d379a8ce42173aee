//! The clock of bypassed energy: per element from the first of short closed, potential up or meter out to the last restored.

use crate::billing::PlateTrouble;
use crate::facts::{ELEMENTS, Facts};
use crate::now::{Moment, Now};
use crate::power::{self, Source};
use crate::replay::Replay;
use jobfile::Fold;
use metering::bypass::{self, BypassError, Change, PowerRead, Span};
use metering::quantity::{WattHours, Watts};
use metering::working::Working;

/// How exact a time is that a person stated, in milliseconds either way: a watch read to the minute. Common practice.
pub const STATED_WITHIN_MS: i64 = 30_000;
/// Most that two clocks of one device drift apart while it is awake, in milliseconds; more means that one was set, or slept.
/// From memory.
pub const CLOCKS_AGREE_MS: i64 = 2_000;

/// How long one element was bypassed.
#[derive(Clone, Debug, PartialEq)]
pub struct Clock {
    /// `A`, `B` or `C`.
    pub element: &'static str,
    /// Since when.
    pub from: Moment,
    /// Until when; `None` while it still runs.
    pub until: Option<Moment>,
    /// How long, as stated or by the wall clock, in milliseconds; until now while it still runs.
    pub lasted_ms: i64,
    /// At least so long.
    pub least_ms: i64,
    /// At most so long.
    pub most_ms: i64,
    /// Whether the clocks of the device disagree over it.
    pub clocks_disagree: bool,
}

/// What was not registered while elements were bypassed.
#[derive(Clone, Debug, PartialEq)]
pub struct Bypassed {
    /// The clock of every element that was bypassed.
    pub clocks: Vec<Clock>,
    /// The energy, or why there is none.
    pub energy: Result<BypassedEnergy, Missing>,
    /// Which readings the power rests on, and how.
    pub evidence: Vec<(&'static str, Source)>,
}

/// Bypassed energy on the primary side, in kilowatt-hours.
#[derive(Clone, Debug, PartialEq)]
pub struct BypassedEnergy {
    /// Best value.
    pub kwh: f64,
    /// At least.
    pub least_kwh: f64,
    /// At most.
    pub most_kwh: f64,
    /// How it came about, one for each element.
    pub workings: Vec<Working>,
}

/// Why there is no energy.
#[derive(Clone, Debug, PartialEq)]
pub enum Missing {
    /// Nothing was bypassed.
    NothingBypassed,
    /// A clock still runs.
    StillRunning,
    /// No power could be told from the readings, neither as found nor as left.
    Readings,
    /// The plates give no ratios.
    Plates(PlateTrouble),
    /// The times do not follow one another, or a number has no size.
    Times(BypassError),
}

impl Missing {
    /// Stable code, `call-bypass_<code>`.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::NothingBypassed => "nothing",
            Self::StillRunning => "running",
            Self::Readings => "readings",
            Self::Plates(_) => "plates",
            Self::Times(_) => "times",
        }
    }
}

/// The clock of every element whose registration was touched.
pub fn clocks(fold: &Fold, now: &Now) -> Vec<Clock> {
    of(&Replay::of(&Facts::new(fold), now), now)
}

/// The bypassed energy of a job, with its range, or what is missing for it.
pub fn bypassed(fold: &Fold, now: &Now) -> Bypassed {
    let facts = Facts::new(fold);
    bypassed_of(&facts, &Replay::of(&facts, now), now)
}

/// As [`bypassed`], for a caller that has the replay already.
pub(crate) fn bypassed_of(facts: &Facts, replay: &Replay, now: &Now) -> Bypassed {
    let clocks = of(replay, now);
    let before = power::of(facts, "as_found");
    let after = power::of(facts, "as_left");
    let evidence: Vec<(&'static str, Source)> = [("as_found", &before), ("as_left", &after)]
        .into_iter()
        .filter_map(|(stage, power)| Some((stage, power.as_ref().ok()?.source)))
        .collect();
    let energy = if clocks.is_empty() {
        Err(Missing::NothingBypassed)
    } else if clocks.iter().any(|clock| clock.until.is_none()) {
        Err(Missing::StillRunning)
    } else {
        match (before, after) {
            (Err(Some(trouble)), _) | (_, Err(Some(trouble))) => Err(Missing::Plates(trouble)),
            (Err(None), Err(None)) => Err(Missing::Readings),
            (before, after) => energy(replay, &clocks, before.ok(), after.ok()),
        }
    };
    Bypassed { clocks, energy, evidence }
}

pub(crate) fn of(replay: &Replay, now: &Now) -> Vec<Clock> {
    let clock = |(index, element): (usize, &'static str)| {
        let track = replay.elements.get(index)?;
        let potential = replay.potentials.iter().find(|pole| pole.pole == element);
        let starts =
            [track.shorted_at.as_ref(), potential.and_then(|pole| pole.up_at.as_ref()), replay.meter_out_at.as_ref()];
        let from = starts.into_iter().flatten().reduce(|one, other| if other.is_before(one) { other } else { one })?;
        let ends =
            [track.restored_at.as_ref(), potential.and_then(|pole| pole.back_at.as_ref()), replay.meter_in_at.as_ref()];
        let last = ends.into_iter().flatten().reduce(|one, other| if one.is_before(other) { other } else { one });
        let until = last.filter(|_| replay.element_is_whole(index)).cloned();
        Some(measure(element, from.clone(), until, now))
    };
    ELEMENTS.into_iter().enumerate().filter_map(clock).collect()
}

/// The wall clock says how long; the clock that nobody can set says at least how long, inside one run of the program. Where a
/// time was stated, its own inexactness counts instead.
fn measure(element: &'static str, from: Moment, until: Option<Moment>, now: &Now) -> Clock {
    let end = until.clone().unwrap_or_else(|| Moment::from(now));
    let wall = end.at_ms.saturating_sub(from.at_ms);
    let steady = steady_ms(&from, &end);
    let loose = STATED_WITHIN_MS * (i64::from(from.stated) + i64::from(end.stated));
    let lasted_ms = wall.max(steady.unwrap_or(0));
    Clock {
        element,
        from,
        until,
        lasted_ms,
        least_ms: steady.unwrap_or(lasted_ms).min(lasted_ms).saturating_sub(loose).max(0),
        most_ms: lasted_ms.saturating_add(loose),
        clocks_disagree: wall < 0 || steady.is_some_and(|steady| (wall - steady).abs() > CLOCKS_AGREE_MS),
    }
}

/// Milliseconds between two moments by the clock that nobody can set; only inside one run, and not where a time was stated.
/// Differences that two good clocks may have are taken for none.
fn steady_ms(from: &Moment, to: &Moment) -> Option<i64> {
    if from.session != to.session || from.stated || to.stated {
        return None;
    }
    let steady = i64::try_from(to.since_start_ms.saturating_sub(from.since_start_ms)).ok()?;
    let wall = to.at_ms.saturating_sub(from.at_ms);
    Some(if (wall - steady).abs() <= CLOCKS_AGREE_MS { wall } else { steady })
}

fn energy(
    replay: &Replay,
    clocks: &[Clock],
    before: Option<power::Elements>,
    after: Option<power::Elements>,
) -> Result<BypassedEnergy, Missing> {
    // Half the width of the widest clock: the sum moves by it at either end of a run.
    let widest =
        clocks.iter().map(|clock| (clock.lasted_ms - clock.least_ms).max(clock.most_ms - clock.lasted_ms)).max();
    let clock_s = widest.unwrap_or(0) as f64 / 2.0 / 1000.0;
    let at = |pick: fn(&power::Watts) -> f64| {
        let elements: Vec<bypass::Bypass> = ELEMENTS
            .into_iter()
            .enumerate()
            .map(|(index, element)| bypass::Bypass {
                element,
                changes: changes(replay, index),
                before: read(before.as_ref(), index, pick),
                after: read(after.as_ref(), index, pick),
            })
            .collect();
        bypass::bypassed(&elements, clock_s)
    };
    let (low, likely, high) = (at(|watts| watts.least), at(|watts| watts.likely), at(|watts| watts.most));
    let total = |bypassed: &bypass::Bypassed| -> Result<Span<WattHours>, Missing> {
        match bypassed.elements.iter().find_map(|element| element.as_ref().err()) {
            Some(BypassError::NoPower { .. }) => Err(Missing::Readings),
            Some(BypassError::NeverRestored { .. }) => Err(Missing::StillRunning),
            Some(why) => Err(Missing::Times(*why)),
            None => bypassed.total.ok_or(Missing::Readings),
        }
    };
    let kwh = |energy: WattHours| energy.get() / 1000.0;
    let (low, best, high) = (total(&low)?, (total(&likely)?, likely), total(&high)?);
    Ok(BypassedEnergy {
        kwh: kwh(best.0.likely),
        least_kwh: kwh(low.least).min(kwh(high.least)),
        most_kwh: kwh(low.most).max(kwh(high.most)),
        workings: best.1.elements.into_iter().flatten().map(|missed| missed.working).collect(),
    })
}

/// What an element registered from when on, in seconds since the first change of all.
fn changes(replay: &Replay, index: usize) -> Vec<Change> {
    let all = replay.shares.iter().flatten();
    let Some(anchor) = all.map(|(moment, _)| moment).min_by_key(|moment| moment.order) else { return Vec::new() };
    let seconds = |moment: &Moment| {
        let wall = moment.at_ms.saturating_sub(anchor.at_ms);
        wall.max(steady_ms(anchor, moment).unwrap_or(i64::MIN)) as f64 / 1000.0
    };
    let changes = replay.shares.get(index).into_iter().flatten();
    changes.map(|(moment, share)| Change { at_s: seconds(moment), share: *share }).collect()
}

fn read(elements: Option<&power::Elements>, index: usize, pick: fn(&power::Watts) -> f64) -> Option<PowerRead> {
    let watts = elements?.watts.get(index)?.as_ref()?;
    Some(PowerRead { power: Watts::new(pick(watts)).ok()?, at_s: 0.0 })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn moment(at_ms: i64, since_start_ms: u64, stated: bool) -> Moment {
        Moment { at_ms, stated, session: "one".to_owned(), since_start_ms, order: 0 }
    }

    fn measured(from: Moment, to: Moment) -> (i64, i64, i64, bool) {
        let now = Now { at_ms: 0, session: "one".to_owned(), since_start_ms: 0 };
        let clock = measure("A", from, Some(to), &now);
        (clock.least_ms, clock.lasted_ms, clock.most_ms, clock.clocks_disagree)
    }

    #[test]
    fn clocks_that_agree_leave_no_range() {
        assert_eq!(measured(moment(0, 0, false), moment(60_000, 58_000, false)), (60_000, 60_000, 60_000, false));
    }

    #[test]
    fn a_phone_that_slept_widens_downwards() {
        assert_eq!(measured(moment(0, 0, false), moment(60_000, 20_000, false)), (20_000, 60_000, 60_000, true));
    }

    #[test]
    fn a_wall_clock_set_back_gives_way_to_the_steady_one() {
        assert_eq!(measured(moment(90_000, 0, false), moment(30_000, 60_000, false)), (60_000, 60_000, 60_000, true));
    }

    #[test]
    fn stated_times_carry_their_own_inexactness() {
        assert_eq!(measured(moment(0, 0, true), moment(600_000, 0, true)), (540_000, 600_000, 660_000, false));
        let (least, ..) = measured(moment(0, 0, true), moment(20_000, 0, true));
        assert_eq!(least, 0);
    }
}
