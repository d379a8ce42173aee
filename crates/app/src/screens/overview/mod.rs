//! One job: what to see here, how far it is, the way to its parts, the copy that leaves the phone.

use crate::route::{Part, Route, Taken};
use crate::services::Services;
use crate::services::files::Way;
use crate::shell::Shell;
use crate::speak;
use leptos::prelude::*;
use procedure::standing::State;

/// The overview of a job.
#[component]
pub fn Overview(services: Services, id: String) -> impl IntoView {
    let title = Signal::derive_local(move || services.with_job(|job| job.site()).unwrap_or_default());
    let title = Memo::new(move |_| title.get());
    let foot = {
        let to = Route::Job(id.clone(), Part::Steps).href();
        view! { <a class="act" href=to>{words::go_on()}</a> }.into_any()
    };
    view! {
        <Shell title=title sub=words::job() back=Route::Jobs foot=foot>
            <Shouts services/>
            <Plan services id=id.clone()/>
            <Parts id=id.clone()/>
            <Copies services/>
        </Shell>
    }
    .into_any()
}

/// What must be seen on every screen of a job: shorts in, potentials off, circuits not known.
#[component]
pub fn Shouts(services: Services) -> impl IntoView {
    let lines = Memo::new(move |_| {
        services
            .with_job(|job| {
                job.standing.shouts.iter().map(|shout| speak::shout(shout.code, &shout.place)).collect::<Vec<_>>()
            })
            .unwrap_or_default()
    });
    let practice = Memo::new(move |_| {
        let is = services.with_job(|job| job.fold.one("job", "").is_some_and(|job| job.fields.is("practice", "yes")));
        is.unwrap_or_default()
    });
    let live = move || {
        lines.with(|lines| (!lines.is_empty()).then(|| view! { <p class="band band--live">{lines.join(" · ")}</p> }))
    };
    let practice = move || practice.get().then(|| view! { <p class="band band--practice">{words::practice()}</p> });
    view! { {practice}{live} }.into_any()
}

#[component]
fn Plan(services: Services, id: String) -> impl IntoView {
    let steps = move || {
        services.with_job(|job| {
            let steps = job.standing.steps.iter().enumerate();
            steps
                .map(|(at, step)| {
                    let (state, tag) = match &step.state {
                        State::Done { .. } => ("plan__step plan__step--done", words::step_done()),
                        State::LeftOpen { .. } => ("plan__step plan__step--left", words::step_left()),
                        State::Now => ("plan__step plan__step--at", words::step_now()),
                        State::PassedBy => ("plan__step plan__step--left", words::step_passed()),
                        State::Ahead => ("plan__step", ""),
                    };
                    let to = Route::Job(id.clone(), Part::Step(step.id.to_string())).href();
                    view! {
                        <li class=state>
                            <a class="plan__main" href=to><b>{at + 1}</b>" "{words::of_code(&format!("step-{}", step.id), &[])}</a>
                            {(!tag.is_empty()).then(|| view! { <span class="tag">{tag}</span> })}
                        </li>
                    }
                })
                .collect_view()
        })
    };
    view! { <section><h2>{words::steps()}</h2><ol class="plan">{steps}</ol></section> }.into_any()
}

#[component]
fn Parts(id: String) -> impl IntoView {
    let parts = [
        (Part::Plates, words::nameplates()),
        (Part::Readings(Taken::AsFound), words::readings_as_found()),
        (Part::Readings(Taken::AsLeft), words::readings_as_left()),
        (Part::Reads, words::meter_reads()),
        (Part::Seals, words::seals()),
        (Part::Sheet, words::close_out_sheet()),
        (Part::Log, words::job_log()),
    ];
    let rows = parts.map(|(part, name)| {
        let to = Route::Job(id.clone(), part).href();
        view! { <li class="row"><a class="row__main" href=to><b class="row__title">{name}</b></a></li> }
    });
    view! { <section><h2>{words::parts_of_the_job()}</h2><ul class="rows">{rows.collect_view()}</ul></section> }
        .into_any()
}

/// The copy that leaves the phone, by download or by another program.
#[component]
pub fn Copies(services: Services) -> impl IntoView {
    let told = RwSignal::new_local(None::<Result<(), String>>);
    let export = move |way: Way| {
        wasm_bindgen_futures::spawn_local(async move {
            let result = services.export(way).await;
            told.try_set(Some(result));
        });
    };
    let line = move || {
        told.get().map(|result| match result {
            Ok(()) => view! { <p class="status"><span class="status__dot"></span>{words::copy_left()}</p> }.into_any(),
            Err(why) => view! { <p class="status status--trouble">{why}</p> }.into_any(),
        })
    };
    let share = services.can_share().then(|| view! { <button type="button" class="ghost" on:click=move |_| export(Way::Share)>{words::share_copy()}</button> });
    view! {
        <section class="stack">
            <h2>{words::copy_off_phone()}</h2>
            <div class="duo">
                <button type="button" class="ghost" id="export" on:click=move |_| export(Way::Download)>{words::download_copy()}</button>
                {share}
            </div>
            <div role="status" aria-live="polite">{line}</div>
        </section>
    }
    .into_any()
}
