//! Where each diver lives when, by the plan: his saturations, and his times at storage depth.
//!
//! The plan's steps are reckoned by the scenario's own rule set, with an hour for heat to settle. Where
//! the set that the rota is made under allows fewer days, the decompression is planned backwards from its
//! last day, and that is said.

use crate::types::{Saturation, Span, Stay};
use deepstay_core::units::{CompartmentId, DiverId};
use deepstay_plant::Steel;
use deepstay_rules::{CompressionPlan, Counted, RuleRefusal, RuleSet, StorageChange};
use deepstay_scenario::{LevelDo, Scenario};

/// After pressing, until depth and heat have settled and people may go to the bell, s (common practice,
/// no source).
const SETTLE_S: i64 = 3600;
/// Share of the allowed rate that pressing keeps.
const RATE_SHARE: f64 = 0.95;

/// A side from leaving the surface to reaching it again.
#[derive(Clone, Debug)]
struct Cycle {
    side: usize,
    pressed_s: i64,
    /// Reaches its first depth.
    arrived_s: i64,
    /// Times at one storage depth.
    depths: Vec<(Span, f64)>,
    leaves_s: i64,
    surfaced_s: i64,
}

type Days = (Vec<Saturation>, Vec<Stay>);

/// Each diver's days, in the order of the crew; without a set to keep, as the plan has them.
pub fn of(
    scenario: &Scenario,
    working: Option<(&RuleSet, &[String])>,
    notes: &mut Vec<String>,
) -> Result<Vec<Days>, RuleRefusal> {
    let mut cycles = cycles(scenario)?;
    let lived = |cycles: &[Cycle]| -> Vec<Days> {
        let crew = (0u8..).map(DiverId).take(scenario.crew.len());
        crew.map(|d| diver(scenario, cycles, d)).collect()
    };
    let planned = lived(&cycles);
    let Some((working, accepted)) = working else {
        return Ok(planned);
    };
    for cycle in &mut cycles {
        let mut allowed_s = cycle.leaves_s;
        let mut by = String::new();
        for (saturations, stays) in &planned {
            for s in saturations
                .iter()
                .filter(|s| s.leaves_s == cycle.leaves_s && s.surfaced_s == cycle.surfaced_s)
            {
                if let Some((latest_s, id)) = latest(scenario, (working, accepted), s, stays)?
                    && latest_s < allowed_s
                {
                    (allowed_s, by) = (latest_s, id);
                }
            }
        }
        if allowed_s < cycle.leaves_s {
            let chamber = name(&scenario.steel, &scenario.plan.levels[cycle.side].members);
            notes.push(format!(
                "{chamber}: the decompression planned for day {:.1} begins on day {:.1}, by {by}",
                cycle.leaves_s as f64 / 86_400.0,
                allowed_s as f64 / 86_400.0,
            ));
            shorten(scenario, cycle, allowed_s)?;
        }
    }
    Ok(lived(&cycles))
}

fn name(steel: &Steel, members: &[CompartmentId]) -> String {
    let first = members
        .first()
        .and_then(|c| steel.compartments.get(c.index()));
    first.map_or(String::new(), |c| c.name.clone())
}

fn up_s(scenario: &Scenario, depth_msw: f64, at_s: i64) -> Result<i64, RuleRefusal> {
    let second = (scenario.start_second_of_day + at_s).rem_euclid(86_400);
    scenario
        .rules
        .decompression(depth_msw, second, &scenario.accepted)
        .map(|p| p.total_s)
}

/// Ends a cycle sooner.
fn shorten(scenario: &Scenario, cycle: &mut Cycle, leaves_s: i64) -> Result<(), RuleRefusal> {
    cycle.leaves_s = leaves_s;
    cycle.depths.retain(|(span, _)| span.from_s < leaves_s);
    if let Some((span, depth)) = cycle.depths.last_mut() {
        span.to_s = span.to_s.min(leaves_s);
        cycle.surfaced_s = leaves_s + up_s(scenario, *depth, leaves_s)?;
    }
    Ok(())
}

/// The latest that a set lets a saturation leave its depth, where that is a question, and the row's id.
fn latest(
    scenario: &Scenario,
    (working, accepted): (&RuleSet, &[String]),
    saturation: &Saturation,
    stays: &[Stay],
) -> Result<Option<(i64, String)>, RuleRefusal> {
    let during = Span::new(saturation.pressed_s, saturation.surfaced_s);
    let of_it = || stays.iter().filter(|s| s.span.shared_s(during) > 0);
    let Some(last) = of_it().next_back() else {
        return Ok(None);
    };
    let deepest = of_it()
        .map(|s| s.storage_msw)
        .fold(scenario.site.working_msw, f64::max);
    let Ok(rule) = working.saturation_length(deepest, accepted) else {
        return Ok(None);
    };
    let latest_s = match rule.counted {
        Counted::AtDepth => saturation.arrived_s + rule.longest_s,
        Counted::UnderPressure => {
            let by_s = saturation.pressed_s + rule.longest_s;
            let start = scenario.start_second_of_day;
            let (rules, own) = (&scenario.rules, &scenario.accepted);
            rules
                .latest_decompression_start(last.storage_msw, by_s, start, own)?
                .0
        }
    };
    Ok(Some((latest_s, rule.longest_by.id)))
}

fn pressing_s(plan: &CompressionPlan, from_msw: f64) -> i64 {
    let mut depth = from_msw;
    let mut total = 0.0;
    for leg in &plan.legs {
        total += (leg.to_msw - depth).max(0.0) / leg.rate_msw_s.max(1e-6) / RATE_SHARE
            + leg.hold_s as f64;
        depth = leg.to_msw;
    }
    total.ceil() as i64
}

fn cycles(scenario: &Scenario) -> Result<Vec<Cycle>, RuleRefusal> {
    let mut cycles = Vec::new();
    for (side, s) in scenario.plan.levels.iter().enumerate() {
        let mut open: Option<Cycle> = None;
        let mut here: Option<(i64, f64)> = None;
        for step in &s.steps {
            if let (Some(cycle), Some((from_s, depth))) = (&mut open, here.take()) {
                cycle
                    .depths
                    .push((Span::new(from_s, step.at.max(from_s)), depth));
            }
            match step.what {
                LevelDo::Press(to) => {
                    let plan = scenario.rules.compression(to, &scenario.accepted)?;
                    let arrived_s = step.at + pressing_s(&plan, 0.0);
                    here = Some((arrived_s + SETTLE_S, to));
                    open = Some(Cycle {
                        side,
                        pressed_s: step.at,
                        arrived_s,
                        depths: Vec::new(),
                        leaves_s: i64::MAX,
                        surfaced_s: i64::MAX,
                    });
                }
                LevelDo::ChangeStorage(to) => {
                    let from = open
                        .as_ref()
                        .and_then(|c| c.depths.last())
                        .map_or(0.0, |d| d.1);
                    let second = (scenario.start_second_of_day + step.at).rem_euclid(86_400);
                    let change =
                        scenario
                            .rules
                            .change_storage(from, to, second, &scenario.accepted)?;
                    let takes_s = match &change {
                        StorageChange::None => 0,
                        StorageChange::Press(plan) => pressing_s(plan, from) + SETTLE_S,
                        StorageChange::Bleed(plan) => plan.total_s + SETTLE_S,
                    };
                    here = Some((step.at + takes_s, to));
                }
                LevelDo::Decompress | LevelDo::Abort => {
                    if let Some(mut cycle) = open.take() {
                        let depth = cycle.depths.last().map_or(0.0, |d| d.1);
                        cycle.leaves_s = step.at;
                        cycle.surfaced_s = step.at + up_s(scenario, depth, step.at)?;
                        cycles.push(cycle);
                    }
                }
            }
        }
    }
    cycles.sort_by_key(|c| (c.pressed_s, c.side));
    Ok(cycles)
}

fn side_of(scenario: &Scenario, chamber: CompartmentId) -> Option<usize> {
    scenario
        .plan
        .levels
        .iter()
        .position(|s| s.members.contains(&chamber))
}

/// Follows a diver through his chambers.
fn diver(scenario: &Scenario, cycles: &[Cycle], id: DiverId) -> Days {
    let mut homes = vec![(i64::MIN, scenario.crew[id.index()].chamber)];
    let moves = scenario
        .plan
        .moves
        .iter()
        .filter(|m| m.divers.contains(&id));
    homes.extend(moves.map(|m| (m.at, m.to)));
    let mut stays: Vec<Stay> = Vec::new();
    let mut saturations: Vec<Saturation> = Vec::new();
    for (i, &(from_s, chamber)) in homes.iter().enumerate() {
        let to_s = homes.get(i + 1).map_or(i64::MAX, |next| next.0);
        let Some(side) = side_of(scenario, chamber) else {
            continue;
        };
        for cycle in cycles
            .iter()
            .filter(|c| c.side == side && c.pressed_s < to_s && from_s < c.surfaced_s)
        {
            // Who moved in under pressure is there. At the surface those go in whose own chamber it is, if
            // they are on board.
            let moved_in = cycle.pressed_s < from_s;
            let own = side_of(scenario, scenario.crew[id.index()].chamber) == Some(side);
            if !(moved_in || own && scenario.plan.aboard(id, cycle.pressed_s)) {
                continue;
            }
            for &(span, storage_msw) in &cycle.depths {
                let span = Span::new(span.from_s.max(from_s), span.to_s.min(to_s));
                if span.length_s() > 0 {
                    stays.push(Stay {
                        span,
                        storage_msw,
                        chamber,
                    });
                }
            }
            match saturations.last_mut() {
                // He came under pressure in another chamber, and goes on here.
                Some(last) if moved_in => {
                    last.leaves_s = cycle.leaves_s;
                    last.surfaced_s = cycle.surfaced_s;
                }
                _ => saturations.push(Saturation {
                    pressed_s: cycle.pressed_s,
                    arrived_s: cycle.arrived_s,
                    leaves_s: cycle.leaves_s,
                    surfaced_s: cycle.surfaced_s,
                }),
            }
        }
    }
    stays.sort_by_key(|s| s.span);
    (saturations, stays)
}
