//! The summary as a terminal shows it: the worst first, as wide as it is, and nothing cut.

use super::summary::{BySpecies, LimitSummary, StatusCount, Summary};
use crate::kit::terminal::folded;
use crate::working::{answer_lines, breach_lines};
use deepstay_core::record::{Flow, Severity};
use deepstay_core::units::{FREE, Truth, about, fixed, hours, tiny};
use deepstay_core::words::{Words, limit_unit};

/// The summary as text for a terminal `width` columns wide: how it ended, whatever went wrong, then the rest.
pub fn screen(s: &Summary, width: usize) -> String {
    let mut lines = vec![format!(
        "{}: {}, {}, hour {}",
        s.how_it_ended.words().to_uppercase(),
        s.ended_because,
        s.ended_clock,
        fixed(s.ended_hour, 1)
    )];
    let well = !s.crossed_limits();
    if !well {
        limits(s, &mut lines);
    }
    lines.extend(breach_lines(&s.working_time));
    lines.extend(s.posted.broken_lines());
    if s.lost_runs() {
        lines.push(made(s));
    }
    if s.work_missing() {
        work(s, &mut lines);
    }
    if !s.ledger.closes {
        lines.push(ledger(s));
    }
    if s.left_out > 0 {
        lines.push(format!(
            "ENTRIES LEFT OUT: {} were counted and not kept one by one",
            s.left_out
        ));
    }
    lines.extend([
        format!("{}: {}", s.scenario, s.title),
        format!(
            "{}; rule set {}; seed {}; from {}",
            s.spread, s.rule_set, s.seed, s.start
        ),
    ]);
    lines.extend(s.rules_taken.clone());
    if let Some(present) = &s.from_present {
        lines.push(format!(
            "TAKEN UP FROM A PRESENT at {} ({}): what came before is not in these figures. Assumed:",
            present.clock, present.at
        ));
        lines.extend(present.assumed.iter().map(|a| format!("  {a}")));
    }
    gas(s, &mut lines);
    runs(s, &mut lines);
    lines.extend(answer_lines(&s.working_time));
    if well {
        limits(s, &mut lines);
    }
    let a = &s.alarms;
    lines.push(format!(
        "Alarms: {} ({} emergency, {} limit, {} attention), {} a day, most in 10 min {}, floods {}, standing at end {}",
        a.count,
        a.emergency,
        a.limit,
        a.attention,
        fixed(a.per_day, 1),
        a.most_in_10_min,
        a.floods,
        a.standing_at_end
    ));
    let count = StatusCount::of(s);
    lines.push(format!(
        "Rules used: {}, of these {} from memory, not verified, and {} second-hand",
        s.rules_used.len(),
        count.recalled,
        count.second_hand
    ));
    lines.push(format!(
        "Seconds evaluated: {}",
        about(s.seconds_evaluated as f64)
    ));
    lines.push(s.caution.clone());
    folded(&lines, width.max(20))
}

fn gas(s: &Summary, lines: &mut Vec<String>) {
    let unit = s.units.free_scale();
    lines.push(format!(
        "{:<26}{:>9}{:>9}{:>11}{:>10}{:>9}",
        format!("Gas, {} at {}", unit.unit, FREE.label(s.units)),
        "drawn",
        "back",
        "reclaimed",
        "taken in",
        "lost"
    ));
    let mol = |flow: Flow, species: &str| {
        let amount = s
            .gas
            .totals
            .get(flow.words())
            .and_then(|by: &BySpecies| by.get(species));
        about(unit.of(amount.map_or(0.0, |a| a.mol)))
    };
    for (name, species) in [("helium", "He"), ("oxygen", "O2"), ("nitrogen", "N2")] {
        let [drawn, back, reclaimed, taken_in, lost] = [
            Flow::Drawn,
            Flow::Returned,
            Flow::Reclaimed,
            Flow::TakenIn,
            Flow::Lost,
        ]
        .map(|f| mol(f, species));
        lines.push(format!(
            "  {name:<24}{drawn:>9}{back:>9}{reclaimed:>11}{taken_in:>10}{lost:>9}"
        ));
    }
    lines.push(format!(
        "  oxygen taken by divers {}; carbon dioxide given off {}, absorbed {}",
        mol(Flow::Used, "O2"),
        mol(Flow::Made, "CO2"),
        mol(Flow::Used, "CO2")
    ));
    let drawn = |by: &BySpecies| by.values().map(|a| a.mol).sum::<f64>();
    let mut uses: Vec<(&str, f64)> = s
        .gas
        .purposes
        .iter()
        .filter_map(|(purpose, flows)| Some((*purpose, drawn(flows.get(Flow::Drawn.words())?))))
        .collect();
    uses.sort_by(|a, b| b.1.total_cmp(&a.1));
    let most: Vec<String> = uses
        .iter()
        .take(4)
        .map(|(purpose, mol)| format!("{purpose} {}", about(unit.of(*mol))))
        .collect();
    lines.push(format!("Most drawn for: {}", most.join(", ")));
    let left = |b: &super::summary::BankSummary| {
        let (start, end) = (b.start_mol?, b.end_mol?);
        (start > 0.0).then(|| (b.bank.clone(), end / start))
    };
    let lowest = s
        .gas
        .banks
        .iter()
        .filter_map(left)
        .min_by(|a, b| a.1.total_cmp(&b.1));
    if let Some((bank, share)) = lowest {
        lines.push(format!(
            "Emptiest bank: {bank}, {} % of its start left",
            fixed(share * 100.0, 0)
        ));
    }
    if s.ledger.closes {
        lines.push(ledger(s));
    }
}

fn ledger(s: &Summary) -> String {
    let word = match s.ledger.closes {
        true => "closes",
        false => "DOES NOT CLOSE",
    };
    format!(
        "Ledger {word}: worst {} of the moles handled (allowed {})",
        tiny(s.ledger.worst_relative),
        tiny(s.ledger.tolerance)
    )
}

/// How many bell runs were made, and why others were not.
fn made(s: &Summary) -> String {
    let b = &s.bell_runs;
    let why: Vec<String> = b
        .because
        .iter()
        .map(|(why, n)| format!("{why} {n}"))
        .collect();
    let why = match why.as_slice() {
        [] => String::new(),
        why => format!(" ({})", why.join(", ")),
    };
    format!(
        "Bell runs: {} made, {} aborted, {} cancelled{why}",
        b.made, b.aborted, b.cancelled
    )
}

/// What came of the work list.
fn work(s: &Summary, lines: &mut Vec<String>) {
    if s.work.is_empty() {
        return;
    }
    let done = s.work.iter().filter(|t| t.done.is_some()).count();
    let by = s
        .work_done
        .as_ref()
        .map_or(String::new(), |at| format!(", the last by {at}"));
    let plan = match &s.work_planned {
        Some(at) => format!("; by the plan all by {at}"),
        None => "; by the plan not all".to_owned(),
    };
    lines.push(format!(
        "Work: {done} of {} tasks done{by}{plan}",
        s.work.len()
    ));
    let missing: Vec<String> = s
        .work
        .iter()
        .filter(|t| t.done.is_none())
        .map(|t| {
            format!(
                "{} ({} of {} h)",
                t.task,
                fixed(t.had_h, 1),
                fixed(t.needed_h, 1)
            )
        })
        .collect();
    if !missing.is_empty() {
        let how = match s.from_present {
            Some(_) => "not done by what was worked from here on",
            None => "missing",
        };
        lines.push(format!("  {how}: {}", missing.join(", ")));
    }
}

fn runs(s: &Summary, lines: &mut Vec<String>) {
    let b = &s.bell_runs;
    if !s.lost_runs() {
        lines.push(made(s));
    }
    lines.push(format!(
        "  seal to seal {} h, longest {} h; in the water {} h, hot water {} t",
        fixed(b.seal_to_seal_h, 1),
        fixed(b.longest_seal_to_seal_h, 1),
        fixed(b.in_water_h, 1),
        fixed(b.hot_water_t, 0)
    ));
    if !s.work_missing() {
        work(s, lines);
    }
    let stores = &s.stores;
    lines.push(format!(
        "Absorbent: {} canisters changed, {} kg used with the first; lock runs {}",
        stores.canisters_changed,
        fixed(stores.absorbent_kg, 0),
        stores.runs()
    ));
    let ups: Vec<String> = s
        .decompressions
        .iter()
        .map(|d| {
            let end = if d.surfaced { "" } else { ", not at surface" };
            format!("{} {} h{end}", d.compartment, hours(d.seconds))
        })
        .collect();
    if !ups.is_empty() {
        lines.push(format!("Decompression: {}", ups.join("; ")));
    }
}

/// Limits crossed, all of them, the gravest first and of these the longest; then what called for attention.
fn limits(s: &Summary, lines: &mut Vec<String>) {
    if s.limits_crossed.is_empty() {
        lines.push("Limits crossed: none, true or indicated".into());
    }
    let all = || s.limits_crossed.iter().chain(&s.attentions);
    for severity in Severity::ALL {
        let mut mine: Vec<&LimitSummary> = all()
            .filter(|l| l.total.key.name.severity == severity)
            .collect();
        if mine.is_empty() {
            continue;
        }
        let by = |t| mine.iter().filter(|l| l.total.key.truth == t).count();
        let head = match severity {
            Severity::Emergency => "EMERGENCY LIMITS CROSSED",
            Severity::Limit => "LIMITS CROSSED",
            Severity::Attention => "Called for attention",
        };
        lines.push(format!(
            "{head}: {} true, {} indicated",
            by(Truth::True),
            by(Truth::Shown)
        ));
        mine.sort_by(|a, b| b.minutes_outside.total_cmp(&a.minutes_outside));
        lines.extend(mine.into_iter().map(|l| past(s, l)));
    }
}

fn past(s: &Summary, l: &LimitSummary) -> String {
    let scale = s.units.scale(l.total.key.name.quantity);
    format!(
        "  {} {} {} {} {}: {} min in {} ({}), furthest {}",
        l.compartment,
        l.quantity,
        l.side,
        scale.digits(l.total.limit),
        limit_unit(&l.total.key.name, s.units),
        fixed(l.minutes_outside, 0),
        match l.times {
            1 => "1 time".to_owned(),
            n => format!("{n} times"),
        },
        l.by,
        scale.digits(l.total.furthest)
    )
}
