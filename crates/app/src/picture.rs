//! The one place where a picture's SVG goes into the page: text made by the crate `pictures`, which escapes every word.

use crate::drawing::{Node, classed};

/// A picture, from SVG text. The table of the same facts stands beside it, by whoever shows it.
pub fn picture(svg: String) -> Node {
    classed("FIGURE", "picture").markup(svg).into()
}

/// A picture without a frame.
pub fn bare_picture(svg: String) -> Node {
    classed("FIGURE", "picture picture--bare").markup(svg).into()
}
