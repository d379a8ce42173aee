//! Job files out of and into this phone: export, share, open, and the inbox for what could not be opened.

use super::{JobState, Services, job};
use crate::route::{Part, Route};
use browser::settings::copies;
use browser::store::{InboxNew, StoredJob};
use browser::{Trouble, clock, files};
use jobfile::file;
use jobfile::{Entry, Journal, Problem};
use leptos::prelude::*;
use std::collections::BTreeSet;

const MIME: &str = "application/json";

/// How a copy leaves this phone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// Into the downloads.
    Download,
    /// To another program on this phone.
    Share,
}

/// What became of a file that was opened.
#[derive(Clone, Debug, PartialEq)]
pub enum Opened {
    /// It is a job on this phone now.
    Job {
        /// The job.
        id: String,
        /// What was wrong with the file, though it could be read.
        problems: Vec<Problem>,
    },
    /// It could not be opened: its bytes are in the inbox.
    Kept {
        /// Its name.
        name: String,
        /// What is wrong with it.
        problems: Vec<Problem>,
    },
    /// It was refused before it was read, or could not be read at all.
    Refused(String),
}

impl Services {
    /// The name a copy of the open job gets: site and job, in plain letters.
    fn copy_name(self) -> Option<String> {
        self.peek_job(|job| {
            let site: String = job
                .site()
                .chars()
                .map(|letter| if letter.is_ascii_alphanumeric() { letter.to_ascii_lowercase() } else { '-' })
                .collect();
            let site = site.split('-').filter(|part| !part.is_empty()).collect::<Vec<_>>().join("-");
            let short: String = job.id.chars().take(6).collect();
            if site.is_empty() { format!("job-{short}.json") } else { format!("{site}-{short}.json") }
        })
    }

    /// The open job as a file.
    fn copy_text(self) -> Option<String> {
        self.peek_job(|job| file::write(&job.journal, &file::Blobs::new()))
    }

    /// Whether this browser can hand a job file to another program.
    pub fn can_share(self) -> bool {
        self.copy_name().is_some_and(|name| files::can_share(&name, MIME))
    }

    /// Takes a copy of the open job off this phone.
    ///
    /// # Errors
    /// The sentence that says why it did not leave.
    pub async fn export(self, way: Way) -> Result<(), String> {
        let (Some(name), Some(text)) = (self.copy_name(), self.copy_text()) else {
            return Err(words::no_job_open().to_string());
        };
        let left = match way {
            Way::Download => files::download(&name, MIME, text.as_bytes()).map(|()| true),
            Way::Share => {
                files::share(&name, MIME, text.as_bytes(), &name).await.map(|shared| shared == files::Shared::Handed)
            }
        };
        match left {
            Ok(true) => {
                let id = self.peek_job(|job| job.id.clone()).unwrap_or_default();
                if let Err(trouble) = copies::mark(&id, clock::unix_ms()) {
                    self.say(&trouble);
                }
                self.refresh_jobs().await;
                Ok(())
            }
            Ok(false) => Ok(()),
            Err(trouble) => Err(crate::speak::browser_trouble(&trouble)),
        }
    }

    /// Opens files that a person chose or dropped, one after the other, and tells what became of each. A single one that is
    /// whole is shown at once.
    pub fn open_files(self, chosen: Vec<web_sys::File>) {
        self.opened.set(Vec::new());
        wasm_bindgen_futures::spawn_local(async move {
            for file in &chosen {
                let opened = self.open_file(file).await;
                if let (Opened::Job { id, problems }, 1) = (&opened, chosen.len())
                    && problems.is_empty()
                {
                    self.go(&Route::Job(id.clone(), Part::Overview));
                }
                self.opened.update(|list| list.push(opened));
            }
        });
    }

    async fn open_file(self, chosen: &web_sys::File) -> Opened {
        let read = match files::read(chosen).await {
            Ok(read) => read,
            Err(trouble) => return Opened::Refused(crate::speak::browser_trouble(&trouble)),
        };
        self.open_bytes(&read.name, &read.bytes).await
    }

    async fn open_bytes(self, name: &str, bytes: &[u8]) -> Opened {
        let reading = file::read(bytes);
        let Some(journal) = reading.journal.filter(|journal| journal.revision() > 0) else {
            return self.keep_bytes(name, bytes, reading.problems).await;
        };
        let mut problems = reading.problems;
        let taken = self.take_in(&journal).await;
        // The union of the file with what is here may have a fork that neither had.
        let forks = taken.as_ref().map(Vec::as_slice).unwrap_or_default();
        if !problems.iter().any(|problem| problem.code == jobfile::code::CHAIN_FORK) {
            problems.extend_from_slice(forks);
        }
        let whole = problems.iter().all(|problem| problem.grade() == jobfile::Grade::Note);
        if !whole || !forks.is_empty() || taken.is_err() {
            // What can be read is shown; the bytes stay as they came, beside it.
            if let Opened::Refused(why) = self.keep_bytes(name, bytes, problems.clone()).await {
                return Opened::Refused(why);
            }
        }
        match taken {
            Ok(_) => Opened::Job { id: journal.job().to_string(), problems },
            Err(why) => Opened::Refused(why),
        }
    }

    async fn keep_bytes(self, name: &str, bytes: &[u8], problems: Vec<Problem>) -> Opened {
        let why = problems.first().map_or("unknown", |problem| problem.code);
        let kept = self.store().put_inbox(InboxNew { name, why, at: &clock::now(), bytes }).await;
        match kept {
            Ok(_) => {
                self.refresh_inbox().await;
                Opened::Kept { name: name.to_string(), problems }
            }
            Err(trouble) => Opened::Refused(crate::speak::browser_trouble(&trouble)),
        }
    }

    /// Reads the inbox again.
    pub async fn refresh_inbox(self) {
        match self.store().list_inbox().await {
            Ok(rows) => self.inbox.set(rows),
            Err(trouble) => self.say(&trouble),
        }
    }

    /// Takes the entries of a file into the store: the union with what is here already, as far as the store has a place for
    /// each. Answers which entry numbers of a device are taken by another entry: the file's one is left in the inbox.
    async fn take_in(self, journal: &Journal) -> Result<Vec<Problem>, String> {
        let id = journal.job().to_string();
        let say = |trouble: Trouble| crate::speak::browser_trouble(&trouble);
        let stored = self.store().load_job(&id).await.map_err(say)?.unwrap_or(StoredJob {
            row: None,
            entries: Vec::new(),
            damaged: Vec::new(),
        });
        let (here, _) = job::journal_of(journal.job(), &stored);
        let revision = stored.row.as_ref().map_or(0, |row| row.revision);
        let mut taken: BTreeSet<_> = here.entries().iter().map(|entry| (entry.device(), entry.n())).collect();
        let mut left_out = Vec::new();
        let mut new: Vec<Entry> = Vec::new();
        for entry in journal.entries().iter().filter(|entry| here.get(entry.hash()).is_none()) {
            if taken.insert((entry.device(), entry.n())) {
                new.push((**entry).clone());
            } else {
                let path = format!("{} {}", entry.device(), entry.n());
                left_out.push(Problem::new(jobfile::code::CHAIN_FORK, path, "2", "1"));
            }
        }
        if !new.is_empty() {
            let rows = new.iter().map(job::row_of).collect();
            let all = here.entries().iter().map(|entry| (**entry).clone()).chain(new);
            // A file that was cut or damaged may have gaps: what it lacks is told where the job is shown.
            let (grown, _) = Journal::from_entries(journal.job(), all);
            self.save_grown(grown, revision, rows).await.map_err(say)?;
        }
        self.refresh_jobs().await;
        self.job.set(JobState::None);
        Ok(left_out)
    }

    /// Hands back the bytes of something in the inbox, as a download.
    pub async fn export_inbox(self, id: u32, name: String) {
        match self.store().inbox_bytes(id).await {
            Ok(Some(bytes)) => {
                if let Err(trouble) = files::download(&name, "application/octet-stream", &bytes) {
                    self.say(&trouble);
                }
            }
            Ok(None) => self.refresh_inbox().await,
            Err(trouble) => self.say(&trouble),
        }
    }

    /// Drops something from the inbox: only a person does.
    pub async fn drop_inbox(self, id: u32) {
        if let Err(trouble) = self.store().drop_inbox(id).await {
            self.say(&trouble);
        }
        self.refresh_inbox().await;
    }
}
