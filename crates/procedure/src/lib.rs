//! The ordered work of a meter change and its stop checks: data over one pure state machine.
//!
//! Everything is derived from the folded log; nothing is stored here, and no clock is asked: the present is handed in as
//! [`now::Now`]. Times are milliseconds since 1970-01-01 UTC; electrical numbers are what an instrument showed, in the unit of
//! their name. Sentences are found in the words by the codes that each file lists.
//!
//! In reading order: [`steps`] (the visit as data), [`caution`], [`wants`], [`replay`] (the test switch as the log tells it),
//! [`checks`], [`mod@standing`] (where the job stands), [`press`] (from a press to what is written down), [`clocks`] and
//! [`billing`] (numbers), [`left`] and [`close_out`] (what leaves the site), [`budget`] (how much a routine change asks for).

pub mod billing;
pub mod budget;
pub mod caution;
pub mod checks;
pub mod clocks;
pub mod close_out;
mod facts;
pub mod fit;
pub mod left;
pub mod now;
pub mod power;
pub mod press;
pub mod replay;
pub mod standing;
pub mod steps;
pub mod wants;
pub mod work;

pub use now::Now;
pub use standing::{Standing, standing};

#[cfg(test)]
mod tests;
