//! Seals on the screen: the numbers side by side, then the form for each position.

use super::numbers::{Position, positions, repeated};
use crate::group::view::group_screen;
use crate::group::{GroupState, GroupView, SaveGroup};
use crate::route::{Part, Route};
use crate::services::Services;
use crate::shell::Shell;
use jobfile::kinds::SEAL_POSITIONS;
use leptos::prelude::*;

/// Seals found and left.
#[component]
pub fn Seals(services: Services, id: String) -> impl IntoView {
    let title = Memo::new(move |_| services.with_job(|job| job.site()).unwrap_or_default());
    let when =
        RwSignal::new_local(if services.peek_job(|job| job.standing.is_done("restore_currents")).unwrap_or_default() {
            "left"
        } else {
            "found"
        });
    let key = id.clone();
    let form = move || {
        let when = when.get();
        let places: Vec<String> = SEAL_POSITIONS.iter().map(|code| format!("{when}/{code}")).collect();
        let records: Vec<(&'static str, &str, bool)> =
            places.iter().map(|place| ("seal", place.as_str(), false)).collect();
        let screen =
            group_screen(GroupState::new(format!("{key}.seals.{when}"), &records, services.context()), services);
        view! { <GroupView screen/><SaveGroup screen save=words::save()/> }.into_any()
    };
    let tab = move |code: &'static str, name: &'static str| {
        view! { <button type="button" class="key" aria-pressed=move || (when.get() == code).to_string() on:click=move |_| when.set(code)>{name}</button> }
    };
    view! {
        <Shell title=title sub=words::seals() back=Route::Job(id, Part::Overview)>
            <SideBySide services/>
            <div class="links" role="group" aria-label=words::which_seals()>{tab("found", words::seals_found())}{tab("left", words::seals_left())}</div>
            <div class="stack">{form}</div>
        </Shell>
    }
    .into_any()
}

#[component]
fn SideBySide(services: Services) -> impl IntoView {
    let rows = Memo::new(move |_| services.with_job(|job| positions(&job.fold)).unwrap_or_default());
    move || {
        let rows = rows.get();
        let again = repeated(&rows);
        let complaint = (!again.is_empty()).then(|| {
            view! { <section class="finding"><h2 class="finding__title">{words::seal_twice()}</h2><p>{again.join(", ")}</p></section> }
        });
        let table = (!rows.is_empty()).then(|| {
            view! {
                <table class="facts">
                    <thead><tr><th scope="col">{words::position()}</th><th scope="col">{words::seals_found()}</th><th scope="col">{words::seals_left()}</th></tr></thead>
                    <tbody>{rows.into_iter().map(row).collect_view()}</tbody>
                </table>
            }
        });
        view! { {complaint}{table} }.into_any()
    }
}

fn row(position: Position) -> AnyView {
    let text = |seal: Option<(String, Option<String>)>| match seal {
        Some((state, Some(number))) => format!("{number} · {state}"),
        Some((state, None)) => state,
        None => words::not_written_down().to_string(),
    };
    view! { <tr><th scope="row">{words::place(position.code)}</th><td>{text(position.found)}</td><td>{text(position.left)}</td></tr> }.into_any()
}
