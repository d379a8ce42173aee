//! What is wrong with a file, an entry or a draft: facts with a stable code; the sentence is found by the code elsewhere.

use std::fmt;

/// How much a problem takes away.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Grade {
    /// Everything written down is whole; the reader should know all the same.
    Note,
    /// Something is missing, altered or not usable; the rest stands.
    Damage,
    /// Nothing can be taken from it.
    Refusal,
}

macro_rules! codes {
    ($($(#[$doc:meta])* $name:ident = $text:literal, $grade:ident;)*) => {
        /// The stable codes. A released code is never renamed or reused.
        pub mod code {
            $($(#[$doc])* pub const $name: &str = $text;)*
        }
        const TABLE: &[(&str, Grade)] = &[$(($text, Grade::$grade)),*];
        impl Problem {
            /// Every code there is, in the order of reading a file.
            pub const CODES: &'static [&'static str] = &[$($text),*];
        }
    };
}

codes! {
    /// More bytes than are ever read.
    FILE_TOO_LARGE = "file.too_large", Refusal;
    /// No bytes, or nothing but spaces.
    FILE_EMPTY = "file.empty", Refusal;
    /// The text does not begin as a JSON object.
    FILE_NOT_JSON = "file.not_json", Refusal;
    /// JSON, but of another program.
    FILE_OTHER_FORMAT = "file.other_format", Refusal;
    /// Written for a reader that does not exist yet.
    FILE_FROM_THE_FUTURE = "file.from_the_future", Refusal;
    /// Written by a newer version that this one can still read.
    FILE_NEWER = "file.newer", Note;
    /// A field of the envelope is absent.
    FILE_FIELD_MISSING = "file.field_missing", Damage;
    /// A field of the envelope does not hold what it should.
    FILE_FIELD_WRONG = "file.field_wrong", Damage;
    /// A field of the envelope that this version does not know; it is kept.
    FILE_FIELD_UNKNOWN = "file.field_unknown", Note;
    /// The file ends before its end.
    FILE_CUT_SHORT = "file.cut_short", Damage;
    /// There is text after the end of the document.
    FILE_AFTER_END = "file.after_end", Damage;
    /// A byte order mark stands before the document.
    FILE_BYTE_ORDER_MARK = "file.byte_order_mark", Note;
    /// Spaces, line ends or the order of fields differ from what was written; the entries are whole.
    FILE_LAYOUT = "file.layout", Note;
    /// The entries do not stand in the order of the journal.
    FILE_ORDER = "file.order", Note;
    /// More JSON values than are ever kept in memory.
    FILE_TOO_MANY_VALUES = "file.too_many_values", Damage;
    /// More problems than are listed.
    FILE_MORE_PROBLEMS = "file.more_problems", Damage;
    /// Bytes that are not UTF-8.
    JSON_NOT_TEXT = "json.not_text", Damage;
    /// A character that JSON does not allow there.
    JSON_SYNTAX = "json.syntax", Damage;
    /// One object names the same field twice.
    JSON_DUPLICATE_KEY = "json.duplicate_key", Damage;
    /// A number with a fraction, an exponent or a minus zero: only whole numbers are stored as JSON numbers.
    JSON_NOT_WHOLE = "json.not_whole", Damage;
    /// A whole number beyond what every reader takes exactly.
    JSON_NUMBER_TOO_LARGE = "json.number_too_large", Damage;
    /// NaN or an infinity.
    JSON_NOT_A_NUMBER = "json.not_a_number", Damage;
    /// Half of a surrogate pair.
    JSON_LONE_SURROGATE = "json.lone_surrogate", Damage;
    /// A bare control character inside a text.
    JSON_CONTROL_CHARACTER = "json.control_character", Damage;
    /// Values inside values beyond the depth that is read.
    JSON_TOO_DEEP = "json.too_deep", Damage;
    /// An entry is not an object.
    ENTRY_NOT_OBJECT = "entry.not_object", Damage;
    /// An entry longer than any real one.
    ENTRY_TOO_LONG = "entry.too_long", Damage;
    /// A field of an entry is absent.
    ENTRY_FIELD_MISSING = "entry.field_missing", Damage;
    /// A field of an entry does not hold what it should.
    ENTRY_FIELD_WRONG = "entry.field_wrong", Damage;
    /// A field of an entry that this version does not know; it is kept.
    ENTRY_FIELD_UNKNOWN = "entry.field_unknown", Note;
    /// An entry of a version that does not exist yet: kept, shown as unknown, its hash checked.
    ENTRY_FROM_THE_FUTURE = "entry.from_the_future", Note;
    /// An entry could not be brought up to today's version.
    ENTRY_UPGRADE_FAILED = "entry.upgrade_failed", Damage;
    /// An entry belongs to another job.
    ENTRY_OTHER_JOB = "entry.other_job", Damage;
    /// The same entry stands in the file twice.
    ENTRY_DOUBLED = "entry.doubled", Damage;
    /// The entry before this one is not there.
    CHAIN_PREV_MISSING = "chain.prev_missing", Damage;
    /// The entry named as the one before does not come directly before.
    CHAIN_PREV_WRONG = "chain.prev_wrong", Damage;
    /// An entry that this one had seen is not there.
    CHAIN_SEEN_MISSING = "chain.seen_missing", Damage;
    /// One device wrote two different entries under one number; both are kept.
    CHAIN_FORK = "chain.fork", Note;
    /// A kind of entry that this version does not know; it is kept.
    KIND_UNKNOWN = "kind.unknown", Note;
    /// A place that the kind does not have, as far as this version knows; it is kept.
    KIND_PLACE = "kind.place", Note;
    /// A field that must be there is not.
    FIELD_MISSING = "field.missing", Damage;
    /// A field that the kind does not have; it is kept.
    FIELD_UNKNOWN = "field.unknown", Note;
    /// A field holds another sort of value.
    FIELD_WRONG = "field.wrong", Damage;
    /// A text is empty; what is absent is left out.
    FIELD_EMPTY = "field.empty", Damage;
    /// A text is too long.
    FIELD_TOO_LONG = "field.too_long", Damage;
    /// A text holds control characters.
    FIELD_CONTROL_CHARACTER = "field.control_character", Damage;
    /// A text holds marks that turn the direction of writing, so that it may read otherwise than it is stored.
    FIELD_DIRECTION_MARK = "field.direction_mark", Damage;
    /// A choice that the field does not offer, as far as this version knows; it is kept.
    FIELD_CHOICE = "field.choice", Note;
    /// A number outside its range.
    FIELD_RANGE = "field.range", Damage;
    /// A number not spelled in the one way it is stored.
    FIELD_NOT_CANONICAL = "field.not_canonical", Damage;
    /// A number in another unit.
    FIELD_UNIT = "field.unit", Damage;
    /// The slot already has a value, and the entry does not say that it replaces it.
    SLOT_TAKEN = "slot.taken", Damage;
    /// The entry to be replaced is not there.
    REPLACES_MISSING = "replaces.missing", Damage;
    /// The entry to be replaced says something about another thing.
    REPLACES_OTHER_SLOT = "replaces.other_slot", Damage;
    /// The entry to be replaced does not count any more.
    REPLACES_NOT_LIVE = "replaces.not_live", Damage;
    /// A correction without its reason.
    REASON_MISSING = "reason.missing", Damage;
    /// A choice names an entry that is not one of those to choose from.
    CHOICE_NOT_IN_SLOT = "choice.not_in_slot", Damage;
    /// A withdrawal names an entry that is not there, or one that cannot be withdrawn.
    WITHDRAWAL_NOT_FOUND = "withdrawal.not_found", Damage;
    /// A photo whose bytes are not those that were hashed.
    BLOB_HASH_WRONG = "blob.hash_wrong", Damage;
    /// A photo that is not spelled as base64.
    BLOB_NOT_BASE64 = "blob.not_base64", Damage;
    /// The same photo stands in the file twice.
    BLOB_DOUBLED = "blob.doubled", Note;
    /// Signatures are there, and this version cannot check them.
    SIGNATURE_NOT_CHECKED = "signature.not_checked", Note;
    /// Two copies that are not of one job cannot become one.
    MERGE_OTHER_JOB = "merge.other_job", Refusal;
}

/// One thing that is wrong: where, what was found, what was wanted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// One of [`Problem::CODES`].
    pub code: &'static str,
    /// Where, as a JSON pointer (RFC 6901) from the top of the file, of the entry or of the list of drafts.
    pub path: String,
    /// Line and column in the file, both from 1, columns in bytes; absent when nothing was read from a file.
    pub line: Option<(u32, u32)>,
    /// What was found, cut to a few dozen characters and free of invisible ones.
    pub found: String,
    /// What was wanted: numbers, codes or names of fields, no sentence. Empty where the code says it all.
    pub wanted: String,
}

impl Problem {
    /// A problem without a place in a file.
    pub fn new(code: &'static str, path: impl Into<String>, found: &str, wanted: impl Into<String>) -> Self {
        Self { code, path: path.into(), line: None, found: shown(found), wanted: wanted.into() }
    }

    /// The same problem with its line and column.
    pub fn at(mut self, line: (u32, u32)) -> Self {
        self.line = self.line.or(Some(line));
        self
    }

    /// The same problem with `above` put before its path.
    pub fn under(mut self, above: &str) -> Self {
        self.path.insert_str(0, above);
        self
    }

    /// How much it takes away.
    pub fn grade(&self) -> Grade {
        TABLE.iter().find(|(code, _)| *code == self.code).map_or(Grade::Damage, |(_, grade)| *grade)
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.code, if self.path.is_empty() { "/" } else { &self.path })?;
        if let Some((line, column)) = self.line {
            write!(f, " (line {line}, column {column})")?;
        }
        write!(f, ": found {:?}, wanted {:?}", self.found, self.wanted)
    }
}

/// Longest text shown of what was found, in characters.
const SHOWN: usize = 60;

/// A short form of `text` that holds no invisible or direction-turning character, fit for a screen or a terminal.
pub fn shown(text: &str) -> String {
    let mut out = String::new();
    for (count, letter) in text.chars().enumerate() {
        if count == SHOWN {
            out.push('…');
            break;
        }
        if is_hidden(letter) {
            out.push_str(&format!("\\u{{{:x}}}", u32::from(letter)));
        } else {
            out.push(letter);
        }
    }
    out
}

/// Whether a character is a control, or turns or joins text without being seen.
pub fn is_hidden(letter: char) -> bool {
    letter.is_control()
        || is_direction_mark(letter)
        || matches!(letter, '\u{200b}'..='\u{200f}' | '\u{2028}' | '\u{2029}' | '\u{2060}'..='\u{2064}' | '\u{61c}' | '\u{feff}')
}

/// Whether a character embeds, overrides or isolates a direction of writing (Unicode UAX #9, explicit formatting characters).
pub fn is_direction_mark(letter: char) -> bool {
    matches!(letter, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// One segment of a JSON pointer (RFC 6901, section 3).
pub(crate) fn pointer(segment: &str) -> String {
    format!("/{}", segment.replace('~', "~0").replace('/', "~1"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_unique_and_each_has_a_grade() {
        for (index, code) in Problem::CODES.iter().enumerate() {
            assert!(!Problem::CODES[..index].contains(code), "{code}");
            assert!(TABLE.iter().any(|(known, _)| known == code), "{code}");
        }
    }

    #[test]
    fn what_is_shown_is_short_and_visible() {
        assert_eq!(shown("a\u{202e}b\u{1b}[2J"), "a\\u{202e}b\\u{1b}[2J");
        assert_eq!(shown(&"x".repeat(1000)).chars().count(), SHOWN + 1);
    }

    #[test]
    fn a_pointer_escapes_its_own_signs() {
        assert_eq!(pointer("a/b~c"), "/a~1b~0c");
    }
}
