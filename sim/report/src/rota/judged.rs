//! Sections of the rota's page on what was judged: breaches, where each rule binds, the same crew under
//! other sets, and where every figure comes from.

use super::inputs::RotaInputs;
use crate::explain::{Cells, apart, cell_apart, id};
use crate::margins::margin_words;
use crate::provenance::status_words;
use crate::working::answers;
use deepstay_core::units::{fixed, hours};
use deepstay_core::words::Words;
use deepstay_rota::MadeBy;
use deepstay_rules::Status;
use maud::{Markup, html};

fn weak(status: Status) -> bool {
    matches!(status, Status::Recalled | Status::SecondHand)
}

/// Every breach, with rule, source and margin.
pub fn breaches(inputs: &RotaInputs<'_>, cells: &Cells) -> Markup {
    const MOST: usize = 60;
    let all = &inputs.verdict.breaches;
    html! {
        h2 { "Breaches" }
        @if all.is_empty() { p { "None." } } @else {
            table {
                thead { tr { th { "when" } th { "diver" } th { "what is wrong" } th.n { "has" } th.n { "allowed" } th.n { "margin" } th { "rule, and its source" } } }
                tbody { @for (i, b) in all.iter().take(MOST).enumerate() {
                    @let [found, limit, left] = margin_words(b.margin);
                    @let number = (i + 1).to_string();
                    @let of = |name, text: String| cells.figure(&["breaches", &number, "margin", name], text);
                    tr.weak[weak(b.rule.source.status)] {
                        td.w { (inputs.subject.time.civil_minute(b.when.from_s)) }
                        td { (b.diver.map_or("", |d| inputs.initials(d))) }
                        td { span.alert-text { "▲ " } (b.words) }
                        (of("found", found)) (of("limit", limit)) (of("left", left))
                        td { (b.rule.id) ": " (b.rule.source.document) " (" (b.rule.source.status) ")" }
                    }
                } }
            }
            @if all.len() > MOST { p.note { (all.len() - MOST) " more are in rota.json." } }
        }
    }
}

/// How near each rule came, and what binds.
pub fn rules(inputs: &RotaInputs<'_>, cells: &Cells) -> Markup {
    let worth = inputs.worth;
    html! {
        h2 { "Where the rules bind" }
        @if let (Some(w), Some(gap)) = (worth, inputs.gap()) {
            p title="rota/proof" {
                "No legal rota has more than " (fixed(w.bound_s as f64 / 3600.0, 1)) " h of useful time in the water: counted over the rules and the steel alone, whoever goes with whom and when. None that keeps the wishes has more than "
                (fixed(w.wished_s as f64 / 3600.0, 1)) " h; this one has " (fixed(w.useful_s as f64 / 3600.0, 1)) " h. "
                @match (w.done_s, w.earliest_s) {
                    (Some(done), Some(earliest)) => {
                        "The work is done by " (inputs.subject.time.clock(done)) "; no legal rota is done before " (inputs.subject.time.clock(earliest))
                        @if let Some(wished) = w.wished_earliest_s { ", none that keeps the wishes before " (inputs.subject.time.clock(wished)) } ". "
                    }
                    (None, Some(_)) => { "The work is not done within this rota. " }
                    _ => {}
                }
                "The gap to the best that keeps the wishes is " (fixed(gap * 100.0, 1)) " % at the most, to the best of all legal rotas "
                (fixed(inputs.gap_to_any().unwrap_or(gap) * 100.0, 1)) " %. Where the rule set has no figure the house's stands in, in the count as in the rota."
            }
        }
        @if !inputs.prices.is_empty() {
            h3 { "What the wishes cost" }
            table {
                thead { tr { th { "wish" } th.n { "useful time in the water without it (h)" } th { "what it costs" } } }
                tbody { @for p in inputs.prices {
                    @let useful = fixed(p.useful_s as f64 / 3600.0, 1);
                    tr { td { (p.wish.words()) } (cells.figure(&["wishes", p.wish.words(), "useful_h"], useful)) td { (inputs.price_words(p)) } }
                } }
            }
            p.note { "Each wish was left out by itself and the rota made again in a few tries: a price is what was found, and more may be had. Where the work gets done a wish costs time to its end, else useful time in the water." }
        }
        @if !inputs.binding.is_empty() {
            table title=(apart::SEARCH) {
                thead { tr { th { "what shapes the rota" } th.n { "bell runs at its limit" } th.n { "half an hour more would bring (h)" } th { "source" } } }
                tbody { @for b in inputs.binding { tr.weak[weak(b.rule.source.status)] {
                    td { (b.rule.words) } td.n { (b.runs) } td.n { (fixed(b.gain_s as f64 / 3600.0, 1)) }
                    td { (b.rule.id) ": " (b.rule.source.document) " (" (b.rule.source.status) ")" }
                } } }
            }
        }
        @if !inputs.verdict.nearest.is_empty() {
            h3 { "How near each rule came" }
            table {
                thead { tr { th { "rule" } th.n { "has" } th.n { "allowed" } th.n { "margin" } th { "whose" } th.n { "times at the limit" } th { "source" } } }
                tbody { @for n in &inputs.verdict.nearest {
                    @let [found, limit, left] = margin_words(n.margin);
                    @let of = |names: &[&str], text: Markup| cells.figure(&[&["rules", n.rule.id.as_str()], names].concat(), text);
                    tr.weak[weak(n.rule.source.status)] title=(id("rota", &["rules", &n.rule.id])) {
                        td { (n.rule.words) } (of(&["margin", "found"], html! { (found) })) (of(&["margin", "limit"], html! { (limit) }))
                        (of(&["margin", "left"], html! { @if n.margin.left() < 0 { span.alert-text { "▲ " (left) } } @else { (left) } }))
                        td { (n.diver.map_or("", |d| inputs.initials(d))) } (of(&["times_at_limit"], html! { (n.binds) }))
                        td { (n.rule.id) ": " (n.rule.source.document) " (" (n.rule.source.status) ")" }
                    }
                } }
            }
        }
        (answers(&inputs.working_time().answers, apart::JUDGED))
    }
}

/// What a row is, its name in the summary where it is there, and each set's cell.
type Row<'r> = (
    &'static str,
    Option<&'static str>,
    &'r dyn Fn(&deepstay_rota::Under) -> String,
);

/// The same crew under other rule sets.
pub fn under(inputs: &RotaInputs<'_>, cells: &Cells) -> Markup {
    let length = |s: Option<i64>| s.map_or("no figure".to_owned(), hours);
    let rows: [Row<'_>; 11] = [
        ("longest bell run, seal to seal (h:min)", None, &|u| {
            length(u.limits_s[0])
        }),
        ("longest time in the water (h:min)", None, &|u| {
            length(u.limits_s[1])
        }),
        ("least rest (h:min)", None, &|u| length(u.limits_s[2])),
        ("bell runs", Some("bell_runs"), &|u| {
            of(u, |r| r.runs.to_string())
        }),
        ("useful time in the water (h)", Some("useful_h"), &|u| {
            of(u, |r| fixed(r.useful_s as f64 / 3600.0, 1))
        }),
        ("no legal rota has more than (h)", Some("bound_h"), &|u| {
            of(u, |r| {
                r.bound_s
                    .map_or("-".to_owned(), |s| fixed(s as f64 / 3600.0, 1))
            })
        }),
        ("short of that by at most", Some("gap"), &|u| {
            of(u, |r| {
                r.gap
                    .map_or("-".to_owned(), |g| format!("{} %", fixed(g * 100.0, 1)))
            })
        }),
        ("work done by", None, &|u| {
            if inputs.progress.is_empty() {
                "no list".to_owned()
            } else {
                of(u, |r| {
                    r.done_s
                        .map_or("not within it".to_owned(), |s| inputs.subject.time.clock(s))
                })
            }
        }),
        ("shortest rest (h:min)", None, &|u| {
            of(u, |r| r.shortest_rest_s.map_or("none".to_owned(), hours))
        }),
        ("bell utilisation", None, &|u| {
            of(u, |r| format!("{} %", fixed(r.away * 100.0, 0)))
        }),
        (
            "breaches of the rota above under this set",
            Some("breaches_of_this_rota"),
            &|u| u.breaches.map_or("-".to_owned(), |n| n.to_string()),
        ),
    ];
    html! { @if !inputs.under.is_empty() {
        h2 { "The same crew under other rules" }
        table {
            thead { tr { th {} @for u in inputs.under { th.n { (u.set) } } } }
            tbody {
                @for (words, name, of) in &rows { tr { td { (words) } @for u in inputs.under {
                    @match name {
                        Some(name) => { (cells.figure(&["under", &u.set, name], of(u))) }
                        None => { (cell_apart(apart::UNDER, of(u))) }
                    }
                } } }
            }
        }
        @for u in inputs.under.iter().filter(|u| !u.note.is_empty()) { p.note { b { (u.set) } ": " (u.note) } }
        p.note { @if matches!(inputs.made_by, MadeBy::PlannedAgain(_)) { "Each column but the last row of figures is a rota for the same crew, bells and work under that set, planned again with what came between. Where" } @else { "Each column but the last row of figures is the best rota found for the same crew, bells and work under that set. Where" } " a set has no figure, the scenario's own stands in." }
    } }
}

fn of(u: &deepstay_rota::Under, words: impl Fn(&deepstay_rota::UnderRota) -> String) -> String {
    u.rota.as_ref().map_or("none".to_owned(), words)
}

/// Where every rule figure comes from.
pub fn sources(inputs: &RotaInputs<'_>) -> Markup {
    html! {
        h2 { "Rules used, and where each comes from" }
        p.note {
            "Rule set " (inputs.subject.rule_set) ". Figures from memory, not verified, or second-hand are marked in words and on grey ground; check them against the issuing body's current document."
            @if !inputs.subject.accepted.is_empty() { " Accepted by name: " (inputs.subject.accepted.join(", ")) "." }
        }
        table {
            thead { tr { th { "id" } th { "what" } th { "figures" } th { "document" } th { "status" } } }
            tbody { @for p in inputs.provenance { tr.weak[weak(p.status)] {
                td.w { (p.id) } td { (p.what) } td { (p.figures) } td { (p.document) } td.status { (status_words(p.status)) }
            } } }
        }
    }
}
