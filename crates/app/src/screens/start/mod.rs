//! A new job: where, what the record says, and who stands here.

use crate::drawing::{Node, p};
use crate::group::{GroupState, group_view, loose_screen, save_group};
use crate::route::Route;
use crate::services::Services;
use crate::shell::Shell;

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
pub fn start(services: Services) -> Node {
    let screen = loose_screen(group(services), services);
    Shell::new(services, words::new_job())
        .back(Route::Jobs)
        .foot(save_group(screen, || words::begin_job().to_string()))
        .around(vec![p("say").put(words::new_job_why()).into(), group_view(screen)])
}
