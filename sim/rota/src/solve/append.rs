//! Turns beside others that stand: one made of given divers, and more after the last for work left over.

use super::crews::{Crew, together};
use super::form::Form;
use super::lay::{Laid, Table};
use super::search::Search;
use super::seats::seated;
use super::setup::Setup;
use crate::types::{BellRun, Problem, Role};
use deepstay_core::units::{CompartmentId, DiverId};

/// A turn of these divers, in order of leaving the bell; none where it holds no work.
pub fn seated_run(
    problem: &Problem,
    bell: CompartmentId,
    members: &[DiverId],
    depth_msw: f64,
    first: i64,
    last: i64,
) -> Option<BellRun> {
    let place = problem.bells.iter().position(|b| b.id == bell)?;
    let limits = problem.limits_at(depth_msw)?;
    let form = Form::new(members.len(), &problem.bells[place], limits, &problem.house);
    let bottom_s = form.inside(last - first)?.bottom_s;
    let crew = Crew {
        members: members.to_vec(),
        windows: together(problem, members),
    };
    let setup = Setup::with_crews(problem, vec![crew]);
    let depth = problem
        .limits
        .iter()
        .position(|l| std::ptr::eq(l, limits))?;
    setup.form(0, place, depth)?;
    let laid = Laid {
        crew: 0,
        bell: place,
        depth,
        first,
        last,
        bottom_s,
        tasks: Vec::new(),
    };
    seated(&setup, &[laid], &mut vec![0; problem.divers.len()]).pop()
}

/// The turns, and more after the last of them for the work they leave undone.
pub fn append(turns: &[BellRun], problem: &Problem, now_s: i64) -> Vec<BellRun> {
    let mut all = turns.to_vec();
    if problem.tasks.is_empty() {
        return all;
    }
    let setup = Setup::new(problem);
    let mut table = Table::new(&setup, now_s.max(problem.first_s));
    table.resume(&setup, turns);
    let before = table.laid.len();
    let mut go_on = |_: &super::Found| true;
    let best = Search::new(&setup, (i64::MAX / 8, None), &mut go_on).run(&table);
    let Some(best) = best else { return all };
    let mut been = vec![0; problem.divers.len()];
    for t in turns {
        for s in t.positions.iter().filter(|s| s.role == Role::Bellman) {
            been[s.diver.index()] += 1;
        }
    }
    all.extend(seated(
        &setup,
        best.laid.get(before..).unwrap_or(&[]),
        &mut been,
    ));
    all.sort_by_key(|t| (t.first, t.bell));
    all
}
