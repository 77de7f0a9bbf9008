//! Faults of the parts: steel, stock, crew, site, rules, planned faults.

use super::*;

#[test]
fn deeper_than_the_steel() {
    let text = changed("Press(\"118 msw\")", "Press(\"205 msw\")");
    let rating: Vec<Diagnostic> = all(&text)
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
    let text = changed("open_circuit: \"D-3\"", "open_circuit: \"D-9\"");
    let c = one(&text);
    stands_at(&c, &text, "\"D-9\"");
    assert_eq!(c.place.path, "stock.reclaim.open_circuit");
    assert!(c.remedy.is_some());
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
        "    ], surface: [",
        "        (initials: \"NP\", chamber: \"Living\", team: 3),\n    ], surface: [",
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

/// Ids are small numbers: longer lists are complained of at their place, and not gone through.
#[test]
fn lists_that_ids_cannot_number() {
    let bank = "(name: \"C-1\",";
    let many = |piece: &str, from: &str| {
        let all: String = (0..300)
            .map(|i| piece.replace("NN", &format!("{i}")))
            .collect();
        changed(from, &format!("{all}{from}"))
    };
    let banks = many(
        "(name: \"Z-NN\", duty: Helium, bottles: \"1 x 50 L at 200 bar\", contents: Helium),",
        bank,
    );
    let c = one(&banks);
    stands_at(&c, &banks, "[\n            // To press");
    assert!(
        c.to_string().contains("327 banks; there may be at most 32"),
        "{c}"
    );
    assert!(c.remedy.is_some_and(|s| s.contains("295")));
    let divers = many(
        "(initials: \"QQ\", chamber: \"Living\", team: 9),",
        "(initials: \"AB\"",
    );
    assert_eq!(one(&divers).place.path, "crew.divers");
    for (list, from, end) in [
        (
            "compartments",
            "        (\n            name: \"Equipment lock\"",
            "\n        ),\n",
        ),
        ("doors", "        (name: \"Medical lock inner\"", "),\n"),
    ] {
        let found = with_spread(|s| {
            let start = s.find(from).expect("the element");
            let end = start + s[start..].find(end).expect("its end") + end.len();
            let element = s[start..end].to_owned();
            s.replacen(&element, &element.repeat(300), 1)
        });
        assert_eq!(found.len(), 1, "{list}: {found:#?}");
        assert!(
            found[0].to_string().contains("there may be at most"),
            "{list}: {found:#?}"
        );
    }
}

/// Where what is wrong tells what would be right, it is said.
#[test]
fn a_complaint_helps() {
    let help = |text: &str| all(text).remove(0).remedy.expect("a suggestion");
    assert!(
        help(&changed("Press(\"118 msw\")", "Press(\"205 msw\")"))
            .contains("no deeper than 200 msw")
    );
    assert!(
        help(&changed(
            "    title: \"Six men, one two-man bell round the clock, 118 msw, 30 days\",\n",
            ""
        ))
        .contains("add title")
    );
    assert!(help(&changed("initials: \"CD\"", "initials: \"AB\"")).contains("a name of its own"));
    assert!(
        help(&changed("rules: \"demonstration\"", "rules: \"norway\"")).contains("check --matrix")
    );
    assert!(
        help(&changed(
            "toilet_per_day: 6,",
            "toilet_per_day: 6, toilet_per_day: 6,"
        ))
        .contains("leave one")
    );
    let seven = changed(
        "team: 3, mass: \"88 kg\"",
        "team: 3), (initials: \"NP\", chamber: \"Living\", team: 4, mass: \"88 kg\"",
    );
    assert!(
        help(&seven).contains("find another place for 1"),
        "{}",
        help(&seven)
    );
}

/// A fill past the gas model's 250 bar is used and said; the same at 200 bar says nothing.
/// A set that has analysers calibrated every 2 h is not overruled by a plan that says 3 h, and the author is told.
#[test]
fn a_plan_that_a_rule_overrides_is_said() {
    let text = changed("calibrate_every: \"2 h\"", "calibrate_every: \"3 h\"");
    let scenario = from_text(&text, "my.ron", None).unwrap_or_else(|bad| panic!("{bad}"));
    let said = warnings(&scenario);
    assert_eq!(said.len(), 1, "{said:?}");
    assert!(said[0].contains("calibrate_every"), "{said:?}");
    assert!(said[0].ends_with("every 2\u{a0}h 00\u{a0}min"), "{said:?}");
    let text = changed("calibrate_every: \"2 h\"", "calibrate_every: \"1 h\"");
    let scenario = from_text(&text, "my.ron", None).unwrap_or_else(|bad| panic!("{bad}"));
    assert_eq!(warnings(&scenario), Vec::<String>::new());
}

#[test]
fn a_fill_past_the_gas_model_is_said() {
    let high = changed(
        "(name: \"H-1\", duty: Helium, bottles: \"64 x 50 L at 200 bar\"",
        "(name: \"H-1\", duty: Helium, bottles: \"64 x 50 L at 300 bar\"",
    );
    let scenario = from_text(&high, "my.ron", None).unwrap_or_else(|bad| panic!("{bad}"));
    let said = warnings(&scenario);
    assert_eq!(said.len(), 1, "{said:?}");
    assert!(
        said[0].starts_with("bank H-1: gas at 301 bar is above the 250 bar"),
        "{said:?}"
    );
    let cold = changed(
        "contents: Helium, analysed: \"0 %\"",
        "contents: Helium, analysed: \"0 %\", temperature: \"-5 degC\"",
    );
    let scenario = from_text(&cold, "my.ron", None).unwrap_or_else(|bad| panic!("{bad}"));
    assert!(
        warnings(&scenario)[0].contains("outside the 273 to 323 K"),
        "{:?}",
        warnings(&scenario)
    );
    assert!(
        JOBS.iter()
            .all(|job| warnings(&load(job.name).expect("a job")).is_empty())
    );
}

/// Gas that would be breathed where nobody can breathe it is refused, by the label and by the last analysis, on
/// both sides of the window of the US Navy Diving Manual, 15-15 (0.16 to 1.25 ata): at 118 msw that is 1.265 to
/// 9.885 %.
#[test]
fn gas_that_is_not_fit_for_its_use() {
    let bank = |name: &str, duty: &str, bottles: &str, was: &str, now: &str| {
        let line = |contents: &str| {
            format!(
                "(name: \"{name}\", duty: {duty}, bottles: \"{bottles}\", contents: {contents})"
            )
        };
        changed(&line(was), &line(now))
    };
    let five = "Heliox(\"5 %\"), analysed: \"5 %\"";
    let on_board = |now: &str| bank("OB-1", "OnBoard", "12 x 50 L at 200 bar", five, now);
    for (contents, said) in [
        ("Helium", "label"),
        ("Oxygen", "label"),
        ("Heliox(\"1.26 %\")", "label"),
        ("Heliox(\"9.89 %\")", "label"),
        ("Heliox(\"5 %\"), label: \"50 %\"", "label"),
        ("Heliox(\"5 %\"), analysed: \"0 %\"", "last analysis"),
    ] {
        let c = one(&on_board(contents));
        let words = c.to_string();
        assert!(words.contains(&format!("by its {said} `OB-1`")), "{words}");
        assert!(words.contains("cannot be breathed at 118 msw"), "{words}");
        assert!(
            words.contains("fill it with 1.27 % to 9.88 % there"),
            "{words}"
        );
    }
    for contents in [
        "Heliox(\"1.27 %\")",
        "Heliox(\"9.88 %\"), analysed: \"9.8 %\"",
    ] {
        from_text(&on_board(contents), "my.ron", None).unwrap_or_else(|bad| panic!("{bad}"));
    }
    for (text, words) in [
        (
            bank(
                "E-1",
                "Emergency",
                "80 x 50 L at 200 bar",
                "Heliox(\"8 %\"), analysed: \"8 %\"",
                "Heliox(\"1 %\")",
            ),
            "nobody can breathe it at any depth",
        ),
        (
            bank(
                "O-1",
                "Oxygen",
                "16 x 50 L at 180 bar",
                "Oxygen, analysed: \"100 %\"",
                "Oxygen, analysed: \"21 %\"",
            ),
            "by its last analysis `O-1` holds 21 % oxygen: it is no oxygen",
        ),
        (
            bank(
                "A-1",
                "Air",
                "16 x 50 L at 200 bar",
                "Air, analysed: \"21 %\"",
                "Air, label: \"2 %\"",
            ),
            "by its label `A-1` holds 2 % oxygen: it is no air",
        ),
        (
            bank(
                "H-1",
                "Helium",
                "64 x 50 L at 200 bar",
                "Helium, analysed: \"0 %\"",
                "Helium, label: \"5 %\"",
            ),
            "it is no helium",
        ),
    ] {
        let c = one(&text);
        assert!(c.to_string().contains(words), "{c}");
    }
}

/// A bail-out is breathed where the runs go. By hand at 15 msw, 2.513 bar, 0.16 ata is 6.45 %: the house's 6 % will not
/// do, and the crew has 7; at 60 msw it does. One that the crew's file names is refused with what would do.
#[test]
fn a_bail_out_serves_at_the_depths_of_the_runs() {
    let shallow = job_text("short")
        .replace("\"60 msw\"", "\"15 msw\"")
        .replace("\"62 msw\"", "\"17 msw\"");
    let o2 = |text: &str| {
        let scenario = from_text(text, "my.ron", None).unwrap_or_else(|bad| panic!("{bad}"));
        scenario.bail_out.mix.fractions()[deepstay_core::gas::Species::O2]
    };
    assert!((o2(job_text("short")) - 0.06).abs() < 1e-12);
    assert!((o2(&shallow) - 0.07).abs() < 1e-12);
    let named = |percent: &str| {
        let own = format!(
            "crew: (bail_out: (bottles: \"2 x 12 L at 300 bar\", contents: Heliox(\"{percent}\")), divers: ["
        );
        shallow.replacen("crew: (divers: [", &own, 1)
    };
    assert!((o2(&named("10 %")) - 0.1).abs() < 1e-12);
    let wrong = one(&named("6 %"));
    assert_eq!(wrong.place.path, "crew.bail_out.contents");
    let words = wrong.to_string();
    assert!(words.contains("cannot be breathed at 15 msw"), "{words}");
    assert!(
        words.contains("fill it with 6.45 % to 50.4 % there"),
        "{words}"
    );
}

/// What a bank truly holds no check refuses: it may be what the job is to show. The author is told.
#[test]
fn a_hidden_fill_is_told_to_the_author_alone() {
    let was = "(name: \"O-1\", duty: Oxygen, bottles: \"16 x 50 L at 180 bar\", contents: Oxygen, analysed: \"100 %\")";
    let now = "(name: \"O-1\", duty: Oxygen, bottles: \"16 x 50 L at 180 bar\", contents: Air, label: \"100 %\", analysed: \"100 %\")";
    let scenario =
        from_text(&changed(was, now), "my.ron", None).unwrap_or_else(|bad| panic!("{bad}"));
    assert!(warnings(&scenario).is_empty());
    let told = hidden_fills(&scenario);
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(
        told[0].starts_with("bank O-1 holds 20.9 % oxygen and its label says 100.0 %"),
        "{told:?}"
    );
    for job in JOBS {
        assert!(
            hidden_fills(&load(job.name).expect("a job")).is_empty(),
            "{}",
            job.name
        );
    }
}

/// A contaminant in a bank is a share of it like any other.
#[test]
fn a_contaminated_bank() {
    use deepstay_core::gas::Species;
    let mix =
        "contents: Mix(oxygen: \"2 %\", carbon_dioxide: \"3600 ppm\", contaminant: \"50 ppm\")";
    let text = changed("contents: Heliox(\"2 %\")", mix);
    let scenario = from_text(&text, "my.ron", None).unwrap_or_else(|bad| panic!("{bad}"));
    let x = scenario.steel.banks[0].true_mix;
    approx::assert_relative_eq!(x[Species::Trace], 50e-6);
    approx::assert_relative_eq!(x.total(), 1.0);
    let over = changed(
        "contents: Heliox(\"2 %\")",
        "contents: Mix(oxygen: \"60 %\", contaminant: \"50 %\")",
    );
    assert!(one(&over).to_string().contains("more than the whole"));
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
    let c = &bad.all[0];
    assert!(c.to_string().contains("has no source"), "{c}");
    assert_eq!(c.place.path, "leak_check.id");
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
    let (line, _) = line_column(
        &text,
        text.find("\"house.compression.leak-check\"")
            .expect("the id"),
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
    let end = start + text[start..].find(",\n\n    stock").expect("its end");
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
fn faults_are_checked() {
    let of = |from: &str, to: &str| {
        let text = job_text("bad-night").replacen(from, to, 1);
        one(&text)
    };
    assert_eq!(
        of("FanStop(\"Living\")", "FanStop(\"Livign\")")
            .remedy
            .as_deref(),
        Some("did you mean `Living`?")
    );
    assert!(
        of("FanStop(\"Living\")", "FanStop(\"Trunk\")")
            .to_string()
            .contains("has no scrubber")
    );
    // A loop's absorbent has no fan, and a door to the sea no equalising valve: such a fault would do nothing.
    assert!(
        of("FanStop(\"Living\")", "FanStop(\"Reclaim\")")
            .to_string()
            .contains("no fan")
    );
    let on = |door: &str| {
        let valve = format!("valve: Equalise(\"{door}\")");
        job_text("bad-night").replacen("valve: Oxygen(\"Living\")", &valve, 1)
    };
    assert_eq!(
        one(&on("Bell bottom door")).wrong.to_string(),
        "`Bell bottom door` has no such valve"
    );
    assert!(from_text(&on("Bell hatch"), "my.ron", None).is_ok());
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
            .any(|c| c.remedy.as_deref() == Some("did you mean `Holding tank`?")),
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
    assert_eq!(c.remedy.as_deref(), Some("did you mean `JJA`?"));
    let c = one(&changed(
        "table: \"norwegian-shelf\"",
        "table: \"norwegian-shelve\"",
    ));
    assert_eq!(c.remedy.as_deref(), Some("did you mean `norwegian-shelf`?"));
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

/// Complaints about the panel of a spread that is written so.
fn panel(alarms: &str) -> Vec<Diagnostic> {
    with_spread(|t| {
        let end = t.rfind(')').expect("the end of the spread");
        format!("{}    alarms: [{alarms}],\n)\n", &t[..end])
    })
}

#[test]
fn alarms_that_cannot_be_fitted() {
    let depth = "(at: Named(\"Living\"), of: Depth, bound: High)";
    let cases = [
        (
            "(at: Named(\"Livng\"), of: PpO2, bound: High)",
            "at",
            "did you mean `Living`?",
        ),
        (
            "(at: Every(Habitat), of: PpO2, bound: High)",
            "at",
            "Habitat",
        ),
        (
            "(at: Named(\"Trunk\"), of: PpO2, bound: High)",
            "of",
            "no instrument shows the ppO2 of `Trunk`",
        ),
        (
            "(at: Named(\"Medical lock\"), of: DepthDeviation, bound: Low)",
            "of",
            "alarm of Depth",
        ),
        (
            "(at: Named(\"Living\"), of: PpO2, bound: High, set: \"3.5 bar\")",
            "set",
            "reads to 3.000 bar",
        ),
        (
            "(at: Named(\"Living\"), of: PpO2, bound: High, set: \"3.5 msw\")",
            "set",
            "\"rule\" for the limits",
        ),
        (
            "(at: Named(\"Living\"), of: DepthDeviation, bound: Low, set: \"0.01 msw\")",
            "set",
            "nothing finer can ring",
        ),
        (
            "(at: Named(\"Living\"), of: Depth, bound: Low)",
            "bound",
            "no rating bounds a depth from below",
        ),
        (
            "(at: Named(\"Living\"), of: PpO2, bound: High, delay: \"2 h\")",
            "delay",
            "an hour at the most",
        ),
        (
            "(at: Named(\"Living\"), of: PpO2, bound: High, sounds: [])",
            "sounds",
            "sounds somewhere",
        ),
        (
            "(at: Named(\"Living\"), of: Weather, bound: High)",
            "of",
            "PpCo2",
        ),
        (
            "(at: Named(\"Bell\"), of: Supply(Main), bound: Low)",
            "set",
            "no rule says when a supply is low",
        ),
        (
            "(at: Named(\"Bell\"), of: Supply(Main), bound: High, set: \"4 bar\")",
            "bound",
            "too little, never too much",
        ),
        (
            "(at: Named(\"Living\"), of: Supply(Secondary), bound: Low, set: \"4 bar\")",
            "of",
            "has no divers' secondary gas",
        ),
    ];
    for (alarm, field, words) in cases {
        let all = panel(alarm);
        assert_eq!(all.len(), 1, "{alarm}: {all:#?}");
        let told = all[0].to_string();
        assert!(told.contains(words), "{alarm}: {told}");
        assert!(
            all[0].place.path.starts_with("alarms[0]") && told.contains(field),
            "{told}"
        );
    }
    let twice = panel(&format!(
        "{depth}, (at: Every(Living), of: Depth, bound: High, severity: Emergency)"
    ));
    assert_eq!(twice.len(), 1, "{twice:#?}");
    assert!(
        twice[0]
            .to_string()
            .contains("rings by an alarm above it already")
    );
    assert_eq!(twice[0].place.path, "alarms[1]");
}

/// Left out, the panel is the common one; empty, there is none.
#[test]
fn the_common_panel_is_fitted_where_nothing_is_said() {
    use deepstay_core::record::{AlarmOf, SoundsAt};
    let scenario = load("six-man").expect("a job");
    let of = |name: &str| {
        let all = &scenario.steel.compartments;
        let at = all.iter().position(|c| c.name == name).expect(name);
        let mine = scenario.steel.alarms.iter().filter(|a| a.at.index() == at);
        mine.copied().collect::<Vec<_>>()
    };
    // Ten by instruments; of what is breathed, masks everywhere, and both lines of divers' gas in a bell.
    assert_eq!(of("Living").len(), 11);
    assert_eq!(of("Bell").len(), 13);
    assert!(
        of("Bell")
            .iter()
            .all(|a| a.sounds.at(SoundsAt::DiveControl))
    );
    // A trunk has depth gauges and masks, a lock a depth gauge, and nothing else.
    assert_eq!(of("Trunk").len(), 4);
    assert!(of("Medical lock").iter().all(|a| a.of == AlarmOf::Depth));
}

/// Shifts and umbilicals of the crew's file: each end of what can be, told at its place.
#[test]
fn shifts_and_umbilicals_that_cannot_be() {
    for (from, to, path, words) in [
        (
            "(post: Supervisor, people: 1, from: \"00:00\"",
            "(post: Supervisor, people: 0, from: \"00:00\"",
            "crew.surface[0].people",
            "1 to 50 people",
        ),
        (
            "(post: Supervisor, people: 1, from: \"00:00\"",
            "(post: Supervisor, people: 51, from: \"00:00\"",
            "crew.surface[0].people",
            "1 to 50 people",
        ),
        (
            "diver_m: 45",
            "diver_m: 0.5",
            "crew.umbilicals.diver_m",
            "1 to 200 m",
        ),
        (
            "bellman_m: 50",
            "bellman_m: 201",
            "crew.umbilicals.bellman_m",
            "1 to 200 m",
        ),
        (
            "excursion_m: 35",
            "excursion_m: 46",
            "crew.umbilicals.excursion_m",
            "out of reach of an umbilical of 45 m",
        ),
        (
            "excursion_m: 35",
            "excursion_m: 35, back_m_min: 61",
            "crew.umbilicals.back_m_min",
            "1 to 60 m/min",
        ),
        (
            "post: Supervisor",
            "post: Superviser",
            "crew.surface[0].post",
            "Supervisor",
        ),
    ] {
        let all = all(&changed(from, to));
        let told = all.iter().find(|c| c.place.path == path);
        let told = told.unwrap_or_else(|| panic!("{to}: {all:#?}")).to_string();
        assert!(told.contains(words), "{told}");
    }
    for (from, to) in [
        (
            "(post: Supervisor, people: 1, from: \"00:00\"",
            "(post: Supervisor, people: 50, from: \"00:00\"",
        ),
        ("excursion_m: 35", "excursion_m: 45, back_m_min: 60"),
        ("diver_m: 45, bellman_m: 50", "diver_m: 200, bellman_m: 200"),
    ] {
        let text = changed(from, to);
        assert!(from_text(&text, "my.ron", None).is_ok(), "{to}");
    }
    let scenario = load("six-man").expect("a job");
    let late = scenario.surface[1];
    // From noon to midnight; the one who has the night goes past it.
    assert_eq!(
        [
            late.at(43_199),
            late.at(43_200),
            late.at(86_399),
            late.at(0)
        ],
        [0, 1, 1, 0]
    );
    let night = scenario.surface[3];
    assert_eq!(
        [
            night.at(64_800),
            night.at(0),
            night.at(21_599),
            night.at(21_600)
        ],
        [2, 2, 2, 0]
    );
}
