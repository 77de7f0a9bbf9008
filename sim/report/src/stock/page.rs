//! The page of a gas study: how much, what may run short, what matters most, the minimums, what to load.

use super::inputs::{StockInputs, StockPapers};
use super::load::section::load_section;
use super::reserve::{beside_section, minimum_sections};
use super::risk::percent;
use super::summary::StockSummary;
use super::words::gas_name;
use super::{absorbent, demand, risk, today};
use crate::explain::{Cells, Heads, id};
use crate::kit::frame::{framed, tile, tile_from};
use deepstay_core::CAUTION;
use deepstay_core::units::{FREE_WORDS, about};
use deepstay_stock::{ChanceDay, GasAnswer, Quantile};
use maud::{Markup, html};

/// The page.
pub fn stock_html(papers: &StockPapers<'_>) -> String {
    stock_html_from(papers, &Heads::default())
}

/// The ids of the figures at its head.
pub(super) fn head_ids(papers: &StockPapers<'_>) -> Vec<String> {
    let study = &papers.study;
    let gases = study.answer.gases.iter();
    let mut ids: Vec<String> = gases.filter_map(|g| demand_id(study, g)).collect();
    if let Some(last) = study.answer.chance.last() {
        ids.extend(["below_minimum", "stopped"].map(|of| chance_id(last, of)));
    }
    let absorbent = study.answer.absorbent.as_ref();
    if let Some(last) = absorbent.and_then(|a| a.chance.last()) {
        ids.push(too_little_id(last));
    }
    ids.push(id("stock", &["not_surfaced", "p"]));
    ids
}

/// The quantile of a gas's demand nearest to what is to be covered.
fn covering<'a>(study: &StockInputs<'_>, gas: &'a GasAnswer) -> Option<&'a Quantile> {
    let off = |q: &Quantile| (q.p - study.covered).abs();
    gas.demand
        .quantiles
        .iter()
        .min_by(|a, b| off(a).total_cmp(&off(b)))
}

fn demand_id(study: &StockInputs<'_>, gas: &GasAnswer) -> Option<String> {
    let quantile = format!("P{:.0}", covering(study, gas)?.p * 100.0);
    let name = gas_name(&gas.gas);
    let names = [
        "gases",
        &name,
        "demand_m3_free",
        "quantiles",
        &quantile,
        "value",
    ];
    Some(id("stock", &names))
}

fn chance_id(day: &ChanceDay, of: &str) -> String {
    id("stock", &["chance", &format!("day {}", day.day), of, "p"])
}

fn too_little_id(day: &ChanceDay) -> String {
    let day = format!("day {}", day.day);
    id("stock", &["absorbent", "chance", &day, "too_little", "p"])
}

/// The page with the chains behind the figures at its head.
pub(super) fn stock_html_from(papers: &StockPapers<'_>, heads: &Heads) -> String {
    let study = &papers.study;
    let subject = study.subject;
    let cells = &Cells::of_stock(&StockSummary::of(papers));
    let body = html! {
        h1 { "Gas for the campaign: " (subject.title) }
        p.sub {
            (subject.scenario) " on " (subject.spread) ", rule set " (subject.rule_set) ". " @if let Some(taken) = &subject.rules_taken { b { (taken) ". " } }
            (study.answer.jobs) " whole simulated jobs, seed " (study.head.seed) ". Amounts are " (FREE_WORDS) "."
        }
        p.caution { b { "Caution. " } (CAUTION) }
        (tiles(papers, heads))
        @for remark in study.remarks { p.note { (remark) } }
        (today::today(study))
        (demand::demand(study, cells))
        (absorbent::absorbent(study, cells))
        @if let Some(load) = &papers.load { (load_section(load, cells)) }
        @else { p.note { "No supplier's list was named, so nothing is said here of what to load: give supplier in the scenario's study, or --supplier." } }
        (risk::chances(study, cells))
        (risk::stock(study))
        (risk::why(study))
        (risk::what_if(study, cells))
        (minimum_sections(papers.sheet, subject, study.units, cells))
        @if let Some((other, pairs)) = papers.beside { (beside_section(papers.sheet, other, pairs, study.units)) }
        (demand::others(study, cells))
        (unanswered(study))
        p.note { "The figures at the head open to where they come from, as stock.json has them; a number of a table carries, where a mouse rests on it, the id that deepstay explain takes, or where it stands if stock.json does not hold it." }
    };
    framed(
        &format!("Gas for the campaign: {}", subject.scenario),
        &body,
    )
}

fn tiles(papers: &StockPapers<'_>, heads: &Heads) -> Markup {
    let from = |ids: &[String]| heads.opened(ids);
    let study = &papers.study;
    let gas = study.units.free_scale();
    let covered = whole_percent(study.covered);
    let last = study.answer.chance.last();
    html! {
        @let cut = study.answer.cut_short.hits > 0;
        @let few = deepstay_stock::ranks(study.answer.jobs, study.covered).is_err();
        @let least = if cut { "at least, for the stock ran out; " } else if few { "not bounded by so few jobs; " } else { "" };
        @let most = {
            let mut gases: Vec<&GasAnswer> = study.answer.gases.iter().collect();
            gases.sort_by(|a, b| b.demand.mean.total_cmp(&a.demand.mean));
            gases
        };
        div.tiles {
            @for g in most.into_iter().take(3) {
                @if let Some(q) = covering(study, g) {
                    @let ids: Vec<String> = demand_id(study, g).into_iter().collect();
                    (tile_from(cut, &format!("{} {}", about(gas.of(q.value)), gas.unit), &format!("{}: {least}{} of the jobs need no more", gas_name(&g.gas), whole_percent(q.p)), &from(&ids)))
                }
            }
            @if let Some(c) = last {
                (tile_from(c.minimum.hits > 0, &percent(c.minimum.p), &format!("of the jobs go below a minimum that the stock meets at the start; between {} and {} may", percent(c.minimum.low), percent(c.minimum.high)), &from(&[chance_id(c, "below_minimum")])))
                (tile_from(c.stopped.hits > 0, &percent(c.stopped.p), &format!("of the jobs fail an order or a run for want of gas; between {} and {} may", percent(c.stopped.low), percent(c.stopped.high)), &from(&[chance_id(c, "stopped")])))
            }
            @if let Some(c) = study.answer.absorbent.as_ref().and_then(|a| a.chance.last()).filter(|c| c.stopped.hits > 0) {
                (tile_from(true, &percent(c.stopped.p), &format!("of the jobs want more absorbent than is aboard; between {} and {} may", percent(c.stopped.low), percent(c.stopped.high)), &from(&[too_little_id(c)])))
            }
            @if papers.sheet.asks_for_no_amount() {
                (tile(!papers.sheet.all_met(), "No amount", &format!("is asked for by rule set {}: the stock is held against the way home alone, which it {}", papers.sheet.set, if papers.sheet.all_met() { "holds" } else { "does not hold" })))
            } @else {
                (tile(!papers.sheet.all_met(), if papers.sheet.all_met() { "Met" } else { "Not met" }, &format!("minimums of rule set {}, with the way home, by the stock at the start", papers.sheet.set)))
            }
            @if let Some(load) = &papers.load {
                @let lacking: Vec<String> = papers.sheet.held_in_nothing().map(|t| t.holding.to_string()).collect();
                @let without = if lacking.is_empty() { String::new() } else { format!("; without the minimum of {}, which no gas of the stock can hold", lacking.join(", ")) };
                (tile(cut || few || !lacking.is_empty() || load.load.refused.iter().any(|r| !r.why.is_of_a_boat()), &load.money(load.load.money),
                    &format!("{least}to load for {covered} of the jobs with the minimums, {}{without}", load.mass(load.load.mass_kg()))))
            }
            (tile_from(study.answer.not_surfaced.hits > 0, &percent(study.answer.not_surfaced.p), "of the jobs do not come to the surface within the plan", &from(&[id("stock", &["not_surfaced", "p"])])))
        }
    }
}

/// A share as percent without digits that say nothing.
pub fn whole_percent(share: f64) -> String {
    format!("{} %", deepstay_core::units::fixed_short(share * 100.0))
}

fn unanswered(study: &StockInputs<'_>) -> Markup {
    html! {
        @if !study.failed.is_empty() {
            h2 { "Jobs that could not be run" }
            p { (study.failed.len()) " of the jobs could not be run with what was drawn for them, and are in none of the figures:" }
            ul { @for f in study.failed.iter().take(20) { li { (f.to_string()) } } }
        }
    }
}
