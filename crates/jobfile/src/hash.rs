//! Hashes: SHA-256, of a tree over its canonical form.

use crate::canonical::canonical_bytes;
use serde_json::Value;
use sha2::{Digest, Sha256};
use std::fmt;
use std::str::FromStr;

/// A SHA-256 hash; written as 64 lower-case hexadecimal digits, and ordered as they are.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Hash([u8; 32]);

/// A text that is not 64 lower-case hexadecimal digits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("not a hash of 64 lower-case hexadecimal digits")]
pub struct NotAHash;

impl Hash {
    /// The hash of these bytes.
    pub fn of_bytes(bytes: &[u8]) -> Self {
        Self(Sha256::digest(bytes).into())
    }

    /// The hash of the canonical form of a tree.
    pub fn of_tree(tree: &Value) -> Self {
        Self::of_bytes(&canonical_bytes(tree))
    }

    /// The 32 bytes.
    pub fn bytes(&self) -> &[u8; 32] {
        &self.0
    }
}

impl fmt::Display for Hash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for Hash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl FromStr for Hash {
    type Err = NotAHash;

    fn from_str(text: &str) -> Result<Self, NotAHash> {
        let digits: &[u8; 64] = text.as_bytes().try_into().map_err(|_| NotAHash)?;
        let mut bytes = [0; 32];
        for (byte, pair) in bytes.iter_mut().zip(digits.chunks_exact(2)) {
            let (high, low) = (digit(pair[0]).ok_or(NotAHash)?, digit(pair[1]).ok_or(NotAHash)?);
            *byte = high << 4 | low;
        }
        Ok(Self(bytes))
    }
}

fn digit(letter: u8) -> Option<u8> {
    match letter {
        b'0'..=b'9' => Some(letter - b'0'),
        b'a'..=b'f' => Some(letter - b'a' + 10),
        _ => None,
    }
}

impl serde::Serialize for Hash {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> serde::Deserialize<'de> for Hash {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        text.parse().map_err(serde::de::Error::custom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: FIPS 180-2, appendix B.1, one-block message "abc".
    #[test]
    fn sha_256_of_abc_as_published() {
        let hash = Hash::of_bytes(b"abc");
        assert_eq!(hash.to_string(), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
        assert_eq!(hash.to_string().parse(), Ok(hash));
    }

    #[test]
    fn only_lower_case_of_the_right_length_is_a_hash() {
        let good = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        for bad in ["", "ba", &good.to_uppercase(), &good[1..], &format!("{good}0"), &good.replace('b', "ä")] {
            assert_eq!(bad.parse::<Hash>(), Err(NotAHash), "{bad}");
        }
    }
}
