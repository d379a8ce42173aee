//! This phone: who works with it, how it looks, how numbers are written, how safe the store is, the cautions.

use crate::route::Route;
use crate::services::Services;
use crate::shell::Shell;
use crate::speak;
use browser::settings::{Choices, NumberStyle, Theme};
use leptos::prelude::*;

/// Settings and what one should know of this phone.
#[component]
pub fn Phone(services: Services) -> impl IntoView {
    view! {
        <Shell title=words::phone() place=Route::Phone>
            <Cautions/>
            <PersonFields services/>
            <ThemeTiles services/>
            <NumberTiles services/>
            <Storage/>
            <section class="card stack"><h2>{words::about()}</h2><p>{words::about_words()}</p><p class="soft">{words::version(env!("CARGO_PKG_VERSION"))}</p></section>
        </Shell>
    }
    .into_any()
}

#[component]
fn Cautions() -> impl IntoView {
    let lines = [words::defer_local_code(), words::defer_licensed(), words::defer_numbers(), words::defer_phone()];
    view! {
        <div class="signal signal--warning">
            <p class="signal__say"><strong class="signal__word">{words::signal_warning()}</strong>" "{words::life_warning()}</p>
            {lines.map(|line| view! { <p class="signal__say">{line}</p> }).collect_view()}
        </div>
    }
    .into_any()
}

#[component]
fn PersonFields(services: Services) -> impl IntoView {
    let person = services.person();
    view! {
        <section class="card stack">
            <h2>{words::who_works()}</h2>
            <PersonField services id="person-name" field="technician" value=person.name keep=|choices, name| choices.technician = name/>
            <PersonField services id="person-badge" field="badge" value=person.badge keep=|choices, badge| choices.badge = badge/>
        </section>
    }
    .into_any()
}

/// One text about the person, which must be fit to be written down as the crew’s: else it is not kept, and says why.
#[component]
fn PersonField(
    services: Services,
    id: &'static str,
    field: &'static str,
    value: String,
    keep: fn(&mut Choices, String),
) -> impl IntoView {
    let why = RwSignal::new_local(String::new());
    let change = move |text: String| {
        let known = jobfile::kinds::find("crew").and_then(|crew| crew.field(field)).filter(|_| !text.trim().is_empty());
        let wrong = known.and_then(|field| jobfile::typed::read_field(field, &text, &services.context()).err());
        why.set(wrong.as_ref().map(speak::complaint).unwrap_or_default());
        if wrong.is_none() {
            services.choose(|choices| keep(choices, text.trim().to_string()));
        }
    };
    let why_id = format!("{id}-why");
    view! {
        <div class="field" class:field--wrong=move || !why.with(String::is_empty)>
            <label class="field__label" for=id>{words::field("crew", field)}</label>
            <input class="field__input" id=id autocomplete="off" aria-describedby=why_id.clone() aria-invalid=move || (!why.with(String::is_empty)).to_string()
                prop:value=value on:change:target=move |event| change(event.target().value())/>
            <p class="field__complaint" id=why_id>{move || why.get()}</p>
        </div>
    }
    .into_any()
}

/// One tile of a choice.
fn tile(
    group: &'static str,
    id: String,
    word: &'static str,
    chosen: Signal<bool>,
    choose: impl Fn() + 'static,
) -> AnyView {
    view! {
        <label class="choice__tile" for=id.clone()>
            <input class="choice__input" type="radio" name=group id=id.clone() prop:checked=move || chosen.get() on:change=move |_| choose()/>
            <span class="choice__word">{word}</span>
        </label>
    }
    .into_any()
}

#[component]
fn ThemeTiles(services: Services) -> impl IntoView {
    let tiles =
        [(Theme::Auto, words::theme_auto()), (Theme::Light, words::theme_light()), (Theme::Dark, words::theme_dark())];
    let tiles = tiles.map(|(theme, word)| {
        let chosen = Signal::derive_local(move || services.choices.with(|choices| choices.theme == theme));
        let id = format!("theme-{theme:?}").to_lowercase();
        tile("theme", id, word, Signal::from(Memo::new(move |_| chosen.get())), move || {
            services.choose(|choices| choices.theme = theme);
            if let Err(trouble) = browser::theme::apply(theme) {
                services.say(&trouble);
            }
        })
    });
    view! { <fieldset class="choice"><legend class="choice__legend">{words::theme()}</legend><div class="choice__tiles choice__tiles--short">{tiles.collect_view()}</div></fieldset> }
        .into_any()
}

#[component]
fn NumberTiles(services: Services) -> impl IntoView {
    let tiles = [
        (NumberStyle::Ask, words::numbers_ask()),
        (NumberStyle::Point, words::numbers_point()),
        (NumberStyle::Comma, words::numbers_comma()),
    ];
    let tiles = tiles.map(|(style, word)| {
        let chosen = Memo::new(move |_| services.choices.with(|choices| choices.numbers == style));
        let id = format!("numbers-{style:?}").to_lowercase();
        tile("numbers", id, word, Signal::from(chosen), move || services.choose(|choices| choices.numbers = style))
    });
    view! { <fieldset class="choice"><legend class="choice__legend">{words::numbers()}</legend><div class="choice__tiles choice__tiles--short">{tiles.collect_view()}</div></fieldset> }
        .into_any()
}

/// Whether the browser promised to keep the store, and a way to ask for it.
#[component]
fn Storage() -> impl IntoView {
    let kept = RwSignal::new_local(None::<bool>);
    wasm_bindgen_futures::spawn_local(async move {
        if let Ok(is) = browser::persist::persisted().await {
            kept.try_set(Some(is));
        }
    });
    let ask = move |_| {
        wasm_bindgen_futures::spawn_local(async move {
            if let Ok(is) = browser::persist::ask().await {
                kept.try_set(Some(is));
            }
        });
    };
    let answer = move || match kept.get() {
        Some(true) => words::storage_promised(),
        Some(false) => words::storage_not_promised(),
        None => words::storage_unknown(),
    };
    view! {
        <section class="card stack">
            <h2>{words::storage()}</h2>
            <p role="status">{answer}</p>
            <p>{words::storage_copies()}</p>
            <button type="button" class="key" on:click=ask>{words::storage_ask()}</button>
        </section>
    }
    .into_any()
}
