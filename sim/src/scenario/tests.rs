//! Built-in jobs load, and each kind of fault is complained of at its place with a suggestion.

use super::*;
use crate::rules;
use std::fs;

/// The six-man job with something else in the place of a part of its text.
fn changed(from: &str, to: &str) -> String {
    let text = job_text("six-man");
    assert!(text.contains(from), "`{from}` is not in the job any more");
    text.replacen(from, to, 1)
}

fn job_text(name: &str) -> &'static str {
    JOBS.iter()
        .find(|b| b.name == name)
        .expect("a built-in job")
        .text
}

/// Complaints about a text.
fn all(text: &str) -> Vec<Complaint> {
    from_text(text, "my.ron", None)
        .expect_err("a bad scenario")
        .complaints
}

/// The only complaint about a text.
fn one(text: &str) -> Complaint {
    let all = all(text);
    assert_eq!(all.len(), 1, "{all:#?}");
    all.into_iter().next().expect("one")
}

/// A complaint's line and column are where a mark stands in the text.
fn stands_at(complaint: &Complaint, text: &str, mark: &str) {
    let byte = text.find(mark).expect("the mark is in the text");
    let (line, column) = locate::line_column(text, byte);
    assert_eq!(
        (complaint.place.line, complaint.place.column),
        (line, column),
        "{complaint:#?}"
    );
    assert_eq!(complaint.place.file, "my.ron");
    assert!(
        text.lines()
            .nth(line - 1)
            .is_some_and(|l| l.starts_with(&complaint.place.excerpt))
    );
}

/// Complaints about a job with another spread beside it.
fn with_spread(change: impl Fn(String) -> String) -> Vec<Complaint> {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(
        folder.path().join("spread.ron"),
        change(SPREADS[0].text.to_owned()),
    )
    .expect("written");
    let text = changed("spread: \"six-man\"", "spread: \"spread.ron\"");
    let bad = from_text(&text, "my.ron", Some(folder.path())).expect_err("a bad spread");
    for c in &bad.complaints {
        assert!(
            c.place.file.ends_with("spread.ron") || c.place.file == "my.ron",
            "{c:#?}"
        );
    }
    bad.complaints
}

#[test]
fn every_built_in_job_loads() {
    for job in JOBS {
        let scenario = load(job.name).unwrap_or_else(|bad| panic!("{}:\n{bad}", job.name));
        assert_eq!(
            (scenario.name.as_str(), scenario.title.as_str()),
            (job.name, job.title)
        );
        assert!(
            job.text.contains("it prescribes nothing"),
            "{} carries the caution",
            job.name
        );
    }
}

#[test]
fn six_men_for_thirty_days() {
    let s = load("six-man").expect("the six-man job");
    assert_eq!((s.crew.len(), s.plan.bell_runs.len()), (6, 73));
    assert_eq!((s.start_second_of_day, s.utc_offset_s), (6 * 3600, 7200));
    // 2031-06-02 04:00 UTC, by the civil calendar.
    assert_eq!(s.start_unix_s, 1_938_139_200);
    let leave = s.plan.sides[0].steps[1].at;
    let second = (s.start_second_of_day + leave) % 86_400;
    let up = s
        .rules
        .decompression(118.0, second, &s.accepted)
        .expect("handbook bands reach");
    let days = (leave + up.total_s) as f64 / 86_400.0;
    assert!((29.5..=30.0).contains(&days), "{days} days under pressure");
    let longest = s
        .rules
        .saturation_length(118.0, &s.accepted)
        .expect("a longest stay")
        .longest_s;
    assert!(leave + up.total_s <= longest);
    let teams: Vec<Vec<u8>> = s.plan.bell_runs[..4]
        .iter()
        .map(|r| r.divers.iter().map(|d| d.0).collect())
        .collect();
    assert_eq!(teams, [[0, 1], [2, 3], [4, 5], [0, 1]]);
    let o2 = s.steel.instrument(
        crate::units::CompartmentId(0),
        crate::units::Quantity::PpO2,
        crate::units::Channel::Secondary,
    );
    assert!(o2.is_some());
    let recovered = s
        .inputs
        .iter()
        .find(|i| i.name.contains("reclaim"))
        .expect("a named input");
    for (is, wanted) in [
        (recovered.value, 0.88),
        (recovered.low, 0.80),
        (recovered.high, 0.95),
    ] {
        approx::assert_relative_eq!(is, wanted);
    }
}

#[test]
fn other_jobs_are_as_long_as_they_say() {
    for (name, days) in [("short", 7.0), ("bad-night", 7.0), ("nine-man", 28.0)] {
        let s = load(name).expect(name);
        let side = &s.plan.sides[0];
        let (SideDo::Press(depth), leave) = (side.steps[0].what, side.steps[1].at) else {
            panic!("{name}")
        };
        let second = (s.start_second_of_day + leave) % 86_400;
        let up = s
            .rules
            .decompression(depth, second, &s.accepted)
            .expect(name)
            .total_s;
        let all = (leave + up) as f64 / 86_400.0;
        assert!((days - 0.5..=days).contains(&all), "{name}: {all}");
        assert!(leave + up < s.plan.end_s, "{name}");
    }
    assert_eq!(load("bad-night").expect("a job").faults.len(), 5);
    let twelve = load("twelve-man").expect("a job");
    assert_eq!((twelve.plan.sides.len(), twelve.plan.moves.len()), (2, 2));
    assert_eq!(
        load("nine-man").expect("a job").accepted,
        ["usn.compression.rates"]
    );
}

/// Which job loads under which rule set; elsewhere the missing rows are named. Printed, as a planner reads it.
#[test]
fn matrix_of_jobs_and_rule_sets() {
    for job in JOBS {
        for set in rules::builtin_names() {
            let loaded = load_under(job.name, Some(set));
            println!(
                "{:<12}{set:<16}{}",
                job.name,
                if loaded.is_ok() { "loads" } else { "refused" }
            );
            match loaded {
                Ok(_) => assert_eq!(set, "demonstration", "{} under {set}", job.name),
                Err(bad) => {
                    for c in &bad.complaints {
                        let Wrong::Rules(refusal) = &c.wrong else {
                            panic!("{c:#?}")
                        };
                        assert!(!refusal.missing.is_empty());
                        assert!(c.place.path.starts_with("plan.sides"), "{c:#?}");
                    }
                }
            }
        }
    }
}

#[test]
fn unknown_field() {
    let text = changed("log_every:", "log_evry:");
    let c = one(&text);
    stands_at(&c, &text, "log_evry");
    assert!(matches!(&c.wrong, Wrong::UnknownField { found, .. } if found == "log_evry"));
    assert_eq!(c.suggestion.as_deref(), Some("did you mean `log_every`?"));
}

#[test]
fn unknown_field_within() {
    let text = changed("launch_limit:", "launch_limits:");
    let c = one(&text);
    stands_at(&c, &text, "launch_limits");
    assert_eq!(c.place.path, "site");
    assert_eq!(
        c.suggestion.as_deref(),
        Some("did you mean `launch_limit`?")
    );
}

#[test]
fn wrong_unit() {
    let text = changed("Press(\"118 msw\")", "Press(\"118 bar\")");
    let c = one(&text);
    stands_at(&c, &text, "\"118 bar\"");
    assert_eq!(c.place.path, "plan.sides[0].steps[0].what");
    assert!(
        c.to_string()
            .contains("this is a depth, given in msw or fsw"),
        "{c}"
    );
}

#[test]
fn misspelt_unit_and_bare_number() {
    let text = changed("working_depth: \"118 msw\"", "working_depth: \"118 mws\"");
    let c = one(&text);
    stands_at(&c, &text, "\"118 mws\"");
    assert!(c.to_string().contains("did you mean \"msw\"?"), "{c}");
    let text = changed("working_depth: \"118 msw\"", "working_depth: 118");
    let c = one(&text);
    stands_at(&c, &text, "118,");
    assert!(c.to_string().contains("text in quotes"), "{c}");
    assert!(c.suggestion.is_some());
}

#[test]
fn several_faults_are_told_at_once() {
    let text = changed("initials: \"AB\"", "initals: \"AB\"")
        .replacen("mass: \"91 kg\"", "mass: \"91 degC\"", 1)
        .replacen("duty: Helium", "duty: Helum", 1)
        .replacen("seabed: \"120 msw\"", "seabed: \"120 m3\"", 1);
    let all = all(&text);
    for path in [
        "crew.divers[0]",
        "crew.divers[2].mass",
        "stock.banks[6].duty",
        "site.seabed",
    ] {
        assert!(
            all.iter().any(|c| c.place.path == path),
            "{path} in {all:#?}"
        );
    }
    assert_eq!(all.len(), 4, "{all:#?}");
}

#[test]
fn missing_file_and_misspelt_names() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("my-spread.ron"), "").expect("written");
    let text = changed("spread: \"six-man\"", "spread: \"my-sprad.ron\"");
    let bad = from_text(&text, "my.ron", Some(folder.path())).expect_err("no such file");
    let c = &bad.complaints[0];
    stands_at(c, &text, "\"my-sprad.ron\"");
    assert!(c.to_string().contains("there is no such file"), "{c}");
    assert!(
        c.suggestion
            .as_ref()
            .is_some_and(|s| s.contains("my-spread.ron"))
    );

    let c = one(&changed("spread: \"six-man\"", "spread: \"six-men\""));
    assert_eq!(c.suggestion.as_deref(), Some("did you mean `six-man`?"));
    let c = one(&changed(
        "rules: \"demonstration\"",
        "rules: \"demonstraton\"",
    ));
    assert_eq!(
        (c.place.path.as_str(), c.suggestion.as_deref()),
        ("rules", Some("did you mean `demonstration`?"))
    );
    let c = load("six-mann")
        .expect_err("no such job")
        .complaints
        .remove(0);
    assert_eq!(c.suggestion.as_deref(), Some("did you mean `six-man`?"));
    assert!(load("./nowhere/at/all.ron").is_err());
}

#[test]
fn deeper_than_the_steel() {
    let text = changed("Press(\"118 msw\")", "Press(\"205 msw\")");
    let rating: Vec<Complaint> = all(&text)
        .into_iter()
        .filter(|c| matches!(c.wrong, Wrong::Rating { .. }))
        .collect();
    assert!(!rating.is_empty());
    stands_at(&rating[0], &text, "Press(\"205 msw\")");
    assert!(
        rating[0]
            .to_string()
            .contains("`Living` is rated for (200 msw)"),
        "{}",
        rating[0]
    );
}

#[test]
fn a_bank_that_is_not_there() {
    let text = changed("reclaim: (bank: \"D-1\"", "reclaim: (bank: \"D-9\"");
    let c = one(&text);
    stands_at(&c, &text, "\"D-9\"");
    assert_eq!(c.place.path, "stock.reclaim.bank");
    assert!(c.suggestion.is_some());
    let c = one(&changed("name: \"OB-1\"", "name: \"OB-7\""));
    assert!(
        c.place.file.contains("six-man"),
        "the bell names it: {c:#?}"
    );
    assert_eq!(c.place.path, "compartments[3].bell.on_board");
}

#[test]
fn more_divers_than_bunks() {
    let text = changed(
        "    ]),\n\n    stock",
        "        (initials: \"NP\", chamber: \"Living\", team: 3),\n    ]),\n\n    stock",
    );
    let all = all(&text);
    assert!(
        all.iter().any(|c| matches!(
            c.wrong,
            Wrong::Crowded {
                people: 7,
                places: 6,
                ..
            }
        )),
        "{all:#?}"
    );
    assert!(
        all.iter().any(|c| c.place.path == "crew.divers[6].chamber"),
        "{all:#?}"
    );
    assert!(
        all.iter().any(|c| matches!(
            c.wrong,
            Wrong::Crowded {
                people: 3,
                places: 2,
                ..
            }
        )),
        "the bell: {all:#?}"
    );
}

#[test]
fn a_rule_without_a_source() {
    let folder = tempfile::tempdir().expect("a folder");
    let set = rules::builtin_text("demonstration").expect("a set");
    let start = set
        .find("        source: (document: \"House rule: a hold near")
        .expect("a source");
    let end = start + set[start..].find('\n').expect("a line");
    let without = format!("{}{}", &set[..start], &set[end..]);
    fs::write(folder.path().join("set.ron"), &without).expect("written");
    let text = changed("rules: \"demonstration\"", "rules: \"set.ron\"");
    let bad = from_text(&text, "my.ron", Some(folder.path())).expect_err("no source");
    let c = &bad.complaints[0];
    assert!(c.to_string().contains("has no source"), "{c}");
    assert_eq!(c.place.path, "house.compression.leak-check");
    assert!(c.place.file.ends_with("set.ron") && c.place.line > 1);

    // In place, its line is the job's.
    let text = changed(
        "rules: \"demonstration\"",
        &format!(
            "rules: {}",
            without[without.find("(\n").expect("a set")..].trim_end()
        ),
    );
    let c = all(&text).remove(0);
    assert!(c.to_string().contains("has no source"), "{c}");
    let (line, _) = locate::line_column(
        &text,
        text.find("house.compression.leak-check").expect("the id"),
    );
    assert_eq!((c.place.line, c.place.file.as_str()), (line, "my.ron"));
}

#[test]
fn rules_in_place_and_parts_in_files() {
    let set = rules::builtin_text("demonstration").expect("a set");
    let text = changed(
        "rules: \"demonstration\"",
        &format!(
            "rules: {}",
            set[set.find("(\n").expect("a set")..].trim_end()
        ),
    );
    let scenario = from_text(&text, "my.ron", None).unwrap_or_else(|bad| panic!("{bad}"));
    assert_eq!(scenario.rules, load("six-man").expect("a job").rules);

    let folder = tempfile::tempdir().expect("a folder");
    let start = text.find("crew: (").expect("a crew") + "crew: ".len();
    let end = start + text[start..].find("\n    ]),").expect("its end") + "\n    ])".len();
    let crew = text[start..end].replacen("(divers", "(format: 1, divers", 1);
    fs::write(folder.path().join("crew.ron"), crew).expect("written");
    let text = format!("{}\"crew.ron\"{}", &text[..start], &text[end..]);
    let scenario =
        from_text(&text, "my.ron", Some(folder.path())).unwrap_or_else(|bad| panic!("{bad}"));
    assert_eq!(scenario.crew, load("six-man").expect("a job").crew);
    assert!(
        from_text(&text, "my.ron", None).is_err(),
        "what is built in has no files beside it"
    );
}

#[test]
fn numbers_that_cannot_be_meant() {
    for bad in ["NaN", "inf", "-inf", "1e300"] {
        let text = changed("toilet_per_day: 6", &format!("toilet_per_day: {bad}"));
        let c = one(&text);
        assert_eq!(c.place.path, "plan.routine.toilet_per_day", "{c:#?}");
    }
    for bad in [
        "\"NaN msw\"",
        "\"inf msw\"",
        "\"1e300 msw\"",
        "\"-5 msw\"",
        "\"\"",
    ] {
        let text = changed(
            "working_depth: \"118 msw\"",
            &format!("working_depth: {bad}"),
        );
        let c = one(&text);
        stands_at(&c, &text, bad);
    }
    for bad in ["-1", "1.5", "99999999999999999999999"] {
        let text = changed("seed: 1", &format!("seed: {bad}"));
        let c = all(&text).remove(0);
        assert_eq!(
            c.place.line,
            locate::line_column(&text, text.find("seed:").expect("a seed")).0,
            "{c:#?}"
        );
    }
}

#[test]
fn large_and_deep_files() {
    let c = one(&" ".repeat(usize::try_from(LARGEST_FILE).expect("fits") + 1));
    assert!(matches!(c.wrong, Wrong::TooLarge { .. }));
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("large.ron");
    fs::File::create(&path)
        .and_then(|f| f.set_len(50 << 20))
        .expect("50 MB");
    let c = load(path.to_str().expect("a path"))
        .expect_err("too large")
        .complaints
        .remove(0);
    assert!(
        matches!(
            c.wrong,
            Wrong::TooLarge {
                bytes: 52_428_800,
                ..
            }
        ),
        "{c:#?}"
    );
    for open in ["(", "[", "{", "(a:", "Some("] {
        let c = all(&format!("(format: 1, name: {}", open.repeat(100_000))).remove(0);
        assert!(matches!(c.wrong, Wrong::TooDeep { .. }), "{c:#?}");
    }
}

#[test]
fn versions() {
    let text = changed("format: 1", "format: 7");
    let c = one(&text);
    stands_at(&c, &text, "7,");
    assert!(matches!(
        c.wrong,
        Wrong::Newer {
            found: 7,
            known: FORMAT
        }
    ));
    assert!(matches!(
        one(&changed("format: 1", "format: 0")).wrong,
        Wrong::NoSuchFormat { found: 0 }
    ));
    assert!(matches!(
        one(&changed("    format: 1,\n", "")).wrong,
        Wrong::NoFormat
    ));
    // A newer file is named as such even where it has fields that are not known here.
    let newer = changed("format: 1,", "format: 2,\n    tomorrow: (all: [\"new\"]),");
    assert!(matches!(one(&newer).wrong, Wrong::Newer { found: 2, .. }));
}

#[test]
fn broken_notation() {
    for (from, to) in [
        ("seed: 1,", "seed: 1"),
        ("crew: (divers: [", "crew: (divers: "),
        ("title: \"Six", "title: Six"),
        ("    plan: (", "    plan: "),
    ] {
        let text = changed(from, to);
        assert!(!all(&text).is_empty());
    }
    for text in [
        "",
        "(",
        ")",
        "hello",
        "(format: 1",
        "\u{feff}(format: 1)",
        "(format: 1, name: \"\u{0}\")",
        "[]",
        "\"",
        "/*",
    ] {
        assert!(!all(text).is_empty(), "{text:?}");
    }
}

#[test]
fn the_same_initials_twice() {
    let text = changed("initials: \"CD\"", "initials: \"AB\"");
    let found = all(&text);
    let c = found
        .iter()
        .find(|c| matches!(&c.wrong, Wrong::Duplicate { kind: "diver", name } if name == "AB"));
    assert_eq!(
        c.expect("a complaint").place.path,
        "crew.divers[1].initials"
    );
    assert!(matches!(
        one(&changed("initials: \"CD\"", "initials: \"Charles D.\"")).wrong,
        Wrong::Value(_)
    ));
}

#[test]
fn overlapping_runs() {
    let text = changed("every: \"8 h\"", "every: \"6 h\"");
    let c = one(&text);
    stands_at(&c, &text, "\"6 h\"");
    assert!(c.to_string().contains("in the same bell"), "{c}");
    let text = changed(
        "        rota: [(",
        "        bell_runs: [(at: \"13 h\", divers: [\"AB\", \"CD\"], in_water: \"1 h\")],\n        rota: [(",
    );
    assert!(
        all(&text)
            .iter()
            .any(|c| matches!(c.wrong, Wrong::Contradiction(_)))
    );
}

#[test]
fn a_plan_out_of_order() {
    let text = changed("(at: \"0 s\", what: Press", "(at: \"26 d\", what: Press");
    assert!(
        all(&text)
            .iter()
            .any(|c| c.place.path == "plan.sides[0].steps[1].at"),
        "{:#?}",
        all(&text)
    );
    let text = changed("                (at: \"25 d\", what: Decompress),\n", "");
    let c = &all(&text)[0];
    assert!(
        c.to_string().contains("leaves the divers under pressure"),
        "{c}"
    );
    let text = changed("what: Decompress", "what: Press(\"100 msw\")");
    assert!(
        all(&text)
            .iter()
            .any(|c| c.to_string().contains("under pressure already"))
    );
    let text = changed("end: \"31 d\"", "end: \"20 d\"");
    assert!(one(&text).place.path == "plan.end");
    let text = changed("last: \"24d 12:00\"", "last: \"26 d\"");
    assert!(
        one(&text).to_string().contains("not at storage depth"),
        "{}",
        one(&text)
    );
}

#[test]
fn divers_of_another_depth() {
    let text = job_text("twelve-man");
    let mixed = text.replacen(
        "(initials: \"NP\", chamber: \"Living 2\", team: 4",
        "(initials: \"NP\", chamber: \"Living 1\", team: 4",
        1,
    );
    let all_of = |t: &str| {
        from_text(t, "my.ron", None)
            .expect_err("a bad plan")
            .complaints
    };
    let found = all_of(&mixed);
    assert!(
        found
            .iter()
            .any(|c| c.to_string().contains("lives in another side")),
        "{found:#?}"
    );
    let deep = text.replacen("depth: \"84 msw\"", "depth: \"96 msw\"", 1);
    let found = all_of(&deep);
    assert!(
        found.iter().any(|c| c
            .to_string()
            .contains("stored at 84 msw are to work at 96 msw")),
        "{found:#?}"
    );
    assert!(
        found[0]
            .suggestion
            .as_ref()
            .is_some_and(|s| s.contains("accept_recalled")),
        "{found:#?}"
    );
    let apart = text.replacen(
        "(at: \"10d 22:00\", what: ChangeStorage(\"96 msw\"))",
        "(at: \"10d 22:00\", what: ChangeStorage(\"90 msw\"))",
        1,
    );
    let found = all_of(&apart);
    assert!(
        found
            .iter()
            .any(|c| c.to_string().contains("people pass only at equal pressure")),
        "{found:#?}"
    );
}

#[test]
fn rows_that_need_acceptance() {
    let text = job_text("nine-man").replacen(
        "accept_recalled: [\"usn.compression.rates\"]",
        "accept_recalled: []",
        1,
    );
    let c = one(&text);
    assert!(matches!(c.wrong, Wrong::Rules(_)));
    let how = c.suggestion.expect("a way");
    assert!(
        how.contains("accept_recalled: [\"usn.compression.rates\"]"),
        "{how}"
    );
    let text =
        job_text("nine-man").replacen("usn.compression.rates\"]", "usn.compression.rate\"]", 1);
    let found = all(&text);
    assert!(
        found
            .iter()
            .any(|c| c.suggestion.as_deref() == Some("did you mean `usn.compression.rates`?")),
        "{found:#?}"
    );
}

#[test]
fn faults_are_checked() {
    let of = |from: &str, to: &str| {
        let text = job_text("bad-night").replacen(from, to, 1);
        one(&text)
    };
    assert_eq!(
        of("FanStop(\"Living\")", "FanStop(\"Livign\")")
            .suggestion
            .as_deref(),
        Some("did you mean `Living`?")
    );
    assert!(
        of("FanStop(\"Living\")", "FanStop(\"Trunk\")")
            .to_string()
            .contains("has no scrubber")
    );
    assert!(
        of("until: \"1d 18:00\"", "until: \"1d 16:00\"")
            .place
            .path
            .ends_with("until")
    );
    assert!(matches!(
        of("quantity: PpO2", "quantity: FO2").wrong,
        Wrong::NoSuch {
            kind: "instrument",
            ..
        }
    ));
    assert!(matches!(
        of("FanStop(\"", "FanStops(\"").wrong,
        Wrong::UnknownChoice { .. }
    ));
    assert!(matches!(
        of("bore: \"2 mm\"", "bore: \"2 bar\"").wrong,
        Wrong::Value(_)
    ));
}

#[test]
fn the_spread_is_checked() {
    let found =
        with_spread(|s| s.replacen("drain_to: \"Holding tank\"", "drain_to: \"Holding tnk\"", 1));
    assert!(
        found
            .iter()
            .any(|c| c.suggestion.as_deref() == Some("did you mean `Holding tank`?")),
        "{found:#?}"
    );
    let found = with_spread(|s| s.replacen("to: \"sea\"", "to: \"deep sea\"", 1));
    assert!(
        found
            .iter()
            .any(|c| c.place.path == "doors[5].to" && c.place.line > 1),
        "{found:#?}"
    );
    let found = with_spread(|s| s.replacen("volume: \"24 m3\"", "volume: \"0 m3\"", 1));
    assert!(
        found
            .iter()
            .any(|c| c.place.path == "compartments[0].volume"),
        "{found:#?}"
    );
    let found = with_spread(|s| s.replacen(", clamp: true", "", 1));
    assert!(
        found
            .iter()
            .any(|c| c.to_string().contains("no mating face")),
        "{found:#?}"
    );
    let found = with_spread(|s| s.replacen("name: \"Transfer\",", "name: \"Living\",", 1));
    assert!(
        found.iter().any(|c| matches!(
            c.wrong,
            Wrong::Duplicate {
                kind: "compartment",
                ..
            }
        )),
        "{found:#?}"
    );
    let found = with_spread(|s| s.replacen("format: 1,", "", 1));
    assert!(matches!(found[0].wrong, Wrong::NoFormat), "{found:#?}");
    let found = with_spread(|s| {
        s.replacen("kind: Living", "kind: Livng", 1)
            .replacen("to: \"sea\"", "too: \"sea\"", 1)
    });
    assert_eq!(found.len(), 2, "{found:#?}");
}

#[test]
fn the_site_is_checked() {
    let c = one(&changed("season: \"JJA\"", "season: \"JJB\""));
    assert_eq!(c.suggestion.as_deref(), Some("did you mean `JJA`?"));
    let c = one(&changed(
        "table: \"norwegian-shelf\"",
        "table: \"norwegian-shelve\"",
    ));
    assert_eq!(
        c.suggestion.as_deref(),
        Some("did you mean `norwegian-shelf`?")
    );
    let c = one(&changed("seabed: \"120 msw\"", "seabed: \"100 msw\""));
    assert_eq!(c.place.path, "site.working_depth");
    assert_eq!(
        one(&changed("\"2031-06-02 06:00\"", "\"2031-06-31 06:00\""))
            .place
            .path,
        "start"
    );
    assert_eq!(
        one(&changed("\"+02:00\"", "\"2 h\"")).place.path,
        "utc_offset"
    );
}

#[test]
fn ranges() {
    let c = one(&changed("88 % from 80 % to 95 %", "88 % from 90 % to 95 %"));
    assert!(
        c.to_string().contains("does not lie within its range"),
        "{c}"
    );
    assert!(matches!(
        one(&changed("88 % from 80 % to 95 %", "88 % from 80 %")).wrong,
        Wrong::Value(_)
    ));
}

#[test]
fn schemas_name_their_fields() {
    for of in [
        SchemaOf::Job,
        SchemaOf::Spread,
        SchemaOf::Rules,
        SchemaOf::Site,
        SchemaOf::Crew,
        SchemaOf::Stock,
        SchemaOf::Plan,
        SchemaOf::Faults,
    ] {
        let text = serde_json::to_string(&schema(of)).expect("a schema");
        assert!(
            text.contains("\"properties\"") && text.contains("\"format\""),
            "{of:?}"
        );
    }
}

/// Any text whatever, and any piece of a good one, is answered without a panic.
mod any_text {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(200))]

        #[test]
        fn is_answered(text in ".{0,200}") {
            let _ = from_text(&text, "any.ron", None);
            let _ = from_text(&format!("(format: 1, name: {text}"), "any.ron", None);
        }

        #[test]
        fn with_a_piece_missing(start in 0usize..6000, length in 1usize..40) {
            let text = job_text("six-man");
            let keep = |i: usize| !(start..start + length).contains(&i);
            let cut: String = text.char_indices().filter(|(i, _)| keep(*i)).map(|(_, c)| c).collect();
            let _ = from_text(&cut, "cut.ron", None);
        }
    }
}
