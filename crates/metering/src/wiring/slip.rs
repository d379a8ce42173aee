//! How the measuring hand slips: what it changes in the readings, and never on the bill.

use crate::service::Node;

/// What a clamp closes round instead of, or besides, the lead it was meant for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ClampLead {
    /// The lead of another current terminal.
    Of(Node),
    /// The common return: minus the sum of all. Beside the meant lead: both wires of one CT, so nothing.
    Return,
}

/// One slip. Current terminals are named by their line, voltages by their element, counted from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Slip {
    /// The clamp turned round: half a turn on that current.
    ClampReversed(Node),
    /// The clamp on another lead.
    ClampOn {
        /// The terminal whose reading is spoilt.
        ct: Node,
        /// The lead it sat on.
        lead: ClampLead,
    },
    /// The clamp round two leads.
    ClampTwo {
        /// The terminal whose reading is spoilt.
        ct: Node,
        /// The other lead.
        with: ClampLead,
    },
    /// The reference clips on another voltage for every angle: all angles but the reference's own, which is written as 0,
    /// shift by how far the two are apart.
    Clip {
        /// The element whose voltage is written as the reference.
        terminal: usize,
        /// The element it really sat on.
        on: usize,
    },
    /// The two reference clips exchanged: half a turn on every angle but the reference's own.
    ClipReversed,
    /// Volts and reference taken line to line and written as line to neutral.
    LineToLine,
}

impl Slip {
    /// Its stable name, as stored.
    pub const fn code(self) -> &'static str {
        match self {
            Self::ClampReversed(_) => "slip_clamp_reversed",
            Self::ClampOn { .. } => "slip_clamp_on",
            Self::ClampTwo { .. } => "slip_clamp_two",
            Self::Clip { .. } | Self::ClipReversed => "slip_clip",
            Self::LineToLine => "slip_line_to_line",
        }
    }
}
