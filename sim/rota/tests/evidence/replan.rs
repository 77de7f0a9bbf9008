//! Changes under way: what has begun is kept, only what the change touches is changed, and the result is
//! legal. How long it takes is for the bench.

use super::problem::{D, H, problem, under};
use deepstay_core::units::DiverId;
use deepstay_rota::{
    BellRun, Event, Problem, Replanned, Rota, Span, Task, check, make, replan, sums,
};
use deepstay_rules::builtin;

const NOW: i64 = 8 * D;

fn with_work(divers: u8, team: u8, bells: u8, hours: i64) -> (Problem, Rota) {
    let mut p = problem("uk", divers, team, bells, 150.0, 25);
    let task = |name: &str, hours: i64, after: Vec<usize>| Task {
        name: name.to_owned(),
        depth_msw: 150.0,
        wet_s: hours * H,
        divers: 1,
        qualifications: Vec::new(),
        gas: None,
        after,
    };
    p.tasks = vec![
        task("clear", hours / 2, Vec::new()),
        task("fit", hours / 2, vec![0]),
    ];
    under(&mut p, "uk");
    let rules = builtin("uk").expect("built in");
    let made = make(&p, &rules, &[], &mut |_| true).expect("a rota");
    (p, made.solution.rota)
}

fn again(p: &Problem, rota: &Rota, events: &[Event]) -> Replanned {
    let rules = builtin("uk").expect("built in");
    let new = replan(rota, p, NOW, events, &rules, &[]).unwrap_or_else(|no| panic!("{no:#?}"));
    println!(
        "{events:?}: {} touched, {} cancelled, {} added",
        new.at_least,
        new.changed.iter().filter(|(_, n)| n.is_none()).count(),
        new.added
    );
    assert!(check(&new.rota, &new.problem, &rules, &[]).legal());
    assert_eq!(
        new.changed.len(),
        new.at_least,
        "no more is changed than must be"
    );
    let who = |r: &Rota, at: &dyn Fn(i64) -> bool| -> Vec<(i64, i64, Vec<DiverId>)> {
        let turns = r.runs.iter().filter(|t| at(t.first));
        turns
            .map(|t| {
                (
                    t.first,
                    t.last,
                    t.positions.iter().map(|s| s.diver).collect(),
                )
            })
            .collect()
    };
    assert_eq!(
        who(rota, &|s| s < NOW),
        who(&new.rota, &|s| s < NOW),
        "what has begun is kept"
    );
    for (first, last, divers) in who(rota, &|s| s >= NOW) {
        let touched = new
            .changed
            .iter()
            .any(|(old, _)| old.first == first && old.positions[0].diver == divers[0]);
        let same = who(&new.rota, &|s| s == first).contains(&(first, last, divers));
        assert!(touched || same, "a turn that nothing touches stays");
    }
    new
}

#[test]
fn weather_stops_the_bells() {
    let (p, rota) = with_work(9, 3, 1, 200);
    let new = again(
        &p,
        &rota,
        &[Event::Weather(Span::new(NOW + 5 * H, NOW + 41 * H))],
    );
    assert!(new.at_least >= 4);
    assert!(new.added > 0, "the work that was lost is done in the end");
    assert!(new.sums.progress.iter().all(|t| t.done_s.is_some()));
}

#[test]
fn a_diver_is_unfit() {
    // A tenth diver in no team stands in for him.
    let (mut p, rota) = with_work(9, 3, 1, 200);
    let ill = Event::Unfit(DiverId(4), Span::new(NOW, NOW + 3 * D));
    let new = again(&p, &rota, &[ill]);
    assert!(
        new.changed.iter().all(|(_, n)| n.is_some()),
        "two of the three go on"
    );
    let mut spare = p.divers[0].clone();
    spare.initials = "XY".to_owned();
    spare.team = 99;
    p.divers.push(spare);
    let new = again(&p, &rota, &[ill]);
    let stands_in = new.changed.iter().filter(|(_, n)| {
        n.as_ref()
            .is_some_and(|t| t.position_of(DiverId(9)).is_some())
    });
    assert_eq!(stands_in.count(), new.at_least);
}

#[test]
fn a_bell_is_out() {
    let (p, rota) = with_work(18, 3, 2, 500);
    let out = Event::BellOut(p.bells[0].id, Span::new(NOW + 3 * H, NOW + 30 * H));
    let new = again(&p, &rota, &[out]);
    assert!(new.at_least >= 3);
    assert!(new.sums.progress.iter().all(|t| t.done_s.is_some()));
}

#[test]
fn nothing_comes_between() {
    let (p, rota) = with_work(9, 3, 1, 200);
    let new = again(&p, &rota, &[]);
    assert_eq!((new.at_least, new.added), (0, 0));
    let turns = |r: &Rota| r.runs.iter().map(|t| (t.first, t.last)).collect::<Vec<_>>();
    assert_eq!(turns(&rota), turns(&new.rota));
}

/// Two could stand in: of all ways to share the turns between them, none is fairer than the one taken.
#[test]
fn the_fairest_stands_in() {
    let (mut p, mut rota) = with_work(9, 3, 1, 200);
    for (initials, team) in [("XY", 98), ("YZ", 99)] {
        let mut spare = p.divers[0].clone();
        spare.initials = initials.to_owned();
        spare.team = team;
        p.divers.push(spare);
    }
    // Both have dived before in another's place, the first of them more often.
    let begun = |t: &&mut BellRun| t.first < NOW && t.position_of(DiverId(0)).is_some();
    for (n, turn) in rota.runs.iter_mut().filter(begun).take(5).enumerate() {
        for seat in turn.positions.iter_mut().filter(|s| s.diver == DiverId(0)) {
            seat.diver = DiverId(if n == 0 { 10 } else { 9 });
        }
    }
    let rules = builtin("uk").expect("built in");
    assert!(check(&rota, &p, &rules, &[]).legal());
    let ill = Event::Unfit(DiverId(4), Span::new(NOW, NOW + 4 * D));
    let new = again(&p, &rota, &[ill]);
    let changed: Vec<usize> = (0..new.rota.runs.len())
        .filter(|&i| {
            let t = &new.rota.runs[i];
            t.first >= NOW && t.positions.iter().any(|s| s.diver.0 >= 9)
        })
        .collect();
    assert_eq!(changed.len(), new.at_least);
    let uneven = |rota: &Rota| {
        let fair = sums(rota, &p).fairness;
        [fair.water_s, fair.nights, fair.bellman, fair.bell_s]
    };
    let taken = uneven(&new.rota);
    for ways in 0u32..1 << changed.len() {
        let mut other = new.rota.clone();
        for (bit, &i) in changed.iter().enumerate() {
            let who = DiverId(if ways >> bit & 1 == 0 { 9 } else { 10 });
            for seat in other.runs[i]
                .positions
                .iter_mut()
                .filter(|s| s.diver.0 >= 9)
            {
                seat.diver = who;
            }
        }
        if check(&other, &new.problem, &rules, &[]).legal() {
            assert!(taken <= uneven(&other), "{taken:?}, {:?}", uneven(&other));
        }
    }
}

/// How long it takes to plan again inside a run, told and not held: what is held is in the bench. A day and a half of
/// weather on the tenth of thirty days, with hours kept and free.
#[test]
fn how_long_it_takes() {
    for (divers, team, bells) in [(6, 2, 1), (12, 2, 2), (24, 3, 2)] {
        for kept in [true, false] {
            let mut p = problem("uk", divers, team, bells, 150.0, 30);
            p.same_hours = kept;
            (p.team_hours, p.kept_bells) = (kept, kept);
            let rules = builtin("uk").expect("built in");
            let made = make(&p, &rules, &[], &mut |_| true).expect("a rota");
            let begun = std::time::Instant::now();
            let weather = [Event::Weather(Span::new(10 * D, 10 * D + 36 * H))];
            let rota = &made.solution.rota;
            let new = replan(rota, &p, 10 * D, &weather, &rules, &[]).expect("a rota is left");
            println!(
                "{divers} divers, hours kept {kept}: {} runs touched, {:.3} s",
                new.at_least,
                begun.elapsed().as_secs_f64()
            );
        }
    }
}
