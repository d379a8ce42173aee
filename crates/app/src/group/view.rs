//! The skin of a group: cards with fields, or a table with one line a record.

use super::layout;
use super::state::{GroupState, Msg, Record, Row, Status};
use crate::screen::Screen;
use crate::services::Services;
use crate::speak;
use jobfile::kinds::{Holds, Need};
use leptos::prelude::*;

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
    let texts = services.kept(&state.key);
    let screen = Screen::new(state, services);
    let slots = screen.peek(GroupState::slots);
    let fold = move || services.with_job(|job| super::state::written(&job.fold, &slots));
    if let Some(written) = untrack(&fold) {
        screen.send(Msg::Folded(written));
    }
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
/// writes it down is [`SaveGroup`].
#[component]
pub fn GroupView(screen: Screen<GroupState>) -> impl IntoView {
    let parts = screen.peek(|group| {
        let kinds: Vec<&'static str> = group.records.iter().map(|record| record.kind.id).collect();
        kinds.chunk_by(|a, b| a == b && layout::is_table(a)).map(<[_]>::len).collect::<Vec<_>>()
    });
    let mut from = 0;
    let body = parts.into_iter().map(|count| {
        let at = from;
        from += count;
        let is_table =
            screen.peek(|group| group.records.get(at).is_some_and(|record| layout::is_table(record.kind.id)));
        if is_table {
            view! { <RecordTable screen from=at count/> }.into_any()
        } else {
            view! { <RecordCard screen at/> }.into_any()
        }
    });
    let body = body.collect_view();
    view! {
        <div class="stack">{body}</div>
        <StatusLine screen/>
    }
    .into_any()
}

/// The large button in thumb’s reach: it leads to the next input, then writes the group down.
#[component]
pub fn SaveGroup(screen: Screen<GroupState>, #[prop(into)] save: Signal<String>) -> impl IntoView {
    let label = move || {
        screen.with(|group| match group.lead() {
            _ if group.status == Status::Saving => words::saving().to_string(),
            Some((at, field)) => group.records.get(at).map(|record| speak::enter(record, field)).unwrap_or_default(),
            None => save.get(),
        })
    };
    view! { <button type="button" class="act" on:click=move |_| screen.send(Msg::Save)>{label}</button> }.into_any()
}

#[component]
fn StatusLine(screen: Screen<GroupState>) -> impl IntoView {
    let line = move || {
        screen.with(|group| match &group.status {
            Status::Saved => {
                view! { <p class="status"><span class="status__dot"></span>{words::saved_here()}</p> }.into_any()
            }
            Status::Failed(sentence) => view! { <p class="status status--trouble">{sentence.clone()}</p> }.into_any(),
            Status::Idle | Status::Saving => ().into_any(),
        })
    };
    view! { <div role="status" aria-live="polite">{line}</div> }.into_any()
}

#[component]
fn RecordCard(screen: Screen<GroupState>, at: usize) -> impl IntoView {
    let Some((title, aside)) = screen.peek(|group| {
        let record = group.records.get(at)?;
        let title = record.title.map_or_else(|| speak::record(record.kind.id, &record.place), str::to_string);
        // What nobody needs stands folded beside what is needed.
        let aside = !record.needed && record.is_blank() && layout::may_stand_aside(record.kind.id);
        Some((title, aside))
    }) else {
        return ().into_any();
    };
    let how = Memo::new(move |_| {
        screen
            .with(|group| group.records.get(at).map(|record| (record.is_open(), record.overtaken)).unwrap_or_default())
    });
    let inside = move || {
        let (open, overtaken) = how.get();
        if open {
            view! { {overtaken.then(|| meanwhile(screen, at))}<RecordInputs screen at/> }.into_any()
        } else {
            view! { <RecordWritten screen at/> }.into_any()
        }
    };
    if aside {
        let summary = format!("{title} {}", words::not_needed_field());
        return view! { <details class="card"><summary class="links__link">{summary}</summary><div class="stack">{inside}</div></details> }.into_any();
    }
    view! { <section class="card stack" aria-label=title.clone()><h2 class="card__title">{title.clone()}</h2>{inside}</section> }.into_any()
}

/// What was written down elsewhere while a hand was at the same thing.
fn meanwhile(screen: Screen<GroupState>, at: usize) -> AnyView {
    view! { <p class="field__complaint" role="alert">{words::written_meanwhile()}</p>{facts(screen, at)} }.into_any()
}

/// What is written down, as a table.
fn facts(screen: Screen<GroupState>, at: usize) -> AnyView {
    let facts = move || {
        screen.with(|group| {
            let record = group.records.get(at)?;
            let written = record.written.as_ref()?;
            let rows = written.fields.iter().map(|(field, value)| {
                view! { <tr><th scope="row">{words::field(record.kind.id, field.id)}</th><td>{speak::value(record.kind.id, field, value)}</td></tr> }
            });
            let by = words::written_by(&written.by, &speak::moment(&written.at));
            Some(view! { <table class="facts"><tbody>{rows.collect_view()}</tbody></table><p class="soft">{by}</p> }.into_any())
        })
    };
    view! { {facts} }.into_any()
}

/// What is written down, with the way to correct it.
#[component]
fn RecordWritten(screen: Screen<GroupState>, at: usize) -> impl IntoView {
    view! {
        {facts(screen, at)}
        <div class="links">
            <button type="button" class="links__link" on:click=move |_| screen.send(Msg::Correct(at))>{words::correct()}</button>
        </div>
    }
    .into_any()
}

#[component]
fn RecordInputs(screen: Screen<GroupState>, at: usize) -> impl IntoView {
    let Some((kind, ids, correcting, conflict, alike)) = screen.peek(|group| {
        let record = group.records.get(at)?;
        let ids: Vec<&'static str> = record.rows.iter().map(|row| row.field.id).collect();
        let first = group.records.iter().position(|first| std::ptr::eq(first.kind, record.kind));
        let alike = layout::is_one_of_several(record.kind.id) && first == Some(at) && !group.alike(at).is_empty();
        Some((record.kind.id, ids, record.correcting, record.conflict, alike))
    }) else {
        return ().into_any();
    };
    let front = layout::in_front(kind);
    let (first, more): (Vec<usize>, Vec<usize>) =
        (0..ids.len()).partition(|row| front.is_empty() || ids.get(*row).is_some_and(|id| front.contains(id)));
    let show =
        |rows: Vec<usize>| rows.into_iter().map(|row| view! { <Input screen at row/> }.into_any()).collect_view();
    let open_more = screen.peek(|group| {
        more.iter().any(|row| {
            let record = group.records.get(at);
            record.and_then(|record| Some(record.is_filled_in(record.rows.get(*row)?))).unwrap_or_default()
        })
    });
    view! {
        {conflict.then(|| view! { <p class="field__complaint">{words::two_values()}</p> })}
        {layout::has_usual(kind).then(|| view! { <button type="button" class="key" on:click=move |_| screen.send(Msg::Usual(at))>{words::as_usual()}</button> })}
        {show(first)}
        {(!more.is_empty()).then(|| view! { <details open=open_more><summary class="links__link">{words::more_fields()}</summary><div class="stack">{show(more)}</div></details> })}
        {alike.then(|| view! { <button type="button" class="key" on:click=move |_| screen.send(Msg::LikeRest(at))>{words::others_alike()}</button> })}
        {correcting.then(|| view! { <Reason screen at/> })}
    }
    .into_any()
}

#[component]
fn Reason(screen: Screen<GroupState>, at: usize) -> impl IntoView {
    let id = screen.peek(|group| group.records.get(at).map(|record| record.input_id("reason")).unwrap_or_default());
    let why = move || screen.with(|group| group.complaint_of_reason(at).map(|why| speak::complaint(&why)));
    let why_id = format!("{id}-why");
    view! {
        <div class="field" class:field--wrong=move || why().is_some()>
            <label class="field__label" for=id.clone()>{words::reason_of_correction()}</label>
            <div class="field__line">
                <input class="field__input" id=id autocomplete="off" aria-describedby=why_id.clone() aria-invalid=move || why().is_some().to_string()
                    prop:value=move || screen.with(|group| group.records.get(at).map(|record| record.reason.text.clone()).unwrap_or_default())
                    on:input:target=move |ev| screen.send(Msg::Reason(at, ev.target().value()))/>
            </div>
            <p class="field__complaint" id=why_id>{why}</p>
        </div>
        <button type="button" class="key" on:click=move |_| screen.send(Msg::Keep(at))>{words::leave_as_written()}</button>
    }
    .into_any()
}

/// One labelled input of any kind of field.
#[component]
fn Input(screen: Screen<GroupState>, at: usize, row: usize) -> impl IntoView {
    let Some((kind, id, field)) = screen.peek(|group| {
        let record = group.records.get(at)?;
        let row = record.rows.get(row)?;
        Some((record.kind.id, record.input_id(row.field.id), row.field))
    }) else {
        return ().into_any();
    };
    if let Holds::Choice(codes) = field.holds {
        return if codes.len() > 8 {
            view! { <Pick screen at row kind id field codes/> }.into_any()
        } else {
            view! { <Tiles screen at row kind id field codes/> }.into_any()
        };
    }
    let hint = words::field_hint(kind, field.id);
    let unit = match field.holds {
        Holds::Decimal(range) => range.unit,
        _ => "",
    };
    let is_time = matches!(field.holds, Holds::Time);
    let needed = field.need == Need::Must;
    view! {
        <div class="field" class:field--wrong=move || screen.with(|group| group.complaint(at, row).is_some())>
            <label class="field__label" for=id.clone()>
                {words::field(kind, field.id)}{(!needed).then(|| view! { <span class="soft">" "{words::not_needed_field()}</span> })}
            </label>
            <div class="field__line">
                {speak::can_be_negative(field).then(|| view! { <Sign screen at row/> })}
                <TextInput screen at row id=id.clone() class="field__input" label=None/>
                {(!unit.is_empty()).then(|| view! { <span class="field__unit">{unit}</span> })}
                {is_time.then(|| view! { <button type="button" class="key" id=format!("{id}-now") on:click=move |_| screen.send(Msg::TimeNow(at, row))>{words::now()}</button> })}
            </div>
            {hint.map(|hint| view! { <p class="field__hint" id=format!("{id}-hint")>{hint}</p> })}
            <Echo screen at row id=id/>
        </div>
    }
    .into_any()
}

/// The bare text input, used in fields and in tables.
#[component]
fn TextInput(
    screen: Screen<GroupState>,
    at: usize,
    row: usize,
    id: String,
    class: &'static str,
    label: Option<String>,
) -> impl IntoView {
    let Some(field) =
        screen.peek(|group| group.records.get(at).and_then(|record| record.rows.get(row)).map(|row| row.field))
    else {
        return ().into_any();
    };
    // A number pad may have no minus: where angles count leading positive and no sign key stands beside, letters come with it.
    let needs_minus = class == "reads__box" && speak::can_be_negative(field);
    let mode = move || match field.holds {
        Holds::Decimal(_) if needs_minus && screen.with(GroupState::counts_leading) => "text",
        Holds::Decimal(_) => "decimal",
        Holds::Count(..) => "numeric",
        _ => "text",
    };
    view! {
        <input class=class id=id.clone() inputmode=mode autocomplete="off" autocapitalize="off" spellcheck="false" aria-label=label
            aria-describedby=format!("{id}-echo {id}-why")
            aria-invalid=move || screen.with(|group| group.complaint(at, row).is_some()).to_string()
            prop:value=move || screen.with(|group| text_of(group, at, row))
            on:input:target=move |ev| screen.send(Msg::Typed(at, row, ev.target().value()))
            on:blur=move |_| screen.send(Msg::Left(at, row))/>
    }
    .into_any()
}

fn text_of(group: &GroupState, at: usize, row: usize) -> String {
    group.records.get(at).and_then(|record| record.rows.get(row)).map(|row| row.text.clone()).unwrap_or_default()
}

/// The sign key: a phone’s number pad may have no minus.
#[component]
fn Sign(screen: Screen<GroupState>, at: usize, row: usize) -> impl IntoView {
    let turn = move |_| {
        let text = screen.peek(|group| text_of(group, at, row));
        let turned = text.trim_start().strip_prefix(['-', '−']).map_or_else(|| format!("-{text}"), str::to_string);
        screen.send(Msg::Typed(at, row, turned));
    };
    view! { <button type="button" class="field__sign" aria-label=words::change_sign() on:click=turn>"±"</button> }
        .into_any()
}

/// Under an input: how it was understood, or what is wrong with it.
#[component]
fn Echo(screen: Screen<GroupState>, at: usize, row: usize, id: String) -> impl IntoView {
    let (echo_id, why_id) = (format!("{id}-echo"), format!("{id}-why"));
    let echo = move || screen.with(|group| group.echo(at, row).map(|echo| words::taken_as(&echo)).unwrap_or_default());
    let complaint = move || {
        screen.with(|group| group.complaint(at, row).map(|complaint| speak::complaint(&complaint)).unwrap_or_default())
    };
    view! {
        <p class="field__echo" id=echo_id>{echo}</p>
        <p class="field__complaint" id=why_id>{complaint}</p>
        <Meanings screen at row/>
    }
    .into_any()
}

/// Where a text could mean two things: a button for each.
#[component]
fn Meanings(screen: Screen<GroupState>, at: usize, row: usize) -> impl IntoView {
    let buttons = move || {
        screen.with(|group| {
            let field = group.records.get(at)?.rows.get(row)?.field;
            let complaint = group.complaint(at, row)?;
            let button = |value: serde_json::Value| {
                let label = jobfile::typed::echo(field, &value);
                view! { <button type="button" class="key" on:click=move |_| screen.send(Msg::Meant(at, row, value.clone()))>{label}</button> }
            };
            Some(complaint.choices.into_iter().map(button).collect_view())
        })
    };
    view! { <div class="links">{buttons}</div> }.into_any()
}

/// A choice of a few: one tile each.
#[component]
fn Tiles(
    screen: Screen<GroupState>,
    at: usize,
    row: usize,
    kind: &'static str,
    id: String,
    field: &'static jobfile::kinds::Field,
    codes: &'static [&'static str],
) -> impl IntoView {
    let chosen = Memo::new(move |_| screen.with(|group| text_of(group, at, row)));
    let short = codes.iter().all(|code| words::choice(kind, field.id, code).chars().count() <= 16);
    let tiles = codes.iter().map(|code| {
        let code = *code;
        let tile_id = format!("{id}-{}", code.replace('.', "-"));
        view! {
            <label class="choice__tile" for=tile_id.clone()>
                <input class="choice__input" type="radio" id=tile_id.clone() name=id.clone() prop:checked=move || chosen.get() == code
                    on:click=move |_| screen.send(Msg::Chosen(at, row, code))/>
                <span class="choice__word">{words::choice(kind, field.id, code)}</span>
            </label>
        }
    });
    let hint = words::field_hint(kind, field.id);
    view! {
        <fieldset class="choice" id=id.clone() tabindex="-1">
            <legend class="choice__legend">{words::field(kind, field.id)}{(field.need == Need::May).then(|| view! { <span class="soft">" "{words::not_needed_field()}</span> })}</legend>
            {hint.map(|hint| view! { <p class="field__hint">{hint}</p> })}
            <div class="choice__tiles" class:choice__tiles--short=short>{tiles.collect_view()}</div>
            <ChoiceComplaint screen at row/>
        </fieldset>
    }
    .into_any()
}

#[component]
fn ChoiceComplaint(screen: Screen<GroupState>, at: usize, row: usize) -> impl IntoView {
    let missing = move || {
        screen.with(|group| {
            let row = group.records.get(at).and_then(|record| record.rows.get(row));
            row.is_some_and(|row: &Row| row.left && row.text.is_empty() && row.field.need == Need::Must)
        })
    };
    view! { <p class="field__complaint">{move || if missing() { words::choose_one() } else { "" }}</p> }.into_any()
}

/// A choice of many: a list to pick from.
#[component]
fn Pick(
    screen: Screen<GroupState>,
    at: usize,
    row: usize,
    kind: &'static str,
    id: String,
    field: &'static jobfile::kinds::Field,
    codes: &'static [&'static str],
) -> impl IntoView {
    let chosen = Memo::new(move |_| screen.with(|group| text_of(group, at, row)));
    let options = codes.iter().map(|code| {
        let code = *code;
        view! { <option value=code prop:selected=move || chosen.get() == code>{words::choice(kind, field.id, code)}</option> }
    });
    view! {
        <div class="field">
            <label class="field__label" for=id.clone()>{words::field(kind, field.id)}{(field.need == Need::May).then(|| view! { <span class="soft">" "{words::not_needed_field()}</span> })}</label>
            <div class="field__line">
                <select class="field__input" id=id on:change:target=move |ev| screen.send(Msg::Typed(at, row, ev.target().value()))>
                    <option value="" prop:selected=move || chosen.get().is_empty()>{words::not_chosen()}</option>
                    {options.collect_view()}
                </select>
            </div>
        </div>
    }
    .into_any()
}

/// The same fields of several places, a line each.
#[component]
fn RecordTable(screen: Screen<GroupState>, from: usize, count: usize) -> impl IntoView {
    let Some((kind, fields)) = screen.peek(|group| {
        let first = group.records.get(from)?;
        let front = layout::in_front(first.kind.id);
        let fields: Vec<(usize, &'static jobfile::kinds::Field)> = first
            .rows
            .iter()
            .enumerate()
            .map(|(at, row)| (at, row.field))
            .filter(|(_, field)| front.is_empty() || front.contains(&field.id))
            .collect();
        Some((first.kind.id, fields))
    }) else {
        return ().into_any();
    };
    let heads =
        fields.iter().map(|(_, field)| view! { <th scope="col">{speak::column(kind, field)}</th> }).collect_view();
    let lines =
        (from..from + count).map(|at| view! { <TableLine screen at fields=fields.clone()/> }.into_any()).collect_view();
    view! {
        <table class="reads">
            <caption class="unseen">{words::kind(kind)}</caption>
            <thead><tr><td></td>{heads}</tr></thead>
            <tbody>{lines}</tbody>
        </table>
        <TableNotes screen from count fields=fields.clone()/>
    }
    .into_any()
}

#[component]
fn TableLine(
    screen: Screen<GroupState>,
    at: usize,
    fields: Vec<(usize, &'static jobfile::kinds::Field)>,
) -> impl IntoView {
    let Some((kind, place)) =
        screen.peek(|group| group.records.get(at).map(|record| (record.kind.id, record.place.clone())))
    else {
        return ().into_any();
    };
    let last = words::place(place.rsplit('/').next().unwrap_or(""));
    let open = Memo::new(move |_| screen.with(|group| group.records.get(at).is_some_and(Record::is_open)));
    let cells = fields.into_iter().map(|(row, field)| {
        let label = speak::column(kind, field);
        let spoken = format!("{last}, {label}");
        let id = screen.peek(|group| group.records.get(at).map(|record| record.input_id(field.id)).unwrap_or_default());
        let cell = move || {
            if open.get() {
                view! { <TextInput screen at row id=id.clone() class="reads__box" label=Some(spoken.clone())/> }
                    .into_any()
            } else {
                screen.with(|group| written_text(group, at, field)).into_any()
            }
        };
        view! { <td data-label=label>{cell}</td> }
    });
    view! { <tr class="reads__row"><th scope="row">{last.clone()}</th>{cells.collect_view()}</tr> }.into_any()
}

fn written_text(group: &GroupState, at: usize, field: &'static jobfile::kinds::Field) -> String {
    let record = group.records.get(at);
    let value = record
        .and_then(|record| record.written.as_ref())
        .and_then(|written| written.fields.iter().find(|(known, _)| known.id == field.id));
    value.map(|(field, value)| speak::bare(field, value)).unwrap_or_default()
}

/// Under a table: complaints with the name of their cell, and the way to correct what is written.
#[component]
fn TableNotes(
    screen: Screen<GroupState>,
    from: usize,
    count: usize,
    fields: Vec<(usize, &'static jobfile::kinds::Field)>,
) -> impl IntoView {
    let complaints = move || {
        screen.with(|group| {
            let mut found = Vec::new();
            for (at, record) in group.records.iter().enumerate().skip(from).take(count) {
                for (row, field) in &fields {
                    if let Some(complaint) = group.complaint(at, *row) {
                        let row = *row;
                        let cell = format!("{} {}: ", speak::last_place(&record.place), speak::column(record.kind.id, field));
                        let why = format!("{}-why", record.input_id(field.id));
                        found.push(view! { <p class="field__complaint" id=why>{cell}{speak::complaint(&complaint)}</p><Meanings screen at row/> }.into_any());
                    }
                }
            }
            found
        })
    };
    let corrections = move || {
        screen.with(|group| {
            let records = group.records.iter().enumerate().skip(from).take(count);
            records
                .filter_map(|(at, record)| {
                    let place = speak::last_place(&record.place);
                    if record.correcting {
                        Some(view! { {record.overtaken.then(|| meanwhile(screen, at))}<Reason screen at/> }.into_any())
                    } else {
                        record.written.as_ref().map(|_| {
                            view! { <button type="button" class="links__link" on:click=move |_| screen.send(Msg::Correct(at))>{words::correct_place(&place)}</button> }.into_any()
                        })
                    }
                })
                .collect_view()
        })
    };
    view! { <div>{complaints}</div><div class="links">{corrections}</div> }.into_any()
}
