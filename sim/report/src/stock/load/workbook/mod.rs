//! The gas sheet as a workbook that a planner can edit: inputs in cells of their own, formulas live with
//! their results beside them, units in the heads, a source on every line. The same load gives the same
//! bytes: nothing in it depends on when it was written. Metric.

mod bottles;
mod gas;
mod lines;
mod looks;

use super::inputs::{SOURCES, StockLoadInputs};
use deepstay_core::CAUTION;
use deepstay_core::units::{ATM_PA, BAR_PA, FREE_WORDS};
use looks::{A4, FIRST, Looks};
use rust_xlsxwriter::{DocProperties, ExcelDateTime, Workbook, Worksheet, XlsxError};

/// The workbook as bytes.
///
/// # Errors
/// What the writer of workbooks says; it writes to memory.
pub fn stock_workbook(inputs: &StockLoadInputs<'_>) -> Result<Vec<u8>, XlsxError> {
    let (lines, looks) = (lines::lines(inputs), Looks::new());
    let mut book = Workbook::new();
    let written = ExcelDateTime::from_ymd(2000, 1, 1)?;
    book.set_properties(
        &DocProperties::new()
            .set_title(inputs.title)
            .set_comment(CAUTION)
            .set_creation_datetime(&written),
    );
    gas::fill(book.add_worksheet(), inputs, &lines, &looks)?;
    bottles::fill(book.add_worksheet(), inputs, &lines, &looks)?;
    sources_sheet(book.add_worksheet(), inputs, &looks)?;
    let caution = book.add_worksheet();
    caution.set_name("Caution")?;
    caution
        .set_column_width(0, 110)?
        .set_landscape()
        .set_paper_size(A4);
    caution.write_with_format(0, 0, "Caution", &looks.title)?;
    caution.write_with_format(1, 0, CAUTION, &looks.text)?;
    if !lines.is_empty() {
        let last = FIRST + lines.len() as u32;
        for (name, column) in [
            ("Demand_m3", 'D'),
            ("Reserve_m3", 'E'),
            ("Usable_per_unit_m3", 'H'),
            ("Units", 'I'),
            ("Price_per_unit", 'N'),
        ] {
            book.define_name(
                name,
                &format!("='Gas sheet'!${column}${}:${column}${last}", FIRST + 1),
            )?;
        }
        book.define_name("Total_mass_t", &format!("='Gas sheet'!$M${}", last + 1))?;
        book.define_name("Total_price", &format!("='Gas sheet'!$O${}", last + 1))?;
    }
    book.save_to_buffer()
}

fn sources_sheet(
    sheet: &mut Worksheet,
    inputs: &StockLoadInputs<'_>,
    looks: &Looks,
) -> Result<(), XlsxError> {
    sheet.set_name("Sources")?;
    sheet.set_column_width(0, 28)?.set_column_width(1, 110)?;
    sheet
        .set_landscape()
        .set_paper_size(A4)
        .set_print_fit_to_pages(1, 0)
        .set_freeze_panes(1, 0)?;
    sheet.write_with_format(0, 0, "Figure", &looks.head)?;
    sheet.write_with_format(0, 1, "Source", &looks.head)?;
    let own = [
        ("free gas", FREE_WORDS.to_owned()),
        ("demand", inputs.demand.to_owned()),
        ("reserve", inputs.reserve.to_owned()),
        (
            "supplier",
            format!("{}; {}", inputs.supplier.name, inputs.supplier.title),
        ),
        ("standard atmosphere", format!("{} bar", ATM_PA / BAR_PA)),
    ];
    let all = SOURCES
        .iter()
        .map(|(what, from)| (*what, (*from).to_owned()))
        .chain(own);
    for (row, (what, from)) in (1u32..).zip(all) {
        sheet.write_with_format(row, 0, what, &looks.text)?;
        sheet.write_with_format(row, 1, from, &looks.text)?;
    }
    Ok(())
}
