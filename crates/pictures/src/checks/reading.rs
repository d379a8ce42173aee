//! Reads a picture back as strictly as XML does, as far as pictures use it, and finds the box of every word.
use crate::label::{LARGE, PLAIN, SMALL, width};

/// One start tag: its name, its attributes, the text after it.
pub(super) struct Tag {
    pub(super) name: String,
    pub(super) attributes: Vec<(String, String)>,
    pub(super) text: String,
}

impl Tag {
    pub(super) fn get(&self, key: &str) -> Option<&str> {
        self.attributes.iter().find(|(k, _)| k == key).map(|(_, v)| v.as_str())
    }
    pub(super) fn number(&self, key: &str) -> f64 {
        self.get(key).and_then(|v| v.parse().ok()).unwrap_or_else(|| panic!("{} has no number {key}", self.name))
    }
}

/// All tags, or what is wrong.
pub(super) fn read(svg: &str) -> Result<Vec<Tag>, String> {
    let (mut tags, mut open) = (Vec::<Tag>::new(), Vec::<String>::new());
    let mut rest = svg;
    while !rest.is_empty() {
        let Some(body) = rest.strip_prefix('<') else {
            let end = rest.find('<').ok_or("text after the end")?;
            let text = plain(&rest[..end])?;
            tags.last_mut().ok_or("text before the start")?.text.push_str(&text);
            rest = &rest[end..];
            continue;
        };
        let end = body.find('>').ok_or("a tag without end")?;
        let (inside, after) = (&body[..end], &body[end + 1..]);
        if inside.contains('<') {
            return Err(format!("< inside a tag: {inside}"));
        }
        if let Some(name) = inside.strip_prefix('/') {
            if open.pop().as_deref() != Some(name) {
                return Err(format!("{name} closed but not open"));
            }
        } else {
            let tag = start(inside.strip_suffix('/').unwrap_or(inside))?;
            if !inside.ends_with('/') {
                open.push(tag.name.clone());
            }
            tags.push(tag);
        }
        rest = after;
        if open.is_empty() && !rest.is_empty() {
            return Err("more than one root".to_owned());
        }
    }
    if open.is_empty() { Ok(tags) } else { Err(format!("left open: {open:?}")) }
}

fn start(inside: &str) -> Result<Tag, String> {
    let (name, mut rest) = inside.split_once(' ').unwrap_or((inside, ""));
    let mut attributes: Vec<(String, String)> = Vec::new();
    while !rest.trim().is_empty() {
        let (key, value) = rest.trim_start().split_once("=\"").ok_or(format!("no value: {rest}"))?;
        let (value, after) = value.split_once('"').ok_or("value without end")?;
        if !key.chars().all(|c| c.is_ascii_alphanumeric() || c == '-') {
            return Err(format!("no attribute name: {key}"));
        }
        if attributes.iter().any(|(k, _)| k == key) {
            return Err(format!("{key} twice"));
        }
        attributes.push((key.to_owned(), plain(value)?));
        rest = after;
    }
    Ok(Tag { name: name.to_owned(), attributes, text: String::new() })
}

/// Undoes the escapes; any other ampersand is an error, and so is what XML cannot hold.
pub(super) fn plain(text: &str) -> Result<String, String> {
    let mut out = text.to_owned();
    for (code, sign) in [("&lt;", "<"), ("&gt;", ">"), ("&quot;", "\""), ("&#39;", "'")] {
        out = out.replace(code, sign);
    }
    if out.replace("&amp;", "").contains('&') {
        return Err(format!("bare ampersand: {text}"));
    }
    if text.chars().any(|c| c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}')) {
        return Err("a sign XML cannot hold".to_owned());
    }
    Ok(out.replace("&amp;", "&"))
}

/// The words of a picture with their boxes: left, top, right, bottom.
pub(super) fn boxes(tags: &[Tag]) -> Vec<(String, [f64; 4])> {
    let place = |t: &Tag| {
        let class = t.get("class").unwrap_or("");
        let size = match class {
            c if c.contains("--small") => SMALL,
            c if c.contains("--large") => LARGE,
            _ => PLAIN,
        };
        let (x, y, wide) = (t.number("x"), t.number("y"), width(&t.text, size));
        let left = match t.get("text-anchor") {
            Some("middle") => x - wide / 2.0,
            Some("end") => x - wide,
            _ => x,
        };
        (t.text.clone(), [left, y - size * 0.75, left + wide, y + size * 0.05])
    };
    tags.iter().filter(|t| t.name == "text").map(place).collect()
}

/// Pairs of words that lie on each other.
pub(super) fn overlapping(tags: &[Tag]) -> Vec<(String, String)> {
    let all = boxes(tags);
    let mut found = Vec::new();
    for (i, (a, p)) in all.iter().enumerate() {
        for (b, q) in &all[i + 1..] {
            if p[0] < q[2] && q[0] < p[2] && p[1] < q[3] && q[1] < p[3] {
                found.push((a.clone(), b.clone()));
            }
        }
    }
    found
}

/// What every picture keeps, whatever the facts and words.
pub(super) fn keep(svg: &str, title: &str) -> Vec<Tag> {
    let tags = read(svg).unwrap_or_else(|why| panic!("{why}\n{svg}"));
    let root = &tags[0];
    assert_eq!((root.name.as_str(), root.get("role")), ("svg", Some("img")));
    let spoken: String = title
        .chars()
        .map(|c| if matches!(c, '\t' | '\n' | '\r') { ' ' } else { c })
        .filter(|c| !c.is_control())
        .collect();
    let spoken = spoken.replace(['\u{fffe}', '\u{ffff}'], "");
    assert_eq!(root.get("aria-label"), Some(spoken.as_str()));
    let view: Vec<f64> = root.get("viewBox").unwrap().split(' ').map(|n| n.parse().unwrap()).collect();
    for tag in &tags {
        assert!(["svg", "line", "circle", "rect", "path", "text"].contains(&tag.name.as_str()), "{}", tag.name);
        assert!(tag.get("class").is_some(), "{} without a class", tag.name);
        for (key, value) in &tag.attributes {
            assert!(key != "style" && !key.starts_with("on"), "{key} on {}", tag.name);
            assert!(key == "aria-label" || !value.contains("NaN") && !value.contains("inf"), "{key}={value}");
        }
    }
    for (text, [left, top, right, bottom]) in boxes(&tags) {
        let inside = left >= -1.0 && top >= -1.0 && right <= view[2] + 1.0 && bottom <= view[3] + 1.0;
        assert!(inside, "{text:?} at {left},{top},{right},{bottom} leaves {view:?}");
    }
    tags
}

/// The checker itself refuses what it should.
#[test]
fn the_reader_refuses_what_is_not_well_formed() {
    for bad in
        ["<a><b></a></b>", "<a", "<a>&</a>", "<a x=1/>", "<a x=\"1\" x=\"2\"/>", "<a/><b/>", "<a></a>t", "<a x=\"<\"/>"]
    {
        assert!(read(bad).is_err(), "{bad}");
    }
    assert!(read("<a x=\"1\"><b/>t</a>").is_ok());
}
