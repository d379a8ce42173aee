//! Where the poles stand: all in one line while their words fit, else volts above amps.
use super::parts::{Slot, blade, frame, plug, terminals};
use super::{Contact, CurrentPole, Next, Part, PotentialPole, SwitchKind, SwitchPicture};
use crate::label::{Anchor, PLAIN, SMALL, fitted, width, wrapped};
use crate::svg::Canvas;

const WIDTH: f64 = 350.0;
const EDGE: f64 = 4.0;
/// Where the line between volts and amps stands when both share one line.
const SPLIT: f64 = 141.0;
const SPLIT_GAP: f64 = 5.0;
/// From one line of a state to the next.
const LINE: f64 = 19.0;

/// One group of poles: its room and the size of its words.
struct Group<'a> {
    heading: &'a str,
    left: f64,
    right: f64,
    top: f64,
    slot_height: f64,
    word_size: f64,
}

impl Group<'_> {
    const SLOT_BELOW_TOP: f64 = 46.0;

    fn pitch(&self, count: usize) -> f64 {
        (self.right - self.left) / count.max(1) as f64
    }
    fn centre(&self, index: usize, count: usize) -> f64 {
        self.left + (index as f64 + 0.5) * self.pitch(count)
    }
    fn slot_top(&self) -> f64 {
        self.top + Self::SLOT_BELOW_TOP
    }
    fn under(&self) -> f64 {
        self.slot_top() + self.slot_height + 18.0
    }
    fn word_class(&self) -> &'static str {
        if self.word_size < PLAIN { "pic__word pic__word--small" } else { "pic__word" }
    }
    fn head(&self, canvas: &mut Canvas) {
        let text = fitted(self.heading, PLAIN, self.right - self.left);
        let at = ((self.left + self.right) / 2.0, self.top + 16.0);
        canvas.text("pic__word pic__word--strong", at, Anchor::Middle, &text);
    }
}

/// Draws the switch from the front.
pub fn switch_front(picture: &SwitchPicture) -> String {
    let one_line = fits_one_line(picture);
    let both = !picture.potentials.is_empty() && !picture.currents.is_empty();
    let top = 24.0;
    let volts = Group {
        heading: &picture.labels.volts,
        left: EDGE,
        right: if one_line && both { SPLIT - SPLIT_GAP } else { WIDTH - EDGE },
        top,
        slot_height: if one_line { 88.0 } else { 58.0 },
        word_size: if one_line { SMALL } else { PLAIN },
    };
    let volts_height = if one_line || picture.potentials.is_empty() { 0.0 } else { 138.0 };
    let amps = Group {
        heading: &picture.labels.amps,
        left: if one_line && both { SPLIT + SPLIT_GAP } else { EDGE },
        right: WIDTH - EDGE,
        top: top + volts_height,
        slot_height: 88.0,
        word_size: if one_line { SMALL } else { PLAIN },
    };
    // Without poles of amps the picture ends under the volts.
    let end = if picture.currents.is_empty() { volts.under() + 26.0 } else { amps_end(picture, &amps) };
    // On one line the words of all volts stand as low as those of a numbered blade.
    let end = if one_line { end.max(volts.under() + 26.0) } else { end };
    let height = end + 26.0;
    let mut canvas = Canvas::new("pic--switch", WIDTH, height, &picture.labels.title);
    end_mark(&mut canvas, &picture.labels.ct_end, 16.0);
    if one_line && both {
        canvas.line("pic__rule", (SPLIT, top + 2.0), (SPLIT, end));
    }
    draw_volts(&mut canvas, picture, &volts, one_line);
    draw_amps(&mut canvas, picture, &amps);
    end_mark(&mut canvas, &picture.labels.meter_end, height - 6.0);
    canvas.close()
}

/// Words beside each other need room between them.
fn fits_one_line(picture: &SwitchPicture) -> bool {
    let (volts, amps) = (picture.potentials.len(), picture.currents.len());
    if volts == 0 || amps == 0 {
        return false;
    }
    let volts_pitch = (SPLIT - SPLIT_GAP - EDGE) / volts as f64;
    let amps_pitch = (WIDTH - EDGE - SPLIT - SPLIT_GAP) / amps as f64;
    amps_pitch >= 60.0
        && picture.potentials.iter().all(|p| width(&p.state_words, SMALL) + 3.0 <= volts_pitch)
        && picture.currents.iter().all(|p| width(&p.state_words, SMALL) <= amps_pitch - 2.0)
        && width(&picture.labels.volts_words, SMALL) <= SPLIT - SPLIT_GAP - EDGE
}

/// A rule across, with the name of that end in it.
fn end_mark(canvas: &mut Canvas, words: &str, y: f64) {
    let text = fitted(words, PLAIN, WIDTH - 60.0);
    let half = width(&text, PLAIN) / 2.0 + 6.0;
    let middle = WIDTH / 2.0;
    canvas.line("pic__end", (EDGE, y - 5.0), (middle - half, y - 5.0));
    canvas.line("pic__end", (middle + half, y - 5.0), (WIDTH - EDGE, y - 5.0));
    canvas.text("pic__word", (middle, y), Anchor::Middle, &text);
}

fn draw_volts(canvas: &mut Canvas, picture: &SwitchPicture, group: &Group<'_>, one_line: bool) {
    let count = picture.potentials.len();
    if count == 0 {
        return;
    }
    group.head(canvas);
    for (i, pole) in picture.potentials.iter().enumerate() {
        draw_potential(canvas, pole, group, group.centre(i, count), group.pitch(count));
    }
    if one_line {
        let text = fitted(&picture.labels.volts_words, SMALL, group.right - group.left);
        let at = ((group.left + group.right) / 2.0, group.under() + 20.0);
        canvas.text("pic__word pic__word--small", at, Anchor::Middle, &text);
    }
}

fn draw_potential(canvas: &mut Canvas, pole: &PotentialPole, group: &Group<'_>, x: f64, pitch: f64) {
    let slot = Slot { x, top: group.slot_top(), width: 20.0, height: group.slot_height };
    let name = fitted(&pole.name, PLAIN, pitch - 2.0);
    canvas.text("pic__word pic__word--strong", (x, group.top + 38.0), Anchor::Middle, &name);
    blade(canvas, slot, pole.contact);
    if let Some(to) = pole.next {
        frame(canvas, slot, to);
    }
    let words = fitted(&pole.state_words, group.word_size, pitch);
    canvas.text(group.word_class(), (x, group.under()), Anchor::Middle, &words);
}

fn draw_amps(canvas: &mut Canvas, picture: &SwitchPicture, group: &Group<'_>) {
    let count = picture.currents.len();
    if count == 0 {
        return;
    }
    group.head(canvas);
    for (i, pole) in picture.currents.iter().enumerate() {
        let (x, pitch) = (group.centre(i, count), group.pitch(count));
        let name = fitted(&pole.name, PLAIN, pitch - 2.0);
        canvas.text("pic__word pic__word--strong", (x, group.top + 38.0), Anchor::Middle, &name);
        draw_current(canvas, picture, pole, group, x);
        let strong = pole.short != Contact::Apart || pole.path != Contact::Made;
        let class = format!("{}{}", group.word_class(), if strong { " pic__word--strong" } else { "" });
        for (line, words) in state_lines(pole, group, count).iter().enumerate() {
            let y = state_y(picture.kind, group) + line as f64 * LINE;
            canvas.text(&class, (x, y), Anchor::Middle, words);
        }
    }
}

/// Blades have a number under them, and the state under that.
fn state_y(kind: SwitchKind, group: &Group<'_>) -> f64 {
    let numbered = matches!(kind, SwitchKind::BladeShortsAsItOpens | SwitchKind::SeparateShortingBlade);
    group.under() + if numbered { 20.0 } else { 4.0 }
}

fn state_lines(pole: &CurrentPole, group: &Group<'_>, count: usize) -> Vec<String> {
    wrapped(&pole.state_words, group.word_size, group.pitch(count) - 2.0)
}

/// The lowest line of the states, and a little air.
fn amps_end(picture: &SwitchPicture, group: &Group<'_>) -> f64 {
    let count = picture.currents.len();
    let lines = picture.currents.iter().map(|p| state_lines(p, group, count).len()).max().unwrap_or(1);
    state_y(picture.kind, group) + lines as f64 * LINE - 14.0
}

/// Draws the metal of one current pole.
fn draw_current(canvas: &mut Canvas, picture: &SwitchPicture, pole: &CurrentPole, group: &Group<'_>, x: f64) {
    let (left, right) = (x - 16.0, x + 16.0);
    let slot = |x| Slot { x, top: group.slot_top(), width: 22.0, height: group.slot_height };
    let number = |canvas: &mut Canvas, x: f64, text: &str| {
        canvas.text("pic__word", (x, group.under()), Anchor::Middle, &fitted(text, PLAIN, 30.0));
    };
    match picture.kind {
        SwitchKind::BladeShortsAsItOpens => {
            blade(canvas, slot(left), pole.path);
            // The return stays up; with the other blade unknown nobody vouches for it either.
            let other = if pole.path == Contact::Unknown { Contact::Unknown } else { Contact::Made };
            blade(canvas, slot(right), other);
            parts_link(canvas, slot(left), slot(right), pole.short);
            number(canvas, left, "1");
            number(canvas, right, "2");
            if let Some(next) = pole.next {
                frame(canvas, slot(left), blade_direction(next));
            }
        }
        SwitchKind::SeparateShortingBlade => {
            blade(canvas, slot(left), pole.short);
            blade(canvas, slot(right), pole.path);
            parts_link(canvas, slot(left), slot(right), pole.short);
            number(canvas, left, &picture.labels.shorting_blade);
            number(canvas, right, "1");
            if let Some(next) = pole.next {
                frame(canvas, slot(if next.part == Part::Short { left } else { right }), next.to);
            }
        }
        SwitchKind::ScrewsOrLinks | SwitchKind::None => {
            terminals(canvas, slot(left), slot(right), pole, picture.kind == SwitchKind::None);
        }
        SwitchKind::PlugInBlock => plug(canvas, slot(x), pole),
    }
}

/// On this kind making the short is pulling blade 1 down.
fn blade_direction(next: Next) -> Contact {
    match (next.part, next.to) {
        (Part::Path, to) => to,
        (Part::Short, Contact::Made) => Contact::Apart,
        (Part::Short, Contact::Apart) => Contact::Made,
        (Part::Short, Contact::Unknown) => Contact::Unknown,
    }
}

/// The short between two blades, drawn only where it is known to be made.
fn parts_link(canvas: &mut Canvas, left: Slot, right: Slot, short: Contact) {
    if short == Contact::Made {
        let y = left.top + 10.0;
        canvas.line("pic__short", (left.x, y), (right.x, y));
        canvas.circle("pic__dot", (left.x, y), 6.0);
    }
}
