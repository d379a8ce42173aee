//! The log on the screen: a line of dots, newest last; the codes by which two copies are compared; a note to add.

use super::lines::{Line, lines, spoken};
use crate::drawing::{Node, classed, details, finding, live, p, tag};
use crate::group::{GroupState, group_screen, group_view, save_group};
use crate::route::{Part, Route};
use crate::services::Services;
use crate::shell::Shell;
use crate::speak;
use jobfile::Hash;

/// Every entry of the job.
pub fn log(services: Services, id: String) -> Node {
    let note = group_screen(GroupState::new(format!("{id}.note"), &[("note", "", true)], services.context()), services);
    let entries = move || {
        let mut entries = Vec::new();
        for line in services.with_job(|job| lines(&job.fold)).unwrap_or_default() {
            entries.push(entry(line));
        }
        Node::Many(entries)
    };
    Shell::of_job(services)
        .sub(words::job_log())
        .back(Route::Job(id, Part::Overview))
        .foot(save_group(note, || words::write_note().to_string()))
        .around(vec![codes(services), trouble(services), classed("OL", "log").live(entries).into(), group_view(note)])
}

fn entry(line: Line) -> Node {
    let class = if line.fate.is_some() { "log__entry log__entry--struck" } else { "log__entry" };
    let mut says = String::new();
    for (name, value) in line.says {
        if !says.is_empty() {
            says.push_str(" · ");
        }
        says.push_str(&name);
        says.push_str(": ");
        says.push_str(&value);
    }
    classed("LI", class)
        .put(classed("SPAN", "log__when").put(line.when))
        .put(" ")
        .put(classed("SPAN", "log__what").put(tag("B").put(line.what)).put(" ").put(says))
        .put(classed("SPAN", "log__who").put(line.who).put(" · ").put(line.short))
        .put(line.fate.map(|fate| classed("SPAN", "log__why").put(fate)))
        .into()
}

/// Root and fold of the log: two copies that show the same codes hold the same.
fn codes(services: Services) -> Node {
    live(move || {
        services.with_job(|job| {
            let fold = Hash::of_bytes(job.fold.to_text().as_bytes()).to_string();
            let code = |name: &str, id: &str, hash: &str| {
                let code = tag("DD").id(id).set("data-hash", hash).put(spoken(hash));
                tag("DIV").put(tag("DT").put(name)).put(code)
            };
            let list = classed("DL", "working__inputs")
                .put(code(words::root_code(), "root-hash", &job.journal.root().to_string()))
                .put(code(words::fold_code(), "fold-hash", &fold));
            let inside = details("", words::codes_of_the_log()).put(p("soft").put(words::codes_why())).put(list);
            let count = words::entries_count(&job.journal.revision().to_string());
            classed("SECTION", "card stack").put(tag("P").put(count)).put(inside)
        })
    })
}

/// What is wrong with the stored log, what is in conflict, and what a newer version wrote.
fn trouble(services: Services) -> Node {
    live(move || {
        services.with_job(|job| {
            let mut found = Vec::new();
            for problem in job.problems.iter().chain(job.fold.problems()) {
                found.push(speak::problem(problem));
            }
            for (kind, place, _) in job.fold.conflicts() {
                found.push(words::conflict_at(&speak::record(kind, place)));
            }
            if !job.fold.forks().is_empty() {
                found.push(words::forked().to_string());
            }
            if !job.fold.unknown().is_empty() {
                found.push(words::unknown_entries(&job.fold.unknown().len().to_string()));
            }
            if found.is_empty() {
                return None;
            }
            let mut list = tag("UL");
            for line in found {
                list = list.put(tag("LI").put(line));
            }
            Some(finding(words::log_has_problems()).put(list))
        })
    })
}
