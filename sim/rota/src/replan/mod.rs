//! Changes under way: weather stops the bells, a diver is unfit, a bell is out of service. What has begun
//! is kept; only turns that the change touches are changed, and no others; what they leave undone is added
//! after the last turn.
//!
//! A turn that the change touches has to be changed by every legal rota, so that their number is the least
//! there is. Each is tried with another diver, in the other bell, later, and shorter, before it is cancelled;
//! of those who could stand in, the one is taken with whom the rota is fairest.

mod repair;
mod work;

pub(super) use super::solve::append as append_to;
pub(super) use repair::repaired;
pub(super) use work::deal;

use super::answer::{NoRota, Verdict};
use super::check;
use super::solve::append;
use super::sums::{Sums, sums};
use super::types::{BellRun, Problem, Rota, Span};
use deepstay_core::units::VesselTime;
use deepstay_core::units::{CompartmentId, DiverId};
use deepstay_rules::RuleSet;

/// What has come between.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Event {
    /// No bell may be out.
    Weather(Span),
    /// A diver may not dive.
    Unfit(DiverId, Span),
    /// A bell is out of service.
    BellOut(CompartmentId, Span),
}

/// A rota planned again.
#[derive(Clone, Debug, PartialEq)]
pub struct Replanned {
    /// The rota: what was begun, what stays, what is changed, what is added.
    pub rota: Rota,
    /// The problem with what has come between.
    pub problem: Problem,
    /// Turns of the old rota that were changed: the old, and what became of it; none: cancelled.
    pub changed: Vec<(BellRun, Option<BellRun>)>,
    /// Turns added after the last, for work left undone.
    pub added: usize,
    /// No legal rota changes fewer: turns that the events touch.
    pub at_least: usize,
    /// What the rota adds up to.
    pub sums: Sums,
    /// What the judge says of it.
    pub verdict: Verdict,
}

impl Replanned {
    /// What was changed, a line each.
    pub fn told(&self, from: &str, clock: VesselTime) -> Vec<String> {
        let turn = |t: &BellRun| {
            let bell = self
                .problem
                .bell(t.bell)
                .map_or("bell", |b| b.name.as_str());
            let crew: Vec<&str> = t
                .positions
                .iter()
                .filter_map(|s| self.problem.divers.get(s.diver.index()))
                .map(|d| d.initials.as_str())
                .collect();
            format!(
                "{bell} {} to {} {}",
                clock.clock(t.first),
                clock.hour_and_minute(t.last),
                crew.join(" ")
            )
        };
        let cancelled = self.changed.iter().filter(|(_, new)| new.is_none()).count();
        let mut lines = vec![format!(
            "Planned again from {from}: {} bell runs changed (no legal rota changes fewer than {}), {cancelled} of them cancelled; {} added after the last",
            self.changed.len(),
            self.at_least,
            self.added
        )];
        lines.extend(self.changed.iter().map(|(old, new)| match new {
            Some(new) => format!("{} became {}", turn(old), turn(new)),
            None => format!("{} is cancelled", turn(old)),
        }));
        lines
    }
}

/// Plans again from a second on. Turns that began before it are kept as they are.
///
/// # Errors
/// Where what was begun is not legal itself.
pub fn replan(
    rota: &Rota,
    problem: &Problem,
    now_s: i64,
    events: &[Event],
    rules: &RuleSet,
    accepted: &[String],
) -> Result<Replanned, NoRota> {
    let (begun, later): (Vec<BellRun>, Vec<BellRun>) =
        rota.runs.iter().cloned().partition(|t| t.first < now_s);
    let problem = with_events(problem, &begun, events);
    let (mut stay, touched): (Vec<BellRun>, Vec<BellRun>) = later
        .into_iter()
        .partition(|t| !repair::is_touched(t, &problem));
    let at_least = touched.len();
    stay.extend(begun.iter().cloned());
    stay.sort_by_key(|t| (t.first, t.bell));
    let mut changed = Vec::new();
    for old in touched {
        let new = repair::repaired(&old, &stay, &problem, now_s, (rules, accepted));
        if let Some(turn) = &new {
            stay.push(turn.clone());
            stay.sort_by_key(|t| (t.first, t.bell));
        }
        changed.push((old, new));
    }
    evener(&mut changed, &mut stay, &problem, now_s, (rules, accepted));
    work::deal(&mut stay, &problem, now_s);
    let kept = stay.len();
    let longer = append(&stay, &problem, now_s);
    let judged = |turns: Vec<BellRun>| {
        let rota = Rota { runs: turns };
        let verdict = check(&rota, &problem, rules, accepted);
        (rota, verdict)
    };
    let (mut rota, mut verdict) = judged(longer);
    if !verdict.legal() {
        (rota, verdict) = judged(stay);
    }
    if !verdict.legal() {
        return Err(super::solve::refused(&verdict));
    }
    Ok(Replanned {
        sums: sums(&rota, &problem),
        added: rota.runs.len() - kept,
        rota,
        problem,
        changed,
        at_least,
        verdict,
    })
}

/// Of the turns that were changed anyway, one after the other is changed another way where that makes the rota
/// fairer, until none does: no more turns are changed by it.
fn evener(
    changed: &mut [(BellRun, Option<BellRun>)],
    stay: &mut Vec<BellRun>,
    problem: &Problem,
    now_s: i64,
    by: (&RuleSet, &[String]),
) {
    for _ in 0..changed.len() {
        let mut better = false;
        for (old, new) in changed.iter_mut() {
            let Some(turn) = new.clone() else { continue };
            let before = repair::spread(stay, None, problem);
            let others: Vec<BellRun> = stay.iter().filter(|t| **t != turn).cloned().collect();
            let again = repair::repaired(old, &others, problem, now_s, by);
            let same_hours =
                |t: &BellRun| t.span() == turn.span() && t.positions.len() == turn.positions.len();
            let Some(again) = again.filter(same_hours) else {
                continue;
            };
            if repair::spread(&others, Some(&again), problem) < before {
                *stay = others;
                stay.push(again.clone());
                stay.sort_by_key(|t| (t.first, t.bell));
                *new = Some(again);
                better = true;
            }
        }
        if !better {
            return;
        }
    }
}

/// The problem with the events in it, for a rota of which these turns had begun by then. What is under way
/// comes home first.
pub fn with_events(problem: &Problem, begun: &[BellRun], events: &[Event]) -> Problem {
    let mut problem = problem.clone();
    let home_s = |of: &dyn Fn(&BellRun) -> bool, from_s: i64| {
        let out = begun
            .iter()
            .filter(|t| of(t) && t.first < from_s.max(t.first + 1));
        out.map(|t| t.last).max().unwrap_or(from_s).max(from_s)
    };
    for event in events {
        match *event {
            Event::Weather(span) => {
                for bell in &mut problem.bells {
                    let id = bell.id;
                    put(&mut bell.down, span, home_s(&|t| t.bell == id, span.from_s));
                }
            }
            Event::BellOut(id, span) => {
                if let Some(bell) = problem.bells.iter_mut().find(|b| b.id == id) {
                    put(&mut bell.down, span, home_s(&|t| t.bell == id, span.from_s));
                }
            }
            Event::Unfit(id, span) => {
                if let Some(diver) = problem.divers.get_mut(id.index()) {
                    let from_s = home_s(&|t| t.position_of(id).is_some(), span.from_s);
                    put(&mut diver.unfit, span, from_s);
                }
            }
        }
    }
    problem
}

fn put(list: &mut Vec<Span>, span: Span, from_s: i64) {
    if from_s < span.to_s {
        list.push(Span::new(from_s, span.to_s));
        list.sort_unstable();
    }
}
