//! The test switch: what it is, what was seen on it, what was done to it, and the readings that prove a short.

use super::{ELEMENTS, Field, Holds, Keeps, Kind, Segment, YES_NO, may, must};
use metering::range::Range;

/// How the switch makes and breaks a current circuit.
pub const SWITCH_KINDS: &[&str] =
    &["blade_shorts_as_it_opens", "separate_shorting_blade", "screws_or_links", "plug_in_block", "none"];
/// What a hand can do to a pole, the plug or the meter; the words of `metering::isolation`.
pub const ACTS: &[&str] = &[
    "close_short",
    "open_short",
    "open_meter_path",
    "close_meter_path",
    "pull_shorting_blade",
    "push_shorting_blade",
    "fit_plug_jumper",
    "remove_plug_jumper",
    "insert_plug",
    "withdraw_plug",
    "short_at_ct",
    "unshort_at_ct",
    "open_potential",
    "close_potential",
    "short_potential",
    "meter_out",
    "meter_in",
    "de_energise",
    "re_energise",
];
/// Poles as named in an act: elements for currents, phases and neutral for potentials, none for the plug and the meter.
pub const POLES: &[&str] = &["A", "B", "C", "N", "all"];
/// Secondary amperes at a test switch.
pub const SECONDARY_AMPS: Range = Range { what: "secondary_current", unit: "A", least: 0.0, most: 100.0 };

const SWITCH: &[Field] = &[
    must("type", Holds::Choice(SWITCH_KINDS)),
    must("neutral_pole", Holds::Choice(&["yes", "no"])),
    must("others_use", Holds::Choice(YES_NO)),
    may("others", Holds::Text(200)),
    may("order_from_left", Holds::Text(60)),
    may("condition", Holds::Text(200)),
];
/// Circuit states as a person sees them. `unknown` is a state of its own.
const CURRENT_SEEN: &[Field] =
    &[must("state", Holds::Choice(&["to_meter", "shorted", "both_closed", "open", "unknown"]))];
const POTENTIAL_SEEN: &[Field] = &[must("state", Holds::Choice(&["to_meter", "shorted", "open", "unknown"]))];
const ACT: &[Field] = &[
    must("act", Holds::Choice(ACTS)),
    must("pole", Holds::Choice(POLES)),
    may("done_at", Holds::Time),
    must("accepted", Holds::Choice(&["planned", "happened"])),
    may("why", Holds::Text(400)),
];
const SHORT_PROOF: &[Field] = &[
    must("stage", Holds::Choice(&["short_closed", "meter_side_open", "one_pull"])),
    must("before", Holds::Decimal(SECONDARY_AMPS)),
    must("ct_side", Holds::Decimal(SECONDARY_AMPS)),
    must("meter_side", Holds::Decimal(SECONDARY_AMPS)),
    may("done_at", Holds::Time),
];
const CURRENT_BACK: &[Field] = &[
    must("ct_side", Holds::Decimal(SECONDARY_AMPS)),
    must("meter_side", Holds::Decimal(SECONDARY_AMPS)),
    may("done_at", Holds::Time),
];

pub(super) const KINDS: &[Kind] = &[
    Kind { id: "switch", place: &[], keeps: Keeps::One, fields: SWITCH },
    Kind { id: "current_seen", place: &[Segment::OneOf(ELEMENTS)], keeps: Keeps::All, fields: CURRENT_SEEN },
    Kind {
        id: "potential_seen",
        place: &[Segment::OneOf(&["A", "B", "C", "N"])],
        keeps: Keeps::All,
        fields: POTENTIAL_SEEN,
    },
    Kind { id: "act", place: &[], keeps: Keeps::All, fields: ACT },
    Kind { id: "short_proof", place: &[Segment::OneOf(ELEMENTS)], keeps: Keeps::All, fields: SHORT_PROOF },
    Kind { id: "current_back", place: &[Segment::OneOf(ELEMENTS)], keeps: Keeps::All, fields: CURRENT_BACK },
];
