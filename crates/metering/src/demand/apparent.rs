//! Demand in kVA and kvar, with both conventions of apparent power by their names.

use super::part::pair;
use super::profile::{Profile, ProfileError, power_w};
use super::window::{Timer, TimerError, windows};
use thiserror::Error;

/// How volt-amperes are made of watts and vars; IEEE 1459-2010 calls them vector and arithmetic apparent power.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Apparent {
    /// Watts and vars are summed first, over the phases and over the window: `√(P² + Q²)`.
    Vector,
    /// Volt-amperes of each phase and each interval are summed: `Σ √(P² + Q²)`. Never less than the other.
    Arithmetic,
}

impl Apparent {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Vector, Self::Arithmetic];

    /// Stable code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Vector => "vector",
            Self::Arithmetic => "arithmetic",
        }
    }
}

/// Watt-hours and var-hours of one phase, or of all together.
#[derive(Clone, Copy, Debug)]
pub struct Phase<'a> {
    /// Active energy.
    pub active: &'a Profile,
    /// Reactive energy.
    pub reactive: &'a Profile,
}

/// One whole window of apparent power.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ApparentWindow {
    /// Its beginning in seconds since the epoch.
    pub start_s: i64,
    /// Active demand in watts.
    pub active_w: f64,
    /// Reactive demand in vars.
    pub reactive_var: f64,
    /// Apparent demand in volt-amperes.
    pub apparent_va: f64,
}

impl ApparentWindow {
    /// Power factor, `P ÷ S`; `None` without power.
    pub fn power_factor(&self) -> Option<f64> {
        (self.apparent_va > 0.0).then(|| self.active_w / self.apparent_va)
    }
}

/// Why there is no apparent demand.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum ApparentError {
    /// Profiles that do not fit together.
    #[error(transparent)]
    Profile(#[from] ProfileError),
    /// A timer that does not fit them.
    #[error(transparent)]
    Timer(#[from] TimerError),
    /// No phase was given.
    #[error("no phase")]
    NoPhase,
}

impl ApparentError {
    /// Stable code.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Profile(why) => why.code(),
            Self::Timer(why) => why.code(),
            Self::NoPhase => "apparent.no_phase",
        }
    }
}

/// Apparent demand of every window that was counted whole in all profiles.
///
/// # Errors
/// [`ApparentError`], see its variants.
pub fn apparent(
    phases: &[Phase<'_>],
    timer: &Timer,
    convention: Apparent,
) -> Result<Vec<ApparentWindow>, ApparentError> {
    let (first, others) = phases.split_first().ok_or(ApparentError::NoPhase)?;
    let volt_amperes = |phase: &Phase<'_>| pair(phase.active, phase.reactive, libm::hypot);
    let mut apparent_vah = volt_amperes(first)?;
    // Where one of a pair has no value, neither counts.
    let mut active_wh = pair(first.active, first.reactive, |active, _| active)?;
    let mut reactive_varh = pair(first.active, first.reactive, |_, reactive| reactive)?;
    let add = |one: f64, other: f64| one + other;
    for phase in others {
        apparent_vah = pair(&apparent_vah, &volt_amperes(phase)?, add)?;
        active_wh = pair(&active_wh, &pair(phase.active, phase.reactive, |active, _| active)?, add)?;
        reactive_varh = pair(&reactive_varh, &pair(phase.active, phase.reactive, |_, reactive| reactive)?, add)?;
    }
    let active = windows(&active_wh, timer)?;
    let reactive = windows(&reactive_varh, timer)?;
    let apparent = windows(&apparent_vah, timer)?;
    let all = active.iter().zip(&reactive).zip(&apparent).filter(|((active, _), _)| active.is_whole());
    Ok(all
        .map(|((active, reactive), apparent)| {
            let power = |energy: f64| power_w(energy, f64::from(active.length_s));
            let (active_w, reactive_var) = (power(active.energy_wh), power(reactive.energy_wh));
            let apparent_va = match convention {
                Apparent::Vector => libm::hypot(active_w, reactive_var),
                Apparent::Arithmetic => power(apparent.energy_wh),
            };
            ApparentWindow { start_s: active.start_s, active_w, reactive_var, apparent_va }
        })
        .collect())
}

/// The window of the greatest apparent demand; the earliest of equals.
pub fn apparent_peak(windows: &[ApparentWindow]) -> Option<ApparentWindow> {
    greatest(windows, |window| window.apparent_va)
}

/// The window of the greatest reactive demand, the "kvar demand" of a bill.
pub fn reactive_peak(windows: &[ApparentWindow]) -> Option<ApparentWindow> {
    greatest(windows, |window| window.reactive_var)
}

/// The window of the greatest active demand.
pub fn active_peak(windows: &[ApparentWindow]) -> Option<ApparentWindow> {
    greatest(windows, |window| window.active_w)
}

fn greatest(windows: &[ApparentWindow], by: fn(&ApparentWindow) -> f64) -> Option<ApparentWindow> {
    let mut best: Option<ApparentWindow> = None;
    for window in windows {
        if best.is_none_or(|best| by(window) > by(&best)) {
            best = Some(*window);
        }
    }
    best
}

/// Mean power factor of a time, from its energies: `P ÷ √(P² + Q²)`; `None` without energy.
pub fn average_power_factor(active_wh: f64, reactive_varh: f64) -> Option<f64> {
    let apparent = libm::hypot(active_wh, reactive_varh);
    (apparent > 0.0 && apparent.is_finite()).then(|| active_wh / apparent)
}
