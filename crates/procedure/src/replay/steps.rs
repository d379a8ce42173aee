//! From an entry to the steps that `metering::isolation` understands, and the hands that fold them one after the other.

use jobfile::{Fields, What};
use metering::decimal::Decimal;
use metering::isolation::{
    Act, Belief, Circuit, CircuitSeen, Element, Kind, Meter, PotentialPole, PotentialSeen, Proof, Ready, Refusal, Seen,
    Step, Supply, Switch,
};

/// A switch with what is believed of it, and what was last known of meter and supply.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Hands {
    pub switch: Switch,
    pub belief: Belief,
    /// Kept over a restart: whoever looks at the switch sees whether a meter is in.
    pub meter_in: bool,
    /// Kept over a restart: whoever took the supply off knows it.
    pub live: bool,
}

impl Hands {
    pub fn new(switch: Switch) -> Self {
        Self { switch, belief: Belief::unknown(), meter_in: true, live: true }
    }

    fn apply(&mut self, step: Step) -> Result<(), Refusal> {
        self.belief = self.belief.apply(&self.switch, step)?;
        self.remember();
        Ok(())
    }

    fn remember(&mut self) {
        match self.belief.meter() {
            Meter::In => self.meter_in = true,
            Meter::Out => self.meter_in = false,
            Meter::Unknown => {}
        }
        match self.belief.supply() {
            Supply::DeEnergised => self.live = false,
            Supply::Energised => self.live = true,
            Supply::Unknown => {}
        }
    }

    /// A planned act.
    pub fn act(&mut self, act: Act) -> Result<(), Refusal> {
        self.apply(Step::Act(act))
    }

    /// What happened nevertheless.
    pub fn happened(&mut self, act: Act) {
        self.belief = self.belief.happened(&self.switch, act);
        if act == Act::DeEnergise {
            self.live = true; // off by accident is not tested dead
        }
        self.remember();
    }

    /// The program started again: hands may have moved anything meanwhile.
    pub fn forget(&mut self) {
        self.belief = self.belief.after_restart();
    }

    /// Amperes on both sides of one element.
    pub fn read(&mut self, element: Element, proof: Proof) -> Result<(), Refusal> {
        self.look_around();
        self.apply(Step::Read(element, proof))
    }

    /// Amperes of one element whose current circuit is to the meter: what flows there flows on both sides, since the only
    /// closed way leads through the meter. Too little current decides nothing, and is no fault.
    pub fn carries(&mut self, element: Element, amps: f64) {
        if matches!(self.belief.current(element), Circuit::ToMeter { .. }) {
            let both = Proof { before_a: None, ct_side_a: amps, meter_side_a: amps };
            let _too_little = self.apply(Step::Read(element, both));
        }
    }

    /// A CT hums, or an element is without current beside loaded ones.
    pub fn suspect(&mut self, element: Element) {
        let _always_taken = self.apply(Step::Seen(Seen::SignsOfBroken(element)));
    }

    /// Whoever looks at the switch, or reads at it, sees whether a meter is in and knows whether the supply is on.
    fn look_around(&mut self) {
        if self.belief.meter() == Meter::Unknown {
            let _always_taken = self.apply(Step::Seen(Seen::Meter(self.meter_in)));
        }
        if self.belief.supply() == Supply::Unknown {
            let _always_taken = self.apply(Step::Seen(Seen::Live(self.live)));
        }
    }

    /// A look at a current pole: where it stands and, of what the next motion will rely on, that it is sound. Whoever finds
    /// clip, jumper, blade or lead unsound says *unknown*. With the supply off the look includes ringing through.
    pub fn saw_current(&mut self, element: Element, state: &str) -> Result<(), Refusal> {
        let seen = match state {
            "to_meter" => CircuitSeen::ToMeter,
            "both_closed" => CircuitSeen::Both,
            "shorted" => CircuitSeen::Shorted,
            "open" | "broken" => CircuitSeen::Broken,
            _ => {
                self.forget();
                return Ok(());
            }
        };
        self.look_around();
        self.apply(Step::Seen(Seen::Circuit(element, seen)))?;
        let relied_on = match self.belief.current(element) {
            // A plug has nothing to be looked at before its jumper is on.
            Circuit::ToMeter { short: Ready::NotLookedAt, .. } if self.switch.kind == Kind::PlugInBlock => None,
            Circuit::ToMeter { .. } if self.switch.kind.is_one_motion() => Some(Seen::Short(element, true)),
            Circuit::Shorted { .. } if self.switch.kind.is_one_motion() && self.meter_in => {
                Some(Seen::MeterPath(element, true))
            }
            _ => None,
        };
        if let Some(seen) = relied_on {
            self.apply(Step::Seen(seen))?;
        }
        if !self.belief.is_live() && seen == CircuitSeen::ToMeter {
            self.apply(Step::Seen(Seen::Loop(element, true)))?;
        }
        Ok(())
    }

    /// A look at a potential pole.
    pub fn saw_potential(&mut self, pole: PotentialPole, state: &str) -> Result<(), Refusal> {
        let seen = match state {
            "to_meter" => PotentialSeen::Closed,
            "open" | "broken" => PotentialSeen::Open,
            "shorted" => PotentialSeen::Shorted,
            _ => {
                self.forget();
                return Ok(());
            }
        };
        self.look_around();
        self.apply(Step::Seen(Seen::Potential(pole, seen)))
    }

    /// Takes a draft as the fold of the log would take it, except that a refusal stops.
    pub fn take(&mut self, what: &What) -> Result<(), Refusal> {
        let (fields, place) = (&what.fields, what.place.as_str());
        match what.kind.as_str() {
            "act" => acts_of(fields).into_iter().try_for_each(|act| {
                let taken = self.act(act);
                if taken.is_err() && fields.is("accepted", "happened") {
                    self.happened(act);
                    return Ok(());
                }
                taken
            }),
            "short_proof" | "current_back" => match (Element::from_code(place), proof_of(fields)) {
                (Some(element), Some(proof)) => self.read(element, proof),
                _ => Ok(()),
            },
            "current_seen" => Element::from_code(place)
                .map_or(Ok(()), |element| self.saw_current(element, fields.text("state").unwrap_or("unknown"))),
            "potential_seen" => PotentialPole::from_code(place)
                .map_or(Ok(()), |pole| self.saw_potential(pole, fields.text("state").unwrap_or("unknown"))),
            _ => Ok(()),
        }
    }

    /// The live–dead–live test at the meter's terminals.
    pub fn tested(&mut self, dead: bool) -> Result<(), Refusal> {
        self.apply(Step::Seen(Seen::JawsDead(dead)))
    }
}

/// The acts that an entry stands for: one, or one after the other where it says “all”, the neutral last up and first down.
pub(crate) fn acts_of(fields: &Fields) -> Vec<Act> {
    let (Some(act), Some(pole)) = (fields.text("act"), fields.text("pole")) else { return Vec::new() };
    if let Some(act) = Act::from_codes(act, pole) {
        return vec![act];
    }
    if pole != "all" {
        return Vec::new();
    }
    let poles = if act == "close_potential" { ["N", "A", "B", "C"] } else { ["A", "B", "C", "N"] };
    poles.iter().filter_map(|pole| Act::from_codes(act, pole)).collect()
}

/// Both sides of one element, as an entry of kind `short_proof` or `current_back` holds them.
pub(crate) fn proof_of(fields: &Fields) -> Option<Proof> {
    let number = |id: &str| fields.decimal(id).map(Decimal::to_f64);
    Some(Proof { before_a: number("before"), ct_side_a: number("ct_side")?, meter_side_a: number("meter_side")? })
}
