//! Checks `metering` against examples printed elsewhere; rows and their provenance stand in `tests/published`.

#![expect(clippy::unwrap_used, clippy::panic, reason = "a row that cannot be read must fail its test, in helpers too")]

use metering::decimal::Decimal;
use metering::factor::Factor;
use metering::multiplier::transformer_factor;
use metering::quantity::{Amps, Volts};
use metering::ratio::Ratio;
use metering::rational::Rational;
use metering::register::timed_power_kw;

/// The rows below the heading, each cut at its commas.
fn rows<'a>(text: &'a str, heading: &str) -> Vec<Vec<&'a str>> {
    let mut lines = text.lines();
    assert_eq!(lines.next(), Some(heading));
    let rows: Vec<Vec<&str>> = lines.map(|line| line.split(',').collect()).collect();
    assert!(!rows.is_empty());
    rows
}

fn decimal(text: &str) -> Decimal {
    Decimal::parse(text).unwrap()
}

fn ratio(text: &str) -> Ratio {
    if text.is_empty() { Ratio::ONE } else { Ratio::parse(text).unwrap() }
}

fn check_ratios(text: &str) {
    for row in rows(text, "what,ct,vt,result") {
        let [what, ct, vt, result] = row[..] else { panic!("{row:?}") };
        let (ct, vt) = (ratio(ct), ratio(vt));
        let computed = match what {
            "ct_ratio" => ct.quotient(),
            "vt_ratio" => vt.quotient(),
            "transformer_factor" => transformer_factor(ct, vt).unwrap().0,
            other => panic!("{other}: not known"),
        };
        assert_eq!(computed.to_string(), result, "{row:?}");
    }
}

/// Source: NAVFAC MO-221; see `tests/published/navfac_mo_221/PROVENANCE.md`.
#[test]
fn transformer_factors_agree_with_navfac_mo_221() {
    check_ratios(include_str!("published/navfac_mo_221/ratios.csv"));
}

/// Source: a metering glossary; see `tests/published/metering_glossary/PROVENANCE.md`.
#[test]
fn ratios_agree_with_a_metering_glossary() {
    check_ratios(include_str!("published/metering_glossary/ratios.csv"));
}

/// Source: Scilab textbook companion, book 2384; see `tests/published/scilab_companion_2384/PROVENANCE.md`. The error is
/// printed with two decimals, so it is compared to half a hundredth.
#[test]
fn timed_disks_agree_with_the_scilab_companion() {
    let heading = "example,turns_per_kwh,volts,amps,turns,seconds,error_percent";
    for row in rows(include_str!("published/scilab_companion_2384/disk_timing.csv"), heading) {
        let [example, turns_per_kwh, volts, amps, turns, seconds, error_percent] = row[..] else { panic!("{row:?}") };
        let kh_wh = Rational::whole(1000).over(decimal(turns_per_kwh).to_rational()).unwrap().to_decimal(9).unwrap();
        let turns: u32 = turns.parse().unwrap();
        let (registered_kw, _) = timed_power_kw(kh_wh, turns, decimal(seconds), Factor::ONE).unwrap();
        let of = |text: &str| decimal(text).to_f64();
        // Power factor 1: watts are volt-amperes.
        let true_kw = (Volts::new(of(volts)).unwrap() * Amps::new(of(amps)).unwrap()).get() / 1000.0;
        let error = (registered_kw.to_f64() / true_kw - 1.0) * 100.0;
        assert!((error - of(error_percent)).abs() <= 0.005, "example {example}: {error} %");
    }
}
