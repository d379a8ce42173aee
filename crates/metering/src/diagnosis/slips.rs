//! Slips of the hand that measures: the readings as they would have been without one.

use super::cause::Cause;
use super::evidence::{Evidence, normal, size_of, wrap};
use super::layout::{Layout, MOST};
use super::priors::Priors;
use super::visit::Visit;

/// No slip first, then every slip that the priors give a chance.
pub(super) fn all(layout: &Layout, priors: &Priors) -> Vec<Option<Cause>> {
    let mut out = vec![None];
    if priors.slip + priors.slip_and_fault <= 0.0 {
        return out;
    }
    for e in 0..layout.amps {
        out.push(Some(Cause::SlipClampReversed(e)));
        out.push(Some(Cause::SlipClampOnReturn(e)));
        out.push(Some(Cause::SlipClampBoth(e)));
        for other in (0..layout.amps).filter(|other| *other != e) {
            out.push(Some(Cause::SlipClampOn(e, other)));
            out.push(Some(Cause::SlipClampTwo(e, other)));
        }
    }
    out.extend((0..layout.volts).map(|e| Some(Cause::SlipClip(e))));
    out.push(Some(Cause::SlipClipReversed));
    if !layout.open_delta && layout.volts > 1 {
        out.push(Some(Cause::SlipLineToLine));
    }
    out
}

/// A slip's share of all slips.
pub(super) fn odds(layout: &Layout, slip: Cause, priors: &Priors) -> f64 {
    let s = &priors.slips;
    let across = if layout.open_delta || layout.volts < 2 { 0.0 } else { s.line_to_line };
    let all = s.clamp_reversed
        + s.clamp_on
        + s.clamp_on_return
        + s.clamp_two
        + s.clamp_both
        + s.clip
        + s.clip_reversed
        + across;
    let (amps, others) = (layout.amps.max(1) as f64, (layout.amps.max(2) - 1) as f64);
    let clips = (layout.volts.max(2) - 1) as f64;
    let own = match slip {
        Cause::SlipClampReversed(_) => s.clamp_reversed / amps,
        Cause::SlipClampOn(..) => s.clamp_on / amps / others,
        Cause::SlipClampOnReturn(_) => s.clamp_on_return / amps,
        Cause::SlipClampTwo(..) => s.clamp_two / amps / others,
        Cause::SlipClampBoth(_) => s.clamp_both / amps,
        Cause::SlipClip(_) => s.clip / clips,
        Cause::SlipClipReversed => s.clip_reversed,
        Cause::SlipLineToLine => s.line_to_line,
        _ => 0.0,
    };
    own / all.max(1e-300)
}

/// The current channel whose reading a slip spoils, where it is one.
pub(super) fn spoilt_channel(slip: Cause) -> Option<usize> {
    match slip {
        Cause::SlipClampReversed(e)
        | Cause::SlipClampOn(e, _)
        | Cause::SlipClampOnReturn(e)
        | Cause::SlipClampTwo(e, _)
        | Cause::SlipClampBoth(e) => Some(e),
        _ => None,
    }
}

/// The evidence as it would be without the slip; `None` where it cannot have happened or would have left no mark.
pub(super) fn undo(layout: &Layout, slip: Cause, seen: &Evidence, visit: &Visit) -> Option<Evidence> {
    let fresh = &visit.readings.repeated;
    if let Some(e) = spoilt_channel(slip)
        && (fresh.amps[e] || seen.amps[e].size.is_none() && seen.amps[e].degrees.is_none())
    {
        return None;
    }
    let mut out = seen.clone();
    match slip {
        Cause::SlipClampReversed(e) => {
            let degrees = seen.amps[e].degrees?;
            out.amps[e].degrees = Some(wrap(degrees + 180.0));
            out.table(e);
        }
        Cause::SlipClampOn(e, other) => {
            out.factor = twin(seen, e, other)?;
            move_to(&mut out, e, other);
        }
        Cause::SlipClampBoth(e) => {
            seen.amps[e].size?;
            out.factor = seen.amps[e].dead * seen.blind(e);
            forget(&mut out, e);
        }
        Cause::SlipClampOnReturn(e) => derive(layout, &mut out, e, |_| -1.0)?,
        Cause::SlipClampTwo(e, other) => derive(layout, &mut out, e, |j| match j {
            _ if j == e => 1.0,
            _ if j == other => -1.0,
            _ => 0.0,
        })?,
        Cause::SlipClip(on) => {
            seen.amp_reference.filter(|(written, _)| *written != on)?;
            clip(&mut out, fresh.volts, (on, false));
            if no_mark(seen, fresh) {
                return None;
            }
        }
        Cause::SlipClipReversed => {
            let (written, _) = seen.amp_reference?;
            clip(&mut out, fresh.volts, (written, true));
            if no_mark(seen, fresh) {
                return None;
            }
        }
        Cause::SlipLineToLine => {
            if fresh.volts {
                return None;
            }
            out.line_to_line = true;
        }
        _ => return None,
    }
    Some(out)
}

fn clip(out: &mut Evidence, volts_fresh: bool, reference: (usize, bool)) {
    out.amp_reference = Some(reference);
    if !volts_fresh {
        out.volt_reference = Some(reference);
    }
}

/// Whether a misplaced reference would show nowhere, or everything it spoils was measured again.
fn no_mark(seen: &Evidence, fresh: &super::visit::Repeated) -> bool {
    let volts = (0..MOST).any(|e| seen.written != Some(e) && seen.volts[e].degrees.is_some()) && !fresh.volts;
    let amps = (0..MOST).any(|e| seen.amps[e].degrees.is_some() && !fresh.amps[e]);
    !(volts || amps)
}

fn forget(out: &mut Evidence, e: usize) {
    out.amps[e].size = None;
    out.amps[e].log = None;
    out.amps[e].degrees = None;
    out.table(e);
}

/// How well one channel's reading agrees with being another's, taken twice.
fn twin(seen: &Evidence, e: usize, other: usize) -> Option<f64> {
    let (own, twin) = (&seen.amps[e], &seen.amps[other]);
    let mut factor = 1.0;
    let mut compared = false;
    if let (Some((a, one)), Some((b, two))) = (own.log, twin.log) {
        factor *= normal(a - b, libm::sqrt(one * one + two * two));
        compared = true;
    }
    if let (Some(a), Some(b)) = (own.degrees, twin.degrees) {
        let (one, two) = (seen.typical_spread(e), seen.typical_spread(other));
        factor *= normal(wrap(a - b), libm::sqrt(one * one + two * two)).max(1.0 / 360.0 * 0.004);
        compared = true;
    }
    compared.then_some(factor)
}

/// The second reading of a channel fills what the first left open, and its own channel was never read.
fn move_to(out: &mut Evidence, e: usize, other: usize) {
    let moved = out.amps[e];
    if out.amps[other].size.is_none() && moved.size.is_some() {
        out.amps[other].size = moved.size;
        out.amps[other].log = moved.log;
        out.amps[other].dead = moved.dead;
    }
    if out.amps[other].degrees.is_none() && moved.degrees.is_some() {
        out.amps[other].degrees = moved.degrees;
    }
    out.spread(other);
    out.table(other);
    forget(out, e);
}

/// A channel's current as a sum of readings; the change of measure is in the factor.
fn derive(layout: &Layout, out: &mut Evidence, e: usize, share: impl Fn(usize) -> f64) -> Option<()> {
    let (mut re, mut im, mut noise, mut own) = (0.0, 0.0, 0.0, 0.0);
    for j in 0..layout.amps {
        let share = share(j);
        if share == 0.0 {
            continue;
        }
        let reading = &out.amps[j];
        if j != e && reading.size.is_some_and(|size| size < 0.004) {
            continue;
        }
        let (size, degrees) = (reading.size?, reading.degrees?);
        let radians = degrees.to_radians();
        re += share * size * libm::cos(radians);
        im += share * size * libm::sin(radians);
        let angle = out.typical_spread(j).to_radians() * size;
        noise += angle * angle + 1e-4 * size * size;
        if j == e {
            own = size;
        }
    }
    let size = libm::hypot(re, im).max(2e-3);
    let ((log, spread), dead) = size_of(size, 0.001);
    let relative = libm::sqrt(noise) / size;
    let reading = &mut out.amps[e];
    reading.size = Some(size);
    reading.log = Some((log, libm::sqrt(spread * spread + (relative * relative).min(1.0))));
    reading.dead = dead;
    reading.degrees = Some(libm::atan2(im, re).to_degrees());
    let degrees = relative.min(2.0).to_degrees();
    reading.spread = [(0.0, 1.0); 9];
    reading.spread[0] = (1.0, degrees.clamp(0.5, 200.0));
    out.factor *= own * own / (size * size);
    out.table(e);
    Some(())
}
