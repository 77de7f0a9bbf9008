//! A sum's answer as a terminal shows it: the answer in the first line, below it everything that it rests on.

use super::summary::origin_words;
use crate::kit::terminal::{hung, wrap};
use crate::provenance::status_words;
use deepstay_core::CAUTION;
use deepstay_core::units::fixed;
use deepstay_sums::{Answer, Beside, Figure, Origin};

/// Column in which what is said begins.
const NAME: usize = 14;

/// The answer as text for a terminal so many columns wide.
pub fn sum_screen(answer: &Answer, columns: usize) -> String {
    let sum = answer.sum;
    let mut lines = Vec::new();
    for figure in &answer.figures {
        lines.push(named(figure));
    }
    lines.push(String::new());
    let mut row = |name: &str, words: &str| {
        lines.extend(hung(&format!("  {name}"), NAME, words, columns));
    };
    row("sum", &format!("{}: {}", sum.name, sum.says));
    row("formula", answer.formula);
    for (k, input) in answer.inputs.iter().enumerate() {
        let from = match &input.origin {
            Origin::Given => String::new(),
            origin => format!(" ({})", origin_words(origin)),
        };
        let name = if k == 0 { "inputs" } else { "" };
        row(name, &format!("{}{from}", named(&input.figure)));
    }
    for (k, (_, words)) in answer.conventions.iter().enumerate() {
        row(if k == 0 { "convention" } else { "" }, words);
    }
    for (k, beside) in answer.beside.iter().enumerate() {
        let words = beside_words(beside, &answer.figures[0]);
        row(if k == 0 { "beside" } else { "" }, &words);
    }
    let source = format!("{} ({})", sum.document, status_words(sum.status));
    row("source", &source);
    for note in &answer.notes {
        row("note", note);
    }
    lines.push(String::new());
    lines.extend(wrap(CAUTION, columns));
    lines.join("\n") + "\n"
}

fn named(figure: &Figure) -> String {
    format!("{} {}", figure.name.text(), figure.words)
}

/// The answer under another convention, by how much it differs, and what that convention is.
fn beside_words(beside: &Beside, answer: &Figure) -> String {
    match &beside.outcome {
        Ok(figure) if figure.value == answer.value => format!("the same; {}", beside.words),
        Ok(figure) => {
            let share = 100.0 * (figure.value / answer.value - 1.0);
            let differs = match share.is_finite() {
                true if share > 0.0 => format!(" (+{} %)", fixed(share, 1)),
                true => format!(" ({} %)", fixed(share, 1)),
                false => String::new(),
            };
            format!("{}{differs}; {}", figure.words, beside.words)
        }
        Err(why) => format!("no answer, {why}; {}", beside.words),
    }
}
