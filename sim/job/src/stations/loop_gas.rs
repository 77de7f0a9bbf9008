//! The loop that brings divers' gas back, as dive control runs it: its make-up bank, its oxygen by the indicated ppO2
//! of what it supplies, its absorbent by hours, and open circuit as soon as an analyser alarms.

use super::absorbent;
use super::banks::{Banks, Need};
use super::calibrate;
use super::context::Look;
use super::feed::oxygen_above;
use super::house_figures::{self, reclaim};
use deepstay_core::record::{Finding, LineName, Machine, ValveName};
use deepstay_core::units::*;
use deepstay_plant::{Duty, Reclaim};
use serde::{Deserialize, Serialize};

/// Where a bell's divers stand with the loop.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct LoopGas {
    /// An analyser has alarmed since they last went out: they stay on open circuit.
    alarmed: bool,
}

impl LoopGas {
    /// Divers go out: on the loop, unless what it would supply is beyond an alarm.
    pub fn start(
        &mut self,
        look: &mut Look,
        bell: CompartmentId,
        depth_msw: f64,
        banks: &mut Banks,
    ) {
        self.alarmed = false;
        if let Some(r) = in_use(look) {
            if self.is_unfit(look, &r) {
                return;
            }
            look.switch(bell, Machine::Reclaim, true);
            self.look_after(look, &r, bell, depth_msw, banks);
        }
    }

    /// Looks at the loop while divers are out.
    pub fn round(
        &mut self,
        look: &mut Look,
        bell: CompartmentId,
        depth_msw: f64,
        banks: &mut Banks,
    ) {
        if let (Some(r), false) = (in_use(look), self.alarmed) {
            self.look_after(look, &r, bell, depth_msw, banks);
        }
    }

    /// Divers are back.
    pub fn stop(&mut self, look: &mut Look, bell: CompartmentId) {
        if let Some(r) = in_use(look) {
            look.switch(bell, Machine::Reclaim, false);
            shut_trickle(look, &r);
        }
    }

    /// Whether the loop's gas is beyond an alarm, which is written down.
    fn is_unfit(&mut self, look: &mut Look, r: &Reclaim) -> bool {
        self.alarmed = rings(look, r);
        if self.alarmed {
            look.found(r.tank, Finding::LoopUnfit);
        }
        self.alarmed
    }

    fn look_after(
        &mut self,
        look: &mut Look,
        r: &Reclaim,
        bell: CompartmentId,
        depth_msw: f64,
        banks: &mut Banks,
    ) {
        let made_up = make_up(look, r, depth_msw, banks);
        if self.is_unfit(look, r) || !made_up {
            look.switch(bell, Machine::Reclaim, false);
            shut_trickle(look, r);
            return;
        }
        oxygen_bank(look, r, banks);
        trim(look, r, depth_msw);
        let [first, second] = look.kit.layout.gauges[r.tank.index()].ppo2;
        for analyser in [first, second] {
            look.when(analyser, false, below(r.alarms.low_o2_pa));
            look.when(analyser, true, above(r.alarms.high_o2_pa));
        }
        look.when(look.co2_analyser(r.tank), true, above(r.alarms.co2_pa));
        if let Some(bank) = look.panel.lined_up(LineName::Supply(r.tank)) {
            let gauge = look.kit.layout.bank_gauges[bank.index()];
            look.when(gauge, false, heel_bar(r));
        }
    }
}

/// The loop, where the spread has one and the plan uses it.
pub fn in_use(look: &Look) -> Option<Reclaim> {
    let scenario = &look.kit.scenario;
    scenario.steel.reclaim.filter(|_| scenario.plan.reclaim)
}

/// The loop's part of the check sheet: analysers and absorbent.
pub fn check(look: &mut Look, divers: usize) {
    let Some(r) = in_use(look) else { return };
    calibrate::analysers(look, r.tank);
    let Some(bed) = look.kit.scenario.steel.compartments[r.tank.index()].scrubber else {
        return;
    };
    let capacity_mol = bed.absorbent_kg * bed.capacity_mol_kg * house_figures::CANISTER_SHARE;
    let hours = capacity_mol / (divers.max(1) as f64 * reclaim::CO2_MOL_S) / 3600.0;
    let shown = look.shown(look.co2_analyser(r.tank)).unwrap_or(0.0);
    let passes = shown >= reclaim::CO2_CHANGE_SHARE * r.alarms.co2_pa / BAR_PA;
    if passes || look.panel.absorbent_hours(r.tank) >= hours {
        absorbent::change(look, r.tank);
    }
}

/// Sees to it that the loop has a bank to make it up, and never the one for open circuit.
fn make_up(look: &mut Look, r: &Reclaim, depth_msw: f64, banks: &mut Banks) -> bool {
    let surface_pa = look.kit.scenario.steel.surface_pa;
    let p_bar = (surface_pa + depth_msw * MSW_PA) / BAR_PA;
    let target = house_figures::reclaim::PPO2_BAR / p_bar;
    // Without a trickle the mix brings what the bodies keep of each pass that comes back.
    let kept = reclaim::KEPT_BAR / p_bar * r.recovery / (1.0 - r.recovery).max(0.01);
    let best_o2 = if r.trickle.is_some() {
        target
    } else {
        target + kept
    };
    let need = Need {
        duties: &[Duty::DiverGas, Duty::BottomMix],
        above_bar: heel_bar(r),
        o2: (0.0, best_o2.max(house_figures::DIVER_PPO2_BAR.1 / p_bar)),
        best_o2,
        but: Some(r.open_circuit),
    };
    banks.keep(look, LineName::Supply(r.tank), &need)
}

/// The trickle's own bank, or another of oxygen once that is down to the tank's pressure.
fn oxygen_bank(look: &mut Look, r: &Reclaim, banks: &mut Banks) {
    let Some(own) = r.trickle else { return };
    let line = LineName::Oxygen(r.tank);
    let need = oxygen_above(heel_bar(r));
    if banks.is_good(look, own, &need) {
        look.line_up(line, own);
    } else {
        banks.keep(look, line, &need);
    }
}

fn heel_bar(r: &Reclaim) -> f64 {
    r.working_gauge_pa / BAR_PA + house_figures::HEEL_BAR
}

/// Sets the oxygen trickle by the indicated ppO2, the higher of the two: the further below, the wider.
pub fn trim(look: &mut Look, r: &Reclaim, depth_msw: f64) {
    if r.trickle.is_none() || depth_msw <= 0.0 {
        return;
    }
    let analysers = look.kit.layout.gauges[r.tank.index()].ppo2;
    let shown = analysers.into_iter().filter_map(|a| look.shown(a));
    let Some(shown) = shown.reduce(f64::max) else {
        return shut_trickle(look, r);
    };
    let over = (shown - reclaim::PPO2_BAR) / reclaim::BAND_BAR;
    let opening = ((0.5 - over) / reclaim::STEP).round() * reclaim::STEP;
    look.valve(
        ValveName::Oxygen(r.tank),
        opening.clamp(0.0, 1.0),
        Purpose::Oxygen,
    );
}

fn shut_trickle(look: &mut Look, r: &Reclaim) {
    if r.trickle.is_some() {
        look.valve(ValveName::Oxygen(r.tank), 0.0, Purpose::Oxygen);
    }
}

/// Whether an analyser of the loop is beyond the set point of its alarm.
fn rings(look: &Look, r: &Reclaim) -> bool {
    let gauges = &look.kit.layout.gauges[r.tank.index()];
    let (low, high) = (below(r.alarms.low_o2_pa), above(r.alarms.high_o2_pa));
    let mut oxygen = gauges.ppo2.into_iter().filter_map(|a| look.shown(a));
    let carbon_dioxide = look.shown(look.co2_analyser(r.tank));
    oxygen.any(|shown| shown <= low || shown >= high)
        || carbon_dioxide.is_some_and(|shown| shown >= above(r.alarms.co2_pa))
}

/// An alarm rings beyond its set point and not on it: the least reading, bar, that is above one.
fn above(set_point_pa: f64) -> f64 {
    set_point_pa / BAR_PA * (1.0 + JUST)
}

/// The greatest that is below one.
fn below(set_point_pa: f64) -> f64 {
    set_point_pa / BAR_PA * (1.0 - JUST)
}

/// Less than any step of an analyser.
const JUST: f64 = 1e-9;
