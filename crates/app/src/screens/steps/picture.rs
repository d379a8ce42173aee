//! The test switch from the front, as the job log tells it, with the next act marked.

use metering::isolation::{Act, Kind};
use pictures::{Contact, CurrentPole, Next, Part, PotentialPole, SwitchKind, SwitchLabels, SwitchPicture};
use procedure::replay::{CurrentStands, ElementTrack, PotentialStands, PotentialTrack, Replay};
use procedure::work::Work;

/// The picture; `None` until the switch is described.
pub fn switch_picture(replay: &Replay, work: &Work) -> Option<SwitchPicture> {
    let switch = replay.switch?;
    let next: &[Act] = match work {
        Work::Do(acts) => acts,
        _ => &[],
    };
    Some(SwitchPicture {
        kind: kind(switch.kind),
        labels: labels(),
        potentials: replay
            .potentials
            .iter()
            .map(|track| potential(track, potential_stands(track, work), next))
            .collect(),
        currents: replay.elements.iter().map(|track| current(track, current_stands(track, work), next)).collect(),
    })
}

fn labels() -> SwitchLabels {
    SwitchLabels {
        title: words::switch_from_the_front().to_string(),
        volts: words::volts_row().to_string(),
        amps: words::amps_row().to_string(),
        ct_end: words::ct_end().to_string(),
        meter_end: words::meter_end().to_string(),
        shorting_blade: words::shorting_blade().to_string(),
        volts_words: words::all_to_meter().to_string(),
    }
}

fn kind(kind: Kind) -> SwitchKind {
    match kind {
        Kind::BladeShortsAsItOpens => SwitchKind::BladeShortsAsItOpens,
        Kind::SeparateShortingBlade => SwitchKind::SeparateShortingBlade,
        Kind::ScrewsOrLinks => SwitchKind::ScrewsOrLinks,
        Kind::PlugInBlock => SwitchKind::PlugInBlock,
        Kind::None => SwitchKind::None,
    }
}

/// Where a look is asked for, the picture shows what should be seen.
fn potential_stands(track: &PotentialTrack, work: &Work) -> PotentialStands {
    match work {
        Work::Look(names) if names.contains(&track.name) => match track.was.unwrap_or(track.stands) {
            PotentialStands::Up => PotentialStands::Up,
            _ => PotentialStands::ToMeter,
        },
        _ => track.stands,
    }
}

fn current_stands(track: &ElementTrack, work: &Work) -> CurrentStands {
    match work {
        Work::Look(names) if names.contains(&track.name) => match track.was.unwrap_or(track.stands) {
            known @ (CurrentStands::Shorted | CurrentStands::ShortedBoth) => known,
            _ => CurrentStands::ToMeter,
        },
        _ => track.stands,
    }
}

fn potential(track: &PotentialTrack, stands: PotentialStands, next: &[Act]) -> PotentialPole {
    let contact = match stands {
        PotentialStands::ToMeter => Contact::Made,
        PotentialStands::Up | PotentialStands::Shorted => Contact::Apart,
        PotentialStands::Unknown | PotentialStands::LookAgain => Contact::Unknown,
    };
    let to = next.iter().find_map(|act| match act {
        Act::OpenPotential(pole) if pole.code() == track.pole => Some(Contact::Apart),
        Act::ClosePotential(pole) if pole.code() == track.pole => Some(Contact::Made),
        _ => None,
    });
    PotentialPole { name: track.pole.to_string(), contact, state_words: potential_words(stands).to_string(), next: to }
}

/// What a potential pole’s state is called under its blade.
pub fn potential_words(stands: PotentialStands) -> &'static str {
    match stands {
        PotentialStands::ToMeter => words::blade_up(),
        PotentialStands::Up => words::blade_down(),
        PotentialStands::Shorted => words::state_shorted(),
        PotentialStands::Unknown | PotentialStands::LookAgain => words::state_unknown(),
    }
}

fn current(track: &ElementTrack, stands: CurrentStands, next: &[Act]) -> CurrentPole {
    let (path, short) = match stands {
        CurrentStands::ToMeter => (Contact::Made, Contact::Apart),
        CurrentStands::ShortedBoth => (Contact::Made, Contact::Made),
        CurrentStands::Shorted => (Contact::Apart, Contact::Made),
        CurrentStands::Broken => (Contact::Apart, Contact::Apart),
        CurrentStands::Unknown | CurrentStands::LookAgain => (Contact::Unknown, Contact::Unknown),
    };
    let mine = |act: &&Act| act.element().is_some_and(|element| element.code() == track.element);
    let marked = next.iter().find(mine).and_then(|act| moved(*act));
    CurrentPole {
        name: track.element.to_string(),
        path,
        short,
        state_words: current_words(stands).to_string(),
        next: marked,
    }
}

/// What a current circuit’s state is called under its blades.
pub fn current_words(stands: CurrentStands) -> &'static str {
    match stands {
        CurrentStands::ToMeter => words::state_to_meter(),
        CurrentStands::ShortedBoth => words::state_both(),
        CurrentStands::Shorted => words::state_shorted(),
        CurrentStands::Broken => words::state_broken(),
        CurrentStands::Unknown | CurrentStands::LookAgain => words::state_unknown(),
    }
}

/// Which contact an act moves, and whereto. A blade that shorts as it opens is drawn by its path.
fn moved(act: Act) -> Option<Next> {
    let (part, to) = match act {
        Act::PullShortingBlade(_) | Act::OpenMeterPath(_) => (Part::Path, Contact::Apart),
        Act::PushShortingBlade(_) | Act::CloseMeterPath(_) => (Part::Path, Contact::Made),
        Act::CloseShort(_) | Act::ShortAtCt(_) | Act::FitPlugJumper(_) => (Part::Short, Contact::Made),
        Act::OpenShort(_) | Act::UnshortAtCt(_) | Act::RemovePlugJumper(_) => (Part::Short, Contact::Apart),
        _ => return None,
    };
    Some(Next { part, to })
}
