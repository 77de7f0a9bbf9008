//! The second of a job from which failures are tried: with people in the chambers and, where the plan has bell runs,
//! in the water, and with nothing half done: no hand stands at an open valve that nobody would shut.

use super::super::clock::{Harm, Job, Options};
use super::super::ended::{Ended, Halt};
use deepstay_core::record::{
    AlarmState, BellPhase, Entry, LimitName, Phase, Sink, ValveName, What,
};
use deepstay_core::units::{CompartmentId, CompartmentKind, DoorId};
use deepstay_scenario::Scenario;
use std::collections::BTreeSet;
use std::sync::Arc;

/// How long divers have been out of the bell, or a chamber in storage, s (house figure).
const SETTLED_S: i64 = 900;
/// How long the job is followed in search of a second at which nothing is half done, s (house figure).
const SEARCHED_S: i64 = 1800;
/// Steps of the search, s.
const STEP_S: i64 = 10;
/// How long past its time the first bell run may begin, s (house figure); then chambers in storage must do.
const LATE_S: i64 = 3 * 86_400;

/// A job at the second from which failures are tried.
pub struct Moment {
    /// The job.
    pub job: Job,
    /// Alarms whose cause stands already.
    pub ringing: Vec<LimitName>,
    /// Valves of chambers, trunk, bell and locks that stand open, and doors of locks.
    pub open: HalfDone,
}

/// What a hand stands at, and would not be left so.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct HalfDone {
    /// Valves that stand open.
    pub valves: Vec<ValveName>,
    /// Doors of medical and equipment locks that stand open.
    pub doors: Vec<DoorId>,
}

impl HalfDone {
    /// Whether nothing is half done.
    pub fn is_empty(&self) -> bool {
        self.valves.is_empty() && self.doors.is_empty()
    }
}

/// Why there is no such second.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NoMoment {
    /// Whoever asked did not want to wait any longer.
    LeftOff,
    /// The job is over before.
    Over(Ended),
    /// Nobody is ever under pressure.
    NobodyPressed,
}

/// What is to be known of the job on its way there.
#[derive(Default)]
struct Seen {
    ringing: BTreeSet<LimitName>,
    stored_s: Option<i64>,
    out_s: Option<i64>,
}

impl Sink for Seen {
    fn take(&mut self, entry: Entry) {
        match entry.what {
            What::Alarm { name, state, .. } => match state {
                AlarmState::Unacknowledged | AlarmState::Acknowledged => {
                    self.ringing.insert(name);
                }
                AlarmState::ReturnedUnacknowledged | AlarmState::Latched | AlarmState::Normal => {
                    self.ringing.remove(&name);
                }
            },
            What::Phase {
                phase: Phase::Storage,
                ..
            } => self.stored_s = self.stored_s.or(Some(entry.at)),
            What::BellPhase {
                phase: BellPhase::FirstOut,
                ..
            } => self.out_s = self.out_s.or(Some(entry.at)),
            _ => {}
        }
    }
}

impl Moment {
    /// Runs a job under the automatic watch to the second asked for, or where none is to the first bell run's time in
    /// the water. `go_on` is told of each second that the job has come to.
    ///
    /// # Errors
    /// [`NoMoment`] where there is none.
    pub fn find(
        scenario: &Arc<Scenario>,
        at_s: Option<i64>,
        go_on: &dyn Fn(i64) -> bool,
    ) -> Result<Moment, NoMoment> {
        let options = Options::default().harm(Harm::GoesOn);
        let mut way = Way {
            job: Job::new(Arc::clone(scenario), options),
            seen: Seen::default(),
            go_on,
        };
        match at_s {
            Some(at_s) => way.go_to(at_s)?,
            None => way.dive()?,
        }
        let from_s = way.job.now();
        let as_asked = way.here();
        while !way.half_done().is_empty() && way.job.now() < from_s + SEARCHED_S {
            way.go_to(way.job.now() + STEP_S)?;
        }
        Ok(match way.half_done().is_empty() {
            true => way.here(),
            false => as_asked,
        })
    }
}

/// A job on its way to the second.
struct Way<'a> {
    job: Job,
    seen: Seen,
    go_on: &'a dyn Fn(i64) -> bool,
}

impl Way<'_> {
    fn go_to(&mut self, at_s: i64) -> Result<(), NoMoment> {
        while self.job.now() < at_s {
            if !(self.go_on)(self.job.now()) {
                return Err(NoMoment::LeftOff);
            }
            let next_s = at_s.min(self.job.now() + 3600);
            if let Halt::Ended(ended) = self.job.advance_to(next_s, &mut self.seen) {
                return Err(NoMoment::Over(ended));
            }
        }
        Ok(())
    }

    /// To the first bell run's time in the water, or where none is made to a chamber in storage.
    fn dive(&mut self) -> Result<(), NoMoment> {
        let first_s = self.job.scenario().plan.bell_runs.first().map(|r| r.at);
        let late_s = first_s.map_or(0, |s| s + LATE_S);
        let mut stored: Option<(Job, BTreeSet<LimitName>)> = None;
        loop {
            let settled = |since: Option<i64>| since.map(|s| s + SETTLED_S);
            if let Some(s) = settled(self.seen.out_s) {
                return self.go_to(s);
            }
            let stored_s = settled(self.seen.stored_s);
            if stored.is_none() && stored_s.is_some_and(|s| s <= self.job.now()) {
                stored = Some((self.job.clone(), self.seen.ringing.clone()));
            }
            let waits = first_s.is_some() && self.job.now() < late_s;
            if !waits && stored.is_some() {
                break;
            }
            match self.go_to(self.job.now() + 60) {
                Err(NoMoment::Over(_)) if stored.is_some() => break,
                Err(NoMoment::Over(_)) => return Err(NoMoment::NobodyPressed),
                other => other?,
            }
        }
        if let Some((job, ringing)) = stored {
            self.job = job;
            self.seen.ringing = ringing;
        }
        Ok(())
    }

    fn here(&self) -> Moment {
        Moment {
            job: self.job.clone(),
            ringing: self.seen.ringing.iter().copied().collect(),
            open: self.half_done(),
        }
    }

    /// What a hand stands at: a loop's tank is left to itself.
    fn half_done(&self) -> HalfDone {
        let (steel, positions) = (self.job.plant().steel(), self.job.plant().positions());
        let by_hand =
            |c: &CompartmentId| steel.compartments[c.index()].kind != CompartmentKind::ReclaimTank;
        let of_vessel = |c: CompartmentId| {
            [
                ValveName::BlowDown(c),
                ValveName::Oxygen(c),
                ValveName::Exhaust(c),
                ValveName::Bleed(c),
                ValveName::Drain(c),
            ]
        };
        let vessels = (0..steel.compartments.len() as u8).map(CompartmentId);
        let doors = (0..steel.doors.len() as u8).map(|d| ValveName::Equalise(DoorId(d)));
        let all = vessels.filter(by_hand).flat_map(of_vessel).chain(doors);
        let is_lock = |c: CompartmentId| {
            let kind = steel.compartments[c.index()].kind;
            kind == CompartmentKind::MedicalLock || kind == CompartmentKind::EquipmentLock
        };
        let of_locks = (0u8..)
            .map(DoorId)
            .zip(&steel.doors)
            .filter(|(_, door)| is_lock(door.a) || door.b.is_some_and(is_lock));
        HalfDone {
            valves: all.filter(|v| positions.valve_ordered(*v) > 0.0).collect(),
            doors: of_locks
                .map(|(id, _)| id)
                .filter(|id| positions.door_open(*id))
                .collect(),
        }
    }
}
