//! What follows from wrong or unequal ratios: correction factors, registration, the multiplier that a site really has.

use crate::decimal::Decimal;
use crate::factor::Factor;
use crate::multiplier::{MultiplierError, positive, transformer_factor};
use crate::ratio::Ratio;
use crate::rational::{ExactError, Rational};
use crate::working::{Input, Rule, Shown, Working};

/// What billed energy is multiplied by when the ratio on record was not the ratio on the wall: actual ÷ recorded.
///
/// # Errors
/// [`MultiplierError::Exact`].
pub fn ratio_correction(recorded: Ratio, actual: Ratio) -> Result<(Factor, Working), MultiplierError> {
    let factor = actual.quotient().over(recorded.quotient())?;
    let inputs = vec![Input::new("actual", Shown::ratio(actual)), Input::new("recorded", Shown::ratio(recorded))];
    Ok((factor, Working::new(Rule::RatioCorrection, inputs, Shown::factor(factor))))
}

/// Energy put right: what was billed, what it should have been, and the difference (positive: too little was billed).
#[derive(Clone, Debug, PartialEq)]
pub struct Corrected {
    /// Billed × factor, in the unit of what was billed.
    pub true_energy: Factor,
    /// True − billed. None where one holds √3 and the other does not: no exact number then.
    pub unbilled: Option<Factor>,
    /// True − billed as a float, always there.
    pub unbilled_f64: f64,
    /// How the true energy came about.
    pub working: Working,
}

/// Puts billed kilowatt-hours right by a correction factor.
///
/// # Errors
/// [`MultiplierError::Exact`].
pub fn corrected_energy(billed_kwh: Decimal, factor: Factor) -> Result<Corrected, MultiplierError> {
    let billed = Factor::from(billed_kwh);
    let true_energy = billed.times(factor)?;
    let unbilled = match true_energy.minus(billed) {
        Ok(difference) => Some(difference),
        Err(ExactError::MixedRoots) => None,
        Err(why) => return Err(why.into()),
    };
    let inputs = vec![Input::new("billed", Shown::decimal(billed_kwh, "kWh")), Input::new("CF", Shown::factor(factor))];
    Ok(Corrected {
        true_energy,
        unbilled,
        unbilled_f64: unbilled.map_or_else(|| true_energy.to_f64() - billed.to_f64(), Factor::to_f64),
        working: Working::new(Rule::CorrectedEnergy, inputs, Shown::exact(true_energy, "kWh")),
    })
}

const CT_SYMBOLS: [&str; 3] = ["CTR_1", "CTR_2", "CTR_3"];
const VT_SYMBOLS: [&str; 3] = ["VTR_1", "VTR_2", "VTR_3"];

/// Registration (billed ÷ true) of elements behind unequal transformers under balanced load, every element taking an equal
/// share of the power: `multiplier ÷ Kr × mean of 1 ÷ (CTR·VTR)`.
///
/// `vts` holds one ratio for all elements, or one for each.
///
/// # Errors
/// [`MultiplierError::Elements`] when there are not 1 to 3 CTs with 1 or as many VTs, [`MultiplierError::NotPositive`],
/// [`MultiplierError::Exact`].
pub fn mixed_registration(
    cts: &[Ratio],
    vts: &[Ratio],
    register_constant: Decimal,
    billed_at: Factor,
) -> Result<(Factor, Working), MultiplierError> {
    if !(1..=3).contains(&cts.len()) || (vts.len() != 1 && vts.len() != cts.len()) {
        return Err(MultiplierError::Elements { cts: cts.len(), vts: vts.len() });
    }
    if !billed_at.is_positive() {
        return Err(MultiplierError::NotPositive { symbol: "M" });
    }
    let constant = positive("Kr", register_constant)?;
    let vt_of = |element: usize| vts.get(element).or(vts.first()).copied().unwrap_or(Ratio::ONE);
    let mut sum = Factor::ZERO;
    let mut inputs =
        vec![Input::new("M", Shown::factor(billed_at)), Input::new("Kr", Shown::decimal(register_constant, ""))];
    for (element, ct) in cts.iter().enumerate() {
        let vt = vt_of(element);
        sum = sum.plus(Factor::ONE.over(ct.quotient().times(vt.quotient())?)?)?;
        inputs.extend(CT_SYMBOLS.get(element).map(|symbol| Input::new(symbol, Shown::ratio(*ct))));
        inputs.extend(VT_SYMBOLS.get(element).map(|symbol| Input::new(symbol, Shown::ratio(vt))));
    }
    let elements = Rational::whole(cts.len() as i64);
    let registration = billed_at.times(sum)?.over(elements.times(constant)?.into())?;
    Ok((registration, Working::new(Rule::MixedRegistration, inputs, Shown::factor(registration))))
}

/// The multiplier that a site really has, from power measured on both sides at one time.
///
/// # Errors
/// [`MultiplierError::NotPositive`] when a power is 0 or less, [`MultiplierError::Exact`].
pub fn from_power(primary_w: Decimal, secondary_w: Decimal) -> Result<(Rational, Working), MultiplierError> {
    let multiplier = positive("P_primary", primary_w)?.over(positive("P_secondary", secondary_w)?)?;
    let inputs = vec![
        Input::new("P_primary", Shown::decimal(primary_w, "W")),
        Input::new("P_secondary", Shown::decimal(secondary_w, "W")),
    ];
    Ok((multiplier, Working::new(Rule::MultiplierFromPower, inputs, Shown::factor(multiplier))))
}

/// What a VT ratio rounded on paper makes of the transformer factor, and by how many percent that is off.
///
/// # Errors
/// [`MultiplierError::NotPositive`] when the rounded ratio is 0 or less, [`MultiplierError::Exact`] also where the exact
/// ratio holds √3: the error in percent then has no exact value.
pub fn rounded_ratio(ct: Ratio, vt: Ratio, rounded_vt: Decimal) -> Result<Rounded, MultiplierError> {
    let rounded = positive("VTR_rounded", rounded_vt)?;
    let (exact, part) = transformer_factor(ct, vt)?;
    let factor = ct.quotient().times(rounded.into())?;
    let error_percent = match factor.over(exact)?.minus(Factor::ONE) {
        Ok(error) => Percent::Exact(error.times(Rational::whole(100).into())?),
        Err(ExactError::MixedRoots) => Percent::Float((factor.to_f64() / exact.to_f64() - 1.0) * 100.0),
        Err(why) => return Err(why.into()),
    };
    let inputs = vec![
        Input::new("CTR", Shown::factor(ct.quotient())),
        Input::new("VTR_rounded", Shown::decimal(rounded_vt, "")),
        Input::new("TF", Shown::factor(exact)),
    ];
    let working = Working::new(Rule::RoundedRatio, inputs, error_percent.shown()).with_parts(vec![part]);
    Ok(Rounded { factor, error_percent, working })
}

/// A transformer factor made with a rounded ratio.
#[derive(Clone, Debug, PartialEq)]
pub struct Rounded {
    /// CT ratio × rounded VT ratio.
    pub factor: Factor,
    /// How far that is from the exact factor, in percent.
    pub error_percent: Percent,
    /// How it came about.
    pub working: Working,
}

/// A percentage: exact, or a float where √3 leaves no exact one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Percent {
    /// Exact.
    Exact(Factor),
    /// The nearest float.
    Float(f64),
}

impl Percent {
    /// The nearest float.
    pub fn to_f64(self) -> f64 {
        match self {
            Self::Exact(factor) => factor.to_f64(),
            Self::Float(value) => value,
        }
    }

    fn shown(self) -> Shown {
        match self {
            Self::Exact(factor) => Shown::exact(factor, "%"),
            Self::Float(value) => Shown::measured(value, 4, "%"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::multiplier::{Outside, Plates, outside};
    use proptest::prelude::*;

    fn ratio(text: &str) -> Ratio {
        Ratio::parse(text).unwrap()
    }

    fn decimal(text: &str) -> Decimal {
        Decimal::parse(text).unwrap()
    }

    /// Source: one CT of half the ratio among three registers 4/3, of twice the ratio 5/6; own phasor algebra.
    #[test]
    fn one_ct_of_another_ratio_among_three() {
        let at = Factor::from(Rational::whole(80));
        let one = Decimal::whole(1);
        let of = |cts: &[Ratio], vts: &[Ratio]| mixed_registration(cts, vts, one, at);
        let (half, twice) =
            ([ratio("400:5"), ratio("200:5"), ratio("400:5")], [ratio("400:5"), ratio("800:5"), ratio("400:5")]);
        assert_eq!(of(&half, &[Ratio::ONE]).unwrap().0.to_string(), "4/3");
        assert_eq!(of(&twice, &[Ratio::ONE]).unwrap().0.to_string(), "5/6");
        assert_eq!(of(&[], &[Ratio::ONE]), Err(MultiplierError::Elements { cts: 0, vts: 1 }));
        assert_eq!(of(&half, &[Ratio::ONE; 2]), Err(MultiplierError::Elements { cts: 3, vts: 2 }));
        assert_eq!(of(&half, &[Ratio::ONE, ratio("√3:1"), Ratio::ONE]), Err(ExactError::MixedRoots.into()));
    }

    #[test]
    fn a_line_to_line_vt_taken_for_a_line_to_neutral_one_still_gives_an_amount() {
        let (factor, _) = ratio_correction(ratio("20000:110"), ratio("20000/√3:110")).unwrap();
        assert_eq!(factor.to_string(), "√3/3");
        let corrected = corrected_energy(decimal("3000"), factor).unwrap();
        assert_eq!(corrected.unbilled, None);
        assert!((corrected.unbilled_f64 + 1_267.949_192_431_123).abs() < 1e-9);
    }

    #[test]
    fn power_on_both_sides_tells_the_multiplier() {
        assert_eq!(from_power(decimal("1166400"), decimal("972.0")).unwrap().0.to_string(), "1200");
        assert_eq!(
            from_power(decimal("1"), Decimal::ZERO),
            Err(MultiplierError::NotPositive { symbol: "P_secondary" })
        );
    }

    fn any_ratio() -> impl Strategy<Value = Ratio> {
        (1_i64..100_000, 1_i64..1000, -1_i64..=1).prop_map(|(primary, secondary, power)| {
            let side = |number, power| crate::ratio::Rated::from_parts([number, 1, power]).unwrap();
            Ratio::new(side(primary, power.min(0)), side(secondary, -power.max(0))).unwrap()
        })
    }

    proptest! {
        #[test]
        fn equal_ratios_on_every_element_register_all(ct in any_ratio(), vt in any_ratio(), constant in 1_i64..100) {
            let plates = Plates { register_constant: Decimal::whole(constant), ..Plates::secondary_meter(ct, vt) };
            let Outside::Known(found) = outside(&plates).unwrap() else { panic!() };
            let (registration, _) = mixed_registration(&[ct; 3], &[vt], plates.register_constant, found.multiplier).unwrap();
            prop_assert_eq!(registration, Factor::ONE);
        }

        #[test]
        fn correcting_there_and_back_changes_nothing(one in any_ratio(), other in any_ratio()) {
            let (there, _) = ratio_correction(one, other).unwrap();
            let (back, _) = ratio_correction(other, one).unwrap();
            prop_assert_eq!(there.times(back), Ok(Factor::ONE));
        }
    }
}
