//! Seal numbers side by side, and those that stand at two places.

use jobfile::Fold;
use jobfile::kinds::SEAL_POSITIONS;

/// A position with the seal found there and the seal left.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Position {
    /// The position’s code.
    pub code: &'static str,
    /// State and number as found.
    pub found: Option<(String, Option<String>)>,
    /// State and number as left.
    pub left: Option<(String, Option<String>)>,
}

/// Every position that anything is written about.
pub fn positions(fold: &Fold) -> Vec<Position> {
    let seal = |when: &str, code: &str| {
        let live = fold.one("seal", &format!("{when}/{code}"))?;
        let state = words::choice("seal", "state", live.fields.choice("state")?);
        Some((state, live.fields.text("number").map(str::to_string)))
    };
    let all = SEAL_POSITIONS.iter().map(|code| Position { code, found: seal("found", code), left: seal("left", code) });
    all.filter(|position| position.found.is_some() || position.left.is_some()).collect()
}

/// Numbers that were set at more than one position, or set again though they were found: a seal is used once.
pub fn repeated(positions: &[Position]) -> Vec<String> {
    let left: Vec<&String> = positions.iter().filter_map(|position| position.left.as_ref()?.1.as_ref()).collect();
    let found: Vec<&String> = positions.iter().filter_map(|position| position.found.as_ref()?.1.as_ref()).collect();
    let mut again: Vec<String> = left
        .iter()
        .enumerate()
        .filter(|(at, number)| left.iter().skip(at + 1).any(|other| other == *number) || found.contains(number))
        .map(|(_, number)| (*number).clone())
        .collect();
    again.dedup();
    again
}

#[cfg(test)]
mod tests {
    use super::*;

    fn position(code: &'static str, found: &str, left: &str) -> Position {
        let seal = |number: &str| (!number.is_empty()).then(|| ("set".to_string(), Some(number.to_string())));
        Position { code, found: seal(found), left: seal(left) }
    }

    #[test]
    fn a_seal_is_used_once() {
        assert_eq!(
            repeated(&[position("meter", "S-1", "S-2"), position("switch", "S-3", "S-4")]),
            Vec::<String>::new()
        );
        assert_eq!(repeated(&[position("meter", "S-1", "S-2"), position("switch", "S-3", "S-2")]), vec!["S-2"]);
        assert_eq!(repeated(&[position("meter", "S-1", "S-1")]), vec!["S-1"]);
    }
}
