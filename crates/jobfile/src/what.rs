//! What an entry says: a kind, a place and fields; and what a hand hands in to be written down.

use crate::hash::Hash;
use crate::moment::read_time;
use chrono::{DateTime, FixedOffset};
use metering::decimal::Decimal;
use metering::ratio::{Rated, Ratio};
use serde_json::{Map, Value};

/// The fields of one entry, as stored, with access by what the table of kinds says they hold.
///
/// Every accessor gives `None` both when the field is absent and when it holds another sort of value: the latter is
/// reported when a file is read and cannot be composed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Fields(Map<String, Value>);

impl Fields {
    /// Takes a tree of fields as it is.
    pub fn from_map(map: Map<String, Value>) -> Self {
        Self(map)
    }

    /// The tree itself.
    pub fn as_map(&self) -> &Map<String, Value> {
        &self.0
    }

    /// The value of a field, whatever it holds.
    pub fn get(&self, id: &str) -> Option<&Value> {
        self.0.get(id)
    }

    /// Whether the field was written down.
    pub fn has(&self, id: &str) -> bool {
        self.0.contains_key(id)
    }

    /// Text of a text field.
    pub fn text(&self, id: &str) -> Option<&str> {
        self.0.get(id)?.as_str()
    }

    /// Code of a choice field.
    pub fn choice(&self, id: &str) -> Option<&str> {
        self.text(id)
    }

    /// Whether a choice field holds this code.
    pub fn is(&self, id: &str, code: &str) -> bool {
        self.text(id) == Some(code)
    }

    /// Whole number of a count field.
    pub fn count(&self, id: &str) -> Option<u32> {
        self.0.get(id)?.as_u64()?.try_into().ok()
    }

    /// The canonical text of a decimal field, without its unit.
    pub fn value_text(&self, id: &str) -> Option<&str> {
        self.0.get(id)?.get("value")?.as_str()
    }

    /// The exact number of a decimal field, without its unit.
    pub fn decimal(&self, id: &str) -> Option<Decimal> {
        Decimal::parse(self.value_text(id)?).ok()
    }

    /// The unit of a decimal field.
    pub fn unit(&self, id: &str) -> Option<&str> {
        self.0.get(id)?.get("unit")?.as_str()
    }

    /// The text of a decimal or ratio field as a hand typed it.
    pub fn typed(&self, id: &str) -> Option<&str> {
        self.0.get(id)?.get("typed")?.as_str()
    }

    /// The two sides of a ratio field, each `[numerator, denominator, power of √3]`.
    pub fn ratio_sides(&self, id: &str) -> Option<([i64; 3], [i64; 3])> {
        let ratio = self.0.get(id)?;
        Some((side(ratio.get("primary")?)?, side(ratio.get("secondary")?)?))
    }

    /// The stamped ratio of a ratio field.
    pub fn ratio(&self, id: &str) -> Option<Ratio> {
        let (primary, secondary) = self.ratio_sides(id)?;
        Ratio::new(Rated::from_parts(primary).ok()?, Rated::from_parts(secondary).ok()?).ok()
    }

    /// Moment of a time field.
    pub fn time(&self, id: &str) -> Option<DateTime<FixedOffset>> {
        read_time(self.text(id)?)
    }

    /// Hash of a hash field.
    pub fn hash(&self, id: &str) -> Option<Hash> {
        self.text(id)?.parse().ok()
    }
}

fn side(value: &Value) -> Option<[i64; 3]> {
    match value.as_array()?.as_slice() {
        [a, b, c] => Some([a.as_i64()?, b.as_i64()?, c.as_i64()?]),
        _ => None,
    }
}

/// Puts a field into a tree.
pub(crate) fn put(tree: &mut Map<String, Value>, key: &str, value: impl Into<Value>) {
    put_value(tree, key, value.into());
}

fn put_value(tree: &mut Map<String, Value>, key: &str, value: Value) {
    tree.insert(key.to_owned(), value);
}

/// What is to be written down: kind, place and fields.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct What {
    /// Kind, as in [`crate::kinds`].
    pub kind: String,
    /// Place, spelled as the kind's places are.
    pub place: String,
    /// Fields.
    pub fields: Fields,
}

impl What {
    /// Something of this kind at this place, without fields yet.
    pub fn new(kind: &str, place: &str) -> Self {
        Self { kind: kind.to_owned(), place: place.to_owned(), fields: Fields::default() }
    }

    /// The same with one field more.
    pub fn with(mut self, field: &str, value: impl Into<Value>) -> Self {
        put(&mut self.fields.0, field, value);
        self
    }

    /// The same with one field more where there is a value: what is absent is left out.
    pub fn with_some(self, field: &str, value: Option<impl Into<Value>>) -> Self {
        match value {
            Some(value) => self.with(field, value),
            None => self,
        }
    }

    /// The tree that an entry holds.
    pub fn to_tree(&self) -> Value {
        let mut tree = Map::new();
        put(&mut tree, "kind", self.kind.as_str());
        put(&mut tree, "place", self.place.as_str());
        put(&mut tree, "fields", self.fields.0.clone());
        Value::Object(tree)
    }
}

/// One entry that a hand wants written down.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Draft {
    /// What it says.
    pub what: What,
    /// The entry it corrects.
    pub replaces: Option<Hash>,
    /// Why it corrects it.
    pub reason: Option<String>,
}

impl Draft {
    /// A first value, or one more thing that happened.
    pub fn new(what: What) -> Self {
        Self { what, replaces: None, reason: None }
    }

    /// A correction: what it takes the place of, and why.
    pub fn correcting(what: What, replaces: Hash, reason: &str) -> Self {
        Self { what, replaces: Some(replaces), reason: Some(reason.to_owned()) }
    }
}
