//! Faults of reading: fields, units, numbers, files, versions, notation.

use super::*;

#[test]
fn unknown_field() {
    let text = changed("log_every:", "log_evry:");
    let c = one(&text);
    stands_at(&c, &text, "log_evry");
    assert!(matches!(&c.wrong, Wrong::UnknownField { found, .. } if found == "log_evry"));
    assert_eq!(c.remedy.as_deref(), Some("did you mean `log_every`?"));
}

#[test]
fn unknown_field_within() {
    let text = changed("launch_limit:", "launch_limits:");
    let c = one(&text);
    stands_at(&c, &text, "launch_limits");
    assert_eq!(c.place.path, "site");
    assert_eq!(c.remedy.as_deref(), Some("did you mean `launch_limit`?"));
}

#[test]
fn wrong_unit() {
    let text = changed("Press(\"118 msw\")", "Press(\"118 bar\")");
    let c = one(&text);
    stands_at(&c, &text, "\"118 bar\"");
    assert_eq!(c.place.path, "plan.levels[0].steps[0].what");
    assert!(
        c.to_string()
            .contains("this is a depth, given in msw or fsw"),
        "{c}"
    );
}

/// One depth that is too much for the steel is one fault, and not one for each vessel and rule.
#[test]
fn one_wrong_depth_is_one_fault() {
    let text = changed("Press(\"118 msw\")", "Press(\"900 msw\")");
    let c = one(&text);
    assert_eq!(c.place.path, "plan.levels[0].steps[0].what");
    assert!(
        matches!(c.wrong, Wrong::Rating { depth_msw, .. } if depth_msw == 900.0),
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
    assert!(c.remedy.is_some());
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
        "stock.banks[9].duty",
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
    let c = &bad.all[0];
    stands_at(c, &text, "\"my-sprad.ron\"");
    assert!(c.to_string().contains("there is no such file"), "{c}");
    assert!(
        c.remedy
            .as_ref()
            .is_some_and(|s| s.contains("my-spread.ron"))
    );

    let c = one(&changed("spread: \"six-man\"", "spread: \"six-men\""));
    assert_eq!(c.remedy.as_deref(), Some("did you mean `six-man`?"));
    let c = one(&changed(
        "rules: \"demonstration\"",
        "rules: \"demonstraton\"",
    ));
    assert_eq!(
        (c.place.path.as_str(), c.remedy.as_deref()),
        ("rules", Some("did you mean `demonstration`?"))
    );
    let c = load("six-mann").expect_err("no such job").all.remove(0);
    assert_eq!(c.remedy.as_deref(), Some("did you mean `six-man`?"));
    assert!(load("./nowhere/at/all.ron").is_err());
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
            line_column(&text, text.find("seed:").expect("a seed")).0,
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
        .all
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

/// What has no length, and gives bytes without end, is read no further than a scenario may be long.
#[test]
#[cfg(target_os = "linux")]
fn a_file_without_end() {
    let c = load("/dev/zero").expect_err("no scenario").all.remove(0);
    assert!(matches!(c.wrong, Wrong::TooLarge { .. }), "{c:#?}");
}

/// Thousands of bad elements are told of in a moment.
#[test]
fn a_long_list_of_faults_ends() {
    let bad = "(name: \"Z\", duty: Heilum, bottles: \"1 x 50 L at 200 bar\", contents: Helium),\n"
        .repeat(5_000);
    let text = changed("(name: \"M-1\",", &format!("{bad}(name: \"M-1\","));
    assert!(text.len() as u64 <= LARGEST_FILE);
    assert!(!all(&text).is_empty());
}

/// Waves from a table beside the job; what is wrong in it is told with its line, and a missing one with the
/// name that was nearest.
#[test]
fn a_series_of_waves_beside_the_job() {
    let folder = tempfile::tempdir().expect("a folder");
    let good = "# metres\nsecond,hs_m\n0,1.5\n72000,4.5\n108000,2\n";
    fs::write(folder.path().join("waves.csv"), good).expect("written");
    fs::write(folder.path().join("bad.csv"), good.replace("4.5", "high")).expect("written");
    let chain = "Chain(table: \"norwegian-shelf\", season: \"JJA\", step: \"3 h\")";
    let with = |name: &str| {
        from_text(
            &changed(chain, &format!("Series(\"{name}\")")),
            "my.ron",
            Some(folder.path()),
        )
    };
    let scenario = with("waves.csv").unwrap_or_else(|bad| panic!("{bad}"));
    assert_eq!(
        scenario.site.weather,
        Weather::Series(vec![(0, 1.5), (72_000, 4.5), (108_000, 2.0)])
    );
    let c = with("bad.csv").expect_err("no number").all.remove(0);
    assert!(
        c.to_string().contains("line 4 of the table: `high`") && c.place.path == "site.weather",
        "{c}"
    );
    let c = with("wave.csv").expect_err("no file").all.remove(0);
    assert!(
        c.remedy.as_ref().is_some_and(|s| s.contains("waves.csv")),
        "{c:#?}"
    );
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

#[cfg(feature = "schema")]
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
        SchemaOf::Study,
        SchemaOf::Supplier,
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
