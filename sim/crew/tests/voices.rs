//! The file of voices: every phrase has its row for every way in which somebody may stand, and a file that lacks one,
//! has one twice, or says what cannot be does not load, and says where.

use deepstay_core::record::{Called, Fitness, PhraseKind};
use deepstay_crew::voices::{BUILT_IN_VOICES, Manner, Unasked, Voices};

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
        assert!(voices.unasked(says).is_some());
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
