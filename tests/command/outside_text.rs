//! Text that a file brings along never acts: on a terminal, on a page or in a spreadsheet; and folders for
//! outputs are taken as a person means them.

use super::{folder, run};
use std::fs;

fn job_with(f: &tempfile::TempDir, of: &str, to: &str) {
    let (code, _, err) = run(f, &["new", "j", "--from", "short", "--replace"]);
    assert_eq!(code, 0, "{err}");
    let path = f.path().join("j.ron");
    let text = fs::read_to_string(&path).expect("written");
    assert!(text.contains(of), "{of}");
    fs::write(&path, text.replace(of, to)).expect("written");
}

#[test]
fn signs_that_act_unseen_are_refused_and_never_shown() {
    let f = folder();
    let acting = ["\u{1b}[2J", "\\u{202e}", "\u{9b}31m", "\u{2066}", "\\x07"];
    for sign in acting {
        job_with(&f, "\"M-1\"", &format!("\"M-1{sign}\""));
        let (code, out, err) = run(&f, &["check", "j.ron"]);
        assert_eq!((code, out.as_str()), (3, ""), "{sign:?}: {err}");
        assert!(err.contains("not seen but acts"), "{err}");
        let seen =
            |c: char| c == '\n' || !c.is_control() && !('\u{2066}'..='\u{2069}').contains(&c);
        assert!(err.chars().all(seen), "{err:?}");
    }
    // In a name that is asked for, too.
    let (code, _, err) = run(&f, &["check", "a\u{1b}]0;b\u{7}c"]);
    assert_eq!(code, 3);
    assert!(
        !err.contains('\u{1b}') && err.contains("\\u{1b}"),
        "{err:?}"
    );
}

/// Whoever is given a job's file runs it with his own rights: it may name any file that he can read as a part.
#[test]
fn of_a_file_that_is_none_of_ours_nothing_is_shown() {
    let f = folder();
    for secret in [
        "quay-cellar-17",
        "user:quay-cellar-17",
        "(key: \"quay-cellar-17\")",
    ] {
        fs::write(f.path().join("other"), secret).expect("written");
        for (of, to) in [
            ("spread: \"six-man\"", "spread: \"other\""),
            ("rules: \"demonstration\"", "rules: \"other\""),
            (
                "Chain(table: \"norwegian-shelf\", season: \"JJA\")",
                "Series(\"other\")",
            ),
            ("table: \"norwegian-shelf\"", "table: \"other\""),
        ] {
            job_with(&f, of, to);
            let (code, out, err) = run(&f, &["check", "j.ron"]);
            assert_eq!((code, out.as_str()), (3, ""), "{to}: {err}");
            assert!(!err.contains("quay-cellar"), "{to}: {err}");
        }
    }
}

#[test]
fn a_name_that_a_spreadsheet_would_calculate_is_text() {
    let f = folder();
    job_with(&f, "\"E-1\"", "\"=cmd|' /c calc'!A1\"");
    let (code, _, err) = run(
        &f,
        &[
            "run",
            "j.ron",
            "--stop-after",
            "0.1",
            "--out",
            "o",
            "--quiet",
        ],
    );
    assert!(code < 2, "{code} {err}");
    let mut seen = 0;
    for entry in fs::read_dir(f.path().join("o")).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.extension().is_none_or(|e| e != "csv") {
            continue;
        }
        let text = fs::read_to_string(&path).expect("text");
        let mut table = csv::ReaderBuilder::new()
            .flexible(true)
            .has_headers(false)
            .from_reader(text.as_bytes());
        for record in table.records() {
            for cell in &record.expect("a record") {
                assert!(!cell.starts_with('='), "{}: {cell}", path.display());
                seen += usize::from(cell.starts_with("'=cmd|"));
            }
        }
    }
    assert!(seen > 0, "the bank is in a table");
}

#[test]
fn outputs_go_into_a_new_or_an_empty_folder() {
    let f = folder();
    let short = ["run", "short", "--stop-after", "0.1", "--quiet", "--out"];
    fs::create_dir(f.path().join("empty")).expect("made");
    let (code, _, err) = run(&f, &[&short[..], &["empty"]].concat());
    assert!(code < 2, "{code} {err}");
    assert!(f.path().join("empty/job.json").exists());
    fs::write(f.path().join("file"), "mine").expect("written");
    for more in [&["file"][..], &["file", "--replace"]] {
        let (code, _, err) = run(&f, &[&short[..], more].concat());
        assert_eq!(code, 3, "{err}");
        assert!(
            err.contains("is no folder") && !err.contains("--replace"),
            "{err}"
        );
    }
    assert_eq!(
        fs::read_to_string(f.path().join("file")).expect("there"),
        "mine"
    );
}

#[test]
fn plates_that_no_vessel_can_have_are_refused() {
    let f = folder();
    for (of, to, words) in [
        (
            "volume: \"24 m3\"",
            "volume: \"1 L\"",
            "between 8 and 200 m3",
        ),
        (
            "hot_water: \"43 degC\"",
            "hot_water: \"99 degC\"",
            "between 20 and 50 degC",
        ),
        (
            "deck_temperature: \"12 degC\"",
            "deck_temperature: \"200 degC\"",
            "between -40 and 55 degC",
        ),
        (
            "blow_down: \"14 mm\"",
            "blow_down: \"2000 mm\"",
            "between 0.2 and 150 mm",
        ),
        ("area: \"47 m2\"", "area: \"20 m2\"", "between 36.213"),
        ("steel: \"7.5 t\"", "steel: \"300 kg\"", "between 819.1"),
        // Of the loop: 36 pi V^2 to the third, and 1.5 P V rho / sigma, for 1 m3 at 35 bar.
        (
            "tank: \"1 m3\"",
            "tank: \"40 m3\"",
            "between 0.05 and 20 m3",
        ),
        (
            "working: \"35 bar\"",
            "working: \"1 bar\"",
            "between 2 and 300 bar",
        ),
        ("area: \"6 m2\"", "area: \"2 m2\"", "between 4.352"),
        (
            "steel: \"1.2 t\", loss: \"10 W/K\"",
            "steel: \"40 kg\", loss: \"10 W/K\"",
            "between 59.728 and",
        ),
        (
            "make_up: \"2 mm\"",
            "make_up: \"200 mm\"",
            "between 0.2 and 60 mm",
        ),
        (
            "trickle: \"0.25 mm\"",
            "trickle: \"99 mm\"",
            "between 0.2 and 30 mm",
        ),
        (
            "trickle: \"0.25 mm\",",
            "trickle: \"0.25 mm\", alarms: (oxygen_low: \"4 bar\"),",
            "between 0.0001 and 2 bar",
        ),
    ] {
        let (code, _, err) = run(
            &f,
            &[
                "new",
                "s",
                "--kind",
                "spread",
                "--from",
                "six-man",
                "--replace",
            ],
        );
        assert_eq!(code, 0, "{err}");
        let path = f.path().join("s.ron");
        let text = fs::read_to_string(&path).expect("written");
        assert!(text.contains(of), "{of}");
        fs::write(&path, text.replacen(of, to, 1)).expect("written");
        job_with(&f, "spread: \"six-man\"", "spread: \"s.ron\"");
        let (code, _, err) = run(&f, &["check", "j.ron"]);
        assert_eq!(code, 3, "{to}: {err}");
        assert!(
            err.contains("cannot be meant") && err.contains(words),
            "{to}: {err}"
        );
    }
    job_with(&f, "\"32 x 50 L at 200 bar\"", "\"32 x 50 L at 0 bar\"");
    let (code, _, err) = run(&f, &["check", "j.ron"]);
    assert_eq!(code, 3, "{err}");
    assert!(
        err.contains("a bank's pressure of 0 bar cannot be meant"),
        "{err}"
    );
}
