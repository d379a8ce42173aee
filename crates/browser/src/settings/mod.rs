//! What fits in the small storage: choices, unfinished input, the sentinel, when each job last left this device.

mod choices;
pub mod copies;
pub mod drafts;
pub mod failures;
mod keeper;
pub mod kept;
pub mod sentinel;

pub use choices::{Choices, NumberStyle, Theme, load, save};
