//! Where rules bind: how many turns stand at each limit, and by how much the bound would rise if the limit
//! were half an hour kinder.

use super::bound::most_water_s;
use super::setup::Setup;
use crate::answer::LimitingRule;
use crate::limits::{Limits, house_rule};
use crate::rule::RuleName;
use crate::types::{Problem, Rota};
use deepstay_core::units::DiverId;

/// A turn stands at a limit when it is nearer than this, s.
const AT_LIMIT_S: i64 = 60;
/// How much kinder, s.
const KINDER_S: i64 = 1800;

/// Each rule with the turns at its limit and the gain; those that neither bind nor gain are left out.
pub fn binding(setup: &Setup, rota: &Rota, bound_s: i64) -> Vec<LimitingRule> {
    let problem = setup.problem;
    let mut all: Vec<LimitingRule> = Vec::new();
    let Some(limits) = problem.limits.first() else {
        return all;
    };
    let mut put = |rule: RuleName, turns: usize, kinder: Problem| {
        let setup = Setup::new(&kinder);
        let rises_s = most_water_s(&setup, kinder.first_s, kinder.last_s);
        let wanted_s: i64 = setup.needed_s.iter().sum();
        let gain_s = rises_s.min(wanted_s) - bound_s;
        if turns > 0 || gain_s > 0 {
            all.push(LimitingRule {
                rule,
                runs: u32::try_from(turns).unwrap_or(u32::MAX),
                gain_s: gain_s.max(0),
            });
        }
    };
    let with = |change: &dyn Fn(&mut Limits)| {
        let mut kinder = problem.clone();
        kinder.limits.iter_mut().for_each(change);
        kinder
    };
    put(
        limits.bell_run.rule.clone(),
        long_runs(problem, rota),
        with(&|l| l.bell_run.s += KINDER_S),
    );
    let kinder_water = with(&|l| {
        l.in_water.s += KINDER_S;
        if let Some(long) = &mut l.long_water {
            long.s += KINDER_S;
        }
    });
    put(
        limits.in_water.rule.clone(),
        long_water(problem, rota),
        kinder_water,
    );
    put(
        limits.rest.rule.clone(),
        short_rests(problem, rota),
        with(&|l| l.rest.s = (l.rest.s - KINDER_S).max(0)),
    );
    if let Some((_, rule)) = &limits.runs_per_day {
        let more = with(&|l| {
            if let Some((n, _)) = &mut l.runs_per_day {
                *n = n.saturating_add(1);
            }
        });
        put(rule.clone(), day_apart(problem, rota), more);
    }
    let mut quicker = problem.clone();
    for bell in &mut quicker.bells {
        bell.lead_s -= KINDER_S.min(bell.turnaround_s() - bell.tail_s);
    }
    let words = "half an hour less between two runs of a bell".to_owned();
    put(
        house_rule("turnaround", words),
        short_rounds(problem, rota),
        quicker,
    );
    all
}

fn limits_of(problem: &Problem, depth_msw: f64) -> Option<&Limits> {
    problem.limits_at(depth_msw)
}

fn long_runs(problem: &Problem, rota: &Rota) -> usize {
    let at = |t: &&crate::types::BellRun| {
        limits_of(problem, t.depth_msw)
            .is_some_and(|l| t.span().length_s() + AT_LIMIT_S >= l.bell_run.s)
    };
    rota.runs.iter().filter(at).count()
}

fn long_water(problem: &Problem, rota: &Rota) -> usize {
    let at = |t: &&crate::types::BellRun| {
        let Some(l) = limits_of(problem, t.depth_msw) else {
            return false;
        };
        t.positions.iter().any(|s| {
            let whole_s = s
                .wet
                .first()
                .zip(s.wet.last())
                .map_or(0, |(a, b)| b.to_s - a.from_s);
            let plain = s.wet.len() == 1 && s.wet_s() + AT_LIMIT_S >= l.in_water.s;
            plain
                || l.long_water
                    .as_ref()
                    .is_some_and(|long| whole_s + AT_LIMIT_S >= long.s)
        })
    };
    rota.runs.iter().filter(at).count()
}

/// Gaps between a diver's turns that pass a test; each counts for the later turn.
fn gaps(
    problem: &Problem,
    rota: &Rota,
    test: impl Fn(&crate::types::BellRun, &crate::types::BellRun) -> bool,
) -> usize {
    let mut tight = vec![false; rota.runs.len()];
    for d in (0u8..).map(DiverId).take(problem.divers.len()) {
        let mine: Vec<usize> = (0..rota.runs.len())
            .filter(|&i| rota.runs[i].position_of(d).is_some())
            .collect();
        for pair in mine.windows(2) {
            tight[pair[1]] |= test(&rota.runs[pair[0]], &rota.runs[pair[1]]);
        }
    }
    tight.into_iter().filter(|t| *t).count()
}

fn short_rests(problem: &Problem, rota: &Rota) -> usize {
    gaps(problem, rota, |a, b| {
        limits_of(problem, b.depth_msw).is_some_and(|l| b.first - a.last <= l.rest.s + AT_LIMIT_S)
    })
}

fn day_apart(problem: &Problem, rota: &Rota) -> usize {
    gaps(problem, rota, |a, b| {
        b.first - a.first <= 86_400 + AT_LIMIT_S
    })
}

fn short_rounds(problem: &Problem, rota: &Rota) -> usize {
    let of = |b: &crate::types::Bell| {
        let turns: Vec<_> = rota.runs.iter().filter(|t| t.bell == b.id).collect();
        turns
            .windows(2)
            .filter(|w| w[1].first - w[0].last <= b.turnaround_s() + AT_LIMIT_S)
            .count()
    };
    problem.bells.iter().map(of).sum()
}
