//! A newer version of this program in the cache: heard of, offered by the page, taken by a tap.

use crate::{Listener, Trouble, js};
use web_sys::Event;

/// What `register.js` says once a newer version is whole in the cache.
const READY: &str = "dotside-update";
/// Asks it to say so again: it may have spoken before anybody listened.
const ASK: &str = "dotside-ask-update";
/// What it listens for.
const USE: &str = "dotside-use-update";

/// Calls `act` when a newer version waits, also when it waited before this call.
///
/// # Errors
/// [`Trouble::NoPage`] outside a page.
pub fn on_ready(act: impl Fn() + 'static) -> Result<Listener, Trouble> {
    let window = js::window()?;
    let listener = Listener::new(window.as_ref(), READY, move |_| act())?;
    say(ASK)?;
    Ok(listener)
}

/// Takes the newer version; the page is loaded again by whoever hears this.
///
/// # Errors
/// [`Trouble::NoPage`] outside a page.
pub fn use_it() -> Result<(), Trouble> {
    say(USE)
}

/// Loads the page again.
///
/// # Errors
/// [`Trouble::NoPage`] outside a page.
pub fn reload() -> Result<(), Trouble> {
    js::window()?.location().reload().map_err(|_| Trouble::NoPage)
}

fn say(name: &str) -> Result<(), Trouble> {
    let event = Event::new(name).map_err(|_| Trouble::NoPage)?;
    js::window()?.dispatch_event(&event).map(|_| ()).map_err(|_| Trouble::NoPage)
}
