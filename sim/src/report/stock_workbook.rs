//! The gas sheet as a workbook that a planner can edit: inputs in cells of their own, formulas live with
//! their results beside them, units in the heads, a source on every line. The same load gives the same
//! bytes: nothing in it depends on when it was written. Metric.

use super::inputs::CAUTION;
use super::say::{FREE, FREE_WORDS};
use super::stock_load::{StockLoadInputs, gas_words, main_gas};
use super::stock_load_parts::SOURCES;
use crate::units::{ATM_PA, BAR_PA, ZERO_C_K};
use rust_xlsxwriter::{Color, DocProperties, ExcelDateTime, Format, FormatAlign, FormatBorder, Formula, Workbook, Worksheet, XlsxError};

/// First row of a sheet's lines, counted from 0: above it stand title, legend and heads.
const FIRST: u32 = 4;
/// A4, as the format numbers papers.
const A4: u8 = 9;

/// The looks of cells.
struct Looks {
    head: Format,
    text: Format,
    input: Format,
    input_money: Format,
    worked: Format,
    whole: Format,
    money: Format,
    percent: Format,
    sum: Format,
    sum_money: Format,
    title: Format,
}

impl Looks {
    fn new() -> Looks {
        let cell = || Format::new().set_border(FormatBorder::Thin).set_border_color(Color::RGB(0xB0_B0B0)).set_align(FormatAlign::Top);
        let input = || cell().set_background_color(Color::RGB(0xFF_F2CC)).set_border_color(Color::RGB(0x80_6000));
        let sum = || cell().set_bold().set_border_top(FormatBorder::Medium);
        Looks {
            head: cell().set_bold().set_text_wrap().set_background_color(Color::RGB(0xE7_E7E7)),
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
struct Line {
    gas: String,
    item: String,
    first_of_gas: bool,
    last_of_gas: bool,
    o2: f64,
    demand_m3: f64,
    reserve_m3: f64,
    count: f64,
    real_m3: f64,
    real_over_ideal: f64,
    bottles: f64,
    litres: f64,
    fill_bar: f64,
    fill_c: f64,
    bank_c: f64,
    depth_msw: f64,
    over_bar: f64,
    regulator_bar: f64,
    surface_bar: f64,
    mass_kg: f64,
    price: f64,
    main: &'static str,
    source: String,
}

fn lines(inputs: &StockLoadInputs<'_>) -> Vec<Line> {
    let m3 = |mol: f64| mol / FREE.mol_per_m3();
    let mut all = Vec::new();
    for line in &inputs.load.lines {
        let Some(need) = inputs.needs.get(line.need) else { continue };
        for (i, pick) in line.picks.iter().enumerate() {
            let Some(offer) = inputs.supplier.offers.get(pick.offer) else { continue };
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
                    inputs.demand, inputs.reserve, offer.price.source, offer.mass_source,
                    if need.note.is_empty() { "" } else { " " }, need.note
                ),
            });
        }
    }
    all
}

/// The workbook as bytes.
///
/// # Errors
/// What the writer of workbooks says; it writes to memory.
pub fn stock_workbook(inputs: &StockLoadInputs<'_>) -> Result<Vec<u8>, XlsxError> {
    let (lines, looks) = (lines(inputs), Looks::new());
    let mut book = Workbook::new();
    let written = ExcelDateTime::from_ymd(2000, 1, 1)?;
    book.set_properties(&DocProperties::new().set_title(inputs.title).set_comment(CAUTION).set_creation_datetime(&written));
    gas_sheet(book.add_worksheet(), inputs, &lines, &looks)?;
    bottles_sheet(book.add_worksheet(), inputs, &lines, &looks)?;
    sources_sheet(book.add_worksheet(), inputs, &looks)?;
    let caution = book.add_worksheet();
    caution.set_name("Caution")?;
    caution.set_column_width(0, 110)?.set_landscape().set_paper_size(A4);
    caution.write_with_format(0, 0, "Caution", &looks.title)?;
    caution.write_with_format(1, 0, CAUTION, &looks.text)?;
    if !lines.is_empty() {
        let last = FIRST + lines.len() as u32;
        for (name, column) in [("Demand_m3", 'D'), ("Reserve_m3", 'E'), ("Usable_per_unit_m3", 'H'), ("Units", 'I'), ("Price_per_unit", 'N')] {
            book.define_name(name, &format!("='Gas sheet'!${column}${}:${column}${last}", FIRST + 1))?;
        }
        book.define_name("Total_mass_t", &format!("='Gas sheet'!$M${}", last + 1))?;
        book.define_name("Total_price", &format!("='Gas sheet'!$O${}", last + 1))?;
    }
    book.save_to_buffer()
}

/// Title, legend, heads, widths and the way it is printed.
fn set_up(sheet: &mut Worksheet, name: &str, title: &str, heads: &[(String, f64)], looks: &Looks) -> Result<(), XlsxError> {
    sheet.set_name(name)?;
    sheet.write_with_format(0, 0, title, &looks.title)?;
    sheet.write(1, 0, CAUTION)?;
    sheet.write_with_format(2, 0, "input", &looks.input)?;
    sheet.write(2, 1, "coloured: an input, to be changed; all else is worked out from it by live formulas")?;
    for (c, (head, width)) in (0u16..).zip(heads) {
        sheet.write_with_format(FIRST - 1, c, head, &looks.head)?;
        sheet.set_column_width(c, *width)?;
    }
    sheet.set_row_height(FIRST - 1, 48)?;
    sheet.set_freeze_panes(FIRST, 1)?.set_repeat_rows(FIRST - 1, FIRST - 1)?;
    sheet.set_landscape().set_paper_size(A4).set_print_fit_to_pages(1, 0).set_footer("&L&A&RPage &P of &N");
    Ok(())
}

fn live(formula: String, result: f64) -> Formula {
    Formula::new(formula).set_result(format!("{result}"))
}

/// Units that cover what is needed, as the sheet rounds: up, but for what lies below the sixth place.
fn round_up(needed_m3: f64, usable_m3: f64) -> f64 {
    ((needed_m3 / usable_m3 * 1e6).round() / 1e6).ceil()
}

fn gas_sheet(sheet: &mut Worksheet, inputs: &StockLoadInputs<'_>, lines: &[Line], looks: &Looks) -> Result<(), XlsxError> {
    let money = &inputs.supplier.currency;
    let heads: Vec<(String, f64)> = [
        ("Gas", 26.0), ("Of the gas still needed from this line", 14.0), ("Oxygen (%)", 9.0), ("Demand (m3 free)", 12.0), ("Reserve (m3 free)", 12.0),
        ("Needed (m3 free)", 12.0), ("Unit chosen", 27.0), ("Usable per unit (m3 free)", 12.0), ("Units", 8.0), ("Loaded (m3 free)", 12.0),
        ("To spare (m3 free)", 12.0), ("Mass per unit (t)", 10.0), ("Mass (t)", 10.0),
    ].map(|(h, w)| (h.to_owned(), w)).into_iter()
        .chain([(format!("Price per unit ({money})"), 12.0), (format!("Price ({money})"), 13.0), ("Source".to_owned(), 60.0)]).collect();
    set_up(sheet, "Gas sheet", &format!("Gas sheet: {}", inputs.title), &heads, looks)?;
    let mut left_m3 = 0.0;
    let (mut mass, mut price) = (0.0, 0.0);
    for (row, line) in (FIRST..).zip(lines) {
        let r = row + 1;
        let (demand, reserve) = if line.first_of_gas { (line.demand_m3, line.reserve_m3) } else { (0.0, 0.0) };
        let needed = if line.first_of_gas { demand + reserve } else { left_m3 };
        // A larger unit's count beside a smaller one's is the planner's choice; the last makes up the rest.
        let count = if line.last_of_gas { round_up(needed.max(0.0), line.real_m3) } else { line.count };
        let loaded = count * line.real_m3;
        sheet.write_with_format(row, 0, &line.gas, &looks.text)?;
        sheet.write_with_format(row, 1, if line.first_of_gas { "all of it" } else { "what the line above leaves" }, &looks.text)?;
        sheet.write_with_format(row, 2, line.o2 * 100.0, &looks.input)?;
        sheet.write_with_format(row, 3, demand, &looks.input)?;
        sheet.write_with_format(row, 4, reserve, &looks.input)?;
        let needs = if line.first_of_gas { format!("=D{r}+E{r}") } else { format!("=MAX(0,F{0}-J{0})+D{r}+E{r}", r - 1) };
        sheet.write_with_format(row, 5, live(needs, needed.max(0.0)), &looks.worked)?;
        sheet.write_with_format(row, 6, &line.item, &looks.text)?;
        sheet.write_with_format(row, 7, live(format!("=Bottles!M{r}"), line.real_m3), &looks.worked)?;
        if line.last_of_gas {
            sheet.write_with_format(row, 8, live(format!("=ROUNDUP(ROUND(F{r}/H{r},6),0)"), count), &looks.whole)?;
        } else {
            sheet.write_with_format(row, 8, count, &looks.input)?;
        }
        sheet.write_with_format(row, 9, live(format!("=I{r}*H{r}"), loaded), &looks.worked)?;
        sheet.write_with_format(row, 10, live(format!("=J{r}-F{r}"), loaded - needed.max(0.0)), &looks.worked)?;
        sheet.write_with_format(row, 11, line.mass_kg / 1e3, &looks.input)?;
        sheet.write_with_format(row, 12, live(format!("=I{r}*L{r}"), count * line.mass_kg / 1e3), &looks.worked)?;
        sheet.write_with_format(row, 13, line.price, &looks.input_money)?;
        sheet.write_with_format(row, 14, live(format!("=I{r}*N{r}"), count * line.price), &looks.money)?;
        sheet.write_with_format(row, 15, &line.source, &looks.text)?;
        left_m3 = needed - loaded;
        mass += count * line.mass_kg / 1e3;
        price += count * line.price;
    }
    if !lines.is_empty() {
        let (row, last) = (FIRST + lines.len() as u32, FIRST + lines.len() as u32);
        sheet.write_with_format(row, 0, "All gas", &looks.sum)?;
        sheet.write_with_format(row, 12, live(format!("=SUM(M{}:M{last})", FIRST + 1), mass), &looks.sum)?;
        sheet.write_with_format(row, 14, live(format!("=SUM(O{}:O{last})", FIRST + 1), price), &looks.sum_money)?;
    }
    Ok(())
}

fn bottles_sheet(sheet: &mut Worksheet, inputs: &StockLoadInputs<'_>, lines: &[Line], looks: &Looks) -> Result<(), XlsxError> {
    let heads = [
        ("Unit, for", 34.0), ("Bottles in a unit", 9.0), ("Volume of one (L)", 9.0), ("Fill (bar gauge)", 9.0), ("Filled at (degC)", 9.0), ("Stands at (degC)", 9.0),
        ("Deepest use (msw)", 9.0), ("Over bottom (bar)", 9.0), ("Regulator (bar)", 9.0), ("Heel (bar gauge)", 9.0), ("Hand, whole (m3)", 11.0),
        ("Hand, to heel (m3)", 11.0), ("Real, to heel (m3 free)", 11.0), ("Real less hand (m3)", 11.0), ("Real less hand (%)", 9.0),
        ("Of it temperature (m3)", 12.0), ("Of it compressibility (m3)", 14.0), ("Surface (bar)", 9.0), ("Real over ideal (by the program)", 12.0), ("Source", 56.0),
    ].map(|(h, w)| (h.to_owned(), w));
    set_up(sheet, "Bottles", &format!("One unit, real against hand: {}", inputs.title), &heads, looks)?;
    // Free gas is counted at 15 degC and 1 bar.
    let free_k = BAR_PA / (FREE.mol_per_m3() * crate::units::R);
    for (row, line) in (FIRST..).zip(lines) {
        let r = row + 1;
        let heel = line.depth_msw / 10.0 + line.over_bar + line.regulator_bar;
        let volume = line.bottles * line.litres / 1000.0;
        let (whole, hand) = (volume * line.fill_bar, volume * (line.fill_bar - heel));
        let at = |gauge: f64, c: f64| (gauge + line.surface_bar) * free_k / (c + ZERO_C_K);
        let ideal = volume * (at(line.fill_bar, line.fill_c) - at(heel, line.bank_c));
        sheet.write_with_format(row, 0, format!("{}, {}", line.item, line.gas), &looks.text)?;
        let given = [line.bottles, line.litres, line.fill_bar, line.fill_c, line.bank_c, line.depth_msw, line.over_bar, line.regulator_bar];
        for (c, value) in (1u16..).zip(given) {
            sheet.write_with_format(row, c, value, &looks.input)?;
        }
        let ideal_text = format!("B{r}*C{r}/1000*((D{r}+R{r})*{free_k}/(E{r}+{ZERO_C_K})-(J{r}+R{r})*{free_k}/(F{r}+{ZERO_C_K}))");
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
        let share = if hand > 0.0 { line.real_m3 / hand - 1.0 } else { 0.0 };
        sheet.write_with_format(row, 14, live(format!("=IF(L{r}>0,N{r}/L{r},0)"), share), &looks.percent)?;
        sheet.write_with_format(row, 17, line.surface_bar, &looks.input)?;
        sheet.write_with_format(row, 18, line.real_over_ideal, &looks.input)?;
        let source = format!(
            "Hand: gauge bar times floodable volume, published school exercises. Real over ideal: compressibility of {}, worked out by this program for the \
             pressures as written; with others run it again.", line.main
        );
        sheet.write_with_format(row, 19, source, &looks.text)?;
    }
    Ok(())
}

fn sources_sheet(sheet: &mut Worksheet, inputs: &StockLoadInputs<'_>, looks: &Looks) -> Result<(), XlsxError> {
    sheet.set_name("Sources")?;
    sheet.set_column_width(0, 28)?.set_column_width(1, 110)?;
    sheet.set_landscape().set_paper_size(A4).set_print_fit_to_pages(1, 0).set_freeze_panes(1, 0)?;
    sheet.write_with_format(0, 0, "Figure", &looks.head)?;
    sheet.write_with_format(0, 1, "Source", &looks.head)?;
    let own = [
        ("free gas", FREE_WORDS.to_owned()),
        ("demand", inputs.demand.to_owned()),
        ("reserve", inputs.reserve.to_owned()),
        ("supplier", format!("{}; {}", inputs.supplier.name, inputs.supplier.title)),
        ("standard atmosphere", format!("{} bar", ATM_PA / BAR_PA)),
    ];
    let all = SOURCES.iter().map(|(what, from)| (*what, (*from).to_owned())).chain(own);
    for (row, (what, from)) in (1u32..).zip(all) {
        sheet.write_with_format(row, 0, what, &looks.text)?;
        sheet.write_with_format(row, 1, from, &looks.text)?;
    }
    Ok(())
}
