//! Every entry of the job, with its corrections.

use crate::route::{Part, Route};
use crate::services::Services;
use crate::shell::Shell;
use leptos::prelude::*;

/// Every entry of the job, with its corrections.
#[component]
pub fn Log(services: Services, id: String) -> impl IntoView {
    
    let title = Memo::new(move |_| services.with_job(|job| job.site()).unwrap_or_default());
    view! { <Shell title=title back=Route::Job(id, Part::Overview)><p></p></Shell> }.into_any()
}
