//! What to load as a table for other programs: a line for each item of each gas, one unit's real and hand
//! figures beside each other. The first line is the caution.

use super::inputs::{StockLoadInputs, gas_words, why};
use crate::kit::table::{bytes, row};
use deepstay_core::CAUTION;
use deepstay_core::units::{BAR_PA, FREE_WORDS, Quantity, fixed};

/// The table.
///
/// # Errors
/// What the writer of CSV says; it writes to memory.
pub fn stock_load_csv(inputs: &StockLoadInputs<'_>) -> Result<Vec<u8>, csv::Error> {
    let (gas, gauge) = (
        inputs.units.free_scale(),
        inputs.units.scale(Quantity::GaugePressure),
    );
    let currency = &inputs.supplier.currency;
    let head = format!("# {CAUTION}\n# volumes are {FREE_WORDS}\n");
    let mut out = csv::WriterBuilder::new()
        .flexible(true)
        .from_writer(head.into_bytes());
    let free = |what: &str| format!("{what} ({})", gas.plain);
    let heads = [
        "gas".to_owned(),
        "oxygen (%)".to_owned(),
        free("demand"),
        free("reserve"),
        "item".to_owned(),
        "count".to_owned(),
        format!("fill ({})", gauge.plain),
        format!("change-over pressure (heel) ({})", gauge.plain),
        free("usable of one, real"),
        free("usable of one, by hand"),
        free("by temperature"),
        free("by compressibility"),
        free("usable of all"),
        "mass full of all (kg)".to_owned(),
        "mass empty of all (kg)".to_owned(),
        format!("price of one ({currency})"),
        format!("price of all ({currency})"),
        "price from".to_owned(),
        "mass from".to_owned(),
        "why".to_owned(),
    ];
    let width = heads.len();
    row(&mut out, heads)?;
    for line in &inputs.load.lines {
        let Some(need) = inputs.needs.get(line.need) else {
            continue;
        };
        for pick in &line.picks {
            let Some(offer) = inputs.supplier.offers.get(pick.offer) else {
                continue;
            };
            let (u, n) = (&pick.usable, f64::from(pick.count));
            let cells = [
                gas_words(need),
                fixed(need.gas.label_o2 * 100.0, 2),
                gas.digits(need.demand_mol),
                gas.digits(need.reserve_mol),
                offer.name.clone(),
                pick.count.to_string(),
                gauge.digits(u.fill_gauge_pa / BAR_PA),
                gauge.digits(u.heel_gauge_pa / BAR_PA),
                gas.digits(u.real_mol),
                gas.digits(u.hand_mol),
                gas.digits(u.by_temperature_mol),
                gas.digits(u.by_compressibility_mol),
                gas.digits(u.real_mol * n),
                fixed(offer.mass_full_kg * n, 1),
                fixed(offer.mass_empty_kg * n, 1),
                fixed(offer.price.each, 2),
                fixed(offer.price.each * n, 2),
                offer.price.source.clone(),
                offer.mass_source.clone(),
                why(inputs, line),
            ];
            row(&mut out, cells)?;
        }
    }
    let drum = inputs.supplier.absorbent.as_ref();
    for item in &inputs.load.mobilisation {
        let Some(drum) = drum.filter(|d| d.name == item.name) else {
            continue;
        };
        let mut cells = vec![String::new(); width];
        cells[0] = "absorbent".to_owned();
        cells[4] = item.name.clone();
        cells[5] = item.count.to_string();
        cells[13] = fixed(item.full_kg, 1);
        cells[15] = fixed(drum.price.each, 2);
        cells[16] = fixed(item.price, 2);
        cells[17] = drum.price.source.clone();
        cells[18] = item.sources.1.clone();
        cells[19] = "what the jobs use, as covered as the gas, and the minimum".to_owned();
        row(&mut out, cells)?;
    }
    for refusal in &inputs.load.refused {
        let mut cells = vec![String::new(); width];
        cells[0] = inputs.gas(refusal.need);
        cells[4] = "cannot be had".to_owned();
        cells[width - 1] = refusal.why.to_string();
        row(&mut out, cells)?;
    }
    bytes(out)
}
