//! A validated scenario as the job runs it: the steel, the crew, the rules, the plan and what goes wrong.

use super::study::{Chance, Study};
use super::work::Work;
pub use deepstay_core::fault::FaultKind;
use deepstay_core::units::*;
use deepstay_crew::harm::HarmFigures;
use deepstay_crew::voices::Voices;
use deepstay_crew::{BailOut, Rates};
use deepstay_plant::{Activity, Steel};
use deepstay_rules::{Post, RuleSet};
use serde::{Deserialize, Serialize};
use std::fmt;
use std::ops::Deref;
use std::sync::Arc;

/// Everything one job needs. All ids are checked, all numbers are finite and in range: only the check of a
/// job's files makes one ([`crate::JobTexts`]), and what is in it can be read and not changed. Another one is
/// made by a patch of the texts, or by the few draws and settings that no check could refuse.
/// The empty one, with nothing on board and nothing to do, stands for that of a job whose state is being read.
#[derive(Clone, Default)]
pub struct Scenario(ScenarioData);

impl Deref for Scenario {
    type Target = ScenarioData;

    fn deref(&self) -> &ScenarioData {
        &self.0
    }
}

impl fmt::Debug for Scenario {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// Trials put together by hand, which no check has seen; for tests alone.
#[cfg(feature = "trials")]
impl From<ScenarioData> for Scenario {
    fn from(data: ScenarioData) -> Scenario {
        Scenario(data)
    }
}

#[cfg(feature = "trials")]
impl std::ops::DerefMut for Scenario {
    fn deref_mut(&mut self) -> &mut ScenarioData {
        &mut self.0
    }
}

/// What is in a scenario.
#[derive(Clone, Debug, Default)]
pub struct ScenarioData {
    /// Short name, as in `list`.
    pub name: String,
    /// One line on what it is.
    pub title: String,
    /// The steel.
    pub steel: Steel,
    /// The rule set in use.
    pub rules: Arc<RuleSet>,
    /// Ids of recalled or second-hand rule rows that the scenario says it accepts.
    pub accepted: Vec<String>,
    /// The divers.
    pub crew: Vec<Diver>,
    /// The site.
    pub site: Site,
    /// What is to be done when.
    pub plan: Plan,
    /// What the rota is made for.
    pub work: Work,
    /// What people take and give by activity.
    pub rates: Rates,
    /// The figures by which people come to harm.
    pub harm: Arc<HarmFigures>,
    /// What is said over the speaker.
    pub voices: Arc<Voices>,
    /// What a diver can read where he is, by a gauge that hangs inside or that he carries.
    pub inside_gauges: Vec<Quantity>,
    /// The bail-out of every diver.
    pub bail_out: BailOut,
    /// Who is on shift at the surface; none where nothing is known of it.
    pub surface: Vec<Shift>,
    /// How long umbilicals are; none where nothing is known of it.
    pub umbilicals: Option<Umbilicals>,
    /// What goes wrong, and when.
    pub faults: Vec<Fault>,
    /// What a study of the stock varies.
    pub study: Study,
    /// Chance within the job that has a seed of its own in the place of the job's.
    pub chance: Vec<(Chance, u64)>,
    /// Civil time of second 0: seconds since 1970-01-01 UTC (display only).
    pub start_unix_s: i64,
    /// Offset of the ship's clock from UTC, s.
    pub utc_offset_s: i64,
    /// Second of the ship's day at second 0 (for rest windows, meals and watches).
    pub start_second_of_day: i64,
    /// Seed of every draw.
    pub seed: u64,
    /// Seconds between log rows.
    pub log_every_s: i64,
    /// Inputs without a public measurement, with the range each may lie in.
    pub inputs: Vec<Input>,
}

/// People at one post at the surface for some hours of every day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shift {
    /// Where.
    pub post: Post,
    /// How many at a time.
    pub people: u8,
    /// From this second of the ship's day,
    pub from_s: i64,
    /// to this one, past midnight where it is no later.
    pub to_s: i64,
}

impl Shift {
    /// How many of it there are at a second of the ship's day.
    pub fn at(&self, second: i64) -> u8 {
        let there = match self.from_s < self.to_s {
            true => (self.from_s..self.to_s).contains(&second),
            false => second >= self.from_s || second < self.to_s,
        };
        if there { self.people } else { 0 }
    }
}

/// Umbilicals and the way that they are used.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Umbilicals {
    /// Of a working diver, m.
    pub diver_m: f64,
    /// Of the bellman, m.
    pub bellman_m: f64,
    /// The furthest from the bell that is worked, m.
    pub excursion_m: f64,
    /// How fast a diver comes back along it, m/min.
    pub back_m_min: f64,
}

impl Scenario {
    /// What has been checked.
    pub(crate) fn checked(data: ScenarioData) -> Scenario {
        Scenario(data)
    }

    /// The same under another seed.
    #[must_use]
    pub fn with_seed(mut self, seed: u64) -> Scenario {
        self.0.seed = seed;
        self
    }

    /// The same with a log row every hour.
    #[must_use]
    pub fn with_hourly_log(mut self) -> Scenario {
        self.0.log_every_s = 3600;
        self
    }

    /// The same with breakdowns and seeds of chance of its own, and its banks so many times as large.
    #[must_use]
    pub fn with_draws(
        mut self,
        chance: &[(Chance, u64)],
        breakdowns: &[Fault],
        banks_times: f64,
    ) -> Scenario {
        self.0.chance = chance.to_vec();
        self.0.faults.extend_from_slice(breakdowns);
        self.0.faults.sort_by_key(|f| f.at);
        for bank in &mut self.0.steel.banks {
            bank.volume_m3 *= banks_times;
        }
        self
    }

    /// The same with one more thing that goes wrong, after those it has.
    #[must_use]
    pub fn with_fault(mut self, fault: Fault) -> Scenario {
        self.0.faults.push(fault);
        self
    }

    /// The same with other bell runs.
    #[must_use]
    pub fn with_bell_runs(mut self, runs: Vec<BellRun>) -> Scenario {
        self.0.plan.bell_runs = runs;
        self
    }

    /// The same scenario with nothing that goes wrong.
    #[must_use]
    pub fn without_faults(mut self) -> Scenario {
        self.0.faults.clear();
        self
    }

    /// The same scenario, one of whose faults, by its place, is over at a second.
    #[must_use]
    pub fn with_fault_over(mut self, fault: usize, at: i64) -> Scenario {
        if let Some(fault) = self.0.faults.get_mut(fault) {
            fault.until = Some(at);
        }
        self
    }

    /// Seed of a kind of chance within the job.
    pub fn seed_of(&self, chance: Chance) -> u64 {
        let own = self.chance.iter().find(|(of, _)| *of == chance);
        own.map_or(self.seed, |(_, seed)| *seed)
    }
}

/// A named input and the range it may lie in; both ends are the value where no range was given.
#[derive(Clone, Debug, PartialEq)]
pub struct Input {
    /// What it is, in plain words.
    pub name: String,
    /// Unit of the three numbers; empty for a share.
    pub unit: &'static str,
    /// What is reckoned with.
    pub value: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// A diver.
#[derive(Clone, Debug, PartialEq)]
pub struct Diver {
    /// Initials; no names.
    pub initials: String,
    /// Chamber he lives in.
    pub chamber: CompartmentId,
    /// Team he dives with.
    pub team: u8,
    /// Body mass, kg.
    pub mass_kg: f64,
    /// Multiplies his metabolic rates (1 is the table's person).
    pub metabolism: f64,
    /// Qualifications.
    pub qualifications: Vec<String>,
}

/// The sea and the weather at the site.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Site {
    /// Depth of the seabed, msw.
    pub seabed_msw: f64,
    /// Depth of the work, msw.
    pub working_msw: f64,
    /// Tidal amplitude, m (half the range), semi-diurnal 12.42 h.
    pub tide_amplitude_m: f64,
    /// Sea temperature at working depth, K.
    pub sea_t_k: f64,
    /// Significant wave height above which the bell is not launched, m.
    pub launch_limit_hs_m: f64,
    /// The weather.
    pub weather: Weather,
}

/// Where wave heights come from.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Weather {
    /// Never over the limit.
    #[default]
    Calm,
    /// A series: (second, significant wave height in m), held until the next.
    Series(Vec<(i64, f64)>),
    /// The second-order chain of a season: counts by previous and present class.
    Chain(MarkovChain),
}

/// A second-order chain of 0.5-m classes in 3-h steps.
#[derive(Clone, Debug, PartialEq)]
pub struct MarkovChain {
    /// Class width, m.
    pub class_m: f64,
    /// Step, s.
    pub step_s: i64,
    /// Rows (previous class, class, counts to each class).
    pub rows: Vec<(u8, u8, Vec<u32>)>,
}

/// What is to be done when.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Plan {
    /// What each pressed-together set of chambers does.
    pub levels: Vec<Level>,
    /// Bell runs, in order of start.
    pub bell_runs: Vec<BellRun>,
    /// Transfers of divers between chambers at equal pressure.
    pub moves: Vec<Move>,
    /// Chambers that are to be at the surface by a date.
    pub crew_changes: Vec<CrewChange>,
    /// When those are on board who are not there for the whole job.
    pub aboard: Vec<Aboard>,
    /// Seconds of the ship's day at which meals are locked in.
    pub meals_s: Vec<i64>,
    /// Second of day of laundry and linen.
    pub laundry_s: Option<i64>,
    /// Seconds of day of stores runs.
    pub stores_s: Vec<i64>,
    /// Toilet flushes per diver and day.
    pub toilet_per_day: f64,
    /// Liquid water that evaporates in a shower, kg.
    pub shower_vapour_kg: f64,
    /// Time over which it does, s.
    pub shower_s: i64,
    /// What a slipped turn does.
    pub slip: Slip,
    /// Seconds of day at which the watch hands over.
    pub handover_s: [i64; 2],
    /// Analyser calibration interval, s.
    pub calibrate_every_s: i64,
    /// Last second of the job if it is not over before.
    pub end_s: i64,
    /// Seconds of day (from, to) of the chamber's night, when those off shift sleep.
    pub night_s: (i64, i64),
    /// Whether the divers' exhaled gas is reclaimed.
    pub reclaim: bool,
    /// Whether chamber gas is recovered in decompression.
    pub recover_chamber_gas: bool,
}

/// When a diver is on board.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Aboard {
    /// Who.
    pub diver: DiverId,
    /// From this second on.
    pub from_s: i64,
    /// Until this second, which is not part of it.
    pub to_s: i64,
}

impl Plan {
    /// Whether a diver may go into a chamber that is pressed at a second.
    pub fn aboard(&self, diver: DiverId, at: i64) -> bool {
        let mut known = self.aboard.iter().filter(|a| a.diver == diver);
        known.all(|a| a.from_s <= at && at < a.to_s)
    }
}

/// What becomes of a bell run that weather or delay kept from starting.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Slip {
    /// That turn is lost.
    #[default]
    Skip,
    /// It and all that follow move later.
    Shift,
    /// It is lost when the sea lets the bell go again, and from then on the runs are planned anew by whoever
    /// plans; where nobody does, those of the plan stand.
    Replan,
}

/// A set of compartments kept at one depth together, with its steps in time.
#[derive(Clone, Debug, PartialEq)]
pub struct Level {
    /// Members: living chamber first, then what is open to it.
    pub members: Vec<CompartmentId>,
    /// Steps in order of time.
    pub steps: Vec<LevelStep>,
}

/// One step of a side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LevelStep {
    /// Earliest second.
    pub at: i64,
    /// What.
    pub what: LevelDo,
}

/// What a side is told to do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LevelDo {
    /// Press to a storage depth by the rule set, msw.
    Press(f64),
    /// Bleed to the surface by the rule set.
    Decompress,
    /// Bleed (or press) to another storage depth by the rule set, msw.
    ChangeStorage(f64),
    /// Break off: come up by the emergency set, or (while still pressing) back to the surface.
    Abort,
}

/// One planned bell run.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct BellRun {
    /// Planned start of the checks, s.
    pub at: i64,
    /// Which bell.
    pub bell: CompartmentId,
    /// The divers, in order of leaving the bell; the last is bellman first.
    pub divers: Vec<DiverId>,
    /// Depth, msw.
    pub depth_msw: f64,
    /// Time each works in the water, s.
    pub in_water_s: i64,
    /// Break in the bell at half that time, where three or more go, s; 0: none.
    pub pause_s: i64,
    /// How hard.
    pub work: Activity,
}

/// A transfer of divers between chambers.
#[derive(Clone, Debug, PartialEq)]
pub struct Move {
    /// Earliest second.
    pub at: i64,
    /// Who.
    pub divers: Vec<DiverId>,
    /// Where to.
    pub to: CompartmentId,
}

/// A chamber that is to be at the surface by a date.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CrewChange {
    /// Living chamber.
    pub chamber: CompartmentId,
    /// The date, s.
    pub surface_by_s: i64,
    /// When it begins to come up, s; planned backwards where the plan does not say it.
    pub starts_s: i64,
}

/// A planned fault, with its time.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    /// When it comes, s.
    pub at: i64,
    /// When it is put right, s; none: never.
    pub until: Option<i64>,
    /// What.
    pub what: FaultKind,
}
