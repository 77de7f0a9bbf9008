//! A chain for a terminal.

use super::chain::{Again, Chain, ChainInput, ChainRule, Origin, Term};
use crate::kit::terminal::{folded, hung};
use crate::provenance::word_words;

/// Most terms that are shown one by one.
const MOST_TERMS: usize = 24;

/// The chain, folded to the width.
pub fn chain_screen(chain: &Chain, width: usize) -> String {
    let with_unit = |value: &str| match chain.unit.as_str() {
        "" => value.to_owned(),
        unit => format!("{value} {unit}"),
    };
    let mut lines = vec![
        format!("{}  {}", chain.figure, with_unit(&chain.printed)),
        format!("  {}, in {}", chain.says, chain.file),
        String::new(),
    ];
    if let Again::Differs { value, within } = chain.again {
        lines.push(format!(
            "▲ DOES NOT AGREE: calculated again from the files it comes to {}, and rounding can do no more than {}. The files do not belong together, or one was changed: do not rely on this figure.",
            with_unit(&about_exactly(value)),
            about_exactly(within)
        ));
        lines.push(String::new());
    }
    lines.push(format!("Formula: {}", chain.formula));
    let common = common_column(&chain.terms);
    lines.extend(
        common.map(|(file, column)| format!("Terms from the column \"{column}\" of {file}:")),
    );
    for term in chain.terms.iter().take(MOST_TERMS) {
        lines.push(format!("  {}", term_words(term, common.is_some())));
    }
    if chain.terms.len() > MOST_TERMS {
        let left: &[Term] = &chain.terms[MOST_TERMS..];
        let sum: f64 = left.iter().filter_map(|t| t.value).sum();
        let unit = left.first().map_or("", |t| t.unit.as_str());
        lines.push(format!(
            "  and {} more, together {} {unit} (all of them with --json)",
            left.len(),
            about_exactly(sum)
        ));
    }
    match &chain.again {
        Again::Agrees { value, .. } => lines.push(format!(
            "Calculated again from the files: {}, which agrees",
            with_unit(&about_exactly(*value))
        )),
        Again::Differs { .. } => {}
        Again::NotFromFiles { why } => {
            lines.push(format!("Not calculated again from the files: {why}"));
        }
    }
    if !chain.rules.is_empty() {
        lines.extend([String::new(), "Rule rows".to_owned()]);
        for rule in &chain.rules {
            lines.push(format!("  {}: {}", rule.id, rule.figures));
            lines.push(format!("    {}", source_words(rule)));
        }
    }
    if !chain.inputs.is_empty() {
        lines.extend([String::new(), "Inputs".to_owned()]);
        lines.extend(chain.inputs.iter().map(|i| format!("  {}", input_words(i))));
    }
    if !chain.remarks.is_empty() {
        lines.push(String::new());
        lines.extend(chain.remarks.iter().cloned());
    }
    if let Some(caution) = chain.caution {
        lines.extend([String::new(), format!("Caution. {caution}")]);
    }
    folded(&lines, width)
}

/// A list of figures with their values.
pub fn figures_screen(figures: &[(String, String)], width: usize) -> String {
    let column = figures.iter().map(|(id, _)| id.chars().count()).max();
    let column = column.unwrap_or(0) + 2;
    let lines = figures
        .iter()
        .flat_map(|(id, value)| hung(id, column, value, width));
    lines.map(|line| line + "\n").collect()
}

/// A value with the digits that matter.
pub(super) fn about_exactly(value: f64) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    match value.abs() {
        size if size < 1e-3 => format!("{value:.2e}"),
        size if size >= 1e3 => about_digits(value, 3),
        _ => about_digits(value, 6),
    }
}

/// As many digits behind the point, without zeros at the end.
fn about_digits(value: f64, digits: usize) -> String {
    let text = format!("{value:.digits$}");
    match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
        false => text,
    }
}

/// The table and the column that all terms are from, where there are several.
pub(super) fn common_column(terms: &[Term]) -> Option<(&str, &str)> {
    let column = |term: &'_ Term| match &term.from {
        Origin::Rows { file, column, .. } => Some((file.clone(), column.clone())),
        _ => None,
    };
    let first = terms.first().filter(|_| terms.len() > 1)?;
    let of_first = column(first)?;
    match &first.from {
        Origin::Rows {
            file, column: head, ..
        } if terms.iter().all(|t| column(t).as_ref() == Some(&of_first)) => Some((file, head)),
        _ => None,
    }
}

/// A term with its value and where that is from; the column is left out where it has been named for all.
pub(super) fn term_words(term: &Term, column_named: bool) -> String {
    let value = term.value.map(|value| {
        let told = format!("{} {}", about_exactly(value), term.unit);
        format!(": {}", told.trim_end())
    });
    let from = match &term.from {
        Origin::Rows {
            file,
            lines,
            column,
        } => {
            let one = lines.chars().all(|c| c.is_ascii_digit());
            let counted = lines.contains(" lines from ");
            let lines = match (one, counted) {
                (true, _) => format!("line {lines}"),
                (false, true) => lines.clone(),
                (false, false) => format!("lines {lines}"),
            };
            match column_named {
                true => lines,
                false => format!("{file} {lines}, column \"{column}\""),
            }
        }
        Origin::Figure { id } => id.clone(),
        Origin::Input { path } => format!("input {path}"),
        Origin::Source { document, status } => format!("{document}; {}", word_words(*status)),
        Origin::Program { from } => from.clone(),
    };
    format!("{}{} ({from})", term.what, value.unwrap_or_default())
}

/// Document and status of a rule row, and where it is written.
pub(super) fn source_words(rule: &ChainRule) -> String {
    let source = format!("{} ({})", rule.document, word_words(rule.status));
    match (&rule.file, rule.line) {
        (Some(file), Some(line)) => format!("{source}: {file}:{line}"),
        _ => source,
    }
}

pub(super) fn input_words(input: &ChainInput) -> String {
    match (&input.file, input.line) {
        (Some(file), Some(line)) => {
            let mut written = input
                .written
                .split_whitespace()
                .collect::<Vec<_>>()
                .join(" ");
            const MOST: usize = 60;
            if written.chars().count() > MOST {
                written = written.chars().take(MOST).collect::<String>() + " ...";
            }
            format!("{} = {written}: {file}:{line}", input.path)
        }
        _ => format!("{}: left out, so that its default counts", input.path),
    }
}
