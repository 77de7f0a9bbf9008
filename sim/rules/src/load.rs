//! Rule files in: strict RON, the version read first, every row with a source, tables in order.
//! The built-in sets lie in `scenarios/rules` and are carried in the program.

use super::{Row, RuleSet, Source};
use ron::error::SpannedError;
use ron::extensions::Extensions;
use ron::options::Options;
use serde::Deserialize;
use std::path::Path;

/// Version of the grammar that is read.
pub const FORMAT: u32 = 1;
/// Greatest size of a rule file, bytes.
pub const LARGEST_FILE: u64 = 1 << 20;

macro_rules! built_in {
    ($($name:literal),* $(,)?) => {
        const BUILT_IN: &[(&str, &str)] = &[$(
            ($name, include_str!(concat!("../../../scenarios/rules/", $name, ".ron"))),
        )*];
    };
}

built_in![
    "demonstration",
    "us-navy",
    "accelerated",
    "france-2012",
    "france",
    "norway",
    "uk",
    "brazil-2025",
    "canada",
    "canada-nl",
    "united-states",
    "industry",
    "china-2021",
];

/// A rule file that cannot be used. Line and column count from 1, columns in characters.
#[derive(Debug, thiserror::Error)]
pub enum RuleError {
    /// The file cannot be read.
    #[error("{file}: {why}")]
    Unreadable {
        /// Path.
        file: String,
        /// What the system says.
        why: String,
    },
    /// The text is no rule set.
    #[error("{file}:{line}:{column}: {what}{}", .suggestion.as_ref().map_or(String::new(), |s| format!(" (did you mean `{s}`?)")))]
    Syntax {
        /// File.
        file: String,
        /// Line.
        line: usize,
        /// Column.
        column: usize,
        /// What is wrong.
        what: String,
        /// Nearest known name.
        suggestion: Option<String>,
    },
    /// The file is of another version of the grammar.
    #[error("{file}: format {found}, but this program reads format {FORMAT}")]
    Format {
        /// File.
        file: String,
        /// What it says.
        found: u32,
    },
    /// A rule names no source.
    #[error(
        "{file}:{line}:{column}: rule `{id}` has no source: add source: (document: \"...\", status: Seen)"
    )]
    NoSource {
        /// File.
        file: String,
        /// Line of the id.
        line: usize,
        /// Column of the id.
        column: usize,
        /// Which rule.
        id: String,
    },
    /// A rule contradicts itself or another.
    #[error("{file}:{line}:{column}: rule `{id}`: {what}")]
    Rule {
        /// File.
        file: String,
        /// Line of the id.
        line: usize,
        /// Column of the id.
        column: usize,
        /// Which rule.
        id: String,
        /// What is wrong.
        what: String,
    },
    /// No built-in set has the name.
    #[error("no rule set `{name}` is built in{}", .suggestion.as_ref().map_or(String::new(), |s| format!(" (did you mean `{s}`?)")))]
    Unknown {
        /// What was asked for.
        name: String,
        /// Nearest name.
        suggestion: Option<String>,
    },
}

/// Names of the built-in sets, in the order of the list.
pub fn builtin_names() -> impl Iterator<Item = &'static str> {
    BUILT_IN.iter().map(|(name, _)| *name)
}

/// The text of a built-in set, comments and all.
///
/// # Errors
/// [`RuleError::Unknown`] with the nearest name.
pub fn builtin_text(name: &str) -> Result<&'static str, RuleError> {
    BUILT_IN
        .iter()
        .find(|(known, _)| *known == name)
        .map(|(_, text)| *text)
        .ok_or_else(|| RuleError::Unknown {
            name: name.to_owned(),
            suggestion: nearest(name, builtin_names()),
        })
}

/// A built-in set.
///
/// # Errors
/// [`RuleError::Unknown`] with the nearest name.
pub fn builtin(name: &str) -> Result<RuleSet, RuleError> {
    RuleSet::from_ron(builtin_text(name)?, name)
}

#[derive(Deserialize)]
struct Head {
    format: u32,
}

impl RuleSet {
    /// A set from text; `file_name` is for messages.
    ///
    /// # Errors
    /// What is wrong and where.
    pub fn from_ron(text: &str, file_name: &str) -> Result<RuleSet, RuleError> {
        let options = Options::default()
            .with_default_extension(Extensions::IMPLICIT_SOME | Extensions::UNWRAP_NEWTYPES);
        let head: Head = options
            .from_str(text)
            .map_err(|error| syntax(file_name, &error))?;
        if head.format != FORMAT {
            return Err(RuleError::Format {
                file: file_name.to_owned(),
                found: head.format,
            });
        }
        let set: RuleSet = options
            .from_str(text)
            .map_err(|error| syntax(file_name, &error))?;
        set.check(text, file_name)?;
        Ok(set)
    }

    /// A set from a file.
    ///
    /// # Errors
    /// What is wrong and where.
    pub fn from_path(path: &Path) -> Result<RuleSet, RuleError> {
        let file = path.display().to_string();
        let unreadable = |why: String| RuleError::Unreadable {
            file: file.clone(),
            why,
        };
        let size = std::fs::metadata(path)
            .map_err(|error| unreadable(error.to_string()))?
            .len();
        if size > LARGEST_FILE {
            return Err(unreadable(format!(
                "{size} bytes, but a rule file has at most {LARGEST_FILE}"
            )));
        }
        let text = std::fs::read_to_string(path).map_err(|error| unreadable(error.to_string()))?;
        RuleSet::from_ron(&text, &file)
    }

    fn check(&self, text: &str, file_name: &str) -> Result<(), RuleError> {
        let at = |id: &str| position(text, &format!("\"{id}\""));
        let wrong = |id: &str, what: String| {
            let (line, column) = at(id);
            RuleError::Rule {
                file: file_name.to_owned(),
                line,
                column,
                id: id.to_owned(),
                what,
            }
        };
        let lines = self.provenance();
        let mut ids: Vec<&str> = lines.iter().map(|line| line.id.as_str()).collect();
        if let Some(line) = lines
            .iter()
            .find(|line| line.source.document.trim().is_empty())
        {
            let (row, column) = at(&line.id);
            let (file, id) = (file_name.to_owned(), line.id.clone());
            return Err(RuleError::NoSource {
                file,
                line: row,
                column,
                id,
            });
        }
        if ids.iter().any(|id| id.trim().is_empty()) {
            return Err(wrong("", "a rule needs an id".to_owned()));
        }
        ids.sort_unstable();
        if let Some(pair) = ids.windows(2).find(|pair| pair[0] == pair[1]) {
            return Err(wrong(pair[0], "the id is used twice".to_owned()));
        }
        self.check_tables().map_err(|(id, what)| wrong(&id, what))
    }

    /// Bands in order, edges the right way round, rest hours that leave hours to travel.
    fn check_tables(&self) -> Result<(), (String, String)> {
        let feet = self.feet();
        let fail = |id: &str, what: &str| Err((id.to_owned(), what.to_owned()));
        let rising = |depths: &[f64]| depths.windows(2).all(|pair| pair[0] < pair[1]);
        for row in &self.compression {
            let edges: Vec<f64> = row
                .figures
                .cases
                .iter()
                .map(|c| c.storage_to.plain(feet))
                .collect();
            let bands = |c: &super::pressing::CompressionCase| {
                let depths: Vec<f64> = c.bands.iter().map(|b| b.down_to.plain(feet)).collect();
                rising(&depths) && depths.last() == Some(&c.storage_to.plain(feet))
            };
            if edges.is_empty() || !rising(&edges) || !row.figures.cases.iter().all(bands) {
                return fail(
                    &row.id,
                    "cases and bands go from shallow to deep, the last band to the case's depth",
                );
            }
        }
        for scheme in self.decompression.iter().chain(&self.emergency) {
            let mut depths: Vec<f64> = scheme
                .rates
                .figures
                .bands
                .iter()
                .map(|b| b.deeper_than.plain(feet))
                .collect();
            depths.insert(0, scheme.rates.figures.deepest.plain(feet));
            depths.reverse();
            if depths.len() < 2 || !rising(&depths) || depths[0] != 0.0 {
                return fail(&scheme.rates.id, "bands go from the deepest start to 0");
            }
            if let Some(row) = &scheme.rest {
                let hours = &row.figures.hours;
                let rest: i64 = hours.iter().map(|(from, to)| to.0 - from.0).sum();
                let ordered = hours.iter().all(|(from, to)| from < to);
                if !ordered
                    || !hours.windows(2).all(|pair| pair[0].1 <= pair[1].0)
                    || rest > 20 * 3600
                {
                    return fail(
                        &row.id,
                        "rest hours are in order within one day and leave four hours to travel",
                    );
                }
            }
            if let super::bleeding_table::Travel::Steps { step, .. }
            | super::bleeding_table::Travel::Linear { every: step } = &scheme.travel.figures
                && step.plain(feet) < 0.01
            {
                return fail(&scheme.travel.id, "a step is at least 0.01 msw");
            }
        }
        for row in &self.storage_oxygen {
            if row.figures.low.get() >= row.figures.high.get() {
                return fail(&row.id, "the lower edge is below the upper");
            }
        }
        if let Some(row) = self.work_oxygen.iter().find(|row| !row.figures.in_order()) {
            return fail(&row.id, "durations rise and their oxygen falls");
        }
        let wrong = |row: &Row<super::GasMinimum>| Some((row.id.clone(), row.figures.wrong()?));
        if let Some((id, why)) = self.gas_minimums.iter().find_map(wrong) {
            return fail(&id, why);
        }
        for row in &self.climate {
            let depths: Vec<f64> = row.figures.bands.iter().map(|b| b.0.plain(feet)).collect();
            if depths.is_empty()
                || !rising(&depths)
                || row.figures.bands.iter().any(|b| b.1.get() >= b.2.get())
            {
                return fail(
                    &row.id,
                    "bands go from shallow to deep, each with its lower edge below the upper",
                );
            }
        }
        let finite = |row: &Row<super::excursion::ExcursionCurve>| {
            let f = &row.figures;
            [f.constant_fsw2, f.slope_fsw]
                .iter()
                .all(|x| x.is_finite() && *x > 0.0 && *x < 1e6)
        };
        if let Some(row) = self.excursions.iter().find(|row| !finite(row)) {
            return fail(&row.id, "constant and slope are positive numbers");
        }
        Ok(())
    }
}

fn syntax(file: &str, error: &SpannedError) -> RuleError {
    let suggestion = match &error.code {
        ron::Error::NoSuchStructField {
            expected, found, ..
        } => nearest(found, expected.iter().copied()),
        ron::Error::NoSuchEnumVariant {
            expected, found, ..
        } => nearest(found, expected.iter().copied()),
        _ => None,
    };
    let start = error.span.start;
    RuleError::Syntax {
        file: file.to_owned(),
        line: start.line,
        column: start.col,
        what: error.code.to_string(),
        suggestion,
    }
}

fn nearest<'a>(name: &str, known: impl Iterator<Item = &'a str>) -> Option<String> {
    let scored = known.map(|candidate| (strsim::osa_distance(name, candidate), candidate));
    scored
        .filter(|(distance, candidate)| *distance <= 1 + candidate.chars().count() / 3)
        .min()
        .map(|(_, best)| best.to_owned())
}

/// Line and column (in characters, from 1) of the first place where a text occurs.
fn position(text: &str, what: &str) -> (usize, usize) {
    let before = text.find(what).map_or("", |at| &text[..at]);
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().unwrap_or("").chars().count() + 1;
    (line, column)
}

/// Whether a source says anything.
impl Source {
    /// Document and status in one line.
    pub fn words(&self) -> String {
        format!("{} [{}]", self.document, self.status)
    }
}
