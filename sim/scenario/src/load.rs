//! From a name or a path to a scenario: the job's file, then its parts wherever they are.

use super::build::{self, Part, Parts};
use super::builtin::{self, BuiltIn};
use super::complaint::{BadScenario, Complaint, Place, Wrong, did_you_mean, nearest};
use super::file::{
    BankFile, BellRunFile, BreakdownFile, CompartmentFile, CrewChangeFile, DiverFile, DoorFile,
    FaultFile, MoveFile, RotaFile, SideFile, StepFile, TaskFile, UncertainFile,
};
use super::file::{JobFile, Ref, SiteFile};
use super::papers::Papers;
use super::read::{self, Desk, Sheet, fault, file_text, whole};
use super::shelf::Shelf;
use super::{JOBS, SPREADS, Scenario};
use std::path::{Path, PathBuf};

/// A scenario by the name of a built-in job or the path of a job's file. A name has neither a dot nor a
/// stroke in it.
///
/// # Errors
/// Everything found wrong.
pub fn load(name: &str) -> Result<Scenario, BadScenario> {
    load_under(name, None)
}

/// As [`load`], but under another built-in rule set than the job names. Ids that the job accepts and the
/// set does not have count for nothing.
///
/// # Errors
/// Everything found wrong; what the set does not answer among it.
pub fn load_under(name: &str, rule_set: Option<&str>) -> Result<Scenario, BadScenario> {
    Papers::open(name, rule_set)?.scenario(&[])
}

/// File name, text and folder of a job by its name or path.
pub(super) fn find_job(name: &str) -> Result<(String, String, Option<PathBuf>), BadScenario> {
    if !is_path(name) {
        if let Some(found) = builtin::find(JOBS, name) {
            return Ok((found.name.to_owned(), found.text.to_owned(), None));
        }
        let known: Vec<String> = JOBS.iter().map(|b| b.name.to_owned()).collect();
        let near = nearest(name, known.iter().map(String::as_str));
        let suggestion = did_you_mean(near).or_else(|| {
            Some(format!(
                "to read a file of that name, write ./{name} or its full name"
            ))
        });
        return Err(alone(
            name,
            Wrong::NoSuch {
                kind: "built-in job",
                name: name.to_owned(),
                known,
            },
            suggestion,
        ));
    }
    let path = Path::new(name);
    let text = file_text(path).map_err(|wrong| alone(name, wrong, suggest_file(path)))?;
    let folder = path.parent().unwrap_or(Path::new(""));
    Ok((name.to_owned(), text, Some(folder.to_owned())))
}

/// A scenario from the text of a job's file. `file` is its name for messages; paths in it are relative to
/// `folder`, and without one only built-in parts can be named.
///
/// # Errors
/// Everything found wrong.
pub fn from_text(text: &str, file: &str, folder: Option<&Path>) -> Result<Scenario, BadScenario> {
    Papers::of(text, file, folder, None).scenario(&[])
}

/// Reads a job's text, with inputs changed, and its parts from where they are kept.
pub(super) fn read_job(
    text: &str,
    file: &str,
    shelf: &Shelf,
    rule_set: Option<&str>,
) -> Result<Scenario, BadScenario> {
    let mut desk = Desk::default();
    let sheet = Sheet::new(file, text);
    let Some(mut job) = whole::<JobFile>(&sheet, JOB_PARTS, &mut desk) else {
        return desk.close(None);
    };
    let d = &mut desk;
    let none: &[BuiltIn] = &[];
    let spread = shelf.part(
        &sheet,
        "spread",
        &job.spread,
        ("spread", SPREADS),
        SPREAD_PARTS,
        d,
    );
    let site = shelf.part(&sheet, "site", &job.site, ("site", none), &[], d);
    let crew = shelf.part(&sheet, "crew", &job.crew, ("crew", none), CREW_PARTS, d);
    let stock = shelf.part(&sheet, "stock", &job.stock, ("stock", none), STOCK_PARTS, d);
    let plan = shelf.part(&sheet, "plan", &job.plan, ("plan", none), PLAN_PARTS, d);
    let work = job
        .work
        .as_ref()
        .map(|w| shelf.part(&sheet, "work", w, ("work list", none), WORK_PARTS, d));
    let faults = job
        .faults
        .as_ref()
        .map(|f| shelf.part(&sheet, "faults", f, ("set of faults", none), FAULT_PARTS, d));
    if let Some(other) = rule_set {
        job.rules = Ref::Named(other.to_owned());
    }
    let rules = shelf.rules(&sheet, &job.rules, d);
    if let (Some(_), Some(set)) = (rule_set, &rules) {
        let ids: Vec<String> = set.file.provenance().into_iter().map(|p| p.id).collect();
        job.accept_recalled.retain(|id| ids.contains(id));
    }
    let study = job
        .study
        .as_ref()
        .map(|s| shelf.part(&sheet, "study", s, ("study", none), STUDY_PARTS, d));
    let (faults, work, study) = match (faults, work, study) {
        (Some(None), ..) | (_, Some(None), _) | (.., Some(None)) => return desk.close(None),
        (faults, work, study) => (faults.flatten(), work.flatten(), study.flatten()),
    };
    let (Some(spread), Some(site), Some(crew), Some(stock), Some(plan)) =
        (spread, site, crew, stock, plan)
    else {
        return desk.close(None);
    };
    let Some(runs) = shelf.runs(&plan, job.start, &mut desk) else {
        return desk.close(None);
    };
    let job = Part { file: job, sheet };
    let made = build::scenario(
        Parts {
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
            tables: shelf,
        },
        &mut desk,
    );
    desk.close(made)
}

const JOB_PARTS: &[read::Part] = &[
    ("site", fault::<SiteFile>),
    ("spread.compartments[]", fault::<CompartmentFile>),
    ("spread.doors[]", fault::<DoorFile>),
    ("crew.divers[]", fault::<DiverFile>),
    ("stock.banks[]", fault::<BankFile>),
    ("plan.sides[].steps[]", fault::<StepFile>),
    ("plan.sides[]", fault::<SideFile>),
    ("plan.bell_runs[]", fault::<BellRunFile>),
    ("plan.rota[]", fault::<RotaFile>),
    ("plan.moves[]", fault::<MoveFile>),
    ("plan.crew_changes[]", fault::<CrewChangeFile>),
    ("work.tasks[]", fault::<TaskFile>),
    ("faults.planned[]", fault::<FaultFile>),
    ("study.uncertain[]", fault::<UncertainFile>),
    ("study.breakdowns[]", fault::<BreakdownFile>),
];
const SPREAD_PARTS: &[read::Part] = &[
    ("compartments[]", fault::<CompartmentFile>),
    ("doors[]", fault::<DoorFile>),
];
const CREW_PARTS: &[read::Part] = &[("divers[]", fault::<DiverFile>)];
const STOCK_PARTS: &[read::Part] = &[("banks[]", fault::<BankFile>)];
const PLAN_PARTS: &[read::Part] = &[
    ("sides[].steps[]", fault::<StepFile>),
    ("sides[]", fault::<SideFile>),
    ("bell_runs[]", fault::<BellRunFile>),
    ("rota[]", fault::<RotaFile>),
    ("moves[]", fault::<MoveFile>),
    ("crew_changes[]", fault::<CrewChangeFile>),
];
pub(super) const RUNS_PARTS: &[read::Part] = &[("bell_runs[]", fault::<BellRunFile>)];
const WORK_PARTS: &[read::Part] = &[("tasks[]", fault::<TaskFile>)];
const STUDY_PARTS: &[read::Part] = &[
    ("uncertain[]", fault::<UncertainFile>),
    ("breakdowns[]", fault::<BreakdownFile>),
];
const FAULT_PARTS: &[read::Part] = &[("planned[]", fault::<FaultFile>)];

/// Whether a text is meant as a path and not as the name of something built in.
pub(super) fn is_path(name: &str) -> bool {
    name.contains(['.', '/', '\\'])
}

pub(super) fn alone(file: &str, wrong: Wrong, suggestion: Option<String>) -> BadScenario {
    let place = Place {
        file: file.to_owned(),
        line: 1,
        column: 1,
        path: String::new(),
        excerpt: String::new(),
    };
    let suggestion = suggestion.or_else(|| wrong.remedy());
    BadScenario {
        complaints: vec![Complaint {
            place,
            wrong,
            suggestion,
        }],
    }
}

/// The file in the same folder whose name is nearest to one that is not there.
pub(super) fn suggest_file(path: &Path) -> Option<String> {
    let folder = path
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    let wanted = path.file_name()?.to_str()?;
    let mut names: Vec<String> = std::fs::read_dir(folder)
        .ok()?
        .take(1000)
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .collect();
    names.sort();
    let near = nearest(
        wanted,
        names.iter().map(String::as_str).filter(|n| *n != wanted),
    )?;
    Some(format!(
        "did you mean `{}`?",
        path.with_file_name(near).display()
    ))
}
