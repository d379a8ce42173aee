//! A single mistake as far as readings can show it, and what a set of mistakes makes of the wiring.

use super::layout::{Layout, MOST};

/// One mistake of the wiring, or one slip of the hand that measures. Transformers are named by where they belong, channels
/// by where the meter has them, both counted from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cause {
    /// A current transformer's secondary leads reversed.
    CtReversed(usize),
    /// All of them reversed.
    CtAllReversed,
    /// The leads of two current transformers exchanged at the meter.
    CtSwapped(usize, usize),
    /// All current leads moved on by one channel; `true`: channel 0 has transformer 1.
    CtRotated(bool),
    /// Shorted, open, or otherwise without current.
    CtDead(usize),
    /// Partly shunted, or of a ratio that gives too little.
    CtLow(usize),
    /// A ratio that gives too much, or a second primary turn.
    CtHigh(usize),
    /// A current transformer around another line.
    CtWrongLine(usize, usize),
    /// Shorted on a common return: it carries part of the others' residual.
    CtShortCommon(usize),
    /// A voltage transformer's polarity reversed.
    VtReversed(usize),
    /// Two voltage leads exchanged.
    VtSwapped(usize, usize),
    /// All voltage leads moved on by one; `true`: terminal 0 has lead 1.
    VtRotated(bool),
    /// A voltage lead open or its fuse blown (open delta: lead 0, 1 = common, 2).
    VtOpen(usize),
    /// Too little voltage from a transformer: a bad joint, a wrong tap.
    VtLow(usize),
    /// Too much voltage from a transformer: a wrong tap or type.
    VtHigh(usize),
    /// A transformer from line to the line named, where line to neutral was meant.
    VtLineToLine(usize, usize),
    /// The neutral of the voltage transformers lost.
    VtNeutralOpen,
    /// The clamp on a channel was turned round.
    SlipClampReversed(usize),
    /// The clamp for a channel sat on another channel's lead.
    SlipClampOn(usize, usize),
    /// The clamp for a channel sat on the common return.
    SlipClampOnReturn(usize),
    /// The clamp for a channel sat round two leads, its own and another's.
    SlipClampTwo(usize, usize),
    /// The clamp for a channel sat round both wires of one transformer.
    SlipClampBoth(usize),
    /// The reference clip sat on another voltage channel for every angle.
    SlipClip(usize),
    /// The two reference clips were exchanged.
    SlipClipReversed,
    /// Voltages and reference taken line to line and written down as line to neutral.
    SlipLineToLine,
}

impl Cause {
    /// Whether only the hand slipped: the wiring, and so the bill, knows nothing of it.
    pub const fn is_slip(self) -> bool {
        matches!(
            self,
            Self::SlipClampReversed(_)
                | Self::SlipClampOn(..)
                | Self::SlipClampOnReturn(_)
                | Self::SlipClampTwo(..)
                | Self::SlipClampBoth(_)
                | Self::SlipClip(_)
                | Self::SlipClipReversed
                | Self::SlipLineToLine
        )
    }
}

/// How strong a quantity is against what it should be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Level {
    Normal,
    Low,
    High,
    Dead,
    /// Part of the others' residual, by a common return.
    Residual,
}

/// Voltage leads. Indexed by transformer, `from` by terminal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct VoltState {
    pub from: [usize; MOST],
    pub reversed: [bool; MOST],
    pub level: [Level; MOST],
    pub to_line: [Option<usize>; MOST],
    pub floating: bool,
}

/// Current leads, indexed by transformer, `from` by channel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct AmpState {
    pub from: [usize; MOST],
    pub line: [usize; MOST],
    pub reversed: [bool; MOST],
    pub level: [Level; MOST],
}

impl VoltState {
    pub const RIGHT: Self = Self {
        from: [0, 1, 2],
        reversed: [false; MOST],
        level: [Level::Normal; MOST],
        to_line: [None; MOST],
        floating: false,
    };

    /// The state with one more mistake; causes of currents change nothing.
    pub fn with(mut self, cause: Cause) -> Self {
        match cause {
            Cause::VtReversed(k) => self.reversed[k] ^= true,
            Cause::VtSwapped(a, b) => self.from.swap(a, b),
            Cause::VtRotated(on) => self.from = rotated(self.from, MOST, on),
            Cause::VtOpen(k) => self.level[k] = Level::Dead,
            Cause::VtLow(k) => self.level[k] = Level::Low,
            Cause::VtHigh(k) => self.level[k] = Level::High,
            Cause::VtLineToLine(k, line) => self.to_line[k] = Some(line),
            Cause::VtNeutralOpen => self.floating = true,
            _ => {}
        }
        self
    }
}

impl AmpState {
    pub fn right(layout: &Layout) -> Self {
        Self { from: [0, 1, 2], line: layout.ct_line, reversed: [false; MOST], level: [Level::Normal; MOST] }
    }

    /// The state with one more mistake; causes of voltages change nothing.
    pub fn with(mut self, cause: Cause, channels: usize) -> Self {
        match cause {
            Cause::CtReversed(k) => self.reversed[k] ^= true,
            Cause::CtAllReversed => self.reversed = self.reversed.map(|turned| !turned),
            Cause::CtSwapped(a, b) => self.from.swap(a, b),
            Cause::CtRotated(on) => self.from = rotated(self.from, channels, on),
            Cause::CtDead(k) => self.level[k] = Level::Dead,
            Cause::CtLow(k) => self.level[k] = Level::Low,
            Cause::CtHigh(k) => self.level[k] = Level::High,
            Cause::CtShortCommon(k) => self.level[k] = Level::Residual,
            Cause::CtWrongLine(k, line) => self.line[k] = line,
            _ => {}
        }
        self
    }
}

/// Every place gets what the next (or the one before) had.
fn rotated(from: [usize; MOST], count: usize, on: bool) -> [usize; MOST] {
    let mut moved = from;
    for (place, entry) in moved.iter_mut().enumerate().take(count) {
        let other = if on { (place + 1) % count } else { (place + count - 1) % count };
        *entry = from[other];
    }
    moved
}
