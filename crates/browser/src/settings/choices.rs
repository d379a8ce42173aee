//! What a person chose once and should not be asked again.

use super::keeper;
use crate::Trouble;
use std::collections::BTreeMap;

const KEY: &str = "choices";

/// Light or dark.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Theme {
    /// As the device has it.
    #[default]
    Auto,
    /// Dark text on a light ground.
    Light,
    /// Light text on a dark ground.
    Dark,
}

/// How this person writes numbers.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum NumberStyle {
    /// Both separators are taken, and a number that can be read two ways is asked about.
    #[default]
    Ask,
    /// The decimal separator is a point.
    Point,
    /// The decimal separator is a comma.
    Comma,
}

/// A person's choices. Kept as texts by name; what a newer version added is kept as it stands.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Choices {
    /// Light or dark.
    pub theme: Theme,
    /// The technician's name, as written in entries.
    pub technician: String,
    /// The technician's number or badge.
    pub badge: String,
    /// The place to go on at: the route that was open last.
    pub last_place: String,
    /// How numbers are written.
    pub numbers: NumberStyle,
    /// What this version does not know.
    pub other: Texts,
}

/// Texts by name: what is kept.
pub type Texts = BTreeMap<String, String>;

/// Names of the themes, as kept.
const THEMES: [(&str, Theme); 3] = [("auto", Theme::Auto), ("light", Theme::Light), ("dark", Theme::Dark)];

/// Names of the styles, as kept.
const STYLES: [(&str, NumberStyle); 3] =
    [("ask", NumberStyle::Ask), ("point", NumberStyle::Point), ("comma", NumberStyle::Comma)];

fn named<T: Copy + Default>(names: [(&str, T); 3], text: &str) -> T {
    names.iter().find(|(name, _)| *name == text).map_or_else(T::default, |(_, value)| *value)
}

fn name_of<T: PartialEq>(names: [(&str, T); 3], wanted: &T) -> String {
    names.iter().find(|(_, value)| value == wanted).map_or("", |(name, _)| *name).to_owned()
}

impl From<Texts> for Choices {
    fn from(mut texts: Texts) -> Choices {
        // A choice that was never made is as it is on a new device.
        let mut take = |name: &str| String::from_iter(texts.remove(name));
        Choices {
            theme: named(THEMES, &take("theme")),
            technician: take("technician"),
            badge: take("badge"),
            last_place: take("last_place"),
            numbers: named(STYLES, &take("numbers")),
            other: texts,
        }
    }
}

impl From<&Choices> for Texts {
    fn from(choices: &Choices) -> Texts {
        let mut texts = choices.other.clone();
        for (name, text) in [
            ("theme", name_of(THEMES, &choices.theme)),
            ("technician", choices.technician.clone()),
            ("badge", choices.badge.clone()),
            ("last_place", choices.last_place.clone()),
            ("numbers", name_of(STYLES, &choices.numbers)),
        ] {
            texts.insert(name.to_owned(), text);
        }
        texts
    }
}

/// The choices of this device; `None` when nothing was chosen yet.
pub fn load() -> Result<Option<Choices>, Trouble> {
    Ok(keeper::read::<Texts>(KEY)?.map(Choices::from))
}

/// Keeps the choices.
pub fn save(choices: &Choices) -> Result<(), Trouble> {
    keeper::write(KEY, &Texts::from(choices))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_newer_version_added_survives() {
        let texts = [("theme", "dark"), ("numbers", "roman"), ("new_thing", "[1,2]")];
        let texts: Texts = texts.map(|(name, text)| (name.to_owned(), text.to_owned())).into();
        let choices = Choices::from(texts);
        assert_eq!((choices.theme, choices.numbers), (Theme::Dark, NumberStyle::Ask));
        assert_eq!(Texts::from(&choices).get("new_thing").map(String::as_str), Some("[1,2]"));
    }

    #[test]
    fn choices_come_back_as_they_were() {
        for (theme, numbers) in [(Theme::Light, NumberStyle::Comma), (Theme::Auto, NumberStyle::Point)] {
            let choices = Choices { theme, numbers, badge: "17".to_owned(), ..Choices::default() };
            assert_eq!(Choices::from(Texts::from(&choices)), choices);
        }
    }
}
