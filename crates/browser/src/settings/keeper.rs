//! The small storage itself (localStorage): nothing that cannot be read is ever overwritten or lost.

use crate::{Trouble, js};
use gloo_storage::{LocalStorage, Storage};
use serde::Serialize;
use serde::de::DeserializeOwned;

/// Every key of this program starts with this, for other programs may share the origin.
const PREFIX: &str = "dotside.";

/// Reads a value. What cannot be read is moved aside first, and reported once.
pub(crate) fn read<T: DeserializeOwned>(key: &str) -> Result<Option<T>, Trouble> {
    let storage = storage()?;
    let full = full(key);
    let Some(text) = text_at(&storage, &full)? else { return Ok(None) };
    match serde_json::from_str(&text) {
        Ok(value) => Ok(Some(value)),
        Err(_) => Err(Trouble::SettingUnreadable { key: key.to_owned(), kept_as: set_aside(&storage, &full, &text) }),
    }
}

/// Writes a value and reads it back. A standing value that cannot be read is moved aside before.
pub(crate) fn write<T: Serialize + DeserializeOwned>(key: &str, value: &T) -> Result<(), Trouble> {
    if let Err(trouble) = read::<T>(key)
        && !matches!(trouble, Trouble::SettingUnreadable { kept_as: Some(_), .. })
    {
        return Err(trouble);
    }
    let storage = storage()?;
    let full = full(key);
    LocalStorage::set(&full, value).map_err(|_| Trouble::SettingsFull { key: key.to_owned() })?;
    let wanted = serde_json::to_string(value).map_err(|_| Trouble::SettingNotKept { key: key.to_owned() })?;
    match text_at(&storage, &full)? {
        Some(text) if text == wanted => Ok(()),
        _ => Err(Trouble::SettingNotKept { key: key.to_owned() }),
    }
}

/// Removes a value.
pub(crate) fn remove(key: &str) -> Result<(), Trouble> {
    storage()?.remove_item(&full(key)).map_err(|_| Trouble::SettingsAbsent)
}

/// The keys that start like this, without that start.
pub(crate) fn keys(start: &str) -> Result<Vec<String>, Trouble> {
    let keys = all_keys(&storage()?)?.into_iter().filter(|key| !is_kept(key));
    Ok(keys.filter_map(|key| key.strip_prefix(start).map(str::to_owned)).collect())
}

/// What was moved aside because it could not be read: where it stands, and its text.
pub(crate) fn kept() -> Result<Vec<(String, String)>, Trouble> {
    let storage = storage()?;
    let mut found = Vec::new();
    for key in all_keys(&storage)? {
        if let (true, Some(text)) = (is_kept(&key), text_at(&storage, &full(&key))?) {
            found.push((key, text));
        }
    }
    Ok(found)
}

/// Every key of this program, in order.
fn all_keys(storage: &web_sys::Storage) -> Result<Vec<String>, Trouble> {
    let count = storage.length().map_err(|_| Trouble::SettingsAbsent)?;
    let mut found = Vec::new();
    for index in 0..count {
        let key = storage.key(index).map_err(|_| Trouble::SettingsAbsent)?;
        found.extend(key.as_deref().and_then(|key| key.strip_prefix(PREFIX)).map(str::to_owned));
    }
    found.sort();
    Ok(found)
}

/// The storage, if this browser has it and lets us: only then may the typed calls be used, for they do not ask.
fn storage() -> Result<web_sys::Storage, Trouble> {
    js::window()?.local_storage().ok().flatten().ok_or(Trouble::SettingsAbsent)
}

fn full(key: &str) -> String {
    format!("{PREFIX}{key}")
}

fn text_at(storage: &web_sys::Storage, full: &str) -> Result<Option<String>, Trouble> {
    storage.get_item(full).map_err(|_| Trouble::SettingsAbsent)
}

/// Moves a text aside to the first free place; gives its key, or `None` when there was no room and it stays in place.
fn set_aside(storage: &web_sys::Storage, full: &str, text: &str) -> Option<String> {
    let place = places(full).find(|place| matches!(storage.get_item(place), Ok(None)))?;
    storage.set_item(&place, text).ok()?;
    let stands = matches!(storage.get_item(&place), Ok(Some(kept)) if kept == text);
    let moved = stands && storage.remove_item(full).is_ok();
    place.strip_prefix(PREFIX).filter(|_| moved).map(str::to_owned)
}

/// `key.kept`, then `key.kept2` and so on.
fn places(full: &str) -> impl Iterator<Item = String> {
    let first = format!("{full}.kept");
    let next = first.clone();
    std::iter::once(first).chain((2..100).map(move |number| format!("{next}{number}")))
}

fn is_kept(key: &str) -> bool {
    key.rsplit_once(".kept").is_some_and(|(_, number)| number.bytes().all(|byte| byte.is_ascii_digit()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_set_aside_is_told_from_what_is_in_use() {
        assert!(places("dotside.a").take(12).all(|place| is_kept(&place)));
        assert!(!is_kept("form.keptyear"));
        assert!(!is_kept("form"));
    }
}
