//! The file of voices: every phrase has its row for every way in which somebody may stand, and a file that lacks one,
//! has one twice, or says what cannot be does not load, and says where.

use deepstay_core::record::{Called, Fitness, PhraseKind, Spoken};
use deepstay_core::units::Quantity;
use deepstay_crew::voices::{Answers, BUILT_IN_VOICES, Drawn, Gauge, Manner, Unasked, Voices};

const STATES: [Fitness; 5] = [
    Fitness::Well,
    Fitness::Slow,
    Fitness::Confused,
    Fitness::Out,
    Fitness::Dead,
];

/// The enums are walked here again, apart from the reader of the file.
#[test]
fn every_phrase_has_an_answer_in_every_state() {
    let voices = Voices::built_in();
    let mut rows = 0;
    for called in Called::ALL {
        for phrase in PhraseKind::ALL {
            let understood = called.understands().contains(phrase);
            for state in STATES {
                let has = voices.answers(called, *phrase, Some(state));
                assert_eq!(has.is_some(), understood && called == Called::Divers);
                rows += usize::from(has.is_some());
                let Some(row) = has else { continue };
                let whole: f64 = [Manner::Right, Manner::Late, Manner::Wrong, Manner::Nothing]
                    .map(|m| row.chance(m))
                    .iter()
                    .sum();
                assert!((whole - 1.0).abs() < 1e-9);
                assert!(row.source.len() > 5);
                match state {
                    Fitness::Well => {
                        assert!(row.chance(Manner::Right) > 0.9);
                        assert_eq!(row.chance(Manner::Wrong), 0.0);
                    }
                    // The house's state model: one act in ten left out.
                    Fitness::Slow => assert!((row.chance(Manner::Nothing) - 0.1).abs() < 1e-9),
                    Fitness::Confused => assert!(row.chance(Manner::Wrong) > 0.05),
                    Fitness::Out | Fitness::Dead => {
                        assert_eq!(row.chance(Manner::Nothing), 1.0);
                    }
                }
            }
            let has = voices.answers(called, *phrase, None).is_some();
            assert_eq!(has, understood && called != Called::Divers);
            rows += usize::from(has);
        }
    }
    assert_eq!(rows, voices.answer_rows().count());
    assert_eq!(rows, Voices::asked_of_a_file().count());
    for says in Unasked::ALL {
        assert_eq!(voices.unasked(says).map(|row| row.says), Some(says));
    }
}

/// No state answers sooner or oftener right than one that is better.
#[test]
fn who_fares_worse_answers_no_better() {
    let voices = Voices::built_in();
    for phrase in Called::Divers.understands() {
        let row = |state| {
            voices
                .answers(Called::Divers, *phrase, Some(state))
                .expect("a row")
        };
        for pair in STATES.windows(2) {
            let (better, worse) = (row(pair[0]), row(pair[1]));
            let right = |row: &deepstay_crew::voices::Answers| {
                row.chance(Manner::Right) + row.chance(Manner::Late)
            };
            assert!(right(better) >= right(worse), "{phrase:?} {pair:?}");
            assert!(better.chance(Manner::Nothing) <= worse.chance(Manner::Nothing));
            let soonest = |row: &deepstay_crew::voices::Answers| {
                [Manner::Right, Manner::Late]
                    .iter()
                    .filter_map(|m| row.range_s(*m))
                    .map(|r| r.0)
                    .min()
            };
            if let (Some(better), Some(worse)) = (soonest(better), soonest(worse)) {
                assert!(better <= worse, "{phrase:?} {pair:?}");
            }
        }
    }
}

fn spoilt(from: &str, to: &str) -> String {
    let text = BUILT_IN_VOICES.replacen(from, to, 1);
    assert_ne!(text, BUILT_IN_VOICES, "{from}");
    Voices::read("ours.ron", &text).expect_err(from).to_string()
}

#[test]
fn what_is_wrong_in_a_file_is_told() {
    for (from, to, said) in [
        // A missing pair, a pair twice.
        (
            "phrases: [Listen, HeadCount], states: [Well]",
            "phrases: [Listen], states: [Well]",
            "no row says what comes of `HeadCount` (\"head count\") to whoever is among Divers and is Well",
        ),
        (
            "phrases: [Listen, HeadCount], states: [Well]",
            "phrases: [Listen, HeadCount], states: [Well, Slow]",
            "`Listen` (\"listen for gas\") to whoever is among Divers and is Slow has its row above already",
        ),
        ("states: [Out, Dead]", "states: [Out]", "and is Dead"),
        // Chances, ranges.
        (
            "Right(chance: \"95 %\"",
            "Right(chance: \"90 %\"",
            "the chances make up 95",
        ),
        (
            "least: \"2 s\", most: \"6 s\"",
            "least: \"7 s\", most: \"6 s\"",
            "the least is more than the most",
        ),
        (
            "Late(chance: \"4 %\", least: \"8 s\"",
            "Late(chance: \"4 %\", least: \"5 s\"",
            "a late answer comes later than every right one",
        ),
        (
            "least: \"5 min\", most: \"10 min\"",
            "least: \"5 min\", most: \"2 h\"",
            "an answer takes an hour at the most",
        ),
        // What cannot be.
        (
            "states: [Out, Dead], comes: [Nothing(chance: \"100 %\")]",
            "states: [Out, Dead], comes: [Late(chance: \"1 %\", least: \"1 s\", most: \"2 s\"), Nothing(chance: \"99 %\")]",
            "who is out or dead does not answer",
        ),
        (
            "from: [Bridge], phrases: [Weather,",
            "from: [Bridge], phrases: [BibsOn, Weather,",
            "`BibsOn` makes no sense to Bridge; they understand Weather, Position",
        ),
        (
            "from: [Station], phrases: [Ask],",
            "from: [Station], phrases: [Ask], states: [Well],",
            "only divers have states",
        ),
        (
            "phrases: [ReadYourGauge], states: [Well],",
            "phrases: [ReadYourGauge],",
            "a row of divers says in which states",
        ),
        (
            "phrases: [CheckValve]",
            "phrases: [ChekValve]",
            "CheckValve",
        ),
        // Unasked.
        ("says: Ears", "says: Hot", "Hot stands above already"),
        (
            "says: Ears",
            "says: Hot",
            "no row says how Ears is spoken of",
        ),
        (
            "chance: \"10 %\", least: \"0 s\"",
            "chance: \"10 %\", least: \"3 min\"",
            "the least is more than the most",
        ),
        // Figures.
        (
            "gas_heard: (value: \"3 mm2\"",
            "gas_heard: (value: \"30 mm2\"",
            "does not lie within its own range",
        ),
        (
            "wrong_least: (value: \"10 %\", low: \"5 %\", high: \"30 %\"",
            "wrong_least: (value: \"50 %\", low: \"5 %\", high: \"60 %\"",
            "the least is more than the most",
        ),
        (
            "spoken_of_every: (value: \"10 min\", low: \"1 min\"",
            "spoken_of_every: (value: \"10 s\", low: \"1 s\"",
            "each minute at the most",
        ),
        (
            "(depth: \"100 msw\", low: \"25 degC\"",
            "(depth: \"40 msw\", low: \"25 degC\"",
            "each is deeper than the one before",
        ),
        (
            "low: \"22 degC\", high: \"27 degC\"",
            "low: \"27 degC\", high: \"27 degC\"",
            "the lowest is less than the highest",
        ),
    ] {
        let told = spoilt(from, to);
        assert!(told.contains(said), "{from}: {told}");
        assert!(told.contains("ours.ron:"), "{told}");
    }
}

/// The built-in file with some of it written otherwise, which may be so.
fn changed(changes: &[(&str, &str)]) -> Voices {
    let mut text = BUILT_IN_VOICES.to_owned();
    for (from, to) in changes {
        assert!(text.contains(from), "{from}");
        text = text.replacen(from, to, 1);
    }
    Voices::read("ours.ron", &text).unwrap_or_else(|told| panic!("{changes:?}: {told}"))
}

/// What lies on an edge may be so; beyond it, above, it is refused.
#[test]
fn what_lies_on_an_edge_is_taken() {
    for (from, to) in [
        (
            "waking_least: (value: \"20 s\", low: \"5 s\", high: \"60 s\"",
            "waking_least: (value: \"100 s\", low: \"5 s\", high: \"100 s\"",
        ),
        (
            "wrong_least: (value: \"10 %\", low: \"5 %\", high: \"30 %\"",
            "wrong_least: (value: \"40 %\", low: \"5 %\", high: \"40 %\"",
        ),
        (
            "spoken_of_every: (value: \"10 min\"",
            "spoken_of_every: (value: \"60 s\"",
        ),
        (
            "least: \"5 min\", most: \"10 min\"",
            "least: \"5 min\", most: \"1 h\"",
        ),
        (
            "least: \"0 s\", most: \"2 min\"",
            "least: \"0 s\", most: \"1 h\"",
        ),
        (
            "states: [Out, Dead], comes: [Nothing(chance: \"100 %\")]",
            "states: [Out, Dead], comes: [Late(chance: \"0 %\", least: \"1 s\", most: \"2 s\"), Nothing(chance: \"100 %\")]",
        ),
    ] {
        changed(&[(from, to)]);
    }
    for (from, to, said) in [
        (
            "waking_least: (value: \"20 s\", low: \"5 s\", high: \"60 s\"",
            "waking_least: (value: \"101 s\", low: \"5 s\", high: \"101 s\"",
            "the least is more than the most",
        ),
        (
            "least: \"0 s\", most: \"2 min\"",
            "least: \"0 s\", most: \"61 min\"",
            "within an hour, or not",
        ),
        (
            "gas_heard: (value: \"3 mm2\", low: \"1 mm2\"",
            "gas_heard: (value: \"0 mm2\", low: \"0 mm2\"",
            "every figure is more than nothing",
        ),
    ] {
        let told = spoilt(from, to);
        assert!(told.contains(said), "{from}: {told}");
    }
}

/// How many more rows are missing is counted: of fourteen phrases to the dead thirteen beside the first, and beside one
/// alone none.
#[test]
fn how_many_rows_are_missing_is_counted() {
    let dead = spoilt("states: [Out, Dead]", "states: [Out]");
    assert!(dead.contains(", and 13 more"), "{dead}");
    let one = spoilt(
        "phrases: [Listen, HeadCount], states: [Well]",
        "phrases: [Listen], states: [Well]",
    );
    assert!(!one.contains(" more"), "{one}");
}

/// By the file: a portable analyser is read to 10 mbar and may be 15 mbar off, and so on; nobody hangs an analyser that shows
/// percent, or a gauge of the sea, inside.
#[test]
fn gauges_are_read_as_the_file_says() {
    let voices = Voices::built_in();
    for (quantity, read_to, error) in [
        (Quantity::Depth, 0.5, 0.5),
        (Quantity::Temperature, 0.5, 0.5),
        (Quantity::Humidity, 0.05, 0.05),
        (Quantity::PpO2, 0.010, 0.015),
        (Quantity::PpCo2, 0.0005, 0.001),
        (Quantity::GaugePressure, 5.0, 4.0),
    ] {
        let Some(gauge) = voices.gauge(quantity) else {
            panic!("{quantity:?} has a gauge");
        };
        let near = |ours: f64, by_file: f64| (ours / by_file - 1.0).abs() < 1e-9;
        assert!(
            near(gauge.read_to, read_to) && near(gauge.error, error),
            "{quantity:?}: {gauge:?}"
        );
    }
    let none: [Option<Gauge>; 2] = [Quantity::FO2, Quantity::SeaDepth].map(|q| voices.gauge(q));
    assert_eq!(none, [None, None]);
}

fn how_are_you(voices: &Voices) -> &Answers {
    let well = Some(Fitness::Well);
    let row = voices.answers(Called::Divers, PhraseKind::HowAreYou, well);
    row.expect("a row")
}

/// By the file: of a man who is well 95 % answer rightly within 2 to 6 s, 4 % late within 8 to 20 s, and 1 % not at all.
/// Of the five whole seconds from 2 to 6 each has a fifth of the variate.
#[test]
fn what_is_drawn_goes_by_chances_and_ranges() {
    let row = how_are_you(Voices::built_in());
    let drawn = |which, when| {
        let Drawn { manner, after_s } = row.drawn(which, when);
        (manner, after_s)
    };
    let end = 1.0_f64.next_down();
    assert_eq!(drawn(0.0, 0.0), (Manner::Right, 2));
    assert_eq!(drawn(0.949, end), (Manner::Right, 6));
    let right = row.chance(Manner::Right);
    assert!((right - 0.95).abs() < 1e-12);
    assert_eq!(drawn(right.next_down(), 0.0), (Manner::Right, 2));
    assert_eq!(drawn(right, 0.0), (Manner::Late, 8));
    assert_eq!(drawn(0.989, end), (Manner::Late, 20));
    assert_eq!(drawn(0.991, 0.5), (Manner::Nothing, 0));
    assert_eq!(drawn(end, end), (Manner::Nothing, 0));
    for (when, after_s) in [
        (0.199, 2),
        (0.201, 3),
        (0.399, 3),
        (0.401, 4),
        (0.601, 5),
        (0.799, 5),
        (0.801, 6),
        (1.0, 6),
    ] {
        assert_eq!(drawn(0.5, when), (Manner::Right, after_s), "{when}");
    }
    assert_eq!(row.range_s(Manner::Right), Some((2, 6)));
    assert_eq!(row.range_s(Manner::Late), Some((8, 20)));
    assert_eq!(row.range_s(Manner::Wrong), None);
    assert_eq!(row.range_s(Manner::Nothing), Some((0, 0)));
}

/// What has no chance is never drawn, not even by the last variate.
#[test]
fn what_has_no_chance_is_never_drawn() {
    let voices = changed(&[(
        "Right(chance: \"95 %\", least: \"2 s\", most: \"6 s\"), Late(chance: \"4 %\", least: \"8 s\", most: \"20 s\"), Nothing(chance: \"1 %\")",
        "Wrong(chance: \"0 %\", least: \"1 s\", most: \"1 s\"), Right(chance: \"100 %\", least: \"2 s\", most: \"6 s\"), Nothing(chance: \"0 %\")",
    )]);
    for which in [0.0, 0.5, 1.0] {
        assert_eq!(how_are_you(&voices).drawn(which, 0.0).manner, Manner::Right);
    }
}

/// What he says by himself and what is heard are told apart by each other; what others hear of him he does not say.
#[test]
fn what_is_said_unasked_is_known_by_what_is_heard() {
    for says in Unasked::ALL {
        assert_eq!(Unasked::of(says.spoken()), Some(says));
    }
    assert_eq!(Unasked::of(Spoken::NoAnswer), None);
    assert_eq!(Unasked::of(Spoken::SlowAnswers), None);
}

/// By the file: cold is said at once and always, ears by one in ten within two minutes, each of the 121 seconds as likely.
/// Always is not yet at once, nor at once always.
#[test]
fn how_likely_and_how_late_he_says_it_by_the_file() {
    let of = |voices: &Voices, says| voices.unasked(says).expect("a row").clone();
    let built_in = Voices::built_in();
    let (cold, ears) = (of(built_in, Unasked::Cold), of(built_in, Unasked::Ears));
    assert!(cold.is_certain() && !ears.is_certain());
    assert_eq!(cold.after_s(0.999, 0.999), Some(0));
    assert_eq!(ears.after_s(0.0999, 0.0), Some(0));
    assert_eq!(ears.after_s(0.0, 60.5 / 121.0), Some(60));
    assert_eq!(ears.after_s(0.0, 1.0_f64.next_down()), Some(120));
    assert_eq!(ears.after_s(0.10, 0.0), None);
    assert_eq!(ears.after_s(0.9, 0.0), None);
    let late = changed(&[(
        "chance: \"10 %\", least: \"0 s\"",
        "chance: \"100 %\", least: \"0 s\"",
    )]);
    assert!(!of(&late, Unasked::Ears).is_certain());
    let rare = changed(&[(
        "chance: \"10 %\", least: \"0 s\", most: \"2 min\"",
        "chance: \"10 %\", least: \"0 s\", most: \"0 s\"",
    )]);
    assert!(!of(&rare, Unasked::Ears).is_certain());
}

/// A scenario's fingerprint prints the voices: whatever is written in them tells two apart.
#[test]
fn another_file_prints_otherwise() {
    let built_in = format!("{:?}", Voices::built_in());
    assert!(built_in.len() < 40, "{built_in}");
    let again = Voices::read("ours.ron", BUILT_IN_VOICES).expect("it is right");
    assert_eq!(format!("{again:?}"), built_in);
    for (from, to) in [
        ("most: \"6 s\"", "most: \"7 s\""),
        ("no figure found", "ours"),
        ("depth: \"50 msw\"", "depth: \"51 msw\""),
    ] {
        let other = Voices::read("ours.ron", &BUILT_IN_VOICES.replacen(from, to, 1));
        assert_ne!(
            format!("{:?}", other.expect("it is right")),
            built_in,
            "{from}"
        );
    }
}
