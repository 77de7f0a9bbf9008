//! Text as a terminal of so many columns shows it. Nothing is ever cut off: what is too long goes on in the next line.

/// Spaces that a terminal counts as one column each.
pub fn plain(text: &str) -> String {
    text.replace(['\u{a0}', '\u{202f}'], " ")
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

/// A line as lines no longer than the width: what does not fit goes on below, indented further.
pub fn fold(text: &str, width: usize) -> Vec<String> {
    const FURTHER: usize = 4;
    let text = plain(text);
    if text.chars().count() <= width {
        return vec![text];
    }
    let body = text.trim_start();
    let indent = text.chars().count() - body.chars().count();
    let room = width.saturating_sub(indent + FURTHER).max(1);
    let mut lines = wrap(body, room);
    for (k, line) in lines.iter_mut().enumerate() {
        let indent = indent + if k == 0 { 0 } else { FURTHER };
        *line = format!("{:indent$}{line}", "");
    }
    lines
}

/// All lines, folded to the width, as one text that ends its last line.
pub fn folded(lines: &[String], width: usize) -> String {
    let lines: Vec<String> = lines.iter().flat_map(|l| fold(l, width)).collect();
    lines.join("\n") + "\n"
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_that_fits_stays_and_a_longer_one_goes_on_below_with_every_word() {
        assert_eq!(fold("  one two", 9), ["  one two"]);
        assert_eq!(fold("  one two", 8), ["  one", "      two"]);
        assert_eq!(fold("a b", 1), ["a", "    b"], "too narrow: still whole");
    }
}
