//! What lies in banks: species by species what was put in, less what was taken out, and never below what a line at a
//! pressure leaves behind. Held against closed forms of the gas model's own state and against sums by hand.
//!
//! For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current document, the
//! company's approved manual and the licensed people on the job decide.

use deepstay_core::fault::FaultKind;
use deepstay_core::gas::{Amounts, SPECIES, Species, state};
use deepstay_core::record::{Entry, LineName, Machine, ValveName, What};
use deepstay_core::units::*;
use deepstay_plant::*;
use std::sync::Arc;

const DECK_K: f64 = 288.15;
const BOTTLES_M3: f64 = 0.05;
const DEEP: CompartmentId = CompartmentId(0);
const SHALLOW: CompartmentId = CompartmentId(1);
const TREATMENT: BankId = BankId(0);
const RECOVERED: BankId = BankId(1);

fn chamber(name: &str) -> Compartment {
    Compartment {
        name: name.into(),
        kind: CompartmentKind::Living,
        volume_m3: 20.0,
        rating_msw: 300.0,
        bunks: 6,
        places: 12,
        wall_m2: 45.0,
        wall_j_k: 9.6e6,
        wall_ua_w_k: 80.0,
        leak_m2: 0.0,
        blow_down_m2: 1e-5,
        exhaust_m2: 1e-5,
        bleed_m2: 1e-6,
        drain_m2: 0.0,
        oxygen_m2: 1e-7,
        supply_over_pa: 1e6,
        sample_mol_s: 0.0,
        relief: None,
        drain_to: None,
        scrubber: None,
        climate: None,
        bell: None,
    }
}

fn bank(name: &str, duty: Duty, bar: f64, mix: Amounts) -> Bank {
    Bank {
        name: name.into(),
        duty,
        volume_m3: BOTTLES_M3,
        fill_gauge_pa: bar * BAR_PA,
        t_k: DECK_K,
        true_mix: mix,
        label_o2: mix[Species::O2],
        analysed_o2: None,
    }
}

/// Two chambers, at 118 and 40 msw of heliox, and a bottle of treatment gas with a trace of carbon dioxide.
fn plant() -> Plant {
    let mix = Amounts([0.899, 0.1, 0.0, 0.001, 0.0, 0.0]);
    let steel = Steel {
        compartments: vec![chamber("deep"), chamber("shallow")],
        banks: vec![
            bank("T-1", Duty::Treatment, 200.0, mix),
            bank("R-1", Duty::Recovered, 20.0, Amounts::heliox(0.02)),
        ],
        recovery: Some(Recovery {
            bank: RECOVERED,
            recovered: 0.5,
            lowest_gauge_pa: 1e5,
            trunk_and_locks: false,
        }),
        deck_t_k: DECK_K,
        surface_pa: ATM_PA,
        ..Steel::default()
    };
    let mut plant = Plant::new(steel.into(), Physics::default());
    for (c, msw, o2) in [(DEEP, 118.0, 0.031), (SHALLOW, 40.0, 0.08)] {
        let (p_pa, x) = (ATM_PA + msw * MSW_PA, Amounts::heliox(o2));
        let mol = state::total_moles(&x, p_pa, 20.0, DECK_K);
        plant.set_air(c, x.scaled(mol), DECK_K, DECK_K);
    }
    plant
}

fn order(plant: &mut Plant, t_s: i64, order: SteelOrder, entries: &mut Vec<Entry>) {
    plant.order(t_s, order, entries).expect("it is there");
}

/// Lets time pass, looking at the banks at every second if asked to.
fn pass(plant: &mut Plant, from_s: i64, to_s: i64, mut look: impl FnMut(&Plant, i64)) {
    let mut t_s = from_s;
    plant.refresh(t_s);
    while t_s < to_s {
        let next_s = plant.next_s().clamp(t_s + 1, to_s);
        for s in t_s + 1..=next_s {
            look(plant, s);
        }
        t_s = next_s;
        plant.refresh(t_s);
    }
    assert_eq!(plant.below_zero(), None);
}

fn masks(plant: &mut Plant, c: CompartmentId, people: f64) {
    let path = PathLoad {
        ventilation_m3_s: people * 20e-3 / 60.0,
        load: Load {
            o2_mol_s: people * 2e-4,
            co2_mol_s: people * 1.7e-4,
            ..Load::default()
        },
    };
    plant.set_path(0, LineName::Bibs(c), path);
}

/// Absolute pressure of moles in the bottle, Pa.
fn bottle_pa(n: &Amounts) -> f64 {
    state::pressure_pa(n, BOTTLES_M3, DECK_K)
}

/// The bottle of the deep chamber's masks is drawn at one rate until it holds no more than the chamber's pressure: by
/// closed form that is after (what it held - what it holds at that pressure) / rate, to within the second's breath that
/// no demand valve gives any more.
#[test]
fn a_draw_ends_at_the_pressure_that_holds_it_within_an_interval() {
    let (mut plant, mut entries) = (plant(), Vec::new());
    let line = LineName::Bibs(DEEP);
    let up = SteelOrder::LineUp {
        line,
        bank: TREATMENT,
    };
    order(&mut plant, 0, up, &mut entries);
    masks(&mut plant, DEEP, 3.0);
    let start = plant.bank(TREATMENT, 0);
    let p_pa = plant.air(DEEP, 0).p_pa;
    let mix = start.fractions();
    let rate = state::total_moles(&mix, p_pa, 3.0 * 20e-3 / 60.0, DECK_K);
    let held = state::total_moles(&mix, p_pa, BOTTLES_M3, DECK_K);
    let lasts_s = (start.total() - held) / rate;
    assert!((300.0..3600.0).contains(&lasts_s), "{lasts_s}");
    let mut stopped_s = None;
    pass(&mut plant, 0, 7200, |plant, s| {
        let n = plant.bank(TREATMENT, s);
        assert!(n.0.iter().all(|mol| *mol >= 0.0), "second {s}: {n:?}");
        assert!(bottle_pa(&n) >= p_pa * 0.999, "second {s}");
        if stopped_s.is_none() && plant.breath(line, s).is_none() {
            stopped_s = Some(s);
        }
    });
    let stopped_s = stopped_s.expect("the bottle is empty after two hours") as f64;
    assert!((stopped_s - lasts_s).abs() <= 2.0, "{stopped_s} {lasts_s}");
    let left = plant.bank(TREATMENT, 7200);
    assert!(left.total() - held < 2.0 * rate);
    for s in 0..SPECIES {
        assert!((left.fractions().0[s] - mix.0[s]).abs() < 1e-12);
    }
}

/// Two chambers draw from the bottle at once, and one fills from it by its supply valve too: whoever is stepped first,
/// no more is drawn than there is, and the deep one ends before the shallow one.
#[test]
fn clusters_that_share_a_bank_draw_no_more_than_there_is() {
    let (mut plant, mut entries) = (plant(), Vec::new());
    for line in [
        LineName::Bibs(DEEP),
        LineName::Bibs(SHALLOW),
        LineName::Supply(SHALLOW),
        LineName::Oxygen(DEEP),
    ] {
        let up = SteelOrder::LineUp {
            line,
            bank: TREATMENT,
        };
        order(&mut plant, 0, up, &mut entries);
    }
    masks(&mut plant, DEEP, 6.0);
    masks(&mut plant, SHALLOW, 6.0);
    for (valve, purpose) in [
        (ValveName::BlowDown(SHALLOW), Purpose::BlowDown),
        (ValveName::Oxygen(DEEP), Purpose::Oxygen),
    ] {
        let open = SteelOrder::Valve {
            valve,
            opening: 0.02,
            purpose,
        };
        order(&mut plant, 0, open, &mut entries);
    }
    let mut ended = [None; 2];
    pass(&mut plant, 0, 4000, |plant, s| {
        let n = plant.bank(TREATMENT, s);
        assert!(n.0.iter().all(|mol| *mol >= 0.0), "second {s}: {n:?}");
        for (k, c) in [DEEP, SHALLOW].into_iter().enumerate() {
            if ended[k].is_none() && plant.breath(LineName::Bibs(c), s).is_none() {
                ended[k] = Some(s);
            }
        }
    });
    let [Some(deep), Some(shallow)] = ended else {
        panic!("a bottle of 50 litres does not last an hour for twelve: {ended:?}");
    };
    assert!(deep < shallow, "{ended:?}");
}

/// A chamber's gas goes into a bank of other gas: the bank holds, species by species, what it held and what came, and
/// what is drawn from it afterwards is of that.
#[test]
fn a_bank_holds_what_was_put_in_less_what_was_taken_out() {
    let (mut plant, mut entries) = (plant(), Vec::new());
    let start = plant.bank(RECOVERED, 0);
    let on = SteelOrder::Switch {
        compartment: DEEP,
        machine: Machine::Recovery,
        on: true,
    };
    order(&mut plant, 0, on, &mut entries);
    let line = LineName::Bibs(SHALLOW);
    let up = SteelOrder::LineUp {
        line,
        bank: RECOVERED,
    };
    order(&mut plant, 0, up, &mut entries);
    masks(&mut plant, SHALLOW, 2.0);
    let open = SteelOrder::Valve {
        valve: ValveName::Exhaust(DEEP),
        opening: 0.3,
        purpose: Purpose::Bleed,
    };
    order(&mut plant, 0, open, &mut entries);
    pass(&mut plant, 0, 3600, |_, _| {});
    plant.give_flows(3600, &mut entries);
    let mut by_hand = start;
    for entry in &entries {
        if let What::Moved {
            from, to, moles, ..
        } = entry.what
        {
            let sign = |place| f64::from(i8::from(place == Place::Bank(RECOVERED)));
            by_hand = by_hand.plus(&moles.scaled(sign(to) - sign(from)));
        }
    }
    let n = plant.bank(RECOVERED, 3600);
    for s in Species::ALL {
        assert!((n[s] - by_hand[s]).abs() < 1e-9 * n.total(), "{s:?}");
    }
    // It began with 2 % and took in gas of 3.1 %.
    let o2 = n.fractions()[Species::O2];
    assert!((0.022..0.031).contains(&o2), "{o2}");
    let given = plant.breath(line, 3600).expect("there is gas");
    assert!((given[Species::O2] - o2).abs() < 1e-12);
    let analyse = SteelOrder::Analyse { bank: RECOVERED };
    order(&mut plant, 3600, analyse, &mut entries);
    let found = plant.positions().analysed_o2(RECOVERED);
    assert!((found.expect("it was analysed") - o2).abs() < 1e-12);
    assert_eq!(
        plant.steel().banks[1].label_o2,
        0.02,
        "a label stays a label"
    );
}

/// A bank filled with something else than its label says holds that, and its label says what it said.
#[test]
fn wrong_contents_are_what_is_in_the_bank() {
    let mut plant = plant();
    plant.fill_with(0, TREATMENT, Amounts::air());
    let x = plant.bank(TREATMENT, 0).fractions();
    assert!((x[Species::N2] - 0.7901).abs() < 1e-9);
    assert_eq!(plant.steel().banks[0].label_o2, 0.1);
    let hole = FaultKind::Leak {
        compartment: DEEP,
        area_m2: 1e-3,
        hull_stop: false,
    };
    // A chamber that is let go through a big hole comes down to the deck's pressure and no further.
    plant.fault(0, &hole, true, &mut Vec::<Entry>::new());
    let steel = Arc::clone(plant.steel());
    pass(&mut plant, 0, 3600, |plant, s| {
        assert!(plant.air(DEEP, s).p_pa >= 0.99 * steel.surface_pa);
    });
}
