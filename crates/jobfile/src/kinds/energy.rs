//! What is read off meters and instruments: phasor readings, registers, boot check, in-service test, what the change took away.

use super::switch::SECONDARY_AMPS;
use super::{ELEMENTS, Field, Holds, Keeps, Kind, METERS, Segment, may, must};
use metering::range::Range;

/// Secondary volts at a test switch.
pub const SECONDARY_VOLTS: Range = Range { what: "secondary_voltage", unit: "V", least: 0.0, most: 700.0 };
/// An angle as typed; either convention.
pub const ANGLE: Range = Range { what: "angle", unit: "°", least: -360.0, most: 360.0 };
/// What a register shows.
pub const REGISTER: Range = Range { what: "register", unit: "", least: 0.0, most: 1e9 };
/// When registers are read in a change.
pub const MOMENTS: &[&str] = &["early", "final", "start", "final_start"];
/// Codes of the registers that have words of their own; a meter may have others.
pub const REGISTERS: &[&str] = &[
    "kwh_delivered",
    "kwh_received",
    "kvarh_delivered",
    "kvarh_received",
    "kw_peak",
    "kw_previous_peak",
    "kw_cumulative",
    "reset_count",
    "kwh_rate_1",
    "kwh_rate_2",
    "kwh_rate_3",
    "kwh_rate_4",
];
/// The units of a register that counts energy: such a register only ever moves on.
pub const ENERGY_UNITS: &[&str] = &["kWh", "kvarh", "kVAh"];
/// When phasors are read.
pub const AS: &[&str] = &["as_found", "as_left"];

const READING_SET: &[Field] = &[
    must("convention", Holds::Choice(&["lagging_positive", "leading_positive"])),
    must("reference", Holds::Choice(&["volts_a", "volts_b", "volts_c"])),
    may("volts_of", Holds::Choice(&["line_to_neutral", "line_to_line"])),
    may("rotation", Holds::Choice(&["abc", "cba", "unknown"])),
    may("instrument", Holds::Text(60)),
    may("display_kw", Holds::Decimal(Range { what: "displayed_power", unit: "kW", least: -1e6, most: 1e6 })),
    may("display_is", Holds::Choice(&["secondary", "primary", "unknown"])),
    may(
        "load",
        Holds::Choice(&["mixed", "mostly_motors", "lighting_and_heat", "capacitors_on", "generation", "unknown"]),
    ),
    may("done_at", Holds::Time),
];
const READING: &[Field] = &[
    may("volts", Holds::Decimal(SECONDARY_VOLTS)),
    may("amps", Holds::Decimal(SECONDARY_AMPS)),
    may("volt_angle", Holds::Decimal(ANGLE)),
    may("amp_angle", Holds::Decimal(ANGLE)),
];
const READ_SET: &[Field] = &[
    must("done_at", Holds::Time),
    may("meter_clock", Holds::Time),
    may("intervals", Holds::Choice(&["retrieved", "not_retrieved", "none_kept"])),
    may("estimated", Holds::Choice(&["actual", "estimated"])),
];
const REGISTER_READ: &[Field] = &[
    must("value", Holds::Decimal(REGISTER)),
    must("unit", Holds::Choice(&["kWh", "kvarh", "kVAh", "kW", "kvar", "kVA", "count"])),
    may("digits", Holds::Count(3, 9)),
    may("decimals", Holds::Count(0, 4)),
    may("peak_at", Holds::Time),
];
const METER_OUT: &[Field] =
    &[must("condition", Holds::Choice(&["good", "heat", "corrosion", "damage"])), may("remarks", Holds::Text(400))];
const BOOT: &[Field] = &[
    must("program_seen", Holds::Choice(&["as_planned", "differs", "not_shown"])),
    must("service_seen", Holds::Choice(&["as_planned", "differs", "not_shown"])),
    must("ratios_inside", Holds::Choice(&["none", "ct", "vt", "ct_and_vt", "unknown"])),
    must("display", Holds::Choice(&["secondary", "primary", "unknown"])),
    must("clock", Holds::Choice(&["right", "set_right", "wrong"])),
    may("remarks", Holds::Text(400)),
];
const IN_SERVICE: &[Field] = &[
    must("pulses", Holds::Count(1, 1000)),
    must("seconds", Holds::Decimal(Range { what: "timed_seconds", unit: "s", least: 1.0, most: 3600.0 })),
];
const AFTER: &[Field] = &[
    must("communication", Holds::Choice(&["seen_by_head_end", "not_seen", "none_here"])),
    must("peak_reset", Holds::Choice(&["done_last", "not_done", "no_demand_register"])),
    may("reset_count", Holds::Count(0, 100_000)),
    may("reset_at", Holds::Time),
    must("multiplier_marked", Holds::Choice(&["yes", "not_required"])),
];

pub(super) const KINDS: &[Kind] = &[
    Kind { id: "reading_set", place: &[Segment::OneOf(AS)], keeps: Keeps::One, fields: READING_SET },
    Kind { id: "reading", place: &[Segment::OneOf(AS), Segment::OneOf(ELEMENTS)], keeps: Keeps::One, fields: READING },
    Kind {
        id: "read_set",
        place: &[Segment::OneOf(METERS), Segment::OneOf(MOMENTS)],
        keeps: Keeps::One,
        fields: READ_SET,
    },
    Kind {
        id: "register",
        place: &[Segment::OneOf(METERS), Segment::OneOf(MOMENTS), Segment::Word],
        keeps: Keeps::One,
        fields: REGISTER_READ,
    },
    Kind { id: "meter_out", place: &[], keeps: Keeps::One, fields: METER_OUT },
    Kind { id: "boot", place: &[], keeps: Keeps::One, fields: BOOT },
    Kind { id: "in_service", place: &[], keeps: Keeps::One, fields: IN_SERVICE },
    Kind { id: "after", place: &[], keeps: Keeps::One, fields: AFTER },
];
