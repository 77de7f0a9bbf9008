//! Oxygen on the way down. It is established near the surface, before the leak check, and from there led
//! so that what the pressing mixture still brings makes it the storage band's on arrival: by Dalton's law
//! a mixture adds its share of each bar pressed.
//!
//! For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current
//! document, the company's approved manual and the licensed people on the job decide.

use super::asked;
use super::banks::Banks;
use super::context::Look;
use super::house_figures;
use super::oxygen::Oxygen;
use deepstay_core::record::LineName;
use deepstay_core::units::*;
use deepstay_rules::OxygenHold;
use serde::{Deserialize, Serialize};

/// State of the oxygen while pressing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct OxygenOnDescent {
    /// Every analyser of the level has shown what was wanted, or it was waited for long enough.
    established: bool,
    /// When adding began; none before.
    since: Option<i64>,
    /// Last look at what the oxygen does: second, depth, msw, and ppO2, bar.
    looked: (i64, f64, f64),
}

impl OxygenOnDescent {
    /// Whether oxygen is to be established at this depth before going on, where the hold near the surface
    /// is at `hold_msw`: short of it by as much as the oxygen itself will press.
    pub fn calls(
        &self,
        look: &mut Look,
        level: usize,
        depth: f64,
        hold_msw: f64,
        to_msw: f64,
    ) -> bool {
        if self.established {
            return false;
        }
        let Some((low_bar, high_bar)) = wanted(look, level, depth, to_msw) else {
            return false;
        };
        let shown = look.ppo2(look.home(level));
        let lacks_bar = shown.map_or(0.0, |s| (0.5 * (low_bar + high_bar) - s).max(0.0));
        depth >= hold_msw - lacks_bar * BAR_PA / MSW_PA - house_figures::STOP_SHORT_MSW
    }

    /// Highest ppO2 that is to be shown at a depth once oxygen is established, bar; none before.
    pub fn highest_bar(
        &self,
        look: &mut Look,
        level: usize,
        depth: f64,
        to_msw: f64,
    ) -> Option<f64> {
        let (_, high_bar) = wanted(look, level, depth, to_msw).filter(|_| self.established)?;
        Some(high_bar)
    }

    /// Adds until every analyser of the level shows what is wanted. True when that is so.
    pub fn establish(
        &mut self,
        look: &mut Look,
        level: usize,
        to_msw: f64,
        oxygen: &mut Oxygen,
        banks: &mut Banks,
    ) -> bool {
        let c = look.home(level);
        let depth = look.depth(c);
        let shown = look.ppo2(c).unwrap_or(0.0);
        if self.since.is_none() {
            self.since = Some(look.now);
            self.looked = (look.now, depth, shown);
        }
        let since = self.since.unwrap_or(look.now);
        let wanted = wanted(look, level, depth, to_msw);
        let there = wanted.is_none_or(|(low_bar, _)| everywhere(look, level, low_bar));
        if there || look.now >= since + house_figures::ESTABLISH_S {
            self.established = true;
            return true;
        }
        self.aim(look, level, depth, to_msw, oxygen, banks);
        let soon = look.now + 30;
        look.wake(soon);
        false
    }

    /// On the way down from there: the make-up follows the depth, in strides, or the set point would be
    /// given anew on each look.
    pub fn steer(
        &mut self,
        look: &mut Look,
        level: usize,
        to_msw: f64,
        oxygen: &mut Oxygen,
        banks: &mut Banks,
    ) {
        if self.established {
            let depth = look.depth(look.home(level));
            let stride = (depth / house_figures::DESCENT_STRIDE_MSW).floor()
                * house_figures::DESCENT_STRIDE_MSW;
            self.aim(look, level, stride, to_msw, oxygen, banks);
        }
    }

    /// Sets the make-up for a depth, and looks at what it does.
    fn aim(
        &mut self,
        look: &mut Look,
        level: usize,
        depth: f64,
        to_msw: f64,
        oxygen: &mut Oxygen,
        banks: &mut Banks,
    ) {
        if let Some((low_bar, high_bar)) = wanted(look, level, depth, to_msw) {
            let hold = OxygenHold::Partial { low_bar, high_bar };
            oxygen.make_up(look, level, hold, depth);
            self.doubt(look, level, oxygen, banks);
        }
    }

    /// Oxygen that presses the chamber but does not show on the analyser is none: pure, it raises ppO2 by
    /// as much as it raises the pressure.
    fn doubt(&mut self, look: &mut Look, level: usize, oxygen: &mut Oxygen, banks: &mut Banks) {
        let c = look.home(level);
        let (at, then_msw, then_bar) = self.looked;
        if look.now < at + house_figures::DOUBT_S {
            return;
        }
        let (depth, shown) = (look.depth(c), look.ppo2(c).unwrap_or(0.0));
        self.looked = (look.now, depth, shown);
        oxygen.supply(look, level, banks);
        let pressed_bar = (depth - then_msw) * MSW_PA / BAR_PA;
        if !self.established
            && oxygen.short(shown)
            && pressed_bar > 0.03
            && shown - then_bar < 0.5 * pressed_bar
        {
            oxygen.doubt_bank(look, level, banks);
        }
    }
}

/// Lowest and highest ppO2 to be shown at a depth, bar, so that the storage band is met at the depth gone
/// to with the mixture lined up; never richer than air. None where a level has no make-up or no analyser.
fn wanted(look: &mut Look, level: usize, depth: f64, to_msw: f64) -> Option<(f64, f64)> {
    let steel = &look.kit.scenario.steel;
    let c = look.home(level);
    if steel.compartments[c.index()].oxygen_m2 <= 0.0 {
        return None;
    }
    look.ppo2(c)?;
    let OxygenHold::Partial { low_bar, high_bar } = asked::storage_oxygen(look) else {
        return None;
    };
    let brings_bar = brings_bar(look, level, depth, to_msw)?;
    let p_bar = (steel.surface_pa + depth * MSW_PA) / BAR_PA;
    let high = (high_bar - brings_bar).min(house_figures::DESCENT_RICHEST * p_bar);
    Some(((high - (high_bar - low_bar)).max(0.0), high.max(0.0)))
}

/// What pressing with the mixture lined up brings of oxygen from one depth to another, bar, by its label.
pub fn brings_bar(look: &Look, level: usize, from_msw: f64, to_msw: f64) -> Option<f64> {
    let c = look.home(level);
    let bank = look.panel.lined_up(LineName::Supply(c))?;
    let pressed_bar = (to_msw - from_msw).max(0.0) * MSW_PA / BAR_PA;
    Some(look.panel.label_o2(bank) * pressed_bar)
}

/// Whether each analyser of the level shows at least so much.
fn everywhere(look: &Look, level: usize, low_bar: f64) -> bool {
    let members = &look.kit.layout.levels[level].members;
    members
        .iter()
        .all(|&m| look.ppo2(m).is_none_or(|shown| shown >= low_bar))
}
