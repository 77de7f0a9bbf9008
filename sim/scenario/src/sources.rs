//! Where the parts of a job are looked for: built in, beside the job's file, or already read. What was read
//! once is kept, so that a study of many jobs reads each file once and sees no later change of it.

use super::build::Part;
use super::builtin::{self, BuiltIn};
use super::file::{BellRunFile, ClockDate, PlanFile, Ref, RunsFile, RunsRef, WeatherFile};
use super::load::RUNS_PARTS;
use super::weather::{self, TableError, Tables};
use super::{WEATHER, Weather};
use deepstay_read::{
    Diagnostics, Document, FORMAT, PathPattern, Section, To, Wrong, begins_with_format,
    did_you_mean, file_text, nearest, suggest_file, whole,
};
use deepstay_rules::{RuleSet, builtin_file, builtin_names, builtin_text};
use serde::de::DeserializeOwned;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};

/// Files that have been read, by the name they were asked for.
#[derive(Debug, Default)]
pub(super) struct Kept {
    texts: Mutex<BTreeMap<String, (String, String)>>,
    documents: Mutex<BTreeMap<String, Arc<Document>>>,
    rules: Mutex<BTreeMap<String, Arc<RuleSet>>>,
    waves: Mutex<Vec<(WeatherFile, Weather)>>,
}

impl Kept {
    /// Name and text of each file, in the order of the names they were asked for.
    pub fn texts(&self) -> Vec<(String, String)> {
        let kept = self.texts.lock();
        kept.map_or_else(|_| Vec::new(), |kept| kept.values().cloned().collect())
    }

    /// Name and text of each part that was read, those that are built in among them, in the same order.
    pub fn documents(&self) -> Vec<(String, String)> {
        let kept = self.documents.lock();
        let of = |document: &Arc<Document>| (document.file().to_owned(), document.text());
        kept.map_or_else(|_| Vec::new(), |kept| kept.values().map(of).collect())
    }
}

/// Where parts are looked for.
pub(super) struct TextSources<'a> {
    pub folder: Option<&'a Path>,
    pub kept: &'a Kept,
    /// Patches of inputs, by the part that they are in.
    pub patches: &'a [Placed],
}

/// A patch of an input in one part.
pub(super) struct Placed {
    /// The part's name in the job's file; empty for the job's own text.
    pub part: String,
    /// Pattern of the path within it.
    pub pattern: PathPattern,
    /// The whole pattern as it was given.
    pub given: String,
    /// What becomes of it.
    pub to: To,
}

/// What a part is called, and those that are built in.
type Known = (&'static str, &'static [BuiltIn]);

type Found<T> = Result<T, (Wrong, Option<String>)>;

/// Whether a text is meant as a path and not as the name of something built in.
pub(super) fn is_path(name: &str) -> bool {
    name.contains(['.', '/', '\\'])
}

impl TextSources<'_> {
    /// File name and text of what a name or a path stands for.
    fn text(&self, name: &str, (kind, built_in): Known) -> Found<(String, String)> {
        if !is_path(name) {
            return match builtin::find(built_in, name) {
                Some(found) => Ok((format!("built-in {kind} {name}"), found.text.to_owned())),
                None => {
                    let known: Vec<String> = built_in.iter().map(|b| b.name.to_owned()).collect();
                    let remedy = did_you_mean(nearest(name, known.iter().map(String::as_str)))
                        .or_else(|| Some(format!("for a file beside the job, write its whole name, such as \"{name}.ron\"")));
                    let kind = match kind {
                        "spread" => "built-in spread",
                        "table" => "built-in table of waves",
                        "figures of harm" => "built-in file of harm figures",
                        "file of voices" => "built-in file of voices",
                        _ => "built-in part",
                    };
                    let wrong = Wrong::NoSuch {
                        kind,
                        name: name.to_owned(),
                        known,
                    };
                    Err((wrong, remedy))
                }
            };
        }
        let folder = match Path::new(name).is_absolute() {
            true => Some(Path::new("")),
            false => self.folder,
        };
        let Some(folder) = folder else {
            let words = "a built-in job has no files beside it".to_owned();
            return Err((Wrong::Unreadable(words), None));
        };
        let kept = |k: &Kept| k.texts.lock().ok()?.get(name).cloned();
        if let Some(found) = kept(self.kept) {
            return Ok(found);
        }
        let path: PathBuf = folder.join(name);
        let text = file_text(&path).map_err(|wrong| {
            let named = |why: &dyn std::fmt::Display| {
                Wrong::Unreadable(format!("{}: {why}", path.display()))
            };
            match &wrong {
                Wrong::Unreadable(why) => (named(why), suggest_file(&path)),
                Wrong::NotText { .. } => (named(&wrong), wrong.remedy()),
                _ => (wrong, None),
            }
        })?;
        let found = (path.display().to_string(), text);
        if let Ok(mut kept) = self.kept.texts.lock() {
            kept.insert(name.to_owned(), found.clone());
        }
        Ok(found)
    }

    /// The document that a name or a path stands for, before any patch.
    pub fn document(&self, name: &str, known: Known) -> Result<Arc<Document>, Unfound> {
        let kept = |k: &Kept| k.documents.lock().ok()?.get(name).cloned();
        if let Some(found) = kept(self.kept) {
            return Ok(found);
        }
        let text = self.text(name, known);
        let (file, text) = text.map_err(|(wrong, remedy)| Unfound::Named(wrong, remedy))?;
        if !begins_with_format(&text) {
            let remedy = format!("begin the file with `(format: {FORMAT}, ...`");
            let alone = Diagnostics::alone(&file, Wrong::NoFormat, Some(remedy));
            return Err(Unfound::Broken(alone));
        }
        let document = Document::parse(&file, &text).map_err(Unfound::Broken)?;
        let document = Arc::new(document);
        if let Ok(mut kept) = self.kept.documents.lock() {
            kept.insert(name.to_owned(), document.clone());
        }
        Ok(document)
    }

    /// A part's document with the inputs in it patched.
    fn patched(
        &self,
        part: &str,
        mut document: Arc<Document>,
        diagnostics: &mut Diagnostics,
    ) -> Option<Arc<Document>> {
        for patch in self.patches.iter().filter(|p| p.part == part) {
            match document.patched(&patch.pattern, &patch.to) {
                Ok(made) => document = Arc::new(made),
                Err(why) => {
                    diagnostics.put(why.told(&patch.given));
                    return None;
                }
            }
        }
        Some(document)
    }

    /// The document of a part that is named, with its inputs patched.
    fn named(
        &self,
        section: &Section,
        field: &str,
        name: &str,
        known: Known,
        diagnostics: &mut Diagnostics,
    ) -> Option<Arc<Document>> {
        match self.document(name, known) {
            Ok(document) => self.patched(field, document, diagnostics),
            Err(Unfound::Named(wrong, remedy)) => {
                diagnostics.add_with(section, field, wrong, remedy);
                None
            }
            Err(Unfound::Broken(told)) => {
                told.all.into_iter().for_each(|one| diagnostics.put(one));
                None
            }
        }
    }

    /// A part of a job, wherever it is.
    pub fn part<T: DeserializeOwned + Clone>(
        &self,
        section: &Section,
        field: &str,
        from: &Ref<T>,
        known: Known,
        parts: &[deepstay_read::Part],
        diagnostics: &mut Diagnostics,
    ) -> Option<Part<T>> {
        self.part_of(section, field, from.clone(), known, parts, diagnostics)
    }

    /// As [`TextSources::part`], of what has been read for it.
    pub fn part_of<T: DeserializeOwned>(
        &self,
        section: &Section,
        field: &str,
        from: Ref<T>,
        known: Known,
        parts: &[deepstay_read::Part],
        diagnostics: &mut Diagnostics,
    ) -> Option<Part<T>> {
        match from {
            Ref::Here(file) => Some(Part {
                file,
                section: section.within(field),
            }),
            Ref::Named(name) => {
                let document = self.named(section, field, &name, known, diagnostics)?;
                Some(Part {
                    file: whole::<T>(&document, parts, diagnostics)?,
                    section: Section::whole(document),
                })
            }
        }
    }

    /// The bell runs that are written one by one: in the plan, or in the file that it names.
    pub fn runs(
        &self,
        plan: &Part<PlanFile>,
        start: ClockDate,
        diagnostics: &mut Diagnostics,
    ) -> Option<Part<Vec<BellRunFile>>> {
        let name = match &plan.file.bell_runs {
            RunsRef::Here(runs) => {
                return Some(Part {
                    file: runs.clone(),
                    section: plan.section.clone(),
                });
            }
            RunsRef::Named(name) => Ref::Named(name.clone()),
        };
        let none: &[BuiltIn] = &[];
        let Part { file, section } = self.part::<RunsFile>(
            &plan.section,
            "bell_runs",
            &name,
            ("rota", none),
            RUNS_PARTS,
            diagnostics,
        )?;
        if let Some(made_for) = file.start.filter(|s| *s != start) {
            let words = format!(
                "this rota was made for a job that starts on {made_for}, and this one starts on {start}"
            );
            diagnostics.add(&section, "start", Wrong::Contradiction(words));
        }
        Some(Part {
            file: file.bell_runs,
            section,
        })
    }

    /// The rule set, wherever it is.
    pub fn rules(
        &self,
        section: &Section,
        from: &Ref<RuleSet>,
        diagnostics: &mut Diagnostics,
    ) -> Option<Part<Arc<RuleSet>>> {
        let within = section.within("rules");
        let file = match from {
            Ref::Here(_) => Arc::new(RuleSet::from_section(&within, diagnostics)?),
            Ref::Named(name) => self.named_rules(section, name, diagnostics)?,
        };
        Some(Part {
            file,
            section: within,
        })
    }

    fn named_rules(
        &self,
        section: &Section,
        name: &str,
        diagnostics: &mut Diagnostics,
    ) -> Option<Arc<RuleSet>> {
        let patched = self.patches.iter().any(|p| p.part == "rules");
        let kept = |k: &Kept| k.rules.lock().ok()?.get(name).cloned();
        if let Some(found) = kept(self.kept).filter(|_| !patched) {
            return Some(found);
        }
        let document = if is_path(name) {
            self.named(section, "rules", name, ("rule set", &[]), diagnostics)?
        } else {
            let text = match builtin_text(name) {
                Ok(text) => text,
                Err(wrong) => {
                    let near = did_you_mean(nearest(name, builtin_names()));
                    diagnostics.add_with(section, "rules", wrong, near);
                    return None;
                }
            };
            let document = Arc::new(Document::parse(&builtin_file(name), text).ok()?);
            self.patched("rules", document, diagnostics)?
        };
        let made = Arc::new(RuleSet::from_section(
            &Section::whole(document),
            diagnostics,
        )?);
        if let (false, Ok(mut kept)) = (patched, self.kept.rules.lock()) {
            kept.insert(name.to_owned(), made.clone());
        }
        Some(made)
    }
}

/// Why there is no document.
#[derive(Debug)]
pub(super) enum Unfound {
    /// The name stands for nothing that can be read.
    Named(Wrong, Option<String>),
    /// Its text breaks the notation.
    Broken(Diagnostics),
}

impl Tables for TextSources<'_> {
    fn waves(&self, of: &WeatherFile) -> Result<Weather, (Wrong, Option<String>)> {
        let name = match of {
            WeatherFile::Calm => return Ok(Weather::Calm),
            WeatherFile::Series(name) | WeatherFile::Chain { table: name, .. } => name,
        };
        let kept = |k: &Kept| {
            let kept = k.waves.lock().ok()?;
            let (_, waves) = kept.iter().find(|(asked, _)| asked == of)?;
            Some(waves.clone())
        };
        if let Some(found) = kept(self.kept) {
            return Ok(found);
        }
        let (_, text) = self.text(name, ("table", WEATHER))?;
        let waves = weather::waves(of, &text).map_err(|error| {
            let remedy = match (&error, of) {
                (TableError::Season { seasons, .. }, WeatherFile::Chain { season, .. }) => {
                    did_you_mean(nearest(season, seasons.iter().map(String::as_str)))
                }
                _ => None,
            };
            (Wrong::Value(error.to_string()), remedy)
        })?;
        if let Ok(mut kept) = self.kept.waves.lock() {
            kept.push((of.clone(), waves.clone()));
        }
        Ok(waves)
    }
}
