//! A rota with all that is known of it, however it came: made, read and judged, or planned again.

use super::table::ReadRota;
use super::{
    Asked, Event, JudgedBy, LimitingRule, Made, NoRota, Price, Problem, Rota, Verdict, Worth,
    check, replan,
};
use deepstay_core::units::VesselTime;

/// Where a rota comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum MadeBy {
    /// Worked out here, to the end of the search.
    Search,
    /// Worked out here; the search was stopped before its end.
    StoppedSearch,
    /// Read from a file of that name.
    File(String),
    /// Planned again from that time on.
    PlannedAgain(String),
}

/// A rota with all that is known of it.
#[derive(Clone, Debug)]
pub struct Appraisal {
    /// What it is for.
    pub problem: Problem,
    /// The rota.
    pub rota: Rota,
    /// Where it comes from.
    pub made_by: MadeBy,
    /// What the judge says.
    pub verdict: Verdict,
    /// What was proven, where it was searched for.
    pub worth: Option<Worth>,
    /// Where rules bind, where it was searched for.
    pub binding: Vec<LimitingRule>,
    /// What each wish costs, where it was searched for.
    pub prices: Vec<Price>,
    /// What else is to be told, a line each.
    pub remarks: Vec<String>,
}

impl Appraisal {
    /// Of a rota made for what was asked.
    pub fn made(made: Made, asked: &Asked) -> Appraisal {
        let solution = made.solution;
        Appraisal {
            problem: asked.problem.clone(),
            rota: solution.rota,
            made_by: match solution.stopped {
                true => MadeBy::StoppedSearch,
                false => MadeBy::Search,
            },
            verdict: made.verdict,
            worth: Some(solution.worth),
            binding: solution.binding,
            prices: solution.prices,
            remarks: asked.notes.clone(),
        }
    }

    /// Of a rota read from a file of that name, which is judged now.
    pub fn read(name: String, read: ReadRota, asked: &Asked, by: &JudgedBy) -> Appraisal {
        let verdict = check(&read.rota, &asked.problem, &by.rules, &by.accepted);
        let mut remarks = asked.notes.clone();
        remarks.extend(read.remarks);
        Appraisal {
            problem: asked.problem.clone(),
            rota: read.rota,
            made_by: MadeBy::File(name),
            verdict,
            worth: None,
            binding: Vec::new(),
            prices: Vec::new(),
            remarks,
        }
    }

    /// Planned again from a second on, called `from`, with what has come between.
    ///
    /// # Errors
    /// Why there is no legal rota.
    pub fn replanned(
        self,
        (now_s, from): (i64, &str),
        events: &[Event],
        by: &JudgedBy,
        clock: VesselTime,
    ) -> Result<Appraisal, NoRota> {
        let new = replan(
            &self.rota,
            &self.problem,
            now_s,
            events,
            &by.rules,
            &by.accepted,
        )?;
        let mut remarks = new.told(from, clock);
        remarks.extend(self.remarks);
        Ok(Appraisal {
            problem: new.problem,
            rota: new.rota,
            made_by: MadeBy::PlannedAgain(from.to_owned()),
            verdict: new.verdict,
            worth: None,
            binding: Vec::new(),
            prices: Vec::new(),
            remarks,
        })
    }
}
