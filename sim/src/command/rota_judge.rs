//! What `rota` asks of rule sets: the one the rota is made under, those it is set against, and which
//! figures it rests on.

use crate::report::{ProvenanceRow, Under, UnderRota};
use crate::rota::{
    Asked, Binding, Event, Found, NoRota, Problem, Rota, RuleName, Turn, Verdict, Worth, ask_under,
    check, make, replan, sums, with_events,
};
use crate::rules::{self, RuleSet};
use crate::scenario::Scenario;

/// A rule set, by name, with the recalled rows that may be used.
pub struct Set {
    /// Name.
    pub name: String,
    /// The set.
    pub rules: RuleSet,
    /// Ids of recalled rows that may be used.
    pub accepted: Vec<String>,
}

impl Set {
    /// The scenario's own.
    pub fn own(scenario: &Scenario, accepted: &[String]) -> Set {
        let rules = RuleSet::clone(&scenario.rules);
        Set {
            name: rules.name.clone(),
            rules,
            accepted: accepted.to_vec(),
        }
    }

    /// Rows from memory that a verdict would have needed and that are not accepted.
    fn waiting(&self, verdict: &Verdict) -> Vec<String> {
        let printed = self.rules.provenance();
        let waits = |id: &String| {
            !self.accepted.contains(id) && printed.iter().any(|p| p.id == *id && p.needs_acceptance)
        };
        let mut ids: Vec<String> = verdict
            .unanswered
            .iter()
            .flat_map(|r| &r.missing)
            .map(|m| m.id.clone())
            .filter(waits)
            .collect();
        ids.sort();
        ids.dedup();
        ids
    }
}

/// Refuses an id that no set in use has.
///
/// # Errors
/// What is wrong, in words.
pub fn known_rows<'a>(ids: &[String], sets: impl Iterator<Item = &'a Set>) -> Result<(), String> {
    let known: Vec<String> = sets
        .flat_map(|s| s.rules.provenance())
        .map(|p| p.id)
        .collect();
    match ids.iter().find(|id| !known.contains(id)) {
        Some(id) => {
            let near = known.iter().min_by_key(|k| strsim::osa_distance(k, id));
            let help = near.map_or(String::new(), |k| format!("; did you mean `{k}`?"));
            Err(format!("no rule set in use has a row `{id}`{help}"))
        }
        None => Ok(()),
    }
}

/// A built-in set by name.
///
/// # Errors
/// What is wrong, in words.
pub fn set(name: &str, accepted: &[String]) -> Result<Set, String> {
    let known: Vec<&str> = rules::builtin_names().collect();
    if !known.contains(&name) {
        let near = known.iter().min_by_key(|k| strsim::osa_distance(k, name));
        let near = near.filter(|k| strsim::osa_distance(k, name) <= 1 + k.len() / 3);
        let help = near.map_or(String::new(), |k| format!("; did you mean `{k}`?"));
        return Err(format!(
            "there is no built-in rule set `{name}`; there are {}{help}",
            known.join(", ")
        ));
    }
    let rules = rules::builtin(name).map_err(|e| e.to_string())?;
    Ok(Set {
        name: name.to_owned(),
        rules,
        accepted: accepted.to_vec(),
    })
}

/// What the rota of a scenario is made for under a set.
///
/// # Errors
/// Why it cannot be asked, in words.
pub fn ask(scenario: &Scenario, set: &Set) -> Result<Asked, String> {
    ask_under(scenario, &set.rules, &set.accepted).map_err(|refusal| refusal.to_string())
}

/// The rota at hand, and what came between where it was planned again.
#[derive(Clone, Copy)]
pub struct Against<'a> {
    /// The rota.
    pub rota: &'a Rota,
    /// What it is worth, where it was searched for.
    pub worth: Option<Worth>,
    /// From when on it was planned again, and what had come between.
    pub events: Option<(i64, &'a [Event])>,
}

/// The same crew under each set, the one at hand first; empty where no other was asked. What came between
/// comes between under every set. `go_on` gives each search its own patience.
pub fn against<G: FnMut(&Found) -> bool>(
    scenario: &Scenario,
    (own, others): (&Set, &[Set]),
    at_hand: Against<'_>,
    mut go_on: impl FnMut(&str) -> G,
) -> Vec<Under> {
    if others.is_empty() {
        return Vec::new();
    }
    let sets = std::iter::once(own).chain(others);
    sets.enumerate()
        .map(|(i, set)| one(scenario, set, at_hand, i == 0, &mut go_on))
        .collect()
}

/// A set's best rota in figures, or why there is none.
type Best = Result<UnderRota, NoRota>;

/// The best rota under a set; lived through what came between, where something did.
fn best<G: FnMut(&Found) -> bool>(
    problem: &Problem,
    set: &Set,
    events: Option<(i64, &[Event])>,
    go_on: &mut impl FnMut(&str) -> G,
) -> Best {
    let made = make(problem, &set.rules, &set.accepted, &mut go_on(&set.name))?;
    let Some((now_s, events)) = events else {
        let (rota, worth) = (&made.solution.rota, made.solution.worth);
        return Ok(figures(problem, rota, Some(worth)));
    };
    let (rota, by) = (&made.solution.rota, (&set.rules, &set.accepted));
    let again = replan(rota, problem, now_s, events, by.0, by.1)?;
    Ok(figures(&again.problem, &again.rota, None))
}

fn one<G: FnMut(&Found) -> bool>(
    scenario: &Scenario,
    set: &Set,
    at_hand: Against<'_>,
    is_own: bool,
    go_on: &mut impl FnMut(&str) -> G,
) -> Under {
    let mut under = Under {
        set: set.name.clone(),
        limits_s: [None; 3],
        rota: None,
        breaches: None,
        note: String::new(),
    };
    let asked = match ask(scenario, set) {
        Ok(asked) => asked,
        Err(words) => {
            under.note = words;
            return under;
        }
    };
    let problem = &asked.problem;
    if let Ok(time) = set.rules.working_time(deepest(problem), &set.accepted) {
        under.limits_s = [time.bell_run_s, time.in_water_s, time.rest_s];
    }
    let Against {
        rota,
        worth,
        events,
    } = at_hand;
    let lived = match events {
        Some((now_s, events)) => {
            let begun: Vec<Turn> = rota
                .turns
                .iter()
                .filter(|t| t.first < now_s)
                .cloned()
                .collect();
            with_events(problem, &begun, events)
        }
        None => problem.clone(),
    };
    let verdict = check(rota, &lived, &set.rules, &set.accepted);
    under.breaches = Some(verdict.breaches.len());
    let mut notes = asked.notes.clone();
    let known = is_own && (worth.is_some() || events.is_some());
    let found = if known {
        Ok(figures(&lived, rota, worth))
    } else {
        best(problem, set, events, go_on)
    };
    match found {
        Ok(figures) => under.rota = Some(figures),
        Err(none) => {
            notes.push(format!("no legal rota: {}", none.words));
            notes.extend(
                none.relaxations
                    .first()
                    .map(|r| format!("helps: {}", r.words())),
            );
        }
    }
    let recalled: Vec<String> = problem
        .limits
        .iter()
        .flat_map(|l| [&l.bell_run.rule, &l.in_water.rule, &l.rest.rule])
        .filter(|r| r.source.status == rules::Status::Recalled)
        .map(|r| r.id.clone())
        .collect();
    if let Some(first) = recalled.first() {
        notes.push(format!("rests on figures from memory, such as {first}"));
    }
    let waiting = set.waiting(&verdict);
    if !waiting.is_empty() {
        notes.push(format!(
            "from memory and not used: {} (--accept)",
            waiting.join(", ")
        ));
    }
    under.note = notes.join("; ");
    under
}

fn deepest(problem: &Problem) -> f64 {
    problem
        .limits
        .iter()
        .map(|l| l.depth_msw)
        .fold(problem.working_msw, f64::max)
}

/// A rota in figures; its worth where it was searched for.
fn figures(problem: &Problem, rota: &Rota, worth: Option<Worth>) -> UnderRota {
    let sums = sums(rota, problem);
    let (away, open) = sums
        .bells
        .iter()
        .fold((0, 0), |(a, o), b| (a + b.away_s, o + b.open_s));
    let ends: Option<Vec<i64>> = sums.progress.iter().map(|p| p.done_s).collect();
    let given_s = if problem.tasks.is_empty() {
        sums.bells.iter().map(|b| b.bottom_s).sum()
    } else {
        sums.progress
            .iter()
            .map(|p| p.given_s.min(p.needed_s))
            .sum()
    };
    UnderRota {
        turns: rota.turns.len(),
        useful_s: worth.map_or(given_s, |w| w.useful_s),
        bound_s: worth.map(|w| w.bound_s),
        gap: worth.map(|w| w.gap(problem.first_s)),
        done_s: ends.and_then(|e| e.into_iter().max()),
        shortest_rest_s: sums.divers.iter().filter_map(|d| d.shortest_rest_s).min(),
        away: if open > 0 {
            away as f64 / open as f64
        } else {
            0.0
        },
    }
}

/// Every rule that the rota was made or judged by, with its figures where the set prints them.
pub fn provenance(
    problem: &Problem,
    rules: &RuleSet,
    verdict: &Verdict,
    binding: &[Binding],
) -> Vec<ProvenanceRow> {
    let limits = problem
        .limits
        .iter()
        .flat_map(|l| [&l.bell_run.rule, &l.in_water.rule, &l.rest.rule]);
    let named = verdict
        .nearest
        .iter()
        .map(|n| &n.rule)
        .chain(verdict.breaches.iter().map(|b| &b.rule))
        .chain(binding.iter().map(|b| &b.rule))
        .chain(limits);
    let printed = rules.provenance();
    let mut rows: Vec<ProvenanceRow> = Vec::new();
    for rule in named {
        let id = rule.id.split('#').next().unwrap_or(&rule.id);
        if !rows.iter().any(|r| r.id == id) {
            rows.push(row(id, rule, &printed));
        }
    }
    rows.sort_by(|a, b| a.id.cmp(&b.id));
    rows
}

fn row(id: &str, rule: &RuleName, printed: &[rules::Provenance]) -> ProvenanceRow {
    let of = printed.iter().find(|p| p.id == id);
    ProvenanceRow {
        id: id.to_owned(),
        what: of.map_or_else(|| rule.words.clone(), |p| p.what.clone()),
        figures: of.map_or_else(String::new, |p| p.figures.clone()),
        document: rule.source.document.clone(),
        status: rule.source.status,
    }
}
