//! From a name or a path to a scenario: the job's file, then its parts wherever they are.

use super::build::{self, Part, Parts};
use super::builtin::{self, BuiltIn};
use super::complaint::{BadScenario, Complaint, Place, Wrong, did_you_mean, nearest};
use super::file::{
    BankFile, BellRunFile, CompartmentFile, CrewChangeFile, DiverFile, DoorFile, FaultFile,
    MoveFile, PlanFile, RotaFile, RunsFile, RunsRef, SideFile, StepFile, TaskFile,
};
use super::file::{ClockDate, JobFile, Ref, SiteFile};
use super::locate;
use super::read::{self, Desk, Sheet, fault, file_text, whole};
use super::weather::Tables;
use super::{JOBS, SPREADS, Scenario, WEATHER};
use crate::rules::{self, RuleError, RuleSet};
use serde::de::DeserializeOwned;
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
    if !is_path(name) {
        if let Some(found) = builtin::find(JOBS, name) {
            return read_job(found.text, found.name, None, rule_set);
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
    read_job(&text, name, Some(folder), rule_set)
}

/// A scenario from the text of a job's file. `file` is its name for messages; paths in it are relative to
/// `folder`, and without one only built-in parts can be named.
///
/// # Errors
/// Everything found wrong.
pub fn from_text(text: &str, file: &str, folder: Option<&Path>) -> Result<Scenario, BadScenario> {
    read_job(text, file, folder, None)
}

fn read_job(
    text: &str,
    file: &str,
    folder: Option<&Path>,
    rule_set: Option<&str>,
) -> Result<Scenario, BadScenario> {
    let mut desk = Desk::default();
    let sheet = Sheet::new(file, text);
    let Some(mut job) = whole::<JobFile>(&sheet, JOB_PARTS, &mut desk) else {
        return desk.close(None);
    };
    let shelf = Shelf { folder };
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
    let (faults, work) = match (faults, work) {
        (Some(None), _) | (_, Some(None)) => return desk.close(None),
        (faults, work) => (faults.flatten(), work.flatten()),
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
            tables: &shelf,
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
const RUNS_PARTS: &[read::Part] = &[("bell_runs[]", fault::<BellRunFile>)];
const WORK_PARTS: &[read::Part] = &[("tasks[]", fault::<TaskFile>)];
const FAULT_PARTS: &[read::Part] = &[("planned[]", fault::<FaultFile>)];

/// Whether a text is meant as a path and not as the name of something built in.
fn is_path(name: &str) -> bool {
    name.contains(['.', '/', '\\'])
}

fn alone(file: &str, wrong: Wrong, suggestion: Option<String>) -> BadScenario {
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
fn suggest_file(path: &Path) -> Option<String> {
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

/// Where parts are looked for.
struct Shelf<'a> {
    folder: Option<&'a Path>,
}

type Found = Result<(String, String), (Wrong, Option<String>)>;

impl Shelf<'_> {
    /// File name and text of what a name or a path stands for.
    fn text(&self, name: &str, kind: &'static str, built_in: &'static [BuiltIn]) -> Found {
        if !is_path(name) {
            return match builtin::find(built_in, name) {
                Some(found) => Ok((format!("built-in {kind} {name}"), found.text.to_owned())),
                None => {
                    let known: Vec<String> = built_in.iter().map(|b| b.name.to_owned()).collect();
                    let suggestion = did_you_mean(nearest(name, known.iter().map(String::as_str)))
                        .or_else(|| Some(format!("for a file beside the job, write its whole name, such as \"{name}.ron\"")));
                    let kind = match kind {
                        "spread" => "built-in spread",
                        "table" => "built-in table of waves",
                        _ => "built-in part",
                    };
                    Err((
                        Wrong::NoSuch {
                            kind,
                            name: name.to_owned(),
                            known,
                        },
                        suggestion,
                    ))
                }
            };
        }
        let Some(folder) = self.folder else {
            return Err((
                Wrong::Unreadable("a built-in job has no files beside it".to_owned()),
                None,
            ));
        };
        let path: PathBuf = folder.join(name);
        let text = file_text(&path).map_err(|wrong| {
            let wrong = match wrong {
                Wrong::Unreadable(why) => Wrong::Unreadable(format!("{}: {why}", path.display())),
                other => other,
            };
            (wrong, suggest_file(&path))
        })?;
        Ok((path.display().to_string(), text))
    }

    fn part<T: DeserializeOwned + Clone>(
        &self,
        sheet: &Sheet,
        field: &str,
        from: &Ref<T>,
        (kind, built_in): (&'static str, &'static [BuiltIn]),
        parts: &[read::Part],
        desk: &mut Desk,
    ) -> Option<Part<T>> {
        let name = match from {
            Ref::Here(file) => {
                return Some(Part {
                    file: file.clone(),
                    sheet: sheet.within(field),
                });
            }
            Ref::Named(name) => name,
        };
        match self.text(name, kind, built_in) {
            Err((wrong, suggestion)) => {
                desk.suggest(sheet, field, wrong, suggestion);
                None
            }
            Ok((file, text)) => {
                let sheet = Sheet::new(&file, &text);
                let file = whole::<T>(&sheet, parts, desk)?;
                Some(Part { file, sheet })
            }
        }
    }

    /// The bell runs that are written one by one: in the plan, or in the file that it names.
    fn runs(
        &self,
        plan: &Part<PlanFile>,
        start: ClockDate,
        desk: &mut Desk,
    ) -> Option<Part<Vec<BellRunFile>>> {
        let name = match &plan.file.bell_runs {
            RunsRef::Here(runs) => {
                return Some(Part {
                    file: runs.clone(),
                    sheet: plan.sheet.clone(),
                });
            }
            RunsRef::Named(name) => Ref::Named(name.clone()),
        };
        let none: &[BuiltIn] = &[];
        let kind = ("rota", none);
        let Part { file, sheet } =
            self.part::<RunsFile>(&plan.sheet, "bell_runs", &name, kind, RUNS_PARTS, desk)?;
        if let Some(made_for) = file.start.filter(|s| *s != start) {
            let words = format!(
                "this rota was made for a job that starts on {made_for}, and this one starts on {start}"
            );
            desk.complain(&sheet, "start", Wrong::Contradiction(words));
        }
        Some(Part {
            file: file.bell_runs,
            sheet,
        })
    }

    fn rules(&self, sheet: &Sheet, from: &Ref<RuleSet>, desk: &mut Desk) -> Option<Part<RuleSet>> {
        let read = match from {
            Ref::Here(_) => {
                // Read again from the same text, moved to its place, so that the set's own checks are made
                // and its messages name the right line.
                let range = locate::value(&sheet.text, &locate::steps("rules"));
                let (line, column) = locate::line_column(&sheet.text, range.start);
                let moved = "\n".repeat(line - 1)
                    + &" ".repeat(column - 1)
                    + sheet.text.get(range).unwrap_or("");
                RuleSet::from_ron(&moved, &sheet.file)
            }
            Ref::Named(name) if !is_path(name) => rules::builtin(name),
            Ref::Named(name) => match self.text(name, "rule set", &[]) {
                Ok((file, text)) => RuleSet::from_ron(&text, &file),
                Err((wrong, suggestion)) => {
                    desk.suggest(sheet, "rules", wrong, suggestion);
                    return None;
                }
            },
        };
        match read {
            Ok(file) => Some(Part {
                file,
                sheet: sheet.within("rules"),
            }),
            Err(error) => {
                desk.put(rule_complaint(sheet, error));
                None
            }
        }
    }
}

/// A rule set's own message as a complaint at its own place.
fn rule_complaint(sheet: &Sheet, error: RuleError) -> Complaint {
    let near = |s: Option<String>| did_you_mean(s.as_deref());
    let at = |file: String, line, column, path: String| Place {
        excerpt: if file == sheet.file {
            locate::line(&sheet.text, line)
        } else {
            String::new()
        },
        file,
        line,
        column,
        path,
    };
    match error {
        RuleError::Unknown { name, suggestion } => {
            let known = rules::builtin_names().map(str::to_owned).collect();
            let wrong = Wrong::NoSuch {
                kind: "built-in rule set",
                name,
                known,
            };
            Complaint {
                place: sheet.place("rules"),
                wrong,
                suggestion: near(suggestion),
            }
        }
        RuleError::Syntax {
            file,
            line,
            column,
            what,
            suggestion,
        } => Complaint {
            place: at(file, line, column, String::new()),
            wrong: Wrong::RuleSet(what),
            suggestion: near(suggestion),
        },
        RuleError::NoSource {
            file,
            line,
            column,
            id,
        } => Complaint {
            place: at(file, line, column, id.clone()),
            wrong: Wrong::RuleSet(format!("the rule `{id}` has no source")),
            suggestion: Some("add source: (document: \"...\", status: Seen)".to_owned()),
        },
        RuleError::Rule {
            file,
            line,
            column,
            id,
            what,
        } => Complaint {
            place: at(file, line, column, id.clone()),
            wrong: Wrong::RuleSet(format!("the rule `{id}`: {what}")),
            suggestion: None,
        },
        other => Complaint {
            place: sheet.place("rules"),
            wrong: Wrong::RuleSet(other.to_string()),
            suggestion: None,
        },
    }
}

impl Tables for Shelf<'_> {
    fn table(&self, name: &str) -> Result<String, (Wrong, Option<String>)> {
        self.text(name, "table", WEATHER).map(|(_, text)| text)
    }
}
