//! The files of a rota's folder: the table, the calendars, the page, the noticeboard, the summary, and the
//! turns as bell runs for the plan of a job.

use super::board::board_html;
use super::calendar::{calendar_of_all, calendar_of_diver};
use super::inputs::RotaInputs;
use super::page::{head_ids, rota_html_from};
use super::summary::RotaSummary;
use crate::explain::heads;
use crate::kit::folder::{ReportError, check_files_target, write_files};
use deepstay_core::CAUTION;
use deepstay_core::units::DiverId;
use deepstay_rota::{plan_text, table};
use std::path::{Path, PathBuf};

/// The files that every rota has.
pub const ROTA_FILES: [&str; 6] = [
    "rota.json",
    "rota.csv",
    "rota.html",
    "noticeboard.html",
    "bell-runs.ron",
    "rota-all.ics",
];

/// Whether a file may be one of a rota's; the calendars are named for their divers.
pub fn is_of_a_rota(name: &str) -> bool {
    ROTA_FILES.contains(&name) || (name.starts_with("rota-") && name.ends_with(".ics"))
}

/// The turns as a file that the plan of a job names.
fn plan(inputs: &RotaInputs<'_>) -> String {
    let start = inputs.subject.time.civil_minute(0);
    format!(
        "// Bell runs for {}: in its plan, instead of `rota`, write bell_runs: \"PATH OF THIS FILE\",\n// {CAUTION}\n{}",
        inputs.subject.scenario,
        plan_text(inputs.rota, inputs.problem, inputs.work, &start)
    )
}

/// Name of a diver's calendar.
fn calendar_name(initials: &str) -> String {
    format!(
        "rota-{}.ics",
        initials.replace(|c: char| !c.is_alphanumeric(), "-")
    )
}

/// Writes everything into a folder. An existing one is refused unless `replace`, and even then if it holds
/// anything that is no part of a rota. Gives the paths written.
///
/// # Errors
/// [`ReportError`] names the path and the cause; what was begun at the side is taken away again.
pub fn write_rota(
    dir: &Path,
    inputs: &RotaInputs<'_>,
    replace: bool,
) -> Result<Vec<PathBuf>, ReportError> {
    let layout = |file: &'static str, cause: String| ReportError::Layout { file, cause };
    let json = RotaSummary::of(inputs)
        .json()
        .map_err(|e| layout("rota.json", e.to_string()))?;
    let table = table::write(inputs.rota, inputs.problem, inputs.subject.time)
        .map_err(|e| layout("rota.csv", e.to_string()))?;
    let heads = heads(
        &[("rota.json", json.as_bytes()), ("rota.csv", &table)],
        &head_ids(inputs),
    );
    let mut files = vec![
        ("rota.json".to_owned(), json.into_bytes()),
        ("rota.csv".to_owned(), table),
        (
            "rota.html".to_owned(),
            rota_html_from(inputs, &heads).into_bytes(),
        ),
        (
            "noticeboard.html".to_owned(),
            board_html(inputs).into_bytes(),
        ),
        ("bell-runs.ron".to_owned(), plan(inputs).into_bytes()),
        (
            "rota-all.ics".to_owned(),
            calendar_of_all(inputs).into_bytes(),
        ),
    ];
    for (i, diver) in (0u8..).zip(&inputs.problem.divers) {
        let mut name = calendar_name(&diver.initials);
        if files.iter().any(|(n, _)| *n == name) {
            name = calendar_name(&format!("{}-{}", diver.initials, i + 1));
        }
        files.push((name, calendar_of_diver(inputs, DiverId(i)).into_bytes()));
    }
    write_files(dir, &files, is_of_a_rota, replace)
}

/// Whether a rota may be written to `dir`: to be asked before a long search, not after it.
///
/// # Errors
/// As for [`write_rota`].
pub fn check_rota_target(dir: &Path, replace: bool) -> Result<(), ReportError> {
    check_files_target(dir, is_of_a_rota, replace)
}
