//! The sentinel: what the store held when this page last looked, kept elsewhere, so that an emptied store is noticed.

use super::keeper;
use crate::Trouble;
use serde::{Deserialize, Serialize};

const KEY: &str = "sentinel";

/// What the store held.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Sentinel {
    /// How many jobs.
    pub jobs: u32,
    /// One hash over the roots of all jobs.
    pub root: String,
}

/// What the sentinel says of the store as it is now.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// As it was.
    Same,
    /// Nothing was known of a store here.
    FirstTime,
    /// There were jobs, and now there is none.
    Emptied {
        /// How many there were.
        jobs: u32,
    },
    /// There are fewer jobs than there were.
    Fewer {
        /// How many there were.
        jobs: u32,
    },
    /// Not fewer jobs, though other content: the page ended between the save and this note, or another tab saved.
    Differs,
}

impl Sentinel {
    /// Compares what is known with what is found.
    pub fn judge(known: Option<&Self>, jobs_now: u32, root_now: &str) -> Verdict {
        match known {
            None => Verdict::FirstTime,
            Some(known) if known.jobs > 0 && jobs_now == 0 => Verdict::Emptied { jobs: known.jobs },
            Some(known) if known.jobs > jobs_now => Verdict::Fewer { jobs: known.jobs },
            Some(known) if known.jobs == jobs_now && known.root == root_now => Verdict::Same,
            Some(_) => Verdict::Differs,
        }
    }
}

/// What the store held when last noted.
pub fn load() -> Result<Option<Sentinel>, Trouble> {
    keeper::read(KEY)
}

/// Notes what the store holds. Not before the person was told of a loss, else the loss is forgotten.
pub fn save(sentinel: &Sentinel) -> Result<(), Trouble> {
    keeper::write(KEY, sentinel)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_verdict_is_given_for_its_case_only() {
        let known = Sentinel { jobs: 3, root: "r3".into() };
        for (jobs, root, verdict) in [
            (3, "r3", Verdict::Same),
            (3, "r4", Verdict::Differs),
            (4, "r4", Verdict::Differs),
            (2, "r2", Verdict::Fewer { jobs: 3 }),
            (0, "r0", Verdict::Emptied { jobs: 3 }),
        ] {
            assert_eq!(Sentinel::judge(Some(&known), jobs, root), verdict);
        }
        assert_eq!(Sentinel::judge(None, 0, "r0"), Verdict::FirstTime);
        let empty = Sentinel { jobs: 0, root: "r0".into() };
        assert_eq!(Sentinel::judge(Some(&empty), 0, "r0"), Verdict::Same);
    }
}
