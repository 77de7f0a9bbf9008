//! Pressing a side: leg by leg at no more than the rule's rate, held by the valve's opening, which is
//! corrected by the gauge; holds and leak checks on the way.

use super::banks::{Banks, Need};
use super::context::Look;
use super::practice;
use super::valves;
use crate::plant::Duty;
use crate::record::{LineName, Routine, ValveName, What};
use crate::rules::{CompressionPlan, PressGas, PressLeg};
use crate::units::*;
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
    /// Opening that gave one msw/s at the last fair measurement; zero before the first.
    opening_per_msw_s: f64,
    /// Second and depth of the last fair measurement.
    measured: (i64, f64),
    /// Rate the valve was set for since then, msw/s.
    set_msw_s: f64,
    failed_checks: u8,
}

#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
enum Doing {
    /// About to move: the bank is being seen to.
    Ready,
    /// Moving since this second, from this depth.
    Moving { since: i64, from_msw: f64 },
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
            opening_per_msw_s: 0.0,
            measured: (0, 0.0),
            set_msw_s: 0.0,
            failed_checks: 0,
        }
    }

    /// Looks at the gauge and acts.
    pub fn act(
        &mut self,
        look: &mut Look,
        side: usize,
        plan: &CompressionPlan,
        banks: &mut Banks,
    ) -> Found {
        let c = look.kit.layout.sides[side].living;
        let Some(&leg) = plan.legs.get(self.leg) else {
            look.valve(ValveName::BlowDown(c), 0.0, Purpose::BlowDown);
            return Found::Arrived;
        };
        match self.doing {
            Doing::Ready => self.start(look, side, plan, leg, banks),
            Doing::Moving { since, from_msw } => {
                let short = look.depth(c) >= leg.to_msw - practice::STOP_SHORT_MSW;
                if short {
                    look.valve(ValveName::BlowDown(c), 0.0, Purpose::BlowDown);
                    self.hold(look, c, leg)
                } else if banks.keep(
                    look,
                    LineName::Supply(c),
                    &need(look, c, plan, leg, self.to_msw),
                ) {
                    self.steer(look, side, leg, since, from_msw);
                    Found::UnderWay
                } else {
                    look.valve(ValveName::BlowDown(c), 0.0, Purpose::BlowDown);
                    self.doing = Doing::Ready;
                    let at = look.now + 60;
                    look.wake(at);
                    Found::UnderWay
                }
            }
            Doing::Holding { until, from_msw } => self.wait(look, c, leg, until, from_msw),
        }
    }

    fn start(
        &mut self,
        look: &mut Look,
        side: usize,
        plan: &CompressionPlan,
        leg: PressLeg,
        banks: &mut Banks,
    ) -> Found {
        let c = look.kit.layout.sides[side].living;
        let depth = look.depth(c);
        if depth >= leg.to_msw - practice::STOP_SHORT_MSW {
            return self.hold(look, c, leg);
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
            self.opening_per_msw_s = 0.0;
            self.measured = (look.now, depth);
            self.steer(look, side, leg, look.now, depth);
        } else {
            let at = look.now + 60;
            look.wake(at);
        }
        Found::UnderWay
    }

    fn hold(&mut self, look: &mut Look, c: CompartmentId, leg: PressLeg) -> Found {
        if leg.leak_check {
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
        c: CompartmentId,
        leg: PressLeg,
        until: i64,
        from_msw: f64,
    ) -> Found {
        if look.now < until {
            look.wake(until);
            return self.keep(leg);
        }
        if leg.leak_check && from_msw - look.depth(c) > practice::LEAK_CHECK_FALL_MSW {
            self.failed_checks += 1;
            if self.failed_checks >= 3 {
                return Found::Leaking;
            }
            return self.hold(look, c, leg);
        }
        self.leg += 1;
        self.doing = Doing::Ready;
        let at = look.now + 1;
        look.wake(at);
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
    fn steer(&mut self, look: &mut Look, side: usize, leg: PressLeg, since: i64, from_msw: f64) {
        let layout = &look.kit.layout.sides[side];
        let c = layout.living;
        let depth = look.depth(c);
        let rate = leg.rate_msw_s * practice::RATE_SHARE;
        self.measure(look, side, depth, rate);
        const AHEAD_S: f64 = 30.0;
        let line = from_msw + rate * ((look.now - since) as f64 + AHEAD_S);
        let wanted = ((line - depth) / AHEAD_S)
            .clamp(0.0, rate)
            .min((leg.to_msw - depth) / 20.0);
        self.set_msw_s = wanted;
        let opening = (self.opening_per_msw_s * wanted).clamp(0.0, 1.0);
        look.valve(ValveName::BlowDown(c), opening, Purpose::BlowDown);
        look.when(
            look.depth_gauge(c),
            true,
            leg.to_msw - practice::STOP_SHORT_MSW,
        );
        let at = look.now + practice::PRESS_LOOK_S;
        look.wake(at);
    }

    /// Corrects what an opening gives by what the gauge made of it, a minute or 2 msw at a time.
    fn measure(&mut self, look: &Look, side: usize, depth: f64, rate: f64) {
        let layout = &look.kit.layout.sides[side];
        if self.opening_per_msw_s == 0.0 {
            let opening = valves::blow_down(look, layout.living, layout.volume_m3, depth, rate);
            self.opening_per_msw_s = opening / rate;
            return;
        }
        let (at, then) = self.measured;
        let passed = (look.now - at) as f64;
        if passed < 60.0 {
            return;
        }
        let got = ((depth - then) / passed).max(0.1 * rate);
        if self.set_msw_s > 0.3 * rate {
            self.opening_per_msw_s *= (self.set_msw_s / got).clamp(0.7, 1.3);
        }
        self.measured = (look.now, depth);
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
        above_bar: depth * MSW_PA / BAR_PA + regulator_bar + practice::HEEL_BAR,
        o2: (0.0, 0.25),
        best_o2: plan
            .mix_o2
            .filter(|_| leg.gas == PressGas::Mix)
            .unwrap_or(lands),
    }
}
