//! What a person chose once and should not be asked again.

use super::keeper;
use crate::Trouble;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::collections::BTreeMap;

const KEY: &str = "choices";

/// Light or dark.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Theme {
    /// As the device has it.
    #[default]
    Auto,
    /// Dark text on a light ground.
    Light,
    /// Light text on a dark ground.
    Dark,
}

/// How this person writes numbers.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum NumberStyle {
    /// Both separators are taken, and a number that can be read two ways is asked about.
    #[default]
    Ask,
    /// The decimal separator is a point.
    Point,
    /// The decimal separator is a comma.
    Comma,
}

/// A person's choices. What a newer version added is kept.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Choices {
    /// Light or dark.
    pub theme: Theme,
    /// The technician's name, as written in entries.
    pub technician: String,
    /// The technician's number or badge.
    pub badge: String,
    /// The place to go on at: the route that was open last.
    pub last_place: String,
    /// How numbers are written.
    pub numbers: NumberStyle,
    /// What this version does not know.
    #[serde(flatten)]
    pub other: BTreeMap<String, Value>,
}

/// The choices of this device; `None` when nothing was chosen yet.
pub fn load() -> Result<Option<Choices>, Trouble> {
    keeper::read(KEY)
}

/// Keeps the choices.
pub fn save(choices: &Choices) -> Result<(), Trouble> {
    keeper::write(KEY, choices)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_newer_version_added_survives() {
        let text = r#"{"theme":"dark","new_thing":[1,2]}"#;
        let choices: Choices = serde_json::from_str(text).unwrap();
        assert_eq!(choices.theme, Theme::Dark);
        assert!(serde_json::to_string(&choices).unwrap().contains(r#""new_thing":[1,2]"#));
    }
}
