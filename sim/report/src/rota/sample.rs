//! A made-up rota for the tests of this room: the built-in crews in a plain round of turns. It proves
//! nothing about the search.

use crate::*;
use deepstay_core::units::DiverId;
use deepstay_rota::tired::{Tired, tired, watch_rest};
use deepstay_rota::*;
use deepstay_scenario::{Scenario, load};

/// A made-up rota with everything its papers need.
pub struct RotaSample {
    pub scenario: Scenario,
    pub subject: Subject,
    pub problem: Problem,
    pub rota: Rota,
    pub made_by: MadeBy,
    pub verdict: Verdict,
    pub sums: Sums,
    pub worth: Option<Worth>,
    pub tired: Vec<Tired>,
    pub watches: Vec<Vec<seafarer::Worst>>,
    pub under: Vec<Under>,
    pub remarks: Vec<String>,
    pub provenance: Vec<ProvenanceRow>,
}

impl RotaSample {
    /// A round of the crew of a built-in job, a turn every so many seconds.
    pub fn of(job: &str, every_s: i64) -> RotaSample {
        let scenario = load(job).expect("built in");
        let problem = ask(&scenario).expect("answers").problem;
        let mut rota = Rota::default();
        let mut teams: Vec<u8> = problem.divers.iter().map(|d| d.team).collect();
        teams.sort_unstable();
        teams.dedup();
        for (b, bell) in problem.bells.iter().enumerate() {
            let (mut at, mut n) = (problem.first_s + bell.lead_s + b as i64 * every_s / 2, b);
            while at + 7 * 3600 < problem.last_s {
                let team = teams[n % teams.len()];
                let crew = (0u8..)
                    .zip(&problem.divers)
                    .filter(|(_, d)| d.team == team)
                    .map(|(i, _)| DiverId(i));
                let crew: Vec<DiverId> = crew.take(usize::from(bell.places)).collect();
                let (from, to) = (
                    at + bell.way_out_s(problem.working_msw),
                    at + 7 * 3600 - bell.way_home_s(problem.working_msw),
                );
                let half = (to - from - bell.change_s) / 2;
                let seats = crew.iter().enumerate().map(|(i, d)| {
                    let tends = crew.len() > 2 && i == n / teams.len() % crew.len();
                    let wet = match crew.len() {
                        2 if i == 0 => vec![Span::new(from, from + half)],
                        2 => vec![Span::new(to - half, to)],
                        _ if tends => vec![],
                        _ => vec![Span::new(from, to)],
                    };
                    Position {
                        diver: *d,
                        role: if tends { Role::Bellman } else { Role::Diver },
                        wet,
                    }
                });
                rota.runs.push(BellRun {
                    bell: bell.id,
                    first: at,
                    last: at + 7 * 3600,
                    depth_msw: problem.working_msw,
                    positions: seats.collect(),
                    tasks: problem
                        .tasks
                        .first()
                        .map(|_| (0, to - from))
                        .into_iter()
                        .collect(),
                });
                (at, n) = (at + every_s, n + 1);
            }
        }
        rota.runs.sort_by_key(|t| t.first);
        let night = scenario.plan.night_s;
        RotaSample {
            subject: Subject::from(&scenario),
            verdict: check(&rota, &problem, &scenario.rules, &scenario.accepted),
            sums: sums(&rota, &problem),
            worth: Some(Worth {
                useful_s: 3_600_000,
                bound_s: 3_900_000,
                wished_s: 3_700_000,
                done_s: None,
                earliest_s: None,
                wished_earliest_s: None,
            }),
            tired: tired(&problem, &rota, night),
            watches: watch_rest(scenario.plan.handover_s, 28).into(),
            under: Vec::new(),
            remarks: Vec::new(),
            provenance: Vec::new(),
            made_by: MadeBy::Search,
            scenario,
            problem,
            rota,
        }
    }

    /// As the papers want it.
    pub fn inputs(&self) -> RotaInputs<'_> {
        RotaInputs {
            subject: &self.subject,
            problem: &self.problem,
            rota: &self.rota,
            made_by: &self.made_by,
            verdict: &self.verdict,
            progress: &self.sums.progress,
            divers: &self.sums.divers,
            bells: &self.sums.bells,
            fairness: self.sums.fairness,
            worth: self.worth,
            binding: &[],
            prices: &[],
            tired: &self.tired,
            watches: &self.watches,
            under: &self.under,
            remarks: &self.remarks,
            provenance: &self.provenance,
            work: deepstay_plant::Activity::WaterModerate,
            night_s: self.scenario.plan.night_s,
            units: Units::Metric,
        }
    }
}
