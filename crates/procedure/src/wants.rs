//! What a step wants written down, spelled out over a job: one want per element, pole, register or seal, met or not.

use crate::facts::{ELEMENTS, Facts, Row};
use crate::now::Moment;
use crate::replay::{ElementTrack, PotentialTrack, Replay};
use crate::steps::{Need, What};

/// Codes of all wants, for the proof that each has a sentence.
pub const WANT_CODES: &[&str] = &[
    "incoming_number",
    "incoming_ratios",
    "incoming_checked",
    "instrument",
    "spare_seals",
    "control_told",
    "briefing",
    "customer_told",
    "generation",
    "dispute",
    "outgoing_number",
    "outgoing_ratios",
    "ct_ratio",
    "vt_ratio",
    "switch_type",
    "switch_neutral",
    "others_use",
    "poles_seen",
    "enclosure_dead",
    "hum",
    "seal_found",
    "convention",
    "volts_found",
    "amps_found",
    "angle_found",
    "early_energy",
    "early_peak",
    "early_time",
    "short",
    "proof",
    "proof_out",
    "final_energy",
    "final_peak",
    "final_again",
    "final_time",
    "open_potential",
    "live_before",
    "highest_found",
    "live_after",
    "auxiliary_dead",
    "meter_out",
    "condition",
    "meter_in",
    "close_potential",
    "boot_program",
    "boot_service",
    "boot_ratios",
    "boot_display",
    "boot_clock",
    "start_energy",
    "start_peak",
    "start_time",
    "restore",
    "current_back",
    "volts_left",
    "amps_left",
    "angle_left",
    "pulses",
    "communication",
    "multiplier_marked",
    "peak_reset",
    "start_again",
    "seal_set",
    "signed",
];

/// One thing that a step wants.
#[derive(Clone, Debug, PartialEq)]
pub struct Want {
    /// Code of its sentence, `want-<code>`.
    pub code: &'static str,
    /// Element, pole, register or seal position that the sentence names; empty where there is only one.
    pub place: String,
    /// Where it is entered.
    pub entered: Entered,
    /// Whether the step is done without it.
    pub must: bool,
    /// Whether it is in the log.
    pub met: bool,
    /// When it was done, in milliseconds, where it is met.
    pub at_ms: Option<i64>,
}

/// Where a want is entered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Entered {
    /// In a field of an entry.
    Field {
        /// Kind of the entry.
        kind: &'static str,
        /// Its place; a register whose code is not known yet ends with `/`.
        place: String,
        /// The field.
        field: &'static str,
    },
    /// By an act on a pole of the switch, or on the meter.
    Act,
    /// By a reading on both sides of an element, at this stage.
    Proof {
        /// Stage as stored.
        stage: &'static str,
    },
}

/// Every want of one need.
pub(crate) fn of(need: &Need, facts: &Facts, replay: &Replay) -> Vec<Want> {
    let list = Lister { need, facts, replay };
    match need.what {
        What::Field { kind, place, field } => vec![list.field(kind, place.to_owned(), field, "")],
        What::PerElement { kind, place, field } => ELEMENTS
            .iter()
            .map(|element| {
                list.field(
                    kind,
                    if place.is_empty() { (*element).to_owned() } else { format!("{place}/{element}") },
                    field,
                    element,
                )
            })
            .collect(),
        What::PolesSeen => list.poles_seen(),
        What::Energy { place } => vec![list.register(place, jobfile::kinds::ENERGY_UNITS)],
        What::Peak { place } => list.peak(place),
        What::Again { earlier, place } => list.again(earlier, place),
        // Without a switch the meter itself parts the circuit, one step later.
        What::Shorted if replay.has_no_switch() => list.elements(|track| track.shorted_at.as_ref()),
        What::Shorted => list.elements(|track| track.parted_at.as_ref()),
        What::Proven => list.proofs(),
        What::ProvenOut if replay.has_no_switch() => list.proofs_of("meter_side_open"),
        What::ProvenOut => Vec::new(),
        What::PotentialsOpen => list.potentials(|pole| pole.up_at.as_ref()),
        What::MeterOut => vec![list.act("", replay.meter_out_at.as_ref())],
        What::MeterIn => vec![list.act("", replay.meter_in_at.as_ref())],
        What::PotentialsBack => list.potentials(|pole| pole.back_at.as_ref()),
        What::CurrentsBack => list.elements(|track| track.restored_at.as_ref()),
        What::BackRead => list.back_read(),
        What::SealsSet => list.seals(),
    }
}

struct Lister<'a> {
    need: &'a Need,
    facts: &'a Facts<'a>,
    replay: &'a Replay,
}

impl Lister<'_> {
    fn want(&self, place: &str, entered: Entered, at: Option<i64>) -> Want {
        Want {
            code: self.need.code,
            place: place.to_owned(),
            entered,
            must: self.need.must,
            met: at.is_some(),
            at_ms: at,
        }
    }

    fn field(&self, kind: &'static str, place: String, field: &'static str, named: &str) -> Want {
        let found = self.facts.one(kind, &place).filter(|row| row.fields().has(field));
        self.want(named, Entered::Field { kind, place, field }, found.map(|row| row.moment().at_ms))
    }

    fn act(&self, place: &str, done: Option<&Moment>) -> Want {
        self.want(place, Entered::Act, done.map(|moment| moment.at_ms))
    }

    fn elements(&self, done: impl Fn(&ElementTrack) -> Option<&Moment>) -> Vec<Want> {
        self.replay.elements.iter().map(|track| self.act(track.element, done(track))).collect()
    }

    fn potentials(&self, done: impl Fn(&PotentialTrack) -> Option<&Moment>) -> Vec<Want> {
        self.replay.potentials.iter().map(|track| self.act(track.pole, done(track))).collect()
    }

    fn poles_seen(&self) -> Vec<Want> {
        let seen = |kind: &'static str, pole: &str, named: &str| {
            let row = self.facts.each_at(kind, pole).into_iter().next();
            self.want(
                named,
                Entered::Field { kind, place: pole.to_owned(), field: "state" },
                row.map(|row| row.moment().at_ms),
            )
        };
        let currents = self.replay.elements.iter().map(|track| seen("current_seen", track.element, track.name));
        let potentials = self.replay.potentials.iter().map(|track| seen("potential_seen", track.pole, track.name));
        currents.chain(potentials).collect()
    }

    fn register(&self, place: &str, units: &[&str]) -> Want {
        let registers = self.facts.registers(place);
        let row = registers.iter().find(|(_, row)| row.text("unit").is_some_and(|unit| units.contains(&unit)));
        self.register_want(place, "", row.map(|(_, row)| row))
    }

    fn register_want(&self, place: &str, code: &str, row: Option<&Row>) -> Want {
        let entered = Entered::Field { kind: "register", place: format!("{place}/{code}"), field: "value" };
        self.want(code, entered, row.map(|row| row.moment().at_ms))
    }

    fn peak(&self, place: &str) -> Vec<Want> {
        let meter = place.split('/').next().unwrap_or_default();
        if self.facts.is("meter_plate", meter, "demand", "none") {
            return Vec::new();
        }
        vec![self.register(place, &["kW", "kvar", "kVA"])]
    }

    fn again(&self, earlier: &str, place: &str) -> Vec<Want> {
        let read = self.facts.registers(place);
        let again = |code: &str| read.iter().find(|(known, _)| *known == code).map(|(_, row)| row);
        self.facts.registers(earlier).iter().map(|(code, _)| self.register_want(place, code, again(code))).collect()
    }

    fn proofs(&self) -> Vec<Want> {
        if self.replay.is_one_motion() {
            return self.proofs_of("one_pull");
        }
        let first = self.proofs_of("short_closed");
        if self.replay.has_no_switch() {
            return first;
        }
        // Element by element: one is finished before the next is begun.
        first.into_iter().zip(self.proofs_of("meter_side_open")).flat_map(|(first, second)| [first, second]).collect()
    }

    fn proofs_of(&self, stage: &'static str) -> Vec<Want> {
        let of = |track: &ElementTrack| {
            let done = if stage == "short_closed" { track.short_read_at.as_ref() } else { track.proven_at.as_ref() };
            // A circuit parted with the supply off carries nothing that could prove it.
            let dead = track.parted_at.as_ref().filter(|_| track.proven);
            self.want(track.element, Entered::Proof { stage }, done.or(dead).map(|moment| moment.at_ms))
        };
        self.replay.elements.iter().map(of).collect()
    }

    fn back_read(&self) -> Vec<Want> {
        let of = |track: &ElementTrack| {
            let after = track.restored_at.as_ref().map(|moment| moment.order);
            let rows = self.facts.each_at("current_back", track.element);
            let row = rows.into_iter().rev().find(|row| after.is_some_and(|order| order < row.order()));
            let entered = Entered::Field { kind: "current_back", place: track.element.to_owned(), field: "meter_side" };
            self.want(track.element, entered, row.map(|row| row.moment().at_ms))
        };
        self.replay.elements.iter().map(of).collect()
    }

    fn seals(&self) -> Vec<Want> {
        let set = |position: &str| {
            let place = format!("left/{position}");
            let row = self.facts.one("seal", &place).filter(|row| row.is("state", "set"));
            self.want(
                position,
                Entered::Field { kind: "seal", place, field: "number" },
                row.map(|row| row.moment().at_ms),
            )
        };
        let wanted = self.facts.seals_wanted();
        // Without a look at the seals at least the meter's own is wanted.
        if wanted.is_empty() { vec![set("meter")] } else { wanted.into_iter().map(set).collect() }
    }
}
