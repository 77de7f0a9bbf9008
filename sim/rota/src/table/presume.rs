//! When the divers of a turn are taken to be in the water where a file does not say: as long as the bell
//! is at depth, all at once where a bellman stays in it, else one after the other in the order of the
//! lines. A presumption, told wherever it was made.

use crate::types::{BellRun, Problem, Role, Span};

/// A turn that was read, with what its lines left open.
#[derive(Debug)]
pub(super) struct Placed {
    /// The line of its first seat.
    pub line: usize,
    /// The turn; seats without a span in the water may be waiting for one.
    pub turn: BellRun,
    /// For each seat: nothing said; spans said; a length said, s.
    pub lengths: Vec<Option<Option<i64>>>,
    /// Tasks, with the time in the water for each where it is said, s.
    pub tasks: Vec<(usize, Option<i64>)>,
}

/// Fills in the time in the water and the tasks' shares; says what it presumed.
pub(super) fn presume(problem: &Problem, turns: &mut [Placed]) -> Vec<String> {
    let (mut unsaid, mut lengths, mut shared) = (0, 0, 0);
    for placed in turns {
        let turn = &mut placed.turn;
        let Some(bell) = problem.bell(turn.bell) else {
            continue;
        };
        let from = (turn.first + bell.way_out_s(turn.depth_msw)).min(turn.last);
        let to = (turn.last - bell.way_home_s(turn.depth_msw)).max(from);
        let divers = turn
            .positions
            .iter()
            .filter(|s| s.role == Role::Diver)
            .count() as i64;
        let tended = divers < turn.positions.len() as i64;
        let share = if tended || divers == 0 {
            to - from
        } else {
            ((to - from) - (divers - 1) * bell.change_s).max(0) / divers
        };
        let mut at = from;
        for (seat, said) in turn.positions.iter_mut().zip(&placed.lengths) {
            if seat.role == Role::Bellman && said.is_none() {
                continue;
            }
            let length = match said {
                Some(None) => {
                    at = seat
                        .wet
                        .last()
                        .map_or(at, |w| at.max(w.to_s + bell.change_s));
                    continue;
                }
                Some(Some(length)) => {
                    lengths += 1;
                    *length
                }
                None => {
                    unsaid += 1;
                    share
                }
            };
            let start = if tended { from } else { at };
            let end = (start + length).min(turn.last);
            if end > start {
                seat.wet = vec![Span::new(start, end)];
            }
            at = end + bell.change_s;
        }
        let wet = turn.bottom_s();
        let said: i64 = placed.tasks.iter().filter_map(|(_, s)| *s).sum();
        let open = placed.tasks.iter().filter(|(_, s)| s.is_none()).count() as i64;
        shared += open;
        turn.tasks = placed
            .tasks
            .iter()
            .map(|(task, s)| {
                (
                    *task,
                    s.unwrap_or_else(|| ((wet - said).max(0)) / open.max(1)),
                )
            })
            .collect();
    }
    let mut remarks = Vec::new();
    let seats = |n: i32| {
        if n == 1 {
            "1 position".to_owned()
        } else {
            format!("{n} positions")
        }
    };
    if unsaid > 0 {
        remarks.push(format!(
            "The file does not say when {} is in the water: presumed from the bell's arrival to its leaving the \
             bottom, all divers at once where a bellman tends them, else in equal shares one after the other.",
            seats(unsaid)
        ));
    }
    if lengths > 0 {
        remarks.push(format!(
            "The file says how long and not when {} is in the water: presumed from the bell's arrival on.",
            seats(lengths)
        ));
    }
    if shared > 0 {
        remarks.push("The file does not say how long each task is worked at: the bell run's time in the water is shared evenly.".into());
    }
    remarks
}
