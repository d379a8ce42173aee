//! Rust text taken apart just far enough: what is code, and what stands in string literals.

/// Both halves of a text. Comments are in neither.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Parts {
    /// The code; each literal is left as `""`.
    pub code: String,
    /// The literals, escapes for quotes undone.
    pub strings: Vec<String>,
}

/// Takes a text apart.
pub fn parts(text: &str) -> Parts {
    let mut parts = Parts::default();
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let (taken, what) = next(rest, first);
        match what {
            What::Comment => parts.code.push(' '),
            What::Literal(literal) => {
                parts.code.push_str("\"\"");
                parts.strings.push(literal);
            }
            What::Code => parts.code.push_str(rest.get(..taken).unwrap_or_default()),
        }
        rest = rest.get(taken..).unwrap_or_default();
    }
    parts
}

enum What {
    Comment,
    Literal(String),
    Code,
}

/// Length of the next piece, and what it is.
fn next(rest: &str, first: char) -> (usize, What) {
    if rest.starts_with("//") {
        return (rest.find('\n').unwrap_or(rest.len()), What::Comment);
    }
    if rest.starts_with("/*") {
        return (rest.find("*/").map_or(rest.len(), |at| at + 2), What::Comment);
    }
    if first == '"' {
        return plain(rest);
    }
    if first == 'r'
        && let Some(found) = raw(rest)
    {
        return found;
    }
    if first == '\'' {
        return (quoted_char(rest).unwrap_or(1), What::Code);
    }
    // A whole word at once, so that the `r` at a word's end opens no raw string.
    let word = rest.find(|c: char| !(c.is_alphanumeric() || c == '_')).unwrap_or(rest.len());
    (word.max(first.len_utf8()), What::Code)
}

fn plain(rest: &str) -> (usize, What) {
    let mut literal = String::new();
    let mut chars = rest.char_indices().skip(1);
    while let Some((at, c)) = chars.next() {
        match c {
            '"' => return (at + 1, What::Literal(literal)),
            '\\' => match chars.next() {
                Some((_, quote @ ('"' | '\\' | '\''))) => literal.push(quote),
                _ => literal.push(' '),
            },
            _ => literal.push(c),
        }
    }
    (rest.len(), What::Literal(literal))
}

fn raw(rest: &str) -> Option<(usize, What)> {
    let hashes = rest.get(1..)?.bytes().take_while(|byte| *byte == b'#').count();
    let start = 1 + hashes;
    if !rest.get(start..)?.starts_with('"') {
        return None;
    }
    let end = format!("\"{}", "#".repeat(hashes));
    let body = rest.get(start + 1..)?;
    let length = body.find(&end)?;
    Some((start + 1 + length + end.len(), What::Literal(body.get(..length)?.to_string())))
}

/// Length of a character literal; nothing for a lifetime.
fn quoted_char(rest: &str) -> Option<usize> {
    let mut chars = rest.char_indices().skip(1);
    let (_, first) = chars.next()?;
    if first == '\\' {
        chars.next()?; // what is escaped, which may be a quote itself
        return chars.find(|(_, c)| *c == '\'').map(|(at, _)| at + 1);
    }
    let (at, quote) = chars.next()?;
    (quote == '\'').then_some(at + 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn code_and_literals_come_apart() {
        let text = concat!(
            "//! HashMap in words\n",
            "let a = \"one \\\"two\\\"\"; /* \"no\" */ let b = r#\"raw \"x\" y\"#;\n",
            "let c = '\"'; let d: &'static str = \"three\"; let e = '\\''; bar\"four\"; f('a', \"five\")",
        );
        let Parts { code, strings } = parts(text);
        assert_eq!(strings, ["one \"two\"", "raw \"x\" y", "three", "four", "five"]);
        assert!(!code.contains("HashMap") && code.contains("let d: &'static str"), "{code}");
    }
}
