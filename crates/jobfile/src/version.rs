//! Versions of what is stored, and the steps that bring an older entry up to today's shape for reading.
//!
//! A hashed entry is never rewritten: a step acts on a copy that only the fold sees.

use serde_json::Value;
use std::borrow::Cow;
use thiserror::Error;

/// The word by which a job file says what it is.
pub const FORMAT: &str = "dotside-job";
/// The breaking version: of the envelope, and the `v` of every entry written today. A reader refuses a file above its own.
pub const BREAKING: u32 = 1;
/// The additive version: counts new kinds, places, fields and choices, which an older reader keeps without knowing them.
pub const ADDITIVE: u32 = 0;

/// Takes an entry from one breaking version to the next; the text is for people who read the table of versions.
pub struct Step {
    /// What the step does; released text is never edited.
    pub says: &'static str,
    /// Does it.
    pub run: fn(Value) -> Result<Value, UpgradeError>,
}

/// `STEPS[n]` leaves breaking version `n + 1`. Append only; a test holds the hash of every released step.
pub const STEPS: [Step; BREAKING as usize - 1] = [];

/// Why an entry could not be brought up to today's version.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum UpgradeError {
    /// It was written by a version that does not exist yet.
    #[error("version {found} is from the future; {BREAKING} is known")]
    FromTheFuture {
        /// The version found.
        found: u64,
    },
    /// It has no version, or version 0, which never was.
    #[error("no version that was ever released")]
    NoVersion,
    /// A step met something that its version could not have written.
    #[error("step from version {from} met an entry it does not know: {what}")]
    Misfit {
        /// The version the step leaves.
        from: u32,
        /// What it met, as a JSON pointer.
        what: String,
    },
}

/// The entry as today's code understands it. `read` stays as it was: its hash depends on it.
///
/// # Errors
/// [`UpgradeError`] when the version is unknown or a step fails.
pub fn as_today(read: &Value) -> Result<Cow<'_, Value>, UpgradeError> {
    let found = read.get("v").and_then(Value::as_u64).filter(|found| *found > 0).ok_or(UpgradeError::NoVersion)?;
    upgrade(read, found, &STEPS)
}

fn upgrade<'a>(read: &'a Value, found: u64, steps: &[Step]) -> Result<Cow<'a, Value>, UpgradeError> {
    let from = usize::try_from(found - 1).unwrap_or(usize::MAX);
    match steps.get(from..) {
        None => Err(UpgradeError::FromTheFuture { found }),
        Some([]) => Ok(Cow::Borrowed(read)),
        Some(pending) => pending.iter().try_fold(read.clone(), |tree, step| (step.run)(tree)).map(Cow::Owned),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hash::Hash;
    use serde_json::json;

    /// Hash of the text of every released step, in order. Append only.
    const RELEASED: &[&str] = &[];

    #[test]
    fn released_steps_are_never_edited() {
        assert!(STEPS.len() >= RELEASED.len(), "a released step was removed");
        for (step, released) in STEPS.iter().zip(RELEASED) {
            assert_eq!(Hash::of_bytes(step.says.as_bytes()).to_string(), *released, "{}", step.says);
        }
        assert_eq!(STEPS.len(), RELEASED.len(), "a new step needs its hash in RELEASED, and one breaking version more");
    }

    #[test]
    fn each_version_is_left_by_one_step_and_none_is_skipped() {
        fn mark(mut tree: Value) -> Result<Value, UpgradeError> {
            let seen = tree["steps"].as_u64().unwrap_or(0);
            tree["steps"] = json!(seen + 1);
            Ok(tree)
        }
        let steps = [Step { says: "one", run: mark }, Step { says: "two", run: mark }];
        let read = json!({"v": 1});
        assert_eq!(upgrade(&read, 1, &steps).unwrap()["steps"], json!(2));
        assert_eq!(upgrade(&read, 2, &steps).unwrap()["steps"], json!(1));
        assert_eq!(*upgrade(&read, 3, &steps).unwrap(), read);
        assert_eq!(upgrade(&read, 4, &steps), Err(UpgradeError::FromTheFuture { found: 4 }));
        assert_eq!(read, json!({"v": 1}), "what was read stays as it was");
    }

    #[test]
    fn versions_that_never_were_are_refused_by_name() {
        for odd in [json!({}), json!({"v": 0}), json!({"v": -1}), json!({"v": "1"})] {
            assert_eq!(as_today(&odd), Err(UpgradeError::NoVersion), "{odd}");
        }
        assert_eq!(as_today(&json!({"v": u64::MAX})), Err(UpgradeError::FromTheFuture { found: u64::MAX }));
    }
}
