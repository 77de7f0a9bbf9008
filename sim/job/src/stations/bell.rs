//! A bell between runs: pressed before its first run, started when its turn has come and the sea, the
//! level and the check sheet allow, and stood down after its last.

use super::banks::Banks;
use super::bell_gas;
use super::context::Look;
use super::house_figures::SURFACE_MSW;
use super::house_figures::bell as lengths;
use super::layout::BellLayout;
use super::relieve::{self, BellFound};
use super::run::{Run, run_number};
use super::transit::both_m3;
use super::trunk;
use crate::course::{self, Sea};
use deepstay_core::record::{Phase, Refused, Station, Stopped, ValveName, What, Whereabouts};
use deepstay_core::units::{CompartmentId, Purpose};
use deepstay_scenario::lengths::whole_s;
use deepstay_scenario::{BellRun, LevelDo, Slip};
use serde::{Deserialize, Serialize};

/// Where a bell stands.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Stage {
    /// On its trunk at the surface.
    Cold,
    /// Being pressed with its trunk, nobody inside.
    Pressing,
    /// On its trunk at depth, trunk door shut.
    Ready,
    /// On a run.
    Running(Run),
    /// Being vented with its trunk after the last run.
    StandDown,
}

/// State of a bell.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct BellState {
    bell: usize,
    /// Next run in the plan's list.
    next: usize,
    /// By how much the runs have slipped, s.
    shift_s: i64,
    /// When the run before came home, s.
    home_s: i64,
    stage: Stage,
    /// It was found pressed, and nothing has been set in it yet.
    to_warm: bool,
    /// Its next run waits for the sea.
    waits: bool,
}

impl BellState {
    /// On its trunk at the surface.
    pub fn new(bell: usize) -> BellState {
        BellState {
            bell,
            next: 0,
            shift_s: 0,
            home_s: 0,
            stage: Stage::Cold,
            to_warm: false,
            waits: false,
        }
    }

    /// Goes on from how the bell is found, after somebody else sat here. A run that stands where it was left goes on;
    /// else whoever is in the bell, or out of it, is brought home.
    pub fn find_its_feet(&mut self, look: &mut Look) {
        let kit = look.kit;
        let at = &kit.layout.bells[self.bell];
        let found = relieve::find_bell(look, at);
        if let Stage::Running(run) = &mut self.stage
            && run.stands_as_left(found)
        {
            run.begin_phase_anew(look, at);
            return;
        }
        if found != BellFound::DiversOut {
            relieve::shut_bell(look, at);
        }
        if found == BellFound::Empty {
            let was_out = matches!(self.stage, Stage::Running(_));
            self.next += usize::from(was_out);
            self.home_s = look.now;
            let pressed = look.depth(at.bell) > SURFACE_MSW;
            self.stage = if pressed { Stage::Ready } else { Stage::Cold };
            return;
        }
        let runs = &kit.scenario.plan.bell_runs;
        if self.planned(look).is_none() {
            let mine = |r: &BellRun| r.bell == at.bell;
            let Some(last) = runs.iter().rposition(mine) else {
                // No run is planned for it: there is nothing here that could bring it home.
                look.write(What::Refused {
                    station: Station::Dive,
                    why: Refused::NoSuchThing,
                });
                return;
            };
            self.next = last;
        }
        self.go_home(look, at, found, Stopped::Handover);
    }

    /// Which bell it is.
    pub fn which(&self, look: &Look) -> CompartmentId {
        look.kit.layout.bells[self.bell].bell
    }

    /// The run under way ends, and whoever is in the bell or out of it is brought home.
    pub fn bring_home(&mut self, look: &mut Look) {
        let kit = look.kit;
        let at = &kit.layout.bells[self.bell];
        let found = relieve::find_bell(look, at);
        let comes_home = matches!(self.stage, Stage::Running(run) if run.is_homeward());
        if found == BellFound::Empty || comes_home || self.planned(look).is_none() {
            return;
        }
        if found != BellFound::DiversOut {
            relieve::shut_bell(look, at);
        }
        self.go_home(look, at, found, Stopped::Recalled);
    }

    fn go_home(&mut self, look: &mut Look, at: &BellLayout, found: BellFound, why: Stopped) {
        let planned = &look.kit.scenario.plan.bell_runs[self.next];
        let level = level_of_crew(look, at, planned);
        let run = Run::homeward(look, at, self.next, level, found, why);
        self.stage = Stage::Running(run);
    }

    /// Found on its trunk, pressed with it or not, with the run in the plan's list that comes next.
    pub fn found(mut self, pressed: bool, next: usize) -> BellState {
        self.next = next;
        if pressed {
            self.stage = Stage::Ready;
            self.to_warm = true;
        }
        self
    }

    /// The place in the plan's list of the run that it makes, or looks for the next from.
    pub fn next_run(&self) -> usize {
        self.next
    }

    /// The runs from a place in the plan's list on are others, none of them late.
    pub fn planned_anew(&mut self, from: usize) {
        self.next = self.next.min(from);
        self.shift_s = 0;
        self.waits = false;
    }

    /// Looks and acts.
    pub fn act(&mut self, look: &mut Look, banks: &mut Banks) {
        let kit = look.kit;
        let at = &kit.layout.bells[self.bell];
        if std::mem::take(&mut self.to_warm)
            && let Some((_, planned)) = self.planned(look)
        {
            bell_gas::warm(look, at.bell, planned.depth_msw);
        }
        match self.stage {
            Stage::Cold | Stage::Ready => self.wait(look, at, banks),
            Stage::Pressing => self.press(look, at, banks),
            Stage::Running(mut run) => {
                let planned = &kit.scenario.plan.bell_runs[self.next];
                let over = run.act(look, at, planned, banks);
                self.stage = Stage::Running(run);
                if over {
                    self.home(look);
                }
            }
            Stage::StandDown => {
                if trunk::empty(look, at.bell) {
                    look.valve(ValveName::Exhaust(at.bell), 0.0, Purpose::TrunkVent);
                    self.stage = Stage::Cold;
                }
            }
        }
        let running = matches!(self.stage, Stage::Running(_));
        let open = at
            .trunk_doors
            .iter()
            .any(|&(door, _)| look.panel.open(door));
        let word = &mut look.board.bells[self.bell];
        word.running = running;
        word.trunk_open = open;
    }

    /// The next run of this bell, if one is left.
    fn planned<'a>(&mut self, look: &Look<'a>) -> Option<(usize, &'a BellRun)> {
        let kit = look.kit;
        let bell = kit.layout.bells[self.bell].bell;
        let runs = &kit.scenario.plan.bell_runs;
        while runs.get(self.next).is_some_and(|r| r.bell != bell) {
            self.next += 1;
        }
        runs.get(self.next).map(|r| (self.next, r))
    }

    fn wait(&mut self, look: &mut Look, at: &BellLayout, banks: &mut Banks) {
        let Some((number, planned)) = self.planned(look) else {
            if self.stage == Stage::Ready {
                for &(door, _) in &at.trunk_doors {
                    look.door(door, false);
                }
                bell_gas::let_cool(look, at.bell);
                self.stage = Stage::StandDown;
                let soon = look.now + 1;
                look.wake(soon);
            }
            return;
        };
        let due = planned.at + self.shift_s;
        let level = level_of(look, planned);
        let held = level
            .is_some_and(|s| look.board.levels[s].held && !look.board.levels[s].wants_bell_away);
        if self.stage == Stage::Cold {
            if held && look.now >= due - 6 * 3600 {
                bell_gas::warm(look, at.bell, planned.depth_msw);
                self.stage = Stage::Pressing;
                let soon = look.now + 1;
                look.wake(soon);
            } else if look.now < due {
                let later = if held { due - 6 * 3600 } else { due };
                look.wake(later);
            } else {
                self.not_ready(look, number, due, level);
            }
            return;
        }
        if look.now < due {
            look.wake(due);
            return;
        }
        if !held {
            self.not_ready(look, number, due, level);
            return;
        }
        let over_limit = look.panel.hs_m() > look.kit.scenario.site.launch_limit_hs_m;
        match course::sea(look.kit.scenario.plan.slip, over_limit, self.waits) {
            Sea::Goes => self.waits = false,
            Sea::Waits => {
                self.waits = true;
                let later = look.now + course::LOOK_AGAIN_S;
                look.wake(later);
                return;
            }
            Sea::Loses => {
                self.lost(look, number, Stopped::Weather);
                return;
            }
        }
        let takes_s = whole_s(planned, &look.kit.scenario.steel);
        let fits = |from_s: i64| level.is_none_or(|s| !leaves_before(look, s, from_s + takes_s));
        if !fits(look.now) {
            let held_up = fits(due) && self.home_s > due;
            let why = if held_up {
                Stopped::Late
            } else {
                Stopped::Leaves
            };
            self.lost(look, number, why);
            return;
        }
        self.shift_s = match look.kit.scenario.plan.slip {
            Slip::Shift => look.now - planned.at,
            Slip::Skip | Slip::Replan => self.shift_s,
        };
        let mut run = Run::begin(look, at, number, planned, level.unwrap_or(0));
        run.act(look, at, planned, banks);
        self.stage = Stage::Running(run);
        look.desk.ring = true;
    }

    /// The level is not held, or not where the plan wants it: wait a while, then the turn is lost.
    fn not_ready(&mut self, look: &mut Look, number: usize, due: i64, level: Option<usize>) {
        let word = level.map(|s| look.board.levels[s]);
        let leaves = word.is_some_and(|w| w.phase == Phase::Decompression || w.wants_bell_away);
        let why = match level {
            Some(s) if aborted(look, s) => Stopped::Abort,
            _ if leaves => Stopped::Leaves,
            _ => Stopped::NotAtDepth,
        };
        let hopeless = word.map(|w| w.phase) == Some(Phase::Decompression)
            || (word.is_none() && look.now > due);
        if hopeless {
            self.lost(look, number, why);
        } else if look.now > due + lengths::LATEST_S {
            self.slip(look, number, why);
        } else {
            let later = look.now + 300;
            look.wake(later);
        }
    }

    /// What the scenario's rule makes of a turn that cannot start.
    fn slip(&mut self, look: &mut Look, number: usize, why: Stopped) {
        match look.kit.scenario.plan.slip {
            Slip::Skip | Slip::Replan => self.lost(look, number, why),
            Slip::Shift => {
                let later = look.now + course::LOOK_AGAIN_S;
                look.wake(later);
            }
        }
    }

    fn lost(&mut self, look: &mut Look, number: usize, why: Stopped) {
        let bell = look.kit.layout.bells[self.bell].bell;
        look.write(What::BellStopped {
            bell,
            run: run_number(number),
            why,
        });
        self.next += 1;
        self.waits = false;
        let soon = look.now + 1;
        look.wake(soon);
    }

    fn press(&mut self, look: &mut Look, at: &BellLayout, banks: &mut Banks) {
        let Some((number, planned)) = self.planned(look) else {
            trunk::shut(look, at.bell);
            self.stage = Stage::Ready;
            return;
        };
        let Some(level) = level_of(look, planned) else {
            trunk::shut(look, at.bell);
            let due = planned.at + self.shift_s;
            self.not_ready(look, number, due, None);
            return;
        };
        for &(door, _) in &at.trunk_doors {
            look.door(door, false);
        }
        if let Some(door) = at.bottom {
            look.door(door, false);
        }
        if let Some(hatch) = at.hatch {
            look.door(hatch, true);
        }
        let depth_msw = look.depth(look.home(level));
        if !bell_gas::supply(look, at, depth_msw, banks) {
            trunk::shut(look, at.bell);
            let later = look.now + 60;
            look.wake(later);
            return;
        }
        if trunk::equalise(look, at.bell, both_m3(look, at), depth_msw) {
            self.stage = Stage::Ready;
            let soon = look.now + 1;
            look.wake(soon);
        }
    }

    fn home(&mut self, look: &mut Look) {
        self.next += 1;
        self.home_s = look.now;
        self.stage = Stage::Ready;
        look.desk.ring = true;
        let soon = look.now + 1;
        look.wake(soon);
    }
}

/// The level in which a run's divers are now.
fn level_of(look: &Look, planned: &BellRun) -> Option<usize> {
    let first = *planned.divers.first()?;
    match look.panel.whereabouts(first) {
        Whereabouts::In(c) => look.kit.layout.level_of(c),
        _ => None,
    }
}

/// Whether a level is planned to leave its depth before a second.
fn leaves_before(look: &Look, level: usize, end: i64) -> bool {
    look.kit.scenario.plan.levels[level]
        .steps
        .iter()
        .any(|s| s.at > look.now && s.at < end && !matches!(s.what, LevelDo::Press(_)))
}

/// Whether the plan breaks a level's job off at or before now.
fn aborted(look: &Look, level: usize) -> bool {
    look.kit.scenario.plan.levels[level]
        .steps
        .iter()
        .any(|s| s.at <= look.now && s.what == LevelDo::Abort)
}

/// The level to which those in a bell, or out of it, belong: that of the run's divers by their beds.
fn level_of_crew(look: &Look, at: &BellLayout, planned: &BellRun) -> usize {
    let aboard = look.crew().find(|d| {
        let to = look.panel.whereabouts(*d);
        to == Whereabouts::In(at.bell) || to == Whereabouts::Water(at.bell)
    });
    let diver = aboard.or(planned.divers.first().copied());
    let bed = diver.map(|d| look.kit.scenario.crew[d.index()].chamber);
    bed.and_then(|c| look.kit.layout.level_of(c)).unwrap_or(0)
}
