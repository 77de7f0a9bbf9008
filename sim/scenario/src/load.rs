//! From a name or a path to a scenario: the job's file, then its parts wherever they are.

use super::build::{self, Made, Part, Parts};
use super::builtin::{self, BuiltIn};
use super::file::{
    BankFile, BellRunFile, BreakdownFile, CompartmentFile, CrewChangeFile, DiverFile, DoorFile,
    FaultFile, LevelFile, MoveFile, RotaFile, StepFile, TaskFile, UncertainFile,
};
use super::file::{JobFile, Ref, SiteFile};
use super::sources::{TextSources, is_path};
use super::texts::JobTexts;
use super::{HARM, JOBS, SPREADS, Scenario, VOICES};
use deepstay_read::{
    Diagnostics, Document, Section, Wrong, did_you_mean, fault, file_text, nearest, suggest_file,
    whole,
};
use serde::de::DeserializeOwned;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// A scenario by the name of a built-in job or the path of a job's file. A name has neither a dot nor a
/// stroke in it.
///
/// # Errors
/// Everything found wrong.
pub fn load(name: &str) -> Result<Scenario, Diagnostics> {
    load_under(name, None)
}

/// As [`load`], but under another built-in rule set than the job names. Ids that the job accepts and the
/// set does not have count for nothing.
///
/// # Errors
/// Everything found wrong; what the set does not answer among it.
pub fn load_under(name: &str, rule_set: Option<&str>) -> Result<Scenario, Diagnostics> {
    JobTexts::open(name, rule_set)?.scenario(&[])
}

/// File name, text and folder of a job by its name or path.
pub(super) fn find_job(name: &str) -> Result<(String, String, Option<PathBuf>), Diagnostics> {
    if !is_path(name) {
        if let Some(found) = builtin::find(JOBS, name) {
            return Ok((found.name.to_owned(), found.text.to_owned(), None));
        }
        let known: Vec<String> = JOBS.iter().map(|b| b.name.to_owned()).collect();
        let near = nearest(name, known.iter().map(String::as_str));
        let remedy = did_you_mean(near).or_else(|| {
            Some(format!(
                "to read a file of that name, write ./{name} or its full name"
            ))
        });
        let wrong = Wrong::NoSuch {
            kind: "built-in job",
            name: name.to_owned(),
            known,
        };
        return Err(Diagnostics::alone(name, wrong, remedy));
    }
    let path = Path::new(name);
    let text =
        file_text(path).map_err(|wrong| Diagnostics::alone(name, wrong, suggest_file(path)))?;
    let folder = path.parent().unwrap_or(Path::new(""));
    Ok((name.to_owned(), text, Some(folder.to_owned())))
}

/// A scenario from the text of a job's file. `file` is its name for messages; paths in it are relative to
/// `folder`, and without one only built-in parts can be named.
///
/// # Errors
/// Everything found wrong.
pub fn from_text(text: &str, file: &str, folder: Option<&Path>) -> Result<Scenario, Diagnostics> {
    JobTexts::of(text, file, folder, None).scenario(&[])
}

/// Makes a scenario of a job's document and its parts from where they are kept.
pub(super) fn read_job(
    document: &Arc<Document>,
    sources: &TextSources,
    rule_set: Option<&str>,
) -> Result<Made, Diagnostics> {
    let mut diagnostics = Diagnostics::default();
    let made = read_parts(document, sources, rule_set, &mut diagnostics)
        .and_then(|parts| build::scenario(&parts, None, sources, &mut diagnostics));
    diagnostics.close(made)
}

/// As [`read_job`], of a job that was made before and has been patched in the parts named: reads and checks
/// again only what the patches touch. None where anything is wrong.
pub(super) fn read_patched(
    document: &Arc<Document>,
    touched: &[&str],
    before: &Made,
    sources: &TextSources,
) -> Option<Scenario> {
    let mut diagnostics = Diagnostics::default();
    let parts = patched_parts(document, touched, before.parts(), sources, &mut diagnostics)?;
    let made = build::scenario(&parts, Some(before), sources, &mut diagnostics);
    diagnostics.close(made).ok().map(|made| made.scenario)
}

const NONE: &[BuiltIn] = &[];
const HARM_FIGURES: (&str, &[BuiltIn]) = ("figures of harm", HARM);
const SAID: (&str, &[BuiltIn]) = ("file of voices", VOICES);

/// The parts of a job with those that patches touch read again.
fn patched_parts(
    document: &Arc<Document>,
    touched: &[&str],
    before: &Parts,
    sources: &TextSources,
    d: &mut Diagnostics,
) -> Option<Parts> {
    let at = Section::whole(document.clone());
    let mut parts = before.clone();
    let read = Reread { sources, at: &at };
    for part in touched {
        match *part {
            "spread" => parts.spread = read.part("spread", ("spread", SPREADS), d)?,
            "site" => parts.site = read.part("site", ("site", NONE), d)?,
            "crew" => parts.crew = read.part("crew", ("crew", NONE), d)?,
            "stock" => parts.stock = read.part("stock", ("stock", NONE), d)?,
            "plan" => parts.plan = read.part("plan", ("plan", NONE), d)?,
            "work" => parts.work = Some(read.part("work", ("work list", NONE), d)?),
            "faults" => parts.faults = Some(read.part("faults", ("set of faults", NONE), d)?),
            "study" => parts.study = Some(read.part("study", ("study", NONE), d)?),
            "harm" => parts.harm = Some(read.part("harm", HARM_FIGURES, d)?),
            "voices" => parts.voices = Some(read.part("voices", SAID, d)?),
            _ => return None,
        }
    }
    if touched.contains(&"plan") {
        parts.runs = Arc::new(sources.runs(&parts.plan, parts.job.file.start, d)?);
    }
    Some(parts)
}

/// Reads parts of a patched job again.
struct Reread<'a> {
    sources: &'a TextSources<'a>,
    at: &'a Section,
}

impl Reread<'_> {
    fn part<T: DeserializeOwned + Clone>(
        &self,
        field: &str,
        known: (&'static str, &'static [BuiltIn]),
        d: &mut Diagnostics,
    ) -> Option<Arc<Part<T>>> {
        let from: Ref<T> = self.at.within(field).typed().ok()?;
        self.sources
            .part_of(self.at, field, from, known, &[], d)
            .map(Arc::new)
    }
}

/// Every part of a job in its type.
fn read_parts(
    document: &Arc<Document>,
    sources: &TextSources,
    rule_set: Option<&str>,
    diagnostics: &mut Diagnostics,
) -> Option<Parts> {
    let d = diagnostics;
    let section = Section::whole(document.clone());
    let at = &section;
    let mut job: JobFile = whole(document, JOB_PARTS, d)?;
    let named = |kind| (kind, NONE);
    let spreads = ("spread", SPREADS);
    let spread = sources.part(at, "spread", &job.spread, spreads, SPREAD_PARTS, d);
    let site = sources.part(at, "site", &job.site, named("site"), &[], d);
    let crew = sources.part(at, "crew", &job.crew, named("crew"), CREW_PARTS, d);
    let stock = sources.part(at, "stock", &job.stock, named("stock"), STOCK_PARTS, d);
    let plan = sources.part(at, "plan", &job.plan, named("plan"), PLAN_PARTS, d);
    let work = job
        .work
        .as_ref()
        .map(|w| sources.part(at, "work", w, named("work list"), WORK_PARTS, d));
    let faults = job
        .faults
        .as_ref()
        .map(|f| sources.part(at, "faults", f, named("set of faults"), FAULT_PARTS, d));
    if let Some(other) = rule_set {
        job.rules = Ref::Named(other.to_owned());
    }
    let rules = sources.rules(at, &job.rules, d);
    if let (Some(_), Some(set)) = (rule_set, &rules) {
        let ids: Vec<String> = set.file.provenance().into_iter().map(|p| p.id).collect();
        job.accept_recalled.retain(|id| ids.contains(id));
    }
    let study = job
        .study
        .as_ref()
        .map(|s| sources.part(at, "study", s, named("study"), STUDY_PARTS, d));
    let harm = job
        .harm
        .as_ref()
        .map(|h| sources.part(at, "harm", h, HARM_FIGURES, &[], d));
    let voices = job
        .voices
        .as_ref()
        .map(|v| sources.part(at, "voices", v, SAID, &[], d));
    let missing = [
        matches!(faults, Some(None)),
        matches!(work, Some(None)),
        matches!(study, Some(None)),
        matches!(harm, Some(None)),
        matches!(voices, Some(None)),
    ];
    if missing.contains(&true) {
        return None;
    }
    let (faults, work, study) = (faults.flatten(), work.flatten(), study.flatten());
    let (spread, site, crew, stock, plan) = (spread?, site?, crew?, stock?, plan?);
    let runs = sources.runs(&plan, job.start, d)?;
    Some(Parts {
        job: Arc::new(Part { file: job, section }),
        rules: rules.map(Arc::new),
        spread: Arc::new(spread),
        site: Arc::new(site),
        crew: Arc::new(crew),
        stock: Arc::new(stock),
        plan: Arc::new(plan),
        runs: Arc::new(runs),
        work: work.map(Arc::new),
        faults: faults.map(Arc::new),
        study: study.map(Arc::new),
        harm: harm.flatten().map(Arc::new),
        voices: voices.flatten().map(Arc::new),
    })
}

const JOB_PARTS: &[deepstay_read::Part] = &[
    ("site", fault::<SiteFile>),
    ("spread.compartments[]", fault::<CompartmentFile>),
    ("spread.doors[]", fault::<DoorFile>),
    ("crew.divers[]", fault::<DiverFile>),
    ("stock.banks[]", fault::<BankFile>),
    ("plan.levels[].steps[]", fault::<StepFile>),
    ("plan.levels[]", fault::<LevelFile>),
    ("plan.bell_runs[]", fault::<BellRunFile>),
    ("plan.rota[]", fault::<RotaFile>),
    ("plan.moves[]", fault::<MoveFile>),
    ("plan.crew_changes[]", fault::<CrewChangeFile>),
    ("work.tasks[]", fault::<TaskFile>),
    ("faults.planned[]", fault::<FaultFile>),
    ("study.uncertain[]", fault::<UncertainFile>),
    ("study.breakdowns[]", fault::<BreakdownFile>),
];
const SPREAD_PARTS: &[deepstay_read::Part] = &[
    ("compartments[]", fault::<CompartmentFile>),
    ("doors[]", fault::<DoorFile>),
];
const CREW_PARTS: &[deepstay_read::Part] = &[("divers[]", fault::<DiverFile>)];
const STOCK_PARTS: &[deepstay_read::Part] = &[("banks[]", fault::<BankFile>)];
const PLAN_PARTS: &[deepstay_read::Part] = &[
    ("levels[].steps[]", fault::<StepFile>),
    ("levels[]", fault::<LevelFile>),
    ("bell_runs[]", fault::<BellRunFile>),
    ("rota[]", fault::<RotaFile>),
    ("moves[]", fault::<MoveFile>),
    ("crew_changes[]", fault::<CrewChangeFile>),
];
pub(super) const RUNS_PARTS: &[deepstay_read::Part] = &[("bell_runs[]", fault::<BellRunFile>)];
const WORK_PARTS: &[deepstay_read::Part] = &[("tasks[]", fault::<TaskFile>)];
const STUDY_PARTS: &[deepstay_read::Part] = &[
    ("uncertain[]", fault::<UncertainFile>),
    ("breakdowns[]", fault::<BreakdownFile>),
];
const FAULT_PARTS: &[deepstay_read::Part] = &[("planned[]", fault::<FaultFile>)];
