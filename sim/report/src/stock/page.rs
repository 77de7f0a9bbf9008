//! A stock study's folder: the page, the tables, the workbook, the summary and what is to be posted.

use super::csv::{days_csv, demand_csv, jobs_csv, why_csv};
use super::inputs::{StockInputs, gas_name};
use super::load::section::{StockLoadInputs, stock_load_section};
use super::posting::posting_html;
use super::reserve::{beside_section, reserve_csv, reserve_sections};
use super::risk::percent;
use super::summary::StockSummary;
use super::{demand, risk, today};
use crate::kit::folder::{ReportError, check_set_target, write_set};
use crate::kit::frame::{framed, tile};
use crate::stock::load::csv::stock_load_csv;
use crate::stock::load::workbook::stock_workbook;
use deepstay_core::CAUTION;
use deepstay_core::units::{FREE_WORDS, about};
use deepstay_stock::reserve::{Pair, Sheet};
use maud::{Markup, html};
use std::path::{Path, PathBuf};

/// The files of a stock study.
pub const STOCK_FILES: [&str; 10] = [
    "stock.json",
    "stock.html",
    "demand.csv",
    "days.csv",
    "why.csv",
    "jobs.csv",
    "reserve.csv",
    "minimum-to-post.html",
    "load.csv",
    "gas-sheet.xlsx",
];

/// All papers of a study: the ensemble, the minimums, and what to load where there is a supplier.
pub struct StockPapers<'a> {
    /// The ensemble's part.
    pub study: StockInputs<'a>,
    /// The minimums by the first rule set.
    pub sheet: &'a Sheet,
    /// A second set beside it.
    pub beside: Option<(&'a Sheet, &'a [Pair])>,
    /// What to load.
    pub load: Option<StockLoadInputs<'a>>,
}

/// The page.
pub fn stock_html(papers: &StockPapers<'_>) -> String {
    let study = &papers.study;
    let subject = study.subject;
    let body = html! {
        h1 { "Gas for the campaign: " (subject.title) }
        p.sub {
            (subject.scenario) " on " (subject.spread) ", rule set " (subject.rule_set) ". "
            (study.answer.jobs) " whole simulated jobs, seed " (study.head.seed) ". Amounts are " (FREE_WORDS) "."
        }
        p.caution { b { "Caution. " } (CAUTION) }
        (tiles(papers))
        @for remark in study.remarks { p.note { (remark) } }
        (today::today(study))
        (demand::demand(study))
        @if let Some(load) = &papers.load { (stock_load_section(load)) }
        @else { p.note { "No supplier's list was named, so nothing is said here of what to load: give supplier in the scenario's study, or --supplier." } }
        (risk::chances(study))
        (risk::stock(study))
        (risk::why(study))
        (risk::what_if(study))
        (reserve_sections(papers.sheet, subject, study.units))
        @if let Some((other, pairs)) = papers.beside { (beside_section(papers.sheet, other, pairs, study.units)) }
        (demand::others(study))
        (unanswered(study))
    };
    framed(
        &format!("Gas for the campaign: {}", subject.scenario),
        &body,
    )
}

fn tiles(papers: &StockPapers<'_>) -> Markup {
    let study = &papers.study;
    let gas = study.units.free_scale();
    let covered = whole_percent(study.covered);
    let last = study.answer.chance.last();
    html! {
        @let cut = study.answer.cut_short.hits > 0;
        @let few = deepstay_stock::ranks(study.answer.jobs, study.covered).is_err();
        @let least = if cut { "at least, for the stock ran out; " } else if few { "not bounded by so few jobs; " } else { "" };
        @let most = {
            let mut gases: Vec<&deepstay_stock::GasAnswer> = study.answer.gases.iter().collect();
            gases.sort_by(|a, b| b.demand.mean.total_cmp(&a.demand.mean));
            gases
        };
        div.tiles {
            @for g in most.into_iter().take(3) {
                @let q = g.demand.quantiles.iter().min_by(|a, b| (a.p - study.covered).abs().total_cmp(&(b.p - study.covered).abs()));
                @if let Some(q) = q {
                    (tile(cut, &format!("{} {}", about(gas.of(q.value)), gas.unit), &format!("{}: {least}{} of the jobs need no more", gas_name(&g.gas), whole_percent(q.p))))
                }
            }
            @if let Some(c) = last {
                (tile(c.minimum.hits > 0, &percent(c.minimum.p), &format!("of the jobs go below a minimum that the stock meets at the start; between {} and {} may", percent(c.minimum.low), percent(c.minimum.high))))
                (tile(c.stopped.hits > 0, &percent(c.stopped.p), &format!("of the jobs fail an order or a run for want of gas; between {} and {} may", percent(c.stopped.low), percent(c.stopped.high))))
            }
            @if papers.sheet.totals.is_empty() {
                (tile(false, "No amount", &format!("is asked for by rule set {}: the stock is held against no minimum", papers.sheet.set)))
            } @else {
                (tile(!papers.sheet.all_met(), if papers.sheet.all_met() { "Met" } else { "Not met" }, &format!("minimums of rule set {} by the stock at the start", papers.sheet.set)))
            }
            @if let Some(load) = &papers.load {
                @let lacking: Vec<String> = papers.sheet.held_in_nothing().map(|t| t.holding.to_string()).collect();
                @let without = if lacking.is_empty() { String::new() } else { format!("; without the minimum of {}, which no gas of the stock can hold", lacking.join(", ")) };
                (tile(cut || few || !lacking.is_empty() || load.load.refused.iter().any(|r| !r.why.is_of_a_boat()), &load.money(load.load.money),
                    &format!("{least}to load for {covered} of the jobs with the minimums, {}{without}", load.mass(load.load.mass_kg()))))
            }
            (tile(study.answer.not_surfaced.hits > 0, &percent(study.answer.not_surfaced.p), "of the jobs do not come to the surface within the plan"))
        }
    }
}

/// A share as percent without digits that say nothing.
pub fn whole_percent(share: f64) -> String {
    format!("{} %", deepstay_core::units::fixed_short(share * 100.0))
}

fn unanswered(study: &StockInputs<'_>) -> Markup {
    html! {
        @if !study.failed.is_empty() {
            h2 { "Jobs that could not be run" }
            p { (study.failed.len()) " of the jobs could not be run with what was drawn for them, and are in none of the figures:" }
            ul { @for f in study.failed.iter().take(20) { li { (f.to_string()) } } }
        }
    }
}

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
        ("stock.html", stock_html(papers).into_bytes()),
        ("demand.csv", table("demand.csv", demand_csv(study))?),
        ("days.csv", table("days.csv", days_csv(study))?),
        ("why.csv", table("why.csv", why_csv(study))?),
        ("jobs.csv", table("jobs.csv", jobs_csv(study))?),
        (
            "reserve.csv",
            table("reserve.csv", reserve_csv(papers.sheet, study.units))?,
        ),
        (
            "minimum-to-post.html",
            posting_html(papers.sheet, study.subject, study.units).into_bytes(),
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
    let files: Vec<(String, Vec<u8>)> = files
        .into_iter()
        .map(|(name, bytes)| (name.to_owned(), bytes))
        .collect();
    write_set(dir, &files, is_of_a_study, replace)
}

/// Whether a study may be written to `dir`: to be asked before hours of jobs, not after them.
///
/// # Errors
/// As for [`write_stock`].
pub fn check_stock_target(dir: &Path, replace: bool) -> Result<(), ReportError> {
    check_set_target(dir, is_of_a_study, replace)
}
