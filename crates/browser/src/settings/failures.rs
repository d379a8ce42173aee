//! The messages of failures nobody foresaw: the last few, so that they can be shown and sent.

use super::keeper;
use crate::Trouble;

const KEY: &str = "failures";
/// How many are kept.
const MOST: usize = 20;
/// How long one may be: the small storage is small.
const MOST_CHARS: usize = 2000;

/// Keeps a message. It is called while the program is failing, so it reports nothing.
pub(crate) fn keep(message: &str) {
    let mut messages = load().unwrap_or_default();
    messages.push(message.chars().take(MOST_CHARS).collect());
    let surplus = messages.len().saturating_sub(MOST);
    messages.drain(..surplus);
    let _nobody_left_to_tell = keeper::write(KEY, &messages);
}

/// The messages of earlier failures, oldest first.
pub fn load() -> Result<Vec<String>, Trouble> {
    Ok(keeper::read(KEY)?.unwrap_or_default())
}
