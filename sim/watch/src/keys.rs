//! Which key says which verb: as the table has it, or as a file sets some of them otherwise.

use crate::verbs::{TABLE, Verb};
use deepstay_read::{Diagnostics, Document, Section, Wrong, did_you_mean, nearest, whole};
use serde::Deserialize;
use std::collections::BTreeMap;

/// Keys of the screen itself, on which no verb may lie.
pub const OF_THE_SCREEN: &[char] = &[
    ' ', '[', ']', 'f', 'u', '?', ':', 'J', 'c', 'Q', '+', '-', '<', '>', '1', '2', '3', '4', '5',
    '6', '7', '8', '9', '0',
];

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct KeysFile {
    #[expect(
        dead_code,
        reason = "read before the rest, to name a newer file as such"
    )]
    format: u32,
    keys: Vec<KeyFile>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct KeyFile {
    verb: String,
    key: String,
}

/// The keys of the verbs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Keys(Vec<Option<char>>);

impl Default for Keys {
    fn default() -> Keys {
        Keys(TABLE.iter().map(|row| Some(row.key)).collect())
    }
}

impl Keys {
    /// The table's keys, with those of the text of a file in their place: `(format: 1, keys: [(verb: "make-up", key: "a")])`. A verb
    /// whose key goes to another, and that is given none, has none; `""` takes a verb's key away.
    ///
    /// # Errors
    /// Everything found wrong, each at its place.
    pub fn read(file: &str, text: &str) -> Result<Keys, Diagnostics> {
        let mut diagnostics = Diagnostics::default();
        let document = Document::parse(file, text)?;
        let written: Option<KeysFile> = whole(&document, &[], &mut diagnostics);
        let section = Section::whole(document.into());
        let made = written.map(|written| Keys::of(&written.keys, &section, &mut diagnostics));
        diagnostics.close(made)
    }

    fn of(written: &[KeyFile], section: &Section, diagnostics: &mut Diagnostics) -> Keys {
        let mut keys = Keys::default();
        let mut set: BTreeMap<char, &str> = BTreeMap::new();
        for (i, KeyFile { verb: name, key }) in written.iter().enumerate() {
            let mut wrong = |part: &str, words: String| {
                diagnostics.add(section, &format!("keys[{i}].{part}"), Wrong::Value(words));
            };
            let Some(row) = TABLE.iter().find(|row| row.name == name) else {
                let near = did_you_mean(nearest(name, TABLE.iter().map(|row| row.name)));
                let right = near.unwrap_or("`deepstay watch --verbs` lists them".to_owned());
                wrong("verb", format!("`{name}` is no verb of the watch; {right}"));
                continue;
            };
            let mut signs = key.chars();
            let sign = match (signs.next(), signs.next()) {
                (None, _) => {
                    keys.0[row.verb as usize] = None;
                    continue;
                }
                (Some(sign), None) if !sign.is_control() => sign,
                _ => {
                    wrong(
                        "key",
                        format!("`{key}` is no key: one letter or sign, or none"),
                    );
                    continue;
                }
            };
            if OF_THE_SCREEN.contains(&sign) {
                wrong("key", format!("`{sign}` is a key of the screen itself"));
                continue;
            }
            if let Some(other) = set.insert(sign, name) {
                wrong("key", format!("`{sign}` is set for `{other}` already"));
                continue;
            }
            keys.give(row.verb, sign);
        }
        keys
    }

    fn give(&mut self, verb: Verb, sign: char) {
        for key in &mut self.0 {
            if *key == Some(sign) {
                *key = None;
            }
        }
        self.0[verb as usize] = Some(sign);
    }

    /// The key of a verb.
    pub fn of_verb(&self, verb: Verb) -> Option<char> {
        self.0[verb as usize]
    }

    /// The verb of a key.
    pub fn verb(&self, key: char) -> Option<Verb> {
        let mut rows = TABLE.iter().map(|row| row.verb);
        rows.find(|verb| self.of_verb(*verb) == Some(key))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_verb_lies_on_a_key_of_the_screen() {
        for row in TABLE {
            assert!(!OF_THE_SCREEN.contains(&row.key), "{}", row.name);
        }
    }

    fn file(keys: &[(&str, &str)]) -> String {
        let keys = keys
            .iter()
            .map(|(verb, key)| format!("(verb: \"{verb}\", key: \"{key}\")"));
        let keys: Vec<String> = keys.collect();
        format!("(format: 1, keys: [\n{}])", keys.join(", "))
    }

    #[test]
    fn a_file_sets_some_keys_otherwise() {
        let ours = file(&[("make-up", "b"), ("drain", "A"), ("stop", "")]);
        let keys = Keys::read("ours.ron", &ours).expect("it is right");
        assert_eq!(keys.verb('b'), Some(Verb::MakeUp));
        assert_eq!(keys.of_verb(Verb::Drain), Some('A'));
        assert_eq!(keys.of_verb(Verb::Bleed), None, "its key went to another");
        assert_eq!(keys.of_verb(Verb::Stop), None);
        assert_eq!(keys.verb('m'), None);
        assert_eq!(keys.verb('x'), Some(Verb::Exhaust), "the others stay");
    }

    #[test]
    fn what_is_wrong_in_a_file_is_told_at_its_place() {
        for (keys, words) in [
            (&[("make-op", "b")][..], "did you mean `make-up`?"),
            (&[("make-up", "ab")], "one letter or sign"),
            (&[("make-up", "Q")], "of the screen"),
            (
                &[("make-up", "b"), ("stop", "b")],
                "set for `make-up` already",
            ),
        ] {
            let bad = Keys::read("ours.ron", &file(keys)).expect_err(words);
            assert_eq!(bad.all[0].place.line, 2, "{bad}");
            assert!(bad.to_string().contains(words), "{bad}");
        }
    }
}
