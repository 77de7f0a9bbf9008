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

/// A name with what is said of it, which goes on in its own column; on a narrow screen below the name.
pub fn hung(name: &str, column: usize, words: &str, width: usize) -> Vec<String> {
    const NARROWEST: usize = 24;
    let words = plain(words);
    if width < column + NARROWEST {
        return fold(&format!("{name} {words}"), width);
    }
    let lines = wrap(&words, width - column).into_iter().enumerate();
    lines
        .map(|(k, line)| format!("{:column$}{line}", if k == 0 { name } else { "" }))
        .collect()
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
    fn what_is_said_of_a_name_keeps_to_its_column() {
        let words = "one two three four five six seven eight nine";
        let lines = hung("  a", 6, words, 32);
        assert_eq!(lines[0], "  a   one two three four five");
        assert_eq!(lines[1], "      six seven eight nine");
        assert_eq!(hung("  a", 6, "one two", 20), ["  a one two"], "narrow");
    }

    #[test]
    fn a_line_that_fits_stays_and_a_longer_one_goes_on_below_with_every_word() {
        assert_eq!(fold("  one two", 9), ["  one two"]);
        assert_eq!(fold("  one two", 8), ["  one", "      two"]);
        assert_eq!(fold("a b", 1), ["a", "    b"], "too narrow: still whole");
    }
}
