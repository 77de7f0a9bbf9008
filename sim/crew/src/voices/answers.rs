//! What comes back when somebody is called: the table of the file made whole. Every phrase that makes sense to
//! somebody has its row for every way he may stand, exactly once, or the file does not load.

use super::file::{AnswersFile, ComesFile};
use deepstay_core::record::{Called, Fitness, PhraseKind};
use deepstay_core::words::Words;
use deepstay_read::{Diagnostics, Section, Wrong};
use deepstay_rules::Status;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Longest time that an answer or a remark may take, s: who waits longer has forgotten what he asked.
pub(super) const LONGEST_S: i64 = 3600;

/// How a call is answered.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Manner {
    /// As it is.
    Right,
    /// As it is, and late.
    Late,
    /// As it is not.
    Wrong,
    /// Not at all.
    Nothing,
}

/// One thing that may come of a call.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Comes {
    manner: Manner,
    chance: f64,
    least_s: i64,
    most_s: i64,
}

impl From<ComesFile> for Comes {
    fn from(file: ComesFile) -> Comes {
        let (manner, chance, range) = match file {
            ComesFile::Right {
                chance,
                least,
                most,
            } => (Manner::Right, chance, Some((least, most))),
            ComesFile::Late {
                chance,
                least,
                most,
            } => (Manner::Late, chance, Some((least, most))),
            ComesFile::Wrong {
                chance,
                least,
                most,
            } => (Manner::Wrong, chance, Some((least, most))),
            ComesFile::Nothing { chance } => (Manner::Nothing, chance, None),
        };
        let (least_s, most_s) = range.map_or((0, 0), |(least, most)| (least.0, most.0));
        Comes {
            manner,
            chance: chance.0,
            least_s,
            most_s,
        }
    }
}

/// What was drawn of a row: how it is answered, and after how long, s.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Drawn {
    /// How.
    pub manner: Manner,
    /// After how long, s.
    pub after_s: i64,
}

/// A row: what comes of a phrase from somebody in a state.
#[derive(Clone, Debug, PartialEq)]
pub struct Answers {
    comes: Vec<Comes>,
    /// How the figures came to us.
    pub status: Status,
    /// Where they come from.
    pub source: String,
}

impl Answers {
    /// What two variates between 0 and 1 make of it: which of its outcomes, and after how long.
    pub fn drawn(&self, which: f64, when: f64) -> Drawn {
        let mut left = which;
        let mut comes = self.comes.iter().filter(|c| c.chance > 0.0).peekable();
        while let Some(one) = comes.next() {
            left -= one.chance;
            if left < 0.0 || comes.peek().is_none() {
                return Drawn {
                    manner: one.manner,
                    after_s: within(one.least_s, one.most_s, when),
                };
            }
        }
        Drawn {
            manner: Manner::Nothing,
            after_s: 0,
        }
    }

    /// How likely it is answered in a manner.
    pub fn chance(&self, manner: Manner) -> f64 {
        let of = self.comes.iter().filter(|c| c.manner == manner);
        of.map(|c| c.chance).sum()
    }

    /// After how long an answer in a manner comes, at least and at the most, s.
    pub fn range_s(&self, manner: Manner) -> Option<(i64, i64)> {
        let of = self.comes.iter().filter(|c| c.manner == manner);
        let ends = of.map(|c| (c.least_s, c.most_s));
        ends.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
    }
}

/// A whole second between two, each as likely.
pub(super) fn within(least_s: i64, most_s: i64, variate: f64) -> i64 {
    let wide = (most_s - least_s + 1) as f64;
    (least_s + (variate * wide) as i64).clamp(least_s, most_s)
}

/// Who is called, with what, and how he stands if he is a diver.
pub(super) type Key = (Called, PhraseKind, Option<Fitness>);

/// The rows by what they answer.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Table(BTreeMap<Key, Answers>);

/// States of a diver, from well to dead.
const STATES: [Fitness; 5] = [
    Fitness::Well,
    Fitness::Slow,
    Fitness::Confused,
    Fitness::Out,
    Fitness::Dead,
];

impl Table {
    /// Of what is written, with whatever is wrong with it told.
    pub fn of(written: &[AnswersFile], section: &Section, diagnostics: &mut Diagnostics) -> Table {
        let mut table = Table::default();
        for (i, row) in written.iter().enumerate() {
            let at = format!("answers[{i}]");
            let mut tell = |field: &str, wrong: Wrong| {
                diagnostics.add(section, &format!("{at}.{field}"), wrong);
            };
            let comes: Vec<Comes> = row.comes.iter().map(|c| Comes::from(*c)).collect();
            check(&comes, row, &mut tell);
            for key in keys(row, &mut tell) {
                let answers = Answers {
                    comes: comes.clone(),
                    status: row.status,
                    source: row.source.clone(),
                };
                if table.0.insert(key, answers).is_some() {
                    let words = format!("{} has its row above already", in_words(key));
                    tell("phrases", Wrong::Contradiction(words));
                }
            }
        }
        let missing: Vec<String> = every_key()
            .filter(|key| !table.0.contains_key(key))
            .map(in_words)
            .collect();
        if let Some(first) = missing.first() {
            let more = match missing.len() - 1 {
                0 => String::new(),
                more => format!(", and {more} more"),
            };
            let words = format!("no row says what comes of {first}{more}");
            diagnostics.add(section, "answers", Wrong::Value(words));
        }
        table
    }

    pub fn get(&self, key: Key) -> Option<&Answers> {
        self.0.get(&key)
    }

    /// Every row, with what it answers.
    pub fn rows(&self) -> impl Iterator<Item = (Key, &Answers)> {
        self.0.iter().map(|(key, answers)| (*key, answers))
    }
}

/// Everything that has to have its row.
pub(super) fn every_key() -> impl Iterator<Item = Key> {
    Called::ALL.into_iter().flat_map(|called| {
        let states: Vec<Option<Fitness>> = match called {
            Called::Divers => STATES.map(Some).into(),
            _ => vec![None],
        };
        let phrases = called.understands().iter();
        phrases.flat_map(move |phrase| {
            let states = states.clone().into_iter();
            states.map(move |state| (called, *phrase, state))
        })
    })
}

fn in_words((called, phrase, state): Key) -> String {
    let state = state.map_or(String::new(), |s| format!(" and is {s:?}"));
    format!(
        "`{phrase:?}` (\"{}\") to whoever is among {called:?}{state}",
        phrase.words()
    )
}

/// What a row answers, each with every other of its lists; what makes no sense is told.
fn keys(row: &AnswersFile, tell: &mut impl FnMut(&str, Wrong)) -> Vec<Key> {
    let mut keys = Vec::new();
    for called in &row.from {
        let states: Vec<Option<Fitness>> = match (called, row.states.is_empty()) {
            (Called::Divers, false) => row.states.iter().map(|s| Some(*s)).collect(),
            (Called::Divers, true) => {
                let words = "a row of divers says in which states: Well, Slow, Confused, Out, Dead";
                tell("from", Wrong::Value(words.to_owned()));
                continue;
            }
            (_, true) => vec![None],
            (_, false) => {
                let words = "only divers have states; leave them out here".to_owned();
                tell("states", Wrong::Value(words));
                continue;
            }
        };
        for phrase in &row.phrases {
            if !called.understands().contains(phrase) {
                let can: Vec<String> = called
                    .understands()
                    .iter()
                    .map(|p| format!("{p:?}"))
                    .collect();
                let words = format!(
                    "`{phrase:?}` makes no sense to {called:?}; they understand {}",
                    can.join(", ")
                );
                tell("phrases", Wrong::Value(words));
                continue;
            }
            keys.extend(states.iter().map(|state| (*called, *phrase, *state)));
        }
    }
    keys
}

fn check(comes: &[Comes], row: &AnswersFile, tell: &mut impl FnMut(&str, Wrong)) {
    let whole: f64 = comes.iter().map(|c| c.chance).sum();
    if (whole - 1.0).abs() > 1e-9 {
        let words = format!("the chances make up {} % and not 100 %", whole * 100.0);
        tell("comes", Wrong::Value(words));
    }
    for (k, one) in comes.iter().enumerate() {
        let mut wrong = |words: &str| tell(&format!("comes[{k}]"), Wrong::Value(words.to_owned()));
        if one.least_s > one.most_s {
            wrong("the least is more than the most");
        }
        if one.most_s > LONGEST_S {
            wrong("an answer takes an hour at the most");
        }
        let right = comes.iter().filter(|c| c.manner == Manner::Right);
        if one.manner == Manner::Late && right.clone().any(|r| one.least_s <= r.most_s) {
            wrong("a late answer comes later than every right one");
        }
        let speechless = row
            .states
            .iter()
            .any(|s| matches!(s, Fitness::Out | Fitness::Dead));
        if speechless && one.manner != Manner::Nothing && one.chance > 0.0 {
            wrong("who is out or dead does not answer");
        }
    }
    if row.source.trim().is_empty() {
        let words = "a row says where its figures come from".to_owned();
        tell("source", Wrong::Value(words));
    }
}
