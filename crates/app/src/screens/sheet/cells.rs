//! What stands in a row of the sheet, and what an item that is left says.

use crate::speak;
use crate::working::{grouped, shown};
use metering::working::{Shown, Working};
use procedure::close_out::{Cell, RadioLine, Row, Sheet};
use procedure::left::{Item, What};
use procedure::replay::pole_words;

/// A row as it is printed.
#[derive(Clone, Debug, PartialEq)]
pub struct Printed {
    /// Its name.
    pub name: String,
    /// What stands in it.
    pub text: String,
    /// Nothing is known: printed so that the gap is seen.
    pub is_missing: bool,
    /// How a computed number came about.
    pub workings: Vec<Working>,
}

/// The rows of a sheet, without those that nobody was ever asked for.
pub fn printed(sheet: &Sheet) -> Vec<Printed> {
    sheet.rows.iter().map(row).collect()
}

fn row(row: &Row) -> Printed {
    let place = place(&row.place);
    Printed {
        name: words::of_code(&format!("row-{}", row.code), &[("place", &place)]),
        text: cell(&row.value),
        is_missing: matches!(row.value, Cell::Missing { .. } | Cell::NoEnergy(_)),
        workings: workings(&row.value),
    }
}

/// A place of the log, a pole by its full name, or an element.
fn place(place: &str) -> String {
    match words::by_code(&pole_words(place), &[]) {
        Some(pole) => pole,
        None => words::place(place),
    }
}

fn workings(cell: &Cell) -> Vec<Working> {
    match cell {
        Cell::Exact { working, .. } => working.iter().map(|working| (**working).clone()).collect(),
        Cell::Range { workings, .. } => workings.clone(),
        _ => Vec::new(),
    }
}

/// The text of a cell.
pub fn cell(cell: &Cell) -> String {
    match cell {
        Cell::Text(text) => text.clone(),
        Cell::Choice { kind, field, code } => words::choice(kind, field, code),
        Cell::Read { value, unit } => with_unit(value, unit),
        Cell::Exact { value, unit, .. } => with_unit(&shown(&Shown::factor(*value)), unit),
        Cell::Range { value, least, most, unit, .. } => {
            words::value_with_range(&with_unit(&figures(*value), unit), &figures(*least), &figures(*most))
        }
        Cell::NoEnergy(missing) => words::of_code(&format!("call-bypass_{}", missing.code()), &[]),
        Cell::Evidence(source) => words::of_code(&format!("call-power_{}", source.code()), &[]),
        Cell::Time(text) => speak::moment(text),
        Cell::Span { from_ms, until_ms, least_ms, most_ms } => span(*from_ms, *until_ms, *least_ms, *most_ms),
        Cell::Count(count) => count.to_string(),
        Cell::Left(item) => left(item),
        Cell::Missing { .. } => words::not_written_down().to_string(),
    }
}

fn with_unit(value: &str, unit: &str) -> String {
    let value = value.replace('-', "−");
    if unit.is_empty() || unit == "count" { value } else { format!("{value}\u{a0}{unit}") }
}

/// Energy to a tenth below a hundred, else whole: what a bill can use.
fn figures(value: f64) -> String {
    if value.abs() < 100.0 { format!("{value:.1}") } else { grouped(&format!("{value:.0}")) }
}

fn span(from_ms: i64, until_ms: Option<i64>, least_ms: i64, most_ms: i64) -> String {
    match until_ms {
        None => words::clock_still_runs().to_string(),
        Some(until_ms) => words::value_with_range(&length(until_ms - from_ms), &length(least_ms), &length(most_ms)),
    }
}

/// A duration in minutes and seconds.
fn length(lasted_ms: i64) -> String {
    let seconds = lasted_ms.max(0) / 1000;
    words::minutes_short(&(seconds / 60).to_string(), &format!("{:02}", seconds % 60)).replace(' ', "\u{a0}")
}

/// What an item that is left says.
pub fn left(item: &Item) -> String {
    let what = match &item.what {
        What::Itself => String::new(),
        What::Step(step) => words::of_code(&format!("step-{step}"), &[]),
        What::Check(check) => words::of_code(&format!("check-{check}"), &[]),
        What::Act { act, pole } => {
            format!("{} {}", words::choice("act", "act", act), words::choice("act", "pole", pole))
        }
        What::Slot { kind, place } => speak::record(kind, place),
    };
    let facts = [
        ("place", place(&item.place)),
        ("what", what),
        ("by", item.by.clone().unwrap_or_default()),
        ("why", item.why.clone().unwrap_or_default()),
    ];
    let facts: Vec<(&str, &str)> = facts.iter().map(|(name, value)| (*name, value.as_str())).collect();
    words::of_code(&format!("left-{}", item.code), &facts)
}

/// A line for the radio.
pub fn radio(line: &RadioLine) -> String {
    let values: Vec<(&str, String)> = line
        .values
        .iter()
        .map(|(name, cells)| {
            let texts: Vec<String> = cells.iter().map(cell).collect();
            let text = if texts.is_empty() { nothing(name) } else { texts.join("; ") };
            (*name, text)
        })
        .collect();
    let values: Vec<(&str, &str)> = values.iter().map(|(name, text)| (*name, text.as_str())).collect();
    words::of_code(&format!("radio-{}", line.code), &values)
}

/// What is said where there is nothing.
fn nothing(name: &str) -> String {
    if name == "left" { words::nothing_left().to_string() } else { words::not_written_down().to_string() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jobfile::{Fold, JobId, Journal};

    fn empty() -> (Sheet, Vec<RadioLine>) {
        let fold = Fold::of(&Journal::new(JobId::from_bits([1; 16])));
        let now = procedure::Now { at_ms: 0, session: "s".into(), since_start_ms: 0 };
        (procedure::close_out::sheet(&fold, &now), procedure::close_out::radio_lines(&fold, &now))
    }

    #[test]
    fn an_empty_job_has_every_row_with_its_gap_shown() {
        let rows = printed(&empty().0);
        assert!(rows.iter().any(|row| row.is_missing));
        for row in rows {
            assert!(!row.name.contains('{') && !row.name.starts_with("row-"), "{row:?}");
            assert!(!row.text.is_empty(), "{row:?}");
            assert!(!row.text.contains('{'), "{row:?}");
        }
    }

    #[test]
    fn the_radio_reads_ten_lines_without_gaps() {
        let lines: Vec<String> = empty().1.iter().map(radio).collect();
        assert_eq!(lines.len(), 10);
        for line in lines {
            assert!(!line.contains('{') && !line.starts_with("radio-"), "{line}");
        }
    }

    #[test]
    fn energy_is_shown_as_finely_as_a_bill_can_use_it() {
        assert_eq!(figures(30.24), "30.2");
        assert_eq!(figures(638.4), "638");
        assert_eq!(figures(12345.6), "12\u{202f}346");
    }
}
