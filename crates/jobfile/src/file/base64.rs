//! Base64 (RFC 4648, section 4) with padding, in its one canonical spelling.

const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

/// Spells bytes.
pub(super) fn encode(bytes: &[u8]) -> String {
    let mut out = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for chunk in bytes.chunks(3) {
        let group = chunk.iter().fold(0u32, |group, byte| group << 8 | u32::from(*byte)) << (8 * (3 - chunk.len()));
        for index in 0..4 {
            let letter = LETTERS[(group >> (18 - 6 * index) & 63) as usize];
            out.push(if index <= chunk.len() { char::from(letter) } else { '=' });
        }
    }
    out
}

/// Reads bytes; `None` for any spelling that [`encode`] would not have made.
pub(super) fn decode(text: &str) -> Option<Vec<u8>> {
    let letters = text.as_bytes();
    if !letters.len().is_multiple_of(4) {
        return None;
    }
    let padding = letters.iter().rev().take_while(|letter| **letter == b'=').count();
    if padding > 2 {
        return None;
    }
    let mut out = Vec::with_capacity(letters.len() / 4 * 3);
    let whole = letters.len() - padding;
    for chunk in letters[..whole].chunks(4) {
        let mut group = 0u32;
        for letter in chunk {
            group = group << 6 | u32::from(value(*letter)?);
        }
        group <<= 6 * (4 - chunk.len());
        let count = chunk.len() - 1;
        let bytes = group.to_be_bytes();
        // What is left over in the last group must be zero, else one photo would have many spellings.
        if chunk.len() == 1 || bytes[1 + count..].iter().any(|byte| *byte != 0) {
            return None;
        }
        out.extend_from_slice(&bytes[1..1 + count]);
    }
    Some(out)
}

fn value(letter: u8) -> Option<u8> {
    match letter {
        b'A'..=b'Z' => Some(letter - b'A'),
        b'a'..=b'z' => Some(letter - b'a' + 26),
        b'0'..=b'9' => Some(letter - b'0' + 52),
        b'+' => Some(62),
        b'/' => Some(63),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Source: RFC 4648, section 10.
    #[test]
    fn the_published_vectors() {
        let vectors = [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ];
        for (plain, spelled) in vectors {
            assert_eq!(encode(plain.as_bytes()), spelled);
            assert_eq!(decode(spelled).as_deref(), Some(plain.as_bytes()));
        }
    }

    #[test]
    fn other_spellings_are_refused() {
        for odd in ["Zg", "Zg=", "Zh==", "Zm9=", "Zg==Zg==", "====", "Z===", "Zm9v\n", "Zm-_", "Zg=a"] {
            assert_eq!(decode(odd), None, "{odd}");
        }
    }

    proptest! {
        #[test]
        fn bytes_round_trip(bytes: Vec<u8>) {
            prop_assert_eq!(decode(&encode(&bytes)), Some(bytes));
        }

        #[test]
        fn whatever_is_read_has_one_spelling(text in "[A-Za-z0-9+/=]{0,24}") {
            if let Some(bytes) = decode(&text) {
                prop_assert_eq!(encode(&bytes), text);
            }
        }
    }
}
