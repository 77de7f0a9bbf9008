//! The books held to what they are about: where a slot's flow is booked from and to against what it does to the
//! compartment's gas and to banks, and the entries of a chamber against its contents and its banks.

use super::booking::booking;
use super::slot::{BANKED, DIRECTION, Rate, Slot};
use crate::model::Setup;
use crate::state::physics::Physics;
use crate::steel::*;
use crate::{PathLoad, Plant};
use deepstay_core::fault::FaultKind;
use deepstay_core::gas::{Amounts, Species};
use deepstay_core::order::SteelOrder;
use deepstay_core::record::{Entry, LineName, NoRecord, ValveName, What};
use deepstay_core::units::*;
use std::sync::Arc;

const CHAMBER: CompartmentId = CompartmentId(0);
const BELL: CompartmentId = CompartmentId(1);

fn compartment(kind: CompartmentKind, bell: Option<Bell>) -> Compartment {
    Compartment {
        name: format!("{kind:?}"),
        kind,
        volume_m3: 10.0,
        rating_msw: 300.0,
        bunks: 6,
        places: 6,
        wall_m2: 20.0,
        wall_j_k: 4e6,
        wall_ua_w_k: 50.0,
        leak_m2: 1e-9,
        blow_down_m2: 1e-5,
        exhaust_m2: 1e-5,
        bleed_m2: 1e-6,
        drain_m2: 0.0,
        oxygen_m2: 1e-7,
        supply_over_pa: 1e6,
        sample_mol_s: 3.7e-4,
        drain_to: None,
        scrubber: None,
        climate: None,
        bell,
        relief: None,
    }
}

/// A chamber, a bell beside it, and a bank for each line.
fn steel() -> Steel {
    let bell = Bell {
        trunk: CHAMBER,
        on_board: None,
        on_board_oxygen: None,
        winch_msw_s: 0.3,
        handling_s: 300,
        hot_water_w: 0.0,
        hot_water_kg_s: 0.0,
        hot_water_t_k: 300.0,
    };
    let bank = |mix: Amounts| Bank {
        name: "bank".into(),
        duty: Duty::BottomMix,
        volume_m3: 3.2,
        fill_gauge_pa: 2e7,
        t_k: 288.15,
        true_mix: mix,
        label_o2: mix[Species::O2],
        analysed_o2: None,
    };
    let mut banks = vec![bank(Amounts::heliox(0.08)); 7];
    banks[1] = bank(Amounts::oxygen());
    Steel {
        compartments: vec![
            compartment(CompartmentKind::Living, None),
            compartment(CompartmentKind::Bell, Some(bell)),
        ],
        banks,
        recovery: Some(Recovery {
            bank: BankId(6),
            recovered: 0.8,
            lowest_gauge_pa: 1e5,
            trunk_and_locks: false,
        }),
        deck_t_k: 288.15,
        surface_pa: 101_325.0,
        ..Steel::default()
    }
}

/// However it is set: what is booked into a compartment enters its gas, what is booked out of it leaves it, and a slot
/// that is booked from or to a bank is one of those that banks are kept by.
#[test]
fn each_slot_is_booked_the_way_it_flows() {
    let mut setup = Setup::new(Arc::new(steel()), Physics::default());
    let (mut booked, mut with_bank) = ([0; Slot::ALL.len()], [0; Slot::ALL.len()]);
    for set in 0..4 {
        for i in [0, 1] {
            let here = setup.controls.of_mut(i);
            here.open_outside = set % 2 == 1;
            here.reclaim.on = set / 2 == 1;
            here.lines.supply = Some(BankId(0));
            here.lines.oxygen = Some(BankId(1));
            here.lines.bibs = Some(BankId(2));
            here.lines.main = Some(BankId(3));
            here.lines.secondary = Some(BankId(4));
        }
        for (i, place) in [
            (0, Place::Compartment(CHAMBER)),
            (1, Place::Compartment(BELL)),
        ] {
            for slot in Slot::ALL {
                let b = booking(&setup.model(), i, slot).expect("all lines have banks");
                let at = slot as usize;
                booked[at] += 1;
                let into = f64::from(b.to == place) - f64::from(b.from == place);
                // Masks in a bell have no dump: their gas comes in beside the slots, as it is breathed out.
                let masks = i == 1 && matches!(slot, Slot::BibsGas | Slot::BibsBreath);
                let flows = if masks { 1.0 } else { DIRECTION[at] };
                assert_eq!(into, flows, "{slot:?} of {place:?}: {b:?}");
                // What comes back into the loop is a gross flow from its tank to itself.
                assert_eq!(b.from == b.to, slot == Slot::LoopReturned, "{slot:?}");

                let banks: Vec<(BankId, f64)> = b.banks().collect();
                let ends = [(b.from, -1.0), (b.to, 1.0)];
                let by_hand = ends.into_iter().filter_map(|(place, sign)| match place {
                    Place::Bank(bank) => Some((bank, sign)),
                    _ => None,
                });
                assert_eq!(banks, by_hand.collect::<Vec<_>>(), "{slot:?}");
                with_bank[at] += banks.len();
                if !banks.is_empty() {
                    assert!(BANKED & (1 << at) != 0, "{slot:?} has a bank");
                }
            }
        }
    }
    // Nothing else is looked at for banks but the breath of those who breathe from one.
    for slot in Slot::ALL {
        let at = slot as usize;
        let breath = matches!(
            slot,
            Slot::BibsBreath | Slot::MainBreath | Slot::SecondaryBreath
        );
        assert_eq!(
            BANKED & (1 << at) != 0,
            with_bank[at] > 0 || breath,
            "{slot:?}"
        );
        assert_eq!(booked[at], 8, "{slot:?}");
    }
}

/// Breath on open circuit goes to the sea, breath that comes back goes into the loop. A line without a bank is booked
/// nowhere.
#[test]
fn breath_goes_where_the_gas_goes() {
    let mut setup = Setup::new(Arc::new(steel()), Physics::default());
    let to = |setup: &Setup, slot| booking(&setup.model(), 1, slot).map(|b| b.to);
    setup.controls.of_mut(1).lines.main = Some(BankId(3));
    assert_eq!(to(&setup, Slot::MainBreath), Some(Place::Sea));
    assert_eq!(to(&setup, Slot::LoopBreath), Some(Place::Compartment(BELL)));
    assert_eq!(to(&setup, Slot::LoopBreathLost), Some(Place::Sea));
    for slot in [
        Slot::Supply,
        Slot::Oxygen,
        Slot::TopUp,
        Slot::BibsGas,
        Slot::BibsBody,
        Slot::SecondaryGas,
        Slot::SecondaryBody,
    ] {
        assert_eq!(to(&setup, slot), None, "{slot:?}");
    }
}

/// What spills: out of a bell that is open to the sea into the sea, out of a lock that is open to the deck as its run, and
/// out of whatever is shut by its exhaust, for what that was opened for.
#[test]
fn what_spills_is_booked_by_what_is_open() {
    let mut setup = Setup::new(Arc::new(steel()), Physics::default());
    for i in [0, 1] {
        setup.controls.of_mut(i).valves.exhaust.purpose = Purpose::TrunkVent;
    }
    let mut spill = |i: usize, open: bool| {
        setup.controls.of_mut(i).open_outside = open;
        let b = booking(&setup.model(), i, Slot::Spill).expect("it needs no bank");
        (b.to, b.purpose)
    };
    let air = Place::Atmosphere;
    assert_eq!(spill(1, true), (Place::Sea, Purpose::BellSpill));
    assert_eq!(spill(0, true), (air, Purpose::LockRun));
    assert_eq!(spill(1, false), (air, Purpose::TrunkVent));
    assert_eq!(spill(0, false), (air, Purpose::TrunkVent));
}

/// Gas, body and breath of each path are its own; gas and what bodies take of it are breathed, and nothing else is.
#[test]
fn each_path_has_its_own_three_slots() {
    use Slot::*;
    let paths = [
        [BibsGas, BibsBody, BibsBreath],
        [MainGas, MainBody, MainBreath],
        [SecondaryGas, SecondaryBody, SecondaryBreath],
    ];
    for path in paths {
        assert_eq!(path[0].of_path(), path);
    }
    for slot in Slot::ALL {
        let breathed = paths.iter().any(|p| p[..2].contains(&slot));
        assert_eq!(slot.is_breathed(), breathed, "{slot:?}");
    }
}

/// By hand: 1e-3 of 200 mol of helium and 10 of oxygen a second and 0.5 mol/s of helium beside it; or of oxygen alone.
#[test]
fn a_rate_is_a_share_and_a_constant_part() {
    let n_mol = [200.0, 10.0, 0.0, 0.0, 0.0, 3.0];
    let mut rate = Rate::share(1e-3);
    rate.fixed[0] = 0.5;
    let near = |ours: [f64; 6], by_hand: [f64; 6]| {
        let close = ours.iter().zip(by_hand).all(|(a, b)| (a - b).abs() < 1e-15);
        assert!(close, "{ours:?}");
    };
    near(rate.mol_s(&n_mol), [0.7, 0.01, 0.0, 0.0, 0.0, 0.003]);
    rate.only = Some(Species::O2);
    near(rate.mol_s(&n_mol), [0.5, 0.01, 0.0, 0.0, 0.0, 0.0]);
    near(
        Rate::fixed(Amounts::oxygen()).mol_s(&n_mol),
        Amounts::oxygen().0,
    );
}

/// A chamber that is pressed, leaks and is sampled, with a man on a mask: what the record is given is what its gas and
/// its banks have gained and lost, whether it is given once or in many parts, and nothing is given twice.
#[test]
fn what_is_given_is_what_contents_and_banks_have_changed_by() {
    let run = |every_s: i64| {
        let mut plant = Plant::new(Arc::new(steel()), Physics::default());
        let start = Amounts::heliox(0.05).scaled(4000.0);
        plant.set_air(CHAMBER, start, 298.15, 298.15);
        let mut entries: Vec<Entry> = Vec::new();
        for (line, bank) in [
            (LineName::Supply(CHAMBER), 0),
            (LineName::Oxygen(CHAMBER), 1),
            (LineName::Bibs(CHAMBER), 2),
        ] {
            let bank = BankId(bank);
            plant
                .order(0, SteelOrder::LineUp { line, bank }, &mut entries)
                .expect("it can be");
        }
        let hole = FaultKind::Leak {
            compartment: CHAMBER,
            area_m2: 1e-7,
            hull_stop: false,
        };
        plant.fault(0, &hole, true, &mut NoRecord);
        let mask = PathLoad {
            ventilation_m3_s: 2e-4,
            ..PathLoad::default()
        };
        plant.set_path(0, LineName::Bibs(CHAMBER), mask);
        for (valve, opening) in [
            (ValveName::BlowDown(CHAMBER), 0.3),
            (ValveName::Oxygen(CHAMBER), 0.2),
        ] {
            let order = SteelOrder::Valve {
                valve,
                opening,
                purpose: Purpose::MakeUp,
            };
            plant.order(0, order, &mut entries).expect("it can be");
        }
        let banks = |plant: &Plant, t_s| [0u8, 1, 2].map(|b| plant.bank_moles(BankId(b), t_s));
        let before = banks(&plant, 0);
        let mut now = 0;
        while now < 900 {
            plant.refresh(now);
            now = plant.next_s().min((now / every_s + 1) * every_s).min(900);
            if now % every_s == 0 || now == 900 {
                plant.give_flows(now, &mut entries);
            }
        }
        let given = entries.len();
        plant.give_flows(900, &mut entries);
        assert_eq!(entries.len(), given, "given twice");
        let after = banks(&plant, 900);
        let here = Place::Compartment(CHAMBER);
        let moved = |place: Place| {
            let mut net = Amounts::ZERO;
            for e in &entries {
                if let What::Moved {
                    from, to, moles, ..
                } = e.what
                {
                    let sign = f64::from(to == place) - f64::from(from == place);
                    net = net.plus(&moles.scaled(sign));
                }
            }
            net
        };
        let now = plant.air(CHAMBER, 900).n_mol;
        for s in Species::ALL {
            let by_books = start[s] + moved(here)[s];
            assert!(
                (now[s] - by_books).abs() < 1e-8,
                "{s:?}: {}, {by_books}",
                now[s]
            );
        }
        for (b, (before, after)) in (0u8..).zip(before.into_iter().zip(after)) {
            let drawn = -moved(Place::Bank(BankId(b))).total();
            assert!(drawn > 0.1, "bank {b}: {drawn}");
            assert!(
                (before - after - drawn).abs() < 1e-7,
                "bank {b}: {before} {after} {drawn}"
            );
        }
        let purposes = |purpose: Purpose| {
            let of = entries.iter().filter_map(|e| match e.what {
                What::Moved {
                    purpose: p, moles, ..
                } if p == purpose => Some(moles.total()),
                _ => None,
            });
            of.sum::<f64>()
        };
        [
            Purpose::MakeUp,
            Purpose::Oxygen,
            Purpose::Leak,
            Purpose::Fault,
            Purpose::Sample,
            Purpose::Bibs,
        ]
        .map(purposes)
    };
    let (once, often) = (run(900), run(7));
    for (a, b) in once.into_iter().zip(often) {
        assert!(
            a > 1e-4 && (a - b).abs() < 1e-7 * a.max(1.0),
            "{once:?} {often:?}"
        );
    }
    // The analysers draw 3.7e-4 mol/s.
    assert!((once[4] - 0.333).abs() < 1e-6, "{}", once[4]);
}
