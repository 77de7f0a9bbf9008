//! Divers who are not well: what each can still do, who leads or carries him, and what is told of him. Display and
//! training only.

use super::*;
use crate::harm::FitnessStep;
use deepstay_core::record::{Fitness, HarmCause};

const P_PA: f64 = 11.0 * BAR_PA;

fn gas(ppo2_bar: f64) -> Air {
    Air {
        ppo2_pa: ppo2_bar * BAR_PA,
        ..Air::of(&Amounts::heliox(0.04), P_PA, 303.0)
    }
}

/// All three in the chamber for a minute in good gas; then those who are named breathe so much oxygen, bar, until a second.
fn crew_with(unfit: &[u8], ppo2_bar: f64, until_s: i64) -> Crew {
    let mut crew = crew();
    for diver in 0..3 {
        crew.order(0, go(diver, Whereabouts::In(CHAMBER)), OPEN)
            .expect("he can");
    }
    crew.advance(60, &|_| gas(0.4));
    follow(&mut crew, unfit, ppo2_bar, (60, until_s));
    crew
}

/// Other gas from the second after one on, until another.
fn follow(crew: &mut Crew, unfit: &[u8], ppo2_bar: f64, (from_s, until_s): (i64, i64)) {
    let of = |id: DiverId| {
        let bar = if unfit.contains(&id.0) { ppo2_bar } else { 0.4 };
        gas(bar)
    };
    crew.advance(from_s + 1, &of);
    crew.advance(until_s, &of);
}

/// 0.10 bar at 11 bar leave 0.0994 bar in the lung: under the figure's 0.10 bar for over a minute within 10 min, and of a
/// dose a quarter.
fn confused(unfit: &[u8]) -> Crew {
    let crew = crew_with(unfit, 0.10, 660);
    for id in crew.ids() {
        let is = if unfit.contains(&id.0) {
            Fitness::Confused
        } else {
            Fitness::Well
        };
        assert_eq!(crew.fitness(id), is);
    }
    crew
}

/// Two minutes without oxygen.
fn out(unfit: &[u8]) -> Crew {
    let crew = crew_with(unfit, 0.0, 260);
    for id in crew.ids().filter(|id| unfit.contains(&id.0)) {
        assert_eq!(crew.fitness(id), Fitness::Out);
    }
    crew
}

fn each(diver: u8) -> [(&'static str, PeopleOrder); 6] {
    let id = DiverId(diver);
    [
        ("rest", act(diver, Activity::Rest)),
        ("chores", act(diver, Activity::Chores)),
        ("mask", breathe(diver, BreathingPath::Bibs)),
        (
            "shower",
            PeopleOrder::Shower {
                diver: id,
                at: CHAMBER,
            },
        ),
        (
            "stop",
            PeopleOrder::InboardStop {
                diver: id,
                shut: true,
            },
        ),
        ("bottle", PeopleOrder::ExchangeBailOut { diver: id }),
    ]
}

/// A confused man rests and puts a mask on if he is told; who is out does nothing; of either others exchange the bail-out.
#[test]
fn what_each_can_do() {
    for (crew, can) in [
        (confused(&[0]), ["rest", "mask", "bottle"].as_slice()),
        (out(&[0]), &["bottle"]),
        (
            crew_with(&[], 0.4, 260),
            &["rest", "chores", "mask", "shower", "stop", "bottle"],
        ),
    ] {
        for (name, order) in each(0) {
            let told = crew.clone().order(700, order, OPEN);
            let expected = match can.contains(&name) {
                true => Ok(()),
                false => Err(Refused::Unfit),
            };
            assert_eq!(told, expected, "{name} of {:?}", crew.fitness(DiverId(0)));
        }
    }
}

/// He goes where a fit one is with him or waits: not alone, not with one who is no fitter, and not because somebody fit is
/// anywhere.
#[test]
fn he_is_led_by_a_fit_one() {
    for make in [confused, out] {
        let lead = |mut crew: Crew, others_to: &[(u8, CompartmentId)]| {
            for (diver, to) in others_to {
                crew.order(700, go(*diver, Whereabouts::In(*to)), OPEN)
                    .expect("he is well");
            }
            crew.order(701, go(0, Whereabouts::In(TRUNK)), OPEN)
        };
        assert_eq!(lead(make(&[0]), &[]), Ok(()), "both are with him");
        let elsewhere = [(1, BELL), (2, BELL)];
        assert_eq!(lead(make(&[0]), &elsewhere), Err(Refused::Unfit));
        let waits = [(1, BELL), (2, TRUNK)];
        assert_eq!(lead(make(&[0]), &waits), Ok(()));
        assert_eq!(lead(make(&[0, 1, 2]), &[]), Err(Refused::Unfit));
        assert_eq!(lead(make(&[0, 1]), &[(2, BELL)]), Err(Refused::Unfit));
    }
}

/// Who goes out stops what he did, in the water too, and puts on the room what a man at rest does; the dead put nothing on
/// it. Who is only confused goes on.
#[test]
fn who_goes_out_stops_what_he_did() {
    let alone = |steps: &[(i64, f64)]| {
        let mut crew = crew();
        crew.order(0, go(0, Whereabouts::In(CHAMBER)), OPEN)
            .expect("he can");
        crew.order(0, act(0, Activity::Exercise), OPEN)
            .expect("he can");
        crew.advance(60, &|_| gas(0.4));
        for (until_s, ppo2_bar) in steps {
            follow(&mut crew, &[0], *ppo2_bar, (until_s - 140, *until_s));
        }
        let l_min = crew.load(CHAMBER).o2_mol_s / MOL_S_PER_L_MIN;
        (crew.fitness(DiverId(0)), crew.activity(DiverId(0)), l_min)
    };
    let near = |(fitness, activity, l_min): (Fitness, Activity, f64), by_hand: f64| {
        assert!((l_min - by_hand).abs() < 1e-9, "{fitness:?} {l_min}");
        (fitness, activity)
    };
    // The table's 0.87 L/min of exercise and 0.30 L/min at rest.
    let (well, confused, out, dead) = (
        alone(&[(200, 0.4)]),
        alone(&[(200, 0.10), (340, 0.10)]),
        alone(&[(200, 0.0)]),
        alone(&[(200, 0.0), (340, 0.0), (480, 0.0), (620, 0.0)]),
    );
    assert_eq!(near(well, 0.87), (Fitness::Well, Activity::Exercise));
    assert_eq!(
        near(confused, 0.87),
        (Fitness::Confused, Activity::Exercise)
    );
    assert_eq!(near(out, 0.30), (Fitness::Out, Activity::Rest));
    assert_eq!(near(dead, 0.0), (Fitness::Dead, Activity::Rest));

    let mut crew = crew();
    for (at, order) in [
        (0, go(0, Whereabouts::In(BELL))),
        (1, go(0, Whereabouts::Water(BELL))),
        (2, act(0, Activity::WaterModerate)),
    ] {
        crew.order(at, order, OPEN).expect("he can");
    }
    crew.advance(60, &|_| gas(0.4));
    crew.advance(61, &|_| gas(0.0));
    crew.advance(160, &|_| gas(0.0));
    assert_eq!(crew.fitness(DiverId(0)), Fitness::Out);
    assert_eq!(crew.activity(DiverId(0)), Activity::WaterRest);
}

/// Who is led or carried tends nothing and tidies nothing: brought back into the bell, or woken and taken to another
/// chamber, he rests. Who is well tends, and is up and about.
#[test]
fn who_is_carried_rests() {
    let brought = |ppo2_bar: f64| {
        let mut crew = crew();
        for (at, order) in [
            (0, go(0, Whereabouts::In(BELL))),
            (0, go(1, Whereabouts::In(BELL))),
            (1, go(0, Whereabouts::Water(BELL))),
        ] {
            crew.order(at, order, OPEN).expect("he can");
        }
        crew.advance(60, &|_| gas(0.4));
        follow(&mut crew, &[0], ppo2_bar, (60, 260));
        crew.order(260, go(0, Whereabouts::In(BELL)), OPEN)
            .expect("one is there");
        (crew.fitness(DiverId(0)), crew.activity(DiverId(0)))
    };
    assert_eq!(brought(0.4), (Fitness::Well, Activity::Bellman));
    assert_eq!(brought(0.135), (Fitness::Slow, Activity::Bellman));
    assert_eq!(brought(0.10), (Fitness::Confused, Activity::Rest));
    assert_eq!(brought(0.0), (Fitness::Out, Activity::Rest));

    for (unfit, activity) in [([].as_slice(), Activity::Chores), (&[0], Activity::Rest)] {
        let mut crew = crew_with(&[], 0.4, 100);
        crew.order(100, act(0, Activity::Sleep), OPEN)
            .expect("he is well");
        follow(&mut crew, unfit, 0.10, (100, 700));
        crew.order(700, go(0, Whereabouts::In(TRUNK)), OPEN)
            .expect("two are with him");
        assert_eq!(crew.activity(DiverId(0)), activity);
    }
}

/// Each change is told once, with its cause.
#[test]
fn a_change_is_told_once() {
    let mut crew = out(&[1]);
    let step = FitnessStep {
        from: Fitness::Well,
        to: Fitness::Out,
        cause: HarmCause::LowOxygen,
    };
    assert_eq!(crew.take_steps(), [(DiverId(1), step)]);
    assert_eq!(crew.take_steps(), []);
}

/// A crew is at rest while everybody is, and has edges in the gas he was last followed in: with 0.16 bar at hard work in the
/// lung as the first threshold, of which the edge is 0.85, and 6,270 Pa of vapour at 11 bar, 0.189314 bar. Down to the
/// surface 0.85 of 1.214814 times the allowed 28.792 fsw are 91,287 Pa. Who was followed in nothing has none, and the dead
/// have none.
#[test]
fn edges_are_those_of_the_gas_he_is_in() {
    let mut crew = crew_with(&[], 0.4, 120);
    assert!(crew.at_rest());
    let (edges, p_pa) = crew.edges(DiverId(0)).expect("he is followed");
    assert!((edges.ppo2_low_pa / BAR_PA - 0.189_314_4).abs() < 1e-6);
    let saturated_pa = crew.body(DiverId(0)).expect("a diver").saturated_pa();
    assert!((saturated_pa - p_pa - 91_287.0).abs() < 2.0, "{p_pa}");
    assert_eq!(super::crew().edges(DiverId(0)), None);
    assert_eq!(crew.edges(DiverId(9)), None);
    follow(&mut crew, &[2], 0.0, (120, 122));
    assert!(!crew.at_rest(), "one of them is not");
    follow(&mut crew, &[2], 0.0, (122, 260));
    assert_eq!(crew.fitness(DiverId(2)), Fitness::Out);
    assert!(crew.edges(DiverId(2)).is_some());
    follow(&mut crew, &[2], 0.0, (260, 900));
    assert_eq!(crew.fitness(DiverId(2)), Fitness::Dead);
    assert_eq!(crew.edges(DiverId(2)), None);
    assert!(crew.at_rest(), "nothing more can happen to him");
}
