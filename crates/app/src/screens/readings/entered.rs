//! What a screen may reckon with: values that are written down, and typed ones once the hand has left them.

use crate::group::GroupState;
use crate::group::layout;
use crate::group::state::{Record, Row, Verdict};
use jobfile::typed::Context;
use jobfile::{Fields, What};

/// How much of a record may be reckoned with.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Entered {
    /// The values that hold.
    pub fields: Fields,
    /// Nothing in the record is wrong, and no input is still under the hand.
    pub settled: bool,
}

/// The record of this kind and place, where anything in it holds.
pub fn entered(group: &GroupState, kind: &str, place: &str, context: &Context) -> Option<Entered> {
    let record = group.records.iter().find(|record| record.kind.id == kind && record.place == place)?;
    of_record(record, context)
}

fn of_record(record: &Record, context: &Context) -> Option<Entered> {
    if let Some(written) = record.written.as_ref().filter(|_| !record.correcting) {
        let what = written
            .fields
            .iter()
            .fold(What::new(record.kind.id, &record.place), |what, (field, value)| what.with(field.id, value.clone()));
        return Some(Entered { fields: what.fields, settled: true });
    }
    if record.is_blank() {
        return None;
    }
    let mut what = What::new(record.kind.id, &record.place);
    let mut settled = true;
    for row in &record.rows {
        match row.verdict(context) {
            Verdict::Blank => {}
            Verdict::Good(value) if is_settled(record, row) => what = what.with(row.field.id, value),
            Verdict::Good(_) | Verdict::Wrong(_) => settled = false,
        }
    }
    Some(Entered { fields: what.fields, settled })
}

/// A text that the hand has left, that was filled in beforehand or by a correction, or a choice: a tap is whole at once.
fn is_settled(record: &Record, row: &Row) -> bool {
    let is_tapped = matches!(row.field.holds, jobfile::kinds::Holds::Choice(_));
    let is_preset = layout::preset(record.kind.id, &record.place, row.field.id) == Some(row.text.as_str());
    row.left || is_tapped || is_preset || is_as_written(record, row)
}

fn is_as_written(record: &Record, row: &Row) -> bool {
    let written =
        record.written.as_ref().and_then(|written| written.fields.iter().find(|(field, _)| field.id == row.field.id));
    written.is_some_and(|(field, value)| jobfile::typed::show_field(field, value) == row.text)
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

    fn group() -> GroupState {
        GroupState::new("t", &[("reading", "as_found/B", false)], context())
    }

    fn typed(group: &mut GroupState, field: &str, text: &str, leave: bool) {
        let row = group.records[0].rows.iter().position(|row| row.field.id == field).unwrap();
        group.update(Msg::Typed(0, row, text.into()), &now());
        if leave {
            group.update(Msg::Left(0, row), &now());
        }
    }

    #[test]
    fn a_number_under_the_hand_does_not_count_yet() {
        let mut group = group();
        assert_eq!(entered(&group, "reading", "as_found/B", &context()), None);
        typed(&mut group, "volts", "118.2", true);
        typed(&mut group, "amps", "2", false);
        let found = entered(&group, "reading", "as_found/B", &context()).unwrap();
        assert_eq!((found.fields.value_text("volts"), found.fields.value_text("amps")), (Some("118.2"), None));
        assert!(!found.settled);
        typed(&mut group, "amps", "2.79", true);
        let found = entered(&group, "reading", "as_found/B", &context()).unwrap();
        assert_eq!(found.fields.value_text("amps"), Some("2.79"));
        assert!(found.settled);
    }

    #[test]
    fn a_wrong_number_unsettles_its_record() {
        let mut group = group();
        typed(&mut group, "volts", "118.2", true);
        typed(&mut group, "amps", "many", true);
        assert!(!entered(&group, "reading", "as_found/B", &context()).unwrap().settled);
    }
}
