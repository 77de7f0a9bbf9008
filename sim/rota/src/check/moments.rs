//! When what happens in a bell run, as planned: each document starts and stops its clocks at moments of its own. Of a run
//! that was made the record says when they came.

use crate::types::{Bell, BellRun, Problem};
use deepstay_rules::RunMoment;
use deepstay_scenario::lengths::{self, phase};

/// The moments of one run, s.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Moments {
    /// The check sheet is begun.
    pub checks_s: i64,
    /// The divers are sealed in.
    pub sealed_in_s: i64,
    /// The clamp is loosened.
    pub clamp_off_s: i64,
    /// The bell is clamped to its trunk again.
    pub clamped_on_s: i64,
    /// The trunk is at the chamber's pressure.
    pub ready_s: i64,
    /// The divers are in their chamber.
    pub home_s: i64,
}

/// The clamp loosened to the first diver in the water, s, beside the way down.
const CLAMP_OFF_TO_OUT_S: i64 = phase::CLAMP_S + phase::REST_S + phase::HAT_S;

impl Moments {
    /// Those of a run of a rota, by the lengths of its bell's phases.
    pub fn planned(run: &BellRun, problem: &Problem) -> Moments {
        problem
            .bell(run.bell)
            .map_or_else(|| Moments::alone(run), |bell| Moments::of(run, bell))
    }

    /// Those of a run in a bell.
    pub fn of(run: &BellRun, bell: &Bell) -> Moments {
        let home_s = bell.tail_s.min(lengths::tail_s(run.depth_msw));
        let unclamp_s = (bell.out_s - CLAMP_OFF_TO_OUT_S).max(0);
        Moments {
            checks_s: run.first - bell.lead_s,
            clamp_off_s: (run.first + unclamp_s).min(run.last),
            ready_s: run.last + (home_s - phase::TRANSFER_S).max(0),
            home_s: run.last + home_s,
            ..Moments::alone(run)
        }
    }

    /// Those of a run in no bell that is known: nothing is around it.
    fn alone(run: &BellRun) -> Moments {
        Moments {
            checks_s: run.first,
            sealed_in_s: run.first,
            clamp_off_s: run.first,
            clamped_on_s: run.last,
            ready_s: run.last,
            home_s: run.last,
        }
    }

    /// The second of a moment.
    pub fn at_s(&self, moment: RunMoment) -> i64 {
        match moment {
            RunMoment::Checks => self.checks_s,
            RunMoment::SealedIn => self.sealed_in_s,
            RunMoment::ClampOff => self.clamp_off_s,
            RunMoment::ClampedOn => self.clamped_on_s,
            RunMoment::ReadyToTransfer => self.ready_s,
            RunMoment::Home => self.home_s,
        }
    }
}

/// How far a moment of a run lies outside its turn, from sealed in to clamped on again, s: of those that come before the
/// bell is away counted from sealed in, below nothing before it; of the others from clamped on.
pub fn past_turn_s(bell: &Bell, depth_msw: f64, moment: RunMoment) -> i64 {
    const LONG_S: i64 = 86_400;
    let run = BellRun {
        bell: bell.id,
        first: 0,
        last: LONG_S,
        depth_msw,
        positions: Vec::new(),
        tasks: Vec::new(),
    };
    let at_s = Moments::of(&run, bell).at_s(moment);
    match moment {
        RunMoment::Checks | RunMoment::SealedIn | RunMoment::ClampOff => at_s,
        RunMoment::ClampedOn | RunMoment::ReadyToTransfer | RunMoment::Home => at_s - LONG_S,
    }
}
