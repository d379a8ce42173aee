//! The small storage in a real browser: nothing unreadable is lost, nothing unwritten is called kept.
#![cfg(target_arch = "wasm32")]
#![allow(clippy::unwrap_used, reason = "a test may stop")]

mod support;

use browser::Trouble;
use browser::settings::{self, Choices, Theme, copies, drafts, failures, kept, sentinel};
use support::page;
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};

wasm_bindgen_test_configure!(run_in_browser);

#[wasm_bindgen_test]
fn choices_come_back_as_made() {
    page::clear_storage();
    assert_eq!(settings::load().unwrap(), None);
    let choices =
        Choices { theme: Theme::Dark, technician: "A. Brown".into(), badge: "17".into(), ..Choices::default() };
    settings::save(&choices).unwrap();
    assert_eq!(settings::load().unwrap(), Some(choices));
}

#[wasm_bindgen_test]
fn what_cannot_be_read_is_moved_aside_and_reported_once() {
    page::clear_storage();
    for (text, place) in
        [("{oops", "dotside.choices.kept"), ("[1]", "dotside.choices.kept2"), ("", "dotside.choices.kept3")]
    {
        page::put_text("dotside.choices", text);
        let wanted = Trouble::SettingUnreadable {
            key: "choices".into(),
            kept_as: Some(place.trim_start_matches("dotside.").into()),
        };
        assert_eq!(settings::load(), Err(wanted));
        assert_eq!(settings::load(), Ok(None));
        assert_eq!(page::text_of(place).as_deref(), Some(text));
    }
    let kept = kept::list().unwrap();
    let texts: Vec<_> = kept.iter().map(|kept| kept.text.as_str()).collect();
    assert_eq!(texts, ["{oops", "[1]", ""]);
    kept::drop(&kept[1]).unwrap();
    assert_eq!(kept::list().unwrap().len(), 2);
    assert_eq!(page::text_of("dotside.choices.kept").as_deref(), Some("{oops"));
}

#[wasm_bindgen_test]
fn writing_over_what_cannot_be_read_keeps_it() {
    page::clear_storage();
    page::put_text("dotside.draft.plates", "not json");
    drafts::save("plates", &vec!["400/5".to_owned()]).unwrap();
    assert_eq!(page::text_of("dotside.draft.plates.kept").as_deref(), Some("not json"));
    assert_eq!(drafts::load::<Vec<String>>("plates").unwrap().unwrap(), ["400/5"]);
    assert_eq!(drafts::keys().unwrap(), ["plates"]);
    drafts::clear("plates").unwrap();
    assert_eq!(drafts::load::<Vec<String>>("plates").unwrap(), None);
}

#[wasm_bindgen_test]
fn a_full_storage_is_told_and_what_stood_there_stands() {
    page::clear_storage();
    drafts::save("note", &"short".to_owned()).unwrap();
    page::put_text("dotside.choices", "{oops");
    page::fill_storage();
    let full = drafts::save("note", &"long".repeat(10_000));
    assert_eq!(full, Err(Trouble::SettingsFull { key: "draft.note".into() }));
    assert_eq!(drafts::load::<String>("note").unwrap().as_deref(), Some("short"));
    let unmoved = Trouble::SettingUnreadable { key: "choices".into(), kept_as: None };
    assert_eq!(settings::load(), Err(unmoved.clone()));
    assert_eq!(settings::save(&Choices::default()), Err(unmoved), "no room to keep it, so it is not overwritten");
    assert_eq!(page::text_of("dotside.choices").as_deref(), Some("{oops"));
    failures::load().unwrap();
    page::clear_storage();
}

#[wasm_bindgen_test]
fn copies_and_the_sentinel_come_back() {
    page::clear_storage();
    assert_eq!(copies::last("j").unwrap(), None);
    copies::mark("j", 1_700_000_000_000).unwrap();
    copies::mark("k", 1).unwrap();
    assert_eq!(copies::last("j").unwrap(), Some(1_700_000_000_000));
    assert_eq!(copies::all().unwrap().len(), 2);
    let known = sentinel::Sentinel { jobs: 2, root: "r".into() };
    sentinel::save(&known).unwrap();
    assert_eq!(sentinel::load().unwrap(), Some(known));
}
