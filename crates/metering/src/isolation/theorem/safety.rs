//! Safety: from every consistent pair of belief and truth, every accepted step keeps the rules, and the pair stays consistent.

use super::*;
use crate::isolation::guards::Guards;

/// A rule that an accepted step broke.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Breach {
    /// A CT circuit of a live site went from conducting to broken.
    CtOpened,
    /// The supply came back to a broken CT circuit.
    BrokenCtEnergised,
    /// A hand at a CT circuit that is broken and live.
    HandOnBrokenCt,
    /// A hand at one element while another one is broken and live.
    HandBesideBrokenCt,
    /// A VT secondary was shorted.
    VtShorted,
    /// A hand at a potential pole that is shorted and live.
    HandOnShortedVt,
    /// Phases left on a broken neutral.
    NeutralFloats,
    /// The terminals of an absent meter became live.
    EmptyTerminalsLive,
    /// The meter moved while its terminals were live.
    MeterMovedLive,
    /// The meter moved before both stages were read on every element.
    MeterMovedUnproven,
    /// A second element was left half done.
    TwoHalfDone,
    /// The site's order was not kept.
    OrderBroken,
    /// A short came on while others' use was unsettled.
    OthersIgnored,
    /// What is believed is not true any more.
    BeliefFalse,
    /// A reading under load did not tell a broken circuit from a closed one.
    ReadingDeceives,
}

/// Where a rule was broken.
#[derive(Clone, Copy, Debug)]
#[expect(dead_code, reason = "the fields are there to be printed when the proof fails")]
pub(super) struct Violation {
    pub(super) broken: Breach,
    switch: Switch,
    belief: Belief,
    step: Step,
    after: Belief,
}

/// One accepted act and the belief on both sides of it.
struct Case<'a> {
    switch: &'a Switch,
    before: &'a Belief,
    after: &'a Belief,
    act: Act,
    looks: Looks,
}

impl Case<'_> {
    /// A live truth may lie behind the belief before the act.
    fn live(&self) -> bool {
        self.before.supply != Supply::DeEnergised
    }

    fn meter_after(&self, meter_in: bool) -> bool {
        match self.act {
            Act::MeterOut => false,
            Act::MeterIn => true,
            _ => meter_in,
        }
    }

    /// Whether a hand touches this element's live parts. A plug in the hand is not part of the circuit.
    fn touches(&self, element: Element) -> bool {
        match self.act {
            Act::FitPlugJumper(_) => false,
            Act::RemovePlugJumper(at) => {
                at == element && !matches!(self.before.current(element), Circuit::ToMeter { .. })
            }
            Act::InsertPlug | Act::WithdrawPlug | Act::MeterOut | Act::MeterIn => true,
            act => act.element() == Some(element),
        }
    }

    fn first_broken(&self) -> Option<Breach> {
        meter_truths(self.before.meter).iter().find_map(|meter_in| {
            Element::ALL
                .into_iter()
                .find_map(|element| self.element(element, *meter_in))
                .or_else(|| self.potentials(*meter_in))
                .or_else(|| self.meter_move())
                .or_else(|| self.half_done())
        })
    }

    fn element(&self, element: Element, meter_in: bool) -> Option<Breach> {
        let kind = self.switch.kind;
        let (found, next) = (self.before.current(element), self.after.current(element));
        let meter_after = self.meter_after(meter_in);
        if found == next && !self.touches(element) && !self.moves_current() && self.act != Act::ReEnergise {
            return None; // nothing of this element changes, neither in truth nor in belief
        }
        let may_break = self.looks == Looks::MayDeceive
            && matches!(
                self.act,
                Act::PullShortingBlade(_) | Act::PushShortingBlade(_) | Act::InsertPlug | Act::WithdrawPlug
            );
        truths(kind, found, meter_in).find_map(|wires| {
            let conducted = wires.conducts(meter_in);
            if self.live() && !conducted && self.touches(element) {
                return Some(Breach::HandOnBrokenCt);
            }
            if self.live() && !conducted && !self.touches(element) && self.moves_current() {
                return Some(Breach::HandBesideBrokenCt);
            }
            acted(self.act, element, found, kind, wires, self.looks).find_map(|then| {
                let conducts = then.conducts(meter_after);
                let moved = then != wires;
                if self.act == Act::ReEnergise && !conducts {
                    Some(Breach::BrokenCtEnergised)
                } else if self.live() && self.act != Act::DeEnergise && conducted && !conducts && !may_break {
                    Some(Breach::CtOpened)
                } else if self.live() && moved && self.shorts_on(wires, then) {
                    Some(Breach::OthersIgnored)
                } else if self.live() && moved && self.order_broken_by(wires, then) {
                    Some(Breach::OrderBroken)
                } else {
                    (!agrees(next, then, meter_after)).then_some(Breach::BeliefFalse)
                }
            })
        })
    }

    /// A hand at the current poles of one element.
    fn moves_current(&self) -> bool {
        Element::ALL.into_iter().any(|element| self.act.element() == Some(element) && self.touches(element))
    }

    fn shorts_on(&self, wires: Wires, then: Wires) -> bool {
        self.switch.others_use == OthersUse::Unsettled && wires.short == Contact::Apart && then.short != Contact::Apart
    }

    /// Currents against potentials. A potential in an unknown state may stand on the wrong side.
    fn order_broken_by(&self, wires: Wires, then: Wires) -> bool {
        let may_be = |state: PotentialSeen| {
            let poles = self.switch.potential_poles().iter();
            poles.into_iter().any(|pole| potential_truths(self.before.potential(*pole)).contains(&state))
        };
        let comes_on = wires.short == Contact::Apart && then.short != Contact::Apart;
        let comes_off = wires.short != Contact::Apart && then.short == Contact::Apart;
        (comes_on && self.switch.out == Order::PotentialsFirst && may_be(PotentialSeen::Closed))
            || (comes_off && self.switch.back == Order::PotentialsFirst && may_be(PotentialSeen::Open))
    }

    fn potentials(&self, meter_in: bool) -> Option<Breach> {
        if let Some(pole) = self.act.potential() {
            return self.potential(pole, meter_in);
        }
        let moves_meter = matches!(self.act, Act::MeterOut | Act::MeterIn);
        let poles = self.switch.potential_poles();
        let closed = poles.iter().any(|pole| {
            potential_truths(self.before.potential(*pole)).iter().any(|truth| *truth != PotentialSeen::Open)
        });
        // A feed that no pole breaks (auxiliary supply, pulse wires) is found only by the test.
        let other_feed = !self.before.jaws_dead;
        (moves_meter && self.live() && (closed || other_feed)).then_some(Breach::MeterMovedLive)
    }

    fn potential(&self, pole: PotentialPole, meter_in: bool) -> Option<Breach> {
        let order = self.potential_order(meter_in);
        potential_truths(self.before.potential(pole)).iter().find_map(|truth| {
            let then = match self.act {
                Act::OpenPotential(_) => PotentialSeen::Open,
                Act::ClosePotential(_) => PotentialSeen::Closed,
                _ => PotentialSeen::Shorted,
            };
            if !potential_truths(self.after.potential(pole)).contains(&then) {
                return Some(Breach::BeliefFalse);
            }
            if then == PotentialSeen::Shorted {
                return Some(Breach::VtShorted);
            }
            if !self.live() {
                return None;
            }
            if *truth == PotentialSeen::Shorted {
                Some(Breach::HandOnShortedVt)
            } else if self.neutral_floats(pole, then) {
                Some(Breach::NeutralFloats)
            } else if then == PotentialSeen::Closed && !meter_in {
                Some(Breach::EmptyTerminalsLive)
            } else {
                order
            }
        })
    }

    /// The act leaves, for some truth of the other poles, a phase closed and the neutral not, and it was this act.
    fn neutral_floats(&self, pole: PotentialPole, then: PotentialSeen) -> bool {
        let may_be = |pole: PotentialPole, state| potential_truths(self.before.potential(pole)).contains(&state);
        self.switch.neutral_pole
            && if pole == PotentialPole::N {
                let phases = PotentialPole::ALL[..3].iter();
                then == PotentialSeen::Open && phases.into_iter().any(|phase| may_be(*phase, PotentialSeen::Closed))
            } else {
                then == PotentialSeen::Closed && may_be(PotentialPole::N, PotentialSeen::Open)
            }
    }

    /// Potentials against currents: of each element, some truth stands on the wrong side.
    fn potential_order(&self, meter_in: bool) -> Option<Breach> {
        let some = |wrong: fn(Wires) -> bool| {
            Element::ALL
                .into_iter()
                .any(|element| truths(self.switch.kind, self.before.current(element), meter_in).any(wrong))
        };
        let opens = matches!(self.act, Act::OpenPotential(_)) && self.switch.out == Order::CurrentsFirst;
        let closes = matches!(self.act, Act::ClosePotential(_)) && self.switch.back == Order::CurrentsFirst;
        let wrong = (opens && some(|wires| wires.short == Contact::Apart))
            || (closes && some(|wires| wires.stands() != CircuitSeen::ToMeter));
        (self.live() && wrong).then_some(Breach::OrderBroken)
    }

    /// Both stages were read on every element; without a switch the second follows the meter out.
    fn meter_move(&self) -> Option<Breach> {
        let none_out = self.switch.kind == Kind::None && self.act == Act::MeterOut;
        let proven = |circuit: &Circuit| match circuit {
            Circuit::Shorted { proof, .. } => *proof == ShortProof::Proven,
            Circuit::Both { short_proven, .. } => none_out && *short_proven,
            _ => false,
        };
        let moves = matches!(self.act, Act::MeterOut | Act::MeterIn) && self.live();
        (moves && !self.before.currents.iter().all(proven)).then_some(Breach::MeterMovedUnproven)
    }

    /// An act on one element adds to those half done only where there was none.
    fn half_done(&self) -> Option<Breach> {
        let count = |belief: &Belief| {
            let half = |circuit: &&Circuit| match circuit {
                Circuit::ToMeter { carries, .. } => !carries,
                Circuit::Shorted { proof, .. } => *proof != ShortProof::Proven,
                Circuit::Both { short_proven, .. } => self.switch.kind != Kind::None || !short_proven,
                Circuit::Broken | Circuit::Unknown => true,
            };
            belief.currents.iter().filter(half).count()
        };
        let (before, after) = (count(self.before), count(self.after));
        (self.live() && self.act.element().is_some() && before >= 1 && after > before).then_some(Breach::TwoHalfDone)
    }
}

/// The acts that this switch has.
pub(super) fn acts_of(switch: &Switch) -> Vec<Act> {
    let missing = |act: &Act| {
        let refused = Belief::unknown().apply(switch, Step::Act(*act)).err();
        refused.is_some_and(|refusal| refusal.reason == Reason::NotOnThisSwitch)
    };
    Act::all().filter(|act| !missing(act)).collect()
}

/// Supplies to ask about. Guards and rules ask only whether the site may be live, so unknown is as energised; and with the
/// supply off no guard weighs currents against potentials, so there fewer potentials do. Both are asked where states are few.
fn supplies_of(switch: &Switch) -> &'static [Supply] {
    match (switch.kind.is_one_motion(), switch.neutral_pole) {
        (true, true) => &SUPPLIES[..1],
        (true, false) | (false, true) => &SUPPLIES[..2],
        (false, false) => &SUPPLIES,
    }
}

/// The first rule (or the first breach of the wanted rule) that an accepted act breaks on this switch; else how many acts
/// were accepted.
pub(super) fn first_violation(
    switch: &Switch,
    on: Guards,
    looks: Looks,
    wanted: Option<Breach>,
) -> Result<usize, Box<Violation>> {
    let acts = acts_of(switch);
    let potentials = potentials(switch);
    let supplies = supplies_of(switch);
    let mut accepted = 0;
    for currents in triples(&circuits(switch.kind), true) {
        for (meter, supply) in METERS.into_iter().flat_map(|meter| supplies.iter().map(move |supply| (meter, *supply)))
        {
            for (potentials, jaws_dead) in &potentials {
                let before = Belief { currents, potentials: *potentials, jaws_dead: *jaws_dead, meter, supply };
                for act in &acts {
                    let step = Step::Act(*act);
                    let Ok(after) = before.apply_guarded(switch, step, on) else { continue };
                    accepted += 1;
                    let case = Case { switch, before: &before, after: &after, act: *act, looks };
                    if let Some(broken) = case.first_broken().filter(|broken| wanted.is_none_or(|rule| rule == *broken))
                    {
                        return Err(Box::new(Violation { broken, switch: *switch, belief: before, step, after }));
                    }
                }
            }
        }
    }
    Ok(accepted)
}

/// Readings and looks tell the truth, so the belief they leave must be true too.
fn first_false_belief(switch: &Switch) -> Result<usize, Box<Violation>> {
    let kind = switch.kind;
    let mut read = 0;
    for (found, meter) in circuits(kind).into_iter().flat_map(|found| METERS.map(|meter| (found, meter))) {
        for (supply, meter_in) in
            SUPPLIES.into_iter().flat_map(|supply| meter_truths(meter).iter().map(move |meter_in| (supply, *meter_in)))
        {
            let before = Belief { currents: [found; 3], meter, supply, ..Belief::unknown() };
            for wires in truths(kind, found, meter_in) {
                for (step, must_be) in reports(wires, meter_in, supply) {
                    let Ok(after) = before.apply(switch, step) else { continue };
                    read += 1;
                    let next = after.current(Element::A);
                    let told = must_be.is_none_or(|broken| (next == Circuit::Broken) == broken);
                    let broken = if told { Breach::BeliefFalse } else { Breach::ReadingDeceives };
                    if !told || !agrees(next, wires, meter_in) {
                        return Err(Box::new(Violation { broken, switch: *switch, belief: before, step, after }));
                    }
                }
            }
        }
    }
    Ok(read)
}

/// What instruments and eyes can report of element A, and for readings under load, whether it must be called broken.
fn reports(wires: Wires, meter_in: bool, supply: Supply) -> Vec<(Step, Option<bool>)> {
    let a = Element::A;
    let mut all = vec![
        (Step::Seen(Seen::Circuit(a, wires.stands())), None),
        (Step::Seen(Seen::Loop(a, wires.conducts(meter_in))), None),
        (Step::Seen(Seen::SignsOfBroken(a)), None),
    ];
    for sound in [false, true] {
        all.push((Step::Seen(Seen::Short(a, sound)), None));
        all.push((Step::Seen(Seen::MeterPath(a, sound)), None));
    }
    for (load, before) in [(1.0, 1.0), (0.02, 0.02), (0.02, 1.0), (1.0, 0.02), (0.5, 0.5), (20.0, 20.0)] {
        let under_load = load >= 0.5 && before >= 0.5 && supply == Supply::Energised;
        all.push((Step::Read(a, wires.read(meter_in, load, before)), under_load.then_some(!wires.conducts(meter_in))));
        all.push((Step::Read(a, Proof { before_a: None, ..wires.read(meter_in, load, before) }), None));
    }
    all
}

/// No act is asked about both orders (one breaks or closes potentials, another shorts come on or off), so the two switches
/// with the same order both ways ask everything that the four ask.
#[test]
fn no_accepted_act_breaks_a_rule_and_no_belief_becomes_false() {
    let mut all: Vec<(Switch, Looks)> = Vec::new();
    for switch in switches().into_iter().filter(|switch| switch.out == switch.back) {
        all.push((switch, Looks::Trusted));
        if !switch.neutral_pole && switch.out == Order::CurrentsFirst {
            all.push((Switch { others_use: OthersUse::Unsettled, ..switch }, Looks::Trusted));
            if switch.kind.is_one_motion() {
                all.push((switch, Looks::MayDeceive));
            }
        }
    }
    for outcome in on_two_threads(&all, |(switch, looks)| first_violation(&switch, Guards::ALL, looks, None)) {
        assert!(outcome.unwrap() > 1000, "hardly anything was accepted");
    }
}

#[test]
fn no_reading_and_no_look_leaves_a_false_belief() {
    for switch in switches() {
        assert!(first_false_belief(&switch).unwrap() > 100);
    }
}
