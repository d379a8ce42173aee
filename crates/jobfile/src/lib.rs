//! What is written down: entries, the chains they form, the fold that shows them, and the file they travel in.
//!
//! Conventions: a hash is SHA-256 over canonical JSON (RFC 8785); a stored number is a whole number or a decimal text,
//! never a JSON fraction; a moment is RFC 3339 text with offset; what is absent is left out, never empty and never zero.
//! Nothing here asks for the time, for chance or for a disk: the caller hands them in.
//!
//! In reading order: [`kinds`] (the vocabulary), [`what`] and [`entry`], [`journal`], [`fold`], [`mod@file`], [`summary`].

pub mod by_hash;
pub mod canonical;
pub mod check;
pub mod entry;
pub mod file;
pub mod fold;
pub mod hash;
pub mod id;
pub mod journal;
pub mod kinds;
pub mod moment;
pub mod problem;
mod settle;
pub mod sorting;
mod strict;
pub mod summary;
pub mod typed;
pub mod version;
pub mod what;

pub use canonical::{canonical_bytes, canonical_text};
pub use entry::{Entry, Stamp};
pub use file::{Blobs, Reading};
pub use fold::{Fate, Fold, Live, Past, Unknown};
pub use hash::Hash;
pub use id::{DeviceId, JobId};
pub use journal::{Fork, Journal};
pub use problem::{Grade, Problem, code};
pub use summary::{Stands, Summary};
pub use what::{Draft, Fields, What};
