//! An exact solver for small networks at one frequency: nodal equations, solved by elimination with pivots.

use crate::phasor::Phasor;

/// Most points a network may have, the reference included.
pub const MOST: usize = 20;

/// Conductance from every point to the reference, in siemens: insulation, so that a loose end has a potential at all.
const INSULATION_S: f64 = 1e-12;

/// A point of the network.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Point(usize);

/// The reference point, of potential 0.
pub const REFERENCE: Point = Point(0);

/// Points, admittances between them and currents fed into them.
#[derive(Clone, Debug)]
pub struct Network {
    points: usize,
    admittance: [[Phasor; MOST]; MOST],
    fed: [Phasor; MOST],
}

/// Potentials of a solved network.
#[derive(Clone, Copy, Debug)]
pub struct Potentials([Phasor; MOST]);

impl Potentials {
    /// Potential of a point against the reference, in volts.
    pub fn at(&self, point: Point) -> Phasor {
        self.0.get(point.0).copied().unwrap_or(Phasor::ZERO)
    }

    /// Voltage from one point to another, in volts.
    pub fn across(&self, from: Point, to: Point) -> Phasor {
        self.at(from) - self.at(to)
    }
}

impl Default for Network {
    fn default() -> Self {
        Self { points: 1, admittance: [[Phasor::ZERO; MOST]; MOST], fed: [Phasor::ZERO; MOST] }
    }
}

impl Network {
    /// One more point. Past [`MOST`] the last one is given again, which no network of this crate comes near.
    pub fn point(&mut self) -> Point {
        let point = Point(self.points.min(MOST - 1));
        self.points = (self.points + 1).min(MOST);
        point
    }

    /// Ties two points by an impedance in ohms; one of 0 is taken as a micro-ohm.
    pub fn tie(&mut self, one: Point, other: Point, ohms: Phasor) {
        self.admit(one, other, Phasor::literal(1.0, 0.0) / at_least_a_joint(ohms));
    }

    /// Feeds a current in amperes into a point, out of the reference.
    pub fn feed(&mut self, into: Point, amps: Phasor) {
        if let Some(fed) = self.fed.get_mut(into.0) {
            *fed = *fed + amps;
        }
    }

    /// A voltage behind an impedance, from the reference to a point.
    pub fn source(&mut self, to: Point, volts: Phasor, ohms: Phasor) {
        self.tie(REFERENCE, to, ohms);
        self.feed(to, volts / at_least_a_joint(ohms));
    }

    /// Solves the nodal equations; `None` where they have no one solution.
    pub fn solve(mut self) -> Option<Potentials> {
        let size = self.points;
        for own in 1..size {
            self.admittance[own][own] = self.admittance[own][own] + Phasor::literal(INSULATION_S, 0.0);
        }
        for column in 1..size {
            self.eliminate(column, size)?;
        }
        let mut volts = [Phasor::ZERO; MOST];
        for row in (1..size).rev() {
            let known = (row + 1..size).fold(Phasor::ZERO, |sum, at| sum + self.admittance[row][at] * volts[at]);
            volts[row] = (self.fed[row] - known) / self.admittance[row][row];
        }
        Some(Potentials(volts))
    }

    fn admit(&mut self, one: Point, other: Point, siemens: Phasor) {
        for (own, far) in [(one.0, other.0), (other.0, one.0)] {
            self.admittance[own][own] = self.admittance[own][own] + siemens;
            self.admittance[own][far] = self.admittance[own][far] - siemens;
        }
    }

    /// Takes one column out of all rows below, by its largest pivot.
    fn eliminate(&mut self, column: usize, size: usize) -> Option<()> {
        let larger = |one: &usize, other: &usize| {
            self.admittance[*one][column].magnitude().total_cmp(&self.admittance[*other][column].magnitude())
        };
        let pivot = (column..size).max_by(larger)?;
        self.admittance.swap(column, pivot);
        self.fed.swap(column, pivot);
        let (top, fed) = (self.admittance[column], self.fed[column]);
        if top[column].magnitude() <= 0.0 {
            return None;
        }
        for row in column + 1..size {
            let factor = self.admittance[row][column] / top[column];
            for at in column..size {
                self.admittance[row][at] = self.admittance[row][at] - factor * top[at];
            }
            self.fed[row] = self.fed[row] - factor * fed;
        }
        Some(())
    }
}

/// No tie has less than a screwed joint.
fn at_least_a_joint(ohms: Phasor) -> Phasor {
    const JOINT_OHM: f64 = 1e-6;
    if ohms.magnitude() < JOINT_OHM { Phasor::literal(JOINT_OHM, 0.0) } else { ohms }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn ohms(re: f64, im: f64) -> Phasor {
        Phasor::literal(re, im)
    }

    #[test]
    fn a_divider_divides() {
        let mut network = Network::default();
        let (top, middle) = (network.point(), network.point());
        network.source(top, ohms(120.0, 0.0), ohms(1e-3, 0.0));
        network.tie(top, middle, ohms(2000.0, 0.0));
        network.tie(middle, REFERENCE, ohms(1000.0, 0.0));
        let volts = network.solve().unwrap();
        assert!((volts.at(middle) - ohms(40.0, 0.0)).magnitude() < 1e-4);
    }

    /// Series resonance of 3 Ω, +4 Ω and −4 Ω leaves the resistance alone.
    #[test]
    fn reactances_cancel() {
        let mut network = Network::default();
        let (first, second) = (network.point(), network.point());
        network.feed(first, ohms(2.0, 0.0));
        network.tie(first, second, ohms(0.0, 4.0));
        network.tie(second, REFERENCE, ohms(3.0, -4.0));
        let volts = network.solve().unwrap();
        assert!((volts.at(first) - ohms(6.0, 0.0)).magnitude() < 1e-9);
    }

    proptest! {
        /// What flows into a point flows out of it, whatever the network.
        #[test]
        fn currents_balance(ties in prop::collection::vec((0_usize..6, 0_usize..6, 0.1..100.0, -50.0..50.0), 1..20), feed in -5.0..5.0) {
            let mut network = Network::default();
            let points: Vec<Point> = std::iter::once(REFERENCE).chain((0..5).map(|_| network.point())).collect();
            network.tie(points[1], REFERENCE, ohms(1.0, 0.0));
            network.feed(points[2], ohms(feed, 1.0));
            let real: Vec<_> = ties.into_iter().filter(|(one, other, ..)| one != other).collect();
            for (one, other, re, im) in &real {
                network.tie(points[*one], points[*other], ohms(*re, *im));
            }
            let volts = network.solve().unwrap();
            for at in 2..6 {
                let mut sum = if at == 2 { ohms(-feed, -1.0) } else { Phasor::ZERO };
                for (one, other, re, im) in &real {
                    let flow = volts.across(points[*one], points[*other]) / ohms(*re, *im);
                    if *one == at { sum = sum + flow }
                    if *other == at { sum = sum - flow }
                }
                let leak = volts.at(points[at]) * INSULATION_S;
                prop_assert!((sum + leak).magnitude() < 1e-6 * (1.0 + volts.at(points[at]).magnitude()), "{at}: {sum:?}");
            }
        }
    }
}
