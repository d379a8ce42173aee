//! Waiting: for some time, for an answer that may never come, and again and again.

use crate::{Trouble, js};
use js_sys::{Array, Function, Promise};
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};

/// Waits that long. A page in the background may wait longer.
pub async fn sleep_ms(wait_ms: u32) {
    let (promise, _) = alarm(wait_ms);
    let _always_resolves = js::wait(promise.into()).await;
}

/// The value of a promise that always resolves with something, or `None` when the time was over first.
pub(crate) async fn within(promise: Promise, wait_ms: u32) -> Option<JsValue> {
    let (alarm, number) = alarm(wait_ms);
    let first = js::wait(Promise::race(&Array::of2(&promise, &alarm)).into()).await;
    if let (Ok(window), Some(number)) = (js::window(), number) {
        window.clear_timeout_with_handle(number);
    }
    first.ok().filter(|value| !value.is_undefined())
}

/// A promise that resolves with `undefined` after that time, and the number to stop it by.
fn alarm(wait_ms: u32) -> (Promise, Option<i32>) {
    let mut number = None;
    let promise = Promise::new(&mut |resolve: Function, _: Function| {
        let wait = i32::try_from(wait_ms).unwrap_or(i32::MAX);
        number = js::window()
            .ok()
            .and_then(|window| window.set_timeout_with_callback_and_timeout_and_arguments_0(&resolve, wait).ok());
    });
    (promise, number)
}

/// Does something again and again until it is dropped.
pub struct Ticker {
    number: i32,
    _act: Closure<dyn Fn()>,
}

/// Does something every so many milliseconds, for as long as the ticker is held.
pub fn every(period_ms: u32, act: impl Fn() + 'static) -> Result<Ticker, Trouble> {
    let act = Closure::<dyn Fn()>::new(act);
    let period = i32::try_from(period_ms).unwrap_or(i32::MAX);
    let number = js::window()?
        .set_interval_with_callback_and_timeout_and_arguments_0(act.as_ref().unchecked_ref(), period)
        .map_err(|_| Trouble::NoPage)?;
    Ok(Ticker { number, _act: act })
}

impl Drop for Ticker {
    fn drop(&mut self) {
        if let Ok(window) = js::window() {
            window.clear_interval_with_handle(self.number);
        }
    }
}

impl std::fmt::Debug for Ticker {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(out, "Ticker({})", self.number)
    }
}
