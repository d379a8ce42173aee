//! The screens, a folder each: the machine in `state.rs` where it has one of its own, the skin in `view.rs`.

pub mod calculator;
pub mod inbox;
pub mod jobs;
pub mod log;
pub mod overview;
pub mod phone;
pub mod plates;
pub mod readings;
pub mod reads;
pub mod seals;
pub mod sheet;
pub mod start;
pub mod steps;
