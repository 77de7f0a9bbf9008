//! A crew change with new men: one chamber comes up while another goes down with people who were not there
//! before. Made from the twelve-man job; the six new men are invented.

use deepstay_core::record::Recorder;
use deepstay_job::{Job, Options};
use deepstay_plant::Activity;
use deepstay_rota::{ask, bell_runs, check, make};
use deepstay_scenario::{self as scenario, Scenario};
use std::sync::Arc;

const D: i64 = 86_400;
/// The second chamber goes down with new men just when the first begins to come up, s.
const CHANGE: i64 = 17 * D;
const NEW: [&str; 6] = ["BC", "DE", "FG", "HJ", "KL", "MN"];
const OLD: [&str; 6] = ["NP", "QR", "ST", "UV", "WX", "YZ"];

fn with_new_men() -> Result<Scenario, String> {
    let built_in = scenario::JOBS.iter().find(|b| b.name == "twelve-man");
    let mut text = built_in.expect("built in").text.to_owned();
    let mut change = |from: &str, to: &str| {
        assert!(text.contains(from), "{from}");
        text = text.replacen(from, to, 1);
    };
    for who in OLD {
        let from = format!("(initials: \"{who}\", chamber: \"Living 2\",");
        change(&from, &format!("{from} leaves: \"16 d\","));
    }
    let man = |(i, who): (usize, &&str)| {
        let team = 7 + i / 2;
        format!(
            "        (initials: \"{who}\", chamber: \"Living 2\", team: {team}, joins: \"16d 12:00\"),\n"
        )
    };
    let men: String = NEW.iter().enumerate().map(man).collect();
    change("    ], surface: [", &format!("{men}    ], surface: ["));
    change(
        "(at: \"12 d\", what: Decompress),",
        "(at: \"12 d\", what: Decompress),\n                    (at: \"17 d\", what: Press(\"96 msw\")),\n                    (at: \"24 d\", what: Decompress),",
    );
    change("end: \"24 d\"", "end: \"32 d\"");
    change("in_water: \"20 h\", after", "in_water: \"130 h\", after");
    let bank = |n: u8| {
        format!(
            "            (name: \"M-{n}\", duty: BottomMix, bottles: \"64 x 50 L at 200 bar\", contents: Heliox(\"2 %\"), analysed: \"2 %\"),\n"
        )
    };
    let more: String = (9..=12).map(bank).collect();
    let helium = "            (name: \"H-1\"";
    change(helium, &format!("{more}{helium}"));
    scenario::from_text(&text, "twelve-man.ron", None).map_err(|bad| bad.to_string())
}

#[test]
fn new_men_come_in_at_the_surface() {
    let mut scenario = with_new_men().unwrap_or_else(|bad| panic!("{bad}"));
    scenario.site.weather = scenario::Weather::Calm;
    let place = |who: &str| {
        scenario
            .crew
            .iter()
            .position(|d| d.initials == who)
            .expect("of the crew")
    };
    let (new, old): (Vec<usize>, Vec<usize>) = (
        NEW.iter().map(|w| place(w)).collect(),
        OLD.iter().map(|w| place(w)).collect(),
    );
    let problem = ask(&scenario).expect("the set answers").problem;
    for &d in &new {
        let diver = &problem.divers[d];
        assert_eq!(diver.saturations.len(), 1, "{diver:?}");
        assert_eq!(diver.saturations[0].pressed_s, CHANGE);
        assert!(diver.stays.iter().all(|s| s.span.from_s > CHANGE));
    }
    for &d in &old {
        let diver = &problem.divers[d];
        assert_eq!(diver.saturations.len(), 1, "{diver:?}");
        assert_eq!(diver.saturations[0].pressed_s, 5 * D);
    }
    let (rules, accepted) = (&scenario.rules, &scenario.accepted);
    // Each team has hours of its own; what is counted does not know who keeps which, so the bound is asked where
    // they take turns.
    let mut shared = problem.clone();
    shared.team_hours = false;
    let worth = make(&shared, rules, accepted, &mut |_| true);
    let gap = worth.expect("a rota").solution.worth.gap(shared.first_s);
    assert!(gap <= 0.05, "{gap}");
    let made =
        make(&problem, rules, accepted, &mut |_| true).unwrap_or_else(|no| panic!("{no:#?}"));
    let rota = &made.solution.rota;
    assert!(check(rota, &problem, rules, accepted).legal());
    let gap = made.solution.worth.gap(problem.first_s);
    println!(
        "{} turns, gap {:.2} %, {:?}",
        rota.runs.len(),
        100.0 * gap,
        made.solution.worth
    );
    let turns = |d: usize| made.solution.divers[d].runs;
    assert!(new.iter().all(|&d| turns(d) > 0), "the new men dive");
    for turn in &rota.runs {
        let theirs = turn
            .positions
            .iter()
            .any(|s| new.contains(&s.diver.index()));
        assert!(!theirs || turn.first > CHANGE);
    }
    // The job lives it: the new men go in when their chamber is pressed, and nobody else does.
    scenario.plan.bell_runs = bell_runs(rota, &problem, Activity::WaterModerate);
    let scenario = Arc::new(scenario);
    let mut job = Job::new(scenario.clone(), Options::default());
    let mut record = Recorder::new(scenario.start_second_of_day);
    let _ = job.advance_to(CHANGE - D, &mut record);
    // Who has not been under pressure has no row yet.
    let pressure_s = |record: &Recorder, d: usize, now: i64| {
        let rows = record.divers.rows(now);
        let row = rows.iter().find(|r| r.diver.index() == d);
        row.map_or((0, 0), |r| (r.pressure_s, r.bell_runs))
    };
    let before = |d: &usize| pressure_s(&record, *d, job.now()).0;
    assert!(new.iter().all(|d| before(d) == 0), "not yet");
    let _ = job.advance_to(CHANGE + 3 * D, &mut record);
    let after = |d: &usize| pressure_s(&record, *d, job.now());
    for d in &new {
        assert!((2 * D..=3 * D).contains(&after(d).0), "{d}: {:?}", after(d));
    }
    assert!(
        new.iter().any(|d| after(d).1 > 0),
        "they have been in the bell"
    );
    for d in &old {
        assert!(after(d).0 < 16 * D, "{d}: {:?}", after(d));
    }
}
