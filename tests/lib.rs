//! Checks that belong to no single crate. The library is what runs on every target; files are read by the tests beside it.

pub mod cases;
