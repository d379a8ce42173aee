//! The shape of the database: its name, its version, its object stores.

use idb::event::VersionChangeEvent;
use idb::{Database, DatabaseEvent, KeyPath, ObjectStoreParams};

/// The database of this program.
pub(super) const NAME: &str = "dotside";
/// The version this code writes. Raising it needs a step in [`build`] for each version left behind.
pub(super) const VERSION: u32 = 1;

pub(super) const ENTRIES: &str = "entries";
pub(super) const JOBS: &str = "jobs";
pub(super) const BLOBS: &str = "blobs";
pub(super) const INBOX: &str = "inbox";
pub(super) const META: &str = "meta";
/// Every object store.
pub(super) const ALL: [&str; 5] = [ENTRIES, JOBS, BLOBS, INBOX, META];

/// Entries by job.
pub(super) const BY_JOB: &str = "by_job";
/// What lies in the inbox, without its bytes: the index holds all that a list shows.
pub(super) const LISTING: &str = "listing";

/// Builds the object stores inside the browser's own upgrade transaction. Gives the version that was there before.
pub(super) fn build(event: &VersionChangeEvent) -> Result<u32, idb::Error> {
    let before = event.old_version()?;
    if before < 1 {
        build_1(&event.database()?)?;
    }
    Ok(before)
}

fn build_1(database: &Database) -> Result<(), idb::Error> {
    let keyed = |path: KeyPath| {
        let mut params = ObjectStoreParams::new();
        params.key_path(Some(path));
        params
    };
    let entries = database.create_object_store(ENTRIES, keyed(KeyPath::new_array(["job", "device", "n"])))?;
    entries.create_index(BY_JOB, KeyPath::new_single("job"), None)?;
    database.create_object_store(JOBS, keyed(KeyPath::new_single("job")))?;
    database.create_object_store(BLOBS, keyed(KeyPath::new_single("hash")))?;
    let mut numbered = keyed(KeyPath::new_single("id"));
    numbered.auto_increment(true);
    let inbox = database.create_object_store(INBOX, numbered)?;
    inbox.create_index(LISTING, KeyPath::new_array(["at", "name", "why", "size"]), None)?;
    database.create_object_store(META, keyed(KeyPath::new_single("key")))?;
    Ok(())
}
