//! Energy that the meter did not register while the hands were at the test switch.
//!
//! Each element has its own clock: from the first of short closed, potential opened or meter out, to the last of them
//! restored. In between it registers all, nothing, or an unknown part: with the short closed and the meter path still
//! closed the current divides. Missing energy is power × time × the share that was not registered.

use crate::isolation::{Belief, Circuit, Element, Meter, Potential, PotentialPole, Supply};
use crate::quantity::{WattHours, Watts};
use crate::range::{OutOfRange, Range};
use crate::working::{Input, Rule, Shown, Working};
use thiserror::Error;

const SECONDS_PER_HOUR: f64 = 3600.0;
const WATTS_PER_KILOWATT: f64 = 1000.0;
/// What a registered share may be.
const SHARE: Range = Range { what: "registered_share", unit: "", least: 0.0, most: 1.0 };
/// How uncertain a stated moment may be, in seconds: two days, for a phone whose date is wrong.
pub const CLOCK: Range = Range { what: "clock_uncertainty", unit: "s", least: 0.0, most: 172_800.0 };

/// Which part of its energy an element registers: 0 nothing, 1 all.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Share {
    least: f64,
    likely: f64,
    most: f64,
}

impl Share {
    /// Registers everything.
    pub const ALL: Self = Self { least: 1.0, likely: 1.0, most: 1.0 };
    /// Registers nothing.
    pub const NOTHING: Self = Self { least: 0.0, likely: 0.0, most: 0.0 };
    /// Short and meter path both closed: the current divides. Little stays with the meter: 4 % to 13 % with common leads
    /// (derived, 2 mΩ short against 2 mΩ of meter and 3 ft of #12, or 20 ft of #10), so nothing is the likely value.
    pub const DIVIDED: Self = Self { least: 0.0, likely: 0.0, most: 1.0 };
    /// Nobody knows; the likely value is the middle and stands for that only.
    pub const UNKNOWN: Self = Self { least: 0.0, likely: 0.5, most: 1.0 };

    /// A share with its range.
    ///
    /// # Errors
    /// [`OutOfRange`] for a part outside 0 to 1, or when the three are not in order.
    pub fn new(least: f64, likely: f64, most: f64) -> Result<Self, OutOfRange> {
        let bounded = |value: f64, least: f64| Range { least, ..SHARE }.check(value);
        let least = SHARE.check(least)?;
        let likely = bounded(likely, least)?;
        Ok(Self { least, likely, most: bounded(most, likely)? })
    }

    /// What one element registers in a state of the switch. While the supply is off nothing flows, so nothing is missed.
    pub fn of(belief: &Belief, element: Element) -> Self {
        let pole = match element {
            Element::A => PotentialPole::A,
            Element::B => PotentialPole::B,
            Element::C => PotentialPole::C,
        };
        if belief.supply() == Supply::DeEnergised {
            return Self::ALL;
        }
        if belief.meter() == Meter::Out || matches!(belief.potential(pole), Potential::Open | Potential::Shorted) {
            return Self::NOTHING;
        }
        let is_unknown = belief.meter() == Meter::Unknown || belief.potential(pole) == Potential::Unknown;
        let neutral_is_off = matches!(belief.potential(PotentialPole::N), Potential::Open | Potential::Shorted);
        match belief.current(element) {
            Circuit::Shorted { .. } => Self::NOTHING,
            Circuit::Both { .. } | Circuit::Broken => Self::DIVIDED,
            Circuit::Unknown => Self::UNKNOWN,
            Circuit::ToMeter { .. } if is_unknown || neutral_is_off => Self::UNKNOWN,
            Circuit::ToMeter { .. } => Self::ALL,
        }
    }

    /// The least part that it registers.
    pub const fn least(self) -> f64 {
        self.least
    }

    /// The likely part.
    pub const fn likely(self) -> f64 {
        self.likely
    }

    /// The most it can register.
    pub const fn most(self) -> f64 {
        self.most
    }
}

/// From this moment on an element registers this share.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Change {
    /// Seconds after any one moment that all changes and readings are counted from.
    pub at_s: f64,
    /// What the element registers from then on.
    pub share: Share,
}

/// The changes of one element over a history of the switch, each state with the seconds from which it held.
pub fn changes(history: &[(f64, Belief)], element: Element) -> Vec<Change> {
    let mut changes: Vec<Change> = Vec::new();
    for (at_s, belief) in history {
        let share = Share::of(belief, element);
        if changes.last().is_none_or(|last| last.share != share) {
            changes.push(Change { at_s: *at_s, share });
        }
    }
    changes
}

/// A power that was read, with the moment of reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PowerRead {
    /// Primary power of the element.
    pub power: Watts,
    /// Seconds after the moment that the changes are counted from.
    pub at_s: f64,
}

/// What one element went through. Before the first change it registered everything.
#[derive(Clone, Debug, PartialEq)]
pub struct Bypass {
    /// The element's name.
    pub element: &'static str,
    /// What it registered from when on, in order of time.
    pub changes: Vec<Change>,
    /// Its power before, if read.
    pub before: Option<PowerRead>,
    /// Its power after, if read.
    pub after: Option<PowerRead>,
}

/// A value with its range.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span<T> {
    /// The least it can be.
    pub least: T,
    /// The likely value.
    pub likely: T,
    /// The most it can be.
    pub most: T,
}

/// What was missed on one element.
#[derive(Clone, Debug, PartialEq)]
pub struct Missed {
    /// The element's name.
    pub element: &'static str,
    /// Primary energy that was not registered; negative where power flowed back.
    pub energy: Span<WattHours>,
    /// Seconds of nothing registered that it amounts to; the clocks' uncertainty is in the range.
    pub time_s: Span<f64>,
    /// From when to when it was not whole; `None` when it always was.
    pub from_to_s: Option<(f64, f64)>,
    /// How well the power is known.
    pub evidence: Evidence,
    /// How the likely energy came about.
    pub working: Working,
}

/// What the power rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Evidence {
    /// Read before and after.
    Both,
    /// Read before only: the range of the power is not known.
    BeforeOnly,
    /// Read after only: the range of the power is not known.
    AfterOnly,
    /// Nothing was missed, so no power was needed.
    NotNeeded,
}

impl Evidence {
    /// Everything that the power can rest on.
    pub const ALL: [Self; 4] = [Self::Both, Self::BeforeOnly, Self::AfterOnly, Self::NotNeeded];

    /// Stable code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Both => "bypass.evidence.both",
            Self::BeforeOnly => "bypass.evidence.before_only",
            Self::AfterOnly => "bypass.evidence.after_only",
            Self::NotNeeded => "bypass.evidence.not_needed",
        }
    }
}

/// Why the energy of an element cannot be told.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum BypassError {
    /// The element was not brought back to registering everything.
    #[error("{element} not restored since {since_s} s")]
    NeverRestored {
        /// The element's name.
        element: &'static str,
        /// Since when it does not register everything.
        since_s: f64,
    },
    /// Its power was read neither before nor after.
    #[error("{element}: no power read")]
    NoPower {
        /// The element's name.
        element: &'static str,
    },
    /// A change is told earlier than the one before it.
    #[error("{element}: change {index} at {at_s} s comes before {after_s} s")]
    OutOfOrder {
        /// The element's name.
        element: &'static str,
        /// Which change, counted from 0.
        index: usize,
        /// When it is told.
        at_s: f64,
        /// When the one before it is told.
        after_s: f64,
    },
    /// A moment, a clock or an energy beyond any size.
    #[error("{element}: {why}")]
    Size {
        /// The element's name.
        element: &'static str,
        /// Which range.
        why: OutOfRange,
    },
}

impl BypassError {
    /// Every code that [`Self::code`] can give.
    pub const CODES: &'static [&'static str] =
        &["bypass.never_restored", "bypass.no_power", "bypass.out_of_order", "bypass.size"];

    /// Stable code.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::NeverRestored { .. } => "bypass.never_restored",
            Self::NoPower { .. } => "bypass.no_power",
            Self::OutOfOrder { .. } => "bypass.out_of_order",
            Self::Size { .. } => "bypass.size",
        }
    }
}

/// What a change of the meter took away, over all elements.
#[derive(Clone, Debug, PartialEq)]
pub struct Bypassed {
    /// Each element, or why it cannot be told.
    pub elements: Vec<Result<Missed, BypassError>>,
    /// All elements together; `None` while any of them cannot be told.
    pub total: Option<Span<WattHours>>,
}

/// Energy that was not registered, per element and in all.
///
/// The likely power is the mean of before and after, its range the two of them; readings taken long before or after are
/// for the caller to point out. Each moment may be off by `clock_s` either way.
///
/// # Source
/// Mean of the powers before and after × minutes ÷ 60: common practice, no source.
pub fn bypassed(elements: &[Bypass], clock_s: f64) -> Bypassed {
    let elements: Vec<_> = elements.iter().map(|bypass| missed(bypass, clock_s)).collect();
    Bypassed { total: total(&elements), elements }
}

fn total(elements: &[Result<Missed, BypassError>]) -> Option<Span<WattHours>> {
    let mut sum: Option<Span<WattHours>> = None;
    for element in elements {
        let energy = element.as_ref().ok()?.energy;
        sum = Some(match sum {
            None => energy,
            Some(so_far) => Span {
                least: so_far.least.plus(energy.least).ok()?,
                likely: so_far.likely.plus(energy.likely).ok()?,
                most: so_far.most.plus(energy.most).ok()?,
            },
        });
    }
    sum
}

fn missed(bypass: &Bypass, clock_s: f64) -> Result<Missed, BypassError> {
    let element = bypass.element;
    let clock_s = CLOCK.check(clock_s).map_err(|why| BypassError::Size { element, why })?;
    check_order(bypass)?;
    let from_to_s = not_whole(bypass)?;
    let time_s = Span {
        least: time_missed(&bypass.changes, |share| 1.0 - share.most, |seconds| (seconds - 2.0 * clock_s).max(0.0)),
        likely: time_missed(&bypass.changes, |share| 1.0 - share.likely, |seconds| seconds),
        most: time_missed(&bypass.changes, |share| 1.0 - share.least, |seconds| seconds + 2.0 * clock_s),
    };
    let power = match (bypass.before, bypass.after) {
        _ if from_to_s.is_none() => Power { least: 0.0, likely: 0.0, most: 0.0, evidence: Evidence::NotNeeded },
        (Some(before), Some(after)) => Power::between(before.power.get(), after.power.get(), Evidence::Both),
        (Some(only), None) => Power::between(only.power.get(), only.power.get(), Evidence::BeforeOnly),
        (None, Some(only)) => Power::between(only.power.get(), only.power.get(), Evidence::AfterOnly),
        (None, None) => return Err(BypassError::NoPower { element }),
    };
    let watt_hours = |watts: f64, seconds: f64| {
        WattHours::new(watts * seconds / SECONDS_PER_HOUR).map_err(|why| BypassError::Size { element, why })
    };
    // Power may flow back, so the extremes of the product may lie at any pair of extremes.
    let corners = [
        (power.least, time_s.least),
        (power.least, time_s.most),
        (power.most, time_s.least),
        (power.most, time_s.most),
    ];
    let corners = corners.map(|(watts, seconds)| watts * seconds);
    let extreme = |pick: fn(f64, f64) -> f64| corners.into_iter().reduce(pick).unwrap_or(0.0);
    let energy = Span {
        least: watt_hours(extreme(f64::min), 1.0)?,
        likely: watt_hours(power.likely, time_s.likely)?,
        most: watt_hours(extreme(f64::max), 1.0)?,
    };
    let working = working(&power, bypass, time_s.likely, from_to_s, energy.likely);
    Ok(Missed { element, energy, time_s, from_to_s, evidence: power.evidence, working })
}

struct Power {
    least: f64,
    likely: f64,
    most: f64,
    evidence: Evidence,
}

impl Power {
    fn between(one: f64, other: f64, evidence: Evidence) -> Self {
        Self { least: one.min(other), likely: one / 2.0 + other / 2.0, most: one.max(other), evidence }
    }
}

fn check_order(bypass: &Bypass) -> Result<(), BypassError> {
    let element = bypass.element;
    // Four centuries either way: any calendar's seconds fit, infinities and NaN do not.
    let moment = Range { what: "moment", unit: "s", least: -1.3e10, most: 1.3e10 };
    let mut after_s = moment.least;
    for (index, change) in bypass.changes.iter().enumerate() {
        let at_s = moment.check(change.at_s).map_err(|why| BypassError::Size { element, why })?;
        if at_s < after_s {
            return Err(BypassError::OutOfOrder { element, index, at_s, after_s });
        }
        after_s = at_s;
    }
    Ok(())
}

/// From the first moment at which the element did not register everything to the last at which it did again.
fn not_whole(bypass: &Bypass) -> Result<Option<(f64, f64)>, BypassError> {
    let is_whole = |change: &&Change| change.share == Share::ALL;
    let Some(first) = bypass.changes.iter().find(|change| !is_whole(change)) else { return Ok(None) };
    let whole_again = bypass.changes.iter().rev().take_while(is_whole).last();
    match whole_again {
        Some(last) => Ok(Some((first.at_s, last.at_s))),
        None => {
            let open = bypass.changes.iter().rev().take_while(|change| !is_whole(change)).last().unwrap_or(first);
            Err(BypassError::NeverRestored { element: bypass.element, since_s: open.at_s })
        }
    }
}

/// Seconds weighed with what was missed in them; `clock` adjusts each unbroken run, whose two ends are uncertain.
fn time_missed(changes: &[Change], weight: impl Fn(Share) -> f64, clock: impl Fn(f64) -> f64) -> f64 {
    let mut total_s = 0.0;
    let mut run_s: Option<f64> = None;
    for pair in changes.windows(2) {
        let [one, next] = pair else { continue };
        let missing = weight(one.share);
        if missing > 0.0 {
            run_s = Some(run_s.unwrap_or(0.0) + missing * (next.at_s - one.at_s));
        } else if let Some(run) = run_s.take() {
            total_s += clock(run);
        }
    }
    total_s + run_s.map_or(0.0, clock)
}

fn working(power: &Power, bypass: &Bypass, time_s: f64, from_to_s: Option<(f64, f64)>, energy: WattHours) -> Working {
    let kilowatts = |watts: f64| Shown::measured(watts / WATTS_PER_KILOWATT, 3, "kW");
    let whole_s = from_to_s.map_or(0.0, |(from, to)| to - from);
    let registered = if whole_s > 0.0 { 1.0 - time_s / whole_s } else { 1.0 };
    let inputs = vec![
        Input::new("P", kilowatts(power.likely)),
        Input::new("Δt", Shown::measured(whole_s, 0, "s")),
        Input::new("R", Shown::measured(registered, 3, "")),
    ];
    let result = Shown::measured(energy.get() / WATTS_PER_KILOWATT, 3, "kWh");
    let parts = match (bypass.before, bypass.after) {
        (Some(before), Some(after)) if power.evidence == Evidence::Both => {
            let read = [("P before", before), ("P after", after)]
                .map(|(symbol, read)| Input::new(symbol, kilowatts(read.power.get())));
            vec![Working::new(Rule::MeanPower, read.to_vec(), kilowatts(power.likely))]
        }
        _ => Vec::new(),
    };
    Working::new(Rule::BypassedEnergy, inputs, result).with_parts(parts)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn read(watts: f64, at_s: f64) -> Option<PowerRead> {
        Some(PowerRead { power: Watts::new(watts).unwrap(), at_s })
    }

    fn change(at_s: f64, share: Share) -> Change {
        Change { at_s, share }
    }

    fn bypass(element: &'static str, from_s: f64, to_s: f64, watts: f64) -> Bypass {
        let changes = vec![change(from_s, Share::NOTHING), change(to_s, Share::ALL)];
        Bypass { element, changes, before: read(watts, from_s), after: read(watts, to_s) }
    }

    fn kwh(energy: WattHours) -> f64 {
        energy.get() / 1000.0
    }

    fn near(found: f64, wanted: f64) -> bool {
        (found - wanted).abs() <= 1e-9 * wanted.abs().max(1.0)
    }

    /// 129.6 kW in three equal elements for 14 minutes: 30.24 kWh, by arithmetic.
    #[test]
    fn a_steady_load_loses_power_times_time() {
        let elements = ["A", "B", "C"].map(|element| bypass(element, 0.0, 840.0, 43_200.0));
        let total = bypassed(&elements, 0.0).total.unwrap();
        assert!(near(kwh(total.likely), 30.24) && near(kwh(total.least), 30.24) && near(kwh(total.most), 30.24));
    }

    #[test]
    fn each_element_has_its_own_clock() {
        let elements =
            [bypass("A", 0.0, 600.0, 36_000.0), bypass("B", 60.0, 540.0, 36_000.0), bypass("C", 0.0, 0.0, 36_000.0)];
        let found = bypassed(&elements, 0.0);
        let each: Vec<f64> = found.elements.iter().map(|one| kwh(one.as_ref().unwrap().energy.likely)).collect();
        assert!(near(each[0], 6.0) && near(each[1], 4.8) && near(each[2], 0.0), "{each:?}");
        assert!(near(kwh(found.total.unwrap().likely), 10.8));
    }

    #[test]
    fn a_divided_current_and_the_clocks_make_the_range() {
        let changes = vec![
            change(0.0, Share::DIVIDED),
            change(60.0, Share::NOTHING),
            change(360.0, Share::DIVIDED),
            change(420.0, Share::ALL),
        ];
        let one = Bypass { element: "A", changes, before: read(36_000.0, -60.0), after: read(72_000.0, 500.0) };
        let found = bypassed(std::slice::from_ref(&one), 30.0).elements.remove(0).unwrap();
        assert_eq!((found.time_s.least, found.time_s.likely, found.time_s.most), (240.0, 420.0, 480.0));
        assert!(
            near(kwh(found.energy.least), 2.4)
                && near(kwh(found.energy.likely), 6.3)
                && near(kwh(found.energy.most), 9.6)
        );
        assert_eq!((found.from_to_s, found.evidence), (Some((0.0, 420.0)), Evidence::Both));
        assert_eq!(found.working.parts[0].rule, Rule::MeanPower);
        assert_eq!(found.working.result.text(), "6.300");
    }

    #[test]
    fn power_that_flows_back_is_missed_with_its_sign() {
        let mut one = bypass("A", 0.0, 3600.0, -10_000.0);
        one.after = read(2_000.0, 3600.0);
        let energy = bypassed(&[one], 0.0).elements.remove(0).unwrap().energy;
        assert!(near(kwh(energy.least), -10.0) && near(kwh(energy.likely), -4.0) && near(kwh(energy.most), 2.0));
    }

    #[test]
    fn what_cannot_be_told_says_which_and_why() {
        let mut open = bypass("A", 5.0, 60.0, 1000.0);
        open.changes.truncate(1);
        let mut dark = bypass("B", 0.0, 60.0, 1000.0);
        (dark.before, dark.after) = (None, None);
        let found = bypassed(&[open, dark, bypass("C", 60.0, 0.0, 1.0), bypass("C", 0.0, f64::NAN, 1.0)], 0.0);
        assert_eq!(found.total, None);
        assert_eq!(found.elements[0], Err(BypassError::NeverRestored { element: "A", since_s: 5.0 }));
        assert_eq!(found.elements[1], Err(BypassError::NoPower { element: "B" }));
        assert!(matches!(found.elements[2], Err(BypassError::OutOfOrder { index: 1, .. })));
        assert!(matches!(found.elements[3], Err(BypassError::Size { .. })));
        let untouched = Bypass { element: "A", changes: Vec::new(), before: None, after: None };
        let fine = bypassed(&[untouched], 30.0);
        assert!(near(kwh(fine.total.unwrap().most), 0.0));
        assert_eq!(fine.elements[0].as_ref().unwrap().evidence, Evidence::NotNeeded);
    }

    #[test]
    fn one_reading_is_enough_and_is_said() {
        let mut one = bypass("A", 0.0, 3600.0, 5_000.0);
        one.before = None;
        let found = bypassed(&[one], 0.0).elements.remove(0).unwrap();
        assert_eq!(found.evidence, Evidence::AfterOnly);
        assert!(near(kwh(found.energy.likely), 5.0));
    }

    #[test]
    fn shares_are_kept_in_order() {
        assert!(Share::new(0.0, 0.1, 0.2).is_ok());
        assert!(
            Share::new(0.3, 0.1, 0.2).is_err()
                && Share::new(0.0, 0.1, 1.2).is_err()
                && Share::new(f64::NAN, 0.1, 0.2).is_err()
        );
    }

    /// A switch in whose own order a change is walked through: what an element registers after each act.
    #[test]
    fn what_an_element_registers_follows_the_switch() {
        use crate::isolation::{CircuitSeen, Kind, Order, OthersUse, PotentialSeen, Seen, Step, Switch};
        let switch = Switch {
            kind: Kind::SeparateShortingBlade,
            neutral_pole: true,
            out: Order::CurrentsFirst,
            back: Order::CurrentsFirst,
            others_use: OthersUse::Nothing,
        };
        let seen = |belief: Belief, seen: Seen| belief.apply(&switch, Step::Seen(seen)).unwrap();
        let mut belief = Belief::unknown();
        assert_eq!(Share::of(&belief, Element::A), Share::UNKNOWN);
        for pole in PotentialPole::ALL {
            belief = seen(belief, Seen::Potential(pole, PotentialSeen::Closed));
        }
        for element in Element::ALL {
            belief = seen(belief, Seen::Circuit(element, CircuitSeen::ToMeter));
        }
        belief = seen(seen(belief, Seen::Live(true)), Seen::Meter(true));
        let whole = belief;
        let divided = seen(whole, Seen::Circuit(Element::A, CircuitSeen::Both));
        let shorted = seen(divided, Seen::Circuit(Element::A, CircuitSeen::Shorted));
        let out = seen(shorted, Seen::Meter(false));
        let dark = seen(whole, Seen::Potential(PotentialPole::B, PotentialSeen::Open));
        let floating = seen(whole, Seen::Potential(PotentialPole::N, PotentialSeen::Open));
        let dead = seen(out, Seen::Live(false));
        for (belief, a, b) in [
            (whole, Share::ALL, Share::ALL),
            (divided, Share::DIVIDED, Share::ALL),
            (shorted, Share::NOTHING, Share::ALL),
            (out, Share::NOTHING, Share::NOTHING),
            (dark, Share::ALL, Share::NOTHING),
            (floating, Share::UNKNOWN, Share::UNKNOWN),
            (dead, Share::ALL, Share::ALL),
        ] {
            assert_eq!((Share::of(&belief, Element::A), Share::of(&belief, Element::B)), (a, b), "{belief:?}");
        }
        let history = [(0.0, whole), (10.0, divided), (20.0, divided), (30.0, shorted), (90.0, whole)];
        let at: Vec<f64> = changes(&history, Element::A).iter().map(|change| change.at_s).collect();
        assert_eq!(at, [0.0, 10.0, 30.0, 90.0]);
        assert_eq!(changes(&history, Element::B).len(), 1);
    }

    fn any_share() -> impl Strategy<Value = Share> {
        prop_oneof![Just(Share::ALL), Just(Share::NOTHING), Just(Share::DIVIDED), Just(Share::UNKNOWN)]
    }

    proptest! {
        /// The likely energy lies in its range, and a worse clock never narrows it.
        #[test]
        fn ranges_hold_and_widen(
            steps in prop::collection::vec((0.0..600.0_f64, any_share()), 0..8),
            before in -1e6..1e6_f64, after in -1e6..1e6_f64, clock in 0.0..120.0_f64,
        ) {
            let mut at_s = 0.0;
            let mut changes: Vec<Change> = Vec::new();
            for (wait, share) in steps {
                at_s += wait;
                changes.push(change(at_s, share));
            }
            changes.push(change(at_s + 60.0, Share::ALL));
            let one = Bypass { element: "A", changes, before: read(before, 0.0), after: read(after, at_s) };
            let sharp = bypassed(std::slice::from_ref(&one), 0.0).total.unwrap();
            let dull = bypassed(&[one], clock).total.unwrap();
            let slack = 1e-6;
            prop_assert!(sharp.least.get() <= sharp.likely.get() + slack && sharp.likely.get() <= sharp.most.get() + slack);
            prop_assert!(dull.least.get() <= sharp.least.get() + slack && dull.most.get() >= sharp.most.get() - slack);
        }
    }
}
