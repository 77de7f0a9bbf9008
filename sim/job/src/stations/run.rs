//! One bell run, phase by phase: checks, transfer, seal, trunk vented, lowering, the divers out and
//! back, seal, recovery, mating, trunk pressed, transfer. Each phase waits for what the panel shows.

use super::asked;
use super::banks::Banks;
use super::bell_gas;
use super::context::Look;
use super::house_figures::{LOSS_MSW, bell as lengths};
use super::layout::BellLayout;
use super::loop_gas;
use super::relieve::BellFound;
use super::transit::{self, ShutIn, equalise_both, step_towards};
use super::trunk::{self, Joining};
use super::water::Water;
use deepstay_core::record::{BellPhase, Stopped, ValveName, What, Whereabouts};
use deepstay_core::units::*;
use deepstay_plant::{Activity, SteelOrder};
use deepstay_scenario::BellRun;
use deepstay_scenario::lengths::way_home_s;
use serde::{Deserialize, Serialize};

/// How long transfers are waited for before the run is aborted, s.
const TRANSFER_WAIT_S: i64 = 1800;

#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub(super) enum Doing {
    Checks,
    OpenUp,
    Transfer,
    Seal,
    TrunkVent,
    Unclamp,
    Lowering,
    BottomDoor,
    Water(Water),
    BottomSeal,
    Raising,
    Mating,
    TrunkPress,
    OpenBack,
    TransferBack,
}

/// State of a run.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Run {
    number: u16,
    /// Side the divers come from and go back to.
    level: u8,
    doing: Doing,
    pub(super) since: i64,
    /// What the bell showed when it was shut, or when the phase began.
    pub(super) shut_in: ShutIn,
    /// When the trunk door was shut on them.
    pub(super) sealed_at: i64,
    /// When the bell went over the side.
    pub(super) lowered_at: i64,
    ended: Option<Stopped>,
    /// Tries to open the bottom door.
    pub(super) tries: u8,
    /// Since when bell and sea show the same, and what the sea shows.
    pub(super) rested_since: Option<(i64, f64)>,
    /// Bell and trunk show what the chamber shows and may be joined to it.
    equalised: bool,
    joining: Joining,
}

/// The number of a run as entries carry it.
pub fn run_number(index: usize) -> u16 {
    u16::try_from(index).unwrap_or(u16::MAX)
}

impl Run {
    fn fresh(look: &Look, at: &BellLayout, number: usize, level: usize) -> Run {
        Run {
            number: run_number(number),
            level: u8::try_from(level).unwrap_or(0),
            doing: Doing::Checks,
            since: look.now,
            shut_in: transit::shut_in(look, at.bell),
            sealed_at: look.now,
            lowered_at: look.now,
            ended: None,
            tries: 0,
            rested_since: None,
            equalised: false,
            joining: None,
        }
    }

    /// Begins with the check sheet.
    pub fn begin(
        look: &mut Look,
        at: &BellLayout,
        number: usize,
        planned: &BellRun,
        level: usize,
    ) -> Run {
        let run = Run::fresh(look, at, number, level);
        run.phase(look, at, BellPhase::Checks);
        bell_gas::begin_checks(look, at.bell, planned.depth_msw);
        bell_gas::read_bail_outs(look, &planned.divers);
        loop_gas::check(look, planned.divers.len().saturating_sub(1));
        run
    }

    /// Takes over a bell with men in it, or out of it, to bring them home.
    pub fn homeward(
        look: &mut Look,
        at: &BellLayout,
        number: usize,
        level: usize,
        found: BellFound,
        why: Stopped,
    ) -> Run {
        let mut run = Run::fresh(look, at, number, level);
        run.ended = Some(why);
        look.write(What::BellStopped {
            bell: at.bell,
            run: run.number,
            why,
        });
        let doing = match found {
            BellFound::DiversOut => Doing::Water(Water::recalled(look.now)),
            BellFound::BottomOpen => Doing::BottomSeal,
            BellFound::Below => {
                look.steel(SteelOrder::Bell {
                    bell: at.bell,
                    to_msw: 0.0,
                });
                Doing::Raising
            }
            BellFound::AtDeck => Doing::Mating,
            BellFound::Mated => Doing::TrunkPress,
            BellFound::Open | BellFound::Empty => Doing::TransferBack,
        };
        run.go(look, at, doing);
        run
    }

    /// Whether it has been ended, and everybody is on the way home.
    pub fn is_homeward(&self) -> bool {
        self.ended.is_some()
    }

    /// Whether a bell is found as this run left it.
    pub fn stands_as_left(&self, found: BellFound) -> bool {
        match self.doing {
            Doing::Checks => found == BellFound::Empty,
            Doing::OpenUp | Doing::OpenBack => {
                matches!(found, BellFound::Mated | BellFound::Empty | BellFound::Open)
            }
            Doing::Transfer => matches!(found, BellFound::Open | BellFound::Empty),
            Doing::Seal => matches!(found, BellFound::Open | BellFound::Mated),
            Doing::TrunkVent | Doing::TrunkPress => found == BellFound::Mated,
            Doing::Unclamp | Doing::Mating => {
                matches!(found, BellFound::Mated | BellFound::AtDeck)
            }
            Doing::Lowering | Doing::Raising | Doing::BottomDoor => {
                matches!(found, BellFound::Below | BellFound::AtDeck)
            }
            Doing::Water(_) => matches!(found, BellFound::DiversOut | BellFound::BottomOpen),
            Doing::BottomSeal => matches!(found, BellFound::BottomOpen | BellFound::Below),
            Doing::TransferBack => matches!(found, BellFound::Open | BellFound::Empty),
        }
    }

    /// The phase it is in is begun again, as far as it waits for gauges to come to rest; a bell on its way is sent
    /// there again.
    pub fn begin_phase_anew(&mut self, look: &mut Look, at: &BellLayout) {
        self.rested_since = None;
        self.joining = None;
        self.equalised = false;
        if let Doing::Raising = self.doing {
            look.steel(SteelOrder::Bell {
                bell: at.bell,
                to_msw: 0.0,
            });
        }
        if let Doing::Lowering = self.doing {
            self.since = look.now;
        }
        let soon = look.now + 1;
        look.wake(soon);
    }

    /// The divers of the run, and whoever else is in its bell.
    fn aboard(&self, look: &Look, at: &BellLayout, planned: &BellRun) -> Vec<DiverId> {
        let mut divers = planned.divers.clone();
        let inside = look
            .crew()
            .filter(|d| look.panel.whereabouts(*d) == Whereabouts::In(at.bell));
        for diver in inside {
            if !divers.contains(&diver) {
                divers.push(diver);
            }
        }
        divers
    }

    /// Looks and acts. True when the run is over.
    pub fn act(
        &mut self,
        look: &mut Look,
        at: &BellLayout,
        planned: &BellRun,
        banks: &mut Banks,
    ) -> bool {
        match self.doing {
            Doing::Checks => return self.checks(look, at, planned, banks),
            Doing::OpenUp => self.open_up(look, at, banks, Doing::Transfer),
            Doing::Transfer => self.transfer(look, at, planned),
            Doing::Seal => self.seal(look, at),
            Doing::TrunkVent => {
                if trunk::empty(look, at.trunk) || look.now > self.since + 900 {
                    self.go(look, at, Doing::Unclamp);
                }
            }
            Doing::Unclamp => self.unclamp(look, at),
            Doing::Lowering => self.lower(look, at, planned),
            Doing::BottomDoor => self.open_bottom(look, at),
            Doing::Water(mut wet) => {
                let clock = self.sealed_at + asked::bell_run_s(look, planned.depth_msw)
                    - way_home_s(planned, &look.kit.scenario.steel);
                let over = wet.act(
                    look,
                    at,
                    self.number,
                    planned,
                    banks,
                    clock,
                    &mut self.ended,
                );
                self.doing = Doing::Water(wet);
                if over {
                    self.go(look, at, Doing::BottomSeal);
                }
            }
            Doing::BottomSeal => self.bottom_seal(look, at),
            Doing::Raising => self.raise(look, at, planned),
            Doing::Mating => self.mate(look, at),
            Doing::TrunkPress => self.press_trunk(look, at, banks),
            Doing::OpenBack => self.open_up(look, at, banks, Doing::TransferBack),
            Doing::TransferBack => return self.transfer_back(look, at, planned),
        }
        false
    }

    fn phase(&self, look: &mut Look, at: &BellLayout, phase: BellPhase) {
        look.write(What::BellPhase {
            bell: at.bell,
            run: self.number,
            phase,
        });
    }

    pub(super) fn stop(&mut self, look: &mut Look, at: &BellLayout, why: Stopped) {
        if self.ended.is_none() {
            look.write(What::BellStopped {
                bell: at.bell,
                run: self.number,
                why,
            });
            self.ended = Some(why);
        }
    }

    /// Enters a phase: says so, and looks again at once.
    pub(super) fn go(&mut self, look: &mut Look, at: &BellLayout, doing: Doing) {
        let named = match doing {
            Doing::Transfer => Some(BellPhase::Transfer),
            Doing::Seal => Some(BellPhase::Seal),
            Doing::TrunkVent => Some(BellPhase::TrunkVented),
            Doing::Lowering => Some(BellPhase::Lowering),
            Doing::Water(_) => Some(BellPhase::DoorOpen),
            Doing::BottomSeal => Some(BellPhase::BottomSeal),
            Doing::Raising => Some(BellPhase::Recovery),
            Doing::Mating => Some(BellPhase::Mating),
            Doing::TrunkPress => Some(BellPhase::TrunkPressed),
            Doing::TransferBack => Some(BellPhase::TransferBack),
            _ => None,
        };
        if let Some(phase) = named {
            self.phase(look, at, phase);
        }
        self.doing = doing;
        self.since = look.now;
        self.rested_since = None;
        self.shut_in = transit::shut_in(look, at.bell);
        let soon = look.now + 1;
        look.wake(soon);
    }

    pub(super) fn after(&self, look: &mut Look, wait_s: i64) -> bool {
        if look.now < self.since + wait_s {
            look.wake(self.since + wait_s);
        }
        look.now >= self.since + wait_s
    }

    pub(super) fn chamber(&self, look: &Look) -> CompartmentId {
        look.home(usize::from(self.level))
    }

    /// The trunk door to the divers' level.
    pub(super) fn trunk_door(
        &self,
        look: &Look,
        at: &BellLayout,
    ) -> Option<(DoorId, CompartmentId)> {
        let members = &look.kit.layout.levels[usize::from(self.level)].members;
        at.trunk_doors
            .iter()
            .copied()
            .find(|(_, c)| members.contains(c))
    }

    fn checks(
        &mut self,
        look: &mut Look,
        at: &BellLayout,
        planned: &BellRun,
        banks: &mut Banks,
    ) -> bool {
        let checked = bell_gas::checked(look, at.bell, planned, banks);
        let supplied = bell_gas::supply(look, at, planned.depth_msw, banks);
        if !self.after(look, lengths::CHECKS_S) {
            return false;
        }
        let why = match checked {
            Err(why) => why,
            Ok(()) if !supplied => Stopped::Gas,
            Ok(()) if self.trunk_door(look, at).is_some() && planned.divers.len() >= 2 => {
                self.go(look, at, Doing::OpenUp);
                return false;
            }
            Ok(()) => Stopped::Checks,
        };
        self.stop(look, at, why);
        bell_gas::machines_off(look, at.bell);
        true
    }

    /// Bell, trunk and chamber to one pressure, hatch and trunk door open. First each is equalised with
    /// its own valves and everything between them shut, then they are joined; never both at once, or the
    /// chamber would blow through.
    fn open_up(&mut self, look: &mut Look, at: &BellLayout, banks: &mut Banks, next: Doing) {
        let (Some(hatch), Some((door, chamber))) = (at.hatch, self.trunk_door(look, at)) else {
            return;
        };
        let depth_msw = look.depth(self.chamber(look));
        if !self.equalised {
            bell_gas::supply(look, at, depth_msw, banks);
            self.equalised = look.panel.open(door) || equalise_both(look, at, hatch, depth_msw);
            if self.equalised {
                trunk::shut(look, at.bell);
                trunk::shut(look, at.trunk);
            }
        }
        if !self.equalised {
            return;
        }
        let state = &mut self.joining;
        if trunk::join(look, hatch, at.bell, at.trunk, state)
            && trunk::join(look, door, at.trunk, chamber, state)
        {
            self.equalised = false;
            self.go(look, at, next);
        } else if (look.depth(at.trunk) - depth_msw).abs() > LOSS_MSW
            || (look.depth(at.bell) - look.depth(at.trunk)).abs() > LOSS_MSW
        {
            look.valve(ValveName::Equalise(hatch), 0.0, Purpose::Transfer);
            look.valve(ValveName::Equalise(door), 0.0, Purpose::Transfer);
            self.equalised = false;
        }
    }

    fn transfer(&mut self, look: &mut Look, at: &BellLayout, planned: &BellRun) {
        let mut all = true;
        for &diver in &planned.divers {
            all &= step_towards(look, diver, at.bell);
        }
        if all {
            for &diver in &planned.divers {
                look.give(diver, Activity::Bellman);
            }
            self.go(look, at, Doing::Seal);
        } else if look.now > self.since + TRANSFER_WAIT_S {
            self.stop(look, at, Stopped::Diver);
            self.go(look, at, Doing::TransferBack);
        } else {
            let at = look.now + 30;
            look.wake(at);
        }
    }

    fn transfer_back(&mut self, look: &mut Look, at: &BellLayout, planned: &BellRun) -> bool {
        let mut all = true;
        let divers = self.aboard(look, at, planned);
        for &diver in &divers {
            let to = look.bunk(usize::from(self.level), diver);
            all &= step_towards(look, diver, to);
        }
        if !all {
            let later = look.now
                + if look.now < self.since + TRANSFER_WAIT_S {
                    30
                } else {
                    600
                };
            look.wake(later);
            return false;
        }
        if let Some((door, _)) = self.trunk_door(look, at)
            && look.panel.open(door)
        {
            look.door(door, false);
            let at = look.now + 1;
            look.wake(at);
            return false;
        }
        for &diver in &divers {
            look.give(diver, Activity::Rest);
        }
        bell_gas::machines_off(look, at.bell);
        self.phase(look, at, BellPhase::Done);
        true
    }
}
