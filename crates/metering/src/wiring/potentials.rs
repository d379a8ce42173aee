//! The potential side of a wiring: what each VT spans and gives, whose leads land where, and the floating ends between coils.

use super::fault::Fault;
use super::seen::Matrix;
use crate::service::{Node, Service};

/// One VT as it is connected, or a direct potential lead.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Vt {
    /// Where its other end is.
    pub to: Node,
    /// Secondary voltage against what the ratio on record gives: negative where reversed, 0 where dead, else a factor.
    pub gain: f64,
}

/// The potential side. Arrays of lines and leads run A, B, C, N; places that the service does not have are not used.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Potentials {
    /// Each VT, by the line it belongs to.
    pub vts: [Vt; 3],
    /// Whose lead lands on each terminal.
    pub lands: [Node; 4],
    /// Which leads are open, by where they come from.
    pub open: [bool; 4],
    /// Conductance of each element's potential coil, in any one unit: it tells where a floating end settles.
    pub coils: [f64; 3],
}

/// Share of each line's voltage at one point.
type Row = [f64; 3];

impl Potentials {
    /// Everything where it belongs, coils alike.
    pub fn correct(service: &Service) -> Self {
        let vt = Vt { to: service.common(), gain: 1.0 };
        Self { vts: [vt; 3], lands: Node::ALL, open: [false; 4], coils: [1.0; 3] }
    }

    /// Makes one fault; one of the current side changes nothing here.
    pub fn apply(&mut self, service: &Service, fault: Fault) {
        match fault {
            Fault::VtReversed(vt) => self.scale(vt, -1.0),
            Fault::VtPartial { vt, factor } | Fault::VtRatio { vt, factor } => self.scale(vt, factor),
            Fault::VtLineToLine { vt, to } => {
                if let Some(vt) = self.vts.get_mut(vt.at()) {
                    vt.to = to;
                }
            }
            Fault::VtSwapped(one, other) => self.relay(|lead| match lead {
                lead if lead == one => other,
                lead if lead == other => one,
                lead => lead,
            }),
            Fault::VtRolled(roll) => self.relay(|lead| roll.source(lead)),
            Fault::VtOpen { lead, share } => {
                self.open(lead);
                // In series the voltages go by resistance: the first coil's share is the second's conductance.
                if let Some(first) = share {
                    self.coils = [1.0 - first, first, 1.0];
                }
            }
            Fault::VtNeutralOpen { coils } => {
                self.open(service.common());
                self.coils = coils;
            }
            _ => {}
        }
    }

    /// Share of each line's voltage to neutral (columns) at each element's potential coil (rows).
    pub fn shares(&self, service: &Service) -> Matrix {
        let terminals = self.terminals(service);
        let mut rows = [[0.0; 3]; 3];
        for (row, element) in rows.iter_mut().zip(service.elements) {
            *row = minus(at(&terminals, element.volts.from), at(&terminals, element.volts.to));
        }
        rows
    }

    /// Potential of every terminal against the common lead: that of its lead, or where the coils let it settle.
    fn terminals(&self, service: &Service) -> [Row; 4] {
        let mut network = Network { own: [[0.0; 3]; 4], ties: [[0.0; 4]; 4], floats: [false; 4] };
        for ((own, floats), lead) in network.own.iter_mut().zip(&mut network.floats).zip(self.lands) {
            *floats = self.open.get(lead.at()).copied().unwrap_or(false);
            *own = self.lead(service, lead);
        }
        for (element, conductance) in service.elements.iter().zip(self.coils) {
            network.tie(element.volts.from.at(), element.volts.to.at(), conductance);
        }
        network.settle()
    }

    /// Potential of a lead against the common lead.
    fn lead(&self, service: &Service, lead: Node) -> Row {
        match self.vts.get(lead.at()) {
            Some(vt) if lead != service.common() => minus(line(lead), line(vt.to)).map(|share| share * vt.gain),
            _ => [0.0; 3],
        }
    }

    fn scale(&mut self, vt: Node, factor: f64) {
        if let Some(vt) = self.vts.get_mut(vt.at()) {
            vt.gain *= factor;
        }
    }

    fn open(&mut self, lead: Node) {
        if let Some(open) = self.open.get_mut(lead.at()) {
            *open = true;
        }
    }

    fn relay(&mut self, other: impl Fn(Node) -> Node) {
        self.lands = self.lands.map(other);
    }
}

/// The voltage of a line, as shares of all; the neutral's is nothing.
fn line(node: Node) -> Row {
    let mut row = [0.0; 3];
    if let Some(share) = row.get_mut(node.at()) {
        *share = 1.0;
    }
    row
}

fn at(rows: &[Row; 4], node: Node) -> Row {
    rows.get(node.at()).copied().unwrap_or_default()
}

fn minus(one: Row, other: Row) -> Row {
    [one[0] - other[0], one[1] - other[1], one[2] - other[2]]
}

/// Four terminals, the coils between them, and which of them no lead holds.
struct Network {
    /// Potential of each: given where a lead holds it, found where it floats.
    own: [Row; 4],
    /// Conductance between each two.
    ties: [[f64; 4]; 4],
    floats: [bool; 4],
}

/// A floating terminal tied by less than this share of a coil is tied to nothing that holds it.
const LOOSE: f64 = 1e-9;

impl Network {
    fn tie(&mut self, one: usize, other: usize, conductance: f64) {
        self.ties[one][other] += conductance;
        self.ties[other][one] += conductance;
    }

    /// Takes floating terminals out one by one (star to mesh, exact), then puts them back in the opposite order.
    fn settle(mut self) -> [Row; 4] {
        let loose = LOOSE * self.ties.iter().flatten().copied().fold(0.0, f64::max);
        for out in 0..4 {
            if self.floats[out] {
                self.take_out(out, loose);
            }
        }
        for back in (0..4).rev() {
            if self.floats[back] {
                self.put_back(back, loose);
            }
        }
        self.own
    }

    /// Spreads a terminal's ties over the others that are still there. Its own row stays, for putting it back.
    fn take_out(&mut self, out: usize, loose: f64) {
        let ties = self.ties[out];
        let sum: f64 = ties.iter().sum();
        for one in 0..4 {
            let gone = self.floats[one] && one < out;
            if gone || one == out {
                continue;
            }
            self.ties[one][out] = 0.0;
            for other in 0..4 {
                if sum > loose && other != one {
                    self.ties[one][other] += ties[one] * ties[other] / sum;
                }
            }
        }
    }

    /// A terminal settles at the mean of what it is tied to; one tied to nothing shows nothing.
    fn put_back(&mut self, back: usize, loose: f64) {
        let ties = self.ties[back];
        let sum: f64 = ties.iter().sum();
        let mut mean = [0.0; 3];
        for (tie, own) in ties.into_iter().zip(self.own).filter(|_| sum > loose) {
            for (share, potential) in mean.iter_mut().zip(own) {
                *share += tie / sum * potential;
            }
        }
        self.own[back] = mean;
    }
}
