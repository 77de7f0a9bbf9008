//! The plan of a job as what the judge takes: its bell runs by the lengths that the stations reckon with, its days by its
//! steps.

use super::Worked;
use crate::answer::Verdict;
use crate::ask::as_planned;
use crate::check::{Moments, Routine};
use crate::types::{BellRun, Position, Problem, Role, Rota, Span};
use deepstay_core::units::DiverId;
use deepstay_rules::RuleRefusal;
use deepstay_scenario::{BellRun as PlannedRun, Scenario, lengths};

impl Worked {
    /// What the judge says of a job's plan by its own rule set.
    pub fn plan_judged(scenario: &Scenario) -> Verdict {
        Worked::planned(scenario).map_or_else(Verdict::not_judged, |plan| {
            plan.judged(&scenario.rules, &scenario.accepted)
        })
    }

    /// A job as its plan has it.
    ///
    /// # Errors
    /// A refusal where the set does not say how to press or come up as the plan does.
    pub fn planned(scenario: &Scenario) -> Result<Worked, RuleRefusal> {
        let problem = as_planned(scenario)?;
        let mut runs: Vec<BellRun> = scenario
            .plan
            .bell_runs
            .iter()
            .map(|run| turn(run, &problem))
            .collect();
        runs.sort_by_key(|run| (run.first, run.bell));
        let moments = runs
            .iter()
            .map(|run| Moments::planned(run, &problem))
            .collect();
        Ok(Worked {
            moments,
            rota: Rota { runs },
            routine: routine(scenario),
            breathed: super::by_the_labels(scenario),
            problem,
        })
    }
}

/// The stations calibrate at the plan's interval or at the set's, whichever is shorter.
fn routine(scenario: &Scenario) -> Routine {
    let planned_s = Some(scenario.plan.calibrate_every_s).filter(|s| *s > 0);
    let asked = scenario.rules.calibration_every_s(&scenario.accepted).ok();
    let calibrate_s = planned_s.into_iter().chain(asked.map(|i| i.every_s)).min();
    Routine {
        log: Some(Span::new(0, scenario.log_every_s)),
        calibration: calibrate_s.map(|s| Span::new(0, s)),
    }
}

/// A run of the plan with its lengths: two go one after the other, of more all but the last at once, with a break where
/// the plan has one.
fn turn(run: &PlannedRun, problem: &Problem) -> BellRun {
    let (lead_s, out_s, home_s) = problem.bell(run.bell).map_or((0, 0, 0), |bell| {
        let depth = run.depth_msw;
        (bell.lead_s, bell.way_out_s(depth), bell.way_home_s(depth))
    });
    let first = run.at + lead_s;
    let (turn_s, between_s) = (lengths::turn_s(run), lengths::between_s(run));
    let mut at_s = first + out_s;
    let mut wet = Vec::new();
    for _ in 0..lengths::turns(run) {
        wet.push(Span::new(at_s, at_s + turn_s));
        at_s += turn_s + between_s;
    }
    let last = wet.last().map_or(first + out_s, |w| w.to_s) + home_s;
    let tended = run.divers.len() > 2;
    let position = |(k, &diver): (usize, &DiverId)| {
        let stays = tended && k + 1 == run.divers.len();
        Position {
            diver,
            role: if stays { Role::Bellman } else { Role::Diver },
            wet: match (stays, tended) {
                (true, _) => Vec::new(),
                (false, true) => wet.clone(),
                (false, false) => wet.get(k).copied().into_iter().collect(),
            },
        }
    };
    BellRun {
        bell: run.bell,
        first,
        last,
        depth_msw: run.depth_msw,
        positions: run.divers.iter().enumerate().map(position).collect(),
        tasks: Vec::new(),
    }
}
