//! What is stamped on the equipment, beside the record.

use crate::route::{Part, Route};
use crate::services::Services;
use crate::shell::Shell;
use leptos::prelude::*;

/// What is stamped on the equipment, beside the record.
#[component]
pub fn Plates(services: Services, id: String) -> impl IntoView {
    
    let title = Memo::new(move |_| services.with_job(|job| job.site()).unwrap_or_default());
    view! { <Shell title=title back=Route::Job(id, Part::Overview)><p></p></Shell> }.into_any()
}
