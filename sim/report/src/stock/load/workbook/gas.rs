//! The gas sheet: what is needed of each gas, and the units, mass and money that cover it.

use super::lines::Line;
use super::looks::{FIRST, Looks, live, set_up};
use crate::stock::load::inputs::StockLoadInputs;
use rust_xlsxwriter::{Worksheet, XlsxError};

/// Units that cover what is needed, as the sheet rounds: up, but for what lies below the sixth place.
fn round_up(needed_m3: f64, usable_m3: f64) -> f64 {
    ((needed_m3 / usable_m3 * 1e6).round() / 1e6).ceil()
}

pub(super) fn fill(
    sheet: &mut Worksheet,
    inputs: &StockLoadInputs<'_>,
    lines: &[Line],
    looks: &Looks,
) -> Result<(), XlsxError> {
    let money = &inputs.supplier.currency;
    let heads: Vec<(String, f64)> = [
        ("Gas", 26.0),
        ("Of the gas still needed from this line", 14.0),
        ("Oxygen (%)", 9.0),
        ("Demand (m3 free)", 12.0),
        ("Reserve (m3 free)", 12.0),
        ("Needed (m3 free)", 12.0),
        ("Unit chosen", 27.0),
        ("Usable per unit (m3 free)", 12.0),
        ("Units", 8.0),
        ("Loaded (m3 free)", 12.0),
        ("To spare (m3 free)", 12.0),
        ("Mass per unit (t)", 10.0),
        ("Mass (t)", 10.0),
    ]
    .map(|(h, w)| (h.to_owned(), w))
    .into_iter()
    .chain([
        (format!("Price per unit ({money})"), 12.0),
        (format!("Price ({money})"), 13.0),
        ("Source".to_owned(), 60.0),
    ])
    .collect();
    set_up(
        sheet,
        "Gas sheet",
        &format!("Gas sheet: {}", inputs.title),
        &heads,
        looks,
    )?;
    let mut left_m3 = 0.0;
    let (mut mass, mut price) = (0.0, 0.0);
    for (row, line) in (FIRST..).zip(lines) {
        let r = row + 1;
        let (demand, reserve) = if line.first_of_gas {
            (line.demand_m3, line.reserve_m3)
        } else {
            (0.0, 0.0)
        };
        let needed = if line.first_of_gas {
            demand + reserve
        } else {
            left_m3
        };
        // A larger unit's count beside a smaller one's is the planner's choice; the last makes up the rest.
        let count = if line.last_of_gas {
            round_up(needed.max(0.0), line.real_m3)
        } else {
            line.count
        };
        let loaded = count * line.real_m3;
        sheet.write_with_format(row, 0, &line.gas, &looks.text)?;
        sheet.write_with_format(
            row,
            1,
            if line.first_of_gas {
                "all of it"
            } else {
                "what the line above leaves"
            },
            &looks.text,
        )?;
        sheet.write_with_format(row, 2, line.o2 * 100.0, &looks.input)?;
        sheet.write_with_format(row, 3, demand, &looks.input)?;
        sheet.write_with_format(row, 4, reserve, &looks.input)?;
        let needs = if line.first_of_gas {
            format!("=D{r}+E{r}")
        } else {
            format!("=MAX(0,F{0}-J{0})+D{r}+E{r}", r - 1)
        };
        sheet.write_with_format(row, 5, live(needs, needed.max(0.0)), &looks.worked)?;
        sheet.write_with_format(row, 6, &line.item, &looks.text)?;
        sheet.write_with_format(
            row,
            7,
            live(format!("=Bottles!M{r}"), line.real_m3),
            &looks.worked,
        )?;
        if line.last_of_gas {
            sheet.write_with_format(
                row,
                8,
                live(format!("=ROUNDUP(ROUND(F{r}/H{r},6),0)"), count),
                &looks.whole,
            )?;
        } else {
            sheet.write_with_format(row, 8, count, &looks.input)?;
        }
        sheet.write_with_format(row, 9, live(format!("=I{r}*H{r}"), loaded), &looks.worked)?;
        sheet.write_with_format(
            row,
            10,
            live(format!("=J{r}-F{r}"), loaded - needed.max(0.0)),
            &looks.worked,
        )?;
        sheet.write_with_format(row, 11, line.mass_kg / 1e3, &looks.input)?;
        sheet.write_with_format(
            row,
            12,
            live(format!("=I{r}*L{r}"), count * line.mass_kg / 1e3),
            &looks.worked,
        )?;
        sheet.write_with_format(row, 13, line.price, &looks.input_money)?;
        sheet.write_with_format(
            row,
            14,
            live(format!("=I{r}*N{r}"), count * line.price),
            &looks.money,
        )?;
        sheet.write_with_format(row, 15, &line.source, &looks.text)?;
        left_m3 = needed - loaded;
        mass += count * line.mass_kg / 1e3;
        price += count * line.price;
    }
    if !lines.is_empty() {
        let (row, last) = (FIRST + lines.len() as u32, FIRST + lines.len() as u32);
        sheet.write_with_format(row, 0, "All gas", &looks.sum)?;
        sheet.write_with_format(
            row,
            12,
            live(format!("=SUM(M{}:M{last})", FIRST + 1), mass),
            &looks.sum,
        )?;
        sheet.write_with_format(
            row,
            14,
            live(format!("=SUM(O{}:O{last})", FIRST + 1), price),
            &looks.sum_money,
        )?;
    }
    Ok(())
}
