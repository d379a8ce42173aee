//! The lines of “does the incoming meter fit?” in words, what must not be first.

use crate::working::grouped;
use jobfile::sorting::sort_by_key;
use metering::meter::{Item, Line, Reason, Stamp, Verdict};
use metering::multiplier::Reads;

/// One line in words.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// What is compared.
    pub name: String,
    /// On the outgoing meter; empty where nobody read it.
    pub outgoing: String,
    /// On the incoming meter.
    pub incoming: String,
    /// How grave it is.
    pub weight: Weight,
    /// Why, in a sentence; empty where there is nothing to say.
    pub why: String,
    /// How sure that is, where it rests on the table of forms.
    pub sure: Option<String>,
}

/// How grave a line is, gravest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// Must not be fitted.
    MustNot,
    /// May differ; somebody must know of it.
    MayDiffer,
    /// Not read on one of the two.
    NotRead,
    /// The same.
    Same,
}

/// The lines in words, gravest first.
pub fn told(lines: &[Line]) -> Vec<Told> {
    let mut told: Vec<Told> = lines.iter().map(one).collect();
    sort_by_key(&mut told, |line| line.weight);
    told
}

fn one(line: &Line) -> Told {
    let (weight, reason) = match line.verdict {
        Verdict::Same => (Weight::Same, None),
        Verdict::MayDiffer(Reason::NotRead) => (Weight::NotRead, None),
        Verdict::MayDiffer(reason) => (Weight::MayDiffer, Some(reason)),
        Verdict::MustNot(reason) => (Weight::MustNot, Some(reason)),
    };
    let side = |stamp: &Option<Stamp>| stamp.as_ref().map(|stamp| text(line.item, stamp)).unwrap_or_default();
    Told {
        name: words(line.item.code()),
        outgoing: side(&line.outgoing),
        incoming: side(&line.incoming),
        weight,
        why: reason.map(|reason| words(reason.code())).unwrap_or_default(),
        sure: line.confidence.filter(|_| reason.is_some()).map(|sure| words(sure.code())),
    }
}

/// The sentence of a code of `metering::meter`.
fn words(code: &str) -> String {
    words::of_code(&id(code), &[])
}

fn id(code: &str) -> String {
    format!("fit-{}", code.strip_prefix("fit.").unwrap_or(code).replace('.', "_"))
}

fn text(item: Item, stamp: &Stamp) -> String {
    match stamp {
        Stamp::Code(code) => words::choice("meter_plate", field(item), code),
        Stamp::Number(number, unit) => with_unit(&number.to_string(), unit),
        Stamp::Range(least, most, unit) => {
            let ends: Vec<String> = [least, most].into_iter().flatten().map(ToString::to_string).collect();
            match ends.as_slice() {
                [least, most] if least == most => with_unit(least, unit),
                _ => with_unit(&ends.join("–"), unit),
            }
        }
        Stamp::Count(count) => count.to_string(),
        Stamp::Inside(which, ratios) => {
            let seen: Vec<String> =
                [ratios.ct, ratios.vt].into_iter().flatten().map(|ratio| ratio.to_string()).collect();
            let which = words::choice("meter_plate", "ratios_inside", which.code());
            if seen.is_empty() { which } else { format!("{which}: {}", seen.join(", ")) }
        }
        Stamp::Display(reads) => words::choice("meter_plate", "display", display(*reads)),
    }
}

fn with_unit(figures: &str, unit: &str) -> String {
    if unit.is_empty() { grouped(figures) } else { format!("{} {unit}", grouped(figures)) }
}

fn field(item: Item) -> &'static str {
    match item {
        Item::Form => "form",
        Item::Elements => "elements",
        Item::Adds => "adds",
        Item::Demand => "demand",
        _ => "",
    }
}

fn display(reads: Reads) -> &'static str {
    match reads {
        Reads::Secondary => "secondary",
        Reads::Primary => "primary",
        Reads::Unknown => "unknown",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use metering::decimal::Decimal;
    use metering::meter::{Plate, Site, fit, forms::Confidence};

    #[test]
    fn every_code_has_its_sentence() {
        let items = Item::ALL.iter().map(|item| item.code());
        let reasons = Reason::ALL.iter().map(|reason| reason.code());
        let sure = [Confidence::Low, Confidence::Medium, Confidence::High].map(Confidence::code);
        for code in items.chain(reasons).chain(sure) {
            assert!(words::by_code(&id(code), &[]).is_some(), "{code}");
        }
    }

    #[test]
    fn a_self_contained_meter_is_told_first_with_its_reason() {
        let plate = |form: &str, class| Plate {
            form: Some(form.into()),
            class_amps: Some(Decimal::whole(class)),
            ..Plate::default()
        };
        let site = Site { has_transformers: true, wires: 4, ..Site::default() };
        let told = told(&fit(&plate("9S", 20), &plate("16S", 200), &site));
        assert_eq!((told[0].weight, told[1].weight), (Weight::MustNot, Weight::MustNot));
        assert_eq!((told[0].outgoing.as_str(), told[0].incoming.as_str()), ("9S", "16S"));
        assert!(told[0].sure.is_some() && !told[0].why.is_empty());
        assert_eq!(told[1].incoming, "200 A");
        assert!(told.iter().skip(2).all(|line| line.weight > Weight::MustNot));
    }
}
