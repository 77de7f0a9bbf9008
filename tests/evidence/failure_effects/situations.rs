//! The five situations of the table, arranged from the built-in job `short` (six men at 60 msw): every vessel shut
//! off with people in it, the same with oxygen fed by an analyser, the same with the trunk empty, two divers in the
//! water, and the same with the bell's supply shut off. Sizes of failures are those of
//! the table.

use super::{Case, nobody};
use deepstay::fault::FaultKind;
use deepstay::gas::Amounts;
use deepstay::job::{Halt, Job, Options};
use deepstay::order::{Order, PeopleOrder, SteelOrder};
use deepstay::plant::SamplePoint;
use deepstay::record::{
    BellPhase, Entry, LineName, Machine, Sink, Station, ValveName, What, Whereabouts,
};
use deepstay::scenario::{self, Scenario};
use deepstay::units::*;
use deepstay::words::Names;
use std::sync::Arc;

/// A job in a situation.
pub struct Situation {
    pub name: &'static str,
    pub job: Job,
    /// How long a failure is followed, s.
    pub for_s: i64,
}

/// What is waited for, and what was refused.
#[derive(Default)]
struct Waits {
    phase: Option<BellPhase>,
    came: bool,
    refused: Vec<What>,
}

impl Sink for Waits {
    fn take(&mut self, entry: Entry) {
        match entry.what {
            What::BellPhase { phase, .. } => self.came |= Some(phase) == self.phase,
            What::Refused { .. } => self.refused.push(entry.what),
            _ => {}
        }
    }
}

/// The job under its watch, to the beginning of a phase of its first bell run.
fn until(phase: BellPhase) -> Job {
    let scenario = scenario::load("short").unwrap_or_else(|bad| panic!("{bad}"));
    let mut job = Job::new(Arc::new(scenario), Options::default());
    let mut waits = Waits {
        phase: Some(phase),
        ..Waits::default()
    };
    while !waits.came {
        let halt = job.advance_to(job.now() + 10, &mut waits);
        assert_eq!(halt, Halt::Reached);
    }
    job
}

impl Situation {
    pub fn apart() -> Situation {
        Situation {
            name: "apart",
            job: shut_off("Trunk"),
            for_s: 600,
        }
    }

    pub fn fed() -> Situation {
        let apart = Situation::apart().job;
        let living = vessel(apart.scenario(), "Living");
        let orders = [
            Order::Steel(SteelOrder::OxygenSet {
                compartment: living,
                ppo2_bar: 0.44,
                band_bar: 0.02,
            }),
            Order::Steel(SteelOrder::Switch {
                compartment: living,
                machine: Machine::OxygenControl,
                on: true,
            }),
        ];
        Situation {
            name: "fed",
            job: ordered(apart, &orders),
            for_s: 600,
        }
    }

    pub fn long() -> Situation {
        Situation {
            name: "long",
            job: shut_off("Living"),
            for_s: 6 * 3600,
        }
    }

    pub fn water() -> Situation {
        let mut job = until(BellPhase::FirstOut);
        let _ = job.advance_to(job.now() + 900, &mut Waits::default());
        Situation {
            name: "water",
            job: job.fork(nobody(), None),
            for_s: 600,
        }
    }

    /// Two divers in the water, and the bell's supply shut off at its bank.
    pub fn unfed() -> Situation {
        let water = Situation::water();
        let bell = vessel(water.job.scenario(), "Bell");
        let off = Order::Steel(SteelOrder::LineOff {
            line: LineName::Supply(bell),
        });
        Situation {
            name: "unfed",
            job: ordered(water.job, &[off]),
            for_s: 600,
        }
    }

    /// The failure that a row speaks of.
    pub fn case(&self, fault: &str, thing: &str) -> Case {
        let s = self.job.scenario();
        let plain = || self.job.clone();
        match fault {
            "leak" => Case::of(plain(), leak(vessel(s, thing))),
            "fan stop" => Case::of(
                plain(),
                FaultKind::FanStop {
                    compartment: vessel(s, thing),
                },
            ),
            "climate stop" => Case::of(
                plain(),
                FaultKind::ClimateStop {
                    compartment: vessel(s, thing),
                },
            ),
            "reclaim stop" => Case::of(plain(), FaultKind::ReclaimStop),
            "air in the bank" => Case::of(plain(), air_in(bank(s, thing))),
            "air in the bank while oxygen is fed" => {
                let open = set(ValveName::Oxygen(vessel(s, "Living")), 0.1);
                Case::of(ordered(plain(), &[open]), air_in(bank(s, thing)))
            }
            "air in the bank while it is pressed" => {
                let open = set(ValveName::BlowDown(vessel(s, "Living")), 0.02);
                Case::of(ordered(plain(), &[open]), air_in(bank(s, thing)))
            }
            "drifts up" => Case::of(plain(), drift(s, thing, 1.0)),
            "drifts down" => Case::of(plain(), drift(s, thing, -1.0)),
            "stands still" => Case::of(plain(), stands(s, thing)),
            "stands still while its vessel leaks" => {
                let id = instrument(s, thing);
                let SamplePoint::Compartment(at) = s.steel.instruments[id.index()].labelled else {
                    panic!("{thing} is of no vessel");
                };
                let leaks = plain().fork(nobody(), Some(leak(at)));
                Case::of(leaks, stands(s, thing))
            }
            "reads the medical lock" => Case::of(plain(), reads(s, thing, "Medical lock")),
            "reads the living chamber" => Case::of(plain(), reads(s, thing, "Living")),
            other => Case::of(plain(), stuck(s, other, thing)),
        }
    }
}

/// `oxygen stuck 100 % open`, `drain stuck shut`: valve, and where it stays.
fn stuck(s: &Scenario, fault: &str, thing: &str) -> FaultKind {
    let (valve, at) = fault
        .split_once(" stuck ")
        .unwrap_or_else(|| panic!("no failure {fault}"));
    let opening = match at.strip_suffix(" % open") {
        Some(percent) => percent.parse::<f64>().expect("a share") / 100.0,
        None => 0.0,
    };
    let valve = match valve {
        "blow-down" => ValveName::BlowDown(vessel(s, thing)),
        "oxygen" => ValveName::Oxygen(vessel(s, thing)),
        "exhaust" => ValveName::Exhaust(vessel(s, thing)),
        "bleed" => ValveName::Bleed(vessel(s, thing)),
        "drain" => ValveName::Drain(vessel(s, thing)),
        "equalising" => ValveName::Equalise(door(s, thing)),
        other => panic!("no valve {other}"),
    };
    FaultKind::StuckValve { valve, opening }
}

/// 12.7 mm at discharge 0.8.
fn leak(compartment: CompartmentId) -> FaultKind {
    FaultKind::Leak {
        compartment,
        area_m2: 0.8 * std::f64::consts::PI / 4.0 * 0.0127 * 0.0127,
        hull_stop: false,
    }
}

fn air_in(bank: BankId) -> FaultKind {
    FaultKind::WrongContents {
        bank,
        mix: Amounts::air(),
    }
}

/// So far in ten minutes that it can be missed by nobody: 12 msw, 0.3 bar of oxygen, 30 mbar of carbon dioxide, 10 K,
/// 50 %, 20 bar.
fn drift(s: &Scenario, thing: &str, sign: f64) -> FaultKind {
    let id = instrument(s, thing);
    let by = match s.steel.instruments[id.index()].quantity {
        Quantity::Depth | Quantity::SeaDepth => 12.0,
        Quantity::PpO2 | Quantity::FO2 => 0.3,
        Quantity::Humidity => 0.5,
        Quantity::PpCo2 => 0.03,
        Quantity::Temperature => 10.0,
        Quantity::GaugePressure => 20.0,
    };
    FaultKind::Drift {
        instrument: id,
        span_per_s: 0.0,
        zero_per_s: sign * by / 600.0,
    }
}

fn stands(s: &Scenario, thing: &str) -> FaultKind {
    FaultKind::Frozen {
        instrument: instrument(s, thing),
    }
}

fn reads(s: &Scenario, thing: &str, other: &str) -> FaultKind {
    FaultKind::CrossConnected {
        instrument: instrument(s, thing),
        to: vessel(s, other),
    }
}

/// Everybody apart: from the second at which the first bell team goes through the trunk, two men stay in the living
/// chamber, one goes to each other, and all doors are shut. The last goes to the vessel named.
fn shut_off(last: &str) -> Job {
    let mut job = until(BellPhase::Transfer);
    let mut waits = Waits::default();
    let in_bell = |job: &Job| {
        let bell = vessel(job.scenario(), "Bell");
        let mut at = job.crew().ids().map(|d| job.crew().whereabouts(d));
        at.any(|w| w == Whereabouts::In(bell))
    };
    while !in_bell(&job) {
        let _ = job.advance_to(job.now() + 10, &mut waits);
    }
    let job = job.fork(nobody(), None);
    let s = job.scenario().clone();
    let mut orders = Vec::new();
    for c in (0..s.steel.compartments.len() as u8).map(CompartmentId) {
        if s.steel.compartments[c.index()].kind == CompartmentKind::ReclaimTank {
            continue;
        }
        for valve in [
            ValveName::BlowDown(c),
            ValveName::Oxygen(c),
            ValveName::Exhaust(c),
            ValveName::Bleed(c),
            ValveName::Drain(c),
        ] {
            if job.plant().positions().valve_ordered(valve) > 0.0 {
                orders.push(set(valve, 0.0));
            }
        }
    }
    let places = ["Bell", "Rescue", "Transfer", last, "Living", "Living"];
    // Those who are furthest in go first: nobody passes a door that is shut.
    let mut divers: Vec<DiverId> = job.crew().ids().collect();
    divers.sort_by_key(|d| job.crew().whereabouts(*d) != Whereabouts::In(vessel(&s, "Bell")));
    for (diver, place) in divers.into_iter().zip(places) {
        let to = Whereabouts::In(vessel(&s, place));
        if job.crew().whereabouts(diver) != to {
            orders.push(Order::People(PeopleOrder::Go { diver, to }));
        }
    }
    for name in [
        "Living to transfer",
        "Transfer to rescue",
        "Transfer to trunk",
        "Bell hatch",
        "Medical lock inner",
        "Medical lock outer",
        "Equipment lock inner",
        "Equipment lock outer",
    ] {
        orders.push(Order::Steel(SteelOrder::Door {
            door: door(&s, name),
            open: false,
        }));
    }
    for name in ["Living", "Transfer", "Rescue", "Bell", "Trunk"] {
        let c = vessel(&s, name);
        let plate = &s.steel.compartments[c.index()];
        let up = |line, name| {
            Order::Steel(SteelOrder::LineUp {
                line,
                bank: bank(&s, name),
            })
        };
        orders.push(up(LineName::Supply(c), "M-1"));
        if plate.oxygen_m2 > 0.0 {
            orders.push(up(LineName::Oxygen(c), "O-1"));
        }
        for (machine, on) in [
            (Machine::Fan, true),
            (Machine::Climate, true),
            (Machine::OxygenControl, false),
        ] {
            if plate.scrubber.is_some() {
                orders.push(Order::Steel(SteelOrder::Switch {
                    compartment: c,
                    machine,
                    on,
                }));
            }
        }
    }
    let mut job = ordered(job, &orders);
    let _ = job.advance_to(job.now() + 900, &mut waits);
    let at = |name: &str| {
        let there = Whereabouts::In(vessel(&s, name));
        let mut all = job.crew().ids().map(|d| job.crew().whereabouts(d));
        all.any(|w| w == there)
    };
    assert!(
        ["Living", "Transfer", "Rescue", "Bell", last]
            .into_iter()
            .all(at)
    );
    job
}

/// A job in which orders were given and carried out.
fn ordered(mut job: Job, orders: &[Order]) -> Job {
    for order in orders {
        job.order(Station::Script, *order);
    }
    let mut waits = Waits::default();
    let _ = job.advance_to(job.now() + 1, &mut waits);
    assert!(waits.refused.is_empty(), "{:?}", waits.refused);
    job
}

fn set(valve: ValveName, opening: f64) -> Order {
    Order::Steel(SteelOrder::Valve {
        valve,
        opening,
        purpose: Purpose::MakeUp,
    })
}

fn vessel(s: &Scenario, name: &str) -> CompartmentId {
    let mut all = (0..s.steel.compartments.len() as u8).map(CompartmentId);
    all.find(|c| s.compartment(*c) == name)
        .unwrap_or_else(|| panic!("no vessel {name}"))
}

fn bank(s: &Scenario, name: &str) -> BankId {
    let mut all = (0..s.steel.banks.len() as u8).map(BankId);
    all.find(|b| s.bank(*b) == name)
        .unwrap_or_else(|| panic!("no bank {name}"))
}

fn door(s: &Scenario, name: &str) -> DoorId {
    let mut all = (0..s.steel.doors.len() as u8).map(DoorId);
    all.find(|d| s.door(*d) == name)
        .unwrap_or_else(|| panic!("no door {name}"))
}

fn instrument(s: &Scenario, name: &str) -> InstrumentId {
    let mut all = (0u16..).map(InstrumentId).zip(&s.steel.instruments);
    all.find(|(_, i)| i.name == name)
        .map(|(id, _)| id)
        .unwrap_or_else(|| panic!("no instrument {name}"))
}
