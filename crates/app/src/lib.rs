//! What is seen and pressed. The start of the page, and which screen stands at which place.

mod group;
mod machine;
mod picture;
mod route;
mod screen;
mod screens;
mod services;
mod shell;
mod speak;
mod working;

use leptos::prelude::*;
use route::{Part, Route};
use screens::calculator::Calculator;
use screens::inbox::Inbox;
use screens::jobs::Jobs;
use screens::log::Log;
use screens::overview::Overview;
use screens::phone::Phone;
use screens::plates::Plates;
use screens::readings::Readings;
use screens::reads::Reads;
use screens::seals::Seals;
use screens::sheet::Sheet;
use screens::start::Start;
use screens::steps::Steps;
use services::{JobState, Services};
use wasm_bindgen::prelude::wasm_bindgen;

/// Starts the page: opens the store, then shows the place in the address.
#[wasm_bindgen(start)]
pub fn start() {
    browser::panic::install(browser::panic::Page {
        heading: words::failed_heading().to_string(),
        body: words::failed_body().to_string(),
        reload: words::reload().to_string(),
    });
    // The store is opened before anything is mounted: leptos’ own spawn needs a mounted root.
    wasm_bindgen_futures::spawn_local(async {
        let notice = |notice| {
            if notice == browser::store::Notice::GaveWay {
                // A newer version opened the store in another tab; this page may write no more.
                let _reloads = browser::update::reload();
            }
        };
        let opened = match browser::store::Store::open(notice).await {
            Ok(store) => Services::start(store).await,
            Err(trouble) => Err(trouble),
        };
        match opened {
            Ok(services) => start_screens(services),
            Err(trouble) => {
                let why = speak::browser_trouble(&trouble);
                mount(
                    move || view! { <main class="shell__body"><h1>{words::starting_trouble()}</h1><p class="say">{why.clone()}</p></main> },
                );
            }
        }
    });
}

/// Puts a view where the words stood while the program was on its way.
fn mount<N: IntoView + 'static>(view: impl FnOnce() -> N + 'static) {
    match browser::root::emptied("app") {
        Some(root) => mount_to(root, view).forget(),
        None => mount_to_body(view),
    }
}

fn start_screens(services: Services) {
    if let Err(trouble) = browser::theme::apply(services.choices.with_untracked(|choices| choices.theme)) {
        services.say(&trouble);
    }
    mount(move || {
        provide_context(services);
        view! { <Here services/> }
    });
}

/// The screen of the place in the address.
#[component]
fn Here(services: Services) -> impl IntoView {
    let route = Memo::new(move |_| services.route.get());
    Effect::new(move |before: Option<()>| {
        route.track();
        // Not at the start: there the browser’s own focus is right.
        if before.is_some() {
            browser::focus::scroll_top();
            browser::focus::focus("title");
        }
    });
    move || match route.get() {
        Route::Jobs => view! { <Jobs services/> }.into_any(),
        Route::Start => view! { <Start services/> }.into_any(),
        Route::Inbox => view! { <Inbox services/> }.into_any(),
        Route::Calculator => view! { <Calculator services/> }.into_any(),
        Route::Phone => view! { <Phone services/> }.into_any(),
        Route::Job(id, part) => view! { <JobPart services id part/> }.into_any(),
    }
}

/// One part of a job, once the job is here.
#[component]
fn JobPart(services: Services, id: String, part: Part) -> impl IntoView {
    let wanted = id.clone();
    let here =
        Memo::new(move |_| services.job.with(|state| (state.id() == Some(wanted.as_str())).then(|| at_hand(state))));
    if services.job.with_untracked(|state| state.id() != Some(id.as_str())) {
        let id = id.clone();
        services.job.set(JobState::Loading(id.clone()));
        wasm_bindgen_futures::spawn_local(async move { services.load_job(&id).await });
    }
    move || match here.get() {
        Some(Hand::Open) => job_part(services, &id, &part),
        Some(Hand::Not(why)) => view! {
            <shell::Shell title=words::job() back=Route::Jobs><p class="say" role="status">{why}</p></shell::Shell>
        }
        .into_any(),
        None => ().into_any(),
    }
}

/// Whether the job is at hand.
#[derive(Clone, PartialEq)]
enum Hand {
    Open,
    Not(String),
}

fn at_hand(state: &JobState) -> Hand {
    match state {
        JobState::Open(_) => Hand::Open,
        JobState::None | JobState::Loading(_) => Hand::Not(words::job_loading().to_string()),
        JobState::Missing(_) => Hand::Not(words::job_missing().to_string()),
        JobState::Failed(_, why) => Hand::Not(why.clone()),
    }
}

fn job_part(services: Services, id: &str, part: &Part) -> AnyView {
    let id = id.to_string();
    match part {
        Part::Overview => view! { <Overview services id/> }.into_any(),
        Part::Plates => view! { <Plates services id/> }.into_any(),
        Part::Steps => view! { <Steps services id step=None/> }.into_any(),
        Part::Step(step) => view! { <Steps services id step=Some(step.clone())/> }.into_any(),
        Part::Readings(taken) => view! { <Readings services id taken=*taken/> }.into_any(),
        Part::Reads => view! { <Reads services id/> }.into_any(),
        Part::Seals => view! { <Seals services id/> }.into_any(),
        Part::Sheet => view! { <Sheet services id/> }.into_any(),
        Part::Log => view! { <Log services id/> }.into_any(),
    }
}
