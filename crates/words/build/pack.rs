//! Packs a message into one text; `src/render.rs` reads it, and says what the marks mean.

use crate::read::Piece;

/// The packed text of a message.
pub fn pack(pieces: &[Piece]) -> String {
    let mut text = String::new();
    for piece in pieces {
        match piece {
            Piece::Text(words) => text.push_str(words),
            Piece::Variable(name) => text.push_str(&format!("\u{1}{name}\u{2}")),
            Piece::Choice { variable, cases, other } => {
                text.push_str(&format!("\u{3}{variable}"));
                for (key, pieces) in cases {
                    text.push_str(&format!("\u{4}{key}\u{2}{}", pack(pieces)));
                }
                text.push_str(&format!("\u{5}{}\u{6}", pack(other)));
            }
        }
    }
    text
}
