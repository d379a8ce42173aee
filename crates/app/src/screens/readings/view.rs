//! The readings’ page: the table to fill in, then plain facts: pictures, powers, sums, expected volts. No cause is named here.

use super::entered::entered;
use super::facts::{self, Expected, Facts, Power, Set, Site, apart};
use super::form::{self, ELEMENTS};
use super::pictures;
use super::save::{is_touched, save_all, save_button};
use crate::drawing::{
    Node, Tag, classed, details, div, facts as facts_table, finding, ghost, h2, live, many, nothing, p, signal_line,
    tag,
};
use crate::group::{GroupState, group_screen, group_view};
use crate::picture::{bare_picture, picture};
use crate::route::{Part, Route, Taken};
use crate::screen::Screen;
use crate::screens::plates::compare;
use crate::services::Services;
use crate::shell::Shell;
use crate::working::{grouped, shown, working_view};
use jobfile::Fold;
use metering::multiplier::transformer_factor;
use metering::reading::Rotation;
use metering::service::Sequence;
use metering::working::{Shown, Working};
use procedure::checks::{VOLTS_CHANGE_SHARE, VOLTS_SPREAD_SHARE};

/// Volts, amps and angles, as found or as left.
pub fn readings(services: Services, id: String, taken: Taken) -> Node {
    let screen = group_screen(form::group(&id, taken, services.context()), services);
    let sub = match taken {
        Taken::AsFound => words::readings_as_found(),
        Taken::AsLeft => words::readings_as_left(),
    };
    let foot = save_button(vec![screen], form::wants, words::save(), Route::Job(id.clone(), Part::Steps));
    let table =
        classed("SECTION", "stack").put(h2(words::instrument_shows())).put(group_view(screen)).put(save_part(screen));
    Shell::of_job(services).sub(sub).back(Route::Job(id, Part::Overview)).foot(foot).around(vec![
        alarm(screen, services, taken),
        table.into(),
        answers(screen, services, taken),
    ])
}

/// Not every instrument reads everything: what is there may be written down at any time.
fn save_part(screen: Screen<GroupState>) -> Node {
    live(move || {
        let part = screen.with(|group| is_touched(group) && group.lead().is_none() && form::wants(group).is_some());
        part.then(|| ghost(move || save_all(&[screen])).put(words::save_what_is_there()))
    })
}

/// The set on the screen, as far as it may be reckoned with.
fn set_of(group: &GroupState, services: Services, taken: Taken) -> Set {
    let context = services.context();
    let how =
        entered(group, "reading_set", taken.code(), &context).map(|set| set.fields).unwrap_or_else(|| preset_of(group));
    let read = ELEMENTS.map(|element| entered(group, "reading", &form::place(taken, element), &context));
    let settled = [0, 1, 2].map(|at| read.get(at).and_then(Option::as_ref).is_some_and(|read| read.settled));
    Set { how, elements: read.map(|read| read.map(|read| read.fields)), settled }
}

/// Nothing chosen beyond what stands there beforehand.
fn preset_of(group: &GroupState) -> jobfile::Fields {
    let set = group.records.iter().filter(|record| record.kind.id == "reading_set").flat_map(|record| &record.rows);
    let chosen = set.filter(|row| matches!(row.field.holds, jobfile::kinds::Holds::Choice(_)) && !row.text.is_empty());
    chosen.fold(jobfile::What::new("reading_set", ""), |what, row| what.with(row.field.id, row.text.clone())).fields
}

/// A set that is written down.
fn written_set(fold: &Fold, taken: Taken) -> Set {
    let fields = |kind: &str, place: &str| fold.one(kind, place).map(|live| live.fields.clone());
    let how = fields("reading_set", taken.code()).unwrap_or_default();
    Set { how, elements: ELEMENTS.map(|element| fields("reading", &form::place(taken, element))), settled: [true; 3] }
}

/// The site and its plates, as written down.
fn site_of(fold: &Fold) -> (Site, Option<Working>) {
    let plates = |kind: &str| {
        ELEMENTS.map(|element| fold.one(kind, &format!("found/{element}")).map(|live| live.fields.clone()))
    };
    let (ct, vt) = (compare::common(&plates("ct_plate")).ok(), compare::common(&plates("vt_plate")).ok());
    let factor = ct.zip(vt).and_then(|(ct, vt)| transformer_factor(ct, vt).ok());
    let nominal_volts = fold.one("site", "").and_then(|site| Some(site.fields.decimal("nominal_volts")?.to_f64()));
    (Site { nominal_volts, vt, factor: factor.as_ref().map(|(factor, _)| *factor) }, factor.map(|(_, working)| working))
}

/// Everything the page shows below the table.
struct Shows {
    facts: Facts,
    before: Option<Facts>,
    factor: Option<Working>,
    has_nominal: bool,
}

fn shows(screen: Screen<GroupState>, services: Services, taken: Taken) -> Option<Shows> {
    let set = screen.with(|group| set_of(group, services, taken));
    services
        .with_job(|job| {
            let (site, factor) = site_of(&job.fold);
            let facts = facts::facts(&set, &site)?;
            let before = (taken == Taken::AsLeft)
                .then(|| facts::facts(&written_set(&job.fold, Taken::AsFound), &site))
                .flatten();
            Some(Shows { facts, before, factor, has_nominal: site.nominal_volts.is_some() })
        })
        .flatten()
}

/// A current circuit that may be broken is shouted before everything else, from the first numbers that tell it.
fn alarm(screen: Screen<GroupState>, services: Services, taken: Taken) -> Node {
    live(move || {
        let dead = shows(screen, services, taken).map(|shows| shows.facts.dead).unwrap_or_default();
        (!dead.is_empty()).then(|| {
            div("signal signal--danger")
                .set("role", "alert")
                .put(signal_line(words::signal_danger(), words::no_current_beside_load(&dead.join(", "))))
                .put(p("signal__say").put(words::treat_as_open_ct()))
        })
    })
}

fn answers(screen: Screen<GroupState>, services: Services, taken: Taken) -> Node {
    live(move || {
        if services.with_job(|_| ()).is_none() {
            return nothing();
        }
        let Some(Shows { facts, before, factor, has_nominal }) = shows(screen, services, taken) else {
            return p("say").put(words::readings_waiting()).into();
        };
        many([
            unlike(&facts).into(),
            pictures_of(&facts, before.as_ref()),
            before.as_ref().map(|before| beside(&facts, before)).into(),
            powers(&facts, factor.as_ref()),
            sums(&facts),
            expected(&facts.expected, has_nominal),
        ])
    })
}

/// The first suspicion is a slip of the tool or the hand: read again before anything else.
fn unlike(facts: &Facts) -> Option<Tag> {
    let (first, rest) = facts.unlike.split_first()?;
    let others: Vec<&str> = ELEMENTS.into_iter().filter(|name| !facts.unlike.contains(name)).collect();
    let title = match (rest.is_empty(), others.as_slice()) {
        (true, [one, other]) => words::reads_unlike_two(first, one, other),
        _ => words::read_unlike_each_other(&facts.unlike.join(", ")),
    };
    Some(finding(title).set("role", "status").put(tag("P").put(words::repeat_the_reading())))
}

fn pictures_of(facts: &Facts, before: Option<&Facts>) -> Node {
    let pairs = pictures::pairs(facts, before);
    let circle = pictures::circle(facts).map(|circle| {
        details("", words::whole_circle())
            .put(picture(::pictures::whole_circle(&circle)))
            .put(texts(circle.table().rows, false))
    });
    classed("SECTION", "stack")
        .set("aria-label", words::pairs_title())
        .put(h2(words::pairs_title()))
        .put(bare_picture(::pictures::element_pairs(&pairs)))
        .put(details("", words::as_a_table()).put(texts(pairs.table().rows, false)))
        .put(circle)
        .into()
}

/// Rows of texts as a table of facts, the first cell as the row’s head.
pub fn texts(rows: Vec<Vec<String>>, numbers: bool) -> Tag {
    let mut lines = Vec::new();
    for row in rows {
        let mut line = Vec::new();
        for cell in row {
            line.push(cell.into());
        }
        lines.push(line);
    }
    facts_table(&[], lines, numbers)
}

fn number(value: f64, digits: u8, unit: &'static str) -> String {
    shown(&Shown::measured(value, digits, unit))
}

fn powers(facts: &Facts, factor_working: Option<&Working>) -> Node {
    if facts.across_lines {
        return p("say").put(words::no_watts_from_lines()).into();
    }
    let factor = facts.factor.map(|factor| factor.to_f64());
    let (mut rows, mut workings) = (Vec::new(), Vec::new());
    for element in &facts.elements {
        if let Some(power) = &element.power {
            rows.push(power_row(element.name, power, factor));
            workings.push(working_view(&power.working));
        }
    }
    if rows.is_empty() {
        return p("say").put(words::powers_waiting()).into();
    }
    if let Some(total) = &facts.total {
        rows.push(power_row(words::total(), total, factor));
        // The total’s working holds that of every element.
        workings = vec![working_view(&total.working)];
    }
    let primary = if factor.is_some() { words::primary_side() } else { "" };
    let table = facts_table(&["", "W", "var", words::power_factor(), primary], rows, true);
    let scroll = div("scroll").set("tabindex", "0").set("role", "group").set("aria-label", words::powers()).put(table);
    let mut section = classed("SECTION", "stack")
        .set("aria-label", words::powers())
        .put(h2(words::powers()))
        .put(scroll)
        .put(factor.is_none().then(|| p("soft").put(words::no_primary_yet())))
        .put(workings);
    if let Some(working) = factor_working {
        section = section.put(tag("P").put(words::primary_how())).put(working_view(working));
    }
    section.into()
}

fn power_row(name: &str, power: &Power, factor: Option<f64>) -> Vec<Node> {
    let share = power.factor.map(|share| grouped(&Shown::measured(share, 3, "").text())).unwrap_or_default();
    let primary = factor.map(|factor| number(power.watts * factor / 1000.0, 2, "kW")).unwrap_or_default();
    vec![
        name.to_string().into(),
        number(power.watts, 1, "").into(),
        number(power.vars, 1, "").into(),
        share.into(),
        primary.into(),
    ]
}

fn sums(facts: &Facts) -> Node {
    let rotation = |rotation: Option<Rotation>| match rotation {
        Some(Rotation::Known(Sequence::Abc)) => words::choice("reading_set", "rotation", "abc"),
        Some(Rotation::Known(Sequence::Cba)) => words::choice("reading_set", "rotation", "cba"),
        Some(Rotation::Neither) => words::rotation_neither().to_string(),
        None => words::not_known_yet().to_string(),
    };
    let size = |value: Option<f64>, digits, unit| {
        value.map_or_else(|| words::not_known_yet().to_string(), |value| number(value, digits, unit))
    };
    let rows = vec![
        vec![words::sum_of_amps().to_string(), size(facts.residual_amps, 2, "A")],
        vec![words::sum_of_volts().to_string(), size(facts.residual_volts, 1, "V")],
        vec![words::rotation_of_volts().to_string(), rotation(facts.volts_rotation)],
        vec![words::rotation_of_amps().to_string(), rotation(facts.amps_rotation)],
    ];
    classed("SECTION", "stack")
        .put(h2(words::sums_and_rotation()))
        .put(texts(rows, false))
        .put(p("soft").put(words::sum_of_amps_why()))
        .into()
}

fn expected(lines: &[Expected], has_nominal: bool) -> Node {
    if lines.is_empty() {
        return (!has_nominal).then(|| p("soft").put(words::expected_needs_nominal())).into();
    }
    let mut rows = Vec::new();
    for line in lines {
        let off = (line.share - 1.0).abs() > VOLTS_SPREAD_SHARE;
        let share = number(line.share * 100.0, 1, "%");
        rows.push(vec![
            marked(line.name, off, words::more_than_a_tenth_off()),
            number(line.read_volts, 1, "V").into(),
            number(line.expected_volts, 1, "V").into(),
            with_more(share, number(line.primary_volts, 0, "V")),
        ]);
    }
    let heads = ["", words::read(), words::expected(), words::on_primary()];
    classed("SECTION", "stack")
        .put(h2(words::volts_expected()))
        .put(facts_table(&heads, rows, true))
        .put(p("soft").put(words::volts_expected_how()))
        .into()
}

/// A row’s name, with a mark where something about it is odd.
fn marked(name: &str, odd: bool, mark: &'static str) -> Node {
    many([name.to_string().into(), odd.then(|| classed("SPAN", "tag tag--odd").put(mark)).into()])
}

/// A text, and more in smaller type.
fn with_more(text: String, more: String) -> Node {
    many([text.into(), classed("SPAN", "facts__more").put(more).into()])
}

/// As left beside as found.
fn beside(left: &Facts, found: &Facts) -> Tag {
    let size = |value: Option<f64>, digits, unit| value.map(|value| number(value, digits, unit)).unwrap_or_default();
    let volts = |element: &facts::Element| element.read.volts.map(|volts| volts.get());
    let amps = |element: &facts::Element| element.read.amps.map(|amps| amps.get());
    let cell = |now: String, before: String| with_more(now, words::found_was(&before));
    let mut rows = Vec::new();
    for (now, before) in left.elements.iter().zip(&found.elements) {
        let volts_moved = volts(now)
            .zip(volts(before))
            .is_some_and(|(now, before)| (now - before).abs() > before * VOLTS_CHANGE_SHARE);
        let turned = now
            .lag_degrees
            .zip(before.lag_degrees)
            .is_some_and(|(now, before)| apart(now, before) > facts::UNLIKE_DEGREES);
        rows.push(vec![
            marked(now.name, volts_moved || turned, words::moved_since()),
            cell(size(volts(now), 1, "V"), size(volts(before), 1, "V")),
            cell(size(amps(now), 2, "A"), size(amps(before), 2, "A")),
            cell(pictures::stands(now), pictures::stands(before)),
        ]);
    }
    classed("SECTION", "stack").put(h2(words::as_left_beside_found())).put(facts_table(&[], rows, false))
}
