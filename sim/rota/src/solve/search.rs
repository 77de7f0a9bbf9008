//! The search: turns are laid by many policies (longest turn, hours kept or not, another length from some
//! turn on), and the best is kept. It can be stopped at any time and then gives the best so far.

use super::bound::slots;
use super::keep::shared_out;
use super::lay::{Policy, Table};
use super::setup::Setup;

/// Lengths of turns are tried this far apart, s.
const STEP_S: i64 = 300;
/// Offsets of kept hours are tried this far apart, s.
const OFFSET_S: i64 = 3600;
/// More turns than this are many: what is left to gain is searched for less closely.
const MANY_TURNS: usize = 40;
/// Time in the water of the busiest and the least busy crew that counts as even, s.
const EVEN_S: i64 = 3600;
/// Share of the time in the water that may be given up for evenness and preferred hours, where hours are
/// kept.
const GIVEN_UP: f64 = 0.01;

/// How far the search is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Found {
    /// Ways of laying tried.
    pub tried: u32,
    /// Time in the water of the best rota so far that serves the work, s.
    pub useful_s: i64,
    /// No legal rota has more, s.
    pub bound_s: i64,
    /// When the best rota so far has the work done, s.
    pub done_s: Option<i64>,
}

/// Policies one after the other, each for so many turns.
pub type Course = Vec<(usize, Policy)>;

/// A way of laying and what comes of it.
#[derive(Clone, Debug)]
pub struct Candidate {
    pub table: Table,
    /// How it was laid.
    pub course: Course,
    pub useful_s: i64,
    pub done_s: Option<i64>,
    /// Crews that live there and never go.
    idle: usize,
    unwanted: usize,
    spread_s: i64,
}

/// Keeps the best.
pub struct Search<'a, 'b> {
    pub setup: &'a Setup<'a>,
    go_on: &'b mut dyn FnMut(&Found) -> bool,
    pub bound_s: i64,
    pub earliest_s: Option<i64>,
    found: Vec<Candidate>,
    tried: u32,
    pub stopped: bool,
    /// Whether nothing more is to be gained.
    optimal: bool,
}

impl<'a, 'b> Search<'a, 'b> {
    pub fn new(
        setup: &'a Setup<'a>,
        (bound_s, earliest_s): (i64, Option<i64>),
        go_on: &'b mut dyn FnMut(&Found) -> bool,
    ) -> Search<'a, 'b> {
        Search {
            setup,
            go_on,
            bound_s,
            earliest_s,
            found: Vec::new(),
            tried: 0,
            stopped: false,
            optimal: false,
        }
    }

    /// Tries the policies from a table on; the best table, if any holds a turn.
    pub fn run(&mut self, start: &Table) -> Option<Table> {
        for kept in shared_out(self.setup, &start.kept) {
            let mut start = start.clone();
            start.kept = kept;
            if self.setup.problem.same_hours {
                self.kept_hours(&start);
            } else {
                self.free_hours(&start);
            }
            if self.stopped || self.optimal {
                break;
            }
        }
        self.best().map(|c| c.table.clone())
    }

    /// Shortest and longest turn of all that can be made, s.
    pub fn lengths(&self) -> Option<(i64, i64)> {
        let forms = || self.setup.forms.iter().flatten().flatten().flatten();
        let shortest = forms().map(|f| f.shortest_s()).min()?;
        Some((shortest, forms().map(|f| f.longest_s()).max()?))
    }

    fn kept_hours(&mut self, start: &Table) {
        let Some((shortest_s, longest_s)) = self.lengths() else {
            return;
        };
        let rounds = self.setup.problem.bells.iter().map(|b| b.turnaround_s());
        let turnaround_s = rounds.max().unwrap_or(0);
        for step_s in slots() {
            let cap_s = (step_s - turnaround_s).min(longest_s);
            if cap_s < shortest_s {
                break;
            }
            let mut offsets: Vec<i64> = (0..step_s / OFFSET_S).map(|i| i * OFFSET_S).collect();
            // The hour at which the first can go.
            let clock = self.setup.problem.start_second_of_day + self.setup.problem.first_s;
            offsets.push(clock.rem_euclid(step_s));
            offsets.extend(self.setup.crews.iter().flat_map(|c| &c.windows).map(|w| {
                let lead_s = self
                    .setup
                    .problem
                    .bells
                    .iter()
                    .map(|b| b.lead_s)
                    .max()
                    .unwrap_or(0);
                (self.setup.problem.start_second_of_day + w.span.from_s + lead_s).rem_euclid(step_s)
            }));
            offsets.sort_unstable();
            offsets.dedup();
            for offset_s in offsets {
                for &cap_s in &self.caps(step_s, shortest_s, cap_s) {
                    let policy = Policy {
                        cap_s,
                        slots: Some((offset_s, step_s)),
                        patience_s: 0,
                        scarce_first: false,
                    };
                    if !self.lay(start.clone(), &[], &policy) {
                        return;
                    }
                }
            }
        }
    }

    /// Lengths of turns at kept hours: the slot's, and those after which rest ends just when a slot begins.
    fn caps(&self, step_s: i64, shortest_s: i64, cap_s: i64) -> Vec<i64> {
        let rests = self.setup.depths.iter().map(|l| l.rest.s);
        let rest_s = rests.min().unwrap_or(0);
        let mut caps = vec![cap_s];
        let rested = (1..=2 * 86_400 / step_s).map(|k| k * step_s - rest_s);
        caps.extend(rested.filter(|c| (shortest_s..cap_s).contains(c)));
        caps
    }

    fn free_hours(&mut self, start: &Table) {
        let Some((shortest_s, longest_s)) = self.lengths() else {
            return;
        };
        let mut caps: Vec<i64> = (0..)
            .map(|i| longest_s - i * STEP_S)
            .take_while(|c| *c >= shortest_s)
            .collect();
        caps.push(shortest_s);
        let mut best_cap_s = longest_s;
        for &cap_s in &caps {
            for patience_s in [0, 1800, 4 * 3600] {
                let before = self.best().map(|c| c.useful_s);
                let policy = Policy {
                    cap_s,

                    slots: None,
                    patience_s,
                    scarce_first: false,
                };
                if !self.lay(start.clone(), &[], &policy) {
                    return;
                }
                if self.best().map(|c| c.useful_s) > before {
                    best_cap_s = cap_s;
                }
            }
        }
        for first_cap_s in [best_cap_s, longest_s] {
            self.another_length(start, first_cap_s, &caps);
        }
    }

    /// Another length from some turn on.
    fn another_length(&mut self, start: &Table, first_cap_s: i64, caps: &[i64]) {
        let policy = |cap_s| Policy {
            cap_s,
            slots: None,
            patience_s: 0,
            scarce_first: false,
        };
        let mut begun = start.clone();
        let sparse = if self.best().is_some_and(|c| c.table.laid.len() > MANY_TURNS) {
            5
        } else {
            1
        };
        while begun.step(self.setup, &policy(first_cap_s)) {
            if !begun.laid.len().is_multiple_of(sparse) {
                continue;
            }
            for &cap_s in caps.iter().filter(|c| **c != first_cap_s) {
                let had = (begun.laid.len() - start.laid.len(), policy(first_cap_s));
                if !self.lay(begun.clone(), &[had], &policy(cap_s)) {
                    return;
                }
            }
        }
    }

    /// Lays by a policy, where work takes qualifications with that work first as well. False when there is nothing more to be gained, or the caller says stop.
    fn lay(&mut self, table: Table, had: &[(usize, Policy)], policy: &Policy) -> bool {
        let scarce = self
            .setup
            .tasks
            .iter()
            .any(|t| !t.qualifications.is_empty());
        let other = Policy {
            scarce_first: true,
            ..policy.clone()
        };
        (!scarce || self.lay_once(table.clone(), had, &other)) && self.lay_once(table, had, policy)
    }

    fn lay_once(&mut self, mut table: Table, had: &[(usize, Policy)], policy: &Policy) -> bool {
        table.fill(self.setup, policy);
        let mut course = had.to_vec();
        course.push((usize::MAX, policy.clone()));
        if !table.laid.is_empty() {
            let candidate = self.judged(table, course);
            self.keep(candidate);
        }
        self.tell()
    }

    /// Tells the caller how far it is. False when there is nothing more to be gained, or he says stop.
    pub fn tell(&mut self) -> bool {
        self.tried += 1;
        let best = self.best();
        let found = Found {
            tried: self.tried,
            useful_s: best.map_or(0, |c| c.useful_s),
            bound_s: self.bound_s,
            done_s: best.and_then(|c| c.done_s),
        };
        // Of many turns two parts in a thousand of the bound are as good as the bound.
        let many = best.is_some_and(|c| c.table.laid.len() > MANY_TURNS);
        let near_s = if many { self.bound_s / 500 } else { 0 };
        let optimal = match (found.done_s, self.earliest_s) {
            (Some(done), Some(earliest)) => done <= earliest + 60,
            _ => self.bound_s - found.useful_s <= near_s,
        };
        // Where hours are kept, evenness and preferred hours are looked for as well.
        let even = |c: &Candidate| (c.idle, c.unwanted) == (0, 0) && c.spread_s < EVEN_S;
        let settled = !self.setup.problem.same_hours || best.is_some_and(even);
        if optimal && settled {
            self.optimal = true;
            return false;
        }
        if !(self.go_on)(&found) {
            self.stopped = true;
        }
        !self.stopped
    }

    pub fn judged(&self, table: Table, course: Course) -> Candidate {
        let problem = self.setup.problem;
        let mut unwanted = 0;
        let mut bottom_s = vec![0; self.setup.crews.len()];
        for l in &table.laid {
            bottom_s[l.crew] += l.bottom_s;
            let members = self.setup.crews[l.crew].members.iter();
            unwanted += members.filter(|d| !problem.likes(**d, l.first)).count();
        }
        let table_idle = match table.all_done_s() {
            Some(_) => 0,
            None => table.had.iter().filter(|had| had.is_empty()).count(),
        };
        let spread_s = bottom_s.iter().max().unwrap_or(&0) - bottom_s.iter().min().unwrap_or(&0);
        Candidate {
            useful_s: table.useful_s(),
            done_s: table.all_done_s(),
            table,
            idle: table_idle,
            course,
            unwanted,
            spread_s,
        }
    }

    pub fn keep(&mut self, candidate: Candidate) {
        // Where nothing may be given up, only the best is of use.
        if !self.setup.problem.same_hours {
            let better = |old: &Candidate| rank(&candidate) < rank(old);
            if self.found.first().is_none_or(better) {
                self.found = vec![candidate];
            }
            return;
        }
        self.found.push(candidate);
    }

    pub fn best(&self) -> Option<&Candidate> {
        let best = self.found.iter().min_by_key(|c| rank(c))?;
        let near = self.found.iter().filter(|c| {
            c.idle <= best.idle
                && match (best.done_s, c.done_s) {
                    (Some(b), Some(d)) => {
                        (d - b) as f64 <= GIVEN_UP * (b - self.setup.problem.first_s) as f64
                    }
                    (Some(_), None) => false,
                    _ => c.useful_s as f64 >= (1.0 - GIVEN_UP) * best.useful_s as f64,
                }
        });
        near.min_by_key(|c| (c.unwanted, c.spread_s / EVEN_S, rank(c)))
    }
}

/// Nobody idle first, then sooner done before more useful time, evener before less even.
pub fn rank(c: &Candidate) -> (usize, i64, i64, i64, usize) {
    let done_s = c.done_s.unwrap_or(i64::MAX);
    let useful_s = if c.done_s.is_some() { 0 } else { c.useful_s };
    (c.idle, done_s, -useful_s, c.spread_s, c.unwanted)
}
