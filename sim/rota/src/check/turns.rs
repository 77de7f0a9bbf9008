//! Each turn by itself, the turns of one bell in sequence, and the order of the work: who may go, where
//! from, in which bell, and whether someone stays to tend.

use super::judge::{Judge, Point, by_row, h_min, house};
use crate::margin::Margin;
use crate::questions::WorkQuestion;
use crate::rule::RuleName;
use crate::types::{AT_STORAGE_MSW, BellRun, Diver, Position, Role, Rota, Span};
use deepstay_core::units::{DiverId, fixed_short};
use deepstay_rules::{BellCrew, Missing, MissingRow};

/// Storage depths count as equal this close together, msw.
const EQUAL_MSW: f64 = 0.05;
/// Seconds that rounding may take.
const ROUNDING_S: i64 = 1;

/// Judges each turn by itself.
pub fn each(rota: &Rota, judge: &mut Judge) {
    for (i, turn) in rota.runs.iter().enumerate() {
        in_time(i, turn, judge);
        seats(i, turn, judge);
        for seat in &turn.positions {
            fit(i, turn, seat.diver, judge);
        }
        together(i, turn, judge);
        water(i, turn, judge);
        change(i, turn, judge);
        tasks(i, turn, judge);
    }
}

fn point<'a>(rule: &'a RuleName, i: usize, turn: &BellRun, diver: Option<DiverId>) -> Point<'a> {
    Point {
        rule,
        margin: Margin::Demand,
        diver,
        turn: Some(i),
        when: turn.span(),
        of: None,
    }
}

fn in_time(i: usize, turn: &BellRun, judge: &mut Judge) {
    let (first_s, last_s) = (judge.problem.first_s, judge.problem.last_s);
    let rule = house(
        "days",
        "bells leave and return between the first and the last day",
    );
    let met = first_s <= turn.first && turn.first < turn.last && turn.last <= last_s;
    judge.demand(met, point(&rule, i, turn, None), || {
        if turn.first < turn.last {
            "lies outside the first and last day".to_owned()
        } else {
            "returns before it leaves".to_owned()
        }
    });
}

fn seats(i: usize, turn: &BellRun, judge: &mut Judge) {
    let rule = house("bell", "a bell run has a bell of the spread, in service");
    let Some(bell) = judge.problem.bell(turn.bell) else {
        judge.demand(false, point(&rule, i, turn, None), || {
            "is in no bell".to_owned()
        });
        return;
    };
    let down = bell.down.iter().any(|d| d.shared_s(turn.span()) > 0);
    judge.demand(!down, point(&rule, i, turn, None), || {
        format!("{} is out of service", bell.name)
    });
    let rule = house("places", "no more go than the bell has places");
    let margin = Margin::Count {
        found: turn.positions.len() as i64,
        limit: i64::from(bell.places),
    };
    let at = Point {
        margin,
        ..point(&rule, i, turn, None)
    };
    judge.hold(at, || {
        format!("{} go in {}", turn.positions.len(), bell.name)
    });
    let rule = house("once", "a diver has one position in a bell run");
    for (k, seat) in turn.positions.iter().enumerate() {
        let twice = turn.positions[..k].iter().any(|s| s.diver == seat.diver);
        let who = judge.initials(seat.diver);
        judge.demand(!twice, point(&rule, i, turn, Some(seat.diver)), || {
            format!("{who} is in it twice")
        });
    }
}

fn fit(i: usize, turn: &BellRun, id: DiverId, judge: &mut Judge) {
    let problem = judge.problem;
    let who = judge.initials(id);
    let known = house("crew", "a diver of the crew");
    let Some(diver) = problem.divers.get(id.index()) else {
        judge.demand(false, point(&known, i, turn, Some(id)), || {
            format!("{who} is not of the crew")
        });
        return;
    };
    let unfit = diver.unfit.iter().any(|u| u.shared_s(turn.span()) > 0);
    let rule = house("fit", "a diver is fit for the bell");
    judge.demand(!unfit, point(&rule, i, turn, Some(id)), || {
        format!("{who} is unfit")
    });
    reach(i, turn, diver, judge);
    let rule = house(
        "at-depth",
        "a diver is at storage depth from the checks until he is back",
    );
    let (lead_s, tail_s) = problem
        .bell(turn.bell)
        .map_or((0, 0), |b| (b.lead_s, b.tail_s));
    let needed = Span::new(turn.first - lead_s, turn.last + tail_s);
    let stays = diver
        .stays
        .iter()
        .any(|s| s.span.from_s <= needed.from_s && needed.to_s <= s.span.to_s);
    judge.demand(stays, point(&rule, i, turn, Some(id)), || {
        format!("{who} is not at a storage depth all that time")
    });
}

/// Of two in the bell one comes in and is changed before the other goes out.
fn change(i: usize, turn: &BellRun, judge: &mut Judge) {
    let (Some(bell), [a, b]) = (judge.problem.bell(turn.bell), &turn.positions[..]) else {
        return;
    };
    let rule = house("change", "between one diver of two in and the other out");
    let dives = |seat: &Position, who: DiverId| {
        let spans: Vec<(Span, DiverId)> = seat.wet.iter().map(|w| (*w, who)).collect();
        spans
    };
    let mut all = [dives(a, a.diver), dives(b, b.diver)].concat();
    all.sort_unstable();
    for pair in all.windows(2).filter(|w| w[0].1 != w[1].1) {
        let found_s = pair[1].0.from_s - pair[0].0.to_s;
        let limit_s = bell.change_s;
        if found_s + ROUNDING_S >= limit_s {
            continue;
        }
        let who = judge.initials(pair[1].1);
        let at = Point {
            margin: Margin::AtLeast { found_s, limit_s },
            ..point(&rule, i, turn, Some(pair[1].1))
        };
        judge.hold(at, || {
            format!(
                "{who} leaves {} after the other is in; the change takes {}",
                h_min(found_s),
                h_min(limit_s)
            )
        });
    }
}

/// Doors lead from where a diver lives to the bell.
fn reach(i: usize, turn: &BellRun, diver: &Diver, judge: &mut Judge) {
    let Some(bell) = judge.problem.bell(turn.bell) else {
        return;
    };
    let lives = diver
        .stays
        .iter()
        .find(|s| s.span.shared_s(turn.span()) > 0);
    let rule = house("reach", "a diver reaches the bell by doors and its trunk");
    let met = lives.is_none_or(|s| bell.reached_from.contains(&s.chamber));
    judge.demand(met, point(&rule, i, turn, None), || {
        format!(
            "{} lives where no door leads to {}",
            diver.initials, bell.name
        )
    });
}

/// All come from one storage depth, from which the work may be reached.
fn together(i: usize, turn: &BellRun, judge: &mut Judge) {
    let storage = |id: DiverId| {
        let stays = judge
            .problem
            .divers
            .get(id.index())
            .map_or(&[][..], |d| &d.stays[..]);
        let here = stays.iter().find(|s| s.span.shared_s(turn.span()) > 0);
        here.map(|s| s.storage_msw)
    };
    let depths: Vec<f64> = turn
        .positions
        .iter()
        .filter_map(|s| storage(s.diver))
        .collect();
    let Some(&first) = depths.first() else { return };
    let equal = depths.iter().all(|d| (d - first).abs() <= EQUAL_MSW);
    let rule = house("one-storage", "a bell's divers live at one storage depth");
    judge.demand(equal, point(&rule, i, turn, None), || {
        "its divers live at different depths".to_owned()
    });
    if (turn.depth_msw - first).abs() <= AT_STORAGE_MSW {
        return;
    }
    if let Err(refusal) = judge.rules.excursion(first, turn.depth_msw, judge.accepted) {
        let out_of_range = |m: &MissingRow| matches!(m.why, Missing::OutOfRange(_));
        if !refusal.missing.iter().any(out_of_range) {
            judge.unanswered(refusal);
            return;
        }
        let rule = RuleName {
            id: refusal
                .missing
                .first()
                .map_or("excursion".to_owned(), |m| m.id.clone()),
            words: "excursions as the set prints them".to_owned(),
            source: house("excursion", "").source,
        };
        let words = format!(
            "from {} msw to work at {} msw: {refusal}",
            fixed_short(first),
            fixed_short(turn.depth_msw)
        );
        judge.demand(false, point(&rule, i, turn, None), || words);
    }
}

/// Someone stays in the bell; nobody is in the water while the bell is on its way.
fn water(i: usize, turn: &BellRun, judge: &mut Judge) {
    tended(i, turn, judge);
    let rule = house("bellman", "a bellman stays in the bell");
    for seat in turn.positions.iter().filter(|s| s.role == Role::Bellman) {
        let who = judge.initials(seat.diver);
        judge.demand(
            seat.wet.is_empty(),
            point(&rule, i, turn, Some(seat.diver)),
            || format!("{who} is bellman and in the water"),
        );
    }
    let Some(bell) = judge.problem.bell(turn.bell) else {
        return;
    };
    let (out_s, home_s) = (
        bell.way_out_s(turn.depth_msw),
        bell.way_home_s(turn.depth_msw),
    );
    let rule = house(
        "way",
        "divers leave the bell at depth and are in it before it leaves the depth",
    );
    for seat in &turn.positions {
        let order = seat.wet.windows(2).all(|w| w[0].to_s <= w[1].from_s)
            && seat.wet.iter().all(|w| w.from_s < w.to_s);
        let early = seat
            .wet
            .first()
            .is_some_and(|w| w.from_s < turn.first + out_s - ROUNDING_S);
        let late = seat
            .wet
            .last()
            .is_some_and(|w| w.to_s > turn.last - home_s + ROUNDING_S);
        let who = judge.initials(seat.diver);
        judge.demand(
            order && !early && !late,
            point(&rule, i, turn, Some(seat.diver)),
            || format!("{who} is in the water while the bell is on its way"),
        );
    }
}

/// Whether so many stay in the bell as the set has it; where it says nothing the house has one tend, and two go.
pub fn tended(i: usize, turn: &BellRun, judge: &mut Judge) {
    let crew = judge.bell_crew();
    let (least, stay, rule, of) = match crew {
        Some(BellCrew {
            least, stay, by, ..
        }) => (
            usize::from(least),
            usize::from(stay),
            by_row(&by),
            Some(WorkQuestion::BellTended),
        ),
        None => {
            let words = "two go, and one in the bell tends the divers in the water";
            (2, 1, house("tended", words), None)
        }
    };
    let go = turn.positions.len();
    let most_out = turn.most_out();
    let point = Point {
        of,
        ..point(&rule, i, turn, None)
    };
    judge.demand(go >= least && most_out + stay <= go, point, || {
        match go < least {
            true => format!("{go} in the bell; at least {least} go"),
            false if most_out == go => "nobody stays in the bell".to_owned(),
            false => format!(
                "{} in the bell while {most_out} are out; at least {stay}",
                go - most_out
            ),
        }
    });
}

/// What the work asks of a turn.
fn tasks(i: usize, turn: &BellRun, judge: &mut Judge) {
    let problem = judge.problem;
    let rule = house(
        "work",
        "a task has its depth, its divers and their qualifications",
    );
    let mut total_s = 0;
    for &(k, wet_s) in &turn.tasks {
        total_s += wet_s;
        let Some(task) = problem.tasks.get(k) else {
            judge.demand(false, point(&rule, i, turn, None), || {
                "works at no task of the list".to_owned()
            });
            continue;
        };
        let depth = (task.depth_msw - turn.depth_msw).abs() < 1e-6;
        judge.demand(depth, point(&rule, i, turn, None), || {
            format!(
                "{} is at {} msw and this bell run at {} msw",
                task.name,
                fixed_short(task.depth_msw),
                fixed_short(turn.depth_msw)
            )
        });
        let at_once = turn.most_out();
        let met = at_once >= usize::from(task.divers);
        judge.demand(met, point(&rule, i, turn, None), || {
            format!(
                "{} takes {} in the water at once, and this bell run has {at_once}",
                task.name, task.divers
            )
        });
        let as_many = turn.tasks.iter().filter(|(other, _)| {
            let other = problem.tasks.get(*other);
            other.is_some_and(|t| t.divers >= task.divers)
        });
        let (needed_s, out_s) = (
            as_many.map(|(_, s)| s).sum::<i64>(),
            turn.out_s(usize::from(task.divers)),
        );
        let long = !met || task.divers < 2 || needed_s <= out_s + ROUNDING_S;
        judge.demand(long, point(&rule, i, turn, None), || {
            format!(
                "{} of work takes {} in the water at once, and they are for {}",
                h_min(needed_s),
                task.divers,
                h_min(out_s)
            )
        });
    }
    qualified(i, turn, &rule, judge);
    let bottom_s = turn.bottom_s();
    let at = Point {
        margin: Margin::AtMost {
            found_s: total_s,
            limit_s: bottom_s + ROUNDING_S,
        },
        ..point(&rule, i, turn, None)
    };
    judge.hold(at, || {
        format!("{} of work in {} of water", h_min(total_s), h_min(bottom_s))
    });
}

/// Each qualification that the work takes is in the water for as long as the work that takes it.
fn qualified(i: usize, turn: &BellRun, rule: &RuleName, judge: &mut Judge) {
    let problem = judge.problem;
    let of_list = turn
        .tasks
        .iter()
        .filter_map(|&(k, wet_s)| problem.tasks.get(k).map(|t| (t, wet_s)));
    let work: Vec<_> = of_list.collect();
    let mut wanted: Vec<&String> = work.iter().flat_map(|(t, _)| &t.qualifications).collect();
    wanted.sort();
    wanted.dedup();
    for name in wanted {
        let takes = work.iter().filter(|(t, _)| t.qualifications.contains(name));
        let needed_s: i64 = takes.map(|(_, s)| s).sum();
        let has = |d: DiverId| {
            let diver = problem.divers.get(d.index());
            diver.is_some_and(|d| d.qualifications.contains(name))
        };
        let holders = turn.positions.iter().filter(|s| has(s.diver)).cloned();
        let there = BellRun {
            positions: holders.collect(),
            ..turn.clone()
        };
        let there_s = there.bottom_s();
        let met = there_s + ROUNDING_S >= needed_s;
        judge.demand(met, point(rule, i, turn, None), || {
            format!(
                "{} of work takes {name}, which is in the water for {}",
                h_min(needed_s),
                h_min(there_s)
            )
        });
    }
}

/// Turns of one bell do not overlap, and leave it its turn-round.
pub fn bells(rota: &Rota, judge: &mut Judge) {
    let problem = judge.problem;
    for bell in &problem.bells {
        let mut of_bell: Vec<(usize, &BellRun)> = rota
            .runs
            .iter()
            .enumerate()
            .filter(|(_, t)| t.bell == bell.id)
            .collect();
        of_bell.sort_by_key(|(_, t)| (t.first, t.last));
        let rule = house(
            "turnaround",
            "between two bell runs a bell is checked and made ready",
        );
        for pair in of_bell.windows(2) {
            let ((_, before), (i, after)) = (pair[0], pair[1]);
            let margin = Margin::AtLeast {
                found_s: after.first - before.last,
                limit_s: bell.turnaround_s(),
            };
            let at = Point {
                margin,
                ..point(&rule, i, after, None)
            };
            judge.hold(at, || {
                format!(
                    "{} leaves {} after it came home",
                    bell.name,
                    h_min(after.first - before.last)
                )
            });
        }
    }
}

/// Work that must be done before other work is.
pub fn order_of_work(rota: &Rota, judge: &mut Judge) {
    let problem = judge.problem;
    let rule = house("order", "work begins when what comes before it is done");
    let mut done_s = vec![0; problem.tasks.len()];
    let mut order: Vec<(usize, &BellRun)> = rota.runs.iter().enumerate().collect();
    order.sort_by_key(|(_, t)| (t.first, t.last));
    for (i, turn) in order {
        for &(k, wet_s) in &turn.tasks {
            let Some(task) = problem.tasks.get(k) else {
                continue;
            };
            for &before in &task.after {
                let Some(earlier) = problem.tasks.get(before) else {
                    continue;
                };
                let open = done_s[before] < earlier.wet_s;
                judge.demand(!open, point(&rule, i, turn, None), || {
                    format!("works at {} before {} is done", task.name, earlier.name)
                });
            }
            done_s[k] += wet_s;
        }
    }
}
