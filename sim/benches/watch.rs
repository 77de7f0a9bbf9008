//! Speed of a person's watch: an act with its line on the disk, a frame at 600 times the job's own pace, any second of a
//! month gone back to, and a journal of twelve hours taken up again.
//!
//! `cargo bench -p deepstay --bench watch`

use deepstay::job::Options;
use deepstay::record::Station;
use deepstay::watch::{Recall, Session, Sheets, Start};
use divan::{Bencher, black_box};
use std::path::PathBuf;
use std::sync::Arc;

const DAY_S: i64 = 86_400;

fn main() {
    divan::main();
}

fn watch(job: &str, from_s: i64) -> Session {
    let scenario = Arc::new(deepstay::open(job).expect("built in"));
    Session::begin(scenario, Options::default(), Start::At(from_s), |_| true)
}

fn say(session: &mut Session, line: &str) {
    let asked = session
        .understand(line, Sheets::built_in())
        .expect("understood");
    for (act, takes_s) in asked.acts {
        let done = session.act(Station::Saturation, act, takes_s, None);
        black_box(done.expect("written")).expect("done");
    }
}

fn journal(name: &str) -> PathBuf {
    std::env::temp_dir().join(format!(
        "deepstay-bench-{name}-{}.journal",
        std::process::id()
    ))
}

/// From the line to the handle as the panel shows it, the journal's line synced.
#[divan::bench]
fn act_and_its_line_on_the_disk(bencher: Bencher) {
    let mut session = watch("six-man", 2 * DAY_S);
    let path = journal("act");
    let head = session.head("six-man", None);
    session.keep_journal(&path, &head).expect("a new file");
    say(&mut session, "take saturation");
    let mut open = false;
    bencher.bench_local(|| {
        open = !open;
        say(
            &mut session,
            if open {
                "bleed living 1 %"
            } else {
                "bleed living shut"
            },
        );
        black_box(session.indicated())
    });
    std::fs::remove_file(path).expect("there");
}

/// Thirty seconds of the job and what is then seen: a frame of twenty a second at 600 times.
#[divan::bench(sample_count = 200)]
fn frame_at_600_times(bencher: Bencher) {
    let mut session = watch("six-man", 5 * DAY_S);
    bencher.bench_local(|| {
        let to = session.now() + 30;
        session.advance_to(to).expect("no journal");
        black_box(session.indicated())
    });
}

/// Any second of thirty days, from nothing but the saves.
#[divan::bench(sample_count = 300)]
fn any_second_of_a_month(bencher: Bencher) {
    let session = watch("six-man", 30 * DAY_S);
    let last = session.now();
    let mut at = 0;
    bencher.bench_local(|| {
        // A step that shares no factor with the month goes through it without order.
        at = (at + 1_000_003) % last;
        black_box(session.at(at).expect("lived").now())
    });
}

/// Twelve hours with an act a minute.
#[divan::bench(sample_count = 3)]
fn journal_of_twelve_hours_taken_up_again(bencher: Bencher) {
    let mut session = watch("six-man", 3 * DAY_S);
    let path = journal("resume");
    let head = session.head("six-man", None);
    session.keep_journal(&path, &head).expect("a new file");
    say(&mut session, "take saturation");
    for minute in 1..12 * 60 {
        let to = 3 * DAY_S + minute * 60;
        session.advance_to(to).expect("written");
        say(
            &mut session,
            if minute % 2 == 0 {
                "make-up living 1 %"
            } else {
                "stop living"
            },
        );
    }
    session.mark().expect("written");
    let hash = session.state_hash();
    drop(session);
    let scenario = Arc::new(deepstay::open("six-man").expect("built in"));
    bencher.bench_local(|| {
        let recall = Recall::read(&path).expect("whole");
        let again = Session::resume(Arc::clone(&scenario), &path, &recall, None, |_| true);
        assert_eq!(again.expect("whole").state_hash(), hash);
    });
    std::fs::remove_file(path).expect("there");
}
