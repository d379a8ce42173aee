//! Readings made ready for the inference: sizes as logarithms with their spread, angles as tables over the load angle.

use super::layout::MOST;
use super::visit::{Load, Shown, Told, Visit};

/// Points of the grid over the common load angle.
pub(super) const GRID: usize = 72;
/// Degrees between two of them; 30° must be a whole number of steps.
pub(super) const STEP_DEGREES: f64 = 5.0;
/// Grid points in 10°.
pub(super) const POINTS_PER_TEN: usize = 2;
/// A number written down wrongly, or an angle misread: one in two hundred and fifty (stated with the simulated visits).
pub(super) const BLUNDER: f64 = 0.004;
/// Spread of a line's load angle about the common one, in degrees: of a t-distribution with 4 degrees of freedom.
pub(super) const LINE_SPREAD_DEGREES: f64 = 5.0;
/// That distribution as a mixture of normal ones: weight and multiple of the spread (quantiles of 4/χ²₄).
pub(super) const TAILS: [(f64, f64); 6] =
    [(0.3, 0.745), (0.3, 0.99), (0.25, 1.31), (0.12, 1.84), (0.026, 2.9), (0.004, 5.5)];
/// Spread of a dead current's residue, in amperes.
const DEAD_AMPS: f64 = 0.0045;
/// A line with next to no load: its chance, and logarithm and spread of its current against the others'.
pub(super) const UNLOADED: (f64, f64, f64) = (0.008, -3.2, 0.6);

/// A current reading made ready.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct AmpReading {
    /// Logarithm of the amperes, with its spread from instrument and last digit.
    pub log: Option<(f64, f64)>,
    /// Density of the reading, per unit of the logarithm, were there no current.
    pub dead: f64,
    /// Amperes.
    pub size: Option<f64>,
    /// Degrees counter-clockwise.
    pub degrees: Option<f64>,
    /// Likely spreads of the angle in degrees, with their weights.
    pub spread: [(f64, f64); 9],
}

/// Readings made ready.
#[derive(Clone, Debug)]
pub(super) struct Evidence {
    /// Per unit of the nominal voltage.
    pub volts: [Shown; MOST],
    /// The channel whose angle was written as 0°: no measurement.
    pub written: Option<usize>,
    /// The channel that voltages' angles were really counted from, and whether the clips were exchanged.
    pub volt_reference: Option<(usize, bool)>,
    /// The same for currents.
    pub amp_reference: Option<(usize, bool)>,
    /// Whether voltages were taken from line to line.
    pub line_to_line: bool,
    pub amps: [AmpReading; MOST],
    /// One table an angle; doubled so that a turn needs no modulus.
    pub tables: [[f64; 2 * GRID]; MOST],
    /// Instrument's spread of angles: weights and degrees.
    pub instrument: [(f64, f64); 3],
    /// Spread of a line's load angle about the common one, in degrees.
    pub line_spread: f64,
    /// Likelihood of what a slip's hypothesis has used up.
    pub factor: f64,
    /// Volts that one per unit stands for.
    pub nominal: f64,
}

pub(super) fn wrap(degrees: f64) -> f64 {
    let turned = degrees - 360.0 * libm::floor(degrees / 360.0);
    if turned > 180.0 { turned - 360.0 } else { turned }
}

pub(super) fn normal(r: f64, sd: f64) -> f64 {
    let z = r / sd;
    if z * z > 80.0 { 0.0 } else { libm::exp(-0.5 * z * z) / (sd * 2.506_628_274_631_000_5) }
}

impl Evidence {
    /// Takes the readings of a visit; numbers that are not finite or beyond anything real count as not read.
    pub fn of(visit: &Visit, channels: (usize, usize), leans: bool) -> Self {
        let readings = &visit.readings;
        let nominal =
            if visit.nominal_volts.is_finite() && visit.nominal_volts > 0.0 { visit.nominal_volts } else { 120.0 };
        let mut volts = readings.volts.map(|shown| clean(shown, 1e6));
        for (k, shown) in volts.iter_mut().enumerate() {
            shown.size = shown.size.map(|size| size / nominal);
            if k >= channels.0 {
                *shown = Shown::default();
            }
        }
        let reference = readings.reference.filter(|k| *k < channels.0);
        if reference.is_none() {
            volts.iter_mut().for_each(|shown| shown.degrees = None);
        }
        let instrument = match readings.instrument_degrees.filter(|sd| sd.is_finite() && *sd > 0.0) {
            Some(sd) => [(1.0, sd.clamp(0.1, 20.0)), (0.0, 1.0), (0.0, 1.0)],
            None => [(0.2, 0.5), (0.6, 1.0), (0.2, 2.0)],
        };
        let mut evidence = Self {
            volts,
            written: reference,
            volt_reference: reference.map(|k| (k, false)),
            amp_reference: reference.map(|k| (k, false)),
            line_to_line: false,
            amps: [AmpReading::default(); MOST],
            tables: [[1.0; 2 * GRID]; MOST],
            instrument,
            line_spread: LINE_SPREAD_DEGREES * if leans { 1.5 } else { 1.0 },
            factor: 1.0,
            nominal,
        };
        let shown: [Shown; MOST] = std::array::from_fn(|k| {
            let one = if k < channels.1 { clean(readings.amps[k], 1e4) } else { Shown::default() };
            Shown { degrees: one.degrees.filter(|_| reference.is_some()), ..one }
        });
        let digit = digit(&shown);
        for (k, one) in shown.iter().enumerate() {
            evidence.amps[k].size = one.size;
            evidence.amps[k].degrees = one.degrees;
            if let Some(size) = one.size {
                let (log, dead) = size_of(size, digit);
                evidence.amps[k].log = Some(log);
                evidence.amps[k].dead = dead;
            }
        }
        for k in 0..MOST {
            evidence.spread(k);
            evidence.table(k);
        }
        evidence
    }

    /// Works out how far an angle may be trusted: the instrument, and a term that grows as the current falls.
    pub fn spread(&mut self, k: usize) {
        let mut likely = [(0.0, 1.0); 3];
        match self.amps[k].size {
            Some(size) => likely[0] = (1.0, low_current_degrees(size)),
            None => {
                let others: Vec<f64> = (0..MOST).filter_map(|j| self.amps[j].log.map(|(log, _)| log)).collect();
                let most = others.iter().copied().fold(f64::NEG_INFINITY, f64::max);
                // Nothing known: the usual spread of a site's load; else that of one line about its neighbours.
                let nodes: [(f64, f64); 3] = if others.is_empty() {
                    [(0.10, -2.8), (0.3, -0.8), (0.6, 0.4)]
                } else {
                    [(0.25, most - 0.7), (0.5, most - 0.2), (0.25, most + 0.2)]
                };
                likely = nodes.map(|(weight, log)| (weight, low_current_degrees(libm::exp(log))));
            }
        }
        for (i, (weight, degrees)) in self.instrument.iter().enumerate() {
            for (j, (likely_weight, extra)) in likely.iter().enumerate() {
                let both = libm::sqrt(degrees * degrees + extra * extra + 0.1);
                self.amps[k].spread[3 * i + j] = (weight * likely_weight, both);
            }
        }
    }

    /// Fills the table of a channel's angle: its density were the load's line to point at 0° plus the load angle.
    pub fn table(&mut self, k: usize) {
        let Some(degrees) = self.amps[k].degrees else {
            self.tables[k] = [1.0; 2 * GRID];
            return;
        };
        let spread = self.amps[k].spread;
        fill(&mut self.tables[k], degrees, &spread, self.line_spread);
    }

    /// Density of an angle were it drawn blindly, or 1 where none was written.
    pub fn blind(&self, k: usize) -> f64 {
        if self.amps[k].degrees.is_some() { 1.0 / 360.0 } else { 1.0 }
    }

    /// Whether an angle this far from its hypothesis is likelier misread than scattered.
    pub fn misread(&self, k: usize, degrees_off: f64) -> bool {
        let spread = self.typical_spread(k);
        let mut density = 0.0;
        for (weight, times) in TAILS {
            let line = self.line_spread * times;
            density += weight * normal(degrees_off, libm::sqrt(spread * spread + line * line));
        }
        density < BLUNDER / 360.0
    }

    /// The one spread that stands for a channel's angle.
    pub fn typical_spread(&self, k: usize) -> f64 {
        let square: f64 = self.amps[k].spread.iter().map(|(weight, sd)| weight * sd * sd).sum();
        libm::sqrt(square)
    }
}

/// Density of an angle over the grid, by its distance from the table's zero.
pub(super) fn fill(table: &mut [f64; 2 * GRID], degrees: f64, spread: &[(f64, f64)], line_spread: f64) {
    let mut parts = [(0.0, 1.0, 0.0); 6 * 9];
    let mut count = 0;
    for (weight, sd) in spread.iter().filter(|(weight, _)| *weight > 0.0) {
        for (tail, times) in TAILS {
            let line = line_spread * times;
            let square = sd * sd + line * line;
            let width = libm::sqrt(square);
            parts[count] = (weight * tail / (width * 2.506_628_274_631_000_5), -0.5 / square, 36.0 * square);
            count += 1;
        }
    }
    // A spread of many turns would need wrapping; beyond 60° the angle says nothing.
    let vague = spread.iter().map(|(weight, sd)| if *sd > 60.0 { *weight } else { 0.0 }).sum::<f64>();
    for m in 0..GRID {
        let r = wrap(degrees + STEP_DEGREES * m as f64);
        let square = r * r;
        let mut density = 0.0;
        for (weight, exponent, far) in parts.iter().take(count) {
            if square < *far {
                density += weight * libm::exp(exponent * square);
            }
        }
        let value = (1.0 - BLUNDER) * (density * (1.0 - vague) + vague / 360.0) + BLUNDER / 360.0;
        table[m] = value;
        table[m + GRID] = value;
    }
}

/// Degrees that a small current adds to an angle's spread.
fn low_current_degrees(size: f64) -> f64 {
    let ratio = 0.05 / size.max(0.005);
    (40.0 * ratio * ratio).min(200.0)
}

fn clean(shown: Shown, most: f64) -> Shown {
    Shown {
        size: shown.size.filter(|size| size.is_finite() && (0.0..=most).contains(size)),
        degrees: shown.degrees.filter(|degrees| degrees.is_finite() && degrees.abs() <= 720.0),
    }
}

/// The last digit that the currents were written to.
fn digit(shown: &[Shown]) -> f64 {
    let coarse = shown.iter().filter_map(|one| one.size).all(|size| {
        let hundredths = size * 100.0;
        (hundredths - libm::round(hundredths)).abs() < 1e-6
    });
    if coarse { 0.01 } else { 0.001 }
}

/// Logarithm of a current with its spread, and the density of the reading were the current dead.
pub(super) fn size_of(size: f64, digit: f64) -> ((f64, f64), f64) {
    let seen = size.max(0.3 * digit);
    let relative = 0.4 * digit / seen;
    let spread = libm::sqrt(0.0102 * 0.0102 + relative * relative);
    let (from, to) = ((size - digit / 2.0).max(0.0), size + digit / 2.0);
    let half = |x: f64| libm::erf(x / (DEAD_AMPS * std::f64::consts::SQRT_2));
    // The bin of a reading as a stretch of the logarithm, in which the density of a live current is told.
    let stretch = if size < digit / 2.0 { 2.0 } else { (digit / seen).min(2.0) };
    ((libm::log(seen), spread), (half(to) - half(from)).max(1e-30) / stretch)
}

/// Chances of the common load angle at each grid point, by what was told.
pub(super) fn load_prior(told: &Told) -> [f64; GRID] {
    // Mean and spread in degrees; the first three are mixed loads.
    const SHAPES: [(f64, f64); 6] =
        [(22.0, 15.0), (-18.0, 12.0), (188.0, 18.0), (33.0, 11.0), (8.0, 7.0), (-22.0, 13.0)];
    const LAGGING: f64 = 0.87;
    const LEADING: f64 = 0.12;
    const EXPORT: f64 = 0.01;
    let mut weights = match told.load {
        Some(Load::Mixed) => [LAGGING, LEADING, EXPORT, 0.0, 0.0, 0.0],
        Some(Load::Motors) => [0.0, 0.0, 1e-3, 1.0, 0.0, 0.0],
        Some(Load::Lighting) => [0.0, 0.0, 1e-3, 0.0, 1.0, 0.0],
        Some(Load::Capacitors) => [0.0, 0.0, 1e-3, 0.0, 0.0, 1.0],
        Some(Load::Generation) => [0.1, 0.01, 1.0, 0.0, 0.0, 0.0],
        None => [0.62 * LAGGING, 0.62 * LEADING, 0.62 * EXPORT + 0.026, 0.14, 0.13, 0.08],
    };
    // Whoever exports says so in seven cases of ten, and nobody with generation says there is none.
    weights[2] *= match told.generation {
        Some(false) => 1e-3,
        Some(true) => 0.7 / 0.0155,
        None => 0.3 / 0.4,
    };
    let mut prior = [0.0; GRID];
    for (k, chance) in prior.iter_mut().enumerate() {
        let angle = STEP_DEGREES * k as f64;
        for ((mean, spread), weight) in SHAPES.iter().zip(weights) {
            if weight > 0.0 {
                *chance += weight * normal(wrap(angle - mean), *spread);
            }
        }
        *chance += 1e-7;
    }
    let sum: f64 = prior.iter().sum();
    prior.iter_mut().for_each(|chance| *chance /= sum);
    prior
}
