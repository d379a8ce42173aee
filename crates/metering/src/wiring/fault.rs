//! What a hand gets wrong at transformers, leads and switch: every fault the model knows, with its parameters.
//!
//! Transformers are named by the line they belong to, wherever their leads land: in an open delta, transformer 1 is A and
//! transformer 2 is C. Potential leads are named by the line they come from; the neutral lead is N.

use crate::service::Node;

/// Three positions rolled on: who sits where.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Roll {
    /// Terminal A has lead B, B has C, C has A.
    Forward,
    /// Terminal A has lead C, B has A, C has B.
    Back,
}

impl Roll {
    /// Whose lead lands on this terminal.
    pub const fn source(self, terminal: Node) -> Node {
        match (self, terminal) {
            (Self::Forward, Node::A) | (Self::Back, Node::C) => Node::B,
            (Self::Forward, Node::B) | (Self::Back, Node::A) => Node::C,
            (Self::Forward, Node::C) | (Self::Back, Node::B) => Node::A,
            (_, Node::N) => Node::N,
        }
    }
}

/// One fault. Factors multiply the secondary quantity against what the ratio on record gives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fault {
    /// The two secondary leads of a CT exchanged, or its primary turned round.
    CtReversed(Node),
    /// Every CT reversed.
    CtAllReversed,
    /// The secondary leads of two CTs exchanged at the meter.
    CtSwapped(Node, Node),
    /// The secondary leads of all three CTs rolled on.
    CtRolled(Roll),
    /// A CT short-circuited ahead of the meter, through so much resistance.
    CtShorted {
        /// Which.
        ct: Node,
        /// Of the shunt, in ohms; 0 is a screw left in.
        shunt_ohm: f64,
    },
    /// A CT's secondary lead open: no current, and a dangerous voltage at the gap.
    CtOpen(Node),
    /// Part of a CT's current flows past the meter.
    CtPartial {
        /// Which.
        ct: Node,
        /// What share still comes, 0 to 1.
        factor: f64,
    },
    /// A CT of another ratio than on record.
    CtRatio {
        /// Which.
        ct: Node,
        /// Secondary current against that of the ratio on record.
        factor: f64,
    },
    /// The primary passes twice through a window CT.
    CtSecondTurn(Node),
    /// A CT fitted round another line.
    CtWrongLine {
        /// Which CT.
        ct: Node,
        /// The line it surrounds.
        line: Node,
    },
    /// A CT shorted at the switch, behind the common return: its element carries part of the others' sum, backwards.
    CtShortCommon {
        /// Which.
        ct: Node,
        /// What share of the others' sum goes through its element.
        rho: f64,
    },
    /// The common return of the CTs open.
    CtReturnOpen,
    /// The secondary leads of a VT exchanged.
    VtReversed(Node),
    /// Two potential leads exchanged at the meter.
    VtSwapped(Node, Node),
    /// The three potential leads rolled on.
    VtRolled(Roll),
    /// A potential lead open: fuse blown or blade open.
    VtOpen {
        /// Which lead.
        lead: Node,
        /// Where the common lead of an open delta is meant: what share of the outer voltage the first coil takes; `None`
        /// where the coils are equal.
        share: Option<f64>,
    },
    /// A VT that gives only part of its voltage.
    VtPartial {
        /// Which.
        vt: Node,
        /// What share still comes, 0 to 1.
        factor: f64,
    },
    /// A VT of another ratio than on record.
    VtRatio {
        /// Which.
        vt: Node,
        /// Secondary voltage against that of the ratio on record.
        factor: f64,
    },
    /// A VT connected to another line where the neutral was meant.
    VtLineToLine {
        /// Which.
        vt: Node,
        /// Where its other end is.
        to: Node,
    },
    /// The neutral lead of the potentials open: the coils' star point floats.
    VtNeutralOpen {
        /// Conductance of each element's coil, in any one unit.
        coils: [f64; 3],
    },
    /// A stray path that feeds one potential terminal from another.
    VtBackfeed {
        /// The lead that feeds.
        from: Node,
        /// The terminal that is fed.
        to: Node,
        /// Of the path, in ohms.
        ohm: f64,
    },
    /// A resistance in a potential lead: a burnt fuse clip, a corroded joint.
    VtSeriesResistance {
        /// Which lead.
        vt: Node,
        /// In ohms.
        ohm: f64,
    },
}

impl Fault {
    /// Its stable name, as stored.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::CtReversed(_) => "ct_reversed",
            Self::CtAllReversed => "ct_all_reversed",
            Self::CtSwapped(..) => "ct_swapped",
            Self::CtRolled(_) => "ct_rotated",
            Self::CtShorted { .. } => "ct_shorted",
            Self::CtOpen(_) => "ct_open",
            Self::CtPartial { .. } => "ct_partial",
            Self::CtRatio { .. } => "ct_ratio",
            Self::CtSecondTurn(_) => "ct_second_turn",
            Self::CtWrongLine { .. } => "ct_wrong_phase",
            Self::CtShortCommon { .. } => "ct_short_common",
            Self::CtReturnOpen => "ct_return_open",
            Self::VtReversed(_) => "vt_reversed",
            Self::VtSwapped(..) => "vt_swapped",
            Self::VtRolled(_) => "vt_rotated",
            Self::VtOpen { .. } => "vt_open",
            Self::VtPartial { .. } => "vt_partial",
            Self::VtRatio { .. } => "vt_ratio",
            Self::VtLineToLine { .. } => "vt_line_to_line",
            Self::VtNeutralOpen { .. } => "vt_neutral_open",
            Self::VtBackfeed { .. } => "vt_backfeed",
            Self::VtSeriesResistance { .. } => "vt_series_resistance",
        }
    }
}
