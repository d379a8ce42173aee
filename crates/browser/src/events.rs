//! Listening to an event for as long as someone holds the listener.

use crate::Trouble;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Event, EventTarget};

/// Hears one kind of event until it is dropped.
pub struct Listener {
    target: EventTarget,
    kind: &'static str,
    heard: Closure<dyn Fn(Event)>,
}

impl Listener {
    /// Starts to listen.
    pub(crate) fn new(
        target: &EventTarget,
        kind: &'static str,
        act: impl Fn(Event) + 'static,
    ) -> Result<Self, Trouble> {
        let heard = Closure::<dyn Fn(Event)>::new(act);
        target
            .add_event_listener_with_callback(kind, heard.as_ref().unchecked_ref())
            .map_err(|_: JsValue| Trouble::NoPage)?;
        Ok(Self { target: target.clone(), kind, heard })
    }
}

impl Drop for Listener {
    fn drop(&mut self) {
        // Removing what is not there does nothing, so there is nothing to report.
        let _nothing_to_report =
            self.target.remove_event_listener_with_callback(self.kind, self.heard.as_ref().unchecked_ref());
    }
}

impl std::fmt::Debug for Listener {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(out, "Listener({})", self.kind)
    }
}
