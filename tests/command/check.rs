//! `deepstay check`.

use super::{folder, run};
use std::fs;

#[test]
fn takes_the_six_man_job_where_none_is_named() {
    let f = folder();
    let (code, out, err) = run(&f, &["check"]);
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(out.starts_with("six-man: Six men"));
    assert!(out.contains("73 bell runs"));
    let words: Vec<&str> = out.split_whitespace().collect();
    assert!(words.join(" ").contains("it prescribes nothing"));
    assert_eq!(run(&f, &["check", "six-man"]).1, out);
}

#[test]
fn every_listed_job_is_good() {
    let f = folder();
    let (_, names, _) = run(&f, &["list", "--names"]);
    for name in names.lines().take(5) {
        let (code, out, err) = run(&f, &["check", name]);
        assert_eq!((code, err.as_str()), (0, ""), "{name}");
        assert!(out.contains("Nothing wrong was found"));
    }
}

/// Without the second treatment mix nothing is held for the depths between, and the sheet that will be posted is broken:
/// told first, with its row, and no clean check.
#[test]
fn what_would_be_broken_on_a_posted_sheet_is_told_first() {
    let f = folder();
    assert_eq!(run(&f, &["new", "mine", "--from", "short"]).0, 0);
    let path = f.path().join("mine.ron");
    let text = fs::read_to_string(&path).expect("the copy");
    let mix = text.lines().find(|l| l.contains("(name: \"T-1\""));
    let mix = mix.expect("a treatment mix").to_owned();
    fs::write(&path, text.replacen(&mix, "", 1)).expect("changed");
    let (code, out, err) = run(&f, &["check", "mine.ron"]);
    assert_eq!((code, err.as_str()), (1, ""), "{out}");
    let words = out.split_whitespace().collect::<Vec<_>>().join(" ");
    for told in [
        "POSTED SHEETS BROKEN at 1 of what is asked",
        "the first 42.0",
        "[usn.treatment.oxygen]",
        "What will be posted breaks rules",
    ] {
        assert!(words.contains(told), "{told}: {words}");
    }
    assert!(!words.contains("Nothing wrong"), "{words}");
    let first = words.find("POSTED SHEETS").zip(words.find("spread "));
    assert!(
        first.is_some_and(|(posted, spread)| posted < spread),
        "{words}"
    );
}

#[test]
fn a_name_and_a_path_both_serve() {
    let f = folder();
    assert_eq!(run(&f, &["new", "my-job", "--from", "short"]).0, 0);
    for path in [
        "my-job.ron",
        "./my-job.ron",
        f.path().join("my-job.ron").to_str().expect("a path"),
    ] {
        let (code, out, _) = run(&f, &["check", path]);
        assert_eq!(code, 0);
        assert!(out.starts_with("my-job: "));
    }
}

#[test]
fn a_complaint_shows_the_line_and_helps() {
    let f = folder();
    run(&f, &["new", "my-job"]);
    let path = f.path().join("my-job.ron");
    let text = fs::read_to_string(&path).expect("the copy");
    fs::write(
        &path,
        text.replacen("Press(\"118 msw\")", "Press(\"118 mws\")", 1)
            .replacen("seed:", "sead:", 1),
    )
    .expect("changed");
    let (code, out, err) = run(&f, &["check", "my-job.ron"]);
    assert_eq!((code, out.as_str()), (3, ""));
    assert!(
        err.contains("my-job.ron:17:5:\n  unknown field `sead`"),
        "{err}"
    );
    assert!(
        err.contains("  17 |     sead: 1,\n     |     ^\n  help: did you mean `seed`?"),
        "{err}"
    );
    assert!(err.contains("plan.levels[0].steps[0]"), "{err}");
    assert!(err.trim_end().ends_with("2 errors"), "{err}");
}

#[test]
fn a_file_that_is_not_there() {
    let f = folder();
    fs::write(f.path().join("job-one.ron"), "").expect("written");
    let (code, _, err) = run(&f, &["check", "job-on.ron"]);
    assert_eq!(code, 3);
    assert!(
        err.contains("there is no such file") && err.contains("did you mean `job-one.ron`?"),
        "{err}"
    );
    let (code, _, err) = run(&f, &["check", "sixman"]);
    assert_eq!(code, 3);
    assert!(err.contains("did you mean `six-man`?"), "{err}");
    let (code, _, err) = run(&f, &["check", "."]);
    assert_eq!(code, 3);
    assert!(err.contains("it is a folder"), "{err}");
}

#[test]
fn large_deep_and_foreign_files() {
    let f = folder();
    let file = |name: &str, bytes: &[u8]| fs::write(f.path().join(name), bytes).expect("written");
    fs::File::create(f.path().join("large.ron"))
        .and_then(|l| l.set_len(50 << 20))
        .expect("50 MB");
    file("deep.ron", &[b'('; 1_000_000]);
    file("bytes.ron", &[0xff, 0xfe, 0x00]);
    file("empty.ron", b"");
    file("newer.ron", b"(format: 2)");
    for (name, words) in [
        ("large.ron", "52428800 bytes"),
        ("deep.ron", "nested more than"),
        ("bytes.ron", "not text in UTF-8"),
        ("empty.ron", "empty.ron"),
        ("newer.ron", "newer than the format 1"),
    ] {
        let (code, out, err) = run(&f, &["check", name]);
        assert_eq!((code, out.as_str()), (3, ""), "{name}");
        assert!(err.contains(words), "{name}: {err}");
        // It is there, so that no other name was meant.
        assert!(!err.contains("did you mean"), "{name}: {err}");
    }
    let (_, _, err) = run(&f, &["check", "bytes.ron"]);
    assert!(err.contains("save it as UTF-8"), "{err}");
}

#[test]
fn under_another_rule_set() {
    let f = folder();
    let (code, _, err) = run(&f, &["check", "--rules", "us-navy"]);
    assert_eq!(code, 3);
    assert!(
        err.contains("usn.compression.rates") && err.contains("accept_recalled"),
        "{err}"
    );
    let (code, _, err) = run(&f, &["check", "--rules", "norwey"]);
    assert_eq!(code, 3);
    assert!(err.contains("did you mean `norway`?"), "{err}");
}

#[test]
fn the_matrix_has_a_line_a_job_and_set() {
    let f = folder();
    let (code, out, _) = run(&f, &["check", "--matrix"]);
    println!("{out}");
    assert_eq!(code, 0);
    assert_eq!(out.lines().count(), 6 * 13, "{out}");
    let line = |job: &str, set: &str| {
        let starts = format!("{job:<12}{set:<16}");
        let found = out.lines().find_map(|l| l.strip_prefix(&starts));
        found.unwrap_or_else(|| panic!("{job} under {set}: {out}"))
    };
    for job in [
        "six-man",
        "nine-man",
        "twelve-man",
        "short",
        "bad-night",
        "relief",
    ] {
        assert_eq!(line(job, "demonstration"), "runs");
        for set in ["norway", "uk", "brazil-2025", "canada"] {
            let told = line(job, set);
            assert!(
                told.starts_with(&format!("runs with companion {set}-companion")),
                "{job}: {told}"
            );
        }
        assert!(line(job, "industry").starts_with("refused: imca."));
    }
    // Where the printed table ends above the job's depth, no companion's table goes on.
    assert!(line("six-man", "france-2012").starts_with("runs with companion"));
    let deep = line("nine-man", "france-2012");
    assert!(
        deep.starts_with("refused") && deep.contains("france2012.compression.rates"),
        "{deep}"
    );
}

/// A house's own set, on a built-in one: good wherever a built-in is named.
#[test]
fn a_set_of_ones_own_is_good_everywhere() {
    let f = folder();
    let own = r#"(
    format: 1, name: "our-house", title: "Our house", based_on: [(set: "demonstration")],
    rest: [(id: "our.rest", source: (document: "our manual, 4.2", status: Seen), figures: (unbroken: "14 h", between: (Home, Checks)))],
)"#;
    fs::write(f.path().join("house.ron"), own).expect("written");
    let (code, out, err) = run(&f, &["check", "short", "--rules", "house.ron"]);
    let words = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert_eq!((code, err.as_str()), (0, ""), "{out}");
    assert!(
        words.contains("at least 14:00") && words.contains("our-house takes from demonstration: "),
        "{words}"
    );
    let (code, out, err) = run(
        &f,
        &[
            "rota",
            "short",
            "--rules",
            "./house.ron",
            "--against",
            "house.ron",
            "--time-limit",
            "1",
        ],
    );
    assert_eq!(code, 0, "{out}{err}");
    assert!(out.contains("house.ron"), "{out}");
    let (code, _, err) = run(
        &f,
        &[
            "stock",
            "short",
            "--reserve",
            "house.ron",
            "--replicates",
            "0",
        ],
    );
    assert!(!err.contains("rule set"), "{code} {err}");
    let (code, _, err) = run(&f, &["check", "short", "--rules", "hous.ron"]);
    assert_eq!(code, 3);
    assert!(err.contains("house.ron"), "{err}");
    let circle = own.replace("(set: \"demonstration\")", "(set: \"house.ron\")");
    fs::write(f.path().join("house.ron"), circle).expect("written");
    let (code, _, err) = run(&f, &["check", "short", "--rules", "house.ron"]);
    assert_eq!(code, 3);
    assert!(
        err.contains("is based on itself") && err.contains("based_on[0].set"),
        "{err}"
    );
}

#[test]
fn a_shower_of_three_hours_is_refused_at_its_place() {
    let f = folder();
    assert_eq!(run(&f, &["new", "job"]).0, 0);
    let path = f.path().join("job.ron");
    let text = std::fs::read_to_string(&path).expect("written");
    let long = text.replace(
        "shower_vapour: \"0.2 kg\",",
        "shower_vapour: \"0.2 kg\",\n            shower_length: \"3 h\",",
    );
    assert_ne!(text, long);
    std::fs::write(&path, long).expect("changed");
    let (code, _, err) = run(&f, &["check", "job.ron"]);
    assert_eq!(code, 3);
    assert!(
        err.contains("plan.routine.shower_length") && err.contains("between 1 min and 1 h"),
        "{err}"
    );
}

/// The rules that a house wrote for itself: ten days under pressure, 20 h of rest, bell runs of 4 h.
fn stricter(f: &tempfile::TempDir) {
    assert_eq!(run(f, &["new", "mine", "--from", "short"]).0, 0);
    assert_eq!(
        run(
            f,
            &["new", "rules", "--kind", "rules", "--from", "demonstration"]
        )
        .0,
        0
    );
    let path = f.path().join("rules.ron");
    let text = fs::read_to_string(&path).expect("the set");
    let mut strict = text.clone();
    for (loose, tight) in [
        (
            "figures: (longest: \"8 h\", clock:",
            "figures: (longest: \"4 h\", clock:",
        ),
        (
            "figures: (unbroken: \"12 h\"",
            "figures: (unbroken: \"20 h\"",
        ),
        ("figures: (longest: \"30 d\"", "figures: (longest: \"5 d\""),
    ] {
        assert!(strict.contains(loose), "{loose}");
        strict = strict.replace(loose, tight);
    }
    fs::write(&path, strict).expect("written");
    let job = f.path().join("mine.ron");
    let text = fs::read_to_string(&job).expect("the job");
    let own = text.replacen("rules: \"demonstration\"", "rules: \"rules.ron\"", 1);
    assert_ne!(text, own);
    fs::write(&job, own).expect("written");
}

#[test]
fn a_plan_that_breaks_working_time_is_no_clean_check_and_no_clean_run() {
    let f = folder();
    stricter(&f);
    let (code, out, err) = run(&f, &["check", "mine.ron"]);
    println!("{out}");
    assert_eq!((code, err.as_str()), (1, ""));
    let words = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("RULES OF WORKING TIME BROKEN") && !words.contains("Nothing wrong"));
    for broken in ["bell run of", "rest of", "under pressure; at most 5 d"] {
        assert!(words.contains(broken), "{broken}: {words}");
    }
    let (code, out, _) = run(&f, &["run", "mine.ron", "--out", "o"]);
    assert_eq!(code, 1);
    // The shorter runs leave work of the list undone, and that is the worse of the two; both are said.
    let words = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.starts_with("WORK NOT DONE: of 3 tasks "), "{words}");
    assert!(
        words.contains("rules of working time broken") && words.contains("missing: "),
        "{words}"
    );
    let job = fs::read(f.path().join("o/job.json")).expect("written");
    let job: serde_json::Value = serde_json::from_slice(&job).expect("JSON");
    assert_eq!(job["how_it_ended"], "work-not-done");
    let answers = job["working_time"]["answers"].as_array().expect("a list");
    let of = |question: &str| {
        let found = answers.iter().find(|a| a["question"] == question);
        found.unwrap_or_else(|| panic!("{question} is not answered"))
    };
    // The stations know the set, and come home in time; rest and days are the plan's.
    assert_eq!(of("bell run")["answer"], "kept");
    for question in ["rest", "length of a saturation"] {
        assert_eq!(of(question)["answer"], "broken", "{question}");
        assert!(
            of(question)["document"]
                .as_str()
                .is_some_and(|d| !d.is_empty()),
            "{question}"
        );
    }
    assert_eq!(of("log interval")["answer"], "kept");
    assert_eq!(of("work in a day")["answer"], "not judged");
    let page = fs::read_to_string(f.path().join("o/report.html")).expect("written");
    assert!(page.contains("▲ broken") && page.contains("not judged"));
}
