//! Every sum of its own examples: it has an answer in both systems and under every convention, reads nothing it does not
//! ask for, and forwards and backwards agree, for inputs drawn around the examples.

use deepstay_core::units::Units;
use deepstay_sums::{Choice, Figure, How, Name, Question, Side, Sum, SumError, sums};
use proptest::prelude::*;

fn of_example(sum: &'static Sum, units: Units) -> Question {
    let mut question = Question::of(sum);
    for input in sum.example_in(units).split(' ') {
        question
            .read(input)
            .unwrap_or_else(|e| panic!("{}: {input}: {e}", sum.name));
    }
    question
}

const BOTH: [Units; 2] = [Units::Metric, Units::Imperial];

/// The README counts them.
#[test]
fn there_are_forty_six() {
    assert_eq!(sums().count(), 46);
}

#[test]
fn every_example_has_an_answer_in_its_units_and_under_every_convention() {
    for sum in sums() {
        for units in BOTH {
            let question = of_example(sum, units);
            assert_eq!(question.missing(), [], "{}", sum.name);
            let answer = question
                .answer()
                .unwrap_or_else(|e| panic!("{}: {e}", sum.name));
            assert_eq!(answer.figures.len(), sum.answers.len(), "{}", sum.name);
            assert_eq!(answer.beside.len(), sum.choices_in(units).count());
            for beside in &answer.beside {
                let figure = beside.outcome.as_ref();
                let figure =
                    figure.unwrap_or_else(|e| panic!("{} {:?}: {e}", sum.name, beside.choice));
                println!(
                    "{} {:?}: {} beside {}",
                    sum.name, beside.choice, answer.figures[0].words, figure.words
                );
            }
            let written = sum.example_in(units);
            let spoken =
                written.contains("fsw") || written.contains("psi") || written.contains("ft3");
            assert!(!spoken || answer.units == Units::Imperial, "{written}");
        }
    }
}

/// A choice that a sum names changes it in one of the two systems; one that it does not name is refused.
#[test]
fn every_choice_named_matters_and_no_other_is_taken() {
    for sum in sums() {
        for choice in Choice::ALL {
            if !sum.choices.contains(&choice) {
                let refused = of_example(sum, Units::Metric).on_side(choice, Side::Other);
                assert!(
                    matches!(refused, Err(SumError::NoChoice { .. })),
                    "{}",
                    sum.name
                );
                continue;
            }
            let differs = |units: Units| {
                let answer = of_example(sum, units).answer().expect("an answer");
                let beside = answer.beside.iter().find(|b| b.choice == choice);
                let value = beside.map(|b| b.outcome.as_ref().expect("an answer").value);
                value.is_some_and(|value| value != answer.figures[0].value)
            };
            // What is shown beside in a system changes it there; a gauge's convention need not change every answer.
            for units in BOTH {
                let shown = sum.choices_in(units).any(|c| c == choice);
                let rounding = choice == Choice::Rounding;
                assert!(
                    !(shown && rounding) || differs(units),
                    "{} {units:?}",
                    sum.name
                );
            }
            assert!(
                BOTH.into_iter().any(differs),
                "{} is the same under both sides of {choice:?}",
                sum.name
            );
        }
    }
}

/// Every input changes an answer under some convention: none stands there for nothing. And none has an effect that is not
/// asked for: names outside the sum are refused.
#[test]
fn every_input_matters() {
    for sum in sums() {
        for ask in sum.asks.iter().filter(|a| a.name != Name::Rates) {
            let outcomes = |factor: f64| {
                let mut all = Vec::new();
                for (k, side) in [Side::Hand, Side::Other].into_iter().enumerate() {
                    let mut question = Question::of(sum);
                    for choice in sum.choices.iter().filter(|_| k > 0) {
                        question.on_side(*choice, side).expect("it has it");
                    }
                    let example = of_example(sum, Units::Metric);
                    let known = example.answer().expect("an answer");
                    let mut taken = false;
                    for input in &known.inputs {
                        let name = input.figure.name;
                        let by = if name == ask.name {
                            taken = true;
                            factor
                        } else {
                            1.0
                        };
                        if name == Name::Rates {
                            let rates = sum.example.split(' ').find(|w| w.starts_with("rates="));
                            question.read(rates.expect("its rates")).expect("it reads");
                        } else {
                            let si = name.kind().unit(Units::Metric).si(input.figure.value) * by;
                            question.take(name, si, "a test");
                        }
                    }
                    if !taken {
                        let (usual, _) = match ask.how {
                            How::Usual { metric, source, .. } => (metric, source),
                            _ => continue,
                        };
                        let (si, _) = ask.name.kind().read(usual).expect("it reads");
                        let si = if si == 0.0 {
                            0.01 * (factor - 1.0)
                        } else {
                            si * factor
                        };
                        question.take(ask.name, si, "a test");
                    }
                    all.push(
                        question
                            .answer()
                            .map(|a| a.figures.iter().map(|f| f.value).collect::<Vec<_>>()),
                    );
                }
                format!("{all:?}")
            };
            // A zero stays a zero: such inputs are shifted by other tests.
            let (a, b) = (outcomes(1.0), outcomes(1.02));
            let zero = matches!(ask.how, How::Usual { metric, .. } if metric.starts_with("0 "));
            assert!(
                a != b || zero,
                "{} does not depend on {}",
                sum.name,
                ask.name.text()
            );
        }
    }
}

/// Inputs that an example must give, with its answer, each left out in turn.
fn goes_back(sum: &'static Sum, units: Units, factors: &[f64], sides: &[(Choice, Side)]) {
    let known = of_example(sum, units).answer().expect("an answer");
    let mut drawn = Vec::new();
    for (k, input) in known.inputs.iter().enumerate() {
        let name = input.figure.name;
        let by = match name {
            Name::Rates | Name::Nitrogen => 1.0,
            _ => factors[k % factors.len()],
        };
        let si = name.kind().unit(units).si(input.figure.value);
        drawn.push((
            name,
            if name.kind() == deepstay_sums::Kind::Temperature {
                si + by - 1.0
            } else {
                si * by
            },
        ));
    }
    let question = |left_out: Option<Name>, answer: Option<(Name, f64)>| {
        let mut question = Question::of(sum);
        question.in_units(units);
        for (choice, side) in sides {
            question.on_side(*choice, *side).expect("it has it");
        }
        for (name, si) in &drawn {
            if Some(*name) == left_out {
                question.read(&format!("{}=?", name.text())).expect("asked");
            } else if *name == Name::Rates {
                let rates = sum
                    .example_in(units)
                    .split(' ')
                    .find(|w| w.starts_with("rates="));
                question.read(rates.expect("its rates")).expect("it reads");
            } else {
                question.take(*name, *si, "drawn");
            }
        }
        if let Some((name, si)) = answer {
            question.take(name, si, "forwards");
        }
        question
    };
    let Ok(forwards) = question(None, None).answer() else {
        return;
    };
    let figure = &forwards.figures[0];
    let target = figure.name.kind().unit(units).si(figure.value);
    for (name, si) in drawn.iter().filter(|d| d.0 != Name::Rates) {
        if sum.answers.contains(name) {
            continue;
        }
        match question(Some(*name), Some((figure.name, target))).answer() {
            Ok(back) => {
                let found = name.kind().unit(units).si(back.figures[0].value);
                let slack = if back.notes.is_empty() { 1e-5 } else { 2e-2 };
                // Where the sum hardly depends on it, what counts is that the answer comes back.
                let again = {
                    let mut again = question(Some(*name), None);
                    again = rebuilt(&again, *name, found);
                    again.answer().expect("an answer").figures[0].value
                };
                let comes_back =
                    (again - figure.value).abs() <= slack * figure.value.abs().max(1e-6);
                assert!(
                    comes_back,
                    "{}: {} was {si}, found {found}; the answer {} became {again}",
                    sum.name,
                    name.text(),
                    figure.value
                );
            }
            // Two values may give it, or under this convention it does not enter, or the sum is flat there.
            Err(SumError::Undetermined { .. }) => {}
            Err(other) => panic!("{}: {} backwards: {other}", sum.name, name.text()),
        }
    }
}

/// What must be given can be asked for: of each example, each such input left out and one of the answers given in its place
/// comes back as it was. Where the handbook rounds, many values give the same; there the rounding is left out.
#[test]
fn what_must_be_given_can_be_asked_for() {
    for sum in sums() {
        for units in BOTH {
            let unrounded = |question: &mut Question| {
                question.in_units(units);
                if sum.choices.contains(&Choice::Rounding) {
                    question.on_side(Choice::Rounding, Side::Other).expect("it");
                }
            };
            let mut forwards = of_example(sum, units);
            unrounded(&mut forwards);
            let forwards = forwards.answer().expect("an answer");
            let inputs = sum.example_in(units).split(' ');
            for left_out in inputs.filter(|w| !w.starts_with("rates=")) {
                let (name, _) = left_out.split_once('=').expect("a pair");
                let was = forwards
                    .inputs
                    .iter()
                    .find(|i| i.figure.name.text() == name);
                let was = was.expect("an input").figure.value;
                let back = |answer: &Figure| {
                    let mut question = Question::of(sum);
                    unrounded(&mut question);
                    for input in sum.example_in(units).split(' ') {
                        if input == left_out {
                            question.read(&format!("{name}=?")).expect("asked");
                        } else {
                            question.read(input).expect("it reads");
                        }
                    }
                    let si = answer.name.kind().unit(units).si(answer.value);
                    question.take(answer.name, si, "forwards");
                    question.answer().ok().map(|a| a.figures[0].value)
                };
                let found: Vec<Option<f64>> = forwards.figures.iter().map(back).collect();
                let came_back = |x: &Option<f64>| x.is_some_and(|x| (x / was - 1.0).abs() < 1e-6);
                assert!(
                    found.iter().any(came_back),
                    "{}: {name} was {was}, found {found:?}",
                    sum.name
                );
            }
        }
    }
}

/// The same question with what was asked for given.
fn rebuilt(question: &Question, name: Name, si: f64) -> Question {
    let mut again = question.clone();
    again.settle(name, si);
    again
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]
    #[test]
    fn forwards_and_backwards_agree(
        factors in prop::collection::vec(0.94f64..1.06, 9),
        flip in 0usize..8,
    ) {
        for sum in sums() {
            for units in BOTH {
                let side = sum.choices.get(flip % (sum.choices.len() + 1)).map(|c| (*c, Side::Other));
                let sides: Vec<(Choice, Side)> = side.into_iter().collect();
                goes_back(sum, units, &factors, &sides);
            }
        }
    }
}
