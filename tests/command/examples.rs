//! The programs in `sim/examples`, which a stranger begins with, do what they say.

#[expect(dead_code, reason = "an example's main is called by those who run it")]
#[path = "../../sim/examples/own_report.rs"]
mod own_report;
#[expect(dead_code, reason = "an example's main is called by those who run it")]
#[path = "../../sim/examples/run_a_job.rs"]
mod run_a_job;
#[expect(dead_code, reason = "an example's main is called by those who run it")]
#[path = "../../sim/examples/sit_on_the_watch.rs"]
mod sit_on_the_watch;
#[expect(dead_code, reason = "an example's main is called by those who run it")]
#[path = "../../sim/examples/study.rs"]
mod study;

#[test]
fn a_sink_of_ones_own_is_given_all_that_is_moved() {
    let lines = run_a_job::moved("short").expect("runs");
    assert!(lines[0].starts_with("short: Some(Surfaced)"), "{lines:?}");
    for purpose in ["blow-down", "bleed"] {
        assert!(lines.iter().any(|l| l.contains(purpose)), "{lines:?}");
    }
}

#[test]
fn a_report_of_ones_own_names_runs_and_sources() {
    let text = own_report::report("short").expect("runs");
    let runs = text.lines().filter(|l| l.starts_with("- bell run")).count();
    let planned = deepstay::open("short").expect("opens").plan.bell_runs.len();
    assert_eq!(runs, planned, "{text}");
    assert!(
        text.contains("house rule") && text.ends_with(deepstay::CAUTION),
        "{text}"
    );
}

#[test]
fn a_study_tells_the_demand_of_each_gas() {
    let lines = study::demand("six-man", 2).expect("runs");
    assert!(lines.iter().any(|l| l.contains("P50")), "{lines:?}");
    assert!(
        lines.iter().any(|l| l.starts_with("minimum of")),
        "{lines:?}"
    );
}

#[test]
fn a_wrong_name_says_what_would_be_right() {
    let error = run_a_job::moved("shrot").expect_err("no such job");
    assert!(
        error.remedy().is_some_and(|r| r.contains("short")),
        "{error}"
    );
    assert_eq!(error.place().map(|p| p.file.as_str()), Some("shrot"));
}

#[test]
fn half_an_hour_at_saturation_control() {
    let lines = sit_on_the_watch::sit("short").expect("sits");
    assert_eq!(lines[0], "take saturation: done");
    assert_eq!(lines[1], "make-up living 2 %: done");
    assert!(
        lines.contains(&"open transfer to trunk: door under pressure".to_owned()),
        "{lines:?}"
    );
    assert_eq!(
        lines.last().map(String::as_str),
        Some("hand-over saturation: done")
    );
}
