//! The physical range of one kind of quantity: what it is called, its unit, its least and most value.

use thiserror::Error;

/// A closed range `[least, most]` in one unit. One range serves checks, messages, documents and generators alike.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// What is measured, as a stable key of lower-case words joined by `_`.
    pub what: &'static str,
    /// Unit symbol as printed, empty for a pure number.
    pub unit: &'static str,
    /// Least value that is accepted, in `unit`.
    pub least: f64,
    /// Most value that is accepted, in `unit`.
    pub most: f64,
}

/// A value that is not a number or lies outside its [`Range`].
#[derive(Clone, Copy, Debug, PartialEq, Error)]
#[error("{what}: found {found}, wanted {least} to {most} {unit}", what = .range.what, least = .range.least, most = .range.most, unit = .range.unit)]
pub struct OutOfRange {
    /// The range that was asked for.
    pub range: Range,
    /// The number that was found, in the range's unit.
    pub found: f64,
}

impl Range {
    /// Returns `value` when it is finite and inside the range.
    ///
    /// # Errors
    /// [`OutOfRange`] otherwise, NaN and infinities included.
    pub fn check(self, value: f64) -> Result<f64, OutOfRange> {
        if value >= self.least && value <= self.most {
            Ok(value)
        } else {
            Err(OutOfRange { range: self, found: value })
        }
    }
}
