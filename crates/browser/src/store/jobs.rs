//! Reading jobs: the list with its summaries, one job with all its lines, a photo by its hash.

use super::connection::Store;
use super::rows::{Blob, EntryRow, JobRow};
use super::schema::{BLOBS, BY_JOB, ENTRIES, JOBS};
use crate::Trouble;
use idb::Query;
use js_sys::Array;
use wasm_bindgen::JsValue;

/// A job as it stands in the store.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StoredJob {
    /// Its derived row; `None` when only entries are there, and the summary has to be made again.
    pub row: Option<JobRow>,
    /// All entries, by device and number.
    pub entries: Vec<EntryRow>,
    /// Rows that are not as this program writes them, as JSON text: they stay in the store, and can be shown and taken
    /// out with the rest.
    pub damaged: Vec<String>,
}

impl Store {
    /// Every job's row, by job.
    pub async fn list_jobs(&self) -> Result<Vec<JobRow>, Trouble> {
        self.run(async |desk| {
            let work = desk.read("list", &[JOBS])?;
            let rows = work.answer(work.store(JOBS)?.get_all(None, None)).await?;
            Array::from(&rows).iter().map(|row| JobRow::from_js(&row)).collect()
        })
        .await
    }

    /// One job with all its entries; `None` when the store knows nothing of it.
    pub async fn load_job(&self, job: &str) -> Result<Option<StoredJob>, Trouble> {
        self.run(async |desk| {
            let work = desk.read("load", &[ENTRIES, JOBS])?;
            let key = JsValue::from_str(job);
            let row = work.answer(work.store(JOBS)?.get(key.clone())).await?;
            let by_job = work.store(ENTRIES)?.index(BY_JOB).map_err(|error| work.failed(error))?;
            let rows = work.answer(by_job.get_all(Some(Query::Key(key)), None)).await?;
            let row = if row.is_undefined() { None } else { Some(JobRow::from_js(&row)?) };
            // An index gives rows of one key in the order of their own keys: job, device, number.
            let mut stored = StoredJob { row, entries: Vec::new(), damaged: Vec::new() };
            for row in Array::from(&rows).iter() {
                match EntryRow::from_js(&row) {
                    Ok(entry) => stored.entries.push(entry),
                    Err(_) => stored.damaged.push(as_text(&row)),
                }
            }
            let is_known = stored.row.is_some() || !stored.entries.is_empty() || !stored.damaged.is_empty();
            Ok(is_known.then_some(stored))
        })
        .await
    }

    /// A photo by its hash.
    pub async fn blob(&self, hash: &str) -> Result<Option<Blob>, Trouble> {
        self.run(async |desk| {
            let work = desk.read("load", &[BLOBS])?;
            let row = work.answer(work.store(BLOBS)?.get(JsValue::from_str(hash))).await?;
            if row.is_undefined() { Ok(None) } else { Blob::from_js(&row).map(Some) }
        })
        .await
    }
}

/// A row of unknown shape as JSON text, as far as JSON can say it.
fn as_text(row: &JsValue) -> String {
    js_sys::JSON::stringify(row).ok().and_then(|text| text.as_string()).unwrap_or_default()
}
