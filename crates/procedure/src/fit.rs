//! Whether the incoming meter may stand in for the outgoing one, from the plates written down.

use crate::billing::{self, ratio};
use crate::facts::{ELEMENTS, Facts};
use jobfile::Fold;
use metering::decimal::Decimal;
use metering::meter::forms::Elements;
use metering::meter::{Adds, Demand, Line, Plate, Site, Verdict, fit as compare};
use metering::multiplier::{RatiosInside, Reads};
use metering::quantity::Volts;

/// Conductors of a 4-wire wye service.
const WIRES: u8 = 4;

/// Outgoing and incoming meter compared line by line, for this site.
pub fn fit(fold: &Fold) -> Vec<Line> {
    lines(&Facts::new(fold))
}

/// Codes of every reason why the incoming meter must not be fitted.
pub(crate) fn must_not(facts: &Facts) -> Vec<&'static str> {
    let reason = |line: Line| match line.verdict {
        Verdict::MustNot(reason) => Some(reason.code()),
        Verdict::Same | Verdict::MayDiffer(_) => None,
    };
    lines(facts).into_iter().filter_map(reason).collect()
}

fn lines(facts: &Facts) -> Vec<Line> {
    compare(&plate(facts, "outgoing"), &plate(facts, "incoming"), &site(facts))
}

fn plate(facts: &Facts, meter: &str) -> Plate {
    let Some(row) = facts.one("meter_plate", meter) else { return Plate::default() };
    Plate {
        form: row.text("form").map(str::to_owned),
        class_amps: row.decimal("class_amps"),
        volts_least: row.decimal("volts_least"),
        volts_most: row.decimal("volts_most"),
        elements: row.text("elements").and_then(Elements::from_code),
        adds: row.text("adds").and_then(Adds::from_code),
        ratios_inside: row.text("ratios_inside").map(|code| RatiosInside::from_code(Some(code))),
        inside_ct: ratio(&row, "inside_ct"),
        inside_vt: ratio(&row, "inside_vt"),
        display: row.text("display").map(|code| Reads::from_code(Some(code))),
        kh_wh: row.decimal("kh"),
        register_constant: row.decimal("register_constant"),
        pulse_wh: row.decimal("pulse_energy"),
        digits: row.fields().count("digits"),
        decimals: row.fields().count("decimals"),
        demand: row.text("demand").and_then(Demand::from_code),
        interval_minutes: row.fields().count("interval_minutes"),
    }
}

fn site(facts: &Facts) -> Site {
    let has = |kind: &str| !facts.each(kind).is_empty();
    let (ct, vt) = billing::ratios(facts);
    let found: Vec<f64> = facts.readings("as_found", "volts").into_iter().flatten().collect();
    let mean = (!found.is_empty()).then(|| found.iter().sum::<f64>() / found.len() as f64);
    Site {
        has_transformers: has("ct_plate") || has("vt_plate"),
        wires: WIRES,
        expected_volts: mean.and_then(|volts| Volts::new(volts).ok()),
        ct_most_amps: ct_most_amps(facts),
        ct,
        vt,
        multiplier: facts.one("on_record", "").and_then(|row| row.decimal("multiplier")),
    }
}

/// Rated secondary amperes × rating factor, the largest of the three; 1 where no rating factor is stamped.
fn ct_most_amps(facts: &Facts) -> Option<Decimal> {
    let most = |element: &str| {
        let row = facts.one("ct_plate", &format!("found/{element}"))?;
        let rated = match ratio(&row, "ratio")?.secondary().parts()? {
            [amps, 1, 0] => Decimal::whole(amps),
            _ => return None,
        };
        rated.times(row.decimal("rating_factor").unwrap_or_else(|| Decimal::whole(1)))
    };
    ELEMENTS.iter().filter_map(|element| most(element)).max()
}
