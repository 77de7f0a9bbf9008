//! Texts of files: how large they may be, and lines and columns in them.

use super::diagnostics::{Wrong, nearest};
use deepstay_core::plain::acts_unseen;
use std::io::Read;
use std::path::Path;

/// Largest file that is read, bytes (4 MiB).
pub const LARGEST_FILE: u64 = 4 << 20;

/// Whether a text begins as files of this program do: a bracket and the version of the grammar, with remarks before
/// either. Of what does not, no line is to be shown: it may be any file.
pub fn begins_with_format(text: &str) -> bool {
    let inside = past_remarks(text).and_then(|text| text.strip_prefix('('));
    let field = inside.and_then(past_remarks);
    field.is_some_and(|field| field.starts_with("format"))
}

/// A text from its first sign that is neither space nor part of a remark; none where a remark has no end.
fn past_remarks(mut text: &str) -> Option<&str> {
    loop {
        text = text.trim_start_matches(char::is_whitespace);
        if let Some(remark) = text.strip_prefix("//") {
            text = remark.split_once('\n').map_or("", |(_, rest)| rest);
        } else if let Some(remark) = text.strip_prefix("/*") {
            text = remark.split_once("*/")?.1;
        } else {
            return Some(text);
        }
    }
}

/// The text of a file, if it is one of the size of those that a person writes.
///
/// # Errors
/// Why it cannot be read.
pub fn file_text(path: &Path) -> Result<String, Wrong> {
    let bytes = file_bytes(path, LARGEST_FILE)?;
    String::from_utf8(bytes).map_err(|e| {
        let line = e.as_bytes()[..e.utf8_error().valid_up_to()]
            .iter()
            .filter(|b| **b == b'\n')
            .count()
            + 1;
        Wrong::NotText { line }
    })
}

/// The bytes of a file that has at most so many; of a device or a pipe without end no more is read.
///
/// # Errors
/// Why it cannot be read.
pub fn file_bytes(path: &Path, most: u64) -> Result<Vec<u8>, Wrong> {
    let unreadable = |e: std::io::Error| Wrong::Unreadable(plain_words(&e));
    let about = std::fs::metadata(path).map_err(unreadable)?;
    if about.is_dir() {
        return Err(Wrong::Unreadable("it is a folder".to_owned()));
    }
    if about.len() > most {
        return Err(Wrong::TooLarge {
            bytes: about.len(),
            most,
        });
    }
    // What is no plain file may not say how long it is.
    let file = std::fs::File::open(path).map_err(unreadable)?;
    bytes_of(file, most)
}

/// All that comes out of a reader that has at most so many bytes.
///
/// # Errors
/// Why it cannot be read.
pub fn bytes_of(from: impl Read, most: u64) -> Result<Vec<u8>, Wrong> {
    let mut bytes = Vec::new();
    from.take(most + 1)
        .read_to_end(&mut bytes)
        .map_err(|e| Wrong::Unreadable(plain_words(&e)))?;
    match bytes.len() as u64 {
        length if length > most => Err(Wrong::TooLarge {
            bytes: length,
            most,
        }),
        _ => Ok(bytes),
    }
}

fn plain_words(error: &std::io::Error) -> String {
    match error.kind() {
        std::io::ErrorKind::NotFound => "there is no such file".to_owned(),
        std::io::ErrorKind::PermissionDenied => "it may not be read by you".to_owned(),
        _ => error.to_string(),
    }
}

/// The file in the same folder whose name is nearest to one that is not there.
pub fn suggest_file(path: &Path) -> Option<String> {
    if path.exists() {
        return None;
    }
    let folder = path
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    let wanted = path.file_name()?.to_str()?;
    let mut names: Vec<String> = std::fs::read_dir(folder)
        .ok()?
        .take(1000)
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .collect();
    names.sort();
    let near = nearest(
        wanted,
        names.iter().map(String::as_str).filter(|n| *n != wanted),
    )?;
    Some(format!(
        "did you mean `{}`?",
        path.with_file_name(near).display()
    ))
}

/// Line and column (in characters, both from 1) of a byte in a text.
pub(crate) fn line_column(text: &str, at: usize) -> (usize, usize) {
    let before = text.get(..at).unwrap_or(text);
    let line = before.bytes().filter(|b| *b == b'\n').count() + 1;
    let column = before.rsplit('\n').next().unwrap_or("").chars().count() + 1;
    (line, column)
}

/// A line of a text, cut where it goes on for long.
pub(crate) fn line(text: &str, number: usize) -> String {
    const SHOWN: usize = 160;
    let line = text.lines().nth(number.saturating_sub(1)).unwrap_or("");
    line.chars()
        .take(SHOWN)
        .map(|c| if acts_unseen(c) || c == '\t' { ' ' } else { c })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::begins_with_format;

    #[test]
    fn a_file_of_ours_begins_with_a_bracket_and_its_format() {
        for ours in [
            "(format: 1)",
            "// a remark\n( /* another\n one */ // and one\n format : 2)",
            "\n\t(format",
        ] {
            assert!(begins_with_format(ours), "{ours}");
        }
        for other in [
            "",
            "format: 1",
            "secret: (format: 1)",
            "// (format: 1)",
            "/* (format: 1)",
            "(name: \"a\", format: 1)",
            "{\"format\": 1}",
        ] {
            assert!(!begins_with_format(other), "{other}");
        }
    }
}
