//! Reading back: what the store gives after a write is compared byte for byte with what was written.
//!
//! Browsers have been seen to report a write as complete and to give nothing back. With the feature `without-read-back`
//! every write is believed; a test of fault 13 fails then, which shows that this file is what catches it.

use super::desk::{Desk, Work};
use super::rows::{Blob, EntryRow, JobRow};
use super::save::SaveBatch;
use super::schema::{BLOBS, ENTRIES, JOBS};
use crate::Trouble;
use wasm_bindgen::JsValue;

#[cfg(all(feature = "without-read-back", not(debug_assertions)))]
compile_error!("the feature without-read-back is for one test only, never for a build that people use");

/// Whether writes are read back in this build.
pub(super) const READS_BACK: bool = !cfg!(feature = "without-read-back");

/// Fails unless the whole batch stands in the store. Reads in a transaction of its own.
pub(super) async fn confirm(desk: &Desk, batch: &SaveBatch) -> Result<(), Trouble> {
    if !READS_BACK {
        return Ok(());
    }
    match missing(desk, batch).await? {
        None => Ok(()),
        Some((place, key)) => Err(Trouble::NotReadBack { place, key }),
    }
}

/// The first part of the batch that does not stand in the store as it was written.
pub(super) async fn missing(desk: &Desk, batch: &SaveBatch) -> Result<Option<(&'static str, String)>, Trouble> {
    let work = desk.read("read-back", &[ENTRIES, JOBS, BLOBS])?;
    for entry in &batch.entries {
        if entry_at(&work, &batch.job, entry).await?.as_ref() != Some(entry) {
            return Ok(Some((ENTRIES, format!("{} {}", entry.device, entry.n))));
        }
    }
    for blob in &batch.blobs {
        let row = work.answer(work.store(BLOBS)?.get(JsValue::from_str(&blob.hash))).await?;
        if row.is_undefined() || Blob::from_js(&row)? != *blob {
            return Ok(Some((BLOBS, blob.hash.clone())));
        }
    }
    let wanted = batch.row();
    // A later revision is another tab's, saved since; the entries above are what must stand.
    let stands = row_of(&work, &batch.job).await?.is_some_and(|row| row == wanted || row.revision > wanted.revision);
    Ok((!stands).then(|| (JOBS, batch.job.clone())))
}

/// The first entry of the batch at whose number another entry stands.
pub(super) async fn other_at<'a>(desk: &Desk, batch: &'a SaveBatch) -> Result<Option<&'a EntryRow>, Trouble> {
    let work = desk.read("read-back", &[ENTRIES])?;
    for entry in &batch.entries {
        if entry_at(&work, &batch.job, entry).await?.is_some_and(|found| found != *entry) {
            return Ok(Some(entry));
        }
    }
    Ok(None)
}

/// The revision that stands in the store; 0 when the job is not there.
pub(super) async fn revision(desk: &Desk, job: &str) -> Result<u64, Trouble> {
    let work = desk.read("read-back", &[JOBS])?;
    Ok(row_of(&work, job).await?.map_or(0, |row| row.revision))
}

async fn row_of(work: &Work, job: &str) -> Result<Option<JobRow>, Trouble> {
    let row = work.answer(work.store(JOBS)?.get(JsValue::from_str(job))).await?;
    if row.is_undefined() { Ok(None) } else { JobRow::from_js(&row).map(Some) }
}

async fn entry_at(work: &Work, job: &str, entry: &EntryRow) -> Result<Option<EntryRow>, Trouble> {
    let row = work.answer(work.store(ENTRIES)?.get(entry.key(job)?)).await?;
    if row.is_undefined() { Ok(None) } else { EntryRow::from_js(&row).map(Some) }
}
