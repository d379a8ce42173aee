//! Closed forms and properties of the forward model.

use super::*;
use crate::angle::{Angle, AngleConvention};
use crate::phasor::Phasor;
use crate::quantity::{Amps, Volts};
use crate::service::{ALL, DELTA2, DELTA4, DELTA4_2EL, Sequence, WYE3, WYE25};
use Node::{A, B, C};
use proptest::prelude::*;

fn lag(degrees: f64) -> Angle {
    Angle::from_degrees(degrees, AngleConvention::LeadingPositive).unwrap()
}

fn balanced(service: &'static Service, sequence: Sequence, degrees: f64) -> Load {
    Load::balanced(service, sequence, Volts::new(480.0).unwrap(), Amps::new(5.0).unwrap(), lag(degrees)).unwrap()
}

fn registers(service: &'static Service, faults: &[Fault], load: &Load) -> f64 {
    registration(Adding::Net, &Wiring::of(service, faults).unwrap().see(load), load).unwrap()
}

fn near(one: f64, other: f64) -> bool {
    (one - other).abs() < 1e-9
}

#[test]
fn right_wiring_registers_all_of_a_balanced_load() {
    for service in ALL {
        for sequence in [Sequence::Abc, Sequence::Cba] {
            for degrees in [-60.0, 0.0, 30.0, 80.0, 172.0] {
                assert!(near(registers(service, &[], &balanced(service, sequence, degrees)), 1.0), "{}", service.id);
            }
        }
    }
}

/// Closed forms of a balanced 3-element wye: 1/3, 2/3, 0 at any power factor, −1.
#[test]
fn balanced_wye_has_the_known_registrations() {
    for degrees in [-40.0, 0.0, 25.0, 60.0] {
        let load = balanced(&WYE3, Sequence::Abc, degrees);
        let of = |faults: &[Fault]| registers(&WYE3, faults, &load);
        assert!(near(of(&[Fault::CtReversed(B)]), 1.0 / 3.0));
        assert!(near(of(&[Fault::CtOpen(C)]), 2.0 / 3.0));
        assert!(near(of(&[Fault::CtSwapped(A, B)]), 0.0));
        assert!(near(of(&[Fault::CtAllReversed]), -1.0));
        assert!(near(of(&[Fault::CtSecondTurn(A)]), 4.0 / 3.0));
    }
    assert!(near(registers(&WYE3, &[Fault::CtRolled(Roll::Back)], &balanced(&WYE3, Sequence::Abc, 60.0)), 1.0));
}

/// 2-element delta: one CT reversed registers ∓tan(θ)/√3, whichever is reversed; the common lead open ½ with like coils.
#[test]
fn delta_has_the_known_registrations() {
    for degrees in [-40.0_f64, 0.0, 25.0, 60.0] {
        let load = balanced(&DELTA2, Sequence::Abc, degrees);
        let wanted = libm::tan(degrees.to_radians()) / 3.0_f64.sqrt();
        assert!(near(registers(&DELTA2, &[Fault::CtReversed(A)], &load), wanted));
        assert!(near(registers(&DELTA2, &[Fault::CtReversed(C)], &load), -wanted));
        assert!(near(registers(&DELTA2, &[Fault::VtOpen { lead: B, share: None }], &load), 0.5));
    }
}

#[test]
fn an_open_common_lead_parts_the_outer_voltage_by_the_coils() {
    let load = balanced(&DELTA2, Sequence::Abc, 0.0);
    let wiring = Wiring::of(&DELTA2, &[Fault::VtOpen { lead: B, share: Some(0.3) }]).unwrap();
    let [first, second, _] = wiring.see(&load).elements;
    assert!(near(first.volts.magnitude(), 0.3 * 480.0) && near(second.volts.magnitude(), 0.7 * 480.0));
    assert!(near(first.volts.angle().unwrap().apart_degrees(second.volts.angle().unwrap()), 180.0));
}

/// A star point held by like coils stays in the middle; a coil of little conductance takes more than its share.
#[test]
fn a_lost_neutral_floats_where_the_coils_let_it() {
    let load = balanced(&WYE3, Sequence::Abc, 20.0);
    let with = |coils| Wiring::of(&WYE3, &[Fault::VtNeutralOpen { coils }]).unwrap().see(&load);
    assert!(near(with([2.0; 3]).watts(), load.watts()));
    let uneven = with([0.5, 1.0, 1.0]);
    assert!(near(uneven.elements[0].volts.magnitude(), 1.2 * 480.0 / 3.0_f64.sqrt()));
    assert!(near(with([0.0, 1.0, 1.0]).elements[0].volts.magnitude(), 1.5 * 480.0 / 3.0_f64.sqrt()));
}

#[test]
fn a_service_refuses_what_it_has_not() {
    let of = |service, fault| Wiring::of(service, &[fault]);
    let no_such = |service, fault, node| Err(WiringError::NoSuch { service, fault, node });
    assert_eq!(of(&DELTA2, Fault::CtReversed(B)), no_such("delta2", "ct_reversed", B));
    assert_eq!(of(&WYE25, Fault::VtReversed(B)), no_such("wye25", "vt_reversed", B));
    assert_eq!(of(&WYE25, Fault::VtRolled(Roll::Back)), no_such("wye25", "vt_rotated", B));
    assert!(matches!(of(&WYE3, Fault::CtRatio { ct: A, factor: f64::NAN }), Err(WiringError::Factor(_))));
    let leak = Fault::CtShorted { ct: A, shunt_ohm: 0.1 };
    assert_eq!(of(&WYE3, leak), Err(WiringError::NeedsCircuit { fault: "ct_shorted" }));
}

#[test]
fn an_absolute_adder_does_not_see_a_reversed_ct() {
    let load = balanced(&WYE3, Sequence::Abc, 25.0);
    let seen = Wiring::of(&WYE3, &[Fault::CtReversed(A)]).unwrap().see(&load);
    let of = |adding: Adding| registration(adding, &seen, &load).unwrap();
    assert!(near(of(Adding::Absolute), 1.0) && near(of(Adding::PositiveOnly), 2.0 / 3.0));
    let back = Wiring::of(&WYE3, &[Fault::CtAllReversed]).unwrap().see(&load);
    let apart = Adding::Apart.register(&back);
    assert!(near(apart.delivered, 0.0));
    assert!(near(apart.received, load.watts()));
}

#[test]
fn nothing_registered_has_no_correction_factor() {
    assert_eq!(correction_factor(0.0), None);
    assert_eq!(correction_factor(-0.5), Some(-2.0));
    let load = balanced(&WYE3, Sequence::Abc, 90.0);
    assert_eq!(registration(Adding::Net, &Wiring::correct(&WYE3).see(&load), &load), None);
}

fn any_load(volts: [(f64, f64); 3], amps: [(f64, f64); 3]) -> Load {
    let phasors = |three: [(f64, f64); 3]| three.map(|(size, degrees)| Phasor::polar(size, lag(degrees)).unwrap());
    Load { volts: phasors(volts), amps: phasors(amps) }
}

fn wye_load() -> impl Strategy<Value = Load> {
    let amps = || (0.05..6.0, -60.0..60.0);
    let volts = || (110.0..130.0, -3.0..3.0);
    ([volts(), volts(), volts()], [amps(), amps(), amps()]).prop_map(|(volts, amps)| {
        let at = [0.0, -120.0, 120.0];
        let turn = |three: [(f64, f64); 3], by: [f64; 3]| [0, 1, 2].map(|i| (three[i].0, three[i].1 + by[i]));
        any_load(turn(volts, at), turn(amps, at))
    })
}

fn a_fault() -> impl Strategy<Value = Fault> {
    let line = || prop_oneof![Just(A), Just(B), Just(C)];
    prop_oneof![
        line().prop_map(Fault::CtReversed),
        (line(), line()).prop_map(|(one, other)| Fault::CtSwapped(one, other)),
        (line(), 0.0..2.0).prop_map(|(ct, factor)| Fault::CtRatio { ct, factor }),
        (line(), line()).prop_map(|(ct, line)| Fault::CtWrongLine { ct, line }),
        (line(), 0.0..0.5).prop_map(|(ct, rho)| Fault::CtShortCommon { ct, rho }),
        line().prop_map(Fault::VtReversed),
        (line(), line()).prop_map(|(one, other)| Fault::VtSwapped(one, other)),
        line().prop_map(|lead| Fault::VtOpen { lead, share: None }),
        (0.1..1.0, 0.1..1.0, 0.1..1.0).prop_map(|(a, b, c)| Fault::VtNeutralOpen { coils: [a, b, c] }),
    ]
}

proptest! {
    /// Potentials and currents rolled on together only give every phase another element.
    #[test]
    fn rolling_all_phases_changes_nothing_in_registration(load in wye_load()) {
        for roll in [Roll::Forward, Roll::Back] {
            for service in [&WYE3, &DELTA4] {
                let rolled = registers(service, &[Fault::VtRolled(roll), Fault::CtRolled(roll)], &load);
                prop_assert!(near(rolled, 1.0), "{rolled}");
            }
        }
    }

    #[test]
    fn three_elements_rightly_wired_register_all(load in wye_load()) {
        prop_assert!(near(registers(&WYE3, &[], &load), 1.0));
    }

    /// Exact by Blondel's theorem while the lines' currents add to nothing.
    #[test]
    fn two_elements_register_all_of_a_three_wire_load(load in wye_load()) {
        let [a, _, c] = load.amps;
        let load = Load { amps: [a, -(a + c), c], ..load };
        prop_assume!(load.watts().abs() > 1.0);
        prop_assert!((registers(&DELTA2, &[], &load) - 1.0).abs() < 1e-6);
    }

    /// With the tap in the middle, Va = −Vc: exchanging the two currents is turning both round.
    #[test]
    fn both_outer_cts_of_a_four_wire_delta_reversed_are_like_swapped(load in wye_load(), half in 100.0..130.0) {
        let half = Phasor::polar(half, Angle::ZERO).unwrap();
        let load = Load { volts: [half, load.volts[1], -half], ..load };
        prop_assume!(load.watts().abs() > 1.0);
        for service in [&DELTA4, &DELTA4_2EL] {
            let reversed = registers(service, &[Fault::CtReversed(A), Fault::CtReversed(C)], &load);
            let swapped = registers(service, &[Fault::CtSwapped(A, C)], &load);
            prop_assert!((reversed - swapped).abs() < 1e-9 * (1.0 + reversed.abs()));
        }
    }

    /// Whatever was done, doing an exchange or a reversal twice undoes it.
    #[test]
    fn twice_is_not_at_all(faults in prop::collection::vec(a_fault(), 0..3), load in wye_load()) {
        let seen = Wiring::of(&WYE3, &faults).unwrap().see(&load);
        let again = [Fault::CtSwapped(A, C), Fault::CtSwapped(A, C), Fault::VtSwapped(B, C), Fault::VtSwapped(B, C),
            Fault::CtReversed(B), Fault::CtReversed(B), Fault::VtReversed(A), Fault::VtReversed(A)];
        let twice = Wiring::of(&WYE3, &[&faults[..], &again[..]].concat()).unwrap().see(&load);
        prop_assert_eq!(seen, twice);
    }

    /// The net register does not care where the axis is, and every way of adding lies within the absolute one.
    #[test]
    fn no_way_of_adding_exceeds_the_absolute(faults in prop::collection::vec(a_fault(), 0..3), load in wye_load(), axis in -180.0..180.0) {
        let wiring = Wiring::of(&WYE3, &faults).unwrap();
        let seen = wiring.see(&load);
        let turn = |three: [Phasor; 3]| three.map(|phasor| phasor.turned(lag(axis)));
        let turned = wiring.see(&Load { volts: turn(load.volts), amps: turn(load.amps) });
        prop_assert!((seen.watts() - turned.watts()).abs() < 1e-9 * 3000.0);
        let most = Adding::Absolute.register(&seen).net();
        for adding in Adding::ALL {
            prop_assert!(adding.register(&seen).net().abs() <= most + 1e-9);
        }
    }
}
