//! What the tests of the store share: a fresh database each, rows to save, and the faults of `faults.js`.
#![allow(dead_code, clippy::unwrap_used, reason = "each test file uses its part, and a test may stop")]

use browser::store::{EntryRow, Notice, Options, SaveBatch, Store};
use std::cell::RefCell;
use std::rc::Rc;

/// Wraps of the browser's own functions.
pub mod faults {
    #![allow(missing_docs, unsafe_code, reason = "described in faults.js; the bindings are generated")]
    use wasm_bindgen::prelude::wasm_bindgen;

    #[wasm_bindgen(module = "/tests/faults.js")]
    extern "C" {
        pub fn restore();
        pub fn lose_writes(store: &str);
        pub fn garble_writes(store: &str, field: &str);
        pub fn closing(times: u32);
        pub fn dead_connection();
        pub fn lost_under_way();
        pub fn silent_transactions();
        pub fn silent_requests();
        pub fn late_answers(ms: u32);
        pub fn open_fails(error: &str);
        pub fn open_throws(error: &str);
        pub fn open_silent();
        pub fn open_newer(version: u32);
        pub fn full_at(nth: u32);
        pub fn record();
        pub fn recorded() -> String;
        pub async fn other_tab(name: &str, version: u32, stubborn: bool);
        pub fn other_tabs_close();
        pub async fn delete_database(name: &str);
        pub async fn database_exists(name: &str) -> wasm_bindgen::JsValue;
        pub async fn put_raw(name: &str, store: &str, json: &str);
    }
}

/// What the store told without being asked.
pub type Notices = Rc<RefCell<Vec<Notice>>>;

/// A name no earlier run has used.
pub fn unused(name: &str) -> String {
    format!("test-{name}-{}", browser::store::job_id().unwrap())
}

/// Short patience, so that a test of silence does not take long.
pub fn options(name: &str) -> Options {
    Options { name: name.to_owned(), open_within_ms: 400, act_within_ms: 400 }
}

/// A store in a database of its own.
pub async fn fresh(name: &str) -> (String, Store) {
    faults::restore();
    let name = unused(name);
    let store = open(&name).await;
    (name, store)
}

/// Opens with long patience: the machine may be busy.
pub async fn open(name: &str) -> Store {
    Store::open_with(Options { name: name.to_owned(), ..Options::default() }, |_| {}).await.unwrap()
}

/// Opens with short patience, and listens.
pub async fn open_listening(name: &str) -> (Store, Notices) {
    let notices = Notices::default();
    let heard = notices.clone();
    let store = Store::open_with(options(name), move |notice| heard.borrow_mut().push(notice)).await.unwrap();
    (store, notices)
}

/// A row with a line of its own.
pub fn entry(device: &str, n: u64) -> EntryRow {
    EntryRow {
        device: device.into(),
        n,
        hash: format!("hash-{device}-{n}"),
        line: format!("{{\"n\":{n},\"device\":\"{device}\"}}"),
    }
}

/// One action.
pub fn batch(job: &str, revision_before: u64, entries: Vec<EntryRow>) -> SaveBatch {
    SaveBatch {
        job: job.into(),
        revision_before,
        summary: format!("{{\"after\":{revision_before},\"entries\":{}}}", entries.len()),
        root: format!("root-{revision_before}"),
        entries,
        blobs: Vec::new(),
    }
}

/// Stand-ins for the browser's own functions, and looks at what came of them.
pub mod page {
    #![allow(missing_docs, unsafe_code, reason = "described in page.js; the bindings are generated")]
    use wasm_bindgen::JsValue;
    use wasm_bindgen::prelude::wasm_bindgen;

    #[wasm_bindgen(module = "/tests/page.js")]
    extern "C" {
        pub fn restore();
        pub fn without(name: &str);
        pub fn catch_download();
        pub async fn downloaded() -> JsValue;
        pub fn stub_share(outcome: Option<&str>);
        pub async fn what_was_shared() -> JsValue;
        pub fn stub_clipboard(refuse: bool);
        pub fn what_was_copied() -> String;
        pub fn count_reads();
        pub fn reads_counted() -> u32;
        pub fn file_of(name: &str, size: u32) -> web_sys::File;
        pub fn unreadable_file(name: &str) -> web_sys::File;
        pub fn drop_file(name: &str) -> bool;
        pub fn stub_wake(refuse: bool);
        pub fn wake_counts() -> String;
        pub fn see_again();
        pub fn go(state: &str);
        pub fn put_text(key: &str, text: &str);
        pub fn text_of(key: &str) -> Option<String>;
        pub fn clear_storage();
        pub fn fill_storage();
        pub fn root_theme() -> Option<String>;
    }
}
