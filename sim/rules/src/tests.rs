//! The demonstration set answers, and refuses, as it should; files that cannot be used say where.

use super::*;
use deepstay_core::record::{Bound, Phase};
use deepstay_read::{Diagnostic, Wrong};

mod backwards;
mod based;
mod edges;
mod laxer;
mod told;

/// The text of a set of these sections.
fn text_of(sections: &str) -> String {
    format!("(format: 1, name: \"x\", title: \"x\", {sections})")
}

/// A set of sections that are made up.
fn made_up(sections: &str) -> RuleSet {
    RuleSet::from_ron(&text_of(sections), "x.ron").unwrap_or_else(|bad| panic!("{bad}"))
}

fn demonstration() -> RuleSet {
    builtin("demonstration").expect("the demonstration set loads")
}

#[test]
fn presses_with_oxygen_leak_check_and_printed_rate() {
    let plan = demonstration()
        .compression(118.0, &[])
        .expect("118 msw is printed");
    let legs: Vec<_> = plan
        .legs
        .iter()
        .map(|leg| (leg.to_msw, leg.hold_s, leg.leak_check))
        .collect();
    assert_eq!(legs, [(10.0, 1200, true), (118.0, 0, false)]);
    assert!(
        plan.legs
            .iter()
            .all(|leg| (leg.rate_msw_s * 60.0 - 1.0).abs() < 1e-12)
    );
    assert_eq!(plan.mix_o2, Some(0.02));
    assert!(
        plan.rows
            .contains(&"france2012.compression.rates".to_owned())
    );
}

#[test]
fn deeper_than_printed_needs_the_recalled_row() {
    let set = demonstration();
    let refusal = set
        .compression(200.0, &[])
        .expect_err("200 msw is past the French table");
    let text = refusal.to_string();
    assert!(
        text.contains("usn.compression.rates") && text.contains("accept_recalled"),
        "{text}"
    );
    let plan = set
        .compression(200.0, &["usn.compression.rates".to_owned()])
        .expect("accepted");
    assert_eq!(plan.source.status, Status::Recalled);
}

#[test]
fn decompression_steps_are_ordered_and_keep_the_rest() {
    let plan = demonstration()
        .decompression(118.0, 6 * 3600, &[])
        .expect("printed");
    let days = plan.total_s as f64 / 86_400.0;
    // 80 h of travel from the start of a travel window end 4.75 days later.
    assert!((4.70..4.76).contains(&days), "{days}");
    assert_eq!(plan.steps.last().map(|step| step.to_msw), Some(0.0));
    for pair in plan.steps.windows(2) {
        assert!(
            pair[0].by_s <= pair[1].start_s && pair[0].to_msw > pair[1].to_msw,
            "{pair:?}"
        );
    }
    for step in &plan.steps {
        let clock = |s: i64| (6 * 3600 + s) % 86_400;
        assert!(
            clock(step.start_s) >= 6 * 3600
                && !(14 * 3600..16 * 3600).contains(&clock(step.start_s)),
            "{step:?}"
        );
    }
}

#[test]
fn storage_change_limits_and_routine() {
    let set = demonstration();
    assert!(matches!(
        set.change_storage(90.0, 118.0, 0, &[]),
        Ok(StorageChange::Press(_))
    ));
    assert!(matches!(
        set.change_storage(118.0, 90.0, 0, &[]),
        Ok(StorageChange::Bleed(_))
    ));
    assert!(
        set.limits(Phase::Storage, 118.0, &[])
            .iter()
            .any(|limit| limit.id == "usn.limit.oxygen.low")
    );
    assert!(set.limits(Phase::Surface, 0.0, &[]).is_empty());
    let change = set.absorbent_change(&[]).expect("in the set");
    assert_eq!(change.stood_s, 3600);
    assert_eq!(
        set.calibration_every_s(&[]).expect("in the set").every_s,
        7200
    );
    assert_eq!(set.log_every_s(&[]).expect("in the set").every_s, 1800);
    assert_eq!(set.hygiene(&[]).expect("in the set").per_ear_s, 300);
    let working = set.working_time(118.0, &[]).expect("in the set");
    assert_eq!(
        (working.bell_run_s, working.in_water_s, working.rest_s),
        (Some(28_800), Some(21_600), Some(43_200))
    );
}

/// A set that says nothing of the depth held has the house's rows, with their status.
#[test]
fn limits_of_depth_lie_about_what_is_ordered_in_every_set() {
    for name in builtin_names() {
        let set = builtin(name).expect("built in");
        let edges = |phase, shallow, deep| -> Vec<(f64, Bound)> {
            let limits = set.depth_limits(phase, shallow, deep, &[]);
            assert!(limits.iter().all(|l| l.source.status == Status::HouseRule));
            limits.iter().map(|l| (l.value, l.bound)).collect()
        };
        let held = [(58.5, Bound::Low), (61.5, Bound::High), (50.0, Bound::Low)];
        assert_eq!(edges(Phase::Storage, 60.0, 60.0), held, "{name}");
        let moved = [(-1.5, Bound::Low), (61.5, Bound::High), (-10.0, Bound::Low)];
        assert_eq!(edges(Phase::Compression, 0.0, 60.0), moved, "{name}");
        assert!(edges(Phase::Surface, 0.0, 0.0).is_empty());
        let others = set.limits(Phase::Storage, 60.0, &[]);
        assert!(
            others
                .iter()
                .all(|l| l.quantity != deepstay_core::units::Quantity::Depth)
        );
    }
}

#[test]
fn climate_bands_are_not_extended() {
    let set = demonstration();
    let band = set.climate(100.0, &[]).expect("printed");
    assert!((band.set_k - 300.15).abs() < 1e-9);
    assert_eq!(band.rows, ["france2012.climate.bands"]);
    assert_eq!(
        set.climate(118.0, &[]).expect("between").rows[1],
        "house.climate.between"
    );
    assert!(
        set.climate(220.0, &[])
            .expect_err("past the table")
            .to_string()
            .contains("house.climate.deeper")
    );
    assert!(
        set.climate(220.0, &["house.climate.deeper".to_owned()])
            .is_ok()
    );
}

#[test]
fn a_rule_without_a_source_is_named_with_its_place() {
    let text = "(format: 1, name: \"x\", title: \"x\",\n  hygiene: [(id: \"x.hygiene\", figures: (ear_drops_per_day: 2, per_ear: \"5 min\", wash_per_day: 1, wash_after_dive: true))])";
    let told = one(text);
    assert_eq!((told.place.line, told.place.column), (2, 18), "{told}");
    assert!(
        told.to_string()
            .contains("the rule `x.hygiene` has no source"),
        "{told}"
    );
    assert!(
        told.remedy
            .is_some_and(|r| r.contains("add source: (document"))
    );
}

#[test]
fn errors_carry_place_and_suggestion() {
    let error = RuleSet::from_ron(
        "(format: 1, name: \"x\", title: \"x\",\n  hygeine: [])",
        "x.ron",
    )
    .expect_err("typo");
    assert!(error.to_string().starts_with("x.ron:2:"), "{error}");
    assert!(
        error.to_string().contains("did you mean `hygiene`"),
        "{error}"
    );
    let newer = one("(format: 9, name: \"x\")");
    assert!(matches!(newer.wrong, Wrong::Newer { found: 9, known: 1 }));
    let text = "(format: 1, name: \"x\", title: \"x\", calibration: [(id: \"x.c\", source: (document: \"d\", status: Seen), figures: (every: \"2 huors\"))])";
    let error = RuleSet::from_ron(text, "x.ron").expect_err("unit");
    assert!(
        error.to_string().contains("did you mean \"hours\"?"),
        "{error}"
    );
    let no = builtin("demonstation").expect_err("typo").to_string();
    assert!(no.contains("did you mean `demonstration`"), "{no}");
}

#[test]
fn every_builtin_loads_and_equal_ids_say_equal_things() {
    let mut known: Vec<Provenance> = Vec::new();
    for name in builtin_names() {
        let set = builtin(name).unwrap_or_else(|error| panic!("{error}"));
        assert_eq!(set.name, name);
        for line in set.provenance() {
            match known.iter().find(|other| other.id == line.id) {
                Some(other) => {
                    // Of a set that another is based on, it says so.
                    let what = line.what.split(" (taken from").next();
                    assert_eq!(Some(other.what.as_str()), what);
                    assert_eq!(
                        (&other.figures, &other.source),
                        (&line.figures, &line.source)
                    );
                }
                None => known.push(line),
            }
        }
    }
}

/// The only thing wrong with a text.
fn one(text: &str) -> Diagnostic {
    let mut told = RuleSet::from_ron(text, "x.ron").expect_err("refused").all;
    assert_eq!(told.len(), 1, "{told:#?}");
    told.remove(0)
}

/// A wrong unit is told as in any other file: its place, the line, and what would be right.
#[test]
fn a_wrong_unit_is_told_as_in_any_other_file() {
    for (written, spoilt, words) in [
        ("\"2 h\"", "\"2 bar\"", "\"bar\" is a unit of"),
        ("\"2 h\"", "\"2 hr\"", "did you mean \"h\"?"),
        ("\"2 h\"", "\"2\"", "has no unit"),
        ("\"2 h\"", "2", "this should be a text in quotes, not `2`"),
    ] {
        let text =
            one_row("calibration", &format!("(\n  every: {written})")).replace(written, spoilt);
        let told = one(&text);
        assert_eq!(
            (told.place.file.as_str(), told.place.line, told.place.column),
            ("x.ron", 2, 10)
        );
        assert_eq!(told.place.path, "calibration[0].figures.every");
        assert_eq!(told.place.excerpt, format!("  every: {spoilt}))])"));
        assert!(told.to_string().contains(words), "{told}");
    }
}

/// Each bad row is told of, at its place.
#[test]
fn several_faults_are_told_at_once() {
    let text = builtin_text("us-navy").expect("built in");
    let spoilt = text
        .replacen("\"0.44 ata\"", "\"0.44 atta\"", 1)
        .replacen("deeper_than: \"200 fsw\"", "deper_than: \"200 fsw\"", 1)
        .replacen("figures: UnitTable", "figures: UnitTabel", 1);
    let told = RuleSet::from_ron(&spoilt, "mine.ron")
        .expect_err("refused")
        .all;
    let paths: Vec<&str> = told.iter().map(|d| d.place.path.as_str()).collect();
    assert_eq!(
        paths,
        [
            "feet.figures",
            "storage_oxygen[0].figures.low",
            "decompression[0].rates.figures.bands[0]"
        ],
        "{told:#?}"
    );
}

#[test]
fn what_is_no_rule_file_is_refused_at_its_place() {
    for (text, line, column) in [
        ("format: 1\nname: x", 1, 7),
        ("{\"format\": 1,\n \"name\": \"x\"}", 1, 1),
        ("<rules/>", 1, 1),
        (
            "(format: 1,\n name: \"x\",\n title: \"x\"\n rest: [])",
            4,
            2,
        ),
    ] {
        let told = one(text);
        assert_eq!(
            (told.place.line, told.place.column),
            (line, column),
            "{text}: {told}"
        );
        assert!(!told.place.excerpt.is_empty(), "{told:?}");
    }
}

fn one_row(section: &str, figures: &str) -> String {
    format!(
        "(format: 1, name: \"x\", title: \"x\", {section}: [(id: \"x.row\", source: (document: \"d\", status: Seen), figures: {figures})])"
    )
}

#[test]
fn bad_figures_are_refused_with_a_reason() {
    let cases = [
        (
            one_row("calibration", "(every: \"NaN h\")"),
            "a length of time is written like",
        ),
        (
            one_row("calibration", "(every: \"1e400 h\")"),
            "length of time",
        ),
        (one_row("calibration", "(every: \"-2 h\")"), "out of range"),
        (one_row("calibration", "(every: 2)"), "x.ron:1:"),
        (
            one_row("storage_oxygen", "(low: \"0.5 bar\", high: \"0.4 bar\")"),
            "lower edge",
        ),
        (
            one_row(
                "work_oxygen",
                "(steps: [(\"3 h\", \"1 bar\"), (\"4 h\", \"1.2 bar\")])",
            ),
            "oxygen falls",
        ),
        (
            one_row(
                "compression",
                "(shallowest: \"0 msw\", cases: [(storage_to: \"99999999 msw\", inclusive: true, bands: [])])",
            ),
            "is out of range: a depth",
        ),
        (
            one_row(
                "compression",
                "(shallowest: \"0 msw\", cases: [(storage_to: \"100 msw\", inclusive: true, bands: [])])",
            ),
            "shallow to deep",
        ),
        ("(".repeat(10_000), "x.ron:1:"),
        (
            format!("(format: 1, name: {}", "[".repeat(5_000)),
            "x.ron:1:",
        ),
    ];
    for (text, reason) in cases {
        let error = RuleSet::from_ron(&text, "x.ron")
            .expect_err("bad")
            .to_string();
        assert!(error.contains(reason), "{error}");
    }
}

#[test]
fn a_cut_file_is_refused_wherever_it_is_cut() {
    let text = builtin_text("demonstration").expect("built in");
    for at in (0..text.len() - 3)
        .step_by(61)
        .filter(|&at| text.is_char_boundary(at))
    {
        assert!(
            RuleSet::from_ron(&text[..at], "cut.ron").is_err(),
            "cut at {at}"
        );
    }
}

#[test]
fn ids_are_used_once_and_large_or_missing_files_refused() {
    let row = "(id: \"x.row\", source: (document: \"d\", status: Seen), figures: (every: \"2 h\"))";
    let text = format!("(format: 1, name: \"x\", title: \"x\", calibration: [{row}, {row}])");
    assert!(
        RuleSet::from_ron(&text, "x.ron")
            .expect_err("twice")
            .to_string()
            .contains("used twice")
    );
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("large.ron");
    let large = std::fs::File::create(&path).and_then(|f| f.set_len(50 << 20));
    large.expect("50 MB");
    let refused =
        |path: &std::path::Path| RuleSet::from_path(path).expect_err("no set").all.remove(0);
    assert!(matches!(refused(&path).wrong, Wrong::TooLarge { .. }));
    let none = refused(&folder.path().join("largee.ron"));
    assert!(matches!(none.wrong, Wrong::Unreadable(_)));
    assert!(none.remedy.is_some_and(|r| r.contains("large.ron")));
    std::fs::write(&path, builtin_text("uk").expect("built in")).expect("written");
    assert_eq!(RuleSet::from_path(&path).expect("a set").name, "uk");
}

#[test]
fn a_timetable_ends_whatever_the_rest_hours() {
    let short = "[(\"00:00\", \"05:00\"), (\"05:01\", \"10:00\"), (\"10:01\", \"15:00\"), (\"15:01\", \"19:50\")]";
    let text = builtin_text("demonstration")
        .expect("built in")
        .replace("[(\"00:00\", \"06:00\"), (\"14:00\", \"16:00\")]", short);
    let set = RuleSet::from_ron(&text, "short.ron").expect("nineteen hours of rest");
    let plan = set.decompression(30.0, 0, &[]).expect("printed");
    assert_eq!(plan.steps.last().map(|step| step.to_msw), Some(0.0));
    assert!(set.decompression(f64::NAN, 0, &[]).is_err());
    assert_eq!(
        set.decompression(0.0, 0, &[])
            .expect("nothing to do")
            .total_s,
        0
    );
}

#[cfg(feature = "schema")]
#[test]
fn the_grammar_has_a_schema() {
    let schema = schemars::schema_for!(RuleSet);
    assert!(schema.get("properties").is_some());
}
