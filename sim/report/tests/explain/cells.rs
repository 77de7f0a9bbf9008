//! The numbers in the tables of the pages: each cell carries the id of its figure, and shows that figure, or is one of those
//! that are listed here with where they stand.

use super::made::{ran, rota, short, study};
use deepstay_core::units::Units;
use deepstay_report::{Folder, explain, figures};
use std::collections::{BTreeMap, BTreeSet};

/// What a cell may say that shows a number which is none of the summary's figures.
const APART: [&str; 26] = [
    "no figure of stock.json: the gauge pressures at which the banks hold the minimum, kept in no file",
    "no figure of job.json: there was none",
    "no figure of job.json: added up from ledger.csv",
    "no figure of job.json: added up from gas-plan.csv",
    "no figure of job.json: a row of divers.csv",
    "no figure of job.json: a row of alarms.csv",
    "no figure of job.json: from the rows of events.csv",
    "no figure of job.json: a row of faults.csv",
    "no figure of job.json: what the source in this row sets",
    "no figure of its own: what two cells of this row come to",
    "no figure in these words: working_time of job.json has it in hours, and working.csv for each diver",
    "no figure of its own: in words under working_time, judged from rota.csv",
    "no figure of its own: in words under posted, from the scenario, its rule set and events.csv",
    "no figure of rota.json: added up from rota.csv",
    "no figure of rota.json: the scenario's work list asks for it",
    "no figure of rota.json: found by the search, and kept in no file",
    "no figure of rota.json: of the rota under that set, which is in no file here",
    "no figure of stock.json: a row of days.csv",
    "no figure of stock.json: a row of why.csv",
    "no figure of stock.json: a row of absorbent.csv",
    "no figure of stock.json: from load.csv and the supplier's list",
    "no figure of stock.json: from reserve.csv",
    "no figure of stock.json: counted over the jobs, and kept in no file",
    "no figure of stock.json: held against the present, and kept in no file",
    // Of several people or of nobody: what is below it is the chain.
    "job/people_unwell",
    "",
];

/// A text with a digit within a cell of a table.
#[derive(Debug)]
struct Shown {
    text: String,
    /// The nearest title around it.
    title: Option<String>,
    /// Whether the cell is one of numbers.
    of_numbers: bool,
    /// Whether the title is the cell's own or within it.
    own: bool,
}

/// The texts with a digit in the cells of a page's tables, as the page's own writer nests its elements.
fn shown(page: &str) -> Vec<Shown> {
    const VOID: [&str; 4] = ["br", "meta", "link", "!DOCTYPE"];
    let mut open: Vec<(String, Option<String>, bool)> = Vec::new();
    let mut all = Vec::new();
    let mut rest = page;
    while let Some((text, after)) = rest.split_once('<') {
        let cell = open.iter().rposition(|(tag, ..)| tag == "td");
        if let Some(at) = cell.filter(|_| text.chars().any(|c| c.is_ascii_digit())) {
            let titled = open.iter().rposition(|(_, title, _)| title.is_some());
            all.push(Shown {
                text: text.replace("&amp;", "&"),
                title: titled.and_then(|i| open[i].1.clone()),
                of_numbers: open[at].2,
                own: titled.is_some_and(|i| i >= at),
            });
        }
        let (tag, behind) = after.split_once('>').expect("a tag ends");
        let name = tag.split([' ', '/']).next().unwrap_or_default();
        if let Some(closed) = tag.strip_prefix('/') {
            let was = open.pop().expect("open");
            assert_eq!(was.0, closed);
        } else if !VOID.contains(&name) && !tag.ends_with('/') {
            let attribute = |of: &str| {
                let (_, value) = tag.split_once(&format!(" {of}=\""))?;
                Some(value.split('"').next()?.replace("&amp;", "&"))
            };
            let classes = attribute("class").unwrap_or_default();
            let of_numbers = classes.split(' ').any(|class| class == "n");
            open.push((name.to_owned(), attribute("title"), of_numbers));
        }
        rest = behind;
    }
    all
}

/// The numbers that a text may mean, as hours where it is a length of time, each with what its rounding can do.
fn meant(text: &str) -> Vec<(f64, f64)> {
    let plain: String = text
        .replace(['\u{202f}', '\u{2009}', '+', '▲'], "")
        .replace('\u{a0}', " ")
        .replace('\u{2212}', "-");
    let plain = plain
        .trim()
        .trim_start_matches("at most ")
        .trim_start_matches("at least ");
    let mut hours = 0.0;
    let words: Vec<&str> = plain.split(' ').collect();
    for pair in words.chunks(2) {
        let [number, unit] = pair else { break };
        let Ok(number) = number.parse::<f64>() else {
            break;
        };
        hours += number
            * match *unit {
                "d" => 24.0,
                "h" => 1.0,
                "min" => 1.0 / 60.0,
                "s" => 1.0 / 3600.0,
                _ => f64::NAN,
            };
    }
    let mut all = vec![(hours, 0.51 / 60.0)];
    if let Some((h, min)) = plain.split_once(':')
        && let (Ok(h), Ok(min)) = (h.parse::<f64>(), min.parse::<f64>())
    {
        let sign = if plain.starts_with('-') { -1.0 } else { 1.0 };
        all.push((h + sign * min / 60.0, 0.51 / 60.0));
    }
    let first = plain.split(' ').next().unwrap_or_default();
    if let Ok(number) = first.parse::<f64>() {
        let places = first.split_once('.').map_or(0, |(_, after)| after.len());
        let last = (0..places).fold(1.0_f64, |step, _| step / 10.0);
        // Three figures where the number is a long one.
        all.push((number, (0.51 * last).max(0.0051 * number.abs())));
    }
    all
}

/// Whether a text shows a figure: as it is, in per cent, in tonnes, or as a length of time.
fn shows(text: &str, id: &str, value: f64) -> bool {
    let forms = match id {
        id if id.ends_with("_h") => vec![value],
        id if id.ends_with("minutes_outside") || id.ends_with("flood_min") => vec![value / 60.0],
        id if id.contains("/margin/") => vec![value, value / 3600.0],
        id if id.ends_with("mass_full_kg") => vec![value / 1000.0],
        _ => vec![value, 100.0 * value],
    };
    let near = |form: &f64| meant(text).iter().any(|(of, by)| (of - form).abs() <= *by);
    text.contains("e-") || forms.iter().any(near)
}

/// Walks the cells of a page; how many carry the id of one figure.
fn walk(what: &str, files: &[(String, Vec<u8>)], page: &str) -> usize {
    let folder = Folder::of(files.to_vec());
    let all = figures(&folder, "").expect("listed").into_iter();
    let all: BTreeMap<String, f64> = all
        .map(|(id, printed)| (id, printed.parse().expect("a number")))
        .collect();
    let (_, bytes) = files.iter().find(|(name, _)| name == page).expect("there");
    let page = std::str::from_utf8(bytes).expect("text");
    let mut single = 0;
    let mut named = BTreeSet::new();
    for cell in shown(page) {
        let Some(title) = cell.title.as_deref() else {
            assert!(!cell.of_numbers, "{what}: a number without an id: {cell:?}");
            continue;
        };
        if APART.contains(&title) {
            continue;
        }
        let below = format!("{title}/");
        match all.get(title) {
            Some(value) => {
                single += 1;
                named.insert(title.to_owned());
                let told = shows(&cell.text, title, *value);
                assert!(told, "{what}: {title} is {value}, shown as {:?}", cell.text);
            }
            None => {
                let several = all.keys().any(|id| id.starts_with(&below));
                assert!(several, "{what}: no figure is named {title}: {cell:?}");
                // The row's beginning is for its names; a number has its own.
                assert!(!cell.of_numbers || cell.own, "{what}: {cell:?}");
            }
        }
    }
    for id in &named {
        let chain = explain(&folder, id).unwrap_or_else(|bad| panic!("{what}: {id}: {bad}"));
        assert_eq!(&chain.figure, id);
    }
    println!(
        "{what}: {single} cells with the id of one figure, {} figures",
        named.len()
    );
    single
}

#[test]
fn every_number_in_a_table_of_a_job_s_page_has_its_id() {
    assert!(walk("short", short(), "report.html") > 100);
    assert!(
        walk(
            "bad-night",
            &ran("bad-night", 9, Units::Metric),
            "report.html"
        ) > 100
    );
}

#[test]
fn every_number_in_a_table_of_a_rota_s_page_has_its_id() {
    assert!(walk("short", &rota("short", &["norway"]), "rota.html") > 30);
    let six_man = rota("six-man", &[]);
    assert!(walk("six-man", &six_man, "rota.html") > 60);
    walk("six-man", &six_man, "noticeboard.html");
}

#[test]
fn every_number_in_a_table_of_a_study_s_page_has_its_id() {
    let (_home, files) = study(Units::Metric);
    assert!(walk("study", &files, "stock.html") > 150);
    assert!(walk("study", &files, "minimum-to-post.html") > 4);
}

/// The walk sees what is wrong: a number with no id, with that of another figure, and with none that there is.
#[test]
fn a_cell_that_is_wrong_is_seen() {
    let page =
        |cell: &str| format!("<table><tr title=\"job/alarms\"><td>x 1</td>{cell}</tr></table>");
    let files = |cell: &str| {
        let mut files = short().clone();
        let at = files
            .iter()
            .position(|(name, _)| name == "report.html")
            .expect("there");
        files[at].1 = page(cell).into_bytes();
        files
    };
    let told = |cell: &str| {
        let files = files(cell);
        let seen = std::panic::catch_unwind(|| walk("spoilt", &files, "report.html"));
        seen.is_err()
    };
    let count = figures(&Folder::of(short().clone()), "job/alarms/count").expect("there");
    let count = &count[0].1;
    assert!(!told(&format!(
        "<td class=\"n\" title=\"job/alarms/count\">{count}</td>"
    )));
    assert!(told(&format!("<td class=\"n\">{count}</td>")));
    assert!(told(
        "<td class=\"n\" title=\"job/alarms/count\">987654</td>"
    ));
    assert!(told(&format!(
        "<td class=\"n\" title=\"job/alarms/counts\">{count}</td>"
    )));
}
