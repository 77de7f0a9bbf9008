//! What a gas study says of absorbent: what is aboard, in kilograms and canisters, against what the jobs change by day.

use super::demand::{mean_cell, quantile_cells};
use super::fan::fan;
use super::inputs::StockInputs;
use super::risk::{between, percent, thinned};
use super::words::size_name;
use crate::explain::{Cells, apart, id};
use crate::kit::table::{bytes, row, table};
use deepstay_core::units::{about, fixed};
use deepstay_stock::AbsorbentAnswer;
use maud::{Markup, PreEscaped, html};

/// The section of the page.
pub fn absorbent(inputs: &StockInputs<'_>, cells: &Cells) -> Markup {
    let Some(found) = &inputs.answer.absorbent else {
        return html! {};
    };
    let told = |kg: f64| about(kg);
    let stock = &found.stock;
    let held = |name: &str, kg: f64| cells.figure(&["absorbent", name], told(kg));
    let changed = ["absorbent", "changed_kg"];
    html! {
        h2 { "Absorbent" }
        p { "A canister goes in whole, from what is spare on deck; the bell's own spare stays in the bell. What is changed is counted in the jobs themselves, canister by canister. No job stops for want of it: what is wanting stands below nothing." }
        table {
            thead { tr {
                th.n { "first filling (kg)" } th.n { "spare on deck (kg)" } th.n { "spare in the bell (kg)" } th.n { "mean changed (kg)" }
                @for p in ["median (P50)", "P80", "P90", "P95", "P99"] { th.n { (p) } }
                th.n { "maximum" }
            } }
            tbody { tr title=(id("stock", &["absorbent"])) {
                (held("in_scrubbers_kg", stock.in_scrubbers_kg))
                @match stock.spare_kg { Some(kg) => (held("spare_kg", kg)), None => td.n { "not given" } }
                (held("in_bell_kg", stock.in_bell_kg))
                (mean_cell(&found.changed, &told, (cells, &changed)))
                (quantile_cells(&found.changed, &told, (cells, &changed)))
                (cells.figure(&["absorbent", "changed_kg", "most"], told(found.changed.most)))
            } }
        }
        h3 { "By size of canister" }
        table {
            thead { tr {
                th { "canister" } th.n { "scrubbers" } th.n { "the spare fills" } th.n { "mean changed" }
                @for p in ["median (P50)", "P80", "P90", "P95", "P99"] { th.n { (p) } }
                th.n { "maximum" }
            } }
            tbody { @for size in &found.sizes {
                @let name = size_name(size);
                @let of = ["absorbent", "canisters", name.as_str()];
                @let changed = [&of[..], &["changed"]].concat();
                tr title=(id("stock", &of)) {
                    td { (name) }
                    (cells.figure(&[&of[..], &["scrubbers"]].concat(), size.scrubbers.to_string()))
                    @match size.spare_fills { Some(n) => (cells.figure(&[&of[..], &["spare_fills"]].concat(), n.to_string())), None => td.n { "not given" } }
                    (mean_cell(&size.changed, &told, (cells, &changed)))
                    (quantile_cells(&size.changed, &told, (cells, &changed)))
                    (cells.figure(&[&changed[..], &["most"]].concat(), told(size.changed.most)))
                }
            } }
        }
        p.note { "Canisters changed in a job, beside the one that each scrubber begins with. The spare fills: whole canisters of that size, were all of it for that size." }
        @if stock.spare_kg.is_some() { (by_day(found, cells)) }
        @else { p.note { "The study does not say what is spare on deck (planner: spare_absorbent), so no chance speaks of it." } }
    }
}

fn by_day(found: &AbsorbentAnswer, cells: &Cells) -> Markup {
    let stock = &found.stock;
    // A minimum of the chambers counts their first filling, the picture the spare alone.
    let beside = stock.counts_kg - stock.spare_kg.unwrap_or(0.0);
    let line = (stock.minimum_kg > beside)
        .then_some((stock.minimum_kg - beside, "minimum, less the filling"));
    html! {
        (PreEscaped(fan(&found.days, line, "Absorbent: what is left of the spare", "kg")))
        table {
            thead { tr {
                th.n { "end of day" } th.n { "least left (kg)" } th.n { "P5 (kg)" } th.n { "P50 (kg)" }
                th.n { "below the minimum" } th { "interval" } th.n { "too little for a canister" } th { "interval" }
            } }
            tbody { @for (left, chance) in thinned(&found.days).into_iter().zip(thinned(&found.chance)) {
                @let day = format!("day {}", chance.day);
                tr {
                    (cells.figure(&["absorbent", "chance", &day, "day"], chance.day.to_string()))
                    @for kg in [left.least, left.p05, left.p50] { td.n title=(apart::ABSORBENT) { (about(kg)) } }
                    @for (name, of) in [("below_minimum", &chance.minimum), ("too_little", &chance.stopped)] {
                        @let at = ["absorbent", "chance", day.as_str(), name];
                        (cells.figure(&[&at[..], &["p"]].concat(), percent(of.p)))
                        td title=[cells.below(&at)] { (between(of)) }
                    }
                }
            } }
        }
        p.note {
            @if stock.minimum_kg <= 0.0 { "No rule asks for a minimum of absorbent in the chambers. " }
            @else if stock.is_met() { "The minimum of absorbent in the chambers, the way home in it: " (about(stock.minimum_kg)) " kg of the " (about(stock.counts_kg)) " kg that count towards it at the start. " }
            @else { "The minimum of absorbent in the chambers, the way home in it, is " (about(stock.minimum_kg)) " kg, and " (about(stock.counts_kg)) " kg count towards it at the start: it is not met, and in no chance by day. " }
            "The day counts at which a canister had to be changed and less than one was spare. absorbent.csv has each day."
        }
    }
}

/// What is left of the spare, and both chances, day by day.
pub fn absorbent_csv(inputs: &StockInputs<'_>) -> Result<Vec<u8>, csv::Error> {
    let mut out = table();
    let heads = [
        "end of day",
        "least left of the spare (kg)",
        "P1 (kg)",
        "P5 (kg)",
        "P20 (kg)",
        "P50 (kg)",
        "P80 (kg)",
        "P95 (kg)",
        "P99 (kg)",
        "below the minimum (%)",
        "below the minimum, low (%)",
        "below the minimum, high (%)",
        "too little for a canister (%)",
        "too little for a canister, low (%)",
        "too little for a canister, high (%)",
    ];
    row(&mut out, heads)?;
    if let Some(found) = &inputs.answer.absorbent {
        for (d, c) in found.days.iter().zip(&found.chance) {
            let left = [d.least, d.p01, d.p05, d.p20, d.p50, d.p80, d.p95, d.p99];
            let chances = [&c.minimum, &c.stopped].map(|c| [c.p, c.low, c.high]);
            let cells = [d.day.to_string()]
                .into_iter()
                .chain(left.map(|kg| fixed(kg, 2)))
                .chain(chances.concat().into_iter().map(|p| fixed(p * 100.0, 3)));
            row(&mut out, cells)?;
        }
    }
    bytes(out)
}
