//! Small bridges to JavaScript values: looking up, calling, waiting, naming an error.

use crate::Trouble;
use js_sys::{Array, Function, Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::Window;

/// The page's window.
pub(crate) fn window() -> Result<Window, Trouble> {
    web_sys::window().ok_or(Trouble::NoPage)
}

/// A property, or `undefined` when it is absent or reading it throws.
pub(crate) fn get(on: &JsValue, name: &str) -> JsValue {
    Reflect::get(on, &JsValue::from_str(name)).unwrap_or(JsValue::UNDEFINED)
}

/// Sets a property of an object of our own.
pub(crate) fn set(on: &JsValue, name: &str, value: &JsValue) {
    // Only a frozen or foreign object can refuse, and ours are fresh literals.
    let _refused_only_by_frozen_objects = Reflect::set(on, &JsValue::from_str(name), value);
}

/// A method, if the object has it. Newer browser features are found this way, for they may be absent.
pub(crate) fn method(on: &JsValue, name: &str) -> Option<Function> {
    get(on, name).dyn_into().ok()
}

/// Calls a method that may be absent; `None` when it is.
pub(crate) fn call(on: &JsValue, name: &str, arguments: &[JsValue]) -> Option<Result<JsValue, JsValue>> {
    let list: Array = arguments.iter().collect();
    method(on, name).map(|function| Reflect::apply(&function, on, &list))
}

/// Waits for a value that is, or may be, a promise.
pub(crate) async fn wait(value: JsValue) -> Result<JsValue, JsValue> {
    match value.dyn_into::<Promise>() {
        Ok(promise) => JsFuture::from(promise).await,
        Err(plain) => Ok(plain),
    }
}

/// The name of a thrown value, such as `QuotaExceededError`.
pub(crate) fn error_name(thrown: &JsValue) -> String {
    get(thrown, "name").as_string().unwrap_or_else(|| "unnamed".to_owned())
}

/// The words of a thrown value, for the log.
pub(crate) fn error_message(thrown: &JsValue) -> String {
    get(thrown, "message").as_string().or_else(|| thrown.as_string()).unwrap_or_default()
}
