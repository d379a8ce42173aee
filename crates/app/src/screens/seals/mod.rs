//! Seals found and left, position by position.

mod numbers;
mod view;

pub use view::seals;
