//! Where the parts of a job are looked for: built in, beside the job's file, or already read. What was read
//! once is kept, so that a study of many jobs reads each file once and sees no later change of it.

use super::build::Part;
use super::builtin::{self, BuiltIn};
use super::complaint::{Complaint, Place, Wrong, did_you_mean, nearest};
use super::file::{BellRunFile, ClockDate, PlanFile, Ref, RunsFile, RunsRef};
use super::load::{RUNS_PARTS, is_path, suggest_file};
use super::overlay::{self, Unchanged};
use super::read::{self, Desk, Sheet, file_text, whole};
use super::weather::Tables;
use super::{WEATHER, locate};
use deepstay_rules as rules;
use deepstay_rules::{RuleError, RuleSet};
use serde::de::DeserializeOwned;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Mutex;

/// Texts that have been read, by the name they were asked for: name of the file, and its text.
pub(super) type Kept = Mutex<BTreeMap<String, (String, String)>>;

/// Where parts are looked for.
pub(super) struct Shelf<'a> {
    pub folder: Option<&'a Path>,
    pub kept: &'a Kept,
    /// Changes of inputs, by the part that they are in.
    pub changes: &'a [Placed],
}

/// A change of an input in one part.
pub(super) struct Placed {
    /// The part's name in the job's file; empty for the job's own text.
    pub part: String,
    /// Way within it.
    pub way: Vec<overlay::Wide>,
    /// The whole way as it was given.
    pub given: String,
    /// What becomes of it.
    pub to: overlay::To,
}

impl Placed {
    /// A complaint that this change cannot be made.
    pub fn complaint(&self, why: &Unchanged) -> Complaint {
        unchanged(&self.given, why)
    }
}

/// A complaint that an input cannot be changed.
pub(super) fn unchanged(way: &str, why: &Unchanged) -> Complaint {
    let suggestion = match why {
        Unchanged::NoSuch { step, known, .. } => {
            did_you_mean(nearest(step, known.iter().map(String::as_str)))
                .or_else(|| (!known.is_empty()).then(|| format!("there: {}", known.join(", "))))
        }
        _ => None,
    };
    let place = Place {
        file: "change of an input".to_owned(),
        line: 1,
        column: 1,
        path: way.to_owned(),
        excerpt: way.to_owned(),
    };
    Complaint {
        place,
        wrong: Wrong::Value(why.to_string()),
        suggestion,
    }
}

type Found = Result<(String, String), (Wrong, Option<String>)>;

impl Shelf<'_> {
    /// File name and text of what a name or a path stands for.
    pub fn text(&self, name: &str, kind: &'static str, built_in: &'static [BuiltIn]) -> Found {
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
        let kept = |f: &Shelf| f.kept.lock().ok()?.get(name).cloned();
        if let Some(found) = kept(self) {
            return Ok(found);
        }
        let path: PathBuf = folder.join(name);
        let text = file_text(&path).map_err(|wrong| {
            let wrong = match wrong {
                Wrong::Unreadable(why) => Wrong::Unreadable(format!("{}: {why}", path.display())),
                other => other,
            };
            (wrong, suggest_file(&path))
        })?;
        let found = (path.display().to_string(), text);
        if let Ok(mut kept) = self.kept.lock() {
            kept.insert(name.to_owned(), found.clone());
        }
        Ok(found)
    }

    /// A part's text with the inputs in it changed.
    fn changed(&self, part: &str, mut text: String, desk: &mut Desk) -> Option<String> {
        for change in self.changes.iter().filter(|c| c.part == part) {
            match overlay::apply(&text, &change.way, &change.to) {
                Ok(new) => text = new,
                Err(why) => {
                    desk.put(change.complaint(&why));
                    return None;
                }
            }
        }
        Some(text)
    }

    pub fn part<T: DeserializeOwned + Clone>(
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
                let text = self.changed(field, text, desk)?;
                let sheet = Sheet::new(&file, &text);
                let file = whole::<T>(&sheet, parts, desk)?;
                Some(Part { file, sheet })
            }
        }
    }

    /// The bell runs that are written one by one: in the plan, or in the file that it names.
    pub fn runs(
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

    pub fn rules(
        &self,
        sheet: &Sheet,
        from: &Ref<RuleSet>,
        desk: &mut Desk,
    ) -> Option<Part<RuleSet>> {
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
