//! Opening the store, keeping the connection, and getting it back once when the browser drops it.

use super::desk::Desk;
use super::opening::connect;
use super::schema;
use crate::{Trouble, js};
use std::cell::{Cell, RefCell};
use std::rc::Rc;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::IdbDatabase;

/// What a page should know about its connection without having asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Notice {
    /// Opening waits for another tab to let go.
    WaitingForOtherTab,
    /// This page let go of the store, because a newer version of the program opens it elsewhere: load the page again.
    GaveWay,
    /// The store was deleted from elsewhere; the next action fails with [`Trouble::StoreEmptied`].
    Emptied,
    /// The browser closed the connection; the next action opens it again.
    Lost,
}

/// Which database, and how long to wait for it.
#[derive(Clone, Debug)]
pub struct Options {
    /// Name of the database; `dotside` but in tests.
    pub name: String,
    /// How long opening may take.
    pub open_within_ms: u32,
    /// How long one transaction, or one answer inside it, may take.
    pub act_within_ms: u32,
}

impl Default for Options {
    fn default() -> Self {
        Self { name: schema::NAME.to_owned(), open_within_ms: 10_000, act_within_ms: 10_000 }
    }
}

/// The store of this device. Clones share one connection.
#[derive(Clone)]
pub struct Store {
    inner: Rc<Inner>,
}

struct Inner {
    options: Options,
    notice: Rc<dyn Fn(Notice)>,
    link: RefCell<Option<Link>>,
    was_created: bool,
}

/// An open connection; `gone` once it is of no more use.
struct Link {
    database: IdbDatabase,
    gone: Rc<Cell<bool>>,
    _on_version_change: Closure<dyn Fn(JsValue)>,
    _on_close: Closure<dyn Fn()>,
}

impl Link {
    /// Takes charge of a connection: gives way to a newer version, and notices when the browser drops it.
    fn new(database: IdbDatabase, notice: &Rc<dyn Fn(Notice)>) -> Self {
        let gone = Rc::new(Cell::new(false));
        let on_version_change = {
            let (database, gone, notice) = (database.clone(), gone.clone(), notice.clone());
            Closure::<dyn Fn(JsValue)>::new(move |event: JsValue| {
                database.close();
                gone.set(true);
                // Deleting has no new version.
                notice(if js::get(&event, "newVersion").is_null() { Notice::Emptied } else { Notice::GaveWay });
            })
        };
        let on_close = {
            let (gone, notice) = (gone.clone(), notice.clone());
            Closure::<dyn Fn()>::new(move || {
                gone.set(true);
                notice(Notice::Lost);
            })
        };
        database.set_onversionchange(Some(on_version_change.as_ref().unchecked_ref()));
        database.set_onclose(Some(on_close.as_ref().unchecked_ref()));
        Self { database, gone, _on_version_change: on_version_change, _on_close: on_close }
    }

    fn desk(&self, within_ms: u32) -> Desk {
        Desk::new(self.database.clone(), self.gone.clone(), within_ms)
    }
}

impl Drop for Link {
    fn drop(&mut self) {
        self.database.set_onversionchange(None);
        self.database.set_onclose(None);
        self.database.close();
    }
}

impl Store {
    /// Opens this program's store, and builds it if there is none.
    pub async fn open(on_notice: impl Fn(Notice) + 'static) -> Result<Self, Trouble> {
        Self::open_with(Options::default(), on_notice).await
    }

    /// Opens a store of another name, or with other patience.
    pub async fn open_with(options: Options, on_notice: impl Fn(Notice) + 'static) -> Result<Self, Trouble> {
        let notice: Rc<dyn Fn(Notice)> = Rc::new(on_notice);
        let (database, was_created) = connect(&options, &notice, true).await?;
        let link = Link::new(database, &notice);
        Ok(Self { inner: Rc::new(Inner { options, notice, link: RefCell::new(Some(link)), was_created }) })
    }

    /// Whether this opening found no database and built one. Where the sentinel knows of jobs, they were lost.
    pub fn was_created(&self) -> bool {
        self.inner.was_created
    }

    /// Lets go of the connection; the next action opens it again.
    pub fn close(&self) {
        drop(self.inner.link.borrow_mut().take());
    }

    /// Does something with the store; where the connection turns out to be lost, opens it once more and tries again.
    /// Whatever is done here must be harmless when done twice.
    pub(super) async fn run<T>(&self, act: impl AsyncFn(&Desk) -> Result<T, Trouble>) -> Result<T, Trouble> {
        let desk = self.desk().await?;
        match act(&desk).await {
            Err(Trouble::StoreClosed) => {
                desk.abandon();
                act(&self.desk().await?).await
            }
            Err(trouble @ Trouble::StoreSilent { .. }) => {
                // A connection that went silent is not trusted with the next action.
                desk.abandon();
                Err(trouble)
            }
            other => other,
        }
    }

    /// A desk on the open connection, opened again where needed.
    async fn desk(&self) -> Result<Desk, Trouble> {
        if let Some(desk) = self.standing_desk() {
            return Ok(desk);
        }
        let (database, _) = connect(&self.inner.options, &self.inner.notice, false).await?;
        let link = Link::new(database, &self.inner.notice);
        // Two actions may have found the connection lost at once: the first to open it again wins.
        Ok(self.standing_desk().unwrap_or_else(|| {
            let desk = link.desk(self.inner.options.act_within_ms);
            self.inner.link.replace(Some(link));
            desk
        }))
    }

    fn standing_desk(&self) -> Option<Desk> {
        let link = self.inner.link.borrow();
        link.as_ref().filter(|link| !link.gone.get()).map(|link| link.desk(self.inner.options.act_within_ms))
    }
}

impl std::fmt::Debug for Store {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(out, "Store({})", self.inner.options.name)
    }
}
