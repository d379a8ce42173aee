//! The check cases, as a library without files or clock: natively and in a browser it must compute the same bits.

pub mod case;
pub mod demand;
pub mod fault_text;
pub mod faults;
pub mod feeders;
pub mod grid;
pub mod multipliers;
pub mod number;
pub mod unbalance;
pub mod unmetered;

use case::CaseResult;

/// Runs the text of one file.
pub type Run = fn(&str) -> Result<Vec<CaseResult>, String>;

/// What becomes of a file of cases.
#[derive(Clone, Copy)]
pub enum Runner {
    /// It is run whole.
    Now(Run),
    /// It belongs to work that is still to come; named, so that nothing is skipped in silence.
    Later(&'static str),
}

/// The one table: which runner a file has.
pub const FILES: &[(&str, Runner)] = &[
    ("burden_accuracy.json", Runner::Later("transformer accuracy and burden")),
    ("demand_cases.json", Runner::Now(demand::run)),
    ("faults_circuit.json", Runner::Now(faults::run_circuit)),
    ("faults_ideal.json", Runner::Now(faults::run_ideal)),
    ("faults_opendss.json", Runner::Now(faults::run_metered)),
    ("feeder_phasors.json", Runner::Now(feeders::run)),
    (
        "field_cases.json",
        Runner::Later("which cause was named, channel by channel; verdicts: crates/cli/tests/field_visits.rs"),
    ),
    ("field_slips.json", Runner::Later("the round after the check; the first round: crates/cli/tests/field_visits.rs")),
    ("multipliers.json", Runner::Now(multipliers::run)),
    ("multipliers_more.json", Runner::Now(multipliers::run)),
    ("registration_grid.json", Runner::Now(grid::run)),
    ("tlc_ampacity.json", Runner::Later("loss compensation and capacity")),
    ("unbalance_sequence.json", Runner::Now(unbalance::run)),
    ("unmetered_energy.json", Runner::Now(unmetered::run)),
];

/// What one file came to.
pub enum Outcome {
    /// Its cases, run.
    Ran(Vec<CaseResult>),
    /// The later work it belongs to.
    Later(&'static str),
    /// Why it could not be run.
    Trouble(String),
}

/// Runs one file by its name.
pub fn run(name: &str, text: &str) -> Outcome {
    match FILES.iter().find(|(known, _)| *known == name) {
        None => Outcome::Trouble("no runner is named for this file".to_owned()),
        Some((_, Runner::Later(work))) => Outcome::Later(work),
        Some((_, Runner::Now(run))) => match run(text) {
            Ok(cases) if cases.is_empty() => Outcome::Trouble("no case was run".to_owned()),
            Ok(cases) => Outcome::Ran(cases),
            Err(why) => Outcome::Trouble(why),
        },
    }
}

/// Every computed value of one file as text, one a line with its bits in hexadecimal: what two targets are compared by.
pub fn bits(name: &str, text: &str) -> String {
    match run(name, text) {
        Outcome::Ran(cases) => cases.iter().flat_map(CaseResult::bits).map(|line| format!("{name} {line}\n")).collect(),
        Outcome::Later(work) => format!("{name} later: {work}\n"),
        Outcome::Trouble(why) => format!("{name} trouble: {why}\n"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn one_case(inputs: &str, expected: &str) -> String {
        format!(
            r#"{{"title": "t", "source": "own", "count": 1, "cases": [{{"id": "T", "title": "t", "source": "own",
            "inputs": {inputs}, "expected": {expected}, "tolerance": {{"rel": 1e-12}}}}]}}"#
        )
    }

    fn passes(text: &str) -> bool {
        match run("multipliers.json", text) {
            Outcome::Ran(cases) => cases.iter().all(CaseResult::passed),
            Outcome::Later(_) | Outcome::Trouble(_) => false,
        }
    }

    #[test]
    fn a_right_case_passes_and_a_wrong_one_fails() {
        assert!(passes(&one_case(r#"{"ct": "400:5", "vt": "1:1"}"#, r#"{"ct_ratio": 80.0}"#)));
        assert!(!passes(&one_case(r#"{"ct": "400:5", "vt": "1:1"}"#, r#"{"ct_ratio": 80.0000001}"#)));
        assert!(!passes(&one_case(r#"{"ct": "400:5", "vt": "1:1"}"#, r#"{"transformer_factor_exact": "81"}"#)));
    }

    #[test]
    fn what_the_runner_does_not_know_fails() {
        for (inputs, expected) in [
            (r#"{"ct": "400:5", "moon": 1}"#, r#"{"ct_ratio": 80.0}"#),
            (r#"{"ct": "400:5"}"#, r#"{"ct_ratio": 80.0, "moon": 1}"#),
            (r#"{"ct": "400:5"}"#, r#"{"registration": 1.0}"#),
            (r#"{"ct": "400"}"#, r#"{"ct_ratio": 80.0}"#),
            (r#"{"ct": "400:5"}"#, "{}"),
        ] {
            assert!(!passes(&one_case(inputs, expected)), "{inputs} {expected}");
        }
        let extra = one_case(r#"{"ct": "400:5"}"#, r#"{"ct_ratio": 80.0}"#);
        assert!(passes(&extra));
        assert!(!passes(&extra.replace(r#""rel""#, r#""moon""#)));
        assert!(!passes(&extra.replace(r#""count": 1"#, r#""count": 2"#)));
        assert!(!passes(&extra.replace(r#""id""#, r#""moon""#)));
        assert!(!passes("{"));
        assert!(!passes(r#"{"title": "t", "source": "own", "count": 0, "cases": []}"#));
        assert!(matches!(run("moon.json", "{}"), Outcome::Trouble(_)));
    }

    #[test]
    fn bits_name_every_value() {
        let text = one_case(r#"{"ct": "400:5"}"#, r#"{"ct_ratio": 80.0}"#);
        assert_eq!(bits("multipliers.json", &text), "multipliers.json T ct_ratio 4054000000000000\n");
    }
}
