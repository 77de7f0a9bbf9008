//! The same crew under several rule sets: what each allows, what its best rota would be, and what it says of
//! the rota at hand.

use super::{
    Asked, BellRun, Event, Found, NoRota, Problem, Rota, Verdict, Worth, ask_under, check, make,
    replan, sums, with_events,
};
use deepstay_rules::{self as rules, RuleRefusal, RuleSet};
use deepstay_scenario::Scenario;

/// A rule set that rotas are made and judged by, with the rows from memory that may be used.
#[derive(Clone, Debug)]
pub struct JudgedBy {
    /// Name.
    pub name: String,
    /// The set.
    pub rules: RuleSet,
    /// Ids of rows from memory that may be used.
    pub accepted: Vec<String>,
}

/// What cannot be asked of rule sets.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum NotAsked {
    /// No built-in set has the name.
    #[error("there is no built-in rule set `{name}`; there are {known}{}", help(.near))]
    NoSuchSet {
        /// What was asked for.
        name: String,
        /// What there is.
        known: String,
        /// Nearest name.
        near: Option<String>,
    },
    /// A set cannot be read.
    #[error("{0}")]
    Unreadable(String),
    /// No set in use has a row of the name.
    #[error("no rule set in use has a row `{id}`{}", help(.near))]
    NoSuchRow {
        /// What was asked for.
        id: String,
        /// Nearest id.
        near: Option<String>,
    },
}

fn help(near: &Option<String>) -> String {
    near.as_ref()
        .map_or(String::new(), |k| format!("; did you mean `{k}`?"))
}

impl JudgedBy {
    /// The scenario's own.
    pub fn own(scenario: &Scenario, accepted: &[String]) -> JudgedBy {
        JudgedBy {
            name: scenario.rules.name.clone(),
            rules: RuleSet::clone(&scenario.rules),
            accepted: accepted.to_vec(),
        }
    }

    /// A built-in set by name, or a set of one's own by the path of its file.
    ///
    /// # Errors
    /// There is none of that name, or the file cannot be used.
    pub fn named(name: &str, accepted: &[String]) -> Result<JudgedBy, NotAsked> {
        let known: Vec<&str> = rules::builtin_names().collect();
        if !rules::is_path(name) && !known.contains(&name) {
            let near = known.iter().min_by_key(|k| strsim::osa_distance(k, name));
            return Err(NotAsked::NoSuchSet {
                name: name.to_owned(),
                known: known.join(", "),
                near: near
                    .filter(|k| strsim::osa_distance(k, name) <= 1 + k.len() / 3)
                    .map(|k| (*k).to_owned()),
            });
        }
        let rules = rules::named(name).map_err(|e| NotAsked::Unreadable(e.to_string()))?;
        Ok(JudgedBy {
            name: name.to_owned(),
            rules,
            accepted: accepted.to_vec(),
        })
    }

    /// What the rota of a scenario is made for under it.
    ///
    /// # Errors
    /// A refusal where the set does not say how to press or come up as the plan does.
    pub fn ask(&self, scenario: &Scenario) -> Result<Asked, RuleRefusal> {
        ask_under(scenario, &self.rules, &self.accepted)
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
/// The first such id, with the nearest there is.
pub fn known_rows<'a>(
    ids: &[String],
    sets: impl Iterator<Item = &'a JudgedBy>,
) -> Result<(), NotAsked> {
    let known: Vec<String> = sets
        .flat_map(|s| s.rules.provenance())
        .map(|p| p.id)
        .collect();
    match ids.iter().find(|id| !known.contains(id)) {
        Some(id) => {
            let near = known.iter().min_by_key(|k| strsim::osa_distance(k, id));
            Err(NotAsked::NoSuchRow {
                id: id.clone(),
                near: near.cloned(),
            })
        }
        None => Ok(()),
    }
}

/// The same crew under one rule set.
#[derive(Clone, Debug, PartialEq)]
pub struct Under {
    /// Name of the rule set.
    pub set: String,
    /// Longest turn, time in the water, rest, s; none where the set has no figure and the house's stands in.
    pub limits_s: [Option<i64>; 3],
    /// What the rota would be; none where there is none.
    pub rota: Option<UnderRota>,
    /// Breaches of the rota at hand under this set; none where it was not asked.
    pub breaches: Option<usize>,
    /// What is to be said: why there is no rota, which rows were missing.
    pub note: String,
}

/// The best rota under one rule set, in figures.
#[derive(Clone, Debug, PartialEq)]
pub struct UnderRota {
    /// Turns.
    pub runs: usize,
    /// Time in the water that serves the work list, s.
    pub useful_s: i64,
    /// Proven: no legal rota has more, s; none where it was planned again and not searched for.
    pub bound_s: Option<i64>,
    /// Share that may be missing to the best, 0 to 1; none as above.
    pub gap: Option<f64>,
    /// Second at which the work list is done.
    pub done_s: Option<i64>,
    /// Shortest rest of any diver, s.
    pub shortest_rest_s: Option<i64>,
    /// Off the trunk as a share of the time there was, 0 to 1.
    pub away: f64,
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
    (own, others): (&JudgedBy, &[JudgedBy]),
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
    set: &JudgedBy,
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
    set: &JudgedBy,
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
    let asked = match set.ask(scenario) {
        Ok(asked) => asked,
        Err(refusal) => {
            under.note = refusal.to_string();
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
            let begun: Vec<BellRun> = rota
                .runs
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
        runs: rota.runs.len(),
        useful_s: worth.map_or(given_s, |w| w.useful_s),
        bound_s: worth.map(|w| w.bound_s),
        gap: worth.map(|w| w.gap_to_any(problem.first_s)),
        done_s: ends.and_then(|e| e.into_iter().max()),
        shortest_rest_s: sums.divers.iter().filter_map(|d| d.shortest_rest_s).min(),
        away: if open > 0 {
            away as f64 / open as f64
        } else {
            0.0
        },
    }
}
