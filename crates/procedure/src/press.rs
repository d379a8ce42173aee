//! From a person's press to what is written down: acts, several in one step-back, proofs, steps done or left, overrides.

use crate::checks;
use crate::facts::Facts;
use crate::left::{self, Item, Weight};
use crate::now::Now;
use crate::replay::Replay;
use crate::standing::standing;
use crate::wants::Want;
use jobfile::{Draft, Fold, What};
use metering::isolation::{Act, Refusal};

/// An act with the time that a person states for it, RFC 3339 with offset.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Done {
    /// The act.
    pub act: Act,
    /// When it was done; `None` counts as now.
    pub done_at: Option<String>,
}

/// Why an act was not written down.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum PressError {
    /// The switch has not been described, so nothing can be judged.
    #[error("the test switch is not described yet")]
    SwitchUnknown,
    /// One of the row is not safe, or decides nothing, after those before it.
    #[error("number {index} of the row: {refusal}")]
    Refused {
        /// Its place in the row, from 0.
        index: usize,
        /// Why.
        refusal: Refusal,
    },
}

/// Why drafts are not written down.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum DraftError {
    /// What they say about the switch.
    #[error(transparent)]
    Switch(#[from] PressError),
    /// Nobody signs a sheet, and locks, while this stands as it does.
    #[error("not to be signed: {}", .0.code)]
    NotToSign(Box<Item>),
}

/// Judges a row of acts, one after the other, and gives what is to be written down: all of them, or none.
///
/// # Errors
/// [`PressError`], at the first act that is not safe after those before it.
pub fn judge_acts(fold: &Fold, now: &Now, row: &[Done]) -> Result<Vec<Draft>, PressError> {
    let replay = Replay::of(&Facts::new(fold), now);
    let mut hands = replay.hands().ok_or(PressError::SwitchUnknown)?;
    let mut drafts = Vec::with_capacity(row.len());
    for (index, done) in row.iter().enumerate() {
        hands.act(done.act).map_err(|refusal| PressError::Refused { index, refusal })?;
        drafts.push(act_draft(done, "planned", None));
    }
    Ok(drafts)
}

/// As [`judge_acts`], for one act that is done now.
///
/// # Errors
/// [`PressError`].
pub fn judge_act(fold: &Fold, now: &Now, act: Act) -> Result<Vec<Draft>, PressError> {
    judge_acts(fold, now, &[Done { act, done_at: None }])
}

/// Judges what one step-back wants written down, acts, readings and looks in their order, as a fold of the log would take it:
/// each act must be safe after what stands before it, each reading must decide something.
///
/// Drafts that say nothing about the switch pass, but for the signature: it waits until nothing stops. A reading that shows danger passes too: it must be written down.
///
/// # Errors
/// [`DraftError`], at the first that is refused.
pub fn judge_drafts(fold: &Fold, now: &Now, drafts: &[Draft]) -> Result<(), DraftError> {
    if drafts.iter().any(|draft| draft.what.kind == "signed")
        && let Some(item) = stops_signing(fold, now)
    {
        return Err(DraftError::NotToSign(Box::new(item)));
    }
    let replay = Replay::of(&Facts::new(fold), now);
    let about_switch = |draft: &&Draft| ["act", "short_proof", "current_back"].contains(&draft.what.kind.as_str());
    let Some(mut hands) = replay.hands() else {
        return if drafts.iter().any(|draft| about_switch(&draft)) {
            Err(PressError::SwitchUnknown.into())
        } else {
            Ok(())
        };
    };
    for (index, draft) in drafts.iter().enumerate() {
        hands.take(&draft.what).map_err(|refusal| PressError::Refused { index, refusal })?;
    }
    Ok(())
}

/// The worst of what keeps the sheet from being signed, if anything does.
pub fn stops_signing(fold: &Fold, now: &Now) -> Option<Item> {
    left::left(fold, now).into_iter().find(|item| item.weight >= Weight::Stops)
}

/// The acts that are safe now, in the order of `metering::isolation`; none until the switch is described.
pub fn accepted_acts(fold: &Fold, now: &Now) -> Vec<Act> {
    let replay = Replay::of(&Facts::new(fold), now);
    replay.switch.map(|switch| replay.belief.accepted_acts(&switch)).unwrap_or_default()
}

/// A row of acts in this order with one stated time for all: “A, B, C shorted, in this order, done at …”.
pub fn in_order(acts: &[Act], done_at: Option<&str>) -> Vec<Done> {
    acts.iter().map(|act| Done { act: *act, done_at: done_at.map(str::to_owned) }).collect()
}

/// What happened nevertheless: always written down, never judged.
pub fn happened(done: &Done, why: &str) -> Draft {
    act_draft(done, "happened", Some(why))
}

fn act_draft(done: &Done, accepted: &str, why: Option<&str>) -> Draft {
    let what = What::new("act", "")
        .with("act", done.act.code())
        .with("pole", done.act.pole_code())
        .with("accepted", accepted)
        .with_some("done_at", done.done_at.as_deref())
        .with_some("why", why);
    Draft::new(what)
}

/// Why a step cannot be called done.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{} wants and {} checks stand open", .wants.len(), .checks.len())]
pub struct NotDone {
    /// What must still be written down.
    pub wants: Vec<Want>,
    /// Stop checks that do not let it pass, by id.
    pub checks: Vec<&'static str>,
}

/// The entry that calls a step done, with the time that a person states for it.
///
/// # Errors
/// [`NotDone`] while something it must have is missing, or a stop check stops without an override.
pub fn call_done(fold: &Fold, now: &Now, step: &'static str, done_at: Option<&str>) -> Result<Draft, NotDone> {
    let standing = standing(fold, now);
    let (mut wants, mut open) = (Vec::new(), Vec::new());
    if let Some(found) = standing.step(step) {
        wants.extend(found.missing().cloned());
        let stops = |id: &&&str| standing.check(id).is_none_or(|check| !check.lets_pass());
        open.extend(found.checks.iter().filter(stops).copied());
    }
    if wants.is_empty() && open.is_empty() {
        let what = What::new("step", step).with("state", "done").with_some("done_at", done_at);
        Ok(instead(fold, what, "done after all"))
    } else {
        Err(NotDone { wants, checks: open })
    }
}

/// The entry that leaves a step undone, with the reason.
pub fn leave_open(fold: &Fold, step: &str, why: &str) -> Draft {
    instead(fold, What::new("step", step).with("state", "left_open").with("why", why), why)
}

/// The check takes no override.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("no override: {check}")]
pub struct NoOverride {
    /// Its id.
    pub check: &'static str,
}

/// The entry by which a named person lets a stop check pass, with the reason.
///
/// # Errors
/// [`NoOverride`] for the checks that guard life, and for the last one.
pub fn override_check(fold: &Fold, check: &'static str, by: &str, why: &str) -> Result<Draft, NoOverride> {
    if checks::find(check).is_some_and(|check| check.may_override) {
        Ok(instead(fold, What::new("override", check).with("by", by).with("why", why), why))
    } else {
        Err(NoOverride { check })
    }
}

/// A first value of its slot, or a correction of the one that stands there.
fn instead(fold: &Fold, what: What, reason: &str) -> Draft {
    match fold.one(&what.kind, &what.place).map(|live| live.hash) {
        Some(before) => Draft::correcting(what, before, reason),
        None => Draft::new(what),
    }
}
