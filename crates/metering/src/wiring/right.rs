//! What the meter would see if everything were put right: the readings to expect afterwards, from those of now.

use super::currents::LINES;
use super::seen::{Matrix, Seen, Shares};
use super::{Currents, Potentials};
use crate::phasor::Phasor;
use crate::service::Node;

/// A share or pivot below this is none; shares are of the order of 1.
const NONE: f64 = 1e-9;

impl Shares {
    /// What the meter would see of the same load if all were wired right. `None` where the wiring hides something that no
    /// reading tells: a dead circuit, a floating end, a voltage that right wiring would not show.
    ///
    /// The watts of `seen` ÷ those of the result is the registration as far as readings can tell it.
    pub fn put_right(&self, seen: &Seen) -> Option<Seen> {
        let mut volts = [Phasor::ZERO; 3];
        for (volts, element) in volts.iter_mut().zip(seen.elements()) {
            *volts = element.volts;
        }
        let potentials = Potentials::correct(self.service).shares(self.service);
        let currents = Currents::correct().shares(self.service);
        let elements = [0, 1, 2].map(|at| at < self.service.elements.len());
        let fitted = LINES.map(|line| self.service.cts.contains(&line));
        let volts = undone(&self.volts, &potentials, elements, volts)?;
        let amps = undone(&self.without_neutral(&self.amps), &self.without_neutral(&currents), fitted, seen.amps)?;
        Some(Seen::of(self.service, volts, amps))
    }

    /// Where there is no neutral, what flows in B flows back in A and C.
    fn without_neutral(&self, shares: &Matrix) -> Matrix {
        if self.service.common() == Node::N || self.service.wires != 3 {
            return *shares;
        }
        shares.map(|[a, b, c]| [a - b, 0.0, c - b])
    }
}

/// What `right` would show where `wrong` shows `read`, if one follows from the other.
fn undone(wrong: &Matrix, right: &Matrix, used: [bool; 3], read: [Phasor; 3]) -> Option<[Phasor; 3]> {
    // Each wrong row as a mixture of the right ones, by least squares; what is left over must be nothing.
    let square = product(right, right);
    let mut mixture = [[0.0; 3]; 3];
    for (mixed, row) in mixture.iter_mut().zip(wrong) {
        let onto = right.map(|one| Phasor::literal(dot(&one, row), 0.0));
        *mixed = solved(square, used, onto)?.map(Phasor::re);
        let back = [0, 1, 2].map(|at| (0..3).map(|row| mixed[row] * right[row][at]).sum::<f64>());
        if back.iter().zip(row).any(|(back, share)| (back - share).abs() > NONE) {
            return None;
        }
    }
    solved(mixture, used, read)
}

fn dot(one: &[f64; 3], other: &[f64; 3]) -> f64 {
    one.iter().zip(other).map(|(one, other)| one * other).sum()
}

/// Every row of one with every row of the other.
fn product(one: &Matrix, other: &Matrix) -> Matrix {
    one.map(|row| other.map(|far| dot(&row, &far)))
}

/// Solves three equations, by elimination with pivots; those that are not used say that their unknown is nothing.
fn solved(mut rows: Matrix, used: [bool; 3], mut wanted: [Phasor; 3]) -> Option<[Phasor; 3]> {
    for at in (0..3).filter(|at| !used[*at]) {
        rows[at] = [0.0; 3];
        rows[at][at] = 1.0;
        wanted[at] = Phasor::ZERO;
    }
    for column in 0..3 {
        let pivot = (column..3).max_by(|one, other| rows[*one][column].abs().total_cmp(&rows[*other][column].abs()))?;
        rows.swap(column, pivot);
        wanted.swap(column, pivot);
        if rows[column][column].abs() <= NONE {
            return None;
        }
        let top = rows[column];
        for row in (0..3).filter(|row| *row != column) {
            let factor = rows[row][column] / top[column];
            for (own, above) in rows[row].iter_mut().zip(top) {
                *own -= factor * above;
            }
            wanted[row] = wanted[row] - wanted[column] * factor;
        }
    }
    Some([wanted[0] / rows[0][0], wanted[1] / rows[1][1], wanted[2] / rows[2][2]])
}
