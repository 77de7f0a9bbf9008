//! What the divers of a bell work at, by the work list: what each run that was told of gave to each task, and what the run
//! that is out is to give by its plan.

use crate::timeline::Told;
use deepstay::record::{BellPhase, BellRun};
use deepstay::rota::{Given, WorkDone};
use deepstay::scenario::{Scenario, lengths};
use deepstay::units::CompartmentId;

/// What was given, as far as it has been told.
#[derive(Debug, Default)]
pub(super) struct Work {
    given: Vec<Given>,
    tasks: Vec<String>,
    of: Option<(usize, Option<(u16, i64)>)>,
}

impl Work {
    /// Reckons anew where a run has begun its work or ended since.
    pub fn follow(&mut self, scenario: &Scenario, told: &Told) {
        let (runs, turns) = told.bell_runs();
        let last = runs.last().and_then(|run| Some((run.run, run.from_s()?)));
        if self.of == Some((turns, last)) {
            return;
        }
        self.of = Some((turns, last));
        let to_be: Vec<BellRun> = runs.iter().map(|run| as_planned(scenario, run)).collect();
        let done = WorkDone::of(scenario, &[], &to_be);
        self.given = done.given;
        self.tasks = done.tasks.into_iter().map(|task| task.task).collect();
    }

    /// The task of each bell whose divers are out at a second.
    pub fn at(&self, scenario: &Scenario, told: &Told, at_s: i64) -> Vec<(CompartmentId, String)> {
        let (runs, _) = told.bell_runs();
        let out = runs.iter().filter_map(|run| {
            let from_s = run.began_s(BellPhase::FirstOut)?;
            let home = run.began_s(BellPhase::BottomSeal).or(run.done_s());
            let is_out = from_s <= at_s && home.is_none_or(|home| at_s < home);
            is_out.then_some((run, from_s))
        });
        let named = out.filter_map(|(run, from_s)| {
            let task = self.task(scenario, run, at_s - from_s)?;
            Some((run.bell, self.tasks.get(task)?.clone()))
        });
        named.collect()
    }

    /// The task that a run has come to so long after its first diver went out: it gives its time to one after the other.
    fn task(&self, scenario: &Scenario, run: &BellRun, out_s: i64) -> Option<usize> {
        let begun = run.from_s()?;
        let of = scenario.plan.bell_runs.get(usize::from(run.run))?;
        let span_s = i64::from(lengths::turns(of)) * lengths::turn_s(of);
        let mine = |g: &&Given| g.bell == run.bell && (begun..g.to_s).contains(&g.from_s);
        let next = |g: &&Given| g.from_s < begun + span_s;
        let gave: Vec<&Given> = self.given.iter().filter(mine).filter(next).collect();
        let all_s: i64 = gave.iter().map(|g| g.water_s).sum();
        let mut so_far = 0;
        let reached = gave.iter().find(|g| {
            so_far += g.water_s;
            out_s * all_s < so_far * span_s
        });
        reached.or(gave.last()).map(|g| g.task)
    }
}

/// A run that is not over is taken to be in the water for as long as its plan says.
fn as_planned(scenario: &Scenario, run: &BellRun) -> BellRun {
    let mut run = run.clone();
    let planned = scenario.plan.bell_runs.get(usize::from(run.run));
    if let (None, None, Some(plan)) = (run.done_s(), &run.stopped, planned) {
        let all_s = lengths::times_in_water(plan) * plan.in_water_s;
        run.water_s = run.water_s.max(all_s);
    }
    run
}
