//! What a rota adds up to: each diver's hours and rests, each bell's use, each task's completion, and how
//! even it is. For any rota, whoever made it.

use super::answer::{BellSums, DiverSums, Fairness, Progress};
use super::types::{Problem, Role, Rota, Span};
use deepstay_core::units::DiverId;

/// The night of a turn by the ship's clock, s: 00:00 to 06:00 (house rule of the rota).
const NIGHT_S: (i64, i64) = (0, 6 * 3600);

/// All sums.
#[derive(Clone, Debug, PartialEq)]
pub struct Sums {
    /// Each diver's, in the order of the crew.
    pub divers: Vec<DiverSums>,
    /// Each bell's.
    pub bells: Vec<BellSums>,
    /// Each task's completion.
    pub progress: Vec<Progress>,
    /// How even it is.
    pub fairness: Fairness,
}

/// Adds up a rota.
pub fn sums(rota: &Rota, problem: &Problem) -> Sums {
    let ids = (0u8..).map(DiverId).take(problem.divers.len());
    let divers: Vec<DiverSums> = ids.map(|d| of_diver(rota, problem, d)).collect();
    Sums {
        fairness: Fairness::of(&divers),
        divers,
        bells: bells(rota, problem),
        progress: progress(rota, problem),
    }
}

fn of_diver(rota: &Rota, problem: &Problem, diver: DiverId) -> DiverSums {
    let mut turns: Vec<_> = rota
        .runs
        .iter()
        .filter_map(|t| t.position_of(diver).map(|s| (t, s)))
        .collect();
    turns.sort_by_key(|(t, _)| (t.first, t.last));
    let count = |of: &dyn Fn(&(&super::BellRun, &super::Position)) -> bool| {
        turns.iter().filter(|t| of(t)).count() as u32
    };
    let rests = turns.windows(2).map(|w| w[1].0.first - w[0].0.last);
    DiverSums {
        diver,
        runs: turns.len() as u32,
        bellman: count(&|(_, s)| s.role == Role::Bellman),
        nights: count(&|(t, _)| 2 * at_night_s(problem, t.span()) > t.span().length_s()),
        water_s: turns.iter().map(|(_, s)| s.wet_s()).sum(),
        bell_s: turns.iter().map(|(t, _)| t.span().length_s()).sum(),
        shortest_rest_s: rests.min(),
        unwanted: count(&|(t, _)| !problem.likes(diver, t.first)),
    }
}

/// Time of a span between midnight and six of the ship's clock, s.
fn at_night_s(problem: &Problem, span: Span) -> i64 {
    let midnight = |day: i64| day * 86_400 - problem.start_second_of_day;
    let days = problem.day(span.from_s)..=problem.day(span.to_s);
    days.map(|d| span.shared_s(Span::new(midnight(d) + NIGHT_S.0, midnight(d) + NIGHT_S.1)))
        .sum()
}

fn bells(rota: &Rota, problem: &Problem) -> Vec<BellSums> {
    let of = |b: &super::Bell| {
        let turns = || rota.runs.iter().filter(|t| t.bell == b.id);
        let horizon = Span::new(problem.first_s, problem.last_s);
        let down: i64 = b.down.iter().map(|d| d.shared_s(horizon)).sum();
        BellSums {
            bell: b.id,
            runs: turns().count() as u32,
            away_s: turns().map(|t| t.span().length_s()).sum(),
            bottom_s: turns().map(super::BellRun::bottom_s).sum(),
            open_s: horizon.length_s() - down,
        }
    };
    problem.bells.iter().map(of).collect()
}

fn progress(rota: &Rota, problem: &Problem) -> Vec<Progress> {
    let mut order: Vec<_> = rota.runs.iter().collect();
    order.sort_by_key(|t| (t.last, t.first));
    let of = |(k, task): (usize, &super::Task)| {
        let needed_s = task.needed_s(problem.weather_share);
        let mut given_s = 0;
        let mut done_s = None;
        for turn in &order {
            given_s += turn
                .tasks
                .iter()
                .filter(|(t, _)| *t == k)
                .map(|(_, s)| s)
                .sum::<i64>();
            if given_s >= needed_s && done_s.is_none() {
                done_s = Some(turn.last);
            }
        }
        Progress {
            given_s,
            needed_s,
            done_s,
        }
    };
    problem.tasks.iter().enumerate().map(of).collect()
}
