//! Whether the browser promises to keep this origin's storage, and how much room it says there is.

use crate::{Trouble, js};
use wasm_bindgen::JsValue;

/// What the browser says of the room. Only a refused write is proof; some browsers always claim the same.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    /// In use, in bytes.
    pub usage_bytes: f64,
    /// The most there can be, in bytes.
    pub quota_bytes: f64,
}

/// Whether the browser promised to keep the storage.
pub async fn persisted() -> Result<bool, Trouble> {
    Ok(answer("persisted").await?.is_truthy())
}

/// Asks the browser to keep the storage. It decides by itself, often without asking the person.
pub async fn ask() -> Result<bool, Trouble> {
    Ok(answer("persist").await?.is_truthy())
}

/// What the browser says of the room.
pub async fn estimate() -> Result<Estimate, Trouble> {
    let said = answer("estimate").await?;
    let bytes = |name| js::get(&said, name).as_f64().ok_or(Trouble::PersistAbsent);
    Ok(Estimate { usage_bytes: bytes("usage")?, quota_bytes: bytes("quota")? })
}

async fn answer(method: &str) -> Result<JsValue, Trouble> {
    let storage = js::get(&js::window()?.navigator(), "storage");
    let asked = js::call(&storage, method, &[]).ok_or(Trouble::PersistAbsent)?;
    js::wait(asked.map_err(|_| Trouble::PersistAbsent)?).await.map_err(|_| Trouble::PersistAbsent)
}
