//! The 12-hour handover: the oncoming watch reads the gas status sheet before it takes over.

use super::context::Look;
use super::daily_time::DailyTime;
use super::house_figures::sampled::HANDOVER_S;
use crate::random::Draw;
use deepstay_core::record::{Routine, Station, What};
use deepstay_core::units::*;
use serde::{Deserialize, Serialize};

/// When the station hands over next; none before the first look.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Handover {
    times: Vec<DailyTime>,
    draw: Draw,
}

impl Handover {
    /// Not looked at yet. Its times are sampled from `draw`.
    pub fn new(draw: Draw) -> Handover {
        Handover {
            times: Vec::new(),
            draw,
        }
    }

    /// Hands over when its time has come.
    pub fn act(&mut self, look: &mut Look, station: Station, status_of: Option<CompartmentId>) {
        let kit = look.kit;
        if self.times.is_empty() {
            let draw = &mut self.draw;
            let planned = kit.scenario.plan.handover_s;
            let time = |s| DailyTime::new(kit, look.now, s, HANDOVER_S, draw);
            self.times = planned.map(time).into();
        }
        for time in &mut self.times {
            if time.comes(look, HANDOVER_S, &mut self.draw) {
                if let Some(compartment) = status_of {
                    look.write(What::Routine {
                        compartment,
                        routine: Routine::GasStatus,
                        diver: None,
                    });
                }
                look.write(What::Handover { station });
            }
        }
    }
}
