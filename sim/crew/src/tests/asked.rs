//! What a crew tells when it is asked: who there is, where, with what figures and what on his back; which loads have
//! changed; and what of an order is refused or goes without saying.

use super::*;
use crate::harm::Skin;
use crate::voices::{BUILT_IN_VOICES, Voices};
use deepstay_plant::MAX_COMPARTMENTS;
use std::sync::Arc;

/// By hand: 2 % oxygen, 0.1 % carbon dioxide and 1 ppm of contaminant at 10 bar. The density of helium with 2 % oxygen at
/// 10 bar and 0 degC is 1.998071 kg/m3 (CoolProp 8.0.0, `realgas_heliox.csv`).
#[test]
fn air_is_a_gas_at_its_pressure() {
    let fractions = Amounts([0.978_999, 0.02, 0.0, 0.001, 0.0, 1e-6]);
    let air = Air::of(&fractions, 10.0 * BAR_PA, 300.0);
    let near = |ours: f64, by_hand: f64| assert!((ours / by_hand - 1.0).abs() < 1e-12, "{ours}");
    near(air.ppo2_pa, 20_000.0);
    near(air.ppco2_pa, 1_000.0);
    near(air.trace_pa, 1.0);
    assert_eq!((air.p_pa, air.t_k), (10.0 * BAR_PA, 300.0));
    assert!(air.flows && air.skin == Skin::Kept);
    let heliox = Air::of(&Amounts::heliox(0.02), 10.0 * BAR_PA, 273.15);
    assert!((heliox.density_kg_m3 / 1.998_071 - 1.0).abs() < 2e-3);
}

/// Twice the sitting man of the table: 0.60 and 0.52 L/min, 16 L/min breathed, 210 W.
#[test]
fn rates_are_multiplied_one_by_one() {
    let rest = Rates::default().table().expect("whole")[Activity::Rest as usize];
    let by_hand = Rate {
        o2_l_min: 0.60,
        co2_l_min: 0.52,
        ventilation_l_min: 16.0,
        heat_w: 210.0,
        water_g_h: 2.0 * rest.water_g_h,
    };
    assert_eq!(rest.times(2.0), by_hand);
}

#[test]
fn who_there_is_is_told_and_who_there_is_not() {
    let mut crew = crew();
    assert_eq!(crew.len(), 3);
    assert!(!crew.is_empty());
    let nobody = Crew::new(Vec::new(), &Rates::default(), &steel(), 0).expect("whole");
    assert!(nobody.is_empty());
    assert_eq!(nobody.len(), 0);
    let factor = |d| crew.person(DiverId(d)).map(|p| p.factor);
    assert_eq!(
        [0, 1, 2, 3].map(factor),
        [Some(1.0), Some(1.1), Some(0.9), None]
    );
    // 0.30 L/min of the sitting man, by each one's factor; of nobody the table's.
    for (diver, l_min) in [(0, 0.30), (1, 0.33), (2, 0.27), (3, 0.30)] {
        let o2_l_min = crew.rate(DiverId(diver)).o2_l_min;
        assert!((o2_l_min - l_min).abs() < 1e-12, "{diver}: {o2_l_min}");
    }
    for (diver, count) in [(0, 1), (1, 2), (2, 3)] {
        crew.order(1, go(diver, Whereabouts::In(CHAMBER)), OPEN)
            .expect("he can");
        assert_eq!(crew.headcount(CHAMBER), count);
    }
    assert_eq!(crew.headcount(BELL), 0);
}

/// Air on deck: of 0.2095 atm water vapour leaves 0.2095 x (101,325 - 6,270) = 19,914 Pa in the lung.
#[test]
fn a_crew_on_deck_has_breathed_air_and_carries_full_bottles() {
    let small = BailOut {
        fill_gauge_pa: 200e5,
        ..BailOut::default()
    };
    let figures = Arc::new(HarmFigures::built_in().clone());
    for (crew, bail_out) in [
        (crew(), BailOut::default()),
        (crew().with_harm(figures, small), small),
    ] {
        let id = DiverId(1);
        let body = crew.body(id).expect("a diver");
        assert!((body.lung_pa() - 19_914.022).abs() < 0.01);
        assert_eq!(body.saturated_pa(), ATM_PA);
        let (kind, bottle) = crew.bail_out(id).expect("a diver");
        assert_eq!(*kind, bail_out);
        assert_eq!(*bottle, bail_out.full(ATM_PA));
        let gauge_pa = crew.bail_out_gauge_pa(id).expect("a diver");
        assert!((gauge_pa / bail_out.fill_gauge_pa - 1.0).abs() < 1e-9);
        let nobody = DiverId(9);
        assert!(crew.body(nobody).is_none() && crew.bail_out(nobody).is_none());
        assert!(crew.bail_out_gauge_pa(nobody).is_none());
    }
}

/// Figures and voices are not saved with the crew, and are put back after it.
#[test]
fn figures_and_voices_are_put_back_after_a_save() {
    let mut figures = HarmFigures::built_in().clone();
    figures.slow_times = 2.5;
    let text = BUILT_IN_VOICES.replacen("no figure found", "ours", 1);
    let voices = Voices::read("ours.ron", &text).expect("it is right");
    let (figures, voices) = (Arc::new(figures), Arc::new(voices));
    let ours = crew()
        .with_harm(figures.clone(), BailOut::default())
        .with_voices(voices.clone());
    assert_eq!(ours.figures().slow_times, 2.5);
    assert_eq!(*ours.voices(), voices);
    let saved = postcard::to_stdvec(&ours).expect("can be written");
    let mut again: Crew = postcard::from_bytes(&saved).expect("and read");
    assert_ne!(again, ours);
    again.attach(figures, voices);
    assert_eq!(again, ours);
}

/// Somebody is found on a mask with a dose: he is there, breathes it, and what he puts on the line is added up.
#[test]
fn who_is_found_somewhere_is_there() {
    let mut crew = crew();
    let id = DiverId(0);
    let air = Air::of(&Amounts::heliox(0.04), 10.0 * BAR_PA, 300.0);
    let mut found = FoundDiver {
        at: Whereabouts::In(CHAMBER),
        path: BreathingPath::Bibs,
        air,
        dose: Some(FoundDose {
            uptd: 120.0,
            cns: 0.25,
        }),
    };
    crew.find(id, &found);
    assert_eq!(crew.whereabouts(id), Whereabouts::In(CHAMBER));
    assert_eq!(crew.path(id), BreathingPath::Bibs);
    // By hand: 0.4 bar at 10 bar, of which water vapour takes 0.0627/10.
    let body = crew.body(id).expect("a diver");
    assert!((body.lung_pa() - 0.397_492 * BAR_PA).abs() < 1e-6);
    assert_eq!(body.saturated_pa(), 10.0 * BAR_PA);
    let totals = crew.totals(id, 0).expect("a diver");
    assert_eq!((totals.uptd, totals.cns), (120.0, 0.25));
    assert!(crew.path_load(LineName::Bibs(CHAMBER)).load.o2_mol_s > 0.0);
    found.dose = None;
    crew.find(DiverId(1), &found);
    let totals = crew.totals(DiverId(1), 0).expect("a diver");
    assert_eq!((totals.uptd, totals.cns), (0.0, 0.0));
    let before = crew.clone();
    crew.find(DiverId(9), &found);
    assert_eq!(crew, before);
}

/// A mask marks its room and its line and no other; a place past the last has no mark and is no bell.
#[test]
fn a_load_that_changed_is_marked_alone() {
    let mut crew = crew();
    for diver in [0, 1] {
        crew.order(1, go(diver, Whereabouts::In(BELL)), OPEN)
            .expect("he can");
    }
    assert!(crew.take_changes().any());
    let lines = [
        LineName::Bibs(BELL),
        LineName::DiverMain(BELL),
        LineName::DiverSecondary(BELL),
        LineName::Bibs(CHAMBER),
        LineName::DiverMain(CHAMBER),
        LineName::DiverSecondary(CHAMBER),
        LineName::Supply(BELL),
        LineName::Oxygen(BELL),
    ];
    for (at, order, marked) in [
        (2, breathe(0, BreathingPath::Bibs), 0),
        (3, breathe(1, BreathingPath::Secondary), 2),
    ] {
        crew.order(at, order, OPEN).expect("he can");
        let changes = crew.take_changes();
        for (k, line) in lines.into_iter().enumerate() {
            assert_eq!(changes.line(line), k == marked, "{order:?} {line:?}");
        }
        assert!(changes.any() && changes.compartment(BELL) && !changes.compartment(CHAMBER));
        let past = CompartmentId(MAX_COMPARTMENTS as u8);
        assert!(!changes.compartment(past) && !changes.line(LineName::Bibs(past)));
    }
    let many = Steel {
        compartments: (0..MAX_COMPARTMENTS)
            .map(|_| steel().compartments[2].clone())
            .collect(),
        ..steel()
    };
    let crew = Crew::new(Vec::new(), &Rates::default(), &many, 0).expect("whole");
    assert!(crew.is_bell(CompartmentId(MAX_COMPARTMENTS as u8 - 1)));
    assert!(!crew.is_bell(CompartmentId(MAX_COMPARTMENTS as u8)));
}

#[test]
fn a_shower_is_where_he_is_or_can_go_to() {
    let shower = |at| PeopleOrder::Shower {
        diver: DiverId(0),
        at,
    };
    let shut: &dyn Fn(Whereabouts, Whereabouts) -> bool = &|_, _| false;
    let mut crew = crew();
    assert_eq!(
        crew.order(1, shower(CHAMBER), OPEN),
        Err(Refused::NotThere),
        "on deck"
    );
    crew.order(1, go(0, Whereabouts::In(CHAMBER)), OPEN)
        .expect("he can");
    let nowhere = CompartmentId(3);
    assert_eq!(
        crew.order(2, shower(nowhere), OPEN),
        Err(Refused::NoSuchThing)
    );
    assert_eq!(crew.order(2, shower(TRUNK), shut), Err(Refused::NotThere));
    assert_eq!(crew.activity(DiverId(0)), Activity::Rest);
    assert_eq!(crew.order(3, shower(CHAMBER), shut), Ok(()));
    assert_eq!(crew.activity(DiverId(0)), Activity::Chores);
    crew.order(4, act(0, Activity::Rest), OPEN).expect("he can");
    assert_eq!(crew.order(5, shower(TRUNK), OPEN), Ok(()));
    assert_eq!(crew.activity(DiverId(0)), Activity::Chores);
}

/// Only from inside, and a sleeper is up for it; who is awake goes on with what he did.
#[test]
fn an_inboard_stop_is_shut_from_inside() {
    let stop = PeopleOrder::InboardStop {
        diver: DiverId(0),
        shut: true,
    };
    let mut crew = crew();
    assert_eq!(crew.order(1, stop, OPEN), Err(Refused::NotThere));
    crew.order(1, go(0, Whereabouts::In(BELL)), OPEN)
        .expect("he can");
    for (now_s, before, after) in [
        (2, Activity::Exercise, Activity::Exercise),
        (3, Activity::Sleep, Activity::Chores),
    ] {
        crew.order(now_s, act(0, before), OPEN).expect("he can");
        assert_eq!(crew.order(now_s, stop, OPEN), Ok(()));
        assert_eq!(crew.activity(DiverId(0)), after);
    }
    crew.order(9, go(0, Whereabouts::Water(BELL)), OPEN)
        .expect("he can");
    assert_eq!(crew.order(9, stop, OPEN), Err(Refused::NotThere));
}

/// Who tends in the bell is up and about when he leaves it; who does something else there goes on with it, and so does who
/// tends anywhere else.
#[test]
fn only_a_bellman_who_leaves_the_bell_stops_tending() {
    for (from, activity, after) in [
        (BELL, Activity::Bellman, Activity::Chores),
        (BELL, Activity::Rest, Activity::Rest),
        (CHAMBER, Activity::Bellman, Activity::Bellman),
        (CHAMBER, Activity::Sleep, Activity::Chores),
    ] {
        let mut crew = crew();
        crew.order(1, go(0, Whereabouts::In(from)), OPEN)
            .expect("he can");
        crew.order(2, act(0, activity), OPEN).expect("he can");
        crew.order(3, go(0, Whereabouts::In(TRUNK)), OPEN)
            .expect("he can");
        assert_eq!(crew.activity(DiverId(0)), after, "{from:?} {activity:?}");
    }
}
