//! One attempt to open the database: built when absent, waited for when blocked, given up when silent.

use super::connection::{Notice, Options};
use super::desk::answer;
use super::schema::{self, VERSION};
use crate::{Trouble, js, timer};
use idb::event::VersionChangeEvent;
use idb::{Event, Factory, Request};
use std::cell::Cell;
use std::rc::Rc;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{IdbDatabase, IdbRequest};

/// How far the building went; shared with the browser's callbacks.
#[derive(Default)]
struct Progress {
    created: Cell<bool>,
    build_failed: Cell<bool>,
    blocked: Cell<bool>,
}

/// Opens the database; tells whether it was created by this. Where it may not be created, an absent one is
/// [`Trouble::StoreEmptied`], and stays absent.
pub(super) async fn connect(
    options: &Options,
    notice: &Rc<dyn Fn(Notice)>,
    may_create: bool,
) -> Result<(IdbDatabase, bool), Trouble> {
    let progress = Rc::new(Progress::default());
    let request = ask(options, notice, may_create, &progress)?;
    let settled = timer::within(answer(&request), options.open_within_ms).await;
    if settled.is_none() {
        close_when_late(&request);
        return Err(match progress.blocked.get() {
            true => Trouble::StoreBlocked,
            false => Trouble::StoreSilent { doing: "open", waited_ms: options.open_within_ms },
        });
    }
    if !may_create && progress.created.get() {
        return Err(Trouble::StoreEmptied);
    }
    if progress.build_failed.get() {
        return Err(not_opened(&JsValue::from_str("the object stores could not be built")));
    }
    match request.error() {
        Ok(None) => {}
        Ok(Some(error)) => return Err(not_opened(&error)),
        Err(thrown) => return Err(not_opened(&thrown)),
    }
    let database: IdbDatabase = request.result().and_then(JsCast::dyn_into).map_err(|thrown| not_opened(&thrown))?;
    let names = database.object_store_names();
    if let Some(place) = schema::ALL.into_iter().find(|name| !names.contains(name)) {
        database.close();
        return Err(Trouble::StoreUnreadable { place, lacks: "object store" });
    }
    Ok((database, progress.created.get()))
}

/// Sends the request, with its callbacks in place.
fn ask(
    options: &Options,
    notice: &Rc<dyn Fn(Notice)>,
    may_create: bool,
    progress: &Rc<Progress>,
) -> Result<IdbRequest, Trouble> {
    let factory = Factory::new().map_err(|_| Trouble::StoreAbsent)?;
    let mut request = factory.open(&options.name, Some(VERSION)).map_err(|error| match error {
        idb::Error::IndexedDbOpenFailed(thrown) => not_opened(&thrown),
        other => Trouble::StoreNotOpened { name: "unnamed".to_owned(), message: other.to_string() },
    })?;
    let (building, blocked, notice) = (progress.clone(), progress.clone(), notice.clone());
    request.on_upgrade_needed(move |event| build(&event, may_create, &building));
    request.on_blocked(move |_| {
        blocked.blocked.set(true);
        notice(Notice::WaitingForOtherTab);
    });
    // The browser may call them after the wait was given up, so they outlive this function.
    request.forget_callbacks();
    Ok(JsValue::from(request).unchecked_into())
}

fn build(event: &VersionChangeEvent, may_create: bool, progress: &Progress) {
    let absent = matches!(event.old_version(), Ok(0));
    progress.created.set(absent);
    let built = (may_create || !absent).then(|| schema::build(event));
    if !matches!(built, Some(Ok(_))) {
        progress.build_failed.set(true);
        if let Some(upgrade) = event.target().ok().and_then(|request| request.transaction()) {
            // The browser rolls back to what was there before, which is what is wanted if this fails too.
            let _rolled_back_either_way = upgrade.abort();
        }
    }
}

/// A connection that comes after the wait was given up is closed at once, else it would block other tabs.
fn close_when_late(request: &IdbRequest) {
    let late = request.clone();
    let close = Closure::once_into_js(move || {
        if let Ok(database) = late.result().and_then(JsCast::dyn_into::<IdbDatabase>) {
            database.close();
        }
    });
    request.set_onsuccess(Some(close.unchecked_ref()));
}

fn not_opened(thrown: &JsValue) -> Trouble {
    match js::error_name(thrown).as_str() {
        "VersionError" => Trouble::StoreNewer,
        name => Trouble::StoreNotOpened { name: name.to_owned(), message: js::error_message(thrown) },
    }
}
