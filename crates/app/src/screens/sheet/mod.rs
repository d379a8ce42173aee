//! The close-out sheet: what is left before you lock, billing’s rows, ten lines for the radio, the signature.

mod cells;
mod view;
mod ways;

pub use cells::left;
pub use view::sheet;
