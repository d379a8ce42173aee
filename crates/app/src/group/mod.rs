//! A group of records that are filled in and written down together: the one form that every screen uses.

pub mod layout;
pub mod state;
pub mod view;

pub use state::{GroupState, Msg};
pub use view::{group_screen, group_view, loose_screen, save_group};
