//! The meter change as data: every step with what it wants, its stop checks, its cautions and the screen that serves it.
//!
//! Words are found by key: `step-<id>` with `.do` and `.why`, `want-<code>`, `check-<id>`, `caution-<code>`.

/// One step of a visit.
#[derive(Debug)]
pub struct Step {
    /// Stable id, one of the places of kind `step`.
    pub id: &'static str,
    /// The screen that serves it.
    pub screen: Screen,
    /// What it wants written down, in the order a hand meets it.
    pub needs: &'static [Need],
    /// Stop checks that must pass, or be overridden by name, before it is done.
    pub checks: &'static [&'static str],
    /// Cautions that stand before the act.
    pub cautions: &'static [&'static str],
    /// Whether hands work in the cabinet: entries wait for the step-back at its end.
    pub hands: bool,
}

/// The screens that serve steps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Screen {
    /// Questions, one beside the other.
    Questions,
    /// Nameplates, found beside on record.
    Nameplates,
    /// Readings as found or as left.
    Readings,
    /// Registers of a meter.
    Reads,
    /// The test switch from the front.
    Switch,
    /// Seals found and left.
    Seals,
    /// The close-out sheet.
    Sheet,
}

/// One thing, or one per element, that a step wants.
#[derive(Clone, Copy, Debug)]
pub struct Need {
    /// Code of its sentence, `want-<code>`.
    pub code: &'static str,
    /// What must be found in the log.
    pub what: What,
    /// Whether the step is done without it.
    pub must: bool,
    /// How it comes into the log on a routine change; counted by [`crate::budget`].
    pub by: By,
}

/// How a value comes into the log on a routine change.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum By {
    /// Typed.
    Typed,
    /// One tap of its own.
    Tap,
    /// One tap for element A, and one that says of the other two, each looked at, that they are alike.
    TapAlike,
    /// One tap together with the other needs of the same step that carry the same word.
    TapWith(&'static str),
    /// Taken from the office's record, a setting or an earlier entry, and shown for looking at.
    Given,
}

/// What must be found in the log for a need to be met.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    /// A field of one entry.
    Field {
        /// Kind of the entry.
        kind: &'static str,
        /// Its place.
        place: &'static str,
        /// The field.
        field: &'static str,
    },
    /// A field of the entries of elements A, B and C; their places end with the element after `place`.
    PerElement {
        /// Kind of the entries.
        kind: &'static str,
        /// Their place, without the element.
        place: &'static str,
        /// The field.
        field: &'static str,
    },
    /// How each current and potential pole stood before anything was done.
    PolesSeen,
    /// At least one register in an energy unit.
    Energy {
        /// Meter and moment.
        place: &'static str,
    },
    /// At least one register in a power unit, unless the meter keeps no peak.
    Peak {
        /// Meter and moment.
        place: &'static str,
    },
    /// Every register of `earlier` once more at `place`.
    Again {
        /// Meter and earlier moment.
        earlier: &'static str,
        /// Meter and moment.
        place: &'static str,
    },
    /// The current circuit of each element shorted and parted from the meter.
    Shorted,
    /// The two-sided readings that prove each short, as the switch asks for them.
    Proven,
    /// Where there is no switch: the second reading of each proof, with the meter out.
    ProvenOut,
    /// Every potential pole parted from the meter.
    PotentialsOpen,
    /// The meter out of its socket or off its terminals.
    MeterOut,
    /// The incoming meter in place.
    MeterIn,
    /// Every potential pole to the meter again.
    PotentialsBack,
    /// Every current circuit to the meter again.
    CurrentsBack,
    /// Amperes on both sides of each element, read after its short went off.
    BackRead,
    /// A seal set wherever one was found, with its number read back.
    SealsSet,
}

const fn must(code: &'static str, what: What, by: By) -> Need {
    Need { code, what, must: true, by }
}
const fn may(code: &'static str, what: What, by: By) -> Need {
    Need { code, what, must: false, by }
}
const fn field(kind: &'static str, place: &'static str, field: &'static str) -> What {
    What::Field { kind, place, field }
}
const fn each(kind: &'static str, place: &'static str, field: &'static str) -> What {
    What::PerElement { kind, place, field }
}

const TRUCK: &[Need] = &[
    must("incoming_number", field("meter_plate", "incoming", "number"), By::Typed),
    must("incoming_ratios", field("meter_plate", "incoming", "ratios_inside"), By::Given),
    must("incoming_checked", field("truck", "", "incoming_checked"), By::Tap),
    may("instrument", field("instrument", "1", "what"), By::Given),
    may("spare_seals", field("truck", "", "spare_seals"), By::Typed),
];
const ARRIVE: &[Need] = &[
    must("control_told", field("arrive", "", "control_told"), By::Tap),
    must("briefing", field("arrive", "", "briefing"), By::Tap),
    must("customer_told", field("arrive", "", "customer_told"), By::Tap),
    must("generation", field("arrive", "", "generation"), By::Tap),
    must("dispute", field("arrive", "", "dispute"), By::Tap),
];
const PLATES: &[Need] = &[
    must("outgoing_number", field("meter_plate", "outgoing", "number"), By::Tap),
    must("outgoing_ratios", field("meter_plate", "outgoing", "ratios_inside"), By::Given),
    must("ct_ratio", each("ct_plate", "found", "ratio"), By::TapAlike),
    must("vt_ratio", each("vt_plate", "found", "ratio"), By::TapAlike),
    must("switch_type", field("switch", "", "type"), By::Given),
    must("switch_neutral", field("switch", "", "neutral_pole"), By::Given),
    must("others_use", field("switch", "", "others_use"), By::Tap),
    must("poles_seen", What::PolesSeen, By::TapWith("poles")),
];
const AS_FOUND: &[Need] = &[
    must("enclosure_dead", field("first_look", "", "enclosure_dead"), By::Tap),
    must("hum", field("first_look", "", "hum"), By::Tap),
    must("seal_found", field("seal", "found/meter", "state"), By::Tap),
    must("convention", field("reading_set", "as_found", "convention"), By::Given),
    must("volts_found", each("reading", "as_found", "volts"), By::Typed),
    must("amps_found", each("reading", "as_found", "amps"), By::Typed),
    may("angle_found", each("reading", "as_found", "amp_angle"), By::Typed),
];
const EARLY_READS: &[Need] = &[
    must("early_energy", What::Energy { place: "outgoing/early" }, By::Typed),
    must("early_peak", What::Peak { place: "outgoing/early" }, By::Typed),
    may("early_time", field("read_set", "outgoing/early", "done_at"), By::Given),
];
const SHORT_CURRENTS: &[Need] =
    &[must("short", What::Shorted, By::TapWith("shorted")), must("proof", What::Proven, By::Typed)];
const FINAL_READS: &[Need] = &[
    must("final_energy", What::Energy { place: "outgoing/final" }, By::Typed),
    must("final_peak", What::Peak { place: "outgoing/final" }, By::Typed),
    must("final_again", What::Again { earlier: "outgoing/early", place: "outgoing/final" }, By::Given),
    must("final_time", field("read_set", "outgoing/final", "done_at"), By::Given),
];
const OPEN_POTENTIALS: &[Need] = &[
    must("open_potential", What::PotentialsOpen, By::TapWith("potentials")),
    must("live_before", field("dead_test", "", "live_before"), By::Typed),
    must("highest_found", field("dead_test", "", "highest_found"), By::Typed),
    must("live_after", field("dead_test", "", "live_after"), By::Typed),
    must("auxiliary_dead", field("dead_test", "", "auxiliary_dead"), By::Tap),
];
const SWAP_METER: &[Need] = &[
    must("meter_out", What::MeterOut, By::TapWith("meter")),
    must("proof_out", What::ProvenOut, By::Typed),
    must("condition", field("meter_out", "", "condition"), By::Tap),
    must("meter_in", What::MeterIn, By::TapWith("meter")),
];
const CLOSE_POTENTIALS: &[Need] = &[
    must("close_potential", What::PotentialsBack, By::TapWith("potentials")),
    must("boot_program", field("boot", "", "program_seen"), By::TapWith("boot")),
    must("boot_service", field("boot", "", "service_seen"), By::TapWith("boot")),
    must("boot_ratios", field("boot", "", "ratios_inside"), By::TapWith("boot")),
    must("boot_display", field("boot", "", "display"), By::TapWith("boot")),
    must("boot_clock", field("boot", "", "clock"), By::TapWith("boot")),
];
const START_READS: &[Need] = &[
    must("start_energy", What::Energy { place: "incoming/start" }, By::Typed),
    may("start_peak", What::Peak { place: "incoming/start" }, By::Typed),
    must("start_time", field("read_set", "incoming/start", "done_at"), By::Given),
];
const RESTORE_CURRENTS: &[Need] =
    &[must("restore", What::CurrentsBack, By::TapWith("restored")), must("current_back", What::BackRead, By::Typed)];
const AS_LEFT: &[Need] = &[
    must("volts_left", each("reading", "as_left", "volts"), By::Typed),
    must("amps_left", each("reading", "as_left", "amps"), By::Given),
    may("angle_left", each("reading", "as_left", "amp_angle"), By::Typed),
    may("pulses", field("in_service", "", "pulses"), By::Typed),
    must("communication", field("after", "", "communication"), By::Tap),
    must("multiplier_marked", field("after", "", "multiplier_marked"), By::Tap),
    must("peak_reset", field("after", "", "peak_reset"), By::Tap),
    may("start_again", What::Energy { place: "incoming/final_start" }, By::Typed),
];
const SEALS: &[Need] = &[must("seal_set", What::SealsSet, By::Typed)];
const CLOSE_OUT: &[Need] = &[must("signed", field("signed", "", "by"), By::Tap)];

/// Every step of a meter change; see [`order`] for the order of a site.
pub const METER_CHANGE: &[Step] = &[
    Step {
        id: "truck",
        screen: Screen::Questions,
        needs: TRUCK,
        checks: &["meter_fits"],
        cautions: &["phone_outside"],
        hands: false,
    },
    Step {
        id: "arrive",
        screen: Screen::Questions,
        needs: ARRIVE,
        checks: &["no_dispute"],
        cautions: &["generation_feeds", "power_fail_alarm", "pulses_stop", "leave_as_found"],
        hands: false,
    },
    Step {
        id: "plates",
        screen: Screen::Nameplates,
        needs: PLATES,
        checks: &["others_asked", "multiplier_agrees"],
        cautions: &["no_switch", "others_use", "plate_alone"],
        hands: false,
    },
    Step {
        id: "as_found",
        screen: Screen::Readings,
        needs: AS_FOUND,
        checks: &["enclosure_dead", "no_broken_ct", "wiring_checked"],
        cautions: &["enclosure_live", "humming_ct", "phone_outside"],
        hands: true,
    },
    Step {
        id: "early_reads",
        screen: Screen::Reads,
        needs: EARLY_READS,
        checks: &[],
        cautions: &["interval_end"],
        hands: false,
    },
    Step {
        id: "short_currents",
        screen: Screen::Switch,
        needs: SHORT_CURRENTS,
        checks: &["short_proven"],
        cautions: &["ct_broken", "no_switch", "others_use"],
        hands: true,
    },
    Step {
        id: "final_reads",
        screen: Screen::Reads,
        needs: FINAL_READS,
        checks: &["reads_before_dark"],
        cautions: &["peak_dies"],
        hands: false,
    },
    Step {
        id: "open_potentials",
        screen: Screen::Switch,
        needs: OPEN_POTENTIALS,
        checks: &["no_vt_shorted", "neutral_last", "live_dead_live"],
        cautions: &["vt_short", "vt_backfeed", "auxiliary_live", "neutral_last", "power_fail_alarm"],
        hands: true,
    },
    Step {
        id: "swap_meter",
        screen: Screen::Switch,
        needs: SWAP_METER,
        checks: &["short_proven"],
        cautions: &["ct_broken", "auxiliary_live", "retaining_ring", "hot_jaw"],
        hands: true,
    },
    Step {
        id: "close_potentials",
        screen: Screen::Switch,
        needs: CLOSE_POTENTIALS,
        checks: &["neutral_first", "boot_as_planned"],
        cautions: &["vt_short", "neutral_first", "retaining_ring"],
        hands: true,
    },
    Step {
        id: "start_reads",
        screen: Screen::Reads,
        needs: START_READS,
        checks: &["start_before_load"],
        cautions: &["two_multipliers"],
        hands: false,
    },
    Step {
        id: "restore_currents",
        screen: Screen::Switch,
        needs: RESTORE_CURRENTS,
        checks: &["current_back"],
        cautions: &["restore_order"],
        hands: true,
    },
    Step {
        id: "as_left",
        screen: Screen::Readings,
        needs: AS_LEFT,
        checks: &["as_left_agrees", "peak_reset_last"],
        cautions: &["peak_last", "phone_outside"],
        hands: true,
    },
    Step { id: "seals", screen: Screen::Seals, needs: SEALS, checks: &["seals_set"], cautions: &[], hands: false },
    Step {
        id: "close_out",
        screen: Screen::Sheet,
        needs: CLOSE_OUT,
        checks: &["all_to_meter"],
        cautions: &["two_multipliers"],
        hands: false,
    },
];

/// Which of currents and potentials goes first when the meter comes out: the site's own rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Order {
    /// Currents shorted, final reads, potentials up.
    CurrentsFirst,
    /// Final reads, potentials up, currents shorted: each short still precedes the breaking of its circuit.
    PotentialsFirst,
}

const CURRENTS_FIRST: [&str; 15] = [
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
const POTENTIALS_FIRST: [&str; 15] = [
    "truck",
    "arrive",
    "plates",
    "as_found",
    "early_reads",
    "final_reads",
    "open_potentials",
    "short_currents",
    "swap_meter",
    "close_potentials",
    "start_reads",
    "restore_currents",
    "as_left",
    "seals",
    "close_out",
];

/// The steps in the order of the site.
///
/// On the way back the order is the same for both: potentials first, because the start reads need a live display while the
/// shorts still hold the load away from the registers.
pub fn order(policy: Order) -> &'static [&'static str] {
    match policy {
        Order::CurrentsFirst => &CURRENTS_FIRST,
        Order::PotentialsFirst => &POTENTIALS_FIRST,
    }
}

/// The step of this id.
pub fn find(id: &str) -> Option<&'static Step> {
    METER_CHANGE.iter().find(|step| step.id == id)
}
