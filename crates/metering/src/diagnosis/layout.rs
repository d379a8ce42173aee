//! A service as the inference needs it: channels counted from 0, nominal phasors, directions in steps of 30°.

use crate::phasor::Phasor;
use crate::service::{Node, Sequence, Service, Span};

/// Most channels of one kind that a meter here has.
pub const MOST: usize = 3;

/// One product of a voltage and a current channel in the sum that the meter forms.
#[derive(Clone, Copy, Debug)]
pub(super) struct Term {
    pub element: usize,
    pub volts: usize,
    pub amps: usize,
    pub share: f64,
}

/// A service, counted out.
#[derive(Clone, Debug)]
pub(super) struct Layout {
    /// Voltage channels, each with its own transformer.
    pub volts: usize,
    /// Current channels, each with its own transformer.
    pub amps: usize,
    /// Lines of the service.
    pub lines: usize,
    /// Meter elements.
    pub elements: usize,
    /// Whether two transformers share a common lead that is not the neutral.
    pub open_delta: bool,
    /// Nominal voltage of each transformer as it should be, per unit of the first, sequence ABC.
    pub span: [Phasor; MOST],
    /// The line that each transformer's dotted end belongs to.
    pub vt_line: [usize; MOST],
    /// Line to neutral (or to the middle) voltages in the same unit.
    pub line: [Phasor; MOST],
    /// Direction of each line's current at unity power factor, in steps of 30° against the frame of `line`.
    pub step: [i8; MOST],
    /// The line that each current transformer belongs to.
    pub ct_line: [usize; MOST],
    /// Where a leg also feeds single-phase load to the neutral: how far that turns its current, in steps of 10°.
    pub lean: [i8; MOST],
    /// The same: logarithm of how much it adds to its current.
    pub lift: [f64; MOST],
    /// The meter's sum.
    pub terms: Vec<Term>,
}

/// Angle of a phasor in whole steps of 30°, 0 to 11.
pub(super) fn steps(phasor: Phasor) -> i8 {
    let turn = libm::atan2(phasor.im(), phasor.re()) / (std::f64::consts::PI / 6.0);
    (libm::round(turn) as i8).rem_euclid(12)
}

impl Layout {
    /// None for a service with more channels than are handled here, or none.
    pub fn of(service: &Service) -> Option<Self> {
        let spans = channels(service);
        let lines = service.nodes.len();
        let fits = |count: usize| (1..=MOST).contains(&count);
        if !(fits(spans.len()) && fits(service.cts.len()) && fits(lines)) {
            return None;
        }
        let index = |node: Node| service.nodes.iter().position(|(named, ..)| *named == node);
        let unit = service.nominal_span(spans[0], Sequence::Abc);
        if unit.magnitude() <= 0.0 {
            return None;
        }
        let mut layout = Self {
            volts: spans.len(),
            amps: service.cts.len(),
            lines,
            elements: service.elements.len(),
            open_delta: spans.len() == 2 && spans[0].to == spans[1].to && spans[0].to != Node::N && lines == 3,
            span: [Phasor::ZERO; MOST],
            vt_line: [0; MOST],
            line: [Phasor::ZERO; MOST],
            step: [0; MOST],
            ct_line: [0; MOST],
            lean: [0; MOST],
            lift: [0.0; MOST],
            terms: Vec::new(),
        };
        let size = unit.magnitude();
        for (k, span) in spans.iter().enumerate() {
            layout.span[k] = service.nominal_span(*span, Sequence::Abc) / size;
            layout.vt_line[k] = index(span.from)?;
        }
        for (l, (node, ..)) in service.nodes.iter().enumerate() {
            layout.line[l] = service.nominal_span(Span { from: *node, to: Node::N }, Sequence::Abc) / size;
            layout.step[l] = steps(service.nominal_current(*node, Sequence::Abc));
            // Lighting from leg to neutral draws along the leg's own voltage: about half as much as the three-phase load,
            // which turns the sum by a third of the way and makes it half as large again (common practice, no source).
            let aside = (steps(layout.line[l]) - layout.step[l] + 6).rem_euclid(12) - 6;
            layout.lean[l] = aside.signum();
            layout.lift[l] = if aside == 0 { 0.0 } else { 0.45 };
        }
        for (k, ct) in service.cts.iter().enumerate() {
            layout.ct_line[k] = index(*ct)?;
        }
        for (e, element) in service.elements.iter().enumerate() {
            let volts = spans.iter().position(|span| *span == element.volts)?;
            for (line, share) in element.currents {
                let amps = service.cts.iter().position(|ct| ct == line)?;
                layout.terms.push(Term { element: e, volts, amps, share: *share });
            }
        }
        Some(layout)
    }

    /// A nominal phasor for a sequence.
    pub fn turned(phasor: Phasor, sequence: Sequence) -> Phasor {
        match sequence {
            Sequence::Abc => phasor,
            Sequence::Cba => phasor.conj(),
        }
    }

    /// Whether single-phase load leans on some of the lines.
    pub fn leans(&self) -> bool {
        self.lean != [0; MOST]
    }

    /// The direction of a line's current for a sequence, in steps.
    pub fn line_step(&self, line: usize, sequence: Sequence) -> i8 {
        match sequence {
            Sequence::Abc => self.step[line],
            Sequence::Cba => (-self.step[line]).rem_euclid(12),
        }
    }
}

/// The meter's voltage channels: the different spans of its elements, in their order.
fn channels(service: &Service) -> Vec<Span> {
    let mut spans = Vec::new();
    for element in service.elements {
        if !spans.contains(&element.volts) {
            spans.push(element.volts);
        }
    }
    spans
}
