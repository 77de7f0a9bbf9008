//! A job taken up from a present: the plant is filled with what the page says, everybody is put where he was counted,
//! and the stations go on with what each level was doing. Its clock starts at the present's second of the scenario, so
//! that plan, weather, supply and faults go on from there.
//!
//! What the page says is what instruments show; the truth behind it is found by the errors that this job's instruments
//! have. What one page cannot tell is assumed, and said ([`TakenUp::assumed`]).

use super::clock::{Beginning, Job, Options};
use super::errors::{Errors, errors_of};
use super::faults::FaultBook;
use super::limits::LimitBook;
use super::people::People;
use super::taken_up::TakenUp;
use crate::stations::{DiveControl, SaturationControl};
use deepstay_core::gas::{self, Amounts, Species};
use deepstay_core::record::Whereabouts;
use deepstay_core::units::*;
use deepstay_crew::{FoundDose, MOL_S_PER_L_MIN};
use deepstay_plant::{
    Activity, Compartment, Found, FoundBank, FoundRoom, GasModel, Physics, Plant, Scrubber,
};
use deepstay_scenario::{BankStands, FaultKind, LevelStands, RoomStands, Scenario, WholePresent};
use std::sync::Arc;

/// Depth from which a bell is under pressure, msw.
const PRESSED_MSW: f64 = 1.0;

impl Job {
    /// A job taken up from a present of its scenario.
    pub fn from_present(scenario: Arc<Scenario>, present: &WholePresent, options: Options) -> Job {
        let at_s = present.at_s;
        let plant = plant(&scenario, present, options.physics);
        let mut people = People::new(&scenario, at_s);
        for (i, diver) in (0u8..).zip(&present.divers) {
            let dose = diver.dose.map(|(uptd, cns)| FoundDose { uptd, cns });
            if diver.at != Whereabouts::Deck {
                people.find(at_s, DiverId(i), diver.at, dose, &plant);
            }
        }
        let mut limits = LimitBook::new(&scenario, options.sat_at());
        for (level, (stands, _)) in scenario.plan.levels.iter().zip(&present.levels) {
            for &member in &level.members {
                limits.ordered_before(member, stands.phase(), stands.ordered_msw());
            }
        }
        let bells = scenario.steel.compartments.iter().enumerate();
        let bells = bells.filter(|(_, c)| c.kind == CompartmentKind::Bell);
        let pressed = |i: usize| present.rooms[i].is_some_and(|r| r.depth_msw >= PRESSED_MSW);
        let bells: Vec<(bool, usize)> = bells
            .zip(&present.bells)
            .map(|((i, _), &next)| (pressed(i), next))
            .collect();
        let moves_over = moves_over(&scenario, present);
        let beginning = Beginning {
            at_s,
            plant,
            people,
            saturation: SaturationControl::found(&scenario, &present.levels, moves_over),
            dive: DiveControl::found(&scenario, &bells),
            limits,
            faults: FaultBook::taken_up(&scenario, at_s),
            taken_up: Some(TakenUp {
                at_s,
                assumed: present.assumed.clone(),
            }),
        };
        Job::of(scenario, options, beginning)
    }
}

/// How many transfers of the plan are over: those planned before, but the last of them where not all are there yet.
fn moves_over(scenario: &Scenario, present: &WholePresent) -> usize {
    let moves = &scenario.plan.moves;
    let planned = moves.iter().take_while(|m| m.at <= present.at_s).count();
    let there = |d: &DiverId, to| present.divers[d.index()].at == Whereabouts::In(to);
    match planned.checked_sub(1).map(|last| &moves[last]) {
        Some(last) if !last.divers.iter().all(|d| there(d, last.to)) => planned - 1,
        _ => planned,
    }
}

/// The plant as the page has it.
fn plant(scenario: &Scenario, present: &WholePresent, physics: Physics) -> Plant {
    let steel = &scenario.steel;
    let errors = errors_of(scenario);
    let mut found = Found::at_start(steel, physics);
    found.at_s = present.at_s;
    found.doors.clone_from(&present.doors);
    let rooms = (0u8..).zip(steel.compartments.iter().zip(&present.rooms));
    for (i, (plate, stands)) in rooms {
        if let Some(stands) = stands {
            let at = (CompartmentId(i), plate);
            found.rooms[usize::from(i)] = room(scenario, present, at, stands, &errors, physics);
        }
    }
    let banks = (0u8..).zip(&present.banks);
    let banks = banks.map(|(b, stands)| bank(scenario, BankId(b), stands.as_ref(), &errors));
    found.banks = banks.collect();
    let mut plant = Plant::found(Arc::new(steel.clone()), physics, found);
    for (id, errors) in errors {
        let errors = match is_set_by_standard(steel.instruments[id.index()].quantity) {
            true => errors.set_by_standard(),
            false => errors,
        };
        errors.put_on(id, &mut plant);
    }
    plant
}

/// Whether an instrument is set against a standard by the watch's routine, and so is right at the present.
fn is_set_by_standard(quantity: Quantity) -> bool {
    match quantity {
        Quantity::PpO2 | Quantity::PpCo2 | Quantity::Depth | Quantity::SeaDepth => true,
        Quantity::Temperature | Quantity::Humidity | Quantity::FO2 | Quantity::GaugePressure => {
            false
        }
    }
}

/// The true value behind what a compartment's instrument shows.
fn behind(
    scenario: &Scenario,
    c: CompartmentId,
    quantity: Quantity,
    shown: f64,
    errors: &[(InstrumentId, Errors)],
) -> f64 {
    let id = scenario.steel.instrument(c, quantity, Channel::Primary);
    let of = id.and_then(|id| errors.get(id.index()));
    of.map_or(shown, |(_, errors)| errors.behind(shown))
}

fn room(
    scenario: &Scenario,
    present: &WholePresent,
    (c, plate): (CompartmentId, &Compartment),
    stands: &RoomStands,
    errors: &[(InstrumentId, Errors)],
    physics: Physics,
) -> FoundRoom {
    let t_k = behind(scenario, c, Quantity::Temperature, stands.t_k, errors);
    let humidity = behind(scenario, c, Quantity::Humidity, stands.humidity, errors).clamp(0.0, 1.0);
    let p_pa = scenario.steel.surface_pa + stands.depth_msw * MSW_PA;
    let mut partial = Amounts::ZERO;
    partial[Species::O2] = stands.ppo2_bar * BAR_PA;
    partial[Species::Co2] = stands.ppco2_bar * BAR_PA;
    partial[Species::N2] = stands.ppn2_bar * BAR_PA;
    partial[Species::H2o] = humidity * gas::water::saturation_pa(t_k);
    partial[Species::He] = (p_pa - partial.total()).max(0.0);
    let fractions = partial.fractions();
    let moles = match physics.gas {
        GasModel::Real => gas::state::total_moles(&fractions, p_pa, plate.volume_m3, t_k),
        GasModel::Ideal => p_pa * plate.volume_m3 / (R * t_k),
    };
    let bed_s = stands.absorbent_s as f64;
    FoundRoom {
        n_mol: fractions.scaled(moles),
        gas_k: t_k,
        wall_k: t_k,
        bed_s,
        bed_mol: plate.scrubber.map_or(0.0, |scrubber| {
            let taken = scrubbed_mol_s(scenario, present, c) * bed_s;
            taken.min(capacity_mol(&scrubber))
        }),
        fan: plate.scrubber.is_some() && level_of(scenario, present, c).is_some(),
    }
}

/// The level under pressure that a compartment belongs to: its members.
fn level_of<'a>(
    scenario: &'a Scenario,
    present: &WholePresent,
    c: CompartmentId,
) -> Option<&'a [CompartmentId]> {
    let mut levels = scenario.plan.levels.iter().zip(&present.levels);
    let pressed = levels
        .find(|(level, (stands, _))| *stands != LevelStands::Surface && level.members.contains(&c));
    pressed.map(|(level, _)| level.members.as_slice())
}

fn capacity_mol(scrubber: &Scrubber) -> f64 {
    scrubber.absorbent_kg * scrubber.capacity_mol_kg
}

/// What the canister of a compartment takes while everybody rests, mol/s: of a level's people, its share of the level's
/// canisters; of a bell, all of those who have a place in it.
fn scrubbed_mol_s(scenario: &Scenario, present: &WholePresent, c: CompartmentId) -> f64 {
    let steel = &scenario.steel;
    let rest = scenario
        .rates
        .rows
        .iter()
        .find(|r| r.activity == Activity::Rest);
    let each_mol_s = rest.map_or(0.0, |r| r.rate.co2_l_min) * MOL_S_PER_L_MIN;
    let Some(members) = level_of(scenario, present, c) else {
        return each_mol_s * f64::from(steel.compartments[c.index()].places);
    };
    let lives_there = |at: Whereabouts| matches!(at, Whereabouts::In(m) if members.contains(&m));
    let heads = present.divers.iter().filter(|d| lives_there(d.at)).count();
    let charges = |m: &&CompartmentId| steel.compartments[m.index()].scrubber.is_some();
    let canisters = members.iter().filter(charges).count().max(1);
    each_mol_s * heads as f64 / canisters as f64
}

/// What lies in a bank: by its gauge, of what its last analysis says, or else of what it was loaded with.
fn bank(
    scenario: &Scenario,
    id: BankId,
    stands: Option<&BankStands>,
    errors: &[(InstrumentId, Errors)],
) -> FoundBank {
    let steel = &scenario.steel;
    let plate = &steel.banks[id.index()];
    let wrong_fill = scenario.faults.iter().find_map(|f| match f.what {
        FaultKind::WrongContents { bank, mix } if bank == id => Some(mix.fractions()),
        _ => None,
    });
    let analysed_o2 = stands.and_then(|s| s.analysed_o2);
    let as_loaded = plate.true_mix.fractions();
    let mix = match (analysed_o2, wrong_fill) {
        (Some(o2), _) => with_oxygen(&as_loaded, o2),
        (None, Some(mix)) => mix,
        (None, None) => as_loaded,
    };
    let (gauge_pa, t_k) = stands.map_or((plate.fill_gauge_pa, plate.t_k), |s| {
        let gauge = steel.bank_gauge(id).and_then(|g| errors.get(g.index()));
        let shown_bar = s.gauge_pa / BAR_PA;
        let true_bar = gauge.map_or(shown_bar, |(_, errors)| errors.behind(shown_bar));
        (true_bar.max(0.0) * BAR_PA, s.t_k)
    });
    let p_pa = gauge_pa + steel.surface_pa;
    let moles = gas::state::total_moles(&mix, p_pa, plate.volume_m3, t_k);
    FoundBank {
        n_mol: mix.scaled(moles),
        analysed_o2: analysed_o2.or(plate.analysed_o2),
    }
}

/// A mixture with other oxygen: the rest keeps its proportions, and of pure oxygen it is nitrogen.
fn with_oxygen(mix: &Amounts, o2: f64) -> Amounts {
    let rest = 1.0 - mix[Species::O2];
    let mut other = if rest > 1e-9 {
        mix.scaled((1.0 - o2) / rest)
    } else {
        let mut nitrogen = Amounts::ZERO;
        nitrogen[Species::N2] = 1.0 - o2;
        nitrogen
    };
    other[Species::O2] = o2;
    other
}
