//! The test switch as it looks from the front: CT end above, meter end below, every pole's state in words under it.
mod layout;
mod parts;

use crate::table::Table;
pub use layout::switch_front;

/// How the switch makes and breaks a current circuit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SwitchKind {
    /// Blade 1 makes the short before it lets go; blade 2 is the return and stays up.
    BladeShortsAsItOpens,
    /// One blade shorts, another opens the meter's path.
    SeparateShortingBlade,
    /// Shorting screws or links, and links in the meter's path.
    ScrewsOrLinks,
    /// A plug opens the jaws; its jumper makes the short.
    PlugInBlock,
    /// No switch: the CT's own terminals and wires to the meter.
    None,
}

/// Whether metal touches metal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Contact {
    /// It conducts: a blade is up, a strap is on.
    Made,
    /// It does not: a blade is down, a strap is off.
    Apart,
    /// Nobody has said, or not since the phone restarted.
    Unknown,
}

/// The two things a hand can move in a current pole.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// The way to the meter.
    Path,
    /// The short on the CT side.
    Short,
}

/// The next act on a current pole.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Next {
    /// What is moved.
    pub part: Part,
    /// What it comes to: made or apart.
    pub to: Contact,
}

/// One pole of the volts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PotentialPole {
    /// "A", "N".
    pub name: String,
    /// Up, down or unknown.
    pub contact: Contact,
    /// "up", "down", "unknown".
    pub state_words: String,
    /// Where the next act takes it.
    pub next: Option<Contact>,
}

/// One element's pole of the amps.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CurrentPole {
    /// "A".
    pub name: String,
    /// The way to the meter.
    pub path: Contact,
    /// The short on the CT side.
    pub short: Contact,
    /// "to meter", "SHORTED", "broken", "unknown".
    pub state_words: String,
    /// The next act, where it is on this pole.
    pub next: Option<Next>,
}

/// The words of the picture that belong to no pole.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SwitchLabels {
    /// The whole picture in words.
    pub title: String,
    /// "VOLTS".
    pub volts: String,
    /// "AMPS".
    pub amps: String,
    /// "CT end".
    pub ct_end: String,
    /// "METER end".
    pub meter_end: String,
    /// The letter of a shorting blade: "S".
    pub shorting_blade: String,
    /// All volts in words, "all to meter"; may be empty.
    pub volts_words: String,
}

/// The facts and words of a switch, poles in the order they stand, from the left.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SwitchPicture {
    /// Its kind.
    pub kind: SwitchKind,
    /// Words.
    pub labels: SwitchLabels,
    /// Volts; none where there is no such pole.
    pub potentials: Vec<PotentialPole>,
    /// Amps.
    pub currents: Vec<CurrentPole>,
}

impl SwitchPicture {
    /// The same facts in rows: group and pole, state.
    pub fn table(&self) -> Table {
        let volts = self.potentials.iter().map(|p| (&self.labels.volts, &p.name, &p.state_words));
        let amps = self.currents.iter().map(|p| (&self.labels.amps, &p.name, &p.state_words));
        let row = |(group, name, state): (&String, &String, &String)| vec![format!("{group} {name}"), state.clone()];
        Table { rows: volts.chain(amps).map(row).collect() }
    }
}
