//! `run --out`: what stands in the report of a real job, and in which units.

use super::whole::wrongly_filled;
use super::{folder, run};
use serde_json::Value;
use std::fs;
use std::path::Path;

fn text(of: &Path) -> String {
    fs::read_to_string(of).unwrap_or_else(|e| panic!("{}: {e}", of.display()))
}

/// Runs a job into the folder `o` and gives its page and its summary.
fn reported(folder: &tempfile::TempDir, job: &str) -> (String, Value) {
    let (code, _, err) = run(folder, &["run", job, "--quiet", "--out", "o"]);
    assert!(code == 0 || code == 1, "{code} {err}");
    written(folder)
}

fn written(folder: &tempfile::TempDir) -> (String, Value) {
    let o = folder.path().join("o");
    let summary = serde_json::from_str(&text(&o.join("job.json"))).expect("JSON");
    (text(&o.join("report.html")), summary)
}

/// The words between the tags, each piece on a line of its own; style left out.
fn words(html: &str) -> String {
    let mut words = String::new();
    for piece in html.split('<') {
        if let Some((tag, said)) = piece.split_once('>')
            && !tag.starts_with("style")
        {
            words += said.trim();
            words.push('\n');
        }
    }
    let plain = [
        ("&lt;", "<"),
        ("&gt;", ">"),
        ("&quot;", "\""),
        ("&amp;", "&"),
    ];
    plain
        .into_iter()
        .fold(words, |w, (coded, sign)| w.replace(coded, sign))
}

/// The picture of that label.
fn picture<'a>(page: &'a str, label: &str) -> &'a str {
    let from = page
        .find(&format!("aria-label=\"{label}\""))
        .unwrap_or_else(|| panic!("no picture: {label}"));
    let picture = &page[from..];
    &picture[..picture.find("</svg>").expect("an end")]
}

/// What stands under a heading, up to the next of its kind.
fn section<'a>(page: &'a str, heading: &str) -> &'a str {
    let from = page
        .find(&format!("<h2>{heading}"))
        .unwrap_or_else(|| panic!("no section: {heading}"));
    let section = &page[from + 4..];
    &section[..section.find("<h2>").unwrap_or(section.len())]
}

fn list<'a>(of: &'a Value, what: &str) -> &'a [Value] {
    of[what]
        .as_array()
        .unwrap_or_else(|| panic!("no list: {what}"))
}

#[test]
fn the_page_of_a_job_has_all_its_pictures_and_asks_for_nothing_outside() {
    let f = folder();
    let (page, job) = reported(&f, "bad-night");

    for chamber in ["Living", "Transfer", "Bell", "Rescue"] {
        let trends = picture(&page, &format!("Trends of {chamber}"));
        let said = words(trends);
        let panels = ["depth", "ppO2", "ppCO2", "temperature", "humidity"];
        for panel in panels {
            assert!(
                said.lines().any(|w| w == panel),
                "{chamber}: no panel of {panel}"
            );
        }
        let drawn = trends.matches("<path class=\"shown\"").count();
        assert!(drawn >= panels.len(), "{chamber}: {drawn} courses");
    }
    let bands = picture(&page, "Trends of Living")
        .matches("class=\"beyond\"")
        .count();
    assert!(
        bands >= 7,
        "low and high of ppO2, temperature, humidity, high of ppCO2: {bands}"
    );

    for bank in list(&job["gas"], "banks") {
        let name = bank["bank"].as_str().expect("a name");
        assert!(
            picture(&page, &format!("Stock of bank {name}")).contains("<path"),
            "{name}"
        );
    }
    let went = words(picture(&page, "Gas drawn from banks and lost, by purpose"));
    for (purpose, sides) in job["gas"]["purposes"].as_object().expect("purposes") {
        let mol = |side: &str| {
            sides[side].as_object().map_or(0.0, |s| {
                s.values().filter_map(|a| a["mol"].as_f64()).sum::<f64>()
            })
        };
        if mol("drawn") > 1.0 {
            assert!(
                went.lines().any(|w| w == purpose),
                "{purpose} is not among: {went}"
            );
        }
    }
    let runs = picture(&page, "Bell runs by phase");
    let made = job["bell_runs"]["made"].as_u64().expect("a count") as usize;
    assert!(
        made > 0 && words(runs).matches("seal to seal").count() >= made,
        "each run has its line"
    );

    let outside = [
        "<script", "<link", "<img", "<iframe", "src=", "href=", "url(", "@import",
    ];
    for asks in outside {
        assert!(!page.contains(asks), "{asks}");
    }
    // The name of the language that pictures are written in; nothing is fetched from there.
    let named = page.matches("xmlns=\"http://www.w3.org/2000/svg\"").count();
    assert_eq!(
        page.matches("http:").count() + page.matches("https:").count(),
        named
    );
}

#[test]
fn limits_crossed_stand_first_true_and_indicated_apart() {
    let f = folder();
    wrongly_filled(&f);
    assert_eq!(run(&f, &["run", "thin.ron", "--quiet", "--out", "o"]).0, 2);
    let (page, job) = written(&f);
    let first = page.find("<h2>").expect("a heading");
    assert!(page[first..].starts_with("<h2>Limits crossed"));
    let rows: Vec<&str> = section(&page, "Limits crossed")
        .split("<tr")
        .skip(2)
        .collect();
    let crossed: Vec<Value> = ["limits_crossed", "attentions"]
        .iter()
        .flat_map(|l| list(&job, l))
        .cloned()
        .collect();
    assert_eq!(rows.len(), crossed.len());
    for severity in ["emergency", "limit", "attention"] {
        let told = crossed.iter().filter(|l| l["severity"] == severity).count();
        let of = |r: &&&str| words(r).lines().any(|w| w == severity);
        assert_eq!(told, rows.iter().filter(of).count(), "{severity}");
    }
    for by in ["true", "indicated"] {
        let told = crossed.iter().filter(|l| l["by"] == by).count();
        let in_table = rows
            .iter()
            .filter(|r| words(r).lines().any(|w| w == by))
            .count();
        assert!(
            told > 0 && told == in_table,
            "{by}: {told} in job.json, {in_table} on the page"
        );
    }
}

#[test]
fn every_rule_used_is_listed_with_its_source_and_status() {
    let f = folder();
    let (page, job) = reported(&f, "short");
    assert_eq!(
        run(
            &f,
            &["new", "set", "--kind", "rules", "--from", "demonstration"]
        )
        .0,
        0
    );
    let set = text(&f.path().join("set.ron"));
    let used = list(&job, "rules_used");
    let id = |r: &Value| r["id"].as_str().expect("an id").to_owned();
    // One row of each question that the job asks of the set.
    for asked in [
        "france2012.compression.rates",
        "house.compression.leak-check",
        "usn.oxygen.storage",
        "france2012.climate.bands",
        "house.climate.shallow",
        "house.climate.between",
    ] {
        assert!(used.iter().any(|r| id(r) == asked), "{asked}");
    }
    let sources = section(&page, "Rules used");
    let rows: Vec<String> = sources.split("<tr class").skip(1).map(words).collect();
    assert_eq!(rows.len(), used.len());
    for (rule, row) in used.iter().zip(&rows) {
        let (id, document) = (id(rule), rule["document"].as_str().expect("a document"));
        assert!(set.contains(&format!("\"{id}\"")), "{id} is not in the set");
        assert!(
            !document.is_empty() && set.contains(document),
            "{id}: {document}"
        );
        let status = rule["status"].as_str().expect("a status");
        let said = match status {
            "seen" => "read in a copy of the document",
            "second-hand" => "SECOND-HAND",
            "derived" => "derived",
            "house-rule" => "house rule",
            other => panic!("{id}: {other} in a job that accepts nothing"),
        };
        assert!(
            row.contains(&id) && row.contains(document) && row.contains(said),
            "{id} {status}: {row}"
        );
    }
}

/// Figures of rules and names of documents are shown as printed, so they keep their units; so does the reference
/// of free gas, which is one pressure and one temperature whatever the units (15 degC, 1 bar).
#[test]
fn imperial_speaks_of_feet_and_pounds_and_of_no_bar() {
    let f = folder();
    let arguments = ["run", "short", "--units", "imperial", "--out", "o"];
    let (code, screen, err) = run(&f, &arguments);
    assert!(code == 0 || code == 1, "{code} {err}");
    let page = text(&f.path().join("o/report.html"));
    let rules = section(&page, "Rules used");
    let job: Value = serde_json::from_str(&text(&f.path().join("o/job.json"))).expect("JSON");
    // What stands behind a figure speaks as job.json does, and quotes inputs as they are written.
    let (mut shown, mut rest) = (String::new(), page.replace(rules, ""));
    while let Some((before, after)) = rest.split_once("<details class=\"chain\">") {
        shown.push_str(before);
        let behind = after.split_once("</details>").expect("it ends").1;
        rest = behind.to_owned();
    }
    let page = shown + &rest;
    let documents = list(&job, "rules_used")
        .iter()
        .filter_map(|r| r["document"].as_str());
    let page = documents.fold(words(&page), |page, document| page.replace(document, ""));
    let log = text(&f.path().join("o/log.csv"));
    let heads = log.lines().next().expect("heads");

    let metric = ["bar", "mbar", "msw", "degC", "°C", "m3", "m³"];
    let references = ["15 °C and 1 bar", "59 degF, 1 bar", "mol to the m³"];
    for (place, said) in [("screen", screen.as_str()), ("page", &page), ("log", heads)] {
        let title = "Six men, 60 msw, 7 days";
        let said = references
            .iter()
            .fold(said.replace(title, ""), |s, r| s.replace(r, ""));
        let apart = |c: char| !(c.is_alphanumeric() || c == '°');
        for word in said.split(apart) {
            assert!(!metric.contains(&word), "{place}: {word}");
        }
    }
    for unit in ["fsw", "psi", "ata", "ft³"] {
        assert!(page.contains(unit), "page: {unit}");
    }
    for unit in ["(fsw)", "(psi gauge)", "(ata)", "(degF)"] {
        assert!(heads.contains(unit), "log: {unit}");
    }
    assert!(screen.contains("ft³"), "{screen}");

    // 60 msw are 196 fsw of 0.30643 msw.
    let deepest = 60.0 / 0.30643;
    let mut table = csv::Reader::from_path(f.path().join("o/log.csv")).expect("a table");
    let column = table
        .headers()
        .expect("heads")
        .iter()
        .position(|h| h == "depth true (fsw)")
        .expect("a column");
    let depths = table
        .records()
        .filter_map(|r| r.expect("a row")[column].parse::<f64>().ok());
    let reached = depths.fold(0.0, f64::max);
    assert!(
        (reached - deepest).abs() < 6.0,
        "{reached} against {deepest}"
    );
}
