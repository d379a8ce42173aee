//! An invented site: writes a whole change into a journal, step by step, as a person would.

use crate::Now;
use crate::press;
use crate::standing::{Standing, standing};
use jobfile::moment::read_time;
use jobfile::{DeviceId, Draft, Fold, Hash, JobId, Journal, Stamp, What};
use metering::isolation::{Act, Element, Kind, PotentialPole};
use serde_json::{Value, json};

/// A job under way.
pub struct Site {
    pub journal: Journal,
    pub kind: Kind,
    pub order: &'static str,
    pub session: String,
    second: u64,
    since_start: u64,
}

pub const AMPS: [&str; 3] = ["2.50", "2.41", "2.62"];

pub fn decimal(value: &str, unit: &str) -> Value {
    json!({"value": value, "unit": unit, "typed": value})
}

pub fn ratio(primary: i64, secondary: i64) -> Value {
    json!({"typed": format!("{primary}:{secondary}"), "primary": [primary, 1, 0], "secondary": [secondary, 1, 0]})
}

pub fn what(kind: &str, place: &str) -> What {
    What::new(kind, place)
}

impl Site {
    pub fn new(kind: Kind, order: &'static str) -> Self {
        Self {
            journal: Journal::new(JobId::from_bits([7; 16])),
            kind,
            order,
            session: "one".to_owned(),
            second: 0,
            since_start: 0,
        }
    }

    /// RFC 3339 text of a second of the day of the visit, from 08:00.
    pub fn clock(second: u64) -> String {
        format!("2026-11-25T{:02}:{:02}:{:02}-05:00", 8 + second / 3600, second / 60 % 60, second % 60)
    }

    pub fn time(&self) -> String {
        Self::clock(self.second)
    }

    pub fn pass(&mut self, seconds: u64) {
        self.second += seconds;
        self.since_start += seconds;
    }

    /// The program starts again.
    pub fn restart(&mut self) {
        self.session.push('+');
        self.since_start = 0;
    }

    pub fn now(&self) -> Now {
        let at = read_time(&self.time()).unwrap();
        Now { at_ms: at.timestamp_millis(), session: self.session.clone(), since_start_ms: self.since_start * 1000 }
    }

    pub fn fold(&self) -> Fold {
        Fold::of(&self.journal)
    }

    pub fn standing(&self) -> Standing {
        standing(&self.fold(), &self.now())
    }

    pub fn draft(&mut self, drafts: &[Draft]) {
        self.pass(5);
        let stamp = Stamp {
            at: read_time(&self.time()).unwrap(),
            session: self.session.clone(),
            since_start_ms: self.since_start * 1000,
            who: "R. Tran".to_owned(),
        };
        let entries = self.journal.compose(DeviceId::from_bits([1; 16]), &stamp, drafts).unwrap();
        self.journal.append(entries).unwrap();
    }

    pub fn write(&mut self, whats: Vec<What>) {
        let drafts: Vec<Draft> = whats.into_iter().map(Draft::new).collect();
        self.draft(&drafts);
    }

    /// Writes only what the switch accepts, and fails the test where it does not.
    pub fn hands(&mut self, whats: Vec<What>) {
        let drafts: Vec<Draft> = whats.into_iter().map(Draft::new).collect();
        press::judge_drafts(&self.fold(), &self.now(), &drafts).unwrap();
        self.draft(&drafts);
    }

    pub fn hash_of(&self, kind: &str, place: &str) -> Hash {
        self.fold().one(kind, place).unwrap().hash
    }

    pub fn correct(&mut self, corrected: What) {
        let hash = self.hash_of(&corrected.kind, &corrected.place);
        self.draft(&[Draft::correcting(corrected, hash, "misread")]);
    }

    pub fn act(act: Act) -> What {
        what("act", "").with("act", act.code()).with("pole", act.pole_code()).with("accepted", "planned")
    }

    pub fn office(&mut self) {
        self.write(vec![
            what("job", "").with("visit", "meter_change").with("service", "wye3").with("site", "Quarry Lane 4"),
            what("site", "").with("order", self.order).with("account", "4410-7").with("service_point", "SP 118"),
            what("on_record", "").with("multiplier", decimal("2400", "")).with("reason", "age"),
            what("crew", "").with("technician", "R. Tran"),
        ]);
    }

    pub fn truck(&mut self) {
        self.write(vec![
            what("meter_plate", "incoming")
                .with("number", "N-2002")
                .with("form", "9S")
                .with("elements", "3")
                .with("class_amps", decimal("20", "A"))
                .with("ratios_inside", "none")
                .with("display", "secondary"),
            what("truck", "").with("incoming_checked", "yes"),
        ]);
    }

    pub fn arrive(&mut self) {
        let arrive = ["control_told", "briefing", "customer_told"];
        let told = arrive.into_iter().fold(what("arrive", ""), |what, field| what.with(field, "yes"));
        self.write(vec![told.with("generation", "no").with("dispute", "none")]);
    }

    pub fn plates(&mut self) {
        let mut entries = vec![
            what("meter_plate", "outgoing")
                .with("number", "O-1001")
                .with("form", "9S")
                .with("elements", "3")
                .with("ratios_inside", "none")
                .with("display", "secondary"),
            what("switch", "").with("type", self.kind.code()).with("neutral_pole", "yes").with("others_use", "no"),
        ];
        for element in ["A", "B", "C"] {
            entries.push(what("ct_plate", &format!("found/{element}")).with("ratio", ratio(200, 5)));
            entries.push(what("vt_plate", &format!("found/{element}")).with("ratio", ratio(7200, 120)));
        }
        self.write(entries);
        self.look_all("to_meter", "to_meter");
    }

    pub fn look_all(&mut self, currents: &str, potentials: &str) {
        let current = ["A", "B", "C"].map(|pole| what("current_seen", pole).with("state", currents));
        let potential = ["A", "B", "C", "N"].map(|pole| what("potential_seen", pole).with("state", potentials));
        self.hands(current.into_iter().chain(potential).collect());
    }

    pub fn readings(&mut self, stage: &str, amps: [&str; 3]) {
        let mut entries =
            vec![what("reading_set", stage).with("convention", "lagging_positive").with("reference", "volts_a")];
        for (index, element) in ["A", "B", "C"].into_iter().enumerate() {
            let angle = 120 * index;
            entries.push(
                what("reading", &format!("{stage}/{element}"))
                    .with("volts", decimal("120.1", "V"))
                    .with("amps", decimal(amps[index], "A"))
                    .with("volt_angle", decimal(&angle.to_string(), "°"))
                    .with("amp_angle", decimal(&(angle + 25).to_string(), "°")),
            );
        }
        self.write(entries);
    }

    pub fn as_found(&mut self) {
        self.write(vec![
            what("first_look", "").with("enclosure_dead", "yes").with("hum", "no"),
            what("seal", "found/meter").with("state", "broken").with("number", "S-1"),
        ]);
        self.readings("as_found", AMPS);
    }

    pub fn reads(&mut self, place: &str, kwh: &str, kw: &str) {
        self.write(vec![
            what("read_set", place).with("done_at", self.time()).with("estimated", "actual"),
            what("register", &format!("{place}/kwh")).with("value", decimal(kwh, "")).with("unit", "kWh"),
            what("register", &format!("{place}/kw")).with("value", decimal(kw, "")).with("unit", "kW"),
        ]);
    }

    pub fn proof(element: Element, stage: &str, ct: &str, meter: &str) -> What {
        what("short_proof", element.code())
            .with("stage", stage)
            .with("before", decimal(AMPS[element.index()], "A"))
            .with("ct_side", decimal(ct, "A"))
            .with("meter_side", decimal(meter, "A"))
    }

    pub fn back(element: Element, ct: &str, meter: &str) -> What {
        what("current_back", element.code()).with("ct_side", decimal(ct, "A")).with("meter_side", decimal(meter, "A"))
    }

    pub fn short_one(&mut self, element: Element) {
        let amps = AMPS[element.index()];
        match self.kind {
            Kind::BladeShortsAsItOpens => self
                .hands(vec![Self::act(Act::PullShortingBlade(element)), Self::proof(element, "one_pull", amps, "0")]),
            Kind::SeparateShortingBlade | Kind::ScrewsOrLinks => self.hands(vec![
                Self::act(Act::CloseShort(element)),
                Self::proof(element, "short_closed", amps, "0.2"),
                Self::act(Act::OpenMeterPath(element)),
                Self::proof(element, "meter_side_open", amps, "0"),
            ]),
            Kind::None => {
                self.hands(vec![Self::act(Act::ShortAtCt(element)), Self::proof(element, "short_closed", amps, "0.2")])
            }
            Kind::PlugInBlock => self.hands(vec![Self::act(Act::FitPlugJumper(element))]),
        }
    }

    pub fn short_currents(&mut self) {
        for element in Element::ALL {
            self.short_one(element);
        }
        if self.kind == Kind::PlugInBlock {
            let looks = ["A", "B", "C"].map(|pole| what("current_seen", pole).with("state", "to_meter"));
            self.hands(looks.to_vec());
            let proofs = Element::ALL.map(|element| Self::proof(element, "one_pull", AMPS[element.index()], "0"));
            self.hands([Self::act(Act::InsertPlug)].into_iter().chain(proofs).collect());
        }
    }

    pub fn dead_test() -> What {
        what("dead_test", "")
            .with("live_before", decimal("121", "V"))
            .with("highest_found", decimal("0.2", "V"))
            .with("live_after", decimal("121", "V"))
            .with("auxiliary_dead", "none_here")
    }

    pub fn open_potentials(&mut self) {
        self.hands(PotentialPole::ALL.map(|pole| Self::act(Act::OpenPotential(pole))).to_vec());
        self.write(vec![Self::dead_test()]);
    }

    pub fn swap(&mut self) {
        self.hands(vec![Self::act(Act::MeterOut)]);
        if self.kind == Kind::None {
            let proofs =
                Element::ALL.map(|element| Self::proof(element, "meter_side_open", AMPS[element.index()], "0"));
            self.hands(proofs.to_vec());
        }
        self.pass(300);
        self.write(vec![what("meter_out", "").with("condition", "good")]);
        self.hands(vec![Self::act(Act::MeterIn)]);
    }

    pub fn close_potentials(&mut self) {
        let order = [PotentialPole::N, PotentialPole::A, PotentialPole::B, PotentialPole::C];
        self.hands(order.map(|pole| Self::act(Act::ClosePotential(pole))).to_vec());
        self.boot();
    }

    pub fn boot(&mut self) {
        self.write(vec![
            what("boot", "")
                .with("program_seen", "as_planned")
                .with("service_seen", "as_planned")
                .with("ratios_inside", "none")
                .with("display", "secondary")
                .with("clock", "right"),
        ]);
    }

    pub fn restore_one(&mut self, element: Element) {
        let amps = AMPS[element.index()];
        let share = Self::back(element, amps, "0.2");
        let back = Self::back(element, amps, amps);
        match self.kind {
            Kind::BladeShortsAsItOpens => self.hands(vec![
                what("current_seen", element.code()).with("state", "shorted"),
                Self::act(Act::PushShortingBlade(element)),
                back,
            ]),
            Kind::SeparateShortingBlade | Kind::ScrewsOrLinks => self.hands(vec![
                Self::act(Act::CloseMeterPath(element)),
                share,
                Self::act(Act::OpenShort(element)),
                back,
            ]),
            Kind::None => self.hands(vec![share, Self::act(Act::UnshortAtCt(element)), back]),
            Kind::PlugInBlock => self.hands(vec![back]),
        }
    }

    pub fn restore_currents(&mut self) {
        if self.kind == Kind::PlugInBlock {
            let looks = ["A", "B", "C"].map(|pole| what("current_seen", pole).with("state", "shorted"));
            self.hands(looks.to_vec());
            self.hands(vec![Self::act(Act::WithdrawPlug)]);
        }
        if self.kind == Kind::None {
            // With the meter in, the path that it closes is read before the first short comes off.
            let shares = Element::ALL.map(|element| Self::back(element, AMPS[element.index()], "0.2"));
            self.hands(shares.to_vec());
        }
        for element in Element::ALL {
            self.restore_one(element);
        }
    }

    pub fn as_left(&mut self) {
        self.readings("as_left", AMPS);
        self.write(vec![
            what("after", "")
                .with("communication", "seen_by_head_end")
                .with("peak_reset", "done_last")
                .with("multiplier_marked", "yes")
                .with("reset_count", 1),
        ]);
    }

    pub fn seals(&mut self) {
        self.write(vec![
            what("seal", "left/meter").with("state", "set").with("number", "S-9").with("read_back", "yes"),
        ]);
    }

    pub fn sign(&mut self) {
        self.write(vec![what("signed", "").with("by", "R. Tran").with("effective", Self::clock(0))]);
    }

    /// Runs one step by its id.
    pub fn step(&mut self, id: &str) {
        match id {
            "truck" => self.truck(),
            "arrive" => self.arrive(),
            "plates" => self.plates(),
            "as_found" => self.as_found(),
            "early_reads" => self.reads("outgoing/early", "5120.4", "2.31"),
            "short_currents" => self.short_currents(),
            "final_reads" => self.reads("outgoing/final", "5121.0", "2.31"),
            "open_potentials" => self.open_potentials(),
            "swap_meter" => self.swap(),
            "close_potentials" => self.close_potentials(),
            "start_reads" => self.reads("incoming/start", "0.0", "0"),
            "restore_currents" => self.restore_currents(),
            "as_left" => self.as_left(),
            "seals" => self.seals(),
            "close_out" => self.sign(),
            other => panic!("no step {other}"),
        }
    }

    /// Runs every step before `id`.
    pub fn until(mut self, id: &str) -> Self {
        self.office();
        let order = self.standing().order;
        for step in crate::steps::order(order) {
            if *step == id {
                break;
            }
            self.step(step);
        }
        self
    }

    /// Runs this step and every later one.
    pub fn from(&mut self, id: &str) {
        let order = crate::steps::order(self.standing().order);
        for step in order.iter().skip_while(|step| **step != id) {
            self.step(step);
        }
    }
}
