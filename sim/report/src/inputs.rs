//! What a report is made of: the record of a run, the names of the things in it, the rules and
//! limits that were in force, and how the run ended.

use super::tables_used::TableInUse;
use deepstay_core::record::{Recorder, Side};
pub use deepstay_core::units::Units;
use deepstay_core::units::{CompartmentId, CompartmentKind, DiverId, Quantity};
use deepstay_plant::Duty;
use deepstay_rules::Status;
use deepstay_scenario::{FaultKind, Scenario};
use serde::{Deserialize, Serialize};

/// Stands wherever limits, schedules, gas or oxygen are spoken of.
pub const CAUTION: &str = "For planning, rehearsal and training; it prescribes nothing: the law, the issuing \
body's current document, the company's approved manual and the licensed people on the job decide.";

/// The largest residual of the ledger, relative to the moles handled, that counts as closed.
pub const LEDGER_TOLERANCE: f64 = 1e-9;

/// A figure of the rule set that the run used.
#[derive(Clone, Debug, PartialEq)]
pub struct ProvenanceRow {
    /// Its id in the rule set.
    pub id: String,
    /// What it says, in plain words.
    pub what: String,
    /// The figures, with their units.
    pub figures: String,
    /// Document, edition, table or paragraph.
    pub document: String,
    /// How it came to us.
    pub status: Status,
}

/// A limit that was in force for a compartment over a stretch of time.
#[derive(Clone, Debug, PartialEq)]
pub struct LimitBand {
    /// Where.
    pub compartment: CompartmentId,
    /// Of what.
    pub quantity: Quantity,
    /// High or low.
    pub side: Side,
    /// Value in the unit of the quantity.
    pub value: f64,
    /// From when, s.
    pub from_s: i64,
    /// Until when, s.
    pub to_s: i64,
    /// What it is called.
    pub label: String,
    /// Document and status, as one line.
    pub source: String,
}

/// How the run ended.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// Whether the job was gone through to its end.
    pub complete: bool,
    /// The last second of the run.
    pub ended_s: i64,
    /// Why it ended, in plain words.
    pub reason: String,
    /// How many seconds of plant time were evaluated one by one.
    pub seconds_evaluated: u64,
}

/// A vessel by name and kind.
#[derive(Clone, Debug, PartialEq)]
pub struct Vessel {
    /// Name as on the panel.
    pub name: String,
    /// What it is for.
    pub kind: CompartmentKind,
}

/// A bank by name and label.
#[derive(Clone, Debug, PartialEq)]
pub struct BankLabel {
    /// Name as painted.
    pub name: String,
    /// Duty on the label.
    pub duty: Duty,
    /// Oxygen fraction on the label.
    pub label_o2: f64,
    /// Oxygen fraction of the last analysis before the job.
    pub analysed_o2: Option<f64>,
    /// Oxygen fraction that is truly in it at the start.
    pub true_o2: f64,
    /// Helium fraction that is truly in it at the start.
    pub true_he: f64,
}

/// Hot water to the divers of a bell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HotWater {
    /// The bell.
    pub bell: CompartmentId,
    /// To each diver in the water, kg/s.
    pub kg_s: f64,
    /// How much warmer than the sea, K.
    pub warmer_k: f64,
}

/// A bell run as the plan has it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlannedRun {
    /// Which run of the plan.
    pub run: u16,
    /// Planned start of the checks, s.
    pub at_s: i64,
    /// Which bell.
    pub bell: CompartmentId,
    /// Who was to go.
    pub divers: Vec<DiverId>,
}

/// Names and settings of the run, taken from its scenario.
#[derive(Clone, Debug, PartialEq)]
pub struct Subject {
    /// Short name of the scenario.
    pub scenario: String,
    /// One line on what it is.
    pub title: String,
    /// Name of the spread.
    pub spread: String,
    /// Name of the rule set.
    pub rule_set: String,
    /// Seed of every draw.
    pub seed: u64,
    /// Seconds between log rows.
    pub log_every_s: i64,
    /// Depth of the work, msw.
    pub working_msw: f64,
    /// Civil time of second 0: seconds since 1970-01-01 UTC.
    pub start_unix_s: i64,
    /// Offset of the ship's clock from UTC, s.
    pub utc_offset_s: i64,
    /// Second of the ship's day at second 0.
    pub start_second_of_day: i64,
    /// Vessels in id order.
    pub vessels: Vec<Vessel>,
    /// Doors by name, in id order.
    pub doors: Vec<String>,
    /// Which vessel each door belongs to, in id order.
    pub door_of: Vec<CompartmentId>,
    /// Banks in id order.
    pub banks: Vec<BankLabel>,
    /// Divers' initials in id order.
    pub crew: Vec<String>,
    /// Initials of the watches, in turn; changed at each handover.
    pub watches: Vec<String>,
    /// Ids of the recalled or second-hand rule rows that the scenario accepts.
    pub accepted: Vec<String>,
    /// The plan's bell runs, in order of start.
    pub planned: Vec<PlannedRun>,
    /// The planned faults in words, in the plan's order.
    pub faults: Vec<String>,
    /// The rows of the rule set that each step of the plan goes by.
    pub tables: Vec<TableInUse>,
    /// Hot water of each bell.
    pub hot_water: Vec<HotWater>,
}

impl From<&Scenario> for Subject {
    fn from(s: &Scenario) -> Subject {
        // A bank that is planned to be falsely filled is so from the start.
        let true_mix = |i: usize, b: &deepstay_plant::Bank| {
            let false_mix = s.faults.iter().find_map(|f| match f.what {
                FaultKind::WrongContents { bank, mix } if bank.index() == i => Some(mix),
                _ => None,
            });
            let mix = false_mix.unwrap_or(b.true_mix);
            mix.scaled(1.0 / mix.total().max(f64::MIN_POSITIVE))
        };
        let bank = |(i, b): (usize, &deepstay_plant::Bank)| BankLabel {
            name: b.name.clone(),
            duty: b.duty,
            label_o2: b.label_o2,
            analysed_o2: b.analysed_o2,
            true_o2: true_mix(i, b)[deepstay_core::gas::Species::O2],
            true_he: true_mix(i, b)[deepstay_core::gas::Species::He],
        };
        let planned = |run: u16, r: &deepstay_scenario::BellRun| PlannedRun {
            run,
            at_s: r.at,
            bell: r.bell,
            divers: r.divers.clone(),
        };
        let hot_water = |(i, c): (usize, &deepstay_plant::Compartment)| {
            let bell = c.bell?;
            let warmer_k = bell.hot_water_t_k - s.site.sea_t_k;
            Some(HotWater {
                bell: CompartmentId(i as u8),
                kg_s: bell.hot_water_kg_s,
                warmer_k,
            })
        };
        let vessel = |c: &deepstay_plant::Compartment| Vessel {
            name: c.name.clone(),
            kind: c.kind,
        };
        let mut subject = Subject {
            scenario: s.name.clone(),
            title: s.title.clone(),
            spread: s.steel.name.clone(),
            rule_set: s.rules.name.clone(),
            seed: s.seed,
            log_every_s: s.log_every_s,
            working_msw: s.site.working_msw,
            start_unix_s: s.start_unix_s,
            utc_offset_s: s.utc_offset_s,
            start_second_of_day: s.start_second_of_day,
            vessels: s.steel.compartments.iter().map(vessel).collect(),
            doors: s.steel.doors.iter().map(|d| d.name.clone()).collect(),
            door_of: s.steel.doors.iter().map(|d| d.a).collect(),
            banks: s.steel.banks.iter().enumerate().map(bank).collect(),
            crew: s.crew.iter().map(|d| d.initials.clone()).collect(),
            watches: vec!["watch A".into(), "watch B".into()],
            accepted: s.accepted.clone(),
            planned: (0u16..)
                .zip(&s.plan.bell_runs)
                .map(|(run, r)| planned(run, r))
                .collect(),
            faults: Vec::new(),
            tables: super::tables_used::tables_used(s),
            hot_water: s
                .steel
                .compartments
                .iter()
                .enumerate()
                .filter_map(hot_water)
                .collect(),
        };
        let faults = s
            .faults
            .iter()
            .map(|f| super::fault_words::fault(&subject, &s.steel, &f.what));
        subject.faults = faults.collect();
        subject
    }
}

/// Everything a report is made of.
#[derive(Clone, Copy, Debug)]
pub struct Inputs<'a> {
    /// Names and settings.
    pub subject: &'a Subject,
    /// The record of the run.
    pub record: &'a Recorder,
    /// How it ended.
    pub outcome: &'a Outcome,
    /// Every rule figure that was used.
    pub provenance: &'a [ProvenanceRow],
    /// Every limit that was in force.
    pub limits: &'a [LimitBand],
    /// Which units the page and the tables speak in. `job.json` is always metric.
    pub units: Units,
}

/// A status as a reader needs it said.
pub fn status_words(status: Status) -> &'static str {
    match status {
        Status::Seen => "read in a copy of the document",
        Status::SecondHand => "SECOND-HAND: read where another page quotes it",
        Status::Recalled => "RECALLED from memory: check against the document",
        Status::Derived => "worked out from other figures",
        Status::HouseRule => "house rule of this demonstration",
    }
}

/// A status as one word, for files.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[expect(missing_docs, reason = "the same words as in the rule room")]
pub enum StatusWord {
    Seen,
    SecondHand,
    Recalled,
    Derived,
    HouseRule,
}

impl From<Status> for StatusWord {
    fn from(status: Status) -> StatusWord {
        match status {
            Status::Seen => StatusWord::Seen,
            Status::SecondHand => StatusWord::SecondHand,
            Status::Recalled => StatusWord::Recalled,
            Status::Derived => StatusWord::Derived,
            Status::HouseRule => StatusWord::HouseRule,
        }
    }
}
