//! Built-in jobs load, and each kind of fault is complained of at its place with a suggestion.

mod built_in;
mod parts;
mod plans;
mod reading;
mod supplier;
mod work;

use super::*;
use deepstay_rules as rules;
use std::fs;

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
fn all(text: &str) -> Vec<Complaint> {
    from_text(text, "my.ron", None)
        .expect_err("a bad scenario")
        .complaints
}

/// The only complaint about a text.
fn one(text: &str) -> Complaint {
    let all = all(text);
    assert_eq!(all.len(), 1, "{all:#?}");
    all.into_iter().next().expect("one")
}

/// A complaint's line and column are where a mark stands in the text.
fn stands_at(complaint: &Complaint, text: &str, mark: &str) {
    let byte = text.find(mark).expect("the mark is in the text");
    let (line, column) = locate::line_column(text, byte);
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
fn with_spread(change: impl Fn(String) -> String) -> Vec<Complaint> {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(
        folder.path().join("spread.ron"),
        change(SPREADS[0].text.to_owned()),
    )
    .expect("written");
    let text = changed("spread: \"six-man\"", "spread: \"spread.ron\"");
    let bad = from_text(&text, "my.ron", Some(folder.path())).expect_err("a bad spread");
    for c in &bad.complaints {
        assert!(
            c.place.file.ends_with("spread.ron") || c.place.file == "my.ron",
            "{c:#?}"
        );
    }
    bad.complaints
}
