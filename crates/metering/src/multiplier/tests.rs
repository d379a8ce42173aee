//! Checks of the billing multiplier: every combination of what is inside, and likenesses of a wrong one.

use super::*;
use proptest::prelude::*;

fn ratio(text: &str) -> Ratio {
    Ratio::parse(text).unwrap()
}

fn decimal(text: &str) -> Decimal {
    Decimal::parse(text).unwrap()
}

fn plates(inside: RatiosInside, reads: Reads) -> Plates {
    Plates { inside, reads, ..Plates::secondary_meter(ratio("200:5"), ratio("7200:120")) }
}

fn multipliers(found: &[Candidate]) -> Vec<String> {
    found.iter().map(|one| one.multiplier.to_string()).collect()
}

#[test]
fn what_is_inside_is_not_multiplied_again() {
    use RatiosInside::{Ct, CtAndVt, None, Vt};
    for (inside, reads, expected) in [
        (None, Reads::Secondary, "2400"),
        (None, Reads::Unknown, "2400"),
        (Ct, Reads::Unknown, "60"),
        (Vt, Reads::Unknown, "40"),
        (CtAndVt, Reads::Unknown, "1"),
        (CtAndVt, Reads::Primary, "1"),
        (RatiosInside::Unknown, Reads::Primary, "1"),
        (RatiosInside::Unknown, Reads::Secondary, "2400"),
    ] {
        let Outside::Known(found) = outside(&plates(inside, reads)).unwrap() else { panic!("{inside:?} {reads:?}") };
        assert_eq!(found.multiplier.to_string(), expected, "{inside:?} {reads:?}");
        assert_eq!(found.working.result, Shown::factor(found.multiplier));
    }
}

#[test]
fn nobody_looked_gives_every_multiplier_and_no_guess() {
    let Outside::Undecided(found) = outside(&plates(RatiosInside::Unknown, Reads::Unknown)).unwrap() else { panic!() };
    assert_eq!(multipliers(&found), ["2400", "60", "40", "1"]);
}

#[test]
fn a_program_and_a_display_that_disagree_are_both_told() {
    for (inside, reads, program, display) in [
        (RatiosInside::None, Reads::Primary, "2400", "1"),
        (RatiosInside::CtAndVt, Reads::Secondary, "1", "2400"),
        (RatiosInside::Ct, Reads::Primary, "60", "1"),
    ] {
        let Outside::Contradiction { by_program, by_display } = outside(&plates(inside, reads)).unwrap() else {
            panic!()
        };
        assert_eq!(
            (multipliers(&by_program), multipliers(&by_display)),
            (vec![program.to_owned()], vec![display.to_owned()])
        );
    }
}

#[test]
fn without_a_vt_the_ct_ratio_alone_makes_a_primary_register() {
    let site = Plates {
        inside: RatiosInside::Ct,
        reads: Reads::Primary,
        ..Plates::secondary_meter(ratio("400:5"), Ratio::ONE)
    };
    assert!(matches!(outside(&site), Ok(Outside::Known(found)) if found.multiplier == Factor::ONE));
    let unknown = Plates { inside: RatiosInside::Unknown, reads: Reads::Unknown, ..site };
    let Outside::Undecided(found) = outside(&unknown).unwrap() else { panic!() };
    assert_eq!(multipliers(&found), ["80", "1"]);
}

#[test]
fn a_ratio_programmed_other_than_stamped_leaves_the_quotient_outside() {
    let site = Plates {
        inside: RatiosInside::CtAndVt,
        inside_ct: Some(ratio("400:5")),
        reads: Reads::Primary,
        ..Plates::secondary_meter(ratio("600:5"), ratio("7200:120"))
    };
    assert!(matches!(outside(&site), Ok(Outside::Known(found)) if found.multiplier.to_string() == "3/2"));
}

#[test]
fn the_register_constant_stays_outside_whatever_is_inside() {
    let site = Plates { register_constant: decimal("10"), ..plates(RatiosInside::CtAndVt, Reads::Primary) };
    assert!(matches!(outside(&site), Ok(Outside::Known(found)) if found.multiplier.to_string() == "10"));
    for bad in ["0", "-1"] {
        let site = Plates { register_constant: decimal(bad), ..site };
        assert_eq!(outside(&site), Err(MultiplierError::NotPositive { symbol: "Kr" }));
    }
}

/// Source: Kh 1.8 × 80 and 1.2 × 40 × 60, own arithmetic.
#[test]
fn a_primary_disk_constant_is_the_secondary_one_times_the_ratios() {
    assert_eq!(primary_kh(decimal("1.8"), ratio("400:5"), Ratio::ONE).unwrap().0.to_string(), "144");
    assert_eq!(primary_kh(decimal("1.2"), ratio("200:5"), ratio("7200:120")).unwrap().0.to_string(), "2880");
}

/// Source: MO-221 names multipliers miscalculated as one of four kinds of trouble; the rows are own arithmetic.
#[test]
fn a_wrong_multiplier_on_record_shows_what_went_wrong() {
    use LooksLike::{AppliedTwice, Other, PowerOfTen, RootOfThree, Rounded, Same, WithoutBoth, WithoutCt, WithoutVt};
    let site = plates(RatiosInside::None, Reads::Secondary);
    for (on_record, looks_like) in [
        ("2400", Same),
        ("2401", Rounded),
        ("5760000", AppliedTwice),
        ("60", WithoutCt),
        ("40", WithoutVt),
        ("1", WithoutBoth),
        ("4156.9", RootOfThree),
        ("1385.6", RootOfThree),
        ("24000", PowerOfTen),
        ("2.4", PowerOfTen),
        ("3600", Other),
    ] {
        let found = against_record(decimal(on_record), &site, Factor::from(Rational::whole(2400))).unwrap();
        assert_eq!(found.looks_like, looks_like, "{on_record}");
    }
    let zero = against_record(Decimal::ZERO, &site, Factor::ONE);
    assert_eq!(zero, Err(MultiplierError::NotPositive { symbol: "M_record" }));
}

fn any_ratio() -> impl Strategy<Value = Ratio> {
    (1_i64..100_000, 1_i64..1000, -1_i64..=1).prop_map(|(primary, secondary, power)| {
        let side = |number, power| crate::ratio::Rated::from_parts([number, 1, power]).unwrap();
        Ratio::new(side(primary, power.min(0)), side(secondary, -power.max(0))).unwrap()
    })
}

proptest! {
    #[test]
    fn inside_times_outside_is_the_whole(ct in any_ratio(), vt in any_ratio()) {
        let whole = transformer_factor(ct, vt).unwrap().0;
        for (inside, contained) in [
            (RatiosInside::None, Factor::ONE),
            (RatiosInside::Ct, ct.quotient()),
            (RatiosInside::Vt, vt.quotient()),
            (RatiosInside::CtAndVt, whole),
        ] {
            let plates = Plates { inside, reads: Reads::Unknown, ..Plates::secondary_meter(ct, vt) };
            let Outside::Known(found) = outside(&plates).unwrap() else { panic!("{inside:?}") };
            prop_assert_eq!(found.multiplier.times(contained), Ok(whole));
        }
    }
}
