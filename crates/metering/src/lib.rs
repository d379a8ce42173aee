//! What is calculated. Pure: no clock, no randomness, no I/O, no sentence for people; same input, same bits on every target.
//!
//! # Conventions
//! - **Units.** SI without prefix inside (V, A, W, var, VA, Wh, s); a bare number carries its unit in its name.
//!   Kilo- appears only where a register or a bill counts in it, and then in the name (`_kwh`).
//! - **Phasors** are complex RMS values; angles turn counter-clockwise, lead positive. S = V·conj(I), so a lagging load
//!   has Q > 0 (IEEE 1459). Only [`angle`] knows degrees and the lagging-positive habit of meter test switches.
//! - **Phase order.** Triples run A, B, C. Sequence ABC means that B lags A by 120°.
//! - **Exact numbers.** What is stamped or read off a register is exact: [`decimal`], [`rational`], [`factor`] (a rational,
//!   times √3 where the plate says so). `f64` is for what an instrument measured and for what follows from it.
//! - **Rounding** happens once, at the edge, by a named [`rational::Rounding`]; nothing is rounded on the way.
//! - **Absent** is `Option`, never NaN, never zero. Every function returns for every input; errors carry facts.
//! - **Working.** What computes a number that is shown also returns its [`working`], built by the same code.
//!
//! # Tour
//! [`range`] and [`quantity`] say what a number may be; [`angle`], [`phasor`] and [`sequence`] turn it; [`rational`],
//! [`decimal`] and [`factor`] keep it exact; [`ratio`] reads a plate, [`multiplier`] makes of plates what a bill multiplies
//! by, [`correction`] what follows where they were wrong, [`register`] takes one reading from another, and
//! [`demand`] keeps the peak; [`working`] shows how.
pub mod angle;
pub mod bypass;
pub mod circuit;
pub mod correction;
pub mod decimal;
pub mod demand;
pub mod diagnosis;
pub mod energy;
pub mod factor;
pub mod isolation;
pub mod meter;
pub mod multiplier;
pub mod phasor;
pub mod quantity;
pub mod range;
pub mod ratio;
pub mod rational;
pub mod reading;
pub mod register;
pub mod registration;
pub mod sequence;
pub mod service;
pub mod unbalance;
pub mod unregistered;
pub mod wiring;
pub mod working;
