//! What a page calls things by: the names and settings of a job, taken from its scenario.

use deepstay_core::gas::Species;
use deepstay_core::record::ValveName;
use deepstay_core::units::{
    BankId, CompartmentId, CompartmentKind, DiverId, DoorId, Duty, InstrumentId, Place, Quantity,
    VesselTime,
};
use deepstay_core::words::Names;
use deepstay_plant::SamplePoint;
use deepstay_rules::Status;
use deepstay_scenario::{FaultKind, MadeFrom, Scenario};

/// A compartment by name and kind.
#[derive(Clone, Debug, PartialEq)]
pub struct CompartmentLabel {
    /// Name as on the panel.
    pub name: String,
    /// What it is for.
    pub kind: CompartmentKind,
    /// Absorbent in a canister of its scrubber, kg; none without one.
    pub canister_kg: Option<f64>,
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
    /// Whether it was ordered with helium.
    pub helium: bool,
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

/// A planned fault.
#[derive(Clone, Debug, PartialEq)]
pub struct FaultLabel {
    /// In words.
    pub words: String,
    /// The vessel or bank that it is at, as its label has it; none where there is none.
    pub place: Option<Place>,
    /// The quantities that may show it.
    pub shows: Vec<Quantity>,
}

/// A figure by which people come to harm, and where it comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct HarmSource {
    /// What it is.
    pub meaning: &'static str,
    /// Where it comes from.
    pub source: String,
    /// How it came to us.
    pub status: Status,
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
    /// What the set took from those that it is based on; none where it stands alone.
    pub rules_taken: Option<String>,
    /// Seed of every draw.
    pub seed: u64,
    /// Seconds between log rows.
    pub log_every_s: i64,
    /// Depth of the work, msw.
    pub working_msw: f64,
    /// The vessel's clock.
    pub time: VesselTime,
    /// Compartments in id order.
    pub compartments: Vec<CompartmentLabel>,
    /// Doors by name, in id order.
    pub doors: Vec<String>,
    /// Which compartment each door belongs to, in id order.
    pub door_of: Vec<CompartmentId>,
    /// Banks in id order.
    pub banks: Vec<BankLabel>,
    /// Divers' initials in id order.
    pub crew: Vec<String>,
    /// Initials of the watches, in turn; changed at each handover.
    pub watches: Vec<String>,
    /// What is wrong or odd with the scenario and no reason to refuse it, such as a value of the plan that a rule
    /// overrides.
    pub warnings: Vec<String>,
    /// Ids of the recalled or second-hand rule rows that the scenario accepts.
    pub accepted: Vec<String>,
    /// The plan's bell runs, in order of start.
    pub planned: Vec<PlannedRun>,
    /// Share of the time in the water that the plan allows for weather; none where it has no tasks.
    pub weather_share: Option<f64>,
    /// The planned faults, in the plan's order.
    pub faults: Vec<FaultLabel>,
    /// Ids of the rows of the rule set, by their numbers.
    pub rule_rows: Vec<String>,
    /// Hot water of each bell.
    pub hot_water: Vec<HotWater>,
    /// The figures by which people come to harm.
    pub harm: Vec<HarmSource>,
    /// The files that the scenario was made of, the job's own first; none where whoever calls did not say.
    pub made_from: Vec<MadeFrom>,
}

impl From<&Scenario> for Subject {
    fn from(s: &Scenario) -> Subject {
        let bank = |b: &deepstay_plant::Bank| BankLabel {
            name: b.name.clone(),
            duty: b.duty,
            label_o2: b.label_o2,
            analysed_o2: b.analysed_o2,
            helium: b.true_mix[Species::He] > 0.0,
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
        let compartment = |c: &deepstay_plant::Compartment| CompartmentLabel {
            name: c.name.clone(),
            kind: c.kind,
            canister_kg: c.scrubber.map(|s| s.absorbent_kg),
        };
        let harm = s.harm.rows.iter().map(|row| HarmSource {
            meaning: row.meaning,
            source: row.source.clone(),
            status: row.status,
        });
        Subject {
            harm: harm.collect(),
            made_from: Vec::new(),
            scenario: s.name.clone(),
            title: s.title.clone(),
            spread: s.steel.name.clone(),
            rule_set: s.rules.name.clone(),
            rules_taken: s.rules.taken_words(),
            seed: s.seed,
            log_every_s: s.log_every_s,
            working_msw: s.site.working_msw,
            time: s.time(),
            compartments: s.steel.compartments.iter().map(compartment).collect(),
            doors: s.steel.doors.iter().map(|d| d.name.clone()).collect(),
            door_of: s.steel.doors.iter().map(|d| d.a).collect(),
            banks: s.steel.banks.iter().map(bank).collect(),
            crew: s.crew.iter().map(|d| d.initials.clone()).collect(),
            watches: vec!["watch A".into(), "watch B".into()],
            warnings: deepstay_scenario::warnings(s),
            accepted: s.accepted.clone(),
            planned: (0u16..)
                .zip(&s.plan.bell_runs)
                .map(|(run, r)| planned(run, r))
                .collect(),
            weather_share: (!s.work.tasks.is_empty()).then_some(s.work.weather_share),
            faults: s.faults.iter().map(|f| fault(s, &f.what)).collect(),
            rule_rows: s.rules.row_list().into_iter().map(|row| row.id).collect(),
            hot_water: s
                .steel
                .compartments
                .iter()
                .enumerate()
                .filter_map(hot_water)
                .collect(),
        }
    }
}

/// The quantities in which a fault may show.
fn shows(s: &Scenario, what: &FaultKind) -> Vec<Quantity> {
    match *what {
        FaultKind::Leak { .. } => vec![Quantity::Depth],
        FaultKind::FanStop { .. } => vec![Quantity::PpCo2],
        FaultKind::ClimateStop { .. } => vec![Quantity::Temperature, Quantity::Humidity],
        FaultKind::ReclaimStop | FaultKind::WrongContents { .. } => {
            vec![Quantity::PpO2, Quantity::PpCo2]
        }
        FaultKind::StuckValve { valve, .. } => match valve {
            ValveName::Oxygen(_) => vec![Quantity::PpO2],
            ValveName::BlowDown(_)
            | ValveName::Exhaust(_)
            | ValveName::Bleed(_)
            | ValveName::Drain(_)
            | ValveName::Equalise(_) => vec![Quantity::Depth],
        },
        FaultKind::Drift { instrument, .. }
        | FaultKind::Frozen { instrument }
        | FaultKind::CrossConnected { instrument, .. } => {
            let plate = s.steel.instruments.get(instrument.index());
            plate.map(|i| i.quantity).into_iter().collect()
        }
    }
}

fn fault(s: &Scenario, what: &FaultKind) -> FaultLabel {
    let of_instrument = |id: InstrumentId| match s.steel.instruments.get(id.index())?.labelled {
        SamplePoint::Compartment(c) | SamplePoint::Sea(c) => Some(Place::Compartment(c)),
        SamplePoint::Bank(bank) => Some(Place::Bank(bank)),
    };
    let of_valve = |valve: ValveName| match valve {
        ValveName::BlowDown(c)
        | ValveName::Oxygen(c)
        | ValveName::Exhaust(c)
        | ValveName::Bleed(c)
        | ValveName::Drain(c) => Some(Place::Compartment(c)),
        ValveName::Equalise(door) => {
            let door = s.steel.doors.get(door.index())?;
            Some(Place::Compartment(door.a))
        }
    };
    let place = match *what {
        FaultKind::Leak { compartment, .. }
        | FaultKind::FanStop { compartment }
        | FaultKind::ClimateStop { compartment } => Some(Place::Compartment(compartment)),
        FaultKind::ReclaimStop => s.steel.reclaim.map(|r| Place::Compartment(r.tank)),
        FaultKind::StuckValve { valve, .. } => of_valve(valve),
        FaultKind::WrongContents { bank, .. } => Some(Place::Bank(bank)),
        FaultKind::Drift { instrument, .. }
        | FaultKind::Frozen { instrument }
        | FaultKind::CrossConnected { instrument, .. } => of_instrument(instrument),
    };
    FaultLabel {
        words: s.fault_words(what),
        place,
        shows: shows(s, what),
    }
}

impl Names for Subject {
    fn compartment_name(&self, id: CompartmentId) -> Option<&str> {
        self.compartments.get(id.index()).map(|c| c.name.as_str())
    }

    fn bank_name(&self, id: BankId) -> Option<&str> {
        self.banks.get(id.index()).map(|b| b.name.as_str())
    }

    fn door_name(&self, id: DoorId) -> Option<&str> {
        self.doors.get(id.index()).map(String::as_str)
    }

    fn diver_initials(&self, id: DiverId) -> Option<&str> {
        self.crew.get(id.index()).map(String::as_str)
    }

    fn compartment_of(&self, door: DoorId) -> Option<CompartmentId> {
        self.door_of.get(door.index()).copied()
    }
}
