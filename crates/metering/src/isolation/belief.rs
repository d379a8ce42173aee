//! What the people at the cabinet know of the switch: a fold of everything done, read and seen, kept apart from the truth.

use super::guards::{self, Guards};
use super::{
    Act, CircuitSeen, Element, Pole, PotentialPole, PotentialSeen, Proof, Reason, Refusal, Seen, Step, Switch, Verdict,
    effect,
};

/// One current element.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Circuit {
    /// Meter path closed, short off.
    ToMeter {
        /// Read since the last motion: both sides carry the same current (or rung through with the supply off).
        carries: bool,
        /// What is known of the clip or jumper that the next motion would rely on; one-motion kinds only.
        short: Ready,
    },
    /// Between: short closed and meter path still closed. Current divides.
    Both {
        /// The short is shown to conduct.
        short_proven: bool,
        /// The meter path is shown to conduct.
        path_proven: bool,
    },
    /// Short closed, meter path broken.
    Shorted {
        /// How far the short is proven.
        proof: ShortProof,
        /// What is known of the meter path that the next motion would rely on; one-motion kinds only.
        path: Ready,
    },
    /// Broken, or thought to be: hands off while the site is live.
    Broken,
    /// Not known: to be looked at.
    Unknown,
}

/// How far a short with its meter path broken is proven.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum ShortProof {
    /// Not at all.
    None,
    /// The meter side dropped while the path was still closed; not read since the path was broken.
    FirstStage,
    /// Meter side about 0 A and the CT side carries.
    Proven,
}

/// What is known of a contact that a motion relies on and that cannot be read beforehand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Ready {
    /// Nothing; on a plug: no jumper.
    NotLookedAt,
    /// A jumper is on the plug and not checked.
    Fitted,
    /// Looked at, or rung through in the hand: sound.
    Sound,
    /// Looked at: faulty.
    Faulty,
}

/// One potential pole.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Potential {
    /// To the meter.
    Closed,
    /// Broken.
    Open,
    /// Bridged to another pole: **danger** while the site is live.
    Shorted,
    /// Not known.
    Unknown,
}

/// The meter.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Meter {
    /// In its socket, or its leads on.
    In,
    /// Out, or its leads off.
    Out,
    /// Not known.
    Unknown,
}

/// The supply of the site.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Supply {
    /// Live.
    Energised,
    /// Off and tested dead at the primary.
    DeEnergised,
    /// Not known: treated as live.
    Unknown,
}

/// What is known of the whole switch.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Belief {
    pub(super) currents: [Circuit; 3],
    pub(super) potentials: [Potential; 4],
    /// Holds only while every potential pole is broken and none moved since.
    pub(super) jaws_dead: bool,
    pub(super) meter: Meter,
    pub(super) supply: Supply,
}

/// A danger that stands now.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Danger {
    /// Which.
    pub kind: DangerKind,
    /// Where.
    pub pole: Pole,
}

/// The kinds of danger. People read the sentence that the words have for [`DangerKind::code`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum DangerKind {
    /// A CT circuit is broken, or thought so, while the site is live.
    CtBroken,
    /// Nobody knows where the poles of a CT circuit stand while the site is live.
    CtUnknown,
    /// An element was moved or looked at and not read since.
    CtUnread,
    /// A VT secondary is shorted while the site is live.
    VtShorted,
    /// Phases are closed on a broken neutral.
    NeutralBroken,
    /// The meter is out and its terminals may be live.
    TerminalsLive,
}

impl DangerKind {
    /// Every kind of danger.
    pub const ALL: [DangerKind; 6] = [
        DangerKind::CtBroken,
        DangerKind::CtUnknown,
        DangerKind::CtUnread,
        DangerKind::VtShorted,
        DangerKind::NeutralBroken,
        DangerKind::TerminalsLive,
    ];

    /// The stable code, never reused.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            DangerKind::CtBroken => "ct_broken",
            DangerKind::CtUnknown => "ct_unknown",
            DangerKind::CtUnread => "ct_unread",
            DangerKind::VtShorted => "vt_shorted",
            DangerKind::NeutralBroken => "neutral_broken",
            DangerKind::TerminalsLive => "terminals_live",
        }
    }
}

impl Circuit {
    /// Whether a reading, or a proof that no motion has spoilt since, shows that the circuit conducts.
    #[must_use]
    #[inline]
    pub const fn is_known_to_conduct(self) -> bool {
        match self {
            Circuit::ToMeter { carries, .. } => carries,
            Circuit::Both { short_proven, path_proven } => short_proven || path_proven,
            Circuit::Shorted { proof, .. } => !matches!(proof, ShortProof::None),
            Circuit::Broken | Circuit::Unknown => false,
        }
    }

    /// Whether some of its current passes the meter by: the clock of bypassed energy runs. `None`: not known.
    #[must_use]
    #[inline]
    pub const fn is_bypassed(self) -> Option<bool> {
        match self {
            Circuit::ToMeter { .. } => Some(false),
            Circuit::Both { .. } | Circuit::Shorted { .. } => Some(true),
            Circuit::Broken | Circuit::Unknown => None,
        }
    }

    fn seen(seen: CircuitSeen) -> Circuit {
        match seen {
            CircuitSeen::ToMeter => Circuit::ToMeter { carries: false, short: Ready::NotLookedAt },
            CircuitSeen::Both => Circuit::Both { short_proven: false, path_proven: false },
            CircuitSeen::Shorted => Circuit::Shorted { proof: ShortProof::None, path: Ready::NotLookedAt },
            CircuitSeen::Broken => Circuit::Broken,
        }
    }
}

impl Belief {
    /// Nothing is known: the start of every visit.
    #[must_use]
    pub const fn unknown() -> Belief {
        Belief {
            currents: [Circuit::Unknown; 3],
            potentials: [Potential::Unknown; 4],
            jaws_dead: false,
            meter: Meter::Unknown,
            supply: Supply::Unknown,
        }
    }

    /// After the phone was off: hands may have moved anything meanwhile, so proofs expire and every pole is looked at
    /// again. A circuit thought broken stays so.
    #[must_use]
    pub fn after_restart(&self) -> Belief {
        let currents = self.currents.map(|found| if found == Circuit::Broken { found } else { Circuit::Unknown });
        Belief { currents, ..Belief::unknown() }
    }

    /// The state of one current element.
    #[must_use]
    #[inline]
    pub const fn current(&self, element: Element) -> Circuit {
        self.currents[element.index()]
    }

    /// The state of one potential pole.
    #[must_use]
    #[inline]
    pub const fn potential(&self, pole: PotentialPole) -> Potential {
        self.potentials[pole.index()]
    }

    /// The meter.
    #[must_use]
    pub const fn meter(&self) -> Meter {
        self.meter
    }

    /// The supply.
    #[must_use]
    pub const fn supply(&self) -> Supply {
        self.supply
    }

    /// Whether the meter's terminals were tested dead and no potential moved since.
    #[must_use]
    pub const fn is_tested_dead(&self) -> bool {
        self.jaws_dead
    }

    /// Whether everything must be treated as live.
    #[must_use]
    #[inline]
    pub const fn is_live(&self) -> bool {
        !matches!(self.supply, Supply::DeEnergised)
    }

    /// Meter in, every current to meter and carrying, every potential closed, and the site live.
    #[must_use]
    pub fn is_restored(&self, switch: &Switch) -> bool {
        self.supply == Supply::Energised && self.is_whole(switch)
    }

    /// As [`Belief::is_restored`], whatever the supply.
    pub(super) fn is_whole(&self, switch: &Switch) -> bool {
        self.meter == Meter::In
            && self.currents.iter().all(|circuit| matches!(circuit, Circuit::ToMeter { carries: true, .. }))
            && switch.potential_poles().iter().all(|pole| self.potential(*pole) == Potential::Closed)
    }

    /// Whether every potential pole is broken.
    pub(super) fn all_potentials_open(&self, switch: &Switch) -> bool {
        switch.potential_poles().iter().all(|pole| self.potential(*pole) == Potential::Open)
    }

    /// Folds one step in.
    ///
    /// # Errors
    /// [`Refusal`] when the step is not safe, decides nothing, or does not exist on this switch; the belief then stays.
    /// A reading that shows danger is folded in, not refused: ask [`Belief::dangers`] afterwards.
    pub fn apply(&self, switch: &Switch, step: Step) -> Result<Belief, Refusal> {
        self.apply_guarded(switch, step, Guards::ALL)
    }

    pub(super) fn apply_guarded(&self, switch: &Switch, step: Step, on: Guards) -> Result<Belief, Refusal> {
        match step {
            Step::Act(act) => {
                let moved = effect::moved(self, switch, act)?;
                guards::check(self, switch, act, on).map(|()| moved)
            }
            Step::Read(element, proof) => self.read(element, proof),
            Step::Seen(seen) => self.saw(switch, seen),
        }
    }

    /// Folds in what happened nevertheless: no guard is asked, and every pole it moved is *unknown* afterwards, or
    /// *broken* where nothing known is left to carry the current.
    #[must_use]
    pub fn happened(&self, switch: &Switch, act: Act) -> Belief {
        effect::happened(self, switch, act)
    }

    /// Every act that would be accepted now.
    #[must_use]
    pub fn accepted_acts(&self, switch: &Switch) -> Vec<Act> {
        Act::all().filter(|act| self.apply(switch, Step::Act(*act)).is_ok()).collect()
    }

    /// Every danger that stands now, the worst first.
    #[must_use]
    pub fn dangers(&self, switch: &Switch) -> Vec<Danger> {
        if !self.is_live() {
            return Vec::new();
        }
        let currents = |kind: DangerKind, wanted: fn(Circuit) -> bool| {
            Element::ALL
                .into_iter()
                .filter(move |element| wanted(self.current(*element)))
                .map(move |element| Danger { kind, pole: Pole::Current(element) })
        };
        let poles = switch.potential_poles();
        let shorted = poles.iter().filter(|pole| self.potential(**pole) == Potential::Shorted);
        let unread =
            |circuit: Circuit| !circuit.is_known_to_conduct() && !matches!(circuit, Circuit::Broken | Circuit::Unknown);
        currents(DangerKind::CtBroken, |circuit| circuit == Circuit::Broken)
            .chain(shorted.map(|pole| Danger { kind: DangerKind::VtShorted, pole: Pole::Potential(*pole) }))
            .chain(currents(DangerKind::CtUnknown, |circuit| circuit == Circuit::Unknown))
            .chain(currents(DangerKind::CtUnread, unread))
            .chain(self.neutral_danger(switch))
            .chain(self.terminal_danger())
            .collect()
    }

    fn neutral_danger(&self, switch: &Switch) -> Option<Danger> {
        let broken = switch.neutral_pole && self.potential(PotentialPole::N) == Potential::Open;
        let phase_closed = self.potentials[..3].contains(&Potential::Closed);
        (broken && phase_closed)
            .then_some(Danger { kind: DangerKind::NeutralBroken, pole: Pole::Potential(PotentialPole::N) })
    }

    fn terminal_danger(&self) -> Option<Danger> {
        (self.meter == Meter::Out && !self.jaws_dead)
            .then_some(Danger { kind: DangerKind::TerminalsLive, pole: Pole::Meter })
    }

    fn with_current(&self, element: Element, circuit: Circuit) -> Belief {
        let mut next = *self;
        next.currents[element.index()] = circuit;
        next
    }

    fn read(&self, element: Element, proof: Proof) -> Result<Belief, Refusal> {
        let refused = |reason| Err(Refusal { reason, pole: Some(Pole::Current(element)) });
        if !self.is_live() {
            return refused(Reason::OnlyEnergised);
        }
        let found = self.current(element);
        let next = match (proof.judge(found), found) {
            (Verdict::Undecided(reason), _) => return refused(reason),
            (Verdict::Carries, Circuit::ToMeter { short, .. }) => Circuit::ToMeter { carries: true, short },
            (Verdict::Divides { short, path }, _) => Circuit::Both { short_proven: short, path_proven: path },
            (Verdict::Shorted, Circuit::Shorted { path, .. }) => Circuit::Shorted { proof: ShortProof::Proven, path },
            (Verdict::Broken, _) => Circuit::Broken,
            (Verdict::Conducts | Verdict::Disagrees | Verdict::Carries | Verdict::Shorted, _) => Circuit::Unknown,
        };
        Ok(self.with_current(element, next))
    }

    fn saw(&self, switch: &Switch, seen: Seen) -> Result<Belief, Refusal> {
        let mut next = *self;
        match seen {
            Seen::Circuit(element, seen) => return self.saw_circuit(element, seen),
            Seen::Short(element, sound) => return self.saw_short(switch, element, sound),
            Seen::MeterPath(element, sound) => return self.saw_path(switch, element, sound),
            Seen::Loop(element, closed) => return self.rang(element, closed),
            Seen::Potential(pole, seen) => {
                if !switch.potential_poles().contains(&pole) {
                    return Err(Refusal { reason: Reason::NotOnThisSwitch, pole: Some(Pole::Potential(pole)) });
                }
                next.potentials[pole.index()] = match seen {
                    PotentialSeen::Closed => Potential::Closed,
                    PotentialSeen::Open => Potential::Open,
                    PotentialSeen::Shorted => Potential::Shorted,
                };
                next.jaws_dead &= seen == PotentialSeen::Open;
            }
            Seen::JawsDead(dead) => {
                if let Some(pole) = guards::first_not_open(self, switch) {
                    return Err(Refusal { reason: Reason::PotentialNotOpen, pole: Some(Pole::Potential(pole)) });
                }
                if !dead && !self.jaws_dead {
                    return Err(Refusal { reason: Reason::TerminalsStillLive, pole: Some(Pole::Meter) });
                }
                next.jaws_dead = dead;
            }
            Seen::Meter(is_in) => next.meter = if is_in { Meter::In } else { Meter::Out },
            Seen::Live(live) => next.supply = if live { Supply::Energised } else { Supply::DeEnergised },
            Seen::SignsOfBroken(element) => next.currents[element.index()] = Circuit::Broken,
        }
        Ok(next)
    }

    /// A look that agrees keeps what was proven; one that does not starts over. It cannot clear a live circuit thought
    /// broken: a look does not show whether a contact conducts.
    fn saw_circuit(&self, element: Element, seen: CircuitSeen) -> Result<Belief, Refusal> {
        let (found, looked) = (self.current(element), Circuit::seen(seen));
        let pole = Some(Pole::Current(element));
        if found == Circuit::Broken && self.is_live() && looked != Circuit::Broken {
            return Err(Refusal { reason: Reason::BrokenHandsOff, pole });
        }
        let same = std::mem::discriminant(&found) == std::mem::discriminant(&looked);
        Ok(if same { *self } else { self.with_current(element, looked) })
    }

    fn saw_short(&self, switch: &Switch, element: Element, sound: bool) -> Result<Belief, Refusal> {
        let refused = |reason| Err(Refusal { reason, pole: Some(Pole::Current(element)) });
        let looked = if sound { Ready::Sound } else { Ready::Faulty };
        match self.current(element) {
            _ if !switch.kind.is_one_motion() => refused(Reason::NotOnThisSwitch),
            Circuit::ToMeter { short: Ready::NotLookedAt, .. } if switch.kind == super::Kind::PlugInBlock => {
                refused(Reason::JumperNotChecked)
            }
            Circuit::ToMeter { carries, .. } => {
                Ok(self.with_current(element, Circuit::ToMeter { carries, short: looked }))
            }
            _ => refused(Reason::NotFromHere),
        }
    }

    fn saw_path(&self, switch: &Switch, element: Element, sound: bool) -> Result<Belief, Refusal> {
        let refused = |reason, pole| Err(Refusal { reason, pole: Some(pole) });
        match self.current(element) {
            _ if !switch.kind.is_one_motion() => refused(Reason::NotOnThisSwitch, Pole::Current(element)),
            _ if self.meter != Meter::In => refused(Reason::MeterNotIn, Pole::Meter),
            Circuit::Shorted { proof, .. } => {
                let path = if sound { Ready::Sound } else { Ready::Faulty };
                Ok(self.with_current(element, Circuit::Shorted { proof, path }))
            }
            _ => refused(Reason::NotFromHere, Pole::Current(element)),
        }
    }

    /// With the supply off a CT circuit can be rung through, contacts included.
    fn rang(&self, element: Element, closed: bool) -> Result<Belief, Refusal> {
        if self.is_live() {
            return Err(Refusal { reason: Reason::OnlyDeEnergised, pole: Some(Pole::Current(element)) });
        }
        let next = match (closed, self.current(element)) {
            (false, _) => Circuit::Broken,
            (true, Circuit::ToMeter { short, .. }) => Circuit::ToMeter { carries: true, short },
            (true, Circuit::Broken) => Circuit::Unknown,
            (true, found) => found,
        };
        Ok(self.with_current(element, next))
    }
}
