//! What the sheets of the gas workbook have in common: their looks, their lines, the way they are set up;
//! and the sheet of bottles, real against hand.

use crate::stock::load::section::{StockLoadInputs, gas_words, main_gas};
use deepstay_core::CAUTION;
use deepstay_core::units::FREE;
use deepstay_core::units::{BAR_PA, R, ZERO_C_K};
use rust_xlsxwriter::{Color, Format, FormatAlign, FormatBorder, Formula, Worksheet, XlsxError};

/// First row of a sheet's lines, counted from 0: above it stand title, legend and heads.
pub(super) const FIRST: u32 = 4;
/// A4, as the format numbers papers.
pub(super) const A4: u8 = 9;

/// The looks of cells.
pub(super) struct Looks {
    pub(super) head: Format,
    pub(super) text: Format,
    pub(super) input: Format,
    pub(super) input_money: Format,
    pub(super) worked: Format,
    pub(super) whole: Format,
    pub(super) money: Format,
    pub(super) percent: Format,
    pub(super) sum: Format,
    pub(super) sum_money: Format,
    pub(super) title: Format,
}

impl Looks {
    pub(super) fn new() -> Looks {
        let cell = || {
            Format::new()
                .set_border(FormatBorder::Thin)
                .set_border_color(Color::RGB(0xB0_B0B0))
                .set_align(FormatAlign::Top)
        };
        let input = || {
            cell()
                .set_background_color(Color::RGB(0xFF_F2CC))
                .set_border_color(Color::RGB(0x80_6000))
        };
        let sum = || cell().set_bold().set_border_top(FormatBorder::Medium);
        Looks {
            head: cell()
                .set_bold()
                .set_text_wrap()
                .set_background_color(Color::RGB(0xE7_E7E7)),
            text: cell().set_text_wrap(),
            input: input().set_num_format("#,##0.00"),
            input_money: input().set_num_format("#,##0.00"),
            worked: cell().set_num_format("#,##0.00"),
            whole: cell().set_num_format("#,##0").set_bold(),
            money: cell().set_num_format("#,##0.00"),
            percent: cell().set_num_format("0.0 %"),
            sum: sum().set_num_format("#,##0.00"),
            sum_money: sum().set_num_format("#,##0.00"),
            title: Format::new().set_bold().set_font_size(14),
        }
    }
}

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

/// Title, legend, heads, widths and the way it is printed.
pub(super) fn set_up(
    sheet: &mut Worksheet,
    name: &str,
    title: &str,
    heads: &[(String, f64)],
    looks: &Looks,
) -> Result<(), XlsxError> {
    sheet.set_name(name)?;
    sheet.write_with_format(0, 0, title, &looks.title)?;
    sheet.write(1, 0, CAUTION)?;
    sheet.write_with_format(2, 0, "input", &looks.input)?;
    sheet.write(
        2,
        1,
        "coloured: an input, to be changed; all else is worked out from it by live formulas",
    )?;
    for (c, (head, width)) in (0u16..).zip(heads) {
        sheet.write_with_format(FIRST - 1, c, head, &looks.head)?;
        sheet.set_column_width(c, *width)?;
    }
    sheet.set_row_height(FIRST - 1, 48)?;
    sheet
        .set_freeze_panes(FIRST, 1)?
        .set_repeat_rows(FIRST - 1, FIRST - 1)?;
    sheet
        .set_landscape()
        .set_paper_size(A4)
        .set_print_fit_to_pages(1, 0)
        .set_footer("&L&A&RPage &P of &N");
    Ok(())
}

pub(super) fn live(formula: String, result: f64) -> Formula {
    Formula::new(formula).set_result(format!("{result}"))
}

/// One unit of each item: the real gas beside the hand sum.
pub(super) fn bottles_sheet(
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
        let heel = line.depth_msw / 10.0 + line.over_bar + line.regulator_bar;
        let volume = line.bottles * line.litres / 1000.0;
        let (whole, hand) = (volume * line.fill_bar, volume * (line.fill_bar - heel));
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
            "Hand: gauge bar times floodable volume, published school exercises. Real over ideal: compressibility of {}, worked out by this program for the \
             pressures as written; with others run it again.",
            line.main
        );
        sheet.write_with_format(row, 19, source, &looks.text)?;
    }
    Ok(())
}
