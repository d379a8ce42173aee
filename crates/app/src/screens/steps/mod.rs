//! The step that is due.

use crate::route::{Part, Route};
use crate::services::Services;
use crate::shell::Shell;
use leptos::prelude::*;

/// The step that is due.
#[component]
pub fn Steps(services: Services, id: String, step: Option<String>) -> impl IntoView {
    let _ = step;
    let title = Memo::new(move |_| services.with_job(|job| job.site()).unwrap_or_default());
    view! { <Shell title=title back=Route::Job(id, Part::Overview)><p></p></Shell> }.into_any()
}
