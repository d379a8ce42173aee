//! One transaction: begun strict when it writes, awaited to its end, never longer than patience allows.

use super::rows::object;
use crate::{Trouble, js, timer};
use idb::{ObjectStore, Transaction};
use js_sys::{Array, Function, Promise};
use std::cell::Cell;
use std::rc::Rc;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{DomException, IdbDatabase, IdbRequest, IdbTransaction};

/// Where transactions are begun: an open connection, and how long to wait.
pub(super) struct Desk {
    database: IdbDatabase,
    gone: Rc<Cell<bool>>,
    within_ms: u32,
}

/// A transaction under way.
pub(super) struct Work {
    transaction: IdbTransaction,
    ended: Promise,
    doing: &'static str,
    within_ms: u32,
}

impl Desk {
    pub(super) fn new(database: IdbDatabase, gone: Rc<Cell<bool>>, within_ms: u32) -> Self {
        Self { database, gone, within_ms }
    }

    /// Lets go of this connection; the next action opens another.
    pub(super) fn abandon(&self) {
        self.gone.set(true);
        self.database.close();
    }

    /// Begins a transaction that reads.
    pub(super) fn read(&self, doing: &'static str, stores: &[&str]) -> Result<Work, Trouble> {
        self.begin(doing, &[names(stores), "readonly".into()])
    }

    /// Begins a transaction that writes. "Complete" is to mean that it is on the disk: browsers default to less.
    pub(super) fn write(&self, doing: &'static str, stores: &[&str]) -> Result<Work, Trouble> {
        self.begin(doing, &[names(stores), "readwrite".into(), object(&[("durability", "strict".into())])])
    }

    fn begin(&self, doing: &'static str, arguments: &[JsValue]) -> Result<Work, Trouble> {
        let begun = js::call(&self.database, "transaction", arguments).ok_or(Trouble::StoreAbsent)?;
        let begun = begun.map_err(|thrown| trouble_of(doing, &thrown))?;
        let transaction: IdbTransaction = begun.dyn_into().map_err(|other| trouble_of(doing, &other))?;
        let ended = Promise::new(&mut |resolve: Function, _: Function| {
            transaction.set_oncomplete(Some(&resolve));
            transaction.set_onabort(Some(&resolve));
        });
        Ok(Work { transaction, ended, doing, within_ms: self.within_ms })
    }
}

impl Work {
    /// An object store of this transaction.
    pub(super) fn store(&self, name: &str) -> Result<ObjectStore, Trouble> {
        // idb's transaction sets no callbacks until it is awaited, so the two views of one transaction do not meet.
        Transaction::from(self.transaction.clone()).object_store(name).map_err(|error| self.failed(error))
    }

    /// The trouble that an error of `idb` stands for.
    pub(super) fn failed(&self, error: idb::Error) -> Trouble {
        idb_trouble(self.doing, error)
    }

    /// Waits for the answer to one request of this transaction. Nothing else may be awaited meanwhile.
    pub(super) async fn answer<R: Into<IdbRequest>>(&self, asked: Result<R, idb::Error>) -> Result<JsValue, Trouble> {
        let request: IdbRequest = asked.map_err(|error| self.failed(error))?.into();
        timer::within(answer(&request), self.within_ms).await.ok_or_else(|| self.silent())?;
        match request.error() {
            Ok(None) => request.result().map_err(|thrown| trouble_of(self.doing, &thrown)),
            Ok(Some(error)) => Err(self.cause(&error)),
            Err(thrown) => Err(trouble_of(self.doing, &thrown)),
        }
    }

    /// Undoes everything of this transaction.
    pub(super) fn undo(&self) {
        // It refuses only when it is over already, and then there is nothing left to undo.
        let _over_already = self.transaction.abort();
    }

    /// Waits until everything of this transaction is written, or the browser says why it is not.
    pub(super) async fn end(self) -> Result<(), Trouble> {
        let Some(event) = timer::within(self.ended.clone(), self.within_ms).await else {
            self.undo();
            return Err(self.silent());
        };
        match js::get(&event, "type").as_string().as_deref() {
            Some("complete") => Ok(()),
            _ => Err(match self.transaction.error() {
                Some(error) => trouble_of(self.doing, &error),
                None => Trouble::StoreClosed, // nobody undid it here, so the browser did
            }),
        }
    }

    fn silent(&self) -> Trouble {
        Trouble::StoreSilent { doing: self.doing, waited_ms: self.within_ms }
    }

    /// A request that fails because its transaction was undone does not know why; the transaction does.
    fn cause(&self, error: &DomException) -> Trouble {
        match (error.name().as_str(), self.transaction.error()) {
            ("AbortError", Some(cause)) => trouble_of(self.doing, &cause),
            _ => trouble_of(self.doing, error),
        }
    }
}

/// Resolves with an event once the request succeeded or failed; what came of it is asked of the request itself.
pub(super) fn answer(request: &IdbRequest) -> Promise {
    Promise::new(&mut |resolve: Function, _: Function| {
        request.set_onsuccess(Some(&resolve));
        request.set_onerror(Some(&resolve));
    })
}

fn names(stores: &[&str]) -> JsValue {
    let list: Array = stores.iter().map(|name| JsValue::from_str(name)).collect();
    list.into()
}

fn trouble_of(doing: &'static str, thrown: &JsValue) -> Trouble {
    match js::error_name(thrown).as_str() {
        "QuotaExceededError" => Trouble::StoreFull,
        // What `transaction` throws on a connection that is closing, and what work under way then ends with.
        "InvalidStateError" | "AbortError" => Trouble::StoreClosed,
        name => Trouble::StoreFailed { doing, name: name.to_owned(), message: js::error_message(thrown) },
    }
}

fn idb_trouble(doing: &'static str, error: idb::Error) -> Trouble {
    use idb::Error;
    match &error {
        Error::AddFailed(thrown)
        | Error::UpdateFailed(thrown)
        | Error::DeleteFailed(thrown)
        | Error::GetFailed(thrown)
        | Error::GetAllFailed(thrown)
        | Error::GetAllKeysFailed(thrown)
        | Error::IndexNotFound(thrown)
        | Error::OpenKeyCursorFailed(thrown)
        | Error::OpenCursorFailed(thrown)
        | Error::ObjectStoreNotFound(thrown)
        | Error::TransactionOpenFailed(thrown) => trouble_of(doing, thrown),
        other => Trouble::StoreFailed { doing, name: "unnamed".to_owned(), message: other.to_string() },
    }
}
