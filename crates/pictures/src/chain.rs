//! The billing multiplier as a chain of factors.
use crate::label::{Anchor, LARGE, PLAIN, fitted, width};
use crate::svg::Canvas;
use crate::table::Table;

/// One factor of the chain, in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Factor {
    /// "CT ratio 200:5".
    pub name: String,
    /// "40".
    pub value: String,
}

/// The facts and words of a multiplier chain.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChainPicture {
    /// What the chain says, in words.
    pub title: String,
    /// In the order they are multiplied.
    pub factors: Vec<Factor>,
    /// What comes out.
    pub result: Factor,
}

impl ChainPicture {
    /// The same facts in rows: name, value.
    pub fn table(&self) -> Table {
        let rows = self.factors.iter().chain([&self.result]);
        Table { rows: rows.map(|f| vec![f.name.clone(), f.value.clone()]).collect() }
    }
}

const WIDTH: f64 = 350.0;
const NAME_X: f64 = 34.0;

/// One dot a factor, joined by a line, the product under a rule.
pub fn multiplier_chain(picture: &ChainPicture) -> String {
    let tall: Vec<bool> = picture.factors.iter().chain([&picture.result]).map(needs_two_lines).collect();
    let height: f64 = tall.iter().map(|t| if *t { 54.0 } else { 32.0 }).sum::<f64>() + 16.0;
    let mut canvas = Canvas::new("pic--chain", WIDTH, height, &picture.title);
    let mut y = 24.0;
    let mut before: Option<f64> = None;
    for (i, factor) in picture.factors.iter().enumerate() {
        if let Some(above) = before {
            canvas.line("pic__slot", (14.0, above), (14.0, y - 5.0));
        }
        before = Some(y - 5.0);
        canvas.circle("pic__dot", (14.0, y - 5.0), 6.0);
        let sign = if i == 0 { "" } else { "× " };
        y = row(&mut canvas, factor, sign, "pic__word pic__word--strong", y);
    }
    canvas.line("pic__rule--strong", (NAME_X, y - 20.0), (WIDTH - 6.0, y - 20.0));
    row(&mut canvas, &picture.result, "= ", "pic__word pic__word--large", y + 4.0);
    canvas.close()
}

fn needs_two_lines(factor: &Factor) -> bool {
    NAME_X + width(&factor.name, PLAIN) + width(&factor.value, LARGE) + 30.0 > WIDTH - 6.0
}

/// Draws one line (or two) and says where the next begins.
fn row(canvas: &mut Canvas, factor: &Factor, sign: &str, class: &str, y: f64) -> f64 {
    let two = needs_two_lines(factor);
    let room = WIDTH - 6.0 - NAME_X;
    canvas.text("pic__word", (NAME_X, y), Anchor::Start, &fitted(&factor.name, PLAIN, room));
    let value = fitted(&format!("{sign}{}", factor.value), LARGE, room);
    let value_y = if two { y + 22.0 } else { y };
    canvas.text(class, (WIDTH - 6.0, value_y), Anchor::End, &value);
    value_y + 32.0
}
