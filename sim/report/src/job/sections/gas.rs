//! The sections of the page that speak of gas: where it went, the stock, the account of each day.

use super::super::bank_state::BankState;
use crate::explain::{Cells, apart, cell_apart, id};
use crate::job::gas_chart;
use crate::job::inputs::Inputs;
use crate::job::summary::Summary;
use deepstay_core::gas::{Amounts, Species};
use deepstay_core::record::Flow;
use deepstay_core::units::{BankId, Place, Purpose, about, fixed, tiny};
use deepstay_core::words::{Words, formula};
use maud::{Markup, PreEscaped, html};

/// Where the gas went, by purpose and by species, and whether the ledger closes.
pub fn gas(inputs: &Inputs<'_>, summary: &Summary, cells: &Cells) -> Markup {
    html! {
        h2 { "Where the gas went" }
        (PreEscaped(gas_chart::by_purpose(inputs)))
        p.note {
            "Colours by EN 1089-3:2011 (a setting; other schemes differ): "
            span.chip.He {} "He" span.chip.O2 {} "O2" span.chip.N2 {} "N2" span.chip.CO2 {} "CO2. "
            "A diver's open-circuit gas counts on both sides: drawn from its bank and lost to the sea."
        }
        (statement(inputs, cells))
        @if summary.ledger.closes {
            p title="job/ledger" { "The ledger closes: the worst species is " (tiny(summary.ledger.worst_relative)) " of its moles handled away, " (tiny(summary.ledger.tolerance)) " allowed. No line is the remainder of the others." }
        } @else {
            p.alert-text title="job/ledger" { "▲ The ledger does not close: worst species " (tiny(summary.ledger.worst_relative)) ", allowed " (tiny(summary.ledger.tolerance))
                @if !summary.ledger.not_closed.is_empty() { "; no closing amount for " (summary.ledger.not_closed.join(", ")) } "." }
        }
    }
}

/// The statement of account: what there was, what came, what went, what is left, per species.
fn statement(inputs: &Inputs<'_>, cells: &Cells) -> Markup {
    let ledger = &inputs.record.ledger;
    let gas = inputs.units.free_scale();
    let closure = ledger.closure();
    let held = |banks: bool, opening: bool| {
        let mine = |p: &&deepstay_core::record::PlaceClosure| match p.place {
            Place::Bank(_) => banks,
            Place::Compartment(_) => !banks,
            _ => false,
        };
        closure
            .places
            .iter()
            .filter(mine)
            .fold(Amounts::ZERO, |sum, p| {
                sum.plus(if opening { &p.opening } else { &p.closing })
            })
    };
    let into = |to: fn(Place) -> bool| ledger.sum_where(|l| to(l.to));
    let from = |from: fn(Place) -> bool| ledger.sum_where(|l| from(l.from));
    let flow = |flow: Flow| ledger.sum_where(|l| flow.counts(l.from, l.to));
    let balance: [(&str, Amounts); 11] = [
        ("in banks at the start", held(true, true)),
        ("in chambers at the start", held(false, true)),
        ("+ taken in from air and sea", flow(Flow::TakenIn)),
        ("+ given off by divers", from(|p| p == Place::Body)),
        (
            "+ given off by absorbent and water",
            from(|p| is_changer(p) && p != Place::Body),
        ),
        ("− lost to the sea", into(|p| p == Place::Sea)),
        ("− lost to the air", into(|p| p == Place::Atmosphere)),
        ("− taken by divers", into(|p| p == Place::Body)),
        (
            "− taken by absorbent, drains",
            into(|p| is_changer(p) && p != Place::Body),
        ),
        ("in banks at the end", held(true, false)),
        ("in chambers at the end", held(false, false)),
    ];
    let ends = balance.len() - 2;
    let within: [(&str, Amounts); 3] = [
        (Flow::Drawn.words(), flow(Flow::Drawn)),
        (Flow::Returned.words(), flow(Flow::Returned)),
        (Flow::Reclaimed.words(), flow(Flow::Reclaimed)),
    ];
    let shown: Vec<Species> = Species::ALL
        .into_iter()
        .filter(|s| balance.iter().any(|(_, a)| a[*s] != 0.0))
        .collect();
    html! {
        table title=(apart::LEDGER) {
            thead { tr {
                th { "account, " (gas.unit) " of free gas" }
                @for s in &shown { th.n { (formula(*s)) } }
            } }
            tbody {
                @for (i, (what, moles)) in balance.iter().enumerate() {
                    tr.ruled[i == ends] {
                        td { (what) }
                        @for s in &shown { td.n { (about(gas.of(moles[*s]))) } }
                    }
                }
                tr.sum {
                    td { "left over, over moles handled" }
                    @for s in &shown { (cells.figure(&["ledger", "species", formula(*s), "relative"], tiny(closure.relative[*s]))) }
                }
                @for (i, (what, moles)) in within.iter().enumerate() {
                    tr.ruled[i == 0] title=[(*moles != Amounts::ZERO).then(|| id("job", &["gas", "totals", what]))] {
                        td { "of it, " (what) }
                        @for s in &shown { (cells.figure_if_any(&["gas", "totals", what, formula(*s), "m3_free"], about(gas.of(moles[*s])))) }
                    }
                }
            }
        }
        p.note {
            "Gross: what comes in is never set off against what goes out. What a diver breathes out into the sea counts as given off and as lost; air that goes in and out of a lock or trunk open to the deck counts both ways. "
            "Left out: what passed between chambers; it is in ledger.csv with all the rest."
        }
    }
}

fn is_held(p: Place) -> bool {
    matches!(p, Place::Bank(_) | Place::Compartment(_))
}

fn is_changer(p: Place) -> bool {
    !is_held(p) && !matches!(p, Place::Sea | Place::Atmosphere)
}

/// Stock of each bank over time.
pub fn banks(inputs: &Inputs<'_>, cells: &Cells) -> Markup {
    let gas = inputs.units.free_scale();
    let ledger = &inputs.record.ledger;
    let rows = || (0u8..).zip(&inputs.subject.banks);
    html! {
        h2 { "Gas stock" }
        div.banks { @for picture in gas_chart::banks(inputs) { (PreEscaped(picture)) } }
        table {
            thead { tr {
                th { "bank" } th { "duty" } th.n { "O2 label" } th.n { "O2 last analysis" } th.n { "O2 true, start" } th.n { "end" }
                th.n { "start (" (gas.unit) " free)" } th.n { "drawn" } th.n { "put back" } th.n { "end" } th.n { "left" }
            } }
            tbody { @for (i, label) in rows() {
                @let place = Place::Bank(BankId(i));
                @let state = BankState::of(inputs, BankId(i), label);
                @let (start, end) = (state.start.map(|a| a.total()), state.end.map(|a| a.total()));
                @let drawn = ledger.sum_where(|l| l.from == place).total();
                @let back = ledger.sum_where(|l| l.to == place).total();
                @let percent = |o2: Option<f64>| o2.map_or_else(|| "not said".into(), |o2| format!("{} %", fixed(o2 * 100.0, 1)));
                @let volume = |mol: Option<f64>| mol.map_or_else(|| "not said".into(), |m| about(gas.of(m)));
                @let of = |name, text: Markup| cells.figure(&["gas", "banks", &label.name, name], text);
                tr title=(id("job", &["gas", "banks", &label.name])) {
                    td.w { (label.name) } td { (label.duty.words()) }
                    (of("label_o2_percent", html! { (fixed(label.label_o2 * 100.0, 1)) " %" }))
                    (of("analysed_o2_percent", html! { @match state.analysed_o2 { Some(o2) => { (fixed(o2 * 100.0, 1)) " %" } None => { "never" } } }))
                    (of("true_o2_start_percent", html! { @if state.is_off_label() { span.alert-text { "▲ " } } (percent(state.start_o2())) }))
                    (of("true_o2_end_percent", html! { (percent(state.end_o2())) }))
                    (of("start_m3_free", html! { (volume(start)) }))
                    (cell_apart(apart::LEDGER, about(gas.of(drawn)))) (cell_apart(apart::LEDGER, about(gas.of(back))))
                    (of("end_m3_free", html! { (volume(end)) }))
                    td.n title=(apart::RATIO) { @if let (Some(s), Some(e)) = (start, end) { @if s > 0.0 { (fixed(e / s * 100.0, 0)) " %" } } }
                }
            } }
        }
        p.note { "Pressures are what the bank's gauge showed. Real gas at bank pressure holds less than pressure times volume says: compare moles, not bars." }
    }
}

/// The daily gas account.
pub fn days(inputs: &Inputs<'_>) -> Markup {
    let gas = inputs.units.free_scale();
    let volume = |mol: f64| {
        if mol == 0.0 {
            "·".to_string()
        } else {
            about(gas.of(mol))
        }
    };
    let columns = [
        Purpose::BlowDown,
        Purpose::MakeUp,
        Purpose::Oxygen,
        Purpose::DiverGas,
        Purpose::BellAndTrunk,
        Purpose::Bibs,
    ];
    let days = inputs.record.ledger.days();
    let body = |moved: &dyn Fn(Flow, Purpose) -> Amounts| {
        let all = |flow: Flow| {
            Purpose::ALL
                .into_iter()
                .fold(Amounts::ZERO, |sum, p| sum.plus(&moved(flow, p)))
        };
        let drawn = all(Flow::Drawn);
        let other: f64 = Purpose::ALL
            .into_iter()
            .filter(|p| !columns.contains(p))
            .map(|p| moved(Flow::Drawn, p).total())
            .sum();
        html! {
            @for s in [Species::He, Species::O2, Species::N2] { td.n { (volume(drawn[s])) } }
            @for p in columns { td.n { (volume(moved(Flow::Drawn, p).total())) } }
            td.n { (volume(other)) }
            @for flow in [Flow::Returned, Flow::Reclaimed, Flow::TakenIn, Flow::Lost] { td.n { (volume(all(flow).total())) } }
            td.n { (volume(all(Flow::Used)[Species::O2])) } td.n { (volume(all(Flow::Made)[Species::Co2])) }
        }
    };
    html! {
        h2 { "Daily gas account" }
        p.note { "All in " (gas.unit) " of free gas. Drawn from banks by gas, then by purpose; back to banks; brought round by reclaim; taken in from air and sea; lost; oxygen taken and carbon dioxide given off by divers. All gross. Left out: what absorbent takes, water, and what passed between chambers; ledger.csv has them by day." }
        table title=(apart::LEDGER) {
            thead { tr {
                th { "day" } th { "date" } th.n { "He" } th.n { "O2" } th.n { "N2" }
                @for p in columns { th.n { (p.words()) } }
                th.n { "other uses" } th.n { "back to banks" } th.n { "by reclaim" } th.n { "taken in" } th.n { "lost" } th.n { "O2 by divers" } th.n { "CO2 by divers" }
            } }
            tbody {
                @for day in days { tr {
                    td.w { "D" (format!("{:02}", day.day)) } td.w { (inputs.subject.time.date(day.day - 1)) }
                    (body(&|f, p| day.moved(f, p)))
                } }
                tr.sum { td { "all" } td {} (body(&|f, p| inputs.record.ledger.moved(f, p))) }
            }
        }
    }
}
