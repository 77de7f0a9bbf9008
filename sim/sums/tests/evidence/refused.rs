//! What is missing, contradictory or impossible is refused with the reason and what would be right.

use deepstay_sums::{Question, SumError, sum};

fn told(line: &str) -> String {
    let mut words = line.split(' ');
    let name = words.next().expect("a sum");
    let found = sum(name).and_then(|of| {
        let mut question = Question::of(of);
        for word in words {
            question.read(&word.replace('_', " "))?;
        }
        question
            .answer()
            .map(|answer| answer.figures[0].words.clone())
    });
    found.map_or_else(
        |e: SumError| e.to_string(),
        |words| panic!("{line}: {words}"),
    )
}

/// A line and words that its refusal says.
#[rustfmt::skip]
const REFUSED: [(&str, &[&str]); 43] = [
    ("gas-avialable", &["did you mean `gas-available`?"]),
    ("gas-available bottels=48", &["has no `bottels`", "did you mean `bottles`?", "change-over"]),
    ("gas-available 48", &["is no input", "like bottles=48"]),
    ("gas-available gauge", &["is no input", "like gauge=164bar"]),
    ("gas-available bottles=48 volume=50L gauge=16400kPaa change-over=35bar", &["gauge:", "a unit of an absolute pressure"]),
    ("gas-available bottles=48 bottles=49", &["given twice"]),
    ("gas-available bottles=48 volume=50L", &["lacks gauge and change-over", "give gauge and change-over: the answer is gas", "give change-over and gas: the answer is gauge", "give gauge and gas: the answer is change-over"]),
    ("gas-available bottles=48 volume=50L gas=200m3", &["lacks gauge and change-over", "give change-over: the answer is gauge"]),
    ("gas-available bottles=48 volume=50L gauge=? change-over=35bar", &["gauge is asked for", "give one of gas"]),
    ("gas-available bottles=? volume=? gauge=164bar", &["bottles and volume are both asked for"]),
    ("gas-available bottles=48 volume=50L gauge=164bar change-over=35bar gas=200m3", &["gas is given as 200 m3", "make it 309.6 m3", "leave out gas: it is 309.6 m3", "leave out gauge: it is 118.3 bar"]),
    ("gas-available bottles=48 volume=50L gauge=30bar change-over=35bar", &["change-over is 35 bar, above gauge of 30 bar"]),
    ("gas-available bottles=48 volume=50L gauge=164bara change-over=35bar", &["gauge:", "a unit of an absolute pressure"]),
    ("gas-available bottles=48 volume=50L gauge=164msw change-over=35bar", &["a unit of a depth"]),
    ("gas-available bottles=48 volume=50L gauge=164 change-over=35bar", &["has no unit"]),
    ("gas-available bottles=48 volume=50bra gauge=164bar change-over=35bar", &["unknown unit"]),
    ("gas-available bottles=-4 volume=50L gauge=164bar change-over=35bar", &["bottles", "a number"]),
    ("gas-available bottles=48 volume=50L change-over=35bar gas=90000000m3", &["out of range"]),
    ("gas-available bottles=48 volume=50L change-over=35bar gas=90000m3", &["no value of gauge from 0 bar to 1000 bar makes gas 90000 m3", "between 0 m3 and 2316 m3"]),
    ("absolute-pressure absolute=26barg", &["a unit of a gauge pressure"]),
    ("absolute-pressure absolute=0.6bar", &["no value of depth", "between 1 bar and 101 bar"]),
    ("divers-gas divers=2 depth=118msw time=-3h", &["time:", "lies between 0 h"]),
    ("divers-gas divers=2 depth=118bar time=3h", &["depth:", "this is a depth"]),
    ("ppo2-at-depth mix=120% depth=10msw", &["out of range"]),
    ("ppo2-at-depth ppo2=3bar depth=10msw", &["no value of mix from 0 % to 100 % makes ppo2 3 bar", "between 0 bar and 2 bar"]),
    ("ppo2-on-arrival to=100msw mix=2% from=50msw", &["lacks before"]),
    ("ppo2-on-arrival to=100msw mix=2% from=0msw before=1.4bar", &["before of 1.4 bar is more than the whole pressure there, 1 bar absolute"]),
    ("ppo2-on-arrival to=40msw mix=2% from=60msw before=0.4bar", &["`bleed` comes up"]),
    ("mixing held-mix=12% held=60bar top-mix=2% final=50bar", &["topping raises the pressure"]),
    ("mixing held-mix=4% held=60bar top-mix=? final=190bar final-mix=90%", &["no value of top-mix from 0 % to 100 % makes final-mix 90 %"]),
    ("mixing held-mix=4% held=? top-mix=4% final=190bar final-mix=4%", &["does not say what held is"]),
    ("bail-out volume=12L gauge=18bar depth=100msw", &["deliver nothing at 100 msw", "21 bar"]),
    ("depth-window mix=0%", &["may be breathed nowhere"]),
    ("decompression-clock from=100msw rates=1.4msw/h-to-16msw", &["the last of the rates ends deeper"]),
    ("decompression-clock from=100msw rates=0.6msw/h-to-16msw,1msw/h-to-20msw", &["shallower depth"]),
    ("altitude-depth depth=30msw barometer=843mbarg", &["barometer:", "a unit of a gauge pressure"]),
    ("gas-available =48", &["is no input", "like bottles=48"]),
    ("mixing held-mix=0% held=0bar top-mix=0% final=0bar", &["divided by final, which is 0 bar"]),
    ("on-board-oxygen bottles=2 volume=50L gauge=150bar people=0", &["divided by people, which is 0"]),
    ("ascent-time depth=190fsw ascent-rate=0fsw/min", &["divided by ascent-rate, which is 0 fsw/h"]),
    ("absolute-pressure depth=100msw surface=5bar", &["surface: 5 bar is no pressure of the air"]),
    ("absolute-pressure depth=100msw surface=0bar", &["surface: 0 bar is no pressure of the air"]),
    ("altitude-depth depth=30msw barometer=5bar", &["a barometer reads absolute"]),
];

#[test]
fn what_is_wrong_is_told_with_what_would_be_right() {
    for (line, says) in REFUSED {
        let words = told(line);
        println!("{line}\n  {words}");
        for word in says {
            assert!(words.contains(word), "{line}: {words}");
        }
    }
}

#[test]
fn a_choice_that_a_sum_has_not_is_refused() {
    use deepstay_sums::{Choice, Side};
    let mut question = Question::of(sum("next-step").expect("it"));
    let refused = question
        .on_side(Choice::Gas, Side::Other)
        .expect_err("refused");
    assert!(refused.to_string().contains("it has one convention only"));
    let mut question = Question::of(sum("absolute-pressure").expect("it"));
    let refused = question
        .on_side(Choice::Gas, Side::Other)
        .expect_err("refused");
    assert!(
        refused.to_string().contains("--pressure ten or exact"),
        "{refused}"
    );
}

proptest::proptest! {
    /// Whatever is written, there is an answer or a reason, and no answer that is no number.
    #[test]
    fn whatever_is_written_there_is_an_answer_or_a_reason(
        which in 0usize..46,
        texts in proptest::collection::vec("[-+]?[0-9]{0,4}[.]?[0-9]{0,3}(e9|e-9)?( |_)?(bar|msw|fsw|psi|m3|L|ft3|%|min|h|degC|kg|L/min|L/kg|msw/h|)", 12),
        asked in 0usize..12,
    ) {
        let of = deepstay_sums::sums().nth(which).expect("a sum");
        let mut question = Question::of(of);
        for (k, name) in of.names().enumerate() {
            let text = if k == asked { "?" } else { texts[k % texts.len()].as_str() };
            // A text that is refused leaves the name without a value.
            let _ = question.read(&format!("{}={text}", name.text()));
        }
        if let Ok(answer) = question.answer() {
            assert!(answer.figures.iter().all(|f| f.value.is_finite()), "{answer:?}");
        }
    }
}

/// Each input at its ends, forwards: an answer that is a number, or a reason in words that are none of a machine's.
#[test]
fn at_the_ends_of_its_inputs_a_sum_answers_or_says_why_not() {
    use deepstay_core::units::Units;
    use deepstay_sums::{Name, Side};
    let words = |sum: &str, told: String| {
        let plain = !told.contains("NaN") && !told.contains("inf ") && !told.contains("-0 ");
        assert!(plain, "{sum}: {told}");
    };
    for sum in deepstay_sums::sums() {
        for ask in sum.asks.iter().filter(|ask| ask.name != Name::Rates) {
            let (low, high) = ask.name.kind().bounds();
            for (value, units, side) in [low, 1e-9 * high, high].into_iter().flat_map(|value| {
                let both = [Units::Metric, Units::Imperial];
                both.map(|units| (value, units, Side::Hand))
                    .into_iter()
                    .chain(both.map(|units| (value, units, Side::Other)))
            }) {
                let mut question = Question::of(sum);
                question.in_units(units);
                for choice in sum.choices {
                    question.on_side(*choice, side).expect("it has it");
                }
                let own = format!("{}=", ask.name.text());
                for input in sum
                    .example_in(units)
                    .split(' ')
                    .filter(|i| !i.starts_with(&own))
                {
                    question.read(input).expect("it reads");
                }
                question.take(ask.name, value, "an end");
                match question.answer() {
                    Err(why) => words(sum.name, why.to_string()),
                    Ok(answer) => {
                        for figure in &answer.figures {
                            assert!(figure.value.is_finite(), "{}: {figure:?}", sum.name);
                            words(sum.name, format!("{} ", figure.words));
                        }
                        words(sum.name, answer.notes.join(" "));
                        for beside in answer.beside {
                            words(
                                sum.name,
                                match beside.outcome {
                                    Ok(figure) => format!("{} ", figure.words),
                                    Err(why) => why,
                                },
                            );
                        }
                    }
                }
            }
        }
    }
}

/// Real gas above its fit is said.
#[test]
fn a_pressure_beyond_the_gas_model_is_noted() {
    use deepstay_sums::{Choice, Side};
    let mut question = Question::of(sum("gas-available").expect("it"));
    for input in [
        "bottles=1",
        "volume=50L",
        "gauge=300bar",
        "change-over=20bar",
    ] {
        question.read(input).expect("it reads");
    }
    assert!(question.answer().expect("it").notes.is_empty());
    question.on_side(Choice::Gas, Side::Other).expect("it");
    let notes = question.answer().expect("it").notes;
    assert!(notes.iter().any(|n| n.contains("250 bar")), "{notes:?}");
}

/// What is given and does not enter under the convention is said, for who gave it meant something by it.
#[test]
fn what_is_given_and_not_used_is_said() {
    use deepstay_sums::{Choice, Side};
    let notes = |line: &str, side: Option<(Choice, Side)>| {
        let mut words = line.split(' ');
        let mut question = Question::of(sum(words.next().expect("a sum")).expect("there is one"));
        for word in words {
            question.read(word).expect("it reads");
        }
        if let Some((choice, side)) = side {
            question.on_side(choice, side).expect("it has it");
        }
        question.answer().expect("an answer").notes.join("; ")
    };
    let line = "absolute-pressure depth=100msw surface=1bar";
    let told = notes(line, None);
    assert!(
        told.contains("surface is given") && told.contains("--pressure exact"),
        "{told}"
    );
    assert_eq!(notes(line, Some((Choice::Pressure, Side::Other))), "");
    let line = "quad-contents bottles=48 volume=50L gauge=164bar mix=10% surface=1bar";
    let told = notes(line, None);
    assert!(
        told.contains("mix is given") && told.contains("--gas-law real"),
        "{told}"
    );
    assert_eq!(notes(line, Some((Choice::Gas, Side::Other))), "");
}
