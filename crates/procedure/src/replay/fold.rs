//! The fold of the log into a replay: every entry about the switch in its order, and what it changed.

use super::steps::{Hands, acts_of, proof_of};
use super::{CurrentStands, ElementTrack, Happening, How, NotTaken, PotentialStands, PotentialTrack, Replay};
use crate::checks::{self, dead_test};
use crate::facts::{ELEMENTS, Facts, Row};
use crate::now::{Moment, Now};
use jobfile::sorting::sort_by_key;
use metering::bypass::Share;
use metering::isolation::{
    Act, Belief, Circuit, Element, Kind, Order, OthersUse, Potential, PotentialPole, Ready, Refusal, ShortProof, Switch,
};

/// Kinds that say something about the switch.
const KINDS: [&str; 7] =
    ["reading", "current_seen", "potential_seen", "act", "short_proof", "current_back", "dead_test"];

impl Replay {
    /// Folds the log as it stands at `now`.
    pub(crate) fn of(facts: &Facts, now: &Now) -> Self {
        let switch = switch_of(facts);
        // Without a description the most careful kind stands in, so that looks and happenings are kept all the same.
        let hands = Hands::new(switch.unwrap_or(undescribed()));
        let mut folder = Folder { facts, hands, replay: begin(switch), session: None };
        let mut rows: Vec<(usize, Row)> = Vec::new();
        for row in KINDS.into_iter().flat_map(|kind| facts.each(kind)) {
            rows.push((row.order(), row));
            // A test repeated counts where it was repeated too; a correction counts where the first entry stood.
            if row.kind() == "dead_test" && row.written_order() != row.order() {
                rows.push((row.written_order(), row));
            }
        }
        sort_by_key(&mut rows, |(order, _)| *order);
        for (order, row) in &rows {
            folder.take(*order, row);
        }
        folder.enter_session(&now.session);
        folder.finish()
    }

    /// The hands as they stand now, to judge what comes next; `None` until the switch is described.
    pub(crate) fn hands(&self) -> Option<Hands> {
        let switch = self.switch?;
        Some(Hands { switch, belief: self.belief, meter_in: !self.meter_is_out, live: self.live })
    }
}

/// The switch as described; the way back is potentials first everywhere, see `steps::order`.
fn switch_of(facts: &Facts) -> Option<Switch> {
    let row = facts.one("switch", "")?;
    let out =
        if facts.is("site", "", "order", "potentials_first") { Order::PotentialsFirst } else { Order::CurrentsFirst };
    let settled = facts.one("override", "others_asked").is_some();
    let others_use = match row.text("others_use") {
        Some("no") => OthersUse::Nothing,
        _ if settled => OthersUse::Agreed,
        _ => OthersUse::Unsettled,
    };
    let kind = Kind::from_code(row.text("type")?)?;
    Some(Switch { kind, neutral_pole: row.is("neutral_pole", "yes"), out, back: Order::PotentialsFirst, others_use })
}

const fn undescribed() -> Switch {
    let (out, back) = (Order::CurrentsFirst, Order::PotentialsFirst);
    Switch { kind: Kind::None, neutral_pole: true, out, back, others_use: OthersUse::Unsettled }
}

fn begin(switch: Option<Switch>) -> Replay {
    let element = |element: Element| ElementTrack {
        element: element.code(),
        name: metering::isolation::Pole::Current(element).code(),
        stands: CurrentStands::Unknown,
        was: None,
        proven: false,
        breached: false,
        shorted_at: None,
        short_read_at: None,
        proven_at: None,
        parted_at: None,
        first_restored_at: None,
        restored_at: None,
    };
    let potential = |pole: &PotentialPole| PotentialTrack {
        pole: pole.code(),
        name: metering::isolation::Pole::Potential(*pole).code(),
        stands: PotentialStands::Unknown,
        was: None,
        up_at: None,
        back_at: None,
    };
    Replay {
        switch,
        belief: Belief::unknown(),
        elements: Element::ALL.map(element),
        potentials: switch.unwrap_or(undescribed()).potential_poles().iter().map(potential).collect(),
        meter_is_out: false,
        meter_out_at: None,
        meter_in_at: None,
        shares: [const { Vec::new() }; 3],
        happenings: Vec::new(),
        not_taken: Vec::new(),
        started_again: false,
        was_seen: false,
        live: true,
    }
}

struct Folder<'a> {
    facts: &'a Facts<'a>,
    hands: Hands,
    replay: Replay,
    session: Option<String>,
}

impl Folder<'_> {
    fn take(&mut self, order: usize, row: &Row) {
        // A correction belongs where the first entry stood, in the run of the program that wrote that one.
        let moment = if order == row.order() { row.moment() } else { row.written_moment() };
        self.enter_session(&moment.session);
        self.session = Some(moment.session.clone());
        let before = self.hands.belief;
        match row.kind() {
            "reading" => self.reading(row),
            "act" => self.act(row, &moment),
            "short_proof" | "current_back" => self.proof(row),
            "dead_test" => self.dead_test(row),
            _ => self.look(row),
        }
        self.note(&before, &moment, row.kind() == "act");
    }

    /// Another run of the program: unless the work on the switch is finished, everything is to be looked at again.
    fn enter_session(&mut self, session: &str) {
        let other = self.session.as_deref().is_some_and(|known| known != session);
        let untouched = self.replay.happenings.is_empty() && !self.replay.was_seen;
        if !other
            || untouched
            || (!self.replay.happenings.is_empty() && self.hands.belief.is_restored(&self.hands.switch))
        {
            return;
        }
        self.show();
        for track in &mut self.replay.elements {
            if !matches!(track.stands, CurrentStands::Unknown | CurrentStands::Broken | CurrentStands::LookAgain) {
                track.was = Some(track.stands);
            }
        }
        for track in &mut self.replay.potentials {
            if !matches!(track.stands, PotentialStands::Unknown | PotentialStands::LookAgain) {
                track.was = Some(track.stands);
            }
        }
        self.hands.forget();
        self.session = Some(session.to_owned());
        self.show();
    }

    /// Readings as found and as left show that a circuit to the meter carries; as found they may also show a broken one.
    fn reading(&mut self, row: &Row) {
        let Some((stage, element)) = row.place().split_once('/') else { return };
        let (Some(element), Some(amps)) = (Element::from_code(element), row.number("amps")) else { return };
        if stage == "as_found" && self.replay.happenings.is_empty() && self.suspected().contains(&element.code()) {
            self.hands.suspect(element);
        } else {
            self.hands.carries(element, amps);
        }
    }

    /// Elements that the first look gives as broken, unless a named person says otherwise.
    fn suspected(&self) -> Vec<&'static str> {
        if self.facts.one("override", "no_broken_ct").is_some() {
            return Vec::new();
        }
        if self.facts.is("first_look", "", "hum", "yes") {
            return ELEMENTS.to_vec();
        }
        checks::dead_beside_loaded(self.facts)
    }

    fn act(&mut self, row: &Row, moment: &Moment) {
        let planned = row.is("accepted", "planned");
        for act in acts_of(row.fields()) {
            let before = self.hands.belief;
            let how = match (self.hands.act(act), planned) {
                (Ok(()), true) => How::Accepted,
                (Ok(()), false) => How::HappenedSafely,
                (Err(refusal), planned) => {
                    self.breach(&before, act);
                    self.hands.happened(act);
                    if planned { How::RefusedPlan(refusal) } else { How::Happened(refusal) }
                }
            };
            self.replay.happenings.push(Happening {
                entry: row.hash(),
                act: act.code(),
                pole: act.pole_code(),
                moment: moment.clone(),
                how,
                why: row.text("why").map(str::to_owned),
            });
            self.note(&before, moment, true);
        }
    }

    /// Marks the elements whose circuit was parted by a refused act without what should have carried their current.
    fn breach(&mut self, before: &Belief, act: Act) {
        if !before.is_live() {
            return;
        }
        let without_switch = self.hands.switch.kind == Kind::None;
        for (element, track) in Element::ALL.into_iter().zip(&mut self.replay.elements) {
            if act.element().is_none_or(|only| only == element)
                && !is_carried(before.current(element), act, without_switch)
            {
                track.breached = true;
            }
        }
    }

    fn proof(&mut self, row: &Row) {
        if let (Some(element), Some(proof)) = (Element::from_code(row.place()), proof_of(row.fields())) {
            let taken = self.hands.read(element, proof);
            self.keep_refusal(row, taken);
        }
    }

    fn dead_test(&mut self, row: &Row) {
        let dead = dead_test(self.facts, row) == checks::Outcome::Passes;
        let taken = self.hands.tested(dead);
        self.keep_refusal(row, taken);
    }

    fn look(&mut self, row: &Row) {
        let state = row.text("state").unwrap_or("unknown");
        self.replay.was_seen = true;
        let taken = if row.kind() == "current_seen" {
            Element::from_code(row.place()).map(|element| self.hands.saw_current(element, state))
        } else {
            PotentialPole::from_code(row.place()).map(|pole| self.hands.saw_potential(pole, state))
        };
        if let Some(taken) = taken {
            self.keep_refusal(row, taken);
        }
    }

    fn keep_refusal(&mut self, row: &Row, taken: Result<(), Refusal>) {
        if let Err(why) = taken {
            self.replay.not_taken.push(NotTaken { entry: row.hash(), place: row.place().to_owned(), why });
        }
    }

    /// Notes the moments at which something changed; only acts start and stop clocks.
    fn note(&mut self, before: &Belief, moment: &Moment, is_act: bool) {
        let (belief, kind) = (self.hands.belief, self.hands.switch.kind);
        for (element, track) in Element::ALL.into_iter().zip(&mut self.replay.elements) {
            let (was, is) = (before.current(element), belief.current(element));
            if was == is {
                continue;
            }
            note_reading(track, is, kind, moment);
            if is_act {
                note_act(track, is, belief.is_live(), moment);
            }
        }
        if is_act {
            self.note_potentials(before, moment);
            self.note_meter(moment);
        }
        self.note_shares(moment);
        self.show();
    }

    /// From the first act on, what each element registers.
    fn note_shares(&mut self, moment: &Moment) {
        if self.replay.happenings.is_empty() {
            return;
        }
        for (element, shares) in Element::ALL.into_iter().zip(&mut self.replay.shares) {
            let share = Share::of(&self.hands.belief, element);
            if shares.last().map_or(Share::ALL, |(_, last)| *last) != share {
                shares.push((moment.clone(), share));
            }
        }
    }

    fn note_potentials(&mut self, before: &Belief, moment: &Moment) {
        for track in &mut self.replay.potentials {
            let Some(pole) = PotentialPole::from_code(track.pole) else { continue };
            match (before.potential(pole), self.hands.belief.potential(pole)) {
                (was, is) if was == is => {}
                (_, Potential::Open) => {
                    track.up_at.get_or_insert_with(|| moment.clone());
                    track.back_at = None;
                }
                (_, Potential::Closed) if track.up_at.is_some() => track.back_at = Some(moment.clone()),
                _ => {}
            }
        }
    }

    fn note_meter(&mut self, moment: &Moment) {
        let is_out = !self.hands.meter_in;
        if is_out && !self.replay.meter_is_out {
            self.replay.meter_out_at.get_or_insert_with(|| moment.clone());
            self.replay.meter_in_at = None;
        } else if !is_out && self.replay.meter_is_out {
            self.replay.meter_in_at = Some(moment.clone());
        }
        self.replay.meter_is_out = is_out;
    }

    /// Shows the belief pole by pole. A look or an act takes *look again* away.
    fn show(&mut self) {
        let belief = &self.hands.belief;
        for (element, track) in Element::ALL.into_iter().zip(&mut self.replay.elements) {
            let stands = match belief.current(element) {
                Circuit::ToMeter { .. } => CurrentStands::ToMeter,
                Circuit::Both { .. } => CurrentStands::ShortedBoth,
                Circuit::Shorted { .. } => CurrentStands::Shorted,
                Circuit::Broken => CurrentStands::Broken,
                Circuit::Unknown if track.was.is_some() => CurrentStands::LookAgain,
                Circuit::Unknown => CurrentStands::Unknown,
            };
            if stands != CurrentStands::LookAgain {
                track.was = None;
            }
            track.stands = stands;
        }
        for track in &mut self.replay.potentials {
            let Some(pole) = PotentialPole::from_code(track.pole) else { continue };
            let stands = match belief.potential(pole) {
                Potential::Closed => PotentialStands::ToMeter,
                Potential::Open => PotentialStands::Up,
                Potential::Shorted => PotentialStands::Shorted,
                Potential::Unknown if track.was.is_some() => PotentialStands::LookAgain,
                Potential::Unknown => PotentialStands::Unknown,
            };
            if stands != PotentialStands::LookAgain {
                track.was = None;
            }
            track.stands = stands;
        }
    }

    fn finish(mut self) -> Replay {
        self.show();
        self.replay.belief = self.hands.belief;
        self.replay.live = self.hands.live;
        self.replay.started_again = !self.replay.to_look_again().is_empty();
        self.replay
    }
}

/// Whether something known would have carried the current of a circuit through this motion.
fn is_carried(circuit: Circuit, act: Act, without_switch: bool) -> bool {
    match act {
        Act::OpenMeterPath(_) => matches!(circuit, Circuit::Both { short_proven: true, .. }),
        Act::PullShortingBlade(_) | Act::InsertPlug => matches!(circuit, Circuit::ToMeter { short: Ready::Sound, .. }),
        Act::OpenShort(_) | Act::UnshortAtCt(_) => matches!(circuit, Circuit::Both { path_proven: true, .. }),
        Act::PushShortingBlade(_) | Act::WithdrawPlug => matches!(circuit, Circuit::Shorted { path: Ready::Sound, .. }),
        Act::RemovePlugJumper(_) => matches!(circuit, Circuit::ToMeter { .. }),
        Act::MeterOut => match circuit {
            Circuit::Shorted { proof, .. } => proof == ShortProof::Proven,
            Circuit::Both { short_proven, .. } => without_switch && short_proven,
            _ => false,
        },
        _ => true,
    }
}

fn note_reading(track: &mut ElementTrack, is: Circuit, kind: Kind, moment: &Moment) {
    let first_stage = matches!(is, Circuit::Both { short_proven: true, .. });
    let whole = matches!(is, Circuit::Shorted { proof: ShortProof::Proven, .. });
    if first_stage || whole {
        track.short_read_at.get_or_insert_with(|| moment.clone());
    }
    if whole {
        track.proven_at.get_or_insert_with(|| moment.clone());
    }
    // Without a switch the meter itself parts the circuit, and the first stage is all that can be had before.
    track.proven |= whole || (first_stage && kind == Kind::None);
}

fn note_act(track: &mut ElementTrack, is: Circuit, is_live: bool, moment: &Moment) {
    match is {
        Circuit::Both { .. } | Circuit::Shorted { .. } => {
            track.shorted_at.get_or_insert_with(|| moment.clone());
            track.restored_at = None;
            if matches!(is, Circuit::Shorted { .. }) {
                track.parted_at.get_or_insert_with(|| moment.clone());
                track.proven |= !is_live;
            }
        }
        Circuit::ToMeter { .. } if track.shorted_at.is_some() => {
            track.first_restored_at.get_or_insert_with(|| moment.clone());
            track.restored_at = Some(moment.clone());
        }
        _ => {}
    }
}
