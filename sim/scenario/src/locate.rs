//! Finds the place of a value in the text of a file from its way through the fields, so that checks
//! made long after reading can still name line and column. Understands just enough of the notation:
//! brackets, text in quotes, comments, names and colons.

/// One step on the way to a value.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Step {
    /// Into a field.
    Field(String),
    /// Into an element of a list or a bracket without names.
    Index(usize),
}

/// A way as text: `divers[3].initials`.
pub(super) fn written(steps: &[Step]) -> String {
    let mut text = String::new();
    for step in steps {
        match step {
            Step::Field(name) if text.is_empty() => text.push_str(name),
            Step::Field(name) => {
                text.push('.');
                text.push_str(name);
            }
            Step::Index(i) => text.push_str(&format!("[{i}]")),
        }
    }
    text
}

/// A way from its text.
pub(super) fn steps(path: &str) -> Vec<Step> {
    let mut steps = Vec::new();
    for part in path.split('.').filter(|p| !p.is_empty()) {
        let (name, indices) = part.split_once('[').map_or((part, ""), |(n, i)| (n, i));
        if !name.is_empty() {
            steps.push(Step::Field(name.to_owned()));
        }
        steps.extend(
            indices
                .split('[')
                .filter_map(|i| i.trim_end_matches(']').parse().ok())
                .map(Step::Index),
        );
    }
    steps
}

/// Line and column (in characters, both from 1) of a byte in a text.
pub(super) fn line_column(text: &str, at: usize) -> (usize, usize) {
    let before = text.get(..at).unwrap_or(text);
    let line = before.bytes().filter(|b| *b == b'\n').count() + 1;
    let column = before.rsplit('\n').next().unwrap_or("").chars().count() + 1;
    (line, column)
}

/// First byte of a line and column, as far as the text has them.
pub(super) fn byte_of(text: &str, line: usize, column: usize) -> usize {
    let start: usize = text
        .split_inclusive('\n')
        .take(line.saturating_sub(1))
        .map(str::len)
        .sum();
    let rest = text.get(start..).unwrap_or("");
    start
        + rest
            .chars()
            .take(column.saturating_sub(1))
            .map(char::len_utf8)
            .sum::<usize>()
}

/// A line of a text, cut where it goes on for long.
pub(super) fn line(text: &str, number: usize) -> String {
    const SHOWN: usize = 160;
    let line = text.lines().nth(number.saturating_sub(1)).unwrap_or("");
    line.chars()
        .take(SHOWN)
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect()
}

/// Where the value at the end of a way begins and ends; where a step is not in the text, the value
/// reached so far.
pub(super) fn value(text: &str, way: &[Step]) -> std::ops::Range<usize> {
    let scan = Scan {
        text: text.as_bytes(),
    };
    let mut at = scan.skip(0);
    for step in way {
        match child_at(&scan, text, at, step) {
            Some(child) => at = child,
            None => break,
        }
    }
    at..scan.end_of(at)
}

/// Whether every step of a way is in the text.
pub(super) fn is_there(text: &str, way: &[Step]) -> bool {
    let scan = Scan {
        text: text.as_bytes(),
    };
    let mut at = scan.skip(0);
    way.iter().all(|step| {
        let child = child_at(&scan, text, at, step);
        at = child.unwrap_or(at);
        child.is_some()
    })
}

fn child_at(scan: &Scan, text: &str, at: usize, step: &Step) -> Option<usize> {
    let is = |(i, child): (usize, &Child)| match step {
        Step::Field(name) => child
            .name
            .clone()
            .is_some_and(|n| text.get(n) == Some(name.as_str())),
        Step::Index(index) => i == *index,
    };
    let children = scan.children(at);
    let found = children.iter().enumerate().position(is)?;
    Some(children[found].value)
}

/// Whether the value at the end of a way is a choice with one thing in its brackets, without a name.
pub(super) fn wraps_one(text: &str, way: &[Step]) -> bool {
    let scan = Scan {
        text: text.as_bytes(),
    };
    let children = scan.children(value(text, way).start);
    children.len() == 1 && children[0].name.is_none()
}

/// Where a field's name is written, within the value at the end of a way.
pub(super) fn field_name(text: &str, way: &[Step], name: &str) -> Option<usize> {
    let scan = Scan {
        text: text.as_bytes(),
    };
    let at = value(text, way).start;
    let found = scan
        .children(at)
        .into_iter()
        .filter_map(|c| c.name)
        .find(|n| text.get(n.clone()) == Some(name));
    found.map(|n| n.start)
}

/// Where the first thing in the brackets of the value at the end of a way ends.
pub(super) fn first_end(text: &str, way: &[Step]) -> Option<usize> {
    let scan = Scan {
        text: text.as_bytes(),
    };
    let first = scan.children(value(text, way).start).into_iter().next()?;
    Some(scan.end_of(first.value))
}

/// The names of the fields of the value at the end of a way.
pub(super) fn field_names(text: &str, way: &[Step]) -> Vec<String> {
    let scan = Scan {
        text: text.as_bytes(),
    };
    let children = scan.children(value(text, way).start);
    let name = |c: Child| text.get(c.name?).map(str::to_owned);
    children.into_iter().filter_map(name).collect()
}

/// The name of the first field of the file.
pub(super) fn first_field(text: &str) -> Option<&str> {
    let scan = Scan {
        text: text.as_bytes(),
    };
    let first = scan.children(scan.skip(0)).into_iter().next()?;
    text.get(first.name?)
}

/// How many elements the value at the end of a way has.
pub(super) fn count(text: &str, way: &[Step]) -> usize {
    let scan = Scan {
        text: text.as_bytes(),
    };
    if is_there(text, way) {
        scan.children(value(text, way).start).len()
    } else {
        0
    }
}

/// How deep the brackets go.
pub(super) fn depth(text: &str) -> usize {
    let scan = Scan {
        text: text.as_bytes(),
    };
    let (mut at, mut depth, mut most) = (scan.skip(0), 0usize, 0);
    while let Some(&byte) = scan.text.get(at) {
        match byte {
            b'(' | b'[' | b'{' => {
                depth += 1;
                most = most.max(depth);
            }
            b')' | b']' | b'}' => depth = depth.saturating_sub(1),
            _ => {}
        }
        at = scan.skip(scan.token_end(at));
    }
    most
}

struct Child {
    name: Option<std::ops::Range<usize>>,
    value: usize,
}

struct Scan<'a> {
    text: &'a [u8],
}

impl Scan<'_> {
    /// Past white space and comments.
    fn skip(&self, mut at: usize) -> usize {
        loop {
            let rest = self.text.get(at..).unwrap_or(&[]);
            match rest {
                [b, ..] if b.is_ascii_whitespace() => at += 1,
                [b'/', b'/', ..] => {
                    at += rest.iter().position(|b| *b == b'\n').unwrap_or(rest.len())
                }
                [b'/', b'*', ..] => {
                    at += rest
                        .windows(2)
                        .skip(2)
                        .position(|w| w == b"*/")
                        .map_or(rest.len(), |i| i + 4);
                }
                // The byte-order mark some editors write.
                [0xef, 0xbb, 0xbf, ..] => at += 3,
                _ => return at,
            }
        }
    }

    /// Past one token: a text in quotes, a name or number, or a single sign.
    fn token_end(&self, at: usize) -> usize {
        let word = |b: u8| {
            b.is_ascii_alphanumeric() || matches!(b, b'_' | b'.' | b'-' | b'+') || b >= 0x80
        };
        match self.text.get(at) {
            None => at,
            Some(b'r') if matches!(self.text.get(at + 1), Some(b'"' | b'#')) => self.raw_end(at),
            Some(&quote @ (b'"' | b'\'')) => {
                let mut i = at + 1;
                while let Some(&b) = self.text.get(i) {
                    i += 1;
                    match b {
                        b'\\' => i += 1,
                        b if b == quote => break,
                        _ => {}
                    }
                }
                i.min(self.text.len())
            }
            Some(&b) if word(b) => at + self.text[at..].iter().take_while(|b| word(**b)).count(),
            Some(_) => at + 1,
        }
    }

    fn raw_end(&self, at: usize) -> usize {
        let hashes = self.text[at + 1..]
            .iter()
            .take_while(|b| **b == b'#')
            .count();
        let mut end = vec![b'"'];
        end.extend(std::iter::repeat_n(b'#', hashes));
        let inside = at + 2 + hashes;
        let rest = self.text.get(inside..).unwrap_or(&[]);
        rest.windows(end.len())
            .position(|w| w == end)
            .map_or(self.text.len(), |i| inside + i + end.len())
    }

    /// Past a whole value with its brackets.
    fn end_of(&self, mut at: usize) -> usize {
        let mut depth = 0usize;
        loop {
            let Some(&byte) = self.text.get(at) else {
                return at;
            };
            match byte {
                b'(' | b'[' | b'{' => depth += 1,
                b')' | b']' | b'}' if depth <= 1 => return if depth == 1 { at + 1 } else { at },
                b')' | b']' | b'}' => depth -= 1,
                b',' | b':' if depth == 0 => return at,
                _ => {}
            }
            let end = self.token_end(at);
            let next = self.skip(end);
            if depth == 0 && !matches!(self.text.get(next), Some(b'(')) {
                return end;
            }
            at = next;
        }
    }

    /// What is directly inside the brackets of a value; a name before the bracket is passed over.
    fn children(&self, at: usize) -> Vec<Child> {
        let mut at = at;
        if !matches!(self.text.get(at), Some(b'(' | b'[' | b'{')) {
            at = self.skip(self.token_end(at));
        }
        if !matches!(self.text.get(at), Some(b'(' | b'[' | b'{')) {
            return Vec::new();
        }
        at = self.skip(at + 1);
        let mut children = Vec::new();
        while let Some(byte) = self.text.get(at) {
            let began = at;
            if matches!(byte, b')' | b']' | b'}') {
                break;
            }
            let end = self.token_end(at);
            let after = self.skip(end);
            let child = if self.text.get(after) == Some(&b':') {
                Child {
                    name: Some(at..end),
                    value: self.skip(after + 1),
                }
            } else {
                Child {
                    name: None,
                    value: at,
                }
            };
            let past = self.skip(self.end_of(child.value).max(child.value));
            children.push(child);
            at = if self.text.get(past) == Some(&b',') {
                self.skip(past + 1)
            } else {
                past
            };
            if at <= began {
                break;
            }
        }
        children
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "(\n  format: 1, // a note (with brackets\n  crew: (divers: [\n    (initials: \"A)B\", team: 1),\n    (initials: \"CD\", what: Leak(bore: \"3 mm\")),\n  ]),\n  pair: (\"x\", 2),\n)";

    fn at(path: &str) -> (usize, usize) {
        line_column(TEXT, value(TEXT, &steps(path)).start)
    }

    #[test]
    fn places() {
        assert_eq!(at("format"), (2, 11));
        assert_eq!(at("crew.divers[0].initials"), (4, 16));
        assert_eq!(at("crew.divers[1].what.bore"), (5, 39));
        assert_eq!(at("pair[1]"), (7, 15));
        assert_eq!(at("crew.divers[7]"), at("crew.divers"));
        let found = value(TEXT, &steps("crew.divers[1].what"));
        assert_eq!(&TEXT[found], "Leak(bore: \"3 mm\")");
        assert_eq!(count(TEXT, &steps("crew.divers")), 2);
        assert_eq!(depth(TEXT), 5);
        assert_eq!(first_field(TEXT), Some("format"));
        assert_eq!(
            field_name(TEXT, &steps("crew.divers[0]"), "team"),
            TEXT.find("team")
        );
    }

    #[test]
    fn ways_read_back() {
        for path in ["crew.divers[3].initials", "pair[1]", "a.b.c", ""] {
            assert_eq!(written(&steps(path)), path);
        }
    }

    #[test]
    fn broken_text_ends() {
        for text in [
            "(", "((((", "[,,,]", "(a:", "(a:,)", "\"", "r#\"", "/*", ")", "(:::)", "(a b c)",
            "é(ü: [", "'", "\\",
        ] {
            let _ = (
                depth(text),
                first_field(text),
                value(text, &steps("a.b[1]")),
                count(text, &[]),
            );
        }
    }
}
