//! The one place where a picture's SVG goes into the page: text made by the crate `pictures`, which escapes every word.

use crate::drawing::{Node, classed, tag};

/// A picture, from SVG text. The table of the same facts stands beside it, by whoever shows it.
pub fn picture(svg: String) -> Node {
    classed("FIGURE", "picture").markup(svg).into()
}

/// A picture without a frame.
pub fn bare_picture(svg: String) -> Node {
    classed("FIGURE", "picture picture--bare").markup(svg).into()
}

/// The mark: the polarity dot at the end of a winding.
const MARK: &str = r#"<svg class="shell__mark" viewBox="0 0 26 26" aria-hidden="true"><path d="M2 17h15" stroke="currentColor" stroke-width="3.4" stroke-linecap="round"></path><circle cx="19" cy="9" r="5.4" fill="currentColor"></circle></svg>"#;

/// The mark of the program.
pub fn mark() -> Node {
    tag("SPAN").set("aria-hidden", "true").markup(MARK).into()
}
