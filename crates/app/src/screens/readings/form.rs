//! The two groups of a set of readings: how they are taken, and the table of numbers.

use super::save::At;
use crate::group::GroupState;
use crate::group::layout;
use crate::group::state::Record;
use crate::route::Taken;
use jobfile::sorting::sort_by_key;
use jobfile::typed::Context;
use metering::decimal::Decimal;

/// The three elements, as places name them.
pub const ELEMENTS: [&str; 3] = ["A", "B", "C"];
/// Columns as a hand reads them: each number with its angle.
const COLUMNS: [&str; 4] = ["volts", "volt_angle", "amps", "amp_angle"];

/// The place of an element’s reading.
pub fn place(taken: Taken, element: &str) -> String {
    format!("{}/{element}", taken.code())
}

/// One set of readings: how it is taken, then the table of numbers. Written down together, as one action.
pub fn group(job: &str, taken: Taken, context: Context) -> GroupState {
    let places = ELEMENTS.map(|element| place(taken, element));
    let mut records = vec![("reading_set", taken.code(), true)];
    records.extend(places.iter().map(|place| ("reading", place.as_str(), false)));
    let mut group = GroupState::new(format!("{job}.readings.{}", taken.code()), &records, context);
    for record in group.records.iter_mut().filter(|record| record.kind.id == "reading") {
        sort_by_key(&mut record.rows, |row| COLUMNS.iter().position(|column| *column == row.field.id));
    }
    group
}

/// The next cell of the table: volts and amps of every element; angles once anybody reads angles, and none where no current flows.
pub fn wants(group: &GroupState) -> Option<At> {
    let readings = || group.records.iter().enumerate().filter(|(_, record)| record.kind.id == "reading");
    if !readings().any(|(_, record)| record.is_open() && !record.is_blank()) {
        return readings().find(|(_, record)| record.is_open()).map(|(at, _)| (at, "volts"));
    }
    let reads_angles = readings().any(|(_, record)| has_angle(record));
    readings().filter(|(_, record)| record.is_open() && !record.correcting).find_map(|(at, record)| {
        let blank = record.rows.iter().find(|row| {
            let is_angle = row.field.id.ends_with("_angle");
            let is_void = row.field.id == "amp_angle" && has_no_current(record);
            row.text.trim().is_empty() && (!is_angle || reads_angles) && !is_void
        });
        blank.map(|row| (at, row.field.id))
    })
}

fn has_angle(record: &Record) -> bool {
    record.rows.iter().any(|row| {
        let preset = layout::preset(record.kind.id, &record.place, row.field.id);
        row.field.id.ends_with("_angle") && !row.text.trim().is_empty() && preset != Some(row.text.as_str())
    })
}

/// Without current there is no angle to read.
fn has_no_current(record: &Record) -> bool {
    let amps = record.rows.iter().find(|row| row.field.id == "amps");
    amps.and_then(|row| Decimal::parse(&row.text.trim().replace(',', ".")).ok())
        .is_some_and(|amps| amps.to_f64() < metering::reading::LEAST_AMPS_FOR_ANGLE)
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

    fn typed(group: &mut GroupState, record: usize, texts: &[(&str, &str)]) {
        for (field, text) in texts {
            let row = group.records[record].rows.iter().position(|row| row.field.id == *field).unwrap();
            group.update(Msg::Typed(record, row, (*text).into()), &now());
        }
    }

    #[test]
    fn the_button_goes_through_the_table_and_asks_for_angles_once_one_was_read() {
        let mut group = group("j", Taken::AsFound, crate::group::state::context_at(&now()));
        let columns: Vec<&str> = group.records[1].rows.iter().map(|row| row.field.id).collect();
        assert_eq!(columns, COLUMNS);
        assert_eq!(wants(&group), Some((1, "volts")));
        typed(&mut group, 1, &[("volts", "118.2")]);
        assert_eq!(wants(&group), Some((1, "amps")));
        typed(&mut group, 1, &[("amps", "2.86")]);
        assert_eq!(wants(&group), Some((2, "volts")), "no angle so far: none is asked for");
        typed(&mut group, 1, &[("amp_angle", "22")]);
        typed(&mut group, 2, &[("volts", "118"), ("volt_angle", "120"), ("amps", "0")]);
        assert_eq!(wants(&group), Some((3, "volts")), "0 A has no angle");
        typed(&mut group, 3, &[("volts", "118"), ("volt_angle", "240"), ("amps", "2.9")]);
        assert_eq!(wants(&group), Some((3, "amp_angle")));
        typed(&mut group, 3, &[("amp_angle", "264")]);
        assert_eq!(wants(&group), None);
    }
}
