//! Names of jobs and devices: 128 random bits, handed in by the caller, written as base32 (RFC 4648, section 6) in lower case.

use std::fmt;
use std::str::FromStr;

const LETTERS: &[u8; 32] = b"abcdefghijklmnopqrstuvwxyz234567";
/// 128 bits in groups of five: 26 letters, the last of which carries three bits.
const LENGTH: usize = 26;

/// A text that is not 26 letters of base32 for 128 bits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("not 26 lower-case letters of base32 that spell 128 bits")]
pub struct NotAnId;

macro_rules! id {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(u128);

        impl $name {
            /// Takes 128 bits that the caller has drawn at random.
            pub const fn from_bits(bits: [u8; 16]) -> Self {
                Self(u128::from_be_bytes(bits))
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&spell(self.0))
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                fmt::Display::fmt(self, f)
            }
        }

        impl FromStr for $name {
            type Err = NotAnId;

            fn from_str(text: &str) -> Result<Self, NotAnId> {
                read(text).map(Self)
            }
        }

        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.collect_str(self)
            }
        }

        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let text = String::deserialize(deserializer)?;
                text.parse().map_err(serde::de::Error::custom)
            }
        }
    };
}

id! {
    /// The name of a job.
    JobId
}
id! {
    /// The name of one store of one device: minted with the store, never restored from a file.
    DeviceId
}

fn spell(bits: u128) -> String {
    (0..LENGTH)
        .map(|index| {
            let shift = 123 - 5 * index as i32;
            let five = if shift >= 0 { bits >> shift } else { bits << -shift } & 31;
            char::from(LETTERS[five as usize])
        })
        .collect()
}

fn read(text: &str) -> Result<u128, NotAnId> {
    if text.len() != LENGTH {
        return Err(NotAnId);
    }
    let mut bits = 0u128;
    for (index, letter) in text.bytes().enumerate() {
        let five = LETTERS.iter().position(|known| *known == letter).ok_or(NotAnId)? as u128;
        let shift = 123 - 5 * index as i32;
        // The two bits after the 128th must be zero, else one name would have four spellings.
        if shift < 0 && five & ((1 << -shift) - 1) != 0 {
            return Err(NotAnId);
        }
        bits |= if shift >= 0 { five << shift } else { five >> -shift };
    }
    Ok(bits)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Source: RFC 4648, section 10, the vector "foobar" = MZXW6YTBOI, here padded with zero bytes to 128 bits.
    #[test]
    fn spelled_as_the_published_vector() {
        let id = JobId::from_bits(*b"foobar\0\0\0\0\0\0\0\0\0\0");
        assert_eq!(id.to_string(), "mzxw6ytboiaaaaaaaaaaaaaaaa");
    }

    #[test]
    fn one_name_has_one_spelling() {
        assert!("aaaaaaaaaaaaaaaaaaaaaaaaab".parse::<JobId>().is_err());
        assert!("AAAAAAAAAAAAAAAAAAAAAAAAAA".parse::<JobId>().is_err());
        assert!("aaaaaaaaaaaaaaaaaaaaaaaaa1".parse::<JobId>().is_err());
        assert!("aaaaaaaaaaaaaaaaaaaaaaaaa".parse::<JobId>().is_err());
    }

    proptest! {
        #[test]
        fn names_round_trip_and_keep_their_order(a: [u8; 16], b: [u8; 16]) {
            let (a, b) = (DeviceId::from_bits(a), DeviceId::from_bits(b));
            prop_assert_eq!(a.to_string().parse(), Ok(a));
            if a == b {
                prop_assert_eq!(a.to_string(), b.to_string());
            }
        }
    }
}
