//! Stations change hands at any second: the automatic watch gives up its seat, leaves handles alone while somebody else
//! sits, and finds its feet when it comes back, whatever was left open meanwhile. And what a person does about alarms
//! has the transitions of OPC UA Part 9 (v1.04 and v1.05, 4.8, 5.8.10, 5.10.8).

use super::*;
use deepstay_core::record::{
    AlarmDeed, AlarmState, BellPhase, Fitness, LimitName, NoRecord, Phase, Refused, Severity,
    Station, ValveName,
};
use deepstay_job::{Act, SHELVED_MOST_S};
use deepstay_plant::{Order, SteelOrder};

const HOUR_S: i64 = 3600;
const STATIONS: [Station; 2] = [Station::Saturation, Station::Dive];

/// The short job: during it a person sits at a station, from each of these seconds for so long, and does `deeds` on
/// sitting down.
fn sat_by_a_person(
    station: Station,
    from: &[i64],
    for_s: i64,
    deeds: impl Fn(&mut Job, &mut Vec<Entry>),
) -> (Job, Vec<Entry>) {
    let mut entries = Vec::new();
    let mut job = Job::new(Arc::new(short()), Options::default());
    for &at in from {
        if job.advance_to(at, &mut entries) != Halt::Reached {
            return (job, entries);
        }
        sit(&mut job, station, Sitter::Person, &mut entries);
        deeds(&mut job, &mut entries);
        assert_eq!(job.advance_to(at + for_s, &mut entries), Halt::Reached);
        sit(&mut job, station, Sitter::Automatic, &mut entries);
    }
    let _ = job.advance_to(i64::MAX, &mut entries);
    (job, entries)
}

fn sit(job: &mut Job, station: Station, sitter: Sitter, entries: &mut Vec<Entry>) {
    let act = Act::Sit { station, sitter };
    assert_eq!(job.act_at_once(station, act, entries), Ok(()));
}

fn runs_made(entries: &[Entry]) -> usize {
    let done = |e: &&Entry| {
        matches!(
            e.what,
            What::BellPhase {
                phase: BellPhase::Done,
                ..
            }
        )
    };
    entries.iter().filter(done).count()
}

fn worst(entries: &[Entry]) -> Vec<&Entry> {
    let hurt = |e: &&Entry| match e.what {
        What::Fitness { to, .. } => to != Fitness::Well,
        What::Limit {
            name,
            truth: Truth::True,
            outside: true,
            ..
        } => name.severity == Severity::Emergency,
        _ => false,
    };
    entries.iter().filter(hurt).collect()
}

/// A person who sits for ten minutes, and does nothing, changes little: whatever was under way goes on, and the
/// divers come up.
#[test]
fn whatever_was_under_way_goes_on_after_a_person_who_did_nothing() {
    for station in STATIONS {
        for first_s in [900, 5 * 1800, 13 * HOUR_S + 700] {
            let from: Vec<i64> = (0..40).map(|k| first_s + k * 11_000).collect();
            let (job, entries) = sat_by_a_person(station, &from, 600, |_, _| {});
            let ended = job.ended();
            assert_eq!(ended, Some(Ended::Surfaced), "{station:?} from {first_s}");
            assert!(runs_made(&entries) >= 1);
            assert!(worst(&entries).is_empty(), "{:?}", worst(&entries));
        }
    }
}

/// Whatever a person left open is shut in the second in which the automatic watch sits down, and the job goes on to its
/// end.
#[test]
fn what_a_person_left_open_is_shut_at_once() {
    let living = named(&short(), "Living");
    let valves = [
        ValveName::BlowDown(living),
        ValveName::Bleed(living),
        ValveName::Oxygen(living),
    ];
    let from = [6 * HOUR_S, 20 * HOUR_S, 40 * HOUR_S + 77];
    let (job, entries) = sat_by_a_person(Station::Saturation, &from, 45, |job, entries| {
        for valve in valves {
            let order = SteelOrder::Valve {
                valve,
                opening: 0.02,
                purpose: Purpose::MakeUp,
            };
            let act = Act::Order(Order::Steel(order));
            assert_eq!(job.act_at_once(Station::Saturation, act, entries), Ok(()));
        }
    });
    for at in from {
        for valve in valves {
            let shut = |e: &&Entry| {
                e.at == at + 45
                    && e.what
                        == (What::Valve {
                            valve,
                            opening: 0.0,
                        })
            };
            assert!(entries.iter().any(|e| shut(&e)), "{valve:?} at {at}");
        }
    }
    assert_eq!(job.ended(), Some(Ended::Surfaced));
    assert!(worst(&entries).is_empty(), "{:?}", worst(&entries));
}

/// A person brings the bell's divers home by handing over: taken from dive control in the middle of a run, the bell
/// is left where it is for an hour and a half, and the automatic watch that sits down again gets everybody back.
#[test]
fn divers_left_in_a_bell_are_brought_home() {
    let (_, whole) = sat_by_a_person(Station::Dive, &[], 0, |_, _| {});
    let phase = |e: &Entry| match e.what {
        What::BellPhase { phase, .. } => Some((phase, e.at)),
        _ => None,
    };
    let phases: Vec<_> = whole.iter().filter_map(phase).collect();
    let mut seen = Vec::new();
    for (phase, at) in phases {
        if seen.contains(&phase) {
            continue;
        }
        seen.push(phase);
        let (job, entries) = sat_by_a_person(Station::Dive, &[at + 20], 5400, |_, _| {});
        assert_eq!(job.ended(), Some(Ended::Surfaced), "{phase:?}");
        assert!(runs_made(&entries) >= 1, "{phase:?}");
    }
    assert_eq!(seen.len(), 16, "{seen:?}");
}

/// The short job in storage, a person at saturation control; its living chamber is said to be held where it is not,
/// so that the alarm of depth deviation rings.
fn ringing() -> (Job, LimitName, CompartmentId) {
    let mut job = Job::new(Arc::new(short()), Options::default());
    let mut entries = Vec::new();
    assert_eq!(job.advance_to(20 * HOUR_S, &mut entries), Halt::Reached);
    sit(&mut job, Station::Saturation, Sitter::Person, &mut entries);
    let living = named(job.scenario(), "Living");
    let name = aim(&mut job, living, -4.0).expect("it rings");
    (job, name, living)
}

/// Says that a chamber is held off where it is by so much, lets ten minutes go, and gives what rings then.
fn aim(job: &mut Job, at: CompartmentId, off_msw: f64) -> Option<LimitName> {
    let depth_msw = job.indicated().depth_msw(at).expect("it has a gauge") + off_msw;
    let aimed = Act::Aim {
        compartment: at,
        phase: Phase::Storage,
        depth_msw,
    };
    assert_eq!(
        job.act_at_once(Station::Saturation, aimed, &mut NoRecord),
        Ok(())
    );
    let till = job.now() + 600;
    assert_eq!(job.advance_to(till, &mut NoRecord), Halt::Reached);
    let alarms = job.indicated().alarms;
    let mine = |a: &&deepstay_job::AlarmNow| {
        a.name.compartment == at && a.name.quantity == Quantity::Depth
    };
    alarms.iter().find(mine).map(|a| a.name)
}

fn deed(job: &mut Job, name: LimitName, deed: AlarmDeed) -> Result<(), Refused> {
    let act = Act::Alarm { name, deed };
    job.act_at_once(Station::Saturation, act, &mut NoRecord)
}

fn state(job: &Job, name: LimitName) -> Option<AlarmState> {
    let alarms = job.indicated().alarms;
    alarms.iter().find(|a| a.name == name).map(|a| a.state)
}

/// Part 9, 4.8 and 5.8: active and acknowledged are two things; nobody acknowledges what a person has to.
#[test]
fn a_persons_alarm_waits_until_he_acknowledges_it() {
    let (mut job, name, living) = ringing();
    assert_eq!(state(&job, name), Some(AlarmState::Unacknowledged));
    assert_eq!(job.indicated().sounding, [true, false]);
    assert_eq!(
        deed(&mut job, name, AlarmDeed::Reset),
        Err(Refused::CauseStands)
    );
    assert_eq!(deed(&mut job, name, AlarmDeed::Acknowledge), Ok(()));
    assert_eq!(state(&job, name), Some(AlarmState::Acknowledged));
    assert_eq!(job.indicated().sounding, [false, false]);
    assert_eq!(
        deed(&mut job, name, AlarmDeed::Acknowledge),
        Err(Refused::NoSuchThing)
    );
    assert_eq!(aim(&mut job, living, 0.0), None);

    let (mut job, name, living) = ringing();
    aim(&mut job, living, 0.0);
    assert_eq!(state(&job, name), Some(AlarmState::ReturnedUnacknowledged));
    assert_eq!(deed(&mut job, name, AlarmDeed::Acknowledge), Ok(()));
    assert_eq!(state(&job, name), None);
}

/// The sounder is silenced and the lamp stays; what rings anew sounds again.
#[test]
fn a_silenced_sounder_sounds_again_for_what_is_new() {
    let (mut job, name, living) = ringing();
    let silence = |job: &mut Job| job.act_at_once(Station::Saturation, Act::Silence, &mut NoRecord);
    assert_eq!(silence(&mut job), Ok(()));
    assert_eq!(state(&job, name), Some(AlarmState::Unacknowledged));
    assert_eq!(job.indicated().sounding, [false, false]);
    aim(&mut job, living, 0.0);
    assert_eq!(job.indicated().sounding, [false, false]);
    aim(&mut job, living, 4.0);
    assert_eq!(job.indicated().sounding, [true, false]);
    let act = Act::AcknowledgeAll;
    assert_eq!(
        job.act_at_once(Station::Saturation, act, &mut NoRecord),
        Ok(())
    );
    assert_eq!(job.indicated().sounding, [false, false]);
}

/// 5.8.10: timed shelving has a bound and ends by itself, one-shot shelving ends when its cause is gone; both run on
/// beneath, and a person may end either.
#[test]
fn what_is_shelved_runs_on_and_comes_back_by_itself() {
    let shelf = |job: &Job, name| {
        let seen = job.indicated();
        let alarm = seen.alarms.iter().find(|a| a.name == name).copied();
        alarm.map(|a| (a.shelved, a.shelved_until_s))
    };
    let (mut job, name, living) = ringing();
    let now_s = job.now();
    for for_s in [0, -5, SHELVED_MOST_S + 1] {
        let too = AlarmDeed::Shelve { for_s: Some(for_s) };
        assert_eq!(
            deed(&mut job, name, too),
            Err(Refused::OutOfRange),
            "{for_s}"
        );
    }
    let twenty = AlarmDeed::Shelve { for_s: Some(1200) };
    assert_eq!(deed(&mut job, name, twenty), Ok(()));
    assert_eq!(shelf(&job, name), Some((true, Some(now_s + 1200))));
    assert_eq!(job.indicated().sounding, [false, false]);
    let mut entries = Vec::new();
    assert_eq!(job.advance_to(now_s + 1199, &mut entries), Halt::Reached);
    assert_eq!(shelf(&job, name), Some((true, Some(now_s + 1200))));
    assert_eq!(job.advance_to(now_s + 1200, &mut entries), Halt::Reached);
    assert_eq!(shelf(&job, name), Some((false, None)));
    let told = Entry {
        at: now_s + 1200,
        what: What::AlarmUnshelved { name },
    };
    assert!(entries.contains(&told));

    let once = AlarmDeed::Shelve { for_s: None };
    assert_eq!(deed(&mut job, name, once), Ok(()));
    assert_eq!(shelf(&job, name), Some((true, None)));
    aim(&mut job, living, 0.0);
    assert_eq!(shelf(&job, name), Some((false, None)));
    assert_eq!(deed(&mut job, name, once), Err(Refused::NoSuchThing));
    assert_eq!(
        deed(&mut job, name, AlarmDeed::Unshelve),
        Err(Refused::NoSuchThing)
    );
    assert_eq!(deed(&mut job, name, twenty), Ok(()));
    assert_eq!(deed(&mut job, name, AlarmDeed::Unshelve), Ok(()));
}

/// 4.8: what is suppressed does not show until it is restored; what is latched stays until it is reset.
#[test]
fn suppressed_and_latched() {
    let (mut job, name, _) = ringing();
    assert_eq!(
        deed(&mut job, name, AlarmDeed::Restore),
        Err(Refused::NoSuchThing)
    );
    assert_eq!(deed(&mut job, name, AlarmDeed::Suppress), Ok(()));
    assert!(
        job.indicated()
            .alarms
            .iter()
            .all(|a| a.name != name || !a.shows())
    );
    assert_eq!(job.indicated().sounding, [false, false]);
    assert_eq!(deed(&mut job, name, AlarmDeed::Restore), Ok(()));
    assert_eq!(job.indicated().sounding, [true, false]);

    let mut s = short();
    s.steel.alarms.iter_mut().for_each(|a| a.latches = true);
    let mut job = Job::new(Arc::new(s), Options::default());
    assert_eq!(job.advance_to(20 * HOUR_S, &mut NoRecord), Halt::Reached);
    sit(
        &mut job,
        Station::Saturation,
        Sitter::Person,
        &mut Vec::new(),
    );
    let living = named(job.scenario(), "Living");
    let name = aim(&mut job, living, -4.0).expect("it rings");
    aim(&mut job, living, 0.0);
    assert_eq!(state(&job, name), Some(AlarmState::ReturnedUnacknowledged));
    assert_eq!(
        deed(&mut job, name, AlarmDeed::Reset),
        Err(Refused::NoSuchThing)
    );
    assert_eq!(deed(&mut job, name, AlarmDeed::Acknowledge), Ok(()));
    assert_eq!(state(&job, name), Some(AlarmState::Latched));
    assert_eq!(deed(&mut job, name, AlarmDeed::Reset), Ok(()));
    assert_eq!(state(&job, name), None);
}
