//! Tidiness of the sources: every file says its duty, nothing lies about unused, and banned calls stay out.
//!
//! One file per kind of check. Each check is a function from sources to complaints, so that a test can show it complaining.

#![expect(clippy::expect_used, clippy::panic, reason = "a check that cannot read the sources fails, and says why")]

mod banned;
mod classes;
mod duty;
mod orphans;
mod rust;
mod sentences;
mod sources;
#[path = "../workspace.rs"]
mod workspace;

use sources::{Source, sources};

fn nothing_to_say(complaints: &[String]) {
    assert!(complaints.is_empty(), "\n{}", complaints.join("\n"));
}

#[test]
fn every_file_opens_with_its_duty() {
    nothing_to_say(&duty::missing(sources()));
}

#[test]
fn no_file_is_too_long() {
    nothing_to_say(&duty::too_long(sources()));
}

#[test]
fn every_rust_file_belongs_to_a_crate() {
    nothing_to_say(&orphans::rust_files(sources(), &orphans::crate_roots()));
}

#[test]
fn every_icon_and_typeface_is_used() {
    nothing_to_say(&orphans::assets(sources(), &orphans::asset_names()));
}

#[test]
fn styles_and_screens_know_the_same_classes() {
    nothing_to_say(&classes::unlike(sources()));
}

#[test]
fn every_sentence_is_said_somewhere() {
    nothing_to_say(&sentences::unsaid(sources()));
}

#[test]
fn banned_calls_stay_out() {
    nothing_to_say(&banned::found(sources(), banned::BANS));
}
