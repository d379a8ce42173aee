//! Files that could not be opened, kept as they came until a person drops them.

use crate::route::Route;
use crate::services::Services;
use crate::shell::Shell;
use crate::speak;
use browser::store::InboxRow;
use leptos::prelude::*;

/// The inbox.
#[component]
pub fn Inbox(services: Services) -> impl IntoView {
    let rows = move || services.inbox.with(|rows| rows.iter().map(|kept| row(services, kept.clone())).collect_view());
    let empty = move || services.inbox.with(Vec::is_empty).then(|| view! { <p class="say">{words::inbox_empty()}</p> });
    view! {
        <Shell title=words::inbox() back=Route::Jobs>
            <p class="say">{words::inbox_why()}</p>
            {empty}
            <ul class="rows">{rows}</ul>
        </Shell>
    }
    .into_any()
}

fn row(services: Services, kept: InboxRow) -> AnyView {
    let why = words::problem(&kept.why, &[]);
    let sub = format!("{} · {}", speak::moment_to_minute(&kept.at), words::size_bytes(&kept.size_bytes.to_string()));
    let (id, name) = (kept.id, kept.name.clone());
    let asked = RwSignal::new(false);
    let export = move |_| {
        let name = name.clone();
        wasm_bindgen_futures::spawn_local(async move { services.export_inbox(id, name).await });
    };
    let drop = move |_| wasm_bindgen_futures::spawn_local(async move { services.drop_inbox(id).await });
    let confirm = move || {
        if asked.get() {
            view! {
                <div class="confirm" role="group" aria-label=words::drop_for_good()>
                    <p class="confirm__ask">{words::drop_for_good()}</p>
                    <div class="duo">
                        <button type="button" class="ghost" on:click=move |_| asked.set(false)>{words::keep_it()}</button>
                        <button type="button" class="ghost ghost--stop" on:click=drop>{words::drop_it()}</button>
                    </div>
                </div>
            }
            .into_any()
        } else {
            view! { <button type="button" class="links__link" on:click=move |_| asked.set(true)>{words::drop_it()}</button> }.into_any()
        }
    };
    view! {
        <li class="row">
            <div class="row__main"><b class="row__title">{kept.name}</b><span class="row__sub">{why}" · "{sub}</span>{confirm}</div>
            <button type="button" class="key" on:click=export>{words::take_out()}</button>
        </li>
    }
    .into_any()
}
