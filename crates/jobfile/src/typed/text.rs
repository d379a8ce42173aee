//! Text as a hand types or pastes it: trimmed, of a bounded length, without signs that cannot be seen.

use super::signs;

/// Why a text is not taken as it stands.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum TextTrouble {
    /// Nothing but white space.
    #[error("nothing typed")]
    Empty,
    /// Longer than its field.
    #[error("{found} characters, {most} at most")]
    TooLong {
        /// Characters found, white space around it left out.
        found: usize,
        /// Characters that the field takes.
        most: usize,
    },
    /// Control characters or marks that turn the writing direction are in it.
    #[error("{found} characters that cannot be seen")]
    ControlCharacters {
        /// How many were found.
        found: usize,
        /// The text with each of them as a space or left out, for the person to accept.
        cleaned: String,
    },
}

impl TextTrouble {
    /// The stable code of this trouble.
    pub fn code(&self) -> &'static str {
        match self {
            Self::Empty => "typed.empty",
            Self::TooLong { .. } => "typed.too_long",
            Self::ControlCharacters { .. } => "typed.control_characters",
        }
    }
}

/// Reads a text of at most `most` characters. Line ends of any system become line feeds.
///
/// # Errors
/// [`TextTrouble`]; nothing is dropped without asking but white space around the text.
pub fn read_text(text: &str, most: usize) -> Result<String, TextTrouble> {
    let lines = text.replace("\r\n", "\n").replace('\r', "\n");
    let kept = lines.trim();
    let found = kept.chars().count();
    if found > most {
        return Err(TextTrouble::TooLong { found, most });
    }
    let unseen = kept.chars().filter(|sign| is_unseen(*sign)).count();
    if unseen > 0 {
        let cleaned: String = kept.chars().filter_map(cleaned).collect();
        let cleaned = cleaned.trim().to_owned();
        return Err(if cleaned.is_empty() {
            TextTrouble::Empty
        } else {
            TextTrouble::ControlCharacters { found: unseen, cleaned }
        });
    }
    if kept.chars().all(signs::is_mark) { Err(TextTrouble::Empty) } else { Ok(kept.to_owned()) }
}

/// Control characters but the line feed, and marks that turn the writing direction of what follows.
fn is_unseen(sign: char) -> bool {
    (sign.is_control() && sign != '\n')
        || matches!(sign, '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' | '\u{FEFF}')
}

fn cleaned(sign: char) -> Option<char> {
    match sign {
        '\t' => Some(' '),
        unseen if is_unseen(unseen) => None,
        seen => Some(seen),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn text_is_trimmed_and_keeps_its_lines() {
        assert_eq!(read_text("  one\r\ntwo \n", 20), Ok("one\ntwo".to_owned()));
    }

    #[test]
    fn length_is_counted_in_characters() {
        assert_eq!(read_text("äöü", 3), Ok("äöü".to_owned()));
        assert_eq!(read_text("äöüß", 3), Err(TextTrouble::TooLong { found: 4, most: 3 }));
        assert_eq!(read_text(" \u{200B}\t", 3), Err(TextTrouble::Empty));
    }

    #[test]
    fn what_cannot_be_seen_is_handed_back_cleaned() {
        let trouble = read_text("AB\u{0}12\t3\u{202E}", 40);
        assert_eq!(trouble, Err(TextTrouble::ControlCharacters { found: 3, cleaned: "AB12 3".to_owned() }));
    }

    proptest! {
        #[test]
        fn cleaned_text_is_taken(text in any::<String>()) {
            if let Err(TextTrouble::ControlCharacters { cleaned, .. }) = read_text(&text, 400) {
                prop_assert_eq!(read_text(&cleaned, 400).map_err(|trouble| trouble.code()), Ok(cleaned));
            }
        }
    }
}
