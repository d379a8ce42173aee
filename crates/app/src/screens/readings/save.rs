//! The large button over several groups of one screen: it leads to the next input, then writes down all that is filled in.

use crate::drawing::{Node, button};
use crate::group::state::{Record, Status};
use crate::group::{GroupState, Msg};
use crate::machine::Wish;
use crate::route::Route;
use crate::screen::Screen;
use crate::speak;

/// An input of a group: the record and the field.
pub type At = (usize, &'static str);

/// Inputs that a screen asks for though the log could do without them.
pub type Wants = fn(&GroupState) -> Option<At>;

/// A screen without inputs of that sort.
pub fn wants_nothing(_: &GroupState) -> Option<At> {
    None
}

/// What the button does next.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Next {
    /// Leads to what stands in the way in this group.
    Mend(usize, At),
    /// Leads to an input that is still blank.
    Enter(usize, At),
    /// Writes down what is filled in.
    Save,
    /// Nothing is left to enter here: back to the steps.
    Leave,
}

/// Whether somebody has filled anything in.
pub fn is_touched(group: &GroupState) -> bool {
    group.records.iter().any(|record: &Record| record.is_open() && (record.correcting || !record.is_blank()))
}

fn next(groups: &[&GroupState], wants: Wants) -> Next {
    let each = || groups.iter().enumerate();
    let mend = each()
        .find_map(|(at, group)| group.next_input().filter(|_| is_touched(group)).map(|input| Next::Mend(at, input)));
    let wanted = || each().find_map(|(at, group)| wants(group).map(|input| Next::Enter(at, input)));
    let blank = || {
        let untouched = !groups.iter().any(|group| is_touched(group));
        each().filter(|_| untouched).find_map(|(at, group)| group.lead().map(|input| Next::Enter(at, input)))
    };
    let save = || groups.iter().any(|group| group.has_input()).then_some(Next::Save);
    mend.or_else(wanted).or_else(blank).or_else(save).unwrap_or(Next::Leave)
}

fn now(groups: &[Screen<GroupState>], wants: Wants, follow: bool) -> Next {
    let states: Vec<GroupState> = groups
        .iter()
        .map(|screen| if follow { screen.with(Clone::clone) } else { screen.peek(Clone::clone) })
        .collect();
    next(&states.iter().collect::<Vec<_>>(), wants)
}

/// Writes down every group in which something is filled in.
pub fn save_all(groups: &[Screen<GroupState>]) {
    for screen in groups {
        if screen.peek(GroupState::has_input) {
            screen.send(Msg::Save);
        }
    }
}

/// The large button of a screen with several groups.
pub fn save_button(groups: Vec<Screen<GroupState>>, wants: Wants, save: &'static str, after: Route) -> Node {
    let label = {
        let groups = groups.clone();
        move || {
            if groups.iter().any(|screen| screen.with(|group| group.status == Status::Saving)) {
                return words::saving().to_string();
            }
            match now(&groups, wants, true) {
                Next::Mend(at, input) | Next::Enter(at, input) => name_of(&groups, at, input),
                Next::Save => save.to_string(),
                Next::Leave => words::go_on().to_string(),
            }
        }
    };
    let press = move || match now(&groups, wants, false) {
        // The group itself marks the input and brings it into view.
        Next::Mend(at, _) => {
            if let Some(screen) = groups.get(at) {
                screen.send(Msg::Save);
            }
        }
        Next::Enter(at, (record, field)) => {
            if let Some(screen) = groups.get(at) {
                let id = screen.peek(|group| group.records.get(record).map(|record| record.input_id(field)));
                if let Some(id) = id {
                    screen.services().carry_out(Wish::Focus(id), |_| {});
                }
            }
        }
        Next::Save => save_all(&groups),
        Next::Leave => {
            if let Some(screen) = groups.first() {
                screen.services().go(&after);
            }
        }
    };
    button("act", press).id("save").live(label).into()
}

fn name_of(groups: &[Screen<GroupState>], at: usize, (record, field): At) -> String {
    let name = |group: &GroupState| group.records.get(record).map(|record| speak::enter(record, field));
    groups.get(at).and_then(|screen| screen.with(name)).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::machine::{Machine, Now};

    fn moment() -> Now {
        let at = jobfile::moment::read_time("2026-06-12T10:00:00+02:00").unwrap();
        Now { at, since_start_ms: 0, session: "s".into() }
    }

    fn group(kind: &'static str, place: &str, needed: bool) -> GroupState {
        GroupState::new("t", &[(kind, place, needed)], crate::group::state::context_at(&moment()))
    }

    fn typed(group: &mut GroupState, field: &str, text: &str) {
        let row = group.records[0].rows.iter().position(|row| row.field.id == field).unwrap();
        group.update(Msg::Typed(0, row, text.into()), &moment());
    }

    #[test]
    fn it_leads_to_the_first_blank_then_to_what_is_wrong_then_saves() {
        let (mut ct, mut vt) = (group("ct_plate", "found/A", false), group("vt_plate", "found/A", false));
        assert_eq!(next(&[&ct, &vt], wants_nothing), Next::Enter(0, (0, "ratio")));
        typed(&mut vt, "serial", "77");
        assert_eq!(next(&[&ct, &vt], wants_nothing), Next::Mend(1, (0, "ratio")));
        typed(&mut vt, "ratio", "8400:120");
        assert_eq!(next(&[&ct, &vt], wants_nothing), Next::Save);
        typed(&mut ct, "ratio", "nonsense");
        assert_eq!(next(&[&ct, &vt], wants_nothing), Next::Mend(0, (0, "ratio")));
    }

    #[test]
    fn answers_filled_in_beforehand_are_no_reason_to_save() {
        let (set, reading) = (group("reading_set", "as_found", true), group("reading", "as_found/B", false));
        assert!(!is_touched(&set));
        assert_eq!(next(&[&set, &reading], wants_nothing), Next::Enter(1, (0, "volts")));
    }
}
