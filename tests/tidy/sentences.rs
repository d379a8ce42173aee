//! Every message of the translation files is said somewhere: by its function, or by its code.

use crate::{Source, rust};
use std::collections::BTreeSet;

/// Where it is written which first words of ids are looked up by code; the build compares most of them with their codes.
const CODES: &str = "crates/words/build/codes.rs";

/// The family whose codes no list holds, so that the build cannot compare them.
const UNLISTED: &str = "calc";

/// Messages that nothing says.
pub fn unsaid(sources: &[Source]) -> Vec<String> {
    let families = families(sources);
    let mut functions = BTreeSet::new();
    let mut literals = BTreeSet::new();
    for source in sources.iter().filter(|source| source.ends_with("rs") && speaks(&source.name)) {
        let parts = source.parts();
        functions.extend(called(&parts.code));
        literals.extend(parts.strings.iter().map(|literal| normal(literal)));
    }
    let messages = sources.iter().filter(|source| source.name.starts_with("crates/words/en/"));
    let mut found = Vec::new();
    for source in messages {
        for id in ids(&source.text) {
            let family = id.split('-').next().unwrap_or(id);
            let said = if family == UNLISTED {
                let code = id.split_once('-').map_or(id, |(_, code)| code);
                let code = code.strip_prefix("looks_").unwrap_or(code);
                literals.iter().any(|literal| literal.ends_with(&normal(code)))
            } else if families.iter().any(|one| one == family) {
                // The build of words stops at a message of these that belongs to no code.
                true
            } else {
                functions.contains(&id.replace('-', "_"))
            };
            if !said {
                found.push(format!("{}: {id} is said nowhere: say it, or remove it", source.name));
            }
        }
    }
    found
}

/// Crates whose code holds codes or calls the functions of `words`; the fields of a job are codes too.
fn speaks(name: &str) -> bool {
    name.starts_with("crates/") && !name.starts_with("crates/words/build") && !name.starts_with("crates/xtask/")
}

fn families(sources: &[Source]) -> Vec<String> {
    let codes = sources.iter().find(|source| source.name == CODES).expect("the list of families");
    let after = codes.text.split_once("const FAMILIES: &[&str] = &[").expect("the list of families").1;
    let list = after.split_once("];").expect("the end of the list").0;
    rust::parts(list).strings
}

/// Every name after `words::`, in a path or in a list of imports.
fn called(code: &str) -> BTreeSet<String> {
    let is_name = |c: char| c.is_alphanumeric() || c == '_';
    let mut names = BTreeSet::new();
    for after in code.split("words::").skip(1) {
        let list = match after.strip_prefix('{') {
            Some(rest) => rest.split('}').next().unwrap_or_default(),
            None => after.split(|c| !is_name(c)).next().unwrap_or_default(),
        };
        names.extend(list.split(|c| !is_name(c)).filter(|name| !name.is_empty()).map(str::to_string));
    }
    names
}

/// Ids of the messages of a file; attributes belong to their message.
fn ids(text: &str) -> impl Iterator<Item = &str> {
    text.lines().filter_map(|line| {
        let (id, _) = line.split_once('=')?;
        let id = id.trim_end();
        let first = id.chars().next()?;
        (first.is_ascii_alphabetic() && id.chars().all(|c| c.is_ascii_alphanumeric() || c == '-' || c == '_'))
            .then_some(id)
    })
}

/// Codes may hold points and hyphens where ids hold underlines.
fn normal(code: &str) -> String {
    code.replace(['.', '-'], "_")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_message_that_nothing_says_is_named() {
        let source = Source::new;
        let files = [
            source(CODES, "const FAMILIES: &[&str] = &[\n \"rule\", \"choice\", \"calc\",\n];"),
            source(
                "crates/words/en/app.ftl",
                "# saved = not one\nsaved = Saved\n    .hint = Here\nlost = Lost\nrule-a_b = A\ncalc-turns = B\ncalc-odd = C\n",
            ),
            source("crates/app/src/lib.rs", "fn f() { words::saved(); // words::lost()\n [\"turns\"] }"),
        ];
        let found = unsaid(&files);
        assert_eq!(found.len(), 2, "{found:?}");
        assert!(found[0].contains("lost") && found[1].contains("calc-odd"), "{found:?}");
    }
}
