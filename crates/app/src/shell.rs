//! The frame of every screen: top bar, content, the large act, the places.

use crate::route::Route;
use crate::services::Services;
use leptos::prelude::*;

/// The mark: the polarity dot at the end of a winding.
#[component]
pub fn Mark() -> impl IntoView {
    view! {
        <svg class="shell__mark" viewBox="0 0 26 26" aria-hidden="true">
            <path d="M2 17h15" stroke="currentColor" stroke-width="3.4" stroke-linecap="round"></path>
            <circle cx="19" cy="9" r="5.4" fill="currentColor"></circle>
        </svg>
    }
    .into_any()
}

/// A screen: its title, an optional second line, the way back, and what is in it.
#[component]
pub fn Shell(
    /// What stands at the top.
    #[prop(into)]
    title: Signal<String>,
    /// A second, smaller line.
    #[prop(optional, into)]
    sub: Option<Signal<String>>,
    /// Where “back” leads; none on a place of its own.
    #[prop(optional, into)]
    back: Option<Route>,
    /// Which of the places this is, for the bar of places; inside a job there is none.
    #[prop(optional, into)]
    place: Option<Route>,
    /// What stands in thumb’s reach.
    #[prop(optional, into)]
    foot: Option<AnyView>,
    /// In very large type, for a helper who reads it out.
    #[prop(optional)]
    callout: bool,
    children: Children,
) -> impl IntoView {
    let services = expect_services();
    let mark = back.is_none();
    view! {
        <div class=if callout { "shell shell--callout" } else { "shell" }>
            <a class="skip" href="#main" on:click=skip>{words::skip()}</a>
            <header class="shell__top">
                {mark.then(|| view! { <Mark/> })}
                {back.map(|back| view! { <a class="shell__back" href=back.href() aria-label=words::back()><span aria-hidden="true">"←"</span></a> })}
                <h1 class="shell__title" id="title" tabindex="-1">
                    {move || title.get()}
                    {sub.map(|sub| view! { <span class="shell__sub">{move || sub.get()}</span> })}
                </h1>
                <span class="shell__state">{move || if services.is_online() { "" } else { words::offline() }}</span>
            </header>
            <UpdateBand/>
            <main class="shell__body" id="main" tabindex="-1">{children()}</main>
            {foot.map(|foot| view! { <footer class="shell__foot">{foot}</footer> })}
            {place.map(|place| view! { <Places place/> })}
        </div>
    }
    .into_any()
}

/// The services, from the context that the root put there.
fn expect_services() -> Services {
    expect_context::<Services>()
}

/// The skip link may not touch the address, which names the place.
fn skip(event: leptos::ev::MouseEvent) {
    event.prevent_default();
    browser::focus::focus("main");
}

#[component]
fn UpdateBand() -> impl IntoView {
    let services = expect_services();
    move || {
        services.update_is_ready().then(|| {
            view! {
                <p class="band band--update">
                    {words::update_ready()}
                    <button type="button" class="key" on:click=move |_| services.use_update()>{words::update_use()}</button>
                </p>
            }
        })
    }
}

#[component]
fn Places(place: Route) -> impl IntoView {
    let links =
        [(Route::Jobs, words::jobs()), (Route::Calculator, words::calculator()), (Route::Phone, words::phone())];
    let links = links.map(|(to, name)| {
        let here = to == place;
        view! { <a class="nav__place" href=to.href() aria-current=here.then_some("page")>{name}</a> }
    });
    view! { <nav class="nav" aria-label=words::main_places()>{links.collect_view()}</nav> }.into_any()
}
