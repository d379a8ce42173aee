//! Saving one action of a person: one strict transaction, all or nothing, read back before it is called saved.

use super::connection::Store;
use super::desk::{Desk, Work};
use super::readback;
use super::rows::{Blob, EntryRow, JobRow};
use super::schema::{BLOBS, ENTRIES, JOBS};
use crate::Trouble;
use wasm_bindgen::JsValue;

/// Everything one action of a person changes in one job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SaveBatch {
    /// The job.
    pub job: String,
    /// The revision the change was made from; 0 for a job that is not in the store yet.
    pub revision_before: u64,
    /// The new entries.
    pub entries: Vec<EntryRow>,
    /// The derived summary after them, as JSON text.
    pub summary: String,
    /// The root hash after them.
    pub root: String,
    /// Photos that the new entries name.
    pub blobs: Vec<Blob>,
}

/// Proof that a batch was written and read back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Saved {
    /// The job.
    pub job: String,
    /// The revision to make the next change from.
    pub revision: u64,
    /// An earlier try had written these very bytes, though it could not say so.
    pub was_there: bool,
}

impl SaveBatch {
    /// The row of the job after this batch.
    pub(super) fn row(&self) -> JobRow {
        JobRow {
            job: self.job.clone(),
            summary: self.summary.clone(),
            root: self.root.clone(),
            revision: self.revision_before.saturating_add(1),
        }
    }
}

impl Store {
    /// Saves a batch: all of it or nothing. Only what this gives back may be shown as saved.
    ///
    /// Doing it again is harmless: where the same bytes stand already, that counts as saved. So after
    /// [`Trouble::StoreSilent`] or [`Trouble::StoreClosed`] the same batch may be tried again.
    pub async fn save(&self, batch: &SaveBatch) -> Result<Saved, Trouble> {
        self.run(async |desk| save_on(desk, batch).await).await
    }
}

async fn save_on(desk: &Desk, batch: &SaveBatch) -> Result<Saved, Trouble> {
    match write(desk, batch).await {
        Ok(()) => {
            readback::confirm(desk, batch).await?;
            Ok(Saved { job: batch.job.clone(), revision: batch.row().revision, was_there: false })
        }
        Err(refused) if is_taken(&refused) => standing(desk, batch, refused).await,
        Err(trouble) => Err(trouble),
    }
}

/// Writes the batch in one transaction.
async fn write(desk: &Desk, batch: &SaveBatch) -> Result<(), Trouble> {
    let work = desk.write("save", &[ENTRIES, JOBS, BLOBS])?;
    let written = async {
        let found = revision_in(&work, &batch.job).await?;
        if found != batch.revision_before {
            let (job, expected) = (batch.job.clone(), batch.revision_before);
            return Err(Trouble::ChangedElsewhere { job, expected, found });
        }
        put_all(&work, batch)
    };
    match written.await {
        Ok(()) => work.end().await,
        Err(trouble) => {
            work.undo();
            Err(trouble)
        }
    }
}

/// The job's revision as it stands in the store; 0 when the job is not there.
async fn revision_in(work: &Work, job: &str) -> Result<u64, Trouble> {
    let row = work.answer(work.store(JOBS)?.get(JsValue::from_str(job))).await?;
    if row.is_undefined() { Ok(0) } else { JobRow::from_js(&row).map(|row| row.revision) }
}

/// Asks for all writes at once; their failures show at the end of the transaction.
fn put_all(work: &Work, batch: &SaveBatch) -> Result<(), Trouble> {
    let entries = work.store(ENTRIES)?;
    for entry in &batch.entries {
        entries.add(&entry.to_js(&batch.job)?, None).map_err(|error| work.failed(error))?;
    }
    let blobs = work.store(BLOBS)?;
    for blob in &batch.blobs {
        // Found by hash: writing the same photo twice changes nothing.
        blobs.put(&blob.to_js(), None).map_err(|error| work.failed(error))?;
    }
    work.store(JOBS)?.put(&batch.row().to_js()?, None).map_err(|error| work.failed(error))?;
    Ok(())
}

/// Whether the store refused because something stands there already.
fn is_taken(trouble: &Trouble) -> bool {
    match trouble {
        Trouble::ChangedElsewhere { .. } => true,
        Trouble::StoreFailed { name, .. } => name == "ConstraintError",
        _ => false,
    }
}

/// Tells an earlier try of the same batch from someone else's change.
async fn standing(desk: &Desk, batch: &SaveBatch, refused: Trouble) -> Result<Saved, Trouble> {
    if !batch.entries.is_empty() && readback::missing(desk, batch).await?.is_none() {
        let revision = readback::revision(desk, &batch.job).await?;
        return Ok(Saved { job: batch.job.clone(), revision, was_there: true });
    }
    match readback::other_at(desk, batch).await? {
        Some(entry) => Err(Trouble::AlreadyThere { job: batch.job.clone(), device: entry.device.clone(), n: entry.n }),
        None => Err(refused),
    }
}
