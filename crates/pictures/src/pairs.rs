//! Each element's volts and amps as a small pair: what was read solid, what is expected outlined.
use crate::label::{Anchor, PLAIN, apart, fitted, polar, turn, width};
use crate::svg::Canvas;
use crate::table::Table;

/// One element: how far its current lies behind its own volts.
#[derive(Clone, Debug, PartialEq)]
pub struct PairPicture {
    /// "A".
    pub name: String,
    /// Degrees behind the element's volts, ahead negative; none while nothing was read.
    pub read_behind_deg: Option<f64>,
    /// What it should be, where that is known.
    pub expected_behind_deg: Option<f64>,
    /// Reads other than expected: drawn and worded with weight.
    pub odd: bool,
    /// "204° behind", "not read yet".
    pub read_words: String,
    /// "expected 24°", "as expected".
    pub expected_words: String,
}

/// The facts and words of all elements.
#[derive(Clone, Debug, PartialEq)]
pub struct PairsPicture {
    /// What the pairs say, in words.
    pub title: String,
    /// The letter at a volts ray: "V".
    pub volts: String,
    /// The letter at an amps ray: "I".
    pub amps: String,
    /// One to three elements as a rule; more go on below.
    pub pairs: Vec<PairPicture>,
}

impl PairsPicture {
    /// The same facts in rows: element, read, expected.
    pub fn table(&self) -> Table {
        let rows = self.pairs.iter().map(|p| vec![p.name.clone(), p.read_words.clone(), p.expected_words.clone()]);
        Table { rows: rows.collect() }
    }
}

const WIDTH: f64 = 358.0;
const ACROSS: usize = 3;
const PITCH: f64 = WIDTH / ACROSS as f64;
const RADIUS: f64 = 56.0;
const AMPS: f64 = 43.0;
/// Centre to centre of two rows, words beneath their circles.
const UNDER: f64 = 196.0;
/// The same with words beside the circle.
const BESIDE: f64 = 150.0;

/// Draws the pairs three across; where words are too long for that, one below the other with the words beside.
pub fn element_pairs(picture: &PairsPicture) -> String {
    let fits = picture.pairs.iter().all(|p| {
        let widest = width(&p.read_words, PLAIN).max(width(&p.expected_words, PLAIN));
        widest <= PITCH - 2.0
    });
    let across = if fits { ACROSS } else { 1 };
    let pitch_y = if fits { UNDER } else { BESIDE };
    let rows = picture.pairs.len().div_ceil(across).max(1);
    let mut canvas = Canvas::new("pic--pairs", WIDTH, rows as f64 * pitch_y, &picture.title);
    // Fewer than three stand in the middle.
    let shift = if fits { (ACROSS.saturating_sub(picture.pairs.len())) as f64 * PITCH / 2.0 } else { 0.0 };
    for (i, pair) in picture.pairs.iter().enumerate() {
        let x = if fits { shift + ((i % across) as f64 + 0.5) * PITCH } else { 70.0 };
        let top = (i / across) as f64 * pitch_y;
        let centre = (x, top + 86.0);
        one(&mut canvas, picture, pair, centre);
        let (at, anchor, room) = if fits {
            ((x, top + 166.0), Anchor::Middle, PITCH - 2.0)
        } else {
            ((144.0, top + 80.0), Anchor::Start, WIDTH - 148.0)
        };
        words(&mut canvas, pair, at, anchor, room);
    }
    canvas.close()
}

fn words(canvas: &mut Canvas, pair: &PairPicture, at: (f64, f64), anchor: Anchor, room: f64) {
    let (read, expected) = if pair.odd {
        ("pic__word pic__word--strong pic__word--odd", "pic__word pic__word--odd")
    } else {
        ("pic__word", "pic__word pic__word--soft")
    };
    canvas.text(read, at, anchor, &fitted(&pair.read_words, PLAIN, room));
    canvas.text(expected, (at.0, at.1 + 22.0), anchor, &fitted(&pair.expected_words, PLAIN, room));
}

fn one(canvas: &mut Canvas, picture: &PairsPicture, pair: &PairPicture, centre: (f64, f64)) {
    canvas.circle("pic__ring", centre, RADIUS);
    let name = fitted(&pair.name, crate::label::LARGE, 40.0);
    canvas.text("pic__word pic__word--large", (centre.0 - RADIUS, centre.1 - 66.0), Anchor::Start, &name);
    let volts_end = polar(centre, RADIUS, 0.0);
    canvas.line("pic__ray pic__ray--thin", centre, volts_end);
    canvas.circle("pic__dot pic__dot--ink", volts_end, 5.0);
    let letter = fitted(&picture.volts, PLAIN, 30.0);
    canvas.text("pic__word pic__word--strong", (centre.0, volts_end.1 - 9.0), Anchor::Middle, &letter);
    let read = pair.read_behind_deg.filter(|d| d.is_finite()).map(turn);
    let expected = pair.expected_behind_deg.filter(|d| d.is_finite()).map(turn);
    let mood = if pair.odd { " pic--odd" } else { "" };
    if let Some(deg) = expected.filter(|_| pair.odd || read.is_none()) {
        let end = polar(centre, AMPS, deg);
        canvas.line(&format!("pic__ray pic__ray--expected{mood}"), centre, end);
        canvas.circle(&format!("pic__dot pic__dot--hollow{mood}"), end, 6.0);
    }
    let Some(deg) = read else {
        let ask = (centre.0, centre.1 + 40.0);
        canvas.text("pic__word pic__word--large", ask, Anchor::Middle, "?");
        return;
    };
    swing(canvas, centre, deg, mood);
    let end = polar(centre, AMPS, deg);
    canvas.line(&format!("pic__ray pic__ray--thick{mood}"), centre, end);
    canvas.circle(&format!("pic__dot pic__dot--ink{mood}"), end, 7.5);
    // The letter stands beside its ray, on the side away from the volts and from what is expected.
    let clear = |side: f64| apart(side, 0.0).min(expected.filter(|_| pair.odd).map_or(180.0, |e| apart(side, e)));
    let (right, left) = (deg + 27.0, deg - 27.0);
    let (x, y) = polar(centre, AMPS - 1.0, if clear(right) >= clear(left) { right } else { left });
    let letter = fitted(&picture.amps, PLAIN, 24.0);
    let class = if pair.odd { "pic__word pic__word--strong pic__word--odd" } else { "pic__word pic__word--strong" };
    canvas.text(class, (x, y + 6.0), Anchor::Middle, &letter);
}

/// The way from volts to amps, the shorter way round: behind is clockwise, ahead the other way.
fn swing(canvas: &mut Canvas, centre: (f64, f64), deg: f64, mood: &str) {
    let radius = 25.0;
    let (top, end) = (polar(centre, radius, 0.0), polar(centre, radius, deg));
    let class = format!("pic__swing{mood}");
    if apart(deg, 0.0) < 3.0 {
        return;
    }
    // Words say "204° behind", so the arc goes all that way; "12° ahead" comes as 348 and goes back.
    if deg <= 270.0 {
        canvas.arc(&class, top, end, radius, deg > 180.0)
    } else {
        canvas.arc(&class, end, top, radius, false)
    }
}
