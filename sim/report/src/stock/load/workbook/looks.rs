//! What the sheets of the workbook have in common: the looks of cells, and the way a sheet is set up.

use deepstay_core::CAUTION;
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
        "coloured: an input, to be changed; all else is calculated from it by live formulas",
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

/// A formula with its result beside it.
pub(super) fn live(formula: String, result: f64) -> Formula {
    Formula::new(formula).set_result(format!("{result}"))
}
