//! The facts of a picture as rows of words.

/// A table that says what a picture shows. The heads are the caller's; the first cell of a row names it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Table {
    /// One row for each thing drawn.
    pub rows: Vec<Vec<String>>,
}
