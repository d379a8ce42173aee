//! Demand: what a load profile is, and what the registers of a demand meter make of it.
//!
//! A [`profile::Profile`] holds energy per interval on one grid of time; what is missing is missing, never zero.
//! [`window`] makes block and rolling demand of it, [`thermal`] the demand of a lagged meter, [`apparent`] that in
//! volt-amperes; [`maximum`] is the register that keeps the peak, [`local`] the calendar of a place, [`load`] what else a
//! profile tells, [`capacity`] what a peak means to what carries it, and [`change`] what a change of the meter does to it all.

pub mod apparent;
pub mod capacity;
pub mod change;
pub mod load;
pub mod local;
pub mod maximum;
pub mod part;
pub mod profile;
#[cfg(test)]
mod properties;
mod sums;
pub mod thermal;
pub mod window;
