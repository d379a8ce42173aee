//! All volts and amps on one circle, with labels that keep out of each other's way.
use crate::label::{Anchor, PLAIN, apart, fitted, polar, turn, width};
use crate::svg::Canvas;
use crate::table::Table;

/// What a ray stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RayKind {
    /// A potential as read: thin, its dot on the outer ring.
    Volts,
    /// A current as read: thick.
    Amps,
    /// A current as expected: outlined.
    ExpectedAmps,
}

/// One ray of the circle.
#[derive(Clone, Debug, PartialEq)]
pub struct Ray {
    /// Short: "VA", "IC".
    pub label: String,
    /// What it stands for.
    pub kind: RayKind,
    /// 0, 1, 2 for A, B, C: each phase has a line pattern of its own.
    pub phase: usize,
    /// Degrees behind the upright.
    pub behind_deg: f64,
    /// Length as a part of the longest of its kind, 0 to 1.
    pub length: f64,
    /// The same in words, for the table: "2.86 A, 22° behind VA".
    pub words: String,
}

/// The facts and words of the whole circle.
#[derive(Clone, Debug, PartialEq)]
pub struct CirclePicture {
    /// What the circle says, in words.
    pub title: String,
    /// Any number; up to 12 are told apart with ease.
    pub rays: Vec<Ray>,
}

impl CirclePicture {
    /// The same facts in rows: label, words.
    pub fn table(&self) -> Table {
        Table { rows: self.rays.iter().map(|r| vec![r.label.clone(), r.words.clone()]).collect() }
    }
}

const SIZE: f64 = 350.0;
const CENTRE: (f64, f64) = (SIZE / 2.0, SIZE / 2.0);
const RING: f64 = 122.0;
const LABELS: f64 = 150.0;
const AMPS: f64 = 92.0;
/// The widest label: what is longer is cut, the table has it whole.
const ROOM: f64 = 44.0;

/// Draws the circle.
pub fn whole_circle(picture: &CirclePicture) -> String {
    let mut canvas = Canvas::new("pic--circle", SIZE, SIZE, &picture.title);
    canvas.circle("pic__ring", CENTRE, RING);
    for deg in [0.0, 90.0, 180.0, 270.0] {
        canvas.line("pic__ring", polar(CENTRE, RING - 6.0, deg), polar(CENTRE, RING, deg));
    }
    let places = spread(&picture.rays);
    // Thin rays last, so that a thick one does not hide them.
    let is_thin = |i: usize| picture.rays.get(i).is_some_and(|ray| ray.kind == RayKind::Volts);
    let order = sorted(picture.rays.len(), &|one, other| is_thin(one).cmp(&is_thin(other)));
    for (ray, place) in order.iter().filter_map(|i| Some((picture.rays.get(*i)?, *places.get(*i)?))) {
        draw(&mut canvas, ray, place);
    }
    canvas.close()
}

fn draw(canvas: &mut Canvas, ray: &Ray, label_deg: f64) {
    let pattern = match ray.phase % 3 {
        0 => "pic__ray--a",
        1 => "pic__ray--b",
        _ => "pic__ray--c",
    };
    let length = if ray.length.is_finite() { ray.length.clamp(0.0, 1.0) } else { 0.0 };
    let (reach, weight, dot, size) = match ray.kind {
        RayKind::Volts => (RING, "pic__ray--thin", "pic__dot pic__dot--ink", 5.0),
        RayKind::Amps => (AMPS, "pic__ray--thick", "pic__dot pic__dot--ink", 7.5),
        RayKind::ExpectedAmps => (AMPS, "pic__ray--expected", "pic__dot pic__dot--hollow", 6.5),
    };
    let deg = turn(ray.behind_deg);
    let end = polar(CENTRE, reach * length, deg);
    canvas.line(&format!("pic__ray {weight} {pattern}"), CENTRE, end);
    let (x, y) = polar(CENTRE, LABELS, label_deg);
    let start = polar(CENTRE, LABELS - 16.0, label_deg);
    // A leader ties a label to its end where they do not touch.
    if apart(deg, label_deg) > 4.0 || reach * length < RING - 1.0 {
        canvas.line("pic__leader", polar(CENTRE, reach * length + size, deg), start);
    }
    canvas.circle(dot, end, size);
    let class =
        if ray.kind == RayKind::ExpectedAmps { "pic__word pic__word--soft" } else { "pic__word pic__word--strong" };
    canvas.text(class, (x, y + 6.0), Anchor::Middle, &fitted(&ray.label, PLAIN, ROOM));
}

/// Where the labels stand: as near to their rays as the widest label allows, in the order of the rays.
fn spread(rays: &[Ray]) -> Vec<f64> {
    let count = rays.len();
    if count == 0 {
        return Vec::new();
    }
    let widest = rays.iter().map(|r| width(&fitted(&r.label, PLAIN, ROOM), PLAIN)).fold(18.0, f64::max);
    let chord = (widest + 4.0) / (2.0 * LABELS);
    let gap = (2.0 * libm::asin(chord.min(1.0)).to_degrees()).min(360.0 / count as f64);
    let deg_of = |i: usize| rays.get(i).map_or(0.0, |r| turn(r.behind_deg));
    let order = sorted(count, &|one, other| deg_of(one).total_cmp(&deg_of(other)));
    let mut at: Vec<f64> = order.iter().map(|i| deg_of(*i)).collect();
    push_apart(&mut at, gap);
    let mut places = vec![0.0; count];
    for (i, deg) in order.into_iter().zip(at) {
        if let Some(place) = places.get_mut(i) {
            *place = deg;
        }
    }
    places
}

/// Neighbours too close share the shift; after some rounds of that, one pass makes the gaps good for certain.
fn push_apart(at: &mut [f64], gap: f64) {
    let count = at.len();
    for _ in 0..60 {
        for i in 0..count {
            let next = (i + 1) % count;
            let wrap = if next == 0 { 360.0 } else { 0.0 };
            let (Some(a), Some(b)) = (at.get(i).copied(), at.get(next).copied()) else { continue };
            let short = gap - (b + wrap - a);
            if count > 1 && short > 0.0 {
                if let Some(v) = at.get_mut(i) {
                    *v = a - short / 2.0;
                }
                if let Some(v) = at.get_mut(next) {
                    *v = b + short / 2.0;
                }
            }
        }
    }
    let closes = at.first().zip(at.last()).is_none_or(|(first, last)| first + 360.0 - last >= gap - 0.5);
    let open = at.windows(2).all(|w| matches!(w, [a, b] if b - a >= gap - 0.5));
    if !(closes && open) {
        let first = at.first().copied().unwrap_or(0.0);
        for (i, v) in at.iter_mut().enumerate() {
            *v = first + i as f64 * 360.0 / count as f64;
        }
    }
}

/// The places of a list in the order that a comparison of two places gives; equal ones stay in theirs.
fn sorted(count: usize, compare: &dyn Fn(usize, usize) -> std::cmp::Ordering) -> Vec<usize> {
    let mut order: Vec<usize> = (0..count).collect();
    order.sort_by(|one, other| compare(*one, *other));
    order
}
