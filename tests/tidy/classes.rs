//! Style sheets and screens know the same classes: none styled and never used, none used and never styled.
//!
//! A class is written whole (`tag tag--good`), never put together from pieces, so that it can be found.

use crate::Source;
use std::collections::BTreeSet;

/// Classes without the other half.
pub fn unlike(sources: &[Source]) -> Vec<String> {
    let mut styled = BTreeSet::new();
    let (mut named, mut spoken) = (BTreeSet::new(), BTreeSet::new());
    for source in sources {
        if source.ends_with("css") {
            styled.extend(selected(&source.text));
        } else if draws(source) {
            let (certain, possible) = used(source);
            named.extend(certain);
            spoken.extend(possible);
        }
    }
    let unused = styled.iter().filter(|class| !named.contains(*class) && !spoken.contains(*class));
    let mut found: Vec<String> =
        unused.map(|class| format!(".{class} is styled in assets/css, but used nowhere")).collect();
    let unstyled = named.iter().filter(|class| !styled.contains(*class));
    found.extend(unstyled.map(|class| format!("class {class} is used, but styled nowhere in assets/css")));
    found
}

/// Files that put classes on the page.
fn draws(source: &Source) -> bool {
    let places = ["crates/app/src/", "crates/pictures/src/", "crates/browser/src/", "assets/boot.js", "index.html"];
    places.iter().any(|place| source.name.starts_with(place)) && !source.is_test
}

/// Classes in the selectors of a style sheet.
fn selected(css: &str) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    let mut piece = String::new();
    for c in without_comments(css).chars() {
        match c {
            '{' => {
                for part in piece.split('.').skip(1) {
                    let end = part.find(|c: char| !(c.is_alphanumeric() || "-_".contains(c))).unwrap_or(part.len());
                    let class = part.get(..end).unwrap_or_default();
                    // What begins with a digit is a number, as in `@media (min-width: 37.5rem)`.
                    if class.starts_with(|c: char| c.is_alphabetic()) {
                        found.insert(class.to_string());
                    }
                }
                piece.clear();
            }
            '}' | ';' => piece.clear(),
            _ => piece.push(c),
        }
    }
    found
}

fn without_comments(css: &str) -> String {
    let mut rest = css;
    let mut kept = String::new();
    while let Some((before, after)) = rest.split_once("/*") {
        kept.push_str(before);
        rest = after.split_once("*/").map_or("", |(_, after)| after);
    }
    kept + rest
}

/// Classes that are certainly used as such, and every word that could be one.
fn used(source: &Source) -> (BTreeSet<String>, BTreeSet<String>) {
    let text = source.without_tests();
    let (code, mut strings) = if source.ends_with("rs") {
        let parts = source.parts();
        (parts.code.clone(), parts.strings.clone())
    } else {
        (text.to_string(), vec![text.to_string()])
    };
    let mut certain = BTreeSet::new();
    // The macro's own form: `class:tag--good=…`.
    certain.extend(code.split("class:").skip(1).filter_map(|after| class_at(after, '=')));
    // In the text of a picture: `class="…"`.
    for string in &strings {
        let values = string.split("class=\"").skip(1).filter_map(|after| after.split_once('"'));
        certain.extend(values.flat_map(|(value, _)| classes_in(value)));
    }
    // In the code of a view: `class="…"` and `class=("…", …)`, whose literals the code shows as empty.
    if source.ends_with("rs") {
        certain.extend(after_class(text).iter().flat_map(|literal| classes_in(literal)));
        // The parts of a class that is certain by its shape, wherever it stands.
        let shaped = |class: &String| class.contains("__") || class.contains("--");
        certain.extend(strings.iter().flat_map(|string| classes_in(string)).filter(shaped));
    }
    let possible = strings.drain(..).flat_map(|string| classes_in(&string).collect::<Vec<_>>()).collect();
    (certain, possible)
}

fn after_class(text: &str) -> Vec<String> {
    let pieces = text.split("class=").skip(1);
    pieces
        .filter_map(|after| after.trim_start_matches('(').strip_prefix('"')?.split_once('"'))
        .map(|(value, _)| value.to_string())
        .collect()
}

fn class_at(after: &str, end: char) -> Option<String> {
    let (name, _) = after.split_once(end)?;
    is_class(name).then(|| name.to_string())
}

fn classes_in(value: &str) -> impl Iterator<Item = String> + '_ {
    value.split(|c: char| c.is_whitespace() || "\"'<>=".contains(c)).filter(|word| is_class(word)).map(str::to_string)
}

/// `block`, `block__part`, `block--state`, `block__part--state`, in small letters.
fn is_class(word: &str) -> bool {
    let allowed = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-' || c == '_';
    word.starts_with(|c: char| c.is_ascii_lowercase()) && word.chars().all(allowed) && !word.ends_with(['-', '_'])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn complaints(css: &str, rust: &str) -> Vec<String> {
        let source = Source::new;
        unlike(&[source("assets/css/kit.css", css), source("crates/app/src/view.rs", rust)])
    }

    #[test]
    fn both_halves_must_be_there() {
        let css = "/* .gone {} */ @media (min-width: 37.5rem) { .a .b__c--d:hover, .e::after { top: .5em; } } @font-face { src: url(\"x.woff2\"); }";
        let rust = "view! { <p class=\"a b__c--d\" class:e=move || true class=(\"a\", on)/> }";
        assert_eq!(complaints(css, rust), Vec::<String>::new());
        assert_eq!(complaints(".a{} .odd{}", "let x = \"a\";"), [".odd is styled in assets/css, but used nowhere"]);
        assert_eq!(complaints(".a{}", "<p class=\"a odd\"/>"), ["class odd is used, but styled nowhere in assets/css"]);
        assert_eq!(
            complaints(".a{}", "f(\"a\", \"a--odd\")"),
            ["class a--odd is used, but styled nowhere in assets/css"]
        );
        assert_eq!(
            complaints(".a{}", "<p class:odd=true class=\"a\"/>"),
            ["class odd is used, but styled nowhere in assets/css"]
        );
        let picture = "format!(\"<g class=\\\"a odd\\\">\")";
        assert_eq!(complaints(".a{}", picture), ["class odd is used, but styled nowhere in assets/css"]);
    }

    #[test]
    fn what_only_a_test_uses_is_unused() {
        assert_eq!(complaints(".a{}", "fn f() {}\n#[cfg(test)]\nmod tests { const A: &str = \"a\"; }").len(), 1);
    }
}
