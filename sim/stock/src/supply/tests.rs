//! A load from the built-in list and from small lists of its own: whole units, boats, refusals, sums.

use super::*;
use crate::Gas;
use approx::assert_relative_eq;
use deepstay_core::gas::{Amounts, state};
use deepstay_core::units::{FreeReference, R};
use deepstay_plant::Duty;
use deepstay_scenario::{Calls, Offered, Supplier, Takes, load_supplier, supplier_from_text};

fn mol(m3: f64) -> f64 {
    m3 * FreeReference::Bar15.mol_per_m3()
}

fn need(duty: Duty, o2: f64, demand_m3: f64, reserve_m3: f64) -> Need {
    Need {
        gas: Gas {
            duty,
            label_o2: o2,
            banks: Vec::new(),
        },
        mix: Amounts::heliox(o2),
        demand_mol: mol(demand_m3),
        reserve_mol: mol(reserve_m3),
        deepest_msw: 118.0,
        over_bottom_pa: 10e5,
        regulator_pa: 5e5,
        surface_pa: 101_325.0,
        bank_t_k: 288.15,
        note: "test".to_owned(),
    }
}

fn north_quay() -> Supplier {
    load_supplier("north-quay", None).unwrap_or_else(|bad| panic!("{bad}"))
}

#[test]
fn the_parts_of_the_difference_add_up() {
    let (list, need) = (north_quay(), need(Duty::BottomMix, 0.02, 1.0, 0.0));
    for offer in list
        .offers
        .iter()
        .filter(|o| o.serves(Duty::BottomMix, &need.mix))
    {
        let u = usable(offer, &need);
        let hand_full = mol(u.hand_full_m3);
        assert_relative_eq!(
            hand_full + u.by_heel_mol + u.by_temperature_mol + u.by_compressibility_mol,
            u.real_mol,
            max_relative = 1e-12
        );
        assert_relative_eq!(
            u.difference_mol(),
            u.by_temperature_mol + u.by_compressibility_mol,
            max_relative = 1e-9
        );
        // Helium at 200 bar holds less than bar times volume says; what stays at the heel gives some back.
        assert!(
            u.difference_share()
                .is_some_and(|d| (-0.12..-0.06).contains(&d)),
            "{u:?}"
        );
        // Filled and standing at 15 degC there is no term of temperature.
        assert!(u.by_temperature_mol.abs() < 1e-6 * u.real_mol);
    }
}

#[test]
fn a_warm_fill_holds_less_by_temperature() {
    let mut list = north_quay();
    let need = need(Duty::BottomMix, 0.02, 1.0, 0.0);
    let offer = list
        .offers
        .iter_mut()
        .find(|o| o.serves(Duty::BottomMix, &need.mix))
        .expect("bottom mix");
    offer.filled_t_k = 313.15;
    let u = usable(offer, &need);
    assert!(u.by_temperature_mol < -0.07 * u.hand_mol, "{u:?}");
}

#[test]
fn whole_units_cover_demand_and_reserve() {
    let list = north_quay();
    let needs = [
        need(Duty::BottomMix, 0.02, 2000.0, 600.0),
        need(Duty::DiverGas, 0.05, 900.0, 200.0),
        need(Duty::Calibration, 0.04, 12.0, 0.0),
    ];
    let terms = Terms {
        absorbent_kg: 410.0,
        ..Terms::default()
    };
    let load = load(&needs, &[], &list, &terms);
    assert!(load.refused.is_empty(), "{:?}", load.refused);
    for line in &load.lines {
        let needed = needs[line.need].needed_mol();
        assert!(line.proven && line.usable_mol() >= needed * (1.0 - 1e-9));
        // Without its smallest unit it would not.
        let least = line
            .picks
            .iter()
            .map(|p| p.usable.real_mol)
            .fold(f64::INFINITY, f64::min);
        assert!(line.usable_mol() - least < needed);
        assert!(line.alone.iter().all(|a| a.price >= line.price(&list)));
    }
    let drums = load.mobilisation.last().expect("absorbent");
    assert_eq!((drums.count, drums.price), (21, 21.0 * 95.0));
    assert_relative_eq!(
        load.money,
        load.lines.iter().map(|l| l.price(&list)).sum::<f64>() + drums.price,
        max_relative = 1e-12
    );
    assert!(load.mass_kg() > load.mobilisation.iter().map(|m| m.empty_kg).sum());
}

#[test]
fn fewest_units_are_fewer_and_dearer() {
    let (list, needs) = (north_quay(), [need(Duty::DiverGas, 0.05, 1650.0, 0.0)]);
    let by = |by: By| {
        load(
            &needs,
            &[],
            &list,
            &Terms {
                by,
                ..Terms::default()
            },
        )
    };
    let (price, units) = (by(By::Price), by(By::Units));
    assert!(units.lines[0].units() <= price.lines[0].units() && units.money >= price.money);
}

#[test]
fn what_cannot_be_had_is_said() {
    let list = north_quay();
    let trimix = Need {
        mix: Amounts([0.6, 0.1, 0.3, 0.0, 0.0, 0.0]),
        ..need(Duty::DiverGas, 0.10, 10.0, 0.0)
    };
    let deep = Need {
        deepest_msw: 2000.0,
        ..need(Duty::BottomMix, 0.02, 10.0, 0.0)
    };
    let found = load(&[trimix, deep], &[], &list, &Terms::default());
    assert_eq!(
        found.refused[0],
        Refusal {
            need: 0,
            why: Why::NoOffer
        }
    );
    assert!(matches!(found.refused[1].why, Why::HeelAboveFill { .. }));
    assert!(
        found.refused[1]
            .why
            .to_string()
            .contains("no unit yields anything")
    );
}

/// One item of 10 bottles, so that a unit yields a round figure by hand; a boat each 5 days from day 4.
fn small(takes: &str, lead: &str) -> Supplier {
    let text = format!(
        "(format: 1, name: \"small\", currency: \"EUR\", items: [(name: \"frame\", form: Quad, bottles: \"10 x 50 L at 200 bar\", \
         mix: Heliox(\"2 %\"), duties: [BottomMix], lead: \"{lead}\", mass_full: \"1.1 t\", mass_empty: \"1 t\", \
         price: (each: 1000))], boat: (first: \"4 d\", every: \"5 d\"{takes}))"
    );
    supplier_from_text(&text, "small.ron", &[]).unwrap_or_else(|bad| panic!("{bad}"))
}

fn falling(units: f64, a_day: f64, days: usize, one: f64) -> Course {
    let left: Vec<f64> = (0..=days)
        .map(|d| (units - a_day * d as f64) * one)
        .collect();
    Course {
        median_mol: left.clone(),
        planned_mol: left,
        minimum_mol: 2.0 * one,
    }
}

#[test]
fn a_boat_comes_before_the_minimum_is_reached() {
    let (list, need) = (small("", "3 d"), need(Duty::BottomMix, 0.02, 0.0, 0.0));
    let one = usable(&list.offers[0], &need).real_mol;
    // 10 units, 1 a day, minimum 2: below it from day 9 on. The call of day 4 must bring what lasts to the
    // one of day 9, on which the stock is looked at after the boat has come.
    let course = falling(10.0, 1.0, 14, one);
    assert_eq!(course.below_minimum(), (Some(9), Some(9)));
    let (found, refused) = boats(&[need], &[course], &list, None, By::Price);
    assert!(refused.is_empty(), "{refused:?}");
    let calls: Vec<(usize, i64, u32)> = found
        .iter()
        .map(|b| (b.call, b.at_s / 86_400, b.units()))
        .collect();
    // Days 9 to 13 lack up to 5 units, and day 14 one more.
    assert_eq!(calls, [(1, 9, 5), (2, 14, 1)]);
    assert_eq!(found[0].order_by_s(), Some(6 * 86_400));
    assert_relative_eq!(found[0].price(), 5000.0);
}

#[test]
fn too_late_is_a_refusal() {
    let one = need(Duty::BottomMix, 0.02, 0.0, 0.0);
    let list = small("", "3 d");
    let unit = usable(&list.offers[0], &one).real_mol;
    let ask = |course: Course, list: &Supplier, earliest: Option<i64>| {
        boats(
            std::slice::from_ref(&one),
            &[course],
            list,
            earliest,
            By::Price,
        )
        .1
    };
    let early = ask(falling(4.0, 1.0, 14, unit), &list, None);
    assert!(
        matches!(
            early[0].why,
            Why::BeforeFirstBoat {
                day: 3,
                first_call_s: Some(345_600)
            }
        ),
        "{early:?}"
    );
    let late = ask(falling(10.0, 1.0, 14, unit), &small("", "12 d"), Some(0));
    assert!(
        matches!(late[0].why, Why::LeadTooLong { day: 9, .. }),
        "{late:?}"
    );
    let none = ask(
        falling(10.0, 1.0, 14, unit),
        &Supplier { boat: None, ..list },
        None,
    );
    assert!(matches!(
        none[0].why,
        Why::BeforeFirstBoat {
            day: 9,
            first_call_s: None
        }
    ));
}

#[test]
fn a_full_boat_leaves_the_rest_to_an_earlier_one() {
    let list = small(", takes: Units(3)", "3 d");
    assert_eq!(list.boat.and_then(|b| b.takes), Some(Takes::Units(3)));
    let need = need(Duty::BottomMix, 0.02, 0.0, 0.0);
    let one = usable(&list.offers[0], &need).real_mol;
    let (found, refused) = boats(
        std::slice::from_ref(&need),
        &[falling(10.0, 1.0, 14, one)],
        &list,
        None,
        By::Price,
    );
    let calls: Vec<(i64, u32)> = found.iter().map(|b| (b.at_s / 86_400, b.units())).collect();
    assert_eq!((calls, refused.len()), (vec![(4, 2), (9, 3), (14, 1)], 0));
    let (_, refused) = boats(
        std::slice::from_ref(&need),
        &[falling(10.0, 2.0, 14, one)],
        &list,
        None,
        By::Price,
    );
    assert!(
        refused
            .iter()
            .any(|r| matches!(r.why, Why::BoatFull { .. })),
        "{refused:?}"
    );
}

#[test]
fn a_day_without_reclaim_has_a_price() {
    let (list, need) = (north_quay(), need(Duty::DiverGas, 0.05, 0.0, 0.0));
    let day = lost_reclaim(&need, mol(700.0), &list).expect("divers' gas");
    let offer = &list.offers[day.offer];
    assert_relative_eq!(
        day.units * usable(offer, &need).real_mol,
        mol(700.0),
        max_relative = 1e-12
    );
    assert_relative_eq!(
        day.price,
        day.units * offer.price.each,
        max_relative = 1e-12
    );
}

/// A frame of 0.5 m3 at 200 bar for 118 msw, 10 bar over the bottom and 5 for the regulator: a heel of 26.8 bar. By hand it
/// holds 100 m3 and yields 86.6; the ideal gas between the same gauges is as much where fill and bank are at 15 degC. The
/// real gas is asked of `sim/core`, which is held to published tables there.
#[test]
fn what_a_frame_yields_by_hand() {
    let (mut list, one) = (small("", "3 d"), need(Duty::BottomMix, 0.02, 0.0, 0.0));
    let holds = |gauge_bar: f64, t_k: f64| {
        state::total_moles(&one.mix, gauge_bar * 1e5 + one.surface_pa, 0.5, t_k)
    };
    let ideal = |gauge_bar: f64, t_k: f64| (gauge_bar * 1e5 + one.surface_pa) * 0.5 / (R * t_k);
    for filled_t_k in [288.15, 313.15] {
        list.offers[0].filled_t_k = filled_t_k;
        let u = usable(&list.offers[0], &one);
        let (full, heel) = (holds(200.0, filled_t_k), holds(26.8, 288.15));
        assert_relative_eq!(u.full_mol, full, max_relative = 1e-12);
        assert_relative_eq!(u.heel_mol, heel, max_relative = 1e-12);
        assert_relative_eq!(u.real_mol, full - heel, max_relative = 1e-12);
        assert_relative_eq!(u.hand_full_m3, 100.0, max_relative = 1e-12);
        assert_relative_eq!(u.hand_m3, 86.6, max_relative = 1e-12);
        let between = ideal(200.0, filled_t_k) - ideal(26.8, 288.15);
        assert_relative_eq!(
            u.by_temperature_mol,
            between - mol(86.6),
            epsilon = 1e-6 * between
        );
        assert_relative_eq!(
            u.real_over_ideal(),
            (full - heel) / between,
            max_relative = 1e-9
        );
        assert_eq!(u.outside, None);
    }
    // The gas is asked at absolute pressure, and warned of where that is beyond its fit.
    list.offers[0].filled_t_k = 288.15;
    list.offers[0].fill_gauge_pa = state::FIT_P_MAX_PA - 0.5 * one.surface_pa;
    assert!(usable(&list.offers[0], &one).outside.is_some());
    list.offers[0].fill_gauge_pa = state::FIT_P_MAX_PA - 1.5 * one.surface_pa;
    assert_eq!(usable(&list.offers[0], &one).outside, None);
}

/// Nothing is of use where the heel is not below the fill, or where a hot fill holds no more than what stays: no yield, no
/// share, and real and ideal gas are as good as each other.
#[test]
fn a_unit_that_yields_nothing() {
    let one = need(Duty::BottomMix, 0.02, 0.0, 0.0);
    let yields = |fill_gauge_pa: f64, filled_t_k: f64| {
        let mut list = small("", "3 d");
        list.offers[0].fill_gauge_pa = fill_gauge_pa;
        list.offers[0].filled_t_k = filled_t_k;
        usable(&list.offers[0], &one)
    };
    let heel_pa = one.heel_gauge_pa();
    assert_eq!(heel_pa, 26.8e5);
    // As high as the heel and colder; lower; higher, and so hot that it holds less.
    for (fill_pa, t_k) in [(heel_pa, 270.0), (heel_pa - 1e5, 288.15), (27e5, 400.0)] {
        let u = yields(fill_pa, t_k);
        assert_eq!(
            (u.real_mol, u.hand_m3, u.hand_mol),
            (0.0, 0.0, 0.0),
            "{u:?}"
        );
        assert_eq!((u.by_heel_mol, u.by_compressibility_mol), (0.0, 0.0));
        assert_eq!((u.difference_share(), u.real_over_ideal()), (None, 1.0));
    }
    assert!(yields(27.8e5, 288.15).real_mol > 0.0);
    // Such an item is none of those that are compared.
    let mut list = small("", "3 d");
    let mut low = list.offers[0].clone();
    low.fill_gauge_pa = heel_pa;
    list.offers.push(low);
    let found = load(
        &[need(Duty::BottomMix, 0.02, 10.0, 0.0)],
        &[],
        &list,
        &Terms::default(),
    );
    assert_eq!(found.lines[0].alone.len(), 1);
}

/// Demand and reserve together; what is below nothing is nothing, and what is no number asks for nothing.
#[test]
fn what_is_needed_of_a_gas() {
    let needed = |demand_mol: f64, reserve_mol: f64| {
        Need {
            demand_mol,
            reserve_mol,
            ..need(Duty::BottomMix, 0.02, 0.0, 0.0)
        }
        .needed_mol()
    };
    assert_eq!(needed(5.0, 7.0), 12.0);
    assert_eq!((needed(-5.0, 7.0), needed(5.0, -7.0)), (7.0, 5.0));
    assert_eq!(needed(f64::INFINITY, 7.0), 0.0);
    assert_eq!(needed(f64::NAN, 7.0), 7.0);
}

/// What speaks of boats, and what of the load.
#[test]
fn refusals_in_words() {
    let four_days = 4 * 86_400;
    let early = |first_call_s| Why::BeforeFirstBoat {
        day: 3,
        first_call_s,
    };
    let late = Why::LeadTooLong {
        day: 9,
        call_s: four_days,
        lead_s: 12 * 86_400,
    };
    let full = Why::BoatFull { call_s: four_days };
    let heel = Why::HeelAboveFill {
        fill_gauge_pa: 200e5,
        heel_gauge_pa: 215e5,
    };
    for (why, of_a_boat, words) in [
        (
            early(Some(four_days)),
            true,
            "day 3, and the first boat comes after 4.0 d",
        ),
        (
            early(None),
            true,
            "day 3, and no boat comes in the job's time",
        ),
        (late, true, "its lead of 12.0 d is longer"),
        (full, true, "the boat after 4.0 d is full"),
        (
            heel,
            false,
            "its heel of 215.0 bar is not below the fill of 200.0 bar",
        ),
        (Why::NoOffer, false, "nothing on the supplier's list"),
        (Why::NoAbsorbent, false, "no absorbent"),
    ] {
        assert_eq!(why.is_of_a_boat(), of_a_boat, "{why}");
        assert!(why.to_string().contains(words), "{why}");
    }
}

/// A frame is 1.1 t and 1000 of money; a bottle of a tenth of it 0.1 t and 130. What 2.9 frames yield is three frames by
/// price; of bottles alone it would be 29 at 3770.
#[test]
fn units_masses_and_prices_of_a_load() {
    let mut list = small("", "3 d");
    let mut bottle = list.offers[0].clone();
    (bottle.name, bottle.bottles) = ("bottle".to_owned(), 1);
    (bottle.mass_full_kg, bottle.mass_empty_kg, bottle.price.each) = (100.0, 90.0, 130.0);
    let mut dear = list.offers[0].clone();
    (dear.name, dear.price.each) = ("dear frame".to_owned(), 2000.0);
    list.offers.extend([bottle, dear]);
    list.offers[0].per_lift_kg = Some(2300.0);
    list.absorbent = None;
    let one = usable(&list.offers[0], &need(Duty::BottomMix, 0.02, 0.0, 0.0)).real_mol;
    let wants = |frames: f64| Need {
        demand_mol: frames * one,
        ..need(Duty::BottomMix, 0.02, 0.0, 0.0)
    };
    let found = load(&[wants(2.9)], &[], &list, &Terms::default());
    let line = &found.lines[0];
    assert_eq!((line.units(), line.mass_kg(&list)), (3, 3300.0));
    assert_eq!(line.price(&list), 3000.0);
    assert_relative_eq!(line.usable_mol(), 3.0 * one, max_relative = 1e-12);
    let alone: Vec<(usize, u32, f64, f64)> = line
        .alone
        .iter()
        .map(|a| (a.offer, a.count, a.price, a.mass_kg))
        .collect();
    assert_eq!(
        alone,
        [
            (0, 3, 3000.0, 3300.0),
            (1, 29, 3770.0, 2900.0),
            (2, 3, 6000.0, 3300.0)
        ]
    );
    assert_eq!(line.next_best().map(|a| a.offer), Some(1));
    // One at its heel is topped from a full one where there are two.
    let decants = |frames: f64| {
        let found = load(&[wants(frames)], &[], &list, &Terms::default());
        let pick = &found.lines[0].picks[0];
        (pick.count, pick.decant.is_some())
    };
    assert_eq!(decants(0.9), (1, false));
    assert_eq!(decants(1.9), (2, true));
    // Two gases in the same item are one line of the list: five frames, two to a lift.
    let found = load(&[wants(2.9), wants(1.9)], &[], &list, &Terms::default());
    let rows: Vec<_> = found
        .mobilisation
        .iter()
        .map(|m| {
            (
                m.name.as_str(),
                m.count,
                m.full_kg,
                m.empty_kg,
                m.lifts,
                m.price,
            )
        })
        .collect();
    assert_eq!(rows, [("frame", 5, 5500.0, 5000.0, 3, 5000.0)]);
    assert_eq!(found.mobilisation[0].order_by_s, -3 * 86_400);
    assert_eq!((found.mass_kg(), found.money), (5500.0, 5000.0));
}

/// Drums of absorbent by the kilogram, whole; none where none is wanted, and a refusal where the list has none.
#[test]
fn drums_of_absorbent() {
    let list = north_quay();
    let drum = list.absorbent.clone().expect("on the list");
    let asked = |list: &Supplier, absorbent_kg: f64| {
        load(
            &[],
            &[],
            list,
            &Terms {
                absorbent_kg,
                ..Terms::default()
            },
        )
    };
    for (kg, count) in [(3.0 * drum.mass_kg, 3), (3.0 * drum.mass_kg + 0.1, 4)] {
        let found = asked(&list, kg);
        let row = &found.mobilisation[0];
        let by_hand = f64::from(count);
        assert_eq!((row.count, row.lifts), (count, 1));
        assert_relative_eq!(row.full_kg, by_hand * drum.mass_kg);
        assert_relative_eq!(row.price, by_hand * drum.price.each);
        assert_eq!((row.empty_kg, row.order_by_s), (0.0, -drum.lead_s));
        assert!(found.refused.is_empty());
    }
    let none = Supplier {
        absorbent: None,
        ..list.clone()
    };
    for (list, kg, refused) in [(&list, 0.0, false), (&none, 0.0, false), (&none, 1.0, true)] {
        let found = asked(list, kg);
        assert!(found.mobilisation.is_empty());
        let why = refused.then_some(Refusal {
            need: 0,
            why: Why::NoAbsorbent,
        });
        assert_eq!(found.refused, why.into_iter().collect::<Vec<_>>());
    }
}

/// What is mixed to order is ordered with its mixture; what has no item is told once, and of a boat what is of a boat.
#[test]
fn what_is_mixed_to_order_and_what_is_told_once() {
    let mut list = small("", "12 d");
    list.offers[0].mix = Offered::OnOrder { from: 0.0, to: 0.3 };
    let one = need(Duty::BottomMix, 0.025, 10.0, 0.0);
    let found = load(std::slice::from_ref(&one), &[], &list, &Terms::default());
    assert_eq!(found.mobilisation[0].name, "frame: 2.5 % O2 in helium");
    let unit = usable(&list.offers[0], &one).real_mol;
    let other = need(Duty::Oxygen, 1.0, 10.0, 0.0);
    let courses = [falling(10.0, 1.0, 14, unit), falling(10.0, 1.0, 14, unit)];
    let terms = Terms {
        earliest_order_s: Some(0),
        ..Terms::default()
    };
    let refused = load(&[one, other], &courses, &list, &terms).refused;
    let nothing = Refusal {
        need: 1,
        why: Why::NoOffer,
    };
    assert_eq!(refused.len(), 2, "{refused:?}");
    assert_eq!(refused[0], nothing);
    assert!(matches!(
        refused[1],
        Refusal {
            need: 0,
            why: Why::LeadTooLong { day: 9, .. }
        }
    ));
}

/// A stock that stands just at its minimum until the first boat wants nothing of it, and no unit is written down that is not
/// brought.
#[test]
fn just_at_the_minimum_nothing_is_wanted() {
    let (mut list, one) = (small("", "3 d"), need(Duty::BottomMix, 0.02, 0.0, 0.0));
    let unit = usable(&list.offers[0], &one).real_mol;
    let needs = std::slice::from_ref(&one);
    let level = falling(2.0, 0.0, 14, unit);
    assert_eq!(level.below_minimum(), (None, None));
    let found = boats(needs, &[level], &list, None, By::Price);
    assert_eq!(found, (Vec::new(), Vec::new()));
    // A second item, dearer, is not on the boat.
    let mut dear = list.offers[0].clone();
    dear.price.each = 5000.0;
    list.offers.push(dear);
    let (found, _) = boats(
        needs,
        &[falling(10.0, 1.0, 14, unit)],
        &list,
        None,
        By::Price,
    );
    assert_eq!(found[0].cargo.len(), 1);
    let cargo = &found[0].cargo[0];
    assert_eq!((cargo.offer, cargo.count, cargo.mass_kg), (0, 5, 5500.0));
    assert_eq!((cargo.price, found[0].mass_kg()), (5000.0, 5500.0));
    assert_eq!(cargo.order_by_s, 6 * 86_400);
}

/// A boat every half hour from the fourth day on: of four hundred calls the last comes 199 h 30 min after the first.
#[test]
fn no_more_than_four_hundred_calls() {
    let (mut list, one) = (small("", "3 d"), need(Duty::BottomMix, 0.02, 0.0, 0.0));
    list.boat = list.boat.map(|b| Calls { every_s: 1800, ..b });
    let unit = usable(&list.offers[0], &one).real_mol;
    // Under its minimum from the last day on.
    let course = falling(15.5, 1.0, 14, unit);
    assert_eq!(course.below_minimum(), (Some(14), Some(14)));
    let (found, _) = boats(
        std::slice::from_ref(&one),
        &[course],
        &list,
        None,
        By::Price,
    );
    let calls: Vec<(usize, i64)> = found.iter().map(|b| (b.call, b.at_s)).collect();
    assert_eq!(calls, [(399, 4 * 86_400 + 399 * 1800)]);
}

/// A boat that takes 3.3 t takes three frames. What it has no room for goes on the one before, as one line, if that can still
/// be ordered: three days before the fourth, and not a second later.
#[test]
fn what_a_boat_has_no_room_for_goes_on_the_one_before() {
    let one = need(Duty::BottomMix, 0.02, 0.0, 0.0);
    for takes in [", takes: Units(3)", ", takes: Mass(\"3.3 t\")"] {
        let list = small(takes, "3 d");
        let unit = usable(&list.offers[0], &one).real_mol;
        let ask = |earliest_s: i64| {
            let course = falling(10.0, 1.0, 13, unit);
            boats(
                std::slice::from_ref(&one),
                &[course],
                &list,
                Some(earliest_s),
                By::Price,
            )
        };
        let (found, refused) = ask(86_400);
        let told: Vec<(i64, usize, u32)> = found
            .iter()
            .map(|b| (b.at_s / 86_400, b.cargo.len(), b.units()))
            .collect();
        assert_eq!((told, refused), (vec![(4, 1, 2), (9, 1, 3)], Vec::new()));
        let (found, refused) = ask(86_401);
        assert_eq!(found.iter().map(Boat::units).collect::<Vec<_>>(), [3]);
        let full = Refusal {
            need: 0,
            why: Why::BoatFull { call_s: 9 * 86_400 },
        };
        assert_eq!(refused, [full]);
    }
}

/// Of two gases that go on an earlier boat each keeps its own line.
#[test]
fn each_gas_keeps_its_own_line_on_an_earlier_boat() {
    let list = small(", takes: Units(4)", "1 d");
    let list = Supplier {
        boat: list.boat.map(|b| Calls {
            first_s: 86_400,
            every_s: 2 * 86_400,
            ..b
        }),
        ..list
    };
    let needs = [
        need(Duty::BottomMix, 0.02, 0.0, 0.0),
        need(Duty::BottomMix, 0.02, 0.0, 0.0),
    ];
    let unit = usable(&list.offers[0], &needs[0]).real_mol;
    // Until the ninth day enough, then five units short of each.
    let sudden = || {
        let mut left = vec![9.0 * unit; 9];
        left.extend([-3.0 * unit; 2]);
        Course {
            median_mol: left.clone(),
            planned_mol: left,
            minimum_mol: 2.0 * unit,
        }
    };
    let (found, refused) = boats(&needs, &[sudden(), sudden()], &list, None, By::Price);
    assert!(refused.is_empty(), "{refused:?}");
    let told: Vec<(i64, Vec<(usize, u32)>)> = found
        .iter()
        .map(|b| {
            let cargo = b.cargo.iter().map(|c| (c.need, c.count));
            (b.at_s / 86_400, cargo.collect())
        })
        .collect();
    assert_eq!(
        told,
        [
            (5, vec![(0, 1), (1, 1)]),
            (7, vec![(1, 4)]),
            (9, vec![(0, 4)])
        ],
        "the last of the list goes first"
    );
}
