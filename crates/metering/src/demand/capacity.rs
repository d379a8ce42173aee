//! What a peak means to what carries it: CTs, meter, conductor and transformer, and the VT's fuse, each with its margin.

use crate::quantity::{Amps, VoltAmperes, Volts, Watts};
use crate::range::OutOfRange;
use crate::working::{Input, Rule, Shown, Working};
use thiserror::Error;

/// What carries the load.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// Current transformers: rated primary × rating factor.
    Ct,
    /// The meter: its class in amperes, against secondary amperes.
    Meter,
    /// The conductor's ampacity as recorded.
    Conductor,
    /// The supply transformer's rated volt-amperes.
    Transformer,
    /// The fuse of the potential transformers. The peak does not touch it: it carries the burden.
    VtFuse,
}

/// What was recorded of the installation; what was not recorded is not judged.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Recorded {
    /// Voltage between lines, primary.
    pub line_to_line: Volts,
    /// CT rated primary amperes.
    pub ct_primary: Option<Amps>,
    /// CT rating factor; 1 where the plate shows none.
    pub ct_rating_factor: f64,
    /// CT ratio in use, primary ÷ secondary.
    pub ct_ratio: Option<f64>,
    /// Class of the meter in amperes (the `CL` of its plate).
    pub meter_class: Option<Amps>,
    /// Ampacity of the conductor, all parallel ones together.
    pub conductor: Option<Amps>,
    /// Rated power of the transformer, three-phase.
    pub transformer: Option<VoltAmperes>,
    /// Burden of one VT, its primary voltage, and the rated amperes of its fuse.
    pub vt: Option<(VoltAmperes, Volts, Amps)>,
}

/// A peak and the power factor it had.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PeakLoad {
    /// Demand of the window.
    pub demand: Watts,
    /// Power factor in the window, above 0 to 1.
    pub power_factor: f64,
    /// Current of the most loaded phase ÷ mean of the phases; 1 where balanced.
    pub unbalance: f64,
}

/// How near one part is to its limit.
#[derive(Clone, Debug, PartialEq)]
pub struct Loading {
    /// Which part.
    pub part: Part,
    /// What it carries.
    pub load: f64,
    /// What it may carry, in the same unit.
    pub limit: f64,
    /// `A` or `VA`.
    pub unit: &'static str,
    /// How it came about; the result is load ÷ limit in percent.
    pub working: Working,
}

/// Why nothing can be said.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum CapacityError {
    /// A power factor, an unbalance, a voltage or a rating that is none.
    #[error("{what}: found {found}")]
    Factor {
        /// Which.
        what: &'static str,
        /// What was found.
        found: f64,
    },
    /// A quantity beyond any size.
    #[error(transparent)]
    Size(#[from] OutOfRange),
}

impl CapacityError {
    /// Every code that [`Self::code`] can give.
    pub const CODES: &'static [&'static str] = &["capacity.factor", "capacity.size"];

    /// Stable code.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Factor { .. } => "capacity.factor",
            Self::Size(_) => "capacity.size",
        }
    }
}

impl Part {
    /// Stable code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Ct => "capacity.ct",
            Self::Meter => "capacity.meter",
            Self::Conductor => "capacity.conductor",
            Self::Transformer => "capacity.transformer",
            Self::VtFuse => "capacity.vt_fuse",
        }
    }
}

impl Loading {
    /// Load ÷ limit.
    pub fn share(&self) -> f64 {
        self.load / self.limit
    }

    /// What is left, as a share of the limit; negative where it is exceeded.
    pub fn margin(&self) -> f64 {
        1.0 - self.share()
    }
}

/// Root of 3: line current of a balanced three-phase load is `P ÷ (√3 × V × pf)`.
const ROOT_3: f64 = 1.732_050_807_568_877_2;

/// Primary amperes of the most loaded phase at a peak.
///
/// # Errors
/// [`CapacityError`], see its variants.
pub fn line_current(peak: &PeakLoad, line_to_line: Volts) -> Result<Amps, CapacityError> {
    let factor = |what: &'static str, found: f64, most: f64| {
        (found > 0.0 && found <= most).then_some(found).ok_or(CapacityError::Factor { what, found })
    };
    let power_factor = factor("power_factor", peak.power_factor, 1.0)?;
    let unbalance = factor("unbalance", peak.unbalance, 3.0)?;
    let volts = factor("line_to_line", line_to_line.get(), Volts::RANGE.most)?;
    Ok(Amps::new(peak.demand.get().abs() * unbalance / (ROOT_3 * volts * power_factor))?)
}

/// How near everything that was recorded is to its limit.
///
/// # Errors
/// [`CapacityError`] when the peak has no current; a rating that is not above 0.
pub fn loadings(peak: &PeakLoad, recorded: &Recorded) -> Result<Vec<Loading>, CapacityError> {
    let amps = line_current(peak, recorded.line_to_line)?.get();
    let mut found = Vec::new();
    if let Some(primary) = recorded.ct_primary {
        found.push(loading(Part::Ct, amps, primary.get() * recorded.ct_rating_factor, "A")?);
    }
    if let (Some(class), Some(ratio)) = (recorded.meter_class, recorded.ct_ratio) {
        // A ratio of 0 gives endless amperes, which `loading` refuses.
        found.push(loading(Part::Meter, amps / ratio, class.get(), "A")?);
    }
    if let Some(ampacity) = recorded.conductor {
        found.push(loading(Part::Conductor, amps, ampacity.get(), "A")?);
    }
    if let Some(rated) = recorded.transformer {
        let apparent_va = peak.demand.get().abs() / peak.power_factor;
        found.push(loading(Part::Transformer, apparent_va, rated.get(), "VA")?);
    }
    if let Some((burden, volts, fuse)) = recorded.vt {
        found.push(loading(Part::VtFuse, burden.get() / volts.get(), fuse.get(), "A")?);
    }
    Ok(found)
}

fn loading(part: Part, load: f64, limit: f64, unit: &'static str) -> Result<Loading, CapacityError> {
    if !(limit > 0.0 && limit.is_finite()) {
        return Err(CapacityError::Factor { what: part.code(), found: limit });
    }
    if !(load >= 0.0 && load.is_finite()) {
        return Err(CapacityError::Factor { what: part.code(), found: load });
    }
    let inputs =
        vec![Input::new("load", Shown::measured(load, 2, unit)), Input::new("limit", Shown::measured(limit, 2, unit))];
    let working = Working::new(Rule::Loading, inputs, Shown::measured(100.0 * load / limit, 1, "%"));
    Ok(Loading { part, load, limit, unit, working })
}
