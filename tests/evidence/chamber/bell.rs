//! A bell on its wire and in the sea, and the oxygen of the air that a chamber is closed with: closed forms by hand.

use super::*;
use deepstay::plant::Bell;
use deepstay::units::CompartmentKind;

/// A shut bell of 5 m3 with an invented wall, beside a chamber that its hatch would lead to.
fn steel(wall_j_k: f64, wall_ua_w_k: f64, winch_msw_s: f64, handling_s: i64) -> Steel {
    let mut steel = bare_chamber(5.0, 12.0, wall_j_k, wall_ua_w_k);
    let mut beside = steel.compartments[0].clone();
    beside.name = "trunk".into();
    beside.kind = CompartmentKind::Trunk;
    steel.compartments[0].kind = CompartmentKind::Bell;
    steel.compartments[0].bell = Some(Bell {
        trunk: CompartmentId(1),
        on_board: None,
        on_board_oxygen: None,
        winch_msw_s,
        handling_s,
        hot_water_w: 0.0,
        hot_water_kg_s: 0.0,
        hot_water_t_k: 303.15,
    });
    steel.compartments.push(beside);
    steel
}

fn send(stage: &mut Stage, to_msw: f64) {
    stage.order(SteelOrder::Bell {
        bell: CHAMBER,
        to_msw,
    });
}

/// Depth over speed, and the time over the side on the way down before it, on the way up after it. By hand: 118 msw at
/// 0.25 msw/s is 472 s; with 300 s of handling it is half way at 300 + 236 s and there at 772 s; sent home at 1000 s its
/// wire shows nothing at 1472 s. At 0.3 msw/s, 393.3 s, it is there with the 394th second.
#[test]
fn a_bell_takes_depth_over_speed_and_its_handling() {
    let wire = |stage: &Stage, t_s: i64| stage.plant.positions().winch(CHAMBER, t_s).1;
    let mut stage = Stage::new(steel(1e6, 40.0, 0.25, 300), ISOTHERMAL_IDEAL);
    let mix = Amounts::heliox(0.02).scaled(11e5 * 5.0 / (R * 303.15));
    stage.plant.set_air(CHAMBER, mix, 303.15, 303.15);
    send(&mut stage, 118.0);
    for (t_s, msw) in [
        (0, 0.0),
        (300, 0.0),
        (304, 1.0),
        (536, 59.0),
        (772, 118.0),
        (990, 118.0),
    ] {
        stage.to(t_s);
        assert!(
            (wire(&stage, t_s) - msw).abs() < 1e-9,
            "{t_s} s: {}",
            wire(&stage, t_s)
        );
    }
    stage.to(1000);
    send(&mut stage, 0.0);
    for (t_s, msw) in [
        (1004, 117.0),
        (1236, 59.0),
        (1471, 0.25),
        (1472, 0.0),
        (1772, 0.0),
    ] {
        stage.to(t_s);
        assert!(
            (wire(&stage, t_s) - msw).abs() < 1e-9,
            "{t_s} s: {}",
            wire(&stage, t_s)
        );
    }
    let mut stage = Stage::new(steel(1e6, 40.0, 0.3, 0), ISOTHERMAL_IDEAL);
    stage.plant.set_air(CHAMBER, mix, 303.15, 303.15);
    send(&mut stage, 118.0);
    stage.to(400);
    assert!(wire(&stage, 393) < 118.0 && wire(&stage, 394) == 118.0);
}

/// A shut, empty bell cools as two nodes do, gas to wall and wall to sea: the exact solution of the linear pair, with the
/// wall's loss three times that in air (a house rule of the plant) and the sea for the deck.
#[test]
fn a_shut_bell_cools_in_the_sea_as_two_nodes_do() {
    let (wall_j_k, ua_air, ha, sea_k, warm_k) = (1.2e6, 40.0, 1200.0, 279.15, 303.15);
    let physics = Physics {
        gas: GasModel::Ideal,
        wall: WallModel::Fixed(ha / 12.0),
        ..Physics::default()
    };
    let mut stage = Stage::new(steel(wall_j_k, ua_air, 10.0, 0), physics);
    let helium = Amounts::heliox(0.0);
    let gas_j_k = 5e4;
    let n = gas_j_k / deepstay::gas::state::cv_j_k(&helium, 290.0);
    stage
        .plant
        .set_air(CHAMBER, helium.scaled(n), warm_k, warm_k);
    stage.plant.set_sea(sea_k, 0.0, 44_714.0);
    send(&mut stage, 50.0);

    let ua = 3.0 * ua_air;
    let (tr, de) = (
        ha / gas_j_k + (ha + ua) / wall_j_k,
        ha * ua / (gas_j_k * wall_j_k),
    );
    let root = (tr * tr - 4.0 * de).sqrt();
    let (fast, slow) = (0.5 * (tr + root), 2.0 * de / (tr + root));
    // At the start gas and wall are as warm as each other, so the gas is not cooling yet.
    let warmer = warm_k - sea_k;
    let (a, b) = (
        warmer * fast / (fast - slow),
        -warmer * slow / (fast - slow),
    );
    let exact = |t: f64| sea_k + a * (-slow * t).exp() + b * (-fast * t).exp();
    for t_s in [1, 20, 60, 300, 1800, 3600, 4 * 3600, 24 * 3600] {
        stage.to(t_s);
        let (ours, theirs) = (stage.air().t_k, exact(t_s as f64));
        assert!(
            (ours - theirs).abs() < 1e-3,
            "{t_s} s: {ours} K against {theirs} K"
        );
    }
    // By hand, gas and wall as one: (5e4 + 1.2e6) J/K over 120 W/K is 10,417 s.
    assert!((1.0 / slow - 10_417.0).abs() < 10.0, "{} s", 1.0 / slow);
}

/// A chamber is shut with air in it, whose oxygen stays while it is pressed: by hand 0.2095 of 1.01325 bar is 0.21228 bar,
/// and beside it only what the mix brings. So on helium alone it has that at any depth, and pressed with 2 % to 118 msw
/// (11.8 bar) it has 0.21228 + 0.02 x 11.8 = 0.44828 bar.
#[test]
fn the_oxygen_of_the_air_stays_and_the_mix_adds_its_own() {
    for (mix_o2, by_hand_bar) in [(0.0, 0.21228), (0.02, 0.44828)] {
        let mut steel = twenty_cubic_metres(ATM_PA);
        steel.banks = vec![endless_bank(Amounts::heliox(mix_o2), 200.0, 303.15)];
        let mut stage = Stage::new(steel, ISOTHERMAL_IDEAL);
        let air = Amounts::air().scaled(ATM_PA * 20.0 / (R * 303.15));
        stage.plant.set_air(CHAMBER, air, 303.15, 303.15);
        stage.line_up(LineName::Supply(CHAMBER), 0);
        stage.valve(ValveName::BlowDown(CHAMBER), 0.02);
        let deep = ATM_PA + 118.0 * MSW_PA;
        let there_s = stage.until(Watched::True(CHAMBER, Quantity::Depth), true, 118.0, 86_400);
        let now = stage.air();
        println!(
            "{mix_o2}: {:.6} bar after {there_s} s",
            now.ppo2_pa / BAR_PA
        );
        let beyond_bar = mix_o2 * (now.p_pa - deep) / BAR_PA;
        assert!(beyond_bar < 1e-3, "the second it was met is not far beyond");
        assert!((now.ppo2_pa / BAR_PA - beyond_bar - by_hand_bar).abs() < 1e-5);
    }
}
