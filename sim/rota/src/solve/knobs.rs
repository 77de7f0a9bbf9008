//! What could be asked a little less of, where there is no legal rota: each figure of the rules, each date,
//! the divers' qualifications, the bell's places. A knob is turned by whole steps, and a rota that is legal
//! with it turned so far is legal with it turned further.

use crate::answer::{Amount, Breach};
use crate::limits::{Limits, house_rule};
use crate::margin::Margin;
use crate::rule::RuleName;
use crate::types::Problem;
use deepstay_core::units::DiverId;
use deepstay_rules::RuleSet;

const DAY_S: i64 = 86_400;

/// Puts so many steps of a knob into a problem.
type Turned<'a> = Box<dyn Fn(&mut Problem, i64) + 'a>;

/// Something that could be asked less of.
pub struct Knob<'a> {
    /// The rule.
    pub rule: RuleName,
    /// One step of it.
    pub step: Amount,
    /// No more steps than this are tried.
    pub most: i64,
    /// Puts so many steps into a problem.
    pub turned: Turned<'a>,
    /// So many steps in words.
    pub words: Box<dyn Fn(i64) -> String + 'a>,
}

impl Knob<'_> {
    /// Whether a breach is one of this knob's own rule, by no more than it is turned.
    pub fn forgives(&self, breach: &Breach, steps: i64) -> bool {
        let Amount::Seconds(step_s) = self.step else {
            return false;
        };
        let same = breach.rule.id.split('#').next() == Some(self.rule.id.as_str());
        same && breach.margin != Margin::Demand && -breach.margin.left() <= steps * step_s
    }
}

/// All knobs of a problem.
pub fn knobs<'a>(
    problem: &'a Problem,
    rules: &'a RuleSet,
    accepted: &'a [String],
) -> Vec<Knob<'a>> {
    let mut all = Vec::new();
    figures(problem, &mut all);
    dates(problem, &mut all);
    storage(problem, rules, accepted, &mut all);
    people(problem, &mut all);
    all
}

/// Minutes, hours and days as people say them.
fn span(s: i64) -> String {
    match s {
        _ if s >= 2 * DAY_S && s % DAY_S == 0 => format!("{} days", s / DAY_S),
        _ if s >= 2 * DAY_S => format!(
            "{} d {} h {:02} min",
            s / DAY_S,
            s % DAY_S / 3600,
            s / 60 % 60
        ),
        _ if s >= 2 * 3600 => format!("{} h {:02} min", s / 3600, s / 60 % 60),
        _ => format!("{} min", s / 60),
    }
}

fn by_minutes<'a>(
    rule: RuleName,
    most_s: i64,
    words: impl Fn(String) -> String + 'a,
    turned: impl Fn(&mut Problem, i64) + 'a,
) -> Knob<'a> {
    Knob {
        rule,
        step: Amount::Seconds(60),
        most: most_s / 60,
        turned: Box::new(move |p, n| turned(p, 60 * n)),
        words: Box::new(move |n| words(span(60 * n))),
    }
}

/// The figures of working time, each row of the set by itself.
fn figures<'a>(problem: &Problem, all: &mut Vec<Knob<'a>>) {
    let mut of = |rule: fn(&Limits) -> &RuleName, make: &dyn Fn(RuleName) -> Option<Knob<'a>>| {
        let mut seen: Vec<&str> = Vec::new();
        for limits in &problem.limits {
            let rule = rule(limits);
            if !seen.contains(&rule.id.as_str()) {
                seen.push(&rule.id);
                all.extend(make(rule.clone()));
            }
        }
    };
    of(|l| &l.bell_run.rule, &|rule| {
        let id = rule.id.clone();
        let turned = move |p: &mut Problem, s: i64| {
            for l in p.limits.iter_mut().filter(|l| l.bell_run.rule.id == id) {
                l.bell_run.s += s;
                if let Some((limit, _)) = &mut l.bell_in_window
                    && limit.rule.id == id
                {
                    limit.s += s;
                }
            }
        };
        let words = |s| format!("a bell run longer by {s}");
        Some(by_minutes(rule, DAY_S, words, turned))
    });
    of(|l| &l.in_water.rule, &|rule| {
        let id = rule.id.clone();
        let turned = move |p: &mut Problem, s: i64| {
            for l in p.limits.iter_mut().filter(|l| l.in_water.rule.id == id) {
                l.in_water.s += s;
                if let Some(long) = &mut l.long_water {
                    long.s += s;
                }
            }
        };
        let words = |s| format!("{s} more in the water");
        Some(by_minutes(rule, DAY_S / 2, words, turned))
    });
    of(|l| &l.rest.rule, &|rule| {
        let id = rule.id.clone();
        let most_s = problem.limits.iter().map(|l| l.rest.s).max()?;
        let turned = move |p: &mut Problem, s: i64| {
            for l in p.limits.iter_mut().filter(|l| l.rest.rule.id == id) {
                l.rest.s = (l.rest.s - s).max(0);
            }
        };
        let words = |s| format!("a rest shorter by {s}");
        Some(by_minutes(rule, most_s, words, turned))
    });
}

/// Dates: of the work, of the saturations, of what came before.
fn dates<'a>(problem: &'a Problem, all: &mut Vec<Knob<'a>>) {
    let rule = |words: &str| house_rule("days", words.to_owned());
    all.push(by_minutes(
        rule("bells return by the last day"),
        60 * DAY_S,
        |s| format!("a last day later by {s}"),
        |p, s| p.last_s += s,
    ));
    all.push(by_minutes(
        rule("bells leave from the first day on"),
        60 * DAY_S,
        |s| format!("a first day earlier by {s}"),
        |p, s| p.first_s -= s,
    ));
    let at_depth = |words: &str| house_rule("at-depth", words.to_owned());
    all.push(by_minutes(
        at_depth("a diver is at storage depth from the checks until he is back"),
        60 * DAY_S,
        |s| format!("{s} more at depth"),
        move_up,
    ));
    // A day at depth is left to everybody.
    let last = problem.divers.iter().filter_map(|d| d.stays.last());
    let shortest_s = last.map(|s| s.span.length_s()).min().unwrap_or(0);
    all.push(by_minutes(
        at_depth("how long a saturation lasts"),
        (shortest_s - DAY_S).max(0),
        |s| format!("decompression begun {s} earlier"),
        |p, s| move_up(p, -s),
    ));
    if problem.divers.iter().any(|d| d.before.last.is_some()) {
        all.push(by_minutes(
            house_rule("start", "when the job begins".to_owned()),
            400 * DAY_S,
            |s| format!("a job that begins {s} later"),
            |p, s| {
                for diver in &mut p.divers {
                    if let Some((ago_s, _)) = &mut diver.before.last {
                        *ago_s += s;
                    }
                }
            },
        ));
    }
}

/// Ends every diver's last stay, and the saturation it is in, so much later.
fn move_up(problem: &mut Problem, s: i64) {
    for diver in &mut problem.divers {
        if let Some(stay) = diver.stays.last_mut() {
            stay.span.to_s = (stay.span.to_s + s).max(stay.span.from_s);
        }
        if let Some(saturation) = diver.saturations.last_mut() {
            saturation.leaves_s += s;
            saturation.surfaced_s += s;
        }
    }
}

/// Storage depths, deeper and less deep.
fn storage<'a>(
    problem: &Problem,
    rules: &'a RuleSet,
    accepted: &'a [String],
    all: &mut Vec<Knob<'a>>,
) {
    let stays = problem.divers.iter().flat_map(|d| &d.stays);
    let storages: Vec<f64> = stays.map(|s| s.storage_msw).collect();
    // From the nearest storage depth to the work, for work that none reaches.
    let off = |l: &Limits| {
        let reached = storages.iter().any(|&s| problem.reaches(s, l.depth_msw));
        let ways = storages.iter().map(|&s| l.depth_msw - s);
        ways.min_by(|a, b| a.abs().total_cmp(&b.abs()))
            .filter(|_| !reached)
    };
    for (sign, words) in [(1.0, "deeper"), (-1.0, "less deep")] {
        let ways = problem.limits.iter().filter_map(off);
        let most = ways.map(|way| sign * way).fold(0.0, f64::max).ceil() as i64;
        if most == 0 {
            continue;
        }
        let turned = move |p: &mut Problem, n: i64| {
            let mut storages: Vec<f64> = Vec::new();
            for stay in p.divers.iter_mut().flat_map(|d| &mut d.stays) {
                stay.storage_msw = (stay.storage_msw + sign * n as f64).max(0.0);
                if !storages.contains(&stay.storage_msw) {
                    storages.push(stay.storage_msw);
                }
            }
            let depths = p.limits.iter().map(|l| l.depth_msw);
            let pairs = depths.flat_map(|d| storages.iter().map(move |&s| (s, d)));
            p.excursions = pairs
                .filter(|&(s, d)| rules.excursion(s, d, accepted).is_ok())
                .collect();
        };
        let rule = "work is reached from storage by what the rule set prints";
        all.push(Knob {
            rule: house_rule("excursion", rule.to_owned()),
            step: Amount::Msw(1.0),
            most,
            turned: Box::new(turned),
            words: Box::new(move |n| format!("storage {n} msw {words}")),
        });
    }
}

/// Teams, places, what is held, and how many work at once.
fn people<'a>(problem: &'a Problem, all: &mut Vec<Knob<'a>>) {
    let counted = |name: &str, rule: &str, most: i64| Knob {
        rule: house_rule(name, rule.to_owned()),
        step: Amount::Count(1),
        most,
        turned: Box::new(|_: &mut Problem, _| {}),
        words: Box::new(|_| String::new()),
    };
    if problem.fixed_teams {
        all.push(Knob {
            turned: Box::new(|p, _| p.fixed_teams = false),
            words: Box::new(|_| "teams left free".to_owned()),
            ..counted("teams", "teams stay together", 1)
        });
    }
    all.push(Knob {
        turned: Box::new(|p, n| {
            for bell in &mut p.bells {
                bell.places = bell
                    .places
                    .saturating_add(u8::try_from(n).unwrap_or(u8::MAX));
            }
        }),
        words: Box::new(|n| match n {
            1 => "one more place in the bell".to_owned(),
            n => format!("{n} more places in the bell"),
        }),
        ..counted("places", "no more go than the bell has places", 3)
    });
    let most = problem.tasks.iter().map(|t| i64::from(t.divers)).max();
    if let Some(most) = most.filter(|m| *m > 1) {
        all.push(Knob {
            turned: Box::new(|p, n| {
                for task in &mut p.tasks {
                    let fewer = i64::from(task.divers) - n;
                    task.divers = u8::try_from(fewer.max(1)).unwrap_or(1);
                }
            }),
            words: Box::new(|n| format!("{n} fewer in the water at once")),
            ..counted("work", "so many work at a task at once", most - 1)
        });
    }
    for (d, diver) in (0u8..).map(DiverId).zip(&problem.divers) {
        for task in &problem.tasks {
            let held = &diver.qualifications;
            let lacks: Vec<&String> = task
                .qualifications
                .iter()
                .filter(|q| !held.contains(q))
                .collect();
            let names: Vec<&str> = lacks.iter().map(|q| q.as_str()).collect();
            let words = format!("{} holding {} as well", diver.initials, names.join(" and "));
            if lacks.is_empty() || all.iter().any(|k| (k.words)(1) == words) {
                continue;
            }
            let given: Vec<String> = lacks.into_iter().cloned().collect();
            all.push(Knob {
                step: Amount::Count(given.len() as i64),
                turned: Box::new(move |p, _| {
                    if let Some(diver) = p.divers.get_mut(d.index()) {
                        diver.qualifications.extend(given.iter().cloned());
                    }
                }),
                words: Box::new(move |_| words.clone()),
                ..counted("work", "someone in the water holds what a task asks for", 1)
            });
        }
    }
}
