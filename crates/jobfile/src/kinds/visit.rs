//! What is asked and done on the way in and out: truck, arrival, first look, steps, seals, instruments.

use super::{Field, Holds, Keeps, Kind, Segment, YES_NO, may, must};
use metering::range::Range;

/// Where a seal sits.
pub const SEAL_POSITIONS: &[&str] =
    &["meter", "switch", "ct_compartment", "vt_compartment", "enclosure", "demand_reset", "communication", "other"];
/// Every step of a meter change, in its order.
pub const STEPS: &[&str] = &[
    "truck",
    "arrive",
    "plates",
    "as_found",
    "early_reads",
    "short_currents",
    "final_reads",
    "open_potentials",
    "swap_meter",
    "close_potentials",
    "start_reads",
    "restore_currents",
    "as_left",
    "seals",
    "close_out",
];
const KNOWN_SOURCE_VOLTS: Range = Range { what: "tester_voltage", unit: "V", least: 0.0, most: 1000.0 };

const INSTRUMENT: &[Field] = &[
    must(
        "what",
        Holds::Choice(&["clamp_ammeter", "voltmeter", "phase_angle_meter", "reference_standard", "tester", "other"]),
    ),
    may("serial", Holds::Text(40)),
    may("calibrated", Holds::Text(20)),
    may("angle_accuracy", Holds::Decimal(Range { what: "angle_accuracy", unit: "°", least: 0.01, most: 10.0 })),
];
const TRUCK: &[Field] =
    &[may("spare_seals", Holds::Text(200)), must("incoming_checked", Holds::Choice(&["yes", "no"]))];
const ARRIVE: &[Field] = &[
    must("control_told", Holds::Choice(&["yes", "no", "not_needed"])),
    may("control_name", Holds::Text(80)),
    may("clearance", Holds::Text(60)),
    may("emergency_address", Holds::Text(200)),
    must("briefing", Holds::Choice(&["yes", "not_needed"])),
    must("customer_told", Holds::Choice(&["yes", "no", "not_needed"])),
    must("generation", Holds::Choice(YES_NO)),
    must("dispute", Holds::Choice(&["none", "formal_dispute", "signs_of_tampering"])),
];
const FIRST_LOOK: &[Field] = &[
    must("enclosure_dead", Holds::Choice(&["yes", "no"])),
    must("hum", Holds::Choice(&["no", "yes"])),
    may("secondary_grounds", Holds::Choice(&["present_single", "missing", "more_than_one", "not_seen"])),
    may("fuses", Holds::Text(120)),
    may("condition", Holds::Text(400)),
];
const STEP: &[Field] =
    &[must("state", Holds::Choice(&["done", "left_open"])), may("why", Holds::Text(400)), may("done_at", Holds::Time)];
const SEAL: &[Field] = &[
    must("state", Holds::Choice(&["intact", "broken", "missing", "set"])),
    may("number", Holds::Text(40)),
    may("read_back", Holds::Choice(&["yes"])),
];
const DEAD_TEST: &[Field] = &[
    must("live_before", Holds::Decimal(KNOWN_SOURCE_VOLTS)),
    must("highest_found", Holds::Decimal(KNOWN_SOURCE_VOLTS)),
    must("live_after", Holds::Decimal(KNOWN_SOURCE_VOLTS)),
    must("auxiliary_dead", Holds::Choice(&["yes", "no", "none_here"])),
];
const OWED: &[Field] = &[
    must("why", Holds::Text(400)),
    must("least_amps", Holds::Decimal(Range { what: "least_amps", unit: "A", least: 0.0, most: 20.0 })),
    must("by", Holds::Text(20)),
];

pub(super) const KINDS: &[Kind] = &[
    Kind { id: "instrument", place: &[Segment::OneOf(&["1", "2", "3", "4"])], keeps: Keeps::One, fields: INSTRUMENT },
    Kind { id: "truck", place: &[], keeps: Keeps::One, fields: TRUCK },
    Kind { id: "arrive", place: &[], keeps: Keeps::One, fields: ARRIVE },
    Kind { id: "first_look", place: &[], keeps: Keeps::One, fields: FIRST_LOOK },
    Kind { id: "step", place: &[Segment::OneOf(STEPS)], keeps: Keeps::One, fields: STEP },
    Kind {
        id: "seal",
        place: &[Segment::OneOf(&["found", "left"]), Segment::OneOf(SEAL_POSITIONS)],
        keeps: Keeps::One,
        fields: SEAL,
    },
    Kind { id: "dead_test", place: &[], keeps: Keeps::One, fields: DEAD_TEST },
    Kind { id: "inspection_owed", place: &[], keeps: Keeps::One, fields: OWED },
];
