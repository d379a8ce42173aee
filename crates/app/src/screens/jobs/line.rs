//! What one line of the list says of a job, from its stored summary alone.

use crate::services::JobLine;
use crate::speak;
use jobfile::summary::Stands;

/// Hours since the last copy off this phone after which the line reminds.
const REMIND_AFTER_H: i64 = 24;

/// Where a job should go on, and what its line says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// The job.
    pub id: String,
    /// The site.
    pub title: String,
    /// Kind of visit, when, what is not yet done with it.
    pub sub: String,
    /// The tag: how it stands.
    pub tag: &'static str,
    /// What is shouted: shorts left in, potentials off, a broken circuit.
    pub shouts: Vec<String>,
    /// Whether work goes on.
    pub is_open: bool,
    /// Steps done.
    pub steps_done: usize,
}

/// The line of a job.
pub fn line(job: &JobLine, now_ms: i64) -> Line {
    let Some(summary) = &job.summary else {
        return Line {
            id: job.id.clone(),
            title: words::job_without_summary().to_string(),
            sub: String::new(),
            tag: "",
            shouts: Vec::new(),
            is_open: false,
            steps_done: 0,
        };
    };
    let visit = summary.visit.as_deref().map(|visit| words::choice("job", "visit", visit)).unwrap_or_default();
    let when = summary.last_at.as_deref().map(speak::moment_to_minute).unwrap_or_default();
    let mut parts = vec![visit, when, copy_word(job.copied_ms, now_ms)];
    if let Some(by) = &summary.owed_by {
        parts.push(words::owed_by(by));
    }
    let tag = match summary.stands {
        Stands::New => words::stands_new(),
        Stands::UnderWay => words::stands_under_way(),
        Stands::Signed => words::stands_done(),
    };
    Line {
        id: job.id.clone(),
        title: summary.site.clone().unwrap_or_else(|| words::site_unnamed().to_string()),
        sub: parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(" · "),
        tag,
        shouts: summary.marks.iter().map(|mark| speak::mark(mark)).collect(),
        is_open: summary.stands != Stands::Signed,
        steps_done: summary.steps_done,
    }
}

/// When a copy last left this phone: a browser may empty its storage.
fn copy_word(copied_ms: Option<i64>, now_ms: i64) -> String {
    const HOUR_MS: i64 = 3_600_000;
    match copied_ms {
        None => words::only_on_this_phone().to_string(),
        Some(at) => {
            let hours = (now_ms - at).max(0) / HOUR_MS;
            if hours < REMIND_AFTER_H {
                words::copied_lately().to_string()
            } else {
                words::copied_days_ago(&(hours / 24).to_string())
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_summary_that_cannot_be_read_still_gives_a_line() {
        let job = JobLine { id: "abc".into(), summary: None, revision: 1, copied_ms: None };
        assert_eq!(line(&job, 0).id, "abc");
        assert!(!line(&job, 0).title.is_empty());
    }

    #[test]
    fn copies_are_told_by_their_age() {
        let hour = 3_600_000;
        assert_eq!(copy_word(Some(0), 23 * hour), words::copied_lately());
        assert_eq!(copy_word(Some(0), 49 * hour), words::copied_days_ago("2"));
        assert_eq!(copy_word(Some(5), 0), words::copied_lately());
    }
}
