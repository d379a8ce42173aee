//! The words of the switch: acts by kind of switch, refusals, dangers, the way back.

use super::hands::Refused;
use metering::isolation::{Act, Danger, Kind, Pole, Way};
use procedure::caution::Signal;

/// A pole in words.
pub fn pole(pole: Pole) -> String {
    words::pole(pole.code())
}

/// What to do: the heading.
pub fn act(act: Act, kind: Kind) -> String {
    words::press(act.code(), kind.code(), act.pole_code())
}

/// More about it, where there is more to say.
pub fn act_more(act: Act, kind: Kind) -> Option<String> {
    words::press_say(act.code(), kind.code(), act.pole_code())
}

/// The caution that stands before it.
pub fn act_caution(act: Act, kind: Kind) -> Option<String> {
    words::press_caution(act.code(), kind.code(), act.pole_code())
}

/// What the large button says once it is done.
pub fn act_done(act: Act, kind: Kind) -> String {
    words::press_done(act.code(), kind.code(), act.pole_code())
}

/// Why a press was not taken.
pub fn refused(why: &Refused) -> String {
    match why {
        Refused::SwitchUnknown => words::describe_the_switch_first().to_string(),
        Refused::Unsafe(why) => crate::speak::refusal_words(why),
        Refused::NoOverride => words::takes_no_override().to_string(),
        Refused::Blank => words::say_why_first().to_string(),
        Refused::Time(complaint) => crate::speak::complaint(complaint),
    }
}

/// A danger that stands now.
pub fn danger(danger: &Danger) -> String {
    words::danger(danger.kind.code(), danger.pole.code())
}

/// The next safe step back.
pub fn way(way: &Way, kind: Kind) -> Option<String> {
    Some(match way {
        Way::Restored => return None,
        Way::StopDeEnergise(where_) => words::way_stop(&pole(*where_)),
        Way::Look(where_) => words::way_look(&pole(*where_)),
        Way::LookAtPath(element) => words::way_look_at_path(element.code()),
        Way::Read(element) => words::way_read(element.code()),
        Way::TestTerminals => words::way_test_terminals().to_string(),
        Way::Ring(element) => words::way_ring(element.code()),
        Way::Do(next) => words::way_do(&act(*next, kind)),
    })
}

/// A signal word with the class that draws it.
pub fn signal(signal: Signal) -> (&'static str, &'static str) {
    match signal {
        Signal::Danger => ("signal signal--danger", words::signal_danger()),
        Signal::Warning => ("signal signal--warning", words::signal_warning()),
        Signal::Caution => ("signal signal--caution", words::signal_caution()),
        Signal::Notice => ("signal signal--notice", words::signal_notice()),
    }
}

/// Whether a danger is out of the ordinary. An element moved and not read yet is part of every short: the step asks for the
/// reading itself.
pub fn alarms(danger: &&Danger) -> bool {
    danger.kind != metering::isolation::DangerKind::CtUnread
}
