//! Meter reads on the screen: one moment after the other, and what moved.

use super::registers::{MOMENTS, asked, further, moved};
use crate::drawing::{Node, button, classed, div, facts, h2, live, many, p};
use crate::group::{GroupState, group_screen, group_view, save_group};
use crate::route::{Part, Route};
use crate::services::Services;
use crate::shell::Shell;
use crate::speak;
use leptos::prelude::*;

/// Registers of both meters.
pub fn reads(services: Services, id: String) -> Node {
    let next = services.peek_job(next_moment).unwrap_or(MOMENTS[0]);
    let chosen = RwSignal::new_local(next);
    let key = id.clone();
    let form = move || moment_form(services, &key, chosen.get());
    let mut tabs = div("duo").set("role", "group").set("aria-label", words::which_read());
    for moment in MOMENTS {
        let tab = button("key", move || chosen.set(moment))
            .live_set("aria-pressed", move || Some((chosen.get() == moment).to_string()))
            .put(speak::capital(&words::place(moment)));
        tabs = tabs.put(tab);
    }
    Shell::of_job(services).sub(words::meter_reads()).back(Route::Job(id, Part::Overview)).around(vec![
        tabs.into(),
        div("stack").live(form).into(),
        moved_table(services),
    ])
}

/// The first moment of which nothing is written down.
fn next_moment(job: &crate::services::job::OpenJob) -> &'static str {
    MOMENTS.into_iter().find(|moment| job.fold.one("read_set", moment).is_none()).unwrap_or(MOMENTS[3])
}

fn moment_form(services: Services, id: &str, moment: &'static str) -> Node {
    let (mut codes, more) =
        services.peek_job(|job| (asked(&job.fold, moment), further(&job.fold, moment))).unwrap_or_default();
    let needed = codes.len();
    codes.extend(more);
    let places: Vec<String> = codes.iter().map(|code| format!("{moment}/{code}")).collect();
    let mut records: Vec<(&'static str, &str, bool)> = vec![("read_set", moment, true)];
    // Only energy is needed: a meter may keep no peak.
    records.extend(
        places
            .iter()
            .enumerate()
            .map(|(at, place)| ("register", place.as_str(), at < needed && place.ends_with("kwh_delivered"))),
    );
    let screen = group_screen(
        GroupState::new(format!("{id}.reads.{}", moment.replace('/', "-")), &records, services.context()),
        services,
    );
    many([
        h2(speak::capital(&words::place(moment))).into(),
        group_view(screen),
        save_group(screen, || words::save().to_string()),
    ])
}

/// How far each register moved on.
fn moved_table(services: Services) -> Node {
    live(move || {
        let moved = services.with_job(|job| moved(&job.fold, MOMENTS[0], MOMENTS[1])).unwrap_or_default();
        let text = |value: Option<String>| Node::from(value.unwrap_or_else(|| words::not_read().to_string()));
        let mut rows = Vec::new();
        for row in moved {
            rows.push(vec![words::place(&row.code).into(), text(row.first), text(row.second), text(row.moved)]);
        }
        let (early, last) = (words::place("early"), words::place("final"));
        (!rows.is_empty()).then(|| {
            classed("SECTION", "stack").put(h2(words::moved_on())).put(p("soft").put(words::moved_on_why())).put(facts(
                &[words::register(), &early, &last, words::moved_by()],
                rows,
                true,
            ))
        })
    })
}
