//! A group of records that are filled in and written down together: the one form that every screen uses.

pub mod layout;
pub mod state;
pub mod view;

#[cfg(test)]
pub use state::Msg;
pub use state::GroupState;
pub use view::{GroupView, SaveGroup};
