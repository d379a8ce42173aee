//! The two ways out: data on standard output, sentences on standard error. A pipe that closes early is no fault of ours.

use crate::Outcome;
use crate::input::Trouble;
use jobfile::Problem;
use jobfile::problem::{is_hidden, shown};
use std::io::{self, IsTerminal, Write};
use std::path::Path;

/// Prints data and a line end. A file gets the canonical bytes; a terminal, which would obey hidden characters, gets
/// them escaped, which is the same JSON.
pub fn data(text: &str, outcome: Outcome) -> Outcome {
    let mut out = io::stdout().lock();
    let line = if out.is_terminal() { visible(text) } else { text.to_owned() };
    match writeln!(out, "{line}").and_then(|()| out.flush()) {
        Ok(()) => outcome,
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => outcome,
        Err(error) => {
            sentence(&system("output", "-", &error));
            Outcome::Unreadable
        }
    }
}

/// Says what is wrong with a file.
pub fn problems(problems: &[Problem]) {
    for problem in problems {
        sentence(&of(problem));
    }
}

/// Says why nothing was read.
pub fn trouble(path: &Path, trouble: &Trouble) -> Outcome {
    match trouble {
        Trouble::Refused(problem) => sentence(&of(problem)),
        Trouble::System(error) => sentence(&system("input", &shown(&path.to_string_lossy()), error)),
    }
    Outcome::Unreadable
}

/// Says why a file, or a part of it, is not taken, by the name of the sentence.
pub fn refused(path: &Path, name: &str, found: &str) -> Outcome {
    let path = shown(&path.to_string_lossy());
    let words = words::by_code(name, &[("path", path.as_str()), ("found", found)]);
    sentence(&words.unwrap_or_else(|| format!("{path}: {name} {found}")));
    Outcome::Problems
}

/// The sentence of a problem with its place; the facts alone where the words have no sentence for its code.
fn of(problem: &Problem) -> String {
    let line = problem.line.map(|(line, _)| line.to_string()).unwrap_or_default();
    let column = problem.line.map(|(_, column)| column.to_string()).unwrap_or_default();
    let facts = [
        ("path", problem.path.as_str()),
        ("found", problem.found.as_str()),
        ("wanted", problem.wanted.as_str()),
        ("line", line.as_str()),
        ("column", column.as_str()),
    ];
    let place = match problem.line {
        Some((line, column)) => format!("{line}:{column} {} ", problem.path),
        None if problem.path.is_empty() => String::new(),
        None => format!("{} ", problem.path),
    };
    let words = words::by_code(&format!("problem-{}", problem.code.replace('.', "_")), &facts);
    let words = words.unwrap_or_else(|| format!("found: {} wanted: {}", problem.found, problem.wanted));
    format!("{place}[{}] {words}", problem.code)
}

fn system(side: &str, name: &str, error: &io::Error) -> String {
    let facts = [("name", name), ("error", &error.to_string())];
    let words = words::by_code(&format!("problem-system_{side}"), &facts);
    format!("[system.{side}] {}", words.unwrap_or_else(|| format!("{name}: {error}")))
}

fn sentence(text: &str) {
    // With standard error closed there is nowhere left to say so.
    let _closed = writeln!(io::stderr().lock(), "{}", visible(text));
}

/// The text with every hidden character as a JSON escape.
fn visible(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        if is_hidden(letter) {
            let mut units = [0; 2];
            for unit in letter.encode_utf16(&mut units) {
                out.push_str(&format!("\\u{unit:04x}"));
            }
        } else {
            out.push(letter);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hidden_characters_are_escaped_as_json_does() {
        assert_eq!(visible("a\u{202e}b\u{85}"), "a\\u202eb\\u0085");
        let text = serde_json::json!({"k": "a\u{202e}\u{7f}é"}).to_string();
        let back: serde_json::Value = serde_json::from_str(&visible(&text)).unwrap();
        assert_eq!(back.to_string(), text);
    }

    #[test]
    fn a_problem_always_shows_its_code_and_place() {
        let problem = Problem::new(jobfile::code::CHAIN_FORK, "/entries/3", "2", "1").at((4, 1));
        assert!(of(&problem).starts_with("4:1 /entries/3 [chain.fork] "));
    }
}
