//! Puts a message together from its pieces and the values of its variables.

/// One piece of a message.
pub(crate) enum Piece {
    Text(&'static str),
    Variable(&'static str),
    Plural { variable: &'static str, one: &'static [Piece], other: &'static [Piece] },
}

/// The text of `pieces`; a variable without a value shows its name in braces, so that nothing goes missing silently.
pub(crate) fn render(pieces: &[Piece], values: &[(&str, &str)]) -> String {
    let mut text = String::new();
    write(&mut text, pieces, values);
    text
}

fn write(text: &mut String, pieces: &[Piece], values: &[(&str, &str)]) {
    let value = |name: &str| values.iter().find(|(known, _)| *known == name).map(|(_, value)| *value);
    for piece in pieces {
        match piece {
            Piece::Text(words) => text.push_str(words),
            Piece::Variable(name) => match value(name) {
                Some(words) => text.push_str(words),
                None => {
                    text.push('{');
                    text.push_str(name);
                    text.push('}');
                }
            },
            Piece::Plural { variable, one, other } => {
                write(text, if value(variable) == Some("1") { one } else { other }, values);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const COUNTED: &[Piece] = &[
        Piece::Variable("count"),
        Piece::Plural { variable: "count", one: &[Piece::Text(" job")], other: &[Piece::Text(" jobs")] },
    ];

    #[test]
    fn plural_follows_the_count() {
        assert_eq!(render(COUNTED, &[("count", "1")]), "1 job");
        assert_eq!(render(COUNTED, &[("count", "0")]), "0 jobs");
        assert_eq!(render(COUNTED, &[("count", "21")]), "21 jobs");
    }

    #[test]
    fn missing_value_shows_its_name() {
        assert_eq!(render(COUNTED, &[]), "{count} jobs");
    }
}
