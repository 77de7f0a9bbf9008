//! What no legal rota can exceed, proven by counting, with rest and turn-round in the count.
//!
//! Take any legal rota of N turns. A turn of length L holds at most `most` of water, and no more than
//! `L - around`; where a break earns longer water, no more than the chord from the one to the other. A
//! bell's turns lie apart by its turn-round, so all lengths together are at most the time the bells can be
//! used, less a turn-round for all turns but the first of each unbroken time. A crew's turns lie apart by
//! its rest, so their lengths are at most its time at depth less a rest for all but the first of each time
//! at depth; and they begin no closer than the runs a day allow. For each N both counts give a limit; the
//! best N gives the bound. Of few turns of one bell it is counted as well what crews wait for one another
//! ([`super::waits`]). What cannot be counted so is left out, which can only make it too high.
//!
//! Where hours are kept, bells leave every so often a day, each turn with its turn-round in its slot: the
//! same count for each number of slots, and the best of them. A crew then goes every so many slots, and what
//! a turn may take with its rest before the crew goes again is no more than those slots: over any number of
//! turns no more than the line over the best mixture of such gaps; where each team keeps its own hours, it
//! goes at no more of them a day than leave it its rest every day. Where teams are free, single divers are
//! counted, each turn taking as many as go. The earliest end of the work is counted the same way: of all of
//! it, and of each task after those before it, with only the crews that can do it.

use super::crews::Window;
use super::form::Form;
use super::setup::Setup;
use super::waits::Waits;
use crate::types::{Bell, Problem, Span};
use deepstay_core::units::DiverId;

const DAY_S: i64 = 86_400;
/// Of no more turns than these it is counted what crews wait for one another; of many it is next to nothing.
const FEW_TURNS: i64 = 40;
/// Most bells leave so often a day at kept hours.
pub const MOST_SLOTS: i64 = 12;

/// The figures that the count takes, the most favourable of all depths and crews in it.
#[derive(Clone, Debug)]
struct Figures {
    /// Most water in a turn, s.
    most_s: i64,
    /// Time of a turn without anyone in the water, s.
    around_s: i64,
    /// Water by the rest of the turn: share, and seconds on top.
    lines: Vec<(f64, f64)>,
    /// Shortest turn, s.
    shortest_s: i64,
    /// Longest turn that is of use, s.
    longest_s: i64,
    /// Between two turns of a bell, s.
    turnaround_s: i64,
    /// Between two turns of a crew, s.
    rest_s: i64,
    /// Start to start of a crew's turns, s.
    spacing_s: i64,
    /// Time in the bell in any window, and the window, s.
    in_window: Option<(i64, i64)>,
    /// Runs of a crew in a day, where it keeps its own hours.
    a_day: Option<i64>,
    /// Start to start of a bell's turns where hours are kept, s.
    slot_s: Option<i64>,
    /// Most water of a turn by the number of slots until its crew goes again, from none on: the line over
    /// what the turns themselves hold.
    by_gap_s: Vec<f64>,
}

impl Figures {
    /// Most water of n turns whose lengths are no more than so many seconds together.
    fn water_s(&self, n: i64, lengths_s: i64) -> f64 {
        let free_s = (lengths_s - n * self.around_s) as f64;
        let by_line = |(share, more): &(f64, f64)| share * free_s + more * n as f64;
        self.lines
            .iter()
            .map(by_line)
            .fold((n * self.most_s) as f64, f64::min)
    }

    /// Most water of n turns of a crew that all begin within so many seconds, by the slots between them.
    fn by_slots_s(&self, n: i64, within_s: i64) -> f64 {
        let Some(slot_s) = self.slot_s.filter(|_| n > 1) else {
            return f64::INFINITY;
        };
        let slots = (within_s / slot_s) as f64 / (n - 1) as f64;
        let last = self.by_gap_s.len() - 1;
        let below = (slots.floor() as usize).min(last);
        let above = (below + 1).min(last);
        let share = slots - slots.floor();
        let (low, high) = (self.by_gap_s[below], self.by_gap_s[above]);
        (n - 1) as f64 * (low + share * (high - low)) + self.most_s as f64
    }
}

/// One who is counted: his times at depth, and the share of a turn's water that he can give.
struct Worker {
    windows: Vec<Span>,
    share: f64,
}

/// How often a day bells may leave where hours are kept, and how far apart that is, s.
pub fn slots() -> impl Iterator<Item = i64> {
    (1..=MOST_SLOTS)
        .filter(|s| DAY_S % s == 0)
        .map(|s| DAY_S / s)
}

/// Greatest time in the water of any legal rota between two seconds, s.
pub fn most_water_s(setup: &Setup, from_s: i64, to_s: i64) -> i64 {
    most_of_s(setup, None, Span::new(from_s, to_s))
}

fn most_of_s(setup: &Setup, task: Option<usize>, horizon: Span) -> i64 {
    if setup.problem.same_hours {
        slots()
            .map(|step| count_s(setup, task, horizon, Some(step)))
            .max()
            .unwrap_or(0)
    } else {
        count_s(setup, task, horizon, None)
    }
}

/// The earliest second by which a legal rota can have all work done, s; none: not by `to_s`.
pub fn earliest_s(setup: &Setup, from_s: i64, to_s: i64) -> Option<i64> {
    let wanted_s: i64 = setup.needed_s.iter().sum();
    let mut earliest = by_s(setup, None, from_s, to_s, wanted_s)?;
    let mut ends: Vec<Option<i64>> = vec![None; setup.tasks.len()];
    // A task is reckoned when all before it are; the list has no rings.
    for _ in 0..setup.tasks.len() {
        for t in 0..setup.tasks.len() {
            let before: Option<Vec<i64>> = setup.tasks[t].after.iter().map(|&b| ends[b]).collect();
            let Some(before) = before.filter(|_| ends[t].is_none()) else {
                continue;
            };
            let begin = before.into_iter().max().unwrap_or(from_s);
            let end = by_s(setup, Some(t), begin, to_s, setup.needed_s[t])?;
            ends[t] = Some(end);
            earliest = earliest.max(end);
        }
    }
    Some(earliest)
}

fn by_s(setup: &Setup, task: Option<usize>, from_s: i64, to_s: i64, water_s: i64) -> Option<i64> {
    let most_s = |to_s: i64| most_of_s(setup, task, Span::new(from_s, to_s));
    if most_s(to_s) < water_s {
        return None;
    }
    let (mut low, mut high) = (from_s, to_s);
    while high - low > 60 {
        let middle = low + (high - low) / 2;
        if most_s(middle) >= water_s {
            high = middle
        } else {
            low = middle
        }
    }
    Some(low)
}

fn count_s(setup: &Setup, task: Option<usize>, horizon: Span, slot_s: Option<i64>) -> i64 {
    let Some(figures) = figures(setup, task, slot_s) else {
        return 0;
    };
    if horizon.length_s() <= 0 {
        return 0;
    }
    let workers = workers(setup, task, horizon);
    let (bells_s, pieces, most_turns) = bell_time(setup, &workers, &figures);
    let gains = gains(&figures, &workers, seats(setup, task));
    let lengths_s = bells_s + figures.turnaround_s * pieces;
    let few = most_turns <= FEW_TURNS;
    let waits = few
        .then(|| waits(setup, task, &figures, &workers))
        .flatten();
    let water_s = |n: i64, lengths_s: i64| figures.water_s(n, lengths_s);
    let mut best: f64 = 0.0;
    let mut by_crews = 0.0;
    for (n, gain) in (1i64..=most_turns).zip(gains) {
        by_crews += gain;
        let by_bells = water_s(n, lengths_s - n * figures.turnaround_s);
        let most = by_bells.min(by_crews);
        if most > best {
            let runs = usize::try_from(n).unwrap_or(usize::MAX);
            let by_waits = waits.as_ref().map(|w| w.most_s(runs, &water_s));
            best = best.max(most.min(by_waits.unwrap_or(f64::INFINITY)));
        }
    }
    best.ceil() as i64
}

/// The crews of one bell that all have the same time at depth, of the whole work.
fn waits(
    setup: &Setup,
    task: Option<usize>,
    figures: &Figures,
    workers: &[Worker],
) -> Option<Waits> {
    let (first, others) = workers.split_first()?;
    let [at_depth] = first.windows[..] else {
        return None;
    };
    let one_bell = setup.problem.fixed_teams && setup.problem.bells.len() == 1;
    let alike = others.iter().all(|w| w.windows == first.windows);
    if !one_bell || !alike || task.is_some() {
        return None;
    }
    let mut own_s = vec![0.0];
    for gain in gains(figures, std::slice::from_ref(first), 1) {
        own_s.push(own_s.last().copied().unwrap_or(0.0) + gain);
    }
    Some(Waits {
        own_s,
        crews: workers.len(),
        at_depth_s: at_depth.length_s(),
        rest_s: figures.rest_s,
        turnaround_s: figures.turnaround_s,
        longest_s: figures.longest_s,
    })
}

fn figures(setup: &Setup, task: Option<usize>, slot_s: Option<i64>) -> Option<Figures> {
    let depth = task.map(|t| setup.depth_of[t]);
    let crews =
        (0..setup.crews.len()).filter(|&c| task.is_none_or(|t| setup.can_give_s(t, c, 3600) > 0));
    let forms: Vec<&Form> = crews
        .flat_map(|c| setup.forms[c].iter())
        .flat_map(|by_depth| by_depth.iter().enumerate())
        .filter(|(d, _)| depth.is_none_or(|only| only == *d))
        .filter_map(|(_, f)| f.as_ref())
        .collect();
    let limits: Vec<_> = setup
        .depths
        .iter()
        .enumerate()
        .filter(|(d, _)| depth.is_none_or(|only| only == *d))
        .map(|(_, l)| *l)
        .collect();
    let spacing = limits.iter().map(|l| {
        l.runs_per_day
            .as_ref()
            .map_or(0, |(n, _)| DAY_S / i64::from(*n).max(1))
    });
    let in_window: Option<Vec<(i64, i64)>> = limits
        .iter()
        .map(|l| {
            l.bell_in_window
                .as_ref()
                .map(|(limit, window)| (limit.s, *window))
        })
        .collect();
    let turnaround_s = setup.problem.bells.iter().map(|b| b.turnaround_s()).min()?;
    let rest_s = limits.iter().map(|l| l.rest.s).min()?;
    let shortest_s = forms.iter().map(|f| f.shortest_s()).min()?;
    let longest_s = slot_s.map_or(i64::MAX, |step| step - turnaround_s);
    let bottom = |f: &&Form| f.inside(f.longest_s().min(longest_s)).map(|i| i.bottom_s);
    let apart_s = spacing.min()?.max(shortest_s + rest_s);
    let by_gap_s = slot_s.map_or(vec![0.0], |step_s| {
        // In two days a crew that goes once a slot's worth of rest later has had all the rest there is.
        let gaps = 0..=(2 * DAY_S + rest_s) / step_s + 1;
        let most = |gap: i64| {
            let length_s = longest_s.min(gap * step_s - rest_s);
            let inside = |f: &&Form| f.inside(f.longest_s().min(length_s)).map(|i| i.bottom_s);
            forms.iter().filter_map(inside).max().unwrap_or(0) as f64
        };
        over(&gaps.map(most).collect::<Vec<f64>>())
    });
    let share = forms.iter().map(|f| f.line().0).fold(0.0, f64::max);
    let more = forms.iter().map(|f| f.line().1).fold(0.0, f64::max);
    Some(Figures {
        most_s: forms.iter().filter_map(bottom).max()?,
        around_s: forms.iter().map(|f| f.around_s()).min()?,
        lines: vec![(1.0, 0.0), (share, more)],
        shortest_s,
        longest_s: forms.iter().map(|f| f.longest_s().min(longest_s)).max()?,
        turnaround_s,
        rest_s,
        spacing_s: slot_s
            .map_or(apart_s, |step| (apart_s + step - 1) / step * step)
            .max(1),
        in_window: in_window.and_then(|all| {
            all.into_iter()
                .max_by_key(|(limit, window)| limit * 1000 / window)
        }),
        a_day: slot_s
            .filter(|_| setup.problem.team_hours)
            .map(|step| DAY_S / ((apart_s + step - 1) / step * step).clamp(1, DAY_S)),
        slot_s,
        by_gap_s,
    })
}

/// The least line over values at 0, 1, 2 and so on that bends downwards only.
fn over(values: &[f64]) -> Vec<f64> {
    let mut corners: Vec<usize> = Vec::new();
    let rise = |a: usize, b: usize| (values[b] - values[a]) / (b - a) as f64;
    for i in 0..values.len() {
        while let [.., a, b] = corners[..]
            && rise(a, b) <= rise(b, i)
        {
            corners.pop();
        }
        corners.push(i);
    }
    let mut line = Vec::with_capacity(values.len());
    for pair in corners.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        line.extend((a..b).map(|i| values[a] + rise(a, b) * (i - a) as f64));
    }
    line.extend(corners.last().map(|&i| values[i]));
    line
}

/// Those who are counted: crews, or single divers where teams are free; of a task those who can give to it.
fn workers(setup: &Setup, task: Option<usize>, horizon: Span) -> Vec<Worker> {
    let problem = setup.problem;
    let clip = |w: &Span| Span::new(w.from_s.max(horizon.from_s), w.to_s.min(horizon.to_s));
    let spans = |windows: &[Window], members: &[DiverId]| {
        let led = |w: &Window| led(problem, members, w.span);
        windows.iter().map(led).collect()
    };
    let made = |windows: Vec<Span>, share: f64| Worker {
        windows: merged(
            windows
                .iter()
                .map(clip)
                .filter(|w| w.length_s() > 0)
                .collect(),
        ),
        share,
    };
    let all: Vec<Worker> = if problem.fixed_teams {
        let share = |c: usize| task.map_or(1.0, |t| setup.can_give_s(t, c, 7200) as f64 / 7200.0);
        setup
            .crews
            .iter()
            .enumerate()
            .map(|(c, crew)| made(spans(&crew.windows, &crew.members), share(c)))
            .collect()
    } else {
        let holds = |d: DiverId| {
            let held = &problem.divers[d.index()].qualifications;
            task.is_none_or(|t| {
                setup.tasks[t]
                    .qualifications
                    .iter()
                    .all(|q| held.contains(q))
            })
        };
        let ids = (0u8..)
            .map(DiverId)
            .take(problem.divers.len())
            .filter(|d| holds(*d));
        let alone = |d| spans(&super::crews::together(problem, &[d]), &[d]);
        ids.map(|d| made(alone(d), 1.0)).collect()
    };
    all.into_iter()
        .filter(|w| !w.windows.is_empty() && w.share > 0.0)
        .collect()
}

/// When bells can be away with those who are at depth for a time: they are sealed in after the checks that follow their coming
/// there, and sealed to the trunk again before they leave it. Where a time begins or ends because somebody is fit or
/// not, none of that is asked.
fn led(problem: &Problem, members: &[DiverId], at_depth: Span) -> Span {
    let least = |of: fn(&Bell) -> i64| problem.bells.iter().map(of).min().unwrap_or(0);
    let unfit = || {
        members
            .iter()
            .flat_map(|d| &problem.divers[d.index()].unfit)
    };
    let lead_s = match unfit().any(|u| u.to_s == at_depth.from_s) {
        true => 0,
        false => least(|b| b.lead_s),
    };
    let tail_s = match unfit().any(|u| u.from_s == at_depth.to_s) {
        true => 0,
        false => least(|b| b.tail_s),
    };
    Span::new(at_depth.from_s + lead_s, at_depth.to_s - tail_s)
}

/// Windows that touch are one.
fn merged(mut windows: Vec<Span>) -> Vec<Span> {
    windows.sort_unstable();
    let mut joined: Vec<Span> = Vec::new();
    for w in windows {
        match joined.last_mut() {
            Some(last) if w.from_s <= last.to_s => last.to_s = last.to_s.max(w.to_s),
            _ => joined.push(w),
        }
    }
    joined
}

/// How many of those counted a turn takes at the least; of the holders of a qualification, one.
fn seats(setup: &Setup, task: Option<usize>) -> usize {
    let qualified = task.is_some_and(|t| !setup.tasks[t].qualifications.is_empty());
    if setup.problem.fixed_teams || qualified {
        return 1;
    }
    setup
        .crews
        .iter()
        .map(|c| c.members.len())
        .min()
        .unwrap_or(1)
        .max(1)
}

/// Time in which the bells can be used while somebody is at depth, s, in how many pieces, and the most
/// turns that find a slot in it.
fn bell_time(setup: &Setup, workers: &[Worker], figures: &Figures) -> (i64, i64, i64) {
    let open = merged(
        workers
            .iter()
            .flat_map(|w| w.windows.iter().copied())
            .collect(),
    );
    let (mut total_s, mut pieces, mut turns) = (0, 0, 0);
    let apart_s = figures
        .slot_s
        .unwrap_or(figures.shortest_s + figures.turnaround_s)
        .max(1);
    for bell in &setup.problem.bells {
        let mut free = open.clone();
        for d in &bell.down {
            let cut = |s: Span| {
                let before = Span::new(s.from_s, s.to_s.min(d.from_s));
                let after = Span::new(s.from_s.max(d.to_s), s.to_s);
                [before, after].into_iter().filter(|s| s.length_s() > 0)
            };
            free = free.into_iter().flat_map(cut).collect();
        }
        for piece in free.iter().filter(|p| p.length_s() >= figures.shortest_s) {
            total_s += piece.length_s();
            pieces += 1;
            turns += (piece.length_s() - figures.shortest_s) / apart_s + 1;
        }
    }
    (total_s, pieces, turns)
}

/// What the nth turn adds at the most, counted by crews, largest first. A worker's best over a time at depth
/// is concave in the number of turns, so single gains may be sorted; where a turn takes several of those
/// counted, they share it.
fn gains(figures: &Figures, workers: &[Worker], seats: usize) -> Vec<f64> {
    let mut all: Vec<f64> = Vec::new();
    for worker in workers {
        for w in &worker.windows {
            let length_s = w.length_s();
            let most = if length_s < figures.shortest_s {
                0
            } else {
                let by_rest = (length_s - figures.shortest_s) / figures.spacing_s + 1;
                let days = (length_s - figures.shortest_s) / DAY_S + 1;
                figures.a_day.map_or(by_rest, |n| by_rest.min(n * days))
            };
            let in_window_s = figures
                .in_window
                .map(|(limit, window)| limit * ((length_s + window - 1) / window));
            let worth = |n: i64| {
                let by_rest = figures.water_s(n, length_s + figures.rest_s - n * figures.rest_s);
                let by_window = in_window_s.map_or(f64::INFINITY, |s| figures.water_s(n, s));
                let by_slots = figures.by_slots_s(n, length_s - figures.shortest_s);
                by_rest.min(by_window).min(by_slots)
            };
            let gain = |n: i64| {
                if n == 1 {
                    worth(1)
                } else {
                    worth(n) - worth(n - 1)
                }
            };
            all.extend((1..=most).map(|n| worker.share * gain(n)));
        }
    }
    all.sort_by(|a, b| b.total_cmp(a));
    all.chunks_exact(seats)
        .map(|c| c.iter().sum::<f64>() / seats as f64)
        .collect()
}
