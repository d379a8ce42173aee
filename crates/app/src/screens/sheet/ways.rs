//! Where a thing that is left before you lock is put right.

use crate::route::{Part, Taken};
use procedure::left::{Item, What};
use procedure::steps;

/// The part of the job where an item is settled; none where nothing is to be done any more.
pub fn way(item: &Item) -> Option<Part> {
    Some(match item.code {
        "final_read_missing" | "start_read_missing" => Part::Reads,
        "seal_missing" => Part::Seals,
        "multiplier_differs" => Part::Plates,
        "bypass_unknown" => Part::Readings(Taken::AsFound),
        "happened" | "act_refused" => Part::Log,
        // These are told for the record; the signature stands on the sheet itself.
        "inspection_owed" | "not_signed" => return None,
        _ => match &item.what {
            What::Step(step) => Part::Step((*step).to_string()),
            What::Check(check) => Part::Step(step_of_check(check)?.to_string()),
            What::Slot { kind, place } => of_slot(kind, place),
            // The switch and the meter stand otherwise than they should: the step that is due says what hands do next.
            What::Itself | What::Act { .. } => Part::Steps,
        },
    })
}

fn step_of_check(check: &str) -> Option<&'static str> {
    steps::METER_CHANGE.iter().find(|step| step.checks.contains(&check)).map(|step| step.id)
}

/// The screen that shows both values of a slot.
fn of_slot(kind: &str, place: &str) -> Part {
    match kind {
        "ct_plate" | "vt_plate" | "meter_plate" | "on_record" => Part::Plates,
        "reading" | "reading_set" if place.starts_with("as_left") => Part::Readings(Taken::AsLeft),
        "reading" | "reading_set" => Part::Readings(Taken::AsFound),
        "register" | "read_set" => Part::Reads,
        "seal" => Part::Seals,
        _ => Part::Log,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use procedure::left::{LEFT_CODES, Weight};

    #[test]
    fn whatever_stops_has_a_way() {
        for code in LEFT_CODES {
            let what = match *code {
                "check_open" | "override" => What::Check("all_to_meter"),
                "step_open" | "step_left_open" => What::Step("seals"),
                "conflict" => What::Slot { kind: "register".into(), place: "outgoing/final/kwh_delivered".into() },
                _ => What::Itself,
            };
            let item = Item { code, weight: Weight::Stops, place: String::new(), what, by: None, why: None };
            assert_eq!(way(&item).is_none(), ["inspection_owed", "not_signed"].contains(code), "{code}");
        }
    }

    #[test]
    fn every_check_belongs_to_a_step() {
        for step in steps::METER_CHANGE {
            for check in step.checks {
                assert!(step_of_check(check).is_some(), "{check}");
            }
        }
        assert_eq!(step_of_check("all_to_meter"), Some("close_out"));
    }
}
