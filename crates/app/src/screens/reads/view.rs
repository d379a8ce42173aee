//! Meter reads on the screen: one moment after the other, and what moved.

use super::registers::{MOMENTS, Moved, asked, further, moved};
use crate::group::view::group_screen;
use crate::group::{GroupState, GroupView, SaveGroup};
use crate::route::{Part, Route};
use crate::services::Services;
use crate::shell::Shell;
use crate::speak;
use leptos::prelude::*;

/// Registers of both meters.
#[component]
pub fn Reads(services: Services, id: String) -> impl IntoView {
    let title = Memo::new(move |_| services.with_job(|job| job.site()).unwrap_or_default());
    let next = services.peek_job(next_moment).unwrap_or(MOMENTS[0]);
    let chosen = RwSignal::new_local(next);
    let key = id.clone();
    let form = move || moment_form(services, &key, chosen.get());
    let tabs = MOMENTS.map(|moment| {
        view! {
            <button type="button" class="key" aria-pressed=move || (chosen.get() == moment).to_string() on:click=move |_| chosen.set(moment)>
                {speak::capital(&words::place(moment))}
            </button>
        }
    });
    view! {
        <Shell title=title sub=words::meter_reads() back=Route::Job(id, Part::Overview)>
            <div class="duo" role="group" aria-label=words::which_read()>{tabs.collect_view()}</div>
            <div class="stack">{form}</div>
            <MovedTable services/>
        </Shell>
    }
    .into_any()
}

/// The first moment of which nothing is written down.
fn next_moment(job: &crate::services::job::OpenJob) -> &'static str {
    MOMENTS.into_iter().find(|moment| job.fold.one("read_set", moment).is_none()).unwrap_or(MOMENTS[3])
}

fn moment_form(services: Services, id: &str, moment: &'static str) -> AnyView {
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
    view! {
        <h2>{speak::capital(&words::place(moment))}</h2>
        <GroupView screen/>
        <SaveGroup screen save=words::save()/>
    }
    .into_any()
}

#[component]
fn MovedTable(services: Services) -> impl IntoView {
    let rows =
        Memo::new(move |_| services.with_job(|job| moved(&job.fold, MOMENTS[0], MOMENTS[1])).unwrap_or_default());
    move || {
        let rows = rows.get();
        (!rows.is_empty()).then(|| {
            view! {
                <section class="stack">
                    <h2>{words::moved_on()}</h2>
                    <p class="soft">{words::moved_on_why()}</p>
                    <table class="facts">
                        <thead><tr><th scope="col">{words::register()}</th><th scope="col" class="facts__number">{words::place("early")}</th><th scope="col" class="facts__number">{words::place("final")}</th><th scope="col" class="facts__number">{words::moved_by()}</th></tr></thead>
                        <tbody>{rows.into_iter().map(row).collect_view()}</tbody>
                    </table>
                </section>
            }
        })
    }
}

fn row(row: Moved) -> AnyView {
    let text = |value: Option<String>| value.unwrap_or_else(|| words::not_read().to_string());
    view! {
        <tr>
            <th scope="row">{words::place(&row.code)}</th>
            <td class="facts__number">{text(row.first)}</td>
            <td class="facts__number">{text(row.second)}</td>
            <td class="facts__number">{text(row.moved)}</td>
        </tr>
    }
    .into_any()
}
