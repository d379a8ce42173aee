//! Every entry of the job, with its corrections, and a line to add a note.

mod lines;
mod view;

pub use view::log;
