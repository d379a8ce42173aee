//! The job log as lines: when, what, who, and what became of it.

use crate::speak;
use jobfile::sorting::sort_by_key;
use jobfile::{Fate, Fold, Hash, Past};

/// One line of the log.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// First signs of the entry’s hash, by which it can be named aloud.
    pub short: String,
    /// When it was entered, by the clock of its phone.
    pub when: String,
    /// What it is about.
    pub what: String,
    /// What it says, field by field.
    pub says: Vec<(String, String)>,
    /// Who wrote it.
    pub who: String,
    /// What became of it, with the reason; nothing while it counts.
    pub fate: Option<String>,
}

/// All lines in the order of the log.
pub fn lines(fold: &Fold) -> Vec<Line> {
    let mut pasts: Vec<&Past> = fold.pasts().collect();
    sort_by_key(&mut pasts, |past| past.entry.order);
    pasts.into_iter().map(line).collect()
}

fn line(past: &Past) -> Line {
    let entry = &past.entry;
    let kind = jobfile::kinds::find(&entry.kind);
    let says = kind.into_iter().flat_map(|kind| kind.fields.iter()).filter_map(|field| {
        let value = entry.fields.get(field.id)?;
        Some((words::field(&entry.kind, field.id), speak::value(&entry.kind, field, value)))
    });
    Line {
        short: short(entry.hash),
        when: speak::moment(&jobfile::moment::write_time(entry.at)),
        what: speak::record(&entry.kind, &entry.place),
        says: says.collect(),
        who: entry.who.clone(),
        fate: fate(past),
    }
}

fn fate(past: &Past) -> Option<String> {
    let why = past.why.clone().unwrap_or_default();
    Some(match past.fate {
        Fate::Live => return None,
        Fate::Replaced(by) => words::corrected_by(&short(by), &why),
        Fate::NotChosen(by) => words::not_chosen_by(&short(by), &why),
        Fate::Withdrawn(by) => words::taken_back_by(&short(by), &why),
    })
}

/// The first eight signs of a hash.
fn short(hash: Hash) -> String {
    hash.to_string().chars().take(8).collect()
}

/// A hash in groups of four, to be read aloud.
pub fn spoken(hash: &str) -> String {
    let signs: Vec<char> = hash.chars().collect();
    let groups: Vec<String> = signs.chunks(4).map(|group| group.iter().collect()).collect();
    groups.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use jobfile::{DeviceId, Draft, JobId, Journal, Stamp, What};

    fn write(journal: &mut Journal, draft: Draft) -> Hash {
        let at = jobfile::moment::read_time("2026-06-12T10:00:00+02:00").unwrap();
        let stamp = Stamp { at, session: "s".into(), since_start_ms: 0, who: "M. Oduya".into() };
        let entries = journal.compose(DeviceId::from_bits([1; 16]), &stamp, &[draft]).unwrap();
        let hash = entries[0].hash();
        journal.append(entries).unwrap();
        hash
    }

    #[test]
    fn what_was_corrected_stays_readable_with_the_reason() {
        let mut journal = Journal::new(JobId::from_bits([1; 16]));
        let crew = |name: &str| What::new("crew", "").with("technician", name);
        let first = write(&mut journal, Draft::new(crew("M. Oduja")));
        write(&mut journal, Draft::correcting(crew("M. Oduya"), first, "misspelt"));
        let lines = lines(&Fold::of(&journal));
        assert_eq!(lines.len(), 2);
        assert_eq!(lines[0].says[0].1, "M. Oduja");
        assert!(lines[0].fate.as_deref().unwrap().contains("misspelt"));
        assert_eq!(lines[1].fate, None);
    }

    #[test]
    fn a_hash_is_read_aloud_in_fours() {
        assert_eq!(spoken("0123456789ab"), "0123 4567 89ab");
        assert_eq!(spoken(""), "");
    }
}
