//! Makes the validated scenario out of what the files say: names become ids, measures become SI, and
//! what does not fit together becomes a complaint at its place.

mod check;
mod crew;
mod crew_changes;
mod faults;
mod instruments;
mod names;
mod plan;
mod rota;
mod rules;
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
use super::read::{Desk, Sheet};
use super::weather::Tables;
use super::{Input, Scenario, Wrong};
use deepstay_plant::{MAX_BANKS, MAX_COMPARTMENTS};
use deepstay_rules::RuleSet;

/// Most doors of a spread.
const MOST_DOORS: usize = 64;
/// Most divers in a job.
const MOST_DIVERS: usize = 64;

/// A part of a job and where it stands.
pub(super) struct Part<T> {
    pub file: T,
    pub sheet: Sheet,
}

/// All parts of a job.
pub(super) struct Parts<'a> {
    pub job: Part<JobFile>,
    pub rules: Option<Part<RuleSet>>,
    pub spread: Part<SpreadFile>,
    pub site: Part<SiteFile>,
    pub crew: Part<CrewFile>,
    pub stock: Part<StockFile>,
    pub plan: Part<PlanFile>,
    /// The bell runs that are written one by one, perhaps in a file of their own.
    pub runs: Part<Vec<BellRunFile>>,
    pub work: Option<Part<WorkFile>>,
    pub faults: Option<Part<FaultsFile>>,
    pub study: Option<Part<StudyFile>>,
    pub tables: &'a dyn Tables,
}

/// Puts a job together; none where a part is missing that all else hangs on.
pub(super) fn scenario(parts: Parts, desk: &mut Desk) -> Option<Scenario> {
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
        tables,
    } = parts;
    if too_many(&spread, &stock, &crew, desk) {
        return None;
    }
    let mut inputs = Vec::new();
    let names = Names::new(&spread, &stock, &crew, desk);
    let mut steel = steel::steel(&spread, &names, &mut inputs, desk);
    stock::fill(&stock, &names, &mut steel, &mut inputs, desk);
    steel.instruments = instruments::standard(&spread.file.instruments, &steel);
    let people = crew::people(&crew, &names, &steel, desk);
    let place = site::site(&site, tables, desk);
    let machines = (stock.file.reclaim.is_some(), stock.file.recovery.is_some());
    let mut planned = plan::plan(
        &plan, &runs, &names, &people, &place, &steel, machines, desk,
    );
    planned.plan.aboard = crew::aboard(&crew, desk);
    let work = work::work(work.as_ref(), &crew, &people, &place, &steel, desk);
    let faults = faults.map_or(Vec::new(), |f| faults::planned(&f, &names, &steel, desk));
    let study = study::study(study.as_ref(), &names, &steel, desk);
    let rates = crew::rates(job.file.rates.clone().unwrap_or_default(), &crew, desk);
    if let Err(error) = rates.table() {
        desk.complain(&job.sheet, "rates", Wrong::Value(error.to_string()));
    }
    if job.file.log_every.0 < 60 || job.file.log_every.0 > 86_400 {
        let words =
            "a log row is written every minute at the most and every day at the least".to_owned();
        desk.complain(&job.sheet, "log_every", Wrong::Value(words));
    }
    if let Some(rules) = &rules {
        crew_changes::plan_back(&job, &rules.file, &plan, &mut planned, &names, desk);
    }
    check::people(&plan, &planned, &people, &steel, desk);
    check::depths(&plan, &planned, &place, &steel, desk);
    let rules = rules?;
    rules::answers(&job, &rules, &plan, &planned, &people, desk);
    let start = job.file.start.0;
    Some(Scenario {
        name: job.file.name,
        title: job.file.title,
        steel,
        rules: rules.file,
        rates,
        accepted: job.file.accept_recalled,
        crew: people,
        site: place,
        plan: planned.plan,
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
    })
}

/// Whether a list is longer than ids can number; the lists of a file are gone through only if none is.
fn too_many(
    spread: &Part<SpreadFile>,
    stock: &Part<StockFile>,
    crew: &Part<CrewFile>,
    desk: &mut Desk,
) -> bool {
    let counts = [
        (
            &spread.sheet,
            "compartments",
            spread.file.compartments.len(),
            MAX_COMPARTMENTS,
        ),
        (&spread.sheet, "doors", spread.file.doors.len(), MOST_DOORS),
        (&stock.sheet, "banks", stock.file.banks.len(), MAX_BANKS),
        (&crew.sheet, "divers", crew.file.divers.len(), MOST_DIVERS),
    ];
    for (sheet, list, count, most) in counts {
        if count > most {
            let words = format!("{count} {list}; there may be at most {most}");
            let how = Some(format!("leave {} of them out", count - most));
            desk.suggest(sheet, list, Wrong::Value(words), how);
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
