//! What one simulated job leaves behind, counted from entries made up by hand: the stock at midnight, what each movement was
//! for, canisters, bell runs, weather, and what divers used.

use deepstay_core::gas::{Amounts, Species};
use deepstay_core::record::{BellPhase, Entry, Phase, Refused, Sink, Station, Stopped, What};
use deepstay_core::units::{BankId, CompartmentId, DiverId, Place, Purpose};
use deepstay_job::{Job, Options};
use deepstay_plant::Duty;
use deepstay_scenario::{Scenario, load};
use deepstay_stock::{Drawn, How, Replicate, Tally, USES, Use, gases};
use std::sync::{Arc, LazyLock};

const DAY_S: i64 = 86_400;
/// The last second of the jobs here.
const END_S: i64 = 7200;
const DAYS: usize = 3;

/// Who hears nothing of what a job does by itself.
struct Deaf;

impl Sink for Deaf {
    fn take(&mut self, _: Entry) {}
}

static SIX_MAN: LazyLock<Scenario> = LazyLock::new(|| load("six-man").expect("built in"));

/// The job, two hours old: its own entries are not heard.
static OVER: LazyLock<Job> = LazyLock::new(|| {
    let mut job = Job::new(Arc::new(six_man()), Options::default());
    let _ = job.advance_to(END_S, &mut Deaf);
    assert_eq!(job.now(), END_S);
    job
});

fn six_man() -> Scenario {
    SIX_MAN.clone()
}

fn bank(name: &str) -> Place {
    let at = SIX_MAN.steel.banks.iter().position(|b| b.name == name);
    Place::Bank(BankId(at.expect(name) as u8))
}

fn vessel(name: &str) -> CompartmentId {
    let compartments = &SIX_MAN.steel.compartments;
    let at = compartments.iter().position(|c| c.name == name);
    CompartmentId(at.expect(name) as u8)
}

fn room(name: &str) -> Place {
    Place::Compartment(vessel(name))
}

/// Place of a gas in the list of a stock, by one of its banks.
fn gas(name: &str) -> usize {
    let Place::Bank(bank) = bank(name) else {
        panic!("{name}")
    };
    let all = gases(&SIX_MAN.steel);
    all.iter()
        .position(|g| g.banks.contains(&bank))
        .expect(name)
}

fn of(species: Species, mol: f64) -> Amounts {
    let mut moles = Amounts::ZERO;
    moles[species] = mol;
    moles
}

fn opening(name: &str, mol: f64) -> What {
    What::Opening {
        place: bank(name),
        moles: of(Species::He, mol),
    }
}

fn moved(from: Place, to: Place, purpose: Purpose, mol: f64) -> What {
    What::Moved {
        from,
        to,
        purpose,
        moles: of(Species::He, mol),
    }
}

/// What is left behind by a job of a scenario with these entries.
fn left_by(scenario: Scenario, entries: &[(i64, What)]) -> Replicate {
    let gases = gases(&scenario.steel);
    let mut tally = Tally::new(7, &scenario, &gases);
    for &(at, what) in entries {
        tally.take(Entry { at, what });
    }
    tally.done(&OVER, DAYS).0
}

fn made(entries: &[(i64, What)]) -> Replicate {
    left_by(six_man(), entries)
}

/// Stock of a gas at the start and at the end of each day.
fn by_day(made: &Replicate, name: &str) -> Vec<f64> {
    let all = gases(&SIX_MAN.steel).len();
    let days = made.left_mol.chunks(all);
    days.map(|day| day[gas(name)]).collect()
}

/// 100 and 50 are loaded; 5 go at midnight of the first day, 7 a second after, 2 come back at midnight of the second. What
/// nobody touches stays, and after the last entry all stays as it was.
#[test]
fn what_moves_up_to_midnight_belongs_to_the_day_that_ends() {
    let living = room("Living");
    let made = made(&[
        (0, opening("M-1", 100.0)),
        (0, opening("M-2", 50.0)),
        (0, opening("D-1", 40.0)),
        (
            0,
            What::Opening {
                place: living,
                moles: of(Species::N2, 900.0),
            },
        ),
        (DAY_S, moved(bank("M-1"), living, Purpose::MakeUp, 5.0)),
        (DAY_S + 1, moved(bank("M-2"), living, Purpose::MakeUp, 7.0)),
        (
            2 * DAY_S,
            moved(living, bank("M-2"), Purpose::Recovery, 2.0),
        ),
    ]);
    assert_eq!(by_day(&made, "M-1"), [150.0, 145.0, 140.0, 140.0]);
    assert_eq!(by_day(&made, "D-1"), [40.0; 4]);
    assert_eq!(by_day(&made, "O-1"), [0.0; 4]);
    let make_up: Vec<f64> = made
        .used_mol
        .chunks(USES.len())
        .map(|day| day[Use::MakeUp as usize])
        .collect();
    assert_eq!(make_up, [0.0, 5.0, 12.0, 12.0]);
    assert_eq!((made.number, made.ended_s), (7, END_S));
    assert_eq!(made.how, How::PlanOver);
}

/// Between two banks of one gas nothing is drawn; from one gas into another it is drawn of the one and brought back to the
/// other. What goes to the sea and to the air on deck is lost, whichever gas it was.
#[test]
fn what_is_drawn_brought_back_and_lost() {
    let (living, tank) = (room("Living"), room("Reclaim"));
    let co2 = What::Moved {
        from: living,
        to: Place::Absorbent(vessel("Living")),
        purpose: Purpose::Absorption,
        moles: of(Species::Co2, 6.0).plus(&of(Species::He, 0.5)),
    };
    let made = made(&[
        (0, opening("M-1", 100.0)),
        (1, moved(bank("M-1"), bank("M-2"), Purpose::Transfer, 10.0)),
        (2, moved(bank("D-1"), bank("M-1"), Purpose::Transfer, 3.0)),
        (3, moved(bank("M-1"), living, Purpose::BlowDown, 20.0)),
        (4, moved(bank("M-3"), living, Purpose::BlowDown, 5.0)),
        (5, moved(living, bank("M-1"), Purpose::Recovery, 4.0)),
        (6, moved(living, Place::Atmosphere, Purpose::Leak, 2.0)),
        (7, moved(tank, Place::Sea, Purpose::Leak, 1.0)),
        (8, moved(living, Place::Sea, Purpose::Bleed, 8.0)),
        (9, moved(tank, tank, Purpose::Reclaimed, 50.0)),
        (10, co2),
    ]);
    let told = |all: &[Drawn]| {
        let mut all: Vec<(usize, Purpose, f64)> = all
            .iter()
            .map(|d| (usize::from(d.gas), d.purpose, d.mol))
            .collect();
        all.sort_by_key(|d| (d.0, d.1));
        all
    };
    let (mix, divers) = (gas("M-1"), gas("D-1"));
    assert!(mix < divers);
    assert_eq!(
        told(&made.drawn),
        [
            (mix, Purpose::BlowDown, 25.0),
            (divers, Purpose::Transfer, 3.0)
        ]
    );
    let mut back = told(&made.returned);
    back.sort_by(|a, b| a.2.total_cmp(&b.2));
    assert_eq!(
        back,
        [(mix, Purpose::Transfer, 3.0), (mix, Purpose::Recovery, 4.0)]
    );
    assert_eq!(
        told(&made.lost),
        [(0, Purpose::Bleed, 8.0), (0, Purpose::Leak, 3.0)]
    );
    assert_eq!(made.absorbed_mol, 6.0);
    // 100 + 3 - 25 + 4 of the mix, and 3 of divers' gas that never were loaded.
    assert_eq!(by_day(&made, "M-1")[1], 82.0);
    assert_eq!(by_day(&made, "D-1")[1], -3.0);
}

/// Each movement by itself, and what it is a use of.
#[test]
fn what_each_movement_is_a_use_of() {
    use Use::{Breathed, Leaked, MakeUp, Oxygen, Reclaimed};
    let (living, bell, tank) = (room("Living"), room("Bell"), room("Reclaim"));
    let cases: [(Place, Place, Purpose, &[Use]); 14] = [
        (bank("D-1"), Place::Sea, Purpose::DiverGas, &[Breathed]),
        (bank("D-1"), tank, Purpose::DiverGas, &[]),
        (tank, Place::Sea, Purpose::DiverGas, &[Breathed]),
        (tank, Place::Body, Purpose::DiverGas, &[Breathed]),
        (tank, tank, Purpose::Reclaimed, &[Breathed, Reclaimed]),
        (bank("M-1"), living, Purpose::MakeUp, &[MakeUp]),
        (Place::Atmosphere, living, Purpose::MakeUp, &[]),
        (bank("O-1"), living, Purpose::Oxygen, &[Oxygen]),
        (bell, living, Purpose::Oxygen, &[]),
        (living, Place::Atmosphere, Purpose::Leak, &[Leaked]),
        (living, Place::Atmosphere, Purpose::Fault, &[Leaked]),
        (living, Place::Atmosphere, Purpose::Relief, &[Leaked]),
        (bank("M-1"), living, Purpose::BlowDown, &[]),
        (living, Place::Atmosphere, Purpose::Bleed, &[]),
    ];
    for (from, to, purpose, uses) in cases {
        let made = made(&[
            (1, moved(from, to, purpose, 3.0)),
            (2, moved(from, to, purpose, 4.0)),
        ]);
        let last = &made.used_mol[made.used_mol.len() - USES.len()..];
        let by_hand: Vec<f64> = USES
            .iter()
            .map(|u| if uses.contains(u) { 7.0 } else { 0.0 })
            .collect();
        assert_eq!(last, by_hand, "{from:?} to {to:?}: {purpose:?}");
        assert_eq!(made.used_mol.len(), (DAYS + 1) * USES.len());
    }
}

/// Divers' gas and on-board gas are the divers'; blow-down mix that they breathe stands in for it. Of a stock that has none
/// for divers nothing stands in.
#[test]
fn what_stands_in_for_divers_gas() {
    let breathes = |scenario: Scenario, name: &str, purpose| {
        let entry = (1, moved(bank(name), Place::Sea, purpose, 1.0));
        left_by(scenario, &[entry]).stood_in
    };
    for (name, stands_in) in [
        ("D-1", false),
        ("OB-1", false),
        ("M-1", true),
        ("E-1", true),
    ] {
        assert_eq!(
            breathes(six_man(), name, Purpose::DiverGas),
            stands_in,
            "{name}"
        );
    }
    assert!(!breathes(six_man(), "M-1", Purpose::Leak));
    let mut none = six_man();
    for bank in &mut none.steel.banks {
        if bank.duty == Duty::DiverGas {
            bank.duty = Duty::BottomMix;
        }
    }
    assert!(!breathes(none, "M-1", Purpose::DiverGas));
}

/// Oxygen out of banks into a chamber on its way up: 3 of 4 + 3 + 2 + 1, and 9 that come out of another chamber or for
/// another purpose.
#[test]
fn oxygen_of_the_way_up() {
    let (living, transfer) = (room("Living"), room("Transfer"));
    let phase = |phase| What::Phase {
        compartment: vessel("Living"),
        phase,
    };
    let o2 = |to, mol| moved(bank("O-1"), to, Purpose::Oxygen, mol);
    let made = made(&[
        (1, o2(living, 4.0)),
        (2, phase(Phase::Decompression)),
        (3, o2(living, 3.0)),
        (3, o2(transfer, 2.0)),
        (3, moved(transfer, living, Purpose::Oxygen, 9.0)),
        (3, moved(bank("O-1"), living, Purpose::MakeUp, 9.0)),
        (4, phase(Phase::Storage)),
        (5, o2(living, 1.0)),
    ]);
    assert_eq!(made.oxygen_bleeding_mol, 3.0);
}

/// A canister of the living chamber in the first day and two a second into the second, one of the bell, and one of a vessel
/// that has no scrubber.
#[test]
fn canisters_are_counted_by_their_scrubber() {
    let scenario = six_man();
    let kg = |name: &str| {
        let scrubber = scenario.steel.compartments[vessel(name).index()].scrubber;
        scrubber.map(|s| s.absorbent_kg)
    };
    let (living, bell) = (kg("Living").expect("has one"), kg("Bell").expect("has one"));
    assert_ne!(living, bell);
    assert_eq!(kg("Medical lock"), None);
    let canister = |name: &str| What::Canister {
        compartment: vessel(name),
        hours: 1.0,
        moles: 2.0,
    };
    let made = made(&[
        (DAY_S, canister("Living")),
        (DAY_S + 1, canister("Living")),
        (DAY_S + 1, canister("Living")),
        (DAY_S + 2, canister("Bell")),
        (DAY_S + 3, canister("Medical lock")),
    ]);
    let all: f64 = scenario
        .steel
        .compartments
        .iter()
        .filter_map(|c| Some(c.scrubber?.absorbent_kg))
        .sum();
    let last = 3.0 * living + bell;
    assert_eq!(made.absorbent_changed_kg, [0.0, living, last, last]);
    assert!((made.absorbent_kg - (all + last)).abs() < 1e-9);
    let changed = |name: &str| {
        let mine =
            |c: &&deepstay_stock::Canister| usize::from(c.compartment) == vessel(name).index();
        let found = made.canisters.iter().find(mine);
        found.map(|c| (c.kg, c.changed))
    };
    assert_eq!(changed("Living"), Some((living, 3)));
    assert_eq!(changed("Bell"), Some((bell, 1)));
    assert_eq!(changed("Transfer").map(|c| c.1), kg("Transfer").map(|_| 0));
    assert_eq!(changed("Medical lock"), None);
}

/// Two runs made; of those lost one to the weather, two for want of gas, three for something else. Work was stopped for want
/// of gas when the first of those was lost, or an order found no supply.
#[test]
fn runs_made_and_lost() {
    let bell = vessel("Bell");
    let phase = |phase| What::BellPhase {
        bell,
        run: 0,
        phase,
    };
    let stopped = |why| What::BellStopped { bell, run: 0, why };
    let refused = |why| What::Refused {
        station: Station::Saturation,
        why,
    };
    let made_of = |more: &[(i64, What)]| {
        let mut all = vec![
            (10, phase(BellPhase::Lowering)),
            (20, phase(BellPhase::Done)),
            (30, phase(BellPhase::Done)),
            (40, stopped(Stopped::Weather)),
            (41, stopped(Stopped::Late)),
            (42, stopped(Stopped::Checks)),
            (43, stopped(Stopped::GasUnfit)),
            (44, refused(Refused::NotThere)),
        ];
        all.extend_from_slice(more);
        made(&all)
    };
    let found = made_of(&[]);
    assert_eq!((found.runs_made, found.runs_weather), (2, 1));
    assert_eq!((found.runs_gas, found.runs_other), (0, 3));
    assert_eq!((found.last_dive_s, found.stopped_s), (30, None));
    let gas = made_of(&[
        (50, stopped(Stopped::Gas)),
        (60, refused(Refused::NoSupply)),
        (70, stopped(Stopped::Gas)),
    ]);
    assert_eq!((gas.runs_gas, gas.runs_other), (2, 3));
    assert_eq!(gas.stopped_s, Some(50));
    let order = made_of(&[
        (45, refused(Refused::NoSupply)),
        (50, stopped(Stopped::Gas)),
    ]);
    assert_eq!(order.stopped_s, Some(45));
}

/// Over the limit from 100 to 400 s and from 600 s to the end: told again of what stands already, nothing changes.
#[test]
fn time_over_the_launch_limit() {
    let sea = |stopped| What::Weather { hs_m: 3.5, stopped };
    let spans = [
        (50, sea(false)),
        (100, sea(true)),
        (200, sea(true)),
        (400, sea(false)),
        (500, sea(false)),
    ];
    assert_eq!(made(&spans).weather_s, 300);
    let mut on = spans.to_vec();
    on.push((600, sea(true)));
    assert_eq!(made(&on).weather_s, 300 + END_S - 600);
}

/// Time in the water and oxygen of two divers, 1 000 and 500 s, 1.5 and 2.25 mol.
#[test]
fn what_divers_used() {
    let totals = |diver, water_s, o2_mol| What::DiverTotals {
        diver: DiverId(diver),
        bell_s: 9999,
        water_s,
        pressure_s: 9999,
        o2_mol,
        co2_mol: 77.0,
        uptd: 3.0,
    };
    let made = made(&[(1, totals(0, 1000, 1.5)), (2, totals(1, 500, 2.25))]);
    assert_eq!((made.water_s, made.oxygen_used_mol), (1500, 3.75));
}
