//! What every picture keeps: well-formed, no `style`, hostile words stay words, every label inside its picture.
mod reading;

use crate::{
    ChainPicture, CirclePicture, Contact, CurrentPole, Dot, Factor, Next, PairPicture, PairsPicture, Part,
    PotentialPole, Ray, RayKind, StepsPicture, SwitchKind, SwitchLabels, SwitchPicture, element_pairs,
    multiplier_chain, steps_line, switch_front, whole_circle,
};
use proptest::option;
use proptest::prelude::*;
use reading::{Tag, keep, overlapping, read};

const KINDS: [SwitchKind; 5] = [
    SwitchKind::BladeShortsAsItOpens,
    SwitchKind::SeparateShortingBlade,
    SwitchKind::ScrewsOrLinks,
    SwitchKind::PlugInBlock,
    SwitchKind::None,
];

fn word() -> impl Strategy<Value = String> {
    prop_oneof![
        Just("<script>alert('x')</script>".to_owned()),
        Just("\" onload=\"x".to_owned()),
        Just("]]>&amp;<!--".to_owned()),
        Just("A".to_owned()),
        Just("to meter".to_owned()),
        any::<String>(),
    ]
}

fn contact() -> impl Strategy<Value = Contact> {
    prop_oneof![Just(Contact::Made), Just(Contact::Apart), Just(Contact::Unknown)]
}

fn potential() -> impl Strategy<Value = PotentialPole> {
    (word(), contact(), word(), option::of(contact())).prop_map(|(name, contact, state_words, next)| PotentialPole {
        name,
        contact,
        state_words,
        next,
    })
}

fn current() -> impl Strategy<Value = CurrentPole> {
    let part = prop_oneof![Just(Part::Path), Just(Part::Short)];
    let next = option::of((part, contact()).prop_map(|(part, to)| Next { part, to }));
    (word(), contact(), contact(), word(), next).prop_map(|(name, path, short, state_words, next)| CurrentPole {
        name,
        path,
        short,
        state_words,
        next,
    })
}

fn labels() -> impl Strategy<Value = SwitchLabels> {
    proptest::collection::vec(word(), 7).prop_map(|w| SwitchLabels {
        title: w[0].clone(),
        volts: w[1].clone(),
        amps: w[2].clone(),
        ct_end: w[3].clone(),
        meter_end: w[4].clone(),
        shorting_blade: w[5].clone(),
        volts_words: w[6].clone(),
    })
}

fn degrees() -> impl Strategy<Value = f64> {
    prop_oneof![8 => -720.0..720.0, 1 => any::<f64>()]
}

proptest! {
    #[test]
    fn a_switch_keeps_what_pictures_keep(
        kind in proptest::sample::select(KINDS.to_vec()), labels in labels(),
        potentials in proptest::collection::vec(potential(), 0..5), currents in proptest::collection::vec(current(), 0..4),
    ) {
        let picture = SwitchPicture { kind, labels, potentials, currents };
        keep(&switch_front(&picture), &picture.labels.title);
        prop_assert_eq!(picture.table().rows.len(), picture.potentials.len() + picture.currents.len());
    }

    #[test]
    fn pairs_keep_what_pictures_keep(
        title in word(), volts in word(), amps in word(),
        facts in proptest::collection::vec(
            (word(), option::of(degrees()), option::of(degrees()), any::<bool>(), word(), word()), 0..5),
    ) {
        let pair = |(name, read_behind_deg, expected_behind_deg, odd, read_words, expected_words)| PairPicture {
            name, read_behind_deg, expected_behind_deg, odd, read_words, expected_words,
        };
        let picture = PairsPicture { title, volts, amps, pairs: facts.into_iter().map(pair).collect() };
        keep(&element_pairs(&picture), &picture.title);
        prop_assert_eq!(picture.table().rows.len(), picture.pairs.len());
    }

    #[test]
    fn letters_of_a_pair_stay_apart(read in -360.0..360.0, expected in option::of(-360.0..360.0), odd: bool) {
        let pair = PairPicture {
            name: "A".into(), read_behind_deg: Some(read), expected_behind_deg: expected, odd,
            read_words: "204° behind".into(), expected_words: "as expected".into(),
        };
        let picture = PairsPicture { title: "t".into(), volts: "V".into(), amps: "I".into(), pairs: vec![pair; 3] };
        let found = overlapping(&keep(&element_pairs(&picture), "t"));
        prop_assert!(found.is_empty(), "{:?}", found);
    }

    #[test]
    fn a_circle_keeps_what_pictures_keep_and_labels_apart(
        title in word(),
        facts in proptest::collection::vec((word(), 0usize..4, degrees(), -1.0..2.0, 0usize..3), 0..13),
    ) {
        let ray = |(label, phase, behind_deg, length, kind): (String, usize, f64, f64, usize)| Ray {
            label, phase, behind_deg, length, words: String::new(),
            kind: [RayKind::Volts, RayKind::Amps, RayKind::ExpectedAmps][kind],
        };
        let picture = CirclePicture { title, rays: facts.into_iter().map(ray).collect() };
        let found = overlapping(&keep(&whole_circle(&picture), &picture.title));
        prop_assert!(found.is_empty(), "{:?}", found);
    }

    #[test]
    fn a_chain_keeps_what_pictures_keep(
        title in word(), facts in proptest::collection::vec((word(), word()), 0..5), result in (word(), word()),
    ) {
        let factor = |(name, value)| Factor { name, value };
        let factors: Vec<Factor> = facts.into_iter().map(factor).collect();
        let picture = ChainPicture { title, factors, result: factor(result) };
        keep(&multiplier_chain(&picture), &picture.title);
        prop_assert_eq!(picture.table().rows.len(), picture.factors.len() + 1);
    }

    #[test]
    fn a_line_of_dots_draws_every_dot(title in word(), count in 0usize..80) {
        let picture = StepsPicture { title, dots: vec![Dot::Done; count] };
        let tags = keep(&steps_line(&picture), &picture.title);
        let bottom = height(&tags);
        let dots: Vec<&Tag> = tags.iter().filter(|t| t.name == "circle").collect();
        prop_assert_eq!(dots.len(), count);
        prop_assert!(dots.iter().all(|t| t.number("cx") < 345.0 && t.number("cy") < bottom - 5.0));
    }
}

fn height(tags: &[Tag]) -> f64 {
    tags[0].get("viewBox").and_then(|v| v.rsplit(' ').next()).and_then(|n| n.parse().ok()).unwrap()
}

fn pole(path: Contact, short: Contact, words: &str, next: Option<Next>) -> CurrentPole {
    CurrentPole { name: "C".into(), path, short, state_words: words.into(), next }
}

fn of_kind(kind: SwitchKind, potentials: Vec<PotentialPole>, currents: Vec<CurrentPole>) -> SwitchPicture {
    let labels = SwitchLabels {
        title: "t".into(),
        volts: "VOLTS".into(),
        amps: "AMPS".into(),
        ct_end: "CT end".into(),
        meter_end: "METER end".into(),
        shorting_blade: "S".into(),
        volts_words: "all to meter".into(),
    };
    SwitchPicture { kind, labels, potentials, currents }
}

/// To meter, shorted, broken and unknown differ without colour: by what is drawn, the words left alike.
#[test]
fn states_differ_by_shape() {
    use Contact::{Apart, Made, Unknown};
    for kind in KINDS {
        let shapes = |path, short| {
            let svg = switch_front(&of_kind(kind, vec![], vec![pole(path, short, "same", None)]));
            let without_class = |t: &Tag| {
                let places: Vec<_> = t.attributes.iter().filter(|(k, _)| k != "class").collect();
                format!("{}{places:?}{}", t.name, t.text)
            };
            read(&svg).unwrap().iter().map(without_class).collect::<Vec<_>>()
        };
        let all = [(Made, Apart), (Apart, Made), (Apart, Apart), (Unknown, Unknown)].map(|(p, s)| shapes(p, s));
        for (i, a) in all.iter().enumerate() {
            assert!(all[i + 1..].iter().all(|b| a != b), "{kind:?}: state {i} looks like another");
        }
        assert!(all[3].iter().any(|s| s.ends_with('?')), "{kind:?}: unknown has no question mark");
    }
}

/// The next act adds one frame and one arrow, on every kind and for either part.
#[test]
fn the_next_act_has_frame_and_arrow() {
    for kind in KINDS {
        let count = |next| {
            let currents = vec![pole(Contact::Made, Contact::Apart, "to meter", next)];
            let svg = switch_front(&of_kind(kind, vec![], currents));
            (svg.matches("pic__next").count(), svg.matches("class=\"pic__arrow\"").count())
        };
        assert_eq!(count(None), (0, 0));
        for part in [Part::Path, Part::Short] {
            for to in [Contact::Made, Contact::Apart] {
                assert_eq!(count(Some(Next { part, to })), (1, 1), "{kind:?} {part:?} {to:?}");
            }
        }
    }
}

/// What is met most stands on one line, so that the readings below stay in sight; longer words take two, none on another.
#[test]
fn the_usual_switch_stands_on_one_line_and_keeps_words_apart() {
    let volts = |words: &str| {
        let pole =
            |n: &str| PotentialPole { name: n.into(), contact: Contact::Made, state_words: words.into(), next: None };
        ["A", "B", "C", "N"].map(pole).to_vec()
    };
    for kind in KINDS {
        let amps = ["SHORTED", "unknown", "to meter"].map(|w| pole(Contact::Apart, Contact::Made, w, None));
        let one = keep(&switch_front(&of_kind(kind, volts("up"), amps.to_vec())), "t");
        let two = keep(&switch_front(&of_kind(kind, volts("down"), amps.to_vec())), "t");
        assert_eq!((overlapping(&one), overlapping(&two)), (vec![], vec![]), "{kind:?}");
        assert!(height(&one) < 250.0 && height(&two) > height(&one), "{kind:?}");
        let long = amps.map(|p| CurrentPole { state_words: "shorted at the CT terminals".into(), ..p });
        let long = keep(&switch_front(&of_kind(kind, volts("up"), long.to_vec())), "t");
        assert_eq!(overlapping(&long), vec![], "{kind:?}");
    }
}
