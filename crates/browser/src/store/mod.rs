//! The store that keeps jobs on this device: IndexedDB, strict, read back before anything is called saved.
//!
//! Five object stores: `entries` (added, never put; key job, device, number), `jobs` (a derived summary each, so that a
//! long list needs no folding), `blobs` (photos by hash), `inbox` (what could not be opened, its bytes as they came) and
//! `meta` (the device's name for itself). One transaction per action of a person; nothing else is awaited inside it.

mod connection;
mod desk;
mod inbox;
mod jobs;
mod meta;
mod opening;
mod readback;
mod rows;
mod save;
mod schema;

pub use connection::{Notice, Options, Store};
pub use inbox::{InboxNew, InboxRow};
pub use jobs::StoredJob;
pub use meta::job_id;
pub use rows::{Blob, EntryRow, JobRow};
pub use save::{SaveBatch, Saved};
