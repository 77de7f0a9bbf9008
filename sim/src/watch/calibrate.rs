//! Calibration: every analyser of the pressed chambers at the interval of the plan or the rule set,
//! whichever is shorter. Between two calibrations nobody can tell a drifted analyser from a true one.

use super::asked;
use super::context::Look;
use crate::plant::SteelOrder;
use crate::units::*;
use serde::{Deserialize, Serialize};

/// When it is due next.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Calibrate {
    next: i64,
}

impl Calibrate {
    /// Calibrates the analysers of a side when due.
    pub fn act(&mut self, look: &mut Look, side: usize) {
        if look.now >= self.next {
            let every_s = asked::calibrate_every_s(&look.kit.scenario).max(60);
            self.next = look.now + every_s;
            for &c in &look.kit.layout.sides[side].members {
                analysers(look, c);
            }
        }
        look.wake(self.next);
    }
}

/// Calibrates all analysers labelled for a compartment.
pub fn analysers(look: &mut Look, c: CompartmentId) {
    let gauges = &look.kit.layout.gauges[c.index()];
    for instrument in gauges.ppo2.into_iter().chain(gauges.ppco2).flatten() {
        look.steel(SteelOrder::Calibrate { instrument });
    }
}
