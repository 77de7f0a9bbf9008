//! Plans a job's bell runs anew while it is under way: what has begun stands, what was lost is made good as far as
//! the rules, the steel and the wishes let it, and the work that is left is dealt out to the runs that follow.
//! Where teams keep their hours a lost run is not made later in the day; the work it would have done comes at
//! the end.

use super::replan::{append_to, deal, repaired};
use super::rule::RuleName;
use super::types::{BellRun, Position, Problem, Rota, Span};
use super::{JudgedBy, bell_runs, check};
use deepstay_job::{Planner, RunStands, Standing};
use deepstay_plant::Activity;
use deepstay_rules::RuleRefusal;
use deepstay_scenario::{BellRun as PlannedRun, Scenario, Slip};

/// Plans the runs of one job, under its own rule set.
#[derive(Clone, Debug)]
pub struct JobPlanner {
    problem: Problem,
    by: JudgedBy,
    broken: Vec<RuleName>,
}

impl JobPlanner {
    /// Of a scenario.
    ///
    /// # Errors
    /// A refusal where its set does not say how to press or come up as the plan does.
    pub fn of(scenario: &Scenario) -> Result<JobPlanner, RuleRefusal> {
        let by = JudgedBy::own(scenario, &scenario.accepted);
        let problem = by.ask(scenario)?.problem;
        Ok(JobPlanner {
            problem,
            by,
            broken: Vec::new(),
        })
    }

    /// Where the plan's rule for a lost run asks for somebody who plans anew, and the set answers.
    pub fn wanted(scenario: &Scenario) -> Option<JobPlanner> {
        let asked = scenario.plan.slip == Slip::Replan;
        asked.then(|| JobPlanner::of(scenario).ok()).flatten()
    }

    /// Rules that the runs broke already when they were planned anew: they are no worse by it.
    pub fn broken(&self) -> &[RuleName] {
        &self.broken
    }
}

impl Planner for JobPlanner {
    fn runs_from(&mut self, standing: &Standing<'_>) -> Option<Vec<PlannedRun>> {
        let plan = &standing.scenario.plan.bell_runs;
        let work = plan.first().map_or(Activity::WaterModerate, |r| r.work);
        let problem = &self.problem;
        let mut stay: Vec<BellRun> = Vec::new();
        let mut lost: Vec<BellRun> = Vec::new();
        let stands = standing.runs.iter().copied();
        for (run, stands) in plan
            .iter()
            .zip(stands.chain(std::iter::repeat(RunStands::Ahead)))
        {
            match stands {
                RunStands::Ahead => stay.extend(turn_of(problem, run, run.at)),
                RunStands::UnderWay { from_s } => stay.extend(turn_of(problem, run, from_s)),
                RunStands::Home {
                    from_s, stopped, ..
                } => {
                    let mut turn = turn_of(problem, run, from_s)?;
                    if stopped.is_some() {
                        // What was done of it is not told, and counts for nothing.
                        turn.positions.iter_mut().for_each(|p| p.wet.clear());
                    }
                    stay.push(turn);
                }
                RunStands::Lost { .. } => lost.extend(turn_of(problem, run, run.at)),
            }
        }
        stay.sort_by_key(|t| (t.first, t.bell));
        let by = (&self.by.rules, &self.by.accepted[..]);
        if !problem.same_hours
            && let Some(last) = lost.last()
        {
            let lead_s = problem.bell(last.bell).map_or(0, |b| b.lead_s);
            let begin = standing.from_s + lead_s;
            let now = moved(last, begin);
            stay.extend(repaired(&now, &stay, problem, begin, by));
            stay.sort_by_key(|t| (t.first, t.bell));
        }
        deal(&mut stay, problem, i64::MIN);
        let longer = append_to(&stay, problem, standing.from_s);
        let broken = |turns: &[BellRun]| {
            let rota = Rota {
                runs: turns.to_vec(),
            };
            check(&rota, problem, by.0, by.1).breaches
        };
        let before = broken(&stay);
        let runs = match broken(&longer).len() <= before.len() {
            true => longer,
            false => stay,
        };
        let rota = Rota { runs };
        let new = bell_runs(&rota, problem, work)
            .into_iter()
            .filter(|r| r.at >= standing.from_s);
        let stands = |r: &PlannedRun| {
            let prefix = plan.iter().take(standing.runs.len());
            let mut ahead = prefix
                .zip(standing.runs)
                .filter(|(_, s)| !matches!(s, RunStands::Lost { .. }));
            ahead.any(|(p, _)| p.bell == r.bell && p.divers == r.divers && p.at == r.at)
        };
        let new: Vec<PlannedRun> = new.filter(|r| !stands(r)).collect();
        self.broken = before.into_iter().map(|b| b.rule).collect();
        Some(new)
    }
}

/// A run later or sooner.
fn moved(turn: &BellRun, first: i64) -> BellRun {
    let by_s = first - turn.first;
    let mut turn = turn.clone();
    turn.first += by_s;
    turn.last += by_s;
    for wet in turn.positions.iter_mut().flat_map(|p| &mut p.wet) {
        *wet = Span::new(wet.from_s + by_s, wet.to_s + by_s);
    }
    turn
}

/// A run of a plan as a turn whose checks begin at a second; none in a bell that is not there.
pub fn turn_of(problem: &Problem, run: &PlannedRun, at_s: i64) -> Option<BellRun> {
    let bell = problem.bell(run.bell)?;
    let first = at_s + bell.lead_s;
    let out_s = first + bell.way_out_s(run.depth_msw);
    let (wet, end_s): (Vec<Vec<Span>>, i64) = match run.divers.len() {
        2 => {
            let second_s = out_s + run.in_water_s + bell.change_s;
            let wet = |from_s: i64| vec![Span::new(from_s, from_s + run.in_water_s)];
            (vec![wet(out_s), wet(second_s)], second_s + run.in_water_s)
        }
        n => {
            let half_s = run.in_water_s / 2;
            let end_s = out_s + run.in_water_s + run.pause_s;
            let wet = match run.pause_s {
                0 => vec![Span::new(out_s, end_s)],
                pause_s => vec![
                    Span::new(out_s, out_s + half_s),
                    Span::new(out_s + half_s + pause_s, end_s),
                ],
            };
            let mut all = vec![wet; n.saturating_sub(1)];
            all.push(Vec::new());
            (all, end_s)
        }
    };
    let positions = run.divers.iter().zip(wet);
    let positions = positions.map(|(&diver, wet)| Position::of(diver, wet));
    Some(BellRun {
        bell: run.bell,
        first,
        last: end_s + bell.way_home_s(run.depth_msw),
        depth_msw: run.depth_msw,
        positions: positions.collect(),
        tasks: Vec::new(),
    })
}
