//! A screen is a plain machine: messages go in; new state and wishes come out as values that a test can inspect.

use jobfile::Draft;

/// The moment a message arrives, as the phone's clock tells it.
#[derive(Clone, Debug, PartialEq)]
pub struct Now {
    /// RFC 3339 with the phone's offset.
    pub at: chrono::DateTime<chrono::FixedOffset>,
    /// Milliseconds since the page was started; it does not jump with the clock.
    pub since_start_ms: u64,
    /// This run of the page.
    pub session: String,
}

/// What a screen asks the world to do.
#[derive(Clone, Debug, PartialEq)]
pub enum Wish {
    /// Write these down in the job at hand, as one action.
    Record {
        /// What is written.
        drafts: Vec<Draft>,
        /// Comes back with the reply, so that a stale reply is dropped.
        question: u32,
    },
    /// Begin a job with these entries.
    Begin {
        /// What is written first.
        drafts: Vec<Draft>,
        /// Comes back with the reply.
        question: u32,
    },
    /// Keep unfinished input under a key until its entry has been read back.
    Keep {
        /// Which input.
        key: String,
        /// Its texts, by input.
        texts: Vec<(String, String)>,
    },
    /// The unfinished input under this key is no longer needed.
    Forget(String),
    /// Bring the input of this element id into view and focus.
    Focus(String),
}

/// What the world answers.
#[derive(Clone, Debug, PartialEq)]
pub enum Reply {
    /// Stored on this device and read back.
    Recorded {
        /// The number of the question.
        question: u32,
        /// Nothing, or the sentence that says why not.
        result: Result<(), String>,
    },
}

/// What every screen's state is.
pub trait Machine: 'static {
    /// What can happen to it.
    type Msg: From<Reply> + 'static;

    /// Takes one message in.
    fn update(&mut self, msg: Self::Msg, now: &Now) -> Vec<Wish>;
}
