//! Looking at poles: what each should be seen to stand as, from what the log last knew.

use procedure::replay::{CurrentStands, PotentialStands, Replay};

/// A pole with the state it should be seen in: (kind of entry, place, state).
pub type Expected = (&'static str, &'static str, &'static str);

/// What a look at these poles (full names such as `current.A`) should find.
pub fn expected(replay: &Replay, names: &[&'static str]) -> Vec<Expected> {
    names.iter().filter_map(|name| one(replay, name)).collect()
}

fn one(replay: &Replay, name: &str) -> Option<Expected> {
    if let Some(track) = replay.elements.iter().find(|track| track.name == name) {
        let state = match track.was.unwrap_or(track.stands) {
            CurrentStands::Shorted => "shorted",
            CurrentStands::ShortedBoth => "both_closed",
            _ => "to_meter",
        };
        return Some(("current_seen", track.element, state));
    }
    let track = replay.potentials.iter().find(|track| track.name == name)?;
    let state = match track.was.unwrap_or(track.stands) {
        PotentialStands::Up => "open",
        _ => "to_meter",
    };
    Some(("potential_seen", track.pole, state))
}
