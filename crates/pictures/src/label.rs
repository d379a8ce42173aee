//! How much room a word takes, so that labels can be laid out without asking a browser.

/// Which end of a word its place means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Anchor {
    /// The left end.
    Start,
    /// The middle.
    Middle,
    /// The right end.
    End,
}

impl Anchor {
    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::Start => "start",
            Self::Middle => "middle",
            Self::End => "end",
        }
    }
}

/// The text sizes of `pictures.css`, in units of the picture.
pub(crate) const SMALL: f64 = 13.5;
/// Ordinary words.
pub(crate) const PLAIN: f64 = 16.0;
/// Values.
pub(crate) const LARGE: f64 = 20.0;

/// Advance widths of U+0020 to U+007E in hundredths of an em, the wider of B612 regular and bold.
/// Source: the `hmtx` tables of `assets/fonts/b612-latin-400.woff2` and `-700.woff2`.
const ADVANCE: [u8; 95] = [
    35, 35, 40, 85, 55, 90, 70, 20, 45, 45, 55, 60, 25, 45, 30, 55, 65, 65, 65, 65, 65, 65, 65, 65, 65, 65, 30, 25, 65,
    50, 65, 55, 100, 65, 65, 60, 65, 60, 55, 65, 70, 30, 45, 60, 55, 90, 75, 80, 60, 80, 65, 55, 60, 70, 65, 95, 65,
    60, 60, 45, 55, 50, 75, 55, 55, 53, 60, 50, 60, 55, 40, 60, 60, 30, 30, 55, 35, 90, 60, 60, 60, 60, 40, 45, 40, 60,
    55, 75, 55, 55, 50, 65, 20, 60, 75,
];

/// Width of a word in the look's typeface; signs the table does not hold count as a full em, which few are.
pub(crate) fn width(text: &str, size: f64) -> f64 {
    let hundredths: u32 = text
        .chars()
        .map(|c| match c {
            '°' | '·' | '²' | '³' => 30,
            '−' | '–' => 55,
            '×' => 80,
            c => (c as usize).checked_sub(32).and_then(|i| ADVANCE.get(i)).map_or(100, |w| u32::from(*w)),
        })
        .sum();
    f64::from(hundredths) / 100.0 * size
}

/// The words on one line, or on two where one is too short; what still does not fit is cut.
pub(crate) fn wrapped(text: &str, size: f64, room: f64) -> Vec<String> {
    if width(text, size) <= room {
        return vec![text.to_owned()];
    }
    let break_at = text.match_indices(' ').map(|(at, _)| at).rfind(|at| width(&text[..*at], size) <= room);
    match break_at {
        Some(at) => vec![text[..at].to_owned(), fitted(text[at..].trim_start(), size, room)],
        None => vec![fitted(text, size, room)],
    }
}

/// The word cut to the room there is, with a sign that something is missing; the table has it whole.
pub(crate) fn fitted(text: &str, size: f64, room: f64) -> String {
    if width(text, size) <= room {
        return text.to_owned();
    }
    let mut out = String::new();
    for c in text.chars() {
        out.push(c);
        if width(&out, size) + size > room {
            out.pop();
            break;
        }
    }
    out.push('…');
    out
}

/// The point this far from a centre, this many degrees behind (clockwise from) the upright.
pub(crate) fn polar(centre: (f64, f64), radius: f64, behind_deg: f64) -> (f64, f64) {
    let angle = behind_deg.to_radians();
    (centre.0 + radius * libm::sin(angle), centre.1 - radius * libm::cos(angle))
}

/// The angle within 0 ≤ a < 360; what is not finite counts as 0.
pub(crate) fn turn(deg: f64) -> f64 {
    if deg.is_finite() { deg.rem_euclid(360.0) } else { 0.0 }
}

/// How far two angles lie apart, 0 to 180.
pub(crate) fn apart(a: f64, b: f64) -> f64 {
    let d = turn(a - b);
    d.min(360.0 - d)
}
