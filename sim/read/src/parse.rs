//! A text into a tree of values. The notation is RON as its own crate reads it: white space, remarks within
//! remarks, texts raw and with escapes, words, numbers, round, square and curly brackets. Left out are
//! texts of bytes and ranges of numbers, which no file here has a use for; an opening byte-order mark is
//! passed over.

use super::diagnostics::Wrong;
use super::number;
use super::tree::{Item, Name, Node, Value};
use std::sync::Arc;
use unicode_ident::{is_xid_continue, is_xid_start};

/// How deep brackets may be nested.
pub const DEEPEST: usize = 48;

/// What breaks the notation, and at which byte.
#[derive(Debug)]
pub(crate) struct Broken {
    pub at: usize,
    pub wrong: Wrong,
    pub remedy: Option<&'static str>,
}

type Parsed<T> = Result<T, Broken>;

/// The value of a whole text.
pub(crate) fn parse(source: &Arc<str>) -> Parsed<Arc<Node>> {
    let mut parser = Parser {
        source,
        text: source,
        at: 0,
        depth: 0,
    };
    // The mark that some editors write before all else.
    parser.take('\u{feff}');
    parser.space()?;
    parser.attributes()?;
    let node = parser.value()?;
    parser.space()?;
    match parser.peek() {
        None => Ok(node),
        Some(_) => Err(parser.broken("expected nothing more after the last bracket", None)),
    }
}

struct Parser<'a> {
    source: &'a Arc<str>,
    text: &'a str,
    at: usize,
    depth: usize,
}

impl<'a> Parser<'a> {
    fn rest(&self) -> &'a str {
        &self.text[self.at..]
    }

    fn peek(&self) -> Option<char> {
        self.rest().chars().next()
    }

    fn next(&mut self) -> Option<char> {
        let c = self.peek()?;
        self.at += c.len_utf8();
        Some(c)
    }

    fn take(&mut self, c: char) -> bool {
        let there = self.rest().starts_with(c);
        if there {
            self.at += c.len_utf8();
        }
        there
    }

    fn take_str(&mut self, words: &str) -> bool {
        let there = self.rest().starts_with(words);
        if there {
            self.at += words.len();
        }
        there
    }

    fn broken(&self, words: &str, remedy: Option<&'static str>) -> Broken {
        self.broken_at(self.at, words, remedy)
    }

    fn broken_at(&self, at: usize, words: &str, remedy: Option<&'static str>) -> Broken {
        Broken {
            at,
            wrong: Wrong::Notation(words.to_owned()),
            remedy,
        }
    }

    fn ended(&self) -> Broken {
        const OPEN: &str = "a bracket or a quotation mark may be open";
        self.broken("unexpected end of the file", Some(OPEN))
    }

    fn node(&self, from: usize, value: Value) -> Arc<Node> {
        Arc::new(Node {
            source: self.source.clone(),
            span: from..self.at,
            instead: None,
            value,
        })
    }

    /// Past white space and remarks.
    fn space(&mut self) -> Parsed<()> {
        loop {
            let rest = self.rest();
            self.at += rest.len() - rest.trim_start_matches(is_space).len();
            let began = self.at;
            if self.take_str("//") {
                let rest = self.rest();
                self.at += rest.find('\n').unwrap_or(rest.len());
            } else if self.take_str("/*") {
                let mut level = 1;
                while level > 0 {
                    let Some(next) = self.rest().find(['/', '*']) else {
                        let close = Some("close the remark with */");
                        return Err(self.broken_at(
                            began,
                            "a remark that begins with /* has no end",
                            close,
                        ));
                    };
                    self.at += next;
                    if self.take_str("/*") {
                        level += 1;
                    } else if self.take_str("*/") {
                        level -= 1;
                    } else {
                        self.at += 1;
                    }
                }
            } else {
                return Ok(());
            }
        }
    }

    /// Leave to write the notation in ways that are open here anyway, and names for editors.
    fn attributes(&mut self) -> Parsed<()> {
        const ANYWAY: [&str; 2] = ["implicit_some", "unwrap_newtypes"];
        while self.rest().starts_with('#') {
            let began = self.at;
            let end = self.rest().find(']').ok_or_else(|| self.ended())?;
            let plain: String = self.rest()[..=end]
                .chars()
                .filter(|c| !is_space(*c))
                .collect();
            let inner = plain.strip_prefix("#![").and_then(|p| p.strip_suffix(']'));
            let known = inner.is_some_and(|inner| {
                let list = inner
                    .strip_prefix("enable(")
                    .and_then(|l| l.strip_suffix(')'));
                let text = |key: &str| {
                    let value = inner.strip_prefix(key).unwrap_or("");
                    value.len() > 1 && value.starts_with('"') && value.ends_with('"')
                };
                list.is_some_and(|l| {
                    l.trim_end_matches(',')
                        .split(',')
                        .all(|e| ANYWAY.contains(&e))
                }) || text("type=")
                    || text("schema=")
            });
            if !known {
                let words = "an attribute that these files do not have";
                return Err(self.broken_at(began, words, Some("leave the line out")));
            }
            self.at += end + 1;
            self.space()?;
        }
        Ok(())
    }

    fn value(&mut self) -> Parsed<Arc<Node>> {
        let from = self.at;
        let c = self.peek().ok_or_else(|| self.ended())?;
        match c {
            '(' => self.group(from, None),
            '[' => {
                let nodes = self.bracket(']', Parser::value)?;
                Ok(self.node(from, Value::List(nodes)))
            }
            '{' => {
                let pairs = self.bracket('}', |p| {
                    let key = p.value()?;
                    p.colon()?;
                    Ok((key, p.value()?))
                })?;
                Ok(self.node(from, Value::Map(pairs)))
            }
            '"' => {
                let text = self.text_in_quotes()?;
                Ok(self.node(from, Value::Text(text)))
            }
            'r' if self.is_raw_text() => {
                let text = self.raw_text()?;
                Ok(self.node(from, Value::Text(text)))
            }
            '\'' => {
                self.at += 1;
                let c = match self.next().ok_or_else(|| self.ended())? {
                    '\\' => self.escape(true)?,
                    c => c,
                };
                if !self.take('\'') {
                    return Err(self.broken("expected the ' that ends one character", None));
                }
                Ok(self.node(from, Value::Char(c)))
            }
            'b' if ["b\"", "b'", "br\"", "br#"]
                .iter()
                .any(|b| self.rest().starts_with(b)) =>
            {
                let words = "a text of bytes has no use here";
                Err(self.broken(words, Some("write a text in plain quotation marks")))
            }
            '0'..='9' | '+' | '-' | '.' => {
                let length = number::length(self.rest());
                self.at += length;
                match number::wrong(&self.text[from..self.at]) {
                    None => Ok(self.node(from, Value::Number)),
                    Some(words) => Err(self.broken_at(from, words, None)),
                }
            }
            c if c == '_' || is_xid_start(c) => {
                let word = self.word();
                let end = self.at;
                self.space()?;
                if self.peek() == Some('(') {
                    return self.group(from, Some(word.into()));
                }
                self.at = end;
                Ok(self.node(from, Value::Word(word.into())))
            }
            c => Err(self.broken(&format!("unexpected `{c}`"), None)),
        }
    }

    /// A word; with `r#` before it, it may have signs in it.
    fn word(&mut self) -> &'a str {
        let raw = self.take_str("r#");
        let rest = self.rest();
        let fits = |c: char| is_xid_continue(c) || raw && matches!(c, '.' | '+' | '-');
        let word = &rest[..rest.find(|c| !fits(c)).unwrap_or(rest.len())];
        self.at += word.len();
        word
    }

    fn colon(&mut self) -> Parsed<()> {
        self.space()?;
        if !self.take(':') {
            return Err(self.broken("expected a colon", Some("a field is written name: value")));
        }
        self.space()
    }

    /// What is in brackets, with commas between.
    fn bracket<T>(
        &mut self,
        close: char,
        mut one: impl FnMut(&mut Self) -> Parsed<T>,
    ) -> Parsed<Vec<T>> {
        if self.depth >= DEEPEST {
            return Err(Broken {
                at: self.at,
                wrong: Wrong::TooDeep { most: DEEPEST },
                remedy: None,
            });
        }
        self.depth += 1;
        self.at += 1;
        self.space()?;
        let mut all = Vec::new();
        while !self.take(close) {
            all.push(one(self)?);
            self.space()?;
            if self.take(',') {
                self.space()?;
            } else if self.peek().is_none() {
                return Err(self.ended());
            } else if self.peek() != Some(close) {
                let hint = match close {
                    ']' => "a comma or `]` may be missing before this",
                    ')' => "a comma or `)` may be missing before this",
                    _ => "a comma may be missing before this",
                };
                return Err(self.broken("expected a comma", Some(hint)));
            }
        }
        self.depth -= 1;
        Ok(all)
    }

    fn group(&mut self, from: usize, word: Option<Arc<str>>) -> Parsed<Arc<Node>> {
        let mut named = None;
        let items = self.bracket(')', |p| {
            let name = p.field_name()?;
            if named.is_some_and(|named| named != name.is_some()) {
                let hint = Some("a field is written name: value");
                return Err(p.broken("fields and values without a name in one bracket", hint));
            }
            named = Some(name.is_some());
            Ok(Item {
                name,
                node: p.value()?,
            })
        })?;
        Ok(self.node(from, Value::Group(word, items)))
    }

    /// The name of a field with its colon, if that is what stands here.
    fn field_name(&mut self) -> Parsed<Option<Name>> {
        let began = self.at;
        let word = match self.peek() {
            Some(c) if (c == '_' || is_xid_start(c)) && !self.is_raw_text() => self.word(),
            _ => return Ok(None),
        };
        self.space()?;
        if self.take(':') {
            self.space()?;
            return Ok(Some(Name {
                text: word.into(),
                at: Some(began),
            }));
        }
        self.at = began;
        Ok(None)
    }

    fn is_raw_text(&self) -> bool {
        let hashes = self
            .rest()
            .strip_prefix('r')
            .map(|r| r.trim_start_matches('#'));
        hashes.is_some_and(|after| after.starts_with('"'))
    }

    fn raw_text(&mut self) -> Parsed<Arc<str>> {
        let began = self.at;
        self.at += 1;
        let hashes = self.rest().len() - self.rest().trim_start_matches('#').len();
        self.at += hashes + 1;
        let end = format!("\"{}", "#".repeat(hashes));
        let Some(length) = self.rest().find(&end) else {
            return Err(self.broken_at(
                began,
                "a raw text has no end",
                Some("end it as it begins"),
            ));
        };
        let text = self.rest()[..length].into();
        self.at += length + end.len();
        Ok(text)
    }

    fn text_in_quotes(&mut self) -> Parsed<Arc<str>> {
        let began = self.at;
        self.at += 1;
        let from = self.at;
        let mut meant = String::new();
        let mut plainly = true;
        loop {
            let Some(next) = self.rest().find(['"', '\\']) else {
                let hint = Some("a quotation mark may be missing");
                return Err(self.broken_at(began, "a text in quotes has no end", hint));
            };
            let plain = &self.rest()[..next];
            self.at += next + 1;
            if self.text[..self.at].ends_with('"') {
                if plainly {
                    return Ok(self.text[from..self.at - 1].into());
                }
                meant.push_str(plain);
                return Ok(meant.into());
            }
            plainly = false;
            meant.push_str(plain);
            if self.take_str("\r\n") || self.take('\n') {
                let rest = self.rest();
                self.at += rest.len() - rest.trim_start_matches([' ', '\t', '\n', '\r']).len();
            } else {
                meant.push(self.escape(false)?);
            }
        }
    }

    /// What a backslash and the signs after it stand for.
    fn escape(&mut self, one_character: bool) -> Parsed<char> {
        let began = self.at - 1;
        let unknown = |p: &Self| {
            let hint = Some("write a backslash as \\\\, or the text as r\"...\"");
            p.broken_at(
                began,
                "a backslash with signs after it that stand for nothing",
                hint,
            )
        };
        Ok(match self.next().ok_or_else(|| self.ended())? {
            c @ ('\'' | '"' | '\\') => c,
            'n' => '\n',
            'r' => '\r',
            't' => '\t',
            '0' => '\0',
            'x' => {
                let mut bytes = Vec::new();
                loop {
                    let digits = self
                        .rest()
                        .get(..2)
                        .filter(|d| d.bytes().all(|b| b.is_ascii_hexdigit()));
                    let byte = digits.and_then(|d| u8::from_str_radix(d, 16).ok());
                    bytes.push(byte.ok_or_else(|| unknown(self))?);
                    self.at += 2;
                    match std::str::from_utf8(&bytes)
                        .ok()
                        .and_then(|s| s.chars().next())
                    {
                        Some(c) => break c,
                        None if one_character || bytes.len() == 4 || !self.take_str("\\x") => {
                            return Err(unknown(self));
                        }
                        None => {}
                    }
                }
            }
            'u' => {
                let digits = self
                    .rest()
                    .strip_prefix('{')
                    .and_then(|r| r.split_once('}'));
                let digits = digits
                    .map(|(d, _)| d)
                    .filter(|d| (1..=6).contains(&d.len()));
                let plain = digits.filter(|d| d.bytes().all(|b| b.is_ascii_hexdigit()));
                let plain = plain.ok_or_else(|| unknown(self))?;
                self.at += plain.len() + 2;
                let code = u32::from_str_radix(plain, 16).ok();
                code.and_then(char::from_u32).ok_or_else(|| unknown(self))?
            }
            _ => return Err(unknown(self)),
        })
    }
}

fn is_space(c: char) -> bool {
    matches!(
        c,
        ' ' | '\t'
            | '\n'
            | '\r'
            | '\x0B'
            | '\x0C'
            | '\u{85}'
            | '\u{200E}'
            | '\u{200F}'
            | '\u{2028}'
            | '\u{2029}'
    )
}
