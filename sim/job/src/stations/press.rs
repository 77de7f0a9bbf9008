//! Pressing a level: leg by leg at no more than the rule's rate, held by the valve's opening, which is
//! corrected by the gauge; oxygen, holds and leak checks on the way. Chambers open to each other are
//! pressed each by its own valve, in step with its volume, so that the gas stays the same in all.

use super::banks::{Banks, Need};
use super::context::Look;
use super::house_figures;
use super::oxygen::Oxygen;
use super::oxygen_on_descent::OxygenOnDescent;
use super::oxygen_read;
use super::valves;
use deepstay_core::record::{Finding, LineName, Routine, ValveName, What};
use deepstay_core::units::*;
use deepstay_plant::Duty;
use deepstay_rules::{CompressionPlan, PressGas, PressLeg};
use serde::{Deserialize, Serialize};

/// Where the pressing stands.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Press {
    /// Depth it is going to, msw.
    pub to_msw: f64,
    /// Depth it left, msw.
    pub from_msw: f64,
    leg: usize,
    doing: Doing,
    /// What the valve has to be opened more than its plate says for a rate, as the gauge told.
    opened_more: f64,
    /// Second and depth of the last fair measurement.
    measured: (i64, f64),
    /// Rate the valve was set for since then, msw/s; nothing where it could not be opened as far.
    set_msw_s: f64,
    failed_checks: u8,
    descent: OxygenOnDescent,
    /// A bank whose gas was analysed because ppO2 had left the line of the plan, and is what its label says.
    proven: Option<BankId>,
}

#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
enum Doing {
    /// About to move: the bank is being seen to.
    Ready,
    /// Moving since this second, from this depth.
    Moving { since: i64, from_msw: f64 },
    /// Oxygen being established.
    Oxygen,
    /// Holding until this second; depth at its start.
    Holding { until: i64, from_msw: f64 },
}

/// What a look at a pressing found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Found {
    /// Still under way.
    UnderWay,
    /// In a hold on the way: the depth is to be kept at this, msw.
    Hold(f64),
    /// At depth.
    Arrived,
    /// The leak checks failed: go no deeper.
    Leaking,
}

impl Press {
    /// About to press from one depth to another.
    pub fn new(from_msw: f64, to_msw: f64) -> Press {
        Press {
            to_msw,
            from_msw,
            leg: 0,
            doing: Doing::Ready,
            opened_more: 1.0,
            measured: (0, 0.0),
            set_msw_s: 0.0,
            failed_checks: 0,
            descent: OxygenOnDescent::default(),
            proven: None,
        }
    }

    /// It was begun before: it goes on from a depth, and a hold that it stands in begins anew.
    pub fn found_at(mut self, plan: &CompressionPlan, depth_msw: f64) -> Press {
        let ends_here = |leg: &PressLeg| depth_msw <= leg.to_msw + house_figures::STOP_SHORT_MSW;
        let leg = plan.legs.iter().position(ends_here);
        self.leg = leg.unwrap_or(plan.legs.len());
        self
    }

    /// Its valves were shut in between: it sees to its bank and its rate anew.
    pub fn interrupted(&mut self) {
        if matches!(self.doing, Doing::Moving { .. }) {
            self.doing = Doing::Ready;
        }
    }

    /// Looks at the gauge and acts.
    pub fn act(
        &mut self,
        look: &mut Look,
        level: usize,
        plan: &CompressionPlan,
        oxygen: &mut Oxygen,
        banks: &mut Banks,
    ) -> Found {
        let c = look.home(level);
        let Some(&leg) = plan.legs.get(self.leg) else {
            shut(look, level);
            return Found::Arrived;
        };
        match self.doing {
            Doing::Ready => self.start(look, level, plan, leg, oxygen, banks),
            Doing::Oxygen => {
                if self
                    .descent
                    .establish(look, level, self.to_msw, oxygen, banks)
                {
                    self.ready(look, 1);
                }
                Found::UnderWay
            }
            Doing::Moving { since, from_msw } => {
                let depth = look.depth(c);
                if self.calls_for_oxygen(look, level, plan, leg) {
                    shut(look, level);
                    self.doing = Doing::Oxygen;
                    let soon = look.now + 1;
                    look.wake(soon);
                    Found::UnderWay
                } else if leg.gas != PressGas::Air && self.off_the_line(look, level) {
                    shut(look, level);
                    self.doubt_mix(look, level, banks);
                    self.ready(look, 60);
                    Found::UnderWay
                } else if depth >= leg.to_msw - house_figures::STOP_SHORT_MSW {
                    shut(look, level);
                    self.hold(look, level, leg, oxygen)
                } else if banks.keep(
                    look,
                    LineName::Supply(c),
                    &need(look, c, plan, leg, self.to_msw),
                ) {
                    self.steer(look, level, leg, since, from_msw);
                    if leg.gas != PressGas::Air {
                        self.descent.steer(look, level, self.to_msw, oxygen, banks);
                    }
                    Found::UnderWay
                } else {
                    shut(look, level);
                    self.ready(look, 60);
                    Found::UnderWay
                }
            }
            Doing::Holding { until, from_msw } => {
                self.wait(look, level, leg, (until, from_msw), oxygen)
            }
        }
    }

    fn ready(&mut self, look: &mut Look, wait_s: i64) {
        self.doing = Doing::Ready;
        let at = look.now + wait_s;
        look.wake(at);
    }

    /// Whether ppO2 stands clearly over the line that the mixture's label draws to the storage band.
    fn off_the_line(&self, look: &mut Look, level: usize) -> bool {
        let home = look.home(level);
        let bank = look.panel.lined_up(LineName::Supply(home));
        if bank.is_none() || bank == self.proven {
            return false;
        }
        let depth = look.depth(home);
        let high_bar = self.descent.highest_bar(look, level, depth, self.to_msw);
        let shown = oxygen_read::read(look, level, home).map(|reading| reading.range().1);
        let over = |(shown, high): (f64, f64)| shown > high + house_figures::OFF_LINE_BAR;
        shown.zip(high_bar).is_some_and(over)
    }

    /// The mixture is not what its label says, or it is: a sample tells. What is belied by it is not taken again.
    fn doubt_mix(&mut self, look: &mut Look, level: usize, banks: &mut Banks) {
        let home = look.home(level);
        if let Some(bank) = look.panel.lined_up(LineName::Supply(home)) {
            look.found(home, Finding::OffPlanLine);
            banks.analyse_again(look, bank);
            self.proven = Some(bank);
        }
    }

    /// Whether oxygen is to be established here: at the leak check, before it, or where the set has none
    /// near the surface all the same. On air it comes with the air.
    fn calls_for_oxygen(
        &self,
        look: &mut Look,
        level: usize,
        plan: &CompressionPlan,
        leg: PressLeg,
    ) -> bool {
        let check = plan.legs.iter().find(|l| l.leak_check);
        let hold_msw = check.map_or(house_figures::ESTABLISH_MSW, |l| l.to_msw);
        let depth = look.depth(look.home(level));
        leg.gas != PressGas::Air
            && self
                .descent
                .calls(look, level, depth, hold_msw, self.to_msw)
    }

    fn start(
        &mut self,
        look: &mut Look,
        level: usize,
        plan: &CompressionPlan,
        leg: PressLeg,
        oxygen: &mut Oxygen,
        banks: &mut Banks,
    ) -> Found {
        let c = look.home(level);
        let depth = look.depth(c);
        if depth >= leg.to_msw - house_figures::STOP_SHORT_MSW {
            return self.hold(look, level, leg, oxygen);
        }
        if banks.take(
            look,
            LineName::Supply(c),
            &need(look, c, plan, leg, self.to_msw),
        ) {
            self.doing = Doing::Moving {
                since: look.now,
                from_msw: depth,
            };
            self.set_msw_s = 0.0;
            self.measured = (look.now, depth);
            self.steer(look, level, leg, look.now, depth);
        } else {
            self.ready(look, 60);
        }
        Found::UnderWay
    }

    fn hold(&mut self, look: &mut Look, level: usize, leg: PressLeg, oxygen: &mut Oxygen) -> Found {
        let c = look.home(level);
        if leg.leak_check {
            oxygen.off(look, level);
            look.write(What::Routine {
                compartment: c,
                routine: Routine::LeakCheck,
                diver: None,
            });
        }
        let until = look.now + leg.hold_s;
        self.doing = Doing::Holding {
            until,
            from_msw: look.depth(c),
        };
        look.wake(until);
        self.keep(leg)
    }

    fn wait(
        &mut self,
        look: &mut Look,
        level: usize,
        leg: PressLeg,
        (until, from_msw): (i64, f64),
        oxygen: &mut Oxygen,
    ) -> Found {
        let c = look.home(level);
        if look.now < until {
            look.wake(until);
            return self.keep(leg);
        }
        if leg.leak_check && from_msw - look.depth(c) > house_figures::LEAK_CHECK_FALL_MSW {
            self.failed_checks += 1;
            if self.failed_checks >= 3 {
                return Found::Leaking;
            }
            return self.hold(look, level, leg, oxygen);
        }
        self.leg += 1;
        self.ready(look, 1);
        Found::UnderWay
    }

    /// In a leak check the valves stay shut; in another hold the depth is kept.
    fn keep(&self, leg: PressLeg) -> Found {
        if leg.leak_check {
            Found::UnderWay
        } else {
            Found::Hold(leg.to_msw)
        }
    }

    /// Sets the opening for the rate that brings the depth back to the line drawn at the allowed rate,
    /// never more than that rate, and less close to the stop.
    fn steer(&mut self, look: &mut Look, level: usize, leg: PressLeg, since: i64, from_msw: f64) {
        let c = look.home(level);
        let depth = look.depth(c);
        let rate = leg.rate_msw_s * house_figures::RATE_SHARE;
        self.measure(look, depth, rate);
        const AHEAD_S: f64 = 30.0;
        let line = from_msw + rate * ((look.now - since) as f64 + AHEAD_S);
        let wanted = ((line - depth) / AHEAD_S)
            .clamp(0.0, rate)
            .min((leg.to_msw - depth) / 20.0);
        let by_plate = valves::blow_down(look, c, pressed_m3(look, level), depth, wanted);
        let opening = (self.opened_more * by_plate).clamp(0.0, 1.0);
        self.set_msw_s = if opening < 1.0 { wanted } else { 0.0 };
        look.valve(ValveName::BlowDown(c), opening, Purpose::BlowDown);
        press_besides(look, level, opening);
        look.when(
            look.depth_gauge(c),
            true,
            leg.to_msw - house_figures::STOP_SHORT_MSW,
        );
        let at = look.now + house_figures::PRESS_LOOK_S;
        look.wake(at);
    }

    /// Corrects what an opening gives by what the gauge made of it over a minute. A valve that stands wide open says
    /// nothing of it: its bank gives no more.
    fn measure(&mut self, look: &Look, depth: f64, rate: f64) {
        let (at, then) = self.measured;
        let passed = (look.now - at) as f64;
        if passed < 60.0 {
            return;
        }
        let got = ((depth - then) / passed).max(0.1 * rate);
        if self.set_msw_s > 0.3 * rate {
            self.opened_more *= (self.set_msw_s / got).clamp(0.7, 1.3);
        }
        self.measured = (look.now, depth);
    }
}

/// Shuts the blow-down of all members of a level.
pub fn shut(look: &mut Look, level: usize) {
    for &m in &look.kit.layout.levels[level].members {
        look.valve(ValveName::BlowDown(m), 0.0, Purpose::BlowDown);
    }
}

/// Whether the members of a level are open to each other and each has a blow-down of its own.
fn together(look: &Look, level: usize) -> bool {
    let layout = &look.kit.layout.levels[level];
    let plates = &look.kit.scenario.steel.compartments;
    let own_valves = layout
        .members
        .iter()
        .all(|&m| plates[m.index()].blow_down_m2 > 0.0);
    look.is_whole(level) && own_valves
}

/// Presses the other members of a level from the manned chamber's bank, each valve opened by the volume
/// behind it; where a door is shut their valves are.
fn press_besides(look: &mut Look, level: usize, home_opening: f64) {
    let kit = look.kit;
    let layout = &kit.layout.levels[level];
    let plates = &kit.scenario.steel.compartments;
    let home = look.home(level);
    let bank = look.is_to_be_lined_up(LineName::Supply(home));
    let all = together(look, level);
    let per_area = |c: CompartmentId| plates[c.index()].volume_m3 / plates[c.index()].blow_down_m2;
    for &m in layout.members.iter().filter(|&&m| m != home) {
        let mut opening = 0.0;
        if let (true, Some(bank)) = (all, bank) {
            look.line_up(LineName::Supply(m), bank);
            opening = (home_opening * per_area(m) / per_area(home)).clamp(0.0, 1.0);
        }
        look.valve(ValveName::BlowDown(m), opening, Purpose::BlowDown);
    }
}

/// Volume that the manned chamber's valve presses, m3: its own where each of the level has a valve, else all.
fn pressed_m3(look: &Look, level: usize) -> f64 {
    if together(look, level) {
        let home = look.home(level);
        look.kit.scenario.steel.compartments[home.index()].volume_m3
    } else {
        look.kit.layout.levels[level].volume_m3
    }
}

/// The gas to press with: the mixture that lands nearest the wanted ppO2 from what is shown now, or
/// the one that the rule names.
fn need<'a>(
    look: &Look,
    c: CompartmentId,
    plan: &CompressionPlan,
    leg: PressLeg,
    to_msw: f64,
) -> Need<'a> {
    let steel = &look.kit.scenario.steel;
    let depth = look.depth(c);
    let remaining_bar = (to_msw - depth).max(0.1) * MSW_PA / BAR_PA;
    let shown = look.ppo2(c).unwrap_or(0.21);
    let lands = ((plan.ppo2_bar - shown) / remaining_bar).clamp(0.0, 0.25);
    let regulator_bar = steel.compartments[c.index()].supply_over_pa / BAR_PA;
    let duties: &[Duty] = match leg.gas {
        PressGas::Air => &[Duty::Air],
        PressGas::Mix => &[Duty::BottomMix, Duty::Helium],
        PressGas::Helium => &[Duty::Helium, Duty::BottomMix],
    };
    Need {
        duties,
        above_bar: depth * MSW_PA / BAR_PA + regulator_bar + house_figures::HEEL_BAR,
        o2: (0.0, 0.25),
        best_o2: plan
            .mix_o2
            .filter(|_| leg.gas == PressGas::Mix)
            .unwrap_or(lands),
        but: None,
    }
}
