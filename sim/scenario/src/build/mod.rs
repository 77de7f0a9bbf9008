//! Makes the validated scenario out of what the files say: names become ids, measures become SI, and
//! what does not fit together becomes a diagnostic at its place.

mod alarms;
mod check;
mod crew;
mod crew_changes;
mod faults;
mod fitness;
mod instruments;
mod names;
mod plan;
mod ranges;
mod rota;
mod rules;
mod sea_water;
mod site;
mod steel;
mod stock;
mod study;
mod work;

pub(super) use names::Names;

use super::file::{
    BellRunFile, CrewFile, FaultsFile, JobFile, PlanFile, SiteFile, SpreadFile, StockFile,
    StudyFile, WorkFile,
};
use super::weather::Tables;
use super::{Input, Scenario, ScenarioData};
use deepstay_crew::Rates;
use deepstay_crew::harm::{HarmFigures, HarmFile};
use deepstay_crew::voices::{Voices, VoicesFile};
use deepstay_plant::{MAX_BANKS, MAX_COMPARTMENTS};
use deepstay_read::{Diagnostics, Section, Wrong};
use deepstay_rules::RuleSet;
use plan::{Ground, Planned};
use std::sync::Arc;

/// Most alarms in the list of a panel.
const MOST_ALARMS: usize = 200;
/// Most doors of a spread.
const MOST_DOORS: usize = 64;
/// Most divers in a job.
const MOST_DIVERS: usize = 64;

/// A part of a job and where it stands.
pub(super) struct Part<T> {
    pub file: T,
    pub section: Section,
}

/// All parts of a job. What a patch does not touch is shared with the job it was made of.
#[derive(Clone)]
pub(super) struct Parts {
    pub job: Arc<Part<JobFile>>,
    pub rules: Option<Arc<Part<Arc<RuleSet>>>>,
    pub spread: Arc<Part<SpreadFile>>,
    pub site: Arc<Part<SiteFile>>,
    pub crew: Arc<Part<CrewFile>>,
    pub stock: Arc<Part<StockFile>>,
    pub plan: Arc<Part<PlanFile>>,
    /// The bell runs that are written one by one, perhaps in a file of their own.
    pub runs: Arc<Part<Vec<BellRunFile>>>,
    pub work: Option<Arc<Part<WorkFile>>>,
    pub faults: Option<Arc<Part<FaultsFile>>>,
    pub study: Option<Arc<Part<StudyFile>>>,
    pub harm: Option<Arc<Part<HarmFile>>>,
    pub voices: Option<Arc<Part<VoicesFile>>>,
}

/// A scenario, and what was made on the way to it, so that a patch makes and checks again only what it touches.
pub(super) struct Made {
    parts: Parts,
    names: Names,
    planned: Planned,
    rates: Rates,
    pub scenario: Scenario,
}

impl Made {
    /// The parts that it was made of.
    pub fn parts(&self) -> &Parts {
        &self.parts
    }
}

/// Which parts are those that another job was made of.
#[derive(Clone, Copy, Default)]
struct Kept {
    job: bool,
    rules: bool,
    spread: bool,
    site: bool,
    crew: bool,
    stock: bool,
    plan: bool,
    work: bool,
    faults: bool,
    study: bool,
    harm: bool,
    voices: bool,
}

impl Kept {
    fn of(parts: &Parts, before: &Parts) -> Kept {
        fn optional<T>(a: &Option<Arc<T>>, b: &Option<Arc<T>>) -> bool {
            match (a, b) {
                (Some(a), Some(b)) => Arc::ptr_eq(a, b),
                (None, None) => true,
                _ => false,
            }
        }
        Kept {
            job: Arc::ptr_eq(&parts.job, &before.job),
            rules: optional(&parts.rules, &before.rules),
            spread: Arc::ptr_eq(&parts.spread, &before.spread),
            site: Arc::ptr_eq(&parts.site, &before.site),
            crew: Arc::ptr_eq(&parts.crew, &before.crew),
            stock: Arc::ptr_eq(&parts.stock, &before.stock),
            plan: Arc::ptr_eq(&parts.plan, &before.plan) && Arc::ptr_eq(&parts.runs, &before.runs),
            work: optional(&parts.work, &before.work),
            faults: optional(&parts.faults, &before.faults),
            study: optional(&parts.study, &before.study),
            harm: optional(&parts.harm, &before.harm),
            voices: optional(&parts.voices, &before.voices),
        }
    }
}

/// Puts a job together; none where a part is missing that all else hangs on. Of a job without fault that it
/// was patched from, whatever rests on the same is taken over.
pub(super) fn scenario(
    parts: &Parts,
    before: Option<&Made>,
    tables: &dyn Tables,
    diagnostics: &mut Diagnostics,
) -> Option<Made> {
    let kept = before.map_or_else(Kept::default, |b| Kept::of(parts, &b.parts));
    let was = |same: bool| before.filter(|_| same);
    let Parts {
        job,
        rules,
        spread,
        site,
        crew,
        stock,
        plan,
        runs,
        work,
        faults,
        study,
        harm,
        voices,
    } = parts;
    let on_board = kept.spread && kept.stock && kept.crew;
    if !on_board && too_many(spread, stock, crew, diagnostics) {
        return None;
    }
    let names = match was(on_board) {
        Some(b) => b.names.clone(),
        None => Names::new(spread, stock, crew, diagnostics),
    };
    let same_names = before.is_some_and(|b| b.names == names);

    let (steel, inputs) = match was(same_names && kept.spread && kept.stock) {
        Some(b) => (b.scenario.steel.clone(), b.scenario.inputs.clone()),
        None => {
            ranges::spread(spread, diagnostics);
            ranges::stock(stock, diagnostics);
            let mut inputs = Vec::new();
            let mut steel = steel::steel(spread, &names, &mut inputs, diagnostics);
            stock::fill(stock, spread, &names, &mut steel, &mut inputs, diagnostics);
            steel.instruments = instruments::standard(&spread.file.instruments, &steel);
            steel.alarms = alarms::panel(spread, &names, &steel, diagnostics);
            (steel, inputs)
        }
    };
    let same_steel = same_names && before.is_some_and(|b| b.scenario.steel == steel);

    let people = match was(same_steel && kept.crew) {
        Some(b) => b.scenario.crew.clone(),
        None => {
            ranges::crew(crew, diagnostics);
            crew::people(crew, &names, &steel, diagnostics)
        }
    };
    let place = match was(kept.site) {
        Some(b) => b.scenario.site.clone(),
        None => site::site(site, tables, diagnostics),
    };
    let same_ground =
        same_steel && before.is_some_and(|b| b.scenario.crew == people && b.scenario.site == place);

    let same_plan = same_ground && kept.plan && kept.crew && kept.stock && kept.job && kept.rules;
    let planned = match was(same_plan) {
        Some(b) => b.planned.clone(),
        None => {
            let machines = (stock.file.reclaim.is_some(), stock.file.recovery.is_some());
            let ground = Ground {
                names: &names,
                crew: &people,
                site: &place,
                steel: &steel,
            };
            let mut planned = plan::plan(plan, runs, &ground, machines, diagnostics);
            planned.plan.aboard = crew::aboard(crew, diagnostics);
            planned
        }
    };
    let work = match was(same_ground && kept.work && kept.crew) {
        Some(b) => b.scenario.work.clone(),
        None => work::work(work.as_deref(), crew, &people, &place, &steel, diagnostics),
    };
    let faults = match (was(same_steel && kept.faults), faults) {
        (Some(b), _) => b.scenario.faults.clone(),
        (None, Some(f)) => faults::planned(f, &names, &steel, diagnostics),
        (None, None) => Vec::new(),
    };
    let study = match was(same_steel && kept.study) {
        Some(b) => b.scenario.study.clone(),
        None => study::study(study.as_deref(), &names, &steel, diagnostics),
    };
    let harm = match (was(kept.harm), harm) {
        (Some(b), _) => b.scenario.harm.clone(),
        (None, Some(h)) => Arc::new(HarmFigures::of(&h.file, &h.section, diagnostics)),
        (None, None) => Arc::new(HarmFigures::default()),
    };
    let voices = match (was(kept.voices), voices) {
        (Some(b), _) => b.scenario.voices.clone(),
        (None, Some(v)) => Arc::new(Voices::of(&v.file, &v.section, diagnostics)),
        (None, None) => Arc::new(Voices::default()),
    };
    let (surface, umbilicals) = match was(kept.crew) {
        Some(b) => (b.scenario.surface.clone(), b.scenario.umbilicals),
        None => (
            crew::surface(crew, diagnostics),
            crew::umbilicals(crew, diagnostics),
        ),
    };
    let rates = match was(kept.job && kept.crew) {
        Some(b) => b.rates.clone(),
        None => {
            let table = job.file.rates.clone().unwrap_or_default();
            let rates = crew::rates(table, crew, diagnostics);
            if let Err(error) = rates.table() {
                diagnostics.add(&job.section, "rates", Wrong::Value(error.to_string()));
            }
            rates
        }
    };
    if job.file.log_every.0 < 60 || job.file.log_every.0 > 86_400 {
        let words =
            "a log row is written every minute at the most and every day at the least".to_owned();
        diagnostics.add(&job.section, "log_every", Wrong::Value(words));
    }
    let planned = match (same_plan, rules) {
        (true, Some(_)) => planned,
        (_, rules) => {
            let mut planned = planned;
            if let Some(rules) = rules {
                crew_changes::plan_back(job, &rules.file, plan, &mut planned, &names, diagnostics);
            }
            // Who lives with whom is not known where a chamber or a diver is not.
            let placed = people.iter().all(|d| d.chamber != crew::NOWHERE);
            if placed && !diagnostics.lacks("compartment") && !diagnostics.lacks("diver") {
                check::people(plan, &planned, &people, &steel, diagnostics);
            }
            fitness::gases(stock, &planned, &steel, diagnostics);
            let before = diagnostics.count();
            check::depths(plan, &planned, &place, &steel, diagnostics);
            // What the steel is not made for no rule set needs to answer.
            let can_be = diagnostics.count() == before;
            if let (Some(rules), true) = (rules, can_be) {
                rules::answers(job, rules, plan, &planned, &people, diagnostics);
            }
            planned
        }
    };
    let bail_out = match was(same_plan) {
        Some(b) => b.scenario.bail_out,
        None => {
            let made = crew::bail_out(crew, diagnostics);
            fitness::bail_out(crew, &planned, &steel, made, diagnostics)
        }
    };
    let start = job.file.start.0;
    let scenario = Scenario::checked(ScenarioData {
        name: job.file.name.clone(),
        title: job.file.title.clone(),
        steel,
        rules: rules.as_ref()?.file.clone(),
        rates: rates.clone(),
        harm,
        voices,
        inside_gauges: steel::inside_gauges(spread, diagnostics),
        bail_out,
        surface,
        umbilicals,
        accepted: job.file.accept_recalled.clone(),
        crew: people,
        site: place,
        plan: planned.plan.clone(),
        work,
        faults,
        study,
        chance: Vec::new(),
        start_unix_s: start - job.file.utc_offset.0,
        utc_offset_s: job.file.utc_offset.0,
        start_second_of_day: start.rem_euclid(86_400),
        seed: job.file.seed,
        log_every_s: job.file.log_every.0,
        inputs,
    });
    Some(Made {
        parts: parts.clone(),
        names,
        planned,
        rates,
        scenario,
    })
}

/// Whether a list is longer than ids can number; the lists of a file are gone through only if none is.
fn too_many(
    spread: &Part<SpreadFile>,
    stock: &Part<StockFile>,
    crew: &Part<CrewFile>,
    diagnostics: &mut Diagnostics,
) -> bool {
    let counts = [
        (
            &spread.section,
            "compartments",
            spread.file.compartments.len(),
            MAX_COMPARTMENTS,
        ),
        (
            &spread.section,
            "doors",
            spread.file.doors.len(),
            MOST_DOORS,
        ),
        (
            &spread.section,
            "alarms",
            spread.file.alarms.as_ref().map_or(0, Vec::len),
            MOST_ALARMS,
        ),
        (&stock.section, "banks", stock.file.banks.len(), MAX_BANKS),
        (&crew.section, "divers", crew.file.divers.len(), MOST_DIVERS),
    ];
    for (section, list, count, most) in counts {
        if count > most {
            let words = format!("{count} {list}; there may be at most {most}");
            let how = Some(format!("leave {} of them out", count - most));
            diagnostics.add_with(section, list, Wrong::Value(words), how);
        }
    }
    counts.iter().any(|(_, _, count, most)| count > most)
}

/// Writes down a named input with its range.
fn input(
    inputs: &mut Vec<Input>,
    name: String,
    unit: &'static str,
    (value, low, high): (f64, f64, f64),
) {
    inputs.push(Input {
        name,
        unit,
        value,
        low,
        high,
    });
}
