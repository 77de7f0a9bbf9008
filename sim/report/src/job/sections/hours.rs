//! The section of the page that sets each diver beside the limits of the rule set.

use crate::explain::{Cells, apart, id};
use crate::job::hours::{DiverHours, DiverLimit};
use crate::working::WorkFigures;
use deepstay_core::words::Words;
use deepstay_rota::WorkQuestion;
use maud::{Markup, html};

/// Each diver beside the limits of the rule set.
pub fn limits(divers: &[DiverHours], cells: &Cells) -> Markup {
    let asked = |q: &WorkQuestion| {
        let of = |d: &DiverHours| d.limits.iter().any(|l| l.question == q.words());
        divers.iter().any(of)
    };
    let questions: Vec<&str> = WorkQuestion::ALL
        .into_iter()
        .filter(asked)
        .map(Words::words)
        .collect();
    let of = |d: &DiverHours, q: &str| d.limits.iter().find(|l| l.question == q).cloned();
    html! { @if !questions.is_empty() {
        h3 { "Each diver and the limits of the rule set" }
        table {
            thead { tr { th { "diver" } @for q in &questions { th.n { (q) } } } }
            tbody {
                @for d in divers { tr title=[cells.below(&["divers", &d.diver])] {
                    td { (d.diver) }
                    @for q in &questions {
                        @match of(d, q) {
                            Some(limit) => (found(d, &limit, cells)),
                            None => td { "not asked" },
                        }
                    }
                } }
                tr.sum { td { "allowed, by row" }
                    @for q in &questions {
                        @let any = divers.iter().find_map(|d| of(d, q));
                        td title=(apart::LIMIT) { @if let Some(limit) = any { (limit.words[1]) " (" (limit.rule) ")" } }
                    }
                }
            }
        }
        p.note { "Of each question the one time that he came nearest to the limit, or furthest past it, as the row's own clock counts it; what is allowed may differ by depth, and job.json has it with its row for each diver." }
    } }
}

fn found(d: &DiverHours, limit: &DiverLimit, cells: &Cells) -> Markup {
    let name = match limit.figures {
        Some(WorkFigures::Hours { .. }) => "found_h",
        _ => "found",
    };
    let of = [
        "divers",
        &d.diver,
        "limits",
        limit.question,
        "figures",
        name,
    ];
    let text = match limit.words[0].as_str() {
        "" => limit.answer,
        found => found,
    };
    html! { td.n title=(cells.id(&of).unwrap_or_else(|| id("job", &["divers", &d.diver]))) {
        @if limit.answer == "broken" { span.alert-text { "\u{25b2} " } } (text)
    } }
}
