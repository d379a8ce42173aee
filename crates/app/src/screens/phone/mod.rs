//! This phone: who works with it, how it looks, how numbers are written, how safe the store is, the cautions.

use crate::route::Route;
use crate::services::Services;
use crate::shell::Shell;
use browser::settings::{NumberStyle, Theme};
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
            <div class="field">
                <label class="field__label" for="person-name">{words::field("crew", "technician")}</label>
                <input class="field__input" id="person-name" autocomplete="off" maxlength="80" prop:value=person.name
                    on:change:target=move |event| { let name = event.target().value(); services.choose(|choices| choices.technician = name.trim().to_string()); }/>
            </div>
            <div class="field">
                <label class="field__label" for="person-badge">{words::field("crew", "badge")}</label>
                <input class="field__input" id="person-badge" autocomplete="off" maxlength="40" prop:value=person.badge
                    on:change:target=move |event| { let badge = event.target().value(); services.choose(|choices| choices.badge = badge.trim().to_string()); }/>
            </div>
        </section>
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
