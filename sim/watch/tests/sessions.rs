//! A watch is remembered by its journal: what was done before a kill is done again, to the same bits; a journal that
//! was cut or edited says where; and any second that was lived can be gone back to.

mod saying;

use deepstay_core::record::{Machine, NoRecord, Refused, Sitter, ValveName};
use deepstay_core::units::*;
use deepstay_job::{Act, Halt, Job, Options};
use deepstay_plant::{Order, SteelOrder};
use deepstay_scenario::{Fault, FaultKind, Scenario};
use deepstay_watch::{Journal, JournalError, Recall, Session, SessionError, Shelf, Start, Twin};
use saying::say;
use std::fs;
use std::path::Path;
use std::sync::Arc;

const HOUR_S: i64 = 3600;
const FROM_S: i64 = 20 * HOUR_S;

fn short() -> Arc<Scenario> {
    Arc::new(deepstay_scenario::load("short").unwrap_or_else(|bad| panic!("{bad}")))
}

fn begin(scenario: &Arc<Scenario>) -> Session {
    Session::begin(
        Arc::clone(scenario),
        Options::default(),
        Start::At(FROM_S),
        |_| true,
    )
}

fn to(session: &mut Session, t_s: i64) {
    session.advance_to(t_s).expect("it can be written");
}

/// A watch of two hours with one thing of each kind.
fn live(session: &mut Session) {
    let from = session.now();
    assert_eq!(say(session, "take saturation"), Ok(()));
    to(session, from + 61);
    assert_eq!(say(session, "make-up living 2 %"), Ok(()));
    to(session, from + 75);
    assert_eq!(say(session, "make-up living shut"), Ok(()));
    assert_eq!(say(session, "oxygen living quarter for 3 s"), Ok(()));
    to(session, from + 600);
    assert_eq!(say(session, "open way in"), Err(Refused::DoorUnderPressure));
    assert_eq!(say(session, "write all quiet, \"as it should be\""), Ok(()));
    assert_eq!(say(session, "calibrate living ppO2 second"), Ok(()));
    to(session, from + HOUR_S + 7);
    assert_eq!(say(session, "storage living 59 msw"), Ok(()));
    to(session, from + 2 * HOUR_S);
    assert_eq!(say(session, "hand-over saturation"), Ok(()));
    to(session, from + 2 * HOUR_S + 300);
}

fn lived(path: &Path) -> Session {
    let scenario = short();
    let mut session = begin(&scenario);
    let head = session.head("short", None);
    session.keep_journal(path, &head).expect("a new file");
    live(&mut session);
    session.mark().expect("it can be written");
    session
}

fn resume(path: &Path) -> Result<Session, SessionError> {
    let recall = Recall::read(path)?;
    Session::resume(short(), path, &recall, None, |_| true)
}

#[test]
fn a_watch_taken_up_again_is_the_same_to_the_last_bit() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("watch.journal");
    let first = lived(&path);
    let mut again = resume(&path).expect("it is whole");
    assert_eq!(again.now(), first.now());
    assert_eq!(again.state_hash(), first.state_hash());
    assert_eq!(again.feed().entries(), first.feed().entries());
    assert_eq!(again.note(0), Some("all quiet, \"as it should be\""));
    // It goes on, and what it then does is in the same file.
    assert_eq!(say(&mut again, "take dive"), Ok(()));
    let hash = again.state_hash();
    drop(again);
    assert_eq!(resume(&path).expect("it is whole").state_hash(), hash);
}

/// The acts alone, given to a job without a session, make the same job.
#[test]
fn the_acts_make_the_job_without_the_session() {
    let scenario = short();
    let mut session = begin(&scenario);
    live(&mut session);
    let job = session.at(session.now()).expect("now");
    let mut again = Job::new(scenario, Options::default());
    let acts: Vec<_> = session.acts().collect();
    // The quarter of oxygen shuts three seconds after it was asked for; the others are done as they are given.
    let shut = acts
        .iter()
        .position(|(_, _, act)| {
            matches!(act, Act::Order(Order::Steel(SteelOrder::Valve {
                valve: ValveName::Oxygen(_), opening, ..
            })) if *opening == 0.0)
        })
        .expect("it was asked for");
    let mut timed: Vec<(i64, usize)> = (0..acts.len())
        .map(|k| (acts[k].0 + if k == shut { 3 } else { 0 }, k))
        .collect();
    timed.sort_unstable();
    for (at, k) in timed {
        assert_eq!(again.advance_to(at, &mut NoRecord), Halt::Reached);
        let _ = again.act_at_once(acts[k].1, acts[k].2, &mut NoRecord);
    }
    assert_eq!(
        again.advance_to(session.now(), &mut NoRecord),
        Halt::Reached
    );
    assert_eq!(again.state_hash(), job.state_hash());
}

#[test]
fn a_journal_cut_at_any_byte_of_its_last_line_goes_on_from_the_line_before() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("watch.journal");
    lived(&path);
    let whole = fs::read(&path).expect("there");
    let lines: Vec<&[u8]> = whole.split_inclusive(|b| *b == b'\n').collect();
    let last = lines.last().expect("lines").len();
    for left in [0, 1, last / 2, last - 1] {
        let cut = &whole[..whole.len() - last + left];
        fs::write(&path, cut).expect("written");
        let recall = Recall::read(&path).expect("whole but for its end");
        assert_eq!(recall.lines.len(), lines.len() - 2);
        assert_eq!(
            recall.cut.map(|c| c.bytes),
            (left > 0).then_some(left as u64)
        );
        let go_on = Journal::go_on(&path, &recall).expect("it can be written");
        drop(go_on);
        let after = fs::read(&path).expect("there");
        assert_eq!(
            after,
            &whole[..whole.len() - last],
            "the broken line is gone"
        );
    }
}

#[test]
fn an_edited_journal_is_named_at_its_line() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("watch.journal");
    lived(&path);
    let whole = fs::read_to_string(&path).expect("there");
    let count = whole.lines().count();
    for line in 0..count {
        // A digit changed, a line gone, a line twice.
        let mut lines: Vec<String> = whole.lines().map(str::to_owned).collect();
        let digit = lines[line]
            .find("\"at\":")
            .or(lines[line].find("\"from_s\":"));
        if let Some(digit) = digit {
            let colon = digit + lines[line][digit..].find(':').expect("a colon") + 1;
            let other = if &lines[line][colon..=colon] == "7" {
                "8"
            } else {
                "7"
            };
            lines[line].replace_range(colon..=colon, other);
            fs::write(&path, lines.join("\n") + "\n").expect("written");
            assert_edited(&path, line + 1);
        }
        if line > 0 && line + 1 < count {
            let mut lines: Vec<&str> = whole.lines().collect();
            lines.remove(line);
            fs::write(&path, lines.join("\n") + "\n").expect("written");
            assert_edited(&path, line + 1);
            let mut lines: Vec<&str> = whole.lines().collect();
            lines.insert(line, lines[line]);
            fs::write(&path, lines.join("\n") + "\n").expect("written");
            assert_edited(&path, line + 2);
        }
    }
}

fn assert_edited(path: &Path, at: usize) {
    match Recall::read(path) {
        Err(JournalError::Edited { line, .. }) => assert_eq!(line, at),
        other => panic!("line {at}: {other:?}"),
    }
}

#[test]
fn a_journal_of_another_version_another_scenario_or_none_is_told() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("watch.journal");
    lived(&path);
    let recall = Recall::read(&path).expect("whole");
    let other = Arc::new(deepstay_scenario::load("six-man").expect("built in"));
    match Session::resume(other, &path, &recall, None, |_| true) {
        Err(SessionError::Journal(JournalError::OtherScenario { .. })) => {}
        other => panic!("{:?}", other.map(|s| s.now())),
    }
    let whole = fs::read_to_string(&path).expect("there");
    fs::write(
        &path,
        whole.replacen("\"version\":\"0.1.0\"", "\"version\":\"9.9.9\"", 1),
    )
    .expect("written");
    assert!(matches!(
        Recall::read(&path),
        Err(JournalError::OtherVersion { .. })
    ));
    for text in ["", "no journal\n", "{\"a\":1}\n"] {
        fs::write(&path, text).expect("written");
        assert!(
            matches!(Recall::read(&path), Err(JournalError::NotAJournal(_))),
            "{text}"
        );
    }
    let head = begin(&short()).head("short", None);
    assert!(matches!(
        Journal::begin(&path, &head),
        Err(JournalError::Exists(_))
    ));
}

#[test]
fn any_second_that_was_lived_is_reached_again_and_a_branch_begins_there() {
    let scenario = short();
    let mut session = begin(&scenario);
    let from = session.now();
    say(&mut session, "take saturation").expect("done");
    let mut hashes = Vec::new();
    for k in 1..=40 {
        to(&mut session, from + k * 290);
        hashes.push((session.now(), session.state_hash()));
        match k % 4 {
            0 => say(&mut session, "make-up living crack").expect("done"),
            1 => say(&mut session, "make-up living shut").expect("done"),
            2 => say(&mut session, "oxygen living crack for 400 s").expect("done"),
            _ => {}
        }
    }
    for (at, hash) in &hashes {
        let there = session.at(*at).expect("lived");
        assert_eq!(there.state_hash(), *hash, "{at}");
    }
    let told: Vec<_> = session.feed().entries().to_vec();
    let (at, hash) = hashes[20];
    assert_eq!(session.jump(at).expect("lived"), 1);
    assert_eq!((session.now(), session.state_hash()), (at, hash));
    let kept = session.feed().entries();
    assert_eq!(kept, &told[..kept.len()]);
    assert!(told[kept.len()..].iter().all(|e| e.at >= at));
    assert!(session.jump(at + 1).is_err());
    assert!(session.jump(from - 1).is_err());
    // What was under way goes on in the branch as it did.
    to(&mut session, hashes[21].0);
    assert_eq!(session.branches().count(), 1);
}

#[test]
fn a_jump_is_in_the_journal() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("watch.journal");
    let mut session = lived(&path);
    let back = session.now() - HOUR_S;
    session.jump(back).expect("lived");
    say(&mut session, "take saturation").expect("done");
    to(&mut session, back + 900);
    session.mark().expect("written");
    let hash = session.state_hash();
    drop(session);
    let again = resume(&path).expect("whole");
    assert_eq!((again.state_hash(), again.branches().count()), (hash, 1));
}

/// Time that passed since the last mark is marked before a jump: who takes the journal up can go back to it.
#[test]
fn a_jump_to_a_second_not_marked_yet_is_taken_up() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("watch.journal");
    let mut session = begin(&short());
    let head = session.head("short", None);
    session.keep_journal(&path, &head).expect("a new file");
    to(&mut session, FROM_S + 50);
    session.jump(FROM_S + 40).expect("lived");
    let hash = session.state_hash();
    drop(session);
    assert_eq!(resume(&path).expect("whole").state_hash(), hash);
}

/// A twin without the fault is the job that had none; with nobody acting, no order is given any more.
#[test]
fn twins_run_beside() {
    let living = CompartmentId(0);
    let fault = Fault {
        at: FROM_S + 60,
        until: None,
        what: FaultKind::FanStop {
            compartment: living,
        },
    };
    let clean = short();
    let faulty = Arc::new((*clean).clone().with_fault(fault));
    let (mut with, mut without) = (begin(&faulty), begin(&clean));
    for session in [&mut with, &mut without] {
        say(session, "take saturation").expect("done");
        to(session, FROM_S + 1800);
    }
    let twin = with.twin(Twin::NoFault).expect("it can be made");
    let bare = without.at(without.now()).expect("now");
    let lamp = |job: &Job| {
        let seen = job.indicated();
        let machines = &seen.vessels[living.index()].machines;
        machines
            .iter()
            .find(|(m, _)| *m == Machine::Fan)
            .map(|(_, l)| l.running)
    };
    assert_eq!(lamp(&twin), Some(true));
    assert_eq!(lamp(&with.at(with.now()).expect("now")), Some(false));
    assert_eq!(twin.indicated(), bare.indicated());
    let alone = with.twin(Twin::NobodyActs).expect("it can be made");
    assert_eq!(alone.indicated().sitters, [Sitter::Nobody; 2]);
    let kept = with.twin(Twin::Automatic).expect("it can be made");
    assert_eq!(kept.indicated().sitters, [Sitter::Automatic; 2]);
}

/// A beginning that was run to once is taken from the shelf the next time, to the same bits, told and shown the same;
/// any second before it can still be gone to; damaged, or of another build or seed, it is as if it were not there.
#[test]
fn a_beginning_is_kept_for_the_next_time() {
    let scenario = short();
    let folder = tempfile::tempdir().expect("a folder");
    let shelf = Shelf::new(folder.path().join("made when needed"), 1);
    let kept = |scenario: &Arc<Scenario>, shelf: &Shelf| {
        let mut ran = 0;
        let session = Session::begin_kept(Arc::clone(scenario), FROM_S, shelf, |_| {
            ran += 1;
            true
        });
        (session, ran)
    };
    let straight = begin(&scenario);
    let (first, ran) = kept(&scenario, &shelf);
    assert!(ran > 0);
    let (mut second, ran) = kept(&scenario, &shelf);
    assert_eq!(ran, 0, "nothing is run to a second time");
    for session in [&first, &second] {
        assert_eq!(session.state_hash(), straight.state_hash());
        assert_eq!(session.feed().entries(), straight.feed().entries());
        assert_eq!(session.from_s(), FROM_S);
        let living = InstrumentId(0);
        let trend = |s: &Session| s.trend().of(living, 0).collect::<Vec<_>>();
        assert_eq!(trend(session), trend(&straight));
        assert!(trend(session).len() > 1000);
    }
    let early = |session: &Session| session.at(7 * HOUR_S + 5).expect("there").state_hash();
    assert_eq!(early(&second), early(&straight));
    let mut lived = begin(&scenario);
    live(&mut lived);
    live(&mut second);
    assert_eq!(second.state_hash(), lived.state_hash());

    let file = shelf.file(&scenario, FROM_S);
    let mut bytes = fs::read(&file).expect("it is kept");
    let middle = bytes.len() / 2;
    bytes[middle] ^= 1;
    fs::write(&file, &bytes).expect("it can be written");
    let (again, ran) = kept(&scenario, &shelf);
    assert!(ran > 0, "damaged");
    assert_eq!(again.state_hash(), straight.state_hash());
    assert_eq!(kept(&scenario, &shelf).1, 0, "kept anew");

    let other = Arc::new((*scenario).clone().with_seed(7));
    assert!(kept(&other, &shelf).1 > 0, "another seed");
    assert!(file.exists());
    let newer = Shelf::new(folder.path().join("made when needed"), 2);
    assert!(kept(&scenario, &newer).1 > 0, "another build");
    assert!(!file.exists(), "what an older build left is cleared away");
    let nowhere = Shelf::new("/proc/no such folder", 1);
    let (session, _) = kept(&scenario, &nowhere);
    assert_eq!(session.state_hash(), straight.state_hash());
}
