//! Unbalance of a three-phase set, by each of the definitions in use: they differ, so each has its name.

use crate::phasor::Phasor;
use crate::sequence::components;
use crate::working::{Input, Rule, Shown, Working};

/// Below this share of the set a component is what is left of one that cancels.
const CANCELLED: f64 = 1e-12;

/// Negative sequence ÷ positive sequence, in percent; `None` where there is no positive sequence (a reversed rotation).
///
/// # Source
/// IEC 61000-4-30, the definition by symmetrical components.
pub fn negative_sequence(set: [Phasor; 3]) -> Option<(f64, Working)> {
    let split = components(set);
    share_of_positive(Rule::UnbalanceNegative, "V2", split.negative, set)
}

/// Zero sequence ÷ positive sequence, in percent; `None` where there is no positive sequence.
///
/// # Source
/// IEC 61000-4-30, the definition by symmetrical components.
pub fn zero_sequence(set: [Phasor; 3]) -> Option<(f64, Working)> {
    share_of_positive(Rule::UnbalanceZero, "V0", components(set).zero, set)
}

/// Largest deviation from the mean of three magnitudes ÷ that mean, in percent; `None` where the mean is nothing. Of line to
/// line voltages this is what motors are derated by. It does not see angles.
///
/// # Source
/// NEMA MG 1, definition of voltage unbalance (from memory).
pub fn largest_deviation(magnitudes: [f64; 3]) -> Option<(f64, Working)> {
    let mean = magnitudes.iter().sum::<f64>() / 3.0;
    let most = magnitudes.iter().map(|one| (one - mean).abs()).fold(0.0, f64::max);
    let inputs =
        vec![Input::new("deviation", Shown::measured(most, 3, "")), Input::new("mean", Shown::measured(mean, 3, ""))];
    percent(Rule::UnbalanceDeviation, inputs, most, mean, magnitudes.iter().sum())
}

/// Negative sequence ÷ positive sequence, in percent, from three line-to-line magnitudes alone; `None` where they make no
/// triangle of any size.
///
/// # Source
/// CIGRE formula of IEC 61000-4-30, annex: `β = ΣV⁴ ÷ (ΣV²)²`, `u = √((1 − √(3 − 6β)) ÷ (1 + √(3 − 6β)))`.
pub fn from_line_to_line(magnitudes: [f64; 3]) -> Option<f64> {
    let squares = magnitudes.map(|one| one * one);
    let sum: f64 = squares.iter().sum();
    let fourth: f64 = squares.iter().map(|one| one * one).sum();
    let beta = fourth / (sum * sum);
    let within = 3.0 - 6.0 * beta;
    // Beyond β = ½ the three make no triangle; rounding may carry a perfect set past β = ⅓.
    if !(within >= -CANCELLED && sum > 0.0) {
        return None;
    }
    let root = within.max(0.0).sqrt().min(1.0);
    Some(100.0 * ((1.0 - root) / (1.0 + root)).sqrt())
}

/// Line-to-line voltages of a set: A to B, B to C, C to A.
pub fn line_to_line([a, b, c]: [Phasor; 3]) -> [Phasor; 3] {
    [a - b, b - c, c - a]
}

fn share_of_positive(rule: Rule, symbol: &'static str, part: Phasor, set: [Phasor; 3]) -> Option<(f64, Working)> {
    let (part, positive) = (part.magnitude(), components(set).positive.magnitude());
    let inputs =
        vec![Input::new(symbol, Shown::measured(part, 3, "")), Input::new("V1", Shown::measured(positive, 3, ""))];
    percent(rule, inputs, part, positive, set.iter().map(|one| one.magnitude()).sum())
}

fn percent(rule: Rule, inputs: Vec<Input>, part: f64, whole: f64, size: f64) -> Option<(f64, Working)> {
    if whole.abs() <= CANCELLED * size {
        return None;
    }
    let percent = 100.0 * part / whole;
    Some((percent, Working::new(rule, inputs, Shown::measured(percent, 2, "%"))))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn nothing_has_no_unbalance() {
        assert_eq!(negative_sequence([Phasor::ZERO; 3]), None);
        assert_eq!(largest_deviation([0.0; 3]), None);
        assert_eq!(from_line_to_line([0.0; 3]), None);
        assert_eq!(from_line_to_line([1.0, 1.0, 3.0]), None);
    }

    #[test]
    fn a_working_says_which_definition_it_is() {
        let (found, working) = largest_deviation([118.0, 120.0, 125.0]).unwrap();
        assert!((found - 100.0 * 4.0 / 121.0).abs() < 1e-12);
        assert_eq!((working.rule, working.result.text().as_str()), (Rule::UnbalanceDeviation, "3.31"));
    }

    proptest! {
        /// Three magnitudes of a closed triangle say the same as the phasors.
        #[test]
        fn magnitudes_alone_say_as_much(b in (90.0..130.0, -150.0..-90.0), c in (90.0..130.0, 90.0..150.0)) {
            use crate::angle::{Angle, AngleConvention::LeadingPositive};
            let polar = |(size, degrees)| Phasor::polar(size, Angle::from_degrees(degrees, LeadingPositive).unwrap()).unwrap();
            let set = [polar((120.0, 0.0)), polar(b), polar(c)];
            let (phasors, _) = negative_sequence(set).unwrap();
            let magnitudes = from_line_to_line(line_to_line(set).map(Phasor::magnitude)).unwrap();
            prop_assert!((phasors - magnitudes).abs() < 1e-5, "{phasors} {magnitudes}");
        }
    }
}
