//! The group as a machine: what is typed, what is wrong with it, what is written down, what is corrected.

use super::layout;
use crate::machine::{Machine, Now, Reply, Wish};
use jobfile::kinds::{self, Field, Holds, Keeps, Kind, Need};
use jobfile::typed::{self, Complaint, Context};
use jobfile::{Draft, Fold, Hash, What};
use serde_json::Value;

/// One input of a record.
#[derive(Clone, Debug)]
pub struct Row {
    /// What it holds.
    pub field: &'static Field,
    /// As typed; a choice holds its code.
    pub text: String,
    /// The hand has left it, so a complaint may be shown.
    pub left: bool,
    /// The large button has led to it, so a complaint may be shown though it is blank.
    pub asked: bool,
    /// What the person said the text means, where it could mean two things.
    pub meant: Option<Value>,
}

/// What a text amounts to.
#[derive(Clone, Debug, PartialEq)]
pub enum Verdict {
    /// Nothing there.
    Blank,
    /// A value, ready to be written down.
    Good(Value),
    /// Something else than is wanted.
    Wrong(Complaint),
}

/// What is written down already.
#[derive(Clone, Debug)]
pub struct Written {
    /// The entry.
    pub hash: Hash,
    /// Its fields.
    pub fields: Vec<(&'static Field, Value)>,
    /// Who wrote it, and when, as the log says.
    pub by: String,
    /// When it was entered.
    pub at: String,
}

/// One kind at one place.
#[derive(Clone, Debug)]
pub struct Record {
    /// What kind of thing.
    pub kind: &'static Kind,
    /// Which one of several.
    pub place: String,
    /// The group cannot be written down without it.
    pub needed: bool,
    /// What it is called here, where its kind and place say too much.
    pub title: Option<&'static str>,
    /// Its inputs, in the order of the kind.
    pub rows: Vec<Row>,
    /// What is written down already.
    pub written: Option<Written>,
    /// Two hands wrote different things and nobody has chosen.
    pub conflict: bool,
    /// A correction is being made.
    pub correcting: bool,
    /// Why it is corrected.
    pub reason: Row,
    /// Another value was written down while a hand was at this one, which is kept as a correction to be made or left.
    pub overtaken: bool,
    /// A hand has been at it since it was last written down.
    handled: bool,
}

/// How saving stands.
#[derive(Clone, Debug, PartialEq)]
pub enum Status {
    /// Nothing asked.
    Idle,
    /// Asked, not answered yet.
    Saving,
    /// Stored and read back.
    Saved,
    /// Not stored: the sentence that says why.
    Failed(String),
}

/// A group of records.
#[derive(Clone, Debug)]
pub struct GroupState {
    /// Key of its unfinished input.
    pub key: String,
    /// The records, in the order they are filled in.
    pub records: Vec<Record>,
    /// How saving stands.
    pub status: Status,
    /// Writing it down begins a job.
    pub begins: bool,
    question: u32,
    context: Context,
}

/// What can happen to a group.
#[derive(Clone, Debug)]
pub enum Msg {
    /// A text changed.
    Typed(usize, usize, String),
    /// The hand left an input.
    Left(usize, usize),
    /// Of two things a text could mean, this one was meant.
    Meant(usize, usize, Value),
    /// A choice was tapped; tapped again, it is taken back.
    Chosen(usize, usize, &'static str),
    /// Fill every other record of the same kind like this one, except what is its own (serial numbers).
    LikeRest(usize),
    /// Fill the usual answers into the blanks of this record.
    Usual(usize),
    /// Put the present time into a time input.
    TimeNow(usize, usize),
    /// Begin to correct what is written down.
    Correct(usize),
    /// Leave it as it is written.
    Keep(usize),
    /// The reason of a correction changed.
    Reason(usize, String),
    /// Write it down.
    Save,
    /// The job log changed.
    Folded(Vec<(Option<Written>, bool)>),
    /// Unfinished input from an earlier run of the page.
    Restored(Vec<(String, String)>),
    /// The world answered.
    Replied(Reply),
}

impl From<Reply> for Msg {
    fn from(reply: Reply) -> Msg {
        Msg::Replied(reply)
    }
}

const WHY: Field = Field { id: "reason", holds: Holds::Text(400), need: Need::Must };

impl Record {
    /// An empty record; a kind that is not in the table gives none.
    pub fn new(kind: &str, place: &str, needed: bool) -> Option<Record> {
        let kind = kinds::find(kind)?;
        let rows = kind.fields.iter().filter(|field| !matches!(field.holds, Holds::Auto(_))).map(Row::blank).collect();
        let reason = Row::blank(&WHY);
        Some(Record {
            kind,
            place: place.to_string(),
            needed,
            title: None,
            rows,
            written: None,
            conflict: false,
            correcting: false,
            reason,
            overtaken: false,
            handled: false,
        })
    }

    /// Whether it can be typed into now.
    pub fn is_open(&self) -> bool {
        self.written.is_none() || self.correcting
    }

    /// Whether a hand has filled in this input, and not only what stands there beforehand.
    pub fn is_filled_in(&self, row: &Row) -> bool {
        !row.text.trim().is_empty()
            && layout::preset(self.kind.id, &self.place, row.field.id) != Some(row.text.as_str())
    }

    /// Whether nothing is typed.
    pub fn is_blank(&self) -> bool {
        !self.rows.iter().any(|row| self.is_filled_in(row))
    }

    /// Element id of an input.
    pub fn input_id(&self, field: &str) -> String {
        format!("{}-{}-{field}", self.kind.id, self.place.replace(['/', '.'], "-"))
    }

    /// Whether what stands in the inputs is something else than what was written down. Times are passed over: they are read
    /// against the clock.
    fn differs_from(&self, written: &Written, context: &Context) -> bool {
        self.rows.iter().filter(|row| !matches!(row.field.holds, Holds::Time)).any(|row| {
            let stands = written.fields.iter().find(|(field, _)| field.id == row.field.id).map(|(_, value)| value);
            match row.verdict(context) {
                Verdict::Blank => stands.is_some(),
                Verdict::Good(value) => stands != Some(&value),
                Verdict::Wrong(_) => true,
            }
        })
    }

    fn takes_part(&self) -> bool {
        self.is_open() && (self.needed || self.correcting || !self.is_blank())
    }

    /// Its texts: what is typed, or what is written down already.
    fn texts(&self) -> Vec<(&'static str, String)> {
        match self.written.as_ref().filter(|_| !self.correcting) {
            Some(written) => {
                written.fields.iter().map(|(field, value)| (field.id, typed::show_field(field, value))).collect()
            }
            None => self.rows.iter().map(|row| (row.field.id, row.text.clone())).collect(),
        }
    }

    fn draft(&self, context: &Context) -> Draft {
        let fields = self.rows.iter().filter_map(|row| match row.verdict(context) {
            Verdict::Good(value) => Some((row.field.id.to_string(), value)),
            _ => None,
        });
        let what = fields.fold(What::new(self.kind.id, &self.place), |what, (field, value)| what.with(&field, value));
        let written = self.written.as_ref().filter(|_| self.correcting);
        Draft {
            what,
            replaces: written.map(|written| written.hash),
            reason: written.map(|_| self.reason.text.trim().to_string()),
        }
    }
}

impl Row {
    fn blank(field: &'static Field) -> Row {
        Row { field, text: String::new(), left: false, asked: false, meant: None }
    }

    fn set(&mut self, text: String) {
        self.text = text;
        self.meant = None;
    }

    /// What the text amounts to.
    pub fn verdict(&self, context: &Context) -> Verdict {
        if self.text.trim().is_empty() {
            return Verdict::Blank;
        }
        if let Some(meant) = &self.meant {
            return Verdict::Good(meant.clone());
        }
        match typed::read_field(self.field, &self.text, context) {
            Ok(value) => Verdict::Good(value),
            Err(complaint) => Verdict::Wrong(complaint),
        }
    }
}

/// What a reader of typed text knows at this moment, with no habit of the person’s known.
#[cfg(test)]
pub fn context_at(now: &Now) -> Context {
    use jobfile::typed::{ClockStyle, NumberStyle};
    Context { now: now.at, number_style: NumberStyle::Unstated, clock_style: ClockStyle::TwentyFour }
}

/// What the log holds for each of these slots: the live value, and whether two stand against each other.
pub fn written(fold: &Fold, slots: &[(&'static str, String)]) -> Vec<(Option<Written>, bool)> {
    slots
        .iter()
        .map(|(kind, place)| {
            let live = fold.one(kind, place).map(|live| Written {
                hash: live.hash,
                fields: kinds::find(kind)
                    .map(|kind| {
                        kind.fields
                            .iter()
                            .filter_map(|field| live.fields.get(field.id).map(|value| (field, value.clone())))
                            .collect()
                    })
                    .unwrap_or_default(),
                by: live.who.clone(),
                at: jobfile::moment::write_time(live.at),
            });
            (live, fold.conflict(kind, place).is_some())
        })
        .collect()
}

impl GroupState {
    /// A group of these records (kind, place, needed), whose unfinished input is kept under `key`.
    pub fn new(key: impl Into<String>, records: &[(&'static str, &str, bool)], context: Context) -> GroupState {
        let mut records: Vec<Record> =
            records.iter().filter_map(|(kind, place, needed)| Record::new(kind, place, *needed)).collect();
        for record in &mut records {
            for row in &mut record.rows {
                if let Some(text) = layout::preset(record.kind.id, &record.place, row.field.id) {
                    row.text = text.to_string();
                }
            }
        }
        GroupState { key: key.into(), records, status: Status::Idle, begins: false, question: 0, context }
    }

    /// Leaves only these fields in the records of a kind.
    pub fn only(mut self, kind: &str, fields: &[&str]) -> GroupState {
        for record in self.records.iter_mut().filter(|record| record.kind.id == kind) {
            record.rows.retain(|row| fields.contains(&row.field.id));
        }
        self
    }

    /// What the records of a kind are called here.
    pub fn titled(mut self, kind: &str, title: &'static str) -> GroupState {
        for record in self.records.iter_mut().filter(|record| record.kind.id == kind) {
            record.title = Some(title);
        }
        self
    }

    /// Puts a text into an input before anything is typed, e.g. the name from this phone's settings.
    pub fn prefill(&mut self, kind: &str, field: &str, text: &str) {
        for record in self.records.iter_mut().filter(|record| record.kind.id == kind) {
            for row in record.rows.iter_mut().filter(|row| row.field.id == field && row.text.is_empty()) {
                row.text = text.to_string();
            }
        }
    }

    /// As [`Self::prefill`], for the record at one place.
    pub fn prefill_at(&mut self, kind: &str, place: &str, field: &str, text: &str) {
        for record in self.records.iter_mut().filter(|record| record.kind.id == kind && record.place == place) {
            for row in record.rows.iter_mut().filter(|row| row.field.id == field && row.text.is_empty()) {
                row.text = text.to_string();
            }
        }
    }

    /// Its slots, for [`written`].
    pub fn slots(&self) -> Vec<(&'static str, String)> {
        self.records.iter().map(|record| (record.kind.id, record.place.clone())).collect()
    }

    /// Whether a hand has begun to fill it in.
    fn is_begun(&self) -> bool {
        self.records.iter().any(|record| record.is_open() && !record.is_blank())
    }

    /// What stands between the group and being written down: the first input that is blank though needed, or wrong. A time
    /// that is needed stands in the way of nothing: it is the time of writing down, unless it is stated.
    pub fn next_input(&self) -> Option<(usize, &'static str)> {
        let begun = self.is_begun();
        self.records.iter().enumerate().filter(|(_, record)| record.takes_part()).find_map(|(at, record)| {
            if record.correcting && !matches!(record.reason.verdict(&self.context), Verdict::Good(_)) {
                let edited = record.rows.iter().any(|row| matches!(row.verdict(&self.context), Verdict::Wrong(_)));
                if !edited {
                    return Some((at, "reason"));
                }
            }
            let wanting = record.rows.iter().find(|row| match row.verdict(&self.context) {
                Verdict::Blank => row.field.need == Need::Must && !(begun && matches!(row.field.holds, Holds::Time)),
                Verdict::Good(_) => false,
                Verdict::Wrong(_) => true,
            });
            wanting.map(|row| (at, row.field.id))
        })
    }

    /// Where the large button leads: to what stands in the way, or else to the first input that nobody has filled in.
    pub fn lead(&self) -> Option<(usize, &'static str)> {
        self.next_input().or_else(|| if self.has_input() { None } else { self.first_blank() })
    }

    fn first_blank(&self) -> Option<(usize, &'static str)> {
        self.records.iter().enumerate().filter(|(_, record)| record.is_open()).find_map(|(at, record)| {
            let blank = |row: &&Row| row.text.trim().is_empty();
            let must = record.rows.iter().filter(blank).find(|row| row.field.need == Need::Must);
            must.or_else(|| record.rows.iter().find(blank)).map(|row| (at, row.field.id))
        })
    }

    /// Whether there is anything to write down.
    pub fn has_input(&self) -> bool {
        self.records.iter().any(Record::takes_part)
    }

    /// Whether every record is written down.
    pub fn is_written(&self) -> bool {
        self.records.iter().all(|record| record.written.is_some() || !record.needed)
            && self.records.iter().any(|record| record.written.is_some())
    }

    /// The complaint to show beside an input, once the hand has left it.
    pub fn complaint(&self, record: usize, row: usize) -> Option<Complaint> {
        let row = self.records.get(record)?.rows.get(row)?;
        match row.verdict(&self.context) {
            Verdict::Wrong(complaint) if row.left => Some(complaint),
            Verdict::Blank if row.asked && row.field.need == Need::Must => self.said_of(row),
            _ => None,
        }
    }

    /// The complaint to show beside the reason of a correction.
    pub fn complaint_of_reason(&self, record: usize) -> Option<Complaint> {
        let reason = &self.records.get(record).filter(|record| record.correcting)?.reason;
        if reason.text.trim().is_empty() && !reason.asked { None } else { self.said_of(reason) }
    }

    fn said_of(&self, row: &Row) -> Option<Complaint> {
        typed::read_field(row.field, &row.text, &self.context).err()
    }

    /// The value as it was understood, in figures with its unit, where that says more than the text.
    pub fn echo(&self, record: usize, row: usize) -> Option<String> {
        let row = self.records.get(record)?.rows.get(row)?;
        if matches!(row.field.holds, Holds::Text(_) | Holds::Choice(_)) {
            return None;
        }
        match row.verdict(&self.context) {
            Verdict::Good(value) => Some(typed::echo(row.field, &value)).filter(|echo| echo != row.text.trim()),
            _ => None,
        }
    }

    fn row(&mut self, record: usize, row: usize) -> Option<&mut Row> {
        self.records.get_mut(record)?.rows.get_mut(row)
    }

    fn keep(&self) -> Vec<Wish> {
        let mut texts = Vec::new();
        for record in self.records.iter().filter(|record| record.is_open()) {
            for row in record.rows.iter().filter(|row| !row.text.is_empty()) {
                texts.push((record.input_id(row.field.id), row.text.clone()));
            }
            if record.correcting {
                texts.push((record.input_id("reason"), record.reason.text.clone()));
            }
        }
        vec![Wish::Keep { key: self.key.clone(), texts }]
    }

    fn save(&mut self) -> Vec<Wish> {
        if self.status == Status::Saving {
            return vec![];
        }
        if let Some((at, field)) = self.lead() {
            let mut id = None;
            if let Some(record) = self.records.get_mut(at) {
                for row in &mut record.rows {
                    row.left = row.left || row.field.id == field;
                    row.asked = row.asked || row.field.id == field;
                }
                record.reason.asked = record.reason.asked || field == "reason";
                id = Some(record.input_id(field));
            }
            return id.map(Wish::Focus).into_iter().collect();
        }
        if !self.has_input() {
            return vec![];
        }
        self.question += 1;
        self.status = Status::Saving;
        let drafts = self
            .records
            .iter()
            .filter(|record| record.takes_part())
            .map(|record| record.draft(&self.context))
            .collect();
        let question = self.question;
        vec![if self.begins { Wish::Begin { drafts, question } } else { Wish::Record { drafts, question } }]
    }

    fn folded(&mut self, written: Vec<(Option<Written>, bool)>) {
        for (record, (live, conflict)) in self.records.iter_mut().zip(written) {
            let changed =
                record.written.as_ref().map(|written| written.hash) != live.as_ref().map(|written| written.hash);
            record.conflict = conflict;
            if let Some(news) = live.as_ref().filter(|_| changed) {
                record.overtaken = record.handled && record.is_open() && record.differs_from(news, &self.context);
                record.correcting = record.overtaken;
                record.handled = record.overtaken;
                if !record.overtaken {
                    record.reason.set(String::new());
                    record.reason.asked = false;
                }
            }
            record.written = live;
        }
    }

    fn restored(&mut self, texts: &[(String, String)]) {
        let find = |id: String| texts.iter().find(|(key, _)| *key == id).map(|(_, text)| text.clone());
        for record in &mut self.records {
            if let Some(text) = find(record.input_id("reason")).filter(|_| record.written.is_some()) {
                record.correcting = true;
                record.reason.text = text;
            }
            if record.is_open() {
                for at in 0..record.rows.len() {
                    let id = record.rows.get(at).map(|row| record.input_id(row.field.id)).unwrap_or_default();
                    if let (Some(text), Some(row)) = (find(id), record.rows.get_mut(at)) {
                        row.text = text;
                        record.handled = true;
                    }
                }
            }
        }
    }

    fn correct(&mut self, at: usize) {
        if let Some(record) = self.records.get_mut(at) {
            let Some(written) = &record.written else { return };
            for row in &mut record.rows {
                let value = written.fields.iter().find(|(field, _)| field.id == row.field.id);
                row.text = value.map(|(field, value)| typed::show_field(field, value)).unwrap_or_default();
                row.left = false;
            }
            record.correcting = true;
            record.handled = true;
        }
    }

    /// The other records of the same kind that can be typed into.
    pub fn alike(&self, at: usize) -> Vec<usize> {
        let Some(kind) = self.records.get(at).map(|record| record.kind.id) else { return Vec::new() };
        let others = self.records.iter().enumerate();
        others
            .filter(|(other, record)| *other != at && record.kind.id == kind && record.is_open())
            .map(|(other, _)| other)
            .collect()
    }

    fn like(&mut self, to: usize, from: usize) {
        let Some(texts) = self.records.get(from).map(Record::texts) else { return };
        if let Some(record) = self.records.get_mut(to) {
            for row in record.rows.iter_mut().filter(|row| !layout::is_its_own(row.field.id)) {
                if let Some((_, text)) = texts.iter().find(|(id, _)| *id == row.field.id) {
                    row.set(text.clone());
                }
            }
            record.handled = true;
        }
    }

    /// Whether angles are said to count leading positive.
    pub fn counts_leading(&self) -> bool {
        self.stands("reading_set", "convention") == Some("leading_positive")
    }

    fn stands(&self, kind: &str, field: &str) -> Option<&str> {
        let record = self.records.iter().find(|record| record.kind.id == kind)?;
        record.rows.iter().find(|row| row.field.id == field).map(|row| row.text.as_str())
    }

    /// Zero degrees stands beforehand at the volts that are the reference, and nowhere else.
    fn move_reference(&mut self) {
        let Some(letter) = self.stands("reading_set", "reference").and_then(|code| code.strip_prefix("volts_")) else {
            return;
        };
        let letter = letter.to_ascii_uppercase();
        for record in self.records.iter_mut().filter(|record| record.kind.id == "reading" && record.is_open()) {
            let is_reference = record.place.ends_with(letter.as_str());
            for row in record.rows.iter_mut().filter(|row| row.field.id == "volt_angle") {
                if is_reference && row.text.is_empty() {
                    row.set("0".to_string());
                } else if !is_reference && row.text == "0" {
                    row.set(String::new());
                }
            }
        }
    }

    fn usual(&mut self, at: usize) {
        if let Some(record) = self.records.get_mut(at) {
            for row in record.rows.iter_mut().filter(|row| row.text.is_empty()) {
                if let Some(code) = layout::usual(record.kind.id, row.field.id) {
                    row.text = code.to_string();
                }
            }
        }
    }

    /// Of kinds that are written one after the other, the inputs are empty again for the next one.
    fn begin_again(&mut self) {
        for record in self.records.iter_mut().filter(|record| record.kind.keeps == Keeps::All) {
            for row in &mut record.rows {
                row.set(layout::preset(record.kind.id, &record.place, row.field.id).unwrap_or_default().to_string());
                row.left = false;
            }
        }
    }

    /// A time that is needed and was not stated is the time of writing it down.
    fn fill_in_times(&mut self, now: &Now) {
        let text = clock_text(now);
        if !self.is_begun() {
            return;
        }
        for record in self.records.iter_mut().filter(|record| record.takes_part()) {
            let blank = |row: &&mut Row| {
                row.field.need == Need::Must && matches!(row.field.holds, Holds::Time) && row.text.trim().is_empty()
            };
            record.rows.iter_mut().filter(blank).for_each(|row| row.set(text.clone()));
        }
    }

    fn replied(&mut self, reply: Reply) -> Vec<Wish> {
        let Reply::Recorded { question, result } = reply;
        if question != self.question || self.status != Status::Saving {
            return vec![];
        }
        match result {
            Ok(()) => {
                self.status = Status::Saved;
                self.begin_again();
                vec![Wish::Forget(self.key.clone())]
            }
            Err(code) => {
                self.status = Status::Failed(code);
                vec![]
            }
        }
    }

    fn typed(&mut self, msg: Msg, now: &Now) {
        if let Msg::Typed(at, ..) | Msg::Meant(at, ..) | Msg::Chosen(at, ..) | Msg::TimeNow(at, ..) | Msg::Usual(at) =
            &msg
            && let Some(record) = self.records.get_mut(*at)
        {
            record.handled = true;
        }
        match msg {
            Msg::Typed(record, row, text) => {
                if let Some(row) = self.row(record, row) {
                    row.set(text);
                    row.left = false;
                }
            }
            Msg::Meant(record, row, value) => {
                if let Some(row) = self.row(record, row) {
                    row.meant = Some(value);
                }
            }
            Msg::Chosen(record, row, code) => {
                if let Some(row) = self.row(record, row) {
                    let text = if row.text == code { String::new() } else { code.to_string() };
                    row.set(text);
                }
                self.move_reference();
            }
            Msg::TimeNow(record, row) => {
                let text = clock_text(now);
                if let Some(row) = self.row(record, row) {
                    row.set(text);
                    row.left = true;
                }
            }
            Msg::Reason(record, text) => {
                if let Some(record) = self.records.get_mut(record) {
                    record.reason.text = text;
                }
            }
            Msg::LikeRest(from) => {
                for to in self.alike(from) {
                    self.like(to, from);
                }
            }
            Msg::Usual(record) => self.usual(record),
            Msg::Correct(record) => self.correct(record),
            Msg::Keep(record) => {
                if let Some(record) = self.records.get_mut(record) {
                    record.correcting = false;
                    record.overtaken = false;
                    record.handled = false;
                    record.reason.set(String::new());
                    record.reason.asked = false;
                }
            }
            Msg::Left(..) | Msg::Save | Msg::Folded(_) | Msg::Restored(_) | Msg::Replied(_) => {}
        }
        if self.status != Status::Saving {
            self.status = Status::Idle;
        }
    }
}

/// The time of day as a person types it, to the second.
fn clock_text(now: &Now) -> String {
    use chrono::Timelike;
    format!("{:02}:{:02}:{:02}", now.at.hour(), now.at.minute(), now.at.second())
}

impl Machine for GroupState {
    type Msg = Msg;

    fn update(&mut self, msg: Msg, now: &Now) -> Vec<Wish> {
        self.context = Context { now: now.at, ..self.context };
        match msg {
            Msg::Left(record, row) => {
                if let Some(row) = self.row(record, row) {
                    row.left = true;
                }
                vec![]
            }
            Msg::Save => {
                self.fill_in_times(now);
                self.save()
            }
            Msg::Folded(written) => {
                self.folded(written);
                vec![]
            }
            Msg::Restored(texts) => {
                self.restored(&texts);
                vec![]
            }
            Msg::Replied(reply) => self.replied(reply),
            other => {
                self.typed(other, now);
                self.keep()
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn now() -> Now {
        let at = jobfile::moment::read_time("2026-06-12T10:00:00+02:00").unwrap();
        Now { at, since_start_ms: 0, session: "s".into() }
    }

    fn group(records: &[(&'static str, &str, bool)]) -> GroupState {
        GroupState::new("test", records, context_at(&now()))
    }

    fn row_of(group: &GroupState, record: usize, field: &str) -> usize {
        group.records[record].rows.iter().position(|row| row.field.id == field).unwrap()
    }

    fn typed(group: &mut GroupState, record: usize, field: &str, text: &str) {
        let row = row_of(group, record, field);
        group.update(Msg::Typed(record, row, text.into()), &now());
    }

    fn recorded(wishes: &[Wish]) -> Vec<(String, u32)> {
        wishes
            .iter()
            .flat_map(|wish| match wish {
                Wish::Record { drafts, question } => {
                    drafts.iter().map(|draft| (draft.what.kind.clone(), *question)).collect()
                }
                _ => vec![],
            })
            .collect()
    }

    #[test]
    fn the_button_leads_to_what_is_missing_and_then_writes() {
        let mut group = group(&[("meter_plate", "incoming", true)]);
        assert_eq!(group.lead(), Some((0, "number")));
        assert_eq!(group.update(Msg::Save, &now()), vec![Wish::Focus("meter_plate-incoming-number".into())]);
        typed(&mut group, 0, "number", "L-9020");
        assert_eq!(group.lead(), Some((0, "ratios_inside")));
        let row = row_of(&group, 0, "ratios_inside");
        group.update(Msg::Chosen(0, row, "none"), &now());
        assert_eq!(group.lead(), None);
        assert_eq!(recorded(&group.update(Msg::Save, &now())), vec![("meter_plate".into(), 1)]);
        assert_eq!(group.status, Status::Saving);
    }

    #[test]
    fn nothing_typed_is_lost_by_a_complaint_or_a_failed_save() {
        let mut group = group(&[("reading", "as_found/A", true)]);
        typed(&mut group, 0, "volts", "a hundred and twenty");
        group.update(Msg::Save, &now());
        let row = row_of(&group, 0, "volts");
        assert_eq!(group.complaint(0, row).map(|complaint| complaint.code), Some("typed.not_a_number"));
        assert_eq!(group.records[0].rows[row].text, "a hundred and twenty");
        typed(&mut group, 0, "volts", "119.8");
        group.update(Msg::Save, &now());
        group.update(Msg::Replied(Reply::Recorded { question: 1, result: Err("no room".into()) }), &now());
        assert_eq!(group.status, Status::Failed("no room".into()));
        assert_eq!(group.records[0].rows[row].text, "119.8");
    }

    #[test]
    fn a_stale_reply_is_dropped() {
        let mut group = group(&[("note", "", true)]);
        typed(&mut group, 0, "text", "one");
        group.update(Msg::Save, &now());
        group.update(Msg::Replied(Reply::Recorded { question: 7, result: Ok(()) }), &now());
        assert_eq!(group.status, Status::Saving);
    }

    #[test]
    fn the_next_note_begins_empty() {
        let mut group = group(&[("note", "", true)]);
        typed(&mut group, 0, "text", "one");
        group.update(Msg::Save, &now());
        let wishes = group.update(Msg::Replied(Reply::Recorded { question: 1, result: Ok(()) }), &now());
        assert_eq!(wishes, vec![Wish::Forget("test".into())]);
        assert_eq!(group.records[0].rows[0].text, "");
    }

    #[test]
    fn a_time_that_is_needed_is_now_unless_it_is_stated() {
        let mut group =
            group(&[("register", "incoming/start/kwh_delivered", true), ("read_set", "incoming/start", true)]);
        group.update(Msg::Save, &now());
        let done_at = row_of(&group, 1, "done_at");
        assert_eq!(group.records[1].rows[done_at].text, "", "nothing is filled in before anything is read");
        typed(&mut group, 0, "value", "12");
        assert_eq!(group.lead(), None, "the button says save, not “enter a time”");
        group.update(Msg::Save, &now());
        assert_eq!(group.records[1].rows[done_at].text, "10:00:00");
    }

    #[test]
    fn the_rest_is_filled_in_alike_except_what_is_its_own() {
        let mut group =
            group(&[("ct_plate", "found/A", true), ("ct_plate", "found/B", true), ("ct_plate", "found/C", true)]);
        typed(&mut group, 0, "ratio", "200:5");
        typed(&mut group, 0, "serial", "77");
        group.update(Msg::LikeRest(0), &now());
        for at in [1, 2] {
            assert_eq!(group.records[at].rows[row_of(&group, at, "ratio")].text, "200:5");
            assert_eq!(group.records[at].rows[row_of(&group, at, "serial")].text, "");
        }
    }

    #[test]
    fn a_text_with_two_meanings_waits_for_the_one_that_was_meant() {
        let mut group = group(&[("register", "outgoing/early/kwh_delivered", true)]);
        typed(&mut group, 0, "value", "12,345");
        group.update(Msg::Save, &now());
        let row = row_of(&group, 0, "value");
        let choices = group.complaint(0, row).unwrap().choices;
        assert_eq!(choices.len(), 2);
        group.update(Msg::Meant(0, row, choices[1].clone()), &now());
        assert_eq!(group.lead(), None);
        typed(&mut group, 0, "value", "12,346");
        assert_eq!(group.lead(), Some((0, "value")), "a new text is asked again");
    }

    #[test]
    fn zero_degrees_moves_with_the_reference() {
        let slots =
            [("reading_set", "as_found", true), ("reading", "as_found/A", true), ("reading", "as_found/B", true)];
        let mut group = group(&slots);
        let angle = row_of(&group, 1, "volt_angle");
        assert_eq!(group.records[1].rows[angle].text, "0");
        let reference = row_of(&group, 0, "reference");
        group.update(Msg::Chosen(0, reference, "volts_b"), &now());
        assert_eq!(group.records[1].rows[angle].text, "");
        assert_eq!(group.records[2].rows[angle].text, "0");
    }

    #[test]
    fn a_correction_needs_a_reason() {
        let mut group = group(&[("crew", "", true)]);
        let crew = kinds::find("crew").unwrap();
        let fields = vec![(crew.field("technician").unwrap(), Value::from("M. Oduya"))];
        let written = Written { hash: Hash::of_bytes(b"x"), fields, by: String::new(), at: String::new() };
        group.update(Msg::Folded(vec![(Some(written), false)]), &now());
        assert!(!group.records[0].is_open());
        group.update(Msg::Correct(0), &now());
        assert_eq!(group.records[0].rows[0].text, "M. Oduya");
        assert_eq!(group.lead(), Some((0, "reason")));
        group.update(Msg::Reason(0, "misspelt".into()), &now());
        let wishes = group.update(Msg::Save, &now());
        let Some(Wish::Record { drafts, .. }) = wishes.first() else { panic!("{wishes:?}") };
        assert_eq!(drafts[0].replaces, Some(Hash::of_bytes(b"x")));
        assert_eq!(drafts[0].reason.as_deref(), Some("misspelt"));
    }

    #[test]
    fn a_value_written_elsewhere_meanwhile_takes_nothing_out_of_the_hand() {
        let mut group = group(&[("crew", "", true)]);
        typed(&mut group, 0, "technician", "M. Oduya");
        let crew = kinds::find("crew").unwrap();
        let written = |name: &str| {
            let fields = vec![(crew.field("technician").unwrap(), Value::from(name))];
            vec![(
                Some(Written { hash: Hash::of_bytes(name.as_bytes()), fields, by: String::new(), at: String::new() }),
                false,
            )]
        };
        group.update(Msg::Folded(written("R. Halloran")), &now());
        assert!(group.records[0].overtaken && group.records[0].is_open());
        assert_eq!(group.records[0].rows[0].text, "M. Oduya");
        assert_eq!(group.lead(), Some((0, "reason")));
        // What is written is the very thing that was typed: nothing is left to correct.
        group.update(Msg::Folded(written("M. Oduya")), &now());
        assert!(!group.records[0].overtaken && !group.records[0].is_open());
        // Nobody has been at it since: what is written elsewhere is shown, and that is all.
        group.update(Msg::Folded(written("R. Halloran")), &now());
        assert!(!group.records[0].overtaken && !group.records[0].is_open());
    }

    #[test]
    fn a_blank_that_must_be_filled_says_so_once_it_was_asked_for() {
        let mut group = group(&[("meter_plate", "incoming", true)]);
        let row = row_of(&group, 0, "number");
        group.update(Msg::Left(0, row), &now());
        assert_eq!(group.complaint(0, row), None);
        group.update(Msg::Save, &now());
        assert_eq!(group.complaint(0, row).map(|complaint| complaint.code), Some("typed.empty"));
        typed(&mut group, 0, "number", "L-9020");
        assert_eq!(group.complaint(0, row), None);
    }

    #[test]
    fn unfinished_input_comes_back() {
        let mut before = group(&[("reading", "as_found/A", true)]);
        let row = row_of(&before, 0, "amps");
        let wishes = before.update(Msg::Typed(0, row, "2.8".into()), &now());
        let Some(Wish::Keep { texts, .. }) = wishes.first() else { panic!("{wishes:?}") };
        let mut after = group(&[("reading", "as_found/A", true)]);
        after.update(Msg::Restored(texts.clone()), &now());
        assert_eq!(after.records[0].rows[row].text, "2.8");
    }
}
