//! Intervals of the watch's routine: how often the log is written, and how often an analyser in use is calibrated.

use super::judge::{Judge, Point, h_min};
use crate::margin::Margin;
use crate::questions::WorkQuestion;
use crate::rule::RuleName;
use crate::types::Span;
use deepstay_rules::{Interval, RuleRefusal};

/// The longest intervals that there were, or are planned, s; none where nothing was written or calibrated twice.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Routine {
    /// Between two rows of the log with people under pressure.
    pub log: Option<Span>,
    /// Between two calibrations of one analyser of a chamber under pressure.
    pub calibration: Option<Span>,
}

/// Judges them.
pub fn of(routine: Routine, judge: &mut Judge) {
    let (rules, accepted) = (judge.rules, judge.accepted);
    let asked = [
        (
            WorkQuestion::LogInterval,
            routine.log,
            rules.log_every_s(accepted),
        ),
        (
            WorkQuestion::Calibration,
            routine.calibration,
            rules.calibration_every_s(accepted),
        ),
    ];
    for (question, found, answer) in asked {
        interval(question, found, answer, judge);
    }
}

fn interval(
    question: WorkQuestion,
    found: Option<Span>,
    answer: Result<Interval, RuleRefusal>,
    judge: &mut Judge,
) {
    let rule = match answer {
        Ok(rule) => rule,
        Err(refusal) => return judge.silent(question, &refusal.missing_of_set()),
    };
    let Some(when) = found else { return };
    let limit_s = rule.every_s;
    let name = RuleName {
        id: rule.id,
        words: format!("every {}", h_min(limit_s)),
        source: rule.source,
    };
    let found_s = when.length_s();
    let point = Point {
        rule: &name,
        margin: Margin::AtMost { found_s, limit_s },
        diver: None,
        turn: None,
        when,
        of: Some(question),
    };
    judge.hold(point, || {
        let what = match question {
            WorkQuestion::Calibration => "an analyser in use not calibrated for",
            _ => "no row of the log for",
        };
        format!("{what} {}; at most {}", h_min(found_s), h_min(limit_s))
    });
}
