//! The rows of the store, and how each is written as a JavaScript object and read again.

use super::schema::{BLOBS, ENTRIES, JOBS};
use crate::{Trouble, js};
use js_sys::{Array, Object, Uint8Array};
use wasm_bindgen::{JsCast, JsValue};

/// The largest whole number that JavaScript keeps exactly.
const MOST_EXACT: u64 = (1 << 53) - 1;

/// One line of a job's journal, with what it is found by.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EntryRow {
    /// The device whose chain it belongs to.
    pub device: String,
    /// Its number in that chain.
    pub n: u64,
    /// Its hash.
    pub hash: String,
    /// The line as written, byte for byte.
    pub line: String,
}

/// What a list shows of a job: derived, and made again from the entries when it is missing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JobRow {
    /// The job.
    pub job: String,
    /// The derived summary, as JSON text; empty when the row is damaged, and it has to be derived again.
    pub summary: String,
    /// The root hash over the heads of all chains; empty as above.
    pub root: String,
    /// Counts the actions saved; two tabs find out by it that they disagree.
    pub revision: u64,
}

/// A photo or another attachment, found by its hash.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Blob {
    /// Hash of the bytes.
    pub hash: String,
    /// What kind of bytes.
    pub mime: String,
    /// The bytes.
    pub bytes: Vec<u8>,
}

impl EntryRow {
    pub(super) fn to_js(&self, job: &str) -> Result<JsValue, Trouble> {
        Ok(object(&[
            ("job", job.into()),
            ("device", self.device.as_str().into()),
            ("n", number(self.n)?),
            ("hash", self.hash.as_str().into()),
            ("line", self.line.as_str().into()),
        ]))
    }

    pub(super) fn from_js(row: &JsValue) -> Result<Self, Trouble> {
        let read = Reader { place: ENTRIES, row };
        Ok(Self {
            device: read.text("device")?,
            n: read.number("n")?,
            hash: read.text("hash")?,
            line: read.text("line")?,
        })
    }

    /// The key of this entry in the store.
    pub(super) fn key(&self, job: &str) -> Result<JsValue, Trouble> {
        Ok(Array::of3(&job.into(), &self.device.as_str().into(), &number(self.n)?).into())
    }
}

impl JobRow {
    pub(super) fn to_js(&self) -> Result<JsValue, Trouble> {
        Ok(object(&[
            ("job", self.job.as_str().into()),
            ("summary", self.summary.as_str().into()),
            ("root", self.root.as_str().into()),
            ("revision", number(self.revision)?),
        ]))
    }

    pub(super) fn from_js(row: &JsValue) -> Result<Self, Trouble> {
        let read = Reader { place: JOBS, row };
        // A damaged row must not hide the job: what it lacks reads as empty, and is derived again from the entries.
        Ok(Self {
            job: read.text("job")?,
            summary: read.text("summary").unwrap_or_default(),
            root: read.text("root").unwrap_or_default(),
            revision: read.number("revision").unwrap_or_default(),
        })
    }
}

impl Blob {
    pub(super) fn to_js(&self) -> JsValue {
        object(&[
            ("hash", self.hash.as_str().into()),
            ("mime", self.mime.as_str().into()),
            ("bytes", Uint8Array::from(self.bytes.as_slice()).into()),
        ])
    }

    pub(super) fn from_js(row: &JsValue) -> Result<Self, Trouble> {
        let read = Reader { place: BLOBS, row };
        Ok(Self { hash: read.text("hash")?, mime: read.text("mime")?, bytes: read.bytes("bytes")? })
    }
}

/// A fresh JavaScript object with these properties.
pub(super) fn object(properties: &[(&str, JsValue)]) -> JsValue {
    let object: JsValue = Object::new().into();
    for (name, value) in properties {
        js::set(&object, name, value);
    }
    object
}

/// A whole number as JavaScript keeps it, refused where it would lose digits.
pub(super) fn number(found: u64) -> Result<JsValue, Trouble> {
    if found > MOST_EXACT {
        return Err(Trouble::NumberTooLarge { found });
    }
    Ok(JsValue::from_f64(found as f64))
}

/// Reads the properties of a stored row; says which is missing or of the wrong type.
pub(super) struct Reader<'a> {
    pub(super) place: &'static str,
    pub(super) row: &'a JsValue,
}

impl Reader<'_> {
    fn lacks(&self, lacks: &'static str) -> Trouble {
        Trouble::StoreUnreadable { place: self.place, lacks }
    }

    pub(super) fn text(&self, name: &'static str) -> Result<String, Trouble> {
        js::get(self.row, name).as_string().ok_or_else(|| self.lacks(name))
    }

    pub(super) fn number(&self, name: &'static str) -> Result<u64, Trouble> {
        whole(&js::get(self.row, name)).ok_or_else(|| self.lacks(name))
    }

    pub(super) fn bytes(&self, name: &'static str) -> Result<Vec<u8>, Trouble> {
        let bytes: Uint8Array = js::get(self.row, name).dyn_into().map_err(|_| self.lacks(name))?;
        Ok(bytes.to_vec())
    }
}

/// A JavaScript number that is whole, not negative and exact.
pub(super) fn whole(value: &JsValue) -> Option<u64> {
    let number = value.as_f64()?;
    let is_whole = number >= 0.0 && number <= MOST_EXACT as f64 && number.fract().abs() < f64::MIN_POSITIVE;
    is_whole.then_some(number as u64)
}
