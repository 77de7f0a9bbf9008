//! Jobs made from built-in ones, for what no built-in job does: a rough sea, a job aborted, open circuit,
//! a hole, a second bell, pressing on air first, faults of instruments and climate.

use super::built_in;
use deepstay::plant::{Instrument, SamplePoint};
use deepstay::rules;
use deepstay::scenario::{Fault, FaultKind, LevelDo, LevelStep, Scenario, Slip, Weather};
use deepstay::units::*;

/// All of them.
pub fn all() -> Vec<Scenario> {
    vec![
        rough(Slip::Skip),
        rough(Slip::Shift),
        aborted(),
        open_circuit(),
        hole(),
        two_bells(),
        air_first(),
        instruments_and_climate(),
    ]
}

/// The short job in rough weather, by a series: over the limit from hour 20 to hour 30.
pub fn rough(slip: Slip) -> Scenario {
    let mut s = built_in("short");
    s.site.weather = Weather::Series(vec![(0, 1.0), (20 * 3600, 6.0), (30 * 3600, 1.0)]);
    s.plan.slip = slip;
    s.name = format!("short, rough sea, {slip:?}").to_lowercase();
    s
}

/// The short job aborted twenty minutes into pressing.
pub fn aborted() -> Scenario {
    let mut s = built_in("short");
    s.plan.levels[0].steps = vec![
        LevelStep {
            at: 0,
            what: LevelDo::Press(60.0),
        },
        LevelStep {
            at: 2700,
            what: LevelDo::Abort,
        },
    ];
    s.plan.bell_runs.clear();
    s.name = "short, aborted".into();
    s
}

/// The short job on open circuit, with chamber gas recovered on the way up.
pub fn open_circuit() -> Scenario {
    let mut s = built_in("short");
    s.plan.reclaim = false;
    s.plan.recover_chamber_gas = true;
    s.steel.recovery = Some(deepstay::plant::Recovery {
        bank: BankId(0),
        recovered: 0.9,
        lowest_gauge_pa: 1e5,
        trunk_and_locks: true,
    });
    s.name = "short, open circuit".into();
    s
}

/// The short job with banks that nobody has analysed, and a half-inch hole in the living chamber for a
/// minute at hour 30.
pub fn hole() -> Scenario {
    let mut s = built_in("short");
    for bank in &mut s.steel.banks {
        bank.analysed_o2 = None;
    }
    let area_m2 = 0.8 * std::f64::consts::PI / 4.0 * 0.0127 * 0.0127;
    let what = FaultKind::Leak {
        compartment: CompartmentId(0),
        area_m2,
        hull_stop: false,
    };
    s.faults = vec![Fault {
        at: 30 * 3600,
        until: Some(30 * 3600 + 60),
        what,
    }];
    s.name = "short, hole".into();
    s
}

/// The short job with a second trunk and bell like the first, and every other run from it.
pub fn two_bells() -> Scenario {
    let mut s = built_in("short");
    let steel = &mut s.steel;
    let bell = steel.first(CompartmentKind::Bell).expect("a bell");
    let trunk = steel.first(CompartmentKind::Trunk).expect("a trunk");
    let new_trunk = CompartmentId(steel.compartments.len() as u8);
    let new_bell = CompartmentId(new_trunk.0 + 1);
    let like = |c: CompartmentId| match c {
        c if c == trunk => new_trunk,
        c if c == bell => new_bell,
        c => c,
    };
    for old in [trunk, bell] {
        let mut copy = steel.compartments[old.index()].clone();
        copy.name += " 2";
        if let Some(fitted) = &mut copy.bell {
            fitted.trunk = new_trunk;
        }
        steel.compartments.push(copy);
    }
    if let Some(on_board) = steel.compartments[bell.index()]
        .bell
        .and_then(|b| b.on_board)
    {
        let mut copy = steel.banks[on_board.index()].clone();
        copy.name += " 2";
        let id = BankId(steel.banks.len() as u8);
        steel.banks.push(copy);
        let gauge = steel.bank_gauge(on_board).expect("it has a gauge");
        let mut gauge = steel.instruments[gauge.index()].clone();
        (gauge.labelled, gauge.connected) = (SamplePoint::Bank(id), SamplePoint::Bank(id));
        steel.instruments.push(gauge);
        if let Some(fitted) = &mut steel.compartments[new_bell.index()].bell {
            fitted.on_board = Some(id);
        }
    }
    for i in 0..steel.doors.len() {
        let mut door = steel.doors[i].clone();
        if [door.a, door.b.unwrap_or(door.a)]
            .iter()
            .any(|c| *c == trunk || *c == bell)
        {
            door.name += " 2";
            (door.a, door.b) = (like(door.a), door.b.map(like));
            steel.doors.push(door);
        }
    }
    let moved = |p: SamplePoint| match p {
        SamplePoint::Compartment(c) if like(c) != c => Some(SamplePoint::Compartment(like(c))),
        SamplePoint::Sea(c) if like(c) != c => Some(SamplePoint::Sea(like(c))),
        _ => None,
    };
    let more: Vec<Instrument> = steel
        .instruments
        .iter()
        .filter_map(|i| {
            let point = moved(i.labelled)?;
            Some(Instrument {
                name: format!("{} 2", i.name),
                labelled: point,
                connected: point,
                ..i.clone()
            })
        })
        .collect();
    steel.instruments.extend(more);
    for run in s.plan.bell_runs.iter_mut().skip(1).step_by(2) {
        run.bell = new_bell;
    }
    s.name = "short, two bells".into();
    s
}

/// The short job by the handbook's set with all that it remembers: air to 36 fsw, then helium.
pub fn air_first() -> Scenario {
    let mut s = built_in("short");
    s.rules = std::sync::Arc::new(rules::builtin("us-navy").expect("it is built in"));
    s.accepted = s
        .rules
        .provenance()
        .into_iter()
        .filter(|p| p.needs_acceptance)
        .map(|p| p.id)
        .collect();
    s.name = "short, air first".into();
    s
}

/// The short job with the faults that no built-in job has: the living chamber's climate stops for two hours,
/// its thermometer freezes, reclaim stops for a day, and a second gauge is connected to the wrong chamber.
pub fn instruments_and_climate() -> Scenario {
    let mut s = built_in("short");
    let named = |name: &str| {
        let at = s
            .steel
            .compartments
            .iter()
            .position(|c| c.name == name)
            .expect("it is on the spread");
        CompartmentId(at as u8)
    };
    let (living, transfer, rescue) = (named("Living"), named("Transfer"), named("Rescue"));
    let of = |c, quantity, channel| {
        s.steel
            .instrument(c, quantity, channel)
            .expect("there is one")
    };
    let thermometer = of(living, Quantity::Temperature, Channel::Primary);
    let gauge = of(transfer, Quantity::Depth, Channel::Secondary);
    let hour = |h: i64| h * 3600;
    let fault = |from, to, what| Fault {
        at: hour(from),
        until: Some(hour(to)),
        what,
    };
    s.faults = vec![
        fault(
            30,
            32,
            FaultKind::ClimateStop {
                compartment: living,
            },
        ),
        fault(
            33,
            35,
            FaultKind::Frozen {
                instrument: thermometer,
            },
        ),
        fault(33, 60, FaultKind::ReclaimStop),
        fault(
            36,
            38,
            FaultKind::CrossConnected {
                instrument: gauge,
                to: rescue,
            },
        ),
    ];
    s.name = "short, instruments".into();
    s
}
