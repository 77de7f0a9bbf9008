//! The crew under orders: loads against totals, what goes without saying, and what is refused.

use super::harm::{HarmFigures, Nature};
use super::*;
use deepstay_core::gas::Amounts;
use deepstay_core::record::{BreathingPath, LineName, Refused, Spoken, Whereabouts};
use deepstay_core::units::{ATM_PA, BAR_PA, CompartmentId, CompartmentKind, DiverId};
use deepstay_plant::{Activity, Compartment, Load, PeopleOrder, Steel};
use std::cell::Cell;

mod asked;
mod followed;
mod unfit;

const CHAMBER: CompartmentId = CompartmentId(0);
const TRUNK: CompartmentId = CompartmentId(1);
const BELL: CompartmentId = CompartmentId(2);

fn steel() -> Steel {
    let compartment = |kind| Compartment {
        name: String::new(),
        kind,
        volume_m3: 10.0,
        rating_msw: 300.0,
        bunks: 6,
        places: 6,
        wall_m2: 1.0,
        wall_j_k: 1.0,
        wall_ua_w_k: 1.0,
        leak_m2: 0.0,
        blow_down_m2: 0.0,
        exhaust_m2: 0.0,
        bleed_m2: 0.0,
        drain_m2: 0.0,
        oxygen_m2: 0.0,
        supply_over_pa: 0.0,
        sample_mol_s: 0.0,
        relief: None,
        drain_to: None,
        scrubber: None,
        climate: None,
        bell: None,
    };
    Steel {
        name: String::new(),
        compartments: [
            CompartmentKind::Living,
            CompartmentKind::Trunk,
            CompartmentKind::Bell,
        ]
        .map(compartment)
        .into(),
        doors: Vec::new(),
        banks: Vec::new(),
        instruments: Vec::new(),
        alarms: Vec::new(),
        reclaim: None,
        recovery: None,
        deck_t_k: 288.0,
        deck_humidity: 0.0,
        surface_pa: ATM_PA,
        breathing_over_pa: 1e6,
    }
}

fn crew() -> Crew {
    let person = |factor| Person {
        initials: "AB".into(),
        mass_kg: 85.0,
        factor,
        nature: Nature::average(HarmFigures::built_in()),
    };
    Crew::new(
        vec![person(1.0), person(1.1), person(0.9)],
        &Rates::default(),
        &steel(),
        0,
    )
    .expect("a whole table")
}

fn go(diver: u8, to: Whereabouts) -> PeopleOrder {
    PeopleOrder::Go {
        diver: DiverId(diver),
        to,
    }
}

fn act(diver: u8, activity: Activity) -> PeopleOrder {
    PeopleOrder::Do {
        diver: DiverId(diver),
        activity,
    }
}

fn breathe(diver: u8, path: BreathingPath) -> PeopleOrder {
    PeopleOrder::Breathe {
        diver: DiverId(diver),
        path,
    }
}

const OPEN: &dyn Fn(Whereabouts, Whereabouts) -> bool = &|_, _| true;

/// A day of three divers: in, asleep, to the bell, out, a mask, back.
fn a_day() -> Vec<(i64, PeopleOrder)> {
    use Activity::*;
    use Whereabouts::*;
    vec![
        (100, go(0, In(CHAMBER))),
        (100, go(1, In(CHAMBER))),
        (130, go(2, In(CHAMBER))),
        (200, act(2, Sleep)),
        (5_000, go(0, In(TRUNK))),
        (5_060, go(0, In(BELL))),
        (5_061, go(1, In(BELL))),
        (5_100, act(0, Bellman)),
        (5_100, act(1, Bellman)),
        (9_000, go(1, Water(BELL))),
        (9_300, act(1, WaterModerate)),
        (9_999, breathe(2, BreathingPath::Bibs)),
        (11_111, breathe(1, BreathingPath::Secondary)),
        (12_345, breathe(1, BreathingPath::BailOut)),
        (12_400, go(1, In(BELL))),
        (13_000, breathe(2, BreathingPath::Ambient)),
        (20_000, go(0, In(CHAMBER))),
        (20_010, go(1, In(CHAMBER))),
        (80_000, go(2, Deck)),
    ]
}

#[test]
fn what_divers_took_is_what_the_loads_say() {
    let mut crew = crew();
    let (mut o2, mut co2, mut now) = (0.0, 0.0, 0);
    let all = |crew: &Crew| {
        [CHAMBER, TRUNK, BELL]
            .into_iter()
            .fold(Load::default(), |sum, at| {
                let lines = [
                    LineName::Bibs(at),
                    LineName::DiverMain(at),
                    LineName::DiverSecondary(at),
                ];
                lines
                    .into_iter()
                    .fold(sum.plus(crew.load(at)), |sum, line| {
                        sum.plus(crew.path_load(line).load)
                    })
            })
    };
    for (at, order) in a_day()
        .into_iter()
        .chain([(86_400, act(0, Activity::Chores))])
    {
        let load = all(&crew);
        o2 += load.o2_mol_s * (at - now) as f64;
        co2 += load.co2_mol_s * (at - now) as f64;
        crew.order(at, order, OPEN).expect("he can");
        now = at;
    }
    let totals = |d| crew.totals(DiverId(d), now).expect("a diver");
    let sum = |of: fn(&Totals) -> f64| (0..3).map(|d| of(&totals(d))).sum::<f64>();
    assert!((sum(|t| t.o2_mol) / o2 - 1.0).abs() < 1e-12);
    assert!((sum(|t| t.co2_mol) / co2 - 1.0).abs() < 1e-12);
    assert_eq!(totals(1).water_s, 12_400 - 9_000);
    assert_eq!(totals(1).bell_s, 20_010 - 5_061);
    assert_eq!(totals(1).rest_s, Some(86_400 - 20_010));
    assert_eq!(totals(2).rest_s, None);
    // 55 s on bail-out at moderate work, 100 s on deck at rest, at 1.1 of the table.
    let own = 1.1 * MOL_S_PER_L_MIN * (1.22 * 55.0 + 0.30 * 100.0);
    assert!((totals(1).own_o2_mol / own - 1.0).abs() < 1e-12);
}

#[test]
fn asking_and_saving_leave_the_same_bits() {
    let (mut plain, mut asked) = (crew(), crew());
    for (at, order) in a_day() {
        for second in [at - 50, at - 1, at] {
            let _ = asked.totals(DiverId(0), second);
            let _ = asked.load(CHAMBER);
        }
        let saved = postcard::to_stdvec(&asked).expect("can be written");
        asked = postcard::from_bytes(&saved).expect("and read");
        assert_eq!(plain.order(at, order, OPEN), Ok(()));
        assert_eq!(asked.order(at, order, OPEN), Ok(()));
        assert_eq!(plain, asked);
    }
}

#[test]
fn only_the_loads_an_order_touches_are_marked() {
    let mut crew = crew();
    crew.order(1, go(0, Whereabouts::In(BELL)), OPEN)
        .expect("he can");
    let changes = crew.take_changes();
    assert!(
        changes.compartment(BELL)
            && !changes.compartment(CHAMBER)
            && !changes.line(LineName::DiverMain(BELL))
    );
    assert!(!crew.take_changes().any());
    crew.order(2, go(0, Whereabouts::In(BELL)), OPEN)
        .expect("he is there");
    assert!(!crew.take_changes().any());
    crew.order(3, go(0, Whereabouts::Water(BELL)), OPEN)
        .expect("he can");
    let changes = crew.take_changes();
    assert!(changes.compartment(BELL) && changes.line(LineName::DiverMain(BELL)));
    assert_eq!(crew.load(BELL), Load::default());
    assert!(
        (crew.path_load(LineName::DiverMain(BELL)).ventilation_m3_s * 60_000.0 - 14.4).abs() < 1e-9
    );
}

/// Sensible and latent heat of the table's person, by hand from what he makes and evaporates: at rest 69.5 g of water
/// an hour take 69.5e-3 / 3600 x 2.43 MJ/kg = 46.9 W with them, and the rest of his heat warms the chamber. Both go
/// with his factor, and in the water the gas of the bell gets none of it.
#[test]
fn sensible_and_latent_heat_by_hand() {
    let table = Rates::default().table().expect("whole");
    for (diver, factor) in [(0, 1.0), (1, 1.1), (2, 0.9)] {
        for activity in [
            Activity::Sleep,
            Activity::Rest,
            Activity::Chores,
            Activity::Exercise,
        ] {
            let mut crew = crew();
            crew.order(1, go(diver, Whereabouts::In(CHAMBER)), OPEN)
                .expect("he can");
            crew.order(2, act(diver, activity), OPEN).expect("he can");
            let (load, rate) = (crew.load(CHAMBER), &table[activity as usize]);
            let water_kg_s = rate.water_g_h / 3.6e6;
            let latent_w = water_kg_s * 2.43e6;
            let near = |ours: f64, by_hand: f64| {
                assert!(
                    (ours / by_hand - 1.0).abs() < 1e-9,
                    "{activity:?}: {ours}, {by_hand}"
                )
            };
            near(load.h2o_mol_s, factor * water_kg_s / 0.018_015);
            near(load.heat_w, factor * (rate.heat_w - latent_w));
            assert!(latent_w > 0.3 * rate.heat_w && latent_w < 0.6 * rate.heat_w);
            // 22.414 L of either gas are a mole at 0 degC and 1 atm.
            let mol_s = |l_min: f64| factor * l_min / 60.0 / 22.413_97;
            assert!((load.o2_mol_s / mol_s(rate.o2_l_min) - 1.0).abs() < 1e-6);
            assert!((load.co2_mol_s / mol_s(rate.co2_l_min) - 1.0).abs() < 1e-6);
        }
    }
    let mut crew = crew();
    for (at, to) in [
        (1, Whereabouts::In(CHAMBER)),
        (2, Whereabouts::In(BELL)),
        (3, Whereabouts::Water(BELL)),
    ] {
        crew.order(at, go(0, to), OPEN).expect("he can");
    }
    assert_eq!(crew.load(BELL), Load::default());
}

#[test]
fn a_man_on_a_mask_leaves_heat_and_skin_water_in_the_chamber_and_the_rest_in_the_line() {
    let mut crew = crew();
    crew.order(1, go(0, Whereabouts::In(CHAMBER)), OPEN)
        .expect("he can");
    let free = crew.load(CHAMBER);
    crew.order(2, breathe(0, BreathingPath::Bibs), OPEN)
        .expect("he can");
    let (room, line) = (
        crew.load(CHAMBER),
        crew.path_load(LineName::Bibs(CHAMBER)).load,
    );
    assert_eq!(
        (room.o2_mol_s, room.co2_mol_s, room.heat_w),
        (0.0, 0.0, free.heat_w)
    );
    assert_eq!(
        (line.o2_mol_s, line.co2_mol_s),
        (free.o2_mol_s, free.co2_mol_s)
    );
    assert!(room.h2o_mol_s > 0.0 && line.h2o_mol_s > 0.0);
    assert!((room.h2o_mol_s + line.h2o_mol_s - free.h2o_mol_s).abs() < 1e-15);
}

#[test]
fn what_cannot_be_done_from_where_he_is_is_refused_and_changes_nothing() {
    let mut crew = crew();
    use Whereabouts::*;
    let before = crew.clone();
    let refuse = |crew: &mut Crew, order, why| {
        assert_eq!(crew.order(10, order, OPEN), Err(why), "{order:?}")
    };
    refuse(&mut crew, go(9, In(CHAMBER)), Refused::NoSuchThing);
    refuse(&mut crew, go(0, In(CompartmentId(3))), Refused::NoSuchThing);
    refuse(
        &mut crew,
        go(0, Water(CompartmentId(200))),
        Refused::NoSuchThing,
    );
    refuse(&mut crew, go(0, Water(BELL)), Refused::NotThere);
    refuse(&mut crew, act(0, Activity::WaterLight), Refused::NotThere);
    refuse(
        &mut crew,
        breathe(0, BreathingPath::Bibs),
        Refused::NotThere,
    );
    refuse(
        &mut crew,
        breathe(0, BreathingPath::BailOut),
        Refused::NotThere,
    );
    assert_eq!(
        crew.order(10, go(0, In(CHAMBER)), &|_, _| false),
        Err(Refused::NotThere)
    );
    assert_eq!(crew, before);
    crew.order(10, go(0, In(CHAMBER)), OPEN).expect("he can");
    refuse(&mut crew, go(0, Water(CHAMBER)), Refused::NotThere);
    refuse(
        &mut crew,
        breathe(0, BreathingPath::Main),
        Refused::NotThere,
    );
    assert_eq!(
        crew.order(9, go(0, In(TRUNK)), OPEN),
        Err(Refused::OutOfRange)
    );
    crew.order(11, go(0, In(BELL)), OPEN).expect("he can");
    crew.order(12, go(0, Water(BELL)), OPEN).expect("he can");
    refuse(&mut crew, act(0, Activity::Sleep), Refused::NotThere);
    assert_eq!(
        crew.order(12, breathe(0, BreathingPath::Ambient), OPEN),
        Err(Refused::NotThere)
    );
    assert_eq!(
        crew.order(12, go(0, In(CHAMBER)), OPEN),
        Err(Refused::NotThere)
    );
}

#[test]
fn some_things_go_without_saying() {
    let mut crew = crew();
    let id = DiverId(0);
    let mut at = 0;
    let mut tell = |crew: &mut Crew, order| {
        at += 1;
        crew.order(at, order, OPEN).expect("he can");
        (crew.activity(id), crew.path(id))
    };
    use Activity::*;
    use BreathingPath::*;
    use Whereabouts::*;
    tell(&mut crew, go(0, In(CHAMBER)));
    tell(&mut crew, breathe(0, Bibs));
    assert_eq!(tell(&mut crew, act(0, Sleep)), (Sleep, Bibs));
    assert_eq!(tell(&mut crew, go(0, In(BELL))), (Chores, Ambient));
    assert_eq!(tell(&mut crew, breathe(0, Secondary)), (Chores, Secondary));
    assert_eq!(tell(&mut crew, go(0, Water(BELL))), (WaterRest, Secondary));
    assert_eq!(
        crew.breathes_from(id),
        BreathesFrom::Line(LineName::DiverSecondary(BELL))
    );
    assert_eq!(tell(&mut crew, go(0, In(BELL))), (Bellman, Ambient));
    assert_eq!(tell(&mut crew, go(0, Water(BELL))), (WaterRest, Main));
    assert_eq!(crew.outside(BELL).collect::<Vec<_>>(), [id]);
    tell(&mut crew, go(0, In(BELL)));
    assert_eq!(crew.headcount(BELL), 1);
    assert_eq!(tell(&mut crew, go(0, In(CHAMBER))), (Chores, Ambient));
}

#[test]
fn time_on_deck_is_not_followed() {
    let mut crew = crew();
    let deep = Air {
        ppo2_pa: ATM_PA,
        ppco2_pa: 0.0,
        ..Air::of(&Amounts::heliox(0.1), ATM_PA + 1e6, 303.0)
    };
    crew.order(5_000, go(0, Whereabouts::In(CHAMBER)), OPEN)
        .expect("he can");
    crew.advance(5_060, &|_| deep);
    let totals = crew.totals(DiverId(0), 5_060).expect("a diver");
    assert_eq!((totals.pressure_s, totals.uptd), (60, 1.0));
}

#[test]
fn pressure_and_oxygen_are_followed_between_calls() {
    let mut crew = crew();
    crew.order(0, go(0, Whereabouts::In(CHAMBER)), OPEN)
        .expect("he can");
    let air = Cell::new(Air {
        ppo2_pa: 0.2 * ATM_PA,
        ppco2_pa: 0.0,
        ..Air::of(&Amounts::heliox(0.1), ATM_PA, 303.0)
    });
    let mut to = |now, depth_msw: f64, ppo2_atm: f64| {
        air.set(Air {
            p_pa: ATM_PA + depth_msw * 1e4,
            ppo2_pa: ppo2_atm * ATM_PA,
            ..air.get()
        });
        crew.advance(now, &|_| air.get());
        crew.totals(DiverId(0), now).expect("a diver")
    };
    assert_eq!(to(600, 0.0, 0.2).pressure_s, 0);
    // Down to 100 msw in 1000 s: 0.1 msw is passed in the first second.
    assert_eq!(to(1_600, 100.0, 0.5).pressure_s, 999);
    // The published ramp: 0.5 to 1.3 atm in an hour.
    let ramp = to(5_200, 100.0, 1.3);
    assert!((ramp.uptd - 48.418_329_45).abs() < 1e-6);
    assert_eq!(ramp.cns_beyond_s, 0);
    let beyond = to(5_800, 100.0, 1.6);
    assert_eq!((beyond.cns_beyond_s, beyond.cns), (600, ramp.cns));
    assert_eq!(beyond.pulmonary, Err(NoPulmonaryIndex::OutOfRange));
    assert!(beyond.mean_ppo2_pa > 0.8 * BAR_PA);
}

#[test]
fn a_complaint_is_not_repeated_at_once_and_has_an_end() {
    let mut crew = crew();
    let id = DiverId(0);
    let fine = Air {
        ppo2_pa: 4e4,
        ppco2_pa: 300.0,
        ..Air::of(&Amounts::heliox(0.1), ATM_PA + 1e6, 300.15)
    };
    let cold = Air { t_k: 295.0, ..fine };
    let bad = Air {
        ppco2_pa: 3000.0,
        ..fine
    };
    assert_eq!(crew.spoken(5, id, &cold, true), None);
    crew.order(10, go(0, Whereabouts::In(CHAMBER)), OPEN)
        .expect("he can");
    assert_eq!(crew.spoken(20, id, &fine, true), None);
    assert_eq!(crew.spoken(30, id, &cold, true), Some(Spoken::Cold));
    assert_eq!(crew.spoken(1829, id, &cold, true), None);
    assert_eq!(crew.spoken(1830, id, &cold, true), Some(Spoken::Cold));
    assert_eq!(
        crew.spoken(1831, id, &bad, true),
        Some(Spoken::ShortOfBreath)
    );
    assert_eq!(crew.spoken(1900, id, &fine, true), Some(Spoken::Well));
    assert_eq!(crew.spoken(1901, id, &fine, true), None);
    crew.order(2000, act(0, Activity::Sleep), OPEN)
        .expect("he can");
    assert_eq!(crew.spoken(5000, id, &bad, true), None);
    assert_eq!(crew.spoken(5000, DiverId(77), &bad, true), None);
}

#[test]
fn who_is_in_the_water_without_hot_water_is_cold() {
    let mut crew = crew();
    let id = DiverId(0);
    let warm = Air {
        ppo2_pa: 4e4,
        ppco2_pa: 300.0,
        ..Air::of(&Amounts::heliox(0.1), ATM_PA + 1e6, 300.15)
    };
    crew.order(0, go(0, Whereabouts::In(BELL)), OPEN)
        .expect("he can");
    assert_eq!(crew.spoken(10, id, &warm, false), None);
    crew.order(20, go(0, Whereabouts::Water(BELL)), OPEN)
        .expect("he can");
    assert_eq!(crew.spoken(30, id, &warm, true), None);
    assert_eq!(crew.spoken(40, id, &warm, false), Some(Spoken::Cold));
    assert_eq!(crew.spoken(50, id, &warm, true), Some(Spoken::Well));
}
