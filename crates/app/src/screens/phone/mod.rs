//! This phone: who works with it, how it looks, how numbers are written, how safe the store is, the cautions.

use crate::drawing::{Node, Tag, button, classed, div, h2, p, signal_line, tag, text_line};
use crate::route::Route;
use crate::services::Services;
use crate::shell::Shell;
use crate::speak;
use browser::settings::{Choices, NumberStyle, Theme};
use leptos::prelude::*;

/// Settings and what one should know of this phone.
pub fn phone(services: Services) -> Node {
    let about = classed("SECTION", "card stack")
        .put(h2(words::about()))
        .put(tag("P").put(words::about_words()))
        .put(p("soft").put(words::version(env!("CARGO_PKG_VERSION"))));
    Shell::new(services, words::phone()).place(Route::Phone).around(vec![
        cautions(),
        person_fields(services),
        themes(services),
        numbers(services),
        storage(),
        about.into(),
    ])
}

fn cautions() -> Node {
    let mut panel = div("signal signal--warning").put(signal_line(words::signal_warning(), words::life_warning()));
    for line in [words::defer_local_code(), words::defer_licensed(), words::defer_numbers(), words::defer_phone()] {
        panel = panel.put(p("signal__say").put(line));
    }
    panel.into()
}

fn person_fields(services: Services) -> Node {
    let person = services.person();
    classed("SECTION", "card stack")
        .put(h2(words::who_works()))
        .put(person_field(services, "person-name", "technician", person.name, |choices, name| {
            choices.technician = name
        }))
        .put(person_field(services, "person-badge", "badge", person.badge, |choices, badge| choices.badge = badge))
        .into()
}

/// One text about the person, which must be fit to be written down as the crew’s: else it is not kept, and says why.
fn person_field(
    services: Services,
    id: &'static str,
    field: &'static str,
    value: String,
    keep: fn(&mut Choices, String),
) -> Node {
    let why = RwSignal::new_local(None::<String>);
    let change = move |text: String| {
        let known = jobfile::kinds::find("crew").and_then(|crew| crew.field(field)).filter(|_| !text.trim().is_empty());
        let wrong = known.and_then(|field| jobfile::typed::read_field(field, &text, &services.context()).err());
        why.set(wrong.as_ref().map(speak::complaint));
        if wrong.is_none() {
            services.choose(|choices| keep(choices, text.trim().to_string()));
        }
    };
    let input = classed("INPUT", "field__input").value(move || value.clone()).on_text("change", change);
    text_line(id, words::field("crew", field), input, move || why.get())
}

/// One tile of a choice.
fn tile(
    group: &'static str,
    id: String,
    word: &str,
    is_chosen: impl Fn() -> bool + 'static,
    choose: impl Fn() + 'static,
) -> Tag {
    let circle = classed("INPUT", "choice__input")
        .set("type", "radio")
        .set("name", group)
        .id(id.as_str())
        .chosen("checked", is_chosen)
        .on("change", move |_| choose());
    classed("LABEL", "choice__tile").set("for", id).put(circle).put(classed("SPAN", "choice__word").put(word))
}

/// Tiles under their heading.
fn choice(legend: &str, tiles: Tag) -> Node {
    classed("FIELDSET", "choice").put(classed("LEGEND", "choice__legend").put(legend)).put(tiles).into()
}

fn themes(services: Services) -> Node {
    let mut tiles = div("choice__tiles choice__tiles--short");
    for (theme, word) in
        [(Theme::Auto, words::theme_auto()), (Theme::Light, words::theme_light()), (Theme::Dark, words::theme_dark())]
    {
        let id = format!("theme-{theme:?}").to_ascii_lowercase();
        let is_chosen = move || services.choices.with(|choices| choices.theme == theme);
        tiles = tiles.put(tile("theme", id, word, is_chosen, move || {
            services.choose(|choices| choices.theme = theme);
            if let Err(trouble) = browser::theme::apply(theme) {
                services.say(&trouble);
            }
        }));
    }
    choice(words::theme(), tiles)
}

fn numbers(services: Services) -> Node {
    let mut tiles = div("choice__tiles choice__tiles--short");
    for (style, word) in [
        (NumberStyle::Ask, words::numbers_ask()),
        (NumberStyle::Point, words::numbers_point()),
        (NumberStyle::Comma, words::numbers_comma()),
    ] {
        let id = format!("numbers-{style:?}").to_ascii_lowercase();
        let is_chosen = move || services.choices.with(|choices| choices.numbers == style);
        let choose = move || services.choose(|choices| choices.numbers = style);
        tiles = tiles.put(tile("numbers", id, word, is_chosen, choose));
    }
    choice(words::numbers(), tiles)
}

/// Whether the browser promised to keep the store, and a way to ask for it.
fn storage() -> Node {
    let kept = RwSignal::new_local(None::<bool>);
    wasm_bindgen_futures::spawn_local(async move {
        if let Ok(is) = browser::persist::persisted().await {
            kept.try_set(Some(is));
        }
    });
    let ask = move || {
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
    classed("SECTION", "card stack")
        .put(h2(words::storage()))
        .put(tag("P").set("role", "status").live(answer))
        .put(tag("P").put(words::storage_copies()))
        .put(button("key", ask).put(words::storage_ask()))
        .into()
}
