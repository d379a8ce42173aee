//! Thermal (lagged) demand: a meter that shows 90 % of a steady load after its response time.

use super::profile::{Profile, power_w};
use crate::range::{OutOfRange, Range};

/// Response time to 90 %, in seconds.
pub const RESPONSE: Range = Range { what: "thermal_response", unit: "s", least: 1.0, most: 86_400.0 };
/// After so many response times 99.9 % of a state long past is forgotten.
const FORGOTTEN_AFTER: f64 = 3.0;
/// Nearest to 1 that a step may come, so that rounding cannot carry it past the load.
const MOST_PART: f64 = 1.0 - 4.0 * f64::EPSILON;
const LN_10: f64 = std::f64::consts::LN_10;

/// A lagged demand meter.
///
/// # Source
/// "The demand interval of a lagged-demand meter is the time required to indicate 90 percent of the full value of a
/// constant load suddenly applied": ANSI C12.1 (from memory). `D(t) = D0 + (L − D0)(1 − 10^(−t ÷ T))`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Thermal {
    response_s: f64,
}

/// What a lagged meter showed over a profile.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ThermalPeak {
    /// The greatest demand at the end of an interval, in watts.
    pub demand_w: f64,
    /// The end of that interval in seconds since the epoch.
    pub at_s: i64,
    /// Whether more than 0.1 % of it may still rest on the state at the beginning, or before a gap, which is not known.
    pub rests_on_start: bool,
    /// Demand at the end of the profile, in watts.
    pub last_w: f64,
}

impl Thermal {
    /// A meter that shows 90 % after `response_s`.
    ///
    /// # Errors
    /// [`OutOfRange`] outside [`RESPONSE`].
    pub fn new(response_s: f64) -> Result<Self, OutOfRange> {
        RESPONSE.check(response_s).map(|response_s| Self { response_s })
    }

    /// Time constant, `T ÷ ln 10`, in seconds.
    pub fn time_constant_s(&self) -> f64 {
        self.response_s / LN_10
    }

    /// The part of the way to a steady load that is gone in a time.
    fn part_after(&self, seconds: f64) -> f64 {
        (1.0 - libm::exp10(-seconds / self.response_s)).min(MOST_PART)
    }

    /// Demand in watts after a steady load has run for a time.
    pub fn after(&self, initial_w: f64, load_w: f64, seconds: f64) -> f64 {
        lagged(initial_w, load_w, self.part_after(seconds))
    }

    /// Demand at the end of every interval that has a value, with the end. Across a gap the meter's state is not known: it
    /// is held as it stood.
    pub fn demands(&self, profile: &Profile, initial_w: f64) -> Vec<(i64, f64)> {
        let part = self.part_after(f64::from(profile.step_s()));
        let (step, mut demand_w) = (i64::from(profile.step_s()), initial_w);
        let mut demands = Vec::with_capacity(profile.present());
        for run in profile.runs() {
            let mut end_s = run.start_s;
            for energy in run.energies_wh {
                end_s += step;
                demand_w = lagged(demand_w, power_w(*energy, step as f64), part);
                demands.push((end_s, demand_w));
            }
        }
        demands
    }

    /// The peak of [`Self::demands`], without keeping them; `None` for a profile without values.
    pub fn peak(&self, profile: &Profile, initial_w: f64) -> Option<ThermalPeak> {
        let step_s = f64::from(profile.step_s());
        let part = self.part_after(step_s);
        let per_wh = power_w(1.0, step_s);
        let (mut demand_w, mut best, mut at) = (initial_w, f64::NEG_INFINITY, (0, 0));
        for run in &profile.runs {
            for (tile, values) in profile.values_of(run).chunks(TILE).enumerate() {
                let mut most = f64::NEG_INFINITY;
                let entered_w = demand_w;
                for energy in values {
                    demand_w = lagged(demand_w, energy * per_wh, part);
                    most = if demand_w > most { demand_w } else { most };
                }
                if most > best {
                    best = most;
                    let mut again = entered_w;
                    let first = values.iter().position(|energy| {
                        again = lagged(again, energy * per_wh, part);
                        again >= most
                    });
                    let in_run = (tile * TILE + first.unwrap_or(0) + 1) as i64;
                    at = (run.slot + in_run, in_run);
                }
            }
        }
        let (slot, in_run) = at;
        (best > f64::NEG_INFINITY).then(|| ThermalPeak {
            demand_w: best,
            at_s: profile.instant(slot),
            rests_on_start: in_run as f64 * step_s < FORGOTTEN_AFTER * self.response_s,
            last_w: demand_w,
        })
    }
}

/// Values looked through again to find where the greatest stood.
const TILE: usize = 1024;

/// One step towards a load. With `part` below 1 the state cannot be rounded past the load, so it never leaves what lies
/// between the least and the greatest load.
fn lagged(demand_w: f64, load_w: f64, part: f64) -> f64 {
    demand_w + (load_w - demand_w) * part
}
