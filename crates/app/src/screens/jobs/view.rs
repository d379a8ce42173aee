//! The first screen.

use super::line::{Line, line};
use crate::drawing::{
    Node, Tag, button, classed, div, finding, ghost, link, live, many, p, tag, told as tell, trouble_line,
};
use crate::route::{Part, Route};
use crate::services::files::Opened;
use crate::services::{Loss, Services};
use crate::shell::Shell;
use crate::speak;
use jobfile::Problem;
use leptos::prelude::*;

/// How many jobs are listed at first: a screen of a thousand is slow to draw, and nobody reads it.
const FIRST_SHOWN: usize = 40;

/// The jobs on this phone.
pub fn jobs(services: Services) -> Node {
    let shown = RwSignal::new(FIRST_SHOWN);
    let list = live(move || {
        let now_ms = browser::clock::unix_ms();
        services.jobs.with(|jobs| {
            if jobs.is_empty() {
                return p("say").put(words::no_jobs_yet()).into();
            }
            let (mut lead, mut rows, mut count) = (None, classed("UL", "rows"), 0);
            for job in jobs {
                let line = line(job, now_ms);
                if lead.is_none() && line.is_open {
                    lead = Some(lead_card(line));
                } else {
                    count += 1;
                    if count <= shown.get() {
                        rows = rows.put(row(line));
                    }
                }
            }
            let hidden = count - count.min(shown.get());
            let more = (hidden > 0)
                .then(|| ghost(move || shown.set(usize::MAX)).put(words::show_older_jobs(&hidden.to_string())));
            many([lead.into(), rows.into(), more.into()])
        })
    });
    let start = link("ghost", &Route::Start.href()).put(words::start_a_job());
    Shell::new(services, words::dotside()).place(Route::Jobs).around(vec![
        loss_panel(services),
        last_trouble(services),
        list,
        div("duo").put(start).put(open_file(services)).into(),
        inbox_line(services),
    ])
}

fn lead_card(line: Line) -> Node {
    let live = (!line.shouts.is_empty()).then(|| p("lead__live").put(line.shouts.join(" · ")));
    let whole = link("lead__all", &Route::Job(line.id.clone(), Part::Overview).href()).put(words::whole_job());
    let done = words::steps_done(&line.steps_done.to_string());
    let inside = div("lead__in")
        .put(tag("P").put(line.sub))
        .put(classed("H2", "lead__title").put(line.title))
        .put(dots(line.steps_done, &done))
        .put(tag("P").put(&done).put(" · ").put(whole));
    let go = link("lead__go", &Route::Job(line.id, Part::Steps).href())
        .put(tag("SPAN").put(words::go_on()))
        .put(tag("SPAN").set("aria-hidden", "true").put("→"));
    classed("ARTICLE", "lead").put(live).put(inside).put(go).into()
}

/// A dot for each step: those done, the one to do, those to come.
fn dots(done: usize, label: &str) -> Node {
    let mut dots = classed("OL", "dots").set("aria-label", label.to_string());
    for at in 0..jobfile::kinds::STEPS.len() {
        dots = dots.put(classed(
            "LI",
            match at.cmp(&done) {
                std::cmp::Ordering::Less => "dots__dot dots__dot--done",
                std::cmp::Ordering::Equal => "dots__dot dots__dot--at",
                std::cmp::Ordering::Greater => "dots__dot",
            },
        ));
    }
    dots.into()
}

fn row(line: Line) -> Node {
    let (class, word) = match line.shouts.is_empty() {
        true => ("tag", line.tag.to_string()),
        false => ("tag tag--stop", line.shouts.join(" · ")),
    };
    let main = link("row__main", &Route::Job(line.id, Part::Overview).href())
        .put(classed("B", "row__title").put(line.title))
        .put(classed("SPAN", "row__sub").put(line.sub));
    classed("LI", "row").put(main).put(classed("SPAN", class).put(word)).into()
}

/// What the sentinel found: jobs that were here are gone.
fn loss_panel(services: Services) -> Node {
    live(move || {
        services.loss.with(|loss| {
            let title = match loss.as_ref()? {
                Loss::Emptied(count) => words::jobs_emptied(&count.to_string()),
                Loss::Fewer(count) => words::jobs_fewer(&count.to_string()),
            };
            let understood = button("key", move || understood(services)).put(words::understood());
            let mend = tag("P").put(words::jobs_emptied_mend());
            Some(finding(title).set("role", "alert").put(mend).put(understood))
        })
    })
}

/// The loss was read: from now on the sentinel knows the store as it is.
fn understood(services: Services) {
    services.loss.set(None);
    wasm_bindgen_futures::spawn_local(async move { services.refresh_jobs().await });
}

/// The last trouble that belongs to no input.
pub fn last_trouble(services: Services) -> Node {
    tell(move || services.trouble.with(|why| why.as_ref().map(trouble_line)).into())
}

fn inbox_line(services: Services) -> Node {
    live(move || {
        let count = services.inbox.with(Vec::len);
        let to = || link("links__link", &Route::Inbox.href()).put(words::inbox_holds(&count.to_string()));
        (count > 0).then(|| p("links").put(to()))
    })
}

/// The button that opens job files, and what became of them.
fn open_file(services: Services) -> Node {
    // Told once: who comes back later asks for something else.
    on_cleanup(move || services.opened.update(Vec::clear));
    let open = move |event: web_sys::Event| {
        let input: web_sys::HtmlInputElement = event_target(&event);
        services.open_files(browser::files::chosen(&input));
    };
    let input = classed("INPUT", "unseen")
        .set("type", "file")
        .id("open-file")
        .set("multiple", "")
        .set("accept", ".json,application/json")
        .on("change", open);
    let outcomes = move || {
        services.opened.with(|list| {
            let mut all = Vec::new();
            for opened in list {
                all.push(told(opened));
            }
            Node::Many(all)
        })
    };
    many([classed("LABEL", "drop").put(words::open_a_file()).put(input).into(), tell(outcomes)])
}

/// What became of a file, in words, with every problem.
fn told(opened: &Opened) -> Node {
    match opened {
        Opened::Refused(why) => trouble_line(why).into(),
        Opened::Kept { name, problems } => with_problems(words::file_kept(name), problems).into(),
        Opened::Job { problems, .. } if problems.is_empty() => p("status").put(words::file_opened()).into(),
        Opened::Job { id, problems } => {
            let to = link("links__link", &Route::Job(id.clone(), Part::Overview).href()).put(words::whole_job_link());
            with_problems(words::file_opened_with_problems().to_string(), problems).put(p("links").put(to)).into()
        }
    }
}

fn with_problems(title: String, problems: &[Problem]) -> Tag {
    let mut list = tag("UL");
    for problem in problems {
        list = list.put(tag("LI").put(speak::problem(problem)));
    }
    finding(title).put(list)
}
