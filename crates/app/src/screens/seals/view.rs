//! Seals on the screen: the numbers side by side, then the form for each position.

use super::numbers::{positions, repeated};
use crate::drawing::{Node, button, div, facts, finding, live, many, tag};
use crate::group::{GroupState, group_screen, group_view, save_group};
use crate::route::{Part, Route};
use crate::services::Services;
use crate::shell::Shell;
use jobfile::kinds::SEAL_POSITIONS;
use leptos::prelude::*;

/// Seals found and left.
pub fn seals(services: Services, id: String) -> Node {
    let restored = services.peek_job(|job| job.standing.is_done("restore_currents")).unwrap_or_default();
    let when = RwSignal::new_local(if restored { "left" } else { "found" });
    let key = id.clone();
    let form = move || {
        let when = when.get();
        let mut places = Vec::new();
        for code in SEAL_POSITIONS {
            places.push(format!("{when}/{code}"));
        }
        let records: Vec<(&'static str, &str, bool)> =
            places.iter().map(|place| ("seal", place.as_str(), false)).collect();
        let group = GroupState::new(format!("{key}.seals.{when}"), &records, services.context());
        let screen = group_screen(group, services);
        many([group_view(screen), save_group(screen, || words::save().to_string())])
    };
    let tab = move |code: &'static str, name: &'static str| {
        button("key", move || when.set(code))
            .live_set("aria-pressed", move || Some((when.get() == code).to_string()))
            .put(name)
    };
    let tabs = div("links")
        .set("role", "group")
        .set("aria-label", words::which_seals())
        .put(tab("found", words::seals_found()))
        .put(tab("left", words::seals_left()));
    Shell::of_job(services).sub(words::seals()).back(Route::Job(id, Part::Overview)).around(vec![
        side_by_side(services),
        tabs.into(),
        div("stack").live(form).into(),
    ])
}

fn side_by_side(services: Services) -> Node {
    live(move || {
        let positions = services.with_job(|job| positions(&job.fold)).unwrap_or_default();
        let again = repeated(&positions);
        let complaint = (!again.is_empty()).then(|| finding(words::seal_twice()).put(tag("P").put(again.join(", "))));
        let text = |seal: Option<(String, Option<String>)>| match seal {
            Some((state, Some(number))) => format!("{number} · {state}"),
            Some((state, None)) => state,
            None => words::not_written_down().to_string(),
        };
        let mut rows = Vec::new();
        for position in positions {
            let (found, left) = (text(position.found), text(position.left));
            rows.push(vec![words::place(position.code).into(), found.into(), left.into()]);
        }
        let heads = [words::position(), words::seals_found(), words::seals_left()];
        let table = (!rows.is_empty()).then(|| facts(&heads, rows, false));
        many([complaint.into(), table.into()])
    })
}
