//! A bill by hand of a whole job: what moved for each purpose, from the entries, against closed forms made of the
//! figures that stand in the files of the short job and of the six-man spread (typed here again), of who was seen to
//! do what when, and of textbook formulas. Free gas is ideal; at depth helium's compressibility at 30 degC is
//! 1 + 0.0045 p/MPa, which holds for heliox within its measurement (Undersea Biomedical Research 1982, abstract).

use super::*;
use deepstay_core::gas::{Amounts, Species};
use deepstay_core::record::{BellPhase, BreathingPath, Finding, Phase, Routine, Whereabouts};
use deepstay_plant::Activity;
use std::sync::OnceLock;

/// Storage and work, msw, and the absolute pressure there by 10 kPa a metre, Pa.
const STORAGE_PA: f64 = DECK_PA + 60.0 * 1e4;
/// Gas volumes, m3: living, transfer and rescue chamber, trunk, medical and equipment lock.
const CHAMBERS_M3: [f64; 3] = [24.0, 9.0, 12.0];
const TRUNK_M3: f64 = 1.5;
const MEDICAL_LOCK_M3: f64 = 0.07;
const EQUIPMENT_LOCK_M3: f64 = 0.5;
/// What reclaim brings back of what is breathed out.
const RECOVERY: f64 = 0.88;
/// Temperature at which the trade counts gas, and one litre a minute of it at 1 atm as mol/s.
const FREE_K: f64 = 288.15;

/// Moles in a volume by the ideal gas and the compressibility above.
fn mol(p_pa: f64, v_m3: f64, t_k: f64) -> f64 {
    p_pa * v_m3 / (GAS_J_MOL_K * t_k * (1.0 + 0.0045e-6 * p_pa))
}

/// Litres a minute at a temperature and 1 atm as mol/s.
fn l_min(litres: f64, t_k: f64) -> f64 {
    litres * 1e-3 / 60.0 * DECK_PA / (GAS_J_MOL_K * t_k)
}

/// Molar masses of the record's six species, kg/mol (standard atomic weights; the trace is methane).
const KG_MOL: [f64; 6] = [
    4.0026e-3, 31.999e-3, 28.013e-3, 44.010e-3, 18.015e-3, 16.043e-3,
];

fn kg(n: &Amounts) -> f64 {
    n.0.iter().zip(KG_MOL).map(|(n, m)| n * m).sum()
}

fn near(what: &str, is: f64, by_hand: f64, within: f64) {
    println!(
        "{what}: {is:.2} mol, by hand {by_hand:.2} ({:+.2} %)",
        (is / by_hand - 1.0) * 100.0
    );
    assert!(
        (is / by_hand - 1.0).abs() < within,
        "{what}: {is} mol, by hand {by_hand}"
    );
}

/// The short job, run once for all tests of this file.
fn ran() -> &'static Ran {
    static RAN: OnceLock<Ran> = OnceLock::new();
    RAN.get_or_init(|| run_looking(short(), i64::MAX, 10))
}

fn phase_s(wanted: Phase) -> i64 {
    let living = CompartmentId(0);
    let is = |w: &What| matches!(w, What::Phase { compartment, phase } if *compartment == living && *phase == wanted);
    ran().when(is)[0]
}

/// A span at storage, all chambers at rest: from the first evening to the last run's end.
fn storage() -> (i64, i64) {
    (
        phase_s(Phase::Storage) + 4 * 3600,
        phase_s(Phase::Decompression),
    )
}

fn place(name: &str) -> Place {
    Place::Compartment(named(&ran().scenario, name))
}

fn chambers() -> [Place; 3] {
    ["Living", "Transfer", "Rescue"].map(place)
}

fn bank(p: Place) -> bool {
    matches!(p, Place::Bank(_))
}

const EVER: (i64, i64) = (i64::MIN, i64::MAX);

/// What a diver takes and breathes by activity: litres of oxygen and of carbon dioxide a minute at 0 degC and 1 atm,
/// litres of gas a minute at his pressure (ISO 8996 classes, recalled; in water at the standard's high class).
fn rates(activity: Activity) -> (f64, f64, f64) {
    match activity {
        Activity::Sleep => (0.25, 0.21, 6.0),
        Activity::Rest => (0.30, 0.26, 8.0),
        Activity::Chores | Activity::Bellman => (0.53, 0.45, 15.0),
        Activity::Exercise => (0.87, 0.74, 22.0),
        Activity::WaterRest => (0.64, 0.544, 14.4),
        Activity::WaterLight => (0.87, 0.74, 22.0),
        Activity::WaterModerate => (1.22, 1.04, 30.0),
        Activity::WaterHeavy => (1.5, 1.28, 40.0),
    }
}

/// Stretches of one diver's job: from, to, where, what he breathes, what he does.
fn stretches(diver: DiverId) -> Vec<(i64, i64, Whereabouts, BreathingPath, Activity)> {
    let mut changes: Vec<(i64, usize, Change)> = Vec::new();
    for (at, d, activity) in &ran().doing {
        if *d == diver {
            changes.push((*at, changes.len(), Change::Does(*activity)));
        }
    }
    for e in &ran().entries {
        match e.what {
            What::Diver { diver: d, to } if d == diver => {
                changes.push((e.at, changes.len(), Change::Is(to)))
            }
            What::Breathing { diver: d, path, .. } if d == diver => {
                changes.push((e.at, changes.len(), Change::Breathes(path)));
            }
            _ => {}
        }
    }
    changes.sort_by_key(|(at, order, _)| (*at, *order));
    let (mut at, mut path, mut does) = (Whereabouts::Deck, BreathingPath::Ambient, Activity::Rest);
    let mut found = Vec::new();
    for (k, (from, _, change)) in changes.iter().enumerate() {
        match change {
            Change::Does(activity) => does = *activity,
            Change::Is(to) => at = *to,
            Change::Breathes(by) => path = *by,
        }
        let to = changes.get(k + 1).map_or(ran().now_s, |next| next.0);
        if to > *from {
            found.push((*from, to, at, path, does));
        }
    }
    found
}

enum Change {
    Does(Activity),
    Is(Whereabouts),
    Breathes(BreathingPath),
}

/// Sums over all divers of seconds of a stretch times a rate, by a question about the stretch.
fn over_people(of: impl Fn(Whereabouts, BreathingPath, Activity, i64, i64) -> f64) -> f64 {
    let divers = (0..6).map(DiverId);
    divers
        .flat_map(stretches)
        .map(|(from, to, at, path, does)| of(at, path, does, from, to))
        .sum()
}

/// 60 msw of bottom mix and oxygen from 12 degC on deck to what the chambers have on arrival.
#[test]
fn pressing() {
    let arrived = phase_s(Phase::Storage);
    let pressed = ran().moved(
        (0, arrived),
        |from, to, purpose| {
            bank(from)
                && chambers().contains(&to)
                && matches!(purpose, Purpose::BlowDown | Purpose::Oxygen)
        },
        Amounts::total,
    );
    let by_hand: f64 = ["Living", "Transfer", "Rescue"]
        .into_iter()
        .zip(CHAMBERS_M3)
        .map(|(name, v)| {
            let t_k = ran().truly(named(&ran().scenario, name), Quantity::Temperature, arrived);
            mol(STORAGE_PA, v, t_k) - mol(DECK_PA, v, 285.15)
        })
        .sum();
    near("pressing", pressed, by_hand, 0.01);
}

/// The volume tank of the loop that divers breathe from.
fn tank() -> Place {
    Place::Compartment(named(&ran().scenario, "Reclaim"))
}

/// Divers' gas for the water: to the sea, to bodies, and back into the loop.
fn divers_gas() -> (f64, f64, f64) {
    let sum = |purpose: Purpose, to_is: &dyn Fn(Place) -> bool| {
        ran().moved(
            EVER,
            |from, to, p| (bank(from) || from == tank()) && to_is(to) && p == purpose,
            Amounts::total,
        )
    };
    (
        sum(Purpose::DiverGas, &|to| to == Place::Sea),
        sum(Purpose::DiverGas, &|to| to == Place::Body),
        sum(Purpose::Reclaimed, &|to| to == tank()),
    )
}

fn wet(at: Whereabouts) -> bool {
    matches!(at, Whereabouts::Water(_))
}

/// Each man in the water breathes his litres at the pressure of the sea over him, counted at 15 degC.
#[test]
fn breathed_in_the_water() {
    let by_hand = over_people(|at, path, does, from, to| {
        if !wet(at) || path != BreathingPath::Main {
            return 0.0;
        }
        let m3_s = rates(does).2 * 1e-3 / 60.0;
        (from..to)
            .step_by(60)
            .map(|t| {
                let s = (to - t).min(60) as f64;
                let tide = 1.2 * libm::sin(std::f64::consts::TAU * t as f64 / (12.4206 * 3600.0));
                mol(STORAGE_PA + tide * 1e4, m3_s * s, FREE_K)
            })
            .sum()
    });
    let (lost, body, back) = divers_gas();
    near("breathed in the water", lost + body + back, by_hand, 0.005);
    assert!(by_hand > 25_000.0, "ten runs of twice three hours");
}

/// The oxygen of a man in the water is counted at 0 degC.
#[test]
fn oxygen_taken_in_the_water() {
    let by_hand = over_people(|at, _, does, from, to| {
        if wet(at) {
            l_min(rates(does).0, 273.15) * (to - from) as f64
        } else {
            0.0
        }
    });
    near("oxygen taken in the water", divers_gas().1, by_hand, 0.005);
}

/// Of what is breathed out reclaim brings back its share, and the sea gets what is left.
#[test]
fn brought_back_by_reclaim() {
    let (lost, _, back) = divers_gas();
    near(
        "brought back by reclaim",
        back,
        RECOVERY * (back + lost),
        1e-9,
    );
}

/// What bodies take from the chambers' gas and give to it, by what each does; and what is given goes into absorbent or
/// is let go with the gas, but for the little that stays.
#[test]
fn bodies() {
    let inside = |at| matches!(at, Whereabouts::In(_));
    let by_hand = |of: &dyn Fn(Activity) -> f64| {
        over_people(|at, path, does, from, to| {
            if inside(at) && path == BreathingPath::Ambient {
                l_min(of(does), 273.15) * (to - from) as f64
            } else {
                0.0
            }
        })
    };
    let (o2, co2) = (by_hand(&|a| rates(a).0), by_hand(&|a| rates(a).1));
    let sum = |of: Species| {
        ran().moved(
            EVER,
            |from, to, p| {
                matches!(from, Place::Compartment(_))
                    && to == Place::Body
                    && p == Purpose::Metabolism
            },
            |n| n[of],
        )
    };
    near("oxygen taken in the chambers", sum(Species::O2), o2, 0.002);
    near(
        "carbon dioxide given in the chambers",
        -sum(Species::Co2),
        co2,
        0.002,
    );
    let absorbed = ran().moved(
        EVER,
        |from, to, p| {
            matches!(to, Place::Absorbent(_)) && from != tank() && p == Purpose::Absorption
        },
        |n| n[Species::Co2],
    );
    let let_go = ran().moved(
        EVER,
        |from, to, _| {
            let stays = matches!(
                to,
                Place::Compartment(_) | Place::Absorbent(_) | Place::Body
            );
            matches!(from, Place::Compartment(_)) && from != tank() && !stays
        },
        |n| n[Species::Co2],
    );
    near("absorbed and let go", absorbed + let_go, co2, 0.02);
}

/// The trunk's gas goes at each lock-off: from the chambers' pressure to the deck's, at about the chambers' warmth.
#[test]
fn trunk_vents() {
    let mut vents = 0;
    let (from_s, to_s) = storage();
    let begun = |wanted: BellPhase| {
        ran().when(|w| matches!(w, What::BellPhase { phase, .. } if *phase == wanted))
    };
    for (seal, lowering) in begun(BellPhase::Seal)
        .into_iter()
        .zip(begun(BellPhase::Lowering))
    {
        if !(from_s..to_s).contains(&seal) {
            continue;
        }
        let vented = ran().moved(
            (seal, lowering),
            |from, to, p| {
                from == place("Trunk") && to == Place::Atmosphere && p == Purpose::TrunkVent
            },
            Amounts::total,
        );
        let by_hand = mol(STORAGE_PA, TRUNK_M3, 297.0) - mol(DECK_PA, TRUNK_M3, 270.0);
        near("a trunk vented", vented, by_hand, 0.04);
        vents += 1;
    }
    assert!(vents >= 9, "{vents}");
}

/// How often the ship's clock, 06:00 at second 0, shows one of these times of day in a span.
fn times((from_s, to_s): (i64, i64), clock: &[(i64, i64)]) -> usize {
    let shows = |t: i64| {
        let of_day = (t + 6 * 3600).rem_euclid(86_400);
        clock.iter().any(|(h, m)| of_day == h * 3600 + m * 60)
    };
    (from_s..to_s).filter(|t| shows(*t)).count()
}

/// A run of a lock lets its volume of chamber gas go, once. Meals go through the medical lock at their four hours,
/// laundry at 10:00 and stores at 15:00 through the equipment lock, and a run for each charge of absorbent used.
#[test]
fn lock_runs() {
    let span = storage();
    let warm_k = ran().truly(
        named(&ran().scenario, "Living"),
        Quantity::Temperature,
        span.1,
    );
    for (lock, volume_m3, served) in [
        (
            "Medical lock",
            MEDICAL_LOCK_M3,
            &[(0, 30), (6, 30), (12, 30), (18, 30)][..],
        ),
        ("Equipment lock", EQUIPMENT_LOCK_M3, &[(10, 0), (15, 0)]),
    ] {
        let charges = ran().when(|w| {
            matches!(
                w,
                What::Found {
                    finding: Finding::AbsorbentSpent,
                    ..
                }
            )
        });
        let brought_in = charges
            .iter()
            .filter(|at| lock == "Equipment lock" && (span.0..span.1).contains(at))
            .count();
        let runs = times(span, served) + brought_in;
        let let_go = ran().moved(
            span,
            |from, to, p| from == place(lock) && to == Place::Atmosphere && p == Purpose::LockRun,
            Amounts::total,
        );
        let each = mol(STORAGE_PA, volume_m3, warm_k) - mol(DECK_PA, volume_m3, warm_k);
        near(
            &format!("{runs} runs of the {lock}"),
            let_go,
            runs as f64 * each,
            0.03,
        );
        assert!(runs >= 7, "{runs}");
    }
}

/// A flush opens the 6 mm drain (discharge 0.7) by half for three seconds on a tank at low pressure: choked flow of
/// the gas that leaves, G p A / sqrt(R T M) with G = 0.7262 for a gas of nearly all helium (any gas-dynamics text).
#[test]
fn flushes() {
    let (from_s, to_s) = storage();
    let drained = |of: &dyn Fn(&Amounts) -> f64| {
        ran().moved(
            (from_s, to_s),
            |from, to, p| {
                from == place("Transfer") && to == place("Holding tank") && p == Purpose::Flush
            },
            of,
        )
    };
    let flushed = |w: &What| {
        matches!(
            w,
            What::Routine {
                routine: Routine::Toilet | Routine::Shower,
                ..
            }
        )
    };
    let flushes = ran()
        .when(flushed)
        .into_iter()
        .filter(|t| (from_s..to_s).contains(t))
        .count();
    let total = drained(&Amounts::total);
    let molar_kg = drained(&kg) / total;
    let t_k = ran().truly(
        named(&ran().scenario, "Transfer"),
        Quantity::Temperature,
        to_s,
    );
    let area_m2 = 0.7 * std::f64::consts::FRAC_PI_4 * 0.006 * 0.006 * 0.5;
    let each = 3.0 * 0.7262 * STORAGE_PA * area_m2 / (GAS_J_MOL_K * t_k * molar_kg).sqrt();
    near(
        &format!("{flushes} flushes"),
        total,
        flushes as f64 * each,
        0.05,
    );
    assert!(flushes > 60, "{flushes}");
}

/// Half a litre a minute of free gas (0 degC, 1 atm) from each of three chambers to its analysers.
#[test]
fn samples() {
    let (from_s, to_s) = storage();
    for name in ["Living", "Transfer", "Rescue"] {
        let sampled = ran().moved(
            (from_s, to_s),
            |from, to, p| from == place(name) && to == Place::Atmosphere && p == Purpose::Sample,
            Amounts::total,
        );
        // What a log row tells of may have begun a row before.
        near(
            name,
            sampled,
            l_min(0.5, 273.15) * (to_s - from_s) as f64,
            0.005,
        );
    }
}

/// The steel leaks 0.3 % of its gas a day where that gas is heliox of 4 %, on which the hole is sized. A heavier gas
/// goes more slowly by the root of the molar masses (choked flow; the chambers hold the nitrogen of the first air).
#[test]
fn leaks() {
    let (from_s, to_s) = storage();
    let days = (to_s - from_s) as f64 / 86_400.0;
    for (name, volume_m3) in ["Living", "Transfer", "Rescue"]
        .into_iter()
        .zip(CHAMBERS_M3)
    {
        let leaked = |of: &dyn Fn(&Amounts) -> f64| {
            ran().moved(
                (from_s, to_s),
                |from, to, p| from == place(name) && to == Place::Atmosphere && p == Purpose::Leak,
                of,
            )
        };
        let total = leaked(&Amounts::total);
        let lighter = (0.96 * KG_MOL[0] + 0.04 * KG_MOL[1]) / (leaked(&kg) / total);
        let t_k = ran().truly(named(&ran().scenario, name), Quantity::Temperature, to_s);
        let held = mol(STORAGE_PA, volume_m3, t_k);
        near(name, total, 0.003 * days * held * lighter.sqrt(), 0.03);
    }
}

/// From storage to the deck the chambers let go what they held more than air, and what oxygen was put in on the way,
/// less what bodies took of it and what went another way.
#[test]
fn bleeding() {
    let (start, end) = (phase_s(Phase::Decompression), phase_s(Phase::Surface));
    let out = |counts: &dyn Fn(Purpose) -> bool| {
        ran().moved(
            (start, end),
            |from, to, p| chambers().contains(&from) && !chambers().contains(&to) && counts(p),
            Amounts::total,
        )
    };
    let bled = out(&|p| p == Purpose::Bleed);
    let elsewhere = out(&|p| {
        use Purpose::{Flush, Leak, LockRun, Sample, Transfer};
        matches!(p, Sample | Leak | LockRun | Flush | Transfer)
    });
    let added = ran().moved(
        (start, end),
        |from, to, _| bank(from) && chambers().contains(&to),
        Amounts::total,
    );
    let held: f64 = ["Living", "Transfer", "Rescue"]
        .into_iter()
        .zip(CHAMBERS_M3)
        .map(|(name, v)| {
            let at = |s| ran().truly(named(&ran().scenario, name), Quantity::Temperature, s);
            mol(STORAGE_PA, v, at(start)) - mol(DECK_PA, v, at(end))
        })
        .sum();
    let taken = over_people(|_, _, does, from, to| {
        let (from, to) = (from.max(start), to.min(end));
        l_min(rates(does).0, 273.15) * (to - from).max(0) as f64
    });
    near("bled", bled, held + added - taken - elsewhere, 0.02);
}

/// Over days at storage what is put in makes up for what closed forms say is lost and breathed.
#[test]
fn making_up() {
    let span = storage();
    let put_in = ran().moved(
        span,
        |from, to, p| {
            bank(from) && chambers().contains(&to) && matches!(p, Purpose::MakeUp | Purpose::Oxygen)
        },
        Amounts::total,
    );
    let outer = ["Medical lock", "Equipment lock", "Holding tank"].map(place);
    let lost = ran().moved(
        span,
        |from, to, p| {
            use Purpose::{Flush, Leak, LockRun, Sample};
            (chambers().contains(&from) || outer.contains(&from))
                && to == Place::Atmosphere
                && matches!(p, Leak | Sample | LockRun | Flush)
        },
        Amounts::total,
    );
    let lived = over_people(|at, _, does, from, to| {
        let (from, to) = (from.max(span.0), to.min(span.1));
        match at {
            Whereabouts::In(c) if chambers().contains(&Place::Compartment(c)) => {
                l_min(rates(does).0, 273.15) * (to - from).max(0) as f64
            }
            _ => 0.0,
        }
    });
    // Each trunk that is opened gives the chambers a little of what the bell's supply had pressed into it.
    let trunk = ran().moved(
        span,
        |from, to, p| from == place("Transfer") && to == place("Trunk") && p == Purpose::Transfer,
        Amounts::total,
    );
    near("made up", put_in, lost + lived + trunk, 0.03);
    let elsewhere = ran().moved(
        EVER,
        |_, _, p| matches!(p, Purpose::Bibs | Purpose::Recovery | Purpose::Fault),
        Amounts::total,
    );
    assert_eq!(
        elsewhere, 0.0,
        "nothing of this job is booked under masks, recovery or faults"
    );
}
