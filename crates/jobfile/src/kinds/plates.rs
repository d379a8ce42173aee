//! What is stamped on the equipment: current and potential transformers per position, and the two meters.

use super::{ELEMENTS, FOUND_OR_RECORD, Field, Holds, Keeps, Kind, METERS, Segment, may, must};
use metering::range::Range;

/// Accuracy classes that a plate may carry (IEEE C57.13, IEEE C57.13.6, IEC 61869-2 and -3).
pub const CLASSES: &[&str] =
    &["0.1", "0.15", "0.15S", "0.2", "0.2S", "0.3", "0.3S", "0.5", "0.5S", "0.6", "1", "1.2", "3", "other"];
/// Transformer-rated and self-contained meter forms of ANSI C12.10, and terminal-block meters.
pub const FORMS: &[&str] = &[
    "1S",
    "2S",
    "3S",
    "4S",
    "5S",
    "6S",
    "8S",
    "9S",
    "10S",
    "11S",
    "12S",
    "14S",
    "15S",
    "16S",
    "17S",
    "25S",
    "26S",
    "29S",
    "35S",
    "36S",
    "45S",
    "46S",
    "5A",
    "6A",
    "8A",
    "9A",
    "10A",
    "terminal_block",
    "other",
];
/// A class in amperes as stamped (most continuous current).
pub const CLASS_AMPS: Range = Range { what: "meter_class", unit: "A", least: 1.0, most: 600.0 };
/// A voltage as stamped on a meter.
pub const METER_VOLTS: Range = Range { what: "meter_voltage", unit: "V", least: 30.0, most: 700.0 };
/// Watt-hours for one turn of the disk or one pulse of the test lamp.
pub const KH: Range = Range { what: "watthour_constant", unit: "Wh", least: 0.000_01, most: 1000.0 };
/// A constant that the register itself must be multiplied by.
pub const REGISTER_CONSTANT: Range = Range { what: "register_constant", unit: "", least: 0.000_01, most: 1e6 };
/// Energy of one output pulse.
pub const PULSE: Range = Range { what: "pulse_energy", unit: "Wh", least: 0.000_01, most: 1e6 };

const CT: &[Field] = &[
    must("ratio", Holds::Ratio),
    may("tap", Holds::Text(20)),
    may("link", Holds::Choice(&["none", "series", "parallel"])),
    may("turns", Holds::Count(1, 20)),
    may("rating_factor", Holds::Decimal(Range { what: "rating_factor", unit: "", least: 0.5, most: 6.0 })),
    may("class", Holds::Choice(CLASSES)),
    may("burden", Holds::Text(20)),
    may("serial", Holds::Text(40)),
];
const VT: &[Field] = &[
    must("ratio", Holds::Ratio),
    may("tap", Holds::Text(20)),
    may("class", Holds::Choice(CLASSES)),
    may("burden", Holds::Text(20)),
    may("fuse", Holds::Text(40)),
    may("serial", Holds::Text(40)),
];
const METER: &[Field] = &[
    must("number", Holds::Text(40)),
    may("form", Holds::Choice(FORMS)),
    may("class_amps", Holds::Decimal(CLASS_AMPS)),
    may("volts_least", Holds::Decimal(METER_VOLTS)),
    may("volts_most", Holds::Decimal(METER_VOLTS)),
    may("elements", Holds::Choice(&["1", "2", "2.5", "3"])),
    may("adds", Holds::Choice(&["net", "absolute", "positive_only", "delivered_and_received", "unknown"])),
    must("ratios_inside", Holds::Choice(&["none", "ct", "vt", "ct_and_vt", "unknown"])),
    may("inside_ct", Holds::Ratio),
    may("inside_vt", Holds::Ratio),
    may("display", Holds::Choice(&["secondary", "primary", "unknown"])),
    may("kh", Holds::Decimal(KH)),
    may("register_constant", Holds::Decimal(REGISTER_CONSTANT)),
    may("pulse_energy", Holds::Decimal(PULSE)),
    may("digits", Holds::Count(3, 9)),
    may("decimals", Holds::Count(0, 4)),
    may("demand", Holds::Choice(&["block", "rolling", "thermal", "none", "unknown"])),
    may("interval_minutes", Holds::Count(1, 60)),
    may("program", Holds::Text(60)),
];

pub(super) const KINDS: &[Kind] = &[
    Kind {
        id: "ct_plate",
        place: &[Segment::OneOf(FOUND_OR_RECORD), Segment::OneOf(ELEMENTS)],
        keeps: Keeps::One,
        fields: CT,
    },
    Kind {
        id: "vt_plate",
        place: &[Segment::OneOf(FOUND_OR_RECORD), Segment::OneOf(ELEMENTS)],
        keeps: Keeps::One,
        fields: VT,
    },
    Kind { id: "meter_plate", place: &[Segment::OneOf(METERS)], keeps: Keeps::One, fields: METER },
];
