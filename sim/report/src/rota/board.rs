//! The noticeboard's page: the whole rota on one sheet that prints on A4 and on Letter alike. A line a
//! day, and in it the bell's turns in order; who goes, when, and who tends. What would be too small to read
//! on one sheet goes on several: a long rota by whole weeks, several bells each on their own.

use super::inputs::RotaInputs;
use crate::explain::id;
use crate::kit::frame::framed_in;
use deepstay_core::CAUTION;
use deepstay_core::units::text::TimeOfDay;
use deepstay_rota::{BellRun, Role};
use maud::{Markup, html};

/// Height that is left for the lines on either sheet, mm.
const LINES_MM: f64 = 208.0;
/// Width that is left for the table on either sheet, mm: A4 is 210 wide, the margins 8 each.
const WIDTH_MM: f64 = 194.0;
/// Most that a line takes, mm.
const MOST_MM: f64 = 8.0;
/// More days than this are parted into sheets, and a sheet then holds at most so many weeks.
const MOST_DAYS: usize = 60;
const SHEET_WEEKS: usize = 6;
/// Smallest letters that can be read on a wall, points (house rule).
const LEGIBLE_PT: f64 = 7.0;
/// Largest letters, points.
const LARGEST_PT: f64 = 10.5;
/// Height of a point, mm.
const POINT_MM: f64 = 0.353;
/// A letter is about so much of its height wide, figures and capitals as they come here.
const LETTER: f64 = 0.56;

/// A sheet: its days and its columns, bell and place in the day.
struct Sheet {
    days: Vec<i64>,
    columns: Vec<(usize, usize)>,
}

/// The page.
pub fn board_html(inputs: &RotaInputs<'_>) -> String {
    let subject = inputs.subject;
    let sheets = sheets(inputs);
    let sheets = html! { @for (i, sheet) in sheets.iter().enumerate() { (one(inputs, sheet, (i + 1, sheets.len()))) } };
    framed_in(
        STYLE,
        &format!("Noticeboard: {}", subject.scenario),
        &sheets,
    )
}

fn sheets(inputs: &RotaInputs<'_>) -> Vec<Sheet> {
    let days = leaving_days(inputs);
    let columns = columns(inputs, &days);
    let by_bell: Vec<Vec<(usize, usize)>> = if by_width_pt(inputs, columns.len()) < LEGIBLE_PT {
        let of = |bell: usize| columns.iter().copied().filter(|c| c.0 == bell).collect();
        (0..inputs.problem.bells.len()).map(of).collect()
    } else {
        vec![columns]
    };
    let days_each = if days.len() > MOST_DAYS {
        let weeks = days.len().div_ceil(7);
        7 * weeks.div_ceil(weeks.div_ceil(SHEET_WEEKS))
    } else {
        days.len().max(1)
    };
    let mut chunks: Vec<Vec<i64>> = days.chunks(days_each).map(<[i64]>::to_vec).collect();
    if chunks.is_empty() {
        chunks.push(Vec::new());
    }
    let sheet = |days: &Vec<i64>, columns: &Vec<(usize, usize)>| Sheet {
        days: days.clone(),
        columns: columns.clone(),
    };
    let with = |days: &Vec<i64>| by_bell.iter().map(|c| sheet(days, c)).collect::<Vec<_>>();
    chunks.iter().flat_map(with).collect()
}

/// Largest letters at which so many columns fit beside the day, points.
fn by_width_pt(inputs: &RotaInputs<'_>, columns: usize) -> f64 {
    let letters = 11.0 + columns as f64 * widest(inputs);
    let air_mm = 2.0 * (columns as f64 + 1.0) + 2.0;
    (WIDTH_MM - air_mm) / (letters * LETTER * POINT_MM)
}

fn one(inputs: &RotaInputs<'_>, sheet: &Sheet, (number, of): (usize, usize)) -> Markup {
    let subject = inputs.subject;
    let row_mm = (LINES_MM / (sheet.days.len().max(1) as f64 + 2.0)).min(MOST_MM);
    // A line of text stands in a box with some air.
    let by_height_pt = row_mm / POINT_MM / 1.3;
    let by_width_pt = by_width_pt(inputs, sheet.columns.len());
    let points = by_height_pt.min(by_width_pt).clamp(4.5, LARGEST_PT);
    let several = inputs.problem.bells.len() > 1;
    let broken = inputs.verdict.breaches.len();
    html! {
        section.sheet {
            h1 {
                "Bell-run rota"
                span { (subject.title) @if of > 1 { ", sheet " (number) " of " (of) } }
            }
            p.how {
                "Vessel time. A bell run is from sealed in to sealed to the trunk again (seal to seal); be at the bell for the checks before. "
                "The bellman is " span.bm { "underlined" } "; where none is, each tends the other in turn. "
                "An asterisk: returns on the next day."
                @if broken > 0 { b { " ▲ " (broken) " breach" @if broken != 1 { "es" } " of " (subject.rule_set) ": not to be worked as it stands." } }
            }
            table style=(format!("font-size: {points:.1}pt") ) {
                thead { tr {
                    th { "Day" }
                    @for (bell, n) in &sheet.columns { th {
                        @if several { (inputs.problem.bells[*bell].name) " " }
                        (ordinal(*n))
                    } }
                } }
                tbody { @for day in &sheet.days { tr style=(format!("height: {row_mm:.2}mm")) {
                    td.day { b { "D" (format!("{:02}", day + 1)) } " " (subject.time.weekday(*day)) }
                    @for (bell, n) in &sheet.columns {
                        @let turn = turn_of(inputs, *day, *bell, *n);
                        td title=[turn.and_then(|turn| figures_of(inputs, turn))] { @if let Some(turn) = turn { (cell(inputs, turn)) } }
                    }
                } } }
            }
            p.how.up {
                @for (at, who) in decompressions(inputs) {
                    "Decompression planned from " b { (subject.time.clock(at)) } ": " (who.join(" ")) ". "
                }
            }
            p.foot { b { "Caution. " } (CAUTION) " Rules: " (subject.rule_set) "." @if let Some(taken) = &subject.rules_taken { " " (taken) "." } }
        }
    }
}

/// From the first day on which a bell leaves to the last.
fn leaving_days(inputs: &RotaInputs<'_>) -> Vec<i64> {
    let days = || inputs.rota.runs.iter().map(|t| inputs.problem.day(t.first));
    days()
        .min()
        .zip(days().max())
        .map_or(Vec::new(), |(first, last)| (first..=last).collect())
}

/// When whose decompression begins, by time.
fn decompressions<'a>(inputs: &RotaInputs<'a>) -> Vec<(i64, Vec<&'a str>)> {
    let mut all: Vec<(i64, Vec<&'a str>)> = Vec::new();
    for diver in &inputs.problem.divers {
        for s in diver
            .saturations
            .iter()
            .filter(|s| s.surfaced_s > s.leaves_s)
        {
            match all.iter_mut().find(|(at, _)| *at == s.leaves_s) {
                Some((_, who)) => who.push(&diver.initials),
                None => all.push((s.leaves_s, vec![&diver.initials])),
            }
        }
    }
    all.sort_by_key(|(at, _)| *at);
    all
}

fn ordinal(n: usize) -> String {
    match n {
        0 => "1st bell run".into(),
        1 => "2nd bell run".into(),
        2 => "3rd bell run".into(),
        n => format!("{}th bell run", n + 1),
    }
}

/// Turns of a bell that leave on a day, in order.
fn turns_of<'a>(
    inputs: &RotaInputs<'a>,
    day: i64,
    bell: usize,
) -> impl Iterator<Item = &'a BellRun> {
    let problem = inputs.problem;
    let id = problem.bells[bell].id;
    inputs
        .rota
        .runs
        .iter()
        .filter(move |t| t.bell == id && problem.day(t.first) == day)
}

fn turn_of<'a>(inputs: &RotaInputs<'a>, day: i64, bell: usize, n: usize) -> Option<&'a BellRun> {
    turns_of(inputs, day, bell).nth(n)
}

/// The beginning of the ids of a run's figures.
fn figures_of(inputs: &RotaInputs<'_>, turn: &BellRun) -> Option<String> {
    let at = inputs.rota.runs.iter().position(|run| run == turn)?;
    Some(id("rota", &["bell_runs", &(at + 1).to_string()]))
}

/// Bell and place in the day of each column.
fn columns(inputs: &RotaInputs<'_>, days: &[i64]) -> Vec<(usize, usize)> {
    let bells = 0..inputs.problem.bells.len();
    let most = |bell: usize| {
        days.iter()
            .map(|d| turns_of(inputs, *d, bell).count())
            .max()
            .unwrap_or(0)
    };
    bells
        .flat_map(|bell| (0..most(bell)).map(move |n| (bell, n)))
        .collect()
}

/// Letters of the widest cell.
fn widest(inputs: &RotaInputs<'_>) -> f64 {
    let crew = inputs
        .rota
        .runs
        .iter()
        .map(|t| inputs.crew(t).chars().count())
        .max()
        .unwrap_or(0);
    14.0 + crew as f64
}

fn cell(inputs: &RotaInputs<'_>, turn: &BellRun) -> Markup {
    let clock = |s: i64| TimeOfDay((s + inputs.problem.start_second_of_day) / 60 * 60);
    let over = inputs.problem.day(turn.last) > inputs.problem.day(turn.first);
    html! {
        span.t { (clock(turn.first)) "\u{2013}" (clock(turn.last)) @if over { "*" } } " "
        @for (i, seat) in turn.positions.iter().enumerate() {
            @if i > 0 { " " }
            @if seat.role == Role::Bellman { span.bm { (inputs.initials(seat.diver)) } } @else { b { (inputs.initials(seat.diver)) } }
        }
    }
}

/// The look of the sheet. The size of the paper is the printer's; margins and heights fit both.
const STYLE: &str = r#"
@page { margin: 8mm; }
html { -webkit-print-color-adjust: exact; print-color-adjust: exact; }
body { margin: 0 auto; padding: 0; width: 194mm; background: #fff; color: #111;
  font: 9pt/1.25 "Liberation Sans", Arial, Helvetica, sans-serif; font-variant-numeric: tabular-nums; }
h1 { font-size: 16pt; margin: 0 0 1mm; }
h1 span { font-size: 10pt; font-weight: 400; margin-left: 4mm; color: #444; }
p { margin: 0 0 1.5mm; }
.how { font-size: 8pt; color: #333; }
.up { margin: 2mm 0 0; }
.foot { font-size: 7.5pt; margin: 2mm 0 0; border-top: 0.3mm solid #555; padding-top: 1mm; }
.bm { text-decoration: underline; text-underline-offset: 0.5mm; }
table { border-collapse: collapse; width: 100%; line-height: 1.15; }
th { text-align: left; border-bottom: 0.4mm solid #111; padding: 0.4mm 2mm 0.4mm 0; font-weight: 600; }
td { border-bottom: 0.15mm solid #999; padding: 0 2mm 0 0; white-space: nowrap; vertical-align: middle; }
td.day { width: 1%; padding-right: 4mm; }
tbody tr:nth-child(even) { background: #f2f2f2; }
.t { color: #333; }
.sheet + .sheet { break-before: page; }
@media print { body { width: auto; } }
@media screen { body { padding: 8mm 0; } .sheet + .sheet { margin-top: 12mm; } }
"#;
