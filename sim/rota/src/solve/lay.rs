//! Lays turns one after the other, each as early as bell, crew and rules let it begin: the crew that can
//! begin first goes, of equals the one that has had least.

use super::keep::Kept;
use super::setup::Setup;
use crate::limits::Limits;
use crate::types::BellRun;

/// How turns are laid.
#[derive(Clone, Debug, PartialEq)]
pub struct Policy {
    /// Longest turn, s.
    pub cap_s: i64,
    /// Bells leave only at these seconds of the ship's day: the first, and how far apart, s.
    pub slots: Option<(i64, i64)>,
    /// Whether the crew that has had least goes before the one that can begin first, where they are no
    /// further apart than this, s.
    pub patience_s: i64,
    /// Whether work that takes a qualification goes before other work of the list.
    pub scarce_first: bool,
}

/// A turn as it is laid.
#[derive(Clone, Debug, PartialEq)]
pub struct Laid {
    pub crew: usize,
    pub bell: usize,
    /// Place in the setup's depths.
    pub depth: usize,
    pub first: i64,
    pub last: i64,
    /// Time in which someone is in the water, s.
    pub bottom_s: i64,
    /// Tasks with the time given to each, s.
    pub tasks: Vec<(usize, i64)>,
}

/// What is known while laying.
#[derive(Clone, Debug)]
pub struct Table {
    /// Turns so far, in order of laying.
    pub laid: Vec<Laid>,
    /// What crews keep to.
    pub kept: Kept,
    bell_free_s: Vec<i64>,
    /// For each crew the turns it has had.
    pub had: Vec<Vec<usize>>,
    bottom_s: Vec<i64>,
    /// What is left of each task, s, and when it was done.
    pub left_s: Vec<i64>,
    pub done_s: Vec<Option<i64>>,
}

/// A turn that could be laid next.
pub struct Next {
    pub crew: usize,
    pub bell: usize,
    pub depth: usize,
    pub first: i64,
    pub last: i64,
}

impl Table {
    /// Nothing laid; no bell leaves before `from_s`.
    pub fn new(setup: &Setup, from_s: i64) -> Table {
        Table {
            laid: Vec::new(),
            kept: Kept::new(setup.crews.len()),
            bell_free_s: vec![from_s; setup.problem.bells.len()],
            had: vec![Vec::new(); setup.crews.len()],
            bottom_s: vec![0; setup.crews.len()],
            left_s: setup.needed_s.clone(),
            done_s: vec![None; setup.tasks.len()],
        }
    }

    /// Takes over turns that stand: bells are free after the last of them, crews have had those that any of
    /// them was in, and their work is done.
    pub fn resume(&mut self, setup: &Setup, turns: &[BellRun]) {
        let bells = &setup.problem.bells;
        for turn in turns {
            let Some(bell) = bells.iter().position(|b| b.id == turn.bell) else {
                continue;
            };
            let known = |l: &&Limits| (l.depth_msw - turn.depth_msw).abs() < 1e-6;
            let Some(depth) = setup.depths.iter().position(known) else {
                continue;
            };
            self.bell_free_s[bell] =
                self.bell_free_s[bell].max(turn.last + bells[bell].turnaround_s());
            for (t, s) in turn
                .tasks
                .iter()
                .copied()
                .filter(|(t, _)| *t < setup.tasks.len())
            {
                self.left_s[t] -= s;
                if self.left_s[t] <= 0 && self.done_s[t].is_none() {
                    self.done_s[t] = Some(turn.last);
                }
            }
            for crew in 0..setup.crews.len() {
                let members = &setup.crews[crew].members;
                if members.iter().any(|m| turn.position_of(*m).is_some()) {
                    self.kept.went(setup, crew, bell, turn.first);
                    self.had[crew].push(self.laid.len());
                    self.laid.push(Laid {
                        crew,
                        bell,
                        depth,
                        first: turn.first,
                        last: turn.last,
                        bottom_s: turn.bottom_s(),
                        tasks: Vec::new(),
                    });
                    self.bottom_s[crew] += turn.bottom_s();
                }
            }
        }
    }

    /// Time in the water that serves the work, s.
    pub fn useful_s(&self) -> i64 {
        self.laid
            .iter()
            .flat_map(|l| &l.tasks)
            .map(|(_, s)| s)
            .sum()
    }

    /// When all work is done.
    pub fn all_done_s(&self) -> Option<i64> {
        self.done_s
            .iter()
            .copied()
            .collect::<Option<Vec<i64>>>()?
            .into_iter()
            .max()
    }

    /// Lays until nothing more fits or all is done.
    pub fn fill(&mut self, setup: &Setup, policy: &Policy) {
        while self.step(setup, policy) {}
    }

    /// Lays the next turn. False where nothing more fits or all is done.
    pub fn step(&mut self, setup: &Setup, policy: &Policy) -> bool {
        if self.left_s.iter().all(|&s| s <= 0) {
            return false;
        }
        let next = self.choose(setup, policy);
        if let Some(next) = &next {
            self.put(setup, policy, next);
        }
        next.is_some()
    }

    fn choose(&self, setup: &Setup, policy: &Policy) -> Option<Next> {
        let mut found: Vec<Next> = Vec::new();
        for crew in 0..setup.crews.len() {
            for bell in 0..setup.problem.bells.len() {
                for depth in 0..setup.depths.len() {
                    found.extend(self.earliest(setup, policy, (crew, bell, depth)));
                }
            }
        }
        let first = found.iter().map(|n| n.first).min()?;
        let near = found
            .into_iter()
            .filter(|n| n.first <= first + policy.patience_s);
        near.min_by_key(|n| {
            let order = self.first_task(setup, n.crew, n.depth, n.first);
            let unwanted = unwanted(setup, n);
            (
                unwanted,
                self.bottom_s[n.crew],
                order,
                n.first,
                n.bell,
                n.crew,
            )
        })
    }

    /// The earliest turn of a crew in a bell at a depth.
    fn earliest(
        &self,
        setup: &Setup,
        policy: &Policy,
        (crew, bell, depth): (usize, usize, usize),
    ) -> Option<Next> {
        let form = setup.form(crew, bell, depth)?;
        let problem = setup.problem;
        let fitted = &problem.bells[bell];
        let last_of_all = problem.last_s;
        let want_s = policy.cap_s.min(form.longest_s());
        let mut first = self.bell_free_s[bell].max(self.rested_s(setup, crew, depth, want_s, form));
        let mut spans = setup.crews[crew]
            .windows
            .iter()
            .filter(|w| w.reaches(bell))
            .filter(|w| self.kept.bells[crew].is_none_or(|own| own == bell || !w.reaches(own)))
            .filter(|w| problem.reaches(w.storage_msw, setup.depths[depth].depth_msw))
            .map(|w| w.span);
        loop {
            let window = spans.find(|w| w.to_s > first)?;
            let mut at = first.max(window.from_s + fitted.lead_s);
            while at < window.to_s {
                at = aligned(setup, policy, at);
                let may = policy.slots.is_none()
                    || self
                        .kept
                        .may_go(setup, (crew, bell, depth), policy.cap_s, at);
                if !may {
                    at += 1;
                    continue;
                }
                if let Some(down) = fitted.down.iter().find(|d| d.from_s <= at && at < d.to_s) {
                    at = down.to_s;
                    continue;
                }
                let next_down = fitted
                    .down
                    .iter()
                    .map(|d| d.from_s)
                    .filter(|s| *s > at)
                    .min();
                let end = (window.to_s - fitted.tail_s)
                    .min(last_of_all)
                    .min(next_down.unwrap_or(i64::MAX));
                let last = (at + want_s).min(end);
                if last - at >= form.shortest_s() {
                    let next = Next {
                        crew,
                        bell,
                        depth,
                        first: at,
                        last,
                    };
                    if self.first_task(setup, crew, depth, at).is_none() {
                        match self.next_release(at) {
                            Some(later) => {
                                at = later;
                                continue;
                            }
                            None => return None,
                        }
                    }
                    match self.window_wait(setup, &next) {
                        None => return Some(next),
                        Some(later) => {
                            at = later;
                            continue;
                        }
                    }
                }
                match next_down.filter(|d| *d < window.to_s) {
                    Some(down) => at = down,
                    None => break,
                }
            }
            first = window.to_s;
        }
    }

    /// The first task of the list that a crew can work at, at a depth and from a second on.
    fn first_task(&self, setup: &Setup, crew: usize, depth: usize, at_s: i64) -> Option<usize> {
        (0..setup.tasks.len()).find(|&t| {
            self.left_s[t] > 0
                && setup.depth_of[t] == depth
                && setup.can_give_s(t, crew, 3600) > 0
                && self.open(setup, t, at_s)
        })
    }

    fn open(&self, setup: &Setup, task: usize, at_s: i64) -> bool {
        setup.tasks[task]
            .after
            .iter()
            .all(|&b| self.done_s[b].is_some_and(|s| s <= at_s))
    }

    /// The next second after this one at which work becomes open by other work's end.
    fn next_release(&self, at_s: i64) -> Option<i64> {
        self.done_s
            .iter()
            .flatten()
            .copied()
            .filter(|s| *s > at_s)
            .min()
    }

    fn put(&mut self, setup: &Setup, policy: &Policy, next: &Next) {
        let Some(form) = setup.form(next.crew, next.bell, next.depth) else {
            return;
        };
        let Some(inside) = form.inside(next.last - next.first) else {
            return;
        };
        let bottom_s = inside.bottom_s;
        let mut given: Vec<(usize, i64)> = Vec::new();
        let mut room_s = bottom_s;
        let mut held_s = bottom_s;
        let mut last = next.last;
        let mut order: Vec<usize> = (0..setup.tasks.len()).collect();
        if policy.scarce_first {
            order.sort_by_key(|&t| setup.tasks[t].qualifications.is_empty());
        }
        for t in order {
            let can_s = setup.can_give_s(t, next.crew, bottom_s);
            if room_s <= 0 || can_s <= 0 || self.left_s[t] <= 0 || setup.depth_of[t] != next.depth {
                continue;
            }
            let inside_turn = |b: &usize| {
                self.done_s[*b].is_some_and(|s| s <= next.first)
                    || given.iter().any(|(g, _)| g == b) && self.left_s[*b] <= 0
            };
            let tended = setup.is_tended(next.crew, given.iter().map(|(g, _)| *g).chain([t]));
            if !setup.tasks[t].after.iter().all(inside_turn) || !tended {
                continue;
            }
            let mut give_s = self.left_s[t].min(room_s);
            if !setup.tasks[t].qualifications.is_empty() && can_s < bottom_s {
                give_s = give_s.min(can_s).min((held_s - bottom_s / 2).max(0));
                held_s -= give_s;
            }
            if give_s > 0 {
                self.left_s[t] -= give_s;
                room_s -= give_s;
                given.push((t, give_s));
            }
        }
        // The last turn of all ends when the work does.
        if self.left_s.iter().all(|&s| s <= 0) && room_s > 0 {
            let needed_s = (bottom_s - room_s).max(2 * (bottom_s - held_s));
            last = shorter(form, next.first, last, needed_s);
        }
        for &(t, _) in &given {
            if self.left_s[t] <= 0 {
                self.done_s[t] = Some(last);
            }
        }
        let bottom_s = form.inside(last - next.first).map_or(0, |i| i.bottom_s);
        self.kept.went(setup, next.crew, next.bell, next.first);
        self.had[next.crew].push(self.laid.len());
        self.bottom_s[next.crew] += bottom_s;
        let turnaround_s = setup.problem.bells[next.bell].turnaround_s();
        self.bell_free_s[next.bell] = last + turnaround_s;
        self.laid.push(Laid {
            crew: next.crew,
            bell: next.bell,
            depth: next.depth,
            first: next.first,
            last,
            bottom_s,
            tasks: given,
        });
    }
}

/// The earliest end of a turn that still holds so much time in the water.
fn shorter(form: &super::form::Form, first: i64, last: i64, bottom_s: i64) -> i64 {
    let (mut low, mut high) = (first + form.shortest_s(), last);
    while low < high {
        let middle = low + (high - low) / 2;
        let holds = form
            .inside(middle - first)
            .is_some_and(|i| i.bottom_s >= bottom_s);
        if holds {
            high = middle
        } else {
            low = middle + 1
        }
    }
    high
}

/// The first second at or after this one at which a bell may leave.
fn aligned(setup: &Setup, policy: &Policy, at_s: i64) -> i64 {
    let Some((offset_s, step_s)) = policy.slots else {
        return at_s;
    };
    let clock = setup.problem.start_second_of_day + at_s - offset_s;
    at_s + (-clock).rem_euclid(step_s)
}

/// How many of a crew would rather go at another hour.
fn unwanted(setup: &Setup, next: &Next) -> usize {
    let problem = setup.problem;
    let members = setup.crews[next.crew].members.iter();
    members.filter(|d| !problem.likes(**d, next.first)).count()
}
