//! What any reading can show of a hypothesis. Two with one key are one explanation: all phases rolled together, say.

use super::cause::{Level, VoltState};
use super::infer::{Inference, place};
use super::layout::{Layout, MOST, steps};
use crate::phasor::Phasor;
use crate::service::Sequence;

/// Nominal channel voltages of a state: partial voltages at 0.62, shares equal, a lost neutral not yet floating.
pub(super) fn nominal(layout: &Layout, state: &VoltState, sequence: Sequence) -> [Phasor; MOST] {
    let mut fixed = *state;
    let mut factor = [1.0; MOST];
    for k in 0..MOST {
        match state.level[k] {
            Level::Low => factor[k] = 0.62,
            Level::High => factor[k] = 1.732_050_807_568_877_2,
            _ => continue,
        }
        fixed.level[k] = Level::Normal;
    }
    fixed.floating = false;
    let mut out = [Phasor::ZERO; MOST];
    super::volts::with_factors(layout, &fixed, sequence, &factor, &mut out);
    out
}

/// Packs what shows of each channel: 8 bits each, class above, direction against the first live voltage below.
pub(super) fn of(inference: &Inference, volt: usize, amp: usize, sequence: Sequence, slip: usize) -> u64 {
    let layout = &inference.layout;
    let state = &inference.volts[volt].state;
    let seen = &inference.nominal[volt][place(sequence)];
    let reference = seen.iter().take(layout.volts).find(|v| v.magnitude() > 0.02).map_or(0, |v| steps(*v));
    let mut key = slip as u64;
    let common_open = layout.open_delta && state.level[state.from[1]] == Level::Dead;
    for (e, v) in seen.iter().enumerate().take(layout.volts) {
        let size = v.magnitude();
        let normal = layout.span[e].magnitude();
        let low = if layout.open_delta {
            let other = if e == 0 { 0 } else { 2 };
            state.level[state.from[other]] == Level::Low || state.level[state.from[1]] == Level::Low
        } else {
            state.level[state.from[e]] == Level::Low
        };
        let class: u64 = match size / normal {
            _ if size < 0.02 => 3,
            _ if common_open => 4,
            _ if low => 1,
            part if part <= 0.93 => 1,
            part if part >= 1.07 => 2,
            _ => 0,
        };
        let angle = if class == 3 { 0 } else { (steps(*v) - reference).rem_euclid(12) as u64 };
        key = (key << 8) | (class << 4) | angle;
    }
    key = (key << 1) | u64::from(state.floating);
    let states = &inference.channels[amp];
    for one in states.iter().take(layout.amps) {
        let class: u64 = match one.level {
            Level::Normal => 0,
            Level::Low => 1,
            Level::High => 2,
            Level::Dead => 3,
            Level::Residual if layout.amps == 2 => 4,
            Level::Residual => 1,
        };
        let turn = if one.reversed && !(one.level == Level::Residual && layout.amps == 3) { 6 } else { 0 };
        let angle = (layout.line_step(one.line, sequence) + turn - reference).rem_euclid(12) as u64;
        key = (key << 8) | (class << 4) | if class == 3 { 0 } else { angle };
    }
    key
}
