//! What is made of a study's jobs: its papers, the screen and the exit code.

use super::Arguments;
use crate::command::exit::Exit;
use crate::command::say;
use crate::report::{self, StockPapers, StockSummary, Subject};
use crate::stock::{Basis, Study, StudyError};

/// Concludes it, writes it, says it.
pub fn conclude(args: &Arguments, study: &Study, basis: &Basis) -> Result<Exit, Exit> {
    if study.jobs.is_empty() {
        return Err(match study.failed.first() {
            Some(first) => say::bad_input(first),
            None => say::interrupted("interrupted before the first job was over"),
        });
    }
    let conclusion = study.conclude(basis).map_err(not_answered)?;
    let mut subject = Subject::from(study.ensemble.base.as_ref());
    subject.made_from = study.ensemble.texts().made_from();
    let papers = StockPapers::of(&subject, study, &conclusion, args.units.into());
    if let Some(out) = &args.out {
        report::write_stock(out, &papers, args.replace).map_err(say::not_written)?;
    }
    let said = if args.json {
        say::json(
            StockSummary::of(&papers)
                .json()
                .map(|text| text.trim_end().to_owned()),
        )
    } else if args.quiet {
        Exit::Done
    } else {
        let mut words = report::stock_screen(&papers, say::columns())
            .trim_end()
            .to_owned();
        if let Some(out) = &args.out {
            words += &format!("\n\nPage, tables and workbook are in {}", out.display());
        }
        say::out(&words)
    };
    Ok(said.or_else(|| Exit::of_study(study, &conclusion)))
}

/// Says why a study cannot be answered.
pub fn not_answered(why: StudyError) -> Exit {
    match why {
        StudyError::Supplier(bad) | StudyError::Rules(bad) => say::complaints(&bad),
        other => say::bad_input(other),
    }
}
