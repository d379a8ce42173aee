//! The metal of a pole: blades, straps between screws, the plug; and the frame with its arrow round the next act.
use super::{Contact, CurrentPole, Part};
use crate::label::Anchor;
use crate::svg::Canvas;

/// The room of one blade or link: middle, upper edge, size.
#[derive(Clone, Copy, Debug)]
pub(super) struct Slot {
    pub(super) x: f64,
    pub(super) top: f64,
    pub(super) width: f64,
    pub(super) height: f64,
}

impl Slot {
    fn left(self) -> f64 {
        self.x - self.width / 2.0
    }
    fn bottom(self) -> f64 {
        self.top + self.height
    }
    fn middle(self) -> f64 {
        self.top + self.height / 2.0
    }
}

/// A blade up fills its slot; down it lies hollow at its hinge; unknown is a question mark in a dashed slot.
pub(super) fn blade(canvas: &mut Canvas, slot: Slot, contact: Contact) {
    let edge = if contact == Contact::Unknown { "pic__slot pic__slot--unknown" } else { "pic__slot" };
    canvas.rect(edge, (slot.left(), slot.top), (slot.width, slot.height), 5.0);
    match contact {
        Contact::Made => {
            let (at, size) = ((slot.left() + 4.0, slot.top + 4.0), (slot.width - 8.0, slot.height - 8.0));
            canvas.rect("pic__metal", at, size, 4.0);
        }
        Contact::Apart => {
            let tall = slot.height * 0.3;
            let (at, size) = ((slot.left() + 4.0, slot.bottom() - tall - 4.0), (slot.width - 8.0, tall));
            canvas.rect("pic__metal pic__metal--apart", at, size, 4.0);
        }
        Contact::Unknown => ask(canvas, (slot.x, slot.middle())),
    }
}

fn ask(canvas: &mut Canvas, (x, y): (f64, f64)) {
    canvas.text("pic__word pic__word--large", (x, y + 7.0), Anchor::Middle, "?");
}

/// The frame round what is moved next, and the arrow of the move: up makes, down parts.
pub(super) fn frame(canvas: &mut Canvas, slot: Slot, to: Contact) {
    let size = (slot.width + 8.0, slot.height + 8.0);
    canvas.rect("pic__next", (slot.left() - 4.0, slot.top - 4.0), size, 9.0);
    let (near, far) = (slot.middle() - slot.height * 0.28, slot.middle() + slot.height * 0.28);
    match to {
        Contact::Apart => arrow(canvas, (slot.x, near), (slot.x, far)),
        Contact::Made => arrow(canvas, (slot.x, far), (slot.x, near)),
        Contact::Unknown => {}
    }
}

/// An arrow with an edge of paper round it, so that it shows on metal and beside it.
fn arrow(canvas: &mut Canvas, from: (f64, f64), to: (f64, f64)) {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let long = (dx * dx + dy * dy).sqrt().max(1.0);
    let (ux, uy) = (dx / long, dy / long);
    let wing = |side: f64| (to.0 - 9.0 * ux + side * 8.0 * uy, to.1 - 9.0 * uy - side * 8.0 * ux);
    let points = [from, to, wing(1.0), to, wing(-1.0)];
    canvas.path("pic__arrow pic__arrow--edge", &points);
    canvas.path("pic__arrow", &points);
}

/// Two terminals above, two below; a link (or a plain wire) in each way, and a strap across the upper two for the short.
pub(super) fn terminals(canvas: &mut Canvas, left: Slot, right: Slot, pole: &CurrentPole, wire: bool) {
    let screw = 5.5;
    let (upper, lower) = (left.top + 8.0, left.bottom() - 8.0);
    let class = if wire { "pic__wire" } else { "pic__bar" };
    canvas.line(class, (right.x, upper), (right.x, lower));
    match pole.path {
        Contact::Made => canvas.line(class, (left.x, upper), (left.x, lower)),
        Contact::Apart => {
            // Parted: the lower half hangs aside, a gap stands open.
            canvas.line(class, (left.x, lower), (left.x - 9.0, left.middle() + 6.0));
            canvas.line("pic__gap", (left.x, upper + 12.0), (left.x, left.middle()));
        }
        Contact::Unknown => {
            canvas.line("pic__gap", (left.x, upper), (left.x, lower));
            ask(canvas, (left.x - 12.0, left.middle()));
        }
    }
    match pole.short {
        Contact::Made => canvas.line("pic__short", (left.x, upper), (right.x, upper)),
        Contact::Apart => {
            // The strap hangs from its own screw, off the other.
            canvas.line("pic__gap", (left.x + 8.0, upper), (right.x - 8.0, upper));
            canvas.line("pic__strap", (right.x, upper), (right.x + 11.0, upper + 25.0));
        }
        Contact::Unknown => {
            canvas.line("pic__gap", (left.x, upper), (right.x, upper));
            ask(canvas, (f64::midpoint(left.x, right.x), upper + 14.0));
        }
    }
    for at in [(left.x, upper), (right.x, upper), (left.x, lower), (right.x, lower)] {
        canvas.circle("pic__screw", at, screw);
        canvas.line("pic__screw", (at.0 - 3.0, at.1 + 3.0), (at.0 + 3.0, at.1 - 3.0));
    }
    let Some(next) = pole.next else { return };
    if next.part == Part::Path {
        frame(canvas, left, next.to);
        return;
    }
    let middle = f64::midpoint(left.x, right.x);
    let strap = Slot { x: middle, top: left.top - 1.0, width: right.x - left.x + 16.0, height: 18.0 };
    canvas.rect("pic__next", (strap.left() - 3.0, strap.top - 3.0), (strap.width + 6.0, strap.height + 6.0), 9.0);
    let (close, away) = (strap.bottom() + 8.0, strap.bottom() + 38.0);
    match next.to {
        Contact::Made => arrow(canvas, (middle, away), (middle, close)),
        Contact::Apart => arrow(canvas, (middle, close), (middle, away)),
        Contact::Unknown => {}
    }
}

/// Spring jaws: closed they touch; the plug stands between them, with its jumper where the short is made.
pub(super) fn plug(canvas: &mut Canvas, slot: Slot, pole: &CurrentPole) {
    let wide = Slot { width: 46.0, ..slot };
    let edge = if pole.path == Contact::Unknown { "pic__slot pic__slot--unknown" } else { "pic__slot" };
    canvas.rect(edge, (wide.left(), wide.top), (wide.width, wide.height), 6.0);
    let (mid, gap) = (wide.middle(), 13.0);
    let jaw = |canvas: &mut Canvas, from: f64, to: f64| {
        canvas.rect("pic__metal", (slot.x - 6.0, from), (12.0, to - from), 3.0);
    };
    match pole.path {
        Contact::Made => jaw(canvas, wide.top + 4.0, wide.bottom() - 4.0),
        Contact::Apart => {
            jaw(canvas, wide.top + 4.0, mid - gap);
            jaw(canvas, mid + gap, wide.bottom() - 4.0);
            canvas.rect("pic__metal pic__metal--apart", (wide.left() - 5.0, mid - 9.0), (wide.width + 10.0, 18.0), 4.0);
        }
        Contact::Unknown => ask(canvas, (slot.x, mid)),
    }
    let y = wide.top + 14.0;
    match pole.short {
        Contact::Made => {
            canvas.line("pic__short", (wide.left() + 4.0, y), (wide.left() + wide.width - 4.0, y));
            canvas.circle("pic__dot", (wide.left() + 5.0, y), 6.0);
        }
        Contact::Unknown if pole.path != Contact::Unknown => ask(canvas, (wide.left() + 9.0, y)),
        Contact::Unknown | Contact::Apart => {}
    }
    let Some(next) = pole.next else { return };
    canvas.rect("pic__next", (wide.left() - 4.0, wide.top - 4.0), (wide.width + 8.0, wide.height + 8.0), 9.0);
    // The plug goes in to part the jaws and to make the short; it comes out for the other two.
    let inward = matches!((next.part, next.to), (Part::Path, Contact::Apart) | (Part::Short, Contact::Made));
    let (out, inside) = ((wide.left() - 2.0, mid), (slot.x + 4.0, mid));
    if inward { arrow(canvas, out, inside) } else { arrow(canvas, inside, out) }
}
