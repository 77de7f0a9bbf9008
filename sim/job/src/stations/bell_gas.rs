//! Gas of the bell: its supply, oxygen, the divers' main and secondary gas, the check of what is on
//! board, and what calls divers back.

use super::banks::{Banks, Need};
use super::calibrate;
use super::context::Look;
use super::house_figures;
use super::layout::BellLayout;
use super::make_up::make_up_at;
use super::{absorbent, asked, feed, loop_gas, oxygen, oxygen_read, valves};
use deepstay_core::gas::Species;
use deepstay_core::record::{
    BreathingPath, Finding, LineName, Machine, Routine, Spoken, Station, Stopped, What, Whereabouts,
};
use deepstay_core::units::*;
use deepstay_plant::{Duty, Order, PeopleOrder, SteelOrder};
use deepstay_scenario::BellRun;

/// Hours on a bell canister after which it is changed before a run (common practice, no source).
const CANISTER_HOURS: f64 = 4.0;

/// Begins the check sheet: instruments, absorbent, machines.
pub fn begin_checks(look: &mut Look, bell: CompartmentId, depth_msw: f64) {
    let kit = look.kit;
    let plate = &kit.scenario.steel.compartments[bell.index()];
    look.write(What::Routine {
        compartment: bell,
        routine: Routine::BellChecks,
        diver: None,
    });
    calibrate::analysers(look, bell);
    calibrate::depth_gauges(look, bell);
    if let Some(fitted) = &plate.bell {
        calibrate::depth_gauges(look, fitted.trunk);
    }
    if plate.scrubber.is_some() {
        if look.panel.absorbent_hours(bell) > CANISTER_HOURS {
            absorbent::change(look, bell);
        }
        look.switch(bell, Machine::Fan, true);
    }
    warm(look, bell, depth_msw);
    if plate.oxygen_m2 > 0.0 {
        let hold = asked::storage_oxygen(look);
        let late_bar = valves::oxygen_shown_late_bar(look, bell);
        let (ppo2_bar, band_bar) =
            oxygen::setting(hold, kit.scenario.steel.surface_pa, depth_msw, late_bar);
        look.steel(SteelOrder::OxygenSet {
            compartment: bell,
            ppo2_bar,
            band_bar,
        });
        look.switch(bell, Machine::OxygenControl, true);
    }
}

/// Bail-outs on the check sheet: each is read by its gauge, and exchanged where it is short of its fill.
pub fn read_bail_outs(look: &mut Look, divers: &[DiverId]) {
    let full_bar = look.kit.scenario.bail_out.fill_gauge_pa / BAR_PA;
    for &diver in divers {
        let Some(gauge_bar) = look.panel.bail_out_bar(diver) else {
            continue;
        };
        let exchanged = false;
        look.write(What::BailOut {
            diver,
            gauge_bar,
            exchanged,
        });
        if gauge_bar < house_figures::bell::BAIL_OUT_SHORT_SHARE * full_bar {
            let exchange = PeopleOrder::ExchangeBailOut { diver };
            look.desk.order(Order::People(exchange));
        }
    }
}

/// Whether every bail-out of a run can be breathed at its depth, and lasts the way back to the bell by its gauge.
fn bail_outs_checked(look: &Look, divers: &[DiverId], depth_msw: f64) -> Result<(), Stopped> {
    let scenario = &look.kit.scenario;
    let kind = &scenario.bail_out;
    let surface_pa = scenario.steel.surface_pa;
    let p_pa = surface_pa + depth_msw * MSW_PA;
    let (low, high) = house_figures::EMERGENCY_PPO2_BAR;
    let ppo2_bar = kind.mix.fractions()[Species::O2] * p_pa / BAR_PA;
    if !(low..=high).contains(&ppo2_bar) {
        return Err(Stopped::GasUnfit);
    }
    let lasts = |&diver: &DiverId| {
        let shown = look.panel.bail_out_bar(diver);
        let lasts_s = shown.map(|bar| kind.lasts_by_gauge_s(bar * BAR_PA, surface_pa, p_pa));
        lasts_s.is_none_or(|s| s >= house_figures::bell::BAIL_OUT_LASTS_S)
    };
    if divers.iter().all(lasts) {
        Ok(())
    } else {
        Err(Stopped::Gas)
    }
}

/// Keeps a bell in use warm, also between its runs: shut cold, its pressure would rise as it warms.
pub fn warm(look: &mut Look, bell: CompartmentId, depth_msw: f64) {
    let scenario = &look.kit.scenario;
    if scenario.steel.compartments[bell.index()].climate.is_some() {
        let t_k = asked::climate_k(look, depth_msw);
        look.steel(SteelOrder::ClimateSet {
            compartment: bell,
            t_k,
            humidity: house_figures::HUMIDITY,
        });
        look.switch(bell, Machine::Climate, true);
    }
}

/// Switches the climate off in a bell that is not used again.
pub fn let_cool(look: &mut Look, bell: CompartmentId) {
    if look.kit.scenario.steel.compartments[bell.index()]
        .climate
        .is_some()
    {
        look.switch(bell, Machine::Climate, false);
    }
}

/// Switches off what the bell needs only with people in it.
pub fn machines_off(look: &mut Look, bell: CompartmentId) {
    let plate = &look.kit.scenario.steel.compartments[bell.index()];
    if plate.oxygen_m2 > 0.0 {
        look.switch(bell, Machine::OxygenControl, false);
    }
    if plate.scrubber.is_some() {
        look.switch(bell, Machine::Fan, false);
    }
}

/// Hot water for divers in the water.
pub fn hot_water(look: &mut Look, bell: CompartmentId, on: bool) {
    look.switch(bell, Machine::HotWater, on);
}

/// Supply to bell and trunk.
pub fn supply(look: &mut Look, at: &BellLayout, depth_msw: f64, banks: &mut Banks) -> bool {
    let mut good = true;
    for c in [at.bell, at.trunk] {
        let plate = &look.kit.scenario.steel.compartments[c.index()];
        if plate.blow_down_m2 <= 0.0 {
            continue;
        }
        good &= banks.keep(look, LineName::Supply(c), &make_up_at(look, c, depth_msw));
    }
    good
}

/// Divers' main gas on open circuit: a bank fit to breathe at the depth.
///
/// # Errors
/// Why there is none.
pub fn main_gas(
    look: &mut Look,
    bell: CompartmentId,
    depth_msw: f64,
    banks: &mut Banks,
) -> Result<(), Stopped> {
    let line = LineName::DiverMain(bell);
    let duties = &[Duty::DiverGas, Duty::BottomMix];
    let liked = breathable(look, depth_msw, duties, house_figures::DIVER_PPO2_BAR);
    // Beside a loop there is a bank kept for open circuit.
    if let Some(kept) = loop_gas::in_use(look).map(|r| r.open_circuit)
        && banks.is_good(look, kept, &liked)
    {
        look.line_up(line, kept);
        return Ok(());
    }
    if banks.keep(look, line, &liked) {
        return Ok(());
    }
    let borne = breathable(look, depth_msw, duties, house_figures::EMERGENCY_PPO2_BAR);
    match banks.keep(look, line, &borne) {
        true => Ok(()),
        false => Err(banks.why_none(look, &borne)),
    }
}

/// The rest of the check sheet: every line has a bank, the on-board bank and the bail-outs their pressure, and what
/// divers may have to breathe from the bell, or on their backs, is fit for the depth.
///
/// # Errors
/// What is wrong, the gas that the divers are to breathe first.
pub fn checked(
    look: &mut Look,
    bell: CompartmentId,
    planned: &BellRun,
    banks: &mut Banks,
) -> Result<(), Stopped> {
    let depth_msw = planned.depth_msw;
    let bail_outs = bail_outs_checked(look, &planned.divers, depth_msw);
    let kit = look.kit;
    let plate = &kit.scenario.steel.compartments[bell.index()];
    let Some(fitted) = &plate.bell else {
        return Err(Stopped::Checks);
    };
    let main = main_gas(look, bell, depth_msw, banks);
    let mut good = true;
    let mut fit = match look.panel.lined_up(LineName::DiverMain(bell)) {
        Some(bank) if main.is_ok() => can_be_breathed(look, bank, depth_msw),
        _ => true,
    };
    if let Some(bank) = fitted.on_board {
        fit &= can_be_breathed(look, bank, depth_msw);
        look.line_up(LineName::DiverSecondary(bell), bank);
        look.line_up(LineName::Bibs(bell), bank);
        let least = depth_msw * MSW_PA / BAR_PA + house_figures::ON_BOARD_OVER_BAR;
        good &= look.bank_bar(bank).is_none_or(|bar| bar >= least);
    }
    if let Some(bank) = fitted.on_board_oxygen {
        look.line_up(LineName::Oxygen(bell), bank);
    } else if plate.oxygen_m2 > 0.0 {
        good &= banks.keep(look, LineName::Oxygen(bell), &feed::need(look, bell));
    }
    main.and(match (fit, good) {
        (false, _) => Err(Stopped::GasUnfit),
        (true, false) => Err(Stopped::Gas),
        (true, true) => Ok(()),
    })
    .and(bail_outs)
}

/// Whether a bank's gas can be breathed in an emergency at a depth, by its label and by its last analysis: either
/// may be the one that is wrong.
fn can_be_breathed(look: &Look, bank: BankId, depth_msw: f64) -> bool {
    let p_bar = (look.kit.scenario.steel.surface_pa + depth_msw * MSW_PA) / BAR_PA;
    let (low, high) = house_figures::EMERGENCY_PPO2_BAR;
    let fit = |o2: f64| (low..=high).contains(&(o2 * p_bar));
    fit(look.panel.label_o2(bank)) && look.panel.analysed_o2(bank).is_none_or(fit)
}

/// What calls the divers back, if anything does: their words, the bell's gas, the sea. `fan_stopped` remembers what was
/// seen of the fan's lamp.
pub fn recall(look: &mut Look, bell: CompartmentId, fan_stopped: &mut bool) -> Option<Stopped> {
    let panel = look.panel;
    let (mut trouble, mut chilled) = (None, false);
    for &(_, diver, spoken) in panel.said() {
        if panel.whereabouts(diver) == Whereabouts::Water(bell) {
            match spoken {
                Spoken::ShortOfBreath
                | Spoken::GasNoise
                | Spoken::SlowAnswers
                | Spoken::NoAnswer
                | Spoken::NoGas => trouble = Some(diver),
                Spoken::Cold => chilled = true,
                Spoken::Hot | Spoken::Well | Spoken::Seal | Spoken::Ears | Spoken::Water => {}
            }
        }
    }
    if let Some(diver) = trouble {
        look.breathe(diver, BreathingPath::Secondary);
        return Some(Stopped::Diver);
    }
    see_to_fan(look, bell, fan_stopped);
    // Without hot water a diver comes back at once (common practice, no source).
    if chilled {
        return Some(Stopped::Diver);
    }
    let co2 = look.co2_analyser(bell);
    if look
        .shown(co2)
        .is_some_and(|p| p >= house_figures::RECALL_PPCO2_BAR)
    {
        return Some(Stopped::Atmosphere);
    }
    // Away from everything nothing bears one of its analysers out against the other: either calls them back.
    let oxygen = oxygen_read::read_alone(look, bell);
    if oxygen.is_some_and(|o| o.unfit(house_figures::EMERGENCY_PPO2_BAR)) {
        return Some(Stopped::Atmosphere);
    }
    if panel.hs_m() > look.kit.scenario.site.launch_limit_hs_m {
        return Some(Stopped::Weather);
    }
    look.when(co2, true, house_figures::RECALL_PPCO2_BAR);
    None
}

/// Whether somebody in the bell says that water comes up in it.
pub fn water_comes_up(look: &Look, bell: CompartmentId) -> bool {
    let mut said = look.panel.said().iter();
    said.any(|(_, diver, spoken)| {
        *spoken == Spoken::Water && look.panel.whereabouts(*diver) == Whereabouts::In(bell)
    })
}

/// The bell is blown down with any gas that there is: which one is asked later.
pub fn blow_down(look: &mut Look, bell: CompartmentId, depth_msw: f64, banks: &mut Banks) {
    let need = make_up_at(look, bell, depth_msw);
    banks.any(look, LineName::Supply(bell), need.above_bar);
}

/// The lamp of the bell's fan: one that stopped is written down and switched on again.
fn see_to_fan(look: &mut Look, bell: CompartmentId, stopped: &mut bool) {
    let plate = &look.kit.scenario.steel.compartments[bell.index()];
    let stands = plate.scrubber.is_some() && !look.panel.fan_runs(bell);
    if stands && !*stopped {
        look.write(What::Found {
            station: Station::Dive,
            compartment: bell,
            finding: Finding::FanStopped,
        });
        look.switch(bell, Machine::Fan, true);
    }
    *stopped = stands;
}

/// Gauge pressure at which a bank can no longer feed helmets or masks at a depth with a margin, bar.
pub fn heel_bar(look: &Look, depth_msw: f64) -> f64 {
    breath_bar(look, depth_msw) + house_figures::HEEL_BAR
}

/// Gauge pressure below which a bank gives no breath at a depth, bar.
pub fn breath_bar(look: &Look, depth_msw: f64) -> f64 {
    let steel = &look.kit.scenario.steel;
    let needs_pa = steel.surface_pa + depth_msw * MSW_PA + steel.breathing_over_pa;
    needs_pa / BAR_PA
}

fn breathable<'a>(
    look: &Look,
    depth_msw: f64,
    duties: &'a [Duty],
    ppo2_bar: (f64, f64),
) -> Need<'a> {
    let steel = &look.kit.scenario.steel;
    let p_bar = (steel.surface_pa + depth_msw * MSW_PA) / BAR_PA;
    let (low, high) = ppo2_bar;
    Need {
        duties,
        above_bar: heel_bar(look, depth_msw),
        o2: (low / p_bar, high / p_bar),
        best_o2: super::banks::LIKED_IN_WATER_BAR / p_bar,
        but: None,
    }
}
