//! The loop that brings divers' gas back, as dive control runs it: its make-up bank, its oxygen by the indicated ppO2
//! of what it supplies, its absorbent by hours, and open circuit as soon as an analyser alarms.

use super::absorbent;
use super::banks::{Banks, Need};
use super::calibrate;
use super::context::Look;
use super::feed::oxygen_above;
use super::house_figures::{self, reclaim};
use deepstay_core::record::{
    AlarmSetting, AlarmState, Aspect, Bound, LimitBy, LimitName, LineName, Machine, Severity,
    SoundsAt, ValveName, What,
};
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

    fn look_after(
        &mut self,
        look: &mut Look,
        r: &Reclaim,
        bell: CompartmentId,
        depth_msw: f64,
        banks: &mut Banks,
    ) {
        let made_up = make_up(look, r, depth_msw, banks);
        if let Some(alarm) = alarm(look, r) {
            look.write(alarm);
            self.alarmed = true;
        }
        if self.alarmed || !made_up {
            look.switch(bell, Machine::Reclaim, false);
            shut_trickle(look, r);
            return;
        }
        oxygen_bank(look, r, banks);
        trim(look, r, depth_msw);
        let [first, second] = look.kit.layout.gauges[r.tank.index()].ppo2;
        for analyser in [first, second] {
            look.when(analyser, false, r.alarms.low_o2_pa / BAR_PA);
            look.when(analyser, true, r.alarms.high_o2_pa / BAR_PA);
        }
        look.when(look.co2_analyser(r.tank), true, r.alarms.co2_pa / BAR_PA);
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

/// The alarm of an analyser of the loop, if one is beyond its set point.
fn alarm(look: &Look, r: &Reclaim) -> Option<What> {
    let gauges = &look.kit.layout.gauges[r.tank.index()];
    let (low, high) = (r.alarms.low_o2_pa / BAR_PA, r.alarms.high_o2_pa / BAR_PA);
    let rung = |quantity, bound, value, set_point| What::Alarm {
        name: LimitName {
            compartment: r.tank,
            quantity,
            aspect: Aspect::Breathed,
            bound,
            severity: Severity::Limit,
            by: LimitBy::SetPoint,
        },
        state: AlarmState::Acknowledged,
        value,
        setting: AlarmSetting {
            set_point,
            delay_s: 0,
            sounds: [SoundsAt::DiveControl].into_iter().collect(),
        },
    };
    for shown in gauges.ppo2.into_iter().filter_map(|a| look.shown(a)) {
        if shown <= low {
            return Some(rung(Quantity::PpO2, Bound::Low, shown, low));
        }
        if shown >= high {
            return Some(rung(Quantity::PpO2, Bound::High, shown, high));
        }
    }
    let co2 = look.shown(look.co2_analyser(r.tank))?;
    let most = r.alarms.co2_pa / BAR_PA;
    (co2 >= most).then(|| rung(Quantity::PpCo2, Bound::High, co2, most))
}
