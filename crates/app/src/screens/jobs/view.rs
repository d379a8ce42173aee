//! The first screen.

use super::line::{Line, line};
use crate::route::{Part, Route};
use crate::services::files::Opened;
use crate::services::{Loss, Services};
use crate::shell::Shell;
use crate::speak;
use leptos::prelude::*;

/// How many jobs are listed at first: a screen of a thousand is slow to draw, and nobody reads it.
const FIRST_SHOWN: usize = 40;

/// The jobs on this phone.
#[component]
pub fn Jobs(services: Services) -> impl IntoView {
    let lines = Memo::new(move |_| {
        let now_ms = browser::clock::unix_ms();
        services.jobs.with(|jobs| jobs.iter().map(|job| line(job, now_ms)).collect::<Vec<_>>())
    });
    let shown = RwSignal::new(FIRST_SHOWN);
    let lead = move || lines.with(|lines| lines.iter().find(|line| line.is_open).cloned()).map(lead_card);
    let rest = move || {
        lines.with(|lines| {
            let lead = lines.iter().position(|line| line.is_open);
            let rows = lines.iter().enumerate().filter(|(at, _)| Some(*at) != lead).map(|(_, line)| row(line.clone()));
            rows.take(shown.get()).collect_view()
        })
    };
    let more = move || {
        let hidden = lines.with(Vec::len).saturating_sub(shown.get() + 1);
        (hidden > 0).then(|| view! { <button type="button" class="ghost" on:click=move |_| shown.set(usize::MAX - 1)>{words::show_older_jobs(&hidden.to_string())}</button> })
    };
    let empty = move || lines.with(Vec::is_empty).then(|| view! { <p class="say">{words::no_jobs_yet()}</p> });
    view! {
        <Shell title=words::dotside() place=Route::Jobs>
            <LossPanel services/>
            <TroubleLine services/>
            {lead}
            {empty}
            <ul class="rows">{rest}</ul>
            {more}
            <div class="duo">
                <a class="ghost" href=Route::Start.href()>{words::start_a_job()}</a>
                <OpenFile services/>
            </div>
            <InboxLine services/>
        </Shell>
    }
    .into_any()
}

fn lead_card(line: Line) -> AnyView {
    let live = (!line.shouts.is_empty()).then(|| view! { <p class="lead__live">{line.shouts.join(" · ")}</p> });
    let to = Route::Job(line.id.clone(), Part::Steps).href();
    let overview = Route::Job(line.id.clone(), Part::Overview).href();
    view! {
        <article class="lead">
            {live}
            <div class="lead__in">
                <p>{line.sub.clone()}</p>
                <h2 class="lead__title">{line.title.clone()}</h2>
                <Dots done=line.steps_done/>
                <p>{words::steps_done(&line.steps_done.to_string())}" · "<a href=overview>{words::whole_job()}</a></p>
            </div>
            <a class="lead__go" href=to><span>{words::go_on()}</span><span aria-hidden="true">"→"</span></a>
        </article>
    }
    .into_any()
}

/// A dot for each step: those done, the one to do, those to come.
#[component]
fn Dots(done: usize) -> impl IntoView {
    let count = jobfile::kinds::STEPS.len();
    let dots = (0..count).map(|at| {
        let class = match at.cmp(&done) {
            std::cmp::Ordering::Less => "dots__dot dots__dot--done",
            std::cmp::Ordering::Equal => "dots__dot dots__dot--at",
            std::cmp::Ordering::Greater => "dots__dot",
        };
        view! { <li class=class></li> }
    });
    view! { <ol class="dots" aria-label=words::steps_done(&done.to_string())>{dots.collect_view()}</ol> }.into_any()
}

fn row(line: Line) -> AnyView {
    let to = Route::Job(line.id.clone(), Part::Overview).href();
    let tag = if line.shouts.is_empty() { line.tag.to_string() } else { line.shouts.join(" · ") };
    let class = if line.shouts.is_empty() { "tag" } else { "tag tag--stop" };
    view! {
        <li class="row">
            <a class="row__main" href=to><b class="row__title">{line.title}</b><span class="row__sub">{line.sub}</span></a>
            <span class=class>{tag}</span>
        </li>
    }
    .into_any()
}

/// What the sentinel found: jobs that were here are gone.
#[component]
fn LossPanel(services: Services) -> impl IntoView {
    move || {
        services.loss.get().map(|loss| {
            let (title, more) = match loss {
                Loss::Emptied(count) => (words::jobs_emptied(&count.to_string()), words::jobs_emptied_mend()),
                Loss::Fewer(count) => (words::jobs_fewer(&count.to_string()), words::jobs_emptied_mend()),
            };
            view! {
                <section class="finding" role="alert">
                    <h2 class="finding__title">{title}</h2>
                    <p>{more}</p>
                    <button type="button" class="key" on:click=move |_| understood(services)>{words::understood()}</button>
                </section>
            }
        })
    }
}

/// The loss was read: from now on the sentinel knows the store as it is.
fn understood(services: Services) {
    services.loss.set(None);
    wasm_bindgen_futures::spawn_local(async move { services.refresh_jobs().await });
}

/// The last trouble that belongs to no input.
#[component]
pub fn TroubleLine(services: Services) -> impl IntoView {
    view! { <div role="status" aria-live="polite">{move || services.trouble.get().map(|why| view! { <p class="status status--trouble">{why}</p> })}</div> }
        .into_any()
}

#[component]
fn InboxLine(services: Services) -> impl IntoView {
    move || {
        let count = services.inbox.with(Vec::len);
        (count > 0).then(|| view! { <p class="links"><a class="links__link" href=Route::Inbox.href()>{words::inbox_holds(&count.to_string())}</a></p> })
    }
}

/// The button that opens job files, and what became of them.
#[component]
pub fn OpenFile(services: Services) -> impl IntoView {
    // Told once: who comes back later asks for something else.
    on_cleanup(move || services.opened.update(Vec::clear));
    view! {
        <label class="drop">
            {words::open_a_file()}
            <input class="unseen" type="file" id="open-file" multiple accept=".json,application/json"
                on:change:target=move |event| { services.open_files(browser::files::chosen(&event.target())); }/>
        </label>
        <div role="status" aria-live="polite">{move || services.opened.with(|list| list.iter().map(told).collect_view())}</div>
    }
    .into_any()
}

/// What became of a file, in words, with every problem.
fn told(opened: &Opened) -> AnyView {
    let (title, problems, job) = match opened {
        Opened::Refused(why) => return view! { <p class="status status--trouble">{why.clone()}</p> }.into_any(),
        Opened::Kept { name, problems } => (words::file_kept(name), problems, None),
        Opened::Job { problems, .. } if problems.is_empty() => {
            return view! { <p class="status">{words::file_opened()}</p> }.into_any();
        }
        Opened::Job { id, problems } => (words::file_opened_with_problems().to_string(), problems, Some(id)),
    };
    let job = job.map(|id| {
        let to = Route::Job(id.clone(), Part::Overview).href();
        view! { <p class="links"><a class="links__link" href=to>{words::whole_job_link()}</a></p> }
    });
    view! {
        <section class="finding">
            <h2 class="finding__title">{title}</h2>
            <ul>{problems.iter().map(|problem| view! { <li>{speak::problem(problem)}</li> }).collect_view()}</ul>
            {job}
        </section>
    }
    .into_any()
}
