//! What each failure of a spread does while nobody acts: what shows it first, what rings, when a limit is truly
//! crossed and when somebody comes to harm. Nothing of it is written down anywhere: from one second of a job it goes
//! on twice, with the failure and without, with nobody at either station, and what differs is told.
//!
//! What shows nothing so is tried once more with the automatic watch at work in both, for some failures show only to
//! those who use what failed.
//!
//! For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current
//! document, the company's approved manual and the licensed people on the job decide.

mod course;
mod failures;
mod first;
mod moment;
mod seen;

pub use failures::failures;
pub use moment::{HalfDone, Moment, NoMoment};
pub use seen::{Sign, Way};

use super::clock::{Harm, Job, Options};
use super::ended::{Ended, Halt};
use course::{Course, Run};
use deepstay_core::fault::FaultKind;
use deepstay_core::record::Sitter;
use deepstay_core::record::{Fitness, HarmCause, LimitName};
use deepstay_core::units::DiverId;
use first::First;
use std::num::NonZeroUsize;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicUsize, Ordering};

/// When something came, s after the failure; and when it came without the failure, where it did.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Came<T> {
    /// What.
    pub what: T,
    /// With the failure.
    pub after_s: i64,
    /// Without it.
    pub without_s: Option<i64>,
}

/// How somebody came to harm.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Hurt {
    /// Who.
    pub diver: DiverId,
    /// Confused, out or dead.
    pub to: Fitness,
    /// Of what.
    pub cause: HarmCause,
}

/// What shows a failure first.
#[derive(Clone, Debug, PartialEq)]
pub enum Shows {
    /// It shows though nobody acts.
    ByItself(Came<Sign>),
    /// It shows only with the automatic watch at work.
    AtWork(Came<Sign>),
    /// Neither shows it within the time.
    Nothing,
}

/// What one failure does.
#[derive(Clone, Debug, PartialEq)]
pub struct Effect {
    /// The failure.
    pub fault: FaultKind,
    /// What shows it first.
    pub shows: Shows,
    /// The alarms that ring for it, in order of time.
    pub rings: Vec<Came<LimitName>>,
    /// The limits that are truly crossed for it, in order of time.
    pub crossed: Vec<Came<LimitName>>,
    /// The first who is confused, out or dead for it.
    pub hurt: Option<Came<Hurt>>,
    /// How long it was followed, s: until somebody was hurt, or the whole time.
    pub followed_s: i64,
    /// The job that ended before its time, and how.
    pub ended: Option<Ended>,
}

impl Effect {
    /// Whether it neither shows nor rings nor harms.
    pub fn is_none(&self) -> bool {
        self.shows == Shows::Nothing
            && self.rings.is_empty()
            && self.crossed.is_empty()
            && self.hurt.is_none()
    }
}

/// The same hours without a failure, while nobody acts.
#[derive(Clone, Debug, PartialEq)]
pub struct Untouched {
    /// The alarms that ring, in order of time.
    pub rings: Vec<Came<LimitName>>,
    /// The limits that are truly crossed, in order of time.
    pub crossed: Vec<Came<LimitName>>,
    /// The first who comes to harm: what is tried ends then.
    pub hurt: Option<Came<Hurt>>,
}

/// A second of a job, and what goes on from it without a failure.
pub struct Effects {
    start: Job,
    within_s: i64,
    alone: Course,
    at_work: OnceLock<Course>,
}

impl Effects {
    /// Of a job as it stands: failures are followed for so many seconds at the most, and no longer than it takes for
    /// somebody to come to harm without any.
    pub fn from(job: &Job, within_s: i64) -> Effects {
        let start = job.fork(job.options(), None);
        let within_s = within_s.min(start.scenario().plan.end_s - start.now());
        let mut run = Run::of(start.fork(nobody(), None));
        let alone = Course::of(&mut run, within_s, true);
        Effects {
            within_s: alone.lasts_s(),
            start,
            alone,
            at_work: OnceLock::new(),
        }
    }

    /// How long a failure is followed at the most, s.
    pub fn within_s(&self) -> i64 {
        self.within_s
    }

    /// What comes without a failure.
    pub fn untouched(&self) -> Untouched {
        let none = First::default();
        let first = self.alone.first();
        let now_s = self.start.now();
        Untouched {
            rings: first.rings_beyond(&none, now_s),
            crossed: first.crossed_beyond(&none, now_s),
            hurt: first.hurt_beyond(&none, now_s),
        }
    }

    /// What each of some failures does, in their order, on as many threads as the machine has; of those that were
    /// begun while `go_on` said yes. `one_done` is told of each.
    pub fn of_each(
        &self,
        failures: &[FaultKind],
        go_on: &(dyn Fn() -> bool + Sync),
        one_done: &(dyn Fn() + Sync),
    ) -> Vec<Effect> {
        let next = AtomicUsize::new(0);
        let work = || {
            let mut mine = Vec::new();
            while go_on() {
                let k = next.fetch_add(1, Ordering::Relaxed);
                let Some(failure) = failures.get(k) else {
                    break;
                };
                mine.push((k, self.of(failure)));
                one_done();
            }
            mine
        };
        let threads = std::thread::available_parallelism().map_or(1, NonZeroUsize::get);
        let mut all = std::thread::scope(|scope| {
            let workers: Vec<_> = (1..threads).map(|_| scope.spawn(work)).collect();
            let mut all = work();
            for worker in workers {
                match worker.join() {
                    Ok(mine) => all.extend(mine),
                    Err(fault) => std::panic::resume_unwind(fault),
                }
            }
            all
        });
        all.sort_by_key(|(k, _)| *k);
        all.into_iter().map(|(_, effect)| effect).collect()
    }

    /// What a failure does.
    pub fn of(&self, fault: &FaultKind) -> Effect {
        let now_s = self.start.now();
        let mut run = Run::of(self.start.fork(nobody(), Some(*fault)));
        let (sign, halt) = self.alone.beside(&mut run, |first| first.anybody_hurt());
        let (mine, without) = (run.first(), self.alone.first());
        let sign = sooner(sign, mine.heard_beyond(without, now_s));
        let shows = match sign {
            Some(sign) => Shows::ByItself(sign),
            None => self.with_the_watch(fault),
        };
        Effect {
            fault: *fault,
            shows,
            rings: mine.rings_beyond(without, now_s),
            crossed: mine.crossed_beyond(without, now_s),
            hurt: mine.hurt_beyond(without, now_s),
            followed_s: run.now() - now_s,
            ended: match halt {
                Halt::Ended(ended) => Some(ended),
                Halt::Reached => None,
            },
        }
    }

    /// What shows a failure to the automatic watch, which uses what stands idle while nobody acts.
    fn with_the_watch(&self, fault: &FaultKind) -> Shows {
        let now_s = self.start.now();
        let both = self.start.options().stations(Sitter::Automatic);
        let both = both.harm(Harm::GoesOn);
        let at_work = self.at_work.get_or_init(|| {
            let mut run = Run::of(self.start.fork(both, None));
            Course::of(&mut run, self.within_s, false)
        });
        let mut run = Run::of(self.start.fork(both, Some(*fault)));
        let mut heard = None;
        let (seen, _) = at_work.beside(&mut run, |first| {
            heard = first.heard_beyond(at_work.first(), now_s);
            heard.is_some()
        });
        sooner(seen, heard).map_or(Shows::Nothing, Shows::AtWork)
    }
}

/// Nobody at either station; whoever comes to harm, it goes on.
fn nobody() -> Options {
    let options = Options::default().stations(Sitter::Nobody);
    options.harm(Harm::GoesOn)
}

fn sooner(a: Option<Came<Sign>>, b: Option<Came<Sign>>) -> Option<Came<Sign>> {
    match (a, b) {
        (Some(a), Some(b)) => Some(if b.after_s < a.after_s { b } else { a }),
        (a, b) => a.or(b),
    }
}
