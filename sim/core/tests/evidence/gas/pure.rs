//! Pure helium, oxygen and nitrogen against the reference equations of state (helium,
//! Ortiz-Vega et al.; oxygen, Schmidt and Wagner 1985 with Stewart et al. 1991; nitrogen, Span et
//! al. 2000) as evaluated by CoolProp 8.0.0.

use crate::check_values::check_values;
use deepstay_core::gas::{Amounts, Species, state, transport};

struct Row {
    gas: String,
    t_k: f64,
    p_pa: f64,
    z: f64,
    rho_mol_m3: f64,
    rho_kg_m3: f64,
    h_j_kg: f64,
    cp_j_kg_k: f64,
    mu_pa_s: f64,
    k_w_m_k: f64,
}

fn rows() -> Vec<Row> {
    check_values("realgas_pure.csv")
        .records()
        .map(|r| {
            let r = r.unwrap();
            let f = |i: usize| r[i].parse::<f64>().unwrap();
            Row {
                gas: r[0].to_owned(),
                t_k: f(1),
                p_pa: f(2) * 1e5,
                z: f(3),
                rho_kg_m3: f(4),
                rho_mol_m3: f(5),
                h_j_kg: f(9),
                cp_j_kg_k: f(6),
                mu_pa_s: f(11),
                k_w_m_k: f(12),
            }
        })
        .collect()
}

fn pure(gas: &str) -> Amounts {
    let mut x = Amounts::ZERO;
    x[match gas {
        "Helium" => Species::He,
        "Oxygen" => Species::O2,
        "Nitrogen" => Species::N2,
        other => panic!("unexpected gas {other}"),
    }] = 1.0;
    x
}

#[test]
fn compressibility_and_density_within_five_hundredths_of_a_percent_to_250_bar() {
    for gas in ["Helium", "Oxygen", "Nitrogen"] {
        let x = pure(gas);
        let (mut held, mut beyond) = (0.0_f64, 0.0_f64);
        for r in rows().iter().filter(|r| r.gas == gas) {
            let z = (state::compressibility(&x, r.p_pa, r.t_k) / r.z - 1.0).abs();
            let molar = (state::density_mol_m3(&x, r.p_pa, r.t_k) / r.rho_mol_m3 - 1.0).abs();
            let mass = (state::density_kg_m3(&x, r.p_pa, r.t_k) / r.rho_kg_m3 - 1.0).abs();
            let worst = z.max(molar).max(mass);
            if r.p_pa <= 250.5e5 {
                held = held.max(worst);
            } else {
                beyond = beyond.max(worst);
            }
        }
        println!(
            "{gas}: {:.4} % to 250 bar; at 300 bar, not held, {:.4} %",
            held * 100.0,
            beyond * 100.0
        );
        assert!(held < 5e-4, "{gas}: {held}");
    }
}

#[test]
fn heat_capacity_of_helium_within_two_tenths_of_a_percent() {
    let x = pure("Helium");
    let mut worst = 0.0_f64;
    for r in rows().iter().filter(|r| r.gas == "Helium") {
        let cp = state::cp_real_j_mol_k(&x, r.p_pa, r.t_k) / state::molar_mass_kg(&x);
        worst = worst.max((cp / r.cp_j_kg_k - 1.0).abs());
    }
    println!("helium cp: {:.4} %", worst * 100.0);
    assert!(worst < 2e-3, "{worst}");
}

#[test]
fn heat_capacity_of_oxygen_and_nitrogen_within_half_a_percent_to_50_bar_near_303_k() {
    for gas in ["Oxygen", "Nitrogen"] {
        let x = pure(gas);
        let (mut held, mut elsewhere) = (0.0_f64, 0.0_f64);
        for r in rows().iter().filter(|r| r.gas == gas) {
            let cp = state::cp_real_j_mol_k(&x, r.p_pa, r.t_k) / state::molar_mass_kg(&x);
            let off = (cp / r.cp_j_kg_k - 1.0).abs();
            if r.p_pa <= 50.5e5 && (r.t_k - 303.15).abs() < 0.1 {
                held = held.max(off);
            } else {
                elsewhere = elsewhere.max(off);
            }
        }
        println!(
            "{gas} cp: {:.3} % held; elsewhere to 300 bar {:.2} %",
            held * 100.0,
            elsewhere * 100.0
        );
        assert!(held < 5e-3, "{gas}: {held}");
    }
}

#[test]
fn viscosity_and_conductivity_at_one_bar_and_their_drift_to_31_bar() {
    for gas in ["Helium", "Oxygen", "Nitrogen"] {
        let x = pure(gas);
        for r in rows().iter().filter(|r| r.gas == gas && r.p_pa <= 50.5e5) {
            let mu = transport::viscosity_pa_s(&x, r.t_k) / r.mu_pa_s - 1.0;
            let k = transport::conductivity_w_m_k(&x, r.t_k) / r.k_w_m_k - 1.0;
            if r.p_pa < 1.5e5 {
                assert!(
                    mu.abs() < 3e-4 && k.abs() < 3e-4,
                    "{gas} {} K: {mu} {k}",
                    r.t_k
                );
            }
            if gas == "Helium" {
                assert!(
                    mu.abs() < 0.015 && k.abs() < 0.03,
                    "{} K {} Pa: {mu} {k}",
                    r.t_k,
                    r.p_pa
                );
            }
        }
    }
}

/// Enthalpy from 1 bar up at the table's temperature: the part that throttling lives on.
#[test]
fn residual_enthalpy_to_200_bar() {
    for (gas, bound_at_293, bound) in [
        ("Helium", 0.3, 1.0),
        ("Oxygen", 8.0, 40.0),
        ("Nitrogen", 8.0, 40.0),
    ] {
        let x = pure(gas);
        let rows = rows();
        let (mut near, mut all) = (0.0_f64, 0.0_f64);
        for r in rows.iter().filter(|r| r.gas == gas && r.p_pa <= 200.5e5) {
            let base = rows
                .iter()
                .find(|b| b.gas == gas && b.t_k == r.t_k && b.p_pa < 1.5e5)
                .unwrap();
            let reference = (r.h_j_kg - base.h_j_kg) * state::molar_mass_kg(&x);
            let ours = state::enthalpy_residual_j_mol(&x, r.p_pa, r.t_k)
                - state::enthalpy_residual_j_mol(&x, base.p_pa, r.t_k);
            let off = (ours - reference).abs();
            all = all.max(off);
            if (r.t_k - 293.15).abs() < 0.1 {
                near = near.max(off);
            }
        }
        println!(
            "{gas}: enthalpy within {near:.2} J/mol at 293 K, {all:.2} J/mol from 273 to 313 K"
        );
        assert!(near < bound_at_293 && all < bound, "{gas}: {near} {all}");
    }
}
