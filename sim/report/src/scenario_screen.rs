//! What stands in a job's files, for a screen: what was read, what is loaded, what is uncertain, and the warnings.

use crate::job::posted::PostedSummary;
use crate::kit::terminal::folded;
use crate::stock::inputs::StockInputs;
use crate::working::{WorkingTimeSummary, answer_lines, breach_lines};
use deepstay_core::CAUTION;
use deepstay_core::units::{DiverId, Duty, FreeReference, Moles, Units, fixed_short};
use deepstay_rota::Verdict;
use deepstay_scenario::{hidden_fills, warnings};
use deepstay_stock::Ensemble;

/// What is in a job and its study, and what may be wrong with it, folded to a width.
/// The worst first: rules of working time that the plan breaks stand before everything else.
pub fn scenario_screen(ensemble: &Ensemble, planned: &Verdict, columns: usize) -> String {
    let (s, sources) = (&*ensemble.base, &ensemble.sources);
    let mut lines = vec![format!("{}: {}", s.name, s.title), String::new()];
    let initials = |d: DiverId| {
        s.crew
            .get(d.index())
            .map_or_else(String::new, |c| c.initials.clone())
    };
    let working = WorkingTimeSummary::of(planned, s.time(), initials);
    if working.broken() {
        lines.extend(breach_lines(&working));
        lines.push(String::new());
    }
    let posted = PostedSummary::of_plan(s, Units::Metric).broken_lines();
    if !posted.is_empty() {
        lines.extend(posted.iter().cloned());
        lines.push(String::new());
    }
    let warnings = [warnings(s), hidden_fills(s)].concat();
    if !warnings.is_empty() {
        lines.push("  WARNINGS".to_owned());
        lines.extend(warnings.iter().map(|w| format!("{:14}{w}", "")));
        lines.push(String::new());
    }
    let mut row = |name: &str, words: String| lines.push(format!("  {name:<12}{words}"));
    row("spread", s.steel.name.clone());
    let count = |n: usize, one: &str| {
        if n == 1 {
            format!("1 {one}")
        } else {
            format!("{n} {one}s")
        }
    };
    row(
        "",
        [
            count(s.steel.compartments.len(), "compartment"),
            count(s.steel.doors.len(), "door"),
            count(s.steel.instruments.len(), "instrument"),
        ]
        .join(", "),
    );
    row("rules", format!("{}: {}", s.rules.name, s.rules.title));
    if let Some(taken) = s.rules.taken_words() {
        row("", taken);
    }
    if !s.accepted.is_empty() {
        row(
            "",
            format!(
                "accepted by this job though from memory or assumed: {}",
                s.accepted.join(", ")
            ),
        );
    }
    row(
        "site",
        format!(
            "work at {} msw, sea bed at {} msw",
            fixed_short(s.site.working_msw),
            fixed_short(s.site.seabed_msw)
        ),
    );
    row(
        "plan",
        [
            count(s.crew.len(), "diver"),
            count(s.plan.levels.len(), "storage level"),
            count(s.plan.bell_runs.len(), "bell run"),
            count(s.plan.moves.len(), "move"),
            count(s.faults.len(), "planned fault"),
        ]
        .join(", "),
    );
    row(
        "gas loaded",
        "free gas at 15 degC and 1 bar, real gas in the bottles".to_owned(),
    );
    for (duty, m3) in loaded(ensemble) {
        row("", format!("{:<12}{m3:>8.0} m3", format!("{duty:?}")));
    }
    row(
        "inputs",
        "without a public measurement, with their range".to_owned(),
    );
    for i in &s.inputs {
        let unit = if i.unit.is_empty() {
            String::new()
        } else {
            format!(" {}", i.unit)
        };
        row(
            "",
            format!(
                "{}: {:.3}{unit} ({:.3} to {:.3})",
                i.name, i.value, i.low, i.high
            ),
        );
    }
    if !sources.is_empty() {
        row(
            "study",
            "what a stock study draws anew for each job".to_owned(),
        );
        for source in sources {
            row(
                "",
                format!(
                    "{}: {} ({})",
                    source.name,
                    StockInputs::law(source),
                    source.source
                ),
            );
        }
    }
    lines.push(String::new());
    lines.extend(answer_lines(&working));
    lines.push(String::new());
    let found = match (working.broken(), posted.is_empty(), warnings.is_empty()) {
        (true, true, _) => "The plan breaks rules of working time, which stand above",
        (true, false, _) => {
            "The plan breaks rules of working time, and what will be posted breaks others; they stand above"
        }
        (false, false, _) => "What will be posted breaks rules, which stand above",
        (false, true, true) => "Nothing wrong was found",
        (false, true, false) => "No error was found, and warnings stand above",
    };
    lines.push(format!("{found}. {CAUTION}"));
    folded(&lines, columns).trim_end().to_owned()
}

/// Gas in the banks by duty, m3 of free gas.
fn loaded(ensemble: &Ensemble) -> Vec<(Duty, f64)> {
    let mut all: Vec<(Duty, f64)> = Vec::new();
    for gas in &ensemble.gases {
        let m3 = Moles(gas.loaded_mol(&ensemble.base.steel)).free_m3(FreeReference::Bar15);
        match all.iter_mut().find(|(duty, _)| *duty == gas.duty) {
            Some((_, sum)) => *sum += m3,
            None => all.push((gas.duty, m3)),
        }
    }
    all
}
