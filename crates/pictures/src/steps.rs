//! Steps or entries as a line of dots.
use crate::svg::Canvas;

/// What a dot stands for. Shape tells them apart, not colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dot {
    /// Done or saved: filled.
    Done,
    /// Where one is: large.
    At,
    /// Left with a reason: a hollow diamond.
    Left,
    /// Corrected: hollow, struck through.
    Struck,
    /// To come: hollow.
    ToCome,
}

/// The facts and words of a line of dots.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StepsPicture {
    /// What the line says, in words: "Step 5 of 13".
    pub title: String,
    /// In order.
    pub dots: Vec<Dot>,
}

const PER_LINE: usize = 18;
const PITCH: f64 = 19.0;
const LINE: f64 = 26.0;

/// Draws the line; a long one goes on below.
pub fn steps_line(picture: &StepsPicture) -> String {
    let lines = picture.dots.len().div_ceil(PER_LINE).max(1);
    let mut canvas = Canvas::new("pic--steps", 350.0, lines as f64 * LINE, &picture.title);
    for (i, dot) in picture.dots.iter().enumerate() {
        let at = (13.0 + (i % PER_LINE) as f64 * PITCH, LINE / 2.0 + (i / PER_LINE) as f64 * LINE);
        draw(&mut canvas, *dot, at);
    }
    canvas.close()
}

fn draw(canvas: &mut Canvas, dot: Dot, (x, y): (f64, f64)) {
    match dot {
        Dot::Done => canvas.circle("pic__dot", (x, y), 5.0),
        Dot::At => canvas.circle("pic__dot", (x, y), 8.5),
        Dot::ToCome => canvas.circle("pic__dot pic__dot--hollow", (x, y), 4.0),
        Dot::Left => {
            let d = 6.0;
            canvas.path("pic__dot pic__dot--hollow", &[(x, y - d), (x + d, y), (x, y + d), (x - d, y), (x, y - d)]);
        }
        Dot::Struck => {
            canvas.circle("pic__dot pic__dot--hollow", (x, y), 4.0);
            canvas.line("pic__strike", (x - 7.0, y + 6.0), (x + 7.0, y - 6.0));
        }
    }
}
