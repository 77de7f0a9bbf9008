//! A whole present: the built-in one is read, and each contradiction is told at its place with what would be right.

use super::line_column;
use crate::*;
use deepstay_core::record::Whereabouts;
use deepstay_core::units::{BankId, CompartmentId};

fn page() -> &'static str {
    PRESENTS[0].text
}

fn job() -> Scenario {
    load("six-man").expect("built in")
}

/// The built-in page with something else in the place of a part of its text.
fn changed(from: &str, to: &str) -> String {
    assert!(
        page().contains(from),
        "`{from}` is not on the page any more"
    );
    page().replacen(from, to, 1)
}

fn errors(text: &str, scenario: &Scenario) -> Vec<Diagnostic> {
    match whole_present_from_text(text, "now.ron", scenario) {
        Ok(_) => Vec::new(),
        Err(bad) => bad.all,
    }
}

/// A page with an error says so at a mark, in words, with a remedy.
fn told(text: &str, mark: &str, words: &str, remedy: &str) {
    let scenario = job();
    let all = errors(text, &scenario);
    let found = all.iter().find(|d| d.wrong.to_string().contains(words));
    let found = found.unwrap_or_else(|| panic!("`{words}` is not told: {all:#?}"));
    let byte = text.find(mark).expect("the mark is on the page");
    // A list stands where its bracket does.
    let byte = byte
        + if mark.ends_with(": [") {
            mark.len() - 1
        } else {
            0
        };
    assert_eq!(
        (found.place.line, found.place.column),
        line_column(text, byte),
        "{found:#?}"
    );
    let how = found.remedy.as_deref().unwrap_or_default();
    assert!(how.contains(remedy), "{found:#?}");
}

#[test]
fn the_built_in_page_is_whole() {
    let scenario = job();
    let present = whole_present_from_text(page(), "now.ron", &scenario).expect("whole");
    // D12 09:52 of a job that begins at 06:00 on D1: 11 d 03:52.
    assert_eq!(present.at_s, 11 * 86_400 + 3 * 3600 + 52 * 60);
    assert_eq!(
        present.levels,
        [(LevelStands::Storage { depth_msw: 118.0 }, 1)]
    );
    assert!(
        present
            .divers
            .iter()
            .all(|d| d.at == Whereabouts::In(CompartmentId(0)))
    );
    // The bell's hatch is open to its pressed trunk, the level's own doors are open, all others are shut.
    let open = |name: &str| {
        let doors = &scenario.steel.doors;
        present.doors[doors.iter().position(|d| d.name == name).expect(name)]
    };
    for (door, is_open) in [
        ("Living to transfer", true),
        ("Bell hatch", true),
        ("Transfer to trunk", false),
        ("Way in", false),
        ("Bell bottom door", false),
        ("Medical lock outer", false),
    ] {
        assert_eq!(open(door), is_open, "{door}");
    }
    assert_eq!(present.bells, [32], "run 33, counted from 1");
    assert!(present.banks.iter().all(Option::is_some));
    let assumed = present.assumed.join("\n");
    for word in [
        "not given for AB, CD",
        "walls",
        "nitrogen",
        "Medical lock",
        "run 33",
    ] {
        assert!(assumed.contains(word), "{word}: {assumed}");
    }
    // A study of the gas reads the same page.
    let gas = present_from_text(page(), "now.ron", &scenario).expect("read");
    assert_eq!((gas.at_s, gas.banks[0].bank), (present.at_s, BankId(0)));
}

#[test]
fn nitrogen_left_by_deck_air_goes_out_with_the_gas() {
    // By hand: 0.79 x 1.01325 bar of deck air in 12.81325 bar at 118 msw; at 50 msw, 6.01325 bar, its share is 0.3757 bar.
    let text = decompressing("50.0");
    let scenario = job();
    let present = whole_present_from_text(&text, "now.ron", &scenario).expect("whole");
    let n2_bar = present.rooms[0].expect("said").ppn2_bar;
    assert!((n2_bar - 0.3757).abs() < 1e-4, "{n2_bar}");
}

/// The page of a level that comes up, its chambers at a depth; begun so that the timetable is there, within a step.
fn decompressing(depth: &str) -> String {
    let scenario = job();
    let wanted: f64 = depth.parse().expect("a number");
    // Two days after the start of the plan's decompression the clock is the same, so the timetable's step is found.
    let began_s = 25 * 86_400;
    let plan = scenario
        .ascent(Ascent::Planned, (118.0, 0.0), began_s)
        .expect("the set answers");
    let step = plan
        .steps
        .iter()
        .find(|s| s.to_msw <= wanted)
        .expect("on the way");
    let at = scenario.time().civil(began_s + step.by_s);
    let mut text = page().replacen(
        "phase: Storage(\"118 msw\")",
        "phase: Decompression(from: \"118 msw\", began: \"25 d\")",
        1,
    );
    text = text.replace("2031-06-13 09:52", &at);
    text = text.replace(
        "depth: \"117.8 msw\", ppo2: \"0.463 bar\"",
        &format!("depth: \"{depth} msw\", ppo2: \"0.463 bar\""),
    );
    text.replace("next_run: 33", "next_run: 70")
}

#[test]
fn a_place_in_a_decompression_is_found_or_told_to_be_none() {
    let scenario = job();
    let text = decompressing("50.0");
    let present = whole_present_from_text(&text, "now.ron", &scenario);
    let present = present.unwrap_or_else(|bad| panic!("{bad}"));
    let (
        LevelStands::Decompression {
            held_msw,
            step,
            why,
            ..
        },
        next,
    ) = present.levels[0]
    else {
        panic!("{:?}", present.levels)
    };
    assert!((held_msw - 50.0).abs() < 1.0 && step > 10 && why == Ascent::Planned);
    assert_eq!(next, 2, "nothing of the plan is left");
    let off = text.replace("depth: \"50.0 msw\"", "depth: \"71.0 msw\"");
    told(
        &off,
        "Decompression(from: \"118 msw\", began: \"25 d\")),",
        "the gauge shows 71 msw",
        "after it began",
    );
    let late = text.replace("began: \"25 d\"", "began: \"30 d\"");
    told(&late, "\"30 d\"", "after this present", "left its depth");
}

#[test]
fn contradictions_are_told_with_place_and_remedy() {
    for (from, to, mark, words, remedy) in [
        (
            "(initials: \"CD\", at: \"Living\")",
            "(initials: \"AB\", at: \"Transfer\")",
            "\"AB\", at: \"Transfer\"",
            "diver AB is in two places",
            "once",
        ),
        (
            "initials: \"CD\"",
            "initials: \"CX\"",
            "\"CX\"",
            "no diver `CX`",
            "CD",
        ),
        (
            "        (initials: \"CD\", at: \"Living\"),\n",
            "",
            "divers: [",
            "it is not said where CD is",
            "count heads",
        ),
        (
            "(initials: \"CD\", at: \"Living\")",
            "(initials: \"CD\", at: \"Bell\")",
            "\"Bell\"),\n        (initials: \"EF\"",
            "a bell run is under way",
            "how far a run has gone",
        ),
        (
            "(initials: \"CD\", at: \"Living\")",
            "(initials: \"CD\", at: \"Medical lock\")",
            "\"Medical lock\"),\n        (initials",
            "nobody lives in",
            "chamber",
        ),
        (
            "(name: \"Bell\", at: OnTrunk, next_run: 33)",
            "(name: \"Bell\", at: Away)",
            "Away",
            "away from its trunk",
            "mated",
        ),
        (
            "next_run: 33",
            "next_run: 333",
            "333",
            "no run 333",
            "1 to 73",
        ),
        (
            "\"Transfer\", depth: \"117.8 msw\"",
            "\"Transfer\", depth: \"96 msw\"",
            "\"117.8 msw\", ppo2",
            "`Living to transfer` is open",
            "read both gauges again",
        ),
        (
            "\"Living\", depth: \"117.8 msw\", ppo2: \"0.463 bar\"",
            "\"Living\", depth: \"117.8 msw\", ppo2: \"14 bar\"",
            "\"14 bar\"",
            "12.793 bar in all",
            "analysers",
        ),
        (
            "\"Rescue\", depth: \"117.8 msw\"",
            "\"Rescue\", depth: \"217.8 msw\"",
            "\"217.8 msw\"",
            "deeper than Rescue is rated for",
            "gauge",
        ),
        (
            "\"Living\", depth: \"117.8 msw\"",
            "\"Living\", depth: \"0 msw\"",
            "\"Living\"),\n        (initials: \"CD\"",
            "AB is in `Living`, which belongs to a level in storage",
            "count heads",
        ),
        (
            "\"M-3\", gauge: \"200.2 bar\"",
            "\"M-3\", gauge: \"240 bar\"",
            "\"240 bar\"",
            "is filled to 200 bar",
            "temperature",
        ),
        (
            "\"2031-06-13 09:52\"",
            "\"2031-07-13 09:52\"",
            "\"2031-07-13 09:52\"",
            "between the start and the plan's end",
            "before 2031-07-03",
        ),
        (
            "chamber: \"Living\", phase",
            "chamber: \"Rescue\", phase",
            "\"Rescue\", phase",
            "living chamber of no level",
            "Living",
        ),
        (
            "    doors: [],",
            "    doors: [(name: \"Transfer to trunk\", open: true)],",
            "(name: \"Transfer to trunk\", open: true)",
            "through the trunk",
            "trunk is shut",
        ),
        (
            "    doors: [],",
            "    doors: [(name: \"Way in\", open: true)],",
            "(name: \"Way in\", open: true)",
            "outside at 0 msw",
            "open: false",
        ),
        (
            "temperature: \"27.8 degC\"",
            "temperature: \"87.8 degC\"",
            "\"87.8 degC\"",
            "between -40 and 60 degC",
            "",
        ),
        (
            "scenario: \"six-man\"",
            "scenario: \"short\"",
            "\"short\"",
            "follows",
            "take the present",
        ),
    ] {
        let text = changed(from, to);
        told(&text, mark, words, remedy);
    }
    // Below nothing is not even a reading.
    told(
        &changed(
            "\"M-3\", gauge: \"200.2 bar\"",
            "\"M-3\", gauge: \"-5 bar\"",
        ),
        "\"-5 bar\"",
        "-5 bar",
        "",
    );
}

#[test]
fn what_must_be_known_and_is_not_said_is_missed() {
    let lines = |without: &str| -> String {
        let kept = page()
            .lines()
            .filter(|line| !line.trim_start().starts_with(without));
        kept.collect::<Vec<_>>().join("\n")
    };
    told(
        &lines("(name: \"Rescue\", depth"),
        "compartments: [",
        "`Rescue` belongs to a level under pressure",
        "add (name: \"Rescue\"",
    );
    told(
        &lines("(name: \"Trunk\", depth"),
        "compartments: [",
        "nothing is said of `Trunk`",
        "vented",
    );
    told(
        &lines("(chamber: \"Living\""),
        "levels: [",
        "level of `Living`",
        "phase",
    );
}

#[test]
fn the_phase_is_held_against_the_gauge_and_the_plan() {
    let phase = |to: &str| page().replace("phase: Storage(\"118 msw\")", &format!("phase: {to}"));
    told(
        &phase("Storage(\"96 msw\")"),
        "Storage(\"96 msw\")),",
        "the gauge of `Living` shows 117.8 msw",
        "read the gauge",
    );
    told(
        &phase("Surface"),
        "Surface),",
        "shows 117.8 msw",
        "BlowDown",
    );
    told(
        &phase("BlowDown(to: \"90 msw\")"),
        "BlowDown(to",
        "being pressed from 0 to 90 msw",
        "read the gauge",
    );
    let other = phase("Storage(\"96 msw\")").replace("depth: \"117.8 msw\"", "depth: \"96.0 msw\"");
    told(
        &other,
        "Storage(\"96 msw\")),",
        "no step of the plan",
        "change the plan",
    );
}

#[test]
fn what_is_late_by_the_plan_is_said_and_taken_at_once() {
    let text = page().replace("2031-06-13 09:52", "2031-06-28 09:52");
    let scenario = job();
    let present = whole_present_from_text(&text, "now.ron", &scenario).expect("whole");
    assert_eq!(present.levels[0].1, 1);
    assert!(
        present.assumed.iter().any(|a| a.contains("late")),
        "{:?}",
        present.assumed
    );
}

#[test]
fn what_a_compartment_s_line_leaves_out_is_assumed_and_said() {
    let line = |l: &str| {
        match l.contains("(name: \"Rescue\", depth") {
        true => "(name: \"Rescue\", depth: \"117.8 msw\", ppo2: \"0.463 bar\", temperature: \"27.9 degC\"),".to_owned(),
        false => l.to_owned(),
    }
    };
    let text: Vec<String> = page().lines().map(line).collect();
    let scenario = job();
    let present = whole_present_from_text(&text.join("\n"), "now.ron", &scenario).expect("whole");
    let rescue = present.rooms[4].expect("said");
    assert_eq!(
        (rescue.ppco2_bar, rescue.humidity, rescue.absorbent_s),
        (0.0, 0.5, 0)
    );
    let assumed = present.assumed.join("\n");
    for words in [
        "carbon dioxide: none in Rescue,",
        "canister: fresh in Rescue,",
        "humidity: 50 % in Trunk, Rescue,",
    ] {
        assert!(assumed.contains(words), "{words}: {assumed}");
    }
}
