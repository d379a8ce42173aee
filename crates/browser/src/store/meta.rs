//! What the store knows about itself: the device's name for itself, and other small notes.

use super::connection::Store;
use super::desk::{Desk, Work};
use super::readback::READS_BACK;
use super::rows::{Reader, object};
use super::schema::META;
use crate::{Trouble, ids};
use wasm_bindgen::JsValue;

const DEVICE: &str = "device";

/// A name for a new job: 128 random bits in base32.
pub fn job_id() -> Result<String, Trouble> {
    ids::mint()
}

impl Store {
    /// This device's name for itself: 128 random bits in base32, minted once per store. It is never taken from a file,
    /// else a restored phone would go on with another phone's chain.
    pub async fn device_id(&self) -> Result<String, Trouble> {
        self.run(async |desk| {
            let minted = ids::mint()?;
            let work = desk.write("device", &[META])?;
            // Read and added in one transaction, so that two tabs that start together agree.
            let found = value_in(&work, DEVICE).await?;
            let device = match found {
                Some(device) => device,
                None => {
                    work.answer(work.store(META)?.add(&note(DEVICE, &minted), None)).await?;
                    minted
                }
            };
            work.end().await?;
            confirm(desk, DEVICE, &device).await?;
            Ok(device)
        })
        .await
    }

    /// A note by its key.
    pub async fn meta(&self, key: &str) -> Result<Option<String>, Trouble> {
        self.run(async |desk| value_in(&desk.read("load", &[META])?, key).await).await
    }

    /// Writes a note, and reads it back.
    pub async fn put_meta(&self, key: &str, value: &str) -> Result<(), Trouble> {
        self.run(async |desk| {
            let work = desk.write("note", &[META])?;
            work.answer(work.store(META)?.put(&note(key, value), None)).await?;
            work.end().await?;
            confirm(desk, key, value).await
        })
        .await
    }
}

fn note(key: &str, value: &str) -> JsValue {
    object(&[("key", key.into()), ("value", value.into())])
}

async fn value_in(work: &Work, key: &str) -> Result<Option<String>, Trouble> {
    let row = work.answer(work.store(META)?.get(JsValue::from_str(key))).await?;
    if row.is_undefined() { Ok(None) } else { Reader { place: META, row: &row }.text("value").map(Some) }
}

async fn confirm(desk: &Desk, key: &str, value: &str) -> Result<(), Trouble> {
    if READS_BACK && value_in(&desk.read("read-back", &[META])?, key).await?.as_deref() != Some(value) {
        return Err(Trouble::NotReadBack { place: META, key: key.to_owned() });
    }
    Ok(())
}
