//! Parts of a profile: cut out, cut in two at any instant, put together again; nothing is lost and nothing shared out.

use super::profile::{INSTANT, Interval, Mark, Profile, ProfileError, Quality, Span};

/// A profile cut in two.
#[derive(Clone, Debug, PartialEq)]
pub struct Split {
    /// The intervals that end at the instant or before it.
    pub before: Profile,
    /// The interval that the instant falls into. How its energy divides is not known, so it is not divided.
    pub straddling: Option<Interval>,
    /// The intervals that start at the instant or after it.
    pub after: Profile,
}

impl Profile {
    /// The part that holds the slots from `from` to `to`.
    fn slots_from(&self, from: i64, to: i64) -> Self {
        let (from, to) = (from.clamp(0, self.slots), to.clamp(0, self.slots));
        let mut part = Self {
            start_s: self.instant(from),
            step_s: self.step_s,
            slots: (to - from).max(0),
            values: Vec::new(),
            runs: Vec::new(),
            marks: Vec::new(),
        };
        for run in &self.runs {
            let first = run.slot.max(from);
            let last = (run.slot + run.count as i64).min(to);
            if first < last {
                let inside = (first - run.slot) as usize..(last - run.slot) as usize;
                let values = self.values_of(run).get(inside).unwrap_or_default();
                part.runs.push(Span { slot: first - from, first: part.values.len(), count: values.len() });
                part.values.extend_from_slice(values);
            }
        }
        for mark in &self.marks {
            let first = mark.slot.max(from);
            let last = (mark.slot + mark.count).min(to);
            if first < last {
                part.marks.push(Mark { slot: first - from, count: last - first, quality: mark.quality });
            }
        }
        part
    }

    /// The intervals that lie wholly between two instants.
    pub fn part(&self, from_s: i64, to_s: i64) -> Self {
        let step = i64::from(self.step_s);
        let from = from_s.saturating_sub(self.start_s).saturating_add(step - 1).div_euclid(step);
        let to = to_s.saturating_sub(self.start_s).div_euclid(step);
        self.slots_from(from, to.max(from))
    }

    /// Cuts the profile at an instant.
    pub fn split(&self, at_s: i64) -> Split {
        let before = self.part(self.start_s, at_s);
        let after = self.part(at_s, self.end_s());
        let inside = at_s > self.start_s && at_s < self.end_s() && before.end_s() < after.start_s;
        Split { straddling: self.at(at_s).filter(|_| inside), before, after }
    }

    /// Puts another profile behind this one; what lies between them is a gap.
    ///
    /// # Errors
    /// [`ProfileError`] when the other one has another interval length or grid, or starts before this one ends.
    pub fn join(&self, other: &Self) -> Result<Self, ProfileError> {
        let mut whole = self.clone();
        if other.slots == 0 {
            return Ok(whole);
        }
        if other.step_s != self.step_s {
            return Err(ProfileError::OtherStep { found_s: other.step_s, wanted_s: self.step_s });
        }
        if other.start_s < self.end_s() {
            return Err(ProfileError::Backwards { start_s: other.start_s, end_s: self.end_s() });
        }
        INSTANT.check(other.end_s() as f64)?;
        let step = i64::from(self.step_s);
        if (other.start_s - self.start_s) % step != 0 {
            return Err(ProfileError::OffGrid { start_s: other.start_s, step_s: self.step_s, grid_s: self.start_s });
        }
        let shift = (other.start_s - self.start_s) / step;
        for run in &other.runs {
            let slot = run.slot + shift;
            match whole.runs.last_mut() {
                Some(last) if last.slot + last.count as i64 == slot => last.count += run.count,
                _ => whole.runs.push(Span { slot, first: whole.values.len(), count: run.count }),
            }
            whole.values.extend_from_slice(other.values_of(run));
        }
        for mark in &other.marks {
            whole.mark(Mark { slot: mark.slot + shift, ..*mark });
        }
        whole.slots = shift + other.slots;
        Ok(whole)
    }
}

impl Split {
    /// The profile as it was before the cut.
    ///
    /// # Errors
    /// [`ProfileError`] when the parts are not those of one cut.
    pub fn whole(&self) -> Result<Profile, ProfileError> {
        let mut whole = self.before.clone();
        if let Some(between) = self.straddling {
            let amount = between.energy_wh.map(super::profile::Amount::Energy);
            whole.push(between.start_s, amount, between.quality)?;
        }
        whole.join(&self.after)
    }
}

/// Adds two profiles interval by interval, as a totaliser does: only where both have a value.
///
/// # Errors
/// [`ProfileError`] when they have not one interval length and one grid.
pub fn add(one: &Profile, other: &Profile, weight: f64) -> Result<Profile, ProfileError> {
    pair(one, other, |one, other| one + weight * other)
}

/// Combines two profiles interval by interval, only where both have a value.
pub(super) fn pair(one: &Profile, other: &Profile, combine: impl Fn(f64, f64) -> f64) -> Result<Profile, ProfileError> {
    if other.step_s != one.step_s {
        return Err(ProfileError::OtherStep { found_s: other.step_s, wanted_s: one.step_s });
    }
    let step = i64::from(one.step_s);
    if (other.start_s - one.start_s) % step != 0 {
        return Err(ProfileError::OffGrid { start_s: other.start_s, step_s: one.step_s, grid_s: one.start_s });
    }
    let (start_s, end_s) = (one.start_s.max(other.start_s), one.end_s().min(other.end_s()));
    let (one, other) = (one.part(start_s, end_s), other.part(start_s, end_s));
    let mut both = Profile::new(start_s, one.step_s)?;
    let mut later = other.runs.iter().peekable();
    for run in &one.runs {
        let run_end = run.slot + run.count as i64;
        while let Some(next) = later.peek() {
            let next_end = next.slot + next.count as i64;
            let (from, to) = (run.slot.max(next.slot), run_end.min(next_end));
            if from < to {
                let left = one.values_of(run).iter().skip((from - run.slot) as usize);
                let right = other.values_of(next).iter().skip((from - next.slot) as usize);
                for (offset, (left, right)) in left.zip(right).take((to - from) as usize).enumerate() {
                    let amount = super::profile::Amount::Energy(combine(*left, *right));
                    both.push(both.instant(from + offset as i64), Some(amount), Quality::Counted)?;
                }
            }
            if next_end > run_end {
                break;
            }
            later.next();
        }
    }
    both.slots = one.slots.min(other.slots).max(both.slots);
    Ok(both)
}
