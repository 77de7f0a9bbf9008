//! `run` says the worst thing first: on the screen, at the head of the page, in `job.json` and by its exit code.

use super::{folder, run};
use serde_json::Value;
use std::fs;

/// What a run left: exit code, first line of the screen, `job.json`, the page and `alarms.csv`.
struct Left {
    code: i32,
    first: String,
    job: Value,
    page: String,
    alarms: String,
}

/// Runs the short job with its text changed.
fn changed(change: impl Fn(String) -> String) -> Left {
    run_changed(change, &[])
}

/// The same with more options.
fn run_changed(change: impl Fn(String) -> String, more: &[&str]) -> Left {
    let f = folder();
    assert_eq!(run(&f, &["new", "mine", "--from", "short"]).0, 0);
    let path = f.path().join("mine.ron");
    let before = fs::read_to_string(&path).expect("readable");
    fs::write(&path, change(before)).expect("written");
    let (code, screen, err) = run(&f, &[&["run", "mine.ron", "--out", "o"], more].concat());
    assert!(code < 3, "{err}");
    let text = |name: &str| fs::read_to_string(f.path().join("o").join(name)).expect(name);
    let left = Left {
        code,
        first: screen.lines().next().expect("a line").to_owned(),
        job: serde_json::from_str(&text("job.json")).expect("JSON"),
        page: text("report.html"),
        alarms: text("alarms.csv"),
    };
    println!("{code}: {}\n{}", left.first, left.job["ended_because"]);
    left
}

/// The short job with a fault.
fn with(fault: &str) -> Left {
    changed(|text| with_fault(&text, fault))
}

fn with_fault(text: &str, fault: &str) -> String {
    let end = text.rfind(')').expect("the end of the job");
    format!("{}    faults: (planned: [{fault}]),\n)\n", &text[..end])
}

impl Left {
    /// Whether a limit of the living chamber's depth was crossed.
    fn crossed(&self, side: &str, by: &str) -> bool {
        let limits = self.job["limits_crossed"].as_array().expect("a list");
        limits.iter().any(|l| {
            l["compartment"] == "Living"
                && l["quantity"] == "depth"
                && l["side"] == side
                && l["by"] == by
        })
    }

    /// The page before its first section.
    fn head(&self) -> &str {
        self.page.split("<h2>").next().expect("a head")
    }
}

#[test]
fn a_quiet_job_is_complete_and_raises_no_alarm_of_depth() {
    let left = changed(|text| text);
    assert_eq!(left.code, 0);
    assert!(
        left.first
            .starts_with("COMPLETE: all divers at the surface")
    );
    assert_eq!(left.job["how_it_ended"], "complete");
    assert_eq!(left.job["complete"], true);
    assert!(!left.alarms.contains("depth"), "{}", left.alarms);
}

/// Half an inch lets six men at 60 msw down to the surface in half an hour (choked flow, `tests/evidence/hole.rs`).
#[test]
fn men_who_died_of_lost_pressure_are_the_first_thing_told() {
    let left = with(r#"(at: "1d 06:00", what: Leak(compartment: "Living", bore: "12.7 mm"))"#);
    assert_eq!(left.code, 2);
    assert!(left.first.starts_with("SOMEBODY DEAD: "), "{}", left.first);
    assert_eq!(left.job["how_it_ended"], "people-dead");
    assert_eq!(left.job["complete"], false);
    let reason = left.job["ended_because"].as_str().expect("words");
    assert!(reason.contains("dead (lost pressure)"), "{reason}");
    assert!(reason.contains("lost their pressure in Living"), "{reason}");
    let unwell = left.job["people_unwell"].as_array().expect("a list");
    let dead = |p: &serde_json::Value| p["worst"] == "dead" && p["of"] == "lost pressure";
    assert!(unwell.iter().any(dead), "{unwell:?}");
    assert!(left.head().contains("Somebody dead") && left.head().contains(reason));
    assert!(left.crossed("low", "true") && left.crossed("low", "indicated"));
    assert!(left.alarms.contains("depth"), "{}", left.alarms);
}

/// The first death ends a job; asked to go on it goes on, tells of the dead first all the same, and of more of them. The
/// page names the source of each figure by which they died.
#[test]
fn a_job_that_goes_on_after_a_death_still_says_that_somebody_is_dead() {
    let fault = r#"(at: "1d 06:00", what: Leak(compartment: "Living", bore: "12.7 mm"))"#;
    let text = |text: String| with_fault(&text, fault);
    let (ends, goes_on) = (changed(text), run_changed(text, &["--go-on"]));
    assert_eq!((ends.code, goes_on.code), (2, 2));
    assert!(
        goes_on.first.starts_with("SOMEBODY DEAD: "),
        "{}",
        goes_on.first
    );
    let hours = |left: &Left| left.job["ended_hour"].as_f64().expect("hours");
    let dead = |left: &Left| {
        let unwell = left.job["people_unwell"].as_array().expect("a list");
        unwell.iter().filter(|p| p["worst"] == "dead").count()
    };
    println!(
        "{} dead after {} h, {} after {} h",
        dead(&ends),
        hours(&ends),
        dead(&goes_on),
        hours(&goes_on)
    );
    assert!(dead(&goes_on) > dead(&ends) && hours(&goes_on) > hours(&ends));
    assert!(goes_on.page.contains("J. Appl. Physiol. 112:396"));
}

/// The living chamber's gauge shows the bell: it is pressed on, far past what is ordered.
#[test]
fn a_depth_that_only_the_truth_crosses_is_told_although_the_gauge_agrees() {
    let left = with(
        r#"(at: "0 s", what: CrossConnected(instrument: (of: "Living", quantity: Depth, channel: Primary), to: "Bell"))"#,
    );
    assert_ne!(left.code, 0);
    assert!(!left.first.starts_with("COMPLETE"), "{}", left.first);
    assert!(left.crossed("high", "true") && !left.crossed("high", "indicated"));
}

/// Divers' gas that nobody can breathe where they work is refused before there is a job: the banks are full, and
/// the gas is the reason that is told.
#[test]
fn a_job_whose_divers_could_not_breathe_is_refused() {
    let f = folder();
    assert_eq!(run(&f, &["new", "mine", "--from", "short"]).0, 0);
    let path = f.path().join("mine.ron");
    let unfit = |line: &str| match line.contains("duty: DiverGas") {
        true => line.replace("8 %", "30 %"),
        false => line.to_owned(),
    };
    let text = fs::read_to_string(&path).expect("readable");
    let lines: Vec<String> = text.lines().map(unfit).collect();
    fs::write(&path, lines.join("\n")).expect("written");
    for verb in ["check", "run"] {
        let (code, out, err) = run(&f, &[verb, "mine.ron"]);
        assert_eq!((code, out.as_str()), (3, ""), "{err}");
        assert!(
            err.contains("no bank holds a gas for divers that can be breathed at 60 msw"),
            "{err}"
        );
    }
}

/// Banks all but empty: the runs are not made for want of gas.
#[test]
fn runs_not_made_for_want_of_gas_say_so() {
    let left = changed(|text| {
        let empty = |line: &str| match line.contains("duty: DiverGas") {
            true => line
                .replace("200 bar", "12 bar")
                .replace("180 bar", "12 bar"),
            false => line.to_owned(),
        };
        let lines: Vec<String> = text.lines().map(empty).collect();
        lines.join("\n")
    });
    assert_eq!(left.code, 1);
    let reason = left.job["ended_because"].as_str().expect("words");
    assert!(reason.contains("too little gas"), "{reason}");
    assert!(!reason.contains("unfit"), "{reason}");
}

/// The same fault on a spread whose alarm panel is empty: the same limits are crossed, the exit code is the same, and
/// nothing rings.
#[test]
fn what_a_run_is_worth_does_not_depend_on_the_panel() {
    let fault = r#"(at: "1d 06:00", what: Leak(compartment: "Living", bore: "12.7 mm"))"#;
    let bare = changed(|text| {
        let spreads = deepstay::scenario::SPREADS.iter();
        let spread = spreads
            .clone()
            .find(|s| s.name == "six-man")
            .expect("built in");
        let end = spread.text.rfind(')').expect("the end of the spread");
        let spread = format!("{}    alarms: [],\n)", &spread.text[..end]);
        assert!(text.contains("spread: \"six-man\""));
        let text = text.replacen("spread: \"six-man\"", &format!("spread: {spread}"), 1);
        let end = text.rfind(')').expect("the end of the job");
        format!("{}    faults: (planned: [{fault}]),\n)\n", &text[..end])
    });
    let fitted = with(fault);
    for field in ["how_it_ended", "limits_crossed", "attentions"] {
        assert_eq!(bare.job[field], fitted.job[field], "{field}");
    }
    assert_eq!((bare.code, &bare.first), (2, &fitted.first));
    assert_eq!(fitted.code, 2);
    let count = |left: &Left| left.job["alarms"]["count"].as_u64();
    assert_eq!(count(&bare), Some(0));
    assert!(count(&fitted) > Some(0));
    assert!(
        fitted.alarms.contains("saturation control"),
        "{}",
        fitted.alarms
    );
}
