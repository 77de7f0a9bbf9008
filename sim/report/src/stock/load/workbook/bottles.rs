//! The sheet of bottles: one unit of each item, the real gas beside the hand sum.

use super::lines::Line;
use super::looks::{FIRST, Looks, live, set_up};
use crate::stock::load::inputs::StockLoadInputs;
use deepstay_core::units::{BAR_PA, FREE, R, ZERO_C_K};
use deepstay_sums::{bottles_m3, sealed_gauge};
use rust_xlsxwriter::{Worksheet, XlsxError};

/// One unit of each item: the real gas beside the hand sum.
pub(super) fn fill(
    sheet: &mut Worksheet,
    inputs: &StockLoadInputs<'_>,
    lines: &[Line],
    looks: &Looks,
) -> Result<(), XlsxError> {
    let heads = [
        ("Unit, for", 34.0),
        ("Bottles in a unit", 9.0),
        ("Volume of one (L)", 9.0),
        ("Fill (bar gauge)", 9.0),
        ("Filled at (degC)", 9.0),
        ("Stands at (degC)", 9.0),
        ("Deepest use (msw)", 9.0),
        ("Over bottom (bar)", 9.0),
        ("Regulator (bar)", 9.0),
        ("Heel (bar gauge)", 9.0),
        ("Hand, whole (m3)", 11.0),
        ("Hand, to heel (m3)", 11.0),
        ("Real, to heel (m3 free)", 11.0),
        ("Real less hand (m3)", 11.0),
        ("Real less hand (%)", 9.0),
        ("Of it temperature (m3)", 12.0),
        ("Of it compressibility (m3)", 14.0),
        ("Surface (bar)", 9.0),
        ("Real over ideal (by the program)", 12.0),
        ("Source", 56.0),
    ]
    .map(|(h, w)| (h.to_owned(), w));
    set_up(
        sheet,
        "Bottles",
        &format!("One unit, real against hand: {}", inputs.title),
        &heads,
        looks,
    )?;
    // Free gas is counted at 15 degC and 1 bar.
    let free_k = BAR_PA / (FREE.mol_per_m3() * R);
    for (row, line) in (FIRST..).zip(lines) {
        let r = row + 1;
        let heel = sealed_gauge(line.over_bar + line.regulator_bar, line.depth_msw / 10.0);
        let volume = line.bottles * line.litres / 1000.0;
        let by_hand = |to: f64| bottles_m3(line.bottles, line.litres, line.fill_bar, to);
        let (whole, hand) = (by_hand(0.0), by_hand(heel));
        let at = |gauge: f64, c: f64| (gauge + line.surface_bar) * free_k / (c + ZERO_C_K);
        let ideal = volume * (at(line.fill_bar, line.fill_c) - at(heel, line.bank_c));
        sheet.write_with_format(row, 0, format!("{}, {}", line.item, line.gas), &looks.text)?;
        let given = [
            line.bottles,
            line.litres,
            line.fill_bar,
            line.fill_c,
            line.bank_c,
            line.depth_msw,
            line.over_bar,
            line.regulator_bar,
        ];
        for (c, value) in (1u16..).zip(given) {
            sheet.write_with_format(row, c, value, &looks.input)?;
        }
        let ideal_text = format!(
            "B{r}*C{r}/1000*((D{r}+R{r})*{free_k}/(E{r}+{ZERO_C_K})-(J{r}+R{r})*{free_k}/(F{r}+{ZERO_C_K}))"
        );
        let worked = [
            (9, format!("=G{r}/10+H{r}+I{r}"), heel),
            (10, format!("=B{r}*C{r}*D{r}/1000"), whole),
            (11, format!("=B{r}*C{r}*(D{r}-J{r})/1000"), hand),
            (12, format!("=S{r}*{ideal_text}"), line.real_m3),
            (13, format!("=M{r}-L{r}"), line.real_m3 - hand),
            (15, format!("={ideal_text}-L{r}"), ideal - hand),
            (16, format!("=N{r}-P{r}"), line.real_m3 - ideal),
        ];
        for (c, formula, result) in worked {
            sheet.write_with_format(row, c, live(formula, result), &looks.worked)?;
        }
        let share = if hand > 0.0 {
            line.real_m3 / hand - 1.0
        } else {
            0.0
        };
        sheet.write_with_format(
            row,
            14,
            live(format!("=IF(L{r}>0,N{r}/L{r},0)"), share),
            &looks.percent,
        )?;
        sheet.write_with_format(row, 17, line.surface_bar, &looks.input)?;
        sheet.write_with_format(row, 18, line.real_over_ideal, &looks.input)?;
        let source = format!(
            "Hand: gauge bar times floodable volume, published school exercises. Real over ideal: compressibility of {}, calculated by this program for the \
             pressures as written; with others run it again.",
            line.main
        );
        sheet.write_with_format(row, 19, source, &looks.text)?;
    }
    Ok(())
}
