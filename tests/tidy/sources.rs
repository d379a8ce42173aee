//! Every text file of the workspace that people write, with its name relative to the root.

use crate::rust::{self, Parts};
use std::path::Path;
use std::sync::OnceLock;

/// One file.
#[derive(Debug)]
pub struct Source {
    /// Relative to the root, with `/` between parts.
    pub name: String,
    pub text: String,
    /// Whether it is there for tests only.
    pub is_test: bool,
    parts: OnceLock<Parts>,
}

const ENDINGS: &[&str] = &["rs", "css", "js", "mjs", "html", "ftl", "svg", "webmanifest"];
/// Folders that hold nothing written here.
const NOT_OURS: &[&str] = &["target", "node_modules", ".git"];
/// Files kept to be read by tests, some of them broken on purpose.
const DATA: &[&str] = &["tests/crashers", "tests/golden", "tests/published", "tests/vectors"];

impl Source {
    pub fn new(name: &str, text: &str) -> Self {
        let is_test = name.starts_with("tests/") || name.contains("/tests/");
        Self { name: name.into(), text: text.into(), is_test, parts: OnceLock::new() }
    }

    pub fn ends_with(&self, ending: &str) -> bool {
        Path::new(&self.name).extension().is_some_and(|found| found == ending)
    }

    /// The text of a Rust file without its tests, which stand last.
    pub fn without_tests(&self) -> &str {
        let mut at = 0;
        let end = loop {
            let rest = self.text.get(at..).unwrap_or_default();
            let Some(found) = rest.find("\n#[cfg(") else { break self.text.len() };
            let mut lines = rest.get(found + 1..).unwrap_or_default().lines();
            let (condition, next) = (lines.next().unwrap_or_default(), lines.next().unwrap_or_default());
            if condition.contains("test") && next.starts_with("mod ") && next.contains('{') {
                break at + found;
            }
            at += found + 1;
        };
        self.text.get(..end).unwrap_or(&self.text)
    }

    /// A Rust file without its tests, taken apart.
    pub fn parts(&self) -> &Parts {
        self.parts.get_or_init(|| rust::parts(self.without_tests()))
    }
}

/// All of them, in the order of their names.
pub fn sources() -> &'static [Source] {
    static READ: OnceLock<Vec<Source>> = OnceLock::new();
    READ.get_or_init(|| {
        let root = crate::workspace::root();
        let mut names = Vec::new();
        collect(&root, "", &mut names);
        names.sort();
        assert!(names.len() > 50, "only {} files found under {}", names.len(), root.display());
        let read = |name: &String| {
            let text = std::fs::read_to_string(root.join(name)).unwrap_or_else(|why| panic!("{name}: {why}"));
            Source::new(name, &text)
        };
        let mut sources: Vec<Source> = names.iter().map(read).collect();
        mark_test_modules(&mut sources);
        sources
    })
}

/// Files under a `#[cfg(test)] mod name;` are there for tests only, and so is everything below them.
fn mark_test_modules(sources: &mut [Source]) {
    let mut places = Vec::new();
    for source in sources.iter().filter(|source| source.ends_with("rs")) {
        let (folder, file) = source.name.rsplit_once('/').unwrap_or_default();
        let stem = file.trim_end_matches(".rs");
        let below =
            if ["mod", "lib", "main"].contains(&stem) { folder.to_string() } else { format!("{folder}/{stem}") };
        let after = source.text.split("#[cfg(test)]\nmod ").skip(1);
        places.extend(
            after.filter_map(|rest| rest.lines().next()?.strip_suffix(';')).map(|name| format!("{below}/{name}")),
        );
    }
    for source in sources {
        let under =
            |place: &String| source.name == format!("{place}.rs") || source.name.starts_with(&format!("{place}/"));
        source.is_test |= places.iter().any(under);
    }
}

fn collect(folder: &Path, before: &str, names: &mut Vec<String>) {
    for entry in std::fs::read_dir(folder).unwrap_or_else(|why| panic!("{}: {why}", folder.display())) {
        let entry = entry.expect("a readable folder");
        let file_name = entry.file_name().to_string_lossy().into_owned();
        let name = format!("{before}{file_name}");
        if entry.path().is_dir() {
            if !NOT_OURS.contains(&file_name.as_str()) && !DATA.contains(&name.as_str()) {
                collect(&entry.path(), &format!("{name}/"), names);
            }
        } else if entry.path().extension().is_some_and(|ending| ENDINGS.iter().any(|one| ending == *one)) {
            names.push(name);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tests_are_told_from_what_ships() {
        let with_tests =
            Source::new("a.rs", "fn f() {}\n#[cfg(test)]\nfn g() {}\n#[cfg(all(test, unix))]\nmod tests {\n h();\n}\n");
        assert_eq!(with_tests.without_tests(), "fn f() {}\n#[cfg(test)]\nfn g() {}");
        let mut files = [
            Source::new("crates/a/src/x/mod.rs", "#[cfg(test)]\nmod proof;\nmod y;"),
            Source::new("crates/a/src/x/proof/walk.rs", ""),
            Source::new("crates/a/src/x/y.rs", "#[cfg(test)]\nmod tests;"),
            Source::new("crates/a/src/x/y/tests.rs", ""),
        ];
        mark_test_modules(&mut files);
        assert_eq!(files.map(|file| file.is_test), [false, true, false, true]);
    }
}
