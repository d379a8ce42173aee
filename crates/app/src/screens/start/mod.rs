//! A new job: where, what the record says, and who stands here.

use crate::group::view::loose_screen;
use crate::group::{GroupState, GroupView, SaveGroup};
use crate::route::Route;
use crate::services::Services;
use crate::shell::Shell;
use leptos::prelude::*;

/// The group of a new job.
fn group(services: Services) -> GroupState {
    let records = [("job", "", true), ("site", "", true), ("on_record", "", false), ("crew", "", true)];
    let mut group = GroupState::new("start", &records, services.context());
    group.begins = true;
    group.prefill("job", "visit", "meter_change");
    group.prefill("job", "service", "wye3");
    group.prefill("site", "order", "currents_first");
    let person = services.person();
    group.prefill("crew", "technician", &person.name);
    group.prefill("crew", "badge", &person.badge);
    group
}

/// The screen that begins a job.
#[component]
pub fn Start(services: Services) -> impl IntoView {
    let screen = loose_screen(group(services), services);
    let foot = view! { <SaveGroup screen save=words::begin_job()/> }.into_any();
    view! {
        <Shell title=words::new_job() back=Route::Jobs foot=foot>
            <p class="say">{words::new_job_why()}</p>
            <GroupView screen/>
        </Shell>
    }
    .into_any()
}
