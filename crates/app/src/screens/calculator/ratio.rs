//! Ratio and multiplier: what the plates and the meter say, and what is left to multiply by outside the meter.

use crate::group::{GroupState, state::Verdict};
use jobfile::typed::Context;
use jobfile::{Fields, What};
use metering::decimal::Decimal;
use metering::factor::Factor;
use metering::multiplier::{self, MultiplierError, Outside, Plates, RatiosInside, Reads};
use metering::ratio::Ratio;
use metering::working::Working;

/// The records of the page, with the fields it asks for.
pub fn group(context: Context) -> GroupState {
    let records = [("ct_plate", "found/A", true), ("vt_plate", "found/A", false), ("meter_plate", "outgoing", true)];
    GroupState::new("calculator.ratio", &records, context)
        .titled("ct_plate", words::ct())
        .titled("vt_plate", words::vt())
        .titled("meter_plate", words::meter())
        .only("ct_plate", &["ratio", "turns"])
        .only("vt_plate", &["ratio"])
        .only("meter_plate", &["ratios_inside", "inside_ct", "inside_vt", "display", "register_constant", "kh"])
}

/// What the plates give.
#[derive(Clone, Debug)]
pub struct Found {
    /// The multiplier, or the several that the facts allow.
    pub outside: Outside,
    /// The primary watt-hour constant, where Kh is known.
    pub primary_kh: Option<(Factor, Working)>,
}

/// What the page says.
#[derive(Clone, Debug)]
pub enum Answer {
    /// The CT ratio is not there yet.
    Waiting,
    /// The arithmetic has no result: its code.
    Cannot(&'static str),
    /// What the plates give.
    Multiplier(Box<Found>),
}

/// The answer to what is typed.
pub fn answer(group: &GroupState, context: &Context) -> Answer {
    let fields = |kind: &str| fields_of(group, kind, context);
    let (ct, vt, meter) = (fields("ct_plate"), fields("vt_plate"), fields("meter_plate"));
    let Some(ct_plate) = ct.ratio("ratio") else { return Answer::Waiting };
    let Ok(ct) = ct_plate.with_turns(ct.count("turns").unwrap_or(1)) else { return Answer::Cannot("turns") };
    let vt = vt.ratio("ratio").unwrap_or(Ratio::ONE);
    let plates = Plates {
        register_constant: meter.decimal("register_constant").unwrap_or(Decimal::whole(1)),
        inside: RatiosInside::from_code(meter.choice("ratios_inside")),
        inside_ct: meter.ratio("inside_ct"),
        inside_vt: meter.ratio("inside_vt"),
        reads: Reads::from_code(meter.choice("display")),
        ..Plates::secondary_meter(ct, vt)
    };
    let kh = meter.decimal("kh").and_then(|kh| multiplier::primary_kh(kh, ct, vt).ok());
    match multiplier::outside(&plates) {
        Ok(outside) => Answer::Multiplier(Box::new(Found { outside, primary_kh: kh })),
        Err(MultiplierError::Exact(_)) => Answer::Cannot("too_long"),
        Err(_) => Answer::Cannot("constant"),
    }
}

fn fields_of(group: &GroupState, kind: &str, context: &Context) -> Fields {
    let mut what = What::new(kind, "");
    for row in group.records.iter().filter(|record| record.kind.id == kind).flat_map(|record| &record.rows) {
        if let Verdict::Good(value) = row.verdict(context) {
            what = what.with(row.field.id, value);
        }
    }
    what.fields
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::group::Msg;
    use crate::machine::{Machine, Now};

    fn now() -> Now {
        let at = jobfile::moment::read_time("2026-06-12T10:00:00+02:00").unwrap();
        Now { at, since_start_ms: 0, session: "s".into() }
    }

    fn context() -> Context {
        crate::group::state::context_at(&now())
    }

    fn typed(texts: &[(usize, &str, &str)]) -> Answer {
        let mut group = group(context());
        for (record, field, text) in texts {
            let row = group.records[*record].rows.iter().position(|row| row.field.id == *field).unwrap();
            group.update(Msg::Typed(*record, row, (*text).into()), &now());
        }
        answer(&group, &context())
    }

    fn known(answer: &Answer) -> String {
        match answer {
            Answer::Multiplier(found) => match &found.outside {
                Outside::Known(candidate) => candidate.multiplier.to_string(),
                other => panic!("not one multiplier: {other:?}"),
            },
            other => panic!("no multiplier: {other:?}"),
        }
    }

    #[test]
    fn plates_give_the_multiplier_and_nothing_is_multiplied_twice() {
        let secondary = [
            (0, "ratio", "200:5"),
            (1, "ratio", "8400:120"),
            (2, "ratios_inside", "none"),
            (2, "display", "secondary"),
        ];
        assert_eq!(known(&typed(&secondary)), "2800");
        let inside = [
            (0, "ratio", "200:5"),
            (1, "ratio", "8400:120"),
            (2, "ratios_inside", "ct_and_vt"),
            (2, "display", "primary"),
        ];
        assert_eq!(known(&typed(&inside)), "1");
        let turns =
            [(0, "ratio", "200:5"), (0, "turns", "2"), (2, "ratios_inside", "none"), (2, "display", "secondary")];
        assert_eq!(known(&typed(&turns)), "20");
    }

    #[test]
    fn a_meter_nobody_looked_at_leaves_it_undecided() {
        let answer = typed(&[(0, "ratio", "200:5"), (1, "ratio", "8400:120")]);
        let Answer::Multiplier(found) = answer else { panic!("{answer:?}") };
        assert!(matches!(found.outside, Outside::Undecided(_)) && found.primary_kh.is_none(), "{found:?}");
    }

    #[test]
    fn nothing_typed_waits() {
        assert!(matches!(typed(&[]), Answer::Waiting));
        assert!(matches!(typed(&[(1, "ratio", "8400:120")]), Answer::Waiting));
    }
}
