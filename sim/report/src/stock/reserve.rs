//! Minimum stock by rule as sections of a page: the minimums against what is held, every row with its formula,
//! inputs and result, the questions with what was found, two sets side by side; and the same rows as CSV.

use super::words::{amount, amount_head, bar, depth, free, gas_names, names, outcome};
use crate::explain::{Cells, apart, id};
use crate::kit::frame::framed;
use crate::provenance::status_words;
use crate::subject::Subject;
use deepstay_core::CAUTION;
use deepstay_core::plain::cell;
use deepstay_core::units::{FREE_WORDS, Units, about, fixed};
use deepstay_rules::{Source, Status};
use deepstay_stock::reserve::{
    ADDING, Finding, Line, Outcome, Pair, Sheet, Subject as Asks, Term, Total,
};
use maud::{Markup, html};

/// The page of a sheet; with a second set the two stand side by side at its end.
pub fn reserve_html(
    sheet: &Sheet,
    beside: Option<(&Sheet, &[Pair])>,
    subject: &Subject,
    units: Units,
) -> String {
    let body = html! {
        h1 { "Minimum stock by rule: " (subject.title) }
        p.sub { (subject.scenario) " on " (subject.spread) ", rule set " (sheet.set) ": " (sheet.title) "." }
        p.caution { b { "Caution. " } (CAUTION) }
        (reserve_sections(sheet, subject, units))
        @if let Some((other, pairs)) = beside { (beside_section(sheet, other, pairs, units)) }
    };
    framed(&format!("Minimum stock: {}", subject.scenario), &body)
}

/// The sections of a sheet, for a page that has its own head and caution.
pub fn reserve_sections(sheet: &Sheet, subject: &Subject, units: Units) -> Markup {
    minimum_sections(sheet, subject, units, &Cells::without_stock())
}

/// The same on a page with a summary beside it.
pub(super) fn minimum_sections(
    sheet: &Sheet,
    subject: &Subject,
    units: Units,
    cells: &Cells,
) -> Markup {
    html! {
        (minimums(sheet, subject, units, cells))
        (rows(sheet, units))
        (questions(sheet))
    }
}

fn minimums(sheet: &Sheet, subject: &Subject, units: Units, cells: &Cells) -> Markup {
    html! {
        h2 { "Minimum stock" }
        @if sheet.totals.is_empty() { p { "The rule set " (sheet.set) " asks for no amount that this job can be held against." } }
        @else {
            p { "Storage " (depth(sheet.storage_msw, units)) ", work " (depth(sheet.working_msw, units)) ". "
                @if sheet.all_met() { "The stock at the start meets every minimum." }
                @else { b.alert-text { "▲ The stock at the start does not meet every minimum." } } }
            table title=(apart::RESERVE) {
                tr { th { "of" } th.n { "least, " (amount_head(units)) } th.n { "of which way home" } th.n { "held, real gas" } th.n { "held by hand" } th.n { "by hand more by" } th.n { "heel" } th { "in" } th { "met" } }
                @for total in &sheet.totals { (minimum(sheet, total, subject, (units, cells))) }
            }
            p.note { "Volumes of gas are " (FREE_WORDS) ", absorbent is in kg. The rules' own sums are ideal, at 10 msw to the bar. Held is what comes out of the banks at the start of the job above the heel, which is the depth and the over-bottom pressure; real gas is the program's gas model, by hand is bar above the heel times floodable volume. Absorbent held is one filling of the scrubbers and what the planner says is spare. Each minimum holds the way home: what ends the dive and brings everybody to the surface (rows home)." }
            p.note { (ADDING) }
        }
    }
}

fn minimum(
    sheet: &Sheet,
    total: &Total,
    subject: &Subject,
    (units, cells): (Units, &Cells),
) -> Markup {
    let held = sheet.held(total.holding);
    let hand = held.and_then(|h| h.by_hand_m3);
    let real = total.free_m3(total.held);
    html! {
        @let name = total.holding.to_string();
        tr.weak[!total.met] {
            td title=(id("stock", &["minimums", &name])) { (name) }
            (cells.figure(&["minimums", &name, "minimum"], html! { b { (amount(total.holding, total.amount, units)) } }))
            (cells.figure(&["minimums", &name, "way_home"], amount(total.holding, total.way_home(), units)))
            (cells.figure(&["minimums", &name, "held_at_start"], amount(total.holding, total.held, units)))
            td.n { @if let Some(m3) = hand { (free(m3, units)) } }
            td.n { @if let (Some(hand), Some(real)) = (hand, real) { @if real > 0.0 { (fixed((hand / real - 1.0) * 100.0, 1)) " %" } } }
            td.n { @if let Some(heel) = held.and_then(|h| h.heel_bar) { (bar(heel, units)) } }
            td { @if let Some(held) = held {
                (gas_names(&held.gases, subject))
                @if !held.not_breathable.is_empty() { "; not to be breathed at " (depth(held.depth_msw, units)) ": " (names(&held.not_breathable, subject)) }
            } }
            td.w { @if total.met { "yes" } @else { b.alert-text { "▲ no" } } }
        }
        tr { td {} td colspan="8" { @for (i, part) in total.parts.iter().enumerate() {
            @if i > 0 { "; " }
            @if part.counts { b { (part.id) } } @else { (part.id) " (overlaps)" }
            " " (amount(total.holding, part.amount, units)) ", against: " (part.event)
        } } }
    }
}

fn rows(sheet: &Sheet, units: Units) -> Markup {
    html! {
        h2 { "The rows one by one" }
        p.note { "Formulas and inputs are in the unit in which the rule counts; results are in the chosen units." }
        table title=(apart::RESERVE) {
            tr { th { "row" } th { "formula" } th { "inputs" } th { "result" } th { "source" } }
            @for line in &sheet.lines { tr.weak[weak(line)] {
                td { b { (line.id) } br; (line.says) @if line.reconstruction { br; b { "A reconstruction: the equations were not seen." } } }
                td { (line.formula) }
                td { @for t in &line.terms { (term(t)) br; } }
                td { @for words in outcome(line, units) { (words) br; } }
                td.status { (source(&line.source)) }
            } }
        }
    }
}

/// Rows that a reader should not take as printed.
fn weak(line: &Line) -> bool {
    line.reconstruction
        || matches!(line.source.status, Status::Recalled | Status::SecondHand)
        || matches!(line.outcome, Outcome::Not(_))
}

fn term(t: &Term) -> Markup {
    html! { (t.symbol) " = " (about(t.value)) @if !t.unit.is_empty() { " " (t.unit) } ": " (t.what) " (" (t.from.words()) ")" }
}

fn source(source: &Source) -> Markup {
    html! { (source.document) ". " b { (status_words(source.status)) } }
}

fn questions(sheet: &Sheet) -> Markup {
    if sheet.asked.is_empty() {
        return html! {};
    }
    html! {
        h2 { "Questions with yes or no" }
        table {
            tr { th { "question" } th { "evidence" } th { "seen in the scenario" } th { "found" } th { "answer" } th { "source" } }
            @for q in &sheet.asked { tr.weak[q.answer == Finding::No] {
                td { b { (q.id) } br; (q.question) }
                td { (q.evidence) }
                td { (q.in_scenario.words()) }
                td { (q.found) }
                td { @if q.answer == Finding::No { b.alert-text { "▲ " (q.answer.words()) } } @else { (q.answer.words()) } }
                td.status { (source(&q.source)) }
            } }
        }
    }
}

/// Two sets side by side.
pub fn beside_section(a: &Sheet, b: &Sheet, pairs: &[Pair], units: Units) -> Markup {
    let value = |pair: &Pair, value: Option<f64>, rows: &[String]| {
        let words = value.map(|x| match pair.subject {
            Asks::Minimum(h) if !h.is_gas() => format!("{} kg", about(x)),
            Asks::Minimum(_) | Asks::Bill => free(x, units),
            Asks::Flow => format!("{} L/min", about(x)),
            Asks::Umbilical => format!("{} m", about(x)),
            Asks::Questions => fixed(x, 0),
        });
        html! { @match words { Some(words) => { b { (words) } br; (rows.join(", ")) } None => { "silent" } } }
    };
    html! {
        h2 { "Two sets side by side" }
        p.note { "Volumes are " (FREE_WORDS) ". Where a set is silent, it was not found to say anything; that is not a permission." }
        table title=(apart::RESERVE) {
            tr { th { "of" } th { (a.set) } th { (b.set) } th.n { "second against first" } }
            @for pair in pairs { tr {
                td { (pair.subject.words()) }
                td { (value(pair, pair.a, &pair.a_rows)) }
                td { (value(pair, pair.b, &pair.b_rows)) }
                td.n { @if let (Some(x), Some(y)) = (pair.a, pair.b) { @if x > 0.0 && pair.subject != Asks::Questions { (fixed((y / x - 1.0) * 100.0, 0)) " %" } } }
            } }
        }
    }
}

/// The rows of sheets as CSV, one set after the other: a line for each amount that a row asks for, and for each row that asks
/// for none.
///
/// # Errors
/// What the writer says.
pub fn reserve_csv(sheets: &[&Sheet], units: Units) -> Result<Vec<u8>, csv::Error> {
    let mut out = csv::Writer::from_writer(Vec::new());
    out.write_record([
        "rule set",
        "row",
        "says",
        "formula",
        "inputs",
        "result",
        "of",
        "amount",
        "unit",
        "held",
        "met by the stock at the start",
        "document",
        "status",
        "reconstruction",
    ])?;
    let lines = sheets
        .iter()
        .flat_map(|s| s.lines.iter().map(move |l| (s, l)));
    for (sheet, line) in lines {
        let inputs: Vec<String> = line
            .terms
            .iter()
            .map(|t| {
                format!(
                    "{} = {} {} ({}; {})",
                    t.symbol,
                    t.value,
                    t.unit,
                    t.what,
                    t.from.words()
                )
            })
            .collect();
        let scale = units.free_scale();
        let mut row = |of: &str, figure: &str, unit: &str, held: &str, met: &str| {
            let cells = [
                sheet.set.as_str(),
                &line.id,
                &line.says,
                line.formula,
                &inputs.join("; "),
                &outcome(line, units).join("; "),
                of,
                figure,
                unit,
                held,
                met,
                &line.source.document,
                &line.source.status.to_string(),
                if line.reconstruction { "yes" } else { "no" },
            ];
            out.write_record(cells.map(|text| cell(text).into_owned()))
        };
        for need in line.needs() {
            let held = sheet.held(need.holding).map_or(0.0, |h| h.amount);
            let gas = need.holding.is_gas();
            let digits = |x: f64| {
                if gas { scale.digits(x) } else { fixed(x, 2) }
            };
            row(
                &need.holding.to_string(),
                &digits(need.amount),
                if gas { scale.plain } else { "kg" },
                &digits(held),
                if held >= need.amount { "yes" } else { "no" },
            )?;
        }
        if line.needs().is_empty() {
            row("", "", "", "", "")?;
        }
    }
    out.into_inner().map_err(|e| e.into_error().into())
}
