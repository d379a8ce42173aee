//! Puts a message together from its packed text and the values of its variables, and finds a message by its code.
//!
//! Packed, because a table of pieces would be three times the text it points at. Marks are control characters, which no sentence
//! holds; `build/pack.rs` writes them.

/// Begins a variable: its name, then [`END`].
const VARIABLE: u8 = 1;
/// Ends a variable’s name, or the word of a case.
const END: u8 = 2;
/// Begins a choice: the name of its variable, then its cases.
const CHOICE: u8 = 3;
/// Begins a case: its word, [`END`], its pieces.
const CASE: u8 = 4;
/// Begins the case of everything else.
const OTHER: u8 = 5;
/// Ends a choice.
const CLOSE: u8 = 6;

/// The text of a packed message; a variable without a value shows its name in braces, so that nothing goes missing silently.
pub(crate) fn render(packed: &str, values: &[(&str, &str)]) -> String {
    Writer::write(packed, values).text
}

/// As [`render`], but `None` where a variable has no value.
pub(crate) fn render_whole(packed: &str, values: &[(&str, &str)]) -> Option<String> {
    let written = Writer::write(packed, values);
    written.is_whole.then_some(written.text)
}

/// The packed message of a code in a book of messages: `id`, [`END`], the message, a zero byte, in the order of their ids.
pub(crate) fn find(book: &'static str, id: &str) -> Option<&'static str> {
    let (mut low, mut high) = (0, book.len());
    while low < high {
        let middle = low + (high - low) / 2;
        let start =
            book.as_bytes().get(low..middle)?.iter().rposition(|byte| *byte == 0).map_or(low, |at| low + at + 1);
        let (known, rest) = entry(book.get(start..)?)?;
        match known.cmp(id) {
            std::cmp::Ordering::Equal => return Some(rest),
            std::cmp::Ordering::Less => low = start + known.len() + 1 + rest.len() + 1,
            std::cmp::Ordering::Greater => high = start,
        }
    }
    None
}

/// The ids of a book, in their order.
pub(crate) fn ids(book: &'static str) -> impl Iterator<Item = &'static str> {
    book.split('\0').filter_map(|entry| entry.split(char::from(END)).next()).filter(|id| !id.is_empty())
}

/// Id and message at the beginning of a text.
fn entry(text: &'static str) -> Option<(&'static str, &'static str)> {
    let whole = text.split('\0').next()?;
    whole.split_once(char::from(END))
}

/// A message as far as it is written.
struct Writer<'a> {
    rest: &'a str,
    values: &'a [(&'a str, &'a str)],
    text: String,
    is_whole: bool,
}

impl<'a> Writer<'a> {
    fn write(packed: &'a str, values: &'a [(&'a str, &'a str)]) -> Writer<'a> {
        let mut writer = Writer { rest: packed, values, text: String::new(), is_whole: true };
        writer.pieces(true);
        writer
    }

    /// What stands before the next mark, and the mark; 0 at the end.
    fn until_mark(&mut self) -> (&'a str, u8) {
        let at = self.rest.bytes().position(|byte| byte <= CLOSE).unwrap_or(self.rest.len());
        let (before, after) = self.rest.split_at_checked(at).unwrap_or((self.rest, ""));
        let mark = after.bytes().next().unwrap_or(0);
        self.rest = after.get(1..).unwrap_or("");
        (before, mark)
    }

    fn value(&self, name: &str) -> Option<&'a str> {
        self.values.iter().find(|(known, _)| *known == name).map(|(_, value)| *value)
    }

    /// Reads pieces up to a mark that ends them, which it answers; writes them where `on`.
    fn pieces(&mut self, on: bool) -> u8 {
        loop {
            let (words, mark) = self.until_mark();
            if on {
                self.text.push_str(words);
            }
            match mark {
                VARIABLE => self.variable(on),
                CHOICE => self.choice(on),
                ends => return ends,
            }
        }
    }

    fn variable(&mut self, on: bool) {
        let (name, _) = self.until_mark();
        if !on {
            return;
        }
        match self.value(name) {
            Some(value) => self.text.push_str(value),
            None => {
                self.is_whole = false;
                for part in ["{", name, "}"] {
                    self.text.push_str(part);
                }
            }
        }
    }

    fn choice(&mut self, on: bool) {
        let (name, mut mark) = self.until_mark();
        let value = self.value(name);
        self.is_whole &= !on || value.is_some();
        let mut found = false;
        loop {
            match mark {
                CASE => {
                    let (key, _) = self.until_mark();
                    let is = on && !found && value.is_some_and(|value| is_case(key, value));
                    found |= is;
                    mark = self.pieces(is);
                }
                OTHER => mark = self.pieces(on && !found),
                _ => return,
            }
        }
    }
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

    const COUNTED: &str = "\u{1}count\u{2}\u{3}count\u{4}one\u{2} job\u{4}none\u{2}no jobs\u{5} jobs\u{6}";

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

    #[test]
    fn a_choice_within_a_choice_is_read_over_where_it_does_not_count() {
        let nested = "\u{3}a\u{4}x\u{2}\u{3}b\u{4}y\u{2}xy\u{5}x\u{1}b\u{2}\u{6}!\u{5}none\u{6}.";
        assert_eq!(render(nested, &[("a", "x"), ("b", "y")]), "xy!.");
        assert_eq!(render(nested, &[("a", "x"), ("b", "z")]), "xz!.");
        assert_eq!(render(nested, &[("a", "q")]), "none.");
    }

    #[test]
    fn a_book_is_found_in_by_halves() {
        const BOOK: &str = "a\u{2}first\0ab\u{2}second\0b\u{2}\0c.d\u{2}last\0";
        let of = |id| find(BOOK, id);
        assert_eq!([of("a"), of("ab"), of("b"), of("c.d")], [Some("first"), Some("second"), Some(""), Some("last")]);
        assert_eq!([of(""), of("aa"), of("c"), of("d")], [None; 4]);
        assert_eq!(ids(BOOK).collect::<Vec<_>>(), ["a", "ab", "b", "c.d"]);
    }
}
