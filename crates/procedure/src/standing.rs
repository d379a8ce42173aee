//! Where a meter change stands: every step with its wants and checks, the step and the input that come next, what to shout.

use crate::checks::{CHECKS, Context, Judged};
use crate::facts::Facts;
use crate::now::Now;
use crate::replay::{CurrentStands, PotentialStands, Replay};
use crate::steps::{self, Order, Step};
use crate::wants::{self, Want};
use jobfile::Fold;
use metering::isolation::{Danger, Way};

/// Where a job stands.
#[derive(Clone, Debug)]
pub struct Standing {
    /// Which of currents and potentials goes first here.
    pub order: Order,
    /// Every step, in the order of the site.
    pub steps: Vec<StepStanding>,
    /// The step to do now; the last one when all are done.
    pub now: &'static str,
    /// The one next thing to enter; `None` when nothing is left.
    pub next_input: Option<Next>,
    /// Every stop check.
    pub checks: Vec<Judged>,
    /// The test switch.
    pub replay: Replay,
    /// What every screen of the job must show, worst first.
    pub shouts: Vec<Shout>,
    /// Dangers as the switch knows them.
    pub dangers: Vec<Danger>,
    /// The next safe step back to all restored, or to stop and de-energise.
    pub way: Option<Way>,
}

/// Where a step stands.
#[derive(Clone, Debug, PartialEq)]
pub struct StepStanding {
    /// Id of the step.
    pub id: &'static str,
    /// How it stands.
    pub state: State,
    /// What it wants.
    pub wants: Vec<Want>,
    /// Its stop checks, by id; how they stand is in [`Standing::checks`].
    pub checks: &'static [&'static str],
}

/// How a step stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum State {
    /// All it must have is there, and its checks let it pass.
    Done {
        /// When, in milliseconds: as stated, else when its last want was met.
        at_ms: i64,
    },
    /// A person left it undone, with a reason.
    LeftOpen {
        /// The reason.
        why: String,
    },
    /// The step to do now.
    Now,
    /// Hands are already at a later step; it can still be gone to.
    PassedBy,
    /// Still to come.
    Ahead,
}

/// The one next thing to enter.
#[derive(Clone, Debug, PartialEq)]
pub struct Next {
    /// The step it belongs to.
    pub step: &'static str,
    /// What it is.
    pub what: NextWhat,
}

/// What comes next.
#[derive(Clone, Debug, PartialEq)]
pub enum NextWhat {
    /// A want that is not met.
    Want(Want),
    /// A stop check that does not let the step pass, by id.
    Check(&'static str),
}

/// One thing to shout; its sentence is `shout-<code>`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shout {
    /// Stable code.
    pub code: &'static str,
    /// Letters of the elements or poles, joined: `A, B`.
    pub place: String,
}

/// Codes of all shouts, worst first, for the proof that each has a sentence.
pub const SHOUT_CODES: &[&str] =
    &["broken", "vt_shorted", "unknown", "potential_unknown", "look_again", "shorted", "potential_up", "meter_out"];

/// Where the job stands. Never fails: what is missing, refused or in conflict is part of the answer.
pub fn standing(fold: &Fold, now: &Now) -> Standing {
    let facts = Facts::new(fold);
    let replay = Replay::of(&facts, now);
    let context = Context { facts, replay: &replay };
    let judged: Vec<Judged> = CHECKS.iter().map(|check| check.judge(&context)).collect();
    let order = policy(&facts);
    let mut steps: Vec<StepStanding> = steps::order(order)
        .iter()
        .filter_map(|id| steps::find(id))
        .map(|step| first_look(step, &context, &judged))
        .collect();
    let now = place_now(&mut steps);
    let next_input = next_input(&steps, now, &judged);
    let shouts = shouts(&replay);
    let (dangers, way) = (replay.dangers(), replay.way_back());
    Standing { order, steps, now, next_input, checks: judged, replay, shouts, dangers, way }
}

/// The site's order; currents first where nothing is said.
pub(crate) fn policy(facts: &Facts) -> Order {
    if facts.is("site", "", "order", "potentials_first") { Order::PotentialsFirst } else { Order::CurrentsFirst }
}

/// A step by itself: done, left open, or ahead.
fn first_look(step: &'static Step, context: &Context, judged: &[Judged]) -> StepStanding {
    let wants: Vec<Want> = step.needs.iter().flat_map(|need| wants::of(need, &context.facts, context.replay)).collect();
    let passes = |id: &str| judged.iter().any(|check| check.id == id && check.lets_pass());
    let complete = wants.iter().all(|want| want.met || !want.must) && step.checks.iter().all(|id| passes(id));
    let written = context.facts.one("step", step.id);
    let state = if complete {
        let stated = written.filter(|row| row.is("state", "done")).map(|row| row.moment().at_ms);
        let last = wants.iter().filter_map(|want| want.at_ms).max();
        State::Done { at_ms: stated.or(last).unwrap_or_default() }
    } else {
        match written.filter(|row| row.is("state", "left_open")) {
            Some(row) => State::LeftOpen { why: row.text("why").unwrap_or_default().to_owned() },
            None => State::Ahead,
        }
    };
    StepStanding { id: step.id, state, wants, checks: step.checks }
}

/// Finds the step to do now, and marks those that hands have already passed by.
fn place_now(steps: &mut [StepStanding]) -> &'static str {
    let begun = |step: &StepStanding| {
        let is_acts = steps::find(step.id).is_some_and(|step| step.screen == steps::Screen::Switch);
        is_acts && step.wants.iter().any(|want| want.must && want.met && want.entered == wants::Entered::Act)
    };
    // Where hands are: the furthest step whose acts have begun.
    let hands = steps.iter().rposition(begun).unwrap_or(0);
    let ahead = |step: &StepStanding| step.state == State::Ahead;
    let at = (hands..steps.len()).chain(0..hands).find(|index| steps.get(*index).is_some_and(ahead));
    for (index, step) in steps.iter_mut().enumerate() {
        if Some(index) == at {
            step.state = State::Now;
        } else if index < hands && step.state == State::Ahead {
            step.state = State::PassedBy;
        }
    }
    at.and_then(|index| steps.get(index)).or(steps.last()).map_or("close_out", |step| step.id)
}

fn next_input(steps: &[StepStanding], now: &str, judged: &[Judged]) -> Option<Next> {
    let step = steps.iter().find(|step| step.id == now && step.state == State::Now)?;
    let want = step.wants.iter().find(|want| want.must && !want.met).cloned().map(NextWhat::Want);
    let check = || {
        let blocks = |id: &&&'static str| judged.iter().any(|check| check.id == **id && !check.lets_pass());
        step.checks.iter().find(blocks).map(|id| NextWhat::Check(id))
    };
    want.or_else(check).map(|what| Next { step: step.id, what })
}

/// What must be seen on every screen of the job, and in the list of jobs.
pub fn shouts(replay: &Replay) -> Vec<Shout> {
    let current = |stands: &[CurrentStands]| {
        let hit = replay
            .elements
            .iter()
            .filter(|track| stands.contains(&track.was.unwrap_or(track.stands)))
            .map(|track| track.element);
        hit.collect::<Vec<_>>().join(", ")
    };
    let potential = |stands: PotentialStands| {
        let hit = replay
            .potentials
            .iter()
            .filter(|track| track.was.unwrap_or(track.stands) == stands)
            .map(|track| track.pole);
        hit.collect::<Vec<_>>().join(", ")
    };
    // Before anybody has touched or described the switch, not knowing is no alarm.
    let known = !replay.happenings.is_empty() || replay.was_seen;
    let unknown = |place: String| if known { place } else { String::new() };
    let meter = if replay.meter_is_out { "1".to_owned() } else { String::new() };
    let all = [
        ("broken", current(&[CurrentStands::Broken])),
        ("vt_shorted", potential(PotentialStands::Shorted)),
        ("unknown", unknown(current(&[CurrentStands::Unknown]))),
        ("potential_unknown", unknown(potential(PotentialStands::Unknown))),
        ("look_again", replay.to_look_again().join(", ")),
        ("shorted", current(&[CurrentStands::Shorted, CurrentStands::ShortedBoth])),
        ("potential_up", potential(PotentialStands::Up)),
        ("meter_out", meter),
    ];
    all.into_iter().filter(|(_, place)| !place.is_empty()).map(|(code, place)| Shout { code, place }).collect()
}

impl Standing {
    /// The step of this id.
    pub fn step(&self, id: &str) -> Option<&StepStanding> {
        self.steps.iter().find(|step| step.id == id)
    }

    /// The check of this id.
    pub fn check(&self, id: &str) -> Option<&Judged> {
        self.checks.iter().find(|check| check.id == id)
    }

    /// Whether a step is done.
    pub fn is_done(&self, id: &str) -> bool {
        self.step(id).is_some_and(|step| matches!(step.state, State::Done { .. }))
    }
}

impl StepStanding {
    /// Wants that must be met and are not.
    pub fn missing(&self) -> impl Iterator<Item = &Want> {
        self.wants.iter().filter(|want| want.must && !want.met)
    }
}
