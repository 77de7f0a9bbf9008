//! A crew change with new men: one chamber comes up while another goes down with people who were not there
//! before. Made from the twelve-man job; the six new men are invented.

use deepstay_core::record::Recorder;
use deepstay_job::{Ended, Halt, Job, Options};
use deepstay_plant::Activity;
use deepstay_rota::{Worked, ask, bell_runs, check, make};
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

/// The built-in job with a crew change: the first crew comes up while the second works, fresh men go down in the chamber
/// that it left, and they relieve the second. Planned and lived, every rule of working time is kept; from the first run to
/// the last no two planned starts are further apart than the plan's eight hours.
#[test]
fn a_built_in_job_is_relieved_while_the_bell_goes_on() {
    let scenario = Arc::new(scenario::load("relief").unwrap_or_else(|bad| panic!("{bad}")));
    let planned = Worked::plan_judged(&scenario);
    assert!(planned.breaches.is_empty(), "{:#?}", planned.breaches);
    let starts: Vec<i64> = scenario.plan.bell_runs.iter().map(|r| r.at).collect();
    assert!(
        starts.windows(2).all(|w| w[1] - w[0] == 8 * 3600),
        "{starts:?}"
    );

    let mut job = Job::new(Arc::clone(&scenario), Options::default());
    let mut record = Recorder::new(scenario.start_second_of_day);
    while matches!(job.advance_to(job.now() + D, &mut record), Halt::Reached) {}
    assert_eq!(job.ended(), Some(Ended::Surfaced));
    let job = job.finish(&mut record);
    let lived = Worked::lived(&scenario, &record, job.planned_runs(), (0, job.now()));
    let lived = lived
        .expect("the set answers")
        .judged(&scenario.rules, &scenario.accepted);
    assert!(lived.breaches.is_empty(), "{:#?}", lived.breaches);

    let pressed = |who: &str| {
        let of =
            |p: &&deepstay_core::record::Pressed| scenario.crew[p.diver.index()].initials == who;
        let spans: Vec<_> = record.divers.pressed().iter().filter(of).collect();
        assert_eq!(spans.len(), 1, "{who}");
        (spans[0].from_s, spans[0].to_s.expect("home"))
    };
    let first: Vec<_> = ["AB", "CD", "EF", "GH", "JK", "LM"].map(pressed).to_vec();
    let second: Vec<_> = OLD.map(pressed).to_vec();
    let fresh: Vec<_> = NEW.map(pressed).to_vec();
    // Fresh men are pressed in when the first are home and the second are down.
    let home = first.iter().map(|p| p.1).max();
    let down = fresh.iter().map(|p| p.0).min();
    assert!(home < down, "{home:?} {down:?}");
    assert!(second.iter().all(|p| Some(p.0) < home && Some(p.1) > down));
    // Each of the three crews was in the water, and in the days of the change runs were made.
    let dived = |who: &[&str]| {
        let rows = record.divers.rows(job.now());
        let of = |d: &&deepstay_core::record::DiverRow| {
            who.contains(&scenario.crew[d.diver.index()].initials.as_str())
        };
        rows.iter().filter(of).map(|d| d.water_s).sum::<i64>()
    };
    for crew in [&["AB", "CD", "EF", "GH", "JK", "LM"][..], &OLD, &NEW] {
        assert!(dived(crew) > 20 * 3600, "{crew:?}: {}", dived(crew));
    }
    let runs = record.bell.runs();
    let made = runs.iter().filter(|r| r.done_s().is_some());
    let in_change = made.filter(|r| (7 * D..14 * D).contains(&r.from_s().unwrap_or(0)));
    assert!(in_change.count() >= 14);
}
