//! Everything that can go wrong between this program and the browser, as facts with a stable code.

use std::fmt;

/// What the browser refused, lost or did not have. One variant for each thing a caller could do differently.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Trouble {
    /// This browser has no window: the code runs outside a page.
    NoPage,
    /// This browser offers no secure random numbers.
    NoRandom,
    /// This browser has no IndexedDB, or has it switched off.
    StoreAbsent,
    /// The store could not be opened.
    StoreNotOpened {
        /// The browser's name for the failure.
        name: String,
        /// The browser's own words, for the log.
        message: String,
    },
    /// Another tab holds the store and did not give way.
    StoreBlocked,
    /// The store was written by a newer version of this program.
    StoreNewer,
    /// The store was there when this page opened it, and is gone: someone or something emptied it.
    StoreEmptied,
    /// The connection to the store was lost, and opening it once more did not help.
    StoreClosed,
    /// The store gave no answer in time. Whether anything was written is not known.
    StoreSilent {
        /// What was being done.
        doing: &'static str,
        /// How long was waited.
        waited_ms: u32,
    },
    /// There is no room left on this device. Nothing of this action was written.
    StoreFull,
    /// Another entry already stands at this number: another tab wrote it. Nothing of this action was written.
    AlreadyThere {
        /// The job.
        job: String,
        /// The device whose chain it is.
        device: String,
        /// The number in that chain.
        n: u64,
    },
    /// The job was changed since it was loaded. Nothing of this action was written.
    ChangedElsewhere {
        /// The job.
        job: String,
        /// The revision the change was made from.
        expected: u64,
        /// The revision found in the store; 0 when the job is not there.
        found: u64,
    },
    /// The store said it had written, and what was read back differs or is missing.
    NotReadBack {
        /// Which object store.
        place: &'static str,
        /// The key that was read.
        key: String,
    },
    /// Something in the store has not the shape this program writes.
    StoreUnreadable {
        /// Which object store.
        place: &'static str,
        /// What was missing or of the wrong type.
        lacks: &'static str,
    },
    /// A number is too large for the store to keep exactly.
    NumberTooLarge {
        /// The number.
        found: u64,
    },
    /// The store failed in some other way.
    StoreFailed {
        /// What was being done.
        doing: &'static str,
        /// The browser's name for the failure.
        name: String,
        /// The browser's own words, for the log.
        message: String,
    },
    /// This browser has no small storage for settings and drafts, or has it switched off.
    SettingsAbsent,
    /// The small storage has no room left.
    SettingsFull {
        /// The key that was being written.
        key: String,
    },
    /// A setting could not be read. Its text is kept; `None` when there was no room to move it, so it stays in place.
    SettingUnreadable {
        /// The key.
        key: String,
        /// The key its text now stands under.
        kept_as: Option<String>,
    },
    /// A setting was written, and what was read back differs.
    SettingNotKept {
        /// The key.
        key: String,
    },
    /// This browser cannot keep two tabs from working on one job.
    LocksAbsent,
    /// The lock was refused.
    LockFailed {
        /// The browser's own words, for the log.
        message: String,
    },
    /// This browser cannot send messages between tabs.
    ChannelAbsent,
    /// A message to the other tabs could not be sent.
    ChannelFailed {
        /// The browser's own words, for the log.
        message: String,
    },
    /// This browser cannot keep the screen on.
    WakeAbsent,
    /// The browser would not keep the screen on, for instance because the battery is low.
    WakeRefused,
    /// A file is larger than this program opens.
    FileTooLarge {
        /// The file's name.
        name: String,
        /// Its size.
        size_bytes: u64,
        /// The most that is opened.
        most_bytes: u64,
    },
    /// A file could not be read.
    FileNotRead {
        /// The file's name.
        name: String,
        /// The browser's own words, for the log.
        message: String,
    },
    /// A file could not be handed to the browser for download.
    FileNotHanded {
        /// The file's name.
        name: String,
    },
    /// This browser cannot share files.
    ShareAbsent,
    /// Sharing failed.
    ShareFailed {
        /// The browser's name for the failure.
        name: String,
    },
    /// The text could not be copied.
    NotCopied,
    /// This browser cannot say whether it keeps the store, or how much room there is.
    PersistAbsent,
}

impl Trouble {
    /// Every code, in the order of the variants. Codes are never reused.
    pub const CODES: &'static [&'static str] = &[
        "no-page",
        "no-random",
        "store-absent",
        "store-not-opened",
        "store-blocked",
        "store-newer",
        "store-emptied",
        "store-closed",
        "store-silent",
        "store-full",
        "already-there",
        "changed-elsewhere",
        "not-read-back",
        "store-unreadable",
        "number-too-large",
        "store-failed",
        "settings-absent",
        "settings-full",
        "setting-unreadable",
        "setting-not-kept",
        "locks-absent",
        "lock-failed",
        "channel-absent",
        "channel-failed",
        "wake-absent",
        "wake-refused",
        "file-too-large",
        "file-not-read",
        "file-not-handed",
        "share-absent",
        "share-failed",
        "not-copied",
        "persist-absent",
    ];

    /// The stable code that a sentence is found by.
    pub fn code(&self) -> &'static str {
        match self {
            Self::NoPage => "no-page",
            Self::NoRandom => "no-random",
            Self::StoreAbsent => "store-absent",
            Self::StoreNotOpened { .. } => "store-not-opened",
            Self::StoreBlocked => "store-blocked",
            Self::StoreNewer => "store-newer",
            Self::StoreEmptied => "store-emptied",
            Self::StoreClosed => "store-closed",
            Self::StoreSilent { .. } => "store-silent",
            Self::StoreFull => "store-full",
            Self::AlreadyThere { .. } => "already-there",
            Self::ChangedElsewhere { .. } => "changed-elsewhere",
            Self::NotReadBack { .. } => "not-read-back",
            Self::StoreUnreadable { .. } => "store-unreadable",
            Self::NumberTooLarge { .. } => "number-too-large",
            Self::StoreFailed { .. } => "store-failed",
            Self::SettingsAbsent => "settings-absent",
            Self::SettingsFull { .. } => "settings-full",
            Self::SettingUnreadable { .. } => "setting-unreadable",
            Self::SettingNotKept { .. } => "setting-not-kept",
            Self::LocksAbsent => "locks-absent",
            Self::LockFailed { .. } => "lock-failed",
            Self::ChannelAbsent => "channel-absent",
            Self::ChannelFailed { .. } => "channel-failed",
            Self::WakeAbsent => "wake-absent",
            Self::WakeRefused => "wake-refused",
            Self::FileTooLarge { .. } => "file-too-large",
            Self::FileNotRead { .. } => "file-not-read",
            Self::FileNotHanded { .. } => "file-not-handed",
            Self::ShareAbsent => "share-absent",
            Self::ShareFailed { .. } => "share-failed",
            Self::NotCopied => "not-copied",
            Self::PersistAbsent => "persist-absent",
        }
    }

    /// The facts a sentence may name, by the name it knows them under.
    pub fn facts(&self) -> Vec<(&'static str, String)> {
        match self {
            Self::StoreNotOpened { name, .. } | Self::StoreFailed { name, .. } | Self::ShareFailed { name } => {
                vec![("name", name.clone())]
            }
            Self::StoreSilent { waited_ms, .. } => vec![("waited-s", waited_ms.div_ceil(1000).to_string())],
            Self::AlreadyThere { job, device, n } => {
                vec![("job", job.clone()), ("device", device.clone()), ("n", n.to_string())]
            }
            Self::ChangedElsewhere { job, expected, found } => {
                vec![("job", job.clone()), ("expected", expected.to_string()), ("found", found.to_string())]
            }
            Self::NotReadBack { place, key } => vec![("place", (*place).to_owned()), ("key", key.clone())],
            Self::StoreUnreadable { place, lacks } => {
                vec![("place", (*place).to_owned()), ("lacks", (*lacks).to_owned())]
            }
            Self::NumberTooLarge { found } => vec![("found", found.to_string())],
            Self::SettingsFull { key } | Self::SettingNotKept { key } => vec![("key", key.clone())],
            Self::SettingUnreadable { key, kept_as } => {
                vec![("key", key.clone()), ("kept-as", kept_as.clone().unwrap_or_else(|| key.clone()))]
            }
            Self::FileTooLarge { name, size_bytes, most_bytes } => vec![
                ("name", name.clone()),
                ("size-mib", size_bytes.div_ceil(MIB).to_string()),
                ("most-mib", (most_bytes / MIB).to_string()),
            ],
            Self::FileNotRead { name, .. } | Self::FileNotHanded { name } => vec![("name", name.clone())],
            _ => Vec::new(),
        }
    }

    /// Whether it is certain that nothing of the action was written.
    pub fn wrote_nothing(&self) -> bool {
        matches!(self, Self::StoreFull | Self::AlreadyThere { .. } | Self::ChangedElsewhere { .. })
    }
}

const MIB: u64 = 1024 * 1024;

impl fmt::Display for Trouble {
    /// For logs and tests; people read the sentence found by [`Trouble::code`].
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}: {self:?}", self.code())
    }
}

impl std::error::Error for Trouble {}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn codes_are_distinct_and_fit_a_sentence_id() {
        let distinct: BTreeSet<_> = Trouble::CODES.iter().collect();
        assert_eq!(distinct.len(), Trouble::CODES.len());
        for code in Trouble::CODES {
            assert!(code.chars().all(|c| c.is_ascii_lowercase() || c == '-'), "{code}");
        }
    }

    #[test]
    fn a_size_is_never_told_smaller_than_it_is() {
        let most_bytes = 64 * MIB;
        let trouble = Trouble::FileTooLarge { name: "a".into(), size_bytes: most_bytes + 1, most_bytes };
        assert_eq!(trouble.facts()[1], ("size-mib", "65".to_owned()));
        assert_eq!(trouble.facts()[2], ("most-mib", "64".to_owned()));
    }
}
