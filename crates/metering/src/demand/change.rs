//! A billing period across a change of the meter: rates that must add up, the peak of two meters, a registration error put
//! right. All of it is arithmetic; what is owed to whom differs by place and is not said here.

use crate::bypass::Span;
use crate::decimal::Decimal;
use crate::factor::Factor;
use crate::rational::ExactError;
use crate::working::{Input, Rule, Shown, Working};
use thiserror::Error;

/// Whether the registers of the rates make up the total.
#[derive(Clone, Debug, PartialEq)]
pub struct RatesTotal {
    /// Sum of the rates.
    pub sum: Decimal,
    /// Total − sum.
    pub off: Decimal,
    /// What cut-off digits can make: each register shows less than it counted by under one unit of its last digit.
    pub allowed: Decimal,
    /// Whether they agree within that.
    pub agrees: bool,
    /// How the sum came about.
    pub working: Working,
}

/// Adds up the advances of the rate registers and compares with that of the total register.
///
/// Registers cut digits off rather than round, at both readings, so each advance is off by less than one unit of its last
/// digit either way. Derived.
///
/// # Errors
/// [`ExactError::Overflow`].
pub fn rates_total(total: Decimal, rates: &[Decimal]) -> Result<RatesTotal, ExactError> {
    let last_digit = |reading: Decimal| Decimal::from_parts(1, reading.scale()).ok_or(ExactError::Overflow);
    let (mut sum, mut allowed) = (Decimal::ZERO, last_digit(total)?);
    let mut inputs = vec![Input::new("total", Shown::decimal(total, ""))];
    for rate in rates {
        sum = sum.plus(*rate).ok_or(ExactError::Overflow)?;
        allowed = allowed.plus(last_digit(*rate)?).ok_or(ExactError::Overflow)?;
        inputs.push(Input::new("rate", Shown::decimal(*rate, "")));
    }
    let off = total.minus(sum).ok_or(ExactError::Overflow)?;
    let size = if off.is_negative() { Decimal::ZERO.minus(off).ok_or(ExactError::Overflow)? } else { off };
    let working = Working::new(Rule::RatesTotal, inputs, Shown::decimal(sum, ""));
    Ok(RatesTotal { sum, off, allowed, agrees: size < allowed, working })
}

/// The maximum that one meter kept in the period.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeterPeak {
    /// What its maximum register shows.
    pub reading: Decimal,
    /// What its demand is multiplied by.
    pub multiplier: Factor,
}

/// The greatest demand of the period.
#[derive(Clone, Debug, PartialEq)]
pub struct PeriodPeak {
    /// Which meter had it, counted from 0 in order of time.
    pub meter: usize,
    /// In kilowatts.
    pub demand_kw: Factor,
    /// How it came about, with the demand of every meter as a part.
    pub working: Working,
}

/// Why a period has no result.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum PeriodError {
    /// No meter, or no power factor, was given.
    #[error("nothing given")]
    Nothing,
    /// Registration of 0 or below has no correction factor: estimate from other data.
    #[error("registration {registration} at power factor {power_factor}")]
    NoFactor {
        /// Registered ÷ true.
        registration: f64,
        /// At which power factor.
        power_factor: f64,
    },
    /// A number that is none.
    #[error("{what}: found {found}")]
    Size {
        /// Which.
        what: &'static str,
        /// What was found.
        found: f64,
    },
    /// The exact arithmetic gave no result.
    #[error(transparent)]
    Exact(#[from] ExactError),
}

impl PeriodError {
    /// Every code that [`Self::code`] can give.
    pub const CODES: &'static [&'static str] = &["period.nothing", "period.no_factor", "period.size", "period.exact"];

    /// Stable code.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Nothing => "period.nothing",
            Self::NoFactor { .. } => "period.no_factor",
            Self::Size { .. } => "period.size",
            Self::Exact(_) => "period.exact",
        }
    }
}

/// The peak of a period that several meters share, in order of time: the greatest maximum, each × its own multiplier; the
/// earliest of equals. A window that the change broke is judged by the profile ([`super::window::Window::is_whole`]).
///
/// # Errors
/// [`PeriodError::Nothing`], [`PeriodError::Exact`].
pub fn period_peak(meters: &[MeterPeak]) -> Result<PeriodPeak, PeriodError> {
    let mut best: Option<(usize, Factor)> = None;
    let (mut inputs, mut parts) = (Vec::new(), Vec::new());
    for (at, meter) in meters.iter().enumerate() {
        let demand = Factor::from(meter.reading).times(meter.multiplier)?;
        let read =
            [Input::new("D", Shown::decimal(meter.reading, "")), Input::new("M", Shown::factor(meter.multiplier))];
        parts.push(Working::new(Rule::MeterDemand, read.to_vec(), Shown::exact(demand, "kW")));
        inputs.push(Input::new("demand", Shown::exact(demand, "kW")));
        if best.is_none_or(|(_, most)| demand.to_f64() > most.to_f64()) {
            best = Some((at, demand));
        }
    }
    let (meter, demand_kw) = best.ok_or(PeriodError::Nothing)?;
    let working = Working::new(Rule::PeriodPeak, inputs, Shown::exact(demand_kw, "kW")).with_parts(parts);
    Ok(PeriodPeak { meter, demand_kw, working })
}

/// What a wrongly wired or wrongly set meter registered, at one power factor that the period may have had.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RegistrationAt {
    /// Power factor of the load.
    pub power_factor: f64,
    /// Registered ÷ true.
    pub registration: f64,
}

/// What is to be put right over a period. Positive: too little was registered.
#[derive(Clone, Debug, PartialEq)]
pub struct Adjustment {
    /// True − registered, in the unit of what was registered, at the likely power factor and over all that were given.
    pub amount: Span<f64>,
    /// True ÷ registered.
    pub factor: Span<f64>,
    /// How the likely amount came about.
    pub working: Working,
}

/// True − registered, for what a period registered (`kWh`, or the `kW` of its peak) under an error whose registration is
/// known at the likely power factor and at others that the period may have had: `registered × (1 ÷ R − 1)`.
///
/// `registered_off` is by how much the registered number itself may be off, either way.
///
/// # Errors
/// [`PeriodError::NoFactor`] where the registration is 0 or below anywhere in the range, [`PeriodError::Size`].
pub fn adjustment(
    registered: f64,
    registered_off: f64,
    unit: &'static str,
    likely: RegistrationAt,
    others: &[RegistrationAt],
) -> Result<Adjustment, PeriodError> {
    for (what, found) in [("registered", registered), ("registered_off", registered_off)] {
        if !found.is_finite() || found.abs() > 1e13 {
            return Err(PeriodError::Size { what, found });
        }
    }
    let factor_at = |at: &RegistrationAt| match 1.0 / at.registration {
        factor if at.registration > 0.0 && factor.is_finite() => Ok(factor),
        _ => Err(PeriodError::NoFactor { registration: at.registration, power_factor: at.power_factor }),
    };
    let middle = factor_at(&likely)?;
    let mut factor = Span { least: middle, likely: middle, most: middle };
    for other in others {
        let found = factor_at(other)?;
        factor.least = factor.least.min(found);
        factor.most = factor.most.max(found);
    }
    let off = registered_off.abs();
    let corners = [factor.least, factor.most].map(|factor| factor - 1.0);
    let corners = corners.map(|part| [(registered - off) * part, (registered + off) * part]);
    let likely_amount = registered * (middle - 1.0);
    let amount = corners.into_iter().flatten().fold(
        Span { least: likely_amount, likely: likely_amount, most: likely_amount },
        |span, corner| Span { least: span.least.min(corner), most: span.most.max(corner), ..span },
    );
    let inputs = vec![
        Input::new("registered", Shown::measured(registered, 3, unit)),
        Input::new("R", Shown::measured(likely.registration, 6, "")),
        Input::new("pf", Shown::measured(likely.power_factor, 4, "")),
    ];
    let working = Working::new(Rule::PeriodAdjustment, inputs, Shown::measured(likely_amount, 3, unit));
    Ok(Adjustment { amount, factor, working })
}
