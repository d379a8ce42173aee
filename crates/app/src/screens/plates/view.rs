//! The nameplates’ page: the multiplier they give, found beside on record, whether the incoming meter fits, then the plates.

use super::compare::{self, ELEMENTS, Line, Multiplier, NoRatio, State, What};
use super::fit::{self, Told, Weight};
use crate::drawing::{Node, classed, details, div, facts, finding, h2, live, many, nothing, notice, p, tag};
use crate::group::{GroupState, group_screen, group_view};
use crate::picture::picture;
use crate::route::{Part, Route};
use crate::screen::Screen;
use crate::screens::readings::entered::entered;
use crate::screens::readings::save::{save_button, wants_nothing};
use crate::screens::readings::texts;
use crate::services::Services;
use crate::services::job::OpenJob;
use crate::shell::Shell;
use crate::speak;
use crate::working::{grouped, shown, working_view};
use jobfile::Fields;
use metering::decimal::Decimal;
use metering::factor::Factor;
use metering::multiplier::{Against, Candidate, LooksLike, Outside, RatiosInside};
use metering::ratio::Ratio;
use metering::working::Shown;
use pictures::{ChainPicture, Factor as Link, multiplier_chain};

/// Two meters.
const METERS: [&str; 2] = ["outgoing", "incoming"];

/// What is stamped on the equipment, beside the record.
pub fn plates(services: Services, id: String) -> Node {
    let groups = Groups::new(services, &id);
    let foot = save_button(groups.all(), wants_nothing, words::save(), Route::Job(id.clone(), Part::Steps));
    let stack = |title: Node, screen| classed("SECTION", "stack").put(h2(title)).put(group_view(screen));
    let ratios = details("", words::ratios_on_record()).put(group_view(groups.ratios));
    Shell::of_job(services).sub(words::nameplates()).back(Route::Job(id, Part::Overview)).foot(foot).around(vec![
        live(move || {
            let plates = groups.plates(services);
            many([multipliers(&plates), beside(&compare::lines(&plates))])
        }),
        live(move || services.with_job(fits)),
        stack(words::current_transformers().into(), groups.ct).into(),
        stack(words::voltage_transformers().into(), groups.vt).into(),
        stack(words::both_meters().into(), groups.meters).into(),
        stack(words::kind("switch").into(), groups.switch).into(),
        stack(words::kind("on_record").into(), groups.record).put(ratios).into(),
    ])
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

/// The multiplier of each meter that has a plate; one card where both say the same.
fn multipliers(plates: &compare::Plates) -> Node {
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
    let second = incoming.filter(|_| !alike).map(|incoming| multiplier(words::incoming_meter(), incoming));
    many([multiplier(first, outgoing), second.into()])
}

fn multiplier(meter: &str, multiplier: Multiplier) -> Node {
    match multiplier {
        Multiplier::NoMeter => p("say").put(words::multiplier_needs_meter()).into(),
        Multiplier::NoCt(why) => no_ratio(&words::kind("ct_plate"), why),
        Multiplier::NoVt(why) => no_ratio(&words::kind("vt_plate"), why),
        Multiplier::Cannot(code) => complaint(code),
        Multiplier::Outside { ct, vt, register_constant, outside, against } => match outside {
            Outside::Known(candidate) => known(meter, &candidate, (ct, vt, register_constant), against.as_ref()),
            Outside::Undecided(several) => undecided(meter, words::multiplier_undecided(), &several),
            Outside::Contradiction { mut by_program, by_display } => {
                by_program.extend(by_display);
                undecided(meter, words::multiplier_contradiction(), &by_program)
            }
        },
    }
}

/// Why nothing can be reckoned.
fn complaint(code: &str) -> Node {
    p("field__complaint").put(words::of_code(&format!("calc-{code}"), &[])).into()
}

fn no_ratio(plate: &str, why: NoRatio) -> Node {
    let (title, mend) = match why {
        NoRatio::Missing(element) => return p("say").put(words::multiplier_needs_plate(plate, element)).into(),
        NoRatio::Arithmetic(_) => return complaint("turns"),
        NoRatio::Unlike => (words::ratios_unlike(plate), words::ratios_unlike_mend()),
        NoRatio::Tap(element) => (words::tap_no_ratio(plate, element), words::tap_no_ratio_mend()),
    };
    finding(title).put(tag("P").put(mend)).into()
}

fn known(
    meter: &str,
    candidate: &Candidate,
    (ct, vt, register_constant): (Ratio, Ratio, Decimal),
    against: Option<&Against>,
) -> Node {
    let what = format!("{}, {}, {}", words::billing_multiplier(), speak::lower(meter), words::computed());
    let value = div("value value--computed")
        .put(classed("SPAN", "value__number").put(shown(&Shown::factor(candidate.multiplier))))
        .put(classed("SPAN", "value__word").put(what));
    let card = classed("SECTION", "card card--strong").set("aria-label", words::billing_multiplier()).put(value);
    let looks = against.and_then(|against| {
        let found = finding(looks_like(against)?).put(tag("P").put(words::plates_and_record_first()));
        Some(many([found.into(), working_view(&against.working)]))
    });
    let once =
        (candidate.applied != RatiosInside::None).then(|| notice(words::signal_notice(), words::multiplier_once()));
    let chain = chain(candidate, ct, vt, register_constant);
    many([
        card.into(),
        looks.into(),
        once.into(),
        picture(multiplier_chain(&chain)),
        details("", words::as_a_table()).put(texts(chain.table().rows, true)).into(),
        working_view(&candidate.working),
        notice(words::signal_notice(), words::of_code("caution-plate_alone", &[])).into(),
    ])
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

fn undecided(meter: &str, title: &str, several: &[Candidate]) -> Node {
    let mut rows = Vec::new();
    for candidate in several {
        let inside = words::choice("meter_plate", "ratios_inside", candidate.applied.code());
        rows.push(vec![inside.into(), shown(&Shown::factor(candidate.multiplier)).into()]);
    }
    let heads = [&words::field("meter_plate", "ratios_inside"), words::multiply_by()];
    finding(format!("{meter}: {title}"))
        .put(tag("P").put(words::multiplier_look()))
        .put(facts(&heads, rows, true))
        .into()
}

/// Found beside on record, differences first.
fn beside(lines: &[Line]) -> Node {
    if lines.is_empty() {
        return nothing();
    }
    let mut rows = Vec::new();
    for line in lines {
        let (class, word) = match line.state {
            State::Differs => ("tag tag--odd", words::differs()),
            State::Undecided => ("tag tag--odd", words::undecided()),
            State::NotStated => ("tag", words::plate_silent()),
            State::NotOnRecord => ("tag", words::not_on_record()),
            State::Same => ("tag tag--good", words::agrees()),
        };
        rows.push(vec![tagged(&name(line.what), class, word), (&line.found).into(), (&line.record).into()]);
    }
    let heads = ["", words::found(), &words::kind("on_record")];
    classed("SECTION", "stack").put(h2(words::found_beside_record())).put(facts(&heads, rows, false)).into()
}

/// A name, and a word beside it that says how it is.
fn tagged(name: &str, class: &'static str, word: &'static str) -> Node {
    many([name.to_string().into(), " ".into(), classed("SPAN", class).put(word).into()])
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
fn fits(job: &OpenJob) -> Node {
    if METERS.iter().any(|meter| job.fold.one("meter_plate", meter).is_none()) {
        return p("soft").put(words::fit_needs_both()).into();
    }
    let (mut forbids, mut rows, mut unread) = (Vec::new(), Vec::new(), Vec::new());
    for line in fit::told(&procedure::fit::fit(&job.fold)) {
        if line.weight == Weight::NotRead {
            unread.push(line.name);
            continue;
        }
        if line.weight == Weight::MustNot {
            let why = format!(": {}", why(&line));
            forbids.push(tag("LI").put(tag("B").put(&line.name)).put(why).into());
        }
        rows.push(fit_row(line));
    }
    let forbidden = (!forbids.is_empty()).then(|| {
        classed("SECTION", "finding")
            .set("role", "status")
            .put(classed("H3", "finding__title").put(words::must_not_fit()))
            .put(tag("UL").put(forbids))
    });
    let unread = (!unread.is_empty()).then(|| p("soft").put(words::not_compared(&unread.join(", "))));
    let heads = ["", words::outgoing_meter(), words::incoming_meter()];
    let line_by_line = details("", words::line_by_line()).put(facts(&heads, rows, false)).put(unread);
    classed("SECTION", "stack").put(h2(words::does_it_fit())).put(forbidden).put(line_by_line).into()
}

/// Why a line is as grave as it is, and how sure that is.
fn why(line: &Told) -> String {
    match &line.sure {
        Some(sure) => format!("{} {sure}", line.why),
        None => line.why.clone(),
    }
}

fn fit_row(line: Told) -> Vec<Node> {
    let (class, word) = match line.weight {
        Weight::MustNot => ("tag tag--odd", words::fit_must_not()),
        Weight::MayDiffer => ("tag", words::fit_may_differ()),
        Weight::NotRead | Weight::Same => ("tag tag--good", words::fit_same()),
    };
    let why = (!line.why.is_empty()).then(|| classed("SPAN", "facts__more").put(why(&line)));
    let name = many([tagged(&line.name, class, word), why.into()]);
    vec![name, line.outgoing.into(), line.incoming.into()]
}
