//! The wet part of a bell run: the hat put on, each diver out and back, umbilicals in. With two men one
//! works while the other tends him, then they change; with three, two work together and one tends.

use super::banks::Banks;
use super::bell_gas;
use super::context::Look;
use super::house_figures::bell as lengths;
use super::layout::BellLayout;
use super::loop_gas::LoopGas;
use deepstay_core::record::{BellPhase, BreathingPath, LineName, Stopped, What, Whereabouts};
use deepstay_core::units::DiverId;
use deepstay_plant::Activity;
use deepstay_scenario::BellRun;
use deepstay_scenario::lengths::{between_s, turn_s, turns};
use serde::{Deserialize, Serialize};

/// Looks while divers are out, s apart.
const LOOK_S: i64 = 600;

#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
enum Doing {
    Dress { until: i64 },
    Out { until: i64 },
    In,
    Change,
    Stow,
}

/// Where the wet part stands.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Water {
    doing: Doing,
    since: i64,
    turn: u8,
    reclaim: LoopGas,
    /// The bell's fan was seen to stand.
    fan_stopped: bool,
}

impl Water {
    /// Bottom door just opened; the first diver has been dressing since the bell was lowered.
    pub fn new(now: i64, lowered_at: i64) -> Water {
        let until = (lowered_at + lengths::DRESS_S).max(now + lengths::HAT_S);
        Water {
            doing: Doing::Dress { until },
            since: now,
            turn: 0,
            reclaim: LoopGas::default(),
            fan_stopped: false,
        }
    }

    /// Divers are out, whoever sent them: they are brought in, and nobody goes out again.
    pub fn recalled(now: i64) -> Water {
        Water {
            doing: Doing::In,
            since: now,
            turn: 1,
            reclaim: LoopGas::default(),
            fan_stopped: false,
        }
    }

    /// Looks and acts. `clock` is the second at which the last diver must be in, so that the run stays
    /// within its length. True when all is stowed.
    #[expect(clippy::too_many_arguments, reason = "a run lends its parts")]
    pub fn act(
        &mut self,
        look: &mut Look,
        at: &BellLayout,
        number: u16,
        planned: &BellRun,
        banks: &mut Banks,
        clock: i64,
        ended: &mut Option<Stopped>,
    ) -> bool {
        let water = bell_gas::water_comes_up(look, at.bell);
        if water {
            bell_gas::blow_down(look, at.bell, planned.depth_msw, banks);
        }
        let calls_back = match water {
            true => Some(Stopped::Atmosphere),
            false => bell_gas::recall(look, at.bell, &mut self.fan_stopped),
        };
        if ended.is_none()
            && let Some(why) = calls_back
        {
            look.write(What::BellStopped {
                bell: at.bell,
                run: number,
                why,
            });
            *ended = Some(why);
        }
        match self.doing {
            Doing::Dress { .. } | Doing::Change => {
                let wait_s = match self.doing {
                    Doing::Dress { until } => until - self.since,
                    _ => between_s(planned),
                };
                if ended.is_some() {
                    self.go(look, Doing::Stow);
                } else if self.after(look, wait_s) {
                    self.send_out(look, at, number, planned, banks, clock);
                }
            }
            Doing::Out { until } => self.out(look, at, planned, banks, until, number, ended),
            Doing::In => self.come_in(look, at, number, planned, ended.is_some(), clock),
            Doing::Stow => return self.after(look, lengths::STOW_S),
        }
        false
    }

    fn go(&mut self, look: &mut Look, doing: Doing) {
        self.doing = doing;
        self.since = look.now;
        let soon = look.now + 1;
        look.wake(soon);
    }

    fn after(&self, look: &mut Look, wait_s: i64) -> bool {
        if look.now < self.since + wait_s {
            look.wake(self.since + wait_s);
        }
        look.now >= self.since + wait_s
    }

    /// Those who work in this turn.
    fn workers(&self, planned: &BellRun) -> std::ops::Range<usize> {
        let turn = usize::from(self.turn);
        if planned.divers.len() == 2 {
            turn..turn + 1
        } else {
            0..planned.divers.len().saturating_sub(1)
        }
    }

    fn phase(
        &self,
        look: &mut Look,
        at: &BellLayout,
        run: u16,
        first: BellPhase,
        second: BellPhase,
    ) {
        let phase = if self.turn == 0 { first } else { second };
        look.write(What::BellPhase {
            bell: at.bell,
            run,
            phase,
        });
    }

    fn send_out(
        &mut self,
        look: &mut Look,
        at: &BellLayout,
        number: u16,
        planned: &BellRun,
        banks: &mut Banks,
        clock: i64,
    ) {
        if bell_gas::main_gas(look, at.bell, planned.depth_msw, banks).is_err() {
            let later = look.now + 60;
            look.wake(later);
            return;
        }
        bell_gas::hot_water(look, at.bell, true);
        self.reclaim.start(look, at.bell, planned.depth_msw, banks);
        self.phase(look, at, number, BellPhase::FirstOut, BellPhase::SecondOut);
        let workers = self.workers(planned);
        for (i, &diver) in planned.divers.iter().enumerate() {
            if workers.contains(&i) {
                look.breathe(diver, BreathingPath::Main);
                look.go(diver, Whereabouts::Water(at.bell));
                look.give(diver, planned.work);
            } else {
                look.give(diver, Activity::Bellman);
            }
        }
        let left = i64::from(turns(planned).saturating_sub(self.turn)).max(1);
        let share = (clock - look.now - (left - 1) * between_s(planned)) / left;
        let until = look.now + turn_s(planned).min(share).max(60);
        self.go(look, Doing::Out { until });
        look.wake(until);
    }

    #[expect(clippy::too_many_arguments, reason = "a run lends its parts")]
    fn out(
        &mut self,
        look: &mut Look,
        at: &BellLayout,
        planned: &BellRun,
        banks: &mut Banks,
        until: i64,
        number: u16,
        ended: &mut Option<Stopped>,
    ) {
        if ended.is_none()
            && let Err(why) = bell_gas::main_gas(look, at.bell, planned.depth_msw, banks)
        {
            for i in self.workers(planned) {
                look.breathe(planned.divers[i], BreathingPath::Secondary);
            }
            look.write(What::BellStopped {
                bell: at.bell,
                run: number,
                why,
            });
            *ended = Some(why);
        }
        if look.now >= until || ended.is_some() {
            self.go(look, Doing::In);
            return;
        }
        self.reclaim.round(look, at.bell, planned.depth_msw, banks);
        if let Some(bank) = look.panel.lined_up(LineName::DiverMain(at.bell)) {
            let heel = bell_gas::heel_bar(look, planned.depth_msw);
            let gauge = look.kit.layout.bank_gauges[bank.index()];
            look.when(gauge, false, heel);
        }
        let later = until.min(look.now + LOOK_S);
        look.wake(later);
    }

    fn come_in(
        &mut self,
        look: &mut Look,
        at: &BellLayout,
        number: u16,
        planned: &BellRun,
        ended: bool,
        clock: i64,
    ) {
        let mut back = true;
        let workers = self.workers(planned);
        let mut out: Vec<DiverId> = workers
            .filter_map(|i| planned.divers.get(i).copied())
            .collect();
        let others = look
            .crew()
            .filter(|d| look.panel.whereabouts(*d) == Whereabouts::Water(at.bell));
        for diver in others {
            if !out.contains(&diver) {
                out.push(diver);
            }
        }
        for diver in out {
            if look.panel.whereabouts(diver) != Whereabouts::In(at.bell) {
                back = false;
                look.go(diver, Whereabouts::In(at.bell));
            }
            look.breathe(diver, BreathingPath::Ambient);
            look.give(diver, Activity::Bellman);
        }
        if !back {
            let later = look.now + 5;
            look.wake(later);
            return;
        }
        self.phase(
            look,
            at,
            number,
            BellPhase::FirstBack,
            BellPhase::SecondBack,
        );
        bell_gas::hot_water(look, at.bell, false);
        self.reclaim.stop(look, at.bell);
        self.turn += 1;
        let time_left = clock - look.now > between_s(planned) + 1800;
        let again = self.turn < turns(planned) && !ended && time_left;
        self.go(look, if again { Doing::Change } else { Doing::Stow });
    }
}
