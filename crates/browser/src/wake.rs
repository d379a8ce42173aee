//! Keeping the screen on while someone works with both hands.

use crate::{Listener, Trouble, js};
use std::cell::RefCell;
use std::rc::Rc;
use wasm_bindgen::JsValue;
use wasm_bindgen_futures::spawn_local;
use web_sys::VisibilityState;

/// Keeps the screen on until it is dropped.
#[derive(Debug)]
pub struct Awake {
    sentinel: Rc<RefCell<Option<JsValue>>>,
    _seen_again: Listener,
}

impl Drop for Awake {
    fn drop(&mut self) {
        if let Some(sentinel) = self.sentinel.take() {
            release(&sentinel);
        }
    }
}

/// Keeps the screen on. A browser lets it go when the page is hidden, so it is asked again when the page is seen again.
pub async fn keep_awake() -> Result<Awake, Trouble> {
    let first = ask().await?;
    let sentinel = Rc::new(RefCell::new(Some(first)));
    let held = Rc::downgrade(&sentinel);
    let document = js::window()?.document().ok_or(Trouble::NoPage)?;
    let page = document.clone();
    let seen_again = Listener::new(&document, "visibilitychange", move |_| {
        if page.visibility_state() != VisibilityState::Visible {
            return;
        }
        let held = held.clone();
        spawn_local(async move {
            // A refusal here leaves the screen to the device's own timer, as it was before.
            let Ok(again) = ask().await else { return };
            match held.upgrade() {
                Some(held) => drop(held.replace(Some(again))),
                None => release(&again), // dropped while the browser was asked
            }
        });
    })?;
    Ok(Awake { sentinel, _seen_again: seen_again })
}

async fn ask() -> Result<JsValue, Trouble> {
    let wake_lock = js::get(&js::window()?.navigator(), "wakeLock");
    let asked = js::call(&wake_lock, "request", &["screen".into()]).ok_or(Trouble::WakeAbsent)?;
    js::wait(asked.map_err(|_| Trouble::WakeRefused)?).await.map_err(|_| Trouble::WakeRefused)
}

fn release(sentinel: &JsValue) {
    // Its promise resolves even where the browser let go before.
    let _resolves = js::call(sentinel, "release", &[]);
}
