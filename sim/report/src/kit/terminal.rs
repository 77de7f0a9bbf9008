//! Text as a terminal of so many columns shows it.

/// Spaces that a terminal counts as one column each.
pub fn plain(text: &str) -> String {
    text.replace(['\u{a0}', '\u{202f}'], " ")
}

/// Text that is no longer than the width; an ellipsis where it was.
pub fn cut(text: &str, width: usize) -> String {
    if text.chars().count() <= width {
        return text.into();
    }
    let mut short: String = text.chars().take(width - 1).collect();
    short.push('…');
    short
}

/// Lines no longer than the width, broken at blanks.
pub fn wrap(text: &str, width: usize) -> Vec<String> {
    let (mut lines, mut line) = (Vec::new(), String::new());
    for word in text.split(' ') {
        if !line.is_empty() && line.chars().count() + 1 + word.chars().count() > width {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    lines.push(line);
    lines
}
