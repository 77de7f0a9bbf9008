//! What no legal rota exceeds, whoever makes it: counted over the rules and the steel alone, and over no
//! habit of the house. Anybody who reaches a bell may go with anybody, two at the least; a bell run is as
//! long as the rule set lets it be, begins at any second, and all in it may dive, in any order, as long as
//! one is inside.
//!
//! Take any legal rota of N bell runs. In a run of length L with so many in the bell, work that takes m men
//! at once goes on for no longer than `L - around`, and no longer than a m-th of what all of them may have
//! in the water; with two in the bell either one dives, or their change is in it, and what lies between is
//! no more than the chord from the one to the other. Counted by bells: runs of one bell lie apart by its turn-round. Counted by divers: each
//! run is charged to as few of its divers as go at the least, half to each of two; what is charged to one
//! diver are runs with rests between, and no more than the runs of a day and the windows allow. Runs between
//! which the clock runs on are for one diver a single run, which holds more than they do. Where one bell of two
//! places serves all, no more than two begin with the same run and no more than two end with it: whoever begins
//! later has waited for the runs before. Counted by water:
//! nobody has more of it than a run, or a window, allows. For each N the least of these is a limit, and the
//! best N gives the bound. The same is counted for parts of the work list (each depth, each number of men,
//! each qualification), since no rota gives a part more than that.
//!
//! Where the rule set has no figure, the house's stands in, here as in the search. Left out, so that the
//! bound may be too high: who can go with whom, and when each crew's slots fall.

use super::crews::{Window, fit_windows};
use crate::limits::Limits;
use crate::types::{Bell, Diver, Problem, Span, Task};
use deepstay_core::units::DiverId;

const DAY_S: i64 = 86_400;
/// Windows closer together than this count as one, s: a diver who moves to another chamber.
const MOVE_S: i64 = 2 * 3600;

/// What no legal rota exceeds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Proven {
    /// Greatest useful time in the water, s.
    pub useful_s: i64,
    /// The earliest second by which all work can be done; none: not within the time, or there is no work list.
    pub earliest_s: Option<i64>,
}

/// Proves it by counting, without making a rota.
pub fn proven(problem: &Problem) -> Proven {
    let horizon = Span::new(problem.first_s, problem.last_s);
    let tasks: Vec<&Task> = problem.tasks.iter().collect();
    if tasks.is_empty() {
        return Proven {
            useful_s: most_s(problem, &Part::endless(problem), horizon),
            earliest_s: None,
        };
    }
    Proven {
        useful_s: useful_s(problem, horizon),
        earliest_s: earliest_s(problem, horizon),
    }
}

/// A part of the work: what all of its tasks ask for at the least.
struct Part<'a> {
    /// Depths, msw.
    depths_msw: Vec<f64>,
    /// Fewest men at once.
    men: i64,
    /// A qualification that each of its tasks takes.
    held: Option<&'a str>,
    /// Time that it takes, s.
    needed_s: i64,
}

impl<'a> Part<'a> {
    fn endless(problem: &Problem) -> Part<'static> {
        Part {
            depths_msw: vec![problem.working_msw],
            men: 1,
            held: None,
            needed_s: i64::MAX / 8,
        }
    }

    fn of(problem: &Problem, tasks: &[&'a Task], held: Option<&'a str>) -> Part<'a> {
        let mut depths_msw: Vec<f64> = tasks.iter().map(|t| t.depth_msw).collect();
        depths_msw.sort_by(f64::total_cmp);
        depths_msw.dedup();
        let men = tasks.iter().map(|t| i64::from(t.divers)).min();
        Part {
            depths_msw,
            men: men.unwrap_or(1).max(1),
            held,
            needed_s: tasks
                .iter()
                .map(|t| t.needed_s(problem.weather_share))
                .sum(),
        }
    }
}

/// Most of the work list in a time, s: of the whole, and of each part beside all the rest.
fn useful_s(problem: &Problem, horizon: Span) -> i64 {
    let all: Vec<&Task> = problem.tasks.iter().collect();
    let whole = Part::of(problem, &all, None);
    let mut best_s = whole.needed_s.min(most_s(problem, &whole, horizon));
    let mut beside = |part: Part<'_>| {
        let rest_s = whole.needed_s - part.needed_s;
        let most_s = most_s(problem, &part, horizon);
        best_s = best_s.min(part.needed_s.min(most_s) + rest_s);
        part.needed_s.min(most_s)
    };
    let mut men: Vec<u8> = all.iter().map(|t| t.divers).collect();
    men.sort_unstable();
    men.dedup();
    for least in men.into_iter().skip(1) {
        let tasks: Vec<&Task> = all.iter().copied().filter(|t| t.divers >= least).collect();
        beside(Part::of(problem, &tasks, None));
    }
    let mut held: Vec<&str> = all
        .iter()
        .flat_map(|t| t.qualifications.iter().map(String::as_str))
        .collect();
    held.sort_unstable();
    held.dedup();
    for name in held {
        let takes = |t: &&Task| t.qualifications.iter().any(|q| q == name);
        let tasks: Vec<&Task> = all.iter().copied().filter(takes).collect();
        beside(Part::of(problem, &tasks, Some(name)));
    }
    let depths = &whole.depths_msw;
    let by_depth_s: i64 = depths
        .iter()
        .map(|depth| {
            let here = |t: &&Task| t.depth_msw == *depth;
            let tasks: Vec<&Task> = all.iter().copied().filter(here).collect();
            beside(Part::of(problem, &tasks, None))
        })
        .sum();
    best_s.min(by_depth_s)
}

/// The earliest second by which all work can be done: the whole of it, and each task after those before it.
fn earliest_s(problem: &Problem, horizon: Span) -> Option<i64> {
    let all: Vec<&Task> = problem.tasks.iter().collect();
    let wanted_s: i64 = all.iter().map(|t| t.needed_s(problem.weather_share)).sum();
    let mut earliest = first_s(horizon, wanted_s, |within| useful_s(problem, within))?;
    let mut ends: Vec<Option<i64>> = vec![None; all.len()];
    // A task is reckoned when all before it are; the list has no rings.
    for _ in 0..all.len() {
        for (t, task) in all.iter().enumerate() {
            let before: Option<Vec<i64>> = task.after.iter().map(|&b| ends[b]).collect();
            let Some(before) = before.filter(|_| ends[t].is_none()) else {
                continue;
            };
            let begin = before.into_iter().max().unwrap_or(horizon.from_s);
            let held = task.qualifications.first().map(String::as_str);
            let part = Part::of(problem, &[task], held);
            let within = Span::new(begin, horizon.to_s);
            let end = first_s(within, part.needed_s, |w| most_s(problem, &part, w))?;
            ends[t] = Some(end);
            earliest = earliest.max(end);
        }
    }
    Some(earliest)
}

/// The end of the shortest time from its beginning on that holds so much, to a minute.
fn first_s(within: Span, water_s: i64, most_s: impl Fn(Span) -> i64) -> Option<i64> {
    let holds = |to_s: i64| most_s(Span::new(within.from_s, to_s)) >= water_s;
    if !holds(within.to_s) {
        return None;
    }
    let (mut low, mut high) = (within.from_s, within.to_s);
    while high - low > 60 {
        let middle = low + (high - low) / 2;
        if holds(middle) {
            high = middle
        } else {
            low = middle
        }
    }
    Some(low)
}

/// The most that a part of the work gets in a time, s: bells that share no diver are counted apart.
fn most_s(problem: &Problem, part: &Part<'_>, horizon: Span) -> i64 {
    if horizon.length_s() <= 0 {
        return 0;
    }
    let people = people(problem, part);
    let mut open: Vec<usize> = (0..problem.bells.len()).collect();
    let mut sum_s = 0;
    while let Some(first) = open.pop() {
        let mut bells = vec![first];
        let mut head = 0;
        while let Some(&bell) = bells.get(head) {
            head += 1;
            let shares = |other: usize| {
                let both = |p: &Person| p.reaches(bell) && p.reaches(other);
                people.iter().any(both)
            };
            let (near, far) = open.into_iter().partition::<Vec<_>, _>(|&b| shares(b));
            bells.extend(near);
            open = far;
        }
        sum_s += Count::new(problem, part, &bells, &people, horizon).map_or(0, |c| c.most_s());
    }
    sum_s
}

/// Somebody who is counted, with his times at a depth from which the work is reached.
struct Person {
    windows: Vec<Window>,
}

impl Person {
    fn reaches(&self, bell: usize) -> bool {
        self.windows.iter().any(|w| w.reaches(bell))
    }
}

fn people(problem: &Problem, part: &Part<'_>) -> Vec<Person> {
    let ids = (0u8..).map(DiverId).take(problem.divers.len());
    let holds = |d: &DiverId| {
        let held = &problem.divers[d.index()].qualifications;
        part.held.is_none_or(|q| held.iter().any(|h| h == q))
    };
    let near = |w: &Window| {
        let mut depths = part.depths_msw.iter();
        depths.any(|d| problem.reaches(w.storage_msw, *d))
    };
    let lead_s = problem.bells.iter().map(|b| b.lead_s).min().unwrap_or(0);
    let tail_s = problem.bells.iter().map(|b| b.tail_s).min().unwrap_or(0);
    let person = |d: DiverId| {
        // From the checks until he is back he is at depth; unfit he may be up to the run itself.
        let diver = &problem.divers[d.index()];
        let fit = Diver {
            unfit: Vec::new(),
            ..diver.clone()
        };
        let windows = fit_windows(problem, &fit).into_iter().filter(near);
        let windows = windows.flat_map(|w| {
            let led = Span::new(w.span.from_s + lead_s, w.span.to_s - tail_s);
            let spans = without(vec![led], &diver.unfit).into_iter();
            spans.map(move |span| Window { span, ..w })
        });
        Person {
            windows: windows.filter(|w| w.span.length_s() > 0).collect(),
        }
    };
    ids.filter(holds)
        .map(person)
        .filter(|p| !p.windows.is_empty())
        .collect()
}

/// What is counted over bells that share divers.
struct Count {
    /// Whether one holder is charged with what he does in the water, rather than as many as go.
    by_holder: bool,
    /// As few as go.
    least: usize,
    /// Men at work at once.
    men: i64,
    /// Most of the work in a run, s.
    most_s: i64,
    /// Most that is charged to a diver for a run of his, s.
    charged_s: i64,
    /// Lines that no run's work lies above, by the run's time besides what is around it: share, and seconds on
    /// top.
    lines: Vec<(f64, f64)>,
    /// Part of a run in which nobody can be in the water, s.
    around_s: i64,
    turnaround_s: i64,
    rest_s: i64,
    /// Most in the water of one diver in a run, s.
    water_s: i64,
    /// The window that his time in the water counts in, s.
    water_window_s: Option<i64>,
    /// Runs of a diver in a day.
    a_day: Option<i64>,
    /// Time in the bell in any window, and the window, s.
    in_window: Option<(i64, i64)>,
    /// Each diver's times, those that nearly touch as one.
    spans: Vec<Vec<Span>>,
    /// Times in which each bell can be out, all bells together.
    bell_spans: Vec<Span>,
    /// How long everybody is there, where one bell of two places serves all and all are there alike, s; and the
    /// length of a run that holds the most.
    alike_s: Option<(i64, i64)>,
    /// Whether runs may be one run of a diver.
    joins: bool,
}

impl Count {
    fn new(
        problem: &Problem,
        part: &Part<'_>,
        bells: &[usize],
        people: &[Person],
        horizon: Span,
    ) -> Option<Count> {
        let limits: Vec<&Limits> = part
            .depths_msw
            .iter()
            .filter_map(|&d| problem.limits_at(d))
            .collect();
        let fleet: Vec<(usize, &Bell)> = bells.iter().map(|&b| (b, &problem.bells[b])).collect();
        let least = usize::try_from(part.men + 1).ok()?.max(2);
        let water_s = limits.iter().map(|l| longest_water_s(l)).max()?;
        let (mut most_s, mut charged_s) = (0, 0);
        let mut around_s = i64::MAX;
        for (_, bell) in fleet.iter().filter(|(_, b)| usize::from(b.places) >= least) {
            for l in &limits {
                let way_s = bell.way_out_s(l.depth_msw) + bell.way_home_s(l.depth_msw);
                let all_s = i64::from(bell.places) * longest_water_s(l) / part.men;
                let one_s = (l.bell_run.s - way_s).min(longest_water_s(l));
                let change_s = if bell.places == 2 { bell.change_s } else { 0 };
                let more_s = l.bell_run.s - way_s - change_s;
                most_s = most_s.max(one_s.max(more_s.min(all_s)));
                // Two runs that the clock joins have the way twice.
                let twice_s = l.bell_run.s - 2 * way_s;
                let joined_s = if l.clock_runs_on {
                    more_s.max(twice_s)
                } else {
                    0
                };
                charged_s = charged_s.max(most_s).max(joined_s);
                around_s = around_s.min(way_s);
            }
        }
        if most_s <= 0 {
            return None;
        }
        let every = |of: &dyn Fn(&Limits) -> Option<i64>| -> Option<i64> {
            let all: Option<Vec<i64>> = limits.iter().map(|l| of(l)).collect();
            all?.into_iter().max()
        };
        let here = |w: &&Window| bells.iter().any(|&b| w.reaches(b));
        let spans = people.iter().map(|p| {
            let near = p.windows.iter().filter(here).map(|w| w.span).collect();
            within(joined(near, MOVE_S).into_iter(), horizon)
        });
        let by_holder = part.held.is_some();
        let together = if by_holder { 1 } else { least };
        let mut bell_spans = Vec::new();
        for &(b, bell) in &fleet {
            let reached = people.iter().flat_map(|p| &p.windows);
            let manned = reached.filter(|w| w.reaches(b)).map(|w| w.span);
            let open = covered(&within(manned, horizon), together);
            bell_spans.extend(without(open, &bell.down));
        }
        let joins = limits.iter().any(|l| l.clock_runs_on);
        let free_s = limits.iter().map(|l| l.bell_run.s).max()? - around_s;
        let mut lines = vec![(1.0, 0.0)];
        if limits.len() == 1
            && fleet.iter().all(|(_, b)| b.places == 2)
            && free_s > water_s
            && charged_s >= water_s
        {
            let share = (charged_s - water_s) as f64 / (free_s - water_s) as f64;
            lines.push((share, water_s as f64 * (1.0 - share)));
        }
        let spans: Vec<Vec<Span>> = spans.collect();
        let alike = match (&fleet[..], spans.first().map(Vec::as_slice)) {
            ([(_, bell)], Some(&[one])) => {
                let all = bell.places == 2 && spans.iter().all(|own| own[..] == [one]);
                (all && !joins && !by_holder && limits.len() == 1).then_some(one.length_s())
            }
            _ => None,
        };
        let change_s = fleet.iter().map(|(_, b)| b.change_s).min().unwrap_or(0);
        let full_s = match most_s > water_s {
            true => most_s + around_s + change_s,
            false => most_s + around_s,
        };
        Some(Count {
            alike_s: alike.map(|s| (s, full_s)),
            by_holder,
            least,
            men: part.men,
            most_s,
            around_s,
            turnaround_s: fleet.iter().map(|(_, b)| b.turnaround_s()).min()?,
            rest_s: limits.iter().map(|l| l.rest.s).min()?,
            water_s,
            water_window_s: every(&|l| l.water_window_s),
            a_day: every(&|l| l.runs_per_day.as_ref().map(|(n, _)| i64::from(*n).max(1))),
            in_window: limits
                .iter()
                .map(|l| l.bell_in_window.as_ref().map(|(of, w)| (of.s, *w)))
                .collect::<Option<Vec<_>>>()
                .and_then(|all| all.into_iter().max_by_key(|(s, w)| s * 1000 / w)),
            spans,
            bell_spans,
            charged_s,
            lines,
            joins,
        })
    }

    /// The most over all numbers of runs, s.
    fn most_s(&self) -> i64 {
        let by_water_s = self.by_water_s();
        let charged = self.charged();
        let bells_s: i64 = self.bell_spans.iter().map(|s| s.length_s()).sum();
        let pieces = self.bell_spans.len() as i64;
        let runs =
            (bells_s + pieces * self.turnaround_s) / (self.around_s + self.turnaround_s).max(1);
        let mut best: f64 = 0.0;
        for n in 1..=runs {
            let lengths_s = bells_s + (pieces - n) * self.turnaround_s;
            let by_bells = self.work_s(n, self.most_s, lengths_s);
            let place = usize::try_from(n).unwrap_or(usize::MAX) - 1;
            let by_divers = match charged.get(place) {
                Some(s) => *s,
                None if self.joins || self.by_holder => charged.last().copied().unwrap_or(0.0),
                None => break,
            };
            let by_waiting = self.waited_s(n);
            best = best.max(by_bells.min(by_divers).min(by_waiting));
        }
        (best.min(by_water_s).floor()) as i64
    }

    /// Most work of n runs of no more than so much each, whose lengths are no more than so many seconds
    /// together.
    fn work_s(&self, n: i64, most_s: i64, lengths_s: i64) -> f64 {
        let free_s = (lengths_s - n * self.around_s) as f64;
        let by_line = |(share, more): &(f64, f64)| share * free_s + more * n as f64;
        let lines = self.lines.iter().map(by_line);
        lines.fold((n * most_s) as f64, f64::min)
    }

    /// Most work of n runs of one bell of two places, whose divers wait for one another before their first run and
    /// after their last. Of runs that are too long together those are cut first that make the most others wait.
    fn waited_s(&self, n: i64) -> f64 {
        let Some((there_s, full_s)) = self.alike_s else {
            return f64::INFINITY;
        };
        let share = self.lines.iter().map(|l| l.0).fold(1.0, f64::min);
        let pairs = (self.spans.len() as i64 + 1) / 2;
        let of = |pairs: i64| {
            let wait_s = full_s + self.turnaround_s;
            // An odd one out is counted as two, which is too kind where his time is longer than the waiting.
            if there_s < 2 * (pairs - 1) * wait_s + self.rest_s {
                return f64::INFINITY;
            }
            let behind: i64 = (1..=pairs).map(|j| pairs - j).sum();
            let used_s = 2 * n * full_s + 2 * (n - pairs) * self.rest_s + 4 * behind * wait_s;
            let mut over_s = (used_s - 2 * pairs * there_s) as f64;
            let mut cut_s = 0.0;
            let weights = (1..=pairs).map(|j| 2 + 4 * (pairs - j));
            for weight in weights.chain(std::iter::repeat_n(2, (n - pairs).max(0) as usize)) {
                let most = (full_s - self.around_s) as f64;
                let by = (over_s / weight as f64).clamp(0.0, most);
                cut_s += by;
                over_s -= by * weight as f64;
            }
            if over_s > 1e-6 {
                return 0.0;
            }
            ((n * self.most_s) as f64 - share * cut_s).max(0.0)
        };
        (1..=pairs.min(n)).map(of).fold(0.0, f64::max)
    }

    /// What all divers may have in the water, by the men who work at once, s.
    fn by_water_s(&self) -> f64 {
        let of = |span: &Span| {
            let runs_s = self.most_runs(*span) * self.water_s;
            let window = |w: i64| self.water_s * ((span.length_s() + w - 1) / w);
            self.water_window_s
                .map_or(runs_s, |w| runs_s.min(window(w)))
        };
        let all_s: i64 = self.spans.iter().flatten().map(of).sum();
        all_s as f64 / self.men as f64
    }

    /// Most runs of a diver in a time at depth; runs that the clock joins are one.
    fn most_runs(&self, span: Span) -> i64 {
        let shortest_s = self.around_s + 1;
        if span.length_s() < shortest_s {
            return 0;
        }
        let by_rest = (span.length_s() - shortest_s) / (shortest_s + self.rest_s) + 1;
        let by_day = |n: i64| n * ((span.length_s() - shortest_s) / DAY_S + 1);
        self.a_day.map_or(by_rest, |n| by_rest.min(by_day(n)))
    }

    /// What so many runs hold at the most by their divers, from one on, s: each run charged to as few as go.
    fn charged(&self) -> Vec<f64> {
        let share = if self.by_holder { 1 } else { self.least };
        let most_s = if self.by_holder {
            self.charged_s.min(self.water_s)
        } else {
            self.charged_s
        };
        let mut gains: Vec<f64> = Vec::new();
        for span in self.spans.iter().flatten() {
            let length_s = span.length_s();
            let worth = |n: i64| {
                let lengths_s = length_s + self.rest_s - n * self.rest_s;
                let by_rest = self.work_s(n, most_s, lengths_s);
                self.in_window.map_or(by_rest, |(limit, window)| {
                    let in_bell_s = limit * ((length_s + window - 1) / window);
                    by_rest.min(self.work_s(n, most_s, in_bell_s))
                })
            };
            let mut before = 0.0;
            for n in 1..=self.most_runs(*span) {
                gains.push(worth(n) - before);
                before = worth(n);
            }
        }
        gains.sort_by(|a, b| b.total_cmp(a));
        let mut sum: f64 = 0.0;
        let mut most: f64 = 0.0;
        let mut all = Vec::with_capacity(gains.len() / share);
        if self.by_holder {
            let whole: f64 = gains.iter().filter(|g| **g > 0.0).sum();
            return vec![whole];
        }
        for run in gains.chunks_exact(share) {
            sum += run.iter().sum::<f64>() / share as f64;
            most = most.max(sum);
            all.push(most);
        }
        all
    }
}

/// Most in the water of one diver in a run, s.
fn longest_water_s(limits: &Limits) -> i64 {
    let long = limits.long_water.as_ref();
    let long_s = long.map_or(0, |l| l.s - l.break_s);
    limits.in_water.s.max(long_s)
}

/// What of spans lies in a time.
fn within(spans: impl Iterator<Item = Span>, time: Span) -> Vec<Span> {
    spans
        .map(|s| Span::new(s.from_s.max(time.from_s), s.to_s.min(time.to_s)))
        .filter(|s| s.length_s() > 0)
        .collect()
}

/// Spans no further apart than this are one.
fn joined(mut spans: Vec<Span>, apart_s: i64) -> Vec<Span> {
    spans.sort_unstable();
    let mut all: Vec<Span> = Vec::new();
    for s in spans {
        match all.last_mut() {
            Some(last) if s.from_s <= last.to_s + apart_s => last.to_s = last.to_s.max(s.to_s),
            _ => all.push(s),
        }
    }
    all
}

/// Where so many spans lie over one another.
fn covered(spans: &[Span], times: usize) -> Vec<Span> {
    let mut ends: Vec<(i64, i64)> = spans
        .iter()
        .flat_map(|s| [(s.from_s, 1), (s.to_s, -1)])
        .collect();
    ends.sort_unstable_by_key(|&(at, step)| (at, -step));
    let (mut depth, mut from) = (0, None);
    let mut all = Vec::new();
    for (at, step) in ends {
        depth += step;
        let enough = usize::try_from(depth).is_ok_and(|d| d >= times);
        match (enough, from) {
            (true, None) => from = Some(at),
            (false, Some(begin)) => {
                all.push(Span::new(begin, at));
                from = None;
            }
            _ => {}
        }
    }
    all.retain(|s| s.length_s() > 0);
    all
}

/// Spans less those in which a bell is out of service.
fn without(mut spans: Vec<Span>, down: &[Span]) -> Vec<Span> {
    for d in down {
        let cut = |s: Span| {
            let before = Span::new(s.from_s, s.to_s.min(d.from_s));
            let after = Span::new(s.from_s.max(d.to_s), s.to_s);
            [before, after].into_iter().filter(|s| s.length_s() > 0)
        };
        spans = spans.into_iter().flat_map(cut).collect();
    }
    spans
}
