//! Prints sample pictures as one line of JavaScript for the kit's gallery page: `cargo run -p pictures --example gallery`.
use pictures::{
    ChainPicture, CirclePicture, Contact, CurrentPole, Dot, Factor, Next, PairPicture, PairsPicture, Part,
    PotentialPole, Ray, RayKind, StepsPicture, SwitchKind, SwitchLabels, SwitchPicture, element_pairs,
    multiplier_chain, steps_line, switch_front, whole_circle,
};

fn potential(name: &str, contact: Contact, next: Option<Contact>) -> PotentialPole {
    let words = match contact {
        Contact::Made => "up",
        Contact::Apart => "down",
        Contact::Unknown => "unknown",
    };
    PotentialPole { name: name.to_owned(), contact, state_words: words.to_owned(), next }
}

fn current(name: &str, path: Contact, short: Contact, words: &str, next: Option<Next>) -> CurrentPole {
    CurrentPole { name: name.to_owned(), path, short, state_words: words.to_owned(), next }
}

fn switch(kind: SwitchKind, potentials: Vec<PotentialPole>, currents: Vec<CurrentPole>) -> String {
    let labels = SwitchLabels {
        title: "Switch, front view".to_owned(),
        volts: "VOLTS".to_owned(),
        amps: "AMPS".to_owned(),
        ct_end: "CT end".to_owned(),
        meter_end: "METER end".to_owned(),
        shorting_blade: "S".to_owned(),
        volts_words: if potentials.iter().all(|p| p.contact == Contact::Made) { "all to meter" } else { "" }.to_owned(),
    };
    switch_front(&SwitchPicture { kind, labels, potentials, currents })
}

fn switches() -> Vec<(&'static str, String)> {
    use Contact::{Apart, Made, Unknown};
    let volts = || ["A", "B", "C", "N"].map(|n| potential(n, Made, None)).to_vec();
    let next = |part, to| Some(Next { part, to });
    let shorted = |n| current(n, Apart, Made, "SHORTED", None);
    vec![
        (
            "switch_blade",
            switch(
                SwitchKind::BladeShortsAsItOpens,
                volts(),
                vec![shorted("A"), shorted("B"), current("C", Made, Apart, "to meter", next(Part::Path, Apart))],
            ),
        ),
        (
            "switch_separate",
            switch(
                SwitchKind::SeparateShortingBlade,
                vec![
                    potential("A", Apart, None),
                    potential("B", Apart, None),
                    potential("C", Made, Some(Apart)),
                    potential("N", Made, None),
                ],
                vec![
                    shorted("A"),
                    current("B", Made, Made, "short closed", next(Part::Path, Apart)),
                    current("C", Unknown, Unknown, "unknown", None),
                ],
            ),
        ),
        (
            "switch_links",
            switch(
                SwitchKind::ScrewsOrLinks,
                volts(),
                vec![
                    shorted("A"),
                    current("B", Made, Apart, "to meter", next(Part::Short, Made)),
                    current("C", Unknown, Unknown, "unknown", None),
                ],
            ),
        ),
        (
            "switch_plug",
            switch(
                SwitchKind::PlugInBlock,
                volts(),
                vec![
                    shorted("A"),
                    current("B", Made, Apart, "to meter", next(Part::Path, Apart)),
                    current("C", Unknown, Unknown, "unknown", None),
                ],
            ),
        ),
        (
            "switch_none",
            switch(
                SwitchKind::None,
                vec![],
                vec![
                    current("A", Made, Made, "shorted at CT", None),
                    current("B", Apart, Apart, "broken", None),
                    current("C", Made, Made, "shorted at CT", next(Part::Short, Apart)),
                ],
            ),
        ),
    ]
}

fn pairs() -> String {
    let pair = |name: &str, read: f64, expected: f64, odd: bool, words: &str| PairPicture {
        name: name.to_owned(),
        read_behind_deg: Some(read),
        expected_behind_deg: Some(expected),
        odd,
        read_words: format!("{read}° behind"),
        expected_words: words.to_owned(),
    };
    element_pairs(&PairsPicture {
        title: "A 22, B 23 degrees behind; C 204, expected 24".to_owned(),
        volts: "V".to_owned(),
        amps: "I".to_owned(),
        pairs: vec![
            pair("A", 22.0, 22.0, false, "as expected"),
            pair("B", 23.0, 23.0, false, "as expected"),
            pair("C", 204.0, 24.0, true, "expected 24°"),
        ],
    })
}

fn circle() -> String {
    let mut rays = Vec::new();
    for (phase, (name, lag)) in [("A", 22.0), ("B", 23.0), ("C", 204.0)].into_iter().enumerate() {
        let volts = phase as f64 * 120.0;
        let ray = |label: String, kind, behind_deg, length| Ray {
            label,
            kind,
            phase,
            behind_deg,
            length,
            words: String::new(),
        };
        rays.push(ray(format!("V{name}"), RayKind::Volts, volts, 1.0));
        rays.push(ray(format!("I{name}"), RayKind::Amps, volts + lag, 0.98));
        if name == "C" {
            rays.push(ray("exp.".to_owned(), RayKind::ExpectedAmps, volts + 24.0, 1.0));
        }
    }
    whole_circle(&CirclePicture { title: "All volts and amps".to_owned(), rays })
}

fn main() {
    let factor = |name: &str, value: &str| Factor { name: name.to_owned(), value: value.to_owned() };
    let chain = multiplier_chain(&ChainPicture {
        title: "CT ratio 40 times VT ratio 70 makes 2800".to_owned(),
        factors: vec![factor("CT ratio 200:5", "40"), factor("VT ratio 8400:120", "70"), factor("Dial constant", "1")],
        result: factor("Billing multiplier", "2 800"),
    });
    let dots = [Dot::Done, Dot::Done, Dot::Left, Dot::Struck, Dot::At].into_iter().chain([Dot::ToCome; 16]).collect();
    let steps = steps_line(&StepsPicture { title: "Step 5 of 21".to_owned(), dots });
    let mut all = switches();
    all.extend([("pairs", pairs()), ("whole", circle()), ("chain", chain), ("steps", steps)]);
    let entries: Vec<String> = all.iter().map(|(name, svg)| format!("{name}: {svg:?}")).collect();
    println!("window.PICTURES = {{{}}};", entries.join(", "));
}
