//! What could not be opened: its bytes as they came, why, and when, until a person drops it.

use super::connection::Store;
use super::desk::{Desk, Work};
use super::readback::READS_BACK;
use super::rows::{Reader, number, object, whole};
use super::schema::{INBOX, LISTING};
use crate::{Trouble, js};
use js_sys::{Array, Uint8Array};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::IdbCursor;

/// Something to keep as it came.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct InboxNew<'a> {
    /// The file's name, or where the bytes came from.
    pub name: &'a str,
    /// The code of what was wrong with it.
    pub why: &'a str,
    /// When it came, RFC 3339.
    pub at: &'a str,
    /// The bytes.
    pub bytes: &'a [u8],
}

/// What a list shows of something kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InboxRow {
    /// Its number in the store.
    pub id: u32,
    /// The file's name, or where the bytes came from.
    pub name: String,
    /// The code of what was wrong with it.
    pub why: String,
    /// When it came, RFC 3339.
    pub at: String,
    /// How many bytes.
    pub size_bytes: u64,
}

impl Store {
    /// Keeps bytes that could not be opened. Gives their number, once they were read back.
    pub async fn put_inbox(&self, new: InboxNew<'_>) -> Result<u32, Trouble> {
        self.run(async |desk| {
            let work = desk.write("keep", &[INBOX])?;
            let row = object(&[
                ("name", new.name.into()),
                ("why", new.why.into()),
                ("at", new.at.into()),
                ("size", number(new.bytes.len() as u64)?),
                ("bytes", Uint8Array::from(new.bytes).into()),
            ]);
            let key = work.answer(work.store(INBOX)?.add(&row, None)).await?;
            work.end().await?;
            let id = id_of(&key)?;
            if READS_BACK && bytes_at(desk, id).await?.as_deref() != Some(new.bytes) {
                return Err(Trouble::NotReadBack { place: INBOX, key: id.to_string() });
            }
            Ok(id)
        })
        .await
    }

    /// What is kept, oldest first; the bytes stay in the store.
    pub async fn list_inbox(&self) -> Result<Vec<InboxRow>, Trouble> {
        self.run(async |desk| {
            let work = desk.read("list", &[INBOX])?;
            let listing = work.store(INBOX)?.index(LISTING).map_err(|error| work.failed(error))?;
            list(&work, &listing).await
        })
        .await
    }

    /// The bytes of something kept.
    pub async fn inbox_bytes(&self, id: u32) -> Result<Option<Vec<u8>>, Trouble> {
        self.run(async |desk| bytes_at(desk, id).await).await
    }

    /// Drops something kept: a person's decision.
    pub async fn drop_inbox(&self, id: u32) -> Result<(), Trouble> {
        self.run(async |desk| {
            let work = desk.write("drop", &[INBOX])?;
            work.answer(work.store(INBOX)?.delete(JsValue::from(id))).await?;
            work.end().await
        })
        .await
    }
}

/// Walks the index by its keys only: a list must not load what may be many megabytes.
async fn list(work: &Work, listing: &idb::Index) -> Result<Vec<InboxRow>, Trouble> {
    let asked = listing.open_key_cursor(None, None).map_err(|error| work.failed(error))?;
    let request: web_sys::IdbRequest = asked.into();
    let mut rows = Vec::new();
    loop {
        let found = work.answer(Ok(request.clone())).await?;
        let Ok(cursor) = found.dyn_into::<IdbCursor>() else { return Ok(rows) };
        rows.push(row_of(&cursor)?);
        cursor.continue_().map_err(|thrown| Trouble::StoreFailed {
            doing: "list",
            name: js::error_name(&thrown),
            message: js::error_message(&thrown),
        })?;
    }
}

/// The index key holds, in this order: at, name, why, size.
fn row_of(cursor: &IdbCursor) -> Result<InboxRow, Trouble> {
    let lacks = |lacks| Trouble::StoreUnreadable { place: INBOX, lacks };
    let key = Array::from(&cursor.key().map_err(|_| lacks("key"))?);
    let text = |index, name| key.get(index).as_string().ok_or_else(|| lacks(name));
    Ok(InboxRow {
        id: id_of(&cursor.primary_key().map_err(|_| lacks("id"))?)?,
        at: text(0, "at")?,
        name: text(1, "name")?,
        why: text(2, "why")?,
        size_bytes: whole(&key.get(3)).ok_or_else(|| lacks("size"))?,
    })
}

fn id_of(key: &JsValue) -> Result<u32, Trouble> {
    whole(key).and_then(|id| u32::try_from(id).ok()).ok_or(Trouble::StoreUnreadable { place: INBOX, lacks: "id" })
}

async fn bytes_at(desk: &Desk, id: u32) -> Result<Option<Vec<u8>>, Trouble> {
    let work = desk.read("load", &[INBOX])?;
    let row = work.answer(work.store(INBOX)?.get(JsValue::from(id))).await?;
    if row.is_undefined() { Ok(None) } else { Reader { place: INBOX, row: &row }.bytes("bytes").map(Some) }
}
