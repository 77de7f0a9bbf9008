//! What came of the work list in a job that was run: what each task had of time in the water and when it was done,
//! beside when it was to be done by the plan. Of a run that was made counts what its divers truly had in the water;
//! the plan reckons with the share that weather is expected to take.

use super::planner::turn_of;
use super::replan::deal;
use super::sums::sums;
use super::types::{BellRun, Problem, Rota};
use super::{Progress, ask};
use deepstay_core::record::BellRun as RunLived;
use deepstay_core::units::CompartmentId;
use deepstay_scenario::{BellRun as PlannedRun, Scenario, lengths};

/// What came of a task.
#[derive(Clone, Debug, PartialEq)]
pub struct TaskDone {
    /// What it is called.
    pub task: String,
    /// Time in the water it takes, s; weather is no part of it.
    pub needed_s: i64,
    /// Time in the water it had, s.
    pub had_s: i64,
    /// When it was done; none: not done.
    pub done_s: Option<i64>,
    /// When it was to be done by the plan; none: not by the plan either.
    pub planned_s: Option<i64>,
}

/// What a run gave to a task.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Given {
    /// Place of the task in the work list.
    pub task: usize,
    /// The bell.
    pub bell: CompartmentId,
    /// When its divers were sealed in, s.
    pub from_s: i64,
    /// When it was sealed to its trunk again, s.
    pub to_s: i64,
    /// Time in the water, s.
    pub water_s: i64,
}

/// What came of the work list.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WorkDone {
    /// The tasks, in the order of the list.
    pub tasks: Vec<TaskDone>,
    /// What each run gave to each, in order of time.
    pub given: Vec<Given>,
    /// Share of the time in the water that weather was expected to take, 0 to 1.
    pub weather_share: f64,
}

impl WorkDone {
    /// Of a job with the runs that were in force, those of its plan, and what was lived; nothing where there is no
    /// work list, or the rule set does not say where people are when.
    pub fn of(scenario: &Scenario, planned: &[PlannedRun], lived: &[RunLived]) -> WorkDone {
        let Ok(asked) = ask(scenario) else {
            return WorkDone::default();
        };
        let problem = asked.problem;
        if problem.tasks.is_empty() {
            return WorkDone::default();
        }
        let plan = dealt(
            planned.iter().filter_map(|r| turn_of(&problem, r, r.at)),
            &problem,
        );
        let in_force = &scenario.plan.bell_runs;
        let made = lived.iter().filter_map(|run| {
            let of = in_force.get(usize::from(run.run))?;
            let had = PlannedRun {
                in_water_s: run.water_s / lengths::times_in_water(of),
                ..of.clone()
            };
            turn_of(&problem, &had, run.from_s()?).filter(|_| run.water_s > 0)
        });
        let fair = Problem {
            weather_share: 0.0,
            ..problem.clone()
        };
        let life = dealt(made, &fair);
        let progress =
            |rota: &Rota, problem: &Problem| -> Vec<Progress> { sums(rota, problem).progress };
        let (to_be, was) = (progress(&plan, &problem), progress(&life, &fair));
        let tasks = problem.tasks.iter().zip(to_be.iter().zip(&was));
        WorkDone {
            tasks: tasks
                .map(|(task, (to_be, was))| TaskDone {
                    task: task.name.clone(),
                    needed_s: task.wet_s,
                    had_s: was.given_s,
                    done_s: was.done_s,
                    planned_s: to_be.done_s,
                })
                .collect(),
            given: life.runs.iter().flat_map(given).collect(),
            weather_share: problem.weather_share,
        }
    }

    /// How many are not done.
    pub fn missing(&self) -> usize {
        self.tasks.iter().filter(|t| t.done_s.is_none()).count()
    }

    /// When all was done, s; none: something is missing.
    pub fn done_s(&self) -> Option<i64> {
        let all: Option<Vec<i64>> = self.tasks.iter().map(|t| t.done_s).collect();
        all?.into_iter().max()
    }

    /// When all was to be done by the plan, s; none: not by the plan.
    pub fn planned_s(&self) -> Option<i64> {
        let all: Option<Vec<i64>> = self.tasks.iter().map(|t| t.planned_s).collect();
        all?.into_iter().max()
    }
}

fn dealt(turns: impl Iterator<Item = BellRun>, problem: &Problem) -> Rota {
    let mut runs: Vec<BellRun> = turns.collect();
    runs.sort_by_key(|t| (t.first, t.bell));
    deal(&mut runs, problem, i64::MIN);
    Rota { runs }
}

fn given(run: &BellRun) -> impl Iterator<Item = Given> + '_ {
    run.tasks.iter().map(|&(task, water_s)| Given {
        task,
        bell: run.bell,
        from_s: run.first,
        to_s: run.last,
        water_s,
    })
}
