//! What else a profile tells: load factor, loss factor, load duration, and the peak that several meters have together.

use super::part::add;
use super::profile::{Profile, ProfileError, power_w};
use super::window::{Incomplete, Peak, Timer, TimerError, peak};
use thiserror::Error;

const SECONDS_PER_HOUR: f64 = 3600.0;

/// Load factor: `energy ÷ (greatest demand × time)`; `None` without demand or time.
pub fn load_factor(energy_wh: f64, peak_w: f64, seconds: f64) -> Option<f64> {
    let most_wh = peak_w * seconds / SECONDS_PER_HOUR;
    (most_wh > 0.0 && most_wh.is_finite()).then(|| energy_wh / most_wh)
}

/// Loss factor: mean of the squared load ÷ square of the greatest; `None` without load.
pub fn loss_factor(profile: &Profile) -> Option<f64> {
    let values = profile.energies_wh();
    let most = values.iter().fold(0.0_f64, |most, value| most.max(value.abs()));
    if most <= 0.0 {
        return None;
    }
    let sum: f64 = values.iter().map(|value| (value / most) * (value / most)).sum();
    Some(sum / values.len() as f64)
}

/// Load of every interval that has a value, in watts, greatest first: the load-duration curve.
pub fn load_duration_w(profile: &Profile) -> Vec<f64> {
    let step_s = f64::from(profile.step_s());
    let mut loads: Vec<f64> = profile.energies_wh().iter().map(|energy| power_w(*energy, step_s)).collect();
    loads.sort_unstable_by(|one, other| other.total_cmp(one));
    loads
}

/// For how many seconds the load was at least so many watts.
pub fn time_at_or_above_s(load_duration_w: &[f64], step_s: u32, level_w: f64) -> f64 {
    load_duration_w.partition_point(|load| *load >= level_w) as f64 * f64::from(step_s)
}

/// Peaks of several meters: each alone, and all together.
#[derive(Clone, Debug, PartialEq)]
pub struct Coincident {
    /// The peak of each meter in its own time.
    pub each: Vec<Peak>,
    /// Sum of those: the non-coincident demand, in watts.
    pub sum_of_peaks_w: f64,
    /// The peak of the sum: the coincident demand.
    pub together: Peak,
    /// Diversity factor, sum of peaks ÷ peak of sum; `None` without load.
    pub diversity: Option<f64>,
}

/// Why several meters have no peak together.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum CoincidentError {
    /// Their profiles do not fit together.
    #[error(transparent)]
    Profile(#[from] ProfileError),
    /// The timer does not fit them.
    #[error(transparent)]
    Timer(#[from] TimerError),
    /// A meter, or all together, has no whole window; counted from 0, `None` for all together.
    #[error("no whole window")]
    NoWindow {
        /// Which meter.
        meter: Option<usize>,
    },
}

impl CoincidentError {
    /// Stable code.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Profile(why) => why.code(),
            Self::Timer(why) => why.code(),
            Self::NoWindow { .. } => "coincident.no_window",
        }
    }
}

/// Peaks of several meters over whole windows; together they have a value only where all have one.
///
/// # Errors
/// [`CoincidentError`], see its variants.
pub fn coincident(meters: &[&Profile], timer: &Timer) -> Result<Coincident, CoincidentError> {
    let mut each = Vec::with_capacity(meters.len());
    let mut total: Option<Profile> = None;
    for (at, meter) in meters.iter().enumerate() {
        let own = peak(meter, timer, Incomplete::LeftOut)?;
        each.push(own.ok_or(CoincidentError::NoWindow { meter: Some(at) })?);
        total = Some(match total {
            None => (*meter).clone(),
            Some(total) => add(&total, meter, 1.0)?,
        });
    }
    let none = CoincidentError::NoWindow { meter: None };
    let together = peak(&total.ok_or(none)?, timer, Incomplete::LeftOut)?.ok_or(none)?;
    let sum_of_peaks_w: f64 = each.iter().map(|peak| peak.demand_w).sum();
    let diversity = (together.demand_w > 0.0).then(|| sum_of_peaks_w / together.demand_w);
    Ok(Coincident { each, sum_of_peaks_w, together, diversity })
}

/// The interval of the least mean power, in watts with its start: negative where more was received than delivered.
pub fn least_w(profile: &Profile) -> Option<(f64, i64)> {
    let mut least: Option<(f64, i64)> = None;
    for run in profile.runs() {
        let mut start_s = run.start_s;
        for energy in run.energies_wh {
            if least.is_none_or(|(found, _)| *energy < found) {
                least = Some((*energy, start_s));
            }
            start_s += i64::from(profile.step_s());
        }
    }
    least.map(|(energy, start_s)| (power_w(energy, f64::from(profile.step_s())), start_s))
}
