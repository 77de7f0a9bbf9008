//! Why there is no rota: the rules that collide, and what stands against what.

use super::crews::Crew;
use super::form::LEAST_WET_S;
use super::setup::Setup;
use crate::answer::{NoRota, Verdict};
use crate::limits::house_rule;
use crate::rule::RuleName;
use crate::types::{Bell, Problem};
use deepstay_core::units::fixed_short;

fn no(rules: Vec<RuleName>, words: impl Into<String>) -> NoRota {
    NoRota {
        rules,
        words: words.into(),
        relaxations: Vec::new(),
    }
}

fn house(name: &str, words: &str) -> RuleName {
    house_rule(name, words.to_owned())
}

/// What needs no search.
pub fn at_once(problem: &Problem) -> Result<(), NoRota> {
    if problem.bells.is_empty() {
        return Err(no(
            vec![house("bell", "a bell run has a bell")],
            "the spread has no bell",
        ));
    }
    if problem.last_s <= problem.first_s {
        let rules = vec![house(
            "days",
            "bells leave and return between the first and the last day",
        )];
        return Err(no(
            rules,
            "the last bell is to be home before the first leaves",
        ));
    }
    if problem.divers.iter().all(|d| d.stays.is_empty()) {
        let rules = vec![house("at-depth", "a diver is at storage depth")];
        return Err(no(rules, "no diver is ever at a storage depth by the plan"));
    }
    Ok(())
}

/// What the crews and their turns cannot do whatever the search does.
pub fn ready(setup: &Setup) -> Result<(), NoRota> {
    let problem = setup.problem;
    if let Some(unreached) = unreached(problem) {
        return Err(unreached);
    }
    if setup.crews.is_empty() {
        let most = problem.bells.iter().map(|b| b.places).max().unwrap_or(0);
        let rules = vec![house(
            "places",
            "two at the least go, and no more than the bell has places",
        )];
        let words = format!(
            "no team has between 2 and {most} divers who are at one storage depth together"
        );
        return Err(no(rules, words));
    }
    for (t, task) in setup.tasks.iter().enumerate() {
        let depth = setup.depth_of[t];
        let can = |crew: usize| {
            let fits = (0..problem.bells.len()).any(|b| setup.form(crew, b, depth).is_some());
            fits && setup.can_give_s(t, crew, 3600) > 0
        };
        if !(0..setup.crews.len()).any(can) {
            return Err(task_refused(setup, t, task.name.clone()));
        }
    }
    Ok(())
}

/// Bells that nobody reaches: where there is no other, that is why there is no rota.
fn unreached(problem: &Problem) -> Option<NoRota> {
    let stays = || problem.divers.iter().flat_map(|d| &d.stays);
    let reached = |b: &Bell| stays().any(|s| b.reached_from.contains(&s.chamber));
    if problem.bells.iter().any(reached) {
        return None;
    }
    let names: Vec<&str> = problem.bells.iter().map(|b| b.name.as_str()).collect();
    let rules = vec![house(
        "reach",
        "a diver reaches the bell by doors and its trunk",
    )];
    let words = format!(
        "no door leads from any chamber that divers live in to the trunk of {}",
        names.join(" or ")
    );
    Some(no(rules, words))
}

fn task_refused(setup: &Setup, t: usize, name: String) -> NoRota {
    let problem = setup.problem;
    let task = &setup.tasks[t];
    let name = if name.is_empty() {
        "work".to_owned()
    } else {
        name
    };
    let near = setup
        .crews
        .iter()
        .flat_map(|c| &c.windows)
        .any(|w| problem.reaches(w.storage_msw, task.depth_msw));
    if !near {
        let rules = vec![house(
            "excursion",
            "work is reached from storage by what the rule set prints",
        )];
        let words = format!(
            "{name} at {} msw is reached from no storage depth of the plan",
            fixed_short(task.depth_msw)
        );
        return no(rules, words);
    }
    let holders: usize = setup.holders[t].iter().sum();
    if holders == 0 {
        let rules = vec![house(
            "work",
            "someone in the water holds what a task asks for",
        )];
        let words = format!(
            "no diver of a crew holds all that {name} asks for: {}",
            task.qualifications.join(", ")
        );
        return no(rules, words);
    }
    let Some(limits) = setup.depths.get(setup.depth_of[t]) else {
        return no(
            Vec::new(),
            format!("{name}: no limits for {} msw", fixed_short(task.depth_msw)),
        );
    };
    let way_s = problem
        .bells
        .iter()
        .map(|b| b.way_out_s(limits.depth_msw) + b.way_home_s(limits.depth_msw))
        .min()
        .unwrap_or(0);
    let short_s = way_s + LEAST_WET_S - limits.bell_run.s;
    if short_s > 0 {
        let rules = vec![
            limits.bell_run.rule.clone(),
            house("way", "the bell's way to the work and back"),
        ];
        let words = format!(
            "a bell run of {} min leaves no time at {} msw: the way out and home takes {} min",
            limits.bell_run.s / 60,
            fixed_short(limits.depth_msw),
            way_s / 60
        );
        return no(rules, words);
    }
    if limits.in_water.s < LEAST_WET_S {
        let rules = vec![limits.in_water.rule.clone()];
        return no(
            rules,
            "the time in the water is less than is worth a bell run",
        );
    }
    let fits = |crew: &Crew| {
        let bells = problem.bells.iter().enumerate();
        let reached = |b: usize| crew.windows.iter().any(|w| w.reaches(b));
        bells
            .filter(|(b, _)| reached(*b))
            .any(|(_, bell)| crew.members.len() <= usize::from(bell.places))
    };
    if !setup.crews.iter().any(fits) {
        let rules = vec![
            house("reach", "a diver reaches the bell by doors and its trunk"),
            house("places", "no more go than the bell has places"),
        ];
        let words =
            "each team is more than the places of the bell that doors lead it to".to_owned();
        return no(rules, words);
    }
    let rules = vec![house("places", "one stays in the bell")];
    let words = format!(
        "{name} takes {} in the water at once, which no crew in its bell can give",
        task.divers
    );
    no(rules, words)
}

/// Crews and turns are in order, but no turn finds room.
pub fn nothing_fits(setup: &Setup) -> NoRota {
    let problem = setup.problem;
    let shortest_s = setup
        .forms
        .iter()
        .flatten()
        .flatten()
        .flatten()
        .map(super::form::Form::shortest_s)
        .min()
        .unwrap_or(0);
    let room = |w: &super::crews::Window| {
        w.span.to_s.min(problem.last_s) - w.span.from_s.max(problem.first_s)
    };
    let room_s = setup
        .crews
        .iter()
        .flat_map(|c| &c.windows)
        .map(room)
        .max()
        .unwrap_or(0);
    let rules = vec![
        house(
            "at-depth",
            "a diver is at storage depth from the checks until he is back",
        ),
        house(
            "days",
            "bells leave and return between the first and the last day",
        ),
    ];
    let words = format!(
        "the longest time that a whole crew is at depth is {} min, and the shortest bell run takes {}",
        room_s.max(0) / 60,
        shortest_s / 60
    );
    no(rules, words)
}

/// The rota is as good as it gets and the judge still finds a breach: days under pressure or at the surface.
pub fn by_verdict(verdict: &Verdict) -> NoRota {
    let mut rules: Vec<RuleName> = Vec::new();
    for b in &verdict.breaches {
        if rules.iter().all(|r| r.id != b.rule.id) {
            rules.push(b.rule.clone());
        }
    }
    let worst = verdict.breaches.iter().min_by_key(|b| b.margin.left());
    let words = worst.map_or(String::new(), |b| b.words.clone());
    no(rules, words)
}
