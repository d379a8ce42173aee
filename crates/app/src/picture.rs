//! The one place where a picture's SVG goes into the page: text made by the crate `pictures`, which escapes every word.

use leptos::prelude::*;

/// A picture. The table of the same facts stands beside it, by whoever shows it.
#[component]
pub fn Picture(
    /// SVG text from the crate `pictures`.
    svg: String,
    /// Without a frame.
    #[prop(optional)]
    bare: bool,
) -> impl IntoView {
    let class = if bare { "picture picture--bare" } else { "picture" };
    view! { <figure class=class inner_html=svg></figure> }.into_any()
}
