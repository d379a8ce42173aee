//! One job: what to see here, how far it is, the way to its parts, the copy that leaves the phone.

use crate::drawing::{Node, Tag, classed, div, done_line, ghost, h2, link, live, many, p, tag, told, trouble_line};
use crate::route::{Part, Route, Taken};
use crate::services::Services;
use crate::services::files::Way;
use crate::shell::Shell;
use crate::speak;
use leptos::prelude::*;
use procedure::standing::State;

/// The overview of a job.
pub fn overview(services: Services, id: String) -> Node {
    let go_on = link("act", &Route::Job(id.clone(), Part::Steps).href()).put(words::go_on());
    let body = vec![shouts(services), plan(services, id.clone()), parts(&id), copies(services)];
    Shell::of_job(services).sub(words::job()).back(Route::Jobs).foot(go_on).around(body)
}

/// What must be seen on every screen of a job: practice, shorts in, potentials off, circuits not known.
pub fn shouts(services: Services) -> Node {
    live(move || {
        services.with_job(|job| {
            let mut bands = Vec::new();
            if job.fold.one("job", "").is_some_and(|job| job.fields.is("practice", "yes")) {
                bands.push(p("band band--practice").put(words::practice()).into());
            }
            let mut lines = Vec::new();
            for shout in &job.standing.shouts {
                lines.push(speak::shout(shout.code, &shout.place));
            }
            if !lines.is_empty() {
                bands.push(p("band band--live").put(lines.join(" · ")).into());
            }
            Node::Many(bands)
        })
    })
}

fn plan(services: Services, id: String) -> Node {
    let steps = move || {
        services.with_job(|job| {
            let mut steps = Vec::new();
            for (at, step) in job.standing.steps.iter().enumerate() {
                steps.push(plan_step(&id, at, step).into());
            }
            Node::Many(steps)
        })
    };
    tag("SECTION").put(h2(words::steps())).put(classed("OL", "plan").live(steps)).into()
}

fn plan_step(id: &str, at: usize, step: &procedure::standing::StepStanding) -> Tag {
    let (state, word) = match &step.state {
        State::Done { .. } => ("plan__step plan__step--done", words::step_done()),
        State::LeftOpen { .. } => ("plan__step plan__step--left", words::step_left()),
        State::Now => ("plan__step plan__step--at", words::step_now()),
        State::PassedBy => ("plan__step plan__step--left", words::step_passed()),
        State::Ahead => ("plan__step", ""),
    };
    let to = Route::Job(id.to_string(), Part::Step(step.id.to_string())).href();
    let number = tag("B").put((at + 1).to_string());
    let main = link("plan__main", &to).put(number).put(" ").put(words::of_code(&format!("step-{}", step.id), &[]));
    let word = (!word.is_empty()).then(|| classed("SPAN", "tag").put(word));
    classed("LI", state).put(main).put(word)
}

fn parts(id: &str) -> Node {
    let parts = [
        (Part::Plates, words::nameplates()),
        (Part::Readings(Taken::AsFound), words::readings_as_found()),
        (Part::Readings(Taken::AsLeft), words::readings_as_left()),
        (Part::Reads, words::meter_reads()),
        (Part::Seals, words::seals()),
        (Part::Sheet, words::close_out_sheet()),
        (Part::Log, words::job_log()),
    ];
    let mut rows = classed("UL", "rows");
    for (part, name) in parts {
        let to = Route::Job(id.to_string(), part).href();
        let main = link("row__main", &to).put(classed("B", "row__title").put(name));
        rows = rows.put(classed("LI", "row").put(main));
    }
    tag("SECTION").put(h2(words::parts_of_the_job())).put(rows).into()
}

/// The copy that leaves the phone, by download or by another program.
pub fn copies(services: Services) -> Node {
    let outcome = RwSignal::new_local(None::<Result<(), String>>);
    let export = move |way: Way| {
        wasm_bindgen_futures::spawn_local(async move {
            let result = services.export(way).await;
            outcome.try_set(Some(result));
        });
    };
    let line = move || {
        outcome.with(|outcome| match outcome {
            None => many([]),
            Some(Ok(())) => done_line(words::copy_left()).into(),
            Some(Err(why)) => trouble_line(why).into(),
        })
    };
    let download = ghost(move || export(Way::Download)).id("export").put(words::download_copy());
    let share = services.can_share().then(|| ghost(move || export(Way::Share)).put(words::share_copy()));
    classed("SECTION", "stack")
        .put(h2(words::copy_off_phone()))
        .put(div("duo").put(download).put(share))
        .put(told(line))
        .into()
}
