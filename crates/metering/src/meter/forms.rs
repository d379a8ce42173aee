//! Meter forms as data: elements, whether made for transformers, the service each is for, and how sure each row is.
//!
//! # Source
//! ANSI C12.10, designation of forms. The standard's rows could not be read: they are from memory, with a confidence per
//! row; service and CT use of 1S to 5S and 9S were seen in a technicians' guide.

/// How sure a row of the table is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Confidence {
    /// To be checked against the standard before it is relied on.
    Low,
    /// Remembered, not confirmed.
    Medium,
    /// Remembered alike everywhere, or seen at second hand.
    High,
}

impl Confidence {
    /// Stable code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Low => "confidence.low",
            Self::Medium => "confidence.medium",
            Self::High => "confidence.high",
        }
    }
}

/// How many elements a meter has.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Elements {
    /// One.
    One,
    /// Two.
    Two,
    /// Two with three currents: 2½.
    TwoAndHalf,
    /// Three.
    Three,
}

impl Elements {
    /// As stored: `1`, `2`, `2.5`, `3`.
    pub const fn code(self) -> &'static str {
        match self {
            Self::One => "1",
            Self::Two => "2",
            Self::TwoAndHalf => "2.5",
            Self::Three => "3",
        }
    }

    /// The number of this stored text.
    pub fn from_code(code: &str) -> Option<Self> {
        [Self::One, Self::Two, Self::TwoAndHalf, Self::Three].into_iter().find(|one| one.code() == code)
    }

    /// How many conductors they measure exactly, by Blondel's theorem: one more than the elements, halves left out.
    pub const fn exact_wires(self) -> u8 {
        match self {
            Self::One => 2,
            Self::Two | Self::TwoAndHalf => 3,
            Self::Three => 4,
        }
    }
}

/// What a form is made for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rated {
    /// Secondary currents of transformers.
    Transformers,
    /// The load itself.
    SelfContained,
}

/// What kind of service a form is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum For {
    /// Single phase, two or three wires.
    SinglePhase,
    /// Three wires: delta or network.
    ThreeWire,
    /// 4-wire wye.
    FourWireWye,
    /// 4-wire delta.
    FourWireDelta,
}

/// One form.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Form {
    /// As stamped.
    pub id: &'static str,
    /// Its elements.
    pub elements: Elements,
    /// What it is made for.
    pub rated: Rated,
    /// The service that it is mainly for.
    pub service: For,
    /// How sure the row is.
    pub confidence: Confidence,
}

const fn row(id: &'static str, elements: Elements, rated: Rated, service: For, confidence: Confidence) -> Form {
    Form { id, elements, rated, service, confidence }
}

use Confidence::{High, Low, Medium};
use Elements::{One, Three, Two, TwoAndHalf};
use For::{FourWireDelta, FourWireWye, SinglePhase, ThreeWire};
use Rated::{SelfContained, Transformers};

/// Every form of the table. Letter A: bottom-connected sister of the socket form, same elements.
pub const FORMS: &[Form] = &[
    row("3S", One, Transformers, SinglePhase, High),
    row("4S", One, Transformers, SinglePhase, High),
    row("5S", Two, Transformers, ThreeWire, High),
    row("6S", TwoAndHalf, Transformers, FourWireWye, High),
    row("8S", Two, Transformers, FourWireDelta, High),
    row("9S", Three, Transformers, FourWireWye, High),
    row("10S", Three, Transformers, FourWireWye, Medium),
    row("11S", Three, Transformers, FourWireDelta, Medium),
    row("24S", Two, Transformers, FourWireDelta, Low),
    row("26S", Two, Transformers, ThreeWire, Low),
    row("29S", TwoAndHalf, Transformers, FourWireWye, Medium),
    row("35S", Two, Transformers, ThreeWire, Medium),
    row("36S", TwoAndHalf, Transformers, FourWireWye, High),
    row("45S", Two, Transformers, ThreeWire, Medium),
    row("46S", TwoAndHalf, Transformers, FourWireWye, Low),
    row("1S", One, SelfContained, SinglePhase, High),
    row("2S", One, SelfContained, SinglePhase, High),
    row("12S", Two, SelfContained, ThreeWire, High),
    row("13S", Two, SelfContained, ThreeWire, Medium),
    row("14S", TwoAndHalf, SelfContained, FourWireWye, High),
    row("15S", Two, SelfContained, FourWireDelta, High),
    row("16S", Three, SelfContained, FourWireWye, High),
    row("17S", Three, SelfContained, FourWireDelta, Medium),
    row("25S", Two, SelfContained, ThreeWire, Medium),
    row("5A", Two, Transformers, ThreeWire, Medium),
    row("6A", TwoAndHalf, Transformers, FourWireWye, Medium),
    row("8A", Two, Transformers, FourWireDelta, Medium),
    row("9A", Three, Transformers, FourWireWye, Medium),
    row("10A", Three, Transformers, FourWireWye, Medium),
];

/// The form of this stamp.
pub fn find(id: &str) -> Option<&'static Form> {
    FORMS.iter().find(|form| form.id == id)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_form_is_there_once() {
        for form in FORMS {
            assert_eq!(FORMS.iter().filter(|other| other.id == form.id).count(), 1, "{}", form.id);
        }
        assert_eq!(find("9S").map(|form| (form.elements, form.rated)), Some((Three, Transformers)));
        assert_eq!(find("99S"), None);
    }

    /// Blondel's theorem: N conductors need N − 1 elements.
    #[test]
    fn only_three_elements_are_exact_on_four_wires() {
        let exact = FORMS.iter().filter(|form| form.elements.exact_wires() >= 4);
        assert_eq!(exact.map(|form| form.id).collect::<Vec<_>>(), ["9S", "10S", "11S", "16S", "17S", "9A", "10A"]);
    }
}
