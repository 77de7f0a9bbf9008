//! Conservation, leaping and re-anchoring of the plant, over a thousand random scenarios that reach
//! every compartment kind, order and fault: per species the books close to 1e-9 of the moles
//! handled, and leaping gives what looking at every second gives, bit for bit.

use deepstay::fault::FaultKind;
use deepstay::gas::{Amounts, SPECIES, Species};
use deepstay::job::random::{Draw, Source, Streams};
use deepstay::plant::*;
use deepstay::record::{Adjusted, Entry, LineName, Machine, Refused, ValveName, What};
use deepstay::units::*;
use deepstay_tests::spread::{self, spread};
use std::collections::BTreeMap;
use std::sync::Arc;

const RUNS: u64 = 1000;
const LENGTH_S: i64 = 2400;

/// One of a list.
pub fn pick<T: Copy>(draw: &mut Draw, list: &[T]) -> T {
    list[draw.below(list.len() as u64) as usize]
}

fn any_compartment(draw: &mut Draw) -> CompartmentId {
    CompartmentId(draw.below(9) as u8)
}

fn any_valve(draw: &mut Draw) -> ValveName {
    let c = any_compartment(draw);
    match draw.below(7) {
        0 | 1 => ValveName::BlowDown(pick(
            draw,
            &[spread::LIVING, spread::TRUNK, spread::BELL, c],
        )),
        2 => ValveName::Exhaust(c),
        3 => ValveName::Bleed(c),
        4 => ValveName::Oxygen(c),
        5 => ValveName::Drain(spread::TRANSFER),
        _ => ValveName::Equalise(DoorId(pick(draw, &[0, 1, 2, 4, 5, 7]))),
    }
}

/// The label of an order, so that a count shows every kind was given.
fn label(order: &SteelOrder) -> &'static str {
    match order {
        SteelOrder::Valve { valve, .. } => match valve {
            ValveName::BlowDown(_) => "valve blow-down",
            ValveName::Oxygen(_) => "valve oxygen",
            ValveName::Exhaust(_) => "valve exhaust",
            ValveName::Bleed(_) => "valve bleed",
            ValveName::Drain(_) => "valve drain",
            ValveName::Equalise(_) => "valve equalise",
        },
        SteelOrder::LineUp { .. } => "line up",
        SteelOrder::LineOff { .. } => "line off",
        SteelOrder::BankStop { .. } => "bank stop",
        SteelOrder::Regulator { .. } => "regulator",
        SteelOrder::Trickle { .. } => "trickle",
        SteelOrder::SampleFrom { .. } => "sample from",
        SteelOrder::Adjust { .. } => "adjust",
        SteelOrder::Door { .. } => "door",
        SteelOrder::Clamp { .. } => "clamp",
        SteelOrder::Switch { machine, .. } => match machine {
            Machine::Fan => "switch fan",
            Machine::Climate => "switch climate",
            Machine::OxygenControl => "switch oxygen control",
            Machine::HotWater => "switch hot water",
            Machine::Reclaim => "switch reclaim",
            Machine::Recovery => "switch recovery",
        },
        SteelOrder::ClimateSet { .. } => "climate set",
        SteelOrder::OxygenSet { .. } => "oxygen set",
        SteelOrder::ChangeCanister { .. } => "canister",
        SteelOrder::Calibrate { .. } => "calibrate",
        SteelOrder::Analyse { .. } => "analyse",
        SteelOrder::Bell { .. } => "bell",
        SteelOrder::Gag { .. } => "gag",
        SteelOrder::HullStop { .. } => "hull stop",
    }
}

/// An order to the steel.
pub fn any_order(draw: &mut Draw) -> SteelOrder {
    let compartment = any_compartment(draw);
    match draw.below(15) {
        0..=4 => SteelOrder::Valve {
            valve: any_valve(draw),
            opening: pick(draw, &[0.0, 0.0, 0.1, 0.5, 1.0]),
            purpose: pick(draw, &Purpose::ALL[..13]),
        },
        5 => {
            let line = match draw.below(5) {
                0 => LineName::Oxygen(compartment),
                1 => LineName::Bibs(compartment),
                2 => LineName::DiverMain(spread::BELL),
                3 => LineName::DiverSecondary(spread::BELL),
                _ => LineName::Supply(compartment),
            };
            if draw.below(6) == 0 {
                SteelOrder::LineOff { line }
            } else {
                let bank = BankId(draw.below(6) as u8);
                SteelOrder::LineUp { line, bank }
            }
        }
        6 | 7 => SteelOrder::Door {
            door: DoorId(draw.below(9) as u8),
            open: draw.below(2) == 0,
        },
        8 => SteelOrder::Clamp {
            door: spread::D_BELL,
            made: draw.below(3) == 0,
        },
        9 => SteelOrder::Switch {
            compartment: pick(draw, &[spread::LIVING, spread::BELL, compartment]),
            machine: pick(
                draw,
                &[
                    Machine::Fan,
                    Machine::Climate,
                    Machine::OxygenControl,
                    Machine::HotWater,
                    Machine::Reclaim,
                    Machine::Recovery,
                ],
            ),
            on: draw.below(3) > 0,
        },
        10 => SteelOrder::ClimateSet {
            compartment,
            t_k: draw.between(290.0, 306.0),
            humidity: draw.between(0.3, 0.8),
        },
        11 => SteelOrder::OxygenSet {
            compartment,
            ppo2_bar: draw.between(0.2, 0.5),
            band_bar: 0.01,
        },
        12 => match draw.below(5) {
            0 => SteelOrder::ChangeCanister {
                compartment: pick(draw, &[spread::LIVING, spread::BELL]),
            },
            1 => SteelOrder::Gag {
                compartment: spread::LIVING,
                shut: draw.below(4) == 0,
            },
            2 => SteelOrder::HullStop {
                compartment,
                shut: draw.below(3) > 0,
            },
            3 => SteelOrder::Calibrate {
                instrument: InstrumentId(1 + 5 * draw.below(9) as u16),
            },
            _ => SteelOrder::Analyse {
                bank: BankId(draw.below(6) as u8),
            },
        },
        13 => by_hand(draw, compartment),
        _ => SteelOrder::Bell {
            bell: spread::BELL,
            to_msw: draw.between(0.0, 120.0),
        },
    }
}

/// What only a person turns.
fn by_hand(draw: &mut Draw, compartment: CompartmentId) -> SteelOrder {
    let bank = BankId(draw.below(6) as u8);
    let instrument = InstrumentId(1 + 5 * draw.below(9) as u16);
    let line = pick(draw, &LineName::of(compartment));
    match draw.below(5) {
        0 => SteelOrder::BankStop {
            bank,
            shut: draw.below(3) == 0,
        },
        1 => SteelOrder::Regulator {
            line,
            over_pa: pick(draw, &[0.0, 2e5, 1e6, 2e6]),
        },
        2 => SteelOrder::Trickle {
            compartment: spread::LIVING,
            mol_s: draw.between(0.0, 0.01),
        },
        3 => SteelOrder::SampleFrom {
            instrument,
            from: any_compartment(draw),
        },
        _ => SteelOrder::Adjust {
            instrument,
            bank,
            part: pick(draw, &[Adjusted::Zero, Adjusted::Span]),
        },
    }
}

/// Something outside the steel changes: people or a fault. Gives its label.
fn disturb(plant: &mut Plant, t_s: i64, draw: &mut Draw, sink: &mut Vec<Entry>) -> &'static str {
    let c = any_compartment(draw);
    let people = Load {
        o2_mol_s: draw.between(0.0, 2e-3),
        co2_mol_s: draw.between(0.0, 2e-3),
        h2o_mol_s: draw.between(0.0, 9e-3),
        heat_w: draw.between(0.0, 600.0),
    };
    match draw.below(10) {
        0 => {
            plant.set_load(t_s, c, people);
            "people"
        }
        1 => {
            let path = PathLoad {
                ventilation_m3_s: draw.between(0.0, 2e-3),
                load: people,
            };
            let line = pick(
                draw,
                &[
                    LineName::Bibs(spread::LIVING),
                    LineName::Bibs(spread::BELL),
                    LineName::DiverMain(spread::BELL),
                    LineName::DiverSecondary(spread::BELL),
                ],
            );
            plant.set_path(t_s, line, path);
            "breathing path"
        }
        2 => {
            let area_m2 = draw.between(0.0, 2e-5);
            let hole = FaultKind::Leak {
                compartment: c,
                area_m2,
                hull_stop: draw.below(2) == 0,
            };
            plant.fault(t_s, &hole, true, sink);
            "fault leak"
        }
        3 => {
            let stop = FaultKind::FanStop {
                compartment: spread::LIVING,
            };
            plant.fault(t_s, &stop, draw.below(2) == 0, sink);
            "fault fan"
        }
        4 => {
            let stop = FaultKind::ClimateStop {
                compartment: spread::LIVING,
            };
            plant.fault(t_s, &stop, draw.below(2) == 0, sink);
            "fault climate"
        }
        5 => {
            let stuck = pick(draw, &[None, None, Some(0.2), Some(0.0)]);
            let valve = FaultKind::StuckValve {
                valve: any_valve(draw),
                opening: stuck.unwrap_or(0.0),
            };
            plant.fault(t_s, &valve, stuck.is_some(), sink);
            "fault valve"
        }
        6 => {
            let drift = FaultKind::Drift {
                instrument: InstrumentId(draw.below(40) as u16),
                span_per_s: 1e-6,
                zero_per_s: 1e-7,
            };
            plant.fault(t_s, &drift, true, sink);
            "fault drift"
        }
        7 => {
            let frozen = FaultKind::Frozen {
                instrument: InstrumentId(draw.below(40) as u16),
            };
            plant.fault(t_s, &frozen, draw.below(2) == 0, sink);
            "fault frozen"
        }
        8 => {
            let instrument = InstrumentId(draw.below(40) as u16);
            let to = pick(draw, &[None, Some(c)]);
            let crossed = FaultKind::CrossConnected {
                instrument,
                to: to.unwrap_or(c),
            };
            plant.fault(t_s, &crossed, to.is_some(), sink);
            "fault cross-connected"
        }
        _ => {
            plant.set_evaporating(t_s, spread::TRANSFER, draw.between(0.0, 0.05));
            "evaporation"
        }
    }
}

#[derive(Default)]
struct Tally {
    given: BTreeMap<&'static str, u64>,
    done: BTreeMap<&'static str, u64>,
    kinds: BTreeMap<String, u64>,
    refused: BTreeMap<String, u64>,
}

struct Outcome {
    entries: Vec<Entry>,
    state: Vec<u64>,
    evaluations: u64,
}

fn run(seed: u64, leap: bool, physics: Physics, tally: &mut Tally) -> Outcome {
    let mut draw = Streams::new(seed).stream(Source::Faults);
    let mut plant = Plant::new(Arc::new(spread()), physics);
    plant.set_leap(leap);
    plant.set_sea(280.15, 1.0, 44_714.0);
    if draw.below(3) == 0 {
        plant.fill_with(0, BankId(1), Amounts::air());
        *tally.given.entry("fault contents").or_default() += 1;
    }
    let mut entries = Vec::new();
    for (place, moles) in plant.holdings(0) {
        entries.push(Entry {
            at: 0,
            what: What::Opening { place, moles },
        });
    }
    for c in [
        spread::LIVING,
        spread::TRUNK,
        spread::BELL,
        spread::RESCUE,
        spread::LOOP,
    ] {
        let first = SteelOrder::LineUp {
            line: LineName::Supply(c),
            bank: BankId(0),
        };
        plant
            .order(0, first, &mut entries)
            .expect("the bank is there");
    }
    let deep = SteelOrder::Valve {
        valve: ValveName::BlowDown(spread::LIVING),
        opening: 1.0,
        purpose: Purpose::BlowDown,
    };
    plant
        .order(0, deep, &mut entries)
        .expect("the valve is there");
    let mut owners = Vec::new();
    let (mut t, mut next_order) = (0, 5);
    while t < LENGTH_S {
        plant.refresh(t);
        t = plant.next_s().max(t + 1).min(next_order).min(LENGTH_S);
        plant.met(t, &mut owners);
        for owner in owners.clone() {
            plant.own_monitor(owner, t, &mut entries);
        }
        if t == next_order {
            next_order += 1 + draw.below(120) as i64;
            if draw.below(4) == 0 {
                let what = disturb(&mut plant, t, &mut draw, &mut entries);
                *tally.given.entry(what).or_default() += 1;
            } else {
                let order = any_order(&mut draw);
                *tally.given.entry(label(&order)).or_default() += 1;
                match plant.order(t, order, &mut entries) {
                    Ok(()) => *tally.done.entry(label(&order)).or_default() += 1,
                    Err(why) => *tally.refused.entry(format!("{why:?}")).or_default() += 1,
                }
            }
        }
    }
    assert_eq!(plant.below_zero(), None, "seed {seed}");
    plant.give_flows(LENGTH_S, &mut entries);
    let trace_mol = plant.air(spread::LIVING, LENGTH_S).n_mol[Species::Trace];
    *tally
        .kinds
        .entry("trace contaminant breathed".into())
        .or_default() += u64::from(trace_mol > 0.0);
    let mut state = Vec::new();
    for (place, moles) in plant.holdings(LENGTH_S) {
        entries.push(Entry {
            at: LENGTH_S,
            what: What::Closing { place, moles },
        });
        state.extend(moles.0.map(f64::to_bits));
    }
    for i in 0..8 {
        let air = plant.air(CompartmentId(i), LENGTH_S);
        state.extend([air.p_pa.to_bits(), air.t_k.to_bits(), air.wall_k.to_bits()]);
    }
    for (c, kind) in plant.steel().compartments.iter().zip(0u8..) {
        let touched = plant.air(CompartmentId(kind), LENGTH_S).p_pa > 1.02e5;
        *tally
            .kinds
            .entry(format!("{:?} pressed", c.kind))
            .or_default() += u64::from(touched);
    }
    Outcome {
        entries,
        state,
        evaluations: plant.evaluations(),
    }
}

/// Greatest residual of any place and species, over the moles handled.
pub fn residual(entries: &[Entry]) -> f64 {
    let mut balance: BTreeMap<Place, [f64; SPECIES]> = BTreeMap::new();
    let mut closing: BTreeMap<Place, [f64; SPECIES]> = BTreeMap::new();
    let mut handled = [1.0; SPECIES];
    for e in entries {
        match e.what {
            What::Opening { place, moles } => balance.insert(place, moles.0).map_or((), |_| ()),
            What::Closing { place, moles } => closing.insert(place, moles.0).map_or((), |_| ()),
            What::Moved {
                from, to, moles, ..
            } => {
                for (s, handled) in handled.iter_mut().enumerate() {
                    balance.entry(from).or_default()[s] -= moles.0[s];
                    balance.entry(to).or_default()[s] += moles.0[s];
                    *handled += moles.0[s].abs();
                }
            }
            _ => {}
        }
    }
    let mut worst = 0.0f64;
    for (place, closed) in closing {
        for s in 0..SPECIES {
            let open = balance[&place][s];
            let r = (open - closed[s]).abs() / handled[s].max(closed[s]);
            // What is no number closes no book.
            let r = if r.is_nan() { f64::INFINITY } else { r };
            if r > 1e-9 {
                println!(
                    "{place:?} {:?}: {open} by the books, {} there",
                    Species::ALL[s],
                    closed[s]
                );
            }
            worst = worst.max(r);
        }
    }
    worst
}

#[test]
fn the_books_close_in_a_thousand_random_scenarios() {
    let mut tally = Tally::default();
    let mut worst = 0.0f64;
    for seed in 0..RUNS {
        let outcome = run(seed, true, Physics::default(), &mut tally);
        let r = residual(&outcome.entries);
        assert!(r < 1e-9, "seed {seed}: residual {r:e}");
        worst = worst.max(r);
    }
    println!(
        "{RUNS} random scenarios of {LENGTH_S} s, worst residual {worst:e} of the moles handled"
    );
    println!("given   {:?}", tally.given);
    println!("done    {:?}", tally.done);
    println!("refused {:?}", tally.refused);
    println!("reached {:?}", tally.kinds);
    assert!(tally.kinds.values().all(|n| *n > 0));
    for kind in [
        "valve blow-down",
        "valve oxygen",
        "valve exhaust",
        "valve bleed",
        "valve drain",
        "valve equalise",
        "line up",
        "door",
        "clamp",
        "switch fan",
        "switch climate",
        "switch oxygen control",
        "switch hot water",
        "switch reclaim",
        "switch recovery",
        "climate set",
        "oxygen set",
        "canister",
        "calibrate",
        "analyse",
        "bell",
    ] {
        assert!(
            tally.done.get(kind).is_some_and(|n| *n > 0),
            "{kind} never done"
        );
    }
    for fault in [
        "fault leak",
        "fault fan",
        "fault climate",
        "fault valve",
        "fault drift",
        "fault frozen",
        "fault cross-connected",
        "fault contents",
        "people",
        "breathing path",
        "evaporation",
    ] {
        assert!(
            tally.given.get(fault).is_some_and(|n| *n > 0),
            "{fault} never came"
        );
    }
    for why in [
        Refused::DoorUnderPressure,
        Refused::ClampInterlock,
        Refused::OtherDoorOpen,
    ] {
        assert!(
            tally.refused.contains_key(&format!("{why:?}")),
            "{why:?} never refused"
        );
    }
}

#[test]
fn leaping_and_looking_at_every_second_give_the_same_bits() {
    let (mut leapt, mut looked) = (0, 0);
    for seed in 0..60 {
        let a = run(seed, true, Physics::default(), &mut Tally::default());
        let b = run(seed, false, Physics::default(), &mut Tally::default());
        assert_eq!(a.state, b.state, "seed {seed}");
        assert!(a.entries == b.entries, "seed {seed}: entries differ");
        leapt += a.evaluations;
        looked += b.evaluations;
    }
    println!("evaluations: {leapt} leaping, {looked} looking at every second");
}
