//! Wiring: which lead landed where, and what the meter sees of a load through it.
//!
//! A [`Fault`] is what a hand got wrong; [`Wiring::of`] turns a list of them into moves of leads; [`Wiring::shares`] solves
//! the potentials' little network and the landing of the currents into two matrices of real shares, after which
//! [`Shares::see`] is a handful of multiplications: the forward model. Ideal transformers; those with burdens, leads and
//! magnetising branches are in [`crate::circuit`].
//!
//! The shares are real because an ideal transformer, a swapped lead and a divider of like coils turn no angle but by half
//! a turn. Quantities seen are referred through the ratios on record: a load in primary volts and amperes gives readings
//! in primary units, one divided by the ratios on record gives secondary readings.

mod adding;
mod currents;
mod fault;
mod potentials;
mod seen;
mod slip;
#[cfg(test)]
mod tests;

pub use adding::{Adding, Registered, correction_factor, registration};
pub use currents::{Ct, Currents};
pub use fault::{Fault, Roll};
pub use potentials::{Potentials, Vt};
pub use seen::{ElementSeen, Load, Matrix, Seen, Shares, see};
pub use slip::{ClampLead, Slip};

use crate::range::{OutOfRange, Range};
use crate::service::{Node, Service};
use thiserror::Error;

/// What a factor of a fault may be: 0 is dead; a wrong tap or ratio beyond this is no meter installation.
pub const FACTOR: Range = Range { what: "fault_factor", unit: "", least: 0.0, most: 1000.0 };

/// Why faults give no wiring.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum WiringError {
    /// The service has no such transformer or lead.
    #[error("{service} has no {node:?} for {fault}")]
    NoSuch {
        /// Of the service.
        service: &'static str,
        /// Code of the fault.
        fault: &'static str,
        /// What it named.
        node: Node,
    },
    /// A factor beyond [`FACTOR`].
    #[error(transparent)]
    Factor(#[from] OutOfRange),
    /// What the meter sees depends on resistances: only [`crate::circuit`] can tell.
    #[error("{fault} needs the instrument circuit")]
    NeedsCircuit {
        /// Code of the fault.
        fault: &'static str,
    },
}

/// All leads of an installation as they lie.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wiring {
    /// What was to be wired.
    pub service: &'static Service,
    /// The potential side.
    pub potentials: Potentials,
    /// The current side.
    pub currents: Currents,
}

impl Wiring {
    /// Everything where it belongs.
    pub fn correct(service: &'static Service) -> Self {
        Self { service, potentials: Potentials::correct(service), currents: Currents::correct() }
    }

    /// The wiring that these faults make, one after the other.
    ///
    /// # Errors
    /// [`WiringError`], see its variants.
    pub fn of(service: &'static Service, faults: &[Fault]) -> Result<Self, WiringError> {
        let mut wiring = Self::correct(service);
        for fault in faults {
            wiring.apply(*fault)?;
        }
        Ok(wiring)
    }

    /// Makes one more fault.
    ///
    /// # Errors
    /// [`WiringError`], see its variants; the wiring is then as before.
    pub fn apply(&mut self, fault: Fault) -> Result<(), WiringError> {
        check(self.service, fault)?;
        match fault {
            Fault::CtShorted { shunt_ohm, .. } if shunt_ohm > 0.0 => return Err(needs_circuit(fault)),
            Fault::VtBackfeed { .. } | Fault::VtSeriesResistance { .. } => return Err(needs_circuit(fault)),
            _ => {}
        }
        self.currents.apply(fault);
        self.potentials.apply(self.service, fault);
        Ok(())
    }

    /// What reaches the meter of each line's voltage and current.
    pub fn shares(&self) -> Shares {
        Shares {
            service: self.service,
            volts: self.potentials.shares(self.service),
            amps: self.currents.shares(self.service),
        }
    }
}

fn needs_circuit(fault: Fault) -> WiringError {
    WiringError::NeedsCircuit { fault: fault.code() }
}

/// Whether the service has what the fault names, and its factors are factors.
pub(crate) fn check(service: &'static Service, fault: Fault) -> Result<(), WiringError> {
    let no_such = |node| WiringError::NoSuch { service: service.id, fault: fault.code(), node };
    let ct = |node| if service.cts.contains(&node) { Ok(()) } else { Err(no_such(node)) };
    let vt = |node| if service.vts.iter().any(|vt| vt.from == node) { Ok(()) } else { Err(no_such(node)) };
    let lead = |node| if node == service.common() { Ok(()) } else { vt(node) };
    let three = |count| if count == 3 { Ok(()) } else { Err(no_such(Node::B)) };
    let line = |node| if service.nodes.iter().any(|(known, ..)| *known == node) { Ok(()) } else { Err(no_such(node)) };
    let factor = |value| FACTOR.check(value).map(drop).map_err(WiringError::from);
    match fault {
        Fault::CtReversed(one) | Fault::CtOpen(one) | Fault::CtSecondTurn(one) => ct(one),
        Fault::CtAllReversed | Fault::CtReturnOpen => Ok(()),
        Fault::CtSwapped(one, other) => ct(one).and(ct(other)),
        Fault::CtRolled(_) => three(service.cts.len()),
        Fault::CtShorted { ct: one, shunt_ohm: number }
        | Fault::CtPartial { ct: one, factor: number }
        | Fault::CtRatio { ct: one, factor: number }
        | Fault::CtShortCommon { ct: one, rho: number } => ct(one).and(factor(number)),
        Fault::CtWrongLine { ct: one, line: round } => ct(one).and(line(round)),
        Fault::VtReversed(one) => vt(one),
        Fault::VtSwapped(one, other) => lead(one).and(lead(other)),
        Fault::VtRolled(_) => [Node::A, Node::B, Node::C].into_iter().try_for_each(lead),
        Fault::VtOpen { lead: one, share } => lead(one).and(share.map_or(Ok(()), factor)),
        Fault::VtPartial { vt: one, factor: number } | Fault::VtRatio { vt: one, factor: number } => {
            vt(one).and(factor(number))
        }
        Fault::VtLineToLine { vt: one, to } => vt(one).and(line(to)),
        Fault::VtNeutralOpen { coils } => coils.into_iter().try_for_each(factor),
        Fault::VtBackfeed { from, to, ohm } => lead(from).and(lead(to)).and(ohms(ohm)),
        Fault::VtSeriesResistance { vt: one, ohm } => lead(one).and(ohms(ohm)),
    }
}

/// What a stray or spoilt path may have.
const OHMS: Range = Range { what: "fault_resistance", unit: "Ω", least: 0.0, most: 1e9 };

fn ohms(value: f64) -> Result<(), WiringError> {
    OHMS.check(value).map(drop).map_err(WiringError::from)
}
