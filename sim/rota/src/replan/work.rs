//! Deals the work out again to turns that stand: what was begun keeps its work, the others get what is
//! open, in the order of the list, as far as their divers can do it.

use crate::types::{BellRun, Problem};

/// Deals out the work to the turns from a second on; turns are in order of time.
pub fn deal(turns: &mut [BellRun], problem: &Problem, now_s: i64) {
    let mut left_s: Vec<i64> = problem
        .tasks
        .iter()
        .map(|t| t.needed_s(problem.weather_share))
        .collect();
    let mut done_s: Vec<Option<i64>> = vec![None; left_s.len()];
    for turn in turns {
        if turn.first >= now_s {
            turn.tasks = share(turn, problem, &left_s, &done_s);
        }
        for &(t, s) in &turn.tasks {
            if let Some(left) = left_s.get_mut(t) {
                *left -= s;
                if *left <= 0 && done_s[t].is_none() {
                    done_s[t] = Some(turn.last);
                }
            }
        }
    }
}

/// What a turn can do of what is open.
fn share(
    turn: &BellRun,
    problem: &Problem,
    left_s: &[i64],
    done_s: &[Option<i64>],
) -> Vec<(usize, i64)> {
    let mut room_s = turn.bottom_s();
    let whole_s = room_s;
    let mut given: Vec<(usize, i64)> = Vec::new();
    let mut qualified_s = 0;
    let mut order: Vec<usize> = (0..problem.tasks.len()).collect();
    order.sort_by_key(|&t| problem.tasks[t].qualifications.is_empty());
    for t in order {
        let task = &problem.tasks[t];
        let open = task
            .after
            .iter()
            .all(|&b| done_s[b].is_some_and(|s| s <= turn.first));
        let here = (task.depth_msw - turn.depth_msw).abs() < 1e-6;
        if left_s[t] <= 0
            || room_s <= 0
            || !open
            || !here
            || turn.most_out() < usize::from(task.divers)
        {
            continue;
        }
        let mut give_s = left_s[t].min(room_s);
        if !task.qualifications.is_empty() {
            give_s = give_s.min((held_s(turn, problem, t).min(whole_s) - qualified_s).max(0));
            qualified_s += give_s;
        }
        if give_s > 0 {
            room_s -= give_s;
            given.push((t, give_s));
        }
    }
    given
}

/// For how long someone is in the water who holds all that a task asks for, s.
fn held_s(turn: &BellRun, problem: &Problem, task: usize) -> i64 {
    let holds = |d: deepstay_core::units::DiverId| {
        let diver = problem.divers.get(d.index());
        diver.is_some_and(|d| {
            problem.tasks[task]
                .qualifications
                .iter()
                .all(|q| d.qualifications.contains(q))
        })
    };
    let seats = turn
        .positions
        .iter()
        .filter(|s| holds(s.diver))
        .cloned()
        .collect();
    BellRun {
        positions: seats,
        ..turn.clone()
    }
    .bottom_s()
}
