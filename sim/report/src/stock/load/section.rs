//! What to load, as a section of a page: whole units of each gas and why these, the heel, the real gas
//! against the hand sum, and what follows in [`super::parts`].

use super::parts;
use deepstay_core::CAUTION;
use deepstay_core::units::Units;
use deepstay_core::units::{BAR_PA, Quantity};
use deepstay_core::units::{FREE_WORDS, about, fixed};
use deepstay_plant::Duty;
use deepstay_scenario::Supplier;
use deepstay_stock::supply::{By, Course, Load, LoadLine, LostReclaim, Need, Usable};
use maud::{Markup, html};

/// What the section, its table and its workbook are made of.
#[derive(Clone, Copy, Debug)]
pub struct StockLoadInputs<'a> {
    /// The job's title.
    pub title: &'a str,
    /// The load.
    pub load: &'a Load,
    /// Whose list it is from.
    pub supplier: &'a Supplier,
    /// What is needed, in the order of the load's places.
    pub needs: &'a [Need],
    /// The courses of stock that boats were planned by; empty where none were.
    pub courses: &'a [Course],
    /// What demand stands for, such as "90 % quantile of 1000 jobs".
    pub demand: &'a str,
    /// From which stock the boats are planned, in words.
    pub boats_from: &'a str,
    /// What the reserve stands for: rule set and rules.
    pub reserve: &'a str,
    /// Place of the gas that reclaim gives back, and what a day without it costs.
    pub lost_reclaim: Option<(usize, LostReclaim)>,
    /// Metric or imperial; the workbook is metric.
    pub units: Units,
}

impl StockLoadInputs<'_> {
    /// A gas by its place in the needs, as a reader calls it.
    pub fn gas(&self, need: usize) -> String {
        self.needs
            .get(need)
            .map_or_else(|| "absorbent".to_owned(), gas_words)
    }

    /// An item by its place in the supplier's offers.
    pub fn offer(&self, place: usize) -> &str {
        self.supplier
            .offers
            .get(place)
            .map_or("", |x| x.name.as_str())
    }

    /// Free gas in the chosen unit, without it.
    pub fn free(&self, mol: f64) -> String {
        about(self.units.free_scale().of(mol))
    }

    /// A gauge pressure in the chosen unit, without it.
    pub fn gauge(&self, pa: f64) -> String {
        self.units
            .scale(Quantity::GaugePressure)
            .digits(pa / BAR_PA)
    }

    /// A mass, tonnes or pounds.
    pub fn mass(&self, kg: f64) -> String {
        match self.units {
            Units::Metric => format!("{}\u{a0}t", fixed(kg / 1000.0, 2)),
            Units::Imperial => format!("{}\u{a0}lb", about(kg / 0.453_592_37)),
        }
    }

    /// Money in the list's currency.
    pub fn money(&self, price: f64) -> String {
        format!("{}\u{a0}{}", about(price.round()), self.supplier.currency)
    }
}

/// A gas as a reader calls it: its duty, and its oxygen where that is not plain from it.
pub fn gas_words(need: &Need) -> String {
    crate::stock::inputs::gas_name(&need.gas)
}

/// The section.
pub fn stock_load_section(inputs: &StockLoadInputs<'_>) -> Markup {
    html! {
        h2 { "What to load" }
        p.caution { b { "Caution. " } (CAUTION) }
        p.note {
            "From the list " (inputs.supplier.name) @if !inputs.supplier.title.is_empty() { " (" (inputs.supplier.title) ")" } ". "
            "Demand: " (inputs.demand) ". Reserve: " (inputs.reserve) ". Volumes are " (FREE_WORDS) "."
        }
        (parts::refusals(inputs))
        (units(inputs))
        (against_hand(inputs))
        (parts::drawing(inputs))
        (parts::mobilisation(inputs))
        (parts::boats(inputs))
        (parts::cost(inputs))
        (parts::sources(inputs))
    }
}

fn units(inputs: &StockLoadInputs<'_>) -> Markup {
    let gas = inputs.units.free_scale();
    html! {
        h3 { "Whole units of each gas" }
        table {
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

/// `2 x heliox quad 64 + 1 x bottle`.
pub fn picked(inputs: &StockLoadInputs<'_>, line: &LoadLine) -> String {
    let all: Vec<String> = line
        .picks
        .iter()
        .map(|p| format!("{} \u{d7} {}", p.count, inputs.offer(p.offer)))
        .collect();
    if all.is_empty() {
        "none".to_owned()
    } else {
        all.join(" + ")
    }
}

/// Why a line loads what it loads.
pub fn why(inputs: &StockLoadInputs<'_>, line: &LoadLine) -> String {
    if line.picks.is_empty() {
        return "nothing is needed".to_owned();
    }
    if line.alone.len() == 1 {
        return "the only item that serves".to_owned();
    }
    let mut words = match (line.by, line.proven) {
        (By::Price, true) => "lowest price of all that cover it".to_owned(),
        (By::Units, true) => "fewest units of all that cover it".to_owned(),
        (_, false) => "the best found; the search was left before it was proven".to_owned(),
    };
    if let Some(next) = line.next_best() {
        words.push_str(&format!(
            "; {} \u{d7} {} alone: {}",
            next.count,
            inputs.offer(next.offer),
            inputs.money(next.price)
        ));
    }
    words
}

/// The main gas of a mixture by its label, for naming whose compressibility it is.
pub fn main_gas(need: &Need) -> &'static str {
    match need.gas.duty {
        Duty::Air => "air",
        Duty::Oxygen => "oxygen",
        _ if need.mix[deepstay_core::gas::Species::He] > 0.5 => "helium",
        _ => "the mixture",
    }
}

fn against_hand(inputs: &StockLoadInputs<'_>) -> Markup {
    let gas = inputs.units.free_scale();
    let bar = inputs.units.scale(Quantity::GaugePressure).unit;
    html! {
        h3 { "One unit: the heel, and the real gas beside the hand sum" }
        table {
            thead { tr {
                th { "unit, for" } th.n { "fill (" (bar) ")" } th.n { "heel (" (bar) ")" } th.n { "hand, whole (" (gas.unit) ")" } th.n { "heel" }
                th.n { "hand, to heel" } th.n { "temperature" } th.n { "compressibility" } th.n { "real (" (gas.unit) ")" } th.n { "real less hand" } th { "mostly by" }
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
