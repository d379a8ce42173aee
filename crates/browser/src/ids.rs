//! Identifiers that two devices never mint alike: 128 random bits in base32.

use crate::{Trouble, js};

/// RFC 4648 section 6, in small letters, which a person reads out more easily.
const ALPHABET: &[u8; 32] = b"abcdefghijklmnopqrstuvwxyz234567";

/// A new identifier from the browser's secure random numbers: 26 small letters and digits.
pub(crate) fn mint() -> Result<String, Trouble> {
    let crypto = js::window()?.crypto().map_err(|_| Trouble::NoRandom)?;
    let mut bits = [0_u8; 16];
    crypto.get_random_values_with_u8_array(&mut bits).map_err(|_| Trouble::NoRandom)?;
    Ok(base32(&bits))
}

/// Five bits a letter, most significant first, without padding.
fn base32(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(bytes.len().div_ceil(5) * 8);
    let (mut held, mut held_bits) = (0_u32, 0_u32);
    for byte in bytes {
        held = (held << 8) | u32::from(*byte);
        held_bits += 8;
        while held_bits >= 5 {
            held_bits -= 5;
            text.push(letter(held >> held_bits));
        }
        held &= (1 << held_bits) - 1;
    }
    if held_bits > 0 {
        text.push(letter(held << (5 - held_bits)));
    }
    text
}

fn letter(bits: u32) -> char {
    char::from(ALPHABET[(bits & 31) as usize])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: RFC 4648 section 10, base32 test vectors, here in small letters and without padding.
    #[test]
    fn base32_agrees_with_rfc_4648() {
        for (bytes, text) in [
            ("", ""),
            ("f", "my"),
            ("fo", "mzxq"),
            ("foo", "mzxw6"),
            ("foob", "mzxw6yq"),
            ("fooba", "mzxw6ytb"),
            ("foobar", "mzxw6ytboi"),
        ] {
            assert_eq!(base32(bytes.as_bytes()), text);
        }
    }

    #[test]
    fn a_hundred_and_twenty_eight_bits_are_twenty_six_letters() {
        assert_eq!(base32(&[0xff; 16]), "77777777777777777777777774");
    }
}
