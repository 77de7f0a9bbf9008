//! Which set answers which question, and what each set says of its own figures.

use deepstay_core::record::Phase;
use deepstay_rules::{Question, RuleRefusal, RuleSet, Status, builtin, builtin_names};

fn ask(
    set: &RuleSet,
    question: Question,
    depth: f64,
    accepted: &[String],
) -> Result<(), RuleRefusal> {
    match question {
        Question::Compression => set.compression(depth, accepted).map(drop),
        Question::StorageOxygen => set.storage_oxygen(accepted).map(drop),
        Question::Decompression => set.decompression(depth, 0, accepted).map(drop),
        Question::DecompressionStart => set.decompression_start(accepted).map(drop),
        Question::Emergency => set.emergency_decompression(depth, 0, accepted).map(drop),
        Question::Excursion => set.excursion(depth, depth + 1.0, accepted).map(drop),
        Question::Climate => set.climate(depth, accepted).map(drop),
        Question::Limits => match set.limits(Phase::Storage, depth, accepted).len() {
            0 => Err(RuleRefusal {
                set: set.name.clone(),
                question,
                missing: Vec::new(),
            }),
            _ => Ok(()),
        },
        Question::Absorbent => set.absorbent_change(accepted).map(drop),
        Question::Calibration => set.calibration_every_s(accepted).map(drop),
        Question::Logging => set.log_every_s(accepted).map(drop),
        Question::Hygiene => set.hygiene(accepted).map(drop),
        Question::WorkingTime => set.working_time(depth, accepted).map(drop),
        Question::BellCrew => set.bell_crew(accepted).map(drop),
        Question::SaturationLength => set.saturation_length(depth, accepted).map(drop),
        Question::Co2Sizing => set.co2_sizing(accepted).map(drop),
        Question::Co2Actual => set.co2_actual(accepted).map(drop),
        Question::O2Sizing => set.o2_sizing(accepted).map(drop),
        Question::WorkOxygen => set.work_oxygen(3600, accepted).map(drop),
        Question::GasDensity => set.gas_density(accepted).map(drop),
        Question::MaskTime => set.mask_time(accepted).map(drop),
    }
}

/// The sets, in the order of the columns below.
const SETS: [&str; 18] = [
    "demonstration",
    "us-navy",
    "accelerated",
    "france-2012",
    "france",
    "norway",
    "uk",
    "brazil-2025",
    "canada",
    "canada-nl",
    "united-states",
    "industry",
    "china-2021",
    "norway-companion",
    "uk-companion",
    "brazil-2025-companion",
    "france-2012-companion",
    "canada-companion",
];
/// Which set answers which question at 118 and at 200 msw, read off their files: `y` as it stands, `a` only where
/// recalled rows are accepted, `.` not at all, because no row was seen or none reaches.
const ANSWERS: [(&str, &str, &str); 21] = [
    ("compression", "ya.y.........yyyyy", "aa...........aaa.a"),
    ("storage oxygen", "yy.yy........yyyyy", "yy.yy........yyyyy"),
    ("decompression", "ya...........yyyyy", "ya...........yyyyy"),
    (
        "decompression start",
        "yy.....y.....yyyyy",
        "yy.....y.....yyyyy",
    ),
    (
        "emergency decompression",
        "yay..........yyyyy",
        ".a................",
    ),
    ("excursion", "aa................", "aa................"),
    ("climate", "y..y.........yyyyy", "y..y.........yyyyy"),
    ("alarm limits", "yy.yy....y...yyyyy", "yy.yy....y...yyyyy"),
    (
        "absorbent change",
        "yy...........yyyyy",
        "yy...........yyyyy",
    ),
    ("calibration", "y.......yy...yyyyy", "y.......yy...yyyyy"),
    ("log interval", "ya......yy...yyyyy", "ya......yy...yyyyy"),
    ("hygiene", "yy...........yyyyy", "yy...........yyyyy"),
    ("working time", "y..yyyyyy....yyyyy", "y..yyyyyy....yyyyy"),
    ("bell crew", "y.......y.y......y", "y.......y.y......y"),
    (
        "saturation length",
        "y..yyyaayy...yaayy",
        "y..yyyaayy...yaayy",
    ),
    (
        "carbon dioxide, sizing",
        "y..y.........yyyyy",
        "y..y.........yyyyy",
    ),
    (
        "carbon dioxide, measured",
        "y............yyyyy",
        "y............yyyyy",
    ),
    ("oxygen, sizing", "y..y.........yyyyy", "y..y.........yyyyy"),
    ("oxygen at work", "y..yy........yyyyy", "y..yy........yyyyy"),
    ("gas density", "y..yy........yyyyy", "y..yy........yyyyy"),
    ("time on a mask", "y....y.......y....", "y....y.......y...."),
];

#[test]
fn which_set_answers_which_question() {
    assert_eq!(builtin_names().collect::<Vec<_>>(), SETS);
    assert_eq!(Question::ALL.len(), ANSWERS.len());
    let sets: Vec<RuleSet> = SETS.map(|name| builtin(name).expect("built in")).into();
    for (question, (words, at_118, at_200)) in Question::ALL.into_iter().zip(ANSWERS) {
        assert_eq!(question.words(), words);
        for (depth, printed) in [(118.0, at_118), (200.0, at_200)] {
            let answers: String = sets
                .iter()
                .map(|set| {
                    let everything: Vec<String> =
                        set.provenance().into_iter().map(|line| line.id).collect();
                    match (
                        ask(set, question, depth, &[]),
                        ask(set, question, depth, &everything),
                    ) {
                        (Ok(()), _) => 'y',
                        (Err(_), Ok(())) => 'a',
                        (_, Err(refusal)) => {
                            // Nothing is refused without the row that is missing, but for limits, of which a set may
                            // have none.
                            assert!(
                                !refusal.missing.is_empty() || question == Question::Limits,
                                "{}, {words}",
                                set.name
                            );
                            '.'
                        }
                    }
                })
                .collect();
            assert_eq!(answers, printed, "{words} at {depth} msw");
        }
    }
}

/// The demonstration set answers everything but the excursion at 118 msw without accepting anything.
#[test]
fn the_house_set_needs_no_acceptance() {
    let set = builtin("demonstration").expect("built in");
    for question in Question::ALL {
        let answer = ask(&set, question, 118.0, &[]);
        assert_eq!(
            answer.is_ok(),
            question != Question::Excursion,
            "{}: {answer:?}",
            question.words()
        );
    }
}

/// Sets without compression or decompression rows refuse a job and name the missing row.
#[test]
fn sets_without_rows_refuse() {
    for name in [
        "norway",
        "uk",
        "brazil-2025",
        "france",
        "canada",
        "canada-nl",
        "france-2012",
        "us-navy",
        "united-states",
        "industry",
        "china-2021",
    ] {
        let set = builtin(name).expect("built in");
        let up = || set.decompression(118.0, 0, &[]).map(drop);
        let refused = set.compression(118.0, &[]).map(drop).and_then(|()| up());
        let refusal = refused.expect_err(name);
        assert!(!refusal.missing.is_empty(), "{name}");
        println!("{refusal}");
    }
}

/// Every figure prints with its document; a recalled one is never usable without acceptance.
#[test]
fn provenance_is_whole() {
    for name in builtin_names() {
        for line in builtin(name).expect("built in").provenance() {
            assert!(
                !line.figures.is_empty() && line.source.document.len() > 8,
                "{}",
                line.id
            );
            if line.source.status == Status::Recalled {
                assert!(line.needs_acceptance, "{}", line.id);
            }
            println!(
                "{name:14} {:34} {:12} {} | {}",
                line.id,
                line.source.status.to_string(),
                line.figures,
                line.source.document
            );
        }
    }
}
