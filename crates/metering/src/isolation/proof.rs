//! The two-sided proof of a short and of its removal: amperes on the CT side and on the meter side, judged together.
//!
//! 0 A at the meter is what a good short shows, and also what a broken CT circuit shows; only the CT side tells them
//! apart. While the meter path is still closed the current divides between it and the short: a short of 2 mΩ beside
//! 2 mΩ of meter and 3 ft of #12 lead leaves about 13 % at the meter, 20 ft of #10 about 4 % (Kirchhoff).

use super::{Circuit, Reason, ShortProof};
use crate::range::Range;

/// Secondary amperes that an instrument can show here.
pub const AMPS: Range = Range { what: "secondary_current", unit: "A", least: 0.0, most: 100.0 };
/// Least current in which a short or a return can be proven: five last digits of a clamp that shows 0.01 A.
/// Common practice, no source.
pub const LEAST_TO_PROVE_A: f64 = 0.05;
/// What still counts as about 0 A: one last digit of such a clamp. Common practice, no source.
pub const ABOUT_ZERO_A: f64 = 0.01;
/// What a nearby conductor may leave in the jaw of the clamp, as a part of the CT side. Common practice, no source.
pub const STRAY_PART: f64 = 0.02;
/// The meter side dropped clearly when at most this part of the CT side is left there. A sound short leaves 0.04 to 0.13
/// (see above); half leaves room for the shortest leads, and a short that does not conduct leaves all. No source.
pub const CLEAR_DROP_PART: f64 = 0.5;
/// With the short still on, the meter path is shown to carry from this current on: two last digits of the clamp, so that
/// one digit of noise proves nothing. At a share of 4 % this takes 0.5 A on the CT side. No source.
pub const LEAST_SHARE_A: f64 = 0.02;
/// … and from this part of the CT side on: a quarter of the least share of a sound short, above the stray of a large
/// current a hand's breadth away. No source.
pub const LEAST_SHARE_PART: f64 = 0.01;
/// Two readings of the same current agree within this part, plus [`ABOUT_ZERO_A`]: two clamp readings a minute apart
/// under an ordinary load. Common practice, no source.
pub const SAME_PART: f64 = 0.1;
/// With the meter path broken the load may have wandered since `before`, but not below this part of it. No source.
pub const WANDER_PART: f64 = 0.5;
/// At most this part of `before` left on both sides, and less than [`LEAST_TO_PROVE_A`], is no current: broken. No source.
pub const GONE_PART: f64 = 0.1;

/// Amperes read on both sides of one element.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Proof {
    /// Read before the last act on this element; on a repeat, the last reading of the CT side. `None`: not read.
    pub before_a: Option<f64>,
    /// On the lead from the CT.
    pub ct_side_a: f64,
    /// On the lead to the meter.
    pub meter_side_a: f64,
}

/// What a reading shows, given where the poles are thought to stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Verdict {
    /// To meter: both sides carry the same current.
    Carries,
    /// Short and meter path both closed: which of the two is shown to conduct.
    Divides {
        /// The meter side dropped clearly and the CT side did not change.
        short: bool,
        /// The meter side carries a share.
        path: bool,
    },
    /// Meter side about 0 A, CT side carries: the short is proven.
    Shorted,
    /// No current on either side where there was one: **suspected open CT**.
    Broken,
    /// The CT side carries, so the circuit is closed somewhere; where the poles stand is not known.
    Conducts,
    /// Current where the poles as seen allow none: they stand otherwise than thought.
    Disagrees,
    /// The reading decides nothing.
    Undecided(Reason),
}

impl Proof {
    /// Judges this reading of an element whose poles are thought to stand as `circuit`.
    #[must_use]
    pub fn judge(&self, circuit: Circuit) -> Verdict {
        let (ct, meter) = (self.ct_side_a, self.meter_side_a);
        if [Some(ct), Some(meter), self.before_a].into_iter().flatten().any(|amps| AMPS.check(amps).is_err()) {
            return Verdict::Undecided(Reason::ReadingOutOfRange);
        }
        if ct < LEAST_TO_PROVE_A {
            return self.judge_no_current();
        }
        if meter > ct * (1.0 + SAME_PART) + ABOUT_ZERO_A {
            return Verdict::Undecided(Reason::SidesDisagree);
        }
        match circuit {
            Circuit::ToMeter { .. } if meter >= ct * (1.0 - SAME_PART) - ABOUT_ZERO_A => Verdict::Carries,
            Circuit::ToMeter { .. } => Verdict::Disagrees,
            Circuit::Both { short_proven, path_proven } => self.judge_divided(short_proven, path_proven),
            Circuit::Shorted { .. } if meter > ABOUT_ZERO_A.max(ct * STRAY_PART) => Verdict::Disagrees,
            Circuit::Shorted { proof: ShortProof::None, .. } if self.before_a.is_none() => {
                Verdict::Undecided(Reason::BeforeMissing)
            }
            Circuit::Shorted { .. } if self.before_a.is_some_and(|before| ct < before * WANDER_PART) => {
                Verdict::Undecided(Reason::LoadMoved)
            }
            Circuit::Shorted { .. } => Verdict::Shorted,
            Circuit::Broken | Circuit::Unknown => Verdict::Conducts,
        }
    }

    /// Hardly any current on the CT side: broken, or too little to tell.
    fn judge_no_current(&self) -> Verdict {
        if self.meter_side_a >= LEAST_TO_PROVE_A {
            return Verdict::Undecided(Reason::SidesDisagree);
        }
        match self.before_a {
            Some(before) if before >= LEAST_TO_PROVE_A => {
                let gone = ABOUT_ZERO_A.max(before * GONE_PART);
                if self.ct_side_a <= gone && self.meter_side_a <= gone {
                    Verdict::Broken
                } else {
                    Verdict::Undecided(Reason::LoadMoved)
                }
            }
            _ => Verdict::Undecided(Reason::LoadTooSmallToProve),
        }
    }

    /// Short and meter path are both closed. What was proven already stays so unless the reading says otherwise.
    fn judge_divided(&self, short_proven: bool, path_proven: bool) -> Verdict {
        let (ct, meter) = (self.ct_side_a, self.meter_side_a);
        let short = meter <= ct * CLEAR_DROP_PART;
        let path = meter >= LEAST_SHARE_A.max(ct * LEAST_SHARE_PART);
        if short_proven {
            return match (short, path || path_proven) {
                (false, _) => Verdict::Disagrees,
                (true, true) => Verdict::Divides { short: true, path: true },
                (true, false) => Verdict::Undecided(Reason::PathNotShown),
            };
        }
        match self.before_a {
            None => Verdict::Undecided(Reason::BeforeMissing),
            Some(before) if before < LEAST_TO_PROVE_A => Verdict::Undecided(Reason::LoadTooSmallToProve),
            Some(before) if (ct - before).abs() > before * SAME_PART + ABOUT_ZERO_A => {
                Verdict::Undecided(Reason::LoadMoved)
            }
            Some(_) if !short && path_proven => Verdict::Undecided(Reason::ShortDoesNotConduct),
            Some(_) => Verdict::Divides { short, path: path || path_proven },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::isolation::Ready;

    const TO_METER: Circuit = Circuit::ToMeter { carries: false, short: Ready::NotLookedAt };
    const FRESH: Circuit = Circuit::Both { short_proven: false, path_proven: true };
    const RETURNING: Circuit = Circuit::Both { short_proven: true, path_proven: false };
    const UP: Circuit = Circuit::Shorted { proof: ShortProof::FirstStage, path: Ready::NotLookedAt };

    fn judge(circuit: Circuit, before_a: Option<f64>, ct_side_a: f64, meter_side_a: f64) -> Verdict {
        Proof { before_a, ct_side_a, meter_side_a }.judge(circuit)
    }

    #[test]
    fn the_divided_current_of_a_sound_short_is_a_clear_drop() {
        // Shares 13 % and 4 %: 2 mΩ of short beside 2 mΩ of meter plus 3 ft of #12 and 20 ft of #10 (division of current).
        let of_copper = |ohm_per_1000_ft: f64, feet: f64| 2.0 / (2.0 + 2.0 + 2.0 * ohm_per_1000_ft * feet);
        for (share, near) in [(of_copper(1.98, 3.0), 0.13), (of_copper(1.24, 20.0), 0.04)] {
            assert!((share - near).abs() < 0.005, "share {share}");
            let both = Verdict::Divides { short: true, path: true };
            assert_eq!(judge(FRESH, Some(2.5), 2.5, 2.5 * share), both);
            assert_eq!(judge(RETURNING, None, 2.5, 2.5 * share), both);
        }
    }

    #[test]
    fn each_reading_gets_the_verdict_that_physics_allows() {
        let undecided = Verdict::Undecided;
        for (circuit, before, ct, meter, wanted) in [
            (TO_METER, None, 2.5, 2.49, Verdict::Carries),
            (TO_METER, None, 2.5, 0.3, Verdict::Disagrees),
            (TO_METER, None, 0.0, 0.0, undecided(Reason::LoadTooSmallToProve)),
            (TO_METER, Some(2.5), 0.0, 0.0, Verdict::Broken),
            (FRESH, Some(2.5), 2.5, 2.45, undecided(Reason::ShortDoesNotConduct)),
            (FRESH, Some(2.5), 1.2, 0.1, undecided(Reason::LoadMoved)),
            (FRESH, Some(2.5), 0.0, 0.0, Verdict::Broken),
            (FRESH, Some(0.04), 0.04, 0.0, undecided(Reason::LoadTooSmallToProve)),
            (FRESH, Some(0.04), 0.06, 0.0, undecided(Reason::LoadTooSmallToProve)),
            (FRESH, None, 2.5, 0.1, undecided(Reason::BeforeMissing)),
            (RETURNING, None, 2.5, 0.0, undecided(Reason::PathNotShown)),
            (RETURNING, None, 0.3, 0.012, undecided(Reason::PathNotShown)),
            (RETURNING, None, 2.5, 2.4, Verdict::Disagrees),
            (UP, Some(2.5), 2.4, 0.0, Verdict::Shorted),
            (UP, None, 2.4, 0.01, Verdict::Shorted),
            (UP, Some(2.5), 0.0, 0.0, Verdict::Broken),
            (UP, Some(2.5), 0.06, 0.0, undecided(Reason::LoadMoved)),
            (UP, Some(2.5), 2.5, 0.3, Verdict::Disagrees),
            (UP, Some(0.03), 0.0, 0.0, undecided(Reason::LoadTooSmallToProve)),
            (Circuit::Broken, None, 2.5, 2.5, Verdict::Conducts),
            (Circuit::Unknown, Some(2.5), 0.0, 0.0, Verdict::Broken),
            (Circuit::Unknown, Some(2.5), 0.0, 2.5, undecided(Reason::SidesDisagree)),
            (TO_METER, None, 1.0, 2.5, undecided(Reason::SidesDisagree)),
            (TO_METER, None, f64::NAN, 2.5, undecided(Reason::ReadingOutOfRange)),
            (TO_METER, Some(f64::INFINITY), 2.5, 2.5, undecided(Reason::ReadingOutOfRange)),
            (TO_METER, None, 2.5, -0.1, undecided(Reason::ReadingOutOfRange)),
        ] {
            assert_eq!(judge(circuit, before, ct, meter), wanted, "{circuit:?} {before:?} {ct} {meter}");
        }
    }
}
