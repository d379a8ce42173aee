//! `dotside wiring`: from readings to ranked causes, one line of JSON a case.

mod name;
mod read;

use crate::{Outcome, tell};
use metering::diagnosis::priors::Priors;
use metering::diagnosis::{Cause, Diagnosis, Verdict, diagnose};
use metering::service::Sequence;
use name::Names;
use serde_json::{Value, json};
use std::io::Read;
use std::path::Path;

/// Diagnoses every case of a file and prints one line of JSON each.
pub fn run(path: &Path, priors: &str) -> Outcome {
    let Some(priors) = Priors::named(priors) else {
        return tell::refused(path, "problem-wiring_priors_unknown", priors);
    };
    let text = match text(path) {
        Ok(text) => text,
        Err(trouble) => return tell::trouble(path, &crate::input::Trouble::System(trouble)),
    };
    let Ok(file) = serde_json::from_str::<Value>(&text) else {
        return tell::refused(path, "problem-wiring_not_json", "");
    };
    let alone = [file.clone()];
    let cases = file.get("cases").and_then(Value::as_array).map_or(&alone[..], Vec::as_slice);
    let mut outcome = Outcome::Whole;
    let mut lines = Vec::with_capacity(cases.len());
    for case in cases {
        match line(case, priors) {
            Some(line) => lines.push(line.to_string()),
            None => {
                outcome = tell::refused(path, "problem-wiring_case_not_understood", case["id"].as_str().unwrap_or("-"));
            }
        }
    }
    if lines.is_empty() { Outcome::Unreadable } else { tell::data(&lines.join("\n"), outcome) }
}

fn text(path: &Path) -> std::io::Result<String> {
    if path == Path::new("-") {
        let mut text = String::new();
        std::io::stdin().lock().read_to_string(&mut text)?;
        Ok(text)
    } else {
        std::fs::read_to_string(path)
    }
}

/// The answer to one case; `None` where it names no service that is known here.
fn line(case: &Value, priors: &Priors) -> Option<Value> {
    let visit = read::visit(case)?;
    let names = Names::of(visit.service);
    let diagnosis = diagnose(&visit, priors)?;
    Some(answer(case, &names, &diagnosis))
}

fn answer(case: &Value, names: &Names, diagnosis: &Diagnosis) -> Value {
    let explanations: Vec<Value> = diagnosis
        .explanations
        .iter()
        .take(40)
        .map(|one| {
            let list = |causes: &[Cause]| -> Vec<Value> {
                causes.iter().map(|cause| names.cause(*cause, one.ct_factor, one.vt_factor)).collect()
            };
            let words: Vec<String> = one.causes.iter().map(|cause| names.words(*cause)).collect();
            let words = if words.is_empty() { "wiring correct".to_owned() } else { words.join("; ") };
            json!({
                "words": words,
                "faults": list(&one.causes),
                "also": one.also.iter().map(|causes| list(causes)).collect::<Vec<_>>(),
                "registration": one.registration,
                "p": one.chance,
                "rotation": if one.rotation == Sequence::Abc { "ABC" } else { "ACB" },
                "load_angle_deg": one.load_angle_degrees,
            })
        })
        .collect();
    json!({
        "id": case["id"],
        "verdict": verdict(diagnosis.verdict),
        "p_correct_wiring": diagnosis.wiring_right,
        "priors": diagnosis.priors,
        "explanations": explanations,
        "next_check": diagnosis.checks.iter().map(|check| names.check(*check)).collect::<Vec<_>>(),
    })
}

fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Consistent => "consistent",
        Verdict::Wrong => "wrong",
        Verdict::Undecided | Verdict::UnlikeAnything => "undecided",
        Verdict::NotEnoughReadings => "not_enough_readings",
        Verdict::LoadTooSmall => "load_too_small",
    }
}
