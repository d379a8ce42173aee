//! The element that the page keeps for the program.

use crate::js;
use wasm_bindgen::JsCast;
use web_sys::HtmlElement;

/// The element of this id, emptied of what stood there while the program was on its way; `None` when there is none.
pub fn emptied(id: &str) -> Option<HtmlElement> {
    let root: HtmlElement = js::window().ok()?.document()?.get_element_by_id(id)?.dyn_into().ok()?;
    root.set_text_content(None);
    Some(root)
}
