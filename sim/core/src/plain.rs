//! Text from elsewhere made safe to show: signs that no reader sees and that move a cursor, turn the order of
//! letters round or command a terminal are written out, and a cell that a spreadsheet would calculate is
//! marked as text.

use std::borrow::Cow;

/// Whether a sign is not seen but acts: control characters other than a line's end and a tab, marks and
/// overrides of the direction of writing (Unicode Standard Annex 9, its explicit formatting characters),
/// separators of lines and paragraphs, and the mark of byte order within a text.
pub fn acts_unseen(c: char) -> bool {
    match c {
        '\n' | '\t' => false,
        '\u{61C}' | '\u{200E}' | '\u{200F}' | '\u{2028}' | '\u{2029}' | '\u{FEFF}' => true,
        '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' => true,
        c => c.is_control(),
    }
}

/// The text with every sign that acts unseen written out as `\u{1b}`.
pub fn visible(text: &str) -> Cow<'_, str> {
    if !text.chars().any(acts_unseen) {
        return Cow::Borrowed(text);
    }
    let mut shown = String::with_capacity(text.len() + 8);
    for c in text.chars() {
        if acts_unseen(c) {
            shown.extend(c.escape_unicode());
        } else {
            shown.push(c);
        }
    }
    Cow::Owned(shown)
}

/// A cell of a table: visible, and with an apostrophe before what a spreadsheet would take for a formula. A
/// number, with or without its sign, stays as it is.
pub fn cell(text: &str) -> Cow<'_, str> {
    let shown = visible(text);
    let calculated = shown.starts_with(['=', '+', '-', '@', '\t', '\n']);
    if calculated && shown.parse::<f64>().is_err() {
        Cow::Owned(format!("'{shown}"))
    } else {
        shown
    }
}

/// What [`cell`] made a cell of.
pub fn from_cell(written: &str) -> &str {
    match written.strip_prefix('\'') {
        Some(rest) if rest.starts_with(['=', '+', '-', '@', '\t', '\n']) => rest,
        _ => written,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_acts_unseen_is_written_out() {
        assert_eq!(visible("H-1\u{1b}[2J"), "H-1\\u{1b}[2J");
        assert_eq!(visible("a\u{202e}b"), "a\\u{202e}b");
        assert_eq!(visible("a\u{7f}\u{9b}\rb"), "a\\u{7f}\\u{9b}\\u{d}b");
        assert_eq!(visible("two\nlines\tå 漢"), "two\nlines\tå 漢");
    }

    #[test]
    fn a_formula_is_text_and_a_number_a_number() {
        assert_eq!(cell("=cmd|'/c calc'!A1"), "'=cmd|'/c calc'!A1");
        assert_eq!(cell("@SUM(A1)"), "'@SUM(A1)");
        assert_eq!(cell("-0.3 msw"), "'-0.3 msw");
        for plain in ["-0.3", "+1e-6", "H-1", "", "'quoted'"] {
            assert_eq!(cell(plain), plain);
        }
        for text in ["=1+1", "-Bell", "'tis", "plain"] {
            assert_eq!(from_cell(&cell(text)), text);
        }
    }
}
