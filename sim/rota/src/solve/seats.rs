//! Who is what in each turn: with two in the bell they take turns in leaving it first; with three the one
//! who has been bellman least stays, unless the work needs him in the water.

use super::lay::Laid;
use super::setup::Setup;
use crate::types::{BellRun, Position, Span};
use deepstay_core::units::DiverId;

/// Turns with their seats, in order of time. `been` is how often each diver has been bellman or second.
pub fn seated(setup: &Setup, laid: &[Laid], been: &mut [u32]) -> Vec<BellRun> {
    let mut order: Vec<&Laid> = laid.iter().collect();
    order.sort_by_key(|l| (l.first, l.bell));
    order
        .into_iter()
        .filter_map(|l| turn(setup, l, been))
        .collect()
}

fn turn(setup: &Setup, l: &Laid, been: &mut [u32]) -> Option<BellRun> {
    let problem = setup.problem;
    let limits = setup.depths[l.depth];
    let inside = setup
        .form(l.crew, l.bell, l.depth)?
        .inside(l.last - l.first)?;
    let order = order(setup, l, been);
    let mut seats = Vec::new();
    for (i, &diver) in order.iter().enumerate() {
        let moved = |spans: &Vec<Span>| -> Vec<Span> {
            spans
                .iter()
                .map(|s| Span::new(l.first + s.from_s, l.first + s.to_s))
                .collect()
        };
        let wet = inside.wet.get(i).map_or(Vec::new(), moved);
        seats.push(Position::of(diver, wet));
    }
    if let Some(last) = order.last() {
        been[last.index()] += 1;
    }
    let listed = !problem.tasks.is_empty();
    Some(BellRun {
        bell: problem.bells[l.bell].id,
        first: l.first,
        last: l.last,
        depth_msw: limits.depth_msw,
        positions: seats,
        tasks: if listed { l.tasks.clone() } else { Vec::new() },
    })
}

/// The crew in order of leaving the bell; the last is bellman, or second of two.
fn order(setup: &Setup, l: &Laid, been: &[u32]) -> Vec<DiverId> {
    let problem = setup.problem;
    let mut members = setup.crews[l.crew].members.clone();
    if members.len() == 2 {
        // Where time in the water counts in a sliding window, two keep their order.
        let keep = setup.depths[l.depth].water_window_s.is_some();
        if !keep && been[members[0].index()] < been[members[1].index()] {
            members.swap(0, 1);
        }
        return members;
    }
    let enough_without = |d: DiverId| {
        l.tasks.iter().all(|&(t, _)| {
            let wanted = &setup.tasks[t].qualifications;
            let has = |m: &DiverId| {
                wanted
                    .iter()
                    .all(|q| problem.divers[m.index()].qualifications.contains(q))
            };
            members.iter().filter(|m| **m != d).any(has)
        })
    };
    let able = members.iter().copied().filter(|&d| enough_without(d));
    let bellman = able
        .min_by_key(|d| (been[d.index()], d.0))
        .unwrap_or(members[members.len() - 1]);
    members.retain(|&m| m != bellman);
    members.push(bellman);
    members
}
