//! May this meter stand in for that one? Outgoing against incoming, line by line, each with a verdict and its reason.

pub mod forms;

use crate::decimal::Decimal;
use crate::factor::Factor;
use crate::multiplier::{RatiosInside, Reads};
use crate::quantity::Volts;
use crate::ratio::Ratio;
use crate::rational::Rational;
use forms::{Confidence, Elements, Rated};

/// Classes of self-contained meters, in amperes. ANSI C12.1 classes, from memory.
pub const SELF_CONTAINED_CLASSES_A: [i64; 5] = [100, 200, 320, 400, 480];
/// How far the voltage of a service may stand from its nominal value, as a part of it: a potential transformer holds its
/// class from 90 % to 110 % (IEEE C57.13, seen at second hand).
const VOLTAGE_BAND: f64 = 0.1;

/// How a meter adds its elements.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Adds {
    /// With their signs.
    Net,
    /// Each element's magnitude.
    Absolute,
    /// What is positive.
    PositiveOnly,
    /// Both ways apart.
    DeliveredAndReceived,
}

impl Adds {
    /// As stored.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Net => "net",
            Self::Absolute => "absolute",
            Self::PositiveOnly => "positive_only",
            Self::DeliveredAndReceived => "delivered_and_received",
        }
    }

    /// The way of this stored text; `None` for `unknown` too.
    pub fn from_code(code: &str) -> Option<Self> {
        [Self::Net, Self::Absolute, Self::PositiveOnly, Self::DeliveredAndReceived]
            .into_iter()
            .find(|one| one.code() == code)
    }
}

/// How a meter forms its demand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Demand {
    /// Intervals that do not overlap.
    Block,
    /// An interval that moves by subintervals.
    Rolling,
    /// Lagged.
    Thermal,
    /// It has no demand register.
    None,
}

impl Demand {
    /// As stored.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Block => "block",
            Self::Rolling => "rolling",
            Self::Thermal => "thermal",
            Self::None => "none",
        }
    }

    /// The kind of this stored text; `None` for `unknown` too.
    pub fn from_code(code: &str) -> Option<Self> {
        [Self::Block, Self::Rolling, Self::Thermal, Self::None].into_iter().find(|one| one.code() == code)
    }
}

/// What is stamped on one meter, or programmed in it. What was not read is absent.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plate {
    /// Form as stamped.
    pub form: Option<String>,
    /// Class: most continuous amperes.
    pub class_amps: Option<Decimal>,
    /// Least voltage, or the only one stamped.
    pub volts_least: Option<Decimal>,
    /// Most voltage, or the only one stamped.
    pub volts_most: Option<Decimal>,
    /// Elements.
    pub elements: Option<Elements>,
    /// How it adds them.
    pub adds: Option<Adds>,
    /// Which ratios are programmed in it.
    pub ratios_inside: Option<RatiosInside>,
    /// The CT ratio programmed.
    pub inside_ct: Option<Ratio>,
    /// The VT ratio programmed.
    pub inside_vt: Option<Ratio>,
    /// What its display counts in.
    pub display: Option<Reads>,
    /// Watt-hours per pulse of the test lamp or turn of the disk.
    pub kh_wh: Option<Decimal>,
    /// Constant of its register.
    pub register_constant: Option<Decimal>,
    /// Watt-hours of one output pulse.
    pub pulse_wh: Option<Decimal>,
    /// Digits of its register.
    pub digits: Option<u32>,
    /// Decimals of its register.
    pub decimals: Option<u32>,
    /// Kind of demand.
    pub demand: Option<Demand>,
    /// Length of the demand interval, in minutes.
    pub interval_minutes: Option<u32>,
}

/// What the site asks of any meter.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Site {
    /// Whether a current or potential transformer is recorded here.
    pub has_transformers: bool,
    /// Conductors of the service, the neutral included; 0 when not known.
    pub wires: u8,
    /// Secondary volts to expect at the meter.
    pub expected_volts: Option<Volts>,
    /// The most that the current transformers may deliver: rated secondary amperes × rating factor, the largest of all.
    pub ct_most_amps: Option<Decimal>,
    /// The CT ratio in use, the same on every element.
    pub ct: Option<Ratio>,
    /// The VT ratio in use.
    pub vt: Option<Ratio>,
    /// The multiplier that the bill will use for the incoming meter.
    pub multiplier: Option<Decimal>,
}

/// What is compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Item {
    /// Form.
    Form,
    /// Class in amperes.
    Class,
    /// Voltage range.
    Volts,
    /// Elements.
    Elements,
    /// How it adds.
    Adds,
    /// Ratios programmed inside.
    RatiosInside,
    /// What the display counts in.
    Display,
    /// Watt-hour constant.
    Kh,
    /// Register constant.
    RegisterConstant,
    /// Energy of an output pulse.
    PulseEnergy,
    /// Digits of the register.
    Digits,
    /// Decimals of the register.
    Decimals,
    /// Kind of demand.
    Demand,
    /// Demand interval.
    Interval,
    /// The bill's multiplier against the transformers.
    Multiplier,
}

impl Item {
    /// Every item, in the order of the lines.
    pub const ALL: [Self; 15] = [
        Self::Form,
        Self::Class,
        Self::Volts,
        Self::Elements,
        Self::Adds,
        Self::RatiosInside,
        Self::Display,
        Self::Kh,
        Self::RegisterConstant,
        Self::PulseEnergy,
        Self::Digits,
        Self::Decimals,
        Self::Demand,
        Self::Interval,
        Self::Multiplier,
    ];

    /// Stable code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Form => "fit.item.form",
            Self::Class => "fit.item.class",
            Self::Volts => "fit.item.volts",
            Self::Elements => "fit.item.elements",
            Self::Adds => "fit.item.adds",
            Self::RatiosInside => "fit.item.ratios_inside",
            Self::Display => "fit.item.display",
            Self::Kh => "fit.item.kh",
            Self::RegisterConstant => "fit.item.register_constant",
            Self::PulseEnergy => "fit.item.pulse_energy",
            Self::Digits => "fit.item.digits",
            Self::Decimals => "fit.item.decimals",
            Self::Demand => "fit.item.demand",
            Self::Interval => "fit.item.interval",
            Self::Multiplier => "fit.item.multiplier",
        }
    }
}

macro_rules! reasons {
    ($($(#[$doc:meta])* $name:ident = $code:literal,)*) => {
        /// Why two meters differ on a line, or must not be exchanged.
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub enum Reason {
            $($(#[$doc])* $name,)*
        }

        impl Reason {
            /// Every reason.
            pub const ALL: &'static [Self] = &[$(Self::$name,)*];

            /// Stable code.
            pub const fn code(self) -> &'static str {
                match self {
                    $(Self::$name => $code,)*
                }
            }
        }
    };
}

reasons! {
    /// One of the two was not read.
    NotRead = "fit.not_read",
    /// A form made for the load itself, on transformers.
    SelfContainedForm = "fit.self_contained_form",
    /// Another form of the same number of elements: other socket wiring, perhaps.
    OtherForm = "fit.other_form",
    /// A form that the table does not know.
    FormNotInTable = "fit.form_not_in_table",
    /// Fewer elements than the service needs to be measured exactly.
    TooFewElements = "fit.too_few_elements",
    /// Another number of elements, and enough.
    OtherElements = "fit.other_elements",
    /// The plate's elements are not those of its form.
    ElementsAgainstForm = "fit.elements_against_form",
    /// A class of self-contained meters, on transformers.
    SelfContainedClass = "fit.self_contained_class",
    /// The current transformers may deliver more than the class.
    ClassTooSmall = "fit.class_too_small",
    /// Another class, and large enough.
    OtherClass = "fit.other_class",
    /// Another class, and the rating factor of the current transformers is not known.
    ClassNotJudged = "fit.class_not_judged",
    /// The expected secondary voltage lies outside its range.
    VoltageOutside = "fit.voltage_outside",
    /// The range holds the expected voltage, but not a tenth more and less.
    VoltageTight = "fit.voltage_tight",
    /// Another range, and it holds the expected voltage.
    OtherVoltage = "fit.other_voltage",
    /// Another range, and the expected voltage is not known.
    VoltageNotJudged = "fit.voltage_not_judged",
    /// It adds its elements otherwise: what flows back is counted otherwise.
    AddsOtherwise = "fit.adds_otherwise",
    /// Other ratios are programmed: the bill's multiplier changes.
    InsideChangesMultiplier = "fit.inside_changes_multiplier",
    /// A ratio programmed inside is not that of the plates.
    InsideAgainstPlate = "fit.inside_against_plate",
    /// Its display counts in another measure: the bill's multiplier changes.
    DisplayChangesMultiplier = "fit.display_changes_multiplier",
    /// Another constant of the register: the bill's multiplier changes.
    ConstantChangesMultiplier = "fit.constant_changes_multiplier",
    /// Another watt-hour constant: timed pulses are worth another energy.
    OtherKh = "fit.other_kh",
    /// Another energy of the output pulse: whoever counts them must know.
    OtherPulse = "fit.other_pulse",
    /// Another number of digits: the register turns over elsewhere.
    OtherDigits = "fit.other_digits",
    /// Another number of decimals: a reading is easily misread by ten.
    OtherDecimals = "fit.other_decimals",
    /// It has no demand register where the outgoing meter has one.
    DemandLost = "fit.demand_lost",
    /// Another kind of demand: peaks do not compare.
    OtherDemand = "fit.other_demand",
    /// Another interval: peaks do not compare.
    OtherInterval = "fit.other_interval",
    /// The bill would multiply by 1 though transformers are recorded and none is programmed inside.
    MultiplierOne = "fit.multiplier_one",
}

/// What a line says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Both alike, and nothing speaks against the incoming one.
    Same,
    /// They differ, or that is not known; somebody must know of it.
    MayDiffer(Reason),
    /// The incoming meter must not be fitted.
    MustNot(Reason),
}

/// A value as it stands on a plate.
#[derive(Clone, Debug, PartialEq)]
pub enum Stamp {
    /// A code of the stored vocabulary, or a form as stamped.
    Code(String),
    /// A number in a unit.
    Number(Decimal, &'static str),
    /// From least to most, in a unit.
    Range(Option<Decimal>, Option<Decimal>, &'static str),
    /// A count.
    Count(u32),
    /// Ratios programmed inside: which, and those read off.
    Inside(RatiosInside, Box<InsideRatios>),
    /// What the display counts in.
    Display(Reads),
}

/// The ratios read off a meter that has them programmed inside.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InsideRatios {
    /// The CT ratio.
    pub ct: Option<Ratio>,
    /// The VT ratio.
    pub vt: Option<Ratio>,
}

/// One line of the comparison.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What is compared.
    pub item: Item,
    /// On the outgoing meter; absent when not read.
    pub outgoing: Option<Stamp>,
    /// On the incoming meter.
    pub incoming: Option<Stamp>,
    /// What follows.
    pub verdict: Verdict,
    /// How sure the table of forms is, where the verdict rests on it.
    pub confidence: Option<Confidence>,
}

/// Compares two meters for a site, a line per item, in the order of the plate.
pub fn fit(outgoing: &Plate, incoming: &Plate, site: &Site) -> Vec<Line> {
    let number = |value: Option<Decimal>, unit| value.map(|value| Stamp::Number(value, unit));
    let differing = |item, one: Option<Stamp>, other: Option<Stamp>, reason| {
        let verdict = compared(one.as_ref(), other.as_ref(), reason);
        Line { item, outgoing: one, incoming: other, verdict, confidence: None }
    };
    let (out, new) = (outgoing, incoming);
    let adds = |plate: &Plate| plate.adds.map(|adds| Stamp::Code(adds.code().to_owned()));
    let display = |plate: &Plate| plate.display.filter(|reads| *reads != Reads::Unknown).map(Stamp::Display);
    vec![
        form_line(out, new, site),
        class_line(out, new, site),
        volts_line(out, new, site),
        elements_line(out, new, site),
        differing(Item::Adds, adds(out), adds(new), Reason::AddsOtherwise),
        inside_line(out, new, site),
        differing(Item::Display, display(out), display(new), Reason::DisplayChangesMultiplier),
        differing(Item::Kh, number(out.kh_wh, "Wh"), number(new.kh_wh, "Wh"), Reason::OtherKh),
        differing(
            Item::RegisterConstant,
            number(out.register_constant, ""),
            number(new.register_constant, ""),
            Reason::ConstantChangesMultiplier,
        ),
        differing(Item::PulseEnergy, number(out.pulse_wh, "Wh"), number(new.pulse_wh, "Wh"), Reason::OtherPulse),
        differing(Item::Digits, out.digits.map(Stamp::Count), new.digits.map(Stamp::Count), Reason::OtherDigits),
        differing(
            Item::Decimals,
            out.decimals.map(Stamp::Count),
            new.decimals.map(Stamp::Count),
            Reason::OtherDecimals,
        ),
        demand_line(out, new),
        interval_line(out, new),
        multiplier_line(new, site),
    ]
}

/// Whether any line forbids the incoming meter.
pub fn is_forbidden(lines: &[Line]) -> bool {
    lines.iter().any(|line| matches!(line.verdict, Verdict::MustNot(_)))
}

fn compared<T: PartialEq>(outgoing: Option<&T>, incoming: Option<&T>, reason: Reason) -> Verdict {
    match (outgoing, incoming) {
        (Some(one), Some(other)) if one == other => Verdict::Same,
        (Some(_), Some(_)) => Verdict::MayDiffer(reason),
        _ => Verdict::MayDiffer(Reason::NotRead),
    }
}

fn form_line(outgoing: &Plate, incoming: &Plate, site: &Site) -> Line {
    let known = incoming.form.as_deref().and_then(forms::find);
    let (verdict, confidence) = match known {
        Some(form) if form.rated == Rated::SelfContained && site.has_transformers => {
            (Verdict::MustNot(Reason::SelfContainedForm), Some(form.confidence))
        }
        Some(form) if form.elements.exact_wires() < site.wires => {
            (Verdict::MustNot(Reason::TooFewElements), Some(form.confidence))
        }
        Some(form) => {
            (compared(outgoing.form.as_ref(), incoming.form.as_ref(), Reason::OtherForm), Some(form.confidence))
        }
        None => (compared(outgoing.form.as_ref(), incoming.form.as_ref(), Reason::FormNotInTable), None),
    };
    let stamp = |plate: &Plate| plate.form.clone().map(Stamp::Code);
    Line { item: Item::Form, outgoing: stamp(outgoing), incoming: stamp(incoming), verdict, confidence }
}

fn class_line(outgoing: &Plate, incoming: &Plate, site: &Site) -> Line {
    let same = compared(outgoing.class_amps.as_ref(), incoming.class_amps.as_ref(), Reason::OtherClass);
    let verdict = match (incoming.class_amps, site.ct_most_amps) {
        (Some(class), _) if site.has_transformers && is_self_contained(class) => {
            Verdict::MustNot(Reason::SelfContainedClass)
        }
        (Some(class), Some(most)) if most > class => Verdict::MustNot(Reason::ClassTooSmall),
        (Some(_), None) if site.has_transformers && same == Verdict::MayDiffer(Reason::OtherClass) => {
            Verdict::MayDiffer(Reason::ClassNotJudged)
        }
        _ => same,
    };
    let stamp = |plate: &Plate| plate.class_amps.map(|class| Stamp::Number(class, "A"));
    Line { item: Item::Class, outgoing: stamp(outgoing), incoming: stamp(incoming), verdict, confidence: None }
}

fn is_self_contained(class: Decimal) -> bool {
    SELF_CONTAINED_CLASSES_A.iter().any(|amps| class == Decimal::whole(*amps))
}

fn volts_line(outgoing: &Plate, incoming: &Plate, site: &Site) -> Line {
    let range = |plate: &Plate| match (plate.volts_least, plate.volts_most) {
        (None, None) => None,
        (least, most) => Some((least.or(most)?, most.or(least)?)),
    };
    let (old, new) = (range(outgoing), range(incoming));
    let same = compared(old.as_ref(), new.as_ref(), Reason::OtherVoltage);
    let verdict = match (new, site.expected_volts) {
        (Some(new), Some(expected)) => voltage_verdict(new, expected.get(), same),
        (Some(_), None) if same == Verdict::MayDiffer(Reason::OtherVoltage) => {
            Verdict::MayDiffer(Reason::VoltageNotJudged)
        }
        _ => same,
    };
    let stamp = |plate: &Plate| range(plate).map(|_| Stamp::Range(plate.volts_least, plate.volts_most, "V"));
    Line { item: Item::Volts, outgoing: stamp(outgoing), incoming: stamp(incoming), verdict, confidence: None }
}

/// One stamped voltage counts as the middle of a band of a tenth either way (common practice, no source).
fn voltage_verdict((least, most): (Decimal, Decimal), expected: f64, same: Verdict) -> Verdict {
    let (least, most) = (least.to_f64(), most.to_f64());
    let is_single = least >= most;
    let (low, high) =
        if is_single { (least * (1.0 - VOLTAGE_BAND), least * (1.0 + VOLTAGE_BAND)) } else { (least, most) };
    if expected < low || expected > high {
        return Verdict::MustNot(Reason::VoltageOutside);
    }
    let is_tight = expected * (1.0 - VOLTAGE_BAND) < low || expected * (1.0 + VOLTAGE_BAND) > high;
    if is_tight && !is_single && same != Verdict::Same { Verdict::MayDiffer(Reason::VoltageTight) } else { same }
}

fn elements_line(outgoing: &Plate, incoming: &Plate, site: &Site) -> Line {
    let form = incoming.form.as_deref().and_then(forms::find);
    let same = compared(outgoing.elements.as_ref(), incoming.elements.as_ref(), Reason::OtherElements);
    let verdict = match (incoming.elements, form) {
        (Some(elements), _) if elements.exact_wires() < site.wires => Verdict::MustNot(Reason::TooFewElements),
        (Some(elements), Some(form)) if elements != form.elements => Verdict::MayDiffer(Reason::ElementsAgainstForm),
        _ => same,
    };
    let confidence =
        form.filter(|_| verdict == Verdict::MayDiffer(Reason::ElementsAgainstForm)).map(|form| form.confidence);
    let stamp = |plate: &Plate| plate.elements.map(|elements| Stamp::Code(elements.code().to_owned()));
    Line { item: Item::Elements, outgoing: stamp(outgoing), incoming: stamp(incoming), verdict, confidence }
}

/// Ratios programmed inside, where somebody looked.
fn inside(plate: &Plate) -> Option<(RatiosInside, Option<Factor>, Option<Factor>)> {
    let which = plate.ratios_inside.filter(|which| *which != RatiosInside::Unknown)?;
    let (has_ct, has_vt) = match which {
        RatiosInside::Ct => (true, false),
        RatiosInside::Vt => (false, true),
        RatiosInside::CtAndVt => (true, true),
        RatiosInside::None | RatiosInside::Unknown => (false, false),
    };
    let quotient = |is_inside: bool, ratio: Option<Ratio>| ratio.filter(|_| is_inside).map(Ratio::quotient);
    Some((which, quotient(has_ct, plate.inside_ct), quotient(has_vt, plate.inside_vt)))
}

fn inside_line(outgoing: &Plate, incoming: &Plate, site: &Site) -> Line {
    let (old, new) = (inside(outgoing), inside(incoming));
    let against = |inside: Option<Factor>, plate: Option<Ratio>| matches!((inside, plate), (Some(inside), Some(plate)) if inside != plate.quotient());
    let verdict = match new {
        Some((_, ct, vt)) if against(ct, site.ct) || against(vt, site.vt) => {
            Verdict::MustNot(Reason::InsideAgainstPlate)
        }
        _ => compared(old.as_ref(), new.as_ref(), Reason::InsideChangesMultiplier),
    };
    let stamp = |plate: &Plate| {
        let which = plate.ratios_inside.filter(|which| *which != RatiosInside::Unknown)?;
        Some(Stamp::Inside(which, Box::new(InsideRatios { ct: plate.inside_ct, vt: plate.inside_vt })))
    };
    Line { item: Item::RatiosInside, outgoing: stamp(outgoing), incoming: stamp(incoming), verdict, confidence: None }
}

fn demand_line(outgoing: &Plate, incoming: &Plate) -> Line {
    let verdict = match (outgoing.demand, incoming.demand) {
        (Some(old), Some(Demand::None)) if old != Demand::None => Verdict::MustNot(Reason::DemandLost),
        (old, new) => compared(old.as_ref(), new.as_ref(), Reason::OtherDemand),
    };
    let stamp = |plate: &Plate| plate.demand.map(|demand| Stamp::Code(demand.code().to_owned()));
    Line { item: Item::Demand, outgoing: stamp(outgoing), incoming: stamp(incoming), verdict, confidence: None }
}

/// Meters without demand registers have no interval to compare.
fn interval_line(outgoing: &Plate, incoming: &Plate) -> Line {
    let has_none = outgoing.demand == Some(Demand::None) && incoming.demand == Some(Demand::None);
    let (old, new) = (outgoing.interval_minutes, incoming.interval_minutes);
    let verdict = if has_none { Verdict::Same } else { compared(old.as_ref(), new.as_ref(), Reason::OtherInterval) };
    Line {
        item: Item::Interval,
        outgoing: old.map(Stamp::Count),
        incoming: new.map(Stamp::Count),
        verdict,
        confidence: None,
    }
}

/// The bill's multiplier belongs to the incoming meter alone.
fn multiplier_line(incoming: &Plate, site: &Site) -> Line {
    let verdict = match (site.multiplier, incoming.ratios_inside) {
        (Some(multiplier), Some(RatiosInside::None)) if site.has_transformers && multiplier == Decimal::whole(1) => {
            let has_ratio =
                [site.ct, site.vt].into_iter().flatten().any(|ratio| ratio.quotient() != Rational::ONE.into());
            let is_unknown = site.ct.is_none() && site.vt.is_none();
            if has_ratio || is_unknown { Verdict::MustNot(Reason::MultiplierOne) } else { Verdict::Same }
        }
        (Some(_), Some(_)) => Verdict::Same,
        _ => Verdict::MayDiffer(Reason::NotRead),
    };
    let stamp = site.multiplier.map(|multiplier| Stamp::Number(multiplier, ""));
    Line { item: Item::Multiplier, outgoing: None, incoming: stamp, verdict, confidence: None }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn decimal(text: &str) -> Option<Decimal> {
        Some(Decimal::parse(text).unwrap())
    }

    fn ratio(text: &str) -> Option<Ratio> {
        Some(Ratio::parse(text).unwrap())
    }

    fn plate(form: &str) -> Plate {
        Plate {
            form: Some(form.to_owned()),
            class_amps: decimal("20"),
            volts_least: decimal("57"),
            volts_most: decimal("277"),
            elements: Some(Elements::Three),
            adds: Some(Adds::Net),
            ratios_inside: Some(RatiosInside::None),
            display: Some(Reads::Secondary),
            kh_wh: decimal("1.8"),
            register_constant: decimal("1"),
            pulse_wh: decimal("0.6"),
            digits: Some(5),
            decimals: Some(0),
            demand: Some(Demand::Block),
            interval_minutes: Some(15),
            ..Plate::default()
        }
    }

    fn site() -> Site {
        Site {
            has_transformers: true,
            wires: 4,
            expected_volts: Some(Volts::new(113.82).unwrap()),
            ct_most_amps: decimal("20"),
            ct: ratio("400:5"),
            vt: ratio("8400:120"),
            multiplier: decimal("5600"),
        }
    }

    fn verdict(incoming: &Plate, site: &Site, item: Item) -> Verdict {
        fit(&plate("9S"), incoming, site).into_iter().find(|line| line.item == item).unwrap().verdict
    }

    #[test]
    fn a_meter_fits_its_own_place() {
        let lines = fit(&plate("9S"), &plate("9S"), &site());
        assert!(lines.iter().all(|line| line.verdict == Verdict::Same), "{lines:?}");
        assert!(!is_forbidden(&lines));
    }

    #[test]
    fn self_contained_meters_never_stand_behind_transformers() {
        for form in forms::FORMS.iter().filter(|form| form.rated == Rated::SelfContained) {
            assert_eq!(verdict(&plate(form.id), &site(), Item::Form), Verdict::MustNot(Reason::SelfContainedForm));
        }
        for class in ["100", "200.0", "320", "400", "480"] {
            let meter = Plate { class_amps: decimal(class), ..plate("9S") };
            assert_eq!(verdict(&meter, &site(), Item::Class), Verdict::MustNot(Reason::SelfContainedClass), "{class}");
        }
        let direct = Site { has_transformers: false, ..site() };
        assert_eq!(verdict(&plate("16S"), &direct, Item::Form), Verdict::MayDiffer(Reason::OtherForm));
    }

    /// 5 A × rating factor 4 = 20 A: exactly class 20 (by arithmetic).
    #[test]
    fn the_class_must_carry_what_the_transformers_deliver() {
        let ten = Plate { class_amps: decimal("10"), ..plate("9S") };
        assert_eq!(verdict(&ten, &site(), Item::Class), Verdict::MustNot(Reason::ClassTooSmall));
        let small = Site { ct_most_amps: decimal("7.5"), ..site() };
        assert_eq!(verdict(&ten, &small, Item::Class), Verdict::MayDiffer(Reason::OtherClass));
        let unknown = Site { ct_most_amps: None, ..site() };
        assert_eq!(verdict(&ten, &unknown, Item::Class), Verdict::MayDiffer(Reason::ClassNotJudged));
    }

    #[test]
    fn two_and_a_half_elements_do_not_measure_four_wires() {
        assert_eq!(verdict(&plate("36S"), &site(), Item::Form), Verdict::MustNot(Reason::TooFewElements));
        let meter = Plate { elements: Some(Elements::TwoAndHalf), ..plate("9S") };
        assert_eq!(verdict(&meter, &site(), Item::Elements), Verdict::MustNot(Reason::TooFewElements));
        assert_eq!(verdict(&plate("10S"), &site(), Item::Form), Verdict::MayDiffer(Reason::OtherForm));
        assert_eq!(verdict(&plate("other"), &site(), Item::Form), Verdict::MayDiffer(Reason::FormNotInTable));
    }

    #[test]
    fn the_expected_voltage_must_lie_in_the_range() {
        let volts = |least, most| Plate { volts_least: decimal(least), volts_most: decimal(most), ..plate("9S") };
        assert_eq!(verdict(&volts("208", "480"), &site(), Item::Volts), Verdict::MustNot(Reason::VoltageOutside));
        assert_eq!(verdict(&volts("110", "130"), &site(), Item::Volts), Verdict::MayDiffer(Reason::VoltageTight));
        assert_eq!(verdict(&volts("96", "144"), &site(), Item::Volts), Verdict::MayDiffer(Reason::OtherVoltage));
        let single = Plate { volts_least: None, volts_most: decimal("120"), ..plate("9S") };
        assert_eq!(verdict(&single, &site(), Item::Volts), Verdict::MayDiffer(Reason::OtherVoltage));
        let wrong = Plate { volts_least: decimal("240"), volts_most: None, ..plate("9S") };
        assert_eq!(verdict(&wrong, &site(), Item::Volts), Verdict::MustNot(Reason::VoltageOutside));
        let unknown = Site { expected_volts: None, ..site() };
        assert_eq!(verdict(&single, &unknown, Item::Volts), Verdict::MayDiffer(Reason::VoltageNotJudged));
    }

    #[test]
    fn whatever_moves_the_multiplier_is_said() {
        let inside = |ct: &str| Plate { ratios_inside: Some(RatiosInside::Ct), inside_ct: ratio(ct), ..plate("9S") };
        assert_eq!(
            verdict(&inside("80:1"), &site(), Item::RatiosInside),
            Verdict::MayDiffer(Reason::InsideChangesMultiplier)
        );
        assert_eq!(
            verdict(&inside("200:5"), &site(), Item::RatiosInside),
            Verdict::MustNot(Reason::InsideAgainstPlate)
        );
        let unknown = Plate { ratios_inside: Some(RatiosInside::Unknown), ..plate("9S") };
        assert_eq!(verdict(&unknown, &site(), Item::RatiosInside), Verdict::MayDiffer(Reason::NotRead));
        let one = Site { multiplier: decimal("1"), ..site() };
        assert_eq!(verdict(&plate("9S"), &one, Item::Multiplier), Verdict::MustNot(Reason::MultiplierOne));
        assert_eq!(verdict(&inside("400:5"), &one, Item::Multiplier), Verdict::Same);
        let primary = Plate { display: Some(Reads::Primary), ..plate("9S") };
        assert_eq!(verdict(&primary, &site(), Item::Display), Verdict::MayDiffer(Reason::DisplayChangesMultiplier));
    }

    #[test]
    fn demand_must_not_be_lost() {
        let none = Plate { demand: Some(Demand::None), ..plate("9S") };
        assert_eq!(verdict(&none, &site(), Item::Demand), Verdict::MustNot(Reason::DemandLost));
        let rolling = Plate { demand: Some(Demand::Rolling), interval_minutes: Some(30), ..plate("9S") };
        assert_eq!(verdict(&rolling, &site(), Item::Demand), Verdict::MayDiffer(Reason::OtherDemand));
        assert_eq!(verdict(&rolling, &site(), Item::Interval), Verdict::MayDiffer(Reason::OtherInterval));
    }

    #[test]
    fn what_was_not_read_is_never_the_same() {
        let lines = fit(&Plate::default(), &Plate::default(), &Site::default());
        assert_eq!(lines.iter().map(|line| line.item).collect::<Vec<_>>(), Item::ALL);
        assert!(lines.iter().all(|line| line.verdict == Verdict::MayDiffer(Reason::NotRead)), "{lines:?}");
    }

    #[test]
    fn codes_are_unique() {
        let mut codes: Vec<&str> = Reason::ALL.iter().map(|reason| reason.code()).collect();
        codes.sort_unstable();
        codes.dedup();
        assert_eq!(codes.len(), Reason::ALL.len());
    }

    proptest! {
        /// Equal plates never differ: every line is the same, forbidden by the site, contradicts itself, or was not read.
        #[test]
        fn equal_plates_differ_in_nothing(form in 0..forms::FORMS.len(), class in 1_i64..500, volts in 1_i64..700, wires in 0_u8..5) {
            let mut meter = plate(forms::FORMS[form].id);
            meter.class_amps = Some(Decimal::whole(class));
            meter.volts_most = Some(Decimal::whole(volts));
            for line in fit(&meter, &meter, &Site { wires, ..site() }) {
                let is_consistent = matches!(line.verdict, Verdict::Same | Verdict::MustNot(_) | Verdict::MayDiffer(Reason::ElementsAgainstForm));
                prop_assert!(is_consistent, "{:?}", line);
            }
        }
    }
}
