//! The hands as a machine: acts that are pressed, looks, what is left undone, what is overridden, what happened nevertheless.

use crate::machine::{Machine, Now, Reply, Wish};
use jobfile::typed::{self, Complaint, Context};
use jobfile::{Draft, Fold, What, kinds};
use metering::isolation::Act;
use procedure::press::{self, PressError};

/// What stands unfolded beside the act.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Panel {
    /// Nothing.
    None,
    /// Leaving the step undone, with a reason.
    Leave,
    /// Overriding this stop check.
    Override(&'static str),
    /// Saying what happened outside the procedure.
    Happened,
    /// Saying pole by pole how the switch stands.
    Otherwise,
}

/// How the last press went.
#[derive(Clone, Debug, PartialEq)]
pub enum Told {
    /// Nothing to tell.
    Nothing,
    /// On its way to the store.
    Saving,
    /// Stored and read back.
    Saved,
    /// Not safe: the reason’s code and pole.
    Refused(Refused),
    /// Not stored: the sentence that says why.
    Failed(String),
}

/// Why a press was not taken.
#[derive(Clone, Debug, PartialEq)]
pub enum Refused {
    /// The switch is not described.
    SwitchUnknown,
    /// The machine of the switch says no.
    Unsafe(metering::isolation::Refusal),
    /// A check that takes no override.
    NoOverride,
    /// A text is missing.
    Blank,
    /// The stated time cannot be read: what it wants.
    Time(Complaint),
}

/// The machine.
#[derive(Clone, Debug)]
pub struct Hands {
    /// What stands unfolded.
    pub panel: Panel,
    /// The time stated for the next act, as typed; blank is now.
    pub done_at: String,
    /// The reason in the open panel.
    pub why: String,
    /// The name in the open panel.
    pub by: String,
    /// How the last press went.
    pub told: Told,
    question: u32,
    context: Context,
}

/// What can happen.
#[derive(Clone, Debug)]
pub enum Msg {
    /// These acts were done, in this order. The fold is the log as it stands.
    Done(Vec<Act>, Fold),
    /// These poles stand so: (kind, place, state).
    Seen(Vec<(&'static str, &'static str, &'static str)>),
    /// A panel is opened, or closed.
    Open(Panel),
    /// The stated time changed.
    DoneAt(String),
    /// The reason changed.
    Why(String),
    /// The name changed.
    By(String),
    /// The step is left undone.
    Leave(&'static str, Fold),
    /// The check is overridden.
    Overrule(&'static str, Fold),
    /// The world answered.
    Replied(Reply),
}

impl From<Reply> for Msg {
    fn from(reply: Reply) -> Msg {
        Msg::Replied(reply)
    }
}

impl Hands {
    /// Idle hands of a person.
    pub fn new(by: String, context: Context) -> Hands {
        let (done_at, why) = (String::new(), String::new());
        Hands { panel: Panel::None, done_at, why, by, told: Told::Nothing, question: 0, context }
    }

    fn record(&mut self, drafts: Vec<Draft>) -> Vec<Wish> {
        self.question += 1;
        self.told = Told::Saving;
        vec![Wish::Record { drafts, question: self.question }]
    }

    fn refuse(&mut self, why: Refused) -> Vec<Wish> {
        self.told = Told::Refused(why);
        vec![]
    }

    /// What is wrong with a text of an open panel: it cannot be kept as it is, or it is blank and was asked for.
    pub fn complaint(&self, text: &str, kind: &str, field: &str) -> Option<Complaint> {
        if text.trim().is_empty() && self.told != Told::Refused(Refused::Blank) {
            return None;
        }
        let field = kinds::find(kind).and_then(|kind| kind.field(field))?;
        typed::read_field(field, text, &self.context).err()
    }

    /// The stated time as it is stored; none means now.
    fn stated(&self) -> Result<Option<String>, Complaint> {
        if self.done_at.trim().is_empty() {
            return Ok(None);
        }
        let Some(field) = kinds::find("act").and_then(|kind| kind.field("done_at")) else { return Ok(None) };
        typed::read_field(field, &self.done_at, &self.context).map(|value| value.as_str().map(str::to_string))
    }

    fn done(&mut self, acts: &[Act], fold: &Fold, now: &Now) -> Vec<Wish> {
        let stated = match self.stated() {
            Ok(stated) => stated,
            Err(complaint) => return self.refuse(Refused::Time(complaint)),
        };
        let row = press::in_order(acts, stated.as_deref());
        match press::judge_acts(fold, &crate::services::job::procedure_now(now), &row) {
            Ok(drafts) => self.record(drafts),
            Err(PressError::SwitchUnknown) => self.refuse(Refused::SwitchUnknown),
            Err(PressError::Refused { refusal, .. }) => self.refuse(Refused::Unsafe(refusal)),
        }
    }

    fn replied(&mut self, reply: Reply) {
        let Reply::Recorded { question, result } = reply;
        if question != self.question || self.told != Told::Saving {
            return;
        }
        match result {
            Ok(()) => {
                self.told = Told::Saved;
                self.panel = Panel::None;
                self.done_at.clear();
                self.why.clear();
            }
            Err(why) => self.told = Told::Failed(why),
        }
    }
}

impl Machine for Hands {
    type Msg = Msg;

    fn update(&mut self, msg: Msg, now: &Now) -> Vec<Wish> {
        self.context = Context { now: now.at, ..self.context };
        // A second press while the first is on its way would write the same act twice.
        let presses = matches!(msg, Msg::Done(..) | Msg::Seen(_) | Msg::Leave(..) | Msg::Overrule(..));
        if presses && self.told == Told::Saving {
            return vec![];
        }
        match msg {
            Msg::Done(acts, fold) => return self.done(&acts, &fold, now),
            Msg::Seen(poles) => {
                let seen = |(kind, place, state)| Draft::new(What::new(kind, place).with("state", state));
                return self.record(poles.into_iter().map(seen).collect());
            }
            Msg::Leave(step, fold) if !self.why.trim().is_empty() => {
                let draft = press::leave_open(&fold, step, self.why.trim());
                return self.record(vec![draft]);
            }
            Msg::Overrule(check, fold) if !self.why.trim().is_empty() && !self.by.trim().is_empty() => {
                return match press::override_check(&fold, check, self.by.trim(), self.why.trim()) {
                    Ok(draft) => self.record(vec![draft]),
                    Err(_) => self.refuse(Refused::NoOverride),
                };
            }
            Msg::Leave(..) | Msg::Overrule(..) => return self.refuse(Refused::Blank),
            Msg::Open(panel) => {
                self.panel = panel;
                self.told = Told::Nothing;
            }
            Msg::DoneAt(text) => self.done_at = text,
            Msg::Why(text) => self.why = text,
            Msg::By(text) => self.by = text,
            Msg::Replied(reply) => self.replied(reply),
        }
        vec![]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jobfile::{JobId, Journal};

    fn now() -> Now {
        let at = jobfile::moment::read_time("2026-06-12T10:00:00+02:00").unwrap();
        Now { at, since_start_ms: 0, session: "s".into() }
    }

    fn hands() -> Hands {
        Hands::new("R. Tran".into(), crate::group::state::context_at(&now()))
    }

    fn empty() -> Fold {
        Fold::of(&Journal::new(JobId::from_bits([1; 16])))
    }

    #[test]
    fn nothing_is_written_for_a_switch_that_nobody_described() {
        let mut hands = hands();
        assert_eq!(hands.update(Msg::Done(vec![Act::MeterOut], empty()), &now()), vec![]);
        assert_eq!(hands.told, Told::Refused(Refused::SwitchUnknown));
    }

    #[test]
    fn leaving_a_step_needs_a_reason() {
        let mut hands = hands();
        assert_eq!(hands.update(Msg::Leave("arrive", empty()), &now()), vec![]);
        assert_eq!(hands.told, Told::Refused(Refused::Blank));
        hands.update(Msg::Why("no one answers".into()), &now());
        assert_eq!(hands.update(Msg::Leave("arrive", empty()), &now()).len(), 1);
        assert_eq!(hands.told, Told::Saving);
    }

    #[test]
    fn a_second_press_while_the_first_is_on_its_way_writes_nothing() {
        let mut hands = hands();
        let look = || Msg::Seen(vec![("current_seen", "A", "to_meter")]);
        assert_eq!(hands.update(look(), &now()).len(), 1);
        assert_eq!(hands.update(look(), &now()), vec![]);
    }

    #[test]
    fn a_stale_reply_is_dropped() {
        let mut hands = hands();
        hands.update(Msg::Seen(vec![("current_seen", "A", "to_meter")]), &now());
        hands.update(Msg::Replied(Reply::Recorded { question: 99, result: Ok(()) }), &now());
        assert_eq!(hands.told, Told::Saving);
        hands.update(Msg::Replied(Reply::Recorded { question: 1, result: Ok(()) }), &now());
        assert_eq!(hands.told, Told::Saved);
    }

    #[test]
    fn a_stated_time_that_cannot_be_read_is_told() {
        let mut hands = hands();
        hands.update(Msg::DoneAt("half past".into()), &now());
        hands.update(Msg::Done(vec![Act::MeterOut], empty()), &now());
        assert!(matches!(hands.told, Told::Refused(Refused::Time(_))));
    }
}
