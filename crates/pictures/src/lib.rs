//! Pictures made from facts: each function takes facts and the words that go with them, and returns SVG text.
//!
//! # Conventions
//! - **Units.** A picture is drawn 350 units wide, about one unit to a pixel on a phone; text is 13.5 units or more.
//! - **Angles** are degrees behind (clockwise) the upright ray; ahead is negative. Any finite angle will do.
//! - **Words** come in as fields, never from here; every one is escaped.
//! - **Looks** are classes of `assets/css/pictures.css`: no `style` attribute, no colour.
//! - **Never colour alone**: read is solid, expected is outlined, unknown is a question mark, the next act has a frame and an arrow.
//! - Each picture has a `table` of the same facts, for who reads better than looks.
pub mod chain;
#[cfg(test)]
mod checks;
pub mod circle;
mod label;
pub mod pairs;
pub mod steps;
mod svg;
pub mod switch;
pub mod table;

pub use chain::{ChainPicture, Factor, multiplier_chain};
pub use circle::{CirclePicture, Ray, RayKind, whole_circle};
pub use pairs::{PairPicture, PairsPicture, element_pairs};
pub use steps::{Dot, StepsPicture, steps_line};
pub use switch::{
    Contact, CurrentPole, Next, Part, PotentialPole, SwitchKind, SwitchLabels, SwitchPicture, switch_front,
};
pub use table::Table;
