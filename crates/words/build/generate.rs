//! Writes the Rust of the messages: a function for each, or a row of the table of codes.

use crate::codes;
use crate::read::{Messages, Piece, variables};
use std::fmt::Write;

/// The source text of `messages.rs`.
pub fn rust(messages: &Messages) -> String {
    let mut out = String::new();
    let mut table = String::new();
    for (id, pieces) in messages {
        if codes::is_looked_up(id) {
            let _ = writeln!(table, "    ({id:?}, {}),", slice(pieces));
        } else {
            function(&mut out, id, pieces);
        }
    }
    let _ = write!(
        out,
        "/// Messages that are looked up by code, in the order of their ids.\npub(crate) static BY_CODE: &[(&str, &[Piece])] = &[\n{table}];\n"
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
        "pub fn {name}({}) -> String {{\n    render({}, &[{}])\n}}",
        parameters.join(", "),
        slice(pieces),
        pairs.join(", ")
    );
}

fn slice(pieces: &[Piece]) -> String {
    let inner: Vec<String> = pieces
        .iter()
        .map(|piece| match piece {
            Piece::Text(text) => format!("Piece::Text({text:?})"),
            Piece::Variable(name) => format!("Piece::Variable({name:?})"),
            Piece::Choice { variable, cases, other } => {
                let cases: Vec<String> =
                    cases.iter().map(|(key, pieces)| format!("({key:?}, {})", slice(pieces))).collect();
                format!(
                    "Piece::Choice {{ variable: {variable:?}, cases: &[{}], other: {} }}",
                    cases.join(", "),
                    slice(other)
                )
            }
        })
        .collect();
    format!("&[{}]", inner.join(", "))
}
