//! How the command ends: one table of exit codes, in `--help` and here.

use crate::job::Ended;
use crate::job::effects::Effect;
use crate::report::{Chain, Ending, PostedSummary, Summary};
use crate::rota::Verdict;
use crate::stock::{Conclusion, Endurance, Outlook, Study};
use std::process::ExitCode;

/// How a verb ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exit {
    /// Done, nothing wrong.
    Done,
    /// Done, and limits were crossed, bell runs cancelled or aborted, work of the list not done, or rules of working time broken; or a figure that
    /// was explained does not agree with its files.
    LimitsCrossed,
    /// Not completed, or people were hurt or lost their pressure, and what there is is written; or the result
    /// could not be written.
    NotCompleted,
    /// What was given cannot be used: arguments, files, names.
    BadInput,
    /// Interrupted by the user.
    Interrupted,
    /// A broken invariant: a fault of the program itself.
    BrokenInvariant,
}

impl Exit {
    /// All ends in the order of their codes.
    pub const ALL: [Exit; 6] = [
        Exit::Done,
        Exit::LimitsCrossed,
        Exit::NotCompleted,
        Exit::BadInput,
        Exit::Interrupted,
        Exit::BrokenInvariant,
    ];

    /// Its code.
    pub fn code(self) -> u8 {
        match self {
            Exit::Done => 0,
            Exit::LimitsCrossed => 1,
            Exit::NotCompleted => 2,
            Exit::BadInput => 3,
            Exit::Interrupted => 4,
            Exit::BrokenInvariant => 5,
        }
    }
}

/// Codes from what the library says: nowhere else is it decided what an end is worth.
impl Exit {
    /// What a job is worth: of one that did not come to its end by itself, in which somebody was hurt, died or
    /// lost his pressure, that crossed limits, truly or as indicated, whose bell runs were cancelled, that came home with
    /// work of its list not done, or in which a rule of working time was broken, less than done. What only called for
    /// attention takes nothing from it.
    pub fn of_job(ended: Option<Ended>, summary: &Summary, interrupted: bool) -> Exit {
        match ended {
            Some(Ended::BelowZero(_)) => Exit::BrokenInvariant,
            None if interrupted => Exit::Interrupted,
            Some(Ended::PlanOver | Ended::Died(..)) => Exit::NotCompleted,
            None | Some(Ended::Surfaced) if summary.how_it_ended.harmed() => Exit::NotCompleted,
            None | Some(Ended::Surfaced)
                if summary.crossed_limits()
                    || summary.lost_runs()
                    || summary.how_it_ended == Ending::WorkNotDone
                    || summary.working_time.broken() =>
            {
                Exit::LimitsCrossed
            }
            None | Some(Ended::Surfaced) => Exit::Done,
        }
    }

    /// What a study is worth: of jobs that ran short, limits were crossed; of jobs that could not be run, it is not
    /// complete.
    pub fn of_study(study: &Study, conclusion: &Conclusion) -> Exit {
        if study.interrupted {
            Exit::Interrupted
        } else if !study.failed.is_empty() {
            Exit::NotCompleted
        } else if conclusion.runs_short() {
            Exit::LimitsCrossed
        } else {
            Exit::Done
        }
    }

    /// What a forecast is worth: of one in which a minimum is not held, or a run is lost for want of gas, limits were
    /// crossed; of one that does not come to the surface, it is not complete.
    pub fn of_outlook(outlook: &Outlook) -> Exit {
        match (outlook.surfaced, outlook.runs_short()) {
            (false, _) => Exit::NotCompleted,
            (true, true) => Exit::LimitsCrossed,
            (true, false) => Exit::Done,
        }
    }

    /// What a sheet of evacuation endurance is worth: of one on which a supply of those who are to go ends sooner than is
    /// wanted, limits were crossed.
    pub fn of_endurance(sheet: &Endurance) -> Exit {
        match sheet.meets()[0] {
            true => Exit::Done,
            false => Exit::LimitsCrossed,
        }
    }

    /// What a plan is worth: of one that breaks a rule of working time, or of which a posted sheet would be broken, limits are
    /// crossed.
    pub fn of_plan(planned: &Verdict, posted: &PostedSummary) -> Exit {
        match posted.broken().is_empty() {
            true => Exit::of_rota(planned, false),
            false => Exit::LimitsCrossed,
        }
    }

    /// What a rota is worth: of one that breaks a rule, limits were crossed.
    pub fn of_rota(verdict: &Verdict, interrupted: bool) -> Exit {
        if interrupted {
            Exit::Interrupted
        } else if verdict.legal() {
            Exit::Done
        } else {
            Exit::LimitsCrossed
        }
    }

    /// What a table of failures is worth: its limits and its hurt are what was asked for, and no fault of the job.
    pub fn of_effects(effects: &[Effect], interrupted: bool) -> Exit {
        let broken = |e: &Effect| matches!(e.ended, Some(Ended::BelowZero(_)));
        if effects.iter().any(broken) {
            Exit::BrokenInvariant
        } else if interrupted {
            Exit::Interrupted
        } else {
            Exit::Done
        }
    }

    /// What a chain is worth: of one whose figure its files do not bear out, less than done.
    pub fn of_chain(chain: &Chain) -> Exit {
        match chain.differs() {
            true => Exit::LimitsCrossed,
            false => Exit::Done,
        }
    }

    /// This end, or another where this one is that all is done.
    pub fn or_else(self, other: impl FnOnce() -> Exit) -> Exit {
        match self {
            Exit::Done => other(),
            end => end,
        }
    }
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        ExitCode::from(exit.code())
    }
}

/// The table, as `--help` prints it.
pub const TABLE: &str = "\
Exit codes:
  0  done, nobody hurt, no limit crossed
  1  done, but a limit was crossed, truly or as indicated, or bell runs cancelled or aborted,
     or a task of the work list not done, or a rule of working time broken, as planned (check) or lived (run);
     of explain: the figure does not agree with its files
  2  not completed, or somebody hurt, dead or without pressure; or no result written
  3  bad input: arguments, files or names that cannot be used
  4  interrupted
  5  a broken invariant, said with its second and place: a fault of the program itself";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_whole() {
        for exit in Exit::ALL {
            assert!(TABLE.contains(&format!("\n  {}  ", exit.code())));
        }
        let codes = TABLE.lines().skip(1).filter(|l| !l.starts_with("     "));
        assert_eq!(codes.count(), Exit::ALL.len());
    }
}
