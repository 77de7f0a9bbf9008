//! Which bell a diver reaches: a vessel with two living chambers, two trunks and two bells, where no door leads
//! from the one half to the other. And what a supervisor would not post: work unevenly shared between the
//! bells, and a team that is moved to another bell or another hour in mid-job.

use super::problem::{D, H, problem};
use deepstay_core::units::{CompartmentId, DiverId};
use deepstay_rota::{Problem, Rota, ask, check, make};
use deepstay_rules::builtin;
use deepstay_scenario::{self as scenario, Scenario};
use std::collections::BTreeMap;

fn change(text: &mut String, from: &str, to: &str) {
    assert!(text.contains(from), "{from}");
    *text = text.replacen(from, to, 1);
}

/// A part of a text from a beginning to the first end after it, both in it.
fn part<'a>(text: &'a str, from: &str, to: &str) -> &'a str {
    let begins = text.find(from).expect("the beginning");
    let ends = begins + text[begins..].find(to).expect("the end") + to.len();
    &text[begins..ends]
}

/// The twelve-man spread with a second trunk and bell, which the second half alone has a door to; for a spread of so many
/// vessels the evacuation units stay ashore.
fn two_trunks() -> String {
    let built_in = scenario::SPREADS.iter().find(|b| b.name == "twelve-man");
    let mut text = built_in.expect("built in").text.to_owned();
    const DOORS: &str = "    ],\n\n    doors: [\n";
    let units = part(&text, "        // Two evacuation units", DOORS).to_owned();
    change(&mut text, &units, DOORS);
    let doors = part(
        &text,
        "        (name: \"Transfer 1 to rescue 1\"",
        "to: \"Rescue 2\", equalise: \"12 mm\", exchange: \"2 m3/min\"),\n",
    )
    .to_owned();
    change(&mut text, &doors, "");
    let steel = part(
        &text,
        "        (\n            name: \"Trunk\",",
        "43 degC\",\n            ),\n        ),\n",
    );
    let second = steel
        .replace("name: \"Trunk\"", "name: \"Trunk 2\"")
        .replace("name: \"Bell\"", "name: \"Bell 2\"")
        .replace("trunk: \"Trunk\"", "trunk: \"Trunk 2\"")
        .replace("OB-1", "OB-3");
    let both = format!("{steel}{second}");
    let steel = steel.to_owned();
    change(&mut text, &steel, &both);
    change(
        &mut text,
        "(name: \"Transfer 2 to trunk\", from: \"Transfer 2\", to: \"Trunk\"",
        "(name: \"Transfer 2 to trunk\", from: \"Transfer 2\", to: \"Trunk 2\"",
    );
    let hatch = part(&text, "        (name: \"Bell hatch\"", "to: \"sea\"),\n").to_owned();
    let second = hatch
        .replace("\"Bell hatch\"", "\"Bell 2 hatch\"")
        .replace("\"Bell bottom door\"", "\"Bell 2 bottom door\"")
        .replace("\"Trunk\"", "\"Trunk 2\"")
        .replace("\"Bell\"", "\"Bell 2\"");
    change(&mut text, &hatch, &format!("{hatch}{second}"));
    text
}

/// The twelve-man job on it, both halves at 96 msw from the first day, and the bell of the second half's runs.
fn job(second: &str) -> Result<Scenario, String> {
    let built_in = scenario::JOBS.iter().find(|b| b.name == "twelve-man");
    let mut text = built_in.expect("built in").text.to_owned();
    change(
        &mut text,
        "spread: \"twelve-man\"",
        "spread: \"two-trunks.ron\"",
    );
    let on_board = part(&text, "            (name: \"OB-1\"", "\"),\n").to_owned();
    change(
        &mut text,
        &on_board,
        &format!("{on_board}{}", on_board.replace("OB-1", "OB-3")),
    );
    let plan = part(
        &text,
        "        levels: [\n",
        "        // Times of vessel time.\n",
    )
    .to_owned();
    let simple = format!(
        r#"        levels: [
            (members: ["Living 1", "Transfer 1"], steps: [(at: "0 s", what: Press("96 msw")), (at: "12 d", what: Decompress)]),
            (members: ["Living 2", "Transfer 2"], steps: [(at: "0 s", what: Press("96 msw")), (at: "12 d", what: Decompress)]),
        ],
        rota: [
            (teams: [1, 2, 3], bell: "Bell", first: "12 h", every: "8 h", last: "11d 00:00", in_water: "3 h"),
            (teams: [4, 5, 6], bell: "{second}", first: "12 h", every: "8 h", last: "11d 00:00", in_water: "3 h"),
        ],
"#
    );
    change(&mut text, &plan, &simple);
    let work = part(&text, "        tasks: [\n", "        ],\n").to_owned();
    change(
        &mut text,
        &work,
        "        tasks: [(name: \"All of it\", in_water: \"900 h\")],\n",
    );
    let study = part(
        &text,
        "    // What a study of the stock varies.",
        "burning: (m3_per_hour: 15, source: \"assumed\"),\n    ),\n",
    )
    .to_owned();
    change(&mut text, &study, "");
    let folder = tempfile();
    std::fs::write(folder.join("two-trunks.ron"), two_trunks()).expect("written");
    let made = scenario::from_text(&text, "two.ron", Some(&folder)).map_err(|bad| bad.to_string());
    std::fs::remove_dir_all(&folder).expect("taken away");
    made
}

fn tempfile() -> std::path::PathBuf {
    static NEXT: std::sync::atomic::AtomicU32 = std::sync::atomic::AtomicU32::new(0);
    let n = NEXT.fetch_add(1, std::sync::atomic::Ordering::Relaxed);
    let folder = std::env::temp_dir().join(format!("deepstay-reach-{}-{n}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    folder
}

/// Each half goes from its own bell, and the judge says of any other that no door leads there.
#[test]
fn no_team_goes_from_a_bell_that_it_does_not_reach() {
    let scenario = job("Bell 2").unwrap_or_else(|bad| panic!("{bad}"));
    let asked = ask(&scenario).expect("the set answers");
    let problem = &asked.problem;
    let by = (&*scenario.rules, &scenario.accepted[..]);
    let made = make(problem, by.0, by.1, &mut |_| true).unwrap_or_else(|no| panic!("{no:#?}"));
    let rota = &made.solution.rota;
    for run in &rota.runs {
        let second = problem.bell_name(run.bell) == "Bell 2";
        assert!(
            run.positions.iter().all(|p| (p.diver.0 >= 6) == second),
            "{run:?}"
        );
    }
    assert!(
        rota.runs
            .iter()
            .any(|r| problem.bell_name(r.bell) == "Bell 2")
    );
    let mut swapped = rota.clone();
    let bells = [problem.bells[0].id, problem.bells[1].id];
    for run in &mut swapped.runs {
        run.bell = bells[usize::from(run.bell == bells[0])];
    }
    let verdict = check(&swapped, problem, by.0, by.1);
    let unreached = verdict
        .breaches
        .iter()
        .filter(|b| b.rule.id == "house.rota.reach");
    let positions: usize = swapped.runs.iter().map(|r| r.positions.len()).sum();
    assert_eq!(unreached.clone().count(), positions);
    let words = &unreached.clone().next().expect("one").words;
    assert!(
        words.contains("lives where no door leads to Bell"),
        "{words}"
    );
}

/// A plan that sends the second half to the first bell is refused at its line, with where that bell is
/// reached from.
#[test]
fn a_plan_for_a_bell_that_is_not_reached_is_refused() {
    let bad = job("Bell").expect_err("refused");
    assert!(
        bad.contains("NP lives in `Living 2`, from which no door leads to `Bell`; it is reached from `Living 1`"),
        "{bad}"
    );
}

/// Where no bell is reached there is no rota, and that is the reason that is given.
#[test]
fn where_no_bell_is_reached_that_is_why_there_is_no_rota() {
    let mut p = problem("uk", 6, 2, 1, 118.0, 5);
    p.bells[0].reached_from = vec![CompartmentId(7)];
    let uk = builtin("uk").expect("built in");
    let no = make(&p, &uk, &[], &mut |_| true).expect_err("no rota");
    assert_eq!(no.rules[0].id, "house.rota.reach");
    assert!(
        no.words
            .contains("no door leads from any chamber that divers live in to the trunk of Bell 1"),
        "{no}"
    );
    // Two halves, the bell of the one too small for its teams of three, the other's out of reach.
    let mut p = problem("uk", 9, 3, 2, 118.0, 5);
    p.bells[0].places = 2;
    p.bells[1].reached_from = vec![CompartmentId(7)];
    let no = make(&p, &uk, &[], &mut |_| true).expect_err("no rota");
    assert_eq!(no.rules[0].id, "house.rota.reach", "{no}");
    assert!(
        no.relaxations
            .iter()
            .any(|r| r.words().contains("one more place in the bell")),
        "{no}"
    );
}

/// Runs of each bell by the day of the job.
fn a_day(p: &Problem, rota: &Rota) -> BTreeMap<i64, BTreeMap<CompartmentId, i64>> {
    let mut days: BTreeMap<i64, BTreeMap<CompartmentId, i64>> = BTreeMap::new();
    for run in &rota.runs {
        let bells = days
            .entry((run.first - p.first_s).div_euclid(D))
            .or_default();
        *bells.entry(run.bell).or_insert(0) += 1;
    }
    days
}

/// Two bells of equal reach: their runs a day differ by one at the most, over crews and sets; each team keeps
/// to its bell and to its hours of the day.
#[test]
fn bells_share_the_work_and_teams_keep_bell_and_hour() {
    for (set, divers, team) in [
        ("uk", 8, 2),
        ("uk", 12, 2),
        ("uk", 12, 3),
        ("uk", 15, 3),
        ("uk", 18, 3),
        ("norway", 12, 2),
        ("norway", 18, 3),
        ("france", 8, 2),
        ("france", 12, 3),
        ("brazil-2025", 12, 2),
    ] {
        let mut p = problem(set, divers, team, 2, 150.0, 10);
        (p.team_hours, p.kept_bells) = (true, true);
        let rules = builtin(set).expect("built in");
        let made = make(&p, &rules, &[], &mut |_| true).unwrap_or_else(|no| panic!("{set}: {no}"));
        let rota = &made.solution.rota;
        let days = a_day(&p, rota);
        let whole = days.iter().skip(1).take(days.len().saturating_sub(2));
        for (day, bells) in whole {
            let runs = |n: usize| bells.get(&p.bells[n].id).copied().unwrap_or(0);
            assert!(
                (runs(0) - runs(1)).abs() <= 1,
                "{set}, {divers}: day {day}: {bells:?}"
            );
        }
        for d in (0..divers).map(DiverId) {
            let his = || rota.runs.iter().filter(|r| r.position_of(d).is_some());
            assert!(
                his().next().is_some(),
                "{set}, {divers}: diver {} is idle",
                d.0
            );
            let mut bells: Vec<_> = his().map(|r| r.bell).collect();
            bells.dedup();
            assert_eq!(
                bells.len(),
                1,
                "{set}, {divers}: diver {} changes bell",
                d.0
            );
            let hour = |r: &deepstay_rota::BellRun| (p.start_second_of_day + r.first).rem_euclid(D);
            let mut first: Vec<i64> = his()
                .filter(|r| r.first < p.first_s + 2 * D)
                .map(hour)
                .collect();
            first.sort_unstable();
            first.dedup();
            assert!(
                his().all(|r| first.contains(&hour(r))),
                "{set}, {divers}: diver {} changes hours",
                d.0
            );
            assert!(first.len() <= 2 && first.windows(2).all(|w| w[1] - w[0] >= 6 * H));
        }
        let costs: Vec<String> = made
            .solution
            .prices
            .iter()
            .map(|p| format!("{:?} {:.1} h", p.wish, p.costs_s as f64 / 3600.0))
            .collect();
        println!(
            "{set}, {divers} divers: {} runs; {}",
            rota.runs.len(),
            costs.join(", ")
        );
        assert!(made.solution.prices.iter().all(|p| p.costs_s >= 0));
    }
}

/// A wish that costs says so: in a set whose rest alone parts two runs, bells that leave at the same hours every
/// day lose hours, and what is found without the wish is judged legal and has more.
#[test]
fn what_a_wish_costs_is_found_without_it() {
    let mut p = problem("france", 4, 2, 1, 150.0, 10);
    (p.team_hours, p.kept_bells) = (true, true);
    let rules = builtin("france").expect("built in");
    let made = make(&p, &rules, &[], &mut |_| true).expect("a rota");
    let price = |wish| {
        made.solution
            .prices
            .iter()
            .find(|p| p.wish == wish)
            .expect("asked")
    };
    let price = price(deepstay_rota::Wish::SameHours);
    (p.same_hours, p.team_hours) = (false, false);
    let without = make(&p, &rules, &[], &mut |_| true)
        .expect("a rota")
        .solution
        .worth;
    println!("{price:?}, {without:?}");
    assert!(price.costs_s > 0);
    assert_eq!(price.costs_s, price.useful_s - made.solution.worth.useful_s);
    assert!(price.useful_s <= without.bound_s);
}
