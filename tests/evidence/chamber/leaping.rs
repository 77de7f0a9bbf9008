//! Leaping against anchoring every compartment every second: a day of chamber life on the test
//! spread, the same journal of orders at the same seconds, once with intervals as long as they may be and
//! once with a new one each second.

use super::*;
use deepstay::gas::{SPECIES, Species};
use deepstay::record::Machine;
use deepstay_tests::spread::{self, spread};

const DAY_S: i64 = 86_400;
/// When a chamber set up near its steady state has come to it: some gas-to-wall time constants.
const SETTLED_S: i64 = 3600;

/// What happens at a second: an order, or people.
enum Act {
    Order(SteelOrder),
    People(CompartmentId, f64),
    Shower(f64),
}

fn valve(valve: ValveName, opening: f64) -> Act {
    Act::Order(SteelOrder::Valve {
        valve,
        opening,
        purpose: Purpose::MakeUp,
    })
}

fn door(door: DoorId, open: bool) -> Act {
    Act::Order(SteelOrder::Door { door, open })
}

/// Pressed to about 100 msw, six men moved in, oxygen by hand every two hours, lock runs, a shower, a
/// flush, the trunk and the bell pressed and joined, the living chamber bled a little in the evening.
fn journal() -> Vec<(i64, Act)> {
    use spread::*;
    let switch = |compartment, machine| {
        Act::Order(SteelOrder::Switch {
            compartment,
            machine,
            on: true,
        })
    };
    let line_up = |line, bank: u8| {
        Act::Order(SteelOrder::LineUp {
            line,
            bank: BankId(bank),
        })
    };
    let climate = |compartment| {
        Act::Order(SteelOrder::ClimateSet {
            compartment,
            t_k: 302.65,
            humidity: 0.6,
        })
    };
    let mut acts = vec![
        (0, line_up(LineName::Supply(LIVING), 0)),
        (0, line_up(LineName::Supply(BELL), 0)),
        (0, line_up(LineName::Oxygen(LIVING), 1)),
        (0, climate(LIVING)),
        (0, climate(TRANSFER)),
        (0, switch(LIVING, Machine::Fan)),
        (0, switch(LIVING, Machine::Climate)),
        (0, switch(TRANSFER, Machine::Climate)),
        (0, Act::People(LIVING, 6.0)),
        (60, valve(ValveName::BlowDown(LIVING), 1.0)),
        (1800, valve(ValveName::BlowDown(LIVING), 0.0)),
    ];
    for two_hours in 1..12 {
        let t = two_hours * 7200;
        acts.push((t, valve(ValveName::Oxygen(LIVING), 1.0)));
        acts.push((t + 900, valve(ValveName::Oxygen(LIVING), 0.0)));
    }
    for meal_s in [9_000, 30_000, 60_000] {
        acts.push((meal_s, valve(ValveName::Equalise(D_MED_IN), 1.0)));
        acts.push((meal_s + 120, door(D_MED_IN, true)));
        acts.push((meal_s + 300, door(D_MED_IN, false)));
        acts.push((meal_s + 300, valve(ValveName::Equalise(D_MED_IN), 0.0)));
        acts.push((meal_s + 310, valve(ValveName::Exhaust(MEDLOCK), 1.0)));
        acts.push((meal_s + 500, door(D_MED_OUT, true)));
        acts.push((meal_s + 800, door(D_MED_OUT, false)));
        acts.push((meal_s + 800, valve(ValveName::Exhaust(MEDLOCK), 0.0)));
    }
    acts.extend([
        (20_000, Act::People(LIVING, 4.0)),
        (20_000, Act::People(TRANSFER, 2.0)),
        (20_100, Act::Shower(0.04)),
        (20_700, Act::Shower(0.0)),
        (21_000, valve(ValveName::Drain(TRANSFER), 1.0)),
        (21_004, valve(ValveName::Drain(TRANSFER), 0.0)),
        (24_000, valve(ValveName::Equalise(D_TRUNK), 1.0)),
        (24_000, valve(ValveName::Equalise(D_BELL), 1.0)),
        (25_500, door(D_TRUNK, true)),
        (25_500, door(D_BELL, true)),
        (26_000, Act::People(TRANSFER, 0.0)),
        (26_000, Act::People(BELL, 2.0)),
        (27_000, door(D_TRUNK, false)),
        (27_000, door(D_BELL, false)),
        (27_000, valve(ValveName::Equalise(D_TRUNK), 0.0)),
        (27_000, valve(ValveName::Equalise(D_BELL), 0.0)),
        (27_100, switch(BELL, Machine::Fan)),
        (70_000, valve(ValveName::Bleed(LIVING), 1.0)),
        (73_600, valve(ValveName::Bleed(LIVING), 0.0)),
    ]);
    acts.sort_by_key(|(t, _)| *t);
    acts
}

fn men(count: f64) -> Load {
    Load {
        o2_mol_s: stpd(0.433 * count),
        co2_mol_s: stpd(0.368 * count),
        h2o_mol_s: 2.28 * count / 86_400.0 / 0.018_015_28,
        heat_w: 80.0 * count,
    }
}

/// The air of every compartment at every ten minutes of the day.
fn day(anchor_each_second: bool) -> Vec<(i64, Vec<Air>)> {
    let mut stage = Stage::new(
        spread(),
        Physics {
            anchor_each_second,
            ..Physics::default()
        },
    );
    stage.plant.set_sea(280.15, 0.0, 44_714.0);
    let mut acts = journal().into_iter().peekable();
    let mut seen = Vec::new();
    for look_s in (600..=DAY_S).step_by(600) {
        while let Some((t, act)) = acts.next_if(|(t, _)| *t <= look_s) {
            stage.to(t);
            match act {
                Act::Order(order) => stage.order(order),
                Act::People(c, count) => stage.plant.set_load(t, c, men(count)),
                Act::Shower(mol_s) => stage.plant.set_evaporating(t, spread::TRANSFER, mol_s),
            }
        }
        stage.to(look_s);
        seen.push((
            look_s,
            (0..8)
                .map(|c| stage.plant.air(CompartmentId(c), look_s))
                .collect(),
        ));
    }
    seen
}

/// Greatest relative differences, and where.
#[derive(Default)]
struct Worst {
    value: f64,
    at: String,
}

impl Worst {
    fn see(&mut self, ours: f64, theirs: f64, scale: f64, at: impl Fn() -> String) {
        let relative = (ours - theirs).abs() / scale;
        if relative > self.value {
            *self = Worst {
                value: relative,
                at: at(),
            };
        }
    }
}

/// Holds two runs together, compartment by compartment; prints the worst of each and gives the worst of all.
fn compare(leapt: &[(i64, Vec<Air>)], anchored: &[(i64, Vec<Air>)]) -> f64 {
    let mut worst = 0.0f64;
    for c in 0..leapt[0].1.len() {
        let (mut moles, mut p, mut t) = (Worst::default(), Worst::default(), Worst::default());
        for ((at_s, a), (_, b)) in leapt.iter().zip(anchored) {
            let (a, b) = (a[c], b[c]);
            let total = b.n_mol.total();
            for s in 0..SPECIES {
                moles.see(a.n_mol.0[s], b.n_mol.0[s], total, || {
                    format!("{:?} at {at_s} s", Species::ALL[s])
                });
            }
            p.see(a.p_pa, b.p_pa, b.p_pa, || format!("{at_s} s"));
            t.see(a.t_k, b.t_k, b.t_k, || format!("{at_s} s"));
        }
        println!(
            "compartment {c}: moles {:.1e} ({}), pressure {:.1e} ({}), temperature {:.1e} ({})",
            moles.value, moles.at, p.value, p.at, t.value, t.at
        );
        worst = worst.max(moles.value).max(p.value).max(t.value);
    }
    worst
}

/// A settled chamber behind shut doors: four men, scrubber, climate unit, leak, analysers, oxygen by
/// hand for five minutes every two hours, from a start near where it settles.
fn shut_in(anchor_each_second: bool) -> Vec<(i64, Vec<Air>)> {
    let mut steel = spread();
    steel.compartments.truncate(1);
    steel.doors.clear();
    steel.instruments.clear();
    steel.recovery = None;
    let mut stage = Stage::new(
        steel,
        Physics {
            anchor_each_second,
            ..Physics::default()
        },
    );
    let (p_pa, t_k) = (12.8e5, 302.65);
    let mut x = Amounts::heliox(0.033);
    x.0[4] = 0.5 * deepstay::gas::water::saturation_pa(t_k) / p_pa;
    let n = deepstay::gas::state::total_moles(&x, p_pa, 24.0, t_k);
    stage
        .plant
        .set_air(CHAMBER, x.fractions().scaled(n), t_k, 301.4);
    stage.plant.set_load(0, CHAMBER, men(4.0));
    stage.line_up(LineName::Oxygen(CHAMBER), 1);
    stage.order(SteelOrder::ClimateSet {
        compartment: CHAMBER,
        t_k,
        humidity: 0.6,
    });
    for machine in [Machine::Fan, Machine::Climate] {
        stage.order(SteelOrder::Switch {
            compartment: CHAMBER,
            machine,
            on: true,
        });
    }
    let mut seen = Vec::new();
    for look_s in (300..=DAY_S).step_by(300) {
        stage.to(look_s);
        seen.push((look_s, vec![stage.air()]));
        if look_s % 7200 <= 300 {
            stage.valve(
                ValveName::Oxygen(CHAMBER),
                if look_s % 7200 == 0 { 1.0 } else { 0.0 },
            );
        }
    }
    seen
}

#[test]
fn a_settled_chamber_leaps_as_it_would_step() {
    let (leapt, anchored) = (shut_in(false), shut_in(true));
    let settled = leapt.iter().position(|(t, _)| *t >= SETTLED_S).unwrap();
    println!("first hour:");
    compare(&leapt[..settled], &anchored[..settled]);
    println!("from then on:");
    let worst = compare(&leapt[settled..], &anchored[settled..]);
    assert!(worst < 1e-6, "{worst:.2e}");
}

/// What people are in, to a millionth; locks for things, holding tanks, and a trunk that is joined to nobody, which are
/// followed to three parts in a hundred thousand, to three times that.
#[test]
fn a_working_spread_leaps_as_it_would_step() {
    let (leapt, anchored) = (day(false), day(true));
    let lived_in = |c: usize| {
        !matches!(
            spread().compartments[c].kind,
            CompartmentKind::MedicalLock
                | CompartmentKind::EquipmentLock
                | CompartmentKind::HoldingTank
                | CompartmentKind::Trunk
        )
    };
    for (manned, within) in [(true, 1e-6), (false, 1e-4)] {
        let some = |run: &[(i64, Vec<Air>)]| -> Vec<(i64, Vec<Air>)> {
            let of = |airs: &[Air]| {
                let kept = airs.iter().enumerate();
                let kept = kept.filter(|(c, _)| lived_in(*c) == manned);
                kept.map(|(_, air)| *air).collect()
            };
            run.iter().map(|(t, airs)| (*t, of(airs))).collect()
        };
        println!("lived in: {manned}");
        let worst = compare(&some(&leapt), &some(&anchored));
        assert!(worst < within, "{worst:.2e}");
    }
}
