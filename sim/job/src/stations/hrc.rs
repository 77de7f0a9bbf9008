//! The daily check of the HRC, mated and pressed with the chambers that it is to save: its depth against theirs, its
//! oxygen, its fan. It is written down, and so is what is not as it should be. That it is done once a day is common
//! practice, no source; its hour is the house's.

use super::context::Look;
use super::daily_time::DailyTime;
use super::house_figures::{self, sampled::HRC_CHECK_S};
use super::oxygen_read;
use crate::random::Draw;
use deepstay_core::record::{Finding, Routine, What};
use deepstay_core::units::*;
use serde::{Deserialize, Serialize};

/// The second of the vessel's day that it is planned for (house figure).
const PLANNED_S: i64 = 10 * 3600;

/// When the HRC of a level is checked next; none before the first look.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct HrcCheck {
    time: Option<DailyTime>,
    draw: Draw,
}

impl HrcCheck {
    /// Not looked at yet. Its times are sampled from `draw`.
    pub fn new(draw: Draw) -> HrcCheck {
        HrcCheck { time: None, draw }
    }

    /// Checks it when its time has come, while the level is pressed.
    pub fn act(&mut self, look: &mut Look, level: usize) {
        let kit = look.kit;
        let draw = &mut self.draw;
        let first = || DailyTime::new(kit, look.now, PLANNED_S, HRC_CHECK_S, draw);
        let mut time = self.time.unwrap_or_else(first);
        if time.comes(look, HRC_CHECK_S, &mut self.draw) {
            for &c in &kit.layout.levels[level].members {
                if kit.scenario.steel.compartments[c.index()].kind == CompartmentKind::Rescue {
                    check(look, level, c);
                }
            }
        }
        self.time = Some(time);
    }
}

fn check(look: &mut Look, level: usize, hrc: CompartmentId) {
    look.write(What::Routine {
        compartment: hrc,
        routine: Routine::HrcCheck,
        diver: None,
    });
    let short_msw = look.depth(look.home(level)) - look.depth(hrc);
    if short_msw > house_figures::LOSS_MSW {
        look.found(hrc, Finding::DepthLost);
    }
    let oxygen = oxygen_read::read(look, level, hrc);
    if oxygen.is_some_and(|o| o.unfit(house_figures::EMERGENCY_PPO2_BAR)) {
        look.found(hrc, Finding::OxygenEmergency);
    }
    let has_fan = look.kit.scenario.steel.compartments[hrc.index()]
        .scrubber
        .is_some();
    if has_fan && !look.panel.fan_runs(hrc) {
        look.found(hrc, Finding::FanStopped);
    }
}
