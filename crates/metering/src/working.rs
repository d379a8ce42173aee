//! The shown working of a result: rule, numbers put in, result, and the workings of the parts it was made from.
//!
//! A working carries facts only. Formula and source are found by [`Rule::id`], in the words of the reader's language.

use crate::decimal::Decimal;
use crate::factor::Factor;
use crate::ratio::Ratio;
use crate::rational::{Rational, Rounding};

/// One formula of the trade. Ids are stable and never reused.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rule {
    /// Primary ÷ secondary of a current transformer, after tap and turns.
    CtRatio,
    /// Primary ÷ secondary of a potential transformer.
    VtRatio,
    /// CT ratio × VT ratio.
    TransformerFactor,
    /// CT ratio × VT ratio × register constant ÷ what the register already contains.
    BillingMultiplier,
    /// Multiplier on record ÷ the one that the plates give.
    MultiplierOnRecord,
    /// Watt-hour constant × CT ratio × VT ratio.
    PrimaryKh,
    /// Actual ratio ÷ recorded ratio.
    RatioCorrection,
    /// Billed energy × correction factor.
    CorrectedEnergy,
    /// Billing multiplier × mean of 1 ÷ (CT ratio × VT ratio) over the elements ÷ register constant.
    MixedRegistration,
    /// Primary watts ÷ secondary watts.
    MultiplierFromPower,
    /// CT ratio × VT ratio rounded, against the exact product.
    RoundedRatio,
    /// Energy per pulse at the meter × factor.
    PulseEnergy,
    /// Pulses × energy per pulse.
    PulseTotal,
    /// Present − previous, over the top where the register has gone round.
    RegisterDifference,
    /// Register difference × multiplier.
    RegisterEnergy,
    /// 3.6 × watt-hour constant × pulses × ratios ÷ seconds.
    TimedPower,
    /// Volts × amperes × cosine of the angle between them.
    ElementPower,
    /// Sum over the elements.
    TotalPower,
    /// Power × time × the share that was not registered.
    BypassedEnergy,
    /// Mean of a power before and a power after.
    MeanPower,
    /// Sum over the elements of their absolute values.
    TotalAbsolute,
    /// Sum over the elements that are positive.
    TotalPositive,
    /// Registered ÷ true watts.
    Registration,
    /// Negative ÷ positive sequence.
    UnbalanceNegative,
    /// Zero ÷ positive sequence.
    UnbalanceZero,
    /// Largest deviation from the mean ÷ the mean.
    UnbalanceDeviation,
    /// Registered energy ÷ registration.
    UnregisteredEnergy,
    /// Registered energy ÷ (time right + registration × time wrong), over all of the time.
    PartlyRegistered,
    /// Mean energy a day × days.
    HistoryEnergy,
    /// Peak power × load factor × hours.
    LoadFactorEnergy,
    /// Time that two taps may be off ÷ time counted.
    TapTiming,
    /// Sum of the registers of all rates.
    RatesTotal,
    /// Reading of a maximum register × multiplier.
    MeterDemand,
    /// Greatest demand of the meters that share a period.
    PeriodPeak,
    /// Registered × (1 ÷ registration − 1).
    PeriodAdjustment,
    /// Load ÷ limit.
    Loading,
}

impl Rule {
    /// Every rule.
    pub const ALL: &'static [Self] = &[
        Self::CtRatio,
        Self::VtRatio,
        Self::TransformerFactor,
        Self::BillingMultiplier,
        Self::MultiplierOnRecord,
        Self::PrimaryKh,
        Self::RatioCorrection,
        Self::CorrectedEnergy,
        Self::MixedRegistration,
        Self::MultiplierFromPower,
        Self::RoundedRatio,
        Self::PulseEnergy,
        Self::PulseTotal,
        Self::RegisterDifference,
        Self::RegisterEnergy,
        Self::TimedPower,
        Self::ElementPower,
        Self::TotalPower,
        Self::BypassedEnergy,
        Self::MeanPower,
        Self::TotalAbsolute,
        Self::TotalPositive,
        Self::Registration,
        Self::UnbalanceNegative,
        Self::UnbalanceZero,
        Self::UnbalanceDeviation,
        Self::UnregisteredEnergy,
        Self::PartlyRegistered,
        Self::HistoryEnergy,
        Self::LoadFactorEnergy,
        Self::TapTiming,
        Self::RatesTotal,
        Self::MeterDemand,
        Self::PeriodPeak,
        Self::PeriodAdjustment,
        Self::Loading,
    ];

    /// The stable id: formula and source are found by it.
    pub const fn id(self) -> &'static str {
        match self {
            Self::CtRatio => "ratio.ct",
            Self::VtRatio => "ratio.vt",
            Self::TransformerFactor => "multiplier.transformer_factor",
            Self::BillingMultiplier => "multiplier.billing",
            Self::MultiplierOnRecord => "multiplier.on_record",
            Self::PrimaryKh => "multiplier.primary_kh",
            Self::RatioCorrection => "correction.ratio",
            Self::CorrectedEnergy => "correction.energy",
            Self::MixedRegistration => "registration.mixed_ratios",
            Self::MultiplierFromPower => "multiplier.from_power",
            Self::RoundedRatio => "ratio.rounded",
            Self::PulseEnergy => "pulse.energy",
            Self::PulseTotal => "pulse.total",
            Self::RegisterDifference => "register.difference",
            Self::RegisterEnergy => "register.energy",
            Self::TimedPower => "power.timed",
            Self::ElementPower => "power.element",
            Self::TotalPower => "power.total",
            Self::BypassedEnergy => "energy.bypassed",
            Self::MeanPower => "power.mean",
            Self::TotalAbsolute => "power.total_absolute",
            Self::TotalPositive => "power.total_positive",
            Self::Registration => "registration.power",
            Self::UnbalanceNegative => "unbalance.negative_sequence",
            Self::UnbalanceZero => "unbalance.zero_sequence",
            Self::UnbalanceDeviation => "unbalance.largest_deviation",
            Self::UnregisteredEnergy => "energy.true_from_registered",
            Self::PartlyRegistered => "energy.partly_registered",
            Self::HistoryEnergy => "energy.from_history",
            Self::LoadFactorEnergy => "energy.from_load_factor",
            Self::TapTiming => "power.taps",
            Self::RatesTotal => "register.rates",
            Self::MeterDemand => "demand.meter",
            Self::PeriodPeak => "demand.period_peak",
            Self::PeriodAdjustment => "correction.period",
            Self::Loading => "capacity.loading",
        }
    }
}

/// A value as a working shows it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Value {
    /// Exact, perhaps with √3.
    Exact(Factor),
    /// As read or typed.
    Decimal(Decimal),
    /// As stamped.
    Ratio(Ratio),
    /// Measured, or following from something measured: shown with so many digits after the point.
    Measured {
        /// The number.
        value: f64,
        /// Digits after the point.
        digits: u8,
    },
}

/// A value with its unit symbol; empty for a pure number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shown {
    /// The value.
    pub value: Value,
    /// Its unit symbol.
    pub unit: &'static str,
}

/// One number put into a formula.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Input {
    /// The letter the formula has for it.
    pub symbol: &'static str,
    /// What was put in.
    pub value: Shown,
}

/// How a result came about.
#[derive(Clone, Debug, PartialEq)]
pub struct Working {
    /// The formula.
    pub rule: Rule,
    /// What was put in, in the formula's order.
    pub inputs: Vec<Input>,
    /// What came out.
    pub result: Shown,
    /// How inputs that were themselves computed came about.
    pub parts: Vec<Working>,
}

/// Digits after the point of an exact value that has no end, and the most that one with an end is shown with.
pub const EXACT_DIGITS: u8 = 6;

impl Shown {
    /// A pure exact number.
    pub fn factor(value: impl Into<Factor>) -> Self {
        Self::exact(value, "")
    }

    /// An exact value in a unit.
    pub fn exact(value: impl Into<Factor>, unit: &'static str) -> Self {
        Self { value: Value::Exact(value.into()), unit }
    }

    /// A decimal as read, in a unit.
    pub const fn decimal(value: Decimal, unit: &'static str) -> Self {
        Self { value: Value::Decimal(value), unit }
    }

    /// A plate.
    pub const fn ratio(value: Ratio) -> Self {
        Self { value: Value::Ratio(value), unit: "" }
    }

    /// A measured value, shown with `digits` after the point.
    pub const fn measured(value: f64, digits: u8, unit: &'static str) -> Self {
        Self { value: Value::Measured { value, digits }, unit }
    }

    /// Plain figures without the unit: point, minus, no grouping. Endless values are rounded half to even at
    /// [`EXACT_DIGITS`]; [`Self::is_rounded`] tells.
    pub fn text(&self) -> String {
        match self.value {
            Value::Exact(factor) => exact_text(factor),
            Value::Decimal(decimal) => decimal.to_string(),
            Value::Ratio(ratio) => ratio.to_string(),
            Value::Measured { value, digits } => fixed(value, digits),
        }
    }

    /// Whether [`Self::text`] had to leave digits away, so that "=" would not be true.
    pub fn is_rounded(&self) -> bool {
        match self.value {
            Value::Exact(factor) => factor.has_root_3() || factor.rational().to_decimal(EXACT_DIGITS).is_none(),
            Value::Measured { .. } => true,
            Value::Decimal(_) | Value::Ratio(_) => false,
        }
    }

    /// The exact text where it differs from the figures: `4/3`, `120√3`.
    pub fn exact_text(&self) -> Option<String> {
        match self.value {
            Value::Exact(factor) if self.is_rounded() => Some(factor.to_string()),
            _ => None,
        }
    }
}

impl From<Decimal> for Factor {
    fn from(decimal: Decimal) -> Self {
        decimal.to_rational().into()
    }
}

impl Input {
    /// A number put in.
    pub const fn new(symbol: &'static str, value: Shown) -> Self {
        Self { symbol, value }
    }
}

impl Working {
    /// A result without computed parts.
    pub fn new(rule: Rule, inputs: Vec<Input>, result: Shown) -> Self {
        Self { rule, inputs, result, parts: Vec::new() }
    }

    /// The same, with the workings of its parts.
    #[must_use]
    pub fn with_parts(self, parts: Vec<Working>) -> Self {
        Self { parts, ..self }
    }
}

fn exact_text(factor: Factor) -> String {
    if factor.has_root_3() {
        return trimmed(&fixed(factor.to_f64(), EXACT_DIGITS));
    }
    let rational: Rational = factor.rational();
    match rational.to_decimal(EXACT_DIGITS).or_else(|| rational.rounded(EXACT_DIGITS, Rounding::HalfEven).ok()) {
        Some(decimal) => trimmed(&decimal.to_string()),
        // Too long for figures: the fraction itself is still true.
        None => rational.to_string(),
    }
}

/// Fixed digits; ties of the binary value go to even, and a zero has no sign.
fn fixed(value: f64, digits: u8) -> String {
    let text = format!("{value:.0$}", usize::from(digits));
    match text.strip_prefix('-') {
        Some(size) if size.bytes().all(|byte| matches!(byte, b'0' | b'.')) => size.to_owned(),
        _ => text,
    }
}

/// Without zeros at the end of the decimals.
fn trimmed(text: &str) -> String {
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn third() -> Rational {
        Rational::new(4, 3).unwrap()
    }

    #[test]
    fn ids_are_unique_and_all_are_listed() {
        let mut ids: Vec<&str> = Rule::ALL.iter().map(|rule| rule.id()).collect();
        ids.sort_unstable();
        let listed = ids.len();
        ids.dedup();
        assert_eq!(ids.len(), listed);
    }

    #[test]
    fn figures_are_plain_and_say_when_they_are_rounded() {
        let root = Factor::new(Rational::whole(120), 1).unwrap();
        for (shown, text, exact) in [
            (Shown::factor(Rational::whole(240)), "240", None),
            (Shown::factor(Rational::new(18, 125).unwrap()), "0.144", None),
            (Shown::factor(third()), "1.333333", Some("4/3")),
            (Shown::factor(root), "207.846097", Some("120√3")),
            (Shown::factor(Factor::ZERO), "0", None),
            (Shown::decimal(Decimal::parse("118.20").unwrap(), "V"), "118.20", None),
            (Shown::ratio(Ratio::parse("20000/V3:110/3").unwrap()), "20000/√3:110/3", None),
            (Shown::measured(-0.0001, 2, "W"), "0.00", None),
            (Shown::measured(-12.345, 1, "W"), "-12.3", None),
        ] {
            assert_eq!((shown.text().as_str(), shown.exact_text().as_deref()), (text, exact));
        }
    }
}
