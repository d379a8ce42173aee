//! Volts, amps and angles, as found or as left.

use crate::route::{Part, Route};
use crate::services::Services;
use crate::shell::Shell;
use leptos::prelude::*;

/// Volts, amps and angles, as found or as left.
#[component]
pub fn Readings(services: Services, id: String, taken: crate::route::Taken) -> impl IntoView {
    let _ = taken;
    let title = Memo::new(move |_| services.with_job(|job| job.site()).unwrap_or_default());
    view! { <Shell title=title back=Route::Job(id, Part::Overview)><p></p></Shell> }.into_any()
}
