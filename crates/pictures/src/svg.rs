//! Writes SVG text: a few shapes, classes only, every word escaped.
use crate::label::Anchor;
use std::fmt::Write;

/// A picture being written.
pub(crate) struct Canvas {
    out: String,
}

/// The word with the five signs that mean something in XML replaced, and what XML 1.0 cannot hold left out.
pub(crate) fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\t' | '\n' | '\r' => out.push(' '),
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => {}
            c => out.push(c),
        }
    }
    out
}

/// A length with at most two decimals, without what says nothing. What is not finite becomes 0: a picture never breaks a page.
fn number(value: f64) -> String {
    if !value.is_finite() {
        return "0".to_owned();
    }
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

impl Canvas {
    /// Opens a picture of this size, named for who hears it.
    pub(crate) fn new(class: &str, width: f64, height: f64, title: &str) -> Self {
        let mut out = String::with_capacity(4096);
        let (w, h, name) = (number(width), number(height), escape(title));
        // Writing into a String cannot fail.
        let _ = write!(
            out,
            r#"<svg xmlns="http://www.w3.org/2000/svg" class="pic {class}" viewBox="0 0 {w} {h}" role="img" aria-label="{name}">"#
        );
        Self { out }
    }

    /// A straight stroke.
    pub(crate) fn line(&mut self, class: &str, from: (f64, f64), to: (f64, f64)) {
        let (x1, y1, x2, y2) = (number(from.0), number(from.1), number(to.0), number(to.1));
        let _ = write!(self.out, r#"<line class="{class}" x1="{x1}" y1="{y1}" x2="{x2}" y2="{y2}"/>"#);
    }

    /// A circle round a point.
    pub(crate) fn circle(&mut self, class: &str, at: (f64, f64), radius: f64) {
        let (x, y, r) = (number(at.0), number(at.1), number(radius));
        let _ = write!(self.out, r#"<circle class="{class}" cx="{x}" cy="{y}" r="{r}"/>"#);
    }

    /// A rectangle from its left upper corner.
    pub(crate) fn rect(&mut self, class: &str, at: (f64, f64), size: (f64, f64), round: f64) {
        let (x, y, w, h, r) = (number(at.0), number(at.1), number(size.0), number(size.1), number(round));
        let _ = write!(self.out, r#"<rect class="{class}" x="{x}" y="{y}" width="{w}" height="{h}" rx="{r}"/>"#);
    }

    /// A stroke through points.
    pub(crate) fn path(&mut self, class: &str, points: &[(f64, f64)]) {
        let mut d = String::new();
        for (i, p) in points.iter().enumerate() {
            let _ = write!(d, "{}{} {}", if i == 0 { "M" } else { " L" }, number(p.0), number(p.1));
        }
        let _ = write!(self.out, r#"<path class="{class}" d="{d}"/>"#);
    }

    /// A part of a circle, clockwise, both ends given.
    pub(crate) fn arc(&mut self, class: &str, from: (f64, f64), to: (f64, f64), radius: f64, more_than_half: bool) {
        let (x1, y1, x2, y2, r) = (number(from.0), number(from.1), number(to.0), number(to.1), number(radius));
        let large = u8::from(more_than_half);
        let _ = write!(self.out, r#"<path class="{class}" d="M{x1} {y1} A{r} {r} 0 {large} 1 {x2} {y2}"/>"#);
    }

    /// A word. Its size is the class's.
    pub(crate) fn text(&mut self, class: &str, at: (f64, f64), anchor: Anchor, text: &str) {
        let (x, y, a, t) = (number(at.0), number(at.1), anchor.name(), escape(text));
        let _ = write!(self.out, r#"<text class="{class}" x="{x}" y="{y}" text-anchor="{a}">{t}</text>"#);
    }

    /// The whole text.
    pub(crate) fn close(mut self) -> String {
        self.out.push_str("</svg>");
        self.out
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hostile_words_stay_words() {
        assert_eq!(escape("<a b='c'>\"&\u{0}\u{7}\n"), "&lt;a b=&#39;c&#39;&gt;&quot;&amp; ");
    }

    #[test]
    fn lengths_are_short_and_never_break() {
        assert_eq!(number(1.0), "1");
        assert_eq!(number(-0.001), "0");
        assert_eq!(number(12.345), "12.35");
        assert_eq!(number(f64::NAN), "0");
        assert_eq!(number(100.0), "100");
    }
}
