//! The steps of the visit, one screen each: caution, act, picture, reading, and one large button.

mod hands;
mod look;
mod panels;
mod picture;
mod plan;
mod proofs;
mod say;
mod view;

pub use view::steps;
