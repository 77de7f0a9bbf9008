//! The lines that the sheets of the workbook share: an item of a gas, with its figures.

use crate::stock::load::inputs::{StockLoadInputs, gas_words, main_gas};
use deepstay_core::units::{BAR_PA, FREE, ZERO_C_K};

/// A line of both sheets: an item of a gas.
pub(super) struct Line {
    pub(super) gas: String,
    pub(super) item: String,
    pub(super) first_of_gas: bool,
    pub(super) last_of_gas: bool,
    pub(super) o2: f64,
    pub(super) demand_m3: f64,
    pub(super) reserve_m3: f64,
    pub(super) count: f64,
    pub(super) real_m3: f64,
    pub(super) real_over_ideal: f64,
    pub(super) bottles: f64,
    pub(super) litres: f64,
    pub(super) fill_bar: f64,
    pub(super) fill_c: f64,
    pub(super) bank_c: f64,
    pub(super) depth_msw: f64,
    pub(super) over_bar: f64,
    pub(super) regulator_bar: f64,
    pub(super) surface_bar: f64,
    pub(super) mass_kg: f64,
    pub(super) price: f64,
    pub(super) main: &'static str,
    pub(super) source: String,
}

/// The lines of a load.
pub(super) fn lines(inputs: &StockLoadInputs<'_>) -> Vec<Line> {
    let m3 = |mol: f64| mol / FREE.mol_per_m3();
    let mut all = Vec::new();
    for line in &inputs.load.lines {
        let Some(need) = inputs.needs.get(line.need) else {
            continue;
        };
        for (i, pick) in line.picks.iter().enumerate() {
            let Some(offer) = inputs.supplier.offers.get(pick.offer) else {
                continue;
            };
            all.push(Line {
                gas: gas_words(need),
                item: offer.name.clone(),
                first_of_gas: i == 0,
                last_of_gas: i + 1 == line.picks.len(),
                o2: need.gas.label_o2,
                demand_m3: m3(need.demand_mol),
                reserve_m3: m3(need.reserve_mol),
                count: f64::from(pick.count),
                real_m3: m3(pick.usable.real_mol),
                real_over_ideal: pick.usable.real_over_ideal(),
                bottles: f64::from(offer.bottles),
                litres: offer.bottle_m3 * 1e3,
                fill_bar: offer.fill_gauge_pa / BAR_PA,
                fill_c: offer.filled_t_k - ZERO_C_K,
                bank_c: need.bank_t_k - ZERO_C_K,
                depth_msw: need.deepest_msw,
                over_bar: need.over_bottom_pa / BAR_PA,
                regulator_bar: need.regulator_pa / BAR_PA,
                surface_bar: need.surface_pa / BAR_PA,
                mass_kg: offer.mass_full_kg,
                price: offer.price.each,
                main: main_gas(need),
                source: format!(
                    "Demand: {}. Reserve: {}. Price: {}. Mass: {}.{}{}",
                    inputs.demand,
                    inputs.reserve,
                    offer.price.source,
                    offer.mass_source,
                    if need.note.is_empty() { "" } else { " " },
                    need.note
                ),
            });
        }
    }
    all
}
