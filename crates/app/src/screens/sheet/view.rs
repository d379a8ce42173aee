//! The sheet on the screen and on paper.

use super::cells::{Printed, left, printed, radio};
use super::ways::way;
use crate::drawing::{
    Node, button, classed, details, div, done_line, finding, ghost, h2, link, live, many, nothing, p, signal_line, tag,
    told,
};
use crate::group::{GroupState, group_screen, group_view, save_group};
use crate::route::{Part, Route};
use crate::screens::jobs::last_trouble;
use crate::screens::overview::{copies, shouts};
use crate::services::Services;
use crate::services::files::Way;
use crate::services::job::procedure_now;
use crate::shell::Shell;
use crate::working::working_view;
use leptos::prelude::*;
use procedure::left::{Item, Weight};

/// The close-out sheet.
pub fn sheet(services: Services, id: String) -> Node {
    let mut group = GroupState::new(format!("{id}.signed"), &[("signed", "", true)], services.context());
    let person = services.person();
    group.prefill("signed", "by", &person.name);
    group.prefill("signed", "badge", &person.badge);
    let sign = group_screen(group, services);
    let signed = Memo::new(move |_| sign.with(|group| group.is_written() && !group.has_input()));
    let stops = Memo::new(move |_| items(services).iter().any(|item| item.weight >= Weight::Stops));
    let (job, of_left) = (id.clone(), id.clone());
    // What stops is settled first: the large button leads to it, and nothing is signed.
    let foot = live(move || {
        if stops.get() {
            let part = items(services).first().and_then(way).unwrap_or(Part::Steps);
            link("act", &Route::Job(job.clone(), part).href()).put(words::settle_what_stops()).into()
        } else if signed.get() {
            export_act(services)
        } else {
            save_group(sign, || words::sign().to_string())
        }
    });
    let form = live(move || if stops.get() { nothing() } else { group_view(sign) });
    Shell::of_job(services)
        .sub(words::close_out_sheet())
        .back(Route::Job(id, Part::Overview))
        .foot(div("").put(foot))
        .around(vec![
            shouts(services),
            left_before(services, of_left),
            paper(services),
            ghost(move || services.print()).put(words::print()).into(),
            radio_lines(services),
            form,
            copies(services),
        ])
}

/// Once it is signed, the large button takes the copy off the phone.
fn export_act(services: Services) -> Node {
    let export = move || {
        wasm_bindgen_futures::spawn_local(async move {
            if let Err(why) = services.export(Way::Download).await {
                services.trouble.set(Some(why));
            }
        });
    };
    many([last_trouble(services), button("act", export).put(words::download_the_copy()).into()])
}

/// What is left before you lock, worst first.
fn items(services: Services) -> Vec<Item> {
    let now = procedure_now(&services.now());
    services.with_job(|job| procedure::left::left_of(&job.fold, &now, &job.standing)).unwrap_or_default()
}

/// The items, each leading to where it is settled: what endangers somebody, what keeps the sheet from being signed, the rest.
fn left_before(services: Services, id: String) -> Node {
    live(move || {
        let (mut danger, mut stops, mut rest) = (Vec::new(), Vec::new(), Vec::new());
        for item in items(services) {
            let text = left(&item);
            let line = tag("LI").put(match way(&item) {
                Some(part) => link("links__link", &Route::Job(id.clone(), part).href()).put(text).into(),
                None => Node::from(text),
            });
            match item.weight {
                Weight::Danger => danger.push(line.into()),
                Weight::Stops => stops.push(line.into()),
                Weight::Open | Weight::Told => rest.push(line.into()),
            }
        }
        if danger.is_empty() && stops.is_empty() && rest.is_empty() {
            return done_line(words::nothing_left()).into();
        }
        let list = |items: Vec<Node>| tag("UL").put(items);
        let panel = |class: &str, word: &str, sentence: &str, items: Vec<Node>| {
            (!items.is_empty())
                .then(|| div(class).set("role", "alert").put(signal_line(word, sentence)).put(list(items)))
        };
        let danger = panel("signal signal--danger", words::signal_danger(), words::left_before_you_lock(), danger);
        let stops = panel("signal signal--warning", words::signal_warning(), words::left_before_you_sign(), stops);
        let rest = (!rest.is_empty()).then(|| finding(words::left_before_you_lock()).put(list(rest)));
        many([danger.into(), stops.into(), rest.into()])
    })
}

/// The page that billing gets.
fn paper(services: Services) -> Node {
    live(move || {
        let now = procedure_now(&services.now());
        services.with_job(|job| {
            let mut body = tag("TBODY");
            for line in printed(&procedure::close_out::sheet(&job.fold, &now)) {
                body = body.put(row(line));
            }
            let title = h2(words::close_out_sheet()).put(" · ").put(job.site());
            classed("ARTICLE", "sheet")
                .put(classed("HEADER", "sheet__head").put(title))
                .put(classed("TABLE", "sheet__table").put(body))
                .put(p("sheet__sign").put(words::rules_differ()))
                .put(p("sheet__sign").put(words::root_on_paper(&job.journal.root().to_string())))
        })
    })
}

fn row(row: Printed) -> Node {
    let text = if row.is_missing { classed("SPAN", "soft").put(row.text).into() } else { Node::from(row.text) };
    let mut cell = classed("TD", "sheet__number").put(text);
    for working in &row.workings {
        cell = cell.put(working_view(working));
    }
    tag("TR").put(tag("TH").set("scope", "row").put(row.name)).put(cell).into()
}

/// Ten lines to read over the radio.
fn radio_lines(services: Services) -> Node {
    let lines = move || {
        let now = procedure_now(&services.now());
        let lines = |job: &crate::services::job::OpenJob| {
            let mut text = String::new();
            for line in procedure::close_out::radio_lines(&job.fold, &now) {
                if !text.is_empty() {
                    text.push('\n');
                }
                text.push_str(&radio(&line));
            }
            text
        };
        services.with_job(lines).unwrap_or_default()
    };
    let copied = RwSignal::new_local(None::<bool>);
    let copy = move || {
        let text = untrack(lines);
        wasm_bindgen_futures::spawn_local(async move {
            copied.try_set(Some(services.copy(&text).await));
        });
    };
    details("", words::for_the_radio())
        .put(classed("PRE", "radio").live(lines))
        .put(button("key", copy).put(words::copy_text()))
        .put(told(move || copied.get().filter(|done| *done).map(|_| words::copied()).into()))
        .into()
}
