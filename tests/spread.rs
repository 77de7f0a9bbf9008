//! A small spread with one of every kind of compartment, for tests that need all of them. Sizes are
//! round figures (common practice, no source).

use deepstay::gas::Amounts;
use deepstay::plant::*;
use deepstay::scenario::{
    BellRun, Diver, Level, LevelDo, LevelStep, Plan, Scenario, ScenarioData, Site, Weather,
};
use deepstay::units::*;

/// Living chamber.
pub const LIVING: CompartmentId = CompartmentId(0);
/// Transfer chamber.
pub const TRANSFER: CompartmentId = CompartmentId(1);
/// Trunk.
pub const TRUNK: CompartmentId = CompartmentId(2);
/// Bell.
pub const BELL: CompartmentId = CompartmentId(3);
/// Rescue chamber.
pub const RESCUE: CompartmentId = CompartmentId(4);
/// Medical lock.
pub const MEDLOCK: CompartmentId = CompartmentId(5);
/// Equipment lock.
pub const EQUIPMENT: CompartmentId = CompartmentId(6);
/// Holding tank.
pub const TANK: CompartmentId = CompartmentId(7);
/// Volume tank of the reclaim.
pub const LOOP: CompartmentId = CompartmentId(8);

/// Living to transfer chamber.
pub const D_LIVING: DoorId = DoorId(0);
/// Transfer chamber to trunk.
pub const D_TRUNK: DoorId = DoorId(1);
/// Trunk to bell, with the clamp.
pub const D_BELL: DoorId = DoorId(2);
/// Bell's bottom door.
pub const D_BOTTOM: DoorId = DoorId(3);
/// Living to rescue chamber.
pub const D_RESCUE: DoorId = DoorId(4);
/// Medical lock, inner and outer.
pub const D_MED_IN: DoorId = DoorId(5);
/// Outer.
pub const D_MED_OUT: DoorId = DoorId(6);
/// Equipment lock, inner and outer.
pub const D_EQ_IN: DoorId = DoorId(7);
/// Outer.
pub const D_EQ_OUT: DoorId = DoorId(8);

fn vessel(
    name: &str,
    kind: CompartmentKind,
    volume_m3: f64,
    wall_m2: f64,
    steel_kg: f64,
) -> Compartment {
    Compartment {
        name: name.into(),
        kind,
        volume_m3,
        rating_msw: 350.0,
        bunks: 6,
        places: 12,
        wall_m2,
        wall_j_k: steel_kg * 480.0,
        wall_ua_w_k: 2.0 * wall_m2,
        leak_m2: 4e-9,
        blow_down_m2: 1e-5,
        exhaust_m2: 4e-5,
        bleed_m2: 4e-6,
        drain_m2: 0.0,
        oxygen_m2: 4e-8,
        supply_over_pa: 1.5e6,
        sample_mol_s: 3.7e-4,
        relief: None,
        drain_to: None,
        scrubber: None,
        climate: None,
        bell: None,
    }
}

const SCRUBBER: Scrubber = Scrubber {
    flow_m3_s: 1.0 / 60.0,
    absorbent_kg: 12.0,
    capacity_mol_kg: 6.8,
    bed_number: 4.0,
    fan_w: 60.0,
};
const CLIMATE: Climate = Climate {
    heater_w: 4000.0,
    chiller_w: 4000.0,
    coil_m3_s: 0.02,
    coil_t_k: 283.15,
    coil_contact: 0.8,
    band_k: 2.0,
};

fn door(name: &str, a: CompartmentId, b: Option<CompartmentId>, open: bool) -> Door {
    Door {
        name: name.into(),
        a,
        b,
        clamp: false,
        equalise_m2: 5e-5,
        exchange_m3_s: 0.03,
        open_below_pa: 2000.0,
        open_at_start: open,
    }
}

fn bank(name: &str, duty: Duty, litres: f64, bar: f64, mix: Amounts) -> Bank {
    Bank {
        name: name.into(),
        duty,
        volume_m3: litres / 1000.0,
        fill_gauge_pa: bar * 1e5,
        t_k: 288.15,
        label_o2: mix.0[1],
        analysed_o2: Some(mix.0[1]),
        true_mix: mix,
    }
}

/// The spread.
pub fn spread() -> Steel {
    let mut living = vessel("living", CompartmentKind::Living, 24.0, 48.0, 18_000.0);
    living.scrubber = Some(SCRUBBER);
    living.climate = Some(CLIMATE);
    living.relief = Some(Relief {
        set_msw: 40.0,
        reseat_msw: 35.0,
        area_m2: 5e-5,
        gagged: true,
    });
    let mut transfer = vessel("transfer", CompartmentKind::Transfer, 7.0, 20.0, 6_000.0);
    transfer.drain_m2 = 3e-5;
    transfer.drain_to = Some(TANK);
    transfer.climate = Some(CLIMATE);
    let trunk = vessel("trunk", CompartmentKind::Trunk, 1.2, 6.0, 1_500.0);
    let mut bell = vessel("bell", CompartmentKind::Bell, 5.0, 15.0, 5_000.0);
    bell.scrubber = Some(Scrubber {
        flow_m3_s: 0.4 / 60.0,
        absorbent_kg: 5.0,
        ..SCRUBBER
    });
    bell.climate = Some(CLIMATE);
    bell.bell = Some(Bell {
        trunk: TRUNK,
        on_board: Some(BankId(4)),
        on_board_oxygen: Some(BankId(1)),
        winch_msw_s: 0.33,
        handling_s: 300,
        hot_water_w: 1500.0,
        hot_water_kg_s: 0.2,
        hot_water_t_k: 313.15,
    });
    let rescue = vessel("rescue", CompartmentKind::Rescue, 14.0, 32.0, 9_000.0);
    let medlock = vessel(
        "medical lock",
        CompartmentKind::MedicalLock,
        0.08,
        1.0,
        150.0,
    );
    let equipment = vessel(
        "equipment lock",
        CompartmentKind::EquipmentLock,
        0.5,
        3.5,
        600.0,
    );
    let tank = vessel(
        "holding tank",
        CompartmentKind::HoldingTank,
        0.4,
        3.0,
        400.0,
    );
    let mut d_bell = door("mating", TRUNK, Some(BELL), false);
    d_bell.clamp = true;
    let mut reclaim = vessel("reclaim", CompartmentKind::ReclaimTank, 1.0, 6.0, 1_200.0);
    reclaim.scrubber = Some(Scrubber {
        absorbent_kg: 20.0,
        bed_number: 20.0,
        ..SCRUBBER
    });
    (reclaim.leak_m2, reclaim.exhaust_m2, reclaim.bleed_m2) = (0.0, 0.0, 0.0);
    let compartments = vec![
        living, transfer, trunk, bell, rescue, medlock, equipment, tank, reclaim,
    ];
    let mut instruments = Vec::new();
    for (i, c) in (0u8..).zip(&compartments) {
        for (quantity, lag_s, line) in [
            (Quantity::Depth, 1.0, 0.0),
            (Quantity::PpO2, 6.0, 3.8e-4),
            (Quantity::PpCo2, 6.0, 3.8e-4),
            (Quantity::Temperature, 20.0, 0.0),
            (Quantity::Humidity, 20.0, 0.0),
        ] {
            instruments.push(Instrument {
                name: format!("{} {quantity:?}", c.name),
                quantity,
                labelled: SamplePoint::Compartment(CompartmentId(i)),
                connected: SamplePoint::Compartment(CompartmentId(i)),
                channel: Channel::Primary,
                lag_s,
                line_m3: line,
                line_mol_s: 3.7e-4,
                let_down_at_penetrator: true,
                span: 0.0,
                zero: 0.0,
                span_drift_per_s: 0.0,
                zero_drift_per_s: 0.0,
                accuracy: 0.0,
                resolution: 0.0,
                ceiling: 1e9,
            });
        }
    }
    instruments.push(Instrument {
        name: "bell sea depth".into(),
        quantity: Quantity::SeaDepth,
        labelled: SamplePoint::Sea(BELL),
        connected: SamplePoint::Sea(BELL),
        ..instruments[0].clone()
    });
    for b in 0..6 {
        instruments.push(Instrument {
            name: format!("bank {b} gauge"),
            quantity: Quantity::GaugePressure,
            labelled: SamplePoint::Bank(BankId(b)),
            connected: SamplePoint::Bank(BankId(b)),
            ..instruments[0].clone()
        });
    }
    Steel {
        name: "test spread".into(),
        compartments,
        doors: vec![
            door("living door", LIVING, Some(TRANSFER), true),
            door("trunk door", TRANSFER, Some(TRUNK), false),
            d_bell,
            door("bottom door", BELL, None, false),
            door("rescue door", LIVING, Some(RESCUE), false),
            door("medical lock inner", LIVING, Some(MEDLOCK), false),
            door("medical lock outer", MEDLOCK, None, false),
            door("equipment lock inner", TRANSFER, Some(EQUIPMENT), false),
            door("equipment lock outer", EQUIPMENT, None, false),
        ],
        banks: vec![
            // A hundredth of a percent of it is a contaminant.
            bank(
                "mix 2 %",
                Duty::BottomMix,
                3200.0,
                200.0,
                Amounts([0.9799, 0.02, 0.0, 0.0, 0.0, 1e-4]),
            ),
            bank("oxygen", Duty::Oxygen, 800.0, 180.0, Amounts::oxygen()),
            bank(
                "diver gas 10 %",
                Duty::DiverGas,
                3200.0,
                200.0,
                Amounts::heliox(0.10),
            ),
            bank(
                "recovered",
                Duty::Recovered,
                1600.0,
                5.0,
                Amounts::heliox(0.05),
            ),
            bank(
                "on board",
                Duty::OnBoard,
                300.0,
                200.0,
                Amounts::heliox(0.10),
            ),
            bank(
                "calibration",
                Duty::Calibration,
                50.0,
                150.0,
                Amounts::heliox(0.04),
            ),
        ],
        instruments,
        alarms: Vec::new(),
        reclaim: Some(Reclaim {
            tank: LOOP,
            recovery: 0.9,
            working_gauge_pa: 35e5,
            charge: Amounts::heliox(0.1),
            open_circuit: BankId(2),
            trickle: Some(BankId(1)),
            alarms: LoopAlarms {
                low_o2_pa: 0.44e5,
                high_o2_pa: 1.6e5,
                co2_pa: 500.0,
                least_gauge_pa: 28e5,
            },
        }),
        recovery: Some(Recovery {
            bank: BankId(3),
            recovered: 0.9,
            lowest_gauge_pa: 1e5,
            trunk_and_locks: false,
        }),
        deck_t_k: 295.15,
        deck_humidity: 0.0,
        surface_pa: 101_325.0,
        breathing_over_pa: 1e6,
    }
}

/// Six men for some days at 118 msw on the demonstration set, with bell runs every eight hours.
pub fn six_men(days: i64, depth_msw: f64) -> Scenario {
    let mut bell_runs = Vec::new();
    let teams = [[0u8, 1], [2, 3], [4, 5]];
    let up = (days - 5).max(2) * 86_400;
    let mut at = 36 * 3600;
    while at + 10 * 3600 < up {
        bell_runs.push(BellRun {
            at,
            bell: BELL,
            divers: teams[bell_runs.len() % 3].map(DiverId).to_vec(),
            depth_msw,
            in_water_s: 3 * 3600,
            pause_s: 0,
            work: Activity::WaterModerate,
        });
        at += 8 * 3600;
    }
    let steps = vec![
        LevelStep {
            at: 0,
            what: LevelDo::Press(depth_msw),
        },
        LevelStep {
            at: up,
            what: LevelDo::Decompress,
        },
    ];
    let diver = |i: u8| Diver {
        initials: format!("{}{}", char::from(b'A' + i), char::from(b'K' + i)),
        chamber: LIVING,
        team: i / 2,
        mass_kg: 82.0,
        metabolism: 1.0,
        qualifications: Vec::new(),
    };
    Scenario::from(ScenarioData {
        name: "six test men".into(),
        title: "six men on the test spread".into(),
        steel: spread(),
        rules: std::sync::Arc::new(
            deepstay::rules::builtin("demonstration").expect("the built-in set loads"),
        ),
        crew: (0..6).map(diver).collect(),
        site: Site {
            seabed_msw: depth_msw + 2.0,
            working_msw: depth_msw,
            tide_amplitude_m: 0.8,
            sea_t_k: 280.15,
            launch_limit_hs_m: 3.5,
            weather: Weather::Calm,
        },
        plan: Plan {
            levels: vec![Level {
                members: vec![LIVING, TRANSFER],
                steps,
            }],
            bell_runs,
            meals_s: vec![7 * 3600, 12 * 3600, 18 * 3600],
            laundry_s: Some(10 * 3600),
            stores_s: vec![15 * 3600],
            toilet_per_day: 5.0,
            shower_vapour_kg: 0.1,
            shower_s: 600,
            handover_s: [6 * 3600, 18 * 3600],
            calibrate_every_s: 7200,
            end_s: (days + 3) * 86_400,
            night_s: (22 * 3600, 6 * 3600),
            reclaim: true,
            ..Plan::default()
        },
        seed: 1,
        log_every_s: 1800,
        start_second_of_day: 6 * 3600,
        ..ScenarioData::default()
    })
}
