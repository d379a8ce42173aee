//! The part of the address after `#`, which says which screen is shown.

use crate::{Listener, Trouble, js};

/// What stands after `#`; empty when nothing does.
pub fn get() -> String {
    let hash = js::window().ok().and_then(|window| window.location().hash().ok()).unwrap_or_default();
    hash.strip_prefix('#').unwrap_or(&hash).to_owned()
}

/// Goes to another place; *back* leads here again.
pub fn set(place: &str) -> Result<(), Trouble> {
    js::window()?.location().set_hash(place).map_err(|_| Trouble::NoPage)
}

/// Goes to another place instead of this one; *back* does not lead here. Listeners of [`listen`] do not hear it.
pub fn replace(place: &str) -> Result<(), Trouble> {
    let history = js::window()?.history().map_err(|_| Trouble::NoPage)?;
    let address = format!("#{place}");
    history.replace_state_with_url(&wasm_bindgen::JsValue::NULL, "", Some(&address)).map_err(|_| Trouble::NoPage)
}

/// Goes back to where the person came from.
pub fn back() -> Result<(), Trouble> {
    js::window()?.history().and_then(|history| history.back()).map_err(|_| Trouble::NoPage)
}

/// Tells each new place.
pub fn listen(act: impl Fn(String) + 'static) -> Result<Listener, Trouble> {
    let window = js::window()?;
    Listener::new(&window, "hashchange", move |_| act(get()))
}
