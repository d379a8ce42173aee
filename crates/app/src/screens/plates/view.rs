//! The nameplates’ page: the multiplier they give, found beside on record, whether the incoming meter fits, then the plates.

use super::compare::{self, ELEMENTS, Line, Multiplier, NoRatio, State, What};
use super::fit::{self, Told, Weight};
use crate::group::view::group_screen;
use crate::group::{GroupState, GroupView};
use crate::picture::Picture;
use crate::route::{Part, Route};
use crate::screen::Screen;
use crate::screens::readings::entered::entered;
use crate::screens::readings::save::SaveAll;
use crate::services::Services;
use crate::shell::Shell;
use crate::speak;
use crate::working::{WorkingView, grouped, shown};
use jobfile::Fields;
use leptos::prelude::*;
use metering::decimal::Decimal;
use metering::factor::Factor;
use metering::multiplier::{Against, Candidate, LooksLike, Outside, RatiosInside};
use metering::ratio::Ratio;
use metering::working::Shown;
use pictures::{ChainPicture, Factor as Link, multiplier_chain};

/// Two meters.
const METERS: [&str; 2] = ["outgoing", "incoming"];

/// What is stamped on the equipment, beside the record.
#[component]
pub fn Plates(services: Services, id: String) -> impl IntoView {
    let groups = Groups::new(services, &id);
    let title = Memo::new(move |_| services.with_job(|job| job.site()).unwrap_or_default());
    let foot = view! { <SaveAll groups=groups.all() save=words::save() after=Route::Job(id.clone(), Part::Steps)/> }
        .into_any();
    view! {
        <Shell title=title sub=words::nameplates() back=Route::Job(id, Part::Overview) foot=foot>
            <Answers groups services/>
            <section class="stack"><h2>{words::current_transformers()}</h2><GroupView screen=groups.ct/></section>
            <section class="stack"><h2>{words::voltage_transformers()}</h2><GroupView screen=groups.vt/></section>
            <section class="stack"><h2>{words::both_meters()}</h2><GroupView screen=groups.meters/></section>
            <section class="stack"><h2>{words::kind("switch")}</h2><GroupView screen=groups.switch/></section>
            <section class="stack">
                <h2>{words::kind("on_record")}</h2>
                <GroupView screen=groups.record/>
                <details><summary class="links__link">{words::ratios_on_record()}</summary><GroupView screen=groups.ratios/></details>
            </section>
        </Shell>
    }
    .into_any()
}

/// The groups of the page, in the order a hand meets them; each is written down for itself.
#[derive(Clone, Copy)]
struct Groups {
    ct: Screen<GroupState>,
    vt: Screen<GroupState>,
    meters: Screen<GroupState>,
    switch: Screen<GroupState>,
    record: Screen<GroupState>,
    ratios: Screen<GroupState>,
}

impl Groups {
    fn new(services: Services, id: &str) -> Groups {
        let group = |name: &str, records: &[(&'static str, &str, bool)]| {
            group_screen(GroupState::new(format!("{id}.plates.{name}"), records, services.context()), services)
        };
        let three = |kind: &'static str| [(kind, "found/A", false), (kind, "found/B", false), (kind, "found/C", false)];
        let recorded =
            |kind: &'static str| [(kind, "record/A", false), (kind, "record/B", false), (kind, "record/C", false)];
        let ratios = GroupState::new(
            format!("{id}.plates.ratios"),
            &[recorded("ct_plate"), recorded("vt_plate")].concat(),
            services.context(),
        );
        Groups {
            ct: group("ct", &three("ct_plate")),
            vt: group("vt", &three("vt_plate")),
            meters: group("meters", &METERS.map(|meter| ("meter_plate", meter, false))),
            switch: group("switch", &[("switch", "", false)]),
            record: group("record", &[("on_record", "", false)]),
            ratios: group_screen(
                ratios.only("ct_plate", &["ratio", "tap", "turns"]).only("vt_plate", &["ratio"]),
                services,
            ),
        }
    }

    fn all(self) -> Vec<Screen<GroupState>> {
        vec![self.ct, self.vt, self.meters, self.switch, self.record, self.ratios]
    }

    /// The plates as written down, or as typed where the hand has left them.
    fn plates(self, services: Services) -> compare::Plates {
        let context = services.context();
        let read = |screen: Screen<GroupState>, kind: &str, place: &str| -> Option<Fields> {
            screen
                .with(|group| entered(group, kind, place, &context))
                .filter(|entered| entered.settled)
                .map(|entered| entered.fields)
        };
        let each =
            |screen, kind: &str, side: &str| ELEMENTS.map(|element| read(screen, kind, &format!("{side}/{element}")));
        compare::Plates {
            ct: each(self.ct, "ct_plate", "found"),
            vt: each(self.vt, "vt_plate", "found"),
            ct_record: each(self.ratios, "ct_plate", "record"),
            vt_record: each(self.ratios, "vt_plate", "record"),
            outgoing: read(self.meters, "meter_plate", "outgoing"),
            incoming: read(self.meters, "meter_plate", "incoming"),
            on_record: read(self.record, "on_record", ""),
        }
    }
}

#[component]
fn Answers(groups: Groups, services: Services) -> impl IntoView {
    let plates = Memo::new(move |_| groups.plates(services));
    let lines = Memo::new(move |_| plates.with(compare::lines));
    let fit = Memo::new(move |_| {
        services
            .with_job(|job| {
                let both = METERS.iter().all(|meter| job.fold.one("meter_plate", meter).is_some());
                both.then(|| fit::told(&procedure::fit::fit(&job.fold)))
            })
            .flatten()
    });
    view! {
        {move || plates.with(multipliers)}
        {move || lines.with(|lines| beside(lines))}
        {move || fit.with(|told| fits(told.as_deref()))}
    }
    .into_any()
}

/// The multiplier of each meter that has a plate; one card where both say the same.
fn multipliers(plates: &compare::Plates) -> AnyView {
    let record = compare::recorded(plates);
    let outgoing = compare::multiplier(plates, plates.outgoing.as_ref(), record);
    let incoming = plates.incoming.as_ref().map(|meter| compare::multiplier(plates, Some(meter), None));
    let incoming = incoming.filter(|incoming| matches!(incoming, Multiplier::Outside { .. } | Multiplier::Cannot(_)));
    let alike = match (&outgoing, &incoming) {
        (
            Multiplier::Outside { outside: Outside::Known(one), .. },
            Some(Multiplier::Outside { outside: Outside::Known(other), .. }),
        ) => one.multiplier == other.multiplier,
        _ => false,
    };
    let first = if alike { words::both_meters() } else { words::outgoing_meter() };
    view! {
        {multiplier(first, outgoing)}
        {(!alike).then(|| incoming.map(|incoming| multiplier(words::incoming_meter(), incoming)))}
    }
    .into_any()
}

fn multiplier(meter: &'static str, multiplier: Multiplier) -> AnyView {
    let waits = |sentence: String| view! { <p class="say">{sentence}</p> }.into_any();
    match multiplier {
        Multiplier::NoMeter => waits(words::multiplier_needs_meter().to_string()),
        Multiplier::NoCt(why) => no_ratio(&words::kind("ct_plate"), why),
        Multiplier::NoVt(why) => no_ratio(&words::kind("vt_plate"), why),
        Multiplier::Cannot(code) => {
            view! { <p class="field__complaint">{words::of_code(&format!("calc-{code}"), &[])}</p> }.into_any()
        }
        Multiplier::Outside { ct, vt, register_constant, outside, against } => match outside {
            Outside::Known(candidate) => known(meter, *candidate, (ct, vt, register_constant), against),
            Outside::Undecided(several) => undecided(meter, words::multiplier_undecided(), several),
            Outside::Contradiction { mut by_program, by_display } => {
                by_program.extend(by_display);
                undecided(meter, words::multiplier_contradiction(), by_program)
            }
        },
    }
}

fn no_ratio(plate: &str, why: NoRatio) -> AnyView {
    let finding = |title: String, mend: &'static str| {
        view! { <section class="finding"><h2 class="finding__title">{title}</h2><p>{mend}</p></section> }.into_any()
    };
    match why {
        NoRatio::Missing(element) => {
            view! { <p class="say">{words::multiplier_needs_plate(plate, element)}</p> }.into_any()
        }
        NoRatio::Unlike => finding(words::ratios_unlike(plate), words::ratios_unlike_mend()),
        NoRatio::Tap(element) => finding(words::tap_no_ratio(plate, element), words::tap_no_ratio_mend()),
        NoRatio::Arithmetic(_) => {
            view! { <p class="field__complaint">{words::of_code("calc-turns", &[])}</p> }.into_any()
        }
    }
}

fn known(
    meter: &'static str,
    candidate: Candidate,
    (ct, vt, register_constant): (Ratio, Ratio, Decimal),
    against: Option<Against>,
) -> AnyView {
    let once = (candidate.applied != RatiosInside::None).then(|| notice(words::multiplier_once().to_string()));
    let chain = chain(&candidate, ct, vt, register_constant);
    let rows = chain.table().rows.into_iter().map(|row| {
        let mut cells = row.into_iter();
        view! { <tr><th scope="row">{cells.next()}</th><td class="facts__number">{cells.next()}</td></tr> }
    });
    let looks = against.and_then(|against| looks_like(&against).map(|sentence| (sentence, against.working)));
    view! {
        <section class="card card--strong" aria-label=words::billing_multiplier()>
            <div class="value value--computed">
                <span class="value__number">{shown(&Shown::factor(candidate.multiplier))}</span>
                <span class="value__word">{words::billing_multiplier()}", "{speak::lower(meter)}", "{words::computed()}</span>
            </div>
        </section>
        {looks.map(|(sentence, working)| view! { <section class="finding"><h2 class="finding__title">{sentence}</h2><p>{words::plates_and_record_first()}</p></section><WorkingView working/> })}
        {once}
        <Picture svg=multiplier_chain(&chain)/>
        <details><summary class="links__link">{words::as_a_table()}</summary><table class="facts"><tbody>{rows.collect_view()}</tbody></table></details>
        <WorkingView working=candidate.working/>
        {notice(words::of_code("caution-plate_alone", &[]))}
    }
    .into_any()
}

fn notice(sentence: String) -> AnyView {
    view! { <p class="signal signal--notice"><span class="signal__say"><strong class="signal__word">{words::signal_notice()}</strong>" "{sentence}</span></p> }.into_any()
}

/// CT ratio × VT ratio × register constant, and what the meter holds already divided out.
fn chain(candidate: &Candidate, ct: Ratio, vt: Ratio, register_constant: Decimal) -> ChainPicture {
    let figures = |value: Factor| grouped(&Shown::factor(value).text());
    let mut factors = vec![
        Link { name: words::ct_ratio_of(&ct.to_string()), value: figures(ct.quotient()) },
        Link { name: words::vt_ratio_of(&vt.to_string()), value: figures(vt.quotient()) },
    ];
    if register_constant != Decimal::whole(1) {
        factors.push(Link {
            name: words::field("meter_plate", "register_constant"),
            value: grouped(&register_constant.to_string()),
        });
    }
    if let Some(contained) = contained(candidate) {
        factors.push(Link {
            name: words::in_the_register_already().to_string(),
            value: format!("1 ÷ {}", figures(contained)),
        });
    }
    ChainPicture {
        title: words::chain_title().to_string(),
        factors,
        result: Link { name: words::billing_multiplier().to_string(), value: figures(candidate.multiplier) },
    }
}

/// What the register contains already, where it is not 1.
fn contained(candidate: &Candidate) -> Option<Factor> {
    let input = candidate.working.inputs.iter().find(|input| input.symbol == "TF_in")?;
    match input.value.value {
        metering::working::Value::Exact(factor) => Some(factor).filter(|factor| *factor != Factor::ONE),
        _ => None,
    }
}

fn looks_like(against: &Against) -> Option<String> {
    let code = match against.looks_like {
        LooksLike::Same | LooksLike::Rounded => return None,
        LooksLike::AppliedTwice => "applied_twice",
        LooksLike::WithoutCt => "without_ct",
        LooksLike::WithoutVt => "without_vt",
        LooksLike::WithoutBoth => "without_both",
        LooksLike::RootOfThree => "root_of_three",
        LooksLike::PowerOfTen => "power_of_ten",
        LooksLike::Other => "other",
    };
    Some(words::of_code(&format!("calc-looks_{code}"), &[]))
}

fn undecided(meter: &'static str, title: &'static str, several: Vec<Candidate>) -> AnyView {
    let rows = several.into_iter().map(|candidate| {
        view! { <tr><th scope="row">{words::choice("meter_plate", "ratios_inside", candidate.applied.code())}</th><td class="facts__number">{shown(&Shown::factor(candidate.multiplier))}</td></tr> }
    });
    view! {
        <section class="finding">
            <h2 class="finding__title">{meter}": "{title}</h2>
            <p>{words::multiplier_look()}</p>
            <table class="facts">
                <thead><tr><th scope="col">{words::field("meter_plate", "ratios_inside")}</th><th scope="col" class="facts__number">{words::multiply_by()}</th></tr></thead>
                <tbody>{rows.collect_view()}</tbody>
            </table>
        </section>
    }
    .into_any()
}

/// Found beside on record, differences first.
fn beside(lines: &[Line]) -> AnyView {
    if lines.is_empty() {
        return ().into_any();
    }
    let rows = lines.iter().map(|line| {
        let (class, word) = match line.state {
            State::Differs => ("tag tag--odd", words::differs()),
            State::Undecided => ("tag tag--odd", words::undecided()),
            State::NotStated => ("tag", words::plate_silent()),
            State::NotOnRecord => ("tag", words::not_on_record()),
            State::Same => ("tag tag--good", words::agrees()),
        };
        view! {
            <tr>
                <th scope="row">{name(line.what)}" "<span class=class>{word}</span></th>
                <td>{line.found.clone()}</td>
                <td>{line.record.clone()}</td>
            </tr>
        }
    });
    view! {
        <section class="stack">
            <h2>{words::found_beside_record()}</h2>
            <table class="facts">
                <thead><tr><td></td><th scope="col">{words::found()}</th><th scope="col">{words::kind("on_record")}</th></tr></thead>
                <tbody>{rows.collect_view()}</tbody>
            </table>
        </section>
    }
    .into_any()
}

fn name(what: What) -> String {
    match what {
        What::Multiplier => words::billing_multiplier().to_string(),
        What::CtUnlike => words::between_elements(words::ct_ratio()),
        What::VtUnlike => words::between_elements(words::vt_ratio()),
        What::Ct(element) => format!("{} {element}", words::ct_ratio()),
        What::Vt(element) => format!("{} {element}", words::vt_ratio()),
        What::Outgoing => words::outgoing_meter().to_string(),
        What::Incoming => words::incoming_meter().to_string(),
        What::Links => words::link_or_tap().to_string(),
    }
}

/// Whether the incoming meter fits: what forbids it as a finding, the rest as a table.
fn fits(told: Option<&[Told]>) -> AnyView {
    let Some(told) = told else { return view! { <p class="soft">{words::fit_needs_both()}</p> }.into_any() };
    let forbids = told.iter().filter(|line| line.weight == Weight::MustNot).map(|line| {
        view! { <li><b>{line.name.clone()}</b>": "{line.why.clone()}{line.sure.clone().map(|sure| format!(" {sure}"))}</li> }
    });
    let forbids = forbids.collect::<Vec<_>>();
    let finding = (!forbids.is_empty()).then(|| {
        view! { <section class="finding" role="status"><h3 class="finding__title">{words::must_not_fit()}</h3><ul>{forbids}</ul></section> }
    });
    let rows = told.iter().filter(|line| line.weight != Weight::NotRead).map(fit_row).collect_view();
    let unread: Vec<String> =
        told.iter().filter(|line| line.weight == Weight::NotRead).map(|line| line.name.clone()).collect();
    view! {
        <section class="stack">
            <h2>{words::does_it_fit()}</h2>
            {finding}
            <details>
                <summary class="links__link">{words::line_by_line()}</summary>
                <table class="facts">
                    <thead><tr><td></td><th scope="col">{words::outgoing_meter()}</th><th scope="col">{words::incoming_meter()}</th></tr></thead>
                    <tbody>{rows}</tbody>
                </table>
                {(!unread.is_empty()).then(|| view! { <p class="soft">{words::not_compared(&unread.join(", "))}</p> })}
            </details>
        </section>
    }
    .into_any()
}

fn fit_row(line: &Told) -> AnyView {
    let (class, word) = match line.weight {
        Weight::MustNot => ("tag tag--odd", words::fit_must_not()),
        Weight::MayDiffer => ("tag", words::fit_may_differ()),
        Weight::NotRead | Weight::Same => ("tag tag--good", words::fit_same()),
    };
    let why = (!line.why.is_empty()).then(|| {
        let sure = line.sure.clone().map(|sure| format!(" {sure}"));
        view! { <span class="facts__more">{line.why.clone()}{sure}</span> }
    });
    view! {
        <tr>
            <th scope="row">{line.name.clone()}" "<span class=class>{word}</span>{why}</th>
            <td>{line.outgoing.clone()}</td>
            <td>{line.incoming.clone()}</td>
        </tr>
    }
    .into_any()
}
