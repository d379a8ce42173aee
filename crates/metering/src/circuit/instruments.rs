//! What the instrument circuit is made of: transformers, leads and coils, with what is taken where nobody has measured.

use crate::phasor::Phasor;

/// Resistances, impedances and inductances of an instrument circuit, seen from the secondary side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Instruments {
    /// Frequency, in hertz.
    pub hertz: f64,
    /// Winding of a CT, in ohms.
    pub ct_winding_ohm: f64,
    /// Loss branch of a CT's core, in ohms.
    pub ct_core_ohm: f64,
    /// Magnetising branch of a CT's core, in henries, beside the loss branch.
    pub ct_core_henry: f64,
    /// From a CT's terminal to the first screw, in ohms; a CT is shorted at its terminal, ahead of this.
    pub ct_terminal_ohm: f64,
    /// From a CT to the meter, in ohms, one way.
    pub ct_lead_ohm: f64,
    /// Of the common return of all CTs, in ohms.
    pub ct_return_ohm: f64,
    /// Of each current circuit of the meter, in ohms.
    pub current_coil_ohm: Phasor,
    /// Of a VT, in ohms.
    pub vt_ohm: Phasor,
    /// Of a potential lead, in ohms; also of the common lead of an open delta.
    pub vt_lead_ohm: f64,
    /// Of the neutral lead of potentials, in ohms; grounded at either end, it hardly drops anything.
    pub vt_neutral_ohm: f64,
    /// Of each element's potential coil, in ohms.
    pub potential_coil_ohm: [f64; 3],
}

impl Instruments {
    /// A small 5 A CT and a VT of a metering cabinet, short leads, a solid-state meter: where nobody has measured.
    ///
    /// Common practice, no source: 0.08 Ω is about 18 m of 4 mm² copper, 30 kΩ half a watt at 120 V.
    pub const USUAL: Self = Self {
        hertz: 60.0,
        ct_winding_ohm: 0.25,
        ct_core_ohm: 500.0,
        ct_core_henry: 0.8,
        ct_terminal_ohm: 0.000_1,
        ct_lead_ohm: 0.08,
        ct_return_ohm: 0.04,
        current_coil_ohm: Phasor::literal(0.005, 0.002),
        vt_ohm: Phasor::literal(0.15, 0.12),
        vt_lead_ohm: 0.05,
        vt_neutral_ohm: 0.0,
        potential_coil_ohm: [30_000.0; 3],
    };

    /// Impedance of a CT's core: its loss branch beside its magnetising branch.
    pub fn ct_core(&self) -> Phasor {
        let (r, x) = (self.ct_core_ohm, 2.0 * std::f64::consts::PI * self.hertz * self.ct_core_henry);
        Phasor::literal(0.0, r * x) / Phasor::literal(r, x)
    }
}
