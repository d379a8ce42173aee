//! The readings’ page: the table to fill in, then plain facts: pictures, powers, sums, expected volts. No cause is named here.

use super::entered::entered;
use super::facts::{self, Expected, Facts, Power, Set, Site, apart};
use super::form::{self, ELEMENTS};
use super::pictures;
use super::save::{SaveAll, is_touched, save_all};
use crate::group::view::group_screen;
use crate::group::{GroupState, GroupView};
use crate::picture::Picture;
use crate::route::{Part, Route, Taken};
use crate::screen::Screen;
use crate::screens::plates::compare;
use crate::services::{JobState, Services};
use crate::shell::Shell;
use crate::working::{WorkingView, grouped, shown};
use jobfile::Fold;
use leptos::prelude::*;
use metering::multiplier::transformer_factor;
use metering::reading::Rotation;
use metering::service::Sequence;
use metering::working::{Shown, Working};
use procedure::checks::{VOLTS_CHANGE_SHARE, VOLTS_SPREAD_SHARE};

/// Volts, amps and angles, as found or as left.
#[component]
pub fn Readings(services: Services, id: String, taken: Taken) -> impl IntoView {
    let screen = group_screen(form::group(&id, taken, services.context()), services);
    let site = Memo::new(move |_| services.with_job(|job| job.site()).unwrap_or_default());
    let sub = match taken {
        Taken::AsFound => words::readings_as_found(),
        Taken::AsLeft => words::readings_as_left(),
    };
    let foot = view! { <SaveAll groups=vec![screen] wants=form::wants save=words::save() after=Route::Job(id.clone(), Part::Steps)/> }.into_any();
    view! {
        <Shell title=site sub=sub back=Route::Job(id, Part::Overview) foot=foot>
            <Alarm screen services taken/>
            <section class="stack"><h2>{words::instrument_shows()}</h2><GroupView screen/><SavePart screen/></section>
            <Answers screen services taken/>
        </Shell>
    }
    .into_any()
}

/// Not every instrument reads everything: what is there may be written down at any time.
#[component]
fn SavePart(screen: Screen<GroupState>) -> impl IntoView {
    let part = Memo::new(move |_| {
        screen.with(|group| is_touched(group) && group.lead().is_none() && form::wants(group).is_some())
    });
    move || {
        part.get().then(|| view! { <button type="button" class="ghost" on:click=move |_| save_all(&[screen])>{words::save_what_is_there()}</button> })
    }
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
    let nominal_volts = fold.one("site", "").and_then(|site| site.fields.value_text("nominal_volts")?.parse().ok());
    (Site { nominal_volts, vt, factor: factor.as_ref().map(|(factor, _)| *factor) }, factor.map(|(_, working)| working))
}

/// Everything the page shows below the table.
#[derive(Clone, Debug, PartialEq)]
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
#[component]
fn Alarm(screen: Screen<GroupState>, services: Services, taken: Taken) -> impl IntoView {
    let dead = Memo::new(move |_| shows(screen, services, taken).map(|shows| shows.facts.dead).unwrap_or_default());
    move || {
        dead.with(|dead| {
            (!dead.is_empty()).then(|| {
                view! {
                    <div class="signal signal--danger" role="alert">
                        <p class="signal__say"><strong class="signal__word">{words::signal_danger()}</strong>{words::no_current_beside_load(&dead.join(", "))}</p>
                        <p class="signal__say">{words::treat_as_open_ct()}</p>
                    </div>
                }
            })
        })
    }
}

#[component]
fn Answers(screen: Screen<GroupState>, services: Services, taken: Taken) -> impl IntoView {
    let known = Memo::new(move |_| shows(screen, services, taken));
    let loading = move || services.job.with(|state| !matches!(state, JobState::Open(_)));
    move || {
        if loading() {
            return ().into_any();
        }
        match known.get() {
            None => view! { <p class="say">{words::readings_waiting()}</p> }.into_any(),
            Some(shows) => answers(shows),
        }
    }
}

fn answers(shows: Shows) -> AnyView {
    let Shows { facts, before, factor, has_nominal } = shows;
    view! {
        {unlike(&facts)}
        {pictures_of(&facts, before.as_ref())}
        {before.as_ref().map(|before| beside(&facts, before))}
        {powers(&facts, factor)}
        {sums(&facts)}
        {expected(&facts.expected, has_nominal)}
    }
    .into_any()
}

/// The first suspicion is a slip of the tool or the hand: read again before anything else.
fn unlike(facts: &Facts) -> Option<AnyView> {
    let (first, rest) = facts.unlike.split_first()?;
    let others: Vec<&str> = ELEMENTS.into_iter().filter(|name| !facts.unlike.contains(name)).collect();
    let title = match (rest.is_empty(), others.as_slice()) {
        (true, [one, other]) => words::reads_unlike_two(first, one, other),
        _ => words::read_unlike_each_other(&facts.unlike.join(", ")),
    };
    Some(
        view! {
            <section class="finding" role="status">
                <h2 class="finding__title">{title}</h2>
                <p>{words::repeat_the_reading()}</p>
            </section>
        }
        .into_any(),
    )
}

fn pictures_of(facts: &Facts, before: Option<&Facts>) -> AnyView {
    let pairs = pictures::pairs(facts, before);
    let circle = pictures::circle(facts);
    let svg = ::pictures::element_pairs(&pairs);
    let circle = circle.map(|circle| {
        let svg = ::pictures::whole_circle(&circle);
        view! {
            <details>
                <summary class="links__link">{words::whole_circle()}</summary>
                <Picture svg/>
                {table(circle.table().rows)}
            </details>
        }
    });
    view! {
        <section class="stack" aria-label=words::pairs_title()>
            <h2>{words::pairs_title()}</h2>
            <Picture svg bare=true/>
            <details><summary class="links__link">{words::as_a_table()}</summary>{table(pairs.table().rows)}</details>
            {circle}
        </section>
    }
    .into_any()
}

/// The same facts in rows, the first cell as the row’s head.
fn table(rows: Vec<Vec<String>>) -> AnyView {
    let rows = rows.into_iter().map(|cells| {
        let mut cells = cells.into_iter();
        let head = cells.next().unwrap_or_default();
        view! { <tr><th scope="row">{head}</th>{cells.map(|cell| view! { <td>{cell}</td> }).collect_view()}</tr> }
    });
    view! { <table class="facts"><tbody>{rows.collect_view()}</tbody></table> }.into_any()
}

fn number(value: f64, digits: u8, unit: &'static str) -> String {
    shown(&Shown::measured(value, digits, unit))
}

fn powers(facts: &Facts, factor_working: Option<Working>) -> AnyView {
    if facts.across_lines {
        return view! { <p class="say">{words::no_watts_from_lines()}</p> }.into_any();
    }
    let elements: Vec<(String, &Power)> =
        facts.elements.iter().filter_map(|element| Some((element.name.to_string(), element.power.as_ref()?))).collect();
    if elements.is_empty() {
        return view! { <p class="say">{words::powers_waiting()}</p> }.into_any();
    }
    let total = facts.total.as_ref().map(|total| (words::total().to_string(), total));
    let factor = facts.factor.map(|factor| factor.to_f64());
    let rows = elements.iter().map(|(name, power)| power_row(name, power, factor)).collect_view();
    let foot = total.as_ref().map(|(name, power)| power_row(name, power, factor));
    let workings = match (&total, elements) {
        // The total’s working holds that of every element.
        (Some((_, total)), _) => vec![total.working.clone()],
        (None, elements) => elements.into_iter().map(|(_, power)| power.working.clone()).collect(),
    };
    let primary = if factor.is_some() { words::primary_side() } else { "" };
    view! {
        <section class="stack" aria-label=words::powers()>
            <h2>{words::powers()}</h2>
            <div class="scroll" tabindex="0" role="group" aria-label=words::powers()>
            <table class="facts">
                <thead><tr>
                    <td></td><th scope="col" class="facts__number">"W"</th><th scope="col" class="facts__number">"var"</th>
                    <th scope="col" class="facts__number">{words::power_factor()}</th><th scope="col" class="facts__number">{primary}</th>
                </tr></thead>
                <tbody>{rows}{foot}</tbody>
            </table>
            </div>
            {factor.is_none().then(|| view! { <p class="soft">{words::no_primary_yet()}</p> })}
            {workings.into_iter().map(|working| view! { <WorkingView working/> }).collect_view()}
            {factor_working.map(|working| view! { <p>{words::primary_how()}</p><WorkingView working/> })}
        </section>
    }
    .into_any()
}

fn power_row(name: &str, power: &Power, factor: Option<f64>) -> AnyView {
    let share = power.factor.map(|share| grouped(&Shown::measured(share, 3, "").text())).unwrap_or_default();
    let primary = factor.map(|factor| number(power.watts * factor / 1000.0, 2, "kW")).unwrap_or_default();
    view! {
        <tr>
            <th scope="row">{name.to_string()}</th>
            <td class="facts__number">{number(power.watts, 1, "")}</td>
            <td class="facts__number">{number(power.vars, 1, "")}</td>
            <td class="facts__number">{share}</td>
            <td class="facts__number">{primary}</td>
        </tr>
    }
    .into_any()
}

fn sums(facts: &Facts) -> AnyView {
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
    view! { <section class="stack"><h2>{words::sums_and_rotation()}</h2>{table(rows)}<p class="soft">{words::sum_of_amps_why()}</p></section> }.into_any()
}

fn expected(lines: &[Expected], has_nominal: bool) -> AnyView {
    if lines.is_empty() {
        return (!has_nominal).then(|| view! { <p class="soft">{words::expected_needs_nominal()}</p> }).into_any();
    }
    let rows = lines.iter().map(|line| {
        let off = (line.share - 1.0).abs() > VOLTS_SPREAD_SHARE;
        let tag = off.then(|| view! { <span class="tag tag--odd">{words::more_than_a_tenth_off()}</span> });
        view! {
            <tr>
                <th scope="row">{line.name}{tag}</th>
                <td class="facts__number">{number(line.read_volts, 1, "V")}</td>
                <td class="facts__number">{number(line.expected_volts, 1, "V")}</td>
                <td class="facts__number">{number(line.share * 100.0, 1, "%")}<span class="facts__more">{number(line.primary_volts, 0, "V")}</span></td>
            </tr>
        }
    });
    view! {
        <section class="stack">
            <h2>{words::volts_expected()}</h2>
            <table class="facts">
                <thead><tr><td></td><th scope="col" class="facts__number">{words::read()}</th><th scope="col" class="facts__number">{words::expected()}</th><th scope="col" class="facts__number">{words::on_primary()}</th></tr></thead>
                <tbody>{rows.collect_view()}</tbody>
            </table>
            <p class="soft">{words::volts_expected_how()}</p>
        </section>
    }
    .into_any()
}

/// As left beside as found.
fn beside(left: &Facts, found: &Facts) -> AnyView {
    let rows = left.elements.iter().zip(&found.elements).map(|(now, before)| {
        let size = |value: Option<f64>, digits, unit| value.map(|value| number(value, digits, unit)).unwrap_or_default();
        let volts = |element: &facts::Element| element.read.volts.map(|volts| volts.get());
        let amps = |element: &facts::Element| element.read.amps.map(|amps| amps.get());
        let volts_moved = volts(now).zip(volts(before)).is_some_and(|(now, before)| (now - before).abs() > before * VOLTS_CHANGE_SHARE);
        let turned = now.lag_degrees.zip(before.lag_degrees).is_some_and(|(now, before)| apart(now, before) > facts::UNLIKE_DEGREES);
        let tag = (volts_moved || turned).then(|| view! { <span class="tag tag--odd">{words::moved_since()}</span> });
        let cell = |now: String, before: String| view! { <td>{now}<span class="facts__more">{words::found_was(&before)}</span></td> };
        view! {
            <tr>
                <th scope="row">{now.name}{tag}</th>
                {cell(size(volts(now), 1, "V"), size(volts(before), 1, "V"))}
                {cell(size(amps(now), 2, "A"), size(amps(before), 2, "A"))}
                {cell(pictures::stands(now), pictures::stands(before))}
            </tr>
        }
    });
    view! { <section class="stack"><h2>{words::as_left_beside_found()}</h2><table class="facts"><tbody>{rows.collect_view()}</tbody></table></section> }.into_any()
}
