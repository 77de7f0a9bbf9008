//! Faults of the plan: order, overlaps, depths, rows that need acceptance.

use super::*;

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
            .any(|c| c.place.path == "plan.levels[0].steps[1].at"),
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
    let all_of = |t: &str| from_text(t, "my.ron", None).expect_err("a bad plan").all;
    let found = all_of(&mixed);
    assert!(
        found
            .iter()
            .any(|c| c.to_string().contains("lives at another level")),
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
            .remedy
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
    assert!(matches!(c.wrong, Wrong::Unanswered { .. }));
    let how = c.remedy.expect("a way");
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
            .any(|c| c.remedy.as_deref() == Some("did you mean `usn.compression.rates`?")),
        "{found:#?}"
    );
}
