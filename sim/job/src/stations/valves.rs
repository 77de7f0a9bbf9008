//! First guesses for how far to open a valve, from the plates on the spread and the gauges; the gauge
//! corrects them afterwards. Flow by the nozzle formula of the gas room.

use super::context::Look;
use deepstay_core::gas::{Amounts, Species, flow};
use deepstay_core::record::{LineName, ValveName};
use deepstay_core::units::*;

/// Temperature a panel hand reckons with, K.
const RECKONED_T_K: f64 = 300.0;
/// Gas pressed in warms what is there: a fixed volume's pressure rises up to this much faster.
const HEAT_OF_COMPRESSION: f64 = 5.0 / 3.0;

/// Moles a second that change the pressure of a volume at a rate.
pub fn mol_s_for(volume_m3: f64, rate_msw_s: f64) -> f64 {
    volume_m3 * rate_msw_s * MSW_PA / (R * RECKONED_T_K)
}

/// Opening of the blow-down valve that presses at no more than a rate with the bank lined up.
pub fn blow_down(
    look: &Look,
    c: CompartmentId,
    volume_m3: f64,
    depth_msw: f64,
    rate_msw_s: f64,
) -> f64 {
    let steel = &look.kit.scenario.steel;
    let plate = &steel.compartments[c.index()];
    let here_pa = steel.surface_pa + depth_msw * MSW_PA;
    let line = LineName::Supply(c);
    let bank = look.is_to_be_lined_up(line);
    let o2 = bank.map_or(0.02, |b| look.panel.label_o2(b));
    let up_pa = behind_regulator_pa(look, line, here_pa);
    let full = flow::mol_s(
        plate.blow_down_m2,
        &mixture(o2),
        up_pa,
        RECKONED_T_K,
        here_pa,
    );
    share(mol_s_for(volume_m3, rate_msw_s) / HEAT_OF_COMPRESSION, full)
}

/// Pressure that a chamber's valve has in front of it, Pa: what the regulator of its line holds, or what is left in the
/// bank that feeds the line.
fn behind_regulator_pa(look: &Look, line: LineName, here_pa: f64) -> f64 {
    let steel = &look.kit.scenario.steel;
    let over_pa = steel.compartments[line.compartment().index()].supply_over_pa;
    let bank_pa = look
        .is_to_be_lined_up(line)
        .and_then(|b| look.bank_bar(b))
        .map_or(f64::MAX, |bar| steel.surface_pa + bar * BAR_PA);
    (here_pa + over_pa).min(bank_pa)
}

/// Moles that raise a gas by so much in a volume.
pub fn mol_for(volume_m3: f64, rise_bar: f64) -> f64 {
    volume_m3 * rise_bar * BAR_PA / (R * RECKONED_T_K)
}

/// Moles a second through a chamber's oxygen valve when it is open, from the bank lined up.
pub fn oxygen_mol_s(look: &Look, c: CompartmentId) -> f64 {
    let steel = &look.kit.scenario.steel;
    let plate = &steel.compartments[c.index()];
    let here_pa = steel.surface_pa + look.depth(c) * MSW_PA;
    let up_pa = behind_regulator_pa(look, LineName::Oxygen(c), here_pa);
    let oxygen = Amounts::heliox(1.0);
    flow::mol_s(plate.oxygen_m2, &oxygen, up_pa, RECKONED_T_K, here_pa)
}

/// How long gas takes through the sample line of a chamber's first oxygen analyser, and the cell's lag, s.
fn shows_after_s(look: &Look, c: CompartmentId) -> f64 {
    let steel = &look.kit.scenario.steel;
    let first = look.kit.layout.gauges[c.index()].ppo2[0];
    let Some(analyser) = first.and_then(|i| steel.instruments.get(i.index())) else {
        return 0.0;
    };
    let line_pa = if analyser.let_down_at_penetrator {
        steel.surface_pa
    } else {
        steel.surface_pa + look.depth(c) * MSW_PA
    };
    let line_s = if analyser.line_mol_s > 0.0 {
        analyser.line_m3 * line_pa / (R * RECKONED_T_K) / analyser.line_mol_s
    } else {
        0.0
    };
    line_s + analyser.lag_s
}

/// The same in whole seconds, with the cell's lag run out.
pub fn oxygen_shows_s(look: &Look, c: CompartmentId) -> i64 {
    (2.0 * shows_after_s(look, c)) as i64 + 1
}

/// ppO2 that the oxygen valve of a chamber adds before its analyser shows any of it, bar: its flow for as
/// long as gas takes through the sample line, and the cell's lag.
pub fn oxygen_shown_late_bar(look: &Look, c: CompartmentId) -> f64 {
    let volume_m3 = look.kit.scenario.steel.compartments[c.index()].volume_m3;
    let rise_pa = oxygen_mol_s(look, c) * R * RECKONED_T_K / volume_m3;
    rise_pa * shows_after_s(look, c) / BAR_PA
}

/// Opening of a bleed or exhaust valve that lets a volume come up at a rate.
pub fn exhaust(
    look: &Look,
    valve: ValveName,
    volume_m3: f64,
    depth_msw: f64,
    rate_msw_s: f64,
) -> f64 {
    let steel = &look.kit.scenario.steel;
    let area_m2 = match valve {
        ValveName::Exhaust(c) => steel.compartments[c.index()].exhaust_m2,
        ValveName::Bleed(c) => steel.compartments[c.index()].bleed_m2,
        _ => 0.0,
    };
    let here_pa = steel.surface_pa + depth_msw * MSW_PA;
    let full = flow::mol_s(
        area_m2,
        &lived_in(here_pa),
        here_pa,
        RECKONED_T_K,
        steel.surface_pa,
    );
    share(mol_s_for(volume_m3, rate_msw_s), full)
}

/// What a drain lets out of a chamber in a time, as depth of a volume, msw.
pub fn drained_msw(
    look: &Look,
    wet: CompartmentId,
    opening: f64,
    time_s: i64,
    volume_m3: f64,
) -> f64 {
    let steel = &look.kit.scenario.steel;
    let plate = &steel.compartments[wet.index()];
    let here_pa = steel.surface_pa + look.depth(wet) * MSW_PA;
    let there_pa = match plate.drain_to {
        Some(tank) => steel.surface_pa + look.depth(tank) * MSW_PA,
        None => steel.surface_pa,
    };
    let gas = lived_in(here_pa);
    let full = flow::mol_s(plate.drain_m2, &gas, here_pa, RECKONED_T_K, there_pa);
    full * opening * time_s as f64 * R * RECKONED_T_K / volume_m3 / MSW_PA
}

/// What chambers hold at a pressure, Pa, as a panel hand reckons: heliox that people live in.
fn lived_in(pressure_pa: f64) -> Amounts {
    Amounts::heliox((0.45 * BAR_PA / pressure_pa).min(0.21))
}

fn share(wanted: f64, full: f64) -> f64 {
    if full > 0.0 {
        (wanted / full).clamp(0.0, 1.0)
    } else {
        1.0
    }
}

/// A mixture by its label: air where it says a fifth oxygen, else helium and oxygen.
fn mixture(o2: f64) -> Amounts {
    let air = Amounts::air();
    if (o2 - air[Species::O2]).abs() < 0.003 {
        air
    } else {
        Amounts::heliox(o2)
    }
}
