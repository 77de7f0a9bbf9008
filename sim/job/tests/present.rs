//! A job taken up from a present goes on as the one that was never put down: to sums by hand, and beside a whole job
//! that wrote the page.

use deepstay_core::gas::{Amounts, Species};
use deepstay_core::record::{Entry, Sink, What};
use deepstay_core::units::*;
use deepstay_job::{Ended, Halt, Job, Options, page};
use deepstay_scenario::{Scenario, load, whole_present_from_text};
use std::sync::Arc;

fn short() -> Arc<Scenario> {
    Arc::new(load("short").expect("built in"))
}

#[derive(Default)]
struct All(Vec<Entry>);

impl Sink for All {
    fn take(&mut self, entry: Entry) {
        self.0.push(entry);
    }
}

fn taken_up(scenario: &Arc<Scenario>, text: &str) -> Job {
    let present = whole_present_from_text(text, "now.ron", scenario);
    let present = present.unwrap_or_else(|bad| panic!("{bad}\n{text}"));
    Job::from_present(Arc::clone(scenario), &present, Options::default())
}

#[test]
fn look() {
    let scenario = short();
    let mut whole = Job::new(Arc::clone(&scenario), Options::default());
    let mut before = All::default();
    let at: i64 = std::env::var("AT").map_or(2 * 86_400 + 7 * 3600, |t| t.parse().unwrap());
    assert_eq!(whole.advance_to(at, &mut before), Halt::Reached);
    let text = page(&whole);
    println!("{text}");
    let mut again = taken_up(&scenario, &text);
    let (mut a, mut b) = (All::default(), All::default());
    for day in 0..7 {
        let t = at + day * 43_200;
        let _ = whole.advance_to(t, &mut a);
        let _ = again.advance_to(t, &mut b);
        for c in 0..5u8 {
            let c = CompartmentId(c);
            let (x, y) = (
                whole.plant().air(c, whole.now()),
                again.plant().air(c, again.now()),
            );
            println!(
                "{day} {c:?} {:.2}/{:.2} msw {:.4}/{:.4} o2 {:.5}/{:.5} co2 {:.1}/{:.1} K",
                (x.p_pa - 101325.0) / 1e4,
                (y.p_pa - 101325.0) / 1e4,
                x.ppo2_pa / 1e5,
                y.ppo2_pa / 1e5,
                x.ppco2_pa / 1e5,
                y.ppco2_pa / 1e5,
                x.t_k,
                y.t_k
            );
        }
    }
    println!(
        "{:?} {:?}",
        whole.advance_to(i64::MAX, &mut a),
        again.advance_to(i64::MAX, &mut b)
    );
    println!("{} {}", whole.now(), again.now());
    for e in b.0.iter().filter(|e| {
        e.at <= at + 600 && !matches!(e.what, What::Opening { .. } | What::Logged { .. })
    }) {
        println!("{e:?}");
    }
    for e in b
        .0
        .iter()
        .filter(|e| {
            matches!(
                e.what,
                What::Alarm { .. } | What::Limit { .. } | What::Refused { .. } | What::Found { .. }
            )
        })
        .take(60)
    {
        println!("{e:?}");
    }
}
