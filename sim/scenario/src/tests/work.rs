//! Faults of the work list, of what a diver brings along, and of crew changes.

use super::*;

const WORK: &str = "(name: \"Clear the old spool\", in_water: \"70 h\"),";

#[test]
fn a_qualification_that_nobody_holds() {
    let text = changed(
        "in_water: \"30 h\", qualifications: [\"2F wet\"]",
        "in_water: \"30 h\", qualifications: [\"2F weet\"]",
    );
    let c = one(&text);
    stands_at(&c, &text, "\"2F weet\"");
    assert!(c.to_string().contains("nobody in the crew holds"), "{c}");
    assert_eq!(c.remedy.as_deref(), Some("did you mean `2F wet`?"));
}

#[test]
fn work_that_cannot_be() {
    let twice = changed(WORK, &format!("{WORK}\n            {WORK}"));
    assert!(matches!(
        one(&twice).wrong,
        Wrong::Duplicate { kind: "task", .. }
    ));
    let ring = changed(
        WORK,
        "(name: \"Clear the old spool\", in_water: \"70 h\", after: [\"Fit the new spool\"]),",
    );
    assert!(
        one(&ring)
            .to_string()
            .contains("waits in the end for itself"),
        "{}",
        one(&ring)
    );
    let unknown = changed(
        "after: [\"Clear the old spool\"]",
        "after: [\"Clear the old spol\"]",
    );
    assert_eq!(
        one(&unknown).remedy.as_deref(),
        Some("did you mean `Clear the old spool`?")
    );
    let two = changed(
        WORK,
        "(name: \"Clear the old spool\", in_water: \"70 h\", divers: 2),",
    );
    assert!(
        one(&two).to_string().contains("one stays in the bell"),
        "{}",
        one(&two)
    );
    let deep = changed(
        WORK,
        "(name: \"Clear the old spool\", in_water: \"70 h\", depth: \"130 msw\"),",
    );
    assert!(
        one(&deep).to_string().contains("below the sea bed"),
        "{}",
        one(&deep)
    );
    let share = changed("weather_allowance: \"10 %\"", "weather_allowance: \"95 %\"");
    assert_eq!(one(&share).place.path, "work.weather_allowance");
}

#[test]
fn a_diver_listed_twice() {
    let text = changed("(initials: \"CD\"", "(initials: \"AB\"");
    assert!(
        all(&text)
            .iter()
            .any(|c| matches!(&c.wrong, Wrong::Duplicate { kind: "diver", .. }))
    );
}

#[test]
fn half_of_a_saturation_before() {
    let text = changed(
        "team: 1, mass: \"84 kg\"",
        "team: 1, surfaced_before: \"20 d\", mass: \"84 kg\"",
    );
    assert!(matches!(one(&text).wrong, Wrong::MissingField(ref f) if f == "last_saturation"));
}

/// The decompression begins as late as the surface by that day allows.
#[test]
fn a_crew_change_is_planned_backwards() {
    let without = changed("                (at: \"25 d\", what: Decompress),\n", "");
    let with = |text: &str, changes: &str| {
        let from = "        // Three teams of two in turn";
        assert!(text.contains(from));
        text.replacen(
            from,
            &format!("        crew_changes: [{changes}],\n{from}"),
            1,
        )
    };
    let text = with(&without, "(chamber: \"Living\", surface_by: \"30 d\")");
    let scenario = from_text(&text, "my.ron", None).unwrap_or_else(|bad| panic!("{bad}"));
    let change = scenario.plan.crew_changes[0];
    let steps = &scenario.plan.levels[0].steps;
    assert_eq!(
        steps.last().map(|s| (s.at, s.what)),
        Some((change.starts_s, LevelDo::Decompress))
    );
    let length_s = |at: i64| {
        let second = (scenario.start_second_of_day + at).rem_euclid(86_400);
        scenario
            .rules
            .decompression(118.0, second, &[])
            .expect("the set answers")
            .total_s
    };
    assert!(change.starts_s + length_s(change.starts_s) <= 30 * 86_400);
    let later = change.starts_s + 600;
    assert!(
        later + length_s(later) > 30 * 86_400,
        "it might have begun later"
    );
    // A decompression that is written and too late is complained of.
    let text = with(
        job_text("six-man"),
        "(chamber: \"Living\", surface_by: \"28 d\")",
    );
    let c = one(&text);
    stands_at(&c, &text, "\"28 d\"");
    assert!(c.to_string().contains("to be at the surface by"), "{c}");
    // Two of one chamber without pressing between them.
    let text = with(
        &without,
        "(chamber: \"Living\", surface_by: \"30 d\"), (chamber: \"Living\", surface_by: \"30d 06:00\")",
    );
    assert!(
        all(&text)
            .iter()
            .any(|c| c.to_string().contains("overlaps")),
        "{:#?}",
        all(&text)
    );
    let text = with(&without, "(chamber: \"Transfer\", surface_by: \"30 d\")");
    assert!(
        all(&text)
            .iter()
            .any(|c| c.to_string().contains("living chamber of no level"))
    );
}

/// A job that says nothing of work has what is common.
#[test]
fn no_work_list() {
    let text = job_text("six-man");
    let from = text
        .find("    // What the rota is made for.")
        .expect("the work");
    let scenario = from_text(&format!("{})\n", &text[..from]), "my.ron", None)
        .unwrap_or_else(|bad| panic!("{bad}"));
    assert!(
        scenario.work.tasks.is_empty() && scenario.work.same_hours && scenario.work.fixed_teams
    );
    assert_eq!(scenario.work.divers.len(), 6);
}

/// Six men who leave when six others join have the eight bunks to themselves; who stay an hour longer share them with
/// four too many, from the second at which the others join.
#[test]
fn crews_whose_dates_overlap() {
    let relief = JOBS.iter().find(|j| j.name == "relief").expect("built in");
    let leaves = |when: &str| {
        relief
            .text
            .replace("leaves: \"11 d\"", &format!("leaves: \"{when}\""))
    };
    let read = |text: &str| from_text(text, "my.ron", None);
    assert!(read(&leaves("11d 12:00")).is_ok());
    let bad = read(&leaves("11d 13:00")).expect_err("twelve men and eight bunks");
    let c = &bad.all[0];
    let words = c.to_string();
    assert!(
        words.contains(
            "12 divers, but `Living 1` from 11d 12:00 on, by `joins` and `leaves`, has 8"
        ),
        "{words}"
    );
    let right = c.remedy.as_deref().unwrap_or_default();
    assert!(
        right.contains("leave before others join") && right.contains("for 4 of them"),
        "{right}"
    );
}
