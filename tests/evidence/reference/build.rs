//! From a case's JSON file to steel, gas and orders for the plant.
//!
//! What has no like in the plant is given in equal terms: flow and efficiency of the scrubber as their
//! product with a bed that takes all and never ages; a prescribed molar flow as a choked opening from a
//! bank of constant pressure; the heater's band and the coil at full duty are the climate unit's own.

use crate::chamber::{CHAMBER, Stage, endless_bank, stpd, twenty_cubic_metres};
use deepstay::gas::{Amounts, Species, flow, state, water};
use deepstay::plant::*;
use deepstay::record::{LineName, Machine, ValveName};
use deepstay::units::*;
use serde_json::Value;

/// Order of species in the case files' names and the plant's.
pub const NAMES: [(&str, Species); 5] = [
    ("O2", Species::O2),
    ("N2", Species::N2),
    ("He", Species::He),
    ("CO2", Species::Co2),
    ("H2O", Species::H2o),
];
/// Every bank of a case: high enough that each of its openings chokes at every chamber pressure met.
const BANK_PA: f64 = 30e5;

/// A case file.
pub fn case(name: &str) -> Value {
    let path = deepstay_tests::here().join(format!("reference/cases/{name}.json"));
    let text = std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    serde_json::from_str(&text).unwrap()
}

/// A number of a case.
pub fn number(v: &Value, path: &str) -> f64 {
    v.pointer(path)
        .and_then(Value::as_f64)
        .unwrap_or_else(|| panic!("{path} is no number"))
}

/// A time table `[from second, value]` of a case, empty where there is none.
pub fn table(v: &Value, path: &str) -> Vec<(i64, f64)> {
    let rows = v
        .pointer(path)
        .and_then(Value::as_array)
        .cloned()
        .unwrap_or_default();
    rows.iter()
        .map(|r| (r[0].as_f64().unwrap() as i64, r[1].as_f64().unwrap()))
        .collect()
}

/// Fractions at the start from partial pressures, relative humidity and the gas that makes up the rest.
fn start_fractions(v: &Value) -> Amounts {
    let start = &v["initial"];
    let p_pa = number(start, "/p_pa");
    let mut partial = Amounts::ZERO;
    for (name, s) in NAMES {
        partial[s] = start["partial_pressure_pa"][name].as_f64().unwrap_or(0.0);
    }
    if let Some(rh) = start["relative_humidity"].as_f64() {
        partial[Species::H2o] = rh * water::saturation_pa(number(start, "/t_gas_k"));
    }
    let (_, rest) = NAMES
        .into_iter()
        .find(|(n, _)| start["balance"] == *n)
        .unwrap();
    partial[rest] = p_pa - partial.total();
    partial.scaled(1.0 / p_pa)
}

/// Temperature of a bank whose gas arrives at a temperature in a chamber at a pressure.
fn bank_k_for(mix: &Amounts, arrives_k: f64, chamber_pa: f64) -> f64 {
    let warmed = state::throttled_t_k(mix, BANK_PA, arrives_k, chamber_pa) - arrives_k;
    arrives_k - warmed
}

/// A bank and an effective area that let a molar flow through.
fn opening(mix: Amounts, mol_s: f64, arrives_k: f64, chamber_pa: f64) -> (Bank, f64) {
    let t_k = bank_k_for(&mix, arrives_k, chamber_pa);
    let bank = endless_bank(mix, (BANK_PA - ATM_PA) / BAR_PA, t_k);
    (
        bank,
        mol_s / flow::mol_s(1.0, &mix, BANK_PA, t_k, chamber_pa),
    )
}

/// The plant of a case with everything lined up, switched on and opened as at second 0.
pub fn stage(v: &Value) -> Stage {
    let mut steel = twenty_cubic_metres(number(v, "/p_outside_pa"));
    steel.deck_t_k = number(v, "/wall/t_env_k");
    let c = &mut steel.compartments[0];
    c.volume_m3 = number(v, "/volume_m3");
    c.wall_m2 = number(v, "/wall/area_m2");
    c.wall_j_k = number(v, "/wall/heat_capacity_j_k");
    c.wall_ua_w_k = number(v, "/wall/ua_w_k");
    c.leak_m2 = v["leak_area_m2"].as_f64().unwrap_or(0.0);
    c.sample_mol_s = v["sample_mol_s"].as_f64().unwrap_or(0.0);
    c.supply_over_pa = 1e9;
    let openings = table(v, "/exhaust/open_from_s");
    let widest = openings.iter().fold(1.0f64, |w, (_, x)| w.max(*x));
    c.exhaust_m2 = v
        .pointer("/exhaust/area_m2")
        .and_then(Value::as_f64)
        .unwrap_or(0.0)
        * widest;
    if v.get("scrubber").is_some() {
        assert_eq!(number(v, "/scrubber/heat_j_per_mol_co2"), ABSORPTION_J_MOL);
        c.scrubber = Some(Scrubber {
            flow_m3_s: number(v, "/scrubber/efficiency") * number(v, "/scrubber/flow_m3_s"),
            absorbent_kg: 1e12,
            capacity_mol_kg: 6.8,
            bed_number: 1e3,
            fan_w: 0.0,
        });
    }
    if v.get("heater").is_some() {
        let coil = |path: &str| v.pointer(path).and_then(Value::as_f64);
        c.climate = Some(Climate {
            heater_w: number(v, "/heater/p_max_w"),
            chiller_w: 0.0,
            coil_m3_s: coil("/coil/flow_m3_s").unwrap_or(0.0),
            coil_t_k: coil("/coil/t_k").unwrap_or(285.15),
            coil_contact: coil("/coil/contact").unwrap_or(0.0),
            band_k: number(v, "/heater/band_k"),
        });
    }
    let p_pa = number(v, "/initial/p_pa");
    if let Some(&(_, most)) = table(v, "/oxygen/l_min_stpd_from_s")
        .iter()
        .max_by(|a, b| a.1.total_cmp(&b.1))
    {
        let (bank, m2) = opening(
            Amounts::oxygen(),
            stpd(most),
            number(v, "/oxygen/t_k"),
            p_pa,
        );
        c.oxygen_m2 = m2;
        steel.banks.push(bank);
    }
    if v.get("supply").is_some() {
        let mut mix = Amounts::ZERO;
        for (name, s) in NAMES {
            mix[s] = v["supply"]["mole_fraction"][name].as_f64().unwrap_or(0.0);
        }
        // The bank warms what it lets down; it is set for the middle of the way.
        let middle_pa = 0.5 * (p_pa + number(v, "/supply/stop_at_pa"));
        let (bank, m2) = opening(
            mix,
            number(v, "/supply/flow_mol_s"),
            number(v, "/supply/t_k"),
            middle_pa,
        );
        c.blow_down_m2 = m2;
        steel.banks.push(bank);
    }
    let (gas_k, wall_k) = (
        number(v, "/initial/t_gas_k"),
        number(v, "/initial/t_wall_k"),
    );
    let x = start_fractions(v);
    let n = state::total_moles(&x, p_pa, steel.compartments[0].volume_m3, gas_k);
    let (oxygen, supply, machines) = (
        v.get("oxygen").is_some(),
        v.get("supply").is_some(),
        (v.get("scrubber").is_some(), v.get("heater").is_some()),
    );
    let mut stage = Stage::new(steel, Physics::default());
    stage.plant.set_air(CHAMBER, x.scaled(n), gas_k, wall_k);
    if oxygen {
        stage.line_up(LineName::Oxygen(CHAMBER), 0);
    }
    if supply {
        stage.line_up(LineName::Supply(CHAMBER), 0);
    }
    if machines.0 {
        stage.order(SteelOrder::Switch {
            compartment: CHAMBER,
            machine: Machine::Fan,
            on: true,
        });
    }
    if machines.1 {
        let t_k = number(v, "/heater/t_set_k");
        // A humidity of nothing asks for the coil's full duty.
        stage.order(SteelOrder::ClimateSet {
            compartment: CHAMBER,
            t_k,
            humidity: 0.0,
        });
        stage.order(SteelOrder::Switch {
            compartment: CHAMBER,
            machine: Machine::Climate,
            on: true,
        });
    }
    if v.get("men").is_some() {
        stage.plant.set_load(0, CHAMBER, men(v));
    }
    stage
}

fn men(v: &Value) -> Load {
    let count = number(v, "/men/count");
    Load {
        o2_mol_s: count * stpd(number(v, "/men/oxygen_l_min_stpd")),
        co2_mol_s: count * stpd(number(v, "/men/co2_l_min_stpd")),
        h2o_mol_s: count * number(v, "/men/water_kg_day") / 86_400.0 / 0.018_015_268,
        heat_w: count * number(v, "/men/sensible_heat_w"),
    }
}

/// The valve orders of a case's time tables: second, valve, opening.
pub fn orders(v: &Value) -> Vec<(i64, ValveName, f64)> {
    let mut list = Vec::new();
    for (path, valve) in [
        ("/oxygen/l_min_stpd_from_s", ValveName::Oxygen(CHAMBER)),
        ("/exhaust/open_from_s", ValveName::Exhaust(CHAMBER)),
    ] {
        let rows = table(v, path);
        let widest = rows.iter().fold(f64::MIN_POSITIVE, |w, (_, x)| w.max(*x));
        let widest = if valve == ValveName::Exhaust(CHAMBER) {
            widest.max(1.0)
        } else {
            widest
        };
        list.extend(rows.into_iter().map(|(t, x)| (t, valve, x / widest)));
    }
    list.sort_by_key(|(t, ..)| *t);
    list
}
