//! The verb table read as a person types it: every example is understood and said back, names may be begun, what is not
//! understood has its reason and the nearest word, and what can follow is offered.

use deepstay_core::record::Station;
use deepstay_job::{Act, Options};
use deepstay_scenario::Scenario;
use deepstay_watch::{Session, Sheets, Start, TABLE, Verb, complete, in_words, parse};
use std::sync::Arc;

/// The short job in storage with a person at saturation control and the alarm of depth deviation ringing.
fn ringing() -> Session {
    let scenario = Arc::new(deepstay_scenario::load("short").expect("built in"));
    let mut session = Session::begin(scenario, Options::default(), Start::At(20 * 3600), |_| true);
    for line in ["take saturation", "storage living 50 msw"] {
        let asked = session.understand(line, Sheets::built_in()).expect(line);
        for (act, takes_s) in asked.acts {
            let done = session.act(Station::Saturation, act, takes_s, None);
            assert_eq!(done.expect("no journal"), Ok(()));
        }
    }
    session.advance_to(20 * 3600 + 600).expect("no journal");
    assert!(!session.indicated().alarms.is_empty());
    session
}

#[test]
fn every_example_is_understood_and_said_back() {
    let session = ringing();
    let (scenario, seen) = (session.scenario(), session.indicated());
    for row in TABLE {
        let asked = parse(row.example, scenario, &seen, Sheets::built_in())
            .unwrap_or_else(|e| panic!("{}: {e}", row.example));
        assert_eq!(asked.verb, row.verb);
        let several = matches!(row.verb, Verb::Stop | Verb::AutoOxygen);
        let by_number = asked
            .acts
            .iter()
            .any(|(a, _)| matches!(a, Act::Alarm { .. }));
        if several || by_number {
            continue;
        }
        let line = in_words(&asked.acts[0].0, scenario, asked.words.as_deref());
        let again = parse(&line, scenario, &seen, Sheets::built_in())
            .unwrap_or_else(|e| panic!("{line}: {e}"));
        assert_eq!(again.acts[0], asked.acts[0], "{line}");
    }
}

#[test]
fn names_and_verbs_may_be_begun_and_case_does_not_matter() {
    let session = ringing();
    let (scenario, seen) = (session.scenario(), session.indicated());
    let acts = |line: &str| {
        let asked = parse(line, scenario, &seen, Sheets::built_in())
            .unwrap_or_else(|e| panic!("{line}: {e}"));
        asked.acts
    };
    for (short, long) in [
        ("make LIV 10", "make-up Living 10 %"),
        ("blee liv shut", "bleed Living 0 %"),
        ("line-up supply liv m-1", "line-up supply Living M-1"),
        ("storage living 60", "storage living at 60 msw"),
        ("bell 58 msw", "bell Bell to 58 msw"),
        ("climate living 29 55", "climate living 29 degC 55 %"),
        (
            "oxygen living quarter for 20",
            "oxygen living 25 % for 20 s",
        ),
    ] {
        assert_eq!(acts(short), acts(long), "{short}");
    }
}

#[test]
fn what_is_not_understood_has_its_reason_and_the_nearest() {
    let session = ringing();
    let (scenario, seen) = (session.scenario(), session.indicated());
    for (line, said) in [
        ("", "nothing was said; a verb first, such as `make-up`"),
        (
            "mak-up living 10",
            "`mak-up` is no verb of the watch; did you mean `make-up`?",
        ),
        ("s living", "`s` begins several verbs"),
        (
            "make-up livign 10",
            "no vessel is called `livign`; did you mean `Living`?",
        ),
        (
            "make-up",
            "`make-up` wants a vessel; such as `make-up living 10 %`",
        ),
        ("make-up living", "`make-up` wants an opening"),
        (
            "make-up living lots",
            "`lots` is no opening; percent, or crack",
        ),
        (
            "make-up living 120 %",
            "a valve does not open 120 %; 0 to 100 %",
        ),
        ("make-up living -1 %", "a valve does not open -1 %"),
        (
            "make-up living 10 % now",
            "`now` is one word too many; the form is `make-up VESSEL",
        ),
        ("line-up supply living Q-9", "no bank is called `Q-9`"),
        ("storage living 60 bar", "`60 bar` is not a depth"),
        ("shelve 9 once", "`9` is no alarm on the list; 1 to "),
        ("shelve 1", "`shelve` wants for 20 min, or once"),
        ("fan living maybe", "`fan` wants `on` or `off`"),
        ("drain bell half", "there is no valve"),
        ("write", "`write` wants what is to be written"),
        ("oxygen living NaN", "a valve does not open NaN %"),
    ] {
        let why = parse(line, scenario, &seen, Sheets::built_in())
            .expect_err(line)
            .to_string();
        assert!(why.contains(said), "{line}: {why}");
    }
}

/// Whatever completion offers, put in place of what was typed, is offered again or understood.
#[test]
fn what_can_follow_is_offered() {
    let session = ringing();
    let (scenario, seen) = (session.scenario(), session.indicated());
    let offered = |line: &str| complete(line, scenario, &seen, Sheets::built_in()).offers;
    let line = "calibrate living ppO";
    let completion = complete(line, scenario, &seen, Sheets::built_in());
    assert_eq!(&line[..completion.from], "calibrate ");
    assert_eq!(offered("").len(), TABLE.len());
    assert_eq!(offered("make"), ["make-up"]);
    assert_eq!(offered("make-up li"), ["Living"]);
    assert_eq!(offered("make-up living q"), ["quarter"]);
    assert_eq!(offered("line-up supply "), vessel_lines(scenario));
    assert_eq!(
        offered("calibrate living pp"),
        ["Living ppO2", "Living ppCO2"]
    );
    assert_eq!(offered("oxygen living quarter "), ["for"]);
    assert_eq!(offered("take "), ["saturation", "dive"]);
    assert_eq!(offered("fan living o"), ["on", "off"]);
    assert!(offered("nonsense ").is_empty());
    assert!(offered("silence ").is_empty());
}

fn vessel_lines(scenario: &Scenario) -> Vec<String> {
    let all = scenario.steel.compartments.iter();
    all.map(|c| format!("supply {}", c.name)).collect()
}
