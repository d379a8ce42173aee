//! The job at hand: loading it, writing entries down, keeping the list in step.

use super::{JobLine, Loss, Services};
use crate::route::{Part, Route};
use browser::settings::{copies, sentinel};
use browser::store::{EntryRow, JobRow, SaveBatch, StoredJob};
use browser::{Trouble, channel, locks, store};
use jobfile::sorting::{sort_by, sort_by_key};
use jobfile::{Draft, Entry, Fold, Hash, JobId, Journal, Problem, Stamp, Summary};
use leptos::prelude::*;
use procedure::Standing;
use std::rc::Rc;

/// A job with everything derived from it.
#[derive(Clone, Debug)]
pub struct OpenJob {
    /// The job.
    pub id: String,
    /// All entries.
    pub journal: Journal,
    /// The log folded.
    pub fold: Fold,
    /// Where the visit stands.
    pub standing: Standing,
    /// The revision in the store.
    pub revision: u64,
    /// What is wrong with the stored entries, if anything.
    pub problems: Vec<Problem>,
}

/// The job at hand.
#[derive(Clone, Debug)]
pub enum JobState {
    /// None.
    None,
    /// On its way from the store.
    Loading(String),
    /// Here.
    Open(Rc<OpenJob>),
    /// The store knows nothing of it.
    Missing(String),
    /// The store did not give it: the sentence says why.
    Failed(String, String),
}

impl JobState {
    /// Which job it is about.
    pub fn id(&self) -> Option<&str> {
        match self {
            JobState::None => None,
            JobState::Loading(id) | JobState::Missing(id) | JobState::Failed(id, _) => Some(id),
            JobState::Open(job) => Some(&job.id),
        }
    }

    /// The job, once it is here.
    pub fn open(&self) -> Option<&Rc<OpenJob>> {
        match self {
            JobState::Open(job) => Some(job),
            _ => None,
        }
    }
}

impl OpenJob {
    fn new(services: Services, journal: Journal, revision: u64, problems: Vec<Problem>) -> OpenJob {
        let fold = Fold::of(&journal);
        let standing = procedure::standing(&fold, &procedure_now(&services.now()));
        OpenJob { id: journal.job().to_string(), journal, fold, standing, revision, problems }
    }

    /// The name of the site.
    pub fn site(&self) -> String {
        self.fold.one("job", "").and_then(|job| job.fields.text("site")).unwrap_or_default().to_string()
    }
}

impl Services {
    /// Reads the open job and follows its changes.
    pub fn with_job<T>(self, read: impl FnOnce(&OpenJob) -> T) -> Option<T> {
        self.job.track();
        self.peek_job(read)
    }

    /// Reads the open job without following it.
    pub fn peek_job<T>(self, read: impl FnOnce(&OpenJob) -> T) -> Option<T> {
        self.job.read_untracked().open().map(|job| read(job))
    }

    /// Brings a job from the store.
    pub async fn load_job(self, id: &str) {
        let here = self.job.with_untracked(|state| state.open().is_some_and(|job| job.id == id));
        if !here {
            self.job.set(JobState::Loading(id.to_string()));
        }
        let state = match self.store().load_job(id).await {
            Ok(Some(stored)) => match self.opened(id, &stored) {
                Some(job) => JobState::Open(Rc::new(job)),
                None => JobState::Missing(id.to_string()),
            },
            Ok(None) => JobState::Missing(id.to_string()),
            Err(trouble) => JobState::Failed(id.to_string(), crate::speak::browser_trouble(&trouble)),
        };
        // The person may have gone elsewhere meanwhile.
        if self.job.with_untracked(|state| state.id() == Some(id)) {
            self.job.set(state);
        }
    }

    fn opened(self, id: &str, stored: &StoredJob) -> Option<OpenJob> {
        let id: JobId = id.parse().ok()?;
        let (journal, problems) = journal_of(id, stored);
        let revision = stored.row.as_ref().map_or(0, |row| row.revision);
        Some(OpenJob::new(self, journal, revision, problems))
    }

    /// Writes drafts down in the job at hand, as one action; returns once they were read back.
    ///
    /// # Errors
    /// The sentence that says why nothing was written.
    pub async fn record(self, drafts: Vec<Draft>) -> Result<(), String> {
        let Some(id) = self.job.with_untracked(|state| state.open().map(|job| job.id.clone())) else {
            return Err(words::no_job_open().to_string());
        };
        let lock = format!("job-{id}");
        let work = async { self.record_once(&id, &drafts, true).await };
        match locks::with_lock(&lock, work).await {
            Ok(result) => result,
            // Without locks the store’s revision check still refuses what another tab has overtaken.
            Err(Trouble::LocksAbsent) => self.record_once(&id, &drafts, true).await,
            Err(trouble) => Err(crate::speak::browser_trouble(&trouble)),
        }
    }

    async fn record_once(self, id: &str, drafts: &[Draft], may_reload: bool) -> Result<(), String> {
        let Some(job) = self.job.with_untracked(|state| state.open().cloned()) else {
            return Err(words::no_job_open().to_string());
        };
        // Whatever screen it comes from: nothing about the switch is written that is not safe after what stands there.
        procedure::press::judge_drafts(&job.fold, &procedure_now(&self.now()), drafts)
            .map_err(|why| crate::speak::draft_error(&why))?;
        let composed = job.journal.compose(self.device(), &self.stamp(&job.fold, drafts), drafts);
        let entries = composed.map_err(|problems| crate::speak::problems(&problems))?;
        match self.save(&job.journal, job.revision, entries).await {
            Ok(open) => {
                self.show(open).await;
                Ok(())
            }
            Err(Trouble::ChangedElsewhere { .. } | Trouble::AlreadyThere { .. }) if may_reload => {
                self.load_job(id).await;
                Box::pin(self.record_once(id, drafts, false)).await
            }
            Err(trouble) => Err(crate::speak::browser_trouble(&trouble)),
        }
    }

    /// Begins a job with these entries and shows it.
    ///
    /// # Errors
    /// The sentence that says why nothing was written.
    pub async fn begin(self, drafts: Vec<Draft>) -> Result<(), String> {
        let id = store::job_id().map_err(|trouble| crate::speak::browser_trouble(&trouble))?;
        let id: JobId = id.parse().map_err(|_| words::no_job_open().to_string())?;
        let journal = Journal::new(id);
        let composed = journal.compose(self.device(), &self.stamp(&Fold::of(&journal), &drafts), &drafts);
        let entries = composed.map_err(|problems| crate::speak::problems(&problems))?;
        let open = self.save(&journal, 0, entries).await.map_err(|trouble| crate::speak::browser_trouble(&trouble))?;
        self.remember_person(&drafts);
        let id = open.id.clone();
        self.show(open).await;
        self.go(&Route::Job(id, Part::Overview));
        Ok(())
    }

    /// Saves entries onto a journal; what comes back was read back from the store.
    pub(super) async fn save(self, journal: &Journal, revision: u64, entries: Vec<Entry>) -> Result<OpenJob, Trouble> {
        let rows = entries.iter().map(row_of).collect();
        let mut grown = journal.clone();
        if grown.append(entries).is_err() {
            // compose made them for this very journal; a journal that refuses them was changed in between.
            let job = journal.job().to_string();
            return Err(Trouble::ChangedElsewhere { job, expected: revision, found: revision });
        }
        self.save_grown(grown, revision, rows).await
    }

    /// Saves the rows by which a journal has grown.
    pub(super) async fn save_grown(
        self,
        grown: Journal,
        revision: u64,
        rows: Vec<EntryRow>,
    ) -> Result<OpenJob, Trouble> {
        let mut open = OpenJob::new(self, grown, revision, Vec::new());
        let batch = SaveBatch {
            job: open.id.clone(),
            revision_before: revision,
            entries: rows,
            summary: summary_text(&open),
            root: open.journal.root().to_string(),
            blobs: Vec::new(),
        };
        open.revision = self.store().save(&batch).await?.revision;
        Ok(open)
    }

    /// Makes a saved job the one at hand, and tells the list, the sentinel and the other tabs.
    pub(super) async fn show(self, open: OpenJob) {
        self.tell(&channel::Message::JobChanged { job: open.id.clone(), revision: open.revision });
        self.job.set(JobState::Open(Rc::new(open)));
        self.refresh_jobs().await;
    }

    fn stamp(self, fold: &Fold, drafts: &[Draft]) -> Stamp {
        let now = self.now();
        let crew = drafts.iter().find(|draft| draft.what.kind == "crew").map(|draft| &draft.what.fields);
        let written = fold.one("crew", "").map(|crew| &crew.fields);
        let who = crew.or(written).and_then(|fields| fields.text("technician")).map(str::to_string);
        let who = who.or_else(|| Some(self.person().name).filter(|name| !name.trim().is_empty()));
        let who = who.unwrap_or_else(|| words::nobody_named().to_string());
        Stamp { at: now.at, session: now.session, since_start_ms: now.since_start_ms, who }
    }

    fn remember_person(self, drafts: &[Draft]) {
        let Some(crew) = drafts.iter().find(|draft| draft.what.kind == "crew") else { return };
        let text = |field| crew.what.fields.text(field).unwrap_or_default().to_string();
        let (technician, badge) = (text("technician"), text("badge"));
        self.choose(|choices| {
            choices.technician = technician;
            choices.badge = badge;
        });
    }

    /// Reads the list of jobs again and moves the sentinel with it.
    pub async fn refresh_jobs(self) {
        match self.store().list_jobs().await {
            Ok(rows) => {
                let (count, root) = (rows.len(), root_of(&rows));
                self.set_jobs(rows);
                // Jobs that are gone stay known until somebody has read that they are.
                if self.loss.with_untracked(Option::is_some) {
                    return;
                }
                let kept = sentinel::save(&sentinel::Sentinel { jobs: u32::try_from(count).unwrap_or(u32::MAX), root });
                if let Err(trouble) = kept {
                    self.say(&trouble);
                }
            }
            Err(trouble) => self.say(&trouble),
        }
    }

    /// At the start: what the store holds against what the sentinel knows.
    pub(super) async fn watch_sentinel(self) -> Result<(), Trouble> {
        let rows = self.store().list_jobs().await?;
        let known = sentinel::load()?;
        let count = u32::try_from(rows.len()).unwrap_or(u32::MAX);
        let loss = match sentinel::Sentinel::judge(known.as_ref(), count, &root_of(&rows)) {
            sentinel::Verdict::Emptied { jobs } => Some(Loss::Emptied(jobs)),
            sentinel::Verdict::Fewer { jobs } => Some(Loss::Fewer(jobs - count)),
            _ => None,
        };
        self.loss.set(loss);
        self.set_jobs(rows);
        Ok(())
    }

    fn set_jobs(self, rows: Vec<JobRow>) {
        let copied = copies::all().unwrap_or_else(|trouble| {
            self.say(&trouble);
            Default::default()
        });
        let mut lines: Vec<JobLine> = rows
            .into_iter()
            .map(|row| JobLine {
                copied_ms: copied.get(&row.job).copied(),
                summary: Summary::from_text(&row.summary),
                id: row.job,
                revision: row.revision,
            })
            .collect();
        sort_by_key(&mut lines, |line| std::cmp::Reverse(last_at(line)));
        self.jobs.set(lines);
    }
}

/// When a job was last written to. Offsets may differ between lines, so the moments are compared, not the texts.
fn last_at(line: &JobLine) -> Option<chrono::DateTime<chrono::FixedOffset>> {
    line.summary.as_ref().and_then(|summary| jobfile::moment::read_time(summary.last_at.as_deref()?))
}

/// The present, as the procedure wants it.
pub fn procedure_now(now: &crate::machine::Now) -> procedure::Now {
    procedure::Now {
        at_ms: now.at.timestamp_millis(),
        session: now.session.clone(),
        since_start_ms: now.since_start_ms,
    }
}

/// A stored entry as a row of the store.
pub(super) fn row_of(entry: &Entry) -> EntryRow {
    EntryRow {
        device: entry.device().to_string(),
        n: u64::from(entry.n()),
        hash: entry.hash().to_string(),
        line: entry.to_text(),
    }
}

/// The summary as the list keeps it, marked with what the list must shout.
fn summary_text(open: &OpenJob) -> String {
    let mut summary = Summary::of(&open.fold);
    // A step is done once all it wants is there: the log alone knows only of those called done.
    summary.steps_done =
        open.standing.steps.iter().filter(|step| matches!(step.state, procedure::standing::State::Done { .. })).count();
    summary.marks = open.standing.shouts.iter().map(|shout| format!("{}:{}", shout.code, shout.place)).collect();
    summary.to_text()
}

/// The journal of stored lines, with every problem found in them.
pub(super) fn journal_of(id: JobId, stored: &StoredJob) -> (Journal, Vec<Problem>) {
    let mut problems = Vec::new();
    let mut entries = Vec::new();
    for row in &stored.entries {
        match Entry::from_text(&row.line) {
            Ok((entry, lesser)) => {
                problems.extend(lesser);
                entries.push(entry);
            }
            Err(found) => problems.extend(found),
        }
    }
    let (journal, found) = Journal::from_entries(id, entries);
    problems.extend(found);
    (journal, problems)
}

/// One hash over all jobs of the store, for the sentinel.
fn root_of(rows: &[JobRow]) -> String {
    let mut roots: Vec<String> = rows.iter().map(|row| format!("{}:{}", row.job, row.root)).collect();
    sort_by(&mut roots, String::cmp);
    Hash::of_bytes(roots.join("\n").as_bytes()).to_string()
}
