//! Puts a message together from its pieces and the values of its variables.

/// One piece of a message.
pub(crate) enum Piece {
    Text(&'static str),
    Variable(&'static str),
    /// The case whose word is the value; `one` stands for 1, `none` for an empty value.
    Choice {
        variable: &'static str,
        cases: &'static [(&'static str, &'static [Piece])],
        other: &'static [Piece],
    },
}

/// The text of `pieces`; a variable without a value shows its name in braces, so that nothing goes missing silently.
pub(crate) fn render(pieces: &[Piece], values: &[(&str, &str)]) -> String {
    let mut text = String::new();
    write(&mut text, pieces, values);
    text
}

/// As [`render`], but `None` where a variable has no value.
pub(crate) fn render_whole(pieces: &[Piece], values: &[(&str, &str)]) -> Option<String> {
    let mut text = String::new();
    write(&mut text, pieces, values).then_some(text)
}

/// Writes all of it, and answers whether every variable on the way had its value.
fn write(text: &mut String, pieces: &[Piece], values: &[(&str, &str)]) -> bool {
    let value = |name: &str| values.iter().find(|(known, _)| *known == name).map(|(_, value)| *value);
    let mut whole = true;
    for piece in pieces {
        match piece {
            Piece::Text(words) => text.push_str(words),
            Piece::Variable(name) => match value(name) {
                Some(words) => text.push_str(words),
                None => {
                    whole = false;
                    text.push('{');
                    text.push_str(name);
                    text.push('}');
                }
            },
            Piece::Choice { variable, cases, other } => {
                let found = value(variable);
                whole &= found.is_some();
                let case = cases.iter().find(|(key, _)| found.is_some_and(|found| is_case(key, found)));
                whole &= write(text, case.map_or(*other, |(_, pieces)| pieces), values);
            }
        }
    }
    whole
}

/// English tells one from many by the number 1 alone.
fn is_case(key: &str, value: &str) -> bool {
    match key {
        "one" => value == "1",
        "none" => value.is_empty() || value == "none",
        key => value == key,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const COUNTED: &[Piece] = &[
        Piece::Variable("count"),
        Piece::Choice {
            variable: "count",
            cases: &[("one", &[Piece::Text(" job")]), ("none", &[Piece::Text("no jobs")])],
            other: &[Piece::Text(" jobs")],
        },
    ];

    #[test]
    fn a_choice_follows_its_value() {
        assert_eq!(render(COUNTED, &[("count", "1")]), "1 job");
        assert_eq!(render(COUNTED, &[("count", "0")]), "0 jobs");
        assert_eq!(render(COUNTED, &[("count", "21")]), "21 jobs");
        assert_eq!(render(COUNTED, &[("count", "")]), "no jobs");
    }

    #[test]
    fn a_missing_value_shows_its_name_and_is_told() {
        assert_eq!(render(COUNTED, &[]), "{count} jobs");
        assert_eq!(render_whole(COUNTED, &[]), None);
        assert_eq!(render_whole(COUNTED, &[("count", "2")]).as_deref(), Some("2 jobs"));
    }
}
