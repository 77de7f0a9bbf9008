//! How long acts of a watch take from the order until they are done: figures in a file, each a range with its source
//! and status, sampled under the job's seed.

use crate::verbs::{TABLE, Verb};
use deepstay_core::Status;
use deepstay_core::units::text::Duration;
use deepstay_job::random::Streams;
use deepstay_read::{Diagnostics, Document, Section, Wrong, did_you_mean, nearest, whole};
use serde::Deserialize;
use std::sync::OnceLock;

const BUILT_IN: &str = include_str!("../../../scenarios/people/acts.ron");
/// Longest time an act may take, s: who waits longer has forgotten what he asked for.
const LONGEST_S: i64 = 3600;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ActsFile {
    #[expect(
        dead_code,
        reason = "read before the rest, to name a newer file as such"
    )]
    format: u32,
    acts: Vec<ActFile>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ActFile {
    verbs: Vec<String>,
    least: Duration,
    most: Duration,
    status: Status,
    source: String,
}

/// How long one act takes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Takes {
    /// The act's verb.
    pub verb: Verb,
    /// At least, s.
    pub least_s: i64,
    /// At the most, s.
    pub most_s: i64,
    /// How the figure came to us.
    pub status: Status,
    /// Where it is from.
    pub source: String,
}

/// How long acts take; what is not among them is done at once.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Hands {
    takes: Vec<Takes>,
}

impl Hands {
    /// The built-in figures.
    pub fn built_in() -> &'static Hands {
        static MADE: OnceLock<Hands> = OnceLock::new();
        MADE.get_or_init(|| Hands::read("acts", BUILT_IN).unwrap_or_else(|bad| panic!("{bad}")))
    }

    /// Everything at once, for those who would not wait.
    pub fn at_once() -> Hands {
        Hands::default()
    }

    /// Of the text of a file.
    ///
    /// # Errors
    /// Everything found wrong, each at its place.
    pub fn read(file: &str, text: &str) -> Result<Hands, Diagnostics> {
        let mut diagnostics = Diagnostics::default();
        let document = Document::parse(file, text)?;
        let written: Option<ActsFile> = whole(&document, &[], &mut diagnostics);
        let section = Section::whole(document.into());
        let made = written.map(|written| Hands::of(&written, &section, &mut diagnostics));
        diagnostics.close(made)
    }

    fn of(written: &ActsFile, section: &Section, diagnostics: &mut Diagnostics) -> Hands {
        let mut takes: Vec<Takes> = Vec::new();
        for (i, act) in written.acts.iter().enumerate() {
            let (least_s, most_s) = (act.least.0, act.most.0);
            if least_s > most_s {
                let words = "the least is more than the most".to_owned();
                diagnostics.add(section, &format!("acts[{i}].least"), Wrong::Value(words));
            }
            if most_s > LONGEST_S {
                let words = "an act takes an hour at the most".to_owned();
                diagnostics.add(section, &format!("acts[{i}].most"), Wrong::Value(words));
            }
            for (k, name) in act.verbs.iter().enumerate() {
                let at = format!("acts[{i}].verbs[{k}]");
                let Some(row) = TABLE.iter().find(|row| row.name == name) else {
                    let near = did_you_mean(nearest(name, TABLE.iter().map(|row| row.name)));
                    let words = match near {
                        Some(near) => format!("`{name}` is no verb of the watch; {near}"),
                        None => format!(
                            "`{name}` is no verb of the watch; `deepstay watch --verbs` lists them"
                        ),
                    };
                    diagnostics.add(section, &at, Wrong::Value(words));
                    continue;
                };
                if takes.iter().any(|t| t.verb == row.verb) {
                    let words = format!("`{name}` stands above already");
                    diagnostics.add(section, &at, Wrong::Contradiction(words));
                }
                takes.push(Takes {
                    verb: row.verb,
                    least_s,
                    most_s,
                    status: act.status,
                    source: act.source.clone(),
                });
            }
        }
        Hands { takes }
    }

    /// All that take time.
    pub fn all(&self) -> &[Takes] {
        &self.takes
    }

    /// How long an act takes, s: the `nth` of a watch under a seed.
    pub fn takes_s(&self, verb: Verb, seed: u64, nth: usize) -> i64 {
        let Some(takes) = self.takes.iter().find(|t| t.verb == verb) else {
            return 0;
        };
        let word = u64::try_from(nth).unwrap_or(u64::MAX);
        let mut draw = Streams::new(seed).named("how long an act of the watch takes", word);
        let sampled_s = draw.between(takes.least_s as f64, takes.most_s as f64 + 1.0);
        (sampled_s as i64).clamp(takes.least_s, takes.most_s)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_figure_is_a_range_with_its_source() {
        let hands = Hands::built_in();
        assert!(hands.all().len() >= 12);
        for takes in hands.all() {
            assert!(
                0 < takes.least_s && takes.least_s < takes.most_s,
                "{takes:?}"
            );
            assert!(takes.source.len() > 10, "{takes:?}");
            let sampled: Vec<i64> = (0..400).map(|n| hands.takes_s(takes.verb, 7, n)).collect();
            let (least, most) = (sampled.iter().min(), sampled.iter().max());
            let wide = takes.most_s - takes.least_s;
            assert!(least.is_some_and(|s| (takes.least_s..=takes.least_s + wide / 10).contains(s)));
            assert!(most.is_some_and(|s| (takes.most_s - wide / 10..=takes.most_s).contains(s)));
            assert_eq!(hands.takes_s(takes.verb, 7, 3), sampled[3]);
        }
        assert_eq!(hands.takes_s(Verb::MakeUp, 7, 0), 0);
    }

    #[test]
    fn what_is_wrong_in_a_file_is_told_at_its_place() {
        let told = |text: &str| {
            let bad = Hands::read("ours.ron", text).expect_err("it is wrong");
            let first = &bad.all[0];
            (first.place.line, bad.to_string())
        };
        let act = |verbs: &str, least: &str, most: &str| {
            format!(
                "(format: 1, acts: [\n(verbs: [{verbs}], least: {least}, most: {most}, status: HouseRule, source: \"ours\")])"
            )
        };
        for (text, words) in [
            (
                act("\"opne\"", "\"1 s\"", "\"2 s\""),
                "did you mean `open`?",
            ),
            (
                act("\"open\"", "\"3 s\"", "\"2 s\""),
                "the least is more than the most",
            ),
            (act("\"open\"", "\"3 s\"", "\"2 h\""), "an hour at the most"),
            (
                act("\"open\", \"open\"", "\"3 s\"", "\"4 s\""),
                "stands above already",
            ),
            (act("\"open\"", "\"3 bar\"", "\"4 s\""), "bar"),
        ] {
            let (line, said) = told(&text);
            assert_eq!(line, 2, "{said}");
            assert!(said.contains(words), "{said}");
        }
    }
}
