//! The current side of a wiring: what each CT surrounds and gives, and whose leads land on which terminal.

use super::fault::Fault;
use super::seen::Matrix;
use crate::service::{Node, Service};

/// One CT as it is fitted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ct {
    /// The line it surrounds.
    pub line: Node,
    /// Secondary current against what the ratio on record gives: negative where reversed, 0 where dead, between where
    /// partly shunted, else the ratio's factor.
    pub gain: f64,
}

/// The current side. Arrays run A, B, C; places that the service does not have are not used.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Currents {
    /// Each CT, by the line it belongs to.
    pub cts: [Ct; 3],
    /// Whose leads land on each terminal.
    pub lands: [Node; 3],
    /// Where a CT is shorted behind a common return: which share of the others' sum its element carries, backwards.
    pub common: Option<(Node, f64)>,
    /// Whether the common return is open.
    pub return_open: bool,
}

/// The three lines in their order.
pub(super) const LINES: [Node; 3] = [Node::A, Node::B, Node::C];

impl Currents {
    /// Everything where it belongs.
    pub const fn correct() -> Self {
        Self {
            cts: [Ct { line: Node::A, gain: 1.0 }, Ct { line: Node::B, gain: 1.0 }, Ct { line: Node::C, gain: 1.0 }],
            lands: LINES,
            common: None,
            return_open: false,
        }
    }

    /// Makes one fault; one of the potential side changes nothing here.
    pub fn apply(&mut self, fault: Fault) {
        match fault {
            Fault::CtReversed(ct) => self.scale(ct, -1.0),
            Fault::CtAllReversed => LINES.into_iter().for_each(|ct| self.scale(ct, -1.0)),
            Fault::CtSwapped(one, other) => self.relay(|ct| match ct {
                ct if ct == one => other,
                ct if ct == other => one,
                ct => ct,
            }),
            Fault::CtRolled(roll) => self.relay(|ct| roll.source(ct)),
            Fault::CtShorted { ct, .. } | Fault::CtOpen(ct) => self.scale(ct, 0.0),
            Fault::CtPartial { ct, factor } | Fault::CtRatio { ct, factor } => self.scale(ct, factor),
            Fault::CtSecondTurn(ct) => self.scale(ct, 2.0),
            Fault::CtWrongLine { ct, line } => self.ct(ct, |ct| ct.line = line),
            Fault::CtShortCommon { ct, rho } => self.common = Some((ct, rho)),
            Fault::CtReturnOpen => self.return_open = true,
            _ => {}
        }
    }

    /// Share of each line's current (columns) at each terminal (rows).
    pub fn shares(&self, service: &Service) -> Matrix {
        let mut rows = [[0.0; 3]; 3];
        for (row, terminal) in rows.iter_mut().zip(LINES).filter(|(_, terminal)| service.cts.contains(terminal)) {
            let Some(ct) = self.lands.get(terminal.at()).and_then(|lead| self.cts.get(lead.at())) else { continue };
            if let Some(share) = row.get_mut(ct.line.at()) {
                *share = ct.gain;
            }
        }
        if let Some((shorted, rho)) = self.common {
            self.carry_common(&mut rows, shorted, rho);
        }
        if self.return_open {
            self.part_residual(service, &mut rows);
        }
        rows
    }

    fn scale(&mut self, ct: Node, factor: f64) {
        self.ct(ct, |ct| ct.gain *= factor);
    }

    fn ct(&mut self, ct: Node, change: impl FnOnce(&mut Ct)) {
        if let Some(ct) = self.cts.get_mut(ct.at()) {
            change(ct);
        }
    }

    /// Every terminal takes another CT's leads than it had.
    fn relay(&mut self, other: impl Fn(Node) -> Node) {
        self.lands = self.lands.map(other);
    }

    /// The element of a CT shorted at the switch lies between the short and the common return: part of what the others
    /// send home goes through it.
    fn carry_common(&self, rows: &mut Matrix, shorted: Node, rho: f64) {
        let mut others = [0.0; 3];
        for (row, _) in rows.iter().zip(self.lands).filter(|(_, lead)| *lead != shorted) {
            for (sum, share) in others.iter_mut().zip(row) {
                *sum += share;
            }
        }
        for (row, _) in rows.iter_mut().zip(self.lands).filter(|(_, lead)| *lead == shorted) {
            *row = others.map(|sum| -rho * sum);
        }
    }

    /// Without a common return the secondary currents must add to nothing. Alike cores take an equal part each of what is
    /// left over as exciting current, whatever their impedance, as long as it is far above the burden.
    fn part_residual(&self, service: &Service, rows: &mut Matrix) {
        let live = |lead: Node| service.cts.contains(&lead) && self.cts.get(lead.at()).is_some_and(|ct| ct.gain != 0.0);
        let mut mean = [0.0; 3];
        let mut count = 0.0;
        for (row, _) in rows.iter().zip(self.lands).filter(|(_, lead)| live(*lead)) {
            count += 1.0;
            for (sum, share) in mean.iter_mut().zip(row) {
                *sum += share;
            }
        }
        for (row, _) in rows.iter_mut().zip(self.lands).filter(|(_, lead)| live(*lead)) {
            for (share, sum) in row.iter_mut().zip(mean) {
                *share -= sum / count;
            }
        }
    }
}
