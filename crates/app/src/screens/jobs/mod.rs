//! The jobs on this phone: what is under way, what is not yet off it, how to begin, how to open a file.

mod line;
mod view;

pub use view::{jobs, last_trouble};
