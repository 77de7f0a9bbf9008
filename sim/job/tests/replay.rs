//! Scenario, seed and the acts from outside make the same job again, bit for bit: acts of all kinds at random
//! seconds, beside the automatic watch and without it, are replayed from their list alone, with other pauses and
//! on another thread, to the same entries and the same state.

use deepstay_core::record::*;
use deepstay_core::units::*;
use deepstay_job::random::{Draw, Streams};
use deepstay_job::{Act, Halt, Harm, Job, Options, OutsideAct, Sitter};
use deepstay_plant::{Activity, Order, PeopleOrder, SteelOrder};
use deepstay_scenario::Scenario;
use std::sync::Arc;

const LAST_S: i64 = 30 * 3600;

fn job_of(name: &str) -> Arc<Scenario> {
    Arc::new(deepstay_scenario::load(name).unwrap_or_else(|bad| panic!("{name}: {bad}")))
}

/// Any act at all: most can be done, some are refused.
fn any_act(draw: &mut Draw, scenario: &Scenario) -> Act {
    let steel = &scenario.steel;
    let c = CompartmentId(draw.below(steel.compartments.len() as u64) as u8);
    let door = DoorId(draw.below(steel.doors.len() as u64) as u8);
    let bank = BankId(draw.below(steel.banks.len() as u64) as u8);
    let diver = DiverId(draw.below(scenario.crew.len() as u64) as u8);
    let yes = draw.below(2) == 0;
    let valve = match draw.below(4) {
        0 => ValveName::BlowDown(c),
        1 => ValveName::Bleed(c),
        2 => ValveName::Oxygen(c),
        _ => ValveName::Equalise(door),
    };
    let steel = |order| Act::Order(Order::Steel(order));
    let people = |order| Act::Order(Order::People(order));
    let instrument = InstrumentId(draw.below(scenario.steel.instruments.len() as u64) as u16);
    match draw.below(23) {
        0 | 1 => steel(SteelOrder::Valve {
            valve,
            opening: draw.below(3) as f64 * 0.02,
            purpose: Purpose::MakeUp,
        }),
        2 => steel(SteelOrder::LineUp {
            line: LineName::Supply(c),
            bank,
        }),
        3 => steel(SteelOrder::Door { door, open: yes }),
        4 => steel(SteelOrder::Switch {
            compartment: c,
            machine: Machine::Fan,
            on: yes,
        }),
        5 => steel(SteelOrder::ClimateSet {
            compartment: c,
            t_k: 300.0 + draw.below(6) as f64,
            humidity: 0.5,
        }),
        6 => steel(SteelOrder::ChangeCanister { compartment: c }),
        7 => steel(SteelOrder::Analyse { bank }),
        8 => people(PeopleOrder::Do {
            diver,
            activity: Activity::Exercise,
        }),
        9 => people(PeopleOrder::Breathe {
            diver,
            path: match yes {
                true => BreathingPath::Bibs,
                false => BreathingPath::Ambient,
            },
        }),
        10 => people(PeopleOrder::Go {
            diver,
            to: Whereabouts::In(c),
        }),
        11 => people(PeopleOrder::Shower { diver, at: c }),
        12 => people(PeopleOrder::ExchangeBailOut { diver }),
        13 => steel(SteelOrder::HullStop {
            compartment: c,
            shut: yes,
        }),
        14 => steel(SteelOrder::BankStop { bank, shut: yes }),
        15 => steel(SteelOrder::Regulator {
            line: LineName::Supply(c),
            over_pa: 1e5 + draw.below(12) as f64 * 1e5,
        }),
        16 => steel(SteelOrder::SampleFrom {
            instrument,
            from: c,
        }),
        17 => steel(SteelOrder::Adjust {
            instrument,
            bank,
            part: if yes { Adjusted::Zero } else { Adjusted::Span },
        }),
        18 => steel(SteelOrder::Trickle {
            compartment: c,
            mol_s: draw.uniform() * 0.005,
        }),
        19 => people(PeopleOrder::InboardStop { diver, shut: yes }),
        20 => Act::LockRun {
            lock: c,
            routine: Routine::Meal,
        },
        21 => Act::Camera { compartment: c },
        _ => Act::Aim {
            compartment: c,
            phase: Phase::Storage,
            depth_msw: draw.below(60) as f64,
        },
    }
}

/// A job with acts at random seconds, some of them in one second, some before it begins.
fn lived(scenario: &Arc<Scenario>, options: Options, seed: u64) -> (Job, Vec<Entry>) {
    let mut draw = Streams::new(seed).named("acts from outside", 0);
    let mut seconds: Vec<i64> = (0..40).map(|_| draw.below(LAST_S as u64) as i64).collect();
    seconds.extend([0, 0, 3600, 3600]);
    seconds.sort_unstable();
    let mut job = Job::new(scenario.clone(), options);
    let mut entries = Vec::new();
    for at in seconds {
        if at > 0 && job.advance_to(at, &mut entries) != Halt::Reached {
            break;
        }
        let station = match draw.below(2) {
            0 => Station::Saturation,
            _ => Station::Dive,
        };
        let act = any_act(&mut draw, scenario);
        job.act(station, act);
    }
    let _ = job.advance_to(LAST_S, &mut entries);
    (job, entries)
}

/// The same list of acts with pauses of another length.
fn with_pauses(
    scenario: &Arc<Scenario>,
    options: Options,
    acts: &[OutsideAct],
    pause_s: i64,
) -> (Job, Vec<Entry>) {
    let (mut job, mut entries) = (Job::new(scenario.clone(), options), Vec::new());
    let mut left = acts.iter().peekable();
    loop {
        while let Some(act) = left.next_if(|act| act.at == job.now()) {
            job.act(act.station, act.act);
        }
        let next = left.peek().map_or(LAST_S, |act| act.at);
        let to = (job.now() + pause_s).min(next);
        if job.now() >= LAST_S || job.advance_to(to, &mut entries) != Halt::Reached {
            return (job, entries);
        }
    }
}

fn same(name: &str, a: (&Job, &[Entry]), b: (&Job, &[Entry])) {
    let first = a.1.iter().zip(b.1).find(|(x, y)| x != y);
    assert_eq!(first, None, "{name}");
    assert_eq!(a.1.len(), b.1.len(), "{name}");
    assert_eq!(a.0.state_hash(), b.0.state_hash(), "{name}");
}

#[test]
fn the_acts_alone_make_the_job_again() {
    let (both, nobody) = (Sitter::Automatic, Sitter::Nobody);
    for (k, (job, saturation, dive)) in [
        ("short", both, both),
        ("bad-night", both, both),
        ("short", both, nobody),
        ("short", nobody, both),
        ("bad-night", nobody, nobody),
    ]
    .into_iter()
    .enumerate()
    {
        let name = format!("{job}, {saturation:?}, {dive:?}");
        let scenario = job_of(job);
        let options = Options::default()
            .saturation(saturation)
            .dive(dive)
            .harm(Harm::GoesOn);
        let (first, entries) = lived(&scenario, options, 11 + k as u64);
        let acts = first.outside_acts().to_vec();
        assert!(acts.len() > 3, "{name}");
        println!(
            "{name}: {} acts, {} entries, {} refused",
            acts.len(),
            entries.len(),
            entries
                .iter()
                .filter(|e| matches!(e.what, What::Refused { .. }))
                .count()
        );
        let (again, told) = std::thread::scope(|s| {
            let replayed = s.spawn(|| {
                let mut told = Vec::new();
                let replay = Job::replay(scenario.clone(), options, &acts, LAST_S, &mut told);
                (replay.0, told)
            });
            replayed.join().expect("no panic")
        });
        same(&name, (&first, &entries), (&again, &told));
        assert_eq!(again.outside_acts(), acts, "{name}");
        let (paused, heard) = with_pauses(&scenario, options, &acts, 977);
        same(&name, (&first, &entries), (&paused, &heard));
    }
}

/// Who sits where is told apart: a station that nobody sits at acts no more, and the other does.
#[test]
fn each_station_is_sat_by_itself() {
    let scenario = job_of("short");
    let acts = |options: Options| {
        let (mut job, mut entries) = (Job::new(scenario.clone(), options), Vec::new());
        assert_eq!(job.advance_to(LAST_S, &mut entries), Halt::Reached);
        let runs = |e: &&Entry| matches!(e.what, What::BellSent { .. });
        let presses =
            |e: &&Entry| matches!(e.what, What::Target { depth_msw, .. } if depth_msw > 10.0);
        (
            entries.iter().filter(runs).count(),
            entries.iter().filter(presses).count(),
        )
    };
    let (runs, presses) = acts(Options::default());
    assert!(runs > 0 && presses > 0, "{runs} {presses}");
    assert_eq!(acts(Options::default().dive(Sitter::Nobody)).0, 0);
    assert_eq!(acts(Options::default().stations(Sitter::Nobody)), (0, 0));
    let (runs, presses) = acts(Options::default().saturation(Sitter::Nobody));
    assert_eq!(
        (runs, presses),
        (0, 0),
        "nobody presses, and no bell goes to divers on deck"
    );
}

/// One act more, or one second later, is another job: the list is not idle.
#[test]
fn another_list_is_another_job() {
    let scenario = job_of("short");
    let options = Options::default();
    let (first, _) = lived(&scenario, options, 5);
    let mut acts = first.outside_acts().to_vec();
    let done = acts.iter().rposition(|a| {
        matches!(
            a.act,
            Act::Order(Order::Steel(SteelOrder::ClimateSet { .. }))
        )
    });
    let done = done.expect("a climate was set");
    acts[done].at += 1;
    if let Act::Order(Order::Steel(SteelOrder::ClimateSet { t_k, .. })) = &mut acts[done].act {
        *t_k += 0.5;
    }
    acts.sort_by_key(|a| a.at);
    let (other, _) = Job::replay(scenario, options, &acts, LAST_S, &mut NoRecord);
    assert_ne!(other.state_hash(), first.state_hash());
}
