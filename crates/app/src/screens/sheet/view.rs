//! The sheet on the screen and on paper.

use super::cells::{Printed, left, printed, radio};
use crate::group::view::group_screen;
use crate::group::{GroupState, GroupView, SaveGroup};
use crate::route::{Part, Route};
use crate::screens::jobs::TroubleLine;
use crate::screens::overview::{Copies, Shouts};
use crate::services::Services;
use crate::services::files::Way;
use crate::services::job::procedure_now;
use crate::shell::Shell;
use crate::working::WorkingView;
use leptos::prelude::*;
use procedure::left::Weight;

/// The close-out sheet.
#[component]
pub fn Sheet(services: Services, id: String) -> impl IntoView {
    let title = Memo::new(move |_| services.with_job(|job| job.site()).unwrap_or_default());
    let mut group = GroupState::new(format!("{id}.signed"), &[("signed", "", true)], services.context());
    let person = services.person();
    group.prefill("signed", "by", &person.name);
    group.prefill("signed", "badge", &person.badge);
    let sign = group_screen(group, services);
    let dangerous = Memo::new(move |_| is_dangerous(services));
    let signed = Memo::new(move |_| sign.with(|group| group.is_written() && !group.has_input()));
    let stop = id.clone();
    let foot = move || {
        if dangerous.get() {
            let to = Route::Job(stop.clone(), Part::Steps).href();
            view! { <a class="act" href=to>{words::back_to_the_steps()}</a> }.into_any()
        } else if signed.get() {
            view! { <ExportAct services/> }.into_any()
        } else {
            view! { <SaveGroup screen=sign save=words::sign()/> }.into_any()
        }
    };
    view! {
        <Shell title=title sub=words::close_out_sheet() back=Route::Job(id, Part::Overview) foot=view! { <div>{foot}</div> }.into_any()>
            <Shouts services/>
            <LeftBefore services/>
            <Paper services/>
            <button type="button" class="ghost" on:click=move |_| services.print()>{words::print()}</button>
            <Radio services/>
            <GroupView screen=sign/>
            <Copies services/>
        </Shell>
    }
    .into_any()
}

/// Once it is signed, the large button takes the copy off the phone.
#[component]
fn ExportAct(services: Services) -> impl IntoView {
    let export = move |_| {
        wasm_bindgen_futures::spawn_local(async move {
            if let Err(why) = services.export(Way::Download).await {
                services.trouble.set(Some(why));
            }
        });
    };
    view! { <TroubleLine services/><button type="button" class="act" on:click=export>{words::download_the_copy()}</button> }.into_any()
}

/// Whether somebody can be hurt by leaving now.
fn is_dangerous(services: Services) -> bool {
    let now = procedure_now(&services.now());
    services
        .with_job(|job| {
            procedure::left::left_of(&job.fold, &now, &job.standing).iter().any(|item| item.weight == Weight::Danger)
        })
        .unwrap_or_default()
}

/// What is left before you lock, worst first.
#[component]
fn LeftBefore(services: Services) -> impl IntoView {
    let items = Memo::new(move |_| {
        let now = procedure_now(&services.now());
        services.with_job(|job| procedure::left::left_of(&job.fold, &now, &job.standing)).unwrap_or_default()
    });
    move || {
        let items = items.get();
        if items.is_empty() {
            return view! { <p class="status"><span class="status__dot"></span>{words::nothing_left()}</p> }.into_any();
        }
        let line = |text: String| view! { <li>{text}</li> };
        let of = |danger: bool| {
            items
                .iter()
                .filter(move |item| (item.weight == Weight::Danger) == danger)
                .map(left)
                .map(line)
                .collect_view()
        };
        let has_danger = items.iter().any(|item| item.weight == Weight::Danger);
        let has_rest = items.iter().any(|item| item.weight != Weight::Danger);
        view! {
            {has_danger.then(|| view! { <div class="signal signal--danger" role="alert"><p class="signal__say"><strong class="signal__word">{words::signal_danger()}</strong>" "{words::left_before_you_lock()}</p><ul>{of(true)}</ul></div> })}
            {has_rest.then(|| view! { <section class="finding"><h2 class="finding__title">{words::left_before_you_lock()}</h2><ul>{of(false)}</ul></section> })}
        }
        .into_any()
    }
}

/// The page that billing gets.
#[component]
fn Paper(services: Services) -> impl IntoView {
    let rows = Memo::new(move |_| {
        let now = procedure_now(&services.now());
        services
            .with_job(|job| {
                (job.site(), printed(&procedure::close_out::sheet(&job.fold, &now)), job.journal.root().to_string())
            })
            .unwrap_or_default()
    });
    move || {
        let (site, rows, root) = rows.get();
        view! {
            <article class="sheet">
                <header class="sheet__head"><h2>{words::close_out_sheet()}" · "{site}</h2></header>
                <table class="sheet__table"><tbody>{rows.into_iter().map(row).collect_view()}</tbody></table>
                <p class="sheet__sign">{words::rules_differ()}</p>
                <p class="sheet__sign">{words::root_on_paper(&root)}</p>
            </article>
        }
        .into_any()
    }
}

fn row(row: Printed) -> AnyView {
    let workings = row.workings.into_iter().map(|working| view! { <WorkingView working/> }).collect_view();
    let text =
        if row.is_missing { view! { <span class="soft">{row.text}</span> }.into_any() } else { row.text.into_any() };
    view! { <tr><th scope="row">{row.name}</th><td class="sheet__number">{text}{workings}</td></tr> }.into_any()
}

/// Ten lines to read over the radio.
#[component]
fn Radio(services: Services) -> impl IntoView {
    let lines = Memo::new(move |_| {
        let now = procedure_now(&services.now());
        services
            .with_job(|job| {
                procedure::close_out::radio_lines(&job.fold, &now).iter().map(radio).collect::<Vec<_>>().join("\n")
            })
            .unwrap_or_default()
    });
    let copied = RwSignal::new_local(None::<bool>);
    let copy = move |_| {
        let text = lines.get_untracked();
        wasm_bindgen_futures::spawn_local(async move {
            copied.try_set(Some(services.copy(&text).await));
        });
    };
    view! {
        <details>
            <summary class="links__link">{words::for_the_radio()}</summary>
            <pre class="radio">{move || lines.get()}</pre>
            <button type="button" class="key" on:click=copy>{words::copy_text()}</button>
            <div role="status">{move || copied.get().filter(|done| *done).map(|_| words::copied())}</div>
        </details>
    }
    .into_any()
}
