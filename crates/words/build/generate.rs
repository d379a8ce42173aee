//! Writes the Rust of the messages: a function for each, or a row of the table of codes.

use crate::codes;
use crate::pack::pack;
use crate::read::{Messages, Piece, variables};
use std::fmt::Write;

/// The source text of `messages.rs`.
pub fn rust(messages: &Messages) -> String {
    let mut out = String::new();
    let mut book = String::new();
    for (id, pieces) in messages {
        if codes::is_looked_up(id) {
            let _ = write!(book, "{id}\u{2}{}\0", pack(pieces));
        } else {
            function(&mut out, id, pieces);
        }
    }
    let _ = writeln!(
        out,
        "/// Messages that are looked up by code, packed, in the order of their ids.\npub(crate) static BOOK: &str = {book:?};"
    );
    out
}

fn function(out: &mut String, id: &str, pieces: &[Piece]) {
    let name = id.replace(['-', '.'], "_");
    let arguments = variables(pieces);
    let plain: String = pieces
        .iter()
        .map(|piece| match piece {
            Piece::Text(text) => text.as_str(),
            _ => "…",
        })
        .collect();
    let _ = writeln!(out, "/// “{}”", plain.replace('\n', " "));
    if arguments.is_empty() {
        let _ = writeln!(out, "pub const fn {name}() -> &'static str {{\n    {:?}\n}}", plain);
        return;
    }
    let parameters: Vec<String> = arguments.iter().map(|argument| format!("{argument}: &str")).collect();
    let pairs: Vec<String> = arguments.iter().map(|argument| format!("({argument:?}, {argument})")).collect();
    let _ = writeln!(
        out,
        "pub fn {name}({}) -> String {{\n    render({:?}, &[{}])\n}}",
        parameters.join(", "),
        pack(pieces),
        pairs.join(", ")
    );
}
