//! Bytes from a file or from standard input, never more than a job file may have.

use jobfile::{Problem, Reading, code, file};
use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

/// Why there are no bytes.
#[derive(Debug)]
pub enum Trouble {
    /// The system gave none.
    System(io::Error),
    /// It is no job file, and is not read.
    Refused(Problem),
}

/// Reads and judges a file.
pub fn read(path: &Path) -> Result<Reading, Trouble> {
    let bytes = if path == Path::new("-") {
        take(io::stdin().lock())?
    } else {
        let opened = File::open(path).map_err(Trouble::System)?;
        let about = opened.metadata().map_err(Trouble::System)?;
        if about.is_dir() {
            return Err(Trouble::System(io::ErrorKind::IsADirectory.into()));
        }
        file::check_size(about.len()).map_err(Trouble::Refused)?;
        take(opened)?
    };
    Ok(file::read(&bytes))
}

/// A device or a pipe does not tell its size, so the reading itself ends one byte above the limit.
fn take(source: impl Read) -> Result<Vec<u8>, Trouble> {
    let mut bytes = Vec::new();
    source.take(file::MOST_BYTES + 1).read_to_end(&mut bytes).map_err(Trouble::System)?;
    if bytes.len() as u64 > file::MOST_BYTES {
        let found = format!("> {}", file::MOST_BYTES);
        return Err(Trouble::Refused(Problem::new(code::FILE_TOO_LARGE, "", &found, file::MOST_BYTES.to_string())));
    }
    Ok(bytes)
}
