//! Analysers on the plant: first-order lag after a step and along a ramp, and the sample line.

use super::*;

const OXYGEN: InstrumentId = InstrumentId(0);
const LAG_S: f64 = 6.0;

fn analyser(lag_s: f64, line_m3: f64, let_down_at_penetrator: bool) -> Instrument {
    Instrument {
        name: "oxygen".into(),
        quantity: Quantity::PpO2,
        labelled: SamplePoint::Compartment(CHAMBER),
        connected: SamplePoint::Compartment(CHAMBER),
        channel: Channel::Primary,
        lag_s,
        line_m3,
        line_mol_s: 0.5e-3 / 60.0 * ATM_PA / (R * 303.15),
        let_down_at_penetrator,
        span: 0.0,
        zero: 0.0,
        span_drift_per_s: 0.0,
        zero_drift_per_s: 0.0,
        accuracy: 0.0,
        resolution: 0.0,
        ceiling: 1e9,
    }
}

/// S1: moved from a gas of 0.2 to one of 1.2 bar, an analyser with a lag of 6 s shows nine tenths of the
/// step after 13.816 s.
#[test]
fn s1_nine_tenths_of_a_step() {
    let mut steel = twenty_cubic_metres(ATM_PA);
    steel.compartments.push(steel.compartments[0].clone());
    steel.instruments.push(analyser(LAG_S, 0.0, true));
    let mut stage = Stage::new(steel, ISOTHERMAL_IDEAL);
    let other = CompartmentId(1);
    let gas = |ppo2_bar: f64| Amounts::heliox(ppo2_bar / 11.0).scaled(11e5 * 20.0 / (R * 303.15));
    stage.plant.set_air(CHAMBER, gas(0.2), 303.15, 303.15);
    stage.plant.set_air(other, gas(1.2), 303.15, 303.15);
    stage.to(100);
    assert!((stage.plant.read(OXYGEN, 100) - 0.2).abs() < 1e-12);
    let crossed = FaultKind::CrossConnected {
        instrument: OXYGEN,
        to: other,
    };
    stage.plant.fault(100, &crossed, true, &mut stage.entries);
    for dt in 1..40 {
        stage.to(100 + dt);
        let shown = stage.plant.read(OXYGEN, stage.t_s);
        assert!(
            (shown - (1.2 - (-(dt as f64) / LAG_S).exp())).abs() < 1e-9,
            "{dt} s: {shown}"
        );
        if dt as f64 <= closed_form("S1") {
            assert!(shown < 1.1);
        } else {
            assert!(shown > 1.1);
        }
    }
}

/// A ppO2 that rises steadily, bar/s, from a chamber at a pressure, seen after some time: how far the
/// reading is behind the truth, bar.
fn behind(instrument: Instrument, rate_bar_s: f64, p_pa: f64, after_s: i64) -> f64 {
    let mut steel = twenty_cubic_metres(ATM_PA);
    steel.deck_t_k = 303.15;
    steel.instruments.push(instrument);
    steel
        .banks
        .push(endless_bank(Amounts::oxygen(), 200.0, 303.15));
    let mol_s = rate_bar_s * BAR_PA * 20.0 / (R * 303.15);
    steel.compartments[0].supply_over_pa = 1e9;
    steel.compartments[0].oxygen_m2 =
        mol_s / deepstay::gas::flow::mol_s(1.0, &Amounts::oxygen(), 201.01325e5, 303.15, p_pa);
    let mut stage = Stage::new(steel, ISOTHERMAL_IDEAL);
    stage.plant.set_air(
        CHAMBER,
        Amounts::heliox(0.0).scaled(p_pa * 20.0 / (R * 303.15)),
        303.15,
        303.15,
    );
    stage.line_up(LineName::Oxygen(CHAMBER), 0);
    stage.valve(ValveName::Oxygen(CHAMBER), 1.0);
    stage.to(after_s);
    stage.air().ppo2_pa / BAR_PA - stage.plant.read(OXYGEN, after_s)
}

/// S2: along a ramp of 0.01 bar/s the reading is 0.06 bar behind.
#[test]
fn s2_a_ramp_is_followed_late() {
    let bar = behind(analyser(LAG_S, 0.0, true), 0.01, 11e5, 200);
    println!("behind by {bar:.8} bar");
    assert!((bar - closed_form("S2")).abs() < 1e-7);
}

/// S3 and S4: 30 m of 4 mm line at 0.5 L/min of free gas: 1384 s when the line is at 31 bar, 45.2 s
/// when the pressure is let down at the chamber's end. Seen along a slow ramp: delay = distance / rate.
#[test]
fn s3_s4_the_sample_line_s_delay() {
    let line_m3 = 30.0 * std::f64::consts::PI / 4.0 * 0.004 * 0.004;
    for (at_penetrator, id, after_s) in [(false, "S3", 4000), (true, "S4", 300)] {
        let rate = 1e-6;
        let delay_s = behind(analyser(0.0, line_m3, at_penetrator), rate, 31e5, after_s) / rate;
        println!("{id}: {delay_s:.3} s, closed form {:.3} s", closed_form(id));
        // The ramp itself adds 4 mbar to the 31 bar, and to the delay as much in proportion.
        assert!(apart(delay_s, closed_form(id)) < 2e-4);
    }
}

/// Two compartments that have nothing to do with each other draw on one bank: that it is low is noticed at the
/// very second at which a look every second sees it, though their intervals end at different times.
#[test]
fn a_low_bank_is_noticed_at_once_whoever_draws() {
    use deepstay_tests::spread::{BELL, LIVING, TRUNK, spread};
    let stage = || {
        let mut stage = Stage::new(spread(), Physics::default());
        for (c, opening) in [(LIVING, 0.02), (TRUNK, 0.01), (BELL, 0.003)] {
            stage.line_up(LineName::Supply(c), 0);
            stage.valve(ValveName::BlowDown(c), opening);
        }
        stage
    };
    let steel = spread();
    let gauge = steel
        .instruments
        .iter()
        .position(|i| i.connected == SamplePoint::Bank(BankId(0)))
        .map(|k| InstrumentId(k as u16))
        .expect("the bank has a gauge");
    let full = stage().plant.read(gauge, 0);
    let mut slow = stage();
    for lower in [1.0, 2.0, 5.0, 9.0] {
        let value = full - lower;
        let noticed_s = stage().until(Watched::Shown(gauge), false, value, 100_000);
        while slow.plant.read(gauge, slow.t_s) > value {
            slow.to(slow.t_s + 1);
        }
        println!(
            "{lower} bar down: noticed at {noticed_s} s, seen at {} s",
            slow.t_s
        );
        assert_eq!(noticed_s, slow.t_s);
    }
}

/// Whatever is opened or shut, what the panel shows does not change in that very second: nothing has passed yet.
#[test]
fn a_hand_on_a_valve_changes_no_reading_at_that_second() {
    use deepstay_tests::spread::{LIVING, spread};
    let steel = spread();
    let valves = (0u8..)
        .zip(&steel.doors)
        .filter(|(_, d)| d.equalise_m2 > 0.0)
        .map(|(d, _)| ValveName::Equalise(DoorId(d)));
    let valves: Vec<ValveName> = valves.collect();
    assert!(!valves.is_empty());
    for valve in valves {
        let mut stage = Stage::new(spread(), Physics::default());
        stage.line_up(LineName::Supply(LIVING), 0);
        stage.valve(ValveName::BlowDown(LIVING), 0.02);
        stage.to(100);
        let shown = |stage: &Stage| -> Vec<f64> {
            let all = 0..steel.instruments.len() as u16;
            all.map(|k| stage.plant.read(InstrumentId(k), stage.t_s))
                .collect()
        };
        let before = shown(&stage);
        for opening in [0.2, 0.0] {
            stage.valve(valve, opening);
            assert_eq!(shown(&stage), before, "{valve:?} {opening}");
        }
    }
}

/// A gauge made for the sea shows, on a line from a chamber, that chamber's pressure: 11 bar, 99 msw by 1 msw = 0.1 bar
/// less the deck's. With the sea again it shows the sea at the bell, which stands on deck.
#[test]
fn a_sea_gauge_on_a_chambers_line_shows_the_chamber() {
    let mut steel = twenty_cubic_metres(ATM_PA);
    let mut sea = analyser(0.0, 0.0, true);
    sea.quantity = Quantity::SeaDepth;
    sea.labelled = SamplePoint::Sea(CHAMBER);
    sea.connected = SamplePoint::Sea(CHAMBER);
    steel.instruments.push(sea);
    let mut stage = Stage::new(steel, ISOTHERMAL_IDEAL);
    let gas = Amounts::heliox(0.05).scaled(11e5 * 20.0 / (R * 303.15));
    stage.plant.set_air(CHAMBER, gas, 303.15, 303.15);
    stage.to(100);
    assert_eq!(stage.plant.read(OXYGEN, 100), 0.0);
    let crossed = FaultKind::CrossConnected {
        instrument: OXYGEN,
        to: CHAMBER,
    };
    stage.plant.fault(100, &crossed, true, &mut stage.entries);
    stage.to(200);
    let by_hand = (11e5 - ATM_PA) / 1e4;
    let shown = stage.plant.read(OXYGEN, 200);
    assert!((shown - by_hand).abs() < 1e-6, "{shown} against {by_hand}");
    stage.plant.fault(200, &crossed, false, &mut stage.entries);
    stage.to(300);
    assert_eq!(stage.plant.read(OXYGEN, 300), 0.0);
}
