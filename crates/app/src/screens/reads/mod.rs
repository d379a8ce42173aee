//! Registers of both meters: what was read when, and how far the outgoing one moved on.

mod registers;
mod view;

pub use view::reads;
