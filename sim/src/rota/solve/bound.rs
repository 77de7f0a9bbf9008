//! What no legal rota can exceed, proven by counting, with rest and turn-round in the count.
//!
//! Take any legal rota of N turns. Each turn of length L holds at most `min(most, L - around)` of water.
//! A bell's turns lie apart by its turn-round, so all lengths together are at most the time the bells can be
//! used, less a turn-round for all turns but the first of each unbroken time. A crew's turns lie apart by
//! its rest, so their lengths are at most its time at depth less a rest for all but the first of each time
//! at depth; and they begin no closer than the runs a day allow. For each N both counts give a limit; the
//! best N gives the bound. It leaves out what cannot be counted so, which can only make it too high, never
//! too low. Where teams are free, single divers are counted, each turn taking as many as go.

use super::setup::Setup;
use crate::rota::types::Span;
use crate::units::DiverId;

const DAY_S: i64 = 86_400;

/// The figures that the count takes, the most favourable of all depths and crews.
#[derive(Clone, Copy, Debug)]
struct Figures {
    /// Most water in a turn, s.
    most_s: i64,
    /// Time of a turn without anyone in the water, s.
    around_s: i64,
    /// Shortest turn, s.
    shortest_s: i64,
    /// Between two turns of a bell, s.
    turn_round_s: i64,
    /// Between two turns of a crew, s.
    rest_s: i64,
    /// Start to start of a crew's turns, s.
    spacing_s: i64,
    /// Time in the bell in any window, and the window, s.
    in_window: Option<(i64, i64)>,
}

/// Greatest time in the water that any legal rota has that begins no sooner than `from_s` and ends by
/// `to_s`, s.
pub fn most_water_s(setup: &Setup, from_s: i64, to_s: i64) -> i64 {
    let Some(figures) = figures(setup) else {
        return 0;
    };
    let horizon = Span::new(from_s, to_s);
    let crews = workers(setup, horizon);
    if crews.is_empty() || horizon.length_s() <= 0 {
        return 0;
    }
    let (bells_s, pieces) = bell_time(setup, horizon);
    let marginals = marginals(&figures, &crews, seats(setup));
    let mut best_s = 0;
    let mut by_crews_s = 0;
    for (n, gain) in (1i64..).zip(marginals) {
        by_crews_s += gain;
        let lengths_s = bells_s + figures.turn_round_s * pieces;
        let by_bells_s =
            (n * figures.most_s).min(lengths_s - n * (figures.turn_round_s + figures.around_s));
        best_s = best_s.max(by_bells_s.min(by_crews_s));
    }
    best_s
}

/// The earliest second by which a legal rota can have so much time in the water; none: not by `to_s`.
pub fn earliest_s(setup: &Setup, from_s: i64, to_s: i64, water_s: i64) -> Option<i64> {
    if most_water_s(setup, from_s, to_s) < water_s {
        return None;
    }
    let (mut low, mut high) = (from_s, to_s);
    while high - low > 60 {
        let middle = low + (high - low) / 2;
        if most_water_s(setup, from_s, middle) >= water_s {
            high = middle
        } else {
            low = middle
        }
    }
    Some(low)
}

fn figures(setup: &Setup) -> Option<Figures> {
    let problem = setup.problem;
    let forms = || setup.forms.iter().flatten().flatten().flatten();
    let limits = || setup.depths.iter();
    let spacing = limits().map(|l| {
        l.runs_per_day
            .as_ref()
            .map_or(0, |(n, _)| DAY_S / i64::from(*n).max(1))
    });
    let in_window = limits().map(|l| {
        l.bell_in_window
            .as_ref()
            .map(|(limit, window)| (limit.s, *window))
    });
    let in_window: Option<Vec<(i64, i64)>> = in_window.collect();
    Some(Figures {
        most_s: forms().map(super::form::Form::most_bottom_s).max()?,
        around_s: forms().map(super::form::Form::around_s).min()?,
        shortest_s: forms().map(super::form::Form::shortest_s).min()?,
        turn_round_s: problem.bells.iter().map(|b| b.turn_round_s()).min()?,
        rest_s: limits().map(|l| l.rest.s).min()?,
        spacing_s: spacing.min()?,
        in_window: in_window.and_then(|all| {
            all.into_iter()
                .max_by_key(|(limit, window)| limit * 1000 / window)
        }),
    })
}

/// Times at depth of each who is counted: crews, or single divers where teams are free.
fn workers(setup: &Setup, horizon: Span) -> Vec<Vec<Span>> {
    let problem = setup.problem;
    let windows: Vec<Vec<Span>> = if problem.fixed_teams {
        setup
            .crews
            .iter()
            .map(|c| c.windows.iter().map(|(w, _)| *w).collect())
            .collect()
    } else {
        let ids = (0u8..).map(DiverId).take(problem.divers.len());
        ids.map(|d| {
            super::crews::together(problem, &[d])
                .into_iter()
                .map(|(w, _)| w)
                .collect()
        })
        .collect()
    };
    let clip = |w: Span| Span::new(w.from_s.max(horizon.from_s), w.to_s.min(horizon.to_s));
    let clipped = windows.into_iter().map(|all| {
        merged(
            all.into_iter()
                .map(clip)
                .filter(|w| w.length_s() > 0)
                .collect(),
        )
    });
    clipped.filter(|w: &Vec<Span>| !w.is_empty()).collect()
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

/// How many of those counted a turn takes at the least.
fn seats(setup: &Setup) -> i64 {
    if setup.problem.fixed_teams {
        return 1;
    }
    let sizes = setup.crews.iter().map(|c| c.members.len() as i64);
    sizes.min().unwrap_or(1).max(1)
}

/// Time in which the bells can be used while somebody is at depth, s, and in how many pieces.
fn bell_time(setup: &Setup, horizon: Span) -> (i64, i64) {
    let open = merged(workers(setup, horizon).into_iter().flatten().collect());
    let mut total_s = 0;
    let mut pieces = 0;
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
        total_s += free.iter().map(|s| s.length_s()).sum::<i64>();
        pieces += free.len() as i64;
    }
    (total_s, pieces)
}

/// What the nth turn adds at the most, counted by crews, largest first. Where a turn takes several of those
/// counted, their gains are shared among it.
fn marginals(figures: &Figures, workers: &[Vec<Span>], seats: i64) -> Vec<i64> {
    let mut all: Vec<i64> = Vec::new();
    for windows in workers {
        // A window bears n turns; over all its windows a worker's best is concave in n, so that single
        // gains may be sorted.
        for w in windows {
            let length_s = w.length_s();
            let apart_s = figures
                .spacing_s
                .max(figures.shortest_s + figures.rest_s)
                .max(1);
            let most = if length_s < figures.shortest_s {
                0
            } else {
                (length_s - figures.shortest_s) / apart_s + 1
            };
            let in_window_s = figures.in_window.map_or(i64::MAX / 4, |(limit, window)| {
                limit * ((length_s + window - 1) / window)
            });
            let worth = |n: i64| {
                let by_rest_s = length_s + figures.rest_s - n * (figures.rest_s + figures.around_s);
                let by_window_s = in_window_s - n * figures.around_s;
                (n * figures.most_s).min(by_rest_s).min(by_window_s)
            };
            all.extend((1..=most).map(|n| worth(n) - worth(n - 1)));
        }
    }
    all.sort_unstable_by(|a, b| b.cmp(a));
    // Every turn takes `seats` workers, and all of them its whole time.
    let chunk = usize::try_from(seats).unwrap_or(1);
    all.chunks_exact(chunk)
        .map(|c| c.iter().sum::<i64>() / seats + i64::from(seats > 1))
        .collect()
}
