//! The billing multiplier: what a register difference or a pulse is multiplied by outside the meter.

use crate::decimal::Decimal;
use crate::factor::Factor;
use crate::ratio::{RatedError, Ratio};
use crate::rational::{ExactError, Rational};
use crate::working::{Input, Rule, Shown, Working};
use thiserror::Error;

/// Why no multiplier, and no correction of one, could be given.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum MultiplierError {
    /// The exact arithmetic gave no result.
    #[error(transparent)]
    Exact(#[from] ExactError),
    /// A ratio cannot be.
    #[error(transparent)]
    Ratio(#[from] RatedError),
    /// Something that must be greater than zero is not.
    #[error("{symbol} must be greater than zero")]
    NotPositive {
        /// The formula's letter for it.
        symbol: &'static str,
    },
    /// There are not as many ratios as elements: 1 to 3, and as many VTs as CTs or one.
    #[error("{cts} CT ratios with {vts} VT ratios")]
    Elements {
        /// How many CT ratios.
        cts: usize,
        /// How many VT ratios.
        vts: usize,
    },
}

impl MultiplierError {
    /// Every code that [`Self::code`] can give, besides those of [`crate::ratio::RatioError`].
    pub const CODES: &'static [&'static str] = &["multiplier.exact", "multiplier.not_positive", "multiplier.elements"];

    /// The stable code by which the sentence for people is found.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Exact(_) => "multiplier.exact",
            Self::Ratio(why) => why.code(),
            Self::NotPositive { .. } => "multiplier.not_positive",
            Self::Elements { .. } => "multiplier.elements",
        }
    }
}

/// Which transformer ratios are programmed in the meter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RatiosInside {
    /// None: the meter knows of no transformer.
    None,
    /// The CT ratio.
    Ct,
    /// The VT ratio.
    Vt,
    /// Both.
    CtAndVt,
    /// Nobody has looked.
    Unknown,
}

impl RatiosInside {
    const CODES: [(Self, &'static str); 5] = [
        (Self::None, "none"),
        (Self::Ct, "ct"),
        (Self::Vt, "vt"),
        (Self::CtAndVt, "ct_and_vt"),
        (Self::Unknown, "unknown"),
    ];

    /// Its stable name, as stored.
    pub fn code(self) -> &'static str {
        Self::CODES.iter().find(|(which, _)| *which == self).map_or("unknown", |(_, code)| code)
    }

    /// The one of this stored name; anything else, and nothing, is not known.
    pub fn from_code(code: Option<&str>) -> Self {
        Self::CODES.iter().find(|(_, known)| Some(*known) == code).map_or(Self::Unknown, |(which, _)| *which)
    }
}

/// What the register or display counts in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reads {
    /// What flows through the meter: secondary watt-hours.
    Secondary,
    /// What the customer takes: the ratios are in it already.
    Primary,
    /// Nobody has looked.
    Unknown,
}

impl Reads {
    /// The one of this stored name; anything else, and nothing, is not known.
    pub fn from_code(code: Option<&str>) -> Self {
        match code {
            Some("secondary") => Self::Secondary,
            Some("primary") => Self::Primary,
            _ => Self::Unknown,
        }
    }
}

/// What a multiplier is made from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plates {
    /// The CT ratio in use, after tap and turns.
    pub ct: Ratio,
    /// The VT ratio in use; [`Ratio::ONE`] where there is none.
    pub vt: Ratio,
    /// The constant that the register itself must be multiplied by.
    pub register_constant: Decimal,
    /// Which ratios are programmed in the meter.
    pub inside: RatiosInside,
    /// The CT ratio as programmed, where it was read off; otherwise taken to be as stamped.
    pub inside_ct: Option<Ratio>,
    /// The VT ratio as programmed, where it was read off; otherwise taken to be as stamped.
    pub inside_vt: Option<Ratio>,
    /// What the register counts in.
    pub reads: Reads,
}

/// One multiplier that the facts allow.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate {
    /// Which ratios it takes to be in the register already.
    pub applied: RatiosInside,
    /// What is left to multiply by outside the meter.
    pub multiplier: Factor,
    /// How it came about.
    pub working: Working,
}

/// What is to be multiplied by outside the meter. Applying a ratio twice is the dearest mistake of all, so nothing is guessed.
#[derive(Clone, Debug, PartialEq)]
pub enum Outside {
    /// The facts leave one multiplier.
    Known(Box<Candidate>),
    /// The facts leave several: look at the meter.
    Undecided(Vec<Candidate>),
    /// What is programmed and what the display shows contradict each other: each says its own.
    Contradiction {
        /// What the programmed ratios say.
        by_program: Vec<Candidate>,
        /// What the display says.
        by_display: Vec<Candidate>,
    },
}

impl Plates {
    /// Plates of a meter that knows of no transformer and counts secondary watt-hours.
    pub fn secondary_meter(ct: Ratio, vt: Ratio) -> Self {
        Self {
            ct,
            vt,
            register_constant: Decimal::whole(1),
            inside: RatiosInside::None,
            inside_ct: None,
            inside_vt: None,
            reads: Reads::Secondary,
        }
    }
}

/// CT ratio × VT ratio, with its working.
///
/// # Source
/// NAVFAC MO-221, *Utilities Metering*: "transformer factor".
///
/// # Errors
/// [`MultiplierError::Exact`] where the product does not fit.
pub fn transformer_factor(ct: Ratio, vt: Ratio) -> Result<(Factor, Working), MultiplierError> {
    let factor = ct.quotient().times(vt.quotient())?;
    let inputs = vec![Input::new("CTR", Shown::factor(ct.quotient())), Input::new("VTR", Shown::factor(vt.quotient()))];
    let parts = vec![ratio_working(Rule::CtRatio, ct), ratio_working(Rule::VtRatio, vt)];
    Ok((factor, Working::new(Rule::TransformerFactor, inputs, Shown::factor(factor)).with_parts(parts)))
}

/// Primary ÷ secondary of one plate.
pub fn ratio_working(rule: Rule, ratio: Ratio) -> Working {
    Working::new(rule, vec![Input::new("plate", Shown::ratio(ratio))], Shown::factor(ratio.quotient()))
}

/// What the register difference is multiplied by outside the meter.
///
/// Ratios that the register already contains are divided out: a meter programmed with a ratio other than the plate's keeps
/// the quotient of the two. Two facts speak: what is programmed, and what the display counts in. Where they leave one
/// number, it is known; otherwise every number they allow is returned.
///
/// # Source
/// NAVFAC MO-221, *Utilities Metering*: a register that reads primary energy is not multiplied again.
///
/// # Errors
/// [`MultiplierError::NotPositive`] for a register constant of 0 or less, [`MultiplierError::Exact`].
pub fn outside(plates: &Plates) -> Result<Outside, MultiplierError> {
    let by_program = candidates(plates, programmed(plates.inside))?;
    let by_display = candidates(plates, displayed(plates.reads))?;
    let both: Vec<Candidate> = by_program
        .iter()
        .filter(|one| by_display.iter().any(|other| other.multiplier == one.multiplier))
        .cloned()
        .collect();
    let mut left = both.into_iter();
    Ok(match (left.next(), left.next()) {
        (None, _) => Outside::Contradiction { by_program, by_display },
        (Some(only), None) => Outside::Known(Box::new(only)),
        (Some(first), Some(second)) => Outside::Undecided([first, second].into_iter().chain(left).collect()),
    })
}

/// The states of the register that a program allows.
fn programmed(inside: RatiosInside) -> &'static [RatiosInside] {
    match inside {
        RatiosInside::None => &[RatiosInside::None],
        RatiosInside::Ct => &[RatiosInside::Ct],
        RatiosInside::Vt => &[RatiosInside::Vt],
        RatiosInside::CtAndVt => &[RatiosInside::CtAndVt],
        RatiosInside::Unknown => &[RatiosInside::None, RatiosInside::Ct, RatiosInside::Vt, RatiosInside::CtAndVt],
    }
}

/// The states of the register that a display allows.
fn displayed(reads: Reads) -> &'static [RatiosInside] {
    match reads {
        Reads::Secondary => &[RatiosInside::None],
        Reads::Primary => &[RatiosInside::CtAndVt],
        Reads::Unknown => programmed(RatiosInside::Unknown),
    }
}

/// One candidate per state, without those whose multiplier an earlier one already has.
fn candidates(plates: &Plates, states: &[RatiosInside]) -> Result<Vec<Candidate>, MultiplierError> {
    let mut found: Vec<Candidate> = Vec::new();
    for applied in states {
        let next = candidate(plates, *applied)?;
        if found.iter().all(|one| one.multiplier != next.multiplier) {
            found.push(next);
        }
    }
    Ok(found)
}

fn candidate(plates: &Plates, applied: RatiosInside) -> Result<Candidate, MultiplierError> {
    let constant = positive("Kr", plates.register_constant)?;
    let (factor, part) = transformer_factor(plates.ct, plates.vt)?;
    let ct = if matches!(applied, RatiosInside::Ct | RatiosInside::CtAndVt) {
        plates.inside_ct.unwrap_or(plates.ct)
    } else {
        Ratio::ONE
    };
    let vt = if matches!(applied, RatiosInside::Vt | RatiosInside::CtAndVt) {
        plates.inside_vt.unwrap_or(plates.vt)
    } else {
        Ratio::ONE
    };
    let contained = ct.quotient().times(vt.quotient())?;
    let multiplier = factor.times(constant.into())?.over(contained)?;
    let inputs = vec![
        Input::new("TF", Shown::factor(factor)),
        Input::new("Kr", Shown::decimal(plates.register_constant, "")),
        Input::new("TF_in", Shown::factor(contained)),
    ];
    let working = Working::new(Rule::BillingMultiplier, inputs, Shown::factor(multiplier)).with_parts(vec![part]);
    Ok(Candidate { applied, multiplier, working })
}

/// Primary watt-hours of one turn of the disk or one pulse of the test lamp: Kh × CT ratio × VT ratio.
///
/// # Errors
/// [`MultiplierError::NotPositive`] for a constant of 0 or less, [`MultiplierError::Exact`].
pub fn primary_kh(kh_wh: Decimal, ct: Ratio, vt: Ratio) -> Result<(Factor, Working), MultiplierError> {
    let kh = positive("Kh", kh_wh)?;
    let (factor, part) = transformer_factor(ct, vt)?;
    let primary_wh = factor.times(kh.into())?;
    let inputs = vec![Input::new("Kh", Shown::decimal(kh_wh, "Wh")), Input::new("TF", Shown::factor(factor))];
    Ok((primary_wh, Working::new(Rule::PrimaryKh, inputs, Shown::exact(primary_wh, "Wh")).with_parts(vec![part])))
}

/// Primary energy of one output pulse: what the pulse is worth at the meter × the factor outside.
///
/// # Errors
/// [`MultiplierError::NotPositive`], [`MultiplierError::Exact`].
pub fn pulse_energy(ke_kwh: Decimal, factor: Factor) -> Result<(Factor, Working), MultiplierError> {
    if !factor.is_positive() {
        return Err(MultiplierError::NotPositive { symbol: "M" });
    }
    let energy = factor.times(positive("Ke", ke_kwh)?.into())?;
    let inputs = vec![Input::new("Ke", Shown::decimal(ke_kwh, "kWh")), Input::new("M", Shown::factor(factor))];
    Ok((energy, Working::new(Rule::PulseEnergy, inputs, Shown::exact(energy, "kWh"))))
}

/// Primary energy of a number of output pulses.
///
/// # Errors
/// As [`pulse_energy`].
pub fn pulse_total(pulses: u64, ke_kwh: Decimal, factor: Factor) -> Result<(Factor, Working), MultiplierError> {
    let (each, part) = pulse_energy(ke_kwh, factor)?;
    let count = Rational::new(pulses.into(), 1)?;
    let total = each.times(count.into())?;
    let inputs = vec![Input::new("n", Shown::factor(count)), Input::new("E_pulse", Shown::exact(each, "kWh"))];
    Ok((total, Working::new(Rule::PulseTotal, inputs, Shown::exact(total, "kWh")).with_parts(vec![part])))
}

pub(crate) fn positive(symbol: &'static str, value: Decimal) -> Result<Rational, MultiplierError> {
    let rational = value.to_rational();
    if rational.is_positive() { Ok(rational) } else { Err(MultiplierError::NotPositive { symbol }) }
}

/// How a multiplier on record stands to the one that the plates give.
#[derive(Clone, Debug, PartialEq)]
pub struct Against {
    /// On record ÷ computed: 1 where they agree.
    pub off: Factor,
    /// What that quotient looks like.
    pub looks_like: LooksLike,
    /// How the quotient came about.
    pub working: Working,
}

/// What a wrong multiplier looks like. A likeness, not a proof: it says where to look first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LooksLike {
    /// They agree exactly.
    Same,
    /// They agree within one part in a thousand: a ratio was rounded on paper.
    Rounded,
    /// The ratios are in it twice.
    AppliedTwice,
    /// The CT ratio is missing.
    WithoutCt,
    /// The VT ratio is missing.
    WithoutVt,
    /// Neither ratio is in it.
    WithoutBoth,
    /// Off by √3: line to line taken for line to neutral, or the other way.
    RootOfThree,
    /// Off by a power of ten.
    PowerOfTen,
    /// Like nothing of these.
    Other,
}

/// The share up to which two multipliers count as one, rounded differently: `66395:115` as 577 is off by 0.06 %.
const ROUNDED_WITHIN: f64 = 0.001;

/// Holds a multiplier on record against the one left outside the meter.
///
/// # Errors
/// [`MultiplierError::NotPositive`] for a multiplier on record of 0 or less, [`MultiplierError::Exact`].
pub fn against_record(on_record: Decimal, plates: &Plates, outside: Factor) -> Result<Against, MultiplierError> {
    let off = Factor::from(positive("M_record", on_record)?).over(outside)?;
    let near = |factor: Factor| (off.to_f64() / factor.to_f64() - 1.0).abs() <= ROUNDED_WITHIN;
    let inverse = |factor: Factor| Factor::ONE.over(factor);
    let (ct, vt) = (plates.ct.quotient(), plates.vt.quotient());
    let both = ct.times(vt)?;
    let root = Factor::new(Rational::ONE, 1)?;
    let likenesses = [
        (Factor::ONE, LooksLike::Rounded),
        (both, LooksLike::AppliedTwice),
        (inverse(both)?, LooksLike::WithoutBoth),
        (inverse(ct)?, LooksLike::WithoutCt),
        (inverse(vt)?, LooksLike::WithoutVt),
        (root, LooksLike::RootOfThree),
        (inverse(root)?, LooksLike::RootOfThree),
    ];
    let looks_like = if off == Factor::ONE {
        LooksLike::Same
    } else if let Some((_, likeness)) = likenesses.into_iter().find(|(factor, _)| near(*factor)) {
        likeness
    } else if powers_of_ten().any(near) {
        LooksLike::PowerOfTen
    } else {
        LooksLike::Other
    };
    let inputs = vec![Input::new("M_record", Shown::decimal(on_record, "")), Input::new("M", Shown::factor(outside))];
    Ok(Against { off, looks_like, working: Working::new(Rule::MultiplierOnRecord, inputs, Shown::factor(off)) })
}

/// 10, 1/10, 100, 1/100, 1000, 1/1000.
fn powers_of_ten() -> impl Iterator<Item = Factor> {
    [10, 100, 1000]
        .into_iter()
        .flat_map(|power| [Rational::whole(power), Rational::over_positive(1, power.into())])
        .map(Factor::from)
}

#[cfg(test)]
mod tests;
