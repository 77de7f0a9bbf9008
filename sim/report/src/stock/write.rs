//! The files of a gas study: the page, the tables, the workbook, the summary and what is to be posted.

use super::absorbent::absorbent_csv;
use super::csv::{days_csv, demand_csv, jobs_csv, why_csv};
use super::inputs::StockPapers;
use super::load::csv::stock_load_csv;
use super::load::workbook::stock_workbook;
use super::page::{head_ids, stock_html_from};
use super::posting::posting_html;
use super::reserve::reserve_csv;
use super::summary::StockSummary;
use crate::explain::heads;
use crate::kit::folder::{ReportError, check_files_target, write_files};
use std::path::{Path, PathBuf};

/// The files of a stock study.
pub const STOCK_FILES: [&str; 11] = [
    "stock.json",
    "stock.html",
    "demand.csv",
    "days.csv",
    "absorbent.csv",
    "why.csv",
    "jobs.csv",
    "reserve.csv",
    "minimum-to-post.html",
    "load.csv",
    "gas-sheet.xlsx",
];

/// Whether a file may be one of a study's.
fn is_of_a_study(name: &str) -> bool {
    STOCK_FILES.contains(&name)
}

/// Writes everything into a folder. An existing one is refused unless `replace`, and even then if it holds
/// anything that is no part of a study. Gives the paths written.
///
/// # Errors
/// [`ReportError`] names the path and the cause; what was begun at the side is taken away again.
pub fn write_stock(
    dir: &Path,
    papers: &StockPapers<'_>,
    replace: bool,
) -> Result<Vec<PathBuf>, ReportError> {
    let study = &papers.study;
    let table = |file: &'static str, made: Result<Vec<u8>, csv::Error>| {
        made.map_err(|e| ReportError::Layout {
            file,
            cause: e.to_string(),
        })
    };
    let json = StockSummary::of(papers)
        .json()
        .map_err(|e| ReportError::Layout {
            file: "stock.json",
            cause: e.to_string(),
        })?;
    let mut files = vec![
        ("stock.json", json.into_bytes()),
        ("demand.csv", table("demand.csv", demand_csv(study))?),
        ("days.csv", table("days.csv", days_csv(study))?),
        (
            "absorbent.csv",
            table("absorbent.csv", absorbent_csv(study))?,
        ),
        ("why.csv", table("why.csv", why_csv(study))?),
        ("jobs.csv", table("jobs.csv", jobs_csv(study))?),
        (
            "reserve.csv",
            table("reserve.csv", reserve_csv(&papers.sheets(), study.units))?,
        ),
        (
            "minimum-to-post.html",
            posting_html(papers.posted, papers.sheet, study.subject, study.units).into_bytes(),
        ),
    ];
    if let Some(load) = &papers.load {
        files.push(("load.csv", table("load.csv", stock_load_csv(load))?));
        let sheet = stock_workbook(load).map_err(|e| ReportError::Layout {
            file: "gas-sheet.xlsx",
            cause: e.to_string(),
        })?;
        files.push(("gas-sheet.xlsx", sheet));
    }
    let named: Vec<(&str, &[u8])> = files.iter().map(|(n, b)| (*n, b.as_slice())).collect();
    let heads = heads(&named, &head_ids(papers));
    files.insert(
        1,
        ("stock.html", stock_html_from(papers, &heads).into_bytes()),
    );
    let files: Vec<(String, Vec<u8>)> = files
        .into_iter()
        .map(|(name, bytes)| (name.to_owned(), bytes))
        .collect();
    write_files(dir, &files, is_of_a_study, replace)
}

/// Whether a study may be written to `dir`: to be asked before hours of jobs, not after them.
///
/// # Errors
/// As for [`write_stock`].
pub fn check_stock_target(dir: &Path, replace: bool) -> Result<(), ReportError> {
    check_files_target(dir, is_of_a_study, replace)
}
