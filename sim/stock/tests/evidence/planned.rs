//! What a plan would draw, bank by bank, held to sums by hand over the short job: nothing is left out of a purpose, and banks
//! come in the order in which the watch takes them.

use deepstay_core::units::{BankId, FREE, Moles, Purpose};
use deepstay_scenario::{Scenario, load};
use deepstay_stock::planned_gas;

fn short() -> Scenario {
    load("short").expect("built in")
}

/// Free gas planned for a purpose out of a bank, or of all of them, m3.
fn m3(of: &Scenario, purpose: Purpose, bank: Option<u8>) -> f64 {
    let planned = planned_gas(of);
    let mine = planned
        .iter()
        .filter(|p| p.purpose == purpose && bank.is_none_or(|bank| p.bank == Some(BankId(bank))));
    Moles(mine.map(|p| p.mol).sum()).free_m3(FREE)
}

fn without_locks(mut of: Scenario) -> Scenario {
    of.plan.meals_s.clear();
    of.plan.stores_s.clear();
    of.plan.laundry_s = None;
    of
}

/// Six hours in the morning to ten at night three days later at 60 msw: 15 meals through 0.07 m3, four loads of laundry and
/// four of stores through 0.5 m3, each V D/10: 6 (15 x 0.07 + 8 x 0.5) = 30.3 m3. On the way up each run is counted at
/// the depth that is then held; so the whole is more than that and less than if the way up were at 60 msw.
#[test]
fn locks_are_in_the_make_up_and_on_the_way_up() {
    let of = short();
    let locks = |of: &Scenario| {
        m3(of, Purpose::MakeUp, None) - m3(&without_locks(of.clone()), Purpose::MakeUp, None)
    };
    let whole = locks(&of);
    let mut held = of.clone();
    let steps = &mut held.plan.levels[0].steps;
    steps.truncate(1);
    held.plan.end_s = of.plan.levels[0].steps[1].at;
    let at_depth = locks(&held);
    assert!(
        (at_depth - 6.0 * (15.0 * 0.07 + 8.0 * 0.5)).abs() < 1e-6,
        "{at_depth}"
    );
    // Two and a half days of it come up: at the least a day's four meals and two loads from half the depth.
    let (least, most) = (
        3.0 * (4.0 * 0.07 + 2.0 * 0.5),
        6.0 * 3.0 * (4.0 * 0.07 + 2.0 * 0.5),
    );
    let way_up = whole - at_depth;
    assert!((least..most).contains(&way_up), "{way_up}");
    println!("locks at depth {at_depth:.1} m3, on the way up {way_up:.1} m3");
}

/// By duty, then the nearest label, then the emptier; what stands by for open circuit is passed over.
#[test]
fn banks_come_in_the_order_of_the_watch() {
    let of = short();
    let id = |name: &str| {
        let at = of.steel.banks.iter().position(|b| b.name == name);
        at.expect("a bank")
    };
    let drawn = |of: &Scenario, purpose, name: &str| m3(of, purpose, Some(id(name) as u8));
    // As filled: the first of those that are alike.
    assert!(drawn(&of, Purpose::MakeUp, "M-1") > 0.0);
    assert_eq!(drawn(&of, Purpose::MakeUp, "M-2"), 0.0);
    assert!(drawn(&of, Purpose::DiverGas, "D-1") > 0.0);
    assert_eq!(drawn(&of, Purpose::DiverGas, "D-2"), 0.0);
    // A bank that is emptier goes before, one whose label lies farther off comes after.
    let mut other = of.clone();
    other.steel.banks[id("M-3")].fill_gauge_pa *= 0.9;
    assert!(drawn(&other, Purpose::BlowDown, "M-3") > 0.0);
    assert_eq!(drawn(&other, Purpose::BlowDown, "M-1"), 0.0);
    other.steel.banks[id("M-3")].label_o2 = 0.04;
    assert_eq!(drawn(&other, Purpose::MakeUp, "M-3"), 0.0);
    // Helium comes when there is no mix left.
    for name in ["M-1", "M-2", "M-3"] {
        other.steel.banks[id(name)].fill_gauge_pa = 1e5;
    }
    assert!(drawn(&other, Purpose::BlowDown, "H-1") > 0.0);
}

/// Make-up and bell draw from one bank at a time, each its share of both.
#[test]
fn what_is_drawn_side_by_side_is_shared() {
    let of = short();
    let of_bank =
        |bank: u8| [Purpose::MakeUp, Purpose::BellAndTrunk].map(|p| m3(&of, p, Some(bank)));
    let whole = [Purpose::MakeUp, Purpose::BellAndTrunk].map(|p| m3(&of, p, None));
    let mut sums = [0.0; 2];
    for bank in 0..of.steel.banks.len() as u8 {
        let [make_up, bell] = of_bank(bank);
        assert!((make_up * whole[1] - bell * whole[0]).abs() < 1e-6 * whole[0] * whole[1]);
        sums[0] += make_up;
        sums[1] += bell;
    }
    assert!(
        whole
            .iter()
            .zip(sums)
            .all(|(w, s)| (w - s).abs() < 1e-9 && *w > 0.0)
    );
}
