//! Files that could not be opened, kept as they came until a person drops them.

use crate::drawing::{Node, button, classed, div, ghost, live, p};
use crate::route::Route;
use crate::services::Services;
use crate::shell::Shell;
use crate::speak;
use browser::store::InboxRow;
use leptos::prelude::*;

/// The inbox.
pub fn inbox(services: Services) -> Node {
    let rows = move || {
        services.inbox.with(|kept| {
            let mut rows = Vec::new();
            for kept in kept {
                rows.push(row(services, kept));
            }
            Node::Many(rows)
        })
    };
    let empty = move || services.inbox.with(Vec::is_empty).then(|| p("say").put(words::inbox_empty()));
    Shell::new(services, words::inbox()).back(Route::Jobs).around(vec![
        p("say").put(words::inbox_why()).into(),
        live(empty),
        classed("UL", "rows").live(rows).into(),
    ])
}

fn row(services: Services, kept: &InboxRow) -> Node {
    let why = words::problem(&kept.why, &[]);
    let sub = format!("{} · {}", speak::moment_to_minute(&kept.at), words::size_bytes(&kept.size_bytes.to_string()));
    let (id, name) = (kept.id, kept.name.clone());
    let asked = RwSignal::new_local(false);
    let export = move || {
        let name = name.clone();
        wasm_bindgen_futures::spawn_local(async move { services.export_inbox(id, name).await });
    };
    let drop = move || wasm_bindgen_futures::spawn_local(async move { services.drop_inbox(id).await });
    let confirm = move || {
        if !asked.get() {
            return button("links__link", move || asked.set(true)).put(words::drop_it());
        }
        let answers = div("duo")
            .put(ghost(move || asked.set(false)).put(words::keep_it()))
            .put(button("ghost ghost--stop", drop).put(words::drop_it()));
        let ask = p("confirm__ask").put(words::drop_for_good());
        div("confirm").set("role", "group").set("aria-label", words::drop_for_good()).put(ask).put(answers)
    };
    let main = div("row__main")
        .put(classed("B", "row__title").put(kept.name.as_str()))
        .put(classed("SPAN", "row__sub").put(why).put(" · ").put(sub))
        .live(confirm);
    classed("LI", "row").put(main).put(button("key", export).put(words::take_out())).into()
}
