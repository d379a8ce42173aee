//! Unfinished input: kept at each keystroke, until the entry made of it was read back from the store.

use super::keeper;
use crate::Trouble;
use serde::Serialize;
use serde::de::DeserializeOwned;

const START: &str = "draft.";

/// Keeps unfinished input under a key of the caller's.
pub fn save<T: Serialize + DeserializeOwned>(key: &str, input: &T) -> Result<(), Trouble> {
    keeper::write(&named(key), input)
}

/// The unfinished input under that key.
pub fn load<T: DeserializeOwned>(key: &str) -> Result<Option<T>, Trouble> {
    keeper::read(&named(key))
}

/// Forgets it: only after the entry made of it was saved, or a person threw it away.
pub fn clear(key: &str) -> Result<(), Trouble> {
    keeper::remove(&named(key))
}

/// The keys under which unfinished input lies.
pub fn keys() -> Result<Vec<String>, Trouble> {
    keeper::keys(START)
}

fn named(key: &str) -> String {
    format!("{START}{key}")
}
