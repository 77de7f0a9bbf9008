//! Heat: the adiabatic fill, gas and wall as two nodes, what a kelvin is worth in depth, and the
//! warmth of throttled helium.

use super::*;

fn helium() -> Amounts {
    Amounts::heliox(0.0)
}

/// T1: helium from 1 bar and 303.15 K to 11 bar with a supply at 293.15 K ends at 462.845 K without
/// a wall to lose heat to; the same formula holds at every pressure on the way.
#[test]
fn t1_adiabatic_fill() {
    let mut steel = twenty_cubic_metres(1e5);
    steel.banks.push(endless_bank(helium(), 200.0, 293.15));
    let physics = Physics {
        gas: GasModel::Ideal,
        wall: WallModel::Adiabatic,
        ..Physics::default()
    };
    let mut stage = Stage::new(steel, physics);
    let gamma = deepstay::gas::state::gamma(&helium());
    stage.plant.set_air(
        CHAMBER,
        helium().scaled(1e5 * 20.0 / (R * 303.15)),
        303.15,
        303.15,
    );
    stage.line_up(LineName::Supply(CHAMBER), 0);
    stage.valve(ValveName::BlowDown(CHAMBER), 0.2);
    for msw in [10.0, 50.0, 100.0] {
        stage.until(Watched::True(CHAMBER, Quantity::Depth), true, msw, 20_000);
        let now = stage.air();
        let closed = |p: f64| p / (1e5 / 303.15 + (p - 1e5) / (gamma * 293.15));
        println!(
            "{:.5} bar: {:.4} K, closed form {:.4} K",
            now.p_pa / BAR_PA,
            now.t_k,
            closed(now.p_pa)
        );
        assert!(apart(now.t_k, closed(now.p_pa)) < 2e-5);
        if msw == 100.0 {
            assert!((closed(11e5) - closed_form("T1")).abs() < 1e-6);
            assert!((now.t_k - closed_form("T1")).abs() < 0.02);
        }
    }
}

/// T2 and T4: a fixed coefficient, hA 2000 and UA 80 W/K, gas 1e5 and wall 5e6 J/K, 1500 W, deck at
/// 283.15 K: the exact solution of the linear pair at every time, 302.65 K in the end, and a fast
/// time constant of 49.02 s.
#[test]
fn t2_t4_two_nodes() {
    let (gas_j_k, wall_j_k, ha, ua, out_k, w) = (1e5, 5e6, 2000.0, 80.0, 283.15, 1500.0);
    let mut steel = Steel {
        deck_t_k: out_k,
        deck_humidity: 0.0,
        ..bare_chamber(20.0, 40.0, wall_j_k, ua)
    };
    steel.surface_pa = 1e5;
    let physics = Physics {
        gas: GasModel::Ideal,
        wall: WallModel::Fixed(ha / 40.0),
        ..Physics::default()
    };
    let mut stage = Stage::new(steel, physics);
    let n = gas_j_k / deepstay::gas::state::cv_j_k(&helium(), 300.0);
    stage
        .plant
        .set_air(CHAMBER, helium().scaled(n), 290.0, 288.0);
    stage.plant.set_load(
        0,
        CHAMBER,
        Load {
            heat_w: w,
            ..Load::default()
        },
    );

    // Roots of l^2 - tr l + de, and the pair's distances from steady along its two eigenvectors.
    let (tr, de) = (
        ha / gas_j_k + (ha + ua) / wall_j_k,
        ha * ua / (gas_j_k * wall_j_k),
    );
    let root = (tr * tr - 4.0 * de).sqrt();
    let (fast, slow) = (0.5 * (tr + root), 2.0 * de / (tr + root));
    let (steady_wall, steady_gas) = (out_k + w / ua, out_k + w / ua + w / ha);
    let (d0, dot0) = (290.0 - steady_gas, (ha * (288.0 - 290.0) + w) / gas_j_k);
    let (b, a) = (
        (dot0 + fast * d0) / (fast - slow),
        -(dot0 + slow * d0) / (fast - slow),
    );
    let exact = |t: f64| steady_gas + a * (-fast * t).exp() + b * (-slow * t).exp();

    println!("time constants {:.5} s and {:.2} s", 1.0 / fast, 1.0 / slow);
    assert!(apart(1.0 / fast, closed_form("T4")) < 1e-9);
    let mut worst = 0.0f64;
    for t_s in [1, 10, 49, 100, 300, 3600, 40_000, 200_000, 1_500_000] {
        stage.to(t_s);
        worst = worst.max((stage.air().t_k - exact(t_s as f64)).abs());
    }
    let end = stage.air();
    println!(
        "worst {worst:e} K; in the end gas {:.6} K, wall {:.6} K",
        end.t_k, end.wall_k
    );
    assert!(worst / steady_gas < 1e-6);
    assert!((end.t_k - closed_form("T2")).abs() < 1e-6 && (end.wall_k - steady_wall).abs() < 1e-6);
}

/// At 31 bar one kelvin is 0.10 bar, 1.02 msw (p/T; real helium within 2 % of it): the heat that
/// warms a shut chamber by one kelvin moves its depth by that.
#[test]
fn a_kelvin_at_31_bar_is_a_metre() {
    for gas in [GasModel::Ideal, GasModel::Real] {
        let physics = Physics {
            gas,
            wall: WallModel::Adiabatic,
            ..Physics::default()
        };
        let mut stage = Stage::new(twenty_cubic_metres(ATM_PA), physics);
        let x = Amounts::heliox(0.013);
        let n = match gas {
            GasModel::Ideal => 31e5 * 20.0 / (R * 303.15),
            GasModel::Real => deepstay::gas::state::total_moles(&x, 31e5, 20.0, 303.15),
        };
        stage.plant.set_air(CHAMBER, x.scaled(n), 303.15, 303.15);
        let kelvin_w = deepstay::gas::state::cv_j_k(&x.scaled(n), 303.15) / 600.0;
        stage.plant.set_load(
            0,
            CHAMBER,
            Load {
                heat_w: kelvin_w,
                ..Load::default()
            },
        );
        let before = stage.air();
        stage.to(600);
        let after = stage.air();
        let msw = (after.p_pa - before.p_pa) / MSW_PA / (after.t_k - before.t_k);
        println!(
            "{gas:?}: {msw:.4} msw a kelvin ({:.5} K)",
            after.t_k - before.t_k
        );
        assert!((after.t_k - before.t_k - 1.0).abs() < 1e-9);
        assert!((msw - 1.02).abs() < if gas == GasModel::Ideal { 0.005 } else { 0.02 });
    }
}

/// Helium let down from 200 to 31 bar at 300 K comes out 10.4 K warmer (reference equation of state
/// by CoolProp 8.0.0). What the plant's gas gains from a little of it, without a wall, says how warm it came.
#[test]
fn throttled_helium_arrives_ten_kelvin_warmer() {
    let mut arrival = [0.0; 2];
    for (gas, arrived) in [GasModel::Real, GasModel::Ideal]
        .into_iter()
        .zip(&mut arrival)
    {
        let mut steel = twenty_cubic_metres(ATM_PA);
        steel
            .banks
            .push(endless_bank(helium(), 200.0 - 1.01325, 300.0));
        let mut stage = Stage::new(
            steel,
            Physics {
                gas,
                wall: WallModel::Adiabatic,
                ..Physics::default()
            },
        );
        let n = match gas {
            GasModel::Real => deepstay::gas::state::total_moles(&helium(), 31e5, 20.0, 300.0),
            GasModel::Ideal => 31e5 * 20.0 / (R * 300.0),
        };
        stage
            .plant
            .set_air(CHAMBER, helium().scaled(n), 300.0, 300.0);
        stage.line_up(LineName::Supply(CHAMBER), 0);
        stage.valve(ValveName::BlowDown(CHAMBER), 1e-4);
        let before = stage.air();
        stage.to(20);
        let after = stage.air();
        let added = after.n_mol.total() - before.n_mol.total();
        let cp = deepstay::gas::state::cp_j_mol_k(&helium());
        let mean = |a: f64, b: f64| 0.5 * (a + b);
        let t_k = mean(before.t_k, after.t_k);
        // Warming = added (cp (arrived - T) + p V / n), with p V / n the work of making room.
        let work =
            mean(before.p_pa, after.p_pa) * 20.0 / mean(before.n_mol.total(), after.n_mol.total());
        let c_j_k = mean(before.n_mol.total(), after.n_mol.total()) * (cp - R);
        *arrived = t_k + (c_j_k * (after.t_k - before.t_k) / added - work) / cp;
    }
    println!(
        "arrives at {:.3} K from a bank at 300 K; an ideal gas at {:.3} K",
        arrival[0], arrival[1]
    );
    assert!((arrival[0] - 300.0 - 10.4).abs() < 0.15);
    assert!((arrival[1] - 300.0).abs() < 0.01);
}

/// Hot water into a shut bell that loses no heat to its wall: with a conductance of its heat over the difference
/// of water and sea, the gas comes to the water's temperature as 1 - exp(-t UA/C) (closed form, own arithmetic).
#[test]
fn hot_water_warms_a_bell_and_no_further_than_itself() {
    use deepstay::record::Machine;
    use deepstay_tests::spread::{BELL, spread};
    let physics = Physics {
        gas: GasModel::Ideal,
        wall: WallModel::Adiabatic,
        ..Physics::default()
    };
    let mut steel = spread();
    for c in &mut steel.compartments {
        (c.leak_m2, c.sample_mol_s) = (0.0, 0.0);
    }
    let (start_k, sea_k) = (290.0, 280.15);
    let bell = steel.compartments[BELL.index()]
        .bell
        .expect("the spread has a bell");
    let volume_m3 = steel.compartments[BELL.index()].volume_m3;
    let mut stage = Stage::new(steel, physics);
    stage.plant.set_sea(sea_k, 0.0, 44_714.0);
    let n = helium().scaled(11e5 * volume_m3 / (R * start_k));
    stage.plant.set_air(BELL, n, start_k, start_k);
    stage.order(SteelOrder::Switch {
        compartment: BELL,
        machine: Machine::HotWater,
        on: true,
    });
    assert!(stage.plant.positions().hot_water(BELL));
    let conductance_w_k = bell.hot_water_w / (bell.hot_water_t_k - sea_k);
    let heat_j_k = 1.5 * R * n.total();
    for t_s in [60, 600, 3600, 20_000] {
        stage.to(t_s);
        let left = (-conductance_w_k * t_s as f64 / heat_j_k).exp();
        let closed_k = bell.hot_water_t_k - (bell.hot_water_t_k - start_k) * left;
        let now_k = stage.plant.air(BELL, t_s).t_k;
        println!("{t_s} s: {now_k:.6} K, closed form {closed_k:.6} K");
        assert!(apart(now_k, closed_k) < 1e-6);
    }
}
