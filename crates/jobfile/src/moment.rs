//! Moments as stored: RFC 3339 text with the offset of the place where it was written.

use chrono::{DateTime, FixedOffset, SecondsFormat};

/// Reads RFC 3339 text with offset.
pub fn read_time(text: &str) -> Option<DateTime<FixedOffset>> {
    DateTime::parse_from_rfc3339(text).ok()
}

/// Writes a moment, to the millisecond where it has any.
pub fn write_time(at: DateTime<FixedOffset>) -> String {
    at.to_rfc3339_opts(SecondsFormat::Millis, false)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_moment_keeps_its_offset() {
        let at = read_time("2026-11-25T09:30:00.250-05:00").unwrap();
        assert_eq!(write_time(at), "2026-11-25T09:30:00.250-05:00");
        assert!(read_time("2026-11-25T09:30:00").is_none(), "without offset it is no moment");
        assert!(read_time("2026-11-25").is_none());
    }
}
