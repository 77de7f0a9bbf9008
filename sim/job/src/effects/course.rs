//! The course of a job from a second on, looked at ever less often, and another course held beside it: the first
//! second at which the two can be told apart.

use super::super::clock::Job;
use super::super::ended::Halt;
use super::Came;
use super::first::First;
use super::seen::{Seen, Sign};
use deepstay_core::record::NoRecord;

/// Looks come at least this share of the time since the beginning apart ...
const SHARE: i64 = 60;
/// ... and at most this long, s.
const LONGEST_S: i64 = 300;
/// A course keeps the job itself at every so many looks, to go on from there second by second.
const KEPT_EVERY: usize = 8;

/// A job that goes on, and when each thing came first in it.
pub(super) struct Run {
    job: Job,
    first: First,
}

impl Run {
    pub fn of(job: Job) -> Run {
        Run {
            job,
            first: First::default(),
        }
    }

    pub fn now(&self) -> i64 {
        self.job.now()
    }

    pub fn first(&self) -> &First {
        &self.first
    }

    fn to(&mut self, t_s: i64) -> Halt {
        self.job.advance_to(t_s, &mut self.first)
    }
}

/// The course of a job.
pub(super) struct Course {
    from_s: i64,
    looks: Vec<(i64, Seen)>,
    kept: Vec<Job>,
    first: First,
}

impl Course {
    /// Follows a job for so long; no longer than it takes for somebody to come to harm, where that ends it.
    pub fn of(run: &mut Run, within_s: i64, harm_ends: bool) -> Course {
        let from_s = run.now();
        let (mut looks, mut kept) = (vec![(from_s, Seen::of(&run.job))], Vec::new());
        while run.now() < from_s + within_s {
            if (looks.len() - 1).is_multiple_of(KEPT_EVERY) {
                kept.push(run.job.clone());
            }
            let gone_s = run.now() - from_s;
            let next_s = run.now() + (gone_s / SHARE).clamp(1, LONGEST_S);
            let halt = run.to(next_s.min(from_s + within_s));
            if halt != Halt::Reached || (harm_ends && run.first.anybody_hurt()) {
                break;
            }
            looks.push((run.now(), Seen::of(&run.job)));
        }
        Course {
            from_s,
            looks,
            kept,
            first: run.first.clone(),
        }
    }

    /// How long it was followed, s.
    pub fn lasts_s(&self) -> i64 {
        self.looks.last().map_or(0, |(at, _)| at - self.from_s)
    }

    pub fn first(&self) -> &First {
        &self.first
    }

    /// Follows another job that goes on from the same second, until it is to be left or the course ends: what tells
    /// the two apart first, and why it stopped.
    pub fn beside(
        &self,
        run: &mut Run,
        mut leave: impl FnMut(&First) -> bool,
    ) -> (Option<Came<Sign>>, Halt) {
        let mut told = None;
        let mut halt = Halt::Reached;
        for k in 1..self.looks.len() {
            let (at, without) = &self.looks[k];
            let before = told.is_none().then(|| run.job.clone());
            halt = run.to(*at);
            if let Some(before) = before
                && run.now() == *at
                && self.tells(&run.job, without)
            {
                told = self.first_second(before, k);
            }
            if halt != Halt::Reached || leave(&run.first) {
                break;
            }
        }
        (told, halt)
    }

    fn tells(&self, job: &Job, without: &Seen) -> bool {
        self.sign(job, without).is_some()
    }

    fn sign(&self, job: &Job, without: &Seen) -> Option<Sign> {
        let instruments = &job.plant().steel().instruments;
        Seen::of(job).differs(without, &self.looks[0].1, instruments)
    }

    /// Between two looks, second by second.
    fn first_second(&self, mut with: Job, k: usize) -> Option<Came<Sign>> {
        let mut without = self.kept[(k - 1) / KEPT_EVERY].clone();
        let _ = without.advance_to(with.now(), &mut NoRecord);
        let (end_s, _) = self.looks[k];
        while with.now() < end_s {
            let next_s = with.now() + 1;
            let _ = with.advance_to(next_s, &mut NoRecord);
            let _ = without.advance_to(next_s, &mut NoRecord);
            if let Some(what) = self.sign(&with, &Seen::of(&without)) {
                return Some(Came {
                    what,
                    after_s: with.now() - self.from_s,
                    without_s: None,
                });
            }
            if with.now() < next_s {
                return None;
            }
        }
        None
    }
}
