//! What only a browser can do: storage, locks, messages between tabs, files, the clock, the screen's wake lock.
//!
//! Conventions: every function that can fail gives a [`Trouble`], which carries facts and a stable code; the sentences
//! belong to another crate. Times are milliseconds since 1970 as `i64`, or RFC 3339 text with the local offset. Nothing
//! here panics, and nothing here says "saved" before it has read back what it wrote.

pub mod channel;
pub mod clock;
mod events;
pub mod files;
pub mod focus;
pub mod hash;
mod ids;
mod js;
pub mod locks;
pub mod network;
pub mod panic;
pub mod persist;
pub mod root;
pub mod settings;
pub mod store;
pub mod theme;
pub mod timer;
mod trouble;
pub mod update;
pub mod wake;

pub use events::Listener;
pub use trouble::Trouble;
