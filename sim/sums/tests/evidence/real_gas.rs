//! Sums of banks by real gas against the equations of state in CoolProp (`tests/reference/bank_sums.py`).

use crate::check_values::check_values;
use deepstay_sums::{Choice, Question, Side, sum};

/// How far the density virial may lie from the reference, of the value: pure gases by its fit; heliox by what the
/// library's unfitted He-O2 pair is worth in banks (0.35, 0.64, 1.2 and 1.7 % at 2, 4, 10 and 20 % and 250 bar).
fn within(sum: &str, o2: f64) -> f64 {
    match (sum, o2) {
        ("mixing", _) => 0.017,
        (_, o2) if o2 == 0.0 || o2 == 1.0 => 3e-4,
        ("quad-temperature", _) => 3e-4,
        (_, o2) if o2 < 0.03 => 0.0035,
        (_, o2) if o2 < 0.05 => 0.0064,
        (_, o2) if o2 < 0.15 => 0.012,
        _ => 0.017,
    }
}

#[test]
fn bank_sums_by_the_reference_equations() {
    let mut table = check_values("bank_sums.csv");
    let mut rows = 0;
    for row in table.records().map(|r| r.expect("a row")) {
        let n = |k: usize| row[k].parse::<f64>().expect("a number");
        let (o2, gauge, other, celsius, value) = (n(1), n(2), n(3), n(4), n(5));
        let inputs: Vec<String> = match &row[0] {
            "gas-available" => vec![
                "bottles=48".into(),
                "volume=50L".into(),
                format!("gauge={gauge}bar"),
                format!("change-over={other}bar"),
                format!("mix={o2}"),
                format!("temperature={celsius}degC"),
            ],
            "quad-temperature" => vec![
                format!("gauge={gauge}bar"),
                format!("temperature={celsius}degC"),
                format!("temperature-2={other}degC"),
                format!("mix={o2}"),
            ],
            _ => vec![
                "held-mix=100%".into(),
                format!("held={gauge}bar"),
                "top-mix=0%".into(),
                format!("final={other}bar"),
                format!("temperature={celsius}degC"),
            ],
        };
        let of = sum(&row[0]).expect("a sum");
        let mut question = Question::of(of);
        for input in &inputs {
            question
                .read(input)
                .unwrap_or_else(|e| panic!("{input}: {e}"));
        }
        question
            .on_side(Choice::Gas, Side::Other)
            .expect("it knows real gas");
        if of.choices.contains(&Choice::PlusOne) {
            question.on_side(Choice::PlusOne, Side::Other).expect("it");
        }
        let answer = question
            .answer()
            .unwrap_or_else(|e| panic!("{inputs:?}: {e}"));
        let ours = answer.figures[0].value;
        let hand = answer.beside[0]
            .outcome
            .as_ref()
            .map_or(f64::NAN, |f| f.value);
        println!(
            "{} {inputs:?}: {ours:.4}, reference {value:.4} ({:+.3} %), by hand {hand:.3}",
            &row[0],
            100.0 * (ours / value - 1.0)
        );
        let slack = within(&row[0], o2);
        assert!(
            (ours / value - 1.0).abs() < slack,
            "{} {inputs:?}: {ours} and {value}",
            &row[0]
        );
        rows += 1;
    }
    assert_eq!(rows, 63);
}
