//! What hangs in dive control and in saturation control: one A4 sheet each with the minimum of every kind of
//! stock in large figures, as a volume and as gauge pressures, the rule under each, and a place to sign.

use super::words::{bar, least_amount, least_bar, names};
use crate::explain::{apart, id};
use crate::kit::frame::framed_in;
use crate::provenance::status_words;
use crate::subject::Subject;
use deepstay_core::CAUTION;
use deepstay_core::units::{FREE_WORDS, Units, about};
use deepstay_stock::reserve::{BELOW, Origin, Posted, Sheet, Wall};
use maud::{Markup, html};

/// Both sheets as one page that prints on two.
/// `first` is the set of the summary's figures: what another asks more of has none there.
pub fn posting_html(sheet: &Sheet, first: &Sheet, subject: &Subject, units: Units) -> String {
    let sheets = html! { @for wall in Wall::ALL { (one((sheet, first), wall, subject, units)) } };
    let title = format!("Minimum stock to post: {}", subject.scenario);
    framed_in(STYLE, &title, &sheets)
}

fn one((sheet, first): (&Sheet, &Sheet), wall: Wall, subject: &Subject, units: Units) -> Markup {
    let of_wall: Vec<&Posted> = sheet.posted.iter().filter(|p| p.wall == wall).collect();
    // The letters of the figures give way where there are many.
    let points = if of_wall.len() > 4 { 24 } else { 32 };
    html! {
        section.sheet {
            h1 { (wall.words()) span { "minimum stock" } }
            p.stop { (BELOW) }
            p.how { (subject.title) ", " (subject.spread) ". Rule set " (sheet.set) ". Volumes are " (FREE_WORDS) "; pressures are gauge, real gas, bottles at the temperature of the stock. All figures are rounded up." }
            p.home style=(format!("font-size: {points}pt")) { "In these figures: the reserve, and the way home, to end the dive and bring everybody to the surface." }
            @if of_wall.is_empty() { p { "The rule set " (sheet.set) " asks for nothing that hangs here." } }
            table { @for posted in &of_wall { (row((sheet, first), posted, subject, units, points)) } }
            p.sign { "Supervisor" span.line {} "Date, time" span.line {} }
            p.foot { (CAUTION) }
        }
    }
}

fn row(
    (sheet, first): (&Sheet, &Sheet),
    posted: &Posted,
    subject: &Subject,
    units: Units,
    points: u32,
) -> Markup {
    let own = first
        .total(posted.holding)
        .is_some_and(|t| t.amount == posted.amount);
    let figure = |name: &str| match own {
        true => id("stock", &["minimums", &posted.holding.to_string(), name]),
        false => apart::RESERVE.to_owned(),
    };
    html! {
        tr {
            td.of { b { (posted.holding) }
                @if !posted.banks.is_empty() { div.in { "in " @for (i, bank) in posted.banks.iter().enumerate() { @if i > 0 { ", " } span.nb { (names(&[*bank], subject)) } } } } }
            td.n style=(format!("font-size: {points}pt")) title=(figure("minimum")) { (least_amount(posted.holding, posted.amount, units))
                @if posted.way_home > 0.0 { div.in { "of which way home " span title=(figure("way_home")) { (least_amount(posted.holding, posted.way_home, units)) } } } }
            td.p title=(apart::GAUGES) { (pressures(sheet, posted, subject, units)) }
        }
        tr.rule { td colspan="3" { @for id in &posted.rules { (rule(sheet, id)) } } }
    }
}

fn pressures(sheet: &Sheet, posted: &Posted, subject: &Subject, units: Units) -> Markup {
    if !posted.met {
        let held = sheet.total(posted.holding).map_or(0.0, |t| t.held);
        return html! { b { "▲ not met: the stock holds " (least_amount(posted.holding, held, units)) } };
    }
    let Some(alike) = posted.alike_bar else {
        return html! { "in the scrubbers and spare" };
    };
    html! {
        @if posted.banks.len() > 1 {
            div { "drawn one by one: " @for (i, at) in posted.last.iter().enumerate() { @if i > 0 { ", " } span.nb { (names(&[at.bank], subject)) " " b.g { (least_bar(at.gauge_bar, units)) } } } }
            div { "all alike: " b.g { (least_bar(alike, units)) } }
        } @else {
            div { (names(&posted.banks, subject)) " " b.g { (least_bar(alike, units)) } }
        }
        @if let Some(heel) = posted.heel_bar { div.in { "of which the heel is " (bar(heel, units)) } }
    }
}

fn rule(sheet: &Sheet, id: &str) -> Markup {
    let Some(line) = sheet.lines.iter().find(|l| l.id == id) else {
        return html! {};
    };
    let assumed = line.terms.iter().filter(|t| t.from == Origin::Assumed);
    let words: Vec<String> = assumed
        .map(|t| format!("{} {} {}", t.what, about(t.value), t.unit))
        .collect();
    html! {
        div { (line.source.document) " [" (id) ": " (status_words(line.source.status)) "]" }
        @if !words.is_empty() { div { "Assumed by the house, not by the rule: " (words.join("; ")) "." } }
    }
}

/// The look of the sheets. Margins and heights fit A4 and Letter.
const STYLE: &str = r#"
@page { margin: 10mm; }
html { -webkit-print-color-adjust: exact; print-color-adjust: exact; }
body { margin: 0 auto; padding: 0; width: 190mm; background: #fff; color: #111;
  font: 11pt/1.3 "Liberation Sans", Arial, Helvetica, sans-serif; font-variant-numeric: tabular-nums; }
h1 { font-size: 26pt; margin: 0; }
h1 span { font-size: 15pt; font-weight: 400; margin-left: 5mm; }
p { margin: 0 0 2mm; }
.stop { font-size: 20pt; font-weight: 700; border: 1mm solid #111; padding: 2mm 4mm; margin: 2mm 0 3mm; }
.home { font-weight: 700; line-height: 1.1; }
.how { font-size: 9pt; color: #333; }
table { border-collapse: collapse; width: 100%; }
td { vertical-align: baseline; padding: 2mm 3mm 0 0; border-top: 0.4mm solid #111; }
td.of { width: 46mm; font-size: 16pt; }
td.n { font-weight: 700; text-align: right; white-space: nowrap; padding-right: 6mm; }
td.p { font-size: 13pt; }
.g { font-size: 20pt; }
.nb { white-space: nowrap; }
.in { font-size: 9pt; color: #444; }
tr.rule td { border-top: 0; font-size: 9.5pt; color: #444; padding: 0.5mm 0 1.5mm; }
.sign { margin: 9mm 0 4mm; font-size: 11pt; }
.line { display: inline-block; width: 60mm; border-bottom: 0.3mm solid #111; margin: 0 6mm 0 3mm; }
.foot { font-size: 8.5pt; border-top: 0.3mm solid #555; padding-top: 1mm; }
.sheet + .sheet { break-before: page; }
tr { break-inside: avoid; }
@media print { body { width: auto; } }
@media screen { body { padding: 8mm 0; } .sheet + .sheet { margin-top: 16mm; } }
"#;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{beside_section, reserve_csv, reserve_html};
    use deepstay_core::units::FREE;
    use deepstay_rules::builtin;
    use deepstay_scenario::load;
    use deepstay_stock::reserve::{COUNTED_AT, ReserveInputs, beside, sheet};

    fn sheets() -> (Subject, Sheet, Sheet) {
        let scenario = load("six-man").expect("built in");
        let of = |name| {
            sheet(
                &scenario,
                &builtin(name).expect("built in"),
                &ReserveInputs::default(),
            )
        };
        (Subject::from(&scenario), of("demonstration"), of("canada"))
    }

    #[test]
    fn one_reference_of_free_gas() {
        assert_eq!(FREE, COUNTED_AT);
    }

    #[test]
    fn the_pages_say_what_they_must() {
        let (subject, a, b) = sheets();
        let pairs = beside(&a, &b);
        let page = reserve_html(&a, Some((&b, &pairs)), &subject, Units::Metric);
        let posted = posting_html(&a, &a, &subject, Units::Metric);
        for needed in [CAUTION, FREE_WORDS, "SOR/88-600", "\u{a0}m\u{b3}"] {
            assert!(page.contains(needed), "{needed}");
            assert!(posted.contains(needed), "{needed}");
        }
        for needed in [
            BELOW,
            "Dive control",
            "Saturation control",
            "Supervisor",
            "\u{a0}bar",
            "Assumed by the house",
        ] {
            assert!(posted.contains(needed), "{needed}");
        }
        assert!(page.contains("FROM MEMORY, not verified") && page.contains("assumed, house"));
        assert_eq!(posted.matches(CAUTION).count(), 2);
        // The way home is in letters as large as the amounts.
        for sheet in posted.split("<section").skip(1) {
            assert!(sheet.contains(">In these figures: the reserve, and the way home"));
            let after = |mark: &str| {
                let (_, after) = sheet.split_once(mark).expect("it is there");
                let (size, _) = after.split_once("pt").expect("a size");
                size.to_owned()
            };
            assert_eq!(
                after("<p class=\"home\" style=\"font-size: "),
                after("<td class=\"n\" style=\"font-size: ")
            );
        }
        let feet = posting_html(&a, &a, &subject, Units::Imperial);
        assert!(feet.contains("ft\u{b3}") && feet.contains("psi") && !feet.contains("\u{a0}bar"));
        assert!(
            beside_section(&a, &b, &pairs, Units::Metric)
                .into_string()
                .contains("silent")
        );
        for outside in ["<script", "src=", "href=", "@import", "url("] {
            assert!(
                !page.contains(outside) && !posted.contains(outside),
                "{outside}"
            );
        }
    }

    #[test]
    fn the_table_has_a_line_for_every_amount() {
        let (_, a, _) = sheets();
        let bytes = reserve_csv(&[&a], Units::Metric).expect("laid out");
        let mut reader = csv::Reader::from_reader(bytes.as_slice());
        let rows: Vec<_> = reader.records().map(|r| r.expect("a row")).collect();
        let wanted: usize = a.lines.iter().map(|l| l.needs().len().max(1)).sum();
        assert_eq!(rows.len(), wanted);
    }

    #[test]
    #[ignore = "writes pages to look at into target/"]
    fn writes_pages_to_look_at() {
        let (subject, a, b) = sheets();
        let pairs = beside(&a, &b);
        let dir =
            std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../target/sample-reserve");
        std::fs::create_dir_all(&dir).expect("a folder");
        let write =
            |name: &str, text: String| std::fs::write(dir.join(name), text).expect("written");
        write(
            "sheet.html",
            reserve_html(&a, Some((&b, &pairs)), &subject, Units::Metric),
        );
        write(
            "posting.html",
            posting_html(&a, &a, &subject, Units::Metric),
        );
        write(
            "posting-feet.html",
            posting_html(&a, &a, &subject, Units::Imperial),
        );
    }
}
