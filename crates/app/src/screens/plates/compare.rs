//! Found beside on record: the multiplier that the plates give, and every line on which plates and record differ.

use jobfile::Fields;
use jobfile::sorting::sort_by_key;
use metering::decimal::Decimal;
use metering::factor::Factor;
use metering::multiplier::{self, Against, MultiplierError, Outside, RatiosInside, Reads};
use metering::ratio::Ratio;

/// The three elements, as places name them.
pub const ELEMENTS: [&str; 3] = ["A", "B", "C"];
/// Most difference that counts as rounding on paper where the exact number has no end, as a share.
const PAPER_ROUNDING_SHARE: f64 = 1e-6;

/// The plates as far as they are known.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plates {
    /// CT plates found at A, B, C.
    pub ct: [Option<Fields>; 3],
    /// VT plates found at A, B, C.
    pub vt: [Option<Fields>; 3],
    /// CT plates on record.
    pub ct_record: [Option<Fields>; 3],
    /// VT plates on record.
    pub vt_record: [Option<Fields>; 3],
    /// Outgoing meter.
    pub outgoing: Option<Fields>,
    /// Incoming meter.
    pub incoming: Option<Fields>,
    /// The office’s record.
    pub on_record: Option<Fields>,
}

/// Why there is no one ratio in use.
#[derive(Clone, Debug, PartialEq)]
pub enum NoRatio {
    /// This element’s plate is still to be read.
    Missing(&'static str),
    /// The three elements do not carry one ratio.
    Unlike,
    /// This element’s tap is not written as a ratio.
    Tap(&'static str),
    /// The arithmetic gave none: its code.
    Arithmetic(&'static str),
}

/// What the plates say about one meter’s multiplier.
#[derive(Clone, Debug, PartialEq)]
#[expect(clippy::large_enum_variant, reason = "one at a time, on the stack of one screen")]
pub enum Multiplier {
    /// The meter’s own plate is still to be read.
    NoMeter,
    /// The CTs give no one ratio.
    NoCt(NoRatio),
    /// The VTs give no one ratio.
    NoVt(NoRatio),
    /// The arithmetic gave none: its code.
    Cannot(&'static str),
    /// What is left to multiply by, with the ratios that it is made of.
    Outside {
        /// The CT ratio in use.
        ct: Ratio,
        /// The VT ratio in use.
        vt: Ratio,
        /// What the register itself must be multiplied by.
        register_constant: Decimal,
        /// One multiplier, or several.
        outside: Outside,
        /// The multiplier on record held against it, where both are known.
        against: Option<Against>,
    },
}

/// What a line compares.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum What {
    /// The billing multiplier of the outgoing meter.
    Multiplier,
    /// CT ratios, element by element, among each other.
    CtUnlike,
    /// VT ratios among each other.
    VtUnlike,
    /// One CT ratio against the record.
    Ct(&'static str),
    /// One VT ratio against the record.
    Vt(&'static str),
    /// Number of the outgoing meter.
    Outgoing,
    /// Number of the incoming meter.
    Incoming,
    /// Taps and links of the CTs that are found.
    Links,
}

/// How found and on record stand to each other. In the order of the lines: differences first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum State {
    /// They differ.
    Differs,
    /// More than one is possible.
    Undecided,
    /// Nobody wrote it down.
    NotStated,
    /// The office knows nothing of it.
    NotOnRecord,
    /// They agree.
    Same,
}

/// One line.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What is compared.
    pub what: What,
    /// As found: figures or a number as stamped, no sentence.
    pub found: String,
    /// As on record.
    pub record: String,
    /// How they stand.
    pub state: State,
}

/// The ratio in use of one plate: tap and turns counted in.
fn in_use(plate: &Fields, element: &'static str) -> Result<Ratio, NoRatio> {
    let stamped = plate.ratio("ratio").ok_or(NoRatio::Missing(element))?;
    let tap = plate.text("tap").map(Ratio::parse).transpose().map_err(|_| NoRatio::Tap(element))?;
    let turns = plate.count("turns").unwrap_or(1);
    stamped.in_use(tap, turns).map_err(|why| NoRatio::Arithmetic(why.code()))
}

/// The one ratio in use that all three plates carry.
///
/// # Errors
/// [`NoRatio`] says why there is none.
pub fn common(plates: &[Option<Fields>; 3]) -> Result<Ratio, NoRatio> {
    let mut known: Option<Ratio> = None;
    for (element, plate) in ELEMENTS.into_iter().zip(plates) {
        let used = in_use(plate.as_ref().ok_or(NoRatio::Missing(element))?, element)?;
        match known {
            Some(first) if first.quotient() != used.quotient() => return Err(NoRatio::Unlike),
            Some(_) => {}
            None => known = Some(used),
        }
    }
    known.ok_or(NoRatio::Unlike)
}

/// The multiplier that this meter needs outside.
pub fn multiplier(plates: &Plates, meter: Option<&Fields>, on_record: Option<Decimal>) -> Multiplier {
    let ct = match common(&plates.ct) {
        Ok(ct) => ct,
        Err(why) => return Multiplier::NoCt(why),
    };
    let vt = match common(&plates.vt) {
        Ok(vt) => vt,
        Err(why) => return Multiplier::NoVt(why),
    };
    let Some(meter) = meter else { return Multiplier::NoMeter };
    let register_constant = meter.decimal("register_constant").unwrap_or_else(|| Decimal::whole(1));
    let made_from = multiplier::Plates {
        ct,
        vt,
        register_constant,
        inside: RatiosInside::from_code(meter.choice("ratios_inside")),
        inside_ct: meter.ratio("inside_ct"),
        inside_vt: meter.ratio("inside_vt"),
        reads: Reads::from_code(meter.choice("display")),
    };
    match multiplier::outside(&made_from) {
        Ok(outside) => {
            let against = match (&outside, on_record) {
                (Outside::Known(known), Some(record)) => {
                    multiplier::against_record(record, &made_from, known.multiplier).ok()
                }
                _ => None,
            };
            Multiplier::Outside { ct, vt, register_constant, outside, against }
        }
        Err(MultiplierError::NotPositive { .. }) => Multiplier::Cannot("constant"),
        Err(_) => Multiplier::Cannot("too_long"),
    }
}

/// The multiplier on record.
pub fn recorded(plates: &Plates) -> Option<Decimal> {
    plates.on_record.as_ref().and_then(|record| record.decimal("multiplier"))
}

/// Every line that can be compared, differences first.
pub fn lines(plates: &Plates) -> Vec<Line> {
    let mut lines = Vec::new();
    lines.extend(multiplier_line(plates));
    lines.extend(unlike_line(What::CtUnlike, &plates.ct));
    lines.extend(unlike_line(What::VtUnlike, &plates.vt));
    for (at, element) in ELEMENTS.into_iter().enumerate() {
        lines.extend(ratio_line(What::Ct(element), plates.ct.get(at), plates.ct_record.get(at)));
        lines.extend(ratio_line(What::Vt(element), plates.vt.get(at), plates.vt_record.get(at)));
    }
    let number = |field: &str| plates.on_record.as_ref().and_then(|record| record.text(field));
    lines.extend(number_line(What::Outgoing, plates.outgoing.as_ref(), number("outgoing_number")));
    lines.extend(number_line(What::Incoming, plates.incoming.as_ref(), number("incoming_number")));
    lines.extend(links_line(plates));
    sort_by_key(&mut lines, |line| (line.state, line.what));
    lines
}

/// A plate tells the ratio in use only together with its tap or link: the elements where neither is written down.
fn links_line(plates: &Plates) -> Option<Line> {
    let is_silent =
        |plate: &Option<Fields>| plate.as_ref().is_some_and(|plate| !plate.has("tap") && !plate.has("link"));
    let silent: Vec<&str> = ELEMENTS
        .into_iter()
        .zip(&plates.ct)
        .filter(|(_, plate)| is_silent(plate))
        .map(|(element, _)| element)
        .collect();
    (!silent.is_empty()).then(|| Line {
        what: What::Links,
        found: silent.join(", "),
        record: String::new(),
        state: State::NotStated,
    })
}

fn multiplier_line(plates: &Plates) -> Option<Line> {
    let on_record = recorded(plates);
    let Multiplier::Outside { outside, .. } = multiplier(plates, plates.outgoing.as_ref(), on_record) else {
        return None;
    };
    let record = on_record.map(|record| record.to_string()).unwrap_or_default();
    let text = |value: Factor| metering::working::Shown::factor(value).text();
    let (found, state) = match &outside {
        Outside::Known(known) => (text(known.multiplier), against(known.multiplier, on_record)),
        Outside::Undecided(several) => (list(several.iter().map(|one| text(one.multiplier))), State::Undecided),
        Outside::Contradiction { by_program, by_display } => {
            (list(by_program.iter().chain(by_display).map(|one| text(one.multiplier))), State::Undecided)
        }
    };
    Some(Line { what: What::Multiplier, found, record, state })
}

fn against(found: Factor, record: Option<Decimal>) -> State {
    let Some(record) = record else { return State::NotOnRecord };
    let (exact, written) = (found.to_f64(), record.to_f64());
    let is_same = Factor::from(record) == found
        || (found.has_root_3() && (exact - written).abs() <= exact * PAPER_ROUNDING_SHARE);
    if is_same { State::Same } else { State::Differs }
}

fn list(texts: impl Iterator<Item = String>) -> String {
    texts.collect::<Vec<_>>().join(" / ")
}

/// A line only where the elements differ: three alike are no news.
fn unlike_line(what: What, plates: &[Option<Fields>; 3]) -> Option<Line> {
    let used: Vec<(&str, Ratio)> = ELEMENTS
        .into_iter()
        .zip(plates)
        .filter_map(|(element, plate)| Some((element, in_use(plate.as_ref()?, element).ok()?)))
        .collect();
    let (_, first) = used.first()?;
    let differs = used.iter().any(|(_, ratio)| ratio.quotient() != first.quotient());
    let found = used.iter().map(|(element, ratio)| format!("{element} {ratio}")).collect::<Vec<_>>().join(", ");
    differs.then(|| Line { what, found, record: String::new(), state: State::Differs })
}

fn ratio_line(what: What, found: Option<&Option<Fields>>, record: Option<&Option<Fields>>) -> Option<Line> {
    let (What::Ct(element) | What::Vt(element)) = what else { return None };
    let (found, record) = (found?.as_ref()?, record?.as_ref()?);
    let typed = |plate: &Fields| plate.typed("ratio").unwrap_or_default().to_string();
    let state = match (in_use(found, element), in_use(record, element)) {
        (Ok(one), Ok(other)) if one.quotient() == other.quotient() => State::Same,
        _ => State::Differs,
    };
    Some(Line { what, found: typed(found), record: typed(record), state })
}

fn number_line(what: What, plate: Option<&Fields>, record: Option<&str>) -> Option<Line> {
    let found = plate?.text("number")?;
    let state = match record {
        None => State::NotOnRecord,
        Some(record) if bare(record) == bare(found) => State::Same,
        Some(_) => State::Differs,
    };
    Some(Line { what, found: found.to_string(), record: record.unwrap_or_default().to_string(), state })
}

/// A meter number without the blanks and the difference of capitals that hands put into it.
fn bare(number: &str) -> String {
    number.chars().filter(|sign| !sign.is_whitespace()).map(|sign| sign.to_ascii_lowercase()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use jobfile::typed::{self, Context};
    use jobfile::{What as Written, kinds};

    fn fields(kind: &str, texts: &[(&str, &str)]) -> Fields {
        let at = jobfile::moment::read_time("2026-06-12T10:00:00+02:00").unwrap();
        let context: Context =
            crate::group::state::context_at(&crate::machine::Now { at, since_start_ms: 0, session: "s".into() });
        let kind = kinds::find(kind).unwrap();
        let read = |what: Written, (id, text): &(&str, &str)| {
            what.with(id, typed::read_field(kind.field(id).unwrap(), text, &context).unwrap())
        };
        texts.iter().fold(Written::new(kind.id, ""), read).fields
    }

    fn three(kind: &str, ratios: [&str; 3]) -> [Option<Fields>; 3] {
        ratios.map(|ratio| (!ratio.is_empty()).then(|| fields(kind, &[("ratio", ratio)])))
    }

    fn site() -> Plates {
        Plates {
            ct: three("ct_plate", ["200:5"; 3]),
            vt: three("vt_plate", ["8400:120"; 3]),
            outgoing: Some(fields(
                "meter_plate",
                &[("number", "62 118 Q"), ("ratios_inside", "none"), ("display", "secondary")],
            )),
            on_record: Some(fields("on_record", &[("multiplier", "2800"), ("outgoing_number", "62118q")])),
            ..Plates::default()
        }
    }

    fn line(plates: &Plates, what: What) -> Option<(String, State)> {
        lines(plates).into_iter().find(|line| line.what == what).map(|line| (line.found, line.state))
    }

    #[test]
    fn a_sound_site_agrees_and_says_what_nobody_wrote_down() {
        let plates = site();
        assert_eq!(line(&plates, What::Multiplier), Some(("2800".into(), State::Same)));
        assert_eq!(
            line(&plates, What::Outgoing),
            Some(("62 118 Q".into(), State::Same)),
            "blanks and capitals are no difference"
        );
        assert_eq!(line(&plates, What::CtUnlike), None);
        assert_eq!(line(&plates, What::Links), Some(("A, B, C".into(), State::NotStated)));
    }

    #[test]
    fn half_the_multiplier_comes_first_and_its_likeness_is_told() {
        let mut plates = site();
        plates.on_record = Some(fields("on_record", &[("multiplier", "40")]));
        let first = lines(&plates).into_iter().next().unwrap();
        assert_eq!((first.what, first.state), (What::Multiplier, State::Differs));
        let Multiplier::Outside { against: Some(against), .. } =
            multiplier(&plates, plates.outgoing.as_ref(), recorded(&plates))
        else {
            panic!("not held against the record")
        };
        assert_eq!(against.looks_like, multiplier::LooksLike::WithoutVt);
    }

    #[test]
    fn one_other_ct_gives_no_multiplier_and_is_named() {
        let mut plates = site();
        plates.ct = three("ct_plate", ["200:5", "200:5", "400:5"]);
        assert_eq!(multiplier(&plates, plates.outgoing.as_ref(), None), Multiplier::NoCt(NoRatio::Unlike));
        assert_eq!(line(&plates, What::CtUnlike), Some(("A 200:5, B 200:5, C 400:5".into(), State::Differs)));
        assert_eq!(line(&plates, What::Multiplier), None);
    }

    #[test]
    fn turns_and_taps_count() {
        let plate = |texts: &[(&str, &str)]| Some(fields("ct_plate", texts));
        let turns = [
            plate(&[("ratio", "200:5"), ("turns", "2")]),
            plate(&[("ratio", "100:5")]),
            plate(&[("ratio", "200:5"), ("tap", "100:5")]),
        ];
        assert_eq!(common(&turns).map(|ratio| ratio.quotient().to_string()), Ok("20".into()));
        let tap = [plate(&[("ratio", "200:5"), ("tap", "X1-X3")]), None, None];
        assert_eq!(common(&tap), Err(NoRatio::Tap("A")));
        assert_eq!(common(&three("ct_plate", ["200:5", "", ""])), Err(NoRatio::Missing("B")));
    }

    #[test]
    fn a_meter_nobody_looked_into_leaves_it_undecided() {
        let mut plates = site();
        plates.outgoing = Some(fields("meter_plate", &[("number", "1"), ("ratios_inside", "unknown")]));
        let (found, state) = line(&plates, What::Multiplier).unwrap();
        assert_eq!(state, State::Undecided);
        assert!(found.contains("2800") && found.ends_with("/ 1"), "{found}");
    }

    #[test]
    fn the_office_record_of_a_ratio_stands_beside_the_plate() {
        let mut plates = site();
        plates.ct_record = three("ct_plate", ["200:5", "400:5", ""]);
        assert_eq!(line(&plates, What::Ct("A")).map(|(_, state)| state), Some(State::Same));
        assert_eq!(line(&plates, What::Ct("B")).map(|(_, state)| state), Some(State::Differs));
        assert_eq!(line(&plates, What::Ct("C")), None);
    }
}
