//! Words to the terminal: results on standard output, complaints on standard error.

use super::exit::Exit;
use crate::plain::visible;
use crate::scenario::{self, Diagnostic, Diagnostics, Scenario};
use std::fmt::Display;
use std::io::{self, Write};

/// Most complaints that are shown at once.
const SHOWN: usize = 20;

/// Columns that words are folded to where no terminal says how many it has: a pipe, a file.
const COLUMNS: usize = 80;

/// How wide standard output is: a terminal's own width.
pub fn columns() -> usize {
    terminal_size::terminal_size_of(io::stdout()).map_or(COLUMNS, |(width, _)| usize::from(width.0))
}

/// Writes a result; signs in it that would act on a terminal are written out. A reader who stops reading is no
/// fault.
pub fn out(words: &str) -> Exit {
    let mut to = io::stdout().lock();
    match writeln!(to, "{}", visible(words)).and_then(|()| to.flush()) {
        Ok(()) => Exit::Done,
        Err(e) if e.kind() == io::ErrorKind::BrokenPipe => Exit::Done,
        Err(e) => {
            err(&format!("deepstay: the result could not be written: {e}"));
            Exit::NotCompleted
        }
    }
}

/// Writes a complaint. Where nobody can hear it, it is dropped.
pub fn err(words: &str) {
    let _ = writeln!(io::stderr().lock(), "{}", visible(words));
}

/// Says what was bad about the input, and the code of it.
pub fn bad_input(words: impl Display) -> Exit {
    failed(words, Exit::BadInput)
}

/// Says why a result could not be written, and the code of it.
pub fn not_written(words: impl Display) -> Exit {
    failed(words, Exit::NotCompleted)
}

/// Says what is wrong with the program itself, and the code of it.
pub fn broken(words: impl Display) -> Exit {
    failed(words, Exit::BrokenInvariant)
}

/// Says where it was interrupted, and the code of it.
pub fn interrupted(words: impl Display) -> Exit {
    failed(words, Exit::Interrupted)
}

fn failed(words: impl Display, exit: Exit) -> Exit {
    err(&format!("deepstay: {words}"));
    exit
}

/// Writes a summary as JSON.
pub fn json(summary: Result<String, serde_json::Error>) -> Exit {
    match summary {
        Ok(text) => out(&text),
        Err(e) => failed(
            format!("the summary could not be put into JSON: {e}"),
            Exit::BrokenInvariant,
        ),
    }
}

/// Writes what is strange about a scenario that can be run.
pub fn warnings(scenario: &Scenario) {
    for warning in scenario::warnings(scenario) {
        err(&format!("deepstay: warning: {warning}"));
    }
}

/// Writes all that is wrong with a scenario.
pub fn complaints(bad: &Diagnostics) -> Exit {
    let count = bad.count();
    let mut words: Vec<String> = bad.all.iter().take(SHOWN).map(complaint).collect();
    if count > SHOWN {
        words.push(format!("... and {} more", count - SHOWN));
    }
    let total = if count == 1 {
        "1 error".to_owned()
    } else {
        format!("{count} errors")
    };
    words.push(total);
    err(&words.join("\n\n"));
    Exit::BadInput
}

/// One complaint: where, what, the line itself, what would be right.
fn complaint(c: &Diagnostic) -> String {
    let p = &c.place;
    let path = if p.path.is_empty() {
        String::new()
    } else {
        format!(" {}", p.path)
    };
    let nowhere = p.path.is_empty() && p.excerpt.is_empty() && p.line == 1;
    let at = if nowhere {
        String::new()
    } else {
        format!("{}:{}:", p.line, p.column)
    };
    let mut words = format!("{}:{at}{path}\n  {}", p.file, c.wrong);
    if !p.excerpt.trim().is_empty() {
        let number = p.line.to_string();
        let margin = " ".repeat(number.len());
        let to_mark: String = p.excerpt.chars().take(p.column - 1).map(|_| ' ').collect();
        words.push_str(&format!(
            "\n  {number} | {}\n  {margin} | {to_mark}^",
            p.excerpt
        ));
    }
    if let Some(suggestion) = &c.remedy {
        words.push_str(&format!("\n  help: {suggestion}"));
    }
    words
}
