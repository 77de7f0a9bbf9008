//! Built-in jobs load, and each kind of fault is complained of at its place with a suggestion.

mod built_in;
mod misspelt;
mod parts;
mod plans;
mod presents;
mod reading;
mod supplier;
mod work;

use super::*;
use deepstay_rules as rules;
use std::fs;

/// Line and column, both from 1, of a byte of a text.
fn line_column(text: &str, at: usize) -> (usize, usize) {
    let before = &text[..at];
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().unwrap_or("").chars().count() + 1;
    (line, column)
}

/// The six-man job with something else in the place of a part of its text.
fn changed(from: &str, to: &str) -> String {
    let text = job_text("six-man");
    assert!(text.contains(from), "`{from}` is not in the job any more");
    text.replacen(from, to, 1)
}

fn job_text(name: &str) -> &'static str {
    JOBS.iter()
        .find(|b| b.name == name)
        .expect("a built-in job")
        .text
}

/// Complaints about a text.
fn all(text: &str) -> Vec<Diagnostic> {
    from_text(text, "my.ron", None)
        .expect_err("a bad scenario")
        .all
}

/// The only complaint about a text.
fn one(text: &str) -> Diagnostic {
    let all = all(text);
    assert_eq!(all.len(), 1, "{all:#?}");
    all.into_iter().next().expect("one")
}

/// A complaint's line and column are where a mark stands in the text.
fn stands_at(complaint: &Diagnostic, text: &str, mark: &str) {
    let byte = text.find(mark).expect("the mark is in the text");
    let (line, column) = line_column(text, byte);
    assert_eq!(
        (complaint.place.line, complaint.place.column),
        (line, column),
        "{complaint:#?}"
    );
    assert_eq!(complaint.place.file, "my.ron");
    assert!(
        text.lines()
            .nth(line - 1)
            .is_some_and(|l| l.starts_with(&complaint.place.excerpt))
    );
}

/// Complaints about a job with another spread beside it.
fn with_spread(change: impl Fn(String) -> String) -> Vec<Diagnostic> {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(
        folder.path().join("spread.ron"),
        change(SPREADS[0].text.to_owned()),
    )
    .expect("written");
    let text = changed("spread: \"six-man\"", "spread: \"spread.ron\"");
    let bad = from_text(&text, "my.ron", Some(folder.path())).expect_err("a bad spread");
    for c in &bad.all {
        assert!(
            c.place.file.ends_with("spread.ron") || c.place.file == "my.ron",
            "{c:#?}"
        );
    }
    bad.all
}
