//! Load profiles from and to the files that others write.
//!
//! A file is read as a [`layout::Layout`] says; [`guess::guess`] proposes one from the file's beginning, to be shown and
//! confirmed. Nothing is repaired in silence: what a file holds that a tidy one would not is an [`oddity::Oddities`], by
//! code, with its row and what was found there; what was left out is counted.

pub mod guess;
pub mod layout;
mod number;
pub mod oddity;
pub mod read;
mod time;
