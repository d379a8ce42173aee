//! What is stamped on the equipment, beside the record, and whether the incoming meter fits.

pub mod compare;
mod fit;
mod view;

pub use view::plates;
