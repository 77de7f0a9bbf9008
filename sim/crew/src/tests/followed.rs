//! What is followed of a crew from one second to another: pressure, oxygen and its indices, what comes out of a bail-out,
//! and what a dead line gives. Every figure by hand.

use super::*;

/// Gas of so much oxygen, atm, at a pressure, bar.
fn gas(ppo2_atm: f64, p_bar: f64) -> Air {
    Air {
        ppo2_pa: ppo2_atm * ATM_PA,
        ..Air::of(&Amounts::heliox(0.02), p_bar * BAR_PA, 303.0)
    }
}

fn in_chamber() -> Crew {
    let mut crew = crew();
    crew.order(0, go(0, Whereabouts::In(CHAMBER)), OPEN)
        .expect("he can");
    crew
}

fn totals(crew: &Crew, now_s: i64) -> Totals {
    crew.totals(DiverId(0), now_s).expect("a diver")
}

fn near(ours: f64, by_hand: f64) {
    assert!(
        (ours - by_hand).abs() < 1e-6 * by_hand.abs(),
        "{ours}, {by_hand}"
    );
}

/// Ten hours at 0.5 bar and ten at 0.3: 0.4 bar at the mean, and the index of 20 h at it is 20^2 x 0.4^4.57 x exp(-0.27) =
/// 4.63676. An hour at 1 atm uses 60 of 300 minutes, and an hour at 1.6 atm is a dose of 60 x 1.6^3.4 = 296.59.
#[test]
fn means_and_indices_by_hand() {
    let mut crew = in_chamber();
    let at = |bar: f64| gas(bar * BAR_PA / ATM_PA, 10.0);
    let none = totals(&crew, 0);
    assert_eq!((none.pressure_s, none.mean_ppo2_pa), (0, 0.0));
    for (hour, bar) in [(0, 0.5), (10, 0.5), (10, 0.3), (20, 0.3)] {
        crew.advance(hour * 3600, &|_| at(bar));
    }
    let day = totals(&crew, 72_000);
    assert_eq!(day.pressure_s, 72_000);
    near(day.mean_ppo2_pa, 40_000.0);
    near(day.pulmonary.expect("in its range").k, 4.636_760);

    crew.advance(72_000, &|_| gas(1.0, 10.0));
    crew.advance(75_600, &|_| gas(1.0, 10.0));
    near(totals(&crew, 75_600).cns, 0.2);
    near(totals(&crew, 75_600).uptd, 60.0);
    let mut crew = in_chamber();
    crew.advance(1000, &|_| gas(0.4, 10.0));
    crew.advance(1000, &|_| gas(1.6, 10.0));
    crew.advance(4600, &|_| gas(1.6, 10.0));
    near(
        crew.body(DiverId(0)).expect("a diver").oxygen_dose(),
        296.5918,
    );
}

/// Of two calls at one second the later stands, and a call for an earlier one changes nothing.
#[test]
fn the_last_call_of_a_second_stands_and_an_earlier_second_is_past() {
    let mut crew = in_chamber();
    crew.advance(60, &|_| gas(0.2, 10.0));
    crew.advance(60, &|_| gas(1.0, 10.0));
    let before = crew.clone();
    crew.advance(30, &|_| gas(1.6, 20.0));
    assert_eq!(crew, before);
    crew.advance(120, &|_| gas(1.0, 10.0));
    assert_eq!(totals(&crew, 120).uptd, 1.0);
}

/// On deck nothing is counted, whatever is said to be breathed there.
#[test]
fn nothing_is_counted_on_deck() {
    let mut crew = crew();
    crew.advance(0, &|_| gas(1.0, 10.0));
    crew.advance(600, &|_| gas(1.0, 10.0));
    let totals = totals(&crew, 600);
    assert_eq!((totals.pressure_s, totals.uptd, totals.cns), (0, 0.0, 0.0));
}

/// Who goes to other gas begins a new line: a minute at 1 atm after it is one unit, with nothing of the way there. Who only
/// does something else goes on along the line, and who goes from room to room loses none of his time.
#[test]
fn other_gas_is_a_new_line_and_another_activity_is_none() {
    let mut moved = in_chamber();
    moved.advance(60, &|_| gas(0.2, 10.0));
    moved
        .order(60, go(0, Whereabouts::In(TRUNK)), OPEN)
        .expect("he can");
    moved.advance(120, &|_| gas(1.0, 10.0));
    assert_eq!(totals(&moved, 120).uptd, 1.0);
    assert_eq!(totals(&moved, 120).pressure_s, 120);

    let mut busy = in_chamber();
    busy.advance(60, &|_| gas(0.5, 10.0));
    busy.order(60, act(0, Activity::Chores), OPEN)
        .expect("he can");
    // The published ramp, 0.5 to 1.3 atm in an hour.
    busy.advance(3660, &|_| gas(1.3, 10.0));
    assert!((totals(&busy, 3660).uptd - 48.418_329_45).abs() < 1e-6);

    let mut late = in_chamber();
    late.order(40, go(0, Whereabouts::In(TRUNK)), OPEN)
        .expect("he can");
    late.advance(60, &|_| gas(0.4, 10.0));
    assert_eq!(totals(&late, 60).pressure_s, 60);
}

/// A minute on the bail-out takes a minute off what is left in it, at the mean of the pressures; nothing is taken from it
/// before or after.
#[test]
fn a_bail_out_gives_what_is_breathed() {
    let mut crew = crew();
    let id = DiverId(0);
    for (at, order) in [
        (1000, go(0, Whereabouts::In(BELL))),
        (1001, go(0, Whereabouts::Water(BELL))),
    ] {
        crew.order(at, order, OPEN).expect("he can");
    }
    let left_s = |crew: &Crew, p_bar: f64| {
        let (kind, bottle) = crew.bail_out(id).expect("a diver");
        kind.lasts_s(bottle, p_bar * BAR_PA)
    };
    let full_s = left_s(&crew, 12.0);
    crew.advance(1100, &|_| gas(0.4, 11.0));
    assert_eq!(left_s(&crew, 12.0), full_s);
    crew.order(1100, breathe(0, BreathingPath::BailOut), OPEN)
        .expect("he can");
    crew.advance(1100, &|_| gas(0.4, 11.0));
    assert_eq!(left_s(&crew, 12.0), full_s);
    crew.advance(1160, &|_| gas(0.4, 13.0));
    near(full_s - left_s(&crew, 12.0), 60.0);
    assert!(!crew.at_rest(), "a bottle is being emptied");
    crew.order(1160, go(0, Whereabouts::In(BELL)), OPEN)
        .expect("he can");
    crew.advance(1300, &|_| gas(0.4, 13.0));
    near(full_s - left_s(&crew, 12.0), 60.0);
    assert!(crew.at_rest());
    let bottle = PeopleOrder::ExchangeBailOut { diver: id };
    crew.order(1300, bottle, OPEN).expect("in the dry");
    assert_eq!(left_s(&crew, 12.0), full_s);
}

/// A mask gives for two minutes and then nothing: 0.30 L/min of oxygen for two minutes are 0.6 L, and nothing of the third.
/// It gives again, and one minute more is counted.
#[test]
fn a_dead_line_is_counted_as_nothing() {
    let mut crew = in_chamber();
    crew.order(0, breathe(0, BreathingPath::Bibs), OPEN)
        .expect("he can");
    let dead = Air {
        flows: false,
        ..gas(0.4, 10.0)
    };
    let litres = |crew: &Crew, now_s| {
        let litre_mol = MOL_S_PER_L_MIN * 60.0;
        let totals = totals(crew, now_s);
        assert!((totals.co2_mol / totals.o2_mol - 0.26 / 0.30).abs() < 1e-12);
        totals.o2_mol / litre_mol
    };
    crew.advance(60, &|_| gas(0.4, 10.0));
    crew.advance(120, &|_| dead);
    near(litres(&crew, 120), 0.6);
    near(litres(&crew, 180), 0.6);
    crew.advance(150, &|_| dead);
    crew.advance(180, &|_| gas(0.4, 10.0));
    near(litres(&crew, 180), 0.6);
    near(litres(&crew, 240), 0.9);
}
