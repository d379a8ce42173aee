//! What is seen and pressed. The start of the page, and which screen stands at which place.

mod drawing;
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

use drawing::{Node, classed, live, nothing, p, tag, view};
use leptos::prelude::*;
use route::{Part, Route};
use screens::calculator::calculator;
use screens::inbox::inbox;
use screens::jobs::jobs;
use screens::log::log;
use screens::overview::overview;
use screens::phone::phone;
use screens::plates::plates;
use screens::readings::readings;
use screens::reads::reads;
use screens::seals::seals;
use screens::sheet::sheet;
use screens::start::start as start_a_job;
use screens::steps::steps;
use services::{JobState, Services};
use shell::Shell;
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
                let main = classed("MAIN", "shell__body").put(tag("H1").put(words::starting_trouble()));
                mount(move || main.put(p("say").put(why)).into());
            }
        }
    });
}

/// Puts a drawing where the words stood while the program was on its way.
fn mount(draw: impl FnOnce() -> Node + 'static) {
    match browser::root::emptied("app") {
        Some(root) => mount_to(root, move || view(draw())).forget(),
        None => mount_to_body(move || view(draw())),
    }
}

fn start_screens(services: Services) {
    if let Err(trouble) = browser::theme::apply(services.choices.with_untracked(|choices| choices.theme)) {
        services.say(&trouble);
    }
    mount(move || here(services));
}

/// The screen of the place in the address.
fn here(services: Services) -> Node {
    let route = Memo::new(move |_| services.route.get());
    Effect::new(move |before: Option<()>| {
        route.track();
        // Not at the start: there the browser’s own focus is right.
        if before.is_some() {
            browser::focus::scroll_top();
            browser::focus::focus("title");
        }
    });
    live(move || match route.get() {
        Route::Jobs => jobs(services),
        Route::Start => start_a_job(services),
        Route::Inbox => inbox(services),
        Route::Calculator => calculator(services),
        Route::Phone => phone(services),
        Route::Job(id, part) => job_part(services, id, part),
    })
}

/// One part of a job, once the job is here.
fn job_part(services: Services, id: String, part: Part) -> Node {
    let wanted = id.clone();
    let hand = move |_: Option<&Hand>| {
        services.job.with(|state| if state.id() == Some(wanted.as_str()) { at_hand(state) } else { Hand::Elsewhere })
    };
    let hand = Memo::new(hand);
    if services.job.with_untracked(|state| state.id() != Some(id.as_str())) {
        let id = id.clone();
        services.job.set(JobState::Loading(id.clone()));
        wasm_bindgen_futures::spawn_local(async move { services.load_job(&id).await });
    }
    live(move || match hand.get() {
        Hand::Open => draw_part(services, &id, &part),
        Hand::Not(why) => {
            let why = p("say").set("role", "status").put(why);
            Shell::new(services, words::job()).back(Route::Jobs).around(vec![why.into()])
        }
        Hand::Elsewhere => nothing(),
    })
}

/// Whether the job is at hand.
#[derive(Clone, PartialEq)]
enum Hand {
    Open,
    Not(String),
    Elsewhere,
}

fn at_hand(state: &JobState) -> Hand {
    match state {
        JobState::Open(_) => Hand::Open,
        JobState::None | JobState::Loading(_) => Hand::Not(words::job_loading().to_string()),
        JobState::Missing(_) => Hand::Not(words::job_missing().to_string()),
        JobState::Failed(_, why) => Hand::Not(why.clone()),
    }
}

fn draw_part(services: Services, id: &str, part: &Part) -> Node {
    let id = id.to_string();
    match part {
        Part::Overview => overview(services, id),
        Part::Plates => plates(services, id),
        Part::Steps => steps(services, id, None),
        Part::Step(step) => steps(services, id, Some(step.clone())),
        Part::Readings(taken) => readings(services, id, *taken),
        Part::Reads => reads(services, id),
        Part::Seals => seals(services, id),
        Part::Sheet => sheet(services, id),
        Part::Log => log(services, id),
    }
}
