//! How a job ended, the worst first: what the screen, the page, `job.json` and the exit code all say.

use super::inputs::Inputs;
use deepstay_core::record::{
    BellRun, Fitness, LimitKey, LostPressure, RunEnd, Severity, Stopped, Unwell,
};
use deepstay_core::units::{Quantity, Truth, fixed};
use deepstay_core::words::{Names, Words};
use serde::Serialize;
use std::collections::BTreeMap;

/// How it ended, from best to worst.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Ending {
    /// Gone through to the end, all its bell runs made, within limits.
    Complete,
    /// The same, but limits were crossed.
    LimitsCrossed,
    /// The same, but rules of working time were broken.
    RulesBroken,
    /// Everybody is back, but bell runs were cancelled or aborted; of the work list, where there is one, nothing is missing.
    BellRunsNotMade,
    /// Everybody is back, but a task of the work list is not done, whether runs were lost or the plan had too few.
    WorkNotDone,
    /// Everybody is back, but limits were crossed at which people act at once.
    EmergencyLimits,
    /// Not gone through to its end.
    NotComplete,
    /// People lost their pressure.
    PressureLost,
    /// Somebody came to harm.
    PeopleHurt,
    /// Somebody died.
    PeopleDead,
    /// An invariant of the program was broken, and nothing here can be believed.
    BrokenInvariant,
}

impl Ending {
    /// The ending of a run, and its reason in words.
    pub fn of(inputs: &Inputs<'_>) -> (Ending, String) {
        let (record, outcome) = (inputs.record, inputs.outcome);
        let lost: Vec<String> = record.pressure.lost().map(|l| told(inputs, l)).collect();
        let count = |end| record.bell.runs().iter().filter(|r| r.end() == end).count();
        let (cancelled, aborted) = (count(RunEnd::Cancelled), count(RunEnd::Aborted));
        let hurt: Vec<&Unwell> = record.people_hurt().collect();
        let dead = hurt.iter().any(|one| one.worst.to == Fitness::Dead);
        let mut reasons: Vec<String> = hurt.iter().map(|one| harm(inputs, one)).collect();
        reasons.extend(lost.iter().cloned());
        let working = inputs.working_time().told();
        let missing = work_missing(inputs);
        let crossed = crossed(inputs);
        let emergency = crossed.iter().any(|c| c.severity == Severity::Emergency);
        if outcome.broken {
            return (Ending::BrokenInvariant, outcome.reason.clone());
        }
        let ending = if dead {
            Ending::PeopleDead
        } else if !hurt.is_empty() {
            Ending::PeopleHurt
        } else if !lost.is_empty() {
            Ending::PressureLost
        } else if !outcome.complete {
            Ending::NotComplete
        } else if emergency {
            Ending::EmergencyLimits
        } else if missing.is_some() {
            Ending::WorkNotDone
        } else if cancelled + aborted > 0 {
            Ending::BellRunsNotMade
        } else if working.is_some() {
            Ending::RulesBroken
        } else if !crossed.is_empty() {
            Ending::LimitsCrossed
        } else {
            Ending::Complete
        };
        if ending == Ending::RulesBroken {
            reasons.extend(working.clone());
        }
        let of_work = [Ending::BellRunsNotMade, Ending::WorkNotDone].contains(&ending);
        if !of_work {
            reasons.extend(crossed.iter().map(Crossed::words));
        }
        reasons.extend(missing);
        if cancelled + aborted > 0 {
            let mut why = BTreeMap::new();
            for (stopped, _) in record.bell.runs().iter().filter_map(|r| r.stopped) {
                *why.entry(stopped.words()).or_insert(0) += 1;
            }
            let why: Vec<String> = why.iter().map(|(w, n)| format!("{w} {n}")).collect();
            reasons.push(format!(
                "of {} bell runs {cancelled} cancelled, {aborted} aborted ({})",
                record.bell.runs().len(),
                why.join(", ")
            ));
        }
        if of_work {
            reasons.extend(crossed.iter().map(Crossed::words));
        }
        if ending != Ending::RulesBroken {
            reasons.extend(working);
        }
        reasons.extend(weather(inputs));
        reasons.push(outcome.reason.clone());
        (ending, reasons.join("; "))
    }

    /// Whether the job was gone through to its end with its bell runs made and its work done.
    pub fn complete(self) -> bool {
        self <= Ending::RulesBroken
    }

    /// Whether somebody was hurt, died or lost his pressure.
    pub fn harmed(self) -> bool {
        self >= Ending::PressureLost
    }

    /// Its words.
    pub fn words(self) -> &'static str {
        match self {
            Ending::Complete => "Complete",
            Ending::LimitsCrossed => "Complete, limits crossed",
            Ending::RulesBroken => "Complete, rules of working time broken",
            Ending::BellRunsNotMade => "Bell runs not made",
            Ending::WorkNotDone => "Work not done",
            Ending::EmergencyLimits => "Emergency limits crossed",
            Ending::NotComplete => "Not complete",
            Ending::PressureLost => "Pressure lost",
            Ending::PeopleHurt => "Somebody hurt",
            Ending::PeopleDead => "Somebody dead",
            Ending::BrokenInvariant => "Broken invariant",
        }
    }
}

/// How much of the work list is missing. Of a job taken up from a present nobody knows: what was done before is in no record.
fn work_missing(inputs: &Inputs<'_>) -> Option<String> {
    let work = &inputs.outcome.work;
    if inputs.outcome.taken_up.is_some() {
        return None;
    }
    let (missing, of) = (work.missing(), work.tasks.len());
    (missing > 0).then(|| format!("of {of} tasks {missing} not done"))
}

/// What the sea took of the runs, beside what the plan allows for it.
fn weather(inputs: &Inputs<'_>) -> Option<String> {
    let allowed = inputs.subject.weather_share?;
    let runs = inputs.record.bell.runs();
    let by_weather = |r: &&BellRun| r.stopped.is_some_and(|(why, _)| why == Stopped::Weather);
    let lost = runs.iter().filter(by_weather).count();
    let percent = |share: f64| fixed(100.0 * share, 0);
    (lost > 0).then(|| {
        format!(
            "weather took {} % of the runs, the plan allows it {} % of the time in the water",
            percent(lost as f64 / runs.len() as f64),
            percent(allowed)
        )
    })
}

/// How many limits of one severity were crossed.
struct Crossed {
    severity: Severity,
    truly: usize,
    indicated: usize,
}

impl Crossed {
    fn words(&self) -> String {
        let of = match self.severity {
            Severity::Emergency => "emergency limits crossed",
            Severity::Limit | Severity::Attention => "limits crossed",
        };
        format!(
            "{of}: {} truly, {} as indicated",
            self.truly, self.indicated
        )
    }
}

/// What was crossed that puts a job out of limits, the gravest first.
fn crossed(inputs: &Inputs<'_>) -> Vec<Crossed> {
    let totals = inputs.record.limits.totals(inputs.outcome.ended_s);
    let count = |severity, truth| {
        let of = |k: &LimitKey| k.name.severity == severity && k.truth == truth;
        totals.iter().filter(|t| of(&t.key)).count()
    };
    [Severity::Emergency, Severity::Limit]
        .into_iter()
        .map(|severity| Crossed {
            severity,
            truly: count(severity, Truth::True),
            indicated: count(severity, Truth::Shown),
        })
        .filter(|c| c.truly + c.indicated > 0)
        .collect()
}

fn harm(inputs: &Inputs<'_>, one: &Unwell) -> String {
    let worst = one.worst;
    format!(
        "{} {} ({}), {}",
        inputs.subject.initials(one.diver),
        worst.to.words(),
        worst.cause.words(),
        inputs.subject.time.clock(worst.at_s)
    )
}

fn told(inputs: &Inputs<'_>, lost: &LostPressure) -> String {
    let subject = inputs.subject;
    let divers: Vec<String> = lost.divers.iter().map(|d| subject.initials(*d)).collect();
    let scale = inputs.units.scale(Quantity::Depth);
    format!(
        "{} lost their pressure in {}: from {} to {} {}, first known {}",
        divers.join(", "),
        subject.compartment(lost.compartment),
        fixed(scale.of(lost.from_msw), 1),
        fixed(scale.of(lost.to_msw), 1),
        scale.plain,
        subject.time.clock(lost.at_s)
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Summary;
    use crate::job::sample::Sample;
    use crate::job::screen::screen;
    use deepstay_rota::TaskDone;

    fn task(name: &str, done_s: Option<i64>) -> TaskDone {
        TaskDone {
            task: name.into(),
            needed_s: 36_000,
            had_s: done_s.map_or(18_000, |_| 36_000),
            done_s,
            planned_s: Some(86_400),
        }
    }

    fn told(sample: &Sample) -> (Ending, bool, String) {
        let summary = Summary::of(&sample.inputs());
        let first = screen(&summary, 2000);
        let first = first.lines().next().unwrap_or_default().to_owned();
        (summary.how_it_ended, summary.lost_runs(), first)
    }

    /// A lost run and a task that is not done are two things, and each is said only where it is so.
    #[test]
    fn work_is_not_done_only_where_a_task_is_missing() {
        let mut lost = Sample::days(30);
        lost.outcome.work.tasks = vec![task("spool", Some(90_000)), task("riser", Some(95_000))];
        let (ending, runs_lost, first) = told(&lost);
        assert!(runs_lost);
        assert_eq!(ending, Ending::BellRunsNotMade);
        assert!(first.starts_with("BELL RUNS NOT MADE: of "), "{first}");
        assert!(!first.contains("tasks"), "{first}");

        lost.outcome.work.tasks[1] = task("riser", None);
        let (ending, _, first) = told(&lost);
        assert_eq!(ending, Ending::WorkNotDone);
        assert!(
            first.starts_with("WORK NOT DONE: of 2 tasks 1 not done; of "),
            "{first}"
        );
        let screen = screen(&Summary::of(&lost.inputs()), 2000);
        let missing = screen
            .lines()
            .position(|l| l == "  missing: riser (5.0 of 10.0 h)");
        assert!(missing.is_some_and(|at| at < 20), "{screen}");

        // What was done before a job was taken up is in no record, and nothing is said to be missing.
        let mut taken_up = Sample::days(3);
        taken_up.outcome.work.tasks = vec![task("riser", None)];
        taken_up.outcome.taken_up = Some(deepstay_job::TakenUp {
            at_s: 0,
            assumed: Vec::new(),
        });
        let (ending, _, first) = told(&taken_up);
        assert_ne!(ending, Ending::WorkNotDone);
        assert!(!first.contains("not done"), "{first}");

        // Every run made, and the plan had too few for the work.
        let mut short = Sample::days(3);
        short.outcome.work.tasks = vec![task("riser", None)];
        let (ending, runs_lost, first) = told(&short);
        assert!(!runs_lost);
        assert_eq!(ending, Ending::WorkNotDone);
        assert!(
            first.starts_with("WORK NOT DONE: of 1 tasks 1 not done;"),
            "{first}"
        );
    }
}
