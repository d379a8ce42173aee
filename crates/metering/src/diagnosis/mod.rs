//! From readings to causes: ranked explanations of what was read, with calibrated chances, by exact inference over the
//! physical model.

#![expect(clippy::needless_range_loop, reason = "a channel's number indexes several arrays of fixed size at once")]

mod amps;
mod atoms;
mod cause;
mod check;
mod evidence;
mod explain;
mod infer;
mod key;
mod layout;
pub mod priors;
mod slips;
#[cfg(test)]
mod tests;
mod visit;
mod volts;
mod watts;

pub use cause::Cause;
pub use check::{Check, CheckKind, possibly_open};
pub use explain::{Diagnosis, Explanation, Verdict, diagnose};
pub use visit::{Adding, Display, Load, OwnDisplay, Readings, Repeated, ShortTest, Shown, Told, Visit};
