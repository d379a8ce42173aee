//! What the office knows or asks: the job itself, the site, the record, notes, choices between two values, the signature of a person.

use super::{Field, Holds, Keeps, Kind, Segment, may, must};
use metering::range::Range;

/// A billing multiplier: what a register difference is multiplied by to give primary kWh.
pub const MULTIPLIER: Range = Range { what: "multiplier", unit: "", least: 0.000_001, most: 1e9 };
/// Nominal primary voltage, line to line.
const PRIMARY_VOLTS: Range = Range { what: "primary_voltage", unit: "V", least: 50.0, most: 1e6 };

const JOB: &[Field] = &[
    must("visit", Holds::Choice(&["meter_change"])),
    must("service", Holds::Choice(&["wye3"])),
    must("site", Holds::Text(120)),
    may("practice", Holds::Choice(&["yes"])),
];
const SITE: &[Field] = &[
    may("account", Holds::Text(60)),
    may("service_point", Holds::Text(60)),
    may("address", Holds::Text(200)),
    may("nominal_volts", Holds::Decimal(PRIMARY_VOLTS)),
    must("order", Holds::Choice(&["currents_first", "potentials_first"])),
];
const ON_RECORD: &[Field] = &[
    may("multiplier", Holds::Decimal(MULTIPLIER)),
    may("multiplier_place", Holds::Choice(&["on_bill", "in_meter", "unknown"])),
    may("outgoing_number", Holds::Text(40)),
    may("incoming_number", Holds::Text(40)),
    may("reason", Holds::Text(200)),
];
const CREW: &[Field] =
    &[must("technician", Holds::Text(80)), may("badge", Holds::Text(40)), may("second_person", Holds::Text(80))];
const NOTE: &[Field] = &[must("text", Holds::Text(4000))];
const CHOICE: &[Field] = &[
    must("kind", Holds::Text(40)),
    may("slot_place", Holds::Text(80)),
    must("chosen", Holds::Hash),
    must("why", Holds::Text(400)),
];
const WITHDRAWAL: &[Field] = &[must("entry", Holds::Hash), must("why", Holds::Text(400))];
const OVERRIDE: &[Field] = &[must("by", Holds::Text(80)), must("why", Holds::Text(400))];
const SIGNED: &[Field] = &[
    must("by", Holds::Text(80)),
    may("badge", Holds::Text(40)),
    may("approver", Holds::Text(80)),
    must("effective", Holds::Time),
];

pub(super) const KINDS: &[Kind] = &[
    Kind { id: "job", place: &[], keeps: Keeps::One, fields: JOB },
    Kind { id: "site", place: &[], keeps: Keeps::One, fields: SITE },
    Kind { id: "on_record", place: &[], keeps: Keeps::One, fields: ON_RECORD },
    Kind { id: "crew", place: &[], keeps: Keeps::One, fields: CREW },
    Kind { id: "note", place: &[], keeps: Keeps::All, fields: NOTE },
    Kind { id: super::CHOICE, place: &[], keeps: Keeps::All, fields: CHOICE },
    Kind { id: super::WITHDRAWAL, place: &[], keeps: Keeps::All, fields: WITHDRAWAL },
    Kind { id: "override", place: &[Segment::Word], keeps: Keeps::One, fields: OVERRIDE },
    Kind { id: "signed", place: &[], keeps: Keeps::One, fields: SIGNED },
];
