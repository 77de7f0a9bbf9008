//! The sections of a stock study that say what may run short, when, and which assumption matters most; each
//! picture has its table beside it.

use super::chance::chance;
use super::fan::fan;
use super::inputs::StockInputs;
use super::why;
use super::words::gas_name;
use crate::explain::{Cells, apart};
use deepstay_core::units::{about, fixed};
use deepstay_stock::{Chance, ChanceDay, FanDay, GasAnswer, OneAtATime, SourceCorrelation};
use maud::{Markup, PreEscaped, html};

/// Most rows of a table by days.
const ROWS: usize = 16;

/// The stock day by day, gas by gas.
pub fn stock(inputs: &StockInputs<'_>) -> Markup {
    let gas = inputs.units.free_scale();
    html! {
        h2 { "What is left, day by day" }
        @for g in &inputs.answer.gases {
            h3 { (gas_name(&g.gas)) }
            (fan_of(&g.days.iter().map(|d| d.scaled(gas.of(1.0))).collect::<Vec<FanDay>>(), g, gas.of(g.minimum_mol), gas.unit))
        }
    }
}

fn fan_of(days: &[FanDay], g: &GasAnswer, minimum: f64, unit: &str) -> Markup {
    let line = (minimum > 0.0).then_some((minimum, "minimum and heel"));
    html! {
        (PreEscaped(fan(days, line, &format!("{}: what is left", gas_name(&g.gas)), unit)))
        (fan_table(days, unit))
    }
}

/// The numbers of a fan.
pub fn fan_table(days: &[FanDay], unit: &str) -> Markup {
    html! {
        details { summary.note { "The same as numbers, in " (unit) }
            table title=(apart::DAYS) {
                thead { tr { th.n { "end of day" } th.n { "least" } th.n { "P1" } th.n { "P5" } th.n { "P20" } th.n { "P50" } th.n { "P80" } th.n { "P95" } } }
                tbody { @for d in thinned(days) {
                    tr {
                        td.n { (d.day) }
                        @for value in [d.least, d.p01, d.p05, d.p20, d.p50, d.p80, d.p95] { td.n { (about(value)) } }
                    }
                } }
            }
        }
    }
}

/// So many rows that a page stays readable, the last among them.
pub(super) fn thinned<T>(rows: &[T]) -> Vec<&T> {
    let every = rows.len().div_ceil(ROWS).max(1);
    let last = rows.len().saturating_sub(1);
    rows.iter()
        .enumerate()
        .filter(|(i, _)| i % every == 0 || *i == last)
        .map(|(_, r)| r)
        .collect()
}

/// Chance of reaching a minimum and of stopping, by day.
pub fn chances(inputs: &StockInputs<'_>, cells: &Cells) -> Markup {
    html! {
        h2 { "Chance of reaching a minimum, and of stopping" }
        p { "By the end of each day: the share of jobs in which the stock of any gas, or of absorbent, has been below a minimum that it meets at the start, and in which an order or a run failed for want of gas. Intervals are those of Clopper and Pearson, 95 %." }
        (chance_chart(&inputs.answer.chance, "Chance by day", Some(cells)))
        @if !inputs.answer.floors.is_empty() {
            h3 { "Minimum by minimum, over the whole job" }
            table title=(apart::JOBS) {
                thead { tr { th { "minimum of" } th { "held in" } th.n { "least in the banks, " (inputs.units.free_scale().unit) } th.n { "jobs below it" } th { "interval" } th { "at the start" } } }
                tbody { @for (floor, at_start, chance) in &inputs.answer.floors { tr {
                    td { (floor.words) }
                    td { @if floor.gases.is_empty() { "no gas of the stock" } (floor.gases.iter().map(|g| gas_name(&inputs.gases[*g])).collect::<Vec<String>>().join("; ")) }
                    td.n { (about(inputs.units.free_scale().of(floor.mol))) }
                    td.n { (percent(chance.p)) } td { (between(chance)) }
                    td { @if *at_start { span.alert-text { "▲ below it" } } @else { "above it" } }
                } }
                @if let Some((words, kg, at_start, last)) = absorbent_minimum(inputs) { tr {
                    td { (words) } td { "the scrubbers' filling and what is spare on deck" }
                    td.n { (about(kg)) " kg" }
                    @match last { Some(chance) => { td.n { (percent(chance.p)) } td { (between(&chance)) } } None => { td.n { "-" } td { "-" } } }
                    td { @if at_start { span.alert-text { "▲ below it" } } @else { "above it" } }
                } } }
            }
            p.note { "Least in the banks: the minimum of the rule set, and with it what cannot be drawn. Minimums that the stock does not meet at the start are in no chance by day: they are broken before the first." }
        }
        h3 { "Gas by gas, over the whole job" }
        table {
            thead { tr { th { "gas" } th.n { "below its minimum" } th { "interval" } th.n { "below what can be drawn" } th { "interval" } } }
            tbody { @for g in &inputs.answer.gases { @if let Some(last) = g.chance.last() {
                @let (name, day) = (gas_name(&g.gas), format!("day {}", last.day));
                tr { td { (name) } (chance_cells(last, Some(cells), &["gases", &name, "chance", &day])) }
            } } }
        }
    }
}

/// The minimum of absorbent in the chambers: its words, kg, whether the stock is below it at the start, and the chance.
fn absorbent_minimum(
    inputs: &StockInputs<'_>,
) -> Option<(&'static str, f64, bool, Option<Chance>)> {
    let found = inputs.answer.absorbent.as_ref()?;
    let stock = &found.stock;
    let last = found.chance.last().map(|c| c.minimum);
    (stock.minimum_kg > 0.0).then_some((
        "absorbent in the chambers",
        stock.minimum_kg,
        !stock.is_met(),
        last.filter(|_| stock.is_met()),
    ))
}

/// A chart of chances and its numbers.
pub fn chance_chart(days: &[ChanceDay], title: &str, cells: Option<&Cells>) -> Markup {
    html! {
        (PreEscaped(chance(days, title)))
        details { summary.note { "The same as numbers" }
            table title=[cells.is_none().then_some(apart::JOBS)] {
                thead { tr { th.n { "end of day" } th.n { "below a minimum" } th { "interval" } th.n { "stopped" } th { "interval" } } }
                tbody { @for d in thinned(days) {
                    @let day = format!("day {}", d.day);
                    tr {
                        td.n title=[cells.and_then(|c| c.id(&["chance", &day, "day"]))] { (d.day) }
                        (chance_cells(d, cells, &["chance", &day]))
                    }
                } }
            }
        }
    }
}

/// Both chances of a day with their intervals; `of` is where the summary has them.
fn chance_cells(day: &ChanceDay, cells: Option<&Cells>, of: &[&str]) -> Markup {
    html! { @for (name, chance) in [("below_minimum", &day.minimum), ("stopped", &day.stopped)] {
        @let of = [of, &[name]].concat();
        td.n title=[cells.and_then(|c| c.id(&[&of[..], &["p"]].concat()))] { (percent(chance.p)) }
        td title=[cells.and_then(|c| c.below(&of))] { (between(chance)) }
    } }
}

/// A share as percent.
pub fn percent(share: f64) -> String {
    format!("{} %", fixed(share * 100.0, 1))
}

/// The interval of a chance.
pub fn between(chance: &Chance) -> String {
    format!(
        "{} to {} ({} of {})",
        percent(chance.low),
        percent(chance.high),
        chance.hits,
        chance.of
    )
}

/// What demand is most sensitive to: by rank correlation over all jobs, and one at a time.
pub fn why(inputs: &StockInputs<'_>) -> Markup {
    let gas = inputs.units.free_scale();
    let most: Vec<&GasAnswer> = inputs
        .answer
        .gases
        .iter()
        .filter(|g| g.demand.sd > 0.0)
        .collect();
    html! {
        h2 { "What demand is most sensitive to" }
        @if most.is_empty() { p { "No demand varied: nothing was drawn, or nothing that was drawn moved it." } }
        @for g in most {
            @let pulls: Vec<SourceCorrelation> = g.correlations.iter().take(8).cloned().collect();
            h3 { (gas_name(&g.gas)) }
            @if pulls.is_empty() {
                p.note { "Too few jobs for rank correlations." }
            } @else {
                (PreEscaped(why::pulls(&pulls, &format!("Rank correlation with the demand for {}", gas_name(&g.gas)))))
            }
            @if let Some((alone, base)) = inputs.alone {
                @let swings: Vec<_> = alone[g.place].iter().filter(|s| moves(s, base[g.place])).take(8).map(|s| {
                    let mut s = s.clone();
                    s.low = gas.of(s.low);
                    s.high = gas.of(s.high);
                    s
                }).collect();
                @if !swings.is_empty() {
                    (PreEscaped(why::swings(&swings, gas.of(base[g.place]), &format!("Demand for {}, one assumption at a time", gas_name(&g.gas)), gas.unit)))
                    details { summary.note { "The same as numbers, demand in " (gas.unit) "; " (about(gas.of(base[g.place]))) " with all as the scenario has it" }
                        table title=(apart::WHY) {
                            thead { tr { th { "assumption" } th { "low" } th.n { "demand" } th { "high" } th.n { "demand" } } }
                            tbody { @for s in &swings { tr {
                                td { (s.source) } td { (s.low_input) } td.n { (about(s.low)) } td { (s.high_input) } td.n { (about(s.high)) }
                            } } }
                        }
                    }
                }
            }
        }
        p.note { "Rank correlation: Spearman's, with its 95 % interval. One at a time: each at the 5 % and 95 % points of its law, all others as the scenario has them; a breakdown never, or once for a long time after a quarter of the planned bell runs. The sea is as in the scenario; it is not tried alone." }
        (laws(inputs))
    }
}

/// Whether a source moves the demand by more than a reader would call nothing: 0.1 %.
fn moves(swing: &OneAtATime, base: f64) -> bool {
    (swing.low - base).abs().max((swing.high - base).abs()) > 1e-3 * base.abs()
}

fn laws(inputs: &StockInputs<'_>) -> Markup {
    html! {
        h3 { "What was drawn for each job" }
        @if inputs.sources.is_empty() { p { "Nothing: the scenario has no study, and every job is the same." } }
        @else { table {
            thead { tr { th { "assumption" } th { "law" } th { "source" } } }
            tbody { @for s in inputs.sources { tr {
                td { (s.name) } td { (StockInputs::law(s)) } td { (s.source) }
            } } }
        } }
    }
}

/// What if.
pub fn what_if(inputs: &StockInputs<'_>, cells: &Cells) -> Markup {
    let Some(what_if) = inputs.what_if else {
        return html! {};
    };
    let gas = inputs.units.free_scale();
    let told = |mol: f64| about(gas.of(mol));
    html! {
        h2 { "What if " (what_if.set.join(", ")) }
        @if what_if.cut_short.0.hits > 0 || what_if.cut_short.1.hits > 0 {
            p.alert-text { "▲ The stock ran out in " (percent(what_if.cut_short.0.p)) " of the jobs as it is, and in " (percent(what_if.cut_short.1.p)) " with it: what was not there could not be drawn, and a difference may be no saving." }
        }
        p { "Below a minimum that the stock meets at the start: " (percent(what_if.minimum.0.p)) " of the jobs as it is, " (percent(what_if.minimum.1.p)) " with it." }
        p { "The same jobs, with common random numbers and that set: the difference is taken job by job, so that chance common to both falls out. Amounts in " (gas.unit) "." }
        table {
            thead { tr {
                th { "gas" } th.n { "mean as it is" } th.n { "mean with it" } th.n { "difference" } th { "95 % interval" }
                th.n { "P95 as it is" } th.n { "P95 with it" }
            } }
            tbody { @for d in &what_if.differences {
                @let q = |s: &deepstay_stock::Estimate| s.quantiles.iter().find(|q| q.p == 0.95).map_or("-".to_owned(), |q| told(q.value));
                tr {
                    @let name = gas_name(&d.gas);
                    td { (name) }
                    (cells.figure(&["what_if", &name, "base_mean_m3_free"], told(d.base.mean)))
                    (cells.figure(&["what_if", &name, "changed_mean_m3_free"], told(d.changed.mean)))
                    (cells.figure(&["what_if", &name, "difference_m3_free", "mean"], signed(gas.of(d.by.mean))))
                    td title=[cells.below(&["what_if", &name, "difference_m3_free"])] { @match (d.by.mean_low, d.by.mean_high) { (Some(l), Some(h)) => { (signed(gas.of(l))) " to " (signed(gas.of(h))) } _ => { "-" } } }
                    (cells.figure(&["gases", &name, "demand_m3_free", "quantiles", "P95", "value"], q(&d.base)))
                    (crate::explain::cell_apart(apart::JOBS, q(&d.changed)))
                }
            } }
        }
    }
}

/// A number with its sign.
pub fn signed(value: f64) -> String {
    if value > 0.0 {
        format!("+{}", about(value))
    } else {
        about(value).replace('-', "−")
    }
}
