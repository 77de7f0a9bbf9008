//! What to load, as a section of a page: what cannot be had, whole units of each gas and why these, the
//! heel, the real gas against the hand sum, the order of drawing with decant and booster, the mobilisation
//! list, the boats, the cost, and where the figures are from.

use super::inputs::{SOURCES, StockLoadInputs, gas_words, main_gas, picked, why};
use crate::explain::{Cells, apart};
use deepstay_core::CAUTION;
use deepstay_core::units::{FREE_WORDS, Quantity, about, fixed, span};
use deepstay_stock::supply::{LoadLine, Need, ORDER_RULE, Pick, Usable};
use maud::{Markup, html};

/// The section.
pub fn stock_load_section(inputs: &StockLoadInputs<'_>) -> Markup {
    load_section(inputs, &Cells::without_stock())
}

/// The section on a page with a summary beside it.
pub(crate) fn load_section(inputs: &StockLoadInputs<'_>, cells: &Cells) -> Markup {
    html! {
        h2 { "What to load" }
        p.caution { b { "Caution. " } (CAUTION) }
        p.note {
            "From the list " (inputs.supplier.name) @if !inputs.supplier.title.is_empty() { " (" (inputs.supplier.title) ")" } ". "
            "Demand: " (inputs.demand) ". Reserve: " (inputs.reserve) ". Volumes are " (FREE_WORDS) "."
        }
        (refusals(inputs))
        (units(inputs))
        (against_hand(inputs))
        (drawing(inputs))
        (mobilisation(inputs, cells))
        (boats(inputs))
        (cost(inputs))
        (sources(inputs))
    }
}

fn units(inputs: &StockLoadInputs<'_>) -> Markup {
    let gas = inputs.units.free_scale();
    html! {
        h3 { "Whole units of each gas" }
        table title=(apart::LOAD) {
            thead { tr {
                th { "gas" } th.n { "demand (" (gas.unit) ")" } th.n { "reserve, or kept as loaded (" (gas.unit) ")" } th.n { "needed (" (gas.unit) ")" }
                th { "units" } th.n { "usable (" (gas.unit) ")" } th.n { "to spare (" (gas.unit) ")" } th.n { "mass full" } th.n { "price" } th { "why these" }
            } }
            tbody {
                @for line in &inputs.load.lines {
                    @if let Some(need) = inputs.needs.get(line.need) { tr {
                        td { (inputs.gas(line.need)) }
                        td.n { (inputs.free(need.demand_mol)) } td.n { (inputs.free(need.reserve_mol)) } td.n { (inputs.free(need.needed_mol())) }
                        td { (picked(inputs, line)) }
                        td.n { (inputs.free(line.usable_mol())) } td.n { (inputs.free(line.usable_mol() - need.needed_mol())) }
                        td.n { (inputs.mass(line.mass_kg(inputs.supplier))) } td.n { (inputs.money(line.price(inputs.supplier))) }
                        td { (why(inputs, line)) }
                    } }
                }
                tr.sum {
                    td { "all gas" } td.n {} td.n {} td.n {} td.n {} td.n {} td.n {}
                    td.n { (inputs.mass(inputs.load.lines.iter().map(|l| l.mass_kg(inputs.supplier)).sum())) }
                    td.n { (inputs.money(inputs.load.lines.iter().map(|l| l.price(inputs.supplier)).sum())) } td {}
                }
            }
        }
        p.note { "Usable is what the real gas gives between fill and heel; what a booster could get out of heels is not counted in it." }
    }
}

fn against_hand(inputs: &StockLoadInputs<'_>) -> Markup {
    let gas = inputs.units.free_scale();
    let bar = inputs.units.scale(Quantity::GaugePressure).unit;
    html! {
        h3 { "One unit: the heel, and the real gas beside the hand sum" }
        table title=(apart::LOAD) {
            thead { tr {
                th { "unit, for" } th.n { "fill (" (bar) ")" } th.n { "change-over pressure (heel) (" (bar) ")" } th.n { "hand, whole (" (gas.unit) ")" } th.n { "heel" }
                th.n { "hand, to heel" } th.n { "temperature" } th.n { "compressibility" } th.n { "real (" (gas.unit) ")" } th.n { "real-gas correction" } th { "mostly by" }
            } }
            tbody {
                @for line in &inputs.load.lines { @for pick in &line.picks { @if let Some(need) = inputs.needs.get(line.need) {
                    (hand_row(inputs, need, pick.offer, &pick.usable))
                } } }
            }
        }
        p.note {
            "Hand: gauge bar times floodable volume, no bar added, as published school exercises count (64 \u{d7} 50 L at 100 bar: 320 m3; to a change-over at "
            "40 bar: 192 m3). Heel: depth, pressure over the bottom and what the regulator needs, on a gauge at the surface. Temperature: filled and standing at "
            "other than 15 degC. Compressibility: what the real gas holds more or less than the ideal one at the same pressures and temperatures."
        }
        @for (name, what) in outside(inputs) { p.note { "\u{25b2} " (name) ": " (what) "." } }
    }
}

fn hand_row(inputs: &StockLoadInputs<'_>, need: &Need, offer: usize, u: &Usable) -> Markup {
    let name = inputs
        .supplier
        .offers
        .get(offer)
        .map_or("", |o| o.name.as_str());
    let signed = |mol: f64| {
        if mol.abs() < 1e-9 * u.full_mol {
            "0".to_owned()
        } else {
            inputs.free(mol)
        }
    };
    let mostly = if u.by_temperature_mol.abs() > u.by_compressibility_mol.abs() {
        "temperature".to_owned()
    } else {
        format!("compressibility of {}", main_gas(need))
    };
    html! { tr {
        td { (name) ", " (gas_words(need)) }
        td.n { (inputs.gauge(u.fill_gauge_pa)) } td.n { (inputs.gauge(u.heel_gauge_pa)) }
        td.n { (inputs.free(u.hand_mol - u.by_heel_mol)) } td.n { (signed(u.by_heel_mol)) } td.n { (inputs.free(u.hand_mol)) }
        td.n { (signed(u.by_temperature_mol)) } td.n { (signed(u.by_compressibility_mol)) } td.n { (inputs.free(u.real_mol)) }
        td.n { (signed(u.difference_mol())) @if let Some(d) = u.difference_share() { " (" (fixed(d * 100.0, 1)) " %)" } }
        td { (mostly) }
    } }
}

/// Where the gas model is asked beyond its fit, by the item's name.
fn outside(inputs: &StockLoadInputs<'_>) -> Vec<(String, String)> {
    let picks = inputs.load.lines.iter().flat_map(|l| &l.picks);
    let found = picks.filter_map(|p| {
        Some((
            inputs.supplier.offers.get(p.offer)?.name.clone(),
            p.usable.outside?.to_string(),
        ))
    });
    let mut found: Vec<(String, String)> = found.collect();
    found.dedup();
    found
}

/// Seconds as days from the start.
fn day(s: i64) -> String {
    let days = s as f64 / 86_400.0;
    let places = usize::from(s % 86_400 != 0);
    if s < 0 {
        format!("{} d before the start", fixed(-days, places))
    } else {
        format!("day {}", fixed(days, places))
    }
}

/// What cannot be had.
fn refusals(inputs: &StockLoadInputs<'_>) -> Markup {
    html! { @if inputs.load.refused.iter().any(|r| !r.why.is_of_a_boat()) {
        h3.alert-text { "\u{25b2} Cannot be had" }
        (list(inputs, false))
    } }
}

fn list(inputs: &StockLoadInputs<'_>, of_boats: bool) -> Markup {
    html! {
        ul { @for r in inputs.load.refused.iter().filter(|r| r.why.is_of_a_boat() == of_boats) { li.alert-text { (inputs.gas(r.need)) ": " (r.why) "." } } }
    }
}

/// The order in which units are drawn, and what is got out of them beyond.
fn drawing(inputs: &StockLoadInputs<'_>) -> Markup {
    let (gas, bar) = (
        inputs.units.free_scale(),
        inputs.units.scale(Quantity::GaugePressure).unit,
    );
    html! {
        h3 { "Order of drawing" }
        p { (ORDER_RULE) " Each is drawn down to its heel before the next is opened; of equal pressures the smaller unit goes first." }
        table title=(apart::LOAD) {
            thead { tr {
                th { "gas" } th { "drawn in this order" } th.n { "decant, full into heel: ends at (" (bar) ")" } th.n { "goes over (" (gas.unit) ")" }
                th { "booster" }
            } }
            tbody { @for line in &inputs.load.lines { @for (i, pick) in line.picks.iter().rev().enumerate() { tr {
                td { @if i == 0 { (inputs.gas(line.need)) } }
                td { (order(inputs, line, pick, i)) }
                @match &pick.decant {
                    Some(d) => { td.n { (inputs.gauge(d.gauge_pa)) } td.n { (inputs.free(d.moved_mol)) } }
                    None => { td.n { "one unit" } td.n {} }
                }
                td { @match &pick.boosted {
                    Some(b) => {
                        (inputs.free(b.recovered_mol)) " " (gas.unit) " out of the heels of " (b.drawn) " into " (b.filled) ", down to " (inputs.gauge(b.left_gauge_pa)) " " (bar)
                        ": " (fixed(b.share * 100.0, 0)) " % of what all heels hold, in " (span(b.time_s as i64))
                    }
                    None => { @if inputs.supplier.booster.is_some() { "nothing to be got" } @else { "none on board" } }
                } }
            } } } }
        }
    }
}

/// Which in the order the units of an item are; `i` counts items from the smallest up.
fn order(inputs: &StockLoadInputs<'_>, line: &LoadLine, pick: &Pick, i: usize) -> String {
    let before: u32 = line.picks.iter().rev().take(i).map(|p| p.count).sum();
    let name = inputs
        .supplier
        .offers
        .get(pick.offer)
        .map_or("", |o| o.name.as_str());
    let (first, last) = (before + 1, before + pick.count);
    let kept = if i + 1 == line.picks.len() && last > 1 {
        "; the last full one is kept"
    } else {
        ""
    };
    if first == last {
        format!("{first}: {name}{kept}")
    } else {
        format!("{first} to {last}: {name}{kept}")
    }
}

/// The mobilisation list.
fn mobilisation(inputs: &StockLoadInputs<'_>, cells: &Cells) -> Markup {
    let all = &inputs.load.mobilisation;
    html! {
        h3 { "Mobilisation list" }
        table title=(apart::LOAD) {
            thead { tr {
                th { "item" } th.n { "count" } th.n { "mass full" } th.n { "mass empty" } th.n { "lifts" } th.n { "price" } th { "order by" } th { "price from" } th { "mass from" }
            } }
            tbody {
                @for m in all { tr {
                    td { (m.name) } (cells.figure(&["load", &m.name, "count"], m.count)) (cells.figure(&["load", &m.name, "mass_full_kg"], inputs.mass(m.full_kg))) td.n { @if m.empty_kg > 0.0 { (inputs.mass(m.empty_kg)) } }
                    td.n { (m.lifts) } (cells.figure(&["load", &m.name, "price"], inputs.money(m.price))) td.w { (day(m.order_by_s)) } td { (m.sources.0) } td { (m.sources.1) }
                } }
                tr.sum {
                    td { "all" } td.n { (all.iter().map(|m| m.count).sum::<u32>()) } td.n { (inputs.mass(inputs.load.mass_kg())) }
                    td.n { (inputs.mass(all.iter().map(|m| m.empty_kg).sum())) } td.n { (all.iter().map(|m| m.lifts).sum::<u32>()) }
                    td.n { (inputs.money(inputs.load.money)) } td {} td {} td {}
                }
            }
        }
    }
}

/// The boats.
fn boats(inputs: &StockLoadInputs<'_>) -> Markup {
    if inputs.courses.is_empty() {
        return html! {};
    }
    let reached = |day: Option<usize>| day.map_or("not reached".to_owned(), |d| format!("day {d}"));
    html! {
        h3 { "Supply boats, " (inputs.boats_from) }
        table title=(apart::LOAD) {
            thead { tr { th { "gas" } th.n { "minimum and heel (" (inputs.units.free_scale().unit) ")" } th { "below it without a boat: median" } th { "as planned" } } }
            tbody { @for (i, course) in inputs.courses.iter().enumerate() {
                @let (median, planned) = course.below_minimum();
                tr { td { (inputs.gas(i)) } td.n { (inputs.free(course.minimum_mol)) } td { (reached(median)) } td { (reached(planned)) } }
            } }
        }
        @if inputs.load.boats.is_empty() {
            p { "No boat need bring anything" @if inputs.supplier.boat.is_none() { ", and none is on the list" } "." }
        } @else { table title=(apart::LOAD) {
            thead { tr { th { "boat" } th { "brings" } th { "order by" } th.n { "units" } th.n { "mass full" } th.n { "price" } } }
            tbody { @for boat in &inputs.load.boats { @for (i, c) in boat.cargo.iter().enumerate() { tr {
                td.w { @if i == 0 { (day(boat.at_s)) } }
                td { (inputs.offer(c.offer)) ", for " (inputs.gas(c.need)) }
                td.w { (day(c.order_by_s)) } td.n { (c.count) } td.n { (inputs.mass(c.mass_kg)) } td.n { (inputs.money(c.price)) }
            } } } }
        } }
        @if inputs.load.refused.iter().any(|r| r.why.is_of_a_boat()) {
            p.alert-text { "\u{25b2} No boat can put right:" }
            (list(inputs, true))
        }
        p.note { "Planned by the course at the quantile named above: each call brings what keeps every gas at or above its minimum until the next one. A boat that weather holds up is not in this table." }
    }
}

/// What it costs.
fn cost(inputs: &StockLoadInputs<'_>) -> Markup {
    let gas = inputs.units.free_scale();
    html! {
        h3 { "Cost" }
        table title=(apart::LOAD) { tbody {
            tr { td { "all of the mobilisation list, so that no boat is needed" } td.n { (inputs.money(inputs.load.money)) } }
            @for boat in &inputs.load.boats { tr { td { "boat of " (day(boat.at_s)) ", beside the stock that the scenario has" } td.n { (inputs.money(boat.price())) } } }
        } }
        @if let Some((need, lost)) = &inputs.lost_reclaim {
            p {
                "A full day of diving without reclaim costs " (inputs.free(lost.mol)) " " (gas.unit) " of " (inputs.gas(*need)) ": " (about(lost.units)) " units of "
                (inputs.offer(lost.offer)) ", " (inputs.money(lost.price)) " at the lowest price for usable gas on the list."
            }
        }
        p.note { "Prices are those stated on the list, without freight, hire, duty or tax; a price marked assumed is no offer." }
    }
}

/// The sources.
fn sources(inputs: &StockLoadInputs<'_>) -> Markup {
    html! {
        h3 { "Sources" }
        table { tbody {
            @for (what, from) in SOURCES { tr { td { (what) } td { (from) @if *what == "booster" { @if let Some(b) = &inputs.supplier.booster { ": " (b.source) } } } } }
            tr { td { "demand" } td { (inputs.demand) } }
            tr { td { "reserve" } td { (inputs.reserve) } }
            @for (i, need) in inputs.needs.iter().enumerate() { @if !need.note.is_empty() { tr { td { (inputs.gas(i)) } td { (need.note) } } } }
        } }
    }
}
