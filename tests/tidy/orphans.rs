//! Nothing lies about unused: Rust files that no crate includes, icons and typefaces that nothing names.

use crate::{Source, workspace};
use std::collections::BTreeSet;

/// Files that crates begin with, relative to the root, as cargo knows them.
pub fn crate_roots() -> Vec<String> {
    let root = workspace::root();
    let relative = |path: &str| {
        let path = std::path::Path::new(path).strip_prefix(&root).expect("a target inside the workspace");
        path.to_string_lossy().into_owned()
    };
    let mut roots = Vec::new();
    for package in workspace::packages() {
        let targets = package["targets"].as_array().expect("a list of targets").clone();
        roots.extend(targets.iter().filter_map(|target| target["src_path"].as_str()).map(relative));
    }
    roots
}

/// Rust files that no `mod` leads to.
pub fn rust_files(sources: &[Source], roots: &[String]) -> Vec<String> {
    let mut waiting: Vec<(String, bool)> = roots.iter().map(|root| (root.clone(), true)).collect();
    let mut reached = BTreeSet::new();
    while let Some((name, is_root)) = waiting.pop() {
        let Some(source) = sources.iter().find(|source| source.name == name) else { continue };
        if reached.insert(name.clone()) {
            waiting.extend(modules_of(source, is_root).into_iter().map(|name| (name, false)));
        }
    }
    let orphan = |source: &&Source| source.ends_with("rs") && !reached.contains(&source.name);
    sources
        .iter()
        .filter(orphan)
        .map(|source| format!("{} belongs to no crate: name it by `mod`, or remove it", source.name))
        .collect()
}

/// Every place where the modules and included files of a file may lie.
fn modules_of(source: &Source, is_root: bool) -> Vec<String> {
    let (folder, file) = source.name.rsplit_once('/').unwrap_or(("", &source.name));
    let stem = file.trim_end_matches(".rs");
    let below = if is_root || stem == "mod" { folder.to_string() } else { format!("{folder}/{stem}") };
    let mut found = Vec::new();
    let mut path = None;
    for line in source.text.lines().map(str::trim) {
        if let Some(named) = line.strip_prefix("#[path = \"").and_then(|rest| rest.strip_suffix("\"]")) {
            path = Some(named);
        } else if let Some(name) = module_named(line) {
            match path.take() {
                Some(named) => found.push(tidied(&format!("{folder}/{named}"))),
                None => found.extend([format!("{below}/{name}.rs"), format!("{below}/{name}/mod.rs")]),
            }
        }
    }
    let included = source.parts().strings.iter().filter(|literal| literal.ends_with(".rs"));
    found.extend(included.map(|literal| tidied(&format!("{folder}/{literal}"))));
    found
}

fn module_named(line: &str) -> Option<&str> {
    let line = line.strip_suffix(';')?;
    let (before, name) = line.rsplit_once("mod ")?;
    let before = before.trim();
    (before.is_empty() || before == "pub" || before.starts_with("pub(")).then_some(name)
}

/// Without `x/../`.
fn tidied(path: &str) -> String {
    let mut parts: Vec<&str> = Vec::new();
    for part in path.split('/') {
        if part == ".." {
            parts.pop();
        } else {
            parts.push(part);
        }
    }
    parts.join("/")
}

/// File names of icons and typefaces.
pub fn asset_names() -> Vec<String> {
    let mut names = Vec::new();
    for folder in ["assets/icons", "assets/fonts"] {
        let folder = workspace::root().join(folder);
        let entries = std::fs::read_dir(&folder).unwrap_or_else(|why| panic!("{}: {why}", folder.display()));
        names.extend(entries.map(|entry| entry.expect("a readable folder").file_name().to_string_lossy().into_owned()));
    }
    assert!(!names.is_empty(), "there are no icons");
    // A licence travels with the typeface it belongs to, without being asked for.
    names.retain(|name| !name.ends_with(".txt"));
    names
}

/// Icons and typefaces that no page, style, manifest or screen names.
pub fn assets(sources: &[Source], names: &[String]) -> Vec<String> {
    let naming = |source: &&Source| {
        source.name == "index.html" || source.name.starts_with("assets/") || source.name.starts_with("crates/app/")
    };
    let unused = |name: &&String| !sources.iter().filter(naming).any(|source| source.text.contains(name.as_str()));
    names.iter().filter(unused).map(|name| format!("{name} in assets is used by nothing: remove it")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn source(name: &str, text: &str) -> Source {
        Source::new(name, text)
    }

    #[test]
    fn a_file_that_no_module_names_is_an_orphan() {
        let files = [
            source(
                "crates/a/src/lib.rs",
                "pub mod b;\npub(crate) mod c;\n#[path = \"x/odd.rs\"]\nmod odd;\n// mod gone;\n",
            ),
            source("crates/a/src/b.rs", "mod d;\n"),
            source("crates/a/src/b/d.rs", ""),
            source("crates/a/src/c/mod.rs", "mod e;"),
            source("crates/a/src/c/e.rs", ""),
            source("crates/a/src/x/odd.rs", ""),
            source("crates/a/src/gone.rs", ""),
            source("crates/a/src/d.rs", ""),
        ];
        let found = rust_files(&files, &["crates/a/src/lib.rs".into()]);
        assert_eq!(found.len(), 2, "{found:?}");
        assert!(found[0].contains("src/gone.rs") && found[1].contains("src/d.rs"), "{found:?}");
    }

    #[test]
    fn an_icon_that_nothing_names_is_an_orphan() {
        let page = [source("index.html", "<link href=\"icons/a.png\">"), source("tests/x.mjs", "b.png")];
        assert_eq!(assets(&page, &["a.png".into()]), Vec::<String>::new());
        assert_eq!(assets(&page, &["b.png".into()]).len(), 1);
    }
}
