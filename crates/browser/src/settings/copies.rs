//! When a copy of each job last left this device: a browser may empty its storage, so people are reminded.

use super::keeper;
use crate::Trouble;
use std::collections::BTreeMap;

const KEY: &str = "copies";

/// Notes that a copy of a job left this device.
pub fn mark(job: &str, unix_ms: i64) -> Result<(), Trouble> {
    let mut copies = all()?;
    copies.insert(job.to_owned(), unix_ms);
    keeper::write(KEY, &copies)
}

/// When a copy of the job last left this device, in milliseconds since 1970; `None` when none did.
pub fn last(job: &str) -> Result<Option<i64>, Trouble> {
    Ok(all()?.get(job).copied())
}

/// Every job of which a copy left this device.
pub fn all() -> Result<BTreeMap<String, i64>, Trouble> {
    Ok(keeper::read(KEY)?.unwrap_or_default())
}
