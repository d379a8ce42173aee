//! What procedure asks of the folded log, in one place: one value of a slot, all that happened, readings as numbers.

use crate::now::Moment;
use jobfile::sorting::sort_by_key;
use jobfile::{Fields, Fold, Hash, Live};
use metering::decimal::Decimal;

/// The three elements of a 4-wire wye meter.
pub(crate) const ELEMENTS: [&str; 3] = ["A", "B", "C"];

/// A folded log, to ask.
#[derive(Clone, Copy)]
pub(crate) struct Facts<'a> {
    fold: &'a Fold,
}

/// One live entry.
#[derive(Clone, Copy)]
pub(crate) struct Row<'a> {
    /// What counts now.
    live: &'a Live,
    /// The first entry that it corrects, or itself: when and in which order it stands.
    first: &'a Live,
}

impl<'a> Facts<'a> {
    pub fn new(fold: &'a Fold) -> Self {
        Self { fold }
    }

    /// The one value of a slot; `None` where nothing is written down, and where two values stand in conflict.
    pub fn one(&self, kind: &str, place: &str) -> Option<Row<'a>> {
        self.fold.one(kind, place).map(|live| self.row(live))
    }

    /// Every live entry of a kind, in the order of the log.
    pub fn each(&self, kind: &str) -> Vec<Row<'a>> {
        let mut rows: Vec<Row<'a>> = self.fold.all(kind).into_iter().map(|live| self.row(live)).collect();
        sort_by_key(&mut rows, Row::order);
        rows
    }

    /// Every live entry of one slot, in the order of the log.
    pub fn each_at(&self, kind: &str, place: &str) -> Vec<Row<'a>> {
        let mut rows: Vec<Row<'a>> = self.fold.live(kind, place).into_iter().map(|live| self.row(live)).collect();
        sort_by_key(&mut rows, Row::order);
        rows
    }

    /// Whether a choice is made in this way.
    pub fn is(&self, kind: &str, place: &str, field: &str, code: &str) -> bool {
        self.one(kind, place).is_some_and(|row| row.is(field, code))
    }

    /// A decimal field of the readings of A, B and C.
    pub fn readings(&self, stage: &str, field: &str) -> [Option<f64>; 3] {
        ELEMENTS.map(|element| self.one("reading", &format!("{stage}/{element}"))?.number(field))
    }

    /// Registers at a place such as `outgoing/final`: code and entry, in the order of their codes.
    pub fn registers(&self, place: &str) -> Vec<(&'a str, Row<'a>)> {
        let mut registers: Vec<(&str, Row)> = self
            .each("register")
            .into_iter()
            .filter_map(|row| {
                let code = row.place().strip_prefix(place)?.strip_prefix('/')?;
                Some((code, self.one("register", row.place())?))
            })
            .collect();
        sort_by_key(&mut registers, |(code, _)| *code);
        registers.dedup_by_key(|(code, _)| *code);
        registers
    }

    /// Positions that want a seal when the work is done: each where one was found, broken or missing.
    pub fn seals_wanted(&self) -> Vec<&'a str> {
        let mut positions: Vec<&str> =
            self.each("seal").into_iter().filter_map(|row| row.place().strip_prefix("found/")).collect();
        sort_by_key(&mut positions, |position| *position);
        positions.dedup();
        positions
    }

    /// A correction stands where the entry stood that it corrects, as a number struck through on paper and written anew.
    fn row(&self, live: &'a Live) -> Row<'a> {
        let mut first = live;
        while let Some(before) = first.replaces.and_then(|hash| self.fold.find(hash)) {
            // Chains only lead back: a file that says otherwise is not followed in a circle.
            if before.entry.order >= first.order {
                break;
            }
            first = &before.entry;
        }
        Row { live, first }
    }
}

/// Slots with several values that wait for a person to choose: kind and place.
pub(crate) fn conflicts(fold: &Fold) -> Vec<(String, String)> {
    fold.conflicts().into_iter().map(|(kind, place, _)| (kind.to_owned(), place.to_owned())).collect()
}

impl<'a> Row<'a> {
    pub fn fields(&self) -> &'a Fields {
        &self.live.fields
    }
    pub fn place(&self) -> &'a str {
        &self.live.place
    }
    pub fn kind(&self) -> &'a str {
        &self.live.kind
    }
    pub fn hash(&self) -> Hash {
        self.live.hash
    }

    /// Its place in the order of the log: that of the first entry which it corrects.
    pub fn order(&self) -> usize {
        self.first.order
    }

    /// The place where it was itself written.
    pub fn written_order(&self) -> usize {
        self.live.order
    }

    /// A text, or the code of a choice.
    pub fn text(&self, field: &str) -> Option<&'a str> {
        self.live.fields.text(field)
    }

    /// Whether a choice is made in this way.
    pub fn is(&self, field: &str, code: &str) -> bool {
        self.live.fields.is(field, code)
    }

    /// A decimal, exact.
    pub fn decimal(&self, field: &str) -> Option<Decimal> {
        Decimal::parse(self.live.fields.value_text(field)?).ok()
    }

    /// A decimal as `f64`: what an instrument measured.
    pub fn number(&self, field: &str) -> Option<f64> {
        self.decimal(field).map(Decimal::to_f64)
    }

    /// A stated time, in milliseconds.
    pub fn time_ms(&self, field: &str) -> Option<i64> {
        self.live.fields.time(field).map(|at| at.timestamp_millis())
    }

    /// When it was done: as stated, else as first entered.
    pub fn moment(&self) -> Moment {
        self.moment_of(self.first)
    }

    /// When it was done, for an entry that repeats an earlier one instead of correcting it.
    pub fn written_moment(&self) -> Moment {
        self.moment_of(self.live)
    }

    fn moment_of(&self, entry: &Live) -> Moment {
        let stated = self.time_ms("done_at");
        Moment {
            at_ms: stated.unwrap_or_else(|| entry.at.timestamp_millis()),
            stated: stated.is_some(),
            session: entry.session.clone(),
            since_start_ms: entry.since_start_ms,
            order: entry.order,
        }
    }
}
