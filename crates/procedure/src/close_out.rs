//! The close-out sheet as data, in billing's order, and the ten lines that are read over the radio.

use crate::billing::{self, Peak, PlateTrouble};
use crate::clocks;
use crate::facts::{Facts, Row as Entry};
use crate::left::{self, Item, Weight};
use crate::now::Now;
use crate::power::Source;
use jobfile::Fold;
use jobfile::kinds::ENERGY_UNITS;
use metering::factor::Factor;
use metering::working::Working;

/// Codes of all rows, in the order of the sheet, for the proof that each has a sentence.
pub const ROW_CODES: &[&str] = &[
    "account",
    "service_point",
    "address",
    "reason",
    "outgoing_number",
    "incoming_number",
    "read_out",
    "difference_out",
    "read_kind_out",
    "intervals",
    "read_in",
    "read_kind_in",
    "multiplier_record",
    "multiplier_old",
    "multiplier_place_old",
    "multiplier_new",
    "multiplier_place_new",
    "effective",
    "peak_out",
    "peak_survives",
    "reset_at",
    "reset_count",
    "pulse_constant_old",
    "pulse_constant_new",
    "bypassed_energy",
    "bypassed_time",
    "bypassed_evidence",
    "seals_found",
    "seals_left",
    "exception",
    "technician",
    "approver",
];

/// The sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// Rows in billing's order; a code may come several times, once for each place.
    pub rows: Vec<Row>,
}

/// One row; its name is `row-<code>`.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Stable code.
    pub code: &'static str,
    /// Register, element or seal position; empty where there is one row only.
    pub place: String,
    /// What stands in it.
    pub value: Cell,
}

/// What stands in a row.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// Text as a person wrote it.
    Text(String),
    /// A code of a choice: `choice-<kind>-<field>-<code>`.
    Choice {
        /// Kind of the entry.
        kind: &'static str,
        /// Its field.
        field: &'static str,
        /// The code.
        code: String,
    },
    /// A number as read, with the digits of the reading.
    Read {
        /// Canonical text.
        value: String,
        /// Unit.
        unit: String,
    },
    /// An exact number that was computed.
    Exact {
        /// The number.
        value: Factor,
        /// Unit; empty for a pure number.
        unit: String,
        /// How it came about, where there is a working.
        working: Option<Box<Working>>,
    },
    /// A computed number with its range.
    Range {
        /// Best value.
        value: f64,
        /// At least.
        least: f64,
        /// At most.
        most: f64,
        /// Unit.
        unit: &'static str,
        /// How it came about, one for each element.
        workings: Vec<Working>,
    },
    /// Why there is no bypassed energy.
    NoEnergy(clocks::Missing),
    /// What a power rests on.
    Evidence(Source),
    /// A moment, RFC 3339 with offset, as stored.
    Time(String),
    /// A span between two moments, in milliseconds since 1970-01-01 UTC; no end while it still runs.
    Span {
        /// From.
        from_ms: i64,
        /// Until.
        until_ms: Option<i64>,
        /// At least so long, in milliseconds.
        least_ms: i64,
        /// At most so long, in milliseconds.
        most_ms: i64,
    },
    /// A whole number.
    Count(u32),
    /// Something that is left, with its own sentence.
    Left(Item),
    /// Not known: what is missing, as a kind and place of the log.
    Missing {
        /// Kind; empty when the value itself was simply never asked for.
        kind: &'static str,
        /// Place.
        place: String,
    },
}

/// One line to read over the radio; its sentence is `radio-<code>`.
#[derive(Clone, Debug, PartialEq)]
pub struct RadioLine {
    /// Stable code.
    pub code: &'static str,
    /// Values by the sentence's variables.
    pub values: Vec<(&'static str, Vec<Cell>)>,
}

/// Codes of the ten lines.
pub const RADIO_CODES: &[&str] =
    &["site", "meters", "time", "reads_out", "reads_in", "multiplier", "peak", "bypassed", "seals", "state"];

/// The sheet of a job.
pub fn sheet(fold: &Fold, now: &Now) -> Sheet {
    let writer = Writer { facts: Facts::new(fold) };
    let left = left::left(fold, now);
    let mut rows = writer.customer();
    rows.extend(writer.reads());
    rows.extend(writer.multipliers());
    rows.extend(writer.peaks());
    rows.extend(writer.bypassed(fold, now));
    rows.extend(writer.seals());
    // What stands undone or was overridden is an exception that billing and the supervisor read.
    rows.extend(
        left.into_iter().filter(|item| item.code != "not_signed").map(|item| row("exception", Cell::Left(item))),
    );
    rows.push(writer.text("technician", "crew", "", "technician"));
    rows.push(writer.text("approver", "signed", "", "approver"));
    Sheet { rows }
}

/// The ten lines of a job.
pub fn radio_lines(fold: &Fold, now: &Now) -> Vec<RadioLine> {
    let sheet = sheet(fold, now);
    let facts = Facts::new(fold);
    let of = |code: &str| sheet.cells(code);
    let site = facts.one("job", "").and_then(|row| row.text("site")).map(|text| Cell::Text(text.to_owned()));
    let state = left::left(fold, now).into_iter().filter(|item| item.weight >= Weight::Open).map(Cell::Left).collect();
    let lines = [
        ("site", vec![("site", site.into_iter().collect()), ("service_point", of("service_point"))]),
        ("meters", vec![("outgoing", of("outgoing_number")), ("incoming", of("incoming_number"))]),
        ("time", vec![("at", of("effective"))]),
        ("reads_out", vec![("reads", of("read_out"))]),
        ("reads_in", vec![("reads", of("read_in"))]),
        ("multiplier", vec![("old", of("multiplier_old")), ("new", of("multiplier_new"))]),
        ("peak", vec![("peak", of("peak_survives"))]),
        ("bypassed", vec![("energy", of("bypassed_energy"))]),
        ("seals", vec![("seals", of("seals_left"))]),
        ("state", vec![("left", state)]),
    ];
    lines.into_iter().map(|(code, values)| RadioLine { code, values }).collect()
}

impl Sheet {
    /// Everything that stands under a code.
    pub fn cells(&self, code: &str) -> Vec<Cell> {
        self.rows.iter().filter(|row| row.code == code).map(|row| row.value.clone()).collect()
    }
}

fn row(code: &'static str, value: Cell) -> Row {
    Row { code, place: String::new(), value }
}

fn row_at(code: &'static str, place: &str, value: Cell) -> Row {
    Row { code, place: place.to_owned(), value }
}

fn missing(kind: &'static str, place: &str) -> Cell {
    Cell::Missing { kind, place: place.to_owned() }
}

struct Writer<'a> {
    facts: Facts<'a>,
}

impl Writer<'_> {
    fn cell(&self, kind: &'static str, place: &str, make: impl Fn(&Entry) -> Option<Cell>) -> Cell {
        self.facts.one(kind, place).and_then(|entry| make(&entry)).unwrap_or_else(|| missing(kind, place))
    }

    fn text(&self, code: &'static str, kind: &'static str, place: &str, field: &str) -> Row {
        row(code, self.cell(kind, place, |entry| Some(Cell::Text(entry.text(field)?.to_owned()))))
    }

    fn choice(&self, code: &'static str, kind: &'static str, place: &str, field: &'static str) -> Row {
        row(
            code,
            self.cell(kind, place, |entry| Some(Cell::Choice { kind, field, code: entry.text(field)?.to_owned() })),
        )
    }

    fn read(&self, code: &'static str, kind: &'static str, place: &str, field: &str) -> Row {
        row(code, self.cell(kind, place, |entry| as_read(entry, field)))
    }

    fn customer(&self) -> Vec<Row> {
        vec![
            self.text("account", "site", "", "account"),
            self.text("service_point", "site", "", "service_point"),
            self.text("address", "site", "", "address"),
            self.text("reason", "on_record", "", "reason"),
            self.text("outgoing_number", "meter_plate", "outgoing", "number"),
            self.text("incoming_number", "meter_plate", "incoming", "number"),
        ]
    }

    fn reads(&self) -> Vec<Row> {
        let mut rows = self.registers("read_out", "outgoing/final");
        for (code, entry) in self.facts.registers("outgoing/final") {
            let unit = entry.text("unit").unwrap_or_default().to_owned();
            // A peak does not move on: what it was and what it is are two facts, and their difference is none.
            if !ENERGY_UNITS.contains(&unit.as_str()) {
                continue;
            }
            if let Some(Ok(advance)) = billing::advance(&self.facts, "outgoing/early", "outgoing/final", code) {
                let value = Factor::from(advance.units);
                rows.push(row_at(
                    "difference_out",
                    code,
                    Cell::Exact { value, unit, working: Some(Box::new(advance.working)) },
                ));
            }
        }
        rows.push(self.choice("read_kind_out", "read_set", "outgoing/final", "estimated"));
        rows.push(self.choice("intervals", "read_set", "outgoing/final", "intervals"));
        rows.extend(self.registers("read_in", "incoming/start"));
        rows.push(self.choice("read_kind_in", "read_set", "incoming/start", "estimated"));
        rows
    }

    fn registers(&self, code: &'static str, place: &'static str) -> Vec<Row> {
        let registers = self.facts.registers(place);
        if registers.is_empty() {
            return vec![row(code, missing("register", place))];
        }
        let value = |entry: &Entry| {
            let unit = entry.text("unit").unwrap_or_default().to_owned();
            entry
                .fields()
                .value_text("value")
                .map_or_else(|| missing("register", place), |value| Cell::Read { value: value.to_owned(), unit })
        };
        registers.iter().map(|(register, entry)| row_at(code, register, value(entry))).collect()
    }

    fn multipliers(&self) -> Vec<Row> {
        vec![
            self.read("multiplier_record", "on_record", "", "multiplier"),
            row("multiplier_old", self.multiplier("outgoing")),
            self.choice("multiplier_place_old", "meter_plate", "outgoing", "ratios_inside"),
            row("multiplier_new", self.multiplier("incoming")),
            self.choice("multiplier_place_new", "meter_plate", "incoming", "ratios_inside"),
            row("effective", self.cell("signed", "", |entry| time(entry, "effective"))),
        ]
    }

    fn multiplier(&self, meter: &str) -> Cell {
        match billing::multiplier(&self.facts, meter) {
            Ok(found) => {
                Cell::Exact { value: found.multiplier, unit: String::new(), working: Some(Box::new(found.working)) }
            }
            Err(PlateTrouble::Missing { kind, place }) => Cell::Missing { kind, place },
            Err(PlateTrouble::Unlike { kind }) => missing(kind, "found"),
            Err(PlateTrouble::Tap { place }) => Cell::Missing { kind: "ct_plate", place: format!("found/{place}") },
            Err(PlateTrouble::Undecided(_) | PlateTrouble::Arithmetic(_)) => missing("meter_plate", meter),
        }
    }

    fn peaks(&self) -> Vec<Row> {
        let cell = |peak: &Peak| Cell::Exact { value: peak.primary, unit: peak.unit.clone(), working: None };
        let out = billing::peaks(&self.facts).into_iter().filter(|peak| peak.meter == "outgoing");
        let mut rows: Vec<Row> = out.map(|peak| row_at("peak_out", &peak.register, cell(&peak))).collect();
        rows.extend(
            billing::surviving_peaks(&self.facts)
                .iter()
                .map(|peak| row_at("peak_survives", &peak.register, cell(peak))),
        );
        rows.push(row("reset_at", self.cell("after", "", |entry| time(entry, "reset_at"))));
        rows.push(row(
            "reset_count",
            self.cell("after", "", |entry| entry.fields().count("reset_count").map(Cell::Count)),
        ));
        rows.push(self.read("pulse_constant_old", "meter_plate", "outgoing", "pulse_energy"));
        rows.push(self.read("pulse_constant_new", "meter_plate", "incoming", "pulse_energy"));
        rows
    }

    fn bypassed(&self, fold: &Fold, now: &Now) -> Vec<Row> {
        let bypassed = clocks::bypassed(fold, now);
        let energy = match bypassed.energy {
            Ok(energy) => Cell::Range {
                value: energy.kwh,
                least: energy.least_kwh,
                most: energy.most_kwh,
                unit: "kWh",
                workings: energy.workings,
            },
            Err(why) => Cell::NoEnergy(why),
        };
        let mut rows = vec![row("bypassed_energy", energy)];
        rows.extend(bypassed.clocks.iter().map(|clock| {
            let (from_ms, until_ms) = (clock.from.at_ms, clock.until.as_ref().map(|until| until.at_ms));
            let span = Cell::Span { from_ms, until_ms, least_ms: clock.least_ms, most_ms: clock.most_ms };
            row_at("bypassed_time", clock.element, span)
        }));
        for (stage, source) in bypassed.evidence {
            rows.push(row_at("bypassed_evidence", stage, Cell::Evidence(source)));
        }
        rows
    }

    fn seals(&self) -> Vec<Row> {
        let of = |prefix: &str, code: &'static str| {
            let seals = self
                .facts
                .each("seal")
                .into_iter()
                .filter_map(|entry| Some((entry.place().strip_prefix(prefix)?, entry)));
            let cell = |entry: &Entry| match (entry.text("number"), entry.text("state")) {
                (Some(number), _) => Cell::Text(number.to_owned()),
                (None, Some(state)) => Cell::Choice { kind: "seal", field: "state", code: state.to_owned() },
                (None, None) => missing("seal", entry.place()),
            };
            let rows: Vec<Row> = seals.map(|(position, entry)| row_at(code, position, cell(&entry))).collect();
            if rows.is_empty() { vec![row(code, missing("seal", prefix.trim_end_matches('/')))] } else { rows }
        };
        [of("found/", "seals_found"), of("left/", "seals_left")].concat()
    }
}

fn as_read(entry: &Entry, field: &str) -> Option<Cell> {
    let (value, unit) = (entry.fields().value_text(field)?, entry.fields().unit(field).unwrap_or_default());
    Some(Cell::Read { value: value.to_owned(), unit: unit.to_owned() })
}

fn time(entry: &Entry, field: &str) -> Option<Cell> {
    Some(Cell::Time(entry.text(field)?.to_owned()))
}
