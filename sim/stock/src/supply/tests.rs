//! A load from the built-in list and from small lists of its own: whole units, boats, refusals, sums.

use super::*;
use crate::Gas;
use approx::assert_relative_eq;
use deepstay_core::gas::Amounts;
use deepstay_core::units::FreeReference;
use deepstay_plant::Duty;
use deepstay_scenario::{Supplier, Takes, load_supplier, supplier_from_text};

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
