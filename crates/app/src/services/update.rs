//! A newer version in the cache: heard of, offered, taken by a tap.

use leptos::prelude::*;
use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;

/// What `register.js` says once a newer version is whole in the cache.
const READY: &str = "dotside-update";
/// What it listens for.
const USE: &str = "dotside-use-update";

/// Sets `ready` when a newer version waits.
pub fn watch(ready: RwSignal<bool, LocalStorage>) {
    let heard = Closure::<dyn Fn()>::new(move || {
        if ready.try_set(true).is_some() {
            // The page is going away.
        }
    });
    let listened = window().add_event_listener_with_callback(READY, heard.as_ref().unchecked_ref());
    if listened.is_ok() {
        heard.forget();
    }
}

/// Asks for the newer version.
pub fn use_it() {
    if let Ok(event) = web_sys::Event::new(USE) {
        // Whoever listens answers by loading the page again; where nobody does, nothing happens.
        let _not_cancelled = window().dispatch_event(&event);
    }
}
