//! A hole in a chamber, against the closed forms of choked discharge (isentropic nozzle flow,
//! isothermal and adiabatic vessel; the choked-flow function is in any gas-dynamics text) and the
//! figures worked out from them: 12.7 mm, Cd 0.8, 20 m3 of helium at 11.013 bar, 303.15 K.

use deepstay::fault::FaultKind;
use deepstay::gas::{Amounts, state};
use deepstay::plant::{GasModel, Physics, Plant, WallModel};
use deepstay::record::NoRecord;
use deepstay::units::*;
use deepstay_tests::bare_chamber;
use std::sync::Arc;

const AREA_M2: f64 = 0.8 * std::f64::consts::PI / 4.0 * 0.0127 * 0.0127;
const CHAMBER: CompartmentId = CompartmentId(0);
const P0_PA: f64 = 1_101_300.0;

fn loss_msw(physics: Physics, x: Amounts) -> f64 {
    let steel = Arc::new(bare_chamber(20.0, 45.0, 9.6e6, 80.0));
    let mut plant = Plant::new(steel, physics);
    let n = match physics.gas {
        GasModel::Ideal => P0_PA * 20.0 / (R * 303.15),
        GasModel::Real => state::total_moles(&x, P0_PA, 20.0, 303.15),
    };
    plant.set_air(CHAMBER, x.scaled(n), 303.15, 303.15);
    let hole = FaultKind::Leak {
        compartment: CHAMBER,
        area_m2: AREA_M2,
        hull_stop: false,
    };
    plant.fault(0, &hole, true, &mut NoRecord);
    let mut t = 0;
    while t < 60 {
        plant.refresh(t);
        t = plant.next_s().min(60);
    }
    (P0_PA - plant.air(CHAMBER, 60).p_pa) / MSW_PA
}

fn closed(x: Amounts, adiabatic: bool) -> f64 {
    // Helium is monatomic: gamma 5/3; with 4 % oxygen the heat capacities are mixed by mole.
    let gamma = state::gamma(&x);
    let m = state::molar_mass_kg(&x);
    let choked = gamma.sqrt() * (2.0 / (gamma + 1.0)).powf((gamma + 1.0) / (2.0 * (gamma - 1.0)));
    let tau = 20.0 / (AREA_M2 * choked * (R * 303.15 / m).sqrt());
    let p = if adiabatic {
        P0_PA * (1.0 + (gamma - 1.0) * 60.0 / (2.0 * tau)).powf(-2.0 * gamma / (gamma - 1.0))
    } else {
        P0_PA * (-60.0 / tau).exp()
    };
    (P0_PA - p) / MSW_PA
}

#[test]
fn ideal_gas_at_each_heat_limit_is_the_closed_form() {
    for (o2, printed) in [(0.0, [17.70, 27.21]), (0.04, [15.75, 24.21])] {
        let x = Amounts::heliox(o2);
        for (wall, adiabatic, printed) in [
            (WallModel::Isothermal, false, printed[0]),
            (WallModel::Adiabatic, true, printed[1]),
        ] {
            let physics = Physics {
                gas: GasModel::Ideal,
                wall,
                ..Physics::default()
            };
            let (ours, exact) = (loss_msw(physics, x), closed(x, adiabatic));
            println!("{o2} O2 {wall:?}: {ours:.6} msw, closed form {exact:.6}, printed {printed}");
            assert!((exact - printed).abs() < 0.006);
            assert!(
                (ours - exact).abs() / (P0_PA / MSW_PA) < 1e-6,
                "{ours} against {exact}"
            );
        }
    }
}

#[test]
fn real_gas_stays_within_a_hundredth_and_the_normal_run_lies_between() {
    for o2 in [0.0, 0.04] {
        let x = Amounts::heliox(o2);
        let run = |wall| {
            loss_msw(
                Physics {
                    wall,
                    ..Physics::default()
                },
                x,
            )
        };
        let (iso, adi, normal) = (
            run(WallModel::Isothermal),
            run(WallModel::Adiabatic),
            run(WallModel::Natural),
        );
        println!("{o2} O2: isothermal {iso:.3}, normal {normal:.3}, adiabatic {adi:.3} msw");
        let remaining = |loss: f64| P0_PA / MSW_PA - loss;
        assert!((remaining(iso) / remaining(closed(x, false)) - 1.0).abs() < 0.01);
        assert!((remaining(adi) / remaining(closed(x, true)) - 1.0).abs() < 0.01);
        assert!(iso < normal && normal < adi);
    }
}
