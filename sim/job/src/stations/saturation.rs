//! Saturation control: the station that keeps the chambers. It goes through its levels, then through the
//! routine of the day.

use super::banks::Banks;
use super::board::Board;
use super::calibrate::Calibrate;
use super::context::{Kit, Look};
use super::daily::Daily;
use super::handover::Handover;
use super::hrc::HrcCheck;
use super::hygiene::{self, Hygiene};
use super::level::LevelState;
use super::locks::LockState;
use super::moves::Moves;
use super::panel::{Desk, Panel};
use super::timetables::Timetables;
use crate::random::{Draw, Streams};
use deepstay_core::record::{self, Refused, Station};
use deepstay_core::units::CompartmentId;
use deepstay_scenario::{LevelStands, Scenario};
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// What is kept for one level besides its depth.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
struct Routine {
    hygiene: Hygiene,
    calibrate: Calibrate,
    hrc: HrcCheck,
    locks: Vec<LockState>,
    /// How long lock runs take.
    lock_takes: Draw,
}

/// The station. Its state can be saved; after a restore [`SaturationControl::attach`] gives it the scenario again.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct SaturationControl {
    #[serde(skip)]
    kit: Option<Arc<Kit>>,
    #[serde(skip)]
    timetables: Timetables,
    levels: Vec<LevelState>,
    routine: Vec<Routine>,
    banks: Banks,
    handover: Handover,
    daily: Daily,
    moves: Moves,
    /// Somebody else has sat here since it last looked.
    displaced: bool,
}

impl SaturationControl {
    /// The station at the start of a scenario.
    pub fn new(scenario: &Arc<Scenario>) -> SaturationControl {
        let kit = Kit::new(Arc::clone(scenario));
        let layouts = &kit.layout.levels;
        let streams = Streams::new(scenario.seed);
        let levels = layouts
            .iter()
            .enumerate()
            .map(|(i, s)| {
                let hand_takes = streams.named(&format!("how long a hand takes, level {i}"), 0);
                let rounds = streams.named(&format!("times of rounds, level {i}"), 0);
                LevelState::new(i, s.members.len(), hand_takes, rounds)
            })
            .collect();
        let routine = layouts
            .iter()
            .enumerate()
            .map(|(i, s)| {
                let times = |of: &str| streams.named(&format!("times of {of}, level {i}"), 0);
                Routine {
                    hygiene: Hygiene::new(times("the day")),
                    calibrate: Calibrate::new(times("calibration")),
                    hrc: HrcCheck::new(times("the HRC's check")),
                    locks: vec![LockState::default(); s.locks.len()],
                    lock_takes: times("lock runs"),
                }
            })
            .collect();
        SaturationControl {
            kit: Some(kit),
            timetables: Timetables::default(),
            levels,
            routine,
            banks: Banks::default(),
            handover: Handover::new(streams.named("times of handover, saturation", 0)),
            daily: Daily::default(),
            moves: Moves::default(),
            displaced: false,
        }
    }

    /// Somebody else has sat here: at its next look it finds its feet.
    pub fn displaced(&mut self) {
        self.displaced = true;
    }

    /// The station of a job that is taken up: each level is found doing something, with the step of the plan that comes
    /// next, and so many transfers are over.
    pub fn found(
        scenario: &Arc<Scenario>,
        levels: &[(LevelStands, usize)],
        moves_over: usize,
    ) -> SaturationControl {
        let mut station = SaturationControl::new(scenario);
        let fresh = std::mem::take(&mut station.levels);
        let found = |(level, &(stands, step)): (LevelState, _)| level.found(stands, step);
        station.levels = fresh.into_iter().zip(levels).map(found).collect();
        station.moves = Moves::found(moves_over);
        station
    }

    /// What each level does, in the plan's order.
    pub fn stands(&self) -> impl Iterator<Item = LevelStands> + '_ {
        self.levels.iter().map(LevelState::stands)
    }

    /// Gives the station the scenario again after a restore.
    pub fn attach(&mut self, scenario: &Arc<Scenario>) {
        self.kit = Some(Kit::new(Arc::clone(scenario)));
        self.timetables = Timetables::default();
    }

    /// Looks at the panel and acts. It is called at the first whole second at which its `wake_at` is reached
    /// or one of its triggers is met, or when the other station rang.
    pub fn act(&mut self, panel: &dyn Panel, board: &mut Board, desk: &mut Desk) {
        let Some(kit) = self.kit.clone() else { return };
        let mut look = Look::at(&kit, panel, board, desk);
        if std::mem::take(&mut self.displaced) {
            self.find_its_feet(&mut look);
        }
        for level in &mut self.levels {
            level.act(&mut look, &mut self.banks, &mut self.timetables);
        }
        for (i, (level, routine)) in self.levels.iter_mut().zip(&mut self.routine).enumerate() {
            if level.pressed() {
                routine.calibrate.act(&mut look, i);
                routine.hrc.act(&mut look, i);
                let waits = level.keeps_apart();
                routine.hygiene.act(&mut look, i, &mut routine.locks, waits);
            }
            for _ in 0..level.absorbent_to_bring() {
                hygiene::bring_in(&mut routine.locks, &kit.layout.levels[i].locks);
            }
            for (state, lock) in routine.locks.iter_mut().zip(&kit.layout.levels[i].locks) {
                let allowed =
                    level.steady() && !level.keeps_apart() && look.is_joined(i, lock.chamber);
                state.act(&mut look, lock, allowed, &mut routine.lock_takes);
            }
        }
        hygiene::tanks(&mut look);
        self.daily.act(&mut look);
        self.moves.act(&mut look, &mut self.banks);
        let status_of = kit.layout.levels.first().map(|s| s.living);
        self.handover.act(&mut look, Station::Saturation, status_of);
    }

    /// A hand at a lock is asked for a run through it.
    pub fn ask_run(
        &mut self,
        lock: CompartmentId,
        routine: record::Routine,
    ) -> Result<(), Refused> {
        let kit = self.kit.as_ref().ok_or(Refused::NoSuchThing)?;
        let levels = self.routine.iter_mut().zip(&kit.layout.levels);
        let mut locks =
            levels.flat_map(|(routine, level)| routine.locks.iter_mut().zip(&level.locks));
        let state = locks.find(|(_, layout)| layout.lock == lock);
        let (state, _) = state.ok_or(Refused::NoSuchThing)?;
        if state.is_full() {
            return Err(Refused::Busy);
        }
        state.ask(routine);
        Ok(())
    }

    /// Whether a run through a lock is under way or waits.
    pub fn a_lock_runs(&self) -> bool {
        let mut locks = self.routine.iter().flat_map(|r| &r.locks);
        locks.any(LockState::runs)
    }

    /// Whoever sits down here now has not asked for the runs that are under way: each lock is left as it stands.
    pub fn leave_locks(&mut self) {
        for state in self.routine.iter_mut().flat_map(|r| &mut r.locks) {
            *state = LockState::default();
        }
    }

    /// For a person who sits here: the hands at the locks go on with the runs they were asked for.
    pub fn run_locks(&mut self, panel: &dyn Panel, board: &mut Board, desk: &mut Desk) {
        let Some(kit) = self.kit.clone() else { return };
        let mut look = Look::at(&kit, panel, board, desk);
        for (routine, level) in self.routine.iter_mut().zip(&kit.layout.levels) {
            for (state, lock) in routine.locks.iter_mut().zip(&level.locks) {
                if state.runs() {
                    state.act(&mut look, lock, true, &mut routine.lock_takes);
                }
            }
        }
    }

    fn find_its_feet(&mut self, look: &mut Look) {
        let layouts = &look.kit.layout.levels;
        for (level, layout) in self.levels.iter_mut().zip(layouts) {
            level.sit_down_again(look, layout, &mut self.timetables);
        }
        for (routine, layout) in self.routine.iter_mut().zip(layouts) {
            for (state, lock) in routine.locks.iter_mut().zip(&layout.locks) {
                state.find_its_feet(look, lock);
            }
        }
        self.banks = Banks::default();
        self.moves.begin_anew();
    }
}
