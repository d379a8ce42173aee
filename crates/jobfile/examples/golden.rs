//! Writes the golden job file of today's version to standard output: run once per released version, then kept for good.
//!
//! The place, the people and every number are invented.

use jobfile::{Blobs, DeviceId, Draft, Fold, Hash, JobId, Journal, Problem, Stamp, What, file};
use serde_json::{Value, json};

const DESK: DeviceId = DeviceId::from_bits(*b"golden: the desk");
const PHONE: DeviceId = DeviceId::from_bits(*b"golden: a phone.");
const HELPER: DeviceId = DeviceId::from_bits(*b"golden: helper's");

type Done = Result<(), Vec<Problem>>;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let (journal, blobs) = visit().map_err(|problems| format!("{problems:?}"))?;
    print!("{}", file::write(&journal, &blobs));
    eprintln!("root {}\nfold {}", journal.root(), Hash::of_bytes(Fold::of(&journal).to_text().as_bytes()));
    Ok(())
}

fn visit() -> Result<(Journal, Blobs), Vec<Problem>> {
    let mut journal = Journal::new(JobId::from_bits(*b"golden: version1"));
    office(&mut journal)?;
    let mut helpers = journal.clone();
    plates(&mut journal)?;
    work(&mut journal)?;
    // The helper reads one plate on a second phone; the desk settles it once both are in.
    say(&mut helpers, HELPER, 21, vec![Draft::new(ct("A", 600))])?;
    let mut journal = journal.merge(&helpers).map_err(|problem| vec![problem])?;
    let fold = Fold::of(&journal);
    let values = fold.conflict("ct_plate", "found/A").unwrap_or_default();
    let chosen = values.iter().find(|live| live.device == PHONE).map(|live| live.hash.to_string());
    let choice = What::new("choice", "").with("kind", "ct_plate").with("slot_place", "found/A");
    let choice = choice.with_some("chosen", chosen).with("why", "photo of the plate shows 400:5");
    say(&mut journal, DESK, 190, vec![Draft::new(choice)])?;
    let photo = b"not a real photo: the bytes of the golden file".to_vec();
    Ok((journal, Blobs::from([(Hash::of_bytes(&photo), photo)])))
}

fn say(journal: &mut Journal, device: DeviceId, minute: u32, drafts: Vec<Draft>) -> Done {
    let at = format!("2026-11-25T{:02}:{:02}:00-05:00", 8 + minute / 60, minute % 60);
    let Some(at) = jobfile::moment::read_time(&at) else { return Ok(()) };
    let who = if device == DESK { "Billing desk" } else { "R. Alder" };
    let since_start_ms = u64::from(minute) * 60_000;
    let stamp = Stamp { at, session: "golden-1".to_owned(), since_start_ms, who: who.to_owned() };
    let made = journal.compose(device, &stamp, &drafts)?;
    journal.append(made)
}

fn first(whats: Vec<What>) -> Vec<Draft> {
    whats.into_iter().map(Draft::new).collect()
}

fn number(value: &str, unit: &str) -> Value {
    json!({"value": value, "unit": unit, "typed": value.replace('.', ",")})
}

fn ct(element: &str, primary: i64) -> What {
    let ratio = json!({"typed": format!("{primary}:5"), "primary": [primary, 1, 0], "secondary": [5, 1, 0]});
    What::new("ct_plate", &format!("found/{element}")).with("ratio", ratio).with("class", "0.3")
}

fn office(journal: &mut Journal) -> Done {
    let job = What::new("job", "")
        .with("visit", "meter_change")
        .with("service", "wye3")
        .with("site", "Quarry pumps, Fernhollow");
    let site = What::new("site", "").with("account", "00-0000-1").with("nominal_volts", number("34500", "V"));
    let record =
        What::new("on_record", "").with("multiplier", number("13279.056191", "")).with("outgoing_number", "T 0001");
    say(journal, DESK, 0, first(vec![job, site.with("order", "currents_first"), record]))
}

fn plates(journal: &mut Journal) -> Done {
    let vt = json!({"typed": "20000/√3:110/√3", "primary": [20000, 1, -1], "secondary": [110, 1, -1]});
    let vts =
        ["A", "B", "C"].map(|element| What::new("vt_plate", &format!("found/{element}")).with("ratio", vt.clone()));
    let cts = ["A", "B", "C"].map(|element| ct(element, 400));
    say(journal, PHONE, 20, first(cts.into_iter().chain(vts).collect()))?;
    say(
        journal,
        PHONE,
        25,
        first(vec![What::new("note", "").with("text", "Pole 7, “Ω” marked twice.\nGate code asked for at the desk.")]),
    )
}

fn work(journal: &mut Journal) -> Done {
    let reading = |volts: &str| {
        What::new("reading", "as_found/A").with("volts", number(volts, "V")).with("amps", number("2.10", "A"))
    };
    say(journal, PHONE, 40, first(vec![reading("63.5")]))?;
    let wrong = Fold::of(journal).one("reading", "as_found/A").map(|live| live.hash);
    if let Some(wrong) = wrong {
        say(journal, PHONE, 42, vec![Draft::correcting(reading("66.4"), wrong, "misread the 6")])?;
    }
    let act =
        |pole: &str| What::new("act", "").with("act", "close_short").with("pole", pole).with("accepted", "planned");
    say(journal, PHONE, 60, first(vec![act("A"), act("B"), act("C"), act("C")]))?;
    let twice = Fold::of(journal).last("act", "").map(|live| live.hash.to_string());
    let back = What::new("withdrawal", "").with_some("entry", twice).with("why", "tapped twice");
    say(journal, PHONE, 61, first(vec![back]))?;
    let read = What::new("register", "outgoing/final/kwh")
        .with("value", number("48213.7", ""))
        .with("unit", "kWh")
        .with("digits", 6);
    let step = What::new("step", "final_reads").with("state", "done").with("done_at", "2026-11-25T09:05:00-05:00");
    say(journal, PHONE, 70, first(vec![read, step]))
}
