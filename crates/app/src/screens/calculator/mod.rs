//! The arithmetic of the trade without a job.

mod ratio;
mod view;

pub use view::calculator;
