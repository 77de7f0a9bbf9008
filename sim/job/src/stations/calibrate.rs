//! Calibration: every analyser of the pressed chambers at the interval of the plan or the rule set,
//! whichever is shorter. Between two calibrations nobody can tell a drifted analyser from a true one.

use super::asked;
use super::context::Look;
use super::house_figures;
use super::house_figures::sampled;
use crate::random::Draw;
use deepstay_core::units::*;
use deepstay_plant::SteelOrder;
use serde::{Deserialize, Serialize};

/// When it is due next.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Calibrate {
    next: i64,
    next_depth: i64,
    draw: Draw,
}

impl Calibrate {
    /// Due at once. How early each comes is sampled from `draw`.
    pub fn new(draw: Draw) -> Calibrate {
        Calibrate {
            next: 0,
            next_depth: 0,
            draw,
        }
    }

    /// When the next is done that is due after an interval: before it runs out.
    fn within(&mut self, now: i64, every_s: i64) -> i64 {
        let (least, most) = sampled::CALIBRATE_EARLY;
        let early_s = every_s as f64 * self.draw.between(least, most);
        now + every_s - early_s as i64
    }

    /// Calibrates the analysers of a level when due.
    pub fn act(&mut self, look: &mut Look, level: usize) {
        if look.now >= self.next {
            let every_s = asked::calibrate_every_s(look).max(60);
            self.next = self.within(look.now, every_s);
            for &c in &look.kit.layout.levels[level].members {
                analysers(look, c);
            }
        }
        if look.now >= self.next_depth {
            self.next_depth = self.within(look.now, house_figures::DEPTH_GAUGES_S);
            for &c in &look.kit.layout.levels[level].members {
                depth_gauges(look, c);
            }
            for lock in &look.kit.layout.levels[level].locks {
                depth_gauges(look, lock.lock);
            }
        }
        look.wake(self.next);
        look.wake(self.next_depth);
    }
}

/// Calibrates all analysers labelled for a compartment.
pub fn analysers(look: &mut Look, c: CompartmentId) {
    let gauges = &look.kit.layout.gauges[c.index()];
    for instrument in gauges.ppo2.into_iter().chain(gauges.ppco2).flatten() {
        look.steel(SteelOrder::Calibrate { instrument });
    }
}

/// Sets the depth gauges of a compartment against the standard, and the sea gauge of a bell.
pub fn depth_gauges(look: &mut Look, c: CompartmentId) {
    let gauges = &look.kit.layout.gauges[c.index()];
    for instrument in gauges.depth.into_iter().chain([gauges.sea]).flatten() {
        look.steel(SteelOrder::Calibrate { instrument });
    }
}
