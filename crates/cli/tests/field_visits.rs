//! `dotside wiring` against simulated visits: the verdicts held to the goals that stand beside the cases.
//!
//! What is judged here needs the verdict, the chances and the checks only. Which explanation was named, channel by channel, is
//! judged by the scorer kept with the cases; docs/diagnosis.md has its figures.

#![allow(clippy::unwrap_used, reason = "helpers of tests fail the test")]

use serde_json::Value;
use std::path::Path;
use std::process::Command;

/// Every case of a file of check cases with the answer to it.
fn answered(file: &str, priors: &str) -> Vec<(Value, Value)> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/vectors").join(file);
    let run = Command::new(env!("CARGO_BIN_EXE_dotside")).arg("wiring").arg(&path).args(["--priors", priors]).output();
    let run = run.unwrap();
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    let told = String::from_utf8(run.stdout).unwrap();
    let answers = told.lines().map(|line| serde_json::from_str::<Value>(line).unwrap());
    let cases: Value = serde_json::from_str(&std::fs::read_to_string(&path).unwrap()).unwrap();
    let cases = cases["cases"].as_array().unwrap().clone();
    let both: Vec<(Value, Value)> = cases.into_iter().zip(answers).collect();
    assert!(both.len() >= 400 && both.iter().all(|(case, answer)| case["id"] == answer["id"]));
    both
}

fn is(answer: &Value, verdict: &str) -> bool {
    answer["verdict"] == verdict
}

/// Share of the cases for which `holds`, among those that `count`.
fn share(both: &[(Value, Value)], counts: impl Fn(&Value) -> bool, holds: impl Fn(&Value) -> bool) -> f64 {
    let counted: Vec<&Value> = both.iter().filter(|(case, _)| counts(case)).map(|(_, answer)| answer).collect();
    assert!(counted.len() >= 50, "too few cases to judge by");
    counted.iter().filter(|answer| holds(answer)).count() as f64 / counted.len() as f64
}

/// A fault that moves the registration by more than two in a hundred, and that an ideal solver names.
fn matters(case: &Value) -> bool {
    let registration = case["truth"]["registration_ratio"].as_f64().unwrap();
    case["truth"]["healthy"] == false && (registration - 1.0).abs() > 0.02 && case["identifiable"]["cause"] == true
}

/// Goals and the ideal solver's figures: the cases' own README.
#[test]
fn verdicts_of_two_thousand_visits_keep_to_the_goals() {
    let both = answered("field_cases.json", "field_cases");
    let healthy = |case: &Value| case["truth"]["healthy"] == true;
    let alarms = both.iter().filter(|(case, answer)| healthy(case) && is(answer, "wrong")).count();
    assert!(alarms <= 2, "{alarms} false alarms of 802, goal at most 2");
    let missed = both.iter().filter(|(case, answer)| matters(case) && is(answer, "consistent")).count();
    assert!(missed <= 2, "{missed} missed of 540, goal at most 2");
    let found = share(&both, matters, |answer| is(answer, "wrong"));
    assert!(found >= 0.95 * 0.906, "found {found:.3}, the ideal solver 0.906");
    let consistent = share(&both, healthy, |answer| is(answer, "consistent"));
    assert!(consistent >= 0.95 * 0.769, "healthy called consistent {consistent:.3}, the ideal solver 0.769");
    let undecided = share(&both, |_| true, |answer| is(answer, "undecided"));
    assert!(undecided <= 0.237 + 0.02, "undecided {undecided:.3}, the ideal solver 0.237");
    for (case, answer) in &both {
        let chances: Vec<f64> =
            answer["explanations"].as_array().unwrap().iter().map(|one| one["p"].as_f64().unwrap()).collect();
        let ranked = chances.windows(2).all(|pair| pair[0] >= pair[1]);
        assert!(ranked && chances.iter().sum::<f64>() <= 1.0 + 1e-9, "{}: {chances:?}", case["id"]);
    }
}

#[test]
fn a_slip_of_the_hand_is_not_blamed_on_the_wiring_and_no_check_touches_a_circuit_that_may_be_open() {
    let both = answered("field_slips.json", "field_slips");
    let is_slip = |fault: &Value| fault["type"].as_str().is_some_and(|kind| kind.starts_with("slip_"));
    let only_slipped = |case: &Value| {
        let truth = &case["truth"];
        !truth["slips"].as_array().unwrap().is_empty() && truth["faults"].as_array().unwrap().is_empty()
    };
    let first = |answer: &Value| answer["explanations"][0]["faults"].as_array().cloned().unwrap_or_default();
    let blamed = share(&both, only_slipped, |answer| is(answer, "wrong") && !first(answer).iter().any(is_slip));
    assert!(blamed <= 0.02, "wiring blamed {blamed:.3}, goal at most 0.02");
    let (mut named, mut slipped, mut watched) = (0, 0, 0);
    for (case, answer) in &both {
        if only_slipped(case) {
            slipped += 1;
            let truth = &case["truth"]["slips"][0];
            let same = |fault: &&Value| fault["type"] == truth["type"] && fault.get("ct") == truth.get("ct");
            named += usize::from(first(answer).iter().any(|fault| same(&fault)));
        }
        let zero = case["judge"]["zero_amps"].as_array().unwrap();
        watched += usize::from(!zero.is_empty());
        for check in answer["next_check"].as_array().unwrap() {
            let touches = check["kind"] == "short_ct" || check["kind"] == "repeat_clamp";
            assert!(!(touches && zero.contains(&check["ct"])), "{}: {check}", case["id"]);
        }
    }
    assert!(watched >= 10, "too few circuits that may be open");
    assert!(f64::from(named as u32) >= 0.85 * f64::from(slipped), "slip named {named} of {slipped}, goal 85 %");
}
