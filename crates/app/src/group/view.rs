//! The skin of a group: cards with fields, or a table with one line a record.

use super::layout;
use super::state::{GroupState, Msg, Record, Row, Status};
use crate::drawing::{
    Node, button, classed, details, div, done_line, facts, live, many, nothing, p, tag, text_line, told, trouble_line,
};
use crate::screen::Screen;
use crate::services::Services;
use crate::speak;
use jobfile::kinds::{Field, Holds, Need};
use leptos::prelude::{Effect, Get, Memo, With, untrack};

/// A group that belongs to no job at hand: only unfinished input of an earlier run comes back.
pub fn loose_screen(state: GroupState, services: Services) -> Screen<GroupState> {
    let texts = services.kept(&state.key);
    let screen = Screen::new(state, services);
    if !texts.is_empty() {
        screen.send(Msg::Restored(texts));
    }
    screen
}

/// Keeps a group in step with the job log and with the unfinished input of an earlier run.
pub fn group_screen(state: GroupState, services: Services) -> Screen<GroupState> {
    let screen = Screen::new(state, services);
    let slots = screen.peek(GroupState::slots);
    let fold = move || services.with_job(|job| super::state::written(&job.fold, &slots));
    if let Some(written) = untrack(&fold) {
        screen.send(Msg::Folded(written));
    }
    let texts = screen.peek(|group| services.kept(&group.key));
    if !texts.is_empty() {
        screen.send(Msg::Restored(texts));
    }
    Effect::new(move |_| {
        if let Some(written) = fold() {
            screen.send(Msg::Folded(written));
        }
    });
    screen
}

/// A group of records with their inputs: a card each, or one table for the same readings on several elements. The button that
/// writes it down is [`save_group`].
pub fn group_view(screen: Screen<GroupState>) -> Node {
    let parts = screen.peek(|group| {
        let kinds: Vec<&'static str> = group.records.iter().map(|record| record.kind.id).collect();
        kinds.chunk_by(|a, b| a == b && layout::is_table(a)).map(|part| (part.len(), part[0])).collect::<Vec<_>>()
    });
    let mut stack = div("stack");
    let mut at = 0;
    for (count, kind) in parts {
        stack =
            stack.put(if layout::is_table(kind) { record_table(screen, at, count) } else { record_card(screen, at) });
        at += count;
    }
    many([stack.into(), status_line(screen)])
}

/// The large button in thumb’s reach: it leads to the next input, then writes the group down.
pub fn save_group(screen: Screen<GroupState>, save: impl Fn() -> String + 'static) -> Node {
    let label = move || {
        screen.with(|group| match group.lead() {
            _ if group.status == Status::Saving => words::saving().to_string(),
            Some((at, field)) => group.records.get(at).map(|record| speak::enter(record, field)).unwrap_or_default(),
            None => save(),
        })
    };
    button("act", move || screen.send(Msg::Save)).live(label).into()
}

fn status_line(screen: Screen<GroupState>) -> Node {
    let line = move || {
        screen.with(|group| match &group.status {
            Status::Saved => done_line(words::saved_here()).into(),
            Status::Failed(sentence) => trouble_line(sentence).into(),
            Status::Idle | Status::Saving => nothing(),
        })
    };
    told(line)
}

fn record_card(screen: Screen<GroupState>, at: usize) -> Node {
    let Some((title, aside)) = screen.peek(|group| {
        let record = group.records.get(at)?;
        let title = record.title.map_or_else(|| speak::record(record.kind.id, &record.place), str::to_string);
        // What nobody needs stands folded beside what is needed; what is written down is shown.
        let aside =
            !record.needed && record.is_blank() && record.written.is_none() && layout::may_stand_aside(record.kind.id);
        Some((title, aside))
    }) else {
        return nothing();
    };
    let open = Memo::new(move |_| screen.with(|group| group.records.get(at).is_some_and(Record::is_open)));
    let overtaken = Memo::new(move |_| screen.with(|group| group.records.get(at).is_some_and(|at| at.overtaken)));
    let inside = live(move || match (open.get(), overtaken.get()) {
        (true, true) => many([meanwhile(screen, at), record_inputs(screen, at)]),
        (true, false) => record_inputs(screen, at),
        (false, _) => record_written(screen, at),
    });
    if aside {
        let summary = format!("{title} {}", words::not_needed_field());
        return details("card", summary).put(div("stack").put(inside)).into();
    }
    classed("SECTION", "card stack")
        .set("aria-label", title.as_str())
        .put(classed("H2", "card__title").put(title))
        .put(inside)
        .into()
}

/// What was written down elsewhere while a hand was at the same thing.
fn meanwhile(screen: Screen<GroupState>, at: usize) -> Node {
    let said = p("field__complaint").set("role", "alert").put(words::written_meanwhile());
    many([said.into(), live(move || written_facts(screen, at))])
}

/// What is written down, as a table.
fn written_facts(screen: Screen<GroupState>, at: usize) -> Option<Node> {
    screen.with(|group| {
        let record = group.records.get(at)?;
        let written = record.written.as_ref()?;
        let mut rows = Vec::new();
        for (field, value) in &written.fields {
            let name = words::field(record.kind.id, field.id);
            rows.push(vec![name.into(), speak::value(record.kind.id, field, value).into()]);
        }
        let by = words::written_by(&written.by, &speak::moment(&written.at));
        Some(many([facts(&[], rows, false).into(), p("soft").put(by).into()]))
    })
}

/// What is written down, with the way to correct it.
fn record_written(screen: Screen<GroupState>, at: usize) -> Node {
    let correct = button("links__link", move || screen.send(Msg::Correct(at))).put(words::correct());
    many([live(move || written_facts(screen, at)), div("links").put(correct).into()])
}

fn record_inputs(screen: Screen<GroupState>, at: usize) -> Node {
    let Some((kind, ids, correcting, conflict, alike)) = screen.peek(|group| {
        let record = group.records.get(at)?;
        let ids: Vec<&'static str> = record.rows.iter().map(|row| row.field.id).collect();
        let first = group.records.iter().position(|first| std::ptr::eq(first.kind, record.kind));
        let alike = layout::is_one_of_several(record.kind.id) && first == Some(at) && !group.alike(at).is_empty();
        Some((record.kind.id, ids, record.correcting, record.conflict, alike))
    }) else {
        return nothing();
    };
    let front = layout::in_front(kind);
    let (mut first, mut more) = (Vec::new(), Vec::new());
    for (row, id) in ids.iter().enumerate() {
        let of = if front.is_empty() || front.contains(id) { &mut first } else { &mut more };
        of.push(input(screen, at, row));
    }
    let open_more = screen.peek(|group| {
        group.records.get(at).is_some_and(|record| {
            let behind = |row: &&Row| !front.is_empty() && !front.contains(&row.field.id);
            record.rows.iter().filter(behind).any(|row| record.is_filled_in(row))
        })
    });
    let mut all = Vec::new();
    if conflict {
        all.push(p("field__complaint").put(words::two_values()).into());
    }
    if layout::has_usual(kind) {
        all.push(button("key", move || screen.send(Msg::Usual(at))).put(words::as_usual()).into());
    }
    all.append(&mut first);
    if !more.is_empty() {
        let behind = details("", words::more_fields()).set_some("open", open_more.then_some(""));
        all.push(behind.put(div("stack").put(more)).into());
    }
    if alike {
        all.push(button("key", move || screen.send(Msg::LikeRest(at))).put(words::others_alike()).into());
    }
    if correcting {
        all.push(reason(screen, at));
    }
    all.into()
}

fn reason(screen: Screen<GroupState>, at: usize) -> Node {
    let id = screen.peek(|group| group.records.get(at).map(|record| record.input_id("reason")).unwrap_or_default());
    let text =
        move || screen.with(|group| group.records.get(at).map(|record| record.reason.text.clone()).unwrap_or_default());
    let input =
        classed("INPUT", "field__input").value(text).on_text("input", move |text| screen.send(Msg::Reason(at, text)));
    let why = move || screen.with(|group| group.complaint_of_reason(at).map(|why| speak::complaint(&why)));
    many([
        text_line(&id, words::reason_of_correction(), input, why),
        button("key", move || screen.send(Msg::Keep(at))).put(words::leave_as_written()).into(),
    ])
}

/// One labelled input of any kind of field.
fn input(screen: Screen<GroupState>, at: usize, row: usize) -> Node {
    let Some((kind, id, field)) = screen.peek(|group| {
        let record = group.records.get(at)?;
        let row = record.rows.get(row)?;
        Some((record.kind.id, record.input_id(row.field.id), row.field))
    }) else {
        return nothing();
    };
    let here = Here { screen, at, row, kind, id, field };
    if let Holds::Choice(codes) = field.holds {
        return if codes.len() > 8 { here.pick(codes) } else { here.tiles(codes) };
    }
    here.text()
}

/// Where an input stands, and what it is for.
struct Here {
    screen: Screen<GroupState>,
    at: usize,
    row: usize,
    kind: &'static str,
    id: String,
    field: &'static Field,
}

impl Here {
    /// The name of the field, and whether it may stay empty.
    fn name(&self) -> Node {
        let name = Node::from(words::field(self.kind, self.field.id));
        if self.field.need == Need::Must {
            return name;
        }
        many([name, classed("SPAN", "soft").put(" ").put(words::not_needed_field()).into()])
    }

    fn text(self) -> Node {
        let (screen, at, row, id) = (self.screen, self.at, self.row, self.id.as_str());
        let unit = match self.field.holds {
            Holds::Decimal(range) => range.unit,
            _ => "",
        };
        let mut line = div("field__line");
        if speak::can_be_negative(self.field) {
            line = line.put(sign(screen, at, row));
        }
        line = line.put(text_input(screen, at, row, id, "field__input", None));
        if !unit.is_empty() {
            line = line.put(classed("SPAN", "field__unit").put(unit));
        }
        if matches!(self.field.holds, Holds::Time) {
            let now = button("key", move || screen.send(Msg::TimeNow(at, row)));
            line = line.put(now.id(format!("{id}-now")).put(words::now()));
        }
        let wrong = move || screen.with(|group| group.complaint(at, row).is_some());
        let class = move || Some(if wrong() { "field field--wrong" } else { "field" }.to_string());
        let hint = words::field_hint(self.kind, self.field.id);
        tag("DIV")
            .live_set("class", class)
            .put(classed("LABEL", "field__label").set("for", id).put(self.name()))
            .put(line)
            .put(hint.map(|hint| p("field__hint").id(format!("{id}-hint")).put(hint)))
            .put(echo(screen, at, row, id))
            .into()
    }

    /// A choice of a few: one tile each.
    fn tiles(self, codes: &'static [&'static str]) -> Node {
        let (screen, at, row, kind, field) = (self.screen, self.at, self.row, self.kind, self.field);
        let chosen = self.chosen();
        let mut short = true;
        let mut tiles = Vec::new();
        for code in codes.iter().copied() {
            let word = words::choice(kind, field.id, code);
            short &= word.chars().count() <= 16;
            let tile_id = format!("{}-{}", self.id, code.replace('.', "-"));
            let circle = classed("INPUT", "choice__input")
                .set("type", "radio")
                .id(tile_id.as_str())
                .set("name", self.id.as_str())
                .chosen("checked", move || chosen.with(|chosen| chosen == code))
                .on("click", move |_| screen.send(Msg::Chosen(at, row, code)));
            let tile = classed("LABEL", "choice__tile").set("for", tile_id).put(circle);
            tiles.push(tile.put(classed("SPAN", "choice__word").put(word)).into());
        }
        let class = if short { "choice__tiles choice__tiles--short" } else { "choice__tiles" };
        classed("FIELDSET", "choice")
            .id(self.id.as_str())
            .set("tabindex", "-1")
            .put(classed("LEGEND", "choice__legend").put(self.name()))
            .put(words::field_hint(kind, field.id).map(|hint| p("field__hint").put(hint)))
            .put(div(class).put(tiles))
            .put(p("field__complaint").live(move || if is_missing(screen, at, row) { words::choose_one() } else { "" }))
            .into()
    }

    /// A choice of many: a list to pick from.
    fn pick(self, codes: &'static [&'static str]) -> Node {
        let (screen, at, row) = (self.screen, self.at, self.row);
        let chosen = self.chosen();
        let option = |code: &'static str, word: String| {
            tag("OPTION").set("value", code).chosen("selected", move || chosen.with(|chosen| chosen == code)).put(word)
        };
        let mut list = classed("SELECT", "field__input")
            .id(self.id.as_str())
            .on_text("change", move |text| screen.send(Msg::Typed(at, row, text)))
            .put(option("", words::not_chosen().to_string()));
        for code in codes.iter().copied() {
            list = list.put(option(code, words::choice(self.kind, self.field.id, code)));
        }
        let label = classed("LABEL", "field__label").set("for", self.id.as_str()).put(self.name());
        div("field").put(label).put(div("field__line").put(list)).into()
    }

    fn chosen(&self) -> Memo<String> {
        let (screen, at, row) = (self.screen, self.at, self.row);
        Memo::new(move |_| screen.with(|group| text_of(group, at, row)))
    }
}

/// Whether a choice that must be made was passed by.
fn is_missing(screen: Screen<GroupState>, at: usize, row: usize) -> bool {
    screen.with(|group| {
        let row = group.records.get(at).and_then(|record| record.rows.get(row));
        row.is_some_and(|row: &Row| row.left && row.text.is_empty() && row.field.need == Need::Must)
    })
}

/// The bare text input, used in fields and in tables.
fn text_input(
    screen: Screen<GroupState>,
    at: usize,
    row: usize,
    id: &str,
    class: &'static str,
    label: Option<String>,
) -> Node {
    let Some(field) =
        screen.peek(|group| group.records.get(at).and_then(|record| record.rows.get(row)).map(|row| row.field))
    else {
        return nothing();
    };
    // A number pad may have no minus: where angles count leading positive and no sign key stands beside, letters come with it.
    let needs_minus = class == "reads__box" && speak::can_be_negative(field);
    let mode = move || match field.holds {
        Holds::Decimal(_) if needs_minus && screen.with(GroupState::counts_leading) => "text",
        Holds::Decimal(_) => "decimal",
        Holds::Count(..) => "numeric",
        _ => "text",
    };
    classed("INPUT", class)
        .id(id)
        .live_set("inputmode", move || Some(mode().to_string()))
        .set("autocomplete", "off")
        .set("autocapitalize", "off")
        .set("spellcheck", "false")
        .set_some("aria-label", label)
        .set("aria-describedby", format!("{id}-echo {id}-why"))
        .live_set("aria-invalid", move || Some(screen.with(|group| group.complaint(at, row).is_some()).to_string()))
        .value(move || screen.with(|group| text_of(group, at, row)))
        .on_text("input", move |text| screen.send(Msg::Typed(at, row, text)))
        .on("blur", move |_| screen.send(Msg::Left(at, row)))
        .into()
}

fn text_of(group: &GroupState, at: usize, row: usize) -> String {
    group.records.get(at).and_then(|record| record.rows.get(row)).map(|row| row.text.clone()).unwrap_or_default()
}

/// The sign key: a phone’s number pad may have no minus.
fn sign(screen: Screen<GroupState>, at: usize, row: usize) -> Node {
    let turn = move || {
        let text = screen.peek(|group| text_of(group, at, row));
        let turned = text.trim_start().strip_prefix(['-', '−']).map_or_else(|| format!("-{text}"), str::to_string);
        screen.send(Msg::Typed(at, row, turned));
    };
    button("field__sign", turn).set("aria-label", words::change_sign()).put("±").into()
}

/// Under an input: how it was understood, or what is wrong with it.
fn echo(screen: Screen<GroupState>, at: usize, row: usize, id: &str) -> Node {
    let echo = move || screen.with(|group| group.echo(at, row).map(|echo| words::taken_as(&echo)).unwrap_or_default());
    let complaint = move || {
        screen.with(|group| group.complaint(at, row).map(|complaint| speak::complaint(&complaint)).unwrap_or_default())
    };
    many([
        p("field__echo").id(format!("{id}-echo")).live(echo).into(),
        p("field__complaint").id(format!("{id}-why")).live(complaint).into(),
        meanings(screen, at, row),
    ])
}

/// Where a text could mean two things: a button for each.
fn meanings(screen: Screen<GroupState>, at: usize, row: usize) -> Node {
    let buttons = move || {
        screen.with(|group| {
            let mut buttons = Vec::new();
            let field = group.records.get(at)?.rows.get(row)?.field;
            for value in group.complaint(at, row)?.choices {
                let label = jobfile::typed::echo(field, &value);
                let meant = button("key", move || screen.send(Msg::Meant(at, row, value.clone())));
                buttons.push(meant.put(label).into());
            }
            Some(Node::Many(buttons))
        })
    };
    div("links").live(buttons).into()
}

/// A column of a table of records: which row of each record, and its field.
type Columns = Vec<(usize, &'static Field)>;

/// The same fields of several places, a line each.
fn record_table(screen: Screen<GroupState>, from: usize, count: usize) -> Node {
    let Some((kind, columns)) = screen.peek(|group| {
        let first = group.records.get(from)?;
        let front = layout::in_front(first.kind.id);
        let mut columns: Columns = Vec::new();
        for (at, row) in first.rows.iter().enumerate() {
            if front.is_empty() || front.contains(&row.field.id) {
                columns.push((at, row.field));
            }
        }
        Some((first.kind.id, columns))
    }) else {
        return nothing();
    };
    let mut heads = tag("TR").put(tag("TD"));
    for (_, field) in &columns {
        heads = heads.put(tag("TH").set("scope", "col").put(speak::column(kind, field)));
    }
    let mut lines = tag("TBODY");
    for at in from..from + count {
        lines = lines.put(table_line(screen, at, &columns));
    }
    let table = classed("TABLE", "reads")
        .put(classed("CAPTION", "unseen").put(words::kind(kind)))
        .put(tag("THEAD").put(heads))
        .put(lines);
    many([table.into(), table_notes(screen, from, count, columns)])
}

fn table_line(screen: Screen<GroupState>, at: usize, columns: &Columns) -> Node {
    let Some((kind, place)) =
        screen.peek(|group| group.records.get(at).map(|record| (record.kind.id, record.place.clone())))
    else {
        return nothing();
    };
    let last = words::place(place.rsplit('/').next().unwrap_or(""));
    let open = Memo::new(move |_| screen.with(|group| group.records.get(at).is_some_and(Record::is_open)));
    let mut line = classed("TR", "reads__row").put(tag("TH").set("scope", "row").put(last.as_str()));
    for (row, field) in columns.iter().copied() {
        let label = speak::column(kind, field);
        let spoken = format!("{last}, {label}");
        let id = screen.peek(|group| group.records.get(at).map(|record| record.input_id(field.id)).unwrap_or_default());
        let cell = move || {
            if open.get() {
                text_input(screen, at, row, &id, "reads__box", Some(spoken.clone()))
            } else {
                screen.with(|group| written_text(group, at, field)).into()
            }
        };
        line = line.put(tag("TD").set("data-label", label).live(cell));
    }
    line.into()
}

fn written_text(group: &GroupState, at: usize, field: &'static Field) -> String {
    let record = group.records.get(at);
    let value = record
        .and_then(|record| record.written.as_ref())
        .and_then(|written| written.fields.iter().find(|(known, _)| known.id == field.id));
    value.map(|(field, value)| speak::bare(field, value)).unwrap_or_default()
}

/// Under a table: complaints with the name of their cell, and the way to correct what is written.
fn table_notes(screen: Screen<GroupState>, from: usize, count: usize, columns: Columns) -> Node {
    let complaints = move || {
        screen.with(|group| {
            let mut found = Vec::new();
            for (at, record) in group.records.iter().enumerate().skip(from).take(count) {
                for (row, field) in columns.iter().copied() {
                    if let Some(complaint) = group.complaint(at, row) {
                        let cell =
                            format!("{} {}: ", speak::last_place(&record.place), speak::column(record.kind.id, field));
                        let why = format!("{}-why", record.input_id(field.id));
                        found.push(p("field__complaint").id(why).put(cell).put(speak::complaint(&complaint)).into());
                        found.push(meanings(screen, at, row));
                    }
                }
            }
            Node::Many(found)
        })
    };
    let corrections = move || {
        screen.with(|group| {
            let mut found = Vec::new();
            for (at, record) in group.records.iter().enumerate().skip(from).take(count) {
                let place = speak::last_place(&record.place);
                if record.correcting {
                    if record.overtaken {
                        found.push(meanwhile(screen, at));
                    }
                    found.push(reason(screen, at));
                } else if record.written.is_some() {
                    let correct = button("links__link", move || screen.send(Msg::Correct(at)));
                    found.push(correct.put(words::correct_place(&place)).into());
                }
            }
            Node::Many(found)
        })
    };
    many([tag("DIV").live(complaints).into(), div("links").live(corrections).into()])
}
