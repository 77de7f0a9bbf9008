//! From today: `run --from`, `run --write-present`, `new --kind present`, `schema present`.

use super::{folder, run};
use std::fs;

/// A page that `run` wrote of the short job in storage, between two bell runs.
fn written(f: &tempfile::TempDir) -> String {
    let page = [
        "run",
        "short",
        "--quiet",
        "--stop-after",
        "2.7",
        "--write-present",
        "D03 21:45",
        "now.ron",
    ];
    let (code, _, err) = run(f, &page);
    assert_eq!((code, err.as_str()), (0, ""));
    fs::read_to_string(f.path().join("now.ron")).expect("the page")
}

#[test]
fn a_job_goes_on_from_a_page_and_says_so_everywhere() {
    let f = folder();
    let page = written(&f);
    assert!(
        page.contains("at: \"2031-08-06 21:45\"") && page.contains("Storage(\"60 msw\")"),
        "{page}"
    );
    let (code, out, err) = run(
        &f,
        &["run", "short", "--from", "now.ron", "--out", "papers"],
    );
    assert_eq!((code, err.as_str()), (0, ""), "{out}");
    assert!(
        out.contains("TAKEN UP FROM A PRESENT at D03 21:45") && out.contains("not given for AB"),
        "{out}"
    );
    let read = |name: &str| fs::read_to_string(f.path().join("papers").join(name)).expect(name);
    let json: serde_json::Value = serde_json::from_str(&read("job.json")).expect("JSON");
    assert_eq!(json["from_present"]["at_s"], 229_500);
    assert_eq!(json["complete"], true);
    assert_eq!(json["ledger"]["closes"], true);
    let assumed = json["from_present"]["assumed"].as_array().expect("a list");
    assert!(
        assumed
            .iter()
            .any(|a| a.as_str().is_some_and(|a| a.starts_with("walls")))
    );
    // The books begin with what the page's gauges say.
    let bank = json["gas"]["banks"].as_array().expect("banks")[0].clone();
    let said: f64 = page
        .split("(name: \"M-1\", gauge: \"")
        .nth(1)
        .and_then(|t| t.split(' ').next())
        .and_then(|t| t.parse().ok())
        .expect("a gauge");
    let begins = bank["start_gauge_bar"].as_f64().expect("a number");
    assert!((begins - said).abs() < 0.25, "{begins} {said}");
    assert!(read("report.html").contains("Taken up from a present"));
    let log = fs::read_dir(f.path().join("papers")).expect("a folder");
    let logs = log.filter_map(|e| fs::read_to_string(e.expect("a file").path()).ok());
    assert!(logs.into_iter().any(|text| {
        text.lines()
            .any(|l| l.contains("taken up from a present") && !l.contains('<'))
    }));
}

#[test]
fn a_page_that_contradicts_itself_is_bad_input() {
    let f = folder();
    let page = written(&f).replace(
        "(initials: \"CD\", at: \"Living\")",
        "(initials: \"AB\", at: \"Transfer\")",
    );
    fs::write(f.path().join("now.ron"), page).expect("written");
    let (code, out, err) = run(&f, &["run", "short", "--from", "now.ron"]);
    assert_eq!((code, out.as_str()), (3, ""));
    for words in [
        "now.ron:",
        "divers[1].initials",
        "diver AB is in two places",
        "it is not said where CD is",
        "2 errors",
    ] {
        assert!(err.contains(words), "{words}: {err}");
    }
    let (code, _, err) = run(&f, &["run", "short", "--from", "gone.ron"]);
    assert_eq!(code, 3);
    assert!(err.contains("gone.ron"), "{err}");
}

#[test]
fn a_page_is_not_written_over_nor_from_a_time_that_is_none() {
    let f = folder();
    written(&f);
    let again = [
        "run",
        "short",
        "--quiet",
        "--stop-after",
        "0.1",
        "--write-present",
        "D01 07:00",
        "now.ron",
    ];
    let (code, _, err) = run(&f, &again);
    assert_eq!(code, 3);
    assert!(err.contains("--replace"), "{err}");
    let (code, _, err) = run(
        &f,
        &["run", "short", "--write-present", "noon", "other.ron"],
    );
    assert_eq!(code, 3);
    assert!(err.contains("--write-present noon"), "{err}");
    let late = [
        "run",
        "short",
        "--quiet",
        "--stop-after",
        "0.1",
        "--write-present",
        "D05 07:00",
        "late.ron",
    ];
    let (_, _, err) = run(&f, &late);
    assert!(err.contains("no present was written"), "{err}");
    let away = [
        "run",
        "short",
        "--quiet",
        "--stop-after",
        "2.4",
        "--write-present",
        "D03 13:00",
        "away.ron",
    ];
    let (code, _, err) = run(&f, &away);
    assert_eq!(code, 0);
    assert!(
        err.contains("away.ron is written") && err.contains("a bell run is under way"),
        "{err}"
    );
    let before = ["run", "short", "--from", "now.ron", "--stop-after", "1"];
    let (code, _, err) = run(&f, &before);
    assert_eq!(code, 3);
    assert!(err.contains("the present is later"), "{err}");
}

#[test]
fn the_built_in_page_is_copied_run_and_has_a_schema() {
    let f = folder();
    let (code, out, err) = run(&f, &["new", "today", "--kind", "present"]);
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(out.contains("deepstay run JOB --from ./today.ron"), "{out}");
    let (code, out, err) = run(
        &f,
        &[
            "run",
            "six-man",
            "--from",
            "today.ron",
            "--stop-after",
            "11.5",
        ],
    );
    assert_eq!((code, err.as_str()), (0, ""), "{out}");
    assert!(out.contains("run 33, planned for D12 10:00"), "{out}");
    let (code, out, _) = run(&f, &["schema", "present"]);
    assert_eq!(code, 0);
    let schema: serde_json::Value = serde_json::from_str(&out).expect("JSON");
    for field in [
        "format",
        "scenario",
        "at",
        "banks",
        "levels",
        "compartments",
        "doors",
        "divers",
        "bells",
    ] {
        assert!(schema["properties"][field].is_object(), "{field}");
    }
}

#[test]
fn the_sheet_of_evacuation_endurance_names_first_what_ends_first() {
    let f = folder();
    assert_eq!(run(&f, &["new", "today", "--kind", "present"]).0, 0);
    let sheet = ["stock", "six-man", "--from", "today.ron", "--evacuation"];
    let (code, out, err) = run(&f, &sheet);
    assert_eq!((code, err.as_str()), (1, ""), "{out}");
    assert!(
        out.starts_with("EVACUATION ENDURANCE: absorbent ends first, 0.0 h for 6: SHORT"),
        "{out}"
    );
    for words in [
        "Wanted: 72 h (IMCA D 052",
        "second-hand",
        "t = M c / (N q)",
        "no bank is said to go with it",
        "For planning, rehearsal and training",
    ] {
        assert!(out.contains(words), "{words}: {out}");
    }
    let (code, out, _) = run(&f, &[&sheet[..], &["--json"]].concat());
    let json: serde_json::Value = serde_json::from_str(&out).expect("JSON");
    assert_eq!((code, json["meets"][0].as_bool()), (1, Some(false)));
    assert_eq!(json["supplies"][0]["supply"], "absorbent");
    assert_eq!(json["wanted_status"], "second-hand");
    // What goes along is on the page.
    let page = fs::read_to_string(f.path().join("today.ron")).expect("the page");
    let along =
        "evacuation: (banks: [\"O-3\", \"E-1\"], absorbent: \"120 kg\", heater: \"600 W\"),\n)";
    let page = page.trim_end().trim_end_matches(')').to_owned() + along;
    fs::write(f.path().join("today.ron"), page).expect("written");
    let (code, out, _) = run(&f, &sheet);
    assert_eq!(code, 0, "{out}");
    let (code, _, err) = run(&f, &["stock", "six-man", "--evacuation"]);
    assert_eq!(code, 3);
    assert!(err.contains("--from"), "{err}");
}

#[test]
fn the_gas_forecast_from_a_page_is_held_against_the_minimums() {
    let f = folder();
    assert_eq!(run(&f, &["new", "today", "--kind", "present"]).0, 0);
    let forecast = ["stock", "six-man", "--from", "today.ron", "--forecast"];
    let (code, out, err) = run(&f, &forecast);
    assert_eq!(err, "");
    for words in [
        "GAS FORECAST",
        "all at the surface",
        "Minimums by canada",
        "M-1",
        "sure this is",
        "For planning, rehearsal and training",
    ] {
        assert!(out.contains(words), "{words}: {out}");
    }
    assert_eq!(code, i32::from(out.contains("BELOW THE MINIMUM")), "{out}");
    let (_, out, _) = run(&f, &[&forecast[..], &["--json"]].concat());
    let json: serde_json::Value = serde_json::from_str(&out).expect("JSON");
    assert_eq!(json["surfaced"], true);
    let (code, ran, _) = run(&f, &["run", "six-man", "--from", "today.ron", "--json"]);
    assert!(code == 0 || code == 1);
    let ran: serde_json::Value = serde_json::from_str(&ran).expect("JSON");
    let ends = |banks: &serde_json::Value, field: &str| -> Vec<f64> {
        let banks = banks.as_array().expect("banks");
        banks
            .iter()
            .map(|b| b[field].as_f64().expect("a number"))
            .collect()
    };
    // Both count free gas at 15 degC and 1 bar.
    for (a, b) in ends(&json["banks"], "end_m3")
        .iter()
        .zip(ends(&ran["gas"]["banks"], "end_m3_free"))
    {
        assert!((a - b).abs() <= 0.06, "{a} {b}");
    }
}
