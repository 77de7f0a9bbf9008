//! Coming up by the rule set's timetable: for each step the bleed is opened at its second and shut
//! when the gauge shows its depth; oxygen follows its band, first a pressure, later a fraction.

use super::context::Look;
use super::house_figures;
use super::oxygen::Oxygen;
use super::valves;
use deepstay_core::record::{ValveName, What};
use deepstay_core::units::*;
use deepstay_rules::{DecompressionPlan, OxygenHold};
use deepstay_scenario::{Ascent, LevelStands};
use serde::{Deserialize, Serialize};

/// A late step is looked at this often, s.
const LEAN_S: i64 = 120;

/// Where the decompression stands. The timetable itself is asked of the rules again when needed: it
/// follows from the depth and the clock at which it began.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Decompress {
    /// Second at which it began.
    pub began: i64,
    /// Depth it began from, msw.
    pub from_msw: f64,
    /// Depth at which it ends, msw; zero for the surface.
    pub end_msw: f64,
    /// By which timetable.
    pub ascent: Ascent,
    step: usize,
    bleeding: bool,
    /// When the bleed is opened wider next, if the step is late.
    lean_at: i64,
    /// Depth that is held now, msw.
    pub held_msw: f64,
}

impl Decompress {
    /// Begins now.
    pub fn new(began: i64, from_msw: f64, end_msw: f64, ascent: Ascent) -> Decompress {
        Decompress {
            began,
            from_msw,
            end_msw,
            ascent,
            step: 0,
            bleeding: false,
            lean_at: 0,
            held_msw: from_msw,
        }
    }

    /// It was begun before: this step of its timetable comes next, and a depth is held until then, msw.
    pub fn found_at(mut self, step: usize, held_msw: f64) -> Decompress {
        (self.step, self.held_msw) = (step, held_msw);
        self
    }

    /// What it is, for a page that another goes on from.
    pub fn stands(&self) -> LevelStands {
        LevelStands::Decompression {
            from_msw: self.from_msw,
            to_msw: self.end_msw,
            began_s: self.began,
            why: self.ascent,
            step: self.step,
            held_msw: self.held_msw,
        }
    }

    /// Looks and acts. True when it is over.
    pub fn act(
        &mut self,
        look: &mut Look,
        level: usize,
        plan: &DecompressionPlan,
        oxygen: &mut Oxygen,
    ) -> bool {
        let c = look.home(level);
        let Some(step) = plan.steps.get(self.step) else {
            return !self.bleeding;
        };
        let to_msw = step.to_msw.max(self.end_msw);
        let start = self.began + step.start_s;
        if !self.bleeding {
            if look.now < start {
                look.wake(start);
                return false;
            }
            self.bleeding = true;
            self.held_msw = to_msw;
            look.write(What::Step {
                compartment: c,
                to_msw,
            });
            self.open(look, level, to_msw);
        }
        let depth = look.depth(c);
        let there = to_msw.max(house_figures::SURFACE_MSW);
        // A gauge that never shows nought does not keep them in: late, near, and so at the surface.
        let long_late = look.now > self.began + step.by_s + 1800;
        let surfaced = to_msw <= 0.0 && long_late && depth < house_figures::DEPTH_LOW_MSW;
        if depth > there && !surfaced {
            if look.now > self.began + step.by_s && look.now >= self.lean_at {
                self.lean(look, c);
                self.lean_at = look.now + LEAN_S;
            }
            look.when(look.depth_gauge(c), false, there);
            let at = look.now + LEAN_S;
            look.wake(at);
            return false;
        }
        look.valve(ValveName::Bleed(c), 0.0, Purpose::Bleed);
        self.bleeding = false;
        self.step += 1;
        oxygen.aim(look, level, band(plan, to_msw), to_msw);
        let over = step.to_msw <= self.end_msw || self.step >= plan.steps.len();
        if let (false, Some(next)) = (over, plan.steps.get(self.step)) {
            look.wake(self.began + next.start_s);
        }
        over
    }

    /// Whether the bleed is open for a step.
    pub fn moving(&self) -> bool {
        self.bleeding
    }

    fn open(&self, look: &mut Look, level: usize, to_msw: f64) {
        let c = look.home(level);
        let volume_m3 = look.volume_m3(level);
        let depth = look.depth(c);
        let valve = ValveName::Bleed(c);
        let full = to_msw <= 0.0 && depth < 2.0 * house_figures::SURFACE_MSW;
        let opening = if full {
            1.0
        } else {
            valves::exhaust(look, valve, volume_m3, depth, house_figures::BLEED_MSW_S)
        };
        look.valve(valve, opening.max(0.001), Purpose::Bleed);
    }

    /// A step that is late gets a wider bleed.
    fn lean(&self, look: &mut Look, c: CompartmentId) {
        let valve = ValveName::Bleed(c);
        let opening = (look.panel.valve(valve) * 1.5).clamp(0.001, 1.0);
        look.valve(valve, opening, Purpose::Bleed);
    }
}

/// The oxygen to hold at a depth of the timetable.
pub fn band(plan: &DecompressionPlan, depth_msw: f64) -> Option<OxygenHold> {
    plan.oxygen
        .iter()
        .filter(|b| depth_msw >= b.deeper_than_msw)
        .max_by(|a, b| a.deeper_than_msw.total_cmp(&b.deeper_than_msw))
        .map(|b| b.hold)
}
