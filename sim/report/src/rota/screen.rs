//! The rota's summary as a terminal shows it: what breaks a rule first, as wide as it is and nothing cut, and the
//! same crew under other rule sets as a table.

use super::inputs::{RotaInputs, UnderRow};
use super::sections::{high_turns, seats};
use crate::kit::terminal::folded;
use crate::margins::margin_words;
use crate::working::answer_lines;
use deepstay_core::CAUTION;
use deepstay_core::units::{fixed, hours};
use deepstay_core::words::Words;
use deepstay_rota::MadeBy;

fn h(s: i64) -> String {
    fixed(s as f64 / 3600.0, 1)
}

/// The summary as text for a terminal `width` columns wide.
pub fn rota_screen(inputs: &RotaInputs<'_>, width: usize) -> String {
    let mut lines = vec![format!(
        "{}: {}",
        inputs.subject.scenario, inputs.subject.title
    )];
    verdict(inputs, &mut lines);
    let from = match inputs.made_by {
        MadeBy::Search => "calculated".to_owned(),
        MadeBy::StoppedSearch => "calculated, search stopped: the best so far".to_owned(),
        MadeBy::File(name) => format!("read from {name}"),
        MadeBy::PlannedAgain(from) => format!("planned again from {from}"),
    };
    lines.push(format!("Rota {from}; rule set {}", inputs.subject.rule_set));
    lines.extend(inputs.subject.rules_taken.clone());
    let turns = &inputs.rota.runs;
    if let (Some(first), Some(last)) = (turns.first(), turns.last()) {
        lines.push(format!(
            "{} bell runs from {} to {}, vessel time",
            turns.len(),
            inputs.subject.time.civil_minute(first.first),
            inputs.subject.time.civil_minute(last.last)
        ));
    }
    if let (Some(words), Some(gap)) = (inputs.proof_words(), inputs.gap()) {
        lines.push(format!("Gap {} %: {words}", fixed(gap * 100.0, 1)));
        if let Some(loose) = inputs.gap_to_any() {
            lines.push(format!(
                "  counted over rules and steel alone; the best of all legal rotas has at most {} % more than this one",
                more(loose)
            ));
        }
        for price in inputs.prices {
            lines.push(format!(
                "Wish: {}; {}",
                price.wish.words(),
                inputs.price_words(price)
            ));
        }
    } else {
        lines.push(format!(
            "Time in the water {} h, all divers together",
            h(inputs.water_s())
        ));
    }
    lines.push(format!(
        "Bell utilisation {} %",
        fixed(inputs.away() * 100.0, 0)
    ));
    work(inputs, &mut lines);
    let fair = inputs.fairness;
    lines.push(format!(
        "Spread between divers: water {} h, bell {} h, nights {}, as bellman {}",
        h(fair.water_s),
        h(fair.bell_s),
        fair.nights,
        fair.bellman
    ));
    if let Some(d) = inputs
        .divers
        .iter()
        .filter(|d| d.shortest_rest_s.is_some())
        .min_by_key(|d| d.shortest_rest_s)
    {
        lines.push(format!(
            "Shortest rest {} ({})",
            hours(d.shortest_rest_s.unwrap_or(0)),
            inputs.initials(d.diver)
        ));
    }
    lines.push(format!(
        "Sleepiness high in {} of {} positions (beside the rules, not one of them)",
        high_turns(inputs),
        seats(inputs)
    ));
    if let MadeBy::PlannedAgain(_) = inputs.made_by {
        lines.extend(inputs.remarks.iter().map(|r| format!("  {r}")));
    }
    for b in inputs.binding {
        lines.push(format!(
            "Limiting rule: {} ({} bell runs at it)",
            b.rule.words, b.runs
        ));
    }
    lines.push(CAUTION.to_owned());
    folded(&lines, width.max(20))
}

/// What a share that may be missing of the best is on top of what there is, percent.
fn more(missing: f64) -> String {
    fixed(100.0 * missing / (1.0 - missing).max(1e-9), 1)
}

fn work(inputs: &RotaInputs<'_>, lines: &mut Vec<String>) {
    if inputs.progress.is_empty() {
        return;
    }
    let done = inputs
        .progress
        .iter()
        .filter(|p| p.done_s.is_some())
        .count();
    let last = inputs.progress.iter().filter_map(|p| p.done_s).max();
    let by = last.map_or(String::new(), |s| {
        format!(", the last by {}", inputs.subject.time.civil_minute(s))
    });
    lines.push(format!(
        "Work: {done} of {} tasks done{by}",
        inputs.progress.len()
    ));
    let open = inputs
        .problem
        .tasks
        .iter()
        .zip(inputs.progress)
        .filter(|(_, p)| p.done_s.is_none());
    let open: Vec<String> = open
        .map(|(t, p)| format!("{} ({} of {} h)", t.name, h(p.given_s), h(p.needed_s)))
        .collect();
    if !open.is_empty() {
        lines.push(format!("  not done: {}", open.join(", ")));
    }
}

/// The checker's word, with every breach.
fn verdict(inputs: &RotaInputs<'_>, lines: &mut Vec<String>) {
    let all = &inputs.verdict.breaches;
    if all.is_empty() {
        lines.push("Breaches: none".into());
    } else {
        lines.push(format!("BREACHES: {}", all.len()));
        for b in all {
            let who = b
                .diver
                .map_or(String::new(), |d| format!(" {}", inputs.initials(d)));
            let [_, _, left] = margin_words(b.margin);
            let left = if left.is_empty() {
                left
            } else {
                format!(" (margin {left})")
            };
            lines.push(format!(
                "  {}{who}: {}{left} [{}]",
                inputs.subject.time.civil_minute(b.when.from_s),
                b.words,
                b.rule.id
            ));
        }
    }
    lines.extend(answer_lines(&inputs.working_time()));
}

/// The same crew under each rule set, a column each.
pub fn under_screen(inputs: &RotaInputs<'_>) -> String {
    const NAME: usize = 28;
    let length = |s: Option<i64>| s.map_or("no figure".to_owned(), hours);
    let rota = |u: &deepstay_rota::Under, of: &dyn Fn(&deepstay_rota::UnderRota) -> String| {
        u.rota.as_ref().map_or("none".into(), of)
    };
    let done = |s: Option<i64>| s.map_or("not in it".to_owned(), |s| inputs.subject.time.clock(s));
    let rows: [UnderRow<'_>; 10] = [
        ("", &|u| u.set.clone()),
        ("longest bell run", &|u| length(u.limits_s[0])),
        ("longest in the water", &|u| length(u.limits_s[1])),
        ("least rest", &|u| length(u.limits_s[2])),
        ("bell runs", &|u| rota(u, &|r| r.runs.to_string())),
        ("useful water, h", &|u| rota(u, &|r| h(r.useful_s))),
        ("no legal rota has more, h", &|u| {
            rota(u, &|r| r.bound_s.map_or("-".into(), h))
        }),
        ("short of that by at most, %", &|u| {
            rota(u, &|r| r.gap.map_or("-".into(), |g| fixed(g * 100.0, 1)))
        }),
        ("work done by", &|u| {
            if inputs.progress.is_empty() {
                "no list".into()
            } else {
                rota(u, &|r| done(r.done_s))
            }
        }),
        ("breaches of the rota at hand", &|u| {
            u.breaches.map_or("-".into(), |n| n.to_string())
        }),
    ];
    let widths: Vec<usize> = inputs
        .under
        .iter()
        .map(|u| {
            rows.iter()
                .map(|(_, of)| of(u).chars().count())
                .max()
                .unwrap_or(0)
                + 2
        })
        .collect();
    let mut lines: Vec<String> = rows
        .iter()
        .map(|(name, of)| {
            let cells = inputs
                .under
                .iter()
                .zip(&widths)
                .map(|(u, w)| format!("{:>w$}", of(u)));
            format!("{name:<NAME$}{}", cells.collect::<String>())
        })
        .collect();
    lines.extend(
        inputs
            .under
            .iter()
            .filter(|u| !u.note.is_empty())
            .map(|u| format!("{}: {}", u.set, u.note)),
    );
    lines.join("\n")
}
