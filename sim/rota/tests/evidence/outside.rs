//! Our judge beside another one that is written from the published texts in another language and shares nothing with
//! it (`tests/reference/rota_judge.py`): over tables by hand that just pass or just fail, and over the rotas of four
//! built-in jobs under six rule sets. Its verdicts are stored; what it would call `either` hangs on which moments of a run
//! are counted, and of nothing here it does.

use super::check::problem as by_hand;
use super::optimum::check_values;
use deepstay_core::units::{CompartmentId, DiverId};
use deepstay_rota::{
    Before, BellRun, Position, Problem, Role, Rota, Saturation, Span, Stay, ask_under, check, make,
};
use deepstay_rules::builtin;
use deepstay_scenario as scenario;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;

const SETS: [&str; 6] = [
    "uk",
    "norway",
    "france",
    "brazil-2025",
    "canada",
    "canada-nl",
];
const JOBS: [&str; 4] = ["short", "six-man", "nine-man", "twelve-man"];

/// A table with the facts it is judged by.
struct Case {
    set: String,
    problem: Problem,
    rota: Rota,
}

fn number(cell: &str) -> i64 {
    cell.parse().expect("a whole number")
}

/// The tables of a file, with the days of another.
fn cases(tables: &str, days: &str) -> BTreeMap<String, Case> {
    let mut all: BTreeMap<String, Case> = BTreeMap::new();
    for row in check_values::check_values(tables).records() {
        let row = row.expect("a row");
        let depth_msw: f64 = row[6].parse().expect("a depth");
        let case = all.entry(row[0].to_owned()).or_insert_with(|| {
            let mut problem = by_hand(depth_msw);
            problem.start_second_of_day = number(&row[2]);
            problem.last_s = i64::MAX / 4;
            Case {
                set: row[1].to_owned(),
                problem,
                rota: Rota::default(),
            }
        });
        if row[3].is_empty() {
            continue;
        }
        let (first, last) = (number(&row[4]), number(&row[5]));
        let bell = &mut case.problem.bells[0];
        (bell.lead_s, bell.tail_s) = (number(&row[7]), number(&row[8]));
        let place = number(&row[3]) as usize;
        if case.rota.runs.len() <= place {
            case.rota.runs.push(BellRun {
                bell: bell.id,
                first,
                last,
                depth_msw,
                positions: Vec::new(),
                tasks: Vec::new(),
            });
        }
        let diver = DiverId(number(&row[9]) as u8);
        while case.problem.divers.len() <= diver.index() {
            let another = case.problem.divers[0].clone();
            case.problem.divers.push(another);
        }
        let wet = row[11].split_whitespace().map(|span| {
            let (from, to) = span.split_once('-').expect("a span");
            Span::new(number(from), number(to))
        });
        case.rota.runs[place].positions.push(Position {
            diver,
            role: if &row[10] == "bellman" {
                Role::Bellman
            } else {
                Role::Diver
            },
            wet: wet.collect(),
        });
    }
    let mut told: BTreeSet<(String, usize)> = BTreeSet::new();
    for row in check_values::check_values(days).records() {
        let row = row.expect("a row");
        let case = all.get_mut(&row[0]).expect("a table of the name");
        let place = number(&row[1]) as usize;
        while case.problem.divers.len() <= place {
            let another = case.problem.divers[0].clone();
            case.problem.divers.push(another);
        }
        let diver = &mut case.problem.divers[place];
        if told.insert((row[0].to_owned(), place)) {
            diver.stays.clear();
            diver.saturations.clear();
            diver.before = Before {
                last: (!row[8].is_empty()).then(|| (number(&row[8]), number(&row[9]))),
                in_year_s: number(&row[10]),
            };
        }
        diver.saturations.push(Saturation {
            pressed_s: number(&row[2]),
            arrived_s: number(&row[3]),
            leaves_s: number(&row[5]),
            surfaced_s: number(&row[6]),
        });
        diver.stays.push(Stay {
            span: Span::new(number(&row[4]), number(&row[5])),
            storage_msw: row[7].parse().expect("a depth"),
            chamber: CompartmentId(0),
        });
    }
    all
}

/// What a rule of a set is about, in the words of the other judge; none of what is the house's.
fn kind(rule: &str) -> Option<&'static str> {
    let parts = [
        ("#window", "window"),
        ("#work", "work"),
        ("#runs-a-day", "runs"),
        ("#break", "break"),
        ("#three-man", "water"),
        ("#dry-day", "dry"),
        ("#year", "year"),
        (".bell-run", "run"),
        (".in-water", "water"),
        (".rest", "rest"),
        (".saturation", "days"),
        (".interval", "interval"),
    ];
    let of_a_set = !rule.starts_with("house.") && !rule.starts_with("us.46cfr");
    let found = parts.iter().find(|(part, _)| rule.contains(part));
    found.filter(|_| of_a_set).map(|(_, kind)| *kind)
}

type Verdicts = BTreeMap<(String, usize), (BTreeSet<String>, BTreeSet<String>)>;

fn stored() -> Verdicts {
    let mut all = Verdicts::new();
    for row in check_values::check_values("rota_verdicts.csv").records() {
        let row = row.expect("a row");
        let (broken, either) = all
            .entry((row[0].to_owned(), number(&row[1]) as usize))
            .or_default();
        let list = if &row[3] == "broken" { broken } else { either };
        list.insert(row[2].to_owned());
    }
    all
}

fn alike(cases: &BTreeMap<String, Case>) -> (usize, usize) {
    let stored = stored();
    let (mut broken, mut open) = (0, 0);
    for (name, case) in cases {
        let rules = builtin(&case.set).expect("built in");
        let verdict = check(&case.rota, &case.problem, &rules, &[]);
        for place in 0..case.problem.divers.len() {
            let his = |b: &&deepstay_rota::Breach| b.diver.map(|d| d.index()) == Some(place);
            let ours: BTreeSet<String> = verdict
                .breaches
                .iter()
                .filter(his)
                .filter_map(|b| kind(&b.rule.id))
                .map(str::to_owned)
                .collect();
            let theirs = stored.get(&(name.clone(), place)).cloned();
            let (firm, either) = theirs.unwrap_or_default();
            let allowed: BTreeSet<String> = firm.union(&either).cloned().collect();
            assert!(
                firm.is_subset(&ours) && ours.is_subset(&allowed),
                "{name}, diver {place}: ours {ours:?}, theirs {firm:?}, either {either:?}"
            );
            broken += firm.len();
            open += either.len();
        }
    }
    (broken, open)
}

#[test]
fn tables_by_hand_are_judged_alike() {
    let cases = cases("rota_by_hand.csv", "rota_by_hand_days.csv");
    assert!(cases.len() >= 60, "{}", cases.len());
    let stored = stored();
    for name in cases.keys().filter(|n| n.ends_with("fails")) {
        assert!(stored.keys().any(|(case, _)| case == name), "{name} passes");
    }
    let (broken, open) = alike(&cases);
    println!("{} tables, {broken} breaches, {open} open", cases.len());
    assert_eq!(open, 0);
}

#[test]
fn rotas_of_four_jobs_under_six_sets_are_judged_alike() {
    let cases = cases("rota_tables.csv", "rota_days.csv");
    assert_eq!(cases.len(), JOBS.len() * SETS.len());
    let (broken, open) = alike(&cases);
    println!("{} rotas, {broken} breaches, {open} open", cases.len());
    assert_eq!(broken, 0, "the other judge finds a rota of ours illegal");
    assert_eq!(open, 0, "nothing hangs on which moments are counted");
}

/// Writes the rotas that the other judge is run over; then `python3 tests/reference/rota_judge.py` writes its verdicts.
#[test]
#[ignore = "writes reference values anew"]
fn write_the_rotas_for_the_other_judge() {
    let mut tables =
        "# Rotas of four built-in jobs under six sets, as the search made them (outside.rs).\n\
        case,set,start_s,run,leave_s,return_s,depth_msw,lead_s,tail_s,diver,role,wet\n"
            .to_owned();
    let mut days = "# The days of their divers.\n\
        case,diver,pressed_s,reached_s,settled_s,leaves_s,surfaced_s,storage_msw,before_ago_s,before_length_s,in_year_s\n"
        .to_owned();
    for job in JOBS {
        let scenario = scenario::load(job).expect("a built-in job");
        for set in SETS {
            let rules = builtin(set).expect("built in");
            let p = ask_under(&scenario, &rules, &[]).expect("answers").problem;
            let made = make(&p, &rules, &[], &mut |_| true).expect("a rota");
            let name = format!("{job} under {set}");
            let start = p.start_second_of_day;
            for (n, run) in made.solution.rota.runs.iter().enumerate() {
                let bell = p.bell(run.bell).expect("a bell");
                for position in &run.positions {
                    let wet: Vec<String> = position
                        .wet
                        .iter()
                        .map(|w| format!("{}-{}", w.from_s, w.to_s))
                        .collect();
                    let role = match position.role {
                        Role::Diver => "diver",
                        Role::Bellman => "bellman",
                    };
                    let (first, last, depth) = (run.first, run.last, run.depth_msw);
                    let (lead, tail, who) = (bell.lead_s, bell.tail_s, position.diver.0);
                    let wet = wet.join(" ");
                    writeln!(
                        tables,
                        "{name},{set},{start},{n},{first},{last},{depth},{lead},{tail},{who},{role},{wet}"
                    )
                    .expect("written");
                }
            }
            for (d, diver) in p.divers.iter().enumerate() {
                for s in &diver.saturations {
                    let during = Span::new(s.pressed_s, s.surfaced_s);
                    let of_it = || diver.stays.iter().filter(|t| t.span.shared_s(during) > 0);
                    let settled = of_it().map(|t| t.span.from_s).min().expect("a stay");
                    let deepest = of_it().map(|t| t.storage_msw).fold(0.0, f64::max);
                    let before = diver.before.last;
                    let (ago, length) = before.map_or((String::new(), String::new()), |(a, l)| {
                        (a.to_string(), l.to_string())
                    });
                    let (pressed, leaves, surfaced) = (s.pressed_s, s.leaves_s, s.surfaced_s);
                    let (reached, in_year) = (s.arrived_s, diver.before.in_year_s);
                    writeln!(
                        days,
                        "{name},{d},{pressed},{reached},{settled},{leaves},{surfaced},{deepest},{ago},{length},{in_year}"
                    )
                    .expect("written");
                }
            }
        }
    }
    let data = check_values::here().join("reference/data");
    std::fs::write(data.join("rota_tables.csv"), tables).expect("written");
    std::fs::write(data.join("rota_days.csv"), days).expect("written");
}
