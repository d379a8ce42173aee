//! Calls that stay out of certain rooms, each with what takes its place. An exception names its file and its reason, and
//! one that is no longer needed fails.

use crate::Source;

/// One ban.
pub struct Ban {
    /// What may not occur.
    calls: &'static [&'static str],
    /// In which folders or files.
    rooms: &'static [&'static str],
    /// What is written instead.
    instead: &'static str,
    /// Where in the file: most bans mean code, not words about it.
    look: Look,
    /// Files that may all the same, each with its reason.
    but: &'static [(&'static str, &'static str)],
}

/// Which part of a file is looked at.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Look {
    /// Without comments and literals; in scripts, everything.
    Code,
    /// Literals only.
    Literals,
}

const PURE: &[&str] = &[
    "crates/metering/src/",
    "crates/jobfile/src/",
    "crates/interchange/src/",
    "crates/procedure/src/",
    "crates/words/src/",
    "crates/pictures/src/",
];
const SHIPPED: &[&str] = &[
    "crates/metering/",
    "crates/jobfile/",
    "crates/interchange/",
    "crates/procedure/",
    "crates/words/",
    "crates/pictures/",
    "crates/browser/",
    "crates/app/",
    "crates/cli/",
];
const SCREEN: &[&str] = &["crates/app/src/", "crates/browser/src/", "assets/"];

pub const BANS: &[Ban] = &[
    Ban {
        calls: &["SystemTime::now", "Instant::now", "Utc::now", "Local::now"],
        rooms: SHIPPED,
        instead: "take the time as an argument; in the app it comes from browser::clock",
        look: Look::Code,
        but: &[],
    },
    Ban {
        calls: &["js_sys::Date", "Date::now", "Date::new_0"],
        rooms: &["crates/app/src/", "crates/browser/src/"],
        instead: "ask browser::clock, the one place that reads the phone's clock",
        look: Look::Code,
        but: &[("crates/browser/src/clock.rs", "it is that place")],
    },
    Ban {
        calls: &["HashMap", "HashSet"],
        rooms: PURE,
        instead: "BTreeMap or BTreeSet: their order is the same on every run and every machine",
        look: Look::Code,
        but: &[],
    },
    Ban {
        calls: &[
            ".sin()",
            ".cos()",
            ".tan()",
            ".atan2(",
            ".hypot(",
            ".powf(",
            ".powi(",
            ".exp()",
            ".ln()",
            ".sin_cos()",
            ".mul_add(",
        ],
        rooms: &["crates/metering/src/", "crates/jobfile/src/", "crates/procedure/src/"],
        instead: "the same function of libm, which gives the same bits on every target",
        look: Look::Code,
        but: &[],
    },
    Ban {
        calls: &["println!", "eprintln!", "print!("],
        rooms: &[
            "crates/metering/src/",
            "crates/jobfile/src/",
            "crates/procedure/src/",
            "crates/words/src/",
            "crates/pictures/src/",
            "crates/browser/src/",
            "crates/app/src/",
        ],
        instead: "return the fact: it is shown by a screen or by the command line",
        look: Look::Code,
        but: &[],
    },
    Ban {
        calls: &[
            "innerHTML",
            "inner_html",
            "insert_adjacent_html",
            "insertAdjacentHTML",
            "outerHTML",
            "document.write",
        ],
        rooms: SCREEN,
        instead: "text nodes; a picture's SVG goes in by `picture`",
        look: Look::Code,
        but: &[("crates/app/src/drawing/attributes.rs", "it puts in what `markup` was given")],
    },
    Ban {
        calls: &[".markup("],
        rooms: SCREEN,
        instead: "text nodes; a picture's SVG goes in by `picture`",
        look: Look::Code,
        but: &[("crates/app/src/picture.rs", "the one place for a picture's SVG")],
    },
    Ban {
        calls: &["local_storage", "localStorage", "session_storage", "sessionStorage"],
        rooms: SCREEN,
        instead: "browser::settings, which never overwrites what it could not read",
        look: Look::Code,
        but: &[("crates/browser/src/settings/keeper.rs", "it is the one place")],
    },
    Ban {
        calls: &["web_sys::window", "window().", "document()."],
        rooms: &["crates/app/src/"],
        instead: "what browser offers: it alone touches the window",
        look: Look::Code,
        but: &[],
    },
    Ban {
        calls: &["web_sys::window"],
        rooms: &["crates/browser/src/"],
        instead: "js::window, which says plainly when there is none",
        look: Look::Code,
        but: &[("crates/browser/src/js.rs", "it is that function")],
    },
    Ban {
        calls: &["task::spawn_local", "leptos::spawn_local"],
        rooms: &["crates/app/src/"],
        instead: "wasm_bindgen_futures::spawn_local: the other one panics before the app is mounted",
        look: Look::Code,
        but: &[],
    },
    Ban {
        calls: &[").unwrap_or_default()", ".unwrap_or(Vec::new())", ".unwrap_or_else(Vec::new)"],
        rooms: &["crates/browser/src/store/", "crates/browser/src/settings/"],
        instead: "`?`: what could not be read is not the same as nothing; absence is `?.unwrap_or_default()` after the failure is handled",
        look: Look::Code,
        but: &[
            (
                "crates/browser/src/settings/failures.rs",
                "it runs while the program is failing; the keeper puts aside what it cannot read",
            ),
            (
                "crates/browser/src/store/jobs.rs",
                "the text is for reading a row that is damaged, which is told beside it",
            ),
            (
                "crates/browser/src/store/rows.rs",
                "a damaged row must not hide the job: what it lacks is derived again from the entries",
            ),
        ],
    },
    Ban {
        calls: &[" style=\""],
        rooms: &["crates/app/src/", "crates/pictures/src/", "index.html"],
        instead: "a class: the Content-Security-Policy blocks the attribute",
        look: Look::Literals,
        but: &[],
    },
    Ban {
        calls: &["eval(", "new Function", "setTimeout(\""],
        rooms: &["assets/"],
        instead: "a function: the Content-Security-Policy blocks text run as code",
        look: Look::Code,
        but: &[],
    },
];

/// Every banned call, and every exception that nothing needs any more.
pub fn found(sources: &[Source], bans: &[Ban]) -> Vec<String> {
    let mut complaints = Vec::new();
    for ban in bans {
        let mut rooms = sources.iter().filter(|source| is_in(source, ban)).peekable();
        if rooms.peek().is_none() {
            complaints.push(format!(
                "the ban of {} looks into {:?}, where there is no file",
                ban.calls.join(", "),
                ban.rooms
            ));
        }
        let mut excused = Vec::new();
        for source in rooms {
            let Some(call) = ban.calls.iter().find(|call| occurs(source, call, ban.look)) else { continue };
            match ban.but.iter().find(|(file, _)| source.name == *file) {
                Some((file, _)) => excused.push(*file),
                None => complaints.push(format!("{}: {call} is banned here; instead: {}", source.name, ban.instead)),
            }
        }
        let stale = ban.but.iter().filter(|(file, _)| !excused.contains(file));
        complaints.extend(stale.map(|(file, why)| {
            format!(
                "{file} is excepted from the ban of {} ({why}), but does not need it: remove the exception",
                ban.calls.join(", ")
            )
        }));
    }
    complaints
}

fn is_in(source: &Source, ban: &Ban) -> bool {
    let is_code = ["rs", "js", "html"].iter().any(|ending| source.ends_with(ending));
    is_code && !source.is_test && ban.rooms.iter().any(|room| source.name.starts_with(room))
}

fn occurs(source: &Source, call: &str, look: Look) -> bool {
    if !source.ends_with("rs") {
        let code = source.text.lines().filter(|line| !line.trim_start().starts_with("//"));
        return code.into_iter().any(|line| line.contains(call));
    }
    let parts = source.parts();
    match look {
        Look::Code => parts.code.contains(call),
        Look::Literals => parts.strings.iter().any(|literal| literal.contains(call)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const BAN: Ban = Ban {
        calls: &["HashMap"],
        rooms: &["crates/metering/src/"],
        instead: "BTreeMap",
        look: Look::Code,
        but: &[("crates/metering/src/old.rs", "a reason")],
    };

    fn complaints(files: &[(&str, &str)]) -> Vec<String> {
        let sources: Vec<Source> = files.iter().map(|(name, text)| Source::new(name, text)).collect();
        found(&sources, &[BAN])
    }

    #[test]
    fn a_banned_call_is_named_with_its_replacement() {
        let old = ("crates/metering/src/old.rs", "use std::collections::HashMap;");
        assert_eq!(complaints(&[old]), Vec::<String>::new());
        let found = complaints(&[old, ("crates/metering/src/a.rs", "let a: HashMap<u8, u8>;")]);
        assert_eq!(found, ["crates/metering/src/a.rs: HashMap is banned here; instead: BTreeMap"]);
        let elsewhere = ("crates/xtask/src/a.rs", "HashMap");
        let only_words = ("crates/metering/src/b.rs", "// no HashMap here\nconst A: &str = \"HashMap\";");
        let only_a_test =
            ("crates/metering/src/c.rs", "fn f() {}\n#[cfg(test)]\nmod tests { use std::collections::HashMap; }");
        assert_eq!(complaints(&[old, elsewhere, only_words, only_a_test]), Vec::<String>::new());
    }

    #[test]
    fn an_exception_that_is_not_needed_fails_and_so_does_an_empty_room() {
        let found = complaints(&[("crates/metering/src/a.rs", "fn f() {}")]);
        assert_eq!(found.len(), 1);
        assert!(found[0].contains("does not need it"), "{found:?}");
        assert!(complaints(&[]).iter().any(|sentence| sentence.contains("there is no file")));
    }
}
