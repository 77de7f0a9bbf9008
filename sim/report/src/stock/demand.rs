//! The sections of a stock study that say how much: demand of each gas with its quantiles, what for, and all
//! that is no gas.

use super::inputs::StockInputs;
use super::words::gas_name;
use crate::explain::id;
use deepstay_core::units::{FREE, FREE_WORDS, about, fixed};
use deepstay_core::words::Words;
use deepstay_stock::{DEFINITION, Estimate};
use maud::{Markup, html};

/// Demand gas by gas.
pub fn demand(inputs: &StockInputs<'_>) -> Markup {
    let gas = inputs.units.free_scale();
    let told = |mol: f64| about(gas.of(mol));
    html! {
        h2 { "How much of each gas" }
        p { "Demand is the most by which the stock of a gas fell below what was loaded, over the days of a job: what must be on board. "
            "Amounts are " (FREE_WORDS) ", in " (gas.unit) ". Beneath each quantile stands its 95 % confidence interval." }
        table {
            thead { tr {
                th { "gas" } th.n { "loaded" br; span.sub { "by hand" } } th.n { "mean" }
                @for p in ["median (P50)", "P80", "P90", "P95", "P99"] { th.n { (p) } }
                th.n { "maximum" } th.n { "received" }
            } }
            tbody { @for g in &inputs.answer.gases {
                tr title=(id("stock", &["gases", &gas_name(&g.gas)])) {
                    td { (gas_name(&g.gas)) }
                    td.n { (told(g.start_mol)) br; span.sub { (told(g.start_by_hand_m3 * FREE.mol_per_m3())) } }
                    (mean_cell(&g.demand, &told))
                    (quantile_cells(&g.demand, &told))
                    td.n { (told(g.demand.most)) }
                    td.n { @if g.returned.most > 0.0 { (told(g.returned.mean)) } @else { "-" } }
                }
            } }
        }
        p.note { (DEFINITION) " Mean: 95 % interval by Student's t. Loaded is what the real gas holds; by hand is gauge bar times floodable volume, and the difference is the compressibility of the gas and the temperature of the bottles. A dash stands where so few jobs cannot bound it. Received: the mean of what other gases gave to its banks, as where reclaim brings back bottom mix." }
        h3 { "What for" }
        table {
            thead { tr {
                th { "gas" } th { "purpose" } th.n { "mean" }
                @for p in ["median (P50)", "P80", "P90", "P95", "P99"] { th.n { (p) } }
            } }
            tbody { @for g in &inputs.answer.gases { @for (i, (purpose, spread)) in g.purposes.iter().enumerate() {
                tr.ruled[i == 0] title=(id("stock", &["gases", &gas_name(&g.gas), "purposes_m3_free", purpose.words()])) {
                    td { @if i == 0 { (gas_name(&g.gas)) } }
                    td { (purpose.words()) }
                    (mean_cell(spread, &told))
                    (quantile_cells(spread, &told))
                }
            } } }
        }
        p.note { "Gas drawn from banks, whether it came back or not; what reclaim brings back within one gas is not counted as drawn." }
    }
}

fn mean_cell(spread: &Estimate, told: &dyn Fn(f64) -> String) -> Markup {
    html! { td.n {
        (told(spread.mean))
        br; span.sub { (interval(spread.mean_low, spread.mean_high, told)) }
    } }
}

fn quantile_cells(spread: &Estimate, told: &dyn Fn(f64) -> String) -> Markup {
    html! { @for q in &spread.quantiles {
        td.n { (told(q.value)) br; span.sub { (interval(q.low, q.high, told)) } }
    } }
}

fn interval(low: Option<f64>, high: Option<f64>, told: &dyn Fn(f64) -> String) -> String {
    match (low, high) {
        (Some(low), Some(high)) => format!("{} to {}", told(low), told(high)),
        _ => "-".to_owned(),
    }
}

/// What is no gas of the banks: absorbent, oxygen by use, runs and hours.
pub fn others(inputs: &StockInputs<'_>) -> Markup {
    let gas = inputs.units.free_scale();
    html! {
        h2 { "Absorbent, oxygen by use, runs and hours" }
        table {
            thead { tr {
                th { "what" } th { "unit" } th.n { "mean" }
                @for p in ["median (P50)", "P80", "P90", "P95", "P99"] { th.n { (p) } }
                th.n { "least" } th.n { "maximum" }
            } }
            tbody { @for o in &inputs.answer.others {
                @let is_gas = o.unit == "mol" || o.unit == "m3";
                @let scale = if o.unit == "mol" { gas.of(1.0) } else if o.unit == "m3" { gas.of(deepstay_core::units::FREE.mol_per_m3()) } else { 1.0 };
                @let told = |value: f64| if is_gas { about(value * scale) } else { fixed(value, 1) };
                tr title=(id("stock", &["others", o.name])) {
                    td { (o.name) } td { @if is_gas { (gas.unit) } @else { (o.unit) } }
                    td.n { (told(o.estimate.mean)) }
                    @for q in &o.estimate.quantiles { td.n { (told(q.value)) } }
                    td.n { (told(o.estimate.least)) } td.n { (told(o.estimate.most)) }
                }
            } }
        }
        @if let Some((m3_h, source)) = inputs.burning {
            p.note { "Oxygen for burning: hours in the water at tasks of the work list whose gas is oxygen, times "
                (about(*m3_h)) " m³ of free gas an hour (" (source) "); jobs with less time in the water than the list are taken in proportion. It is in no bank of the stock, and is loaded beside it." }
        }
        p.note { "Absorbent counts the first filling of every canister and each change." }
    }
}
