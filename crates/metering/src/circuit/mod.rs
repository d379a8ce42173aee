//! The instrument circuit solved exactly: CTs with cores and a shared return, VTs with leads and coils, and what a fault does
//! to all of them at once.
//!
//! Ideal moves of leads are those of [`crate::wiring`]; what depends on a resistance is decided here: a CT shorted behind a
//! common return, a lost return or neutral, a leak, a high-resistance joint, a terminal fed from another.

mod instruments;
pub mod network;

pub use instruments::Instruments;

use crate::phasor::Phasor;
use crate::service::{Node, Service, Span};
use crate::wiring::{Fault, Load, Seen, Wiring, WiringError, check};
use network::{Network, Point, REFERENCE};
use thiserror::Error;

/// Why a circuit gives no readings.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum CircuitError {
    /// The faults give no wiring.
    #[error(transparent)]
    Wiring(#[from] WiringError),
    /// The equations have no one solution.
    #[error("the circuit has no one solution")]
    Singular,
}

/// The faults of one installation, sorted into moves of leads and things with a resistance.
struct Circuit<'a> {
    service: &'static Service,
    instruments: &'a Instruments,
    wiring: Wiring,
    /// Across each CT's terminals, in ohms.
    shunts: [Option<f64>; 3],
    ct_open: [bool; 3],
    /// In each potential lead, in ohms.
    series: [f64; 4],
    /// From one potential terminal to another.
    stray: Option<(Node, Node, f64)>,
}

/// What the meter sees of a load behind real transformers and leads.
///
/// # Units
/// - `load`: as ideal transformers of the ratios on record would hand it on, in secondary volts and amperes
/// - returns: secondary volts, amperes, watts and vars
///
/// # Errors
/// [`CircuitError`], see its variants.
pub fn see(
    service: &'static Service,
    faults: &[Fault],
    load: &Load,
    instruments: &Instruments,
) -> Result<Seen, CircuitError> {
    let mut circuit = Circuit {
        service,
        instruments,
        wiring: Wiring::correct(service),
        shunts: [None; 3],
        ct_open: [false; 3],
        series: [0.0; 4],
        stray: None,
    };
    for fault in faults {
        circuit.apply(*fault)?;
    }
    let volts = circuit.volts(load).ok_or(CircuitError::Singular)?;
    let amps = circuit.amps(load).ok_or(CircuitError::Singular)?;
    Ok(Seen::of(service, volts, amps))
}

fn real(ohms: f64) -> Phasor {
    Phasor::literal(ohms, 0.0)
}

fn set<T>(place: Option<&mut T>, value: T) {
    if let Some(place) = place {
        *place = value;
    }
}

impl Circuit<'_> {
    fn apply(&mut self, fault: Fault) -> Result<(), WiringError> {
        check(self.service, fault)?;
        match fault {
            Fault::CtShorted { ct, shunt_ohm } => set(self.shunts.get_mut(ct.at()), Some(shunt_ohm)),
            // What share of the others goes through its element is what this circuit finds.
            Fault::CtShortCommon { ct, .. } => set(self.shunts.get_mut(ct.at()), Some(0.0)),
            Fault::CtOpen(ct) => set(self.ct_open.get_mut(ct.at()), true),
            Fault::VtSeriesResistance { vt, ohm } => set(self.series.get_mut(vt.at()), ohm),
            Fault::VtBackfeed { from, to, ohm } => self.stray = Some((from, to, ohm)),
            moved => self.wiring.apply(moved)?,
        }
        Ok(())
    }

    /// Current through each current circuit of the meter: CTs as current sources beside their cores, all into one star.
    fn amps(&self, load: &Load) -> Option<[Phasor; 3]> {
        let Instruments { current_coil_ohm, .. } = *self.instruments;
        let mut network = Network::default();
        let leads = [network.point(), network.point(), network.point()];
        let star = network.point();
        for (ct, lead) in self.service.cts.iter().filter_map(|ct| Some((*ct, *leads.get(ct.at())?))) {
            self.ct(&mut network, ct, lead, load);
        }
        let landed = self.wiring.currents.lands.map(|ct| leads.get(ct.at()).copied());
        for lead in self.fitted().filter_map(|terminal| landed.get(terminal.at()).copied().flatten()) {
            network.tie(lead, star, current_coil_ohm);
        }
        if !self.wiring.currents.return_open {
            network.tie(star, REFERENCE, real(self.instruments.ct_return_ohm));
        }
        let volts = network.solve()?;
        let mut amps = [Phasor::ZERO; 3];
        for terminal in self.fitted() {
            if let Some(lead) = landed.get(terminal.at()).copied().flatten() {
                set(amps.get_mut(terminal.at()), volts.across(lead, star) / current_coil_ohm);
            }
        }
        Some(amps)
    }

    /// The current terminals that the service has.
    fn fitted(&self) -> impl Iterator<Item = Node> {
        self.service.cts.iter().copied()
    }

    /// One CT with core, winding and what lies across its terminals, up to the meter's end of its lead.
    fn ct(&self, network: &mut Network, which: Node, lead: Point, load: &Load) {
        let Instruments { ct_winding_ohm, ct_terminal_ohm, ct_lead_ohm, .. } = *self.instruments;
        let Some(ct) = self.wiring.currents.cts.get(which.at()) else { return };
        let primary = load.amps.get(ct.line.at()).copied().unwrap_or(Phasor::ZERO);
        let (inside, terminal) = (network.point(), network.point());
        network.feed(inside, primary * ct.gain);
        network.tie(inside, REFERENCE, self.instruments.ct_core());
        network.tie(inside, terminal, real(ct_winding_ohm));
        if let Some(shunt) = self.shunts.get(which.at()).copied().flatten() {
            network.tie(terminal, REFERENCE, real(shunt));
        }
        if !self.ct_open.get(which.at()).copied().unwrap_or(false) {
            network.tie(terminal, lead, real(ct_terminal_ohm + ct_lead_ohm));
        }
    }

    /// Voltage across each potential coil: VTs as voltages behind their impedance and lead.
    fn volts(&self, load: &Load) -> Option<[Phasor; 3]> {
        let mut network = Network::default();
        let leads = [network.point(), network.point(), network.point(), network.point()];
        for (lead, point) in Node::ALL.into_iter().zip(leads) {
            if !self.wiring.potentials.open.get(lead.at()).copied().unwrap_or(false) {
                self.lead(&mut network, lead, point, load);
            }
        }
        let at = |terminal: Node| {
            let lead = self.wiring.potentials.lands.get(terminal.at());
            lead.and_then(|lead| leads.get(lead.at())).copied().unwrap_or(REFERENCE)
        };
        let coils = self.instruments.potential_coil_ohm.into_iter().zip(self.wiring.potentials.coils);
        for (element, (ohms, conductance)) in self.service.elements.iter().zip(coils).filter(|(_, (_, by))| *by > 0.0) {
            network.tie(at(element.volts.from), at(element.volts.to), real(ohms / conductance));
        }
        if let Some((from, to, ohm)) = self.stray {
            network.tie(at(from), at(to), real(ohm));
        }
        let solved = network.solve()?;
        let mut volts = [Phasor::ZERO; 3];
        for (volts, element) in volts.iter_mut().zip(self.service.elements) {
            *volts = solved.across(at(element.volts.from), at(element.volts.to));
        }
        Some(volts)
    }

    /// One potential lead up to the meter's end; a lead that no VT feeds holds nothing.
    fn lead(&self, network: &mut Network, lead: Node, point: Point, load: &Load) {
        let Instruments { vt_ohm, vt_lead_ohm, vt_neutral_ohm, .. } = *self.instruments;
        let series = self.series.get(lead.at()).copied().unwrap_or(0.0);
        if lead == self.service.common() {
            let ohms = if lead == Node::N { vt_neutral_ohm } else { vt_lead_ohm };
            network.tie(point, REFERENCE, real(ohms + series));
            return;
        }
        let fed = self.service.vts.iter().any(|Span { from, .. }| *from == lead);
        if let Some(vt) = self.wiring.potentials.vts.get(lead.at()).filter(|_| fed) {
            let of = |line: Node| load.volts.get(line.at()).copied().unwrap_or(Phasor::ZERO);
            network.source(point, (of(lead) - of(vt.to)) * vt.gain, vt_ohm + real(vt_lead_ohm + series));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::angle::{Angle, AngleConvention};
    use crate::quantity::{Amps, Volts};
    use crate::service::{ALL, DELTA2, Sequence, WYE3};
    use crate::wiring::{Adding, Roll, registration};
    use Node::{A, B, C};

    fn load(service: &Service, degrees: f64) -> Load {
        let lag = Angle::from_degrees(degrees, AngleConvention::LeadingPositive).unwrap();
        Load::balanced(service, Sequence::Abc, Volts::new(208.0).unwrap(), Amps::new(3.0).unwrap(), lag).unwrap()
    }

    fn registers(service: &'static Service, faults: &[Fault], degrees: f64) -> f64 {
        let load = load(service, degrees);
        let seen = see(service, faults, &load, &Instruments::USUAL).unwrap();
        registration(Adding::Net, &seen, &load).unwrap()
    }

    /// Real instruments are good ones: within half a percent of ideal where all is right.
    #[test]
    fn right_wiring_registers_nearly_all() {
        for service in ALL {
            let found = registers(service, &[], 20.0);
            assert!((found - 1.0).abs() < 0.005, "{}: {found}", service.id);
        }
    }

    /// With stiff transformers and no lead the circuit is the ideal one.
    #[test]
    fn without_impedances_it_is_ideal() {
        let stiff = Instruments {
            ct_core_ohm: 1e9,
            ct_core_henry: 1e6,
            ct_return_ohm: 0.0,
            vt_ohm: Phasor::literal(1e-6, 0.0),
            vt_lead_ohm: 0.0,
            potential_coil_ohm: [1e6; 3],
            ..Instruments::USUAL
        };
        for faults in [
            &[Fault::CtReversed(A)][..],
            &[Fault::CtSwapped(A, C), Fault::VtReversed(B)],
            &[Fault::CtRolled(Roll::Back), Fault::CtRatio { ct: A, factor: 2.0 }],
            &[Fault::VtNeutralOpen { coils: [0.4, 1.0, 0.8] }],
            &[Fault::VtSwapped(A, Node::N)],
            &[Fault::VtOpen { lead: A, share: None }, Fault::CtOpen(B)],
            &[Fault::CtReturnOpen, Fault::CtReversed(C)],
        ] {
            let load = load(&WYE3, 25.0);
            let real = see(&WYE3, faults, &load, &stiff).unwrap();
            let ideal = Wiring::of(&WYE3, faults).unwrap().see(&load);
            assert!((real.watts() - ideal.watts()).abs() < 0.02, "{faults:?}: {} {}", real.watts(), ideal.watts());
        }
    }

    /// The element of a shorted CT carries ρ = return ÷ (return + lead + coil) of what the others send home.
    #[test]
    fn a_shorted_ct_does_not_read_zero() {
        let load = load(&WYE3, 20.0);
        let seen = see(&WYE3, &[Fault::CtShorted { ct: A, shunt_ohm: 0.0 }], &load, &Instruments::USUAL).unwrap();
        let ideal = Wiring::of(&WYE3, &[Fault::CtShortCommon { ct: A, rho: 0.04 / 0.1251 }]).unwrap().see(&load);
        assert!((seen.amps[0] - ideal.amps[0]).magnitude() < 0.03, "{:?} {:?}", seen.amps[0], ideal.amps[0]);
        assert!(seen.amps[0].magnitude() > 0.9);
    }

    #[test]
    fn unequal_coils_part_an_open_delta_unequally() {
        let uneven = Instruments { potential_coil_ohm: [10_000.0, 25_000.0, 1.0], ..Instruments::USUAL };
        let seen = see(&DELTA2, &[Fault::VtOpen { lead: B, share: None }], &load(&DELTA2, 20.0), &uneven).unwrap();
        let [first, second, _] = seen.elements;
        assert!((second.volts.magnitude() / first.volts.magnitude() - 2.5).abs() < 1e-3);
    }

    #[test]
    fn everything_open_still_has_an_answer() {
        let faults = [A, B, C, Node::N].map(|lead| Fault::VtOpen { lead, share: None });
        let seen = see(&WYE3, &faults, &load(&WYE3, 20.0), &Instruments::USUAL).unwrap();
        assert!(seen.elements().iter().all(|element| element.volts.magnitude() < 1e-3));
    }
}
