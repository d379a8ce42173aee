//! What a file holds that a tidy one would not: counted by code, the first of each with row and finding.

/// Findings kept of each kind; the rest is only counted.
const MOST_KEPT: usize = 5;
/// Longest finding that is kept, in bytes.
const MOST_BYTES: usize = 80;

/// One kind of oddity.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// Lines without anything; skipped.
    EmptyLine,
    /// A row with fewer columns than the layout names; left out.
    FewColumns,
    /// A time that cannot be read as the layout says; the row is left out.
    UnreadableTime,
    /// A time of an hour that the clock left out; the row is left out.
    TimeThatNeverWas,
    /// A time of an hour that came twice; taken for the first, or for the second where the first has passed.
    RepeatedHour,
    /// A midnight printed under the date of the day that it ends; taken as the end of that day.
    MidnightUnderOldDate,
    /// A time that was there already; the row is left out.
    SameTimeAgain,
    /// A time before the one above; the row is left out.
    TimeBackwards,
    /// A time between two intervals; the row is left out.
    OffGrid,
    /// A time that no profile reaches; the row is left out.
    TimeBeyond,
    /// Intervals without a row: a gap.
    MissingRows,
    /// A gap of 300 days or more: perhaps a wrong year.
    LongJump,
    /// A value that is empty or a word for missing (`nan`, `null`, `-`): a gap.
    MissingValue,
    /// A value that is no number: a gap.
    UnreadableValue,
    /// A value that may hold a separator of thousands: a gap, for it could be read two ways.
    ThousandsSeparator,
    /// A value below 0: taken as it is; perhaps energy received, which has a channel of its own.
    Negative,
    /// A number beyond any size: a gap.
    TooLarge,
    /// A row that the reader of separated values refuses; reading ends there.
    Broken,
}

impl Kind {
    /// Every kind.
    pub const ALL: [Self; 18] = [
        Self::EmptyLine,
        Self::FewColumns,
        Self::UnreadableTime,
        Self::TimeThatNeverWas,
        Self::RepeatedHour,
        Self::MidnightUnderOldDate,
        Self::SameTimeAgain,
        Self::TimeBackwards,
        Self::OffGrid,
        Self::TimeBeyond,
        Self::MissingRows,
        Self::LongJump,
        Self::MissingValue,
        Self::UnreadableValue,
        Self::ThousandsSeparator,
        Self::Negative,
        Self::TooLarge,
        Self::Broken,
    ];

    /// Stable code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::EmptyLine => "row.empty",
            Self::FewColumns => "row.few_columns",
            Self::UnreadableTime => "time.unreadable",
            Self::TimeThatNeverWas => "time.never_was",
            Self::RepeatedHour => "time.repeated_hour",
            Self::MidnightUnderOldDate => "time.midnight_old_date",
            Self::SameTimeAgain => "time.again",
            Self::TimeBackwards => "time.backwards",
            Self::OffGrid => "time.off_grid",
            Self::TimeBeyond => "time.beyond",
            Self::MissingRows => "time.missing_rows",
            Self::LongJump => "time.long_jump",
            Self::MissingValue => "value.missing",
            Self::UnreadableValue => "value.unreadable",
            Self::ThousandsSeparator => "value.thousands",
            Self::Negative => "value.negative",
            Self::TooLarge => "value.too_large",
            Self::Broken => "row.broken",
        }
    }
}

/// One finding.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Found {
    /// Line of the file, the first being 1.
    pub line: u64,
    /// What stands there, cut to a few words.
    pub text: String,
}

/// All findings of one kind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Oddity {
    /// Which kind.
    pub kind: Kind,
    /// How often; intervals for a gap, lines or rows otherwise.
    pub count: u64,
    /// The first few.
    pub first: Vec<Found>,
}

/// Everything odd about a file, in the order of first meeting.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Oddities(Vec<Oddity>);

impl Oddities {
    pub(crate) fn note(&mut self, kind: Kind, count: u64, line: u64, text: &[u8]) {
        let at = self.0.iter().position(|oddity| oddity.kind == kind).unwrap_or_else(|| {
            self.0.push(Oddity { kind, count: 0, first: Vec::new() });
            self.0.len() - 1
        });
        let Some(oddity) = self.0.get_mut(at) else { return };
        oddity.count = oddity.count.saturating_add(count);
        if oddity.first.len() < MOST_KEPT {
            let text = String::from_utf8_lossy(text.get(..MOST_BYTES).unwrap_or(text)).into_owned();
            oddity.first.push(Found { line, text });
        }
    }

    /// Every kind that was met.
    pub fn all(&self) -> &[Oddity] {
        &self.0
    }

    /// How often a kind was met.
    pub fn count(&self, kind: Kind) -> u64 {
        self.0.iter().find(|oddity| oddity.kind == kind).map_or(0, |oddity| oddity.count)
    }

    /// Whether the file is tidy.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}
