//! A strict reader of JSON that knows its place: every fault is reported with path, line and column, and nothing is guessed.
//!
//! It refuses what a lenient reader swallows: a key named twice, fractions, numbers that not every reader takes exactly,
//! half surrogate pairs, bare control characters, bottomless nesting.

use crate::problem::{Problem, code, pointer};
use serde_json::{Map, Value};

/// The largest whole number that every reader of JSON takes exactly: 2^53 − 1 (RFC 8259, section 6).
pub(crate) const LARGEST: u64 = 9_007_199_254_740_991;
/// Deepest nesting that is read.
const DEEPEST: usize = 32;
/// Most values that are held in memory: a real job has some ten thousand.
const MOST_VALUES: usize = 4_000_000;
/// Most problems that are listed.
pub(crate) const MOST_PROBLEMS: usize = 1000;

/// The text cannot be followed from here on; the problem is already listed.
#[derive(Debug)]
pub(crate) struct Stop;

/// A reader over the bytes of a file.
pub(crate) struct Scanner<'a> {
    bytes: &'a [u8],
    at: usize,
    /// Line counted so far: its number from 1, where it begins, how far lines were counted.
    line: (u32, usize, usize),
    values: usize,
    path: String,
    pub problems: Vec<Problem>,
    pub unlisted: usize,
}

/// Reads one document that is nothing but one value.
pub(crate) fn parse(bytes: &[u8]) -> Result<Value, Vec<Problem>> {
    let mut scanner = Scanner::new(bytes);
    let value = scanner.value(0);
    if value.is_ok() {
        scanner.spaces();
        if !scanner.is_at_end() {
            scanner.report(code::FILE_AFTER_END, scanner.at, "");
        }
    }
    match value {
        Ok(value) if scanner.problems.is_empty() => Ok(value),
        _ => Err(scanner.problems),
    }
}

impl<'a> Scanner<'a> {
    pub fn new(bytes: &'a [u8]) -> Self {
        Self { bytes, at: 0, line: (1, 0, 0), values: 0, path: String::new(), problems: Vec::new(), unlisted: 0 }
    }

    pub fn at(&self) -> usize {
        self.at
    }

    pub fn is_at_end(&self) -> bool {
        self.at >= self.bytes.len()
    }

    pub fn peek(&self) -> Option<u8> {
        self.bytes.get(self.at).copied()
    }

    pub fn skip(&mut self, count: usize) {
        self.at = (self.at + count).min(self.bytes.len());
    }

    /// Goes on behind the next line end; false at the end of the file.
    pub fn next_line(&mut self) -> bool {
        while let Some(byte) = self.peek() {
            self.at += 1;
            if byte == b'\n' {
                return true;
            }
        }
        false
    }

    pub fn spaces(&mut self) {
        while matches!(self.peek(), Some(b' ' | b'\t' | b'\r' | b'\n')) {
            self.at += 1;
        }
    }

    /// Takes this byte if it comes next.
    pub fn take(&mut self, byte: u8) -> bool {
        let found = self.peek() == Some(byte);
        self.at += usize::from(found);
        found
    }

    /// Sets the path under which further faults are reported.
    pub fn set_path(&mut self, path: &str) {
        self.path.clear();
        self.path.push_str(path);
    }

    /// Line and column of a byte.
    pub fn place(&mut self, at: usize) -> (u32, u32) {
        if at < self.line.2 {
            self.line = (1, 0, 0);
        }
        for (index, _) in self.bytes[self.line.2..at].iter().enumerate().filter(|(_, byte)| **byte == b'\n') {
            self.line.0 = self.line.0.saturating_add(1);
            self.line.1 = self.line.2 + index + 1;
        }
        self.line.2 = at;
        (self.line.0, u32::try_from(at - self.line.1 + 1).unwrap_or(u32::MAX))
    }

    /// Lists a problem that is already made, unless too many are.
    pub fn list(&mut self, problem: Problem) {
        if self.problems.len() < MOST_PROBLEMS { self.problems.push(problem) } else { self.unlisted += 1 }
    }

    /// Reports what stands at a byte.
    pub fn report(&mut self, code: &'static str, at: usize, wanted: &str) {
        let rest = self.bytes.get(at..).unwrap_or_default();
        let rest = &rest[..rest.len().min(40)];
        let line = rest.split(|byte| *byte == b'\n').next().unwrap_or_default();
        let found = String::from_utf8_lossy(line).into_owned();
        self.report_found(code, at, &found, wanted);
    }

    /// Reports something by name at a byte.
    pub fn report_found(&mut self, code: &'static str, at: usize, found: &str, wanted: &str) {
        let place = self.place(at.min(self.bytes.len()));
        self.list(Problem::new(code, self.path.clone(), found, wanted).at(place));
    }

    /// The text cannot be followed: cut short when it ends here, else a character too many.
    pub fn stop<T>(&mut self, wanted: &str) -> Result<T, Stop> {
        let code = if self.is_at_end() { code::FILE_CUT_SHORT } else { code::JSON_SYNTAX };
        self.report(code, self.at, wanted);
        Err(Stop)
    }

    /// Reads one value, spaces before it included.
    pub fn value(&mut self, depth: usize) -> Result<Value, Stop> {
        self.spaces();
        self.values += 1;
        if self.values > MOST_VALUES {
            self.report_found(code::FILE_TOO_MANY_VALUES, self.at, "", &MOST_VALUES.to_string());
            self.at = self.bytes.len();
            return Err(Stop);
        }
        match self.peek() {
            Some(b'{') => self.object(depth),
            Some(b'[') => self.array(depth),
            Some(b'"') => self.string().map(Value::String),
            Some(b'-' | b'0'..=b'9') => self.number(),
            Some(b't') => self.word("true", Value::Bool(true)),
            Some(b'f') => self.word("false", Value::Bool(false)),
            Some(b'n') => self.word("null", Value::Null),
            Some(b'N' | b'I') => self.not_a_number(),
            _ => self.stop("{ [ \" 0…9 true false null"),
        }
    }

    fn word(&mut self, word: &str, value: Value) -> Result<Value, Stop> {
        let rest = &self.bytes[self.at..];
        if rest.starts_with(word.as_bytes()) {
            self.at += word.len();
            return Ok(value);
        }
        // A word that the end of the file cuts in two is cut short, not misspelled.
        if word.as_bytes().starts_with(rest) {
            self.at = self.bytes.len();
        }
        self.stop(word)
    }

    fn not_a_number(&mut self) -> Result<Value, Stop> {
        for word in ["NaN", "Infinity"] {
            if self.bytes[self.at..].starts_with(word.as_bytes()) {
                self.report(code::JSON_NOT_A_NUMBER, self.at, "0…9");
                self.at += word.len();
                return Ok(Value::Null);
            }
        }
        self.stop("{ [ \" 0…9 true false null")
    }

    fn number(&mut self) -> Result<Value, Stop> {
        let from = self.at;
        let negative = self.take(b'-');
        if negative && self.peek() == Some(b'I') {
            return self.not_a_number();
        }
        let digits = self.digits();
        if digits == 0 {
            return self.stop("0…9");
        }
        let whole = &self.bytes[self.at - digits..self.at];
        if digits > 1 && whole[0] == b'0' {
            self.at = from;
            return self.stop("[1-9]…");
        }
        let magnitude = whole.iter().try_fold(0u64, |sum, digit| {
            sum.checked_mul(10)?.checked_add(u64::from(digit - b'0')).filter(|sum| *sum <= LARGEST)
        });
        let mut fraction = false;
        if self.take(b'.') {
            fraction = true;
            if self.digits() == 0 {
                return self.stop("0…9");
            }
        }
        if self.take(b'e') || self.take(b'E') {
            fraction = true;
            let _sign = self.take(b'+') || self.take(b'-');
            if self.digits() == 0 {
                return self.stop("0…9");
            }
        }
        if fraction || (negative && magnitude == Some(0)) {
            self.report(code::JSON_NOT_WHOLE, from, "-?(0|[1-9]…)");
            return Ok(Value::Null);
        }
        let Some(magnitude) = magnitude else {
            self.report(code::JSON_NUMBER_TOO_LARGE, from, &LARGEST.to_string());
            return Ok(Value::Null);
        };
        // Up to 2^53 − 1, so the sign never overflows.
        Ok(if negative { Value::from(-(magnitude as i64)) } else { Value::from(magnitude) })
    }

    fn digits(&mut self) -> usize {
        let from = self.at;
        while matches!(self.peek(), Some(b'0'..=b'9')) {
            self.at += 1;
        }
        self.at - from
    }

    fn object(&mut self, depth: usize) -> Result<Value, Stop> {
        self.deeper(depth)?;
        self.at += 1;
        let mut map = Map::new();
        self.spaces();
        if self.take(b'}') {
            return Ok(Value::Object(map));
        }
        let above = self.path.len();
        loop {
            self.spaces();
            let from = self.at;
            if self.peek() != Some(b'"') {
                return self.stop("\"");
            }
            let key = self.string()?;
            self.path.push_str(&short_pointer(&key));
            if map.contains_key(&key) {
                self.report_found(code::JSON_DUPLICATE_KEY, from, &key, "1");
            }
            self.spaces();
            if !self.take(b':') {
                return self.stop(":");
            }
            let value = self.value(depth + 1)?;
            self.path.truncate(above);
            map.entry(key).or_insert(value);
            self.spaces();
            match self.peek() {
                Some(b',') => self.at += 1,
                Some(b'}') => break self.at += 1,
                _ => return self.stop(", }"),
            }
        }
        Ok(Value::Object(map))
    }

    fn array(&mut self, depth: usize) -> Result<Value, Stop> {
        self.deeper(depth)?;
        self.at += 1;
        let mut list = Vec::new();
        self.spaces();
        if self.take(b']') {
            return Ok(Value::Array(list));
        }
        let above = self.path.len();
        loop {
            self.path.push_str(&format!("/{}", list.len()));
            let value = self.value(depth + 1)?;
            self.path.truncate(above);
            list.push(value);
            self.spaces();
            match self.peek() {
                Some(b',') => self.at += 1,
                Some(b']') => break self.at += 1,
                _ => return self.stop(", ]"),
            }
        }
        Ok(Value::Array(list))
    }

    fn deeper(&mut self, depth: usize) -> Result<(), Stop> {
        if depth < DEEPEST {
            return Ok(());
        }
        self.report(code::JSON_TOO_DEEP, self.at, &DEEPEST.to_string());
        Err(Stop)
    }

    /// Reads a string; the next byte is its quote.
    pub fn string(&mut self) -> Result<String, Stop> {
        self.at += 1;
        let mut text = String::new();
        let mut from = self.at;
        loop {
            match self.peek() {
                Some(b'"') => {
                    self.piece(from, &mut text);
                    self.at += 1;
                    return Ok(text);
                }
                Some(b'\\') => {
                    self.piece(from, &mut text);
                    self.escape(&mut text)?;
                    from = self.at;
                }
                // A bare line end is where a torn line goes on with the next: a string never runs over it.
                Some(b'\n') | None => return self.stop("\""),
                Some(0..=31) => {
                    self.report_found(code::JSON_CONTROL_CHARACTER, self.at, &format!("{}", self.bytes[self.at]), "");
                    self.at += 1;
                }
                Some(_) => self.at += 1,
            }
        }
    }

    /// Takes the bytes since `from` as text, and reports those that are none.
    fn piece(&mut self, from: usize, text: &mut String) {
        match std::str::from_utf8(&self.bytes[from..self.at]) {
            Ok(piece) => text.push_str(piece),
            Err(error) => {
                let at = from + error.valid_up_to();
                self.report_found(code::JSON_NOT_TEXT, at, &format!("0x{:02x}", self.bytes[at]), "UTF-8");
                text.push('\u{fffd}');
            }
        }
    }

    fn escape(&mut self, text: &mut String) -> Result<(), Stop> {
        let from = self.at;
        self.at += 1;
        let letter = match self.peek() {
            Some(b'"') => '"',
            Some(b'\\') => '\\',
            Some(b'/') => '/',
            Some(b'b') => '\u{8}',
            Some(b'f') => '\u{c}',
            Some(b'n') => '\n',
            Some(b'r') => '\r',
            Some(b't') => '\t',
            Some(b'u') => {
                self.at += 1;
                let unit = self.four_digits()?;
                text.push(self.letter_of(unit, from)?);
                return Ok(());
            }
            _ => return self.stop("\" \\ / b f n r t u"),
        };
        self.at += 1;
        text.push(letter);
        Ok(())
    }

    fn letter_of(&mut self, unit: u32, from: usize) -> Result<char, Stop> {
        if (0xd800..0xdc00).contains(&unit) && self.bytes[self.at..].starts_with(b"\\u") {
            let back = self.at;
            self.at += 2;
            let low = self.four_digits()?;
            if (0xdc00..0xe000).contains(&low) {
                let letter = char::from_u32(0x1_0000 + ((unit - 0xd800) << 10) + (low - 0xdc00));
                return Ok(letter.unwrap_or('\u{fffd}'));
            }
            self.at = back;
        }
        Ok(char::from_u32(unit).unwrap_or_else(|| {
            self.report(code::JSON_LONE_SURROGATE, from, "");
            '\u{fffd}'
        }))
    }

    fn four_digits(&mut self) -> Result<u32, Stop> {
        let mut unit = 0;
        for _ in 0..4 {
            let Some(digit) = self.peek().and_then(|byte| char::from(byte).to_digit(16)) else {
                return self.stop("0…9 a…f");
            };
            unit = unit << 4 | digit;
            self.at += 1;
        }
        Ok(unit)
    }
}

/// A pointer segment of a key that may be of any length.
fn short_pointer(key: &str) -> String {
    match key.char_indices().nth(60) {
        Some((end, _)) => pointer(&format!("{}…", &key[..end])),
        None => pointer(key),
    }
}
