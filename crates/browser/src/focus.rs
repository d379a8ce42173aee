//! Moving the focus and the view, so that a keyboard and a screen reader follow what changed.

use crate::js;
use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement, ScrollToOptions};

/// Puts the focus on an element by its id; false when it is not there or cannot take it.
pub fn focus(id: &str) -> bool {
    let element = by_id(id).and_then(|element| element.dyn_into::<HtmlElement>().ok());
    element.is_some_and(|element| element.focus().is_ok())
}

/// Brings an element into view by its id; false when it is not there.
pub fn scroll_to(id: &str) -> bool {
    let element = by_id(id);
    if let Some(element) = &element {
        element.scroll_into_view();
    }
    element.is_some()
}

/// Goes to the top of the page at once, as a new screen does.
pub fn scroll_top() {
    if let Ok(window) = js::window() {
        let options = ScrollToOptions::new();
        options.set_top(0.0);
        options.set_left(0.0);
        window.scroll_to_with_scroll_to_options(&options);
    }
}

fn by_id(id: &str) -> Option<Element> {
    js::window().ok()?.document()?.get_element_by_id(id)
}
