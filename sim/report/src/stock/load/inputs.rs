//! What the section, the table and the workbook on what to load are made of, and what they all say.

use crate::stock::words::gas_name;
use deepstay_core::gas::Species;
use deepstay_core::units::{BAR_PA, Duty, POUND_KG, Quantity, Units, about, fixed};
use deepstay_scenario::Supplier;
use deepstay_stock::supply::{By, Course, Load, LoadLine, LostReclaim, Need};

/// What the section, its table and its workbook are made of.
#[derive(Clone, Copy, Debug)]
#[non_exhaustive]
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
            Units::Imperial => format!("{}\u{a0}lb", about(kg / POUND_KG)),
        }
    }

    /// Money in the list's currency.
    pub fn money(&self, price: f64) -> String {
        format!("{}\u{a0}{}", about(price.round()), self.supplier.currency)
    }
}

/// A gas as a reader calls it: its duty, and its oxygen where that is not plain from it.
pub fn gas_words(need: &Need) -> String {
    gas_name(&need.gas)
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
        _ if need.mix[Species::He] > 0.5 => "helium",
        _ => "the mixture",
    }
}

/// Where the figures are from, one line a figure.
pub const SOURCES: &[(&str, &str)] = &[
    (
        "real gas",
        "density virial fit to the reference equations of state of helium, oxygen and nitrogen, 1 to 250 bar, 273 to 323 K (derived)",
    ),
    (
        "hand sum",
        "gauge bar times floodable volume: published school exercises with answers (seen)",
    ),
    (
        "heel",
        "depth and pressure over the bottom: US Navy Diving Manual, 15-8 (seen); 10 bar for a regulator: published school exercises (seen); the values here are inputs",
    ),
    ("order of drawing", "common practice, no source"),
    (
        "decant",
        "equal pressure by the real gas at the banks' temperatures (derived)",
    ),
    ("booster", "from the supplier's list"),
    (
        "prices and masses",
        "from the supplier's list, each with what it says of its source",
    ),
];
