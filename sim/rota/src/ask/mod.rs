//! From a scenario to what the rota is made for: bells and the times around their work, divers with their
//! days at depth by the plan, the work list, and the answers of a rule set.

mod days;

use super::limits::Limits;
use super::rule::House;
use super::types::{Before, Bell, Diver, Problem, Task};
use deepstay_core::units::CompartmentId;
use deepstay_rules::{RuleRefusal, RuleSet};
use deepstay_scenario::{Scenario, lengths, reached_from};

/// Longest bell run and time in the water where a set has none, s.
const HOUSE_RUN_S: i64 = 8 * 3600;
const HOUSE_WATER_S: i64 = 6 * 3600;

/// A problem, and what was changed on the way to it.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked {
    /// The problem.
    pub problem: Problem,
    /// What was changed so that the rule set can be kept, in plain words.
    pub notes: Vec<String>,
}

/// What the rota of a scenario is made for, under its own rule set.
///
/// # Errors
/// A refusal where the set does not say how to press or come up as the plan does.
pub fn ask(scenario: &Scenario) -> Result<Asked, RuleRefusal> {
    ask_under(scenario, &scenario.rules, &scenario.accepted)
}

/// The same with working time and days under pressure by another set. Pressing and coming up stay with
/// the scenario's own: few sets have all.
///
/// # Errors
/// As [`ask`].
pub fn ask_under(
    scenario: &Scenario,
    working: &RuleSet,
    accepted: &[String],
) -> Result<Asked, RuleRefusal> {
    asked(scenario, (working, accepted), true)
}

/// Divers, bells and days as the plan of a scenario has them, whether its rule set allows them or not.
///
/// # Errors
/// As [`ask`].
pub fn as_planned(scenario: &Scenario) -> Result<Problem, RuleRefusal> {
    asked(scenario, (&scenario.rules, &scenario.accepted), false).map(|asked| asked.problem)
}

/// `shortened`: where the set allows fewer days the decompression begins sooner.
fn asked(
    scenario: &Scenario,
    (working, accepted): (&RuleSet, &[String]),
    shortened: bool,
) -> Result<Asked, RuleRefusal> {
    let work = &scenario.work;
    let house = House {
        rest_s: work.rest_s,
        bell_run_s: HOUSE_RUN_S,
        in_water_s: HOUSE_WATER_S,
        planned_water_s: work.in_water_s,
    };
    let tasks = tasks(scenario);
    let mut depths: Vec<f64> = tasks.iter().map(|t| t.depth_msw).collect();
    if depths.is_empty() {
        depths.push(scenario.site.working_msw);
    }
    depths.sort_by(f64::total_cmp);
    depths.dedup();
    let mut notes = Vec::new();
    let by = shortened.then_some((working, accepted));
    let divers = divers(scenario, by, &mut notes)?;
    let stays = || divers.iter().flat_map(|d| &d.stays);
    let (begins, ends) = (
        stays().map(|s| s.span.from_s).min(),
        stays().map(|s| s.span.to_s).max(),
    );
    let bells = bells(scenario, &divers, &mut notes);
    let problem = Problem {
        fixed_teams: work.fixed_teams,
        tasks,
        working_msw: scenario.site.working_msw,
        weather_share: work.weather_share,
        same_hours: work.same_hours,
        team_hours: work.team_hours,
        kept_bells: work.kept_bells,
        first_s: work.first_s.or(begins).unwrap_or(0),
        last_s: work.last_s.or(ends).unwrap_or(0),
        start_second_of_day: scenario.start_second_of_day,
        limits: depths
            .iter()
            .map(|&d| Limits::at(d, (working, accepted), &house, &bells))
            .collect(),
        bells,
        excursions: excursions(&divers, &depths, scenario),
        house,
        divers,
    };
    Ok(Asked { problem, notes })
}

/// Excursions by the scenario's own set: storage and pressing are by it as well.
fn excursions(divers: &[Diver], depths: &[f64], scenario: &Scenario) -> Vec<(f64, f64)> {
    let mut storages: Vec<f64> = divers
        .iter()
        .flat_map(|d| d.stays.iter().map(|s| s.storage_msw))
        .collect();
    storages.sort_by(f64::total_cmp);
    storages.dedup();
    let (rules, accepted) = (&scenario.rules, &scenario.accepted);
    let pairs = storages
        .iter()
        .flat_map(|&s| depths.iter().map(move |&d| (s, d)));
    pairs
        .filter(|&(s, d)| rules.excursion(s, d, accepted).is_ok())
        .collect()
}

fn tasks(scenario: &Scenario) -> Vec<Task> {
    let tasks = scenario.work.tasks.iter().map(|t| Task {
        name: t.name.clone(),
        depth_msw: t.depth_msw,
        wet_s: t.in_water_s,
        divers: t.divers,
        qualifications: t.qualifications.clone(),
        gas: t.gas.clone(),
        after: t.after.clone(),
    });
    tasks.collect()
}

/// The bells, with the lengths of the seats' practice. A turn-round that is too short for the seats at the
/// deepest storage depth is taken as long as they need it, and that is said.
fn bells(scenario: &Scenario, divers: &[Diver], notes: &mut Vec<String>) -> Vec<Bell> {
    let storages = divers
        .iter()
        .flat_map(|d| d.stays.iter().map(|s| s.storage_msw));
    let tail_s = lengths::tail_s(storages.fold(0.0, f64::max));
    let turnaround_s = scenario.work.turn_round_s;
    if turnaround_s < lengths::LEAD_S + tail_s {
        notes.push(format!(
            "The turnaround of {} min is taken as the {} min that the crew needs for it: divers home, trunk \
             pressed, check sheet, next divers in",
            turnaround_s / 60,
            (lengths::LEAD_S + tail_s + 59) / 60
        ));
    }
    let mut bells = Vec::new();
    for (i, c) in (0u8..).zip(&scenario.steel.compartments) {
        let Some(fitted) = &c.bell else { continue };
        bells.push(Bell {
            id: CompartmentId(i),
            name: c.name.clone(),
            reached_from: reached_from(&scenario.steel, &scenario.plan.levels, CompartmentId(i)),
            places: c.places,
            lead_s: lengths::LEAD_S,
            out_s: lengths::OUT_S,
            dressing_s: lengths::DRESSING_S,
            home_s: lengths::HOME_S,
            tail_s: tail_s.max(turnaround_s - lengths::LEAD_S),
            change_s: lengths::CHANGE_S,
            handling_s: fitted.handling_s,
            winch_msw_s: fitted.winch_msw_s,
            down: Vec::new(),
        });
    }
    bells
}

fn divers(
    scenario: &Scenario,
    working: Option<(&RuleSet, &[String])>,
    notes: &mut Vec<String>,
) -> Result<Vec<Diver>, RuleRefusal> {
    let days = days::of(scenario, working, notes)?;
    let own = |i: usize| scenario.work.divers.get(i).copied().unwrap_or_default();
    let divers =
        scenario
            .crew
            .iter()
            .zip(days)
            .enumerate()
            .map(|(i, (d, (saturations, stays)))| Diver {
                initials: d.initials.clone(),
                team: d.team,
                qualifications: d.qualifications.clone(),
                saturations,
                stays,
                before: Before {
                    last: own(i).last_saturation,
                    in_year_s: own(i).in_year_s,
                },
                unfit: Vec::new(),
                prefers_s: own(i).prefers_s,
            });
    Ok(divers.collect())
}
