//! What screens may ask of the world, as one bundle that is handed down: the store, the clock, the settings, the place.
//!
//! Every field is a handle that can be copied; JavaScript’s own handles stay on this thread.

pub mod files;
pub mod job;

pub use job::JobState;

use crate::machine::{Now, Reply, Wish};
use crate::route::Route;
use browser::settings::drafts;
use browser::settings::{self, Choices};
use browser::store::Store;
use browser::{Trouble, channel, clock};
use jobfile::typed::{ClockStyle, Context, NumberStyle};
use jobfile::{DeviceId, Summary};
use leptos::prelude::*;
use std::rc::Rc;

/// One line of the list of jobs.
#[derive(Clone, Debug, PartialEq)]
pub struct JobLine {
    /// The job.
    pub id: String,
    /// What the list shows of it; `None` where the stored summary cannot be read and is made again on opening.
    pub summary: Option<Summary>,
    /// The revision in the store.
    pub revision: u64,
    /// When a copy last left this phone, milliseconds since 1970.
    pub copied_ms: Option<i64>,
}

/// Who works with this phone.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Person {
    /// Name.
    pub name: String,
    /// Badge.
    pub badge: String,
}

/// Something the first screen must say about the store.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Loss {
    /// Jobs were here and are gone.
    Emptied(u32),
    /// Fewer jobs than there were.
    Fewer(u32),
}

/// The bundle.
#[derive(Clone, Copy)]
pub struct Services {
    store: StoredValue<Store, LocalStorage>,
    device: StoredValue<DeviceId, LocalStorage>,
    session: StoredValue<String, LocalStorage>,
    channel: StoredValue<Option<Rc<channel::Channel>>, LocalStorage>,
    /// Where the person is.
    pub route: RwSignal<Route, LocalStorage>,
    /// The jobs in the store, newest first.
    pub jobs: RwSignal<Vec<JobLine>, LocalStorage>,
    /// The job at hand.
    pub job: RwSignal<JobState, LocalStorage>,
    /// What a person chose for this phone.
    pub choices: RwSignal<Choices, LocalStorage>,
    /// What the sentinel says about the store.
    pub loss: RwSignal<Option<Loss>, LocalStorage>,
    /// The last trouble that belongs to no input.
    pub trouble: RwSignal<Option<String>, LocalStorage>,
    /// What became of the files opened last.
    pub opened: RwSignal<Vec<files::Opened>, LocalStorage>,
    /// How many files wait in the inbox.
    pub inbox: RwSignal<Vec<browser::store::InboxRow>, LocalStorage>,
    online: RwSignal<bool, LocalStorage>,
    update: RwSignal<bool, LocalStorage>,
}

impl Services {
    /// Makes the bundle around an open store.
    ///
    /// # Errors
    /// The trouble that keeps this device from having a name or this page from having a session.
    pub async fn start(store: Store) -> Result<Services, Trouble> {
        let device = store.device_id().await?;
        let device = device.parse().map_err(|_| Trouble::StoreUnreadable { place: "meta", lacks: "device" })?;
        let session = clock::session_id()?;
        let choices = settings::load()?.unwrap_or_default();
        let services = Services {
            store: StoredValue::new_local(store),
            device: StoredValue::new_local(device),
            session: StoredValue::new_local(session),
            channel: StoredValue::new_local(None),
            route: RwSignal::new_local(Route::read(&browser::hash::get())),
            jobs: RwSignal::new_local(Vec::new()),
            job: RwSignal::new_local(JobState::None),
            choices: RwSignal::new_local(choices),
            loss: RwSignal::new_local(None),
            trouble: RwSignal::new_local(None),
            opened: RwSignal::new_local(Vec::new()),
            inbox: RwSignal::new_local(Vec::new()),
            online: RwSignal::new_local(browser::network::online()),
            update: RwSignal::new_local(false),
        };
        services.watch_sentinel().await?;
        services.inbox.set(services.store().list_inbox().await?);
        services.listen();
        Ok(services)
    }

    /// Follows the address, the network, the other tabs and the service worker for as long as the page lives.
    fn listen(self) {
        let route = self.route;
        keep(browser::hash::listen(move |hash| route.set(Route::read(&hash))));
        let online = self.online;
        keep(browser::network::on_change(move |is| online.set(is)));
        let opened = channel::Channel::open(move |message| self.heard(message));
        self.channel.set_value(opened.ok().map(Rc::new));
        let update = self.update;
        keep(browser::update::on_ready(move || update.set(true)));
        // A file may be dropped on any screen; what becomes of it is told on the first.
        keep(browser::files::on_drop(move |files| {
            self.go(&Route::Jobs);
            self.open_files(files);
        }));
    }

    /// Another tab said something.
    fn heard(self, message: channel::Message) {
        match message {
            channel::Message::JobChanged { job, .. } => {
                wasm_bindgen_futures::spawn_local(async move {
                    self.refresh_jobs().await;
                    if self.job.with_untracked(|open| open.id() == Some(job.as_str())) {
                        self.load_job(&job).await;
                    }
                });
            }
            channel::Message::SettingsChanged => {
                if let Ok(Some(choices)) = settings::load() {
                    self.choices.set(choices);
                }
            }
        }
    }

    pub(crate) fn tell(self, message: &channel::Message) {
        if let Some(channel) = self.channel.get_value() {
            // Where tabs cannot talk, the store’s own revision check still keeps them apart.
            if let Err(trouble) = channel.send(message) {
                self.say(&trouble);
            }
        }
    }

    /// The store; clones share one connection.
    pub fn store(self) -> Store {
        self.store.get_value()
    }

    /// This device’s name for itself.
    pub fn device(self) -> DeviceId {
        self.device.get_value()
    }

    /// This run of the page.
    pub fn session(self) -> String {
        self.session.get_value()
    }

    /// This moment.
    pub fn now(self) -> Now {
        let moment = clock::moment();
        let at = jobfile::moment::read_time(&moment.at).unwrap_or_default();
        Now { at, since_start_ms: moment.since_start_ms, session: self.session() }
    }

    /// What a reader of typed text must know.
    pub fn context(self) -> Context {
        Context { now: self.now().at, number_style: self.number_style(), clock_style: ClockStyle::TwentyFour }
    }

    fn number_style(self) -> NumberStyle {
        match self.choices.with_untracked(|choices| choices.numbers) {
            settings::NumberStyle::Ask => NumberStyle::Unstated,
            settings::NumberStyle::Point => NumberStyle::Point,
            settings::NumberStyle::Comma => NumberStyle::Comma,
        }
    }

    /// Who works with this phone.
    pub fn person(self) -> Person {
        self.choices.with_untracked(|choices| Person { name: choices.technician.clone(), badge: choices.badge.clone() })
    }

    /// Changes a choice and keeps it.
    pub fn choose(self, change: impl FnOnce(&mut Choices)) {
        self.choices.update(change);
        let kept = self.choices.with_untracked(settings::save);
        match kept {
            Ok(()) => self.tell(&channel::Message::SettingsChanged),
            Err(trouble) => self.say(&trouble),
        }
    }

    /// Whether the network is there.
    pub fn is_online(self) -> bool {
        self.online.get()
    }

    /// Whether a newer version waits for a tap.
    pub fn update_is_ready(self) -> bool {
        self.update.get()
    }

    /// Switches to the newer version.
    pub fn use_update(self) {
        self.or_say(browser::update::use_it());
    }

    /// Opens the browser’s own print window.
    pub fn print(self) {
        self.or_say(browser::files::print());
    }

    /// Copies a text; where that fails, says so and answers false.
    pub async fn copy(self, text: &str) -> bool {
        let copied = browser::files::copy_text(text).await;
        let done = copied.is_ok();
        self.or_say(copied);
        done
    }

    /// Shows a trouble that belongs to no input.
    pub fn say(self, trouble: &Trouble) {
        self.trouble.set(Some(crate::speak::browser_trouble(trouble)));
    }

    /// Unfinished input of an earlier run.
    pub fn kept(self, key: &str) -> Vec<(String, String)> {
        match drafts::load::<Vec<(String, String)>>(key) {
            Ok(texts) => texts.unwrap_or_default(),
            Err(trouble) => {
                self.say(&trouble);
                Vec::new()
            }
        }
    }

    /// Goes to another place.
    pub fn go(self, route: &Route) {
        if let Err(trouble) = browser::hash::set(&route.href()) {
            self.say(&trouble);
        }
    }

    /// Carries out one wish; an answer, where there is one, goes to `reply`.
    pub fn carry_out(self, wish: Wish, reply: impl Fn(Reply) + 'static) {
        match wish {
            Wish::Record { drafts, question } => wasm_bindgen_futures::spawn_local(async move {
                let result = self.record(drafts).await;
                reply(Reply::Recorded { question, result });
            }),
            Wish::Begin { drafts, question } => wasm_bindgen_futures::spawn_local(async move {
                let result = self.begin(drafts).await;
                reply(Reply::Recorded { question, result });
            }),
            Wish::Keep { key, texts } => self.or_say(drafts::save(&key, &texts)),
            Wish::Forget(key) => self.or_say(drafts::clear(&key)),
            Wish::Focus(id) => {
                // An input behind “more” or gone meanwhile cannot take the focus; the complaint beside it still stands.
                let _was_there = browser::focus::focus(&id);
            }
        }
    }

    fn or_say(self, done: Result<(), Trouble>) {
        if let Err(trouble) = done {
            self.say(&trouble);
        }
    }
}

/// Listeners live as long as the page.
fn keep<T>(listener: Result<T, Trouble>) {
    if let Ok(listener) = listener {
        std::mem::forget(listener);
    }
}
