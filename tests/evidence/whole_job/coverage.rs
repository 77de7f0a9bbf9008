//! Which part of the plant and which act of the watch the built-in jobs, and a few jobs made from
//! them here, move: the table is printed, and no row may be empty.

use super::made;
use super::{built_in, run};
use deepstay::job::{Ended, Options};
use deepstay::plant::Duty;
use deepstay::record::*;
use deepstay::scenario::{self, FaultKind, LevelDo, Scenario, Slip};
use deepstay::units::*;
use std::collections::{BTreeMap, BTreeSet};

type Row = (&'static str, fn(&Scenario, &What) -> bool);

fn kind(s: &Scenario, c: CompartmentId) -> CompartmentKind {
    s.steel.compartments[c.index()].kind
}

fn moved_in(s: &Scenario, w: &What, k: CompartmentKind) -> bool {
    let of = |p: Place| matches!(p, Place::Compartment(c) if kind(s, c) == k);
    matches!(*w, What::Moved { from, to, .. } if of(from) || of(to))
}

fn purpose(w: &What, p: Purpose) -> bool {
    matches!(*w, What::Moved { purpose, .. } if purpose == p)
}

fn valve(w: &What, is: fn(ValveName) -> bool) -> bool {
    matches!(*w, What::Valve { valve, opening } if opening > 0.0 && is(valve))
}

fn routine(w: &What, r: Routine) -> bool {
    matches!(*w, What::Routine { routine, .. } if routine == r)
}

fn machine(w: &What, m: Machine) -> bool {
    matches!(*w, What::Machine { machine, on: true, .. } if machine == m)
}

fn fault(s: &Scenario, w: &What, is: fn(&FaultKind) -> bool) -> bool {
    matches!(*w, What::Fault { fault, active: true } if is(&s.faults[usize::from(fault)].what))
}

/// A bank is lined up that is not the first of its duty: the one before it was changed for it.
fn changed_bank(s: &Scenario, w: &What) -> bool {
    let duty = |b: usize| s.steel.banks[b].duty;
    matches!(*w, What::LinedUp { line: LineName::Supply(_) | LineName::DiverMain(_), bank }
        if (0..bank.index()).any(|b| duty(b) == duty(bank.index())))
}

/// The bell that is `which` among the spread's bells is lowered.
fn lowered(s: &Scenario, w: &What, which: usize) -> bool {
    let bells = (0u8..)
        .zip(&s.steel.compartments)
        .filter(|(_, c)| c.bell.is_some());
    let bell = bells.map(|(i, _)| CompartmentId(i)).nth(which);
    matches!(*w, What::BellPhase { bell: b, phase: BellPhase::Lowering, .. } if Some(b) == bell)
}

fn phase(w: &What, p: BellPhase) -> bool {
    matches!(*w, What::BellPhase { phase, .. } if phase == p)
}

const PARTS: &[Row] = &[
    ("living chamber", |s, w| {
        moved_in(s, w, CompartmentKind::Living)
    }),
    ("transfer chamber", |s, w| {
        moved_in(s, w, CompartmentKind::Transfer)
    }),
    ("trunk", |s, w| moved_in(s, w, CompartmentKind::Trunk)),
    ("bell", |s, w| moved_in(s, w, CompartmentKind::Bell)),
    ("second bell", |s, w| lowered(s, w, 1)),
    ("rescue chamber", |s, w| {
        moved_in(s, w, CompartmentKind::Rescue)
    }),
    ("medical lock", |s, w| {
        moved_in(s, w, CompartmentKind::MedicalLock)
    }),
    ("equipment lock", |s, w| {
        moved_in(s, w, CompartmentKind::EquipmentLock)
    }),
    ("holding tank", |s, w| {
        moved_in(s, w, CompartmentKind::HoldingTank)
    }),
    ("door", |_, w| {
        matches!(
            w,
            What::Door {
                state: DoorState::Open,
                ..
            }
        )
    }),
    ("clamp", |_, w| {
        matches!(
            w,
            What::Door {
                state: DoorState::Unclamped,
                ..
            }
        )
    }),
    ("blow-down valve", |_, w| {
        valve(w, |v| matches!(v, ValveName::BlowDown(_)))
    }),
    ("exhaust valve", |_, w| {
        valve(w, |v| matches!(v, ValveName::Exhaust(_)))
    }),
    ("equalising valve", |_, w| {
        valve(w, |v| matches!(v, ValveName::Equalise(_)))
    }),
    ("drain valve", |_, w| {
        valve(w, |v| matches!(v, ValveName::Drain(_)))
    }),
    ("bleed valve", |_, w| {
        valve(w, |v| matches!(v, ValveName::Bleed(_)))
    }),
    ("standing leak", |_, w| purpose(w, Purpose::Leak)),
    ("fault leak", |_, w| purpose(w, Purpose::Fault)),
    ("fault: fan stop", |s, w| {
        fault(s, w, |f| matches!(f, FaultKind::FanStop { .. }))
    }),
    ("fault: climate stop", |s, w| {
        fault(s, w, |f| matches!(f, FaultKind::ClimateStop { .. }))
    }),
    ("fault: reclaim stop", |s, w| {
        fault(s, w, |f| matches!(f, FaultKind::ReclaimStop))
    }),
    ("fault: stuck valve", |s, w| {
        fault(s, w, |f| matches!(f, FaultKind::StuckValve { .. }))
    }),
    ("fault: wrong contents", |s, w| {
        fault(s, w, |f| matches!(f, FaultKind::WrongContents { .. }))
    }),
    ("fault: drift", |s, w| {
        fault(s, w, |f| matches!(f, FaultKind::Drift { .. }))
    }),
    ("fault: frozen", |s, w| {
        fault(s, w, |f| matches!(f, FaultKind::Frozen { .. }))
    }),
    ("fault: cross-connected", |s, w| {
        fault(s, w, |f| matches!(f, FaultKind::CrossConnected { .. }))
    }),
    ("bank lined up", |_, w| matches!(w, What::LinedUp { .. })),
    ("automatic oxygen", |_, w| {
        machine(w, Machine::OxygenControl)
    }),
    ("oxygen added", |_, w| purpose(w, Purpose::Oxygen)),
    ("scrubber fan", |_, w| machine(w, Machine::Fan)),
    ("canister changed", |_, w| {
        matches!(w, What::Canister { .. })
    }),
    ("absorption", |_, w| purpose(w, Purpose::Absorption)),
    ("heater and chiller", |_, w| machine(w, Machine::Climate)),
    ("water condensed or evaporated", |_, w| {
        purpose(w, Purpose::Water)
    }),
    ("shower vapour", |_, w| {
        matches!(
            w,
            What::Moved {
                from: Place::LiquidWater,
                ..
            }
        )
    }),
    ("secondary analyser", |_, w| {
        matches!(
            w,
            What::Logged {
                quantity: Quantity::PpO2,
                channel: Channel::Secondary,
                ..
            }
        )
    }),
    ("masks", |_, w| purpose(w, Purpose::Bibs)),
    ("diver gas, open circuit", |s, w| {
        !s.plan.reclaim && purpose(w, Purpose::DiverGas)
    }),
    ("diver gas, reclaim", |_, w| purpose(w, Purpose::Reclaimed)),
    ("chamber gas recovered", |_, w| {
        purpose(w, Purpose::Recovery)
    }),
    ("hot water", |_, w| machine(w, Machine::HotWater)),
    ("sample flow", |_, w| purpose(w, Purpose::Sample)),
];

const ACTS: &[Row] = &[
    ("pressing", |_, w| {
        matches!(
            w,
            What::Phase {
                phase: Phase::Compression,
                ..
            }
        )
    }),
    ("pressing on air first", |s, w| {
        matches!(*w, What::LinedUp { line: LineName::Supply(_), bank }
            if s.steel.banks[bank.index()].duty == Duty::Air)
    }),
    ("leak check", |_, w| routine(w, Routine::LeakCheck)),
    ("storage", |_, w| {
        matches!(
            w,
            What::Phase {
                phase: Phase::Storage,
                ..
            }
        )
    }),
    ("make-up", |_, w| purpose(w, Purpose::MakeUp)),
    ("bank changed", changed_bank),
    ("bank analysed", |_, w| matches!(w, What::Analysed { .. })),
    ("meal", |_, w| routine(w, Routine::Meal)),
    ("laundry", |_, w| routine(w, Routine::Laundry)),
    ("stores", |_, w| routine(w, Routine::Stores)),
    ("toilet", |_, w| routine(w, Routine::Toilet)),
    ("shower", |_, w| routine(w, Routine::Shower)),
    ("ear drops", |_, w| routine(w, Routine::EarDrops)),
    ("calibration", |_, w| matches!(w, What::Calibrated { .. })),
    ("log row", |_, w| matches!(w, What::LogRow)),
    ("handover", |_, w| matches!(w, What::Handover { .. })),
    ("HRC check", |_, w| routine(w, Routine::HrcCheck)),
    ("gas status sheet", |_, w| routine(w, Routine::GasStatus)),
    ("bell check sheet", |_, w| routine(w, Routine::BellChecks)),
    ("bleeding up", |_, w| purpose(w, Purpose::Bleed)),
    ("decompression step", |_, w| matches!(w, What::Step { .. })),
    ("run: checks", |_, w| phase(w, BellPhase::Checks)),
    ("run: transfer", |_, w| phase(w, BellPhase::Transfer)),
    ("run: seal", |_, w| phase(w, BellPhase::Seal)),
    ("run: trunk vented", |_, w| phase(w, BellPhase::TrunkVented)),
    ("run: lowering", |_, w| phase(w, BellPhase::Lowering)),
    ("run: door open", |_, w| phase(w, BellPhase::DoorOpen)),
    ("run: first out", |_, w| phase(w, BellPhase::FirstOut)),
    ("run: first back", |_, w| phase(w, BellPhase::FirstBack)),
    ("run: second out", |_, w| phase(w, BellPhase::SecondOut)),
    ("run: second back", |_, w| phase(w, BellPhase::SecondBack)),
    ("run: bottom seal", |_, w| phase(w, BellPhase::BottomSeal)),
    ("run: recovery", |_, w| phase(w, BellPhase::Recovery)),
    ("run: mating", |_, w| phase(w, BellPhase::Mating)),
    ("run: trunk pressed", |_, w| {
        phase(w, BellPhase::TrunkPressed)
    }),
    ("run: transfer back", |_, w| {
        phase(w, BellPhase::TransferBack)
    }),
    ("turn missed for weather, skipped", |s, w| {
        s.plan.slip == Slip::Skip
            && matches!(
                w,
                What::BellStopped {
                    why: Stopped::Weather,
                    ..
                }
            )
    }),
    ("turn missed for weather, shifted", |s, w| {
        s.plan.slip == Slip::Shift
            && matches!(
                w,
                What::BellStopped {
                    why: Stopped::Weather,
                    ..
                }
            )
    }),
    ("weather stop", |_, w| {
        matches!(w, What::Weather { stopped: true, .. })
    }),
    ("spoken report", |_, w| matches!(w, What::Said { .. })),
    ("alarm", |_, w| matches!(w, What::Alarm { .. })),
    ("aborted while pressing", |s, w| {
        let abort = s
            .plan
            .levels
            .iter()
            .any(|x| x.steps.iter().any(|step| step.what == LevelDo::Abort));
        abort
            && matches!(
                w,
                What::Phase {
                    phase: Phase::Decompression,
                    ..
                }
            )
    }),
    (
        "diver moved between chambers",
        |s, w| matches!(*w, What::Diver { to: Whereabouts::In(c), .. } if kind(s, c) == CompartmentKind::Living),
    ),
];

#[test]
fn every_part_and_every_act_is_moved_by_a_job() {
    let mut jobs: Vec<Scenario> = scenario::JOBS
        .iter()
        .map(|job| built_in(job.name))
        .collect();
    jobs.extend(made::all());
    let names: Vec<String> = jobs.iter().map(|s| s.name.clone()).collect();
    let mut reached: BTreeMap<&str, BTreeSet<usize>> = BTreeMap::new();
    for (j, scenario) in jobs.into_iter().enumerate() {
        let ran = run(scenario.clone(), Options::default(), &[]);
        println!(
            "{:<28} {:?} after {:.2} d",
            scenario.name,
            ran.job.ended(),
            ran.job.now() as f64 / 86_400.0
        );
        assert_eq!(ran.job.ended(), Some(Ended::Surfaced), "{}", scenario.name);
        let closure = ran.record.ledger.closure();
        assert!(closure.holds(1e-9), "{}: {closure:?}", scenario.name);
        for (name, is) in PARTS.iter().chain(ACTS) {
            if ran.entries.iter().any(|e| is(&scenario, &e.what)) {
                reached.entry(name).or_default().insert(j);
            }
        }
    }
    println!();
    for (title, rows) in [("part of the plant", PARTS), ("act of the watch", ACTS)] {
        println!(
            "{title:<36}{}",
            names
                .iter()
                .map(|n| format!("{n:>12.11}"))
                .collect::<String>()
        );
        for (name, _) in rows {
            let marks: String = (0..names.len())
                .map(|j| {
                    format!(
                        "{:>12}",
                        if reached.get(name).is_some_and(|r| r.contains(&j)) {
                            "x"
                        } else {
                            "."
                        }
                    )
                })
                .collect();
            println!("{name:<36}{marks}");
        }
        println!();
    }
    let empty: Vec<&str> = PARTS
        .iter()
        .chain(ACTS)
        .map(|(name, _)| *name)
        .filter(|name| !reached.contains_key(name))
        .collect();
    assert!(empty.is_empty(), "moved by no job: {empty:?}");
}
