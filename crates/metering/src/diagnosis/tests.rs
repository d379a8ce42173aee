//! Laws of the diagnosis: what must not matter does not, garbage gives no confidence, safety outranks information.

use super::priors::{FIELD_CASES, FIELD_SLIPS, ROUTINE};
use super::*;
use crate::service::WYE3;
use proptest::prelude::*;

fn shown(size: f64, degrees: f64) -> Shown {
    Shown { size: Some(size), degrees: Some(degrees) }
}

/// A balanced wye at 120 V and 25° lagging, currents as given in degrees ahead of the reference.
fn visit(amps: [Shown; 3]) -> Visit<'static> {
    let volts = [shown(120.0, 0.0), shown(120.0, -120.0), shown(120.0, 120.0)];
    let readings = Readings { reference: Some(0), volts, amps, ..Readings::default() };
    let told = Told { generation: Some(false), rotation: Some(crate::service::Sequence::Abc), load: None };
    Visit { service: &WYE3, nominal_volts: 120.0, adding: Some(Adding::Net), told, readings }
}

#[test]
fn a_reversed_transformer_is_named_with_its_registration() {
    let amps = [shown(3.0, -25.0), shown(3.0, 35.0), shown(3.0, 95.0)];
    let found = diagnose(&visit(amps), &FIELD_CASES).unwrap();
    assert_eq!(found.verdict, Verdict::Wrong);
    assert_eq!(found.explanations[0].causes, [Cause::CtReversed(1)]);
    assert!((found.explanations[0].registration.unwrap() - 1.0 / 3.0).abs() < 0.01);
}

#[test]
fn a_healthy_site_is_consistent() {
    let amps = [shown(3.0, -25.0), shown(3.0, -145.0), shown(3.0, 95.0)];
    for priors in [&FIELD_CASES, &ROUTINE] {
        assert_eq!(diagnose(&visit(amps), priors).unwrap().verdict, Verdict::Consistent, "{}", priors.name);
    }
}

#[test]
fn nobody_is_sent_to_a_circuit_that_may_be_open() {
    let amps = [shown(3.0, -25.0), Shown { size: Some(0.0), degrees: None }, shown(3.0, 95.0)];
    let found = diagnose(&visit(amps), &FIELD_SLIPS).unwrap();
    let touches = |check: &Check| matches!(check.kind, CheckKind::ShortCt(_) | CheckKind::RepeatClamp(1));
    assert!(!found.checks.iter().any(touches), "{:?}", found.checks);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn garbage_never_panics_and_chances_stay_chances(numbers in proptest::collection::vec(proptest::num::f64::ANY, 12)) {
        let at = |k: usize| Shown { size: Some(numbers[2 * k]), degrees: Some(numbers[2 * k + 1]) };
        let mut case = visit([at(0), at(1), at(2)]);
        case.readings.volts = [at(3), at(4), at(5)];
        let found = diagnose(&case, &FIELD_CASES).unwrap();
        let sum: f64 = found.explanations.iter().map(|one| one.chance).sum();
        prop_assert!((0.0..=1.000_001).contains(&sum), "{sum}");
        prop_assert!(found.checks.iter().all(|check| check.gain_bits >= 0.0));
    }

    #[test]
    fn whole_turns_of_an_angle_change_nothing(lag in 0.0_f64..50.0, turned in 0_usize..3) {
        let mut amps = [shown(3.0, -lag), shown(2.9, -120.0 - lag), shown(3.1, 120.0 - lag)];
        let one = diagnose(&visit(amps), &FIELD_CASES).unwrap();
        amps[turned].degrees = amps[turned].degrees.map(|degrees| degrees + 360.0);
        let two = diagnose(&visit(amps), &FIELD_CASES).unwrap();
        prop_assert_eq!(one.verdict, two.verdict);
        prop_assert!((one.wiring_right - two.wiring_right).abs() < 1e-9);
    }
}

#[test]
fn nothing_read_is_nothing_known() {
    let mut case = visit([Shown::default(); 3]);
    case.readings = Readings::default();
    let found = diagnose(&case, &FIELD_CASES).unwrap();
    assert_eq!(found.verdict, Verdict::NotEnoughReadings);
}
