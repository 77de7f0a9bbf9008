//! The sections of a stock study that say how much: demand of each gas with its quantiles, what for, and all
//! that is no gas.

use super::inputs::StockInputs;
use super::words::{BURNING, gas_name};
use crate::explain::{Cells, id};
use deepstay_core::units::{FREE, FREE_WORDS, about, fixed};
use deepstay_core::words::Words;
use deepstay_stock::{DEFINITION, Estimate};
use maud::{Markup, html};

/// Demand gas by gas.
pub fn demand(inputs: &StockInputs<'_>, cells: &Cells) -> Markup {
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
                @let name = gas_name(&g.gas);
                @let of = ["gases", name.as_str()];
                @let demand = [&of[..], &["demand_m3_free"]].concat();
                tr title=(id("stock", &of)) {
                    td { (name) }
                    td.n title=[cells.id(&["gases", &name, "loaded_m3_free"])] {
                        (told(g.start_mol)) br;
                        span.sub title=[cells.id(&["gases", &name, "loaded_by_hand_m3"])] { (told(g.start_by_hand_m3 * FREE.mol_per_m3())) }
                    }
                    (mean_cell(&g.demand, &told, (cells, &demand)))
                    (quantile_cells(&g.demand, &told, (cells, &demand)))
                    (cells.figure(&["gases", &name, "demand_m3_free", "most"], told(g.demand.most)))
                    (cells.figure(&["gases", &name, "brought_back_m3_free", "mean"], if g.returned.most > 0.0 { told(g.returned.mean) } else { "-".to_owned() }))
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
                @let name = gas_name(&g.gas);
                @let of = ["gases", name.as_str(), "purposes_m3_free", purpose.words()];
                tr.ruled[i == 0] title=(id("stock", &of)) {
                    td { @if i == 0 { (gas_name(&g.gas)) } }
                    td { (purpose.words()) }
                    (mean_cell(spread, &told, (cells, &of)))
                    (quantile_cells(spread, &told, (cells, &of)))
                }
            } @if let Some(spread) = &g.burning {
                @let name = gas_name(&g.gas);
                @let of = ["gases", name.as_str(), "purposes_m3_free", BURNING];
                tr title=(id("stock", &of)) {
                    td {} td { (BURNING) }
                    (mean_cell(spread, &told, (cells, &of)))
                    (quantile_cells(spread, &told, (cells, &of)))
                }
            } } }
        }
        p.note { "Gas drawn from banks, whether it came back or not; what reclaim brings back within one gas is not counted as drawn." }
    }
}

/// Where in the summary the figures of an estimate stand.
pub(super) type Of<'a> = (&'a Cells, &'a [&'a str]);

pub(super) fn mean_cell(
    spread: &Estimate,
    told: &dyn Fn(f64) -> String,
    (cells, of): Of<'_>,
) -> Markup {
    html! { td.n title=[cells.id(&[of, &["mean"]].concat())] {
        (told(spread.mean))
        br; span.sub title=[cells.below(of)] { (interval(spread.mean_low, spread.mean_high, told)) }
    } }
}

/// The name of a quantile's row.
fn quantile(p: f64) -> String {
    format!("P{:.0}", p * 100.0)
}

pub(super) fn quantile_cells(
    spread: &Estimate,
    told: &dyn Fn(f64) -> String,
    (cells, of): Of<'_>,
) -> Markup {
    html! { @for q in &spread.quantiles {
        @let row = quantile(q.p);
        @let of = [of, &["quantiles", row.as_str()]].concat();
        td.n title=[cells.id(&[&of[..], &["value"]].concat())] { (told(q.value)) br; span.sub title=[cells.below(&of)] { (interval(q.low, q.high, told)) } }
    } }
}

fn interval(low: Option<f64>, high: Option<f64>, told: &dyn Fn(f64) -> String) -> String {
    match (low, high) {
        (Some(low), Some(high)) => format!("{} to {}", told(low), told(high)),
        _ => "-".to_owned(),
    }
}

/// What is no gas of the banks: absorbent, oxygen by use, runs and hours.
pub fn others(inputs: &StockInputs<'_>, cells: &Cells) -> Markup {
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
                    @let of = |names: &[&str], value: f64| cells.figure(&[&["others", o.name, "over_all_jobs"], names].concat(), told(value));
                    (of(&["mean"], o.estimate.mean))
                    @for q in &o.estimate.quantiles { (of(&["quantiles", &quantile(q.p), "value"], q.value)) }
                    (of(&["least"], o.estimate.least)) (of(&["most"], o.estimate.most))
                }
            } }
        }
        @if let Some((m3_h, source)) = inputs.burning {
            p.note { "Oxygen for burning: hours in the water at tasks of the work list whose gas is oxygen, times "
                (about(*m3_h)) " m³ of free gas an hour (" (source) "); jobs with less time in the water than the list are taken in proportion. It is drawn from the oxygen of the stock day by day as divers breathe in the water, and is in its demand, its chances and the load." }
        }
        p.note { "Absorbent counts the first filling of every canister and each change." }
    }
}
