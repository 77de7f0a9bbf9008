//! Closed forms of gas and flow, worked out and checked by independent integration (derived); the
//! ids are those of `closed_form_checks.csv`, where each expected value stands. Each test asks this room for the
//! figure; those that only a plant can be asked for (O2's rise, T1, T5, S3, S4) stand with the plant's tests.

use crate::check_values::check_values;
use approx::assert_relative_eq;
use deepstay_core::gas::{Amounts, Species, flow, state, water};
use deepstay_core::units::{ATM_PA, BAR_PA, FreeReference, Moles, R, ZERO_C_K};

const VOLUME_M3: f64 = 20.0;
const T_K: f64 = 303.15;

fn expected(id: &str) -> f64 {
    check_values("closed_form_checks.csv")
        .records()
        .map(|r| r.unwrap())
        .find(|r| &r[0] == id)
        .unwrap_or_else(|| panic!("no row {id}"))[3]
        .parse()
        .unwrap()
}

/// 10 mm hole with a discharge coefficient of 0.8.
fn cd_a_m2() -> f64 {
    0.8 * std::f64::consts::PI / 4.0 * 0.01 * 0.01
}

fn helium() -> Amounts {
    Amounts::heliox(0.0)
}

/// O2's free cubic metres, counted at 15 degC and 1 atm, are these moles: 0.05 bar in 20 m3 at 303.15 K.
#[test]
fn o2_counted_as_free_gas() {
    let n = 0.05 * BAR_PA * VOLUME_M3 / (R * T_K);
    assert_relative_eq!(
        Moles(n).free_m3(FreeReference::Normal15),
        expected("O2"),
        max_relative = 1e-9
    );
}

#[test]
fn o6_oxygen_after_pressing_air_with_a_two_percent_mix() {
    let start = Amounts([0.0, 0.21, 0.79, 0.0, 0.0, 0.0]).scaled(BAR_PA * VOLUME_M3 / (R * T_K));
    let added = Amounts::heliox(0.02).scaled(10.0 * BAR_PA * VOLUME_M3 / (R * T_K));
    let end = start.plus(&added);
    let pp = end.fractions()[Species::O2] * state::pressure_ideal_pa(&end, VOLUME_M3, T_K) / BAR_PA;
    assert_relative_eq!(pp, expected("O6"), max_relative = 1e-12);
}

#[test]
fn b1_choked_helium_through_ten_millimetres_at_31_bar() {
    let kg_s =
        flow::mol_s(cd_a_m2(), &helium(), 31e5, T_K, ATM_PA) * state::molar_mass_kg(&helium());
    assert_relative_eq!(kg_s, expected("B1"), max_relative = 1e-9);
}

#[test]
fn b2_time_constant_of_an_isothermal_blowdown() {
    let n = 31e5 * VOLUME_M3 / (R * T_K);
    let tau_s = n / flow::mol_s(cd_a_m2(), &helium(), 31e5, T_K, ATM_PA);
    assert_relative_eq!(tau_s, expected("B2"), max_relative = 1e-9);
}

#[test]
fn b3_to_b5_blowdown_followed_in_small_steps() {
    let x = helium();
    let tau_s = expected("B2");
    let (mut p_iso, mut n, mut t_k) = (31e5, 31e5 * VOLUME_M3 / (R * T_K), T_K);
    let steps = 60_000;
    let dt_s = 60.0 / f64::from(steps);
    let cv = state::cv_j_k(&x, T_K);
    for _ in 0..steps {
        let half = p_iso - 0.5 * dt_s * p_iso / tau_s;
        p_iso -= dt_s * flow::mol_s(cd_a_m2(), &x, half, T_K, ATM_PA) * R * T_K / VOLUME_M3;
        let rates = |n: f64, t_k: f64| {
            let out = flow::mol_s(cd_a_m2(), &x, n * R * t_k / VOLUME_M3, t_k, ATM_PA);
            (-out, -out * R * t_k / (n * cv))
        };
        let (dn, dt) = rates(n, t_k);
        let (dn, dt) = rates(n + 0.5 * dt_s * dn, t_k + 0.5 * dt_s * dt);
        n += dt_s * dn;
        t_k += dt_s * dt;
    }
    assert_relative_eq!(p_iso / BAR_PA, expected("B3"), max_relative = 1e-8);
    assert_relative_eq!(
        n * R * t_k / VOLUME_M3 / BAR_PA,
        expected("B4"),
        max_relative = 1e-8
    );
    assert_relative_eq!(t_k, expected("B5"), max_relative = 1e-8);
}

#[test]
fn b6_subcritical_flow_meets_choked_flow() {
    let gamma = 5.0 / 3.0;
    let critical = flow::critical_ratio(gamma);
    assert_relative_eq!(critical, 0.487_139, max_relative = 1e-6);
    assert_relative_eq!(
        flow::choked_function(gamma),
        expected("B6"),
        max_relative = 1e-9
    );
    assert_relative_eq!(
        flow::subcritical_function(gamma, critical),
        expected("B6"),
        max_relative = 1e-9
    );
    assert_eq!(flow::subcritical_function(gamma, 1.0), 0.0);
}

/// Air chokes at its own ratio and not at helium's 0.487: with 7/5 that is (5/6)^(7/2), 0.5283, and the flow function is
/// sqrt(7/5) (5/6)^3, 0.68473 (closed forms). Below it what lies behind the opening makes no difference, above it does.
#[test]
fn air_is_choked_up_to_its_own_critical_ratio() {
    let air = Amounts([0.0, 0.21, 0.79, 0.0, 0.0, 0.0]);
    let up_pa = 31e5;
    let behind = |ratio: f64| flow::mol_s(cd_a_m2(), &air, up_pa, T_K, ratio * up_pa);
    let choked = behind(0.0);
    // 0.21 x 31.998 + 0.79 x 28.014 g/mol.
    let by_hand = cd_a_m2() * up_pa * 0.68473 / (R * T_K * 0.028_851).sqrt();
    assert_relative_eq!(choked, by_hand, max_relative = 2e-3);
    for ratio in [0.2, 0.487, 0.4872, 0.5, 0.525] {
        assert_eq!(behind(ratio), choked, "{ratio}");
    }
    // sqrt(7 (0.54^(10/7) - 0.54^(12/7))) is 0.68452, at 0.8 it is 0.56066.
    assert!(behind(0.54) < choked * (1.0 - 1e-4));
    assert_relative_eq!(behind(0.8) / choked, 0.56066 / 0.68473, max_relative = 2e-3);
}

/// Calcium hydroxide takes one mole of carbon dioxide a mole; litres at 0 degC and 1 atm. The row
/// uses the rounded molar volume 22.414 L, hence the tolerance.
#[test]
fn a1_capacity_of_pure_calcium_hydroxide() {
    let litres_a_mole = 1000.0 / FreeReference::Stpd.mol_per_m3();
    assert_relative_eq!(
        litres_a_mole / 0.074_093,
        expected("A1"),
        max_relative = 5e-6
    );
}

/// One percent a day through a choked hole, whatever the depth: what remains falls exponentially.
#[test]
fn l1_area_of_a_leak_of_one_percent_a_day() {
    for p_pa in [3e5, 11e5, 31e5] {
        let n = p_pa * VOLUME_M3 / (R * T_K);
        let per_m2 = flow::mol_s(1.0, &helium(), p_pa, T_K, ATM_PA);
        let mm2 = -libm::log(0.99) * n / 86_400.0 / per_m2 * 1e6;
        assert_relative_eq!(mm2, expected("L1"), max_relative = 1e-7);
    }
}

/// Consequences worked from the reference equations of state: a helium bank of 200 bar at 15 degC
/// holds 1/1.0970 of the ideal sum and reads 210.3 bar at 30 degC; 200 to 40 bar is 143.1 volumes
/// where the ideal sum says 160.
#[test]
fn a_helium_bank_of_200_bar() {
    let bank_k = ZERO_C_K + 15.0;
    let n = state::total_moles(&helium(), 200e5, 1.0, bank_k);
    assert_relative_eq!(200e5 / (R * bank_k) / n, 1.0970, max_relative = 1e-4);
    let warm = state::pressure_pa(&helium().scaled(n), 1.0, ZERO_C_K + 30.0) / BAR_PA;
    assert_relative_eq!(warm, 210.3, max_relative = 3e-4);
    let drawn = n - state::total_moles(&helium(), 40e5, 1.0, bank_k);
    let at_one_bar = state::total_moles(&helium(), 1e5, 1.0, bank_k);
    assert_relative_eq!(drawn / at_one_bar, 143.1, max_relative = 1e-3);
}

/// Saturation pressures of the steam tables, mbar at 20, 25, 30 and 32 degC, and the heat of
/// vaporisation at 30 degC, 2.430 MJ/kg.
#[test]
fn water_vapour() {
    for (celsius, mbar) in [(20.0, 23.4), (25.0, 31.7), (30.0, 42.5), (32.0, 47.6)] {
        assert!((water::saturation_pa(ZERO_C_K + celsius) / 100.0 - mbar).abs() < 0.06);
    }
    let mj_kg = water::latent_j_mol(T_K) / 0.018_015_28 / 1e6;
    assert_relative_eq!(mj_kg, 2.430, max_relative = 5e-4);
}

/// Ratios of heat capacities: 5/3 of a monatomic gas; 7/5 of the air's two to 0.3 % at 15 degC (textbook), and that of
/// what there is nothing of.
#[test]
fn ratios_of_heat_capacities() {
    assert_relative_eq!(state::gamma(&helium()), 5.0 / 3.0, max_relative = 1e-9);
    let air = Amounts([0.0, 0.21, 0.79, 0.0, 0.0, 0.0]);
    assert_relative_eq!(state::gamma(&air), 1.4, max_relative = 3e-3);
    assert_relative_eq!(
        state::gamma(&air.scaled(250.0)),
        state::gamma(&air),
        max_relative = 1e-12
    );
    assert_relative_eq!(state::gamma(&Amounts::ZERO), 5.0 / 3.0);
}

/// Nothing flows where there is no hole, no gas, no warmth or no fall, each by itself, and nothing becomes no number.
#[test]
fn nothing_flows_where_one_thing_is_wanting() {
    let whole = (cd_a_m2(), helium(), 31e5, T_K, ATM_PA);
    let flow_of =
        |(area, x, up, t, down): (f64, Amounts, f64, f64, f64)| flow::mol_s(area, &x, up, t, down);
    assert!(flow_of(whole) > 0.0);
    for wanting in [
        (0.0, whole.1, whole.2, whole.3, whole.4),
        (-1e-6, whole.1, whole.2, whole.3, whole.4),
        (whole.0, Amounts::ZERO, whole.2, whole.3, whole.4),
        (whole.0, whole.1, ATM_PA, whole.3, whole.4),
        (whole.0, whole.1, 0.5 * ATM_PA, whole.3, whole.4),
        (whole.0, whole.1, whole.2, 0.0, whole.4),
        (whole.0, whole.1, whole.2, -T_K, whole.4),
    ] {
        assert_eq!(flow_of(wanting), 0.0, "{wanting:?}");
    }
    // A vacuum is as low as it goes: the flow is choked.
    assert_eq!(
        flow_of((whole.0, whole.1, whole.2, whole.3, -1.0)),
        flow_of(whole)
    );
}

/// Heat capacity at constant volume goes with the amount: 3/2 R a mole of a monatomic gas.
#[test]
fn heat_capacity_goes_with_the_amount() {
    for n in [1.0, 250.0] {
        let by_hand = n * 1.5 * R;
        assert_relative_eq!(
            state::cv_j_k(&helium().scaled(n), T_K),
            by_hand,
            max_relative = 1e-12
        );
    }
}

/// Dry air: 20.95 % of oxygen and 0.04 % of carbon dioxide, and all of it together is one.
#[test]
fn dry_air() {
    let air = Amounts::air();
    assert_eq!((air[Species::O2], air[Species::Co2]), (0.2095, 0.0004));
    assert_relative_eq!(air.total(), 1.0, max_relative = 1e-12);
}

/// What may be of either sign goes forward or back, and nothing goes neither way, without a sign.
#[test]
fn nothing_goes_neither_way() {
    let (forward, back) = Amounts([2.0, -3.0, 0.0, 0.0, 0.0, 0.0]).both_ways();
    assert_eq!(forward, Amounts([2.0, 0.0, 0.0, 0.0, 0.0, 0.0]));
    assert_eq!(back, Amounts([0.0, 3.0, 0.0, 0.0, 0.0, 0.0]));
    let all = [forward.0, back.0].concat();
    assert!(all.iter().all(|n| n.is_sign_positive()), "{all:?}");
}

/// The fit is told of beyond its ends and not on them.
#[test]
fn the_ends_of_the_fit() {
    use state::{FIT_P_MAX_PA, FIT_T_MAX_K, FIT_T_MIN_K};
    assert_eq!(state::warning(FIT_P_MAX_PA, T_K), None);
    assert!(state::warning(FIT_P_MAX_PA + 1.0, T_K).is_some());
    for (t_k, told) in [
        (FIT_T_MIN_K, false),
        (FIT_T_MAX_K, false),
        (FIT_T_MIN_K - 0.01, true),
        (FIT_T_MAX_K + 0.01, true),
    ] {
        assert_eq!(state::warning(1e5, t_k).is_some(), told, "{t_k}");
    }
}

/// The bound that is kept of water's saturation pressure begins at 250 K, and is never above it.
#[test]
fn the_kept_bound_of_saturation() {
    assert_eq!(water::saturation_at_least_pa(249.99), 0.0);
    for t_k in [250.0, 250.5, 300.0, 329.9, 330.0, 340.0] {
        let bound = water::saturation_at_least_pa(t_k);
        assert!(0.0 < bound && bound <= water::saturation_pa(t_k), "{t_k}");
    }
}
