//! What a sum takes and answers, and the list of all sums.

use crate::kit::terminal::{folded, hung, wrap};
use crate::provenance::status_words;
use deepstay_core::CAUTION;
use deepstay_sums::{GROUPS, How, Question, Sum};

/// Column in which what is said begins.
const NAME: usize = 29;

/// Every sum with what it answers, folded to a width.
pub fn sums_list(columns: usize) -> String {
    let mut lines = Vec::new();
    for group in GROUPS {
        lines.push(group.title.to_owned());
        let sums = group.sums.iter();
        lines.extend(sums.flat_map(|s| hung(&format!("  {}", s.name), NAME, s.says, columns)));
        lines.push(String::new());
    }
    lines.extend(wrap(
        "`deepstay sums NAME` says what a sum takes. Give all of it, or leave one thing out and give the answer.",
        columns,
    ));
    lines.extend(wrap(CAUTION, columns));
    folded(&lines, columns)
}

/// What a sum takes, its formula, source, conventions and an example, folded to a width.
pub fn sum_page(sum: &Sum, columns: usize) -> String {
    let mut lines = vec![format!("{}: {}", sum.name, sum.says), String::new()];
    lines.push("Takes".to_owned());
    for ask in sum.asks {
        let (name, kind) = (ask.name, ask.name.kind());
        let takes = format!("{} ({})", name.says(), kind.written());
        lines.extend(hung(&format!("  {}", name.text()), NAME, &takes, columns));
        let otherwise = match ask.how {
            How::Needed => continue,
            How::Usual {
                metric,
                imperial,
                source,
                ..
            } if metric == imperial => format!("if not given, {metric}: {source}"),
            How::Usual {
                metric,
                imperial,
                source,
                ..
            } => format!("if not given, {metric} or {imperial}: {source}"),
            How::As(other) => format!("if not given, as `{}`", other.text()),
            How::AirAtSurface => {
                "if not given, 0.21 bar or ata of the air, from the surface".to_owned()
            }
        };
        lines.extend(hung("", NAME, &otherwise, columns));
    }
    lines.push("Answers".to_owned());
    for name in sum.answers {
        lines.extend(hung(
            &format!("  {}", name.text()),
            NAME,
            name.says(),
            columns,
        ));
    }
    let mut row = |name: &str, words: &str| {
        lines.extend(hung(&format!("  {name}"), NAME, words, columns));
    };
    row("formula, metric", sum.formula.metric);
    row("formula, imperial", sum.formula.imperial);
    if !sum.formula.real.is_empty() {
        row("formula, real gas", sum.formula.real);
    }
    row(
        "source",
        &format!("{} ({})", sum.document, status_words(sum.status)),
    );
    for choice in sum.choices {
        let (name, [hand, other]) = choice.spelling();
        row(&format!("--{name}"), &format!("{hand} or {other}"));
    }
    lines.push(String::new());
    lines.push("Forwards, and in feet".to_owned());
    lines.push(format!("  deepstay sums {} {}", sum.name, sum.example));
    if sum.imperial_example != sum.example {
        lines.push(format!(
            "  deepstay sums {} {}",
            sum.name, sum.imperial_example
        ));
    }
    if let Some(backwards) = backwards(sum) {
        lines.push("Backwards".to_owned());
        lines.push(format!("  deepstay sums {} {backwards}", sum.name));
    }
    lines.push(String::new());
    lines.extend(wrap(CAUTION, columns));
    folded(&lines, columns)
}

/// The example with an input left out that its answer determines, and the answer given; none where the handbook's rounding
/// leaves many values.
fn backwards(sum: &Sum) -> Option<String> {
    let of = deepstay_sums::sum(sum.name).ok()?;
    let asked = |inputs: &str| {
        let mut question = Question::of(of);
        for input in inputs.split(' ') {
            question.read(input)?;
        }
        question.answer()
    };
    let answer = asked(sum.example).ok()?;
    let figure = &answer.figures[0];
    let given = format!(
        "{}={}{}",
        figure.name.text(),
        deepstay_sums::figures(figure.value),
        figure.unit
    );
    sum.example.split(' ').find_map(|left_out| {
        let name = left_out.split('=').next()?;
        let rest = sum.example.split(' ').filter(|i| *i != left_out);
        let wanted = format!("{name}=?");
        let all: Vec<&str> = rest.chain([given.as_str(), wanted.as_str()]).collect();
        let inputs = all.join(" ");
        asked(&inputs).is_ok().then_some(inputs)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sums::{SumSummary, sum_screen};
    use deepstay_sums::{Choice, sums};

    #[test]
    fn every_sum_has_a_page_an_answer_and_a_summary_that_carry_the_caution() {
        for sum in sums() {
            for columns in [40, 80] {
                let page = sum_page(sum, columns);
                assert!(
                    page.replace(['\n', ' '], "")
                        .contains(&CAUTION.replace(' ', ""))
                );
                let rounded = sum.choices.contains(&Choice::Rounding);
                assert!(page.contains("Backwards") || rounded, "{page}");
            }
            let mut question = Question::of(sum);
            for input in sum.example.split(' ') {
                question.read(input).expect("it reads");
            }
            let answer = question.answer().expect("an answer");
            let screen = sum_screen(&answer, 80);
            let first = screen.lines().next().expect("a line");
            assert!(first.contains(&answer.figures[0].words), "{first}");
            assert!(screen.lines().all(|l| l.chars().count() <= 80), "{screen}");
            let json = serde_json::to_value(SumSummary::of(&answer)).expect("JSON");
            assert_eq!(json["answer"]["value"], answer.figures[0].value);
            assert_eq!(json["caution"], CAUTION);
        }
        let list = sums_list(100);
        assert!(sums().all(|s| list.contains(s.name)));
    }
}
