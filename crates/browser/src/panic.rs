//! When this program fails in a way nobody foresaw: a plain page with one button, and the message kept.

use crate::js;
use crate::settings::failures;
use std::cell::Cell;
use wasm_bindgen::JsCast;
use wasm_bindgen::JsValue;
use wasm_bindgen::closure::Closure;
use web_sys::{Document, Element};

/// The words of the plain page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Page {
    /// What happened, in a few words.
    pub heading: String,
    /// What is kept and what to do.
    pub body: String,
    /// On the button that loads the page again.
    pub reload: String,
}

/// From now on a panic keeps its message and shows the page. It never panics itself.
pub fn install(page: Page) {
    std::panic::set_hook(Box::new(move |info| {
        thread_local! {
            static SHOWN: Cell<bool> = const { Cell::new(false) };
        }
        // A second panic, or one raised by showing the first, has nothing to add.
        if SHOWN.replace(true) {
            return;
        }
        let message = info.to_string();
        failures::keep(&message);
        show(&page, &message);
    }));
}

/// The page's own script has a function for it, which also works where this program never started; else the page is
/// built here.
fn show(page: &Page, message: &str) {
    let arguments = [JsValue::from_str(message)];
    if let Some(Ok(_)) = js::call(&js_sys::global(), "dotsideFailed", &arguments) {
        return;
    }
    if let Some(document) = js::window().ok().and_then(|window| window.document()) {
        // Where even this is refused, the message is still among the kept ones.
        let _message_is_kept = document.body().map(|body| build(&document, &body, page, message));
    }
}

/// Puts the plain page in the place of everything that is there.
fn build(document: &Document, into: &Element, page: &Page, message: &str) -> Result<(), JsValue> {
    into.set_text_content(None);
    let main = document.create_element("main")?;
    main.set_attribute("role", "alert")?;
    for (tag, text) in [("h1", page.heading.as_str()), ("p", &page.body), ("pre", message)] {
        let line = with_text(document, tag, text)?;
        main.append_child(&line)?;
    }
    let button = with_text(document, "button", &page.reload)?;
    let reload = Closure::<dyn Fn()>::new(|| {
        if let Ok(window) = js::window() {
            // Where the browser refuses, its own button is still there.
            let _own_button_is_there = window.location().reload();
        }
    });
    button.add_event_listener_with_callback("click", reload.as_ref().unchecked_ref())?;
    reload.forget(); // the page stays until it is loaded again
    main.append_child(&button)?;
    into.append_child(&main)?;
    Ok(())
}

fn with_text(document: &Document, tag: &str, text: &str) -> Result<Element, JsValue> {
    let element = document.create_element(tag)?;
    element.set_text_content(Some(text));
    Ok(element)
}

#[cfg(all(test, target_arch = "wasm32"))]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may stop")]
    use super::*;
    use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};

    wasm_bindgen_test_configure!(run_in_browser);

    #[wasm_bindgen_test]
    fn the_plain_page_says_what_to_do_and_takes_no_markup_from_the_message() {
        let document = js::window().unwrap().document().unwrap();
        let place = document.create_element("div").unwrap();
        place.set_inner_html("<p>half a screen</p>");
        let page = Page { heading: "Stopped".into(), body: "Your work is kept.".into(), reload: "Load again".into() };
        build(&document, &place, &page, "at <b>line</b> 3").unwrap();
        assert_eq!(place.text_content().unwrap(), "StoppedYour work is kept.at <b>line</b> 3Load again");
        assert_eq!(place.query_selector_all("b, script").unwrap().length(), 0);
        assert_eq!(place.query_selector_all("button").unwrap().length(), 1);
    }
}
