//! Alarms of what feeds the lines that are breathed from, by sums by hand: a regulator wants 10 bar over those who
//! breathe (the spread's), and the common panel rings with 10 bar more for masks, so at 20 bar on the gauge at the
//! surface; a line that nothing feeds has nothing over.

use super::*;
use deepstay_core::record::{
    AlarmState, Aspect, BreathingLine, BreathingPath, LineName, Spoken, Station, Whereabouts,
};
use deepstay_plant::{Order, PeopleOrder, SteelOrder};

const HOUR_S: i64 = 3600;

/// Six men on masks in the living chamber at the surface, from a treatment bank of 16 x 50 L filled to so many bar;
/// nobody at either station.
fn on_masks(fill_bar: f64) -> (Job, LineName, BankId) {
    let mut s = short();
    s.plan.bell_runs.clear();
    let bank = s.steel.banks.iter().position(|b| b.name == "T-1");
    let bank = BankId(bank.expect("T-1") as u8);
    s.steel.banks[bank.index()].fill_gauge_pa = fill_bar * BAR_PA;
    let living = named(&s, "Living");
    let line = LineName::Bibs(living);
    let options = Options::default()
        .stations(Sitter::Nobody)
        .harm(Harm::GoesOn);
    let mut job = Job::new(Arc::new(s), options);
    let divers: Vec<DiverId> = job.crew().ids().collect();
    let mut order = |order| job.order(Station::Student, order);
    order(Order::Steel(SteelOrder::LineUp { line, bank }));
    for diver in divers {
        let (to, path) = (Whereabouts::In(living), BreathingPath::Bibs);
        order(Order::People(PeopleOrder::Go { diver, to }));
        order(Order::People(PeopleOrder::Breathe { diver, path }));
    }
    (job, line, bank)
}

/// What the masks' supply alarm told: second, state, value.
fn told(entries: &[Entry]) -> Vec<(i64, AlarmState, f64)> {
    let of = |e: &Entry| match e.what {
        What::Alarm {
            name, state, value, ..
        } if name.aspect == Aspect::Supply(BreathingLine::Bibs) => Some((e.at, state, value)),
        _ => None,
    };
    entries.iter().filter_map(of).collect()
}

fn first_no_gas(entries: &[Entry]) -> Option<i64> {
    let says = |e: &Entry| {
        matches!(
            e.what,
            What::Said {
                report: Spoken::NoGas,
                ..
            }
        )
    };
    entries.iter().find(|e| says(e)).map(|e| e.at)
}

/// From 21 bar it rings at 20 bar, and the men notice nothing until it shows 10 bar: 0.8 m3 by 10 bar lie between, 8 m3
/// free, for which six men at rest, with no more than 20 L/min each, need over an hour.
#[test]
fn a_bank_that_runs_empty_rings_long_before_anybody_notices() {
    let (mut job, _, bank) = on_masks(21.0);
    let again = job.clone();
    let mut entries: Vec<Entry> = Vec::new();
    let _ = job.advance_to(8 * HOUR_S, &mut entries);
    let rung = told(&entries);
    let (rang_s, state, value) = rung[0];
    assert_eq!(state, AlarmState::Unacknowledged);
    assert!((value - 10.0).abs() < 0.01, "{value}");
    let noticed_s = first_no_gas(&entries).expect("it runs empty");
    let gauge_bar = |at_s: i64| {
        let mut then = again.clone();
        let _ = then.advance_to(at_s, &mut Vec::new());
        (then.plant().bank_pa(bank, at_s) - then.scenario().steel.surface_pa) / BAR_PA
    };
    let (at_ring, at_notice) = (gauge_bar(rang_s), gauge_bar(noticed_s));
    println!(
        "rings at {at_ring:.2} bar, noticed {} s later at {at_notice:.2} bar",
        noticed_s - rang_s
    );
    assert!((at_ring - 20.0).abs() < 0.05, "{at_ring}");
    assert!((at_notice - 10.0).abs() < 0.05, "{at_notice}");
    assert!(noticed_s - rang_s > HOUR_S, "{} s", noticed_s - rang_s);
}

/// The bank's stop shut on a full bank: it rings at once, with nothing left. Men who get nothing take the mask off within
/// the minute; then nobody breathes from the line, the alarm has returned, and a bank that is shut off rings nothing.
#[test]
fn a_line_that_nothing_feeds_rings_at_once_and_only_while_it_is_breathed_from() {
    let (mut job, line, bank) = on_masks(150.0);
    let mut entries: Vec<Entry> = Vec::new();
    let _ = job.advance_to(600, &mut entries);
    assert_eq!(told(&entries), []);
    let order = |job: &mut Job, order| job.order(Station::Student, Order::Steel(order));
    order(&mut job, SteelOrder::BankStop { bank, shut: true });
    let _ = job.advance_to(660, &mut entries);
    let all = told(&entries);
    let [(rang_s, rang, left), (returned_s, returned, _)] = all[..] else {
        panic!("{all:?}");
    };
    assert!((600..=602).contains(&rang_s), "{rang_s}");
    assert_eq!((rang, left), (AlarmState::Unacknowledged, 0.0));
    assert!(returned_s < 660, "{returned_s}");
    assert_eq!(returned, AlarmState::ReturnedUnacknowledged);
    let off = |d| job.crew().path(d) == BreathingPath::Ambient;
    assert!(job.crew().ids().all(off));
    order(&mut job, SteelOrder::BankStop { bank, shut: false });
    order(&mut job, SteelOrder::LineOff { line });
    let _ = job.advance_to(900, &mut entries);
    assert_eq!(told(&entries).len(), 2, "{:?}", told(&entries));
}
