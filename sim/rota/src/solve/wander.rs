//! The search that goes on where a small gap is asked for: from the best so far a stretch of turns is laid by
//! another policy, and what comes of it is kept where it is no worse. It ends when the gap is reached or the
//! caller says stop; which stretches are tried is drawn from one stream of one seed, so that the same patience
//! gives the same rota.

use super::lay::{Policy, Table};
use super::search::{Candidate, Course, Search, rank};
use crate::answer::Worth;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// Stream of the stretches; it has its own seed.
const STREAM: u64 = 101;
/// Lengths of turns differ by whole steps, s.
const STEP_S: i64 = 60;
/// Longest stretch laid another way, turns.
const LONGEST: usize = 24;

impl Search<'_, '_> {
    /// Goes on from the best so far until no more than this share may be missing, 0 to 1.
    pub fn wander(&mut self, start: &Table, gap: f64) -> Option<Table> {
        let mut rng = ChaCha8Rng::from_seed([7; 32]);
        rng.set_stream(STREAM);
        let mut here = self.best().cloned();
        while let Some(from) = here.take() {
            if self.stopped || self.gap(self.best()?) <= gap {
                break;
            }
            let course = self.another(&from, &mut rng);
            let mut table = start.clone();
            table.kept.bells.clone_from(&from.table.kept.bells);
            for (turns, policy) in &course {
                let mut laid = 0;
                while laid < *turns && table.step(self.setup, policy) {
                    laid += 1;
                }
            }
            let next = self.judged(table, course);
            let good = !next.table.laid.is_empty() && rank(&next) <= rank(&from);
            if good && self.best().is_none_or(|b| rank(&next) < rank(b)) {
                self.keep(next.clone());
            }
            here = Some(if good { next } else { from });
            self.tell();
        }
        self.best().map(|c| c.table.clone())
    }

    /// Share that may be missing to the best there can be.
    fn gap(&self, candidate: &Candidate) -> f64 {
        let worth = Worth {
            useful_s: candidate.useful_s,
            bound_s: self.bound_s,
            wished_s: self.bound_s,
            done_s: candidate.done_s,
            earliest_s: self.earliest_s,
            wished_earliest_s: self.earliest_s,
        };
        worth.gap(self.setup.problem.first_s)
    }

    /// A course like the candidate's with one stretch laid by another policy.
    fn another(&self, candidate: &Candidate, rng: &mut ChaCha8Rng) -> Course {
        let turns = candidate.table.laid.len().max(1);
        let mut below = |n: usize| {
            let u = ((rng.next_u64() >> 11) as f64 + 0.5) / (1u64 << 53) as f64;
            ((u * n as f64) as usize).min(n.saturating_sub(1))
        };
        let from = below(turns);
        let to = from + 1 + below(LONGEST.min(turns));
        let mut single: Vec<Policy> = Vec::with_capacity(to);
        let mut course = candidate.course.iter();
        let mut current = course.next();
        let mut used = 0;
        for _ in 0..turns.max(to) {
            while current.is_some_and(|(n, _)| used >= *n) {
                (current, used) = (course.next(), 0);
            }
            let Some((_, policy)) = current else { break };
            single.push(policy.clone());
            used += 1;
        }
        let Some(last) = candidate.course.last().map(|(_, p)| p.clone()) else {
            return candidate.course.clone();
        };
        let (shortest_s, longest_s) = self.lengths().unwrap_or((0, last.cap_s));
        let steps = usize::try_from((longest_s - shortest_s) / STEP_S).unwrap_or(0) + 1;
        let kind = below(3);
        let cap_s = shortest_s + below(steps) as i64 * STEP_S;
        let patience_s = [0, 1800, 4 * 3600, 8 * 3600][below(4)];
        for policy in single.iter_mut().take(to).skip(from) {
            match kind {
                // At kept hours no turn is longer than its slot leaves room for.
                0 if policy.slots.is_none() || cap_s < policy.cap_s => policy.cap_s = cap_s,
                1 => policy.patience_s = patience_s,
                _ => policy.scarce_first = !policy.scarce_first,
            }
        }
        let mut course: Course = Vec::new();
        for policy in single {
            match course.last_mut() {
                Some((n, before)) if *before == policy => *n += 1,
                _ => course.push((1, policy)),
            }
        }
        course.push((usize::MAX, last));
        course
    }
}
