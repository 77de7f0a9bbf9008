//! The files of a job's report: the summary, the tables and the page.

use super::inputs::Inputs;
use super::summary::Summary;
use super::{daily, events, faults, gas_status, hours, log, page, planned, tables};
use crate::explain::heads;
use crate::kit::folder::{ReportError, check_files_target, write_files};
use std::path::{Path, PathBuf};

/// The files of a report, in order.
pub const FILES: [&str; 13] = [
    "job.json",
    "log.csv",
    "ledger.csv",
    "bell-runs.csv",
    "divers.csv",
    "alarms.csv",
    "faults.csv",
    "gas-status.csv",
    "events.csv",
    "gas-plan.csv",
    "working.csv",
    "daily-returns.html",
    "report.html",
];

/// Writes the whole report into `dir`. An existing folder is refused unless `replace`; even then only
/// a folder that holds nothing but a report is replaced. Gives the paths written, in order.
///
/// # Errors
/// [`ReportError`] names the path and the cause; what was begun at the side is taken away again.
pub fn write_all(
    dir: &Path,
    inputs: &Inputs<'_>,
    replace: bool,
) -> Result<Vec<PathBuf>, ReportError> {
    let files = lay_out(inputs)?;
    let files: Vec<(String, Vec<u8>)> = FILES.iter().map(|n| (*n).to_owned()).zip(files).collect();
    write_files(dir, &files, is_of_a_report, replace)
}

fn is_of_a_report(name: &str) -> bool {
    FILES.contains(&name)
}

/// Whether a report may be written to `dir`: to be asked before a long run, not after it.
///
/// # Errors
/// As for [`write_all`].
pub fn check_target(dir: &Path, replace: bool) -> Result<(), ReportError> {
    check_files_target(dir, is_of_a_report, replace)
}

fn lay_out(inputs: &Inputs<'_>) -> Result<Vec<Vec<u8>>, ReportError> {
    let csv = |file: &'static str, table: Result<Vec<u8>, csv::Error>| {
        table.map_err(|e| ReportError::Layout {
            file,
            cause: e.to_string(),
        })
    };
    let summary = Summary::of(inputs);
    let json = summary.json().map_err(|e| ReportError::Layout {
        file: "job.json",
        cause: e.to_string(),
    })?;
    let mut files = vec![
        json.into_bytes(),
        csv("log.csv", log::log_csv(inputs))?,
        csv("ledger.csv", tables::ledger_csv(inputs))?,
        csv("bell-runs.csv", tables::bell_csv(inputs))?,
        csv("divers.csv", tables::divers_csv(inputs))?,
        csv("alarms.csv", tables::alarms_csv(inputs))?,
        csv("faults.csv", faults::faults_csv(inputs))?,
        csv("gas-status.csv", gas_status::gas_status_csv(inputs))?,
        csv("events.csv", events::events_csv(inputs))?,
        csv("gas-plan.csv", planned::gas_plan_csv(inputs))?,
        csv("working.csv", hours::working_csv(inputs))?,
        daily::daily_html(inputs).into_bytes(),
    ];
    let named: Vec<(&str, &[u8])> = FILES
        .into_iter()
        .zip(files.iter().map(Vec::as_slice))
        .filter(|(name, _)| *name != "log.csv")
        .collect();
    let heads = heads(&named, &page::head_ids(&summary));
    files.push(page::html_from(inputs, &summary, &heads).into_bytes());
    Ok(files)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample::Sample;
    use std::fs;

    #[test]
    fn a_report_is_written_whole_and_not_over_another() {
        let home = tempfile::tempdir().expect("a folder");
        let dir = home.path().join("out");
        let sample = Sample::days(3);
        let paths = write_all(&dir, &sample.inputs(), false).expect("written");
        assert_eq!(paths.len(), FILES.len());
        assert!(paths.iter().all(|p| p.is_file()));
        let again = write_all(&dir, &sample.inputs(), false);
        assert!(matches!(again, Err(ReportError::Exists { .. })));
        write_all(&dir, &sample.inputs(), true).expect("replaced");
        assert_eq!(
            fs::read_dir(home.path()).expect("list").count(),
            1,
            "nothing is left at the side"
        );
    }

    #[test]
    fn a_folder_with_something_else_in_it_is_never_replaced() {
        let home = tempfile::tempdir().expect("a folder");
        fs::write(home.path().join("thesis.txt"), "do not lose").expect("written");
        let refused = write_all(home.path(), &Sample::days(1).inputs(), true);
        assert!(
            matches!(refused, Err(ReportError::NotAReport { stranger, .. }) if stranger == "thesis.txt")
        );
    }

    #[test]
    fn a_folder_that_cannot_be_made_is_named_with_the_cause() {
        let home = tempfile::tempdir().expect("a folder");
        let file = home.path().join("file");
        fs::write(&file, "x").expect("written");
        let error =
            write_all(&file.join("out"), &Sample::days(1).inputs(), false).expect_err("refused");
        let text = error.to_string();
        assert!(
            text.contains("file") && text.contains("out") && text.contains("directory"),
            "{text}"
        );
    }

    #[test]
    fn the_same_entries_give_the_same_bytes() {
        let (a, b) = (Sample::days(3), Sample::days(3));
        assert_eq!(
            lay_out(&a.inputs()).expect("laid out"),
            lay_out(&b.inputs()).expect("laid out")
        );
    }
}
