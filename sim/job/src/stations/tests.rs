//! The two stations before the fake plant: a short job from surface to surface, and the bad hours.

use super::board::Board;
use super::context::{Kit, Look};
use super::fake::{Fake, Rig};
use super::house_figures::LOSS_MSW;
use super::panel::Desk;
use super::trunk;
use deepstay_core::gas::Amounts;
use deepstay_core::record::{
    BellPhase, BreathingPath, Finding, LineName, Phase, Routine, Station, Stopped, ValveName, What,
    Whereabouts,
};
use deepstay_core::units::*;
use deepstay_plant::*;
use deepstay_rules as rules;
use deepstay_scenario::*;
use std::sync::Arc;

const LIVING: CompartmentId = CompartmentId(0);
const WET: CompartmentId = CompartmentId(1);
const TRUNK: CompartmentId = CompartmentId(2);
pub(super) const BELL: CompartmentId = CompartmentId(3);
const LOCK: CompartmentId = CompartmentId(4);
const TANK: CompartmentId = CompartmentId(5);
pub(super) const HOUR: i64 = 3600;

fn vessel(name: &str, kind: CompartmentKind, volume_m3: f64) -> Compartment {
    Compartment {
        name: name.into(),
        kind,
        volume_m3,
        rating_msw: 300.0,
        bunks: 6,
        places: 6,
        wall_m2: 40.0,
        wall_j_k: 1e7,
        wall_ua_w_k: 80.0,
        leak_m2: 0.0,
        blow_down_m2: 2e-4,
        exhaust_m2: 4e-4,
        bleed_m2: 2e-5,
        drain_m2: 0.0,
        oxygen_m2: 1e-6,
        supply_over_pa: 10e5,
        sample_mol_s: 0.0,
        relief: None,
        drain_to: None,
        scrubber: None,
        climate: None,
        bell: None,
    }
}

fn door(name: &str, a: CompartmentId, b: Option<CompartmentId>, clamp: bool) -> Door {
    Door {
        name: name.into(),
        a,
        b,
        clamp,
        equalise_m2: 1e-4,
        exchange_m3_s: 0.05,
        open_below_pa: 3e3,
        open_at_start: clamp,
    }
}

pub(super) fn bank(name: &str, duty: Duty, label_o2: f64, volume_m3: f64) -> Bank {
    Bank {
        name: name.into(),
        duty,
        volume_m3,
        fill_gauge_pa: 200e5,
        t_k: 288.0,
        true_mix: Amounts::heliox(label_o2),
        label_o2,
        analysed_o2: None,
    }
}

pub(super) fn gauge(quantity: Quantity, at: SamplePoint, resolution: f64) -> Instrument {
    Instrument {
        name: String::new(),
        quantity,
        labelled: at,
        connected: at,
        channel: Channel::Primary,
        lag_s: 0.0,
        line_m3: 0.0,
        line_mol_s: 0.0,
        let_down_at_penetrator: true,
        span: 0.0,
        zero: 0.0,
        span_drift_per_s: 0.0,
        zero_drift_per_s: 0.0,
        resolution,
        ceiling: 1e9,
        accuracy: 0.0,
    }
}

fn steel() -> Steel {
    let mut wet = vessel("wet pot", CompartmentKind::Transfer, 8.0);
    wet.drain_m2 = 2e-5;
    wet.drain_to = Some(TANK);
    let mut bell = vessel("bell", CompartmentKind::Bell, 5.0);
    bell.bell = Some(Bell {
        trunk: TRUNK,
        on_board: Some(BankId(5)),
        on_board_oxygen: None,
        winch_msw_s: 0.5,
        handling_s: 300,
        hot_water_w: 2000.0,
        hot_water_kg_s: 0.3,
        hot_water_t_k: 313.0,
    });
    let compartments = vec![
        vessel("living chamber", CompartmentKind::Living, 22.0),
        wet,
        vessel("trunk", CompartmentKind::Trunk, 2.0),
        bell,
        vessel("medical lock", CompartmentKind::MedicalLock, 0.1),
        vessel("holding tank", CompartmentKind::HoldingTank, 1.0),
    ];
    let doors = vec![
        door("living to wet pot", LIVING, Some(WET), false),
        door("wet pot to trunk", WET, Some(TRUNK), false),
        door("bell to trunk", BELL, Some(TRUNK), true),
        door("bottom door", BELL, None, false),
        door("lock inner", LIVING, Some(LOCK), false),
        door("lock outer", LOCK, None, false),
        door("way in", WET, None, false),
    ];
    let banks = vec![
        bank("M-1", Duty::BottomMix, 0.02, 6.4),
        bank("M-2", Duty::BottomMix, 0.02, 6.4),
        bank("O-1", Duty::Oxygen, 1.0, 3.2),
        bank("D-1", Duty::DiverGas, 0.06, 12.8),
        bank("E-1", Duty::Emergency, 0.10, 3.2),
        bank("B-1", Duty::OnBoard, 0.06, 0.5),
    ];
    let mut instruments = Vec::new();
    for c in (0u8..6).map(CompartmentId) {
        let at = SamplePoint::Compartment(c);
        instruments.push(gauge(Quantity::Depth, at, 0.1));
        instruments.push(gauge(Quantity::PpO2, at, 0.001));
        instruments.push(gauge(Quantity::PpCo2, at, 0.0001));
    }
    instruments.push(gauge(Quantity::SeaDepth, SamplePoint::Sea(BELL), 0.1));
    instruments.push(gauge(
        Quantity::Temperature,
        SamplePoint::Compartment(BELL),
        0.1,
    ));
    for b in (0u8..6).map(BankId) {
        instruments.push(gauge(Quantity::GaugePressure, SamplePoint::Bank(b), 1.0));
    }
    Steel {
        name: "trial spread".into(),
        compartments,
        doors,
        banks,
        instruments,
        alarms: Vec::new(),
        reclaim: None,
        recovery: None,
        deck_t_k: 290.0,
        deck_humidity: 0.0,
        surface_pa: 101_325.0,
        breathing_over_pa: 1e6,
    }
}

/// Six men at 60 msw for three days, a two-man run a day, then up.
pub(super) fn scenario() -> Scenario {
    let diver = |i: u8| Diver {
        initials: format!("D{i}"),
        chamber: LIVING,
        team: i / 2,
        mass_kg: 80.0,
        metabolism: 1.0,
        qualifications: Vec::new(),
    };
    let run = |day: i64| BellRun {
        at: day * 24 * HOUR + 8 * HOUR,
        bell: BELL,
        divers: vec![DiverId(0), DiverId(1)],
        depth_msw: 60.0,
        in_water_s: 3 * HOUR,
        pause_s: 0,
        work: Activity::WaterModerate,
    };
    let steps = vec![
        LevelStep {
            at: 0,
            what: LevelDo::Press(60.0),
        },
        LevelStep {
            at: 72 * HOUR,
            what: LevelDo::Decompress,
        },
    ];
    Scenario::from(ScenarioData {
        name: "trial".into(),
        title: String::new(),
        steel: steel(),
        rules: Arc::new(rules::builtin("demonstration").unwrap()),
        accepted: Vec::new(),
        crew: (0..6).map(diver).collect(),
        site: Site {
            seabed_msw: 62.0,
            working_msw: 60.0,
            tide_amplitude_m: 0.0,
            sea_t_k: 280.0,
            launch_limit_hs_m: 3.0,
            weather: Weather::Calm,
        },
        plan: Plan {
            levels: vec![Level {
                members: vec![LIVING, WET],
                steps,
            }],
            bell_runs: (1..3).map(run).collect(),
            meals_s: vec![7 * HOUR, 12 * HOUR, 18 * HOUR],
            laundry_s: Some(10 * HOUR),
            stores_s: vec![15 * HOUR],
            toilet_per_day: 5.0,
            handover_s: [6 * HOUR, 18 * HOUR],
            calibrate_every_s: 2 * HOUR,
            end_s: 8 * 24 * HOUR,
            night_s: (22 * HOUR, 6 * HOUR),
            ..Plan::default()
        },
        start_second_of_day: 6 * HOUR,
        seed: 1,
        log_every_s: 1800,
        ..ScenarioData::default()
    })
}

fn phase(phase: Phase) -> impl Fn(&What) -> bool {
    move |w| matches!(w, What::Phase { compartment: LIVING, phase: p } if *p == phase)
}

fn routine(routine: Routine) -> impl Fn(&What) -> bool {
    move |w| matches!(w, What::Routine { routine: r, .. } if *r == routine)
}

pub(super) fn bell_phase(phase: BellPhase) -> impl Fn(&What) -> bool {
    move |w| matches!(w, What::BellPhase { phase: p, .. } if *p == phase)
}

pub(super) fn at_storage() -> Rig {
    let mut rig = Rig::new(scenario());
    rig.run_to(6 * HOUR);
    assert!(rig.first(phase(Phase::Storage)).is_some());
    rig
}

#[test]
fn pressing_keeps_under_the_rate_and_lands_on_the_wanted_oxygen() {
    let mut rig = Rig::new(scenario());
    let mut fastest: f64 = 0.0;
    let mut before = rig.fake.depth(0);
    while rig.first(phase(Phase::Storage)).is_none() && rig.fake.now < 4 * HOUR {
        rig.run_to(rig.fake.now + 60);
        fastest = fastest.max(rig.fake.depth(0) - before);
        before = rig.fake.depth(0);
    }
    assert!(
        fastest <= 3.0 * 1.02,
        "3 msw/min allowed, {fastest} msw gained in a minute"
    );
    assert!(fastest > 2.0, "{fastest}");
    assert!((before - 60.0).abs() < 0.5, "{before}");
    let band = 0.44 * 1.01325..0.48 * 1.01325;
    for c in [LIVING, WET] {
        let ppo2 = rig.fake.ppo2(c.index());
        assert!(band.contains(&ppo2), "{c:?} {ppo2}");
    }
    assert_eq!(rig.count(routine(Routine::LeakCheck)), 1);
    let pressed_besides = |(_, o): &&(i64, Order)| matches!(o, Order::Steel(SteelOrder::Valve { valve: ValveName::BlowDown(WET), opening, .. }) if *opening > 0.0);
    assert!(rig.fake.orders.iter().any(|o| pressed_besides(&o)));
}

#[test]
fn storage_is_held_in_its_bands_and_the_days_routine_is_done() {
    let mut rig = at_storage();
    for _ in 0..18 * 60 {
        rig.run_to(rig.fake.now + 60);
        assert!(
            (rig.fake.depth(0) - 60.0).abs() < 0.6,
            "{} {}",
            rig.fake.now,
            rig.fake.depth(0)
        );
    }
    let ppo2 = rig.fake.ppo2(0);
    assert!((0.44 * 1.01325..0.48 * 1.01325).contains(&ppo2), "{ppo2}");
    assert!(rig.count(routine(Routine::Meal)) >= 2);
    assert!(rig.count(routine(Routine::EarDrops)) >= 6);
    assert!(rig.count(routine(Routine::Toilet)) >= 15);
    let handovers = rig.count(|w| {
        matches!(
            w,
            What::Handover {
                station: Station::Saturation
            }
        )
    });
    assert!(
        (1..=2).contains(&handovers),
        "twelve hours apart, and a few minutes early or late: {handovers}"
    );
    assert!(rig.fake.depth(LOCK.index()) < 0.1);
    assert!(!rig.fake.doors[4] && !rig.fake.doors[5]);
}

#[test]
fn a_bell_run_goes_through_all_its_phases_within_eight_hours() {
    let mut rig = at_storage();
    rig.run_to(41 * HOUR);
    let order = [
        BellPhase::Checks,
        BellPhase::Transfer,
        BellPhase::Seal,
        BellPhase::TrunkVented,
        BellPhase::Lowering,
        BellPhase::DoorOpen,
        BellPhase::FirstOut,
        BellPhase::FirstBack,
        BellPhase::SecondOut,
        BellPhase::SecondBack,
        BellPhase::BottomSeal,
        BellPhase::Recovery,
        BellPhase::Mating,
        BellPhase::TrunkPressed,
        BellPhase::TransferBack,
        BellPhase::Done,
    ];
    let times: Vec<i64> = order
        .iter()
        .map(|&p| rig.first(bell_phase(p)).unwrap_or(-1))
        .collect();
    assert!(times.windows(2).all(|w| w[0] < w[1]), "{times:?}");
    assert!(times[14] - times[2] < 8 * HOUR, "{times:?}");
    assert!(times[7] - times[6] >= 3 * HOUR - 60);
    assert!((0..6).all(|d| rig.fake.places[d] == Whereabouts::In(LIVING)));
    assert_eq!(rig.count(|w| matches!(w, What::BellStopped { .. })), 0);
}

/// On-board gas can be breathed from 0.16 to 1.25 ata of oxygen (US Navy Diving Manual, 15-15). At 60 msw, 6.92 ata, that
/// is 2.31 % to 18.06 %: by hand.
#[test]
fn a_bell_does_not_leave_with_on_board_gas_unfit_by_label_or_by_analysis() {
    let left = |label: f64, analysed: f64| {
        let mut s = scenario();
        s.steel.banks[5].label_o2 = label;
        let mut rig = Rig::new(s);
        rig.fake.analysed[5] = Some(analysed);
        rig.run_to(34 * HOUR);
        let unfit = |what: &What| {
            let why = Stopped::GasUnfit;
            matches!(what, What::BellStopped { run: 0, why: told, .. } if *told == why)
        };
        let gone = rig.first(bell_phase(BellPhase::TrunkVented)).is_some();
        assert_eq!(gone, rig.first(unfit).is_none(), "{label}, {analysed}");
        gone
    };
    assert!(left(0.06, 0.06));
    assert!(left(0.0232, 0.18) && left(0.18, 0.0232));
    assert!(!left(0.06, 0.023) && !left(0.06, 0.181));
    assert!(!left(0.023, 0.06) && !left(0.181, 0.06));
    assert!(!left(0.0, 0.0) && !left(1.0, 1.0));
}

#[test]
fn the_job_ends_at_the_surface_with_everybody_out() {
    let mut rig = Rig::new(scenario());
    rig.run_to(8 * 24 * HOUR);
    let up = rig.first(phase(Phase::Decompression)).unwrap();
    let surface = rig.first(phase(Phase::Surface)).unwrap();
    assert!(surface - up > 2 * 24 * HOUR, "{up} {surface}");
    assert!(rig.fake.depth(0).abs() < 0.1);
    assert!(rig.fake.places.iter().all(|p| *p == Whereabouts::Deck));
    assert_eq!(rig.count(bell_phase(BellPhase::Done)), 2);
    assert!(rig.fake.depth(BELL.index()) < 0.1, "the bell is stood down");
    assert!(rig.looks[0] < 60_000, "{:?}", rig.looks);
    assert!(rig.looks[1] < 2_000, "{:?}", rig.looks);
}

#[test]
fn weather_loses_a_turn_or_shifts_it_as_the_scenario_says() {
    for slip in [Slip::Skip, Slip::Shift] {
        let mut s = scenario();
        s.plan.slip = slip;
        let mut rig = Rig::new(s);
        rig.run_to(30 * HOUR);
        rig.fake.hs_m = 4.0;
        rig.run_to(34 * HOUR);
        rig.fake.hs_m = 1.0;
        rig.run_to(46 * HOUR);
        let lost = rig.count(|w| {
            matches!(
                w,
                What::BellStopped {
                    why: Stopped::Weather,
                    ..
                }
            )
        });
        let done = rig.count(bell_phase(BellPhase::Done));
        assert_eq!(
            (lost, done),
            if slip == Slip::Skip { (1, 0) } else { (0, 1) }
        );
    }
}

#[test]
fn a_bank_whose_analysis_gives_its_label_the_lie_is_never_lined_up() {
    let mut rig = Rig::new(scenario());
    rig.fake.true_o2[0] = 0.10;
    rig.run_to(6 * HOUR);
    let used = rig.fake.orders.iter().any(|(_, o)| {
        matches!(
            o,
            Order::Steel(SteelOrder::LineUp {
                line: LineName::Supply(_),
                bank: BankId(0)
            })
        )
    });
    assert!(!used);
    assert!(rig.first(phase(Phase::Storage)).is_some());
}

#[test]
fn a_drifted_analyser_keeps_the_reading_in_band_and_nobody_notices_before_calibration() {
    let mut rig = at_storage();
    rig.run_to(24 * HOUR + 60);
    let calibrated = |f: &Fake| {
        let last = f
            .orders
            .iter()
            .rev()
            .find(|(_, o)| matches!(o, Order::Steel(SteelOrder::Calibrate { instrument }) if f.scenario.steel.instruments[instrument.index()].quantity == Quantity::PpO2));
        last.map(|(at, _)| *at).unwrap()
    };
    let last = calibrated(&rig.fake);
    // Both alike: no analyser of the level shows the other up.
    rig.fake.ppo2_error[..2].fill(0.06);
    // Six men breathe the excess away; the reading is held all the same.
    rig.fake.oxygen_on[0] = true;
    let before = rig.fake.ppo2(0);
    // It is done up to an eighth of the two hours before they run out.
    rig.run_to(last + 2 * HOUR * 7 / 8 - 5);
    assert_eq!(calibrated(&rig.fake), last);
    let shown = rig.fake.ppo2(0) + rig.fake.ppo2_error[0];
    assert!(
        rig.fake.ppo2(0) < before,
        "no oxygen is added while the reading is high"
    );
    assert!(shown > 0.44 * 1.01325);
    rig.run_to(last + 2 * HOUR + 1);
    assert_eq!(rig.fake.ppo2_error[0], 0.0, "calibration finds it");
}

#[test]
fn loss_of_depth_gets_full_supply_masks_and_shut_doors() {
    let mut rig = at_storage();
    rig.fake.leak_m2[WET.index()] = 4e-4;
    let (mut lowest, mut masks): (f64, bool) = (60.0, false);
    for _ in 0..1200 {
        rig.run_to(rig.fake.now + 1);
        lowest = lowest.min(rig.fake.depth(0));
        masks |= rig.fake.paths.iter().all(|p| *p == BreathingPath::Bibs);
    }
    assert!(masks, "{lowest}");
    assert!(lowest > 45.0, "{lowest}");
    assert!(
        !rig.fake.doors[0],
        "the living chamber is shut off from the leak"
    );
    rig.run_to(rig.fake.now + HOUR);
    assert!(
        (rig.fake.depth(0) - 60.0).abs() < 0.7,
        "{}",
        rig.fake.depth(0)
    );
    assert!(rig.fake.paths.iter().all(|p| *p == BreathingPath::Ambient));
}

#[test]
fn absorbent_is_changed_when_ppco2_has_stood_for_its_hour() {
    let mut rig = Rig::new(with_scrubber());
    rig.run_to(6 * HOUR);
    let before = rig.fake.canister_changes;
    rig.fake.co2_bar[0] = 0.006;
    rig.run_to(7 * HOUR - 60);
    assert_eq!(rig.fake.canister_changes, before);
    let runs = rig.count(routine(Routine::Stores));
    rig.run_to(7 * HOUR + 1830);
    assert_eq!(rig.fake.canister_changes, before + 1);
    let told = |w: &What| {
        matches!(
            w,
            What::Found {
                finding: Finding::AbsorbentSpent,
                ..
            }
        )
    };
    assert_eq!(rig.count(told), 1);
    assert_eq!(
        rig.count(routine(Routine::Stores)),
        runs + 1,
        "it comes in by a lock run"
    );
}

fn with_scrubber() -> Scenario {
    let mut s = scenario();
    s.steel.compartments[0].scrubber = Some(Scrubber {
        flow_m3_s: 0.02,
        absorbent_kg: 1e4,
        capacity_mol_kg: 3.0,
        bed_number: 10.0,
        fan_w: 100.0,
    });
    s
}

#[test]
fn an_abort_while_pressing_turns_back_by_the_sets_rule() {
    let mut s = scenario();
    s.plan.levels[0].steps = vec![
        LevelStep {
            at: 0,
            what: LevelDo::Press(60.0),
        },
        LevelStep {
            at: HOUR,
            what: LevelDo::Abort,
        },
    ];
    s.plan.bell_runs.clear();
    let mut rig = Rig::new(s);
    rig.run_to(6 * 24 * HOUR);
    assert!(rig.first(phase(Phase::Storage)).is_none());
    assert!(rig.first(phase(Phase::Decompression)).is_some());
    assert!(rig.first(phase(Phase::Surface)).is_some());
}

/// Air painted and analysed as oxygen presses the chamber without showing on the analyser: it is found while
/// oxygen is established, the next bank is taken, and the level lands in its band all the same.
#[test]
fn a_false_oxygen_bank_is_found_before_the_way_down() {
    let mut s = scenario();
    s.steel.banks.push(bank("O-2", Duty::Oxygen, 1.0, 3.2));
    let mut rig = Rig::new(s);
    rig.fake.analysed[2] = Some(1.0);
    rig.fake.true_o2[2] = 0.21;
    rig.run_to(6 * HOUR);
    let line = LineName::Oxygen(LIVING);
    assert_eq!(rig.fake.lines.get(&line), Some(&BankId(6)));
    let shown = rig.fake.ppo2(0);
    assert!((0.44 * 1.01325..0.48 * 1.01325).contains(&shown), "{shown}");
}

/// The first depth gauge falls and no gas is lost: it was connected to another compartment in the accident in which
/// two men died of the heat of gas poured in against it (Fatal Accident Inquiry, Scotland, 1977). The second gauge,
/// and that of the chamber open to this one, stand still: nothing is pressed.
#[test]
fn gas_is_not_pressed_against_a_gauge_that_falls_alone() {
    for second in [true, false] {
        let mut s = scenario();
        s.plan.bell_runs.clear();
        if second {
            let mut beside = gauge(Quantity::Depth, SamplePoint::Compartment(LIVING), 0.1);
            beside.channel = Channel::Secondary;
            s.steel.instruments.push(beside);
        }
        let mut rig = Rig::new(s);
        rig.run_to(8 * HOUR);
        let began = rig.fake.depth(0);
        for minute in 0..120 {
            rig.fake.depth_error[0] = -0.3 * f64::from(minute);
            rig.run_to(rig.fake.now + 60);
        }
        let told = |w: &What| {
            matches!(
                w,
                What::Found {
                    finding: Finding::GaugesDiffer,
                    ..
                }
            )
        };
        assert_eq!(rig.count(told), 1);
        let gained = rig.fake.depth(0) - began;
        println!("second gauge {second}: {gained:.2} msw pressed");
        assert!(gained < 1.6, "{gained} msw pressed against it");
        assert!(rig.fake.paths.iter().all(|p| *p == BreathingPath::Ambient));
        rig.fake.depth_error[0] = 0.0;
        rig.run_to(rig.fake.now + HOUR);
        assert!(
            (rig.fake.depth(0) - 60.0).abs() < 0.6,
            "{}",
            rig.fake.depth(0)
        );
    }
}

/// A man in the wet pot when the depth goes is called in, and the door shut behind him.
#[test]
fn nobody_is_left_outside_the_door_that_is_shut() {
    let mut rig = at_storage();
    rig.fake.places[2] = Whereabouts::In(WET);
    rig.fake.leak_m2[WET.index()] = 4e-4;
    let began = rig.fake.now;
    rig.run_to(began + 300);
    let lost = rig.first(|w| {
        matches!(
            w,
            What::Found {
                finding: Finding::DepthLost,
                ..
            }
        )
    });
    println!(
        "depth lost written down after {:?} s",
        lost.map(|at| at - began)
    );
    assert!(lost.is_some_and(|at| at - began < 60));
    assert_eq!(rig.fake.places[2], Whereabouts::In(LIVING));
    assert!(!rig.fake.doors[0]);
}

/// A fan that stops is written down by the round that finds it, and its canister is left alone.
#[test]
fn a_stopped_fan_is_found_and_its_canister_not_changed() {
    let mut rig = Rig::new(with_scrubber());
    rig.run_to(8 * HOUR);
    let before = rig.fake.canister_changes;
    rig.fake.fan_stopped[0] = true;
    rig.fake.co2_bar[0] = 0.02;
    rig.run_to(12 * HOUR);
    let told = |w: &What| {
        matches!(
            w,
            What::Found {
                finding: Finding::FanStopped,
                ..
            }
        )
    };
    assert_eq!(rig.count(told), 1);
    assert!(rig.first(told).is_some_and(|at| at <= 8 * HOUR + 1800));
    assert_eq!(rig.fake.canister_changes, before);
}

/// An equalising valve is never opened between sides that show depths far apart: it would blow the deeper down.
#[test]
fn what_stands_far_apart_is_not_joined() {
    for (apart_msw, opens) in [(LOSS_MSW - 0.05, true), (LOSS_MSW + 0.05, false)] {
        for (deeper, other) in [(LIVING, WET), (WET, LIVING)] {
            let mut rig = at_storage();
            let p_pa = rig.fake.p_pa[deeper.index()];
            rig.fake.p_pa[other.index()] = p_pa - apart_msw * MSW_PA;
            let kit = Kit::new(Arc::new(scenario()));
            let (mut board, mut desk) = (Board::new(&kit.scenario), Desk::new());
            rig.fake.doors[0] = false;
            let mut look = Look::at(&kit, &rig.fake, &mut board, &mut desk);
            trunk::join(&mut look, DoorId(0), LIVING, WET, &mut None);
            let valve = ValveName::Equalise(DoorId(0));
            let opened = desk.orders.iter().any(|order| {
                matches!(order, Order::Steel(SteelOrder::Valve { valve: v, opening, .. }) if *v == valve && *opening > 0.0)
            });
            assert_eq!(opened, opens, "{apart_msw} msw apart");
        }
    }
}

/// A leak that nobody hears, on the manned side of the door that was shut: the chamber beyond has fallen behind, is
/// brought level by its own supply in one go, and only then the door is opened and everybody goes through.
#[test]
fn who_crosses_over_brings_what_is_beyond_level_first() {
    let mut rig = at_storage();
    rig.fake.leak_m2[LIVING.index()] = 1e-4;
    let began = rig.fake.now;
    while rig.fake.doors[0] {
        rig.run_to(rig.fake.now + 1);
        assert!(rig.fake.now < began + HOUR, "the door is shut");
    }
    rig.fake.p_pa[WET.index()] -= 3.0 * MSW_PA;
    let shut = rig.fake.now;
    while !rig.fake.doors[0] {
        let apart_msw = rig.fake.depth(LIVING.index()) - rig.fake.depth(WET.index());
        let equalises = rig.fake.valves.get(&ValveName::Equalise(DoorId(0)));
        assert!(
            apart_msw.abs() <= LOSS_MSW || equalises.is_none_or(|o| *o == 0.0),
            "{apart_msw} msw apart"
        );
        rig.run_to(rig.fake.now + 1);
        assert!(rig.fake.now < shut + HOUR, "it is crossed over");
    }
    let levelled = |(at, order): &&(i64, Order)| {
        let Order::Steel(SteelOrder::Valve { valve, opening, .. }) = order else {
            return false;
        };
        *at > shut && *valve == ValveName::BlowDown(WET) && *opening > 0.0
    };
    let openings = rig.fake.orders.iter().filter(levelled).count();
    println!(
        "crossed over {} s after the door was shut, {openings} openings",
        rig.fake.now - shut
    );
    assert!(openings > 0);
    rig.run_to(rig.fake.now + 300);
    let left = |p: &Whereabouts| *p == Whereabouts::In(LIVING);
    assert!(!rig.fake.places.iter().any(left), "{:?}", rig.fake.places);
}
