//! By which day something came in each job, and the chances by day over all of them: the one count for gases and absorbent.

use super::{Chance, ChanceDay, Replicate};

const DAY_S: i64 = 86_400;

/// The first days by whose end the stock of one job was below a minimum, and had stopped the work or could not be drawn;
/// none: never.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FirstDays {
    /// Below a minimum.
    pub minimum: Option<u32>,
    /// Below what cannot be drawn, or the work stopped.
    pub stopped: Option<u32>,
}

/// Whether dives are to come at the end of a day of a job.
pub fn dives_to_come(job: &Replicate, day: usize) -> bool {
    day as i64 * DAY_S < job.last_dive_s
}

type Met<'a> = &'a dyn Fn(&Replicate, usize) -> bool;

/// Chances that two things have been met by the end of each day.
pub fn chances(jobs: &[Replicate], days: usize, minimum: Met, stopped: Met) -> Vec<ChanceDay> {
    chances_of(&first_days(jobs, days, minimum, stopped), days)
}

pub(super) fn first_days(
    jobs: &[Replicate],
    days: usize,
    minimum: Met,
    stopped: Met,
) -> Vec<FirstDays> {
    let first = |met: Met, job: &Replicate| {
        let day = (0..=days).find(|d| met(job, *d))?;
        Some(day as u32)
    };
    let of = |job: &Replicate| FirstDays {
        minimum: first(minimum, job),
        stopped: first(stopped, job),
    };
    jobs.iter().map(of).collect()
}

pub(super) fn chances_of(first: &[FirstDays], days: usize) -> Vec<ChanceDay> {
    let by = |of: fn(&FirstDays) -> Option<u32>, day: u32| {
        let came = first.iter().filter(|f| of(f).is_some_and(|f| f <= day));
        Chance::of(came.count() as u64, first.len() as u64)
    };
    (0..=days as u32)
        .map(|day| ChanceDay {
            day,
            minimum: by(|f| f.minimum, day),
            stopped: by(|f| f.stopped, day),
        })
        .collect()
}
