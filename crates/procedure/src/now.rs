//! The present, as handed in by the caller: procedure asks no clock.

/// The present moment of the device that asks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Now {
    /// Wall clock, milliseconds since 1970-01-01 UTC.
    pub at_ms: i64,
    /// Name of the run of the program, as stamped on entries.
    pub session: String,
    /// Milliseconds since that run started.
    pub since_start_ms: u64,
}

/// When something was done, and how well that is known.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Moment {
    /// When it was done, milliseconds since 1970-01-01 UTC: as stated, else as entered.
    pub at_ms: i64,
    /// Whether a person stated it.
    pub stated: bool,
    /// Run of the program in which it was entered.
    pub session: String,
    /// Milliseconds since that run started, at entering.
    pub since_start_ms: u64,
    /// Its place in the order of the log.
    pub order: usize,
}

impl Moment {
    /// Whether this came before `other`: by the stated times where they differ, else by the order of the log.
    pub fn is_before(&self, other: &Self) -> bool {
        if self.stated && other.stated && self.at_ms != other.at_ms {
            self.at_ms < other.at_ms
        } else {
            self.order < other.order
        }
    }
}

impl From<&Now> for Moment {
    fn from(now: &Now) -> Self {
        Self {
            at_ms: now.at_ms,
            stated: false,
            session: now.session.clone(),
            since_start_ms: now.since_start_ms,
            order: usize::MAX,
        }
    }
}
