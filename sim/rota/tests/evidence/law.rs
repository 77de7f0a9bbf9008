//! The bound over rules and steel: tables that are laid by hand, and a thousand that are thrown together at
//! random by a way that shares nothing with the search, are legal and never have more.

use super::problem::{D, H, MIN, problem, under};
use deepstay_core::units::DiverId;
use deepstay_rota::{
    BellRun, Position, Problem, Role, Rota, Span, Task, ask_under, check, make, proven,
};
use deepstay_rules::{RuleSet, builtin};
use deepstay_scenario as scenario;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// A run of these divers from a second on, `wet_s` long in the water: two by two with a bellman where three
/// go, else one after the other with the change between.
fn run(p: &Problem, bell: usize, first: i64, crew: &[u8], wet_s: i64) -> BellRun {
    let bell = &p.bells[bell];
    let depth_msw = p.limits[0].depth_msw;
    let out = first + bell.way_out_s(depth_msw);
    let position = |diver: u8, wet: Vec<Span>| Position {
        diver: DiverId(diver),
        role: if wet.is_empty() {
            Role::Bellman
        } else {
            Role::Diver
        },
        wet,
    };
    let (positions, end) = match *crew {
        [a, b, c] => {
            let wet = vec![Span::new(out, out + wet_s)];
            let positions = vec![
                position(a, wet.clone()),
                position(b, wet),
                position(c, vec![]),
            ];
            (positions, out + wet_s)
        }
        [a, b] => {
            let second = out + wet_s + bell.change_s;
            let wet = |from| vec![Span::new(from, from + wet_s)];
            (
                vec![position(a, wet(out)), position(b, wet(second))],
                second + wet_s,
            )
        }
        _ => panic!("two or three go"),
    };
    let mut run = BellRun {
        bell: bell.id,
        first,
        last: end + bell.way_home_s(depth_msw),
        depth_msw,
        positions,
        tasks: Vec::new(),
    };
    run.tasks = p
        .tasks
        .first()
        .map(|_| (0, run.bottom_s()))
        .into_iter()
        .collect();
    run
}

fn hours(s: i64) -> f64 {
    s as f64 / 3600.0
}

fn one_task(p: &mut Problem, depth_msw: f64, hours: i64, divers: u8) {
    p.tasks = vec![Task {
        name: "All of it".to_owned(),
        depth_msw,
        wet_s: hours * H,
        divers,
        qualifications: Vec::new(),
        gas: None,
        after: Vec::new(),
    }];
    p.weather_share = 0.0;
}

/// A legal table with more than any that keeps the hours and the length of run of the house.
fn beats_the_wishes(name: &str, p: &Problem, rules: &RuleSet, table: Vec<BellRun>) {
    let has_s: i64 = table.iter().map(BellRun::bottom_s).sum();
    let rota = Rota { runs: table };
    let verdict = check(&rota, p, rules, &[]);
    assert!(verdict.legal(), "{name}: {:?}", verdict.breaches.first());
    let worth = make(p, rules, &[], &mut |_| true)
        .expect("a rota")
        .solution
        .worth;
    println!(
        "{name}: by hand {:.2} h, with the wishes at most {:.2} h, by law and steel at most {:.2} h",
        hours(has_s),
        hours(worth.wished_s),
        hours(worth.bound_s)
    );
    assert!(
        worth.wished_s < has_s && has_s <= worth.bound_s,
        "{worth:?}"
    );
    assert_eq!(worth.bound_s, proven(p).useful_s);
}

/// Nine men, one bell for three, 200 msw, ten days at depth, Norway (Activities Regulations s. 94: 6 h of
/// bell run and 3 h in any 12 h in the water deeper than 180 m), 12 h of rest: a run of three hours in the
/// water every 5 h 24 min is 42 of them and 126 h. At hours that are the same every day there are fewer.
#[test]
fn nine_men_every_five_hours_and_twenty_four_minutes() {
    let scenario = scenario::load("nine-man").expect("a built-in job");
    let rules = builtin("norway").expect("built in");
    let mut p = ask_under(&scenario, &rules, &[])
        .expect("the job's own set answers")
        .problem;
    one_task(&mut p, 200.0, 400, 2);
    let begin = p.divers[0].stays[0]
        .span
        .from_s
        .max(p.first_s - p.bells[0].lead_s);
    let table = (0..42).map(|n| {
        let crew = [0u8, 1, 2].map(|i| 3 * (n % 3) as u8 + i);
        run(
            &p,
            0,
            begin + p.bells[0].lead_s + n * (5 * H + 24 * MIN),
            &crew,
            3 * H,
        )
    });
    beats_the_wishes("nine-man, norway", &p, &rules, table.collect());
}

/// Six men, one bell for two, 60 msw, six days, UK (HSE DVIS 7: 8 h of bell run, 6 h in the water, one run
/// in 24 h, 12 h of rest): three runs a day of 7 h 20 min, of which more is in the water than the three
/// hours each that the job plans.
#[test]
fn six_men_for_as_long_as_the_law_lets_them() {
    let text = scenario::JOBS
        .iter()
        .find(|j| j.name == "short")
        .expect("built in")
        .text;
    let longer = text
        .replace(
            r#"(at: "3d 16:00", what: Decompress)"#,
            r#"(at: "6 d", what: Decompress)"#,
        )
        .replace(r#"last: "3d 08:00""#, r#"last: "5d 08:00""#)
        .replace(r#"end: "8 d""#, r#"end: "11 d""#);
    let scenario = scenario::from_text(&longer, "short.ron", None).expect("a longer job");
    let rules = builtin("uk").expect("built in");
    let mut p = ask_under(&scenario, &rules, &[])
        .expect("the job's own set answers")
        .problem;
    one_task(&mut p, 60.0, 300, 1);
    let bell = &p.bells[0];
    let around_s = bell.way_out_s(60.0) + bell.way_home_s(60.0) + bell.change_s;
    let wet_s = (8 * H - bell.turnaround_s() - around_s) / 2;
    let end_s = p.divers[0].stays[0].span.to_s - bell.tail_s;
    let table = (0..)
        .map(|n| {
            let crew = [0u8, 1].map(|i| 2 * (n % 3) as u8 + i);
            run(&p, 0, p.first_s + n * 8 * H, &crew, wet_s)
        })
        .take_while(|r| r.last <= end_s);
    beats_the_wishes("short, uk", &p, &rules, table.collect());
}

struct Dice(ChaCha8Rng);

impl Dice {
    fn below(&mut self, n: usize) -> usize {
        (self.0.next_u64() % n as u64) as usize
    }

    fn between(&mut self, from: i64, to: i64) -> i64 {
        from + self.below(usize::try_from(to - from).unwrap_or(0) + 1) as i64
    }
}

/// A run thrown together: any two or three who live there, any length, who is in the water when at random,
/// one always in the bell.
fn thrown(p: &Problem, first: i64, dice: &mut Dice) -> BellRun {
    let bell = &p.bells[dice.below(p.bells.len())];
    let depth_msw = p.limits[0].depth_msw;
    let size = 2 + dice.below(usize::from(bell.places) - 1);
    let mut crew: Vec<u8> = (0..p.divers.len() as u8).collect();
    for i in 0..size {
        let j = i + dice.below(crew.len() - i);
        crew.swap(i, j);
    }
    let (out, home) = (bell.way_out_s(depth_msw), bell.way_home_s(depth_msw));
    // Mostly nearly as long as may be, for those come near the bound.
    let most_s = p.limits[0].bell_run.s - out - home;
    let free_s = if dice.below(4) > 0 {
        most_s - dice.between(0, most_s / 10)
    } else {
        dice.between(H, most_s)
    };
    let mut wet = vec![Vec::new(); size];
    let (mut at, mut inside) = (0, dice.below(size));
    while at < free_s {
        let each = p.limits[0].in_water.s.min(free_s);
        let until = (at + dice.between(each / 2, each)).min(free_s);
        for (i, own) in wet.iter_mut().enumerate() {
            if i != inside && (size == 2 || dice.below(3) > 0) {
                own.push(Span::new(first + out + at, first + out + until));
            }
        }
        let change_s = if size == 2 { bell.change_s } else { 0 };
        (at, inside) = (until + change_s, (inside + 1) % size);
    }
    let positions = crew[..size].iter().zip(wet).map(|(&d, wet)| Position {
        diver: DiverId(d),
        role: if wet.is_empty() {
            Role::Bellman
        } else {
            Role::Diver
        },
        wet: touching_as_one(wet),
    });
    BellRun {
        bell: bell.id,
        first,
        last: first + out + free_s + home,
        depth_msw,
        positions: positions.collect(),
        tasks: Vec::new(),
    }
}

fn touching_as_one(spans: Vec<Span>) -> Vec<Span> {
    let mut all: Vec<Span> = Vec::new();
    for s in spans {
        match all.last_mut() {
            Some(last) if last.to_s == s.from_s => last.to_s = s.to_s,
            _ => all.push(s),
        }
    }
    all
}

/// A rota thrown together: at each free hour runs are thrown until one is legal beside those before it.
fn thrown_together(p: &Problem, rules: &RuleSet, dice: &mut Dice) -> Rota {
    let mut rota = Rota::default();
    let mut at = p.first_s + p.bells[0].lead_s;
    while at < p.last_s {
        let mut next = at + dice.between(30 * MIN, 3 * H);
        for _ in 0..2 {
            let run = thrown(p, at, dice);
            let (last, bell) = (run.last, run.bell);
            // What is three days back has no say in what may follow.
            let near = rota.runs.iter().filter(|r| r.first > at - 3 * D);
            let mut tried: Vec<BellRun> = near.cloned().collect();
            tried.push(run.clone());
            if check(&Rota { runs: tried }, p, rules, &[]).legal() {
                rota.runs.push(run);
                if p.bells.len() == 1 {
                    let turnaround_s = p.bell(bell).expect("a bell").turnaround_s();
                    next = last + turnaround_s + dice.between(0, 3) * 20 * MIN;
                }
                break;
            }
        }
        at = next;
    }
    rota
}

/// A thousand of them, over sets, depths, sizes of bell and numbers of bells.
#[test]
fn no_rota_thrown_together_has_more() {
    let mut dice = Dice(ChaCha8Rng::from_seed([3; 32]));
    let mut nearest: Vec<(f64, String)> = Vec::new();
    let mut legal = 0;
    for (set, divers, team, bells, depth) in [
        ("uk", 6, 2, 1, 118.0),
        ("uk", 9, 3, 1, 150.0),
        ("norway", 6, 2, 1, 150.0),
        ("norway", 9, 3, 1, 150.0),
        ("norway", 9, 3, 1, 200.0),
        ("france", 4, 2, 1, 118.0),
        ("brazil-2025", 6, 3, 1, 240.0),
        ("canada", 6, 2, 1, 118.0),
        ("uk", 12, 2, 2, 118.0),
        ("demonstration", 6, 2, 1, 60.0),
    ] {
        let rules = builtin(set).expect("built in");
        let mut best: f64 = 0.0;
        for days in [2, 3, 3, 4] {
            let mut p = problem(set, divers, team, bells, depth, days);
            under(&mut p, set);
            let bound_s = proven(&p).useful_s;
            for _ in 0..25 {
                let rota = thrown_together(&p, &rules, &mut dice);
                assert!(check(&rota, &p, &rules, &[]).legal());
                let has_s: i64 = rota.runs.iter().map(BellRun::bottom_s).sum();
                assert!(
                    has_s <= bound_s,
                    "{set} {divers} {depth} {days} d: {has_s} over {bound_s}"
                );
                best = best.max(has_s as f64 / bound_s as f64);
                legal += 1;
            }
        }
        nearest.push((best, format!("{set}, {divers} divers, {depth} msw")));
    }
    for (share, of) in &nearest {
        println!(
            "{of}: the best of a hundred has {:.1} % of the bound",
            share * 100.0
        );
    }
    assert_eq!(legal, 1000);
    assert!(
        nearest.iter().all(|(share, _)| *share > 0.5),
        "too poor to say anything"
    );
}
