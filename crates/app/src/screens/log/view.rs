//! The log on the screen: a line of dots, newest last; the codes by which two copies are compared; a note to add.

use super::lines::{Line, lines, spoken};
use crate::group::view::group_screen;
use crate::group::{GroupState, GroupView, SaveGroup};
use crate::route::{Part, Route};
use crate::services::Services;
use crate::shell::Shell;
use crate::speak;
use jobfile::Hash;
use leptos::prelude::*;

/// Every entry of the job.
#[component]
pub fn Log(services: Services, id: String) -> impl IntoView {
    let title = Memo::new(move |_| services.with_job(|job| job.site()).unwrap_or_default());
    let note = group_screen(GroupState::new(format!("{id}.note"), &[("note", "", true)], services.context()), services);
    let foot = view! { <SaveGroup screen=note save=words::write_note()/> }.into_any();
    let entries = Memo::new(move |_| services.with_job(|job| lines(&job.fold)).unwrap_or_default());
    view! {
        <Shell title=title sub=words::job_log() back=Route::Job(id, Part::Overview) foot=foot>
            <Codes services/>
            <Trouble services/>
            <ol class="log">{move || entries.get().into_iter().map(entry).collect_view()}</ol>
            <GroupView screen=note/>
        </Shell>
    }
    .into_any()
}

fn entry(line: Line) -> AnyView {
    let class = if line.fate.is_some() { "log__entry log__entry--struck" } else { "log__entry" };
    let says: Vec<String> = line.says.into_iter().map(|(name, value)| format!("{name}: {value}")).collect();
    view! {
        <li class=class>
            <span class="log__when">{line.when}</span>" "
            <span class="log__what"><b>{line.what}</b>" "{says.join(" · ")}</span>
            <span class="log__who">{line.who}" · "{line.short}</span>
            {line.fate.map(|fate| view! { <span class="log__why">{fate}</span> })}
        </li>
    }
    .into_any()
}

/// Root and fold of the log: two copies that show the same codes hold the same.
#[component]
fn Codes(services: Services) -> impl IntoView {
    let codes = Memo::new(move |_| {
        services.with_job(|job| {
            let fold = Hash::of_bytes(job.fold.to_text().as_bytes()).to_string();
            (job.journal.root().to_string(), fold, job.journal.revision())
        })
    });
    move || {
        codes.get().map(|(root, fold, count)| {
            view! {
                <section class="card stack">
                    <p>{words::entries_count(&count.to_string())}</p>
                    <details>
                        <summary class="links__link">{words::codes_of_the_log()}</summary>
                        <p class="soft">{words::codes_why()}</p>
                        <dl class="working__inputs">
                            <div><dt>{words::root_code()}</dt><dd id="root-hash" data-hash=root.clone()>{spoken(&root)}</dd></div>
                            <div><dt>{words::fold_code()}</dt><dd id="fold-hash" data-hash=fold.clone()>{spoken(&fold)}</dd></div>
                        </dl>
                    </details>
                </section>
            }
        })
    }
}

/// What is wrong with the stored log, what is in conflict, and what a newer version wrote.
#[component]
fn Trouble(services: Services) -> impl IntoView {
    let found = Memo::new(move |_| {
        services
            .with_job(|job| {
                let problems = job.problems.iter().chain(job.fold.problems()).map(speak::problem);
                let conflicts = job
                    .fold
                    .conflicts()
                    .into_iter()
                    .map(|(kind, place, _)| words::conflict_at(&speak::record(kind, place)));
                let forks = (!job.fold.forks().is_empty()).then(|| words::forked().to_string());
                let unknown = job.fold.unknown().len();
                let newer = (unknown > 0).then(|| words::unknown_entries(&unknown.to_string()));
                problems.chain(conflicts).chain(forks).chain(newer).collect::<Vec<String>>()
            })
            .unwrap_or_default()
    });
    move || {
        let found = found.get();
        (!found.is_empty()).then(|| {
            view! {
                <section class="finding">
                    <h2 class="finding__title">{words::log_has_problems()}</h2>
                    <ul>{found.into_iter().map(|line| view! { <li>{line}</li> }).collect_view()}</ul>
                </section>
            }
        })
    }
}
