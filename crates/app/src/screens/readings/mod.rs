//! Volts, amps and angles at the meter, as found or as left, with what follows from them.

pub mod entered;
mod facts;
mod form;
mod pictures;
pub mod save;
mod view;

pub use view::{readings, texts};
