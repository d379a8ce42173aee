//! Channels, transformers and causes as the case files name them.

use metering::diagnosis::{Cause, Check, CheckKind};
use metering::service::{Node, Service};
use serde_json::{Value, json};

/// Whether a factor is one of a wrong tap or type: 1/2 or 1/√3.
fn is_tap(factor: f64) -> bool {
    (factor - 0.5).abs() < 1e-9 || (factor - 0.577_350_269_189_625_8).abs() < 1e-9
}

/// The names of a service's channels and transformers.
pub struct Names {
    /// Voltage channels as written.
    pub volts: Vec<&'static str>,
    /// Current channels as written, and so their transformers.
    pub amps: Vec<&'static str>,
    /// Meter elements.
    pub elements: Vec<&'static str>,
    lines: Vec<&'static str>,
    leads: Vec<&'static str>,
    open_delta: bool,
}

impl Names {
    /// From the service alone.
    pub fn of(service: &Service) -> Self {
        let lines: Vec<&str> = service.nodes.iter().map(|(node, ..)| node.code()).collect();
        let elements: Vec<&str> = service.elements.iter().map(|element| element.name).collect();
        let mut spans = Vec::new();
        for element in service.elements {
            if !spans.contains(&element.volts) {
                spans.push(element.volts);
            }
        }
        let open_delta = lines.len() == 3 && spans.len() == 2 && spans.iter().all(|span| span.to == Node::B);
        let volts: Vec<&str> = elements.iter().copied().take(spans.len()).collect();
        let amps = if open_delta { vec!["1", "2"] } else { service.cts.iter().map(|ct| ct.code()).collect() };
        let leads = if open_delta { vec!["A", "B", "C"] } else { volts.clone() };
        Self { volts, amps, elements, lines, leads, open_delta }
    }

    fn vt(&self, k: usize) -> &'static str {
        match (self.open_delta, k) {
            (true, 0) => "1",
            (true, 1) => "B",
            (true, _) => "2",
            _ => self.volts.get(k).copied().unwrap_or("?"),
        }
    }

    fn ct(&self, k: usize) -> &'static str {
        self.amps.get(k).copied().unwrap_or("?")
    }

    fn line(&self, k: usize) -> &'static str {
        self.lines.get(k).copied().unwrap_or("?")
    }

    fn lead(&self, k: usize) -> &'static str {
        self.leads.get(k).copied().unwrap_or("?")
    }

    fn rolled(names: &[&'static str], on: bool) -> Value {
        let count = names.len().max(1);
        let entry = |e: usize| {
            let from = if on { (e + 1) % count } else { (e + count - 1) % count };
            (names[e].to_owned(), Value::from(names[from]))
        };
        Value::Object((0..names.len()).map(entry).collect())
    }

    /// A cause in the form of the case files.
    pub fn cause(&self, cause: Cause, factor: Option<f64>, vt_factor: Option<f64>) -> Value {
        match cause {
            Cause::CtReversed(k) => json!({"type": "ct_reversed", "ct": self.ct(k)}),
            Cause::CtAllReversed => json!({"type": "ct_all_reversed"}),
            Cause::CtSwapped(a, b) => json!({"type": "ct_swapped", "cts": [self.ct(a), self.ct(b)]}),
            Cause::CtRotated(on) => json!({"type": "ct_rotated", "map": Self::rolled(&self.amps, on)}),
            Cause::CtDead(k) => json!({"type": "ct_shorted", "ct": self.ct(k)}),
            Cause::CtLow(k) => json!({"type": "ct_partial", "ct": self.ct(k), "factor": factor.unwrap_or(0.55)}),
            Cause::CtHigh(k) => json!({"type": "ct_ratio", "ct": self.ct(k), "factor": factor.unwrap_or(2.0).max(1.1)}),
            Cause::CtWrongLine(k, line) => {
                json!({"type": "ct_wrong_phase", "ct": self.ct(k), "phase": self.line(line)})
            }
            Cause::CtShortCommon(k) => json!({"type": "ct_short_common", "ct": self.ct(k)}),
            Cause::VtReversed(k) => json!({"type": "vt_reversed", "vt": self.vt(k)}),
            Cause::VtSwapped(a, b) => json!({"type": "vt_swapped", "vts": [self.lead(a), self.lead(b)]}),
            Cause::VtRotated(on) => json!({"type": "vt_rotated", "map": Self::rolled(&self.leads, on)}),
            Cause::VtOpen(k) => json!({"type": "vt_open", "vt": self.vt(k)}),
            Cause::VtLow(k) if vt_factor.is_some_and(is_tap) => {
                json!({"type": "vt_ratio", "vt": self.vt(k), "factor": vt_factor})
            }
            Cause::VtLow(k) => json!({"type": "vt_partial", "vt": self.vt(k)}),
            Cause::VtHigh(k) => json!({"type": "vt_ratio", "vt": self.vt(k), "factor": vt_factor.unwrap_or(2.0)}),
            Cause::VtLineToLine(k, line) => json!({"type": "vt_line_to_line", "vt": self.vt(k), "to": self.line(line)}),
            Cause::VtNeutralOpen => json!({"type": "vt_neutral_open"}),
            Cause::SlipClampReversed(k) => json!({"type": "slip_clamp_reversed", "ct": self.ct(k)}),
            Cause::SlipClampOn(k, on) => json!({"type": "slip_clamp_on", "ct": self.ct(k), "lead": self.ct(on)}),
            Cause::SlipClampOnReturn(k) => json!({"type": "slip_clamp_on", "ct": self.ct(k), "lead": "return"}),
            Cause::SlipClampTwo(k, with) => json!({"type": "slip_clamp_two", "ct": self.ct(k), "with": self.ct(with)}),
            Cause::SlipClampBoth(k) => json!({"type": "slip_clamp_two", "ct": self.ct(k), "with": "own_return"}),
            Cause::SlipClip(on) => json!({"type": "slip_clip", "on": self.volts.get(on)}),
            Cause::SlipClipReversed => json!({"type": "slip_clip", "on": "reversed"}),
            Cause::SlipLineToLine => json!({"type": "slip_line_to_line"}),
        }
    }

    /// A check in the form of the case files.
    pub fn check(&self, check: Check) -> Value {
        let bits = check.gain_bits;
        match check.kind {
            CheckKind::RepeatClamp(k) => json!({"kind": "repeat_clamp", "ct": self.ct(k), "bits": bits}),
            CheckKind::RepeatClip => json!({"kind": "repeat_clip", "bits": bits}),
            CheckKind::ReadDisplay => json!({"kind": "read", "what": "meter_display", "bits": bits}),
            CheckKind::AskGeneration => json!({"kind": "ask_generation", "bits": bits}),
            CheckKind::AskAdding => json!({"kind": "ask_adding", "bits": bits}),
            CheckKind::ShortCt(k) => json!({"kind": "short_ct", "ct": self.ct(k), "bits": bits}),
            CheckKind::Deenergise(k) => json!({"kind": "deenergise", "ct": self.ct(k), "bits": bits}),
        }
    }

    /// A cause in words.
    pub fn words(&self, cause: Cause) -> String {
        match cause {
            Cause::CtReversed(k) => format!("CT {} reversed", self.ct(k)),
            Cause::CtAllReversed => "all CTs reversed".to_owned(),
            Cause::CtSwapped(a, b) => format!("CT leads {} and {} exchanged", self.ct(a), self.ct(b)),
            Cause::CtRotated(_) => "CT leads rotated".to_owned(),
            Cause::CtDead(k) => format!("CT {} shorted or open", self.ct(k)),
            Cause::CtLow(k) => format!("CT {} gives too little", self.ct(k)),
            Cause::CtHigh(k) => format!("CT {} gives too much", self.ct(k)),
            Cause::CtWrongLine(k, line) => format!("CT {} on line {}", self.ct(k), self.line(line)),
            Cause::CtShortCommon(k) => format!("CT {} shorted on a common return", self.ct(k)),
            Cause::VtReversed(k) => format!("VT {} reversed", self.vt(k)),
            Cause::VtSwapped(a, b) => format!("voltage leads {} and {} exchanged", self.lead(a), self.lead(b)),
            Cause::VtRotated(_) => "voltage leads rotated".to_owned(),
            Cause::VtOpen(k) => format!("VT {} open", self.vt(k)),
            Cause::VtLow(k) => format!("VT {} gives too little", self.vt(k)),
            Cause::VtHigh(k) => format!("VT {} gives too much", self.vt(k)),
            Cause::VtLineToLine(k, line) => format!("VT {} connected to line {}", self.vt(k), self.line(line)),
            Cause::VtNeutralOpen => "VT neutral open".to_owned(),
            slip => format!("hand slipped: {slip:?}"),
        }
    }
}
