//! Joins a machine to its skin: one signal that holds the state, and the messages that change it.

use crate::machine::Machine;
use crate::services::Services;
use leptos::prelude::*;

/// A machine on the screen. Copy, so that every handler can hold one.
pub struct Screen<S: Machine> {
    state: RwSignal<S, LocalStorage>,
    services: Services,
}

impl<S: Machine> Clone for Screen<S> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<S: Machine> Copy for Screen<S> {}

impl<S: Machine> Screen<S> {
    /// Puts `state` on the screen.
    pub fn new(state: S, services: Services) -> Screen<S> {
        Screen { state: RwSignal::new_local(state), services }
    }

    /// The services this screen was made with.
    pub fn services(self) -> Services {
        self.services
    }

    /// Reads the state and follows its changes.
    pub fn with<T>(self, read: impl FnOnce(&S) -> T) -> T {
        self.state.track();
        self.peek(read)
    }

    /// Reads the state without following it.
    ///
    /// # Panics
    /// After the screen is gone, as every read of a signal does then.
    pub fn peek<T>(self, read: impl FnOnce(&S) -> T) -> T {
        read(&self.state.read_untracked())
    }

    /// Sends a message; the wishes that come back are carried out. After the screen is gone, nothing happens: an event
    /// (a blur while a field is being removed) may arrive late.
    pub fn send(self, msg: S::Msg) {
        let now = self.services.now();
        if let Some(wishes) = self.state.try_update(|state| state.update(msg, &now)) {
            for wish in wishes {
                self.services.carry_out(wish, move |reply| self.send(S::Msg::from(reply)));
            }
        }
    }
}
