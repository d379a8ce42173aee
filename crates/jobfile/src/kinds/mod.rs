//! The kinds of thing that an entry can write down, as one table: it serves checking, forms, messages, the fold and the documents.
//!
//! An entry's `what` is `{"kind": …, "place": …, "fields": {…}}`. `place` says which one of several (an element, a meter,
//! a step); kind and place together are a *slot*. Released kinds, places, fields and choices are never renamed or reused.

mod energy;
mod office;
mod plates;
mod switch;
mod visit;

pub use energy::{ENERGY_UNITS, REGISTERS};
use metering::range::Range;
pub use switch::ACTS;
pub use visit::SEAL_POSITIONS;
pub use visit::STEPS;

/// One kind of thing that can be written down.
#[derive(Debug)]
pub struct Kind {
    /// Stable name, as stored.
    pub id: &'static str,
    /// How its places are spelled: segments joined by `/`; empty when there is only one.
    pub place: &'static [Segment],
    /// Whether a later entry of the same slot stands beside the earlier ones, or needs `replaces` to take their place.
    pub keeps: Keeps,
    /// The fields it may hold.
    pub fields: &'static [Field],
}

/// What becomes of earlier entries of the same slot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Keeps {
    /// One value per slot. A second one must say `replaces` and why; two live ones are a conflict, both shown.
    One,
    /// Every entry counts, in order: things that happened.
    All,
}

/// One segment of a place.
#[derive(Clone, Copy, Debug)]
pub enum Segment {
    /// One of these words.
    OneOf(&'static [&'static str]),
    /// Any word of `a-z`, `0-9`, `_`, `.` and `-`, 1 to 32 of them.
    Word,
}

/// One field of a kind.
#[derive(Debug)]
pub struct Field {
    /// Stable name, as stored.
    pub id: &'static str,
    /// What it holds.
    pub holds: Holds,
    /// Whether an entry without it is refused.
    pub need: Need,
}

/// Whether a field may be absent.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// An entry without it is refused.
    Must,
    /// Absent means: not written down. Never zero, never empty text.
    May,
}

/// What a field holds.
#[derive(Clone, Copy, Debug)]
pub enum Holds {
    /// Text of at most this many characters; stored as a JSON string without control characters (line breaks allowed).
    Text(usize),
    /// One of these codes; stored as a JSON string.
    Choice(&'static [&'static str]),
    /// A whole number from `.0` to `.1`; stored as a JSON integer.
    Count(u32, u32),
    /// A decimal number; stored as `{"value": "118.2", "unit": "V", "typed": "118,2"}`. `value` is canonical
    /// (optional minus, no leading zeros, point), `unit` is the range's, `typed` is the text as a hand typed it.
    Decimal(Range),
    /// A stamped ratio; stored as `{"typed": "20000/√3:110/√3", "primary": [20000, 1, -1], "secondary": [110, 1, -1]}`,
    /// each side `[numerator, denominator, power of √3]` in whole numbers.
    Ratio,
    /// A moment, as RFC 3339 text with offset.
    Time,
    /// The hash of an entry or of a photo: 64 lower-case hexadecimal digits.
    Hash,
    /// The phone's own clock and the like, filled in by the program: text that no form asks for.
    Auto(usize),
}

const fn must(id: &'static str, holds: Holds) -> Field {
    Field { id, holds, need: Need::Must }
}

const fn may(id: &'static str, holds: Holds) -> Field {
    Field { id, holds, need: Need::May }
}

/// The three elements of a 4-wire wye meter.
pub const ELEMENTS: &[&str] = &["A", "B", "C"];
/// What stands on the equipment, and what the office's record says.
pub const FOUND_OR_RECORD: &[&str] = &["found", "record"];
/// The two meters of a change.
pub const METERS: &[&str] = &["outgoing", "incoming"];
/// Yes, no, or not known: an unknown is written down as such.
pub const YES_NO: &[&str] = &["yes", "no", "unknown"];

/// The kind by which a person settles a conflict between two values.
pub const CHOICE: &str = "choice";
/// The kind by which a person takes back an entry that should not be there, without another in its place.
pub const WITHDRAWAL: &str = "withdrawal";

/// Every kind, in the order of a visit.
pub fn all() -> impl Iterator<Item = &'static Kind> {
    [office::KINDS, visit::KINDS, plates::KINDS, switch::KINDS, energy::KINDS].into_iter().flatten()
}

/// The kind of this name.
pub fn find(id: &str) -> Option<&'static Kind> {
    all().find(|kind| kind.id == id)
}

impl Kind {
    /// The field of this name.
    pub fn field(&self, id: &str) -> Option<&'static Field> {
        self.fields.iter().find(|field| field.id == id)
    }

    /// Whether `place` is spelled as this kind's places are.
    pub fn has_place(&self, place: &str) -> bool {
        if self.place.is_empty() {
            return place.is_empty();
        }
        let mut found = place.split('/');
        self.place.iter().all(|segment| found.next().is_some_and(|word| segment.takes(word))) && found.next().is_none()
    }
}

impl Segment {
    fn takes(self, word: &str) -> bool {
        match self {
            Segment::OneOf(words) => words.contains(&word),
            Segment::Word => {
                (1..=32).contains(&word.len())
                    && word
                        .bytes()
                        .all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit() || b"_.-".contains(&byte))
            }
        }
    }
}
