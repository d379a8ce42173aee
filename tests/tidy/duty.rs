//! A file's first words say what it is for, and it is short enough to be read.

use crate::Source;

/// Lines of code, without tests, that no file may pass.
const MOST_LINES: usize = 800;

/// Files that do not open with a comment of at least a few words.
pub fn missing(sources: &[Source]) -> Vec<String> {
    sources
        .iter()
        .filter_map(|source| {
            let signs = signs(source)?;
            let opening = signs.iter().find_map(|sign| after_sign(&source.text, sign));
            let words = opening.map_or(0, |line| line.split_whitespace().filter(|word| word.len() > 1).count());
            (words < 3).then(|| format!("{} does not open with its duty, after {}", source.name, signs.join(" or ")))
        })
        .collect()
}

/// Files of code that want to be a folder.
pub fn too_long(sources: &[Source]) -> Vec<String> {
    let code = sources.iter().filter(|source| ["rs", "js", "mjs"].iter().any(|ending| source.ends_with(ending)));
    code.filter_map(|source| {
        let lines = source.without_tests().lines().count();
        (lines > MOST_LINES)
            .then(|| format!("{} has {lines} lines, at most {MOST_LINES}: split it by idea", source.name))
    })
    .collect()
}

/// How a comment of the file's language begins; nothing where the language has no comments.
fn signs(source: &Source) -> Option<&'static [&'static str]> {
    match source.name.rsplit('.').next()? {
        "rs" => Some(&["//!"]),
        "css" => Some(&["/*"]),
        "js" | "mjs" => Some(&["//", "/*"]),
        "html" => Some(&["<!doctype html>\n<!--"]),
        "svg" => Some(&["<!--"]),
        "ftl" => Some(&["#"]),
        _ => None,
    }
}

/// Rest of the first line after the sign; a node script may have a `#!` line before it.
fn after_sign<'a>(text: &'a str, sign: &str) -> Option<&'a str> {
    let text = if text.starts_with("#!/") { text.split_once('\n')?.1 } else { text };
    text.strip_prefix(sign)?.lines().next()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn source(name: &str, text: &str) -> Source {
        Source::new(name, text)
    }

    #[test]
    fn a_file_without_its_duty_is_named() {
        let files = [
            source("a.rs", "use std::fs;\n"),
            source("b.rs", "//! stub\n"),
            source("c.css", ".a {}\n"),
            source("d.mjs", "import a from \"b\";\n"),
            source("e.html", "<!doctype html>\n<html>"),
            source("f.ftl", "a = b\n"),
            source("good.rs", "//! What is measured here.\n"),
            source("good.mjs", "#!/usr/bin/env node\n// Runs every file.\n"),
            source("good.html", "<!doctype html>\n<!-- The one page. -->"),
            source("good.webmanifest", "{}"),
        ];
        let found = missing(&files);
        assert_eq!(found.len(), 6, "{found:?}");
        assert!(found.iter().all(|sentence| !sentence.contains("good")), "{found:?}");
    }

    #[test]
    fn a_long_file_is_named_and_its_tests_do_not_count() {
        let long = source("a.rs", &"x\n".repeat(801));
        let tests =
            source("b.rs", &format!("{}\n#[cfg(test)]\nmod tests {{\n{}}}\n", "x\n".repeat(700), "x\n".repeat(300)));
        assert_eq!(too_long(&[long, tests]).len(), 1);
    }
}
