//! Working time on a page: breaches, and every question with its answer.

use super::summary::{WorkLine, WorkingTimeSummary};
use crate::explain::cell_apart;
use crate::provenance::{StatusWord, word_words};
use maud::{Markup, html};

/// The section of a page; `apart` says where the figures stand that are in no summary.
pub(crate) fn section(s: &WorkingTimeSummary, apart: &'static str) -> Markup {
    html! { @if !s.answers.is_empty() {
        h2 { "Working time, rest and days under pressure" }
        @if s.broken() {
            table {
                thead { tr { th { "when" } th { "what is wrong" } th.n { "margin" } th { "rule, and its source" } } }
                tbody { @for b in &s.breaches { tr {
                    td.w { (b.from) } td { span.alert-text { "▲ " } (b.words) } (cell_apart(apart, &b.margin))
                    td { (b.rule) ": " (b.document) }
                } } }
            }
        }
        (answers(&s.answers, apart))
    } }
}

/// Every question with its answer, a row each.
pub(crate) fn answers(lines: &[WorkLine], apart: &'static str) -> Markup {
    html! {
    table {
        thead { tr { th { "question" } th { "answer" } th.n { "found" } th.n { "allowed" } th.n { "margin" } th { "whose" } th { "rule and source, or why it was not judged" } } }
        tbody { @for a in lines {
            tr.weak[matches!(a.status, Some(StatusWord::Recalled | StatusWord::SecondHand))] {
                td { (a.question) }
                td { @if a.answer == "broken" { span.alert-text { "▲ broken" } } @else { (a.answer) } }
                (cell_apart(apart, &a.found)) (cell_apart(apart, &a.allowed)) (cell_apart(apart, &a.margin))
                td { (a.diver) }
                td { @match a.status {
                    Some(status) => { (a.rule) ": " (a.document) " (" (word_words(status)) ")" }
                    None => { (a.why) }
                } }
            }
        } }
    }
    }
}
