//! The test switch as a state machine: what is believed of each pole, which act is safe next, and why another is not.
//!
//! A current transformer (CT) under load must never lose its secondary path, and a voltage transformer (VT) secondary
//! must never be short-circuited. Everything here serves these two. [`Belief`] is what the people at the cabinet know;
//! [`Belief::apply`] folds one [`Step`] (an act of a hand, a reading, a look) into it or refuses with a reason;
//! [`Belief::way_back`] names the next safe step toward *all restored*, or says *stop: de-energise*.
//!
//! # What is proved
//! The tests of `theorem` take every belief, every physical truth that can lie behind it, and every step. A *contact*
//! that was closed may conduct or not. They show, while the site is live:
//! 1. no accepted act takes a CT circuit from conducting to broken, and none brings a broken one to life;
//! 2. no accepted act puts a hand to the poles of a broken CT circuit;
//! 3. no accepted act shorts a VT, leaves phases closed on a broken neutral, livens the terminals of an absent meter, or
//!    moves a meter whose terminals are live;
//! 4. whatever is believed stays true: a proof is never held for a contact that does not conduct;
//! 5. following [`Belief::way_back`] from anywhere ends at *all restored* or at *stop: de-energise*, without a circle.
//!
//! # What is trusted
//! - Positions are as seen: a blade seen up is up. A change by another hand between two looks is not modelled.
//! - A switch of [`Kind::BladeShortsAsItOpens`] makes its short before it breaks the meter path, and the reverse on
//!   the way back; a plug of [`Kind::PlugInBlock`] does the same for all elements at once. No reading can be taken between.
//!   There the proof rests on a *look*: a clip, jumper or meter path found sound conducts. Should a fault hide from the
//!   look, 1 does not hold for that one motion; the tests show the bound: at most the element in hand (for a plug: those
//!   it moves) is lost, the next step accepted for it is the two-sided reading, that reading shows DANGER, and nothing
//!   but de-energising is accepted for it then.
//! - On all other kinds hidden faults are included in 1: readings, not looks, stand before every break.
//! - Readings tell the truth within the tolerances of [`proof`]; `de_energise` includes testing dead at the primary.
//!
//! # Authority
//! - CT circuit bridged before work, never opened live: 29 CFR 1910.269(w)(2) (same words: OAR 437-002-2322(2)).
//! - VT secondary never shorted; CT secondary never open with primary current: United States Navy training manual page.
//! - Two-sided proof: current divides between parallel paths (Ohm and Kirchhoff); the thresholds are common practice.
//! - Potentials tested dead, live–dead–live: NFPA 70E article 120.5 (from memory).
//! - Neutral opened last and closed first, one element at a time, hands off a suspected broken CT: common practice.

mod act;
mod belief;
mod effect;
mod guards;
pub mod proof;
mod refusal;
mod step;
mod switch;
#[cfg(test)]
mod theorem;
mod way;

pub use act::{Act, Element, Pole, PotentialPole};
pub use belief::{Belief, Circuit, Danger, DangerKind, Meter, Potential, Ready, ShortProof, Supply};
pub use proof::{Proof, Verdict};
pub use refusal::{Reason, Refusal, SafeWay};
pub use step::{CircuitSeen, PotentialSeen, Seen, Step};
pub use switch::{Kind, Order, OthersUse, Switch};
pub use way::Way;
