//! Bottles and banks against the outside: published school exercises (a deck of flash cards that follows
//! the diving-supervisor manual's physics chapter, with its answers), a safety flash, and the reference
//! equations of state for what the real gas gives between two pressures.

use crate::check_values::check_values;
use approx::{assert_abs_diff_eq as close, assert_relative_eq};
use deepstay_core::gas::{Amounts, state};
use deepstay_core::units::{BAR_PA, FreeReference};
use deepstay_plant::Duty;
use deepstay_scenario::{Offer, load_supplier};
use deepstay_stock::Gas;
use deepstay_stock::supply::{Need, usable};
use deepstay_sums::*;

/// Safety flash: 12 bar over ambient with the bell at 85 msw must read 20.5 bar; the heel of a supply that
/// wants 12 bar over the bottom there is the same reading.
#[test]
fn the_heel_is_what_a_sealed_gauge_reads() {
    let need = need(85.0, 12e5, 0.0, Amounts::heliox(0.05), Duty::DiverGas);
    close!(need.heel_gauge_pa() / BAR_PA, 20.5, epsilon = 1e-9);
}

/// The bail-out's allowance as a heel: 10 bar of depth and 10 bar of regulator over a bar of atmosphere; the
/// published sum (12 L at 200 bar and 100 msw: 2.15 m3) takes 21 bar off, the gauge's own heel is 20 bar.
#[test]
fn the_bail_out_s_heel_is_one_bar_under_the_published_deduction() {
    let need = need(100.0, 0.0, 10e5, Amounts::heliox(0.08), Duty::DiverGas);
    close!(need.heel_gauge_pa() / BAR_PA, 20.0, epsilon = 1e-9);
    let by_heel = bottles_m3(1.0, 12.0, 200.0, need.heel_gauge_pa() / BAR_PA);
    close!(
        by_heel - bottles_m3(1.0, 12.0, 200.0, 21.0),
        0.012,
        epsilon = 1e-9
    );
}

fn need(
    deepest_msw: f64,
    over_bottom_pa: f64,
    regulator_pa: f64,
    mix: Amounts,
    duty: Duty,
) -> Need {
    Need {
        gas: Gas {
            duty,
            label_o2: mix.0[1],
            banks: Vec::new(),
        },
        mix,
        demand_mol: 1.0,
        reserve_mol: 0.0,
        deepest_msw,
        over_bottom_pa,
        regulator_pa,
        // So that the gauge pressures below are the table's absolute ones.
        surface_pa: 0.0,
        bank_t_k: 293.15,
        note: String::new(),
    }
}

fn offer(name: &str) -> Offer {
    let list = load_supplier("north-quay", None).unwrap_or_else(|bad| panic!("{bad}"));
    list.offers
        .into_iter()
        .find(|o| o.name == name)
        .expect("on the list")
}

/// Usable gas of 64 x 50 L between two pressures at 20 degC against the reference equations of state
/// (CoolProp 8.0.0: helium, Ortiz-Vega et al.; oxygen, Schmidt and Wagner): density at the one less density
/// at the other.
#[test]
fn usable_gas_of_a_unit_is_that_of_the_reference_equations() {
    let density = |gas: &str, bar: f64| -> f64 {
        let mut table = check_values("realgas_pure.csv");
        let here =
            |r: &csv::StringRecord| &r[0] == gas && &r[1] == "293.15" && r[2].parse() == Ok(bar);
        let row = table.records().map(|r| r.expect("a row")).find(here);
        row.unwrap_or_else(|| panic!("{gas} at {bar} bar"))[5]
            .parse()
            .expect("a number")
    };
    for (gas, name, duty, mix, heel_bar, within) in [
        (
            "Helium",
            "helium quad 64",
            Duty::Helium,
            Amounts::heliox(0.0),
            50.0,
            2e-5,
        ),
        (
            "Helium",
            "helium quad 64",
            Duty::Helium,
            Amounts::heliox(0.0),
            20.0,
            2e-5,
        ),
        (
            "Oxygen",
            "oxygen quad 16",
            Duty::Oxygen,
            Amounts::oxygen(),
            20.0,
            5e-4,
        ),
    ] {
        let mut unit = offer(name);
        (unit.fill_gauge_pa, unit.filled_t_k) = (200e5, 293.15);
        let need = need(0.0, heel_bar * BAR_PA, 0.0, mix, duty);
        let yields = usable(&unit, &need);
        let reference = unit.volume_m3() * (density(gas, 200.0) - density(gas, heel_bar));
        println!(
            "{name} 200 to {heel_bar} bar: {:.1} mol, reference {reference:.1}, by hand {:.1}",
            yields.real_mol, yields.hand_mol
        );
        assert_relative_eq!(yields.real_mol, reference, max_relative = within);
    }
}

/// Helium from 200 to 40 bar: 40 bar is not in the table of the reference, so its compressibility there is
/// taken on the line between 20 and 50 bar, on which it lies within 1e-4.
#[test]
fn helium_from_200_to_40_bar_and_what_the_hand_sum_makes_of_it() {
    let mut unit = offer("helium quad 64");
    (unit.fill_gauge_pa, unit.filled_t_k) = (200e5, 293.15);
    let need = need(250.0, 10e5, 5e5, Amounts::heliox(0.0), Duty::Helium);
    close!(need.heel_gauge_pa(), 40e5, epsilon = 1e-6);
    let u = usable(&unit, &need);
    let z40 = 1.009_713_1 + (1.024_197_8 - 1.009_713_1) * 20.0 / 30.0;
    let per_pa = 1.0 / (deepstay_core::units::R * 293.15);
    let reference = unit.volume_m3() * per_pa * (200e5 / 1.095_168_4 - 40e5 / z40);
    assert_relative_eq!(u.real_mol, reference, max_relative = 1e-4);
    // By hand 64 x 50 L x 160 bar = 512 m3; the real gas at 20 degC counted at 15 degC and 1 bar is less.
    close!(u.hand_m3, 512.0, epsilon = 1e-9);
    let real_m3 = u.real_mol / FreeReference::Bar15.mol_per_m3();
    println!(
        "helium 200 to 40 bar: {real_m3:.1} m3 real, {:.1} by hand",
        u.hand_m3
    );
    assert!((0.87..0.90).contains(&(real_m3 / 512.0)), "{real_m3}");
    assert_relative_eq!(
        u.hand_mol + u.by_temperature_mol + u.by_compressibility_mol,
        u.real_mol,
        max_relative = 1e-12
    );
    // The ideal sum at 20 degC is 288.15/293.15 of the hand sum.
    assert_relative_eq!(
        u.by_temperature_mol / u.hand_mol,
        288.15 / 293.15 - 1.0,
        max_relative = 1e-9
    );
}

/// What a full helium unit holds against the ideal: 8.7 % less at 20 degC (Z = 1.0952 in the reference).
#[test]
fn a_full_unit_holds_what_its_compressibility_says() {
    let z = state::compressibility(&Amounts::heliox(0.0), 200e5, 293.15);
    assert_relative_eq!(z, 1.095_168_4, max_relative = 1e-5);
}
