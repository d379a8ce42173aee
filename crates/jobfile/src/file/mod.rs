//! The file a job travels in: one JSON document, one entry a line, photos last.

mod base64;
mod read;
mod write;

pub use read::{Reading, read};
pub use write::write;

use crate::by_hash::ByHash;
use crate::problem::{Problem, code};

/// Most bytes that are read: 64 MiB.
pub const MOST_BYTES: u64 = 64 * 1024 * 1024;

/// Photos by the hash of their bytes.
pub type Blobs = ByHash<Vec<u8>>;

/// Whether a file of this size may be read at all: asked before the first byte is fetched.
///
/// # Errors
/// A [`Problem`] with both sizes in bytes.
pub fn check_size(bytes: u64) -> Result<(), Problem> {
    if bytes <= MOST_BYTES {
        return Ok(());
    }
    Err(Problem::new(code::FILE_TOO_LARGE, "", &bytes.to_string(), MOST_BYTES.to_string()))
}
