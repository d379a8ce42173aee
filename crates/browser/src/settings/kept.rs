//! What could not be read and was moved aside: to be shown, taken out, and dropped by a person.

use super::keeper;
use crate::Trouble;

/// Text that was moved aside.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Kept {
    /// Where it stands.
    pub key: String,
    /// The text as it was found.
    pub text: String,
}

/// Everything that was moved aside.
pub fn list() -> Result<Vec<Kept>, Trouble> {
    Ok(keeper::kept()?.into_iter().map(|(key, text)| Kept { key, text }).collect())
}

/// Drops one: a person's decision.
pub fn drop(kept: &Kept) -> Result<(), Trouble> {
    keeper::remove(&kept.key)
}
